"""Whose plate it is: the whole's, or a component's own."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from extractors.noun_phrase import Phrase
from extractors.phrases import clause_start
from extractors.plate_years import Plate
from extractors.scene import Scene

EARLY = 0.35
"""Share of the words in which a first maker, model or year is the whole's, unless another thing is its subject."""


STRUCK = frozenset("stamped punched engraved cast etched painted written riveted".split())
WRITTEN = frozenset("digit digits figure figures character characters letter letters number numbers serial".split())
"""What is written on a plate; no thing that has one."""
ALL_OF_IT = frozenset("skid unit machine rig set plant line package installation".split())
"""Plain words by which the whole is called again: "the skid has a label"."""


def subject(view: Scene, phrases: Sequence[Phrase], plate: Plate) -> int | None:
    """Index of the phrase that a plate is said of, in its clause or else its sentence; None for the whole."""
    atoms = view.atoms
    start = clause_start(atoms, plate.first)
    things = [
        n
        for n, p in enumerate(phrases)
        if p.grade in ("machine", "open", "site") and not p.negated and p.heads[-1] not in WRITTEN
    ]
    inside = [n for n in things if start <= phrases[n].first < plate.last and not _struck_on(view, phrases[n])]
    before = [
        n
        for n in things
        if atoms[phrases[n].name].sentence == atoms[plate.first].sentence and phrases[n].last <= plate.first
    ]
    if inside:
        return inside[0]
    if before and any(
        a.lower in ("line", "plant", "whole", "everything", "package", "system")
        for a in atoms[phrases[before[-1]].last : plate.first]
    ):
        return None  # "kettle and tanks, all one line, built by ...": the whole
    return before[-1] if before else None


def _struck_on(view: Scene, p: Phrase) -> bool:
    """Whether a phrase is where a plate is struck into or read off: "stamped on the crown", "serial off the door"."""
    words = [a.lower for a in view.atoms[max(0, p.first - 3) : p.first]]
    read = any(a in ("serial", "number", "model") and b == "off" for a, b in pairwise(words))
    return read or any(a in STRUCK and b in ("on", "in", "into") for a, b in pairwise(words))


def _told_as_whole(view: Scene, p: Phrase) -> bool:
    """Whether a phrase tells what it all is: "it's an optical grader"."""
    words = [a.lower for a in view.atoms[max(0, p.first - 3) : p.name]]
    while words and words[-1] in ("a", "an"):
        words.pop()
    return words[-2:] in (["it", "'s"], ["it", "is"], ["this", "is"], ["she", "'s"])


def subjects(view: Scene, phrases: Sequence[Phrase]) -> list[int | None]:
    """What each plate is said of; one alone in its sentence goes with those right before: "the packer, made by Delmont,
    model 12. Built 2017."."""
    out: list[int | None] = []
    for n, plate in enumerate(view.plates):
        owner = subject(view, phrases, plate)
        if owner is None and n and out[-1] is not None:
            last = view.plates[n - 1]
            near = view.atoms[plate.first].sentence - view.atoms[last.first].sentence == 1
            between = any(last.last <= p.first < plate.first and p.grade in ("machine", "open") for p in phrases)
            if near and not between and plate.field != last.field:
                owner = out[-1]
        out.append(owner)
    return out


def owners(view: Scene, phrases: Sequence[Phrase]) -> dict[int, dict[str, str | int]]:
    """Phrase -> fields of its own plate; what is the whole's is left out."""
    out: dict[int, dict[str, str | int]] = {}
    mine = set(whole_plates(view, phrases))
    whose = subjects(view, phrases)
    for n, plate in enumerate(view.plates):
        if n in mine:
            continue
        owner = whose[n]
        if owner is not None:
            out.setdefault(owner, {}).setdefault(plate.field, plate.value)
    return out


RIDDEN = frozenset("van vans train trains bus taxi ferry plane flight lift boat".split())
"""What people leave in; "van leaves" names no machine."""
HOUSED = frozenset("skid package unit".split())
"""Words for anything that make the name of a machine with a word before them."""


def whole_plates(view: Scene, phrases: Sequence[Phrase]) -> list[int]:
    """Indices of the plates that are the whole's: of each field the first that is said of it."""
    out: list[int] = []
    seen: set[str] = set()
    early = EARLY * len(view.atoms)
    main, whose = main_phrase(view, phrases), subjects(view, phrases)
    spelled = any(p.sure == "spelled" for p in view.plates)
    # "it's a Monterey line" may be a misheard word; letters spelled aloud are no accident
    order = sorted(range(len(view.plates)), key=lambda n: spelled and view.plates[n].sure == "loose")
    for n in order:
        plate = view.plates[n]
        if plate.field in seen:
            continue
        owner = whose[n]
        own = (
            owner is None
            or owner == main
            or (main is not None and phrases[owner].heads[-1] == phrases[main].heads[-1] and not phrases[owner].indexed)
        )
        if owner is not None and not own:
            # "the builder's plate on the washer says": the whole's, where no other was said
            own = plate.first <= early and phrases[owner].led
        if (
            owner is None
            and plate.first > early
            and plate.field in ("maker", "year")
            and seen & {"maker", "model", "serial"}
            and plate.field == "maker"
        ):
            own = False
        if own:
            out.append(n)
            seen.add(plate.field)
    for n in order:  # the whole by another name: "it's an optical grader", the press of a press line
        plate, owner = view.plates[n], whose[n]
        if plate.field in seen or owner is None or n in out:
            continue
        p = phrases[owner]
        plainly = p.heads[-1] in ALL_OF_IT and p.article == "the" and not p.modifiers and plate.first <= early
        named = main is not None and (
            _told_as_whole(view, p) or (p.heads[-1] in phrases[main].modifiers and not p.indexed)
        )
        if plainly or named:
            out.append(n)
            seen.add(plate.field)
    return sorted(out)


def _may_be_sold(view: Scene, p: Phrase) -> bool:
    """Whether a phrase can name what a walk is about; "pasteuriser skid" can, "the van leaves" cannot."""
    if p.grade == "machine":
        return True
    if p.grade == "open":
        return view.atoms[p.name].lower not in RIDDEN
    return bool(p.modifiers) and p.heads[-1] in HOUSED


def main_phrase(view: Scene, phrases: Sequence[Phrase]) -> int | None:
    """The first machine that was named: mostly what the walk is about."""
    named = [n for n, p in enumerate(phrases) if _may_be_sold(view, p) and not p.negated]
    # "I'm looking at the shear": where all are led by prepositions, the first one
    return next((n for n in named if not phrases[n].led), named[0] if named else None)
