"""make eval: reads invented narrations and prints how much of them is read right, a column for each folder.

tests/cases/narrations are by those who wrote the readers, tests/cases/narrations_by_others by people who had not seen
them; both were learned from since.

Each NAME.txt has a NAME.gold.json written by hand before the reading. Figures match within 0.1 % in any unit, names by
their words (rapidfuzz, 75 of 100). Parts of a gold that are empty are not counted. With folders as arguments, those
are read instead: tools/evaluate.py [--each] FOLDER… (--each: a column for every narration)
"""

from __future__ import annotations

import hashlib
import json
import sys
import time
from collections import Counter
from datetime import date
from pathlib import Path
from typing import Any

import pint
from rapidfuzz import fuzz

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from pipeline.run import read_words  # noqa: E402
from pipeline.timed_text import read_timed_text  # noqa: E402
from pipeline.walk import Source, Walk  # noqa: E402
from vocab import builtin  # noqa: E402

UNITS = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
ROWS = ("figures", "filed", "with subject", "unmarked right", "stations", "stated counts", "components", "counts",
        "dispositions", "take-backs", "identity")  # fmt: skip


def read(path: Path) -> Walk:
    """The walk of a stamped narration."""
    transcript = read_timed_text(path)
    source = Source(path.name, hashlib.sha256(path.read_bytes()).hexdigest(), "transcript", transcript.duration)
    return read_words(transcript, builtin(), source, date(2026, 11, 25))


def alike(a: str, names: list[str]) -> bool:
    """Whether a name is one of the wordings that will do."""
    return any(fuzz.token_set_ratio(a.lower(), n.lower()) >= 75 for n in names)


def same(a: float, unit: str, b: float, other: str) -> bool:
    """Whether two figures are one amount; a rate and its period are."""
    try:
        x, y = (
            UNITS.Quantity(float(a), unit or "").to_base_units(),
            UNITS.Quantity(float(b), other or "").to_base_units(),
        )
        if y.magnitude and x.dimensionality == (1 / y).dimensionality and not x.check(y.dimensionality):
            y = (1 / y).to_base_units()
        return bool(x.check(y.dimensionality)) and abs(x.magnitude - y.magnitude) <= 0.001 * max(
            abs(x.magnitude), 1e-12
        )
    except (pint.PintError, TypeError, ZeroDivisionError):
        return False


def listed(value: Any) -> list[Any]:
    """One or several as several."""
    return value if isinstance(value, list) else [value]


