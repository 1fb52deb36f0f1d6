"""How facts are written on paper: clean text, figures with unit signs, converted figures, clock times. Pure."""

from __future__ import annotations

import math
import re
import unicodedata
from typing import Literal

from extractors.lifting_gear import is_rated
from extractors.units import UnknownUnit, convert
from pipeline.unit_signs import OTHER, sign, spelt
from pipeline.walk import Component, Quantity


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


def _span(low: float, high: float | None, unit: str, approximate: bool, form: Numbers) -> str:
    text = number(low, form) + (f"–{number(high, form)}" if high is not None else "")
    printed = clean(sign(unit), 60)
    if printed in ("day", "week", "month", "year") and (high or low) != 1:
        printed += "s"
    return f"{'about ' if approximate else ''}{text} {printed}".strip()


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
    if q.unit in _SIXTIETHS and q.value_max is None:
        whole, rest = divmod(round(q.value * 60), 60)
        if whole and rest % 6 and abs(q.value * 60 - whole * 60 - rest) < 1e-3:
            # "four minutes twenty" is one value in minutes; nobody reads 4.333
            large, small = _SIXTIETHS[q.unit]
            return f"{'about ' if q.approximate else ''}{number(whole, form)} {large} {rest} {small}"
    return _span(q.value, q.value_max, q.unit, q.approximate, form)


_SIXTIETHS = {"minute": ("min", "s"), "hour": ("h", "min")}
"""Units whose sixtieths are read in the next smaller unit."""
LIQUID = frozenset(
    "water pump pumps feedwater permeate reject concentrate brine rinse acid caustic oil coolant glycol wort milk "
    "juice product slurry effluent condensate chemical solution liquid".split()
)
GAS = frozenset("air gas vacuum vane blower fan exhaust compressor nitrogen".split())
"""Words of a subject whose flow is of a liquid, and of a gas."""


def converted(q: Quantity, form: Numbers = "1,234.5") -> str:
    """The same in the other system, to three figures (temperatures to the degree); "" where there is none."""
    to = OTHER.get(spelt(q.unit))
    words = set(re.findall(r"[a-z]+", f"{q.subject} {q.of or ''}".lower()))
    if to == "foot**3/minute" and LIQUID & words and not GAS & words:
        to = "gallon/minute"  # cubic feet a minute are for air
    if to is None:
        return ""
    try:
        values = [convert(v, q.unit, to) for v in (q.value, q.value_max) if v is not None]
    except (UnknownUnit, OverflowError):
        return ""
    kept = [float(round(v)) if to.startswith("deg") else rounded(v) for v in values]
    return _span(kept[0], kept[1] if len(kept) > 1 else None, to, False, form)


METRIC = re.compile(r"meter|liter|gram|metric_ton|degC|bar\b|pascal|watt|newton")


def pair(q: Quantity, units: str, form: Numbers = "1,234.5") -> tuple[str, str]:
    """The figure and its conversion; with units "metric" or "customary" that one first, ≈ before what is calculated."""
    stated, other = figure(q, form), converted(q, form)
    if not units:
        return stated, other
    if other and (units == "metric") != bool(METRIC.search(spelt(q.unit))):
        return f"≈ {other}", stated
    return stated, f"≈ {other}" if other else ""


NAMES = {"ph": "pH", "other": "figure", "hours": "run hours"}
"""Properties that are printed under another name."""
SAID = {
    "length": "{} long", "width": "{} wide", "height": "{} high", "depth": "{} deep", "thickness": "{} thick",
    "diameter": "{} diameter", "area": "area {}", "weight": "weight {}", "cycle": "cycle {}", "dwell": "dwell {}",
    "transfer": "transfer {}", "ph": "pH {}", "hours": "run hours {}", "price": "price {}",
}  # fmt: skip
"""How a figure reads in a row of figures of one thing; others tell by their unit what they are."""


CARRIED = frozenset("capacity maximum max rated payload load swl safe lifting lift lifts".split())
WEIGHED = frozenset(
    "weigh weighs weighed weighing weight heavy dry empty net gross tare shipping dead operating full own".split()
)


