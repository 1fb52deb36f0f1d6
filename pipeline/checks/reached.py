"""Times, lengths, loads and ratings that bound one another, told apart or filed elsewhere (see making.py)."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from datetime import date

from extractors.phrases import plural, singular
from extractors.units import convert
from pipeline.checks.facts import apart, facts, has_dimension, limit, one_of, per_hour, size, slack
from pipeline.checks.heat import hours_to_heat
from pipeline.checks.mechanical import kilonewtons
from pipeline.checks.offers import verdict
from pipeline.checks.steam import saturation
from pipeline.checks.subjects import head
from pipeline.checks.told import as_figure, beside, called, counted, loose, nearest, pool, sentence, settled
from pipeline.checks.wording import clean, figure, moment, number, said, told_count
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_PASSES = re.compile(
    r"\b(?:(?:cool\w*|bak\w*|dry\w*|cur\w*|cook\w*|proof\w*|prov\w*|pasteuri\w*|heat\w*|soak\w*|freez\w*|anneal\w*|"
    r"shrink\w*|steam\w*) "
    r"time|through|in (?:the )?(?:oven|tunnel|dryer|freezer|cooler|heat|cure|bake)|dwell\w*|in to out|end to end|in "
    r"there|inside|stays?|on (?:it|there|the (?:belt|band|mesh|conveyor|chain))|one way|door to door|to travel|the "
    r"length of it)\b"
)
_PASSAGE = re.compile(
    r"\b(?:tunnel|oven|conveyors?|track|runway|rails|cool\w*|heated|hot|chamber|belt|inside|zones?|dryer|freezer|"
    r"kiln|furnace|washer|line|elements?)\b"
)
_NOT_PASSAGE = re.compile(
    r"\b(?:wide|high|tall|deep|diameter|across|in-?feed|out-?feed|table|load\w*|duct|pipe|apart|spacing|pitch|"
    r"opening|thick|roll\w*)\b"
)


def time_through(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Eighteen metres of cooling; three metres a minute on the recipe card; cooling time twelve minutes".

    Arithmetic: time = length / speed. Tolerance 15 % plus wording. Only the one belt speed of a walk, a time told of
    cooling, baking, passing or staying, and lengths told of the tunnel, oven or what is heated, all within 75 s; each
    length also as often as it was counted; where any of them fits nothing is asked. Always a question. Source: plain
    kinematics.
    """
    rule = "time_through"
    index = facts(walk)
    speeds = [
        q
        for q in index.of("speed")
        if has_dimension(q.unit, "metre/minute") and q.value_max is None and q.unit != "rpm"
    ]
    speeds = [
        q
        for q in speeds
        if not re.search(r"\b(?:hoist|crane|lift\w*|travers\w*|rapid\w*|air|rim|tip|surface)\b", sentence(q))
    ]
    if len({round(size(q, "metre/minute") or 0.0, 4) for q in speeds}) != 1:
        return
    v = speeds[0]
    times = [
        q
        for q in pool(index, "second", None, None, ("duration", "dwell"))
        if _PASSES.search(called(index, q)) or q.property == "dwell"
    ]
    times = [q for q in times if abs(moment(q) - moment(v)) <= 45]
    lengths = [q for q in pool(index, "metre", _PASSAGE, _NOT_PASSAGE, ("length",)) if (size(q, "metre") or 0.0) >= 1]
    lengths = [q for q in lengths if abs(moment(q) - moment(v)) <= 75]
    if len({size(t, "second") for t in times}) != 1 or not lengths:
        return
    t = times[0]
    if any(
        c.rule in ("length_speed_dwell", "store_lasts") and t.id in c.facts and "could not" not in c.outcome
        for c in walk.checked
    ):
        return

    def seconds(q: Quantity, v: Quantity) -> float:
        return (size(q, "metre") or 0.0) / (size(v, "metre/second") or 1.0)

    def holds(q: Quantity, v: Quantity, t: Quantity) -> bool:
        return apart(seconds(q, v), size(t, "second") or 0.0) <= 0.15 + slack(q, v, t)

    counts = {c.value for c in counted(index) if c.value < 60} | {
        c.count for c in index.components if c.count and 1 < c.count < 60
    }
    near = [q for q in pool(index, "metre", None, None, ("length",)) if abs(moment(q) - moment(v)) <= 120]
    many = [(size(q, "metre") or 0.0) * n for q in lengths for n in (1, *counts)] + [
        sum(size(q, "metre") or 0.0 for q in lengths),
        *(size(q, "metre") or 0.0 for q in near),
    ]
    want = (size(t, "second") or 0.0) * (size(v, "metre/second") or 0.0)
    if any(apart(m, want) <= 0.15 + slack(v, t) for m in many):
        return
    q = max(lengths, key=lambda q: size(q, "metre") or 0.0)
    ratio = seconds(q, v) / (size(t, "second") or 1.0)
    if not 0.1 <= ratio <= 10 or settled(walk, q, t):
        return
    message = (
        f"{said(q)} at {said(v)} take {figure(seconds(q, v) / one_of(t.unit, 'second'), t.unit)}, {said(t)} was "
        "stated: time one "
        "part, or ask at which speed."
    )
    yield from verdict(rule, [q, v, t], holds, message, level="check")


_CHARGE = frozenset(("charge batch load cook brew firing melt heat cure kiln drum cycle bake drop").split())


