"""What a name is of, by its last word: enough to tell whether one name may stand where another stood."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache

from extractors.mentions import Span
from extractors.word_classes import Piece, stem
from vocab import Vocabulary

THINGS = frozenset({"thing", "part", "role", "agent", "noun"})
"""Kinds of which any may be taken for any other: a chiller for a filter, a rinse for a tank."""
OTHERS = frozenset({"name", "describes", "acts", "unit", "number"})
AGENT = 5
"""Letters of a noun that ends as names of machines do, at least so many and one."""


@lru_cache(maxsize=4)
def kinds_of_nouns(vocabulary: Vocabulary) -> Mapping[str, str]:
    """Last words of names, as stems -> thing, part, role, material, never (a thing), or what one_of_each.toml tells."""
    grades: dict[str, list[str]] = {}
    for row in vocabulary["components"]:
        grades.setdefault(row["grade"], []).extend(row["names"])
    roles = [n for row in vocabulary["stations"] if row["use"] == "role" for n in row["names"]]
    made_of = [form for row in vocabulary["made_of"] for form in row["spoken"]]
    told = {_last(name): row["tells"] for row in vocabulary["one_of_each"] for name in row["said"]}
    return told | {
        _last(name): kind
        for kind, names in (
            ("never", grades.get("never", [])),
            ("material", made_of),
            ("role", roles),
            ("part", grades.get("part", [])),
            ("thing", [*grades.get("machine", []), *grades.get("site", [])]),
        )
        for name in names
    }


def _last(name: str) -> str:
    return stem(name.lower().split()[-1])


def kind_of(pieces: Sequence[Piece], span: Span, known: Mapping[str, str]) -> str:
    """What the words are of, by the last of them that names something."""
    for p in reversed(pieces[slice(*span)]):
        if p.stem in known:
            return known[p.stem]
        if p.kind == "content":
            return "agent" if len(p.stem) > AGENT and p.stem.endswith(("er", "or")) else "noun"
        if p.kind in OTHERS:
            return p.kind
    return "nothing"
