"""Drives, heat and metal, by figures that were told apart from one another or filed elsewhere (see making.py)."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from datetime import date

from extractors.units import convert
from pipeline.checks.facts import facts, limit, one_of, per_hour, size, slack
from pipeline.checks.motors import full_load_current
from pipeline.checks.nearby import outside
from pipeline.checks.offers import verdict
from pipeline.checks.steam import saturation
from pipeline.checks.subjects import head, words
from pipeline.checks.told import (
    as_figure,
    beside,
    called,
    counted,
    loose,
    nearest,
    pool,
    sentence,
    settled,
)
from pipeline.checks.wording import clean, figure, moment, number, said, told_count
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_DRIVE = re.compile(r"\b(?:motor|drive[ns]?|prime mover|spindle|engine|horse(?:power)?|hp|gear ?motor|servo)\b")
_NOT_DRIVE = re.compile(
    r"\b(?:heat\w*|pumps?|fans?|blower|burner|connected|total|supply|brake|cool\w*|light\w*|compressor)\b"
)
_GEARED = re.compile(
    r"\b(?:reduction|gear(?:ed|box|motor| box|head)?|ratio|worm|planetary|pulley|belt|reducer|final|output)\b"
)


def torque_needs_power(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Prime mover's 22 kilowatt; they hold four hundred newton metres at fifteen hundred rpm straight off it".

    Arithmetic: power = torque × 2π × turns a second. Tolerance: no more than 1.5 times the motor (short overload) plus
    wording; less is normal. Only a torque and a speed of one sentence, not behind a gear, and the greatest power of a
    motor or drive in the walk. Always a question. Source: P = T·ω (5252 hp·rpm, 9549 kW·rpm); overload from memory.
    """
    rule = "torque_needs_power"
    index = facts(walk)
    row = limit(vocabulary, "torque over drive")
    for torque in pool(index, "newton*metre", None, None, ("other",)):
        turning = "newton" in torque.unit or "force" in torque.unit or "torque" in sentence(torque)
        if not turning or re.search(
            r"\b(?:bolt|nut|wrench|tighten\w*|full scale|range|capacity|max\w*)\b", called(index, torque)
        ):
            continue
        speeds = [q for q in pool(index, "rpm", None, None, ("speed",)) if q.unit == "rpm"]
        near = [q for q in speeds if abs(moment(q) - moment(torque)) <= 6]
        if len({q.value for q in near}) != 1:
            continue
        speed = near[0]
        told = f"{torque.around or ''} {speed.around or ''}".lower()
        one = torque.around == speed.around  # torque and speed of one shaft take that power behind a gear as well
        if not one and _GEARED.search(re.sub(r"\bno (?:\w+ )?(?:reduction|gear\w*)|\bstraight\b", "", told)):
            continue
        powers = [q for q in pool(index, "watt", _DRIVE, _NOT_DRIVE, ("power",)) if "Btu" not in q.unit]
        if not powers:
            continue
        power = max(powers, key=lambda q: size(q, "watt") or 0.0)
        if settled(walk, torque, power):
            continue
        needed = (size(torque, "newton*metre") or 0.0) * 2 * math.pi * (size(speed, "rpm") or 0.0) / 60

        def holds(torque: Quantity, speed: Quantity, power: Quantity) -> bool:
            needed = (size(torque, "newton*metre") or 0.0) * 2 * math.pi * (size(speed, "rpm") or 0.0) / 60
            return needed <= (size(power, "watt") or 0.0) * (float(row["high"]) + slack(torque, speed, power))

        if needed > 40 * (size(power, "watt") or 1.0):
            continue
        shown = needed / one_of(power.unit, "watt")
        message = (
            f"{said(torque)} at {said(speed)} take {figure(round(shown, 1), power.unit)}, {said(power)} was stated "
            "for the "
            f"{clean(power.subject) or 'drive'}: ask for the gear between them, or read the plate."
        )
        yield from verdict(rule, [torque, speed, power], holds, message, level="check")


_BIG_COUNT = frozenset(
    (
        "impression stroke cycle shot hit part piece sheet bale copy print start turn revolution cut blow tablet "
        "bottle can box case carton bag press lift trip fill batch brick block mould mold punch weld"
    ).split()
)
_HOURS = re.compile(r"\b(?:hours?|hour ?meter|run(?:ning)?|meter|clock)\b")


