"""All but some: "everything but the chiller and the scale", "the lot goes, bar the crane", "all stays except the saw".

The words for all may stand before or behind what happens to it, and where the talk is of the sale the verb is often
left out. What is excepted gets the opposite of what is said of all. Where the sentence says something else of all
("everything but the hood is stainless"), nothing happens to anything.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from extractors.disposition_cues import CueFinder
from extractors.disposition_targets import Targets
from extractors.disposition_weighing import cue_at
from extractors.disposition_words import ALL_THERE, ARTICLES, BEING, MOVES, OPPOSITE, PRONOUNS, VERBS
from extractors.phrases import Atom, Finder, clause_end, sentence_bounds
from extractors.word_classes import NUMBER_WORDS, Classes

ALL = Finder(
    (
        (words, None)
        for words in (
            "everything", "anything", "all of it", "all of this", "all of that", "all of them", "all of these",
            "all of those", "all this", "all that", "all", "it all", "the lot", "the whole lot", "the whole thing",
            "the whole line", "the whole plant", "the whole set up", "the whole setup", "the whole installation",
            "the whole package", "the whole works", "the whole cell", "the complete line", "the complete plant",
            "the complete installation", "the entire line", "the entire plant", "the entire thing", "every bit of it",
            "every last bit", "the works", "complete line", "whole line", "lot", "the full line", "the full set",
            "every machine", "every piece", "every item", "every last thing", "all the machines", "all the machinery",
            "all the equipment", "all the kit", "all the gear", "all the rest", "sold complete", "the whole system",
            "the whole job lot",
        )
    ),
    nouns=False,
)  # fmt: skip
"""Words for all there is, common speech."""
BUT = Finder(
    (
        (words, None)
        for words in (
            "with the exception of", "except for", "excepting", "except", "excluding", "bar", "barring", "minus",
            "save for", "save", "apart from", "aside from", "other than", "besides", "less", "without", "leaving out",
            "but for", "but not", "just not", "only not", "though not", "not counting", "not including", "but",
        )
    ),
    nouns=False,
)  # fmt: skip
"""Words behind which stands what all does not hold."""
GETTING = frozenset(
    "get gets getting take takes taking have buy buys buying selling sell sells included include".split()
)
KEEPING = frozenset("keep keeps keeping leave leaves leaving".split())
OF_SALE = MOVES | (ALL_THERE - {"rest", "package"}) | {"you", "offered", "buyer", "inventory", "it's"}
"""Words of a sentence that is about the sale, of which one behind goes on without a verb."""
COUNTED = frozenset("thing things item items bit bits piece pieces couple few exception exceptions".split())
"""Words for what is excepted before it is named."""
NEAR = 14
"""Atoms between the words for all and those of the exception, at most."""


@dataclass(frozen=True, slots=True)
class AllBut:
    """What is said of all, and of what is excepted. Atoms first to last (excluded) need no other reading."""

    first: int
    last: int
    said: str
    """included, excluded, or nothing where the sentence is not about what happens to it."""
    scope: str | None
    excepted: tuple[int, ...]


def all_but(atoms: Sequence[Atom], targets: Targets, finder: CueFinder, classes: Classes) -> tuple[AllBut, ...]:
    """Every sentence that says what happens to all but some; `excepted` are indices of the things of `targets`."""
    out: list[AllBut] = []
    k = 0
    while k < len(atoms):
        of_all = ALL.at(atoms, k)
        found = None if of_all is None else _from(atoms, k, of_all[0], targets, finder, classes)
        if found is not None:
            out.append(found)
        k = k + 1 if found is None else found.last
    return tuple(out)


def _from(
    atoms: Sequence[Atom], k: int, end: int, targets: Targets, finder: CueFinder, classes: Classes
) -> AllBut | None:
    """The exception behind the words for all at k to end."""
    first, last = sentence_bounds(atoms, k)
    for j in range(end, min(end + NEAR, last)):
        but = BUT.at(atoms, j)
        if but is None:
            continue
        behind = _past_number(atoms, but[0], last)
        listed, stop = _listed(atoms, behind, targets)
        if not listed:
            continue
        told = bool({a.lower for a in atoms[end:j]} & (VERBS | MOVES))
        if atoms[j].lower == "but" and behind == j + 1 and told:
            return None  # "everything goes, but the crane stays": a clause of its own
        said = _verdict(atoms, (first, last), k, (j, stop), finder, classes)
        if said is None:
            return None
        with_it = {a.lower for a in atoms[end:j]} & {"with", "has", "have"}
        return AllBut(k, stop, said, None if with_it else targets.place(j), tuple(listed))
    return None


def _past_number(atoms: Sequence[Atom], k: int, last: int) -> int:
    """The first of what is excepted, behind how many they are: "bar three things, the crane, the sink and the hood"."""
    tells = k + 1 < last and atoms[k].lower in NUMBER_WORDS | {"a"} and atoms[k + 1].lower in COUNTED
    return k + 2 if tells and atoms[k + 1].after in (",", ":", ";") else k


def _listed(atoms: Sequence[Atom], k: int, targets: Targets) -> tuple[list[int], int]:
    """The things of the list that begins at k, and where it ends; of one that is denied ("without the hood", "minus the
    hood") the same thing named before."""
    here = next((n for n, p in enumerate(targets.phrases) if p.first == k), None)
    if here is None:
        at = k + (k < len(atoms) and atoms[k].lower in ARTICLES)
        for n in reversed(targets.things):
            heads = targets.phrases[n].heads
            if targets.phrases[n].first < k and tuple(a.lower for a in atoms[at : at + len(heads)]) == heads:
                return [n], at + len(heads)
        return [], k
    if here in targets.things:
        listed = targets.coordinated(here)
        return listed, targets.phrases[listed[-1]].last
    phrase = targets.phrases[here]
    named = [n for n in targets.things if n < here and targets.phrases[n].known == phrase.known]
    return (named[-1:] if phrase.negated else []), phrase.last


def _verdict(
    atoms: Sequence[Atom],
    sentence: tuple[int, int],
    k: int,
    exception: tuple[int, int],
    finder: CueFinder,
    classes: Classes,
) -> str | None:
    """What the sentence says of all: by a verb before it, between, behind the exception, or by what is talked of.

    Nothing ("") where a verb says something else of all, None where there is no verb and no talk of the sale.
    """
    first, last = sentence
    j, stop = exception
    before = [a.lower for a in atoms[max(first, k - 2) : k]]
    if atoms[k].lower == "sold":
        return "included"
    if KEEPING & set(before):
        return "excluded"
    if GETTING & set(before):
        return "included"
    said = _cue(atoms, first, j, finder, classes)
    if said is None and not _own_clause(atoms, stop, last):
        said = _cue(atoms, stop, clause_end(atoms, stop), finder, classes) if stop < last else None
        if said is None and stop < last:
            return ""  # "everything but the hood is stainless"
    if said is not None:
        return said
    if {a.lower for a in atoms[first:j]} & (VERBS | BEING):
        return None
    if stop < last and _cue(atoms, stop, last, finder, classes) == "excluded":
        return "included"  # "everything but the chiller, they're holding on to that"
    earlier, _ = sentence_bounds(atoms, first - 1) if first else (0, 0)
    near = {a.lower for a in atoms[earlier:first]}
    return "included" if near & OF_SALE else None


def _own_clause(atoms: Sequence[Atom], stop: int, last: int) -> bool:
    """Whether the sentence ends at stop, or goes on with a clause that has a subject of its own."""
    return stop >= last or atoms[stop].lower in PRONOUNS | ARTICLES | {"which", "who", "because", "they're", "that's"}


def _cue(atoms: Sequence[Atom], first: int, last: int, finder: CueFinder, classes: Classes) -> str | None:
    """The first of included and excluded that a cue between first and last says."""
    for i in range(first, last):
        found = cue_at(atoms, i, finder, classes)
        if found is not None and found[2] in OPPOSITE and found[1].where != "after" and found[0] <= last:
            return found[2]
    return None
