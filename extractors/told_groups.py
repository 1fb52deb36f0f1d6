"""Words for all of what was told by its places: "all eight sections and the kitchen", "all the stations go".

The places of a line of machines are things of their own; where what happens is said of all of them at once, the noun is
the word for the places, with their number or with "all", and no thing by itself.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from extractors.mentions import SequenceMention
from extractors.noun_phrase import Phrase
from extractors.phrases import Atom, singular

WHOLE = frozenset({"all", "every", "everything"})
"""Words before the word for the places that make them all."""
MACHINES = frozenset({"machine", "unit"})
"""Nouns besides the word for the places that may stand for them where their number fits."""


def groups(
    atoms: Sequence[Atom],
    phrases: Sequence[Phrase],
    sequences: Sequence[SequenceMention],
    roles: Mapping[int, Sequence[int]],
) -> dict[int, tuple[int, ...]]:
    """Phrase of a word for places -> phrases of all of these places.

    `roles` has for each sequence, by its index, the phrases that its places were told with.
    """
    out: dict[int, tuple[int, ...]] = {}
    for n, phrase in enumerate(phrases):
        if not phrase.plural or phrase.negated or len(phrase.heads) > 1 or phrase.modifiers:
            continue
        head, all_said = singular(phrase.heads[-1]), _all(atoms, phrase)
        for s, sequence in enumerate(sequences):
            told = [m for m in roles.get(s, ()) if phrases[m].last <= phrase.first]
            fits = phrase.count in (sequence.stated_count, len(sequence.stations)) and phrase.count is not None
            named = head == sequence.station_word and (fits or (all_said and phrase.count is None))
            if told and (named or (head in MACHINES and fits)):
                out[n] = tuple(told)
    return out


def _all(atoms: Sequence[Atom], phrase: Phrase) -> bool:
    """Whether "all" stands in the phrase or right before it."""
    before = phrase.first - 1
    ahead = atoms[before].lower if before >= 0 and not atoms[before].after else ""
    return bool(WHOLE & {ahead, *(a.lower for a in atoms[phrase.first : phrase.last])})
