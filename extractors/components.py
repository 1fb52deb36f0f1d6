"""Things that a buyer would list, with counts and what happens to them.

Names are found in their phrases (nouns.py); here it is settled which of them are listed, which are later mentions of
one thing, and what is said of each: how many, whether it goes, what it is made of, who made it.
"""

from __future__ import annotations

from dataclasses import replace

from extractors.counted_again import for_each, in_use, of_each, one_of_several, put_right, retold_behind
from extractors.counts_behind import count_behind
from extractors.counts_for_each import for_every
from extractors.counts_told_apart import numbered_before
from extractors.disposition_cues import cues
from extractors.disposition_lists import headed
from extractors.dispositions import decide, settled
from extractors.fates_taken_back import fates_taken_back
from extractors.list_headings import under_headings
from extractors.listed_things import goods_as_things, listed, none, rate, talk_of
from extractors.machine_lines import machine_stations, role_phrases
from extractors.mentions import Measure, RepairMention, SequenceMention, ThingMention, Tokens
from extractors.named_in_passing import in_passing
from extractors.noun_phrase import Phrase
from extractors.ownership import owners
from extractors.parts import bare_heads, counted_kinds, elided, partitives
from extractors.phrases import singular, span_of
from extractors.said_of_things import hedged, material
from extractors.same_thing import Thing, heading, same, whole, words_before
from extractors.scene import Scene, scene
from extractors.single_things import single_things
from extractors.thing_marks import recording
from extractors.thing_talk import thing_marks
from extractors.told_groups import bare, groups
from extractors.told_parts import placed_parts
from extractors.unnamed_things import unnamed_things
from extractors.weighed_things import LEAST_WORDS, outweighed
from extractors.word_classes import classes_of
from vocab import Vocabulary

SIBLINGS = {"conveyor": ("belt",), "furnace": ("oven",), "oven": ("furnace",), "crane": ("hoist",), "tank": ("vessel",)}
"""Nouns by which one of two that are "both" the first may have been called."""


def find_things(
    tokens: Tokens, measures: tuple[Measure, ...], sequences: tuple[SequenceMention, ...], vocabulary: Vocabulary
) -> tuple[ThingMention, ...]:
    """Every mention of a component, in order; a later mention of the same one points back with same_as."""
    return find_things_and_fates(tokens, measures, sequences, vocabulary)[0]


def find_things_and_fates(
    tokens: Tokens, measures: tuple[Measure, ...], sequences: tuple[SequenceMention, ...], vocabulary: Vocabulary
) -> tuple[tuple[ThingMention, ...], tuple[RepairMention, ...]]:
    """The mentions of components, and their fates that were taken back."""
    if not tokens:
        return (), ()
    gatherer = Gatherer(scene(tokens, measures, vocabulary), sequences, vocabulary)
    return gatherer.gather(), gatherer.fates()


