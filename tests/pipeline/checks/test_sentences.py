"""Sentences as people say them, from words to findings: rules that few narrations reach, each asked and content."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from pipeline.checks import LATER, RULES
from pipeline.checks.wording import WITHIN
from tests.pipeline.checks.sample import CASES
from tests.pipeline.checks.test_spoken import read

RULES_SAID: list[dict[str, Any]] = tomllib.loads((CASES / "checks_sentences.toml").read_text(encoding="utf-8"))["rule"]
TOLD = [(r["name"], kind, text) for r in RULES_SAID for kind in ("asks", "agrees", "quiet") for text in r.get(kind, ())]


@pytest.mark.parametrize(("rule", "kind", "text"), TOLD, ids=lambda x: x[:40])
def test_what_a_rule_makes_of_a_sentence(rule: str, kind: str, text: str, tmp_path: Path) -> None:
    walk = read(text, tmp_path)
    asked = [f.message for f in walk.findings if f.rule == rule]
    agreed = [c for c in walk.checked if c.rule == rule and c.outcome.startswith(("agreed", WITHIN))]
    did = "asks" if asked else "agrees" if agreed else "quiet"
    assert did == kind, asked or [(q.subject, q.property, q.value, q.unit) for q in walk.active]


def test_each_rule_stands_once_with_what_it_asks_and_what_it_leaves_alone() -> None:
    names = [r["name"] for r in RULES_SAID]
    assert sorted(names) == sorted(set(names))
    assert set(names) <= {r.__name__ for r in (*RULES, *LATER)}
    assert all(r["asks"] and r["quiet"] for r in RULES_SAID)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "The fan does 12,000 cubic metres an hour, and the duct going up from it is 200 millimetres in diameter.",
            "106 metres a second",
        ),
        ("The brine tank holds 2,000 litres. It weighs 1.2 tonnes full.", "the 2 tonnes of water"),
        (
            "The filler has twelve nozzles. One full fill cycle is twenty seconds. They get sixty bottles a minute.",
            "12 nozzles every 20 seconds make 36 bottles a minute",
        ),
    ],
)
def test_what_is_asked_is_told_in_the_speakers_units(text: str, told: str, tmp_path: Path) -> None:
    assert any(told in f.message for f in read(text, tmp_path).findings)
