"""Things that a buyer would list, with counts and what happens to them.

Names are found in their phrases (nouns.py); here it is settled which of them are listed, which are later mentions of
one thing, and what is said of each: how many, whether it goes, what it is made of, who made it.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import lru_cache

from extractors.counts_behind import count_behind
from extractors.dispositions import decide
from extractors.mentions import Measure, SequenceMention, ThingMention, Tokens
from extractors.noun_phrase import DEFINITE, INDEFINITE, PREPOSITIONS, Phrase
from extractors.ownership import owners
from extractors.parts import counted_kinds, elided, partitives, placed_parts
from extractors.phrases import Finder, clause_start, sentence_bounds, singular, span_of
from extractors.scene import Scene, scene
from extractors.unnamed_things import unnamed_things
from vocab import Vocabulary

BARE_VESSELS = frozenset({"tank", "vessel", "bin", "basin", "drum", "pit", "vat", "kettle", "tote"})
"""Words that, bare and definite, point at a station or a thing named before, and name no new thing."""
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
ABOUT = frozenset({"is", "are", "'s", "has", "have", "works", "work", "was", "were"})
"""Verbs behind a part that make a sentence one about it."""
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


def find_things(
    tokens: Tokens, measures: tuple[Measure, ...], sequences: tuple[SequenceMention, ...], vocabulary: Vocabulary
) -> tuple[ThingMention, ...]:
    """Every mention of a component, in order; a later mention of the same one points back with same_as."""
    return Gatherer(scene(tokens, measures, vocabulary), sequences, vocabulary).gather() if tokens else ()


class Gatherer:
    """Gathers the things of one transcript."""

    def __init__(self, view: Scene, sequences: tuple[SequenceMention, ...], vocabulary: Vocabulary) -> None:
        self.view, self.atoms = view, view.atoms
        self.sequences = sequences
        self.materials, self.roles = _materials(vocabulary), _roles(vocabulary)
        self.machines = _machines(vocabulary)
        view = replace(view, phrases=counted_kinds(view))
        parts = partitives(view)
        taken = {k for p in parts for k in range(p.first, p.last)}
        parts += [p for p in (*placed_parts(view), *elided(view)) if p.first not in taken]
        covered = {k for p in parts for k in range(p.first, p.last)}
        kept = [p for p in view.phrases if p.head not in covered]
        parts += unnamed_things(view.atoms, view.numbers, view.measured, kept, vocabulary)
        self.phrases = sorted([*kept, *parts], key=lambda p: (p.first, p.last))
        decisions, self.everything = decide(view.atoms, self.phrases, vocabulary)
        self.decided = {d.phrase: d for d in decisions}
        self.plates = owners(view, self.phrases)
        self.things: list[Thing] = []
        self.mentions: list[ThingMention] = []

    def gather(self) -> tuple[ThingMention, ...]:
        for n, phrase in enumerate(self.phrases):
            self.take(n, phrase)
        if self.everything:
            self.mentions = [
                m
                if m.disposition or m.same_as is not None
                else replace(m, disposition=self.everything, reason="said of everything")
                for m in self.mentions
            ]
        return tuple(self.mentions)

    def take(self, n: int, phrase: Phrase) -> None:
        """Lists a phrase, joins it to an earlier one, or leaves it out."""
        if (
            phrase.grade == "whole"
            and phrase.plural
            and (phrase.count or 0) > 1
            and phrase.modifiers
            and not phrase.led
        ):
            phrase = replace(phrase, grade="generic")  # "fourteen anode cells" are no whole
        if phrase.grade in ("never", "whole") or phrase.negated or self.rate(phrase):
            return
        decision = self.decided.get(n)
        if (decision is not None and decision.disposition == "gone") or self.none(phrase):
            return
        if phrase.count is not None and self.each(phrase):
            phrase = replace(phrase, count=None)  # "three fans on each": how many in all is said elsewhere, or not
        if self.several(n, phrase):
            return
        earlier = self.same(phrase)
        if earlier is None and not self.listed(phrase, decided=decision is not None):
            return
        span = span_of(self.atoms, self.view.tokens, phrase.first, phrase.last)
        head = singular(phrase.heads[-1])
        mods = frozenset(singular(m) for m in (*phrase.heads[:-1], *phrase.modifiers))
        count = phrase.count if phrase.count is not None else count_behind(self.view, phrase)
        facts: dict[str, object] = dict(self.plates.get(n, {}))
        mention = ThingMention(
            span,
            phrase.text,
            count,
            phrase.approximate,
            decision.disposition if decision else None,
            decision.reason if decision else None,
            phrase.condition,
            self.material(n, phrase),
            status="hedged" if self.hedged(phrase) else "stated",
            same_as=earlier.index if earlier is not None else None,
            part_of=None if earlier is not None else self.whole(phrase, head, mods, count),
        )
        mention = replace(mention, **facts)  # type: ignore[arg-type]
        if earlier is not None:
            if mods > earlier.mods:
                earlier.mods = mods
            if earlier.mention.count is None and count is not None:
                earlier.mention = replace(earlier.mention, count=count)
                if (phrase.plural and not earlier.phrase.plural and mods == earlier.mods) or self.heading(
                    earlier.phrase
                ):
                    self.mentions[earlier.index] = replace(self.mentions[earlier.index], name=phrase.text)
            earlier.sentence = self.atoms[phrase.name].sentence
        else:
            self.things.append(Thing(mention, phrase, len(self.mentions), mods, head, self.atoms[phrase.name].sentence))
        self.mentions.append(mention)

    def none(self, phrase: Phrase) -> bool:
        """Whether "none" follows the name alone: "Deaerator. None.", "overhead crane, none"."""
        k = phrase.last
        if k >= len(self.atoms) or self.atoms[k].lower not in ("none", "nil") or not self.atoms[k - 1].after:
            return False
        return (
            bool(self.atoms[k].after)
            or k + 1 >= len(self.atoms)
            or self.atoms[k + 1].sentence != self.atoms[k].sentence
        )

    def each(self, phrase: Phrase) -> bool:
        """Whether a count is for each of several others, and another follows: "one for each, so two separators"."""
        behind = [a.lower for a in self.atoms[phrase.last : phrase.last + 2]] if phrase.last < len(self.atoms) else []
        told = any(
            p.first >= phrase.last
            and p.heads[-1] == phrase.heads[-1]
            and p.count
            and self.atoms[p.name].sentence - self.atoms[phrase.name].sentence <= 2
            for p in self.phrases
        )
        return (
            told
            and len(behind) == 2
            and not self.atoms[phrase.last - 1].after
            and behind[0] in ("for", "on", "in", "per", "at", "to")
            and behind[1] in ("each", "every")
        )

    def several(self, n: int, phrase: Phrase) -> bool:
        """Joins "the tanks" to each of "the acid tank and the caustic tank"; whether it did."""
        if (
            not phrase.plural
            or phrase.article not in ("the", "these", "those", "both")
            or phrase.count
            or phrase.modifiers
            or len(phrase.heads) > 1
        ):
            return False
        sentence, head = self.atoms[phrase.name].sentence, singular(phrase.heads[-1])
        near = [t for t in self.things if t.head == head and not t.phrase.plural and sentence - t.sentence <= 2]
        if len(near) < 2 or any(t.head == head and t.phrase.plural for t in self.things):
            return False
        span, decision = span_of(self.atoms, self.view.tokens, phrase.first, phrase.last), self.decided.get(n)
        for thing in near:
            said = ThingMention(span, phrase.text, same_as=thing.index)
            if decision is not None:
                said = replace(said, disposition=decision.disposition, reason=decision.reason)
            self.mentions.append(said)
        return True

    def listed(self, phrase: Phrase, *, decided: bool) -> bool:
        """Whether a buyer would list what this phrase names, where it is named for the first time."""
        head = singular(phrase.heads[-1])
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
        counted = phrase.count is not None or count_behind(self.view, phrase) is not None
        if self.is_role(phrase):
            return False
        if phrase.grade == "site":
            return counted or decided or not phrase.led
        if phrase.grade == "generic":
            if self.predicate(phrase) and not self.things:
                return False  # "it's the green sand system" is the whole
            return bool(phrase.modifiers) and (not phrase.led or decided or counted) and not self.station(phrase)
        if phrase.grade == "part":
            return (
                (counted and (phrase.count != 1 or bool(phrase.holders)))
                or decided
                or "spare" in phrase.modifiers
                or self.spoken_of(phrase)
            )
        if phrase.grade == "open":
            many = phrase.plural and (phrase.count or 0) > 1  # "two spray lances": a role has no number
            role = not many and bool(self.roles.at(self.atoms, phrase.last - 1))
            return decided or not (self.station(phrase) or role)
        return True

    def spoken_of(self, phrase: Phrase) -> bool:
        """Whether a sentence is about the part: "the main breaker is 250 amps"; not "the tank lining is rubber"."""
        first, _ = sentence_bounds(self.atoms, phrase.first)
        behind = self.atoms[phrase.last].lower if phrase.last < len(self.atoms) else ""
        opens = phrase.first == first or self.atoms[phrase.first - 1].lower in ("and", "so", "okay", "now")
        named = phrase.article in ("the", "") and (bool(phrase.modifiers) or len(phrase.heads) > 1)
        of_another = any(singular(m) in self.machines for m in (*phrase.modifiers, *phrase.heads[:-1]))
        return opens and named and not of_another and not phrase.led and behind in ABOUT

    def is_role(self, phrase: Phrase) -> bool:
        """Whether the phrase is the role of a station, as the table knows them ("stage four's the conditioner")."""
        first, last = span_of(self.atoms, self.view.tokens, phrase.name, phrase.last)
        inside = any(a <= first and last <= b for s in self.sequences for a, b in (q.span for q in s.stations))
        found = self.roles.at(self.atoms, phrase.name) if inside else None
        return found is not None and found[0] == phrase.last and phrase.count is None

    def rate(self, phrase: Phrase) -> bool:
        """Whether the count goes by the hour: "240 hooks an hour"."""
        behind = [a.lower for a in self.atoms[phrase.last : phrase.last + 2]]
        return (
            phrase.count is not None
            and len(behind) == 2
            and behind[0] in ("a", "an", "per", "each", "every")
            and behind[1] in ("hour", "minute", "second", "day", "shift", "week", "cycle", "load", "lift")
        )

    def station(self, phrase: Phrase) -> bool:
        """Whether the phrase names a place of a sequence, or a count of them."""
        return singular(phrase.heads[-1]) in {s.station_word for s in self.sequences}

    def same(self, phrase: Phrase) -> Thing | None:
        """The thing that a phrase points back at."""
        head = singular(phrase.heads[-1])
        mods = frozenset(singular(m) for m in (*phrase.heads[:-1], *phrase.modifiers))
        sentence = self.atoms[phrase.name].sentence
        new = phrase.article in INDEFINITE and phrase.article not in ("one", "some")
        definite = phrase.article in DEFINITE
        predicate = new and self.predicate(phrase)
        if phrase.known in CONTROLS and phrase.article != "another" and phrase.count is None and not phrase.plural:
            family = next(
                (t for t in reversed(self.things) if t.phrase.known in CONTROLS and sentence - t.sentence <= 1), None
            )
            if family is not None:
                return family
        best: Thing | None = self.named_by(phrase)
        if best is not None:
            return best
        for thing in reversed(self.things):
            away = sentence - thing.sentence
            if phrase.holders != thing.phrase.holders:
                continue
            if thing.head != head:
                # "the shuttle" after "the shuttle conveyor", "the burner" right after "the burner tube"
                short = definite and not mods and head in thing.mods and not phrase.plural and phrase.count is None
                if short and best is None and (thing.head in BROAD or away <= 1):
                    best = thing
                continue
            if phrase.count is not None and thing.mention.count is not None and phrase.count != thing.mention.count:
                continue
            exact = mods == thing.mods
            if thing.mention.count is None and self.heading(thing.phrase) and away <= 2 and not phrase.led:
                return thing
            counted = phrase.count is not None and not definite
            if predicate and away <= 2 and thing.mention.count is None:
                return thing
            if new:
                if exact and mods and phrase.article != "another" and thing.mention.count is None:
                    best = best or thing
                continue
            if counted:
                # named first without a count ("with manual hoists"), counted later ("there are two hoists")
                if (
                    (
                        thing.mention.count is None
                        and (exact or (mods < thing.mods and thing.phrase.plural and self.only(thing)))
                    )
                    or (
                        thing.mention.count is None
                        and phrase.count == 1
                        and not thing.phrase.plural
                        and mods > thing.mods
                        and not thing.mods
                        and self.only(thing)
                    )
                    or (exact and thing.mention.count == phrase.count and away <= WIDE_APART)
                ):
                    best = best or thing
                continue
            if self.apposed(thing.phrase, phrase):
                return thing
            if exact and phrase.plural and not thing.phrase.plural and thing.mention.count in (None, 1):
                best = best or thing  # "four hoists ... one hoist ... hoists go": the hoists, where there are some
                continue
            if exact:
                return thing
            if (
                mods < thing.mods
                and best is None
                and not (phrase.plural and not thing.phrase.plural and not phrase.article)
            ) or (
                mods > thing.mods
                and away <= 2
                and phrase.plural == thing.phrase.plural
                and best is None
                and not thing.mods
            ):
                best = thing
        return best

    def apposed(self, one: Phrase, two: Phrase) -> bool:
        """Whether the second names the first more closely, right behind it: "cleaning skid, the CIP skid"."""
        return (
            two.first == one.last
            and self.atoms[one.last - 1].after == ","
            and two.article in ("the", "this", "that")
            and self.atoms[two.last - 1].after in (",", ".")
            and one.plural == two.plural
        )

    def heading(self, phrase: Phrase) -> bool:
        """Whether a bare plural is all of its sentence: "Cranes. One jib crane, half ton."."""
        first, last = sentence_bounds(self.atoms, phrase.name)
        return phrase.plural and not phrase.article and (first, last) == (phrase.first, phrase.last)

    def only(self, thing: Thing) -> bool:
        """Whether no other thing has the same noun."""
        return sum(t.head == thing.head for t in self.things) == 1

    def predicate(self, phrase: Phrase) -> bool:
        """Whether the phrase says what a thing just named is: "we have the filler, it is a counter pressure filler"."""
        before = [a.lower for a in self.atoms[max(0, phrase.first - 2) : phrase.first]]
        if (
            len(before) == 2
            and before[0] in ("it", "this", "that", "they", "these", "she")
            and before[1] in ("is", "'s", "are", "'re")
        ):
            # "behind that is a splitting machine" names another one
            at = phrase.first - 3
            return at < 0 or bool(self.atoms[at].after) or self.atoms[at].lower not in PREPOSITIONS
        # "the mixer's round the corner, a horizontal mixer, two hundred kilo"
        behind = self.atoms[phrase.last - 1].after
        return phrase.first > 0 and self.atoms[phrase.first - 1].after == "," and behind in (",", ".")

    def named_by(self, phrase: Phrase) -> Thing | None:
        """The thing whose kind a phrase with "a" tells: "head rig's a circle saw", "the drive, that's a gear motor"."""
        if phrase.article not in ("a", "an", "one") or not self.things or phrase.first < 2:
            return None
        last = self.things[-1]
        at = phrase.first
        copula = self.atoms[at - 1].lower in ("is", "'s", "are") and not self.atoms[at - 1].after
        if not copula or self.atoms[last.phrase.name].sentence != self.atoms[at].sentence or last.phrase.led:
            return None
        if last.phrase.last == at - 1 and not self.atoms[at - 2].after:
            return last
        pronoun = (
            self.atoms[at - 2].lower in ("it", "this", "that")
            and bool(self.atoms[at - 3].after)
            and self.atoms[at - 3].after == ","
        )
        clause = clause_start(self.atoms, at - 3) if pronoun else 0
        return last if pronoun and last.phrase.first >= clause and last.phrase.count in (None, 1) else None

    def whole(self, phrase: Phrase, head: str, mods: frozenset[str], count: int | None) -> int | None:
        """Index of the total that this is a part of: same head, fewer words, more of them, said shortly before."""
        if count is None:
            return None
        for thing in reversed(self.things):
            total = thing.mention.count
            if (
                thing.head == head
                and total is not None
                and total > count
                and thing.mods < mods
                and self.atoms[phrase.name].sentence - thing.sentence <= 3
            ):
                return thing.index
        return None

    def hedged(self, phrase: Phrase) -> bool:
        first, _ = sentence_bounds(self.atoms, phrase.name)
        start = max(first, clause_start(self.atoms, phrase.name), phrase.first - 5)
        words = [a.lower for a in self.atoms[start : phrase.first]]
        return any(
            w in ("think", "guess", "believe", "probably", "maybe", "perhaps", "reckon", "supposedly") for w in words
        )

    def material(self, n: int, phrase: Phrase) -> str | None:
        """What the thing is made of: within its phrase, or behind it in its sentence before another thing is named."""
        for k in range(phrase.name, phrase.last):
            found = self.materials.at(self.atoms, k)
            if found is not None and found[0] < phrase.last:
                return found[1]
        _, last = sentence_bounds(self.atoms, phrase.name)
        following = next(
            (p.first for p in self.phrases[n + 1 :] if p.grade in ("machine", "open") and p.first >= phrase.last),
            len(self.atoms),
        )
        k = phrase.last
        while k < min(last, following, phrase.last + 25):
            found = self.materials.at(self.atoms, k)
            if found is None:
                k += 1
                continue
            end, material = found
            before = self.atoms[k - 1]
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
            behind = self.atoms[end].lower if end < len(self.atoms) and not self.atoms[end - 1].after else ""
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


@lru_cache(maxsize=16)
def _materials(vocabulary: Vocabulary) -> Finder[str]:
    return Finder([(form, row["is"]) for row in vocabulary["made_of"] for form in row["spoken"]], nouns=False)


@lru_cache(maxsize=16)
def _roles(vocabulary: Vocabulary) -> Finder[str]:
    return Finder([(n, n) for row in vocabulary["stations"] if row["use"] == "role" for n in row["names"]])


@lru_cache(maxsize=4)
def _machines(vocabulary: Vocabulary) -> frozenset[str]:
    """Machines of one word."""
    rows = (row for row in vocabulary["components"] if row["grade"] == "machine")
    return frozenset(name for row in rows for name in row["names"] if " " not in name)
