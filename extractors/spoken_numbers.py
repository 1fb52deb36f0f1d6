"""Numbers as people say them and as recognisers write them: words, digits and mixtures, to values.

A figure in words is read by a small grammar (hundreds and scales, "and", "point", fractions, "half a dozen"), and
beside it the ways of talking shop: "four eighty" is 480, "twenty-two hundred" 2,200, "three oh four" 304.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache

from extractors.mentions import Number, Token, Tokens
from vocab import Vocabulary

COMMA = re.compile(r"\d{1,4},\d{1,2}")
"""A decimal as most of Europe writes it: "3,5"; three figures behind the comma are thousands."""
DIGITS = re.compile(r"[-−]?(?:\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+(?:\.\d+)?|\.\d+)")
FRACTION = re.compile(r"(?:(\d+)[ -])?(\d{1,3})/(\d{1,3})")
SIGNS = {"½": 0.5, "¼": 0.25, "¾": 0.75, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 0.125, "⅜": 0.375, "⅝": 0.625, "⅞": 0.875}
PARTED_VOLTS = frozenset({277.0, 380.0, 400.0, 415.0, 440.0, 460.0, 480.0, 575.0, 600.0, 690.0})
"""Supply voltages (IEC 60038, ANSI C84.1) that recognisers part ("four 60"); 220 and 240 may be two of 20 or 40."""
DUAL_VOLTS = frozenset(
    {
        (115, 230), (120, 208), (120, 240), (110, 220), (208, 230), (208, 240), (220, 380), (220, 440), (230, 400),
        (230, 460),
        (240, 415), (240, 480), (254, 440), (277, 480), (200, 400), (200, 346), (347, 600), (380, 415), (380, 660),
        (400, 415),
        (400, 690), (460, 480), (220, 230), (220, 240), (230, 240), (190, 380), (575, 600), (380, 400), (440, 460),
        (440, 480),
    }
)  # fmt: skip
"""Two voltages of one plate (NEMA MG 1 dual voltages, IEC 60038 phase and line): "two thirty four sixty" is 230/460."""
DECIMAL_MARKS = frozenset({"point", "comma"})
"""Said between a whole number and its decimals: "three point five", in most of Europe "three comma five"."""
ORDINAL_DIGITS = re.compile(r"(\d+)(?:st|nd|rd|th)")
PLURAL_PARTS = 2
"""A plural part ("eighths") wants a count of two or more before it."""

Table = dict[str, tuple[str, float]]


@lru_cache(maxsize=8)
def table(vocabulary: Vocabulary) -> Table:
    """Word -> (kind, value)."""
    return {form: (row["kind"], float(row["value"])) for row in vocabulary["numbers"] for form in row["spoken"]}


def find_numbers(tokens: Tokens, vocabulary: Vocabulary) -> tuple[Number, ...]:
    """Every figure in order, asides included; none overlaps another."""
    words = table(vocabulary)
    found: list[Number] = []
    i = 0
    while i < len(tokens):
        number = number_at(tokens, i, words)
        if number is None:
            i += 1
        else:
            found.append(number)
            i = number.last
    return tuple(found)


def number_at(tokens: Tokens, i: int, words: Table) -> Number | None:
    """The longest number that begins at token i; None where none does."""
    reader = Reader(tokens, words)
    return reader.ordinal(i) or reader.digits(i) or reader.spoken(i)


class Reader:
    """Reads one number; a method gives None where its kind of number does not begin at a token."""

    def __init__(self, tokens: Tokens, words: Table) -> None:
        self.tokens, self.words = tokens, words

    def kind(self, i: int) -> str:
        """The kind of the token's word, "" for no number word or past the end."""
        if i >= len(self.tokens):
            return ""
        return self.words.get(self.tokens[i].lower, ("", 0.0))[0]

    def value(self, i: int) -> float:
        return self.words[self.tokens[i].lower][1]

    def lower(self, i: int) -> str:
        return self.tokens[i].lower if i < len(self.tokens) else ""

    def linked(self, i: int) -> bool:
        """Whether token i goes on from the one before it: same sentence, no comma between."""
        if i >= len(self.tokens) or i == 0:
            return False
        before = self.tokens[i - 1]
        return before.after in ("", "-") and before.sentence == self.tokens[i].sentence

    # ------------------------------------------------------------------------------------------------- digits

    def digits(self, i: int) -> Number | None:
        text = self.tokens[i].text
        if fraction := FRACTION.fullmatch(text):
            if not int(fraction[3]) or not proper(fraction):
                return None
            value = int(fraction[1] or 0) + int(fraction[2]) / int(fraction[3])
            return Number(i, i + 1, value, form="fraction")
        if text and text[-1] in SIGNS and (not text[:-1] or text[:-1].isdigit()):
            return Number(i, i + 1, float(text[:-1] or 0) + SIGNS[text[-1]], form="fraction")
        if COMMA.fullmatch(text):
            return self.scaled(Number(i, i + 1, float(text.replace(",", ".")), form="decimal"))
        if not DIGITS.fullmatch(text):
            return None
        value = float(text.replace(",", "").replace("−", "-"))
        end = i + 1
        form = "decimal" if "." in text else "digits"
        if self.linked(end) and self.lower(end) in DECIMAL_MARKS:
            tail, after = self.decimals(end + 1)
            if tail:
                return self.scaled(Number(i, after, float(f"{int(value)}.{tail}"), form="decimal"))
        if value == int(value) and self.linked(end):
            mixed = FRACTION.fullmatch(self.tokens[end].text)
            if mixed and not mixed[1] and int(mixed[3]) and int(mixed[2]) < int(mixed[3]):
                return Number(i, end + 1, value + int(mixed[2]) / int(mixed[3]), form="fraction")
            if self.tokens[end].text in SIGNS:
                return Number(i, end + 1, value + SIGNS[self.tokens[end].text], form="fraction")
        if self.digit_part(i, value):
            return Number(i, end + 1, value * self.value(end), form="fraction")
        number = self.scaled(Number(i, end, value, form=form))  # type: ignore[arg-type]
        return self.with_part(number)

    def digit_part(self, i: int, value: float) -> bool:
        """ "3-quarter horse", "5 eighths": a figure that counts parts; "3 quarter turn valves" are valves."""
        if not self.linked(i + 1) or self.kind(i + 1) != "part" or self.lower(i + 2) in ("turn", "turns"):
            return False
        part, word = self.value(i + 1), self.lower(i + 1)
        joined = word.endswith("s") or self.tokens[i].word == self.tokens[i + 1].word or value == 3
        return word != "half" and joined and 1 < value < 1 / part and value % 2 == 1

    def scaled(self, number: Number) -> Number:
        """1.2 million, 30 thousand, 5 hundred; "100 and 10" is how recognisers write a hundred and ten."""
        end, value = number.last, number.value
        while self.linked(end) and self.kind(end) == "scale":
            value *= self.value(end)
            end += 1
        if end > number.last and self.linked(end):
            more = self.spoken(end, plain=True) if self.kind(end) in ("unit", "teen", "ten") else None
            if more and more.value < 100 and more.form == "cardinal" and number.form == "digits":
                value, end = value + more.value, more.last
        if number.value in (100.0, 1000.0) and self.lower(end) == "and" and self.linked(end) and self.linked(end + 1):
            text = self.tokens[end + 1].text
            if text.isdigit() and 0 < int(text) < number.value:
                return replace(number, last=end + 2, value=value + int(text))
        return replace(number, last=end, value=value)

    def ordinal(self, i: int) -> Number | None:
        if found := ORDINAL_DIGITS.fullmatch(self.lower(i)):
            return Number(i, i + 1, float(found[1]), form="ordinal")
        if self.kind(i) == "ordinal":
            return Number(i, i + 1, self.value(i), form="ordinal")
        timed = self.lower(i + 1) == "second" and self.lower(i + 2) in TIMED
        if timed:
            return None  # "a thirty second cycle"
        if self.kind(i) == "ten" and self.linked(i + 1) and self.kind(i + 1) == "ordinal" and self.value(i + 1) < 10:
            return Number(i, i + 2, self.value(i) + self.value(i + 1), form="ordinal")
        if self.kind(i) in ("unit", "teen", "ten") or (self.lower(i) == "a" and self.kind(i + 1) == "scale"):
            return self.long_ordinal(i)
        return None

    def long_ordinal(self, i: int) -> Number | None:
        """ "one hundred and twenty first", "two thousandth": a cardinal whose last word is an ordinal."""
        body = self.spoken(i, plain=True)
        if body is None or body.form != "cardinal" or not self.linked(body.last) or self.kind(body.last) != "ordinal":
            if (
                (
                    body
                    and body.last < len(self.tokens)
                    and self.lower(body.last) == "and"
                    and self.kind(body.last + 1) == "ordinal"
                )
                and body.value >= 100
                and self.linked(body.last)
                and self.linked(body.last + 1)
            ):
                return Number(i, body.last + 2, body.value + self.value(body.last + 1), form="ordinal")
            return None
        last = self.value(body.last)
        if body.value >= 100 and last < 100 and self.scale_before(body.last):
            return Number(i, body.last + 1, body.value + last, form="ordinal")
        if last >= 100:
            return Number(i, body.last + 1, body.value * last, form="ordinal")
        return None

    def scale_before(self, i: int) -> bool:
        return self.kind(i - 1) in ("scale", "ten")

    # -------------------------------------------------------------------------------------------------- words

    def spoken(self, i: int, *, plain: bool = False) -> Number | None:
        """A number in words; plain leaves out fractions behind it and shop talk."""
        number = None if plain else (self.part(i) or self.several(i) or self.pointed(i) or self.shop(i))
        if number is None:
            number = self.cardinal(i)
        if number is None or plain:
            return number
        if (
            number.form in ("cardinal", "year")
            and self.linked(number.last)
            and self.lower(number.last) in DECIMAL_MARKS
        ):
            tail, after = self.decimals(number.last + 1)
            if tail:
                return self.scaled(Number(i, after, float(f"{int(number.value)}.{tail}"), form="decimal"))
        return self.with_part(number)

    def cardinal(self, i: int) -> Number | None:
        """Hundreds and scales, "and" allowed behind them: 1,121 in "one thousand one hundred and twenty one"."""
        total = group = 0.0
        end = i
        limit = float("inf")
        if self.lower(i) == "a" and self.kind(i + 1) == "scale" and self.linked(i + 1):
            group, end = 1.0, i + 1
        elif self.lower(i) in ("hundred", "thousand") and not (self.linked(i) and self.kind(i - 1)):
            group, end = self.value(i), i + 1  # "hundred horse main motor"
            if group > 100:
                return Number(i, end, group)
            after = end + 1 if self.lower(end) == "and" and self.linked(end) else end
            more, stop = self.below_hundred(after) if self.linked(after) else (0.0, after)
            if stop > after and not self.phase(stop - 1) and not self.part_follows(stop, more):
                group, end = group + more, stop  # "hundred and twenty shots an hour"
        else:
            group, end = self.below_hundred(i)
            if end == i:
                return None
        while self.linked(end):
            kind = self.kind(end)
            if kind == "scale" and self.value(end) == 100 and 0 < group < 100:
                group, end = group * 100, end + 1
                after = end + 1 if self.lower(end) == "and" and self.linked(end) else end
                if self.linked(after):
                    more, stop = self.below_hundred(after)
                    if (
                        stop > after
                        and not self.phase(stop - 1)
                        and not self.part_follows(stop, more)
                        and not self.pair_begins(after, stop)
                    ):
                        group, end = group + more, stop
            elif kind == "scale" and self.value(end) > 100 and self.value(end) < limit and group > 0:
                limit = self.value(end)
                total, group, end = total + group * limit, 0.0, end + 1
                after = end + 1 if self.lower(end) == "and" and self.linked(end) else end
                if not self.linked(after):
                    break
                more, stop = self.below_hundred(after)
                if stop == after or self.part_follows(stop, more) or self.phase(stop - 1):
                    break
                if self.linked(stop) and self.kind(stop) == "scale" and self.value(stop) >= limit:
                    break
                group, end = more, stop
            else:
                break
        return Number(i, end, total + group)

    def below_hundred(self, i: int) -> tuple[float, int]:
        """Value and end; end is i where none begins."""
        kind = self.kind(i)
        if kind in ("unit", "teen"):
            return self.value(i), i + 1
        if kind == "nil" and self.lower(i) not in ("oh", "o"):
            return 0.0, i + 1
        if kind == "ten":
            if self.linked(i + 1) and self.kind(i + 1) == "unit" and not self.phase(i + 1):
                return self.value(i) + self.value(i + 1), i + 2
            return self.value(i), i + 1
        return 0.0, i

    def pair_begins(self, i: int, end: int) -> bool:
        """Whether a pair said as one begins behind "and": "between three hundred and three fifty" is 300 and 350."""
        joined = self.lower(i - 1) == "and" and end - i == 1 and self.kind(i) in ("unit", "teen")
        return joined and self.linked(end) and self.kind(end) in ("ten", "teen")

    def phase(self, i: int) -> bool:
        """Whether the word at i counts phases: "four eighty three phase" is 480, three phase."""
        return self.lower(i) in ("three", "single", "one", "two") and self.lower(i + 1) in ("phase", "phases", "ph")

    def part_follows(self, i: int, count: float) -> bool:
        """Whether the number just read counts parts: "and three quarters" is a fraction, not 3."""
        return self.linked(i) and self.kind(i) == "part" and count < 64 and self.lower(i) != "half"

    def shop(self, i: int) -> Number | None:
        """Pairs said as one: "four eighty", "two twenty-five", "seventeen eighty", "three oh four", "twenty oh six"."""
        first, end = self.below_hundred(i)
        if end == i or first == 0 or not self.linked(end) or self.phase(end):
            return self.zeros(i)
        text = self.tokens[end].text
        if first < 10 and len(text) == 2 and text.isdigit() and self.lower(end + 1) in ("volt", "volts", "v", "vac"):
            value = first * 100 + float(text)
            if value in PARTED_VOLTS:
                return Number(i, end + 1, value, readings=(first, float(text)))
        if dual := self.dual_volts(i):
            return dual
        kind = self.kind(end)
        if kind == "nil" and self.linked(end + 1) and self.kind(end + 1) == "unit":
            if self.linked(end + 2) and self.kind(end + 2) in ("unit", "nil"):
                return self.run(i)
            value = first * 100 + self.value(end + 1)
            return Number(i, end + 2, value, form="year" if 18 <= first <= 20 else "cardinal")
        if kind == "nil" and self.linked(end + 1) and self.kind(end + 1) == "nil" and first < 100:
            return self.run(i)
        second, stop = self.below_hundred(end)
        if stop > end and second >= 10 and (first < 10 or first >= 10) and (first, second) != (0.0, 0.0):
            if self.linked(stop) and self.kind(stop) == "scale":
                return None
            if first >= 20 and self.kind(end - 1) == "ten" and second < 20 and first % 10 == 0 and second < 10:
                return None
            if self.part_follows(stop, second):
                return None
            year = 18 <= first <= 20 and second <= 99
            return Number(i, stop, first * 100 + second, form="year" if year else "cardinal", readings=(first, second))
        if kind in ("unit", "nil") and first < 10:
            return self.run(i)
        return None

    def dual_volts(self, i: int) -> Number | None:
        """The first of two voltages said in one breath: "two thirty four sixty", "four eighty two seventy seven"."""
        first = self.hundreds(i)
        second = self.hundreds(first[1]) if first and self.linked(first[1]) else None
        if first is None or second is None or tuple(sorted((first[0], second[0]))) not in DUAL_VOLTS:
            return None
        return Number(i, first[1], first[0])

    def hundreds(self, i: int) -> tuple[float, int] | None:
        """ "two thirty", "two oh eight", "two seventy seven": value and end, the shortest way to a known voltage."""
        if self.kind(i) != "unit" or not self.linked(i + 1):
            return None
        hundred, kind = self.value(i) * 100, self.kind(i + 1)
        if kind == "nil" and self.linked(i + 2) and self.kind(i + 2) == "unit":
            return hundred + self.value(i + 2), i + 3
        if kind == "scale" and self.value(i + 1) == 100:
            return hundred, i + 2
        if kind == "teen":
            return hundred + self.value(i + 1), i + 2
        if kind != "ten":
            return None
        value, end = hundred + self.value(i + 1), i + 2
        pairs = {v for pair in DUAL_VOLTS for v in pair}
        if value not in pairs and self.linked(end) and self.kind(end) == "unit":
            return value + self.value(end), end + 1
        return value, end

    def zeros(self, i: int) -> Number | None:
        """ "oh six" is 06, as people say a year."""
        if (
            self.kind(i) == "nil"
            and self.lower(i) in ("oh", "o", "zero")
            and self.linked(i + 1)
            and self.kind(i + 1) == "unit"
        ):
            if self.linked(i + 2) and self.kind(i + 2) in ("unit", "nil"):
                return self.run(i)
            return Number(i, i + 2, self.value(i + 1), form="year")
        return None

    def run(self, i: int) -> Number | None:
        """Digits said one by one, three or more: "four four seven one" is 4471."""
        end = i
        said = ""
        while (end == i or self.linked(end)) and self.kind(end) in ("unit", "nil") and not self.phase(end):
            said += str(int(self.value(end)))
            end += 1
        if len(said) < 3 or (self.linked(end) and self.kind(end) in ("scale", "part")):
            return None
        return Number(i, end, float(said), form="digits")

    def pointed(self, i: int) -> Number | None:
        """ "point six", "point oh five"."""
        if self.lower(i) != "point" or (self.linked(i) and self.lower(i - 1) in POINTS):
            return None
        tail, end = self.decimals(i + 1)
        return self.scaled(Number(i, end, float(f"0.{tail}"), form="decimal")) if tail else None

    def decimals(self, i: int) -> tuple[str, int]:
        """Digits behind a point: one by one, or a number said whole ("point seventy five")."""
        said, end = "", i
        while self.linked(end):
            kind, text = self.kind(end), self.tokens[end].text
            if kind in ("unit", "nil") and not self.phase(end):
                said += str(int(self.value(end)))
            elif kind in ("teen", "ten") and not said:
                value, stop = self.below_hundred(end)
                return str(int(value)), stop
            elif text.isdigit():
                said += text
            else:
                break
            end += 1
        return said, end

    def several(self, i: int) -> Number | None:
        """ "half a dozen", "a couple", "two dozen", "a couple hundred"."""
        if (
            self.lower(i) == "half"
            and self.lower(i + 1) == "a"
            and self.kind(i + 2) in ("dozen", "scale")
            and self.linked(i + 2)
        ) and self.lower(i + 2) != "couple":
            return Number(i, i + 3, self.value(i + 2) / 2)
        start = i + 1 if self.lower(i) == "a" else i
        if start < len(self.tokens) and self.kind(start) == "dozen" and (start == i or self.linked(start)):
            number = Number(i, start + 1, self.value(start), approximate=self.lower(start) == "couple")
            end = start + 1
            if self.lower(end) == "of" and self.kind(end + 1) == "scale":
                end += 1
            if self.linked(end) and self.kind(end) == "scale":
                return Number(i, end + 1, self.value(start) * self.value(end), approximate=True)
            return number
        count, end = self.below_hundred(i)
        if end > i and self.linked(end) and self.lower(end) in ("dozen", "dozens"):
            return Number(i, end + 1, count * 12)
        return None

    def part(self, i: int) -> Number | None:
        """ "half", "a quarter", "three eighths", "a half", "half a million"."""
        start = i + 1 if self.lower(i) in ("a", "an") and self.linked(i + 1) else i
        if start >= len(self.tokens):
            return None
        if self.kind(start) == "part" and self.lower(start) in ("half", "quarter"):
            if self.lower(start) == "half" and self.lower(start + 1) == "a" and self.kind(start + 2) == "dozen":
                return None
            if self.lower(start) == "half" and self.lower(start + 1) == "a" and self.kind(start + 2) == "scale":
                return Number(i, start + 3, self.value(start + 2) / 2)
            return Number(i, start + 1, self.value(start), form="fraction")
        one = self.single_part(start)
        if start > i and one:
            return Number(i, start + 1, one, form="fraction")
        count, end = self.below_hundred(i)
        if end > i and self.linked(end):
            if self.kind(end) == "part" and (count != 1 or self.lower(end) in ("half", "quarter")):
                if self.lower(end) == "half" and count != 1:
                    return None
                return Number(i, end + 1, count * self.value(end), form="fraction")
            # an even number of them would be said as sixteenths
            if self.kind(i) != "ten" and count % 2 and (fine := self.fine_part(end)):
                return Number(i, end + 2, count * fine, form="fraction")
            each = self.single_part(end)
            if each and count < 64 and (count == 1 or 1 / each > count):
                return Number(i, end + 1, count * each, form="fraction")
        return None

    def single_part(self, i: int) -> float:
        """ "an eighth", "one sixteenth", "three sixteenth": the ordinal as a part; 0 where it is none."""
        if self.kind(i) == "ordinal" and self.value(i) in (3, 5, 8, 10, 16) and self.linked(i):
            after = self.lower(i + 1) if self.linked(i + 1) else ""
            alone = (
                self.lower(i - 1) in ("a", "an") and self.value(i) in (8, 16) and after in ("", "and", "to", "or", "on")
            )
            return 1 / self.value(i) if after in PART_BEFORE or alone else 0.0
        return 0.0

    def fine_part(self, i: int) -> float:
        """ "seven thirty-seconds", "nine sixty-fourths": the part, in two words as its hyphen is cut; 0 for none."""
        kind, value = self.words.get(self.lower(i) + self.lower(i + 1), ("", 0.0))
        return value if kind == "part" and self.linked(i) and self.linked(i + 1) else 0.0

    def with_part(self, number: Number) -> Number:
        """A fraction behind a whole number: "two and a half", "seven and three quarters"."""
        end = number.last
        if number.value != int(number.value) or not self.linked(end):
            return number
        if self.lower(end) == "and" and self.linked(end + 1):
            start = end + 1
            text = self.tokens[start].text
            found = FRACTION.fullmatch(text)
            if found and not found[1] and int(found[3]):
                return replace(
                    number, last=start + 1, value=number.value + int(found[2]) / int(found[3]), form="fraction"
                )
            part = self.part(start)
            if part and part.value < 1 and part.form == "fraction":
                if counted := self.counted_in(end - 1, number.value, part.value):
                    return replace(number, last=part.last, value=number.value + part.value * counted)
                return self.scale_of_mixed(
                    replace(number, last=part.last, value=number.value + part.value, form="fraction")
                )
        elif self.kind(end) in ("unit", "part") and number.form == "cardinal":
            part = self.part(end)
            if part and part.form == "fraction" and part.value < 1 and part.last - part.first == PLURAL_PARTS:
                return replace(number, last=part.last, value=number.value + part.value, form="fraction")
        return number

    def counted_in(self, i: int, value: float, part: float) -> float:
        """What a part behind a round scale is a part of: "a million and a half" is 1,500,000."""
        if self.kind(i) not in ("scale", "dozen") or self.lower(i) == "couple" or value % self.value(i):
            return 0.0
        whole = self.value(i)
        return whole if whole >= 1e6 or (part == 0.5 and whole != 100) else 0.0

    def scale_of_mixed(self, number: Number) -> Number:
        """ "one and a half million"."""
        if self.linked(number.last) and self.kind(number.last) == "scale":
            return replace(number, last=number.last + 1, value=number.value * self.value(number.last), form="cardinal")
        return number


