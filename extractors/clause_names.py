"""What a clause names first: the noun behind its article, and how readily such a thing is listed.

openings.py knows machines by a list; here any noun counts, so that a machine which no list has is seen as well.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from extractors.mentions import Tokens
from extractors.openings import is_code
from extractors.phrases import singular
from vocab import Vocabulary

ARTICLES = frozenset(
    "a an another the this that his her their my our your its one these those each every some any no".split()
)
LEADS = frozenset("here here's there's there".split())
"""Words that point to a place before the noun comes."""
ENDS = frozenset("is was has with of in on at for by behind".split())
SEARCHED = 14
"""Words of a clause in which its noun begins."""
LONGEST = 6
"""Words of a name, at most."""


@dataclass(frozen=True, slots=True)
class Name:
    """One noun phrase by token indices, last excluded."""

    start: int
    """Its article, or its first word."""
    first: int
    last: int
    article: str
    noun: str
    """In the singular, as components.toml has it; its last word where that has none."""
    grade: str
    """Grade of components.toml, "whole" for words like line and plant, "open" for any other noun."""


def name_in(tokens: Tokens, first: int, last: int, vocabulary: Vocabulary) -> Name | None:
    """The first noun phrase between two tokens."""
    for start in range(first, min(last, first + SEARCHED)):
        if not _begins(tokens, start, vocabulary):
            continue
        i, article = start, ""
        while i < last and tokens[i].lower in ARTICLES:
            article, i = tokens[i].lower, i + 1
        end = _end(tokens, i, last, vocabulary)
        if end > i:
            return Name(start, i, end, article, *_graded(tokens, i, end, vocabulary))
    return None


def bare(word: str) -> str:
    """A word without its short "is", in the singular."""
    return singular(word[:-2] if word.endswith(("'s", "’s")) else word)


def words_of(vocabulary: Vocabulary, kind: str) -> frozenset[str]:
    """The words of a kind in cut_words.toml."""
    return _words(vocabulary)[kind]


@lru_cache(maxsize=16)
def _words(vocabulary: Vocabulary) -> dict[str, frozenset[str]]:
    return {row["kind"]: frozenset(row["said"]) for row in vocabulary["cut_words"]}


@lru_cache(maxsize=16)
def class_words(vocabulary: Vocabulary) -> dict[str, str]:
    """The class of every word of everyday English that is no noun."""
    return {w: row["class"] for row in vocabulary["classes"] for w in row["words"]}


@lru_cache(maxsize=16)
def _grades(vocabulary: Vocabulary) -> dict[str, str]:
    wholes = {name: "whole" for row in vocabulary["wholes"] for name in row["names"] if " " not in name}
    return wholes | {name: row["grade"] for row in vocabulary["components"] for name in row["names"]}


def _begins(tokens: Tokens, i: int, vocabulary: Vocabulary) -> bool:
    word = tokens[i].lower
    if word in ARTICLES:
        return word != "one"
    if is_code(tokens[i], vocabulary) or word in LEADS or word in words_of(vocabulary, "size"):
        return False
    return _class(word, vocabulary) in ("points", "")


def _end(tokens: Tokens, first: int, last: int, vocabulary: Vocabulary) -> int:
    i = first
    while i < last and i - first < LONGEST:
        word = tokens[i].lower
        if _class(word.removesuffix("'s"), vocabulary) not in ("describes", "") or word in ENDS:
            break
        i += 1
        if tokens[i - 1].after or word.endswith("'s"):
            break
    return i


def _class(word: str, vocabulary: Vocabulary) -> str:
    """The class of a word; "" for nouns, and "the saw" is one, whatever "saw" is elsewhere."""
    return "" if word in words_of(vocabulary, "agent") else class_words(vocabulary).get(word, "")


def _graded(tokens: Tokens, first: int, last: int, vocabulary: Vocabulary) -> tuple[str, str]:
    grades, noun = _grades(vocabulary), bare(tokens[last - 1].lower)
    for n in (3, 2, 1):
        if last - n >= first:
            name = " ".join([*(t.lower for t in tokens[last - n : last - 1]), noun])
            if name in grades:
                return name, grades[name]
    return noun, "open"
