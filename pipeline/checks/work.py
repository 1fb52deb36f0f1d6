"""Flow of work: rates, cycles, speeds, dwell, batches and flows that follow from one another."""

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
from pipeline.checks.nearby import attributive, core, lead, one_sentence, parted
from pipeline.checks.offers import verdict
from pipeline.checks.subjects import NUMBERS, alike, head, singular, words
from pipeline.checks.wording import clean, compared, count_as_quantity, figure, heard, moment, number, said
from pipeline.walk import Checked, Component, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

TALK = 60.0
"""Seconds of speech within which figures without names belong to one machine; common practice, no source."""
TURNED = re.compile(
    r"\b(turn\w*|exchang\w*|circulat\w*|empt(?:y(?! (?:vat|tank|vessel|kettle|basin|one|bin|silo)\b)|ies)"
    r"|fill(?:s|ed|ing|up)?|drain\w*|chang\w* over)\b"
)


SUPPLIES = frozenset(("pump", "compressor", "blower", "supply", "main", "booster"))
"""Heads of what feeds others: its flow is no sum of theirs (`users_and_supply`)."""
_EMPTY = frozenset(("dry", "empty", "idle", "no-load", "air", "minimum", "maximum", "min", "max"))
"""Words of a cycle that is not the one work is done in."""


