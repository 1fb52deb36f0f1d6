"""Carried: what lies on a bed or table, what a cart, table or lift carries, and what stands inside a room."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from datetime import date

from pipeline.checks.facts import Facts, facts, is_whole, noun_class, size, slack
from pipeline.checks.mechanical import LIFTED, LIFTING
from pipeline.checks.nearby import SENTENCE, attributive, heard, lead, most, parted, seconds_between
from pipeline.checks.offers import verdict
from pipeline.checks.passing import STOCK, WAYS
from pipeline.checks.subjects import alike, head, singular, words
from pipeline.checks.wording import clean, moment, name_of, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_BEDS = frozenset(
    "bed table platen deck plate chuck skid pallet cart bench stand rack shelf bolster tray car frame hearth".split()
)
"""What things are laid on."""
_LAID = re.compile(
    r"\b(?:laid|lies?|lays?|sits?|flat|clamped|loaded|set|held|bolted|fits?|square|resting|rests?|put|"
    r"mounted)\b[^.]{0,25}"
    r"\bon (?:the|its|that|this|a|one) (?:\w+ )?([a-z]+)\b"
)
_SIDES = ("length", "width", "diameter")
_APART = 40.0
"""Seconds between a bed and what is laid on it, where several are told; common practice, no source."""
_CARRIERS = frozenset(
    (
        "cart table elevator jack buggy bogie turntable stand trolley truck car platform tipper tilter positioner "
        "rotator uncoiler decoiler mandrel unwinder unwind pallet-jack winch monorail davit ramp tailgate manipulator "
        "wagon dolly stacker weigher bucket skip grab scale shuttle sled skid rack shelf "
    ).split()
)
"""What carries or weighs loads, besides lifting gear (`crane_against_load`)."""
_RATED = re.compile(
    r"\b(?:rated|capacity|(?:good|goes) (?:for|to)|takes|carries|up to|max\w*|lifts|holds up|stencill?ed|swl"
    r"|safe working)\b"
)
_ROOMS = frozenset(
    "building house room hall shed shop bay container enclosure booth barn plant garage warehouse".split()
)
_IN_IT = re.compile(
    r"\b(?:inside|in|within|along|down|across)\b(?: \w+){0,2} "
    r"(?:house|room|hall|building|shed|shop|bay|barn|container|wall)"
    r"|\bwall to wall\b|\bstraight\b"
)
_OUT = re.compile(
    r"\b(?:outside|outdoors|yard|through the (?:wall|roof)|bends?|coil\w*|loops?|(?<!not )turns?|elbow\w*)\b"
)


def longer_than_its_bed(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The bed is ten foot by five; sheets up to twelve foot long, clamped flat on the bed, nothing overhanging".

    Arithmetic: length (width) of what is laid on a bed, table or deck ≤ that of the bed. Tolerance 2 % plus wording.
    Only where the words of the size say on what it is laid, within 40 s. Always a question, since things may overhang.
    Source: plain geometry.
    """
    rule = "longer_than_its_bed"
    index = facts(walk)
    products = noun_class(vocabulary, "product") | STOCK
    for laid in index.of(*_SIDES):
        text = (laid.around or "").lower()
        on = {singular(m.group(1)) for m in _LAID.finditer(text)} & _BEDS
        if not on or head(laid.subject) in _BEDS or head(laid.subject) not in products:
            continue
        for bed in index.of(*_SIDES):
            if bed is laid or head(bed.subject) not in on or seconds_between(bed, laid) > _APART:
                continue
            if bed.property != laid.property or alike(bed.subject, laid.subject) == "same":
                continue
            across = _longer_side(index, bed)  # "ten foot by five", of which either may be called the length
            message = (
                f"{clean(laid.subject)} {said(laid)} {WAYS[laid.property]} does not lie on a {clean(bed.subject)} of "
                f"{said(across)} without overhanging: measure both, and ask what was really run on it."
            )
            yield from verdict(rule, [laid, across], _no_longer, message, level="check")


def _longer_side(index: Facts, bed: Quantity) -> Quantity:
    """The longest flat side of a bed that was told with this one."""
    sides = [
        q
        for q in index.of(*_SIDES)
        if alike(q.subject, bed.subject) == "same" and abs(moment(q) - moment(bed)) <= SENTENCE / 4
    ]
    return bed if bed.property != "length" else max(sides, key=lambda q: size(q, "metre") or 0.0)


def _no_longer(inner: Quantity, outer: Quantity) -> bool:
    a, b = most(inner, "metre"), most(outer, "metre")
    return a <= b * (1.02 + slack(inner, outer))


