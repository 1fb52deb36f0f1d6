"""Fits vocab/take_weights.toml: tools/fit_takes.py [--write] [FOLDER…].

Learned from are the narrations and take-back scenes of tests/cases, tests/cases/snippets/a.jsonl, folders of stamped
narrations with golds that are named, and sentences of the cases for figures and checks: what the rules find there is
left out, and besides nothing is taken back in them (two figures that contradict each other must stay two figures).
tests/cases/snippets/b.jsonl is not read here: it is there to be measured by.

A pair of values is right where a gold has both sides as their wording; of several pairs that fit one gold the likeliest
is meant, and the others say nothing. Judged in folds over recordings, never on what a fold was learned from.
"""

from __future__ import annotations

import json
import re
import sys
import tomllib
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize
from scipy.sparse import csr_matrix

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from extractors.mentions import Tokens
from extractors.normalise import tokenise
from extractors.repairs import takes_by_rule
from extractors.said_values import Said
from extractors.take_marks import Marks, pair_marks
from extractors.takebacks import pieces_of, tools
from extractors.weighed_takes import CHANCE, pairs, talk_of, touched
from extractors.word_classes import classes_of
from pipeline.timed_text import read_stamped
from vocab import builtin

ROOT = Path(__file__).resolve().parents[1]
CASES = ROOT / "tests/cases"
FOLDERS = ("narrations", "narrations_by_others", "scenes/take")
SENTENCES = ("checks_*.toml", "figures.toml", "takebacks.toml", "breakdowns.toml", "components.toml")
FEWEST = 6
"""Words of a text in these that is talk."""
FOLDS = 8
SHRINK = 6.0
COMMON = 20
"""Recordings in which a word of talk, no noun or number, is said that is a mark by itself."""
NOUNS = frozenset({"content", "unit", "number", "name"})
LEAST = 20
"""Pairs that have a mark, at least."""
ROUNDS = 3
LITTLE = frozenset("a an the is are it its that of to and or no not sorry".split())
Floats = NDArray[np.float64]
Gold = tuple[list[str], list[str]]


@dataclass
class Recording:
    """One text with its pairs of values."""

    golds: list[Gold]
    marks: list[Marks]
    gold: list[int | None]
    """Of each pair the gold that it fits."""
    pairs: list[tuple[int, int]]


def listed(value: Any) -> list[str]:
    """One or several as several."""
    return value if isinstance(value, list) else [value]


def texts(folders: Sequence[Path]) -> Iterator[tuple[str, list[Gold]]]:
    """All texts with what is taken back in them."""
    for folder in folders:
        for path in sorted(folder.glob("*.gold.json")):
            gold = json.loads(path.read_text(encoding="utf-8"))
            text = path.with_name(path.name.replace(".gold.json", ".txt")).read_text(encoding="utf-8")
            if "corrections" in gold:
                yield text, [(listed(c["dropped"]), listed(c["kept"])) for c in gold["corrections"]]
    for line in (CASES / "snippets/a.jsonl").read_text(encoding="utf-8").splitlines():
        snippet = json.loads(line)
        yield snippet["text"], [(listed(c["dropped"]), listed(c["kept"])) for c in snippet["corrections"]]


def sentences() -> Iterator[str]:
    """Talk in the cases for figures and checks."""
    for path in sorted(p for pattern in SENTENCES for p in CASES.glob(pattern)):
        yield from _talk(tomllib.loads(path.read_text(encoding="utf-8")))


def _talk(value: Any) -> Iterator[str]:
    if isinstance(value, str) and len(value.split()) >= FEWEST:
        yield value if value.lstrip().startswith("[") else f"[0:00] {value}"
    elif isinstance(value, list):
        for one in value:
            yield from _talk(one)
    elif isinstance(value, dict):
        for key, one in value.items():
            if key != "why":
                yield from _talk(one)


def plain(text: str) -> list[str]:
    """Words in lower case, figures without commas."""
    text = re.sub(r"(?<=\d),(?=\d{3})", "", text.lower())
    return [w.strip(".") for w in re.sub(r"[^a-z0-9.]+", " ", text).split() if w.strip(".")]


def says(said: str, wordings: list[str]) -> bool:
    """Whether the words are one of the wordings, or hold it, or are what it says at all."""
    words = set(plain(said))
    core = words - LITTLE
    return any(set(plain(w)) <= words or (core and core <= set(plain(w))) for w in wordings)


def recording(text: str, golds: list[Gold], common: frozenset[str], *, as_ruled: bool = False) -> Recording:
    """Its pairs, as the reader sees them; as_ruled leaves out those that meet what the rules find."""
    vocabulary = builtin()
    tokens, _ = tokenise(read_stamped(text, "case"), vocabulary)
    pieces, where = pieces_of(tokens, tools(vocabulary)[0])
    talk = talk_of(pieces, tokens, where, vocabulary, common)
    found = list(pairs(talk.values, talk.sentences))
    if as_ruled:
        gone, held = touched(talk.values, takes_by_rule(pieces, vocabulary))
        found = [(o, n) for o, n in found if o not in gone and n not in held]

    def fits(o: Said, n: Said) -> int | None:
        wordings = [_texts(tokens, where, v) for v in (o, n)]
        for k, sides in enumerate(golds):
            if all(any(says(w, side) for w in ways) for ways, side in zip(wordings, sides, strict=True)):
                return k
        return None

    gold = [fits(talk.values[o], talk.values[n]) for o, n in found]
    return Recording(golds, [pair_marks(talk, o, n) for o, n in found], gold, found)


