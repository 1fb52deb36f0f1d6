"""A size said anew later, with where it was read: "Oh, draw depth, it's 450 on the drawing"; "I've remeasured the gap
and it comes to twelve inches"."""

from __future__ import annotations

from collections.abc import Sequence

from extractors.figures_said import words_at
from extractors.mentions import Span
from extractors.second_looks import LOOKED
from extractors.takebacks import TakeBack, figures_before, sentence_stop
from extractors.word_classes import Piece, word_set

OPENERS = word_set("oh and now sorry so but actually right okay by the way also")
AGAIN = word_set(
    "remeasured rechecked recounted reread retimed reweighed re-measured re-checked re-counted re-read measured "
    "checked counted weighed timed"
)
IS = word_set("it's is that's comes reads says was measures")
WHEN = word_set("in since from until during")
LONGEST, REACH = 4, 10
"""Words of a name, and between a name and its figure; common practice, no source."""


def restated(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """The take-back of a figure said before of the thing named at the head of the sentence that begins at i."""
    if not pieces[i - 1].ends:
        return None
    stop = sentence_stop(pieces, i, 32)
    at = i
    while at < stop and pieces[at].lower in OPENERS:
        at += 1
    anew = at + 1 < stop and pieces[at].lower in {"i've", "i", "we've"} and pieces[at + 1].lower in AGAIN
    if at == i and not anew:
        return None
    name = _name(pieces, at + 2 if anew else at, stop)
    if name is None:
        return None
    news = [f for f in figures_before(pieces, name[1], stop) if words_at(pieces, f) != ["one"]]
    if len(news) != 1 or (not anew and news[0][0] - name[1] > 3):
        return None
    new = news[0]
    if pieces[new[0] - 1].lower in WHEN:
        return None  # "and the winch was rebuilt in 2017, there's a mark" is no size of it
    turned = any(p.lower in IS for p in pieces[name[1] : new[0]])
    read = {p.lower.removesuffix("'s") for p in pieces[new[1] : stop]} & LOOKED
    if not turned or not (anew or read):
        return None
    old = _said_of(pieces, name, new, i)
    if old is None:
        return None
    unit = _unit(pieces, new)
    tail = (old[1], old[1] + 1) if unit is None and _unit(pieces, old) is not None else None
    return TakeBack(
        ((i, at),) if at > i else ((at, name[0]),),
        (old[0], old[1] + (_unit(pieces, old) is not None)),
        (new[0], new[1] + (unit is not None)),
        borrowed=tail,
        late=True,
    )


def _name(pieces: Sequence[Piece], i: int, stop: int) -> Span | None:
    first = i + 1 if i < stop and pieces[i].kind == "points" else i
    at = first
    while at < stop and at - first < LONGEST and pieces[at].kind in {"content", "name", "describes", "acts", "unit"}:
        at += 1
        if pieces[at - 1].comma:
            break
    return (first, at) if at > first and any(p.kind == "content" for p in pieces[first:at]) else None


def _said_of(pieces: Sequence[Piece], name: Span, new: Span, stop: int) -> Span | None:
    """The last figure before that was said of the same name, in the same unit or in none."""
    stems = [p.stem for p in pieces[slice(*name)]]
    unit = _unit(pieces, new)
    for k in range(stop - len(stems), -1, -1):
        if [p.stem for p in pieces[k : k + len(stems)]] != stems:
            continue
        end = sentence_stop(pieces, k, len(stems) + REACH)
        for old in figures_before(pieces, k + len(stems), min(end, stop)):
            other = _unit(pieces, old)
            if unit is None or other is None or unit == other:
                return old if words_at(pieces, old) != words_at(pieces, new) else None
    return None


def _unit(pieces: Sequence[Piece], figure: Span) -> str | None:
    at = figure[1]
    if at >= len(pieces) or pieces[at - 1].ends or pieces[at - 1].comma or pieces[at].kind != "unit":
        return None
    return pieces[at].stem
