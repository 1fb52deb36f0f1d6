"""What a cue of disposition says where it stands: the same words may say nothing, the opposite, or leave it open."""

from __future__ import annotations

from collections.abc import Sequence

from extractors.disposition_clauses import (
    after_a_place,
    counts_at,
    denies,
    is_answer,
    is_asked,
    names_only,
    numbered,
    numbers_in,
    of_a_noun,
    one_fails,
    past,
    whole_clause,
)
from extractors.disposition_cues import CueFinder
from extractors.disposition_frames import Cue, framed_at
from extractors.disposition_words import (
    ADVERBS,
    ALL_THERE,
    ALL_WORDS,
    ARTICLES,
    BARE,
    BEING,
    COVERS,
    CUTS,
    FETCHING,
    FOLLOWS,
    GOODS,
    GUESSES,
    HEARING,
    HEDGING,
    INSURING,
    MAYBE,
    MOVES,
    NEGATIVE_ENDS,
    NOBODY,
    OBJECTS,
    OPENERS,
    OWNERS,
    PRONOUNS,
    SPEAKERS,
    STRIKERS,
    STRUCK,
    TIMES,
    TOLD,
    VERBS,
    WALKS,
    WHO,
)
from extractors.phrases import Atom, clause_end, clause_start, sentence_bounds
from extractors.word_classes import NUMBER_WORDS, Classes

LEAVES = frozenset({"leave", "leaves", "will leave", "'ll leave"})
"""Forms that say of what goes that it leaves, where nothing follows."""
ORDERS = frozenset({"go", "come", "stay", "take", "leave"})
"""Forms that alone in their clause tell somebody what to do."""
ASKED = frozenset({"where", "how"})
"""First words of headings that only ask."""
ALONG_A_WAY = frozenset("on through under over along down up via by underneath past round around".split())
"""Words behind "back" that tell a way and no owner: "the trays go back on a conveyor"."""
HELD_SO = frozenset("there still steady straight up down level tight here".split())
"""Words behind "keep it" that are said to somebody who holds something."""
EITHER_WAY = frozenset({"included", "excluded", "goes", "go", "stays", "stay"})
"""Words of a sentence that is sure, whatever else it says of taking or leaving."""
SOLD = "sold already"
"""The reason of cues of selling, as the table has it."""


def closes(atoms: Sequence[Atom], end: int, last: int) -> bool:
    """Whether a clause or a sentence ends at an atom."""
    return end >= last or bool(atoms[end - 1].after)


