"""Which figures get a mark of doubt for how they were said: signs (doubt_marks.py) times weights, added up.

The weights (vocab/doubt_weights.toml) are fitted by tools/fit_doubts.py and add up to the logarithm of odds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from extractors.doubt_marks import ACTIVE, Marks, doubt_marks, talk_of
from extractors.mentions import QuantityMention, Tokens
from extractors.odds import sum_of, weights_in
from vocab import Vocabulary

BAR = -1.5
"""Logarithm of the odds that a figure is wrong from which it is marked: two in eleven. In folds one in four of the
figures so marked were wrong, of all figures one in fifty; a lower bar marks many that are right."""


def doubted(
    quantities: Sequence[QuantityMention], tokens: Tokens, vocabulary: Vocabulary
) -> tuple[QuantityMention, ...]:
    """The figures; those that are likely to be wrong by how they were said have a doubt that says why."""
    marks = doubt_marks(quantities, talk_of(tokens, vocabulary), vocabulary)
    return tuple(
        replace(q, doubt=why) if q.doubt is None and (why := reason(m, vocabulary)) else q
        for q, m in zip(quantities, marks, strict=True)
    )


def reason(marks: Marks, vocabulary: Vocabulary) -> str | None:
    """Why a figure with these marks is perhaps wrong, by the reason that weighs most; None where it is likely right."""
    weights, reasons = weights_in(vocabulary, "doubt_weights"), _reasons(vocabulary)
    if not marks or sum_of(marks, weights) < BAR:
        return None
    sums: dict[str, float] = {}
    for name, value in marks.items():
        if why := reasons.get(name):
            sums[why] = sums.get(why, 0.0) + value * weights[name]
    return max(sums, key=lambda why: sums[why], default=None)


def open_to_doubt(q: QuantityMention) -> bool:
    """Whether a figure stands without a mark so far."""
    return q.doubt is None and q.status in ACTIVE


@lru_cache(maxsize=8)
def _reasons(vocabulary: Vocabulary) -> dict[str, str]:
    return {row["mark"]: row["reason"] for row in vocabulary["doubt_weights"] if row["reason"]}
