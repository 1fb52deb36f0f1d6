"""Every unit of the table measures what its row says, is said back and forth, and beats pint's own misreadings."""

from __future__ import annotations

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extractors.normalise import tokenise
from extractors.quantities import find_measures
from extractors.units import convert, dimensionality, known
from extractors.words import Transcript, Word
from tests.extractors.said_numbers import words
from vocab import builtin

ROWS = [row for row in builtin()["units"] if row["dimension"] != "money"]
# one unit of each dimension, by the SI brochure (9th edition) and NIST SP 811
REFERENCE = {
    "length": "metre", "area": "metre**2", "volume": "metre**3", "time": "second", "mass": "kilogram",
    "temperature": "kelvin", "pressure": "pascal", "flow": "metre**3/second", "speed": "metre/second", "power": "watt",
    "voltage": "volt", "current": "ampere", "energy": "joule", "force": "newton", "mass flow": "kilogram/second",
    "density": "kilogram/metre**3", "resistance": "ohm", "charge": "coulomb", "current density": "ampere/metre**2",
    "mass per area": "kilogram/metre**2", "mass per length": "kilogram/metre", "volume per mass": "metre**3/kilogram",
    "conductance": "siemens", "conductivity": "siemens/metre", "capacitance": "farad", "inductance": "henry",
    "light": "lumen", "illuminance": "lux", "heat flux": "watt/metre**2", "magnetism": "tesla",
}  # fmt: skip


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["spoken"][0])
def test_row_measures_what_it_says(row: dict[str, str]) -> None:
    assert known(row["pint"])
    reference = REFERENCE.get(row["dimension"])
    if reference is not None:
        assert dimensionality(row["pint"]) == dimensionality(reference)
    else:
        assert row["dimension"] in ("ratio", "frequency", "count", "other"), "a dimension without a reference"
    # a plain registry, as whoever reads walk.json has it, parses the spelling to the same
    assert str(pint.application_registry.get().Quantity(1, row["pint"] or "dimensionless").units)


# "twenty second" may be the 22nd as well as 20 s: only its plural is said here
SAID = [
    row if row["spoken"][0] != "second" else {**row, "spoken": ("seconds",)}
    for row in ROWS
    if len(row["spoken"][0]) > 2 and row["dimension"] != "ratio"
]


@settings(max_examples=200, deadline=None)
@given(st.sampled_from(SAID), st.integers(20, 900))
def test_figure_in_words_comes_back_with_its_unit(row: dict[str, str], n: int) -> None:
    text = f"it does {words(n)} {row['spoken'][0]}"
    said = tuple(Word(w, i / 3, (i + 1) / 3) for i, w in enumerate(text.split()))
    tokens, _ = tokenise(Transcript(said), builtin())
    found = find_measures(tokens, builtin())
    assert [m.value for m in found] == [n], text
    assert dimensionality(found[0].unit) == dimensionality(row["pint"])
    assert convert(1, found[0].unit, row["pint"]) == pytest.approx(1)


# value, unit, value, unit, where the figures stand
TABLES = [
    (1, "ton_of_refrigeration", 12_000, "Btu/hour", "NIST SP 811, appendix B.8"),
    (1, "boiler_horsepower", 33_475, "Btu/hour", "ASHRAE Fundamentals; 34.5 lb/h from and at 212 °F"),
    (1, "horsepower", 745.6999, "watt", "NIST SP 811, appendix B.8: 550 ft·lbf/s"),
    (1, "psi", 6894.757, "pascal", "NIST SP 811, appendix B.8"),
    (1, "gallon", 3.785412, "litre", "NIST SP 811, appendix B.8"),
    (1, "imperial_gallon", 4.54609, "litre", "NIST SP 811, appendix B.8"),
    (1, "foot**3/minute", 0.4719474, "litre/second", "NIST SP 811, appendix B.8"),
    (1, "inch_H2O", 249.0889, "pascal", "NIST SP 811, appendix B.8, conventional"),
    (1, "inch_Hg", 3386.389, "pascal", "NIST SP 811, appendix B.8, conventional"),
    (1, "thou", 25.4, "micrometre", "exact"),
    (1, "ton", 2000, "pound", "exact"),
    (1, "long_ton", 2240, "pound", "exact"),
]


@pytest.mark.parametrize(("value", "unit", "other", "to", "source"), TABLES)
def test_published_conversions(value: float, unit: str, other: float, to: str, source: str) -> None:
    assert convert(value, unit, to) == pytest.approx(other, rel=2e-4), source