def counter_needs_hours(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Maximum is thirteen thousand sheets an hour; 180 million impressions on it, nine thousand running hours".

    Arithmetic: hours run × the greatest rate ≥ what the counter shows. Tolerance 10 % plus wording; less is normal.
    Only a count of 20,000 or more of strokes, impressions, shots or pieces within half a minute of the hours, and the
    greatest plain rate of the walk. Always a question: hours may have been reset. Source: plain arithmetic.
    """
    rule = "counter_needs_hours"
    index = facts(walk)
    rates = [q for q in index.of("rate") if per_hour(q) and q.value_max is None and "day" not in q.unit]
    hours = [q for q in index.of("hours") if (size(q, "hour") or 0.0) >= 100 and q.value_max is None]
    if not rates or not hours:
        return
    top = max(rates, key=lambda q: per_hour(q) or 0.0)
    for c in counted(index):
        at = c.at
        if c.value < 20_000 or c.noun not in _BIG_COUNT | {head(top.of or "")}:
            continue
        if re.match(
            r"^\w+,? (?:an?|per|every|each|the|in the) (?:hour|minute|day|shift|week|month|year|second)", c.behind
        ):
            continue
        near = [q for q in hours if abs(moment(q) - at) <= 30]
        if len({q.value for q in near}) != 1:
            continue
        h, total = near[0], told_count(c.noun, c.value, c.evidence)
        ratio = c.value / ((size(h, "hour") or 1.0) * (per_hour(top) or 1.0))
        if not 0.01 <= ratio <= 60:
            continue

        def holds(total: Quantity, h: Quantity, top: Quantity) -> bool:
            most = (size(h, "hour") or 0.0) * (per_hour(top) or 0.0)
            return total.value <= most * (1.10 + slack(h, top))

        message = (
            f"{number(c.value)} in {said(h)} are {number(round(c.value / (size(h, 'hour') or 1.0)))} an hour, more "
            "than the "
            f"{said(top)} that it makes: read both counters again. Was one of them set back?"
        )
        yield from verdict(rule, [total, h, top], holds, message, level="check")


_REMADE = re.compile(
    r"\b(?:re-?buil[dt]\w*|re-?build|overhaul\w*|re-?lin(?:ed|ing)|re-?line|refurb\w*|re-?condition\w*|re-?bond\w*|"
    r"re-?coat\w*|re-?plat\w*|re-?sleev\w*|re-?furbish\w*|retro-?fit\w*|"
    r"re-?fit(?:ted)?|re-?tub(?:ed|ing)|re-?man\w*|re-?wound|re-?wind|re-?ground|re-?grind|upgrad\w*|moderni[sz]\w*|"
    r"new (?:hot zone|"
    r"lining|tubes|spindle|controls?|hearth|bed|bearings|screws?|barrel|head|gearbox|drives?))\b"
)


_BUILT = re.compile(
    r"\b(?:built|made|manufactured?|manufacture date|year of (?:build|manufacture|construction)|date of manufacture)"
    r"(?: (?:in|is|of))?\W*$"
)


def year_built(walk: Walk) -> Quantity | None:
    """The year of build: of the identity, else the one number that was told as such."""
    stated = walk.identity.year
    found = re.search(r"\d{4}", str(stated.value)) if stated is not None and stated.status != "withdrawn" else None
    if stated is not None and found is not None:
        return Quantity("identity.year", "machine", "year", float(found.group()), "", evidence=stated.evidence)
    told = {n.value: n for n in walk.loose if 1900 <= n.value <= 2100 and _BUILT.search(n.before)}
    if len(told) != 1:
        return None
    n = next(iter(told.values()))
    return Quantity("identity.year", "machine", "year", n.value, "", evidence=n.evidence)


def remade_before_built(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Manufacture date 2003; new hot zone and a general rebuild, dated ninety-eight".

    Arithmetic: year of the rebuild ≥ year of build. Tolerance: none. Only a number between 50 and 99, or a plain year,
    told with rebuilding in its sentence, where the year of build stands. Always a question, as the year may be of
    another machine. Source: plain order of time.
    """
    rule = "remade_before_built"
    made = year_built(walk)
    if made is None:
        return
    year = int(made.value)
    for n in walk.loose:
        four = 1900 <= n.value <= today.year and n.value == int(n.value)
        two = 50 <= n.value <= 99 and n.value == int(n.value)
        lead = " ".join(n.before.split()[-9:])
        # "ninety-eight, thick as a phone book": a year stands by itself, a count has its noun behind it
        if not (four or two) or not _REMADE.search(lead) or (n.behind and n.behind[0] not in ",.;:" and not four):
            continue
        if two and not re.search(r"\b(?:in|dated|from|since|year|back in|of|was|happened)$", lead.strip(" ,")):
            continue
        done = as_figure(n, "year", "", "rebuild")
        done = Quantity(
            done.id, "rebuild", "year", n.value + (1900 if two else 0), "", around=done.around, evidence=n.evidence
        )
        if done.value == year or n.evidence == made.evidence:
            continue
        message = (
            f"Rebuilt in {done.value:.0f}, and built in {year}: it cannot have been done before. Read both years "
            "again, "
            "and ask whose rebuild it was."
        )
        yield from verdict(rule, [done, made], lambda done, made: done.value >= made.value, message, level="check")


_COLD_OUT = re.compile(
    r"\b(?:leaving|leaves?|supply|supplies|outlet|out at|going out|goes out|set ?point|off at|flow)\b"
)
_WARM_BACK = re.compile(
    r"\b(?:return\w*|comes? back|coming back|back at|back from|entering|enters?|inlet|in at|comes in)\b"
)
_COOLING = re.compile(r"\b(?:tons?|chiller|cooling|refrigerat\w+|nominal|capacity|duty|evaporator)\b")
_CIRCULATES = re.compile(
    r"\b(?:evaporator|chill\w*|glycol|brine|water|pump\w*|loop|circulat\w*|process|flow\w*|through it)\b"
)
_NOT_CHILLED = re.compile(r"\b(?:tower|condenser|city|make-?up|spray|drain|boiler|hot water|cfm|air)\b")


_COOLS = re.compile(r"\b(?:(?:of )?(?:cooling|refrigeration)|chilling|cooling (?:capacity|duty|power)|duty)\b")
_NOT_COOLED = re.compile(
    r"\b(?:compressors?|fans?|pumps?|motors?|draws?|absorbed|input|tower|condenser|electric\w*|heat\w*)\b"
)


def cooling_by_flow(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Nominal two hundred tons; leaving water forty-four, it comes back at 54; 120 gpm through the evaporator".

    Arithmetic: tons = gpm × degF / 24 (500 Btu/h a gpm and degF, over 12,000). Tolerance: limits.toml, cooling flow;
    a difference of temperatures without a unit is taken in the scale of the other. Only one capacity in tons or
    kilowatts of cooling, temperatures told as leaving and as coming back, and flows of no tower or condenser; where
    any flow fits nothing is asked. Always a question. Source: Q = m·c·ΔT for water.
    """
    rule = "cooling_by_flow"
    index = facts(walk)
    row = limit(vocabulary, "cooling flow")
    duties = [q for q in index.of("power") if q.unit == "ton_of_refrigeration" and q.value_max is None]
    duties = duties or [
        q
        for q in pool(index, "kilowatt", _COOLS, _NOT_COOLED, ("power",))
        if "watt" in q.unit and not _NOT_COOLED.search(beside(index, q)[1][:40])
    ]
    duties = [q for q in duties if not re.search(r"\b(?:tower|condenser)\b", called(index, q))]
    if len({q.value for q in duties}) != 1:
        return
    temperatures = [q for q in index.of("temperature") if q.value_max is None]
    told = [q for q in temperatures if not _WARM_BACK.search(beside(index, q)[0])]
    outs = [q for q in told if _COLD_OUT.search(beside(index, q)[0])]
    outs = outs or [q for q in told if _COLD_OUT.search(q.subject)]
    outs = [q for q in outs if not _NOT_CHILLED.search(called(index, q))]
    unit = outs[0].unit if outs else "degF"
    backs = [q for q in temperatures if q not in outs and _WARM_BACK.search(beside(index, q)[0])]
    bare = [q for q in loose(index, "temperature", unit, _WARM_BACK) if abs(q.value) < 110]
    bare = [q for q in bare if any(abs(moment(q) - moment(o)) <= 20 for o in outs)]
    if not outs and len({q.value for q in backs}) == 1:  # "leaves at seven and comes back at twelve degrees"
        unit = backs[0].unit
        outs = [q for q in loose(index, "temperature", unit, _COLD_OUT) if abs(moment(q) - moment(backs[0])) <= 8]
    flows = [
        q
        for q in pool(index, "gallon/minute", _CIRCULATES, _NOT_CHILLED, ("flow",))
        if "foot**3" not in q.unit and abs(moment(q) - moment(duties[0])) <= 90
    ]
    flows = flows or [q for q in pool(index, "gallon/minute", None, _NOT_CHILLED, ("flow",)) if "foot**3" not in q.unit]

    def tons(flow: Quantity, out: Quantity, back: Quantity) -> float:
        rise = (size(back, "degF") or 0.0) - (size(out, "degF") or 0.0)
        return (size(flow, "gallon/minute") or 0.0) * rise / 24

    def holds(duty: Quantity, flow: Quantity, out: Quantity, back: Quantity) -> bool:
        ratio = tons(flow, out, back) / (size(duty, "ton_of_refrigeration") or 1.0)
        return not outside(ratio, row["low"], row["high"], slack(duty, flow, out, back))

    found = nearest(holds, duties[:1], flows, outs, backs or bare)
    if found is None:
        return
    (duty, flow, out, back), _ = found
    made = tons(flow, out, back)
    if settled(walk, duty, flow) or not 0.05 <= made / (size(duty, "ton_of_refrigeration") or 1.0) <= 20:
        return
    by_watts = "watt" in duty.unit
    cooled = (
        figure(round(made * one_of("ton_of_refrigeration", duty.unit)), duty.unit)
        if by_watts
        else f"{number(round(made, 1))} tons"
    )
    message = (
        f"{said(flow)} from {said(back)} to {said(out)} is {cooled} of cooling, {said(duty)} was "
        f"stated: ask whether flow and temperatures are of one moment; read the plate."
    )
    yield from verdict(rule, [duty, flow, out, back], holds, message, level="check")


_AMPS = re.compile(r"\b(?:motor|full load|fla|flc|plate|tag|rated|draws?|pulls?|nameplate)\b")
_NOT_AMPS = re.compile(
    r"\b(?:breaker|fuse\w*|service|supply|main (?:switch|disconnect|panel)|rectifier|dc|heater|elements?|no load|"
    r"unloaded|idle|"
    r"inrush|start\w*|locked|trip\w*|overload|service factor|each phase|welder|electrode|secondary|output|bus)\b"
)
_VOLTS = (208, 230, 240, 380, 400, 415, 440, 460, 480, 500, 525, 550, 575, 600, 690)


def amperes_of_a_motor(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Main motor's a 55 kilowatt"; a minute later "the tag again, main motor, full load 38 amps"; supply 415.

    Arithmetic: as for `motor_current`, whose table and tolerance it takes. Only amperes told of a motor by name, plate
    or full load, the motor power of that name or the only one of the walk, and one voltage of the walk; a voltage may
    lack its unit. Always a question. Source: NFPA 70-2008 Table 430.250; else P / (√3·V·efficiency·power factor).
    """
    rule = "amperes_of_a_motor"
    index = facts(walk)
    row = limit(vocabulary, "motor current")
    motors = pool(
        index,
        "watt",
        _DRIVE,
        re.compile(r"\b(?:heat\w*|burner|connected|total|servo|dc|inverter|vfd|btu)\b"),
        ("power",),
    )
    motors = [q for q in motors if "Btu" not in q.unit and "ton" not in q.unit]
    volts = [q for q in index.of("voltage") if q.value_max is None and (size(q, "volt") or 0.0) >= 200]
    bare = [as_figure(n, "voltage", "volt") for n in walk.loose if n.value in _VOLTS]
    supply = [
        q
        for q in bare
        if re.search(
            r"\b(?:supply|volt\w*|electric\w*|on|is|it's|all|everything|at|off|mains|power)\b",
            " ".join((q.around or "").split()[-14:]),
        )
    ]
    sources = volts or supply
    if len({round(size(q, "volt") or 0.0) for q in sources}) != 1 or any("dc" in sentence(q).split() for q in sources):
        return
    for amps in pool(index, "ampere", _AMPS, _NOT_AMPS, ("current",)):
        if any(c.rule == "motor_current" and amps.id in c.facts and "could not" not in c.outcome for c in walk.checked):
            continue
        own = set(words(amps.subject)) - {"the", "tag", "plate"}
        named = [q for q in motors if own and own <= set(words(called(index, q)))]
        # "the lint fan motor, the plate has nine amps", and minutes before "the main fan on it is twenty horsepower"
        told = set(words(sentence(amps)))
        named = named or [q for q in motors if head(q.subject) in told - {"motor", "drive", "machine", "plate"}]
        fit = named or ([motors[0]] if len({q.value for q in motors}) == 1 else [])
        if len({round(size(q, "watt") or 0.0) for q in fit}) != 1:
            continue
        power, v = fit[0], sources[0]

        def holds(power: Quantity, amps: Quantity, v: Quantity) -> bool:
            try:
                usual, _ = full_load_current(
                    vocabulary["motors"], size(power, "horsepower") or 0.0, size(v, "volt") or 0.0
                )
            except ValueError:
                return True
            return not outside((size(amps, "ampere") or 0.0) / usual, row["low"], row["high"], slack(power, amps))

        try:
            usual, source = full_load_current(
                vocabulary["motors"], size(power, "horsepower") or 0.0, size(v, "volt") or 0.0
            )
        except ValueError:
            continue
        if not 0.1 <= (size(amps, "ampere") or 0.0) / usual <= 10:
            continue
        message = (
            f"{said(amps)} is unusual for the {clean(power.subject) or 'motor'} of {said(power)} at {said(v)}: about "
            f"{number(round(usual))} A is usual ({source}). Re-read the plate: which current, which motor?"
        )
        yield from verdict(rule, [power, amps, v], holds, message, level="check")


_SOLID_PIECE = re.compile(
    r"\b(?:solid|slab|block|billet|ingot|anvil|plate|bloom|counterweight|surface plate|casting)\b"
)


def solid_piece_weight(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "A solid slab of granite, four foot by six, ten inches thick", and "the granite weighs nine hundred pounds".

    Arithmetic: length × width × thickness × density. Tolerance: 0.6 to 1.25 plus wording, for slots, holes and round
    edges. Only three sizes of one thing told as solid, a slab or a block, of a material of vocab/materials.toml, and a
    weight told of that thing or material. Always a question. Source: densities in vocab/materials.toml.
    """
    rule = "solid_piece_weight"
    index = facts(walk)
    for flat in index.of("thickness", "depth", "height"):
        group = [q for q in index.of("length", "width", "thickness", "depth", "height") if q.subject == flat.subject]
        group = [q for q in group if abs(moment(q) - moment(flat)) <= 8 and q.value_max is None]
        by = {q.property: q for q in group}
        if (
            len(group) == 3 and sum(q.property == "length" for q in group) == 2
        ):  # "three foot by two foot, two foot deep"
            by["width"] = next(q for q in group if q.property == "length" and q is not by["length"])
        text = " ".join(q.around or "" for q in group)
        if len(by) != 3 or not {"length", "width"} <= {*by} or not _SOLID_PIECE.search(text):
            continue
        row = next(
            (
                r
                for r in vocabulary["materials"]
                if r["kind"] == "solid" and any(re.search(rf"\b{w}\b", text) for w in r["said"])
            ),
            None,
        )
        if row is None:
            continue
        sides = [by["length"], by["width"], flat]
        weights = [
            w
            for w in index.of("weight")
            if w.value_max is None
            and (
                set(words(w.subject)) & (set(words(text)) | set(row["said"]))
                or any(s in sentence(w) for s in row["said"])
            )
        ]
        if len({size(w, "pound") for w in weights}) != 1:
            continue
        w, density = weights[0], float(row["density"])
        pounds = math.prod(size(q, "foot") or 0.0 for q in sides) * density
        if settled(walk, w, flat) or not 0.05 <= (size(w, "pound") or 0.0) / (pounds or 1.0) <= 20:
            continue

        def holds(w: Quantity, *sides: Quantity, density: float = density) -> bool:
            made = math.prod(size(q, "foot") or 0.0 for q in sides) * density
            loose = slack(w, *sides)
            return 0.6 - loose <= (size(w, "pound") or 0.0) / (made or 1.0) <= 1.25 + loose

        message = (
            f"{' by '.join(said(q) for q in sides)} of solid {row['said'][0]} weigh about "
            f"{figure(round(pounds / one_of(w.unit, 'pound'), -1), w.unit)}, {said(w)} was stated: measure it; only "
            "a plate or a "
            "document settles a weight for lifting."
        )
        yield from verdict(rule, [w, *sides], holds, message, level="check")


_STEAMED = re.compile(r"\b(?:steam|saturated|retort|autoclave|sterili[sz]\w*)\b")
_NOT_SATURATED = re.compile(
    r"\b(?:super-?heat\w*|over-?pressure|air|spray|immersion|stack|flue|feed|condensate|oil|design|rated|relief|safety|"
    r"burner|gas|test\w*|hydro\w*|core|product|jacket|header|supply|mains?|boiler|from|hot water|reduc\w+|outlet|"
    r"vacuum)\b"
)


_COLDER = re.compile(r"\b(?:chests?|platens?|rolls?|ironer|surface|shell|calender|cans|presses)\b")
_UNDER_AIR = re.compile(r"\b(?:glass|laminat\w*|composites?|carbon|pre-?preg|windscreen|windshield|bond\w*)\b")


def steam_and_gauge(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Process is 121 degrees, gauge reads one point oh five bar": saturated steam has one temperature at a pressure.

    Arithmetic: boiling temperature at gauge pressure + 1.01325 bar (IAPWS-IF97, region 4). Tolerance 9 °C plus wording.
    Only a temperature and a pressure of one sentence about steam, a retort or an autoclave, nothing superheated, under
    air or by spray. Always a question. Source: IAPWS-IF97.
    """
    rule = "steam_and_gauge"
    index = facts(walk)
    for hot in index.of("temperature"):
        c = size(hot, "degC")
        if c is None or not 101 <= c <= 260 or hot.value_max is not None:
            continue
        near = [p for p in index.of("pressure") if abs(moment(p) - moment(hot)) <= 7 and p.value_max is None]
        told = " ".join(sentence(q) for q in (hot, *near))
        kind = str(walk.identity.kind.value).lower() if walk.identity.kind else ""
        if _COLDER.search(told) and (size(near[0], "megapascal") if near else None):
            continue  # `hotter_than_its_steam` asks of a chest or platen, which is colder than its steam
        things = " ".join((kind, *(c.name.lower() for c in index.components)))
        if "steam" not in told and _UNDER_AIR.search(things):
            continue  # an autoclave for glass or composites is filled with air
        if not near or not _STEAMED.search(f"{told} {kind}") or _NOT_SATURATED.search(told):
            continue

        def holds(hot: Quantity, p: Quantity) -> bool:
            bar = size(p, "megapascal") or 0.0
            if not 0.005 < bar + 0.101325 < 20:
                return True
            return abs(saturation(bar + 0.101325) - (size(hot, "degC") or 0.0)) <= 9 + 60 * slack(hot, p)

        found = nearest(holds, [hot], near)
        if found is None or settled(walk, hot, found[0][1]):
            continue
        p = found[0][1]
        bar = size(p, "megapascal") or 0.0
        if not 0.005 < bar + 0.101325 < 20:
            continue
        at = saturation(bar + 0.101325)
        message = (
            f"Saturated steam at {said(p)} gauge has {figure(round(convert(at, 'degC', hot.unit)), hot.unit)}, "
            f"{said(hot)} was "
            "stated: read both gauges again. Gauge or absolute, is there air in it?"
        )
        yield from verdict(rule, [hot, p], holds, message, level="check")


RULES = (
    torque_needs_power,
    counter_needs_hours,
    remade_before_built,
    cooling_by_flow,
    amperes_of_a_motor,
    solid_piece_weight,
    steam_and_gauge,
)
