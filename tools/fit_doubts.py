"""Fits vocab/doubt_weights.toml on the narrations of tests/cases: tools/fit_doubts.py [--write].

Each figure that stands without a mark is right where the gold has it, else wrong; a logistic, shrunk quadratically.
Judged in folds over narrations, never on what a fold was learned from.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from extractors.doubt_marks import Marks, doubt_marks, talk_of  # noqa: E402
from extractors.extract import undoubted  # noqa: E402
from extractors.mentions import Measure, QuantityMention  # noqa: E402
from extractors.weighed_doubts import BAR, open_to_doubt  # noqa: E402
from pipeline.timed_text import read_timed_text  # noqa: E402
from tools.evaluate import same  # noqa: E402
from vocab import builtin  # noqa: E402

FOLDERS = {"narrations_by_others": 1.0, "narrations": 1.0, "figure_narrations": 1.0, "scenes/subjects": 0.7,
           "scenes/plant": 0.7, "scenes/take": 0.3}  # fmt: skip
"""What a figure of each counts. The take-back scenes are all slips of the tongue, which ordinary talk is not."""
FOLDS = 8
SHRINK = 2.0
Floats = NDArray[np.float64]


@dataclass
class Known:
    """The figures of one narration."""

    folder: str
    weight: float
    fold: int
    marks: list[Marks] = field(default_factory=list)
    wrong: list[float] = field(default_factory=list)


def all_known() -> list[Known]:
    """Every narration with figures in its gold."""
    out: list[Known] = []
    for folder, weight in FOLDERS.items():
        for path in sorted((ROOT / "tests/cases" / folder).glob("*.gold.json")):
            gold = json.loads(path.read_text(encoding="utf-8"))
            if gold.get("quantities"):
                out.append(
                    known(path.with_name(path.name.replace(".gold.json", ".txt")), gold, folder, weight, len(out))
                )
    return out


def known(path: Path, gold: dict[str, Any], folder: str, weight: float, n: int) -> Known:
    """The marks of a narration's figures, and which are wrong; a figure said again is right with the first."""
    read = undoubted(read_timed_text(path), builtin())
    marks = doubt_marks(read.quantities, talk_of(read.tokens, builtin()), builtin())
    out = Known(folder, weight, n % FOLDS)
    left = list(gold["quantities"])
    right: set[tuple[float, str, str, str]] = set()
    year = (gold.get("identity") or {}).get("year")
    for q, m in zip(read.quantities, marks, strict=True):
        if q.status == "withdrawn" or q.property == "price" or (q.property == "year" and year in (q.value, None)):
            continue
        key = (q.value, q.unit, q.subject, q.property)
        hit = next((g for g in left if key not in right and is_said(g, q)), None)
        if hit is not None:
            left.remove(hit)
            right.add(key)
        if open_to_doubt(q):
            out.marks.append(m)
            out.wrong.append(float(key not in right))
    return out


def is_said(gold: dict[str, Any], q: QuantityMention | Measure) -> bool:
    """Whether a figure is the one of the gold."""
    if (gold.get("vmax") is None) != (q.value_max is None):
        return False
    return same(gold["v"], gold["u"], q.value, q.unit or "")


def matrix(rows: Sequence[Marks], names: Sequence[str]) -> Floats:
    return np.array([[m.get(name, 0.0) for name in names] + [1.0] for m in rows])


def fit(narrations: Sequence[Known], names: Sequence[str]) -> Floats:
    """Weights by name, and the constant."""
    x = np.vstack([matrix(k.marks, names) for k in narrations if k.marks])
    y = np.array([w for k in narrations for w in k.wrong])
    counts = np.array([k.weight for k in narrations for _ in k.wrong])
    shrink = np.array([SHRINK] * len(names) + [0.0])

    def loss(b: Floats) -> tuple[float, Floats]:
        s = x @ b
        p = 1 / (1 + np.exp(-np.clip(s, -30, 30)))
        value = float((counts * (np.logaddexp(0, s) - y * s)).sum() + 0.5 * (shrink * b * b).sum())
        return value, x.T @ (counts * (p - y)) + shrink * b

    out: Floats = minimize(loss, np.zeros(x.shape[1]), jac=True, method="L-BFGS-B").x
    return out


def judged(narrations: Sequence[Known], names: Sequence[str]) -> list[tuple[str, float, float]]:
    """Of each figure its folder, its odds by weights that were not fitted on it, and whether it is wrong."""
    out: list[tuple[str, float, float]] = []
    for n in range(FOLDS):
        b = fit([k for k in narrations if k.fold != n], names)
        for k in narrations:
            if k.fold == n and k.marks:
                out += zip([k.folder] * len(k.wrong), matrix(k.marks, names) @ b, k.wrong, strict=True)
    return out


def show(rows: list[tuple[str, float, float]]) -> None:
    """What marking would do in each folder, by bar."""
    for folder in FOLDERS:
        mine = [(s, y) for f, s, y in rows if f == folder]
        wrong = sum(y for _, y in mine)
        line = f"{folder}: {len(mine)} unmarked, {1 - wrong / max(1, len(mine)):.3f} right"
        for bar in (-1.1, BAR, -1.9):
            kept = [y for s, y in mine if s < bar]
            caught = wrong - sum(kept)
            right = 1 - sum(kept) / max(1, len(kept))
            line += f"; {bar}: {len(mine) - len(kept)} marked, {caught:.0f} of them wrong, {right:.3f}"
        print(line)


def write(names: Sequence[str], weights: Floats) -> None:
    """The table anew, with the reasons that it has."""
    path = ROOT / "vocab/doubt_weights.toml"
    reasons = {row["mark"]: row["reason"] for row in builtin()["doubt_weights"]}
    head = path.read_text(encoding="utf-8").split("[[row]]")[0].rstrip() + "\n"
    rows = [("always", weights[-1]), *zip(names, weights, strict=False)]
    out = [f'\n[[row]]\nmark = "{m}"\nweight = {w:.2f}\nreason = "{reasons.get(m, "")}"\n' for m, w in rows]
    path.write_text(head + "".join(out), encoding="utf-8")


if __name__ == "__main__":
    found = all_known()
    named = sorted({name for k in found for m in k.marks for name in m})
    show(judged(found, named))
    if "--write" in sys.argv[1:]:
        write(named, fit(found, named))
