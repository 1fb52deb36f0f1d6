"""What a figure is a figure of: its property, and its subject in the speaker's words."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from extractors.candidates import NUMBERED, Name
from extractors.figure_stream import DEFAULTS, SHAPES
from extractors.lifting_gear import lifts
from extractors.mentions import Measure, QuantityMention, SequenceMention, ThingMention, Tokens
from extractors.spoken_numbers import find_numbers
from extractors.subjects import Subjects
from extractors.unit_words import figure_words
from vocab import Vocabulary

BUILT = frozenset(
    "built made manufactured model vintage built-in build commissioned production produced constructed".split()
)
QUALIFIERS = {
    ("full", "load"): "full load", ("no", "load"): "no load", ("locked", "rotor"): "locked rotor",
    ("service", "factor"): "service factor",
    ("working",): "working", ("nominal",): "nominal", ("maximum",): "maximum", ("max",): "maximum",
    ("minimum",): "minimum",
    ("min",): "minimum", ("dry",): "dry", ("empty",): "empty", ("operating",): "operating", ("loaded",): "loaded",
    ("loads",): "load", ("unloads",): "unload", ("cuts", "in"): "cut in", ("cut", "in"): "cut in",
    ("kicks", "in"): "cut in", ("kicks", "on"): "cut in", ("comes", "on"): "cut in", ("cuts", "out"): "cut out",
    ("cut", "out"): "cut out", ("kicks", "out"): "cut out", ("kicks", "off"): "cut out", ("shuts", "off"): "cut out",
    ("goes", "off"): "cut out", ("inside",): "inside", ("outside",): "outside", ("overall",): "overall",
    ("rated",): "rated", ("design",): "design", ("peak",): "peak", ("idle",): "idle", ("usable",): "usable",
    ("to", "fill"): "to fill", ("to", "heat"): "to heat", ("to", "drain"): "to drain", ("to", "start"): "to start",
    ("to", "change"): "to change", ("to", "clean"): "to clean", ("to", "warm"): "to warm", ("to", "boil"): "to boil",
    ("apart",): "spacing", ("spacing",): "spacing", ("pitch",): "spacing", ("centers",): "spacing",
    ("centres",): "spacing",
    ("full",): "full", ("filled",): "full", ("in", "operation"): "operating", ("in", "service"): "operating",
    ("allowable",): "allowable", ("shipping",): "shipping", ("wet",): "wet", ("input",): "input",
    ("output",): "output", ("drop",): "drop",
}  # fmt: skip
"""Words beside a figure that narrow what it is."""
SIZES = frozenset(
    "width length height depth diameter dimension size weight volume pressure temperature speed flow load "
    "capacity".split()
)
"""Nouns of a figure that a qualifier stands before."""
COATED = frozenset("film foil coating coat thickness thick layer paint plating zinc deposit web sheet".split())
"""Beside these, microns are a thickness; beside a filter they are what it holds back."""
LENGTH_UNITS = frozenset("foot feet inch inches metre metres meter meters millimetre millimetres centimetres".split())
WOOLS = frozenset("wool fibreglass fiberglass polyurethane styrofoam polystyrene concrete paint".split())
"""Materials that are told by how thick they are, beside those of vocab/length_words.toml."""
ROUND = frozenset(
    "vessel receiver tank column drum cylinder tower filter separator accumulator roll dryer pipe duct silo scrubber "
    "exchanger pot kettle still autoclave reactor bin screw auger cyclone trommel flue stack".split()
)
"""Things of which two sizes, inches by feet, are the diameter and the length; common practice, no source."""
LAID = frozenset({"table", "bed"})
SMALL = frozenset({"inch", "millimetre", "centimetre", "thou"})
"""Units in which a pipe's or a plate's one size is its bore or its thickness."""
FINE = {"millimetre": 6.0, "inch": 0.25, "thou": 250.0, "centimetre": 0.6}
"""No belt, band or tape is narrower; chosen, no source."""
LIQUIDS = frozenset("water oil acid caustic solution liquor zinc solder brine milk slurry sludge wax mud snow".split())
"""What stands so deep in something."""
SHEET = {"millimetre": 30.0, "inch": 1.0, "thou": 1000.0}
"""No plate of a vessel or a bed is told thicker by its material alone; chosen, no source."""
METALS = frozenset(
    "steel stainless 304 316 316l iron aluminium aluminum copper brass bronze hastelloy titanium".split()
)
THICK = {"inch": 6.0, "millimetre": 150.0, "centimetre": 15.0, "foot": 0.5, "metre": 0.15}
"""No sheet or board is thicker; chosen, no source."""
TO = frozenset({"to", "until", "till", "through", "on"})
EACH = frozenset("each apiece every".split())
WEIGHED = frozenset(
    (w,) for w in "weight weighs weigh weighed heavy weighing scale scales lifting crane rigging".split()
)
RESTATED = 60
"""Words within which a figure said again without its subject is the one said before; chosen, no source."""
METRES = {"foot": 0.3048, "inch": 0.0254, "yard": 0.9144, "metre": 1.0, "centimetre": 0.01, "millimetre": 0.001}
"""Metres of each; the international yard and pound of 1959."""
BESIDE = 9
"""Words between a length and the same length in other units, at most; chosen, no source."""
ROUNDED = 0.02
"""By how much the two may differ, for people round; chosen, no source."""
METER_HOURS = 1000
"""Hours from which on a figure is of a meter, not of a job. Chosen, no source."""


def file_measures(
    tokens: Tokens,
    measures: tuple[Measure, ...],
    things: tuple[ThingMention, ...],
    sequences: tuple[SequenceMention, ...],
    vocabulary: Vocabulary,
    *,
    whole: str = "",
) -> tuple[QuantityMention, ...]:
    """Each measure under its property and subject; whole is what the machine of the walk is called, where it is."""
    subjects = Subjects(tokens, measures, things, sequences, vocabulary, whole)
    filed: list[QuantityMention] = []
    for measure in measures:
        name = subjects.of(measure)
        if measure.dimension == "time" and _inside(tokens, measure):
            name = subjects.within(measure) or name
        filed.append(_filed(tokens, measure, name, filed, vocabulary))
    filed += _years(tokens, subjects, measures, vocabulary)
    return tuple(sorted(filed, key=lambda q: q.span))


def _filed(
    tokens: Tokens, m: Measure, name: Name, earlier: list[QuantityMention], vocabulary: Vocabulary
) -> QuantityMention:
    prop, doubt = _property(tokens, m, name, vocabulary)
    if earlier and _said_in_other_units(tokens, m, earlier[-1]):
        prop, doubt = earlier[-1].property, None
    subject, thing = name.text, name.thing
    if not name.said:
        # the same figure again, its subject not named: it is the figure said before
        again = next(
            (
                q
                for q in reversed(earlier)
                if (q.value, q.value_max, q.unit, q.property) == (m.value, m.value_max, m.unit, prop)
                and tokens[m.first].word - q.span[1] <= RESTATED
            ),
            None,
        )
        if again is not None:
            subject, thing = again.subject, again.thing
    return QuantityMention(
        span=(tokens[m.first].word, tokens[m.last - 1].word + 1),
        subject=subject,
        property=prop,
        value=m.value,
        unit=m.unit,
        value_max=m.value_max,
        of=m.of,
        approximate=m.approximate,
        status="hedged" if m.hedged else "stated",
        doubt=m.doubt or doubt,
        each=bool(m.per) or _each(tokens, m),
        qualifier=_qualifier(tokens, m) or _own_weight(tokens, m, subject),
        thing=thing,
    )


def _said_in_other_units(tokens: Tokens, m: Measure, q: QuantityMention) -> bool:
    """ "5.9 metres off the floor, nineteen foot four in old money": the length right before, once more."""
    if m.unit == q.unit or m.unit not in METRES or q.unit not in METRES or m.places or m.value_max is not None:
        return False
    first, last = tokens[m.first], tokens[m.first - 1]
    near = 0 <= first.word - q.span[1] <= BESIDE and last.sentence == first.sentence
    return near and abs(m.value * METRES[m.unit] / (q.value * METRES[q.unit] or 1) - 1) < ROUNDED


WEIGHING = frozenset({"weigh", "weighs", "weighed", "weighing", "weight"})


def _own_weight(tokens: Tokens, m: Measure, subject: str) -> str | None:
    """ "The crane itself weighs nine tons": of lifting gear a figure in tons is else what it carries."""
    if m.dimension != "mass" or not lifts(subject):
        return None
    a, _ = _clause(tokens, m)
    return "own weight" if WEIGHING & {t.lower for t in tokens[max(a, m.first - 4) : m.first]} else None


def _clause(tokens: Tokens, m: Measure) -> tuple[int, int]:
    """Tokens around a figure up to the nearest pause on either side."""
    a, b = m.first, m.last
    while a > 0 and tokens[a - 1].sentence == tokens[m.first].sentence and tokens[a - 1].after in ("", "-"):
        a -= 1
    while b < len(tokens) and tokens[b].sentence == tokens[m.first].sentence and tokens[b - 1].after in ("", "-"):
        b += 1
    return a, b


def _sentence(tokens: Tokens, i: int) -> tuple[int, int]:
    a = b = i
    while a > 0 and tokens[a - 1].sentence == tokens[i].sentence:
        a -= 1
    while b < len(tokens) and tokens[b].sentence == tokens[i].sentence:
        b += 1
    return a, b


def _holds(tokens: Tokens, phrases: frozenset[tuple[str, ...]], a: int, b: int) -> bool:
    words = [t.lower.removesuffix("'s") for t in tokens[a:b]]
    return any(tuple(words[k : k + n]) in phrases for n in (1, 2, 3) for k in range(len(words) - n + 1))


def _property(tokens: Tokens, m: Measure, name: Name, vocabulary: Vocabulary) -> tuple[str, str | None]:
    """The property and, where it is assumed, why."""
    a, b = _sentence(tokens, m.first)
    near_words = {t.lower.rstrip("s") for t in tokens[max(a, m.first - 8) : min(b, m.last + 4)]}
    if m.unit in ("micrometre", "gauge") and m.property in (None, "other") and near_words & COATED:
        return "thickness", None
    if m.dimension == "length" and m.property is None:
        if m.places in (2, 3):
            return _placed(tokens, m, name, vocabulary)
        return _length(tokens, m, name, vocabulary), None
    if m.dimension == "time" and m.property in (None, "duration"):
        return _time(tokens, m, vocabulary), None
    if m.unit == "percent":
        near = max(a, m.first - 8), min(b, m.last + 6)
        if _holds(tokens, figure_words(vocabulary, "share"), *near) and not _holds(
            tokens, figure_words(vocabulary, "solution"), *near
        ):
            return "other", None
        solution = _holds(tokens, figure_words(vocabulary, "solution"), a, b)
        return ("concentration" if solution else "other"), None
    if m.unit in ("ton", "tonne", "long_ton") and m.property is None:
        near = max(a, m.first - 6), min(b, m.last + 4)
        weighed = _holds(tokens, WEIGHED, a, b) or (
            m.first > 1 and tokens[m.first - 1].lower in ("has", "is") and len(name.text.split()) > 1
        )
        if _holds(tokens, figure_words(vocabulary, "force"), *near) and not weighed:
            return "other", None
    return m.property or DEFAULTS.get(m.dimension, "other"), None


@lru_cache(maxsize=8)
def _shape_words(vocabulary: Vocabulary, side: str) -> dict[tuple[str, ...], str]:
    return {
        tuple(w.split()): row["property"]
        for row in vocabulary["length_words"]
        if row["side"] == side
        for w in row["words"]
    }


def _length(tokens: Tokens, m: Measure, name: Name, vocabulary: Vocabulary) -> str:
    """Which length: by a word in its clause, else by what has it."""
    a, b = _clause(tokens, m)
    words = [t.lower.removesuffix("'s") for t in tokens]
    cues = _shape_words(vocabulary, "any")
    skip = False
    # behind the figure first ("above the floor"), then before it, the nearest word
    for k in [*range(m.last, min(b, m.last + 5)), *range(m.first - 1, max(a, m.first - 8) - 1, -1)]:
        # a word behind another figure is of that one ("twenty four inches and forty feet high")
        skip = skip or (k >= m.last and (words[k] in ("and", "by", "with") or words[k][:1].isdigit()))
        if skip and k >= m.last:
            continue
        if k < m.first and words[k] == "and" and _measured(tokens, k - 1, a):
            break  # "eight feet in diameter and twelve feet on the straight"
        for n in (3, 2, 1):
            if found := cues.get(tuple(words[k : k + n])):
                return found
    if a and tokens[a - 1].after == "," and tokens[a - 1].sentence == tokens[m.first].sentence:
        compared = _shape_words(vocabulary, "compared").get((words[a - 1],))
        if compared and m.first - a <= 2:
            return compared  # "those are wider, forty eight inches"
    if words[m.last : m.last + 1] == ["of"] and {*words[m.last + 1 : m.last + 3]} & LIQUIDS:
        return "depth"  # "150 millimetres of oil in it"
    if words[m.last : m.last + 1] == ["of"] and m.unit in ("metre", "foot"):
        return "length"  # "six metres of mesh belt"
    if words[m.last : m.last + 1] == ["of"] and m.unit in SMALL and _layer(words[m.last + 1 : m.last + 5], vocabulary):
        return "thickness"  # "50 millimetres of mineral wool"
    if m.unit in SMALL and m.places == 0 and m.value <= SHEET.get(m.unit, 0.0) and _of_sheet(tokens, m):
        return "thickness"
    head = name.text.split()[-1:] or [""]
    family = _shape_words(vocabulary, "subject").get((head[0].lower().removesuffix("s"),))
    if family and m.unit in SMALL and m.places == 0:
        if family == "thickness" and m.value > THICK.get(m.unit, m.value):
            return "height" if "side" in name.text.lower() else "length"
        fine = family == "width" and m.value < FINE.get(m.unit, 0.0)
        return "thickness" if fine else family  # "tape from point four to three millimetres"
    tall = _shape_words(vocabulary, "tall").get((head[0].lower().removesuffix("s"),))
    if (
        m.places == 0
        and m.unit in ("foot", "metre")
        and (tall or (family == "width" and _right_before(tokens, m, head[0])))
    ):
        return tall or str(family)  # "a seventy foot leg", "a two metre belt"
    end = m.last
    while end < min(b, m.last + 3) and not (tokens[end - 1].after and tokens[end - 1].after != "-"):
        end += 1
    following = words[m.last : end]  # up to a pause: "four inch steel pipe"
    for w in following:
        if (
            m.unit in SMALL
            and not m.places
            and (family := _shape_words(vocabulary, "subject").get((w.removesuffix("s"),)))
        ):
            return family
    return "length"


def _of_sheet(tokens: Tokens, m: Measure) -> bool:
    """ "Stainless of four millimetres", "the beds are carbon steel, nine millimetres": a material right before."""
    k = m.first - 1
    while k > 0 and tokens[k].lower in ("of", "about", "in", "at"):
        k -= 1
    if k < 0 or tokens[k].sentence != tokens[m.first].sentence:
        return False
    return tokens[k].lower in METALS


def _measured(tokens: Tokens, k: int, a: int) -> bool:
    """Whether the words that end at k tell a size of their own: "eight feet in diameter"."""
    if tokens[k].lower not in SHAPES:
        return False
    return any(tokens[j].lower in LENGTH_UNITS for j in range(max(a, k - 3), k))


def _layer(words: list[str], vocabulary: Vocabulary) -> bool:
    """Whether the words begin with what is laid on in a thickness: "mineral wool", "steel plate"."""
    families = _shape_words(vocabulary, "subject")
    laid = next((k for k, w in enumerate(words) if families.get((w,)) == "thickness" or w in WOOLS), None)
    return laid is not None and not any(w in ("the", "a", "and", "with", "on") for w in words[:laid])


def _right_before(tokens: Tokens, m: Measure, head: str) -> bool:
    """Whether the figure stands right before its thing, as an adjective."""
    return head.lower() in [t.lower for t in tokens[m.last : m.last + 3]]


@lru_cache(maxsize=8)
def _orders(vocabulary: Vocabulary) -> dict[str, tuple[tuple[str, ...], tuple[str, ...]]]:
    return {thing: (row["three"], row["two"]) for row in vocabulary["sizes"] for thing in row["things"]}


def _placed(tokens: Tokens, m: Measure, name: Name, vocabulary: Vocabulary) -> tuple[str, str | None]:
    """A figure of a row "ten by four by six": by the words of the row, else by the trade's order for the thing."""
    head = (name.text.split()[-1:] or [""])[0].lower().removesuffix("s")
    orders = _orders(vocabulary)
    three, two = orders.get(head, orders[""])
    order = list(three if m.places == 3 else two)
    said = _row_words(tokens, m)
    if m.places == 2 and {"between", "clear"} & {t.lower for t in tokens[m.last : m.last + 4]}:
        order = ["width", "height"]  # "720 by 720 between the tie bars" is a clear opening
    if said and m.places == 3 and "depth" in said.values():
        order = ["length", "width", "depth"]
    elif said and m.places == 3 and "height" in said.values():
        order = ["length", "width", "height"] if list(said) == [3] else order
    if m.places == 2 and order[0] == "thickness" and m.row and m.row[0] > THICK.get(m.unit, m.row[0]):
        order = ["width", "length"]  # a sheet of "23 by 35 inches"
    if m.places == 2 and m.row and order[:1] == ["width"] and head in LAID and m.row[0] >= 1.5 * m.row[1]:
        order = ["length", "width"]  # "a table, twelve foot by six"
    if m.places == 2 and not said and head in ROUND and _sizes_mixed(tokens, m):
        order = ["diameter", "length"]  # "thirty inch by eight foot" is a vessel
    free = [p for p in order if p not in said.values()]
    spare = [p for p in ("length", "width", "height", "depth") if p not in said.values() and p not in free]
    for place in range(1, m.places + 1):
        if place not in said:
            chosen = free.pop(0) if free else spare.pop(0)
            if place == m.place:
                return chosen, None if said else "order of the sizes assumed"
    return "length", None


