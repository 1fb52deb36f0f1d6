"""Presses, shafts, cranes: force, torque, travel and load."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from datetime import date

from pipeline.checks.facts import Facts, facts, limit, size, slack
from pipeline.checks.nearby import (
    BREATH,
    SENTENCE,
    attributive,
    heard,
    lead,
    most,
    outside,
    partner,
    related,
    seconds_between,
    single,
    told_in,
    with_unit,
)
from pipeline.checks.offers import offers, verdict
from pipeline.checks.subjects import alike, head, mentions, words
from pipeline.checks.told import beside, sentence
from pipeline.checks.wording import compared, figure, finding, moment, name_of, number, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

SHORT_TON, TONNE = 8.896443, 9.80665
"""Kilonewtons of a short ton-force and of a tonne-force (NIST SP 811 App. B)."""
LIFTING = ("crane", "hoist", "hook", "trolley", "monorail", "jib", "gantry", "carrier", "lift", "forklift")
LIFTED = (
    "load basket die mold mould part barrel rack coil roll workpiece billet panel product piece tool bucket bag "
    "pallet batch lift fixture slab ingot drum bundle heaviest ladle casting crucible pot spool reel log engine "
    "transformer beam package"
).split()


def kilonewtons(q: Quantity | None) -> float | None:
    """A force or a press tonnage in kilonewtons; tons are short tons-force, tonnes metric; None for anything else."""
    if q is None:
        return None
    if (force := size(q, "kilonewton")) is not None:
        return force
    middle = q.value if q.value_max is None else (q.value + q.value_max) / 2
    return {"ton": middle * SHORT_TON, "tonne": middle * TONNE, "metric_ton": middle * TONNE}.get(q.unit)


def cylinder_force(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Pressure times piston area times number of cylinders against the tonnage.

    Source: F = p x pi/4 x d^2 x n; ton-force 8.896 kN, NIST SP 811 App. B. Tolerance: 0.55 to 1.08, as the rod side
    gives less and presses are rated below their pump. Only where bore, pressure and tonnage are of one press.
    """
    index = facts(walk)
    row = limit(vocabulary, "cylinder force")
    for bore in with_unit(index.of("diameter", "other", "length"), "metre"):
        wording = "cylinder ram bore piston".split()
        named = mentions(f"{bore.subject} {bore.qualifier or ''}", *wording) or heard(bore, *wording)
        if not named or mentions(f"{bore.subject} {bore.qualifier or ''}", "rod", "stroke", "roll", "tank"):
            continue
        if bore.property == "length" and not mentions(bore.subject, "bore") and not heard(bore, "bore"):
            continue
        pressure = partner(index, bore, ("pressure",), "pascal") or _only_hydraulic(index, bore)
        pressure = pressure or _only_pressure(index, bore)
        tonnage = _tonnage(index, bore)
        d, p, force = size(bore, "metre"), size(pressure, "kilopascal"), kilonewtons(tonnage)
        if pressure is None or tonnage is None or not d or not p or not force:
            continue
        count = _cylinders(index, bore)
        made = p * math.pi * d * d / 4 * count

        def holds(bore: Quantity, pressure: Quantity, tonnage: Quantity, count: int = count) -> bool:
            pushed = (size(pressure, "kilopascal") or 0) * math.pi / 4 * (size(bore, "metre") or 0) ** 2 * count
            share = (kilonewtons(tonnage) or 0) / pushed
            return not outside(share, row["low"], row["high"], slack(bore, pressure, tonnage))

        unit, one = ("tonne", TONNE) if tonnage.unit in ("tonne", "metric_ton") else ("ton", SHORT_TON)
        times = f"{count} cylinders of " if count > 1 else ""
        yield from verdict(
            "cylinder_force",
            (bore, pressure, tonnage),
            holds,
            f"{times}{figure(bore.value, bore.unit)} bore at {figure(pressure.value, pressure.unit)} push "
            f"{figure(round(made / one), unit)}, but {said(tonnage)} was said ({name_of(tonnage)}). Re-read the press "
            f"plate: bore or rod, how many cylinders, working or greatest pressure?",
            level="check",
            note=f"{number(round(made))} kN; fitness not examined",
        )


