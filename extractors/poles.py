"""Poles of a motor: "eight pole, 1750 rpm", "a four-pole motor": a count that speaks of its speed."""

from __future__ import annotations

from extractors.mentions import QuantityMention, Tokens
from extractors.spoken_numbers import find_numbers
from vocab import Vocabulary

EVEN = (2, 4, 6, 8, 10, 12, 16)
"""Pole counts of motors and alternators (IEC 60034-1: always even)."""
NOT_A_MOTOR = frozenset(
    ("breaker", "breakers", "switch", "switches", "disconnect", "contactor", "tent", "barn", "saw", "plug")
)
"""A breaker has poles as well, and they turn nothing."""


def find_poles(tokens: Tokens, vocabulary: Vocabulary) -> tuple[QuantityMention, ...]:
    """One count of poles for each time it was said, of a motor."""
    out = []
    for n in find_numbers(tokens, vocabulary):
        word = tokens[n.last].lower if n.last < len(tokens) else ""
        behind = {t.lower for t in tokens[n.last + 1 : n.last + 3]}
        if word not in ("pole", "poles") or n.value not in EVEN or n.value_max is not None or behind & NOT_A_MOTOR:
            continue
        if any(t.aside for t in tokens[n.first : n.last + 1]):
            continue
        span = (tokens[n.first].word, tokens[n.last].word + 1)
        out.append(QuantityMention(span, "motor", "count", float(n.value), "", of="pole"))
    return tuple(out)
