"""Geometry: sizes against the volume or area stated, stations and sections along a line."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from itertools import pairwise

from extractors.phrases import many_of
from pipeline.checks.facts import Facts, facts, is_whole, limit, one_of, size, slack
from pipeline.checks.nearby import told_in
from pipeline.checks.offers import verdict
from pipeline.checks.subjects import alike, head, mentions, singular, words
from pipeline.checks.wording import clean, compared, figure, moment, number, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

SIDES = ("length", "width", "height", "depth", "diameter")
BESIDE = 12.0
"""Seconds between "twelve by four by six" and "thirty two hundred gallons" of one tank; common practice, no source."""
_VESSELS = (
    "tank",
    "vessel",
    "sump",
    "pit",
    "basin",
    "hopper",
    "bin",
    "silo",
    "tun",
    "kettle",
    "receiver",
    "drum",
    "box",
)


def volume_from_sizes(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Length × width × depth, or a cylinder, against the volume stated for the same tank.

    Arithmetic: box l·w·d, cylinder π/4·d²·h; 231 in³ a US gallon, 277.42 in³ an imperial one (NIST Handbook 44 App. C,
    NIST SP 811), through pint. Tolerance (limits.toml, volume_over and volume_under): up to 25 % under the geometric
    volume is normal (freeboard, coils, outside sizes), 3 % over is rounding; a cylinder may have heads, so up to 25 %
    over is only asked. The other gallon is among the offers where it fits. Source: NIST Handbook 44 App. C, SP 811.
    """
    rule = "volume_from_sizes"
    index = facts(walk)
    over, under = limit(vocabulary, "volume_over")["high"], limit(vocabulary, "volume_under")["low"]
    for v in index.of("volume"):
        sides = _sides(index, v)
        if sides is None:
            if any(mentions(v.subject, w) for w in ("tank", "vessel", "pit", "sump", "hopper", "silo", "basin")):
                yield compared(rule, [v], "could not be compared", "for want of its inside sizes")
            continue
        litres = size(v, "litre")
        geometric = _geometric(*sides)
        if litres is None or geometric is None:
            continue
        if litres < 0.4 * geometric and not mentions(v.subject, *_VESSELS):
            yield compared(rule, [v, *sides], "could not be compared", "the volume may be of something in it")
            continue
        if not 0.08 <= litres / geometric <= 12.5:
            yield compared(rule, [v, *sides], "could not be compared", "the sizes may be of what it stands in")
            continue
        round_one = any(q.property == "diameter" for q in sides)
        n = _how_many(index, v)

        def holds(v: Quantity, *sides: Quantity, n: int = n) -> bool:
            full, stated = _geometric(*sides), size(v, "litre")
            if not full or not stated:
                return False
            loose = slack(v, *sides)
            if under - loose <= stated / full <= 1 + over + loose:
                return True
            # said of all of them together
            return n > 1 and 0.9 - loose <= stated / (full * n) <= 1 + over + loose

        in_unit = geometric / one_of(v.unit, "litre")
        of = " × ".join(figure(q.value, q.unit, q.value_max) for q in sides)
        message = (
            f"{clean(v.subject)}: {of} {'as a cylinder ' if round_one else ''}holds about {figure(in_unit, v.unit)}, "
            f"{said(v)} was stated. Measure again, or ask for the drawing."
        )
        ratio = litres / geometric
        asked = ratio < under or _inferred(v, sides[0]) or (round_one and ratio <= 1.25 + slack(v, *sides))
        yield from verdict(
            rule, [v, *sides], holds, message, level="check" if asked else "conflict", note=f"{ratio:.2f} of it"
        )


def _geometric(*sides: Quantity) -> float | None:
    """Litres of a box or an upright cylinder."""
    metres = {q.property: size(q, "metre") for q in sides}
    if any(m is None or m <= 0 for m in metres.values()):
        return None
    if (d := metres.get("diameter")) is not None:
        tall = [m for p, m in metres.items() if p != "diameter" and m is not None]
        return math.pi / 4 * d * d * tall[0] * 1000 if len(tall) == 1 else None
    return math.prod(m for m in metres.values() if m is not None) * 1000


