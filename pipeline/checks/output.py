"""Output: how long one piece or batch takes, how many stand in a machine at once, and how many come out of it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from extractors.phrases import plural
from pipeline.checks.facts import Facts, apart, facts, one_of, one_per_hour, per_hour, size, slack
from pipeline.checks.nearby import SENTENCE, parted, seconds_between, told_in
from pipeline.checks.offers import verdict
from pipeline.checks.subjects import alike, head, singular, words
from pipeline.checks.travel import NOT_DWELL
from pipeline.checks.wording import clean, compared, count_as_quantity, figure, heard, moment, number, said, told_count
from pipeline.checks.work import STROKES, TALK, working_rates
from pipeline.walk import Checked, Component, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

BATCHES = frozenset("batch load cycle charge heat run drop brew cook press lift shot pour firing mix melt wash".split())
"""What is worked on as a whole, so that the time of one tells how many an hour; common practice, no source."""
STAYS = re.compile(
    r"\b(through|inside|in (?:the|it|there|that)|bak\w*|cur(?:e|es|ing)|soak\w*|dwell\w*|stays?|sits?|cool\w*"
    r"|dry|dries|to (?:change|clean|set|load|swap|start)|changeover|apart|late|ago|warranty|walk)\b"
)
"""Words of a time in which others are worked on as well, or that is of no work."""
AT_ONCE = 12.0
"""Seconds between how many stand in a machine and how long; common practice, no source."""


def piece_time_and_rate(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Six minutes a sheet", "a batch takes forty minutes", against so many sheets or batches an hour.

    Arithmetic: rate = 3600 s / time of one. Tolerance 5 % plus wording. Only a time said of each piece, or of a batch,
    and a rate of the same name within a minute; not a time in which others are worked on too (in the oven, cooling).
    Always a question: two may be worked on at once. Source: plain arithmetic.
    """
    rule = "piece_time_and_rate"
    index = facts(walk)
    rates = working_rates(index)
    for t in index.of("duration"):
        piece = t.of or t.subject
        if not size(t, "second") or t.value_max is not None or not (t.each or head(piece) in BATCHES):
            continue
        text = f"{heard(t)} {t.around or ''}"
        matching = [r for r in rates if alike(r.of or "", piece) and abs(moment(r) - moment(t)) <= TALK]
        if not matching or STAYS.search(_up_to(t)) or NOT_DWELL.search(heard(t)):
            continue
        if any(_in_time(t, r) for r in matching) or any(_in_time(c, r) for c in index.of("cycle") for r in matching):
            yield compared(rule, [t, matching[0]], "agreed")
            continue
        r = min(matching, key=lambda r: abs(moment(r) - moment(t)))
        made = (per_hour(t) or 0.0) / one_per_hour(r.unit)
        one = "" if re.search(r"\b(?:one|single)\b.{0,20}\bat a time\b", text) else " Are several worked on at once?"
        message = (
            f"One {singular(clean(piece))} in {said(t)} is {figure(made, r.unit)}, {said(r)} was stated: time a few, "
            f"or ask which holds.{one}"
        )
        yield from verdict(rule, [t, r], _in_time, message, level="check")


def _in_time(t: Quantity, r: Quantity) -> bool:
    return apart(per_hour(t) or 0.0, per_hour(r) or 0.0) <= 0.05 + slack(t, r)


def _up_to(q: Quantity) -> str:
    """The clause of a figure: its sentence as far as the figure and three words behind it."""
    before, behind = parted(q)
    own = q.evidence[0].words.lower() if q.evidence else ""
    return f"{before} {own} {' '.join(behind.split()[:3])}"


