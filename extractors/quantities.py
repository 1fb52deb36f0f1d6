"""Figures with their units, one pass after the other: unit, joined figures, left-out units, the trade's meaning."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from extractors.figure_stream import SHAPES, Raw, Stream, one_of
from extractors.joined_figures import AFTER_INCHES, GOES_ON, SMALLER, Joining
from extractors.left_out_units import HOUR_KINDS, LeftOut
from extractors.marks import heard_badly
from extractors.mentions import Measure, Number, Tokens
from extractors.spoken_numbers import find_numbers, number_at, table
from extractors.trade_meanings import Meaning
from extractors.unit_names import counts_things, measures_in_barrels
from extractors.unit_words import Unit, compound, figure_words
from extractors.units_told_later import told_later
from vocab import Vocabulary

MOTORS = frozenset(
    {1, 1.5, 2, 3, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 60, 75, 100, 125, 150, 200, 250, 300, 350, 400, 450, 500}
)
"""Standard horsepower ratings (NEMA MG 1): "two twenty horse motors" are two of 20, as no motor has 220."""
QUALIFYING = frozenset(
    "full load full-load running nameplate rated locked rotor no-load brake shaft nominal continuous".split()
)
RATINGS = frozenset("amps amp amperes horsepower hp horse kw kilowatt kilowatts kva".split())
"""Units before which a rating's condition may stand: "forty five full load amps", "ninety brake horsepower"."""
BAR_THINGS = frozenset("feeder feeders loader loaders puller pullers stock magazine ends end codes code every".split())
"""Words behind "bar" that make a thing of it."""
HUNDRED_PERCENT = 100.0
NO_COUNTED = frozenset({"i", "you", "we", "they", "he", "she", "it", "is", "was", "are", "has", "that"})
"""Words that show a "one" before "a minute" to count nothing."""
BARE_UNITS = frozenset({"inch", "foot", "metre", "meter", "ton", "tonne", "hour", "mile"})
"""Units that stand for one of them before "and a half"."""
SCALES = frozenset({"fahrenheit", "celsius", "centigrade"})
"""Units that are nothing but units: behind a pause as well they are the figure's."""
HALVED = frozenset("length time volume mass power pressure".split())
"""Dimensions of which one and a part is said without the one: "a kilowatt and a half", "a bar and a half"."""
COMING = frozenset("in off out from through down into at on onto".split())
ACROSS = frozenset("across wide deep high tall thick long diameter apart by".split())


def find_measures(tokens: Tokens, vocabulary: Vocabulary) -> tuple[Measure, ...]:
    """Every figure with a unit, in order; asides are left out."""
    return tuple(Figures(tokens, vocabulary).all())


