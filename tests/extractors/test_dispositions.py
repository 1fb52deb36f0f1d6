"""What happens to things, sentence by sentence. Expectations are the plain sense of the sentences, no source."""

from __future__ import annotations

from typing import Any

import pytest

from extractors.disposition_cues import CueFinder
from extractors.disposition_frames import Cue
from extractors.phrases import atoms_of
from tests.extractors.readings import cases, clear, gathered, things


@pytest.mark.parametrize("case", cases("dispositions"), ids=lambda c: c["why"])
def test_what_goes_and_what_stays(case: dict[str, Any]) -> None:
    for said, gives in case["pairs"]:
        found = {t["name"]: t["disposition"] or "" for t in gathered(things(said))}
        for wanted in gives.split("; "):
            name, _, disposition = wanted.partition(": ")
            assert found.get(name, "") == disposition, (said, found)


@pytest.mark.parametrize(
    ("text", "end"),
    [
        ("stays where it is", 4),
        ("stays right where it is", 5),
        ("stays, right where it is", None),
        ("stays of course where it is", 6),
        ("stays quickly where it is", None),
    ],
)
def test_a_cue_passes_over_adverbs(text: str, end: int | None) -> None:
    finder = CueFinder([Cue("excluded", "before", None, "stays where it is")])
    tokens, _ = clear(text)
    found = finder.at(atoms_of(tokens), 0)
    assert (found[0] if found else None) == end
