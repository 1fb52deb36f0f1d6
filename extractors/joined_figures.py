"""Figures said together: ranges, rows with "by", lists that share a unit, feet and inches."""

from __future__ import annotations

from dataclasses import replace

from extractors.figure_stream import SHAPES, Raw, Stream
from extractors.spoken_numbers import DUAL_VOLTS
from extractors.units_in_context import cues

NUMBERED_BEFORE = frozenset(
    {"stage", "tank", "station", "zone", "number", "step", "position", "cell", "section", "compartment", "line"}
)
"""Nouns that a number behind them tells apart: that number is no end of a range."""
NUMBERED = frozenset(
    "number no tank station stage compartment zone position machine pump step chamber cell bay".split()
)
ROW_NEAR = 60
"""Words between a row of sizes without a unit and the length that has one; chosen, no source."""
AFTER_INCHES = frozenset(
    "by x and at on with from to or in the high it so that is for not including overall total".split()
)
BEHIND_INCHES = frozenset("between apart clear inside outside over across when without".split())
"""Words behind "ten foot six" that begin something else: "between the housings"."""
UP_TO = frozenset(
    {("to",), ("through",), ("up", "to"), ("till",), ("until",), ("thru",), ("till", "about"), ("to", "about"),
     ("to", "plus"), ("on", "up", "to"), ("right", "up", "to"), ("all", "the", "way", "to"), ("clear", "up", "to"),
     ("all", "the", "way", "up", "to"), ("up", "to", "about")}
)  # fmt: skip
"""Words between the ends of a range."""
LEVELS = frozenset("rpm psi bar pound hertz kilogram millibar inch millimetre metre/minute foot/minute".split())
"""Units of what is set anywhere between two ends, the unit said with the lower one: "half a pound to twenty-five"."""
MOST_APART = 500.0
"""Times that the upper end of such a range may be the lower; chosen, no source."""

MILLIMETRES = 100
"""From here on what stands bare beside metres is in millimetres; common practice, no source."""
SMALLER = {
    ("hour", "minute"): 1 / 60, ("minute", "second"): 1 / 60, ("day", "hour"): 1 / 24, ("metre", "centimetre"): 0.01,
    ("pound", "ounce"): 1 / 16, ("kilogram", "gram"): 0.001,
}  # fmt: skip
"""Units in which the rest of a figure is said behind its whole, and what one is of the greater."""
GOES_ON = frozenset(
    "by between over with to from across at on in and or for when if so each overall a an the this that".split()
)
"""Words that may follow the smaller part of "nine metres twenty", none of which it could count."""