def strokes_make_whole_pieces(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Four strokes a minute, one part to a stroke", and "four hundred parts an hour".

    Arithmetic: pieces = strokes × a whole number; × 1 where one a stroke was said. Tolerance 5 % plus wording. Only
    where no count says how many come of a stroke (`shots_and_pieces` compares these), within half a minute; fewer
    pieces than strokes are idle strokes and no finding, unless one a stroke was said. Always a question. Source: plain
    arithmetic.
    """
    rule = "strokes_make_whole_pieces"
    index = facts(walk)
    rates = working_rates(index)
    for r in (q for q in rates if head(q.of or "") in STROKES):
        several = [q for q in index.of("count") if q.value >= 2 and q.of and abs(moment(q) - moment(r)) <= TALK / 2]
        for pieces in rates:
            if head(pieces.of or "") in STROKES or abs(moment(pieces) - moment(r)) > TALK / 2 or several:
                continue
            ratio = (per_hour(pieces) or 0.0) / (per_hour(r) or 1.0)
            single = bool(_ONE_EACH.search(f"{r.around or ''} {pieces.around or ''}".lower()))
            if not (0.2 if single else 0.95) <= ratio <= 6:
                continue
            made = (per_hour(r) or 0.0) / one_per_hour(pieces.unit)
            name = clean(pieces.of or "piece")
            message = (
                f"{said(r)} are {figure(made, pieces.unit)}, {said(pieces)} of {name} was stated: how many "
                f"{plural(name)} come of one {clean(r.of or 'stroke')}? Count a few, or ask which of the two holds."
            )

            def holds(r: Quantity, pieces: Quantity, single: bool = single) -> bool:
                k = (per_hour(pieces) or 0.0) / (per_hour(r) or 1.0)
                whole = 1 if single else max(1, round(k))
                return abs(k / whole - 1) <= 0.05 + slack(r, pieces)

            yield from verdict(rule, [r, pieces], holds, message, level="check")


_ONE_EACH = re.compile(
    r"\bone(?: [a-z]+){1,2} (?:to|per|a|an|each|every|for|from)(?: (?:a|an|the|each|every))? (?:"
    + "|".join(sorted(STROKES))
    + r")\b"
)
"""Words that one piece comes of a stroke."""


def loads_and_stay(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Four racks in the oven at a time, one going in every six minutes, and they get fifteen minutes in there".

    Source: Little's law (Operations Research 9(3):383-387, 1961).
    Arithmetic: time in it = how many stand in it × interval. Tolerance: one interval (loading may count or not), 3 %
    and wording. Only a count of the load told within 12 s of the time, and one interval of loads of that name within a
    minute. Always a question. A time of more than three times the product is of something else.
    """
    rule = "loads_and_stay"
    index = facts(walk)
    for t in index.of("dwell", "duration"):
        if not size(t, "second") or t.value_max is not None:
            continue
        found = _standing(index, t)
        if found is None:
            continue
        n, step, basis = found
        seconds = n.value * 3600 / (per_hour(step) or 1.0)
        if not 1 / 3 <= (size(t, "second") or 0.0) / seconds <= 3:
            continue
        made = seconds / one_of(t.unit, "second")
        message = (
            f"{number(n.value)} {clean(n.subject, 40)} at {said(step)} are {figure(made, t.unit)}, {said(t)} in "
            "it was stated: time one of them, or count how many stand in it."
        )

        def holds(n: Quantity, step: Quantity, t: Quantity) -> bool:
            one, stay = 3600 / (per_hour(step) or 1.0), size(t, "second") or 0.0
            return abs(n.value * one - stay) <= one * 1.001 + (0.03 + slack(step, t)) * stay

        yield from verdict(rule, [n, step, t], holds, message, level="check", basis=[basis, step, t])


def amount_in_a_time(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The screw does forty tons an hour; filling a two hundred ton barge through that screw takes two hours".

    Arithmetic: rate × time = amount. Tolerance 15 % plus wording. Only a weight and a time of one sentence that says
    what takes so long, and one rate of a thing named in it, within a minute. Asked, never asserted. Source: plain
    arithmetic.
    """
    rule = "amount_in_a_time"
    index = facts(walk)
    for t in index.of("duration"):
        text = (t.around or "").lower()
        if not size(t, "hour") or t.value_max is not None or not _TAKES_SO_LONG.search(text):
            continue
        amounts = [w for w in index.of("weight") if told_in(w, text)]
        rates = [
            r
            for r in index.of("rate", "flow")
            if size(r, "kilogram/hour") and abs(moment(r) - moment(t)) <= TALK and head(r.subject) in words(text)
        ]
        if len(amounts) != 1 or len({(r.value, r.unit) for r in rates}) != 1 or abs(moment(amounts[0]) - moment(t)) > 8:
            continue
        r, w = rates[0], amounts[0]
        hours = (size(w, "kilogram") or 0.0) / (size(r, "kilogram/hour") or 1.0)
        if not 0.1 <= (size(t, "hour") or 0.0) / (hours or 1.0) <= 10:
            continue
        shown = hours * t.value / (size(t, "hour") or 1.0)
        message = (
            f"{said(w)} at {said(r)} take {figure(shown, t.unit)}, {said(t)} was stated: ask which of the three holds."
        )

        def holds(w: Quantity, r: Quantity, t: Quantity) -> bool:
            made = (size(r, "kilogram/hour") or 0.0) * (size(t, "hour") or 0.0)
            return apart(made, size(w, "kilogram") or 0.0) <= 0.15 + slack(w, r, t)

        yield from verdict(rule, [w, r, t], holds, message, level="check")


_TAKES_SO_LONG = re.compile(r"\b(?:tak(?:e|es|ing)|took|in|fill\w*|load\w*|unload\w*|empt\w*|needs?|requires?)\b")


def _standing(index: Facts, t: Quantity) -> tuple[Quantity, Quantity, Quantity | Component] | None:
    """How many loads stand in a machine, at what interval they come, and the fact that counts them, for a time: by the
    load's name, or told as standing there at one time beside it."""
    steps = [c for c in index.of("cycle", "rate") if per_hour(c) and seconds_between(c, t) <= TALK]
    counted: list[tuple[Quantity, Quantity | Component]] = []
    for c in index.components:
        near = (c.count or 0) > 1 and seconds_between(c, t) <= AT_ONCE and head(c.name) == head(t.subject)
        if near and (q := count_as_quantity(c)) is not None:
            counted.append((q, c))
    named = [s for s in steps if head(t.subject) in words(s.of or s.subject)]
    if not counted:
        for a in index.walk.at_once:
            q = told_count(a.noun, a.count, a.evidence)
            if t.property == "dwell" and seconds_between(q, t) <= SENTENCE:
                counted.append((q, q))
        named = [s for s in steps if counted and head(counted[0][0].subject) in words(s.of or s.subject)]
    if not named and len(counted) == 1:  # "forty moulds an hour", told once and long before
        rates = [c for c in index.of("cycle", "rate") if c.of and per_hour(c) and "day" not in c.unit]
        named = [s for s in rates if head(counted[0][0].subject) == head(s.of or "")]
    if len(counted) != 1 or len({round(per_hour(s) or 0.0, 3) for s in named}) != 1:
        return None
    return counted[0][0], min(named, key=lambda s: (s.property != "cycle", seconds_between(s, t))), counted[0][1]


RULES = (piece_time_and_rate, strokes_make_whole_pieces, loads_and_stay, amount_in_a_time)
