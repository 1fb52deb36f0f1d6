"""What the rules compute, against published figures and reference libraries; offers; figures in other units."""

from __future__ import annotations

import math
import tomllib
from dataclasses import replace
from datetime import date

import pint
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from extractors.units import convert
from extractors.words import Evidence
from pipeline.checks import check, wording
from pipeline.checks.facts import is_whole, per_hour, slack
from pipeline.checks.geometry import volume_from_sizes
from pipeline.checks.offers import offers, readings
from pipeline.checks.subjects import alike, head, part_of, words
from pipeline.checks.wording import figure, finding, number, stable_id
from pipeline.walk import Quantity, Walk
from tests.pipeline.checks import said
from tests.pipeline.checks.sample import CASES, load, sample
from tools.mutate import engineering, measure
from vocab import builtin

TODAY = date(2026, 11, 25)
UREG = pint.UnitRegistry()


def messages(rule: str, **case: object) -> str:
    walk = check(sample(case), builtin(), TODAY)
    return " ".join(f.message for f in walk.findings if f.rule == rule)


# Against the outside -------------------------------------------------------------------------------------------------


def test_gallons_are_those_of_handbook_44() -> None:
    """NIST Handbook 44 Appendix C: 1 US gallon = 231 in³, 1 imperial gallon = 277.42 in³; scipy.constants agrees."""
    constants = pytest.importorskip("scipy.constants", reason="scipy is a test dependency only")
    assert convert(231, "inch**3", "gallon") == pytest.approx(1, rel=1e-9)
    assert convert(277.42, "inch**3", "imperial_gallon") == pytest.approx(1, rel=1e-4)
    assert convert(1, "gallon", "metre**3") == pytest.approx(constants.gallon_US, rel=1e-9)
    assert convert(1, "imperial_gallon", "metre**3") == pytest.approx(constants.gallon_imp, rel=1e-9)


SIZES = (("length", 12), ("width", 4), ("depth", 6))


def test_a_box_holds_what_pint_says() -> None:
    """12 × 4 × 6 ft is 288 ft³, 2,154 US gallons (7.48052 gal/ft³, NIST SP 811 B.8)."""
    gallons = (UREG.Quantity(12 * 4 * 6, "foot**3")).to("gallon").magnitude
    text = messages(
        "volume_from_sizes",
        q=[*(f"tank | {p} | {v} | foot" for p, v in SIZES), "tank | volume | 5000 | gallon"],
    )
    assert figure(gallons, "gallon") in text
    assert "2,154 gallons" in text


def test_a_cylinder_holds_what_geometry_says() -> None:
    """A 42 gallon barrel is 9,702 in³ (NIST Handbook 44 App. C): a cylinder of 20 in has to be 30.88 in tall."""
    tall = 9702 / (math.pi / 4 * 20**2)
    q = ["drum | diameter | 20 | inch", f"drum | height | {tall} | inch", "drum | volume | 42 | gallon"]
    walk = sample({"q": q})
    assert [c.outcome[:6] for c in check(walk, builtin(), TODAY).checked if c.rule == "volume_from_sizes"] == ["agreed"]


def test_littles_law_by_the_example_of_its_author() -> None:
    """Little and Graves (2008), Building Intuition, ch. 5: wafers start at 1,000 a day, stay 45 days, 45,000 in process
    (from memory). Here: 45 positions, one indexed each 24 hours / 1,000 × 1,000 = day."""
    case = {
        "identity": {"kind": "wafer line"},
        "q": ["wafer line | cycle | 24 | hour", "wafer line | dwell | {} | hour"],
        "s": ["position | 45 | " + ", ".join(f"step {n}" for n in range(45))],
    }
    good, bad = ({**case, "q": [case["q"][0], str(case["q"][1]).format(hours)]} for hours in (45 * 24, 30 * 24))
    assert messages("time_in_process", **good) == ""
    assert "1,080 hours" in messages("time_in_process", **bad)


def test_hours_of_a_year() -> None:
    """8,766 hours a year (365.25 days): the Julian year of scipy.constants."""
    constants = pytest.importorskip("scipy.constants", reason="scipy is a test dependency only")
    assert constants.Julian_year / 3600 == 8766
    text = messages("hours_exceed_age", identity={"year": 2016}, q=["meter | hours | 99000 | hour"])
    possible = (TODAY - date(2016, 1, 1)).days * 24
    assert number(possible) in text
    assert abs(possible - 8766 * 10.9) < 24 * 3


