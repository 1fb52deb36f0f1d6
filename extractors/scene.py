"""What several readers of things need of one transcript: its atoms, numbers, sizes, phrases and plates."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from extractors.mentions import Measure, Tokens
from extractors.noun_phrase import Phrase
from extractors.noun_tables import passage_of
from extractors.nouns import noun_phrases
from extractors.phrases import Atom, atoms_of
from extractors.plate_years import Plate
from extractors.plates_told import PlatesTold
from extractors.spoken_numbers import find_numbers
from vocab import Vocabulary

SHORTENED = re.compile(r"([A-Za-z]+|\d+)['’](?:s|re|ll)")


@dataclass(frozen=True, slots=True)
class Scene:
    """One transcript, read as far as phrases."""

    tokens: Tokens
    atoms: tuple[Atom, ...]
    numbers: dict[int, tuple[int, float, float | None, str]]
    """First atom of a number -> end, value, upper value, form; figures with a unit are left out."""
    measured: dict[int, int]
    """Atoms that a figure with its unit covers -> first atom of that figure."""
    phrases: tuple[Phrase, ...]
    plates: tuple[Plate, ...]


def numbered(tokens: Tokens, measures: tuple[Measure, ...], vocabulary: Vocabulary) -> Scene:
    """Atoms, numbers and sizes of a transcript; phrases and plates are left empty."""
    atoms = atoms_of(tokens)
    at: dict[int, int] = {}
    for k, a in enumerate(atoms):
        at.setdefault(a.token, k)
    at[len(tokens)] = len(atoms)
    measured = {k: at[m.first] for m in measures if m.unit for k in range(at[m.first], at[m.last])}
    numbers: dict[int, tuple[int, float, float | None, str]] = {}
    # "three's the phosphate": the number is a part of its token
    plain = tuple(
        replace(t, text=m.group(1), lower=m.group(1).lower()) if (m := SHORTENED.fullmatch(t.text)) else t
        for t in tokens
    )
    for n in find_numbers(plain, vocabulary):
        if at[n.first] not in measured:
            end = at[n.last] - (1 if SHORTENED.fullmatch(tokens[n.last - 1].text) else 0)
            end = max(end, at[n.first] + 1)  # "the 90's" is one atom
            numbers[at[n.first]] = (end, n.value, n.value_max, n.form)
    for k, a in enumerate(atoms[:-1]):
        if a.lower == "pair" and atoms[k + 1].lower == "of" and k not in numbers and not a.after:
            numbers[k] = (k + 1, 2, None, "cardinal")
        dozens = numbers.get(k + 1 + (atoms[k + 1].lower == "of"))
        if a.lower == "couple" and not a.after and dozens is not None and dozens[1] == 12:
            del numbers[k + 1 + (atoms[k + 1].lower == "of")]
            numbers[k] = (dozens[0], 24, None, "cardinal")  # "a couple dozen", "a couple of dozen"
    return Scene(tokens, atoms, numbers, measured, (), ())


def scene(tokens: Tokens, measures: tuple[Measure, ...], vocabulary: Vocabulary) -> Scene:
    """A transcript read as far as phrases and plates."""
    bare = numbered(tokens, measures, vocabulary)
    vague = {
        n
        for n in bare.numbers
        if any(
            a.lower
            in ("about", "around", "roughly", "approximately", "some", "maybe", "say", "nearly", "almost", "over")
            for a in bare.atoms[max(0, n - 2) : n]
        )
    }
    phrases = noun_phrases(passage_of(bare.atoms, bare.measured, bare.numbers, frozenset(vague), vocabulary))
    plates = PlatesTold(bare.atoms, bare.numbers, vocabulary).all()
    return Scene(tokens, bare.atoms, bare.numbers, bare.measured, tuple(phrases), tuple(plates))
