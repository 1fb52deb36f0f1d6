"""Things, roles and names that no rule finds taken back, weighed: what stands there, and what it turns out to be.

"This tall box is the gas chiller. Lid's off, it's black inside. So it isn't the chiller, it's the carbon filter": each
name that is introduced (said_names.py) is held against those of its kind shortly before; the marks of a pair
(name_marks.py) add up to the log odds that the second takes the first back, with weights that tools/fit_name_takes.py
fits. The rules and the values that are weighed go first.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import log

from extractors.mentions import Span
from extractors.name_marks import name_marks
from extractors.noun_kinds import THINGS, kind_of, kinds_of_nouns
from extractors.odds import sum_of, weights_in
from extractors.said_names import Named, names_said
from extractors.take_marks import Talk
from extractors.takebacks import TakeBack, met_by

TABLE = "name_take_weights"
CHANCE = 0.25
"""Chance from which a take-back is put on record; chosen in folds over recordings."""
WORDS, NAMES, SENTENCES = 45, 8, 4
"""Words, names and sentences back, in which what is taken back was said; chosen, no source."""
NEVER = frozenset({"describes", "acts", "never", "unit", "number", "nothing"})
"""Kinds of which two are no two of a sort."""


def weighed_names(talk: Talk, found: Sequence[TakeBack]) -> list[TakeBack]:
    """The likeliest first, each name taken back once and standing once; none that meets what was found."""
    names = names_said(talk.pieces)
    touched = met_by(found)
    weigh_by = weights_in(talk.vocabulary, TABLE)
    sums = []
    for o, n in name_pairs(talk, names):
        if any(k in touched for x in (names[o], names[n]) for k in range(x.first, x.end)):
            continue
        odds = sum_of(name_marks(talk, names, o, n), weigh_by)
        if odds >= log(CHANCE / (1 - CHANCE)):
            sums.append((-odds, o, n))
    gone: set[int] = set()
    out = []
    for _, o, n in sorted(sums):
        if o not in gone and n not in gone:
            gone |= {o, n}
            out.append(_take(talk, names[o], names[n]))
    return out


def name_pairs(talk: Talk, names: Sequence[Named]) -> Iterator[tuple[int, int]]:
    """Names that may be taken back, and those that may do so: of one sort, not far apart."""
    number = talk.sentences.number
    for n, new in enumerate(names):
        most = NAMES
        for o in range(n - 1, -1, -1):
            old = names[o]
            far = number[new.first] - number[old.first] > SENTENCES
            if most == 0 or far or new.first - old.end > WORDS:
                break
            if old.denied:
                continue
            most -= 1
            if old.end <= new.first and _comparable(talk, old, new):
                yield o, n


def _comparable(talk: Talk, old: Named, new: Named) -> bool:
    """Whether the one may stand for the other: two things of whatever sort, or two words of which one thing has one."""
    if old.stems == new.stems or old.denied or new.denied or new.frame == "has":
        return False
    known = kinds_of_nouns(talk.vocabulary)
    kinds = {kind_of(talk.pieces, (x.bare, x.end), known) for x in (old, new)}
    return kinds <= THINGS or (len(kinds) == 1 and not kinds & NEVER)


def _take(talk: Talk, old: Named, new: Named) -> TakeBack:
    """What stands goes in the place of what was said, where nothing but words of looking lies between; else the old
    name alone is left out."""
    gap = range(old.end, new.first)
    figures = any(talk.pieces[k].kind == "number" and talk.pieces[k].lower != "one" for k in gap)
    withdrawn: Span = (old.first, old.end)
    dropped = withdrawn if figures else (old.first, new.first)
    return TakeBack((dropped,), withdrawn, (new.first, new.end))
