"""Coatings, packs, piles and parts: amounts against what they make together, told apart from one another
(relations.py)."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from datetime import date

from extractors.phrases import plural, singular
from pipeline.checks.facts import facts, has_dimension, limit, one_of, per_hour, size, slack
from pipeline.checks.offers import verdict
from pipeline.checks.relations import distinct, product
from pipeline.checks.subjects import head, words
from pipeline.checks.told import called, counted, pool, sentence, settled
from pipeline.checks.wording import figure, moment, number, said, told_count
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]


def coat_of_an_area(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The web is 1.2 metres wide, fifty metres a minute, twenty grams a square metre; the glue pump gives 200 kilos".

    Arithmetic: consumption an hour = coat × area an hour, which is width × speed, or pieces an hour × area of one.
    Tolerance: limits.toml, coat of an area, plus wording. Only one coat by area in the walk; both sides, or any count
    told nearby that explains it, keep it quiet. Always a question. Source: plain arithmetic.
    """
    rule = "coat_of_an_area"
    index = facts(walk)
    coats = [q for q in index.quantities if q.value_max is None and has_dimension(q.unit, "gram/metre**2")]
    if distinct(coats, "gram/metre**2") != 1:
        return
    used = list(pool(index, "kilogram/hour", None, None, ("rate", "flow")))
    row = limit(vocabulary, "coat of an area")

    def say(coat: Quantity, *rest: Quantity) -> str:
        *ways, total = rest
        an_hour = by_web if len(ways) == 2 and has_dimension(ways[1].unit, "metre/minute") else by_piece
        made = figure(an_hour(coat, *ways) / one_of(total.unit, "kilogram/hour"), total.unit)
        return (
            f"{said(coat)} on {' at '.join(said(q) for q in ways)} is {made}, {said(total)} was stated: weigh one, "
            f"or ask "
            "for the counter."
        )

    def by_web(coat: Quantity, w: Quantity, v: Quantity) -> float:
        return (size(coat, "kilogram/metre**2") or 0.0) * (size(w, "metre") or 0.0) * (size(v, "metre/hour") or 0.0)

    def by_piece(coat: Quantity, a: Quantity, r: Quantity) -> float:
        return (size(coat, "kilogram/metre**2") or 0.0) * (size(a, "metre**2") or 0.0) * (per_hour(r) or 0.0)

    widths = pool(index, "metre", None, None, ("width",))
    speeds = [q for q in pool(index, "metre/minute", None, None, ("speed",)) if q.unit != "rpm"]
    yield from product(walk, rule, row, [coats[:1], widths, speeds], used, by_web, "kilogram/hour", say, within=120)
    areas = pool(index, "metre**2", None, None, ("area",))
    rates = [q for q in index.of("rate") if per_hour(q) and q.value_max is None]
    yield from product(walk, rule, row, [coats[:1], areas, rates], used, by_piece, "kilogram/hour", say, within=120)


_PACKS = "case|carton|box|bag|sack|tray|crate|pack|packet|bundle|shot|sleeve|shipper|outer|multipack|pouch|tub|jar|tin"
_IN_A_PACK = re.compile(
    r"\b(?:in(?:to)?|per|to|makes?|fills?|goes? in(?:to)?|holds?|takes?|of) (?:a|an|the|each|every|one) (?:\w+ )?"
    rf"({_PACKS})\b"
)
_PACK = re.compile(rf"\b(?:{_PACKS})s?\b")
_EMPTY = re.compile(r"\b(?:empty|tare|gross|rated|capacity|max\w*|up to|limit|hoist|lift\w*|conveyor)\b")


_NET = re.compile(r"\b(?:net|printed|label\w*|declared|marked|stated weight)\b")


