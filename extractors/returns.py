"""Clauses that go back to a machine told of before without "back to": "oh and the lathe again, …", "on the press I
forgot to say …". Which earlier one it is, machines.py finds; where it was not told of before, nothing is made of it.
"""

from __future__ import annotations

from dataclasses import dataclass

from extractors.mentions import Tokens
from extractors.openings import clauses, machine_named, phrase_at, said
from vocab import Vocabulary

LEADS = {"the", "that", "this", "my", "our", "your", "his", "on", "at", "about", "with", "for", "to", "of", "in"}
LEAD = 5
"""Openers and small words before the machine's name, at most."""
NAME = 4
"""Words of the name, at most."""
MARKED = 14
"""Words after the name within which the speaker says that it is told late."""


@dataclass(frozen=True, slots=True)
class Return:
    """Where a speaker goes back, at the clause's first token, and the last word of the name of what he goes back to."""

    at: int
    name: int
    words: str


def find_returns(tokens: Tokens, vocabulary: Vocabulary) -> tuple[Return, ...]:
    """Clauses that begin with a machine's name and say that something is added late ("again", "I forgot")."""
    found = []
    small = said(vocabulary, "opener") | LEADS
    for i in clauses(tokens, vocabulary):
        k = i
        while k < len(tokens) and k - i < LEAD and tokens[k].lower in small and not tokens[k].after.strip(","):
            k += 1
        noun, _, at = machine_named(tokens, k, min(k + NAME, len(tokens)), vocabulary)
        if noun and _late(tokens, at + 1, vocabulary):
            found.append(Return(i, at, " ".join(t.text for t in tokens[i : at + 1])))
    return tuple(found)


def _late(tokens: Tokens, first: int, vocabulary: Vocabulary) -> bool:
    """Whether the sentence goes on to say so; "again" only where it follows the name at once."""
    sentence = tokens[first - 1].sentence
    if first < len(tokens) and tokens[first].sentence == sentence and tokens[first].lower == "again":
        return True
    return any(
        phrase_at(tokens, n, vocabulary, "late")
        for n in range(first, min(first + MARKED, len(tokens)))
        if tokens[n].sentence == sentence
    )
