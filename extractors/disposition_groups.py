"""What stands with a thing that was decided on: the rest of its row, what a word for a group or a box stands for."""

from __future__ import annotations

from extractors.antecedents import IT, JOINTS, ONE_BACK, Antecedents
from extractors.disposition_words import OPENERS, VERBS
from extractors.noun_phrase import Phrase
from extractors.phrases import sentence_bounds, singular

GROUPS = frozenset(
    (
        "spare part auxiliary accessory extra item tool machine unit piece thing ancillary peripheral attachment "
        "consumable"
    ).split()
)
"""Nouns for all of several things that were just named one by one: "whether the spares go"."""
EXTRAS = GROUPS - {"tool", "machine", "unit", "part", "piece"}
"""Those that may stand for several of one kind: "four belts. Whether the spares go"; "the tools" are no holders."""
BOXES = frozenset("box crate drawer pallet rack cabinet case bag bin chest shelf cupboard tote".split())
"""Nouns for what holds other things."""


class Groups(Antecedents):
    """Finds what goes along with the things that cues are said of; things as in Antecedents."""

    def alike(self, m: int, n: int) -> bool:
        """Whether n may name m again: the same head, or its head alone."""
        return self.phrases[m].heads[-1] == self.phrases[n].heads[-1]

    def fuller(self, n: int) -> list[int]:
        """The part named in full shortly before that a bare name points at: "static eliminator bar ... The bar"."""
        phrase = self.phrases[n]
        if self.in_full(n) or phrase.count or phrase.article not in ("the", "that", "this"):
            return []
        here, head = self.sentence(n), phrase.heads[-1]
        kin = [m for m in self.things if m < n and self.phrases[m].heads[-1] == head]
        kin = [m for m in kin if here - self.sentence(m) <= ONE_BACK and self.in_full(m)]
        named = {(self.phrases[m].modifiers, self.phrases[m].heads) for m in kin}
        return kin[:1] if len(named) == 1 and self.phrases[kin[0]].grade == "part" else []

    def contents(self, n: int) -> list[int]:
        """What was said to be in a box that goes or stays: "spares are in one box: two pump heads. The box goes"."""
        phrase = self.phrases[n]
        head = singular(phrase.heads[-1])
        held = phrase.holders.split()[:1]
        if (
            (head in BOXES or (held and singular(held[0]) in BOXES))
            and phrase.last < len(self.atoms)
            and self.atoms[phrase.last].lower == "with"
        ):
            return [m for m in self.things if self.phrases[m].first == phrase.last + 1]  # "a box with five lamps"
        if head not in BOXES or phrase.led or phrase.article not in ("the", "that", "this", "both"):
            return []
        here = self.sentence(n)
        for k in range(phrase.first - 1, -1, -1):
            if here - self.atoms[k].sentence > ONE_BACK:
                break
            if singular(self.atoms[k].lower) == head and self.atoms[k].after == ":":
                return [m for m in self.within(self.atoms[k].sentence, self.things) if self.phrases[m].first > k]
        return []

    def kinds(self, n: int) -> list[int]:
        """The kinds told just before of what the plural names again: "two acid pumps, one salt pump"."""
        phrase = self.phrases[n]
        if not phrase.plural or phrase.count or phrase.article not in ("the", "these", "those", "all"):
            return []
        here, own = self.sentence(n), {*phrase.modifiers, *phrase.heads[:-1]}
        kin = [
            m
            for m in self.things
            if m < n
            and here - self.sentence(m) <= ONE_BACK
            and self.phrases[m].heads[-1] == phrase.heads[-1]
            and {*self.phrases[m].modifiers, *self.phrases[m].heads[:-1]} > own
            and self.phrases[m].count
        ]
        return kin if len(kin) > 1 else []

    def members(self, n: int) -> list[int]:
        """What a word for a group stands for; the phrase itself where it stands for nothing named.

        "12 upper tools and 8 lower tools. About the tools ..."; "whether the spares go", right behind a list of them.
        """
        phrase = self.phrases[n]
        head = phrase.heads[-1]
        if (
            not phrase.plural
            or self.in_full(n)
            or phrase.count
            or phrase.article not in ("the", "these", "those", "all")
        ):
            return [n, *self.kinds(n)]
        here = self.sentence(n)
        earlier = [m for m in self.things if m < n and here - self.sentence(m) <= 2]
        if singular(head) == "spare" and (spare := [m for m in earlier if "spare" in self.phrases[m].modifiers]):
            return spare  # "three canisters on the wall and a box with six spare elements, the spares go with it"
        kin = [m for m in earlier if self.phrases[m].heads[-1] == head and self.in_full(m)]
        if len(kin) > 1:
            total = any(
                self.phrases[m].heads[-1] == head and not self.in_full(m) and self.phrases[m].count for m in earlier
            )
            return [n, *kin] if total else kin  # "nine molds, five for block and four for pavers. All the molds ..."
        # "as to spares, there is one set of rolls": a heading is none of them
        own = [m for m in earlier if self.phrases[m].heads[-1] == head and not self._mere(self.phrases[m])]
        if singular(head) in GROUPS and not own:
            last = max((self.sentence(m) for m in earlier), default=None)
            listed = [m for m in earlier if self.sentence(m) == last and not self.phrases[m].led]
            several = singular(head) in EXTRAS and any(self.phrases[m].plural for m in listed)
            if len(listed) > 1 or several:
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

    def along(self, n: int) -> list[int]:
        """The thing that stands with "with" right behind a phrase: "the paint kitchen with the mixer"."""
        k = self.phrases[n].last
        if k + 1 >= len(self.atoms) or self.atoms[k].lower != "with" or self.atoms[k - 1].after:
            return []
        known = ("the", "its", "his", "their", "all")
        behind = [m for m in self.things if self.phrases[m].first == k + 1 and self.phrases[m].article in known]
        return [m for m in behind if not self._told_along(m)]

    def listed_before(self, target: int) -> list[int]:
        """First things of a list whose last ones stand before the cue: "the vise, the chuck and the rest all go"."""
        out: list[int] = []
        at = self.phrases[target].first
        for n in reversed(self.things[: self.things.index(target)]):
            between = {a.lower for a in self.atoms[self.phrases[n].last : at]}
            if len(between & IT) == 1:
                between -= IT | {"for", "of", "on", "to", "with"}  # "the feeder for it and the folder"
            if self.sentence(n) != self.atoms[at].sentence or not between <= JOINTS | {"all", "both"}:
                break
            out.insert(0, n)
            at = self.phrases[n].first
        first, _ = sentence_bounds(self.atoms, at)
        first = next((k + 1 for k in range(at - 1, first, -1) if self.atoms[k].after in (":", ";")), first)
        # "we're keeping the bars, the chuck goes": a list begins its sentence, or it is none
        return out if all(a.lower in OPENERS | {"neither"} for a in self.atoms[first:at]) else []

    def coordinated(self, target: int) -> list[int]:
        """The phrase and those joined to it by "and" or commas."""
        out = [target]
        for n in self.things[self.things.index(target) + 1 :]:
            between = {a.lower for a in self.atoms[self.phrases[out[-1]].last : self.phrases[n].first]}
            if self.sentence(n) != self.sentence(target) or not between <= JOINTS | {"with"}:
                break
            if "with" in between and (self._told_itself(n) or self._told_along(n)):
                break  # "we sell the press, with the crane staying"
            if not between and self._told_itself(n):
                break  # "an offer on the press, the extractor is spoken for"
            out.append(n)
        return out

    def _told_itself(self, n: int) -> bool:
        """Whether a verb follows a phrase: it is the subject of a clause of its own."""
        k = self.phrases[n].last
        told = VERBS | {"stays", "goes", "we", "i", "they", "he", "she"}
        return k < len(self.atoms) and not self.atoms[k - 1].after and self.atoms[k].lower in told

    def _told_along(self, n: int) -> bool:
        """Whether what stands "with" a thing is told something of its own: "the press, with the crane staying"."""
        k = self.phrases[n].last
        return k < len(self.atoms) and not self.atoms[k - 1].after and self.atoms[k].lower.endswith("ing")

    def verb_between(self, first: int, last: int) -> bool:
        return any(
            self.atoms[k].lower in ("is", "'s", "are", "was", "has", "have", "stays", "goes", "runs", "comes")
            for k in range(first, last)
        )
