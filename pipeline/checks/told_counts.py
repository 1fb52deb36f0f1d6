"""Counts told in the sentence of a figure: "eight birds", "nine hundred sheets", with their nouns.

The walk lists counts of things that a buyer would list; what goes in a case or lies in a pile is none of these. The
sentence stands with its figure (`Quantity.around`), and is read with the reader's own numbers.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from extractors.normalise import tokenise
from extractors.spoken_numbers import find_numbers
from extractors.words import Transcript, Word
from pipeline.checks.subjects import singular
from vocab import Vocabulary

_NO_NOUN = frozenset(
    "and or but of the in on to for with at by is are was a an each per every all point to than hundred thousand "
    "percent foot feet inch inches metre metres meter meters mil millimetre millimetres mm pound pounds kilo kilos "
    "kilogram kilograms gram grams ton tons tonne tonnes litre litres liter liters gallon gallons volt volts amp amps "
    "kilowatt kilowatts horse horsepower bar psi degree degrees hertz minute minutes second seconds hour hours day "
    "days week weeks month months year years shift shifts rpm cubic square times".split()
)
_WITHIN = 3
"""Words behind a number within which its noun ends."""


@dataclass(frozen=True, slots=True)
class Told:
    """So many of a noun, and the words that stand before and behind in the sentence, lower case."""

    value: int
    noun: str
    """The last word of the name, in the singular."""
    before: tuple[str, ...]
    behind: tuple[str, ...]


@lru_cache(maxsize=512)
def told_counts(text: str, vocabulary: Vocabulary) -> tuple[Told, ...]:
    """Every plain count of two or more in a sentence, in order; empty for an empty text.

    A noun is the plural within three words of its number; units, times and rates ("eight a minute") count nothing.
    """
    spoken = Transcript(tuple(Word(w, 0.0, 0.0) for w in text.split()))
    tokens, _ = tokenise(spoken, vocabulary)
    out = []
    for n in find_numbers(tokens, vocabulary):
        if n.value_max is not None or n.value < 2 or n.value != int(n.value):
            continue
        for k in range(n.last, min(n.last + _WITHIN, len(tokens))):
            word = tokens[k].lower
            if not word.isalpha() or word in _NO_NOUN or (k > n.last and tokens[k - 1].after):
                break
            if singular(word) != word:
                before, behind = (tuple(t.lower for t in part) for part in (tokens[: n.first], tokens[k + 1 :]))
                out.append(Told(int(n.value), singular(word), before, behind))
                break
    return tuple(out)
