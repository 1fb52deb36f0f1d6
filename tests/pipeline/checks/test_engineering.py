"""Electrical, heat, fluid, mechanical, mass and transport: each rule catches its case, not the near-miss."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extractors.units import convert
from pipeline.checks import electrical, fluid, heat, mechanical, motors, steam, transport
from pipeline.walk import Finding, Quantity, Walk
from tests.pipeline.checks.said import walk
from vocab import builtin, extended

TODAY = date(2026, 11, 25)
RULES = {
    rule.__name__: rule
    for module in (electrical, motors, heat, steam, fluid, mechanical, transport)
    for rule in module.RULES
}
CASES = tomllib.loads((Path(__file__).parents[2] / "cases" / "checks_engineering.toml").read_text("utf-8"))["case"]


def found(case_walk: Walk, rule: str) -> list[Finding]:
    return [r for r in RULES[rule](case_walk, builtin(), TODAY) if isinstance(r, Finding)]


@pytest.mark.parametrize("case", CASES, ids=lambda c: f"{c['rule']}: {c['why'][:40]}")
def test_case(case: dict[str, object]) -> None:
    results = found(walk(case["facts"], case.get("things", ())), str(case["rule"]))  # type: ignore[arg-type]
    assert [r.level for r in results] == ([] if case["found"] == "quiet" else [case["found"]]), case["why"]
    for words in case.get("says", ()):  # type: ignore[attr-defined]
        assert words in results[0].message, results[0].message


def test_every_rule_has_a_caught_case_and_a_quiet_one() -> None:
    for name in RULES:
        kinds = {c["found"] == "quiet" for c in CASES if c["rule"] == name}
        assert kinds == ({True} if name == "container_fit" else {True, False}), name


@pytest.mark.parametrize("case", [c for c in CASES if c["found"] != "quiet"], ids=lambda c: c["rule"])
def test_a_message_has_at_most_eight_figures(case: dict[str, object]) -> None:
    for result in found(walk(case["facts"], case.get("things", ())), str(case["rule"])):  # type: ignore[arg-type]
        assert sum(any(c.isdigit() for c in w) for w in result.message.split()) <= 8, result.message
        assert not any(w in result.message.lower() for w in (" safe", "complies", "sufficient", "legal"))


OTHER_UNITS = {
    "horsepower": ["kilowatt"],
    "kilowatt": ["watt"],
    "foot": ["inch", "metre"],
    "inch": ["millimetre", "foot"],
    "psi": ["bar", "kilopascal"],
    "gallon": ["litre", "foot**3"],
    "gallon/minute": ["litre/minute", "metre**3/hour"],
    "foot**3/minute": ["metre**3/minute"],
    "degF": ["degC"],
    "ton": ["pound"],
    "pound": ["kilogram"],
    "minute": ["second"],
    "hour": ["minute"],
    "Btu/hour": ["kilowatt"],
    "pound/hour": ["kilogram/hour"],
}
MEANT_BY_UNIT = {"boiler_rating", "boiler_surface", "carrier_limits", "cylinder_force", "chiller_power"}
"""Rules that go by the unit itself: boiler horsepower, press tons, tons of cooling, feet for the American carrier."""


def restated(q: Quantity, data: st.DataObject) -> Quantity:
    unit = data.draw(st.sampled_from([q.unit, *OTHER_UNITS.get(q.unit, [])]))
    most = None if q.value_max is None else convert(q.value_max, q.unit, unit)
    return replace(q, value=convert(q.value, q.unit, unit), value_max=most, unit=unit)


@settings(max_examples=120, deadline=None)
@given(st.data())
def test_other_units_change_no_finding(data: st.DataObject) -> None:
    case = data.draw(st.sampled_from([c for c in CASES if c["rule"] not in MEANT_BY_UNIT]))
    said = walk(case["facts"], case.get("things", ()))
    again = replace(said, quantities=tuple(restated(q, data) for q in said.quantities))
    assert [f.level for f in found(again, case["rule"])] == [f.level for f in found(said, case["rule"])]


def test_ids_are_stable_and_withdrawn_figures_are_no_facts() -> None:
    case = next(c for c in CASES if c["rule"] == "pump_power" and c["found"] == "check")
    said = walk(case["facts"])
    assert [f.id for f in found(said, "pump_power")] == [f.id for f in found(walk(case["facts"]), "pump_power")]
    gone = replace(said, quantities=tuple(replace(q, status="withdrawn") for q in said.quantities))
    assert found(gone, "pump_power") == []


def test_a_conflict_offers_the_reading_that_settles_it() -> None:
    said = walk(
        [
            "plating rectifier; voltage; 15 volt; 5",
            "plating rectifier; current; 2000 ampere; 7",
            "plating rectifier; power; 13 kilowatt; 9",
        ]
    )
    offers = found(said, "rectifier_power")[0].offers
    assert any(o.value == 30 and o.unit == "kilowatt" for o in offers) or len(offers) <= 3
    assert offers


def test_a_user_may_replace_a_limit() -> None:
    own = """
[[limits]]
name = "motor current"
rule = "motor_current"
low = 0.95
high = 1.05
unit = "share"
scope = "our own motors"
source = "our own plates"
"""
    said = walk(
        ["mill motor; power; 50 horsepower; 5", "mill motor; voltage; 460 volt; 7", "mill motor; current; 58 ampere; 9"]
    )
    assert found(said, "motor_current") == []
    strict = RULES["motor_current"](said, extended(builtin(), own), TODAY)
    assert [r.level for r in strict if isinstance(r, Finding)] == ["check"]
