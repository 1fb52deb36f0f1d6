"""Read stamped transcripts to walk.json files without the command line: tools/read_dev.py OUT FILE.txt ..."""

from __future__ import annotations

import hashlib
import json
import sys
from datetime import date
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from extractors.extract import extract
from pipeline.assemble import assemble
from pipeline.checks import check
from pipeline.timed_text import read_timed_text
from pipeline.walk import Source, to_dict
from vocab import builtin


def main(out: str, *files: str) -> None:
    for file in map(Path, files):
        transcript = read_timed_text(file)
        source = Source(file.name, hashlib.sha256(file.read_bytes()).hexdigest(), "transcript", transcript.duration)
        walk = check(assemble(transcript, extract(transcript, builtin()), source), builtin(), date(2026, 11, 25))
        folder = Path(out) / file.stem
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "walk.json").write_text(json.dumps(to_dict(walk), indent=1, ensure_ascii=False), encoding="utf-8")


if __name__ == "__main__":
    main(*sys.argv[1:])