class Figures(Stream):
    """One pass over a token stream."""

    def __init__(self, tokens: Tokens, vocabulary: Vocabulary) -> None:
        super().__init__(tokens, vocabulary)
        self.joining = Joining(tokens, vocabulary)
        self.left, self.meaning = LeftOut(tokens, vocabulary), Meaning(tokens, vocabulary)
        self.money = {w: row["value"] for row in vocabulary["figures"] if row["kind"] == "money" for w in row["words"]}
        self.in_barrels = measures_in_barrels(tokens)
        self.marks = {row["mark"]: (row["unit"], row["property"]) for row in vocabulary["size_marks"]}
        self.grades = {float(s) for row in vocabulary["materials"] for s in row["said"] if s.isdigit()}

    def all(self) -> Iterator[Measure]:
        raws = sorted(
            [*(self.with_unit(n) for n in self.numbers()), *self.one_and_a_part()], key=lambda r: (r.first, -r.last)
        )
        raws = [r for k, r in enumerate(raws) if not k or r.first >= raws[k - 1].last]
        raws = told_later(self, self.joining.whole_and_parts(raws))
        raws = self.joining.feet_and_inches(raws)
        raws = self.joining.ranges(raws)
        raws = self.joining.rows(raws)
        raws = self.joining.lists(raws)
        raws = self.joining.ranges(self.left.left_out(raws))
        raws = [self.meaning.meant(r, raws) for r in raws]
        for raw in raws:
            measure = self.measure(raw)
            if measure is not None:
                yield measure

    def numbers(self) -> Iterator[Number]:
        """Numbers that may be figures: no ordinals, none in an aside; a count before a motor's rating is parted."""
        for n in find_numbers(self.tokens, self.vocabulary):
            if n.form == "ordinal" or any(self.tokens[k].aside for k in range(n.first, n.last)):
                continue
            if n.value in self.grades and self.linked(n.last) and self.lower(n.last) == "l":
                continue  # "stainless 316L": low in carbon, and no litres
            if (
                len(n.readings) == 2
                and n.readings[0] < 10
                and n.value not in MOTORS
                and self.lower(n.last) in ("horse", "hp", "horsepower")
            ) and n.readings[1] in MOTORS:
                yield Number(n.first, n.first + 1, n.readings[0])
                yield Number(n.first + 1, n.last, n.readings[1])
                continue
            if self.several_of(n):
                yield Number(n.first, n.first + 1, n.readings[0])
                yield Number(n.first + 1, n.last, n.readings[1])
                continue
            yield n

    def several_of(self, n: Number) -> bool:
        """ "Two twelve kilowatt elements" are two of twelve: a pair, its unit, and a noun in the plural."""
        if len(n.readings) != 2 or not 1 < n.readings[0] < 10 or n.last - n.first > 2 or not self.linked(n.last):
            return False
        found = self.units.at(self.tokens, n.last, digits=False)
        if self.lower(n.last) == "footers":
            return True  # "four sixty footers"
        if found is None or found[1].dimension not in ("power", "volume", "mass") or not self.linked(found[0]):
            return False
        noun = self.lower(found[0])
        return len(noun) > 4 and noun.endswith("s") and not noun.endswith("ss") and self.noun(found[0])

    def with_unit(self, n: Number) -> Raw:
        raw = Raw(n.first, n.last, n.value, n, value_max=n.value_max, approximate=n.approximate)
        if n.first and self.lower(n.first - 1) in ("minus", "negative") and self.linked(n.first):
            if self.tolerance_before(n.first - 1):  # "plus minus one millimetre" is one to either side
                raw = replace(raw, property="other")
            else:
                raw = replace(raw, first=n.first - 1, value=-n.value)
        at = n.last
        if (fine := self.ten_thousandths(raw)) is not None:
            return fine
        mark = self.marks.get(self.lower(n.first - 1)) if n.first and self.linked(n.first) else None
        if mark is not None and n.value_max is None:
            unit, prop = mark  # "DN 80"
            return replace(raw, first=n.first - 1, unit=self.row(unit), property=prop)
        if not self.linked(at):
            return self.unit_after_pause(raw) or self.left.context.inch_part(raw) or raw
        if n.form in ("fraction", "decimal") and n.value < 1:
            # "half an hour", "a quarter of an inch", "three quarters of a mile"
            skip = at + 1 if self.lower(at) == "of" else at
            if self.lower(skip) in ("a", "an") and self.linked(skip):
                skip += 1
            at = skip if skip > at and self.linked(skip) else at
        digits = any(c.isdigit() for c in self.tokens[n.last - 1].text)
        if self.lower(at) == "odd" and self.linked(at + 1):
            at, raw = at + 1, replace(raw, approximate=True)  # "170 odd rpm"
        qualified = at
        while qualified - at < 3 and self.lower(qualified) in QUALIFYING and self.linked(qualified + 1):
            qualified += 1
        if qualified > at and self.lower(qualified) in RATINGS:
            at = qualified  # "forty five full load amps"
        if self.lower(at) in HOUR_KINDS and self.linked(at + 1) and self.lower(at + 1) == "hours":
            return replace(raw, last=at + 2, unit=self.row("hour"), property="hours")  # "9,000 power-on hours"
        if self.lower(at) in ("degree", "degrees", "deg") and self.lower(at + 1) in ("dry", "wet"):
            return raw
        found = self.units.at(self.tokens, at, digits=digits)
        if found is None:
            return self.rate_of(raw) or self.left.context.inch_part(raw) or raw
        end, unit = found
        if unit.said == "bar" and self.linked(end) and self.lower(end) in BAR_THINGS:
            return raw  # "one bar feeder"
        if counts_things(self.tokens, unit.said, n.value, end, in_barrels=self.in_barrels):
            return raw  # "nine barrels come with it", "each cell takes one bar at a time"
        if unit.said == "second" and self.lower(at) == "second" and n.value > 1 and self.lower(end) in ("hand", "one"):
            return raw
        if unit.dimension == "temperature" and self.tokens[n.last - 1].after == "-" and len(self.lower(at)) == 1:
            return raw  # "serial number 8840-C"
        end, unit = self.of_in_a_time(end, unit)
        raw = replace(raw, last=end, unit=unit)
        if self.lower(end) == "and" and self.linked(end) and unit.dimension in ("length", "time", "volume", "mass"):
            raw = self.and_a_part(raw, end + 1)
        return self.per_thing(self.shaped(raw))

    def ten_thousandths(self, raw: Raw) -> Raw | None:
        """ "Two ten-thousandths", "half a ten-thousandth of an inch": what "two ten" and "thousandths" are not."""
        at = raw.last
        if self.lower(at) not in ("thousandth", "thousandths") or not self.linked(at) or self.lower(at - 1) != "ten":
            return None
        if at - 1 == raw.first:
            said, count = self.lower(raw.first - 1) in ("a", "one", "the"), 1.0
        else:
            n = number_at(self.tokens[: at - 1], raw.first, table(self.vocabulary))
            said, count = n is not None and n.last == at - 1, n.value if n else 0.0
        if not said:
            return None
        inch = [self.lower(k) for k in range(at + 1, at + 4)] == ["of", "an", "inch"]
        return replace(
            raw,
            last=at + (4 if inch else 1),
            value=count / 10_000,
            value_max=None,
            unit=self.row("inch"),
            property="other",
        )

    def unit_after_pause(self, raw: Raw) -> Raw | None:
        """ "Twelve hundred by seven fifty, millimetres that is": a unit alone behind a pause is the figure's."""
        if self.tokens[raw.last - 1].after != "," or not self.same_sentence(raw.last - 1, raw.last):
            return None
        found = self.units.at(self.tokens, raw.last, digits=False)
        if found is not None and self.lower(raw.last) in SCALES and raw.number.form != "year":
            return replace(raw, last=found[0], unit=found[1])  # "a hundred and fifty two, Fahrenheit, like everybody"
        if found is None or not self.lower(raw.last).endswith("s") or len(self.lower(raw.last)) < 4:
            return None
        end, unit = found
        alone = bool(self.tokens[end - 1].after) or self.lower(end) in (
            "that",
            "that's",
            "not",
            "i",
            "mind",
            "they",
            "by",
        )
        return replace(raw, last=end, unit=unit) if alone else None

    def of_in_a_time(self, end: int, unit: Unit) -> tuple[int, Unit]:
        """ "ten thousand pounds of steam an hour": an amount of something in a time."""
        if (
            self.lower(end) != "of"
            or not self.linked(end)
            or unit.dimension not in ("mass", "volume", "energy", "area", "length")
        ):
            return end, unit
        for k in range(end + 2, min(end + 5, len(self.tokens) - 1)):
            if not all(self.linked(j) for j in range(end + 1, k + 1)):
                break
            k += self.lower(k) == "in" and self.lower(k + 1) in ("a", "an", "one", "the")
            if self.lower(k) in ("a", "an", "per", "each", "every", "one", "the"):
                below = self.units.at(self.tokens, k + 1, digits=False) if self.linked(k + 1) else None
                if below and below[1].pint in ("second", "minute", "hour", "day", "litre", "gallon"):
                    return below[0], compound(unit, below[1])
                break
        return end, unit

    def one_and_a_part(self) -> Iterator[Raw]:
        """ "an inch and a quarter", "an hour and a half": the article is the one."""
        for i, t in enumerate(self.tokens):
            if t.lower == "single" and self.lower(i + 1) in ("phase", "ph") and not t.aside and self.linked(i + 1):
                yield Raw(i, i + 2, 1.0, Number(i, i + 1, 1.0), unit=self.row("phase"))
            if not t.aside and (bare := self.unit_and_a_part(i)) is not None:
                yield bare
                continue
            if t.lower not in ("a", "an") or t.aside or not self.linked(i + 1):
                continue
            found = self.units.at(self.tokens, i + 1, digits=False)
            if found and (more := self.one_and_figures(i, found)):
                yield more
                continue
            if found and "/" in found[1].pint and found[1].dimension != "other":
                yield Raw(i, found[0], 1.0, Number(i, i + 1, 1.0), unit=found[1])  # "about a tonne an hour"
                continue
            each = found is not None and self.lower(found[0]) in ("each", "apiece") and self.linked(found[0])
            if found and each and found[1].dimension in ("mass", "length", "volume", "area"):
                yield Raw(i, found[0], 1.0, Number(i, i + 1, 1.0), unit=found[1])  # "a tonne each"
                continue
            if found and found[1].dimension == "length" and self.lower(found[0]) in ACROSS and self.linked(found[0]):
                yield self.shaped(Raw(i, found[0], 1.0, Number(i, i + 1, 1.0), unit=found[1]))  # "a metre across"
                continue
            if found and found[1].dimension in HALVED and self.lower(found[0]) == "and":
                one = Raw(i, found[0], 1.0, Number(i, i + 1, 1.0), unit=found[1])
                whole = self.and_a_part(one, found[0] + 1)
                if whole.value > 1:
                    yield self.shaped(self.in_a_time(whole))

    def unit_and_a_part(self, i: int) -> Raw | None:
        """ "Holding tube, inch and a half": no article and no number before the unit."""
        if self.lower(i) not in BARE_UNITS or self.lower(i + 1) != "and" or not self.linked(i + 1):
            return None
        before = self.lower(i - 1)
        if (
            i
            and self.linked(i)
            and (self.classes.of(before) == "number" or before in ("a", "an", "per", "each", "the"))
        ):
            return None
        if i and self.linked(i) and any(c.isdigit() for c in before):
            return None
        found = self.units.at(self.tokens, i, digits=False)
        if found is None or found[0] != i + 1:
            return None
        whole = self.and_a_part(Raw(i, i + 1, 1.0, Number(i, i + 1, 1.0), unit=found[1]), i + 2)
        return self.shaped(self.in_a_time(whole)) if whole.value > 1 else None

    def in_a_time(self, raw: Raw) -> Raw:
        """ "A metre and a half a minute": a speed or flow."""
        at = raw.last
        if raw.unit is None or not self.linked(at) or self.lower(at) not in ("a", "an", "per", "every"):
            return raw
        below = self.units.at(self.tokens, at + 1, digits=False) if self.linked(at + 1) else None
        if below is None or below[1].pint not in ("second", "minute", "hour"):
            return raw
        return replace(raw, last=below[0], unit=compound(raw.unit, below[1]))

    def one_and_figures(self, i: int, found: tuple[int, Unit]) -> Raw | None:
        """ "A metre ten across", "a foot six", "an hour twenty", "a minute thirty seconds": the rest behind the one."""
        end, unit = found
        joined = self.lower(end) == "and" and self.linked(end)
        n = number_at(self.tokens, end + joined, table(self.vocabulary)) if self.linked(end + joined) else None
        if n is None or n.form not in ("cardinal", "digits") or n.value % 1:
            return None
        below = self.units.at(self.tokens, n.last, digits=False) if self.linked(n.last) else None
        share = n.value * SMALLER.get((unit.pint, below[1].pint), 0.0) if below else 0.0
        if below and 0 < share < 1:
            return self.shaped(Raw(i, below[0], 1 + share, Number(i, below[0], 1 + share), unit=unit))
        if joined and (unit.said != "metre" or self.lower(n.last) not in SHAPES):
            return None  # "a metre and five deep"
        parts = {"metre": 100, "foot": 12, "hour": 60}.get(unit.said, 0)
        if not parts:
            return None
        small = n.value < parts and (unit.said == "foot" or n.value >= (5 if unit.said == "hour" else 10) or joined)
        following = self.lower(n.last)
        ends = not self.linked(n.last) or following in SHAPES or following in AFTER_INCHES
        if not small or not (ends or (unit.said == "hour" and following in GOES_ON)):
            return None
        value = 1 + n.value / parts
        return self.shaped(Raw(i, n.last, value, Number(i, n.last, value), unit=unit))

    def and_a_part(self, raw: Raw, at: int) -> Raw:
        """ "two feet and a half", "an inch and a quarter" """
        for n in find_numbers(self.tokens[at : at + 4], self.vocabulary)[:1]:
            if n.first == 0 and n.form == "fraction" and n.value < 1:
                following = self.units.at(self.tokens, at + n.last, digits=False) if self.linked(at + n.last) else None
                if following is None:
                    return replace(raw, last=at + n.last, value=raw.value + n.value)
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
        if link == "to" and raw.unit is not None and raw.unit.dimension == "length":
            return raw  # "nine foot high to the top of the chute"
        if self.units.at(self.tokens, at, digits=False) is not None:
            return raw  # "a hundred and forty Fahrenheit an hour and a half after a cold start"
        if link == "to" and word in SHAPES:
            return raw  # "it lifts 500 kilograms to a height of 1.6 metres"
        if self.classes.of(word) in ("leads", "joins", "helps", "number"):
            return raw  # "2.6 tonnes each with the motor", "180 Celsius a hundred and eighty"
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
            and self.lower(at) not in ("a", "an", "per", "each", "every", "in")
            and self.classes.of(self.lower(at)) not in ("number", "leads", "helps", "stands_in", "joins")
        ):
            nouns.append(self.tokens[at].text)
            at += 1
        if self.lower(at) == "in" and self.linked(at) and self.lower(at + 1) in ("the", "a", "an", "one"):
            at += 1  # "900 strokes in the minute"
        elif self.lower(at) not in ("a", "an", "per", "each", "every"):
            return None
        if not self.linked(at) or not self.linked(at + 1):
            return None
        if self.tokens[at + 1].aside or (raw.value == 1 and any(w.lower() in NO_COUNTED for w in nouns)):
            return None  # "the one I confused a minute ago", "station one is a second rinse"
        if any(w.lower() in self.money for w in nouns):
            return None  # "fifty quid a day"
        time = self.lower(at + 1).rstrip("s")
        if time in ("second", "minute", "hour", "day", "week", "shift", "year", "month"):
            if time == "shift":
                return None
            unit = Unit(f"1/{time}", "frequency", "rate", time)
            of = " ".join(nouns)
            return replace(raw, last=at + 2, unit=unit, property="rate", of=one_of(of) or None)
        return None

    def measure(self, raw: Raw) -> Measure | None:
        """The figure as a mention; None where it is no figure of a machine."""
        price = self.price(raw)
        if price is not None:
            return price
        if raw.unit is None:
            return None
        a, _ = self.sentence(raw.first)
        letter = len(self.tokens[raw.last - 1].text) == 1
        if letter and {"serial", "model", "type", "tag"} & {
            t.lower for t in self.tokens[max(a, raw.first - 5) : raw.first]
        }:
            return None  # "serial number is 8840-C", "serial 7731 A"
        if (
            raw.unit.pint == "year"
            and raw.property is None
            and self.holds("years of people", a, self.sentence(raw.first)[1])
        ):
            return None  # "a mate had the same for eight years"
        if (
            raw.unit.dimension == "time"
            and raw.shape is None
            and self.holds("past", raw.last, min(raw.last + 2, self.sentence(raw.first)[1]))
        ):
            return None
        if self.of_people(raw, a) or self.elsewhere(raw):
            return None
        if raw.unit.pint == "percent" and raw.value == HUNDRED_PERCENT and raw.property is None:
            return None
        if raw.unit.property == "phases" and raw.value not in (1, 2, 3, 6):
            return None
        prop = raw.property or raw.shape or raw.unit.property
        every = self.lower(raw.first - 1) == "every" and self.same_sentence(raw.first - 1, raw.first)
        # "one board each twenty-two seconds"
        every = every or (self.lower(raw.first - 1) == "each" and bool(self.of_every(raw)))
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
            row=raw.row,
        )

    def of_people(self, raw: Raw, a: int) -> bool:
        """Whether a time is what a person spent or is given: "I drove five hours", "removal inside ten days"."""
        if raw.unit is None or raw.unit.dimension != "time" or raw.unit.pint == "second" or raw.property or raw.shape:
            return False
        behind = self.lower(raw.last) == "more" and self.lower(raw.first - 1) in ("be", "for", "another")
        if raw.unit.pint in ("day", "week") and self.holds_word(("shift", "shifts"), *self.sentence(raw.first)):
            return True  # "they ran it two shifts, six days, never nights"
        return behind or self.holds("time of people", max(a, raw.first - 6), raw.first)

    def elsewhere(self, raw: Raw) -> bool:
        """Whether its sentence is of another machine ("that's not this lot"), or the case is not so."""
        a, b = self.sentence(raw.first)
        if self.holds("not this", a, b):
            return True
        would = self.lower(raw.last) in ("would", "wouldn't") and self.lower(raw.last + 1) not in ("be", "say")
        return would and self.linked(raw.last)  # "a head of under one metre would have the pumps cavitating"

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
        if nouns and k >= a and self.tokens[k].lower in ("one", "a"):
            return one_of(" ".join(nouns))
        return self.coming_every(raw, a)

    def coming_every(self, raw: Raw, a: int) -> str | None:
        """ "You've a part in your hand every five seconds", "a board off the end every nine": where it comes stands
        between."""
        way = next((k for k in range(raw.first - 3, max(a, raw.first - 7), -1) if self.lower(k) in COMING), None)
        if way is None or any(self.tokens[k].after for k in range(way - 2, raw.first - 1)):
            return None
        way -= self.lower(way - 1).endswith("ing")  # "a bar coming off the end every six minutes"
        noun = self.lower(way - 1)
        led = self.lower(way - 2) in ("a", "one") and way - 2 >= a
        return one_of(noun) if led and self.classes.of(noun) == "content" else None

    def price(self, raw: Raw) -> Measure | None:
        text = self.tokens[raw.first].text
        signs = {"$": "USD", "£": "GBP", "€": "EUR"}
        if text[:1] in signs:
            return None
        code = self.money.get(self.lower(raw.last)) if self.linked(raw.last) else None
        if raw.unit and raw.unit.pint == "pound" and self.lower(raw.last) == "sterling":
            code = "GBP"
        elif raw.unit and raw.unit.pint == "pound" and code is None and self.paid(raw):
            return Measure(raw.first, raw.last, _tidy(raw.value), "GBP", "money", property="price")
        if code is None:
            return None
        return Measure(raw.first, raw.last + 1, raw.value, code, "money", property="price")

    def paid(self, raw: Raw) -> bool:
        """ "They're asking forty thousand pounds", "nine thousand pounds for the lot": money, and no weight."""
        if self.tokens[raw.last - 1].lower not in ("pound", "pounds"):
            return False
        a, b = self.sentence(raw.first)
        asked = self.holds("money before", max(a, raw.first - 6), raw.first)
        return asked or self.holds("money behind", raw.last, min(b, raw.last + 4))

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
        phases = raw.unit is not None and raw.unit.property == "phases" and raw.value == 3
        if raw.unit is None or (phases and not any(t.heard for t in part)):
            return None  # of phases there are one and three, which nobody takes for one another
        return heard_badly(
            part, raw.value, raw.value_max, raw.unit.pint, self.vocabulary, lambda t: find_measures(t, self.vocabulary)
        )


def _tidy(value: float) -> float:
    """A value without the dust of floating point."""
    rounded = round(value, 6)
    return int(rounded) if rounded == int(rounded) and abs(rounded) < 1e15 else rounded
