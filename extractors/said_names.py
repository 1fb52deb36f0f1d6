"""Names as the weighing of take-backs sees them: what is said to stand somewhere, and how the words before say so."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from extractors.roles_again import placed_at
from extractors.takebacks import pause_before
from extractors.word_classes import Piece, word_set

LONGEST = 4
"""Words of a name behind its article, at most."""
NAMING = frozenset({"content", "name", "acts", "unit"})
WORDS = NAMING | {"describes"}
POINTED = word_set("it's that's they're this's here's there's one's these're those're")
IS = word_set("is are was were be")
STANDING_IN = word_set("it that this these those they one which here there box thing")
HAS = word_set("have has had got gets there's with holds takes includes and plus")
SAYS = word_set("says said say reads read called call named marked stamped labelled labeled make mean meant rather")
NEGATIONS = word_set("not isn't aren't wasn't weren't ain't no never n't")
NO_NAME = word_set("one ones thing things way side lot bit kind sort time times day case idea problem question")
"""Nouns that name nothing."""


@dataclass(frozen=True, slots=True)
class Named:
    """A name and how it was said."""

    first: int
    """With its article."""
    bare: int
    """Behind its article."""
    end: int
    frame: str
    """By what words it was said: it is, number is, is, has, says, alone, opens."""
    stems: frozenset[str]
    head: str
    number: int = 0
    """Of a place said by its number."""
    denied: bool = False


def names_said(pieces: Sequence[Piece]) -> list[Named]:
    """All names that are introduced by a copula, a verb of having or saying, or a pause, in order."""
    placed = _places(pieces)
    out: list[Named] = []
    i = 0
    while i < len(pieces):
        found = _name_at(pieces, i, placed)
        if found is not None:
            out.append(found)
        i = found.end if found is not None else i + 1
    return out


def _places(pieces: Sequence[Piece]) -> dict[int, int]:
    """Where a role begins -> the number that it is said of."""
    out = {}
    for i in range(len(pieces)):
        begins = i == 0 or pause_before(pieces, i) or pieces[i - 1].lower in {"and", "then", "so", "no"}
        if begins and (placed := placed_at(pieces, i)) is not None:
            out[placed.role] = placed.number
    return out


def _name_at(pieces: Sequence[Piece], i: int, placed: dict[int, int]) -> Named | None:
    bare = i + (pieces[i].kind == "points" and not (pieces[i].comma or pieces[i].ends))
    end = bare
    while end < len(pieces) and end - bare < LONGEST and pieces[end].kind in WORDS:
        if end > bare and pieces[end - 1].lower.endswith("'s"):
            break  # "the chiller's the white thing": the copula
        end += 1
        if pieces[end - 1].comma or pieces[end - 1].ends:
            break
    while end > bare and pieces[end - 1].kind == "acts" and not pieces[end - 1].lower.endswith(("ing", "ed", "er")):
        end -= 1
    if end == bare or (all(p.kind == "describes" for p in pieces[bare:end]) and not _closed(pieces, end)):
        return None
    head = pieces[end - 1]
    framed = _frame(pieces, i, end, placed)
    if framed is None or head.stem in NO_NAME:
        return None
    frame, denied = framed
    stems = frozenset(p.stem for p in pieces[bare:end])
    return Named(i, bare, end, frame, stems, head.stem, placed.get(i, 0), denied)


def _closed(pieces: Sequence[Piece], end: int) -> bool:
    return end >= len(pieces) or pieces[end - 1].comma or pieces[end - 1].ends


def _frame(pieces: Sequence[Piece], i: int, end: int, placed: dict[int, int]) -> tuple[str, bool] | None:
    """How the name at i is said, and whether it is denied; None where it is only mentioned."""
    if i in placed:
        return "number is", False
    if i == 0 or pause_before(pieces, i):
        return ("alone" if _closed(pieces, end) else "opens"), False
    before = pieces[i - 1].lower
    if before in NEGATIONS:
        return "denied", True
    if before in POINTED:
        return ("has" if before == "there's" else "it is"), False
    if before in IS or before.endswith("'s"):
        stands = i > 1 and pieces[i - 2].lower in STANDING_IN and before in IS
        return ("it is" if stands else "is"), False
    if before in SAYS:
        return "says", False
    if before in HAS:
        return "has", False
    return None
