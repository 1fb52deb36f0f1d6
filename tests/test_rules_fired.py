"""What tools/rules_fired.py counts, on two narrations of three lines."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parents[1] / "tools"))
rules_fired = pytest.importorskip("rules_fired")

TWO = """
[[narration]]
text = '''
This is the rinse line, built in 1998, made by Ostrander Vale.
Tank one is ten feet long, four feet wide and four feet deep, and the sheet says it holds twenty one hundred gallons.
'''
[[narration]]
planted = []
"""


def test_counts_asked_and_compared_and_names_the_idle(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "cases.toml").write_text(TWO, encoding="utf-8")
    agrees = (
        "[0:00] Tank one is ten feet long, four feet wide and four feet deep, and it holds eleven hundred gallons.\n"
    )
    (tmp_path / "agrees.txt").write_text(agrees, encoding="utf-8")
    walked, counts = rules_fired.tally(rules_fired.walks([tmp_path]))
    assert walked == 2  # one has no text
    assert [counts["volume_from_sizes", c] for c in rules_fired.COLUMNS] == [1, 1, 1, 0]
    idle = rules_fired.idle(counts)
    assert "gas_use" in idle
    assert "volume_from_sizes" not in idle
    rules_fired.main("--never", str(tmp_path))
    told = capsys.readouterr().out
    assert told.startswith(
        f"2 narrations, {len(rules_fired.RULES) + len(rules_fired.WIDE) + len(rules_fired.LATER)} rules, "
        f"{len(idle)} looked"
    )
    assert told.count("\n") == 1


def test_nothing_to_read(tmp_path: Path) -> None:
    with pytest.raises(SystemExit, match="no narration there"):
        rules_fired.main(str(tmp_path))
