"""Units heard as others. Supply voltages: IEC 60038 and ANSI C84.1; ton and tonne as homophones: any dictionary."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extractors.extract import extract
from extractors.mentions import Mentions
from extractors.words import Transcript, Word
from vocab import builtin

METRIC = "The tank is 4 metres long, 2 metres wide, 600 litres, at 6 bar."
BRITISH = "It is 4 metres long, 2 metres wide, 600 litres, at 6 bar, 12 inches by 10 inches, 90 psi, 40 foot up."


def heard(said: str, *, probability: float = 0.6, model: str | None = "stand-in") -> Mentions:
    words = tuple(Word(w, i / 3, i / 3 + 0.3, probability=probability) for i, w in enumerate(said.split()))
    return extract(Transcript(words, model=model), builtin())


def last(mentions: Mentions) -> tuple[float, str]:
    q = max(mentions.quantities, key=lambda q: q.span)
    return q.value, q.unit


@pytest.mark.parametrize(
    ("said", "read"),
    [
        (f"{METRIC} It weighs 14 tons.", (14, "tonne")),
        ("The drum is 1.2 liters in diameter.", (1.2, "metre")),
        ("The drum holds 6,000 meters.", (6000, "litre")),
        ("The dew point is 2.38 Fahrenheit.", (38, "degF")),
        ("The fan is 25 horse, for 60 volts.", (460, "volt")),
        ("The main is 4.80 volts.", (480, "volt")),
        ("The plate is 1-12 inches thick.", (1.5, "inch")),
        ("The main motor is a 2-50 horse.", (250, "horsepower")),
        ("It is 40 foot long, 20 inches wide, 90 psi, 400 gallons, 20 tonne.", (20, "ton")),
    ],
)
def test_read_by_what_stands_around(said: str, read: tuple[float, str]) -> None:
    found = heard(said)
    assert last(found) == read
    figure = max(found.quantities, key=lambda q: q.span)
    assert figure.doubt
    assert figure.doubt.startswith("heard as")
    assert [r.kind for r in found.repairs] == ["mishearing"]
    assert not heard(said, model=None).repairs


@pytest.mark.parametrize(
    ("said", "read"),
    [
        ("It weighs 14 tons, the belt is 30 inches and 40 foot long.", (40, "foot")),
        (f"{METRIC} It is a 20 ton chiller.", (20, "ton_of_refrigeration")),
        ("The reel holds 30 meters of hose.", (30, "metre")),
        ("The heater works on 50 or 60 volts.", (60, "volt")),
        ("The pumps are 5-10 horse.", (5, "horsepower")),
        ("The valve opens at 2.38 bar.", (2.38, "bar")),
        ("The lamp takes 4.8 volts.", (4.8, "volt")),
    ],
)
def test_left_alone(said: str, read: tuple[float, str]) -> None:
    found = heard(said)
    assert not [r for r in found.repairs if r.kind == "mishearing"]
    assert last(found) == read


def test_a_ton_of_a_speaker_who_mixes_is_marked() -> None:
    figure = max(heard(f"{BRITISH} It weighs 14 tons.", probability=0.98).quantities, key=lambda q: q.span)
    assert (figure.unit, figure.doubt) == ("ton", "ton and tonne sound the same")


def test_a_unit_of_the_second_hearing_is_taken_where_the_figure_is_the_same() -> None:
    words = [Word(w, i / 3, i / 3 + 0.3, 0.9) for i, w in enumerate("The motor draws 124N, at full load.".split())]
    assert not heard("The motor draws 124N, at full load.").quantities
    words[3] = replace(words[3], alternatives=("124 amps,",))
    (current,) = extract(Transcript(tuple(words), model="stand-in"), builtin()).quantities
    assert (current.value, current.unit, current.doubt) == (124, "ampere", "heard as '124N'")
    words[3] = replace(words[3], alternatives=("142 amps,",))
    assert not extract(Transcript(tuple(words), model="stand-in"), builtin()).quantities


@given(
    st.integers(1, 400),
    st.sampled_from(["metres", "litres", "tons", "volts", "bar", "kilos"]),
    st.sampled_from(["long", "of water", ""]),
)
def test_no_figure_is_lost(value: int, unit: str, behind: str) -> None:
    found = heard(f"It is {value} {unit} {behind}.")
    assert value in [q.value for q in found.quantities]
