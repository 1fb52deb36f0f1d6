"""Fits vocab/cut_weights.toml on tests/cases/machines.toml: tools/fit_cuts.py [--write].

Sets of weights, each shrunk quadratically. "cut", "span" and "pace", together: which clauses of a row open another
machine, which stretches are one, and in how many words the speaker tells of each; all ways of cutting a row are weighed
at all paces, and the right one is made likely. "row": is a recording a row; the recordings of one machine or line in
tests/cases count less each.

Most words of vocab/moves.toml came in with the very recordings that are fitted on, so that a machine's name is known
there far oftener than in any other talk. So each recording is read without the words that its set alone has. Judged in
folds over sets, never on what a fold was learned from. tests/cases/machines_unseen.toml is not read here.
"""

from __future__ import annotations

import re
import sys
import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path
from types import MappingProxyType

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from extractors.clause_names import bare
from extractors.lot_numbers import find_cues
from extractors.machines import ROW_BAR
from extractors.normalise import tokenise
from extractors.openings import find_openings
from extractors.row_marks import row_marks
from extractors.ruled_cuts import begins_as_one, ruled_cuts
from extractors.spans import PACE_MARKS, PACES, SPAN_MARKS
from extractors.ways import NEVER, all_ways, log_sum, stretches_likely, weigh
from extractors.weighed_cuts import PACE_NAMES, Clauses, clauses_of, cuts_at, of_cuts
from pipeline.timed_text import read_stamped
from tools.logistic import Floats, Model, least, logistic, matrix, scaled
from vocab import Table, Vocabulary, builtin

ROOT = Path(__file__).resolve().parents[1]
WITHIN = 5.0
FOLDS = 6
SHRINK = {"row": 28.0, "cut": 30.0, "span": 3.0, "pace": 3.0, "each pace": 2.0}
OTHERS = 0.3
"""Weight of a recording of one machine or line that was written for another purpose."""
FOLDERS = ("narrations", "figure_narrations", "narrations_by_others")
WEIGHTS = dict.fromkeys(FOLDERS, OTHERS) | {"narrations": 0.7}
"""By folder: our own narrations are whole visits; counted like those of others they are outweighed, and two are cut."""
SEVERAL = frozenset({"machine_tools", "print_shop"})
"""Recordings in these folders that go through several machines after all."""
HIDDEN = frozenset(
    ("main aux turn order chain here label late line together several serves back out closing apart").split()
)
"""Kinds of moves.toml whose words came in with recordings."""
WORDLESS = frozenset({"17", "18", "22", "23"})
"""Sets from which no word was taken into moves.toml."""
ROUNDS = 120
TOGETHER = 40
"""Recordings of like length that are weighed at once."""
Marks = dict[str, float]


@dataclass
class Recording:
    """One recording: what it was written with, where it is cut, and its marks."""

    batch: str
    cuts: list[float]
    words: Marks
    """Marks of the whole that its words have."""
    clauses: Clauses
    times: list[float]
    fold: int = 0
    cut: tuple[int, ...] = ()
    """Clauses at which it is cut."""


@dataclass(frozen=True)
class Models:
    """All of them; those of spans and paces have no constant."""

    cut: Model
    span: Floats
    pace: Floats
    at: Floats
    """Of each pace."""
    row: Model | None = None


def all_recordings() -> list[Recording]:
    """Cases of machines.toml, each with its set; then the recordings of one machine or line, by folder."""
    folder = ROOT / "tests/cases"
    cases = tomllib.loads((folder / "machines.toml").read_text(encoding="utf-8"))["case"]
    found = [(c["set"], c["text"], c["cuts"]) for c in cases]
    for name in FOLDERS:
        files = (p for p in sorted((folder / name).glob("*.txt")) if p.stem not in SEVERAL)
        found += [(name, p.read_text(encoding="utf-8"), []) for p in files]
    batches = sorted({batch for batch, _, _ in found} - set(FOLDERS))
    seen = {b: plain(text for batch, text, _ in found if batch == b) for b in {b for b, _, _ in found}}
    readers = {b: as_unseen(seen[b], [t for other, t in seen.items() if other != b]) for b in seen}
    readers |= dict.fromkeys(WORDLESS, builtin())
    out = [recording(batch, text, cuts, readers[batch]) for batch, text, cuts in found]
    for n, r in enumerate(out):
        r.fold = (batches.index(r.batch) if r.batch in batches else n) % FOLDS
    return out


