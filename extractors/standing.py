"""The standing of a fact: its basis and by whom, running state, condition, defects, reasons, unsafe advice."""

from __future__ import annotations

from extractors.mentions import QuantityMention, RemarkMention, ThingMention, Tokens
from vocab import Vocabulary


def find_remarks(
    tokens: Tokens, things: tuple[ThingMention, ...], quantities: tuple[QuantityMention, ...], vocabulary: Vocabulary
) -> tuple[tuple[ThingMention, ...], tuple[QuantityMention, ...], tuple[RemarkMention, ...]]:
    """Things and quantities with basis, condition and running state added, and the remarks on the whole."""
    return things, quantities, ()
