"""What a cue of disposition is said of: the subject of its clause, its object, or what a pronoun points back at."""

from __future__ import annotations

from itertools import pairwise, takewhile

from extractors.disposition_clauses import past
from extractors.disposition_groups import Groups
from extractors.disposition_lists import PLACES, by_place
from extractors.disposition_words import (
    ADVERBS,
    ARTICLES,
    BEING,
    CUTS,
    MINDS,
    OBJECTS,
    OPENERS,
    PLURAL,
    PRONOUNS,
    SINGULAR,
    SPEAKERS,
    TAKES,
)
from extractors.noun_phrase import PREPOSITIONS
from extractors.phrases import clause_end, clause_start, sentence_bounds, singular
from extractors.word_classes import CARDINALS, NUMBER_WORDS

OTHER = frozenset("old older other new newer small smaller big bigger spare first second third last".split())
POINTING = frozenset({"this", "that", "which", "every", "each", "only", "same", "first", "last", "next", "other"})
EVERY = frozenset({"all", "both", "neither", "none"})
HAVING = frozenset({"wants", "keeps", "takes", "needs", "gets", "has", "claims"})
"""Verbs right behind the one who has or wants a thing."""
BEYOND = frozenset({"past", "beyond", "above", "below", "behind", "outside", "from", "after"})
"""Words of place behind which "it" is no thing."""
SWEARING = frozenset({"hold", "quote", "swear", "bet", "count"})
MEASURING = frozenset("all both of couple few some pair dozen several".split())
"""Words before a thing that say how many of it."""
LOOSE = frozenset(
    "everything anything nothing all some half most none each both what whatever things stuff everybody only just "
    "everyone anyone here there not yes no".split()
)
"""Words before a place that name no thing of their own."""
REACHING = frozenset({"from", "to", "through", "down", "up"})
"""Words of where a stretch begins and ends."""
WIDE = frozenset(
    "room floor building hall plant factory site line list photo picture place video house premises tape shop "
    "structure".split()
)
"""Places that hold all there is."""


NO_SUBJECTS = PRONOUNS | EVERY | LOOSE | BEING | PREPOSITIONS | SPEAKERS | OBJECTS
"""Words that may begin a clause before a cue and are no subject of their own."""
MANY_WORDS = 4
"""Words of a subject that no table has, at most: "cubicles one and four"."""
ASKING = frozenset("what what's where how why when anything something".split())
"""First words of a sentence that asks or tells something else before its doubt."""
SO_MANY = {w: n for n, w in enumerate(CARDINALS) if 3 <= n <= 12}
"""Numbers behind "all" by which what was counted is called again."""
ALL_BACK = 20
"""Sentences back in which it was counted."""


