"""Counts told once more: for each and then in all, or miscounted and put right.

"Two rollers to a press, so four rollers"; "three feed pumps ... I told three, but there's another, so four feed pumps".
Both name one group of things twice, where otherwise two numbers are two groups.
"""

from __future__ import annotations

from collections.abc import Sequence

from extractors.counts_behind import in_all
from extractors.noun_phrase import Phrase
from extractors.phrases import Atom, clause_end, clause_start, sentence_bounds, singular
from extractors.same_thing import NEAR, Things, words_before
from extractors.scene import Scene

TELLING = frozenset("said told counted called say wrote reckoned mentioned recorded had".split())
"""Words of somebody who goes back to a number."""
BREAKING = frozenset("wait correction scratch".split())
LOOKING = frozenset("counted count counting checked looked look".split())
FURTHER = frozenset("another more extra besides added overlooked".split())
PLACING = frozenset("for on in per at to".split())
EACH = frozenset("each every a an one".split())
TOLD_BEFORE = TELLING | {"gave", "give"}
PUT_AS = tuple(
    tuple(words.split())
    for words in ("call it", "make it", "make that", "it 's", "it is", "that 's", "they 're", "there 's", "there are")
)
"""Words before the number that stands."""
BACK = 2
"""Sentences back to where somebody goes back to a number."""


DOES = frozenset(
    (
        "'s is was has had takes holds gives makes weighs carries "
        "costs needs wants leaks weeps runs sounds looks sticks drips lacks misses shows reads says"
    ).split()
)
PLACES = frozenset("above overhead over below underneath along through across between beneath on round".split())
RUNNING = frozenset("on off running going working down up".split())


def for_each(atoms: Sequence[Atom], phrases: Sequence[Phrase], phrase: Phrase) -> bool:
    """Whether a count is for each of several others, and the total follows: "one for each, so two separators"."""
    if not of_each(atoms, phrase):
        return False
    return any(
        p.first >= phrase.last
        and p.heads[-1] == phrase.heads[-1]
        and p.count
        and atoms[p.name].sentence - atoms[phrase.name].sentence <= NEAR
        for p in phrases
    )


def one_of_several(atoms: Sequence[Atom], phrase: Phrase, things: Things) -> bool:
    """Whether "one" is one of those counted before: "two metering pumps. One metering pump's missing its motor."."""
    behind = atoms[phrase.last].lower if phrase.last < len(atoms) and not atoms[phrase.last - 1].after else ""
    if phrase.plural or phrase.led or atoms[phrase.first].lower != "one" or behind not in DOES:
        return False
    head, mods = singular(phrase.heads[-1]), words_before(phrase)
    return any(t.head == head and t.phrase.plural and t.mods == mods and (t.mention.count or 2) > 1 for t in things)


def in_use(atoms: Sequence[Atom], phrase: Phrase) -> bool:
    """Whether a count is of those that were on: "thirty two inches with two pumps running", "with only one fan off"."""
    behind = atoms[phrase.last].lower if phrase.last < len(atoms) and not atoms[phrase.last - 1].after else ""
    place = atoms[phrase.last + 1].lower if phrase.last + 1 < len(atoms) and not atoms[phrase.last].after else ""
    if behind in ("running", "going") and place in PLACES:
        return False  # "with three hoists running above": where they run
    led = {a.lower for a in atoms[max(0, phrase.first - 2) : phrase.first + 1]}
    closes = phrase.last + 1 >= len(atoms) or bool(atoms[phrase.last].after) or behind in RUNNING - {"on", "off"}
    return behind in RUNNING and closes and "with" in led


def of_each(atoms: Sequence[Atom], phrase: Phrase) -> bool:
    """Whether the words beside a count say that each of several others has so many."""
    behind = [a.lower for a in atoms[phrase.last : phrase.last + 2]]
    if len(behind) == 2 and not atoms[phrase.last - 1].after:
        a_side = behind[0] in ("a", "an", "per") and not atoms[phrase.last].after
        together = behind == ["in", "one"]  # "fourteen tanks in one straight row"
        if a_side or (behind[0] in PLACING and behind[1] in EACH and not together):
            return True
    # "each booth has two lamps, so six lamps"
    start = clause_start(atoms, phrase.first)
    verb = phrase.first - 1
    has = verb > start and atoms[verb].lower in ("has", "have", "gets", "takes", "carries", "got")
    return has and any(a.lower in ("each", "every") for a in atoms[start : start + 2])


