"""What several readers of things need of one transcript: its atoms, numbers, sizes, phrases and plates."""

from __future__ import annotations

from dataclasses import dataclass

from extractors.mentions import Measure, Tokens
from extractors.nouns import Nouns, Phrase
from extractors.phrases import Atom, atoms_of
from extractors.plates import Plate, Plates
from vocab import Vocabulary

try:  # until the reader of numbers lands
    from extractors.numbers import find_numbers
except ImportError:

    def find_numbers(tokens, vocabulary):  # type: ignore
        return ()


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
    at = {}
    for n, a in enumerate(atoms):
        at.setdefault(a.token, n)
    at[len(tokens)] = len(atoms)
    measured = {k: at[m.first] for m in measures if m.unit for k in range(at[m.first], at[m.last])}
    numbers = {}
    for n in find_numbers(tokens, vocabulary):
        if at[n.first] not in measured:
            numbers[at[n.first]] = (at[n.last], n.value, n.value_max, n.form)
    return Scene(tokens, atoms, numbers, measured, (), ())


def scene(tokens: Tokens, measures: tuple[Measure, ...], vocabulary: Vocabulary) -> Scene:
    """A transcript read as far as phrases and plates."""
    bare = numbered(tokens, measures, vocabulary)
    vague = {n for n in bare.numbers if any(a.lower in ("about", "around", "roughly", "approximately", "some", "maybe", "say", "nearly", "almost", "over") for a in bare.atoms[max(0, n - 2) : n])}
    phrases = Nouns(bare.atoms, bare.measured, bare.numbers, vague, vocabulary).all()
    plates = Plates(bare.atoms, bare.numbers, vocabulary).all()
    return Scene(tokens, bare.atoms, bare.numbers, bare.measured, tuple(phrases), tuple(plates))
