"""Motors: amperes against the table for power and voltage, turns a minute against frequency and poles."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from datetime import date
from itertools import pairwise

from pipeline.checks.electrical import DIRECT, nominal, phases_of, voltage_of, voltages_of
from pipeline.checks.facts import Facts, facts, limit, size, slack
from pipeline.checks.nearby import (
    ANY_THING,
    SENTENCE,
    about_here,
    called,
    core,
    heard,
    lead,
    outside,
    partner,
    related,
    same,
    seconds_between,
    single,
    vague,
)
from pipeline.checks.offers import verdict
from pipeline.checks.subjects import head, mentions, words
from pipeline.checks.wording import compared, figure, finding, moment, name_of, number, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Row, Table, Vocabulary

Results = Iterator[Finding | Checked]

NOT_A_MOTOR = (
    *DIRECT,
    *"heater heating element boiler burner transformer generator genset alternator furnace oven lamp laser".split(),
    *"inverter ups supply connected total installed induction radiant resistance refrigeration cooling".split(),
    *"chiller ultrasonic set diesel engine".split(),
)
NOT_BY_TABLE = "submersible dc servo spindle synchronous inverter vfd vsd stepper traction brushless".split()
INVERTERS = ("inverter", "vfd", "vsd")
"""A motor on one runs by its own plate, and that plate differs little: only gross slips are asked about."""
UNUSUAL_AMPERES = "service factor sf sfa locked rotor inrush starting idle unloaded trip fuse breaker".split()


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
    submersible, DC, servo, multi-speed and inverter motors; outside 0.5 to 500 horsepower only gross slips (a third,
    three times) are asked about.
    """
    index = facts(walk)
    table, rough = limit(vocabulary, "motor current"), limit(vocabulary, "motor beyond the table")
    on_inverter = limit(vocabulary, "motor current on an inverter")
    for amps in index.of("current"):
        if _volts_by_ear(index, amps):
            continue
        power = _motor_power(index, amps)
        if power is None:
            continue
        used: list[Quantity] = [power, amps]
        if heard(amps, *UNUSUAL_AMPERES) or mentions(f"{amps.subject} {amps.qualifier or ''}", *UNUSUAL_AMPERES):
            continue
        skip = _not_by_table(index, power)
        volts = partner(index, power, ("voltage",), "volt") or partner(index, amps, ("voltage",), "volt")
        volts = volts or voltage_of(index, power)
        if volts is None:
            yield compared("motor_current", used, "could not be compared", "no voltage said")
            continue
        used.append(volts)
        if skip is None and voltages_of(index, power) > 1:
            skip = "two voltages said, so two currents on the plate"
        if skip:
            yield compared("motor_current", used, "could not be compared", skip)
            continue
        phase = phases_of(index, power, volts)
        phases = int(phase.value) if phase else 3
        hp, v, i = size(power, "horsepower"), size(volts, "volt"), size(amps, "ampere")
        if not hp or not v or not i or phases not in (1, 3):
            continue
        try:
            usual, source = full_load_current(vocabulary["motors"], hp, v, phases)
        except ValueError as error:
            if phases == 1 or any(q.doubt for q in used):
                yield compared("motor_current", used, "could not be compared", str(error))
                continue
            usual, source = _roughly(hp, v), "computed, roughly"

        if not 0.04 <= i / usual <= 25:
            yield compared("motor_current", used, "could not be compared", "the two may be of different things")
            continue
        driven = about_here(index, power, *INVERTERS, within=6) or about_here(index, amps, *INVERTERS, within=6)
        row = on_inverter if driven else table

        def holds(power: Quantity, amps: Quantity, volts: Quantity, phases: int = phases, row: Row = row) -> bool:
            hp, v, i = size(power, "horsepower") or 0, size(volts, "volt") or 0, size(amps, "ampere") or 0
            try:
                expected, band = full_load_current(vocabulary["motors"], hp, v, phases)[0], row
            except ValueError:
                expected, band = _roughly(hp, v), rough
            return not outside(i / expected, band["low"], band["high"], slack(power, amps, volts))

        if "watt" in power.unit and phases == 3 and not mentions(power.subject, "motor", "pump", "fan", "drive"):
            straight = (size(power, "watt") or 0) / (math.sqrt(3) * v)
            if abs(i / straight - 1) <= 0.05:
                yield compared("motor_current", used, "could not be compared", "as of a heater: kilowatts = 1.73 V A")
                continue
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


def _volts_by_ear(index: Facts, amps: Quantity) -> bool:
    """ "Two hundred horse, 480, two forty amps": a supply voltage without a unit beside the amperes is none of them."""
    if amps.value not in (208, 230, 240, 380, 400, 415, 440, 460, 480, 575, 600):
        return False
    bare = not any("amp" in e.words.lower() for e in amps.evidence)
    return bare and any(c is not amps and 0 <= moment(c) - moment(amps) <= 5 for c in index.of("current"))


