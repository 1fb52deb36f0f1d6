"""Fits vocab/subject_weights.toml on the golds of tests/cases: tools/fit_subjects.py [--write] [FOLDER…].

Of every figure that a gold has it is known which of the names around it will do. The likeliest weights make such a name
likely (a softmax over all names around the figure), shrunk quadratically. Judged in folds over whole narrations, and on
the FOLDERs by weights that never saw them: the share of figures whose subject is right as the rules have it, and as
weighed.

The rules were made on narrations_by_others, so that they look surer there than they are: a narration of it counts less.
The narrations by which the project is measured are not fitted on.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from scipy.optimize import minimize
from scipy.sparse import csr_matrix

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from extractors.asides import mark_asides  # noqa: E402
from extractors.candidates import Name  # noqa: E402
from extractors.components import find_things_and_fates  # noqa: E402
from extractors.identity import find_identity  # noqa: E402
from extractors.normalise import tokenise  # noqa: E402
from extractors.quantities import find_measures  # noqa: E402
from extractors.repairs import find_repairs, without  # noqa: E402
from extractors.sequences import find_sequences  # noqa: E402
from extractors.subject_marks import Figure, Marks, all_marks  # noqa: E402
from extractors.subjects import Subjects  # noqa: E402
from extractors.weighed_subjects import CLEARLY, WAYS, chosen, likely  # noqa: E402
from pipeline.timed_text import read_timed_text  # noqa: E402
from tools.evaluate import alike  # noqa: E402
from tools.fit_doubts import is_said  # noqa: E402
from vocab import builtin  # noqa: E402

FOLDERS = {"narrations_by_others": 0.4, "narrations": 1.0, "figure_narrations": 1.0, "scenes/subjects": 1.0,
           "scenes/plant": 1.0, "scenes/components": 1.0, "scenes/stations": 1.0, "scenes/take": 1.0,
           "scenes/dispositions": 1.0}  # fmt: skip
"""What a narration of each counts."""
FOLDS = 3
SHRINK = 4.0
ROUNDS = 60
LEAST = 10
"""Names that have a mark, at least."""
SMALLEST = 0.03
"""Weights nearer to nothing are left out of the table; unseen narrations read the same without them."""


@dataclass(frozen=True)
class Known:
    """A figure with the names around it, and which of them will do."""

    figure: Figure
    names: Sequence[str]
    marks: Sequence[Marks]
    right: Sequence[bool]
    ruled_right: bool


@dataclass(frozen=True)
class Narration:
    """The figures of one narration whose subject is told by its gold."""

    folder: str
    weight: float
    known: Sequence[Known]


def narrations_in(folder: Path, label: str, weight: float) -> list[Narration]:
    """Every narration of a folder that has figures in its gold."""
    out = []
    for path in sorted(folder.glob("*.gold.json")):
        golds = json.loads(path.read_text(encoding="utf-8")).get("quantities")
        if golds:
            out.append(Narration(label, weight, known(path.with_name(path.name.replace(".gold.json", ".txt")), golds)))
    return out


def known(path: Path, golds: Sequence[dict[str, Any]]) -> list[Known]:
    """The figures of a narration that its gold has, as file_measures() comes to them."""
    vocabulary = builtin()
    tokens = tokenise(read_timed_text(path), vocabulary)[0]
    tokens = mark_asides(without(tokens, find_repairs(tokens, vocabulary)), vocabulary)
    measures = find_measures(tokens, vocabulary)
    sequences = find_sequences(tokens, measures, vocabulary)
    things, _ = find_things_and_fates(tokens, measures, sequences, vocabulary)
    identity = find_identity(tokens, things, vocabulary)
    whole = next((str(i.value) for i in identity if i.field == "kind" and i.status != "withdrawn"), "")
    subjects = Subjects(tokens, measures, things, sequences, vocabulary, whole)
    figures = []
    for m in measures:
        figures.append(subjects.ruled(m))
        subjects.previous = (m, figures[-1].ruled)
    out = []
    for n, gold in matched(figures, golds).items():
        pairs = list(all_marks(subjects.around, figures[n]))
        wordings = gold["s"]
        out.append(
            Known(
                figures[n],
                [name.text.lower() for name, _ in pairs],
                [marks for _, marks in pairs],
                [alike(name.text, wordings) for name, _ in pairs],
                alike(figures[n].ruled.text, wordings),
            )
        )
    return out


def matched(figures: Sequence[Figure], golds: Sequence[dict[str, Any]]) -> dict[int, dict[str, Any]]:
    """Figures with their golds; of several alike the one whose subject will do, else the first."""
    out: dict[int, dict[str, Any]] = {}
    for gold in golds:
        fits = [n for n, f in enumerate(figures) if n not in out and is_said(gold, f.measure)]
        if fits and gold.get("s"):
            out[max(fits, key=lambda n: (alike(figures[n].ruled.text, gold["s"]), -n))] = gold
    return out


def fit(narrations: Sequence[Narration]) -> dict[str, float]:
    """Weights by mark."""
    rows = [(k, n.weight) for n in narrations for k in n.known if any(k.right)]
    counts = Counter(name for k, _ in rows for marks in k.marks for name in marks)
    names = {name: i for i, name in enumerate(sorted(n for n, c in counts.items() if c >= LEAST))}
    where, column, value, start, right = [], [], [], [0], []
    for k, _ in rows:
        for marks, fits in zip(k.marks, k.right, strict=True):
            for name, v in marks.items():
                if name in names:
                    where.append(len(right))
                    column.append(names[name])
                    value.append(v)
            right.append(fits)
        start.append(len(right))
    x = csr_matrix((value, (where, column)), shape=(len(right), len(names)))
    good, begins = np.array(right), np.array(start[:-1])
    group = np.repeat(np.arange(len(rows)), np.diff(start))
    counted = np.array([w for _, w in rows])

    def loss(b: np.ndarray[Any, np.dtype[np.float64]]) -> tuple[float, np.ndarray[Any, np.dtype[np.float64]]]:
        odds = x @ b
        p = np.exp(odds - np.maximum.reduceat(odds, begins)[group])
        total = np.add.reduceat(p, begins)
        fitting = np.add.reduceat(np.where(good, p, 0.0), begins)
        slope = p / total[group] - np.where(good, p, 0.0) / fitting[group]
        value = float((counted * np.log(total / fitting)).sum() + 0.5 * SHRINK * (b * b).sum())
        return value, x.T @ (counted[group] * slope) + SHRINK * b

    found = minimize(loss, np.zeros(len(names)), jac=True, method="L-BFGS-B", options={"maxiter": ROUNDS}).x
    return {name: round(float(found[i]), 2) for name, i in names.items() if abs(found[i]) >= SMALLEST}


def weighed_right(k: Known, weights: dict[str, float], clearly: float) -> bool:
    """Whether the subject is right as weighed_subjects.weighed() chooses it."""
    if k.figure.way not in WAYS:
        return k.ruled_right
    best = chosen(likely(zip(map(Name, k.names), k.marks, strict=True), weights), k.figure.ruled, clearly)
    if best is k.figure.ruled:
        return k.ruled_right
    return any(fits for text, fits in zip(k.names, k.right, strict=True) if text == best.text)


def show(label: str, rows: Sequence[tuple[Known, dict[str, float]]]) -> None:
    """The share that is right, as the rules have it and as weighed, at several bars."""
    ruled = sum(k.ruled_right for k, _ in rows) / len(rows)
    line = f"{label}: {len(rows)} figures, {ruled:.3f} by the rules"
    for clearly in (1.0, 1.5, CLEARLY, 4.0):
        line += f"; x{clearly:g}: {sum(weighed_right(k, w, clearly) for k, w in rows) / len(rows):.3f}"
    print(line)


def judged(narrations: Sequence[Narration]) -> None:
    """Each folder by weights that were not fitted on the narration."""
    by_folder: dict[str, list[tuple[Known, dict[str, float]]]] = {}
    for fold in range(FOLDS):
        weights = fit([n for i, n in enumerate(narrations) if i % FOLDS != fold])
        for i, n in enumerate(narrations):
            if i % FOLDS == fold:
                by_folder.setdefault(n.folder, []).extend((k, weights) for k in n.known)
    for folder, rows in by_folder.items():
        show(folder, rows)


def write(weights: dict[str, float]) -> None:
    """The table anew."""
    path = ROOT / "vocab/subject_weights.toml"
    head, _, rest = path.read_text(encoding="utf-8").partition("row = [")
    tail = rest[rest.index("\n[columns]") :]
    rows = "".join(f"  {{mark = {json.dumps(m)}, weight = {w:.2f}}},\n" for m, w in sorted(weights.items()))
    path.write_text(f"{head}row = [\n{rows}]\n{tail}", encoding="utf-8")


def main(*args: str) -> None:
    folders = [Path(a) for a in args if not a.startswith("--")]
    narrations = [n for f, w in FOLDERS.items() for n in narrations_in(ROOT / "tests/cases" / f, f, w)]
    if "--quick" not in args:
        judged(narrations)
    weights = fit(narrations)
    print(len(weights), "weights")
    for folder in folders:
        show(str(folder.name), [(k, weights) for n in narrations_in(folder, folder.name, 1.0) for k in n.known])
    if "--write" in args:
        write(weights)


if __name__ == "__main__":
    main(*sys.argv[1:])
