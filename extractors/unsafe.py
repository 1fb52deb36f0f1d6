"""Advice that could hurt someone who follows it, read from two lists of words: an act, and what it is done to.

"Just jump the interlock", "the door switch is taped down", "you don't need to lock it out". What is said against the
act ("never jump the interlock", "if the guard is not blocked") is a caution and no advice, and a thing that is called
by the word of an act ("a bypass valve") is none either.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache

from extractors.phrase_table import PhraseTable
from extractors.word_classes import Piece, denial, word_set
from vocab import Row, Vocabulary

AGAINST = word_set(
    "never don't not nobody cannot can't mustn't shouldn't won't no isn't aren't wasn't weren't didn't nor"
)
BEFORE = 4
"""Words before an act within which a denial is of it."""
NAMING = word_set("a an the this that its their our each every")
LINKS = word_set("is are was were be been being got gets stays stay has have had they've somebody's it's that's")
SPOKEN_FOR = word_set("replaced tested checked fixed repaired new works working")
"""The thing was put right: "the tied up guard was replaced"."""

PEOPLE = word_set(
    "you we they i he she who somebody someone can could may might just to and then or must fellas fellows guys lads "
    "men people folks operator operators boys kids always usually often sometimes"
)
STOPPED = word_set("plugged blocked clogged")
"""With dirt, of itself, where "with" or "up" follows."""
FASTENED = word_set("tied wired held clamped pinned bridged")
UNDONE = word_set("back up down shut open off out closed in-place permanently")
"""What is wired or tied belongs together, unless it is wired shut or tied back."""

Span = tuple[int, int]


@lru_cache(maxsize=4)
def _tables(vocabulary: Vocabulary) -> tuple[tuple[Row, PhraseTable[bool], PhraseTable[bool]], ...]:
    out = []
    for row in vocabulary["unsafe"]:
        things = [*row["things"], *(f"{t}s" for t in row["things"])]
        out.append((row, PhraseTable((a, True) for a in row["acts"]), PhraseTable((t, True) for t in things)))
    return tuple(out)


def find_unsafe(pieces: Sequence[Piece], vocabulary: Vocabulary) -> Iterator[Span]:
    """From act to thing (or thing to act), first to last in each row of the table; spans of pieces, one a clause."""
    for row, acts, things in _tables(vocabulary):
        found = [(i, end) for i, end, _ in things.all(pieces)]
        if not found:
            continue
        until = 0
        for i, end, _ in acts.all(pieces):
            if i < until or denial(pieces, i, AGAINST, BEFORE) is not None:
                continue
            opens = i == 0 or pieces[i - 1].ends or pieces[i - 1].comma
            if row["person"] and not opens and pieces[i - 1].lower not in PEOPLE:
                continue
            named = not opens and pieces[i - 1].lower in NAMING
            near = (s for s in found if end <= s[0] <= end + row["reach"] and _joined(pieces, end - 1, s[0]))
            behind = next(near, None)
            if behind is not None and not named and not _is_name(pieces, i, end, behind[0], opens=opens):
                until = behind[1]
                yield i, behind[1]
                continue
            if row["order"] != "either" or opens or not _told_of(pieces, i, end):
                continue
            near = (s for s in reversed(found) if s[1] <= i <= s[1] + row["reach"] and _joined(pieces, s[1] - 1, i))
            before = next(near, None)
            if before is not None:
                until = end
                yield before[0], end


def _joined(pieces: Sequence[Piece], first: int, last: int) -> bool:
    """Whether no pause and no sentence's end lies between two pieces, nor that it was put right."""
    between = pieces[first:last]
    return not any(p.ends or p.comma or p.lower in SPOKEN_FOR or p.lower in {"and", "but"} for p in between)


def _is_name(pieces: Sequence[Piece], first: int, last: int, thing: int, *, opens: bool) -> bool:
    """Whether the word of an act belongs to a name: "blocked guard openings", "tie bars are behind the guard"."""
    if any(p.lower in LINKS for p in pieces[last:thing]):
        return True
    return opens and thing == last and pieces[first].lower.endswith("ed")


def _told_of(pieces: Sequence[Piece], act: int, end: int) -> bool:
    """Whether the act is told of what stands before it: "is jumpered", "has been taped"."""
    if pieces[act].lower in STOPPED and end < len(pieces) and pieces[end].lower in {"with", "up", "again"}:
        return False
    if pieces[act].lower in FASTENED and not (end < len(pieces) and pieces[end].lower in UNDONE):
        return False
    return any(p.lower in LINKS for p in pieces[max(0, act - 3) : act]) and pieces[act].lower.endswith(
        ("ed", "en", "t")
    )
