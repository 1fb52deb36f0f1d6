"""Stretches of a recording between two cuts: what speaks for one machine having been told there.

A machine has one plate and takes a few sentences; what is said before the first has neither. So a clause is no cut by
itself: it is one where the stretches on both sides are machines too. How many words a machine takes is each speaker's
own pace (ways.py weighs all of them).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
SPAN_MARKS = (
    "no identity",
    "one identity",
    "more identities",
    "more years",
    "no figures",
    "figures",
    "short",
    "longer than told",
    "shorter than told",
    "first, short",
    "first, no identity",
    "first, more identities",
    "first, few figures",
    "first, no machine",
)
PACE_MARKS = ("words", "more words", "fewer words")
PACES = (20, 35, 60, 105, 180)
"""Words that a speaker may take for each machine."""
SHORT, FIRST_SHORT = 12, 30
"""Words in which no machine is told, and no first one, before which the speaker says where he is."""
FEW = 2
"""Figures in which no first machine is told."""
MOST = 3
"""More of the same in one stretch say no more."""
WIDEST = 200
"""Clauses of one machine at most, so that a recording of hours takes time by its length and not by its square."""


@dataclass(frozen=True, slots=True)
class Counted:
    """Where in a recording stand what is counted: token indices in order."""

    edges: Sequence[int]
    """First tokens of the clauses, and the end."""
    identities: Sequence[int]
    years: Sequence[int]
    figures: Sequence[int]
    machines: Sequence[int]


def span_marks(c: Counted) -> Floats:
    """For each clause and each number of clauses that a machine told from there may take, the marks; clause a, width
    w: [a, w - 1]. What would go beyond the end is 0."""
    edges = np.array(c.edges)
    begin, end = _ends(len(edges) - 1)
    n, width = end.shape
    words = (edges[end] - edges[begin]).astype(float)

    def counted(places: Sequence[int]) -> Floats:
        before = np.searchsorted(np.array(places, dtype=int), edges)
        out: Floats = (before[end] - before[begin]).astype(float)
        return out

    ids, figures = counted(c.identities), counted(c.figures)
    first = np.zeros((n, width))
    first[:1] = 1.0
    later = 1 - first
    told = len(c.identities)
    expected = np.log(np.maximum(words, 1) * (told + 1) / max(int(edges[-1]), 1)) if told > 1 else np.zeros((n, width))
    many = np.minimum(np.maximum(ids - 1, 0), MOST)
    marks = {
        "no identity": ids == 0,
        "one identity": ids == 1,
        "more identities": many * later,
        "more years": np.minimum(np.maximum(counted(c.years) - 1, 0), MOST) * later,
        "no figures": (figures == 0) * later,
        "figures": 5 * figures / np.maximum(words, 1) * later,
        "short": words < SHORT,
        "longer than told": np.maximum(expected, 0) ** 2,
        "shorter than told": np.maximum(-expected, 0) ** 2,
        "first, short": first * (words < FIRST_SHORT),
        "first, no identity": first * (ids == 0),
        "first, more identities": many * first,
        "first, few figures": first * (figures <= FEW),
        "first, no machine": first * (counted(c.machines) == 0),
    }
    return np.stack([np.asarray(marks[name], dtype=float) for name in SPAN_MARKS], axis=2)


def pace_marks(edges: Sequence[int]) -> Floats:
    """For each pace, clause and number of clauses: by how much a machine is told in more or in fewer words than that.
    What is said first is not only of a machine, and is left out."""
    at = np.array(edges)
    begin, end = _ends(len(at) - 1)
    words = np.log(np.maximum(at[end] - at[begin], 1))[None] - np.log(PACES)[:, None, None]
    words[:, 0] = 0.0
    return np.stack([words, np.maximum(words, 0) ** 2, np.minimum(words, 0) ** 2], axis=3)


def _ends(n: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """The first clause of each stretch and the one behind it, by clause and width."""
    begin = np.arange(n)[:, None]
    return begin, np.minimum(begin + 1 + np.arange(min(n, WIDEST))[None, :], n)
