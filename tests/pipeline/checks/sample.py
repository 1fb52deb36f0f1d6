"""Walks written in a few lines, for the checks: tests/cases/checks_*.toml say what each should and should not find.

A line of `q` is "subject | property | value or low..high | unit | extra, extra"; extras are `of=bottle`, `each`,
`about`, `hedged`, `basis=plate`, `said=words`, `only=qualifier`. A line of `c` is "name | count | extra", extras
`part=total`,
`about`, `year=2009`, `in`, `out`. A line of `s` is "station word | stated or - | role, role, -, role", where a dash
skips a number. Facts are said two seconds apart, in the order written: quantities, components, rows.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from extractors.words import Evidence
from pipeline.walk import Component, Identity, Quantity, Sequence, Source, Stated, Station, Walk

CASES = Path(__file__).resolve().parents[2] / "cases"


def load(name: str) -> list[dict[str, Any]]:
    """The cases of one file of tests/cases."""
    data: dict[str, Any] = tomllib.loads((CASES / name).read_text(encoding="utf-8"))
    return list(data["case"])


def sample(case: Mapping[str, Any]) -> Walk:
    """The walk that a case describes."""
    quantities = tuple(_quantity(line, n) for n, line in enumerate(case.get("q", []), 1))
    at = 2.0 * len(quantities)
    components: list[Component] = []
    for n, line in enumerate(case.get("c", []), 1):
        components.append(_component(line, n, at + 2 * n if case.get("late") else 2.0 * n, components))
    rows = tuple(_row(line, at) for line in case.get("s", []))
    identity = Identity(**{k: Stated(v) for k, v in case.get("identity", {}).items()})
    return Walk(
        Source("sample.txt", "0" * 64, "transcript", 600.0),
        identity=identity,
        quantities=quantities,
        components=tuple(components),
        sequences=rows,
    )


def _extras(text: str) -> dict[str, str]:
    found = {}
    for extra in filter(None, (e.strip() for e in text.split(","))):
        key, _, value = extra.partition("=")
        found[key.strip()] = value.strip() or "yes"
    return found


def _quantity(line: str, n: int) -> Quantity:
    subject, prop, value, unit, *rest = (c.strip() for c in line.split("|"))
    x = _extras(rest[0] if rest else "")
    low, _, high = value.partition("..")
    at = float(x.get("at", 2.0 * n))
    return Quantity(
        f"q{n}",
        subject,
        prop,
        float(low),
        unit,
        float(high) if high else None,
        x.get("of"),
        "about" in x,
        "hedged" if "hedged" in x else "stated",
        x.get("doubt"),
        x.get("basis"),
        each="each" in x,
        qualifier=x.get("only"),
        evidence=(Evidence(at, at + 1, x.get("said", f"{low} {unit}")),),
    )


def _component(line: str, n: int, at: float, before: list[Component]) -> Component:
    name, count, *rest = (c.strip() for c in line.split("|"))
    x = _extras(rest[0] if rest else "")
    total = next((c.id for c in before if c.name == x.get("part")), None)
    return Component(
        f"c{n}",
        name,
        None if count == "-" else int(count),
        "about" in x,
        "included" if "in" in x else "excluded" if "out" in x else None,
        year=int(x["year"]) if "year" in x else None,
        doubt=x.get("doubt"),
        part_of=total,
        evidence=(Evidence(float(x.get("at", at)), float(x.get("at", at)) + 1, name),),
    )


def _row(line: str, at: float) -> Sequence:
    word, stated, roles = (c.strip() for c in line.split("|"))
    stations = []
    for n, role in enumerate((r.strip() for r in roles.split(",")), 1):
        if role != "-":
            stations.append(Station(n, role, evidence=(Evidence(at + n, at + n + 1, role),)))
    return Sequence(
        f"{word}s", word, None if stated == "-" else int(stated), tuple(stations), (Evidence(at, at + 1, stated),)
    )
