"""Travel: loads that move through stations at a speed or by steps, and the times and spacings that follow from it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from extractors.phrases import many_of, plural
from pipeline.checks.facts import (
    Facts,
    apart,
    facts,
    has_dimension,
    is_whole,
    noun_class,
    one_of,
    one_per_hour,
    per_hour,
    size,
    slack,
)
from pipeline.checks.nearby import lead
from pipeline.checks.offers import verdict
from pipeline.checks.subjects import alike, head, singular, words
from pipeline.checks.wording import clean, compared, count_as_quantity, figure, heard, moment, number, said
from pipeline.walk import Checked, Component, Finding, Quantity, Sequence, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

SPACED = re.compile(r"\b(every|apart|spac\w*|pitch|cent(?:er|re)s?|between)\b")
WOUND = re.compile(r"\b(spiral|serpentine|multi|festoon|accumulat\w*|tier\w*|tower|vertical)")
"""Words of machines whose belt is longer than they are."""
NOT_DWELL = re.compile(
    r"\b(heat\w*|warm\w*|start\w*|change\w*|clean\w*|drain\w*|fill\w*|turn\w*|cool down|stop\w*|boil\w*|purge)\b"
)


ONE_SENTENCE = 6.0
"""Seconds between two figures of one sentence; common practice, no source."""


def time_in_process(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Cycle × positions against the time from in to out.

    Source: Little's law (Operations Research 9(3):383-387, 1961).
    Arithmetic: time in process = positions × cycle, one load to a position.
    Tolerance: one cycle (loading and unloading count or not), 3 % and wording.
    Only where one row of positions and one cycle are said, and the time is that of the whole machine or its load.
    """
    rule = "time_in_process"
    index = facts(walk)
    # "a basket takes an hour from load to unload" is read as a cycle
    through = [q for q in index.of("cycle") if has_dimension(q.unit, "second") and _THROUGH.search(_clause(q))]
    cycles = [q for q in index.of("cycle") if has_dimension(q.unit, "second") and q not in through]
    rows = [s for s in walk.sequences if (s.stated_count or len(s.stations)) >= 3]
    if len({(q.value, q.unit) for q in cycles}) != 1 or len(rows) != 1:
        return
    row, c = rows[0], cycles[0]
    if singular(row.station_word) not in ("compartment", "position", "station", "tank", "pocket", "chamber", "nest"):
        return
    n = Quantity(
        f"sequence:{clean(row.name)}",
        plural(row.station_word),
        "count",
        float(row.stated_count or len(row.stations)),
        "",
        evidence=row.evidence,
    )
    for t in (*index.of("dwell", "duration"), *through):
        if not has_dimension(t.unit, "second") or not _whole_time(walk, t, row) or NOT_DWELL.search(heard(t)):
            continue
        made = n.value * (size(c, t.unit) or 0.0)
        ratio = t.value / (made or 1.0)
        if not 0.2 <= ratio <= 5 and not any(abs(ratio / k - 1) < 0.05 for k in (10, 60, 0.1, 1 / 60)):
            continue  # the time of something else
        message = (
            f"{many_of(n.value, clean(row.station_word))} at {said(c)} each are {figure(made, t.unit)} in all, "
            f"{said(t)} was stated: time one load, or ask for the program."
        )

        def holds(n: Quantity, c: Quantity, t: Quantity) -> bool:
            one, total = size(c, "second") or 0.0, size(t, "second") or 0.0
            return abs(n.value * one - total) <= one * 1.001 + (0.03 + slack(c, t)) * total

        yield from verdict(rule, [n, c, t], holds, message, basis=[row, c, t])


_THROUGH = re.compile(
    r"\b(in the (?:whole )?(?:line|machine|washer|plant)|from (?:load|loading|in|entry|start|one end) to "
    r"(?:unload|unloading|out|exit|finish|the other)|(?:start|front|in) to (?:finish|back|out)|end to end"
    r"|all the way through|door to door)\b"
)
"""Words of the time from in to out."""


def _clause(t: Quantity) -> str:
    """The words of a figure's sentence around it, up to the nearest comma on either side."""
    own = t.evidence[0].words.lower().rstrip(".,;:") if t.evidence else ""
    before, _, behind = (t.around or "").partition(own) if own else ("", "", "")
    return f"{before.rpartition(',')[2]} {own} {behind.partition(',')[0]}"


