"""Plain counts of one transcript, and the plurals behind them: what the readers of sums and of parts share."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from extractors.mentions import Tokens

Counts = Mapping[int, tuple[int, int]]
"""Token where a number begins, to where it ends and its value."""

IN_ALL = (("in", "all"), ("all", "told"), ("in", "total"), ("altogether",), ("total",), ("all", "together"))
"""Words behind a count that is of all there are."""


def noun_end(tokens: Tokens, k: int, no_name: Callable[[int], bool]) -> int | None:
    """Where the name of what is counted ends: a plural, three words at most from token k on, the first behind its
    number. No token of it is one of which no_name is true."""
    for j in range(k, min(k + 3, len(tokens))):
        lower = tokens[j].lower
        if not lower.isalpha() or no_name(j):
            return None
        if len(lower) > 3 and lower.endswith("s") and not lower.endswith("ss"):
            return j + 1
        if tokens[j].after:
            return None
    return None


def phrase_end(tokens: Tokens, k: int, phrases: tuple[tuple[str, ...], ...]) -> int:
    """Where one of the phrases ends that begins at token k; k itself where none does."""
    for phrase in phrases:
        if tuple(t.lower for t in tokens[k : k + len(phrase)]) == phrase:
            return k + len(phrase)
    return k
