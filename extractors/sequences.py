"""Stations in order of travel: numbered, counted, or both."""

from __future__ import annotations

from extractors.mentions import Measure, SequenceMention, Tokens
from vocab import Vocabulary


def find_sequences(
    tokens: Tokens, measures: tuple[Measure, ...], vocabulary: Vocabulary
) -> tuple[SequenceMention, ...]:
    """Sequences of numbered or counted stations, in order of first mention."""
    return ()
