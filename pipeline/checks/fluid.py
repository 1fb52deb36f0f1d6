"""Pumps, pipes, compressors: flow, pressure and power that must go together."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from datetime import date

from pipeline.checks.facts import Facts, facts, limit, one_of, size, slack, system
from pipeline.checks.nearby import (
    BREATH,
    about_here,
    called,
    heard,
    most,
    outside,
    partner,
    related,
    seconds_between,
    single,
    told_beside,
    with_unit,
    word_before,
)
from pipeline.checks.offers import verdict
from pipeline.checks.subjects import alike, mentions
from pipeline.checks.wording import compared, figure, finding, moment, name_of, number, said
from pipeline.checks.wording import heard as heard_words
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

FEET_A_PSI = 2.3067
"""Feet of water at 60 degF a psi: 144 in2/ft2 / 62.43 lb/ft3; the trade says 2.31."""
FULL_VACUUM = 29.92
"""Inches of mercury of one standard atmosphere."""
AIR = (
    "air",
    "fan",
    "blower",
    "compressor",
    "airend",
    "duct",
    "exhaust",
    "gas",
    "hood",
    "stack",
    "ventilation",
    "dryer",
)
NO_COMPRESSOR = ("blower", "vacuum", "booster", "refrigeration", "chiller", "ammonia", "fan", "gas")


def _liquid(q: Quantity) -> bool:
    """Whether a flow is of liquid: by its unit, and not of air or gas."""
    return ("gallon" in q.unit or "litre" in q.unit or "metre**3" in q.unit) and not mentions(
        f"{q.subject} {q.of}", *AIR
    )


def pump_power(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Flow times pressure of a pump against the power of its motor.

    Source: hydraulic power P = Q x p (gpm x psi / 1715 horsepower: IADC drilling glossary). Tolerance: above
    0.95 of the motor is asked about, as no pump is so good, and below 0.04, as a slip; between is normal. A question,
    never a conflict: a centrifugal's best pressure and best flow never meet, and two-stage power units exceed the
    product.
    """
    index = facts(walk)
    row = limit(vocabulary, "hydraulic power")
    for flow in index.of("flow"):
        if not _liquid(flow) or flow.unit.endswith(("/day", "/week")):
            continue  # "they top up with 120 litres a day": no pump's rate
        pressure, power = _pump_parts(index, flow)
        q, p, motor = size(flow, "metre**3/second"), size(pressure, "pascal"), size(power, "watt")
        if pressure is None or power is None or not q or not p or not motor:
            continue

        def holds(flow: Quantity, pressure: Quantity, power: Quantity) -> bool:
            liquid = (size(flow, "metre**3/second") or 0) * (size(pressure, "pascal") or 0)
            share = liquid / (size(power, "watt") or 0)
            return not outside(share, row["low"], row["high"], slack(flow, pressure, power))

        unit = "horsepower" if "horsepower" in power.unit else "kilowatt"
        needed = q * p / (745.7 if unit == "horsepower" else 1000)
        yield from verdict(
            "pump_power",
            (flow, pressure, power),
            holds,
            f"{said(flow)} at {said(pressure)} is {figure(round(needed, 1), unit)} in the liquid, but the motor was "
            f"given as {said(power)} ({name_of(flow)}). Greatest flow and greatest pressure seldom meet: ask for "
            f"both at one point, and re-read the pump plate.",
            level="check",
            note=f"{number(round(q * p / motor * 100))} % of the motor in the liquid",
        )


def _pump_parts(index: Facts, flow: Quantity) -> tuple[Quantity | None, Quantity | None]:
    if not mentions(flow.subject, "pump", "hydraulic", "jet") and not about_here(index, flow, "pump", within=4):
        return None, None
    power = partner(index, flow, ("power",), "watt")
    if power is not None and ("Btu" in power.unit or mentions(power.subject, "burner", "heater", "fan")):
        power = None
    pressure = partner(index, flow, ("pressure",), "psi")
    other = "rated relief air steam test design".split()
    if pressure is not None and mentions(f"{pressure.subject} {pressure.qualifier or ''}", *other):
        pressure = None
    return pressure, power