def _sizes_mixed(tokens: Tokens, m: Measure) -> bool:
    """Whether a row of two has inches first and feet behind."""
    a, b = _sentence(tokens, m.first)
    near = [t.lower for t in tokens[max(a, m.first - 4) : min(b, m.last + 4)]]
    inch = [k for k, w in enumerate(near) if w in ("inch", "inches")]
    foot = [k for k, w in enumerate(near) if w in ("foot", "feet")]
    by = [k for k, w in enumerate(near) if w in ("by", "x")]
    return any(i < x < f for i in inch for x in by for f in foot)


def _row_words(tokens: Tokens, m: Measure) -> dict[int, str]:
    """Which places of the row have a word of their own ("by three deep"): place -> property."""
    a, b = _sentence(tokens, m.first)
    out: dict[int, str] = {}
    # back to the first figure of the row, then forward over its "by"s
    k = m.first
    back = m.place
    while back > 1 and k > a:
        k -= 1
        back -= tokens[k].lower in ("by", "x", "times")
    place, steps = 1, 0
    while k < b and place <= m.places and steps < 40:
        lower = tokens[k].lower
        if lower in ("by", "x", "times"):
            place += 1
        elif lower in SHAPES:
            out.setdefault(place, SHAPES[lower])
            if place == m.places:
                break
        elif (
            place == m.places
            and steps
            and (k >= m.last + 3 or (k >= m.last and (lower == "and" or lower[:1].isdigit())))
        ):
            break  # "six foot by six foot and eight foot deep": the third is not of the row
        k += 1
        steps += 1
    return out


