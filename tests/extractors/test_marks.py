"""Which figures are marked as heard badly. The thresholds are calibrated on our own recordings (DEVELOPERS.md)."""

from __future__ import annotations

import pytest

from extractors.extract import extract
from extractors.mentions import QuantityMention
from extractors.words import Transcript, Word
from vocab import builtin


def figure(
    said: str, *, weak: str = "", probability: float = 0.95, doubt: str | None = None, other: str = ""
) -> QuantityMention:
    """The one figure of a sentence, one word of which was heard with a probability, a doubt, or otherwise."""
    words = tuple(
        Word(w, i / 3, i / 3 + 0.3, probability, (other,) if other else (), doubt)
        if w == weak
        else Word(w, i / 3, i / 3 + 0.3)
        for i, w in enumerate(said.split())
    )
    (found,) = extract(Transcript(words, model="stand-in"), builtin()).quantities
    return found


@pytest.mark.parametrize(("probability", "marked"), [(0.9, False), (0.4, False), (0.2, True)])
def test_a_word_of_little_probability_marks_its_figure(probability: float, marked: bool) -> None:
    assert bool(figure("The pump is a five horse motor.", weak="horse", probability=probability).doubt) == marked


@pytest.mark.parametrize("said", ["fifty", "fifteen", "50", "15"])
def test_figures_with_a_twin_by_ear_are_marked_sooner(said: str) -> None:
    assert figure(f"The tank is {said} feet long.", weak=said, probability=0.5).doubt == f"{said!r} was heard badly"
    assert figure("The tank is 52 feet long.", weak="52", probability=0.5).doubt is None


@pytest.mark.parametrize(
    ("said", "weak", "other", "marked"),
    [
        ("The belt is a 16-inch belt.", "16-inch", "16 inch", False),
        ("The screw is 3.5 inches long.", "3.5", "three and a half", False),
        ("The burner is 3.5 million BTU an hour.", "3.5", "three and a half", False),
        ("The belt is a 16-inch belt.", "16-inch", "60 inch", True),
        ("The belt is a 16-inch belt.", "16-inch", "16 feet", True),
        ("The belt is a 16-inch belt.", "16-inch", "six teens", True),
    ],
)
def test_another_hearing_of_the_same_figure_is_no_doubt(said: str, weak: str, other: str, marked: bool) -> None:
    found = figure(said, weak=weak, probability=0.6, doubt=f"heard badly, or {other!r}", other=other)
    assert bool(found.doubt) == marked


def test_a_doubt_of_the_listening_stage_stands() -> None:
    assert figure("The tank is 52 feet long.", weak="52", doubt="heard badly").doubt == "heard badly"


@pytest.mark.parametrize(("other", "marked"), [("18", True), ("80", False), ("eighty", False), ("at", False)])
def test_another_figure_of_the_second_hearing_marks_a_sure_one(other: str, marked: bool) -> None:
    assert bool(figure("The elevator is 80 metres high.", weak="80", probability=0.7, other=other).doubt) == marked
