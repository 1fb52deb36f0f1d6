"""The arithmetic of the checks against published tables and reference libraries, each source beside its check."""

from __future__ import annotations

import math

import pytest
from scipy import constants

from extractors.units import convert
from pipeline.checks import heat, mechanical, steam, transport
from pipeline.checks.fluid import FEET_A_PSI, FULL_VACUUM
from pipeline.checks.motors import full_load_current, synchronous_speed
from pipeline.walk import Quantity
from vocab import builtin

MOTORS = builtin()["motors"]


# NFPA 70-2008, Table 430.250, read from a scan of the table; a second transcription than the one in vocab/motors.toml:
# wiresizecalculator.net, "Full-Load Amps: Three-Phase", and sparky-hq.com, "Motor Full-Load Current".
@pytest.mark.parametrize(
    ("horsepower", "volts", "amperes"),
    [
        *[(5, 208, 16.7), (10, 230, 28), (25, 460, 34), (25, 480, 34), (40, 200, 120), (75, 575, 77), (100, 460, 124)],
        *[(150, 208, 396), (200, 230, 480), (250, 460, 302), (500, 460, 590), (2, 115, 13.6)],
    ],
)
def test_three_phase_currents(horsepower: float, volts: float, amperes: float) -> None:
    assert full_load_current(MOTORS, horsepower, volts)[0] == pytest.approx(amperes)


# Single-phase: Table 430.248 as transcribed at sparky-hq.com and field-pm.com.
@pytest.mark.parametrize(("horsepower", "volts", "amperes"), [(1, 115, 16), (3, 230, 17), (5, 115, 56), (10, 230, 50)])
def test_single_phase_currents(horsepower: float, volts: float, amperes: float) -> None:
    assert full_load_current(MOTORS, horsepower, volts, 1)[0] == pytest.approx(amperes)


# Three-phase at 400 V, 50 Hz: "Rated currents of three-phase motors" (scribd.com/document/340264631) and "Average full
# load motor currents" (myelectrical.com/notes/entryid/156), which agree to a few percent.
@pytest.mark.parametrize(
    ("kilowatts", "amperes"),
    [(0.75, 1.9), (1.5, 3.5), (2.2, 4.8), (4, 8.1), (7.5, 14.8), (15, 28.5), (22, 42), (45, 81)],
)
def test_currents_at_400_volts_are_computed(kilowatts: float, amperes: float) -> None:
    usual, source = full_load_current(MOTORS, convert(kilowatts, "kilowatt", "horsepower"), 400)
    assert usual == pytest.approx(amperes, rel=0.08)
    assert source.startswith("computed")


def test_outside_the_table_nothing_is_guessed() -> None:
    with pytest.raises(ValueError, match="outside"):
        full_load_current(MOTORS, 2000, 460)
    with pytest.raises(ValueError, match="single-phase"):
        full_load_current(MOTORS, 75, 230, 1)


# Synchronous speeds of NEMA MG 1 and IEC 60034-1: 3600/1800/1200/900 at 60 Hz, 3000/1500/1000/750 at 50 Hz.
@pytest.mark.parametrize(
    ("hertz", "rpm", "synchronous"),
    [(60, 3560, 3600), (60, 1780, 1800), (60, 1175, 1200), (60, 885, 900), (50, 2955, 3000), (50, 1475, 1500)],
)
def test_synchronous_speeds(hertz: float, rpm: float, synchronous: float) -> None:
    assert synchronous_speed(hertz, rpm) == synchronous


# IAPWS-IF97 (2007), Table 36: saturation temperatures in K at 0.1, 1 and 10 MPa.
@pytest.mark.parametrize(("megapascal", "kelvin"), [(0.1, 372.755919), (1.0, 453.035632), (10.0, 584.149488)])
def test_saturation_by_the_release(megapascal: float, kelvin: float) -> None:
    assert steam.saturation(megapascal) + 273.15 == pytest.approx(kelvin, abs=1e-5)


def test_saturation_by_coolprop() -> None:
    CoolProp = pytest.importorskip("CoolProp.CoolProp", reason="CoolProp is not installed")
    for psi in (15, 60, 110, 150, 250):
        pascal = convert(psi, "psi", "pascal") + constants.atm
        expected = CoolProp.PropsSI("T", "P", pascal, "Q", 0, "Water") - constants.zero_Celsius
        assert steam.saturation(pascal / 1e6) == pytest.approx(expected, abs=0.03)


