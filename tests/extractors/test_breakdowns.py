"""Counts taken apart and amounts summed, from the words; and the questions that the words answer."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from extractors.extract import extract
from extractors.mentions import Mentions
from extractors.words import Transcript
from pipeline.timed_text import read_timed_text
from vocab import builtin

CASES = tomllib.loads((Path(__file__).parents[1] / "cases" / "breakdowns.toml").read_text(encoding="utf-8"))["case"]


def read(said: str, folder: Path) -> tuple[Transcript, Mentions]:
    file = folder / "said.txt"
    file.write_text(f"[0:00] {said}\n", encoding="utf-8")
    transcript = read_timed_text(file)
    return transcript, extract(transcript, builtin())


@pytest.mark.parametrize("case", [c for c in CASES if "found" in c], ids=lambda c: c["said"][:40])
def test_a_count_is_taken_apart(case: dict[str, Any], tmp_path: Path) -> None:
    _, mentions = read(case["said"], tmp_path)
    assert [[b.total, list(b.parts)] for b in mentions.breakdowns] == case["found"]


@pytest.mark.parametrize("case", [c for c in CASES if "sums" in c], ids=lambda c: c["said"][:40])
def test_amounts_are_summed(case: dict[str, Any], tmp_path: Path) -> None:
    transcript, mentions = read(case["said"], tmp_path)

    def words(span: tuple[int, int]) -> str:
        return " ".join(w.text for w in transcript.words[slice(*span)])

    assert [[words(s.total), [words(p) for p in s.parts], list(s.times)] for s in mentions.sums] == case["sums"]


@pytest.mark.parametrize(
    ("said", "answered"),
    [
        ("The drawings are in the office.", "manuals and programs"),
        ("I took a photo of the plate.", "plate photo"),
        ("It came in two pieces.", "pieces"),
        ("The press is blue.", None),
    ],
)
def test_what_the_words_answer(said: str, answered: str | None, tmp_path: Path) -> None:
    _, mentions = read(said, tmp_path)
    assert set(mentions.answers) == ({answered} if answered else set())


@pytest.mark.parametrize(
    ("said", "poles"),
    [
        ("The motor is eight pole, 1750 rpm, sixty hertz.", [8]),
        ("It's a four-pole motor.", [4]),
        ("There's a three pole breaker.", []),
        ("A two pole breaker on the wall.", []),
    ],
)
def test_poles_of_a_motor(said: str, poles: list[int], tmp_path: Path) -> None:
    _, mentions = read(said, tmp_path)
    assert [q.value for q in mentions.quantities if q.of == "pole"] == poles
