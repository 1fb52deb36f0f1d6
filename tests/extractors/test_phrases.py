"""Words of both sides of the Atlantic as one, and those left alone that are written with s on both."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extractors.phrases import Atom, sentence_bounds, spelling


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


@given(st.lists(st.integers(1, 60), min_size=1, max_size=8), st.data())
def test_the_bounds_of_a_sentence_are_those_of_its_number(lengths: list[int], data: st.DataObject) -> None:
    numbers = [n for n, length in enumerate(lengths) for _ in range(length)]
    atoms = tuple(Atom("x", "x", k, n, "", False, False) for k, n in enumerate(numbers))
    i = data.draw(st.integers(0, len(atoms) - 1))
    first = numbers.index(numbers[i])
    assert sentence_bounds(atoms, i) == (first, first + lengths[numbers[i]])