def fan_power(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Flow times pressure of a fan against the power of its motor.

    Source: air power P = Q x p (cfm x inches of water / 6356 horsepower, in public examples). Tolerance: above
    0.95 of the motor is asked about; fans move less than their plate says, so below is normal. Below 3 psi only, where
    air hardly compresses.
    """
    index = facts(walk)
    row = limit(vocabulary, "air power")
    for flow in with_unit(index.of("flow"), "foot**3/minute"):
        if not mentions(called(index, flow), "fan", "blower", "exhaust", "exhauster", "scrubber", "collector"):
            continue
        pressure, power = partner(index, flow, ("pressure",), "psi"), partner(index, flow, ("power",), "watt")
        q, p, watts = size(flow, "metre**3/second"), size(pressure, "pascal"), size(power, "watt")
        if pressure is None or power is None or not q or not p or not watts or not 0 < p < 20_000:
            continue
        if "Btu" in power.unit or mentions(power.subject, "burner", "heater", "pump"):
            continue

        def holds(flow: Quantity, pressure: Quantity, power: Quantity) -> bool:
            air = (size(flow, "metre**3/second") or 0) * (size(pressure, "pascal") or 0)
            return bool(air / (size(power, "watt") or 0) <= row["high"] * (1 + slack(flow, pressure, power)))

        unit = "horsepower" if "horsepower" in power.unit else "kilowatt"
        needed = q * p / (745.7 if unit == "horsepower" else 1000)
        yield from verdict(
            "fan_power",
            (flow, pressure, power),
            holds,
            f"{said(flow)} at {said(pressure)} is {figure(round(needed, 1), unit)} in the air alone, but the motor "
            f"was given as {said(power)} ({name_of(flow)}). Re-read the fan plate: static pressure, at which flow?",
            level="check",
            note=f"{number(round(q * p / watts * 100))} % of the motor in the air",
        )


def head_and_pressure(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Head and pressure of one pump against each other.

    Source: 2.31 ft of water a psi at 60 degF, divided by specific gravity (62.43 lb/ft3 / 144). Tolerance: the specific
    gravity they would need lies outside 0.7 to 1.5.
    """
    index = facts(walk)
    row = limit(vocabulary, "head and pressure")
    pool = [*with_unit(index.of("height", "length", "other"), "foot"), *index.of("pressure")]
    for head in pool:
        called = mentions(f"{head.subject} {head.qualifier or ''}", "head", "tdh") or heard(head, "head", "tdh")
        column = head.unit == "foot_H2O"
        if not called or (head.property == "pressure" and not column):
            continue
        if mentions(head.subject, "room", "clearance", "pulley", "filler", "capper", "press", "tank", "boiler"):
            continue
        pressure = partner(index, head, ("pressure",), "psi")
        if pressure is None:  # "sixty gallons at 150 psi; same tag, total head two hundred feet"
            near = [p for p in index.of("pressure") if p is not head and seconds_between(p, head) <= BREATH / 1.5]
            pressure = single(
                (p for p in near if p.unit != "foot_H2O" and not mentions(p.subject, "vessel", "receiver")), "psi"
            )
        feet, psi = head.value if column else size(head, "foot"), size(pressure, "psi")
        if pressure is None or not feet or not psi or seconds_between(head, pressure) > BREATH * 2:
            continue
        if pressure.unit == head.unit:
            continue
        used = (head, pressure)
        gravity = psi * FEET_A_PSI / feet
        if row["low"] * (1 - slack(*used)) <= gravity <= row["high"] * (1 + slack(*used)):
            yield compared("head_and_pressure", used, "agreed", f"specific gravity {number(round(gravity, 2))}")
            continue
        yield finding(
            "head_and_pressure",
            "check",
            f"{said(head)}{'' if column else ' of head'} is {figure(round(feet / FEET_A_PSI, 1), 'psi')}"
            f"{'' if column else ' of water'}, but {said(pressure)} was said ({name_of(head)}). Re-read the pump "
            f"plate: feet or psi, rated or shut-off, what liquid?",
            used,
        )


def _pipe_behind(bore: Quantity) -> str:
    """The words right behind a bore that tell of what it is: "through a one inch discharge line"."""
    own = bore.evidence[0].words.lower() if bore.evidence else ""
    behind = (bore.around or "").partition(own)[2] if own and own[-1].isalnum() else ""
    return re.split(r"[,.;:?!]", behind)[0] if len(behind) < 40 else " ".join(behind.split()[:2])


def pipe_velocity(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Mean velocity of a flow in the pipe or duct it was said to run in.

    Source: v = Q / A (nominal size taken as inside diameter); 3 to 10 ft/s for liquids and 1,500 to 4,500 ft/min for
    air are usual, common practice, no source. Tolerance: asked about above 20 ft/s or 7,000 ft/min, and below
    0.15 ft/s or 150 ft/min, where a unit or a digit was lost.
    """
    index = facts(walk)
    for bore in with_unit(index.of("diameter"), "foot"):
        pipe = f"{bore.subject} {_pipe_behind(bore)}"
        if not mentions(pipe, "pipe", "line", "duct", "stack", "suction", "discharge", "main", "connection"):
            continue
        if mentions(pipe, "nozzle", "gas", "steam", "drain"):
            continue
        flow = partner(index, bore, ("flow",), "metre**3/second")
        if flow is None or not (related(flow.subject, bore.subject) and seconds_between(flow, bore) <= BREATH):
            flow = told_beside(index, bore, ("flow",), "metre**3/second", "pump", "fan", "blower", "exhauster")
        if flow is None:
            continue
        d, q = size(bore, "foot"), size(flow, "foot**3/second")
        air = not _liquid(flow)
        if not d or not q or (air and not mentions(pipe, "duct", "stack", "exhaust")):
            continue
        row = limit(vocabulary, "velocity of air" if air else "velocity of liquid")
        feet = q / (math.pi * d * d / 4)
        shown, unit = (feet * 60, "foot/minute") if air else (feet, "foot/second")
        used = (bore, flow)
        if row["low"] * (1 - slack(*used)) <= shown <= row["high"] * (1 + slack(*used)):
            yield compared("pipe_velocity", used, "agreed", figure(round(shown, 1), unit))
            continue
        low, high = row["low"], row["high"]
        if system(bore.unit) == "metric":  # in the speaker's own units
            to = one_of(unit, "metre/second")
            shown, low, high, unit = shown * to, round(low * to, 2), round(high * to), "metre/second"
        yield finding(
            "pipe_velocity",
            "check",
            f"{said(flow)} through {said(bore)} is {figure(round(shown, 2), unit)}; "
            f"{figure(low, unit)} to "
            f"{number(high)} is all that is met ({name_of(bore)}). Measure the pipe from outside, and "
            "re-read the flow.",
            used,
        )


def compressor_flow(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Free air of a compressor per horsepower.

    Source: 4 to 5 cfm a horsepower at 100 psi, 1 % of power for 2 psi (common rules of thumb). Tolerance: 3 to 5.5,
    moved by 0.5 % a psi away from 100. For lubricated screws; for anything else the question is which pressure and
    which reference (free air, standard, normal). Not for blowers, vacuum and refrigeration.
    """
    index = facts(walk)
    row, by_pressure = limit(vocabulary, "compressor flow"), limit(vocabulary, "compressor flow by pressure")
    for flow in with_unit(index.of("flow"), "foot**3/minute"):
        before = [
            p for p in index.of("power") if 0 < moment(flow) - moment(p) <= 6 and mentions(p.subject, "compressor")
        ]
        beside = before[-1] if before and mentions(flow.subject, "air", "piston", "screw", "compressor") else None
        if beside is None and not mentions(called(index, flow), "compressor", "airend"):
            continue
        if mentions(flow.subject, *NO_COMPRESSOR, "dryer"):
            continue
        power = partner(index, flow, ("power",), "horsepower") or beside or _main_motor(index, flow)
        if power is None or mentions(power.subject, "fan", "dryer", "pump", "heater"):
            continue
        if "unit was not said" in (power.doubt or ""):
            continue
        cfm, hp = size(flow, "foot**3/minute"), size(power, "horsepower")
        pressure = partner(index, flow, ("pressure",), "psi")
        psi = size(pressure, "psi")
        if not cfm or not hp:
            continue
        if psi is not None and not 60 <= psi <= 200:
            yield compared("compressor_flow", (flow, power), "could not be compared", "no usual plant-air pressure")
            continue
        factor = 1 - by_pressure["low"] * ((psi or 100) - 100)

        def holds(flow: Quantity, power: Quantity, factor: float = factor) -> bool:
            ratio = (size(flow, "foot**3/minute") or 0) / (size(power, "horsepower") or 0)
            return not outside(ratio, row["low"] * factor, row["high"] * factor, slack(flow, power))

        yield from verdict(
            "compressor_flow",
            (flow, power),
            holds,
            f"{said(flow)} for {said(power)} is {number(round(cfm / hp, 1))} cfm a horsepower ({name_of(flow)}); 4 to "
            f"5 is usual near 100 psi. Ask at which pressure, free air or standard, and re-read both plates.",
            level="check",
            basis=[flow, power, *([pressure] if pressure else [])],
            note=f"{number(round(cfm / hp, 1))} cfm a horsepower",
        )


def _main_motor(index: Facts, flow: Quantity) -> Quantity | None:
    """The compressor's motor where the walk is of one compressor: the only main or drive motor."""
    kind = index.walk.identity.kind or index.walk.identity.name
    if kind is None or not mentions(str(kind.value), "compressor"):
        return None
    motors = [p for p in index.of("power") if mentions(p.subject, "main", "drive", "compressor", "motor")]
    motors = [p for p in motors if not mentions(p.subject, "fan", "dryer", "pump", "heater", "cooling")]
    return single(motors, "horsepower", 0.03)


def vacuum_beyond_full(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A vacuum deeper than nothing.

    Source: one standard atmosphere is 29.92 inches of mercury, 760 torr, 1013.25 mbar (ISO 2533). Tolerance: 31
    inches, as gauges err; torr and mbar are read as absolute and left alone.
    """
    index = facts(walk)
    for q in with_unit(index.of("pressure"), "inch_Hg"):
        told = mentions(f"{called(index, q)} {q.around or ''}", *_UNDER_VACUUM) or heard(q, "vacuum")
        kind = index.walk.identity.kind
        # nothing but a vacuum or a barometer is told in inches of mercury, and a boost gauge by its name
        bare = q.unit.startswith("inch") and not mentions(q.around or "", "boost", "manifold", "barometer", "turbo")
        if not told and not bare and not (kind is not None and mentions(str(kind.value), *_UNDER_VACUUM)):
            continue
        if not q.unit.startswith("inch"):
            yield compared("vacuum_beyond_full", (q,), "could not be compared", "taken as absolute")
            continue
        inches = abs(most(q, "inch_Hg"))
        if inches <= 31 * (1 + slack(q)):
            yield compared("vacuum_beyond_full", (q,), "agreed", f"of {FULL_VACUUM} inches at sea level")
            continue
        yield finding(
            "vacuum_beyond_full",
            "check",
            f"{said(q)} of vacuum is more than there is: {FULL_VACUUM} inches of mercury, 14.7 psi, is all "
            f"({name_of(q)}). Re-read the gauge and its unit.",
            (q,),
        )


_UNDER_VACUUM = ("vacuum", "suction", "condenser", "evaporator", "liquid", "ring")
"""Words of what is under vacuum: a liquid ring pump makes nothing else."""


def vessel_pressure(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A receiver rated below the pressure that its compressor reaches.

    Source: a vessel's greatest allowed pressure is at or above the greatest that can reach it (ASME BPVC VIII-1 UG-98,
    UG-125 as quoted in public). Tolerance: none beyond wording. Only for one receiver and one compressor. Figures only:
    whether the vessel may be used is not examined.
    """
    index = facts(walk)
    pressures = [(p, f"{p.subject} {p.qualifier or ''}") for p in with_unit(index.of("pressure"), "psi")]
    running = "unload compressor airend discharge cutout".split()
    ratings = [p for p, text in pressures if mentions(text, "receiver") and not mentions(text, "relief", "working")]
    runs = [p for p, text in pressures if mentions(text, *running) and not mentions(text, "receiver", "oil", "drop")]
    rating = single(ratings, "psi")
    if rating is None or not runs:
        return
    top = max(runs, key=lambda p: most(p, "psi"))
    used = (rating, top)
    far = limit(vocabulary, "receiver over compressor")["high"]
    if most(rating, "psi") > far * most(top, "psi") * (1 + slack(*used)):
        yield finding(
            "vessel_pressure",
            "check",
            f"The receiver was given as {said(rating)}, more than {number(far)} times the {said(top)} of the "
            f"{name_of(top)}. Photograph both plates: psi or bar? Only the data plate or a certificate settles it.",
            used,
        )
        return
    if most(rating, "psi") * (1 + slack(*used)) >= most(top, "psi") * 0.999:
        yield compared("vessel_pressure", used, "agreed", "figures agree; fitness not examined")
        return
    yield finding(
        "vessel_pressure",
        "check",
        f"The receiver was given as {said(rating)}, below the {said(top)} of the {name_of(top)}. Photograph both "
        f"plates; only the data plate or a certificate settles it.",
        used,
    )


_GAUGE = re.compile(r"\b(gau?ge|psig|barg)\b")
_ABSOLUTE = re.compile(r"\b(absolute|abs|psia|bara)\b")


def gauge_and_absolute(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """One pressure told as gauge and as absolute.

    Source: absolute = gauge + one standard atmosphere, 101.325 kPa or 14.696 psi (ISO 2533). Tolerance 2 psi (weather,
    height, rounding) plus wording. Only two pressures of one thing within a quarter of a minute, told as such. Nothing
    is below absolute zero pressure.
    """
    rule = "gauge_and_absolute"
    index = facts(walk)
    told = [(p, heard_words(p)) for p in with_unit(index.of("pressure"), "psi")]
    for total, words_of_it in told:
        if not _ABSOLUTE.search(words_of_it):
            continue
        for over, other in told:
            named = alike(over.subject, total.subject) == "same" and seconds_between(over, total) <= 15
            if over is total or not named or not _GAUGE.search(other):
                continue

            def holds(total: Quantity, over: Quantity) -> bool:
                gap = (size(total, "psi") or 0) - (size(over, "psi") or 0)
                return abs(gap - 14.696) <= 2 + slack(total, over) * (size(total, "psi") or 0)

            yield from verdict(
                rule,
                (total, over),
                holds,
                f"{said(total)} absolute is about {figure(round((size(total, 'psi') or 0) - 14.7, 1), 'psi')} by the "
                f"gauge, but {said(over)} was said ({name_of(total)}). Re-read the gauge: which of the two is it?",
                level="check",
            )


_FEED = "feed infeed inlet city raw incoming well source influent".split()
_MADE = "good product permeate treated filtered clean filtrate make effluent pure recovered".split()
_LOST = "reject concentrate drain waste brine blowdown discharge retentate bleed backwash".split()


def _stream(q: Quantity) -> str:
    """The word that tells which stream a flow is: right behind it ("sixty gallons a minute of permeate"), what it was
    filed under, else the nearest before it ("feed is a hundred gallons a minute")."""
    own = q.evidence[0].words.lower() if q.evidence else ""
    behind = (q.around or "").partition(own)[2].split()[:2] if own and own[-1].isalnum() else []
    named = behind[1] if behind[:1] == ["of"] and len(behind) == 2 else q.subject
    if mentions(named, *_FEED, *_MADE, *_LOST):
        return named
    return word_before(q, *_FEED, *_MADE, *_LOST) or q.subject


def flow_balance(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """What goes into a plant against what comes out of it: feed, product and reject.

    Source: what goes in comes out (conservation of mass). Arithmetic: feed = product + reject. Tolerance 5 % plus
    wording. Only where the three were said within half a minute. Asked: a side stream may be left out.
    """
    rule = "flow_balance"
    index = facts(walk)
    flows = [q for q in with_unit(index.of("flow"), "litre/minute") if q.value_max is None]
    told = {q.id: _stream(q) for q in flows}
    for feed in (q for q in flows if mentions(told[q.id], *_FEED) and not mentions(q.subject, "pump", "boiler")):
        near = [q for q in flows if q is not feed and seconds_between(q, feed) <= 30]
        made = single((q for q in near if mentions(told[q.id], *_MADE)), "litre/minute")
        lost = single((q for q in near if mentions(told[q.id], *_LOST)), "litre/minute")
        if made is None or lost is None or made is lost:
            continue

        def holds(feed: Quantity, made: Quantity, lost: Quantity) -> bool:
            out = (size(made, "litre/minute") or 0) + (size(lost, "litre/minute") or 0)
            whole = size(feed, "litre/minute") or 0
            return abs(out - whole) <= (0.05 + slack(feed, made, lost)) * max(out, whole)

        total = (size(made, feed.unit) or 0) + (size(lost, feed.unit) or 0)
        yield from verdict(
            rule,
            (feed, made, lost),
            holds,
            f"{said(made)} ({name_of(made)}) and {said(lost)} ({name_of(lost)}) are {figure(total, feed.unit)}, but "
            f"{said(feed)} go in ({name_of(feed)}). Read the three meters at one moment; is there another outlet?",
            level="check",
        )


RULES = (
    pump_power,
    flow_balance,
    gauge_and_absolute,
    fan_power,
    head_and_pressure,
    pipe_velocity,
    compressor_flow,
    vacuum_beyond_full,
    vessel_pressure,
)