def score(gold: dict[str, Any], walk: Walk) -> Counter[tuple[str, str]]:
    """(row, hit|gold|said) -> how many."""
    out: Counter[tuple[str, str]] = Counter()
    year = (gold.get("identity") or {}).get("year")
    said = [q for q in walk.active if not (q.property == "year" and q.value == year) and q.property != "price"]
    used: set[str] = set()
    if gold.get("quantities"):
        for g in gold["quantities"]:
            ranked = []
            for q in said:
                if (
                    q.id in used
                    or not same(g["v"], g["u"], q.value, q.unit)
                    or (g.get("vmax") is None) != (q.value_max is None)
                ):
                    continue
                kinds = {*listed(g["p"])} | ({"rate", "cycle"} if {"rate", "cycle"} & {*listed(g["p"])} else set())
                filed = "other" in kinds or q.property in kinds
                subject = filed and (not g.get("s") or alike(q.subject, g["s"]) or bool(q.of and alike(q.of, g["s"])))
                ranked.append((1 + filed + subject, q.id))
            if ranked:
                best, name = max(ranked)
                used.add(name)
                for row in ROWS[:best]:
                    out[row, "hit"] += 1
        for row in ROWS[:3]:
            out[row, "gold"] += len(gold["quantities"])
            out[row, "said"] += len(said)
        sure = [q for q in said if not q.doubt]
        out["unmarked right", "hit"] += sum(q.id in used for q in sure)
        out["unmarked right", "gold"] += len(sure)
    sequences = list(walk.sequences)
    for g in gold.get("sequences", []):
        want = {str(n): roles for n, roles in g["stations"]}

        def hits(s: Any, want: dict[str, list[str]] = want) -> int:
            got = {str(x.number): x.role for x in s.stations if x.status != "withdrawn"}
            return sum(n in got and alike(got[n], r) for n, r in want.items())

        best_one = max(sequences, key=hits, default=None)
        out["stations", "gold"] += len(want)
        if best_one is not None:
            sequences.remove(best_one)
            out["stations", "hit"] += hits(best_one)
            out["stations", "said"] += sum(x.status != "withdrawn" for x in best_one.stations)
        if g.get("stated") is not None:
            out["stated counts", "gold"] += 1
            out["stated counts", "hit"] += best_one is not None and best_one.stated_count == g["stated"]
    out["stations", "said"] += sum(len(s.stations) for s in sequences)
    if gold.get("components"):
        left = list(walk.present)
        for g in gold["components"]:
            fits = [c for c in left if alike(c.name, g["n"])]
            c = max(
                fits, key=lambda c: max(fuzz.ratio(c.name, n) for n in g["n"]) + 20 * (c.count == g["c"]), default=None
            )
            out["components", "gold"] += 1
            for row, key in (("counts", "c"), ("dispositions", "d")):
                out[row, "gold"] += g.get(key) is not None
            if c is not None:
                left.remove(c)
                out["components", "hit"] += 1
                out["counts", "hit"] += g.get("c") is not None and c.count == g["c"]
                out["dispositions", "hit"] += g.get("d") is not None and c.disposition == g["d"]
        out["components", "said"] += len(walk.present)
    repairs = [r for r in walk.repairs if r.kind == "self-correction"]
    if gold.get("corrections"):
        out["take-backs", "gold"] += len(gold["corrections"])
        out["take-backs", "said"] += len(repairs)
        for g in gold["corrections"]:
            found = next(
                (r for r in repairs if alike(r.heard, listed(g["dropped"])) and alike(r.read, listed(g["kept"]))), None
            )
            if found:
                repairs.remove(found)
                out["take-backs", "hit"] += 1
    for field, value in (gold.get("identity") or {}).items():
        mine = getattr(walk.identity, field)
        out["identity", "gold"] += 1
        out["identity", "hit"] += mine is not None and alike(str(mine.value), [str(v) for v in listed(value)])
    return out


def cell(counts: Counter[tuple[str, str]], row: str) -> str:
    """A share, or F1 where too much can be said as well as too little."""
    hit, gold, said = (counts[row, k] for k in ("hit", "gold", "said"))
    if not gold:
        return "–"
    if not said:
        return f"{hit / gold:.2f}"
    return f"{2 * hit / (gold + said):.2f}"


def main(*folders: str) -> int:
    """Print a table: a column for each folder, with --each one for every narration."""
    each = "--each" in folders
    cases = ROOT / "tests" / "cases"
    places = [Path(f) for f in folders if f != "--each"] or [cases / "narrations", cases / "narrations_by_others"]
    columns: dict[str, Counter[tuple[str, str]]] = {}
    words = took = 0.0
    for place in places:
        golds = sorted(place.glob("*.gold.json"))
        total: Counter[tuple[str, str]] = Counter()
        for path in golds:
            narration = path.with_name(path.name.replace(".gold.json", ".txt"))
            began = time.perf_counter()
            walk = read(narration)
            took += time.perf_counter() - began
            words += len(narration.read_text(encoding="utf-8").split())
            counts = score(json.loads(path.read_text(encoding="utf-8")), walk)
            total += counts
            if each:
                columns[narration.stem] = counts
        columns[f"{place.name.replace('_', ' ')} ({len(golds)})"] = total
    print(f"| what | {' | '.join(columns)} |")
    print(f"| --- |{' --- |' * len(columns)}")
    for row in ROWS:
        print(f"| {row} | {' | '.join(cell(c, row) for c in columns.values())} |")
    print("\nF1 where too much can be said as well as too little, else the share of what was to be read.")
    print(f"{words:.0f} words read and checked in {took:.2f} s.")
    return 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
