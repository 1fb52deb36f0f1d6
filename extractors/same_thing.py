"""Which of the things named before a phrase points back at."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from extractors.counts_behind import altogether, in_all
from extractors.mentions import ThingMention
from extractors.noun_phrase import DEFINITE, INDEFINITE, PREPOSITIONS, Phrase
from extractors.phrases import Atom, clause_start, sentence_bounds, singular

BROAD = frozenset(
    ("conveyor washer table machine unit system station desk rack skid line tank booth dryer oven").split()
)
"""Nouns that people leave off when they name the thing again: "the shuttle" for "the shuttle conveyor"."""
CONTROLS = frozenset(
    {
        "PLC",
        "HMI",
        "touch screen",
        "touchscreen",
        "touch panel",
        "operator panel",
        "operator screen",
        "operator station",
        "control panel",
        "control cabinet",
        "cabinet",
        "panel",
        "color panel",
        "color display",
    }
)
"""What sits in one cabinet: named together, they are listed as one."""
OF_FLUIDS = frozenset("nitrogen gas oxygen air water steam hydraulic pneumatic fuel chemical acid tool valve".split())
"""Words before a panel or cabinet that is no part of the controls."""
NEAR = 2
"""Sentences to the total of what was counted for each."""
LEAST = 4
"""Letters of such a noun, at least."""
WORKERS = frozenset({"machine", "unit", "station"})
"""Nouns for what does the work that stands before them."""
WIDE_APART = 6
"""Sentences after which "a fan" is another fan than the one before."""


@dataclass(slots=True)
class Thing:
    """A thing under way: its mention, and the phrase that named it first."""

    mention: ThingMention
    phrase: Phrase
    index: int
    mods: frozenset[str] = field(default=frozenset())
    head: str = ""
    sentence: int = 0
    short: bool = False
    """Whether it was called by its noun alone since it was named in full."""


Atoms = Sequence[Atom]
Things = Sequence[Thing]


def words_before(phrase: Phrase) -> frozenset[str]:
    """The words of a phrase before its noun, in the singular."""
    return frozenset(singular(m) for m in (*phrase.heads[:-1], *phrase.modifiers))


def same(atoms: Atoms, things: Things, phrase: Phrase) -> Thing | None:
    """The thing that a phrase points back at."""
    head = singular(phrase.heads[-1])
    mods = words_before(phrase)
    sentence = atoms[phrase.name].sentence
    new = phrase.article in INDEFINITE and phrase.article not in ("one", "some")
    definite = phrase.article in DEFINITE or _all_of_them(atoms, phrase)
    predicate = new and is_predicate(atoms, phrase)
    if phrase.known in CONTROLS and phrase.article != "another" and phrase.count is None and not phrase.plural:
        near = (t for t in reversed(things) if t.phrase.known in CONTROLS and sentence - t.sentence <= 1)
        family = next((t for t in near if not foreign(t.phrase)), None)
        if family is not None:
            return family
    best: Thing | None = named_by(atoms, things, phrase)
    if best is not None:
        return best
    fallback: Thing | None = None
    for thing in reversed(things):
        away = sentence - thing.sentence
        if phrase.holders != thing.phrase.holders or ("spare" in mods and "spare" not in thing.mods):
            continue  # the spare seal in the crate is not the seal that runs
        if thing.head != head:
            if _does(thing.phrase, head, bare=not (mods or new)):
                return thing
            # "the shuttle" after "the shuttle conveyor", "the burner" right after "the burner tube"
            short = definite and not mods and head in thing.mods and not phrase.plural and phrase.count is None
            if short and (thing.head in BROAD or away <= 1):
                fallback = fallback or thing  # but "the condenser" is the evaporative one, not the condenser fans
            continue
        if phrase.count is not None and thing.mention.count is not None and phrase.count != thing.mention.count:
            continue
        exact = mods == thing.mods
        if thing.mention.count is None and heading(atoms, thing.phrase) and away <= 2 and not phrase.led:
            return thing
        counted = phrase.count is not None and not definite
        if predicate and thing.mention.count is None and (away <= 2 or not mods or thing is things[0]):
            return thing  # "she's a good old press", the one that all of it is about
        if new:
            if exact and mods and phrase.article != "another" and thing.mention.count is None:
                best = best or thing
            continue
        if counted:
            # named first without a count ("with manual hoists"), counted later ("there are two hoists")
            if (
                (
                    thing.mention.count is None
                    and (exact or (mods < thing.mods and thing.phrase.plural and only(things, thing)))
                    and (
                        exact or not altogether(atoms, phrase)
                    )  # "Nickel rectifiers. There are five rectifiers in all"
                )
                or (
                    thing.mention.count is None
                    and phrase.count == 1
                    and not thing.phrase.plural
                    and mods > thing.mods
                    and not thing.mods
                    and only(things, thing)
                )
                or (exact and thing.mention.count == phrase.count and away <= WIDE_APART)
                # "make it four grinding wheels. Four wheels."
                or (mods < thing.mods and phrase.plural and thing.mention.count == phrase.count and away <= NEAR)
                # "one separator for each screw, so two oil separators"
                or (thing.mention.count is None and mods >= thing.mods and in_all(atoms, phrase) and away <= NEAR)
            ):
                best = best or thing
            continue
        if apposed(atoms, thing.phrase, phrase):
            return thing
        if exact and phrase.plural and not thing.phrase.plural and thing.mention.count in (None, 1):
            fallback = fallback or thing  # "four hoists ... one hoist ... hoists go": the hoists, where there are some
            continue
        if exact and _one_of_many(phrase, thing):
            fallback = fallback or thing  # "laser, punch, tower": the turret punch, not the hundred punches
            continue
        if exact:
            return thing
        if best is not None and not mods and thing.short and not best.short and sentence - best.sentence > NEAR:
            best = thing  # "the ironer" is the one that was called so before, not the roll ironer by the window
            continue
        if (
            mods < thing.mods
            and best is None
            and not (phrase.plural and not thing.phrase.plural and (not phrase.article or (phrase.count or 0) > 1))
        ) or (
            mods > thing.mods and away <= 2 and phrase.plural == thing.phrase.plural and best is None and not thing.mods
        ):
            best = thing
    return best or fallback


def _one_of_many(phrase: Phrase, thing: Thing) -> bool:
    """Whether a bare name in the singular stands for none of the many that were counted by the same name."""
    many = thing.phrase.plural and (thing.mention.count or 0) > 1
    return many and not (phrase.plural or phrase.article or phrase.led or phrase.count)


def _all_of_them(atoms: Atoms, phrase: Phrase) -> bool:
    """Whether "all" stands before the number of a phrase: "all twelve bogies" are those that were counted."""
    near = atoms[max(0, phrase.first - 1) : phrase.name]
    return phrase.count is not None and any(a.lower == "all" and not a.after for a in near)


def _does(place: Phrase, head: str, *, bare: bool) -> bool:
    """Whether a noun names what does the work that a place or, where it stands bare, a machine was called by: "six is
    bagging ... the baggers", "a tempering machine ... the temperer"."""
    if not head.endswith(("er", "or")) or len(head) <= LEAST:
        return False
    work = head[:-2] + "ing"
    if place.grade == "open" and len(place.heads) == 1 and not place.modifiers:
        return place.heads[0] == work
    worker = bare and singular(place.heads[-1]) in WORKERS
    return worker and work in (*place.heads[:-1], *place.modifiers)


