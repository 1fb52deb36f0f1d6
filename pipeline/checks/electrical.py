"""Volts, amperes, kilowatts, hertz and turns a minute that must agree with each other."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import date
from itertools import pairwise

from pipeline.checks.facts import (
    Facts,
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
from pipeline.checks.nearby import about_here, heard, outside, partner, related, seconds_between, single
from pipeline.checks.offers import verdict
from pipeline.walk import Checked, Component, Finding, Quantity, Walk
from vocab import Row, Table, Vocabulary

Results = Iterator[Finding | Checked]

DIRECT = ("rectifier", "dc", "battery", "charger", "electrolyzer", "electrolyser", "welder", "plater")
NOT_A_MOTOR = (
    *DIRECT,
    *"heater heating element boiler burner transformer generator genset alternator furnace oven lamp laser".split(),
    *"inverter ups supply connected total installed induction radiant resistance refrigeration cooling".split(),
    *"chiller ultrasonic".split(),
)
NOT_BY_TABLE = "submersible dc servo spindle synchronous inverter vfd vsd stepper traction brushless".split()
UNUSUAL_AMPERES = "service factor sf sfa locked rotor inrush starting idle unloaded trip fuse breaker".split()


def _phases(index: Facts, anchor: Quantity, volts: Quantity | None) -> Quantity | None:
    """Phases of the same machine; else of the voltage's own breath; else the only ones said at all."""
    own = partner(index, anchor, ("phases",), "")
    if own is None and volts is not None:
        own = partner(index, volts, ("phases",), "")
    return own or single(index.of("phases"), "")


def _supply_voltage(index: Facts, anchor: Quantity) -> Quantity | None:
    """Voltage of the same machine; else the only voltage above control voltage said in the whole walk."""
    own = partner(index, anchor, ("voltage",), "volt")
    if own is not None:
        return own
    return single((q for q in index.of("voltage") if (size(q, "volt") or 0) >= 100), "volt", 0.05)


def _voltages_of(index: Facts, q: Quantity) -> int:
    """How many different voltages were said for the machine: a plate for two voltages has two currents."""
    near = {
        round(s)
        for v in index.of("voltage")
        if (s := size(v, "volt")) is not None and s >= 90
        if related(v.subject, q.subject) and seconds_between(v, q) < 7
    }
    return sum(1 for a in near if all(a >= b or b > a * 1.06 for b in near))


def full_load_current(table: Table, horsepower: float, volts: float, phases: int = 3) -> tuple[float, str]:
    """Amperes at full load, and where they come from, for a three- or single-phase motor.

    Between rows of the table amperes are interpolated. 440 to 480 V goes by the 460 V column, and so on, as the
    table says. Voltages without a column: P / (sqrt(3) V share), share being usual efficiency times power factor.
    Raises ValueError for a power outside the table.
    """
    rows = sorted(table.rows, key=lambda r: r["horsepower"])
    if not rows[0]["horsepower"] * 0.99 <= horsepower <= rows[-1]["horsepower"] * 1.01:
        raise ValueError(f"{horsepower} horsepower is outside the table")
    column = _column(volts, phases)
    known = [(r["horsepower"], r[column]) for r in rows if column and r[column] is not None]
    if known and known[0][0] * 0.99 <= horsepower <= known[-1][0] * 1.01:
        source = "NFPA 70-2008 Table 430.248" if phases == 1 else "NFPA 70-2008 Table 430.250"
        return _between(known, horsepower), source
    if phases == 1:
        raise ValueError(f"{horsepower} horsepower is outside the single-phase table")
    share = _between([(r["horsepower"], r["share"]) for r in rows], horsepower)
    return horsepower * 745.7 / (math.sqrt(3) * volts * share), "computed with usual efficiency and power factor"


def _column(volts: float, phases: int) -> str | None:
    ranges = (
        {"one115": (110, 120), "one230": (220, 240)}
        if phases == 1
        else {"v115": (110, 120), "v200": (200, 200), "v208": (208, 208), "v230": (220, 240), "v460": (440, 480)}
        | {"v575": (550, 600)}
    )
    return next((c for c, (low, high) in ranges.items() if low <= volts <= high), None)