def _roughly(horsepower: float, volts: float) -> float:
    """Amperes of a three-phase motor the table leaves out: efficiency times power factor taken as 0.85."""
    return horsepower * 745.7 / (math.sqrt(3) * volts * 0.85)


def _neat(amperes: float) -> float:
    """Amperes as people quote them: whole from ten on."""
    return round(amperes) if amperes >= 10 else round(amperes, 1)


def _motor_power(index: Facts, amps: Quantity) -> Quantity | None:
    """Shaft power that a current goes with: of the same subject, or said in the same breath."""
    found = _said_before(index, amps) or partner(index, amps, ("power",), "horsepower")
    found = _one_of(index, found) or _each_of_its_kind(index, amps)
    if found is None:
        breath = [
            p
            for p in index.of("power")
            if size(p, "horsepower") is not None
            and seconds_between(p, amps) <= 5
            and _motor(p)
            # "the wash pumps are five horse; the blower's forty amps": each has a name of its own
            and not (core(p.subject) and core(amps.subject) and core(p.subject).isdisjoint(core(amps.subject)))
        ]
        found = single(breath, "horsepower", 0.05)
        if found is not None and any(
            seconds_between(c, amps) < seconds_between(found, amps)
            for c in index.of("current")
            if c is not amps and related(c.subject, found.subject)
        ):
            return None
    supplying = mentions(amps.subject, "fuse", "breaker", "main", "service") and not mentions(
        amps.subject, "motor", "drive", "fan", "pump", "spindle"
    )
    if found is None or supplying or not _motor(found) or mentions(amps.subject, *NOT_A_MOTOR):
        return None
    return found


def _one_of(index: Facts, power: Quantity | None) -> Quantity | None:
    """ "Each a hundred and fifty horse, so six hundred": the amperes of a plate are those of one."""
    if power is None or power.each:
        return power
    ones = [
        p
        for p in index.of("power")
        if p.each
        and 0 <= moment(power) - moment(p) <= 6
        and related(p.subject, power.subject)
        and p.value < power.value
    ]
    return ones[-1] if ones else power


def _each_of_its_kind(index: Facts, amps: Quantity) -> Quantity | None:
    """ "Three supply pumps, five horse apiece. The tag on the caustic pump motor says sixty amps": what was said of
    each of several holds for the one of them that is named by another word."""
    kind = [w for w in words(amps.subject) if w not in ANY_THING][-1:]
    if not kind or any(size(p, "horsepower") and same(p.subject, amps.subject) for p in index.of("power")):
        return None
    before = [p for p in index.of("power") if 0 < moment(amps) - moment(p) <= SENTENCE and size(p, "horsepower")]
    last = max(before, key=moment, default=None)
    if last is None or not last.each or [w for w in words(last.subject) if w not in ANY_THING][-1:] != kind:
        return None
    return last


def _said_before(index: Facts, amps: Quantity) -> Quantity | None:
    """ "A 250 kilowatt motor, 400 volts, three phase, 50 hertz, 230 amperes": the last power before the amperes, of a
    motor by its name, with no other current between."""
    at = moment(amps)
    before = [p for p in index.of("power") if 0 <= at - moment(p) <= 10 and size(p, "horsepower") is not None]
    last = max(before, key=moment, default=None)
    if last is None or not mentions(last.subject, "motor") or not _motor(last):
        return None
    between = any(moment(last) < moment(c) < at for c in index.of("current"))
    other = core(amps.subject) and core(last.subject) and not related(amps.subject, last.subject)
    return None if between or other else last


def _motor(q: Quantity) -> bool:
    """Whether a power is a motor's shaft power: in horsepower, or in kilowatts of something that turns."""
    driven = head(q.subject) in ("motor", "pump", "fan", "blower", "agitator", "mixer")  # "the three supply pumps"
    if mentions(q.qualifier or "", *NOT_A_MOTOR) or (mentions(q.subject, *NOT_A_MOTOR) and not driven):
        return False
    return "horsepower" in q.unit or "watt" in q.unit


def _not_by_table(index: Facts, power: Quantity) -> str | None:
    others = [w for w in NOT_BY_TABLE if w not in INVERTERS]
    if about_here(index, power, *others, within=6) or _DIRECT.search(power.around or ""):
        return "an inverter, DC, servo or submersible motor goes by its own plate"
    if about_here(index, power, "speed", within=3) and about_here(index, power, "two", "multi", "variable", within=3):
        return "a motor with several or variable speeds goes by its own plate"
    return None


