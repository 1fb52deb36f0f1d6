"""Figures put right around a remark of the speaker's own: "twelve clamps. Let me run my hand along, it's fourteen".

How people excuse themselves is an open class, so it is known by its frame: short clauses without a figure in which the
speaker talks of himself, between two figures of one unit or thing, and what stands is said to be so ("it's", the name
again) or the remark is one of looking or of being wrong. Where he goes on to something else, both figures stand.
"""

from __future__ import annotations

from collections.abc import Sequence

from extractors.figures_said import noun_behind, with_unit, words_at
from extractors.mentions import Span
from extractors.second_looks import EXCUSED, LOOKED
from extractors.takebacks import TakeBack, figure_at, figures_before, pause_before, sentence_start
from extractors.word_classes import Piece, word_set

LONGEST_REMARK, LONGEST, CLOSE = 10, 24, 5
"""Words of one clause of a remark, of all of them, and behind the old figure in its clause; chosen, no source."""
OWN = word_set("i i'm i've i'd i'll let my me what why where who how hark listen")
"""First words of a clause in which somebody speaks of himself or wonders at himself."""
SIGHS = word_set(
    "oh ah aye yeah yes no nay hm hmm ooh ha gosh god lord heavens blimey crikey dear well okay ok right and or"
)
STANDS = word_set("it's they're that's it they is are there's so")
SAYING_YES = word_set("yeah yes okay ok right no oh ah")
PLACES = word_set("on in at of for from to by behind with under above between around over plus and")
WAYS = word_set("long wide tall high deep thick across diameter length width height depth")
GOING = word_set(
    "move moving going go goes come coming walk walking start starting next here's have love like think reckon want "
    "need mention show give gave take turn put told said say call skip with pass round"
)
"""Words of a clause in which somebody goes on to another thing, has an opinion, or tells what he said."""
MISSING = word_set("missed forgot miscounted overlooked count counting recount check")
HAND = word_set("hand hands finger fingers tape ruler calipers callipers torch glasses spectacles")
"""What one looks or feels with."""


def remark_between(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """The take-back of the figure before a remark by the one that begins at i; None where there is none."""
    end = figure_at(pieces, i, len(pieces))
    new = (i, end)
    if end == i or words_at(pieces, new) in (["one"], ["one's"]):
        return None
    for head in _heads(pieces, i):
        opened = _remarks(pieces, head)
        if opened is not None and (take := _taken(pieces, opened, head, new)) is not None:
            return take
    return None


def _heads(pieces: Sequence[Piece], i: int) -> list[int]:
    """Where the words that lead to the figure may begin: behind a pause."""
    return [k for k in range(i, max(0, i - 7), -1) if pause_before(pieces, k) and not any(
        p.kind == "number" for p in pieces[k:i])]  # fmt: skip


def _remarks(pieces: Sequence[Piece], head: int) -> int | None:
    """Where the clauses of remark right before head begin; None where there is none."""
    at, found = head, None
    while head - at < LONGEST and at > 0:
        first = at - 1
        while first > 0 and not pause_before(pieces, first):
            first -= 1
        clause = pieces[first:at]
        words = [p.lower for p in clause]
        bare = [w for w in words if w not in SIGHS]
        figures = [f for f in figures_before(pieces, first, at) if words_at(pieces, f) != ["one"]]
        if figures or len(words) > LONGEST_REMARK:
            break
        if bare and not (bare[0] in OWN and (not set(bare) & GOING or set(bare) & HAND)):
            break
        if bare:
            found = first
        at = first
    return at if found is not None and at > 0 else None


def _taken(pieces: Sequence[Piece], opened: int, head: int, new: Span) -> TakeBack | None:
    start = sentence_start(pieces, opened - 1, 26)
    olds = figures_before(pieces, start, opened)
    stop = with_unit(pieces, new, len(pieces))
    anew = noun_behind(pieces, new[1], new[1] + 2) if stop > new[1] else None
    if anew is not None:
        olds = [f for f in olds if _counted_in(pieces, f, opened) == anew.stem] or olds[-1:]
    if not olds or opened - olds[-1][1] > CLOSE + 2:
        return None
    old = olds[-1]
    counted = _counted_in(pieces, old, opened)
    if counted is None or words_at(pieces, old) == words_at(pieces, new) or (anew and anew.stem != counted):
        return None
    closed = stop >= len(pieces) or pause_before(pieces, stop)
    if not closed and pieces[stop].lower in PLACES:
        return None
    if not _leads(pieces, start, old, (head, new[0]), {p.lower for p in pieces[opened:head]}):
        return None
    if anew is None and not closed:
        return None
    way = _way(pieces, stop)
    if way is not None and way != _way(pieces, with_unit(pieces, old, opened)):
        return None  # "12 metres long. I measured it myself. It's 3 metres wide."
    tail_end = min(with_unit(pieces, old, opened), opened)
    if [p.lower for p in pieces[old[1] : old[1] + 2]] == ["of", "them"]:
        tail_end = old[1]
    tail = (old[1], tail_end)
    return TakeBack(
        dropped=((old[0], new[0]),) if tail_end == opened else ((opened, head), (head, new[0])),
        withdrawn=(old[0], tail_end),
        kept=(new[0], stop),
        borrowed=tail if anew is None and tail[0] < tail[1] else None,
        late=True,
    )


def _way(pieces: Sequence[Piece], i: int) -> str | None:
    """The word of direction right behind a figure with its unit ("wide", "in diameter"), if there is one."""
    if i >= len(pieces) or pause_before(pieces, i):
        return None
    return next((p.lower for p in pieces[i : i + 2] if p.lower in WAYS), None)


def _counted_in(pieces: Sequence[Piece], figure: Span, stop: int) -> str | None:
    """The unit or thing that a figure counts: of "the hold-downs, twelve of them" what is named before."""
    if [p.lower for p in pieces[figure[1] : figure[1] + 2]] == ["of", "them"] and figure[0]:
        return pieces[figure[0] - 1].stem
    noun = noun_behind(pieces, figure[1], stop)
    return None if noun is None else noun.stem


def _leads(pieces: Sequence[Piece], start: int, old: Span, lead: Span, remark: set[str]) -> bool:
    """Whether the words before the new figure say that it is so, of what the old one was said of."""
    words = [p.lower for p in pieces[slice(*lead)] if p.lower not in SAYING_YES]
    sure = bool(remark & (LOOKED | EXCUSED | MISSING | HAND))
    if not words:
        return sure
    if set(words) <= STANDS:
        return True
    named = {p.stem.removesuffix("'s") for p in pieces[start : old[0]] if p.kind in {"content", "name"}}
    nouns = {p.stem.removesuffix("'s") for p in pieces[slice(*lead)] if p.kind in {"content", "name", "unit"}}
    copula = words[-1] in {"is", "are"} or words[-1].endswith("'s")
    return copula and bool(nouns) and nouns <= named