def _only_hydraulic(index: Facts, bore: Quantity) -> Quantity | None:
    near = [p for p in with_unit(index.of("pressure"), "psi") if seconds_between(p, bore) <= SENTENCE * 2]
    return single((p for p in near if mentions(p.subject, "hydraulic", "press", "cylinder", "ram")), "psi")


_NOT_OIL = re.compile(
    r"\b(?:air|accumulator|nitrogen|pre-?charge|pneumatic|counterbalance|steam|gas|cushion|water|pilot|clutch|brake|tyre|lube)\b"
)


def _only_pressure(index: Facts, bore: Quantity) -> Quantity | None:
    """ "Relief's set at three thousand psi": the one pressure beside a bore that is of no air, whatever it was filed
    under."""
    near = [p for p in with_unit(index.of("pressure"), "psi") if seconds_between(p, bore) <= SENTENCE]
    return single((p for p in near if p.value_max is None and not _NOT_OIL.search(sentence(p))), "psi")


def _tonnage(index: Facts, bore: Quantity) -> Quantity | None:
    pressing = "press tonnage force ram cylinder clamp baler".split()
    pool = [q for q in index.of("other", "weight") if mentions(f"{q.subject} {q.qualifier or ''}", *pressing)]
    pool = [
        q
        for q in pool
        if q.property == "other"
        or q.qualifier == "rated"
        or mentions(q.subject, "tonnage", "force", "capacity")
        or attributive(q)
    ]
    near = [q for q in pool if seconds_between(q, bore) <= SENTENCE * 2]
    near = [q for q in near if kilonewtons(q)] or [q for q in pool if kilonewtons(q) and seconds_between(q, bore) <= 60]
    values = {round(kilonewtons(q) or 0) for q in near}
    return near[0] if len(values) == 1 else None


def _cylinders(index: Facts, bore: Quantity) -> int:
    counts = [c for c in index.components if c.count and mentions(c.name, "cylinder", "ram")]
    counts = [c for c in counts if related(c.name, bore.subject)]
    near = [c for c in counts if seconds_between(c, bore) <= BREATH] or counts
    return near[0].count or 1 if len(near) == 1 else 1


