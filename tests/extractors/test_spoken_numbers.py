"""Numbers to words and back over the whole range, and the ways of talking shop."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extractors.normalise import tokenise
from extractors.spoken_numbers import find_numbers
from extractors.words import Transcript, Word
from tests.extractors.said_numbers import pair, words
from vocab import builtin


def values(text: str) -> list[float]:
    said = tuple(Word(w, i / 3, (i + 1) / 3) for i, w in enumerate(text.split()))
    tokens, _ = tokenise(Transcript(said), builtin())
    return [n.value for n in find_numbers(tokens, builtin())]


@settings(max_examples=300, deadline=None)
@given(st.integers(0, 999_999_999_999), st.sampled_from(("", "and")))
def test_whole_numbers_come_back(n: int, joined: str) -> None:
    assert values(words(n, joined=joined)) == [n]


@settings(max_examples=150, deadline=None)
@given(st.integers(0, 9_999_999))
def test_digits_come_back_with_and_without_commas(n: int) -> None:
    assert values(f"{n} psi") == values(f"{n:,} psi") == [n]


@settings(max_examples=150, deadline=None)
@given(st.integers(101, 9999))
def test_pairs_come_back(n: int) -> None:
    said = pair(n)
    if said is not None:
        assert values(f"{said} volts") == [n], said


@settings(max_examples=100, deadline=None)
@given(st.integers(0, 999), st.integers(0, 99))
def test_decimals_come_back(whole: int, part: int) -> None:
    digits = f"{part:02d}"
    said = f"{words(whole)} point {' '.join(words(int(d)) for d in digits)}"
    assert values(said) == [float(f"{whole}.{digits}")]


# said, meant: common practice of the trade, no source
SHOP = [
    ("two and a half", [2.5]), ("seven and three quarters", [7.75]), ("three eighths", [0.375]), ("half a dozen", [6]),
    ("twenty-two hundred", [2200]), ("three oh four", [304]), ("one point two million", [1_200_000]),
    ("a hundred and ten", [110]), ("five and five eighths", [5.625]), ("12 1/2", [12.5]), ("5/8", [0.625]),
    ("two twenty-five amps", [225]), ("point oh five", [0.05]), ("a couple hundred", [200]),
    ("twenty five hundred", [2500]),
    ("a million and a half", [1_500_000]), ("two million and a quarter", [2_250_000]),
    ("a dozen and a half", [18]), ("a hundred and a half", [100.5]),
    ("one and a half million", [1_500_000]), ("nineteen ninety six", [1996]), ("half a million", [500_000]),
]  # fmt: skip


@pytest.mark.parametrize(("said", "meant"), SHOP)
def test_shop_talk(said: str, meant: list[float]) -> None:
    assert values(said) == pytest.approx(meant)


@pytest.mark.parametrize("said", ["for the oven", "to the left", "won the bid", "the second hand", "a pump"])
def test_words_that_only_sound_like_numbers(said: str) -> None:
    tokens = [v for v in values(said) if v != 2]  # "second" is the ordinal
    assert tokens == []
