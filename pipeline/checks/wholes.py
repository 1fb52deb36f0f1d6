"""A whole and its parts where the whole is told first, or the parts are the numbered sections of a walk.

`totals.parts_of_one_kind` needs a word of a total behind its parts. Here the parts are known by their place: the roles
of one sequence of zones, sections or steps, or what follows "of which", "in two pieces".
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date

from pipeline.checks.facts import Facts, facts, has_dimension, is_whole, one_of, size, slack
from pipeline.checks.nearby import one_sentence
from pipeline.checks.offers import verdict
from pipeline.checks.relations import magnitude
from pipeline.checks.subjects import NUMBERS, alike, singular
from pipeline.checks.told import as_figure, called, sentence, settled
from pipeline.checks.wording import clean, figure, moment, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from pipeline.walk import Sequence as Row
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_ALONG = frozenset("zone section module step stage compartment chamber field bay part phase".split())
"""Words of places one behind the other, whose lengths or times make those of the whole."""
_KINDS = (("metre", ("length",)), ("second", ("duration", "dwell", "cycle")))
_WHOLE = re.compile(
    r"\b(?:whole|total\w*|overall|altogether|all told|in all|end to end|start to finish|complete|program\w*|"
    r"door to door|(?:far )?end of the)\b"
)
_AROUND = 40.0
"""Seconds before the first and behind the last part in which the whole is told; common practice, no source."""
_APART = 0.07
"""Share by which sections may miss the whole where all of them were told: gaps and ends; common practice, no source."""


def parts_of_a_sequence(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The oven is 42 metres long; zone one is eight metres, zone two ten, three ten and four eight".

    Arithmetic: the lengths or times of numbered zones, sections or steps add up to no more than the whole; where each
    of them was told, to no less either. Tolerance 7 % plus wording. The whole is told of the line or with a word of a
    whole, or is the one length told right before the first. Always a question. Source: plain arithmetic.
    """
    index = facts(walk)
    for row in walk.sequences:
        if singular(row.station_word) not in _ALONG or len(row.stations) < 2:
            continue
        for unit, properties in _KINDS:
            if unit == "second" and singular(row.station_word) not in ("step", "phase"):
                continue  # a zone's time may be that of several in it
            told = [q for q in index.of(*properties) if has_dimension(q.unit, unit) and q.value_max is None]
            told += _without_unit(walk, row, told)
            parts = _parts(row, told)
            if len(parts) < 2 or len({q.unit for q in parts}) > 1:
                continue
            number = row.stated_count or len({s.number for s in row.stations})
            whole = _whole(index, told, parts, unit)
            if whole is not None:
                yield from _compare(walk, "parts_of_a_sequence", whole, parts, unit, len(parts) >= number)


def _parts(row: Row, told: Sequence[Quantity]) -> list[Quantity]:
    """The one figure of each station: told of its role, or in a sentence with its number."""
    found: dict[str, Quantity] = {}
    for station in row.stations:
        role = str(station.role)
        own = [q for q in told if role and (alike(q.subject, role) == "same" or _numbered(row, str(station.number), q))]
        own = [q for q in own if not q.each and q not in found.values()]
        if own and str(station.number) not in found:
            near = station.evidence[0].start if station.evidence else moment(own[0])
            found[str(station.number)] = min(own, key=lambda q: abs(moment(q) - near))
    return sorted(found.values(), key=moment)


def _numbered(row: Row, number: str, q: Quantity) -> bool:
    spoken = next((w for w, n in NUMBERS.items() if n == number), number)
    return bool(re.search(rf"\b{re.escape(singular(row.station_word))} (?:{number}|{spoken})\b", sentence(q)))


def _without_unit(walk: Walk, row: Row, told: Sequence[Quantity]) -> list[Quantity]:
    """ "Step three, slow rinse, thirty five": a number without a unit, told of a station as the one before was."""
    out = []
    roles = {str(s.role).lower(): str(s.role) for s in row.stations if s.role}
    for n in walk.loose:
        if not n.evidence:
            continue
        text = n.before.lower().rstrip(" ,")
        before = [q for q in told if 0 < n.evidence[0].start - moment(q) <= 15]
        role = next((r for r in roles if text.endswith(r)), None)
        if role is not None and before and not n.behind.strip(" .,"):
            last = max(before, key=moment)
            out.append(as_figure(n, last.property, last.unit, roles[role]))
        hour = _AN_HOUR.search(text)
        role = next((r for r in roles if hour is not None and f" {r}" in text[: hour.start()]), None)
        if hour is not None and role is not None and before and before[0].property in ("duration", "dwell", "cycle"):
            made = as_figure(n, "duration", "minute", roles[role])
            out.append(replace(made, value=30.0 if "half" in hour.group() else 60.0))
    return out


