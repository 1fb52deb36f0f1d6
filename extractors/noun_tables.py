"""What the readers of nouns look at: the words of one transcript with their numbers, and the tables of names."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from extractors.noun_phrase import Numbers
from extractors.phrases import Atom, Finder, key
from extractors.word_classes import Classes, classes_of
from vocab import Vocabulary

KIND_WORDS = frozenset(
    (
        "gas spare hydraulic pneumatic electric manual automatic main auxiliary overhead portable mobile vertical "
        "horizontal inclined rotary oil air water product twin double low high pressure"
    ).split()
)
"""Words that say what kind of a thing it is, besides the first words of names of the table."""
SMALL = frozenset("one and of the in up off after on to".split())


@dataclass(frozen=True, slots=True)
class Passage:
    """The words of one transcript, and what is known of words under its vocabulary."""

    atoms: Sequence[Atom]
    measured: Mapping[int, int]
    """Atoms that a figure with its unit covers -> first atom of that figure."""
    numbers: Numbers
    approximate: frozenset[int]
    """First atoms of the numbers that were said roughly."""
    number_at: Mapping[int, int]
    """Atoms of numbers -> first atom of the number."""
    names: Finder[tuple[str, str]]
    """Names of things with their grade."""
    modifiers: frozenset[str]
    """Words that stand before the noun in names of things."""
    places: Finder[str]
    """Words that count the places of a line: stage, tank, zone."""
    materials: Finder[str]
    classes: Classes
    given: frozenset[str]
    """First names of people, lower case."""

    def names_at(self, i: int) -> tuple[str, ...]:
        """The words of the longest name that begins at atom i."""
        found = self.names.at(self.atoms, i)
        return tuple(a.lower for a in self.atoms[i : found[0]]) if found else ()


def passage_of(
    atoms: Sequence[Atom],
    measured: Mapping[int, int],
    numbers: Numbers,
    approximate: frozenset[int],
    vocabulary: Vocabulary,
) -> Passage:
    """The passage that a transcript's atoms and numbers make under a vocabulary."""
    number_at = {k: start for start, (end, *_) in numbers.items() for k in range(start, end)}
    return Passage(
        atoms,
        measured,
        numbers,
        approximate,
        number_at,
        *_tables(vocabulary),
        classes_of(vocabulary),
        _given(vocabulary),
    )


def names_of(vocabulary: Vocabulary) -> Finder[tuple[str, str]]:
    """The names of things of a vocabulary, each with the table's name and grade."""
    return _tables(vocabulary)[0]


def materials_of(vocabulary: Vocabulary) -> Finder[str]:
    """The words for what a thing is made of, each with the material's name."""
    return _tables(vocabulary)[3]


@lru_cache(maxsize=16)
def _tables(vocabulary: Vocabulary) -> tuple[Finder[tuple[str, str]], frozenset[str], Finder[str], Finder[str]]:
    names = [(name, (name, row["grade"])) for row in vocabulary["components"] for name in row["names"]]
    known = {name for name, _ in names}
    names += [(n, (n, "whole")) for row in vocabulary["wholes"] for n in row["names"] if n not in known]
    modifiers = {part for name, (_, grade) in names if grade in ("machine", "part", "site") for part in key(name)[:-1]}
    modifiers |= {part for row in vocabulary["made_of"] for form in row["spoken"] for part in key(form)}
    modifiers |= KIND_WORDS
    places = [(n, n) for r in vocabulary["stations"] if r["use"] in ("place", "vessel", "machine") for n in r["names"]]
    materials = [(form, row["is"]) for row in vocabulary["made_of"] for form in row["spoken"]]
    modifiers -= SMALL
    return Finder(names), frozenset(modifiers), Finder(places), Finder(materials, nouns=False)


@lru_cache(maxsize=16)
def _given(vocabulary: Vocabulary) -> frozenset[str]:
    return frozenset(name.lower() for row in vocabulary["given_names"] for name in row["names"])
