"""Take-backs: what is dropped, what is left to read, what is put on record."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from extractors.mentions import RepairMention, Tokens
from extractors.normalise import tokenise
from extractors.repairs import find_repairs, reported, without
from extractors.words import Transcript, Word
from vocab import builtin

CASES = tomllib.loads((Path(__file__).parents[1] / "cases" / "takebacks.toml").read_text(encoding="utf-8"))["case"]


def spoken(text: str) -> Transcript:
    words = tuple(Word(w, i * 0.4, i * 0.4 + 0.3) for i, w in enumerate(text.split()))
    return Transcript(words, duration=len(words) * 0.4)


def bare(text: str) -> str:
    """Without capitals and punctuation, as some recognisers write."""
    return re.sub(r"[.,;:?!]", "", text).lower()


def taken(text: str) -> tuple[Tokens, tuple[RepairMention, ...]]:
    tokens, _ = tokenise(spoken(text), builtin())
    repairs = find_repairs(tokens, builtin())
    return without(tokens, repairs), reported(repairs)


def left(tokens: Tokens) -> str:
    return " ".join(t.lower for t in tokens)


def plain(text: str) -> str:
    return left(tuple(tokenise(spoken(text), builtin())[0]))


@pytest.mark.parametrize("case", CASES, ids=lambda c: c["said"][:40])
def test_case(case: dict[str, str]) -> None:
    tokens, repairs = taken(case["said"])
    assert left(tokens) == plain(case["reads"])
    assert [(r.heard.lower(), r.read.lower()) for r in repairs] == (
        [(case["heard"].lower(), case["read"].lower())] if case["heard"] else []
    )


@pytest.mark.parametrize("case", [c for c in CASES if not c.get("paused")], ids=lambda c: c["said"][:40])
def test_case_without_punctuation(case: dict[str, str]) -> None:
    tokens, repairs = taken(bare(case["said"]))
    assert left(tokens) == plain(case["reads"])
    assert len(repairs) == (1 if case["heard"] else 0)
