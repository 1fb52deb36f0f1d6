"""Where a speaker moves on to another machine, so that one recording of several gives a walk for each.

A line made of several machines is one walk: its parts are numbered, feed each other, or share one plate. So a weak
cue ("next up is") cuts only where both sides are described as machines of their own, each with a plate (maker, model,
serial, year), where the new one is brought in as news ("a lathe": "the rinser" is known from the line it belongs to),
and where no words of a line stand near it or keep coming. Numbers of several lots or assets always cut.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from extractors.mentions import Token, Tokens
from vocab import Vocabulary

CUES = ("new", "maybe", "back", "line")
WEAK = ("maybe", "counted")
REACH = 60
"""Words after a cue in which a machine of its own is named with its plate; people name what they stand before first."""
NEAR = 25
"""Words around a weak cue in which a word of a line speaks against a cut."""
OFTEN = 3
"""So many words of a line in a recording speak against every weak cue in it."""
FIRST = 15
"""Words at the beginning in which "the first press" tells of others to come, and "a can line" of one."""


@dataclass(frozen=True, slots=True)
class Part:
    """One machine's words: word indices of the transcript, last excluded."""

    first: int
    last: int
    why: str
    """The words that opened it; empty for the first."""
    back_to: int | None = None
    """Index of the earlier part that this one goes on with."""


def find_machines(tokens: Tokens, vocabulary: Vocabulary) -> tuple[Part, ...]:
    """The recording's parts in order, together all of its words; one part where it is of one machine or line."""
    if not tokens:
        return ()
    cues = _cues(tokens, vocabulary)
    # one asset number may be this machine's own tag: only where several are said are they a count of machines
    numbered = len({said.lower() for _, _, kind, said in cues if kind == "new"}) >= 2
    cuts: list[tuple[int, str, int | None]] = []
    openings = [0]
    for i, length, kind, said in cues:
        if i - openings[-1] < 4:
            continue
        own = kind in WEAK and not numbered and _own_machines(tokens, openings[-1], i, length, cues, vocabulary)
        if own or (kind == "new" and numbered):
            cuts.append((i, said, None))
            openings.append(i)
        elif kind == "back" and len(openings) > 1:
            earlier = _named(tokens, i + length, openings)
            if earlier is not None and earlier != len(openings) - 1:
                cuts.append((i, said, earlier))
                openings.append(i)
    openers = _words(vocabulary, "opener")
    edges = [0, *(tokens[_sentence_start(tokens, i, openers)].word for i, _, _ in cuts), tokens[-1].word + 1]
    reasons: list[tuple[str, int | None]] = [("", None), *((said, back) for _, said, back in cuts)]
    return tuple(
        Part(first, last, why, back)
        for (first, last), (why, back) in zip(pairwise(edges), reasons, strict=True)
        if last > first
    )


@lru_cache(maxsize=16)
def _words(vocabulary: Vocabulary, kind: str) -> frozenset[str]:
    return frozenset(said for row in vocabulary["moves"] if row["kind"] == kind for said in row["said"])


def _cues(tokens: Tokens, vocabulary: Vocabulary) -> list[tuple[int, int, str, str]]:
    """(token, length, kind, words) of every cue, the longest at each place."""
    by_first: dict[str, list[tuple[tuple[str, ...], str]]] = {}
    openers, numbers = _words(vocabulary, "opener"), _words(vocabulary, "count")
    for row in vocabulary["moves"]:
        if row["kind"] not in CUES:
            continue
        for said in row["said"]:
            words = tuple(said.split())
            by_first.setdefault(words[0], []).append((words, row["kind"]))
    found = _counted(tokens, vocabulary, openers)
    for i, t in enumerate(tokens):
        fits = [
            (words, kind)
            for words, kind in by_first.get(t.lower, ())
            if t.aside is None and _fits(tokens, i, words, kind, openers, numbers)
        ]
        if fits:
            words, kind = max(fits, key=lambda fit: len(fit[0]))
            end = i + len(words)
            if words[-1] == "#" and tokens[end - 1].text.isalpha() and end < len(tokens) and tokens[end].text.isdigit():
                end += 1  # "C 101" is one code
            found.append((i, len(words), kind, " ".join(x.text for x in tokens[i:end])))
    return sorted(found)