def _time(tokens: Tokens, m: Measure, vocabulary: Vocabulary) -> str:
    a, b = _sentence(tokens, m.first)
    words = [t.lower for t in tokens[max(0, a - 12) : b]]
    if m.unit == "hour" and m.value >= 100 and (m.value >= METER_HOURS or "meter" in words or "hours" in words[:-1]):
        return "hours"
    near = max(a, m.first - 10), min(b, m.last + 6)
    if _holds(tokens, figure_words(vocabulary, "dwell"), *near):
        return "dwell"
    if _holds(tokens, figure_words(vocabulary, "transfer"), *near):
        return "transfer"
    if _inside(tokens, m):
        return "dwell"
    if {"cycle", "cycle's", "index", "indexes"} & {*words}:
        return "cycle"
    return "duration"


def _inside(tokens: Tokens, m: Measure) -> bool:
    """ "the bottles are 45 minutes in the tunnel", "thirty minutes in there": the time of a load in something."""
    behind = [t.lower for t in tokens[m.last : m.last + 2] if t.sentence == tokens[m.first].sentence]
    return len(behind) == 2 and behind[0] in ("in", "inside") and behind[1] in ("the", "there", "it", "this", "that")


def _each(tokens: Tokens, m: Measure) -> bool:
    a, b = _clause(tokens, m)
    return any(t.lower in EACH for t in tokens[max(a, m.first - 8) : min(b, m.last + 3)])


