"""Boilers, steam and boiling water: output, input, pressure and temperature that must go together."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from datetime import date

from extractors.units import convert
from pipeline.checks.facts import Facts, facts, limit, size, slack
from pipeline.checks.nearby import (
    about_here,
    heard,
    lead,
    outside,
    parted,
    partner,
    seconds_between,
    single,
    vague,
    with_unit,
)
from pipeline.checks.offers import offers, verdict
from pipeline.checks.subjects import mentions, words
from pipeline.checks.wording import compared, figure, finding, name_of, number, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

BOILER_HORSEPOWER = 33475.0
"""Btu an hour: 34.5 lb/h from and at 212 degF."""
NOT_WATER = (
    "oil quench salt fryer frying fat blackening black oxide molten lead zinc galvanizing solder wax resin pitch tar "
    "asphalt bitumen glycol thermal fluid glue polymer paraffin sugar syrup candy caramel strip stripping oven "
    "furnace kiln dryer"
).split()
WET = (
    "tank rinse wash bath cleaner caustic etch acid water seal dye phosphate pickle pickling degrease degreaser soak "
    "brine kettle soaping scouring scour vat stage compartment cooker blancher pasteurizer pasteuriser bottle scald "
    "scalder anodize desmut plating"
).split()
STEAM = ("steam", "header", "boiler")


REGION_4 = tuple(
    float(text)
    for text in "1167.0521452767 -724213.16703206 -17.073846940092 12020.824702470 -3232555.0322333 14.915108613530 "
    "-4823.2657361591 405113.40542057 -0.23855557567849 650.17534844798".split()
)
"""Coefficients n1 to n10 of the saturation line (IAPWS-IF97, table 34)."""


def saturation(pressure: float) -> float:
    """Boiling temperature of water in degC at an absolute pressure in MPa, 0.000611 to 22.06.

    IAPWS-IF97, region 4, backward equation 31. Raises ValueError outside the range.
    """
    if not 0.000611 <= pressure <= 22.064:
        raise ValueError(f"{pressure} MPa is outside the saturation line")
    n = REGION_4
    beta = math.sqrt(math.sqrt(pressure))
    e = beta * beta + n[2] * beta + n[5]
    f = n[0] * beta * beta + n[3] * beta + n[6]
    g = n[1] * beta * beta + n[4] * beta + n[7]
    d = 2 * g / (-f - math.sqrt(f * f - 4 * e * g))
    return (n[9] + d - math.sqrt((n[9] + d) ** 2 - 4 * (n[8] + n[9] * d))) / 2 - 273.15


def boiler_rating(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Boiler horsepower against steam an hour, heat output and burner input.

    Source: 33,475 Btu/h a boiler horsepower; 34.5 lb/h from and at 212 degF, about 28.8 with 60 degF feed at 100 psi
    (published tables of pounds of dry saturated steam per boiler horsepower). Burner input about 1.25 times output.
    Tolerance: steam 27.5 to 35.5 lb/h, output 7 %, input 1.02 to 1.6. "Horse" on a boiler is boiler horsepower.
    """
    index = facts(walk)
    for bhp in index.of("power"):
        # "three hundred boiler horsepower" is of a boiler, whatever it was filed under
        if bhp.unit != "boiler_horsepower" and not (
            "horsepower" in bhp.unit
            and mentions(bhp.subject, "boiler", "steam")
            and not mentions(bhp.subject, "pump", "fan", "motor", "blower", "feed")
        ):
            continue
        output = bhp.value * BOILER_HORSEPOWER
        for other in index.of("power", "flow", "rate", "other"):
            far = 30 if not _only_boiler(index, bhp) or size(other, "pound/hour") is None else 180
            if other is bhp or seconds_between(other, bhp) > far or not _boilers(other):
                continue
            yield from _boiler_pair(vocabulary, bhp, other, output)


def _only_boiler(index: Facts, bhp: Quantity) -> bool:
    """Whether a walk tells the horsepower of one boiler only: then steam told long after is of it."""
    return len({q.value for q in index.of("power") if q.unit == "boiler_horsepower" or q is bhp}) == 1


_CONSUMES = re.compile(r"\b(?:wants?|needs?|takes?|uses?|eats?|consumes?|draws?|requires?)\b")