def weigh(atoms: Sequence[Atom], i: int, end: int, cue: Cue) -> str | None:
    """The disposition that the cue says here, or None where its words say something else."""
    first, last = sentence_bounds(atoms, i)
    near = {a.lower for a in atoms[first:last]}
    tail = [a.lower for a in atoms[end : end + 2]] if not atoms[end - 1].after else []
    ahead_of_noun = {"a", "another", "each"} if atoms[i].lower == "go" else NUMBER_WORDS - {"one"}
    if atoms[i].lower in ("go", "stays") and i and atoms[i - 1].lower in ahead_of_noun:
        return None  # "three hundred kilos at a go", "nine stays on the silo"
    if (
        cue.where == "tail"
        and cue.words in LEAVES
        and (i == 0 or atoms[i - 1].lower in PRONOUNS | SPEAKERS or not (closes(atoms, end, last)))
    ):
        return None  # "they leave it running", "the tumbler leaves creases"
    if cue.where in ("all", "before", "tail") and first < i and atoms[first].lower in ASKED:
        return None  # "where it all goes": a heading
    if cue.words == "so no" and end < last:
        return None  # "so no luck", "so no, it's fine"
    if cue.words == "who owns" and tail[:1] == ["what"]:
        return None
    covers = cue.words in COVERS or ("covered" in cue.words.split() and "elsewhere" not in cue.words)
    if covers and not any(a.lower in INSURING for a in atoms):
        return None  # "the pit is covered": by a lid, and a lamp "stays on"
    if cue.words in ("stays", "stay") and tail[:1] in (["on"], ["in"], ["at"], ["under"]):
        return "excluded" if tail[1:] in (["the"], ["that"], ["this"], ["its"]) else None
    if (cue.where == "tail" or (cue.where in ("before", "all") and cue.words.split()[-1] in BARE)) and not (
        atoms[end - 1].after
        or end >= last
        or atoms[end].lower in FOLLOWS
        or _after_all(atoms, end, last)
        or (atoms[end].lower in ("is", "are") and "what" in {a.lower for a in atoms[first:i]})  # "what goes is the saw"
    ):
        return None
    if _of_moving(atoms, i, cue, tail) or _bids(atoms, i, end, cue, tail):
        return None
    if atoms[end - 1].after == "" and [a.lower for a in atoms[end : end + 1]] == ["apart"]:
        apart = [a.lower for a in atoms[end + 1 : end + 2]]
        if apart != ["from"]:
            return None  # "they come apart for the truck"
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
    start = clause_start(atoms, i)
    if struck_report(atoms, start, i):
        return None  # "forget that I said it goes"
    if (
        cue.where in ("before", "tail", "whole")
        and i > start
        and atoms[i - 1].lower in ("to", "'ll", "can", "could", "will", "let", "'d", "gonna", "me", "us", "let's")
        and {"i", "we", "you", "let's", "let", "i'll", "i'd", "i'm"} & {a.lower for a in atoms[start:i]}
        and atoms[i - 2].lower not in ("they", "it", "that", "those", "these")  # "I guess they'd come with it"
        and atoms[i].lower in ("go", "come", "stay", "leave")
    ):
        return None  # "I want to go back to that tank"
    if cue.where == "weak" and " ".join(tail[1:]) in NEGATIVE_ENDS and tail[0] in PRONOUNS:
        return None  # "she's worn, I won't say she isn't"
    if i > start and atoms[i - 1].lower in ("him", "her", "me", "us") and cue.where in ("before", "tail", "whole"):
        return None  # "there comes a forklift, I let him go"
    if cue.where == "weak" and {"could", "can", "would"} & {a.lower for a in atoms[max(start, i - 2) : i]}:
        return None  # "Priya, could you ask him"
    if is_asked(atoms, i):
        return None  # "do they go?"
    if cue.where == "either" and TOLD & {a.lower for a in atoms[max(start, i - 3) : i]}:
        return None  # "weight I can give you": a figure is given
    if cue.words == "not" and {"sorry", "mean", "wait", "correction", "pardon"} & {a.lower for a in atoms[first:i]}:
        return None  # "sorry, not the boiler, the chiller is fifty tons"
    if (
        cue.where == "after"
        and cue.disposition == "excluded"
        and near & VERBS
        and not near & (MOVES | ALL_THERE)
        and (numbers_in(atoms, first, i) or numbers_in(atoms, end, last))
    ):
        return None  # "except for the two etch tanks, every tank is ten foot long"
    if atoms[end - 1].lower in ("goes", "go") and [a.lower for a in atoms[end : end + 2]] == ["without", "saying"]:
        return None
    if atoms[end - 1].lower in ("shared", "divided") and tail[:1] in (["in"], ["into"], ["among"]):
        return None  # "the plates are shared in three zones"
    if of_a_noun(atoms, start, i, end):
        return None  # "the shape it's in", "the box they're in"
    if one_fails(atoms, start, i, end):
        return None  # "one element is out"
    ahead_of = [a.lower for a in atoms[start:i] if a.lower not in OPENERS]
    by_us = ahead_of[:1] in (["i"], ["i'm"], ["i'll"], ["we"]) and cue.where in ("before", "tail", "whole")
    by_us = by_us and not HEARING & set(ahead_of)  # "we were told the booth stays" is about the booth
    if by_us and (set(cue.words.split()) & WALKS or cue.words in ("for free", "free of charge")):
        return None  # "I'm starting at the kettle end and going back", "I'll go with the sand"
    if i == start and cue.words.startswith(("go back", "come back")):
        return None  # "go back to the fan"
    if [a.lower for a in atoms[first : first + 3]] in (["if", "i", "was"], ["if", "i", "were"], ["if", "i", "had"]):
        return None  # "if I was younger I'd keep it"
    if (
        i > start
        and any(
            a.lower in TIMES
            and atoms[k + 1].lower not in ("now", "here")
            and not after_a_place(atoms, start, k)
            and not (a.lower == "while" and k == start > first)  # "..., while the ductwork belongs to the landlord"
            for k, a in enumerate(atoms[start:i], start)
        )
    ):
        return None  # "I'll tell you about it before it's sold", "when it goes you need a crane"
    together = i > first and atoms[i - 1].lower in ("both", "all", "each", "two", "three")  # "the filters, both, go"
    if end - i == 1 and i == start and cue.words in ORDERS and i > first and not together:
        return None  # "Olly, van, go": an order
    if (
        cue.disposition == "uncertain"
        and cue.words.startswith("ask")
        and {"don't", "never"} & {a.lower for a in atoms[max(start, i - 2) : i]}
    ):
        return None  # "please don't ask me about it"
    ahead = [a.lower for a in atoms[end : end + 2]]
    if cue.words in ("come", "comes", "go", "goes") and ahead[:1] == ["and"] and set(ahead[1:]) & FETCHING:
        return None  # "they'll come and fetch it"
    if (
        cue.words == "ask"
        and end < last
        and not atoms[i].after
        and atoms[end].capital
        and end == clause_end(atoms, i) - 1
    ):
        return cue.disposition if i == start and i > first else None  # "the drum pump, ask Lennart"
    offered = atoms[i].lower in ("leave", "leaves") and [a.lower for a in atoms[i - 3 : i : 2]] == ["take", "or"]
    if (cue.words == "either way" or "or leave" in cue.words or offered) and near & EITHER_WAY:
        return None  # "take them or leave them, they're included either way"
    if cue.where == "whole" and not whole_clause(atoms, i, end):
        return None
    if cue.where == "whole" and cue.words in GUESSES and not near & MOVES and numbers_in(atoms, first, i):
        return None  # "it's not ten years old, or maybe, no idea" is about the number
    if cue.where == "answer" and not is_answer(atoms, i, end):
        return None
    if cue.where == "order" and any(a.lower not in OPENERS | ADVERBS for a in atoms[clause_start(atoms, i) : i]):
        return None
    if cue.where == "weak":
        if {"don't", "never"} & {a.lower for a in atoms[max(start, i - 2) : i]}:
            return None  # "please don't ask me about it"
        if atoms[i].lower in ("i", "we", "they", "he", "she") and i > start and atoms[i - 1].lower not in OPENERS:
            return None  # "for numbers I don't know"
        lead = past(atoms, start, i, OPENERS | ADVERBS | SPEAKERS | {"about", "that", "first", "there"})
        short = start == first and last - first <= 7 and first > 0
        if short and lead == i:
            # "do they go? Beats me. Ask the lady at the office."
            earlier, _ = sentence_bounds(atoms, first - 1)
            if {a.lower for a in atoms[earlier:first]} & (MOVES | {"ask"}):
                return cue.disposition
        topic = lead == i and start > first and start - clause_start(atoms, start - 1) <= 5
        # "the bagging scale, my nephew's got his eye on it, so I don't know yet"
        topic = topic or (lead == i and clause_end(atoms, first) <= start and names_only(atoms, first))
        hedges = bool(HEDGING & {a.lower for a in atoms[i:end]})
        if topic and hedges and (counts_at(atoms, start) or numbered(atoms, end)):
            return None  # "twelve nozzles, I think, I wouldn't swear to it" is about the number
        # "the cooling tower you must ask the boss"
        topic = topic or (
            (atoms[start].lower in ARTICLES or start == first) and 2 < i - start <= 8 and atoms[i - 1].lower in SPEAKERS
        )
        topic = topic or (hedges and _about_it(atoms, end, last))
        if not (near & MOVES) and not topic:
            return None
        if topic and not (near & MOVES) and clause_end(atoms, i) - i > 8:
            return None
    if cue.reason == SOLD and atoms[end - 1].lower == "sold" and atoms[end - 2].lower == "being":
        return "included"  # "the press and the crane are being sold": in the sale that is spoken of
    cut = next((k + 1 for k in range(i - 1, start, -1) if atoms[k].lower in CUTS - {"or"}), start)
    before = [a.lower for a in atoms[cut:i]]  # "I could have the board, but I'm told ..." is no "could"
    if cue.disposition == "included" and cue.where in ("before", "tail"):
        if set(before) & MAYBE and not _may_yet(atoms, i, end):
            return "uncertain"
        doubted = {"don't", "doesn't", "didn't"} & set(before) and {"think", "believe", "reckon"} & set(before)
        if doubted or "neither" in before or denies(before[-3:]):
            return "excluded"
    if cue.where in ("whole", "answer") and cue.disposition == "included":
        if denies(before[-3:]):
            return "excluded"
        if set(before) & MAYBE:
            return "uncertain"
    if cue.where == "either" and set(before[-4:]) & MAYBE:
        return "uncertain"
    words = cue.words.split()
    plain = cue.disposition == "excluded" and words[-1] not in OWNERS and not denies(words)
    if plain and cue.where != "either" and denies(before[-2:]):
        return "included" if words[0] in ("stay", "stays", "staying") else None  # "nothing is set in concrete"
    if plain and {"let"} & set(before[-3:]) and denies(before[-4:]):
        return None  # "don't let them keep it"
    if cue.reason == SOLD and {"if", "whether"} & set(before):
        return "uncertain"  # "if the heater is sold with it, nobody knows"
    if cue.disposition == "excluded" and set(before) & MAYBE and cue.reason is None and "not" not in cue.words:
        return "uncertain"
    return cue.disposition


