"""What feeds a plant against what it takes: energy, air, steam and amperes, told apart from one another
(relations.py)."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from datetime import date

from extractors.units import convert
from pipeline.checks.facts import Facts, facts, has_dimension, limit, size
from pipeline.checks.relations import distinct, multipliers, product
from pipeline.checks.told import beside, called, pool, sentence
from pipeline.checks.wording import clean, figure, moment, number, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_PERIODS = ("hour", "day", "week", "month", "year")
_GAS_ENERGY = re.compile(r"\b(?:gas|burner|boiler|thermal|heat|steam|per tonne|per kilo)\b")


def energy_of_a_load(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Connected at fifty-four kilowatts; a firing takes ten hours"; and "one firing eats 950 kilowatt hours".

    Arithmetic: energy ≤ power × time; of a week, month or year power × all of its hours. Tolerance: limits.toml, energy
    of a load, plus wording; less is a load that is not always on. Only the one power of the walk within two minutes, an
    energy, and, where it is of no period, one time of hours. A count told nearby that explains it keeps it quiet.
    Always a question. Source: W = P·t.
    """
    rule = "energy_of_a_load"
    index = facts(walk)
    row = limit(vocabulary, "energy of a load")
    powers = [
        q
        for q in pool(index, "kilowatt", None, _GAS_ENERGY, ("power",))
        if "hour" not in q.unit and "Btu" not in q.unit
    ]
    for e in index.quantities:
        unit, _, period = e.unit.partition("/")
        if "hour" not in unit or not has_dimension(unit, "kilowatt*hour") or e.value_max is not None:
            continue
        near = [q for q in powers if abs(moment(q) - moment(e)) <= 120]
        if distinct(near, "kilowatt") != 1 or _GAS_ENERGY.search(called(index, e)):
            continue
        p = near[0]
        if period:
            if period not in _PERIODS:
                continue
            hours = convert(1.0, period, "hour")

            def say_period(p: Quantity, e: Quantity, hours: float = hours, period: str = period) -> str:
                most = figure(round(hours * (size(p, "kilowatt") or 0.0)), "kilowatt*hour")
                return (
                    f"{said(p)} without a stop are {most} a {period}, {said(e)} was stated: read the meter, and ask "
                    f"what "
                    "else is on it."
                )  # fmt: skip

            yield from product(
                walk, rule, row, [[p]], [e],
                lambda p, hours=hours: (size(p, "kilowatt") or 0.0) * hours,
                f"kilowatt*hour/{period}", say_period,
            )  # fmt: skip
            continue
        times = [
            q
            for q in pool(index, "hour", None, re.compile(r"\b(?:ago|shift)\b"), ("duration", "dwell", "cycle"))
            if abs(moment(q) - moment(e)) <= 60
        ]

        def say(p: Quantity, t: Quantity, e: Quantity) -> str:
            most = figure(round((size(p, "kilowatt") or 0.0) * (size(t, "hour") or 0.0)), "kilowatt*hour")
            return (
                f"{said(p)} for {said(t)} are {most} at most, {said(e)} was stated: read the meter, and ask how long."
            )

        yield from product(
            walk, rule, row, [[p], times], [e],
            lambda p, t: (size(p, "kilowatt") or 0.0) * (size(t, "hour") or 0.0), "kilowatt*hour", say,
        )  # fmt: skip


_AIR = re.compile(r"\b(?:air|cfm|compress\w*|pneumatic\w*|blow(?:s|n|ing)? (?:mould|mold|gun)\w*|low pressure)\b")
_NOT_AIR = re.compile(
    r"\b(?:fans?|exhaust\w*|extract\w*|blowers?|ducts?|burner|vent\w*|supply air|make-?up|coolers?|tower|hood|water|"
    r"pump\w*|vacuum|filter|dust|liquid|coolant|oil|room|oven|dryer|conveying)\b"
)
_TAKES = re.compile(
    r"\b(?:wants?|needs?|eats?|uses?|using|takes?|consum\w*|requires?|demand\w*|draws?|swallows?|air use)\b"
)
_COMPRESSOR = re.compile(r"\b(?:compressor|screw|recip\w*|piston|free air|f\.?a\.?d)\b")


