"""What a cue of disposition is said of: the subject of its clause, its object, or what a pronoun points back at."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

from extractors.disposition_words import ARTICLES, BEING, CUTS, MINDS, OBJECTS, OPENERS, PLURAL, SINGULAR, TAKES
from extractors.noun_phrase import PREPOSITIONS, Phrase
from extractors.phrases import Atom, clause_end, clause_start, sentence_bounds, singular

OTHER = frozenset("old older other new newer small smaller big bigger spare first second third last".split())
GROUPS = frozenset(
    (
        "spare part auxiliary accessory extra item tool machine unit piece thing ancillary peripheral attachment "
        "consumable"
    ).split()
)
"""Nouns for all of several things that were just named one by one: "whether the spares go"."""
ONE_BACK = 2
"""Sentences back in which "it" finds its one thing over the heads of several."""
PLACED = 5
"""Words between two things of a row, at most: "cores in the cupboard and a seal kit"."""
WIDE = frozenset(
    "room floor building hall plant factory site line list photo picture place video house premises tape shop".split()
)
"""Places that hold all there is."""
FAR = 3
"""Sentences back in which a pronoun may have its thing."""


class Targets:
    """Finds what cues are said of in one transcript; things are indices of the phrases that may be sold or kept."""

    def __init__(self, atoms: Sequence[Atom], phrases: Sequence[Phrase], things: list[int]) -> None:
        self.atoms, self.phrases, self.things = atoms, phrases, things
        self.lengths = Counter(a.sentence for a in atoms)

    def object(self, end: int) -> int | None:
        """The thing right behind a cue of taking: "we're keeping the jaws"."""
        if end >= len(self.atoms) or self.atoms[end - 1].after:
            return None
        stop = clause_end(self.atoms, end)
        return next(
            (n for n in self.things if self.phrases[n].first <= end + 1 and end <= self.phrases[n].name < stop), None
        )

    def place(self, i: int) -> str | None:
        """Where everything is that goes: "everything on the skid", "all that's in the cage"; None for the whole."""
        start = clause_start(self.atoms, i)
        led = [p for p in self.phrases if start <= p.first < i and p.led and p.grade not in ("site", "never", "whole")]
        if led:
            return led[-1].heads[-1]
        words = [a.lower for a in self.atoms[start:i]]
        at = next((k for k, w in enumerate(words) if w in ("in", "on", "inside", "under", "up", "at", "off")), None)
        if at is None or words[at + 1 : at + 2] not in (["the"], ["that"], ["this"], ["those"]):
            return None
        name = [w for w in words[at + 2 : at + 5] if w not in BEING]
        if not name or singular(name[-1]) in WIDE or words[at + 2 : at + 3] == ["whole"]:
            return None
        place = singular(name[-1])
        here = self.atoms[i].sentence
        return place if any(singular(a.lower) == place and a.sentence != here for a in self.atoms) else None

    def there(self, place: str, i: int) -> list[int]:
        """The things named in the sentences that speak of a place: "on the skid you've got a tank and a pump"."""
        here = self.atoms[i].sentence
        said = {a.sentence for a in self.atoms if singular(a.lower) == place}
        last = max((s for s in said if s < here), default=here)
        while last + 1 < here and self.opening(last + 1) in ("also", "and", "plus"):
            last += 1  # "On the rack there's a pump. And a motor."
            said.add(last)
        return [
            n
            for n in self.things
            if self.atoms[self.phrases[n].name].sentence in said and self.phrases[n].heads[-1] != place
        ]

    def opening(self, sentence: int) -> str:
        """The first word of a sentence."""
        return next((a.lower for a in self.atoms if a.sentence == sentence), "")

    def told_last(self, i: int) -> list[int]:
        """Everything named in the clauses before a cue or, where it opens its sentence, in the sentence before."""
        here = self.atoms[i].sentence
        for sentence in (here, here - 1, here - 2):
            group = [n for n in self.things if self.atoms[self.phrases[n].name].sentence == sentence]
            group = [n for n in group if self.phrases[n].last <= i]
            if group:
                return [n for n in group if not self.phrases[n].led or self._with(n)]
        return []

    def _with(self, n: int) -> bool:
        """Whether a phrase is led by "with": what something has."""
        at = self.phrases[n].first
        return at > 0 and self.atoms[at - 1].lower == "with"

    def stands_before(self, i: int) -> bool:
        """Whether what is gone is the thing itself, named right before, and not one of several."""
        start = clause_start(self.atoms, i)
        if {"one", "some", "two", "three", "of"} & {a.lower for a in self.atoms[start:i]}:
            return False
        return any(start <= self.phrases[n].first < i for n in self.things)

    def subject(
        self,
        i: int,
        end: int,
        *,
        weak: bool = False,
        taking: bool = False,
        whole: bool = False,
    ) -> list[int]:
        """The phrases that a cue at atoms i to end is said of."""
        start = clause_start(self.atoms, i)
        for k in range(i - 1, start - 1, -1):
            anew = (
                self.atoms[k].lower == "and" and self.atoms[k + 1].lower in SINGULAR | PLURAL
            )  # "... off a house compressor and that's not included"
            if (self.atoms[k].lower in CUTS or anew) and k > start:
                start = k + 1
                break
        minded = bool(MINDS & {a.lower for a in self.atoms[i:end]})
        who = i - 1 - (i > start + 1 and self.atoms[i - 1].lower in BEING)
        if (weak or minded) and i > start and self.atoms[who].lower in ("they", "he", "she", "we", "you", "i"):
            start = i  # "they have to ask": who asks is not what is asked about
        agent = (
            self.atoms[i].lower in ("they", "we", "he", "she", "i", "you")
            and i + 1 < end
            and self.atoms[i + 1].lower not in ("go", "stay", "come", "'re", "are", "both")
        )
        here = {a.lower for a in self.atoms[i : min(end + 1, len(self.atoms))]}
        taken = taking or (
            TAKES & {a.lower for a in self.atoms[i:end]} and OBJECTS & {a.lower for a in self.atoms[i:end]}
        )
        for k in range(start + 1, i):
            if self.atoms[k].lower in ("one", "ones") and self.atoms[k - 1].lower in OTHER:
                return []  # "the old one we keep": not the one that was spoken of
        if taken:  # "they'll throw that in": what is thrown in, not who throws
            many = bool({"those", "these", "them", "both"} & here)
            held = [n for n in self.things if start <= self.phrases[n].first < i]
            return self.direct(held) if held else self.antecedent(start, plural=many, singular=not many, every=False)
        cleft = self.atoms[i - 1].lower in ("that", "which") and i - 1 > start
        close = next((n for n in self.things if self.phrases[n].last == i - cleft and not self.phrases[n].led), None)
        if close is not None and not self.atoms[i - 1 - cleft].after and not (agent and not cleft):
            # "it's the vise that stays", "tied to the scrubber and the scrubber belongs to the owner"
            joined = self.phrases[close].first > start and self.atoms[self.phrases[close].first - 1].lower
            if cleft or (
                joined == "and"
                and any(self.atoms[k].lower in SINGULAR for k in range(start, self.phrases[close].first))
            ):
                return [close]
        if whole and (named := self.topic(i)):
            return named
        words = [a.lower for k, a in enumerate(self.atoms[start:end], start) if not (agent and k == i)]
        inside = [n for n in self.things if start <= self.phrases[n].first < i or start <= self.phrases[n].name < i]
        pronoun = next((w for w in words if w in SINGULAR or w in PLURAL), None)
        subject_at = next(
            (
                k
                for k in range(start, end)
                if self.atoms[k].lower in SINGULAR | PLURAL
                and not (agent and k == i)
                # "that robot", "neither the pump nor the tank" and "both the tanks" are no pronouns
                and not any(self.phrases[n].first <= k < self.phrases[n].last for n in inside)
                and not (inside and self.atoms[k].lower in ("neither", "both", "all"))
            ),
            end,
        )
        if inside and self.phrases[inside[0]].name < subject_at:
            # "it comes off a house compressor and that's not included" is one clause without a comma
            cut = next(
                (k for k in range(i - 1, self.phrases[inside[0]].last - 1, -1) if self.atoms[k].lower == "and"), None
            )
            if cut is not None and any(
                self.atoms[k].lower in SINGULAR | PLURAL for k in range(cut, min(end, len(self.atoms)))
            ):
                return self.direct(inside)
            if (
                cut is not None
                and (later := [n for n in inside if self.phrases[n].first >= cut])
                and self.verb_between(self.phrases[inside[0]].last, cut)
            ):
                return self.direct(later)
            return self.direct(inside)
        opening = next((w for w in words if w not in OPENERS), "")
        if not pronoun and not minded and not weak and not inside and opening in ARTICLES and i - start > 1:
            return []  # "the kitchen isn't for sale": a subject of its own that is no thing
        head, _ = sentence_bounds(self.atoms, start)
        while head < start and self.atoms[head].lower in OPENERS:
            head += 1
        plural, every = pronoun in PLURAL, bool({"all", "both", "neither"} & set(words))
        behind = self.atoms[subject_at + 1].lower if subject_at + 1 < len(self.atoms) else ""
        # "the guns, they've promised a few, so that's to be decided": that is what was said, and may be of several
        one = pronoun == "it" or (pronoun in ("that", "this") and behind not in BEING)
        found: list[int] = []
        if pronoun is not None and head < start and self.atoms[head].lower == pronoun:
            # "it's shared with the other press so it can't go" is one thing throughout
            found = self.antecedent(head, plural=plural, singular=pronoun in SINGULAR, one=one, every=every)
        return found or self.antecedent(start, plural=plural, singular=pronoun in SINGULAR, one=one, every=every)

    def topic(self, i: int) -> list[int]:
        """The thing that a sentence begins with, where no verb stands between it and a clause without a subject.

        "Discharge conveyor, ten foot long, sixteen inch belt, included."
        """
        first, _ = sentence_bounds(self.atoms, i)
        start = clause_start(self.atoms, i)
        if start == first:
            return []
        head = first
        while head < start and self.atoms[head].lower in OPENERS | {"also", "next", "now", "a", "the"}:
            head += 1
        n = next((n for n in self.things if self.phrases[n].first <= head < self.phrases[n].last), None)
        if n is None or self.phrases[n].led or self.phrases[n].last > start:
            return []
        between = {a.lower for a in self.atoms[self.phrases[n].last : start]}
        if between & (
            BEING | {"has", "have", "got", "it", "that", "they", "there", "and", "we", "i", "was", "goes", "runs"}
        ):
            return []
        own = [m for m in self.things if start <= self.phrases[m].first < i]
        return [] if own else [n]

    def spanned(self, i: int) -> list[int]:
        """Everything from one thing to another: "everything from the tipper through the table is in the sale"."""
        start = clause_start(self.atoms, i)
        words = [a.lower for a in self.atoms[start:i]]
        if ("everything" not in words and "all" not in words) or "from" not in words:
            return []
        ends = [n for n in self.things if start <= self.phrases[n].first < i]
        if len(ends) != 2 or not {"to", "through", "thru", "till", "until"} & set(words):
            return []
        places = []
        for n in ends:
            known = [m for m in self.things if m < ends[0] and self.alike(m, n)]
            places.append(known[0] if known else n)
        low, high = min(places), max(places)
        here = self.atoms[start].sentence
        return [
            m
            for m in self.things
            if low <= m <= high and self.atoms[self.phrases[m].name].sentence < here and not self.phrases[m].led
        ] + ends

    def alike(self, m: int, n: int) -> bool:
        """Whether n may name m again: the same head, or its head alone."""
        return self.phrases[m].heads[-1] == self.phrases[n].heads[-1]

    def members(self, n: int) -> list[int]:
        """What a word for a group stands for; the phrase itself where it stands for nothing named.

        "12 upper tools and 8 lower tools. About the tools ..."; "whether the spares go", right behind a list of them.
        """
        phrase = self.phrases[n]
        head = phrase.heads[-1]
        if (
            not phrase.plural
            or phrase.modifiers
            or len(phrase.heads) > 1
            or phrase.count
            or phrase.article not in ("the", "these", "those", "all")
        ):
            return [n]
        here = self.atoms[phrase.name].sentence
        earlier = [m for m in self.things if m < n and here - self.atoms[self.phrases[m].name].sentence <= 2]
        kin = [
            m
            for m in earlier
            if self.phrases[m].heads[-1] == head and (self.phrases[m].modifiers or len(self.phrases[m].heads) > 1)
        ]
        if len(kin) > 1:
            return kin
        # "as to spares, there is one set of rolls": a heading is none of them
        own = [m for m in earlier if self.phrases[m].heads[-1] == head and not self._mere(self.phrases[m])]
        if singular(head) in GROUPS and not own:
            last = max((self.atoms[self.phrases[m].name].sentence for m in earlier), default=None)
            listed = [
                m for m in earlier if self.atoms[self.phrases[m].name].sentence == last and not self.phrases[m].led
            ]
            if len(listed) > 1 or any(self.phrases[m].plural for m in listed):
                return listed
        return [n]

    @staticmethod
    def _mere(phrase: Phrase) -> bool:
        """Whether a phrase is a bare plural behind a preposition: "for spares", "as to tools"."""
        return phrase.led and phrase.count is None and not phrase.modifiers and not phrase.article

    def direct(self, group: list[int]) -> list[int]:
        """The subjects among the phrases of one clause: those that no preposition leads."""
        free = [n for n in group if not self.phrases[n].led]
        if not free:
            return group[:1]
        return [*self.listed_before(free[0]), *free]

    def listed_before(self, target: int) -> list[int]:
        """First things of a list whose last ones stand before the cue: "the vise, the chuck and the rest all go"."""
        out: list[int] = []
        at = self.phrases[target].first
        for n in reversed(self.things[: self.things.index(target)]):
            between = {a.lower for a in self.atoms[self.phrases[n].last : at]}
            if self.atoms[self.phrases[n].name].sentence != self.atoms[at].sentence or not between <= {
                "and",
                "or",
                "also",
                "plus",
            }:
                break
            out.insert(0, n)
            at = self.phrases[n].first
        first, _ = sentence_bounds(self.atoms, at)
        # "we're keeping the bars, the chuck goes": a list begins its sentence, or it is none
        return out if all(a.lower in OPENERS | {"neither"} for a in self.atoms[first:at]) else []

    def antecedent(
        self,
        before: int,
        *,
        plural: bool,
        singular: bool,
        every: bool,
        one: bool = False,
    ) -> list[int]:
        """What a pronoun, or a clause without subject, points back at: clause by clause, then sentence by sentence."""
        here = self.atoms[min(before, len(self.atoms) - 1)].sentence
        far = here - FAR
        while far > 0 and here - far < 2 * FAR and self._brief(far):
            far -= 1  # "Is it? Page two. Well, then it goes."
        earlier = [
            n
            for n in self.things
            if self.phrases[n].last <= before and self.atoms[self.phrases[n].name].sentence >= far
        ]
        if not earlier:
            return []
        if every or plural:
            sentences = sorted({self.atoms[self.phrases[n].name].sentence for n in earlier}, reverse=True)
            for s in sentences:
                group = [n for n in earlier if self.atoms[self.phrases[n].name].sentence == s]
                free = [n for n in group if not self.phrases[n].led] or group
                many = [n for n in free if self.phrases[n].plural or (self.phrases[n].count or 0) > 1]
                if not many and plural:
                    # "a rack with twenty four cutting dies, those are the customer's"
                    many = [n for n in group if self.phrases[n].plural and (self.phrases[n].count or 0) > 1]
                listed = [n for n in free if self.phrases[n].count or self.phrases[n].plural or self.phrases[n].article]
                if s == here and len(listed) >= (3 if every else 2) and self._row(listed):
                    return listed  # "two sets of dies, one mantle, a dozen idlers, and those are included"
                if every and len(free) >= 2:
                    return free
                if every and s == here and len(group) >= 2:
                    return group  # "a cabinet with its panel, both of them go"
                if (
                    every
                    and len(free) == 1
                    and not many
                    and (
                        before_ := [
                            n
                            for n in earlier
                            if n < free[0] and not self.phrases[n].led and self.phrases[n].grade in ("machine", "open")
                        ]
                    )
                ):
                    return [*self.same_noun(before_[-1], earlier), *free]
                if many or len(free) >= 2:
                    heads = {self.phrases[n].heads[-1] for n in many}
                    kin = [
                        n for n in free if n not in many and self.phrases[n].heads[-1] in heads
                    ]  # "two bins, a clay bin and a coal bin"
                    chosen = sorted([*many, *kin]) or free
                    if every and any(self.phrases[n].count == 2 for n in chosen):
                        return chosen  # "two wheel loaders, both leased"
                    if every and s - 1 in sentences:
                        chosen += [
                            n
                            for n in earlier
                            if self.atoms[self.phrases[n].name].sentence == s - 1
                            and not self.phrases[n].led
                            and self.phrases[n].plural
                        ]
                    return chosen
            return earlier[-1:]
        last = earlier[-1]
        if (
            self.phrases[last].grade == "part"
            and not self.phrases[last].article
            and self.phrases[last].count is None
            and (self.atoms[self.phrases[last].name].sentence != here or before - self.phrases[last].last > 2)
        ):
            machines = [
                n
                for n in earlier
                if self.phrases[n].grade != "part" and here - self.atoms[self.phrases[n].name].sentence <= 2
            ]
            earlier = machines or earlier
        by_clause: dict[int, list[int]] = {}
        for n in earlier:
            by_clause.setdefault(clause_start(self.atoms, self.phrases[n].name), []).append(n)
        for start in sorted(by_clause, reverse=True):
            group = by_clause[start]
            free = [n for n in group if not self.phrases[n].led]
            named = [n for n in free if self.phrases[n].grade in ("machine", "open", "site", "generic")]
            chosen = named or free
            if singular and (single := [n for n in chosen if not self.phrases[n].plural]):
                chosen = single
            elif one and chosen and self._one_before(start, here, earlier):
                continue  # "the conveyor turns, the side guides are bent, but it goes": no "it" means guides
            if chosen:
                return chosen[:1] if len(chosen) == 1 or singular else chosen[-1:]
            fresh = [n for n in group if self.phrases[n].article in ("a", "an", "another")]
            if (
                fresh
                and self.atoms[self.phrases[fresh[-1]].name].sentence == here
                and self.phrases[fresh[-1]].grade != "part"
            ):
                return fresh[-1:]  # "it's held with a moisture meter, which is fancy, and it's included"
            same = [n for n in earlier if self.atoms[self.phrases[n].name].sentence == here and not self.phrases[n].led]
            if (
                not same
                and start == max(by_clause)
                and before - self.phrases[group[-1]].last <= 3
                and self.phrases[group[-1]].grade != "part"
            ):
                return group[-1:]
        return earlier[-1:]

    def _one_before(self, start: int, here: int, earlier: list[int]) -> bool:
        """Whether a single thing is the subject of a clause before, in the same sentence or the one before it."""
        return any(
            self.phrases[n].last <= start
            and not self.phrases[n].plural
            and not self.phrases[n].led
            and self.phrases[n].article != ""
            and here - self.atoms[self.phrases[n].name].sentence <= ONE_BACK
            for n in earlier
        )

    def _row(self, group: list[int]) -> bool:
        """Whether things follow one another with nothing but commas, "and" and words of place between."""
        joints = {"and", "or", "plus", "also"}
        for a_, b in pairwise(group):
            words = [a.lower for a in self.atoms[self.phrases[a_].last : self.phrases[b].first]]
            placed = len(words) <= PLACED and set(words[:2]) & PREPOSITIONS and words[-1] in joints
            if not set(words) <= joints and not placed:
                return False
        return True

    def _brief(self, sentence: int) -> bool:
        """Whether a sentence has three words at most."""
        return self.lengths.get(sentence, 0) <= 3

    def same_noun(self, n: int, earlier: list[int]) -> list[int]:
        """A phrase, and the one before it that has the same noun ("Kiln's out back. Two track kiln.")."""
        return [m for m in earlier if m <= n and self.phrases[m].heads[-1] == self.phrases[n].heads[-1]]

    def coordinated(self, target: int) -> list[int]:
        """The phrase and those joined to it by "and" or commas."""
        out = [target]
        for n in self.things[self.things.index(target) + 1 :]:
            between = [a.lower for a in self.atoms[self.phrases[out[-1]].last : self.phrases[n].first]]
            if self.atoms[self.phrases[n].name].sentence != self.atoms[self.phrases[target].name].sentence or not set(
                between
            ) <= {
                "and",
                "or",
                "also",
                "plus",
            }:
                break
            out.append(n)
        return out

    def verb_between(self, first: int, last: int) -> bool:
        return any(
            self.atoms[k].lower in ("is", "'s", "are", "was", "has", "have", "stays", "goes", "runs", "comes")
            for k in range(first, last)
        )
