"""A walk from a gold file of the workplace, so that the checks are judged apart from the reading."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from extractors.words import Evidence
from pipeline.walk import (
    Component,
    Disposition,
    Identity,
    Quantity,
    Sequence,
    Source,
    Stated,
    Station,
    Walk,
)

SHARED = Path(__file__).resolve().parents[4] / "shared" / "eval" / "dev"


def _first(value: Any) -> Any:
    return value[0] if isinstance(value, list) else value


def gold_walk(path: Path) -> Walk:
    """The walk that a gold describes; times come from the lines of its narration that hold the subject's words."""
    gold: Mapping[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    lines = []
    for line in path.with_name(path.name.replace(".gold.json", ".txt")).read_text(encoding="utf-8").splitlines():
        if m := re.match(r"\[(\d+):(\d+)\] (.*)", line):
            lines.append((int(m[1]) * 60 + int(m[2]), m[3]))
    at = 0

    def evidence(wordings: list[str], forward: bool) -> tuple[Evidence, ...]:
        """The next line that holds one of the wordings: golds list facts in the order said."""
        nonlocal at
        for offset in range(len(lines)):
            i = (at + offset) % len(lines)
            low = lines[i][1].lower()
            if any(all(w.rstrip("s") in low for w in wording.lower().split()) for wording in wordings if wording):
                at = i if forward else at
                return (Evidence(float(lines[i][0]), float(lines[i][0]) + 15, lines[i][1]),)
        return ()

    quantities = []
    for n, q in enumerate(gold.get("quantities", []), 1):
        subject = q.get("s") or [""]
        quantities.append(
            Quantity(
                f"q{n}",
                subject[0],
                _first(q["p"]),
                float(q["v"]),
                q["u"],
                q.get("vmax"),
                q.get("of"),
                evidence=evidence(subject, True),
            )
        )
    at = 0
    components = tuple(
        Component(f"c{n}", c["n"][0], c.get("c"), disposition=_disposition(c.get("d")), evidence=evidence(c["n"], True))
        for n, c in enumerate(gold.get("components", []), 1)
    )
    sequences = tuple(
        Sequence(f"row {n}", "station", s["stated"], tuple(Station(num, roles[0]) for num, roles in s["stations"]))
        for n, s in enumerate(gold.get("sequences", []), 1)
    )
    identity = {k: Stated(_first(v)) for k, v in (gold.get("identity") or {}).items()}
    return Walk(
        Source(path.name, "0" * 64, "transcript", 400.0),
        None,
        Identity(**identity),
        tuple(quantities),
        sequences,
        components,
    )


def _disposition(value: Any) -> Disposition | None:
    return value if value in ("included", "excluded", "uncertain") else None
