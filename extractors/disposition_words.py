"""The cues of dispositions: what they say where they stand, and the words by which their clauses are read."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from extractors.phrases import Atom, Finder, clause_end, clause_start, sentence_bounds
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


@dataclass(frozen=True, slots=True)
class Cue:
    """One spoken form of vocab/dispositions.toml."""

    disposition: str
    where: str
    reason: str | None
    words: str


def weigh(atoms: Sequence[Atom], i: int, end: int, cue: Cue) -> str | None:
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


def closed(atoms: Sequence[Atom], end: int) -> bool:
    """Whether nothing that could be an object follows a cue of taking, but for a pronoun."""
    if end >= len(atoms) or atoms[end - 1].after or atoms[end].lower in FOLLOWS | OBJECTS | PLURAL:
        return True
    return atoms[end].lower in ("for", "as", "with", "out", "in", "back", "too", "over") or atoms[end].lower == "one"


def of_all(atoms: Sequence[Atom], i: int) -> bool:
    """Whether the subject before the cue at i is everything: "all of this", "everything on the skid"."""
    words = [a.lower for a in atoms[clause_start(atoms, i) : i]]
    while words and words[0] in OPENERS:
        words = words[1:]
    return words[:1] == ["everything"] or (words[:2] == ["all", "of"] and words[2:3] in (["this"], ["it"], ["that"]))


def _spelt_out(spoken: str, slots: Mapping[str, tuple[str, ...]]) -> Iterator[str]:
    """Every form that a spoken form with slots stands for: "{be} sold" gives "is sold", "are sold" and so on."""
    opened = SLOT.search(spoken)
    if opened is None:
        yield " ".join(spoken.split())
        return
    for word in slots[opened.group(1)]:
        yield from _spelt_out(spoken[: opened.start()] + word + spoken[opened.end() :], slots)


@lru_cache(maxsize=16)
def cues(vocabulary: Vocabulary) -> Finder[Cue]:
    slots = {row["slot"]: tuple(row["words"]) for row in vocabulary["disposition_slots"]}
    rows = [
        (form, Cue(row["disposition"], row["where"], row["reason"], form))
        for row in vocabulary["dispositions"]
        for spoken in row["spoken"]
        for form in _spelt_out(spoken, slots)
    ]
    return Finder(rows, nouns=False)
