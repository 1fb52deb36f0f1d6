"""Fit: what passes through what, what sits in what, and what is longer than that of which it is a part."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from pipeline.checks.facts import Facts, facts, is_whole, noun_class, size, slack
from pipeline.checks.nearby import lead, parted
from pipeline.checks.offers import verdict
from pipeline.checks.subjects import alike, head, mentions, part_of, words
from pipeline.checks.told import called, settled
from pipeline.checks.wording import clean, compared, figure, heard, moment, number, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

SIDES = ("length", "width", "height", "depth", "diameter")
NEARBY = 30.0
"""Seconds of speech that still describe the thing named last; common practice, no source."""
_INSIDE = frozenset(("inside", "inner", "internal", "interior", "id", "bore", "clear", "usable", "working"))
_OUTSIDE = frozenset(("outside", "outer", "external", "exterior", "od", "overall"))


def part_and_opening(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """What travels through against the opening it travels through: width with width, height with height.

    Arithmetic: part ≤ opening, in one unit; of a range of parts the greatest. Tolerance: none beyond the wording, since
    parts need clearance besides. Source: plain geometry.
    """
    rule = "part_and_opening"
    index = facts(walk)
    sizes = index.of(*SIDES)
    product, opening = noun_class(vocabulary, "product"), noun_class(vocabulary, "opening")
    passage = noun_class(vocabulary, "passage")
    openings = [q for q in sizes if _is_opening(q, opening) and q.property in ("width", "height", "diameter")]
    openings += [replace(q, property="width") for q in sizes if _between_tie_bars(q)]
    chambers = [q for q in sizes if head(q.subject) in _CHAMBERS and _inner(index.of(*SIDES), q)]
    # "each retort is 42 inches across": of a round vessel the inside is as good as meant
    chambers += [
        q
        for q in sizes
        if q.property == "diameter" and head(q.subject) in _ROUND and not _OUTSIDE & _side(q) and q not in chambers
    ]
    parts = [
        q
        for q in sizes
        if (head(q.subject) in product | _GO_IN or _passed(q)) and q not in openings and q not in chambers
    ]
    for part in parts:
        known = head(part.subject) in product
        against = [o for o in openings if _comparable(part, o)] if known or _passed(part) else []
        if not known:
            against = [o for o in against if abs(moment(part) - moment(o)) <= NEARBY]
        against += [o for o in chambers if _goes_in(part, o) and abs(moment(part) - moment(o)) <= 2 * NEARBY]
        if not against and part.property in ("width", "height"):
            # "the oven opening is ...", filed under the oven, and in the same breath the parts
            before = [q for q in sizes if q.property == part.property and head(q.subject) in passage]
            against = [o for o in before if 0 < moment(part) - moment(o) <= NEARBY / 3][-1:]
        if not against and part.property in ("width", "height"):
            yield compared(rule, [part], "could not be compared", "for want of an opening it passes")
        for o in against:
            message = (
                f"{clean(part.subject)} up to {_greatest(part)} {_across(part)} cannot pass "
                f"{clean(o.subject)} {said(o)} {_across(o)} ({figure(size(o, part.unit) or 0.0, part.unit)}): "
                "measure the opening, and ask how the largest parts are hung."
            )
            thick = (part.property == "length" and o.property != "length") or o in chambers
            yield from verdict(rule, [part, o], _passes, message, level="check" if thick else "conflict")


_CHAMBERS = frozenset(
    "oven furnace kiln chamber autoclave retort booth freezer cabinet vessel tank hearth cooler sterilizer steriliser "
    "steamer smokehouse proofer pit".split()
)
_ROUND = frozenset("autoclave retort kettle kiln furnace vessel".split())


def _goes_in(part: Quantity, chamber: Quantity) -> bool:
    return part.property == chamber.property or {part.property, chamber.property} == {"width", "diameter"}


_GO_IN = frozenset("car trolley cart truck carriage mandrel bogie".split())


def _inner(sizes: tuple[Quantity, ...], q: Quantity) -> bool:
    """Whether a size is the inside of something: said so, or in a row of which one size was."""
    row = [r for r in sizes if alike(r.subject, q.subject) == "same" and abs(moment(r) - moment(q)) <= 5]
    near = sorted((r for r in row if (_INSIDE | _OUTSIDE) & _side(r)), key=lambda r: abs(moment(r) - moment(q)))
    return bool(near) and bool(_INSIDE & _side(near[0])) and not _OUTSIDE & _side(q)


def _between_tie_bars(q: Quantity) -> bool:
    """ "Tie bar spacing is thirty by thirty", filed as a length: a mould passes between the bars whichever way."""
    return q.property == "length" and set(words(q.subject)) in ({"tie"}, {"tie", "bar"}) and "long" not in heard(q)


def _is_opening(q: Quantity, opening: frozenset[str]) -> bool:
    if tuple(words(q.subject)[-2:]) == ("tie", "bar") and q.property in ("width", "height"):
        return True  # a mould passes between the tie bars
    return head(q.subject) in opening or bool(opening & set(words(q.qualifier or "")))


def _comparable(part: Quantity, opening: Quantity) -> bool:
    if part.property == opening.property:
        return True
    if {part.property, opening.property} == {"depth", "height"}:
        return True  # "trays are five inches deep"
    if part.property == "length" and "long" not in heard(part):
        if opening.property == "diameter" and head(part.subject) not in _LOGS:
            return False  # "four foot panels", and a dust port
        return opening.property in ("width", "diameter")  # "logs up to thirty inches": how thick, if no word says
    return "diameter" in (part.property, opening.property) and part.property not in ("length", "depth")


_LOGS = frozenset(
    "log stem pole trunk bar tube pipe roll stone rock boulder ore tire tyre wheel drum billet ingot bale loaf".split()
)
"""Things of which a size without a word is how thick they are."""
_PASSED = frozenset("plate profile board web strip bar tube coil roll cloth fabric stock film foil glass stone".split())
_PASS = re.compile(r"\b(?:pass|passes|through|put|run|feed|send)\b.*\b(?:up to|as (?:wide|high|big) as|max\w*)\b")


def _passed(q: Quantity) -> bool:
    """ "We pass here plates up to 1.8 metres wide": stock whose sentence says that it goes through."""
    return head(q.subject) in _PASSED and bool(_PASS.search(" ".join(lead(q))))


def _passes(part: Quantity, opening: Quantity) -> bool:
    p = size(Quantity("", "", "", part.value_max or part.value, part.unit), "metre")
    o = size(Quantity("", "", "", opening.value_max or opening.value, opening.unit), "metre")
    return p is not None and o is not None and p <= o * (1 + slack(part, opening)) + 1e-9


def _greatest(q: Quantity) -> str:
    return figure(q.value if q.value_max is None else q.value_max, q.unit)


def _across(q: Quantity) -> str:
    return {"width": "wide", "height": "high", "length": "long", "depth": "deep"}.get(q.property, "in diameter")


def wider_than_what_holds_it(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A thing against the frame, skid, housing, pit or room described beside it.

    Arithmetic: diameter or width of the inner ≤ width or diameter of the outer; length with length. Only things said
    within 30 s of each other, or named as parts of one another. Tolerance 2 % plus wording; always a question, since a
    thing may overhang its frame. Source: plain geometry.
    """
    rule = "wider_than_what_holds_it"
    index = facts(walk)
    sizes = index.of("width", "diameter", "length")
    holder = noun_class(vocabulary, "holder")
    never = holder.union(*(noun_class(vocabulary, n) for n in ("runs_past", "opening")), ("part", "product"))
    for outer in sizes:
        if head(outer.subject) not in holder or mentions(outer.subject, "opening", "wall"):
            continue
        for inner in sizes:
            if inner is outer or head(inner.subject) in never or not inner.subject:
                continue
            same_way = inner.property == outer.property or {inner.property, outer.property} == {"width", "diameter"}
            beside = abs(moment(inner) - moment(outer)) <= NEARBY / 2
            if not same_way or not (beside or part_of(outer.subject, inner.subject)):
                continue
            if alike(inner.subject, outer.subject) or is_whole(walk, inner.subject):
                continue
            if head(inner.subject) in _OVERHEAD and head(outer.subject) not in _ROOMED:
                continue
            message = (
                f"{clean(inner.subject)} {said(inner)} {_across(inner)} does not sit inside {clean(outer.subject)} "
                f"{said(outer)} {_across(outer)}: does it overhang? Measure both."
            )
            yield from verdict(rule, [inner, outer], _inside, message, level="check")


