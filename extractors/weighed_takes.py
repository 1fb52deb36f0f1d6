"""Take-backs that no rule finds, weighed: a value said anew, where enough around it says that the one before was wrong.

Each value is held against those of its kind said shortly before (said_values.py); the marks of a pair (take_marks.py)
add up to the log odds that the second takes the first back, with weights that tools/fit_takes.py fits. The rules go
first: what they found is not weighed again.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from math import exp

from extractors.mentions import Tokens
from extractors.odds import sum_of, weights_in
from extractors.other_machines import other_machines
from extractors.said_values import Said, Sentences, comparable, sentences_of, values_said
from extractors.take_marks import Marks, Talk, pair_marks
from extractors.takebacks import TakeBack
from extractors.word_classes import Piece
from vocab import Vocabulary

TABLE = "take_weights"
CHANCE = 0.55
"""Chance from which a take-back is put on record. At 0.45 eight unseen narrations give .78 where they give .76, and a
narration told in two parts has a rinse taken for a strike; at 0.6 they give .74."""
REACH = {"figure": (70, 8, 5), "unit": (40, 1, 3)}
REACH_OF_WORDS = (40, 4, 3)
"""Words back, values back, sentences back, in which what is taken back was said; chosen, no source."""


def weighed_takes(talk: Talk, found: Sequence[TakeBack]) -> list[TakeBack]:
    """The likeliest first, each value taken back once and standing once; none that meets what was found."""
    old_gone, new_gone = touched(talk.values, found)
    chances = []
    for o, n in pairs(talk.values, talk.sentences):
        if o in old_gone or n in new_gone:
            continue
        chance = chance_of(pair_marks(talk, o, n), talk.vocabulary)
        if chance >= CHANCE:
            chances.append((-chance, o, n))
    out = []
    for _, o, n in sorted(chances):
        if o not in old_gone and n not in new_gone:
            old_gone.add(o)
            new_gone.add(n)
            out.append(_take(talk.values[o], talk.values[n]))
    return out


def talk_of(
    pieces: Sequence[Piece], tokens: Tokens, where: Sequence[int], vocabulary: Vocabulary, common: frozenset[str]
) -> Talk:
    """The pieces with their sentences and values."""
    elsewhere = {i for span, _ in other_machines(pieces) for i in range(*span)}
    # what is said of another machine takes nothing back: "the one next door, that's an eight hundred ton"
    values = [v for v in values_said(pieces, tokens, where, vocabulary) if v.first not in elsewhere]
    return Talk(pieces, sentences_of(pieces, tokens, where), values, vocabulary, common)


def pairs(values: Sequence[Said], sentences: Sentences) -> Iterator[tuple[int, int]]:
    """Values that may be taken back, and those that may do so: of one kind, not far apart."""
    for n, new in enumerate(values):
        words, most, apart = REACH.get(new.kind, REACH_OF_WORDS)
        for o in range(n - 1, -1, -1):
            old = values[o]
            far = sentences.number[new.first] - sentences.number[old.first] > apart
            if most == 0 or far or new.first - old.end > words:
                break
            if old.end <= new.first and comparable(old, new):
                most -= 1
                yield o, n
            elif new.kind == "unit" and old.unit:
                break  # a unit alone is of the figure last said


def chance_of(marks: Marks, vocabulary: Vocabulary) -> float:
    """How likely the second value takes the first back."""
    return 1 / (1 + exp(-max(-30.0, min(30.0, sum_of(marks, weights_in(vocabulary, TABLE))))))


@lru_cache(maxsize=8)
def common_words(vocabulary: Vocabulary) -> frozenset[str]:
    """Words that have a weight of their own."""
    listed = (mark for mark in weights_in(vocabulary, TABLE) if mark.endswith('"') and not mark.startswith("joined by"))
    return frozenset(mark.split('"')[1] for mark in listed)


def touched(values: Sequence[Said], found: Sequence[TakeBack]) -> tuple[set[int], set[int]]:
    """Values that the rules have withdrawn, and those that stand by them or went with them."""
    gone: set[int] = set()
    held: set[int] = set()
    spans = [(s, False) for t in found for s in (t.withdrawn, *t.dropped) if s is not None]
    spans += [(t.kept, True) for t in found if t.kept is not None]
    at: dict[int, list[int]] = {}
    for n, v in enumerate(values):
        for k in range(v.first, v.end):
            at.setdefault(k, []).append(n)
    for (first, last), stands in spans:
        met = {n for k in range(first, last) for n in at.get(k, ())}
        held |= met
        if not stands:
            gone |= met
    return gone, held


def _take(old: Said, new: Said) -> TakeBack:
    """Both stay in the text, as of all later corrections; a bare figure gets the unit or noun of the one before."""
    if old.kind != "figure":
        return TakeBack((_span(old),), _span(old), _span(new))
    bare = new.kind == "figure" and new.last == new.end and old.last < old.end
    return TakeBack((), _span(old), _span(new), borrowed=(old.last, old.end) if bare else None, late=True)


def _span(value: Said) -> tuple[int, int]:
    """The value with its unit or noun."""
    return value.first, value.end
