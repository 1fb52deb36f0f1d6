"""How many stand in a machine at one time: "thirty kiln cars in the kiln at one time", "six trays at once"."""

from __future__ import annotations

from collections.abc import Sequence

from extractors.mentions import AtOnceMention, Number, Tokens

AT_ONCE = (
    ("at", "one", "time"), ("at", "a", "time"), ("at", "any", "time"), ("at", "any", "one", "time"), ("at", "once"),
    ("at", "the", "same", "time"), ("in", "it", "at", "all", "times"), ("always", "in", "it"),
)  # fmt: skip
FAR = 10
"""Words between a count and the words of standing together at most; chosen, no source."""
MOST = 500


def find_at_once(tokens: Tokens, numbers: Sequence[Number]) -> tuple[AtOnceMention, ...]:
    """Each count of two or more plural things told to stand in something together."""
    out = []
    for n in numbers:
        if n.value_max is not None or not 2 <= n.value <= MOST or n.value != int(n.value):
            continue
        if any(t.aside for t in tokens[n.first : n.last]) or n.form not in ("cardinal", "digits"):
            continue
        noun = next((k for k in range(n.last, min(n.last + 3, len(tokens))) if _plural(tokens[k].lower)), None)
        if noun is None or any(t.after for t in tokens[n.last : noun]):
            continue
        tail = [t.lower for t in tokens[noun + 1 : noun + 1 + FAR] if t.sentence == tokens[n.first].sentence]
        if any(tuple(tail[i : i + len(p)]) == p for p in AT_ONCE for i in range(len(tail))):
            name = " ".join(t.lower for t in tokens[n.last : noun + 1])
            out.append(AtOnceMention((tokens[n.first].word, tokens[noun].word + 1), name, int(n.value)))
    return tuple(out)


def _plural(word: str) -> bool:
    return len(word) > 3 and word.isalpha() and word.endswith("s") and not word.endswith(("ss", "us", "is"))
