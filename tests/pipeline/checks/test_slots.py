"""Scenes with one slot: what cannot be is asked about, what can be is left alone."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from extractors.extract import extract
from pipeline.assemble import assemble
from pipeline.checks import check
from pipeline.timed_text import read_stamped
from pipeline.walk import Finding, Source
from tests.pipeline.checks.test_said import TODAY
from vocab import builtin

SCENES: list[dict[str, Any]] = tomllib.loads(
    (Path(__file__).parents[2] / "cases" / "checks_slots.toml").read_text(encoding="utf-8")
)["scene"]
FOUND = 86
"""Least number of scenes whose error is asked about; 2026-11-27: 87 of 100, before the rules that find them 25."""


def asked(say: str) -> list[Finding]:
    """What is asked of a scene told at two and a half words a second."""
    lines, at = [], 2.0
    for sentence in re.split(r"(?<=[.?!])\s+(?=[A-Z0-9])", say.strip()):
        lines.append(f"[{int(at) // 60}:{int(at) % 60:02d}] {sentence}\n")
        at += len(sentence.split()) / 2.5
    transcript = read_stamped("".join(lines), "x")
    walk = assemble(transcript, extract(transcript, builtin()), Source("x", "", "transcript", transcript.duration))
    return [f for f in check(walk, builtin(), TODAY).findings if f.level in ("conflict", "check")]


def told(scene: dict[str, Any], part: int) -> str:
    """The scene with one part of its slot."""
    return re.sub(r"\{([^|]*)\|([^}]*)\}", rf"\{part}", scene["say"])


def holds(found: Finding, figures: str) -> bool:
    """Whether a message holds all of these figures."""
    plain = re.sub(r"(?<=\d),(?=\d{3})", "", found.message)
    words = {w.strip(".,:;()") for w in re.sub(r"[^\w.]+", " ", plain).split()}
    return set(figures.split()) <= words


def test_errors_are_asked_about() -> None:
    missed = [s["name"] for s in SCENES if not any(holds(f, a) for f in asked(told(s, 1)) for a in s["about"])]
    assert len(SCENES) - len(missed) >= FOUND, missed


def test_what_can_be_is_left_alone() -> None:
    alarms = [(s["name"], f.rule, f.message) for s in SCENES for f in asked(told(s, 2))]
    assert alarms == []
