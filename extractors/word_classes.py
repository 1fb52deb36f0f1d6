"""What kind of word a word is, from tables and suffixes alone: enough to see where a phrase begins."""

from __future__ import annotations

import re
from collections.abc import Sequence, Set
from dataclasses import dataclass
from functools import lru_cache

from vocab import Vocabulary


def word_set(text: str) -> frozenset[str]:
    """A set of words, written as one text."""
    return frozenset(text.split())


FIGURE = re.compile(r"[$£€#]?\d[\d,./:%-]*(?:st|nd|rd|th|s)?")
ACTING = re.compile(r"[a-z]{3,}(?:ed|ing|ify|ize|ise)|[a-z]{2,}(?:cribe|duce|ceive)")
NUMBER_WORDS = word_set(
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen twenty thirty forty fifty sixty seventy eighty ninety hundred thousand million billion half "
    "quarter quarters thirds eighths eighth sixteenths sixteenth dozen oh"
)
CARDINALS = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen twenty"
).split()
"""The words of nought to twenty, each at its own place."""
ORDINALS = (
    "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth fourteenth fifteenth "
    "sixteenth seventeenth eighteenth nineteenth twentieth"
).split()
"""The words of the first to the twentieth, in order."""
DESCRIBING = re.compile(r"[a-z]{3,}(?:ous|ful|less|ive|ical|ic|al|able|ible|ular|ary|ish)")
ORDINAL = re.compile(r"(?:[a-z]+-)?(?:fourth|fifth|sixth|seventh|eighth|ninth|tenth|[a-z]+teenth|[a-z]+tieth)")


@dataclass(frozen=True, slots=True)
class Piece:
    """One word, seen by its class."""

    lower: str
    kind: str
    """A class of vocab/classes.toml, or number, unit, name or content."""
    ends: bool = False
    """Whether a sentence ends behind it."""
    comma: bool = False
    """Whether a pause was written behind it."""
    hesitates: bool = False
    """Whether "er" was said behind it: alone that is no cue, between two figures of one unit it is."""

    @property
    def stem(self) -> str:
        """The word without an ending of number or tense."""
        return stem(self.lower)

    @property
    def pauses(self) -> bool:
        """Whether a pause or the end of a sentence follows."""
        return self.comma or self.ends


@lru_cache(maxsize=20_000)
def stem(word: str) -> str:
    """A word without a plural or tense ending: "gallons" and "gallon", "defined" and "define" are one."""
    word = word.removesuffix("'s").removesuffix("’s")
    if word.endswith(("ches", "shes", "xes")) and len(word) > 4:
        return word[:-2]
    for ending, put in (("ies", "y"), ("sses", "ss"), ("es", "e"), ("s", ""), ("ed", "e"), ("ing", "e")):
        if word.endswith(ending) and len(word) - len(ending) >= 3 and not word.endswith("ss"):
            return word[: -len(ending)] + put
    return word


def denial(
    pieces: Sequence[Piece], first: int, words: Set[str], reach: int, new_clause: Set[str] = frozenset()
) -> int | None:
    """Where the nearest of some words of denial stands in the clause before a piece, `reach` words back at most."""
    for k in range(first - 1, max(-1, first - 1 - reach), -1):
        if pieces[k].comma or pieces[k].ends or pieces[k].lower in new_clause:
            return None
        if pieces[k].lower in words:
            return k
    return None


class Classes:
    """The class of any word under one vocabulary."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self._known: dict[str, str] = {w: row["class"] for row in vocabulary["classes"] for w in row["words"]}
        self._units = {
            w for row in vocabulary["units"] for form in row["spoken"] for w in form.split()[:1] if len(w) > 1
        }

    def of(self, lower: str, *, capital: bool = False) -> str:
        """The class of a word in lower case; capital says that it was written with one inside a sentence."""
        bare = lower.removesuffix("'s").removesuffix("’s")
        if bare != "oh" and (FIGURE.fullmatch(bare) or all(p in NUMBER_WORDS for p in bare.split("-"))):
            return "number"
        if lower in self._known:
            return self._known[lower]
        if lower in self._units and not capital:
            return "unit"
        if ORDINAL.fullmatch(lower):
            return "describes"
        if capital:
            return "name"
        if ACTING.fullmatch(lower):
            return "acts"
        if DESCRIBING.fullmatch(lower):
            return "describes"
        return "content"


@lru_cache(maxsize=16)
def classes_of(vocabulary: Vocabulary) -> Classes:
    """The word classes of a vocabulary, made once."""
    return Classes(vocabulary)
