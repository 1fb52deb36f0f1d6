"""Figures and units taken back: "forty eight feet, inches I should say", "three hundred cfm, no, five hundred"."""

from __future__ import annotations

from collections.abc import Sequence

from extractors.cues import Cue
from extractors.mentions import Span
from extractors.takebacks import TakeBack, figure_at, figures_before, sentence_start, sentence_stop
from extractors.word_classes import Piece

REACH = 9
"""Words between a figure and the cue that takes it back; common practice, no source."""
LEAD_IN = frozenset(
    {
        "about",
        "around",
        "roughly",
        "the",
        "at",
        "a",
        "an",
        "more",
        "like",
        "yeah",
        "yes",
        "of",
        "to",
        "in",
        "only",
        "just",
        "nearer",
        "closer",
        "say",
        "and",
        "is",
        "was",
        "or",
        "okay",
        "right",
    }
)
BEHIND = frozenset(
    {"i should say", "i mean", "rather", "sorry", "i meant", "i meant to say", "i should have said", "or rather"}
)
"""Cues that are also said behind the word that stands."""
ATTRIBUTING = frozenset({"says", "reads", "shows", "said", "gives", "read", "showed"})
TENS = frozenset({"twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety", "hundred", "thousand"})
"""Numbers that the next may go on: "twenty, er, five horse" is one figure."""
NOUNS = frozenset({"content", "unit", "name", "describes"})


def figure_repair(pieces: Sequence[Piece], cue: Cue) -> TakeBack | None:
    """The take-back of a figure or of its unit that this cue makes; None where it makes none."""
    start = sentence_start(pieces, max(cue.first - 1, 0), 30)
    if cue.first == 0:
        return None
    return (
        _unit_behind(pieces, start, cue)
        or _figure_behind(pieces, start, cue)
        or _unit_only(pieces, start, cue)
        or _figure(pieces, start, cue)
    )


