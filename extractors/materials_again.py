"""What a thing is made of, told anew: "Housing's stainless. Hang on. Magnet grabs it. Mild steel, painted grey"."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from extractors.mentions import Span
from extractors.takebacks import TakeBack, sentence_start
from extractors.word_classes import Piece, word_set
from vocab import Vocabulary

AHEAD = 14
"""Words of looking again before the other material is named; chosen, no source."""
LONGEST = 4
IT_IS = word_set("it's that's they're")
MADE = word_set("is are in of was were all it's they're")

Materials = frozenset[tuple[str, ...]]


@lru_cache(maxsize=4)
def materials(vocabulary: Vocabulary) -> Materials:
    """The words of all materials."""
    return frozenset(tuple(form.lower().split()) for row in vocabulary["made_of"] for form in row["spoken"])


def material_again(pieces: Sequence[Piece], i: int, known: Materials) -> TakeBack | None:
    """The take-back of a material that ends its clause right before i, where a denial or a word of stopping begins."""
    old = _ending_at(pieces, i, known)
    if old is None:
        return None
    ends = 0
    for k in range(i + 1, min(len(pieces), i + AHEAD)):
        paused = pieces[k - 1].comma or pieces[k - 1].ends
        end = _at(pieces, k, known)
        if end is not None and (paused or pieces[k - 1].lower in IT_IS):
            same = [p.stem for p in pieces[slice(*old)]] == [p.stem for p in pieces[k:end]]
            return None if same else TakeBack(((old[0], k),), old, (k, end))
        if end is not None:
            return None  # "the frame's mild steel" is of another thing
        ends += pieces[k - 1].ends
        if ends > 2:
            return None
    return None


def _ending_at(pieces: Sequence[Piece], i: int, known: Materials) -> Span | None:
    """The material that ends right before i and is said of something."""
    if i == 0 or not (pieces[i - 1].comma or pieces[i - 1].ends):
        return None
    start = sentence_start(pieces, i - 1, 12)
    for first in range(max(start + 1, i - LONGEST), i):
        told = pieces[first - 1].lower in MADE or pieces[first - 1].lower.endswith("'s")
        if told and _at(pieces, first, known) == i:
            return first, i
    return None


def _at(pieces: Sequence[Piece], k: int, known: Materials) -> int | None:
    """Where the longest material that begins at piece k ends."""
    for n in range(LONGEST, 0, -1):
        words = pieces[k : k + n]
        inner = any(p.comma or p.ends for p in words[:-1])
        if len(words) == n and not inner and tuple(p.lower for p in words) in known:
            return k + n
    return None
