"""What is said of things by leaving words out: "the fans don't go, but the two air units do", "the tank doesn't"."""

from __future__ import annotations

from collections.abc import Sequence

from extractors.disposition_clauses import denies, past
from extractors.disposition_cues import Decision
from extractors.disposition_targets import Targets
from extractors.disposition_words import ADVERBS, BARE_ENDS, BEING, NEGATIVE_ENDS, OPENERS, OPPOSITE, SAYING, VERBS
from extractors.noun_phrase import PREPOSITIONS, Phrase
from extractors.phrases import Atom, clause_end, clause_start, sentence_bounds

CONDITIONS = frozenset("if unless because since but so while when provided".split())
"""Words that begin what is said besides."""
ANSWERS = {"yes": "included", "yeah": "included", "yep": "included", "no": "excluded", "nope": "excluded"}
UNSURE = frozenset({"might", "may", "could", "might not", "may not", "might be", "may be", "could be"})
"""Verbs that alone leave it open: "the racks might, if there's room"."""
STANDING_FOR = frozenset({"they", "it", "that", "those", "these"})
"""Pronouns of which a bare verb may say what was left out."""
ADDING = frozenset({"and", "also", "plus"})
PLACES = frozenset(
    "there here itself themselves though upstairs downstairs outside inside sure certainly definitely".split()
)
"""Words besides those of place that may stand before a bare verb: "the screens upstairs sure don't"."""
LONG = 6
"""Words of what something is for, at most."""
TAKING_BACK = frozenset({"no", "oh", "wait", "sorry", "actually", "yes", "yeah", "well"})
"""Words between a statement and the one that takes it back."""


def elliptic(
    atoms: Sequence[Atom], phrases: Sequence[Phrase], things: list[int], out: list[Decision], targets: Targets
) -> list[Decision]:
    """What is said by leaving words out: "the fans don't go, but the two air units do", "the dryer goes. The tank
    doesn't", "agitator too", "but not the tank", "along with its panel"."""
    more: list[Decision] = []
    meant: dict[int, str] = {}
    """What the verb left out says of things told by a bare one: "the mill goes. The hood doesn't. The stairs don't"."""
    for n in things:
        phrase = phrases[n]
        sentence = atoms[phrase.name].sentence
        start = clause_start(atoms, phrase.first)
        before = [a.lower for a in atoms[start : phrase.first]]
        k = phrase.last
        stop = _bare_end(atoms, k, clause_end(atoms, phrase.last - 1))
        if _bare_end(atoms, start, phrase.first) < phrase.first:  # "the stacker isn't and the genset might be"
            start = phrase.first - len(before[before.index("and") :]) if "and" in before else start
            before = [a.lower for a in atoms[start : phrase.first]]
        if any(start <= phrases[m].first < phrase.first and not phrases[m].led for m in things):
            continue
        said = [*out, *more]
        if before and before[-1] == "not" and any(d.phrase == n and start <= d.at < phrase.first for d in out):
            continue  # "but not the tank" was read by its own cue
        # what a heading says is said where its list is: "What goes. The mixer, the silo. The plates don't."
        earlier = [
            d
            for d in said
            if d.at < phrase.first
            and sentence - atoms[max(d.at, min(phrases[d.phrase].first, phrase.first))].sentence <= 1
        ]
        earlier.sort(key=lambda d: d.at)
        if not earlier:
            continue
        near = atoms[earlier[-1].at].sentence == sentence
        last, reason = earlier[-1].disposition, earlier[-1].reason
        # a verb alone at the end of the clause, words of place between: "the air dryer next to it doesn't"
        tail = [a.lower for a in atoms[k:stop]]
        if tail[-1:] == ["either"] and " ".join(tail[:-1]) in NEGATIVE_ENDS and last == "excluded":
            more.append(Decision(n, last, None, stop - 1))  # "the hood isn't part of this. Ducts aren't either."
            continue
        ends = BARE_ENDS | UNSURE
        verb = next((" ".join(tail[-w:]) for w in (2, 1) if " ".join(tail[-w:]) in ends and len(tail) >= w), "")
        place = tail[: len(tail) - len(verb.split())] if verb else []
        plain = not place or (place[0] in PREPOSITIONS | PLACES and len(place) <= 6)
        opens = set(before) <= OPENERS | ADVERBS
        if verb and plain and opens and last in OPPOSITE:
            left_out = meant.get(earlier[-1].phrase) or _left_out(atoms, earlier[-1], verb)
            meant[n] = left_out
            said_here = OPPOSITE[left_out] if verb in NEGATIVE_ENDS else left_out
            more.append(Decision(n, "uncertain" if verb in UNSURE else said_here, None, stop - 1))
            continue
        run = targets.coordinated(n)  # "the mill goes; the dust hood and the stairs don't"
        if len(run) > 1 and opens and last in OPPOSITE and (at := _verb_behind(atoms, phrases[run[-1]].last)):
            more += [Decision(m, OPPOSITE[last], None, at) for m in run]
            continue
        answer = ANSWERS.get(tail[-1]) if tail and not atoms[stop - 1].aside else None
        among = not tail[:-1] or (tail[0] in PREPOSITIONS | {"there", "here"} and len(tail) <= 6)
        if answer and among and opens and last in OPPOSITE and not _listed_behind(atoms, phrases, things, n):
            more.append(Decision(n, answer, None, stop - 1))  # "the scales don't go. The lamps yes"
            continue
        lone = _lone_verb(atoms, stop, sentence) if start == sentence_bounds(atoms, k - 1)[0] and opens else None
        if lone is not None and last in OPPOSITE and (not tail or tail[0] in PREPOSITIONS):
            more.append(Decision(n, OPPOSITE[last], None, lone))  # "vacuum dryer next to it, two plates, doesn't"
            continue
        cut = next((j for j, w in enumerate(tail) if j and w in CONDITIONS), len(tail))
        words = " ".join(tail[:cut])  # "the rails too if you want to chip them out"
        if (
            words in ("with it", "with that", "with them", "along with it")
            and opens
            and atoms[start].sentence == sentence
        ):
            more.append(Decision(n, last, reason, stop - 1))  # "softener's leased, stays. Brine tank with it."
        elif words in ("too", "as well", "also", "likewise", "same", "ditto") and opens:
            more.append(Decision(n, last, reason, stop - 1))
        elif not tail and near and before == ["and"] and _closes(atoms, start, k, earlier[-1].at):
            more.append(Decision(n, last, reason, k - 1))  # "the filter press goes with the line, and the pump"
        elif not near and before and before[0] in ADDING and opens and last == "included" and _adds(atoms, start, k):
            more.append(
                Decision(n, last, reason, k - 1)
            )  # "the rolls go with the line. And ten knives for the slitter"
        elif not tail and near and before in (["along", "with"], ["together", "with"], ["plus"], ["as", "well", "as"]):
            more.append(Decision(n, last, reason, k - 1))
        elif (
            not tail
            and near
            and last in OPPOSITE
            and before in (["but", "not"], ["just", "not"], ["not"], ["only", "not"])
        ):
            more.append(Decision(n, OPPOSITE[last], None, k - 1))
    return more + _by_pronoun(atoms, phrases, things, [*out, *more]) + _contradicted(atoms, out)


