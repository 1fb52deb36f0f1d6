"""Feed: pieces one behind the other on a belt, chain or mill, against the speed at which it runs."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from pipeline.checks.facts import Facts, facts, has_dimension, is_whole, noun_class, one_per_hour, per_hour, size, slack
from pipeline.checks.nearby import SENTENCE, lead
from pipeline.checks.offers import verdict
from pipeline.checks.passing import STOCK
from pipeline.checks.subjects import alike, head, singular, words
from pipeline.checks.travel import SPACED
from pipeline.checks.wording import clean, compared, figure, heard, moment, number, said
from pipeline.checks.work import working_rates
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_GAPS = frozenset("gap space spacing distance clearance".split())
_FEEDS = frozenset("feed line chain belt conveyor machine mill infeed web strip saw".split())
_SEVERAL = frozenset("lane track row abreast wide strand up side".split())
"""Words of a machine that runs several beside each other."""


def pieces_and_speed(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Sixty feet a minute flat out; on a twenty foot purlin she kicks out six pieces a minute".

    Arithmetic: rate × (length of a piece + gap) ≤ speed. Tolerance 5 % plus wording; a slower rate is normal. Only one
    speed of the line or its feed, and the length of a piece told within 15 s of the rate, by the piece's noun; more
    than eight times the speed is of something else. Not where lanes or rows were counted. Always a question. Source:
    plain kinematics.
    """
    rule = "pieces_and_speed"
    index = facts(walk)
    speed = _speed(index)
    lanes = any((c.count or 0) > 1 and head(c.name) in _SEVERAL for c in index.components)
    lanes |= any(q.value > 1 and _SEVERAL & {*words(q.of or "")} for q in index.of("count"))
    if speed is None or lanes:
        return
    products = noun_class(vocabulary, "product") | STOCK
    for r in working_rates(index):
        long = _piece(index, r, products)
        if long is None:
            want = f"for want of how long one {clean(r.of or '')} is"
            yield compared(rule, [r, speed], "could not be compared", want)
            continue
        gap = next((g for g in index.of("length", "width", "other") if _is_gap(g) and _near(g, long)), None)
        made = (per_hour(r) or 0.0) * ((size(long, "metre") or 0.0) + (size(gap, "metre") or 0.0))
        share = made / (size(speed, "metre/hour") or 1.0)
        if share > 8:
            continue
        shown = share * speed.value
        between = f" and {said(gap)} between" if gap is not None else ""
        fit = (per_hour(r) or 0.0) / share / one_per_hour(r.unit)
        message = (
            f"{figure(r.value, r.unit)} of {said(long)}{between} need {figure(shown, speed.unit)}, it runs at "
            f"{said(speed)}: that is {number(round(fit, 1))}. Time a few, or ask at which speed."
        )

        def holds(r: Quantity, long: Quantity, speed: Quantity, gap: Quantity | None = None) -> bool:
            step = (size(long, "metre") or 0.0) + (size(gap, "metre") or 0.0)
            return (per_hour(r) or 0.0) * step <= (size(speed, "metre/hour") or 0.0) * (1.05 + slack(r, long, speed))

        used = [r, long, speed] if gap is None else [r, long, speed, gap]
        yield from verdict(rule, used, holds, message, level="check")


def _speed(index: Facts) -> Quantity | None:
    """The one speed of the line or its feed; of one told in two units the last, of a range none."""
    pool = [
        q
        for q in index.of("speed")
        if has_dimension(q.unit, "metre/minute") and (is_whole(index.walk, q.subject) or head(q.subject) in _FEEDS)
    ]
    sizes = [size(q, "metre/hour") or 0.0 for q in pool]
    one = bool(pool) and all(q.value_max is None for q in pool) and max(sizes) <= 1.03 * min(sizes)
    return pool[-1] if one else None


def _piece(index: Facts, r: Quantity, products: frozenset[str]) -> Quantity | None:
    """How long one of what a rate counts is: by its name, else the one product's length in the same breath."""
    near = [q for q in index.of("length") if abs(moment(q) - moment(r)) <= 15 and not _is_gap(q) and not q.value_max]
    named = [q for q in near if alike(q.subject, r.of or "") or singular(r.of or "-") in lead(q)[-3:]]
    pool = named or [q for q in near if head(q.subject) in products | {"purlin", "extrusion", "profile"}]
    return pool[0] if len({(q.value, q.unit) for q in pool}) == 1 else None


def _is_gap(q: Quantity) -> bool:
    return bool(_GAPS & {*words(q.subject), *words(q.qualifier or "")}) or bool(SPACED.search(heard(q)))


def _near(a: Quantity, b: Quantity) -> bool:
    return abs(moment(a) - moment(b)) <= SENTENCE / 2


RULES = (pieces_and_speed,)
