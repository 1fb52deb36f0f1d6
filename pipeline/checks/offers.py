"""Which word was wrong: the smallest re-readings of one heard figure that settle a conflict. Offered, never applied.

A rule gives its figures and `holds`, which says whether such figures can be true together. Each figure is read another
way in turn (inches for feet, fifteen for fifty, a digit dropped, one off, a decimal slip, the other gallon); readings
with which everything holds are ranked by likeness of sound, size of change and doubt about the word; three at most.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from extractors.units import UnknownUnit, convert, known
from pipeline.checks.facts import has_dimension, system
from pipeline.checks.wording import Basis, Outcome, amount, clean, compared, finding, moment, said
from pipeline.walk import Checked, Finding, Level, Offer, Quantity

MOST = 3
"""Offers for one conflict."""

_SLIPS: tuple[frozenset[str], ...] = (
    frozenset({"foot", "inch", "yard"}),
    frozenset({"metre", "centimetre", "millimetre"}),
    frozenset({"inch", "millimetre", "centimetre"}),
    frozenset({"foot", "metre"}),
    frozenset({"thou", "millimetre"}),
    frozenset({"gallon", "imperial_gallon"}),
    frozenset({"gallon", "litre", "quart"}),
    frozenset({"litre", "millilitre", "metre**3"}),
    frozenset({"second", "minute", "hour"}),
    frozenset({"day", "hour"}),
    frozenset({"degF", "degC"}),
    frozenset({"psi", "bar"}),
    frozenset({"bar", "millibar", "kilopascal", "megapascal"}),
    frozenset({"horsepower", "kilowatt"}),
    frozenset({"kilowatt", "watt", "megawatt"}),
    frozenset({"ampere", "milliampere"}),
    frozenset({"volt", "kilovolt"}),
    frozenset({"pound", "kilogram", "ounce"}),
    frozenset({"ton", "tonne", "pound"}),
    frozenset({"gram", "kilogram", "tonne"}),
    frozenset({"gallon/minute", "gallon/hour", "imperial_gallon/minute", "litre/minute"}),
    frozenset({"metre**3/hour", "litre/minute", "litre/hour", "metre**3/minute", "litre/second"}),
    frozenset({"foot**3/minute", "metre**3/minute", "metre**3/hour", "foot**3/hour"}),
    frozenset({"foot/minute", "inch/minute", "foot/second", "metre/minute"}),
    frozenset({"metre/minute", "metre/second", "millimetre/second", "metre/hour"}),
    frozenset({"1/minute", "1/hour", "1/second", "1/day"}),
    frozenset({"pound/hour", "pound/minute", "kilogram/hour", "ton/hour", "tonne/hour"}),
    frozenset({"Btu/hour", "kilowatt"}),
)
"""Units that are taken for one another when spoken or heard; common practice, no source."""

_RARE = frozenset(("yard", "thou", "ounce", "milliampere", "megawatt", "metre/hour", "foot**3/hour", "gallon/hour"))
"""Units that are seldom meant where another was said; common practice, no source."""

_TEENS = {n: (n - 10) * 10 for n in range(13, 20)}
_TIES = {ty: teen for teen, ty in _TEENS.items()}
_LIKE = {"5": "9", "9": "5"}
"""Digits that sound alike over a bad line, which is why radio operators say fife and niner; from memory."""

_PLATE_ONLY = {"weight", "pressure", "voltage", "concentration"}
"""Properties that only a plate or a document settles, whatever fits."""


@dataclass(frozen=True, slots=True)
class Reading:
    """Another way to read one figure; the cost grows with how unlike it is to what was heard."""

    value: float
    unit: str
    cost: float


def readings(q: Quantity) -> Iterator[Reading]:
    """Other readings of one figure, a range aside; dearer ones are less like what was heard."""
    v = q.value
    for group in _SLIPS:
        if q.unit in group:
            for unit in sorted(group - {q.unit}):
                if known(unit):
                    rare = (0.6 if unit in _RARE else 0.0) + (0.3 if system(unit) != system(q.unit) else 0.0)
                    yield Reading(v, unit, 1.0 + rare + 0.1 * _steps(v, q.unit, unit))
    for scale in (1, 100, 1000):
        for table in (_TEENS, _TIES):
            part = v / scale
            if part in table:
                yield Reading(table[int(part)] * scale, q.unit, 0.8 + 0.2 * (scale > 1))
            elif scale == 1 and v > 100 and v == int(v) and int(v) % 100 in table:
                yield Reading(v - int(v) % 100 + table[int(v) % 100], q.unit, 0.9)
    if q.property in ("count", "phases") or (q.unit == "" and v == int(v) and abs(v) < 100):
        for step in (-1, 1):
            if v + step > 0:
                yield Reading(v + step, q.unit, 0.9)
    if q.property == "year":
        yield from _other_digits(str(int(v)), q.unit)
        return
    for factor in (10, 0.1, 100, 0.01, 1000, 0.001):
        yield Reading(float(f"{v * factor:.12g}"), q.unit, 1.3 + 0.3 * abs(math.log10(factor)))
    if v == int(v) and 10 <= abs(v) < 1e7:
        yield from _other_digits(str(int(abs(v))), q.unit)
    if v == int(v) and abs(v) < 1000 and q.property not in ("count", "phases") and q.unit != "":
        for step in (-1, 1):
            if v + step > 0:
                yield Reading(v + step, q.unit, 2.2)


def _other_digits(text: str, unit: str) -> Iterator[Reading]:
    """A digit dropped, joined, swapped with its neighbour, or taken for one that sounds alike."""
    for i in range(len(text)):
        rest = text[:i] + text[i + 1 :]
        if rest and rest[0] != "0":
            yield Reading(float(rest), unit, 1.6)
        if text[i] in _LIKE:
            yield Reading(float(text[:i] + _LIKE[text[i]] + text[i + 1 :]), unit, 1.2)
        for digit in "0123456789":
            if digit != text[i] and not (i == 0 and digit == "0"):
                yield Reading(float(text[:i] + digit + text[i + 1 :]), unit, 2.4)
    for i in range(len(text) - 1):
        swapped = text[:i] + text[i + 1] + text[i] + text[i + 2 :]
        if swapped != text and swapped[0] != "0":
            yield Reading(float(swapped), unit, 1.5)
    for digit in "0123456789":
        for i in range(1, len(text) + 1):
            yield Reading(float(text[:i] + digit + text[i:]), unit, 2.6)


def _steps(value: float, unit: str, to: str) -> float:
    """Size of the change, in powers of ten."""
    try:
        changed = convert(1.0, to, unit) if has_dimension(unit, to) else 1.0
    except UnknownUnit:
        return 9.0
    return abs(math.log10(abs(changed))) if changed else 9.0


def offers(figures: Sequence[Quantity], holds: Callable[..., bool]) -> tuple[Offer, ...]:
    """At most three re-readings of one figure with which `holds(*figures)` is true, likeliest first."""
    found: list[tuple[float, int, Offer]] = []
    seen: set[tuple[str, float, str]] = set()
    for i, q in enumerate(figures):
        if q.value_max is not None:
            continue
        for r in sorted(readings(q), key=lambda r: r.cost):
            if (q.id, r.value, r.unit) in seen:
                continue
            seen.add((q.id, r.value, r.unit))
            changed = replace(q, value=r.value, unit=r.unit)
            try:
                fits = holds(*figures[:i], changed, *figures[i + 1 :])
            except (ArithmeticError, TypeError, ValueError, UnknownUnit):
                fits = False
            if fits:
                # a word that was doubtful already is the likelier one to be wrong
                cost = r.cost - (0.5 if q.doubt or q.status == "hedged" else 0.0) + (0.4 if q.basis == "plate" else 0.0)
                found.append((cost, len(found), Offer(q.id, r.value, r.unit, _why(q, r))))
    return tuple(offer for _, _, offer in sorted(found, key=lambda f: f[:2])[:MOST])


def _why(q: Quantity, r: Reading) -> str:
    at = int(moment(q))
    what = f"{clean(q.subject, 40)} {q.property}".strip()
    new = amount(q.property, r.value, r.unit)
    text = f"if the {what} is {new} and not {said(q)}, the figures agree"
    if q.evidence:
        text += f"; listen at {at // 60}:{at % 60:02d}"
    if q.property in _PLATE_ONLY:
        text += "; only the plate or a document settles it"
    return text


def verdict(
    rule: str,
    figures: Sequence[Quantity],
    holds: Callable[..., bool],
    message: str,
    *,
    level: Level = "conflict",
    basis: Sequence[Basis] | None = None,
    note: str = "",
) -> Iterator[Finding | Checked]:
    """What comes of comparing figures: agreed, or a finding with its offers. holds takes the figures in this order."""
    used: Sequence[Basis] = figures if basis is None else basis
    outcome: Outcome = "agreed" if holds(*figures) else "failed"
    if outcome == "failed":
        softened: Level = "check" if level == "conflict" and any(_soft(q) for q in figures) else level
        yield finding(rule, softened, message, used, offers=offers(figures, holds))
    yield compared(rule, used, outcome, note)


def _soft(q: Quantity) -> bool:
    """Said with doubt or heard badly: the figures need not be a contradiction."""
    return q.status == "hedged" or q.basis == "estimated" or bool(q.doubt)
