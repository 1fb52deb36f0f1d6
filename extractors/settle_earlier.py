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
from extractors.word_classes import CARDINALS, NUMBER_WORDS, ORDINALS, stem, word_set
from vocab import Vocabulary

MINUTES = 1200
"""Words back to what is corrected, at most: some eight minutes."""
BEFORE, BEHIND = 25, 14
"""Words around a correction among which the thing is named; chosen, no source."""
STATED = frozenset({"stated", "hedged"})
SOON_AGAIN = 14
"""Words within which what stands may be said once more; chosen, no source."""
TOLD = 14
"""Words before a figure in which somebody tells that he said it; chosen, no source."""
SPEAKERS = frozenset({"i", "i've", "i'd", "we", "we've", "we'd"})
RETELLING = word_set(
    "said told gave given called put had have quoted hollered shouted mentioned read wrote listed reckoned counted "
    "noted recorded announced sang guessed"
)
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
    retold: bool = False
    """Whether the first is told as what the speaker said before ("I had ten kilos apiece")."""


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
        lead = [t.lower for t in tokens if repair.withdrawn[0] - TOLD <= t.word < repair.withdrawn[0]]
        out[repair] = Sides(found[0][0].value, found[1][0].value, bare[0], bare[1], around, _retold(lead))
    return out


def _retold(lead: Sequence[str]) -> bool:
    """Whether somebody says in these words what he said before: "the rail, I told you", "I have told wrongly"."""
    return any(a in SPEAKERS and set(lead[k + 1 : k + 4]) & RETELLING for k, a in enumerate(lead))


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
        and (sides.retold or things_of(q.subject) & sides.around)
    ]
    told = _meant(all_, told, kept, sides) if sides.retold else told
    if not told:
        return
    chosen = all_[max(told, key=lambda i: (len(things_of(all_[i].subject) & sides.around), i))]
    if own is not None and not sides.old_bare and not sides.retold and not _one_thing(own, chosen):
        return
    for i in told:
        if (all_[i].subject, all_[i].property, all_[i].unit) == (chosen.subject, chosen.property, chosen.unit):
            all_[i] = replace(all_[i], status="withdrawn", thing=None)
    if sides.old_bare:
        all_[:] = [
            q for q in all_ if not (q.status == "withdrawn" and meet(q.span, withdrawn) and q.unit != chosen.unit)
        ]
    _stand(all_, kept, sides, chosen)


def _meant(all_: Sequence[QuantityMention], told: list[int], kept: Span, sides: Sides) -> list[int]:
    """Of the figures that may have been retold those of what is named around; else the only one there is, in the unit
    of what stands."""
    units = {q.unit for q in all_ if meet(q.span, kept) and q.status != "withdrawn" and q.value == sides.new}
    named = [i for i in told if things_of(all_[i].subject) & sides.around]
    if not named and sides.old_bare and sides.new_bare:
        return []  # "the coolers, I told you twelve, it is fourteen" counts things
    alike = [i for i in named or told if not units or sides.new_bare or all_[i].unit in units]
    return alike if named or len({(all_[i].subject, all_[i].property) for i in alike}) == 1 else []


def _stand(all_: list[QuantityMention], kept: Span, sides: Sides, was: QuantityMention) -> None:
    """What stands, as a figure of what the withdrawn one was of."""
    news = [i for i, q in enumerate(all_) if meet(q.span, kept) and q.status != "withdrawn" and q.value == sides.new]
    alike = [i for i in news if all_[i].unit == was.unit]
    if alike:
        for i in alike:
            all_[i] = replace(all_[i], status="corrected", subject=was.subject, property=was.property, thing=was.thing)
        for i, q in enumerate(all_):
            if (
                kept[1] <= q.span[0] <= kept[1] + SOON_AGAIN
                and _figure(q) == _figure(all_[alike[0]])
                and q.status in STATED
            ):
                all_[i] = replace(q, subject=was.subject, property=was.property, thing=was.thing)
    elif sides.new_bare:
        stands = replace(was, span=kept, value=sides.new, status="corrected", doubt=None)
        all_[:] = [q for i, q in enumerate(all_) if i not in news] + [stands]


def _figure(q: QuantityMention) -> tuple[float, float | None, str]:
    return q.value, q.value_max, q.unit


def _one_thing(a: QuantityMention, b: QuantityMention) -> bool:
    """Whether two figures are of one property of what may be one thing: "chamber two", "the curing chambers"."""
    one, other = things_of(a.subject), things_of(b.subject)
    return a.property == b.property and (one <= other or other <= one)


def things_of(subject: str) -> frozenset[str]:
    """The stems of a subject, without numbers."""
    words = subject.lower().replace("-", " ").split()
    return frozenset(stem(w) for w in words if len(w) > 2 and w not in COUNTED and not w.isdigit())
