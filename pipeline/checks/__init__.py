"""Rules by subject, each a pure function over a walk; the lists here are the order they run in.

A rule is a function of walk, vocabulary and today's date that yields findings and what it compared; its name is its id,
its docstring gives arithmetic, tolerance and source. Rules of LATER read what the others found.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from datetime import date

from pipeline.checks import (
    age,
    amounts,
    bounds,
    carried,
    cautions,
    counting,
    doubt,
    ducts,
    electrical,
    feed,
    fit,
    fluid,
    gaps,
    geometry,
    goes_in,
    guises,
    heat,
    lines,
    making,
    mechanical,
    motors,
    multiplied,
    output,
    paces,
    passing,
    plate_power,
    ranges,
    ratings,
    reached,
    related,
    several,
    shifts,
    since,
    sizes,
    stacked,
    steam,
    sums,
    supplies,
    throughput,
    totals,
    transport,
    travel,
    tubes,
    twice,
    weights,
    wholes,
    work,
    worked,
    years,
)
from pipeline.walk import Checked, Finding, Walk
from vocab import Vocabulary

Rule = Callable[[Walk, Vocabulary, date], Iterator[Finding | Checked]]
"""A rule's name is its id."""

RULES: tuple[Rule, ...] = (
    *counting.RULES,
    *twice.RULES,
    *geometry.RULES,
    *fit.RULES,
    *passing.RULES,
    *carried.RULES,
    *work.RULES,
    *output.RULES,
    *throughput.RULES,
    *feed.RULES,
    *sums.RULES,
    *travel.RULES,
    *age.RULES,
    *ranges.RULES,
    *ratings.RULES,
    *electrical.RULES,
    *motors.RULES,
    *plate_power.RULES,
    *heat.RULES,
    *steam.RULES,
    *fluid.RULES,
    *tubes.RULES,
    *mechanical.RULES,
    *weights.RULES,
    *stacked.RULES,
    *transport.RULES,
    *cautions.RULES,
)
"""Rules over facts alone."""
WIDE: tuple[Rule, ...] = (
    *making.RULES,
    *several.RULES,
    *worked.RULES,
    *bounds.RULES,
    *ducts.RULES,
    *reached.RULES,
    *shifts.RULES,
    *supplies.RULES,
    *amounts.RULES,
    *years.RULES,
    *sizes.RULES,
    *guises.RULES,
    *lines.RULES,
    *related.RULES,
    *totals.RULES,
    *multiplied.RULES,
    *wholes.RULES,
    *paces.RULES,
    *since.RULES,
    *goes_in.RULES,
)
"""Rules that look for their figures further and leave alone what the others compared."""
TWINS = {"contents_and_room": "silo_and_load", "amount_in_a_time": "output_of_a_shift"}
"""Rules that may ask about one matter, and the one that then speaks."""
LATER: tuple[Rule, ...] = (*doubt.RULES, *gaps.RULES)
"""Rules that also read what the others compared, or what is left to ask."""


def check(walk: Walk, vocabulary: Vocabulary, today: date) -> Walk:
    """The walk with its findings and with what was compared; a rule that throws is reported and stops no other.

    Findings the walk already had are replaced. Two findings of the same rule on the same facts are one, and so are
    those of TWINS; a rule of WIDE is silent where another asked about its figures.
    """
    bare = replace(walk, findings=(), checked=())
    findings: dict[str, Finding] = {}
    checked: list[Checked] = []
    _run(RULES, bare, vocabulary, today, findings, checked)
    for found in [f for f in findings.values() if f.rule in TWINS]:
        if any(f.rule == TWINS[found.rule] and {*f.facts} == {*found.facts} for f in findings.values()):
            del findings[found.id]
    further: dict[str, Finding] = {}
    _run(WIDE, replace(bare, checked=tuple(checked)), vocabulary, today, further, checked)
    for found in further.values():
        if not any(_one_matter(found, f) for f in findings.values()):
            findings[found.id] = found
    so_far = replace(walk, findings=tuple(findings.values()), checked=tuple(checked))
    _run(LATER, so_far, vocabulary, today, findings, checked)
    return replace(walk, findings=tuple(findings.values()), checked=tuple(checked))


def _one_matter(a: Finding, b: Finding) -> bool:
    """Whether two findings ask about the same figures: two of them, or the only one."""
    shared = {*a.facts} & {*b.facts}
    return b.level in ("conflict", "check") and len(shared) >= min(2, len(a.facts), len(b.facts)) > 0


def _run(
    rules: Iterable[Rule],
    walk: Walk,
    vocabulary: Vocabulary,
    today: date,
    findings: dict[str, Finding],
    checked: list[Checked],
) -> None:
    for rule in rules:
        try:
            for result in rule(walk, vocabulary, today):
                if isinstance(result, Finding):
                    findings.setdefault(result.id, result)
                else:
                    checked.append(result)
        except Exception as error:  # a fault in one rule must not hide what the others find
            checked.append(Checked(rule.__name__, (), f"failed: {type(error).__name__}: {error}"))
