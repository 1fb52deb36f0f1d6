"""Fits vocab/cut_weights.toml on tests/cases/machines.toml: tools/fit_cuts.py [--write].

Two logistic models with quadratic shrinkage. "row": is a recording a row of machines; the recordings of one machine or
line in tests/cases count less each. "cut": which clauses of a row open another machine; learned from rows alone.
Judged in five folds over sets of recordings written together, never on what a fold was learned from: "alone" is the
model without the rules, because the rules were learned from all of the cases and no fold takes that out of them.
"""

from __future__ import annotations

import sys
import tomllib
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from extractors.lot_numbers import find_cues
from extractors.machines import ROW_BAR, WEIGHED_BAR, begins_as_one
from extractors.normalise import tokenise
from extractors.openings import clauses, find_openings
from extractors.weighed_cuts import APART, clause_marks, row_marks, told
from pipeline.timed_text import read_stamped
from vocab import builtin

ROOT = Path(__file__).resolve().parents[1]
WITHIN = 5.0
FOLDS = 5
SHRINK = {"row": 20.0, "cut": 60.0}
OTHERS = 0.3
"""Weight of a recording of one machine or line that was written for another purpose."""
FOLDERS = ("narrations", "figure_narrations", "narrations_by_others", "narrations_first_read")
SEVERAL = frozenset({"machine_tools", "print_shop"})
"""Recordings in these folders that go through several machines after all."""
Floats = NDArray[np.float64]
Marks = dict[str, float]
Model = tuple[list[str], Floats, float]


@dataclass(frozen=True)
class Recording:
    """One recording: what it was written with, where it is cut, and the marks of it and of its clauses."""

    batch: str
    cuts: list[float]
    row: Marks
    places: list[int]
    times: list[float]
    marks: list[Marks]


def recording(batch: str, text: str, cuts: list[float]) -> Recording:
    """Its marks, as the reader sees them."""
    vocabulary = builtin()
    transcript = read_stamped(text, "case")
    tokens = tokenise(transcript, vocabulary)[0]
    cues, openings = find_cues(tokens, vocabulary), find_openings(tokens, vocabulary)
    row = row_marks(tokens, openings, cues, series=begins_as_one(tokens, vocabulary), vocabulary=vocabulary)
    places = list(clauses(tokens, vocabulary))
    t = told(tokens, cues, vocabulary)
    marks = [clause_marks(tokens, places, n, t, vocabulary) for n in range(len(places))]
    times = [transcript.words[tokens[i].word].start for i in places]
    return Recording(batch, cuts, row, places, times, marks)


def all_recordings() -> list[Recording]:
    """Cases of machines.toml, each with its set; then the recordings of one machine or line, by folder."""
    folder = ROOT / "tests/cases"
    cases = tomllib.loads((folder / "machines.toml").read_text(encoding="utf-8"))["case"]
    out = [recording(c["set"], c["text"], c["cuts"]) for c in cases]
    for name in FOLDERS:
        files = (p for p in sorted((folder / name).glob("*.txt")) if p.stem not in SEVERAL)
        out += [recording(name, p.read_text(encoding="utf-8"), []) for p in files]
    return out


def fit(rows: list[Marks], right: list[float], counts: list[float], shrink: float) -> Model:
    """Newton's method on the shrunk logistic likelihood; marks are scaled to a spread of one, at least 0.05."""
    names = sorted({name for marks in rows for name in marks})
    x = matrix(rows, names)
    mean, spread = x.mean(0), np.maximum(x.std(0), 0.05)
    z = np.hstack([(x - mean) / spread, np.ones((len(x), 1))])
    y, w, b = np.array(right), np.array(counts), np.zeros(len(names) + 1)
    ridge = np.array([shrink] * len(names) + [1e-6])
    for _ in range(50):
        p = 1 / (1 + np.exp(-np.clip(z @ b, -30, 30)))
        step = np.linalg.solve((z * (w * p * (1 - p))[:, None]).T @ z + np.diag(ridge), z.T @ (w * (p - y)) + ridge * b)
        b = b - step
        if np.abs(step).max() < 1e-6:
            break
    found = b[:-1] / spread
    return names, found, float(b[-1] - mean @ found)


