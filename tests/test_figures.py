"""The count of figures not found: worked by hand."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parents[1] / "tools"))
figures = pytest.importorskip("figures")


@pytest.mark.parametrize(
    ("said", "heard", "missed", "lost"),
    [
        ("four hundred and eighty volts", "480 volts", 0, 0),
        ("four hundred eighty volt three phase", "480 bolt free phase", 1, 0),
        ("it is thirty one feet long", "it is feet long", 1, 1),
        ("nothing to count here", "nothing to count here", 0, 0),
        ("two pumps", "", 1, 2),
        ("it is ten twenty on a Tuesday", "it is 10.20 on a Tuesday", 0, 0),
        ("it is fourteen thirty, I am here", "it is 14.30, I am here", 0, 0),
        ("it's twelve oh five.", "it's 12:05.", 0, 0),
        ("we came at nine forty in the morning", "we came at 9.40 in the morning", 0, 0),
        ("it is ten twenty on a Tuesday", "it is 10.30 on a Tuesday", 1, 0),
        ("it is ten twenty on a Tuesday, and ten point two oh bar", "it is 10.20 on a Tuesday, and 1,022 bar", 1, 0),
        ("it is two fifty, maybe", "it is 2.50, maybe", 1, 0),
        ("it is ten fifty pounds", "it is 10.50 pounds", 1, 0),
        ("the oven's at ten fifty", "the oven's at 10.50", 1, 0),
    ],
)
def test_figures_not_found(said: str, heard: str, missed: int, lost: int) -> None:
    found = figures.score(said, heard)
    assert (len(found.missed), found.lost) == (missed, lost)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("thirty and a half inches", "30 and a half inches"),
        ("thirty and a half inches", "30 1/2 inches"),
        ("thirty and a half inches", "30½ inches"),
        ("two and three quarters", "2-3/4"),
        ("six and a quarter", "6 1/4"),
        ("seven hundred and eighty", "700 and 80"),
        ("two thousand one hundred and five", "2,100 and 5"),
        ("half inch pipe", "1/2 inch pipe"),
        ("a three quarter inch line", "a 3 quarter inch line"),
        ("a Torvanne, T-O-R-V-A-N-N-E, the", "a Torvanne, TORVANNE. The"),
        ("spelled k r o v e r", "spelled k r o v e r"),
        ("it is K. R. O. V. E. R.", "it is K-R-O-V-E-R"),
        ("no, five hundred, five hundred cfm", "No 500, 500 CFM"),
        ("an oh-six model", "an O-6 model"),
        ("an oh-six model", "an '06 model"),
        ("point six inch", "0.6 inch"),
        ("stage one to a hundred and forty", "stage 1 to 140"),
    ],
)
def test_one_number_in_two_writings_is_one_figure(one: str, other: str) -> None:
    assert figures.plain(one) == figures.plain(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("thirty and a half", "thirty"),
        ("seven hundred and eighty", "seven hundred and eighteen"),
        ("ten twenty", "10.20"),
        ("seven hundred and eighty", "700 80"),
        ("four and five", "9"),
        ("one hundred and two hundred", "300"),
        ("500 and 1,200", "1,700"),
        ("five hundred, five hundred", "500"),
        ("T-O-R-V-A-N-N-E", "T-O-R-V-A-N-E"),
        ("a hundred and five", "a hundred and fifty"),
        ("point oh six", "0.6"),
    ],
)
def test_other_numbers_stay_other_numbers(one: str, other: str) -> None:
    assert figures.plain(one) != figures.plain(other)
