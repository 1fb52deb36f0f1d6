"""Short scenes by people who had not seen the readers or checks: what is reached of them today must not be lost again.

One folder an area; a gold holds only the keys of its area, and golds were written before any reading. Since then they
were learned from, so the floors guard what was reached and promise nothing for other talk.
"""

from __future__ import annotations

import json
import re
import sys
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
sys.path.append(str(ROOT / "tools"))
evaluate = pytest.importorskip("evaluate")

SCENES = ROOT / "tests" / "cases" / "scenes"
FLOORS: dict[str, dict[str, float]] = {
    "components": {"stations": 0.93, "components": 0.77, "counts": 0.67, "identity": 0.73},
    "dispositions": {"components": 0.87, "counts": 0.79, "dispositions": 0.61},
    "plant": {"figures": 0.87, "filed": 0.83, "with subject": 0.62},
    "stations": {"stations": 0.90, "stated counts": 0.82, "identity": 0.76},
    "subjects": {"figures": 0.89, "filed": 0.86, "with subject": 0.74},
    "take": {
        "figures": 0.80,
        "filed": 0.76,
        "with subject": 0.62,
        "unmarked right": 0.83,
        "stations": 0.83,
        "take-backs": 0.59,
    },  # the first half was learned from (take-backs 0.27 -> 0.80), of the second only a little (0.13 -> 0.34)
}
"""Floors of the rows of tools/evaluate.py that the golds of an area hold.

components, 2026-11-26: 48 scenes of things, stations and identity; only the first half was learned from (components
0.71 to 0.75, counts 80 to 100 of 153, stations 0.57 to 0.88, identity 79 to 109 of 133); the second, not learned from:
0.74 to 0.76, 75 to 82 of 143, 0.79, 80 to 88 of 144.

stations, 2026-11-27: 40 scenes of stations and identity, written before the readers were read. Stations of the first
half 0.80 at first, 0.97 after it was learned from; of the second 0.66, 0.73 after the first half alone, 0.86 after its
ways of speaking were learned from as well. Stated counts 9 to 11 of 12, 11 to 12 of 15. Identity 38 to 52 of 60;
31, 37 after the first half alone, 44 of 61.

subjects: 48 scenes, with subject 0.66 and 0.61 at first; the first half was learned from on 2026-11-26 (0.75; the
second 0.67 then), the second on 2026-11-27 (figures 0.91, with subject 0.74).
dispositions, 2026-11-26: 312 fates of things in 48 scenes; the first half read first 62 of 157, then 108 after it was
learned from; the second, not learned from, 54 of 155, then 60; learned from as well, 90, and the second half of
the components 97 of 143 counts. People say more than this.
"""
PLANTED: dict[str, tuple[int, int]] = {"plant": (47, 3)}
"""Of an area whose golds list planted errors: how many are found at least, and false conflicts and checks at most.

plant, 2026-11-26: 51 planted in 56 scenes; the first half read first 5 of 24, the second 1 of 27 (2 after the first
half was learned from); 49 after both, with 2 false ones."""


def _read(area: str) -> list[tuple[dict[str, Any], Any]]:
    golds = sorted((SCENES / area).glob("*.gold.json"))
    texts = [path.with_name(path.name.replace(".gold.json", ".txt")) for path in golds]
    return [(json.loads(p.read_text(encoding="utf-8")), evaluate.read(t)) for p, t in zip(golds, texts, strict=True)]


@pytest.fixture(scope="module")
def walks() -> dict[str, list[tuple[dict[str, Any], Any]]]:
    """Gold and walk of each scene, by area."""
    return {area: _read(area) for area in sorted({*FLOORS, *PLANTED})}


@pytest.mark.parametrize("area", sorted(FLOORS))
def test_what_was_reached_is_kept(area: str, walks: dict[str, list[tuple[dict[str, Any], Any]]]) -> None:
    total: Counter[tuple[str, str]] = sum((evaluate.score(*pair) for pair in walks[area]), Counter())
    reached = {row: evaluate.cell(total, row) for row in FLOORS[area]}
    assert not {row: value for row, value in reached.items() if float(value) < FLOORS[area][row]}


@pytest.mark.parametrize("area", sorted(PLANTED))
def test_planted_errors_are_found(area: str, walks: dict[str, list[tuple[dict[str, Any], Any]]]) -> None:
    missed, alarms = [], []
    for gold, walk in walks[area]:
        asked = [f for f in walk.findings if f.level in ("conflict", "check")]
        texts = {f.id: _plain(f"{f.message} {f.rule}") for f in asked}
        used = set()
        for error in gold.get("planted", []):
            hits = {i for i, t in texts.items() if any(all(_plain(w) in t for w in ws) for ws in error["about"])}
            used |= hits
            missed += [] if hits else [error["what"]]
        alarms += [f.message for f in asked if f.id not in used]
    found, most = PLANTED[area]
    planted = sum(len(gold.get("planted", [])) for gold, _ in walks[area])
    assert planted - len(missed) >= found, missed
    assert len(alarms) <= most, alarms


def _plain(text: str) -> str:
    """Lower case between spaces, figures without thousands, all other marks as spaces."""
    flat = re.sub(r"(?<=\d),(?=\d{3})", "", text.lower().replace("_", " "))
    return f" {' '.join(re.sub(r'[^a-z0-9.]+', ' ', flat).replace('. ', ' ').strip('.').split())} "