class Gatherer:
    """Gathers the things of one transcript."""

    def __init__(self, view: Scene, sequences: tuple[SequenceMention, ...], vocabulary: Vocabulary) -> None:
        self.view, self.atoms, self.sequences = view, view.atoms, sequences
        self.vocabulary = vocabulary
        view = replace(view, phrases=tuple(goods_as_things(view)))
        phrases, lists = under_headings(replace(view, phrases=counted_kinds(view)))
        view = replace(view, phrases=phrases)
        parts = partitives(view)
        taken = {k for p in parts for k in range(p.first, p.last)}
        going = headed(view.atoms, cues(vocabulary), classes_of(vocabulary))
        in_list = frozenset(k for listing in going for k in range(listing.first, listing.last))
        again = bare_heads(view, in_list)
        parts += [p for p in (*placed_parts(view), *elided(view), *again) if p.first not in taken]
        covered = {k for p in parts for k in range(p.first, p.last)}
        kept = [p for p in view.phrases if p.head not in covered]
        unnamed = unnamed_things(view.atoms, view.numbers, view.measured, kept, in_list, vocabulary)
        parts += [p for p in unnamed if p.head not in {a.head for a in again}]
        stations, roles = machine_stations(view, [*kept, *parts], sequences, vocabulary)
        self.phrases = sorted([*kept, *parts, *stations, *bare(view, sequences)], key=lambda p: (p.first, p.last))
        told = groups(view.atoms, self.phrases, sequences, role_phrases(view, self.phrases, sequences, roles))
        self.said, self.everything = decide(view.atoms, self.phrases, going, vocabulary, told)
        self.decided = {d.phrase: d for d in settled(view.atoms, self.said)}
        self.mentioned: dict[int, list[int]] = {}
        self.talk = talk_of(view, self.phrases, sequences, roles, lists, vocabulary)
        self.plates = owners(view, self.phrases)
        self.recording = recording(self.talk, self.phrases, frozenset(self.decided), vocabulary)
        self.ruled: list[tuple[int, str]] = []
        """What the rules made of each phrase that is no later mention: listed, passing, left or never."""
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
        for index in single_things(self.atoms, self.phrases, self.mentioned):
            self.mentions[index] = replace(self.mentions[index], single=True)
        return tuple(self.mentions)

    def fates(self) -> tuple[RepairMention, ...]:
        """The fates of the things gathered that were taken back."""
        return fates_taken_back(self.atoms, self.view.tokens, self.said, self.mentioned)

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
        if phrase.grade in ("never", "whole") or phrase.negated or rate(self.talk, phrase):
            if phrase.grade == "never" and not phrase.negated:
                self.ruled.append((n, "never"))
            return
        decision = self.decided.get(n)
        if (decision is not None and decision.disposition == "gone") or none(self.talk, phrase):
            return
        every = None
        if not for_each(self.atoms, self.phrases, phrase):
            every = for_every(self.view, self.sequences, self.things, phrase)
        if every is not None:
            phrase = replace(phrase, count=every)
        elif phrase.count is not None and (
            for_each(self.atoms, self.phrases, phrase)  # "three fans on each": how many in all is said elsewhere
            or in_use(self.atoms, phrase)
            or (phrase.count == 1 and one_of_several(self.atoms, phrase, self.things))
        ):
            phrase = replace(phrase, count=None)
        if self.several(n, phrase):
            return
        if (retold := retold_behind(self.view, phrase)) is not None:
            phrase = replace(phrase, count=retold)  # "them hammers I gave you, it's sixty four"
        again = put_right(self.view, self.things, phrase, outright=retold is not None)
        earlier = same(self.atoms, self.things, phrase) if again is None else self.things[again]
        count = phrase.count if phrase.count is not None else count_behind(self.view, phrase)
        count = count if count is not None else numbered_before(self.view, phrase)
        if earlier is not None and count and again is None and earlier.mention.count not in (None, count):
            # "four racks on a bar ... Racks on the wall, a hundred and eighty of them"
            earlier = None if of_each(self.atoms, earlier.phrase) else earlier
        if earlier is None and not self.rules_list(n, phrase, decided=decision is not None):
            return
        span = span_of(self.atoms, self.view.tokens, phrase.first, phrase.last)
        head, mods = singular(phrase.heads[-1]), words_before(phrase)
        facts: dict[str, object] = dict(self.plates.get(n, {}))
        mention = ThingMention(
            span,
            phrase.text,
            count,
            phrase.approximate,
            decision.disposition if decision else None,
            decision.reason if decision else None,
            phrase.condition,
            material(self.atoms, self.phrases, n, self.vocabulary),
            status="corrected" if again is not None else "hedged" if hedged(self.atoms, phrase) else "stated",
            same_as=earlier.index if earlier is not None else None,
            part_of=None if earlier is not None else whole(self.atoms, self.things, phrase, head, mods, count),
            passing=earlier is None and not facts and self.outweighed(n),
        )
        mention = replace(mention, **facts)  # type: ignore[arg-type]
        if again is not None and mods < self.things[again].mods:
            mention = replace(mention, name=self.things[again].mention.name)  # "four of these" are spray pumps
        if earlier is not None:
            earlier.short = earlier.short or (not mods and bool(earlier.mods) and head == earlier.head)
            if mods > earlier.mods:
                earlier.mods = mods
            if again is not None:
                self.parts_gone(earlier)
                earlier.mention = replace(earlier.mention, count=count)
            elif earlier.mention.count is None and count is not None:
                earlier.mention = replace(earlier.mention, count=count)
                if (phrase.plural and not earlier.phrase.plural and mods == earlier.mods) or heading(
                    self.atoms, earlier.phrase
                ):
                    self.mentions[earlier.index] = replace(self.mentions[earlier.index], name=phrase.text)
            earlier.sentence = self.atoms[phrase.name].sentence
        else:
            self.things.append(Thing(mention, phrase, len(self.mentions), mods, head, self.atoms[phrase.name].sentence))
        self.mentioned[n] = [len(self.mentions) if earlier is None else earlier.index]
        self.mentions.append(mention)

    def rules_list(self, n: int, phrase: Phrase, *, decided: bool) -> bool:
        """Whether the rules would list what is named here for the first time."""
        passing = in_passing(self.view, phrase)
        ruled = (
            "passing" if passing else "listed" if listed(self.talk, phrase, self.things, decided=decided) else "left"
        )
        self.ruled.append((n, ruled))
        return ruled == "listed"

    def outweighed(self, n: int) -> bool:
        """Whether what the rules list is only named in passing, by all marks together."""
        long = len(self.atoms) >= LEAST_WORDS
        return long and outweighed(thing_marks(self.recording, n, ruled="listed"), self.vocabulary)

    def parts_gone(self, total: Thing) -> None:
        """Withdraws the parts of a total that is put right: "eight, four up and four down ... no, twelve"."""
        parts = [n for n, m in enumerate(self.mentions) if m.part_of == total.index and m.same_as is None]
        if sum(self.mentions[n].count or 0 for n in parts) == total.mention.count:
            for n in parts:
                self.mentions[n] = replace(self.mentions[n], status="withdrawn")
            self.things = [t for t in self.things if t.index not in parts]

    def several(self, n: int, phrase: Phrase) -> bool:
        """Joins "the tanks" to each of "the acid tank and the caustic tank", "both pumps" to two; whether it did."""
        bare = not phrase.article and phrase.count is None and n in self.decided  # "palletiser, dispensers, in"
        if not phrase.plural or not (bare or phrase.article in ("the", "these", "those", "both")):
            return False
        sentence, head, words = self.atoms[phrase.name].sentence, singular(phrase.heads[-1]), words_before(phrase)
        kin = [t for t in self.things if t.head == head and words <= t.mods]
        many = 2 if phrase.article == "both" else phrase.count
        if any(t.phrase.plural for t in kin) or (many is None and words):
            return False
        near = kin if many is not None else [t for t in kin if sentence - t.sentence <= 2]
        if many is None and n in self.decided and not any(t.head == head for t in near):
            near = [t for t in kin if t.mods and t.mention.count in (None, 1)]  # "dispensers, in", long after each
        if many is not None and len(near) > many:
            near = [t for t in near if not t.phrase.led]  # "same as the hardening furnace" compares
        if phrase.article == "both" and len(near) == 1 and near[0].mention.count in (None, 1):
            near += self.partner(near[0])
        # "both conveyors" may be the infeed conveyor and one that was never called by its noun ("the outfeed")
        fewer = phrase.article == "both" and len(near) == 1 and near[0].mention.count in (None, 1)
        if (len(near) < 2 and not fewer) or (many is not None and len(near) != many and not fewer):
            return False
        span, decision = span_of(self.atoms, self.view.tokens, phrase.first, phrase.last), self.decided.get(n)
        said = ThingMention(span, phrase.text)
        if decision is not None:
            said = replace(said, disposition=decision.disposition, reason=decision.reason)
        self.mentioned[n] = [thing.index for thing in near]
        for thing in near:
            self.mentions.append(replace(said, same_as=thing.index))
        # a row of its own: two of them were counted, or one of both was never named
        if many is not None and (phrase.article != "both" or len(near) != many):
            said = replace(said, count=many)
            self.things.append(Thing(said, phrase, len(self.mentions), words, head, sentence))
            self.mentions.append(said)
        return True

    def partner(self, thing: Thing) -> list[Thing]:
        """The other one of "both", where one alone has its words: the cope machine beside the drag moulding machine."""
        heads = {thing.head, *SIBLINGS.get(thing.head, ())}
        others = [t for t in self.things if t is not thing and t.head in heads and not t.phrase.plural]
        others = [t for t in others if t.mods and t.mention.count in (None, 1)]
        return others if len(others) == 1 else []
