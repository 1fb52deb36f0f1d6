"""All ways of cutting recordings, weighed against each other.

Every way adds the sums of the clauses that it cuts at and those of the stretches between. A speaker tells all of his
machines at about one pace, some in twenty words each and some in a hundred and eighty; so all ways are weighed at each
of several paces, and each pace counts by what all of its ways weigh.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
NEVER = -1e30
"""The sum of what cannot be; finite, so that no difference of two is undefined."""


@dataclass(frozen=True, slots=True)
class Ways:
    """Recordings, padded to one length, at each pace: pace, recording, clause, width."""

    totals: Floats
    """The logarithm of what all ways weigh together, by pace and recording."""
    chances: Floats
    """How likely a machine opens at a clause; 0 for the first."""
    before: Floats
    behind: Floats
    """What all ways weigh up to an edge, and from it on."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """One recording, all paces together."""

    chances: Floats
    against_none: float
    """The logarithm of how much likelier any cut is than none."""
    paces: Floats
    """How likely each pace is."""


def all_ways(opens: Floats, stretches: Floats, clauses: NDArray[np.intp]) -> Ways:
    """`opens`: by recording and clause, what speaks for a machine opening there; `stretches`: by pace, recording,
    clause and width, for those clauses being one; `clauses`: how many each recording has."""
    paces, recordings, n, width = stretches.shape
    of = np.arange(recordings)
    edges = np.concatenate([opens, np.zeros((recordings, 1))], axis=1)
    edges[of, clauses] = 0.0  # at its end nothing opens
    before, behind = np.full((paces, recordings, n + 1), NEVER), np.full((paces, recordings, n + 1), NEVER)
    before[:, :, 0] = 0.0
    behind[:, of, clauses] = 0.0
    for b in range(1, n + 1):
        first = np.arange(max(0, b - width), b)
        before[:, :, b] = log_sum(before[:, :, first] + stretches[:, :, first, b - first - 1]) + edges[:, b]
    for a in range(n - 1, -1, -1):
        to = slice(a + 1, min(n, a + width) + 1)
        here = log_sum(stretches[:, :, a, : to.stop - to.start] + edges[:, to] + behind[:, :, to])
        behind[:, :, a] = np.where(a < clauses, here, behind[:, :, a])
    totals = behind[:, :, 0]
    inside = np.arange(n) < clauses[:, None]
    chances = np.exp(np.where(inside, np.minimum(before[:, :, :n] + behind[:, :, :n] - totals[:, :, None], 0), NEVER))
    chances[:, :, 0] = 0.0
    return Ways(totals, chances, before, behind + edges)


def stretches_likely(ways: Ways, stretches: Floats) -> Floats:
    """How likely each stretch is one machine, at each pace."""
    _, _, n, width = stretches.shape
    ends = np.arange(n)[:, None] + 1 + np.arange(width)
    inside, ends = ends <= n, np.minimum(ends, n)
    sums = ways.before[:, :, :n, None] + stretches + ways.behind[:, :, ends] - ways.totals[:, :, None, None]
    out: Floats = np.exp(np.where(inside, np.minimum(sums, 0), NEVER))
    return out


def weigh(clauses: Floats, stretches: Floats, paces: Floats) -> Weighed:
    """One recording: what each clause adds that opens a machine, what each stretch at each pace, and each pace."""
    ways = all_ways(clauses[None], stretches[:, None], np.array([len(clauses)]))
    sums = paces + ways.totals[:, 0]
    whole = log_sum(sums)
    likely = np.exp(sums - whole)
    # in a recording of hours even none at all is weighed as its widest stretches
    none = log_sum(paces + stretches[:, 0, -1])
    return Weighed(likely @ ways.chances[:, 0], float(whole - none), likely)


def log_sum(x: Floats) -> Floats:
    """The logarithm of the sum of exponentials along the last axis."""
    most = x.max(-1)
    out: Floats = most + np.log(np.exp(x - most[..., None]).sum(-1))
    return out
