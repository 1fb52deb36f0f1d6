"""What happens to things: a cue, and the thing that it is said of, through pronouns and lists.

A cue is said of the subject of its clause: the first name there that no preposition leads. Where the clause has a
pronoun or nothing at all, the subject is looked for clause by clause backwards. Doubt beats certainty within one
sentence ("whether the chiller goes is up in the air"); of two sentences the later one stands.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from extractors.noun_phrase import Phrase
from extractors.phrases import (
    Atom,
    Finder,
    clause_end,
    clause_start,
    is_plural,
    said_text,
    sentence_bounds,
    singular,
    text_of,
)
from extractors.word_classes import Classes
from vocab import Vocabulary

MOVES = frozenset(
    (
        "go goes going stay stays staying included include includes excluded sell sells sold come comes coming "
        "sale deal leave leaves take takes keep keeps part"
    ).split()
)
BARE = frozenset(
    ("go goes going stay stays come comes coming along included excluded gone keep keeping mine ours").split()
)
"""Last words of cues that are verbs of motion or rest: such cues count only where nothing else follows ("the linen goes
in there")."""
FOLLOWS = frozenset(
    (
        "and but so too obviously of as because since for either though also if anyway probably i here "
        "put when they it that we or then unless naturally clearly "
        "except minus apart bar without whatever definitely certainly already"
    ).split()
)
MAYBE = frozenset({"maybe", "perhaps", "possibly", "whether", "if", "might", "may", "could", "probably"})
DENIED = frozenset(("not never isn't aren't won't doesn't don't ain't wasn't no neither can't cannot nothing").split())
SINGULAR = frozenset({"it", "that", "this", "he", "she", "one"})
PLURAL = frozenset({"they", "those", "these", "them", "'em", "both", "neither", "all", "ones"})
CUTS = frozenset({"but", "so", "because", "while", "since", "though", "although", "whereas", "or"})
OPENERS = frozenset({"and", "but", "so", "then", "well", "okay", "oh", "now", "whether", "if"})
NEGATIVE_ENDS = frozenset(
    ("isn't", "aren't", "is not", "are not", "'s not", "doesn't", "don't", "does not", "do not", "won't", "will not")
)
BARE_ENDS = NEGATIVE_ENDS | {"do", "does", "are", "is", "will"}
"""All that stands behind a thing of which the other way round is said: "the sprayer goes, the meter doesn't"."""
LEADS_IN = OPENERS | {"nor", "neither", "plus", "or", "is", "are", "'s", "got", "have", "has", "see"}
"""Words behind which a thing is named in a sentence that says what happens to it."""
ARTICLES = frozenset({"the", "a", "an", "this", "that", "these", "those", "our", "their", "his", "her", "my"})
MINDS = frozenset({"decided", "decide", "sure", "mind", "minds", "said", "agreed", "certain", "know"})
"""Words of a cue that tell what people think: who thinks is not what is thought about."""
TAKES = frozenset(
    {
        "throw",
        "throwing",
        "keep",
        "keeping",
        "keeps",
        "sell",
        "need",
        "lease",
        "rent",
        "count",
        "get",
        "leave",
        "have",
        "want",
    }
)
OBJECTS = frozenset({"it", "that", "this", "those", "these", "them"})
"""A cue with a verb of taking and one of these says in itself what it is said of."""
SLOT = re.compile(r"\{([^}]+)\}")
FAR = 3
"""Sentences back in which a pronoun may have its thing."""


@dataclass(frozen=True, slots=True)
class Decision:
    """A disposition of one phrase, with the atom of its cue."""

    phrase: int
    disposition: str
    reason: str | None
    at: int


@dataclass(frozen=True, slots=True)
class _Cue:
    disposition: str
    where: str
    reason: str | None
    words: str


def decide(
    atoms: Sequence[Atom], phrases: Sequence[Phrase], vocabulary: Vocabulary
) -> tuple[list[Decision], str | None]:
    """Decisions in order of their cues, and the disposition that was said of everything, if any."""
    finder = _cues(vocabulary)
    things = [
        n
        for n, p in enumerate(phrases)
        if p.grade != "never" and not p.negated and (p.grade != "generic" or p.modifiers)
    ]
    out: list[Decision] = []
    everything: str | None = None
    there: list[Decision] = []
    at_atom = {k: n for n in things for k in range(phrases[n].first, phrases[n].last)}
    i = 0
    while i < len(atoms):
        found = finder.at(atoms, i)
        if found is None:
            i += 1
            continue
        end, cue = found
        if cue.disposition == "reason":
            i += 1
            continue
        said = _weigh(atoms, i, end, cue)
        if said is None:
            i += 1
            continue
        behind = _object(atoms, phrases, things, end) if cue.where == "either" else None
        if cue.where == "either" and behind is None and not _closed(atoms, end):
            i += 1
            continue
        if cue.where == "all":
            everything = said
        elif behind is not None:
            out += [Decision(n, said, cue.reason, i) for n in _coordinated(atoms, phrases, things, behind)]
        elif said == "included" and cue.where == "before" and _of_all(atoms, i):
            scope = _place(atoms, phrases, i)
            if scope is None:
                everything = said
            else:
                there += [
                    Decision(n, said, "said of all that is there", i) for n in _there(atoms, phrases, things, scope)
                ]
        elif cue.where == "after":
            target = next(
                (
                    at_atom[k]
                    for k in range(end - 1, min(end + 5, len(atoms)))
                    if k in at_atom and atoms[k].sentence == atoms[i].sentence
                ),
                None,
            )
            if target is not None:
                group = _coordinated(atoms, phrases, things, target)
                earlier = out[-1] if out else None
                if said == "same":
                    if earlier is None or atoms[i].sentence - atoms[earlier.at].sentence > 1:
                        i = end
                        continue
                    out += [Decision(n, earlier.disposition, earlier.reason, i) for n in group]
                else:
                    out += [Decision(n, said, cue.reason, i) for n in group]
        else:
            if said == "gone" and not _stands_before(atoms, phrases, things, i):
                i = end
                continue
            reason = cue.reason or _reason(atoms, i, end, finder)
            out += [
                Decision(n, said, reason, i)
                for n in _subject(
                    atoms, phrases, things, i, end, weak=cue.where == "weak", taking=cue.where == "either"
                )
            ]
        i = end
    told = {phrases[d.phrase].known for d in out}
    there = [d for d in there if phrases[d.phrase].known not in told]  # what was said of one thing itself stands
    return _settled(atoms, [*there, *out, *_flipped(atoms, phrases, things, out)]), everything


def unnamed_things(atoms: Sequence[Atom], phrases: Sequence[Phrase], vocabulary: Vocabulary) -> list[Phrase]:
    """Things that no table has, where a cue says what happens to them: "the roll feed was sold last month".

    They are looked for in sentences with a cue, where a subject, an object or a bare topic would stand: behind an
    article, at most four words that could be a name, and then a stop, "and", a helping verb, a person or the cue.
    """
    finder, classes, strangers = _cues(vocabulary), _classes(vocabulary), _strangers(vocabulary)
    # "the lab bench": what is never a thing may well be the first word of one
    taken = {k for p in phrases for k in range(p.first, p.last) if p.grade != "never"}
    never = {p.last - 1 for p in phrases if p.grade == "never"}
    cues: dict[int, int] = {}
    i = 0
    while i < len(atoms):
        found = None if i in taken or atoms[i].aside else finder.at(atoms, i)
        if found is None or found[1].disposition in ("reason", "gone") or _weigh(atoms, i, *found) is None:
            i += 1
            continue
        cues[i] = found[0]
        i = found[0]
    spoken = {atoms[i].sentence for i in cues}
    ends = set(cues.values())
    out: list[Phrase] = []
    for k in range(len(atoms) - 1):
        if atoms[k].lower not in ARTICLES or atoms[k].sentence not in spoken or atoms[k].after or k in taken:
            continue
        opens = k == 0 or k in ends or k + 1 in ends or bool(atoms[k - 1].after)
        if not opens and atoms[k - 1].lower not in LEADS_IN:
            continue
        last = _name_end(atoms, k + 1, cues, classes)
        if last is None or any(j in taken for j in range(k + 1, last)):
            continue
        if last - 1 in never:
            continue
        head = atoms[last - 1].lower
        words = {a.lower for a in atoms[k + 1 : last]}
        if words & strangers or (classes.of(head) not in ("content", "name") and not head.endswith("feed")):
            continue
        modifiers = tuple(a.lower for a in atoms[k + 1 : last - 1])
        text = text_of(atoms, k + 1, last)
        plural = is_plural(head)
        article = atoms[k].lower
        out.append(
            Phrase(
                k,
                k + 1,
                last - 1,
                last,
                "open",
                singular(head),
                text,
                article=article,
                modifiers=modifiers,
                plural=plural,
            )
        )
    return out


def _name_end(atoms: Sequence[Atom], first: int, cues: Mapping[int, int], classes: Classes) -> int | None:
    """End (excluded) of a name that begins at first; None where the words there are no name."""
    for k in range(first, min(first + 5, len(atoms))):
        lower = atoms[k].lower
        kind = classes.of(lower)
        ended = k > first and (
            k in cues
            or kind in ("helps", "joins")
            or lower in ("'s", "'re", "'ll", "i", "we", "they", "you", "too", "that", "also", "over", "there")
        )
        if ended:
            return k
        if kind not in ("content", "name", "acts", "describes", "unit") or lower.endswith("ly") or k - first >= 4:
            return None
        if atoms[k].after:
            return k + 1
    return None


@lru_cache(maxsize=16)
def _strangers(vocabulary: Vocabulary) -> frozenset[str]:
    """Words of people and of the sale itself: what they name is not sold."""
    rows = {r["slot"]: r["words"] for r in vocabulary["disposition_slots"]}
    return frozenset(words.split()[-1] for slot in ("deal", "people", "strangers") for words in rows[slot])


def _stands_before(atoms: Sequence[Atom], phrases: Sequence[Phrase], things: list[int], i: int) -> bool:
    """Whether what is gone is the thing itself, named right before, and not one of several."""
    start = clause_start(atoms, i)
    if {"one", "some", "two", "three", "of"} & {a.lower for a in atoms[start:i]}:
        return False
    return any(start <= phrases[n].first < i for n in things)


def _flipped(
    atoms: Sequence[Atom], phrases: Sequence[Phrase], things: list[int], out: list[Decision]
) -> list[Decision]:
    """ "The fans don't go, but the two air units do": the other way round for what stands before a bare verb."""
    more = []
    other = {"included": "excluded", "excluded": "included"}
    for n in things:
        k = phrases[n].last
        if k >= len(atoms) or atoms[phrases[n].name].sentence != atoms[k].sentence:
            continue
        earlier = [d for d in out if d.at < phrases[n].first and atoms[d.at].sentence == atoms[k].sentence]
        if not earlier:
            continue
        last = earlier[-1].disposition
        stop = clause_end(atoms, k)
        verb = " ".join(a.lower for a in atoms[k:stop])
        start = clause_start(atoms, phrases[n].first)
        before = [a.lower for a in atoms[start : phrases[n].first]]
        if atoms[k - 1].after or verb in ("too", "as well", "also", "likewise"):
            # "the cart comes with it, and the bolster as well", "the cabinet goes, but not the tank"
            if before in (["and"], ["and", "also"], ["also"], ["plus"]) and (verb in ("too", "as well", "also")):
                more.append(Decision(n, last, earlier[-1].reason, k))
            elif before == ["but", "not"] and last in other:
                more.append(Decision(n, other[last], None, k))
        elif verb in NEGATIVE_ENDS and last == "included":
            more.append(Decision(n, "excluded", None, k))
        elif verb in BARE_ENDS and last in other and "but" in before:
            more.append(Decision(n, other[last], None, k))
    return more


def _object(atoms: Sequence[Atom], phrases: Sequence[Phrase], things: list[int], end: int) -> int | None:
    """The thing right behind a cue of taking: "we're keeping the jaws"."""
    if end >= len(atoms) or atoms[end - 1].after:
        return None
    stop = clause_end(atoms, end)
    return next((n for n in things if phrases[n].first <= end + 1 and end <= phrases[n].name < stop), None)


def _closed(atoms: Sequence[Atom], end: int) -> bool:
    """Whether nothing that could be an object follows a cue of taking, but for a pronoun."""
    if end >= len(atoms) or atoms[end - 1].after or atoms[end].lower in FOLLOWS | OBJECTS | PLURAL:
        return True
    return atoms[end].lower in ("for", "as", "with", "out", "in", "back", "too", "over") or atoms[end].lower == "one"


def _of_all(atoms: Sequence[Atom], i: int) -> bool:
    """Whether the subject before the cue at i is everything: "all of this", "everything on the skid"."""
    words = [a.lower for a in atoms[clause_start(atoms, i) : i]]
    while words and words[0] in OPENERS:
        words = words[1:]
    return words[:1] == ["everything"] or (words[:2] == ["all", "of"] and words[2:3] in (["this"], ["it"], ["that"]))


def _place(atoms: Sequence[Atom], phrases: Sequence[Phrase], i: int) -> str | None:
    """The thing on or in which everything is that goes ("everything on the skid"); None for the whole."""
    start = clause_start(atoms, i)
    led = [p for p in phrases if start <= p.first < i and p.led and p.grade != "site"]
    return led[-1].heads[-1] if led else None


def _there(atoms: Sequence[Atom], phrases: Sequence[Phrase], things: list[int], place: str) -> list[int]:
    """The things named in the sentences that speak of a place: "on the skid you've got a tank and a pump"."""
    said = {atoms[p.name].sentence for p in phrases if p.heads[-1] == place}
    return [n for n in things if atoms[phrases[n].name].sentence in said]


def _weigh(atoms: Sequence[Atom], i: int, end: int, cue: _Cue) -> str | None:
    """The disposition that the cue says here, or None where its words say something else."""
    first, last = sentence_bounds(atoms, i)
    near = {a.lower for a in atoms[first:last]}
    tail = [a.lower for a in atoms[end : end + 2]] if not atoms[end - 1].after else []
    if cue.words in ("stays", "stay") and tail[:1] in (["on"], ["in"], ["at"], ["under"]):
        return "excluded" if tail[1:] in (["the"], ["that"], ["this"], ["its"]) else None
    if (
        cue.where == "before"
        and cue.words.split()[-1] in BARE
        and not (atoms[end - 1].after or end >= last or atoms[end].lower in FOLLOWS)
    ):
        return None
    if (
        cue.words in ("goes with the", "go with the")
        and end < len(atoms)
        and atoms[end].lower in ("flow", "grain", "wind")
    ):
        return None
    if (
        i
        and atoms[i - 1].lower in ("we", "i", "you", "he", "she")
        and not atoms[i - 1].after
        and atoms[i].lower in ("go", "goes", "come", "comes", "stay", "stays")
    ):
        return None  # "we go with the water" is about people
    if cue.where == "weak":
        start = clause_start(atoms, i)
        topic = start == i and i > first and i - clause_start(atoms, i - 1) <= 5
        if not (near & MOVES) and not topic:
            return None
        if topic and not (near & MOVES) and clause_end(atoms, i) - i > 5:
            return None
    start = clause_start(atoms, i)
    before = [a.lower for a in atoms[start:i]]
    if cue.disposition == "included" and cue.where == "before":
        if set(before) & MAYBE:
            return "uncertain"
        if "neither" in before or set(before[-3:]) & DENIED or any(w.endswith("n't") for w in before[-3:]):
            return "excluded"
    if cue.where == "either" and set(before[-4:]) & MAYBE:
        return "uncertain"
    if cue.disposition == "excluded" and set(before) & MAYBE and cue.reason is None and "not" not in cue.words:
        return "uncertain"
    return cue.disposition


def _subject(
    atoms: Sequence[Atom],
    phrases: Sequence[Phrase],
    things: list[int],
    i: int,
    end: int,
    *,
    weak: bool = False,
    taking: bool = False,
) -> list[int]:
    """The phrases that a cue at atoms i to end is said of."""
    start = clause_start(atoms, i)
    for k in range(i - 1, start - 1, -1):
        anew = (
            atoms[k].lower == "and" and atoms[k + 1].lower in SINGULAR | PLURAL
        )  # "... off a house compressor and that's not included"
        if (atoms[k].lower in CUTS or anew) and k > start:
            start = k + 1
            break
    minded = bool(MINDS & {a.lower for a in atoms[i:end]})
    if (weak or minded) and i > start and atoms[i - 1].lower in ("they", "he", "she", "we", "you", "i"):
        start = i  # "they have to ask": who asks is not what is asked about
    agent = (
        atoms[i].lower in ("they", "we", "he", "she", "i", "you")
        and i + 1 < end
        and atoms[i + 1].lower not in ("go", "stay", "come", "'re", "are", "both")
    )
    here = {a.lower for a in atoms[i : min(end + 1, len(atoms))]}
    taken = taking or (TAKES & {a.lower for a in atoms[i:end]} and OBJECTS & {a.lower for a in atoms[i:end]})
    if taken:  # "they'll throw that in": what is thrown in, not who throws
        many = bool({"those", "these", "them", "both"} & here)
        held = [n for n in things if start <= phrases[n].first < i]
        return (
            _direct(atoms, phrases, things, held)
            if held
            else _antecedent(atoms, phrases, things, start, plural=many, singular=not many, every=False)
        )
    words = [a.lower for k, a in enumerate(atoms[start:end], start) if not (agent and k == i)]
    inside = [n for n in things if start <= phrases[n].first < i or start <= phrases[n].name < i]
    pronoun = next((w for w in words if w in SINGULAR or w in PLURAL), None)
    subject_at = next(
        (
            k
            for k in range(start, end)
            if atoms[k].lower in SINGULAR | PLURAL
            and not (agent and k == i)
            # "that robot", "neither the pump nor the tank" and "both the tanks" are no pronouns
            and not any(phrases[n].first <= k < phrases[n].last for n in inside)
            and not (inside and atoms[k].lower in ("neither", "both", "all"))
        ),
        end,
    )
    if inside and phrases[inside[0]].name < subject_at:
        # "it comes off a house compressor and that's not included" is one clause without a comma
        cut = next((k for k in range(i - 1, phrases[inside[0]].last - 1, -1) if atoms[k].lower == "and"), None)
        if cut is not None and any(atoms[k].lower in SINGULAR | PLURAL for k in range(cut, min(end, len(atoms)))):
            return _direct(atoms, phrases, things, inside)
        if (
            cut is not None
            and (later := [n for n in inside if phrases[n].first >= cut])
            and _verb_between(atoms, phrases[inside[0]].last, cut)
        ):
            return _direct(atoms, phrases, things, later)
        return _direct(atoms, phrases, things, inside)
    opening = next((w for w in words if w not in OPENERS), "")
    if not pronoun and not minded and not weak and not inside and opening in ARTICLES and i - start > 1:
        return []  # "the kitchen isn't for sale": a subject of its own that is no thing
    head, _ = sentence_bounds(atoms, start)
    while head < start and atoms[head].lower in OPENERS:
        head += 1
    if pronoun is not None and head < start and atoms[head].lower == pronoun:
        start = head  # "it's shared with the other press so it can't go" is one thing throughout
    plural = pronoun in PLURAL
    return _antecedent(
        atoms,
        phrases,
        things,
        start,
        plural=plural,
        singular=pronoun in SINGULAR,
        every=bool({"all", "both", "neither"} & set(words)),
    )


def _verb_between(atoms: Sequence[Atom], first: int, last: int) -> bool:
    return any(
        atoms[k].lower in ("is", "'s", "are", "was", "has", "have", "stays", "goes", "runs", "comes")
        for k in range(first, last)
    )


def _direct(atoms: Sequence[Atom], phrases: Sequence[Phrase], things: list[int], group: list[int]) -> list[int]:
    """The subjects among the phrases of one clause: those that no preposition leads."""
    free = [n for n in group if not phrases[n].led]
    if not free:
        return group[:1]
    return [*_listed_before(atoms, phrases, things, free[0]), *free]


def _listed_before(atoms: Sequence[Atom], phrases: Sequence[Phrase], things: list[int], target: int) -> list[int]:
    """The first things of a list whose last ones stand before the cue: "the vise, the chuck and the rest all go"."""
    out: list[int] = []
    at = phrases[target].first
    for n in reversed(things[: things.index(target)]):
        between = {a.lower for a in atoms[phrases[n].last : at]}
        if atoms[phrases[n].name].sentence != atoms[at].sentence or not between <= {"and", "or", "also", "plus"}:
            break
        out.insert(0, n)
        at = phrases[n].first
    first, _ = sentence_bounds(atoms, at)
    # "we're keeping the bars, the chuck goes": a list begins its sentence, or it is none
    return out if all(a.lower in OPENERS | {"neither"} for a in atoms[first:at]) else []


def _antecedent(
    atoms: Sequence[Atom],
    phrases: Sequence[Phrase],
    things: list[int],
    before: int,
    *,
    plural: bool,
    singular: bool,
    every: bool,
) -> list[int]:
    """What a pronoun, or a clause without subject, points back at: clause by clause, then sentence by sentence."""
    here = atoms[min(before, len(atoms) - 1)].sentence
    earlier = [n for n in things if phrases[n].last <= before and here - atoms[phrases[n].name].sentence <= FAR]
    if not earlier:
        return []
    if every or plural:
        sentences = sorted({atoms[phrases[n].name].sentence for n in earlier}, reverse=True)
        for s in sentences:
            group = [n for n in earlier if atoms[phrases[n].name].sentence == s]
            free = [n for n in group if not phrases[n].led] or group
            many = [n for n in free if phrases[n].plural or (phrases[n].count or 0) > 1]
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
                        if n < free[0] and not phrases[n].led and phrases[n].grade in ("machine", "open")
                    ]
                )
            ):
                return [*_same_noun(phrases, before_[-1], earlier), *free]
            if many or len(free) >= 2:
                heads = {phrases[n].heads[-1] for n in many}
                kin = [
                    n for n in free if n not in many and phrases[n].heads[-1] in heads
                ]  # "two bins, a clay bin and a coal bin"
                chosen = sorted([*many, *kin]) or free
                if every and s - 1 in sentences:
                    chosen += [
                        n
                        for n in earlier
                        if atoms[phrases[n].name].sentence == s - 1 and not phrases[n].led and phrases[n].plural
                    ]
                return chosen
        return earlier[-1:]
    last = earlier[-1]
    if (
        phrases[last].grade == "part"
        and not phrases[last].article
        and phrases[last].count is None
        and (atoms[phrases[last].name].sentence != here or before - phrases[last].last > 2)
    ):
        machines = [n for n in earlier if phrases[n].grade != "part" and here - atoms[phrases[n].name].sentence <= 2]
        earlier = machines or earlier
    by_clause: dict[int, list[int]] = {}
    for n in earlier:
        by_clause.setdefault(clause_start(atoms, phrases[n].name), []).append(n)
    for start in sorted(by_clause, reverse=True):
        group = by_clause[start]
        free = [n for n in group if not phrases[n].led]
        named = [n for n in free if phrases[n].grade in ("machine", "open", "site", "generic")]
        chosen = named or free
        if singular and (single := [n for n in chosen if not phrases[n].plural]):
            chosen = single
        if chosen:
            return chosen[:1] if len(chosen) == 1 or singular else chosen[-1:]
        same = [n for n in earlier if atoms[phrases[n].name].sentence == here and not phrases[n].led]
        if (
            not same
            and start == max(by_clause)
            and before - phrases[group[-1]].last <= 3
            and phrases[group[-1]].grade != "part"
        ):
            return group[-1:]
    return earlier[-1:]


