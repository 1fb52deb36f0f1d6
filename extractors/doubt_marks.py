"""Signs, each weak alone, that a figure was read where none was said, or as another than was said.

"They ran it two shifts, six days": no time that a machine takes. "Nine barrels come with it": no volume. "Then twenty
one amps is under what it ought to draw": the figure of before, once more. weighed_doubts.py adds them up.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from extractors.mentions import QuantityMention, Tokens
from extractors.spoken_numbers import find_numbers
from vocab import Vocabulary

Marks = dict[str, float]
ACTIVE = frozenset({"stated", "hedged", "corrected"})
TIMES = frozenset({"second", "minute", "hour", "day", "week", "month", "year"})
LONG_TIMES = frozenset({"day", "week", "month", "year"})
THINGS = {"oil_barrel": frozenset({"barrel", "barrels"}), "bar": frozenset({"bar", "bars"})}
"""Units whose words are the names of things as well, in plating, in bakeries, on every injection machine."""
FEW = 12
"""So many things are counted in words, at most; chosen, no source."""
WINDOW = 40
"""Words of its sentence before and behind a figure that are looked at; chosen, no source."""
NEAR, SOON, REACH = 10, 6, 25
"""Words around a figure in which something is put right; to another figure of the same; the same, at most. Chosen."""
ODD = 20
"""Above it two figures that are alike are seldom two; chosen, no source."""


SAID_AGAIN = frozenset({"yes", "said", "mentioned", "mind", "told", "remember"})
"""Behind a figure these say that it was told before: "five horse, like I said"."""


@dataclass(frozen=True, slots=True)
class Talk:
    """A token stream with where its sentences and its figures are."""

    tokens: Tokens
    at: Mapping[int, int]
    """Word index -> the first token of the word."""
    bounds: Mapping[int, tuple[int, int]]
    """Sentence -> its first token and the one behind its last."""
    numbers: frozenset[int]
    """Tokens at which a number begins."""
    things: Mapping[str, tuple[int, ...]]
    """Unit -> two tokens, at most, where its word is led as a noun is ("each bar")."""


def talk_of(tokens: Tokens, vocabulary: Vocabulary) -> Talk:
    """The talk, gone over once."""
    at: dict[int, int] = {}
    bounds: dict[int, tuple[int, int]] = {}
    for i, t in enumerate(tokens):
        at.setdefault(t.word, i)
        bounds[t.sentence] = (bounds.get(t.sentence, (i, i))[0], i + 1)
    leads = _kinds(vocabulary)["leads a noun"]
    led = [i for i in range(1, len(tokens)) if tokens[i - 1].lower in leads]
    things = {unit: tuple([i for i in led if tokens[i].lower in forms][:2]) for unit, forms in THINGS.items()}
    return Talk(tokens, at, bounds, frozenset(n.first for n in find_numbers(tokens, vocabulary)), things)


def doubt_marks(quantities: Sequence[QuantityMention], talk: Talk, vocabulary: Vocabulary) -> list[Marks]:
    """The marks of each figure, in their order."""
    out: list[Marks] = []
    active = [q for q in quantities if q.status in ACTIVE]
    said: dict[tuple[float, float | None, str], set[str]] = defaultdict(set)
    kin: dict[tuple[str, str, str, str | None], list[QuantityMention]] = defaultdict(list)
    for q in reversed(active):
        kin[q.subject, q.property, q.unit, q.qualifier].append(q)
    for k, q in enumerate(quantities):
        found = _figure(q, talk)
        if found is None or q.status not in ACTIVE:
            out.append({})
            continue
        first, last = found
        marks = _of_its_words(q, first, last, talk, vocabulary)
        marks |= _said_before(q, said[q.value, q.value_max, q.unit], marks)
        alike = kin[q.subject, q.property, q.unit, q.qualifier]
        while alike and alike[-1].span[0] <= q.span[0]:
            alike.pop()
        marks |= _told_otherwise(q, alike)
        marks |= _beside(q, quantities, k)
        said[q.value, q.value_max, q.unit].add(q.subject)
        out.append({name: float(value) for name, value in marks.items() if value})
    return out


def _figure(q: QuantityMention, talk: Talk) -> tuple[int, int] | None:
    """Its tokens, first and behind the last; None where they were cut out of the reading."""
    found = [talk.at[w] for w in range(*q.span) if w in talk.at]
    if not found:
        return None
    last = found[-1] + 1
    while last < len(talk.tokens) and talk.tokens[last].word < q.span[1]:
        last += 1
    return found[0], last


def _of_its_words(q: QuantityMention, first: int, last: int, talk: Talk, vocabulary: Vocabulary) -> Marks:
    tokens = talk.tokens
    opens, ends = talk.bounds[tokens[first].sentence]
    a, b = max(opens, first - WINDOW), min(ends, last + WINDOW)
    before, behind = [t.lower for t in tokens[a:first]], [t.lower for t in tokens[last:b]]
    around = {*before, *behind}
    kinds = _kinds(vocabulary)
    marks: Marks = {kind: bool(words & around) for kind, words in kinds.items() if kind in AROUND}
    marks["cue behind"] = bool(kinds["cue"] & {t.lower for t in tokens[last : last + NEAR]})
    marks["cue before"] = bool(kinds["cue"] & {t.lower for t in tokens[max(0, first - NEAR) : first]})
    marks["argued"] = bool(kinds["argued"] & {*before[-4:]}) or bool(SAID_AGAIN & {*behind[:5]})
    marks["if"] = bool(kinds["if"] & {*before})
    marks["question"] = tokens[b - 1].after == "?"
    marks["behind a question"] = a > 0 and tokens[a - 1].after == "?"
    marks["shouted"] = tokens[b - 1].after == "!"
    marks["in a place with a name"] = any(
        tokens[i].text[:1].isupper() and tokens[i - 1].lower in ("in", "at", "from") for i in range(a + 1, first)
    )
    following = talk.bounds.get(tokens[first].sentence + 1)
    marks["a short figure next"] = following is not None and following[0] in talk.numbers and _short(following)
    attributive = bool(behind) and not tokens[last - 1].after and behind[0] not in kinds["behind figures"]
    marks["before a noun"] = attributive
    marks["the"] = before[-1:] in (["the"], ["that"], ["this"], ["those"])
    marks["a"] = before[-1:] in (["a"], ["an"])
    marks["opens"] = not before
    marks["one"] = q.value == 1
    marks |= {p: q.property == p for p in ("count", "other", "year")}
    return marks | _time(q, marks, [*before, *behind]) | _thing(q, first, last, attributive, talk)


AROUND = ("shifts", "people", "me", "elsewhere", "was", "denied", "takes", "taken down", "likened")
"""Kinds of words that are marks by themselves, anywhere in the sentence."""


def _short(bounds: tuple[int, int]) -> bool:
    return bounds[1] - bounds[0] <= 4


def _time(q: QuantityMention, marks: Marks, around: list[str]) -> Marks:
    """What a time is perhaps of: people, a week's work."""
    if q.unit not in TIMES or q.property != "duration":
        return dict.fromkeys(OF_TIMES, 0.0)
    return {
        "time": 1.0 - max(marks["takes"], marks["taken down"]),
        "time of days": float(q.unit in LONG_TIMES),
        "time alone": float(len(around) <= 2),
        "takes": 0.0,
        "taken down": 0.0,
    }