def _sides(index: Facts, v: Quantity) -> tuple[Quantity, ...] | None:
    """The sizes that belong to a volume: a cylinder's two or a box's three."""
    for pool in (
        [q for q in index.of(*SIDES) if alike(q.subject, v.subject) == "same"],
        [q for q in index.of(*SIDES) if alike(q.subject, v.subject) == "near" and abs(moment(q) - moment(v)) <= BESIDE],
    ):
        near = sorted((q for q in pool if not _nearer(index, v, q)), key=lambda q: abs(moment(q) - moment(v)))
        one: dict[str, Quantity] = {}
        for q in near:
            one.setdefault(q.property, q)
        if "diameter" in one:
            tall = one.get("height") or one.get("length") or one.get("depth") or _to_the_top(index, one["diameter"])
            if tall is None and (two := _across_and_up(near, v)) is not None:
                return two
            if tall is not None:
                return one["diameter"], tall
        elif len(one) == 2 and (square := _square(one)) is not None:
            return square
        elif "length" in one and "width" in one and ("depth" in one or "height" in one):
            return one["length"], one["width"], one.get("depth") or one["height"]
        elif "width" in one and "depth" in one and "height" in one:
            return one["width"], one["depth"], one["height"]
    return _said_beside(index, v) or _by_another_name(index, v)


def _by_another_name(index: Facts, v: Quantity) -> tuple[Quantity, ...] | None:
    """ "A makeup tank, poly, four by four by five", and later "the poly tank, nine hundred gallons": the sizes of the
    one vessel of that noun whose sentence holds what the volume calls it, or whose name the volume's sentence holds."""
    noun, own = head(v.subject), set(words(v.subject))
    if noun not in _VESSELS or len(own) < 2:
        return None
    found = []
    for name in index.subjects(*SIDES):
        called = set(words(name))
        if head(name) != noun or len(called) < 2 or called & own != {noun}:
            continue
        row = [q for q in index.of(*SIDES) if alike(q.subject, name) == "same"]
        told = {w for q in row for w in words(q.around or "")}
        if own <= told or called - {noun} <= set(words(v.around or "")):
            found.append(row)
    if len(found) != 1 or any(alike(q.subject, v.subject) == "same" for q in index.of(*SIDES)):
        return None
    by = {q.property: q for q in found[0]}
    if len(by) != len(found[0]):
        return None
    if set(by) in ({"length", "width", "depth"}, {"length", "width", "height"}):
        return tuple(found[0])
    round_one = "diameter" in by and len(by) == 2
    return (by["diameter"], next(q for p, q in by.items() if p != "diameter")) if round_one else None


def _inferred(v: Quantity, side: Quantity) -> bool:
    """Whether volume and sizes are of one noun in two names, as `_by_another_name` brings them together."""
    return head(v.subject) == head(side.subject) and alike(v.subject, side.subject) == ""


def _nearer(index: Facts, v: Quantity, side: Quantity) -> bool:
    """Whether a size was said with another volume of the same words: bin two's sizes are not bin four's."""
    gap = abs(moment(side) - moment(v))
    rivals = (
        r for r in index.of("volume") if r is not v and alike(r.subject, v.subject) == "same" and r.value != v.value
    )
    return any(
        abs(moment(side) - moment(r)) < gap and not (r.unit != v.unit and abs(moment(r) - moment(v)) < 5)
        for r in rivals
    )


def _square(one: dict[str, Quantity]) -> tuple[Quantity, ...] | None:
    """ "Four foot by four foot by three": one figure said twice in a breath is two sides of the same size."""
    flat = one.get("length") or one.get("width")
    tall = one.get("depth") or one.get("height")
    if flat is None or tall is None or flat is tall:
        return None
    starts = [e.start for e in flat.evidence]
    if not any(0 < b - a <= 4 for a, b in pairwise(starts)):
        return None
    return flat, replace(flat, property="width" if flat.property == "length" else "length"), tall


def _across_and_up(near: list[Quantity], v: Quantity) -> tuple[Quantity, Quantity] | None:
    """ "Eighteen foot across and sixteen to the top", both filed as across: the second of a breath is the height."""
    pair = sorted((q for q in near if q.property == "diameter" and abs(moment(q) - moment(v)) <= BESIDE), key=moment)
    if len(pair) != 2 or moment(pair[1]) - moment(pair[0]) > 4 or not moment(pair[0]) <= moment(v):
        return None
    return pair[0], replace(pair[1], property="height")


def _to_the_top(index: Facts, across: Quantity) -> Quantity | None:
    """ "Eighteen foot across and sixteen foot to the eave": how high a round one stands, said of its top edge."""
    at = moment(across)
    tops = [q for q in index.of(*SIDES) if 0 < moment(q) - at <= 8 and mentions(q.subject, *_TOPS)]
    return replace(tops[0], property="height") if tops else None