def apposed(atoms: Atoms, one: Phrase, two: Phrase) -> bool:
    """Whether the second names the first more closely, right behind it: "cleaning skid, the CIP skid"."""
    return (
        two.first == one.last
        and atoms[one.last - 1].after == ","
        and two.article in ("the", "this", "that")
        and atoms[two.last - 1].after in (",", ".")
        and one.plural == two.plural
    )


def heading(atoms: Atoms, phrase: Phrase) -> bool:
    """Whether a bare plural is all of its sentence: "Cranes. One jib crane, half ton."."""
    first, last = sentence_bounds(atoms, phrase.name)
    return phrase.plural and not phrase.article and (first, last) == (phrase.first, phrase.last)


def only(things: Things, thing: Thing) -> bool:
    """Whether no other thing has the same noun."""
    return sum(t.head == thing.head for t in things) == 1


def is_predicate(atoms: Atoms, phrase: Phrase) -> bool:
    """Whether the phrase says what a thing just named is: "we have the filler, it is a counter pressure filler"."""
    before = [a.lower for a in atoms[max(0, phrase.first - 2) : phrase.first]]
    if (
        len(before) == 2
        and before[0] in ("it", "this", "that", "they", "these", "she")
        and before[1] in ("is", "'s", "are", "'re")
    ):
        # "behind that is a splitting machine" names another one
        at = phrase.first - 3
        return at < 0 or bool(atoms[at].after) or atoms[at].lower not in PREPOSITIONS
    # "the mixer's round the corner, a horizontal mixer, two hundred kilo"
    behind = atoms[phrase.last - 1].after
    return phrase.first > 0 and atoms[phrase.first - 1].after == "," and behind in (",", ".")


def foreign(phrase: Phrase) -> bool:
    """Whether a panel is of something else than the controls: "the nitrogen panel", "the gas cabinet"."""
    return bool({singular(m) for m in phrase.modifiers} & OF_FLUIDS)


def named_by(atoms: Atoms, things: Things, phrase: Phrase) -> Thing | None:
    """The thing whose kind a phrase with "a" tells: "head rig's a circle saw", "the drive, that's a gear motor"."""
    if phrase.article not in ("a", "an", "one") or not things or phrase.first < 2:
        return None
    last = things[-1]
    at = phrase.first
    copula = atoms[at - 1].lower in ("is", "'s", "are") and not atoms[at - 1].after
    if not copula or atoms[last.phrase.name].sentence != atoms[at].sentence or last.phrase.led:
        return None
    if last.phrase.last == at - 1 and not atoms[at - 2].after:
        return last
    pronoun = atoms[at - 2].lower in ("it", "this", "that") and bool(atoms[at - 3].after) and atoms[at - 3].after == ","
    clause = clause_start(atoms, at - 3) if pronoun else 0
    return last if pronoun and last.phrase.first >= clause and last.phrase.count in (None, 1) else None


def whole(
    atoms: Atoms, things: Things, phrase: Phrase, head: str, mods: frozenset[str], count: int | None
) -> int | None:
    """Index of the total that this is a part of: same head, fewer words, more of them, said shortly before."""
    if count is None:
        return None
    for thing in reversed(things):
        total = thing.mention.count
        if (
            thing.head == head
            and total is not None
            and total > count
            and thing.mods < mods
            and atoms[phrase.name].sentence - thing.sentence <= 3
        ):
            return thing.index
    return None