def carries(q: Quantity) -> bool:
    """Whether a mass is what a thing takes ("two hoists, two tons each") and not what it weighs.

    Common practice, no source: of lifting gear and scales a bare figure is the rated load; nobody means their weight.
    """
    if q.property != "weight":
        return False
    own = (q.qualifier or "").lower().split()
    said = {w.strip(".,;:?!").lower() for e in q.evidence for w in e.words.split()}
    if WEIGHED & {*own, *said}:
        return False
    return bool(CARRIED & set(own)) or is_rated(q.subject)


def several(name: str) -> str:
    """A thing's name in the plural, by the spelling rules of English; one that is plural already stays."""
    head, of, rest = name.partition(" of ")
    if of:
        return f"{several(head)}{of}{rest}"
    if name.endswith(("ss", "x", "ch", "sh")):
        return f"{name}es"
    if name.endswith("s"):
        return name
    return f"{name[:-1]}ies" if re.search(r"[^aeiou]y$", name) else f"{name}s"


def name_of(q: Quantity) -> str:
    """The property under the name that is printed."""
    return "capacity" if carries(q) else NAMES.get(q.property, q.property)


def property_of(q: Quantity) -> str:
    """The property with what narrows it: "weight, dry", "rate of load, each", "own weight"."""
    name, narrowed = _narrowed(q)
    of = f" of {clean(q.of, 60)}" if q.of else ""
    return f"{name}{of}{f', {narrowed}' if narrowed else ''}{', each' if q.each else ''}"


def _narrowed(q: Quantity) -> tuple[str, str]:
    """The property's name and what narrows it; what narrows it with its own name in it is the name, not both."""
    name, narrowed = name_of(q), clean(q.qualifier or "", 60)
    return (narrowed, "") if set(name.lower().split()) <= set(narrowed.lower().split()) else (name, narrowed)


def named(q: Quantity) -> str:
    """What a figure is, after its thing: "rate of load, rated"; words of the thing's own name are not repeated."""
    had = set(q.subject.lower().split())
    name, narrowed = _narrowed(q)
    if set(name.lower().split()) <= {*had, *name_of(q).split()}:
        name = name_of(q)
    parts = [] if name in had else [name]
    if q.of and q.of.lower() not in had:
        parts.append(f"of {clean(q.of, 60)}")
    text = " ".join(parts)
    if narrowed and not set(narrowed.lower().split()) <= {*had, name}:
        text = f"{text}, {narrowed}" if text else narrowed
    return text + (", each" if q.each else "")


def phrase(q: Quantity, units: str = "", form: Numbers = "1,234.5") -> str:
    """A figure as it reads in a row of figures of one thing: "40 A, full load", "52 ft (≈ 15.8 m) long"."""
    narrowed = clean(q.qualifier or "", 60)
    if narrowed == "own weight" or set(narrowed.lower().split()) <= set(q.subject.lower().split()):
        narrowed = ""
    first, second = pair(q, units, form)
    value = first + (f" ({second if units else f'≈ {second}'})" if second else "")
    of = clean(q.of or "", 60)
    if q.property == "phases" and q.value_max is None:
        text = "single-phase" if q.value == 1 else f"{number(q.value, form)}-phase"
    elif q.property == "year":
        text, narrowed = f"{narrowed or 'year'} {value}", ""
    elif of and q.property == "cycle":
        text = f"one {of} every {value}"
    elif of and q.unit.startswith("1/") and " per " in value:
        text = value.replace(" per ", f" {of if q.value == 1 and q.value_max is None else several(of)} per ", 1)
    elif of and q.property == "count":
        text = f"{value} {of if q.value == 1 and q.value_max is None else several(of)}"
    elif of == "1":
        text = f"{value} to 1"  # "a gearbox of fifteen to one"
    elif of and q.property == "other" and not q.unit:
        text = f"{of} {value}"
    elif carries(q):
        text, narrowed = f"capacity {value}", "" if narrowed == "capacity" else narrowed
    else:
        text = SAID.get(q.property, "{}").format(value)
    each = q.each and of.lower() != q.subject.lower()  # "one layer every 80 s" of layers is each layer's as it stands
    return text + (f", {narrowed}" if narrowed else "") + (" each" if each else "")


def count_of(c: Component) -> str:
    """ "5 pumps" or the bare name."""
    name = clean(c.name, 120)
    if c.count is None:
        return name
    return f"{'about ' if c.approximate else ''}{c.count} {name if c.count == 1 else several(name)}"
