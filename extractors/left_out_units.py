"""Units that speech leaves out: "twelve wide" behind feet, "four eighty, three phase", hours on a meter."""

from __future__ import annotations

from dataclasses import replace

from extractors.elided_units import elided, sizes
from extractors.figure_stream import SHAPES, Raw, Stream, one_of
from extractors.joined_figures import MILLIMETRES
from extractors.mentions import Tokens
from extractors.phrases import is_plural
from extractors.spoken_numbers import DUAL_VOLTS
from extractors.unit_words import Unit, figure_words
from extractors.units_in_context import InContext, metric_talk
from vocab import Vocabulary

VOLTAGES = frozenset(
    {110, 115, 120, 200, 208, 220, 230, 240, 277, 347, 380, 400, 415, 440, 460, 480, 500, 525, 550, 575, 600, 660, 690}
)
"""Supply voltages that are said without their unit before "three phase" (IEC 60038, ANSI C84.1)."""
PACKED = frozenset(
    "can bottle jar vial tin pouch sachet cup tub keg bag sack carton case box tray crate tote pallet layer "
    "pack packet bundle basket rack cart trolley bin piece part roll sheet tier shelf pan loaf brick block tile tube "
    "ingot egg "
    "hanger hook carrier fixture stack row mould mold cavity shot batch load drum pail bucket bale".split()
)
"""Things that are packed in one another, as packaging and batch work count them."""
COUNTED = frozenset(
    "pass passes tier tiers ply plies tooth teeth flute flutes lobe lobes groove grooves serration serrations".split()
)
FINE_SHAPES = frozenset("square thick thickness diameter dia od id bore round".split())
DATING = frozenset("stamped dated since year in from tagged until before tested done calibrated certified".split())
"""Words right before a year."""
SPACED = frozenset("spacing pitch apart between centres centers".split())
"""Words behind a bare distance."""
SIZED_BY_NUMBER = frozenset("belt conveyor band web trough".split())
"""Things that metric speakers call by their width: "a 600 belt"."""
OPENINGS = frozenset("door gate opening doorway shutter hatch hatchway bay entrance exit".split())
NEAR = 30
"""Words between a length and a bare figure of another sentence that is in its unit; chosen, no source."""
HOLDS_AT_ONCE = frozenset("takes take holds hold fits fit accepts carries accommodates seats".split())
"""Verbs of a thing that has so many others in it or on it."""
PEOPLE = frozenset("people men women operators hands staff workers guys fellows lads folks persons seats".split())
LEAST_HELD = 10
"""Things held that are no parts of what holds them, from here on; chosen, no source."""
HOLDS = frozenset("has holds takes gets carries fits makes is".split())
HOUR_KINDS = frozenset(
    "operating run running loaded machine service total working power-on spindle engine meter cutting".split()
)


PIECES = frozenset("parts pieces strokes cycles shots hits loads batches bags bottles cases boxes starts".split())
MADE = PIECES | frozenset(
    "impressions products units shots hits parts copies sheets bricks loads dumps presses".split()
)
"""What a counter counts."""
LEAST_COUNTED = 1000
"""Figures on a counter from which on they are what was made; chosen, no source."""
NEAR_COUNTER = 10
"""Words between the counter and its figure, at most; chosen, no source."""
PH_IS = frozenset("is was of at about around runs ran reads sits held says minus the a".split())
"""What may stand between "pH" and its figure."""
LEAST_TURNS = 50
"""Turns from which on they are those of a minute; chosen, no source."""
PLAIN_IS = frozenset("is was of at about around a 's".split())
"""What may stand between the name of a figure without a unit and the figure."""


SIDES_ALIKE = 6
"""How many times one side of a thing is the other where they share a unit; chosen, no source."""


