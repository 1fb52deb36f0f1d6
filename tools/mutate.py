"""How many single wrong figures the checks catch: tools/mutate.py [WALKS.toml], default both sets of tests/cases.

From walks whose figures agree, one figure is changed at a time, as tongue or ear would: another unit, teen for ty, one
off, ten times, digits swapped. Prints, per rule, how many changed figures that it lists under `checked` are found,
over all rules the same, alarms on the untouched walks, and how often the true figure is among the offers. Of rules that
ask on one side only ("within its limit") slips to that side are counted apart.
"""

from __future__ import annotations

import sys
import tomllib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from pipeline.checks import check
from pipeline.checks.wording import WITHIN
from pipeline.walk import Walk
from tests.pipeline.checks import said
from tests.pipeline.checks.sample import CASES, load, sample
from vocab import builtin

TODAY = date(2026, 11, 25)
SWAPS = {
    "foot": "inch",
    "inch": "foot",
    "metre": "foot",
    "millimetre": "centimetre",
    "centimetre": "millimetre",
    "gallon": "litre",
    "litre": "gallon",
    "minute": "hour",
    "second": "minute",
    "hour": "minute",
    "pound": "kilogram",
    "kilogram": "pound",
    "tonne": "pound",
    "gallon/minute": "gallon/hour",
    "metre**3/hour": "litre/minute",
    "foot/minute": "inch/minute",
    "metre/minute": "metre/second",
    "1/hour": "1/minute",
    "pound/hour": "pound/minute",
    "horsepower": "kilowatt",
    "kilowatt": "horsepower",
    "degF": "degC",
    "psi": "bar",
    "bar": "psi",
}
TEENS = {float(n): (n - 10) * 10.0 for n in range(13, 20)}


@dataclass(frozen=True)
class Mutant:
    """One changed figure."""

    fact: str
    how: str
    walk: Walk
    value: float
    unit: str


@dataclass
class Tally:
    """What became of the mutants."""

    listed: Counter[str] = field(default_factory=Counter)
    within: Counter[str] = field(default_factory=Counter)
    within_caught: Counter[str] = field(default_factory=Counter)
    caught: Counter[str] = field(default_factory=Counter)
    mutants: int = 0
    mutants_listed: int = 0
    mutants_caught: int = 0
    mishearings: int = 0
    offered: int = 0
    walks: int = 0
    alarms: int = 0
    missed: list[str] = field(default_factory=list)


def other_figures(value: float, unit: str, count: bool) -> Iterator[tuple[str, float, str]]:
    """How one figure may go wrong, each way at most once: a name for it, the wrong value, its unit."""
    if unit in SWAPS:
        yield "unit", value, SWAPS[unit]
    teens = {**TEENS, **{v: k for k, v in TEENS.items()}}
    if value in teens:
        yield "teen", teens[value], unit
    if count:
        yield "one off", value + 1, unit
        return
    yield "ten times", value * 10, unit
    text = f"{value:g}"
    if len(text) == 2 and text.isdigit() and text[0] != text[1] and text[1] != "0":
        yield "swapped", float(text[::-1]), unit


def mutants(walk: Walk) -> Iterator[Mutant]:
    """The walk with one figure changed, once for each figure and way."""
    for i, q in enumerate(walk.quantities):
        if q.value_max is not None or q.property == "year":
            continue
        for how, value, unit in other_figures(q.value, q.unit, q.property in ("count", "phases")):
            changed = replace(q, value=value, unit=unit)
            quantities = (*walk.quantities[:i], changed, *walk.quantities[i + 1 :])
            yield Mutant(q.id, how, replace(walk, quantities=quantities), q.value, q.unit)
    for i, c in enumerate(walk.components):
        if c.count is not None and c.count > 1:
            changed_c = replace(c, count=c.count + 1)
            components = (*walk.components[:i], changed_c, *walk.components[i + 1 :])
            yield Mutant(c.id, "one off", replace(walk, components=components), float(c.count), "")
    for i, s in enumerate(walk.sequences):
        if s.stated_count is not None:
            changed_s = replace(s, stated_count=s.stated_count + 1)
            rows = (*walk.sequences[:i], changed_s, *walk.sequences[i + 1 :])
            yield Mutant(f"sequence:{s.name}", "one off", replace(walk, sequences=rows), float(s.stated_count), "")


def alarms(walk: Walk) -> list[str]:
    """Conflicts and checks raised on a walk."""
    checked = check(walk, builtin(), TODAY)
    return [f"{f.rule}: {f.message}" for f in checked.findings if f.level in ("conflict", "check")]


def measure(walks: list[Walk]) -> Tally:
    """The tally over all mutants of these walks."""
    tally = Tally()
    for walk in walks:
        tally.walks += 1
        tally.alarms += len(alarms(walk))
        plain = check(walk, builtin(), TODAY)
        lists = {(c.rule, f) for c in plain.checked if c.outcome.startswith("agreed") for f in c.facts}
        sided = {(c.rule, f) for c in plain.checked if c.outcome.startswith(WITHIN) for f in c.facts}
        for m in mutants(walk):
            tally.mutants += 1
            found = check(m.walk, builtin(), TODAY)
            named = [f for f in found.findings if f.level in ("conflict", "check") and m.fact in f.facts]
            listed = {rule for rule, fact in lists if fact == m.fact}
            for rule in listed:
                tally.listed[rule] += 1
                tally.caught[rule] += any(f.rule == rule for f in named)
            for rule in {rule for rule, fact in sided if fact == m.fact}:
                tally.within[rule] += 1
                tally.within_caught[rule] += any(f.rule == rule for f in named)
            if listed:
                tally.mutants_listed += 1
                tally.mutants_caught += bool(named)
                if not named:
                    tally.missed.append(f"{walk.identity.kind.value if walk.identity.kind else ''} {m.fact} {m.how}")
            if named and listed and m.how in ("unit", "teen"):
                tally.mishearings += 1
                tally.offered += any(
                    o.fact == m.fact and o.unit == m.unit and abs(o.value - m.value) < 1e-9 * max(1, abs(m.value))
                    for f in named
                    for o in f.offers
                )
    return tally


def engineering() -> list[Walk]:
    """The ten walks of motors, pumps, boilers, presses and weights."""
    cases = tomllib.loads((CASES / "consistent_walks.toml").read_text(encoding="utf-8"))["walk"]
    return [said.walk(c["facts"], c.get("things", ()), year=c.get("year"), kind=c.get("kind")) for c in cases]


def main(*names: str) -> None:
    for title, walks in (
        ("counting, sizes, flow of work, age", [sample(c) for n in names or ("checks_walks.toml",) for c in load(n)]),
        ("electrical, heat, fluid, mechanical, mass", [] if names else engineering()),
    ):
        if walks:
            print(f"# {title}")
            show(measure(walks))


def show(tally: Tally) -> None:
    """Prints one tally."""
    for rule, n in sorted(tally.listed.items()):
        print(f"{rule:32} {tally.caught[rule]:4} of {n:4} changed figures it compares")
    for rule, n in sorted(tally.within.items()):
        print(f"{rule:32} {tally.within_caught[rule]:4} of {n:4} changed figures it asks about on one side")
    print(f"all: {tally.mutants_caught} of {tally.mutants_listed} listed ({tally.mutants} mutants)")
    print(f"alarms on {tally.walks} untouched walks: {tally.alarms}")
    print(f"true figure offered: {tally.offered} of {tally.mishearings} unit slips and mishearings caught")
    for line in tally.missed:
        print("missed:", line)


if __name__ == "__main__":
    main(*sys.argv[1:])