def recording(batch: str, text: str, cuts: list[float], vocabulary: Vocabulary) -> Recording:
    """Its marks, as the reader sees them."""
    transcript = read_stamped(text, "case")
    tokens = tokenise(transcript, vocabulary)[0]
    cues, openings = find_cues(tokens, vocabulary), find_openings(tokens, vocabulary)
    rules = {at for at, _, _ in ruled_cuts(tokens, openings, cues, vocabulary)}
    row = row_marks(tokens, openings, cues, series=begins_as_one(tokens, vocabulary), vocabulary=vocabulary)
    found = clauses_of(tokens, cues, rules, vocabulary)
    times = [transcript.words[tokens[i].word].start for i in found.places]
    nearest = {min(range(1, len(times)), key=lambda n, c=c: abs(times[n] - c)) for c in cuts}
    return Recording(batch, cuts, row, found, times, cut=tuple(sorted(nearest)))


def plain(texts: Iterable[str]) -> str:
    """All words in lower case, as they are and in the singular."""
    words = re.findall(r"[a-z0-9'’-]+", re.sub(r"\[\d+:\d\d\]", "", " ".join(texts)).lower())
    return f" {' '.join(words)} {' '.join(map(bare, words))} "


def as_unseen(here: str, others: Sequence[str]) -> Vocabulary:
    """The vocabulary without words that are said here and in none of the others."""
    base = builtin()
    moves = base["moves"]

    def kept(said: str) -> bool:
        pattern = "#" in said or "*" in said
        return pattern or f" {said} " not in here or any(f" {said} " in other for other in others)

    rows = tuple(
        MappingProxyType(dict(r) | {"said": tuple(filter(kept, r["said"]))}) if r["kind"] in HIDDEN else r
        for r in moves.rows
    )
    tables = dict(base.tables) | {"moves": Table(moves.name, moves.columns, moves.unique, rows)}
    return Vocabulary(MappingProxyType(tables), base.digest)


def fit_row(rows: list[Marks], right: list[float], counts: list[float]) -> Model:
    """Which recordings are rows."""
    names = sorted({name for marks in rows for name in marks})
    return logistic(rows, names, right, counts, shrink=SHRINK["row"], rounds=ROUNDS)