def _qualifier(tokens: Tokens, m: Measure) -> str | None:
    a, b = _sentence(tokens, m.first)
    lower = [t.lower for t in tokens]
    if m.dimension == "length" and a < m.first and lower[m.first - 1] == "every":
        return "spacing"
    if (
        m.dimension == "time"
        and {"turn", "turns", "turnover"} & {*lower[a:b]}
        and ("over" in lower[a:b] or "turnover" in lower[a:b])
    ):
        return "turns over"
    for k in (m.last, m.last + 1, m.first - 1, m.first - 2, m.first - 3):
        if not a <= k < b or (k >= m.last and _of_the_next(tokens, m.last, k)):
            continue
        for n in (2, 1):
            if found := QUALIFIERS.get(tuple(lower[k : k + n])):
                return found
        if k >= m.last and tokens[k].after:
            break
    for k in range(m.first - 4, max(a, m.first - 9) - 1, -1):  # "outside width of the furnace is two metres"
        if tokens[k].after:
            break
        if lower[k + 1] in SIZES and (found := QUALIFIERS.get((lower[k],))):
            return found
    return None


def _of_the_next(tokens: Tokens, last: int, k: int) -> bool:
    """Whether a word behind a figure begins what is told next: "six feet inside, outside it's seven", "at 90 and cuts
    out at 120". Not where it ends what was told: "six feet, inside."."""
    apart = bool(tokens[last - 1].after) or tokens[last].lower in ("and", "but")
    return apart and not any(t.after for t in tokens[k : k + 2])


