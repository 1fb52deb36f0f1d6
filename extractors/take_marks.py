"""What speaks for it that a second value takes a first one back: marks of the values and of the words around them.

None decides by itself; weighed_takes.py adds them up with the weights of vocab/take_weights.toml. The words around are
taken by place (before and behind the first value, between, before and behind the second), each by what it does
(vocab/take_words.toml) and, where it is a common one, as itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set
from functools import lru_cache
from math import log

from extractors.mentions import Span
from extractors.said_values import Said, Sentences, comparable, same
from extractors.value_marks import value_marks
from extractors.word_classes import Piece
from vocab import Vocabulary

BEHIND = BEFORE = NEXT = 9
"""Words behind the second value, before the first, and of the sentence behind, that are looked at."""
AGAIN, EARLIER = 25, 12
"""Words within which a value is said again, and values before the first among which it may stand."""
CLOSE, NEAR = 8, 20
"""Words between both."""
SIGNS = ("deny", "stop", "sorry", "turn", "look", "shown", "tell", "wrong", "count", "exclaim")
HARD = frozenset({"deny", "stop", "sorry", "wrong"})
"""Kinds of words that hardly stand between values of two things."""
NAMING = frozenset({"content", "name", "describes", "acts"})
GAP = ("behind old", "between", "same sentence", "lead")
Marks = dict[str, float]


@lru_cache(maxsize=4)
def word_kinds(vocabulary: Vocabulary) -> dict[str, tuple[str, ...]]:
    """Word -> what it does."""
    out: dict[str, tuple[str, ...]] = {}
    for row in vocabulary["take_words"]:
        for said in row["said"]:
            out[said] = (*out.get(said, ()), row["kind"])
    return out


class Talk:
    """The pieces of a recording with their values, and what is asked of them again and again."""

    def __init__(
        self,
        pieces: Sequence[Piece],
        sentences: Sentences,
        values: Sequence[Said],
        vocabulary: Vocabulary,
        common: Set[str],
    ) -> None:
        self.pieces, self.sentences, self.values = pieces, sentences, values
        self.vocabulary = vocabulary
        self.common = common
        """Words that are marks by themselves."""
        self._kinds = word_kinds(vocabulary)
        self._zones: dict[tuple[str, int, int], tuple[str, ...]] = {}
        self._stems: dict[tuple[int, int], frozenset[str]] = {}

    def kinds(self, i: int) -> tuple[str, ...]:
        """What the word at i does."""
        word = self.pieces[i].lower
        return self._kinds.get(word) or self._kinds.get(word.removesuffix("'s"), ())

    def zone(self, name: str, first: int, last: int) -> tuple[str, ...]:
        """The marks of the words at a place."""
        key = (name, first, last)
        if key not in self._zones:
            self._zones[key] = tuple(self._words(name, max(0, first), last))
        return self._zones[key]

    def _words(self, name: str, first: int, last: int) -> Iterator[str]:
        for i in range(first, last):
            word = self.pieces[i].lower
            yield from (f"{name}: {kind}" for kind in self.kinds(i))
            if word in self.common:
                yield f'{name} "{word}"'
            elif self.pieces[i].kind == "name":
                yield f"{name}: a name"

    def stems(self, first: int, last: int) -> frozenset[str]:
        """What is named between two pieces."""
        key = (first, last)
        if key not in self._stems:
            self._stems[key] = frozenset(p.stem for p in self.pieces[first:last] if p.kind in NAMING)
        return self._stems[key]


def pair_marks(t: Talk, o: int, n: int) -> Marks:
    """The marks of the value n taking back the value o."""
    old, new, s = t.values[o], t.values[n], t.sentences
    apart = s.number[new.first] - s.number[old.first]
    marks: Marks = {"apart": log(1 + max(0, new.first - old.end)), f"sentences between: {min(apart, 4)}": 1}
    marks |= _values_around(t, o, n)
    marks |= dict.fromkeys(value_marks(t.pieces, old, new), 1.0)
    marks |= _again(t, old, new)
    marks |= _places(t, old, new)
    spans = (old.first, old.end), (new.first, new.end)
    marks |= dict.fromkeys(words_around(t, *spans), 1.0)
    marks |= {f"leads: {kind}": 1.0 for kind in t.kinds(lead_of(t, *spans))}
    marks = {mark: value for mark, value in marks.items() if value}
    return marks | {mark: value for mark, value in _together(marks, new.first - old.end).items() if value}


def _values_around(t: Talk, o: int, n: int) -> Marks:
    """What other values stand between and around, and whether either is said again."""
    values, s = t.values, t.sentences
    old, new = values[o], values[n]
    between = values[o + 1 : n]
    first, stop = s.first[s.number[new.first]], s.first[s.number[new.first] + 1]
    rivals = sum(comparable(x, new) and not same(x, old) for x in between)
    after = [x for x in values[n + 1 : n + 8] if x.first - new.end <= AGAIN]
    alone = (n == 0 or values[n - 1].first < first) and (n + 1 == len(values) or values[n + 1].first >= stop)
    last = o + 1 == len(values) or values[o + 1].first >= s.first[s.number[old.first] + 1]
    return {
        f"values between: {min(len(between), 3)}": 1,
        "values more between": len(between),
        f"comparable between: {min(rivals, 2)}": 1,
        "only of its sentence": alone,
        "old last of its sentence": last,
        "new again": any(same(x, new) for x in after),
        "old again behind": any(same(x, old) for x in after),
        "old again between": any(same(x, old) for x in between),
        "new before": any(same(x, new) for x in values[max(0, o - EARLIER) : o]),
        "new between": any(same(x, new) for x in between),
    }


def _places(t: Talk, old: Said, new: Said) -> Marks:
    """How both stand in their clauses and sentences."""
    p, s = t.pieces, t.sentences
    so, sn = s.number[old.first], s.number[new.first]
    clause, first, stop = s.clause[new.first], s.first[sn], s.first[sn + 1]
    lengths = [s.first[k + 1] - s.first[k] for k in range(so + 1, sn)]
    marks: Marks = {
        "one clause": s.clause[old.first] == clause,
        "opens its sentence": new.first == first,
        "opens its clause": new.first == clause,
        f"lead of {min(new.first - max(clause, old.end), 4)}": 1,
        "old closes its clause": p[old.end - 1].comma or p[old.end - 1].ends,
        "old closes its sentence": old.end == s.first[so + 1],
        "new alone in its sentence": new.first == first and new.end >= stop,
        "closes its clause": p[new.end - 1].comma or p[new.end - 1].ends,
        "short sentence": stop - first <= 4,
        "short sentence between": any(length <= 4 for length in lengths),
        "question old": s.asks[so],
        "question new": s.asks[sn],
        "question between": any(s.asks[so + 1 : sn]),
        "side by side": new.first == old.end,
    }
    if new.first - old.end == 1:
        marks[f'joined by "{p[old.end].lower}"'] = 1
    return marks


def _again(t: Talk, old: Said, new: Said) -> Marks:
    """Which words of the one's sentence come again in the other's, and which are new."""
    p, s = t.pieces, t.sentences
    so, sn = s.number[old.first], s.number[new.first]
    stop, lead = s.first[sn + 1], max(s.clause[new.first], old.end)
    a = t.stems(s.first[so], old.first) | t.stems(old.last, s.first[so + 1])
    b = t.stems(s.first[sn], new.first) | t.stems(new.last, stop)
    led, tail = t.stems(lead, new.first), t.stems(new.last, min(stop, new.last + 3))
    both_led = old.first > 0 and p[old.first - 1].lower == p[new.first - 1].lower
    behind = old.last < len(p) and new.last < len(p) and not p[old.last - 1].ends
    return {
        "words again": min(3, len(a & b)),
        "lead of new words": min(3, len(led - a)),
        "lead of old words": min(2, len(led & a)),
        "tail of new words": min(2, len(tail - a)),
        "tail of old words": min(2, len(tail & a)),
        "same word before": both_led,
        "same word behind": behind and p[old.last].stem == p[new.last].stem,
    }


def words_around(t: Talk, old: Span, new: Span) -> Iterator[str]:
    """Kinds of words by place, around and between what may be taken back and what would stand."""
    s = t.sentences
    so, sn = s.number[old[0]], s.number[new[0]]
    first, stop, closed = s.first[sn], s.first[sn + 1], s.first[so + 1]
    lead = lead_of(t, old, new)
    yield from t.zone("before old", max(s.first[so], old[0] - BEFORE), old[0])
    yield from t.zone("behind old", old[1], min(closed, lead))
    yield from t.zone("between", max(old[1], closed), first)
    yield from t.zone("same sentence", max(old[1], first), lead)
    yield from t.zone("lead", lead, new[0])
    yield from t.zone("behind", new[1], min(stop, new[1] + BEHIND))
    yield from t.zone("next", stop, min(stop + NEXT, s.first[min(sn + 2, len(s.first) - 1)]))
    if sn > so:
        yield from (f"sentence opens: {kind}" for kind in t.kinds(first))
        yield from (f"turns: {kind}" for kind in t.kinds(closed))


def lead_of(t: Talk, old: Span, new: Span) -> int:
    """Where the words that lead up to what would stand begin: with its clause."""
    return max(t.sentences.clause[new[0]], old[1])


def _together(m: Marks, words: int) -> Marks:
    """Marks that say more together than each by itself."""
    gap = {k for k in SIGNS if any(f"{place}: {k}" in m for place in GAP)}
    late = {k for k in SIGNS if f"behind: {k}" in m or f"next: {k}" in m}
    sign, hard = bool(gap | late), bool((gap | late) & HARD)
    near = "close" if words <= CLOSE else "near" if words <= NEAR else "far"
    first = "comparable between: 0" in m
    bare = "lead of new words" not in m and "tail of new words" not in m and first
    alone = first and ("closes its clause" in m or "tail of new words" not in m)
    opens = first and ("opens its sentence" in m or "opens its clause" in m)
    alike = "same unit" in m or "same noun" in m
    shape = next((k for k in m if k.startswith("old ") and ", new " in k), "other kind")
    denied = "old again between" in m and any(f"{place}: deny" in m for place in GAP[1:])
    return dict.fromkeys((f"{k} in a {near} gap" for k in gap), 1.0) | {
        "signs": min(4, len(gap)),
        "signs behind": min(3, len(late)),
        "no sign at all": not sign,
        f"no sign, {near}": not sign,
        "hard sign": bool(gap & HARD),
        "hard sign or late one": hard,
        "adds nothing": bare,
        f"adds nothing, {near}": bare,
        "adds nothing, sign": bare and sign,
        "adds nothing, hard sign": bare and hard,
        f"{shape}, adds nothing": bare,
        f"{shape}, alone": alone,
        f"{shape}, {'first' if first else 'not first'}, {near}": 1,
        "opens, first": opens,
        "opens, adds nothing": opens and bare,
        "opens, adds nothing, sign": opens and bare and sign,
        "same unit, sign": alike and sign,
        "same unit, hard sign": alike and hard,
        "same unit, no sign": alike and not sign,
        "only values, sign": "values between: 0" in m and bool(gap),
        "only values, hard sign": "values between: 0" in m and bool(gap & HARD),
        "said again, sign": "new again" in m and bool(gap),
        "old closes, opens": "old closes its sentence" in m and "opens its sentence" in m,
        "old denied": denied,
    }
