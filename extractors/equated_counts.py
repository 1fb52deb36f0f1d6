"""A total and the kinds it is said to be: "110 boxes all told, that's fifty-six copes and fifty-six drags".

The kinds have nouns of their own, so that nothing but the words ties them to the total: "that's", "being", "made up of"
between the two, or "all told" behind a total that follows the list.
"""

from __future__ import annotations

from collections.abc import Mapping

from extractors.mentions import BreakdownMention, Tokens

Counts = Mapping[int, tuple[int, int]]
"""Token where a number begins, to where it ends and its value."""

LINKS = (
    ("that", "'s"), ("that's",), ("thats",), ("that", "is"), ("that", "makes"), ("which", "is"), ("being",),
    ("made", "up", "of"), ("made", "of"), ("split", "into"), ("split",), ("namely",), ("so", "that's"), ("they're",),
)  # fmt: skip
"""Words between a total and what it is made up of."""
IN_ALL = (("all", "told"), ("in", "all"), ("altogether",), ("in", "total"), ("all", "together"), ("total",))
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
        stop = _phrase(tokens, noun, IN_ALL)
        link = _phrase(tokens, stop, LINKS)
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


def _phrase(tokens: Tokens, k: int, phrases: tuple[tuple[str, ...], ...]) -> int:
    """Where one of the phrases ends that begins at token k; k itself where none does."""
    for phrase in phrases:
        if tuple(t.lower for t in tokens[k : k + len(phrase)]) == phrase:
            return k + len(phrase)
    return k


def _noun_end(tokens: Tokens, k: int) -> int | None:
    """Where the name of what is counted ends: a plural, three words at most behind its number."""
    for j in range(k, min(k + 3, len(tokens))):
        lower = tokens[j].lower
        if not lower.isalpha() or lower in NO_NAME:
            return None
        if len(lower) > 3 and lower.endswith("s") and not lower.endswith("ss"):
            return j + 1
        if tokens[j].after:
            return None
    return None
