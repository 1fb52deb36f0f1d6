"""Units that a second clause, built like the first, leaves out. Expectations are the plain sense of the sentences."""

from __future__ import annotations

import pytest

from extractors.extract import extract
from extractors.words import Transcript, Word
from vocab import builtin


def figures(text: str) -> list[tuple[float, str, bool]]:
    """Value, unit, and whether it is doubted, of each figure in order."""
    words = tuple(Word(w, i * 0.4, i * 0.4 + 0.3) for i, w in enumerate(text.split()))
    read = extract(Transcript(words, duration=words[-1].end), builtin()).quantities
    return [(q.value, q.unit, (q.doubt or "").endswith("not said")) for q in sorted(read, key=lambda q: q.span)]


@pytest.mark.parametrize(
    ("text", "units"),
    [
        ("Number one press has eighteen thousand hours, number two has twenty one thousand.", [18000, 21000]),
        ("Stage one is at a hundred and forty Fahrenheit, stage three at one twenty.", [140, 120]),
        ("The left dryer holds four hundred pounds and the right one holds three fifty.", [400, 350]),
        ("Ten horse apiece on the long ones and seven and a half on the short ones.", [10, 7.5]),
    ],
)
def test_a_clause_built_like_the_one_before_has_its_unit(text: str, units: list[float]) -> None:
    read = figures(text)
    assert [value for value, _, _ in read] == units
    assert len({unit for _, unit, _ in read}) == 1
    assert not any(doubted for _, _, doubted in read)


def test_a_bare_row_of_sizes_takes_the_unit_of_the_row_before_and_says_so() -> None:
    read = figures("The bolster is thirty inches by thirty inches. Platens are forty by forty four, four bars.")
    assert read == [(30, "inch", False), (30, "inch", False), (40, "inch", True), (44, "inch", True)]


@pytest.mark.parametrize(
    "text",
    [
        "The pump has five horse, and the frame has four legs.",
        "The tank holds four hundred gallons and the other has three agitators.",
        "The door is four foot by six. There's two by four framing in it.",
        "Tank one is at a hundred and forty Fahrenheit, tank two has five coils.",
    ],
)
def test_what_counts_things_takes_no_unit(text: str) -> None:
    assert not any(value in (2, 3, 5) and unit != "horsepower" for value, unit, _ in figures(text))
