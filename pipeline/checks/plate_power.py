"""Kilowatts on a plate against its volts and amperes, of whatever it is the plate."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import date

from pipeline.checks.electrical import DIRECT, SOURCES, SUPPLIED, phases_of, voltage_of
from pipeline.checks.facts import CONNECTED, Facts, facts, limit, size, slack
from pipeline.checks.nearby import BREATH, lead, one_sentence, outside, parted, seconds_between, words_around
from pipeline.checks.offers import verdict
from pipeline.checks.subjects import alike, mentions, words
from pipeline.checks.wording import figure, heard, name_of, number, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_OTHERS = frozenset(
    "heater element heating burner boiler gas steam cooling refrigeration heat thermal laser engine diesel".split()
)
"""Heaters have a rule of their own; of the others kilowatts are no electrical input."""
_SUPPLY = SUPPLIED | {"breakers"}


def plate_power(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The plate reads 230 volts, ten amps, six kilowatts": more kilowatts than volts and amperes can carry.

    Source: S = V x I single-phase, sqrt(3) x V x I three-phase, P at most S (IEC 60050-131). Tolerance: 10 %, as plates
    round; where no phases were said of it either arithmetic may fit; less than 0.35 of the least is asked about, as
    amperes may be the fuse's. Only figures of one subject in one breath; not for heaters, sources of direct current,
    transformers and generators, which have rules of their own, nor for horsepower and kVA. Asked, never asserted.
    """
    index = facts(walk)
    row = limit(vocabulary, "plate power")
    for power in index.of("power"):
        if "watt" not in power.unit or not size(power, "kilowatt") or power.value_max is not None:
            continue
        named = f"{power.subject} {power.qualifier or ''}"
        heat = mentions(named, *_OTHERS) and not mentions(named, "electric", "electrode", "induction")
        if heat or mentions(named, *DIRECT, *SOURCES):
            continue
        volts, amps = _beside(index, power, "voltage", "volt"), _beside(index, power, "current", "ampere")
        if volts is None or amps is None or _SUPPLY & {*heard(amps).split(), *words_around(amps)}:
            continue
        v, i = size(volts, "volt") or 0.0, size(amps, "ampere") or 0.0
        if v < 90 or not i:
            continue
        phase = phases_of(index, power, volts)
        near = phase is not None and seconds_between(phase, power) <= 2 * BREATH
        factors = [1.0, math.sqrt(3)] if phase is None or not near else [math.sqrt(3) if phase.value == 3 else 1.0]

        def holds(volts: Quantity, amps: Quantity, power: Quantity, factors: list[float] = factors) -> bool:
            made = (size(volts, "volt") or 0) * (size(amps, "ampere") or 0)
            ratios = [(size(power, "watt") or 0) / (k * made) for k in factors]
            return any(not outside(r, row["low"], row["high"], slack(volts, amps, power)) for r in ratios)

        made = figure(round(factors[0] * v * i / 1000, 2), "kilowatt")
        if len(factors) == 2:
            made += f", or {number(round(factors[1] * v * i / 1000, 2))} with three phases"
        yield from verdict(
            "plate_power",
            (volts, amps, power),
            holds,
            f"{figure(v, 'volt')} and {figure(i, 'ampere')} make {made}, but {said(power)} was said of the "
            f"{name_of(power)}. Photograph the plate: which figure is of something else?",
            level="check",
            note="volts times amperes",
        )


_METERS = frozenset(("ammeter", "voltmeter", "meter", "plate", "tag", "label", "nameplate", "card", "panel", "display"))
"""What a current is read off, where no machine is named."""


def _beside(index: Facts, power: Quantity, prop: str, unit: str) -> Quantity | None:
    """The one figure of a property of the same subject in the same breath as a power."""
    pool = [q for q in index.of(prop) if size(q, unit) and seconds_between(q, power) <= BREATH]
    near = [q for q in pool if alike(q.subject, power.subject) == "same"]
    if not near:  # "the ammeter shows forty amps" in the sentence of the kilowatts
        near = [q for q in pool if {*words(q.subject)} <= _METERS and one_sentence(q, power)]
    return near[0] if len({(q.value, q.unit) for q in near}) == 1 else None