def rate_and_cycle(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A rate ("30 loads an hour") against a cycle or transfer interval ("every two and a half minutes").

    Arithmetic: rate = 3600 s / cycle (× pieces a cycle, where a count of the thing says so). Tolerance 5 %, wording.
    Only where both count the same thing, or one counts nothing by name and both are said within a minute of one
    machine. Source: plain arithmetic; the throughput of Little's law.
    """
    rule = "rate_and_cycle"
    index = facts(walk)
    cycles = [q for q in index.of("cycle") if has_dimension(q.unit, "second") and q.value_max is None]
    rates = [q for q in index.of("rate") if has_dimension(q.unit, "1/hour") and q.value_max is None]
    for c in cycles:
        matching = [r for r in rates if _one_stream(walk, c, r)]
        if not matching:
            yield compared(rule, [c], "could not be compared", "for want of a rate of the same thing")
        # a cycle that one rate bears out is of that product: a second rate is of another one
        agreed = [r for r in matching if _one_time(index, c, r)]
        others = [r for r in matching if r not in agreed and not any(_one_time(index, d, r) for d in cycles)]
        for r in (*agreed, *(others if not agreed or any(alike(r.of or "", c.of or "-") for r in others) else ())):
            per = 1 / one_per_hour(r.unit)
            implied = (per_hour(c) or 0.0) * per
            name = clean(r.of or c.of or "cycle")
            heads = _heads_beside(index, c)
            n = heads[0].count or 1 if len(heads) == 1 else 1
            what = clean(heads[0].name) if len(heads) == 1 else f"of a {name} at a time"
            bare = _several_told(index)
            n = bare.pop() if n == 1 and len(bare) == 1 else n
            made = f"{n} {what} every" if n > 1 else f"One {singular(name)} every"
            message = (
                f"{made} {figure(c.value, c.unit)} {'make' if n > 1 else 'is'} {number(implied * n)} {plural(name)} "
                f"{figure(2, r.unit).removeprefix('2 ')}, {said(r)} was stated: time a few cycles, or ask which holds."
            )

            def holds(c: Quantity, r: Quantity) -> bool:
                return _one_time(index, c, r)

            # both name what they count, or stand in one sentence of the machine as a whole: else it is asked
            named = bool(c.of and r.of and alike(c.of, r.of)) or (
                abs(moment(c) - moment(r)) <= 15 and alike(c.subject, r.subject) == "same"
            )
            yield from verdict(rule, [c, r], holds, message, level="conflict" if named and n == 1 else "check")


PAPERS = frozenset("sheet brochure board card book manual chart log leaflet wall sign spec flyer paper drawing".split())
"""What a figure is read off, where the speaker names no machine."""


def _one_time(index: Facts, c: Quantity, r: Quantity) -> bool:
    """Whether a cycle and a rate go together, with one piece a cycle or as many as were counted."""
    a, b = per_hour(c), per_hour(r)
    return bool(a and b) and any(apart((a or 0.0) * k, b or 0.0) <= 0.05 + slack(c, r) for k in _pieces(index, r))


def _one_stream(walk: Walk, c: Quantity, r: Quantity) -> bool:
    """Whether a cycle and a rate count the same thing."""
    # "the table turns over every ninety seconds with one part on it"
    one = re.search(rf"\bone (?:\w+ )?{re.escape(singular(r.of))}\b", c.around or "") if r.of else None
    if one and abs(moment(c) - moment(r)) <= TALK:
        return True
    if r.of and not c.of and alike(c.subject, r.of) == "same":
        return True  # "a bar comes off every six minutes": what the interval is filed under is what it counts
    if r.of and head(r.of) in STROKES and _one_a_stroke(r, c):
        return True
    if c.of and r.of:
        if alike(c.of, r.of):
            return True
        generic = {"load", "piece", "part", "cycle", "batch", "index", "transfer", "shot", "stroke", "unit"}
        if head(c.of) not in generic or head(c.of) == "load":
            return False
    if abs(moment(c) - moment(r)) > TALK or "day" in r.unit or _EMPTY & {*words(c.qualifier or "")}:
        return False
    plain = {"load", "transfer", "cycle", "index", "piece", "part", "line", "machine", "production", "output"}
    if is_whole(walk, c.subject) and (is_whole(walk, r.subject) or head(r.of or "") in plain):
        return True
    # a sheet or a board tells of the machine as a whole, and the only interval of a walk is its own
    only = len(facts(walk).of("cycle")) == 1
    if r.of and only and (PAPERS & {*words(r.subject), *words(c.subject)} or _heads_beside(facts(walk), c)):
        return True
    return bool(alike(c.subject, r.subject)) or bool(plain & {head(c.subject), head(c.of or "")})


_PIECES = frozenset("part piece product item workpiece unit component".split())


def _one_a_stroke(r: Quantity, c: Quantity) -> bool:
    """ "Twenty strokes a minute, one part to a stroke", and "a part every five seconds": whether a stroke makes one of
    what the interval is of."""
    made = re.search(rf"\b(?:one|a|single) (?:\w+ )??(\w+),? {_A_STROKE}", r.around or "") or re.search(
        rf"\b(?:each|every|one) {_A_STROKE_NOUN} (?:makes|gives|is|does|drops|brings|turns out) (?:you )?"
        r"(?:one|a|a single) (?:\w+ )?(\w+)",
        r.around or "",
    )
    if made is None:
        return False
    noun, piece = singular(made.group(1)), head(c.of or c.subject)
    return noun == piece or (noun in _PIECES and (piece in _PIECES or not c.of))


HEADS = frozenset("cavity lane head track nozzle spindle mould mold station gripper valve pocket nest position".split())
"""What makes as many pieces a cycle, or a turn, as there are of it."""


def _heads_beside(index: Facts, c: Quantity) -> list[Component]:
    """Counted heads, nozzles or cavities told within a minute of a cycle: each makes a piece of it."""
    told = [t for t in index.components if t.count and 1 < t.count < 100 and head(t.name) in HEADS]
    return [t for t in told if abs(moment(t) - moment(c)) <= TALK]


def _pieces(index: Facts, r: Quantity) -> frozenset[int]:
    """Pieces that one cycle may make: one, or a count said of the counted thing (cavities, lanes, parts a cycle)."""
    several = {1}
    for q in index.of("count"):
        if (q.of and r.of and alike(q.of, r.of)) or mention_of(q, "cavity", "lane", "up", "track", "cycle", "shot"):
            several.add(int(q.value))
    for c in index.components:
        if c.count and head(c.name) in HEADS and c.count < 100:
            several.add(c.count)
        several.update(_cavities(c))
    # "a twelve up tool", "eight cavities": told beside what no figure was made of
    return frozenset(several | _several_told(index))


def _several_told(index: Facts) -> set[int]:
    """Numbers told of cavities, lanes and their like, or as so many up, that no count was made of."""
    return {int(n.value) for n in index.walk.loose if 2 <= n.value <= 200 and _MAKES_SEVERAL.match(n.behind)}


_MAKES_SEVERAL = re.compile(r"^(?:\w+ )?(?:up|cavit\w+|out|lanes?|impressions?|pockets?|nozzles?|at a time|across)\b")


def _cavities(c: Component) -> set[int]:
    """ "An eight cavity mold" counts no molds: what stands before the cavity."""
    if (c.count or 1) > 1 or not c.evidence or "cavity" not in words(c.name):
        return set()
    told = c.evidence[0].words.lower().replace("-", " ").split()[:2]
    return {int(n) for n in (NUMBERS.get(w, w) for w in told) if n.isdigit()}


def working_rates(index: Facts) -> list[Quantity]:
    """Plain rates of a thing by name while a machine runs: not a day's, which has hours in which nothing runs."""
    rates = index.of("rate")
    return [q for q in rates if q.of and per_hour(q) and q.value_max is None and "day" not in q.unit]


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
    # "one load every two and a half hours" tells how often as well
    rates = [q for q in index.of("rate", "cycle") if per_hour(q) and q.of and q.value_max is None]
    amounts = [(r, [w for w in index.of("weight") if _amount_of(w, r)]) for r in rates if totals]
    products = [(r, each, {t.id for t in totals if any(_batches_make(r, w, t) for w in each)}) for r, each in amounts]
    for total in totals:
        for r, each, settled in products:
            if settled - {total.id} and not (total.of or alike(total.subject or "-", r.of or "")):
                continue  # another total is the product of this rate
            if several_such(index, r) and not total.each:
                continue  # what every one of several machines may do
            if len(each) != 1 or abs(moment(total) - moment(r)) > TALK or each[0].doubt:
                continue
            w = each[0]
            made = (per_hour(r) or 0.0) * (size(w, "kilogram") or 0.0)
            unit_size = one_of(total.unit, "kilogram/hour")
            far = 2.5 if one_sentence(total, r) and abs(moment(w) - moment(total)) <= 12 else 2.0
            if not _comes_near(made / (size(total, "kilogram/hour") or 1.0), far):
                continue  # the output of something else
            often = f"one every {said(r)}" if r.property == "cycle" else said(r)
            message = (
                f"{often} of {said(w)} make {figure(made / unit_size, total.unit)}, {said(total)} was stated: "
                f"ask what one {clean(r.of or 'load')} weighs, and how many an hour it really makes."
            )

            # the total of the same breath, or of the same name: else it may be of another machine
            sure = abs(moment(total) - moment(r)) <= 20 or alike(total.subject, r.subject) == "same"
            yield from verdict(rule, [r, w, total], _batches_make, message, level="conflict" if sure else "check")


def several_such(index: Facts, r: Quantity) -> bool:
    """Whether a rate is that of each of several machines: "every wrapper makes sixty packs", of three wrappers."""
    told = r.property == "rate" and (r.each or bool({"each", "every"} & {*lead(r)[-6:]}))
    component = index.count_of(r.subject) if told else None
    return component is not None and (component.count or 1) > 1


_FLAT_OUT = re.compile(r"\b(?:flat out|at most|theor\w*|max\w*|top speed|full tilt|rated|nominal|on paper|at best)\b")
_REALLY = re.compile(r"\b(?:real\w*|actual\w*|practice|average|typical\w*|usual\w*|odd gap|you'll see|day to day)\b")


def _batches_make(r: Quantity, w: Quantity, total: Quantity) -> bool:
    a = (per_hour(r) or 0.0) * (size(w, "kilogram") or 0.0)
    told, seen = f"{r.around or ''} {heard(r)}", f"{total.around or ''} {heard(total)}"
    if _FLAT_OUT.search(told) or _REALLY.search(seen):  # "72,000 flat out; in real life ten tonnes an hour"
        return a * 0.4 <= (size(total, "kilogram/hour") or 0.0) <= a * (1.05 + slack(r, w, total))
    return apart(a, size(total, "kilogram/hour") or 0.0) <= 0.05 + slack(r, w, total)


_BATCHERS = frozenset("mixer pugmill blender kneader muller roaster washer extractor retort vessel melter".split())
"""Machines called by what one batch of them weighs."""


def _amount_of(w: Quantity, r: Quantity) -> bool:
    """Whether a weight or volume is that of one of what the rate counts."""
    if r.of and (alike(w.subject, r.of) or (w.of and alike(w.of, r.of))):
        return True
    if r.of and w.each and re.search(rf"\b(each|every|per|a) {re.escape(singular(r.of))}\b", w.around or ""):
        return True  # "each load is a hundred kilos", filed under the tumbler
    if attributive(w) and head(w.subject) in _BATCHERS and alike(w.subject, r.subject) == "same":
        return True  # "it's a two tonne pugmill, sixty batches an hour"
    if r.of and singular(r.of) in [singular(x) for x in lead(w)[-2:]]:
        return True  # "gross load 2,000 pounds", filed under the line
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
        of_packs = [r for r in rates if alike(r.of or "", each.subject)]
        # several machines handle the packs, each at its own speed: the one said nearest to the count is meant
        of_packs = sorted(of_packs, key=lambda r: abs(moment(r) - moment(each)))[:1]
        for packs in of_packs:
            of_pieces = [r for r in rates if alike(r.of or "", each.of or "") and r is not packs]
            # "forty pallets a day, the sealer does twelve cases a minute": a day has hours in which nothing runs
            of_pieces = [r for r in of_pieces if ("day" in r.unit) == ("day" in packs.unit)]
            for pieces in of_pieces:
                if any(
                    r.subject == pieces.subject and (per_hour(r) or 0) > 1.05 * (per_hour(pieces) or 0)
                    for r in of_pieces
                ):
                    continue  # "twelve a minute a lane, forty eight in all"
                unit_rate = one_per_hour(pieces.unit)
                made = (per_hour(packs) or 0.0) * each.value / unit_rate
                message = (
                    f"{said(packs)} {plural(clean(packs.of or 'pack'))} of {number(each.value)} take "
                    f"{figure(made, pieces.unit)} {plural(clean(pieces.of or 'piece'))}, {said(pieces)} was stated: "
                    "ask which of the three is right."
                )

                def holds(packs: Quantity, each: Quantity, pieces: Quantity) -> bool:
                    a = (per_hour(packs) or 0.0) * each.value
                    return apart(a, per_hour(pieces) or 0.0) <= 0.05 + slack(packs, each, pieces)

                # machines behind the slowest are built for more: only figures of one machine must meet
                one = alike(packs.subject, pieces.subject) == "same" or abs(moment(packs) - moment(pieces)) <= 10
                over = (per_hour(packs) or 0.0) * each.value / (per_hour(pieces) or 1.0)
                if not one and not 0.8 <= over < 1:
                    yield compared(rule, [packs, each, pieces], "could not be compared", "they may be two machines")
                    continue
                yield from verdict(rule, [packs, each, pieces], holds, message, level="conflict" if one else "check")


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
        if not amounts:  # "18,000 cans an hour, and the can has 0.33 litres", both filed under the line
            after = (v for v in index.of("volume") if 0 <= moment(v) - moment(r) <= 8 and v.value_max is None)
            amounts = [v for v in after if alike(v.subject, r.subject) == "same"]
        if len(amounts) != 1:
            continue
        v = amounts[0]
        if not flows:
            yield compared(rule, [r, v], "could not be compared", "for want of the product pump's flow")
        for f in flows:
            needed = (per_hour(r) or 0.0) * (size(v, "litre") or 0.0)
            unit_size = one_of(f.unit, "litre/hour")
            message = (
                f"{number(r.value)} {plural(clean(r.of or 'piece'))} {figure(2, r.unit).removeprefix('2 ')} of "
                f"{said(v)} need {figure(needed / unit_size, f.unit)}, the {clean(f.subject)} gives {said(f)}: read "
                "the plate of the pump, and ask at which size the rate holds."
            )

            def holds(r: Quantity, v: Quantity, f: Quantity) -> bool:
                need = (per_hour(r) or 0.0) * (size(v, "litre") or 0.0)
                return (size(f, "litre/hour") or 0.0) >= need * (0.97 - slack(r, v, f))

            yield from verdict(rule, [r, v, f], holds, message)


_TURNED_THINGS = frozenset(("tank", "pump", "turnover", "bath", "sump", "vessel", "pit", "pool", "basin"))
"""Subjects of a time that, said beside a flow and a volume, is the time of a turnover."""


_CLEANED = re.compile(r"\b(?:clean\w*|cip|bottles?|water capacity)\b")
"""Words of a time or volume that no pump fills: a round of cleaning, a bottle of gas."""
_TURNERS = frozenset("fan blower heater mixer agitator stirrer oven furnace".split())


_WORKED = re.compile(r"\b(?:a|per|each|every) (?:day|shift|night|week)\W+(?:\w+\W+){0,2}$")
"""What is done a day, right in front of a time: the time is then how long they work at it."""


def flow_fills_volume(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Turnover and fill times: flow × time against volume.

    Arithmetic: time = volume / flow. Tolerance 12 % plus wording. Only times said with a word of
    turning over, filling or emptying, or of a tank or pump, with one flow
    and one volume within a minute, of related names. Source: plain arithmetic.
    """
    rule = "flow_fills_volume"
    index = facts(walk)
    for t in index.of("duration", "cycle", "rate", "dwell", "other"):
        times = has_dimension(t.unit, "second") or has_dimension(t.unit, "1/hour")
        if not times or t.value_max is not None:
            continue
        # "the circulating fan, soak two hours": a fan's name tells of no turnover
        # "an empty vat every 45 minutes": how a vat stands tells of no turnover either
        told = bool(TURNED.search(heard(t).removesuffix(" empty"))) and head(t.subject) not in _TURNERS
        if t.property == "rate" and t.of and head(t.of) not in ("time", "turnover", "turn", "change", "exchange"):
            continue  # "twelve cups a minute" of a filler
        parts = [x for x in index.of(t.property) if x is not t and abs(moment(x) - moment(t)) <= 2]
        if told and any(alike(x.subject, t.subject) == "same" and x.unit != t.unit for x in parts):
            continue  # "three hours, forty minutes": with a pause two figures
        if not told and (t.property in ("dwell", "other") or t.of or not _flows_through(index, t)):
            continue
        if not told and (_CLEANED.search(t.around or "") or _WORKED.search(parted(t)[0].lower())):
            continue  # "a full clean takes ninety minutes"; "four tanks a day, five days" are days of work
        flows = _beside(t, [q for q in index.of("flow") if has_dimension(q.unit, "litre/minute")])
        volumes = _beside(t, list(index.of("volume")))
        if volumes is not None and head(volumes.subject) in _BATCHES:
            continue  # "a two cubic metre batch": `cycle_makes_output`
        if volumes is not None and _CLEANED.search(volumes.around or ""):
            continue  # "argon, a fifty litre bottle"
        if flows is not None and volumes is not None and "foot**3" in flows.unit and "gallon" in volumes.unit:
            continue  # cubic feet of air and a receiver told in gallons: `receiver_fill`
        if flows is None or volumes is None:
            if told:
                yield compared(rule, [t], "could not be compared", "for want of a flow and a volume")
            continue
        if not told and abs(moment(flows) - moment(t)) > 20:
            continue
        f, v = flows, volumes
        minutes = (size(v, "litre") or 0.0) / (size(f, "litre/minute") or 1.0)
        unit = t.unit if has_dimension(t.unit, "second") else "minute"
        shown = minutes * 60 / one_of(unit, "second")
        does = f"turns {said(v)} over" if told else f"goes through {said(v)}"
        message = (
            f"{said(f)} {does} in {figure(shown, unit)}, {said(t)} was stated: "
            "read the plate of the pump, and ask for the volume."
        )

        def holds(f: Quantity, v: Quantity, t: Quantity) -> bool:
            stated = 3600 / (per_hour(t) or 1.0)
            made = 60 * (size(v, "litre") or 0.0) / (size(f, "litre/minute") or 1.0)
            return apart(made, stated) <= 0.12 + slack(f, v, t)

        yield from verdict(rule, [f, v, t], holds, message, level="conflict" if told else "check")


def _flows_through(index: Facts, t: Quantity) -> bool:
    """Whether a time may be that of a turnover: of a tank or pump, or told with a flow beside the only volume near
    ("at full load it burns 138 gallons an hour, so 48 hours on the tank")."""
    if head(t.subject) in _TURNED_THINGS and t.property != "cycle":  # "they clean the sump every eight hours"
        return True
    flows = [q for q in index.of("flow") if alike(q.subject, t.subject) == "same" and abs(moment(q) - moment(t)) <= 15]
    volumes = [v for v in index.of("volume") if 0 <= moment(t) - moment(v) <= 25]
    # "five cubic metres an hour, forty between two regenerations, and it is set to twenty hours": all of one thing
    if t.property == "cycle":
        volumes = [v for v in volumes if alike(v.subject, t.subject) == "same"]
    return t.property in ("duration", "cycle") and len(flows) == 1 and len(volumes) == 1


def _beside(t: Quantity, pool: list[Quantity]) -> Quantity | None:
    """The figure of a pool that is about what t is about: of related name, nearest in speech, within a minute."""
    generic = {"tank", "pump", "turnover", "fill", "time", "volume"}
    near = [q for q in pool if abs(moment(q) - moment(t)) <= TALK and q.value_max is None]
    own = set(words(t.subject)) - generic
    related = [q for q in near if own & set(words(q.subject))]
    pool = related or near
    return min(pool, key=lambda q: abs(moment(q) - moment(t))) if pool else None


_WITH_OTHERS = re.compile(r"\b(?:with|plus|including) (?:the|all|everything|what)\b")


def each_makes_the_sum(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Eight burners, 150 kilowatts each, and the panel says 1.6 megawatts": a figure of each beside the one for all.

    Arithmetic: each × count = total. Tolerance 3 % plus wording. Only a figure said of each, of a thing counted in the
    same breath, and a greater one of the same property within a quarter of a minute behind it that comes within half
    and twice the product. Asked, never asserted. Source: plain arithmetic.
    """
    rule = "each_makes_the_sum"
    index = facts(walk)
    sums = ("power", "volume", "weight", "length", "current", "flow", "area", "rate")
    for each in index.of(*sums):
        n = counted_beside(index, each) if each.value_max is None else None
        if n is None:
            continue
        later = [
            q
            for q in index.of(each.property)
            if q is not each
            and not q.each
            and q.value_max is None
            and _of_all(walk, q, each)
            and (0 < moment(q) - moment(each) <= 15 or _told_first(q, each))
            and has_dimension(q.unit, each.unit)
            and (each.unit in _TONS) == (q.unit in _TONS)
            and ("*hour" in each.unit) == ("*hour" in q.unit)  # kilowatts, and kilowatt hours a week
            and ("ampere" in each.unit) == ("ampere" in q.unit)  # kilowatts of some, kVA of another
            and not (q.property == "flow" and head(q.subject) in SUPPLIES and not alike(q.subject, each.subject))
            and (not q.of or not each.of or alike(q.of, each.of))
            and not _of_several_others(index, q, each)
        ]
        made_of = {q.id: (size(q, each.unit) or 0.0) / (n.value * each.value) for q in later if each.value > 0}
        later = [
            q for q in later if _comes_near(made_of.get(q.id, 0.0)) and (size(q, each.unit) or 0) > each.value * 1.02
        ]
        between = [
            q
            for q in index.of(each.property)
            if later and moment(each) < moment(q) < moment(later[0]) and has_dimension(q.unit, each.unit)
        ]
        if n.status == "corrected" and later and any(e.start > moment(later[0]) for e in n.evidence):
            continue  # "two dryers, thirty kilowatts for the pair. I told you two, there's three"
        if len(later) != 1 or between:
            continue  # several kinds: amounts_make_the_sum
        total = later[0]
        # "seven and a half horse apiece, and with the pumps that's a hundred and twenty": of more than these
        if _WITH_OTHERS.search(" ".join(lead(total)[-9:])) and made_of.get(total.id, 0.0) >= 1:
            continue
        unit_size = one_of(total.unit, each.unit)
        message = (
            f"{number(n.value)} {clean(n.subject, 40)} of {said(each)} make "
            f"{figure(n.value * each.value / unit_size, total.unit)}, {said(total)} was stated for all: "
            "count again, or read one plate."
        )

        def holds(n: Quantity, each: Quantity, total: Quantity) -> bool:
            made, whole = n.value * (size(each, each.unit) or 0.0), size(total, each.unit) or 0.0
            return apart(made, whole) <= 0.03 + slack(n, each, total)

        yield from verdict(rule, [n, each, total], holds, message, level="check")


def _of_several_others(index: Facts, total: Quantity, each: Quantity) -> bool:
    """Whether a figure is of another thing with a figure of its own: "two motors on the trim, three quarter horse"
    behind two saws, "the silo holds thirty tons" behind six hoppers."""
    if alike(total.subject, each.subject):
        return False
    own = [c for c in index.components if alike(c.name, total.subject) == "same"]
    sized = total.property in ("volume", "length", "area", "weight") and not is_whole(index.walk, total.subject)
    return any(c.count and c.count > 1 for c in own) or (bool(own) and sized and not _SUMMED.search(total.around or ""))


def _of_all(walk: Walk, total: Quantity, each: Quantity) -> bool:
    """Whether a later figure may be the sum of what each has: of the same things, of the machine or of what it is read
    off, or told as a sum; not of a thing of a name of its own ("four drives, 1.5 kilowatt each. Spindle, twelve")."""
    if _APIECE.search(" ".join(parted(total)[1].split()[:5])):
        return False
    if not core(total.subject) or alike(total.subject, each.subject) or is_whole(walk, total.subject):
        return True
    return bool(_SUMMED.search(total.around or "")) or bool(PAPERS & {*words(total.subject)})


_SUMMED = re.compile(
    r"\b(?:so|together|total\w*|altogether|all told|in all|makes?|combined|sum|that's|which is|all of (?:it|them)|whole"
    r"|connected|panel|plate|sheet|says?|board|overall|of the lot|for the pair)\b"
)
"""Words of a figure that is told as a sum."""
_APIECE = re.compile(r"\b(?:each|apiece|every one|per|either)\b")


def _told_first(total: Quantity, each: Quantity) -> bool:
    """ "Four tons an hour. Each of the two presses does one and a half": of the same things, right before."""
    kind = total.property in ("rate", "flow")
    return kind and 0 < moment(each) - moment(total) <= 10 and alike(total.subject, each.subject) == "same"


def _comes_near(ratio: float, far: float = 2.0) -> bool:
    """Whether a total may be that of a product: within half and twice, or one decimal place or a unit off."""
    slips = (10, 0.1, 60, 1 / 60, 2.2046, 1 / 2.2046, 1000, 0.001)
    return 1 / far <= ratio <= far or any(abs(ratio / k - 1) < 0.06 for k in slips)


_TONS = frozenset(("ton_of_refrigeration", "ton"))


def counted_beside(index: Facts, each: Quantity) -> Quantity | None:
    """How many there are of what a figure is said of each: the component of its name, else the one counted last."""
    told = each.each or re.search(r"\b(each|apiece)\b", heard(each))
    named = _of_all_kinds(index, index.count_of(each.subject), each)
    if named is not None and named.count and named.count > 1 and (told or alike(named.name, each.subject) == "same"):
        return count_as_quantity(named) if told and not named.approximate else None
    if not told:
        return None
    before = [c for c in index.components if c.count and 0 <= moment(each) - moment(c) <= 8]
    last = max(before, key=moment, default=None)
    if last is None or not last.count or last.count < 2 or last.count > 500 or last.part_of is not None:
        return None
    return count_as_quantity(last)


def _of_all_kinds(index: Facts, named: Component | None, each: Quantity) -> Component | None:
    """ "Eight turbines, four above and four below, each with 11 kilowatts": what is said of each behind all kinds of a
    total, with no figure between them, is of all of it."""
    if named is None or named.part_of is None:
        return named
    whole = next((c for c in index.components if c.id == named.part_of and c.count), None)
    kinds = [c for c in index.components if c.part_of == named.part_of and c.count]
    first = min((moment(c) for c in kinds), default=0.0)
    between = any(first <= moment(q) < moment(each) for q in index.of(each.property))
    told = whole is not None and len(kinds) >= 2 and sum(c.count or 0 for c in kinds) == whole.count
    return whole if told and not between and moment(each) - first <= 10 else named


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


def cycles_in_a_day(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Loads a day (or week) × the time of a cycle against the day.

    Arithmetic: loads × cycle ≤ 24 h a day, 168 h a week. Tolerance 3 % plus wording. Only loads, batches, cycles, cures
    or heats of one machine; not where several of it were counted. Source: the calendar.
    """
    rule = "cycles_in_a_day"
    index = facts(walk)
    cycles = [
        q for q in index.of("cycle", "duration", "dwell") if (size(q, "hour") or 0.0) >= 0.4 and q.value_max is None
    ]
    named = {"cycle", *_BATCHES}
    cycles = [q for q in cycles if (size(q, "hour") or 0.0) < 168 and named & {*words(q.subject), q.property}]
    for daily in index.of("rate"):
        span = _SPANS.get(daily.unit.partition("/")[2])
        if span is None or daily.value_max is not None or not per_hour(daily):
            continue
        if not _BATCHES & {*words(daily.of or daily.subject)}:
            continue
        for c in cycles:
            if abs(moment(c) - moment(daily)) > 3 * TALK:
                continue
            hours = daily.value * (size(c, "hour") or 0.0)
            message = (
                f"{figure(daily.value, daily.unit)} of {said(c)} take {figure(hours, 'hour')}, more than the {span} a "
                f"{daily.unit.partition('/')[2]} has; {number(span / (size(c, 'hour') or span))} fit in: "
                "ask which of the two holds."
            )

            def holds(daily: Quantity, c: Quantity, span: int = span) -> bool:
                return daily.value * (size(c, "hour") or 0.0) <= span * (1.03 + slack(daily, c))

            yield from verdict(rule, [daily, c], holds, message)


_SPANS = {"day": 24, "week": 168}
_BATCHES = frozenset("load batch cycle cure heat charge bake run press cook brew kill autoclave firing".split())
STROKES = frozenset(
    "shot stroke cycle dip drop hit index press lift blow fill pour heat batch turn revolution row chop cut punch nip "
    "stamp".split()
)
_OUT = frozenset(
    "cavity up lane impression mold mould nest pocket out head valve nozzle row piece track part across".split()
)


_A_STROKE_NOUN = rf"(?:{'|'.join(sorted(STROKES))})"
_A_STROKE = rf"(?:to|per|a|an|each|every|for|from|with)(?: (?:a|an|the|each|every))? {_A_STROKE_NOUN}\b"


def shots_and_pieces(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Shots (strokes, rows, dips) an hour × pieces each against pieces an hour.

    Arithmetic: 120 shots an hour of 4 cavities are 480 parts an hour. Tolerance 5 % plus wording. Only where one rate
    counts strokes and another what comes out, within a minute. Source: plain arithmetic.
    """
    rule = "shots_and_pieces"
    index = facts(walk)
    rates = working_rates(index)
    strokes = [q for q in rates if STROKES & {*words(q.of or "")}]
    each = [q for q in index.of("count") if q.of and q.value >= 2 and _OUT & {*words(q.of)} and not q.unit]
    each += [
        q for c in index.components if _OUT & {head(c.name)} and (c.count or 0) > 1 and (q := count_as_quantity(c))
    ]
    each += [
        Quantity(c.id, c.name, "count", float(n), "", of="cavity", evidence=c.evidence)
        for c in index.components
        for n in _cavities(c)
    ]
    for r in strokes:
        for pieces in rates:
            if pieces is r or STROKES & {*words(pieces.of or "")} or abs(moment(pieces) - moment(r)) > TALK / 2:
                continue
            own = [q for c in index.components if alike(c.name, pieces.of or "-") and (q := count_as_quantity(c))]
            own = [q for q in own if q.value >= 2 and 0 <= moment(r) - moment(q) <= 10]
            near = own or [n for n in each if abs(moment(n) - moment(r)) <= TALK / 2]
            fitting = [n for n in near if _shots(r, n, pieces)]
            if not near or (len({n.value for n in near}) > 1 and not fitting):
                continue
            n = (fitting or near)[0]
            made = (per_hour(r) or 0.0) * n.value / one_per_hour(pieces.unit)
            message = (
                f"{said(r)} with {many_of(n.value, clean(n.of or n.subject, 30))} make "
                f"{figure(made, pieces.unit)}, {said(pieces)} of {plural(clean(pieces.of or 'piece'))} was stated: "
                "count a few, or ask which of the three holds."
            )
            ratio = made / (pieces.value or 1.0)
            if _comes_near(ratio):
                yield from verdict(rule, [r, n, pieces], _shots, message, level="check")


def rates_in_one_breath(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Two hundred and fifty sheets a minute, and that's eighteen thousand boxes an hour": what goes in comes out.

    Arithmetic: both an hour, one for one, or a whole number for one. Tolerance 5 % plus wording. Only two rates in
    different units of time, of one machine, within ten seconds, that come within half and twice. Asked, never asserted.
    Source: plain arithmetic.
    """
    rule = "rates_in_one_breath"
    rates = [q for q in facts(walk).of("rate") if q.of and has_dimension(q.unit, "1/hour") and q.value_max is None]
    for a in rates:
        for b in rates:
            gap = moment(b) - moment(a)
            if not 0 < gap <= 10 or a.unit == b.unit or alike(a.subject, b.subject) != "same":
                continue
            if STROKES & {*words(f"{a.of} {b.of}")} or alike(a.of or "", b.of or "") == "same":
                continue
            made = (per_hour(a) or 0.0) / one_per_hour(b.unit)
            if not 0.5 < made / (b.value or 1.0) < 2:
                continue
            message = (
                f"{said(a)} of {clean(a.of or '')} are {figure(made, b.unit)}, {said(b)} of {clean(b.of or '')} was "
                "stated: does one make one? Ask which of the two was seen."
            )

            def holds(a: Quantity, b: Quantity) -> bool:
                return apart(per_hour(a) or 0.0, per_hour(b) or 0.0) <= 0.05 + slack(a, b)

            yield from verdict(rule, [a, b], holds, message, level="check")


def _shots(r: Quantity, n: Quantity, pieces: Quantity) -> bool:
    return apart((per_hour(r) or 0.0) * n.value, per_hour(pieces) or 0.0) <= 0.05 + slack(r, n, pieces)


def output_of_a_shift(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Output an hour × hours against what is made in them ("forty tons an hour, and on a ten hour shift six hundred").

    Arithmetic: rate × time = amount. Tolerance 10 % plus wording (breaks). Only a rate, a time of two to 24 hours and
    an amount of the same kind, told within ten seconds in this order. Asked, never asserted. Source: plain arithmetic.
    """
    rule = "output_of_a_shift"
    index = facts(walk)
    hours = [
        t for t in index.of("duration", "hours", "dwell") if 2 <= (size(t, "hour") or 0.0) <= 24 and not t.value_max
    ]
    amounts = [w for w in index.of("weight", "volume", "length") if w.value_max is None]
    for r in index.of("rate", "flow"):
        for t in (t for t in hours if 0 < moment(t) - moment(r) <= 10 and r.value_max is None):
            for w in amounts:
                if not 0 < moment(w) - moment(t) <= 8 or not has_dimension(r.unit, f"{w.unit}/hour"):
                    continue
                made = (size(r, f"{w.unit}/hour") or 0.0) * (size(t, "hour") or 0.0)
                if not _comes_near(made / (w.value or 1.0), 3.0):
                    continue
                message = (
                    f"{said(r)} in {said(t)} make {figure(made, w.unit)}, {said(w)} was stated: ask which of the three "
                    "holds."
                )

                def holds(r: Quantity, t: Quantity, w: Quantity) -> bool:
                    made = (size(r, f"{w.unit}/hour") or 0.0) * (size(t, "hour") or 0.0)
                    return apart(made, w.value) <= 0.10 + slack(r, t, w)

                yield from verdict(rule, [r, t, w], holds, message, level="check")


def top_of(q: Quantity) -> str:
    """The unit above the stroke: "pound" of "pound/day"."""
    return q.unit.split("/")[0]


RULES = (
    rate_and_cycle,
    batch_and_rate,
    pieces_and_packs,
    flow_and_consumption,
    flow_fills_volume,
    each_makes_the_sum,
    hours_in_a_day,
    cycles_in_a_day,
    shots_and_pieces,
    rates_in_one_breath,
    output_of_a_shift,
)
