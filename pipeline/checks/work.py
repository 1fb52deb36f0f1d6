"""Flow of work: rates, cycles, speeds, dwell, batches and flows that follow from one another."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from pipeline.checks.facts import (
    Facts,
    alike,
    apart,
    clean,
    compared,
    count_as_quantity,
    facts,
    figure,
    has_dimension,
    head,
    is_whole,
    moment,
    noun_class,
    number,
    per_hour,
    said,
    singular,
    size,
    slack,
    words,
)
from pipeline.checks.offers import verdict
from pipeline.walk import Checked, Finding, Quantity, Sequence, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

TALK = 60.0
"""Seconds of speech within which figures without names of their own belong to one machine; common practice, no source."""
SPACED = re.compile(r"\b(every|apart|spac\w*|pitch|cent(?:er|re)s?|between)\b")
TURNED = re.compile(r"\b(turn\w*|exchang\w*|circulat\w*|empt(?:y|ies)|fill\w*|drain\w*|chang\w* over)\b")
NOT_DWELL = re.compile(
    r"\b(heat\w*|warm\w*|start\w*|change\w*|clean\w*|drain\w*|fill\w*|turn\w*|cool down|stop\w*|boil\w*)\b"
)
LITTLE = "Little's law, Operations Research 9(3):383-387, 1961"


def heard(q: Quantity) -> str:
    """The words a figure stands on, with what it was filed under."""
    return " ".join([*(e.words.lower() for e in q.evidence), q.subject.lower(), (q.qualifier or "").lower()])


def rate_and_cycle(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A rate ("30 loads an hour") against a cycle or transfer interval ("every two and a half minutes").

    Arithmetic: rate = 3600 s / cycle (× pieces a cycle, where a count of the thing says so). Tolerance 5 % plus wording.
    Only where both count the same thing, or one counts nothing by name and both are said within a minute of one
    machine. Source: plain arithmetic; the throughput of Little's law.
    """
    rule = "rate_and_cycle"
    index = facts(walk)
    cycles = [q for q in index.of("cycle") if has_dimension(q.unit, "second") and q.value_max is None]
    rates = [q for q in index.of("rate") if has_dimension(q.unit, "1/hour") and q.value_max is None]
    for c in cycles:
        matching = [r for r in rates if _one_stream(c, r)]
        if not matching:
            yield compared(rule, [c], "could not be compared", "for want of a rate of the same thing")
        for r in matching:
            per = 1 / (per_hour(Quantity("", "", "rate", 1.0, r.unit)) or 1.0)
            implied = (per_hour(c) or 0.0) * per
            name = clean(r.of or c.of or "cycle")
            message = (
                f"One {singular(name)} every {figure(c.value, c.unit)} is {number(implied)} {name}s "
                f"{figure(2, r.unit).removeprefix('2 ')}, {said(r)} was stated: time a few cycles, or ask which holds."
            )
            several = _pieces(index, r)

            def holds(c: Quantity, r: Quantity, several: frozenset[int] = several) -> bool:
                a, b = per_hour(c), per_hour(r)
                return bool(a and b) and any(apart((a or 0.0) * k, b or 0.0) <= 0.05 + slack(c, r) for k in several)

            yield from verdict(rule, [c, r], holds, message)


def _one_stream(c: Quantity, r: Quantity) -> bool:
    """Whether a cycle and a rate count the same thing."""
    if c.of and r.of:
        if alike(c.of, r.of):
            return True
        generic = {"load", "piece", "part", "cycle", "batch", "index", "transfer", "shot", "stroke", "unit"}
        if head(c.of) not in generic or head(c.of) == "load":
            return False
    beside = abs(moment(c) - moment(r)) <= TALK
    related = bool(alike(c.subject, r.subject)) or not c.of or not r.of
    return beside and related and ("day" not in r.unit)


def _pieces(index: Facts, r: Quantity) -> frozenset[int]:
    """Pieces that one cycle may make: one, or a count said of the counted thing (cavities, lanes, parts a cycle)."""
    several = {1}
    for q in index.of("count"):
        if (q.of and r.of and alike(q.of, r.of)) or mention_of(q, "cavity", "lane", "up", "track", "cycle", "shot"):
            several.add(int(q.value))
    for c in index.components:
        if c.count and head(c.name) in ("cavity", "lane", "head", "track", "nozzle") and c.count < 100:
            several.add(c.count)
    return frozenset(several)


