"""Lists under a heading, and things told by their place in a list: "So what goes. The saw and two blades.", "the second
one we keep", and whose side the speaker is on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from extractors.disposition_clauses import closed, denies, past
from extractors.disposition_cues import CueFinder
from extractors.disposition_weighing import cue_at
from extractors.disposition_words import BEING, NEGATIVE_ENDS, OBJECTS, OPENERS, OPPOSITE, SPEAKERS, VERBS
from extractors.noun_phrase import PREPOSITIONS
from extractors.phrases import Atom, Finder, clause_end, clause_start, sentence_bounds
from extractors.word_classes import Classes

HEADS = frozenset({"what", "things", "items", "stuff", "following", "everything", "whatever", "list"})
"""First words of a sentence that is a heading: "what stays", "things that go"."""
SUMMING = frozenset("to sum up summing in short summary recap finally lastly that this leaves brings us me".split())
"""Words before a heading that closes a walk: "to sum up what is offered"."""
AROUND = OPENERS | BEING | HEADS | SUMMING | frozenset(
    (
        "the that which of for here also first next you we they i with it in this these those as to will all else and "
        "there would does deal sale actually really again left"
    ).split()
)  # fmt: skip
"""Words that stand in a heading beside its cue."""
TELLING = VERBS | BEING | frozenset("i you we they he she it there that 'll 've do don't can".split())
"""Words that make a sentence more than a list."""
LONG = 40
"""Words of a list under a heading, at most; longer sentences tell something."""
MOST = 8
"""Sentences under one heading, at most."""
BRIEF = 8
"""Words of those behind the first of them, at most."""
TITLE = 10
"""Words of a heading, at most."""
MEMBERS = 3
"""Things in a list behind a heading of one word, at least."""
LISTED = 5
"""Things in a list that a sentence without a word of what happens announces, at least."""
ANNOUNCED = frozenset({"list", "inventory", "schedule"})
ANNOUNCING = OPENERS | frozenset(
    "for the a sale here is 's this to in up of my your it lot right as sum summing".split()
)
"""Words of a sentence that only announces a list."""
LISTING = frozenset("the a an all both two three four five six seven eight nine ten its our their your".split())
"""Words that the first thing of such a list begins with."""
WHATEVER = frozenset("what whatever anything everything all things stuff nothing".split())
"""First words of a sentence that says what happens to all that it describes."""
EXPLAINING = Finder(
    (
        (words, None)
        for words in (
            "that is", "that's", "that means", "this means", "which means", "meaning", "namely", "it means",
            "those are", "these are", "that would be", "that covers", "that includes", "i mean", "for example", "so",
        )
    ),
    nouns=False,
)  # fmt: skip
"""Words behind which stands a list of what was meant right before."""
ASIDES = Finder(
    (
        (words, None)
        for words in (
            "as it stands", "as they stand", "as it is", "as they are", "as is", "i mean", "i'd say", "i think",
            "i believe", "i suppose", "i guess", "if you like", "that is to say", "you know", "what else", "let me see",
        )
    ),
    nouns=False,
)  # fmt: skip
"""Words in a list that name nothing and tell nothing."""
PLACES = {"first": 0, "former": 0, "second": 1, "third": 2, "fourth": 3, "last": -1, "latter": -1}
"""Words for a thing by its place in a list."""
KEEPING = dict.fromkeys(("keep", "need", "want", "hold"), "excluded")
PLAINLY = {
    "you": dict.fromkeys(("take", "get", "have", "receive"), "included"),
    **dict.fromkeys(("we", "i", "they", "he", "she"), KEEPING),
}
"""What a clause of two words before a list says of it: "you take: the tester and the lamp"."""
WISHING = (["i", "'d"], ["i'd"], ["we", "'d"], ["we'd"], ["we"], ["i", "would"], ["we", "would"])
"""Who walks for a buyer: "what I'd take: ..."."""
GAINING = frozenset({"getting", "buying", "receiving"})
MINE = frozenset({"ours", "mine"})
TAKING = frozenset({"taking", "take"})


@dataclass(frozen=True, slots=True)
class Listing:
    """Words that are a list under a heading: atoms first to last (excluded), and what the heading says of them."""

    first: int
    last: int
    disposition: str
    at: int
    """Atom of the heading's cue, or its first one where it has none ("what doesn't: ...")."""


