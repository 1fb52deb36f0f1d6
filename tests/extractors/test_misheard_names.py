"""Names heard as others: where the recogniser doubts, a word of the name stands, and the sound is near. The pairs were
heard in our own recordings; no outside source but for the likeness of consonants, below."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extractors.extract import extract
from extractors.likeness import kin, likeness
from extractors.mentions import Mentions
from extractors.normalise import tokenise
from extractors.words import Transcript, Word
from pipeline.timed_text import read_timed_text
from vocab import builtin

NARRATIONS = Path(__file__).parents[1] / "cases" / "narrations"
NAMES = sorted({n for row in builtin()["components"] for n in row["names"] if n.count(" ") == 1})


def heard(said: str, unsure: str, *, probability: float = 0.4, model: str | None = "stand-in") -> Mentions:
    words = tuple(
        Word(w, i / 3, i / 3 + 0.3, probability=probability if w.strip(".,") == unsure else 0.97)
        for i, w in enumerate(said.split())
    )
    return extract(Transcript(words, model=model), builtin())


@pytest.mark.parametrize(
    ("said", "unsure", "read"),
    [
        ("There's a chart reporter on it.", "reporter", "chart recorder"),
        ("The griss case stays.", "griss", "grist case"),
        ("Two screwed compressors stay.", "screwed", "screw compressors"),
        ("There's a great washer outside.", "great", "crate washer"),
    ],
)
def test_a_name_is_mended_and_told(said: str, unsure: str, read: str) -> None:
    found = heard(said, unsure)
    assert [r.read for r in found.repairs if r.kind == "mishearing"] == [read]
    assert any(t.name.endswith(read.split()[-1]) and t.doubt for t in found.things)
    assert not heard(said, unsure, probability=0.97).repairs  # a word that was heard surely stands
    assert not heard(said, unsure, model=None).repairs


def test_less_likeness_is_asked_about_and_not_read() -> None:
    found = heard("It comes with a screw picker.", "screw")
    assert not found.repairs
    assert [(r.kind, r.subject, r.text) for r in found.remarks] == [("misheard", "sprue picker", "screw")]
    assert [t.doubt for t in found.things] == ["heard badly, or 'sprue picker'"]


@pytest.mark.parametrize(
    ("said", "unsure"),
    [
        ("The feed pump stays.", "feed"),  # a known name, however badly heard
        ("There's a propane tank.", "propane"),  # two names are as near
        ("The motor states a full load current.", "states"),  # a verb
        ("It has a bake oven.", "bake"),  # two sounds, of which one is another, is nothing
        ("We had a Winston motor.", "Winston"),  # a name of somebody
        ("There's the pump, moist, motor gone.", "moist"),  # no name: a pause is between
    ],
)
def test_left_alone(said: str, unsure: str) -> None:
    assert not heard(said, unsure, probability=0.55).repairs


def test_a_unit_behind_a_badly_heard_word_is_asked_about() -> None:
    found = heard("The pumps half or kilowatt motors.", "or", probability=0.3)
    assert [(r.kind, r.subject, r.text) for r in found.remarks] == [("misheard", "a figure of kilowatt", "or")]
    assert not heard("It is rated in kilowatt.", "in", probability=0.3).remarks


@given(st.sampled_from(NAMES), st.floats(0, 1))
def test_no_name_of_the_table_is_changed(name: str, probability: float) -> None:
    words = tuple(Word(w, i, i + 0.5, probability) for i, w in enumerate(f"There's a {name} here.".split()))
    found = extract(Transcript(words, model="stand-in"), builtin())
    assert not [r for r in found.repairs if r.kind == "mishearing"]


@pytest.mark.parametrize(("low", "high", "most"), [(0.9, 1.0, 0), (0.2, 0.7, 8)])
def test_what_was_said_is_hardly_ever_mended(low: float, high: float, most: int) -> None:
    """Narrations as they were said, each word heard right: surely, and then with little probability every one."""
    dice, mended, words = random.Random(4), [], 0
    for file in sorted(NARRATIONS.glob("*.txt")):
        transcript = read_timed_text(file)
        words += len(transcript.words)
        timed = tuple(replace(w, probability=dice.uniform(low, high)) for w in transcript.words)
        mended += tokenise(replace(transcript, words=timed, model="stand-in"), builtin())[1]
    assert words > 7000
    assert len(mended) <= most, [(r.heard, r.read) for r in mended]


@pytest.mark.parametrize(
    ("a", "b", "one"),
    [
        ("centre", "center", True), ("pasteuriser", "pasteurizer", True), ("separation", "separator", True),
        ("packing", "packer", True), ("colour", "color", True), ("cereal", "serial", False), ("griss", "grist", False),
        ("reporter", "recorder", False),
    ],
)  # fmt: skip
def test_spellings_and_roots_are_one_word(a: str, b: str, one: bool) -> None:
    assert kin(a, b) == one
    assert kin(b, a) == one


@given(st.text(alphabet=st.characters(codec="utf-8"), max_size=50), st.text(max_size=50))
def test_likeness_is_a_share_and_symmetric(a: str, b: str) -> None:
    assert 0 <= likeness(a, b) <= 1
    assert likeness(a, b) == pytest.approx(likeness(b, a))


@pytest.mark.parametrize(
    ("near", "far"),
    [
        # consonants of one place or manner are mixed up, others are not: Miller and Nicely 1955; from memory
        (("volt", "bolt"), ("volt", "colt")),
        (("three", "free"), ("three", "glee")),
        (("tank", "dank"), ("tank", "shank")),
        (("main", "nain"), ("main", "rain")),
    ],
)
def test_sounds_made_alike_are_nearer(near: tuple[str, str], far: tuple[str, str]) -> None:
    assert likeness(*near) > likeness(*far)