_OVERHEAD = frozenset("silo bin hopper bunker tower chimney stack elevator".split())
"""What stands over other machines and feeds into them."""
_ROOMED = frozenset("room bay pit container trailer bund housing enclosure".split())


_FLAT_AND_ROUND = frozenset(
    "die wheel disc disk pulley sheave sprocket ring blade roll roller drum flywheel impeller gear tyre tire coil "
    "rotor stone plate flange reel spool".split()
)
"""Things whose width is that of their face or rim."""


_WOUND = frozenset("bobbin reel spool roll roller wheel pulley sheave disc drum cylinder coil".split())
"""What has its width along its shaft: a diameter over it is normal."""


def rounder_than_wide(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Diameter against width of one subject, said within half a minute: the diameter is of a part, or one is wrong.

    Arithmetic: diameter ≤ width. Tolerance 2 % plus wording; always a question. Source: plain geometry.
    """
    rule = "rounder_than_wide"
    index = facts(walk)
    for d in index.of("diameter"):
        for w in index.of("width"):
            if head(d.subject) in _FLAT_AND_ROUND or head(d.subject) in _WOUND:
                continue
            if alike(d.subject, w.subject) != "same" or abs(moment(d) - moment(w)) > NEARBY or not d.subject:
                continue
            message = (
                f"{clean(d.subject)}: {said(d)} in diameter, but {said(w)} wide: which part of it is the diameter? "
                "Measure both."
            )
            yield from verdict(rule, [d, w], _inside, message, level="check")


def _inside(inner: Quantity, outer: Quantity) -> bool:
    a, b = size(inner, "metre"), size(outer, "metre")
    return a is not None and b is not None and a <= b * (1.02 + slack(inner, outer))


def part_longer_than_whole(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A part named after its whole ("oven heating zone" of "oven") against the whole.

    Arithmetic: length, width or height of the part ≤ that of the whole. Tolerance 2 % plus wording. Hoses, belts,
    ducts, rooms and such are left out. Source: plain geometry.
    """
    rule = "part_longer_than_whole"
    index = facts(walk)
    never = noun_class(vocabulary, "runs_past") | noun_class(vocabulary, "holder")
    products = noun_class(vocabulary, "product")
    for prop in ("length", "width", "height"):
        group = index.of(prop)
        for whole in group:
            for part in group:
                if part is whole or not part_of(part.subject, whole.subject) or head(part.subject) in never:
                    continue
                if head(part.subject) in _GROUNDS or is_whole(walk, part.subject) or head(whole.subject) in products:
                    continue  # the "case packer" is no part of the case
                if _of_two_things(part, whole):
                    continue
                message = (
                    f"{clean(part.subject)} {said(part)} {_across(part)} is more than the whole "
                    f"{clean(whole.subject)}, {said(whole)}: measure both."
                )
                yield from verdict(rule, [part, whole], _inside, message, level="check")


_GROUNDS = frozenset("farm room house hall bay yard plant shop station depot cell".split())
"""What holds the thing that it is named after: a tank farm is no part of a tank."""
_PLACES = frozenset(
    "building hall room bay container trailer truck crane runway crate pit yard shop floor site fence road foundation "
    "door street rope lead line plant".split()
)


_SHARE = re.compile(r"\b(?:heated|effective|active|working|useful|inside|through|over to)\b")
"""Words of a length that is only some of the whole."""


def _named_there(q: Quantity) -> bool:
    """Whether any word of a figure's subject was said in its own sentence."""
    around = {*words(q.around or "")}
    return not q.around or not words(q.subject) or not around.isdisjoint(words(q.subject))


def longer_than_the_line(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A machine or part of a line longer than the line itself, or several of them longer together.

    Arithmetic: length of one ≤ length of the whole; the lengths of three or more things named one after another add up
    to no more. Tolerance 2 % for one, 5 % for the sum, plus wording; always a question, since machines may stand side
    by side. Belts, ducts, products and places are left out. Source: plain geometry.
    """
    rule = "longer_than_the_line"
    index = facts(walk)
    wholes = [q for q in index.of("length") if is_whole(walk, q.subject) and not _INSIDE & _side(q)]
    wholes = [q for q in wholes if not _SHARE.search(called(index, q))]
    kind = f"{walk.identity.kind.value if walk.identity.kind else ''} {wholes[0].subject if wholes else ''}"
    if len({(q.value, q.unit) for q in wholes}) != 1 or not mentions(kind, "line", "tunnel", "train"):
        return  # of a plant's machines none need be the longest
    whole = wholes[0]
    never = noun_class(vocabulary, "runs_past").union(
        *(noun_class(vocabulary, n) for n in ("product", "opening", "holder")), _PLACES
    ) - {"bed", "table"}
    parts = []
    for q in index.of("length"):
        own = head(q.subject)
        listed = any(alike(c.name, q.subject) == "same" for c in index.components) or own in _SOME_PART
        if (
            q in wholes
            or q.each
            or own in never
            or not listed
            or q.qualifier in ("spacing", "inside")
            or is_whole(walk, q.subject)
            or not _named_there(q)  # filed under what was told long before
            or _BELTS & {*lead(q)}  # "the shakeout drops onto the return belt, 22 metres long"
        ):
            continue
        parts.append(q)
    # "the bed is sixty feet across": no size of a part is more than the longest of the whole
    sizes = [q for q in index.of("length", "width", "height") if is_whole(walk, q.subject)]
    longest = max(sizes, key=lambda q: size(q, "metre") or 0.0)
    across = [
        q
        for q in index.of("width", "diameter", "height")
        if head(q.subject) in _PARTS and not is_whole(walk, q.subject) and not q.each and longest is whole
    ]
    for part in (*parts, *across):
        if _of_two_things(part, whole):
            continue
        message = (
            f"{clean(part.subject)} {said(part)} {_across(part)} is more than the whole "
            f"{clean(whole.subject) or 'machine'}, {said(whole)}: which of the two units or "
            "figures is right? Measure both."
        )
        yield from verdict(rule, [part, whole], _inside, message, level="check")
    standing = [q for q in parts if _inside(q, whole)]
    if len(standing) < 3 or len({q.id for q in standing}) < 3:
        return
    total = sum(size(q, whole.unit) or 0.0 for q in standing)
    listed_sizes = " + ".join(number(size(q, whole.unit) or 0.0) for q in standing[:5])
    message = (
        f"{len(standing)} things along the line, {listed_sizes}, make {figure(total, whole.unit)}, more than the "
        f"{said(whole)} of {clean(whole.subject) or 'machine'}: do some stand side by side? Measure again."
    )

    def fits(whole: Quantity, *parts: Quantity) -> bool:
        room = (size(whole, "metre") or 0.0) * (1.05 + slack(whole, *parts))
        return sum(size(q, "metre") or math.inf for q in parts) <= room

    yield from verdict(rule, [whole, *standing], fits, message, level="check")


_PARTS = frozenset(
    "bed platen ram table drum cylinder head carousel bowl chamber door press washer filler mixer hood frame base "
    "hopper oven furnace tunnel dryer machine unit disc wheel rotor screen plate tank vessel tray".split()
)
"""Nouns of parts and machines of a line."""
_BELTS = frozenset("belt conveyor track chain rail rails duct hose cable pipe".split())
_SOME_PART = frozenset(("section", "pair", "part", "end", "bit", "module", "half", "rest"))


def _of_two_things(part: Quantity, whole: Quantity) -> bool:
    """Whether two sizes are so unlike that neither a slip of unit or place nor a part's overhang explains them."""
    a, b = size(part, "metre") or 0.0, size(whole, "metre") or 0.0
    ratio = a / b if b else 0.0
    slips = (10, 12, 3.281, 2.54, 25.4, 39.37, 3, 100)
    return ratio > 3 and not any(abs(ratio / k - 1) <= 0.5 for k in slips)


def inside_and_outside(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Inside sizes against outside sizes of the same thing.

    Arithmetic: inside ≤ outside. Tolerance: the wording's. Source: plain geometry.
    """
    rule = "inside_and_outside"
    index = facts(walk)
    for prop in SIDES:
        group = index.of(prop)
        sides = {q.id: _told_side(index, q) for q in group}
        inner = [q for q in group if sides[q.id] == "inside"]
        for outer in (q for q in group if sides[q.id] == "outside"):
            for q in inner:
                a = frozenset(words(q.subject)) - _INSIDE - _OUTSIDE
                b = frozenset(words(outer.subject)) - _INSIDE - _OUTSIDE
                if q is outer or a != b:
                    continue
                message = (
                    f"{clean(q.subject)}: {said(q)} inside and {said(outer)} outside cannot both be: "
                    "measure again, or are they the wrong way round?"
                )
                yield from verdict(rule, [q, outer], _no_more, message)


def _side(q: Quantity) -> frozenset[str]:
    return frozenset(heard(q).split())


def _told_side(index: Facts, q: Quantity) -> str:
    """Whether a size is an inside or an outside one: by its own words; else by its sentence, where that says but one of
    them; else as the sizes told in a row with it."""
    for told in (_side(q), frozenset(lead(q)), frozenset(words(q.around or ""))):
        sides = {"inside" if told & _CLEAR else "", "outside" if told & _OUTSIDE else ""} - {""}
        if len(sides) == 1:
            return sides.pop()
    row = [r for r in index.of(*SIDES) if alike(r.subject, q.subject) == "same" and 0 <= moment(q) - moment(r) <= 5]
    first = next((s for r in row if (s := _side(r)) & (_CLEAR | _OUTSIDE)), frozenset())
    return "inside" if first & _CLEAR else "outside" if first & _OUTSIDE else ""


_CLEAR = _INSIDE - {"working", "usable", "bore"}
"""Words of an inside size alone: the working width of a loom is no inside of it."""


def _no_more(inner: Quantity, outer: Quantity) -> bool:
    a, b = size(inner, "metre"), size(outer, "metre")
    return a is not None and b is not None and a <= b * (1 + slack(inner, outer))


def machine_through_door(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """The machine as a whole against the door of the building or the height under roof or hook.

    Arithmetic: the lesser of length and width ≤ width of the door; height ≤ height of door or ceiling. Tolerance: none
    beyond the wording; always a question, since machines come apart and roofs come off. Source: plain geometry.
    """
    rule = "machine_through_door"
    index = facts(walk)
    whole = [q for q in index.of("length", "width", "height") if is_whole(walk, q.subject)]
    whole = [q for q in whole if head(q.subject) not in _GROUNDS]
    # a line is brought in machine by machine: only its height, and a piece described beside the door, are asked about
    kind = str(walk.identity.kind.value) if walk.identity.kind is not None else ""
    in_pieces = head(kind) in _LINES or any(head(q.subject) in _LINES for q in whole)
    never = noun_class(vocabulary, "runs_past") | noun_class(vocabulary, "product") | noun_class(vocabulary, "holder")
    for limit in index.of("width", "height"):
        own = set(words(limit.subject))
        door = head(limit.subject) in ("door", "doorway", "gate", "dock") and not own & _OWN_DOORS
        roof = limit.property == "height" and head(limit.subject) in (
            "ceiling",
            "roof",
            "truss",
            "hall",
            "building",
            "bay",
        )
        if not (door or roof):
            continue
        if limit.property == "height":
            against = [q for q in whole if q.property == "height"]
        else:
            flat = [] if in_pieces else [q for q in whole if q.property in ("length", "width")]
            # "4.5 metres long, 1.8 wide, and the plant room door is 1.6": the piece described right before
            beside = [q for q in index.of("length", "width") if 0 < moment(limit) - moment(q) <= 10]
            beside = [q for q in beside if head(q.subject) not in never | _OWN_DOORS]
            beside = [q for q in beside if alike(q.subject, beside[-1].subject) == "same"]
            if len(flat) < 2 or len({q.property for q in beside}) == 2:
                flat = beside if len({q.property for q in beside}) == 2 else flat
            against = [min(flat, key=lambda q: size(q, "metre") or math.inf)] if len(flat) >= 2 else []
        for q in against:
            message = (
                f"The {clean(q.subject) or 'machine'} is {said(q)} {_across(q)}, the {clean(limit.subject)} "
                f"{said(limit)} {_across(limit)}: how did it come in, and does it come apart? Measure both."
            )
            yield from verdict(rule, [q, limit], _no_more, message, level="check")


_TO_THE_ROOF = re.compile(
    r"^\W*(?:of )?(?:clear|clearance|headroom|free|clear height)?\W*(?:up )?(?:to|under|below|beneath|underneath) "
    r"(?:the )?(?:lowest )?(?:roof )?(?:beams?|ceiling|roof|truss(?:es)?|joists?|rafters?|eaves|purlins?|sprinklers?|"
    r"girders?|steel)\b"
)
_ROOF_BEFORE = re.compile(
    r"\b(?:headroom|(?:ceiling|roof|clear|eaves) height|ceiling|beams?|rafters?|joists?|trusses)(?:'s|s|'re)?"
    r"(?: (?:is|are|sits?|comes?|only|just|at|in here|down|hangs?|here|gives? you|of|about|low|clear))*\W*$"
)
_REACHES_OUT = re.compile(
    r"\b(?:outside|out back|out in the yard|through the (?:roof|floor|ceiling)|above the roof|pit|next door|other "
    r"(?:room|hall|building)|up to|raised|extend\w*|mast)\b"
)
_NOT_STANDING = frozenset(
    "stack chimney flue silo pit platform mezzanine opening window door doorway hook ceiling roof beam hall building "
    "room clear clearance headroom stroke lift part case carton pallet tower mast daylight".split()
)


def taller_than_its_room(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Three metres clear to the beams", and minutes later "the elevator stands fourteen feet tall".

    Arithmetic: height of a machine ≤ height to the beams, ceiling or roof. Tolerance 2 % plus wording. Only one such
    height in the walk, told by its words, and heights of things by name; not what is outside, goes through the roof,
    stands in a pit or is extended. Always a question: there may be a higher part of the room. Source: plain geometry.
    """
    rule = "taller_than_its_room"
    sizes = [q for q in facts(walk).of("height", "length", "other") if size(q, "metre") and q.value_max is None]
    roofs = [q for q in sizes if _TO_THE_ROOF.match(parted(q)[1]) or _ROOF_BEFORE.search(parted(q)[0])]
    if len({round(size(q, "metre") or 0.0, 2) for q in roofs}) != 1:
        return
    roof = roofs[0]
    never = noun_class(vocabulary, "product") | noun_class(vocabulary, "opening") | _NOT_STANDING
    for q in sizes:
        told = f"{q.subject} {q.around or ''}".lower()
        if (
            q in roofs
            or q.property != "height"
            or "assumed" in (q.doubt or "")
            or head(q.subject) in never
            or _REACHES_OUT.search(told)
        ):
            continue
        if any(settled(walk, q, r) for r in roofs):
            continue
        if not 1.0 <= (size(q, "metre") or 0.0) <= 4 * (size(roof, "metre") or 1.0):
            continue
        shown = figure(round(size(q, roof.unit) or 0.0, 2), roof.unit)
        message = (
            f"{clean(q.subject) or 'machine'} {said(q)} tall{f' ({shown})' if q.unit != roof.unit else ''} does not "
            f"stand under {said(roof)} clear: is the room higher there, or does it go through? Measure both."
        )
        yield from verdict(rule, [q, roof], _inside, message, level="check")


_STICKS_OUT = re.compile(
    r"\b(?:u[- ]?tubes?|u[- ]?bends?|hairpins?|bent|coiled|spare|spares|stick\w* out|hang\w* out|overhang\w*|"
    r"runs? past|both (?:of them|units|vessels)|for the other|in (?:two|three|four) (?:pieces|lengths)|"
    r"uncut|stock length)\b"
)


def longer_than_what_it_goes_in(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The boiler is fourteen feet long", and minutes later "a hundred and ten tubes, sixteen feet long".

    Arithmetic: length of what goes inside (check_words, goes inside) ≤ the greatest size of what it goes into.
    Tolerance 2 % plus wording. Only one length of things of that noun in the walk, whatever else its name, and a part
    whose other words are of the same name; nothing bent, spare or sticking out. Always a question. Source: plain
    geometry.
    """
    rule = "longer_than_what_it_goes_in"
    index = facts(walk)
    pairs = {tuple(w.split()) for w in noun_class(vocabulary, "goes inside")}
    outers = {h for h, _ in pairs}
    for part in index.of("length"):
        own = head(part.subject)
        if part.qualifier == "spacing" or _STICKS_OUT.search(f"{part.subject} {part.around or ''}".lower()):
            continue
        for noun in sorted(h for h in outers if (h, own) in pairs):
            whole = [q for q in index.of("length") if head(q.subject) == noun]
            if len({round(size(q, "metre") or 0.0, 3) for q in whole}) != 1 or whole[0].value_max is not None:
                continue
            outer = whole[0]
            sizes = [q for q in index.of(*SIDES) if alike(q.subject, outer.subject) == "same"]
            greatest = max(sizes, key=lambda q: size(q, "metre") or 0.0)
            rest = {*words(part.subject)} - {own, noun}
            if not rest <= {*words(outer.subject)} or (size(part, "metre") or 0.0) > 4 * (size(greatest, "metre") or 1):
                continue
            if settled(walk, part, greatest):
                continue
            message = (
                f"{clean(part.subject)} {said(part)} long do not go into the {clean(outer.subject)}, {said(greatest)} "
                f"{_across(greatest)}: are they of another one? Measure both."
            )
            yield from verdict(rule, [part, greatest], _inside, message, level="check")


_LINES = frozenset("line plant system installation train mill".split())
"""What is several machines and ships as such."""
_OWN_DOORS = frozenset(
    ("oven", "furnace", "kiln", "chamber", "booth", "cabinet", "panel", "washer", "dryer", "freezer")
)
"""Doors that belong to the machine and not to the building."""


RULES = (
    part_and_opening,
    wider_than_what_holds_it,
    rounder_than_wide,
    part_longer_than_whole,
    longer_than_the_line,
    inside_and_outside,
    machine_through_door,
    taller_than_its_room,
    longer_than_what_it_goes_in,
)
