"""Rows: things told one after the other before anything is said of them: "mixer, the oven with its fan, that's yours".

What ends a row is said of all of it and of what stands "with" its members; what is behind "less" gets the opposite.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import takewhile

from extractors.disposition_clauses import numbers_in
from extractors.disposition_cues import Decision
from extractors.disposition_words import ADVERBS, BEING, OPENERS, OPPOSITE, PRONOUNS, VERBS
from extractors.noun_phrase import Phrase
from extractors.phrases import Atom, clause_start, sentence_bounds

WITH = frozenset({"with", "plus", "and"})
"""Words behind which a thing belongs to a member of a row."""
LESS = frozenset({"less", "minus", "bar", "without", "except", "barring"})
"""Words behind which stands what a member of a row comes without."""
RESUMING = frozenset({"that", "those", "these", "they", "which", "all", "both", "it's", "that's"})
"""Words that take up a whole row again before what is said of it."""
ONE = frozenset({"it", "this", "one", "he", "she"})
"""Words that take up one thing."""
SINGLE = frozenset("is 's goes stays comes has gets remains belongs was leaves travels".split())
"""Verbs of one thing: joined to a row without a word that takes it up, they speak of its last member."""
TELLING = (
    VERBS
    | BEING
    | (PRONOUNS - {"all", "both", "one", "ones"})
    | frozenset("i you we there 'll 've do does don't can will which who what where because if".split())
)
"""Words that make a piece of a sentence more than a member of a row."""
TOGETHER = frozenset("both all each of them the lot two three four five one and".split())
"""Words that take up all of a row in a clause of their own."""
ANSWERS = {"yes": "included", "yep": "included", "yeah": "included", "no": "excluded", "nope": "excluded"}
BESIDE = frozenset(
    "and or plus with less minus the a an its their his our both all one two three four of for too as well "
    "complete together every any".split()
)
"""Words that may stand behind the first thing of a member."""
PIECE, LONG = 9, 60
"""Words of a member and of a row, at most."""


@dataclass(frozen=True, slots=True)
class Row:
    """Things of one row by their index, and those that it comes without."""

    things: tuple[int, ...]
    without: tuple[int, ...]


def of_a_row(row: Row, said: Decision) -> list[Decision]:
    """What was said of a row, handed to each of its members, the other way round to what it comes without."""
    opposite = OPPOSITE.get(said.disposition)
    less = () if opposite is None else row.without
    return [replace(said, phrase=n) for n in row.things] + [
        replace(said, phrase=n, disposition=opposite or "", reason=None) for n in less
    ]


def row_of(atoms: Sequence[Atom], phrases: Sequence[Phrase], things: Sequence[int], first: int, last: int) -> Row:
    """The things between two atoms that are members or stand with one, and those behind "less"."""
    kept, without = list[int](), list[int]()
    joined = False
    for n in _named(phrases, things, first, last):
        p = phrases[n]
        lead = atoms[p.first - 1].lower if p.first > first and not atoms[p.first - 1].after else ""
        if lead in LESS:
            without.append(n)
            continue
        joined = lead == "with" or (joined and lead == "and" and p.led)
        if joined or not p.led:
            kept.append(n)
    return Row(tuple(kept), tuple(without))


def row_before(
    atoms: Sequence[Atom], phrases: Sequence[Phrase], things: Sequence[int], i: int, told: int
) -> Row | None:
    """The row that ends where what is said of it begins at atom i; None where one thing, or none, stands there, or
    where something was said of what stands before told."""
    first, _ = sentence_bounds(atoms, i)
    at = clause_start(atoms, i)
    end = i
    while end > at and atoms[end - 1].lower in BEING | ADVERBS | RESUMING | OPENERS | {"will", "'ll", "would"}:
        end -= 1
    between = {a.lower for a in atoms[end:i]}
    if end == at > first and {a.lower for a in atoms[clause_start(atoms, end - 1) : end]} <= TOGETHER:
        end = clause_start(atoms, end - 1)  # "the filters, both, go"
        between |= {"both"}
    resumed = bool(between & (RESUMING - {"which"})) or end == at
    if between & ONE or (not resumed and (between | {atoms[i].lower}) & SINGLE) or end == first:
        return None
    begins, named = _walk_back(atoms, phrases, things, max(first, told), end, bare=not between)
    if begins == told and told and not atoms[told - 1].after:
        return None  # "you can have the strapper, the wrapper we need": the object of what was said
    if begins is None or named < 2 - ("both" in between):
        return None
    row = row_of(atoms, phrases, things, begins, end)
    return row if len(row.things) > 1 or (row.things and "both" in between) else None


def answered(atoms: Sequence[Atom], phrases: Sequence[Phrase], things: Sequence[int]) -> list[Decision]:
    """What a yes or a no behind each says of things, in a sentence that says no more: "heaters yes, jigs no"; what is
    joined behind shares it: "the belt, yes, and the presses"."""
    out: list[Decision] = []
    seen = -1
    for k, a in enumerate(atoms):
        if a.lower not in ANSWERS or a.sentence == seen:
            continue
        seen = a.sentence
        first, last = sentence_bounds(atoms, k)
        held = _named(phrases, things, first, last)
        inside = {j for n in held for j in range(phrases[n].first, phrases[n].last)}
        rest = [j for j in range(first, last) if j not in inside]
        answers = [j for j in rest if atoms[j].lower in ANSWERS]
        more = answers[1:] or (held and phrases[held[-1]].first > answers[0])
        if not held or not more or any(atoms[j].lower not in BESIDE | ANSWERS.keys() | {"but"} for j in rest):
            continue
        for n in held:
            at = next((j for j in answers if j >= phrases[n].last), answers[-1])
            out.append(Decision(n, ANSWERS[atoms[at].lower], None, at))
    return out


def _walk_back(
    atoms: Sequence[Atom], phrases: Sequence[Phrase], things: Sequence[int], first: int, end: int, *, bare: bool
) -> tuple[int | None, int]:
    """Where the pieces that are all members begin, and in how many places of theirs a thing is named; None where a
    sentence tells something of what stands before them. bare: nothing takes the row up, so that no piece may tell a
    size ("conveyor, ten foot long, sixteen inch belt, included")."""
    begins, at, named = None, end, 0
    while at > first and end - at <= LONG:
        start = max(first, clause_start(atoms, at - 1))
        held = _named(phrases, things, start, at)
        sized = bare and (numbers_in(atoms, start, at) if not held else any(phrases[n].measured for n in held))
        most = PIECE if held else PIECE // 2
        if at - start > most or sized or _tells(atoms, phrases, held, start, at):
            return (None if held or sized else begins), named
        if held:
            begins, named = start, named + sum(not phrases[n].led for n in held)
        elif begins is None:
            return None, 0  # "cabinet, nine drawers, the owner hasn't said": what is said has a subject of its own
        if start > first and atoms[start - 1].after in (":", ";"):
            break
        at = start
    return begins, named


def _tells(atoms: Sequence[Atom], phrases: Sequence[Phrase], held: Sequence[int], first: int, last: int) -> bool:
    """Whether a piece of a sentence does more than name things: a verb, or what may be one behind a thing."""
    if {a.lower for a in atoms[first:last]} & TELLING:
        return True
    inside = {k for n in held for k in range(phrases[n].first, phrases[n].last)}
    behind = min(inside, default=last)
    # a noun that no table has may stand where a name may: "the trolley with punches and vees"
    return any(
        k not in inside
        and atoms[k].lower not in BESIDE
        and atoms[k - 1].lower not in BESIDE
        and "-" not in atoms[k - 1].glue
        for k in range(behind, last)
    )


def _named(phrases: Sequence[Phrase], things: Sequence[int], first: int, last: int) -> list[int]:
    """The things that begin between two atoms."""
    begin = bisect_left(things, first, key=lambda n: phrases[n].first)
    return list(takewhile(lambda n: phrases[n].first < last, things[begin:]))