def headed(atoms: Sequence[Atom], finder: CueFinder, classes: Classes) -> tuple[Listing, ...]:
    """The lists under a heading: the sentences behind it, or what follows its colon."""
    out: list[Listing] = []
    bounds = _sentences(atoms)
    n = 0
    of_all: tuple[str, int] | None = None
    while n < len(bounds):
        first, last = bounds[n]
        n += 1
        out_of, of_all = of_all, _of_whatever(atoms, first, last, finder, classes)
        colon = next((k + 1 for k in range(first, last - 1) if atoms[k].after == ":"), last)
        of_all = of_all or _of_whatever(atoms, colon, last, finder, classes)
        if of_all is not None and (begins := _explained_at_once(atoms, of_all[1], last)):
            out.append(Listing(begins, last, *of_all))
            continue
        found = _heading(atoms, first, colon, finder, classes, out[-1] if out else None, colon=colon < last)
        if found is None and colon < last:
            found = _before_colon(atoms, colon, finder, classes)
        if found is None and colon == last and (comma := _comma(atoms, first, last)) < last:
            found, colon = _heading(atoms, first, comma, finder, classes, None, colon=False), comma
            if found is not None and found[0] not in ("included", "excluded"):
                continue
        if found is None and out_of is not None and (begins := _explains(atoms, first, last)):
            out.append(Listing(begins, last, *out_of))
            continue
        if found is None and colon == last and (cue := _cue_and_comma(atoms, first, last, finder, classes)) is not None:
            found, colon = cue
        if found is None and n < len(bounds) and _several(atoms, *bounds[n], least=LISTED):
            found = _of_the_list(atoms, first, last, finder, classes)
        if found is None and n < len(bounds) and (word := _one_word(atoms, first, last, finder, classes)) is not None:
            found = (word, first) if _several(atoms, *bounds[n]) else None
        if found is None:
            continue
        if colon < last:
            if _list(atoms, colon, last, finder, classes):
                out.append(Listing(colon, last, *found))
            continue
        for k in range(MOST):
            if n >= len(bounds) or not _list(atoms, *bounds[n], finder, classes):
                break
            if k and bounds[n][1] - bounds[n][0] > BRIEF:
                break
            out.append(Listing(*bounds[n], *found))
            n += 1
    return tuple(out)


def _before_colon(atoms: Sequence[Atom], colon: int, finder: CueFinder, classes: Classes) -> tuple[str, int] | None:
    """What the clause before a colon says and its cue, where it names no thing: "first heap, you take: the tester"."""
    start = clause_start(atoms, colon - 1)
    words = [a.lower for a in atoms[past(atoms, start, colon) : colon]]
    if len(words) == 2 and words[0] in PLAINLY and words[1] in PLAINLY[words[0]]:
        return PLAINLY[words[0]][words[1]], start
    for i in range(start, colon):
        found = cue_at(atoms, i, finder, classes)
        if found is not None and found[0] == colon and found[2] in ("included", "excluded", "uncertain"):
            return (found[2], i) if {a.lower for a in atoms[start:i]} <= AROUND | SPEAKERS else None
    return None


def _of_whatever(
    atoms: Sequence[Atom], first: int, last: int, finder: CueFinder, classes: Classes
) -> tuple[str, int] | None:
    """What a sentence says of whatever it describes, and its cue: "what stands on this side you can buy"."""
    start = past(atoms, first, last)
    if start >= last or atoms[start].lower not in WHATEVER or atoms[last - 1].after == "?":
        return None
    for i in range(start, last):
        found = cue_at(atoms, i, finder, classes)
        if found is not None and found[2] in OPPOSITE:
            return found[2], i
    return None


def _explains(atoms: Sequence[Atom], first: int, last: int) -> int:
    """Where a list begins that says what was meant right before: "that means the hood and the fan"; 0 where none."""
    start = past(atoms, first, last)
    found = EXPLAINING.at(atoms, start) if start < last else None
    return found[0] if found is not None and found[0] < last and atoms[found[0]].lower in LISTING else 0


def _explained_at_once(atoms: Sequence[Atom], at: int, last: int) -> int:
    """Where a list begins behind what is said of whatever it describes, in one sentence: "anything on wheels goes, so
    that's your crusher and the good pump"; 0 where none."""
    k = clause_end(atoms, at)
    while k < last:
        if begins := _explains(atoms, k, last):
            return begins
        k = clause_end(atoms, k)
    return 0


