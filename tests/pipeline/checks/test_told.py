"""Rules that find their figures by kind and by the words beside them: each caught in words, and left alone."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from pipeline.checks import WIDE
from tests.pipeline.checks.test_said import findings

ROWS = tomllib.loads((Path(__file__).parents[2] / "cases" / "checks_told.toml").read_text(encoding="utf-8"))["rule"]
CAUGHT = [(r["name"], *(x.strip() for x in c.rsplit("|", 1))) for r in ROWS for c in r["caught"]]
QUIET = [(r["name"], c) for r in ROWS for c in r["quiet"]]


@pytest.mark.parametrize(("rule", "said", "figure"), CAUGHT, ids=lambda x: str(x)[:30])
def test_caught(rule: str, said: str, figure: str) -> None:
    asked = [f for f in findings(said) if f.level in ("conflict", "check")]
    assert len(asked) == 1, [(f.rule, f.message) for f in asked]  # a stricter rule may have been first: one matter
    assert figure in asked[0].message, (rule, asked[0].rule)


@pytest.mark.parametrize(("rule", "said"), QUIET, ids=lambda x: str(x)[:30])
def test_left_alone(rule: str, said: str) -> None:
    assert [f.message for f in findings(said) if f.level in ("conflict", "check")] == [], rule


def test_every_rule_speaks_and_is_left_alone() -> None:
    spoken = {f.rule for _, said, _ in CAUGHT for f in findings(said)}
    names = {r.__name__ for r in WIDE}
    assert sorted(names - spoken) == []
    assert {name for name, _ in QUIET} == names
