"""Volts, amperes and kilowatts of supplies, rectifiers, heaters and converters that must agree with each other."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from datetime import date

from pipeline.checks.facts import Facts, facts, limit, size, slack
from pipeline.checks.nearby import (
    SENTENCE,
    about_here,
    called,
    core,
    one_sentence,
    outside,
    parted,
    partner,
    related,
    same,
    seconds_between,
    single,
    with_unit,
    words_around,
)
from pipeline.checks.offers import verdict
from pipeline.checks.subjects import alike, head, mentions
from pipeline.checks.wording import compared, figure, finding, moment, name_of, number, said
from pipeline.walk import Checked, Component, Finding, Quantity, Walk
from vocab import Row, Table, Vocabulary

Results = Iterator[Finding | Checked]

DIRECT = ("rectifier", "dc", "battery", "charger", "electrolyzer", "electrolyser", "welder", "plater")
SOURCES = ("transformer", "generator", "genset", "alternator", "ups", "inverter", "converter")


def phases_of(index: Facts, anchor: Quantity, volts: Quantity | None) -> Quantity | None:
    """Phases of the same machine; else of the voltage's own breath; else the only ones said at all."""
    own = partner(index, anchor, ("phases",), "")
    if own is None and volts is not None:
        own = partner(index, volts, ("phases",), "")
    return own or single(index.of("phases"), "")


def voltage_of(index: Facts, anchor: Quantity) -> Quantity | None:
    """Voltage of the same machine; else the only voltage above control voltage said in the whole walk."""
    own = partner(index, anchor, ("voltage",), "volt")
    if own is not None:
        return own
    return single((q for q in index.of("voltage") if (size(q, "volt") or 0) >= 100), "volt", 0.05)


def voltages_of(index: Facts, q: Quantity) -> int:
    """How many different voltages were said for the machine: a plate for two voltages has two currents."""
    near = {
        round(s)
        for v in index.of("voltage")
        if (s := size(v, "volt")) is not None and s >= 90
        if related(v.subject, q.subject) and seconds_between(v, q) < 7
    }
    return sum(1 for a in near if all(a >= b or b > a * 1.06 for b in near))