def _asked_for(atoms: Sequence[Atom], first: int, last: int) -> str | None:
    """What a heading asks and the list behind it answers: "so what do you get?", "what are we keeping?"."""
    words = [a.lower for a in atoms[past(atoms, first, last) : last]]
    if words[:1] == ["what"] and words[1:-1] in WISHING and words[-1] in ("take", "want", "buy"):
        return "included"
    if len(words) not in (4, 5) or words[0] != "what" or words[1] not in ("do", "does", "are", "will", "would"):
        return None
    gets = words[-1] in ("get", "getting", "buy", "buying", "selling", "sell")
    keeps = words[-1] in ("keep", "keeping")
    who = words[2:-1] in (["you"], ["we"], ["they"], ["i"], ["the", "buyer"], ["he"])
    return "included" if gets and who else "excluded" if keeps and who else None


def _comma(atoms: Sequence[Atom], first: int, last: int) -> int:
    """Where the list begins behind the comma of "what is to sell, all the sections and the kitchen"; last where none
    does."""
    # or behind its verb: "what does go is the vessel, both pumps and the table"
    comma = next(
        (
            k + 1
            for k in range(first, last - 1)
            if atoms[k].after == "," or (k > first + 1 and atoms[k].lower in ("is", "are"))
        ),
        last,
    )
    words = [a.lower for a in atoms[first:comma] if a.lower not in OPENERS]
    return comma if words[:1] == ["what"] and atoms[last - 1].after != "?" else last


def _one_word(atoms: Sequence[Atom], first: int, last: int, finder: CueFinder, classes: Classes) -> str | None:
    """What a sentence says that is a cue of one word and no more: "Included."."""
    words = [k for k in range(first, last) if atoms[k].lower not in OPENERS]
    found = cue_at(atoms, words[0], finder, classes) if len(words) == 1 else None
    alone = found is not None and found[0] == last and found[2] in ("included", "excluded", "uncertain")
    return found[2] if found is not None and alone else None


def _cue_and_comma(
    atoms: Sequence[Atom], first: int, last: int, finder: CueFinder, classes: Classes
) -> tuple[tuple[str, int], int] | None:
    """What a cue that opens its sentence says and its atom, and where the list behind it begins: "included, the tanks,
    the filler and the capper", "not included, the packer, which is leased, and the boiler"."""
    start = past(atoms, first, last)
    comma = next((k + 1 for k in range(start, min(start + 5, last - 1)) if atoms[k].after == ","), None)
    if comma is None or atoms[comma].lower not in LISTING:
        return None
    found = cue_at(atoms, start, finder, classes)
    if found is None or found[0] != comma or found[2] not in ("included", "excluded", "uncertain"):
        return None
    return (found[2], start), comma


def _of_the_list(
    atoms: Sequence[Atom], first: int, last: int, finder: CueFinder, classes: Classes
) -> tuple[str, int] | None:
    """What a sentence says that does no more than announce a long list: "for the list, then", "it goes with it, slowly
    now"."""
    words = {a.lower for a in atoms[first:last]}
    if words & ANNOUNCED and words <= ANNOUNCING | ANNOUNCED:
        return "included", first
    start = past(atoms, first, last)
    if start >= last or atoms[start].lower not in ("it", "this", "these") or last - first > TITLE:
        return None
    for i in range(start, min(start + 2, last)):
        found = cue_at(atoms, i, finder, classes)
        if found is not None and found[2] == "included" and found[1].where in ("before", "tail"):
            return ("included", i) if atoms[found[0] - 1].after == "," else None
    return None


def _several(atoms: Sequence[Atom], first: int, last: int, *, least: int = MEMBERS) -> bool:
    """Whether a sentence lists at least three things, the first of them not told by a number alone.

    "Both furnaces, the washer, load table": what stands behind a word that closes what went before is a new topic
    ("Tank is leased. Excluded. Utilities. 480 volt").
    """
    members = 1 + sum(a.after == "," or a.lower == "and" for a in atoms[first : last - 1])
    figures = any(a.lower[:1].isdigit() for a in atoms[first:last])
    return members >= least and not figures


def _sentences(atoms: Sequence[Atom]) -> list[tuple[int, int]]:
    """First atom and end (excluded) of every sentence."""
    out: list[tuple[int, int]] = []
    k = 0
    while k < len(atoms):
        first, last = sentence_bounds(atoms, k)
        out.append((first, last))
        k = last
    return out


