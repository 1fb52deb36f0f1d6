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
    ],
)
def test_figures_not_found(said: str, heard: str, missed: int, lost: int) -> None:
    found = figures.score(said, heard)
    assert (len(found.missed), found.lost) == (missed, lost)