TIMED = frozenset(
    "cycle cycles dwell delay timer interval intervals soak hold burst purge index cure bake drip drain spray pulse "
    "mix lag stop pause".split()
)
"""Nouns that a time in seconds describes: "a thirty second cycle" is no 32nd one."""
POINTS = frozenset(
    "dew set boiling flash melting freezing pour pick pick-up high low tie pivot mid end start this that the one any "
    "some what which pinch bubble softening draw-off sample sampling test charge fill smoke".split()
)
"""Words that make "point" a noun: "dew point thirty eight" is no 0.38."""
PART_BEFORE = frozenset(
    "inch inches of thick thickness wall in plate sheet mile hp horse horsepower x by ply gauge diameter bore".split()
)
"""Words behind which an ordinal in the singular is a part: "an eighth inch", "a sixteenth of an inch"."""


def proper(fraction: re.Match[str]) -> bool:
    """Whether a written fraction is a part: 5/8, 3/10; 230/460, 24/7 and 5/6 of nothing told are two numbers."""
    over, under = int(fraction[2]), int(fraction[3])
    return under in (2, 3, 4, 5, 6, 8, 10, 12, 16, 32, 64, 100, 128) and over < 2 * under and over < 100


def is_number_word(token: Token, vocabulary: Vocabulary) -> bool:
    """Whether a token alone is a number, an ordinal or a part of one."""
    return token.lower in table(vocabulary) or bool(DIGITS.fullmatch(token.text))
