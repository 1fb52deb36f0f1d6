"""Words to reading units: punctuation off, joined words apart, mishearings mended and recorded; times are kept."""

from __future__ import annotations

import re

from extractors.mentions import RepairMention, Token, Tokens
from extractors.words import Transcript
from vocab import Vocabulary


def tokenise(transcript: Transcript, vocabulary: Vocabulary) -> tuple[Tokens, tuple[RepairMention, ...]]:
    """Tokens of the transcript, and the mishearings that were mended on the way."""
    tokens = []
    sentence = 0
    for i, w in enumerate(transcript.words):
        if i in transcript.breaks and i:
            sentence += 1
        text = w.text.strip()
        core = re.sub(r"^\W+|[^\w%\"'°]+$", "", text)
        after = text[-1] if text and text[-1] in ",.;:?!-" else ""
        if core:
            tokens.append(Token(core, core.lower(), i, w.start, w.end, w.probability, sentence, after, doubt=w.doubt))
        if after and after in ".?!":
            sentence += 1
    return tuple(tokens), ()
