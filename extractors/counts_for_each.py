"""Counts told for each of several others: "every block has its own motor", "heaters, two per cell", "a fan in each".

How many there are in all is the count for one, times the others: the stations of that name, the things counted before,
or what is had in twos and fours (ends, sides, corners).
"""

from __future__ import annotations

from collections.abc import Sequence

from extractors.disposition_clauses import past
from extractors.mentions import SequenceMention
from extractors.noun_phrase import Phrase
from extractors.phrases import Atom, clause_end, clause_start, is_plural, sentence_bounds, singular
from extractors.same_thing import Things
from extractors.scene import Scene

EVERY = frozenset({"each", "every", "either"})
PLACING = frozenset("in on at for per to under over behind above below beside before with off".split())
HAVING = frozenset("has have gets carries takes had having with holds wears got".split())
HAVE = frozenset({"have", "got", "get", "carry", "need"})
ONE = frozenset({"a", "an", "its", "their", "own", "one", "single"})
OPENING = frozenset({"and", "so", "then", "now"})
ROUND = {"corner": 4, "side": 2, "end": 2}
"""What nearly everything has so many of."""
TIMES = frozenset(
    "hour minute second day week month year shift time other way one load cycle lift foot metre meter".split()
)
"""Words behind "each" or "per" that count no things."""
SEVERAL, MOST = 2, 400
BESIDE = 1
"""Words between the name and the pause before its count, at most."""
REACH = 4
"""Words of the name behind "each", at most."""


def for_every(view: Scene, sequences: Sequence[SequenceMention], things: Things, phrase: Phrase) -> int | None:
    """How many of a phrase there are, where it was told for each of several others; None where it was not."""
    atoms = view.atoms
    one = phrase.count
    opens = sentence_bounds(atoms, phrase.first)[0] == phrase.first and not phrase.article
    if one is None and not phrase.plural and (phrase.article in ONE or opens or _own(atoms, phrase)):
        one = 1
    if one is not None and _both_before(atoms, phrase):
        return 2 * one  # "both ends have a winder"
    if one is not None and (several := _each_of(view, phrase)) is not None:
        return one * several
    others = _behind(view, phrase.last) if not atoms[phrase.last - 1].after else None
    if others is None:
        others = _before(atoms, phrase)
    total = (phrase.count or 0) >= SEVERAL  # "sixteen plugs, one to a cylinder" are sixteen
    if (
        others is None
        and not total
        and phrase.last < len(atoms)
        and atoms[clause_end(atoms, phrase.last - 1) - 1].after == ","
    ):
        told = _counted_behind(view, phrase)
        if told is not None:
            one, others = told
    if one is None or others is None:
        return None
    many = _many(view, sequences, things, others, phrase)
    return one * many if many is not None and one * many <= MOST else None


def _both_before(atoms: Sequence[Atom], phrase: Phrase) -> bool:
    """Whether both of two others have what the phrase names: "both ends have a winder"."""
    k = past(atoms, clause_start(atoms, phrase.first), phrase.first, OPENING)
    plural = k + 1 < phrase.first and is_plural(atoms[min(k + 1 + (atoms[k + 1].lower == "the"), phrase.first)].lower)
    return atoms[k].lower == "both" and plural and atoms[phrase.first - 1].lower in HAVE


def _each_of(view: Scene, phrase: Phrase) -> int | None:
    """The number of "each of the two has a pump", "each of the four vats has its own drive"."""
    atoms = view.atoms
    k = past(atoms, clause_start(atoms, phrase.first), phrase.first, OPENING)
    said = [a.lower for a in atoms[k : k + 3]]
    if len(said) < 3 or said[0] not in EVERY or said[1] != "of" or said[2] not in ("the", "those", "these"):
        return None
    number = view.numbers.get(k + 3)
    has = any(atoms[n].lower in HAVING for n in range(k + 4, phrase.first))
    if number is None or not has or number[2] is not None or number[3] not in ("cardinal", "digits"):
        return None
    return int(number[1]) if number[1] == int(number[1]) and SEVERAL <= number[1] <= MOST else None


def _own(atoms: Sequence[Atom], phrase: Phrase) -> bool:
    return "own" in {a.lower for a in atoms[max(0, phrase.first - 1) : phrase.name]}


