"""Which questions of the punch list the words answer, whatever else was made of them ("the drawings are in the
office")."""

from __future__ import annotations

import re
from functools import lru_cache

from extractors.mentions import Tokens
from vocab import Vocabulary


def find_answers(tokens: Tokens, vocabulary: Vocabulary) -> tuple[str, ...]:
    """Names of the rows of vocab/gaps.toml of which a phrase was said, in the table's order; questions answer
    nothing."""
    text = " ".join(t.lower for t in tokens if t.aside != "question")
    return tuple(name for name, form in _forms(vocabulary) if form.search(text))


@lru_cache(maxsize=4)
def _forms(vocabulary: Vocabulary) -> tuple[tuple[str, re.Pattern[str]], ...]:
    return tuple(
        (row["name"], re.compile(r"\b(?:" + "|".join(re.escape(p) for p in row["phrases"]) + ")"))
        for row in vocabulary["gaps"]
        if row["phrases"]
    )
