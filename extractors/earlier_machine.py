"""Which earlier machine a speaker goes back to: the one whose words share most with what he names.

A word that was said of one machine alone names it; one that was said of several hardly does. What opened a machine
counts more than what was said of it later, and the first words of the clause more than the next.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from extractors.clause_names import bare, class_words, name_in
from extractors.clause_talk import phrases_in
from extractors.mentions import Token, Tokens
from extractors.openings import phrase_at, said
from vocab import Vocabulary

LEAD = 5
"""Words of a sentence that only leads into the next one ("Okay. Back to the lathe.")."""
NAMED = 16
"""Words in which the machine is named that the speaker goes back to."""
OPENED, BEGINNING = 25, 60
"""Words in which a machine is named, and the first one, before which the speaker says where he is."""
LATER = 0.3
"""How much a word names a machine that is said of it later."""
NEXT = 0.7
"""How much each next word of the clause counts against the one before."""
ENOUGH, CLEAR = 0.55, 0.2
"""What names an earlier machine, and by how much more than any other."""
SMALL = 2
"""Letters of words that name no machine."""
WEAK = frozenset({"also", "oh", "says"})
"""Words of what is told late that bring in as many new machines."""
NO_NAMES = frozenset({"second", "moment", "minute", "machine", "thing"})
"""Nouns that name no machine among others."""
NEWS = frozenset({"a", "an", "another"})


def earlier_machine(
    tokens: Tokens, places: Sequence[int], n: int, starts: Sequence[int], back: Sequence[int], vocabulary: Vocabulary
) -> int | None:
    """The index in `starts`, first tokens of the machines before, of that which the n-th clause goes back to; `places`
    are first tokens of clauses, `back` those at which words like "back to the" stand."""
    ends = [*places[n + 1 :], len(tokens)]
    first, last = places[n], ends[0]
    if last - first <= LEAD and len(ends) > 1:
        last = ends[1]
    named = any(first <= at < last for at in back)
    if not named:
        name = name_in(tokens, first, min(last, first + NAMED), vocabulary)
        if not _told_late(tokens, first, last, vocabulary) or (name is not None and name.article in NEWS):
            return None
    scores = _shared(tokens[first : min(last, first + NAMED)], _said_of(tokens, starts, first, vocabulary), vocabulary)
    best, *rest = sorted(scores, reverse=True)
    return scores.index(best) if best >= ENOUGH and best - max([0.0, *rest]) >= CLEAR else None


def _told_late(tokens: Tokens, first: int, last: int, vocabulary: Vocabulary) -> bool:
    low = [t.lower for t in tokens[first:last] if t.lower not in WEAK]
    if phrases_in(low, 0, len(low), vocabulary, "added"):
        return True
    return any(phrase_at(tokens, i, vocabulary, "late") for i in range(first, last))


def _said_of(tokens: Tokens, starts: Sequence[int], end: int, vocabulary: Vocabulary) -> list[dict[str, float]]:
    """For each machine before, how much each word names it."""
    out: list[dict[str, float]] = []
    for start, until in zip(starts, [*starts[1:], end], strict=True):
        opened = start + (OPENED if out else BEGINNING)
        words: dict[str, float] = {}
        for i in range(start, until):
            words.setdefault(_word(tokens[i], vocabulary), 1.0 if i < opened else LATER)
        words.pop("", None)
        out.append(words)
    return out


def _shared(here: Sequence[Token], said_of: Sequence[dict[str, float]], vocabulary: Vocabulary) -> list[float]:
    scores, counts = [0.0] * len(said_of), 1.0
    for word in dict.fromkeys(_word(t, vocabulary) for t in here):
        of_all = sum(words.get(word, 0.0) for words in said_of)
        if of_all:
            scores = [s + counts * words.get(word, 0.0) ** 2 / of_all for s, words in zip(scores, said_of, strict=True)]
            counts *= NEXT
    return scores


def _word(t: Token, vocabulary: Vocabulary) -> str:
    """A noun or number by which a machine may be named again; "" for other words."""
    word = bare(t.lower)
    if word.isdigit() or (word in said(vocabulary, "count") and word != "a"):
        return word
    other = len(word) <= SMALL or not word.isalpha() or word in NO_NAMES or t.lower in _units(vocabulary)
    return "" if other or class_words(vocabulary).get(word) else word


@lru_cache(maxsize=16)
def _units(vocabulary: Vocabulary) -> frozenset[str]:
    return frozenset(form for row in vocabulary["units"] for form in row["spoken"])
