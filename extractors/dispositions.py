"""What happens to things: a cue, and the thing that it is said of, through pronouns and lists.

A cue is said of the subject of its clause: the first name there that no preposition leads. Where the clause has a
pronoun or nothing at all, the subject is looked for clause by clause backwards. Doubt beats certainty within one
sentence ("whether the chiller goes is up in the air"); of two sentences the later one stands.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from extractors.disposition_clauses import closed, past
from extractors.disposition_cues import CueFinder, Decision, cues
from extractors.disposition_ellipses import elliptic
from extractors.disposition_exceptions import all_but
from extractors.disposition_frames import Cue
from extractors.disposition_lists import Listing, for_the_buyer, side
from extractors.disposition_rows import answered, of_a_row, row_before, row_of
from extractors.disposition_targets import Targets
from extractors.disposition_things import held, holds, known_again, said_again, specific, to_a_thing
from extractors.disposition_weighing import cue_at, of_all
from extractors.disposition_words import (
    ADVERBS,
    ARTICLES,
    BEING,
    FOLLOWS,
    GUESSES,
    OPENERS,
    OPPOSITE,
    OWNERS,
    PRONOUNS,
    SAYING,
)
from extractors.noun_phrase import Phrase
from extractors.phrases import Atom, clause_end, clause_start, said_text, sentence_bounds
from extractors.word_classes import NUMBER_WORDS, classes_of
from vocab import Vocabulary

ALL_TOLD = frozenset(
    f"{many} of {them}"
    for many in ("any", "all", "the lot", "the whole", "every bit", "every one", "each", "both")
    for them in ("it", "that", "this", "them", "those", "these")
) | {"the lot", "the whole lot", "everything there", "both", "the pair", "the two", "all"}
"""Clauses that stretch what was just said to all that was named before."""
LEFT_OPEN = frozenset(
    (
        "it depends", "that depends", "all depends", "if it goes", "if they go", "if they let it go",
        "if we don't need it", "if they don't need it", "if somebody makes an offer", "if someone makes an offer",
        "if the price is right", "if the price's right", "if the money's right", "if the money is right",
        "if the money's decent", "if the money's good", "if the money's there", "if the offer's right",
        "for decent money", "for good money", "for the right price", "for the right money", "at the right price",
    )
)  # fmt: skip
"""Cues behind what was said in their sentence that leave it open."""
STATES = frozenset(
    "at below above between clean warm hot cold dry wet full empty open shut closed covered level tight topped".split()
)
"""Words behind "we keep the oven" that say how it is kept."""
GOES_ON = PRONOUNS | frozenset(
    "because since as which who that's it's they're he's she's he she they we i you not".split()
)
"""First words of a clause that speaks of what the clause before it did."""
ADDED = frozenset({"coming", "going", "included", "staying", "remaining"})
"""Participles with which a sentence may begin that lists what is added."""
GOING = frozenset({"goes", "stays", "comes"})
"""Verbs behind a noun that is a subject by itself."""
BUTS = frozenset({"but", "though", "although", "however", "yet"})


def decide(
    atoms: Sequence[Atom],
    phrases: Sequence[Phrase],
    lists: Sequence[Listing],
    vocabulary: Vocabulary,
    groups: Mapping[int, Sequence[int]] | None = None,
) -> tuple[list[Decision], str | None]:
    """All decisions that were said, and the disposition that was said of everything, if any; settled() gives those
    that stand.

    `lists`: the lists under a heading, as headed() finds them; `groups`: phrases that stand for others ("all eight
    sections"), by index.
    """
    groups = groups or {}
    finder, classes = cues(vocabulary), classes_of(vocabulary)
    phrases = [replace(p, led=False) if p.led and held(atoms, p) else p for p in phrases]
    things = [
        n for n, p in enumerate(phrases) if n in groups or (p.grade != "never" and not p.negated and specific(atoms, p))
    ]
    longest = {phrases[n].first: phrases[n].last for n in sorted(things, key=lambda n: phrases[n].last)}
    things = [n for n in things if not said_again(atoms, phrases, n)]
    things = [n for n in things if not holds(atoms, phrases, phrases[n])]
    all_named = things
    things = [n for n in things if phrases[n].last == longest[phrases[n].first]]  # "a rack of filter cloths": no rack
    again = known_again(phrases)
    # "set goes, tank goes": the noun of many machines is a thing where it is a subject by itself
    subjects = [
        n for n in again if atoms[min(phrases[n].last, len(atoms) - 1)].lower in GOING and _opens(atoms, phrases[n])
    ]
    things = sorted({*things, *subjects})
    members = sorted({*things, *again})
    targets = Targets(atoms, phrases, things)
    out: list[Decision] = []
    everything: str | None = None
    spans: list[tuple[int, int]] = []
    spoken: Decision | None = None
    there: list[Decision] = []
    buying = for_the_buyer(atoms)
    heads = {k for x in lists for k in range(clause_start(atoms, x.at), clause_end(atoms, x.at)) if k < x.first}
    for listing in lists:
        row = row_of(atoms, phrases, members, listing.first, listing.last)
        out += of_a_row(row, Decision(-1, listing.disposition, None, listing.at))
        if atoms[listing.first].lower == "everything":  # "what I'd take: everything on the frame"
            scope = targets.place(listing.last - 1)
            everything = listing.disposition if scope is None else everything
            there += [
                Decision(n, listing.disposition, "said of all that is there", listing.at)
                for n in (targets.there(scope, listing.at) if scope else ())
            ]
    out += answered(atoms, phrases, things)
    at_atom = {k: n for n in things for k in range(phrases[n].first, phrases[n].last)}
    exceptions = {a.first: a for a in all_but(atoms, targets, finder, classes)}
    i = 0
    while i < len(atoms):
        if (but := exceptions.get(i)) is not None:
            if but.said:
                out += [Decision(n, OPPOSITE[but.said], "excepted from the rest", i) for n in but.excepted]
            if but.said and but.scope is None:
                everything = but.said
            elif but.said and but.scope is not None:
                there += [
                    Decision(n, but.said, "said of all that is there", i)
                    for n in targets.there(but.scope, i)
                    if n not in but.excepted
                ]
            i = but.last
            continue
        found = cue_at(atoms, i, finder, classes)
        if found is None:
            i += 1
            continue
        targets.told.update(d.phrase for d in out)
        end, cue, said = found
        if to_a_thing(atoms, phrases, at_atom.get(end), cue, end):
            i = end
            continue
        spans.append((i, end))
        latest = spoken
        if said == "uncertain" and _so_no_count(atoms, i, cue, latest):
            i = end
            continue
        if said in ("included", "excluded", "uncertain"):
            spoken = Decision(-1, said, cue.reason, i)
        if i in heads:
            i = end
            continue
        if buying and said == "excluded" and side(atoms, i, end):
            said = "included"
        taking = cue.where in ("either", "order")
        behind = targets.object(end) if taking else None
        if taking and behind is None and (cue.words == "not" or not closed(atoms, end)):
            i += 1
            continue
        if behind is not None and (
            _kept_so(atoms, i, end, phrases[behind].last)
            or (cue.words.endswith((" wants", " want")) and _wanted_done(atoms, phrases[behind].last))
        ):
            i = end
            continue
        if behind is not None and _left_open(atoms, i, end, phrases[behind].last):
            said = "uncertain"
        if said == "same" and cue.where == "whole":
            earlier = out[-1] if out else None
            if earlier is not None and atoms[i].sentence - atoms[earlier.at].sentence <= 1:
                group = targets.topic(i) or targets.subject(i, end)
                out += [Decision(n, earlier.disposition, earlier.reason, i) for n in group if n > earlier.phrase]
        elif cue.where == "all":
            everything = said
        elif cue.where == "weak" and (asked := targets.asked_about(end)):
            out += [Decision(n, said, cue.reason, i) for n in asked]
        elif cue.words in GUESSES and (last := _said_right_before(atoms, i, end, out)):
            out += [Decision(n, said, cue.reason, i) for n in last]
        elif cue.words in LEFT_OPEN and (before := [d for d in out if atoms[d.at].sentence == atoms[i].sentence]):
            # "about the tools one can discuss, it depends", "the feeder goes with it, if it goes"
            out += [Decision(d.phrase, said, None, i) for d in before]
        elif behind is not None:
            out += [Decision(n, said, cue.reason, i) for n in targets.coordinated(behind)]
        elif said in ("included", "excluded") and (span := targets.spanned(i)):
            out += [Decision(n, said, cue.reason, i) for n in span]
        elif (
            _of_all_told(atoms, end)
            and not (
                atoms[clause_end(atoms, end) - 1].lower in ("them", "those", "these")
                and any(phrases[n].plural and phrases[n].last in (i, i - 1) for n in things)
            )
            and (group := targets.told_last(i))
        ):
            out += [Decision(n, said, cue.reason, i) for n in group]
        elif (
            said in ("included", "excluded")
            and cue.where in ("before", "tail", "whole")
            and of_all(atoms, i)
            and (said == "included" or targets.place(i))
        ):
            scope = targets.place(i)
            if scope is None:
                everything = said
            else:
                there += [Decision(n, said, "said of all that is there", i) for n in targets.there(scope, i)]
        elif cue.where == "after" or (cue.where != "weak" and _heading(atoms, i, end)):
            target = next(
                (
                    at_atom[k]
                    for k in range(end - 1, min(end + 5, len(atoms)))
                    if k in at_atom and atoms[k].sentence == atoms[i].sentence
                ),
                None,
            )
            if target is not None:
                group = targets.coordinated(target)
                earlier = out[-1] if out else None
                if latest is not None and (earlier is None or earlier.at < latest.at):
                    earlier = latest  # "the shed isn't for sale, and neither is the generator"
                if said != "same":
                    out += [Decision(n, said, cue.reason, i) for n in group]
                elif earlier is not None and atoms[i].sentence - atoms[earlier.at].sentence <= 1:
                    out += [Decision(n, earlier.disposition, earlier.reason, i) for n in group]
        else:
            if said == "gone" and not targets.stands_before(i):
                i = end
                continue
            reason = cue.reason or _reason(atoms, i, end, finder)
            if said == "included" and cue.words.split()[-1] in ("with", "the") and "with" in cue.words.split():
                with_it = next((at_atom[k] for k in range(end, min(end + 2, len(atoms))) if k in at_atom), None)
                if with_it is not None and phrases[with_it].first <= end:
                    known = {d.disposition for d in out if _of_the_thing(phrases, d.phrase, with_it)}
                    # "the collector goes with the silo", which stays
                    said = "excluded" if known == {"excluded"} and not phrases[with_it].plural else said
            if said == "excluded" and cue.words.endswith("with the") and end in at_atom:
                known = {d.disposition for d in out if _of_the_thing(phrases, d.phrase, at_atom[end])}
                said = "included" if known == {"included"} else said  # "the cart stays with the oven", which goes
            owner = cue.words.split()[-1] in OWNERS | {"own"} or cue.words == "is another's"
            here = atoms[i].sentence if cue.where == "answer" else None  # "one operator, no problem" names no thing
            reason = reason if said == "excluded" or not cue.reason else None
            told_to = spans[-2][1] if spans[1:] else 0
            fronting = None if said == "gone" else row_before(atoms, phrases, members, i, told_to)
            if fronting is not None:
                out += of_a_row(fronting, Decision(-1, said, reason, i, owner))
                i = end
                continue
            whole = _subjectless(atoms, i, cue)
            weak, doubt = cue.where == "weak", said == "uncertain"
            meant = targets.subject(i, end, weak=weak, taking=taking, whole=whole, told_to=told_to, doubt=doubt)
            out += [
                Decision(n, said, reason, i, owner)
                for n in targets.row_before(meant, i, end)
                if here is None or atoms[phrases[n].name].sentence == here
            ]
            if here is not None:
                out += [Decision(n, said, reason, i, owner) for n in _joined_before(atoms, phrases, things, i)]
        i = end
    covered = {k for i, end in spans for k in range(i, end)}
    for n in things:
        if phrases[n].grade == "open" and all(k in covered for k in range(phrases[n].first, phrases[n].last)):
            out.append(Decision(n, "gone", None, phrases[n].first))  # "it's a giveaway" names nothing
    out = _of_groups(phrases, out, groups)
    out = [
        replace(d, phrase=m)
        for d in out
        for m in (*targets.fuller(d.phrase), *targets.contents(d.phrase), *targets.members(d.phrase))
    ]
    shorter = {phrases[n].first: n for n in all_named if n not in things and phrases[n].count}
    out += [replace(d, phrase=shorter[first]) for d in out if (first := phrases[d.phrase].first) in shorter]
    out += [replace(d, phrase=n) for d in out for n in targets.along(d.phrase)]
    told = {phrases[d.phrase].known for d in out}
    there = [d for d in there if phrases[d.phrase].known not in told]  # what was said of one thing itself stands
    return [*there, *out, *elliptic(atoms, phrases, things, out, targets)], everything


def _opens(atoms: Sequence[Atom], phrase: Phrase) -> bool:
    """Whether a phrase opens its clause and nothing parts it from what follows."""
    return phrase.first == clause_start(atoms, phrase.first) and not atoms[phrase.last - 1].after


def _of_the_thing(phrases: Sequence[Phrase], m: int, n: int) -> bool:
    """Whether phrase m may be a mention of the thing of phrase n; where there are several of the noun, told by the same
    words only: "the small ironer isn't ours ... it rides along with the ironer"."""
    if phrases[m].known != phrases[n].known:
        return False
    told = {p.modifiers for p in phrases[:n] if p.known == phrases[n].known and not p.negated}
    return len(told) < 2 or phrases[m].modifiers == phrases[n].modifiers


def _so_no_count(atoms: Sequence[Atom], i: int, cue: Cue, latest: Decision | None) -> bool:
    """Whether "don't count on them" only draws the conclusion of what was said in its sentence, or "don't ask me" tells
    to leave it at that: "the loader's no part of this, don't ask me about it"."""
    asked = cue.words.startswith("don't ask")
    if not (asked or "count on" in cue.words) or latest is None or latest.disposition != "excluded":
        return False
    return atoms[latest.at].sentence == atoms[i].sentence


def _joined_before(atoms: Sequence[Atom], phrases: Sequence[Phrase], things: Sequence[int], i: int) -> list[int]:
    """The things that "and" joins at the beginning of the sentence of an answer at i: "oven and fans, yes"."""
    first, _ = sentence_bounds(atoms, i)
    named = [n for n in things if first <= phrases[n].first and phrases[n].last <= i]
    words = {
        a.lower
        for k, a in enumerate(atoms[first:i], first)
        if not any(phrases[n].first <= k < phrases[n].last for n in named)
    }
    return named if len(named) > 1 and words <= {"and", "the", "both"} | OPENERS else []


def _of_groups(
    phrases: Sequence[Phrase], out: Sequence[Decision], groups: Mapping[int, Sequence[int]]
) -> list[Decision]:
    """The decisions, those of a word for all handed on to each of them of which nothing else was said."""
    told = {phrases[d.phrase].known for d in out if d.phrase not in groups}
    spread: list[Decision] = []
    for d in out:
        if d.phrase in groups:
            if phrases[d.phrase].grade in ("machine", "part", "open"):
                spread.append(d)  # "all five pumps", which are the places of their line
            spread += [replace(d, phrase=m) for m in groups[d.phrase] if phrases[m].known not in told]
        else:
            spread.append(d)
    return spread


def _kept_so(atoms: Sequence[Atom], i: int, end: int, k: int) -> bool:
    """Whether keeping is keeping in some state, k the end of the object: "we keep the oven at two hundred"."""
    verbs = {a.lower for a in atoms[i:end]}
    if k >= len(atoms) or atoms[k - 1].after:
        return False
    if verbs & {"take", "taking", "takes"} and atoms[k].lower in ("off", "apart", "down", "out"):
        return True  # "take the cover off"
    if not verbs & {"keep", "keeps", "keeping"}:
        return False
    return atoms[k].lower in STATES or (atoms[k].lower.endswith("ing") and atoms[k].lower not in ("including", "being"))


def _said_right_before(atoms: Sequence[Atom], i: int, end: int, out: Sequence[Decision]) -> list[int]:
    """What the sentence before decided on, where all of this one is a guess: "they're the landlord's. Maybe." """
    first, last = sentence_bounds(atoms, i)
    if (first, last) != (i, end) or not out or atoms[out[-1].at].sentence != atoms[i].sentence - 1:
        return []
    return [d.phrase for d in out if d.at == out[-1].at]


def _left_open(atoms: Sequence[Atom], i: int, end: int, k: int) -> bool:
    """Whether leaving is leaving open, k the end of the object: "so leave the elevator open"."""
    leaves = {a.lower for a in atoms[i:end]} & {"leave", "leaving", "left", "keep"}
    return (
        bool(leaves) and k < len(atoms) and not atoms[k - 1].after and atoms[k].lower in ("open", "undecided", "blank")
    )


def _wanted_done(atoms: Sequence[Atom], k: int) -> bool:
    """Whether a wish goes on behind the thing that ends at k: "my brother wants the pump fixed" is about the fixing."""
    goes_on = k < len(atoms) and not atoms[k - 1].after
    return goes_on and atoms[k].lower not in FOLLOWS | {"for", "back", "himself", "herself", "themselves", "badly"}


def _of_all_told(atoms: Sequence[Atom], end: int) -> bool:
    """Whether the clause behind a cue says that it is of all of them: "not for sale, any of it"."""
    if end >= len(atoms) or atoms[end - 1].after != "," or atoms[end].sentence != atoms[end - 1].sentence:
        return False
    return " ".join(a.lower for a in atoms[end : clause_end(atoms, end)]) in ALL_TOLD


def _heading(atoms: Sequence[Atom], i: int, end: int) -> bool:
    """Whether a cue heads a list: "what is not with it: the softener, the boiler and the crates"."""
    start = past(atoms, clause_start(atoms, i), i)
    opens = atoms[start].lower in ("what", "things", "items", "stuff", "not", "also", "following") or start == i
    if atoms[end - 1].after == ":":
        return opens
    if atoms[end - 1].after == "," and closed(atoms, end):
        return _lists(atoms, i, end)
    return (
        atoms[start].lower in ("what", "things", "items", "stuff")
        and not atoms[end - 1].after
        and (end < len(atoms) and atoms[end].lower in BEING)
    )


def _lists(atoms: Sequence[Atom], i: int, end: int) -> bool:
    """Whether a sentence begins with a participle and goes on with things: "Also coming with it, forty baskets"."""
    first, last = sentence_bounds(atoms, i)
    begins = atoms[past(atoms, first, end, OPENERS | ADVERBS | {"also"})].lower in ADDED
    return begins and end < last and (atoms[end].lower in ARTICLES or atoms[end].lower in NUMBER_WORDS)


def _subjectless(atoms: Sequence[Atom], i: int, cue: Cue) -> bool:
    """Whether the clause of a cue has no subject of its own: "..., included", "..., is the supplier's property"."""
    words = {a.lower for a in atoms[i : clause_end(atoms, i)]}
    if [a.lower for a in atoms[clause_end(atoms, i) - 2 : clause_end(atoms, i)]] == ["at", "all"]:
        words -= {"all"}  # "the grinder, the blue one, is no part of it at all"
    return (
        cue.where != "weak"
        and not words & {"both", "all", "those", "these", "them"}
        and all(a.lower in (OPENERS | ADVERBS | BEING) - {"all", "both"} for a in atoms[clause_start(atoms, i) : i])
    )


def _reason(atoms: Sequence[Atom], i: int, end: int, finder: CueFinder) -> str | None:
    """The clause that says why, right behind the cue's own or right before it."""
    start = clause_end(atoms, end - 1)
    for k0 in (start, clause_end(atoms, start) if start < len(atoms) else start):
        if k0 >= len(atoms) or atoms[k0].sentence - atoms[i].sentence > 1:
            continue
        k1 = clause_end(atoms, k0)
        if not _of_the_same(atoms, k0, finder):
            continue  # "mixer's yours, hoist belongs to the neighbours"
        found = [f for k in range(k0, k1) if (f := finder.at(atoms, k)) is not None]
        if any(f[1].disposition == "reason" or f[1].reason for f in found) or atoms[k0].lower == "because":
            return said_text(atoms, k0, min(k1, k0 + 14))
    return None


def _of_the_same(atoms: Sequence[Atom], k: int, finder: CueFinder) -> bool:
    """Whether a clause goes on with what the one before it was of: by a pronoun, a joint, or with no subject at all."""
    first = past(atoms, k, clause_end(atoms, k), OPENERS | ADVERBS)
    return first >= len(atoms) or atoms[first].lower in GOES_ON or finder.at(atoms, first) is not None


def _two_say(atoms: Sequence[Atom], at: int) -> bool:
    """Whether a sentence tells what two people say: "the owner told me it goes, the foreman told me it doesn't"."""
    first, last = sentence_bounds(atoms, at)
    return sum(a.lower in SAYING for a in atoms[first:last]) > 1


def _after_all(atoms: Sequence[Atom], at: int) -> bool:
    """Whether the clause of a cue says that it is so after all."""
    words = [a.lower for a in atoms[at : clause_end(atoms, at)]]
    return words[-2:] == ["after", "all"]


def settled(atoms: Sequence[Atom], decisions: Sequence[Decision]) -> list[Decision]:
    """One decision for each phrase."""
    order = {"included": 0, "excluded": 1, "uncertain": 2, "gone": 3}
    best: dict[int, Decision] = {}
    for d in decisions:
        old = best.get(d.phrase)
        if old is None or d.outright:
            best[d.phrase] = d
        elif atoms[old.at].sentence == atoms[d.at].sentence and old.owner and not d.owner and d.at > old.at:
            best[d.phrase] = d  # "the screw's ours, that goes"
        elif atoms[old.at].sentence == atoms[d.at].sentence:
            sure = {old.disposition, d.disposition} == {"included", "excluded"}
            if sure and _two_say(atoms, d.at):
                best[d.phrase] = replace(d, disposition="uncertain", reason=None)
                continue
            if sure and (BUTS & {a.lower for a in atoms[old.at : d.at]} or _after_all(atoms, d.at)):
                best[d.phrase] = d  # "it's held down with concrete but it goes with the line"
            elif order[d.disposition] > order[old.disposition]:
                best[d.phrase] = d
        else:
            best[d.phrase] = d
    return list(best.values())
