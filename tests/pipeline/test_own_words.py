"""A user's own vocabulary: what it adds is read, and errors in it name the row and the remedy."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from pipeline.errors import NotFound, VocabularyError
from pipeline.run import load_vocabulary, read_words
from pipeline.settings import Settings
from pipeline.timed_text import read_stamped
from pipeline.walk import Source

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")


def test_the_readmes_example_is_read(tmp_path: Path) -> None:
    lines = README.splitlines()
    first = lines.index("    [[units]]")
    block = [line for line in lines[first : first + 12] if line.startswith("    ") or not line]
    own = tmp_path / "own.toml"
    own.write_text("\n".join(line[4:] for line in block))
    vocabulary = load_vocabulary(Settings(vocab=own))
    transcript = read_stamped("[0:00] The hopper holds twelve pecks. Here's the pin conveyor, that stays.", "x")
    walk = read_words(transcript, vocabulary, Source("x", "0" * 64, "transcript", 5.0), date(2026, 11, 25))
    assert any(q.value == 12 and q.unit == "peck" and q.property == "volume" for q in walk.active)
    assert any("pin conveyor" in c.name and c.disposition == "excluded" for c in walk.present)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("[[units]]\nspoken = ['blip']\npint = '9**9**9'\ndimension = 'volume'\n", "blip"),
        ("[[units]]\nspoken = ['blip']\npint = 'blipunit'\ndimension = 'volume'\n", "blipunit"),
        ("[[units]]\nspoken = 'blip'\npint = 'foot'\ndimension = 'length'\n", "'spoken' must be texts"),
        ("[[units]]\nspoken = ['blip']\n", "'pint' is missing"),
        ("[[unit]]\nspoken = ['blip']\n", "no table 'unit'"),
        ("[units]\nspoken = ['blip']\n", "two brackets"),
        ("[[units]]\nspoken = ['x', 'inches']\npint = 'foot'\ndimension = 'length'\n", "'inches' is claimed"),
        ("[[units]\n", "line 1"),
    ],
)
def test_an_error_names_the_row_and_what_to_do(tmp_path: Path, text: str, told: str) -> None:
    own = tmp_path / "own.toml"
    own.write_text(text)
    with pytest.raises(VocabularyError) as error:
        load_vocabulary(Settings(vocab=own))
    assert told in str(error.value)
    assert "own.toml" in str(error.value)


def test_a_missing_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(NotFound):
        load_vocabulary(Settings(vocab=tmp_path / "none.toml"))
