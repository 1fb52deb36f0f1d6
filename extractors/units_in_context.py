"""Units that the words around a bare figure supply: its property, the figure it stands beside, the thing it is of.

"Weighs thirty eight thousand", "oil thirteen gallons, coolant's twenty nine", "the breaker's a twelve hundred". What is
read so is marked in doubt with the unit that was supplied, since nobody said it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise

from extractors.figure_stream import Raw, Stream, one_of
from extractors.phrases import is_plural
from extractors.unit_words import Unit
from vocab import Vocabulary

BACK = 7
"""Words between a property and its figure at most; chosen, no source."""
NEARBY = 14
"""Words between a figure with its unit and the bare one beside it at most; chosen, no source."""
ALIKE = 40.0
"""Figures of one kind beside one another differ by no more than this factor; chosen, no source."""
BEING = frozenset(
    "is are was were 's 're at of about around roughly on it it's its the a an that's that set says reads too".split()
)
"""Words that may stand between a noun and its figure."""
BEHIND = frozenset(
    "and at on with for in from so but or which that's it's its overall total now here there again each apiece "
    "empty loaded dry wet full to i they he she we you if when because according per plus before after give as then "
    "though".split()
)
"""Words that may follow a figure that counts nothing."""
COUNTING = frozenset("there's there there're has have had got with are of number no lot".split())
ENDINGS = frozenset("top peak eave eaves roof highest hook flange deck rail rails curb ridge stack floor".split())
LIKE_UNITS = (
    "length",
    "volume",
    "mass",
    "power",
    "current",
    "pressure",
    "temperature",
    "flow",
    "voltage",
    "speed",
    "area",
    "mass flow",
)
RETURNED = frozenset("back returns return returning".split())
"""Words of a figure that is of what comes back, and so of another thing than the one before: "and comes back at 38"."""
TWIN, TWINS = 3.0, 6.0
"""Times that a figure may be the one it stands for, a sentence on and in the same one; chosen, no source."""
LEADING = frozenset(
    "is are was at does did has have had goes takes gives holds max max. past runs got sometimes standby out".split()
)
"""Words right before a figure that stands for another of its kind."""
DRIVEN = frozenset(
    "drive motor fan pump blower mixer agitator compressor conveyor spindle head hoist trolley bridge feeder crusher "
    "mill screw chipper saw auger gearbox shredder hammermill elevator rotor".split()
)
"""Things whose bare figure, said on them, is of their motor."""
LEAST_HELD = 20
"""A bare figure that a vessel holds is no count from here on; chosen, no source."""
HEADS = 4
"""Sentences behind a heading whose bare figures are of it; chosen, no source."""
RATED = 10
"""Words between what is driven and its rating, at most; chosen, no source."""
RATED_AS = frozenset("but possibly maybe probably rated only just".split())
"""Words that may stand right before a rating."""
NEMA_RATINGS = frozenset(
    {0.25, 0.33, 0.5, 0.75, 1, 1.5, 2, 3, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 60, 75, 100, 125, 150, 200, 250, 300,
     350, 400, 450, 500}
)  # fmt: skip
"""Standard horsepower ratings (NEMA MG 1)."""
IEC_RATINGS = frozenset(
    {0.06, 0.09, 0.12, 0.18, 0.25, 0.37, 0.55, 0.75, 1.1, 1.5, 2.2, 3, 3.7, 4, 5.5, 7.5, 9, 11, 15, 18.5, 22, 30, 37,
     45, 55, 75, 90, 110, 132, 150, 160, 185, 200, 220, 250, 280, 300, 315, 335, 355, 375, 400}
)  # fmt: skip
"""Preferred rated outputs in kilowatts (IEC 60072-1; from memory)."""
SYNCHRONOUS = (3600, 3000, 1800, 1500, 1200, 1000, 900, 750)
"""120 f / poles at 60 and 50 Hz, two to eight poles (NEMA MG 1)."""
MOST_SLIP = 0.065
"""What an induction motor at full load falls behind, at most; common practice, no source."""
HEATED = (30, 1800)
"""Bare figures that may be degrees, of either scale; chosen, no source."""
HEATING = frozenset(
    (
        "water milk glue pot oven furnace bath melt solder holding cook bake baking bakes cure cures heat heated heats "
        "hot heater steam oil plate board zone retort kettle pasteurised pasteurized pasteurizer grain product stock "
        "kiln stack flue autoclave sterilised bread wax dryer"
    ).split()
)
"""Words beside which "at 161" is a temperature."""
HELD_THINGS = frozenset("it her him them that this those".split())
HOLDING = frozenset("hold held keep kept holding keeping".split())
BATHS = frozenset(
    "bath strike cleaner rinse wash tank dip etch seal pickle phosphate acid caustic brine vat dye".split()
)
"""Places whose contents are held at a temperature, where one was told before."""
FINE = 64
"""Sixty-fourths: the finest part of an inch on a rule."""


@dataclass(frozen=True, slots=True)
class Cue:
    """One row of vocab/left_out.toml for one of its words."""

    kind: str
    dimension: str
    customary: str
    metric: str
    least: float


@lru_cache(maxsize=8)
def cues(vocabulary: Vocabulary) -> dict[tuple[str, ...], Cue]:
    """Words -> what they say of a bare figure."""
    return {
        tuple(word.split()): Cue(
            row["kind"], row["dimension"] or "", row["customary"] or "", row["metric"] or "", row["least"] or 0.0
        )
        for row in vocabulary["left_out"]
        for word in row["words"]
    }


def within(a: float, b: float, times: float) -> bool:
    """Whether neither of two values is more than so many times the other."""
    low, high = sorted((abs(a), abs(b)))
    return low > 0 and high / low <= times


class InContext(Stream):
    """Answers which unit a bare figure is in."""

    def __init__(self, tokens: tuple, vocabulary: Vocabulary) -> None:  # type: ignore[type-arg]
        super().__init__(tokens, vocabulary)
        self.cues = cues(vocabulary)
        self.is_metric: bool | None = None

    def supplied(self, raw: Raw, raws: Sequence[Raw], before: Sequence[Raw]) -> Raw | None:
        """The figure with the unit that its surroundings give it, marked; None where they give none."""
        if raw.unit is not None or not self.bare(raw):
            return None
        if self.is_metric is None:
            self.is_metric = metric_talk(raws)
        return (
            self.below_zero(raw, before)
            or self.by_property(raw, raws, before)
            or self.by_thing(raw, before)
            or self.beside(raw, before)
            or self.on_the_drive(raw, before)
            or self.rated(raw, raws, before)
            or self.motor_speed(raw)
            or self.thermal(raw, raws, before)
            or self.under_heading(raw, raws, before)
            or self.counterpart(raw, before)
        )

    # ------------------------------------------------------------------------------------------------ the figure

    def bare(self, raw: Raw) -> bool:
        """Whether a number stands without a noun that it could count, and is no name of one of several."""
        n = raw.number
        spelled = n.form == "digits" and not any(c.isdigit() for c in self.tokens[n.first].text)
        if spelled or self.tokens[raw.first].text[:1] in "$£€#" or raw.value == 0:
            return False
        if raw.last - raw.first == 1 and self.lower(raw.first) in ("one", "a"):
            return False
        if n.form in ("year", "digits", "cardinal") and 1900 <= raw.value <= 2035 and raw.value == int(raw.value):
            year = self.lower(raw.first - 1) in ("in", "a", "an", "from", "since", "of", "about")
            if year and not self.holds_word(("weight", "weighs", "hours"), max(0, raw.first - 6), raw.first):
                return False
        before = self.lower(raw.first - 1) if self.linked(raw.first) else ""
        cue = self.cues.get((one_of(before),))
        if cue is not None and cue.kind == "count":
            return False
        after = self.lower(raw.last) if self.linked(raw.last) else ""
        if after == "of" and self.lower(raw.last + 1) in ("that", "those", "which"):
            return True  # "eleven thousand hours, six thousand of that in cycle"
        if after == "of" or (after in ("and", "or") and self.lower(raw.last + 1).isdigit()):
            return False
        if after == "in" and self.lower(raw.last + 1) == "a":
            return False
        return not after or after in BEHIND

    # ------------------------------------------------------------------------------------------- where it is from

    def by_property(self, raw: Raw, raws: Sequence[Raw], before: Sequence[Raw]) -> Raw | None:
        """ "Gross weight on the plate is thirty eight thousand two hundred": the property's own unit."""
        a, _ = self.sentence(raw.first)
        k = raw.first - 1
        steps = 0
        while k >= a and (steps < BACK or k < a + 2):
            if self.figured(k, before):
                return self.as_supplied(raw, k, before)
            for n in (2, 1):
                cue = self.cues.get(tuple(self.lower(k - n + 1 + j).removesuffix("'s") for j in range(n)))
                if cue is None or cue.kind != "property" or k - n + 1 < a:
                    continue
                thing = one_of(self.lower(k + 1)) in DRIVEN | {"valve", "vessel", "switch", "gauge", "hose", "tank"}
                if k + 1 < raw.first and self.linked(k + 1) and thing and is_plural(self.lower(k + 1)):
                    return None  # "high pressure pumps in the back room, three"
                paused = self.tokens[k + 1].after == "," and k + 2 == raw.first and self.linked(k + 1)
                if paused and is_plural(self.lower(k + 1)) and 2 <= raw.value < LEAST_HELD and not raw.value % 1:
                    return None  # "pressure vents, two, both clear"
                turning = cue.customary == "rpm"  # hertz told before are those of the supply
                unit = None if turning else self.unit_of(cue.dimension, raw, raws, before)
                unit = unit or self.default(cue, raw)
                return None if unit is None else self.with_supplied(raw, unit)
            apart = k < raw.first - 1 and self.tokens[k].after in (",", ";", ":") and steps > 3
            k -= 1
            steps += 1
            if (apart or steps == BACK) and k > a + 1:
                steps = BACK
                k = a + 1  # "temperature in the chambers, first two they keep one sixty, the rest one ninety five"
        return None

    def under_heading(self, raw: Raw, raws: Sequence[Raw], before: Sequence[Raw]) -> Raw | None:
        """ "Hours. The lead one's on 41,200. The rest are about 38,000": a sentence that is nothing but the name of a
        property says what the bare figures behind it are of, until another kind of figure is told."""
        a, _ = self.sentence(raw.first)
        for _back in range(HEADS):
            if a == 0:
                return None
            a, b = self.sentence(a - 1)
            cue = self.headed(a, b)
            if cue is None:
                continue
            said = [r for r in before if r.unit is not None and r.first >= b]
            if any(r.unit is not None and r.unit.dimension != cue.dimension for r in said):
                return None
            unit = self.unit_of(cue.dimension, raw, raws, said) or self.default(cue, raw)
            if unit is None:
                return None
            supplied = self.with_supplied(raw, unit)
            return replace(supplied, property="hours") if unit.pint == "hour" else supplied
        return None

    def headed(self, a: int, b: int) -> Cue | None:
        """The property that a sentence names and nothing more: "Hour meters", "Run hours off the controllers"."""
        for end in range(a + 1, min(a + 3, b) + 1):
            names = tuple(one_of(self.lower(k)) for k in range(a, end))
            cue = self.cues.get(names) or self.cues.get(names[-1:]) or self.cues.get((self.lower(end - 1),))
            if cue is None or cue.kind != "property":
                continue
            alone = end == b or (self.lower(end) in ("off", "on", "of", "from", "for", "in", "at") and b - end <= 4)
            return cue if alone else None
        return None

    def as_supplied(self, raw: Raw, k: int, before: Sequence[Raw]) -> Raw | None:
        """ "Temperature, first two they keep one sixty, the rest one ninety five": as the figure at k, whose unit was
        supplied as well."""
        told = next((r for r in before if r.first <= k < r.last), None)
        if told is None or told.unit is None or not (told.doubt or "").endswith("the unit was not said"):
            return None
        paused = bool(self.tokens[told.last - 1].after) and raw.first - told.last <= BACK
        named = any(self.classes.of(self.lower(j)) in ("content", "name") for j in range(told.last, raw.first))
        near = within(raw.value, told.value, 3.0)
        alike = paused and near and (named or self.lower(raw.first - 2) in ("rest", "other"))
        return self.with_supplied(raw, told.unit) if alike and told.unit.property == "temperature" else None

    def below_zero(self, raw: Raw, before: Sequence[Raw]) -> Raw | None:
        """ "Forty kilowatts of cooling at minus four": nothing else on a machine is below zero."""
        if raw.value >= 0:
            return None
        unit = self.unit_of("temperature", raw, (), before) or self.row("degree")
        return self.with_supplied(raw, unit)

    def on_the_drive(self, raw: Raw, before: Sequence[Raw]) -> Raw | None:
        """ "Seven and a half on the drive": the power of what drives."""
        if self.lower(raw.last) not in ("on", "for", "in") or not self.linked(raw.last):
            return None
        behind = [self.lower(k) for k in range(raw.last + 1, raw.last + 5) if self.same_sentence(raw.first, k)]
        drives = next((k for k, w in enumerate(behind) if one_of(w) in DRIVEN), None)
        if drives is None or behind[0] not in ("the", "each", "that", "this", "its"):
            return None
        unit = self.unit_of("power", raw, (), before)
        return None if unit is None else self.with_supplied(raw, unit)

    def by_thing(self, raw: Raw, before: Sequence[Raw]) -> Raw | None:
        """ "The breaker's a twelve hundred", "main motor's a forty"."""
        k = raw.first - 1
        while k > raw.first - 6 and self.lower(k) in (
            "a",
            "an",
            "is",
            "'s",
            "are",
            "about",
            "that's",
            "it's",
            "it",
            "that",
            "takes",
            "holds",
            "outside",
        ):
            k -= 1
        if self.lower(k) == "on":
            k -= 1  # "the pump on that's a two point two"
        word = self.lower(k)
        if k == raw.first - 1 and not word.endswith("'s"):
            return None
        if self.lower(raw.first - 1) in ("takes", "holds") and raw.value < LEAST_HELD:
            return None  # "the tank takes two agitators"
        if not self.same_sentence(k, raw.first):
            return None
        cue = self.cues.get((one_of(word.removesuffix("'s")),))
        if cue is None or cue.kind != "thing" or raw.value < cue.least:
            return None
        unit = self.unit_of(cue.dimension, raw, (), before) or self.default(cue, raw)
        return None if unit is None else self.with_supplied(raw, unit)

    def rated(self, raw: Raw, raws: Sequence[Raw], before: Sequence[Raw]) -> Raw | None:
        """ "Vacuum pump, water ring, that's possibly one point five", "the outlet fan is the same but ninety".

        Of what is driven, a standard rating that ends its clause, where powers are told in this recording."""
        a, _ = self.sentence(raw.first)
        taken = max((r.last for r in before if r.unit is not None), default=0)
        near = range(max(a, taken, raw.first - RATED), raw.first)
        named = [k for k in near if one_of(self.lower(k).removesuffix("'s")) in DRIVEN]
        if not named or not self.same_sentence(named[-1], raw.first) or self.linked(raw.last):
            return None
        joined = self.tokens[raw.first - 1].after == "," or self.lower(raw.first - 1) in BEING | RATED_AS
        joined = joined or self.lower(raw.first - 1).endswith("'s")
        counted = raw.value < 10 and raw.value % 1 == 0 and is_plural(self.lower(named[-1]))
        if not joined or counted or COUNTING & {self.lower(k) for k in range(named[-1], raw.first)}:
            return None
        unit = self.unit_of("power", raw, raws, before)
        if unit is None or raw.value not in (IEC_RATINGS if unit.pint == "kilowatt" else NEMA_RATINGS):
            return None
        return self.with_supplied(raw, unit)

    def motor_speed(self, raw: Raw) -> Raw | None:
        """ "Main motor seven and a half kilowatt. It's a two-speed, fourteen-forty or nine-sixty": a little below a
        synchronous speed (IEC 60034-1, NEMA MG 1), where a motor or what it drives is spoken of."""
        slip = min((1 - raw.value / n for n in SYNCHRONOUS if n >= raw.value), default=1.0)
        ends = not self.linked(raw.last) or self.lower(raw.last) in ("or", "and")
        if not 0 <= slip <= MOST_SLIP or raw.value % 1 or not ends or raw.number.form == "year":
            return None
        here = self.tokens[raw.first].sentence
        told = {one_of(t.lower.removesuffix("'s")) for t in self.tokens[max(0, raw.first - 24) : raw.first]
                if here - t.sentence <= 1}  # fmt: skip
        other = told & {"hour", "weigh", "weighs", "litre", "serial", "model"}
        if other or not told & (DRIVEN | {"speed", "two-speed"}):
            return None
        return self.with_supplied(raw, self.row("rpm"))

    def thermal(self, raw: Raw, raws: Sequence[Raw], before: Sequence[Raw]) -> Raw | None:
        """ "Sixteen seconds at 161, and they run it at 164", "water gets to about 171": what is heated or cooled."""
        if not HEATED[0] <= raw.value <= HEATED[1] or raw.value % 1 or raw.value_max is not None:
            return None
        if self.linked(raw.last) and self.lower(raw.last) not in BEHIND:
            return None
        k = raw.first - 1
        while self.lower(k) in ("about", "around", "maybe", "roughly", "only"):
            k -= 1
        if self.lower(k) not in ("at", "to", "off") or not self.linked(k + 1):
            return None
        a, _ = self.sentence(raw.first)
        near = {one_of(t.lower.removesuffix("'s")) for t in self.tokens[max(a, raw.first - 12) : raw.first]}
        near |= {t.lower for t in self.tokens[max(a, raw.first - 12) : raw.first]}
        told = any(r.unit is not None and r.unit.dimension == "temperature" for r in before)
        # "Six is the copper strike. We hold her at one thirty", where degrees were told before
        held = told and self.lower(k - 1) in HELD_THINGS and self.lower(k - 2) in HOLDING
        hot = near & HEATING or (held and {one_of(t.lower) for t in self.tokens[max(0, a - 12) : a]} & BATHS)
        if not hot or near & {"gear", "rate", "speed", "hour", "page", "number", "serial", "volt", "psi"}:
            return None
        unit = self.unit_of("temperature", raw, raws, before) or self.row("degree")
        return self.with_supplied(raw, unit)

    def beside(self, raw: Raw, before: Sequence[Raw]) -> Raw | None:
        """ "Saw motor fifteen horse, scoring motor two": the unit of the figure right before, another thing's."""
        last = before[-1] if before else None
        if (
            last is None
            or last.unit is None
            or not self.can_stand(last.unit)
            or last.property in ("rate", "count", "hours")
        ):
            return None
        gap = [t.lower for t in self.tokens[last.last : raw.first]]
        paused = (
            any(t.after in (",", ";", ".", ":") for t in self.tokens[last.last - 1 : raw.first - 1]) or "and" in gap
        )
        near = self.tokens[raw.first].sentence - self.tokens[last.first].sentence <= 1
        # "thirty tonne an hour on a dry sample, twenty if it's wet"
        turned = bool(gap) and self.tokens[raw.first - 1].after == "," and self.leads(last.last)
        if (
            not ((paused or turned) and near and len(gap) <= BACK)
            or COUNTING & {*gap[:-1]}
            or self.asides(last.last, raw.first)
        ):
            return None
        if not self.alike(raw.value, last.value):
            return None
        counted = self.tokens[raw.first - 1].after == "," and bool(gap) and is_plural(gap[-1])
        of_that = self.lower(raw.last) == "of" and last.unit.dimension in LIKE_UNITS
        of_that = of_that and not counted  # "every four pounds. Feeder bowls, two of those"
        # "eleven kilowatt for the spiral and one point five for the bowl", "38 feet in the pit and 22 on the incline"
        same_way = bool(gap) and gap[-1] in ("and", "or", "then") and self.leads(raw.last) and self.leads(last.last)
        cased = self.lower(raw.last) in ("if", "when", "with", "without")
        same_way = same_way or (turned and (self.leads(raw.last) or cased))
        # "at 200 degrees for the hotmelt, and 220 when the other one is in"
        same_way = same_way or (bool(gap) and gap[-1] in ("and", "or", "but") and cased and self.leads(last.last))
        decimal = raw.number.form == "decimal" and gap in ([], ["and"]) and self.leads(raw.last)
        if of_that or same_way or decimal:
            return self.with_supplied(raw, last.unit)
        if not gap or not paused or last.unit.dimension not in LIKE_UNITS:
            return None
        if counted and raw.value % 1 == 0:
            return None  # "storm pumps, two": a count
        words = [w.removesuffix("'s") for w in gap]
        nouns = [
            w for w in words if self.classes.of(w) in ("content", "name", "unit") or w.endswith("ing") or w == "other"
        ]
        if len(gap) > 1 and self.classes.of(gap[-2]) == "number" and gap[-1] in ("are", "is"):
            nouns.append(gap[-2])  # "six are twenty five hecto, four are fifty"
        verbs = [
            w for w in gap if self.classes.of(w) in ("acts", "stands_in", "asks") and w not in BEING and w[-3:] != "ing"
        ]
        numbered = {w for w, n in pairwise(words) if self.classes.of(n) == "number"}  # "zone four is metering too, 195"
        cue = next((c for w in nouns if w not in numbered and (c := self.cues.get((one_of(w),)))), None)
        if not nouns or verbs or (cue is not None and cue.kind == "count"):
            return None
        if cue is not None and cue.kind == "thing" and cue.dimension != last.unit.dimension:
            return None  # "ten gallons an hour. The tank's three hundred"
        to_it = self.lower(raw.first - 1)
        is_there = to_it in BEING or to_it.endswith("'s") or one_of(to_it) in {one_of(n) for n in nouns[-1:]}
        return self.with_supplied(raw, last.unit) if is_there else None

    def can_stand(self, unit: Unit) -> bool:
        """Whether a figure in a unit may stand for a bare one beside it."""
        return unit.dimension in (*LIKE_UNITS, "time") or unit.said == "degree"

    def counterpart(self, raw: Raw, before: Sequence[Raw]) -> Raw | None:
        """ "Cycle's six minutes on castings, three for plate", "the third's only two-fifty": what stands where the
        figure before it stood, of another thing or case."""
        last = before[-1] if before else None
        if last is None or last.unit is None or not self.can_stand(last.unit):
            return None
        gap = [t.lower for t in self.tokens[last.last : raw.first]]
        apart = self.tokens[raw.first].sentence - self.tokens[last.first].sentence
        if not gap or len(gap) > NEARBY or apart > 1 or self.asides(last.last, raw.first):
            return None
        if (COUNTING & {*gap} and raw.value < LEAST_HELD) or RETURNED & {*gap}:
            return None
        if last.property in ("rate", "count", "hours") or not within(raw.value, last.value, TWIN if apart else TWINS):
            return None
        k = raw.first - 1
        while k > last.last and self.lower(k) in ("about", "around", "only", "just", "maybe", "roughly", "a", "an"):
            k -= 1
        lead = self.lower(k)
        if lead == "at" and last.unit.dimension in ("length", "volume", "mass", "area"):
            return None  # "85 gallons like the washes and held at a hundred and thirty"
        if (
            not (lead.endswith("'s") or lead in LEADING)
            or not self.linked(k + 1)
            or lead in ("that's", "it's", "there's")
        ):
            return None
        return self.with_supplied(raw, last.unit)

    def leads(self, i: int) -> bool:
        """Whether token i is a preposition: "for the bowl", "on the incline"."""
        return self.lower(i) in (
            "for",
            "on",
            "in",
            "at",
            "between",
            "from",
            "through",
            "across",
            "over",
            "under",
            "with",
        )

    def asides(self, a: int, b: int) -> bool:
        return any(t.aside for t in self.tokens[a:b])

    def figured(self, k: int, before: Sequence[Raw]) -> bool:
        """Whether token k is of a figure that was read already."""
        return any(r.first <= k < r.last and r.unit is not None for r in before[-2:])

    # ------------------------------------------------------------------------------------------------- the unit

    def unit_of(self, dimension: str, raw: Raw, raws: Sequence[Raw], before: Sequence[Raw]) -> Unit | None:
        """The unit in which that kind of figure was last given, or is given next, of a like size."""
        fits = [r for r in before if r.unit is not None and r.unit.dimension == dimension]
        later = [r for r in raws if r.first > raw.first and r.unit is not None and r.unit.dimension == dimension]
        for r in (*reversed(fits), *later[:1]):
            if r.unit is not None and self.alike(raw.value, r.value) and r.property not in ("rate", "cycle"):
                return r.unit
        if dimension == "volume":  # "ten gallons an hour. The tank's three hundred"
            flows = (r.unit.pint.split("/")[0] for r in reversed(before) if r.unit and r.unit.dimension == "flow")
            spoken = next(flows, "")
            return self.row(spoken) if spoken in ("gallon", "litre") else None
        return None

    def default(self, cue: Cue, raw: Raw) -> Unit | None:
        spoken = cue.metric if self.is_metric else cue.customary
        return self.row(spoken) if spoken and raw.value >= cue.least else None

    def alike(self, a: float, b: float) -> bool:
        return within(a, b, ALIKE)

    def with_supplied(self, raw: Raw, unit: Unit) -> Raw:
        if unit.said == "metre" and raw.value >= 100 and raw.value % 1 == 0:
            unit = self.row("millimetre")  # "at a pitch of 900", as metric speakers say
        told = "degrees" if unit.dimension == "temperature" else unit.said
        return replace(raw, unit=unit, doubt=raw.doubt or f"{told} supplied: the unit was not said")

    # ------------------------------------------------------------------------------------ inches and feet by form

    def inch_part(self, raw: Raw) -> Raw | None:
        """ "seven and an eighth", "three sixteenths": parts that only a rule in inches has."""
        parts = raw.value * FINE
        if raw.unit is not None or raw.number.form != "fraction" or parts != int(parts) or (raw.value * 4).is_integer():
            return None
        named = self.lower(raw.last) in ("by", "x", "to", "thick", "wide", "plate", "wall") or raw.value < 1
        named = named and self.lower(raw.last) not in ("of", "the", "to")
        if not self.bare(raw) and not named:
            return None
        return replace(raw, unit=self.row("inch"), doubt="inch supplied: the unit was not said")

    def feet_inches_pair(self, feet: Raw, inches: Raw, before: Sequence[Raw]) -> Raw | None:
        """ "eight six wide", "thirteen one to the top of the stack": feet and inches, as feet are talked of."""
        if feet.unit or inches.unit or inches.value >= 12 or feet.value > 120 or feet.value < 2 or feet.value_max:
            return None
        if feet.last != inches.first or not self.linked(inches.first) or feet.value % 1 or inches.value % 1:
            return None
        if not any(r.unit is not None and r.unit.said == "foot" for r in before):
            return None
        shaped = self.lower(inches.last) in ("wide", "long", "high", "tall", "deep", "overall")
        topped = self.lower(inches.last) == "to" and any(self.lower(inches.last + k) in ENDINGS for k in (1, 2, 3))
        named = {"height", "length", "width", "tall", "overall"}
        headed = not self.linked(inches.last) and any(self.lower(feet.first - k) in named for k in range(1, 9))
        if not headed and not (self.linked(inches.last) and (shaped or topped)):
            return None
        doubt = "feet and inches supplied: the units were not said"
        joined = Raw(
            feet.first, inches.last, feet.value + inches.value / 12, feet.number, unit=self.row("foot"), doubt=doubt
        )
        tall = {self.lower(feet.first - k) for k in range(1, 9)} & {"height", "tall"}
        return replace(joined, property="height") if topped or (headed and tall) else self.shaped(joined)


def metric_talk(raws: Sequence[Raw]) -> bool:
    """Whether most figures of a recording are metric."""
    names = [r.unit.pint for r in raws if r.unit]
    metric = ("metre", "millimetre", "centimetre", "litre", "kilogram", "bar", "tonne", "degC")
    customary = ("foot", "inch", "gallon", "pound", "psi", "horsepower", "degF")
    return sum(u.startswith(metric) for u in names) > sum(u.startswith(customary) for u in names)
