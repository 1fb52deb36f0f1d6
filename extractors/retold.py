"""Figures told anew without a cue: a count that comes out otherwise ("one more is hidden there, so seven belts"), a
figure said once more and put right ("310, that's a phone extension. It's 640 tons"), another year."""

from __future__ import annotations

from collections.abc import Sequence

from extractors.figures_said import noun_behind, with_unit, words_at
from extractors.mentions import Span
from extractors.takebacks import TakeBack, figure_at, figures_before, sentence_start, sentence_stop
from extractors.word_classes import Piece, word_set

COUNT_REACH, YEAR_REACH, ECHO_REACH = 60, 26, 16
"""Words back to a count, to a year, and from a figure to itself said again; common practice, no source."""
CONCLUDES = word_set("so then it's that's makes at actually really is are they're")
"""What leads up to a count that comes out: "so five vats", "that makes five vats", "we're at five vats"."""
FOUND = word_set(
    "more another only except count counts counting counted recount hides hiding hidden missed overlooked extra "
    "third fourth fifth sixth seventh eighth ninth tenth says holding"
)
"""Words for what made the count come out otherwise."""
SMALL = dict(zip("one two three four five six seven eight nine ten eleven twelve".split(), range(1, 13), strict=True))
EVENTS = word_set(
    "rebuilt rebuild retubed refurbished overhauled overhaul relined retrofitted retrofit upgraded replaced moved "
    "installed bought new control controls painted serviced since until inspected inspection recoated rewound "
    "commissioned fitted renewed converted relocated last test tested between"
)
"""Of these every machine may have a year beside the one it was built in."""
SHOWN = word_set(
    "plate plate's label label's tag tag's sticker sticker's door stamp stamped serial glasses older newer"
)
"""What tells the year of a machine, or that it is another."""
TELLS_YEAR = word_set("be is it's plate's says say was a that's label's tag's in")