def _years(
    tokens: Tokens, subjects: Subjects, measures: tuple[Measure, ...], vocabulary: Vocabulary
) -> list[QuantityMention]:
    """Years in which something was done to a part; the year of build is the identity's alone."""
    taken = {k for m in measures for k in range(m.first, m.last)}
    out = []
    for n in find_numbers(tokens, vocabulary):
        short = _short_year(tokens, n.first, n.last, n.value) if n.form in ("year", "digits", "cardinal") else None
        year = short or n.value
        whole = year == int(year) and 1900 <= year <= 2100 and n.form in ("year", "digits", "cardinal")
        if not whole or taken & set(range(n.first, n.last)) or any(t.aside for t in tokens[n.first : n.last]):
            continue
        if n.first and tokens[n.first - 1].lower in (*NUMBERED, "serial", "model", "type"):
            continue
        a, b = _sentence(tokens, n.first)
        if _bought_new(tokens, a, n.first):
            continue
        changed = figure_words(vocabulary, "changed")
        built = [k for k in range(max(a, n.first - 10), min(b, n.last + 5)) if tokens[k].lower in BUILT]
        # "built in 1998, and the burner was replaced in 2014": the nearer word decides
        start = max([k + 1 for k in built if k < n.first], default=max(a, n.first - 12))
        lead = n.first - 1
        while lead > a and tokens[lead].lower in ("year", "the"):
            lead -= 1  # "it is from the year 2022"
        dated = tokens[lead].lower == "from" and n.first > a and tokens[min(n.last, b - 1)].lower not in TO
        dated = dated or (n.form != "cardinal" and _new(tokens, a, n.first))
        done = _holds(tokens, changed, start, n.first) or _put_in(tokens, start, n.first)
        if not done and not dated:
            # "in ninety one some chap came over and ..."
            behind = min(b, n.last + (12 if n.first == a + 1 or short else 6))
            told = _holds(tokens, changed, max(a, n.first - 12), behind) or _put_in(tokens, n.last, behind)
            if built or not told:
                continue
        figure = Measure(n.first, n.last, year, "", "ratio", property="year")
        near = [k for k in range(start, n.first) if (tokens[k].lower,) in changed]
        name = (subjects.done_to(figure, near[-1]) if near else None) or subjects.done_behind(figure)
        name = name or subjects.of(figure)
        if dated and name.text == subjects.whole.text:
            continue  # the year of build is the identity's
        out.append(
            replace(
                QuantityMention((tokens[n.first].word, tokens[n.last - 1].word + 1), name.text, "year", int(year), ""),
                thing=name.thing,
                qualifier=_done(tokens, n.first, changed),
            )
        )
    return out