_DIRECT = re.compile(
    r"\bdc\W(drive )?motors?\b|\bdirect[- ]current\b|\barmature\b|\b(shunt|series|compound)[- ]wound\b"
)
"""Words of a sentence about a direct-current motor."""


def dc_motor_power(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Shaft power of a direct-current motor against armature volts times amperes.

    Source: P = V x I x efficiency (IEC 60034-1). Tolerance: an efficiency of 0.65 to 1.0; more than the product cannot
    be, but plates name several voltages, so it is asked. Only where DC was said of it.
    """
    index = facts(walk)
    row = limit(vocabulary, "dc motor")
    for power in index.of("power"):
        told = mentions(f"{power.subject} {power.qualifier or ''}", "dc", "direct")
        if not size(power, "watt") or not (told or _DIRECT.search(power.around or "")):
            continue
        if mentions(power.subject, "rectifier", "supply", "bus") or not (
            "horsepower" in power.unit or "watt" in power.unit
        ):
            continue
        volts, amps = partner(index, power, ("voltage",), "volt"), partner(index, power, ("current",), "ampere")
        v, i = size(volts, "volt"), size(amps, "ampere")
        if volts is None or amps is None or not v or not i:
            continue

        def holds(power: Quantity, volts: Quantity, amps: Quantity) -> bool:
            made = (size(volts, "volt") or 0) * (size(amps, "ampere") or 0)
            return not outside((size(power, "watt") or 0) / made, row["low"], row["high"], slack(power, volts, amps))

        yield from verdict(
            "dc_motor_power",
            (power, volts, amps),
            holds,
            f"{figure(v, 'volt')} times {figure(i, 'ampere')} is {figure(round(v * i / 1000, 1), 'kilowatt')}, but "
            f"{said(power)} was said of the {name_of(power)}. Re-read the plate: armature or field, which speed?",
            level="check",
            note=f"{figure(round(v * i / 1000, 1), 'kilowatt')} in",
        )


def motor_speed(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A motor's turns a minute against the synchronous speed of its frequency, and of its poles where said.

    Source: synchronous speed 120 f / poles and slip (DOE-HDBK-1011/4-92, module 12, eq. 12-2). Tolerance: slip
    of 0 to 8 % at full load (small motors 4 to 6 %). Only for subjects that say motor, and not for gear, DC, servo,
    inverter, spindle or belt-driven shafts.
    """
    index = facts(walk)
    row = limit(vocabulary, "slip")
    for speed in index.of("speed"):
        rpm = size(speed, "rpm") if speed.unit == "rpm" else None
        near = [q for q in index.quantities if q.of == "pole" and seconds_between(q, speed) < 8]
        poles = min(near, key=lambda q: seconds_between(q, speed), default=None)
        bare = vague(speed.subject) and mentions(called(index, speed), "motor")
        turning = poles is not None or bare or mentions(speed.subject, "motor")
        if not rpm or not turning or mentions(called(index, speed), "gear", "gearbox", *NOT_BY_TABLE):
            continue
        if about_here(index, speed, *NOT_BY_TABLE, within=6) or _DRIVES.search(" ".join(lead(speed))):
            continue
        basis, f = _frequency(index, speed, vocabulary["voltages"])
        if basis is None or f not in (50.0, 60.0):
            continue
        used = [speed, basis]
        if poles is not None and poles.value in (2, 4, 6, 8, 10, 12):
            used.append(poles)
            synchronous = 120 * f / poles.value
        else:
            synchronous = synchronous_speed(f, rpm)
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


_DRIVES = re.compile(r"\b(?:turns?|drives?|spins?|swings?|runs?|turning|driving) (?:the|its|a|both|all|two) [a-z]+")
"""Words of a speed at which a motor turns something else ("turns the screws at 280 rpm")."""


def _frequency(index: Facts, speed: Quantity, table: Table) -> tuple[Quantity | None, float | None]:
    """Hertz of a motor's supply and the figure they come from: as said, else by a voltage met at one frequency only."""
    hertz = partner(index, speed, ("frequency",), "hertz") or single(index.of("frequency"), "hertz")
    if hertz is not None:
        return hertz, size(hertz, "hertz")
    volts = partner(index, speed, ("voltage",), "volt") or single(index.of("voltage"), "volt")
    entry = nominal(size(volts, "volt"), table)
    if volts is None or entry is None or len(entry["hertz"]) != 1:
        return None, None
    return volts, float(entry["hertz"][0])


def synchronous_speed(hertz: float, rpm: float) -> float:
    """The least synchronous speed of 2 to 12 poles that is not below rpm, 120 f / poles."""
    return min((120 * hertz / p for p in (2, 4, 6, 8, 10, 12) if 120 * hertz / p >= rpm - 3), default=60 * hertz)


RULES = (
    motor_current,
    dc_motor_power,
    motor_speed,
)