_AN_HOUR = re.compile(r"\b(?:half an|an) hour\b")
"""A time without a number, which no figure is."""


def _whole(index: Facts, told: Sequence[Quantity], parts: Sequence[Quantity], unit: str) -> Quantity | None:
    first, last = moment(parts[0]), moment(parts[-1])
    sizes = [magnitude(q, unit) for q in parts]
    pool = [q for q in told if q not in parts and max(sizes) < magnitude(q, unit) < 3 * sum(sizes) and not q.each]
    near = [q for q in pool if first - _AROUND <= moment(q) <= last + _AROUND]
    named = [q for q in near if _WHOLE.search(called(index, q)) or is_whole(index.walk, q.subject)]
    if unit == "metre" and not named:
        before = [q for q in near if moment(q) < first]
        named = before[-1:]
    return named[0] if len({q.value for q in named}) == 1 else None


def _compare(walk: Walk, rule: str, whole: Quantity, parts: Sequence[Quantity], unit: str, all_of: bool) -> Results:
    made = sum(magnitude(q, unit) for q in parts)
    ratio = made / (size(whole, unit) or 1.0)
    if settled(walk, whole, *parts) or not 0.4 <= ratio <= 2.5:
        return

    def holds(whole: Quantity, *parts: Quantity) -> bool:
        share = sum(magnitude(q, unit) for q in parts) / (size(whole, unit) or 1.0)
        loose = _APART + slack(whole, *parts)
        return share <= 1 + loose and (not all_of or share >= 1 - loose)

    listed = " and ".join(said(q) if not q.id.startswith("loose") else f"{q.value:g}" for q in parts)
    message = (
        f"{listed} are {figure(round(made / one_of(whole.unit, unit), 2), whole.unit)}, {said(whole)} was stated "
        f"({clean(whole.subject) or 'all of it'}): ask for the list, or measure again."
    )
    yield from verdict(rule, [whole, *parts], holds, message, level="check")


_OF_WHICH = re.compile(
    r"\b(?:of (?:which|that|this)|(?:in|into) (?:two|three|four|2|3|4) (?:pieces|parts|halves|sections|lifts|loads)|"
    r"made up of|consists? of|split as)\b"
)
_ADDS = (
    ("kilogram", ("weight",)),
    ("metre", ("length", "height")),
    ("kilowatt", ("power",)),
    ("litre", ("volume",)),
    ("second", ("duration", "dwell", "cycle")),
)
_THEN = 14.0
"""Seconds behind the whole in which its parts are told; common practice, no source."""


def whole_then_its_parts(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "All up it's 62,000 pounds. Ships in two pieces, the body at 38,000 and the charge box at 16,000".

    Arithmetic: the parts make the whole; told "of which" no more than it. Tolerance 7 % plus wording. Only figures of
    one property that follow the whole within 14 s, in a sentence with "of which" or "in two pieces". Always a question.
    Source: plain arithmetic.
    """
    index = facts(walk)
    for unit, properties in _ADDS:
        told = sorted((q for q in index.of(*properties) if has_dimension(q.unit, unit)), key=moment)
        told = [q for q in told if q.value_max is None]
        told = sorted([*told, *_of_a_list(walk, told)], key=moment)
        for whole in told:
            parts: list[Quantity] = []
            for q in told:
                last = parts[-1] if parts else whole
                if 0 < moment(q) - moment(last) <= _THEN and q.property == whole.property and not q.each:
                    parts.append(q)
            cued = [q for q in parts if _OF_WHICH.search(sentence(q))]
            parts = [q for q in parts if cued and (q in cued or one_sentence(q, cued[0]))]
            if (
                len(parts) < 2
                or one_sentence(whole, parts[0])
                or max(magnitude(q, unit) for q in parts) >= magnitude(whole, unit)
            ):
                continue
            said_as = _OF_WHICH.search(sentence(cued[0]))
            all_of = said_as is not None and not said_as.group().startswith("of ")
            yield from _compare(walk, "whole_then_its_parts", whole, parts, unit, all_of)


def _of_a_list(walk: Walk, told: Sequence[Quantity]) -> Iterator[Quantity]:
    """ "The motor is 3.2 tonnes, the basket 2.4": a number without a unit that goes on a list of figures."""
    for n in walk.loose:
        if not n.evidence or (n.behind.split()[:1] and not n.evidence[0].words.endswith((",", ".", ";"))):
            continue
        before = [
            q
            for q in told
            if 0 < n.evidence[0].start - moment(q) <= 6 and _OF_WHICH.search(n.before.lower() + " " + sentence(q))
        ]
        if before and not n.value.is_integer():
            last = max(before, key=moment)
            yield as_figure(n, last.property, last.unit, "part")


RULES = (parts_of_a_sequence, whole_then_its_parts)
