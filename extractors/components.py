"""Things that a buyer would list, with counts and what happens to them."""

from __future__ import annotations

from extractors.mentions import Measure, SequenceMention, ThingMention, Tokens
from vocab import Vocabulary


def find_things(
    tokens: Tokens, measures: tuple[Measure, ...], sequences: tuple[SequenceMention, ...], vocabulary: Vocabulary
) -> tuple[ThingMention, ...]:
    """Every mention of a component, in order; a later mention of the same one points back with same_as."""
    return ()
