"""Ratings: what a thing was said to be built for, against what it was said to do. Fitness is not examined."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from pipeline.checks.facts import Facts, facts, is_whole, limit, slack
from pipeline.checks.nearby import ANY_THING, SENTENCE, lead, most, with_unit
from pipeline.checks.offers import verdict
from pipeline.checks.subjects import mentions, words
from pipeline.checks.wording import clean, compared, heard, moment, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_RATING = frozenset("maximum max rated design allowable mawp limit limited".split())
_RELIEF = frozenset("relief safety rupture bursting burst pop popping prv psv".split())
_NOT_IN_USE = _RELIEF | frozenset(
    "test tested hydro hydrotest proof peak minimum min differential drop supply incoming set setting alarm trip "
    "stall start starting backup standby".split()
)
_WORDS_OF_A_FIGURE = ANY_THING | _RATING | frozenset("working operating normal usual running range set service".split())
_FURTHER = 3 * SENTENCE


def relief_above_design(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A safety valve set above the pressure that its vessel was designed for.

    Arithmetic: set pressure ≤ design pressure. Tolerance: limits.toml, relief over design (5 %, as a second valve may
    be set there), and the wording's. Only one design pressure within a minute. Source: ASME BPVC VIII-1 UG-134, as
    quoted in public (further devices up to 105 %). Figures only: only the tags and the certificate settle it.
    """
    rule = "relief_above_design"
    index = facts(walk)
    pressures = with_unit(index.of("pressure"), "pascal")
    over = 1 + float(limit(vocabulary, "relief over design")["high"])
    designs = [p for p in pressures if _rating(p) and not _of_relief(index, p)]
    for valve in (p for p in pressures if _of_relief(index, p)):
        near = [p for p in designs if abs(moment(p) - moment(valve)) <= _FURTHER]
        near = sorted(near, key=lambda p: abs(moment(p) - moment(valve)))
        if not near:
            yield compared(rule, [valve], "could not be compared", "for want of the vessel's design pressure")
            continue

        def holds(valve: Quantity, design: Quantity) -> bool:
            return most(valve, "pascal") <= most(design, "pascal") * over * (1 + slack(valve, design))

        message = (
            f"A safety valve set at {said(valve)} is above the {said(near[0])} that the vessel was designed for: read "
            "the valve's tag and the vessel's plate again; only they or a certificate settle it."
        )
        yield from verdict(rule, [valve, near[0]], holds, message, level="check", note="fitness not examined")


def use_above_rating(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A pressure, temperature, load or speed in use above the greatest that the same thing was rated for.

    Arithmetic: figure in use ≤ rating. Tolerance 2 % plus wording. Only where both are of one thing by name (or by what
    was named right before), and the rating was said as such (rated, design, maximum). Asked, never asserted: plates
    name several limits. Source: meaning of a rating; common practice, no source.
    """
    rule = "use_above_rating"
    index = facts(walk)
    for prop, unit in (
        ("pressure", "pascal"),
        ("temperature", "kelvin"),
        ("weight", "kilogram"),
        ("speed", "metre/minute"),
        ("speed", "rpm"),
    ):
        figures = with_unit(index.of(prop), unit)
        for rating in (q for q in figures if _rating(q) and not _of_relief(index, q)):
            whose = _whose(index, rating)
            for use in figures:
                if use is rating or _rating(use) or _NOT_IN_USE & {*heard(use).split(), *words(use.subject)}:
                    continue
                own = _whose(index, use)
                if not (_one(own, whose) or _one_noun(use, rating)) or (prop == "weight" and not _load(use)):
                    continue

                def holds(use: Quantity, rating: Quantity, unit: str = unit) -> bool:
                    return most(use, unit) <= most(rating, unit) * 1.02 * (1 + slack(use, rating))

                message = (
                    f"{clean(use.subject) or 'machine'} {prop}: {said(use)} in use is above the {said(rating)} it was "
                    "rated for: read the plate again; only the plate or a document settles it."
                )
                yield from verdict(rule, [use, rating], holds, message, level="check", note="fitness not examined")


def _rating(q: Quantity) -> bool:
    return bool(_RATING & {*words(f"{q.subject} {q.qualifier or ''}")})


def _of_relief(index: Facts, q: Quantity) -> bool:
    """Whether a pressure is that of a safety valve: by its words, or "set pressure" right behind one."""
    own = {*words(f"{q.subject} {q.qualifier or ''}"), *heard(q).split()}
    if _RELIEF & own:
        return True
    valves = [c for c in index.components if mentions(c.name, *_RELIEF)]
    return "set" in own and any(0 <= moment(q) - moment(c) <= SENTENCE for c in valves)


def _whose(index: Facts, q: Quantity) -> tuple[str, ...]:
    """The words that name what a figure is of; where it has none of its own, of the thing named right before it."""
    own = tuple(w for w in words(q.subject) if w not in _WORDS_OF_A_FIGURE)
    if own and not is_whole(index.walk, q.subject):
        return own
    before = [c for c in index.components if 0 <= moment(q) - moment(c) <= 6]
    last = max(before, key=moment, default=None)
    return tuple(w for w in words(last.name) if w not in _WORDS_OF_A_FIGURE) if last is not None else own


def _one(a: tuple[str, ...], b: tuple[str, ...]) -> bool:
    """Whether two names are of one thing: the words of one are among those of the other, and both end alike ("quench"
    and "internal gas quench", but not "quench gas")."""
    return bool(a and b) and a[-1] == b[-1] and (set(a) <= set(b) or set(b) <= set(a))


_LITTLE = frozenset(
    "a an the at of for to is was are it its it's in on and with about up by from no than over that's runs set says"
    " reads calls goes only just bar psi".split()
)


def _one_noun(use: Quantity, rating: Quantity) -> bool:
    """ "A quench rated at two bar", "calls for a quench at six": whether the noun right before both figures is one,
    whatever they were filed under."""
    a, b = _noun_before(use), _noun_before(rating)
    return bool(a) and a == b


def _noun_before(q: Quantity) -> str:
    told = [w for w in lead(q)[-5:] if w not in _LITTLE and w not in _WORDS_OF_A_FIGURE]
    return (words(told[-1]) or ("",))[-1] if told and told[-1].isalpha() else ""


def _load(q: Quantity) -> bool:
    """Whether a weight is one that a thing carries: nobody compares its own weight with its rating."""
    return mentions(q.subject, "load", "charge", "payload", "lift")


RULES = (relief_above_design, use_above_rating)