def _texts(tokens: Tokens, where: Sequence[int], value: Said) -> tuple[str, str]:
    """The value alone, and with its unit."""
    words = [tokens[where[k]].text for k in range(value.first, value.end)]
    return " ".join(words[: value.last - value.first]), " ".join(words)


def matrix(recordings: Sequence[Recording], names: Sequence[str]) -> csr_matrix:
    """One line for each pair, one column for each mark."""
    at = {name: k for k, name in enumerate(names)}
    rows, columns, values = [], [], []
    lines = [marks for r in recordings for marks in r.marks]
    for line, marks in enumerate(lines):
        for name in marks.keys() & at.keys():
            rows.append(line)
            columns.append(at[name])
            values.append(float(marks[name]))
    return csr_matrix((values, (rows, columns)), shape=(len(lines), len(names)))


def logistic(x: csr_matrix | Floats, y: Floats, w: Floats, shrink: float = SHRINK) -> Floats:
    """Weights with the least loss and shrinkage, the constant last."""

    def loss(b: Floats) -> tuple[float, Floats]:
        s = x @ b[:-1] + b[-1]
        off = w * (1 / (1 + np.exp(-np.clip(s, -30, 30))) - y)
        value = (w * (np.logaddexp(0, s) - y * s)).sum() + 0.5 * shrink * (b[:-1] ** 2).sum()
        return float(value), np.append(x.T @ off + shrink * b[:-1], off.sum())

    out: Floats = minimize(loss, np.zeros(x.shape[1] + 1), jac=True, method="L-BFGS-B", options={"maxiter": 150}).x
    return out


def fit(recordings: Sequence[Recording], least: int = LEAST, shrink: float = SHRINK) -> tuple[list[str], Floats]:
    """Names of the marks, and their weights with the constant behind them."""
    counts = Counter(name for r in recordings for marks in r.marks for name in marks)
    names = sorted(name for name, n in counts.items() if n >= least)
    x = matrix(recordings, names)
    meant: dict[tuple[int, int], list[int]] = defaultdict(list)
    line = 0
    for k, r in enumerate(recordings):
        for gold in r.gold:
            if gold is not None:
                meant[k, gold].append(line)
            line += 1
    weigh = np.ones(line)
    weigh[[n for lines in meant.values() for n in lines]] = 0
    sums = -x[:, names.index("apart")].toarray().ravel()
    for _ in range(ROUNDS):
        picked = [max(lines, key=lambda n: float(sums[n])) for lines in meant.values()]
        y, w = np.zeros(line), weigh.copy()
        y[picked] = w[picked] = 1
        b = logistic(x, y, w, shrink)
        sums = x @ b[:-1] + b[-1]
    return names, b


def taken(r: Recording, names: Sequence[str], b: Floats) -> list[int | None]:
    """The golds of the pairs that are put on record; None for those that fit none."""
    if not r.marks:
        return []
    sums = matrix([r], names) @ b[:-1] + b[-1]
    olds: set[int] = set()
    news: set[int] = set()
    out = []
    for n in np.argsort(-sums):
        o, k = r.pairs[n]
        if sums[n] < np.log(CHANCE / (1 - CHANCE)):
            break
        if o not in olds and k not in news:
            olds.add(o)
            news.add(k)
            out.append(r.gold[n])
    return out


def judged(recordings: Sequence[Recording]) -> dict[str, int]:
    """Figures of the folds: take-backs found by weighing alone, all that pairs can give, false ones."""
    hits = false = 0
    for n in range(FOLDS):
        names, b = fit([r for k, r in enumerate(recordings) if k % FOLDS != n])
        for r in recordings[n::FOLDS]:
            found = taken(r, names, b)
            hits += len(set(found) - {None})
            false += found.count(None)
    return {
        "found": hits,
        "in pairs": sum(len(set(r.gold) - {None}) for r in recordings),
        "in all": sum(len(r.golds) for r in recordings),
        "false": false,
    }


def all_recordings(folders: Sequence[Path]) -> list[Recording]:
    """Everything learned from."""
    known = list(texts([CASES / f for f in FOLDERS] + list(folders)))
    said = Counter(w for text, _ in known for w in set(re.findall(r"[a-z']+", text.lower())))
    kinds = classes_of(builtin())
    common = frozenset(w for w, n in said.items() if n >= COMMON and kinds.of(w) not in NOUNS)
    out = [recording(text, golds, common) for text, golds in known]
    return out + [recording(text, [], common, as_ruled=True) for text in sentences()]


TABLE = ROOT / "vocab/take_weights.toml"


def table(names: Sequence[str], b: Floats, path: Path = TABLE) -> str:
    """The text of a table of weights, its head as it stands."""
    out = [path.read_text(encoding="utf-8").split("[[row]]")[0].rstrip() + "\n"]
    for name, weight in [("always", b[-1]), *zip(names, b[:-1], strict=True)]:
        if abs(weight) >= 0.02:
            mark = name.replace('"', '\\"')
            out.append(f'\n[[row]]\nmark = "{mark}"\nweight = {weight:.3f}\n')
    return "".join(out)


def main(*args: str) -> None:
    """Print what the folds give; with --write fit on all and write the table."""
    known = all_recordings([Path(a) for a in args if a != "--write"])
    if "--write" in args:
        TABLE.write_text(table(*fit(known)), encoding="utf-8")
    else:
        print("in folds:", ", ".join(f"{what} {value}" for what, value in judged(known).items()))


if __name__ == "__main__":
    main(*sys.argv[1:])
