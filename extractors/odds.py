"""Marks times weights: the logarithm of odds that everything weighed here adds up to."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from vocab import Vocabulary


def sum_of(marks: Mapping[str, float], weigh_by: Mapping[str, float]) -> float:
    """The logarithm of the odds that the marks speak for; "always" stands before any is looked at."""
    return weigh_by["always"] + added(marks, weigh_by)


def added(marks: Mapping[str, float], weigh_by: Mapping[str, float]) -> float:
    """What the marks add to the logarithm of the odds."""
    return sum(value * weigh_by.get(name, 0.0) for name, value in marks.items())


@lru_cache(maxsize=32)
def weights_in(vocabulary: Vocabulary, table: str) -> Mapping[str, float]:
    """The weights of a table, by mark."""
    return {row["mark"]: row["weight"] for row in vocabulary[table]}