def hesitation_repair(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """ "Ten quarts, er, twelve quarts": an er between two figures counted in the same, nothing else between."""
    cue = Cue(i, i, i, False, ("er",))
    unit = pieces[i - 1]
    end = figure_at(pieces, i, len(pieces))
    if end == i or end >= len(pieces):
        return None
    bare = unit.kind == "number" and end == i + 1 and unit.lower not in TENS and pieces[end].kind in {"unit", "content"}
    if not bare and (unit.kind not in {"unit", "content"} or pieces[end].stem != unit.stem):
        return None
    return _figure(pieces, sentence_start(pieces, i - 1, 30), cue)


# -------------------------------------------------------------------------------------------------------- figures


def _figure(pieces: Sequence[Piece], start: int, cue: Cue) -> TakeBack | None:
    new = _standing(pieces, cue)
    if new is None:
        return None
    olds = figures_before(pieces, max(start, cue.first - REACH), cue.first)
    if not olds and start > 0 and cue.first - start <= 3:
        # "1500 rpm. Ruud says no, it's 3000 rpm": of the sentence before, where it is counted in the same
        start = sentence_start(pieces, start - 1, 30)
        olds = figures_before(pieces, max(start, cue.first - REACH), cue.first)[-1:]
        nouns = [_noun(pieces, s[1], s[1] + 2) for s in (*olds, new)]
        if len(nouns) < 2 or nouns[0] is None or nouns[1] is None or nouns[0].stem != nouns[1].stem:
            return None
    if not olds:
        return None
    old = _counterpart(pieces, olds, new, cue)
    ranged = any(p.lower == pieces[new[0]].lower for p in pieces[max(start, old[0] - 5) : old[0]])
    if not cue.sure and not ranged and not _alike(pieces, old, new, cue):
        return None
    if len(olds) > 1 and (either := _either_or(pieces, olds, new, cue)) is not None:
        return either
    nouns = _noun(pieces, old[1], cue.first), _noun(pieces, new[1], new[1] + 2)
    if _words(pieces, old) == _words(pieces, new) and (
        nouns[0] is None or nouns[1] is None or nouns[0].stem == nouns[1].stem
    ):
        return None  # "three's another rinse, no, wait, three's the phosphate": no figure is taken back
    if cue.repair < new[0] and pieces[new[0] - 1].lower == "to" and pieces[new[0] - 2].kind == "number":
        return None
    return _replace(pieces, start, old, new, cue.first, _resumes(pieces, start, old, new, cue))


def _counterpart(pieces: Sequence[Piece], olds: list[Span], new: Span, cue: Cue) -> Span:
    """Of the figures before the cue the last that is counted in what the new one is counted in, else the last: "two
    thirty volts three phase, I should say four sixty volts"."""
    again = _said_again(pieces, new)
    noun = _noun(pieces, (again or new)[1], (again or new)[1] + 2)
    if noun is not None:
        for old in reversed(olds):
            other = _noun(pieces, old[1], min(cue.first, old[1] + 2))
            if other is not None and other.stem == noun.stem:
                return old
    return olds[-1]


def _standing(pieces: Sequence[Piece], cue: Cue) -> Span | None:
    """The figure that stands: right behind the cue, or where the cue is sure, a few words on ("the tag says")."""
    stop = sentence_stop(pieces, cue.last, 14) if cue.last < len(pieces) else cue.last
    at = cue.repair
    if at < stop and pieces[at].lower == "not":  # "no, not ten, fifteen"
        end = figure_at(pieces, at + 1, stop)
        if end > at + 1:
            at = end
            while at < stop and pieces[at].kind == "unit":
                at += 1
    if at + 3 < stop and pieces[at].kind == "points" and pieces[at + 2].lower in ATTRIBUTING:
        at += 3  # "the plate says"
    furthest = at + (6 if cue.sure else 3)
    while at < min(stop, furthest):
        end = figure_at(pieces, at, stop)
        if end > at:
            return at, end
        if not cue.sure and pieces[at].lower not in LEAD_IN and pieces[at].lower != pieces[cue.first - 1].lower:
            return None
        at += 1
    return None


def _alike(pieces: Sequence[Piece], old: Span, new: Span, cue: Cue) -> bool:
    """Whether a figure behind a cue of many uses stands in the place of the one before: counted in the same things, or
    the one of them in nothing, or both in units; and the figure taken back was the last thing said."""
    a = _noun(pieces, old[1], cue.first)
    b = _noun(pieces, new[1], min(len(pieces), new[1] + 3))
    if pieces[cue.last - 1].ends and cue.last < len(pieces):
        # "Hold on. Two pumps here": another sentence, another matter, unless it is counted in the same things
        return bool(a and b and a.stem == b.stem)
    if pieces[new[0]].lower == "one" and new[1] - new[0] == 1 and (b is None or b.kind != "unit"):
        return bool(a and b and a.stem == b.stem)
    if a is None or b is None:
        return cue.first - old[1] <= 4
    return a.stem == b.stem or a.kind == b.kind == "unit" or pieces[old[0]].lower == pieces[new[0]].lower


def _noun(pieces: Sequence[Piece], i: int, stop: int) -> Piece | None:
    """The first unit or noun behind a figure; of "nine a minute" the minute."""
    if i + 1 < len(pieces) and pieces[i].lower in {"a", "an", "per"} and pieces[i + 1].kind == "unit":
        return pieces[i + 1]
    while i < min(stop, len(pieces)):
        if pieces[i].kind in {"unit", "content"}:
            return pieces[i]
        if pieces[i].kind not in {"describes", "number"} or pieces[i - 1].ends:
            return None
        i += 1
    return None


def _either_or(pieces: Sequence[Piece], olds: list[Span], new: Span, cue: Cue) -> TakeBack | None:
    """ "Fifty two feet, or is it fifty six, hold on, fifty six"; "five pumps, or six, no five"."""
    first, second = olds[-2], olds[-1]
    between = [p.lower for p in pieces[first[1] : second[0]]]
    if "or" not in between:
        return None
    words = [_words(pieces, s) for s in (first, second, new)]
    either = first[1] + between.index("or")
    if words[2] == words[1]:
        return TakeBack(
            dropped=((first[0], new[0]),),
            withdrawn=first,
            kept=new,
            heard=(first[0], _with_unit(pieces, first, either)),
            borrowed=_borrowed(pieces, first, new, either),
        )
    if words[2] == words[0]:
        return TakeBack(
            dropped=((either, _with_unit(pieces, new, new[1] + 2)),), withdrawn=second, kept=first, read=new
        )
    return None


def _words(pieces: Sequence[Piece], span: Span) -> list[str]:
    return [p.lower for p in pieces[span[0] : span[1]]]


def _with_unit(pieces: Sequence[Piece], figure: Span, stop: int) -> int:
    """End of the figure together with its unit, or with the noun behind it and what describes that, three words."""
    end, stop = figure[1], min(stop, len(pieces))
    while end < stop and end - figure[1] < 3 and pieces[end].kind in NOUNS:
        if pieces[end - 1].ends or pieces[end - 1].comma:
            break
        end += 1
        if pieces[end - 1].kind == "unit":
            break
    return end


def _resumes(pieces: Sequence[Piece], start: int, old: Span, new: Span, cue: Cue) -> tuple[int, int]:
    """Where the taken-back words begin and where reading goes on. Words repeated from before the figure go with it
    ("four through seven, no, four through eight"), words that lead to the new figure stay ("the tag says")."""
    begin, resume = _dimensions(pieces, old, new), cue.repair
    head = pieces[cue.repair].lower
    for i in range(old[0] - 1, max(start, old[0] - 6) - 1, -1):
        if pieces[i].lower == head and pieces[i].kind != "joins":
            return i, cue.repair
    if pieces[cue.repair].lower == "not":
        resume = new[0]
    elif cue.repair < new[0] and all(p.lower in LEAD_IN for p in pieces[cue.repair : new[0]]):
        resume = new[0] if pieces[old[0] - 1].kind == pieces[new[0] - 1].kind else cue.repair
    return begin, resume


def _dimensions(pieces: Sequence[Piece], old: Span, new: Span) -> int:
    """Where a row of figures with "by" that ends in the old one begins, as many as the new one leads: "four by eight,
    sorry, five by ten"."""
    links, at = 0, new[1]
    while at + 1 < len(pieces) and pieces[at].lower == "by" and pieces[at + 1].kind == "number":
        at = figure_at(pieces, at + 1, len(pieces))
        links += 1
    begin = old[0]
    while links and begin >= 2 and pieces[begin - 1].lower == "by" and pieces[begin - 2].kind == "number":
        begin -= 2
        while begin > 0 and pieces[begin - 1].kind == "number" and not pieces[begin - 1].comma:
            begin -= 1
        links -= 1
    return begin


def _replace(
    pieces: Sequence[Piece], start: int, old: Span, new: Span, cue_first: int, ends: tuple[int, int]
) -> TakeBack:
    begin, resume = ends
    dropped = [(begin, resume)]
    stands = new
    if begin < old[0] and pieces[begin].kind == "number":
        # a range said anew: "four through seven, no, four through eight"
        wide = new[1]
        for k in range(new[1], min(len(pieces), new[1] + 3)):
            end = figure_at(pieces, k, len(pieces))
            if end > k:
                wide = end
                break
        stands = (new[0], wide)
        old = (begin, old[1])
    again = _said_again(pieces, stands)
    if again is not None:
        dropped.append((stands[0], again[0]))
        stands = again
    read_end = _with_unit(pieces, stands, len(pieces))
    tail = _borrowed(pieces, old, stands, cue_first)
    return TakeBack(
        dropped=tuple(dropped),
        withdrawn=(old[0], cue_first),
        kept=(stands[0], read_end),
        heard=(old[0], _with_unit(pieces, old, cue_first)),
        read=(stands[0], read_end),
        borrowed=tail,
    )


def _said_again(pieces: Sequence[Piece], new: Span) -> Span | None:
    """The same figure said once more right behind, with or without its unit between ("half inch, half inch thick")."""
    run = _words(pieces, new)
    for gap in (0, 1):
        at = new[1] + gap
        if [p.lower for p in pieces[at : at + len(run)]] != run or (gap and pieces[new[1]].kind != "unit"):
            continue
        if figure_at(pieces, at, len(pieces)) == at + len(run) and (pieces[at - 1].comma or gap or len(run) > 1):
            return at, at + len(run)
    return None


def _borrowed(pieces: Sequence[Piece], old: Span, new: Span, stop: int) -> Span | None:
    """Words behind the old figure that are meant of the new one as well, because it was said without its own."""
    tail = (old[1], min(stop, old[1] + 4))
    at = new[1]
    while (
        tail[0] < tail[1] and at < len(pieces) and not pieces[at - 1].ends and pieces[tail[0]].stem == pieces[at].stem
    ):
        tail = (tail[0] + 1, tail[1])
        at += 1
    pause = (
        at >= len(pieces)
        or pieces[at - 1].ends
        or pieces[at - 1].comma
        or pieces[at].kind in {"joins", "stands_in", "helps"}
    )
    if not pause or any(p.ends for p in pieces[old[0] : tail[1] - 1]):
        return None
    while tail[1] > tail[0] and pieces[tail[1] - 1].kind in {"joins", "leads", "points", "stands_in", "helps"}:
        tail = (tail[0], tail[1] - 1)
    while tail[0] < tail[1] and pieces[tail[0]].kind in {"joins", "stands_in"}:
        return None
    return tail if tail[0] < tail[1] else None


# ---------------------------------------------------------------------------------------------------------- units


def _unit_only(pieces: Sequence[Piece], start: int, cue: Cue) -> TakeBack | None:
    """ "85 millimetres, I mean centimetres": a unit behind the cue, a figure with another unit before it."""
    at = cue.repair
    if at >= len(pieces) or pieces[at].kind != "unit":
        return None
    unit = next((i for i in range(cue.first - 1, max(start, cue.first - 4) - 1, -1) if pieces[i].kind == "unit"), None)
    if unit is None or pieces[unit - 1].kind != "number" or pieces[unit].stem == pieces[at].stem:
        return None
    old = figures_before(pieces, max(start, unit - 6), unit)[-1]
    again = figure_at(pieces, at + 1, len(pieces))
    if again > at + 1 and _words(pieces, (at + 1, again)) == _words(pieces, old):
        # and said whole once more: "sixty inches, I should say feet, sixty feet a minute"
        kept = (at + 1, _with_unit(pieces, (at + 1, again), len(pieces)))
        return TakeBack(((old[0], at + 1),), (old[0], cue.first), kept, heard=(old[0], unit + 1))
    return TakeBack(((unit, at),), (old[0], unit + 1), (at, at + 1), heard=(unit, unit + 1))


def _figure_behind(pieces: Sequence[Piece], start: int, cue: Cue) -> TakeBack | None:
    """ "Thirty six inches, thirty eight I should say": the cue comes last, and two figures stand before it."""
    if not (BEHIND - {"sorry", "rather"}) & set(cue.phrases):
        return None
    olds = figures_before(pieces, max(start, cue.first - REACH), cue.first)
    if len(olds) < 2 or cue.first - olds[-1][1] > 1:
        return None
    old, new = olds[-2], olds[-1]
    between = pieces[old[1] : new[0]]
    if not pieces[new[0] - 1].comma or any(p.kind not in {"unit", "describes", "content"} for p in between):
        return None
    if figure_at(pieces, cue.last, len(pieces)) > cue.last:
        return None
    kept = (new[0], cue.first)
    tail = _borrowed(pieces, old, new, new[0]) if cue.first == new[1] else None
    dropped = ((old[0], new[0]), (cue.first, cue.last))
    return TakeBack(dropped, (old[0], new[0]), kept, heard=(old[0], _with_unit(pieces, old, new[0])), borrowed=tail)


def _unit_behind(pieces: Sequence[Piece], start: int, cue: Cue) -> TakeBack | None:
    """ "Forty eight feet, inches I should say": the cue comes last, and two units stand before it."""
    if not BEHIND & set(cue.phrases) or cue.first - 2 < start:
        return None
    a, b = pieces[cue.first - 2], pieces[cue.first - 1]
    if a.kind != "unit" or b.kind != "unit" or a.stem == b.stem or pieces[cue.first - 3].kind != "number":
        return None
    old = figures_before(pieces, max(start, cue.first - 8), cue.first - 2)[-1]
    again = figure_at(pieces, cue.last, len(pieces))
    if again > cue.last and _words(pieces, (cue.last, again)) == _words(pieces, old):
        kept = (cue.last, _with_unit(pieces, (cue.last, again), len(pieces)))
        return TakeBack(((old[0], cue.last),), (old[0], cue.first - 1), kept)
    return TakeBack(
        ((cue.first - 2, cue.first - 1), (cue.first, cue.last)),
        (old[0], cue.first - 1),
        (cue.first - 1, cue.first),
        heard=(cue.first - 2, cue.first - 1),
    )
