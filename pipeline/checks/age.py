"""Age and use: hours against years, and years against one another."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from pipeline.checks.facts import facts, limit, noun_class, size, slack
from pipeline.checks.nearby import parted
from pipeline.checks.offers import offers, verdict
from pipeline.checks.subjects import alike, head, words
from pipeline.checks.wording import clean, compared, finding, heard, moment, number, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

PUT_IN = re.compile(
    r"\b(new|replac\w*|chang\w*|swap\w*|upgrad\w*|retrofit\w*|install\w*|put in|fitted|updated?"
    r"|put(?: \w+){1,4} (?:in|on))\b"
)
MADE_OVER = re.compile(
    r"\b(rebuil\w*|relin\w*|re-lin\w*|overhaul\w*|refurb\w*|recondition\w*|rewound|rewind\w*|re-?tub\w*|re-?brick\w*|moved|"
    r"relocat\w*|repaint\w*|recertif\w*|inspect\w*|modif\w*|regrind\w*"
    r"|re-?(?:bond|coat|chrom|plat|sleev|cover|surfac|metal|head|skirt|seal|pack|wir|lag|clad|rubber|felt)(?:ed|ing|t?e?d)"
    r")\b"
)


def hours_exceed_age(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Run hours against the hours there have been since 1 January of the year built, to a year it was shut in.

    Arithmetic: hours ≤ (today - 1 January of the year) in days × 24; a year has 8,766 hours. Tolerance: none beyond the
    wording. Source: the calendar (365.25 days; Julian year of SI usage). Hours under the limit are not judged.
    """
    rule = "hours_exceed_age"
    index = facts(walk)
    built = _built(walk)
    for q in index.of("hours"):
        hours = size(q, "hour")
        if hours is None:
            continue
        year = _year_of(walk, q.subject) or built
        if year is None:
            yield compared(rule, [q], "could not be compared", "for want of the year of build")
            continue
        # a line that was shut in 2018 has run to the end of 2018 at most
        ends = [s.year for s in walk.stopped if year <= s.year < today.year]
        until = date(max(ends) + 1, 1, 1) if ends else today
        possible = (until - date(min(max(year, 1), today.year), 1, 1)).days * 24

        def holds(q: Quantity, possible: int = possible) -> bool:
            return (size(q, "hour") or 0.0) <= possible * (1 + slack(q))

        span = f"from the start of {year} to the end of {max(ends)}" if ends else f"since the start of {year}"
        message = (
            f"{said(q)} are more than the {number(possible)} hours {span}: "
            "read the meter again (tenths?), and the year."
        )
        yield from verdict(rule, [q], holds, message)


_PERIOD = re.compile(
    r"\b(?:(?:last|this|that|a|one|each|every|per|the|past|whole|single|previous) (?:\w+ )?|in \d{4}\b.{0,6}?)"
    r"(?P<span>year|month|week|day)\b(?!s)(?! (?:old|ago|model|before|built))|\b(?P<often>yearly|annually|monthly|"
    r"weekly|daily|a season|last season)\b"
)
_WHOLE_LIFE = re.compile(r"\b(?:total|since|now|stands|lifetime|when|as of|until|till|from|up to|every)\b")
_SPAN_HOURS = {"year": 8784, "month": 744, "week": 168, "day": 24, "season": 8784}
_OFTEN = {"yearly": "year", "annually": "year", "monthly": "month", "weekly": "week", "daily": "day"}