def _same_noun(phrases: Sequence[Phrase], n: int, earlier: list[int]) -> list[int]:
    """A phrase, and the one before it that has the same noun ("Kiln's out back. Two track kiln.")."""
    return [m for m in earlier if m <= n and phrases[m].heads[-1] == phrases[n].heads[-1]]


def _coordinated(atoms: Sequence[Atom], phrases: Sequence[Phrase], things: list[int], target: int) -> list[int]:
    """The phrase and those joined to it by "and" or commas."""
    out = [target]
    for n in things[things.index(target) + 1 :]:
        between = [a.lower for a in atoms[phrases[out[-1]].last : phrases[n].first]]
        if atoms[phrases[n].name].sentence != atoms[phrases[target].name].sentence or not set(between) <= {
            "and",
            "or",
            "also",
            "plus",
        }:
            break
        out.append(n)
    return out


def _reason(atoms: Sequence[Atom], i: int, end: int, finder: Finder[_Cue]) -> str | None:
    """The clause that says why, right behind the cue's own or right before it."""
    start = clause_end(atoms, end - 1)
    for k0 in (start, clause_end(atoms, start) if start < len(atoms) else start):
        if k0 >= len(atoms) or atoms[k0].sentence - atoms[i].sentence > 1:
            continue
        k1 = clause_end(atoms, k0)
        found = [f for k in range(k0, k1) if (f := finder.at(atoms, k)) is not None]
        if any(f[1].disposition == "reason" or f[1].reason for f in found) or atoms[k0].lower == "because":
            return said_text(atoms, k0, min(k1, k0 + 14))
    return None


