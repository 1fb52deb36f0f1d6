"""What a recording as a whole has that tells a row of machines from one machine or line.

A tour of a line says where the goods go ("into", "an hour", "then the"), names it ("the line") and what is for it; a
list says of each what it is worth and how it runs. And the stretches that a row would have are looked at: whether a
row's machines open there, with plates, or a line's parts.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from itertools import pairwise

import numpy as np

from extractors.clause_names import words_of
from extractors.lot_numbers import Cue
from extractors.mentions import Tokens
from extractors.openings import Opening, phrase_at, said
from extractors.spans import Floats
from vocab import Vocabulary

BEGINNING = 60
"""Words in which a speaker says what will be shown."""
FLOWS = frozenset("into onto through feeds feed drops discharges conveyor conveyors goes takes comes after out".split())
INTO = frozenset({"into", "onto", "through"})
WHOLES = frozenset("line plant process complete whole all".split())
STATES = frozenset("condition fair poor works runs worn sold bought serviced".split())
GOES_WITH = ("goes with", "go with", "belongs to", "comes with", "included")
PACE = tuple(f"{one} {time}" for one in ("an", "per", "a", "the") for time in ("hour", "minute", "shift"))
USUAL, MOST = 200, 3.0
"""Words of a recording by which everyday words are counted, and how much of each says no more."""
SURE = 0.7
AT_CUTS = (
    "own", "serves", "names machine", "own, known", "known", "name is known", "name is news", "name stops", "plate",
    "year soon", "flows", "line", "price", "closed before", "price before", "maker soon", "plate before", "agent",
    "serves here", "place first", "next first", "no verb", "name is bare", "number first", "counts on", "late soon",
)  # fmt: skip
"""Marks of the clauses at which a row would be cut whose share is looked at."""
SHARED = (
    "person", "a place in it", "tags alike", "added to what is old", "again", "plate first", "commas", "flows",
    "it first", "no verb", "price", "gone", "with the last", "name is known", "name is bare", "name of many",
)  # fmt: skip
"""Marks of clauses whose share of all of them is looked at: a tour of a line has few plates, prices and asides."""


def row_marks(
    tokens: Tokens, openings: Sequence[Opening], cues: Sequence[Cue], *, series: bool, vocabulary: Vocabulary
) -> dict[str, float]:
    """The marks of the words. `series` is whether its beginning names it as one ("this is the block plant")."""
    n = max(len(tokens), 1)
    own = [o for o in openings if o.main]
    serving = sum(o.main is False for o in openings)
    line = sum(c.kind == "line" for c in cues)
    lots = len({c.words.lower() for c in cues if c.kind == "new"})

    def times(kind: str, most: int) -> float:
        return min(sum(phrase_at(tokens, i, vocabulary, kind) > 0 for i in range(len(tokens))), most)

    marks = {
        "series": float(series),
        "together": times("together", 2),
        "several": times("several", 2),
        "not shown": times("out", 3),
        "serving share": serving / (serving + len(own) + 1),
        "serving per hundred": min(100 * serving / n, 4),
        "sorts": min(len({o.noun.split()[-1] for o in own if o.noun}), 6),
        "news": min(sum(o.fresh is True for o in own), 5),
        "plated": min(sum(o.plate for o in own), 5),
        "line": min(line, 6),
        "line at all": float(line > 0),
        "line per hundred": min(100 * line / n, 4),
        "line nouns": min(sum(t.lower in said(vocabulary, "series") for t in tokens), 4),
        "then the": min(sum(a.lower in ("then", "next") and b.lower == "the" for a, b in pairwise(tokens)), 4),
        "lots": min(lots, 5),
        "two lots": float(lots >= 2),
    }
    for kind in ("label", "order", "turn", "noun"):
        marks[f"{kind}s"] = min(sum(o.kind == kind for o in own), 4)
    return marks | _of_the_talk([t.lower for t in tokens], vocabulary)


def cut_marks(
    clauses: Sequence[Mapping[str, float]],
    chances: Floats,
    taken: Sequence[int],
    *,
    words: int,
    identities: int,
    against_none: float,
) -> dict[str, float]:
    """The marks of what a row would be cut into: the marks of all clauses, their chances, and which would be cuts."""
    hundreds = max(words, 1) / 100
    at = [clauses[n] for n in taken]
    marks = {
        "identities": min(identities, 8),
        "identities per hundred": min(identities / hundreds, 4),
        "cuts": min(len(taken), 8),
        "cuts per hundred": len(taken) / hundreds,
        "chance of a cut": float(np.mean(chances[list(taken)])) if taken else 0.0,
        "chances per hundred": float(chances.sum()) / hundreds,
        "sure cuts": min(float((chances > SURE).sum()), 8),
        "against none": min(against_none / hundreds, 15),
        "agents": min(sum(m["agent, no verb"] for m in clauses), 8),
        "own share": sum(m.get("own", 0.0) for m in clauses) / max(len(clauses), 1),
        "new ones": min(sum(m.get("own, new", 0.0) for m in clauses), 8),
        "counting on": min(sum(m["counts on"] for m in clauses), 6),
    }
    for name in AT_CUTS:
        # half a clause is added, so that a share of few says little
        marks[f"at cuts: {name}"] = (sum(m.get(name, 0.0) > 0 for m in at) + 0.5) / (len(at) + 1)
    for name in SHARED:
        marks[f"share: {name}"] = sum(m.get(name, 0.0) for m in clauses) / max(len(clauses), 1)
    return marks


def _of_the_talk(low: Sequence[str], vocabulary: Vocabulary) -> dict[str, float]:
    n = max(len(low), 1)
    text, begin = f" {' '.join(low)} ", f" {' '.join(low[:BEGINNING])} "

    def per_hundred(words: frozenset[str]) -> float:
        return min(100 * sum(w in words for w in low) / n, 6)

    def times(phrases: Sequence[str], most: int) -> float:
        return min(sum(text.count(f" {words} ") for words in phrases), most)

    def first(kind: str) -> float:
        return min(sum(begin.count(f" {words} ") for words in words_of(vocabulary, kind)), 3)

    marks = {
        "prices": min(sum(w in words_of(vocabulary, "price") for w in low), 5),
        "flow": per_hundred(FLOWS),
        "into": per_hundred(INTO),
        "pace": times(PACE, 3),
        "wholes": min(sum(w in WHOLES for w in low), 8),
        "the word line": min(low.count("line"), 5),
        "this one": times(("this one", "that one"), 3),
        "goes with": times(GOES_WITH, 4),
        "states": min(sum(w in STATES for w in low), 6),
        "length": float(np.log(n)) / 2,
        "one said": times(sorted(words_of(vocabulary, "one")), 6),
        "told said": times(sorted(words_of(vocabulary, "told")), 5),
        "one said first": first("one"),
        "told said first": first("told"),
    }
    counted = Counter(low)
    for word in sorted(words_of(vocabulary, "everyday")):
        marks[f'"{word}"'] = min((counted[word] * USUAL / n) ** 0.5, MOST)
    return marks