def _by_pronoun(
    atoms: Sequence[Atom], phrases: Sequence[Phrase], things: list[int], said: list[Decision]
) -> list[Decision]:
    """What a bare verb says by a pronoun of what was just named: "the car goes, the rails are in the concrete so they
    ain't", "a punch, not part of it, and a bender, that is"."""
    more: list[Decision] = []
    for k, atom in enumerate(atoms[1:], 1):
        stop = clause_end(atoms, k)
        verb = " ".join(a.lower for a in atoms[k + 1 : stop])
        if atom.lower not in STANDING_FOR or verb not in BARE_ENDS:
            continue
        n = _stood_for(atoms, phrases, things, k, verb)
        if n is None or any(d.phrase == n and atoms[d.at].sentence == atom.sentence for d in said):
            continue
        back = verb in NEGATIVE_ENDS
        earlier = [d for d in said if d.at < phrases[n].first and atom.sentence - atoms[d.at].sentence <= back]
        if earlier and (last := max(earlier, key=lambda d: d.at)).disposition in OPPOSITE:
            left_out = _left_out(atoms, last, verb)
            more.append(Decision(n, OPPOSITE[left_out] if back else left_out, None, k))
    return more


def _stood_for(atoms: Sequence[Atom], phrases: Sequence[Phrase], things: list[int], k: int, verb: str) -> int | None:
    """The thing that the pronoun at k stands for: named right before it, or the subject of the clause before it."""
    many = atoms[k].lower in ("they", "those", "these")
    near = [n for n in things if phrases[n].last <= k and atoms[phrases[n].first].sentence == atoms[k].sentence]
    n = next((n for n in reversed(near) if phrases[n].plural == many and not phrases[n].led), None)
    if n is None:
        return None
    behind = phrases[n].last
    if behind == k:
        return n if atoms[k - 1].after == "," and atoms[k].lower in ("that", "those") else None
    opens = all(a.lower in OPENERS for a in atoms[clause_start(atoms, phrases[n].first) : phrases[n].first])
    leads = atoms[k - 1].lower in OPENERS | {"so", "and", "but"} or atoms[k - 1].after == ","
    return n if verb in NEGATIVE_ENDS and opens and leads and atoms[behind].lower in BEING else None


def _left_out(atoms: Sequence[Atom], said: Decision, verb: str) -> str:
    """What the verb says that is left out behind a decision: "the fans don't go": going; "the hood stays": staying."""
    denied = _denying(atoms, said.at)
    if verb in NEGATIVE_ENDS or said.disposition == "included":
        return OPPOSITE[said.disposition] if denied else said.disposition
    return "included"  # "the stack is the landlord's, but the fans do"


