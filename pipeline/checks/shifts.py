"""What a shift, a day or a year gives, and how long a stroke or a round of positions takes (relations.py)."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import date

from pipeline.checks.facts import Facts, facts, has_dimension, limit, one_of, one_per_hour, per_hour, size, slack
from pipeline.checks.offers import verdict
from pipeline.checks.relations import distinct, explained, product
from pipeline.checks.subjects import NUMBERS, words
from pipeline.checks.told import as_figure, called, counted, pool, sentence
from pipeline.checks.wording import figure, moment, number, said, told_count
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_STROKES = re.compile(r"\b(?:strokes?|cuts?|hits?|blows?|shots?|punches|index(?:es)?|revolutions?|turns?)\b")
_A_STROKE = re.compile(
    r"\b(?:a|an|per|each|every|one|full|the) (?:\w+ )?(?:stroke|cut|hit|blow|shot|punch|index|turn|revolution)\b"
)


def seconds_of_a_stroke(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Ten strokes a minute at full length", and minutes later "it's nine seconds a stroke, one after the other".

    Arithmetic: time of one = 60 s / strokes a minute. Tolerance: limits.toml, seconds of a stroke, plus wording. Only
    one rate of strokes, cuts, shots or blows in the walk and a time told of one of the same. Always a question.
    Source: plain arithmetic.
    """
    rule = "seconds_of_a_stroke"
    index = facts(walk)
    rates = [q for q in index.of("rate") if per_hour(q) and q.value_max is None and _noun(q)]
    times = list(pool(index, "second", _A_STROKE, None, ("duration", "cycle", "dwell", "other")))
    for noun in {_noun(q) for q in rates}:
        mine = [q for q in rates if _noun(q) == noun]
        if distinct(mine, "1/hour") != 1:
            continue

        def say(r: Quantity, t: Quantity) -> str:
            one = figure(3600 / (per_hour(r) or 1.0) / one_of(t.unit, "second"), t.unit)
            return f"{said(r)} is one every {one}, {said(t)} was stated: time ten of them, or read the plate."

        of_it = [t for t in times if _noun_of_time(index, t) == noun]
        row = limit(vocabulary, "seconds of a stroke")
        yield from product(
            walk, rule, row, [mine[:1]], of_it, lambda r: 3600 / (per_hour(r) or 1.0), "second", say,
            within=float("inf"), counts=False,
        )  # fmt: skip


def _noun(q: Quantity) -> str:
    text = f"{q.of or ''} {' '.join(e.words.lower() for e in q.evidence)}"
    found = _STROKES.search(text)
    return words(found.group())[0] if found and has_dimension(q.unit, "1/second") and q.unit != "rpm" else ""


def _noun_of_time(index: Facts, t: Quantity) -> str:
    found = _A_STROKE.search(called(index, t))
    return words(found.group())[-1] if found else ""


