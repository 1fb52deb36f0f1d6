"""How alike two writings sound, 0 to 1: sounds of the mouth by metaphone (jellyfish), letters by edit distance.

Metaphone gives consonants; a recogniser mixes up those that a mouth makes at one place (volt and bolt, three and free)
far oftener than others, so a change within such a family costs less. Vowels are judged by the letters.
"""

from __future__ import annotations

from functools import lru_cache

from jellyfish import metaphone
from rapidfuzz.distance import Indel

FAMILIES = ("BPFV", "TD0", "KGX", "SXJZ", "MN", "LR", "FV0", "WR", "HW")
"""Sounds taken for one another in noise, in metaphone's letters (0 is th, X is sh): stops, nasals, hissing sounds and
liquids, as in Miller and Nicely's confusions of consonants, J. Acoust. Soc. Am. 27 (1955) 338; from memory."""
NEAR = 0.35
"""Cost of a change within a family, where one across families costs 1."""
WEAK = frozenset("HW")
"""Sounds that are lost first."""
LONGEST = 40
"""Letters compared; longer words are cut."""


@lru_cache(maxsize=65536)
def sounds(words: str) -> str:
    """Consonants of the words, said without a pause."""
    return "".join(metaphone(w) for w in words[:LONGEST].replace("-", " ").split()).replace(" ", "")


@lru_cache(maxsize=65536)
def likeness(heard: str, meant: str) -> float:
    """1 for the same sounds, 0 for nothing in common; the order of the two does not count."""
    a, b = heard.lower()[:LONGEST], meant.lower()[:LONGEST]
    plain_a, plain_b = (x.replace(" ", "").replace("-", "") for x in (a, b))
    if not plain_a or not plain_b:
        return 0.0
    if plain_a == plain_b:
        return 1.0
    letters = Indel.normalized_similarity(plain_a, plain_b)
    one, two = sounds(a), sounds(b)
    if not one or not two:
        return letters
    spoken = max(0.0, 1 - _cost(one, two) / max(len(one), len(two)))
    return 0.65 * spoken + 0.35 * letters


def _cost(one: str, two: str) -> float:
    """Edit distance of two rows of sounds; a change within a family is cheap, a weak sound is cheaply lost."""
    row = [0.0]
    for b in two:
        row.append(row[-1] + _lost(b))
    for a in one:
        last = row
        row = [last[0] + _lost(a)]
        for k, b in enumerate(two):
            row.append(min(last[k] + _changed(a, b), last[k + 1] + _lost(a), row[k] + _lost(b)))
    return row[-1]


def _lost(sound: str) -> float:
    return 0.5 if sound in WEAK else 1.0


@lru_cache(maxsize=4096)
def _changed(a: str, b: str) -> float:
    if a == b:
        return 0.0
    return NEAR if any(a in family and b in family for family in FAMILIES) else 1.0


SPELLINGS = (("our", "or"), ("ise", "ize"), ("isi", "izi"), ("yse", "yze"), ("ll", "l"), ("ou", "o"), ("re", "er"))
"""Spellings of the two sides of the Atlantic; for comparing only."""
ENDINGS = frozenset("s er ers or ors ing ings ion ions ation ations ure ment e es al y".split()) | {""}
"""Endings that make another word of the same root: a separator and a separation are both said."""
ROOT = 4


def kin(heard: str, meant: str) -> bool:
    """Whether two words are one in two spellings, or of one root ("packing", "packer"): nothing was misheard."""
    a, b = (_american(w) for w in (heard.lower(), meant.lower()))
    shared = next((k for k, (x, y) in enumerate(zip(a, b, strict=False)) if x != y), min(len(a), len(b)))
    return a == b or any(k >= ROOT and a[k:] in ENDINGS and b[k:] in ENDINGS for k in (shared, shared - 1))


def _american(word: str) -> str:
    for other, put in SPELLINGS:
        word = word.replace(other, put)
    return word
