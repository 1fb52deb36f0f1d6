"""Fits vocab/thing_weights.toml on the golds of tests/cases: tools/fit_things.py [--write] [FOLDER…].

Of every name that the rules weigh (those that they list and those that they leave) it is known from the gold whether it
was wanted: a listed one where it is matched, one left out where it would be. Marks of all are fitted together,
logistic and shrunk quadratically. Judged in folds over whole narrations, and on the FOLDERs by weights that never saw
them: F1 of what is listed as the rules have it, and without what is outweighed.

The rules were made on narrations_by_others and narrations; the scenes are the fairer judge. The narrations by which the
project is measured are not fitted on.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rapidfuzz import fuzz

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from extractors.asides import mark_asides
from extractors.components import Gatherer
from extractors.mentions import ThingMention
from extractors.normalise import tokenise
from extractors.quantities import find_measures
from extractors.repairs import find_repairs, without
from extractors.scene import scene
from extractors.sequences import find_sequences
from extractors.thing_marks import Marks
from extractors.thing_talk import thing_marks
from extractors.weighed_things import BAR, meant
from pipeline.timed_text import read_timed_text
from tools.evaluate import alike
from tools.logistic import Floats, Model, logistic
from vocab import builtin

ROOT = Path(__file__).resolve().parents[1]
FOLDERS = ("narrations", "narrations_by_others", "scenes/components")
FOLDS = 6
SHRINK = 60.0
ROUNDS = 300
LEAST_ROWS, LEAST_RECORDINGS = 8, 8
"""Names of a mark at least; recordings that say a noun which is a mark, so that no maker's name is one."""
LEAST_GOLD = 4
"""Things in a gold that lists things at all."""
SMALLEST = 0.005
"""Weights nearer to nothing than this are left out of the table."""


@dataclass(frozen=True)
class Row:
    """One name that the rules weighed."""

    marks: Marks
    listed: bool
    wanted: bool


@dataclass(frozen=True)
class Narration:
    """One recording: its names, and how many things are in its gold, matched, and said."""

    folder: str
    rows: Sequence[Row]
    gold: int
    hit: int
    said: int


def all_narrations(folders: Sequence[Path]) -> list[Narration]:
    """Every narration of the folders whose gold lists things."""
    out = []
    for folder in folders:
        for path in sorted(folder.glob("*.gold.json")):
            gold = json.loads(path.read_text(encoding="utf-8")).get("components") or []
            if len(gold) >= LEAST_GOLD:
                out.append(narration(folder, path.with_name(path.name.replace(".gold.json", ".txt")), gold))
    return out


def narration(folder: Path, path: Path, gold: list[dict[str, Any]]) -> Narration:
    """The names of a narration, as the gatherer meets them."""
    vocabulary = builtin()
    tokens = tokenise(read_timed_text(path), vocabulary)[0]
    tokens = mark_asides(without(tokens, find_repairs(tokens, vocabulary)), vocabulary)
    measures = find_measures(tokens, vocabulary)
    sequences = find_sequences(tokens, measures, vocabulary)
    gatherer = Gatherer(scene(tokens, measures, vocabulary), sequences, vocabulary)
    mentions = gatherer.gather()
    things = [i for i, m in enumerate(mentions) if m.same_as is None and m.status != "withdrawn"]
    hits, missed = matched(things, mentions, gold)
    rows = []
    for n, ruled in gatherer.ruled:
        marks = thing_marks(gatherer.recording, n, ruled=ruled)
        if ruled == "listed":
            (index,) = gatherer.mentioned[n]
            rows.append(Row(marks, True, index in hits))
        else:
            rows.append(Row(marks, False, any(alike(gatherer.phrases[n].text, g["n"]) for g in missed)))
    return Narration(folder.name, rows, len(gold), len(hits), len(things))


