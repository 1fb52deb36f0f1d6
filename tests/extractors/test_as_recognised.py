"""Words as recognisers write them. The forms were seen in transcripts of our own recordings; no outside source."""

from __future__ import annotations

import pytest

from extractors.extract import extract
from extractors.mentions import Mentions
from extractors.normalise import tokenise
from extractors.words import Transcript, Word
from vocab import builtin


def heard(said: str, *, model: str | None = "stand-in") -> Mentions:
    words = tuple(Word(w, i / 3, i / 3 + 0.3, probability=0.98) for i, w in enumerate(said.split()))
    return extract(Transcript(words, model=model), builtin())


@pytest.mark.parametrize(
    ("said", "figures"),
    [
        ("Main motor is four 60 volts.", [(460, "volt")]),
        ("It came with two 20 volt batteries.", [(20, "volt")]),
        ("The drive has a little 3-quarter horse motor.", [(0.75, "horsepower")]),
        ("There are 3 quarter turn valves on it.", []),
        ("A 7 eighths inch shaft.", [(0.875, "inch")]),
        ("The fans are 7.5 horse-each.", [(7.5, "horsepower")]),
        ("The drive is 483-phase.", [(480, "volt"), (3, "")]),
        ("The two tanks hold 400 gallons a piece.", [(400, "gallon")]),
        ("The burner is 3 million BTU and hour.", [(3e6, "Btu/hour")]),
    ],
)
def test_figures_in_the_writing_of_recognisers(said: str, figures: list[tuple[float, str]]) -> None:
    got = [(q.value, q.unit.replace("btu", "Btu")) for q in heard(said).quantities]
    assert [u for _, u in got] == [u for _, u in figures]
    assert [v for v, _ in got] == pytest.approx([v for v, _ in figures])


def test_phases_joined_to_the_voltage_are_parted_and_told() -> None:
    found = heard("The drive is 463-phase.")
    assert [(r.kind, r.heard, r.read) for r in found.repairs] == [("mishearing", "463", "460 three")]
    assert all(q.doubt for q in found.quantities)


def test_a_person_who_wrote_the_words_is_not_mended() -> None:
    assert not heard("The drive is 483-phase.", model=None).repairs


def test_an_ordinal_with_a_pause_behind_it_is_a_station() -> None:
    said = "First station is the unscrambler. Second is the rinser. Third, we have the filler."
    stations = [(s.number, s.role) for q in heard(said).sequences for s in q.stations]
    assert stations == [(1, "unscrambler"), (2, "rinser"), (3, "filler")]


def test_an_ordinal_that_opens_a_talk_is_no_station() -> None:
    assert not heard("Second, we have to ask the owner. The pump is a fifteen horse.").sequences


@pytest.mark.parametrize(
    ("said", "read"),
    [
        ("The tax says 2011.", "tag"),
        ("The builder's played is gone.", "plate"),
        ("Our meter shows 3,000.", "hour"),
        ("Compartment two is per wash.", "prewash"),
    ],
)
def test_words_of_plates_and_meters(said: str, read: str) -> None:
    assert [r.read for r in heard(said).repairs if r.kind == "mishearing"] == [read]


@pytest.mark.parametrize("said", ["We paid our tax.", "That's our press.", "They played cards.", "20 cents a piece."])
def test_the_same_words_elsewhere_are_left(said: str) -> None:
    assert not [r for r in heard(said).repairs if r.kind == "mishearing"]


@pytest.mark.parametrize(
    ("said", "subject"),
    [
        ("Ten is the dip, and the two quench tanks stand beside it. Those are bigger, 12 foot long.", "tank"),
        ("Full load, 124 amps.", "machine"),
        ("Oils clean, no leaks. Holds 12 gallons.", "oil"),
        ("Measure first. And with the kiln being 36 feet long you need room.", "kiln"),
        ("On the stand are 28 workbars, 13 feet long.", "work bars"),
    ],
)
def test_subjects_behind_the_writing_of_recognisers(said: str, subject: str) -> None:
    (figure,) = heard(said).quantities
    assert subject in figure.subject


def test_a_break_behind_a_full_stop_is_one_end() -> None:
    said = "Maker is gray low. G-R-E-L-L-O-W."
    words = tuple(Word(w, i / 3, i / 3 + 0.3) for i, w in enumerate(said.split()))
    tokens, _ = tokenise(Transcript(words, model="stand-in", breaks=(4,)), builtin())
    assert [t.sentence for t in tokens] == [0, 0, 0, 0, 1]


def test_a_figure_taken_back_that_was_one_word_with_its_unit() -> None:
    found = heard("The header is a 6 inch pipe. The dryers are gas. I said 6-inch, it's 4, I just measured it.")
    said = {(q.value, q.unit, q.status == "withdrawn") for q in found.quantities}
    assert said == {(6, "inch", True), (4, "inch", False)}