def shaft_torque(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Torque of a shaft against its power and speed.

    Source: T = P / (2 pi n); as a cross-check 5252 x hp / rpm in lb ft and 9549 x kW / rpm in N m. Tolerance: 0.6 to
    1.3, as ratings leave reserve. Only where torque, power and speed are of one thing.
    """
    index = facts(walk)
    row = limit(vocabulary, "torque")
    for torque in index.of("other"):
        newton_metres = size(torque, "newton*metre")
        # foot pounds are energy too: the word or the unit has to say torque
        turning = mentions(torque.subject, "torque") or "newton" in torque.unit or "force" in torque.unit
        if not newton_metres or not turning:
            continue
        power, speed = partner(index, torque, ("power",), "watt"), partner(index, torque, ("speed",), "rpm")
        watts, rpm = size(power, "watt"), size(speed, "rpm")
        if power is None or speed is None or not watts or not rpm:
            continue
        usual = watts / (2 * math.pi * rpm / 60)

        def holds(torque: Quantity, power: Quantity, speed: Quantity) -> bool:
            expected = (size(power, "watt") or 0) / (2 * math.pi * (size(speed, "rpm") or 0) / 60)
            share = (size(torque, "newton*metre") or 0) / expected
            return not outside(share, row["low"], row["high"], slack(torque, power, speed))

        shown = usual * torque.value / newton_metres
        yield from verdict(
            "shaft_torque",
            (torque, power, speed),
            holds,
            f"{said(power)} at {said(speed)} is a torque of {figure(round(shown), torque.unit)}, but {said(torque)} "
            f"was said ({name_of(torque)}). Re-read the plate: motor or output shaft, rated or greatest?",
            level="check",
            note=f"{number(round(usual))} N m",
        )


def rim_speed(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Speed of a rim, belt or web against the diameter and turns a minute of its roll, wheel or blade.

    Source: v = pi x D x n. Tolerance: 10 %, as diameters are nominal. Only where all three are of one subject.
    """
    index = facts(walk)
    row = limit(vocabulary, "rim speed")
    for turns in index.of("speed"):
        rpm = size(turns, "rpm") if turns.unit == "rpm" else None
        if not rpm or mentions(turns.subject, "motor", "gear"):
            continue
        across = partner(index, turns, ("diameter",), "inch")
        speed = partner(index, turns, ("speed",), "foot/minute")
        d, v = size(across, "foot"), size(speed, "foot/minute")
        if across is None or speed is None or not d or not v:
            continue
        if not alike(across.subject, turns.subject) or not alike(speed.subject, turns.subject):
            continue  # "saw blade" and "blade" are one

        def holds(across: Quantity, turns: Quantity, speed: Quantity) -> bool:
            made = math.pi * (size(across, "foot") or 0) * (size(turns, "rpm") or 0)
            return not outside(
                (size(speed, "foot/minute") or 0) / made, row["low"], row["high"], slack(across, turns, speed)
            )

        shown = math.pi * d * rpm * speed.value / v
        yield from verdict(
            "rim_speed",
            (across, turns, speed),
            holds,
            f"{said(across)} across at {said(turns)} is {figure(round(shown), speed.unit)} at the rim, but "
            f"{said(speed)} was said ({name_of(turns)}). Re-read the plate or the drawing, measure nothing that turns.",
            level="check",
            note=f"{figure(round(shown), speed.unit)} at the rim",
        )


def press_daylight(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Daylight of a press against stroke and closed height.

    Source: open height = stroke + closed height (trade glossaries of press terms); shut height of a mechanical press is
    not the daylight of a hydraulic one. Tolerance: 3 %. A stroke longer than the daylight cannot be (conflict).
    """
    index = facts(walk)
    row = limit(vocabulary, "daylight")
    lengths = with_unit(index.of("length", "height", "depth", "other", "width"), "inch")

    def one(*words: str) -> Quantity | None:
        told = [q for q in lengths if mentions(f"{q.subject} {q.qualifier or ''}", *words)]
        # "the card says the main stroke is 72 inches", filed under the card: the noun right before the figure
        told = told or [q for q in lengths if mentions(" ".join(lead(q)[-4:]), *words)]
        # "then largest daylight, plate to plate, I see here 550", filed under the mould told before it
        told = told or [q for q in lengths if q.value_max is None and mentions(beside(index, q)[0], *words)]
        return single(told, "inch", 0.001)

    stroke, daylight = one("stroke"), one("daylight")
    closed = one("closed", "shut")
    s, open_height, c = size(stroke, "inch"), size(daylight, "inch"), size(closed, "inch")
    if stroke is None or daylight is None or not s or not open_height or mentions(stroke.subject, "cushion", "ejector"):
        return
    spare = row["high"] + slack(stroke, daylight)
    if s > open_height * (1 + spare):
        yield finding(
            "press_daylight",
            "conflict",
            f"A stroke of {said(stroke)} does not fit into a daylight of {said(daylight)} ({name_of(daylight)}). Take "
            f"both from the plate or the manual.",
            (stroke, daylight),
            offers=offers((stroke, daylight), lambda a, b: (size(a, "inch") or 0) <= (size(b, "inch") or 0)),
        )
    elif closed is not None and c is not None and abs(s + c - open_height) > spare * open_height:
        yield finding(
            "press_daylight",
            "check",
            f"Stroke {said(stroke)} and closed height {said(closed)} make {figure(round(s + c, 2), 'inch')}, but a "
            f"daylight of {said(daylight)} was said. Which one is with bolster, or adjustment down? Take all from the "
            f"manual.",
            (stroke, daylight, closed),
        )
    else:
        yield compared("press_daylight", [q for q in (stroke, daylight, closed) if q], "agreed", "figures agree")


def crane_against_load(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """The heaviest load said to hang on a crane, hoist or hook against what it is rated for.

    Source: a load never exceeds the rated load (29 CFR 1910.179(n)(1) as transcribed in public; WAC 296-24-23527(1)).
    Tolerance: none beyond wording. Asked, never asserted: two hoists may share a load. Figures only: fitness is not
    examined.
    """
    index = facts(walk)
    weights = with_unit(index.of("weight", "other"), "pound")
    weights = [q for q in weights if "supplied" not in (q.doubt or "")]  # "lifts a row of eight at once"
    rated = [q for q in weights if _lifting(q)]
    lifted = [q for q in weights if not _lifting(q) and mentions(f"{q.subject} {q.of or ''}", *LIFTED)]
    lifted = [q for q in lifted if not mentions(q.subject, "press", "dryer", "washer", "machine", "furnace")]
    # "the die cushion's forty tons, the mould clamp three hundred": what pushes is told by its force
    # "the first load test with six tonnes": a test load is above what is rated; common practice, no source
    lifted = [q for q in lifted if head(q.subject) not in _PUSHES and not mentions(q.subject, "test")]
    for capacity in rated:
        lifted_here = [q for q in rated if q is not capacity and _lifted_by(q, capacity)]
        loads = [q for q in lifted if seconds_between(q, capacity) <= SENTENCE] + lifted_here
        # "the boring mill weighs forty tons and the crane is rated twenty five": told in one sentence for comparison
        loads += [q for q in weights if q not in rated and q not in loads and _weighed_beside(q, capacity)]
        if not loads and len(rated) == 1:  # told elsewhere: only what comes near, else it hangs on nothing
            loads = [q for q in lifted if 0.1 <= most(q, "pound") / (most(capacity, "pound") or 1.0) <= 3]
        loads = [q for q in loads if not _on_another(q, capacity)]
        if not loads:
            continue
        load = max(loads, key=lambda q: most(q, "pound"))

        def holds(capacity: Quantity, load: Quantity) -> bool:
            return most(load, "pound") <= most(capacity, "pound") * 1.001 * (1 + slack(capacity, load))

        yield from verdict(
            "crane_against_load",
            (capacity, load),
            holds,
            f"{said(load)} ({name_of(load)}) is more than the {name_of(capacity)} was given, {said(capacity)}. Do two "
            f"share the load? Re-read the rated load on the hook block; only a plate or a document settles it.",
            level="check",
            note="fitness not examined",
        )


def _weighed_beside(q: Quantity, capacity: Quantity) -> bool:
    """Whether the sentence that tells what a thing weighs tells the rating too."""
    told = q.around or ""
    weighed = heard(q, "weighs", "weigh") or "weigh" in told
    return weighed and told_in(capacity, told) and not mentions(q.subject, *LIFTING)


_PUSHES = frozenset("cushion clamp ram cylinder ejector puller jack knockout".split())
"""Heads of what is called by the tons it pushes with."""
_GEAR = frozenset("crane hoist monorail jib gantry forklift".split())


def _on_another(q: Quantity, capacity: Quantity) -> bool:
    """ "The ladle's on a monorail, 300 kilos": whether a load's own sentence hangs it on other lifting gear."""
    own = {*words(capacity.subject)}
    told = _GEAR & {*words(q.around or "")}
    return bool(told) and not told & own and not told_in(capacity, q.around or "")


def _lifted_by(q: Quantity, capacity: Quantity) -> bool:
    """ "Hoists plated at 3.2 tonne apiece. The heaviest we put on one was five": a second figure of the same lifting
    gear right behind what it is rated for is a load."""
    told = capacity.each or capacity.qualifier or attributive(capacity)
    behind = 0 < moment(q) - moment(capacity) <= SENTENCE / 2
    gear = head(q.subject) == head(capacity.subject) and not q.each and not q.qualifier
    return bool(told) and behind and gear and not heard(q, "weighs")


def _lifting(q: Quantity) -> bool:
    words = f"{q.subject} {q.qualifier or ''}"
    return (
        mentions(words, *LIFTING)
        and not mentions(words, "weigh", "own", "dead")
        and (attributive(q) or not heard(q, "weighs"))
    )


RULES = (
    cylinder_force,
    shaft_torque,
    rim_speed,
    press_daylight,
    crane_against_load,
)
