"""Whether a figure was heard surely: the listening stage's doubts, the recogniser's probabilities, and what a second
hearing gave, as far as it is another figure. "16-inch" and "16 inch" are one, "fifteen" and "fifty" are two.
"""

from __future__ import annotations

from collections.abc import Callable

from extractors.mentions import Measure, Token, Tokens
from extractors.normalise import tokenise
from extractors.spoken_numbers import find_numbers
from extractors.words import Transcript, Word
from vocab import Vocabulary

WEAK = 0.3
"""Probability of a word of a figure below which it is marked. The listening stage marks figures by itself (at 0.86 of
being right); of 36 figures with a word between 0.2 and 0.5 that it had let pass, all were right, on ten recordings."""
WEAK_KIN = 0.6
"""The same for fifteen, fifty and their kin, which sound like one another."""
KIN = frozenset({*range(13, 20), *range(30, 91, 10)})
SCALES = {"thousand": 1e3, "million": 1e6}
DIFFERS = "heard badly, or "

Read = Callable[[Tokens], tuple[Measure, ...]]


def heard_badly(
    part: Tokens, value: float, value_max: float | None, unit: str, vocabulary: Vocabulary, read: Read
) -> str | None:
    """Why a figure made of these tokens is not trusted; None where it is."""
    told = next((t.doubt for t in part if t.doubt), None)
    if told and not (told.startswith(DIFFERS) and _same(part, value, value_max, unit, vocabulary, read)):
        return told
    for t in part:
        for other in () if told or t.doubt else t.alternatives:
            # the first hearing was sure enough of "80", but the second heard "18"
            if _figures(other, vocabulary) and not _agrees(other, value, value_max, unit, vocabulary, read):
                return f"{DIFFERS}{other!r}"
    for t in sorted(part, key=lambda t: t.probability):
        if t.probability < WEAK or (t.probability < WEAK_KIN and _kin(t, value)):
            return f"{t.text!r} was heard badly"
    return None


def _kin(token: Token, value: float) -> bool:
    """Whether the token is a figure that has a twin by ear."""
    return value in KIN and (token.text.isdigit() or token.lower.endswith(("teen", "ty")))


def _same(part: Tokens, value: float, value_max: float | None, unit: str, vocabulary: Vocabulary, read: Read) -> bool:
    """Whether every other hearing of the figure's words says the same figure in other letters."""
    for t in part:  # "three and a half" was another hearing's "3.5" of 3.5 million
        value /= SCALES.get(t.lower, 1.0)
    others = {a for t in part if t.doubt for a in t.alternatives}
    return bool(others) and all(_agrees(other, value, value_max, unit, vocabulary, read) for other in others)


def _agrees(other: str, value: float, value_max: float | None, unit: str, vocabulary: Vocabulary, read: Read) -> bool:
    measures = read(_tokens(other, vocabulary))
    if any((m.value, m.value_max, m.unit) == (value, value_max, unit) for m in measures):
        return True
    numbers = [] if measures else _figures(other, vocabulary)
    return numbers == [value] if value_max is None else numbers == [value, value_max]


def _figures(other: str, vocabulary: Vocabulary) -> list[float]:
    return [n.value for n in find_numbers(_tokens(other, vocabulary), vocabulary)]


def _tokens(other: str, vocabulary: Vocabulary) -> Tokens:
    words = tuple(Word(w, i, i + 0.5) for i, w in enumerate(other.split()))
    return tokenise(Transcript(words), vocabulary)[0]
