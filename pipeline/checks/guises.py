"""One thing in two guises: a motor in horsepower and in kilowatts, zones counted and numbered."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from extractors.phrases import plural, singular
from pipeline.checks.facts import facts, limit, one_of, size, slack
from pipeline.checks.offers import verdict
from pipeline.checks.subjects import head
from pipeline.checks.told import beside, counted, pool, settled
from pipeline.checks.wording import clean, figure, moment, said, told_count
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_AGAIN = re.compile(
    r"\b(?:that|the same|this|its own|on the) (?:main |drive |very )?(?:motor|plate|tag|drive|one)\b|\bplate on "
    r"(?:it|the motor|that)\b"
    r"|\b(?:motor|plate|tag|nameplate)(?: itself)? (?:says?|reads?|shows?|gives?|has|is stamped|is marked)\b"
)
_NOT_A_DRIVE = re.compile(
    r"\b(?:heat\w*|burners?|elements?|btu|boiler|cooling|refrigerat\w*|generator|kva|connected|total|in all|"
    r"altogether)\b"
)


def power_in_two_units(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Pin mixer, on a forty horse motor, and the plate on that motor says 55 kilowatts".

    Arithmetic: horsepower × 0.7457 = kilowatts. Tolerance: limits.toml, power in two units, plus wording. Only a
    power in horsepower and one in kilowatts told one right behind the other within twelve seconds, the second by the
    plate or "that motor", no count or other thing between them; of heaters, boilers and generators none. Always a
    question. Source: one mechanical horsepower is 0.7457 kW (NIST SP 811).
    """
    rule = "power_in_two_units"
    index = facts(walk)
    row = limit(vocabulary, "power in two units")
    powers = [q for q in pool(index, "watt", None, _NOT_A_DRIVE, ("power",)) if "hour" not in q.unit]
    horse = [q for q in powers if q.unit in ("horsepower", "metric_horsepower")]
    for a in horse:
        behind = [q for q in powers if "watt" in q.unit and 0 < abs(moment(q) - moment(a)) <= 12]
        for b in behind:
            first, second = sorted((a, b), key=moment)
            between = [q for q in powers if moment(first) < moment(q) < moment(second)]
            if between or not _AGAIN.search(beside(index, second)[0]) or settled(walk, a, b):
                continue
            ratio = (size(b, "watt") or 0.0) / (size(a, "watt") or 1.0)
            if not 0.1 <= ratio <= 10 or first.each != second.each:
                continue

            def holds(a: Quantity, b: Quantity) -> bool:
                ratio, loose = (size(b, "watt") or 0.0) / (size(a, "watt") or 1.0), slack(a, b)
                return bool(row["low"] - loose <= ratio <= row["high"] + loose)

            message = (
                f"{said(a)} is {figure(round((size(a, 'watt') or 0.0) / one_of(b.unit, 'watt'), 1), b.unit)}, "
                f"{said(b)} was "
                f"stated of the same motor ({clean(first.subject) or 'machine'}): read its plate again."
            )
            yield from verdict(rule, [a, b], holds, message, level="check")


_NUMBERED = frozenset(
    "zone deck chamber section head stage station compartment lane bay door cell spindle unit cylinder tier".split()
)
_NUMBER_WORD = re.compile(
    r"\b(zone|deck|chamber|section|head|stage|compartment|lane|bay|cell|spindle|tier)(?: number)?$"
)


def numbered_beyond_the_count(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "There's three zones in it", and then "zone four, the last, is the finishing zone".

    Arithmetic: the greatest number told ≤ the count. Tolerance none. Only one count of zones, decks, chambers, heads or
    their like in the walk, and a greater number told right behind that noun within two minutes after it. Always a
    question: some may be numbered from nought or left out. Source: plain counting.
    """
    rule = "numbered_beyond_the_count"
    index = facts(walk)
    counts: dict[str, dict[int, Quantity]] = {}
    for c in counted(index):
        if c.noun in _NUMBERED and 2 <= c.value <= 40:
            counts.setdefault(c.noun, {})[c.value] = told_count(c.noun, c.value, c.evidence)
    for thing in index.components:
        if thing.count and singular(head(thing.name)) in _NUMBERED:
            noun = singular(head(thing.name))
            counts.setdefault(noun, {})[thing.count] = told_count(noun, thing.count, thing.evidence)
    for noun, by in counts.items():
        named = [
            n
            for n in walk.loose
            if n.evidence and n.value == int(n.value) and n.value <= 60 and (m := _NUMBER_WORD.search(n.before.strip()))
            and m.group(1) == noun and not n.behind.startswith(("of ", plural(noun)))
        ]  # fmt: skip
        if len(by) != 1 or len(named) < 2:
            continue
        total = next(iter(by.values()))
        named = [n for n in named if -5 <= n.evidence[0].start - moment(total) <= 120]
        top = max(named, key=lambda n: n.value, default=None)
        if top is None or top.value > total.value + 3:
            continue
        if any(c.rule == "stations_stated_and_described" and c.outcome.startswith("failed") for c in walk.checked):
            continue
        last = told_count(f"{noun} number", int(top.value), top.evidence)
        message = (
            f"{total.value:.0f} {plural(noun)} were counted, and {noun} {top.value:.0f} was told of: count again, "
            f"and ask how "
            "they are numbered."
        )
        yield from verdict(rule, [total, last], lambda total, last: last.value <= total.value, message, level="check")


RULES = (power_in_two_units, numbered_beyond_the_count)