def test_saturation_outside_its_line() -> None:
    with pytest.raises(ValueError, match="outside"):
        steam.saturation(30.0)


# Boiler horsepower: 34.5 lb/h from and at 212 degF; "Pounds of dry saturated steam per boiler horsepower" table
# (scribd.com/document/424671542): 28.8 at 60 degF feed and 100 psi, 29.8 at 100 degF and 100 psi, 31.2 at 120 and 10.
def test_boiler_horsepower() -> None:
    assert abs(34.5 * 970.3 / steam.BOILER_HORSEPOWER - 1) < 0.001
    assert convert(1, "boiler_horsepower", "Btu/hour") == pytest.approx(steam.BOILER_HORSEPOWER, rel=0.001)
    row = next(r for r in builtin()["limits"].rows if r["name"] == "steam per boiler horsepower")
    assert all(row["low"] <= x <= row["high"] for x in (28.8, 29.8, 31.2, 27.8, 34.5))


def test_steam_per_boiler_horsepower_by_coolprop() -> None:
    CoolProp = pytest.importorskip("CoolProp.CoolProp", reason="CoolProp is not installed")
    pressure = convert(100, "psi", "pascal") + constants.atm
    vapour = CoolProp.PropsSI("H", "P", pressure, "Q", 1, "Water")
    feed = CoolProp.PropsSI("H", "P", pressure, "T", convert(60, "degF", "kelvin"), "Water")
    pounds = steam.BOILER_HORSEPOWER / convert(vapour - feed, "joule/kilogram", "Btu/pound")
    assert pounds == pytest.approx(28.8, abs=0.1)


def test_heating_water_by_coolprop() -> None:
    CoolProp = pytest.importorskip("CoolProp.CoolProp", reason="CoolProp is not installed")
    low, high = convert(60, "degF", "kelvin"), convert(140, "degF", "kelvin")
    enthalpy = [CoolProp.PropsSI("H", "P", constants.atm, "T", t, "Water") for t in (low, high)]
    mass = convert(1000, "gallon", "metre**3") * CoolProp.PropsSI("D", "P", constants.atm, "T", low, "Water")
    hours = mass * (enthalpy[1] - enthalpy[0]) / 36_000 / 3600
    assert heat.hours_to_heat(1000, 80, 36) == pytest.approx(hours, rel=0.005)


# Water at 60 degF: 8.34 lb a gallon, 2.31 ft a psi; at 190 degF 8.07 lb a gallon.
def test_water_by_coolprop() -> None:
    CoolProp = pytest.importorskip("CoolProp.CoolProp", reason="CoolProp is not installed")
    for fahrenheit, pounds in ((60, 8.34), (190, 8.07)):
        density = CoolProp.PropsSI("D", "P", constants.atm, "T", convert(fahrenheit, "degF", "kelvin"), "Water")
        assert convert(density, "kilogram/metre**3", "pound/gallon") == pytest.approx(pounds, abs=0.01)
    density = CoolProp.PropsSI("D", "P", constants.atm, "T", convert(60, "degF", "kelvin"), "Water")
    feet = constants.psi / (density * constants.g) / constants.foot
    assert feet == pytest.approx(FEET_A_PSI, abs=0.01)


# Hydraulic power: gpm x psi / 1714; 100 gpm against 100 ft of water is 2.53 horsepower (Hydraulic Institute's constant
# 3960: 100 x 100 / 3960). Velocity by the fluids library.
def test_hydraulic_power_and_velocity() -> None:
    watts = convert(250, "gallon/minute", "metre**3/second") * convert(20, "psi", "pascal")
    assert watts / constants.hp == pytest.approx(250 * 20 / 1714, rel=0.001)
    assert pytest.approx(100 * 100 / 3960, rel=0.003) == 100 * (100 / FEET_A_PSI) / 1714


def test_velocity_by_fluids() -> None:
    from fluids.core import Reynolds

    d, q = convert(2, "inch", "metre"), convert(500, "gallon/minute", "metre**3/second")
    v = q / (math.pi * d * d / 4)
    assert Reynolds(v, d, rho=999.0, mu=1.1e-3) == pytest.approx(4 * q * 999.0 / (math.pi * d * 1.1e-3))
    assert convert(v, "metre/second", "foot/second") == pytest.approx(0.4085 * 500 / 4, rel=0.001)


