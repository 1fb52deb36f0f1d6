"""Counts behind a name that come in pieces: a total at the end of what is told, one here and another there, both.

"Racks, stainless, eighteen, and two in the wash, so twenty"; "sirens, one inside and another out in the yard"; "the
tracks are half worn, both of them". The name opens its sentence, or is a sentence by itself.
"""

from __future__ import annotations

from itertools import pairwise

from extractors.noun_phrase import PREPOSITIONS, Phrase
from extractors.phrases import clause_end, clause_start, sentence_bounds
from extractors.scene import Scene

OPENING = 3
"""Words of a sentence before the name it is about, at most."""
TOTALLING = tuple(tuple(words.split()) for words in (
    "so that makes", "so that 's", "so that would be", "so that is", "so make it", "so make that", "so call it",
    "so i make it",
    "so there 's", "so there are", "so it 's", "so we 've got", "so we have", "so you 've got", "so you have", "so",
    "that makes it", "that makes", "which makes it", "which makes", "making that", "making it", "making",
    "makes it", "makes", "hence",
))  # fmt: skip
"""Words before a total, the longest first where one begins another."""
ENDING = frozenset("now altogether total together overall left then in all of them 'em those".split())
"""Words that may stand behind a total before its clause ends."""
WHERE = (PREPOSITIONS - {"for", "with", "of", "per"}) | frozenset(
    "top bottom front back left right here there midway upstairs downstairs outside inside overhead underneath halfway "
    "up down out high low each either running standby duty spare working new old".split()
)
"""Words behind "one" that tell a place."""
ONES = frozenset({"one", "another"})
EVERY = frozenset({"each", "every"})
BEING = frozenset({"are", "'re", "were"})
MOST = 5000
FEW = 4
"""Ones told by their places, at most."""


def numbered_before(view: Scene, phrase: Phrase) -> int | None:
    """How many numbers are told to be a thing: "plinths one and two are the liquid ring pumps", "three, four and five
    are the vane sets"."""
    atoms, k = view.atoms, phrase.first - 1
    if not phrase.plural or phrase.led or k < 2:
        return None
    k -= atoms[k].lower in ("all", "both")
    if atoms[k].lower not in BEING or atoms[k].after:
        return None
    first, _ = sentence_bounds(atoms, k)
    told: list[float] = []
    k -= 1
    while k >= first and (k in view.numbers or atoms[k].lower == "and"):
        if k in view.numbers:
            if k in view.measured or view.numbers[k][0] != k + 1 or view.numbers[k][2] is not None:
                return None
            told.insert(0, view.numbers[k][1])
        k -= 1
    steps = {b - a for a, b in pairwise(told)}
    return len(told) if len(told) > 1 and steps in ({1}, {-1}) else None


def total_behind(view: Scene, phrase: Phrase) -> int | None:
    """The total that ends what a sentence tells of its subject: "eighteen, and two in the wash, so twenty"."""
    bounds = _about(view, phrase)
    if bounds is None:
        return None
    atoms, (first, last) = view.atoms, bounds
    for k in range(first, last):
        if atoms[k].lower not in ("so", "that", "which", "making", "makes", "hence"):
            continue
        words = next((w for w in TOTALLING if tuple(a.lower for a in atoms[k : k + len(w)]) == w), None)
        if words is None or k + len(words) >= last:
            continue
        found = _number(view, k + len(words))
        if found is None:
            continue
        end, value = found
        stop = clause_end(atoms, end - 1)
        if {a.lower for a in atoms[end:stop]} <= ENDING and _told_before(view, first, k):
            return value
    return None


def placed_ones(view: Scene, phrase: Phrase) -> int | None:
    """How many there are, told by where each one is: "one inside and another outside", "one top, one bottom"."""
    bounds = _about(view, phrase)
    if bounds is None:
        return None
    atoms, (first, last) = view.atoms, bounds
    ones = [k for k in range(first, last - 1) if atoms[k].lower in ONES]
    placed = [k for k in ones if not atoms[k].after and atoms[k + 1].lower in WHERE]
    if not 2 <= len(placed) <= FEW or placed != ones or any(k in view.measured for k in placed):
        return None
    if {"of", "per"} & {atoms[k + 1].lower for k in placed} or _others(view, phrase, placed[-1]):
        return None
    counted = any(k in view.numbers and k not in ones for k in range(first, placed[-1]))
    return None if counted else len(placed)


def both_behind(view: Scene, phrase: Phrase) -> int | None:
    """Two, where "both" is said of the plural that a sentence is about: "the mixers on the tanks are both in"."""
    atoms = view.atoms
    first, last = sentence_bounds(atoms, phrase.name)
    if not phrase.plural or phrase.led or phrase.first - first > OPENING:
        return None
    for k in range(phrase.last, last):
        if atoms[k].lower != "both" or (
            k + 1 < last and not atoms[k].after and atoms[k + 1].lower in ("the", "sides", "ends")
        ):
            continue
        told = atoms[k - 1].lower in BEING or clause_start(atoms, k) == k
        joined = {a.lower for a in atoms[first:k]} & {"and", "plus"}
        named = any(p.first in (k, k + 1) for p in view.phrases)  # "the bins, both conveyors"
        if told and not joined and not named and not _others(view, phrase, k):
            return 2
    return None


def _about(view: Scene, phrase: Phrase) -> tuple[int, int] | None:
    """The words that tell of what opens its sentence, in the next sentence where it is one by itself.

    It is a plural, or one of which each of several others has one.
    """
    atoms = view.atoms
    first, last = sentence_bounds(atoms, phrase.name)
    many = phrase.plural or (not phrase.article and bool(EVERY & {a.lower for a in atoms[phrase.last : last]}))
    if not many or phrase.led or phrase.first - first > OPENING:
        return None
    if phrase.last < last:
        return phrase.last, last
    return sentence_bounds(atoms, last) if last < len(atoms) else None


def _number(view: Scene, k: int) -> tuple[int, int] | None:
    """End and value of a whole number at atom k, or of "a pair"."""
    atoms = view.atoms
    if atoms[k].lower == "a" and k + 1 < len(atoms) and atoms[k + 1].lower in ("pair", "couple", "dozen"):
        return k + 2, 12 if atoms[k + 1].lower == "dozen" else 2
    number = view.numbers.get(k)
    if number is None or k in view.measured:
        return None
    end, value, top, form = number
    whole = top is None and form in ("cardinal", "digits") and value == int(value) and 1 < value <= MOST
    return (end, int(value)) if whole else None


def _told_before(view: Scene, first: int, k: int) -> bool:
    """Whether numbers, "one" or "another" stand between two atoms: a total sums something up."""
    return any(n in view.numbers and n not in view.measured for n in range(first, k)) or bool(
        {a.lower for a in view.atoms[first:k]} & (ONES | {"both", "spare"})
    )


def _others(view: Scene, phrase: Phrase, stop: int) -> bool:
    """Whether another thing that no preposition leads stands between a phrase and an atom."""
    return any(phrase.last <= p.first < stop and not p.led and p.grade != "never" for p in view.phrases)
