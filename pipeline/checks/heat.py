"""Heating up and cooling down: powers, times, flows and temperatures that must go together."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from extractors.units import convert
from pipeline.checks.facts import Facts, facts, limit, size, slack
from pipeline.checks.nearby import (
    SENTENCE,
    about_here,
    heard,
    most,
    outside,
    partner,
    seconds_between,
    single,
    told_beside,
    vague,
    with_unit,
    word_before,
)
from pipeline.checks.offers import verdict
from pipeline.checks.subjects import alike, mentions, words
from pipeline.checks.wording import clean, compared, figure, finding, name_of, number, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

ANY_TANK = frozenset("tank process standard other typical normal regular usual rest".split())
"""Words of a tank that is none in particular."""
WATER_DENSITY = 8.34
"""Pounds a US gallon at 60 degF (IAPWS density, by CoolProp)."""


def plain(q: Quantity) -> str:
    """A figure without its basis, where three stand in one sentence."""
    return figure(q.value, q.unit, q.value_max)


def hours_to_heat(gallons: float, rise: float, kilowatts: float) -> float:
    """Hours that a power needs to warm US gallons of water by degF, nothing lost: m x c x dT / P, c = 1 Btu/(lb "
    "degF)."""
    return gallons * WATER_DENSITY * rise / (kilowatts * 3412.14)


def heat_up(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """The time in which a heater is said to warm its tank against m x c x dT / P.

    Source: Q = m c dT, water 8.34 lb a gallon at 60 degF (IAPWS density, by CoolProp), 1 Btu/(lb degF) by definition.
    Losses are left out, so the time found is the shortest there is. Start: as said, else 70 degF, a lenient one.
    Tolerance: asked about where the shortest time is over 1.25 times the time that was said, or less than 0.15 of it.
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
        if not gallons or not hours or target is None or target - start < 20 or gallons < 20 or target > 260:
            continue
        count = _heaters(index, power)
        needed = hours_to_heat(gallons, target - start, kilowatts * count)

        def holds(
            power: Quantity, hot: Quantity, time: Quantity, volume: Quantity, start: float = start, count: int = count
        ) -> bool:
            rise = (size(hot, "degF") or 0) - start
            least = hours_to_heat(size(volume, "gallon") or 0, rise, (size(power, "kilowatt") or 0) * count)
            told = (size(time, "hour") or 0) * (1 + slack(power, hot, time, volume))
            return bool(told * row["low"] <= least <= told * row["high"])

        times = f" times {count}" if count > 1 else ""
        other = _second_source(index, power, hot, volume)
        asked = f"Does the {other} heat it as well" if other else "Is there a second heat source"
        yield from verdict(
            "heat_up",
            (power, hot, time, volume),
            holds,
            f"{plain(power)}{times} needs at least {figure(round(needed, 1), 'hour')} to bring {plain(volume)} from "
            f"{number(start)} to {plain(hot)} (losses left out, start temperature {'as said' if told else 'assumed'}), "
            f"but {said(time)} was said. {asked}, is it another start, less in the tank? Re-read the heater plate.",
            level="check",
            note=f"{figure(round(needed, 1), 'hour')} at least, losses left out",
        )


_SOURCES = ("steam", "coil", "exchanger", "burner", "gas", "flue", "thermal", "tube", "recovery", "solar", "jacket")
"""Words of things that bring heat to a tank besides an electric heater."""


def _second_source(index: Facts, power: Quantity, hot: Quantity, volume: Quantity) -> str | None:
    """The name of another thing that may heat the same tank: told in the same breath, and not the heater itself."""
    for c in index.components:
        near = min(seconds_between(c, q) for q in (power, hot, volume)) <= SENTENCE / 2
        if near and mentions(c.name, *_SOURCES) and not alike(c.name, power.subject):
            return clean(c.name, 40)
    return None


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
    general = [v for v in volumes if set(words(v.subject)) <= ANY_TANK] or [v for v in volumes if v.each]
    # said of tanks in general with several sizes: the least is the one that warms fastest
    return min(general, key=lambda v: size(v, "gallon") or 0, default=None)


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
        if other is None or mentions(other.subject, "fan", "pump", "air"):
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


def cooling_flow(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Tons of a chiller against the flow through it and the temperatures before and behind it.

    Source: Q = m c dT; for water tons = gpm x degF / 24 (500 Btu/h a gpm and degF over 12,000). Tolerance: 0.5 to 1.6,
    as glycol carries less and pumps are sized for more. Only where supply and return were both said, for one flow.
    """
    index = facts(walk)
    row = limit(vocabulary, "cooling flow")
    tons = single((p for p in index.of("power") if p.unit == "ton_of_refrigeration"), "watt")
    if tons is None or mentions(tons.subject, "tower"):
        return
    near = [t for t in index.of("temperature") if seconds_between(t, tons) <= 3 * SENTENCE]

    out, back = ("supply", "leaving", "leave", "outlet"), ("return", "entering", "enter", "inlet")

    def one(*words: str) -> Quantity | None:
        # "supply is 44, return is 54": the word before a figure says which it is, else what it was filed under
        told = ((t, word_before(t, *out, *back) or f"{t.subject} {t.qualifier or ''}") for t in near)
        return single((t for t, name in told if mentions(name, *words)), "degF", 0.001)

    cold, warm = one(*out), one(*back)
    wet = "chilled glycol chiller water pump brine evaporator".split()
    flows = [f for f in with_unit(index.of("flow"), "gallon/minute") if mentions(f.subject, *wet)]
    flow = single(
        (f for f in flows if "foot**3" not in f.unit and seconds_between(f, tons) <= 3 * SENTENCE), "gallon/minute"
    )
    if cold is None or warm is None or flow is None or cold is warm:
        return

    def holds(tons: Quantity, flow: Quantity, warm: Quantity, cold: Quantity) -> bool:
        rise = (size(warm, "degF") or 0) - (size(cold, "degF") or 0)
        made = (size(flow, "gallon/minute") or 0) * rise / 24
        ratio = made / (size(tons, "ton_of_refrigeration") or 0)
        return not outside(ratio, row["low"], row["high"], slack(tons, flow, warm, cold))

    rise = (size(warm, "degF") or 0) - (size(cold, "degF") or 0)
    made = (size(flow, "gallon/minute") or 0) * rise / 24
    yield from verdict(
        "cooling_flow",
        (tons, flow, warm, cold),
        holds,
        f"{said(flow)} from {said(warm)} to {said(cold)} is {number(round(made, 1))} tons of cooling, but "
        f"{said(tons)} was said ({name_of(tons)}). Ask whether flow and temperatures are of one moment; re-read the "
        f"plate.",
        level="check",
        note=f"{number(round(made, 1))} tons by flow",
    )


def gas_use(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Gas that a burner takes an hour against its heat.

    Source: natural gas about 1,030 Btu a cubic foot as delivered (US Energy Information Administration); propane
    about 2,500 (from memory). Tolerance: 850 to 1,200 for natural gas; other gases are left alone.
    """
    index = facts(walk)
    row = limit(vocabulary, "heat of natural gas")
    for flow in with_unit(index.of("flow", "rate"), "foot**3/hour"):
        text = f"{flow.subject} {flow.of or ''} {flow.around or ''}"
        if not mentions(text, "gas") or mentions(text, "propane", "lpg", "biogas", "landfill", "exhaust", "flue"):
            continue
        heat = partner(index, flow, ("power",), "Btu/hour") or told_beside(
            index, flow, ("power",), "Btu/hour", "burner", "boiler", "oven", "furnace", "heater", "dryer", "input"
        )
        fired = heat is not None and ("Btu" in heat.unit or mentions(heat.subject, "burner", "gas"))
        if heat is None or not fired or about_here(index, flow, "propane", "lpg", "butane"):
            continue
        feet, btu = size(flow, "foot**3/hour"), size(heat, "Btu/hour")
        if not feet or not btu:
            continue

        def holds(flow: Quantity, heat: Quantity) -> bool:
            each = (size(heat, "Btu/hour") or 0) / (size(flow, "foot**3/hour") or 0)
            return not outside(each, row["low"], row["high"], slack(flow, heat))

        yield from verdict(
            "gas_use",
            (flow, heat),
            holds,
            f"{said(heat)} from {said(flow)} of gas is {number(round(btu / feet))} Btu a cubic foot "
            f"({name_of(flow)}); natural gas has about 1,030. Re-read the burner plate: which gas, M for thousand or "
            f"MM for million?",
            level="check",
            note=f"{number(round(btu / feet))} Btu a cubic foot",
        )


RULES = (
    heat_up,
    chiller_power,
    cooling_flow,
    gas_use,
)