def air_and_compressor(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The blow moulder eats four hundred cubic feet of air a minute; its compressor is rated for two hundred and
    ten".

    Arithmetic: air that one machine takes ≤ air that the compressors give; by their kilowatts where no flow was told,
    as much as limits.toml (air of a kilowatt) allows. Tolerance: limits.toml, air of a compressor, plus wording. Only
    an air flow told as needed or used, and one compressor; a count told nearby that explains it keeps it quiet.
    Always a question: the peak may come from a receiver. Source: conservation of mass; compressed-air practice for
    the kilowatt.
    """
    rule = "air_and_compressor"
    index = facts(walk)
    flows = [
        q for q in pool(index, "litre/minute", None, None, ("flow", "rate")) if not _NOT_AIR.search(called(index, q))
    ]
    air = [q for q in flows if _AIR.search(f"{sentence(q)} {' '.join(e.words.lower() for e in q.evidence)}")]
    gives = [q for q in air if _COMPRESSOR.search(called(index, q)) and not _TAKES.search(called(index, q))]
    named = re.compile(r"\bcompressor")
    wants = [
        q
        for q in flows
        if q not in gives and _TAKES.search(sentence(q)) and (q in air or named.search(_story(index, q)))
    ]

    def litres(give: Quantity) -> float:
        if "meter" not in give.unit and has_dimension(give.unit, "watt"):
            return (size(give, "kilowatt") or 0.0) * float(each["high"])
        return size(give, "litre/minute") or 0.0

    each = limit(vocabulary, "air of a kilowatt")
    if not gives:
        gives = list(
            pool(
                index,
                "kilowatt",
                re.compile(r"\bcompressor|\bscrew compressor"),
                re.compile(r"\bfan|refrig|chiller|cooling"),
                ("power",),
            )
        )
        gives = gives or [
            q
            for q in pool(index, "kilowatt", re.compile(r"\bscrew\b"), None, ("power",))
            if "compressor" in sentence(q)
        ]
    if distinct(gives, gives[0].unit) != 1 if gives else True:
        return

    def say(give: Quantity, want: Quantity) -> str:
        most = "" if size(give, "litre/minute") else f" ({figure(round(litres(give)), 'litre/minute')} at most)"
        return (
            f"{said(want)} of air ({clean(want.subject) or 'machine'}) is more than the compressor gives, {said(give)}"
            f"{most}: ask what else feeds it, and at which pressure."
        )

    row = limit(vocabulary, "air of a compressor")
    yield from product(walk, rule, row, [gives[:1]], wants, litres, "litre/minute", say, within=180)


def _story(index: Facts, q: Quantity) -> str:
    """Sentences of the figures told within twenty seconds."""
    return " ".join(sentence(o) for o in index.quantities if abs(moment(o) - moment(q)) <= 20)


_STEAM = re.compile(r"\bsteam\b")
_BOILER = re.compile(r"\b(?:boiler|generator|steam plant|scotch|fire ?tube|water ?tube|package)\b")
_NOT_USER = re.compile(
    r"\b(?:flash|condensate|feed ?water|blow-?down|vent|relief|safety|valve|trap|meter|flow ?meter)\b"
)


def steam_and_boiler(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The boiler's a two tonne an hour unit"; and "the dryer, two thousand four hundred kilos of steam an hour".

    Arithmetic: steam that one machine takes, times how many there are, ≤ steam of the boiler; a boiler horsepower gives
    34.5 lb an hour from and at 212 °F. Tolerance: limits.toml, steam of a boiler, plus wording. Only steam an hour of
    something other than the boiler, and one boiler within three minutes. Always a question. Source: conservation of
    mass; 34.5 lb an hour a boiler horsepower.
    """
    rule = "steam_and_boiler"
    index = facts(walk)
    flows = [q for q in pool(index, "kilogram/hour", _STEAM, _NOT_USER, ("rate", "flow")) if q.value > 0]
    users = [q for q in flows if not _BOILER.search(q.subject) and not _BOILER.search(beside(index, q)[0])]
    rated = [q for q in pool(index, "kilogram/hour", _BOILER, None, ("rate", "flow")) if q not in users]
    horse = [
        q
        for q in pool(index, "horsepower", _BOILER, re.compile(r"\b(?:fan|pump|motor|feed|blower)\b"), ("power",))
        if "horsepower" in q.unit
    ]
    boilers = rated or horse
    if not boilers or distinct(boilers, boilers[0].unit) != 1:
        return
    boiler = boilers[0]

    def gives(b: Quantity) -> float:
        return size(b, "kilogram/hour") or (b.value * 34.5 * 0.45359237)

    for user in users:
        n = _how_many(index, user)

        def say(b: Quantity, user: Quantity, n: int = n) -> str:
            times = f"{n} times " if n > 1 else ""
            most = "" if size(b, "kilogram/hour") else f", {figure(round(b.value * 34.5), 'pound/hour')}"
            return (
                f"{times}{said(user)} of steam ({clean(user.subject) or 'machine'}) is more than the boiler gives, "
                f"{_plain(b)}"
                f"{most}: read its plate, and ask what else makes steam."
            )

        row = limit(vocabulary, "steam of a boiler")
        yield from product(
            walk, rule, row, [[boiler]], [user], lambda b, n=n: gives(b) / n, "kilogram/hour", say, within=180
        )


def _plain(b: Quantity) -> str:
    return said(b).replace("horsepowers", "horsepower")


def _how_many(index: Facts, q: Quantity) -> int:
    """ "Two calenders, and each wants eight hundred pounds": the count told right before, where it is of each."""
    if not (q.each or re.search(r"\b(?:each|apiece|every one|per)\b", called(index, q))):
        return 1
    near = multipliers(index, [q])
    component = [c.count for c in index.components if c.count and 0 <= moment(q) - moment(c) <= 6 and c.count <= 40]
    return component[-1] if component else min(near, default=1)


_MAIN = re.compile(
    r"\b(?:breaker|fuses?|fused|isolator|disconnect|main switch|incoming|incomer|mains?|feeder|supply|fed|service)\b"
)
_BRANCH = re.compile(r"\b(?:each|rectifier|welder|spare (?:way|breaker|fuse)|sub-?main|outlet|socket|dc)\b")
_ALL = re.compile(
    r"\b(?:connected|installed|total|in all|altogether|all told|all in|whole (?:line|machine|plant)|full load|"
    r"all (?:the )?(?:drives|motors|electric\w*)|summed|adds? up)\b"
)
_ELECTRIC = re.compile(r"\b(?:elements?|electric\w*|immersion|resistance|heaters?|infrared|lamps?)\b")
_NOT_ELECTRIC = re.compile(
    r"\b(?:gas|steam|oil|burners?|btu|thermal|cooling|refrigerat\w*|solar|ups|generator|transformer)\b"
)


def load_and_breaker(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Connected load 180 kilowatts in all, 415 volts"; and minutes later "the incoming breaker, 160 amps".

    Arithmetic: amperes = P / (√3·V), P / V single-phase. Tolerance: limits.toml, connected load, for what was told as
    connected or in total, and electric heat on breaker for heaters, which run together. Only one main breaker, fuse or
    disconnect and one voltage in the walk; one that an ampere figure already agrees with is left alone. Asked, never
    asserted. Source: S = √3·V·I (IEC 60050-131).
    """
    rule = "load_and_breaker"
    index = facts(walk)
    mains = list(pool(index, "ampere", _MAIN, _BRANCH, ("current",)))
    volts = [q for q in index.of("voltage") if q.value_max is None and (size(q, "volt") or 0.0) >= 200]
    if distinct(mains, "ampere") != 1 or distinct(volts, "volt") != 1:
        return
    main, v = mains[0], volts[0]
    single = any(q.unit == "" and q.value == 1 for q in index.of("phases"))
    factor = 1.0 if single else math.sqrt(3)
    powers = [q for q in pool(index, "watt", None, None, ("power",)) if "watt" in q.unit]
    powers = [q for q in powers if not _NOT_ELECTRIC.search(sentence(q))]
    for name, cue in (("connected load", _ALL), ("electric heat on breaker", _ELECTRIC)):
        loads = [q for q in powers if cue.search(called(index, q)) or (cue is _ELECTRIC and cue.search(q.subject))]
        if not loads:
            continue
        load = max(loads, key=lambda q: size(q, "watt") or 0.0)
        row = limit(vocabulary, name)

        def kilowatts(v: Quantity, main: Quantity) -> float:
            return factor * (size(v, "volt") or 0.0) * (size(main, "ampere") or 0.0) / 1000

        def say(v: Quantity, main: Quantity, load: Quantity) -> str:
            amps = (size(load, "watt") or 0.0) / factor / (size(v, "volt") or 1.0)
            return (
                f"{said(load)} at {said(v)} would draw about {number(round(amps))} A, the "
                f"{clean(main.subject) or 'breaker'}"
                f" is {said(main)}: read both again, and ask what never runs together."
            )

        yield from product(
            walk, rule, row, [[v], [main]], [load], kilowatts, "kilowatt", say, within=float("inf"), counts=False
        )
        if cue is _ALL:
            return


RULES = (energy_of_a_load, air_and_compressor, steam_and_boiler, load_and_breaker)
