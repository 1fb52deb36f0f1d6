"""Lists under a heading: "Spare parts: sixty nozzles, two pump heads and some wheels", "Tooling. Six collets, a vise."

What stands in such a list is listed, be it small; and what stands under spares is another thing than its like in the
machine.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from extractors.noun_phrase import Phrase
from extractors.phrases import Atom, sentence_bounds, singular
from extractors.scene import Scene

SPARES = frozenset({"spare", "spares"})
HEADINGS = SPARES | frozenset("accessory accessories extras tooling attachment attachments consumables".split())
BEFORE = frozenset("for as to now and then okay so also well the on some other".split())
"""Words before a heading."""
BEHIND = frozenset("parts part is are there 's we i you 've got have get in one well".split())
"""Words between a heading and its list, besides what a pause ends."""


@dataclass(frozen=True, slots=True)
class Lists:
    """Where phrases stand in lists under a heading, each by its first atom."""

    items: frozenset[int]
    headings: frozenset[int]


def under_headings(view: Scene) -> tuple[tuple[Phrase, ...], Lists]:
    """The phrases, those under a heading of spares with that word; and which of them are headings, which in a list."""
    atoms, out, items, headings = view.atoms, list[Phrase](), set[int](), set[int]()
    for p in view.phrases:
        head = _heading(atoms, p)
        if head is not None and p.grade not in ("never", "whole", "generic") and not p.led and not p.negated:
            if head in SPARES and "spare" not in (*p.modifiers, *p.heads):
                p = replace(p, modifiers=("spare", *p.modifiers))
            items.add(p.first)
        first, last = sentence_bounds(atoms, p.first)
        if not p.article and p.count is None and _opens(atoms, first, last) and first + 3 > p.first:
            headings.add(p.first)
        out.append(p)
    return tuple(out), Lists(frozenset(items), frozenset(headings - items))


def _heading(atoms: Sequence[Atom], phrase: Phrase) -> str | None:
    """The heading that a phrase stands under: first in its sentence, or all of the sentence before."""
    first, _ = sentence_bounds(atoms, phrase.first)
    found = _opens(atoms, first, phrase.first)
    if found is not None:
        return found
    if first == 0:
        return None
    start, end = sentence_bounds(atoms, first - 1)
    alone = _opens(atoms, start, end)
    return alone if alone is not None and end - start <= 3 else None


def _opens(atoms: Sequence[Atom], first: int, stop: int) -> str | None:
    """The heading that opens the atoms from first on, where a list follows it before stop."""
    k = first
    while k < stop and atoms[k].lower in BEFORE and not atoms[k].after:
        k += 1
    if k >= stop or atoms[k].lower not in HEADINGS:
        return None
    head = singular(atoms[k].lower)
    end = k + 1
    while end < stop and not atoms[end - 1].after and atoms[end].lower in BEHIND:
        end += 1
    if any(a.after == ":" for a in atoms[k:stop]):
        return head  # "Spares for that are in the tin box: six knives"
    # "the spare pump": what is no heading goes on with its noun
    return head if atoms[end - 1].after or end > k + 1 or end == stop else None