def _heading(
    atoms: Sequence[Atom],
    first: int,
    last: int,
    finder: CueFinder,
    classes: Classes,
    before: Listing | None,
    *,
    colon: bool,
) -> tuple[str, int] | None:
    """What the words from first to last say as a heading, and its cue; None where they are none.

    A heading with a colon may begin with its cue and go on behind it: "included with the furnace: ...".
    """
    words = [a.lower for a in atoms[first:last]]
    opening = next((w for w in words if w not in OPENERS | SUMMING | {"here", "'s", "the"}), "")
    if (opening not in HEADS and not colon) or last - first > TITLE:
        return None
    if (asked := _asked_for(atoms, first, last)) is not None:
        return asked, first
    if colon and [w for w in words if w not in OPENERS | SUMMING] == ["sold"]:
        return "included", last - 1  # "to finish, so. Sold: the unwind, the slitter and the cart"
    for i in range(first, last):
        found = cue_at(atoms, i, finder, classes)
        if found is None or found[2] not in ("included", "excluded", "uncertain") or found[0] > last:
            continue
        behind = set() if colon else {a.lower for a in atoms[found[0] : last]}
        names_all = opening == "everything" or found[1].where == "all"
        return None if names_all or not {*words[: i - first], *behind} <= AROUND else (found[2], i)
    tail = next((" ".join(words[-n:]) for n in (2, 1) if " ".join(words[-n:]) in NEGATIVE_ENDS), None)
    if tail is None or before is None or before.disposition not in OPPOSITE or opening not in HEADS:
        return None
    rest = set(words[: len(words) - len(tail.split())])
    return (OPPOSITE[before.disposition], first) if rest <= AROUND else None


def _list(atoms: Sequence[Atom], first: int, last: int, finder: CueFinder, classes: Classes) -> bool:
    """Whether words do no more than name things, what "which" tells of one of them aside."""
    aside = {j for k in range(first, last) if (found := ASIDES.at(atoms, k)) for j in range(k, found[0])}
    kept = [k for k in range(first, last) if k not in aside and not _beside(atoms, first, k)]
    words = {atoms[k].lower for k in kept}
    if last - first > LONG or words & TELLING or atoms[last - 1].after == "?":
        return False
    return all(cue_at(atoms, i, finder, classes) is None for i in kept)


def _beside(atoms: Sequence[Atom], first: int, k: int) -> bool:
    """Whether the word at k stands in a clause of "which" between commas, or of "that" behind its thing."""
    at = clause_start(atoms, k)
    if at > first and (atoms[at].lower == "which" or (atoms[at].lower == "that" and atoms[at + 1].lower not in BEING)):
        return True  # "the jib crane, and the jaw rack, that went to the other shop"
    if atoms[k].lower == "it" and k > at and atoms[k - 1].lower in PREPOSITIONS:
        return True  # "the mill next to it"
    near = range(max(at, first) + 1, k + 1)
    return any(atoms[j].lower == "that" and atoms[j - 1].lower not in ("and", "plus") for j in near)


def by_place(atoms: Sequence[Atom], i: int) -> str:
    """The word of PLACES, or "other", by which the clause of a cue at i names its subject; "" where it does not."""
    words = [a.lower for a in atoms[past(atoms, clause_start(atoms, i), i, OPENERS | {"the"}) : i]]
    while len(words) > 1 and words[-1] in SPEAKERS | BEING | {"definitely", "probably", "also"}:
        words = words[:-1]
    if not words or (words[1:] not in ([], ["one"], ["ones"], ["of", "them"], ["of", "those"], ["thing"])):
        return ""
    return words[0] if words[0] in PLACES or words[0] == "other" else ""


def for_the_buyer(atoms: Sequence[Atom]) -> bool:
    """Whether the speaker is with those who buy: "we're not getting that" - then "ours" and "we're taking it" go."""
    for k, a in enumerate(atoms[:-1]):
        if a.lower not in GAINING or a.after or atoms[k + 1].lower not in OBJECTS | {"both"}:
            continue
        before = [b.lower for b in atoms[max(clause_start(atoms, k), k - 4) : k]]
        if {"we", "i", "i'm"} & set(before) and closed(atoms, k + 1):
            return True
    return False


def side(atoms: Sequence[Atom], i: int, end: int) -> bool:
    """Whether a cue says that it is ours or that we take it."""
    words = [a.lower for a in atoms[max(clause_start(atoms, i), i - 2) : end]]
    return not denies(words, {"not"}) and (words[-1] in MINE or ("we" in words and bool(TAKING & set(words))))
