"""Things that no table has, where a cue says what happens to them: "the roll feed was sold last month".

They are looked for only in sentences with a cue of disposition, at the places where a subject, an object or a bare
topic would stand: first in the sentence, behind an article, behind a cue that takes an object, and in a list whose
other members are things.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

from extractors.disposition_cues import cues as find_cues
from extractors.disposition_frames import Cue
from extractors.disposition_targets import HAVING
from extractors.disposition_weighing import cue_at
from extractors.disposition_words import (
    ARTICLES,
    BEING,
    LEADS_IN,
    NEGATIVE_ENDS,
    OBJECTS,
    OPENERS,
    OWNERS,
    VERBS,
)
from extractors.noun_phrase import PLAIN, PREPOSITIONS, Numbers, Phrase
from extractors.phrases import Atom, clause_end, clause_start, is_plural, sentence_bounds, singular, text_of
from extractors.word_classes import classes_of
from vocab import Vocabulary

TAKERS = frozenset({"either", "order", "after"})
"""Cues that have their thing behind them."""
JOINERS = frozenset({"and", "or", "plus", "also", "then", "the", "a", "all"})
LEADERS = (
    "there is", "there 's", "there are", "there was", "we have", "we 've got", "we got", "you have", "you 've got",
    "you got", "they have", "they 've got", "next to it", "next to that", "beside it", "behind it", "and then",
    "what else",
    "over here", "over there", "this is", "that is", "that 's", "here is", "here 's", "here are", "as for", "for",
)  # fmt: skip
"""Words between the beginning of a sentence and the first thing in it."""
ENDS = frozenset(
    ("'s 're 'll i we they you he she it too that this also over there here both all itself themselves").split()
)
POSSESSIVES = OWNERS | {"yours"}
HELPING = frozenset({"has", "have", "was", "were", "will", "'ll", "would"})
SHORT = 8
"""Words of a sentence that names a thing and says nothing of it, at most."""
MANY = frozenset({"all", "both", "some", "many", "few", "several", "plenty"})


class Unnamed:
    """Finds the things without a name of one transcript, in the order of their words."""

    def __init__(
        self,
        atoms: Sequence[Atom],
        numbers: Numbers,
        measured: Mapping[int, int],
        phrases: Sequence[Phrase],
        listed: frozenset[int],
        vocabulary: Vocabulary,
    ) -> None:
        self.atoms, self.numbers, self.measured = atoms, numbers, measured
        self.classes, (self.strangers, self.people) = classes_of(vocabulary), _strangers(vocabulary)
        self.never = {p.last - 1 for p in phrases if p.grade == "never" and p.known not in CARRIED}
        self.ends = {p.last for p in phrases if p.grade != "never"}
        # "the lab bench": what is never a thing may well be the first word of one
        self.name_ends = {k: p.last for p in phrases if p.grade != "never" for k in range(p.first, p.last)}
        self.cues = self._cues(vocabulary)
        self.objects = {end for end, cue in self.cues.values() if cue.where in TAKERS}
        self.listed = listed
        """Atoms of lists under a heading: what goes, what stays."""
        self.topics = self._topics()

    def _cues(self, vocabulary: Vocabulary) -> dict[int, tuple[int, Cue]]:
        finder, out, i = find_cues(vocabulary), dict[int, tuple[int, Cue]](), 0
        while i < len(self.atoms):
            found = None if self.atoms[i].aside else cue_at(self.atoms, i, finder, self.classes)
            # "keep plate" is a name; "price covers the pusher" is none, whatever it was taken for
            within = found is not None and found[0] < self.name_ends.get(i, 0)
            if found is None or within or found[1].disposition == "gone":
                i += 1
                continue
            out[i] = found[:2]
            i = found[0]
        return out

    def _topics(self) -> frozenset[int]:
        """Sentences without a verb right before one that is a cue and no more: "Briquetter by the fence. Not ours."."""
        out = set()
        for i, (end, _) in self.cues.items():
            first, last = sentence_bounds(self.atoms, i)
            if end < last or any(self.atoms[k].lower not in OPENERS | BEING for k in range(first, i)) or not first:
                continue
            start, stop = sentence_bounds(self.atoms, first - 1)
            if stop - start <= SHORT and not {a.lower for a in self.atoms[start:stop]} & VERBS:
                out.add(self.atoms[start].sentence)
        return frozenset(out)

    def _the_other_way(self, spoken: set[int]) -> set[int]:
        """Sentences behind those that begin with a name and a bare verb: "The shovel isn't, that's my nephew's"."""
        out, first = set[int](), 0
        while first < len(self.atoms):
            first, last = sentence_bounds(self.atoms, first)
            stop, sentence = clause_end(self.atoms, first), self.atoms[first].sentence
            words = [a.lower for a in self.atoms[first:stop]]
            tail = {" ".join(words[-n:]) for n in (1, 2)}
            if (
                1 < len(words) <= SHORT
                and tail & (NEGATIVE_ENDS | {"might", "may"})
                and (sentence - 1 in spoken or sentence - 1 in out)
            ):
                out.add(sentence)
            first = last
        return out

    def all(self) -> list[Phrase]:
        spoken = (
            {self.atoms[i].sentence for i in self.cues} | {self.atoms[k].sentence for k in self.listed} | self.topics
        )
        spoken |= self._the_other_way(spoken)
        behind = {end for end, cue in self.cues.values()}
        # "it's the county's problem": the words of a possessive cue name no thing
        within = {k for i, (end, cue) in self.cues.items() if cue.words == "is another's" for k in range(i, end)}
        out: list[Phrase] = []
        k = 0
        while k < len(self.atoms):
            found = None
            if (
                self.atoms[k].sentence in spoken
                and k not in self.name_ends
                and k not in within
                and not self.atoms[k].aside
            ):
                topic = (
                    self._opens(k)
                    or (k - 1 not in self.listed and k in self.listed)
                    or k in self.objects
                    or self._listed(k)
                )
                article = self.atoms[k].lower in ARTICLES and (
                    k == 0
                    or k in behind
                    or k + 1 in behind
                    or bool(self.atoms[k - 1].after)
                    or self.atoms[k - 1].lower in LEADS_IN
                )
                behind_article = k in self.objects and self.atoms[k - 1].lower in ARTICLES  # "but not the eyewash"
                if topic or article:
                    found = self._phrase(k, bare=topic and not article and not behind_article)
            if found is None:
                k += 1
                continue
            out.append(found)
            self.ends.add(found.last)
            k = found.last
        return out

    def _opens(self, k: int) -> bool:
        """Whether atom k is the first of its sentence that could belong to a name."""
        first, _ = sentence_bounds(self.atoms, k)
        words = " ".join(a.lower for a in self.atoms[first:k])
        while words:
            head, _, rest = words.partition(" ")
            lead = next((w for w in LEADERS if words == w or words.startswith(w + " ")), None)
            if lead is not None:
                words = words[len(lead) :].lstrip()
            elif self.classes.of(head) in ("joins", "fills", "answers") or head in ("also", "oh", "okay", "and"):
                words = rest
            else:
                return False
        return True

    def _listed(self, k: int) -> bool:
        """Whether atom k goes on with a list of things."""
        j = k
        while (
            j > 0 and self.atoms[j - 1].lower in JOINERS and j not in self.ends and self.atoms[j - 1].after in ("", ",")
        ):
            j -= 1
        return j in self.ends and (j < k or self.atoms[k - 1].after == ",")

    def _phrase(self, k: int, *, bare: bool) -> Phrase | None:
        """The thing whose phrase begins at k: at most four words that could be a name, ended by what ends one."""
        atoms, first, count, article = self.atoms, k, None, ""
        if atoms[k].lower in ARTICLES:
            article, first = atoms[k].lower, k + 1
        elif bare and atoms[k].lower in MANY:
            article = "both" if atoms[k].lower == "both" else ""
            first = k + 2 if k + 1 < len(atoms) and atoms[k + 1].lower in ("the", "of") else k + 1
            first += first < len(atoms) and atoms[first].lower == "the"
        if first in self.numbers and first not in self.measured and not atoms[first].after:
            end, value, top, form = self.numbers[first]
            if form not in ("cardinal", "digits") or top is not None or value != int(value) or not 1 <= value <= 2000:
                return None
            count, first, bare = int(value), end, False
        if first < len(atoms) and first in self.cues:
            return None
        if first > k and atoms[first - 1].lower == "one" and atoms[k].lower in ("that", "this"):
            return None  # "that one belongs with it"
        heads = bare and first == k and atoms[k].after == "," and is_plural(atoms[k].lower)  # "Pallets, about 40, go"
        if first >= len(atoms) or (atoms[k].after and not heads) or (first > k and atoms[first - 1].after):
            return None
        last = self._end(first)
        if (
            last is None
            or any(j in self.name_ends for j in range(first, last))
            or (last - 1 in self.never and (last - first == 1 or atoms[last - 1].lower not in SHARED))
        ):
            return None
        while first < last - 1 and atoms[first].lower in PLAIN:
            first += 1
        head = atoms[last - 1].lower
        if head in POSSESSIVES:
            return None  # "that's all yours"
        words = {a.lower for a in atoms[first:last]}
        kind = self.classes.of(head)
        named = " ".join(a.lower for a in atoms[first:last])
        shared = (singular(head) in SHARED and last - first > 1) or named in CARRIED  # "bunker walls", "control room"
        if (
            not atoms[last - 1].after
            and last in self.cues
            and (
                self.cues[last][1].where in ("either", "weak")
                or (atoms[last].lower in HAVING and atoms[last + 1].lower in OBJECTS)
            )
        ):
            return None  # "the county might want it": who wants is not what is wanted
        if any(len(w) == 1 and w.isalpha() for w in words):
            return None  # "one set of rolls, B flute": a designation
        if (
            words & self.people
            or (not shared and {head, singular(head)} & self.strangers)
            or (
                kind not in ("content", "name")
                and not head.endswith("feed")
                and not (kind == "acts" and article in ("the", "a", "an"))
            )
        ):
            return None
        plural = is_plural(head)
        if article in ("these", "those") and not plural:
            return None  # "those unbolt"
        listed = (k in self.listed or atoms[k].sentence in self.topics) and (atoms[last - 1].after or self._leads(last))
        if bare and last - first == 1 and not (plural or listed or (last in self.cues and not article)):
            return None  # one word alone is a thing only where it is said of several, or right before what is said
        if bare and not atoms[last - 1].after and last not in self.cues and not listed and not self._stated(last):
            return None
        told = last < len(atoms) and (atoms[last].lower in BEING | HELPING or last in self.cues)
        noun = (article in ("the", "a", "an") or bool(count)) and (
            bool(atoms[last - 1].after) or (told and (head.endswith("ing") or shared))
        )  # "an outboard support, and both go", "the racking has been promised", "the argon supply is leased"
        verb = self.classes.of(singular(head)) == "acts" and not head.endswith("feed") and not noun
        bare_object = k in self.objects and atoms[k - 1].lower not in ARTICLES and not article
        if verb or (bare_object and atoms[first].lower.endswith("ing")):
            return None  # "the binder calls it", "we keep losing pressure"
        if (head.endswith(("ness", "ity", "ance", "ment", "ly")) and len(head) > 6) or len(head) < 3:
            return None
        modifiers = tuple(a.lower for a in atoms[first : last - 1])
        return Phrase(
            k, first, last - 1, last, "open", singular(head), text_of(atoms, first, last), count,
            article=article, modifiers=modifiers, plural=plural,
        )  # fmt: skip

    def _leads(self, k: int) -> bool:
        """Whether a word of place stands at k: "briquetter by the fence"."""
        return k < len(self.atoms) and self.atoms[k].lower in PREPOSITIONS

    def _stated(self, k: int) -> bool:
        return k < len(self.atoms) and (
            self.classes.of(self.atoms[k].lower) in ("helps", "leads") or self.atoms[k].lower in ENDS
        )

    def _end(self, first: int) -> int | None:
        """End (excluded) of a name that begins at first; None where the words there are no name."""
        for k in range(first, min(first + 5, len(self.atoms))):
            lower = self.atoms[k].lower
            kind = self.classes.of(lower)
            if k > first and (k in self.cues or kind in ("helps", "joins", "leads") or lower in ENDS):
                return k
            if (
                kind not in ("content", "name", "acts", "describes", "unit")
                or (lower.endswith("ly") and lower not in SHARED)
                or k - first >= 4
            ):
                return None
            if self.atoms[k].after:
                return k + 1
        return None


SHARED = frozenset(
    "car truck trailer plant supply system line block section house bay row wall steel rig kitchen shed".split()
)
"""Heads of names of places and stuff that with a word before them name a thing: "charge car", "argon supply"."""
CARRIED = frozenset(
    (
        "box can pallet carton case bottle jar tote label manual drawing certificate logbook wall pit sand salt zinc "
        "concrete ammonia refrigerant glycol media van spring mold chemical glue paint powder oil film board sheet "
        "casting"
    ).split()
) | {"log book", "control room", "machine room"}
"""Names that are mostly no things, and are where somebody says that they stay or go."""


def unnamed_things(
    atoms: Sequence[Atom],
    numbers: Numbers,
    measured: Mapping[int, int],
    phrases: Sequence[Phrase],
    listed: frozenset[int],
    vocabulary: Vocabulary,
) -> list[Phrase]:
    """Phrases for things that no table has, where a cue says what happens to them, and for those that are excepted;
    `listed` are the atoms of lists under a heading of what goes or stays."""
    kept = [replace(p, negated=False) for p in phrases if p.negated and p.grade != "never" and _spared(atoms, p)]
    unnamed = Unnamed(atoms, numbers, measured, phrases, listed, vocabulary)
    spoken = {atoms[i].sentence for i in unnamed.cues}
    kept += [
        replace(p, grade="generic")
        for n, p in enumerate(phrases)
        if p.grade == "whole" and p.modifiers and atoms[p.name].sentence in spoken and _one_of_a_list(atoms, phrases, n)
    ]
    return [*unnamed.all(), *kept]


def _one_of_a_list(atoms: Sequence[Atom], phrases: Sequence[Phrase], n: int) -> bool:
    """Whether a name of a whole is joined by "and" to a thing: "the drying tunnel and the two conveyors go"."""
    end = phrases[n].last
    behind = next((p for p in phrases[n + 1 :] if p.first == end + 1 and p.grade not in ("never", "whole")), None)
    joined = end < len(atoms) and atoms[end].lower == "and" and not atoms[end - 1].after
    return joined and behind is not None


def _spared(atoms: Sequence[Atom], phrase: Phrase) -> bool:
    """Whether "not" before a name excepts the thing, and does not deny that there is one: "not the sink"."""
    at = phrase.first - 1
    if (
        at < 0
        or atoms[at].lower != "not"
        or phrase.article not in ("the", "this", "that", "these", "those", "our", "my")
    ):
        return False
    start = clause_start(atoms, at)
    return all(a.lower in OPENERS | {"just", "only"} for a in atoms[start:at])


@lru_cache(maxsize=16)
def _strangers(vocabulary: Vocabulary) -> tuple[frozenset[str], frozenset[str]]:
    """Heads that name no thing that is sold, and words of people, which stand in no such name at all."""
    rows = {r["slot"]: r["words"] for r in vocabulary["disposition_slots"]}
    people = {n for r in vocabulary["components"] if r["trade"] == "people" for n in r["names"]}
    people |= {words.split()[-1] for words in rows["people"]}
    return frozenset(words.split()[-1] for slot in ("deal", "strangers") for words in rows[slot]), frozenset(people)
