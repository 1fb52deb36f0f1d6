"""Things that no table has, where a cue says what happens to them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache

from extractors.disposition_words import ARTICLES, LEADS_IN, weigh
from extractors.disposition_words import cues as find_cues
from extractors.noun_phrase import Phrase
from extractors.phrases import Atom, is_plural, singular, text_of
from extractors.word_classes import Classes
from vocab import Vocabulary


def unnamed_things(atoms: Sequence[Atom], phrases: Sequence[Phrase], vocabulary: Vocabulary) -> list[Phrase]:
    """Things that no table has, where a cue says what happens to them: "the roll feed was sold last month".

    They are looked for in sentences with a cue, where a subject, an object or a bare topic would stand: behind an
    article, at most four words that could be a name, and then a stop, "and", a helping verb, a person or the cue.
    """
    finder, classes, strangers = find_cues(vocabulary), _classes(vocabulary), _strangers(vocabulary)
    # "the lab bench": what is never a thing may well be the first word of one
    taken = {k for p in phrases for k in range(p.first, p.last) if p.grade != "never"}
    never = {p.last - 1 for p in phrases if p.grade == "never"}
    cues: dict[int, int] = {}
    i = 0
    while i < len(atoms):
        found = None if i in taken or atoms[i].aside else finder.at(atoms, i)
        if found is None or found[1].disposition in ("reason", "gone") or weigh(atoms, i, *found) is None:
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


@lru_cache(maxsize=16)
def _classes(vocabulary: Vocabulary) -> Classes:
    return Classes(vocabulary)
