"""Speeds, gears, liquids and vessels, by figures that were told apart from one another or filed elsewhere
(making.py)."""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from extractors.units import convert
from pipeline.checks.facts import apart, facts, has_dimension, one_of, per_hour, size, slack
from pipeline.checks.nearby import one_sentence, outside
from pipeline.checks.offers import verdict
from pipeline.checks.steam import saturation
from pipeline.checks.told import called, loose, nearest, pool, sentence, settled
from pipeline.checks.wording import clean, figure, heard, moment, number, said
from pipeline.checks.worked import year_built
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_RATIO = re.compile(r"\b(?:to (?:one|1)|:1|ratio|reduction|reducer|gear\w*)\b")
_TURNED_BY = re.compile(r"\b(?:motor|input|plate|drive|primary)\b")
_TURNS = re.compile(
    r"\b(?:screws?|output|drum|mixer|agitator|paddle|shaft|roll\w*|kiln|barrel|impeller|rotor|spindle|head|table|tub|"
    r"bowl|"
    r"auger|turns?|turning|chuck|pan|reel|disc|blade|wheel)\b"
)


def geared_speed(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Fifteen hundred rpm motor through a fifteen to one box, and the screw turns a hundred and sixty".

    Arithmetic: turns of what is driven = turns of the motor / ratio. Tolerance 8 % plus wording; slower is an
    inverter or a belt and no finding. Only one ratio told of a gear or as "to one", a speed told of a motor or input
    before it, and a slower one told of a screw, shaft or drum, within 40 s. Always a question. Source: plain
    arithmetic.
    """
    rule = "geared_speed"
    index = facts(walk)
    ratios = [
        q
        for q in index.of("other")
        if q.unit == ""
        and 1.2 <= q.value <= 400
        and q.value_max is None
        and _RATIO.search(f"{sentence(q)} {heard(q)}".lower())
    ]
    ratios = [q for q in ratios if re.search(r"\b(?:gear\w*|reduc\w+|box|worm)\b", called(index, q))] or ratios
    if len({q.value for q in ratios}) != 1:
        return
    ratio = ratios[0]
    speeds = [q for q in index.of("speed") if q.unit == "rpm" and q.value_max is None]
    speeds = [q for q in speeds if abs(moment(q) - moment(ratio)) <= 40]
    bare = [
        q for q in loose(index, "speed", "rpm", re.compile(r"\b(?:turns?|spins?|runs? at|rpm|speed)\b")) if q.value > 5
    ]
    motors = [q for q in speeds if q.value >= 600 and _TURNED_BY.search(sentence(q))] or [
        q for q in speeds if q.value >= 600
    ]
    driven = [q for q in (*speeds, *bare) if q not in motors and _TURNS.search(sentence(q))]
    driven = [q for q in driven if motors and q.value < max(m.value for m in motors) / 1.1]

    def holds(motor: Quantity, ratio: Quantity, out: Quantity) -> bool:
        return out.value * ratio.value <= motor.value * (1.08 + slack(motor, ratio, out))

    found = nearest(holds, motors, [ratio], driven, within=60)
    if found is None:
        return
    (motor, ratio, out), _ = found
    made = motor.value / ratio.value
    message = (
        f"{said(motor)} through {number(ratio.value)} to 1 are {figure(round(made, 1), 'rpm')}, {said(out)} was stated "
        f"({clean(out.subject) or 'driven'}): read the plate of the gear, or ask which speed it is."
    )
    yield from verdict(rule, [motor, ratio, out], holds, message, level="check")


_ROUND = re.compile(
    r"\b(?:across|diameter|dia|wheel|blade|drum|roll\w*|disc|tub|bowl|pan|rotor|impeller|chuck|saw|stone|cylinder|"
    r"reel)\b"
)
_RIM = re.compile(
    r"\b(?:rim|surface|(?:blade|band|saw|wheel|stone|cutting|grinding|roll) speed|comes? off|peripheral|tip|edge|"
    r"face|circumferen\w+|cutting speed|at the (?:edge|rim|outside|tip))\b"
)
_STIRS = re.compile(r"\b(?:agitator|impeller|mixer|paddle|stirrer|pan|tub|tumbler|mixing)\b")


def speed_at_the_rim(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The tub's 1.2 metres across and turns at forty rpm, so five metres a second at the rim".

    Arithmetic: rim speed = π × diameter × turns. Tolerance 12 % plus wording. Only a speed told as of a rim, surface or
    tip, and a diameter and turns a minute within 25 s; and a stirrer whose rim would pass 40 m/s is asked about by
    itself. Always a question. Source: v = π·D·n; the 40 m/s is common practice, no source.
    """
    rule = "speed_at_the_rim"
    index = facts(walk)
    turns = [q for q in index.of("speed") if q.unit == "rpm" and q.value_max is None]
    across = [
        q
        for q in pool(index, "metre", None, None, ("diameter", "length", "other", "width"))
        if q.property == "diameter" or _ROUND.search(called(index, q))
    ]
    rims = [
        q
        for q in index.of("speed")
        if has_dimension(q.unit, "metre/second") and q.value_max is None and _RIM.search(sentence(q))
    ]

    def rim(d: Quantity, n: Quantity) -> float:
        return math.pi * (size(d, "metre") or 0.0) * n.value / 60

    def holds(d: Quantity, n: Quantity, v: Quantity) -> bool:
        return apart(rim(d, n), size(v, "metre/second") or 0.0) <= 0.12 + slack(d, n, v)

    for v in rims:
        ds = [q for q in across if abs(moment(q) - moment(v)) <= 25]
        ns = [q for q in turns if abs(moment(q) - moment(v)) <= 25]
        found = nearest(holds, ds, ns, [v])
        if found is None or len(ds) > 4 or settled(walk, v, found[0][1]):
            continue
        (d, n, _), _ = found
        if not 0.05 <= rim(d, n) / (size(v, "metre/second") or 1.0) <= 20:
            continue
        shown = figure(round(rim(d, n) / one_of(v.unit, "metre/second"), 1), v.unit)
        message = (
            f"{said(d)} across at {said(n)} are {shown} at the "
            f"rim, {said(v)} was stated: read the plate, measure nothing that turns."
        )
        yield from verdict(rule, [d, n, v], holds, message, level="check")
    for n in turns:
        if not _STIRS.search(called(index, n)) or "motor" in called(index, n):
            continue
        for d in across:
            if abs(moment(d) - moment(n)) > 8 or not _STIRS.search(called(index, d)):
                continue
            message = (
                f"{said(d)} across at {said(n)} would be {figure(round(rim(d, n)), 'metre/second')} at the rim, "
                "which nothing "
                f"that stirs does ({clean(d.subject)}): is {said(n)} of the motor before a gear?"
            )
            yield from verdict(rule, [d, n], lambda d, n: rim(d, n) <= 40, message, level="check")


_SPACED = re.compile(r"\b(?:every|apart|pitch|spac\w+|on (?:cent\w+)|cent(?:re|er)s|lugs?|flights?|between)\b")
_CONVEYS = re.compile(r"\b(?:chain|belt|conveyor|line|runs?|speed|table|lugs?|feed|web|moves?|travel\w*)\b")


def speed_over_spacing(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Lug chain's sixty feet a minute, lugs every two feet, and they claim forty-five boards a minute".

    Arithmetic: pieces a minute = speed / spacing. Tolerance 8 % plus wording; fewer are empty places and no finding.
    Only a spacing told as every, apart, pitch or of lugs, a speed and a rate of pieces within 45 s. Always a question.
    Source: plain arithmetic.
    """
    rule = "speed_over_spacing"
    index = facts(walk)
    spaced = [
        q
        for q in pool(index, "metre", _SPACED, None, ("length", "other", "width", "depth"))
        if 0.03 <= (size(q, "metre") or 0.0) < 12
    ]
    speeds = [
        q
        for q in index.of("speed")
        if has_dimension(q.unit, "metre/minute") and q.value_max is None and _CONVEYS.search(sentence(q))
    ]
    rates = [q for q in index.of("rate") if per_hour(q) and q.value_max is None and q.of and "day" not in q.unit]

    def made(p: Quantity, v: Quantity) -> float:
        return (size(v, "metre/hour") or 0.0) / (size(p, "metre") or 1.0)

    def holds(p: Quantity, v: Quantity, r: Quantity) -> bool:
        return (per_hour(r) or 0.0) <= made(p, v) * (1.08 + slack(p, v, r))

    found = nearest(holds, spaced, speeds, rates, within=45)
    if found is None or len(spaced) > 3 or len(speeds) > 3:
        return
    (p, v, r), _ = found
    if settled(walk, v, r) or settled(walk, p, r) or not 0.1 <= made(p, v) / (per_hour(r) or 1.0) <= 10:
        return
    shown = made(p, v) / one_of(r.unit, "1/hour")
    message = (
        f"{said(v)} with one every {said(p)} are {figure(round(shown, 1), r.unit)} at most, {said(r)} was stated: "
        "measure the "
        "spacing, or time ten."
    )
    yield from verdict(rule, [p, v, r], holds, message, level="check")


_BLOWN = re.compile(r"\b(?:blow-?\W?up|bur)\b")
_FLAT = re.compile(r"\blay-?\W?flat\b")


def blow_up(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Die's 250 millimetres, lay flat twelve hundred, and they run a blow-up ratio of two".

    Arithmetic: ratio = 2 × lay flat / (π × diameter of the die). Tolerance 15 % plus wording; a narrower film has less
    and is no finding. Always a question. Source: the circle of the bubble is twice the lay flat; plain geometry.
    """
    rule = "blow_up"
    index = facts(walk)
    ratios = [
        q
        for q in index.quantities
        if q.unit == "" and q.value_max is None and _BLOWN.search(sentence(q)) and 1 < q.value < 8
    ]
    ratios = ratios or [q for q in loose(index, "other", "", _BLOWN) if 1 < q.value < 8]
    flats = pool(index, "metre", _FLAT, None)
    dies = pool(index, "metre", re.compile(r"\bdie\b"), _FLAT)
    if not ratios or not flats or not dies:
        return
    ratio, flat = ratios[0], max(flats, key=lambda q: size(q, "metre") or 0.0)

    def holds(die: Quantity, flat: Quantity, ratio: Quantity) -> bool:
        made = 2 * (size(flat, "metre") or 0.0) / (math.pi * (size(die, "metre") or 1.0))
        return ratio.value >= made * (0.85 - slack(die, flat, ratio)) and ratio.value <= made * 1.6

    found = nearest(holds, dies, [flat], [ratio])
    if found is None:
        return
    die = found[0][0]
    made = 2 * (size(flat, "metre") or 0.0) / (math.pi * (size(die, "metre") or 1.0))
    if not 0.2 <= made / ratio.value <= 8:
        return
    message = (
        f"{said(flat)} lay flat from a die of {said(die)} is a blow-up ratio of {number(round(made, 2))}, "
        f"{number(ratio.value)} "
        "was stated: measure the die, or ask at which width."
    )
    yield from verdict(rule, [die, flat, ratio], holds, message, level="check")


_BOILS = re.compile(r"\b(?:boil\w*|evaporat\w*|effect|flash\w*|pan|calandria|separator|concentrat\w*)\b")
_ABSOLUTE = re.compile(r"\b(?:absolute|abs|bara|vacuum|torr|millibar|mbar)\b")


def boils_at(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "It boils at forty-eight degrees in the last effect, at 0.4 bar absolute".

    Arithmetic: boiling temperature of water at the absolute pressure; inches of mercury and told vacuum are taken off
    an atmosphere. Tolerance: 4 °C below to 14 °C above (dissolved solids boil hotter), wording besides. Only a
    temperature told of boiling or evaporating and one pressure under an atmosphere within 12 s. Always a question.
    Source: IAPWS-IF97, region 4.
    """
    rule = "boils_at"
    index = facts(walk)
    for hot in index.of("temperature"):
        c = size(hot, "degC")
        if c is None or hot.value_max is not None or not 20 <= c <= 110 or not _BOILS.search(sentence(hot)):
            continue
        near = [p for p in index.of("pressure") if abs(moment(p) - moment(hot)) <= 12 and p.value_max is None]
        near = [p for p in near if _ABSOLUTE.search(f"{sentence(p)} {p.unit}".lower()) or "Hg" in p.unit]
        absolutes = {p.id: _absolute(p) for p in near}
        near = [p for p in near if 0.002 < absolutes[p.id] < 0.1]
        if len({p.value for p in near}) != 1:
            continue
        p = near[0]
        at = saturation(absolutes[p.id])

        def holds(hot: Quantity, p: Quantity) -> bool:
            a = _absolute(p)
            if not 0.001 < a < 20:
                return False
            gap = (size(hot, "degC") or 0.0) - saturation(a)
            return not outside(gap, -4.0, 14.0) or slack(hot, p) > 0.12

        message = (
            f"Water boils at {figure(round(convert(at, 'degC', hot.unit)), hot.unit)} at {said(p)} absolute, "
            f"{said(hot)} was "
            f"stated ({clean(hot.subject)}): read both gauges again. Absolute or below the atmosphere?"
        )
        yield from verdict(rule, [hot, p], holds, message, level="check")


def _absolute(p: Quantity) -> float:
    """Megapascals above nothing: a vacuum in inches of mercury, or told as drawn, is taken off an atmosphere."""
    told = f"{sentence(p)} {heard(p)}".lower()
    mega = abs(size(p, "megapascal") or 0.0)
    drawn = "absolute" not in told and (
        "Hg" in p.unit or p.value < 0 or ("vacuum" in told and "torr" not in p.unit and mega > 0.05)
    )
    return 0.101325 - mega if drawn else mega


_SOLIDS = re.compile(r"\b(?:solids?|brix|dry matter|concentrat\w*|sugar|total solids)\b")


def solids_balance(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Ten thousand kilos an hour at eleven and a half brix, and 2,500 kilos an hour at seventy".

    Arithmetic: feed × solids in it = product × solids in that. Tolerance 15 % plus wording. Only two flows of one kind
    and two percentages told of solids, brix or concentration, each nearest to its flow; where any pairing agrees
    nothing is asked. Always a question. Source: what goes in comes out.
    """
    rule = "solids_balance"
    index = facts(walk)
    shares = [
        q
        for q in index.quantities
        if q.unit in ("percent", "brix", "degBrix") and 0 < q.value < 100 and q.value_max is None
    ]
    shares = [q for q in shares if _SOLIDS.search(f"{sentence(q)} {q.unit}".lower())]
    if len({q.value for q in shares}) != 2:
        return
    thin, thick = min(shares, key=lambda q: q.value), max(shares, key=lambda q: q.value)
    for kind in ("kilogram/hour", "litre/hour"):
        flows = list(
            pool(
                index,
                kind,
                None,
                re.compile(
                    r"\b(?:steam|cool\w*|vapou?r|condensate|water (?:off|evap\w*)|evaporat\w+ (?:of|rate|capacity)|"
                    r"air|circulat\w*)\b"
                ),
                ("flow", "rate"),
            )
        )
        flows = [q for q in flows if any(abs(moment(q) - moment(s)) <= 30 for s in (thin, thick))]
        if len({size(q, kind) for q in flows}) != 2:
            continue
        feed, product = max(flows, key=lambda q: size(q, kind) or 0.0), min(flows, key=lambda q: size(q, kind) or 0.0)
        made = (size(feed, kind) or 0.0) * thin.value / thick.value

        def holds(feed: Quantity, thin: Quantity, product: Quantity, thick: Quantity, kind: str = kind) -> bool:
            made = (size(feed, kind) or 0.0) * thin.value / (thick.value or 1.0)
            return apart(made, size(product, kind) or 0.0) <= 0.15 + slack(feed, thin, product, thick)

        if settled(walk, feed, product) or not 0.2 <= made / (size(product, kind) or 1.0) <= 5:
            continue
        message = (
            f"{said(feed)} at {said(thin)} give {figure(round(made / one_of(product.unit, kind)), product.unit)} at "
            f"{said(thick)}, "
            f"{said(product)} was stated: ask which of the four is of another product."
        )
        yield from verdict(rule, [feed, thin, product, thick], holds, message, level="check")


_BUND = re.compile(r"\b(?:bund\w*|containment|dike|dyke|catch (?:basin|pan)|spill (?:basin|pan|tray)|drip tray)\b")


def bund_and_tank(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The day tank is 2,200 litres, and the bund under it holds fifteen hundred".

    Arithmetic: bund ≥ tank (110 % is the usual rule). Tolerance: the wording's. Only a volume told of a bund, dike or
    containment and the greatest volume of a tank within 30 s. Always a question, as rules differ. Source: the greatest
    container, 40 CFR 264.175(b)(3); 110 %, Control of Pollution (Oil Storage) (England) Regulations 2001; from memory.
    """
    rule = "bund_and_tank"
    index = facts(walk)
    volumes = pool(index, "litre", None, None, ("volume",))
    for bund in (q for q in volumes if _BUND.search(called(index, q))):
        tanks = [
            q
            for q in volumes
            if q is not bund and abs(moment(q) - moment(bund)) <= 30 and not _BUND.search(called(index, q))
        ]
        if not tanks:
            continue
        beside_it = [q for q in tanks if one_sentence(q, bund)]  # "the day tank is 200 litres, and its bund holds 150"
        tank = max(beside_it or tanks, key=lambda q: size(q, "litre") or 0.0)

        def holds(bund: Quantity, tank: Quantity) -> bool:
            return (size(bund, "litre") or 0.0) >= (size(tank, "litre") or 0.0) * (1.0 - slack(bund, tank))

        message = (
            f"A bund of {said(bund)} does not hold the {said(tank)} of the {clean(tank.subject) or 'tank'}; 110 % "
            "of it is the "
            "usual rule: measure the bund, and follow the local code."
        )
        yield from verdict(rule, [bund, tank], holds, message, level="check")


_EXERCISE = re.compile(
    r"\b(?:no other running|nothing else|exercis\w*|test run|tested|standby|stand-by|emergency|only (?:ever )?runs?|"
    r"weekly|every week|once a "
    r"(?:week|month)|monthly)\b"
)
_A_WEEK = re.compile(
    r"\b(?:a week|weekly|every week|per week|each week|(?:every|each|on) (?:mon|tues|wednes|thurs|fri|satur|"
    r"sun)days?)\b"
)
_A_MONTH = re.compile(r"\b(?:a month|monthly|every month|per month|each month)\b")


_IN_SERVICE = re.compile(r"\b(?:in(?:to)? service|install\w*|commission\w*|put in|since|new in)\b")


def exercised_hours(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Installed 2018, exercised half an hour every week, nothing else; the meter says 9,600 hours".

    Arithmetic: hours = time of one run × weeks (or months) since it was built. Tolerance: four times as much, or a
    quarter. Only a run of under six hours told as weekly or monthly of a set that stands by, and the hours of the walk.
    Always a question: it may have run in earnest. Source: the calendar.
    """
    rule = "exercised_hours"
    index = facts(walk)
    built = year_built(walk) or next((q for q in index.of("year") if _IN_SERVICE.search(sentence(q))), None)
    hours = [q for q in index.of("hours") if (size(q, "hour") or 0.0) > 6 and q.value_max is None]
    if built is None or len({q.value for q in hours}) != 1:
        return
    years = today.year - built.value + 0.5
    weekly = [
        q for q in index.of("other", "rate") if q.unit in ("hour/week", "minute/week", "hour/month", "minute/month")
    ]
    told = [replace(q, unit=q.unit.partition("/")[0]) for q in weekly]
    for t in (*told, *pool(index, "minute", None, None, ("duration", "cycle", "hours", "other", "dwell"))):
        text = sentence(t)
        if t in hours or not (size(t, "hour") or 9.0) <= 6 or not _EXERCISE.search(text):
            continue
        times = 52 if _A_WEEK.search(text) else 12 if _A_MONTH.search(text) else 0
        made = (size(t, "hour") or 0.0) * times * years
        if not times or not made:
            continue

        def holds(t: Quantity, h: Quantity, times: int = times) -> bool:
            made = (size(t, "hour") or 0.0) * times * years
            return 0.25 <= (size(h, "hour") or 0.0) / (made or 1.0) <= 4

        message = (
            f"{said(t)} {'a week' if times == 52 else 'a month'} since {built.value:.0f} are some "
            f"{figure(round(made), 'hour')}, "
            f"{said(hours[0])} was stated: read the meter again. Has it run in earnest, or was the meter changed?"
        )
        yield from verdict(rule, [t, hours[0]], holds, message, level="check")


_FREEZES = {
    "propylene": ((0, 32), (10, 26), (20, 19), (30, 8), (40, -7), (50, -28), (60, -60)),
    "ethylene": ((0, 32), (10, 25), (20, 16), (30, 3), (40, -13), (50, -36), (60, -60)),
}
"""Percent by volume against freezing point, degF; ASHRAE Handbook Fundamentals, from memory."""


def glycol_too_thin(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Ten percent propylene glycol, and it leaves the chiller at eighteen degrees".

    Arithmetic: freezing point of the mixture, between tabled strengths, against the coldest temperature told of it.
    Tolerance 2 degF plus wording. Only a percentage told of glycol and a temperature of glycol, chiller or supply
    within 60 s. Always a question. Source: ASHRAE Handbook Fundamentals, freezing points by volume, from memory.
    """
    rule = "glycol_too_thin"
    index = facts(walk)
    shares = [q for q in index.quantities if q.unit == "percent" and "glycol" in called(index, q) and 0 < q.value <= 60]
    shares = [q for q in shares if q.value_max is None and "load" not in called(index, q)]
    if len({q.value for q in shares}) != 1:
        return
    share = shares[0]
    table = _FREEZES[
        "ethylene" if "ethylene" in sentence(share) and "propylene" not in sentence(share) else "propylene"
    ]
    cold = [
        q
        for q in index.of("temperature")
        if q.value_max is None and re.search(r"\b(?:glycol|leaving|supply|chiller|loop|out)\b", sentence(q))
    ]
    cold = [
        q
        for q in cold
        if abs(moment(q) - moment(share)) <= 60
        and (size(q, "degF") or 99.0) < 40
        and not re.search(
            r"\b(?:freez\w*|good (?:to|for|down)|protect\w*|suction|evaporat\w*|ambient|air|room|product)\b",
            called(index, q),
        )
    ]
    if not cold:
        return
    low = min(cold, key=lambda q: size(q, "degF") or 0.0)

    def freezes(q: Quantity) -> float:
        for (a, x), (b, y) in itertools.pairwise(table):
            if a <= q.value <= b:
                return x + (y - x) * (q.value - a) / (b - a)
        return -60.0

    def holds(share: Quantity, low: Quantity) -> bool:
        return (size(low, "degF") or 0.0) >= freezes(share) - 2 - 30 * slack(share, low)

    shown = figure(round(convert(freezes(share), "degF", low.unit)), low.unit)
    message = (
        f"{said(share)} glycol freezes at about {shown}, {said(low)} was "
        "stated: read the strength with a refractometer, and the gauge again."
    )
    yield from verdict(rule, [share, low], holds, message, level="check")


_LIQUID_PUMP = re.compile(r"\b(?:pump\w*|lift station|booster|head|discharge)\b")


def water_power(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Two hundred fifty litres a second against twenty-four metres of head, on a 45 kilowatt motor".

    Arithmetic: power in the water = flow × pressure (or ρ·g·head). Tolerance: no more than the motor gives plus 5 %, as
    a pump has losses besides. Only a flow, a pressure or head and a motor power told together of a pump within 20 s,
    one of each. Always a question: greatest flow and greatest head seldom meet. Source: P = Q·Δp; ρ·g of water.
    """
    rule = "water_power"
    index = facts(walk)
    flows = list(
        pool(
            index,
            "litre/minute",
            None,
            re.compile(r"\b(?:air|cfm|gas|steam|fan|blower|vacuum|compress\w*|day)\b"),
            ("flow", "rate"),
        )
    )
    flows = [q for q in flows if "foot**3" not in q.unit and "day" not in q.unit]
    powers = [
        q
        for q in pool(
            index,
            "watt",
            None,
            re.compile(r"\b(?:heat\w*|burner|total|connected|blower|fan|compressor|chiller)\b"),
            ("power",),
        )
        if "Btu" not in q.unit
    ]
    heads = list(pool(index, "metre", re.compile(r"\bhead\b"), None)) + list(
        pool(
            index,
            "pascal",
            None,
            re.compile(r"\b(?:suction|inlet|relief|rated|design|air|steam|vacuum|test|shut\w*|dead)\b"),
            ("pressure",),
        )
    )
    # "it pumps the whole four hundred at two hundred and fifty psi": a flow told before, without its unit
    again = [
        replace(f, id=f.id, evidence=n.evidence, around=f"{n.before} {n.behind}")
        for n in walk.loose
        for f in flows
        if n.value == f.value and n.evidence and re.search(r"\b(?:whole|all|full|the|same)$", n.before)
    ]
    for f in (*flows, *again):
        here = moment(f)
        hs = [q for q in heads if abs(moment(q) - here) <= 6] or [q for q in heads if abs(moment(q) - here) <= 12]
        ps = [q for q in powers if 0 <= moment(q) - here <= 8] or [
            q for q in powers if abs(moment(q) - here) <= 20 and re.search(r"\b(?:pump|motor)\b", called(index, q))
        ]
        if len(flows) == 1:
            hs, ps = hs or [q for q in heads if q.unit in ("metre", "foot")], ps or powers
        if len({q.value for q in ps}) != 1 or len({q.value for q in hs}) != 1:
            continue
        p, h = ps[0], hs[0]
        told = f"{sentence(f)} {sentence(p)} {sentence(h)}"
        if not _LIQUID_PUMP.search(told) or settled(walk, f, p):
            continue

        def holds(f: Quantity, h: Quantity, p: Quantity) -> bool:
            return _hydraulic(f, h) <= (size(p, "kilowatt") or 0.0) * (1.05 + slack(f, h, p))

        made = _hydraulic(f, h)
        if not 0.02 <= made / (size(p, "kilowatt") or 1.0) <= 20:
            continue
        shown = made / one_of(p.unit, "kilowatt")
        message = (
            f"{said(f)} against {said(h)} are {figure(round(shown, 1), p.unit)} in the water alone, {said(p)} was "
            "stated for the "
            f"{clean(p.subject) or 'motor'}: ask for flow and head at one point, and read the pump plate."
        )
        yield from verdict(rule, [f, h, p], holds, message, level="check")


def _hydraulic(f: Quantity, h: Quantity) -> float:
    """Kilowatts in the water; a head in metres is of plain water."""
    pascal = size(h, "pascal")
    if pascal is None:
        pascal = 9806.65 * (size(h, "metre") or 0.0)
    return (size(f, "metre**3/second") or 0.0) * pascal / 1000


_LIQUID = re.compile(
    r"\b(?:liquid|solution|caustic|acid|water|syrup|juice|oil|brine|milk|beer|wine|full|filled|contents?|holds?|of "
    r"it)\b"
)
_GRAVITY = re.compile(r"\b(?:gravity|specific|s\.?g\.?|dens\w*)\b")
_NET = re.compile(r"\b(?:full|gross|filled|weigh\w*|loaded|with (?:the )?(?:drum|contents|liquid))\b")


def liquid_weight(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Two-hundred-litre drums, specific gravity 1.35, drum's 17 kilos; a full one goes at 235".

    Arithmetic: weight = volume × gravity (1 where none was told: 0.7 to 2 is allowed) + what holds it empty. Tolerance
    8 % plus wording. Only a volume of a drum, tote or tank, and one weight told as full, gross or of the liquid, within
    20 s. Always a question. Source: water 1 kg a litre (8.34 lb a gallon); plain arithmetic.
    """
    rule = "liquid_weight"
    index = facts(walk)
    holder = re.compile(r"\b(?:drum|tote|ibc|barrel|tank|vessel|can|pail|jerrican|container|cistern|tanker)s?\b")
    volumes = [v for v in pool(index, "litre", None, None, ("volume",)) if holder.search(sentence(v))]
    gravities = [
        q
        for q in index.quantities
        if (q.unit == "" or has_dimension(q.unit, "kilogram/litre"))
        and 0.5 < q.value < 3.5
        and (q.unit or _GRAVITY.search(f"{q.subject} {q.of or ''} {sentence(q)}".lower()))
        and q.value_max is None
    ]
    gravities += [q for q in loose(index, "other", "", _GRAVITY) if 0.5 < q.value < 3.5]
    for v in volumes:
        kind = holder.findall(sentence(v))
        weights = [
            w
            for w in pool(index, "kilogram", None, None, ("weight",))
            if abs(moment(w) - moment(v)) <= (35 if set(kind) & set(holder.findall(sentence(w))) else 14)
        ]
        full = [
            w
            for w in weights
            if _NET.search(called(index, w))
            and not re.search(r"\b(?:empty|tare|dry|lift\w*|rated|steel|machine)\b", called(index, w))
        ]
        tare = [
            w
            for w in weights
            if re.search(r"\b(?:empty|tare|drum (?:is|itself)|itself|alone)\b", called(index, w)) and w not in full
        ]
        near = [g for g in gravities if min(abs(moment(g) - moment(x)) for x in (v, *full)) <= 25]
        if len({w.value for w in full}) != 1 or len({g.value for g in near}) > 1:
            continue
        w = full[0]
        if any(abs(moment(x) - moment(w)) < abs(moment(v) - moment(w)) for x in volumes if x is not v):
            continue  # the weight of another vessel
        liquid = bool(near) or bool(_LIQUID.search(f"{sentence(w)} {sentence(v)}"))
        if not liquid or settled(walk, v, w):
            continue
        g, empty = (
            (near[0] if near else None),
            (size(tare[0], "kilogram") or 0.0) if len({x.value for x in tare}) == 1 else 0.0,
        )
        low, high = (g.value * 0.92, g.value * 1.08) if g is not None else (0.65, 2.1)

        def holds(v: Quantity, w: Quantity, low: float = low, high: float = high, empty: float = empty) -> bool:
            litres, kilos, loose_by = size(v, "litre") or 1.0, size(w, "kilogram") or 0.0, slack(v, w)
            return (
                litres * low * (1 - loose_by) + empty * 0.9
                <= kilos
                <= (litres * high * (1 + loose_by) + (empty or litres * 0.15)) * 1.01
            )

        made = (size(v, "litre") or 0.0) * (g.value if g is not None else 1.0) + empty
        if not 0.1 <= (size(w, "kilogram") or 0.0) / made <= 10:
            continue
        of = f"at {number(g.value)}" if g is not None else "as plain water"
        message = (
            f"{said(v)} {of} weigh {figure(round(made / one_of(w.unit, 'kilogram')), w.unit)}, {said(w)} was stated "
            f"({clean(w.subject)}): weigh one; only a plate or a document settles it."
        )
        yield from verdict(
            rule,
            [v, w, *([g] if g is not None and not g.id.startswith("loose") else [])],
            lambda v, w, *g: holds(v, w),
            message,
            level="check",
        )


_PART_HOURS = re.compile(
    r"\b(?:cutting|in cut|beam|laser on|spindle|loaded|under load|on load|cycle|burner|arc|feed|pressing|production|"
    r"heating)\b"
)
_ALL_HOURS = re.compile(
    r"\b(?:power ?(?:ed)?[- ]?on|total|run(?:ning)?|switched on|machine on|control on|overall|operating|on hours)\b"
)


def hours_of_a_part(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "31,000 hours with the power on, 36,000 with the beam on".

    Arithmetic: hours of working ≤ hours switched on. Tolerance: the wording's. Only two counters within 20 s, one
    told of cutting, beam, spindle, loaded or production, the other of power on, running or in total. Always a
    question. Source: plain order.
    """
    rule = "hours_of_a_part"
    index = facts(walk)
    meters = [
        q
        for q in index.quantities
        if q.unit == "hour" and q.property in ("hours", "duration", "other") and q.value >= 100 and q.value_max is None
    ]
    meters += [q for q in loose(index, "hours", "hour", _PART_HOURS) if q.value >= 500]
    parts = [q for q in meters if _PART_HOURS.search(called(index, q)) and not _ALL_HOURS.search(called(index, q))]
    wholes = [q for q in meters if _ALL_HOURS.search(called(index, q)) and q not in parts]

    def holds(part: Quantity, whole: Quantity) -> bool:
        return part.value <= whole.value * (1.0 + slack(part, whole))

    found = nearest(holds, parts, wholes, within=20)
    if found is None or settled(walk, *found[0]):
        return
    (part, whole), _ = found
    message = (
        f"{figure(part.value, 'hour')} ({clean(part.subject) or 'working'}) is more than the "
        f"{figure(whole.value, 'hour')} that it was "
        "on: read both counters again. Was one of them set back?"
    )
    yield from verdict(rule, [part, whole], holds, message, level="check")


def receiver_fill(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "A 120 gallon tank, thirty-six cfm, empty to 175 psi in five and a half minutes".

    Arithmetic: time = volume × rise of pressure in atmospheres / free air. Tolerance: 0.6 to 2 times, as the air
    warms and compressors wear. Only a time told of filling or pumping up, a receiver's volume and a flow of air
    within 60 s, and the greatest pressure told of it. Always a question. Source: Boyle's law; the band is common
    practice, no source.
    """
    rule = "receiver_fill"
    index = facts(walk)
    told = re.compile(
        r"\b(?:fill\w*|pump(?:s|ed)? (?:it )?up|from (?:zero|empty|nothing)|zero to|empty to|cut-?\W?out|drained)\b"
    )
    times = [
        q
        for q in index.of("duration", "cycle", "other")
        if q.value_max is None and 0 < (size(q, "minute") or 0.0) < 90 and told.search(sentence(q))
    ]
    volumes = pool(
        index, "litre", re.compile(r"\b(?:tank|receiver)\b"), re.compile(r"\b(?:oil|water|fuel|coolant)\b"), ("volume",)
    )
    flows = [
        q
        for q in index.of("flow")
        if has_dimension(q.unit, "metre**3/minute") and ("foot" in q.unit or "metre" in q.unit) and q.value_max is None
    ]
    pressures = [replace(q, value=q.value_max or q.value, value_max=None) for q in index.of("pressure")]
    pressures = [q for q in pressures if 2 <= (size(q, "bar") or 0.0) <= 45]
    if not re.search(
        r"\b(?:compressor|receiver|recip|air)\b", " ".join(sentence(q) for q in (*volumes, *flows, *times))
    ):
        return

    def minutes(v: Quantity, f: Quantity, p: Quantity) -> float:
        return (size(v, "metre**3") or 0.0) * (size(p, "bar") or 0.0) / 1.01325 / (size(f, "metre**3/minute") or 1.0)

    def holds(v: Quantity, f: Quantity, p: Quantity, t: Quantity) -> bool:
        return 0.6 <= (size(t, "minute") or 0.0) / (minutes(v, f, p) or 1.0) <= 2 + 3 * slack(v, f, p, t)

    found = nearest(holds, volumes, flows, pressures, times, within=60)
    if found is None:
        return
    (v, f, p, t), _ = found
    if not 0.05 <= minutes(v, f, p) / (size(t, "minute") or 1.0) <= 20:
        return
    message = (
        f"{said(f)} fill {said(v)} to {said(p)} in {figure(round(minutes(v, f, p), 1), 'minute')}, {said(t)} was "
        "stated: time it "
        "again, or read the plate of the pump."
    )
    yield from verdict(rule, [v, f, p, t], holds, message, level="check")


_GENSET = re.compile(r"\b(?:gen ?set|generator|diesel|engine|burns?|fuel|consum\w*|alternator)\b")


def fuel_for_power(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Two hundred kilowatts, and at full load it burns fifteen litres an hour".

    Arithmetic: litres of diesel a kilowatt hour. Tolerance: 0.2 to 0.5 at full load plus wording; else no more than
    0.9. Only a flow in litres or gallons told of fuel or burning, and one electrical power of a generator within 60 s.
    Always a question. Source: diesel has about 10 kWh a litre, engines turn 25 to 42 % of it to power; from memory.
    """
    rule = "fuel_for_power"
    index = facts(walk)
    burns = pool(
        index,
        "litre/hour",
        re.compile(r"\b(?:fuel|burns?|diesel|consum\w*|drinks?)\b"),
        re.compile(r"\b(?:pump|cool\w*|water|gas|cfm|oil pump|polish\w*|transfer)\b"),
        ("flow", "rate"),
    )
    burns = [q for q in burns if "foot" not in q.unit and "day" not in q.unit]
    powers = [
        q
        for q in index.of("power")
        if q.unit in ("kilowatt", "kilovolt*ampere", "megawatt")
        and q.value_max is None
        and _GENSET.search(f"{sentence(q)} {str(walk.identity.kind.value).lower() if walk.identity.kind else ''}")
    ]
    powers = [q for q in powers if abs(moment(q) - moment(burns[0])) <= 90] if burns else []
    if not burns or not powers:
        return

    def kilowatts(p: Quantity) -> float:
        return p.value * {"megawatt": 1000.0, "kilovolt*ampere": 0.8}.get(p.unit, 1.0)

    def holds(b: Quantity, p: Quantity) -> bool:
        each, loose_by = (size(b, "litre/hour") or 0.0) / (kilowatts(p) or 1.0), slack(b, p)
        low = 0.18 if re.search(r"\bfull (?:load|chat|whack|bore)|flat out\b", sentence(b)) else 0.03
        return not outside(each, low, 0.5 if low > 0.1 else 0.9, loose_by)

    found = nearest(holds, burns, powers)
    if found is None:
        return
    (b, p), _ = found
    each = (size(b, "litre/hour") or 0.0) / (kilowatts(p) or 1.0)
    if not 0.005 <= each <= 20:
        return
    message = (
        f"{said(b)} for {said(p)} is {number(round(each, 2))} litres a kilowatt hour; about 0.25 to 0.35 is usual "
        "at full load: ask "
        "at which load, and read the data sheet."
    )
    yield from verdict(rule, [b, p], holds, message, level="check")


RULES = (
    geared_speed,
    speed_at_the_rim,
    speed_over_spacing,
    blow_up,
    boils_at,
    solids_balance,
    bund_and_tank,
    exercised_hours,
    glycol_too_thin,
    water_power,
    liquid_weight,
    hours_of_a_part,
    receiver_fill,
    fuel_for_power,
)
