"""How fast one thing comes, told twice in other words: a minute and an hour, the time of one, a batch of so many.

The rules of work and output compare figures of one subject within a minute. Here the noun that is counted ties them
together, wherever they stand: cans a minute and cans an hour, a load every twenty minutes and loads an hour.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from extractors.phrases import plural
from pipeline.checks.facts import Facts, facts, one_per_hour, per_hour, size, slack
from pipeline.checks.multiplied import Each, each_of
from pipeline.checks.offers import verdict
from pipeline.checks.subjects import alike, head, singular, words
from pipeline.checks.told import as_figure, counted, found_wrong, sentence, settled
from pipeline.checks.wording import figure, moment, number, said, told_count
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_IN_ONE_HOUR = re.compile(r"\b(?:in|per|each|every) (?:an|one|the|each|every|a single) hour\b")
_MANY = re.compile(
    r"\b(?:lanes?|abreast|side by side|at a time|at once|two up|twin|double|pairs?|both|each (?:head|side|lane)|heads?|"
    r"a lane|average|on a good day|net|good|shift)\b"
)
"""Words with which a rate is of several, or no steady one."""
_MOST = 2.2
"""Times over which two rates are of two things; common practice, no source."""
_IDLE = 0.72
"""Share of the pace told by the minute that is usual by the hour, stops with it; common practice, no source."""
_HERE = 130.0
"""Seconds within which the time of one and so many an hour are told of one noun; common practice, no source."""


def _rates(index: Facts) -> list[Quantity]:
    """Plain rates of a noun, and "in one hour you get 2,400 fish", which no figure is."""
    told = [q for q in index.of("rate") if q.of and per_hour(q) and q.value_max is None and "day" not in q.unit]
    for c in counted(index):
        n = next((n for n in index.walk.loose if n.evidence == c.evidence), None)
        if n is not None and _IN_ONE_HOUR.search(f"{n.before.lower()} "):
            told.append(replace(as_figure(n, "rate", "1/hour"), of=c.noun, subject=c.noun))
    return told


def _noun(q: Quantity) -> str:
    return singular(head(q.of or q.subject))


def one_rate_in_two_units(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Three hundred cans a minute", and minutes later "the board has us down for twelve thousand cans an hour".

    Arithmetic: an hour is sixty minutes. Tolerance: up to 28 % fewer an hour are stops, 5 % more are rounding, plus
    wording. Only where one rate by the minute and one by the hour were told of a noun, neither of several lanes nor
    hedged; a rate of that noun that bears the other out keeps it quiet. Always a question. Source: plain arithmetic.
    """
    index = facts(walk)
    rates = _rates(index)
    for noun in sorted({_noun(q) for q in rates}):
        own = [q for q in rates if _noun(q) == noun]
        fast = [q for q in own if q.unit in ("1/minute", "1/second")]
        slow = [q for q in own if q.unit == "1/hour"]
        if len({q.value for q in fast}) != 1 or len({q.value for q in slow}) != 1 or not noun:
            continue
        a, b = fast[0], slow[-1]
        ratio = (per_hour(b) or 0.0) / (per_hour(a) or 1.0)
        if any(q.each or _MANY.search(sentence(q)) for q in (a, b)) or not 1 / _MOST <= ratio <= _MOST:
            continue
        if settled(walk, a, b):
            continue

        def holds(a: Quantity, b: Quantity) -> bool:
            share = (per_hour(b) or 0.0) / (per_hour(a) or 1.0)
            return _IDLE - slack(a, b) <= share <= 1.05 + slack(a, b)

        stated = said(b) if not b.id.startswith("loose") else f"{number(b.value)} an hour"
        message = (
            f"{said(a)} are {number(round(per_hour(a) or 0.0))} {plural(noun)} an hour, {stated} was stated: count a "
            "minute, and ask which of the two was measured."
        )
        yield from verdict("one_rate_in_two_units", [a, b], holds, message, level="check")


_ONE_TAKES = re.compile(
    r"\b(?:one|each|every|an?) ([a-z]+)(?:'s)? (?:is taking|takes|needs|goes (?:on|in|through|out)|comes)\b"
)


