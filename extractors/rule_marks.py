"""Marks of a take-back that a rule found, by which it is doubted: what both sides are, and what lies between."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence

from extractors.mentions import Span
from extractors.noun_kinds import THINGS, kind_of, kinds_of_nouns
from extractors.said_names import IS, NAMING
from extractors.said_values import Said, comparable
from extractors.take_marks import Marks, Talk
from extractors.takebacks import TakeBack
from extractors.value_marks import value_marks
from extractors.word_classes import Piece

LONG = 3
"""Words of a side from which it is long."""
FIRST_WORDS = ("points", "leads", "helps", "stands_in", "joins", "fills", "asks", "acts", "describes", "number", "name")


def rule_marks(t: Talk, take: TakeBack) -> Marks:
    """The marks of a take-back by a rule."""
    pieces = t.pieces
    old, new = take.heard or take.withdrawn, take.read or take.kept
    if old is None or new is None or old[1] <= old[0] or new[1] <= new[0]:
        return {}
    marks = dict.fromkeys(_marks(t, old, new), 1.0)
    marks[f"rule: {take.rule}"] = 1.0
    if take.late:
        marks["late"] = 1.0
    one, other = _value_in(t.values, take.withdrawn, old), _value_in(t.values, take.kept, new)
    numbers = any(p.kind == "number" for a, b in (old, new) for p in pieces[a:b])
    marks["figures" if numbers else "words"] = 1.0
    if one is None or other is None:
        marks["no two values" if numbers else "no values"] = 1.0
        return marks
    if numbers:
        marks |= dict.fromkeys(value_marks(pieces, one, other), 1.0)
        fits = comparable(one, other) or (one.value == other.value and one.name == other.name)
        marks["comparable" if fits else "not comparable"] = 1.0
        if one.kind == other.kind == "figure":
            marks[f"{_what(one)}, then {_what(other)}"] = 1.0
            if one.dimension and other.dimension and one.dimension != other.dimension:
                marks["dimensions differ"] = 1.0
            if one.value == other.value and one.dimension == other.dimension:
                marks["the same figure"] = 1.0
    return marks


def _what(value: Said) -> str:
    return "unit" if value.dimension else "noun" if value.noun else "bare"


def _value_in(values: Sequence[Said], *spans: Span | None) -> Said | None:
    """The last value that the words hold."""
    for span in spans:
        if span is not None:
            last = bisect_left(values, span[1], key=lambda v: v.first) - 1
            if last >= 0 and span[0] < values[last].end:
                return values[last]
    return None


def _marks(t: Talk, old: Span, new: Span) -> Iterator[str]:
    pieces, known = t.pieces, kinds_of_nouns(t.vocabulary)
    one, other = kind_of(pieces, old, known), kind_of(pieces, new, known)
    alike = one == other or {one, other} <= THINGS
    yield from (f"old is: {one}", f"new is: {other}", "alike" if alike else "unlike")
    sets = [{known[p.stem] for p in pieces[a:b] if p.stem in known} for a, b in (old, new)]
    if one == other or (sets[0] & sets[1]) - {"never"}:
        yield "same kind"
    if (sets[0] & sets[1]) - {"never", "thing", "part", "role"}:
        yield "of one table"
    if all(any(p.kind in NAMING for p in pieces[a:b]) for a, b in (old, new)):
        yield "both name"
    stems = [{p.stem for p in pieces[a:b] if p.kind in NAMING | {"describes"}} for a, b in (old, new)]
    if stems[0] & stems[1]:
        yield "shares a word"
    yield from (f"old begins: {pieces[old[0]].kind}", f"new begins: {pieces[new[0]].kind}")
    if pieces[old[0]].kind == pieces[new[0]].kind:
        yield "begin alike"
    yield f"old of {min(4, old[1] - old[0])}"
    yield f"new of {min(4, new[1] - new[0])}"
    yield f"lengths differ by {min(3, abs((new[1] - new[0]) - (old[1] - old[0])))}"
    yield from (f"led old: {w}" for w in _led(pieces, old[0]))
    yield from (f"led new: {w}" for w in _led(pieces, new[0]))
    yield from _between(t, old, new)
    closed = pieces[new[1] - 1].comma or pieces[new[1] - 1].ends
    yield "new closes" if closed else f"behind new: {pieces[new[1]].kind}" if new[1] < len(pieces) else "new closes"
    yield "old closes" if pieces[old[1] - 1].comma or pieces[old[1] - 1].ends else "old goes on"


def _led(pieces: Sequence[Piece], i: int) -> Iterator[str]:
    if i == 0 or pieces[i - 1].ends:
        yield "sentence"
    elif pieces[i - 1].comma:
        yield "pause"
    elif pieces[i - 1].lower in IS or pieces[i - 1].lower.endswith(("'s", "'re")):
        yield "is"
    else:
        yield pieces[i - 1].kind


def _between(t: Talk, old: Span, new: Span) -> Iterator[str]:
    pieces = t.pieces
    first, last = (old[1], new[0]) if old[1] <= new[0] else (new[1], old[0])
    if new[0] < old[0]:
        yield "new first"
    gap = pieces[first:last]
    yield f"{min(6, len(gap))} between" if len(gap) < 7 else "many between"
    ends = sum(p.ends for p in pieces[first - 1 : last])
    yield f"{min(3, ends)} sentence ends between"
    found = {kind for k in range(first, last) for kind in t.kinds(k)}
    yield from (f"between: {kind}" for kind in found)
    if "deny" not in found and "wrong" not in found:
        yield "no denial between"
    if any(p.kind in NAMING for p in gap):
        yield "named between"
    if any(p.kind == "number" for p in gap):
        yield "figure between"
    if gap and gap[-1].ends:
        yield "begins its sentence"
    if gap and gap[-1].comma:
        yield "pause before new"