def rectifier_power(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Kilowatts of a direct-current source against its volts times amperes.

    Source: P = V x I (watt = volt x ampere, SI Brochure, 9th edition). Tolerance: less than 95 % of the product cannot
    be (conflict); more than 1.6 times is asked about, because a rating of the input is greater than the output by the
    efficiency (0.64 in a published example); told as output, more than 1.05 times. Only for subjects that are direct
    current.
    """
    index = facts(walk)
    row = limit(vocabulary, "rectifier power")
    for amps in index.of("current"):
        volts = partner(index, amps, ("voltage",), "volt")
        if volts is None:
            continue
        power = partner(index, amps, ("power",), "watt") or partner(index, volts, ("power",), "watt")
        power = power or _by_its_tank(index, amps)
        v, i, p = size(volts, "volt"), size(amps, "ampere"), size(power, "kilowatt")
        if power is None or not v or not i or not p or "horsepower" in power.unit:
            continue
        if not any(mentions(q.subject, *DIRECT) for q in (amps, volts, power)):
            continue
        product = v * i / 1000
        if mentions(power.subject, "motor") and 0.8 <= p / product < row["low"]:
            continue  # a motor's plate tells its shaft: less than what it draws by its losses
        # told as the output it is the product itself, less or more by rounding
        high = 2 - row["low"] if _given_out(power) else row["high"]

        def holds(volts: Quantity, amps: Quantity, power: Quantity, high: float = high) -> bool:
            made = (size(volts, "volt") or 0) * (size(amps, "ampere") or 0)
            return not outside((size(power, "watt") or 0) / made, row["low"], high, slack(volts, amps, power))

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


def _given_out(power: Quantity) -> bool:
    """Whether a power is told as what comes out: "output fifty kilowatts", "fifty kilowatts DC out"."""
    before, behind = parted(power)
    return power.qualifier == "output" or bool(
        re.search(r"\boutput\W+(?:\w+\W+){0,3}$", before) or re.match(r"\W*(?:dc )?(?:output|out)\b", behind)
    )


def _by_its_tank(index: Facts, amps: Quantity) -> Quantity | None:
    """ "Five rectifiers: nickel's three thousand amps at twelve volts", and later the plate "on the nickel rectifier":
    the one output in kilowatts of a rectifier of the same name, where a current is filed under its tank."""
    if "rectifier" not in (amps.around or "") and not any(
        head(c.name) == "rectifier" and 0 <= moment(amps) - moment(c) <= SENTENCE for c in index.components
    ):
        return None
    own = core(amps.subject) - {"rectifier", "tank", "bath"}
    told = [q for q in with_unit(index.of("power"), "watt") if "watt" in q.unit and mentions(q.subject, *DIRECT)]
    return single((q for q in told if own and core(q.subject) - {*DIRECT} == own), "watt")


SUPPLIED = frozenset("breaker isolator fuse fuses fused disconnect main mains socket plug feed contactor".split())
"""Words of a current that is the supply's and not the machine's."""


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
        if amps is None:  # "the elements are 36 kilowatts, and the label says thirty amps", filed under the kiln
            near = [q for q in index.of("current") if one_sentence(q, power)]
            amps = near[0] if len(near) == 1 and not SUPPLIED & words_around(near[0]) else None
        v, i = size(volts, "volt"), size(amps, "ampere")
        if volts is None or amps is None or not v or not i:
            continue
        phase = phases_of(index, power, volts)
        factors = [math.sqrt(3)] if phase and phase.value == 3 else [1.0] if phase else [1.0, math.sqrt(3)]
        # of one element, where the amperes are those of all
        whole = [p for p in index.of("power") if p is not power and not p.each and same(p.subject, power.subject)]
        if power.each and whole:
            continue

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


def apparent_power(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Kilovolt-amperes of a transformer, generator or converter against its volts and amperes.

    Source: S = sqrt(3) x V x I three-phase, V x I single-phase (IEC 60050-131). Tolerance: 15 %; kilowatts may be 0.75
    to 1 of it (power factor 0.8 is usual on generators). Asked about only where all three were said of one thing.
    """
    index = facts(walk)
    row = limit(vocabulary, "apparent power")
    for power in index.of("power"):
        kva = "ampere" in power.unit
        if not size(power, "kilovolt_ampere") or "horsepower" in power.unit or "Btu" in power.unit:
            continue
        if not mentions(power.subject, *SOURCES):
            continue
        volts, amps = partner(index, power, ("voltage",), "volt"), partner(index, power, ("current",), "ampere")
        v, i = size(volts, "volt"), size(amps, "ampere")
        if volts is None or amps is None or not v or not i:
            continue
        phase = phases_of(index, power, volts)
        factors = [math.sqrt(3)] if phase and phase.value == 3 else [1.0] if phase else [math.sqrt(3), 1.0]
        low = row["low"] * (1.0 if kva else 0.75)

        def holds(
            power: Quantity, volts: Quantity, amps: Quantity, factors: list[float] = factors, low: float = low
        ) -> bool:
            made = (size(volts, "volt") or 0) * (size(amps, "ampere") or 0)
            ratios = [(size(power, "volt*ampere") or 0) / (k * made) for k in factors]
            return any(not outside(r, low, row["high"], slack(power, volts, amps)) for r in ratios)

        def power_of(volts: Quantity, amps: Quantity, k: float = factors[0]) -> float:
            return k * (size(volts, "volt") or 1.0) * (size(amps, "ampere") or 1.0)

        # a transformer has two voltages, told side by side: the current may be of either
        sides = [q for q in index.of("voltage") if seconds_between(q, power) <= SENTENCE]
        volts = min(
            (*sides, volts), key=lambda q: abs(math.log(power_of(q, amps) / (size(power, "volt*ampere") or 1.0)))
        )
        v = size(volts, "volt") or 0.0
        yield from verdict(
            "apparent_power",
            (power, volts, amps),
            holds,
            f"{figure(v, 'volt')} and {figure(i, 'ampere')} make {figure(round(factors[0] * v * i / 1000), 'kVA')}, "
            f"but {said(power)} was said of the {name_of(power)}. Re-read the plate: which side, which phases?",
            level="check",
            note="volts times amperes",
        )


def kilowatts_over_kva(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Kilowatts and kilovolt-amperes of one source: no power factor is above one.

    Source: P = S x power factor, power factor at most 1 (IEC 60050-131). Tolerance: 2 %. Only for sources (generators,
    transformers, converters), both said of one thing within a quarter of a minute; less than 0.5 is asked about too.
    """
    index = facts(walk)
    row = limit(vocabulary, "power factor")
    apparent = [q for q in index.of("power") if "ampere" in q.unit and size(q, "kilovolt_ampere")]
    real = [q for q in index.of("power") if "watt" in q.unit and size(q, "kilowatt")]
    for s in apparent:
        for p in real:
            named = alike(p.subject, s.subject) == "same" and seconds_between(p, s) <= 15
            if not named or not mentions(called(index, s), *SOURCES, "diesel", "set", "engine", "load"):
                continue

            def holds(p: Quantity, s: Quantity) -> bool:
                share = (size(p, "kilowatt") or 0) / (size(s, "kilovolt_ampere") or 1)
                return not outside(share, row["low"], row["high"], slack(p, s))

            yield from verdict(
                "kilowatts_over_kva",
                (p, s),
                holds,
                f"{said(p)} out of {said(s)} ({name_of(s)}) is a power factor of "
                f"{number(round((size(p, 'kilowatt') or 0) / (size(s, 'kilovolt_ampere') or 1), 2))}; 0.8 is usual on "
                "a generator, and above 1 there is none. Re-read the plate: were the two exchanged?",
                level="check",
            )


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
        entry = nominal(v, table)
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


def nominal(volts: float | None, table: Table) -> Row | None:
    """The row of the nominal voltage nearest to a voltage, within 2.5 %; None where there is none so near."""
    near = [(abs(volts - n) / n, r) for r in table.rows for n in r["volts"]] if volts else []
    off, row = min(near, key=lambda x: x[0], default=(1.0, None))
    return row if off <= 0.025 else None


_OF_HEAT = frozenset(
    "heat rejection rejects rejected refrigeration refrigerating evaporating condensing thermal".split()
)
"""Words around a power that moves heat and is drawn from no supply: "1,150 kilowatts of heat rejection"."""


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
    loads = [
        p
        for p in loads
        if "unit was not said" not in (p.doubt or "")
        and not about_here(index, p, "burner", "gas", "flame", "fired", "steam", within=12)
        and not _OF_HEAT & words_around(p)
    ]
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
    amps = [
        q for q in amps if not mentions(f"{q.subject} {q.qualifier or ''}", "motor", "pump", "fan", "load", "plasma")
    ]
    # "the power supply" of a plasma or a coil is a machine of its own
    amps = [q for q in amps if "power supply" not in q.subject.lower() or mentions(q.subject, "main", "incoming")]
    main = single(amps, "ampere", 0.001)
    volts = voltage_of(index, main) if main else None
    i, v = size(main, "ampere"), size(volts, "volt")
    if main is None or volts is None or not i or not v:
        return None
    phase = phases_of(index, main, volts)
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
    heater_power,
    apparent_power,
    kilowatts_over_kva,
    voltage_with_frequency,
    load_exceeds_supply,
)
