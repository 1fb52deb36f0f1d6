"""What a machine takes against what is run on it, said aloud and read by the real reader. Plain geometry, no source."""

from __future__ import annotations

from datetime import date

import pytest

from extractors.extract import extract
from extractors.words import Transcript, Word
from pipeline.assemble import assemble
from pipeline.checks import check
from pipeline.walk import Source
from vocab import builtin


def found(text: str) -> set[str]:
    words = tuple(Word(w, i * 0.4, i * 0.4 + 0.3) for i, w in enumerate(text.split()))
    transcript = Transcript(words, duration=words[-1].end)
    walk = assemble(transcript, extract(transcript, builtin()), Source("a.txt", "0" * 64, "transcript", words[-1].end))
    findings = check(walk, builtin(), date(2026, 11, 25)).findings
    return {f.rule for f in findings if f.rule in ("more_than_it_takes", "wider_than_it_runs_through")}


@pytest.mark.parametrize(
    ("text", "rules"),
    [
        ("The dryer is seven feet wide. The dryer belt is eight feet wide, mesh.", {"wider_than_it_runs_through"}),
        ("The dryer is nine feet wide. The dryer belt is eight feet wide, mesh.", set()),
        ("Maximum web width is thirteen inches. The roll on it now is sixteen inches wide.", {"more_than_it_takes"}),
        ("Maximum web width is eighteen inches. The roll on it now is sixteen inches wide.", set()),
    ],
)
def test_what_passes(text: str, rules: set[str]) -> None:
    assert found(text) == rules
