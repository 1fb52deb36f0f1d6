"""Figures that are perhaps none, by how they were said: signs times weights."""

from __future__ import annotations

import pytest

from extractors.doubt_marks import doubt_marks, talk_of
from extractors.extract import extract, undoubted
from extractors.mentions import Mentions
from extractors.odds import sum_of
from extractors.weighed_doubts import BAR, doubted, reason
from pipeline.timed_text import read_stamped
from vocab import builtin


def read(text: str) -> Mentions:
    return extract(read_stamped(f"[0:00] {text}", "case"), builtin())


def marks_of(text: str) -> list[dict[str, float]]:
    read = undoubted(read_stamped(f"[0:00] {text}", "case"), builtin())
    return doubt_marks(read.quantities, talk_of(read.tokens, builtin()), builtin())


MARKED = [
    ("The mixer now. My wife used to bring me tea here, every day, for thirty years.", "time of people"),
    ("The monorail is five ton. In Trois-Rivieres it was a 42 inch, but I never got close.", "another machine"),
    ("The infeed moves two metres per minute. Both chambers, then, with the two metres per minute of the etcher.",
     "said before"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "why"), MARKED, ids=[w for _, w in MARKED])
def test_a_figure_with_signs_against_it_is_marked_with_the_heaviest(text: str, why: str) -> None:
    assert why in (read(text).quantities[-1].doubt or "")


@pytest.mark.parametrize(
    "text",
    [
        "The drying takes twenty minutes from cold.",
        "The pump is 7.5 kilowatts. The fan is 7.5 kilowatts.",
        "The wash tank is eight feet long and holds 400 gallons at 160 degrees.",
    ],
)
def test_a_plain_figure_is_not(text: str) -> None:
    assert not [q.doubt for q in read(text).quantities if (q.doubt or "").startswith("perhaps")]


def test_times_are_marked_but_for_what_takes_them() -> None:
    (idle,) = marks_of("The oven stood for twenty minutes.")
    (taken,) = marks_of("The oven takes twenty minutes from cold.")
    assert idle["time"] == 1
    assert "time" not in taken


def test_a_figure_is_said_before_of_another_only() -> None:
    again = marks_of("The pump is 7.5 kilowatts. So the fan is 7.5 kilowatts.")
    assert "said before of another" not in again[0]
    assert again[1]["said before of another"] == 1
    same = marks_of("The pump is 7.5 kilowatts. So the pump is 7.5 kilowatts.")
    assert all("said before of another" not in m for m in same)


def test_a_doubt_that_stands_is_kept_and_a_withdrawn_figure_is_left_alone() -> None:
    found = undoubted(
        read_stamped("[0:00] The conveyor is 40 foot by 12. Every day, for thirty years.", "case"), builtin()
    )
    for before, after in zip(found.quantities, doubted(found.quantities, found.tokens, builtin()), strict=True):
        assert before.doubt is None or before.doubt == after.doubt


def test_every_reason_belongs_to_a_mark_with_a_weight_and_none_is_given_below_the_bar() -> None:
    weights = {row["mark"]: row["weight"] for row in builtin()["doubt_weights"]}
    assert weights["always"] < BAR
    assert reason({"opens": 1.0}, builtin()) is None
    heavy = {"time": 1.0, "time of days": 1.0, "was": 1.0, "shifts": 1.0}
    assert sum_of(heavy, weights) >= BAR
    assert reason(heavy, builtin()) == "perhaps a time of people"
