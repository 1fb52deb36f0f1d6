"""What was said earlier of a figure that is corrected by its number: it falls, and what stands takes its place.

"The soak cleaner at a hundred and sixty-five Fahrenheit ... I gave the soak cleaner as a hundred and sixty-five, the
controller is set at a hundred and eighty": neither number of the correction has a unit, and what it goes back to was
said minutes ago, of a thing that the correction names.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from extractors.mentions import QuantityMention, RepairMention, Span, Tokens, meet
from extractors.spoken_numbers import find_numbers
from extractors.word_classes import CARDINALS, NUMBER_WORDS, ORDINALS, stem
from vocab import Vocabulary

MINUTES = 1200
"""Words back to what is corrected, at most: some eight minutes."""
BEFORE, BEHIND = 25, 14
"""Words around a correction among which the thing is named; chosen, no source."""
STATED = frozenset({"stated", "hedged"})
COUNTED = NUMBER_WORDS | {*CARDINALS, *ORDINALS}


@dataclass(frozen=True, slots=True)
class Sides:
    """The two numbers of a correction."""

    old: float
    new: float
    old_bare: bool
    """Whether nothing but the number is said: its unit is then that of what was said before."""
    new_bare: bool
    around: frozenset[str]
    """Stems of the words around."""


def sides_of(tokens: Tokens, repairs: Sequence[RepairMention], vocabulary: Vocabulary) -> Mapping[RepairMention, Sides]:
    """Of corrections with one number on each side, both."""
    out = {}
    for repair in repairs:
        if repair.withdrawn is None or repair.kept is None:
            continue
        sides = [tuple(t for t in tokens if a <= t.word < b) for a, b in (repair.withdrawn, repair.kept)]
        found = [[n for n in find_numbers(side, vocabulary) if n.value_max is None] for side in sides]
        if any(len(f) != 1 for f in found):
            continue
        # "scratch the fifteen, I was looking at the wrong tag" has no unit
        bare = [
            n.first == 0 and (n.last == len(side) or side[n.last - 1].after != "")
            for (n,), side in zip(found, sides, strict=True)
        ]
        at = (min(repair.withdrawn[0], repair.kept[0]), max(repair.withdrawn[1], repair.kept[1]))
        near = (stem(t.lower) for t in tokens if at[0] - BEFORE <= t.word < at[1] + BEHIND)
        around = frozenset(w for w in near if len(w) > 2) - COUNTED
        out[repair] = Sides(found[0][0].value, found[1][0].value, bare[0], bare[1], around)
    return out


def settle_earlier(all_: list[QuantityMention], repair: RepairMention, sides: Sides) -> None:
    """Withdraw the figure said earlier that a correction goes back to, where that was not done yet."""
    withdrawn, kept = repair.withdrawn, repair.kept
    if withdrawn is None or kept is None or sides.old == sides.new:
        return
    own = next((q for q in all_ if q.status == "withdrawn" and meet(q.span, withdrawn)), None)
    begin = min(withdrawn[0], kept[0])
    told = [
        i
        for i, q in enumerate(all_)
        if (q.value, q.value_max) == (sides.old, None)
        and q.status in STATED
        and q.unit
        and q.span[1] <= begin <= q.span[0] + MINUTES
        and (sides.old_bare or (own is not None and own.unit == q.unit))
        and things_of(q.subject) & sides.around
    ]
    if not told:
        return
    chosen = all_[max(told, key=lambda i: (len(things_of(all_[i].subject) & sides.around), i))]
    if own is not None and not sides.old_bare and not _one_thing(own, chosen):
        return
    for i in told:
        if (all_[i].subject, all_[i].property, all_[i].unit) == (chosen.subject, chosen.property, chosen.unit):
            all_[i] = replace(all_[i], status="withdrawn", thing=None)
    if sides.old_bare:
        all_[:] = [
            q for q in all_ if not (q.status == "withdrawn" and meet(q.span, withdrawn) and q.unit != chosen.unit)
        ]
    _stand(all_, kept, sides, chosen)


def _stand(all_: list[QuantityMention], kept: Span, sides: Sides, was: QuantityMention) -> None:
    """What stands, as a figure of what the withdrawn one was of."""
    news = [i for i, q in enumerate(all_) if meet(q.span, kept) and q.status != "withdrawn" and q.value == sides.new]
    alike = [i for i in news if all_[i].unit == was.unit]
    if alike:
        for i in alike:
            all_[i] = replace(all_[i], status="corrected", subject=was.subject, property=was.property, thing=was.thing)
    elif sides.new_bare:
        stands = replace(was, span=kept, value=sides.new, status="corrected", doubt=None)
        all_[:] = [q for i, q in enumerate(all_) if i not in news] + [stands]


def _one_thing(a: QuantityMention, b: QuantityMention) -> bool:
    """Whether two figures are of one property of what may be one thing: "chamber two", "the curing chambers"."""
    one, other = things_of(a.subject), things_of(b.subject)
    return a.property == b.property and (one <= other or other <= one)


def things_of(subject: str) -> frozenset[str]:
    """The stems of a subject, without numbers."""
    words = subject.lower().replace("-", " ").split()
    return frozenset(stem(w) for w in words if len(w) > 2 and w not in COUNTED and not w.isdigit())
