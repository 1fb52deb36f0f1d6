"""Wording: figures in digits with units, findings with stable ids, and what was compared."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Iterator
from typing import Literal

from extractors.phrases import plural, singular
from extractors.words import Evidence
from pipeline.checks.subjects import words
from pipeline.walk import Checked, Component, Finding, Level, Offer, Quantity, Sequence

Basis = Quantity | Component | Sequence
"""What a finding may rest on."""

_FITNESS = frozenset(
    (
        "hoist",
        "crane",
        "hook",
        "sling",
        "runway",
        "fuse",
        "breaker",
        "relay",
        "guard",
        "interlock",
        "relief",
        "receiver",
    )
)

_UNEXAMINED = "figures agree; fitness not examined"
Outcome = Literal["agreed", "failed", "could not be compared"]
WITHIN = "within its limit"
"""What "agreed" reads for a rule that asks on one side only, or by a wide range: a slip to the other side stays unseen,
and so nothing was found to agree."""
ONE_SIDED = frozenset(
    "crane_against_load load_exceeds_supply vacuum_beyond_full hours_exceed_age part_of_the_hours part_and_opening "
    "wider_than_what_holds_it rounder_than_wide part_longer_than_whole longer_than_the_line inside_and_outside "
    "machine_through_door stations_fit_line lengths_add_up moves_fit_cycle dwell_and_rate carrier_limits container_fit "
    "figure_out_of_range relief_above_design use_above_rating above_boiling flow_and_consumption users_and_supply "
    "settings_in_order hours_in_a_day cycles_in_a_day older_than_machine fan_power vessel_pressure weight_for_size "
    "steam_pressure width_and_area counter_and_hours reel_and_weight silo_and_load water_below_freezing "
    "connected_load output_above_input part_heavier_than_whole contents_and_room longer_than_its_bed "
    "load_on_its_carrier longer_than_its_room more_than_it_takes wider_than_it_runs_through pieces_and_speed "
    "positions_and_carriers "
    "hours_of_a_part speed_over_spacing counter_needs_hours geared_speed torque_needs_power water_power "
    "fast_in_a_duct bund_and_tank span_in_its_bay inside_over_all hours_since_start hotter_than_its_steam "
    "hoist_power lifted_by out_by_the_door belt_wider_than_long pieces_across sections_make_the_length "
    "store_and_weight glycol_too_thin held_at_once wetter_than_before remade_before_built humidity_over_full "
    "pieces_and_their_load pitch_makes_the_length fuel_for_power exercised_hours liquid_weight receiver_fill "
    "capacity_and_contents cycle_makes_output blow_up "
    "faster_than_rated seconds_of_a_piece made_in_a_shift energy_of_a_load air_and_compressor steam_and_boiler "
    "load_and_breaker pump_fills_the_cylinder years_and_build wider_than_it_works does_not_go_through "
    "part_of_altogether more_than_its_cells more_than_goes_through parts_make_the_weight batches_in_a_day "
    "numbered_beyond_the_count pieces_at_line_speed stack_on_its_carrier stock_longer_than_the_bed "
    "parts_of_a_shot batches_fit_the_day does_not_fit hours_in_the_years".split()
)
"""Rules whose physics allow one side only."""

_UNIT_WORDS = {
    "": "",
    "percent": "%",
    "degF": "°F",
    "degC": "°C",
    "foot": "ft",
    "inch": "in",
    "1/hour": "an hour",
    "1/minute": "a minute",
    "1/second": "a second",
    "1/day": "a day",
    "gallon/minute": "gallons a minute",
    "foot**3/minute": "cubic feet a minute",
    "metre**3/hour": "cubic metres an hour",
    "foot/minute": "feet a minute",
    "foot/second": "feet a second",
    "inch_Hg": "inches of mercury",
    "inch_H2O": "inches of water",
    "foot_H2O": "feet of water",
    "kilovolt*ampere": "kVA",
    "foot**3/hour": "cubic feet an hour",
    "kBtu/hour": "thousand Btu an hour",
    "megaBtu/hour": "million Btu an hour",
    "foot*pound_force": "foot pounds",
    "newton*metre": "newton metres",
    "ton_of_refrigeration": "tons of refrigeration",
    "Btu/hour": "Btu an hour",
    "foot**3": "cubic feet",
    "metre**3": "cubic metres",
    "inch**3": "cubic inches",
    "foot**2": "square feet",
    "metre**2": "square metres",
}
POWER = re.compile(r"([a-z]+)\*\*([23])")
_UNCHANGED = frozenset(
    "psi bar hertz rpm horsepower kelvin pascal kPa MPa mm cm kg kW kVA dB percent mbar degF degC".split()
)


def number(value: float) -> str:
    """A figure in digits for people: 2,154; 7.5; 0.55. Four significant figures at least, never an exponent."""
    if value == int(value) and abs(value) < 1e15:
        return f"{int(value):,}"
    if abs(value) >= 100:
        return f"{round(value):,}"
    text = f"{value:.2f}" if abs(value) >= 0.1 else f"{value:.4f}"
    return text.rstrip("0").rstrip(".")


def figure(value: float, unit: str, value_max: float | None = None) -> str:
    """A figure with its unit as people write it: "2,154 gallons", "68 to 72 °F", "12 ft", "250 gallons a minute"."""
    text = number(value) if value_max is None else f"{number(value)} to {number(value_max)}"
    if unit in _UNIT_WORDS:
        name = _UNIT_WORDS[unit] if value_max is not None or value != 1 else _one(_UNIT_WORDS[unit])
    else:
        base = POWER.sub(lambda m: f"{'square' if m[2] == '2' else 'cubic'} {m[1]}", unit)  # cubic metres a minute
        base = base.replace("*", " ").replace("_", " ")
        top, _, below = base.partition("/")
        if (value_max is not None or value != 1) and top not in _UNCHANGED and not top.endswith("z") and top:
            top = top if top.isupper() else plural(top)
        article = "an" if below[:1] in "aeiou" or below.startswith("hour") else "a"
        name = f"{top} {article} {below}".strip() if below else top
    return f"{text}{'' if name == '%' or not name else ' '}{name}"


def _one(name: str) -> str:
    """The unit's name behind a single one: "cubic metre", "gallon a minute", "ton of refrigeration"."""
    return re.sub(r"\b(?:metres|inches|feet|gallons|tons|pounds)\b", lambda m: singular(m[0]), name)


