"""What a pronoun points back at, or a clause without a subject: clause by clause, then sentence by sentence."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

from extractors.disposition_words import VERBS
from extractors.noun_phrase import PREPOSITIONS, Phrase
from extractors.phrases import Atom, clause_start, sentence_bounds
from extractors.phrases import singular as singular_of

ONE_BACK = 2
"""Sentences back in which "it" finds its one thing over the heads of several."""
PLACED = 5
"""Words between two things of a row, at most: "cores in the cupboard and a seal kit"."""
FAR = 3
"""Sentences back in which a pronoun may have its thing."""
JOINTS = frozenset({"and", "or", "plus", "also"})
"""Words that join the things of a list."""

WHOLES = frozenset(
    "system unit skid panel cabinet station cell set package assembly rig booth cart trolley kit plant extraction "
    "collection suppression recovery generator furnace oven boiler press".split()
)
"""Heads of things that are named with their parts behind them."""
HEADS = 3
"""Atoms of its sentence in which a heading begins ("there's a ..."), at most."""
LISTS = frozenset({"spare", "extra", "accessory", "tool", "part", "consumable"})
"""Words for groups that head a list of what is in them."""
HAVING = frozenset({"has", "have", "with", "got"})
IT = frozenset({"it", "them", "each"})
"""Words behind a preposition that point back at a whole."""


class Antecedents:
    """Finds what pronouns of one transcript point back at; things are the phrases that may be sold or kept."""

    def __init__(self, atoms: Sequence[Atom], phrases: Sequence[Phrase], things: list[int]) -> None:
        self.atoms, self.phrases, self.things = atoms, phrases, things
        self.lengths = Counter(a.sentence for a in atoms)
        self.told: set[int] = set()
        """Things of which it was said what happens to them, as the reading goes on."""
        self.strange: int | None = None
        """The last sentence that doubted what is no thing."""

    def sentence(self, n: int) -> int:
        """The sentence that a phrase is named in."""
        return self.atoms[self.phrases[n].name].sentence

    def within(self, sentence: int, among: list[int]) -> list[int]:
        """Those of some things that are named in a sentence."""
        return [n for n in among if self.sentence(n) == sentence]

    def in_full(self, n: int) -> bool:
        """Whether a phrase has more than its noun: "static eliminator bar"."""
        return bool(self.phrases[n].modifiers) or len(self.phrases[n].heads) > 1

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
        earlier = [n for n in self.things if self.phrases[n].last <= before and self.sentence(n) >= far]
        seen = [n for n in earlier if not self._passed(n)]
        earlier = seen or earlier
        if not earlier:
            return []
        if every or plural:
            return self._several(earlier, here, plural=plural, every=every)
        found = self._single(earlier, before, here, singular=singular, one=one)
        head = self._headed(found, before, singular=singular)
        return found if head is None else [head]

    def _headed(self, found: list[int], before: int, *, singular: bool) -> int | None:
        """The thing that heads the sentence of what was found, where that is only told of it: "a deluge system for
        fires, thirty two nozzles, that's going", "the spray unit is graphite, its tank is 200 litres, it goes", "the
        coder, an inkjet, that's not for sale"."""
        if len(found) != 1:
            return None
        n = found[0]
        p, atoms = self.phrases[n], self.atoms
        first, _ = sentence_bounds(atoms, p.name)
        heads = [m for m in self.things if m < n and first <= self.phrases[m].first <= first + HEADS]
        if not heads or self.phrases[heads[0]].led or self.phrases[heads[0]].plural:
            return None
        it = any(a.lower == "it" for a in atoms[before : before + 3])
        here = atoms[min(before, len(atoms) - 1)].sentence
        bare = p.article == "" and (p.count is not None or p.grade == "part")
        aside = singular and (p.plural or bare)
        owned = it and p.article in ("its", "their")
        kind = p.article in ("a", "an") and self.phrases[heads[0]].grade != "generic"
        apposed = singular and kind and p.first == self.phrases[heads[0]].last
        had = it and atoms[p.first - 1].lower in HAVING and self.sentence(n) < here
        return heads[0] if aside or owned or had or apposed else None

    def _passed(self, n: int) -> bool:
        """Whether a thing is only what one looks or goes through: "I read the tag through the window"."""
        phrase = self.phrases[n]
        at = phrase.first - 1
        if not phrase.led or at < 0:
            return False
        lead = self.atoms[at].lower
        if lead == "of" and not (phrase.article or phrase.plural or phrase.count):
            return True  # "sixty cubic metres a minute of compressor"
        return lead in ("through", "past", "via") or (at > 0 and self.atoms[at - 1].lower == "not")

    def _several(self, earlier: list[int], here: int, *, plural: bool, every: bool) -> list[int]:
        """What "they", "both" and the like mean among the things before, the latest sentence first."""
        sentences = sorted({self.sentence(n) for n in earlier}, reverse=True)
        for s in sentences:
            group = self.within(s, earlier)
            free = [n for n in group if not self.phrases[n].led] or group
            if s != here and self._mere_parts(free) and self._machines_before(s, earlier):
                continue  # "three feed pumps. The seals, they're dry. These they give as well."
            if len(free) > 1 and s != here and self._heads_list(free[0]):
                return free[1:]  # "Spares, there's a brake valve and four bearings. They go."
            many = [n for n in free if self.phrases[n].plural or (self.phrases[n].count or 0) > 1]
            if not many and plural:
                # "a rack with twenty four cutting dies, those are the customer's"
                many = [n for n in group if self.phrases[n].plural and (self.phrases[n].count or 0) > 1]
            if plural and not many and (joined := self._joined(group)) and self._object_of_verb(joined[0]):
                return joined  # "it feeds from a decoiler and a straightener, and those are in the price"
            listed = [n for n in free if self.phrases[n].count or self.phrases[n].plural or self.phrases[n].article]
            if s == here and len(listed) >= (3 if every else 2) and self._row(listed):
                return listed  # "two sets of dies, one mantle, a dozen idlers, and those are included"
            if plural and s == here - 1 and len(row := self._last_row(free)) >= 3 and any(n in many for n in row):
                return row  # "a set of tiles, two idlers and one load cell. You can have those."
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
                        if self.sentence(n) == s - 1 and not self.phrases[n].led and self.phrases[n].plural
                    ]
                return chosen
        return earlier[-1:]

    def _heads_list(self, n: int) -> bool:
        """Whether a bare word for a group opens its sentence and stands alone in its clause: "Spares, there's ..."."""
        phrase = self.phrases[n]
        first, _ = sentence_bounds(self.atoms, phrase.name)
        bare = phrase.plural and not (phrase.article or phrase.count or self.in_full(n))
        alone = phrase.first == first and self.atoms[phrase.last - 1].after in (",", ":")
        return bare and alone and singular_of(phrase.heads[-1]) in LISTS

    def _single(self, earlier: list[int], before: int, here: int, *, singular: bool, one: bool) -> list[int]:
        """What "it", "that" or nothing at all means among the things before, the latest clause first."""
        earlier = [n for n in earlier if not self._of_it(n)] or earlier
        last = earlier[-1]
        if (
            self.phrases[last].grade == "part"
            and not self.phrases[last].article
            and self.phrases[last].count is None
            and (self.sentence(last) != here or before - self.phrases[last].last > 2)
            and last not in self.told
            and not self._topic_here(last, here)
        ):
            machines = [n for n in earlier if self.phrases[n].grade != "part" and here - self.sentence(n) <= 2]
            earlier = machines or earlier
        if (system := self._system(earlier, here)) is not None:
            return [system]
        by_clause: dict[int, list[int]] = {}
        for n in earlier:
            by_clause.setdefault(clause_start(self.atoms, self.phrases[n].name), []).append(n)
        for start in sorted(by_clause, reverse=True):
            group = by_clause[start]
            free = [n for n in group if not self._led(n)]
            if singular:
                free = [n for n in free if self._one(n)] or free
            named = [n for n in free if self.phrases[n].grade in ("machine", "open", "site", "generic")]
            chosen = named or free
            if singular and (single := [n for n in chosen if self._one(n)]):
                chosen = single
            elif singular and chosen and (led := self._led_here(here, before)):
                return led  # "it comes from a chiller out the back, doing eleven machines, so that stays"
            elif one and chosen and self._one_before(start, here, earlier):
                continue  # "the conveyor turns, the side guides are bent, but it goes": no "it" means guides
            if chosen:
                return chosen[:1] if len(chosen) == 1 or singular else chosen[-1:]
            same = [n for n in self.within(here, earlier) if not self._led(n)]
            fresh = [n for n in group if self.phrases[n].article in ("a", "an", "another")]
            if (
                fresh
                and not same
                and self.sentence(fresh[-1]) == here
                and (self.phrases[fresh[-1]].grade != "part" or self.with_before(fresh[-1]))
            ):
                return fresh[-1:]  # "it's held with a moisture meter, which is fancy, and it's included"
            if (
                not same
                and start == max(by_clause)
                and before - self.phrases[group[-1]].last <= 3
                and self.phrases[group[-1]].grade != "part"
            ):
                return group[-1:]
        return earlier[-1:]

    def _led_here(self, here: int, before: int) -> list[int]:
        """The single new machine that a sentence has what it tells of "from" or "with", where all else is several."""
        led = [n for n in self.things if self.sentence(n) == here and self.phrases[n].last <= before]
        led = [n for n in led if self._one(n) and self.phrases[n].grade in ("machine", "open")]
        if len(led) != 1 or self.phrases[led[0]].article not in ("a", "an"):
            return []
        at = self.phrases[led[0]].first - 1
        return led if at >= 0 and self.atoms[at].lower in ("from", "with", "by") else []

    def _one(self, n: int) -> bool:
        """Whether a phrase is singular, be it a set of several: "one spare set of rolls, this goes with the line"."""
        phrase = self.phrases[n]
        held = phrase.holders.split()[:1]
        return not phrase.plural or (bool(held) and held[0] == singular_of(held[0]) and phrase.count in (None, 1))

    def _led(self, n: int) -> bool:
        """Whether a preposition leads a phrase, be it through another: "between here and the silos"."""
        at = self.phrases[n].first
        if self.phrases[n].led or at < 2 or self.atoms[at - 1].lower != "and":
            return self.phrases[n].led
        if (
            any(p.last == at - 1 and p.led and p.grade != "never" for p in self.phrases)
            and not self.atoms[at - 2].after
        ):
            return True  # "a screw with a tank and a dryer"
        return any(a.lower == "between" for a in self.atoms[max(0, at - 5) : at - 1])

    def _joined(self, group: list[int]) -> list[int]:
        """The last things of a sentence that are joined to one another, where there are several."""
        run = group[-1:]
        for n in reversed(group[:-1]):
            between = {a.lower for a in self.atoms[self.phrases[n].last : self.phrases[run[0]].first]}
            if not between <= {"and", "or", "plus"}:
                break
            run.insert(0, n)
        return run if len(run) > 1 else []

    def _object_of_verb(self, n: int) -> bool:
        """Whether a phrase is led by a preposition that a verb has before it: "feeds from a decoiler"."""
        at = self.phrases[n].first - 2
        return self.phrases[n].led and at >= 0 and not any(self.phrases[m].last == at + 1 for m in self.things)

    def _of_it(self, n: int) -> bool:
        """Whether a phrase is said to be a part of what "it" means: "nine cups on it"."""
        if self.phrases[n].grade != "part" and not self.phrases[n].plural:
            return False
        k = self.phrases[n].last
        behind = [a.lower for a in self.atoms[k : k + 2]]
        joined = len(behind) == 2 and not self.atoms[k - 1].after and not self.atoms[k].after
        return joined and behind[0] in ("on", "in", "to", "for", "inside", "under", "around") and behind[1] in IT

    def _topic_here(self, n: int, here: int) -> bool:
        """Whether a part named in full opens the sentence: "cable tray stops at the wall, the site keeps it"."""
        phrase = self.phrases[n]
        at = phrase.first
        opens = self.atoms[at].sentence == here and (at == 0 or self.atoms[at - 1].sentence != here)
        return opens and self.in_full(n)

    def _system(self, earlier: list[int], here: int) -> int | None:
        """The whole that the sentence before names first, its parts behind: "lube system, a tank, two guns"."""
        sentence = self.sentence(earlier[-1])
        if sentence == here:
            return None
        heads = self.within(sentence - 1, earlier)
        if len(heads) == 1 and self.lengths[sentence - 1] == self.phrases[heads[0]].last - self.phrases[heads[0]].first:
            # "Dust extraction. Fan's 30 kilowatt, filter's got 120 bags. Might go, might not."
            known = singular_of(self.phrases[heads[0]].heads[-1])
            return heads[0] if known in WHOLES and not self.phrases[heads[0]].plural else None
        group = self.within(sentence, earlier)
        first = group[0]
        at = self.phrases[first].first
        bare = not self.phrases[first].article and not self.phrases[first].plural and self.phrases[first].count is None
        opens = at == 0 or self.atoms[at - 1].sentence != sentence
        verbs = {a.lower for a in self.atoms[at : self.phrases[group[-1]].last]} & VERBS
        whole = singular_of(self.phrases[first].heads[-1]) in WHOLES
        return first if bare and opens and whole and not verbs and len(group) > 1 else None

    def with_before(self, n: int) -> bool:
        """Whether a phrase is led by "with": "it's held there with a moisture meter"."""
        at = self.phrases[n].first - 1
        return at >= 0 and self.atoms[at].lower == "with"

    def _mere_parts(self, group: list[int]) -> bool:
        """Whether all of a group are parts that nobody counted."""
        return all(self.phrases[n].grade == "part" and self.phrases[n].count is None for n in group)

    def _machines_before(self, sentence: int, earlier: list[int]) -> bool:
        """Whether several machines are the subject of a sentence before."""
        return any(
            self.phrases[n].plural
            and self.phrases[n].grade == "machine"
            and not self.phrases[n].led
            and self.sentence(n) < sentence
            for n in earlier
        )

    def _one_before(self, start: int, here: int, earlier: list[int]) -> bool:
        """Whether a single thing is the subject of a clause before, in the same sentence or the one before it."""
        return any(
            self.phrases[n].last <= start
            and not self.phrases[n].plural
            and not self.phrases[n].led
            and (self.phrases[n].article != "" or self._opens(n))
            and here - self.sentence(n) <= ONE_BACK
            for n in earlier
        )

    def _opens(self, n: int) -> bool:
        """Whether a thing is the first word of its sentence, and a pause follows: "plate rack, eight shelves, ..."."""
        at = self.phrases[n].first
        opens = at == 0 or self.atoms[at - 1].sentence != self.atoms[at].sentence
        return opens and self.atoms[self.phrases[n].last - 1].after == ","

    def _row(self, group: list[int]) -> bool:
        """Whether things follow one another with nothing but commas, "and" and words of place between."""
        for a_, b in pairwise(group):
            words = [a.lower for a in self.atoms[self.phrases[a_].last : self.phrases[b].first]]
            placed = len(words) <= PLACED and set(words[:2]) & PREPOSITIONS and words[-1] in JOINTS
            if not set(words) <= JOINTS and not placed and words != ["of"]:
                return False
        return True

    def _last_row(self, group: list[int]) -> list[int]:
        """The last things of a group that follow one another as in a list."""
        for n in range(len(group)):
            if self._row(group[n:]):
                return group[n:]
        return []

    def _brief(self, sentence: int) -> bool:
        """Whether a sentence has three words at most."""
        return self.lengths.get(sentence, 0) <= 3

    def same_noun(self, n: int, earlier: list[int]) -> list[int]:
        """A phrase, and the one before it that has the same noun ("Kiln's out back. Two track kiln.")."""
        return [m for m in earlier if m <= n and self.phrases[m].heads[-1] == self.phrases[n].heads[-1]]
