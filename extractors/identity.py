"""Maker, model, serial, year, kind, controls and location of the whole, as spoken."""

from __future__ import annotations

from extractors.mentions import IdentityMention, ThingMention, Tokens
from vocab import Vocabulary


def find_identity(
    tokens: Tokens, things: tuple[ThingMention, ...], vocabulary: Vocabulary
) -> tuple[IdentityMention, ...]:
    """At most one mention for each field that was said."""
    return ()