def retold(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """The take-back of an earlier figure by the one that begins at i; None where there is none."""
    glued = pieces[i - 1].kind == "number" and not _paused(pieces, i)
    if pieces[i].kind != "number" or glued:
        return None
    end = figure_at(pieces, i, len(pieces))
    if end == i:
        return None
    new = (i, end)
    if pieces[i - 1].comma or pieces[i - 1].ends:
        return _bare_then_bare(pieces, new) or _count_comes_out(pieces, new)
    return _count_comes_out(pieces, new) or _said_twice(pieces, new) or _other_year(pieces, new)


def _count_comes_out(pieces: Sequence[Piece], new: Span) -> TakeBack | None:
    """ "Six hoppers. ... there's another behind the stairs, so seven hoppers": the same things counted, where what is
    said between tells why. A sum ("four here, another two there, so six") takes nothing back."""
    i, end = new
    noun = noun_behind(pieces, end, end + 2)
    if noun is None or pieces[end - 1].comma or pieces[end - 1].ends or words_at(pieces, new) == ["one"]:
        return None
    stop = next((k + 1 for k in range(end, min(end + 2, len(pieces))) if pieces[k].stem == noun.stem), end)
    closed = _paused(pieces, stop) or (stop < len(pieces) and pieces[stop].lower == "then")
    said_bare = pieces[i - 1].ends and [p.lower for p in pieces[2 * i - end : i]] == words_at(pieces, new)
    concluded = pieces[i - 1].lower in CONCLUDES and noun.kind != "unit"
    if not closed or not (concluded or said_bare):
        return None
    for old in reversed(figures_before(pieces, max(0, i - COUNT_REACH), i)):
        if words_at(pieces, old) == words_at(pieces, new) or not _of(pieces, old, noun):
            continue
        between = {p.lower.removesuffix("'s") for p in pieces[old[1] : i]}
        if not between & FOUND or _is_sum(pieces, old, new):
            return None
        tail = with_unit(pieces, old, i)
        return TakeBack((), (old[0], max(old[1], min(tail, i))), (i, stop), late=True)
    return None


def _of(pieces: Sequence[Piece], figure: Span, noun: Piece) -> bool:
    """Whether these things are counted: "six hoppers", "six steel hoppers", "hoppers, six of them"."""
    if [p.lower for p in pieces[figure[1] : figure[1] + 2]] == ["of", "them"]:
        start = sentence_start(pieces, figure[0], 12)
        return noun.stem in {p.stem for p in pieces[start : figure[0]]}
    if _paused(pieces, figure[1]):
        return False
    behind = noun_behind(pieces, figure[1], figure[1] + 2)
    return behind is not None and behind.stem == noun.stem


def _is_sum(pieces: Sequence[Piece], old: Span, new: Span) -> bool:
    first, last = (SMALL.get(" ".join(words_at(pieces, s))) for s in (old, new))
    if first is None or last is None:
        return False
    parts = [SMALL.get(" ".join(words_at(pieces, f)), 0) for f in figures_before(pieces, old[1], new[0])]
    return any(part > 1 and first + part == last for part in parts)


def _paused(pieces: Sequence[Piece], i: int) -> bool:
    return pieces[i - 1].comma or pieces[i - 1].ends


def _said_twice(pieces: Sequence[Piece], new: Span) -> TakeBack | None:
    """ "It takes 310 tons. Listen to me, 310, that's his phone. It's 640 tons.": the figure said again bare, then
    another of the same unit after "it's"."""
    i, end = new
    if pieces[i - 1].lower not in {"it's", "is", "that's"} or end >= len(pieces) or pieces[end].kind != "unit":
        return None
    start = sentence_start(pieces, i, 4)
    bares = figures_before(pieces, max(0, i - ECHO_REACH), start)
    for bare in bares[::-1]:
        if not _paused(pieces, bare[1]) or not _paused(pieces, bare[0]):
            continue
        said = words_at(pieces, bare)
        for old in figures_before(pieces, max(0, bare[0] - ECHO_REACH), bare[0]):
            if words_at(pieces, old) == said != words_at(pieces, new) and pieces[old[1]].stem == pieces[end].stem:
                return TakeBack(((bare[0], start),), (old[0], old[1] + 1), (i, end + 1), late=True)
    return None


def _bare_then_bare(pieces: Sequence[Piece], new: Span) -> TakeBack | None:
    """ "Twenty foot by eight. Six, they're six foot"; "that's twelve, fifteen. Fifteen fans": a bare figure right
    behind another, at once said again with what it counts. Counting aloud ("eight, nine. Nine metres") takes nothing
    back."""
    i, end = new
    olds = [f for f in figures_before(pieces, max(0, i - 6), i) if f[1] == i]
    if not olds or not _paused(pieces, end):
        return None
    old, said = olds[0], words_at(pieces, new)
    first, last = (SMALL.get(" ".join(words_at(pieces, s))) for s in (old, new))
    if pieces[old[0] - 1].kind == "number" or said == words_at(pieces, old) or (first and last and first + 1 == last):
        return None
    again = next(
        (f for f in figures_before(pieces, end, min(len(pieces), end + 2 + len(said))) if f[0] - end < 2), None
    )
    if again is None or words_at(pieces, again) != said or _paused(pieces, again[1]):
        return None
    if again[0] == end and not pieces[end - 1].ends:
        return None  # "takes ten, twelve, twelve foot sheets" may be a list
    if again[0] > end and pieces[end].lower not in {"it's", "they're", "that's", "yes", "yeah"}:
        return None
    if noun_behind(pieces, again[1], again[1] + 2) is None:
        return None
    return TakeBack(((old[0], i),), old, new)


def _other_year(pieces: Sequence[Piece], new: Span) -> TakeBack | None:
    """ "Built in 2010. With my glasses on it is a 2001"; "Year of make 2014. By the serial it must be 2016": a second
    year shortly after, with what it was read off, and no word of anything else that has a year; or behind the same
    words ("relined in 2011 [...] relined in 2014")."""
    if not _year(pieces, new) or pieces[new[0] - 1].lower not in TELLS_YEAR:
        return None
    olds = [f for f in figures_before(pieces, max(0, new[0] - YEAR_REACH), new[0]) if _year(pieces, f)]
    if not olds or words_at(pieces, olds[-1]) == words_at(pieces, new):
        return None
    old = olds[-1]
    if not any(p.ends for p in pieces[old[1] - 1 : new[0]]):
        return None
    between = {p.lower for p in pieces[old[1] : sentence_stop(pieces, new[0], 8)]}
    leads = [[p.lower for p in pieces[max(0, f[0] - 2) : f[0]]] for f in (old, new)]
    if leads[0] != leads[1] and (not between & SHOWN or between & EVENTS):
        return None
    if leads[0] != leads[1] and {p.lower for p in pieces[max(0, old[0] - 5) : old[0]]} & EVENTS:
        return None
    return TakeBack((), old, new, late=True)


def _year(pieces: Sequence[Piece], span: Span) -> bool:
    words = words_at(pieces, span)
    return len(words) == 1 and words[0].isdigit() and 1900 <= int(words[0]) <= 2099