class Targets(Groups):
    """Finds what cues are said of in one transcript; things are indices of the phrases that may be sold or kept."""

    def object(self, end: int) -> int | None:
        """The thing right behind a cue of taking: "we're keeping the jaws"."""
        if end >= len(self.atoms) or self.atoms[end - 1].after:
            return None
        stop = clause_end(self.atoms, end)
        # "they'll throw in a couple dozen spare spears"
        near = past(self.atoms, end, stop - 1, MEASURING | ARTICLES | NUMBER_WORDS)
        return next(
            (
                n
                for n in self.things
                if self.phrases[n].first <= max(near, end + 1)
                and end <= self.phrases[n].name < stop
                and not (self.phrases[n].first > end and self.atoms[end].lower in PREPOSITIONS - {"of"})
            ),
            None,
        )

    def asked_about(self, end: int) -> list[int]:
        """The thing of the question behind a cue of doubt: "we don't know if the oxidizer goes"."""
        k = end
        if k < len(self.atoms) and self.atoms[k].lower in ("if", "whether"):
            k += 1
        elif self.atoms[k - 1].lower not in ("if", "whether"):
            return []
        target = next((n for n in self.things if self.phrases[n].first == k), None)
        return [] if target is None else self.coordinated(target)

    def place(self, i: int) -> str | None:
        """Where everything is that goes: "everything on the skid", "all that's in the cage"; None for the whole."""
        start = clause_start(self.atoms, i)
        led = [
            p
            for p in self.phrases
            if start <= p.first and p.last <= i and p.led and p.grade not in ("site", "never", "whole")
        ]
        led = [p for p in led if self.atoms[p.first - 1].lower not in REACHING]
        if led:
            return None if self._holds_all(led[-1].heads[-1], i) else led[-1].heads[-1]
        words = [a.lower for a in self.atoms[start:i]]
        at = next((k for k, w in enumerate(words) if w in ("in", "on", "inside", "under", "up", "at", "off")), None)
        if at is None or words[at + 1 : at + 2] not in (["the"], ["that"], ["this"], ["those"]):
            return None
        name = list(takewhile(lambda w: w not in PREPOSITIONS | REACHING | BEING, words[at + 2 : at + 5]))
        if not name or singular(name[-1]) in WIDE or words[at + 2 : at + 3] == ["whole"]:
            return None
        place = singular(name[-1])
        here = self.atoms[i].sentence
        return place if any(singular(a.lower) == place and a.sentence != here for a in self.atoms) else None

    def _holds_all(self, place: str, i: int) -> bool:
        """Whether it was said before that all there is stands at a place: "a skid, everything on one frame"."""
        for k in range(1, min(i, len(self.atoms)) - 1):
            if self.atoms[k].lower == "everything" and self.atoms[k].sentence != self.atoms[i].sentence:
                words = [a.lower for a in self.atoms[k + 1 : k + 5]]
                if set(words[:2]) & {"on", "in", "inside"} and place in words and "one" in words:
                    return True
        return False

    def there(self, place: str, i: int) -> list[int]:
        """The things named in the sentences that speak of a place: "on the skid you've got a tank and a pump"."""
        here = self.atoms[i].sentence
        said = {a.sentence for a in self.atoms if singular(a.lower) == place}
        last = max((s for s in said if s < here), default=here)
        while last + 1 < here and self.opening(last + 1) in ("also", "and", "plus"):
            last += 1  # "On the rack there's a pump. And a motor."
            said.add(last)
        return [n for n in self.things if self.sentence(n) in said and self.phrases[n].heads[-1] != place]

    def opening(self, sentence: int) -> str:
        """The first word of a sentence."""
        return next((a.lower for a in self.atoms if a.sentence == sentence), "")

    def told_last(self, i: int) -> list[int]:
        """Everything named in the clauses before a cue or, where it opens its sentence, in the sentence before."""
        here = self.atoms[i].sentence
        for sentence in (here, here - 1, here - 2):
            group = [n for n in self.within(sentence, self.things) if self.phrases[n].last <= i]
            if group:
                return [n for n in group if not self.phrases[n].led or self.with_before(n)]
        return []

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
        told_to: int = 0,
        doubt: bool = False,
    ) -> list[int]:
        """The phrases that a cue at atoms i to end is said of; told_to is where the cue before it ends; doubt: it
        leaves open what happens."""
        start = clause = clause_start(self.atoms, i)
        for k in range(i - 1, start - 1, -1):
            anew = (
                self.atoms[k].lower == "and" and self.atoms[k + 1].lower in PRONOUNS
            )  # "... off a house compressor and that's not included"
            if (self.atoms[k].lower in CUTS or anew) and k > start:
                start = k + 1
                break
        if start < told_to < i - 1 and self.atoms[told_to].lower == "and":
            start = told_to + 1  # "the boilers go with it and the hoist stays": told apart without a comma
        minded = bool(MINDS & {a.lower for a in self.atoms[i:end]})
        opens = self.atoms[start].lower in ("the", "a", "an") and i - start > 2
        if weak and opens and not any(start <= self.phrases[n].first < i for n in self.things):
            return []  # "the serial number I couldn't tell you"
        if weak and SWEARING & {a.lower for a in self.atoms[i:end]}:
            end = i  # "don't hold me to it" holds no thing
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
        if (place := by_place(self.atoms, i)) and (named := self.placed(place, start)):
            return named
        for k in range(start + 1, i):
            kind = self.atoms[k - 1].lower
            if (
                self.atoms[k].lower in ("one", "ones")
                and (kind in OTHER or self._kind(k - 1, start))
                and not self._named(k)
            ):
                return []  # "the old one we keep": not the one that was spoken of
        if taken:  # "they'll throw that in": what is thrown in, not who throws
            many = bool({"those", "these", "them", "both"} & here)
            held = [n for n in self.things if start <= self.phrases[n].first < i]
            if self.atoms[i].lower in HAVING:
                held = [
                    n for n in held if self.phrases[n].last < i
                ]  # "the district wants those back": not the district
            if not held and (known := self._known_word(start, i)) is not None:
                return known  # "UV we keep", where the UV unit is told elsewhere
            if not held and self.strange == self.atoms[start].sentence:
                return []  # "the building, he hasn't made up his mind on that, so don't count on it"
            every = bool(EVERY & {a.lower for a in self.atoms[start:end]})
            one = not many and bool({"it", "that"} & here)
            return (
                self.direct(held)
                if held
                else self.antecedent(start, plural=many, singular=not many, every=every, one=one)
            )
        beside = [n for n in self.things if start <= self.phrases[n].first < i]
        if beside and (first := self._that_and(start, beside)):
            return [*first, *self.direct(beside)]
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
        if self._of_a_stranger(start, i) or self._of_the_others(start, i):
            return []
        if not (weak or minded) and (named := self._same_clause(clause, start, i)):
            return named
        if many_of := self._all_so_many(start, i):
            return many_of
        words = [a.lower for k, a in enumerate(self.atoms[start:end], start) if not (agent and k == i)]
        words = [w for n, w in enumerate(words) if w != "all" or words[n - 1 : n] != ["at"]]  # "not certain at all"
        inside = [n for n in self.things if start <= self.phrases[n].first < i or start <= self.phrases[n].name < i]
        pronoun = next((w for w in words if w in PRONOUNS), None)
        subject_at = next(
            (
                k
                for k in range(start, end)
                if self.atoms[k].lower in PRONOUNS
                and not (agent and k == i)
                # "that robot", "neither the pump nor the tank" and "both the tanks" are no pronouns
                and not any(self.phrases[n].first <= k < self.phrases[n].last for n in inside)
                and not (inside and self.atoms[k].lower in ("neither", "both", "all"))
                # "them four retorts stay put"
                and not (self.atoms[k].lower == "them" and any(self.phrases[n].first == k + 1 for n in inside))
            ),
            end,
        )
        if inside and self.phrases[inside[0]].name < subject_at:
            # "it comes off a house compressor and that's not included" is one clause without a comma
            cut = next(
                (k for k in range(i - 1, self.phrases[inside[0]].last - 1, -1) if self.atoms[k].lower == "and"), None
            )
            if cut is not None and any(self.atoms[k].lower in PRONOUNS for k in range(cut, min(end, len(self.atoms)))):
                if pronoun in ("it", "that") and all(self.phrases[n].plural for n in inside):
                    # "a leak detector, four sensors and whether that goes is anybody's guess"
                    return self.antecedent(cut, plural=False, singular=True, one=True, every=False)
                return self.direct(inside)
            if (
                cut is not None
                and (later := [n for n in inside if self.phrases[n].first >= cut])
                and self.verb_between(self.phrases[inside[0]].last, cut)
            ):
                return self.direct(later)
            return self.direct(inside)
        opening = next((w for w in words if w not in OPENERS), "")
        if pronoun == "it" and opening in BEYOND and not inside:
            return []  # "past the wall it's the landlord's"
        if not inside and opening in ("what", "whatever"):
            return []  # "what goes and what doesn't go": a heading has no thing of its own
        # "the shed it's in isn't for sale": the pronoun belongs to another's clause
        within = pronoun in ("it", "they") and opening in ("the", "a", "an") and subject_at < i
        if (not pronoun or within) and not minded and not weak and not inside and opening in ARTICLES and i - start > 1:
            return []  # "the kitchen isn't for sale": a subject of its own that is no thing
        if not pronoun and not inside and not minded and not weak and self._stranger_before(start):
            return []  # "wait for this truck. Not ours."
        if not pronoun and not minded and not weak and not taking and self._other_subject(start, i):
            return []  # "steam main stays with the mill"
        if pronoun in (None, "one") and not (minded or weak or inside) and self._bare_subject(start, i):
            known = self._known_word(start, i)
            return known or []  # "tank goes, changeover goes", which is in no table, "UV we keep"
        if pronoun in (None, "it", "that") and not inside and self._other_topic(start):
            return []  # "now the paperwork, who knows, so that's up in the air"
        if not inside and self._none_of(start, i):
            return []  # "no compressor in the deal"
        if doubt and not inside and self._doubted_alone(start, pronoun):
            self.strange = self.atoms[start].sentence
            return []  # "stock of seals, I couldn't tell you"
        head = past(self.atoms, sentence_bounds(self.atoms, start)[0], start)
        plural, every = pronoun in PLURAL, bool(EVERY & set(words))
        behind = self.atoms[subject_at + 1].lower if subject_at + 1 < len(self.atoms) else ""
        # "the guns, they've promised a few, so that's to be decided": that is what was said, and may be of several
        one = pronoun == "it" or (pronoun in ("that", "this") and behind not in BEING)
        found: list[int] = []
        if pronoun is not None and head < start and self.atoms[head].lower == pronoun and not self._told_aside(start):
            # "it's shared with the other press so it can't go" is one thing throughout
            found = self.antecedent(head, plural=plural, singular=pronoun in SINGULAR, one=one, every=every)
        found = found or self.antecedent(start, plural=plural, singular=pronoun in SINGULAR, one=one, every=every)
        if pronoun in ("he", "she") and found and all(self.phrases[n].plural for n in found):
            return []  # "beams up to 12 metres. There comes a truck, he must go back"
        return found

    def row_before(self, meant: list[int], i: int, end: int) -> list[int]:
        """What a cue is said of, with all of the row that fronts its clause and ends with it: "so the frame, the table
        and the rack, you look but you don't take"; a pronoun for one means the last."""
        start = clause_start(self.atoms, i)
        alone = len(meant) == 1 and self.phrases[meant[0]].last == start
        if not alone or SINGULAR & {a.lower for a in self.atoms[start:end]}:
            return meant
        first, _ = sentence_bounds(self.atoms, i)
        head = past(self.atoms, first, start)
        fronting = next((n for n in self.things if self.phrases[n].first == head), None)
        row = [] if fronting is None else self.coordinated(fronting)
        return row if row[-1:] == meant else meant

    def _same_clause(self, clause: int, start: int, i: int) -> list[int]:
        """What "they" right behind "so" means where its clause has named it: "the rails are set in concrete so they're
        out" is of the rails, whatever was named before them."""
        if start <= clause or start >= len(self.atoms) or self.atoms[start].lower not in ("they", "it"):
            return []
        many = self.atoms[start].lower == "they"
        named = [n for n in self.things if clause <= self.phrases[n].first < start and not self.phrases[n].led]
        named = [n for n in named if self.phrases[n].plural == many]
        opens = bool(named) and self.phrases[named[0]].first == past(self.atoms, clause, start)
        return named if opens and self.atoms[start - 1].lower == "so" else []

    def _all_so_many(self, start: int, i: int) -> list[int]:
        """The thing of which as many were counted as "all three" says: "three compressors ... All three go"."""
        k = past(self.atoms, start, i)
        words = [a.lower for a in self.atoms[k:i]]
        many = SO_MANY.get(words[1]) if words[:1] == ["all"] and len(words) == 2 else None
        here = self.atoms[i].sentence
        near = [n for n in self.things if self.phrases[n].last <= start and here - self.sentence(n) <= ALL_BACK]
        counted = [n for n in near if many and self.phrases[n].count == many and self.phrases[n].plural]
        return counted[-1:] if many else []

    def _of_the_others(self, start: int, i: int) -> bool:
        """Whether a clause is of some of what was counted, left out of it: "the other six are the plating shop's"."""
        k = past(self.atoms, start, i, OPENERS | {"because", "since", "as", "the"})
        words = [a.lower for a in self.atoms[k : min(k + 2, i)]]
        many = len(words) > 1 and (words[1] in NUMBER_WORDS - {"one"} or words[1].isdigit())
        if len(words) > 1 and words[1] == "of" and words[0] in NUMBER_WORDS:
            return k + 2 < i and self.atoms[k + 2].lower in ("them", "those", "these")
        return (
            words[:1] == ["other"]
            and many
            and k + 2 <= i
            and not any(k <= self.phrases[n].name < i for n in self.things)
        )

    def _stranger_before(self, start: int) -> bool:
        """Whether a sentence follows one that points at what is no thing, and names none: "wait for this truck"."""
        first, _ = sentence_bounds(self.atoms, start)
        if first != start or not first:
            return False
        begin, _ = sentence_bounds(self.atoms, first - 1)
        if any(begin <= self.phrases[n].first < first for n in self.things):
            return False
        return any(
            begin <= p.first
            and p.last == first
            and p.grade == "never"
            and p.article in ("this", "that", "these", "those")
            for p in self.phrases
        )

    def _other_subject(self, start: int, i: int) -> bool:
        """Whether what is no thing opens a clause: "steam main", "flour"."""
        head = past(self.atoms, start, i)
        return any(p.grade == "never" and p.first == head < i and not p.led for p in self.phrases)

    def _other_topic(self, start: int) -> bool:
        """Whether the sentence turns to what is no thing before start: "now the paperwork, who knows,"."""
        first, last = sentence_bounds(self.atoms, start)
        k = past(self.atoms, first, start, OPENERS | {"then"})
        if k == first or k >= start or self.atoms[k].lower not in ("the", "our", "their", "his"):
            return first < start and self._noun_alone(first, start)
        end = next((j + 1 for j in range(k, min(k + 5, last)) if self.atoms[j].after == ","), None)
        return end is not None and not any(k <= self.phrases[n].name < start for n in self.things)

    def _told_aside(self, start: int) -> bool:
        """Whether the sentence of a clause at start tells of a new thing by "which" before: "it's held with a meter,
        which is fancy, and it's included"."""
        here = self.atoms[start].sentence
        return any(
            self.sentence(n) == here
            and self.phrases[n].article in ("a", "an")
            and self.phrases[n].last < start
            and self.atoms[self.phrases[n].last].lower == "which"
            for n in self.things
        )

    def _none_of(self, start: int, i: int) -> bool:
        """Whether a clause is of what there is none of: "no compressor in the deal, mind"."""
        head = past(self.atoms, start, i)
        return i - head > 1 and self.atoms[head].lower == "no" and not self.atoms[head].after

    def _doubted_alone(self, start: int, pronoun: str | None) -> bool:
        """Whether a doubt at start is of nothing told before, as its sentence turns to something else first: "the
        building, well, he hasn't made up his mind", "what's it worth, who knows"; or goes on with such a one."""
        atoms = self.atoms
        first, _ = sentence_bounds(atoms, start)
        named = any(first <= self.phrases[n].first < start for n in self.things)
        if self.strange is not None and self.strange == atoms[start].sentence - 1 and pronoun not in PLURAL:
            return not named  # "stock of seals, I couldn't tell you. One says this, another says that."
        head = past(atoms, first, start, OPENERS | ADVERBS)
        if head >= start:
            return False
        stop = clause_end(atoms, head)
        topic = next((p for p in self.phrases if p.first == head and p.grade == "never"), None)
        if topic is not None and (topic.last == stop or atoms[topic.last].lower in PREPOSITIONS):
            return not any(stop <= self.phrases[n].name < start for n in self.things)
        return atoms[head].lower in ASKING and pronoun in (None, "it")

    def _of_a_stranger(self, start: int, i: int) -> bool:
        """Whether a clause is about a word that no table has, the things in it only where that is: "preservative in the
        tanks goes back"."""
        head = past(self.atoms, start, i, OPENERS | {"the"})
        if head + 2 >= i or self.atoms[head + 1].lower not in ("in", "inside", "on", "from"):
            return False
        bare = self.atoms[head].lower not in ARTICLES | PRONOUNS | PREPOSITIONS | BEING | NUMBER_WORDS | LOOSE
        named = any(p.first <= head < p.last for p in (self.phrases[n] for n in self.things))
        return (
            bare
            and not named
            and any(self.phrases[n].first >= head + 1 for n in self.things if self.phrases[n].first < i)
        )

    def _known_word(self, start: int, i: int) -> list[int] | None:
        """The thing told before whose name begins with the one word before what is done; none where several do; None
        where no thing does."""
        head = past(self.atoms, start, i)
        word = self.atoms[head].lower
        if i - head != 1 or word in ARTICLES | PRONOUNS | EVERY:
            return None
        known = [p for p in self.phrases if p.last <= start and self.atoms[p.name].lower == word]
        things = [n for n in self.things if self.phrases[n].last <= start and self.phrases[n] in known]
        one = len({self.phrases[n].known for n in things}) == 1
        return (things[-1:] if one else []) if known else None

    def _bare_subject(self, start: int, i: int) -> bool:
        """Whether a word that no table has is the subject of a clause, named with an article or by a number before:
        "changeover goes", "cubicles one and four stay"."""
        head = past(self.atoms, start, i, OPENERS | ADVERBS)
        if head >= i or i - head > MANY_WORDS or self.atoms[head].lower in NO_SUBJECTS:
            return False
        word = singular(self.atoms[head].lower)
        rest = {a.lower for a in self.atoms[head + 1 : i]} <= NUMBER_WORDS | {"and"}
        named = (
            singular(b.lower) == word
            and (a.lower in ARTICLES or self.atoms[head].lower != word or a.sentence != b.sentence)
            for a, b in pairwise(self.atoms[: start + 1])
            if b.sentence != self.atoms[head].sentence
        )
        return rest and any(named)

    def _noun_alone(self, first: int, start: int) -> bool:
        """Whether one word that has an article elsewhere stands before a comma: "hooder, not ours"."""
        if self.atoms[first].after != "," or any(first <= self.phrases[n].first < start for n in self.things):
            return False
        word = self.atoms[first].lower
        return any(b.lower == word and a.lower in ARTICLES for a, b in pairwise(self.atoms[:first]))

    def _named(self, k: int) -> bool:
        """Whether a thing is known by the words around k: "the tanning ones" behind several drums."""
        return any(self.phrases[n].first <= k < self.phrases[n].last for n in self.things)

    def _kind(self, k: int, start: int) -> bool:
        """Whether the word at k says which of several "one" is: "the propane one", not "that one"."""
        return k > start and self.atoms[k - 1].lower in ("the", "that", "this") and self.atoms[k].lower not in POINTING

    def _that_and(self, start: int, group: list[int]) -> list[int]:
        """What a pronoun means that is joined to the first of a group: "that and the oil tank both go"."""
        head = past(self.atoms, start, self.phrases[group[0]].first)
        joined = self.atoms[head].lower in PRONOUNS and self.atoms[head + 1].lower == "and"
        if not joined or self.phrases[group[0]].first != head + 2:
            return []
        plural = self.atoms[head].lower in PLURAL
        return self.antecedent(start, plural=plural, singular=not plural, every=False)

    def placed(self, place: str, before: int) -> list[int]:
        """The thing of the last list that a word for its place means: "the first one goes, the other stays"."""
        here = self.atoms[before].sentence
        for sentence in (here, here - 1, here - 2):
            group = [n for n in self.within(sentence, self.things) if self.phrases[n].last <= before]
            group = [n for n in group if not self.phrases[n].led]
            if len(group) < 2:
                continue
            if place == "other":
                left = [n for n in group if n not in self.told]
                return left if len(group) == 2 and len(left) == 1 else []
            at = PLACES[place]
            return group[at : at + 1 or None] if at < len(group) else []
        return []

    def topic(self, i: int) -> list[int]:
        """The thing that a sentence begins with, where no verb stands between it and a clause without a subject.

        "Discharge conveyor, ten foot long, sixteen inch belt, included."
        """
        first, _ = sentence_bounds(self.atoms, i)
        start = clause_start(self.atoms, i)
        if start == first:
            return []
        head = past(self.atoms, first, start, OPENERS | {"also", "next", "now", "a", "the"})
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
            m for m in self.things if low <= m <= high and self.sentence(m) < here and not self.phrases[m].led
        ] + ends