class Padded:
    """Rows of like length, filled up to one: their marks, and where they are rightly cut."""

    def __init__(self, rows: Sequence[Recording], clauses: Sequence[Floats]) -> None:
        self.counts = np.array([len(x) for x in clauses])
        n = int(self.counts.max())
        self.clauses = np.zeros((len(rows), n, clauses[0].shape[1]))
        self.cut = np.zeros((len(rows), n))
        self.real = np.zeros((len(rows), n, n), dtype=bool)
        """By recording, clause and width: what is a stretch of the recording and not filled up."""
        right = np.zeros((len(rows), n, n))
        for k, (r, x) in enumerate(zip(rows, clauses, strict=True)):
            self.clauses[k, : len(x)] = x
            self.cut[k, list(r.cut)] = 1.0
            self.real[k] = np.arange(n)[:, None] + np.arange(n) < len(x)
            for first, last in pairwise([0, *r.cut, len(x)]):
                right[k, first, last - first - 1] = 1.0
        self.right = right[self.real]
        self.of = np.nonzero(self.real)[0]
        pairs = list(enumerate(rows))
        here = [self.real[k, : len(clauses[k]), : r.clauses.spans.shape[1]] for k, r in pairs]
        self.spans = np.concatenate([r.clauses.spans[here[k]] for k, r in pairs])
        self.paces = np.concatenate([r.clauses.paces[:, here[k]] for k, r in pairs], axis=1)

    def loss(self, sums: Floats, spans: Floats, at: Floats) -> tuple[float, Floats, Floats, Floats]:
        """How unlikely the right ways are, and its slopes: of the clauses' sums, the stretches' and the paces'."""
        stretches = np.full((len(at), *self.real.shape), NEVER)
        stretches[:, self.real] = spans
        ways = all_ways(sums, stretches, self.counts)
        right = [np.bincount(self.of, weights=x * self.right, minlength=len(sums)) for x in spans]
        by_pace, right_by_pace = at[:, None] + ways.totals, at[:, None] + np.stack(right)
        total, rightly = log_sum(by_pace.T), log_sum(right_by_pace.T)
        pace, right_pace = np.exp(by_pace - total), np.exp(right_by_pace - rightly)
        likely = (pace[:, :, None, None] * stretches_likely(ways, stretches))[:, self.real]
        return (
            float((total - rightly).sum() - (sums * self.cut).sum()),
            (pace[:, :, None] * ways.chances).sum(0) - self.cut,
            likely - right_pace[:, self.of] * self.right,
            (pace - right_pace).sum(1),
        )


def fit_cuts(recordings: list[Recording]) -> Models:
    """The right cuts of each row against all other ways of cutting it."""
    rows = sorted((r for r in recordings if r.cuts), key=lambda r: len(r.clauses.marks))
    names = sorted({name for r in rows for m in r.clauses.marks for name in m})
    x = [matrix([dict(m) for m in r.clauses.marks], names) for r in rows]
    mean, spread = scaled(np.vstack(x))
    z = [(m - mean) / spread for m in x]
    groups = [Padded(rows[k : k + TOGETHER], z[k : k + TOGETHER]) for k in range(0, len(rows), TOGETHER)]
    sizes = [len(names), 1, len(SPAN_MARKS), len(PACE_MARKS), len(PACES)]
    parts = [slice(sum(sizes[:k]), sum(sizes[: k + 1])) for k in range(len(sizes))]
    shrink = np.repeat([SHRINK["cut"], 1e-6, SHRINK["span"], SHRINK["pace"], SHRINK["each pace"]], sizes)

    def what(b: Floats) -> tuple[float, Floats]:
        value, slopes = 0.0, [np.zeros(size) for size in sizes]
        cut, always, span, pace, at = (b[part] for part in parts)
        for g in groups:
            more, *more_slopes = g.loss(g.clauses @ cut + always, g.spans @ span + g.paces @ pace, at)
            value += more
            slopes[0] += np.tensordot(more_slopes[0], g.clauses, 2)
            slopes[1] += more_slopes[0].sum()
            slopes[2] += more_slopes[1].sum(0) @ g.spans
            slopes[3] += np.tensordot(more_slopes[1], g.paces, 2)
            slopes[4] += more_slopes[2]
        return value, np.concatenate(slopes)

    b = least(what, shrink, ROUNDS)
    cut, always, span, pace, at = (b[part] for part in parts)
    found = cut / spread
    return Models(Model(names, found, float(always[0] - mean @ found)), span, pace, at)


def marks_of(r: Recording, found: Models) -> tuple[Marks, list[int]]:
    """Marks of the whole, with those of what a row would be cut into; and where it would be."""
    sums = found.cut.odds([dict(m) for m in r.clauses.marks])
    w = weigh(sums, r.clauses.spans @ found.span + r.clauses.paces @ found.pace, found.at)
    return r.words | of_cuts(r.clauses, w), cuts_at(r.clauses.places, w.chances)


