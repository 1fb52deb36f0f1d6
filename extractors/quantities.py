"""Figures with their units: rows, ranges, lists that share a unit, rates, and units that the trade means by a word."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from extractors.mentions import Measure, Number, Tokens
from extractors.spoken_numbers import find_numbers
from extractors.unit_words import Unit, UnitTable, compound, figure_words, unit_table
from extractors.word_classes import Classes
from vocab import Vocabulary

SHAPES = {
    "long": "length", "length": "length", "wide": "width", "width": "width", "high": "height", "tall": "height",
    "height": "height", "deep": "depth", "depth": "depth", "thick": "thickness", "thickness": "thickness",
    "across": "diameter", "diameter": "diameter", "dia": "diameter", "round": "diameter", "od": "diameter",
    "id": "diameter", "bore": "diameter", "square": "width",
}  # fmt: skip
"""Words behind a length that say which one it is."""
VOLTAGES = frozenset(
    {110, 115, 120, 200, 208, 220, 230, 240, 277, 347, 380, 400, 415, 440, 460, 480, 500, 525, 550, 575, 600, 660, 690}
)
"""Supply voltages that are said without their unit before "three phase" (IEC 60038, ANSI C84.1)."""
MOTORS = frozenset(
    {1, 1.5, 2, 3, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 60, 75, 100, 125, 150, 200, 250, 300, 350, 400, 450, 500}
)
"""Standard horsepower ratings (NEMA MG 1): "two twenty horse motors" are two of 20, as no motor has 220."""
WEAK = 0.5
"""Word probability below which a figure is marked; issue's own figures of the recogniser, to be calibrated."""
TIMES = frozenset({"second", "minute", "hour", "day", "week", "shift"})
HUNDRED_PERCENT = 100.0


@dataclass(frozen=True, slots=True)
class Raw:
    """A figure on its way: number, unit where one was said, and what stands around it."""

    first: int
    last: int
    value: float
    number: Number
    unit: Unit | None = None
    value_max: float | None = None
    shape: str | None = None
    place: int = 0
    places: int = 0
    doubt: str | None = None
    per: str | None = None
    of: str | None = None
    property: str | None = None
    approximate: bool = False


NO_COUNTED = frozenset({"i", "you", "we", "they", "he", "she", "it", "is", "was", "are", "has", "that"})
"""Words that show a "one" before "a minute" to count nothing."""


NUMBERED_BEFORE = frozenset(
    {"stage", "tank", "station", "zone", "number", "step", "position", "cell", "section", "compartment", "line"}
)
"""Nouns that a number behind them tells apart: that number is no end of a range."""


def find_measures(tokens: Tokens, vocabulary: Vocabulary) -> tuple[Measure, ...]:
    """Every figure with a unit, in order; asides are left out."""
    return tuple(Figures(tokens, vocabulary).all())