def _bought_new(tokens: Tokens, a: int, at: int) -> bool:
    """ "Went in new in 2016": the year of build."""
    said = [t.lower for t in tokens[max(a, at - 5) : at]]
    new = said.index("new") if "new" in said else -1
    came = next((k for k, w in enumerate(said) if w in ("went", "came", "bought")), -1)
    return new > came >= 0 or (new >= 0 and "bought" in said)  # not "new rotor came in 2017"


def _new(tokens: Tokens, a: int, at: int) -> bool:
    """ "New belt 2020", "new bowl in 2018": a thing said to be new, its year right behind."""
    k = at - 1 if at > a and tokens[at - 1].lower == "in" else at
    near = [t.lower for t in tokens[max(a, k - 4) : k]]
    if {"put", "supplied", "delivered"} & {*near}:
        return False  # "supplied new in 2008": the year of build
    return "new" in near[:-1] and not any(t.after in (";", ":") for t in tokens[max(a, k - 4) : k])


def _short_year(tokens: Tokens, first: int, last: int, value: float) -> int | None:
    """ "In eighty-nine", "back in '96": two figures behind "in" that nothing follows which could be counted."""
    written = tokens[first].text.isdigit() and len(tokens[first].text) == 2  # "recovered in '22"
    if not (first and tokens[first - 1].lower == "in" and value == int(value)):
        return None
    if not (50 <= value <= 99 or (written and 0 <= value <= LATEST)):
        return None
    ends = bool(tokens[last - 1].after) or last >= len(tokens) or tokens[last].lower in FOLLOWS
    return (1900 if value >= 50 else 2000) + int(value) if ends else None


LATEST = 39
"""Two figures up to this are of this century where they are written as a year; chosen, no source."""
FOLLOWS = frozenset(
    "a an the some they we i he she it you when by and but or with my our his her their this that".split()
)
"""Words behind a year that is a clause of its own ("in ninety one some chap ...")."""


def _put_in(tokens: Tokens, a: int, b: int) -> bool:
    """ "Put a PLC in", "took the old one out and put this in": a verb with its word apart."""
    for k in range(max(a, 0), min(b, len(tokens))):
        if tokens[k].lower in ("put", "putting") and any(
            t.lower in ("in", "on") for t in tokens[k + 2 : min(k + 7, b + 1, len(tokens))]
        ):
            return True
    return False


def _done(tokens: Tokens, at: int, changed: frozenset[tuple[str, ...]]) -> str | None:
    """What was done in a year ("retubed"): the nearest such word of its sentence."""
    a, b = _sentence(tokens, at)
    near = [k for k in range(max(a, at - 12), min(b, at + 6)) if (tokens[k].lower,) in changed]
    return tokens[min(near, key=lambda k: abs(k - at))].lower if near else None