def _settled(atoms: Sequence[Atom], decisions: list[Decision]) -> list[Decision]:
    """One decision for each phrase."""
    order = {"included": 0, "excluded": 1, "uncertain": 2, "gone": 3}
    best: dict[int, Decision] = {}
    for d in decisions:
        old = best.get(d.phrase)
        if old is None:
            best[d.phrase] = d
        elif atoms[old.at].sentence == atoms[d.at].sentence:
            if order[d.disposition] > order[old.disposition]:
                best[d.phrase] = d
        else:
            best[d.phrase] = d
    return list(best.values())


def _spelt_out(spoken: str, slots: Mapping[str, tuple[str, ...]]) -> Iterator[str]:
    """Every form that a spoken form with slots stands for: "{be} sold" gives "is sold", "are sold" and so on."""
    opened = SLOT.search(spoken)
    if opened is None:
        yield " ".join(spoken.split())
        return
    for word in slots[opened.group(1)]:
        yield from _spelt_out(spoken[: opened.start()] + word + spoken[opened.end() :], slots)


@lru_cache(maxsize=16)
def _cues(vocabulary: Vocabulary) -> Finder[_Cue]:
    slots = {row["slot"]: tuple(row["words"]) for row in vocabulary["disposition_slots"]}
    rows = [
        (form, _Cue(row["disposition"], row["where"], row["reason"], form))
        for row in vocabulary["dispositions"]
        for spoken in row["spoken"]
        for form in _spelt_out(spoken, slots)
    ]
    return Finder(rows, nouns=False)


@lru_cache(maxsize=16)
def _classes(vocabulary: Vocabulary) -> Classes:
    return Classes(vocabulary)
