"""The same thing said twice: two values of one subject and property beyond what their wording allows."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import date
from itertools import pairwise

from pipeline.checks.facts import (
    Facts,
    apart,
    bounds,
    facts,
    has_dimension,
    is_whole,
    noun_class,
    per_hour,
    size,
    slack,
    system,
)
from pipeline.checks.nearby import attributive, lead, parted
from pipeline.checks.of_another import of_another
from pipeline.checks.offers import verdict
from pipeline.checks.passing import told_of_what_passes
from pipeline.checks.states import in_two_states, two_sides
from pipeline.checks.subjects import alike, head, mentions, singular, words
from pipeline.checks.wording import clean, compared, moment, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

NEXT = 30.0
"""Seconds in which a rate without a machine is of the one told before; common practice, no source."""

FIRM = frozenset(("length", "width", "height", "depth", "diameter", "thickness", "volume", "area", "weight"))
"""Properties of which a thing has one value, so that two are a contradiction."""
LOOSE = frozenset(
    (
        *("voltage", "frequency", "phases", "hours", "power", "temperature", "current", "ph", "concentration"),
        *("pressure", "flow", "other"),
    )
)
"""Properties of which a thing may have several values (settings, windings, states): two are a question."""
NEARBY = 25.0
"""Seconds within which a bare "the pump" is the same pump; common practice, no source."""

_RATED = frozenset(
    ("motor", "burner", "heater", "rectifier", "transformer", "compressor", "boiler", "generator", "spindle")
)
"""Things that have one power and one current of their own."""

_UNITS = {
    "length": "metre",
    "width": "metre",
    "height": "metre",
    "depth": "metre",
    "diameter": "metre",
    "thickness": "metre",
    "volume": "litre",
    "area": "metre**2",
    "weight": "kilogram",
    "voltage": "volt",
    "frequency": "hertz",
    "phases": "",
    "hours": "hour",
    "power": "watt",
    "temperature": "kelvin",
    "current": "ampere",
    "ph": "",
    "concentration": "percent",
    "pressure": "pascal",
    "flow": "litre/minute",
    "other": "kilogram",
}
_LIMITS = frozenset(("design", "rated", "maximum", "allowable", "nominal", "setting", "set"))
"""Words with which a pressure or a flow has one value: a running figure moves."""
_SAME_ASPECT = {"rated": "", "overall": "", "total": "", "stated": ""}
"""Qualifiers that name what a bare figure is taken to be as well."""
_MECHANICAL = frozenset(("horsepower", "kilowatt", "watt", "megawatt"))
_NOMINAL_VOLTS = (
    (440, 460, 480),
    (220, 230, 240),
    (200, 208),
    (110, 115, 120, 125),
    (380, 400, 415),
    (550, 575, 600),
    (2300, 2400),
    (4000, 4160),
)
"""Nominal system beside utilisation voltage: ANSI C84.1 (480/460, 240/230, 208/200, 120/115, 600/575), IEC 60038
(400 V, formerly 380 and 415)."""
_PIPE = {
    0.5: 0.84,
    0.75: 1.05,
    1: 1.315,
    1.25: 1.66,
    1.5: 1.9,
    2: 2.375,
    2.5: 2.875,
    3: 3.5,
    4: 4.5,
    6: 6.625,
    8: 8.625,
}
"""Nominal pipe size to outside diameter, inches: ASME B36.10M."""
_LUMBER = {2: 1.5, 4: 3.5, 6: 5.5, 8: 7.25, 10: 9.25, 12: 11.25}
"""Nominal to dressed lumber, inches: American Softwood Lumber Standard PS 20."""


def same_figure_twice(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Two values of one property of one subject.

    Arithmetic: both in one unit; they agree where their ranges meet within 1 % plus what the wording allows ("about"
    10 %, with doubt 15 %). In units of two systems 3 % (rounding), power 7.5 % (a 7.5 hp frame is sold as 5.5 kW: NEMA
    MG 1 beside IEC 60072-1). No contradiction: nominal beside actual, figures narrowed by different words ("working",
    "dry"), one for each and one for all. Source: conversion by NIST SP 811; nominal sizes by ANSI C84.1 and IEC 60038
    (volts), ASME B36.10M (pipe), PS 20 (lumber).
    """
    rule = "same_figure_twice"
    index = facts(walk)
    many, products = noun_class(vocabulary, "many"), noun_class(vocabulary, "product")
    for prop in (*sorted(FIRM), *sorted(LOOSE)):
        group = [q for q in index.of(prop) if size(q, _UNITS[prop]) is not None]
        if prop == "weight":
            group += [q for q in index.of("other") if tonnage(q) and _no_force(index, q)]

        def by_other_name(a: Quantity, b: Quantity, prop: str = prop) -> bool:
            return prop in FIRM and _other_name(index, a.subject, b.subject)

        for i, a in enumerate(group):
            for b in group[i + 1 :]:
                if not _one_subject(index, a, b, prop, many, by_other_name):
                    continue
                if head(a.subject) in products and not two_units(a, b) and not is_whole(walk, a.subject):
                    continue  # what travels through comes in several sizes
                if told_of_what_passes(a, b):
                    continue  # `more_than_it_takes` compares them
                if of_another(vocabulary, a, b):
                    continue
                if (prop == "voltage" and two_sides(a, b)) or in_two_states(index, a, b):
                    continue
                if any(w and w not in words(q.subject) for q in (a, b) for w in (_beside_it(q),)):
                    continue  # "the bund round it holds", "out through the door, 2.5 wide": of what was named beside it
                # a figure put right was minded by the speaker: its contradiction is the one taken back
                put_right = (
                    _minded(walk, a, b) or _unit_put_right(a, b) or _is_a_force(index, a) or _is_a_force(index, b)
                )
                at_once = two_units(a, b) and abs(moment(a) - moment(b)) <= 8
                if put_right or (index.ambiguous(a.subject) and not at_once) or _far_apart(a, b, prop):
                    yield compared(rule, [a, b], "could not be compared", "they may be of two things")
                    continue
                if prop in LOOSE and a.unit == b.unit and _several(group, a):
                    yield compared(rule, [a, b], "could not be compared", f"several values of {prop} were said")
                    continue
                # "sixty, hang on, sixty six": what follows at once may be a correction that was not heard as one
                apart_in_time = a.unit != b.unit or not any(_at_once(group, q) for q in (a, b))
                firm = apart_in_time and (prop in FIRM or a.unit != b.unit) and _certain(walk, a, b, products)
                message = (
                    f"{_matter(a, prop)}: {said(a)} at first, {said(b)} later. "
                    f"{'Measure or read it' if prop in FIRM else 'Look'} again, and say which of the two stands."
                )
                yield from verdict(rule, [a, b], _agree, message, level="conflict" if firm else "check")


