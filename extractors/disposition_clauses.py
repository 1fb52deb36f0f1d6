"""What the clause around a cue of disposition is: a question, a bare name, a number, all that is said."""

from __future__ import annotations

from collections.abc import Iterable, Sequence, Set
from itertools import takewhile

from extractors.disposition_words import (
    ADVERBS,
    ARTICLES,
    BEHIND_OBJECTS,
    BEING,
    CLOSING,
    CUTS,
    DEMONSTRATIVES,
    DENIED,
    FOLLOWS,
    HEARING,
    OBJECTS,
    OPENERS,
    PLURAL,
    SAYING,
    SPEAKERS,
    VERBS,
)
from extractors.noun_phrase import PREPOSITIONS
from extractors.phrases import Atom, clause_end, clause_start, sentence_bounds
from extractors.word_classes import NUMBER_WORDS


def past(atoms: Sequence[Atom], k: int, stop: int, words: Set[str] = OPENERS) -> int:
    """The first atom from k on that is none of some words; stop where all before it are."""
    while k < stop and atoms[k].lower in words:
        k += 1
    return k


def denies(words: Iterable[str], by: Set[str] = DENIED) -> bool:
    """Whether a word of denial is among them, "don't" and the like always."""
    return any(w in by or w.endswith("n't") for w in words)


def _is_number(word: str) -> bool:
    return word in NUMBER_WORDS or word[:1].isdigit()


def of_a_noun(atoms: Sequence[Atom], start: int, i: int, end: int) -> bool:
    """Whether "it's in" ends a clause that says more of a noun right before it: "the shape it's in"."""
    at = i
    while at > start and atoms[at].lower in BEING | {"in"}:
        at -= 1
    if atoms[end - 1].lower != "in" or at <= start or atoms[at].lower not in ("it", "they", "we", "you"):
        return False
    before = atoms[at - 1].lower
    return not atoms[at - 1].after and before not in OPENERS | CUTS | SPEAKERS | ADVERBS | SAYING | HEARING | BEING


def one_fails(atoms: Sequence[Atom], start: int, i: int, end: int) -> bool:
    """Whether "out" says that some of several do not work: "one element is out", "two lamps are out"."""
    words = [a.lower for a in atoms[start:i] if a.lower not in OPENERS | BEING]
    return atoms[end - 1].lower == "out" and len(words) > 1 and words[0] in NUMBER_WORDS and end - i <= 2


def names_only(atoms: Sequence[Atom], first: int) -> bool:
    """Whether a sentence begins with the name of a thing and nothing else: "the truck scale, well, ..."."""
    end = clause_end(atoms, first)
    words = [a.lower for a in atoms[past(atoms, first, end) : end]]
    name = list(takewhile(lambda w: w not in PREPOSITIONS, words))
    numbers = any(map(_is_number, words))
    return 2 <= len(name) <= 4 and len(words) <= 8 and name[0] in ARTICLES and not numbers and not VERBS & set(words)


def counts_at(atoms: Sequence[Atom], start: int) -> bool:
    """Whether the clauses of a sentence before an atom begin with a number: "twelve nozzles, I think, ..."."""
    leads = OPENERS | BEING | {"about", "maybe", "some", "there", "got"}
    first = past(atoms, sentence_bounds(atoms, start)[0], start, leads)
    return first < start and _is_number(atoms[first].lower)


def numbers_in(atoms: Sequence[Atom], first: int, last: int) -> bool:
    """Whether a number stands between two atoms."""
    return any(_is_number(a.lower) for a in atoms[first:last])


def numbered(atoms: Sequence[Atom], end: int) -> bool:
    """Whether a number follows, "about" and the like between: "it gives, dunno, about ten a minute"."""
    end = past(atoms, end, len(atoms), {"about", "around", "maybe", "some", "say", "roughly"})
    return end < len(atoms) and _is_number(atoms[end].lower)


def is_asked(atoms: Sequence[Atom], i: int) -> bool:
    """Whether the sentence of atom i asks: a question mark behind it, and a helping verb first."""
    first, last = sentence_bounds(atoms, i)
    return atoms[last - 1].after == "?" and atoms[past(atoms, first, i)].lower in (
        BEING | {"do", "does", "can", "will", "would", "did"}
    )


def whole_clause(atoms: Sequence[Atom], i: int, end: int) -> bool:
    """Whether a cue is all that its clause says: "leased", "both leased", "it's in", "the platform is in"."""
    _, last = sentence_bounds(atoms, i)
    if end < last and not atoms[end - 1].after and atoms[end].lower not in ("and", "but", "so", "because", "too"):
        return False
    start = clause_start(atoms, i)
    k = i
    while k > start and (atoms[k - 1].lower in ADVERBS or denies([atoms[k - 1].lower])):
        k -= 1
    said = k > start and atoms[k - 1].lower in BEING
    while k > start and atoms[k - 1].lower in BEING | ADVERBS | DEMONSTRATIVES | OPENERS:
        k -= 1
    return k == start or said


def is_answer(atoms: Sequence[Atom], i: int, end: int) -> bool:
    """Whether a yes or no ends a short sentence that named a thing: "a drum pump, sure"."""
    first, last = sentence_bounds(atoms, i)
    if end < last or clause_start(atoms, i) != i or i == first or i - first > 9 or atoms[first].lower in DENIED:
        return False  # "no cracks in the sumps, no" is no answer
    said = BEING | {"has", "have", "got"}
    return not any(a.lower in said for a in atoms[first:i]) and atoms[first].lower != "there"


def closed(atoms: Sequence[Atom], end: int) -> bool:
    """Whether nothing that could be an object follows a cue of taking, but for a pronoun."""
    held = end < len(atoms) and not atoms[end - 1].after and atoms[end].lower in OBJECTS | PLURAL
    k = end + held  # "we keep it short" is no keeping, "we keep it for the other line" is
    if k >= len(atoms) or atoms[k - 1].after or atoms[k].lower in FOLLOWS | CLOSING:
        return True
    return held and atoms[k].lower in BEHIND_OBJECTS


def after_a_place(atoms: Sequence[Atom], start: int, k: int) -> bool:
    """Whether "after" at k only says where a thing stands: "the checkweigher after the cartoner isn't decided"."""
    before = {a.lower for a in atoms[start:k]} - OPENERS
    return atoms[k].lower == "after" and bool(before) and not before & (VERBS | DEMONSTRATIVES - {"that", "this"})
