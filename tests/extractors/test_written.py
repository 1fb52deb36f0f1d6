"""Figures as recognisers and people write them. The forms were seen in transcripts of our own recordings; the
supply voltages are those of IEC 60038 and ANSI C84.1; else common practice, no source."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extractors.extract import extract
from extractors.mentions import Mentions
from extractors.normalise import tokenise
from extractors.words import Transcript, Word
from extractors.written import VOLTS, apart
from vocab import builtin


def heard(said: str) -> Mentions:
    words = tuple(Word(w, i / 3, i / 3 + 0.3) for i, w in enumerate(said.split()))
    return extract(Transcript(words), builtin())


@pytest.mark.parametrize(
    ("said", "figures"),
    [
        ("The main drive is 4-60 volts, 3-phase.", [(460, "volt"), (3, "")]),
        ("The fan pulls 4-60 watts.", [(4, "watt")]),  # a span where the unit is no voltage's
        ("The tank holds $1,200 gallons.", [(1200, "gallon")]),
        ("It's $1,600 pounds empty.", [(1600, "pound")]),
        ("It runs at 90 P.S.I. and 120 PSI.", [(90, "psi"), (120, "psi")]),
        ("The air is 90 PS I.", [(90, "psi")]),
        ('The blower does 1,200 C.F.M. at 6" w.c.', [(1200, "foot**3/minute"), (6, "inch_H2O")]),
        ("The former does 40 parts/hr.", [(40, "1/hour")]),
        ("The boiler makes 5,000 lbs./hr. of steam.", [(5000, "pound/hour")]),
        ("The frame is 8-foot-6 wide and 4-foot-3 high.", [(8.5, "foot"), (4.25, "foot")]),
        ("Flow is 250 gallons-a-minute.", [(250, "gallon/minute")]),
        ("The belt does 8 feet-per-minute.", [(8, "foot/minute")]),
        ("The motor is one hundred 50 horse.", [(150, "horsepower")]),
        ("The plate is 1 and 1 half inches thick.", [(1.5, "inch")]),
        ("There are 2 x 50 kW heaters.", [(50, "kilowatt")]),
        ("The air is sixbar at the valve.", [(6, "bar")]),
        ("It's a 50. 50 horse motor.", [(50, "horsepower")]),
        ("The saw runs on 480. Volts, three phase.", [(480, "volt"), (3, "")]),
        ("Power is 480V/3-phase/60Hz.", [(480, "volt"), (3, ""), (60, "hertz")]),
        ("Power is 480/3/60.", [(480, "volt"), (3, ""), (60, "hertz")]),
        ("The belt is 30-odd feet long.", [(30, "foot")]),
        ("The plate is 2.5-in. thick.", [(2.5, "inch")]),
        ("The bed is 6 foot, 2 inches.", [(6 + 2 / 12, "foot")]),
        ("The bed is 10 foot long, 2 inches thick.", [(10, "foot"), (2, "inch")]),
        ("The door is 8-1/2' wide.", [(8.5, "foot")]),
    ],
)
def test_figures(said: str, figures: list[tuple[float, str]]) -> None:
    got = [(q.value, q.unit) for q in heard(said).quantities]
    assert [u for _, u in got] == [u for _, u in figures]
    assert [v for v, _ in got] == pytest.approx([v for v, _ in figures])


@pytest.mark.parametrize("said", ["Made in nineteen 96.", "It was built in 19 96.", "The year is 1996."])
def test_years_in_two_pieces(said: str) -> None:
    assert [i.value for i in heard(said).identity if i.field == "year"] == [1996]


def test_a_figure_said_twice_is_no_year() -> None:
    assert not heard("It's a 50. 50 horse motor.").identity


def test_a_dollar_sign_on_a_price_stays() -> None:
    assert not [q for q in heard("He wants $1,200 for it.").quantities if q.property != "price"]


@pytest.mark.parametrize(
    "said", ["Station no. 3 is the rinse. No. 4 is the etch.", "Station 3 is the rinse. No. 4 is the etch."]
)
def test_no_with_a_full_stop_is_number(said: str) -> None:
    assert [(s.number, s.role) for q in heard(said).sequences for s in q.stations] == [(3, "rinse"), (4, "etch")]


def test_no_behind_a_figure_still_takes_back() -> None:
    (flow,) = (q for q in heard("Flow is 300 CFM. No. 500. 500 CFM.").quantities if q.status != "withdrawn")
    assert flow.value == 500


def test_a_run_of_stations_written_as_one_figure() -> None:
    said = "Stations 4.567 and 8 are print units."
    assert [s.number for q in heard(said).sequences for s in q.stations] == [4, 5, 6, 7, 8]
    assert not heard("The ratio is 4.567 and 8 bolts hold it.").sequences


@given(st.sampled_from(sorted(VOLTS)), st.sampled_from(["volts", "volt", "V", ""]))
def test_any_parted_supply_voltage_is_whole(volts: int, unit: str) -> None:
    digits = str(volts)
    said = f"It is {digits[0]}-{digits[1:]} {unit}, three phase."
    values = [q.value for q in heard(said).quantities]
    if digits[1:] != "00":  # "4-00" is no span to the reader and is written by nobody
        assert values == [volts, 3]


@given(st.text(max_size=12))
def test_any_word_is_taken_apart_or_left(core: str) -> None:
    pieces = apart(core, frozenset({"psi", "gallons", "foot"})) if core else None
    assert pieces is None or all(pieces)


@given(
    st.lists(
        st.sampled_from(
            "4-60 $1,200 gallons no. 3 x 50 kW P.S.I. 19 96 one hundred and 1 half in 4.567 8 PS I".split()
        ),
        max_size=9,
    )
)
def test_no_mixture_crashes_and_words_keep_their_order(words: list[str]) -> None:
    timed = tuple(Word(w, i, i + 0.5) for i, w in enumerate(words))
    tokens, _ = tokenise(Transcript(timed), builtin())
    places = [t.word for t in tokens]
    assert places == sorted(places)
    assert all(0 <= p < len(words) for p in places)
