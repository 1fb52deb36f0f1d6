"""Units taken back, and figures whose cue comes last: "85 millimetres, I mean centimetres"."""

from __future__ import annotations

from collections.abc import Sequence

from extractors.cues import Cue
from extractors.figures_said import PARTS, REACH, behind_century, with_unit, words_at
from extractors.mentions import Span
from extractors.takebacks import TakeBack, figure_at, figures_before, pause_before, sentence_start
from extractors.word_classes import Piece

BEHIND = frozenset(
    {
        "i should say",
        "i mean",
        "rather",
        "sorry",
        "i meant",
        "i meant to say",
        "i should have said",
        "or rather",
        "excuse me",
    }
)
"""Cues that are also said behind the word that stands."""
WORKING = frozenset({"running", "loaded", "operating", "working"})
"""Words of units that say of hours what was done in them."""
CLOSING = frozenset({"so", "then", "surely", "obviously", "naturally", "course", "rather", "even", "actually"})
"""Words with which the unit that stands is closed: "millimetres so, six hundred millimetres"."""
POWERS = frozenset({"cubic", "square"})
RATES = frozenset({"a", "an", "per"})
"""Words before a unit of time or of another measure: "ninety an hour. A minute! Ninety a minute."."""
WITH_PAUSE = frozenset(
    {
        "sorry", "rather", "actually", "excuse me", "pardon", "pardon me", "beg your pardon", "beg pardon",
        "begging your pardon", "i beg your pardon", "i do beg your pardon", "my mistake", "my bad", "my error",
        "apologies", "my apologies", "i'm sorry", "oops", "whoops", "forgive me", "silly me", "i tell a lie",
        "tell a lie", "correction", "i misread", "i misread that", "slip of the tongue", "i do apologise",
        "i do apologize", "i apologise", "i apologize",
    }
)  # fmt: skip
"""Cues that are said behind what stands only with a pause after them: "two rectifiers, three actually"."""


def unit_only(pieces: Sequence[Piece], start: int, cue: Cue) -> TakeBack | None:
    """ "85 millimetres, I mean centimetres": a unit behind the cue, a figure with another unit before it."""
    at = cue.repair
    if at >= len(pieces) or pieces[at].kind != "unit" or pieces[at].lower in WORKING:
        return None
    unit = next((i for i in range(cue.first - 1, max(start, cue.first - 4) - 1, -1) if pieces[i].kind == "unit"), None)
    if unit is None or pieces[unit - 1].kind != "number" or pieces[unit].stem == pieces[at].stem:
        return None
    old = figures_before(pieces, max(start, unit - 6), unit)[-1]
    again = figure_at(pieces, at + 1, len(pieces))
    if again > at + 1 and words_at(pieces, (at + 1, again)) == words_at(pieces, old):
        # and said whole once more: "sixty inches, I should say feet, sixty feet a minute"
        kept = (at + 1, with_unit(pieces, (at + 1, again), len(pieces)))
        return TakeBack(((old[0], at + 1),), (old[0], cue.first), kept, heard=(old[0], unit + 1))
    return TakeBack(((unit, at),), (old[0], unit + 1), (at, at + 1), heard=(unit, unit + 1))


def figure_behind(pieces: Sequence[Piece], start: int, cue: Cue) -> TakeBack | None:
    """ "Thirty six inches, thirty eight I should say": the cue comes last, and two figures stand before it."""
    paused = pieces[cue.last - 1].comma or pieces[cue.last - 1].ends
    if not (BEHIND - {"sorry", "rather"}) & set(cue.phrases) and not (paused and WITH_PAUSE & set(cue.phrases)):
        return None
    olds = figures_before(pieces, max(start, cue.first - REACH), cue.first)
    if olds and olds[-1][0] > 0 and pieces[olds[-1][0] - 1].ends:
        # "Nineteen eighty-four. Eighty-nine, beg your pardon": a sentence of its own
        start = sentence_start(pieces, olds[-1][0] - 1, 30)
        olds = figures_before(pieces, max(start, cue.first - REACH), cue.first)
    if len(olds) < 2 or cue.first - olds[-1][1] > 1:
        return None
    old, new = olds[-2], olds[-1]
    between = pieces[old[1] : new[0]]
    if not (pieces[new[0] - 1].comma or pieces[new[0] - 1].ends) or any(
        p.kind not in {"unit", "describes", "content"} for p in between
    ):
        return None
    if figure_at(pieces, cue.last, len(pieces)) > cue.last:
        return None
    kept = (new[0], cue.first)
    own = cue.first > new[1]
    if pieces[cue.first - 1].ends or (own and between and not _alike(pieces, old, new)):
        return None  # "twenty five horse, ten thousand cfm. Sorry, phone."
    tail = (old[1], new[0]) if between and not own else None
    dropped = ((old[0] if own else behind_century(pieces, old, new), new[0]), (cue.first, cue.last))
    return TakeBack(dropped, (old[0], new[0]), kept, heard=(old[0], with_unit(pieces, old, new[0])), borrowed=tail)


