"""Several machines in one recording against lines made of several machines: narrations of our own, both kinds."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from extractors.machines import CUES, find_machines
from extractors.normalise import tokenise
from extractors.words import Transcript, Word
from pipeline.timed_text import read_stamped
from vocab import builtin

CASES = tomllib.loads((Path(__file__).parents[1] / "cases" / "machines.toml").read_text(encoding="utf-8"))["case"]
WITHIN = 5.0


def cuts_of(text: str) -> list[float]:
    transcript = read_stamped(text, "case")
    parts = find_machines(tokenise(transcript, builtin())[0], builtin())
    return [transcript.words[p.first].start for p in parts[1:]]


@pytest.mark.parametrize("case", CASES, ids=[c["name"] for c in CASES])
def test_cuts(case: dict[str, Any]) -> None:
    found = cuts_of(case["text"])
    assert len(found) == len(case["cuts"]), found
    assert all(abs(f - g) <= WITHIN for f, g in zip(found, case["cuts"], strict=True)), found


def test_parts_hold_every_word_once() -> None:
    for case in CASES:
        transcript = read_stamped(case["text"], "case")
        parts = find_machines(tokenise(transcript, builtin())[0], builtin())
        assert [p.first for p in parts] == [0, *[p.last for p in parts[:-1]]]
        assert parts[-1].last == len(transcript.words)


def test_a_return_names_the_earlier_machine() -> None:
    case = next(c for c in CASES if c["name"] == "back to an earlier one")
    transcript = read_stamped(case["text"], "case")
    assert find_machines(tokenise(transcript, builtin())[0], builtin())[3].back_to == 0


@pytest.mark.parametrize("row", [r for r in builtin()["moves"] if r["kind"] in CUES], ids=lambda r: r["said"][0])
def test_each_cue_catches_and_leaves(row: Any) -> None:
    from extractors.machines import _cues

    def kinds(text: str) -> set[str]:
        words = tuple(Word(w, i * 0.4, i * 0.4 + 0.3) for i, w in enumerate(text.split()))
        return {kind for _, _, kind, _ in _cues(tokenise(Transcript(words), builtin())[0], builtin())}

    assert row["kind"] in kinds(row["catches"])
    if row["kind"] in ("new", "back", "line"):
        assert row["kind"] not in kinds(row["leaves"])


def test_nothing_said_has_no_parts() -> None:
    assert find_machines((), builtin()) == ()