def pieces_make_the_pack(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Twenty-four pouches into a case; a pouch is 250 grams; the case label says net eight kilos".

    Arithmetic: count in a pack × weight of one = weight of the pack. Tolerance: limits.toml, pieces make the pack, plus
    wording; the high side leaves room for the packing. Only a count told as what goes into a case, box or shot, the
    weight of one of what was counted, and a weight told of that pack, within a minute and a half. Always a question.
    Source: plain arithmetic.
    """
    rule = "pieces_make_the_pack"
    index = facts(walk)
    weights = pool(index, "gram", None, _EMPTY, ("weight",))
    for c in counted(index):
        found = _IN_A_PACK.search(" ".join((*c.before.split()[-5:], str(c.value), *c.behind.split()[:7])))
        if found is None or c.value > 2000 or (_PACK.fullmatch(c.noun) and c.noun == found.group(1)):
            continue
        pack, n = found.group(1), told_count(c.noun, c.value, c.evidence)
        near = [w for w in weights if abs(moment(w) - c.at) <= 60]
        named = re.compile(rf"\b{c.noun}s?\b")
        ones = [w for w in near if singular(head(w.subject)) == c.key]
        ones = ones or [w for w in near if named.search(called(index, w)) and not _PACK.search(w.subject)]
        if not ones:  # "one biscuit has ten grams", told minutes before
            ones = [w for w in weights if singular(head(w.subject)) == c.key]
            ones = ones if distinct(ones, "gram") == 1 else []
        packs = [w for w in near if w not in ones and (pack in called(index, w) or pack in w.subject)]

        row = limit(vocabulary, "pieces make the pack")
        yield from product(
            walk, rule, row, [[n], ones], packs, lambda n, w: n.value * (size(w, "gram") or 0.0), "gram", _pack_words,
            within=float("inf"), counts=False,
        )  # fmt: skip

    # "twelve pouches go into each carton": counted as a thing of the list, and the pack told by its net weight
    for thing in index.components:
        if not thing.count or not 2 <= thing.count <= 500 or any(c.value == thing.count for c in counted(index)):
            continue
        n = told_count(head(thing.name), thing.count, thing.evidence)
        near = [w for w in weights if abs(moment(w) - moment(thing)) <= 45]
        ones = [w for w in near if head(w.subject) == head(thing.name)]
        packs = [w for w in near if w not in ones and _NET.search(called(index, w)) and _PACK.search(sentence(w))]
        yield from product(
            walk, rule, limit(vocabulary, "pieces make the pack"), [[n], ones], packs,
            lambda n, w: n.value * (size(w, "gram") or 0.0), "gram", _pack_words, within=60, counts=False,
        )  # fmt: skip


def _pack_words(n: Quantity, w: Quantity, total: Quantity) -> str:
    made = figure(n.value * (size(w, total.unit) or 0.0), total.unit)
    return (
        f"{number(n.value)} {plural(n.subject)} of {said(w)} are {made}, {said(total)} was stated: weigh one, or "
        "count what goes in."
    )


_CAVITIES = frozenset(("cavity", "impression", "nest"))


def parts_of_a_shot(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "A shot weight of 370 grams on polystyrene; eight cavities; part weight says sixty grams".

    Arithmetic: cavities × weight of a part ≤ weight of a shot. Tolerance: limits.toml, parts of a shot, plus wording;
    less is sprue or a smaller tool. Only one count of cavities, one weight told of a shot and one told of a part.
    Always a question. Source: conservation of mass.
    """
    rule = "parts_of_a_shot"
    index = facts(walk)
    counts = {c.value: told_count(c.noun, c.value, c.evidence) for c in counted(index) if c.noun in _CAVITIES}
    weights = pool(index, "gram", None, None, ("weight",))
    shots = [w for w in weights if re.search(r"\bshot\b", called(index, w))]
    parts = [
        w for w in weights if w not in shots and re.search(r"\b(?:part|piece|moulding|molding)\b", called(index, w))
    ]
    if len(counts) != 1 or distinct(shots, "gram") != 1 or distinct(parts, "gram") != 1:
        return

    def say(n: Quantity, w: Quantity, shot: Quantity) -> str:
        made = figure(n.value * (size(w, shot.unit) or 0.0), shot.unit)
        return (
            f"{number(n.value)} {plural(n.subject)} of {said(w)} are {made}, a shot of {said(shot)} was stated: weigh "
            "a part, or read the shot on the plate."
        )

    yield from product(
        walk, rule, limit(vocabulary, "parts of a shot"), [list(counts.values()), parts[:1]], shots[:1],
        lambda n, w: n.value * (size(w, "gram") or 0.0), "gram", say, within=float("inf"), counts=False,
    )  # fmt: skip


_ACROSS = re.compile(
    r"^(?:\w+ )?(?:along|across|wide|deep|long|rows?|by|lengthwise|crosswise|down|abreast|up|columns?|each way|in a "
    r"row)\b"
)
_FULL = re.compile(
    r"\b(?:a|one|each|per|every|full|whole|the) (?:full |whole )?(tray|layer|sheet|case|pallet|box|carton|frame|"
    r"crate|mould|"
    r"mold|tool|plate|rack|board|panel)\b"
)


def pattern_makes_the_count(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The pattern's five along and four across", and "a full tray has twenty-four cans in it".

    Arithmetic: rows × columns (× layers, where told as high) = pieces. Tolerance none. Only two numbers of one sentence
    told as along, across, by or rows, and one count told of a full tray, layer or case within 40 s. Always a question:
    a pattern may leave gaps. Source: plain counting.
    """
    rule = "pattern_makes_the_count"
    index = facts(walk)
    bare = [n for n in walk.loose if n.evidence and 2 <= n.value <= 60 and n.value == int(n.value)]
    for a in bare:
        if not _ACROSS.match(a.behind):
            continue
        b = next((n for n in bare if n is not a and 0 < n.evidence[0].start - a.evidence[0].start <= 4), None)
        if b is None or not (_ACROSS.match(b.behind) or (_ACROSS.match(a.behind) and a.behind.startswith("by "))):
            continue
        third = next((n for n in bare if n not in (a, b) and re.match(r"high|layers?|deep", n.behind)
                      and 0 < n.evidence[0].start - b.evidence[0].start <= 5), None)  # fmt: skip
        made = a.value * b.value
        allowed = {made, made * third.value} if third is not None else {made}
        at = a.evidence[0].start
        totals = [
            c for c in counted(index)
            if _FULL.search(f"{' '.join(c.before.split()[-6:])} {c.value} {' '.join(c.behind.split()[:6])}")
            and abs(c.at - at) <= 40 and c.at != at and not _ACROSS.match(c.behind)
            and c.evidence not in (a.evidence, b.evidence)
        ]  # fmt: skip
        if len({c.value for c in totals}) != 1:
            continue
        c = totals[0]
        figures = [
            told_count("row", int(a.value), a.evidence),
            told_count("column", int(b.value), b.evidence),
            told_count(c.noun, c.value, c.evidence),
        ]
        if any(c.value % m == 0 and c.value // m <= 12 for m in allowed) or not 0.2 <= c.value / max(allowed) <= 5:
            continue  # as many layers as were not told

        def holds(a: Quantity, b: Quantity, c: Quantity, times: float = max(allowed) / made) -> bool:
            return c.value in (a.value * b.value, a.value * b.value * times)

        message = (
            f"{number(a.value)} by {number(b.value)} are {number(made)}, {number(c.value)} {plural(c.noun)} were "
            f"stated: "
            "count one, and ask for the pattern."
        )
        yield from verdict(rule, figures, holds, message, level="check")


_WHOLE = re.compile(
    r"\b(?:whole (?:machine|thing|line|lot|press|unit|baler)|machine|complete|altogether|in total|total|all in|all up|"
    r"overall|shipping weight|net weight|on the plate|press weight|plate weight)\b"
)
_SPLITS = re.compile(
    r"\b(?:splits?|comes? apart|breaks? down|in (?:two|three|four|five) (?:pieces|parts|bits|loads|sections|lifts)|"
    r"moves? in)\b"
)
_NO_PART = re.compile(
    r"\b(?:capacity|rated|rates?|lifts?|takes?|up to|max\w*|crane|hoist|tons? press|per|an? (?:hour|day)|load(?:ed|s)?|"
    r"coil|bale|batch|product|charge|force|clamp\w*|forklift|truck)\b"
)


def parts_make_the_weight(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "It splits in three: the column is 4.2 tonnes, the bed six, the table 1.8"; and "the whole machine's nine
    tonnes".

    Arithmetic: the parts weigh no more than the whole; where it was said into how many it comes apart and each was
    told, no less either. Tolerance: limits.toml, parts make the weight, plus wording. Only two or more weights of
    different things told within half a minute, none of them a load or a rating, and one weight told of the whole
    within three minutes. Always a question; only a plate or a document settles a weight for lifting. Source: plain
    arithmetic.
    """
    rule = "parts_make_the_weight"
    index = facts(walk)
    row = limit(vocabulary, "parts make the weight")
    weights = [q for q in pool(index, "kilogram", None, _NO_PART, ("weight",)) if (size(q, "kilogram") or 0.0) >= 100]
    wholes = [q for q in weights if _WHOLE.search(called(index, q))]
    if distinct(wholes, "kilogram") != 1:
        return
    whole = wholes[-1]
    parts: dict[frozenset[str], Quantity] = {}
    for q in weights:
        if q not in wholes and abs(moment(q) - moment(whole)) <= 180:
            parts.setdefault(frozenset(words(q.subject)), q)
    told = list(parts.values())
    if not 2 <= len(told) <= 6 or max(moment(q) for q in told) - min(moment(q) for q in told) > 30:
        return
    made = sum(size(q, "kilogram") or 0.0 for q in told)
    story = " ".join(sentence(q) for q in told)
    open_below = not _SPLITS.search(story)
    ratio = made / (size(whole, "kilogram") or 1.0)
    if settled(walk, whole, *told) or not 0.25 <= ratio <= 4:
        return

    def holds(whole: Quantity, *told: Quantity) -> bool:
        ratio = sum(size(q, "kilogram") or 0.0 for q in told) / (size(whole, "kilogram") or 1.0)
        loose = slack(whole, *told)
        return ratio <= row["high"] + loose and (open_below or ratio >= row["low"] - loose)

    message = (
        f"{', '.join(said(q) for q in told)} are {figure(round(made / one_of(whole.unit, 'kilogram'), 1), whole.unit)} "
        f"together, {said(whole)} was stated for the whole: read the plate again, only a plate or a document settles "
        f"it."
    )
    yield from verdict(rule, [whole, *told], holds, message, level="check")


_HIGH = re.compile(
    r"^(?:\w+ )?(?:high|on top of (?:each|one an)other|to a stack|in a stack|to a pile|per stack|a stack)\b"
)
_STACK = re.compile(r"\b(?:stack(?!er)\w*|pile\w*)\b")


def pieces_make_the_stack(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "It takes pallets twenty high; a pallet's 144 millimetres; so you've a stack of two metres".

    Arithmetic: pieces high × height of one = height of the stack. Tolerance: limits.toml, pieces make the stack, plus
    wording. Only a number told as so many high, one thickness or height of a piece and one greater height or length
    told of a stack or pile, within a minute. Always a question. Source: plain arithmetic.
    """
    rule = "pieces_make_the_stack"
    index = facts(walk)
    row = limit(vocabulary, "pieces make the stack")
    for n in walk.loose:
        if not n.evidence or not _HIGH.match(n.behind) or not 3 <= n.value <= 500 or n.value != int(n.value):
            continue
        count = told_count("piece", int(n.value), n.evidence)
        lengths = pool(index, "metre", None, None, ("length", "height", "thickness", "depth"))
        lengths = [q for q in lengths if abs(moment(q) - n.evidence[0].start) <= 60]
        stacks = [q for q in lengths if _STACK.search(called(index, q))]
        ones = [q for q in lengths if q not in stacks]

        def say(count: Quantity, one: Quantity, total: Quantity) -> str:
            made = figure(count.value * one.value * one_of(one.unit, total.unit), total.unit)
            return (
                f"{number(count.value)} of {said(one)} are {made} high, {said(total)} was stated: count, "
                "or measure one."
            )

        yield from product(
            walk, rule, row, [[count], ones], stacks, lambda count, one: count.value * (size(one, "metre") or 0.0),
            "metre", say, within=60, counts=False,
        )  # fmt: skip


_BORE = re.compile(r"\b(?:bore|ram|cylinder|piston)\b")
_TRAVEL = re.compile(r"\b(?:stroke|travel|daylight)\b")
_STROKE_TIME = re.compile(
    r"\b(?:strokes?|extend\w*|out|down|forward|full (?:stroke|travel)|press(?:es|ing)?|closes?|closing|cycle|push\w*|"
    r"up)\b"
)
_QUICK = re.compile(
    r"\b(?:regenerat\w*|pre-?fill|accumulator|rapid|approach|high-?low|two pumps|booster|kick\w*|both pumps)\b"
)


def pump_fills_the_cylinder(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The ram's a ten inch bore and sixty inch stroke; the pump gives forty gallons; out stroke takes five seconds".

    Arithmetic: time ≥ π/4·bore²·stroke / flow. Tolerance: limits.toml, pump fills the cylinder, plus wording; slower is
    throttled. Only one bore, stroke and liquid flow, and a time told of the stroke, no prefill, accumulator or rapid
    approach in the story; several cylinders or pumps that explain it keep it quiet. Always a question. Source: plain
    geometry.
    """
    rule = "pump_fills_the_cylinder"
    index = facts(walk)
    bores = pool(index, "metre", _BORE, None, ("diameter",))
    strokes = pool(index, "metre", _TRAVEL, None, ("length", "height", "depth"))
    flows = list(pool(index, "litre/minute", None, re.compile(r"\b(?:air|water|coolant|cfm)\b"), ("flow",)))
    times = pool(index, "second", _STROKE_TIME, None, ("duration", "cycle", "dwell"))
    if any(_QUICK.search(sentence(q)) for q in (*bores, *strokes, *flows, *times)):
        return
    if distinct(bores, "metre") != 1 or distinct(flows, "litre/minute") != 1:
        return

    def seconds(b: Quantity, s: Quantity, f: Quantity) -> float:
        volume = math.pi / 4 * (size(b, "metre") or 0.0) ** 2 * (size(s, "metre") or 0.0)
        return volume / ((size(f, "metre**3/second") or 0.0) or math.inf)

    def say(b: Quantity, s: Quantity, f: Quantity, t: Quantity) -> str:
        need = figure(round(seconds(b, s, f) / one_of(t.unit, "second"), 1), t.unit)
        return (
            f"{said(s)} of a {said(b)} bore take {need} at {said(f)}, {said(t)} was stated: time one stroke, and "
            f"read the "
            "plate of the pump."
        )

    row = limit(vocabulary, "pump fills the cylinder")
    yield from product(
        walk, rule, row, [bores[:1], strokes, flows[:1]], times, seconds, "second", say, within=300, far=40
    )


RULES = (
    coat_of_an_area,
    pieces_make_the_pack,
    parts_of_a_shot,
    pattern_makes_the_count,
    parts_make_the_weight,
    pieces_make_the_stack,
    pump_fills_the_cylinder,
)
