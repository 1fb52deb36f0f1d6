"""The cues of dispositions as one tree of words: forms with slots spelt out, adverbs passed over where one may stand.

"is included", "is all included", "are, of course, ..." need no forms of their own: behind its first word a form goes on
over any word or words of `PASSED_OVER` that stand in the talk.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from extractors.disposition_frames import Cue, Frames, frames
from extractors.phrases import Atom, goes_on, key
from vocab import Vocabulary

PASSED_OVER = {
    words.split()[0]: tuple(words.split())
    for words in (
        "already", "also", "all", "both", "each", "just", "currently", "definitely", "now", "obviously", "naturally",
        "certainly", "of course", "actually", "kind of", "sort of", "more or less", "pretty much", "still",
        "a bit of", "right", "really", "simply", "clearly", "absolutely", "always", "apparently", "sadly",
        "unfortunately", "kinda", "normally", "officially", "strictly", "formally", "too",
        "surely", "plainly", "flat",
    )
}  # fmt: skip
"""What may stand between the words of a cue without changing what it says, by its first word, no two of which
are alike; English adverbs of time and degree."""
SLOT = re.compile(r"\{([^}]+)\}")


@dataclass(frozen=True, slots=True)
class Decision:
    """A disposition of one phrase, with the atom of its cue."""

    phrase: int
    disposition: str
    reason: str | None
    at: int
    owner: bool = False
    """Whether it is drawn from whose the thing is; whether it goes, said outright beside it, counts for more."""
    outright: bool = False
    """Whether it takes back what was said before it."""


@dataclass(slots=True)
class _Node:
    """A place in the tree: the words that may follow, and the cues that end here."""

    following: dict[str, _Node] = field(default_factory=dict)
    cues: list[Cue] = field(default_factory=list)


class CueFinder:
    """Finds the cues at a place, the longest first."""

    def __init__(self, forms: Sequence[Cue], known: Frames | None = None) -> None:
        self._root = _Node()
        self.known = known
        """What statements are put together from that no form holds; None: forms alone."""
        for cue in forms:
            node = self._root
            for word in key(cue.words):
                node = node.following.setdefault(word, _Node())
            if cue not in node.cues:
                node.cues.append(cue)

    def at(self, atoms: Sequence[Atom], i: int) -> tuple[int, Cue] | None:
        """End (excluded) and cue of the longest form that begins at i; None where none does."""
        return next(self.all_at(atoms, i), None)

    def all_at(self, atoms: Sequence[Atom], i: int) -> Iterator[tuple[int, Cue]]:
        """End (excluded) and cue of every form that begins at i: the longest first, then the one with most words."""
        first = self._root.following.get(atoms[i].lower)
        if first is None:
            return
        found: list[tuple[int, int, Cue]] = []
        self._follow(atoms, i + 1, first, 1, found)
        for end, _, cue in sorted(found, key=lambda f: (-f[0], -f[1])):
            yield end, cue

    def _follow(
        self, atoms: Sequence[Atom], k: int, node: _Node, words: int, found: list[tuple[int, int, Cue]]
    ) -> None:
        """Gathers the cues that end at node or beyond, the words up to k being matched."""
        found += [(k, words, cue) for cue in node.cues]
        if not node.following or not goes_on(atoms, k):
            return
        if (there := node.following.get(atoms[k].lower)) is not None:
            self._follow(atoms, k + 1, there, words + 1, found)
        past = _past_adverb(atoms, k)
        if past is not None and (there := node.following.get(atoms[past].lower)) is not None:
            self._follow(atoms, past + 1, there, words + 1, found)


def _past_adverb(atoms: Sequence[Atom], k: int) -> int | None:
    """The atom behind the adverb that stands at k; None where none does, or nothing follows it."""
    words = PASSED_OVER.get(atoms[k].lower, ())
    end = k + len(words)
    said = tuple(a.lower for a in atoms[k:end]) == words and all(goes_on(atoms, j) for j in range(k + 1, end + 1))
    return end if words and said else None


def spelt_out(spoken: str, slots: Mapping[str, tuple[str, ...]]) -> Iterator[str]:
    """Every form that a spoken form with slots stands for: "{be} sold" gives "is sold", "are sold" and so on."""
    opened = SLOT.search(spoken)
    if opened is None:
        yield " ".join(spoken.split())
        return
    for word in slots[opened.group(1)]:
        yield from spelt_out(spoken[: opened.start()] + word + spoken[opened.end() :], slots)


@lru_cache(maxsize=16)
def cues(vocabulary: Vocabulary) -> CueFinder:
    """The cues of a vocabulary. Raises KeyError where a form has a slot that disposition_slots.toml does not know."""
    slots = {row["slot"]: tuple(row["words"]) for row in vocabulary["disposition_slots"]}
    return CueFinder(
        [
            Cue(row["disposition"], row["where"], row["reason"], form)
            for row in vocabulary["dispositions"]
            for spoken in row["spoken"]
            for form in spelt_out(spoken, slots)
        ],
        frames(vocabulary),
    )
