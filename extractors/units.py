"""Units as spoken, and the only place where pint is used.

pint is slow to import (0.3 s), so it is imported when first needed. A spelling must be known to the table before pint
sees it: pint's parser evaluates, and "9**9**9" would hang it.
"""

from __future__ import annotations

import re
from functools import cache
from typing import Any

SPELLING = re.compile(r"[a-zA-Z_°%]*(?:[ */]+(?:[a-zA-Z_]+|[1-4]))*|1(?:/[a-zA-Z_]+)+")
"""Shape of a unit spelling: names, products, quotients, exponents to 4. Longer ones than 60 characters are refused."""


_NAME = r"[A-Za-z_][A-Za-z_0-9]*(?:\*\*[1-4])?"
NAMES = re.compile(rf"(?:1|{_NAME})?(?:[*/]{_NAME})*")
"""What pint may be given: names (inch_H2O has digits in it), products, quotients, exponents to 4."""


class UnknownUnit(ValueError):
    """A unit spelling that is not in the table or that pint does not know."""


@cache
def registry() -> Any:
    """The one registry."""
    import pint

    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


@cache
def _unit(spelling: str) -> Any:
    if len(spelling) > 60 or not NAMES.fullmatch(spelling):
        raise UnknownUnit(f"{spelling[:60]!r} is no unit spelling")
    try:
        return registry().Quantity(1, spelling or "dimensionless").units
    except Exception as error:
        raise UnknownUnit(f"{spelling!r} is not a known unit") from error


def known(spelling: str) -> bool:
    """Whether the spelling may be used as a unit."""
    try:
        _unit(spelling)
    except UnknownUnit:
        return False
    return True


@cache
def dimensionality(spelling: str) -> str:
    """pint's dimensionality of a unit spelling, as text; "dimensionless" for "". Raises UnknownUnit.

    Dimensions in alphabetical order: pint itself writes kilowatt and horsepower in two orders, though they are one
    kind.
    """
    found = _unit(spelling).dimensionality
    return str(type(found)(dict(sorted(found.items()))))


@cache
def _linear(spelling: str, to: str) -> tuple[float, float]:
    """Scale and offset that turn a magnitude in one unit into another."""
    ureg = registry()
    source, target = _unit(spelling), _unit(to)
    try:
        zero = float(ureg.Quantity(0.0, source).to(target).magnitude)
        one = float(ureg.Quantity(1.0, source).to(target).magnitude)
    except Exception as error:
        raise UnknownUnit(f"{spelling!r} cannot be turned into {to!r}") from error
    return one - zero, zero


def convert(value: float, unit: str, to: str) -> float:
    """The value in another unit of the same dimension (temperatures by their scales). Raises UnknownUnit."""
    if unit == to:
        return value
    scale, offset = _linear(unit, to)
    return value * scale + offset