def _counted(tokens: Tokens, vocabulary: Vocabulary, openers: frozenset[str]) -> list[tuple[int, int, str, str]]:
    """ "The other press is", "second unit is" as cues, where the recording began with the first one of that name."""
    line, ordinals = _words(vocabulary, "line"), _words(vocabulary, "ordinal")
    begun = next((i for i in range(min(FIRST, len(tokens) - 1)) if tokens[i].lower == "first"), None)
    if begun is None or tokens[begun + 1].lower in line:
        return []
    noun = tokens[begun + 1].lower
    return [
        (i, 2, "counted", f"{tokens[i].text} {tokens[i + 1].text}")
        for i in range(begun + 2, len(tokens) - 1)
        if tokens[i].lower in ordinals
        and tokens[i + 1].lower == noun
        and (tokens[i - 1].after or tokens[i - 1].lower in openers or tokens[i - 1].lower == "the")
    ]


def _fits(
    tokens: Tokens, i: int, words: tuple[str, ...], kind: str, openers: frozenset[str], numbers: frozenset[str]
) -> bool:
    if i + len(words) > len(tokens):
        return False
    for k, word in enumerate(words):
        t = tokens[i + k]
        if word == "#":
            if not _code(t, numbers):
                return False
        elif t.lower != word:
            return False
        if k < len(words) - 1 and t.after in (".", "?", "!"):
            return False
    # a strong cue opens a clause: "the tag on machine number two" speaks about it, "machine number two is" moves there
    return kind != "new" or i == 0 or tokens[i - 1].after != "" or tokens[i - 1].lower in openers


def _code(t: Token, numbers: frozenset[str]) -> bool:
    return (
        t.lower in numbers
        or any(c.isdigit() for c in t.text)
        or (len(t.text) == 1 and t.text.isupper() and t.text != "I")
    )


def _own_machines(
    tokens: Tokens, before: int, at: int, length: int, cues: list[tuple[int, int, str, str]], vocabulary: Vocabulary
) -> bool:
    """Whether what lies before and after a weak cue are machines of their own."""
    line = [i for i, _, kind, _ in cues if kind == "line"]
    series = {t.lower for t in tokens[:FIRST]} & _words(vocabulary, "series")
    if series or len(line) >= OFTEN or any(abs(i - at) <= NEAR for i in line):
        return False
    said = {t.lower for t in tokens[at : at + length]}
    opens = next((t.lower for t in tokens[at + length : at + length + 3] if t.lower not in ("uh", "um")), "")
    known = opens not in ("a", "an", "another") and not said & _words(vocabulary, "whole")
    apart = {t.lower for t in tokens[at : at + FIRST]} & _words(vocabulary, "apart")
    if known and not apart and (at, "counted") not in {(i, kind) for i, _, kind, _ in cues}:
        return False
    until = min([at + REACH, *(i for i, _, kind, _ in cues if kind in WEAK and i > at + length)])
    return _has_plate(tokens[before:at], vocabulary) and _has_plate(tokens[at:until], vocabulary)


def _has_plate(tokens: Tokens, vocabulary: Vocabulary) -> bool:
    """Whether a maker, model, serial or year is told; "made of steel" and "I make the round" are none."""
    plate, none = _words(vocabulary, "plate"), {"of", "the", "a", "an", "it", "sure", "up"}
    return any(
        t.lower in plate and after.lower not in none
        for t, after in zip(tokens, (*tokens[1:], *tokens[-1:]), strict=True)
    )


def _named(tokens: Tokens, at: int, openings: list[int]) -> int | None:
    """Which earlier part the words after "back to the" name: the one in whose opening most of them stand."""
    wanted = {t.lower for t in tokens[at : at + 3] if len(t.lower) > 2}
    best, score = None, 0
    for n, start in enumerate(openings):
        overlap = len(wanted & {t.lower for t in tokens[start : min(start + 20, at)]})
        if overlap > score:
            best, score = n, overlap
    return best


def _sentence_start(tokens: Tokens, i: int, openers: frozenset[str]) -> int:
    """The first token of the clause that a cue stands in, so that a "so" or "okay" goes with it."""
    while i > 0 and tokens[i - 1].sentence == tokens[i].sentence and tokens[i - 1].lower in openers:
        i -= 1
    return i