def put_right(view: Scene, things: Things, phrase: Phrase, *, outright: bool = False) -> int | None:
    """Place in things of what the phrase counts once more, and otherwise; None where it counts another group.

    `outright`: its clause says that it puts a number right.
    """
    if not phrase.count or phrase.led or not phrase.plural:
        return None
    atoms, head, mods = view.atoms, singular(phrase.heads[-1]), words_before(phrase)
    kin = [n for n, t in enumerate(things) if t.head == head and t.phrase.holders == phrase.holders]
    alike = [n for n in kin if things[n].mention.part_of is None]
    if sum(things[n].mention.count or 0 for n in alike) == phrase.count and len(alike) > 1:
        return None  # "five on the roof, three below, so eight fans": all of them, and no miscount
    found = [n for n in alike if (things[n].mention.count or phrase.count) != phrase.count]
    exact = [n for n in found if things[n].mods == mods]
    near = [n for n in found if things[n].mods < mods or things[n].mods > mods]
    n = exact[-1] if exact else near[0] if len(near) == 1 == len(alike) else None
    if n is None:
        return None
    before, away = things[n].mention.count or 0, atoms[phrase.name].sentence - things[n].sentence
    more = phrase.count > before
    if outright or ((exact or more) and _told(view, phrase, before)):
        return n
    return n if more and in_all(atoms, phrase) and (exact or away <= NEAR) else None


def retold_behind(view: Scene, phrase: Phrase) -> int | None:
    """The number put in place of one told before, behind the name: "gauges on the rig, two I told you, call it three",
    "them hammers I gave you, it's sixty four"."""
    atoms = view.atoms
    _, last = sentence_bounds(atoms, phrase.name)
    if not phrase.plural or phrase.count is not None:
        return None
    told, k = False, phrase.last
    while k < last:
        stop = clause_end(atoms, k)
        words = [a.lower for a in atoms[k:stop]]
        cut = view.tokens[atoms[k].token].word - view.tokens[atoms[k - 1].token].word > 1  # "burners, [...] four"
        if told or cut:
            n = next((k + len(w) for w in PUT_AS if tuple(words[: len(w)]) == w), k)
            if (n > k or cut) and n in view.numbers and n not in view.measured and view.numbers[n][2] is None:
                value = view.numbers[n][1]
                ends = view.numbers[n][0] >= stop
                return int(value) if ends and value == int(value) and value > 1 else None
        told = told or any(w in TOLD_BEFORE and words[m - 1 : m] in (["i"], ["we"]) for m, w in enumerate(words))
        k = stop
    return None


def _told(view: Scene, phrase: Phrase, before: int) -> bool:
    """Whether the words before the phrase go back to the number: "I said three", "there's another behind"."""
    atoms, k = view.atoms, phrase.first
    goes_back = further = False
    while k > 0 and atoms[phrase.name].sentence - atoms[k - 1].sentence <= BACK:
        k -= 1
        goes_back |= _goes_back(view, k, before) or _cut_before(view, k, phrase)
        further |= atoms[k].lower in FURTHER
    return goes_back or (further and in_all(atoms, phrase))


def _cut_before(view: Scene, k: int, phrase: Phrase) -> bool:
    """Whether a take-back was cut out behind atom k, before the phrase or its number: "[I told two,] it is three"."""
    atoms = view.atoms
    if view.tokens[atoms[k + 1].token].word - view.tokens[atoms[k].token].word < 2:
        return False
    meant = any(n in view.numbers and view.numbers[n][1] == phrase.count for n in range(k + 1, k + 4))
    return k + 1 == phrase.first or meant


def _goes_back(view: Scene, k: int, before: int) -> bool:
    """Whether atom k begins words that go back to a number: "I said three", "Said six"; "no, wait", "correction"."""
    atoms = view.atoms
    if atoms[k].lower in LOOKING and {"again", "twice"} & {a.lower for a in atoms[k + 1 : k + 4]}:
        return True  # "I've counted again"
    if atoms[k].lower in BREAKING:
        return bool(atoms[k].after) or (k > 0 and atoms[k - 1].lower in ("no", "oh"))
    if atoms[k].lower not in TELLING:
        return False
    own = k == 0 or atoms[k - 1].lower in ("i", "i've", "'ve", "we", "have", "well") or bool(atoms[k - 1].after)
    return own and any(n in view.numbers and view.numbers[n][1] == before for n in range(k + 1, min(k + 5, len(atoms))))
