"""Where a taken-back stretch began: the cut whose words the repair matches best, and that leaves a sound sentence.

A repair tends to have the pattern of what it replaces: it starts with the same word, or with a word of the same class,
and it goes on where the rest of the sentence left off. Each word before the cue is tried as the beginning; the marks
below are by hand, from how English phrases begin (no source), tried on one half of a public set and checked on
the other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from extractors.word_classes import Piece

FURTHEST = 40
"""Words before the cue that may be taken back; common practice, no source."""

SAME_CLASS = {
    "asks": 3.0,
    "points": 2.5,
    "leads": 2.0,
    "helps": 1.6,
    "stands_in": 1.5,
    "number": 3.0,
    "unit": 3.0,
    "name": 2.5,
    "acts": 2.0,
    "describes": 1.6,
    "content": 1.5,
    "joins": 1.0,
}
KIN = {
    frozenset({"content", "name"}): 1.2,
    frozenset({"content", "describes"}): 1.0,
    frozenset({"content", "acts"}): 0.5,
    frozenset({"name", "describes"}): 0.6,
    frozenset({"points", "stands_in"}): 0.6,
    frozenset({"points", "content"}): 0.8,
    frozenset({"points", "name"}): 1.4,
    frozenset({"points", "describes"}): 0.6,
    frozenset({"number", "describes"}): 0.8,
    frozenset({"number", "content"}): 0.3,
    frozenset({"points", "number"}): 0.6,
    frozenset({"helps", "acts"}): 0.8,
}
JOINS = {
    ("points", "points"): -2.5,
    ("points", "leads"): -3.0,
    ("points", "asks"): -3.0,
    ("points", "helps"): -3.0,
    ("points", "stands_in"): -2.5,
    ("points", "joins"): -3.0,
    ("leads", "leads"): -2.0,
    ("leads", "helps"): -2.5,
    ("leads", "joins"): -2.5,
    ("leads", "asks"): -1.0,
    ("helps", "helps"): -1.0,
    ("helps", "asks"): -2.0,
    ("content", "asks"): -1.5,
    ("name", "asks"): -1.5,
    ("acts", "asks"): -1.5,
    ("content", "points"): -0.7,
    ("name", "points"): -0.7,
    ("name", "name"): -0.8,
    ("describes", "leads"): -0.5,
    ("describes", "helps"): -1.5,
    ("describes", "points"): -1.5,
    ("describes", "asks"): -2.0,
    ("number", "points"): -0.2,
    ("asks", "leads"): -1.0,
    ("asks", "points"): -0.5,
    ("asks", "asks"): -2.0,
    ("leads", "acts"): -0.6,
    ("points", "acts"): -1.0,
}
CARRIES = frozenset({"content", "name", "describes", "number", "unit", "acts"})


def likeness(a: Piece, b: Piece) -> float:
    """How well one word stands in the place of another."""
    if a.lower == b.lower:
        return 4.0 if a.kind in CARRIES else 3.5
    if a.kind in CARRIES and a.stem == b.stem and len(a.stem) > 2:
        return 3.5
    if a.kind == b.kind:
        return SAME_CLASS.get(a.kind, 0.0) + (0.4 if a.kind == "acts" and a.lower[-2:] == b.lower[-2:] else 0.0)
    return KIN.get(frozenset({a.kind, b.kind}), -1.0)


def joint(before: Piece | None, after: Piece) -> float:
    """How well a word follows another, by their classes; None is the beginning of the sentence."""
    if before is None:
        return {"asks": 1.5, "content": -1.0, "unit": -2.0, "acts": -0.5}.get(after.kind, 0.0)
    return JOINS.get((before.kind, after.kind), 0.0)


def echoes(taken: Sequence[Piece], stands: Sequence[Piece]) -> float:
    """Marks for words behind the first that come again in the same order."""
    marks, at = 0.0, 0
    for piece in taken:
        for k in range(at, min(at + 4, len(stands))):
            other = stands[k]
            if piece.lower == other.lower or (piece.kind in CARRIES and piece.stem == other.stem):
                marks += 1.6 if piece.kind in CARRIES else 0.8
                at = k + 1
                break
            if piece.kind == other.kind and piece.kind in {"unit", "number"} and k <= at + 1:
                marks += 1.0
                at = k + 1
                break
    return marks


def best_cut(pieces: Sequence[Piece], *, start: int, cue: int, repair: int, stop: int) -> tuple[int, float]:
    """The index at which the taken-back words begin, and the marks for it. Words start:cue stand before the cue of
    the sentence, words repair:stop behind it. With nothing on one of the sides, the cue itself and minus infinity."""
    if cue <= start or repair >= stop:
        return cue, float("-inf")
    best, most = cue, float("-inf")
    for i in range(max(start, cue - FURTHEST), cue):
        marks = _marks(pieces, i, start=start, cue=cue, repair=repair, stop=stop)
        if marks > most:
            best, most = i, marks
    return best, most


def _marks(pieces: Sequence[Piece], i: int, *, start: int, cue: int, repair: int, stop: int) -> float:
    taken, stands = pieces[i:cue], pieces[repair : min(stop, repair + min(cue - i + 2, 8))]
    first, begins = taken[0], stands[0]
    before = pieces[i - 1] if i > start else None
    if before is not None and before.lower.endswith("'s") and before.kind == "content":
        before = replace(before, kind="helps")  # "the hopper's mild steel, no, stainless": hopper is
    marks = likeness(first, begins) + joint(before, begins) + echoes(taken[1:], stands[1:]) - 0.4 * len(taken)
    if len(stands) > 1 and begins.kind == "leads" and stands[1].kind == "asks" and before is None:
        marks += 2.5  # "under which ..." asks anew from the beginning
    if before is not None and before.kind == first.kind and first.kind in {"name", "number"}:
        marks -= 1.5  # a name or a figure is not cut in two
    if (
        before is not None
        and first.kind == "content"
        and before.kind in {"content", "describes"}
        and first.lower != begins.lower
    ):
        marks -= 0.6
    if (
        begins.kind == "asks"
        and first.kind == "asks"
        and before is not None
        and before.kind == "leads"
        and i - 1 == start
    ):
        marks -= 2.0  # "in what year" goes as a whole
    if first.kind == "leads" and len(taken) > 1 and taken[1].kind == "asks" and begins.kind == "asks" and i == start:
        marks += 3.0
    if first.lower.endswith("'s") and not begins.lower.endswith("'s") and begins.kind not in {"asks", "points"}:
        marks -= 1.5  # "the tank's fibreglass, I mean polypropylene"
    if begins.kind == "number" and first.lower == begins.lower:
        marks += 2.0  # a number said again says where the speaker went back to
    return marks
