"""Kilowatts on a plate against its volts and amperes, of whatever it is the plate."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import date

from pipeline.checks.electrical import DIRECT, SOURCES, phases_of
from pipeline.checks.facts import Facts, facts, limit, size, slack
from pipeline.checks.nearby import BREATH, outside, seconds_between
from pipeline.checks.offers import verdict
from pipeline.checks.subjects import alike, mentions
from pipeline.checks.wording import figure, heard, name_of, number, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_OTHERS = frozenset(
    "heater element heating burner boiler gas steam cooling refrigeration heat thermal laser engine diesel".split()
)
"""Heaters have a rule of their own; of the others kilowatts are no electrical input."""
_SUPPLY = frozenset(
    "breaker breakers isolator fuse fuses fused disconnect main mains socket plug feed contactor".split()
)
"""Words of a current that is the supply's and not the machine's."""


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
        if mentions(f"{power.subject} {power.qualifier or ''}", *DIRECT, *SOURCES, *_OTHERS):
            continue
        volts, amps = _beside(index, power, "voltage", "volt"), _beside(index, power, "current", "ampere")
        if volts is None or amps is None or _SUPPLY & {*heard(amps).split(), *_words_around(amps)}:
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


def _beside(index: Facts, power: Quantity, prop: str, unit: str) -> Quantity | None:
    """The one figure of a property of the same subject in the same breath as a power."""
    near = [
        q
        for q in index.of(prop)
        if size(q, unit) and alike(q.subject, power.subject) == "same" and seconds_between(q, power) <= BREATH
    ]
    return near[0] if len({(q.value, q.unit) for q in near}) == 1 else None


def _words_around(q: Quantity) -> frozenset[str]:
    """The five words on either side of a figure in its sentence."""
    text, own = (q.around or "").lower(), q.evidence[0].words.lower() if q.evidence else ""
    before, _, behind = text.partition(own) if own else (text, "", "")
    return frozenset(w.strip(".,;:") for w in (*before.split()[-3:], *behind.split()[:3]))


RULES = (plate_power,)
