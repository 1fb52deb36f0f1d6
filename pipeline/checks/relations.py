"""A product or sum of figures against one that was told: what the rules of shifts, supplies, amounts and years share.

Operands stand anywhere in a walk. What keeps a rule quiet: any combination of its figures that holds, what a stricter
rule has settled, a product too far off to be of one thing, and a count told nearby that explains the difference.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence

from extractors.phrases import plural
from pipeline.checks.facts import Facts, facts, per_hour, size, slack
from pipeline.checks.offers import verdict
from pipeline.checks.told import nearest, sentence, settled
from pipeline.checks.wording import moment, number, told_count
from pipeline.walk import Checked, Finding, Loose, Quantity, Walk
from vocab import Row

Results = Iterator[Finding | Checked]

FAR = 12.0
"""How many times a product may be off and still be of the same thing; common practice, no source."""
_NEAR = 30.0
"""Seconds around its figures in which a count may explain a difference; common practice, no source."""
_TWO = re.compile(
    r"\b(?:pairs?|both|twins?|double|duplex|either side|each side|two (?:of|at|by|up|in|lanes?|rows?|sides?))\b"
)


def magnitude(q: Quantity, unit: str) -> float:
    """A figure in a unit, a rate or cycle as so many an hour; 0 where it measures something else."""
    return (per_hour(q) if unit == "1/hour" else size(q, unit)) or 0.0


def distinct(figures: Sequence[Quantity], unit: str) -> int:
    """How many different magnitudes some figures have."""
    return len({round(magnitude(q, unit), 6) for q in figures})


def multipliers(index: Facts, figures: Sequence[Quantity]) -> set[int]:
    """Counts told near some figures, of which a product may be taken as often."""
    at = [moment(q) for q in figures]

    def near(start: float) -> bool:
        return any(abs(start - a) <= _NEAR for a in at)

    found = {
        int(n.value)
        for n in index.walk.loose
        if n.evidence and 2 <= n.value <= 60 and n.value == int(n.value) and near(n.evidence[0].start)
    }
    found |= {c.count for c in index.components if c.count and 2 <= c.count <= 60 and near(moment(c))}
    return found | ({2} if any(_TWO.search(sentence(q)) for q in figures) else set())


def explained(index: Facts, ratio: float, figures: Sequence[Quantity], spare: float) -> bool:
    """Whether a count told near the figures is the ratio between what was told and what they make."""
    return any(abs(r / n - 1) <= spare for n in multipliers(index, figures) for r in (ratio, 1 / ratio))


def kinds_and_count(rule: str, noun: str, total: Quantity, kinds: Sequence[Loose]) -> Results:
    """What comes of adding up the bare counts of some kinds of a noun, against the count of all of them."""
    made = int(sum(n.value for n in kinds))
    parts = [told_count(f"{noun} {i}", int(n.value), n.evidence) for i, n in enumerate(kinds, 1)]

    def holds(total: Quantity, *parts: Quantity) -> bool:
        return sum(p.value for p in parts) == total.value

    message = (
        f"{' and '.join(number(n.value) for n in kinds)} are {made} {plural(noun)}, {number(total.value)} was stated: "
        "count again, and say which stands."
    )
    yield from verdict(rule, [total, *parts], holds, message, level="check")


def product(
    walk: Walk,
    rule: str,
    row: Row,
    factors: Sequence[Sequence[Quantity]],
    stated: Sequence[Quantity],
    made: Callable[..., float],
    unit: str,
    say: Callable[..., str],
    *,
    within: float = 150.0,
    counts: bool = True,
    far: float = FAR,
) -> Results:
    """What comes of comparing made(one of each factors), in a unit, with one of the stated figures.

    low and high of the row bound stated / made; the side that is not there is open. say(*factors, stated) words it.
    """
    low, high = row.get("low"), row.get("high")
    spare = min(max(0.08, (high or 1.0) - 1.0), 0.12)

    def holds(*figures: Quantity) -> bool:
        *parts, total = figures
        base = made(*parts)
        if not base:
            return True
        ratio, loose = magnitude(total, unit) / base, slack(*figures)
        return (low is None or ratio >= low - loose) and (high is None or ratio <= high + loose)

    found = nearest(holds, *factors, stated, within=within)
    if found is None:
        return
    (*parts, total), agreed = found
    base = made(*parts)
    ratio = magnitude(total, unit) / base if base else 0.0
    if settled(walk, *parts, total) or not 1 / far <= ratio <= far:
        return
    if not agreed and counts and explained(facts(walk), ratio, [*parts, total], spare):
        return
    many = multipliers(facts(walk), [*parts, total]) if low is None and any(q.each for q in parts) else set()
    if not agreed and ratio <= max(many, default=0) * (1 + spare):
        return  # "four fans, seven kilowatts each": all of them may run
    yield from verdict(rule, [*parts, total], holds, say(*parts, total), level="check")