def _about_it(atoms: Sequence[Atom], end: int, last: int) -> bool:
    """Whether a doubt is about what was just named: "so I'm not certain at all about that one"."""
    words = [a.lower for a in atoms[max(0, end - 2) : min(end + 4, last)]]
    told = any(w == "about" and words[n + 1 : n + 2] and words[n + 1] in OBJECTS for n, w in enumerate(words))
    return told and closes(atoms, clause_end(atoms, end - 1), last)


def _may_yet(atoms: Sequence[Atom], i: int, end: int) -> bool:
    """Whether "may" allows what was refused before: "the hoist may go along after all"."""
    words = [a.lower for a in atoms[clause_start(atoms, i) : clause_end(atoms, end - 1)]]
    return "may" in words and words[-2:] == ["after", "all"] and not {"maybe", "if", "whether"} & set(words)


def _of_moving(atoms: Sequence[Atom], i: int, cue: Cue, tail: Sequence[str]) -> bool:
    """Whether it is told which way something moves: "the moulds go back on a belt", "a truck is coming through"."""
    words = cue.words.split()
    ways = ALONG_A_WAY if words[-1] == "back" else {"through", "past"}
    moving = words[-1] == "back" or words[-1] in ("coming", "going", "come", "comes", "go", "goes")
    away = {"been", "was", "were", "has", "have"} & set(words) or (i and atoms[i - 1].lower in ("to", "must", "has"))
    return moving and not away and tail[:1] != [] and tail[0] in ways