def test_conveyor_dwell_by_pint() -> None:
    """60 ft at 8 ft/min is 7.5 min."""
    minutes = (UREG.Quantity(60, "foot") / UREG.Quantity(8, "foot/minute")).to("minute").magnitude
    q = ["conveyor | speed | 8 | foot/minute", "oven | length | 60 | foot", "oven | dwell | 12 | minute"]
    assert figure(minutes, "minute") in messages("length_speed_dwell", q=q)


# Subjects and wording ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("a", "b", "expected"),
    [
        ("the anodize tanks", "anodizing tank", "same"),
        ("stage one tank", "tank of stage 1", "same"),
        ("tank", "anodize tank", "near"),
        ("washer drive", "drive of the conveyor", ""),
        ("labeler", "the labeller", "same"),
        ("rinse tank", "rinse tank pump", ""),
        ("gas burners", "burner", "near"),
    ],
)
def test_alike(a: str, b: str, expected: str) -> None:
    assert alike(a, b) == expected
    assert alike(b, a) == expected


def test_heads_and_parts() -> None:
    assert head("drive of the washer") == "drive"
    assert part_of("washer opening", "washer")
    assert not part_of("anodize tank", "tank")
    assert words("two anodize tanks") == ("anodize", "tank")
    walk = sample({"identity": {"kind": "continuous batch tunnel washer"}})
    assert is_whole(walk, "tunnel washer")
    assert not is_whole(walk, "washer opening")


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (2154.43, "gallon", "2,154 gallons"),
        (7.5, "horsepower", "7.5 horsepower"),
        (1, "gallon", "1 gallon"),
        (4, "metre**3/hour", "4 cubic metres an hour"),
        (3300, "pound/hour", "3,300 pounds an hour"),
        (15, "percent", "15%"),
        (0.055, "inch", "0.055 in"),
        (200, "psi", "200 psi"),
    ],
)
def test_figure(value: float, unit: str, text: str) -> None:
    assert figure(value, unit) == text


def test_wording_allows_what_it_says() -> None:
    plain, about = Quantity("a", "x", "length", 5, "foot"), Quantity("b", "x", "length", 5, "foot", approximate=True)
    assert slack(plain) == 0
    assert slack(plain, about) == pytest.approx(0.10)
    assert per_hour(Quantity("c", "x", "cycle", 2.5, "minute")) == pytest.approx(24)
    assert per_hour(Quantity("d", "x", "rate", 2, "1/minute")) == pytest.approx(120)
    assert stable_id("r", [plain, about]) == stable_id("r", [about, plain])
    assert len(finding("r", "check", "m", [plain]).id) == 12


# Offers --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("heard", "unit", "meant", "meant_unit"),
    [
        (15, "minute", 50, "minute"),
        (60, "foot", 16, "foot"),
        (115, "foot", 150, "foot"),
        (9, "foot", 9, "inch"),
        (1500, "gallon", 1500, "imperial_gallon"),
        (2.25, "foot", 22.5, "foot"),
        (180, "foot", 18, "foot"),
        (45, "foot", 54, "foot"),
        (30, "bar", 30, "psi"),
        (1500, "foot", 1900, "foot"),
    ],
)
def test_readings_hold_what_was_meant(heard: float, unit: str, meant: float, meant_unit: str) -> None:
    q = Quantity("q", "hood", "length", heard, unit)
    assert any(r.value == meant and r.unit == meant_unit for r in readings(q))


def test_an_offer_says_what_would_fit_and_where_to_listen() -> None:
    q = Quantity(
        "q1",
        "hood",
        "width",
        9.0,
        "foot",
        evidence=(Evidence(192.0, 193.0, "nine feet"),),
    )
    opening = Quantity("q2", "booth", "width", 4.0, "foot")
    made = offers([q, opening], lambda a, b: convert(a.value, a.unit, "foot") <= convert(b.value, b.unit, "foot"))
    assert (made[0].fact, made[0].value, made[0].unit) == ("q1", 9.0, "inch")
    assert made[0].why == "if the hood width is 9 in and not 9 ft, the figures agree; listen at 3:12"


def test_a_weight_is_left_to_its_plate() -> None:
    q = [Quantity("q1", "lathe", "weight", 60000.0, "pound"), Quantity("q2", "lathe", "weight", 16000.0, "pound")]
    assert all("only the plate or a document settles it" in o.why for o in offers(q, lambda a, b: a.value == b.value))


# Mutation and restatement --------------------------------------------------------------------------------------------


