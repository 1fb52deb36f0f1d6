"""The side or way of a thing put right by its opposite: "left to right, er, right to left"; "east cell. West cell"."""

from __future__ import annotations

from collections.abc import Sequence

from extractors.takebacks import TakeBack, sentence_start
from extractors.word_classes import Piece

PAIRS = (
    ("left", "right"), ("east", "west"), ("north", "south"), ("top", "bottom"), ("upper", "lower"), ("front", "rear"),
    ("front", "back"), ("inlet", "outlet"), ("infeed", "outfeed"), ("entry", "exit"), ("ac", "dc"), ("hot", "cold"),
    ("inside", "outside"), ("inner", "outer"), ("near", "far"), ("suction", "discharge"), ("left-hand", "right-hand"),
    ("clockwise", "anticlockwise"), ("clockwise", "counterclockwise"), ("gas", "electric"), ("gas", "steam"),
    ("electric", "steam"), ("single", "three"), ("driven", "idler"),
)  # fmt: skip
"""Words of which one machine, side or supply has but one; common practice, no source."""
OPPOSITES = frozenset(frozenset(pair) for pair in PAIRS)
SIDES = frozenset({"hand", "side", "end"})
FAR = 14
"""Words of the sentence before in which the opposite is looked for."""


def opposite(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """The take-back of a word by its opposite, which begins at i behind a pause; None where there is none."""
    before = pieces[i - 1]
    if not (before.comma or before.ends or before.hesitates) or not any(pieces[i].lower in p for p in PAIRS):
        return None
    return _turned_round(pieces, i) or _side_by_side(pieces, i) or _named_again(pieces, i)


def _turned_round(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """ "Left to right, right to left": three words said backwards."""
    old, new = pieces[max(0, i - 3) : i], pieces[i : i + 3]
    if len(old) < 3 or len(new) < 3 or [p.lower for p in old] != [p.lower for p in reversed(new)]:
        return None
    if frozenset({old[0].lower, new[0].lower}) not in OPPOSITES or old[-1].ends:
        return None
    return TakeBack(((i - 3, i),), (i - 3, i), (i, i + 3))


def _side_by_side(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """ "On the left, right hand side"; "the drive is DC, er, AC,": right behind its opposite, after a hesitation or
    with a word for a side; a row ("left, right and centre") takes nothing back."""
    if frozenset({pieces[i - 1].lower, pieces[i].lower}) not in OPPOSITES or pieces[i - 1].ends:
        return None
    after = pieces[i + 1] if i + 1 < len(pieces) else None
    side = after is not None and after.lower in SIDES and not pieces[i].comma
    closed = pieces[i].ends or (pieces[i].comma and (after is None or after.lower not in {"and", "or"}))
    if not (side or (pieces[i - 1].hesitates and closed)):
        return None
    end = i + 1
    while side and end < len(pieces) and pieces[end].lower in SIDES and not pieces[end - 1].comma:
        end += 1
    return TakeBack(((i - 1, i),), (i - 1, i), (i, end))


def _named_again(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """ "The east cell is stuck. West cell.": a sentence of two words, with the noun that the opposite had."""
    if not pieces[i - 1].ends or i + 1 >= len(pieces) or not pieces[i + 1].ends or pieces[i].comma:
        return None
    start = sentence_start(pieces, i - 1, FAR)
    for k in range(i - 2, start - 1, -1):
        if pieces[k + 1].stem == pieces[i + 1].stem and frozenset({pieces[k].lower, pieces[i].lower}) in OPPOSITES:
            return TakeBack(((k, k + 2),), (k, k + 2), (i, i + 2))
    return None
