"""What belongs to a figure in speech: its unit or noun, its repetition, the words behind it that go on to another."""

from __future__ import annotations

from collections.abc import Sequence

from extractors.mentions import Span
from extractors.takebacks import figure_at
from extractors.word_classes import CARDINALS, Piece, word_set

REACH = 9
"""Words between a figure and the cue that takes it back; common practice, no source."""
PARTS = frozenset({"degree", "deg", "square", "cubic", "pound", "standard", "imperial", "us", "metric"})
"""First words of units that go on in the next word."""
DECADES = word_set("ten twenty thirty forty fifty sixty seventy eighty ninety")
TEENS = frozenset(CARDINALS[11:20])
ONES = frozenset(CARDINALS[1:10])
NOUNS = frozenset({"content", "unit", "name", "describes"})


def noun_behind(pieces: Sequence[Piece], i: int, stop: int) -> Piece | None:
    """The first unit or noun behind a figure; of "nine a minute" the minute."""
    if i + 1 < len(pieces) and pieces[i].lower in {"a", "an", "per"} and pieces[i + 1].kind == "unit":
        return pieces[i + 1]
    if 0 < i < len(pieces) and pieces[i - 1].ends:
        return None  # "and that's 150. Chest skin runs hot"
    while i < min(stop, len(pieces)):
        if pieces[i].kind in {"unit", "content"}:
            return pieces[i]
        if pieces[i].kind not in {"describes", "number"} or pieces[i - 1].ends:
            return None
        i += 1
    return None


def units_differ(pieces: Sequence[Piece], old: Span, new: Span, stop: int) -> bool:
    """Whether both figures have a unit, and not the same one; the old one's stands before stop."""
    a, b = noun_behind(pieces, old[1], stop), noun_behind(pieces, new[1], new[1] + 2)
    return a is not None and b is not None and a.kind == b.kind == "unit" and a.stem != b.stem


def words_at(pieces: Sequence[Piece], span: Span) -> list[str]:
    return [p.lower for p in pieces[span[0] : span[1]]]


def with_unit(pieces: Sequence[Piece], figure: Span, stop: int) -> int:
    """End of the figure together with its unit, or with the noun behind it and what describes that, three words."""
    end, stop = figure[1], min(stop, len(pieces))
    while end < stop and end - figure[1] < 3 and pieces[end].kind in NOUNS:
        if pieces[end - 1].ends or pieces[end - 1].comma:
            break
        end += 1
        goes_on = pieces[end - 1].stem in PARTS and end < stop and pieces[end].kind == "unit"
        if pieces[end - 1].kind == "unit" and not goes_on:
            break
    return end


def said_again(pieces: Sequence[Piece], new: Span) -> Span | None:
    """The same figure said once more right behind, with or without its unit between ("half inch, half inch thick")."""
    run = words_at(pieces, new)
    for gap in (0, 1):
        at = new[1] + gap
        if [p.lower for p in pieces[at : at + len(run)]] != run or (gap and pieces[new[1]].kind != "unit"):
            continue
        if figure_at(pieces, at, len(pieces)) == at + len(run) and (
            pieces[at - 1].comma or gap or len(run) > 1 or (at + 1 < len(pieces) and pieces[at + 1].kind == "unit")
        ):
            return at, at + len(run)
    return None


def borrowed_tail(pieces: Sequence[Piece], old: Span, new: Span, stop: int) -> Span | None:
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
    for k in range(*tail):
        if pieces[k].kind == "number":
            tail = (tail[0], k)  # "60 hertz, 50, sorry"
            break
    while tail[0] < tail[1] and pieces[tail[0]].kind in {"joins", "stands_in"}:
        return None
    return tail if tail[0] < tail[1] else None


def last_two(pieces: Sequence[Piece], span: Span) -> bool:
    """Whether a figure may be the last two digits of a year: "ninety-eight", "oh nine", "98"."""
    words = [part for word in words_at(pieces, span) for part in word.split("-")]
    if len(words) == 1:
        return (len(words[0]) == 2 and words[0].isdigit()) or words[0] in DECADES | TEENS
    return len(words) == 2 and words[0] in DECADES | {"oh"} and words[1] in ONES


def behind_century(pieces: Sequence[Piece], old: Span, new: Span) -> int:
    """Where what goes of a year begins that is said anew by its last two digits: "nineteen ninety-six. Ninety-eight"
    keeps its century."""
    said = words_at(pieces, (old[0], min(old[1], old[0] + 3)))
    if not last_two(pieces, new) or len(said) < 2:
        return old[0]
    if said[:1] in (["nineteen"], ["twenty"]) and said[1].split("-")[0] in DECADES | TEENS | {"oh"}:
        return old[0] + 1
    return old[0]
