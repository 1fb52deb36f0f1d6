"""What is said of a thing right behind its name: what it is made of, and whether the speaker is sure of it."""

from __future__ import annotations

from collections.abc import Sequence

from extractors.noun_phrase import Phrase
from extractors.noun_tables import materials_of
from extractors.phrases import Atom, clause_start, sentence_bounds
from vocab import Vocabulary


def hedged(atoms: Sequence[Atom], phrase: Phrase) -> bool:
    first, _ = sentence_bounds(atoms, phrase.name)
    start = max(first, clause_start(atoms, phrase.name), phrase.first - 5)
    words = [a.lower for a in atoms[start : phrase.first]]
    return any(
        w in ("think", "guess", "believe", "probably", "maybe", "perhaps", "reckon", "supposedly") for w in words
    )


def material(atoms: Sequence[Atom], phrases: Sequence[Phrase], n: int, vocabulary: Vocabulary) -> str | None:
    """What the thing is made of: within its phrase, or behind it in its sentence before another thing is named."""
    materials, phrase = materials_of(vocabulary), phrases[n]
    for k in range(phrase.name, phrase.last):
        found = materials.at(atoms, k)
        if found is not None and found[0] < phrase.last:
            return found[1]
    _, last = sentence_bounds(atoms, phrase.name)
    following = next(
        (p.first for p in phrases[n + 1 :] if p.grade in ("machine", "open") and p.first >= phrase.last),
        len(atoms),
    )
    k = phrase.last
    while k < min(last, following, phrase.last + 25):
        found = materials.at(atoms, k)
        if found is None:
            k += 1
            continue
        end, material = found
        before = atoms[k - 1]
        opens = bool(before.after) or before.lower in (
            "is",
            "'s",
            "are",
            "in",
            "of",
            "all",
            "from",
            "'re",
            "solid",
            "welded",
            "painted",
        )
        behind = atoms[end].lower if end < len(atoms) and not atoms[end - 1].after else ""
        if opens and (
            not behind
            or behind
            in (
                "all",
                "with",
                "and",
                "housing",
                "shell",
                "body",
                "frame",
                "casing",
                "construction",
                "throughout",
                "inside",
                "outside",
                "drum",
                "tank",
                "so",
                "but",
                "too",
            )
        ):
            return material
        k = end
    return None
