"""Marks of two values that may be one and the other: how like their figures, units and sizes are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import log2

from extractors.said_values import Said
from extractors.word_classes import Piece

SIZES = ((0.2, "near"), (0.7, "half"), (1.5, "double"), (4.0, "far"))
"""Powers of two by which two figures differ, at most, and what that is called."""
TEENS = tuple(frozenset({float(n), 10.0 * (n - 10)}) for n in range(13, 20))
YEARS = range(1900, 2100)
SMALL = 20


def value_marks(pieces: Sequence[Piece], old: Said, new: Said) -> Iterator[str]:
    """All marks of the two values by themselves."""
    if new.kind != "figure":
        yield from ("words", f"kind: {new.kind}")
    if new.kind == "unit" or (new.kind == "figure" and old.value == new.value):
        yield "unit alone differs"
        yield "same dimension" if old.dimension == new.dimension else "other dimension"
    elif new.kind == "figure":
        yield f"old {_shape(old)}, new {_shape(new)}"
        if old.unit and new.unit:
            yield "same unit" if old.unit == new.unit else "other unit"
        if old.noun and old.noun == new.noun:
            yield "same noun"
        yield from _sizes(old.value, new.value)
        yield from _digits(old.value, new.value)
        yield from _years(old, new)
        yield from _wording(pieces, old, new)


def _shape(value: Said) -> str:
    return "unit" if value.dimension else "noun" if value.noun else "bare"


def _sizes(a: float, b: float) -> Iterator[str]:
    if a > 0 and b > 0:
        apart = abs(log2(b / a))
        yield f"size: {next((name for most, name in SIZES if apart < most), 'farthest')}"
        yield "more" if b > a else "less"
        if any(abs(max(a, b) / min(a, b) - times) < 0.001 * times for times in (10, 100)):
            yield "ten times"
    if a == int(a) and b == int(b):
        yield "whole"
        if max(a, b) <= SMALL and abs(a - b) <= 2:
            yield "small, near"
    if {a, b} in TEENS:
        yield "teen and ty"


def _digits(a: float, b: float) -> Iterator[str]:
    one, other = f"{a:g}", f"{b:g}"
    if len(one) == len(other) > 1:
        if sorted(one) == sorted(other):
            yield "digits swapped"
        elif sum(x != y for x, y in zip(one, other, strict=True)) == 1:
            yield "one digit"


def _years(old: Said, new: Said) -> Iterator[str]:
    years = [x.value in YEARS and not x.dimension for x in (old, new)]
    if any(years):
        yield "years" if all(years) else "one a year"


def _wording(pieces: Sequence[Piece], old: Said, new: Said) -> Iterator[str]:
    lengths = {sum(p.kind == "number" for p in pieces[x.first : x.last]) for x in (old, new)}
    yield "same length" if len(lengths) == 1 else "other length"
    if len({any(c.isdigit() for c in pieces[x.first].lower) for x in (old, new)}) == 2:
        yield "digits and words"
