"""What a figure is a figure of: its property and its subject."""

from __future__ import annotations

from extractors.mentions import Measure, QuantityMention, SequenceMention, ThingMention, Tokens
from vocab import Vocabulary


def file_measures(
    tokens: Tokens,
    measures: tuple[Measure, ...],
    things: tuple[ThingMention, ...],
    sequences: tuple[SequenceMention, ...],
    vocabulary: Vocabulary,
) -> tuple[QuantityMention, ...]:
    """Each measure under its property and subject."""
    return ()