class Figures:
    """One pass over a token stream."""

    def __init__(self, tokens: Tokens, vocabulary: Vocabulary) -> None:
        self.tokens, self.vocabulary = tokens, vocabulary
        self.units: UnitTable = unit_table(vocabulary)
        self.classes = _classes(vocabulary)
        self.money = {w: row["value"] for row in vocabulary["figures"] if row["kind"] == "money" for w in row["words"]}

    def all(self) -> Iterator[Measure]:
        raws = sorted(
            [*(self.with_unit(n) for n in self.numbers()), *self.one_and_a_part()], key=lambda r: (r.first, -r.last)
        )
        raws = [r for k, r in enumerate(raws) if not k or r.first >= raws[k - 1].last]
        raws = self.ranges(raws)
        raws = self.rows(raws)
        raws = self.lists(raws)
        raws = self.feet_and_inches(raws)
        raws = self.left_out(raws)
        raws = [self.meant(r, raws) for r in raws]
        for raw in raws:
            measure = self.measure(raw)
            if measure is not None:
                yield measure

    # ------------------------------------------------------------------------------------------------ helpers

    def lower(self, i: int) -> str:
        return self.tokens[i].lower if 0 <= i < len(self.tokens) else ""

    def linked(self, i: int) -> bool:
        """Whether token i follows the one before it without a pause."""
        if not 0 < i < len(self.tokens):
            return False
        before = self.tokens[i - 1]
        return before.after in ("", "-") and before.sentence == self.tokens[i].sentence

    def same_sentence(self, i: int, j: int) -> bool:
        return (
            0 <= i < len(self.tokens)
            and 0 <= j < len(self.tokens)
            and self.tokens[i].sentence == self.tokens[j].sentence
        )

    def sentence(self, i: int) -> tuple[int, int]:
        """First and last (excluded) token of the sentence of token i."""
        a = b = i
        while a > 0 and self.tokens[a - 1].sentence == self.tokens[i].sentence:
            a -= 1
        while b < len(self.tokens) and self.tokens[b].sentence == self.tokens[i].sentence:
            b += 1
        return a, b

    def holds(self, kind: str, first: int, last: int) -> bool:
        """Whether a phrase of a kind stands among tokens first to last."""
        phrases = figure_words(self.vocabulary, kind)
        words = [t.lower for t in self.tokens[max(first, 0) : last]]
        return any((w,) in phrases for w in words) or any(
            tuple(words[k : k + n]) in phrases for n in (2, 3) for k in range(len(words) - n + 1)
        )

    def numbers(self) -> Iterator[Number]:
        """Numbers that may be figures: no ordinals, none in an aside; a count before a motor's rating is parted."""
        for n in find_numbers(self.tokens, self.vocabulary):
            if n.form == "ordinal" or any(self.tokens[k].aside for k in range(n.first, n.last)):
                continue
            if (
                len(n.readings) == 2
                and n.readings[0] < 10
                and n.value not in MOTORS
                and self.lower(n.last) in ("horse", "hp", "horsepower")
            ) and n.readings[1] in MOTORS:
                yield Number(n.first, n.first + 1, n.readings[0])
                yield Number(n.first + 1, n.last, n.readings[1])
                continue
            yield n

    # -------------------------------------------------------------------------------------------------- units

    def with_unit(self, n: Number) -> Raw:
        raw = Raw(n.first, n.last, n.value, n, value_max=n.value_max, approximate=n.approximate)
        if n.first and self.lower(n.first - 1) in ("minus", "negative") and self.linked(n.first):
            raw = replace(raw, first=n.first - 1, value=-n.value)
        at = n.last
        if not self.linked(at):
            return raw
        if n.form == "fraction" and n.value < 1:
            # "half an hour", "a quarter of an inch", "three quarters of a mile"
            skip = at + 1 if self.lower(at) == "of" else at
            if self.lower(skip) in ("a", "an") and self.linked(skip):
                skip += 1
            at = skip if skip > at and self.linked(skip) else at
        digits = any(c.isdigit() for c in self.tokens[n.last - 1].text)
        if self.lower(at) in ("degree", "degrees", "deg") and self.lower(at + 1) in ("dry", "wet"):
            return raw
        found = self.units.at(self.tokens, at, digits=digits)
        if found is None:
            return self.rate_of(raw) or raw
        end, unit = found
        if unit.said == "second" and self.lower(at) == "second" and n.value > 1 and self.lower(end) in ("hand", "one"):
            return raw
        if unit.dimension == "temperature" and self.tokens[n.last - 1].after == "-" and len(self.lower(at)) == 1:
            return raw  # "serial number 8840-C"
        end, unit = self.of_in_a_time(end, unit)
        raw = replace(raw, last=end, unit=unit)
        if self.lower(end) == "and" and self.linked(end) and unit.dimension in ("length", "time", "volume", "mass"):
            raw = self.and_a_part(raw, end + 1)
        return self.per_thing(self.shaped(raw))

    def of_in_a_time(self, end: int, unit: Unit) -> tuple[int, Unit]:
        """ "ten thousand pounds of steam an hour": an amount of something in a time."""
        if self.lower(end) != "of" or not self.linked(end) or unit.dimension not in ("mass", "volume", "energy"):
            return end, unit
        for k in range(end + 2, min(end + 5, len(self.tokens) - 1)):
            if not all(self.linked(j) for j in range(end + 1, k + 1)):
                break
            if self.lower(k) in ("a", "an", "per", "each", "every"):
                below = self.units.at(self.tokens, k + 1, digits=False) if self.linked(k + 1) else None
                if below and below[1].pint in ("second", "minute", "hour", "day"):
                    return below[0], compound(unit, below[1])
                break
        return end, unit

    def one_and_a_part(self) -> Iterator[Raw]:
        """ "an inch and a quarter", "an hour and a half": the article is the one."""
        for i, t in enumerate(self.tokens[:-4]):
            if t.lower not in ("a", "an") or t.aside or not self.linked(i + 1):
                continue
            found = self.units.at(self.tokens, i + 1, digits=False)
            if found and found[1].dimension == "length" and self.lower(found[0]) in ACROSS and self.linked(found[0]):
                yield self.shaped(Raw(i, found[0], 1.0, Number(i, i + 1, 1.0), unit=found[1]))  # "a metre across"
                continue
            if found and found[1].dimension in ("length", "time", "volume", "mass") and self.lower(found[0]) == "and":
                one = Raw(i, found[0], 1.0, Number(i, i + 1, 1.0), unit=found[1])
                whole = self.and_a_part(one, found[0] + 1)
                if whole.value > 1:
                    yield self.shaped(whole)

    def and_a_part(self, raw: Raw, at: int) -> Raw:
        """ "two feet and a half", "an inch and a quarter" """
        for n in find_numbers(self.tokens[at : at + 4], self.vocabulary)[:1]:
            if n.first == 0 and n.form == "fraction" and n.value < 1:
                following = self.units.at(self.tokens, at + n.last, digits=False) if self.linked(at + n.last) else None
                if following is None:
                    return replace(raw, last=at + n.last, value=raw.value + n.value)
        return raw

    def shaped(self, raw: Raw) -> Raw:
        """The word behind a length that says which: "long", "in diameter", "inside diameter"."""
        if raw.unit is None or raw.unit.dimension != "length":
            return raw
        at = raw.last
        for skip in ("in", "inside", "outside", "of", "nominal"):
            if self.lower(at) == skip and self.linked(at) and self.lower(at + 1) in SHAPES:
                at += 1
        if self.lower(at) in SHAPES and self.linked(at) and self.lower(at + 1) != "of":
            return replace(raw, last=at + 1, shape=SHAPES[self.lower(at)])
        return raw

    def per_thing(self, raw: Raw) -> Raw:
        """ "75 pounds a hook", "110 pounds to a compartment": what each one has."""
        at = raw.last
        link = self.lower(at)
        if not self.linked(at) or link not in ("a", "an", "per", "each", "every", "to"):
            return raw
        at += 1
        if link == "to" and self.lower(at) in ("a", "each", "the", "every"):
            at += 1
        elif link == "to":
            return raw
        word = self.lower(at)
        if self.linked(at) and word.isalpha() and len(word) > 2 and word not in ("little", "bit", "few", "lot", "day"):
            return replace(raw, per=word)
        return raw

    def noun(self, i: int) -> bool:
        """Whether a word may name what is counted."""
        t = self.tokens[i]
        return t.lower.replace("-", "").isalpha() and self.classes.of(t.lower) in (
            "content",
            "describes",
            "name",
            "unit",
        )

    def rate_of(self, raw: Raw) -> Raw | None:
        """ "thirty loads an hour": a count of something in a time."""
        at = raw.last
        nouns: list[str] = []
        while (
            len(nouns) < 4
            and self.linked(at)
            and self.lower(at).isalpha()
            and self.lower(at) not in ("a", "an", "per", "each", "every")
        ):
            nouns.append(self.tokens[at].text)
            at += 1
        if not self.linked(at) or self.lower(at) not in ("a", "an", "per", "each", "every") or not self.linked(at + 1):
            return None
        if self.tokens[at + 1].aside or (raw.value == 1 and any(w.lower() in NO_COUNTED for w in nouns)):
            return None  # "the one I confused a minute ago", "station one is a second rinse"
        time = self.lower(at + 1).rstrip("s")
        if time in ("second", "minute", "hour", "day", "week", "shift", "year", "month"):
            if time == "shift":
                return None
            unit = Unit(f"1/{time}", "frequency", "rate", time)
            of = " ".join(nouns)
            return replace(raw, last=at + 2, unit=unit, property="rate", of=_one(of) or None)
        return None

    # --------------------------------------------------------------------------------- ranges, rows and lists

    def ranges(self, raws: list[Raw]) -> list[Raw]:
        """ "forty to fifty feet", "between 180 and 300 mm", "plus or minus": one figure with two ends."""
        out: list[Raw] = []
        for raw in raws:
            if out and self.joins(out[-1], raw):
                low = out.pop()
                unit = raw.unit or low.unit
                if self.lower(raw.first - 1) == "minus":
                    ends = low.value - raw.value, low.value + raw.value
                elif (
                    low.unit is None
                    and low.value < 10 <= raw.value
                    and raw.value % 1000 == 0
                    and low.number.form != "digits"
                ):
                    ends = low.value * _scale(raw.value), raw.value  # "five to ten thousand" is from five thousand
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
        if gap in (["to"], ["through"], ["up", "to"], ["till"], ["until"]):
            return high.value > low.value and (high.unit is not None or before == "from")
        if gap == ["and"]:
            return before == "between" and high.value > low.value
        return gap in (["plus", "or", "minus"], ["plus", "minus"]) and high.unit is not None

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
            return
        last = known[-1]
        for k in range(j, i - 1, -1):
            own = out[k].unit
            last = own or last
            doubt = out[k].doubt
            out[k] = replace(out[k], unit=own or last, place=k - i + 1, places=j - i + 1, doubt=doubt)

    def lists(self, raws: list[Raw]) -> list[Raw]:
        """ "five, seven and a half and ten horse", "460 or 480 volts": figures before one that has the unit."""
        out = list(raws)
        for i in range(len(out) - 1, 0, -1):
            later, earlier = out[i], out[i - 1]
            if later.unit is None or earlier.unit is not None or later.places or earlier.places or later.shape:
                continue
            if later.property == "rate" or later.unit.property == "phases" or later.unit.said in ("foot", "inch"):  # noqa: SIM102 - the comment belongs to the inner question
                if later.unit.said not in ("foot", "inch") or self.lower(later.first - 1) != "or":
                    continue
            gap = [t.lower for t in self.tokens[earlier.last : later.first]]
            link = gap in (["or"], ["and"], ["slash"]) or (
                not gap
                and self.tokens[earlier.last - 1].after == ","
                and i + 1 < len(out)
                and out[i + 1].unit is later.unit
                and out[i + 1].first - later.last <= 1
            )
            if (
                link
                and self.same_sentence(earlier.first, later.first)
                and self.lower(earlier.first - 1) not in NUMBERED
            ):
                if earlier.number.form in ("year",) or (earlier.value < 10 and later.value >= 100):
                    continue
                out[i - 1] = replace(earlier, unit=later.unit)
        return out

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
        return not self.linked(inches.last) or following in SHAPES or following in AFTER_INCHES

    def left_out(self, raws: list[Raw]) -> list[Raw]:
        """Units that speech left out: "twelve wide" behind feet, "four eighty, three phase", hours on a meter."""
        out: list[Raw] = []
        for k, raw in enumerate(raws):
            if raw.unit is None:
                if self.lower(raw.last) in SHAPES and self.linked(raw.last):
                    earlier = next((r for r in reversed(out) if r.unit and r.unit.dimension == "length"), None)
                    if earlier and self.same_sentence(earlier.first, raw.first):
                        shape = SHAPES[self.lower(raw.last)]
                        raw = replace(raw, unit=earlier.unit, shape=shape, last=raw.last + 1)
                elif (
                    raw.value in VOLTAGES
                    and k + 1 < len(raws)
                    and (behind := raws[k + 1].unit) is not None
                    and behind.property == "phases"
                ):
                    if raws[k + 1].first - raw.last <= 1 and self.same_sentence(raw.first, raws[k + 1].first):
                        raw = replace(raw, unit=self.row("volt"), doubt="volts supplied: the unit was not said")
                elif raw.value >= 100 and raw.number.form != "year" and self.hours_before(raw):
                    raw = replace(raw, unit=self.row("hour"), property="hours")
                elif (packed := self.packed(raw)) is not None:
                    raw = packed
                elif (
                    raw.value in (50, 60, 400)
                    and self.lower(raw.last) in ("cycle", "cycles")
                    and self.phased(raw, raws)
                ):
                    raw = replace(raw, unit=self.row("hertz"), last=raw.last + 1)
                elif self.ph_before(raw):
                    raw = replace(raw, unit=Unit("", "ratio", "ph", "pH"), property="ph")
                elif self.tokens[raw.first].text[:1] in "$£€":
                    pass
                elif (self.lower(raw.last),) in figure_words(self.vocabulary, "countable") and self.linked(raw.last):  # noqa: SIM102 - the comment belongs to the inner question
                    if self.lower(raw.last) in (
                        "pass",
                        "passes",
                        "lane",
                        "lanes",
                        "cavity",
                        "cavities",
                        "tier",
                        "tiers",
                        "ply",
                        "plies",
                        "shift",
                        "shifts",
                    ):
                        of = _one(self.lower(raw.last))
                        raw = replace(
                            raw, unit=Unit("", "ratio", "count", of), of=of, property="count", last=raw.last + 1
                        )
            out.append(raw)
        return out

    def phased(self, raw: Raw, raws: list[Raw]) -> bool:
        """ "four eighty, three phase, sixty cycle": whether a supply is spoken of."""
        return self.linked(raw.last) and any(
            r.unit is not None and r.unit.property in ("phases", "voltage") and self.same_sentence(r.first, raw.first)
            for r in raws
        )

    def packed(self, raw: Raw) -> Raw | None:
        """ "24 cans in each tray", "twelve cases to a layer", "a pallet has five layers": how many in another."""
        at = raw.last
        of = _one(self.lower(at))
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
        if not holder or holder != _one(holder) or holder not in PACKED or holder == of:
            return None
        unit = Unit("", "ratio", "count", of)
        return replace(raw, unit=unit, of=of, property="count", per=holder, last=at + 1)

    def row(self, spoken: str) -> Unit:
        return (
            self.units.forms[spoken][0][1]
            if (len(self.units.forms[spoken][0][0]) == 1)
            else next(u for words, u in self.units.forms[spoken] if words == (spoken,))
        )

    def hours_before(self, raw: Raw) -> bool:
        a, _ = self.sentence(raw.first)
        words = [t.lower for t in self.tokens[max(a, raw.first - 12) : raw.first]]
        for k, w in enumerate(words):
            if w in ("hours", "hour") and k and words[k - 1] in HOUR_KINDS:
                return True
            if w == "hour" and k + 1 < len(words) and words[k + 1] in ("meter", "metre", "counter", "clock"):
                return True
        return False

    def ph_before(self, raw: Raw) -> bool:
        a, _ = self.sentence(raw.first)
        window = self.tokens[max(a, raw.first - 8) : raw.first]
        return 0 <= raw.value <= 14.5 and any(t.text == "pH" or t.lower in ("ph", "p-h") for t in window)

    # ---------------------------------------------------------------------------------------------- meaning

    def meant(self, raw: Raw, raws: list[Raw]) -> Raw:
        """Units that the trade means by a word: pounds of air are psi, tons of a chiller are cooling."""
        if raw.unit is None:
            return raw
        a, b = self.sentence(raw.first)
        near = max(a, raw.first - 8), min(b, raw.last + 6)
        said = raw.unit.said
        if said == "pound" and raw.unit.pint == "pound":
            of = self.lower(raw.last) == "of" and self.lower(raw.last + 1) in (
                "air",
                "steam",
                "pressure",
                "boost",
                "vacuum",
            )
            about = self.holds("pressure of", *near) and not self.holds("weight of", *near) and raw.per is None
            held = self.lower(raw.first - 1) in ("at", "to", "of") and self.holds_word(PRESSED, a, b)
            beside = any(
                r.unit and r.unit.dimension == "pressure" and self.same_sentence(r.first, raw.first) for r in raws
            )
            about = about or (held and beside and raw.per is None)  # "rated 150 psi, operating at a hundred pounds"
            about = about or (held and raw.per is None and not self.holds("weight of", a, b) and not of)
            if of or about:
                return replace(
                    raw, unit=replace(self.row("psi"), said="psi"), doubt=None if of else "pounds taken as psi"
                )
        elif raw.unit.pint == "ton" and said == "ton" and self.holds("cooling", *near):
            return replace(raw, unit=self.row_of("ton of cooling"))
        elif raw.unit.pint == "horsepower" and self.boiler(raw):
            return replace(raw, unit=self.row_of("boiler horsepower"))
        elif raw.unit.pint == "thou" and self.lower(raw.last - 1) in ("mil", "mils") and self.metric(raws):
            return replace(raw, unit=self.row("millimetre"), doubt="mil taken as millimetre")
        elif raw.unit.said == "degree":
            return self.degrees(raw, raws)
        elif (
            raw.unit.pint == "Btu"
            and not self.lower(raw.last - 1).endswith("h")
            and self.holds_word(
                ("burner", "burners", "boiler", "heater", "furnace", "oven", "input", "output", "fired", "gas"), a, b
            )
        ):
            return replace(raw, unit=self.row_of("btu an hour"), doubt="an hour supplied: Btu alone was said")
        return raw

    def row_of(self, form: str) -> Unit:
        words = tuple(form.split())
        return next(u for w, u in self.units.forms[words[0]] if w == words)

    def holds_word(self, words: tuple[str, ...], first: int, last: int) -> bool:
        return any(t.lower in words for t in self.tokens[first:last])

    def boiler(self, raw: Raw) -> bool:
        a, b = self.sentence(raw.first)
        words = {t.lower for t in self.tokens[a:b]}
        others = {"motor", "motors", "pump", "pumps", "fan", "fans", "blower", "blowers", "drive"}
        return bool({"boiler", "boilers"} & words) and not words & others and raw.value >= 9

    def metric(self, raws: list[Raw]) -> bool:
        """Whether most figures of the recording are metric."""
        units = [r.unit.pint for r in raws if r.unit]
        m = sum(
            u.startswith(("metre", "millimetre", "centimetre", "litre", "kilogram", "bar", "tonne", "degC"))
            for u in units
        )
        c = sum(u.startswith(("foot", "inch", "gallon", "pound", "psi", "horsepower", "degF")) for u in units)
        return m > c

    def degrees(self, raw: Raw, raws: list[Raw]) -> Raw:
        """The scale of "degrees": said in the sentence, else the recording's, else by its other units, then marked."""
        a, b = self.sentence(raw.first)
        if self.holds("angle", max(a, raw.first - 4), min(b, raw.last + 3)):
            return replace(raw, property="other")
        for scale, names in (("degF", ("fahrenheit", "f")), ("degC", ("celsius", "centigrade", "celcius", "c"))):
            if any(t.lower in names and (len(t.lower) > 1 or t.text.isupper()) for t in self.tokens[a:b]):
                return replace(raw, unit=Unit(scale, "temperature", None, scale))
        scales = {
            r.unit.pint
            for r in raws
            if r.unit and r.unit.dimension == "temperature" and r.unit.pint in ("degF", "degC")
        }
        scale = scales.pop() if len(scales) == 1 else "degC" if self.metric(raws) else "degF"
        name = "Fahrenheit" if scale == "degF" else "Celsius"
        return replace(
            raw, unit=Unit(scale, "temperature", None, scale), doubt=f"{name} supplied: the scale was not said"
        )

    def measure(self, raw: Raw) -> Measure | None:
        """The figure as a mention; None where it is no figure of a machine."""
        price = self.price(raw)
        if price is not None:
            return price
        if raw.unit is None:
            return None
        a, _ = self.sentence(raw.first)
        if raw.unit.dimension == "temperature" and {"serial", "model"} & {
            t.lower for t in self.tokens[max(a, raw.first - 4) : raw.first]
        }:
            return None  # "serial number is 8840-C"
        if (
            raw.unit.dimension == "time"
            and raw.shape is None
            and self.holds("past", raw.last, min(raw.last + 2, self.sentence(raw.first)[1]))
        ):
            return None
        if raw.unit.pint == "percent" and raw.value == HUNDRED_PERCENT and raw.property is None:
            return None
        if raw.unit.property == "phases" and raw.value not in (1, 2, 3, 6):
            return None
        prop = raw.property or raw.shape or raw.unit.property
        every = self.lower(raw.first - 1) == "every" and self.same_sentence(raw.first - 1, raw.first)
        if every and raw.unit.dimension == "time":
            prop = "cycle"
        of = raw.of or (self.of_every(raw) if every else None)
        return Measure(
            raw.first,
            raw.last,
            _tidy(raw.value),
            raw.unit.pint,
            raw.unit.dimension,
            value_max=None if raw.value_max is None else _tidy(raw.value_max),
            property=prop,
            of=of,
            approximate=raw.approximate or self.rough(raw),
            doubt=raw.doubt or self.heard_badly(raw),
            place=raw.place,
            places=raw.places,
            per=raw.per,
        )

    def of_every(self, raw: Raw) -> str | None:
        """ "one layer every 80 seconds": what comes once in that time."""
        a, _ = self.sentence(raw.first)
        nouns: list[str] = []
        k = raw.first - 2
        while (
            k >= a
            and len(nouns) < 3
            and self.tokens[k].lower.isalpha()
            and self.tokens[k].lower not in ("is", "it", "one", "a", "every", "about")
        ):
            nouns.insert(0, self.tokens[k].lower)
            k -= 1
        return _one(" ".join(nouns)) if nouns and k >= a and self.tokens[k].lower in ("one", "a") else None

    def price(self, raw: Raw) -> Measure | None:
        text = self.tokens[raw.first].text
        signs = {"$": "USD", "£": "GBP", "€": "EUR"}
        if text[:1] in signs:
            return None
        code = self.money.get(self.lower(raw.last)) if self.linked(raw.last) else None
        if raw.unit and raw.unit.pint == "pound" and self.lower(raw.last) == "sterling":
            code = "GBP"
        if code is None:
            return None
        return Measure(raw.first, raw.last + 1, raw.value, code, "money", property="price")

    def rough(self, raw: Raw) -> bool:
        a, b = self.sentence(raw.first)
        before = [t.lower for t in self.tokens[max(a, raw.first - 5) : raw.first]]
        # words of a rough figure stand right before it; "a" and "some" may stand between
        for phrase in figure_words(self.vocabulary, "approximate"):
            n = len(phrase)
            for gap in (0, 1):
                end = len(before) - gap
                if tuple(before[max(0, end - n) : end]) == phrase and (
                    not gap or before[-1] in ("a", "some", "at", "of")
                ):
                    return True
        after = [t.lower for t in self.tokens[raw.last : min(b, raw.last + 5)]]
        return any(tuple(after[: len(p)]) == p for p in figure_words(self.vocabulary, "approximate after"))

    def heard_badly(self, raw: Raw) -> str | None:
        """A doubt from the listening stage, or a low probability of a word of the figure."""
        part = self.tokens[raw.first : raw.last]
        told = next((t.doubt for t in part if t.doubt), None)
        if told:
            return told
        weak = min(part, key=lambda t: t.probability)
        return f"{weak.text!r} was heard badly" if weak.probability < WEAK else None


