"""What plates say. Expectations are the plain sense of the sentences; names are invented."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.extractors.readings import cases, identity

HARD = ("maker", "model", "serial", "year")


@pytest.mark.parametrize("case", cases("identity"), ids=lambda c: c["said"][:40])
def test_identity_as_said(case: dict[str, Any]) -> None:
    found = {f"{m.field}={m.value}" for m in identity(case["said"])}
    wanted = set(case["gives"])
    assert wanted <= found
    assert {f for f in found if f.split("=")[0] in HARD} <= wanted


def test_a_letter_that_sounds_like_others_carries_a_doubt() -> None:
    """B and D are taken for one another by ear, hence spelling alphabets (ITU Radio Regulations, Appendix 14)."""
    (serial,) = [m for m in identity("It's a press. Serial number 4471 dash B.") if m.field == "serial"]
    assert serial.doubt is not None
    assert "D" in serial.doubt
    (named,) = [m for m in identity("It's a press. Serial number 4471 dash B as in Bravo.") if m.field == "serial"]
    assert named.value == "4471-B"
    assert named.doubt is None


# a letter three times in a row is taken for a recogniser's echo and read as two, with a doubt: see the test below
LETTERS = st.text("ABCDEFGHIJKLMNOPQRSTUVWXYZ", min_size=4, max_size=9).filter(
    lambda name: all(c * 3 not in name for c in name)
)


def test_a_letter_heard_three_times_is_two_and_told() -> None:
    (maker,) = [m for m in identity("It's a press. The nameplate says Grello, G-R-E-L-L-L-O.") if m.field == "maker"]
    assert maker.value == "Grello"
    assert "three times" in (maker.doubt or "")


@settings(max_examples=40, deadline=None)
@given(LETTERS)
def test_a_name_spelled_out_comes_back_as_spelled(name: str) -> None:
    found = {m.field: m.value for m in identity(f"It's a press. The nameplate says Xylor, spelled {'-'.join(name)}.")}
    assert found.get("maker") in (name.capitalize(), "Xylor")


@settings(max_examples=40, deadline=None)
@given(st.integers(1950, 2025))
def test_any_year_of_build_and_none_of_relining(year: int) -> None:
    assert [m.value for m in identity(f"This is a press. It was built in {year}.") if m.field == "year"] == [year]
    assert not [m for m in identity(f"This is a press. It was relined in {year}.") if m.field == "year"]


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 40))
def test_a_walk_cut_anywhere_invents_no_plate(cut: int) -> None:
    whole = (
        "This is a hydraulic press. Nameplate says Corvane, C-O-R-V-A-N-E. Model HP 200. "
        "Serial number 4471 dash B. Built in 1998."
    )
    full = {(m.field, str(m.value)) for m in identity(whole)}
    for field, value in ((m.field, str(m.value)) for m in identity(" ".join(whole.split()[:cut]))):
        wanted = {v for f, v in full if f == field}
        assert any(v.startswith(value) or value in v for v in wanted) or field == "kind"