def hours_of_a_year(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Sixteen hours a day, five days a week", and minutes later "six thousand hours a year on that schedule".

    Arithmetic: hours a day × days a week × 52 weeks. Tolerance: limits.toml, hours of a year, plus wording; fewer are
    holidays. Only one figure of each in the walk. Always a question. Source: the calendar.
    """
    rule = "hours_of_a_year"
    index = facts(walk)
    days = [q for q in index.quantities if q.unit == "hour/day" and q.value_max is None and q.value <= 24]
    weeks = [q for q in index.quantities if q.unit == "day/week" and q.value_max is None and q.value <= 7]
    years = [q for q in index.quantities if q.unit == "hour/year" and q.value_max is None]
    for y in years:
        message = (
            f"{number(y.value)} hours a year are more than the 8,784 that the longest year has: read the meter again."
        )
        if y.value > 8784:
            yield from verdict(rule, [y], lambda y: y.value <= 8784 * (1 + slack(y)), message, level="check")
            return
    if distinct(days, "hour/day") != 1 or distinct(weeks, "day/week") != 1:
        return

    def say(d: Quantity, w: Quantity, y: Quantity) -> str:
        return (
            f"{number(d.value)} hours a day on {number(w.value)} days a week are {number(d.value * w.value * 52)} "
            f"hours "
            f"a year, {number(y.value)} was stated: ask which shifts were worked, and read the meter."
        )

    row = limit(vocabulary, "hours of a year")
    yield from product(
        walk, rule, row, [days[:1], weeks[:1]], years, lambda d, w: d.value * w.value * 52, "hour/year", say,
        within=float("inf"), counts=False,
    )  # fmt: skip


_PLACES = frozenset(
    "pocket position place plate station nest trolley carrier skid cup seat spot slot tray rack mould mold basket "
    "hanger cell head paddle cradle fixture pallet".split()
)
_INTERVAL = re.compile(
    r"\b(?:index\w*|takt|every|each|goes? in|comes? out|one in|interval|step\w*|advance\w*|apiece|moves? on)\b"
)
_STAY = re.compile(
    r"\b(?:in (?:it|there|here|the (?!way)\w+)|on (?:it|there|the wheel|the dial|the table|board)|stays?|through|"
    r"inside|"
    r"from (?:\w+ )?(?:load\w*|in|on|infeed|entry) (?:in )?to|total time|time (?:in|on|through)|proof\w*|prov\w*|"
    r"dwell\w*|"
    r"all the way|once round|right round)\b"
)
_NOT_STAY = re.compile(
    r"\b(?:wants?|needs?|should|warm\w*|heat\w* up|clean\w*|change\w*|shift|ago|between|index\w*|break|takt)\b"
)


_ON_IT = re.compile(
    r"\b(?:(?:on|round) the (?:wheel|dial|table|carousel|turntable|drum|rotary)|"
    r"from (?:when|load\w*|pick\w*|grab\w*)|right round)\b"
)


def index_and_stay(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Sixteen pockets, it indexes every two and a half seconds; from loading to coming off is twenty-five seconds".

    Arithmetic: time in it = positions × index. Tolerance: limits.toml, index and stay, plus wording. Only a count of
    pockets, positions, trolleys or their like, the one interval told near it, and a time told of staying, within a
    minute and a half; a count told nearby that explains the difference (lanes, two at a time) keeps it quiet. Always a
    question. Source: Little's law (Operations Research 9(3):383-387, 1961).
    """
    rule = "index_and_stay"
    index = facts(walk)
    times = [q for q in pool(index, "second", None, None, ("cycle", "duration", "dwell", "transfer")) if q.value > 0]
    steps = [
        q
        for q in times
        if (q.property in ("cycle", "transfer") and not _STAY.search(called(index, q))) or _is_interval(index, q)
    ]
    stays = [q for q in times if q not in steps and not _NOT_STAY.search(called(index, q))]
    stays = [q for q in stays if q.property == "dwell" or _STAY.search(called(index, q))]
    places = [
        told_count(c.noun, c.value, c.evidence) for c in counted(index) if c.key in _PLACES and 3 <= c.value <= 400
    ]
    if distinct(steps, "second") != 1:
        return
    beside = [n for n in places if abs(moment(n) - moment(steps[0])) <= 20]
    places = beside or places  # the stations of what indexes, and not the heads of another
    # minutes apart only what was said to be on the wheel, or from one end to the other
    stays = [
        t for t in stays if _ON_IT.search(called(index, t)) or any(abs(moment(t) - moment(n)) <= 90 for n in places)
    ]

    def say(n: Quantity, c: Quantity, t: Quantity) -> str:
        made = figure(n.value * (size(c, t.unit) or 0.0), t.unit)
        return f"{number(n.value)} {n.subject}s at {said(c)} each are {made}, {said(t)} was stated: time one load."

    row = limit(vocabulary, "index and stay")
    yield from product(
        walk, rule, row, [places, steps[:1]], stays, lambda n, c: n.value * (size(c, "second") or 0.0), "second", say,
        within=240,
    )  # fmt: skip


def _is_interval(index: Facts, q: Quantity) -> bool:
    """ "Every three minutes", "the takt is ninety seconds"; not "every skid stays in there eighty minutes"."""
    return q.property != "dwell" and bool(_INTERVAL.search(called(index, q))) and not _STAY.search(called(index, q))


_BATCH = re.compile(
    r"\b(?:batch|load|charge|brew|cook|melt|heat|firing|cycle|drop|boil|mix|pour|cast|shot|bake)(?:es|s)?\b"
)
_PERIODS = {"shift": 1.0, "day": 1.0, "week": 1.0}
_OFTEN = re.compile(r"^(?:\w+ )?(?:an?|per|each|every|on (?:a|each|every)|in (?:a|each|every)|to a) (shift|day|week)\b")
_A_PERIOD = re.compile(r"\b(?:an?|per|each|every|on (?:a|each|every)|in (?:a|each|every|one)) (shift|day|week)\b")


_FILLED = re.compile(r"\b(?:turn|fill|load|charge|empty|run|fire|brew) (?:it|her|this one|that one)\b")
_TIMES = re.compile(rf"({_BATCH.pattern}) (?:\w+ )?(once|twice|\w+ times) (?:an?|per|each|every) (shift|day|week)\b")


def batches_in_a_day(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "A batch is eight hundred kilos; five batches on a shift, two shifts"; and "it made fourteen tonnes a day".

    Arithmetic: amount of a batch × batches in a shift (day, week) × shifts (days). Tolerance: limits.toml, batches in a
    day, plus wording; less is stops. Shifts and days that were not told may be any that there are (one to three, five
    to seven). Only one amount told of a batch, load or brew, one count of them to a shift, day or week, and one amount
    told for a shift, day or week. Always a question. Source: plain arithmetic.
    """
    rule = "batches_in_a_day"
    index = facts(walk)
    often = _batches(index)
    if distinct([q for q, _ in often], "") != 1:
        return
    n, of = often[0]
    for kind in ("kilogram", "litre", ""):
        amounts = _of_a_batch(index, kind)
        for period in _PERIODS:
            stated = _for_a(index, kind, period)
            if distinct(amounts, kind) != 1 or len({q.value for q in stated}) != 1:
                continue
            times = _most_times(index, of, period)
            if not times:
                continue

            def made(w: Quantity, n: Quantity, times: float = times, kind: str = kind) -> float:
                return (size(w, kind) or 0.0) * n.value * times

            def say(
                w: Quantity,
                n: Quantity,
                total: Quantity,
                times: float = times,
                kind: str = kind,
                period: str = period,
                made: Callable[..., float] = made,
            ) -> str:
                day = made(w, n, times, kind) / one_of(total.unit.partition("/")[0], kind or "dimensionless")
                unit = total.unit if "/" in total.unit else ""
                amount = f"{number(round(day, 1))} in a {period}" if not unit else figure(round(day, 1), unit)
                what = "batches" if n.subject == "batch" else f"{n.subject}s"
                more = f", {number(times)} {of}s in the {period}," if times > 1 else ""
                return (
                    f"{number(n.value)} {what} of {said(w)} to the {of}{more} are {amount}, {said(total)} was "
                    f"stated: ask what goes into one, and how many are run."
                )

            unit = f"{kind}/{period}" if kind and period != "shift" else kind
            row = limit(vocabulary, "batches in a day")
            yield from product(walk, rule, row, [amounts[:1], [n]], stated[:1], made, unit, say, counts=False)


def _batches(index: Facts) -> list[tuple[Quantity, str]]:
    """Counts of batches to a shift, day or week, each with that word."""
    found = []
    for n in index.walk.loose:
        noun, often = _BATCH.match(n.behind), _OFTEN.match(n.behind)
        if noun and often and 1 <= n.value <= 100:
            found.append((told_count(words(noun.group())[0], int(n.value), n.evidence), often.group(1)))
    for q in index.quantities:
        told = _TIMES.search(sentence(q))  # "they brew twice a day"
        if told is not None:
            times = {"once": 1, "twice": 2}.get(told.group(2)) or int(NUMBERS.get(told.group(2).split()[0], 0))
            found += [(told_count(words(told.group(1))[0], times, q.evidence), told.group(3))] if times else []
    for q in index.of("rate", "count"):
        noun = _BATCH.search(q.of or "") or _BATCH.search(q.subject)
        noun = noun or _FILLED.search(sentence(q))  # "they turn it three times a week"
        if noun and q.unit in ("1/day", "1/week", "1/shift") and q.value_max is None:
            name = "batch" if _FILLED.match(noun.group()) else words(noun.group())[0]
            found.append((told_count(name, int(q.value), q.evidence), q.unit[2:]))
    return found


def _of_a_batch(index: Facts, kind: str) -> list[Quantity]:
    if kind:
        return pool(index, kind, _BATCH, _A_PERIOD, ("weight", "volume"))
    each = re.compile(rf"\b(?:each|a|one|every|per) {_BATCH.pattern[2:]}")
    found = [c for c in counted(index) if each.search(" ".join((*c.before.split()[-5:], *c.behind.split()[:5])))]
    return [told_count(c.noun, c.value, c.evidence) for c in found if not _BATCH.match(c.noun)]


def _for_a(index: Facts, kind: str, period: str) -> list[Quantity]:
    """Amounts told for a shift, day or week."""
    if kind and period != "shift":
        return [q for q in pool(index, f"{kind}/day", None, None, ("rate", "flow")) if q.unit.endswith(f"/{period}")]
    if kind:
        per = re.compile(rf"\b(?:a|per|each|every) {period}\b")
        return [q for q in pool(index, kind, per, None, ("weight", "volume")) if per.search(sentence(q))]
    return [
        as_figure(n, "count", "", n.behind.split()[0])
        for n in index.walk.loose
        if n.behind and re.match(rf"^[a-z]+s (?:\w+ ){{0,3}}(?:a|per|each|every|in a) {period}\b", n.behind)
        and not _BATCH.match(n.behind) and n.value >= 10
    ]  # fmt: skip


def _most_times(index: Facts, of: str, period: str) -> float:
    """How often the lesser period is in the greater, at most: as told, else as there can be; 0 the other way round."""
    text = " ".join(sentence(q) for q in index.quantities) + " ".join(n.behind for n in index.walk.loose)
    told = {
        int(n.value) for n in index.walk.loose if n.behind.startswith(("shifts", "shift,", "shift.")) and n.value <= 3
    }
    shifts = max(told, default=1 if "single shift" in text or "one shift" in text else 3)
    weeks = [q.value for q in index.quantities if q.unit == "day/week"]
    days = max(weeks, default=7.0)
    table = {
        ("shift", "shift"): 1, ("day", "day"): 1, ("week", "week"): 1,
        ("shift", "day"): shifts, ("day", "week"): days, ("shift", "week"): shifts * days,
    }  # fmt: skip
    return float(table.get((of, period), 0))


_WHOLE_BATCH = re.compile(
    rf"\b(?:complete|whole|full|entire|one|a|each|every|per) (?:\w+ )?{_BATCH.pattern[2:]}"
    rf"|{_BATCH.pattern} (?:time|takes?|lasts?|runs?)\b"
)
_PART_OF_BATCH = re.compile(
    r"\b(?:clean\w*|wash\w*|warm\w*|fill\w*|discharg\w*|spray\w*|heat\w* up|cool\w*|dry\w*|stays?)(?! and)\b"
)


def batches_fit_the_day(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "A complete batch, with loading and discharge, is four hours"; and "ten batches a day, day and night".

    Arithmetic: batches a day × time of one ≤ 24 h. Tolerance: limits.toml, batches fit the day, plus wording. Only
    one count of batches, loads or firings a day and one time told of a whole one; a count told nearby of machines
    that would explain it keeps it quiet. Always a question. Source: the calendar.
    """
    rule = "batches_fit_the_day"
    index = facts(walk)
    often = [n for n, of in _batches(index) if of == "day"]
    times = pool(index, "hour", None, None, ("duration", "cycle", "dwell"))
    whole = [
        q
        for q in times
        if _WHOLE_BATCH.search(sentence(q))
        and not _PART_OF_BATCH.search(q.subject if "complete" in sentence(q) else called(index, q))
    ]
    if distinct(often, "") != 1 or distinct(whole, "hour") != 1:
        return
    t, day = whole[0], Quantity("day", "", "duration", 24.0, "hour")

    def say(n: Quantity, t: Quantity, day: Quantity) -> str:
        what = "batches" if n.subject == "batch" else f"{n.subject}s"
        most = number(int(24 / (size(t, "hour") or 24.0)))
        return (
            f"{number(n.value)} {what} a day of {said(t)} each do not fit {said(day)}, {most} do: time one, or ask how "
            "many run at once."
        )

    row = limit(vocabulary, "batches fit the day")
    if (size(t, "hour") or 0.0) * often[0].value * float(row["low"]) <= 24 * (1 + slack(t)):
        return
    ratio = 24 / ((size(t, "hour") or 1.0) * often[0].value)
    if explained(index, ratio, [often[0], t], 0.25) or ratio < 0.1:
        return

    def holds(n: Quantity, t: Quantity) -> bool:
        return n.value * (size(t, "hour") or 0.0) * float(row["low"]) <= 24 * (1 + slack(t))

    yield from verdict(rule, [often[0], t], holds, say(often[0], t, day), level="check")


def made_in_a_shift(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The capper does sixty a minute; eight hour shift"; and "forty-five thousand jars off it in a shift".

    Arithmetic: rate × hours of the shift, 24 h of a day. Tolerance: limits.toml, made in a shift, plus wording; less is
    stops. Only one rate of pieces a minute or hour (the greatest), and a number of things told for a shift or day; the
    hours of a shift where told, else twelve. Always a question. Source: plain arithmetic.
    """
    rule = "made_in_a_shift"
    index = facts(walk)
    rates = [q for q in index.of("rate") if per_hour(q) and q.value_max is None and q.unit in ("1/minute", "1/hour")]
    rates = [q for q in rates if (per_hour(q) or 0.0) >= 30 and not _noun(q)]
    if not rates:
        return
    fastest = [max(rates, key=lambda q: per_hour(q) or 0.0)]
    told = [
        q for q in pool(index, "hour", re.compile(r"\bshift"), None, ("duration", "hours", "other")) if q.value >= 4
    ]
    for period in ("shift", "day"):
        hours = max((size(q, "hour") or 0.0 for q in told), default=12.0) if period == "shift" else 24.0

        def say(r: Quantity, total: Quantity, hours: float = hours, period: str = period) -> str:
            return (
                f"{said(r)} are {number(round((per_hour(r) or 0.0) * hours))} in the {number(hours)} hours of a "
                f"{period}, {said(total)} was stated: ask for the counter, and for how long it runs."
            )

        stated = [q for q in _for_a(index, "", period) if all(abs(moment(q) - moment(r)) <= 120 for r in rates)]
        row = limit(vocabulary, "made in a shift")
        yield from product(
            walk, rule, row, [fastest], stated, lambda r, hours=hours: (per_hour(r) or 0.0) * hours, "", say
        )


_SHARED = re.compile(
    r"\b(?:reject\w*|waste|scrap|loss(?:es)?|lost|recycl\w*|return\w*|bleed\w*|make-?up|purge\w*|fresh|outside|outdoor|"
    r"trim|fines|dust|blow-?down|overflow|recover\w*|broke|offcuts?|skimm\w*|evaporat\w*|broken|giveaway)\b"
)


def share_of_a_flow(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Three percent rejects; they feed two tonnes an hour"; and "the reject bin gets four hundred kilos an hour".

    Arithmetic: share × whole = part. Tolerance: limits.toml, share of a flow, plus wording. Only a percentage and a
    lesser flow told by the same word (rejects, waste, fresh air, bleed …), and a flow of the same kind told by none of
    them, within two minutes; where any fits nothing is asked. Always a question. Source: plain arithmetic.
    """
    rule = "share_of_a_flow"
    index = facts(walk)
    for p in index.quantities:
        word = _SHARED.search(called(index, p)) if p.unit == "percent" and p.value_max is None else None
        if word is None or not 0 < p.value < 100:
            continue
        stem = word.group()[:5]
        for kind in ("kilogram/hour", "litre/hour", "1/hour"):
            flows = [q for q in index.of("rate", "flow") if q.value_max is None and _is(q, kind)]
            parts = [q for q in flows if stem in called(index, q)]
            wholes = [q for q in flows if q not in parts and not _SHARED.search(called(index, q))]

            def say(p: Quantity, whole: Quantity, part: Quantity, word: str = word.group()) -> str:
                share = figure(p.value / 100 * whole.value * one_of(whole.unit, part.unit), part.unit)
                return f"{said(p)} of {said(whole)} is {share}, {said(part)} was stated ({word}): ask which two hold."

            row = limit(vocabulary, "share of a flow")
            yield from product(
                walk, rule, row, [[p], wholes], parts,
                lambda p, whole, kind=kind: p.value / 100 * _as(whole, kind), kind, say, within=120,
            )  # fmt: skip


def _is(q: Quantity, kind: str) -> bool:
    return bool(per_hour(q)) and q.unit != "rpm" if kind == "1/hour" else has_dimension(q.unit, kind)


def _as(q: Quantity, kind: str) -> float:
    return (per_hour(q) if kind == "1/hour" else size(q, kind)) or 0.0


_RATED = re.compile(
    r"\b(?:rated|max\w*|up to|flat out|top speed|capable of|good for|never (?:more|faster) than|tops? out)\b"
)
_PLANNED = re.compile(r"\b(?:want\w*|plan\w*|could|would|should|new|other|before|used to|with two|both|design)\b")


def faster_than_rated(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "It's rated a hundred and fifty packs a minute", and "the average on the screen is twelve thousand an hour".

    Arithmetic: pieces made an hour ≤ pieces rated an hour. Tolerance: limits.toml, faster than rated, plus wording.
    Only one rate of a noun told as rated or at most, and a greater rate of the same noun within three minutes that is
    no plan; a count told nearby that explains it (lanes, machines) keeps it quiet. Always a question. Source: meaning
    of a rated speed.
    """
    rule = "faster_than_rated"
    index = facts(walk)
    rates = [q for q in index.of("rate") if q.of and per_hour(q) and q.value_max is None and "day" not in q.unit]
    for noun in dict.fromkeys(words(q.of or "") for q in rates):
        mine = [q for q in rates if words(q.of or "") == noun]
        tops = [q for q in mine if q.qualifier == "rated" or _RATED.search(called(index, q))]
        told = [q for q in mine if q not in tops and not _PLANNED.search(sentence(q))]
        if distinct(tops, "1/hour") != 1 or not told:
            continue

        def say(top: Quantity, r: Quantity) -> str:
            most = figure((per_hour(top) or 0.0) / one_per_hour(r.unit), r.unit)
            return (
                f"{said(r)} is more than the {said(top)} it is rated for, {most}: read the plate, and count a minute."
            )

        row = limit(vocabulary, "faster than rated")
        yield from product(
            walk, rule, row, [tops[:1]], told, lambda top: per_hour(top) or 0.0, "1/hour", say, within=180
        )


_A_PIECE = re.compile(
    r"\b(?:a|one|per|each|every|single) (?:\w+ )?(?:part|piece|component|job|blank|panel|door|sheet|board|casting|"
    r"item|unit|"
    r"bottle|can|jar|box|case|bag|pallet|tube|bar|frame|shell|cup|cap|label|brick|block|tile|tyre|tire|wheel|lens|"
    r"knife|plate)\b"
)
_TAKES_LONG = re.compile(
    r"\b(?:takes?|needs?|apiece|cycle|floor to floor|start to finish|a (?:part|piece)|per (?:part|piece)|every)\b"
)
_SLOW = re.compile(
    r"\b(?:dwell|soak|cool\w*|dry\w*|cur\w*|bak\w*|oven|tunnel|through|inside|stays?|set ?up|change\w*|clean\w*|"
    r"heat\w*|at (?:once|a time))\b"
)


def seconds_of_a_piece(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "One part takes twelve seconds, hands in hands out", and "the operator says she gets five hundred an hour".

    Arithmetic: pieces an hour ≤ 3600 s / seconds of one. Tolerance: limits.toml, seconds of a piece, plus wording;
    fewer are waits. Only one time told of a part, sheet or piece, up to ten minutes and of no oven or soak, and a
    greater rate within a minute; a count told nearby that explains it (heads, cavities) keeps it quiet. Always a
    question. Source: plain arithmetic.
    """
    rule = "seconds_of_a_piece"
    index = facts(walk)
    times = pool(index, "second", _A_PIECE, _SLOW, ("duration", "cycle", "dwell"))
    times = [q for q in times if _TAKES_LONG.search(called(index, q)) and (size(q, "second") or 0.0) <= 600]
    rates = [q for q in index.of("rate") if per_hour(q) and q.value_max is None and q.unit in ("1/minute", "1/hour")]
    rates = [q for q in rates if not _noun(q) and not _STROKES.search(q.of or "")]
    if distinct(times, "second") != 1:
        return

    def say(t: Quantity, r: Quantity) -> str:
        made = figure(round(3600 / (size(t, "second") or 1.0) / one_per_hour(r.unit), 1), r.unit)
        return f"{said(t)} each make {made} at most, {said(r)} was stated: time a few, or ask how many at a time."

    row = limit(vocabulary, "seconds of a piece")
    yield from product(
        walk, rule, row, [times[:1]], rates, lambda t: 3600 / (size(t, "second") or 1.0), "1/hour", say, within=60
    )


RULES = (
    faster_than_rated,
    seconds_of_a_piece,
    seconds_of_a_stroke,
    hours_of_a_year,
    index_and_stay,
    batches_in_a_day,
    batches_fit_the_day,
    made_in_a_shift,
    share_of_a_flow,
)
