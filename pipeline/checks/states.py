"""Figures of one thing that are no two values of it: each was told of a state, an end or a side of its own."""

from __future__ import annotations

import re

from pipeline.checks.facts import Facts
from pipeline.checks.told import beside
from pipeline.walk import Quantity

_SIDES = re.compile(
    r"\b(?:primary|secondary|high side|low side|high voltage|low voltage|input|output|steps? (?:up|down))\b"
)
_STATES = tuple(
    re.compile(rf"\b(?:{words})\b")
    for words in (
        "closed|retracted|shut|lowered",
        "open|extended|raised|fully out",
        "stroke",
        "empty|tare",
        "gross|full|filled",
        "net",
        "rises?|lifts? to",
        "between cent(?:re|er)s",
        "longest|turned|they ran|poured?",
        "finished",
    )
)
"""States and ends of a thing that each have a size of their own."""


def two_sides(a: Quantity, b: Quantity) -> bool:
    """ "Primary four eighty, secondary two hundred and eight": what a transformer takes and gives are two voltages."""
    return any(len(_SIDES.findall(q.around or "")) > 1 or "transformer" in q.subject for q in (a, b))


def in_two_states(index: Facts, a: Quantity, b: Quantity) -> bool:
    """ "Four hundred millimetres closed, seven hundred extended": each is of a state that was told with it."""
    one, other = ({k for k, s in enumerate(_STATES) if s.search(" ".join(beside(index, q)))} for q in (a, b))
    return bool(one - other) and bool(other - one)
