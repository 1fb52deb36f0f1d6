"""Roles of stations heard as other words. The pairs were heard in our own recordings, or are homophones of any
dictionary; no outside source."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extractors.extract import extract
from extractors.mentions import Mentions
from extractors.words import Transcript, Word
from vocab import builtin

ROLES = sorted(
    n for row in builtin()["stations"] if row["use"] == "role" for n in row["names"] if n.isalpha() and len(n) > 3
)


def heard(said: str, *, probability: float = 0.6, model: str | None = "stand-in") -> Mentions:
    words = tuple(Word(w, i / 3, i / 3 + 0.3, probability) for i, w in enumerate(said.split()))
    return extract(Transcript(words, model=model), builtin())


def roles(mentions: Mentions) -> list[tuple[int | str, str]]:
    return [(s.number, s.role) for q in mentions.sequences for s in q.stations]


@pytest.mark.parametrize(
    ("said", "role"),
    [
        ("Tank one is the rinse and tank two is the deshmot.", "desmut"),
        ("Tank one is the rinse, two is a desk mat.", "desmut"),
        ("Station one is the blank and station two is the fierce.", "pierce"),
        ("Tank one is the rinse. Tank two's your degrees, caustic.", "degrease"),
    ],
)
def test_the_role_is_read_and_told(said: str, role: str) -> None:
    found = heard(said, probability=0.4)
    assert roles(found)[-1] == (2, role)
    assert [r.read for r in found.repairs if r.kind == "mishearing"] == [role]
    station = found.sequences[0].stations[-1]
    assert (station.doubt or "").startswith("heard as")
    assert not heard(said, model=None).repairs


def test_what_was_misheard_for_a_role_is_so_wherever_it_comes_again() -> None:
    said = (
        "Tank one is the rinse. Tank two is a deshmut. Not a deshmut, excuse me, it's the etch. Three is the deshmut."
    )
    found = heard(said, probability=0.4)
    stations = [(s.number, s.role, s.status) for q in found.sequences for s in q.stations]
    assert (2, "etch", "corrected") in stations
    assert (2, "desmut", "withdrawn") in stations
    assert (3, "desmut", "stated") in stations
    assert [r.read for r in found.repairs if r.kind == "mishearing"] == ["desmut"] * 3


@pytest.mark.parametrize(
    "said",
    [
        "Station one is the blank and station two is the conveyor.",
        "Tank one is at 180 degrees.",
        "Station one is the blank and station two is dropped.",
        "Tank one is empty and tank two is fierce hot.",
        "There are six presses, one is the fierce.",  # no line, no slot
    ],
)
def test_left_alone(said: str) -> None:
    assert not heard(said).repairs


@given(st.sampled_from(ROLES), st.floats(0, 1))
def test_no_role_of_the_table_is_changed(role: str, probability: float) -> None:
    found = heard(f"Station one is the rinse. Station two is the {role}.", probability=probability)
    assert not [r for r in found.repairs if r.kind == "mishearing"]


def test_a_number_that_runs_on_is_read_from_its_sound() -> None:
    said = (
        "Tank one is the rinse. To is the etch. Three is the seal, for is a rinse and 5 is the dryer. Sex is the hoist."
    )
    found = heard(said)
    assert [n for n, _ in roles(found)] == [1, 2, 3, 4, 5, 6]
    assert [(r.heard, r.read) for r in found.repairs] == [("To", "two"), ("for", "four"), ("Sex", "six")]


@pytest.mark.parametrize(
    "said",
    [
        "Tank three is the rinse. To is the etch.",  # two does not come behind three
        "The pump is a five horse. For is the price.",
        "Tank three is the rinse, for the parts are dirty.",
    ],
)
def test_small_words_stay_small_words(said: str) -> None:
    assert not heard(said).repairs


def test_a_breath_behind_the_number_parts_nothing() -> None:
    said = "Station 1 is the unwind. Station 2, is the web guide, then 3, is a rinse."
    assert [n for n, _ in roles(heard(said, probability=0.95))] == [1, 2, 3]
