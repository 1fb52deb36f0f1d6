"""What is kept back from those outside, as cases."""

import tomllib
from pathlib import Path

import pytest

from pipeline.private import withhold

CASES = tomllib.loads((Path(__file__).parents[1] / "cases" / "private.toml").read_text(encoding="utf-8"))["case"]


@pytest.mark.parametrize("case", CASES, ids=lambda c: c["said"][:30])
def test_what_is_handed_out(case: dict[str, str]) -> None:
    assert withhold(case["said"]) == case["kept"]


def test_names_that_a_fact_gives_go_wherever_they_stand() -> None:
    assert withhold("wendell's pump, Wendellton", ("Wendell",)) == "[name withheld]'s pump, Wendellton"
