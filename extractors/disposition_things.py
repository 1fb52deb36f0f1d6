"""Which phrases are things that may go or stay: no holders of other things, no second names, nothing unsaid."""

from __future__ import annotations

from collections.abc import Sequence

from extractors.disposition_frames import Cue
from extractors.disposition_groups import BOXES
from extractors.noun_phrase import Phrase
from extractors.phrases import Atom, singular


def to_a_thing(atoms: Sequence[Atom], phrases: Sequence[Phrase], n: int | None, cue: Cue, end: int) -> bool:
    """Whether what goes goes to a machine (phrase n behind the cue) and to no buyer: "the trim goes to a fan"."""
    words = cue.words.split()
    goes = words[0] in ("goes", "go", "going") and "to" in words and words[-1] in ("to", "a", "the", "our")
    return goes and n is not None and phrases[n].first <= end and phrases[n].grade in ("machine", "part", "site")


def said_again(atoms: Sequence[Atom], phrases: Sequence[Phrase], n: int) -> bool:
    """Whether a phrase only calls by another word what was named right before: "the detector, that little tunnel"."""
    phrase = phrases[n]
    if n == 0 or phrase.article not in ("that", "this") or phrase.grade not in ("whole", "generic", "site"):
        return False
    before = phrases[n - 1]
    named = before.last == phrase.first and before.grade in ("machine", "open", "part") and not before.plural
    return named and atoms[before.last - 1].after == "," and atoms[phrase.last - 1].after in (",", ".", ";")


def held(atoms: Sequence[Atom], phrase: Phrase) -> bool:
    """Whether a phrase is what a holder is full of: "a box of forty spare cups"."""
    at = phrase.first - 1
    return at > 0 and atoms[at].lower == "of" and singular(atoms[at - 1].lower) in BOXES and phrase.plural


def holds(atoms: Sequence[Atom], phrases: Sequence[Phrase], phrase: Phrase) -> bool:
    """Whether a phrase only holds another thing: the box of "a box of forty spare cups"."""
    of = phrase.last < len(atoms) and atoms[phrase.last].lower == "of"
    holder = of and phrase.count is None and singular(phrase.heads[-1]) in BOXES
    return holder and any(p.first == phrase.last + 1 and p.grade != "never" for p in phrases)


def specific(atoms: Sequence[Atom], phrase: Phrase) -> bool:
    """Whether a phrase says of what it speaks: a bare "unit" does not, "four detectors" does, "three sets of" not."""
    if phrase.grade != "generic" or phrase.modifiers:
        return True
    of = phrase.last < len(atoms) and atoms[phrase.last].lower == "of"
    return phrase.count is not None and phrase.plural and not of


def known_again(phrases: Sequence[Phrase]) -> list[int]:
    """The bare nouns of many machines that call again what was named in full: in a list "the detector" is the metal
    detector, "the machine" the moulding machine."""
    out: list[int] = []
    full: set[str] = set()
    for n, phrase in enumerate(phrases):
        head = singular(phrase.heads[-1])
        if phrase.grade in ("never", "whole") or phrase.negated:
            continue
        if phrase.modifiers or len(phrase.heads) > 1:
            full.add(head)
        elif phrase.grade == "generic" and phrase.count is None and phrase.article in ("", "the") and head in full:
            out.append(n)
    return out