_NEIGHBOURS = re.compile(r"\b(bund|containment|dike|dyke|door|doorway|shutter|gate|hatch)\b")


def _beside_it(q: Quantity) -> str:
    """The wall or way out that stands in the words right before a figure; empty where none does."""
    found = _NEIGHBOURS.search(" ".join(lead(q)[-7:])) if q.around else None
    return found.group(1) if found is not None else ""


_PRESSING = frozenset(
    ("clamp", "press", "hammer", "brake", "machine", "shear", "baler", "ram", "tonnage", "force", "compactor")
)


_ANOTHER = re.compile(r"\b(next to it|beside it|another|the other|a second|second one|as well|also)\b")
"""Words of a figure of one more of a kind."""


def tonnage_twice(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """The tons that a press is called by, said twice: "a five hundred ton clamp", and later "the 450 ton".

    Arithmetic: both in one unit. Tolerance 3 % plus wording (short and metric tons are both said "ton": 10 % where the
    units differ). Only attributive tons of the machine as a whole, its clamp or its maker's name. Source: plain
    arithmetic.
    """
    rule = "tonnage_twice"
    index = facts(walk)
    kind = str(walk.identity.kind.value) if walk.identity.kind is not None else ""
    if not mentions(kind, "press", "molding", "moulding", "hammer", "brake", "shear", "baler", "stamping", "compactor"):
        return
    called = [
        q
        for q in index.of("other", "weight")
        if tonnage(q) and attributive(q) and (is_whole(walk, q.subject) or set(words(q.subject)) <= _PRESSING)
    ]
    excluded = [c.name for c in index.components if c.disposition == "excluded"]
    called = [q for q in called if not any(alike(q.subject, name) == "same" for name in excluded)]
    for a, b in pairwise(called):
        if (
            _ANOTHER.search(b.around or "")
            or not 0.2 <= (size(b, "kilogram") or 0.0) / (size(a, "kilogram") or 1.0) <= 5
        ):
            continue  # what it weighs: "sixty-three tonne; an eighty-eight press, four point eight tonne"
        message = (
            f"{said(a)} ({clean(a.subject) or 'machine'}) at first, {said(b)} ({clean(b.subject) or 'machine'}) later: "
            "read the plate, and say which of the two stands."
        )

        def holds(a: Quantity, b: Quantity) -> bool:
            loose = 0.03 if a.unit == b.unit else 0.10
            return apart(size(a, "kilogram") or 0.0, size(b, "kilogram") or 0.0) <= loose + slack(a, b)

        yield from verdict(rule, [a, b], holds, message, level="check")


def rate_twice(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Two rates or two cycles of the same counted thing. Tolerance 5 % plus wording.

    Of one machine by name, or where the second names none (what it counts, "the brochure", a word that is no thing of
    the walk) and nothing else was named between the two. Source: plain arithmetic.
    """
    rule = "rate_twice"
    index = facts(walk)
    for prop in ("rate", "cycle"):
        group = [q for q in index.of(prop) if per_hour(q) and "day" not in q.unit and not q.qualifier]
        # "twelve a minute a lane, forty eight a minute, 2,880 an hour": two that agree settle it
        settled = {
            q.id for q in group for r in group if r is not q and alike(q.of or "", r.of or "") and _same_rate(q, r)
        }
        for i, a in enumerate(group):
            for b in group[i + 1 :]:
                counted = bool(a.of and b.of) and alike(a.of or "", b.of or "") == "same"
                one = alike(a.subject, b.subject) == "same" or _of_the_last_named(index, a, b)
                if not counted or not one or a.value_max or b.value_max:
                    continue
                if settled & {a.id, b.id}:
                    if alike(a.subject, b.subject) == "same" and _same_rate(a, b):
                        yield compared(rule, [a, b], "agreed")
                    continue
                message = (
                    f"{clean(a.of or a.subject)} {prop}: {said(a)} at first, {said(b)} later. "
                    "Ask which of the two holds, and for which product."
                )
                yield from verdict(rule, [a, b], _same_rate, message, level="check")


def _of_the_last_named(index: Facts, a: Quantity, b: Quantity) -> bool:
    """Whether a later rate is of the machine of the first: its subject names no thing, and none was named between."""
    things = [c for c in index.components if not alike(c.name, a.subject) and not alike(c.name, a.of or "-")]
    bare = not any(alike(c.name, b.subject) for c in things) and not is_whole(index.walk, b.subject)
    between = any(moment(a) < moment(c) < moment(b) for c in things)
    each = (a.each or b.each) and has_dimension(a.unit, "1/hour")  # a cycle is "a part every eight seconds"
    return bare and not between and 0 < moment(b) - moment(a) <= NEXT and not each


def _same_rate(a: Quantity, b: Quantity) -> bool:
    return apart(per_hour(a) or 0.0, per_hour(b) or 0.0) <= 0.05 + slack(a, b)


_LIFTS = re.compile(r"\b(lift(?:s|ed|ing)?|picks?|picked|carr(?:y|ies|ied)|heaviest|hauls?)\b")
_RATED_AT = frozenset(("rated", "maximum", "design", "allowable"))
_IN_USE = re.compile(r"\b(runs?|running|ran|operat\w+|normally|usually|in use|today|right now|works? at|working at)\b")
"""Words of a figure that a thing is run at."""


_HIGHEST = frozenset("highest top tip peak tallest".split())
_STRAIGHT = re.compile(r"\W*(?:of )?(?:the )?(?:straight|shell|barrel|cylinder|cone|side)\b")


def _extent(q: Quantity) -> tuple[bool, bool]:
    """Whether a size is told up to the highest point, and whether it is that of the straight part alone."""
    return bool(_HIGHEST & {*lead(q)[-8:]}), bool(_STRAIGHT.match(parted(q)[1]))


def _one_subject(
    index: Facts,
    a: Quantity,
    b: Quantity,
    prop: str,
    many: frozenset[str],
    by_other_name: Callable[[Quantity, Quantity], bool],
) -> bool:
    """Whether two figures are of one thing, and of the same aspect of it."""
    if a.each != b.each or (alike(a.subject, b.subject) != "same" and not by_other_name(a, b)):
        return False
    if _side_of(index, a) != _side_of(index, b):
        return False
    if _which(b) and _which(a) != _which(b):
        return False  # "the first mixer is 2,000 litres, the second is 1,500"
    if prop in ("length", "width", "height", "depth") and _extent(a) != _extent(b):
        return False  # "the highest point, the bridge, is five metres", and "the bridge is fourteen long"
    whole = ("overall" in (a.qualifier, b.qualifier)) and a.qualifier != b.qualifier
    if whole and not is_whole(index.walk, a.subject):
        return False  # "the dryer is 4.5 metres; overall it's nine": of the line
    visits = _of_two_visits(a, b)
    if (
        prop in ("pressure", "flow")
        and not visits
        and not (_LIMITS & {*words(f"{a.subject} {a.qualifier or ''}")} and a.qualifier)
    ):
        return False
    if (a.qualifier in _RATED_AT) != (b.qualifier in _RATED_AT) and _IN_USE.search(
        f"{a.around or ''} {b.around or ''}"
    ):
        return False  # `use_above_rating` compares what it is run at
    if prop == "other" and not (tonnage(a) and tonnage(b)):
        return False
    if prop == "other" and _ANOTHER.search(b.around or ""):
        return False
    lifted = bool(_LIFTS.search(a.around or "")) != bool(_LIFTS.search(b.around or ""))
    if prop == "weight" and lifted and mentions(a.subject, "crane", "hoist", "jib", "gantry", "forklift"):
        return False  # what a crane is good for, and what is lifted with it
    if prop == "weight" and "rated" in (a.qualifier, b.qualifier) and a.qualifier != b.qualifier:
        return False  # what a cart takes, and what one of its loads weighs
    if (a.of or "") != (b.of or "") and a.of and b.of:
        return False
    if prop == "power" and (a.unit in _MECHANICAL) != (b.unit in _MECHANICAL):
        return False  # burner input and motor power of one machine are two things
    if prop == "power" and a.unit != b.unit and "boiler_horsepower" in (a.unit, b.unit):
        return False  # boiler_rating compares output with input
    if prop in ("length", "diameter") and head(a.subject) in ("pipe", "pipework", "piping", "hose", "tube", "tubing"):
        return False  # pipes of two sizes
    own = words(a.subject)
    bare = not own or (len(own) == 1 and own[0] in many)
    gap = abs(moment(a) - moment(b))
    if two_units(a, b) and gap <= NEARBY:
        return True
    if a.unit == b.unit and prop in ("length", "width", "height", "depth", "diameter") and gap <= 3:
        return False  # "forty eight by thirty six" are two sides
    if bare or not _named_thing(index, a.subject):
        return False
    if prop in ("width", "height") and gap <= 10 and _metres(b) < _metres(a):
        return False  # "the opening is three foot wide, parts up to thirty inches wide": what passes is smaller
    if prop in ("power", "current") and head(a.subject) not in _RATED and not visits:
        return False  # several motors are filed under the machine they drive
    if prop in ("temperature", "current", "power") and (a.value_max is not None or b.value_max is not None):
        return False
    return prop not in ("temperature", "current", "concentration", "ph", "hours") or gap > NEARBY


def _matter(a: Quantity, prop: str) -> str:
    """ "tank volume"; a subject that says its property already does not say it twice ("working pressure")."""
    subject = clean(a.subject) or "machine"
    return subject if head(subject) == prop else f"{subject} {prop}"


def _of_two_visits(a: Quantity, b: Quantity) -> bool:
    """Whether one was said on an earlier visit than the other, in the same words and narrowed alike: what one walk may
    tell of two motors or two gauges, a second visit or a paper tells of the same."""
    if not a.evidence or not b.evidence or a.evidence[0].recording == b.evidence[0].recording:
        return False
    return words(a.subject) == words(b.subject) and a.qualifier == b.qualifier


_OF_SEVERAL = frozenset("first second third fourth other another left right upper lower bigger smaller".split())
"""Words that tell one of several things of one name from the others."""
_FREIGHT = re.compile(
    r"\b(?:another|other|first|second|third|fourth) (?:piece|load|lift|truck|trailer|trip|crate|pallet)\b"
)
"""Words that count pieces of freight, and no things: "the infeed deck's another piece, twenty four feet"."""


def _which(q: Quantity) -> set[str]:
    """The words in front of a figure that tell one of several things of one name from the others."""
    return {*_FREIGHT.sub("", " ".join(lead(q)[-5:])).split()} & _OF_SEVERAL


def _far_apart(a: Quantity, b: Quantity, prop: str) -> bool:
    """Whether two figures are so unlike that they belong to two things: neither a slip of unit or place nor a digit."""
    x, y = sorted((abs(size(a, _UNITS[prop]) or 0.0), abs(size(b, _UNITS[prop]) or 0.0)))
    slip = any(abs(y / x - k) <= 0.02 * k for k in (10, 12)) if x else False
    low, high = sorted((a.value, b.value))
    slip |= a.unit == b.unit and 13 <= low <= 19 and high == (low - 10) * 10  # sixteen for sixty
    if system(a.unit) == system(b.unit):
        return prop != "temperature" and y > 3 * x and not slip
    # of two systems: feet for metres, inches for millimetres and their like, or of two things
    return prop in _SPANS and 0 < 4 * x < y and not any(abs(y / x - k) <= 0.03 * k for k in _UNIT_SLIPS)


_SPANS = frozenset(("length", "width", "height", "depth", "diameter", "thickness"))
_UNIT_SLIPS = (10.0, 12.0, 25.4, 30.48, 39.37, 100.0, 304.8, 1000.0)
"""How far a size told in the wrong unit is off: the ratios of foot, inch, metre, centimetre and millimetre."""


def _other_name(index: Facts, a: str, b: str) -> bool:
    """Whether two subjects name one thing in other words: both the machine as a whole, or "oven" where only one kind of
    oven is spoken of."""
    if is_whole(index.walk, a) and is_whole(index.walk, b):
        # "the machine" of 22 metres and its "tunnel" of 15 are two things; "machine" and "tunnel pasteuriser" are one
        parts = [s for s in (a, b) if len(words(s)) == 1 and not _generic(s) and not _head_of_kind(index, s)]
        return not (parts and any(_generic(s) for s in (a, b)))
    if alike(a, b) != "near" or head(a) in ("line", "tank", "section", "zone", "stage", "frame", "opening"):
        return False
    known = {w for c in index.components if len(words(c.name)) == 1 for w in words(c.name)}
    if not set(words(b)) - set(words(a)) <= known and len(words(a)) < len(words(b)):
        return False  # a thing is told by its full name first; "the mould trolley" behind "the trolley" is another one
    things = {frozenset(words(c.name)) for c in index.components if head(c.name) == head(a)}
    if len(things) > 1 and not any(is_whole(index.walk, s) for s in (a, b)):
        return False  # "the overhead crane", and "another crane"
    named = (*(c.name for c in index.components), *(q.subject for q in index.quantities))
    longer = {frozenset(words(n)) for n in named if head(n) == head(a) and len(words(n)) > 1}
    # "the infeed chain deck", and later "the infeed deck": one name within the other; a third name is another thing
    return not longer - {frozenset(words(a)), frozenset(words(b))}


def _minded(walk: Walk, a: Quantity, b: Quantity) -> bool:
    """Whether one of two is a correction and the other is the figure taken back, or was said of the same breath."""
    if "corrected" not in (a.status, b.status):
        return False
    other = b if a.status == "corrected" else a
    gone = [q for q in walk.quantities if q.status == "withdrawn" and q.property == other.property]
    return other.status == "corrected" or any((q.value, q.unit) == (other.value, other.unit) for q in gone)


def two_units(a: Quantity, b: Quantity) -> bool:
    """Whether one amount may have been said twice, for readers of two systems; "mil" is of both."""
    return a.unit != b.unit and system(a.unit) != system(b.unit) and "thou" not in (a.unit, b.unit)


def tonnage(q: Quantity) -> bool:
    """Whether a figure is the force of a press in tons: "a five hundred ton clamp"."""
    return q.unit in ("ton", "tonne", "metric_ton") and q.value > 1


def _aspect(q: Quantity) -> str:
    own = q.qualifier or ""
    return _SAME_ASPECT.get(own, own)


def _side_of(index: Facts, q: Quantity) -> str:
    """The aspect of a size; one said in a row with others ("twelve foot long inside, six wide, six high") shares
    theirs."""
    own = _aspect(q)
    if own or q.property not in ("length", "width", "height", "depth", "diameter"):
        return own
    row = [
        r
        for r in index.of("length", "width", "height", "depth", "diameter")
        if r is not q and _aspect(r) and alike(r.subject, q.subject) == "same" and abs(moment(r) - moment(q)) <= 5
    ]
    nearest = min(row, key=lambda r: abs(moment(r) - moment(q)), default=None)
    return _aspect(nearest) if nearest is not None else own


def _named_thing(index: Facts, subject: str) -> bool:
    """Whether a subject of one word is a thing of the walk, and no adjective left over from its name."""
    if len(words(subject)) != 1 or not index.components or is_whole(index.walk, subject):
        return True
    return any(head(c.name) == head(subject) for c in index.components) or any(
        words(subject)[0] in words(s.role) for row in index.walk.sequences for s in row.stations
    )


def _at_once(group: list[Quantity], q: Quantity) -> bool:
    """Whether another figure of the same thing was said within a few seconds of this one."""
    return any(
        r is not q and r.value != q.value and abs(moment(r) - moment(q)) <= 8 and alike(r.subject, q.subject) == "same"
        for r in group
    )


def _unit_put_right(a: Quantity, b: Quantity) -> bool:
    """ "Two hundred litres, gallons, two hundred gallons": one numeral at once in another unit is no second figure."""
    return (a.value, a.value_max) == (b.value, b.value_max) and a.unit != b.unit and abs(moment(a) - moment(b)) <= 5


def _is_a_force(index: Facts, q: Quantity) -> bool:
    """Tons that say again what newtons said a breath before ("300 kilonewton, about thirty tonnes") are no weight."""
    if q.property != "weight" or not tonnage(q):
        return False
    tons = size(q, "tonne") or 0.0
    near = (f for f in index.of("other") if abs(moment(f) - moment(q)) <= 10)
    return any(apart((size(f, "kilonewton") or 0.0) / 9.80665, tons) <= 0.12 for f in near)


def _no_force(index: Facts, q: Quantity) -> bool:
    """Tons filed as a force, of a thing whose force was said in newtons and is another: they are its weight."""
    forces = [f for f in index.of("other") if alike(f.subject, q.subject) == "same" and size(f, "kilonewton")]
    tons = size(q, "tonne") or 0.0
    return bool(forces) and all(apart((size(f, "kilonewton") or 0.0) / 9.80665, tons) > 0.5 for f in forces)


def _certain(walk: Walk, a: Quantity, b: Quantity, products: frozenset[str]) -> bool:
    """Whether it is nearly sure that both are of one and the same thing: the same words for the machine as a whole, or
    for one thing that is there once. "The pumps", here and a minute later, may be other pumps."""
    if alike(a.subject, b.subject) != "same":
        return False
    if is_whole(walk, a.subject) or two_units(a, b):
        return True
    if head(a.subject) in products:
        return False
    last = a.subject.lower().split()[-1:] or [""]
    plural = singular(last[0]) != last[0] and not a.each
    things = [c for c in walk.present if alike(c.name, a.subject) == "same"]
    return not plural and len(things) <= 1 and all((c.count or 1) == 1 for c in things)


def _generic(subject: str) -> bool:
    return head(subject) in ("machine", "unit", "line", "plant", "system", "installation")


def _head_of_kind(index: Facts, subject: str) -> bool:
    kind = index.walk.identity.kind or index.walk.identity.name
    return kind is not None and head(str(kind.value)) == head(subject)


def restated(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """One amount said at once in units of two systems ("forty bar, 580 psi"), for pressures, flows and speeds.

    Arithmetic: one unit turned into the other. Tolerance 5 % (rounding) plus wording. Only figures of one subject and
    property said within eight seconds. Source: conversion factors of NIST SP 811, through pint.
    """
    rule = "restated"
    index = facts(walk)
    for prop, unit in (
        ("pressure", "pascal"),
        ("flow", "litre/minute"),
        ("speed", "metre/minute"),
        ("rate", "kilogram/hour"),
    ):
        group = [q for q in index.of(prop) if size(q, unit) is not None]
        for a, b in pairwise(group):
            if system(a.unit) == system(b.unit) or alike(a.subject, b.subject) != "same":
                continue
            if moment(b) - moment(a) > 8 or (a.qualifier or "") != (b.qualifier or ""):
                continue
            message = (
                f"{clean(a.subject) or 'machine'} {prop}: {said(a)} is not {said(b)}: read it again in both units."
            )

            def holds(a: Quantity, b: Quantity, unit: str = unit) -> bool:
                return apart(size(a, unit) or 0.0, size(b, unit) or 0.0) <= 0.05 + slack(a, b)

            yield from verdict(rule, [a, b], holds, message)


def _metres(q: Quantity) -> float:
    return size(q, "metre") or 0.0


def _several(group: list[Quantity], a: Quantity) -> bool:
    own = [q for q in group if alike(q.subject, a.subject) == "same" and _aspect(q) == _aspect(a)]
    return len({(q.value, q.unit) for q in own}) > 2


def _agree(a: Quantity, b: Quantity) -> bool:
    """Whether two figures of one thing can both hold."""
    unit = _UNITS.get(a.property, "")
    p, q = bounds(a, unit), bounds(b, unit)
    if p is None or q is None:
        return False
    loose = 0.01 + slack(a, b)
    if a.unit != b.unit and system(a.unit) != system(b.unit):
        loose += 0.065 if a.property == "power" else 0.02
    if a.property == "temperature":
        kelvin = 3.0 if a.unit == b.unit else 1.5
        return abs(p[0] - q[0]) <= kelvin or (p[0] <= q[1] and q[0] <= p[1])
    top = max(abs(p[1]), abs(q[1]))
    if p[0] <= q[1] + loose * top and q[0] <= p[1] + loose * top:
        return True
    if a.property == "voltage":
        return _nominal_volts(p[0], q[0])
    if has_dimension(a.unit, "inch"):
        return _nominal_inches(a, b)
    return False


def _nominal_volts(a: float, b: float) -> bool:
    if any(round(a) in family and round(b) in family for family in _NOMINAL_VOLTS):
        return True
    low, high = sorted((a, b))
    # a control circuit, a winding connected for two voltages, line beside phase voltage: no contradiction
    return low <= 130 or abs(high / low - 2) <= 0.1 or abs(high / low - 3**0.5) <= 0.06


def _nominal_inches(a: Quantity, b: Quantity) -> bool:
    x, y = sorted((size(a, "inch") or 0.0, size(b, "inch") or 0.0))
    pipe = head(a.subject) in ("pipe", "line", "header", "tube", "connection", "flange", "inlet", "outlet")
    return (pipe and abs(_PIPE.get(round(x, 3), -1) - y) < 0.02) or (
        head(a.subject) in ("lumber", "timber", "beam", "board", "plank") and abs(_LUMBER.get(round(y), -1) - x) < 0.06
    )


RULES = (same_figure_twice, tonnage_twice, rate_twice, restated)
