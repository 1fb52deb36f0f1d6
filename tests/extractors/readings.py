"""A sentence read as far as stations, things and identity: shared by the tests of those readers."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from extractors.asides import mark_asides
from extractors.components import find_things
from extractors.identity import find_identity
from extractors.mentions import IdentityMention, Measure, SequenceMention, ThingMention, Tokens
from extractors.normalise import tokenise
from extractors.quantities import find_measures
from extractors.repairs import find_repairs, without
from extractors.sequences import find_sequences
from extractors.words import Transcript, Word
from vocab import Vocabulary, builtin

CASES = Path(__file__).parents[1] / "cases"


def cases(name: str) -> list[dict[str, Any]]:
    """The cases of one table."""
    return list(tomllib.loads((CASES / f"{name}.toml").read_text(encoding="utf-8"))["case"])


def transcript(text: str) -> Transcript:
    """Words of a text, a third of a second each; stamps "[m:ss]" begin a paragraph and are left out."""
    words, breaks = [], []
    for raw in text.split():
        if re.fullmatch(r"\[\d+:\d\d\]", raw):
            breaks.append(len(words))
        else:
            words.append(Word(raw, len(words) / 3, len(words) / 3 + 0.3))
    return Transcript(tuple(words), tuple(b for b in breaks if b))


def clear(text: str, vocabulary: Vocabulary | None = None) -> tuple[Tokens, tuple[Measure, ...]]:
    """Tokens without what was taken back, asides marked, and the measures among them."""
    vocabulary = vocabulary or builtin()
    tokens, _ = tokenise(transcript(text), vocabulary)
    left = mark_asides(without(tokens, find_repairs(tokens, vocabulary)), vocabulary)
    return left, find_measures(left, vocabulary)


def stations(text: str) -> tuple[SequenceMention, ...]:
    tokens, measures = clear(text)
    return find_sequences(tokens, measures, builtin())


def things(text: str, vocabulary: Vocabulary | None = None) -> tuple[ThingMention, ...]:
    tokens, measures = clear(text, vocabulary)
    sequences = find_sequences(tokens, measures, vocabulary or builtin())
    return find_things(tokens, measures, sequences, vocabulary or builtin())


def identity(text: str) -> tuple[IdentityMention, ...]:
    tokens, measures = clear(text)
    return find_identity(tokens, find_things(tokens, measures, (), builtin()), builtin())


def gathered(mentions: tuple[ThingMention, ...]) -> list[dict[str, Any]]:
    """Things with their later mentions joined to them, as a walk would have them."""
    out: list[dict[str, Any]] = []
    at: dict[int, dict[str, Any]] = {}
    for n, m in enumerate(mentions):
        if m.status == "withdrawn":
            continue
        if m.same_as is None:
            at[n] = {f: getattr(m, f) for f in ("name", "count", "disposition", "material", "reason", "maker", "year")}
            out.append(at[n])
            continue
        at[n] = at[m.same_as]
        for f in at[n]:
            value = getattr(m, f)
            later = f in ("disposition", "reason") or (f in ("name", "count") and m.status == "corrected")
            if value is not None and (at[n][f] is None or later):
                at[n][f] = value
    return out