def _bare_end(atoms: Sequence[Atom], k: int, stop: int) -> int:
    """Where a bare verb ends a statement before "and" or "but" between atoms k and stop; stop where none does."""
    for j in range(k + 1, stop):
        joined = atoms[j].lower in ("and", "but") and not atoms[j - 1].after
        if joined and (atoms[j - 1].lower in NEGATIVE_ENDS or atoms[j - 1].lower in UNSURE):
            return j
    return stop


def _adds(atoms: Sequence[Atom], start: int, k: int) -> bool:
    """Whether a sentence from start on names a thing up to k and says no more of it but what it is for."""
    first, last = sentence_bounds(atoms, start)
    tail = [a.lower for a in atoms[k:last]]
    for_what = not atoms[k - 1].after and 0 < len(tail) <= LONG and tail[0] in ("for", "of", "in", "on", "from")
    return start == first and atoms[last - 1].after != "?" and (not tail or (for_what and not VERBS & set(tail)))


def _closes(atoms: Sequence[Atom], start: int, k: int, at: int) -> bool:
    """Whether the clause from start to k ends its sentence, right behind the clause of a cue."""
    first, end = sentence_bounds(atoms, start)
    return k == end and first < start and clause_start(atoms, start - 1) <= at < start


def _verb_behind(atoms: Sequence[Atom], k: int) -> int:
    """The last atom of a verb that alone ends the clause at k; 0 where none does."""
    stop = clause_end(atoms, k - 1)
    return stop - 1 if k < stop and " ".join(a.lower for a in atoms[k:stop]) in BARE_ENDS else 0


def _listed_behind(atoms: Sequence[Atom], phrases: Sequence[Phrase], things: list[int], n: int) -> bool:
    """Whether a thing stands in the clause right behind that of thing n, before any verb: then n is one of a list."""
    k = clause_end(atoms, phrases[n].last - 1)
    goes_on = k < len(atoms) and atoms[k].sentence == atoms[k - 1].sentence
    return goes_on and any(phrases[m].first == k and not phrases[m].led for m in things)


def _lone_verb(atoms: Sequence[Atom], k: int, sentence: int) -> int | None:
    """Where a verb alone makes the last clause of a sentence, nothing but words without a verb before it."""
    for _ in range(3):
        if k >= len(atoms) or atoms[k].sentence != sentence or atoms[k - 1].after != ",":
            return None
        stop = clause_end(atoms, k)
        words = [a.lower for a in atoms[k:stop]]
        if " ".join(words) in NEGATIVE_ENDS:
            return k if stop >= len(atoms) or atoms[stop].sentence != sentence else None
        if set(words) & (BEING | {"it", "they", "that", "has", "have", "goes", "stays", "which", "who", "and"}):
            return None
        k = stop
    return None


def _contradicted(atoms: Sequence[Atom], out: list[Decision]) -> list[Decision]:
    """ "The skid, that stays. No, it doesn't": the other way round for what was said right before."""
    more = []
    for n, d in enumerate(out):
        _, end = sentence_bounds(atoms, d.at)
        if d.disposition not in OPPOSITE or (n + 1 < len(out) and out[n + 1].at < end and out[n + 1].at > d.at):
            continue
        for k in dict.fromkeys((clause_end(atoms, d.at), end)):
            found = _takes_back(atoms, k)
            if found is not None and (found[0] or _denying(atoms, d.at)):
                more.append(
                    Decision(d.phrase, OPPOSITE[d.disposition], None, found[1], outright=not _told(atoms, found[1]))
                )
                break
    return more


def _told(atoms: Sequence[Atom], at: int) -> bool:
    """Whether the clause of an atom says what somebody told."""
    return bool(SAYING & {a.lower for a in atoms[clause_start(atoms, at) : at]})


def _denying(atoms: Sequence[Atom], at: int) -> bool:
    """Whether the words of a cue deny something: "is not included"."""
    return denies((a.lower for a in atoms[max(0, at - 1) : min(at + 3, clause_end(atoms, at))]), {"not"})


def _takes_back(atoms: Sequence[Atom], k: int) -> tuple[bool, int] | None:
    """Whether a clause of a pronoun and a verb at k denies, "no", "sorry" and "wait" before it, and its last atom."""
    stop = sentence_bounds(atoms, k)[1] if k < len(atoms) else k
    while k < stop:
        end = clause_end(atoms, k)
        words = [a.lower for a in atoms[past(atoms, k, end, OPENERS | TAKING_BACK) : end]]
        told = next((n + 1 for n, w in enumerate(words) if w in SAYING), 0)
        words = words[told + (words[told : told + 1] in (["me"], ["us"])) :]  # "the foreman told me it doesn't"
        if words:
            said = " ".join(words[1:]) if words[0] in ("it", "that", "they", "those") else ""
            if said not in BARE_ENDS:
                return None
            return said in NEGATIVE_ENDS, end - 1
        k = end
    return None