def mention_of(q: Quantity, *any_of: str) -> bool:
    """Whether subject or counted thing holds one of these words."""
    return not frozenset(words(f"{q.subject} {q.of or ''}")).isdisjoint(any_of)


def batch_and_rate(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Batches an hour × weight (or volume) of a batch against weight (or volume) an hour.

    Arithmetic: rate × amount each = throughput. Tolerance 5 % plus wording. Only one amount of the counted thing, said
    of it by name or within a minute of the rate; source: plain arithmetic.
    """
    rule = "batch_and_rate"
    index = facts(walk)
    totals = [
        q
        for q in index.quantities
        if has_dimension(q.unit, "pound/hour") and q.property in ("rate", "flow", "other", "weight")
    ]
    rates = [q for q in index.of("rate") if has_dimension(q.unit, "1/hour") and q.of and q.value_max is None]
    for total in totals:
        for r in rates:
            each = [w for w in index.of("weight") if _amount_of(w, r)]
            if len(each) != 1 or abs(moment(total) - moment(r)) > TALK:
                continue
            w = each[0]
            made = (per_hour(r) or 0.0) * (size(w, "kilogram") or 0.0)
            unit_size = size(Quantity("", "", "", 1.0, total.unit), "kilogram/hour") or 1.0
            message = (
                f"{said(r)} of {said(w)} make {figure(made / unit_size, total.unit)}, {said(total)} was stated: "
                f"ask what one {clean(r.of or 'load')} weighs, and how many an hour it really makes."
            )

            def holds(r: Quantity, w: Quantity, total: Quantity) -> bool:
                a = (per_hour(r) or 0.0) * (size(w, "kilogram") or 0.0)
                return apart(a, size(total, "kilogram/hour") or 0.0) <= 0.05 + slack(r, w, total)

            yield from verdict(rule, [r, w, total], holds, message)


def _amount_of(w: Quantity, r: Quantity) -> bool:
    """Whether a weight or volume is that of one of what the rate counts."""
    if r.of and (alike(w.subject, r.of) or (w.of and alike(w.of, r.of))):
        return True
    generic = {"load", "batch", "charge", "bag", "compartment", "basket", "dry linen", "linen", "ladle", "heat", "shot"}
    return bool({head(w.subject), head(w.of or "")} & generic) and head(r.of or "") in generic


def pieces_and_packs(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Packs an hour × pieces in a pack against pieces an hour ("500 cartons of 24", "12,000 bottles").

    Arithmetic: rate of packs × count each = rate of pieces. Tolerance 5 % plus wording. Source: plain arithmetic.
    """
    rule = "pieces_and_packs"
    index = facts(walk)
    rates = [q for q in index.of("rate") if q.of and per_hour(q) and q.value_max is None]
    for each in index.of("count"):
        if not each.of or each.value < 2:
            continue
        for packs in (r for r in rates if alike(r.of or "", each.subject)):
            for pieces in (r for r in rates if alike(r.of or "", each.of or "") and r is not packs):
                unit_rate = per_hour(Quantity("", "", "rate", 1.0, pieces.unit)) or 1.0
                made = (per_hour(packs) or 0.0) * each.value / unit_rate
                message = (
                    f"{said(packs)} {clean(packs.of or '')}s of {number(each.value)} take {figure(made, pieces.unit)} "
                    f"{clean(pieces.of or '')}s, {said(pieces)} was stated: ask which of the three is right."
                )

                def holds(packs: Quantity, each: Quantity, pieces: Quantity) -> bool:
                    a = (per_hour(packs) or 0.0) * each.value
                    return apart(a, per_hour(pieces) or 0.0) <= 0.05 + slack(packs, each, pieces)

                yield from verdict(rule, [packs, each, pieces], holds, message)


def flow_and_consumption(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Pieces an hour × volume of a piece against the flow of the pump that delivers the product.

    Arithmetic: needed flow = rate × volume; the pump must give at least that, less 3 %. A greater pump is normal. Only
    pumps named for the product, the filler or the feed. Source: plain arithmetic.
    """
    rule = "flow_and_consumption"
    index = facts(walk)
    consumer = noun_class(vocabulary, "consumer")
    flows = [q for q in index.of("flow") if has_dimension(q.unit, "litre/hour") and consumer & set(words(q.subject))]
    for r in (q for q in index.of("rate") if q.of and has_dimension(q.unit, "1/hour")):
        amounts = [v for v in index.of("volume") if alike(v.subject, r.of or "") and v.value_max is None]
        if len(amounts) != 1:
            continue
        v = amounts[0]
        if not flows:
            yield compared(rule, [r, v], "could not be compared", "for want of the product pump's flow")
        for f in flows:
            needed = (per_hour(r) or 0.0) * (size(v, "litre") or 0.0)
            unit_size = size(Quantity("", "", "flow", 1.0, f.unit), "litre/hour") or 1.0
            message = (
                f"{number(r.value)} {clean(r.of or 'piece')}s {figure(2, r.unit).removeprefix('2 ')} of {said(v)} need "
                f"{figure(needed / unit_size, f.unit)}, the {clean(f.subject)} gives {said(f)}: read the plate of the "
                "pump, and ask at which size the rate holds."
            )

            def holds(r: Quantity, v: Quantity, f: Quantity) -> bool:
                need = (per_hour(r) or 0.0) * (size(v, "litre") or 0.0)
                return (size(f, "litre/hour") or 0.0) >= need * (0.97 - slack(r, v, f))

            yield from verdict(rule, [r, v, f], holds, message)


def time_in_process(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Cycle × positions against the time from in to out.

    Arithmetic: time in process = positions × cycle (Little's law, Operations Research 9(3):383-387, 1961), one load to a
    position. Tolerance: one cycle (loading and unloading count or not), 3 % and wording. Only where one row of
    positions and one cycle are said, and the time is that of the whole machine or its load.
    """
    rule = "time_in_process"
    index = facts(walk)
    cycles = [q for q in index.of("cycle") if has_dimension(q.unit, "second")]
    rows = [s for s in walk.sequences if (s.stated_count or len(s.stations)) >= 3]
    if len({(q.value, q.unit) for q in cycles}) != 1 or len(rows) != 1:
        return
    row, c = rows[0], cycles[0]
    if singular(row.station_word) not in ("compartment", "position", "station", "tank", "pocket", "chamber", "nest"):
        return
    n = Quantity(
        f"sequence:{clean(row.name)}",
        f"{row.station_word}s",
        "count",
        float(row.stated_count or len(row.stations)),
        "",
        evidence=row.evidence,
    )
    for t in index.of("dwell", "duration"):
        if not has_dimension(t.unit, "second") or not _whole_time(walk, t, row) or NOT_DWELL.search(heard(t)):
            continue
        made = n.value * (size(c, t.unit) or 0.0)
        message = (
            f"{number(n.value)} {clean(row.station_word)}s at {said(c)} each are {figure(made, t.unit)} from in to out, "
            f"{said(t)} was stated: time one load, or ask for the program."
        )

        def holds(n: Quantity, c: Quantity, t: Quantity) -> bool:
            one, total = size(c, "second") or 0.0, size(t, "second") or 0.0
            return abs(n.value * one - total) <= one * 1.001 + (0.03 + slack(c, t)) * total

        yield from verdict(rule, [n, c, t], holds, message, basis=[row, c, t])


def _whole_time(walk: Walk, t: Quantity, row: Sequence) -> bool:
    own = set(words(t.subject))
    if is_whole(walk, t.subject) or own <= set(words(row.name)):
        return True
    through = re.search(r"\b(comes? out|end to end|start to finish|through|in to out|front to back)\b", heard(t))
    return bool(through) or own <= {"process", "load", "total", "time", "in"}


def length_speed_dwell(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Length of an oven, tunnel or zone against conveyor speed × time in it.

    Arithmetic: dwell = length × passes / speed. Tolerance 12 % plus wording (vestibules, curves, slip), stated in
    limits.toml's terms as a share. One pass unless another number was said; where the ratio is a whole number of 2 to 6
    and no number of passes was said, it is asked as a question. Source: plain kinematics.
    """
    rule = "length_speed_dwell"
    index = facts(walk)
    conveyance, passage = noun_class(vocabulary, "conveyance"), noun_class(vocabulary, "passage")
    speeds = [q for q in index.of("speed") if has_dimension(q.unit, "foot/minute") and q.value_max is None]
    for t in index.of("dwell", "duration"):
        if not has_dimension(t.unit, "second") or NOT_DWELL.search(heard(t)) or t.value_max is not None:
            continue
        lengths = [q for q in index.about(t.subject, "length") if not SPACED.search(heard(q))]
        if len(lengths) != 1 or head(t.subject) not in passage:
            if t.property == "dwell":
                yield compared(rule, [t], "could not be compared", f"for want of the length of {clean(t.subject)}")
            continue
        length = lengths[0]
        v = _speed_of(walk, t.subject, speeds, conveyance)
        if v is None:
            yield compared(rule, [t, length], "could not be compared", "for want of one conveyor speed")
            continue
        passes = _passes(index, t.subject)
        k = passes.value if passes is not None else 1.0
        made = (size(length, "metre") or 0.0) * k / (size(v, "metre/minute") or 1.0)
        in_unit = made * 60 / (size(Quantity("", "", "", 1.0, t.unit), "second") or 1.0)
        if in_unit > 0 and not 1 / 50 < t.value / in_unit < 50 and not has_dimension(t.unit, "second"):
            continue
        ratio = t.value / in_unit if in_unit else 0.0
        several = passes is None and 2 <= round(ratio) <= 6 and abs(ratio - round(ratio)) <= 0.05
        question = f"does it make {round(ratio)} passes? Else time one part" if several else "time one part"
        trips = "one pass" if k == 1 else f"{number(k)} passes"
        message = (
            f"{clean(t.subject)}: {said(length)} in {trips} at {said(v)} is {figure(in_unit, t.unit)}, "
            f"{said(t)} was stated: {question}, or ask for the speed."
        )
        figures = [length, v, t] if passes is None else [length, v, t, passes]

        def holds(length: Quantity, v: Quantity, t: Quantity, passes: Quantity | None = None) -> bool:
            k = passes.value if passes is not None else 1.0
            speed = size(v, "metre/second") or 0.0
            if speed <= 0:
                return False
            return apart((size(length, "metre") or 0.0) * k / speed, size(t, "second") or 0.0) <= 0.12 + slack(
                length, v, t
            )

        yield from verdict(rule, figures, holds, message)


def _speed_of(walk: Walk, subject: str, speeds: list[Quantity], conveyance: frozenset[str]) -> Quantity | None:
    """The speed at which loads pass a station: its own, else the one conveyor speed of the walk."""
    own = [q for q in speeds if alike(q.subject, subject) == "same"]
    line = [q for q in speeds if conveyance & set(words(q.subject)) or is_whole(walk, q.subject)]
    named = [q for q in line if set(words(subject)) & set(words(q.subject)) - {"line", "conveyor"}]
    for pool in (own, named, line):
        if len({(q.value, q.unit) for q in pool}) == 1:
            return pool[0]
    return None


def _passes(index: Facts, subject: str) -> Quantity | None:
    for q in index.of("count"):
        if mention_of(q, "pass") and (alike(q.subject, subject) or head(q.subject) == "pass"):
            return q
    return None


def spacing_and_length(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Hooks, flights or carriers × their spacing against the length they hang on.

    Arithmetic: count × spacing = length of the loop. Tolerance 3 % (the take-up), one spacing, and wording; a count said
    with "about" 10 %. Only spacings said as such ("every two feet", "on 24 inch centers"). Source: plain geometry.
    """
    rule = "spacing_and_length"
    index = facts(walk)
    for s in index.of("length", "other", "width"):
        if not has_dimension(s.unit, "metre") or not SPACED.search(heard(s)):
            continue
        counted = [c for c in index.components if c.count and c.count > 4 and _spaced_thing(c.name, s)]
        if not counted:
            yield compared(rule, [s], "could not be compared", "for want of how many there are")
            continue
        loops = [
            q
            for q in index.of("length")
            if q is not s
            and noun_class(vocabulary, "conveyance") & set(words(q.subject))
            and not SPACED.search(heard(q))
        ]
        if len(counted) != 1 or len({(q.value, q.unit) for q in loops}) != 1:
            continue
        c, loop = counted[0], loops[0]
        n = count_as_quantity(c)
        assert n is not None
        made = n.value * (size(s, loop.unit) or 0.0)
        message = (
            f"{number(n.value)} {clean(c.name)} every {figure(s.value, s.unit)} take {figure(made, loop.unit)}, "
            f"{said(loop)} of {clean(loop.subject)} was stated: count a stretch, or ask for the length."
        )

        def holds(n: Quantity, s: Quantity, loop: Quantity) -> bool:
            one, total = size(s, "metre") or 0.0, size(loop, "metre") or 0.0
            return abs(n.value * one - total) <= one + (0.03 + slack(n, s, loop)) * total

        yield from verdict(rule, [n, s, loop], holds, message, basis=[c, s, loop])


def _spaced_thing(name: str, s: Quantity) -> bool:
    own = set(words(name))
    return bool(own & set(words(s.subject))) or bool(s.of and alike(name, s.of)) or head(name) in heard(s)


def speed_and_spacing(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Conveyor speed over spacing against carriers an hour.

    Arithmetic: rate = speed / spacing. Tolerance 5 % plus wording. Source: plain kinematics.
    """
    rule = "speed_and_spacing"
    index = facts(walk)
    conveyance = noun_class(vocabulary, "conveyance")
    speeds = [q for q in index.of("speed") if has_dimension(q.unit, "foot/minute") and q.value_max is None]
    for s in index.of("length", "other"):
        if not has_dimension(s.unit, "metre") or not SPACED.search(heard(s)):
            continue
        v = _speed_of(walk, s.subject, speeds, conveyance)
        for r in (q for q in index.of("rate") if q.of and q.value_max is None and has_dimension(q.unit, "1/hour")):
            if v is None or not (_spaced_thing(r.of or "", s)):
                continue
            made = (size(v, "metre/hour") or 0.0) / (size(s, "metre") or 1.0)
            unit_rate = per_hour(Quantity("", "", "rate", 1.0, r.unit)) or 1.0
            message = (
                f"{said(v)} with {clean(r.of or '')}s every {figure(s.value, s.unit)} is "
                f"{figure(made / unit_rate, r.unit)}, {said(r)} was stated: time a few of them."
            )

            def holds(v: Quantity, s: Quantity, r: Quantity) -> bool:
                step = size(s, "metre") or 0.0
                rate = (size(v, "metre/hour") or 0.0) / step if step else 0.0
                return apart(rate, per_hour(r) or 0.0) <= 0.05 + slack(v, s, r)

            yield from verdict(rule, [v, s, r], holds, message)


def moves_fit_cycle(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A transfer against the cycle it is part of; and one hoist's moves, one for each station, against the cycle.

    Arithmetic: transfer ≤ cycle; stations × transfer ≤ cycle × hoists. Tolerance 2 % plus wording; the second is asked,
    as loads may skip stations. Source: plain arithmetic.
    """
    rule = "moves_fit_cycle"
    index = facts(walk)
    cycles = [q for q in index.of("cycle") if has_dimension(q.unit, "second")]
    for t in index.of("transfer"):
        if not has_dimension(t.unit, "second") or len(cycles) != 1:
            yield compared(rule, [t], "could not be compared", "for want of one cycle")
            continue
        c = cycles[0]
        message = f"One transfer of {said(t)} does not fit into a cycle of {said(c)}: time both."
        within = (size(t, "second") or 0.0) <= (size(c, "second") or 0.0) * (1.02 + slack(t, c))

        def holds(t: Quantity, c: Quantity) -> bool:
            return (size(t, "second") or 0.0) <= (size(c, "second") or 0.0) * (1.02 + slack(t, c))

        yield from verdict(rule, [t, c], holds, message)
        hoists = [x for x in index.components if head(x.name) in ("hoist", "crane", "carriage", "transporter")]
        rows = [s for s in walk.sequences if (s.stated_count or len(s.stations)) >= 4]
        if not within or len(hoists) != 1 or len(rows) != 1:
            continue
        n, h = rows[0].stated_count or len(rows[0].stations), hoists[0].count or 1
        message = (
            f"{n} stations at {said(t)} a move, with {h} {clean(hoists[0].name)}, take {figure(n * t.value / h, t.unit)}, "
            f"more than the cycle of {said(c)}: ask for the program of moves."
        )

        def moves(t: Quantity, c: Quantity, n: int = n, h: int = h) -> bool:
            return n * (size(t, "second") or 0.0) <= h * (size(c, "second") or 0.0) * (1.02 + slack(t, c))

        yield from verdict(rule, [t, c], moves, message, level="check", basis=[t, c, rows[0]])


def dwell_and_rate(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Loads an hour × time in a tank against how many such tanks there are.

    Arithmetic: loads in process = rate × dwell ≤ positions (Little's law, Operations Research 9(3):383-387, 1961), one
    load to a tank. Tolerance 5 % plus wording; asked, since a tank may take two loads.
    """
    rule = "dwell_and_rate"
    index = facts(walk)
    streams = [
        q
        for q in index.of("rate", "cycle")
        if per_hour(q) and head(q.of or "load") in ("load", "bar", "rack", "basket", "barrel", "flight bar")
    ]
    hourly = {round(per_hour(q) or 0.0, 3) for q in streams}
    for t in index.of("dwell"):
        if len(hourly) != 1 or t.value_max is not None:
            continue
        k = _positions(index, t)
        if k is None:
            yield compared(rule, [t], "could not be compared", "for want of how many positions hold it")
            continue
        r = streams[0]
        busy = (size(t, "hour") or 0.0) * (per_hour(r) or 0.0)
        message = (
            f"{said(t)} in {clean(t.subject)} at {said(r)} keep {number(busy)} positions full, {k} described: "
            "time one load, or ask how many stand in it at once."
        )

        def holds(t: Quantity, r: Quantity, k: int = k) -> bool:
            return (size(t, "hour") or 0.0) * (per_hour(r) or 0.0) <= k * (1.05 + slack(t, r))

        yield from verdict(rule, [t, r], holds, message, level="check")


def _positions(index: Facts, t: Quantity) -> int | None:
    own = set(words(t.subject)) - {"tank", "station", "stage"}
    for c in index.components:
        if c.count and alike(c.name, t.subject) and head(c.name) in ("tank", "station", "position", "cell"):
            return c.count
    for s in index.walk.sequences:
        if singular(s.station_word) not in ("tank", "station", "position", "cell"):
            continue
        k = sum(1 for x in s.stations if x.status != "withdrawn" and own and own <= set(words(x.role)))
        if k:
            return k
    return None


def flow_fills_volume(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Turnover and fill times: flow × time against volume.

    Arithmetic: time = volume / flow. Tolerance 12 % plus wording; a level below full (working volume) is within 25 % and
    agrees where the time is shorter. Only times said with a word of turning over, filling or emptying, with one flow
    and one volume within a minute, of related names. Source: plain arithmetic.
    """
    rule = "flow_fills_volume"
    index = facts(walk)
    for t in index.of("duration", "cycle", "rate", "dwell", "other"):
        times = has_dimension(t.unit, "second") or has_dimension(t.unit, "1/hour")
        if not times or not TURNED.search(heard(t)) or t.value_max is not None:
            continue
        flows = _beside(t, [q for q in index.of("flow") if has_dimension(q.unit, "litre/minute")])
        volumes = _beside(t, list(index.of("volume")))
        if flows is None or volumes is None:
            yield compared(rule, [t], "could not be compared", "for want of a flow and a volume")
            continue
        f, v = flows, volumes
        minutes = (size(v, "litre") or 0.0) / (size(f, "litre/minute") or 1.0)
        unit = t.unit if has_dimension(t.unit, "second") else "minute"
        shown = minutes * 60 / (size(Quantity("", "", "", 1.0, unit), "second") or 1.0)
        message = (
            f"{said(f)} turns {said(v)} over in {figure(shown, unit)}, {said(t)} was stated: "
            "read the plate of the pump, and ask for the volume."
        )

        def holds(f: Quantity, v: Quantity, t: Quantity) -> bool:
            stated = 3600 / (per_hour(t) or 1.0)
            made = 60 * (size(v, "litre") or 0.0) / (size(f, "litre/minute") or 1.0)
            return apart(made, stated) <= 0.12 + slack(f, v, t)

        yield from verdict(rule, [f, v, t], holds, message)


def _beside(t: Quantity, pool: list[Quantity]) -> Quantity | None:
    """The figure of a pool that is about what t is about: of related name, nearest in speech, within a minute."""
    generic = {"tank", "pump", "turnover", "fill", "time", "volume"}
    near = [q for q in pool if abs(moment(q) - moment(t)) <= TALK and q.value_max is None]
    own = set(words(t.subject)) - generic
    related = [q for q in near if own & set(words(q.subject))]
    pool = related or near
    return min(pool, key=lambda q: abs(moment(q) - moment(t))) if pool else None


def each_times_count(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A figure for each of several against the total said for all.

    Arithmetic: each × count = total. Tolerance 3 % plus wording. Only totals said as such ("in all", "total",
    "together"). Source: plain arithmetic.
    """
    rule = "each_times_count"
    index = facts(walk)
    whole = re.compile(r"\b(total|altogether|combined|together|in all|all told|overall)\b")
    for total in index.quantities:
        if not whole.search(heard(total)) or total.property in ("count", "year", "temperature", "pressure", "voltage"):
            continue
        bare = frozenset(words(whole.sub(" ", total.subject)))
        for each in index.of(total.property):
            if each is total or whole.search(heard(each)) or not has_dimension(each.unit, total.unit):
                continue
            own = frozenset(words(each.subject))
            component = index.count_of(each.subject)
            if not own or component is None or not (own <= bare or (bare and bare <= own)):
                continue
            n = count_as_quantity(component)
            assert n is not None
            made = n.value * (size(each, total.unit) or 0.0)
            message = (
                f"{number(n.value)} {clean(component.name)} of {said(each)} make {figure(made, total.unit)}, "
                f"{said(total)} was stated for all: count again, or read one plate."
            )

            def holds(n: Quantity, each: Quantity, total: Quantity) -> bool:
                return apart(n.value * (size(each, total.unit) or 0.0), total.value) <= 0.03 + slack(n, each, total)

            yield from verdict(rule, [n, each, total], holds, message, basis=[component, each, total])


def hours_in_a_day(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A rate a day against a rate an hour of the same thing.

    Arithmetic: hours worked = rate a day / rate an hour; more than 24 cannot be. Tolerance 5 % plus wording. Source:
    plain arithmetic.
    """
    rule = "hours_in_a_day"
    index = facts(walk)
    rates = [q for q in index.quantities if q.property in ("rate", "flow") and q.value_max is None]
    for daily in (q for q in rates if q.unit.endswith("/day")):
        top = daily.unit.removesuffix("/day")
        for r in (q for q in rates if not q.unit.endswith("/day") and has_dimension(q.unit, daily.unit)):
            if not (alike(r.of or "", daily.of or "") if r.of or daily.of else alike(r.subject, daily.subject)):
                continue
            hourly = size(r, f"{top}/hour") or 0.0
            hours = daily.value / hourly if hourly else 0.0
            message = (
                f"{said(daily)} at {said(r)} would take {figure(hours, 'hour')} a day: ask which of the two holds."
            )

            def holds(daily: Quantity, r: Quantity) -> bool:
                return (size(daily, daily.unit) or 0.0) <= 24 * (size(r, f"{top_of(daily)}/hour") or 0.0) * (
                    1.05 + slack(daily, r)
                )

            yield from verdict(rule, [daily, r], holds, message)


def top_of(q: Quantity) -> str:
    """The unit above the stroke: "pound" of "pound/day"."""
    return q.unit.split("/")[0]


RULES = (
    rate_and_cycle,
    batch_and_rate,
    pieces_and_packs,
    flow_and_consumption,
    time_in_process,
    length_speed_dwell,
    spacing_and_length,
    speed_and_spacing,
    moves_fit_cycle,
    dwell_and_rate,
    flow_fills_volume,
    each_times_count,
    hours_in_a_day,
)
