"""Words of both sides of the Atlantic as one, and those left alone that are written with s on both."""

from __future__ import annotations

import pytest

from extractors.phrases import spelling


@pytest.mark.parametrize(
    ("word", "one"),
    [("galvanised", "galvanized"), ("Pasteuriser", "pasteurizer"), ("sterilising", "sterilizing"), ("colour", "color")],
)
def test_one_spelling_for_both_sides_of_the_atlantic(word: str, one: str) -> None:
    assert spelling(word) == one


@pytest.mark.parametrize(
    "word", "likewise otherwise clockwise promised premises precise exercised supervised revised noise raised".split()
)
def test_words_with_s_on_both_sides_stay_as_they_are(word: str) -> None:
    assert spelling(word) == word
