"""Figures with their units."""

from __future__ import annotations

from extractors.mentions import Measure, Tokens
from vocab import Vocabulary


def find_measures(tokens: Tokens, vocabulary: Vocabulary) -> tuple[Measure, ...]:
    """Every figure with a unit, in order; asides are left out."""
    return ()