# Tons: NIST SP 811 Appendix B gives ton-force 8.896443 kN, lbf ft 1.355818 N m; one standard atmosphere 29.921 inHg.
def test_forces_and_vacuum() -> None:
    assert mechanical.kilonewtons(Quantity("q1", "press", "other", 1.0, "ton")) == pytest.approx(
        2000 * constants.lbf / 1000
    )
    assert mechanical.kilonewtons(Quantity("q1", "press", "other", 1.0, "tonne")) == pytest.approx(constants.g)
    assert convert(constants.atm, "pascal", "inch_Hg") == pytest.approx(FULL_VACUUM, abs=0.01)
    assert convert(constants.hp * 60 / (2 * math.pi), "newton*metre", "foot*pound_force") == pytest.approx(5252, abs=1)
    assert 1000 * 60 / (2 * math.pi) == pytest.approx(9549, abs=1)


# Refrigeration ton 12,000 Btu/h (pint's ton_of_refrigeration); cooling-tower ton 15,000 by common practice.
def test_ton_of_refrigeration() -> None:
    assert convert(1, "ton_of_refrigeration", "Btu/hour") == pytest.approx(12000, rel=0.001)


# Densities of the elements in g/cm3 as the library periodictable 2.1.0 has them; steel from memory.
@pytest.mark.parametrize(
    ("name", "grams"),
    [
        ("carbon steel", 7.85),
        ("aluminum", 2.699),
        ("copper", 8.96),
        ("titanium", 4.54),
        ("lead", 11.35),
        ("zinc", 7.133),
    ],
)
def test_densities(name: str, grams: float) -> None:
    row = next(r for r in builtin()["materials"].rows if name in r["said"])
    assert convert(row["density"], "pound/foot**3", "gram/centimetre**3") == pytest.approx(grams, rel=0.01)


# 23 CFR 658.15 itself says that 102 inches is approximately 2.6 metres (102.36 inches).
def test_carrier_limits_parse() -> None:
    limits = {r["name"]: r for r in builtin()["carriers"].rows}
    assert convert(limits["us width"]["limit"], "inch", "metre") == pytest.approx(2.6, abs=0.02)
    for row in limits.values():
        convert(row["limit"], row["unit"], "pound" if row["property"] == "weight" else "foot")
    assert transport.carrier_limits.__doc__


def test_slip_of_the_handbooks_example() -> None:
    """DOE-HDBK-1011/4-92, AC motors, example of equation 12-2: two poles, 60 Hz, 3,554 rpm is a slip of 1.3 %."""
    synchronous = synchronous_speed(60, 3554)
    assert synchronous == 3600
    assert round((synchronous - 3554) / synchronous * 100, 1) == 1.3


def test_liquid_power_of_the_glossarys_example() -> None:
    """IADC drilling glossary, hydraulic horsepower: 3.3 gpm at 520 psi, and 1,715 gpm at 1 psi, are one horsepower."""
    for gpm, psi in ((3.3, 520), (1715, 1)):
        watts = convert(gpm, "gallon/minute", "metre**3/second") * convert(psi, "psi", "pascal")
        assert convert(watts, "watt", "horsepower") == pytest.approx(1, rel=0.003)


@pytest.mark.parametrize(
    ("cfm", "inches", "efficiency", "horsepower"),
    [(20000, 4, 0.72, 17.48), (20000, 10, 0.80, 40), (10000, 2.5, 0.75 * 0.92, 5.70)],
)
def test_air_power_of_published_examples(cfm: float, inches: float, efficiency: float, horsepower: float) -> None:
    """Worked examples of fan power: dev.to "The engineering math behind fan power", ahundredwoods.com "Fan static
    efficiency formula" (rounded to a motor size), calculatorcollection.org "Fan performance"."""
    watts = convert(cfm, "foot**3/minute", "metre**3/second") * convert(inches, "inch_H2O", "pascal")
    assert convert(watts / efficiency, "watt", "horsepower") == pytest.approx(horsepower, rel=0.02)


@pytest.mark.parametrize(
    ("horsepower", "at_115", "at_230"),
    [(0.5, 9.8, 4.9), (0.75, 13.8, 6.9), (1, 16, 8), (1.5, 20, 10), (2, 24, 12), (3, 34, 17), (5, 56, 28),
     (7.5, 80, 40), (10, 100, 50)],
)  # fmt: skip
def test_single_phase_table_by_a_transcription(horsepower: float, at_115: float, at_230: float) -> None:
    """NFPA 70-1999, Table 430-148 (430.248 since 2002), as transcribed on a wire trade site."""
    row = next(r for r in MOTORS if r["horsepower"] == horsepower)
    assert (row["one115"], row["one230"]) == (at_115, at_230)
