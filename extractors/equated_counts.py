"""A total and the kinds it is said to be: "110 boxes all told, that's fifty-six copes and fifty-six drags".

The kinds have nouns of their own, so that nothing but the words ties them to the total: "that's", "being", "made up of"
between the two, or "all told" behind a total that follows the list.
"""

from __future__ import annotations

from extractors.mentions import BreakdownMention, Tokens
from extractors.plain_counts import IN_ALL, Counts, noun_end, phrase_end

LINKS = (
    ("that", "'s"), ("that's",), ("thats",), ("that", "is"), ("that", "makes"), ("which", "is"), ("being",),
    ("made", "up", "of"), ("made", "of"), ("split", "into"), ("split",), ("namely",), ("so", "that's"), ("they're",),
)  # fmt: skip
"""Words between a total and what it is made up of."""
NO_NAME = frozenset(
    "and or of in on at for with by a an the each every per to from is are was that this spare spares more other "
    "others foot feet inch metre metres meter meters kilo kilos pound pounds ton tons tonne tonnes litre litres gallon "
    "gallons kilowatt kilowatts amp amps volt volts horse minute minutes second seconds hour hours day days year years "
    "bar psi degree degrees percent".split()
)
"""Words that end a name, and units: a measure counts no kinds."""


def equated_counts(tokens: Tokens, counts: Counts) -> list[BreakdownMention]:
    """Every count told as the sum of two or more kinds of other names, in one sentence; whole always."""
    out = []
    for k, (end, value) in counts.items():
        noun = _noun_end(tokens, end)
        if value < 3 or noun is None:
            continue
        stop = phrase_end(tokens, noun, IN_ALL)
        link = phrase_end(tokens, stop, LINKS)
        parts = _kinds(tokens, counts, link) if link > stop else ([], link)
        first, last = k, parts[1]
        if len(parts[0]) < 2 and stop > noun:  # "fifty-six copes and fifty-six drags, so 112 boxes all told"
            parts, first, last = _before(tokens, counts, k), k, stop
        if len(parts[0]) < 2 or max(parts[0]) >= value or not 0.5 <= sum(parts[0]) / value <= 2:
            continue
        first = min(first, parts[1]) if last == stop else first
        name = " ".join(t.lower for t in tokens[end:noun])
        out.append(BreakdownMention((tokens[first].word, tokens[last - 1].word + 1), name, value, tuple(parts[0])))
    return out


def _kinds(tokens: Tokens, counts: Counts, k: int) -> tuple[list[int], int]:
    """The counts of a list of kinds from token k on, joined by "and" or commas, and where the list ends."""
    found: list[int] = []
    sentence = tokens[k - 1].sentence if k else 0
    while k < len(tokens) and tokens[k].sentence == sentence:
        if found and tokens[k].lower in ("and", "plus"):
            k += 1
            continue
        noun = _noun_end(tokens, counts[k][0]) if k in counts else None
        if noun is None:
            break
        found.append(counts[k][1])
        k = noun
    return found, k


def _before(tokens: Tokens, counts: Counts, total: int) -> tuple[list[int], int]:
    """The list that ends right before a total, and where it begins."""
    for k in sorted(c for c in counts if total - 16 <= c < total and tokens[c].sentence == tokens[total].sentence):
        found, stop = _kinds(tokens, counts, k)
        joint = [t.lower for t in tokens[stop:total]]
        if len(found) >= 2 and joint and set(joint) <= {"so", "that's", "that", "makes", "is", "which", "a"}:
            return found, k
        if len(found) >= 3 and stop == total + 2:
            return found[:-1], k
    return [], total


def _noun_end(tokens: Tokens, k: int) -> int | None:
    return noun_end(tokens, k, lambda j: tokens[j].lower in NO_NAME)
