"""Holding tubes: how long a flow stays in a pipe of a length and a bore."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import date

from pipeline.checks.facts import Facts, facts, has_dimension, is_whole, limit, one_of, size, slack
from pipeline.checks.nearby import SENTENCE, outside, seconds_between
from pipeline.checks.offers import verdict
from pipeline.checks.subjects import alike, head, mentions
from pipeline.checks.wording import clean, compared, figure, moment, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_TUBES = frozenset("tube pipe coil loop hose line tubing piping spiral".split())
_STAY = frozenset("hold holding residence retention contact dwell stay".split())
_BEFORE = 180.0
"""Seconds before a tube within which the flow that runs through it may have been told; common practice, no source."""


def time_in_a_tube(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Five thousand litres an hour; the holding tube is four metres of fifty millimetres, fifteen seconds hold".

    Arithmetic: time = pi/4 x d^2 x length / flow. Tolerance (limits.toml, time in a tube): 0.6 to 1.5 of it, as sizes
    are nominal and a hold is told of the fastest particle. Only a tube with length, bore and time told within 20 s;
    its flow by name or in the same breath, else the one liquid flow told of the whole before it, within three minutes.
    Always a question. Source: plain geometry.
    """
    rule = "time_in_a_tube"
    index = facts(walk)
    row = limit(vocabulary, "time in a tube")
    for bore in index.of("diameter"):
        if head(bore.subject) not in _TUBES or bore.value_max is not None:
            continue
        length, stay = _own(index, bore, "length"), _own(index, bore, "dwell", "duration")
        if length is None or stay is None or not size(stay, "second"):
            continue
        flow = _flow(index, bore)
        if flow is None:
            yield compared(rule, [bore, length, stay], "could not be compared", "for want of the flow through it")
            continue
        made = _seconds(bore, length, flow)
        if not made or not 0.05 <= (size(stay, "second") or 0.0) / made <= 20:
            continue
        shown = made / one_of(stay.unit, "second")
        message = (
            f"{clean(bore.subject)}: {said(length)} of {said(bore)} at {said(flow)} hold {figure(shown, stay.unit)}, "
            f"{said(stay)} was stated: measure the tube, and ask at which flow the time holds."
        )

        def holds(bore: Quantity, length: Quantity, flow: Quantity, stay: Quantity) -> bool:
            share = (size(stay, "second") or 0.0) / (_seconds(bore, length, flow) or 1.0)
            return not outside(share, row["low"], row["high"], slack(bore, length, flow, stay))

        yield from verdict(rule, [bore, length, flow, stay], holds, message, level="check")


def _seconds(bore: Quantity, length: Quantity, flow: Quantity) -> float:
    """How long a flow takes through a tube."""
    area = math.pi / 4 * (size(bore, "metre") or 0.0) ** 2
    return area * (size(length, "metre") or 0.0) / (size(flow, "metre**3/second") or math.inf)


def _own(index: Facts, bore: Quantity, *properties: str) -> Quantity | None:
    """The figure of a tube told beside its bore."""
    near = [q for q in index.of(*properties) if seconds_between(q, bore) <= SENTENCE and q.value_max is None]
    named = [q for q in near if alike(q.subject, bore.subject) == "same"]
    if properties[0] == "dwell":
        named = named or [q for q in near if mentions(f"{q.subject} {q.qualifier or ''}", *_STAY)]
    return named[0] if len({(q.value, q.unit) for q in named}) == 1 else None


def _flow(index: Facts, bore: Quantity) -> Quantity | None:
    """The flow through a tube: its own, else the last told of the whole machine before it."""
    liquid = [
        q
        for q in index.of("flow")
        if has_dimension(q.unit, "litre/hour") and not mentions(f"{q.subject} {q.of or ''}", *_GAS)
    ]
    own = [q for q in liquid if alike(q.subject, bore.subject) == "same" or seconds_between(q, bore) <= SENTENCE / 2]
    if own:
        return own[0] if len({(q.value, q.unit) for q in own}) == 1 else None
    before = [q for q in liquid if 0 < moment(bore) - moment(q) <= _BEFORE]
    whole = [q for q in before if is_whole(index.walk, q.subject) or head(q.subject) == "skid"]
    pool = whole or before
    return pool[-1] if len({(q.value, q.unit) for q in pool}) == 1 else None


_GAS = ("air", "gas", "steam", "exhaust", "fan", "blower", "compressor", "water", "vacuum")

RULES = (time_in_a_tube,)
