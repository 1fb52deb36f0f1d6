"""Whether a buyer would list what a phrase names, and whether its number counts things at all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from extractors.counts_behind import count_behind
from extractors.list_headings import Lists
from extractors.mentions import SequenceMention
from extractors.noun_phrase import PREPOSITIONS, Phrase
from extractors.phrases import Atom, Finder, clause_end, sentence_bounds, singular, span_of
from extractors.same_thing import Things, is_predicate
from extractors.scene import Scene
from vocab import Vocabulary

BARE_VESSELS = frozenset({"tank", "vessel", "bin", "basin", "drum", "pit", "vat", "kettle", "tote"})
"""Words that, bare and definite, point at a station or a thing named before, and name no new thing."""
INSTRUMENTS = frozenset("detector analyzer monitor indicator controller".split())
"""Words for anything that, counted, say enough: "four detectors"."""
ABOUT = frozenset({"is", "are", "'s", "has", "have", "works", "work", "was", "were"})
"""Verbs behind a part that make a sentence one about it."""


AS_PARTS = frozenset("sleeve block bottle box truck car pallet trailer".split())
"""Goods and places that with a word before them are parts of a plant where they are counted."""
FILLED = frozenset(
    "full empty filled good bad finished beer glass milk wine water plastic wooden steel cardboard".split()
)
"""Words before goods that make them no part of a plant."""
RATES = frozenset("an a per each every to".split())
"""Words behind goods that go by the hour or into something."""
LISTING = frozenset("and then now okay so next also plus well right".split())
"""Words before a name that a list goes on with."""
TOLD_OF = frozenset(
    "control meter door plate frame casing eye light pad plc drain leg wire dial gauge housing window paint".split()
)
"""Parts that a sentence begins with to say how they are, or what they show, and that no one lists for it."""
SAYING = ABOUT | frozenset("'re 's it i we you they that which need needs goes go runs run do does".split())
"""Words of a clause that says something of its name."""


@dataclass(frozen=True, slots=True)
class Talk:
    """One transcript, as the questions of this module need it."""

    view: Scene
    phrases: Sequence[Phrase]
    sequences: tuple[SequenceMention, ...]
    roles: Finder[str]
    """Roles of stations."""
    places: frozenset[tuple[int, int]]
    """Atoms of the roles that the places of lines of machines have."""
    lists: Lists
    machines: frozenset[str]
    """Machines of one word."""

    @property
    def atoms(self) -> tuple[Atom, ...]:
        return self.view.atoms


def talk_of(
    view: Scene,
    phrases: Sequence[Phrase],
    sequences: tuple[SequenceMention, ...],
    places: frozenset[tuple[int, int]],
    lists: Lists,
    vocabulary: Vocabulary,
) -> Talk:
    """A transcript with its phrases and sequences, and the words of a vocabulary."""
    return Talk(view, phrases, sequences, _roles(vocabulary), places, lists, _machines(vocabulary))


def listed(talk: Talk, phrase: Phrase, things: Things, *, decided: bool) -> bool:
    """Whether a buyer would list what this phrase names, where it is named for the first time."""
    head = singular(phrase.heads[-1])
    if any(first < phrase.last and phrase.name < last for first, last in talk.places):
        return True
    if phrase.first in talk.lists.headings:
        _, last = sentence_bounds(talk.atoms, phrase.first)
        return decided and not any(phrase.last <= k < last for k in talk.lists.items)  # "Tooling. Six collets, a vise."
    if phrase.indexed:
        return decided and phrase.grade == "machine" and head not in BARE_VESSELS
    if (
        head in BARE_VESSELS
        and len(phrase.heads) == 1
        and not phrase.modifiers
        and (phrase.count is None or not phrase.plural)
        and not decided
    ):
        return False
    counted = phrase.count is not None or count_behind(talk.view, phrase) is not None
    if is_role(talk, phrase):
        return False
    if phrase.grade == "site":
        return counted or decided or not phrase.led
    if phrase.grade == "generic":
        if is_predicate(talk.atoms, phrase) and not things and (phrase.count or 1) == 1:
            return False  # "it's the green sand system" is the whole
        named = bool(phrase.modifiers) or (head in INSTRUMENTS and phrase.plural and phrase.count is not None)
        return named and (not phrase.led or decided or counted) and not station(talk, phrase)
    if phrase.grade == "part":
        return (
            phrase.first in talk.lists.items
            or (counted and (phrase.count != 1 or bool(phrase.holders) or _told_alone(talk, phrase, things)))
            or decided
            or "spare" in phrase.modifiers
            or spoken_of(talk, phrase)
            or introduced(talk, phrase)
            or fragment(talk, phrase)
        )
    if phrase.grade == "open":
        many = phrase.plural and (phrase.count or 0) > 1  # "two spray lances": a role has no number
        role = not many and bool(talk.roles.at(talk.atoms, phrase.last - 1))
        apposed = bool(phrase.first) and talk.atoms[phrase.first - 1].after == ","  # "a roller dryer, eight decks"
        return decided or (many and not apposed) or not (station(talk, phrase) or role)
    return True


def goods_as_things(view: Scene) -> list[Phrase]:
    """The phrases, those as parts that are goods or places by their noun and a machine's by what stands before it,
    where several are counted: "two shot sleeves", "carbon dioxide bottles on the wall, four of them"."""
    out = []
    for p in view.phrases:
        before = (*p.modifiers, *p.heads[:-1])
        named = p.grade == "never" and p.plural and not p.negated and singular(p.heads[-1]) in AS_PARTS
        if named and before and not any(w in FILLED or w.endswith(("ed", "ly")) for w in before):
            count = p.count if p.count is not None else count_behind(view, p)
            behind = view.atoms[p.last].lower if p.last < len(view.atoms) and not view.atoms[p.last - 1].after else ""
            if (count or 0) > 1 and behind not in RATES:
                p = replace(p, grade="part")
        out.append(p)
    return out


def _told_alone(talk: Talk, phrase: Phrase, things: Things) -> bool:
    """Whether one of a part is told as such: "one cylinder, six inch bore"; not "one valve sticks", one of several."""
    ends = talk.atoms[phrase.last - 1].after in (",", ";")
    several = any(t.head == singular(phrase.heads[-1]) for t in things)
    if phrase.first and talk.atoms[phrase.first - 1].lower in ABOUT:
        return False  # "the header is one straight pipe"
    return ends and not phrase.article and not phrase.led and not several


def spoken_of(talk: Talk, phrase: Phrase) -> bool:
    """Whether a sentence is about the part: "the main breaker is 250 amps"; not "the tank lining is rubber"."""
    first, _ = sentence_bounds(talk.atoms, phrase.first)
    behind = talk.atoms[phrase.last].lower if phrase.last < len(talk.atoms) else ""
    opens = phrase.first == first or talk.atoms[phrase.first - 1].lower in ("and", "so", "okay", "now")
    named = phrase.article in ("the", "") and (bool(phrase.modifiers) or len(phrase.heads) > 1)
    of_another = any(singular(m) in talk.machines for m in (*phrase.modifiers, *phrase.heads[:-1]))
    return opens and named and not of_another and not phrase.led and behind in ABOUT


def fragment(talk: Talk, phrase: Phrase) -> bool:
    """Whether a sentence without a verb begins with the part: "Pull cords on both sides", "Mandrels, steel"."""
    atoms = talk.atoms
    first, last = sentence_bounds(atoms, phrase.first)
    k = first
    while k < phrase.first and atoms[k].lower in LISTING:
        k += 1
    if k < phrase.first or phrase.article not in ("", "a", "an") or phrase.led or phrase.condition:
        return False
    if singular(phrase.heads[-1]) in TOLD_OF:
        return False
    if not (phrase.modifiers or len(phrase.heads) > 1 or phrase.plural):
        return False  # "Squeegees, wood" are listed, "Bed, eight foot" says how one part is
    if not (phrase.modifiers or len(phrase.heads) > 1) and _named_next(talk, phrase):
        return False
    k = phrase.last
    if k >= last:
        return True
    figures = k + 1 < last and (k + 1 in talk.view.measured or k + 1 in talk.view.numbers)
    if atoms[k].lower in ("no", "none", "nope") or (figures and not atoms[k - 1].after):
        return False  # "belt guard, no", "spray nozzles at twenty psi"
    stop = clause_end(atoms, k) if not atoms[k - 1].after else k
    return (stop == k or atoms[k].lower in PREPOSITIONS) and not any(a.lower in SAYING for a in atoms[k:stop])


def _named_next(talk: Talk, phrase: Phrase) -> bool:
    """Whether a bare plural only leads up to one told in full: "Belts in between. Three transfer belts"."""
    here = talk.atoms[phrase.name].sentence
    return any(
        p.heads[-1] == phrase.heads[-1] and bool(p.modifiers) and 0 < talk.atoms[p.name].sentence - here <= 1
        for p in talk.phrases
    )


def introduced(talk: Talk, phrase: Phrase) -> bool:
    """Whether a part is named as a thing that is there: "there is also a vacuum brake", "there's a 160 amp switch"."""
    k = phrase.first - 1
    while k > 0 and talk.atoms[k].lower in ("also", "just", "even", "still", "then") and not talk.atoms[k].after:
        k -= 1
    there = k > 0 and talk.atoms[k].lower in ("is", "'s") and talk.atoms[k - 1].lower == "there"
    which = bool(phrase.modifiers) or len(phrase.heads) > 1 or phrase.measured
    return there and which and phrase.article in ("a", "an", "another") and not talk.atoms[k].after


def is_role(talk: Talk, phrase: Phrase) -> bool:
    """Whether the phrase is the role of a station, as the table knows them ("stage four's the conditioner")."""
    first, last = span_of(talk.atoms, talk.view.tokens, phrase.name, phrase.last)
    inside = any(a <= first and last <= b for s in talk.sequences for a, b in (q.span for q in s.stations))
    found = talk.roles.at(talk.atoms, phrase.name) if inside else None
    # "eleven's a threading tool, eight is the reamer"
    tool = inside and (singular(phrase.heads[-1]) == "tool" or phrase.grade == "part")
    return phrase.count is None and (tool or (found is not None and found[0] == phrase.last))


def station(talk: Talk, phrase: Phrase) -> bool:
    """Whether the phrase names a place of a sequence, or a count of them."""
    return singular(phrase.heads[-1]) in {s.station_word for s in talk.sequences}


def none(talk: Talk, phrase: Phrase) -> bool:
    """Whether "none" follows the name alone: "Deaerator. None.", "overhead crane, none"."""
    k = phrase.last
    if k >= len(talk.atoms) or talk.atoms[k].lower not in ("none", "nil") or not talk.atoms[k - 1].after:
        return False
    return bool(talk.atoms[k].after) or k + 1 >= len(talk.atoms) or talk.atoms[k + 1].sentence != talk.atoms[k].sentence


def rate(talk: Talk, phrase: Phrase) -> bool:
    """Whether the count goes by the hour: "240 hooks an hour"."""
    behind = [a.lower for a in talk.atoms[phrase.last : phrase.last + 2]]
    return (
        phrase.count is not None
        and len(behind) == 2
        and behind[0] in ("a", "an", "per", "each", "every")
        and behind[1] in ("hour", "minute", "second", "day", "shift", "week", "cycle", "load", "lift")
    )


@lru_cache(maxsize=16)
def _roles(vocabulary: Vocabulary) -> Finder[str]:
    return Finder([(n, n) for row in vocabulary["stations"] if row["use"] == "role" for n in row["names"]])


@lru_cache(maxsize=4)
def _machines(vocabulary: Vocabulary) -> frozenset[str]:
    """Machines of one word."""
    rows = (row for row in vocabulary["components"] if row["grade"] == "machine")
    return frozenset(name for row in rows for name in row["names"] if " " not in name)
