"""Take-backs that a rule found and that are none, by what both sides are and what lies between them.

"Sorry, hang on, there's a guy with a pallet jack" and "Actually it is a good line" stand behind a name as a take-back
does. Marks (rule_marks.py) times the weights of vocab/take_doubts.toml (tools/fit_doubted_takes.py) tell the two apart;
only the readers that err are asked: the others (numbers of places, denials) were hardly ever wrong.
"""

from __future__ import annotations

from collections.abc import Sequence

from extractors.odds import sum_of, weights_in
from extractors.rule_marks import rule_marks
from extractors.said_names import NEGATIONS
from extractors.take_marks import Talk
from extractors.takebacks import TakeBack
from extractors.word_classes import word_set
from vocab import Vocabulary

TABLE = "take_doubts"
LEAST = -0.3
"""Logarithm of the odds below which a take-back is dropped; chosen in folds over recordings."""


FATES = word_set(
    "goes go going stays stay staying included excluded comes come coming sold sells selling leased rented keep "
    "keeping keeps belongs ours yours theirs sending remains remain thrown offered"
)
"""Words that say what happens to a thing."""
SHORTEST, SOON = 3, 10
"""Words that say so of something, at least; words of what stands that are looked at."""


def undoubted_takes(found: Sequence[TakeBack], talk: Talk, vocabulary: Vocabulary) -> list[TakeBack]:
    """Those of the rules' take-backs that may well be some."""
    return [take for take in found if not _doubted(take, talk, vocabulary)]


def _doubted(take: TakeBack, talk: Talk, vocabulary: Vocabulary) -> bool:
    if not take.rule or not take.reported:
        return False
    if take.rule == "name" and (_of_a_fate(take, talk) or _of_another(take, talk)):
        return True
    marks = rule_marks(talk, take)
    return bool(marks) and sum_of(marks, weights_in(vocabulary, TABLE)) < LEAST


def _of_another(take: TakeBack, talk: Talk) -> bool:
    """Whether what stands is said of "it" and what would go is only there ("that's the quench tank. There's a mixer on
    top. Strike that, it's the die lube tank"): weighed_names.py looks further back."""
    old, new = take.heard or take.withdrawn, take.read or take.kept
    if old is None or new is None or not old[0] or not new[0] or take.withdrawn is None:
        return False
    there = {talk.pieces[old[0] - 1].lower, talk.pieces[old[0]].lower} & {"there's"}
    return bool(there) and talk.pieces[new[0] - 1].lower in {"it's", "that's"} and talk.pieces[old[1] - 1].ends


def _of_a_fate(take: TakeBack, talk: Talk) -> bool:
    """Whether what would be cut says what happens to a thing ("the chiller is included. I take that back, ..."): it is
    kept, as the later fate stands in any case (fates_taken_back.py)."""
    if take.withdrawn is None or take.withdrawn[1] - take.withdrawn[0] < SHORTEST:
        return False
    old = {p.lower for p in talk.pieces[slice(*take.withdrawn)]} & FATES
    stands = [p.lower for p in talk.pieces[take.kept[0] : take.kept[0] + SOON]] if take.kept is not None else []
    again = bool(old & set(stands)) and not NEGATIONS & set(stands)
    return bool(old) and not again  # "it goes with the crane, no, it goes with the hoist" is of the crane