def _bids(atoms: Sequence[Atom], i: int, end: int, cue: Cue, tail: Sequence[str]) -> bool:
    """Whether somebody is told what to do, or tells what he does: "keep it there, brother", "I don't touch it", "never
    mind", "I give it to you as it is painted"."""
    words, first = cue.words.split(), sentence_bounds(atoms, i)[0]
    if {"i", "touch"} <= {a.lower for a in atoms[i:end]}:
        return True
    if words[:2] == ["never", "mind"]:
        return i == first and closes(atoms, end, sentence_bounds(atoms, i)[1]) and end - i == 2
    if atoms[i].lower in ("keep", "leave") and i == clause_start(atoms, i):
        so = tail[1:] if tail[:1] and tail[0] in OBJECTS else tail if atoms[end - 1].lower in OBJECTS else []
        return bool(so) and so[0] in HELD_SO
    return "to" in words and words[-1] == "you" and tail[:1] in (["as"], ["how"], ["like"])


def struck_report(atoms: Sequence[Atom], start: int, i: int) -> bool:
    """Whether the words before a cue in its clause strike what was said: then the cue is what is struck."""
    words = [a.lower for a in atoms[start:i]]
    strikes = next((k for k, word in enumerate(words) if word in STRIKERS), None)
    return strikes is not None and bool(STRUCK & set(words[strikes + 1 :]))