def _whole_time(walk: Walk, t: Quantity, row: Sequence) -> bool:
    own = set(words(t.subject))
    if own and any(own & set(words(s.role)) for s in row.stations):
        return False  # the time in one of its stations
    if is_whole(walk, t.subject) or own <= set(words(row.name)):
        return True
    if _THROUGH.search(_clause(t)) and not own.isdisjoint(_LOADS | {"part", "piece", "hanger", "panel", "line"}):
        return True
    through = re.search(r"\b(comes? out|end to end|start to finish|through|in to out|front to back)\b", heard(t))
    return bool(through) or own <= {"process", "load", "total", "time", "in"}


def _of_another_passage(index: Facts, v: Quantity, length: Quantity, passage: frozenset[str]) -> bool:
    """ "Prover, nine metres long. Tunnel oven, chamber 24 metres long, belt's turning at 0.8 metres a minute": whether
    a speed without a name of its own was told right behind the length of another passage, and far from this one's."""
    if abs(moment(v) - moment(length)) <= TURN or set(words(v.subject)) & set(words(length.subject)):
        return False
    near = [q for q in index.of("length") if 0 <= moment(v) - moment(q) <= TURN and head(q.subject) in passage]
    return bool(near) and not any(alike(q.subject, length.subject) for q in near)


TURN = 20.0
"""Seconds within which a speed is of the passage that was described; common practice, no source."""


def _how_many_of(index: Facts, length: Quantity, ratio: float) -> set[int]:
    """ "Eight chamber, every chamber is three metre": how often a length told of each may come, where that fits."""
    if not length.each or abs(ratio / max(1, round(ratio)) - 1) > 0.12:
        return set()
    noun = head(length.subject)
    bare = {int(n.value) for n in index.walk.loose if [singular(w.strip(",.")) for w in n.behind.split()[:1]] == [noun]}
    return bare | {c.count for c in index.components if c.count and head(c.name) == noun}


