"""A year told with what was put in then, read by the real reader: before the machine was built it cannot have been."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.pipeline.checks.test_spoken import read

OLDER = [
    "This is the roller kiln, built in 1995. In ninety one some chap came over and fitted new controllers to it.",
    "Grain dryer, built in 1994. I had a new burner put in her in eighty-nine, the old one rusted through.",
    "The press was built in 1999. The pump was swapped in eighty eight, they said.",
    "Extruder line, built in 1998. A fella came and put a PLC in in 1996.",
]
NEWER = [
    "This is the roller kiln, built in 1985. In ninety one some chap came over and fitted new controllers to it.",
    "Grain dryer, built in 1984. I had a new burner put in her in eighty-nine, the old one rusted through.",
    "The press was built in 1999. They put in ninety seven new bolts and swapped a pump in eighty eight minutes.",
    "Extruder line, built in 1993. A fella came and put a PLC in in 1996.",
]


@pytest.mark.parametrize("text", OLDER)
def test_caught(text: str, tmp_path: Path) -> None:
    assert "older_than_machine" in {f.rule for f in read(text, tmp_path).findings}


@pytest.mark.parametrize("text", NEWER)
def test_quiet(text: str, tmp_path: Path) -> None:
    assert "older_than_machine" not in {f.rule for f in read(text, tmp_path).findings}