def charges_make_the_day(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Five drums, each makes one charge a day, four thousand kilos in; the director says thirty tonnes each day".

    Arithmetic: machines × charges a day × weight (or volume) of one = amount a day. Tolerance 10 % plus wording; with
    fewer than all of them, less is no finding. Only a rate of charges or batches a day, one amount that is told of
    going into one, and an amount a day. Always a question. Source: plain arithmetic.
    """
    rule = "charges_make_the_day"
    index = facts(walk)
    for kind in ("kilogram", "litre"):
        totals = [q for q in pool(index, f"{kind}/day", None, None, ("rate", "flow")) if q.unit.endswith("/day")]
        rates = [
            q
            for q in index.of("rate")
            if q.unit.endswith("/day") and has_dimension(q.unit, "1/day") and _CHARGE & {*(q.of or "").split()}
        ]
        amounts = pool(
            index,
            kind,
            re.compile(r"\b(?:in(?:to)? (?:one|a|each|it|every)|charge|batch|load|per|takes|holds|goes in)\b"),
            None,
            ("weight", "volume"),
        )
        if len({q.value for q in totals}) != 1 or len({q.value for q in rates}) != 1 or not amounts:
            continue
        total, r = totals[0], rates[0]
        noun = head(r.subject)
        machines = {1} | {c.value for c in counted(index) if c.key == noun and c.value < 60}

        def holds(w: Quantity, r: Quantity, total: Quantity, kind: str = kind, machines: set[int] = machines) -> bool:
            one, day, spare = (
                (size(w, kind) or 0.0) * r.value,
                size(total, f"{kind}/day") or 0.0,
                0.10 + slack(w, r, total),
            )
            return any(apart(one * n, day) <= spare for n in machines) or (
                day < one * max(machines) and len(machines) > 1
            )

        found = nearest(holds, amounts, [r], [total], within=120)
        if found is None or settled(walk, found[0][0], total):
            continue
        w = found[0][0]
        n = max(machines)
        made = (size(w, kind) or 0.0) * r.value * n / one_of(total.unit, f"{kind}/day")
        if not 0.1 <= made / total.value <= 10:
            continue
        times = f"{n} {plural(noun)} with " if n > 1 else ""
        message = (
            f"{times}{said(r)} of {said(w)} are {figure(round(made, 1), total.unit)}, {said(total)} was stated: ask "
            "what goes into "
            "one, and how often."
        )
        yield from verdict(rule, [w, r, total], holds, message, level="check")


_STROKE = frozenset(("stroke shot cycle hit blow index drop revolution turn").split())
_TWO = re.compile(r"\b(?:pairs?|twins?|double|two (?:at a time|out|up|each|per)|left and right)\b")


def pieces_of_a_stroke(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Sixty strokes a minute, they feed every stroke; the tool makes a pair; three thousand six hundred an hour".

    Arithmetic: pieces = strokes × pieces of one. Tolerance 8 % plus wording; fewer are missed strokes, unless every
    stroke was told to be fed. Only one rate of strokes or shots and one greater rate told later, with a pair or a count
    of cavities or "up" between. Always a question. Source: plain arithmetic.
    """
    rule = "pieces_of_a_stroke"
    index = facts(walk)
    rates = [q for q in index.of("rate") if per_hour(q) and q.value_max is None and "day" not in q.unit]
    strokes = [q for q in rates if q.of and singular(head(q.of)) in _STROKE]
    pieces = [q for q in rates if q not in strokes and (per_hour(q) or 0.0) > 100]
    if len({per_hour(q) for q in strokes}) != 1 or len({per_hour(q) for q in pieces}) != 1:
        return
    r, p = strokes[0], pieces[0]
    between = f"{sentence(r)} {sentence(p)} {' '.join(f'{n.before} {n.behind}' for n in walk.loose)} " + " ".join(
        sentence(q) for q in index.quantities if moment(r) <= moment(q) <= moment(p)
    )
    each = (
        {2}
        if _TWO.search(between)
        or any(c.count == 2 and c.name == plural(singular(head(p.of or "part"))) for c in index.components)
        else set()
    )
    each |= {c.value for c in counted(index) if c.noun in ("cavity", "impression", "up", "nest")}
    each |= {int(n.value) for n in walk.loose if n.behind.startswith(("up ", "pair ", "pair,")) and n.value < 200}
    made = {
        c.count
        for c in index.components
        if c.count and 1 < c.count <= 12 and abs(c.evidence[0].start - moment(p)) <= 12 and c.name.endswith("s")
    }
    each = each or ({k for k in made if k == 2})
    if len(each) != 1 or abs(moment(r) - moment(p)) > 60:
        return
    k = each.pop()
    every = "every stroke" in between or "every hit" in between

    def holds(r: Quantity, p: Quantity) -> bool:
        ratio, loose_by = (per_hour(p) or 0.0) / ((per_hour(r) or 1.0) * k), slack(r, p)
        return (0.92 if every else 0.55) - loose_by <= ratio <= 1.08 + loose_by

    message = (
        f"{said(r)} of {k} each make {number((per_hour(r) or 0.0) * k / one_of(p.unit, '1/hour'))} "
        f"{figure(2, p.unit).removeprefix('2 ')}, {said(p)} was stated: count a few, or ask which of the three holds."
    )
    yield from verdict(rule, [r, p], holds, message, level="check")


_HUMID = re.compile(r"\b(?:humidity|rh|r\.h\.)\W*(?:\w+\W+){0,4}$")


def humidity_over_full(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Relative humidity, a hundred and twenty percent", filed under another name.

    Source: relative humidity ends at 100 percent, the partial pressure over that of saturation. Tolerance: none beyond
    wording. Only a percentage with the word right before it. Always a question.
    """
    rule = "humidity_over_full"
    index = facts(walk)
    for q in index.quantities:
        if q.unit != "percent" or q.value_max is not None or "humid" in q.subject.lower():
            continue
        if not _HUMID.search(beside(index, q)[0]):
            continue
        message = f"A humidity of {said(q)} is more than air can hold, 100 percent: is the sensor wet, or which digit?"
        yield from verdict(rule, [q], lambda q: q.value <= 100 * (1 + slack(q)), message, level="check")


_EACH_OF = re.compile(r"\b(?:each|every|apiece|per|all the same)\b")
_IN_TOTAL = re.compile(
    r"\b(?:total\w*|altogether|all told|in all|list|sheet|connected|combined|sum|between them|together|"
    r"all (?:\w+ )?running|all (?:two|three|four|five|six|eight)|with (?:all|both))\b"
)


_AND_MORE = re.compile(r"\b(?:with (?:the|all|everything)|including|plus|and the)\b")
"""Words of a total of more than these."""


def each_and_total(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Barrel has five zones; each zone takes six kilowatts; the electrician's list has barrel heating, total 45".

    Arithmetic: each × count = total. Tolerance 6 % plus wording. Only a figure told of each of a noun with one count in
    the walk, and one figure of that kind told as a total whose sentence names the same thing or what it is part of,
    within 75 s; several totals compare nothing. Always a question. Source: plain arithmetic.
    """
    rule = "each_and_total"
    index = facts(walk)
    for each in index.of("power", "volume", "weight", "length", "area", "current", "flow", "rate"):
        if each.value_max is not None or not (each.each or _EACH_OF.search(called(index, each))):
            continue
        named = re.search(r"\b(?:each|every|per) (\w+)", called(index, each))  # "each zone takes six kilowatt of band"
        noun = singular(named.group(1)) if named is not None else singular(head(each.subject))
        counts = {c.value for c in counted(index) if c.key == noun} | {
            c.count for c in index.components if c.count and head(c.name) == noun
        }
        if len(counts) > 1:  # "four rotary vane pumps", and later "with two pumps on": the count told right before
            counts = {c.value for c in counted(index) if c.key == noun and 0 <= moment(each) - c.at <= 15}
        if len(counts) != 1 or any(c.rule == "each_makes_the_sum" and each.id in c.facts for c in walk.checked):
            continue
        n = counts.pop()
        totals = [
            q
            for q in index.of(each.property)
            if q is not each
            and q.value_max is None
            and not q.each
            and has_dimension(q.unit, each.unit)
            and 0 < moment(q) - moment(each) <= 75
            and _IN_TOTAL.search(called(index, q))
            and _heater(each) == _heater(q)
            and not _AND_MORE.search(beside(index, q)[0])
        ]
        if len({q.value for q in totals}) != 1 or not n or n < 2:
            continue
        total = totals[0]
        made = n * (size(each, total.unit) or 0.0)
        if not 0.4 <= made / total.value <= 2.5 or settled(walk, each, total):
            continue
        if made < total.value and not _named_alike(each, total):
            continue  # the total of more than these

        def holds(each: Quantity, total: Quantity, n: int = n) -> bool:
            return apart(n * (size(each, total.unit) or 0.0), total.value) <= 0.06 + slack(each, total)

        message = (
            f"{n} {plural(noun)} of {said(each)} make {figure(made, total.unit)}, {said(total)} was stated in all: "
            "count again, or "
            "read one plate."
        )
        yield from verdict(rule, [each, total], holds, message, level="check")


def _heater(q: Quantity) -> bool:
    return bool(re.search(r"\bheat\w*|band", sentence(q)))


def _named_alike(a: Quantity, b: Quantity) -> bool:
    x = {singular(w.strip(".,;")) for w in a.subject.lower().split()}
    told = {singular(w.strip(".,;")) for w in sentence(b).split()}
    return bool(x & told) or (_heater(a) and _heater(b))


_PER = re.compile(r"^(?:\w+,? ){1,2}(?:per|to (?:a|the|each)|on (?:a|the|each)|in (?:a|the|each)|an?|each|every) (\w+)")
_ON_A = re.compile(
    r"\b(?:on|in|to) (?:a|an|each|every|one|the) (\w+)\b|\b(?:a|an|each|every|one) (?:\w+ )?(\w+) (?:hangs?|has|"
    r"have|holds?|takes?|carr\w+|is)\b"
)


def counts_within_counts(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "A bar hangs six racks, on a rack there's eight positions; the card says seventy-two pieces per bar".

    Arithmetic: racks on a bar × places on a rack = pieces on a bar. Tolerance none. Only two counts told one in the
    other, and one of pieces of the outer one, which is greater than either, within a minute. Always a question; not all
    places need be used. Source: plain counting.
    """
    rule = "counts_within_counts"
    index = facts(walk)
    told = counted(index)
    inner: list[tuple[str, str, int, int]] = []
    for i, c in enumerate(told):
        holders = [*_ON_A.finditer(" ".join(c.before.split()[-6:]))]
        found = holders[-1] if holders else None
        holder = next((g for g in found.groups() if g), "") if found is not None else ""
        behind = _PER.match(c.behind)
        if behind is not None and c.value < 2000:
            holder = behind.group(1)
        if holder and singular(holder) != c.noun:
            inner.append((singular(holder), c.noun, c.value, i))
    for outer, middle, n, i in inner:
        for held, piece, m, j in inner:
            if held != middle or i == j:
                continue
            totals = [(v, k) for h, noun, v, k in inner if h == outer and noun != middle and v > max(n, m)]
            if len({v for v, _ in totals}) != 1:
                continue
            total, k = totals[0]
            if told[k].noun != piece and any(c.noun == told[k].noun and c.value < total for c in told):
                continue  # "each load is sixty panes on two racks": panes are told of a load themselves
            a, b, t = (told_count(told[x].noun, told[x].value, told[x].evidence) for x in (i, j, k))
            if total == n * m or any(
                c.rule in ("nested_counts", "parts_in_the_words") and "could not" not in c.outcome for c in walk.checked
            ):
                continue
            message = (
                f"{n} {plural(middle)} of {m} {plural(piece)} are {number(n * m)} to the {outer}, {number(total)} "
                "was stated: count one "
                f"{middle}, or ask whether all places are used."
            )

            def holds(a: Quantity, b: Quantity, t: Quantity) -> bool:
                return a.value * b.value == t.value

            yield from verdict(rule, [a, b, t], holds, message, level="check")


_DIRECT = re.compile(r"\b(?:dc|d\.c\.|rectifier|plating|electro\w*|anodi\w*|cell|output)\b")


def direct_current_power(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The rectifier's in its own cupboard. Ten volts, three thousand amps; a label in that cupboard gives fifty
    kilowatts DC out".

    Arithmetic: kilowatts = volts × amperes. Tolerance 10 % plus wording. Only volts up to 100 and amperes from 50
    told in one sentence, once in the walk, and a power told as of direct current or a rectifier. Always a question.
    Source: P = V·I.
    """
    rule = "direct_current_power"
    index = facts(walk)
    volts = [q for q in index.of("voltage") if 1 <= (size(q, "volt") or 0.0) <= 100 and q.value_max is None]
    amps = [q for q in index.of("current") if (size(q, "ampere") or 0.0) >= 50 and q.value_max is None and not q.doubt]
    powers = [q for q in pool(index, "kilowatt", _DIRECT, None, ("power",)) if "watt" in q.unit]
    pairs = [(v, a) for v in volts for a in amps if 0 <= moment(a) - moment(v) <= 4]
    if len(pairs) != 1 or len({q.value for q in powers}) != 1:
        return
    (v, a), p = pairs[0], powers[0]
    if settled(walk, p, a) or settled(walk, p, v):
        return
    made = (size(v, "volt") or 0.0) * (size(a, "ampere") or 0.0) / 1000

    def holds(v: Quantity, a: Quantity, p: Quantity) -> bool:
        return apart(
            (size(v, "volt") or 0.0) * (size(a, "ampere") or 0.0) / 1000, size(p, "kilowatt") or 0.0
        ) <= 0.10 + slack(v, a, p)

    if not 0.2 <= made / (size(p, "kilowatt") or 1.0) <= 5:
        return
    message = (
        f"{said(v)} times {said(a)} is {figure(round(made, 1), 'kilowatt')}, {said(p)} was stated: "
        "read the plate of the rectifier."
    )
    yield from verdict(rule, [v, a, p], holds, message, level="check")


_INNER = re.compile(
    r"\b(?:between cent\w+|heated length|hot length|of (?:hot|heated|heating|cooling) |baking (?:chamber|length)|"
    r"(?:inside|internal) length|"
    r"chamber|tunnel|bed length|table travel|working length|press length|zone length|of cooling|of heat|centre "
    r"distance|center distance)"
)
_OUTER = re.compile(
    r"\b(?:over ?all|footprint|end to end|all of it|outline|everything|whole (?:machine|thing)|total length)\b"
)


def inside_over_all(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Eighty inches between centers", and "all of it, seventy inches overall"; "3.6 metres of hot length", overall
    3.2.

    Arithmetic: what lies in a machine is no longer than the machine. Tolerance 2 % plus wording. Only a length told as
    between centers, heated, of a chamber or tunnel, and one told as overall. Always a question. Source: plain geometry.
    """
    rule = "inside_over_all"
    index = facts(walk)
    lengths = list(pool(index, "metre", None, re.compile(r"\b(?:wide|high|tall|deep|width|height)\b"), ("length",)))
    wholes = [q for q in lengths if _OUTER.search(called(index, q))]
    inner = [
        q
        for q in lengths
        if q not in wholes
        and (_INNER.search(called(index, q)) or _INNER.search(" ".join(beside(index, q)[1].split()[:5])))
    ]
    if len({size(q, "metre") for q in wholes}) != 1 or not inner:
        return
    whole, part = wholes[0], max(inner, key=lambda q: size(q, "metre") or 0.0)
    if settled(walk, whole, part):
        return

    def holds(part: Quantity, whole: Quantity) -> bool:
        return (size(part, "metre") or 0.0) <= (size(whole, "metre") or 0.0) * (1.02 + slack(part, whole))

    message = (
        f"{said(part)} ({clean(part.subject)}) does not fit into {said(whole)} overall: measure both again, and say "
        "from where to "
        "where."
    )
    yield from verdict(rule, [part, whole], holds, message, level="check")


_STORE = re.compile(r"\b(?:silo|bin|hopper|bunker)\b")
_TAKES = re.compile(r"\b(?:takes?|holds?|capacity|good for|room for|contents?|fits?|full)\b")


def store_and_weight(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The cylinder is 2.5 metres in diameter and eight high; the man from the mill said it takes sixty tonnes of
    flour".

    Arithmetic: weight ≤ cylinder × 1.25 (a cone) × greatest bulk density. Tolerance 5 % plus wording. Only a weight
    told as what a silo, bin or hopper takes, of a material of vocab/bulk.toml, and one diameter and height of the
    walk that are told of it, its cylinder or its straight part. Always a question. Source: densities in
    vocab/bulk.toml.
    """
    rule = "store_and_weight"
    index = facts(walk)
    loads = [
        w
        for w in index.of("weight")
        if w.value_max is None and _STORE.search(sentence(w)) and _TAKES.search(sentence(w))
    ]
    across = [
        q
        for q in index.of("diameter")
        if q.value_max is None
        and re.search(r"\b(?:cylinder|silo|bin|shell|straight|barrel|diameter|across)\b", called(index, q))
    ]
    tall = [q for q in index.of("height", "length", "depth") if q.value_max is None and (size(q, "metre") or 0.0) >= 1]
    for w in loads:
        rows = [
            r
            for r in vocabulary["bulk"]
            if r["kind"] == "bulk" and any(re.search(rf"\b{s}\b", sentence(w)) for s in r["said"])
        ]
        ds = [q for q in across if abs(moment(q) - moment(w)) <= 75 and (size(q, "metre") or 0.0) >= 0.5]
        hs = [q for q in tall if ds and abs(moment(q) - moment(ds[0])) <= 5]
        if not rows or len({q.value for q in ds}) != 1 or len({q.value for q in hs}) != 1 or settled(walk, w, ds[0]):
            continue
        if any(c.rule in ("silo_and_load", "contents_and_room") and w.id in c.facts for c in walk.checked):
            continue
        d, h, high = ds[0], hs[0], max(float(r["high"]) for r in rows)

        def most(d: Quantity, h: Quantity, high: float = high) -> float:
            return math.pi / 4 * (size(d, "metre") or 0.0) ** 2 * (size(h, "metre") or 0.0) * 1.25 * high

        def holds(w: Quantity, d: Quantity, h: Quantity, high: float = high) -> bool:
            return (size(w, "tonne") or 0.0) <= most(d, h, high) * (1.05 + slack(w, d, h))

        if not 0.1 <= (size(w, "tonne") or 0.0) / (most(d, h) or 1.0) <= 12:
            continue
        message = (
            f"{said(d)} by {said(h)} take {figure(round(most(d, h) / one_of(w.unit, 'tonne'), 1), w.unit)} of "
            f"{rows[0]['said'][0]} at most, "
            f"{said(w)} was stated: measure it, or ask for the drawing."
        )
        yield from verdict(rule, [w, d, h], holds, message, level="check")


_DOOR = re.compile(r"\b(?:door\w*|opening|gate|way out|exit|dock|shutter|corridor|hatch|lift shaft)\b")
_GOES_OUT = re.compile(
    r"\b(?:getting it out|get it out|leaves?|comes? out|goes out|out (?:by|through)|through|only way|no other)\b"
)
_LIFTER = re.compile(r"\b(?:fork ?(?:lift|truck)|crane|hoist|jib|telehandler|loader|gantry|pallet truck|lift truck)\b")
_PIECE = re.compile(r"\b(?:piece|frame|machine|body|heaviest|biggest|alone|by itself|weighs?|goes|base|unit|main)\b")


def lifted_by(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Frame piece alone goes fourteen thousand pounds, and they've offered their own forklift, a ten thousand pound
    machine".

    Arithmetic: load ≤ rated load. Tolerance: the wording's. Only a weight told in one sentence, or the next, with a
    forklift, crane or hoist and its rating, and one told of a piece, frame or machine. Always a question: two may lift
    together. Figures only: fitness is not examined. Source: a load never exceeds the rated load (29 CFR 1910.178 and
    .179, from memory).
    """
    rule = "lifted_by"
    index = facts(walk)
    weights = [
        q
        for q in pool(index, "kilogram", None, None, ("weight", "other"))
        if (size(q, "kilogram") or 0.0) >= 100 and not q.doubt
    ]
    rated = [q for q in weights if _LIFTER.search(called(index, q))]
    if any(c.rule == "crane_against_load" and "could not" not in c.outcome for c in walk.checked):
        return
    for cap in rated:
        loads = [
            q
            for q in weights
            if q not in rated and abs(moment(q) - moment(cap)) <= 15 and _PIECE.search(called(index, q))
        ]
        loads = [
            q
            for q in loads
            if not re.search(r"\b(?:takes|holds|rated|capacity|tonn?e (?:press|clamp))\b", called(index, q))
        ]
        if len({q.value for q in loads}) != 1:
            continue
        load = loads[0]

        def holds(load: Quantity, cap: Quantity) -> bool:
            return (size(load, "kilogram") or 0.0) <= (size(cap, "kilogram") or 0.0) * (1.0 + slack(load, cap))

        message = (
            f"{said(load)} ({clean(load.subject)}) is more than the {said(cap)} of what is to lift it: read the "
            "plate of the truck or "
            "hook, and ask the rigger."
        )
        yield from verdict(rule, [load, cap], holds, message, level="check", note="fitness not examined")


def out_by_the_door(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The frame's nine foot six wide by nine foot tall, thirty long; it leaves by that door, eight foot wide, ten
    high".

    Arithmetic: of the three sizes of a piece two must pass the two of the door, one way or the other. Tolerance: the
    wording's. Only a door or opening told as the way out, and the sizes of the one machine, frame or piece of the walk
    that is told with three. Always a question: it may come apart. Source: plain geometry.
    """
    rule = "out_by_the_door"
    index = facts(walk)
    sides = [q for q in index.of("length", "width", "height", "depth") if q.value_max is None and size(q, "metre")]
    doors = [q for q in sides if _DOOR.search(sentence(q)) and _GOES_OUT.search(sentence(q))]
    door = {q.property: q for q in doors}
    if not {"width", "height"} <= {*door} or any(c.rule == "machine_through_door" for c in walk.checked):
        return
    groups: dict[str, dict[str, Quantity]] = {}
    for q in sides:
        if q not in doors:
            kept = groups.setdefault(q.subject, {})
            if q.property not in kept or (size(q, "metre") or 0.0) > (size(kept[q.property], "metre") or 0.0):
                kept[q.property] = q
    whole = [
        g for g in groups.values() if {"length", "width", "height"} <= {*g} and (size(g["length"], "metre") or 0.0) > 1
    ]
    if len(whole) != 1:
        return
    piece = [whole[0][p] for p in ("length", "width", "height")]
    w, h = door["width"], door["height"]

    def holds(w: Quantity, h: Quantity, *piece: Quantity) -> bool:
        a, b = sorted(size(q, "metre") or 0.0 for q in piece)[:2]
        x, y, loose_by = size(w, "metre") or 0.0, size(h, "metre") or 0.0, 1 + slack(w, h, *piece)
        return a <= min(x, y) * loose_by and b <= max(x, y) * loose_by

    message = (
        f"A piece {said(piece[1])} wide and {said(piece[2])} high does not pass a door of {said(w)} by {said(h)}: "
        "how did it come in, and "
        "does it come apart? Measure both."
    )
    yield from verdict(rule, [w, h, *piece], holds, message, level="check")


_WARMS = re.compile(
    r"\b(?:heats?|heated|heating|up to|ready|from cold|switch\w* on|warm\w*|comes? up|hot|temperature|boil\w*)\b"
)
_HEATER = re.compile(r"\b(?:heat\w*|element\w*|immersion|electric)\b")


def warms_in_time(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Liquor tank is three thousand litres, heated electric, twelve kilowatts; mains water's fifteen; mash at 78;
    fill it cold, and two hours later it's up to that".

    Arithmetic: hours = m·c·ΔT / P, nothing lost: the shortest there is. Tolerance as for `heat_up`. Only the one
    heater in kilowatts, the tank of its name, a time told of warming, and the temperatures of the walk that may be
    meant; where any of them fits nothing is asked. Always a question. Source: Q = m·c·ΔT, water 8.34 lb a gallon.
    """
    rule = "warms_in_time"
    index = facts(walk)
    row, cold = limit(vocabulary, "heat-up time"), limit(vocabulary, "cold start")
    powers = [
        q
        for q in pool(
            index, "kilowatt", _HEATER, re.compile(r"\b(?:steam|gas|burner|btu|pump|fan|motor|chiller)\b"), ("power",)
        )
        if "watt" in q.unit
    ]
    if len({q.value for q in powers}) != 1 or any(
        c.rule == "heat_up" and "could not" not in c.outcome for c in walk.checked
    ):
        return
    p = powers[0]
    times = [
        q
        for q in pool(index, "hour", None, None, ("duration", "other", "cycle", "hours"))
        if _WARMS.search(sentence(q)) and 0.1 <= (size(q, "hour") or 0.0) <= 48
    ]
    times += [
        as_figure(n, "duration", "hour")
        for n in walk.loose
        if re.match(r"^hours? (?:later|and|to|until|before)", n.behind) and n.value <= 48
    ]
    times = [q for q in times if 0 <= moment(q) - moment(p) <= 40 and _WARMS.search(sentence(q))]
    own = {singular(w) for w in p.subject.lower().split()}
    volumes = [
        q for q in index.of("volume") if own & {singular(w) for w in q.subject.lower().split()} and q.value_max is None
    ]
    hots = [q for q in index.of("temperature") if 80 < (size(q, "degF") or 0.0) < 215 and q.value_max is None]
    unit = next((q.unit for q in index.of("temperature")), "degC")
    hots += [
        q
        for q in loose(index, "temperature", unit, re.compile(r"\b(?:at|to|up to|mash|with liquor at)$"))
        if 100 < (size(q, "degF") or 0.0) < 213
    ]
    starts = [
        size(q, "degF") or 0.0
        for q in index.of("temperature")
        if 33 <= (size(q, "degF") or 0.0) <= 80
        and re.search(r"\b(?:cold|mains|city|incoming|water|start)\b", sentence(q))
    ]
    start = min(starts, default=float(cold["low"]))
    if not times or len({q.value for q in volumes}) != 1 or not hots:
        return

    def needed(p: Quantity, v: Quantity, hot: Quantity) -> float:
        return hours_to_heat(size(v, "gallon") or 0.0, (size(hot, "degF") or 0.0) - start, size(p, "kilowatt") or 1.0)

    def holds(p: Quantity, v: Quantity, hot: Quantity, t: Quantity) -> bool:
        told = (size(t, "hour") or 0.0) * (1 + slack(p, v, hot, t))
        return bool(told * row["low"] <= needed(p, v, hot) <= told * row["high"])

    found = nearest(holds, [p], volumes[:1], hots, times)
    if found is None:
        return
    (p, v, hot, t), _ = found
    if needed(p, v, hot) < 0.02 or needed(p, v, hot) > 60 * (size(t, "hour") or 1.0):
        return
    message = (
        f"{said(p)} needs at least {figure(round(needed(p, v, hot), 1), 'hour')} to bring {said(v)} to {said(hot)} "
        "(losses left out), "
        f"{said(t)} was stated: is there a second heat source? Read the heater plate."
    )
    yield from verdict(rule, [p, v, hot, t], holds, message, level="check")


def belt_wider_than_long(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Inspection table, the belt on her's white, twenty-four foot wide and fourteen foot long".

    Arithmetic: a belt or conveyor is longer than wide, and seldom over 4 m wide. Tolerance: the wording's. Only width
    and length told of one belt or conveyor in one breath. Always a question. Source: common practice, no source.
    """
    rule = "belt_wider_than_long"
    index = facts(walk)
    for w in index.of("width"):
        if (
            not re.search(r"\b(?:belt|conveyor)\b", called(index, w))
            or w.value_max is not None
            or (size(w, "metre") or 0.0) < 2.5
        ):
            continue
        long = [
            q
            for q in index.of("length")
            if abs(moment(q) - moment(w)) <= 6 and q.value_max is None and q.subject == w.subject
        ]
        if len(long) != 1:
            continue

        def holds(w: Quantity, q: Quantity) -> bool:
            return (size(w, "metre") or 0.0) <= (size(q, "metre") or 0.0) * (1 + slack(w, q))

        message = (
            f"A {clean(head(w.subject))} {said(w)} wide and {said(long[0])} long is wider than long: "
            "inches for feet? Measure it."
        )
        yield from verdict(rule, [w, long[0]], holds, message, level="check")


_NUMBERED = frozenset(
    ("unit tank station head zone stage position bath section deck tower color colour bay step cell stand").split()
)
_DOES = re.compile(r"^(?:they|for|as|'s|is|does|are|has|'s|was|do|goes|takes|varnish\w*|and \w+ are|, (?:and )?\w+)")


def numbered_off(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Eight print units in the listing. One is the primer. Two, three, four and five are the process set. Six does
    the spot colour, and seven's a varnish".

    Arithmetic: the last number told off against the count. Tolerance none. Only numbers that follow one another from
    two on, four or more, told bare within 40 s behind the one count of units, tanks or stations, where no row was read.
    Always a question: one may have been passed over. Source: plain counting.
    """
    rule = "numbered_off"
    index = facts(walk)
    rows = [c for c in walk.checked if c.rule == "stations_stated_and_described"]
    if any("told, and not read" not in c.outcome for c in rows):
        return
    counts = [c for c in counted(index) if c.noun in _NUMBERED and 4 <= c.value <= 40]
    if len({c.value for c in counts}) != 1:
        return
    c = counts[0]
    at = c.at
    last, when, run = 1, at, []
    for n in walk.loose:
        if (
            n.value == last + 1
            and n.evidence
            and 0 < n.evidence[0].start - when <= 15
            and _DOES.match(n.behind.strip() or "-")
        ):
            last, when = last + 1, n.evidence[0].start
            run.append(n)
    tail = run[-1].behind if run else ""
    if last < 4 or last == c.value or not 0.6 <= last / c.value <= 1.4 or not tail:
        return
    total = told_count(c.noun, c.value, c.evidence)
    told = told_count(f"{c.noun} told off", last, run[-1].evidence)
    message = (
        f"{c.value} {plural(c.noun)} stated, {last} {plural(c.noun)} told off one by one: go back "
        "and look, or count again."
    )
    yield from verdict(rule, [total, told], lambda a, b: a.value == b.value, message, level="check")


_STARTED = re.compile(
    r"\b(?:first fire\w*|commission\w*|install\w*|ordered new|bought new|went in|put in|start(?:ed)?[- ]?up|new in|"
    r"started (?:in|up)|"
    r"built|erected|delivered|since new|came (?:in )?new)\b"
)


def hours_since_start(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Ordered new, first fire in 2012; hour meter, same panel as day one, reads 190,000".

    Arithmetic: hours ≤ 8,766 a year since 1 January of the year it started. Tolerance: the wording's. Only where no
    year of build was read, and one year was told with starting, installing or first firing. Always a question.
    Source: the calendar.
    """
    rule = "hours_since_start"
    index = facts(walk)
    if walk.identity.year is not None or any(
        c.rule == "hours_exceed_age" and "could not" not in c.outcome for c in walk.checked
    ):
        return
    years = [q for q in index.of("year") if _STARTED.search(sentence(q))]
    years += [
        as_figure(n, "year", "") for n in walk.loose if 1950 <= n.value <= today.year and _STARTED.search(n.before)
    ]
    hours = [q for q in index.of("hours") if (size(q, "hour") or 0.0) > 1000 and q.value_max is None]
    if len({q.value for q in years}) != 1 or not hours:
        return
    y, h = years[0], max(hours, key=lambda q: size(q, "hour") or 0.0)
    most = ((today - date(int(y.value), 1, 1)).days + 1) * 24.0

    def holds(y: Quantity, h: Quantity) -> bool:
        days = (today - date(int(y.value), 1, 1)).days + 1 if 1800 < y.value <= today.year else 0
        return (size(h, "hour") or 0.0) <= days * 24.0 * (1 + slack(h))

    message = (
        f"{said(h)} is more than the {figure(round(most), 'hour')} there have been since {y.value:.0f}: read the "
        "meter again, and ask "
        "whether it came from another machine."
    )
    yield from verdict(rule, [y, h], holds, message, level="check")


_STEAM_HEATED = re.compile(r"\b(?:chest|platen|roll\w*|jacket|cylinder|can|drum|plate|calender|ironer|press|kettle)\b")


def hotter_than_its_steam(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Holds a hundred psi at the chests; she put the infrared gun on the chest, four eighty Fahrenheit".

    Arithmetic: what steam heats is no hotter than the steam, boiling temperature at gauge pressure + 1 atmosphere.
    Tolerance 15 °F plus wording. Only a chest, platen, roll, drum or jacket heated by steam, one steam pressure of the
    walk, and a temperature beside its name, no burner or oil near. Always a question. Source: IAPWS-IF97.
    """
    rule = "hotter_than_its_steam"
    index = facts(walk)
    pressures = [
        q
        for q in pool(
            index,
            "psi",
            re.compile(r"\b(?:steam|chest\w*|reduc\w+|header)\b"),
            re.compile(r"\b(?:design|relief|rated|air|test\w*|gas)\b"),
            ("pressure",),
        )
        if "steam" in sentence(q)
    ]
    whole = " ".join(sentence(q) for q in index.quantities)
    if len({q.value for q in pressures}) != 1 or re.search(
        r"\b(?:thermal oil|hot oil|electric(?:ally)? heat\w*|infrared heat\w*|superheat\w*)\b", whole
    ):
        return
    p = pressures[0]
    mega = size(p, "megapascal") or 0.0
    at = saturation(mega + 0.101325) if 0 < mega < 15 else 0.0
    heated = [q for q in index.of("temperature") if q.value_max is None and (size(q, "degC") or 0.0) > 100]
    kind = str(walk.identity.kind.value).lower() if walk.identity.kind else ""
    for hot in heated:
        if re.search(r"\b(?:burner|stack|flue|oven|furnace|air|exhaust|flame|product|oil)\b", sentence(hot)):
            continue
        near = _STEAM_HEATED.search(f"{called(index, hot)} {kind}")
        if not near or settled(walk, hot, p) or not at:
            continue

        def holds(hot: Quantity, p: Quantity) -> bool:
            m = size(p, "megapascal") or 0.0
            if not 0.0 < m < 15:
                return False
            return (size(hot, "degC") or 0.0) <= saturation(m + 0.101325) + 9 + 100 * slack(hot, p)

        message = (
            f"Steam at {said(p)} has {figure(round(convert(at, 'degC', hot.unit)), hot.unit)}, so what it heats "
            f"cannot be {said(hot)}: "
            "read both again; does a bare surface fool the gun?"
        )
        yield from verdict(rule, [hot, p], holds, message, level="check")


_LIFT_SPEED = re.compile(r"\b(?:lift\w*|hoist\w*|hook|full load)\b")


def hoist_power(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Ten ton crane; full load lift speed twenty feet a minute; the motor behind it, three horse".

    Arithmetic: power = load × speed. Tolerance: no more than the motor gives plus 10 % and wording, as gears lose
    besides. Only a lifting speed, the one rated load of a crane or hoist, and a motor power told within 12 s of the
    speed. Always a question. Source: P = F·v (33,000 ft·lb/min a horsepower).
    """
    rule = "hoist_power"
    index = facts(walk)
    speeds = [
        q
        for q in pool(
            index, "metre/minute", _LIFT_SPEED, re.compile(r"\b(?:bridge|trolley|travel|cross|long)\b"), ("speed",)
        )
        if q.unit != "rpm"
    ]
    kind = str(walk.identity.kind.value).lower() if walk.identity.kind else ""
    loads = [
        q
        for q in index.of("weight", "other")
        if q.unit in ("ton", "tonne", "kilogram", "pound")
        and q.value_max is None
        and (_LIFTER.search(f"{called(index, q)} {kind}") or "girder" in sentence(q))
        and not re.search(r"\b(?:weighs?|own weight|dead|biggest|heaviest|die|load is)\b", called(index, q))
    ]
    if len({kilonewtons(q) or size(q, "kilogram") for q in loads}) != 1 or not speeds:
        return
    v, load = speeds[0], loads[0]
    powers = [
        q
        for q in pool(index, "watt", None, re.compile(r"\b(?:bridge|trolley|travel)\b"), ("power",))
        if abs(moment(q) - moment(v)) <= 12
    ]
    if len({q.value for q in powers}) != 1:
        return
    p = powers[0]

    def kilowatts(load: Quantity, v: Quantity) -> float:
        newtons = (size(load, "kilogram") or 0.0) * 9.80665
        return newtons * (size(v, "metre/second") or 0.0) / 1000

    def holds(load: Quantity, v: Quantity, p: Quantity) -> bool:
        return kilowatts(load, v) <= (size(p, "kilowatt") or 0.0) * (1.10 + slack(load, v, p))

    made = kilowatts(load, v)
    if not 0.02 <= made / (size(p, "kilowatt") or 1.0) <= 30:
        return
    message = (
        f"{said(load)} at {said(v)} take {figure(round(made / one_of(p.unit, 'kilowatt'), 1), p.unit)} without "
        f"losses, {said(p)} was stated: "
        "read the motor plate, and the rated load on the hook block; fitness not examined."
    )
    yield from verdict(rule, [load, v, p], holds, message, level="check", note="fitness not examined")


_SPAN = re.compile(r"\b(?:span|rail to rail|bridge (?:is|length))\b")
_BAY = re.compile(r"\b(?:bay|wall to|inside of the wall|hall|building|column\w*|between the walls|house)\b")


def span_in_its_bay(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Span on the crane's tag is sixty foot; the bay itself, wall to wall, fifty feet".

    Arithmetic: span ≤ width of the bay. Tolerance: the wording's. Only a length told as a span or rail to rail, and one
    width told of the bay, hall or between walls, no runway. Always a question. Source: plain geometry.
    """
    rule = "span_in_its_bay"
    index = facts(walk)
    sizes = [
        q
        for q in pool(
            index,
            "metre",
            None,
            re.compile(r"\b(?:high|height|tall|long|runway|hook|eaves?|thick)\b"),
            ("length", "width"),
        )
        if (size(q, "metre") or 0.0) > 2
    ]
    spans = [q for q in sizes if _SPAN.search(called(index, q))]
    bays = [q for q in sizes if q not in spans and _BAY.search(called(index, q))]
    if len({q.value for q in spans}) != 1 or len({q.value for q in bays}) != 1 or settled(walk, spans[0], bays[0]):
        return

    def holds(span: Quantity, bay: Quantity) -> bool:
        return (size(span, "metre") or 0.0) <= (size(bay, "metre") or 0.0) * (1.0 + slack(span, bay))

    message = (
        f"A span of {said(spans[0])} does not fit into a bay of {said(bays[0])}: read the crane's "
        "plate, and measure the bay again."
    )
    yield from verdict(rule, [spans[0], bays[0]], holds, message, level="check")


_CAPACITY = re.compile(r"\b(?:capacity|nameplate|name plate|total volume|nominal|holds?|rated)\b")
_WORKING = re.compile(r"\b(?:working volume|brim\w*|to the flange|full|batch (?:size|volume|sheet)|usable|working)\b")


def capacity_and_contents(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "On the nameplate, capacity one thousand gallons; working volume brimful to the flange, 2,500 litres".

    Arithmetic: contents ≤ capacity, and brimful at least 0.8 of it in US or imperial gallons. Tolerance 3 % plus
    wording. Only one volume told as capacity or on the nameplate and one as working, batch or brimful, of a walk with
    no third of either kind. Always a question. Source: plain order; 231 in³ a US gallon, 277.42 in³ an imperial one.
    """
    rule = "capacity_and_contents"
    index = facts(walk)
    volumes = [
        q
        for q in pool(
            index,
            "litre",
            None,
            re.compile(r"\b(?:oil|sump|fuel|reservoir|coolant|jacket|seal|an hour|a minute)\b"),
            ("volume",),
        )
        if (size(q, "litre") or 0.0) >= 20
    ]
    works = [q for q in volumes if _WORKING.search(called(index, q))]
    caps = [q for q in volumes if _CAPACITY.search(called(index, q)) and q not in works]
    if len({q.value for q in works}) != 1 or len({q.value for q in caps}) != 1 or settled(walk, works[0], caps[0]):
        return
    w, c = works[0], caps[0]
    brim = bool(re.search(r"\b(?:brim\w*|to the (?:flange|top|rim|lid))\b", called(index, w)))

    def holds(w: Quantity, c: Quantity) -> bool:
        ratio, loose_by = (size(w, "litre") or 0.0) / (size(c, "litre") or 1.0), slack(w, c)
        gallons = 1.20095 if c.unit == "gallon" else 1.0
        return (0.8 if brim else 0.3) - loose_by <= ratio <= (1.03 + loose_by) * gallons

    if not 0.05 <= (size(w, "litre") or 0.0) / (size(c, "litre") or 1.0) <= 20:
        return
    message = (
        f"A capacity of {said(c)} is {figure(round(size(c, w.unit) or 0.0), w.unit)}, {said(w)} was stated as "
        "what goes in: read the plate, "
        "which gallons?"
    )
    yield from verdict(rule, [w, c], holds, message, level="check")


RULES = (
    time_through,
    charges_make_the_day,
    pieces_of_a_stroke,
    humidity_over_full,
    each_and_total,
    counts_within_counts,
    direct_current_power,
    inside_over_all,
    store_and_weight,
    lifted_by,
    out_by_the_door,
    warms_in_time,
    belt_wider_than_long,
    numbered_off,
    hours_since_start,
    hotter_than_its_steam,
    hoist_power,
    span_in_its_bay,
    capacity_and_contents,
)
