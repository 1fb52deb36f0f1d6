"""Positions against load carriers, read by the real reader: asked only where one each and all of them were said."""

from __future__ import annotations

from pathlib import Path

import pytest

from pipeline.checks.wording import WITHIN
from tests.pipeline.checks.test_spoken import read

RULE = "positions_and_carriers"
ASKED = [
    ("The hoist line has twenty four positions, one bar to each position. Eighteen flight bars in all.", "24", "18"),
    ("There are thirty slots in the magazine and each slot takes one tray. Twenty two trays in total.", "30", "22"),
    ("Sixteen stations round the carousel. One pallet per station, twelve pallets altogether.", "16", "12"),
    ("It's forty places on the wheel, a basket for every place. Thirty baskets, that's the lot.", "40", "30"),
    ("Twelve tanks, every tank holds one rack. Nine racks in all go with it.", "12", "9"),
    ("36 positions on the line, one carrier each. 28 carriers all told.", "36", "28"),
]
QUIET = [
    "The hoist line has twenty four positions, one bar to each position. Twenty four flight bars in all.",
    "The line has twenty four positions, one bar to each. Eighteen flight bars in all, the loading positions are free.",
    "There are thirty slots in the magazine and each slot takes one tray. Twenty two trays are here.",
    "Sixteen stations on the carousel, fifteen pallets in all, one pallet per station.",
    "Twenty four positions, one bar to each position. Thirty flight bars in all.",
    "Twenty four tanks on the line. There are eighteen racks in all.",
    "Twelve tanks, one heater in each tank, nine racks in all.",
    "Twenty four positions, one bar to each. Eighteen bars in all, six more are away at the shop.",
    "Thirty positions with two bars to each position, eighteen bars in all.",
]


@pytest.mark.parametrize(("said", "places", "carriers"), ASKED)
def test_asked(said: str, places: str, carriers: str, tmp_path: Path) -> None:
    found = [f for f in read(f"This is the line.\n{said}", tmp_path).findings if f.rule == RULE]
    assert [f.level for f in found] == ["check"]
    assert places in found[0].message
    assert carriers in found[0].message


@pytest.mark.parametrize("said", QUIET)
def test_quiet(said: str, tmp_path: Path) -> None:
    assert not [f.message for f in read(f"This is the line.\n{said}", tmp_path).findings if f.rule == RULE]


def test_agreement_is_listed(tmp_path: Path) -> None:
    walk = read(f"This is the line.\n{QUIET[0]}", tmp_path)
    assert [c.outcome.split(":")[0] for c in walk.checked if c.rule == RULE] == [WITHIN]


def test_what_bears_on_fitness_says_so_once(tmp_path: Path) -> None:
    walk = read("This is the press.\nThe bridge crane is rated five tons, and the heaviest die is four tons.", tmp_path)
    told = [c.outcome for c in walk.checked if c.rule == "crane_against_load"]
    assert told == ["within its limit: figures agree; fitness not examined"]
