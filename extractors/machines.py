"""Where a speaker moves on to another machine, so that one recording of several gives a walk for each.

A line made of several machines is one walk: its parts are numbered, feed each other, or share one plate. So a weak
cue ("next up is") cuts only where both sides are described as machines of their own, each with a plate (maker, model,
serial, year), and no word of a line stands near it. Strong cues ("lot fourteen", "next machine") always cut.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from extractors.mentions import Token, Tokens
from vocab import Vocabulary

CUES = ("new", "maybe", "back", "line")
REACH = 60
"""Words after a cue in which a machine of its own is named with its plate; people name what they stand before first."""
NEAR = 25
"""Words around a weak cue in which a word of a line speaks against a cut."""


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
    plate = _words(vocabulary, "plate")
    cuts: list[tuple[int, str, int | None]] = []
    openings = [0]
    for i, length, kind, said in cues:
        if i - openings[-1] < 4:
            continue
        own = kind == "maybe" and not numbered and _own_machines(tokens, openings[-1], i, cues, plate)
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
    found = []
    for i, t in enumerate(tokens):
        fits = [
            (words, kind)
            for words, kind in by_first.get(t.lower, ())
            if t.aside is None and _fits(tokens, i, words, kind, openers, numbers)
        ]
        if fits:
            words, kind = max(fits, key=lambda fit: len(fit[0]))
            found.append((i, len(words), kind, " ".join(x.text for x in tokens[i : i + len(words)])))
    return found


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
    tokens: Tokens, before: int, at: int, cues: list[tuple[int, int, str, str]], plate: frozenset[str]
) -> bool:
    """Whether what lies before and after a weak cue are machines of their own."""
    if any(kind == "line" and abs(i - at) <= NEAR for i, _, kind, _ in cues):
        return False
    behind = {t.lower for t in tokens[before:at]}
    ahead = {t.lower for t in tokens[at : at + REACH]}
    return bool(behind & plate) and bool(ahead & plate)


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