def owned_at(atoms: Sequence[Atom], i: int, classes: Classes) -> tuple[int, Cue, str] | None:
    """ "Is the chemical supplier's property", "that's the yard's": another's, by the possessive that ends a clause."""
    if atoms[i].lower not in BEING or atoms[i].after or i + 2 >= len(atoms):
        return None
    k = i + 1
    while k < len(atoms) and atoms[k].lower in ADVERBS | {"all", "not"}:
        if atoms[k].lower == "not":
            return None
        k += 1
    first = k
    while k < len(atoms) and k - first < 5 and atoms[k].lower != "'s" and not atoms[k].said.endswith(("s'", "s’")):
        lower = atoms[k].lower
        if atoms[k].after or (not (lower in ARTICLES if k == first else False) and classes.of(lower) not in WHO):
            return None
        k += 1
    if k >= len(atoms) or k - first > 4 or (k == first and atoms[k].lower == "'s"):
        return None
    if atoms[k].lower == "'s" and (atoms[k - 1].lower in NOBODY or atoms[k - 1].lower in ARTICLES):
        return None
    owner = atoms[k - 1].lower if atoms[k].lower == "'s" else atoms[k].lower
    while k + 1 < len(atoms) and not atoms[k].after and atoms[k + 1].lower in GOODS:
        k += 1
    end = k + 1
    if end < len(atoms) and not atoms[k].after and atoms[end].lower not in FOLLOWS:
        return None
    said = "included" if owner in ("buyer", "buyers'", "machine", "line") else "excluded"
    return end, Cue(said, "before", "another's property" if said == "excluded" else None, "is another's"), said


def _after_all(atoms: Sequence[Atom], end: int, last: int) -> bool:
    """Whether "after all" closes the statement; "the tank goes after all the pumps are out" says when."""
    closed = end + 2 >= last or bool(atoms[end + 1].after)
    return closed and [a.lower for a in atoms[end : end + 2]] == ["after", "all"]


def of_all(atoms: Sequence[Atom], i: int) -> bool:
    """Whether the subject before the cue at i is everything: "all of this", "everything on the skid"."""
    words = [a.lower for a in atoms[past(atoms, clause_start(atoms, i), i) : i]]
    while words and words[-1] in BEING | ADVERBS | {"will", "'ll", "would", "can", "that"}:
        words = words[:-1]
    return (
        " ".join(words) in ALL_WORDS
        or (words[:1] == ["everything"] and words[1:2] not in (["with"], ["without"]))  # "everything with a tag on it"
        or (words[:2] == ["all", "of"] and words[2:3] in (["this"], ["it"], ["that"]))
    )


def cue_at(atoms: Sequence[Atom], i: int, finder: CueFinder, classes: Classes) -> tuple[int, Cue, str] | None:
    """End, form and disposition of the longest cue at i that says something here."""
    for end, cue in finder.all_at(atoms, i):
        if cue.disposition != "reason" and (said := weigh(atoms, i, end, cue)) is not None:
            return end, cue, said
    owned = owned_at(atoms, i, classes)
    if owned is not None or finder.known is None or (atoms[i].lower in ("i", "i'll") and _handled(atoms, i)):
        return owned
    return framed_at(atoms, i, finder.known)


def _handled(atoms: Sequence[Atom], i: int) -> bool:
    """Whether a speaker tells of his own hands: "I don't touch it", "my phone, I'll let it go"."""
    words = [a.lower for a in atoms[i : min(i + 4, clause_end(atoms, i))]]
    return "touch" in words or words[-3:] == ["let", "it", "go"]