def by_folds(recordings: list[Recording]) -> list[tuple[Marks, list[int]]]:
    """The same for each recording, by weights that were not fitted on it."""
    found = [fit_cuts([r for r in recordings if r.fold != n]) for n in range(FOLDS)]
    return [marks_of(r, found[r.fold]) for r in recordings]


def fit_rows(recordings: list[Recording], marks: list[Marks]) -> Model:
    """Row or line."""
    counts = [WEIGHTS.get(r.batch, 1.0) for r in recordings]
    return fit_row(marks, [float(bool(r.cuts)) for r in recordings], counts)


def judged_figures(recordings: list[Recording], judged: list[tuple[Marks, list[int]]]) -> dict[str, float]:
    """Figures of the folds: F1 within 5 s, lines cut and all of them, recordings rightly taken for a row or a line."""
    hits = gold = said = rows = cut = lines = rows_hits = rows_said = 0
    for n in range(FOLDS):
        known = [(r, m) for r, (m, _) in zip(recordings, judged, strict=True) if r.fold != n]
        row = fit_rows([r for r, _ in known], [m for _, m in known])
        for r, (marks, places) in zip(recordings, judged, strict=True):
            if r.fold != n:
                continue
            is_row = bool(row.odds([marks])[0] >= ROW_BAR)
            times = [r.times[k] for k in places]
            near = right_ones(times, r.cuts)
            hits, gold, said = hits + near * is_row, gold + len(r.cuts), said + len(times) * is_row
            rows_hits, rows_said = rows_hits + near, rows_said + len(times) * bool(r.cuts)
            rows += bool(r.cuts) == is_row
            lines, cut = lines + (not r.cuts), cut + (not r.cuts and is_row and bool(times))
    return {
        "f1": 2 * hits / (gold + said),
        "f1 where it is known which are rows": 2 * rows_hits / (gold + rows_said),
        "lines cut": cut,
        "lines": lines,
        "row or line right": rows,
        "recordings": len(recordings),
    }


def right_ones(found: list[float], cuts: list[float]) -> int:
    """How many cuts are found within 5 s, each by one of its own."""
    left = list(found)
    for cut in cuts:
        near = [f for f in left if abs(f - cut) <= WITHIN]
        if near:
            left.remove(min(near, key=lambda f: abs(f - cut)))
    return len(found) - len(left)


def table(found: Models) -> str:
    """The text of vocab/cut_weights.toml."""
    head = (ROOT / "vocab/cut_weights.toml").read_text(encoding="utf-8").split("[[row]]")[0]
    out = [head.rstrip() + "\n"]
    assert found.row is not None
    listed = [
        *((of, "always", m.always) for of, m in (("row", found.row), ("cut", found.cut))),
        *(("row", name, weight) for name, weight in zip(found.row.names, found.row.weights, strict=True)),
        *(("cut", name, weight) for name, weight in zip(found.cut.names, found.cut.weights, strict=True)),
        *(("span", name, weight) for name, weight in zip(SPAN_MARKS, found.span, strict=True)),
        *(("pace", name, weight) for name, weight in zip(PACE_MARKS, found.pace, strict=True)),
        *(("pace", name, weight) for name, weight in zip(PACE_NAMES, found.at, strict=True)),
    ]
    for of, name, weight in listed:
        mark = f"{of}: {name}".replace('"', '\\"')
        out.append(f'\n[[row]]\nmark = "{mark}"\nof = "{of}"\nweight = {weight:.3f}\n')
    return "".join(out)


if __name__ == "__main__":
    known = all_recordings()
    judged = by_folds(known)
    print("in folds:", ", ".join(f"{what} {value:.3g}" for what, value in judged_figures(known, judged).items()))
    if "--write" in sys.argv[1:]:
        fitted = fit_cuts(known)
        fitted = replace(fitted, row=fit_rows(known, [marks for marks, _ in judged]))
        (ROOT / "vocab/cut_weights.toml").write_text(table(fitted), encoding="utf-8")