def _boilers(q: Quantity) -> bool:
    named = mentions(q.subject, "boiler", "steam", "burner", "firing", "input", "output")
    others = mentions(
        q.subject, "oven", "furnace", "kiln", "dryer", "heater", "washer", "oxidizer", "oxidiser", "fryer"
    )
    if not mentions(q.subject, "boiler", "burner") and _CONSUMES.search(f"{parted(q)[0][-40:]} {parted(q)[1][:30]}"):
        return False  # "each calender wants eight hundred pounds of steam an hour"
    steam = heard(q, "steam") or mentions(" ".join(parted(q)[1].split()[:3]), "steam")
    return (named or vague(q.subject) or steam) and not (others and not mentions(q.subject, "boiler"))


def _boiler_pair(vocabulary: Vocabulary, bhp: Quantity, other: Quantity, output: float) -> Results:
    used = (bhp, other)
    steam, heat = size(other, "pound/hour"), size(other, "Btu/hour")
    behind = " ".join(parted(other)[1].split()[:3])  # "twelve thousand pounds of steam an hour"
    told = heard(other, "steam") or mentions(behind, "steam")
    if steam is not None and (mentions(other.subject, "steam", "boiler", "output") or told):
        row, unit, each = limit(vocabulary, "steam per boiler horsepower"), "pound/hour", 1.0
        usual = f"{number(bhp.value * 34.5)} pounds of steam an hour from and at 212 °F"
    elif heat is None or "horsepower" in other.unit:
        return
    elif mentions(other.subject, "burner", "firing", "input", "gas") or heard(other, "input"):
        row, unit, each = limit(vocabulary, "burner on boiler"), "Btu/hour", BOILER_HORSEPOWER
        usual = f"an output of {number(output)} Btu an hour, so an input of about {number(output * 1.25)}"
    elif mentions(f"{other.subject} {other.qualifier}", "output") or heard(other, "output"):
        row, unit, each = limit(vocabulary, "boiler output"), "Btu/hour", BOILER_HORSEPOWER
        usual = f"an output of {number(output)} Btu an hour"
    elif mentions(other.subject, "boiler"):
        # said of the boiler, it may be either: from the least output to the greatest input
        low, high = limit(vocabulary, "boiler output"), limit(vocabulary, "burner on boiler")
        row, unit, each = {"low": low["low"], "high": high["high"]}, "Btu/hour", BOILER_HORSEPOWER
        usual = f"an output of {number(output)} Btu an hour, so an input of about {number(output * 1.25)}"
    else:
        return

    def holds(bhp: Quantity, other: Quantity) -> bool:
        ratio = (size(other, unit) or 0) / (bhp.value * each)
        return not outside(ratio, row["low"], row["high"], slack(bhp, other))

    yield from verdict(
        "boiler_rating",
        used,
        holds,
        f"{number(bhp.value)} boiler horsepower is {usual}, but {said(other)} was said ({name_of(other)}). Re-read "
        f"both plates: input or output, which feed temperature, M for thousand or MM for million?",
        level="check",
        note=f"{number(bhp.value)} boiler horsepower is {usual}",
    )


