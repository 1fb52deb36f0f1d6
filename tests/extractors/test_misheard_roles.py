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


@pytest.mark.parametrize(
    "said",
    [
        "Station one is the blank and station two is the conveyor.",
        "Tank one is at 180 degrees.",
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
