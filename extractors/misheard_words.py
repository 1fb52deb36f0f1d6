"""A thing's name that the recogniser had to spell by ear: "palatizer", "dearator", "de-palitizer".

Only words that sound exactly like one name of the table, consonant for consonant, and are written nearly like it: with
less, everyday words would be taken for things ("launch" and "lunch" differ by as little as "rinse" and "rents").
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from rapidfuzz.distance import Indel

from extractors.likeness import kin, sounds
from extractors.mentions import RepairMention, Token
from vocab import Vocabulary

FEWEST_SOUNDS = 4
LETTERS = 0.84
"""Likeness of the letters."""
UNSURE = 0.75
"""Probability below which it is read; where it was read once, it is read all through the recording."""
EVERYDAY = frozenset(
    "perform promise situation simpler broader sturdy planet spoiler roster condensed decrease tracker coaster "
    "aluminium plaint manger".split()
)
"""Of the 15,600 words of five letters or more that a recogniser's vocabulary holds in one piece, those that sound like
a name and are written so nearly like it; words in -ing are never taken for names. "Calendar" (calender), "cartoon"
(carton) and "educator" (eductor) are left out of it: beside machines the name is likelier."""
SHORTEST = 6


@lru_cache(maxsize=8)
def _names(vocabulary: Vocabulary) -> tuple[dict[str, tuple[str, ...]], frozenset[str]]:
    """Names of one word by their sounds; all words of names."""
    names = {n.lower() for t in ("components", "wholes") for row in vocabulary[t] for n in row["names"]}
    names |= {n.lower() for row in vocabulary["stations"] if row["use"] == "role" for n in row["names"]}
    by_sound: dict[str, list[str]] = {}
    for name in sorted(n for n in names if n.isalpha()):
        by_sound.setdefault(sounds(name), []).append(name)
    known = {w for n in names for w in n.split()} | {f for row in vocabulary["units"] for f in row["spoken"]}
    known |= {w for row in vocabulary["classes"] for w in row["words"]}
    return {k: tuple(v) for k, v in by_sound.items() if len(k) >= FEWEST_SOUNDS}, frozenset(known)


def mend_words(tokens: list[Token], vocabulary: Vocabulary, repairs: list[RepairMention]) -> list[Token]:
    """The tokens with such words read as the names; repairs grows by the first of each."""
    by_sound, known = _names(vocabulary)
    read: dict[str, str] = {}
    for t in tokens:
        word = t.lower.replace("-", "")
        if t.probability < UNSURE and word not in read and t.heard is None and word.isalpha():
            name = _name(word, by_sound, known)
            if name:
                read[word] = name
                repairs.append(RepairMention("mishearing", t.text, name, kept=(t.word, t.word + 1)))
    return [_read(t, read.get(t.lower.replace("-", ""))) for t in tokens] if read else tokens


def _read(token: Token, name: str | None) -> Token:
    if name is None or token.heard is not None:
        return token
    return replace(token, text=name, lower=name, heard=token.text, doubt=f"heard as {token.text!r}")


def _name(word: str, by_sound: dict[str, tuple[str, ...]], known: frozenset[str]) -> str | None:
    """The name that a word sounds like, in its number; None for words that are known, or near none."""
    if word.removesuffix("s") in EVERYDAY or word.endswith(("ing", "ings", "ies")) or len(word) < SHORTEST:
        return None
    for ending in ("", "s"):
        bare = word.removesuffix(ending) if ending else word
        if word in known or bare in known or (ending and bare == word):
            return None
        for name in sorted(by_sound.get(sounds(bare), ()), key=lambda n: -Indel.normalized_similarity(bare, n)):
            if kin(bare, name):
                return None
            return name + ending if Indel.normalized_similarity(bare, name) >= LETTERS else None
    return None