def boiler_surface(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Heating surface per boiler horsepower, as a question only.

    Source: about 5 ft2 a boiler horsepower for fire-tube boilers, 10 to 12 by old builders' ratings; common practice,
    no source. Tolerance: 3 to 15.
    """
    index = facts(walk)
    row = limit(vocabulary, "heating surface")
    for area in with_unit(index.of("area"), "foot**2"):
        surface = mentions(f"{area.subject} {area.qualifier or ''}", "boiler", "heating")
        if not surface and "heating surface" not in (area.around or ""):
            continue
        if mentions(area.subject, "room", "house", "hall", "floor", "building", "pad"):
            continue
        boilers = [p for p in index.of("power") if "horsepower" in p.unit and mentions(p.subject, "boiler")]
        bhp = single(boilers, "horsepower")
        feet = size(area, "foot**2")
        if bhp is None or not feet or not bhp.value:
            continue
        ratio = feet / bhp.value
        if not outside(ratio, row["low"], row["high"], slack(area, bhp)):
            note = f"{number(round(ratio, 1))} square feet a horsepower"
            yield compared("boiler_surface", (area, bhp), "agreed", note)
            continue
        yield finding(
            "boiler_surface",
            "check",
            f"{said(area)} of heating surface for {number(bhp.value)} boiler horsepower is {number(round(ratio, 1))} "
            f"square feet each; about 5 to 10 is usual. Compare with the data plate or the certificate.",
            (area, bhp),
        )


def above_boiling(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A water bath said to be hotter than water boils in the open.

    Source: IAPWS-IF97, 211.95 degF (99.97 degC) at 101.325 kPa. Tolerance: 214 degF. Not for oil, salt, blackening,
    molten metal, thermal fluid, ovens, nor for a vessel under pressure.
    """
    index = facts(walk)
    row = limit(vocabulary, "boiling")
    for hot in index.of("temperature"):
        f = size(hot, "degF")
        if f is None or f <= row["high"]:
            continue
        vented = _vented(hot)
        if not (vented or mentions(hot.subject, *WET) or _of_water(hot)):
            continue
        if mentions(hot.subject, *NOT_WATER, "steam") or f > 400:
            continue  # no bath of water was ever meant to be that hot
        closed = "pressure retort autoclave jacket coil exchanger boiler burner deaerator".split()
        closed += "jaw jaws bar bars head heads plate platen knife band wire wheel roller".split()  # heat sealing
        if not vented and (
            mentions(hot.subject, *closed)
            or about_here(index, hot, *NOT_WATER, "retort", "autoclave", "pressure", "deaerator", within=6)
        ):
            continue
        if partner(index, hot, ("pressure",), "psi") is not None:
            continue
        used = (hot,)
        if f <= row["high"] * (1 + slack(hot)):
            yield compared("above_boiling", used, "agreed", "near boiling")
            continue
        yield finding(
            "above_boiling",
            "check",
            f"{said(hot)} is above the boiling point of water in an open tank, 212 °F or 100 °C ({name_of(hot)}). "
            f"Re-read the gauge: °F or °C, and what is in it?",
            used,
            offers=offers(used, lambda q: (size(q, "degF") or math.inf) <= row["high"])
            if hot.value_max is None
            else (),
        )


_CLOSED = frozenset(
    "boiler pressure superheated pressurised pressurized closed sealed jacket coil loop heating".split()
)


_VENTED = re.compile(
    r"\b(?:vented|open[- ]top\w*|open to (?:the )?(?:air|atmosphere|room|sky)|atmospheric|unpressuri[sz]ed)\b"
)


def _vented(hot: Quantity) -> bool:
    """ "The dial on that vented receiver reads two thirty, with water sitting in it": open and holding water by its
    own sentence, on whichever side of the figure it is told."""
    told = f"{hot.subject} {hot.around or ''}".lower()
    water = re.search(r"\b(?:water|condensate|brine)\b(?! (?:cooled|jacket))", told)
    return bool(water and _VENTED.search(told)) and not (_CLOSED | set(NOT_WATER)) & {*words(told)}


def _of_water(hot: Quantity) -> bool:
    """ "Washer log, water with three percent cleaner, held at 225": whether the sentence says that it is water."""
    told = [*lead(hot)][-9:]
    water = any(w == "water" and told[i + 1 : i + 2] not in (["cooled"], ["jacket"]) for i, w in enumerate(told))
    return water and not (_CLOSED | set(NOT_WATER)) & {*lead(hot)}


def steam_pressure(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Steam said to be colder than it can be at its pressure.

    Source: IAPWS-IF97 saturation line, pressure taken as gauge. Tolerance: 12 degF below; superheat is no
    finding up to 250 degF. Only where temperature and pressure are both of steam or of a boiler.
    """
    index = facts(walk)
    row = limit(vocabulary, "steam temperature")
    for hot in index.of("temperature"):
        if not mentions(hot.subject, *STEAM) or mentions(
            hot.subject, "water", "feed", "feedwater", "condensate", "stack"
        ):
            continue
        pressure = partner(index, hot, ("pressure",), "megapascal")
        p, f = size(pressure, "megapascal"), size(hot, "degF")
        if pressure is None or p is None or f is None or not 0 < p < 20 or not mentions(pressure.subject, *STEAM):
            continue
        at = convert(saturation(p + 0.101325), "degC", "degF")
        used = (hot, pressure)
        if f - at > row["high"]:
            yield finding(
                "steam_pressure",
                "check",
                f"Steam at {said(pressure)} boils at {figure(round(at), 'degF')}; {said(hot)} would be far superheated "
                f"({name_of(hot)}). Re-read both gauges: °F or °C, is a digit joined?",
                used,
            )
            continue
        if f - at >= row["low"] - at * slack(*used):
            yield compared("steam_pressure", used, "agreed", f"saturated at {figure(round(at), 'degF')}")
            continue
        yield finding(
            "steam_pressure",
            "check",
            f"Steam at {said(pressure)} is at least {figure(round(at), 'degF')}, but {said(hot)} was said "
            f"({name_of(hot)}). Re-read both gauges: water or steam, rated or running pressure?",
            used,
        )


RULES = (
    boiler_rating,
    boiler_surface,
    above_boiling,
    steam_pressure,
)