def _between(points: list[tuple[float, float]], x: float) -> float:
    if x <= points[0][0]:
        return points[0][1] * x / points[0][0] if points[0][0] else points[0][1]
    for (x0, y0), (x1, y1) in pairwise(points):
        if x <= x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return points[-1][1]


def motor_current(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A motor's full-load amperes against the table for its power and voltage.

    Source: NFPA 70-2008 Table 430.250 (three-phase) and 430.248 (single-phase); voltages without a column are computed
    from power / (sqrt(3) x volts x efficiency x power factor). Tolerance: outside 0.65 to 1.25 of it, because the table
    sizes conductors and modern plates run lower. Not for two-voltage plates, service-factor or starting amperes,
    submersible, DC, servo, multi-speed and inverter motors, nor outside 0.5 to 500 horsepower.
    """
    index = facts(walk)
    row = limit(vocabulary, "motor current")
    for amps in index.of("current"):
        power = _motor_power(index, amps)
        if power is None:
            continue
        used: list[Quantity] = [power, amps]
        if heard(amps, *UNUSUAL_AMPERES) or mentions(f"{amps.subject} {amps.qualifier or ''}", *UNUSUAL_AMPERES):
            continue
        skip = _not_by_table(index, power)
        volts = partner(index, power, ("voltage",), "volt") or partner(index, amps, ("voltage",), "volt")
        volts = volts or _supply_voltage(index, power)
        if volts is None:
            yield compared("motor_current", used, "could not be compared", "no voltage said")
            continue
        used.append(volts)
        if skip is None and _voltages_of(index, power) > 1:
            skip = "two voltages said, so two currents on the plate"
        if skip:
            yield compared("motor_current", used, "could not be compared", skip)
            continue
        phase = _phases(index, power, volts)
        phases = int(phase.value) if phase else 3
        hp, v, i = size(power, "horsepower"), size(volts, "volt"), size(amps, "ampere")
        if not hp or not v or not i or phases not in (1, 3):
            continue
        try:
            usual, source = full_load_current(vocabulary["motors"], hp, v, phases)
        except ValueError as error:
            yield compared("motor_current", used, "could not be compared", str(error))
            continue

        def holds(power: Quantity, amps: Quantity, volts: Quantity, phases: int = phases) -> bool:
            hp, v, i = size(power, "horsepower"), size(volts, "volt"), size(amps, "ampere")
            expected, _ = full_load_current(vocabulary["motors"], hp or 0, v or 0, phases)
            return not outside((i or 0) / expected, row["low"], row["high"], slack(power, amps, volts))

        what = f"{figure(power.value, power.unit)} at {figure(v, 'volt')}"
        yield from verdict(
            "motor_current",
            (power, amps, volts),
            holds,
            f"{said(amps)} is unusual for a motor of {what} ({name_of(power)}): about {number(_neat(usual))} A is "
            f"usual ({source}). Re-read the plate: which voltage column, full-load or another current, which motor?",
            level="check",
            note=f"about {figure(_neat(usual), 'ampere')} is usual",
        )


def _neat(amperes: float) -> float:
    """Amperes as people quote them: whole from ten on."""
    return round(amperes) if amperes >= 10 else round(amperes, 1)


def _motor_power(index: Facts, amps: Quantity) -> Quantity | None:
    """Shaft power that a current goes with: of the same subject, or said in the same breath."""
    found = partner(index, amps, ("power",), "horsepower")
    if found is None:
        breath = [
            p
            for p in index.of("power")
            if size(p, "horsepower") is not None and seconds_between(p, amps) <= 5 and _motor(p)
        ]
        found = single(breath, "horsepower", 0.05)
        if found is not None and any(
            seconds_between(c, amps) < seconds_between(found, amps)
            for c in index.of("current")
            if c is not amps and related(c.subject, found.subject)
        ):
            return None
    supplying = mentions(amps.subject, "fuse", "breaker", "main", "service") and not mentions(amps.subject, "motor")
    if found is None or supplying or not _motor(found) or mentions(amps.subject, *NOT_A_MOTOR):
        return None
    return found


def _motor(q: Quantity) -> bool:
    """Whether a power is a motor's shaft power: in horsepower, or in kilowatts of something that turns."""
    if mentions(f"{q.subject} {q.qualifier or ''}", *NOT_A_MOTOR):
        return False
    return "horsepower" in q.unit or "watt" in q.unit


def _not_by_table(index: Facts, power: Quantity) -> str | None:
    if about_here(index, power, *NOT_BY_TABLE, within=6):
        return "an inverter, DC, servo or submersible motor goes by its own plate"
    if about_here(index, power, "speed", within=3) and about_here(index, power, "two", "multi", "variable", within=3):
        return "a motor with several or variable speeds goes by its own plate"
    return None


def rectifier_power(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Kilowatts of a direct-current source against its volts times amperes.

    Source: P = V x I (watt = volt x ampere, SI Brochure, 9th edition). Tolerance: less than 95 % of the product cannot
    be (conflict); more than 1.45 times is asked about, because a rating of the input is greater than the output by the
    efficiency (0.7 at worst). Only for subjects that are direct current.
    """
    index = facts(walk)
    row = limit(vocabulary, "rectifier power")
    for amps in index.of("current"):
        volts = partner(index, amps, ("voltage",), "volt")
        if volts is None:
            continue
        power = partner(index, amps, ("power",), "watt") or partner(index, volts, ("power",), "watt")
        v, i, p = size(volts, "volt"), size(amps, "ampere"), size(power, "kilowatt")
        if power is None or not v or not i or not p or "horsepower" in power.unit:
            continue
        if not any(mentions(q.subject, *DIRECT) for q in (amps, volts, power)):
            continue
        product = v * i / 1000

        def holds(volts: Quantity, amps: Quantity, power: Quantity) -> bool:
            made = (size(volts, "volt") or 0) * (size(amps, "ampere") or 0)
            return not outside((size(power, "watt") or 0) / made, row["low"], row["high"], slack(volts, amps, power))

        yield from verdict(
            "rectifier_power",
            (volts, amps, power),
            holds,
            f"{figure(v, 'volt')} times {figure(i, 'ampere')} is {figure(round(product, 2), 'kilowatt')}, but "
            f"{said(power)} was said of the {name_of(power)}. Photograph the plate and re-read all three: input or "
            f"output, one unit or all?",
            level="conflict" if p < product else "check",
            note=f"{figure(v, 'volt')} x {figure(i, 'ampere')}",
        )


def heater_power(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Kilowatts of an electric heater against its volts and amperes.

    Source: P = V x I single-phase and sqrt(3) x V x I three-phase with power factor 1 (resistive load; IEC 60050-131).
    Tolerance: 10 %, since 460 V plates are used for 480 V supplies and amperes are rounded. Three-phase where three
    phases were said of it, else either arithmetic may fit.
    """
    index = facts(walk)
    row = limit(vocabulary, "heater power")
    for power in index.of("power"):
        kilowatts = size(power, "kilowatt")
        if not kilowatts or "watt" not in power.unit or not mentions(power.subject, "heater", "element", "heating"):
            continue
        volts, amps = partner(index, power, ("voltage",), "volt"), partner(index, power, ("current",), "ampere")
        v, i = size(volts, "volt"), size(amps, "ampere")
        if volts is None or amps is None or not v or not i:
            continue
        phase = _phases(index, power, volts)
        factors = [math.sqrt(3)] if phase and phase.value == 3 else [1.0] if phase else [1.0, math.sqrt(3)]

        def holds(volts: Quantity, amps: Quantity, power: Quantity, factors: list[float] = factors) -> bool:
            made = (size(volts, "volt") or 0) * (size(amps, "ampere") or 0)
            ratios = [(size(power, "watt") or 0) / (k * made) for k in factors]
            return any(not outside(r, row["low"], row["high"], slack(volts, amps, power)) for r in ratios)

        yield from verdict(
            "heater_power",
            (volts, amps, power),
            holds,
            f"{figure(v, 'volt')} and {figure(i, 'ampere')} make "
            f"{figure(round(factors[-1] * v * i / 1000, 1), 'kilowatt')}, but {said(power)} was said of the "
            f"{name_of(power)}. Re-read the plate: phases, one element or all?",
            level="check",
            note="volts times amperes",
        )


def motor_speed(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A motor's turns a minute against the synchronous speed of its frequency, and of its poles where said.

    Source: synchronous speed 120 f / poles and slip (NEMA MG 1-2021, IEC 60034-1; both from memory). Tolerance: slip
    of 0 to 8 % at full load (small motors 4 to 6 %). Only for subjects that say motor, and not for gear, DC, servo,
    inverter, spindle or belt-driven shafts.
    """
    index = facts(walk)
    row = limit(vocabulary, "slip")
    for speed in index.of("speed"):
        rpm = size(speed, "rpm") if speed.unit == "rpm" else None
        if not rpm or not mentions(speed.subject, "motor") or mentions(speed.subject, "gear", "gearbox", *NOT_BY_TABLE):
            continue
        if about_here(index, speed, *NOT_BY_TABLE, within=6):
            continue
        basis, f = _frequency(index, speed, vocabulary["voltages"])
        if basis is None or f not in (50.0, 60.0):
            continue
        used = [speed, basis]
        near = [q for q in index.quantities if seconds_between(q, speed) < 10]
        poles = next((q for q in near if mentions(f"{q.subject} {q.of or ''}", "pole")), None)
        if poles is not None and poles.value in (2, 4, 6, 8, 10, 12):
            used.append(poles)
            synchronous = 120 * f / poles.value
        else:
            synchronous = _synchronous(f, rpm)
        slip = 1 - rpm / synchronous
        if -0.002 <= slip <= row["high"] + slack(speed) and rpm >= 400:
            note = f"{number(synchronous)} rpm less {number(round(slip * 100, 1))} %"
            yield compared("motor_speed", used, "agreed", note)
            continue
        yield finding(
            "motor_speed",
            "check",
            f"{said(speed)} does not go with {figure(f, 'hertz')}: an induction motor turns a few percent below "
            f"{number(synchronous)} rpm ({name_of(speed)}). Re-read the plate: frequency, poles, motor or driven "
            f"shaft?",
            used,
        )


def _frequency(index: Facts, speed: Quantity, table: Table) -> tuple[Quantity | None, float | None]:
    """Hertz of a motor's supply and the figure they come from: as said, else by a voltage met at one frequency only."""
    hertz = partner(index, speed, ("frequency",), "hertz") or single(index.of("frequency"), "hertz")
    if hertz is not None:
        return hertz, size(hertz, "hertz")
    volts = partner(index, speed, ("voltage",), "volt") or single(index.of("voltage"), "volt")
    entry = _nominal(size(volts, "volt"), table)
    if volts is None or entry is None or len(entry["hertz"]) != 1:
        return None, None
    return volts, float(entry["hertz"][0])


def _nominal(volts: float | None, table: Table) -> Row | None:
    """The row of the nominal voltage nearest to a voltage, within 2.5 %; None where there is none so near."""
    near = [(abs(volts - n) / n, r) for r in table.rows for n in r["volts"]] if volts else []
    off, row = min(near, key=lambda x: x[0], default=(1.0, None))
    return row if off <= 0.025 else None


def _synchronous(hertz: float, rpm: float) -> float:
    """The least synchronous speed of 2 to 12 poles that is not below rpm, 120 f / poles."""
    return min((120 * hertz / p for p in (2, 4, 6, 8, 10, 12) if 120 * hertz / p >= rpm - 3), default=60 * hertz)


def voltage_with_frequency(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Whether a supply of that voltage and frequency is met anywhere.

    Source: ANSI C84.1-2020 and IEC 60038:2009, with pairs met outside them in vocab/voltages.toml (380 V 60 Hz exists).
    Tolerance: 2.5 % around a nominal voltage. Only where both were said of one thing or each once in the walk, and not
    for direct current, control voltage, or below 40 V.
    """
    index = facts(walk)
    table = vocabulary["voltages"]
    asked: set[tuple[float, float]] = set()
    for volts in index.of("voltage"):
        v = size(volts, "volt")
        entry = _nominal(v, table)
        if v is None or v < 40 or mentions(volts.subject, *DIRECT, "secondary"):
            continue
        hertz = partner(index, volts, ("frequency",), "hertz")
        if hertz is None and single(index.of("voltage"), "volt") is not None:
            hertz = single(index.of("frequency"), "hertz")
        f = size(hertz, "hertz")
        if hertz is None or f not in (50.0, 60.0) or (v, f) in asked:
            continue
        asked.add((v, f))
        if entry is None and v * slack(volts) == 0:
            yield finding(
                "voltage_with_frequency",
                "check",
                f"{figure(v, 'volt')} at {figure(f, 'hertz')} is no usual supply voltage. Re-read the plate of the "
                f"{name_of(volts)}: was a digit dropped or joined?",
                (volts, hertz),
            )
            continue
        if entry is None or f in entry["hertz"]:
            note = f"{figure(v, 'volt')} at {figure(f, 'hertz')}"
            yield compared("voltage_with_frequency", (volts, hertz), "agreed", note)
            continue
        other = 60 if f == 50 else 50
        yield finding(
            "voltage_with_frequency",
            "check",
            f"{figure(v, 'volt')} at {figure(f, 'hertz')} is not a usual supply; {figure(v, 'volt')} goes with "
            f"{other} Hz. Re-read the plate of the {name_of(volts)}, voltage and frequency both.",
            (volts, hertz),
        )


def load_exceeds_supply(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """One single load greater than what its supply can give.

    Source: apparent power sqrt(3) x V x I three-phase, V x I single-phase (IEC 60050-131). Motors that add up to more
    than the service are normal diversity and are not asked about. Tolerance: a load above 1.05 times its supply. Only
    where the walk names one main fuse, breaker, service, feeder or transformer.
    """
    index = facts(walk)
    row = limit(vocabulary, "load on supply")
    supply = _supply(index)
    if supply is None:
        return
    kva, basis = supply
    loads = [p for p in index.of("power") if p not in basis and _single_load(p) and not _left_out(index, p)]
    if not loads:
        return
    load = max(loads, key=lambda p: size(p, "kilowatt") or 0)
    kilowatts = size(load, "kilowatt") or 0.0
    used = (load, *basis)
    if kilowatts <= kva * row["high"] * (1 + slack(*used)):
        yield compared("load_exceeds_supply", used, "agreed", f"{figure(round(kva), 'kVA')} available")
        return
    yield finding(
        "load_exceeds_supply",
        "check",
        f"One load of {said(load)} ({name_of(load)}) is more than its supply: {' and '.join(said(b) for b in basis)} "
        f"give about {figure(round(kva), 'kVA')}. Re-read both plates; is this load fed from somewhere else?",
        used,
    )


def _supply(index: Facts) -> tuple[float, tuple[Quantity, ...]] | None:
    """Apparent power of the one supply named in the walk, in kVA, and the figures it comes from."""
    pool = [q for q in index.of("power") if "ampere" in q.unit]
    made = [q for q in pool if mentions(q.subject, "transformer", "service", "supply")]
    if len(made) == 1 and (kva := size(made[0], "kilovolt_ampere")):
        return kva, (made[0],)
    words = ("main", "service", "incoming", "feeder", "supply", "connected")
    amps = [q for q in index.of("current") if mentions(f"{q.subject} {q.qualifier or ''}", *words)]
    amps = [q for q in amps if not mentions(f"{q.subject} {q.qualifier or ''}", "motor", "pump", "fan", "load")]
    main = single(amps, "ampere", 0.001)
    volts = _supply_voltage(index, main) if main else None
    i, v = size(main, "ampere"), size(volts, "volt")
    if main is None or volts is None or not i or not v:
        return None
    phase = _phases(index, main, volts)
    factor = math.sqrt(3) if phase is None or phase.value == 3 else 1.0
    return factor * v * i / 1000, (main, volts)


def _single_load(q: Quantity) -> bool:
    """Whether a power is that of one electric load: no fuel, no source, no total."""
    words = (
        "burner gas steam boiler engine diesel transformer generator genset chiller rectifier connected total".split()
    )
    named = mentions(f"{q.subject} {q.qualifier or ''}", *words, "installed", "supply", "service")
    return not named and ("watt" in q.unit or "horsepower" in q.unit) and bool(size(q, "kilowatt"))


def _left_out(index: Facts, q: Quantity) -> bool:
    """Whether the figure is of a thing that stays behind."""
    excluded: list[Component] = [c for c in index.components if c.disposition == "excluded"]
    return any(set(c.name.lower().split()) <= set(q.subject.lower().split()) for c in excluded if c.name)


RULES = (
    rectifier_power,
    motor_current,
    heater_power,
    motor_speed,
    voltage_with_frequency,
    load_exceeds_supply,
)