NUMBERED = frozenset(
    "number no tank station stage compartment zone position machine pump step chamber cell bay".split()
)
PACKED = frozenset(
    "can bottle jar vial tin pouch sachet cup tub keg bag sack carton case box tray crate tote pallet layer "
    "pack packet bundle basket rack cart trolley bin piece part roll sheet tier shelf pan loaf brick block tile tube "
    "ingot egg "
    "hanger hook carrier fixture stack row mould mold cavity shot batch load drum pail bucket bale".split()
)
"""Things that are packed in one another, as packaging and batch work count them."""
ACROSS = frozenset("across wide deep high tall thick long".split())
HOLDS = frozenset("has holds takes gets carries fits makes is".split())
AFTER_INCHES = frozenset(
    "by x and at on with from to or in the high it so that is for not including overall total".split()
)
HOUR_KINDS = frozenset(
    "operating run running loaded machine service total working power-on spindle engine meter".split()
)


PRESSED = ("boiler", "boilers", "steam", "air", "compressor", "receiver", "relief", "regulator", "header")
"""Things whose pounds, "at" which they are held, are of pressure."""


@lru_cache(maxsize=8)
def _classes(vocabulary: Vocabulary) -> Classes:
    return Classes(vocabulary)


def _tidy(value: float) -> float:
    """A value without the dust of floating point."""
    rounded = round(value, 6)
    return int(rounded) if rounded == int(rounded) and abs(rounded) < 1e15 else rounded


def _scale(value: float) -> float:
    scale = 1.0
    while value % 1000 == 0 and value:
        value /= 1000
        scale *= 1000
    return scale


def _one(name: str) -> str:
    """The last word in the singular: "cartons" is carton."""
    words = name.split()
    if not words:
        return ""
    last = words[-1].lower()
    if last.endswith("ies") and len(last) > 4:
        last = last[:-3] + "y"
    elif last.endswith(("sses", "shes", "ches", "xes")):
        last = last[:-2]
    elif last.endswith("s") and not last.endswith("ss") and len(last) > 3:
        last = last[:-1]
    return " ".join([*words[:-1], last])
