"""Fits vocab/take_doubts.toml: tools/fit_doubted_takes.py [--write] [FOLDER…].

Learned from is what the rules find taken back in the narrations and take-back scenes of tests/cases, in
tests/cases/snippets/a.jsonl and c.jsonl (sentences of other cases in which the rules find something, right or wrong),
tests/cases/takebacks.toml and folders that are named. It is right where a gold has both sides. Judged in folds over
recordings.
"""

from __future__ import annotations

import json
import re
import sys
import tomllib
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from extractors.doubted_takes import LEAST, TABLE
from extractors.normalise import tokenise
from extractors.repairs import takes_by_rule
from extractors.rule_marks import rule_marks
from extractors.take_marks import Marks
from extractors.takebacks import LONGEST, pieces_of, tools
from extractors.weighed_takes import talk_of
from pipeline.timed_text import read_stamped
from tools import fit_takes
from tools.fit_takes import CASES, FOLDERS, ROOT, Floats, Gold, listed, logistic, says, texts
from tools.logistic import matrix
from vocab import builtin

FOLDS = 12
FEWEST = 5
"""Take-backs that have a mark, at least."""
SHRINK = 4.0


@dataclass
class Found:
    """One take-back by a rule."""

    right: bool
    marks: Marks
    said: str


def found_in(text: str, golds: list[Gold]) -> Iterator[Found]:
    """What the rules that may be doubted find in a text."""
    vocabulary = builtin()
    tokens, _ = tokenise(read_stamped(text, "case"), vocabulary)
    pieces, where = pieces_of(tokens, tools(vocabulary)[0])
    talk = talk_of(pieces, tokens, where, vocabulary, frozenset())
    left = list(golds)
    for take in takes_by_rule(pieces, vocabulary):
        old, new = (
            " ".join(tokens[where[k]].text for k in range(s[0], min(s[1], s[0] + LONGEST))) if s is not None else ""
            for s in (take.heard or take.withdrawn, take.read or take.kept)
        )
        if not take.reported or old.lower() == new.lower() or not new:
            continue
        gold = next((g for g in left if says(old, g[0]) and says(new, g[1])), None)
        if gold is not None:
            left.remove(gold)
        if take.rule:
            yield Found(gold is not None, rule_marks(talk, take), f"{old} -> {new}")


def fit(known: Sequence[Found]) -> tuple[list[str], Floats]:
    """Names of the marks, and their weights with the constant behind them."""
    counts = Counter(name for f in known for name in f.marks)
    names = sorted(name for name, n in counts.items() if n >= FEWEST)
    y = np.array([float(f.right) for f in known])
    return names, logistic(matrix([f.marks for f in known], names), y, np.ones(len(y)), SHRINK)


def main(*args: str) -> None:
    """Print what the folds give; with --write fit on all and write the table."""
    folders = [CASES / f for f in FOLDERS] + [Path(a) for a in args if a != "--write"]
    known = [list(found_in(text, golds)) for text, golds in [*texts(folders), *_more()]]
    if "--write" in args:
        path = ROOT / f"vocab/{TABLE}.toml"
        path.write_text(fit_takes.table(*fit([f for r in known for f in r]), path), encoding="utf-8")
        return
    dropped: list[Found] = []
    for n in range(FOLDS):
        names, b = fit([f for k, r in enumerate(known) if k % FOLDS != n for f in r])
        held = [f for r in known[n::FOLDS] for f in r]
        sums = matrix([f.marks for f in held], names) @ b[:-1] + b[-1]
        dropped += [f for f, s in zip(held, sums, strict=True) if s < LEAST]
    right = sum(f.right for r in known for f in r)
    print(f"in folds: of {right} right ones {sum(f.right for f in dropped)} dropped, of "
          f"{sum(map(len, known)) - right} false ones {sum(not f.right for f in dropped)}")  # fmt: skip


def _more() -> Iterator[tuple[str, list[Gold]]]:
    for line in (CASES / "snippets/c.jsonl").read_text(encoding="utf-8").splitlines():
        one = json.loads(line)
        yield one["text"], [(listed(c["dropped"]), listed(c["kept"])) for c in one["corrections"]]
    for case in tomllib.loads((CASES / "takebacks.toml").read_text(encoding="utf-8"))["case"]:
        golds = [([case["heard"]], [case["read"]])] if case["heard"] else []
        yield "[0:00] " + case["said"], golds
        if not case.get("paused"):
            yield "[0:00] " + re.sub(r"[.,;:?!]", "", case["said"]).lower(), golds


if __name__ == "__main__":
    main(*sys.argv[1:])
