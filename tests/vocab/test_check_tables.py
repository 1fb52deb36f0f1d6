"""The tables of the checks: their units are units, their kinds exist, no gap names another row's field."""

from __future__ import annotations

import re
from datetime import date

import pytest

from extractors.units import known
from pipeline.checks import LATER, RULES, WIDE, check
from pipeline.walk import PROPERTIES, Stated
from tests.pipeline.checks.sample import sample
from vocab import TableError, builtin, extended

V = builtin()
TODAY = date(2026, 11, 25)


def test_ranges_have_units_properties_and_an_order() -> None:
    for row in V["ranges"]:
        assert known(row["unit"]), row["name"]
        assert row["property"] in PROPERTIES, row["name"]
        assert row["level"] in ("conflict", "check"), row["name"]
        assert row["low"] is not None or row["high"] is not None, row["name"]
        assert row["low"] is None or row["high"] is None or row["low"] < row["high"], row["name"]


def test_gaps_are_of_kinds_and_properties_that_exist() -> None:
    kinds = {row["name"] for row in V["kinds"]}
    for row in V["gaps"]:
        assert set(row["kinds"]) <= kinds, row["name"]
        assert set(row["properties"] or ()) <= set(PROPERTIES), row["name"]
        assert len(row["ask"].split()) <= 40, row["name"]
        answers = ("identity", "properties", "components", "remarks", "phrases")
        assert any(row[a] for a in answers) or row["name"] == "what is included", row["name"]


def test_no_gap_names_a_field_that_has_a_row_of_its_own() -> None:
    """A walk that gave its serial number must not read "serial" in the gap of another field."""
    for field in ("serial", "year", "maker", "model"):
        named = [r["name"] for r in V["gaps"] if re.search(rf"\b{field}\b", r["ask"]) and r["identity"] != field]
        assert named == [], field


def test_where_to_find_it_asks_for_nothing_dangerous() -> None:
    """Only ever told as what not to do: "do not open", "never by smell", "leave cabinets closed"."""
    for row in V["gaps"]:
        for m in re.finditer(r"\b(open|climb|enter|lift|start|reach|run)\b", row["where"]):
            before = row["where"][: m.start()]
            assert re.search(r"\b(do not|never|not|without)\b[^.;]*$", before), (row["name"], row["where"])


def test_every_kind_asks_for_something_of_its_own() -> None:
    asked = {kind for row in V["gaps"] for kind in row["kinds"]}
    assert asked == {row["name"] for row in V["kinds"]}


def test_limits_belong_to_rules() -> None:
    names = {rule.__name__ for rule in (*RULES, *WIDE, *LATER)}
    assert [row["name"] for row in V["limits"] if row["rule"] not in names] == []


def test_a_user_may_move_a_limit_and_add_a_gap() -> None:
    text = """
[[limits]]
name = "volume_over"
rule = "volume_from_sizes"
high = 0.9
unit = "share"
scope = "our tanks are bulged"
source = "our own drawings"
[[gaps]]
name = "paint colour"
order = 5
kinds = []
ask = "The paint colour was not said."
where = "Look."
phrases = ["painted"]
basis = "our buyers ask"
"""
    tank = [f"tank | {p} | {v} | foot" for p, v in (("length", 10), ("width", 4), ("depth", 4))]
    walk = sample({"q": [*tank, "tank | volume | 1900 | gallon"]})
    plain, mine = check(walk, V, TODAY), check(walk, extended(V, text), TODAY)
    assert any(f.rule == "volume_from_sizes" for f in plain.findings)
    assert not any(f.rule == "volume_from_sizes" for f in mine.findings)
    assert next(f.message for f in mine.findings if f.level == "missing") == "The paint colour was not said."
    with pytest.raises(TableError, match="gaps"):
        extended(V, '[[gaps]]\nname = "x"\n')


@pytest.mark.parametrize(
    ("kind", "asked"),
    [
        ("zinc plating line", "Waste treatment"),
        ("curing oven", "Purge time"),
        ("screw compressor", "Run hours"),
        ("fire tube boiler", "inspection certificate"),
        ("hydraulic press", "Guards"),
        ("bottling line", "Rated output"),
        ("mixing tank", "last contents"),
        ("booster pump skid", "Flow and head"),
        ("tunnel washer for laundry", "Steam, gas or water"),
        ("diesel generator", "kVA"),
        ("carousel for tyres", "What it makes or handles"),
    ],
)
def test_each_kind_gets_its_own_list(kind: str, asked: str) -> None:
    walk = sample({"identity": {"kind": kind}})
    messages = " ".join(f.message for f in check(walk, V, TODAY).findings if f.level == "missing")
    assert asked in messages
    assert "serial number" in messages
    assert isinstance(walk.identity.kind, Stated)


@pytest.mark.parametrize(
    ("name", "density", "source"),
    [
        ("wheat", 60 * 0.45359237 / (1.244456 * 28.316846), "60 lb a bushel of 1.244456 ft3 (US grain standards)"),
        ("corn", 56 * 0.45359237 / (1.244456 * 28.316846), "56 lb a bushel (US grain standards)"),
        ("cement", 94 * 0.45359237 / 28.316846, "a US bag of 94 lb is one cubic foot, common practice"),
        ("steel", 7.85, "Gere, Mechanics of Materials: 490 lb/ft3"),
        ("aluminium", 2.70, "Gere, Mechanics of Materials: 169 lb/ft3"),
    ],
)
def test_what_is_stored_lies_between_its_densities(name: str, density: float, source: str) -> None:
    row = next(r for r in V["bulk"] if name in r["said"])
    assert row["low"] < density < row["high"], source


def test_densities_are_in_order_and_of_a_kind() -> None:
    for row in V["bulk"]:
        assert 0 < row["low"] < row["high"] < 9, row["said"]
        assert row["kind"] in ("bulk", "wound"), row["said"]
