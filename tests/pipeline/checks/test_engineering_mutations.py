"""Ten walks whose figures agree raise no alarm; of figures changed grossly, most that were compared are caught."""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from pipeline.checks import check, electrical, fluid, heat, mechanical, motors, steam, transport
from pipeline.walk import Checked, Finding, Quantity, Walk
from tests.pipeline.checks.said import walk
from tools.mutate import engineering, measure
from vocab import builtin

TODAY = date(2026, 11, 25)
WALKS = tomllib.loads((Path(__file__).parents[2] / "cases" / "consistent_walks.toml").read_text("utf-8"))["walk"]
RULES = {r.__name__ for m in (electrical, motors, heat, steam, fluid, mechanical, transport) for r in m.RULES}
SLIPS = {"horsepower": "watt", "psi": "bar", "foot": "yard", "gallon": "quart", "bar": "psi", "kilowatt": "watt"}


def built(case: dict[str, object]) -> Walk:
    return walk(case["facts"], case.get("things", ()), year=case.get("year"), kind=case.get("kind"))  # type: ignore[arg-type]


def run(said: Walk) -> tuple[list[Finding], list[Checked]]:
    """What all rules find, gaps and cautions aside, and what they compared."""
    result = check(said, builtin(), TODAY)
    return [f for f in result.findings if f.level in ("conflict", "check")], list(result.checked)


def changed(q: Quantity) -> Iterator[tuple[str, Quantity]]:
    """One figure read otherwise: ten times, a tenth, teen for ty, another unit, two digits exchanged."""
    yield "x10", replace(q, value=q.value * 10)
    yield "/10", replace(q, value=q.value / 10)
    for tens in range(3, 10):
        if q.value == tens * 10:
            yield "teen", replace(q, value=10.0 + tens)
        if q.value == 10 + tens:
            yield "ty", replace(q, value=tens * 10.0)
    if q.unit in SLIPS:
        yield "unit", replace(q, unit=SLIPS[q.unit])


@pytest.mark.parametrize("case", WALKS, ids=lambda c: c["name"])
def test_a_consistent_walk_raises_no_alarm(case: dict[str, object]) -> None:
    findings, checked = run(built(case))
    assert [f.message for f in findings] == []
    assert len({c.rule for c in checked}) >= 2


def mutation_counts() -> tuple[Counter[str], Counter[str]]:
    """Of each rule, how many changed figures it had compared, and how many of these it caught."""
    tried: Counter[str] = Counter()
    caught: Counter[str] = Counter()
    for case in WALKS:
        said = built(case)
        _, before = run(said)
        for i, q in enumerate(said.quantities):
            rules = {c.rule for c in before if q.id in c.facts and c.outcome.startswith("agreed")}
            rules = (rules & RULES) - {"carrier_limits", "container_fit"}
            if not rules:
                continue
            for _, other in changed(q):
                quantities = (*said.quantities[:i], other, *said.quantities[i + 1 :])
                findings, _ = run(replace(said, quantities=quantities))
                hit = any(q.id in f.facts for f in findings)
                for rule in rules:
                    tried[rule] += 1
                    caught[rule] += hit
    return tried, caught


def test_gross_slips_of_compared_figures_are_caught() -> None:
    """Measured 2026-11-25: 183 of 194 over all rules; rules that ask on one side only claim no agreement."""
    tried, caught = mutation_counts()
    assert sum(tried.values()) >= 150
    assert sum(caught.values()) >= 0.8 * sum(tried.values()), {r: (caught[r], tried[r]) for r in tried}


def test_the_true_figure_is_among_the_offers() -> None:
    """The issue's bars on the mutations of tools/mutate.py. 2026-11-25: 115 of 136 caught, 31 of 41 offered."""
    tally = measure(engineering())
    assert tally.alarms <= 0.1 * tally.walks
    assert tally.mutants_caught >= 0.8 * tally.mutants_listed
    assert tally.mishearings >= 30
    assert tally.offered >= 0.6 * tally.mishearings
