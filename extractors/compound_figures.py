"""Figures said in two units taken back as one: "four minutes twenty seconds, sorry, four minutes and fifty seconds";
"an hour and ten minutes, no, an hour and twenty"; "an inch and a half. Sorry, an inch and a quarter"."""

from __future__ import annotations

from collections.abc import Sequence

from extractors.cues import Cue
from extractors.mentions import Span
from extractors.takebacks import TakeBack, figure_at, figures_before
from extractors.word_classes import Piece, word_set

BACK, BEHIND = 14, 3
"""Words back in which the figure began, and between its end and the cue ("deep", "at the hood"); chosen, no source."""
ARTICLES = frozenset({"a", "an"})
PARTS = word_set("half quarter third eighth quarters thirds eighths")
LEAD_IN = word_set("about around roughly the it's that's is was more like nearer only just at of to they're")


def compound_repair(pieces: Sequence[Piece], start: int, cue: Cue) -> TakeBack | None:
    """The take-back of a figure by another one, both begun with the same unit and at least one of them in two."""
    at = cue.repair
    while at < len(pieces) and at - cue.repair < BEHIND and pieces[at].lower in LEAD_IN:
        at += 1
    two = _compound_at(pieces, at), _before(pieces, max(start, cue.first - BACK), cue.first)
    if two == (None, None):
        return None
    new = two[0] or _in_one(pieces, at)
    olds = figures_before(pieces, max(start, cue.first - BACK), cue.first)
    old = two[1] or (_in_one(pieces, olds[-1][0]) if olds else None)
    if (
        new is None
        or old is None
        or cue.first - old[1] > BEHIND
        or pieces[_unit_of(pieces, new)].stem != pieces[_unit_of(pieces, old)].stem
    ):
        return None
    if [p.lower for p in pieces[slice(*old)]] == [p.lower for p in pieces[slice(*new)]]:
        return None
    return TakeBack(((old[0], new[0]),), (old[0], cue.first), new, heard=old)


def _in_one(pieces: Sequence[Piece], i: int) -> Span | None:
    """A figure with its unit that begins at piece i."""
    end = figure_at(pieces, i, len(pieces))
    told = i < end < len(pieces) and not pieces[end - 1].pauses and pieces[end].kind == "unit"
    return (i, end + 1) if told else None


def _before(pieces: Sequence[Piece], start: int, stop: int) -> Span | None:
    """The last figure in two units before a cue, that nothing but a few words parts from it."""
    for k in range(start, stop):
        if k and _goes_on(pieces, k):
            continue
        span = _compound_at(pieces, k)
        if span is not None and 0 <= stop - span[1] <= BEHIND and not figures_before(pieces, span[1], stop):
            return span
    return None


def _goes_on(pieces: Sequence[Piece], i: int) -> bool:
    """Whether piece i is within a figure that began before it."""
    before = pieces[i - 1]
    return before.kind == "number" and pieces[i].kind == "number" and not before.pauses


def _compound_at(pieces: Sequence[Piece], i: int) -> Span | None:
    """A figure in two units that begins at piece i, without a pause: "six foot four", "an hour and ten minutes"."""
    if i + 2 >= len(pieces):
        return None
    one = pieces[i].lower in ARTICLES
    unit = i + 1 if one else figure_at(pieces, i, len(pieces))
    if unit == i or unit >= len(pieces) or pieces[unit].kind != "unit":
        return None
    if any(p.pauses for p in pieces[i : unit + 1]):
        return None
    at = unit + 1
    joined = at < len(pieces) and pieces[at].lower == "and"
    at += joined
    article = joined and at < len(pieces) and pieces[at].lower in ARTICLES
    at += article
    end = figure_at(pieces, at, len(pieces))
    if end == at or (article and pieces[at].lower not in PARTS):
        return None
    if not article and not joined and one:
        return None  # "a minute ten" is no figure, "a day twelve hours" neither
    if end < len(pieces) and not pieces[end - 1].pauses and pieces[end].kind == "unit":
        return None if pieces[end].stem == pieces[unit].stem else (i, end + 1)
    # the second unit is left out: "six foot four", "an hour and twenty", "an inch and a half"
    bare = article or end - at == 1
    return (
        (i, end) if bare and (end >= len(pieces) or pieces[end - 1].pauses or pieces[end].kind != "content") else None
    )


def _unit_of(pieces: Sequence[Piece], span: Span) -> int:
    """Where the first unit of a figure in two stands."""
    return next(k for k in range(*span) if pieces[k].kind == "unit")
