"""From words to finding: rules that look at the words around a figure, each caught and left alone."""

from __future__ import annotations

import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from extractors.extract import extract
from pipeline.assemble import assemble
from pipeline.checks import carried, check, feed, output, plate_power, tubes, weights
from pipeline.timed_text import read_stamped
from pipeline.walk import Finding, Source
from vocab import builtin

CASES = tomllib.loads((Path(__file__).parents[2] / "cases" / "checks_said.toml").read_text(encoding="utf-8"))["case"]
TODAY = date(2026, 11, 25)


def findings(said: str) -> list[Finding]:
    """What the rules find in a few sentences, each five seconds behind the last."""
    lines = said.replace("? ", "?\n").replace(". ", ".\n").splitlines()
    text = "".join(f"[{5 * i // 60}:{5 * i % 60:02d}] {line}\n" for i, line in enumerate(lines))
    transcript = read_stamped(text, "x")
    walk = assemble(transcript, extract(transcript, builtin()), Source("x", "", "transcript", transcript.duration))
    return list(check(walk, builtin(), TODAY).findings)


@pytest.mark.parametrize("case", CASES, ids=lambda c: f"{c['rule']}-{c['said'][:30]}")
def test_case(case: dict[str, Any]) -> None:
    mine = [f for f in findings(case["said"]) if f.rule == case["rule"]]
    assert bool(mine) == case.get("finds", True), [f.message for f in mine]
    assert all(any(word in f.message for f in mine) for word in case.get("says", []))


def test_every_rule_has_a_caught_case_and_a_quiet_one() -> None:
    for rule in (*output.RULES, *tubes.RULES, *plate_power.RULES, *carried.RULES, *feed.RULES, *weights.RULES):
        own = {c.get("finds", True) for c in CASES if c["rule"] == rule.__name__}
        assert own == {True, False}, rule.__name__
        assert "Source:" in (rule.__doc__ or ""), rule.__name__


@pytest.mark.parametrize(
    ("said", "gap", "listed"),
    [
        ("It's a mixer, the plate has the serial, 4 4 dash 7, worn.", "serial", False),
        ("It's a mixer, and there's no serial, 4 bolts and nothing.", "serial", True),
        ("The mixer on the left, badge says KX 400, blue.", "model", False),
        ("The mixer on the left has a 400 litre bowl, blue.", "model", True),
        ("The mixer went in in 2014, all of it.", "year", False),
        ("The mixer was cleaned in 2014, all of it.", "year", True),
    ],
)
def test_what_may_have_been_said_is_not_told_to_be_missing(said: str, gap: str, listed: bool) -> None:
    missing = " ".join(f.message for f in findings(said) if f.level == "missing")
    assert (gap in missing) is listed