_TOPS = ("eave", "sidewall", "wall", "side", "straight", "rim", "knuckle", "roof", "top", "shoulder", "overflow")


def _said_beside(index: Facts, v: Quantity) -> tuple[Quantity, ...] | None:
    """Three sizes said in one breath beside the volume, whatever they were filed under."""
    if not mentions(v.subject, *_VESSELS, *_numbered(v)):
        return None
    at = moment(v)
    told = [
        (min((e.start for e in q.evidence), key=lambda t: abs(t - at)), q) for q in index.of(*SIDES[:4]) if q.evidence
    ]
    close = [(t, q) for t, q in told if abs(t - at) <= BESIDE]
    near = [q for _, q in close]
    if (round_one := _round_before(index, v)) is not None:
        return round_one
    if len(near) != 3 or max(t for t, _ in close) - min(t for t, _ in close) > BESIDE / 2:
        return None
    if sum(abs(moment(x) - moment(v)) <= BESIDE for x in index.of("volume")) != 1:
        return None
    if any(_another_vessel(q.subject, v.subject) for q in near):
        return None
    by = {q.property: q for q in near}
    return tuple(near) if len(by) == 3 and "width" in by else None


def _another_vessel(a: str, b: str) -> bool:
    """ "The makeup tank, four by four by five, and two bladder tanks, four hundred gallons": whether two subjects are
    vessels told apart by name."""
    x, y = set(words(a)), set(words(b))
    named = head(a) in _VESSELS and head(b) in _VESSELS and len(x) > 1 and len(y) > 1
    return named and not (x <= y or y <= x)


_STROKE = frozenset(("ram", "cylinder", "piston", "bore", "stroke"))
"""Words of a hydraulic cylinder: what its bore and stroke hold is no tank."""


def _round_before(index: Facts, v: Quantity) -> tuple[Quantity, ...] | None:
    """ "The silo, twelve foot across and twenty tall, a plain round bin, in the books at 5,000 cubic feet": a round one
    described right before its volume, by another name."""
    at = moment(v)
    across = [
        q for q in index.of("diameter") if 0 < at - moment(q) <= BESIDE and not _STROKE & {*words(q.around or "")}
    ]
    if len(across) != 1 or sum(abs(moment(x) - at) <= BESIDE for x in index.of("volume")) != 1:
        return None
    # "the drum, four feet by ten. Beside it's the syrup kettle, 150 gallons": another vessel has been turned to
    first = min((moment(c) for c in index.components if alike(c.name, v.subject) == "same"), default=0.0)
    turned_to = moment(across[0]) < first <= at and alike(across[0].subject, v.subject) == ""
    if turned_to and not told_in(across[0], v.around or ""):
        return None
    tall = [q for q in index.of("height", "depth", "length") if 0 < moment(q) - moment(across[0]) <= 4]
    own = [q for q in tall if alike(q.subject, across[0].subject) == "same"]
    return (across[0], own[0]) if len(own) == 1 else None


def _numbered(v: Quantity) -> tuple[str, ...]:
    """Words of a station's role, as a tank is called by what is done in it."""
    own = words(v.subject)
    return own if len(own) <= 2 and not any(c in own for c in ("bottle", "can", "oil", "glass")) else ()


def _how_many(index: Facts, v: Quantity) -> int:
    """How many of it a volume said without "each" may be the sum of."""
    component = index.count_of(v.subject)
    return component.count if component is not None and component.count and not v.each else 1


