"""Things that their article counts: "after it a deduster and a metal detector" is one of each.

Read only where the words leave no room for more: not where it was said for each of several, of what several have, or
where the same is spoken of in the plural anywhere.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from extractors.noun_phrase import Phrase
from extractors.phrases import Atom, clause_end, clause_start, is_plural, sentence_bounds, singular
from extractors.same_thing import words_before

ONE = frozenset({"a", "an", "another"})
SHARED = frozenset("each every per apiece both all either they they've they're these those some".split())
"""Words of a sentence by which what has "a" may be had by several."""
PRONOUNS = frozenset("they they've they're these those some".split())
BRIEF = 4
"""Words of a clause behind that may tell for how many a thing is: "a fan, one for each"."""
UNREAL = frozenset(
    "if would could might should needs need like without any maybe either used supposed every whenever usually "
    "never".split()
)
"""Words of the clause before "a" that make it no thing that stands there."""
OF_SEVERAL = frozenset({"with", "has", "have", "got", "had", "having", "carry", "carries"})
"""Words by which the thing before them has it; where that is several, so is what they have."""


def single_things(
    atoms: Sequence[Atom], phrases: Sequence[Phrase], mentioned: Mapping[int, Sequence[int]]
) -> frozenset[int]:
    """The mentions of which there is one by the article of the phrase that lists them.

    `mentioned` tells for a phrase the mentions that it is of, the one that lists it first.
    """
    groups: dict[int, list[int]] = {}
    for n in sorted(mentioned):
        for index in mentioned[n]:
            groups.setdefault(index, []).append(n)
    many: dict[str, list[tuple[Phrase, frozenset[str]]]] = {}
    for p in phrases:
        if p.plural or (p.count or 0) > 1:
            many.setdefault(singular(p.heads[-1]), []).append((p, words_before(p)))
    out = set()
    for index, told in groups.items():
        phrase = phrases[told[0]]
        mods = words_before(phrase)
        others = [m for q, m in many.get(singular(phrase.heads[-1]), ()) if q is not phrase]
        several = not phrase.holders and any(mods <= m for m in others)
        if not several and names_one(atoms, phrases, phrase):
            out.add(index)
    return frozenset(out)


def names_one(atoms: Sequence[Atom], phrases: Sequence[Phrase], phrase: Phrase) -> bool:
    """Whether a phrase brings in one thing that is there: "there's a filter press", and not "a pump to each"."""
    held = bool(phrase.holders) and not is_plural(phrase.holders.split()[0])  # "a set of gaskets" is one set
    if phrase.article not in ONE or (phrase.plural and not held) or phrase.count is not None or phrase.indexed:
        return False
    first, last = sentence_bounds(atoms, phrase.first)
    start = clause_start(atoms, phrase.first)
    several = [p.first for p in phrases if (p.plural or (p.count or 0) > 1) and first <= p.first < last]
    # "a printer, it prints a ticket for each load": what stands behind in clauses of its own shares nothing
    reach = clause_end(atoms, phrase.last - 1)
    reach = further if (further := clause_end(atoms, reach)) - reach <= BRIEF and reach < last else reach
    shared = [k for k in range(start, min(last, reach)) if atoms[k].lower in SHARED]
    shared = [k for k in shared if k < phrase.first or atoms[k].lower not in PRONOUNS]
    if any(not any(phrase.first < p < k for p in several) for k in shared):
        return False  # "a tank with two pumps, three horse apiece" is still one tank
    before = [a.lower for a in atoms[start : phrase.first]]
    if UNREAL & set(before):
        return False
    if not OF_SEVERAL & set(before):
        return True
    having = max(k for k in range(start, phrase.first) if atoms[k].lower in OF_SEVERAL)
    return not any(p < having for p in several)  # "a box with six filters and a set of gaskets" has one set
