"""Stretches of a recording between two cuts: what speaks for one machine having been told there, and how likely each
cut is where all ways of cutting are weighed against each other.

A machine has one plate and takes a few sentences; what is said before the first has neither. So a clause is no cut by
itself: it is one where the stretches on both sides are machines too.
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
    "length",
    "long",
    "longer than told",
    "shorter than told",
    "first, short",
    "first, no identity",
    "first, more identities",
    "first, few figures",
    "first, no machine",
)
USUAL = 50
"""Words of one machine."""
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
    n = len(c.edges) - 1
    width = min(n, WIDEST)
    edges = np.array(c.edges)
    begin = np.arange(n)[:, None]
    end = np.minimum(begin + 1 + np.arange(width)[None, :], n)
    words = (edges[end] - edges[begin]).astype(float)

    def counted(places: Sequence[int]) -> Floats:
        before = np.searchsorted(np.array(places, dtype=int), edges)
        out: Floats = (before[end] - before[begin]).astype(float)
        return out

    ids, figures = counted(c.identities), counted(c.figures)
    first = np.zeros((n, width))
    first[:1] = 1.0
    later = 1 - first
    length = np.log(np.maximum(words, 1) / USUAL)
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
        "length": length,
        "long": np.maximum(length, 0) ** 2,
        "longer than told": np.maximum(expected, 0) ** 2,
        "shorter than told": np.maximum(-expected, 0) ** 2,
        "first, short": first * (words < FIRST_SHORT),
        "first, no identity": first * (ids == 0),
        "first, more identities": many * first,
        "first, few figures": first * (figures <= FEW),
        "first, no machine": first * (counted(c.machines) == 0),
    }
    return np.stack([np.asarray(marks[name], dtype=float) for name in SPAN_MARKS], axis=2)


@dataclass(frozen=True, slots=True)
class Weighed:
    """All ways of cutting a recording, weighed."""

    chances: Floats
    """For each clause how likely it is that a machine opens there; 0 for the first."""
    against_none: float
    """The logarithm of how much likelier any cut is than none."""
    spans: Floats
    """For each clause and width how likely it is that this is one machine; the fit needs it."""


def weigh(clauses: Floats, spans: Floats) -> Weighed:
    """The chances where each clause that opens a machine adds its sum, and each stretch its own."""
    n, width = spans.shape
    opens = np.append(clauses, 0.0)
    before, behind = np.full(n + 1, -np.inf), np.full(n + 1, -np.inf)
    before[0], behind[n] = 0.0, 0.0
    for b in range(1, n + 1):
        of = np.arange(max(0, b - width), b)
        before[b] = _log_sum(before[of] + spans[of, b - of - 1]) + opens[b]
    for a in range(n - 1, -1, -1):
        to = slice(a + 1, min(n, a + width) + 1)
        behind[a] = _log_sum(spans[a, : to.stop - to.start] + opens[to] + behind[to])
    chances = np.exp(before[:n] + behind[:n] - before[n])
    chances[0] = 0.0
    end = np.arange(n)[:, None] + 1 + np.arange(width)[None, :]
    inside = end <= n
    end = np.minimum(end, n)
    likely = np.where(inside, np.exp(np.minimum(before[:n, None] + spans + opens[end] + behind[end] - before[n], 0)), 0)
    # in a recording of hours even none at all is weighed as its widest stretches
    return Weighed(chances, float(before[n] - spans[0, width - 1]), likely)


def _log_sum(x: Floats) -> float:
    most = float(x.max())
    return most + float(np.log(np.exp(x - most).sum()))
