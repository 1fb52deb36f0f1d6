"""What each check does on narrations: tools/rules_fired.py [--never] FOLDER or FILE ...

Reads every stamped narration NAME.txt under the folders, and each [[narration]] with a text in a TOML file of cases;
prints for every rule on how many of them it asked (a finding of any level), agreed (or lay within its limit), failed,
and could not compare for want of a fact; then how many rules looked at nothing in any of them, and which. A rule that
asks leaves both a finding and "failed" in most cases; cautions and the punch list ask and compare nothing. Rules of
doubt need recordings: a written narration has no probability of a word. --never: the last lines only.
"""

from __future__ import annotations

import sys
import tomllib
from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import date
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from extractors.words import Transcript
from pipeline.checks import LATER, RULES, WIDE
from pipeline.checks.wording import WITHIN
from pipeline.run import read_words
from pipeline.timed_text import read_stamped, read_timed_text
from pipeline.walk import Source, Walk
from vocab import builtin

TODAY = date(2026, 11, 25)
COLUMNS = ("asked", "agreed", "failed", "not compared")
OUTCOMES = {"agreed": "agreed", WITHIN: "agreed", "failed": "failed", "could not be compared": "not compared"}
"""The column that counts what an outcome begins with."""
SAID = 2.6
"""Words a second of a narration without stamps, as in tests/pipeline/checks/test_spoken.py."""


def read(transcript: Transcript, name: str) -> Walk:
    """The checked walk of a narration."""
    source = Source(name, "0" * 64, "transcript", transcript.duration)
    return read_words(transcript, builtin(), source, TODAY)


def stamped(text: str) -> str:
    """Lines of a narration with the stamps they would have at an even speed; as it is where it has stamps."""
    if text.lstrip().startswith("["):
        return text
    at, lines = 0.0, []
    for line in text.strip().splitlines():
        lines.append(f"[{int(at // 60)}:{int(at % 60):02d}] {line}")
        at += len(line.split()) / SAID + 1
    return "\n".join(lines) + "\n"


def walks(places: Iterable[Path]) -> Iterator[Walk]:
    """The walk of each narration in files and folders, in the order of their names; raises InputError or BadTranscript
    as the readers do."""
    for place in places:
        files = sorted(place.rglob("*")) if place.is_dir() else [place]
        for file in files:
            if file.suffix == ".txt":
                yield read(read_timed_text(file), file.name)
            elif file.suffix == ".toml":
                for case in tomllib.loads(file.read_text(encoding="utf-8")).get("narration", ()):
                    if "text" in case:
                        yield read(read_stamped(stamped(case["text"]), file.name), file.name)


def outcomes(walk: Walk) -> set[tuple[str, str]]:
    """What each rule did on one walk, as pairs of rule and column."""
    found = {(f.rule, "asked") for f in walk.findings}
    for c in walk.checked:
        found |= {(c.rule, column) for start, column in OUTCOMES.items() if c.outcome.startswith(start)}
    return found


def tally(read: Iterable[Walk]) -> tuple[int, Counter[tuple[str, str]]]:
    """How many walks there were, and on how many of them each rule did what."""
    walked, counts = 0, Counter[tuple[str, str]]()
    for walk in read:
        walked += 1
        counts.update(outcomes(walk))
    return walked, counts


def idle(counts: Counter[tuple[str, str]]) -> list[str]:
    """The rules that neither asked nor compared anything, in the order they run."""
    return [r.__name__ for r in (*RULES, *WIDE, *LATER) if not any(counts[r.__name__, c] for c in COLUMNS[:3])]


def main(*arguments: str) -> None:
    places = [Path(a) for a in arguments if a != "--never"]
    if not places:
        sys.exit(__doc__)
    walked, counts = tally(walks(places))
    if not walked:
        sys.exit("no narration there")
    rules = [r.__name__ for r in (*RULES, *WIDE, *LATER)]
    if "--never" not in arguments:
        print(f"{'rule':32}" + "".join(f"{c:>14}" for c in COLUMNS))
        for rule in rules:
            print(f"{rule:32}" + "".join(f"{counts[rule, c]:14}" for c in COLUMNS))
    never = idle(counts)
    print(f"{walked} narrations, {len(rules)} rules, {len(never)} looked at nothing: {', '.join(never)}")


if __name__ == "__main__":
    main(*sys.argv[1:])