OF_TIMES = ("shifts", "me", "takes", "taken down")
"""Marks that only times have."""


def _thing(q: QuantityMention, first: int, last: int, attributive: bool, talk: Talk) -> Marks:
    """Whether the word of the unit is perhaps the name of a thing here."""
    forms = THINGS.get(q.unit)
    if forms is None or q.value != int(q.value) or q.value > FEW:
        return {}
    named = any(i not in range(first, last) for i in talk.things.get(q.unit, ()))
    return {"unit may be a thing": 1.0, "unit is a thing elsewhere": float(named), "unit before a noun": attributive}


def _said_before(q: QuantityMention, earlier: set[str], marks: Marks) -> Marks:
    """Whether the same figure was said before, and of something else each time."""
    again = bool(earlier) and q.subject not in earlier
    return {
        "said before of another": again,
        "said before, argued": again and marks["argued"],
        "said before, odd": again and (q.value > ODD or q.value != int(q.value)),
        "likened": again and marks["likened"],
        "argued": 0.0,
    }


def _told_otherwise(q: QuantityMention, kin: Sequence[QuantityMention]) -> Marks:
    """Whether the same of the same thing is told otherwise soon; kin are those behind it, the next last."""
    gaps = [e.span[0] - q.span[1] for e in kin[-REACH:] if e.value != q.value]
    return {
        "told otherwise behind": any(0 < g < REACH for g in gaps),
        "told otherwise right behind": any(0 < g < SOON for g in gaps),
    }


def _beside(q: QuantityMention, quantities: Sequence[QuantityMention], k: int) -> Marks:
    """A figure in a row of figures is seldom none."""
    return {
        "right behind a figure": k > 0 and 0 <= q.span[0] - quantities[k - 1].span[1] <= 1,
        "right before a figure": k + 1 < len(quantities) and 0 <= quantities[k + 1].span[0] - q.span[1] <= 1,
    }


@lru_cache(maxsize=8)
def _kinds(vocabulary: Vocabulary) -> dict[str, frozenset[str]]:
    return {row["kind"]: frozenset(row["words"]) for row in vocabulary["doubt_words"]}
