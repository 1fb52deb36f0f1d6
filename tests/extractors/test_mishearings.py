"""Mishearings of the table: what is mended, and the same words where they mean what they say. Forms were seen in
transcripts of our own recordings or are homophones of any dictionary; no outside source."""

from __future__ import annotations

import pytest

from extractors.extract import extract
from extractors.mentions import Mentions
from extractors.words import Transcript, Word
from vocab import builtin


def heard(said: str, *, probability: float = 0.6, model: str | None = "stand-in") -> Mentions:
    words = tuple(Word(w, i / 3, i / 3 + 0.3, probability=probability) for i, w in enumerate(said.split()))
    return extract(Transcript(words, model=model), builtin())


def mended(said: str, *, probability: float = 0.6, model: str | None = "stand-in") -> list[tuple[str, str]]:
    found = heard(said, probability=probability, model=model).repairs
    return [(r.heard, r.read) for r in found if r.kind == "mishearing"]


CAUGHT = [
    ("The drive has a 5 force motor.", ("force", "horse")),
    ("The air is at 125 sides, about.", ("sides", "psi")),
    ("It pulls 40 aunts at full load.", ("aunts", "amps")),
    ("It runs 60 inches a minute, no weight, 60 feet a minute.", ("weight", "wait")),
    ("The boiler is on higher.", ("higher", "hire")),
    ("The forklifts are on higher, so they stay.", ("higher", "hire")),
    ("The heater is part of the sail.", ("sail", "sale")),
    ("There are two feet pumps.", ("feet", "feed")),
    ("Two hoists at 3.2 tons of piece.", ("of piece", "apiece")),
    ("Three spare dyes go with it.", ("dyes", "dies")),
    ("It runs at 180 degrees see.", ("degrees see", "degrees celsius")),
    ("The plate says cereal number 4471.", ("cereal", "serial")),
    ("It has a waist water tank.", ("waist", "waste")),
    ("The tank is 12 feed long.", ("feed", "feet")),
    ("The tank is 8 feet deep, sory, 9 feet.", ("sory", "sorry")),
    ("The supply is 3 veins.", ("veins", "phase")),
    ("The parts washer isn't hours.", ("hours", "ours")),
    ("The regulator gives 5 side down to the burner.", ("side", "psi")),
    ("The fan has a 20 wars motor.", ("wars", "horse")),
    ("There's a press break in the corner.", ("break", "brake")),
    ("The check layer stays.", ("check layer", "checkweigher")),
    ("The burner van is noisy.", ("van", "fan")),
    ("The crane is the landlords.", ("the landlords", "the landlord's")),
]


@pytest.mark.parametrize(("said", "repair"), CAUGHT)
def test_caught(said: str, repair: tuple[str, str]) -> None:
    assert mended(said) == [repair]
    assert not mended(said, model=None)  # a person wrote these words


@pytest.mark.parametrize(
    "said",
    [
        "It has guards on 2 sides.",
        "It has guards on 12 sides.",
        "There's no weight on it.",
        "I see no weight, there's no plate.",
        "The racking stands on higher ground.",
        "The sail switch is broken.",
        "It's a twelve feet conveyor.",
        "The dyes are in the next room.",
        "Next door is the cereal line.",
        "The waist of the hopper is worn.",
        "It is a piece of scrap.",
        "The feed is 12 long.",
        "There are meter runs of pipe across.",
        "It runs 20 hours.",
        "There are 4 side panels.",
        "One side is rusty.",
        "The press has a break in the frame.",
        "He came in a van.",
        "We asked the landlords.",
        "The noise is the buildings next door.",
    ],
)
def test_the_same_words_elsewhere_are_left(said: str) -> None:
    assert not mended(said, probability=0.97)


def test_a_sure_word_is_not_mended_where_the_row_asks_for_an_unsure_one() -> None:
    assert mended("The tray takes 50 sides.", probability=0.97) == []
    assert mended("The tray takes 50 sides.", probability=0.4) == [("sides", "psi")]


def test_a_mended_figure_keeps_its_doubt_and_its_words() -> None:
    found = heard("The drive has a 5 force motor.")
    (power,) = found.quantities
    assert (power.value, power.unit, power.doubt) == (5, "horsepower", "heard as 'force'")
