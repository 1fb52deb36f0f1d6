"""What speaks for it that a second name takes a first one back: marks of both and of the words around them.

None decides by itself; weighed_names.py adds them up with the weights of vocab/name_take_weights.toml.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import log

from extractors.noun_kinds import THINGS, kind_of, kinds_of_nouns
from extractors.said_names import Named
from extractors.take_marks import HARD, SIGNS, Marks, Talk, words_around

NEAR, CLOSE = 20, 8
AGAIN = 45
"""Words behind the second name within which the first may be told of elsewhere."""
GAP = ("behind old", "between", "same sentence", "lead")
TELLING = frozenset({"it is", "number is", "is", "alone", "says"})
"""Ways of saying what a thing is."""


def name_marks(t: Talk, names: Sequence[Named], o: int, n: int) -> Marks:
    """The marks of the name n taking back the name o."""
    old, new, s = names[o], names[n], t.sentences
    apart = s.number[new.first] - s.number[old.first]
    marks: Marks = {"apart": log(1 + new.first - old.end), f"sentences between: {min(apart, 4)}": 1}
    marks |= dict.fromkeys(_frames(old, new), 1.0)
    marks |= dict.fromkeys(_likeness(t, old, new), 1.0)
    marks |= _around(t, names, o, n)
    marks |= _places(t, old, new)
    marks |= dict.fromkeys(words_around(t, (old.first, old.end), (new.first, new.end)), 1.0)
    marks = {mark: float(value) for mark, value in marks.items() if value}
    return marks | {mark: float(value) for mark, value in _together(marks, old, new).items() if value}


def _frames(old: Named, new: Named) -> Iterator[str]:
    yield from (f"old: {old.frame}", f"new: {new.frame}", f"{old.frame}, then {new.frame}")
    if old.number and new.number:
        yield "same number" if old.number == new.number else "other number"
    elif old.number or new.number:
        yield "one numbered"


def _likeness(t: Talk, old: Named, new: Named) -> Iterator[str]:
    if old.head == new.head:
        yield "same head"
    elif old.stems & new.stems:
        yield "shares a word"
    if new.stems < old.stems or old.stems < new.stems:
        yield "one within the other"
    articles = [t.pieces[x.first].lower if x.bare > x.first else "none" for x in (old, new)]
    yield f"articles: {articles[0]}, {articles[1]}"
    known = kinds_of_nouns(t.vocabulary)
    kinds = [kind_of(t.pieces, (x.bare, x.end), known) for x in (old, new)]
    yield from (f"old is: {kinds[0]}", f"new is: {kinds[1]}")
    if kinds[0] == kinds[1]:
        yield from ("same kind", f"both: {kinds[0]}")
    elif set(kinds) <= THINGS:
        yield "both things"
    else:
        yield "other kinds"
    if t.pieces[old.end - 1].lower.endswith("s") == t.pieces[new.end - 1].lower.endswith("s"):
        yield "both one or both many"


def _around(t: Talk, names: Sequence[Named], o: int, n: int) -> Marks:
    """What other names and figures stand between, whether the old one is denied, and whether it is told elsewhere."""
    old, new = names[o], names[n]
    between = names[o + 1 : n]
    figures = sum(p.kind == "number" and p.lower != "one" for p in t.pieces[old.end : new.first])
    behind = [x for x in names[n + 1 : n + 12] if x.first - new.end <= AGAIN]
    again = [x for x in behind if x.head == old.head and x.stems & old.stems and not x.denied]
    denied = [x for x in between if x.denied]
    return {
        "old denied": any(x.head == old.head or x.head in old.stems or old.head in x.stems for x in denied),
        "other denied": any(not x.stems & old.stems for x in denied),
        f"names between: {min(3, sum(not x.denied for x in between))}": 1,
        "told between": any(x.frame in TELLING and not x.stems & old.stems for x in between),
        f"figures between: {min(2, figures)}": 1,
        "old again between": any(x.head == old.head and not x.denied for x in between),
        "new again between": any(x.head == new.head and not x.denied for x in between),
        "old told elsewhere": any(x.frame in {"opens", "number is"} or x.number for x in again),
        "old again": bool(again),
        "new again": any(x.head == new.head and not x.denied for x in behind),
        "new before": any(x.head == new.head for x in names[max(0, o - 12) : o]),
    }


def _places(t: Talk, old: Named, new: Named) -> Marks:
    p, s = t.pieces, t.sentences
    so, sn = s.number[old.first], s.number[new.first]
    lengths = [s.first[k + 1] - s.first[k] for k in range(so + 1, sn)]
    return {
        "one clause": s.clause[old.first] == s.clause[new.first],
        "old closes its clause": p[old.end - 1].comma or p[old.end - 1].ends,
        "old closes its sentence": old.end == s.first[so + 1],
        "closes its clause": p[new.end - 1].comma or p[new.end - 1].ends,
        "opens its sentence": new.first == s.first[sn],
        "short sentence": s.first[sn + 1] - s.first[sn] <= 4,
        "short sentence between": any(length <= 4 for length in lengths),
        "question old": s.asks[so],
        "question new": s.asks[sn],
        "question between": any(s.asks[so + 1 : sn]),
    }


def _together(m: Marks, old: Named, new: Named) -> Marks:
    """Marks that say more together than each by itself."""
    gap = {k for k in SIGNS if any(f"{place}: {k}" in m for place in GAP)}
    hard = bool(gap & HARD)
    words = new.first - old.end
    near = "close" if words <= CLOSE else "near" if words <= NEAR else "far"
    told = old.frame in TELLING and new.frame in TELLING
    alike = "same kind" in m or "both things" in m
    first = "names between: 0" in m
    plain = "figures between: 0" in m
    return dict.fromkeys((f"{k} in a {near} gap" for k in gap), 1.0) | {
        "signs": min(4, len(gap)),
        "hard sign": hard,
        f"no sign, {near}": not gap,
        f"both told, {near}": told,
        "both told, sign": told and bool(gap),
        "both told, hard sign": told and hard,
        "both told, hard sign, first": told and hard and first,
        "both told, hard sign, no figure": told and hard and plain,
        "both told, no sign": told and not gap,
        "it is, hard sign": new.frame == "it is" and hard,
        "it is, hard sign, no figure": new.frame == "it is" and hard and plain,
        "old denied, it is": "old denied" in m and new.frame in {"it is", "is", "number is"},
        "old denied, no figure": "old denied" in m and plain,
        "same number, sign": "same number" in m and bool(gap),
        "same number, hard sign": "same number" in m and hard,
        "shares a word, hard sign": ("shares a word" in m or "same head" in m) and hard,
        "alone, hard sign": new.frame == "alone" and hard and first,
        "alike, both told": alike and told,
        "alike, both told, sign": alike and told and bool(gap),
        "alike, both told, hard sign": alike and told and hard,
        "alike, both told, first, sign": alike and told and first and bool(gap),
        "alike, hard sign": alike and hard,
        "alike, no sign": alike and not gap,
        "alike, old denied": alike and "old denied" in m,
        "unlike, sign": not alike and bool(gap),
        "elsewhere, sign": "old told elsewhere" in m and bool(gap),
    }
