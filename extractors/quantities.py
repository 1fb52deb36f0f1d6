"""Figures with their units: ranges, lists that share a unit, sizes with "by", feet and inches, rates and cycles.

A figure is a Number and what stands around it. Each reader below takes the numbers in order, looks at the words behind
and before, and gives measures; what speech leaves out (a unit, the scale of a temperature) is supplied by
bare_figures.py with a doubt that says so.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from extractors.bare_figures import bare_figure, shape_words
from extractors.mentions import Measure, Number, Token, Tokens
from extractors.spoken_numbers import find_numbers
from extractors.figure_units import PER, Unit, joined, metric_speaker, unit_at
from extractors.units_in_context import in_context
from vocab import Vocabulary

SLASHED = re.compile(r"\d+(?:\.\d+)?(?:/\d+(?:\.\d+)?)+")
HALVES = {8: 1, 4: 1, 2: 1, 3: 1, 16: 1, 32: 1, 64: 1, 5: 1, 10: 1}
APPROXIMATE = frozenset(
    "about around roughly approximately approx some nearly almost circa maybe perhaps say probably".split()
)
APPROXIMATE_PAIRS = frozenset(
    {("close", "to"), ("just", "over"), ("just", "under"), ("little", "over"), ("little", "under"), ("bit", "over"),
     ("bit", "under"), ("more", "like"), ("upwards", "of"), ("north", "of"), ("somewhere", "around"), ("right", "around"),
     ("right", "about"), ("bit", "more"), ("up", "around")}
)  # fmt: skip
APPROXIMATE_BEHIND = (("or", "so"), ("give", "or", "take"), ("near", "enough"), ("more", "or", "less"), ("ish",),
                      ("or", "thereabouts"), ("ballpark",), ("roughly",), ("approximately",))  # fmt: skip
TIMES = frozenset({"second", "minute", "hour", "day", "week", "month", "year", "shift"})
COUNTERS = frozenset("number no tank station stage zone pump unit bay compartment line model step phase and".split())
PLACES = COUNTERS - {"and"}
CYCLE_BEFORE = frozenset({"every", "each", "per"})
LOW_PROBABILITY = 0.5
"""Below this, a recogniser's word is as often wrong as right: faster-whisper's own figure, common practice."""
SOON = frozenset(
    "dwell cycle delay timer soak cure rinse dip spot blow interval shot press test dump shut hold warm pre".split()
)


@dataclass(frozen=True, slots=True)
class View:
    """One transcript under reading."""

    tokens: Tokens
    numbers: tuple[Number, ...]
    vocabulary: Vocabulary
    metric: bool

    def low(self, i: int) -> str:
        return self.tokens[i].lower if 0 <= i < len(self.tokens) else ""

    def same(self, i: int, j: int) -> bool:
        """Whether both tokens stand in one sentence."""
        inside = 0 <= i < len(self.tokens) and 0 <= j < len(self.tokens)
        return inside and self.tokens[i].sentence == self.tokens[j].sentence


def find_measures(tokens: Tokens, vocabulary: Vocabulary) -> tuple[Measure, ...]:
    """Every figure with a unit, in order; asides are left out. Spans are token indices."""
    numbers = tuple(n for n in find_numbers(tokens, vocabulary) if all(not t.aside for t in tokens[n.first : n.last]))
    view = View(tokens, tuple(_whole(tokens, numbers)), vocabulary, metric_speaker(tokens, vocabulary))
    out: list[Measure] = []
    k = 0
    while k < len(view.numbers):
        found, k = _read(view, k, out)
        out += found
    out = [_trust(_approximate(m, view), tokens) for m in out]
    return tuple(sorted(in_context(view.tokens, tuple(out), view.metric), key=lambda m: (m.first, m.last)))


def _whole(tokens: Tokens, numbers: tuple[Number, ...]) -> list[Number]:
    """Numbers without those that are no figure: "208/240" is no fraction, "thirty second dwell" no ordinal."""
    out = []
    for n in numbers:
        text = tokens[n.first].text
        if n.form == "fraction" and SLASHED.fullmatch(text):
            parts = text.split("/")
            if len(parts) > 2 or int(float(parts[1])) not in HALVES or float(parts[0]) >= float(parts[1]):
                continue
        if n.form == "ordinal":
            word = tokens[n.last - 1].lower
            after = tokens[n.last].lower if n.last < len(tokens) else ""
            before = tokens[n.first - 1].lower if n.first else ""
            if (
                word == "second"
                and n.last - n.first > 1
                and n.value > 2
                and (after in SOON or before in ("a", "every", "per"))
            ):
                out.append(replace(n, last=n.last - 1, value=n.value - 2, form="cardinal"))
            continue
        out.append(n)
    return out


# ------------------------------------------------------------------------------------------------ one figure or group


def _read(view: View, k: int, before: list[Measure]) -> tuple[list[Measure], int]:
    """Measures that begin with number k, and the index of the next number to read."""
    for reader in (_slashed, _sizes, _range, _alternatives):
        found, after = reader(view, k)
        if found:
            return found, after
    number = view.numbers[k]
    single, after = _single(view, k)
    if single is not None:
        return [single], after
    bare = bare_figure(view.tokens, number, before[-1] if before else None, view.vocabulary, metric=view.metric)
    return ([bare] if bare else []), k + 1


def _index(view: View, k: int, first: int) -> int:
    """Index of the first number at or behind a token."""
    while k < len(view.numbers) and view.numbers[k].first < first:
        k += 1
    return k


def _single(view: View, k: int) -> tuple[Measure | None, int]:
    """One number with its unit: plain, feet and inches, "an hour and a half", a rate, a cycle."""
    n, tokens = view.numbers[k], view.tokens
    if n.form == "year" and n.value < 100 and view.low(n.first) in ("oh", "o"):
        return None, k + 1
    if (found := _rate(view, n)) is not None:
        return found, _index(view, k + 1, found.last)
    unit = _unit_behind(view, n)
    if unit is None:
        return None, k + 1
    value, last = n.value, unit.last
    if unit.pint == "foot":
        value, last = _inches(view, k, value, last)
    value, last = _and_part(view, value, last)
    if view.low(n.first - 1) in ("minus", "negative") and view.same(n.first - 1, n.first):
        n = replace(n, first=n.first - 1)
        value = -value
    measure = Measure(
        n.first, last, value, unit.pint, unit.dimension, property=unit.property, approximate=n.approximate
    )
    return _every(view, measure), _index(view, k + 1, last)


def _unit_behind(view: View, n: Number) -> Unit | None:
    """The unit behind a number; "half an inch", "three quarters of an inch" and "a hundred of psi" are read too."""
    i = n.last
    if n.form == "fraction" or n.value == 0.5:
        for words in (("of", "an"), ("of", "a"), ("an",), ("a",)):
            if tuple(view.low(i + j) for j in range(len(words))) == words and view.same(i, n.first):
                unit = unit_at(view.tokens, i + len(words), view.vocabulary)
                if unit is not None and joined(view.tokens, i):
                    return unit
    if not joined(view.tokens, i):
        return None
    if view.low(i) in ("full", "odd", "plus", "solid", "good", "linear", "running", "lineal", "rated"):
        if joined(view.tokens, i + 1) and (unit := unit_at(view.tokens, i + 1, view.vocabulary)):
            return unit
    return unit_at(view.tokens, i, view.vocabulary)


def _inches(view: View, k: int, feet: float, last: int) -> tuple[float, int]:
    """Feet and inches are one figure: "eleven foot six", "6 feet 2 inches", "five feet and two inches"."""
    if k + 1 >= len(view.numbers):
        return feet, last
    n = view.numbers[k + 1]
    gap = n.first - last
    if gap not in (0, 1) or not view.same(last - 1, n.first) or (gap and view.low(last) != "and"):
        return feet, last
    if view.tokens[last - 1].after not in ("", "-", ".") or n.value >= 12 or n.form in ("year", "ordinal"):
        return feet, last
    unit = unit_at(view.tokens, n.last, view.vocabulary) if joined(view.tokens, n.last) else None
    if unit is not None and unit.pint == "inch":
        return feet + n.value / 12, unit.last
    if gap or unit is not None or (n.form == "fraction" and n.value < 1):
        return feet, last
    behind = view.low(n.last)
    ends = n.last >= len(view.tokens) or not joined(view.tokens, n.last)
    if (
        ends
        or behind in shape_words()
        or behind
        in ("by", "x", "at", "on", "from", "over", "to", "and", "inside", "outside", "overall", "or", "with", "in")
    ):
        return feet + n.value / 12, n.last
    return feet, last


def _and_part(view: View, value: float, last: int) -> tuple[float, int]:
    """ "six feet and a half", "an inch and a quarter", "a minute and a half"."""
    words = tuple(view.low(last + j) for j in range(3))
    if not joined(view.tokens, last) or value != int(value):
        return value, last
    if words[:2] == ("and", "a") and words[2] in ("half", "quarter"):
        if unit_at(view.tokens, last + 3, view.vocabulary) is None or not joined(view.tokens, last + 3):
            return value + (0.5 if words[2] == "half" else 0.25), last + 3
    if words[0] == "and":
        for n in view.numbers:
            if n.first == last + 1 and n.form == "fraction" and n.value < 1:
                ends = (
                    n.last >= len(view.tokens)
                    or not joined(view.tokens, n.last)
                    or not unit_at(view.tokens, n.last, view.vocabulary)
                )
                return (value + n.value, n.last) if ends else (value, last)
    return value, last


def _rate(view: View, n: Number) -> Measure | None:
    """ "36 baskets an hour", "500 cartons per hour", "forty strokes a minute", "one layer every 80 seconds" (by _every)."""
    i = n.last
    if n.form in ("ordinal", "fraction") and n.value < 1:
        return None
    unit = unit_at(view.tokens, i, view.vocabulary, compound=False) if joined(view.tokens, i) else None
    if unit is not None and view.low(i) not in ("cubes", "revs", "grain"):
        return None
    for end in range(i, min(i + 4, len(view.tokens))):
        if end > i and not joined(view.tokens, end):
            return None
        if view.low(end) in PER and joined(view.tokens, end):
            time = unit_at(view.tokens, end + 1, view.vocabulary, compound=False)
            if view.low(end + 1) == "shift" and joined(view.tokens, end + 1):
                return None
            if time is None or time.dimension != "time" or time.pint not in TIMES or not joined(view.tokens, end + 1):
                return None
            of = " ".join(t.text for t in view.tokens[i:end]) or None
            return Measure(
                n.first,
                time.last,
                n.value,
                f"1/{time.pint}",
                "rate",
                property="rate",
                of=_singular(of),
                approximate=n.approximate,
            )
        if view.low(end) in (
            "and",
            "of",
            "in",
            "on",
            "at",
            "by",
            "to",
            "with",
            "is",
            "are",
            "or",
            "for",
            "from",
            "that",
        ):
            return None
    return None


def _singular(of: str | None) -> str | None:
    if of is None:
        return None
    word = of.lower()
    for ending, put in (("ies", "y"), ("xes", "x"), ("ches", "ch"), ("shes", "sh"), ("sses", "ss"), ("s", "")):
        if word.endswith(ending) and not word.endswith("ss") and len(word) > 3:
            return word[: -len(ending)] + put
    return word


def _every(view: View, m: Measure) -> Measure:
    """ "one every thirty seconds", "a load every ten minutes", "a hook every two feet"."""
    if view.low(m.first - 1) not in CYCLE_BEFORE or not view.same(m.first - 1, m.first):
        return m
    if m.dimension == "time":
        i = m.first - 2
        noun = view.low(i) if view.same(i, m.first) and joined(view.tokens, m.first - 1) else ""
        counted = view.low(i - 1) in ("one", "a", "an", "1") and noun.isalpha() and noun not in ("time", "one")
        return replace(m, property="cycle", of=noun if counted else None)
    return m


# ----------------------------------------------------------------------------------------------- figures that share


def _slashed(view: View, k: int) -> tuple[list[Measure], int]:
    """ "208/240 volt": each is a figure. The tokens of such a word are no number; handled where one follows it."""
    return [], k


def _sizes(view: View, k: int) -> tuple[list[Measure], int]:
    """Two or three figures with "by": each its own measure, a missing unit taken from the others of the group."""
    parts: list[tuple[Number, Unit | None, float, int, str | None]] = []
    at = k
    while at < len(view.numbers):
        n = view.numbers[at]
        unit = _unit_behind(view, n)
        value, last = n.value, n.last
        if unit is not None:
            if unit.dimension != "length":
                break
            last = unit.last
            if unit.pint == "foot":
                value, last = _inches(view, at, value, last)
            value, last = _and_part(view, value, last)
        shape = shape_words().get(view.low(last)) if joined(view.tokens, last) else None
        if view.low(last) == "in" and view.low(last + 1) in ("diameter", "length"):
            shape, last = view.low(last + 1), last + 1
        end = last + 1 if shape else last
        parts.append((n, unit, value, last, shape))
        at = _index(view, at + 1, last)
        if view.low(end) not in ("by", "x", "×") or at >= len(view.numbers) or not view.same(end, n.first):
            break
        follows = view.numbers[at].first
        if follows != end + 1 or len(parts) == 4:
            break
    if len(parts) < 2:
        return [], k
    units = [u.pint for _, u, *_ in parts if u is not None]
    doubt = None
    shaped = [s for *_, s in parts if s]
    if not units:
        if len(parts) < 3 and not shaped:
            return [], at
        units = ["metre" if view.metric else "foot"]
        doubt = f"unit not said; taken as {units[0]}"
    out = []
    for i, (n, unit, value, last, shape) in enumerate(parts):
        own = unit.pint if unit else next((u.pint for _, u, *_ in parts[i + 1 :] if u is not None), units[-1])
        out.append(Measure(n.first, last, value, own, "length", property=shape, approximate=n.approximate, doubt=doubt))
    return out, at


def _range(view: View, k: int) -> tuple[list[Measure], int]:
    """ "fifteen to twenty psi", "between 180 and 300 millimetres", "15 psi to 20 psi"."""
    if k + 1 >= len(view.numbers):
        return [], k
    a, b = view.numbers[k], view.numbers[k + 1]
    unit_a = unit_at(view.tokens, a.last, view.vocabulary) if joined(view.tokens, a.last) else None
    end = unit_a.last if unit_a else a.last
    link = view.low(end)
    between = view.low(a.first - 1) in ("between", "from") and view.same(a.first - 1, a.first)
    if b.first != end + 1 or not view.same(a.first, b.first) or view.tokens[end - 1].after not in ("", "-"):
        return [], k
    if not (
        link in ("to", "through", "thru", "till", "–", "until")
        or (link == "and" and between and view.low(a.first - 1) == "between")
    ):
        return [], k
    unit = unit_at(view.tokens, b.last, view.vocabulary) if joined(view.tokens, b.last) else None
    if unit is None:
        rate = _rate(view, b)
        if rate is not None and unit_a is None and a.value < b.value:
            return [replace(rate, first=a.first, value=a.value, value_max=b.value)], k + 2
        return [], k
    if unit_a and unit_a.pint != unit.pint:
        return [], k
    low, high = a.value, b.value
    if low >= high:
        if 1 <= low < 10 <= high * 10 and high > 0 and low * 10 < high:
            low *= 10
        else:
            return [], k
    if high >= 1000 and low < 10 and "thousand" in (view.low(b.last - 1),):
        low *= 1000  # "two to three thousand"
    m = Measure(a.first, unit.last, low, unit.pint, unit.dimension, value_max=high, property=unit.property)
    return [_every(view, m)], k + 2


def _alternatives(view: View, k: int) -> tuple[list[Measure], int]:
    """ "460 or 480 volts", "five, seven and a half and ten horse": each a figure in the unit of the last."""
    run, at = [view.numbers[k]], k
    joins = 0
    while at + 1 < len(view.numbers):
        a, b = view.numbers[at], view.numbers[at + 1]
        if joined(view.tokens, a.last) and unit_at(view.tokens, a.last, view.vocabulary):
            break
        gap = [view.low(j) for j in range(a.last, b.first)]
        comma = view.tokens[a.last - 1].after == ","
        if not view.same(a.first, b.first) or gap not in ([], ["or"], ["and"]) or (not gap and not comma):
            break
        joins += bool(gap)
        run.append(b)
        at += 1
    if len(run) < 2 or not (joins or len(run) > 2) or view.low(run[0].first - 1).rstrip("s") in PLACES:
        return [], k
    unit = _unit_behind(view, run[-1])
    small, large = min(n.value for n in run), max(n.value for n in run)
    if unit is None or small <= 0 or large / small > 25 or unit.dimension == "time" and not joins:
        return [], k
    if len({n.value for n in run}) < len(run):
        return [], k
    out = []
    for n in run:
        last = unit.last if n is run[-1] else n.last
        out.append(Measure(n.first, last, n.value, unit.pint, unit.dimension, property=unit.property))
    return out, _index(view, at + 1, unit.last)


# --------------------------------------------------------------------------------------------------- how far trusted


def _approximate(m: Measure, view: View) -> Measure:
    i = m.first - 1
    near = [view.low(j) for j in range(max(0, m.first - 3), m.first) if view.same(j, m.first)]
    said = bool(near) and (
        near[-1] in APPROXIMATE
        or tuple(near[-2:]) in APPROXIMATE_PAIRS
        or (near[-1] == "a" and tuple(near[-3:-1]) in APPROXIMATE_PAIRS)
        or (near[-1] == "a" and len(near) > 1 and near[-2] in APPROXIMATE)
    )
    behind = tuple(view.low(j) for j in range(m.last, m.last + 3) if view.same(m.first, j))
    said = said or any(behind[: len(words)] == words for words in APPROXIMATE_BEHIND)
    return replace(m, approximate=True) if said and i >= 0 or said else m


def _trust(m: Measure, tokens: Tokens) -> Measure:
    """The measure with a doubt where one of its words was heard badly."""
    if m.doubt:
        return m
    for token in tokens[m.first : m.last]:
        if doubt := _unsure(token):
            return replace(m, doubt=doubt)
    return m


def _unsure(token: Token) -> str | None:
    if token.doubt:
        return token.doubt
    if token.probability < LOW_PROBABILITY:
        return f"{token.text!r} was heard badly"
    return None