def length_speed_dwell(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Length of an oven, tunnel or zone against conveyor speed × time in it.

    Arithmetic: dwell = length × passes / speed. Tolerance 12 % plus wording (vestibules, curves, slip), stated in
    limits.toml's terms as a share. One pass unless another number was said; where the ratio is a whole number of 2 to 6
    and no number of passes was said, it is asked as a question. Source: plain kinematics.
    """
    rule = "length_speed_dwell"
    index = facts(walk)
    conveyance, passage = noun_class(vocabulary, "conveyance"), noun_class(vocabulary, "passage")
    products = noun_class(vocabulary, "product")
    speeds = [
        q for q in index.of("speed")
        if has_dimension(q.unit, "foot/minute") and q.value_max is None and head(q.subject) not in LIFTING
    ]  # fmt: skip
    for t in index.of("dwell", "duration"):
        if not has_dimension(t.unit, "second") or NOT_DWELL.search(heard(t)) or t.value_max is not None:
            continue
        # "the fruit is in there for three minutes": what stays has any name, but is no passage and not the machine
        unknown = head(t.subject) not in passage and not is_whole(walk, t.subject)
        products_stay = t.property == "dwell" and (head(t.subject) in products | conveyance or unknown)
        lengths = _lengths_of(
            index,
            t,
            passage - conveyance if products_stay else passage,
            own=head(t.subject) not in products and not (products_stay and unknown),
        )
        # "the product stays in the tunnel for eight minutes" is of the tunnel described in the same breath
        if len(lengths) != 1 or not (products_stay or head(t.subject) in passage):
            if t.property == "dwell":
                yield compared(rule, [t], "could not be compared", f"for want of the length of {clean(t.subject)}")
            continue
        length = lengths[0]
        # "the belt through it goes at 4 metres a minute, and the fruit is in there for three": told in one sentence
        beside = [q for q in speeds if head(q.subject) in conveyance and 0 < moment(t) - moment(q) <= ONE_SENTENCE]
        # "the tunnel is nine metres long and running at three metres a minute": its own speed, told with its length
        its = [q for q in speeds if alike(q.subject, length.subject) == "same" and abs(moment(q) - moment(length)) <= 8]
        beside = beside or its
        v = beside[0] if len(beside) == 1 else _speed_of(walk, t.subject, speeds, conveyance)
        if v is None:
            yield compared(rule, [t, length], "could not be compared", "for want of one conveyor speed")
            continue
        if _of_another_passage(index, v, length, passage):
            yield compared(rule, [t, length, v], "could not be compared", "the speed may be of another passage")
            continue
        # a spiral, a serpentine: the belt is longer than what it runs through, and its length is what counts
        if WOUND.search(_called(walk, t.subject)):
            belts = [
                q for q in index.of("length") if conveyance & set(words(q.subject)) and not SPACED.search(heard(q))
            ]
            fitting = next((q for q in belts if _time_fits(q, v, t)), None)
            beside = [q for q in belts if abs(moment(q) - moment(t)) <= 20]
            fitting = fitting or (beside[-1] if beside else None)
            if fitting is None:
                yield compared(
                    rule, [t, length, v], "could not be compared", "for want of the length of the belt in it"
                )
                continue
            length = fitting
        passes = _passes(index, t.subject)
        k = passes.value if passes is not None else 1.0
        made = (size(length, "metre") or 0.0) * k / (size(v, "metre/minute") or 1.0)
        in_unit = made * 60 / one_of(t.unit, "second")
        ratio = t.value / in_unit if in_unit else 0.0
        several = passes is None and 2 <= round(ratio) <= 6 and abs(ratio - round(ratio)) <= 0.05
        if (several and length.each) or (passes is None and round(ratio) in _how_many_of(index, length, ratio)):
            yield compared(rule, [length, v, t], "agreed", f"in {round(ratio)} of them")
            continue
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

        sure = t.property == "dwell" or bool(re.search(r"\b(dwell|bake|cure|through|inside|time in)\b", heard(t)))
        yield from verdict(rule, figures, holds, message, level="conflict" if sure and not several else "check")


def _called(walk: Walk, subject: str) -> str:
    stated = (walk.identity.kind, walk.identity.name)
    full = [c.name for c in walk.present if head(c.name) == head(subject)]  # "the freezer" is the spiral freezer
    return " ".join([subject, *full, *(str(s.value) for s in stated if s is not None)]).lower()


def _time_fits(length: Quantity, v: Quantity, t: Quantity) -> bool:
    speed = size(v, "metre/second") or 0.0
    return speed > 0 and apart((size(length, "metre") or 0.0) / speed, size(t, "second") or 0.0) <= 0.12


LIFTING = frozenset(("hoist", "crane", "trolley", "lift", "transporter"))
"""What carries loads from tank to tank: its speed is no conveyor's."""


def _lengths_of(index: Facts, t: Quantity, passage: frozenset[str], *, own: bool) -> list[Quantity]:
    """The length of what a load spends the time in: by its name; else the last such length in the same breath.

    Not `own`: the time is filed under the load, whose own length is no oven's ("racks, ten feet long").
    """
    if own and not index.ambiguous(t.subject):
        named = [q for q in index.about(t.subject, "length") if not SPACED.search(heard(q))]
        if named:
            return named
    reach = 40 if _speed_beside(index, t) else 20
    near = [q for q in index.of("length") if 0 <= moment(t) - moment(q) <= reach and head(q.subject) in passage]
    shared = [q for q in near if frozenset(words(q.subject)) & frozenset(words(t.subject)) or len(near) == 1]
    return shared[-1:]


def _speed_beside(index: Facts, t: Quantity) -> bool:
    """Whether the speed was told right before or behind a time: both are of what was described."""
    return any(
        has_dimension(q.unit, "metre/minute") and min(abs(e.start - moment(t)) for e in q.evidence) <= 10
        for q in index.of("speed")
        if q.evidence
    )


def _speed_of(walk: Walk, subject: str, speeds: list[Quantity], conveyance: frozenset[str]) -> Quantity | None:
    """The speed at which loads pass a station: its own, else the one conveyor speed of the walk."""
    own = [q for q in speeds if alike(q.subject, subject) == "same"]
    line = [q for q in speeds if conveyance & set(words(q.subject)) or is_whole(walk, q.subject)]
    named = [q for q in line if set(words(subject)) & set(words(q.subject)) - {"line", "conveyor"}]
    for pool in (own, named, line, [] if line else speeds):  # the only speed of the walk, whatever it was filed under
        if len({(q.value, q.unit) for q in pool}) == 1:
            return pool[0]
    return None


def _passes(index: Facts, subject: str) -> Quantity | None:
    for q in index.of("count"):
        if "pass" in words(f"{q.subject} {q.of or ''}") and (alike(q.subject, subject) or head(q.subject) == "pass"):
            return q
    return None


_HUNG = frozenset(
    (
        "hook",
        "carrier",
        "hanger",
        "flight",
        "tray",
        "bucket",
        "trolley",
        "carriage",
        "cleat",
        "roller",
        "slat",
        "pusher",
    )
)
"""Things set along a conveyor at a spacing."""


_NONE = Component("", "")


def spacings(index: Facts) -> Iterator[tuple[Quantity, bool]]:
    """Lengths that are spacings: said as such (True), or lengths of a thing that there are ten or more of (False)."""
    for s in index.of("length", "other", "width"):
        if not has_dimension(s.unit, "metre"):
            continue
        if SPACED.search(heard(s)):
            yield s, True
        elif (
            s.property != "width" and head(s.subject) in _HUNG and (s.of or (index.count_of(s.subject) or _NONE).count)
        ):
            yield s, False


def spacing_and_length(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Hooks, flights or carriers × their spacing against the length they hang on.

    Arithmetic: count × spacing = length of the loop. Tolerance 3 % (the take-up), one spacing, and wording; a count
    said with "about" 10 %. Only spacings said as such ("every two feet"), or lengths
    of a thing of which there are ten or more, where the product comes near the loop. Source: plain geometry.
    """
    rule = "spacing_and_length"
    index = facts(walk)
    for s, told in spacings(index):
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
        if not told and not 0.4 <= made / (loop.value or 1.0) <= 2.5:
            continue  # a length of the thing itself
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
    named = bool(own & set(words(s.subject))) or bool(s.of and alike(name, s.of)) or head(name) in heard(s)
    # "hooks every two feet", filed under the chain: the noun right before the figure
    return named or head(name) in {singular(w) for w in lead(s)[-3:]}


def speed_and_spacing(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Conveyor speed over spacing against carriers an hour.

    Arithmetic: rate = speed / spacing. Tolerance 5 % plus wording. Source: plain kinematics.
    """
    rule = "speed_and_spacing"
    index = facts(walk)
    conveyance = noun_class(vocabulary, "conveyance")
    speeds = [q for q in index.of("speed") if has_dimension(q.unit, "foot/minute") and q.value_max is None]
    for s, told in spacings(index):
        v = _speed_of(walk, s.subject, speeds, conveyance)
        for r in (q for q in index.of("rate") if q.of and q.value_max is None and has_dimension(q.unit, "1/hour")):
            if v is None or not (_spaced_thing(r.of or "", s)):
                continue
            made = (size(v, "metre/hour") or 0.0) / (size(s, "metre") or 1.0)
            unit_rate = one_per_hour(r.unit)
            if not told and not 0.4 <= made / (per_hour(r) or 1.0) <= 2.5:
                continue
            message = (
                f"{said(v)} with {plural(clean(r.of or 'part'))} every {figure(s.value, s.unit)} is "
                f"{figure(made / unit_rate, r.unit)}, {said(r)} was stated: time a few of them."
            )

            def holds(v: Quantity, s: Quantity, r: Quantity) -> bool:
                step = size(s, "metre") or 0.0
                rate = (size(v, "metre/hour") or 0.0) / step if step else 0.0
                return apart(rate, per_hour(r) or 0.0) <= 0.05 + slack(v, s, r)

            yield from verdict(rule, [v, s, r], holds, message)


def moves_fit_cycle(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A transfer against the cycle (or rate of loads) it is part of; and one hoist's moves against the cycle.

    Arithmetic: transfer ≤ cycle; stations × transfer ≤ cycle × hoists. Tolerance 2 % plus wording; the second is asked,
    as loads may skip stations. Source: plain arithmetic.
    """
    rule = "moves_fit_cycle"
    index = facts(walk)
    cycles = [q for q in index.of("cycle") if has_dimension(q.unit, "second")]
    rates = [q for q in index.of("rate") if per_hour(q) and head(q.of or q.subject) in _LOADS and "day" not in q.unit]
    moves_told = [t for t in index.of("duration", "cycle") if t.value_max is None and _move(t)]
    cycles = [c for c in cycles if c not in moves_told]
    for t in (*index.of("transfer"), *moves_told):
        if has_dimension(t.unit, "second") and len(cycles) == 0 and len(rates) == 1:
            yield from _transfer_and_rate(rule, t, rates[0])
            continue
        if not has_dimension(t.unit, "second") or len(cycles) != 1:
            yield compared(rule, [t], "could not be compared", "for want of one cycle")
            continue
        c = cycles[0]
        message = f"One transfer of {said(t)} does not fit into a cycle of {said(c)}: time both."
        within = (size(t, "second") or 0.0) <= (size(c, "second") or 0.0) * (1.02 + slack(t, c))

        def holds(t: Quantity, c: Quantity) -> bool:
            return (size(t, "second") or 0.0) <= (size(c, "second") or 0.0) * (1.02 + slack(t, c))

        plain = not c.of or head(c.of) in _LOADS  # a part each move makes several is no contradiction
        yield from verdict(rule, [t, c], holds, message, level="conflict" if plain else "check")
        hoists = [x for x in index.components if head(x.name) in ("hoist", "crane", "carriage", "transporter")]
        rows = [s for s in walk.sequences if (s.stated_count or len(s.stations)) >= 4]
        if not within or len(hoists) != 1 or len(rows) != 1:
            continue
        n, h = rows[0].stated_count or len(rows[0].stations), hoists[0].count or 1
        message = (
            f"{n} stations at {said(t)} a move, with {h} {clean(hoists[0].name)}, take "
            f"{figure(n * t.value / h, t.unit)}, more than the cycle of {said(c)}: ask for the program of moves."
        )

        def moves(t: Quantity, c: Quantity, n: int = n, h: int = h) -> bool:
            return n * (size(t, "second") or 0.0) <= h * (size(c, "second") or 0.0) * (1.02 + slack(t, c))

        yield from verdict(rule, [t, c], moves, message, level="check", basis=[t, c, rows[0]])


def station_time_and_cycle(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """The time that one station of an indexing machine works against the machine's cycle.

    Arithmetic: time of a station ≤ cycle, as nothing indexes before every station is done. Tolerance 5 % plus wording;
    a question, as a station may be doubled or skip a cycle. Only where one cycle of the whole was said, both in seconds
    or both in minutes, and the stations are called so (a tank or a zone may hold several loads). Source: plain
    arithmetic.
    """
    rule = "station_time_and_cycle"
    index = facts(walk)
    told = [q for q in index.of("cycle") if has_dimension(q.unit, "second")]
    cycles = [q for q in told if is_whole(walk, q.subject) or head(q.subject) in ("cycle", "index", "machine", "line")]
    rows = [s for s in walk.sequences if singular(s.station_word or "station") == "station" and len(s.stations) > 1]
    named = {(s.role or "").lower() for row in rows for s in row.stations}
    for t in index.of("duration", "cycle"):
        subject = t.subject.lower()
        stationed = subject in named or subject.startswith("station ")
        if not stationed or t in cycles or t.value_max is not None or NOT_DWELL.search(heard(t)):
            continue
        if len(cycles) != 1 or cycles[0].unit != t.unit:
            yield compared(rule, [t], "could not be compared", "for want of one cycle")
            continue
        c = cycles[0]
        message = (
            f"{said(t)} at {clean(t.subject)} do not fit into a cycle of {said(c)}: time the station, and ask whether "
            "it is doubled."
        )

        def holds(t: Quantity, c: Quantity) -> bool:
            return t.value <= c.value * (1.05 + slack(t, c))

        yield from verdict(rule, [t, c], holds, message, level="check")


_MOVES = re.compile(r"\b(indexe?s?|transfers?|shuttles|moves?)( time)?( is| takes| in| over in| across in|'s)? $")
"""How the time of a move is told, up to the figure."""


def _move(t: Quantity) -> bool:
    """Whether a time is that of a move: filed under it, or said with its verb ("it indexes in six seconds")."""
    own = t.evidence[0].words.lower() if t.evidence else ""
    before = (t.around or "").rpartition(own)[0] if own else ""
    verb = bool(_MOVES.search(before))
    return has_dimension(t.unit, "second") and not t.of and (head(t.subject) in ("transfer", "index") or verb)


_LOADS = frozenset(("load", "batch", "bar", "rack", "basket", "barrel", "bag", "cake", "transfer", "cycle", "index"))


def _transfer_and_rate(rule: str, t: Quantity, r: Quantity) -> Results:
    """A transfer against the time that a rate of loads leaves for one."""
    between = 3600 / (per_hour(r) or 1.0) / one_of(t.unit, "second")
    message = (
        f"One transfer of {said(t)} does not fit into {said(r)}, one every {figure(between, t.unit)}: "
        "time a few cycles, or ask which holds."
    )

    def holds(t: Quantity, r: Quantity) -> bool:
        return (size(t, "second") or 0.0) <= 3600 / (per_hour(r) or 1.0) * (1.02 + slack(t, r))

    yield from verdict(rule, [t, r], holds, message)


_STAYS = re.compile(r"\b(time|stays?|sits?|held|soaks?|dips?|hangs?) in\b")
_PLACED = re.compile(r"\bin (?:the |a |an |each )?([a-z]+)")


def dwell_and_rate(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Loads an hour × time in a tank against how many such tanks there are.

    Source: Little's law (Operations Research 9(3):383-387, 1961).
    Arithmetic: loads in process = rate × dwell ≤ positions, one load to a tank.
    Tolerance 5 % plus wording; asked, since a tank may take two loads.
    """
    rule = "dwell_and_rate"
    index = facts(walk)
    streams = [
        q
        for q in index.of("rate", "cycle")
        if per_hour(q) and head(q.of or "load") in ("load", "bar", "rack", "basket", "barrel", "flight bar")
    ]
    hourly = {round(per_hour(q) or 0.0, 3) for q in streams}
    stays = [t for t in index.of("duration") if _STAYS.search(t.around or "")]
    for t in (*index.of("dwell"), *stays):
        if len(hourly) != 1 or t.value_max is not None:
            continue
        k = _positions(index, t)
        if k is None:
            yield compared(rule, [t], "could not be compared", "for want of how many positions hold it")
            continue
        r = streams[0]
        busy = (size(t, "hour") or 0.0) * (per_hour(r) or 0.0)
        pace = said(r) if has_dimension(r.unit, "1/hour") else f"one every {said(r)}"
        message = (
            f"{said(t)} ({clean(t.subject)}) at {pace} keep {number(busy)} positions full, {k} described: "
            "time one load, or ask how many stand in it at once."
        )

        def holds(t: Quantity, r: Quantity, k: int = k) -> bool:
            return (size(t, "hour") or 0.0) * (per_hour(r) or 0.0) <= k * (1.05 + slack(t, r))

        yield from verdict(rule, [t, r], holds, message, level="check")


def _positions(index: Facts, t: Quantity) -> int | None:
    # "the bars sit in the zinc for half an hour": filed under the bars, told of the zinc
    places = {singular(p) for p in _PLACED.findall(t.around or "")} - set(words(t.subject))
    own = (set(words(t.subject)) | places) - {"tank", "station", "stage"}
    for c in index.components:
        named = alike(c.name, t.subject) or not places.isdisjoint(words(c.name)[:-1])
        if c.count and named and head(c.name) in ("tank", "station", "position", "cell"):
            return c.count
    for s in index.walk.sequences:
        if singular(s.station_word) not in ("tank", "station", "position", "cell"):
            continue
        k = sum(
            1
            for x in s.stations
            if x.status != "withdrawn" and own and (own <= set(words(x.role)) or not places.isdisjoint(words(x.role)))
        )
        if k:
            return k
    return None


RULES = (
    time_in_process,
    length_speed_dwell,
    spacing_and_length,
    speed_and_spacing,
    moves_fit_cycle,
    station_time_and_cycle,
    dwell_and_rate,
)
