"""Words for all of what was told by its places: "all eight sections and the kitchen", "all the stations go".

The places of a line of machines are things of their own; where what happens is said of all of them at once, the noun is
the word for the places, with their number or with "all", and no thing by itself.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from extractors.mentions import SequenceMention
from extractors.noun_phrase import Phrase
from extractors.phrases import Atom, singular
from extractors.scene import Scene

WHOLE = frozenset({"all", "every", "everything"})
"""Words before the word for the places that make them all."""
FEWEST = 3
"""Places of a line that "all" and a number may mean without a noun."""
FOLLOWING = frozenset("go goes are stay come will and is were of sell sold belong leave".split())
"""Words behind such a number."""
ALL = "all"
SMALL = {word: n for n, word in enumerate("one two three four five six seven eight nine ten".split(), 1)}
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
        top = _to_the(atoms, phrase)
        if not phrase.plural or phrase.negated or (not top and (len(phrase.heads) > 1 or phrase.modifiers)):
            continue
        head, all_said = singular(phrase.heads[-1]), _all(atoms, phrase)
        for s, sequence in enumerate(sequences):
            told = [m for m in roles.get(s, ()) if phrases[m].last <= phrase.first]
            fits = phrase.count in (sequence.stated_count, len(sequence.stations)) and phrase.count is not None
            if top and top in (sequence.stated_count, len(sequence.stations)):
                if told and head in MACHINES | {sequence.station_word}:
                    out[n] = tuple(told)  # "inspection machines one through five"
                continue
            if phrase.known == ALL:
                if told and fits:
                    out[n] = tuple(told)
                continue
            named = head == sequence.station_word and (fits or (all_said and phrase.count is None))
            if told and (named or (head in MACHINES and fits)):
                out[n] = tuple(told)
    return out


def bare(view: Scene, sequences: Sequence[SequenceMention]) -> list[Phrase]:
    """Phrases for "all five" without a noun, where a line has as many places: "we sell all five", "all eight go"."""
    atoms, out = view.atoms, list[Phrase]()
    sizes = {n for s in sequences for n in (s.stated_count, len(s.stations)) if n and n >= FEWEST}
    taken = {k for p in view.phrases for k in range(p.first, p.last)}
    for k, (end, value, top, form) in view.numbers.items():
        ahead = k > 0 and atoms[k - 1].lower == "all" and not atoms[k - 1].after
        if not ahead or value not in sizes or top is not None or form not in ("cardinal", "digits") or k in taken:
            continue
        closed = end >= len(atoms) or bool(atoms[end - 1].after)
        if closed or atoms[end].lower in FOLLOWING:
            words = f"all {int(value)}"
            out.append(Phrase(k - 1, k, k, end, "never", ALL, words, int(value), plural=True))
    return out


def _to_the(atoms: Sequence[Atom], phrase: Phrase) -> int:
    """The last number of "machines one through five", behind a phrase; 0 where no such numbers are."""
    words = [a.lower for a in atoms[phrase.last : phrase.last + 3]]
    if len(words) < 3 or words[0] not in ("one", "1") or words[1] not in ("to", "through", "thru", "till"):
        return 0
    return int(words[2]) if words[2].isdigit() else SMALL.get(words[2], 0)


def _all(atoms: Sequence[Atom], phrase: Phrase) -> bool:
    """Whether "all" stands in the phrase or right before it."""
    before = phrase.first - 1
    ahead = atoms[before].lower if before >= 0 and not atoms[before].after else ""
    return bool(WHOLE & {ahead, *(a.lower for a in atoms[phrase.first : phrase.last])})