def matrix(rows: list[Marks], names: list[str]) -> Floats:
    """One line for each of rows, one column for each name."""
    return np.array([[marks.get(name, 0.0) for name in names] for marks in rows])


def odds(model: Model, rows: list[Marks]) -> Floats:
    """Log odds of each."""
    names, found, always = model
    out: Floats = matrix(rows, names) @ found + always
    return out


def models(recordings: list[Recording]) -> dict[str, Model]:
    """Both, fitted on these recordings."""
    counts = [OTHERS if r.batch in FOLDERS else 1.0 for r in recordings]
    row = fit([r.row for r in recordings], [float(bool(r.cuts)) for r in recordings], counts, SHRINK["row"])
    marks: list[Marks] = []
    right: list[float] = []
    for r in recordings:
        nearest = {min(range(len(r.times)), key=lambda n, r=r, c=c: abs(r.times[n] - c)) for c in r.cuts}
        for n, (at, of_clause) in enumerate(zip(r.times, r.marks, strict=True)):
            # a clause beside the right one is neither right nor wrong
            if r.cuts and (n in nearest or all(abs(at - c) > WITHIN for c in r.cuts)):
                marks.append(of_clause)
                right.append(float(n in nearest))
    return {"row": row, "cut": fit(marks, right, [1.0] * len(right), SHRINK["cut"])}


def cuts_of(r: Recording, found: dict[str, Model]) -> list[float]:
    """Seconds at which the two models alone cut."""
    if odds(found["row"], [r.row])[0] < ROW_BAR:
        return []
    weighed = odds(found["cut"], r.marks)
    taken: list[int] = []
    for n in sorted(range(len(weighed)), key=lambda n: -weighed[n]):
        apart = all(abs(r.places[n] - r.places[k]) >= APART for k in taken)
        if weighed[n] >= WEIGHED_BAR and r.places[n] >= APART and apart:
            taken.append(n)
    return sorted(r.times[n] for n in taken)


def judged_figures(recordings: list[Recording]) -> dict[str, float]:
    """Figures of the folds: F1 within 5 s, lines cut and all of them, recordings rightly taken for a row or a line."""
    batches = sorted({r.batch for r in recordings})
    fold = {b: n % FOLDS for n, b in enumerate(batches)}
    hits = gold = said = rows = cut = lines = 0
    for n in range(FOLDS):
        found = models([r for r in recordings if fold[r.batch] != n])
        for r in (r for r in recordings if fold[r.batch] == n):
            times = cuts_of(r, found)
            hits += sum(any(abs(t - c) <= WITHIN for t in times) for c in r.cuts)
            gold, said = gold + len(r.cuts), said + len(times)
            rows += bool(r.cuts) == (odds(found["row"], [r.row])[0] >= ROW_BAR)
            lines, cut = lines + (not r.cuts), cut + (not r.cuts and bool(times))
    f1 = 2 * hits / (gold + said)
    return {"f1": f1, "lines cut": cut, "lines": lines, "row or line right": rows, "recordings": len(recordings)}


def table(found: dict[str, Model]) -> str:
    """The text of vocab/cut_weights.toml."""
    head = (ROOT / "vocab/cut_weights.toml").read_text(encoding="utf-8").split("[[row]]")[0]
    out = [head.rstrip() + "\n"]
    for of, (names, weights, always) in found.items():
        for name, weight in [("always", always), *zip(names, weights, strict=True)]:
            out.append(f'\n[[row]]\nmark = "{of}: {name}"\nof = "{of}"\nweight = {weight:.3f}\n')
    return "".join(out)


if __name__ == "__main__":
    known = all_recordings()
    print("in folds, alone:", ", ".join(f"{what} {value:.3g}" for what, value in judged_figures(known).items()))
    if "--write" in sys.argv[1:]:
        (ROOT / "vocab/cut_weights.toml").write_text(table(models(known)), encoding="utf-8")
