"""Fits vocab/name_take_weights.toml: tools/fit_name_takes.py [--write] [FOLDER…].

Learned from are the narrations and take-back scenes of tests/cases, tests/cases/snippets/a.jsonl, folders that are
named and sentences of the cases for figures and checks, less what the rules find in them. A pair of names is right
where a gold has both sides as their wording (tools/fit_takes.py). Judged in folds over recordings: what pairs alone
give, and what they add to the rules.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from extractors.name_marks import name_marks
from extractors.normalise import tokenise
from extractors.repairs import takes_by_rule
from extractors.said_names import names_said
from extractors.takebacks import met_by, pieces_of, tools
from extractors.weighed_names import CHANCE, TABLE, name_pairs
from extractors.weighed_takes import talk_of
from pipeline.timed_text import read_stamped
from tools import fit_takes
from tools.fit_takes import CASES, FOLDERS, FOLDS, ROOT, Floats, Gold, Recording, fit, matrix, says, sentences, texts
from vocab import builtin

LEAST, SHRINK = 10, 12.0
"""Pairs that have a mark, at least, and how much weights are held down; the best of a few in folds."""


@dataclass
class Named(Recording):
    """A recording with its pairs of names, and what the rules have done with them."""

    ruled: frozenset[int]
    """Golds that the rules find."""
    met: list[bool]
    """Of each pair whether the rules have touched it."""


def recording(text: str, golds: list[Gold], *, as_ruled: bool = False) -> Named:
    """The pairs of names of a text, as the reader sees them; as_ruled leaves out those that meet what rules find."""
    vocabulary = builtin()
    tokens, _ = tokenise(read_stamped(text, "case"), vocabulary)
    pieces, where = pieces_of(tokens, tools(vocabulary)[0])
    talk = talk_of(pieces, tokens, where, vocabulary, frozenset())
    names, rules = names_said(pieces), takes_by_rule(pieces, vocabulary)

    def words(span: tuple[int, int] | None) -> str:
        return " ".join(tokens[where[k]].text for k in range(*span)) if span is not None else ""

    def gold_of(old: str, new: str) -> int | None:
        return next((k for k, (a, b) in enumerate(golds) if says(old, a) and says(new, b)), None)

    pairs = list(name_pairs(talk, names))
    sides = [tuple(words((names[k].first, names[k].end)) for k in pair) for pair in pairs]
    ruled = {gold_of(words(t.heard or t.withdrawn), words(t.read or t.kept)) for t in rules} - {None}
    gone = met_by(rules)
    met = [any(k in gone for x in pair for k in range(names[x].first, names[x].end)) for pair in pairs]
    if as_ruled:
        pairs, sides, met = ([x for x, m in zip(xs, met, strict=True) if not m] for xs in (pairs, sides, met))
    marks = [name_marks(talk, names, o, n) for o, n in pairs]
    return Named(golds, marks, [gold_of(*s) for s in sides], pairs, frozenset(k for k in ruled if k is not None), met)


def chosen(r: Named, names: Sequence[str], b: Floats, *, beyond: bool) -> list[int | None]:
    """The golds of the pairs that are put on record, None for those that fit none; beyond: where no rule was."""
    if not r.marks:
        return []
    sums = matrix([r], names) @ b[:-1] + b[-1]
    gone: set[int] = set()
    out = []
    for n in np.argsort(-sums):
        if sums[n] < np.log(CHANCE / (1 - CHANCE)):
            break
        if gone & set(r.pairs[n]) or (beyond and r.met[n]):
            continue
        gone |= set(r.pairs[n])
        out.append(r.gold[n])
    return out


def judged(recordings: Sequence[Named]) -> dict[str, int]:
    """Take-backs found and false ones in folds."""
    out = dict.fromkeys(("alone", "alone false", "beyond the rules", "beyond the rules, false"), 0)
    for n in range(FOLDS):
        names, b = fit([r for k, r in enumerate(recordings) if k % FOLDS != n], LEAST, SHRINK)
        for r in recordings[n::FOLDS]:
            alone, more = chosen(r, names, b, beyond=False), chosen(r, names, b, beyond=True)
            out["alone"] += len(set(alone) - {None})
            out["alone false"] += alone.count(None)
            out["beyond the rules"] += len(set(more) - {None} - r.ruled)
            out["beyond the rules, false"] += more.count(None)
    return out


def main(*args: str) -> None:
    """Print what the folds give; with --write fit on all and write the table."""
    folders = [CASES / f for f in FOLDERS] + [Path(a) for a in args if a != "--write"]
    known = [recording(text, golds) for text, golds in texts(folders)]
    known += [recording(text, [], as_ruled=True) for text in sentences()]
    if "--write" in args:
        path = ROOT / f"vocab/{TABLE}.toml"
        path.write_text(fit_takes.table(*fit(known, LEAST, SHRINK), path), encoding="utf-8")
    else:
        print("in pairs:", sum(len(set(r.gold) - {None}) for r in known))
        print("in folds:", ", ".join(f"{what} {value}" for what, value in judged(known).items()))


if __name__ == "__main__":
    main(*sys.argv[1:])
