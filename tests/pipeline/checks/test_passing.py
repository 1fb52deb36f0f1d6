"""What a machine takes against what is run on it, said aloud and read by the real reader. Plain geometry, no source."""

from __future__ import annotations

from datetime import date

import pytest

from extractors.extract import extract
from extractors.words import Transcript, Word
from pipeline.assemble import assemble
from pipeline.checks import check
from pipeline.walk import Source
from vocab import builtin


def found(text: str) -> set[str]:
    words = tuple(Word(w, i * 0.4, i * 0.4 + 0.3) for i, w in enumerate(text.split()))
    transcript = Transcript(words, duration=words[-1].end)
    walk = assemble(transcript, extract(transcript, builtin()), Source("a.txt", "0" * 64, "transcript", words[-1].end))
    return {f.rule for f in check(walk, builtin(), date(2026, 11, 25)).findings}


@pytest.mark.parametrize(
    ("text", "rules"),
    [
        ("The dryer is seven feet wide. The dryer belt is eight feet wide, mesh.", {"wider_than_it_runs_through"}),
        ("The dryer is nine feet wide. The dryer belt is eight feet wide, mesh.", set()),
        ("Maximum web width is thirteen inches. The roll on it now is sixteen inches wide.", {"more_than_it_takes"}),
        ("Maximum web width is eighteen inches. The roll on it now is sixteen inches wide.", set()),
    ],
)
def test_what_passes(text: str, rules: set[str]) -> None:
    assert found(text) & {"more_than_it_takes", "wider_than_it_runs_through"} == rules


def test_a_rack_is_no_oven_and_a_hoist_no_conveyor() -> None:
    """ "Racks, ten feet long ... fifteen minutes in there": nothing of this is the oven's."""
    text = (
        "Two hoists, they travel at eighty feet a minute. There's 24 racks, ten feet long. "
        "A rack sits in the paint two and a half minutes."
    )
    assert "length_speed_dwell" not in found(text)


@pytest.mark.parametrize(
    "text",
    [
        "The inspection table is six feet wide. They said it'll take cloth up to seven feet wide.",
        "Throat is twenty four inches deep. The sheet they ran was thirty inches deep.",
        "The calender's two metres wide between the frames. The whole machine is four metres wide.",
    ],
)
def test_what_is_taken_is_no_second_size_of_the_machine(text: str) -> None:
    assert "same_figure_twice" not in found(text)
