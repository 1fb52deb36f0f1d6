"""Take-backs that a rule found and that are none, by what both sides are and what lies between them.

"Sorry, hang on, there's a guy with a pallet jack" and "Actually it is a good line" stand behind a name as a take-back
does. Marks (rule_marks.py) times the weights of vocab/take_doubts.toml (tools/fit_doubted_takes.py) tell the two apart;
only the readers that err are asked: the others (numbers of places, denials) were hardly ever wrong.
"""

from __future__ import annotations

from collections.abc import Sequence

from extractors.odds import sum_of, weights_in
from extractors.rule_marks import rule_marks
from extractors.take_marks import Talk
from extractors.takebacks import TakeBack
from vocab import Vocabulary

TABLE = "take_doubts"
LEAST = -0.3
"""Logarithm of the odds below which a take-back is dropped; chosen in folds over recordings."""


def undoubted_takes(found: Sequence[TakeBack], talk: Talk, vocabulary: Vocabulary) -> list[TakeBack]:
    """Those of the rules' take-backs that may well be some."""
    return [take for take in found if not _doubted(take, talk, vocabulary)]


def _doubted(take: TakeBack, talk: Talk, vocabulary: Vocabulary) -> bool:
    if not take.rule or not take.reported:
        return False
    marks = rule_marks(talk, take)
    return bool(marks) and sum_of(marks, weights_in(vocabulary, TABLE)) < LEAST
