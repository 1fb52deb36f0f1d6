"""Figures denied minutes after they were said: "the soak pump, it's not one and a half. I'm at the nameplate now and
it's a two horse"; "that hoist isn't half a tonne at all, it's two hundred and fifty kilo".

The figure of before is said again behind a denial, and another of its kind is soon said to be so. Without the first one
said before, of something that is named with the denial or in the sentence before it, nothing is taken back.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from extractors.corrected_later import put_right
from extractors.said_values import Said, comparable
from extractors.take_marks import Talk
from extractors.takebacks import TakeBack, pause_before
from extractors.word_classes import Piece, word_set

DENIALS = word_set("not isn't ain't aren't wasn't weren't doesn't don't never no isnae wasnae dinnae doesnae")
BETWEEN = word_set("a an the at any really actually be is hold take give weigh run do have got lift make carry quite")
"""Words between a denial and its figure."""
SOFTLY = word_set("a an only just really actually about more like nearer")
SAYS_SO = word_set("it's that's they're there's says reads shows call")
COPULAS, IT = word_set("is are was it do does"), word_set("it that they this these those make call")
AHEAD, SENTENCES, BACK, FURTHEST = 24, 2, 40, 400
"""Words and sentences on to what stands; words back in which the thing is named; values back; chosen, no source."""


def denied_later(talk: Talk) -> Iterator[TakeBack]:
    """The take-backs of figures that are denied in another sentence than they were said in."""
    for n, again in enumerate(talk.values):
        if again.kind != "figure" or (denial := _denial(talk.pieces, again)) is None:
            continue
        old = _said_before(talk, n)
        new = _stands(talk, n, old) if old is not None else None
        if old is not None and new is not None:
            yield replace(put_right(old, new), dropped=((denial, again.end),), heard=(again.first, again.end))


def _denial(pieces: Sequence[Piece], value: Said) -> int | None:
    """Where the word that denies a figure stands."""
    for k in range(value.first - 1, max(-1, value.first - 4), -1):
        if pieces[k].ends or pieces[k].comma:
            return None
        if pieces[k].lower in DENIALS:
            return k
        if pieces[k].lower not in BETWEEN:
            return None
    return None


def _said_before(talk: Talk, n: int) -> Said | None:
    """The value said in a sentence before that is denied: the same figure in the same unit or a bare one, of what is
    named around."""
    again, s = talk.values[n], talk.sentences
    here = s.number[again.first]
    named = talk.stems(s.first[max(0, here - 2)], again.first)
    for old in reversed(talk.values[max(0, n - FURTHEST) : n]):
        if old.kind != "figure" or old.value != again.value or s.number[old.first] >= here:
            continue
        if (again.unit and old.unit != again.unit) or (again.noun and old.noun != again.noun):
            continue
        k = s.number[old.first]
        if k == here - 1 or named & talk.stems(s.first[max(0, k - 1)], s.first[k + 1]):
            return old
    return None


def _stands(talk: Talk, n: int, old: Said) -> Said | None:
    """The figure that is said to be so instead, behind the denial."""
    pieces, s = talk.pieces, talk.sentences
    again = talk.values[n]
    for new in talk.values[n + 1 : n + 4]:
        if new.first - again.end > AHEAD or s.number[new.first] - s.number[again.first] > SENTENCES:
            return None
        if new.value == old.value and new.unit == old.unit:
            return None
        if comparable(old, new):
            return new if _is_so(pieces, new.first) else None
    return None


def _is_so(pieces: Sequence[Piece], i: int) -> bool:
    """Whether it is said of the same thing that a figure is so: "it's a", "it is only", "and they make it"."""
    k = i - 1
    while k > 0 and pieces[k].lower in SOFTLY and not pause_before(pieces, k):
        k -= 1
    if pieces[k].lower in SAYS_SO:
        return True
    return k > 0 and pieces[k].lower in COPULAS and pieces[k - 1].lower in IT