def load_on_its_carrier(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The die cart is rated ten tons, and the biggest dies we carried on it are fourteen".

    Source: meaning of a rated load; common practice, no source. Arithmetic: load ≤ rating. Tolerance 2 % plus wording.
    Only carts, tables, jacks, scales and the like, of which a weight was told as what they take, and the weight of
    something carried within 20 s. Asked, never asserted. Figures only: fitness is not examined.
    """
    rule = "load_on_its_carrier"
    index = facts(walk)
    weights = [q for q in index.of("weight", "other") if size(q, "kilogram")]
    carried = frozenset(LIFTED) | noun_class(vocabulary, "product")
    for rating in weights:
        if head(rating.subject) not in _CARRIERS or head(rating.subject) in LIFTING or not _is_rating(rating):
            continue
        loads = [
            q
            for q in weights
            if q is not rating
            and (
                (head(q.subject) in carried and 0 < moment(q) - moment(rating) <= SENTENCE)
                or (_at_one_go(q) and abs(moment(q) - moment(rating)) <= SENTENCE)
            )
        ]
        if not loads:
            continue
        load = max(loads, key=lambda q: most(q, "kilogram"))
        if _IN_PARTS.search(load.around or ""):
            continue  # "weighed in two halves"
        message = (
            f"{said(load)} ({name_of(load)}) is more than the {name_of(rating)} was given, {said(rating)}: read the "
            "plate of both again; only a plate or a document settles it."
        )

        def holds(load: Quantity, rating: Quantity) -> bool:
            return most(load, "kilogram") <= most(rating, "kilogram") * 1.02 * (1 + slack(load, rating))

        yield from verdict(rule, [load, rating], holds, message, level="check", note="fitness not examined")


_WEIGHERS = frozenset(("weigher", "scale", "balance", "platform"))
_ONE_GO = re.compile(
    r"\b(?:(?:the )?(?:one|single) (?:go|draw|lift|drop|load|weighing|shot|fill|trip|pass|pour|dump)"
    r"|at (?:once|one time|one go)|in one\b)"
)


_IN_PARTS = re.compile(
    r"\b(?:halves|twice|in (?:two|three|four|several|a few|parts|bits)"
    r"|(?:two|three|four|several) (?:times|goes|draws|trips))\b"
)


def _at_one_go(q: Quantity) -> bool:
    """ "A batch was 350 kilos of cement, all weighed in the one draw": told as taken at once."""
    return bool(_ONE_GO.search(parted(q)[1]))


def _is_rating(q: Quantity) -> bool:
    """Whether a weight tells what a thing takes and not what it weighs."""
    told = (
        " ".join(lead(q)[-6:]) if head(q.subject) in _WEIGHERS else q.around or ""
    )  # what is weighed on it stands behind
    if heard(q, "weighs", "weigh", "weight") or re.search(r"\bweigh(?:s|ed)?\b", told):
        return False
    return attributive(q) or q.qualifier == "rated" or bool(_RATED.search((q.around or "").lower()))


def longer_than_its_room(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Inside the house is fourteen metres long; the header is one straight pipe in the house, eighteen metres".

    Arithmetic: length of a thing said to stand or run straight inside ≤ length of the room; by its diagonal where a
    width was told. Tolerance 2 % plus wording. Only a size whose sentence says that it is inside or straight, and one
    room with a length. Always a question: it may bend or go through a wall. Source: plain geometry.
    """
    rule = "longer_than_its_room"
    index = facts(walk)
    rooms = [q for q in index.of("length") if head(q.subject) in _ROOMS and q.value_max is None]
    # the "paint dip plant" is the machine itself
    rooms = [q for q in rooms if head(q.subject) != "plant" or not is_whole(walk, q.subject)]
    if len({(q.value, q.unit) for q in rooms}) != 1:
        return
    room = rooms[0]
    widths = [q for q in index.of("width") if alike(q.subject, room.subject) == "same"]
    across = max(((size(q, "metre") or 0.0) for q in widths), default=0.0)
    for q in index.of("length"):
        text = (q.around or "").lower()
        if q is room or head(q.subject) in _ROOMS or not _IN_IT.search(text) or _OUT.search(text):
            continue
        if q.qualifier == "spacing" or {"cable", "hose", "chain", "belt"} & {*words(q.subject)}:
            continue

        def holds(q: Quantity, room: Quantity, across: float = across) -> bool:
            longest = math.hypot(size(room, "metre") or 0.0, across)
            return (size(q, "metre") or math.inf) <= longest * (1.02 + slack(q, room))

        message = (
            f"{said(q)} ({clean(q.subject) or 'machine'}) does not go straight inside the {clean(room.subject)}, "
            f"{said(room)} long: does it bend or leave the room? Measure both."
        )
        yield from verdict(rule, [q, room], holds, message, level="check")


RULES = (longer_than_its_bed, load_on_its_carrier, longer_than_its_room)
