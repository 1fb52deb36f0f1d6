"""How facts are written on paper: clean text, figures with unit signs, converted figures, clock times. Pure."""

from __future__ import annotations

import math
import re
import unicodedata
from functools import cache
from typing import Literal

from extractors.units import UnknownUnit, convert
from pipeline.walk import Component, Quantity

SIGNS = {
    "foot": "ft", "inch": "in", "yard": "yd", "meter": "m", "metre": "m", "millimeter": "mm", "centimeter": "cm",
    "micrometer": "µm", "thou": "thou", "gallon": "gal", "liter": "L", "pound": "lb", "kilogram": "kg", "gram": "g",
    "ton": "short ton", "metric_ton": "t", "tonne": "t", "degF": "°F", "degC": "°C", "percent": "%",
    "volt": "V", "kilovolt": "kV", "ampere": "A", "watt": "W", "kilowatt": "kW", "megawatt": "MW", "horsepower": "hp",
    "hertz": "Hz", "second": "s", "minute": "min", "hour": "h", "kilovolt_ampere": "kVA", "kilopascal": "kPa",
    "megapascal": "MPa", "rpm": "rpm", "psi": "psi", "bar": "bar", "ton_of_refrigeration": "tons of refrigeration",
    "kilonewton": "kN", "newton": "N",
}  # fmt: skip
"""Pint's spellings to the signs that people print; others are printed as they are spelt."""
OTHER = {
    "foot": "meter", "inch": "millimeter", "yard": "meter", "thou": "millimeter", "meter": "foot",
    "millimeter": "inch", "centimeter": "inch", "gallon": "liter", "liter": "gallon", "pound": "kilogram",
    "kilogram": "pound", "ton": "metric_ton", "metric_ton": "ton", "tonne": "ton", "degF": "degC", "degC": "degF",
    "psi": "bar", "bar": "psi", "kilopascal": "psi", "megapascal": "psi", "horsepower": "kilowatt",
    "gallon/minute": "liter/minute", "gallon/hour": "liter/hour", "liter/minute": "gallon/minute",
    "liter/hour": "gallon/hour", "foot**3/minute": "meter**3/hour", "meter**3/hour": "foot**3/minute",
    "foot/minute": "meter/minute", "meter/minute": "foot/minute", "foot**2": "meter**2", "meter**2": "foot**2",
    "foot**3": "meter**3", "meter**3": "foot**3", "pound/hour": "kilogram/hour", "kilogram/hour": "pound/hour",
    "foot/second": "meter/second", "meter/second": "foot/second", "ounce": "gram", "quart": "liter",
    "Btu/hour": "kilowatt", "ton_of_refrigeration": "kilowatt",
    "inch/minute": "millimeter/minute", "millimeter/minute": "inch/minute", "barrel": "liter",
    "inch**2": "centimeter**2", "pound/minute": "kilogram/minute", "mile": "kilometer", "kilometer": "mile",
}  # fmt: skip
"""Which unit the other half of the readers wants; factors come from pint alone."""


def clean(value: object, longest: int) -> str:
    """Text on one line that no document chokes on: no control, direction or format marks, cut where absurdly long."""
    text = str(value)
    total = len(text)
    text = text[: longest * 4]
    text = "".join(
        " " if unicodedata.category(c) in ("Cc", "Zl", "Zp") else c
        for c in text
        # Cs lone surrogates, Cf direction marks and joiners, Cn noncharacters that XML refuses
        if unicodedata.category(c) not in ("Cf", "Cs", "Cn", "Co")
    )
    text = " ".join(text.split())
    if len(text) > longest or total > longest * 4:
        return f"{text[: longest - 1].rstrip()}… ({total} characters in all)"
    return text


def clock(seconds: float) -> str:
    """Minutes and seconds of a recording."""
    whole = max(0, int(seconds))
    return f"{whole // 60}:{whole % 60:02d}"


Numbers = Literal["1,234.5", "1.234,5", "1 234,5"]
"""How figures are written, by example."""
_MARKS = {"1,234.5": ",.", "1.234,5": ".,", "1 234,5": "\u00a0,"}


def number(value: float, form: Numbers = "1,234.5") -> str:
    """A figure as a person writes it: no trailing zeros, thousands apart."""
    if not math.isfinite(value):
        return "?"
    if abs(value) >= 1e15 or (value and abs(value) < 1e-6):
        return f"{value:g}"
    text = f"{value:,.6f}".rstrip("0").rstrip(".") or "0"
    return text.translate(str.maketrans(",.", _MARKS[form]))


def rounded(value: float, places: int = 3) -> float:
    """To so many significant figures."""
    if value == 0 or not math.isfinite(value):
        return value
    return round(value, places - 1 - math.floor(math.log10(abs(value))))


@cache
def sign(unit: str) -> str:
    """A unit's printed form; "" for none."""
    parts = unit.replace("**3", "³").replace("**2", "²").split("/")
    named = []
    for part in parts:
        factors = part.split("*")
        named.append("·".join(SIGNS.get(f.rstrip("²³"), f.rstrip("²³").replace("_", " ")) + f[len(f.rstrip("²³")):]
                              for f in factors))  # fmt: skip
    if named[0] == "1" and len(named) > 1:
        return "per " + " per ".join(named[1:])
    return "/".join(named)


def _span(low: float, high: float | None, unit: str, approximate: bool, form: Numbers) -> str:
    text = number(low, form) + (f"–{number(high, form)}" if high is not None else "")
    return f"{'about ' if approximate else ''}{text} {clean(sign(unit), 60)}".strip()


def figure(q: Quantity, form: Numbers = "1,234.5") -> str:
    """The figure as stated."""
    if q.property == "year" and not q.unit:
        # a year has no thousands
        return f"{'about ' if q.approximate else ''}{q.value:.0f}" + (f"–{q.value_max:.0f}" if q.value_max else "")
    inches = q.value * 12
    if q.unit == "foot" and q.value_max is None and q.value % 1 and abs(inches - round(inches)) < 1e-4:
        # "six foot eight" is one value in feet; people read feet and inches
        feet, rest = divmod(round(inches), 12)
        return f"{'about ' if q.approximate else ''}{number(feet, form)} ft {rest} in"
    return _span(q.value, q.value_max, q.unit, q.approximate, form)


def converted(q: Quantity, form: Numbers = "1,234.5") -> str:
    """The same in the other system, to three figures (temperatures to the degree); "" where there is none."""
    to = OTHER.get(q.unit)
    if to is None:
        return ""
    try:
        values = [convert(v, q.unit, to) for v in (q.value, q.value_max) if v is not None]
    except (UnknownUnit, OverflowError):
        return ""
    kept = [float(round(v)) if to.startswith("deg") else rounded(v) for v in values]
    return _span(kept[0], kept[1] if len(kept) > 1 else None, to, False, form)


METRIC = re.compile(r"meter|metre|liter|gram|tonne|metric_ton|degC|\bbar\b|pascal|watt")


def pair(q: Quantity, units: str, form: Numbers = "1,234.5") -> tuple[str, str]:
    """The figure and its conversion; with units "metric" or "customary" that one first, ≈ before what is calculated."""
    stated, other = figure(q, form), converted(q, form)
    if not units:
        return stated, other
    if other and (units == "metric") != bool(METRIC.search(q.unit)):
        return f"≈ {other}", stated
    return stated, f"≈ {other}" if other else ""


def count_of(c: Component) -> str:
    """ "5 pumps" or the bare name."""
    name = clean(c.name, 120)
    if c.count is None:
        return name
    return f"{'about ' if c.approximate else ''}{c.count} × {name}"
