"""vocab/unsuited.toml is compared with names in the singular: a word in the plural would never be met."""

from __future__ import annotations

import pytest

from extractors.phrases import singular
from vocab import Row, builtin


@pytest.mark.parametrize("row", builtin()["unsuited"].rows, ids=lambda row: row["properties"][0])
def test_words_are_in_the_singular(row: Row) -> None:
    plural = [w for w in row["words"] if singular(w.split()[-1]) != w.split()[-1]]
    assert not plural


@pytest.mark.parametrize("row", builtin()["unsuited"].rows, ids=lambda row: row["properties"][0])
def test_no_word_stands_twice(row: Row) -> None:
    assert len(set(row["words"])) == len(row["words"])
