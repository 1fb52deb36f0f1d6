"""Where the whole stands. Sentences are our own; no source."""

from __future__ import annotations

import pytest

from extractors.extract import extract
from extractors.words import Transcript, Word
from vocab import builtin


def place(text: str) -> str | None:
    words = tuple(Word(w, i * 0.4, i * 0.4 + 0.3) for i, w in enumerate(text.split()))
    found = extract(Transcript(words, duration=len(words) * 0.4), builtin()).identity
    return next((m.value for m in found if m.field == "location"), None)


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("The boiler is in the pump house.", "pump house"),
        ("We are in Averton, in the county of Marl. The drum is 2 metres.", "Averton"),
        ("This is the walk for the panel shop, Unit 6, Harrow Lane, it's a router.", "Unit 6 Harrow Lane"),
        ("The location is the depot Westerling, hall 2.", "depot Westerling hall 2"),
        ("We're at the old retread shop on Kettering Street.", "old retread shop on Kettering Street"),
        ("This is the phosphate washer, north end of building two. It's 12 metres long.", "north end of building two"),
        ("The press is 4 metres long. The belt runs close to the lane.", None),
    ],
)
def test_where_it_stands(text: str, where: str | None) -> None:
    found = place(text)
    assert (found and found.lower()) == (where and where.lower())