def _alike(pieces: Sequence[Piece], old: Span, new: Span) -> bool:
    """Whether two figures have one unit, or are one figure in two: "five inches, five psi, excuse me"."""
    a, b = pieces[old[1]], pieces[new[1]]
    return a.stem == b.stem or (words_at(pieces, old) == words_at(pieces, new) and a.kind == b.kind == "unit")


def unit_behind(pieces: Sequence[Piece], start: int, cue: Cue) -> TakeBack | None:
    """ "Forty eight feet, inches I should say": the cue comes last, and two units stand before it."""
    if not BEHIND & set(cue.phrases) or cue.first - 2 < start:
        return None
    a, b = pieces[cue.first - 2], pieces[cue.first - 1]
    if a.kind != "unit" or b.kind != "unit" or a.stem == b.stem or pieces[cue.first - 3].kind != "number":
        return None
    if a.stem in PARTS:
        return None  # "eighty degrees Fahrenheit, I mean"
    old = figures_before(pieces, max(start, cue.first - 8), cue.first - 2)[-1]
    again = figure_at(pieces, cue.last, len(pieces))
    if again > cue.last and words_at(pieces, (cue.last, again)) == words_at(pieces, old):
        kept = (cue.last, with_unit(pieces, (cue.last, again), len(pieces)))
        return TakeBack(((old[0], cue.last),), (old[0], cue.first - 1), kept)
    return TakeBack(
        ((cue.first - 2, cue.first - 1), (cue.first, cue.last)),
        (old[0], cue.first - 1),
        (cue.first - 1, cue.first),
        heard=(cue.first - 2, cue.first - 1),
    )


def unit_echo(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """ "Two hundred litres, gallons, two hundred gallons": without a cue, another unit alone and then the same figure
    with it. i is at the first word behind a pause."""
    if not (pieces[i - 1].comma or pieces[i - 1].ends):
        return None
    unit = i + 1 if pieces[i].lower in RATES and i + 1 < len(pieces) else i
    if pieces[unit].stem in POWERS and unit + 1 < len(pieces) and pieces[unit + 1].kind == "unit":
        unit += 1  # "cubic metres"
    closed = unit + 1 < len(pieces) and pieces[unit].lower not in WORKING and pieces[unit + 1].lower in CLOSING
    if pieces[unit].kind != "unit" or not (
        pause_before(pieces, unit + 1) or (closed and pause_before(pieces, unit + 2))
    ):
        return None
    at = unit + 1 + (closed and not pause_before(pieces, unit + 1))
    if [p.lower for p in pieces[at : at + 2]] == ["of", "course"]:
        at += 2  # "Cubic metres, of course, thirty cubic metres"
    at += pieces[at].lower == "a" if at < len(pieces) else 0
    end = figure_at(pieces, at, len(pieces))
    olds = figures_before(pieces, max(0, i - 8), i)
    if end == at or not olds or words_at(pieces, (at, end)) != words_at(pieces, olds[-1]):
        return None
    old = olds[-1]
    before = [k for k in range(old[1], i) if pieces[k].kind == "unit"]
    again = end + (unit - i)
    if not before or again >= len(pieces) or pieces[again].stem != pieces[unit].stem:
        return None
    if pieces[before[-1]].stem == pieces[unit].stem:
        return None
    begin = old[0] - (pieces[old[0] - 1].lower == "a" and pieces[at - 1].lower == "a")
    dropped = ((begin, at - (pieces[at - 1].lower == "a")),)
    first = before[0] if pieces[i].stem in POWERS else before[-1] - (unit - i)
    return TakeBack(dropped, (old[0], i), (at, again + 1), heard=(first, before[-1] + 1), read=(i, unit + 1))