class Joining(Stream):
    """The passes that join figures, or hand a unit from one to the other."""

    def ranges(self, raws: list[Raw]) -> list[Raw]:
        """ "forty to fifty feet", "between 180 and 300 mm", "plus or minus": one figure with two ends."""
        out: list[Raw] = []
        for raw in raws:
            if out and self.joins(out[-1], raw):
                low = out.pop()
                unit = raw.unit or low.unit
                if self.lower(raw.first - 1) == "minus":
                    ends = low.value - raw.value, low.value + raw.value
                    raw = replace(raw, property=low.property)
                elif (
                    low.unit is None
                    and 0 < low.value < 10 <= raw.value
                    and raw.value % 1000 == 0
                    and low.number.form != "digits"
                ):
                    ends = low.value * _scale(raw.value), raw.value  # "five to ten thousand" is from five thousand
                elif (
                    low.unit is None
                    and low.value % 10
                    and 0 < low.value < raw.value / 100
                    and self.lower(raw.number.last - 1) == "hundred"
                ):
                    ends = low.value * 100, raw.value  # "eleven to thirteen hundred pounds"
                else:
                    ends = low.value, raw.value
                out.append(replace(raw, first=low.first, value=ends[0], value_max=ends[1], unit=unit))
                continue
            out.append(raw)
        return out

    def joins(self, low: Raw, high: Raw) -> bool:
        gap = [t.lower for t in self.tokens[low.last : high.first]]
        if not self.same_sentence(low.first, high.first) or (high.unit is None and low.unit is None):
            return False
        if low.unit and high.unit and low.unit.pint != high.unit.pint:
            return False
        if low.unit and low.shape:
            return False
        before = self.lower(low.first - 1)
        if low.unit is None and before in NUMBERED_BEFORE and high.unit is not None:
            return False  # "they heat stage one to a hundred and forty"
        if tuple(gap) in UP_TO:
            told = high.unit is not None or before == "from" or gap[-1] == "plus" or self.set_between(low, high)
            return high.value > low.value and told
        if gap == ["and"]:
            return before == "between" and high.value > low.value
        return gap in (["plus", "or", "minus"], ["plus", "minus"]) and high.unit is not None

    def set_between(self, low: Raw, high: Raw) -> bool:
        """ "Tension, a half pound to twenty-five.": a bare upper end that closes its clause; not "takes 200 pounds to
        160", which heats them."""
        if low.unit is None or low.unit.pint not in LEVELS or not low.value or self.linked(high.last):
            return False
        a, _ = self.sentence(low.first)
        verbs = any(self.classes.of(self.lower(k)) == "acts" for k in range(a, low.first))
        return not verbs and high.value / low.value <= MOST_APART and high.number.form not in ("year", "ordinal")

    def rows(self, raws: list[Raw]) -> list[Raw]:
        """ "ten by four by six foot deep": figures of one thing, a unit said once holds for all."""
        out = list(raws)
        i = 0
        while i < len(out):
            j = i
            while j + 1 < len(out) and self.by_between(out[j], out[j + 1]):
                out[j] = self.bare_shape(out[j], out[j + 1].first)
                j += 1
            if j > i:
                out[j] = self.bare_shape(out[j], None)
                self.fill_row(out, i, j)
            i = j + 1
        return out

    def by_between(self, a: Raw, b: Raw) -> bool:
        gap = [t.lower for t in self.tokens[a.last : b.first]]
        if not self.same_sentence(a.first, b.first) or not gap:
            return False
        if a.unit and a.unit.dimension != "length":
            return False
        return gap in (["by"], ["x"], ["times"]) or (len(gap) == 2 and gap[1] in ("by", "x") and gap[0] in SHAPES)

    def bare_shape(self, raw: Raw, until: int | None) -> Raw:
        """The shape word behind a figure of a row that has no unit of its own ("by three wide by")."""
        at = raw.last
        if raw.shape is None and self.lower(at) in SHAPES and self.linked(at) and (until is None or at < until):
            return replace(raw, last=at + 1, shape=SHAPES[self.lower(at)])
        return raw

    def fill_row(self, out: list[Raw], i: int, j: int) -> None:
        row = out[i : j + 1]
        known = [r.unit for r in row if r.unit and r.unit.dimension == "length"]
        if not known:
            self.row_in_context(out, i, j)
            return
        last = known[-1]
        for k in range(j, i - 1, -1):
            own = out[k].unit
            if own is None and last.said == "metre" and out[k].value >= MILLIMETRES:
                own = self.row("millimetre")  # "three metres seventy by nine hundred and sixty"
            last = own or last
            doubt = out[k].doubt
            values = tuple(r.value for r in row)
            out[k] = replace(out[k], unit=own or last, place=k - i + 1, places=j - i + 1, doubt=doubt, row=values)

    def row_in_context(self, out: list[Raw], i: int, j: int) -> None:
        """ "Bale size thirty by forty three by sixty": the unit of the lengths beside it, marked."""
        row = out[i : j + 1]
        following = self.lower(out[j].last) if self.linked(out[j].last) else ""
        if self.classes.of(following) in ("content", "name", "unit", "acts") and following not in SHAPES:
            return  # "four by four posts"
        near = [
            r
            for r in (*reversed(out[:i]), *out[j + 1 : j + 3])
            if r.unit is not None and r.unit.dimension == "length" and abs(r.first - out[i].first) <= ROW_NEAR
        ]
        if not near or min(r.value for r in row) <= 0:
            return
        unit = near[0].unit
        if max(r.value for r in row) > 40 * max(near[0].value, 1):
            return
        values = tuple(r.value for r in row)
        for k in range(i, j + 1):
            doubt = f"{unit.said if unit else ''} supplied: the unit was not said"
            out[k] = replace(out[k], unit=unit, place=k - i + 1, places=j - i + 1, row=values, doubt=doubt)

    def lists(self, raws: list[Raw]) -> list[Raw]:
        """ "five, seven and a half and ten horse", "460 or 480 volts": figures before one that has the unit."""
        out = list(raws)
        for i in range(len(out) - 1, 0, -1):
            later, earlier = out[i], out[i - 1]
            if later.unit is None or earlier.unit is not None or later.places or earlier.places or later.shape:
                continue
            if earlier.value < 0 and later.unit.property != "temperature" and later.unit.dimension != "temperature":
                continue  # "minus 75 and sixty kilos of ice"
            if later.property == "rate" or later.unit.property == "phases" or later.unit.said in ("foot", "inch"):  # noqa: SIM102 - the comment belongs to the inner question
                if later.unit.said not in ("foot", "inch") or self.lower(later.first - 1) != "or":
                    continue
            gap = [t.lower for t in self.tokens[earlier.last : later.first]]
            if self.measured_by(earlier) not in ("", later.unit.dimension):
                continue  # "frequency fifty, and 696 amps"
            dual = self.dual(earlier, later)
            link = (
                gap in (["or"], ["and"], ["slash"], ["/"])
                or dual
                or (
                    not gap
                    and self.tokens[earlier.last - 1].after == ","
                    and (
                        (i + 1 < len(out) and out[i + 1].unit is later.unit and out[i + 1].first - later.last <= 1)
                        or self.enumerated(out, i)
                    )
                )
            )
            if (
                link
                and self.same_sentence(earlier.first, later.first)
                and self.lower(earlier.first - 1) not in NUMBERED
            ):
                if not dual and (earlier.number.form == "year" or (earlier.value < 10 and later.value >= 100)):
                    continue
                if not dual and later.unit.pint == "percent" and self.tokens[earlier.last - 1].after == ",":
                    continue  # "the acid's at sixty, and one percent"
                out[i - 1] = replace(earlier, unit=later.unit)
        return out

    def measured_by(self, raw: Raw) -> str:
        """What the word right before a figure says that it measures: "frequency fifty"; "" where it says nothing."""
        cue = cues(self.vocabulary).get((self.lower(raw.first - 1),)) if self.linked(raw.first) else None
        return cue.dimension if cue is not None and cue.kind == "property" else ""

    def enumerated(self, raws: list[Raw], i: int) -> bool:
        """Whether three figures and more stand with nothing but commas between, the one at i the last of them."""
        run = 1
        while run <= i:
            a, b = raws[i - run], raws[i - run + 1]
            if a.last != b.first or self.tokens[a.last - 1].after != "," or a.unit is not None:
                break
            run += 1
        return run >= 3

    def dual(self, a: Raw, b: Raw) -> bool:
        """ "two thirty four sixty", "480 over 277": the two voltages of a plate, nothing or a small word between."""
        gap = [t.lower for t in self.tokens[a.last : b.first]]
        return (
            tuple(sorted((a.value, b.value))) in DUAL_VOLTS
            and gap in ([], ["/"], ["slash"], ["over"], ["by"], ["or"], ["and"], ["stroke"])
            and self.same_sentence(a.first, b.first)
        )

    def feet_and_inches(self, raws: list[Raw]) -> list[Raw]:
        """ "seven foot six", "six feet two inches", "6' 2"": one value in feet."""
        out: list[Raw] = []
        for raw in raws:
            if out and self.inches_of(out[-1], raw):
                feet = out.pop()
                value = feet.value + raw.value / 12
                merged = replace(feet, last=raw.last, value=value, shape=raw.shape)
                out.append(self.shaped(replace(merged)) if raw.shape is None else merged)
                continue
            out.append(raw)
        return out

    def whole_and_parts(self, raws: list[Raw]) -> list[Raw]:
        """ "Nine metre twenty", "two hours ten": centimetres behind metres, minutes behind hours."""
        out: list[Raw] = []
        for raw in raws:
            part = self.part_of(out[-1], raw) if out else 0.0
            if out and part:
                whole = out.pop()
                unsure = whole.unit is not None and whole.unit.said == "metre" and raw.value < 10
                doubt = "tenths or hundredths of a metre" if unsure and raw.first == whole.last else None
                value = whole.value + raw.value * part
                out.append(self.shaped(replace(whole, last=raw.last, value=value, doubt=whole.doubt or doubt)))
                continue
            out.append(raw)
        return out

    def part_of(self, whole: Raw, rest: Raw) -> float:
        """What one of the figures behind a whole one is of its unit; 0 where they are no part of it."""
        if smaller := self.smaller_unit(whole, rest):
            return smaller
        if whole.unit is None or whole.unit.said not in ("metre", "hour") or whole.shape or whole.value_max is not None:
            return 0.0
        gap = [t.lower for t in self.tokens[whole.last : rest.first]]
        plain = not whole.value % 1 and not rest.value % 1 and rest.unit is None and rest.value_max is None
        if not plain or gap not in ([], ["and"]) or not self.linked(rest.first) or not self.linked(whole.last):
            return 0.0
        following = self.lower(rest.last)
        shaped = following in SHAPES or following in AFTER_INCHES
        ends = not self.linked(rest.last) or shaped
        if whole.unit.said == "hour":
            return 1 / 60 if 5 <= rest.value <= 59 and (ends or following in GOES_ON) and not gap else 0.0
        if gap:
            closed = not self.linked(rest.last) and rest.value >= 10  # "two metres and ninety."
            return 0.01 if closed or (1 <= rest.value <= 99 and following in SHAPES) else 0.0  # "a metre and five deep"
        if 10 <= rest.value <= 99:
            return 0.01 if ends or following in GOES_ON else 0.0
        return 0.1 if 1 <= rest.value <= 9 and ends else 0.0

    def smaller_unit(self, whole: Raw, rest: Raw) -> float:
        """ "Five minutes thirty seconds", "two metres and forty centimetres": one figure in two units, else 0."""
        if whole.unit is None or rest.unit is None or whole.value_max is not None or rest.value_max is not None:
            return 0.0
        part = SMALLER.get((whole.unit.pint, rest.unit.pint), 0.0)
        gap = [t.lower for t in self.tokens[whole.last : rest.first]]
        if not part or whole.shape or whole.value % 1 or rest.value * part >= 1 or gap not in ([], ["and"]):
            return 0.0
        return part if self.linked(rest.first) and self.linked(whole.last) else 0.0

    def inches_of(self, feet: Raw, inches: Raw) -> bool:
        if (
            feet.unit is None
            or feet.unit.said != "foot"
            or feet.shape
            or feet.value_max
            or inches.value >= 12
            or feet.value != int(feet.value)
        ):
            return False
        gap = [t.lower for t in self.tokens[feet.last : inches.first]]
        if gap not in ([], ["and"]) or not self.linked(inches.first):
            return False
        if inches.unit is not None:
            return inches.unit.said == "inch" and not inches.places
        if gap:
            return False
        # "seven foot six wide", "eleven foot six": not before a noun that the number would count
        following = self.lower(inches.last)
        return not self.linked(inches.last) or following in SHAPES or following in AFTER_INCHES | BEHIND_INCHES


def _scale(value: float) -> float:
    scale = 1.0
    while value % 1000 == 0 and value:
        value /= 1000
        scale *= 1000
    return scale
