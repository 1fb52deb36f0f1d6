"""Figures that are withdrawn and nothing put in their place: "strike the sixty", "don't put that down, the meter's been
swapped", "I got no idea, leave the year blank".

Forms, put together from a verb and an object: a verb of striking with the figure, with what was said, or with words for
a figure; a denied verb of noting with what points back; a place that is left blank. A figure of the same kind right
behind says what stands instead: then nothing is found here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from extractors.mentions import Span
from extractors.said_values import Said, comparable
from extractors.take_marks import Talk
from extractors.takebacks import TakeBack, met_by, pause_before
from extractors.word_classes import Piece, word_set

STRIKING = word_set("forget strike scratch scrap ignore disregard delete omit cross drop")
LEADING_IN = word_set("so and just please then well okay better to i'd you can but actually")
"""Words that may stand before an order in its clause."""
DENIALS = word_set("don't never not dont shouldn't wouldn't")
NOTING = word_set("put write note record use count print list enter trust take hold rely go")
POINTING = word_set("that it this the my")
FIGURES = word_set(
    "number numbers figure figures reading value temperature pressure speed weight year length count rating"
)
TELLING = word_set("i i've we")
SAID = word_set("said told gave mentioned put called")
STANDS = word_set("it's that's is was to say make call reads says shows")
LEFT = word_set("leave leaving left")
BLANK = word_set("blank empty out")
BACK, WORDS = 2, 70
"""Sentences and words back to the figure; chosen, no source."""
LONGEST = 5
"""Words between a verb and its object, at most."""
INSTEAD = 14
"""Words behind within which a figure of the same kind stands instead."""


def withdrawals(talk: Talk, found: Sequence[TakeBack]) -> list[TakeBack]:
    """What is withdrawn and not replaced, where nothing else takes it back."""
    touched = met_by(found)
    out = []
    for i, end, named, plain in _orders(talk.pieces):
        old = _meant(talk, i, named, near=plain)
        if old is None or touched & set(range(old.first, old.end)) or touched & set(range(i, end)):
            continue
        if not _replaced(talk, old, end):
            out.append(TakeBack(((i, end),), (old.first, old.end), None, late=True))
            touched |= set(range(old.first, old.end))
    return out


def _orders(pieces: Sequence[Piece]) -> Iterator[tuple[int, int, Span | None, bool]]:
    """Where words that withdraw something begin and end, the figure that they name, if any, and whether "that" alone
    stands for it."""
    for i, p in enumerate(pieces):
        if not (pause_before(pieces, i) or pieces[i - 1].lower in LEADING_IN):
            continue
        end = _clause_end(pieces, i)
        if p.lower in STRIKING and i + 1 < end and (found := _struck(pieces, i + 1, end)) is not None:
            yield i, end, found[0], False
        elif p.lower in DENIALS and _not_noted(pieces, i + 1, end):
            yield i, end, None, pieces[end - 1].lower not in FIGURES
        elif p.lower in LEFT and pieces[end - 1].lower in BLANK and 1 < end - i <= LONGEST:
            pointed = pieces[i + 1].lower in POINTING and (end - i == 3 or pieces[end - 2].lower in FIGURES)
            if pointed and (pieces[end - 1].lower != "out" or pieces[end - 2].lower in FIGURES):
                yield i, end, None, False


def _struck(pieces: Sequence[Piece], k: int, end: int) -> tuple[Span | None] | None:
    """What a verb of striking has for its object: a figure, what was said, or words for a figure; None else."""
    if pieces[k].lower in TELLING and k + 1 < end and pieces[k + 1].lower in SAID:
        said = {p.lower for p in pieces[k + 2 : end]}
        return (None,) if said & FIGURES else None  # "forget I said a temperature"
    if pieces[k].lower not in POINTING:
        return None
    at = k + 1
    while at < end and pieces[at].kind == "number":
        at += 1
    if at > k + 1:
        return ((k + 1, at),)
    return (None,) if at < end and pieces[at].lower in FIGURES and at + 1 == end else None


def _not_noted(pieces: Sequence[Piece], k: int, end: int) -> bool:
    """ "Don't put that down", "don't hold on to that number"."""
    words = [p.lower for p in pieces[k:end]]
    if not words or words[0] not in NOTING or len(words) > LONGEST + 1:
        return False
    if words[0] in {"go", "hold", "rely", "count"} and not set(words[1:3]) & {"on", "to", "by"}:
        return False  # "don't go over that number"
    if words[-1] in FIGURES:
        return bool(POINTING & set(words))
    plain = words[0] in {"put", "write", "note", "record", "use", "print", "enter"}
    return plain and words[1:2] != [] and words[1] in {"that", "it", "this"} and len(words) <= LONGEST - 2


def _clause_end(pieces: Sequence[Piece], i: int) -> int:
    end = i + 1
    while end < len(pieces) and not (pieces[end - 1].comma or pieces[end - 1].ends):
        end += 1
    return end


def _meant(talk: Talk, i: int, named: Span | None, *, near: bool) -> Said | None:
    """The figure that is withdrawn: the one named, else the last of the sentences before; near asks for it in the
    clause right before ("the boiler is the landlord's, don't list it" is of the boiler)."""
    number = talk.sentences.number
    before = [v for v in talk.values if v.kind == "figure" and v.end <= i and i - v.end <= WORDS]
    if named is not None:
        said = next((v for v in talk.values if v.kind == "figure" and v.first == named[0]), None)
        return next((v for v in reversed(before) if said is not None and v.value == said.value), None)
    if not before or number[i] - number[before[-1].first] > BACK - (number[i] > 0 and pause_before(talk.pieces, i)):
        return None
    if near and talk.sentences.clause[before[-1].first] != talk.sentences.clause[i - 1]:
        return None
    return before[-1]


def _replaced(talk: Talk, old: Said, end: int) -> bool:
    """Whether a figure of the same kind follows that stands in its place: of its dimension or noun, or said to be."""
    near = [v for v in talk.values if v.kind == "figure" and 0 <= v.first - end <= INSTEAD and comparable(old, v)]
    return any(
        (v.dimension and v.dimension == old.dimension)
        or (v.noun and v.noun == old.noun)
        or talk.pieces[v.first - 1].lower in STANDS
        for v in near
    )