def _behind(view: Scene, k: int) -> tuple[int, int] | None:
    """Atoms of the name behind "in each", "per", "to a" at atom k."""
    atoms = view.atoms
    if k + 1 >= len(atoms) or atoms[k].lower not in PLACING or atoms[k].after:
        return None
    if atoms[k + 1].lower in EVERY:
        return _name(atoms, k + 2)
    if atoms[k].lower == "per":
        return _name(atoms, k + 1)
    counted = k > 0 and any(n <= k - 1 < end for n, (end, *_) in view.numbers.items() if n >= k - 3)
    return _name(atoms, k + 2) if atoms[k].lower == "to" and atoms[k + 1].lower in ("a", "an") and counted else None


def _before(atoms: Sequence[Atom], phrase: Phrase) -> tuple[int, int] | None:
    """Atoms of the name in "each block has its own motor", "the nickel tanks have a filter each"."""
    start = clause_start(atoms, phrase.first)
    while start < phrase.first and atoms[start].lower in ("and", "so", "then", "now", "on", "in", "at", "with"):
        start += 1
    joined = next((k for k in range(start, phrase.first) if atoms[k].lower in HAVING), None)
    if joined is None:
        return None
    if atoms[start].lower in EVERY:
        return _name(atoms, start + 1, joined)
    last = clause_end(atoms, phrase.first)
    if last > phrase.last and atoms[phrase.last].lower in ("each", "apiece") and phrase.last + 1 >= last:
        return _name(atoms, start + (atoms[start].lower in ("the", "all")), joined)
    return None


def _counted_behind(view: Scene, phrase: Phrase) -> tuple[int, tuple[int, int]] | None:
    """The count for one and the name in "heaters, two per cell", "hoods, one to a head", "jacks, one each corner"."""
    atoms, k = view.atoms, clause_end(view.atoms, phrase.last - 1)
    opens = sentence_bounds(atoms, phrase.first)[0] == phrase.first and phrase.article in ("", "the")
    if not (phrase.plural or opens) or k - phrase.last > BESIDE:
        return None  # "drives DC, one per stand", "Denester, one per lane"
    for _ in range(2):
        if k >= len(atoms) or atoms[k].sentence != atoms[phrase.name].sentence:
            return None
        number = view.numbers.get(k)
        if number is not None and k not in view.measured:
            end, value, top, form = number
            if top is not None or form not in ("cardinal", "digits") or value != int(value) or end >= len(atoms):
                return None
            found = _behind(view, end)
            if found is None and atoms[end].lower in EVERY and not atoms[end - 1].after:
                found = _name(atoms, end + 1)
            return (int(value), found) if found is not None else None
        k = clause_end(atoms, k)  # "make-up valves, float type, one per cell"
    return None


def _name(atoms: Sequence[Atom], first: int, last: int | None = None) -> tuple[int, int] | None:
    """The words of a name from atom first on, to the end of its clause or to atom last."""
    if first >= len(atoms):
        return None
    if last is None:
        last = min(first + REACH, clause_end(atoms, first))
        stop = next((k for k in range(first, last) if atoms[k].lower in HAVING | PLACING | {"and", "is", "'s"}), last)
        last = stop
    if last <= first or last - first > REACH or singular(atoms[first].lower) in TIMES:
        return None
    return first, last


def _many(
    view: Scene, sequences: Sequence[SequenceMention], things: Things, others: tuple[int, int], phrase: Phrase
) -> int | None:
    """How many there are of what the name is: stations, counted things, or a number before the word."""
    atoms = view.atoms
    words = [singular(a.lower) for a in atoms[others[0] : others[1]]]
    head, mods = words[-1], set(words[:-1]) - {"of"}
    if head in ROUND and not mods:
        return ROUND[head]
    for thing in reversed(things):
        many = thing.mention.count or 0
        if thing.head == head and mods <= thing.mods and many >= SEVERAL and thing.phrase is not phrase:
            return many
    if not mods:
        for sequence in reversed(sequences):
            if sequence.station_word == head and (many := sequence.stated_count or len(sequence.stations)) >= SEVERAL:
                return many
    said = set()
    for k, (end, value, top, form) in view.numbers.items():
        if k >= phrase.first or top is not None or form not in ("cardinal", "digits") or k in view.measured:
            continue
        noun = next((n for n in range(end, min(end + 2, len(atoms))) if singular(atoms[n].lower) == head), None)
        if noun is not None and is_plural(atoms[noun].lower) and not atoms[end - 1].after and value >= SEVERAL:
            said.add(int(value))
    return said.pop() if len(said) == 1 and not mods else None
