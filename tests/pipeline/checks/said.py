"""Walks written as short lines, so that a check's case reads like what was said."""

from __future__ import annotations

import re
from collections.abc import Iterable

from extractors.words import Evidence
from pipeline.walk import Component, Identity, Quantity, Source, Stated, Walk

SOURCE = Source("case.txt", "0" * 64, "transcript", 600.0)


def quantity(line: str, number: int) -> Quantity:
    """A figure from "subject; property; value [to value] unit; second; qualifier or wording"."""
    subject, prop, amount, second, *rest = [p.strip() for p in line.split(";")]
    found = re.fullmatch(r"([-\d.]+)(?: to ([-\d.]+))?\s*(.*)", amount)
    if found is None:
        raise ValueError(f"no amount in {line!r}")
    at, words = float(second), rest[0] if rest else ""
    return Quantity(
        f"q{number}",
        subject,
        prop,
        float(found[1]),
        found[3],
        float(found[2]) if found[2] else None,
        qualifier=words or None,
        evidence=(Evidence(at, at + 1.0, f"{amount} {words}".strip()),),
    )


def component(line: str, number: int) -> Component:
    """A thing from "name; count; second"."""
    name, count, second = [p.strip() for p in line.split(";")]
    return Component(f"c{number}", name, int(count), evidence=(Evidence(float(second), float(second) + 1, name),))


def walk(facts: Iterable[str], things: Iterable[str] = (), *, year: int | None = None, kind: str | None = None) -> Walk:
    """A walk of figures and things."""
    return Walk(
        SOURCE,
        identity=Identity(year=Stated(year) if year else None, kind=Stated(kind) if kind else None),
        quantities=tuple(quantity(f, i) for i, f in enumerate(facts, 1)),
        components=tuple(component(t, i) for i, t in enumerate(things, 1)),
    )