def matched(
    things: Sequence[int], mentions: Sequence[ThingMention], gold: list[dict[str, Any]]
) -> tuple[set[int], list[dict[str, Any]]]:
    """Things that a gold has, as tools/evaluate.py matches them, and what of the gold was missed."""
    left, hits, missed = [*things], set[int](), []
    for g in gold:
        fits = [i for i in left if alike(mentions[i].name, g["n"])]
        if not fits:
            missed.append(g)
            continue
        best = max(
            fits,
            key=lambda i: max(fuzz.ratio(mentions[i].name, n) for n in g["n"]) + 20 * (mentions[i].count == g["c"]),
        )
        left.remove(best)
        hits.add(best)
    return hits, missed


def marks_known(narrations: Sequence[Narration]) -> list[str]:
    """The marks that are often enough seen to be weighed."""
    rows = Counter(name for n in narrations for row in n.rows for name in row.marks)
    said = Counter(name for n in narrations for name in {m for row in n.rows for m in row.marks})
    return sorted(
        name
        for name, count in rows.items()
        if count >= LEAST_ROWS and (said[name] >= LEAST_RECORDINGS or not name.startswith("noun "))
    )


def fit(narrations: Sequence[Narration]) -> Model:
    """Which names are wanted."""
    rows = [row for n in narrations for row in n.rows]
    wanted = [float(row.wanted) for row in rows]
    names = marks_known(narrations)
    return logistic([row.marks for row in rows], names, wanted, [1.0] * len(rows), shrink=SHRINK, rounds=ROUNDS)


def odds(found: Model, n: Narration) -> Floats:
    """The odds of all names of a narration."""
    return found.odds([row.marks for row in n.rows])


def by_folds(narrations: Sequence[Narration]) -> list[Floats]:
    """The odds of all names of each narration, by weights that were not fitted on it."""
    found = [fit([n for k, n in enumerate(narrations) if k % FOLDS != f]) for f in range(FOLDS)]
    return [odds(found[k % FOLDS], n) for k, n in enumerate(narrations)]


def f1(narrations: Sequence[Narration], sums: Sequence[Floats], bar: float) -> float:
    """F1 of what is listed where what is below the bar is not, unless it is meant to be."""
    hit, said, gold = (sum(getattr(n, what) for n in narrations) for what in ("hit", "said", "gold"))
    for n, of_names in zip(narrations, sums, strict=True):
        gone = [row for row, x in zip(n.rows, of_names, strict=True) if row.listed and x < bar and not meant(row.marks)]
        hit, said = hit - sum(row.wanted for row in gone), said - len(gone)
    return 2 * hit / (gold + said)


def table(found: Model) -> str:
    """The text of vocab/thing_weights.toml."""
    head = (ROOT / "vocab/thing_weights.toml").read_text(encoding="utf-8").split("[[row]]")[0]
    out = [head.rstrip() + "\n"]
    for name, weight in [("always", found.always), *zip(found.names, found.weights, strict=True)]:
        if abs(weight) >= SMALLEST:
            mark = name.replace('"', '\\"')
            out.append(f'\n[[row]]\nmark = "{mark}"\nweight = {weight:.3f}\n')
    return "".join(out)


def judge(name: str, narrations: Sequence[Narration], sums: Sequence[Floats]) -> None:
    """Print F1 by the rules alone and weighed."""
    bars = (-9e9, BAR - 0.4, BAR, BAR + 0.4)
    rules, low, at, high = (f1(narrations, sums, bar) for bar in bars)
    print(f"{name}: rules {rules:.3f}, weighed {at:.3f} ({low:.3f} and {high:.3f} at bars 0.4 lower and higher)")


if __name__ == "__main__":
    known = all_narrations([ROOT / "tests/cases" / f for f in FOLDERS])
    judged = by_folds(known)
    for folder in FOLDERS:
        chosen = [k for k, n in enumerate(known) if n.folder == Path(folder).name]
        judge(f"{folder}, in folds", [known[k] for k in chosen], [judged[k] for k in chosen])
    fitted = fit(known)
    for place in (a for a in sys.argv[1:] if a != "--write"):
        others = all_narrations([Path(place)])
        judge(place, others, [odds(fitted, n) for n in others])
    if "--write" in sys.argv[1:]:
        (ROOT / "vocab/thing_weights.toml").write_text(table(fitted), encoding="utf-8")
