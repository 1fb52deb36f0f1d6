"""What was said to go and then to stay, or the other way about, where the speaker shows that he takes it back.

The later fate stands in any case (dispositions.py). Said of one thing, two opposite fates are a take-back only with a
sign: a denial or a word of stopping before the second, a verb that strikes from a list, or words for what was said.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

from extractors.disposition_cues import Decision
from extractors.disposition_words import NEGATIVE_ENDS, STRIKERS
from extractors.mentions import RepairMention, Tokens
from extractors.phrases import Atom, clause_end, clause_start, said_text, sentence_bounds, span_of
from extractors.takebacks import LONGEST
from extractors.word_classes import word_set

SURE = frozenset({"included", "excluded"})
OF_MANY = frozenset({"said of all that is there", "excepted from the rest"})
"""Reasons of decisions that were said of no thing in particular."""
STOPS = tuple(
    tuple(words.split())
    for words in (
        "no", "nope", "nah", "nay", "nee", "wait", "hang on", "hang about", "hold on", "hold up", "hold it", "sorry",
        "actually", "correction", "pardon", "beg your pardon", "excuse me", "my mistake", "my bad", "oh", "ah", "ach",
        "hm", "hmm", "oops", "whoops", "ooh", "scratch", "scrap", "strike", "cross", "forget", "cancel", "ignore",
        "disregard", "belay", "delete", "remove", "amend", "amendment", "revision", "change", "on second thought",
        "on second thoughts", "come to think", "now i think", "what am i", "what do i", "listen to me", "silly me",
        "i tell a lie", "i lie", "i was wrong", "i'm wrong", "i got", "i had", "i misspoke", "i mis", "i take",
        "turns out", "it turns out", "except", "only", "then again", "apparently", "ja no", "yeah no", "well no",
        "or no", "but no", "not any more", "not anymore", "wrong", "i stand corrected", "let me correct", "let me fix",
        "one correction", "a correction", "one change", "a change", "one thing changed", "rub", "scrub",
    )
)  # fmt: skip
"""First words of a sentence, or of a clause of its own, that stop or deny what was said; common practice, no source."""
NO_BEFORE = word_set("it that they he she we i not wait sorry hang hold actually they're it's that's the those these")
STRIKING = word_set("strike cross scratch scrub delete remove pull take rub wipe knock drop cut")
OFF = word_set("off out from")
PUTTING = word_set("put add write")
BACK = word_set("back after")
TOLD = word_set("said told tell had put wrote called gave counted listed noted promised")
BECKONING = word_set(
    "shaking shakes waving waves pointing shouting shouts correcting corrects frowning winking nudging"
)
TELLERS = frozenset({"i", "we", "i've", "we've", "i'd"})
ANEW = (
    ("after", "all"), ("not", "any", "more"), ("any", "longer"), ("no", "longer"), ("second", "thought"),
    ("second", "thoughts"), ("changed", "his"), ("changed", "her"), ("changed", "their"), ("changed", "my"),
    ("turns", "out"), ("then", "again"), ("before", "was"), ("instead",),
)  # fmt: skip
"""Words anywhere in the sentence that say it comes otherwise than was said."""
SUPPOSING = word_set("could would might may if whether maybe perhaps")
THAT = word_set("it that this them those")
SHORT_STRIKE, RUN = 5, 2
"""Words of a clause that only strikes ("forget it"), at most; sentences back of which the first telling is meant."""
SHORT = 7
"""Words of a sentence that only stops ("Oh, hang about."), at most; chosen, no source."""


def fates_taken_back(
    atoms: Sequence[Atom], tokens: Tokens, decisions: Sequence[Decision], owners: Mapping[int, Sequence[int]]
) -> tuple[RepairMention, ...]:
    """A self-correction for each fate taken back; owners: the things that a phrase was a mention of, by its index."""
    of: dict[int, list[Decision]] = {}
    for d in sorted(decisions, key=lambda d: d.at):
        for thing in owners.get(d.phrase, ()):
            of.setdefault(thing, []).append(d)
    found: dict[tuple[int, int], RepairMention] = {}
    for told in of.values():
        said = [d for d in told if not _only_strikes(atoms, d.at)] or told
        for n, (last, second) in enumerate(pairwise(said)):
            first = _first_of_its_run(atoms, said[: n + 1])
            sure = {last.disposition, second.disposition} == SURE
            if (
                not sure
                or OF_MANY & {last.reason, second.reason}
                or not _stated(atoms, last.at)
                or not _signed(atoms, last.at, second.at)
            ):
                continue
            old, new = _words(atoms, first.at), _words(atoms, _in_full(atoms, said[n + 1 :]).at)
            if old[1] > new[0]:
                continue
            found[first.at, second.at] = RepairMention(
                "self-correction",
                said_text(atoms, *old),
                said_text(atoms, *new),
                withdrawn=span_of(atoms, tokens, *old),
                kept=span_of(atoms, tokens, *new),
                late=True,
            )
    return tuple(found.values())


def _stated(atoms: Sequence[Atom], at: int) -> bool:
    """Whether the clause of a cue states something: "is it on the sheet?" and "you could take it" do not."""
    if atoms[sentence_bounds(atoms, at)[1] - 1].after == "?":
        return False
    return not SUPPOSING & {a.lower for a in atoms[clause_start(atoms, at) : clause_end(atoms, at)]}


def _in_full(atoms: Sequence[Atom], said: Sequence[Decision]) -> Decision:
    """The first decision, or where its clause only denies ("no it doesn't") or strikes ("forget it") the next that says
    the same in full."""
    first = said[0]
    if first.owner:  # "the collector's ours, it goes"
        here = (d for d in said[1:] if d.disposition == first.disposition and not d.owner)
        return next((d for d in here if atoms[d.at].sentence == atoms[first.at].sentence), first)
    if atoms[clause_end(atoms, first.at) - 1].lower not in NEGATIVE_ENDS and not _only_strikes(atoms, first.at):
        return first
    sentence = atoms[first.at].sentence
    near = (d for d in said[1:] if d.disposition == first.disposition and atoms[d.at].sentence - sentence <= 1)
    return next((d for d in near if clause_start(atoms, d.at) != clause_start(atoms, first.at)), first)


def _only_strikes(atoms: Sequence[Atom], at: int) -> bool:
    """Whether a clause only strikes what was said: "forget it", "ah, forget I said that", "I take that back"."""
    clause = [a.lower for a in atoms[clause_start(atoms, at) : clause_end(atoms, at)]]
    takes = clause[-1] == "back" and bool({"take", "taking"} & set(clause))
    strikes = bool(STRIKERS & set(clause[:2])) and clause[-1] in THAT
    return len(clause) <= SHORT_STRIKE and (takes or strikes)


def _first_of_its_run(atoms: Sequence[Atom], said: Sequence[Decision]) -> Decision:
    """Of decisions that say the same one after the other the first within a few sentences, as the speaker made it."""
    last = said[-1]
    if _reported(atoms, last.at):
        return last
    run = last
    for d in reversed(said):
        if d.disposition != last.disposition or atoms[last.at].sentence - atoms[d.at].sentence > RUN:
            break
        run = d
    return run if _stated(atoms, run.at) else last


def _words(atoms: Sequence[Atom], at: int) -> tuple[int, int]:
    """The clause of a cue, or of a long one the words that a record can show."""
    start, end = clause_start(atoms, at), clause_end(atoms, at)
    start = max(start, min(at, end - LONGEST))
    end = min(end, start + LONGEST)
    parts = [1 + a.said.count("'") * (len(a.said) > len("'s")) for a in atoms[start:end]]  # "ain't" counts as two
    while start < at and sum(parts) > LONGEST:
        start, parts = start + 1, parts[1:]
    return start, end


def _signed(atoms: Sequence[Atom], first: int, second: int) -> bool:
    """Whether what is said at atom first is taken back around atom second."""
    begin, end = sentence_bounds(atoms, second)
    if _tells_of_it(atoms, begin, end) or _reported(atoms, first):
        return True
    begin = max(begin, clause_end(atoms, first))
    if any(_opens_with_stop(atoms, k) for k in _clauses(atoms, begin, second + 1)):
        return True
    if _strikes(atoms, begin, end) or _anew(atoms, begin, end) or _beckoned(atoms, begin, end):
        return True
    if end < len(atoms) and _tells_of_it(atoms, end, sentence_bounds(atoms, end)[1]):
        return True
    for _ in range(2):
        if begin == 0 or begin - 1 <= first:
            return False
        start, stop = sentence_bounds(atoms, begin - 1)
        if start <= first < stop:
            return False
        if (
            _tells_of_it(atoms, start, stop)
            or _beckoned(atoms, start, stop)
            or (stop - start <= SHORT and _opens_with_stop(atoms, start))
        ):
            return True
        begin = start
    return False


def _reported(atoms: Sequence[Atom], at: int) -> bool:
    """ "I told you that goes": the clause only repeats what was said, and the next says otherwise."""
    return _tells_of_it(atoms, clause_start(atoms, at), at)


def _clauses(atoms: Sequence[Atom], begin: int, stop: int) -> list[int]:
    """Where the clauses between two atoms begin."""
    return [k for k in range(begin, stop) if k == begin or atoms[k - 1].after]


def _opens_with_stop(atoms: Sequence[Atom], k: int) -> bool:
    if atoms[k].lower == "no" and not atoms[k].after and k + 1 < len(atoms) and atoms[k + 1].lower not in NO_BEFORE:
        return False  # "no compressor in the deal"
    return any(tuple(a.lower for a in atoms[k : k + len(words)]) == words for words in STOPS)


def _strikes(atoms: Sequence[Atom], begin: int, end: int) -> bool:
    """ "Strike the lift from the schedule", "take the folder out of it", "put the bench back in"."""
    for k in range(begin, end):
        tail = {a.lower for a in atoms[k + 1 : min(end, k + 9)]}
        if atoms[k].lower in STRIKING and tail & OFF:
            return True
        if atoms[k].lower in PUTTING and tail & BACK:
            return True
    return False


def _beckoned(atoms: Sequence[Atom], begin: int, end: int) -> bool:
    """ "She's shaking her head at me": somebody who stands by says otherwise."""
    return any(a.lower in BECKONING for a in atoms[begin:end])


def _anew(atoms: Sequence[Atom], begin: int, end: int) -> bool:
    words = [a.lower for a in atoms[begin:end]]
    return any(tuple(words[k : k + len(w)]) == w for k in range(len(words)) for w in ANEW)


def _tells_of_it(atoms: Sequence[Atom], begin: int, end: int) -> bool:
    """ "Cross out what I told you", "I said it goes"."""
    return any(
        atoms[k].lower in TELLERS and {a.lower for a in atoms[k + 1 : min(end, k + 3)]} & TOLD
        for k in range(begin, end)
    )
