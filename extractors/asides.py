"""Words that state no fact about this machine: phone numbers, times of day, idioms, questions, negations."""

from __future__ import annotations

from extractors.mentions import Tokens
from vocab import Vocabulary


def mark_asides(tokens: Tokens, vocabulary: Vocabulary) -> Tokens:
    """The same tokens, those of asides marked with the reason."""
    return tokens
