"""Stations in order. Expectations are the plain sense of the sentences, no outside source."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.extractors.readings import cases, stations, transcript


@pytest.mark.parametrize("case", cases("stations"), ids=lambda c: c["why"])
def test_stations_as_said(case: dict[str, Any]) -> None:
    found = stations(case["said"])
    assert [f"{s.number} {s.role}" for q in found for s in q.stations] == case["stations"]
    assert (found[0].stated_count if found else None) == case.get("stated")


def test_the_span_of_a_station_stands_on_its_words() -> None:
    text = "It's a three stage washer. Stage one is the wash. Stage two, rinse. The last one is the seal."
    words = transcript(text).words
    spans = [" ".join(w.text for w in words[slice(*s.span)]) for s in stations(text)[0].stations]
    assert spans == ["Stage one is the wash.", "Stage two, rinse.", "The last one is the seal."]


ROLES = ["rinse", "etch", "seal", "soak cleaner", "hot rinse", "zinc plate"]


@settings(max_examples=40, deadline=None)
@given(st.lists(st.sampled_from(ROLES), min_size=2, max_size=12), st.sampled_from(["tank", "stage", "station"]))
def test_any_row_of_roles_comes_back_in_order(roles: list[str], word: str) -> None:
    said = " ".join(f"{word.capitalize()} {n} is the {role}." for n, role in enumerate(roles, 1))
    found = stations(said)
    assert [(s.number, s.role) for s in found[0].stations] == list(enumerate(roles, 1))
    assert found[0].station_word == word


@settings(max_examples=30, deadline=None)
@given(st.integers(2, 11), st.integers(0, 80))
def test_a_walk_cut_anywhere_invents_no_station(count: int, cut: int) -> None:
    whole = f"It's a {count} stage washer. " + " ".join(f"Stage {n} is the rinse." for n in range(1, count + 1))
    short = " ".join(whole.split()[:cut])
    full = {(s.number, s.role) for q in stations(whole) for s in q.stations}
    assert {(s.number, s.role) for q in stations(short) for s in q.stations} <= full


def test_a_bare_number_goes_back_to_the_row_that_has_it() -> None:
    """Three zones were counted, so number four is a tank; after "tank five" number two is a tank as well."""
    said = (
        "There are four tanks. Tank one is the wash, tank two is a rinse, tank three is the acid, tank four is zinc. "
        "Then it has three zones. Zone one is blow off, zone two is heating, zone three is cooling. "
        "Number four is the deep one. Tank three stays. Number two is the small one."
    )
    rows = stations(said)
    assert [[s.number for s in row.stations] for row in rows] == [[1, 2, 3, 4], [1, 2, 3]]