def amount(prop: str, value: float, unit: str, value_max: float | None = None) -> str:
    """A figure of a property; a year has no thousands."""
    return f"{value:.0f}" if prop == "year" else figure(value, unit, value_max)


def said(q: Quantity) -> str:
    """A figure as it was said, with its wording and what it was read from: "about 400 gallons", "plate 12 amperes"."""
    text = amount(q.property, q.value, q.unit, q.value_max)
    if q.approximate:
        text = f"about {text}"
    elif q.status == "hedged":
        text = f"perhaps {text}"
    return text if q.basis in (None, "told") else f"{q.basis} {text}"  # all of a walk is told


def name_of(q: Quantity) -> str:
    """What a figure is of, for a sentence: "tank", "machine" where the subject is empty; long ones are cut."""
    return clean(q.subject) or "machine"


def heard(q: Quantity) -> str:
    """The words a figure stands on, with subject and qualifier, lower case: to look for a cue word in."""
    return " ".join([*(e.words.lower() for e in q.evidence), q.subject.lower(), (q.qualifier or "").lower()])


def clean(text: str, longest: int = 60) -> str:
    """Words of the speaker fit for a message: one line, no control characters, cut where absurdly long."""
    flat = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return flat if len(flat) <= longest else flat[: longest - 1].rstrip() + "…"


def fact_id(fact: Basis) -> str:
    """The id of a figure or component; a sequence goes by its name."""
    return f"sequence:{clean(fact.name)}" if isinstance(fact, Sequence) else fact.id