def stations_fit_line(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """The stations' sizes, one after the other, against the length of the line they stand in.

    Arithmetic: count × the lesser of a station's length and width ≤ length of the line; for zones and sections, whose
    length runs along the line, count × length. Tolerance 2 % plus wording; gaps and ends are free. Source: geometry.
    """
    rule = "stations_fit_line"
    index = facts(walk)
    for word, name, n in _rows(index):
        along = word in ("zone", "section", "module", "compartment", "stage", "chamber")
        own = [q for q in index.of("length", "width", "diameter") if head(q.subject) == word and _general(q, word)]
        whole = [q for q in index.of("length") if _is_row(index, q.subject, word, name)]
        if along:
            own = [q for q in own if q.property == "length"]
        if not own or len(whole) != 1 or n < 2:
            continue
        if not along and not any(q.property in ("width", "diameter") for q in own):
            continue  # a long tank may stand crossways
        least = min(own, key=lambda q: size(q, "metre") or math.inf)
        total = n * (size(least, whole[0].unit) or 0.0)
        message = (
            f"{many_of(n, word)} of {said(least)} take {figure(total, whole[0].unit)}, more than the "
            f"{said(whole[0])} of {clean(whole[0].subject)}: measure the length again, or count again."
        )

        def holds(station: Quantity, line: Quantity, n: int = n) -> bool:
            a, b = size(station, "metre"), size(line, "metre")
            return a is not None and b is not None and n * a <= b * (1.02 + slack(station, line))

        yield from verdict(rule, [least, whole[0]], holds, message)


_ROWED = frozenset(("zone", "section", "module", "compartment", "chamber", "tank", "bay", "cell"))
"""Nouns of things that stand one behind the other."""


def _rows(index: Facts) -> Iterator[tuple[str, str, int]]:
    """Rows of equal things: numbered stations, or a counted component, each with the word that names one."""
    for seq in index.walk.sequences:
        n = seq.stated_count or len(seq.stations)
        if seq.station_word:
            yield singular(seq.station_word), seq.name, n
    for c in index.components:
        if c.count and c.count > 2 and head(c.name) in _ROWED:
            yield head(c.name), c.name, c.count


def _general(q: Quantity, word: str) -> bool:
    """A size said of every station, and not of one by its number or role."""
    return q.each or set(words(q.subject)) <= {word, "process", "standard", "heating"}


def _is_row(index: Facts, subject: str, word: str, name: str) -> bool:
    own = set(words(subject))
    if not own or own == {word}:
        return False
    return own <= {"row", "line", word} or own == set(words(name)) or is_whole(index.walk, subject)


def lengths_add_up(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Sections with lengths of their own against the whole they are sections of.

    Arithmetic: two or more named sections (load, wash, rinse, cooling section) add up to no more than the whole.
    Tolerance 2 % plus wording. Source: plain geometry.
    """
    rule = "lengths_add_up"
    index = facts(walk)
    sections = [q for q in index.of("length") if head(q.subject) in ("section", "zone", "module") and not q.each]
    named = [q for q in sections if len(words(q.subject)) > 1]
    wholes = [q for q in index.of("length") if is_whole(walk, q.subject)]
    if len(named) < 2 or len(wholes) != 1:
        return
    total = sum(size(q, wholes[0].unit) or 0.0 for q in named)
    message = (
        f"{len(named)} sections, {' + '.join(number(size(q, wholes[0].unit) or 0.0) for q in named[:5])}, make "
        f"{figure(total, wholes[0].unit)}, more than the {said(wholes[0])} of "
        f"{clean(wholes[0].subject)}: measure again."
    )

    def holds(whole: Quantity, *parts: Quantity) -> bool:
        a = size(whole, "metre") or 0.0
        return sum(size(q, "metre") or math.inf for q in parts) <= a * (1.02 + slack(whole))

    yield from verdict(rule, [wholes[0], *named], holds, message)


def area_from_sides(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Length × width against the area stated for the same subject. Tolerance 10 % plus wording. Source: geometry."""
    rule = "area_from_sides"
    index = facts(walk)
    for a in index.of("area"):
        sides = [q for p in ("length", "width") for q in index.of(p) if alike(q.subject, a.subject) == "same"]
        crossed = len(sides) == 2 and 0 < abs(moment(sides[1]) - moment(sides[0])) <= 4  # "forty by thirty feet"
        if len(sides) != 2 or not (crossed or {q.property for q in sides} == {"length", "width"}):
            continue

        def holds(area: Quantity, x: Quantity, y: Quantity) -> bool:
            total, p, q = size(area, "metre**2"), size(x, "metre"), size(y, "metre")
            if total is None or p is None or q is None:
                return False
            return abs(p * q - total) <= (0.10 + slack(area, x, y)) * total

        own = (size(sides[0], "metre") or 0.0) * (size(sides[1], "metre") or 0.0)
        per = one_of(a.unit, "metre**2")
        message = (
            f"{clean(a.subject)}: {said(sides[0])} × {said(sides[1])} is {figure(own / per, a.unit)}, "
            f"{said(a)} was stated: measure again."
        )
        yield from verdict(rule, [a, *sides], holds, message, level="check")


RULES = (
    volume_from_sizes,
    stations_fit_line,
    lengths_add_up,
    area_from_sides,
)