def test_mutants_are_caught_and_the_untouched_are_left_alone() -> None:
    """The issue's bars: 0.8 of changed figures that are compared, 0.1 alarms a walk, 0.6 true readings offered."""
    tally = measure([sample(case) for case in load("checks_walks.toml")])
    assert tally.walks >= 10
    assert tally.mutants >= 300
    assert tally.mutants_caught / tally.mutants_listed >= 0.8, tally.missed
    assert tally.alarms / tally.walks <= 0.1
    assert tally.offered / tally.mishearings >= 0.6


OTHER = {
    "foot": "metre",
    "inch": "millimetre",
    "gallon": "litre",
    "pound": "kilogram",
    "psi": "bar",
    "degF": "degC",
    "minute": "second",
    "foot/minute": "metre/second",
    "gallon/minute": "litre/second",
    "1/hour": "1/minute",
    "pound/hour": "kilogram/hour",
    "horsepower": "kilowatt",
    "foot**2": "metre**2",
}
BOTH_WAYS = {**OTHER, **{b: a for a, b in OTHER.items()}}
WALKS = [
    sample(case)
    for case in (*load("checks_walks.toml"), *load("checks_rules.toml"))
    if "the unit was put right" not in case.get("why", "")
]
"""All but the one in which the unit itself is what was corrected."""
ENGINEERING = [
    *engineering(),
    *(
        said.walk(case["facts"], case.get("things", ()))
        for case in tomllib.loads((CASES / "checks_engineering.toml").read_text(encoding="utf-8"))["case"]
    ),
]


def restated(walk: Walk, units: frozenset[str]) -> Walk:
    """The walk with every figure of these units said in another."""

    def other(q: Quantity) -> Quantity:
        to = BOTH_WAYS.get(q.unit)
        if to is None or (q.unit not in units and to not in units):
            return q
        high = None if q.value_max is None else convert(q.value_max, q.unit, to)
        return replace(q, value=convert(q.value, q.unit, to), value_max=high, unit=to)

    return replace(walk, quantities=tuple(other(q) for q in walk.quantities))


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(WALKS), st.frozensets(st.sampled_from(sorted(OTHER)), min_size=1))
def test_other_units_change_no_finding(walk: Walk, units: frozenset[str]) -> None:
    assert what(restated(walk, units)) == what(walk)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(ENGINEERING), st.frozensets(st.sampled_from(sorted(set(OTHER) - {"horsepower"})), min_size=1))
def test_other_units_change_no_finding_of_engineering(walk: Walk, units: frozenset[str]) -> None:
    """Horsepower aside: it says which power is meant (a shaft's, a boiler's), and nobody rates a heater in it."""
    assert what(restated(walk, units)) == what(walk)


def what(walk: Walk) -> set[tuple[str, str, tuple[str, ...]]]:
    """What was found; doubtful_figure aside, which asks how the number sounds: in other units another one is said."""
    found = check(walk, builtin(), TODAY).findings
    return {
        (f.rule, f.level, f.facts) for f in found if f.level in ("conflict", "check") and f.rule != "doubtful_figure"
    }


def test_the_volume_rule_names_its_facts() -> None:
    walk = sample({"q": [*(f"tank | {p} | {v} | foot" for p, v in SIZES), "tank | volume | 2150 | gallon"]})
    facts = {f for c in volume_from_sizes(walk, builtin(), TODAY) for f in getattr(c, "facts", ())}
    assert facts == {"q1", "q2", "q3", "q4"}


@pytest.mark.parametrize(
    ("unit", "one", "two"),
    [("metre**3", "1 cubic metre", "2 cubic metres"), ("gallon/minute", "1 gallon a minute", "2 gallons a minute"),
     ("box", "1 box", "2 boxes"), ("foot/second", "1 foot a second", "2 feet a second"),
     ("ton_of_refrigeration", "1 ton of refrigeration", "2 tons of refrigeration")],
)  # fmt: skip
def test_one_of_a_unit_is_written_in_the_singular(unit: str, one: str, two: str) -> None:
    assert (figure(1, unit), figure(2, unit)) == (one, two)


def test_a_basis_is_named_where_it_tells_something() -> None:
    q = Quantity("q1", "motor", "current", 12, "ampere", basis="told")
    assert wording.said(q) == wording.said(replace(q, basis=None)) == "12 amperes"
    assert wording.said(replace(q, basis="plate")) == "plate 12 amperes"
    assert wording.said(replace(q, basis=None, status="hedged")) == "perhaps 12 amperes"
