"""Names that a recogniser spelled by ear. Seen in transcripts of our own recordings; no outside source."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extractors.extract import extract
from extractors.mentions import Mentions
from extractors.words import Transcript, Word
from vocab import builtin

NAMES = sorted(n for row in builtin()["components"] for n in row["names"] if n.isalpha())


def heard(said: str, *, probability: float = 0.5, model: str | None = "stand-in") -> Mentions:
    words = tuple(Word(w, i / 3, i / 3 + 0.3, probability) for i, w in enumerate(said.split()))
    return extract(Transcript(words, model=model), builtin())


@pytest.mark.parametrize(
    ("said", "read"),
    [
        ("There's a dearator behind it.", "deaerator"),
        ("There's a palatizer, and the palatizer stays.", "palletizer"),
        ("The platesitter was already sold.", "platesetter"),
        ("Here are two de-palitizers.", "depalletizers"),
    ],
)
def test_read_and_told_once(said: str, read: str) -> None:
    found = heard(said)
    assert [r.read for r in found.repairs] == [read]
    assert [t.name for t in found.things if t.same_as is None] == [read]
    assert all(t.doubt for t in found.things)
    assert not heard(said, model=None).repairs
    assert not heard(said, probability=0.99).repairs


@pytest.mark.parametrize(
    "said", ["It was a situation.", "The belt is failing.", "The launch is at noon.", "A simpler way."]
)
def test_everyday_words_stay(said: str) -> None:
    assert not heard(said).repairs


@given(st.sampled_from(NAMES), st.floats(0, 1))
def test_no_name_of_the_table_is_changed(name: str, probability: float) -> None:
    assert not [r for r in heard(f"There's a {name} here.", probability=probability).repairs if r.kind == "mishearing"]