def hours_in_a_period(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Run hours told of one year, month, week or day ("nine thousand hours last year") against the hours it has.

    Arithmetic: hours ≤ 24 a day, 168 a week, 744 in the longest month, 8,784 in a leap year. Tolerance: none beyond the
    wording. Only hours whose own clause says run, put in or logged in one such period; not a meter's total, and not
    more than twenty times the period, which would be of another matter. Source: the calendar.
    """
    rule = "hours_in_a_period"
    for q in facts(walk).of("hours", "duration"):
        span = _period(q)
        if span is None or q.unit != "hour" or q.value <= 24:
            continue
        most = _SPAN_HOURS[span]
        if not q.value <= 20 * most:
            continue
        message = (
            f"{clean(q.subject) or 'machine'}: {said(q)} in a {span} are more than the {number(most)} hours that a "
            f"{span} has: read the log again, was it over longer, or for several together?"
        )

        def holds(q: Quantity, most: int = most) -> bool:
            return (size(q, "hour") or 0.0) <= most * (1 + slack(q))

        yield from verdict(rule, [q], holds, message, level="conflict" if q.property == "hours" else "check")


_RAN = re.compile(
    r"\b(?:ran|run|runs|running|put in|puts in|put on|puts on|logged?|logs|clocked|did|does|do|worked|works?|made|"
    r"racked up|turned|got|saw|sees|fired|hours)\b"
)


def _period(q: Quantity) -> str | None:
    """The year, month, week or day that a figure's own clause tells its hours of; None where it tells none."""
    before, behind = parted(q)
    lead, tail = re.split(r"[.;:!?]", before)[-1], re.split(r"[.;!?]|, and |, but ", behind)[0]
    near = re.match(r"\W*(?:\w+ ){0,3}?(?=(?:in|over|for|during|last|this|that|a|per|each|every|the)\b)", tail)
    found = _PERIOD.search(tail) if near is not None and len(tail[: near.end()].split()) <= 3 else None
    if found is not None and len(tail[: found.start()].split()) > 3:
        found = None
    if found is None:
        found = next((m for m in _PERIOD.finditer(lead) if len(lead[m.end() :].split()) <= 9), None)
    if found is None or not _RAN.search(f"{lead} {heard(q)}") or _WHOLE_LIFE.search(f"{lead} {tail}"):
        return None
    often = found.group("often")
    return _OFTEN.get(often, "season") if often else found.group("span")


_PART_COUNTER = re.compile(
    r"\b(?:loaded|on[- ]load|under load|spindle|cutting|production|burner|arc(?:[- ]on)?|beam(?:[- ]on)?|laser[- ]on|"
    r"welding|injection|pumping|printing|weaving) (?:hours|time)\b"
)
"""Words of a counter of part of the hours, in front of its figure: "beam hours, so actual cutting, it's"."""
_TOTAL_COUNTER = re.compile(
    r"\b(?:total|overall|all|power(?:ed)?[- ]?(?:on|up)|machine[- ]on|switched[- ]on|control[- ]on|mains) "
    r"(?:hours|time)\b"
)
"""Words of the counter that runs whenever the machine is on."""


def part_of_the_hours(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Loaded, spindle or cutting hours against the hours run.

    Arithmetic: part ≤ whole. Tolerance: none. Told within a minute, or of a counter that says "cutting hours" with only
    one that says "total hours", wherever they stand. Source: plain counting.
    """
    rule = "part_of_the_hours"
    part = ("loaded", "load", "spindle", "cutting", "production", "burner", "idle", "unloaded", "arc", "beam", "press")
    hours = [q for q in facts(walk).of("hours") if size(q, "hour") is not None]
    named = [q for q in hours if set(part) & {*words(q.subject), *words(q.qualifier or ""), *words(heard(q))}]
    counters = [q for q in hours if q not in named and _PART_COUNTER.search(parted(q)[0].lower())]
    totals = [q for q in hours if _TOTAL_COUNTER.search(parted(q)[0].lower())]
    parts = [*named, *counters]
    for p in parts:
        for whole in hours:
            # several totals are of several machines
            counted = len(totals) == 1 and whole in totals
            if whole in parts or not (counted or (p in named and abs(moment(whole) - moment(p)) <= 60)):
                continue
            message = f"{said(p)} ({clean(p.subject)}) are more than the {said(whole)} in all: read both lines again."
            yield from verdict(
                rule, [p, whole], lambda p, w: (size(p, "hour") or 0.0) <= (size(w, "hour") or 0.0), message
            )


def year_in_future(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A year of build, or of any work done, after today. Tolerance: none. Source: the calendar."""
    rule = "year_in_future"
    stated = walk.identity.year
    if stated is not None and (built := _built(walk)) is not None and built > today.year:
        message = f"Built in {built} is in the future: read the plate again."
        yield finding(rule, "conflict", message, key=f"built {stated.value}")
    for q in facts(walk).of("year"):
        if q.value > today.year and not re.search(r"\b(until|expire\w*|due|next|valid|lease|by)\b", heard(q)):
            message = f"{clean(q.subject) or 'machine'}: year {_y(q)} is in the future: read it again."

            def holds(q: Quantity) -> bool:
                return 1900 <= q.value <= today.year

            yield finding(rule, "check", message, [q], offers=offers([q], holds))
            yield compared(rule, [q], "failed")


def older_than_machine(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Controls, repairs and rebuilding said to be of a year before the machine was built.

    Arithmetic: year ≥ year of build - 1 (a plate may carry the year of delivery). Newer controls are a retrofit and no
    finding. A conflict where the words say replaced, rebuilt or swapped; a question where controls are just older.
    Source: plain order of time.
    """
    rule = "older_than_machine"
    built = _built(walk)
    controls = noun_class(vocabulary, "controls")
    years = [q for q in facts(walk).of("year") if 1850 <= q.value <= today.year]
    if built is None:
        for q in years:
            yield compared(rule, [q], "could not be compared", "for want of the year of build")
        return
    for q in years:
        words_said = _told(q)
        remade = bool(MADE_OVER.search(words_said))
        replaced = remade or bool(PUT_IN.search(words_said))
        if not (replaced or controls & set(words(q.subject))):
            continue
        if _own_machine(walk, q):
            # "the standby boiler, 1998, burner replaced in 1995": a machine beside the one the walk is about
            for work in (w for w in years if 0 < moment(w) - moment(q) <= 8 and w.subject != q.subject):
                message = (
                    f"{clean(work.subject) or 'work'} of {_y(work)} on the {clean(q.subject)} of {_y(q)}: done before "
                    "it was built? Read both years again."
                )
                yield from verdict(rule, [work, q], lambda a, b: a.value >= b.value, message, level="check")
            continue
        if any(0 < moment(q) - moment(m) <= 8 and _own_machine(walk, m) for m in years):
            continue  # compared with its own machine
        if q.value == built:
            yield compared(rule, [q], "agreed", f"{_y(q)} and {built}")
            continue
        what = clean(q.subject) or "work"
        message = (
            f"{what} of {_y(q)} on a machine built in {built}: "
            + ("it cannot have been done before the machine was built. Read both years again." if replaced else "")
            + ("" if replaced else "older than the machine. Was it taken over from another? Read both years again.")
        )

        def holds(q: Quantity, built: int = built) -> bool:
            return built - (0 if replaced_before(q) else 1) <= q.value <= today.year

        yield from verdict(rule, [q], holds, message, level="conflict" if replaced else "check")
    for c in walk.present:
        if c.year is not None and c.year < built and head(c.name) in controls:
            message = (
                f"{clean(c.name)} of {c.year} on a machine built in {built}: older than the machine. "
                "Was it taken over from another? Read both years again."
            )
            yield finding(rule, "check", message, [c])
            yield compared(rule, [c], "failed")


_MACHINES = frozenset(
    "boiler compressor chiller generator genset engine dryer furnace oven press crane tower washer mixer filler "
    "transformer forklift truck loader excavator robot lathe saw".split()
)
"""Machines that have a year of build of their own beside the line's."""


def _own_machine(walk: Walk, q: Quantity) -> bool:
    """Whether a year is of a machine beside the one the walk is about, told with its name."""
    kind = walk.identity.kind or walk.identity.name
    own = set(words(q.subject))
    return head(q.subject) in _MACHINES and kind is not None and not own & set(words(str(kind.value)))


def _told(q: Quantity) -> str:
    """The words of a year and of its sentence: a year is only a figure where something was done in it."""
    return f"{heard(q)} {q.around or ''}"


def replaced_before(q: Quantity) -> bool:
    """Whether the words say that the thing took another's place, so that its year cannot come before the machine's."""
    return bool(MADE_OVER.search(_told(q)) or PUT_IN.search(_told(q)))


def machine_age(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A year of build so early that a misheard digit is likelier (limits.toml, oldest_machine). Always a question.

    Source: common practice, no source.
    """
    rule = "machine_age"
    stated, built = walk.identity.year, _built(walk)
    oldest = limit(vocabulary, "oldest_machine")["low"]
    if stated is not None and built is not None and built < oldest:
        message = f"Built in {built} is earlier than nearly all machines on the market: read the plate again."
        yield finding(rule, "check", message, key=f"built {stated.value}")


def _built(walk: Walk) -> int | None:
    stated = walk.identity.year
    if stated is None or stated.status == "withdrawn":
        return None
    found = re.search(r"\d{4}", str(stated.value))
    return int(found.group()) if found else None


def _year_of(walk: Walk, subject: str) -> int | None:
    years = {c.year for c in walk.present if c.year is not None and alike(c.name, subject)}
    return years.pop() if len(years) == 1 else None


def _y(q: Quantity) -> str:
    return str(int(q.value))


RULES = (hours_exceed_age, hours_in_a_period, part_of_the_hours, year_in_future, older_than_machine, machine_age)
