"""Heating up, boilers, steam, cooling: powers, times and temperatures that must go together."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import date

from extractors.units import convert
from pipeline.checks.facts import (
    Facts,
    alike,
    compared,
    facts,
    figure,
    finding,
    limit,
    mentions,
    name_of,
    number,
    said,
    size,
    slack,
)
from pipeline.checks.nearby import (
    SENTENCE,
    about_here,
    heard,
    most,
    outside,
    partner,
    seconds_between,
    single,
    vague,
    with_unit,
)
from pipeline.checks.offers import verdict
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

WATER_DENSITY = 8.34
"""Pounds a US gallon at 60 degF (NIST Handbook 44, Appendix C, from memory)."""
BOILER_HORSEPOWER = 33475.0
"""Btu an hour: 34.5 lb/h from and at 212 degF."""
NOT_WATER = (
    "oil quench salt fryer frying fat blackening black oxide molten lead zinc galvanizing solder wax resin pitch tar "
    "asphalt bitumen glycol thermal fluid glue polymer paraffin sugar syrup candy caramel strip stripping oven "
    "furnace kiln dryer"
).split()
WET = (
    "tank rinse wash bath cleaner caustic etch acid water seal dye phosphate pickle pickling degrease degreaser soak "
    "hot brine kettle vat stage compartment cooker blancher pasteurizer pasteuriser bottle scald scalder"
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


def hours_to_heat(gallons: float, rise: float, kilowatts: float) -> float:
    """Hours that a power needs to warm US gallons of water by degF, nothing lost: m x c x dT / P, c = 1 Btu/(lb "
    "degF)."""
    return gallons * WATER_DENSITY * rise / (kilowatts * 3412.14)


def heat_up(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """The time in which a heater is said to warm its tank against m x c x dT / P.

    Source: Q = m c dT, water 8.34 lb a gallon at 60 degF and 1 Btu/(lb degF) (NIST Handbook 44 App. C; definition of
    the Btu). Losses are left out, so the time found is the shortest there is. Start: as said, else 70 degF, a lenient
    one. Tolerance: asked about only where the shortest time is over 1.25 times the time that was said.
    """
    index = facts(walk)
    row, cold = limit(vocabulary, "heat-up time"), limit(vocabulary, "cold start")
    for power in index.of("power"):
        kilowatts = size(power, "kilowatt")
        if not kilowatts or "horsepower" in power.unit or not _heats(index, power):
            continue
        hot = _target(index, power)
        time = _time(index, power, hot)
        if hot is None or time is None:
            continue
        volume = _contents(index, power, hot)
        if volume is None:
            yield compared("heat_up", (power, hot, time), "could not be compared", "no volume of that tank said")
            continue
        gallons, hours, target = size(volume, "gallon"), size(time, "hour"), size(hot, "degF")
        start, told = _start(index, hot, float(cold["low"]))
        if not gallons or not hours or target is None or target - start < 20 or gallons < 20:
            continue
        count = _heaters(index, power)
        needed = hours_to_heat(gallons, target - start, kilowatts * count)

        def holds(
            power: Quantity, hot: Quantity, time: Quantity, volume: Quantity, start: float = start, count: int = count
        ) -> bool:
            rise = (size(hot, "degF") or 0) - start
            least = hours_to_heat(size(volume, "gallon") or 0, rise, (size(power, "kilowatt") or 0) * count)
            bound = (size(time, "hour") or 0) * row["high"] * (1 + slack(power, hot, time, volume))
            return bool(0 < least <= bound)

        times = f" times {count}" if count > 1 else ""
        yield from verdict(
            "heat_up",
            (power, hot, time, volume),
            holds,
            f"{said(power)}{times} needs at least {figure(round(needed, 1), 'hour')} to bring {said(volume)} from "
            f"{number(start)} to {said(hot)} (losses left out, start temperature {'as said' if told else 'assumed'}), "
            f"but {said(time)} was said. Is there a second heat source, another start, less in the tank? Re-read the "
            f"heater plate.",
            level="check",
            note=f"{figure(round(needed, 1), 'hour')} at least, losses left out",
        )


def _heats(index: Facts, power: Quantity) -> bool:
    words = "heater immersion element heating burner coil heat".split()
    if mentions(power.subject, "motor", "pump", "fan", "rectifier", "supply", "chiller", "compressor"):
        return False
    return mentions(power.subject, *words) or about_here(index, power, *words, within=5)


def _heaters(index: Facts, power: Quantity) -> int:
    """How many heaters share the work, where the figure is for each."""
    found = [
        c.count
        for c in index.components
        if c.count and mentions(c.name, "heater", "element", "burner") and seconds_between(c, power) <= 8
    ]
    return max(found, default=1)


def _target(index: Facts, power: Quantity) -> Quantity | None:
    same = [t for t in index.of("temperature") if alike(t.subject, power.subject)]
    near = [t for t in index.of("temperature") if seconds_between(t, power) <= 14]
    pool = [t for t in (same or near) if not mentions(f"{t.subject} {t.qualifier or ''}", "start", "cold", "ambient")]
    return max(pool, key=lambda t: most(t, "degF"), default=None)


def _time(index: Facts, power: Quantity, hot: Quantity | None) -> Quantity | None:
    """The time of heating up: said of it in words, or a duration of over 20 minutes in the same breath as the "
    "temperature."""
    if hot is None:
        return None
    words = "heat heating heatup warm cold start startup recovery".split()
    pool = [
        t
        for t in with_unit(index.of("duration", "cycle", "other", "dwell"), "hour")
        if seconds_between(t, hot) <= 8 or seconds_between(t, power) <= 8
    ]
    clear = [t for t in pool if mentions(f"{t.subject} {t.qualifier or ''}", *words) or heard(t, *words)]
    found = clear or [t for t in pool if t.property == "duration" and (size(t, "minute") or 0) > 20]
    return single(found, "hour")


def _start(index: Facts, hot: Quantity, assumed: float) -> tuple[float, bool]:
    for t in index.of("temperature"):
        cold = mentions(f"{t.subject} {t.qualifier or ''}", "start", "cold", "ambient", "incoming", "city", "feed")
        f = size(t, "degF")
        if t is not hot and cold and f is not None and seconds_between(t, hot) <= SENTENCE:
            return f, True
    return assumed, False


def _contents(index: Facts, power: Quantity, hot: Quantity) -> Quantity | None:
    """Volume of the tank that is heated: of its own name, of the same breath, else one that was said of every tank."""
    volumes = with_unit(index.of("volume"), "gallon")
    for subject in (power.subject, hot.subject):
        named = [v for v in volumes if alike(v.subject, subject) and not vague(v.subject)]
        if found := single(named, "gallon", 0.06):
            return found
    breath = [v for v in volumes if min(seconds_between(v, power), seconds_between(v, hot)) <= 12]
    if found := single(breath, "gallon", 0.06):
        return found
    general = [v for v in volumes if alike(v.subject, "tank") == "same" or (v.each and mentions(v.subject, "tank"))]
    plain = [v for v in general if alike(v.subject, "tank") == "same"] or general
    return single(plain, "gallon", 0.06)


def boiler_rating(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Boiler horsepower against steam an hour, heat output and burner input.

    Source: 33,475 Btu/h a boiler horsepower; 34.5 lb/h from and at 212 degF, about 28.8 with 60 degF feed at 100 psi
    (published tables of pounds of dry saturated steam per boiler horsepower). Burner input about 1.25 times output.
    Tolerance: steam 27.5 to 35.5 lb/h, output 7 %, input 1.02 to 1.6. "Horse" on a boiler is boiler horsepower.
    """
    index = facts(walk)
    for bhp in index.of("power"):
        if "horsepower" not in bhp.unit or not mentions(bhp.subject, "boiler", "generator"):
            continue
        if mentions(bhp.subject, "pump", "fan", "motor", "blower", "feed") or not mentions(
            bhp.subject, "boiler", "steam"
        ):
            continue
        output = bhp.value * BOILER_HORSEPOWER
        for other in index.of("power", "flow", "rate", "other"):
            if other is bhp or seconds_between(other, bhp) > 30 or not _boilers(other):
                continue
            yield from _boiler_pair(vocabulary, bhp, other, output)


def _boilers(q: Quantity) -> bool:
    return mentions(q.subject, "boiler", "steam", "burner", "firing", "input", "output") or vague(q.subject)


def _boiler_pair(vocabulary: Vocabulary, bhp: Quantity, other: Quantity, output: float) -> Results:
    used = (bhp, other)
    steam, heat = size(other, "pound/hour"), size(other, "Btu/hour")
    if steam is not None and mentions(other.subject, "steam", "boiler", "output"):
        row, unit, each = limit(vocabulary, "steam per boiler horsepower"), "pound/hour", 1.0
        usual = f"{number(bhp.value * 34.5)} pounds of steam an hour from and at 212 °F"
    elif heat is None or "horsepower" in other.unit:
        return
    elif mentions(other.subject, "burner", "firing", "input"):
        row, unit, each = limit(vocabulary, "burner on boiler"), "Btu/hour", BOILER_HORSEPOWER
        usual = f"an output of {number(output)} Btu an hour, so an input of about {number(output * 1.25)}"
    elif mentions(f"{other.subject} {other.qualifier}", "output"):
        row, unit, each = limit(vocabulary, "boiler output"), "Btu/hour", BOILER_HORSEPOWER
        usual = f"an output of {number(output)} Btu an hour"
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
        if not mentions(f"{area.subject} {area.qualifier or ''}", "boiler", "heating"):
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


def chiller_power(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Compressor power against tons of refrigeration, and a cooling tower's tons against its heat.

    Source: a ton of refrigeration is 12,000 Btu/h, a cooling-tower ton 15,000 (heat of compression included; common
    practice). 0.7 to 1.3 horsepower a ton is usual; tolerance 0.35 to 4.5, since deep cold takes more.
    """
    index = facts(walk)
    row = limit(vocabulary, "chiller power")
    for tons in index.of("power"):
        if tons.unit != "ton_of_refrigeration" or not tons.value:
            continue
        tower = mentions(tons.subject, "tower")
        other = partner(index, tons, ("power",), "watt")
        if other is None or other.unit == tons.unit:
            near = [p for p in index.of("power") if p.unit != tons.unit and seconds_between(p, tons) <= 8]
            cold = "compressor chiller refrigeration tower condenser cooling".split()
            other = single((p for p in near if mentions(p.subject, *cold)), "watt")
        if other is None or mentions(other.subject, "fan", "pump"):
            continue
        used = (tons, other)
        if "Btu" in other.unit or tower:
            ratio = convert(other.value, other.unit, "Btu/hour") / tons.value
            fits = any(abs(ratio / n - 1) <= 0.03 + slack(*used) for n in (12000, 15000))
            note = f"{number(ratio)} Btu an hour a ton; 12,000 is refrigeration, 15,000 a cooling tower"
            if "Btu" in other.unit and fits:
                yield compared("chiller_power", used, "agreed", note)
            continue
        if not ("horsepower" in other.unit or "watt" in other.unit):
            continue
        ratio = convert(other.value, other.unit, "horsepower") / tons.value
        if abs(convert(other.value, other.unit, "kilowatt") / tons.value / 3.517 - 1) < 0.03:
            yield compared("chiller_power", used, "agreed", "the same cooling in kilowatts")
        elif not outside(ratio, row["low"], row["high"], slack(*used)):
            yield compared("chiller_power", used, "agreed", f"{number(round(ratio, 2))} horsepower a ton")
        else:
            yield finding(
                "chiller_power",
                "check",
                f"{said(other)} for {said(tons)} is {number(round(ratio, 2))} horsepower a ton ({name_of(tons)}); 0.7 "
                f"to 1.3 is usual. Re-read the plate: compressor motor or fan, tons of cooling or of weight?",
                used,
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
        if f is None or f <= row["high"] or not mentions(hot.subject, *WET):
            continue
        if mentions(hot.subject, *NOT_WATER, "steam"):
            continue
        closed = "pressure retort autoclave jacket coil exchanger boiler burner".split()
        if mentions(hot.subject, *closed) or about_here(
            index, hot, *NOT_WATER, "retort", "autoclave", "pressure", within=6
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
        )


def steam_pressure(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Steam said to be colder than it can be at its pressure.

    Source: IAPWS-IF97 saturation line, pressure taken as gauge. Tolerance: 12 degF; hotter is superheated and no
    finding. Only where temperature and pressure are both of steam or of a boiler.
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
    heat_up,
    boiler_rating,
    boiler_surface,
    chiller_power,
    above_boiling,
    steam_pressure,
)