def _content(fact: Basis) -> str:
    if isinstance(fact, Quantity):
        subject = " ".join(words(fact.subject))
        return f"q|{subject}|{fact.property}|{fact.value:.6g}|{fact.value_max}|{fact.unit}|{fact.of}"
    if isinstance(fact, Component):
        return f"c|{' '.join(words(fact.name))}|{fact.count}"
    return f"s|{' '.join(words(fact.name))}|{fact.stated_count}|{','.join(str(s.number) for s in fact.stations)}"


def stable_id(rule: str, basis: Iterable[Basis], key: str = "") -> str:
    """Twelve hex digits from the rule and what the facts say, whatever their order or place in a list."""
    parts = sorted({_content(f) for f in basis})
    return hashlib.sha256("\0".join((rule, key, *parts)).encode()).hexdigest()[:12]


def finding(
    rule: str,
    level: Level,
    message: str,
    basis: Iterable[Basis] = (),
    *,
    offers: Iterable[Offer] = (),
    where: str | None = None,
    key: str = "",
) -> Finding:
    """A finding with a stable id and the evidence of its facts; key tells apart findings that rest on no facts."""
    used = tuple(basis)
    evidence: list[Evidence] = []
    for f in used:
        for e in f.evidence[:2]:
            if e not in evidence:
                evidence.append(e)
    ids = tuple(dict.fromkeys(fact_id(f) for f in used))
    return Finding(stable_id(rule, used, key), rule, level, message, ids, tuple(offers), tuple(evidence), where)


def compared(rule: str, basis: Iterable[Basis], outcome: Outcome, note: str = "") -> Checked:
    """What a rule looked at; the note says how near, or for want of which fact it could not compare."""
    used = tuple(basis)
    ids = tuple(dict.fromkeys(fact_id(f) for f in used))
    told = WITHIN if outcome == "agreed" and rule in ONE_SIDED else outcome
    text = f"{told}: {note}" if note else told
    if outcome == "agreed" and "fitness not examined" in note:
        text = text.replace("fitness not examined", _UNEXAMINED) if _UNEXAMINED not in note else text
    elif outcome == "agreed" and any(_bears_on_fitness(f) for f in used):
        text += f"; {_UNEXAMINED}"
    return Checked(rule, ids, text)


def _bears_on_fitness(fact: Basis) -> bool:
    """Whether a fact is of pressure, lifting, electrical protection or guarding: agreeing figures prove nothing."""
    if isinstance(fact, Sequence):
        return False
    if isinstance(fact, Quantity) and fact.property == "pressure":
        return True
    own = words(fact.subject if isinstance(fact, Quantity) else fact.name)
    return not frozenset(own).isdisjoint(_FITNESS)


def count_as_quantity(component: Component) -> Quantity | None:
    """A component's count as a figure, so that it can be re-read like any other; None where it has no count."""
    if component.count is None:
        return None
    return Quantity(
        component.id,
        component.name,
        "count",
        float(component.count),
        "",
        approximate=component.approximate,
        status=component.status,
        doubt=component.doubt,
        basis=component.basis,
        evidence=component.evidence,
    )


def told_count(noun: str, count: int, evidence: tuple[Evidence, ...]) -> Quantity:
    """A count that no component carries as a figure: what is counted is no thing of its own in the list."""
    return Quantity(f"count:{clean(noun)}", noun, "count", float(count), "", evidence=evidence)


LATER = 1e6
"""Seconds by which a later visit is set behind the first; no recording is that long."""


def moment(fact: Basis) -> float:
    """Second at which a fact was first said, as of `began`."""
    return began(fact.evidence)


def began(evidence: tuple[Evidence, ...]) -> float:
    """Second at which evidence begins; 0 where there is none. What a later visit or a paper says lies far behind the
    first recording, so that seconds of two recordings are never taken for one breath."""
    if not evidence:
        return 0.0
    return evidence[0].start + (LATER if evidence[0].recording else 0.0)


def pairs(items: tuple[Quantity, ...]) -> Iterator[tuple[Quantity, Quantity]]:
    """Every two of them, once."""
    for i, a in enumerate(items):
        for b in items[i + 1 :]:
            yield a, b
