"""What a speaker took back: the words dropped, and the words that stand."""

from __future__ import annotations

from extractors.mentions import RepairMention, Tokens
from vocab import Vocabulary


def find_repairs(tokens: Tokens, vocabulary: Vocabulary) -> tuple[RepairMention, ...]:
    """Self-corrections in order of time."""
    return ()


def without(tokens: Tokens, repairs: tuple[RepairMention, ...]) -> Tokens:
    """The tokens less those that a repair dropped."""
    dropped = {i for r in repairs for a, b in r.dropped for i in range(a, b)}
    return tuple(t for t in tokens if t.word not in dropped)