def connected_load(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The installed power is 180 kilowatts and the main fuse is 160 amperes".

    Source: S = sqrt(3) x V x I three-phase, V x I single-phase (IEC 60050-131). Arithmetic: connected kilowatts over
    the kVA of the main fuse, breaker or supply, or of the amperes of the same plate, told within 15 s. Tolerance: up to
    1.4 of it (limits.toml), as all of a plant seldom runs at once. Only powers said to be connected or installed.
    Asked, never asserted.
    """
    rule = "connected_load"
    index = facts(walk)
    row = limit(vocabulary, "connected load")
    for load in index.of("power"):
        told = mentions(f"{load.subject} {load.qualifier or ''}", *CONNECTED) or {*CONNECTED} & {*lead(load)[-4:]}
        if not told or "watt" not in load.unit:
            continue
        fuses = [
            q
            for q in index.of("current")
            if seconds_between(q, load) <= 15
            and (
                (_SUPPLY | {"supply"}) & {*words(q.subject), *words_around(q)}
                or alike(q.subject, load.subject) == "same"
            )
        ]
        volts = voltage_of(index, load)
        if len({(q.value, q.unit) for q in fuses}) != 1 or volts is None or not size(volts, "volt"):
            continue
        fuse, phase = fuses[0], phases_of(index, load, volts)
        factor = 1.0 if phase is not None and phase.value == 1 else math.sqrt(3)
        kva = factor * (size(volts, "volt") or 0.0) * (size(fuse, "ampere") or 0.0) / 1000

        def holds(load: Quantity, fuse: Quantity, volts: Quantity, factor: float = factor) -> bool:
            given = factor * (size(volts, "volt") or 0.0) * (size(fuse, "ampere") or 0.0)
            return (size(load, "watt") or 0.0) <= given * float(row["high"]) * (1 + slack(load, fuse))

        amperes = (size(load, "watt") or 0.0) / factor / (size(volts, "volt") or 1.0)
        given = "the same plate gives" if alike(fuse.subject, load.subject) == "same" else "the fuse is"
        yield from verdict(
            rule,
            [load, fuse, volts],
            holds,
            f"{said(load)} connected would draw about {number(round(amperes))} A at {said(volts)}, {given} "
            f"{said(fuse)}, {figure(round(kva), 'kVA')}: read both again, and ask what never runs together.",
            level="check",
        )


def output_above_input(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The burner's rated five million Btu an hour input; output on the plate reads six million".

    Source: conservation of energy (efficiency at most 1). Tolerance: 2 % plus wording. Only powers of one unit's kind
    told within 20 s as input and as output, of a heater, burner, motor or drive; not of heat pumps and chillers, which
    move more than they take. Boilers told in horsepower are `boiler_rating`'s.
    """
    rule = "output_above_input"
    index = facts(walk)
    sides = [(q, _side(q)) for q in index.of("power") if size(q, "watt") and q.value_max is None]
    for given, out in sides:
        for taken, side in sides:
            if (out, side) != ("output", "input") or seconds_between(given, taken) > 20:
                continue
            if mentions(f"{given.subject} {taken.subject}", *_MOVERS) or "boiler_horsepower" in (
                given.unit,
                taken.unit,
            ):
                continue

            def holds(given: Quantity, taken: Quantity) -> bool:
                return (size(given, "watt") or 0.0) <= (size(taken, "watt") or 0.0) * (1.02 + slack(given, taken))

            yield from verdict(
                rule,
                [given, taken],
                holds,
                f"{said(given)} out of {said(taken)} in ({name_of(given)}): no machine gives more than it takes. Read "
                "both lines of the plate again: were they exchanged?",
                level="check",
            )


_MOVERS = ("chiller", "heat", "refrigeration", "cooling", "dryer")


def _side(q: Quantity) -> str:
    """Whether a power was told as what goes in or what comes out: by its qualifier, else the words beside it."""
    behind = [w.strip(".,;:") for w in parted(q)[1].split()[:2]]
    for told in ((q.qualifier or "").split(), behind, lead(q)[-7:]):
        sides = {"input", "output"} & {*told}
        if len(sides) == 1:
            return sides.pop()
    return ""


RULES = (plate_power, connected_load, output_above_input)
