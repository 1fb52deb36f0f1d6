"""Since: hours run against the years, months or seasons that were told for them in words ("two years ago")."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from pipeline.checks.facts import facts, size, slack
from pipeline.checks.offers import verdict
from pipeline.checks.told import as_figure, sentence, settled
from pipeline.checks.wording import figure, moment, number, said
from pipeline.walk import Checked, Finding, Loose, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_YEAR = 8766.0
_SPAN = re.compile(
    r"^(?P<unit>years?|months?|winters?|summers?|seasons?|christmases|weeks?)[\s,]+"
    r"(?P<way>ago|back|since|old|of age|now)\b"
)
_HOURS = {"year": _YEAR, "month": _YEAR / 12, "week": 168.0}
_PUT_IN = re.compile(
    r"\b(?:put (?:\w+ ){0,3}in|installed|bought (?:\w+ ){0,2}new|new|delivered|commissioned|started(?: up)?|"
    r"built|made|erected|came (?:in )?new|went in)\b"
)
"""Words of a whole machine that began to run then."""
_DONE = re.compile(
    r"\b(?:chang\w+|replac\w+|fitted|renew\w*|rebuil\w+|overhaul\w*|rewound|rewind\w*|reset|exchang\w+|swap\w*|"
    r"relin\w+|zero\w*|new|put (?:\w+ ){0,3}(?:in|on)|installed|refurb\w*|bought|serviced)\b"
)
"""Words of work from which hours may be counted afresh."""
_SINCE = re.compile(r"\b(?:since|from then|after (?:that|this|it)|from that (?:day|time)|on (?:it|them) since|zero)\b")
_USED = re.compile(r"\b(?:used|second ?hand|moved|came from|auction|pre-?owned|rebuilt from)\b")
_NOT_IT = re.compile(
    r"\b(?:operator|foreman|man|men|lads?|boss|he|she|i|we|company|firm|building|roof|hall|paint|son|daughter|dog|guarantee|"
    r"warranty|next door|other (?:line|machine|one))\b"
)
_PART = re.compile(
    r"\b(?:bearings?|belts?|chains?|rolls?|rollers?|liners?|lining|seals?|pumps?|motors?|drives?|controls?|panels?|plc|"
    r"screens?|knives|blades?|batter\w+|hoses?|tyres?|tires?|filters?|fans?|burners?|screws?|barrels?|gearbox\w*|heads?|"
    r"spindles?|robots?|compressors?|pads?|doors?|tanks?|racks?|cables?|wires?|sprockets?|switch\w*|valves?)\b"
)
"""Parts whose age is not the machine's."""
_NEAR = 25.0
"""Seconds between a piece of work and the hours since; common practice, no source."""


def hours_in_the_years(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The bearings were changed two years ago, and since this change it has made 25,000 hours".

    Arithmetic: hours ≤ 8,766 a year of the time told. Tolerance: half of the unit that the time was told in (two years
    may be two and a half), a whole season, and wording. Work on a part counts only where the hours are told as since
    then; an age, or when the machine was put in, for any meter of the walk that is no part's. Always a question: the
    meter may have come from another machine. Source: the calendar, 365.25 days.
    """
    rule = "hours_in_the_years"
    index = facts(walk)
    hours = [q for q in index.of("hours", "duration") if q.value_max is None and (size(q, "hour") or 0.0) >= 1000]
    for h in hours:
        told = [(n, s) for n in walk.loose if (s := _span(n, h)) is not None]
        if not told:
            continue
        n, most = min(told, key=lambda pair: abs(pair[0].evidence[0].start - moment(h)))
        unit = n.behind.split()[0].strip(".,;")
        years = as_figure(n, "duration", unit.rstrip("s"), "age")
        if settled(walk, h) and any(
            c.rule == "hours_exceed_age" and h.id in c.facts and "failed" in c.outcome for c in walk.checked
        ):
            continue

        def holds(h: Quantity, years: Quantity, most: float = most, was: float = n.value) -> bool:
            return (size(h, "hour") or 0.0) <= most * years.value / was * (1 + slack(h, years))

        hold = round(n.value * _HOURS.get(unit.rstrip("s"), _YEAR))
        message = (
            f"{said(h)} are more than {number(n.value)} {unit} have: {figure(hold, 'hour')}. Read the meter again, and "
            "ask since when it counts."
        )
        yield from verdict(rule, [h, years], holds, message, level="check")


def _span(n: Loose, h: Quantity) -> float | None:
    """The most hours there are in a time told in words, where the hours of a meter are of that time."""
    found = _SPAN.match(n.behind)
    if found is None or not n.evidence or not 1 <= n.value <= 90:
        return None
    unit, way = found.group("unit").rstrip("s"), found.group("way")
    most = (n.value + (0.5 if unit in _HOURS else 1.0)) * _HOURS.get(unit, _YEAR)
    gap = moment(h) - n.evidence[0].start
    before, own = " ".join(n.before.split()[-12:]), sentence(h)
    who = " ".join(before.split()[-6:])
    if _NOT_IT.search(re.sub(r"\b(?:so|now|and) (?:s?he)(?:'s| is)\b", "", who) if way == "old" else who):
        return None
    if _SINCE.search(own) and way in ("ago", "back", "since") and -8 <= gap <= _NEAR and _DONE.search(before):
        return most
    whole = way in ("old", "of age") or (way in ("ago", "back") and _PUT_IN.search(before))
    if not whole or _PART.search(who) or _USED.search(f"{n.before} {n.behind} {own}") or abs(gap) > 400:
        return None
    if way in ("ago", "back") and not 0 <= gap <= _NEAR * 2:
        return None
    return most


RULES = (hours_in_the_years,)