class LeftOut(Stream):
    """The pass that supplies them."""

    def __init__(self, tokens: Tokens, vocabulary: Vocabulary) -> None:
        super().__init__(tokens, vocabulary)
        self.context = InContext(tokens, vocabulary)

    def left_out(self, raws: list[Raw]) -> list[Raw]:
        """The figures, those without a unit with the one that was meant, where it can be told."""
        out: list[Raw] = []
        metric = metric_talk(raws)
        for k, raw in enumerate(raws):
            if raw.unit is not None or self.tokens[raw.first].text[:1] in "$£€" or self.dated(raw):
                out.append(raw)
                continue
            if out and (pair := self.context.feet_inches_pair(out[-1], raw, out[:-1])):
                out[-1] = pair
                continue
            out.append(
                self.wide_behind_feet(raw, out, metric=metric)
                or self.wide_before_feet(raw, raws[k + 1 :])
                or self.volts(raw, raws, k)
                or self.hours(raw)
                or self.packed(raw)
                or self.room_for(raw)
                or self.cycles(raw, raws)
                or self.ph(raw)
                or self.plain(raw)
                or self.turns(raw)
                or self.on_the_counter(raw)
                or self.counted(raw)
                or elided(self, raw, out, raws[k + 1 :])
                or self.opening(raw, raws, k)
                or self.millimetres(raw, raws, k, out)
                or self.apart(raw, raws, metric=metric)
                or self.context.supplied(raw, raws, out)
                or raw
            )
        return out

    def opening(self, raw: Raw, raws: list[Raw], k: int) -> Raw | None:
        """ "Roll-up door's ten by twelve": two bare sizes of an opening are in feet, of a metric speaker in metres."""
        row = sizes(self, raw, raws[k + 1 :])
        at = raw.first - 1
        if at > 0 and self.lower(at) in ("is", "are", "was"):
            at -= 1
        if len(row) != 2 or one_of(self.lower(at).removesuffix("'s")) not in OPENINGS:
            return None
        spoken = "metre" if metric_talk(raws) else "foot"
        if not all(2 <= v <= (12 if spoken == "metre" else 40) for v in row):
            return None
        doubt = f"{spoken} supplied: the unit was not said"
        return replace(raw, unit=self.row(spoken), doubt=raw.doubt or doubt, row=row, place=1, places=2)

    def millimetres(self, raw: Raw, raws: list[Raw], k: int, before: list[Raw]) -> Raw | None:
        """ "Boxes are 800 by 600 inside": bare sizes of a metric speaker from a hundred on."""
        earlier = before[-1] if before else None
        going_on = earlier is not None and earlier.row and earlier.last == raw.first - 1 and earlier.doubt
        row = earlier.row if going_on and earlier is not None else sizes(self, raw, raws[k + 1 :], of=True)
        if len(row) not in (2, 3) or not all(v >= MILLIMETRES for v in row) or not metric_talk(raws):
            return None
        place = earlier.place + 1 if going_on and earlier is not None else 1
        doubt = "millimetre supplied: the unit was not said"
        return replace(
            raw, unit=self.row("millimetre"), doubt=raw.doubt or doubt, row=row, place=place, places=len(row)
        )

    def apart(self, raw: Raw, raws: list[Raw], *, metric: bool) -> Raw | None:
        """ "Flights at 300 spacing", "700 between the bars", "a 600 belt": millimetres, of a metric speaker."""
        behind = self.lower(raw.last)
        if not metric or not self.linked(raw.last) or raw.value < MILLIMETRES or raw.value % 5:
            return None
        spaced = behind in SPACED
        called = behind in SIZED_BY_NUMBER and self.lower(raw.first - 1) in ("a", "an", "the", "one", "two", "that")
        if not spaced and not (called and raw.number.form != "year"):
            return None
        doubt = raw.doubt or "millimetre supplied: the unit was not said"
        return replace(raw, unit=self.row("millimetre"), doubt=doubt, property=None if spaced else "width")

    def dated(self, raw: Raw) -> bool:
        """ "Stamped 2016", "no inspection since 2017": a year, whatever it stands beside."""
        year = 1950 <= raw.value <= 2050 and raw.value == int(raw.value) and raw.value_max is None
        if (
            year
            and raw.first
            and self.tokens[raw.first - 1].after == ","
            and self.tokens[raw.last - 1].after in (",", ".")
        ):
            return True  # "with a dryer, 2018, 9,200 hours"
        return year and self.linked(raw.first) and self.lower(raw.first - 1) in DATING

    def wide_behind_feet(self, raw: Raw, before: list[Raw], *, metric: bool) -> Raw | None:
        """ "Eighteen feet long, nine wide": the unit of the length before it, marked where a sentence ended between."""
        if raw.shape is not None:
            raw = replace(raw, last=raw.last - 1)  # "2.4 wide by three high": a row that was read with its words
        said = raw.last + (self.lower(raw.last) in ("in", "inside", "outside") and self.linked(raw.last))
        if self.lower(said) not in SHAPES or not self.linked(said) or self.lower(said + 1) == "of":
            return None
        raw = replace(raw, last=said)  # "two in diameter"
        shape = SHAPES[self.lower(raw.last)]
        # "a 20 micron filter in a housing, 750 diameter": no size of a body is told in microns
        sizes = (r for r in reversed(before) if r.unit and r.unit.dimension == "length")
        earlier = next((r for r in sizes if r.unit and (r.unit.pint != "micrometre" or shape == "thickness")), None)
        far = earlier is None or earlier.unit is None or raw.first - earlier.last > NEAR
        if far or not self.context.alike(raw.value, earlier.value if earlier else 0.0):
            # "two point four high", "six hundred wide", as metric speakers say
            default = (
                "metre" if raw.number.form == "decimal" and raw.value < 30 else "millimetre" if raw.value >= 100 else ""
            )
            if not default or not (metric_talk(before) or (metric and not any(r.unit for r in before))):
                return None
            doubt = f"{default} supplied: the unit was not said"
            return replace(raw, unit=self.row(default), shape=shape, last=raw.last + 1, doubt=raw.doubt or doubt)
        if earlier is None or earlier.unit is None:
            return None
        if earlier.unit.said == "foot" and raw.number.form == "fraction" and self.lower(raw.last) in FINE_SHAPES:
            doubt = "inch supplied: the unit was not said"  # "a die ten foot long, two and a half square"
            return replace(raw, unit=self.row("inch"), shape=shape, last=raw.last + 1, doubt=raw.doubt or doubt)
        same = self.same_sentence(earlier.first, raw.first)
        if not same and (raw.first - earlier.last > NEAR or not self.context.alike(raw.value, earlier.value)):
            return None
        broken = raw.number.form == "decimal" and 1 <= raw.value < 30 and shape in ("length", "width", "height")
        if earlier.unit.said == "millimetre" and broken and raw.value % 1:
            doubt = "metre supplied: the unit was not said"  # "three millimetre mild steel. Overall it's 3.4 long"
            return replace(raw, unit=self.row("metre"), shape=shape, last=raw.last + 1, doubt=raw.doubt or doubt)
        if earlier.unit.said == "metre" and raw.value >= MILLIMETRES:
            doubt = "millimetre supplied: the unit was not said"  # "26 metres by 11 ... boxes are 250 deep"
            return replace(raw, unit=self.row("millimetre"), shape=shape, last=raw.last + 1, doubt=raw.doubt or doubt)
        carried = (earlier.doubt or "").endswith("the unit was not said")
        told = earlier.doubt if same and carried else None
        told = told if same else f"{earlier.unit.said} supplied: the unit was not said"
        return replace(raw, unit=earlier.unit, shape=shape, last=raw.last + 1, doubt=raw.doubt or told)

    def wide_before_feet(self, raw: Raw, behind: list[Raw]) -> Raw | None:
        """ "Eight wide and five foot of water": the unit of the length right behind it."""
        later = behind[0] if behind else None
        if later is None or later.unit is None or not self.linked(raw.last):
            return None
        unit = self.row("foot") if later.unit.said == "feet of water" else later.unit
        between = [t.lower for t in self.tokens[raw.last + 1 : later.first]]
        shape = SHAPES.get(self.lower(raw.last))
        if shape is None or between not in (["and"], ["by"], []) or not self.same_sentence(raw.first, later.first):
            return None
        if (
            unit is None
            or unit.dimension != "length"
            or not 1 / SIDES_ALIKE <= raw.value / (later.value or 1) <= SIDES_ALIKE
        ):
            return None
        return replace(raw, unit=unit, shape=shape, last=raw.last + 1)

    def volts(self, raw: Raw, raws: list[Raw], k: int) -> Raw | None:
        """ "Four eighty, three phase", "four eighty two seventy seven": voltages known by their value and company."""
        if raw.value not in VOLTAGES:
            return None
        beside = [r for r in raws[max(0, k - 1) : k + 3] if r is not raw and self.same_sentence(r.first, raw.first)]
        phases = any(
            r.unit is not None and r.unit.property == "phases" and 0 <= r.first - raw.last <= 5 for r in beside
        )
        behind = any(
            r.unit is not None and r.unit.property == "phases" and 0 <= raw.first - r.last <= 1 for r in beside
        )
        fed = (
            any(r.unit is not None and r.unit.dimension == "current" and 0 < raw.first - r.last <= 3 for r in beside)
            and self.lower(raw.first - 1) == "at"
        )  # "a four hundred amp service at four eighty"
        if behind or fed:
            return replace(raw, unit=self.row("volt"), doubt="volts supplied: the unit was not said")
        partner = any(tuple(sorted((r.value, raw.value))) in DUAL_VOLTS and self.dual(r, raw) for r in beside)
        if not phases and not partner:
            return None
        if phases and not partner and not any(r.first - raw.last <= 1 for r in beside if r.first > raw.first):
            return None
        return replace(raw, unit=self.row("volt"), doubt="volts supplied: the unit was not said")

    def dual(self, a: Raw, b: Raw) -> bool:
        low, high = sorted((a, b), key=lambda r: r.first)
        gap = [t.lower for t in self.tokens[low.last : high.first]]
        return gap in ([], ["/"], ["slash"], ["over"], ["or"]) and (bool(gap) or self.linked(high.first))

    def hours(self, raw: Raw) -> Raw | None:
        """ "Operating hours, 41,000"."""
        if raw.value < 100 or raw.number.form == "year" or not self.hours_before(raw):
            return None
        if self.linked(raw.last) and self.lower(raw.last) in PIECES:
            return None  # "the hours are 31,600, and the counter says 14.2 million parts"
        return replace(raw, unit=self.row("hour"), property="hours")

    def cycles(self, raw: Raw, raws: list[Raw]) -> Raw | None:
        """ "Three phase, sixty cycle"."""
        if (
            raw.value not in (50, 60, 400)
            or self.lower(raw.last) not in ("cycle", "cycles")
            or not self.phased(raw, raws)
        ):
            return None
        return replace(raw, unit=self.row("hertz"), last=raw.last + 1)

    def ph(self, raw: Raw) -> Raw | None:
        return replace(raw, unit=Unit("", "ratio", "ph", "pH"), property="ph") if self.ph_before(raw) else None

    def plain(self, raw: Raw) -> Raw | None:
        """ "At 0.8 power factor", "specific gravity is 1.35", "a gearbox of fifteen to one": figures without a unit."""
        unit = Unit("", "ratio", "other", "")
        at = raw.last
        if self.lower(at) == "to" and self.lower(at + 1) in ("one", "1") and self.linked(at) and self.linked(at + 1):
            alone = not self.linked(at + 2) or not self.units.at(self.tokens, at + 2, digits=False)
            alone = alone and not (self.linked(at + 2) and self.classes.of(self.lower(at + 2)) == "number")
            if alone and raw.value_max is None and self.lower(raw.first - 1) not in ("from", "between"):
                return replace(raw, unit=unit, of="1", property="other", last=at + 2)
        if [self.lower(k) for k in range(raw.first - 3, raw.first)] in (["one", "is", "to"], ["1", "is", "to"]):
            return replace(raw, unit=unit, of="1", property="other")  # "a gearbox of one is to fifteen"
        names = figure_words(self.vocabulary, "plain")
        for n in (3, 2, 1):
            behind = tuple(self.lower(k) for k in range(at, at + n))
            if behind in names and all(self.linked(k) for k in range(at, at + n)):
                return replace(raw, unit=unit, of=" ".join(behind), property="other", last=at + n)
            k = raw.first
            while k and self.lower(k - 1) in PLAIN_IS and self.linked(k):
                k -= 1
            before = tuple(self.lower(j) for j in range(k - n, k))
            if before in names and self.linked(k):
                return replace(raw, unit=unit, of=" ".join(before), property="other")
        return None

    def turns(self, raw: Raw) -> Raw | None:
        """ "1,180 turns", of a shaft: a coil of so many would be told as wound."""
        if raw.value < LEAST_TURNS or self.lower(raw.last) != "turns" or not self.linked(raw.last):
            return None
        if self.lower(raw.last + 1) in ("of", "on", "in"):
            return None
        doubt = raw.doubt or "rpm supplied: the unit was not said"
        return replace(raw, unit=self.row("rpm"), last=raw.last + 1, doubt=doubt)

    def on_the_counter(self, raw: Raw) -> Raw | None:
        """ "The counter says 14.2 million parts", "impressions on the counter, eighty-two million": what was made."""
        if raw.value < LEAST_COUNTED or raw.value_max is not None or raw.value % 1 or raw.number.form == "year":
            return None
        a, b = self.sentence(raw.first)
        near = [self.lower(k).removesuffix("'s") for k in range(max(a, raw.first - NEAR_COUNTER), raw.first)]
        near += [self.lower(k) for k in range(raw.last, min(b, raw.last + 6))]
        if "counter" not in near and "counters" not in near:
            return None
        skip = raw.last + (self.lower(raw.last) in ("odd", "of"))
        behind = self.lower(skip) if self.linked(skip) and self.linked(raw.last) else ""
        if behind in ("hours", "hour", "kilometres", "metres", "feet", "litres", "gallons"):
            return None
        ahead = next((w for w in reversed(near) if w in MADE), "")
        of = behind if behind in MADE else ahead
        if not of and (behind or {"hour", "hours"} & {*near}):
            return None
        unit = Unit("", "ratio", "count", of or "cycle")
        return replace(raw, unit=unit, of=one_of(of) if of else "cycle", property="count")

    def counted(self, raw: Raw) -> Raw | None:
        """ "Two passes", "four tiers": counted parts of a thing that nobody sells apart."""
        if self.lower(raw.last) not in COUNTED or not self.linked(raw.last):
            return None
        if raw.value == 1 and self.lower(raw.first - 1) in ("in", "at"):
            return None  # "eight millimetres deep in one pass": at a time
        of = one_of(self.lower(raw.last))
        return replace(raw, unit=Unit("", "ratio", "count", of), of=of, property="count", last=raw.last + 1)

    def phased(self, raw: Raw, raws: list[Raw]) -> bool:
        """ "four eighty, three phase, sixty cycle": whether a supply is spoken of."""
        return self.linked(raw.last) and any(
            r.unit is not None
            and (r.unit.property == "phases" or r.unit.dimension == "voltage")
            and self.same_sentence(r.first, raw.first)
            for r in raws
        )

    def packed(self, raw: Raw) -> Raw | None:
        """ "24 cans in each tray", "twelve cases to a layer", "a pallet has five layers": how many in another."""
        at = raw.last
        of = one_of(self.lower(at))
        if raw.value != int(raw.value) or raw.value < 2 or not self.linked(at) or of not in PACKED:
            return None
        holder = ""
        if (
            self.lower(at + 1) in ("in", "on", "to", "per", "a", "an", "each")
            and self.linked(at + 1)
            and self.linked(at + 2)
        ):
            k = at + 2
            if self.lower(at + 1) in ("in", "on", "to"):
                k += self.lower(k) in ("a", "an", "each", "every", "one", "the")
            holder = self.lower(k) if self.linked(k) else ""
        elif self.lower(raw.first - 1) in HOLDS and self.linked(raw.first) and self.linked(raw.first - 1):
            one = self.lower(raw.first - 3) in ("a", "an", "each", "every", "one")
            holder = self.lower(raw.first - 2) if one and self.linked(raw.first - 2) else ""
        if holder == "row" and self.lower(at + 1) == "in":
            return None  # "four bins in a row"
        if not holder or holder != one_of(holder) or holder not in PACKED or holder == of:
            return None
        unit = Unit("", "ratio", "count", of)
        return replace(raw, unit=unit, of=of, property="count", per=holder, last=at + 1)

    def room_for(self, raw: Raw) -> Raw | None:
        """ "Each chamber takes twenty two tyres", "holds 120 blocks": how many things are in another at once."""
        at = raw.last
        noun = self.lower(at)
        led = self.lower(raw.first - 1) in HOLDS_AT_ONCE or (
            self.lower(raw.first - 1) == "for" and self.lower(raw.first - 2) in ("room", "space")
        )
        if not led or not self.linked(raw.first) or not self.linked(at) or raw.value % 1 or raw.value_max is not None:
            return None
        if raw.value < (2 if one_of(noun) in PACKED else LEAST_HELD) or not is_plural(noun):
            return None  # "the tank takes two agitators"
        if (
            self.classes.of(noun) not in ("content", "name")
            or noun in PEOPLE
            or self.lower(at + 1) in ("a", "an", "per", "to", "of")
        ):
            return None
        of = one_of(noun)
        return replace(raw, unit=Unit("", "ratio", "count", of), of=of, property="count", last=at + 1)

    def hours_before(self, raw: Raw) -> bool:
        a, _ = self.sentence(raw.first)
        words = [t.lower for t in self.tokens[max(a, raw.first - 12) : raw.first]]
        for k, w in enumerate(words):
            if w in ("hours", "hour") and k and words[k - 1] in HOUR_KINDS:
                return True
            if w == "hour" and k + 1 < len(words) and words[k + 1] in ("meter", "metre", "counter", "clock"):
                return True
            if w == "hours" and words[k + 1 : k + 2] in (
                ["on"],
                ["is"],
                ["are"],
                ["read"],
                ["reads"],
                ["show"],
                ["shows"],
            ):
                return True
        return False

    def ph_before(self, raw: Raw) -> bool:
        a, _ = self.sentence(raw.first)
        window = self.tokens[max(a, raw.first - 8) : raw.first]
        at = next((k for k, t in enumerate(reversed(window)) if t.text == "pH" or t.lower in ("ph", "p-h")), None)
        if at is None or 0 <= raw.value <= 14.5:
            return at is not None
        # beyond the usual scale only right behind the word: very strong acid and caustic, or a slip to ask about
        return -3 <= raw.value <= 140 and all(t.lower in PH_IS for t in window[len(window) - at :])
