"""Ducts: how fast a flow would go through the duct or pipe that was told for it."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from datetime import date

from pipeline.checks.facts import Facts, facts, has_dimension, size, slack
from pipeline.checks.offers import verdict
from pipeline.checks.told import called, pool, sentence, settled
from pipeline.checks.wording import clean, figure, moment, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_AIR_WAY = re.compile(r"\b(?:line|duct\w*|ducting|stack|chimney|vent|pipe|trunk\w*|port|through|hose)\b")
_LONG = re.compile(r"\b(?:long|run|high|tall|apart|wall|deep|thick)\b")
_ITS_WAY = re.compile(
    r"\b(?:all of (?:it|that|this)|off (?:it|that|this|each|the)|from (?:it|that|this|each)|"
    r"behind (?:it|that|this)|"
    r"(?:to|on|of) (?:it|that|each)|discharge|delivery|suction|outlet|inlet|leaves?|goes|out (?:by|through|of)|has an?|"
    r"through|exhaust|one duct|single)\b"
)
"""Words of a pipe or duct that takes all that the fan or pump told before moves."""


def _takes_the_flow(index: Facts, way: Quantity, flow: Quantity) -> bool:
    """Whether a bore is of the duct or pipe of a flow: of one sentence, or told next with words of its leaving by it,
    with no other flow nearer."""
    gap = moment(way) - moment(flow)
    if _LONG.search(called(index, way)) or not way.around:
        return False
    if abs(gap) <= 7 and (
        way.evidence[0].words.lower() in (flow.around or "") or flow.evidence[0].words.lower() in way.around
    ):
        return True
    if not -12 <= gap <= 20 or not _ITS_WAY.search(f"{way.subject} {way.around}".lower()):
        return False
    rivals = [q for q in index.of("flow", "rate") if q.value != flow.value and has_dimension(q.unit, "metre**3/hour")]
    return all(abs(moment(q) - moment(way)) > abs(gap) + 8 for q in rivals)


def fast_in_a_duct(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Twelve thousand cubic metres an hour goes out through a two hundred millimetre duct".

    Arithmetic: speed = flow / (π/4 · d²). Tolerance: asked beyond 33 m/s of air in a duct, 45 in another pipe, 9 m/s
    of a liquid. Only a flow and the one bore of a duct, stack or pipe told in its sentence, or next to it with words
    of leaving by it. Always a question. Source: continuity; usual speeds are common practice, no source.
    """
    rule = "fast_in_a_duct"
    index = facts(walk)
    ways = [
        q
        for q in pool(index, "metre", _AIR_WAY, None, ("diameter", "length", "width"))
        if (size(q, "metre") or 9.0) < 3
    ]
    for f in pool(index, "metre**3/hour", None, None, ("flow", "rate")):
        if "yard" in f.unit or "ton" in f.unit:
            continue
        near = [q for q in ways if _takes_the_flow(index, q, f)]
        if len({q.value for q in near}) != 1 or settled(walk, f, near[0]):
            continue
        d = near[0]
        gas = "foot**3" in f.unit or bool(
            re.search(
                r"\b(?:air|exhaust|extract\w*|fan|blower|duct\w*|stack|fume\w*|dust)\b", sentence(f) + sentence(d)
            )
        )
        ducted = re.search(r"\b(?:duct\w*|ducting|stack|chimney|trunk\w*)\b", sentence(d))
        most = (33.0 if ducted else 45.0) if gas else 9.0

        def speed(f: Quantity, d: Quantity) -> float:
            return (size(f, "metre**3/second") or 0.0) / (math.pi / 4 * (size(d, "metre") or 1.0) ** 2)

        if not 0.01 <= speed(f, d) <= 1000:
            continue

        def holds(f: Quantity, d: Quantity, most: float = most) -> bool:
            return speed(f, d) <= most * (1 + slack(f, d))

        message = (
            f"{said(f)} through {said(d)} would move at {figure(round(speed(f, d)), 'metre/second')} "
            f"({clean(d.subject)}): measure the duct again, and ask whose flow it is."
        )
        yield from verdict(rule, [f, d], holds, message, level="check")


RULES = (fast_in_a_duct,)