def time_and_rate_of_one_noun(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "One dip is taking ten minutes, and they are doing nine dips an hour"; "a load goes on every twenty minutes".

    Arithmetic: rate = 3600 s / time of one. Tolerance: a third fewer are stops, 6 % more are rounding, plus wording.
    Only one time told of one of a noun and one rate of that noun, within two minutes; several at a time keep it quiet,
    and so does any rate that the time bears out. Always a question. Source: plain arithmetic.
    """
    index = facts(walk)
    rates = _rates(index)
    times = [q for q in index.of("cycle", "duration") if size(q, "second") and q.value_max is None]
    for noun in sorted({_noun(q) for q in rates}):
        own = [q for q in rates if _noun(q) == noun and not q.each]
        of_one = [t for t in times if _is_of_one(t, noun)]
        if len({per_hour(q) for q in own}) != 1 or len({size(t, "second") for t in of_one}) != 1:
            continue
        t, r = of_one[0], own[-1]
        ratio = (per_hour(r) or 0.0) / (per_hour(t) or 1.0)
        if abs(moment(t) - moment(r)) > _HERE or not 1 / 4 <= ratio <= 4 or settled(walk, t, r):
            continue
        if any(_MANY.search(sentence(q)) for q in (t, r)):
            continue

        def holds(t: Quantity, r: Quantity) -> bool:
            share = (per_hour(r) or 0.0) / (per_hour(t) or 1.0)
            return 0.66 - slack(t, r) <= share <= 1.06 + slack(t, r)

        made = figure(round((per_hour(t) or 0.0) / one_per_hour(r.unit), 2), r.unit)
        message = (
            f"One {noun} in {said(t)} is {made}, {said(r)} was stated: time a few, or ask whether several are "
            "worked on at once."
        )
        yield from verdict("time_and_rate_of_one_noun", [t, r], holds, message, level="check")


def _is_of_one(t: Quantity, noun: str) -> bool:
    if t.property == "cycle":
        return bool(t.of) and noun in words(t.of or "")
    m = _ONE_TAKES.search(sentence(t))
    return m is not None and singular(m.group(1)) == noun and singular(head(t.subject)) == noun


_TOGETHER = re.compile(r"\b(?:pair|both|two|twins?)\b")
_BATCH_TIME = re.compile(
    r"\b(?:every|comes? round|door to door|cure|cook|batch|charge|load|cycle|round|bake|heat|retort|turn ?round)\b"
)
_NOT_BATCH = re.compile(
    r"\b(?:warm\w*|ago|change\w*|maintenance|clean\w*|start\w*|discharge|come-?up|cooling|hold\w*)\b"
)


def batches_make_the_rate(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Two chambers; each takes 22 tyres, the cure is three hours", and "thirty tyres an hour".

    Arithmetic: pieces an hour ≤ pieces in one × how many there are × 3600 s / time of one batch. Tolerance 10 % plus
    wording; fewer are no finding. Only a count of the noun that the rate counts, told of a batch, chamber or charge,
    the longest time of a batch within a minute of it, and the rate within two minutes; where any time or number of them
    allows the rate nothing is asked. Always a question. Source: plain arithmetic.
    """
    index = facts(walk)
    found = [each_of(c) for c in counted(index)]
    times = [q for q in index.of("cycle", "duration", "dwell") if size(q, "second") and q.value_max is None]
    times = [t for t in times if (size(t, "second") or 0.0) >= 60 and "hour" not in (t.of or "")]
    for r in _rates(index):
        noun = _noun(r)
        of_batch = [e for e in found if singular(head(e.held)) == noun and _in_a_batch(e)]
        of_batch = [e for e in of_batch if abs(e.count.at - moment(r)) <= _HERE]
        if r.each or not of_batch:
            continue
        e = max(of_batch, key=lambda e: e.value)
        near = [t for t in times if abs(moment(t) - e.count.at) <= 60 and _BATCH_TIME.search(sentence(t))]
        near = [t for t in near if not _NOT_BATCH.search(f"{t.subject} {t.qualifier or ''}")]
        if not near:
            continue
        all_of_it = [t for t in near if _ALL_OF_IT.search(sentence(t)) and (t.property == "cycle" or len(near) > 1)]
        t = max(all_of_it or near, key=lambda t: size(t, "second") or 0.0)
        many = {h.value for h in found if e.holder and h.held == e.holder and h.value <= 20}
        many |= {2} if _TOGETHER.search(sentence(r)) else set()
        if not many and (e.holder in _SEVERAL or not all_of_it):
            continue
        n = max(many, default=1)
        made = n * e.value * (per_hour(t) or 0.0)
        if (per_hour(r) or 0.0) > 5 * made or settled(walk, t, r) or found_wrong(walk, r):
            continue
        count = told_count(f"{noun} in one", e.value, e.count.evidence)

        def holds(k: Quantity, t: Quantity, r: Quantity, n: int = n) -> bool:
            return (per_hour(r) or 0.0) <= n * k.value * (per_hour(t) or 0.0) * (1.10 + slack(t, r))

        times_n = f"{n} times " if n > 1 else ""
        message = (
            f"{times_n}{number(e.value)} {plural(noun)} in {said(t)} are {number(round(made, 1))} an hour, {said(r)} "
            "was stated: time a batch, or ask how many run."
        )
        yield from verdict("batches_make_the_rate", [count, t, r], holds, message, level="check")


_ALL_OF_IT = re.compile(r"\b(?:every|comes? round|door to door|turn ?round|altogether|in all|all told)\b")
"""Words of the time from one batch to the next."""
_SEVERAL = frozenset("chamber retort oven kiln press autoclave vessel drum bowl".split())
"""Holders of which a plant may have more than were told."""


def _in_a_batch(e: Each) -> bool:
    return e.holder in _BATCHES or bool(re.search(r"\b(?:batch|charge|load)\b", e.count.near))


_BATCHES = frozenset(
    "batch charge load chamber retort oven kiln basket rack drum cage autoclave press bowl vessel".split()
)


def one_place_and_its_loads(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The passivation takes twenty minutes", in the one tank of that name, and "six loads an hour from the line".

    Arithmetic: loads an hour ≤ places of that role × 3600 s / time in it. Tolerance 10 % plus wording; fewer are no
    finding. Only a time filed under the role of a station of the walk, and one rate of loads, racks, bars or baskets;
    two in a place keep it quiet. Always a question. Source: Little's law (Operations Research 9(3):383-387, 1961).
    """
    index = facts(walk)
    rates = [r for r in _rates(index) if _noun(r) in _LOADS and not r.each]
    if len({per_hour(r) for r in rates}) != 1 or _TWO_IN_ONE.search(" ".join(sentence(r) for r in rates)):
        return
    r = rates[-1]
    for row in walk.sequences:
        for role in sorted({str(s.role) for s in row.stations if s.role}):
            places = len({s.number for s in row.stations if alike(str(s.role), role) == "same"})
            own = [q for q in index.of("duration", "dwell") if alike(q.subject, role) == "same" and size(q, "second")]
            own = [q for q in own if (size(q, "second") or 0.0) >= 30 and not _TWO_IN_ONE.search(sentence(q))]
            if len({size(q, "second") for q in own}) != 1 or own[0].value_max is not None or found_wrong(walk, r):
                continue

            def holds(t: Quantity, r: Quantity, places: int = places) -> bool:
                return (per_hour(r) or 0.0) <= places * (per_hour(t) or 0.0) * (1.10 + slack(t, r))

            t = own[0]
            if (per_hour(r) or 0.0) > 6 * places * (per_hour(t) or 0.0):
                continue
            made = round(places * (per_hour(t) or 0.0), 2)
            message = (
                f"{said(t)} in {'one place' if places == 1 else f'{places} places'} ({role}) let {number(made)} "
                f"through an hour, {said(r)} was stated: time one, or ask how many go in together."
            )
            yield from verdict("one_place_and_its_loads", [t, r], holds, message, level="check")


_LOADS = frozenset("load rack bar basket barrel carrier jig frame lift flightbar hanger cage".split())
_TWO_IN_ONE = re.compile(r"\b(?:two|three|both|several|pairs?|together|at once|at a time|side by side|positions?)\b")

RULES = (one_rate_in_two_units, time_and_rate_of_one_noun, batches_make_the_rate, one_place_and_its_loads)
