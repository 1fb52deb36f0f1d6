"""What a machine makes, holds and lets through, by figures that were told apart from one another or filed elsewhere.

These rules run behind the stricter ones and leave alone what they settled. Operands are found by kind and by the words
beside them (`told.py`); any figure of the walk that bears the others out keeps a rule quiet.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from datetime import date

from extractors.phrases import many_of
from pipeline.checks.facts import Facts, apart, facts, has_dimension, limit, one_of, one_per_hour, per_hour, size, slack
from pipeline.checks.offers import verdict
from pipeline.checks.subjects import alike, head, mentions, singular, words
from pipeline.checks.told import called, counted, nearest, pool, sentence, settled
from pipeline.checks.wording import clean, figure, moment, number, said, told_count
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

STORY = 150.0
"""Seconds within which a cycle, a batch and an output are of one machine, where a walk has one of each; common
practice, no source."""
_EVENTS = (
    "batch charge load shot stroke drop heat mix lift cycle pour cook brew melt press index row carrier rack "
    "basket tray mould mold flight hanger bar beam sling dip set stack hit turn"
).split()
_EVENT = "|".join(f"{w}(?:s|es)?" for w in _EVENTS)
_CYCLE = re.compile(
    rf"\b(?:every|cycles?|{_EVENT}|index\w*|to (?:start|button|floor|part|load|door|drop)|apart|stopwatch|timed|"
    r"turn ?around|round trip|never (?:any )?(?:quicker|faster|less|under|below))\b"
)
_NOT_CYCLE = re.compile(
    r"\b(?:warm\w*|heat\w* up|changeover|change\w*|clean\w*|set ?up|soak\w*|dwell\w*|hold\w*|held|stays?|inside|"
    r"cure\w*|"
    r"drain\w*|cool\w*|warranty|ago|late|walk|drive|shifts?|start ?up|reach\w*|pump(?:s|ed)? down|come up|till|until|"
    r"dry|dries|drying|purge\w*|flush\w*|rins\w*|sterili\w*|regenerat\w*|grease\w*|lubricat\w*|inspect\w*|defrost\w*|"
    r"run ?time|endurance|batter\w*|lasts?|in to out|through|end to end|swap\w*|threading|service|break)\b"
)
_OF_ONE = re.compile(
    rf"\b(?:a|an|per|each|every|one|single|full|the|to the|to a) (?:\w+ ){{0,2}}(?:{_EVENT})\b|\bbatch\b"
)
_NOT_MADE = re.compile(
    r"\b(?:air|water|steam|gas|fuel|oil|coolant|exhaust|pumps?|compressor|make-?up|fan|blower|vacuum|condensate|diesel|"
    r"refriger\w*|brine|glycol|chiller|spray|boiler|burner|drain\w*|filter|scrubber)\b"
)
_REALLY = re.compile(
    r"\b(?:real\w*|actual\w*|practice|average|typical\w*|usual\w*|normal\w*|day to day|at least|with (?:stops|breaks)|"
    r"slow\w*|conservative\w*|today|when i (?:came|looked)|right now)\b"
)
_AT_ONCE = frozenset(
    (
        "pocket cavity cup nozzle head lane up out row valve spindle needle mould mold gripper pan slot pin "
        "impression die station hole bay hook place seat finger chuck bottle jar can tray piece part box case loaf "
        "bag carton"
    ).split()
)
"""Nouns of which each makes, or is, one piece of a cycle."""
_ALWAYS = frozenset(("pocket cavity nozzle impression spindle head mold mould").split())
"""Nouns of what works at the same time, whatever is said with them."""
_PER_EVENT = re.compile(
    rf"\b(?:across|abreast|at (?:a|one) time|at once|in (?:a|each|every|one) (?:{_EVENT})|(?:per|a|to a|to the|each|"
    "every|on each|"
    rf"on a|on the) (?:{_EVENT})|cavit\w+|wide|up|(?:{_EVENT}) (?:has|have|holds?|takes?|carr\w+|of))\b"
)


def cycle_makes_output(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Carriers have 24 pockets across, one comes up every six seconds; the binder has eighteen thousand an hour".

    Arithmetic: output = pieces, litres or kilograms of one cycle × 3600 s / cycle. Tolerance 10 % plus wording; a third
    less is normal, as machines stop. Only a time told of a stroke, batch, index or as an interval, an amount told of
    one of them or a count of pockets, nozzles or cavities, and an output of the same kind, within two and a half
    minutes; where any of them agree nothing is asked. Always a question. Source: plain arithmetic.
    """
    rule = "cycle_makes_output"
    index = facts(walk)
    times = [
        q
        for q in pool(index, "second", _CYCLE, _NOT_CYCLE, ("cycle", "duration"))
        if 0.2 <= (size(q, "second") or 0.0) <= 6 * 3600 and not _NOT_CYCLE.search(sentence(q))
    ]
    if not times or len({round(size(q, "second") or 0.0, 2) for q in times}) > 3:
        return
    outputs = [
        q
        for q in index.of("rate", "flow")
        if q.value_max is None and q.value > 0 and "day" not in q.unit and not _NOT_MADE.search(called(index, q))
    ]
    for kind in ("kilogram", "litre", "metre", "metre**2"):
        totals = [q for q in outputs if has_dimension(q.unit, f"{kind}/hour")]
        each = pool(index, kind, _OF_ONE, None, ("weight", "volume", "length", "area"))
        yield from _cycle(walk, rule, times, each, totals, kind)
    totals = [q for q in outputs if q.of and per_hour(q) and not set(words(q.of)) & {*_EVENTS}]
    if totals:
        yield from _cycle(walk, rule, times, _pieces(index, totals), totals, "")


def _cycle(
    walk: Walk, rule: str, times: list[Quantity], each: list[Quantity], totals: list[Quantity], kind: str
) -> Results:
    def an_hour(t: Quantity, n: Quantity) -> float:
        amount = n.value if not kind else (size(n, kind) or 0.0)
        return amount * 3600 / (size(t, "second") or 1.0)

    def told(total: Quantity) -> float:
        return (per_hour(total) if not kind else size(total, f"{kind}/hour")) or 0.0

    def holds(t: Quantity, n: Quantity, total: Quantity) -> bool:
        ratio = told(total) / (an_hour(t, n) or 1.0)
        loose = slack(t, n, total)
        low = 0.3 if _REALLY.search(sentence(total)) else 0.66
        return low - loose <= ratio <= 1.10 + loose

    found = nearest(holds, times, each, totals, within=STORY)
    if found is None:
        return
    (t, n, total), _ = found
    ratio = told(total) / (an_hour(t, n) or 1.0)
    if settled(walk, t, total) or not 0.05 <= ratio <= 20:
        return
    if not kind and any(apart(3600 / (size(x, "second") or 1.0), told(y)) <= 0.08 for x in times for y in totals):
        return  # one a cycle
    per = one_per_hour(total.unit) if not kind else one_of(total.unit, f"{kind}/hour")
    name = many_of(n.value, singular(n.subject)) if not kind else said(n)
    message = (
        f"{name} every {said(t)} make {figure(an_hour(t, n) / per, total.unit)}, {said(total)} was stated: time a few "
        "cycles, or ask which of the three holds."
    )
    yield from verdict(rule, [t, n, total], holds, message, level="check")


def _pieces(index: Facts, totals: list[Quantity]) -> list[Quantity]:
    """How many pieces a cycle may make: counted heads or pockets, and counts told of one load or row."""
    found: dict[int, Quantity] = {}
    made = {singular(head(q.of or "")) for q in totals}
    for q in index.of("count"):
        noun = singular(head(q.of or q.subject))
        if 2 <= q.value <= 5000 and q.value == int(q.value) and (noun in _AT_ONCE or noun in made):
            found.setdefault(int(q.value), told_count(noun, int(q.value), q.evidence))
    for c in counted(index):
        if c.value <= 5000 and (
            c.noun in _ALWAYS or ((c.noun in _AT_ONCE or c.noun in made) and _PER_EVENT.search(c.near))
        ):
            found.setdefault(c.value, told_count(c.noun, c.value, c.evidence))
    return list(found.values()) if len(found) <= 3 else []


_FILLS = re.compile(
    r"\b(?:fill(?:s|ed|ing)?|full(?! (?:\w+ )?(?:program\w*|cycle|recipe|shift|wash|rinse|clean|run|load|speed)\b)|"
    r"brim\w*|empt(?:y|ies|ied)|drain\w*|last(?:s|ed|ing)?|run(?:s|ning)? (?:for|out|"
    r"dry|time)|"
    r"good for|endurance|autonomy|on (?:a|one|the) tank|turn(?:s|ed)? over|turnover|resid\w+|retention|detention|"
    r"through in|pump(?:s|ed|ing)? (?:\w+ ){0,4}(?:out|over|across)|holding|stays?|how long|sits?|off (?:of )?(?:a|"
    r"one|the|that) "
    r"tank|keeps (?:it|her|them) going|worth of)\b"
)
_STORED = re.compile(
    r"\b(?:tank|vat|silo|bin|hopper|vessel|basin|clarifier|pond|drum|bunker|tote|kettle|reservoir|sump|"
    r"tube|pit|chest|tower|receiver|bulk|day ?tank|buffer|surge|skips?|trailer|wagon|big ?bags?|tub|bins?|container|"
    r"dumpster|barrel|holds?|takes?|good for)\b"
)
_MOVES = re.compile(r"\b(?:strokes?|travel|clos(?:es|ing)|clamp\w*|ram|cylinder|extend\w*|retract\w*)\b")
_GASES = re.compile(r"\b(?:air|compress\w*|receiver|steam|vacuum|nitrogen|gas|fan|blower|exhaust|extract\w*|cfm)\b")


def store_lasts(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Plate pasteuriser, ten thousand litres an hour; the buffer takes twenty thousand, full in thirty minutes".

    Arithmetic: time = volume or weight / flow. Tolerance 20 % plus wording. Only a time told of filling, emptying,
    lasting or staying, an amount of a vessel and a flow, no gas, within 45 s, where no other figures of the walk make
    it right. Always a question. Source: plain arithmetic; the detention time of a basin.
    """
    rule = "store_lasts"
    index = facts(walk)
    times = [
        q
        for q in pool(index, "second", None, None, ("duration", "dwell", "cycle", "other", "hours"))
        if _FILLS.search(sentence(q)) and not _GASES.search(sentence(q)) and not _MOVES.search(called(index, q))
    ]
    for t in times:
        for kind in ("litre", "kilogram"):
            stores = [
                q
                for q in pool(index, kind, _STORED, _GASES, ("volume", "weight"))
                if abs(moment(q) - moment(t)) <= 45
                and not mentions(f"{q.subject} {q.qualifier or ''}", "empty", "tare")
            ]
            told = pool(index, f"{kind}/hour", None, _GASES, ("flow", "rate"))
            flows = [q for q in told if abs(moment(q) - moment(t)) <= 60] or [
                q for q in told if any(words(q.subject) and alike(q.subject, s.subject) == "same" for s in stores)
            ]  # "two tonnes of cake an hour", and minutes later a skip of eight tonnes of cake
            if len(stores) > 4 or len(flows) > 4:
                continue

            def lasts(v: Quantity, f: Quantity, kind: str = kind) -> float:
                return (size(v, kind) or 0.0) / (size(f, f"{kind}/second") or 1.0)

            def holds(v: Quantity, f: Quantity, t: Quantity, kind: str = kind) -> bool:
                made = (size(v, kind) or 0.0) / (size(f, f"{kind}/second") or 1.0)
                return apart(made, size(t, "second") or 0.0) <= 0.20 + slack(v, f, t)

            found = nearest(holds, stores, flows, [t])
            if found is None or settled(walk, found[0][1], t) or settled(walk, found[0][0], t):
                continue
            v, f, _ = found[0]
            ratio = lasts(v, f) / (size(t, "second") or 1.0)
            if not 0.04 <= ratio <= 25:
                continue
            message = (
                f"{said(v)} at {said(f)} are {figure(lasts(v, f) / one_of(t.unit, 'second'), t.unit)}, {said(t)} was "
                "stated: ask for the flow, and for what the vessel takes."
            )
            yield from verdict(rule, [v, f, t], holds, message, level="check")


_SECTION = re.compile(
    r"\b(?:sections?|zones?|chambers?|modules?|in-?feed|out-?feed|entry|entrance|exit|delivery|discharge|tunnel|hood|"
    r"preheat\w*|cooling|cooler|dryer|drying|washer|oven|load(?:ing)?|unload(?:ing)?|tables?|conveyors?|fields?|bays?|"
    r"compartments?|frames?|ends?|part)\b"
)
_NOT_SECTION = re.compile(
    r"\b(?:wide|width|high|tall|height|deep|depth|across|diameter|stroke|travel|pipe|duct|cable|hose|rail|track|chain|"
    r"apart|pitch|centres|centers|spacing|thick|belt is|of belt|door|gap|stack|chimney|shaft|screw|bowl|total|"
    r"overall)\b"
)
_OVERALL = re.compile(
    r"\b(?:over ?all|total (?:length|machine|line)|end to end|all told|altogether|all in|in total|from \w+(?: \w+)? "
    r"(?:up )?to|"
    r"whole (?:line|machine|thing|oven|length)|layout|drawing|footprint|complete|line length|length of (?:the )?"
    r"(?:machine|line|whole))\b"
)


def sections_make_the_length(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Every chamber is three metres, the entry six, the delivery eight; the drawing says thirty-two in all".

    Arithmetic: sections, each × its count where it was counted, take no more than the overall length. Tolerance 3 %
    plus wording; less is free room. Only two or more lengths of sections, zones, infeed, outfeed and their like, and a
    later length told as the whole. Always a question: they may overlap. Source: plain geometry.
    """
    rule = "sections_make_the_length"
    index = facts(walk)
    lengths = [q for q in pool(index, "metre", None, None, ("length",)) if (size(q, "metre") or 0.0) >= 0.5]
    wholes = [q for q in lengths if _OVERALL.search(sentence(q))]
    if len({round(size(q, "metre") or 0.0, 2) for q in wholes}) != 1:
        return
    whole = wholes[-1]
    parts: dict[str, tuple[int, Quantity]] = {}
    for q in lengths:
        text = called(index, q)
        near = abs(moment(q) - moment(whole)) <= 75
        if q in wholes or not near or not _SECTION.search(text) or _NOT_SECTION.search(text):
            continue
        name = head(q.subject)
        n = _how_many(walk, index, name) if q.each else 1
        if q.each and n < 2:
            return
        if name in parts and parts[name][1].value != q.value and alone(q):
            return
        parts.setdefault(f"{name} {q.value}", (n, q))
    if not 2 <= len(parts) <= 12:
        return
    chosen = tuple(parts.values())
    if any((size(q, "metre") or 0.0) * n > (size(whole, "metre") or 0.0) * 1.5 for n, q in chosen):
        return
    counts = tuple(n for n, _ in chosen)

    def holds(whole: Quantity, *each: Quantity, counts: tuple[int, ...] = counts) -> bool:
        made = sum(n * (size(q, "metre") or 0.0) for n, q in zip(counts, each, strict=True))
        return made <= (size(whole, "metre") or 0.0) * (1.03 + slack(whole, *each))

    made = sum(n * (size(q, whole.unit) or 0.0) for n, q in chosen)
    if settled(walk, whole, *(q for _, q in chosen)) or not made <= 2.2 * whole.value:
        return
    told = " and ".join(f"{number(n)} × {said(q)}" if n > 1 else said(q) for n, q in chosen[:3])
    message = (
        f"{told} make {figure(made, whole.unit)}, more than the {said(whole)} of {clean(whole.subject) or 'all'}: "
        "measure the length, or ask for the drawing."
    )
    yield from verdict(rule, [whole, *(q for _, q in chosen)], holds, message, level="check")


def alone(q: Quantity) -> bool:
    """Whether a figure is of one thing only."""
    return not q.each


def _how_many(walk: Walk, index: Facts, noun: str) -> int:
    """How many of a noun a walk counts: a component, a row of stations, or told in a sentence; 0 where unclear."""
    found = {c.count for c in index.components if c.count and c.count > 1 and head(c.name) == noun}
    found |= {s.stated_count for s in walk.sequences if s.stated_count and singular(s.station_word) == noun}
    if not found:
        found = {c.value for c in counted(index) if c.key == noun}
    if not found:  # "stenter frame, eight chamber"
        found = {
            int(n.value)
            for n in walk.loose
            if n.value == int(n.value) and n.behind.split()[:1] in ([noun], [noun + ","])
        }
    return int(found.pop() or 0) if len(found) == 1 else 0


_WET_IN = re.compile(
    r"\b(?:in ?coming|in ?feed|feed|fed|brings?|comes? in|coming in|goes in|going in|wet|green|raw|intake|"
    r"harvest\w*|in at|"
    r"before|thin|start\w*|arriv\w+)\b"
)
_DRY_OUT = re.compile(
    r"\b(?:out ?going|discharge\w*|out ?feed|out at|comes? out|coming out|leav\w+|target|final|dried|dry|finish\w*|"
    r"product|"
    r"after|end|cake|concentrate|thick\w*|down to|exit\w*|setpoint)\b"
)
_MOIST = re.compile(r"\b(?:moisture|moist|humid\w*|water content|wet|m\.?c\.?|dry(?:er|ing)?|dried)\b")
_SOLID = re.compile(r"\b(?:solids?|brix|dry matter|concentrat\w+|total solids)\b")
_DRIES = re.compile(
    r"\b(?:dryer|drier|kiln|drying|roaster|dehydrat\w+|centrifuge|decanter|press|evaporator|thickener|filter)\b"
)
_OTHER_SHARE = re.compile(
    r"\b(?:speed|load|full|glycol|efficien\w+|regenerat\w+|open|damper|slope|grade|worn|wear|left|capacity|relative|rh|"
    r"power factor|caustic|cleaner|deposit|buyer|premium|oxygen|protein|fat|sugar|salt|alcohol)\b"
)


def wetter_than_before(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "We bring corn in at twenty-two percent; the discharge target on the controller is fifty percent".

    Arithmetic: what leaves a dryer has less moisture than what goes in; what leaves an evaporator, thickener or
    decanter has more solids. Tolerance: none beyond wording. Only percentages told of moisture or solids, one as
    incoming and one as leaving. Always a question. Source: what drying is; common practice, no source.
    """
    rule = "wetter_than_before"
    index = facts(walk)
    stated = [str(x.value) for x in (walk.identity.kind, walk.identity.name) if x is not None]
    kind = " ".join(stated)
    things = f"{kind} {' '.join(c.name for c in index.components)}".lower()
    if not _DRIES.search(things):
        return
    shares = [q for q in pool(index, "percent", None, _OTHER_SHARE) if q.unit == "percent" and 0 < q.value <= 100]
    before = [
        q for q in shares if _WET_IN.search(_beside_text(index, q)) and not _DRY_OUT.search(_beside_text(index, q))
    ]
    behind = [q for q in shares if _DRY_OUT.search(_beside_text(index, q)) and q not in before]
    for solid in (False, True):
        cue = _SOLID if solid else _MOIST
        ins = [q for q in before if cue.search(sentence(q))]
        outs = [
            q for q in behind if cue.search(sentence(q)) or (not (_SOLID if not solid else _MOIST).search(sentence(q)))
        ]
        if len({q.value for q in ins}) != 1 or len({q.value for q in outs}) != 1:
            continue
        a, b = ins[0], outs[0]
        if a is b or abs(moment(a) - moment(b)) > 90:
            continue
        what = "solids" if solid else "moisture"

        def holds(a: Quantity, b: Quantity, solid: bool = solid) -> bool:
            return (a.value < b.value) if solid else (b.value < a.value)

        message = (
            f"{said(a)} goes in and {said(b)} comes out: the {what} of what leaves is {'less' if solid else 'more'} "
            "than "
            f"before. Read both again; is one of them not {what}?"
        )
        yield from verdict(rule, [a, b], holds, message, level="check")
        return


def _beside_text(index: Facts, q: Quantity) -> str:
    return called(index, q)


_SIDE_BY_SIDE = re.compile(r"\b(?:side by side|across|abreast|next to each other|wide|up|lanes?|rows?|strips?|cuts?)\b")
_IN_LINE = re.compile(
    r"\b(?:nose to tail|end to end|in (?:a )?(?:row|line|single file)|one behind (?:the )?(?:other|another)|"
    r"head to tail|one after (?:the )?(?:other|another))\b"
)
_ROOM = re.compile(
    r"\b(?:web|trim|belt|mesh|deck|bed|table|conveyor|chamber|vessel|oven|tunnel|press|platen|opening|beam|shelf|"
    r"pallet|line|"
    r"machine|sheet|reel|usable|working|inside|bin|tank|cabinet|furnace|hearth|kiln|retort|track|full width)\b"
)


def pieces_across(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The trim is 4200 millimetres; a set was three rolls side by side, each 1500 wide".

    Arithmetic: pieces side by side × width ≤ width of the web, belt or bed; pieces nose to tail × length ≤ its length.
    Tolerance 2 % plus wording. Only a count told with its arrangement in the sentence of the piece's size, or of a
    figure within 15 s of it, against the greatest room told. Always a question. Source: plain geometry.
    """
    rule = "pieces_across"
    index = facts(walk)
    for piece in index.of("width", "length", "diameter"):
        if piece.value_max is not None or not size(piece, "metre"):
            continue
        found = _arranged(index, piece)
        if found is None:
            continue
        n, noun, along = found
        sides = ("length",) if along else ("width",)
        rooms = [
            q
            for q in index.of(*sides, *(() if along else ("length",)))
            if q is not piece
            and q.value_max is None
            and (size(q, "metre") or 0.0) >= (size(piece, "metre") or 0.0)
            and noun not in words(q.subject)
            and _ROOM.search(called(index, q))
            and abs(moment(q) - moment(piece)) <= 75
        ]
        if not rooms:
            continue
        room = max(rooms, key=lambda q: size(q, "metre") or 0.0)
        made = n * (size(piece, room.unit) or 0.0)
        if made > 3 * room.value:
            continue

        def holds(piece: Quantity, room: Quantity, n: int = n) -> bool:
            return n * (size(piece, "metre") or 0.0) <= (size(room, "metre") or 0.0) * (1.02 + slack(piece, room))

        how = "one behind the other" if along else "side by side"
        message = (
            f"{many_of(n, clean(noun))} of {said(piece)} {how} take {figure(made, room.unit)}, more than the "
            f"{said(room)} of "
            f"{clean(room.subject) or 'the machine'}: measure both, or count again."
        )
        yield from verdict(rule, [piece, room], holds, message, level="check")


def _arranged(index: Facts, piece: Quantity) -> tuple[int, str, bool] | None:
    """How many of a piece stand side by side (or, True, one behind the other) and its noun; None where not told."""
    noun = singular(head(piece.subject))
    out: set[tuple[int, str, bool]] = set()
    for c in counted(index):
        at = c.at
        if c.key != noun or c.value > 200 or abs(at - moment(piece)) > 20:
            continue
        along, wide = _IN_LINE.search(c.near), _SIDE_BY_SIDE.search(c.near)
        if along and piece.property == "length":
            out.add((c.value, noun, True))
        elif wide and not along and piece.property in ("width", "diameter"):
            out.add((c.value, noun, False))
    return out.pop() if len(out) == 1 else None


_VESSEL = frozenset(
    (
        "tank vessel vat silo bin hopper kettle tun drum sump basin pit well receiver reactor boiler tub trough "
        "autoclave retort digester fermenter chamber"
    ).split()
)
_PAPERS = frozenset(
    "certificate register plate nameplate card sheet drawing sign stamp label list book manual paper screen board "
    "paperwork drawings papers tender record file inspector inventory insurer quote brochure".split()
)
"""What tells a volume of a vessel that its sentence names."""
_ROUND = re.compile(r"\b(?:round|circular|cylindrical)\b")
_TALL = ("height", "depth", "length")


def vessel_and_sizes(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The product tank: its diameter is one metre, straight height 1.2", and later "the tank is of two thousand
    litres".

    Arithmetic: π/4·d²·h or l·w·d against the volume, with the tolerance of `volume_from_sizes`, whose limits it
    takes; up to 25 % over is a cone or a dished end. Only the one vessel of the walk that has such sizes, and the one
    volume whose name is as near; where several would do nothing is compared. Always a question. Source: plain geometry.
    """
    rule = "vessel_and_sizes"
    index = facts(walk)
    over, under = 1.25, limit(vocabulary, "volume_under")["low"]
    done = {i for c in walk.checked if c.rule == "volume_from_sizes" and "for want" not in c.outcome for i in c.facts}
    sized: dict[str, dict[str, Quantity]] = {}
    for q in index.of("length", "width", "height", "depth", "diameter"):
        if head(q.subject) in _VESSEL and q.value_max is None and q.id not in done:
            sized.setdefault(q.subject, {}).setdefault(q.property, q)
    whole = {k: s for k, s in sized.items() if _all_sides(s)}
    volumes = [v for v in index.of("volume") if v.id not in done and v.value_max is None and size(v, "litre")]
    papers = [v for v in volumes if head(v.subject) not in _VESSEL]
    volumes = [v for v in volumes if head(v.subject) in _VESSEL]
    for v in volumes:  # "wet well's outside, circular, three metres internal, four metres of water in it"
        inside = [
            q
            for q in index.of("length", "height", "depth", "diameter")
            if v.around and q.around and _ROUND.search(v.around)
        ]
        inside = [q for q in inside if v.around and q.evidence and q.evidence[0].words.lower() in v.around.lower()]
        if len(inside) == 2 and v.subject not in whole and 0 < moment(inside[1]) - moment(inside[0]) <= 6:
            whole[v.subject] = {"diameter": inside[0], "height": inside[1]}
    for name, by in whole.items():
        mine = [v for v in volumes if alike(v.subject, name)]
        if len({size(v, "litre") for v in mine}) > 1:  # "each five metres across", and later "120 cubic metres apiece"
            mine = [v for v in mine if v.each and all(s.each for s in by.values())]
        # "autoclave last tested in 2023, and the certificate is giving a volume of 26 cubic metres"
        mine = mine or [v for v in papers if _PAPERS & {*words(sentence(v))} and head(name) in words(sentence(v))]
        if not mine and all(s.each for s in by.values()):  # "the paperwork has them at 110 cubic metres apiece"
            mine = [
                v for v in papers if v.each and _PAPERS & {*words(sentence(v))} and not _nearer_vessel(index, v, name)
            ]
        near = [k for k in whole if alike(k, name)]
        if len({size(v, "litre") for v in mine}) != 1 or len(near) != 1:
            continue
        v, sides = mine[0], _all_sides(by)

        def litres(*sides: Quantity) -> float:
            if len(sides) == 2:
                d = size(sides[0], "metre") or 0.0
                return math.pi / 4 * d * d * (size(sides[1], "metre") or 0.0) * 1000
            return math.prod(size(q, "metre") or 0.0 for q in sides) * 1000

        def holds(v: Quantity, *sides: Quantity) -> bool:
            ratio, loose = (size(v, "litre") or 0.0) / (litres(*sides) or 1.0), slack(v, *sides)
            return bool(under - loose <= ratio <= over + loose)

        if not 0.1 <= (size(v, "litre") or 0.0) / (litres(*sides) or 1.0) <= 10:
            continue
        by_what = " by ".join(said(q) for q in sides)
        message = (
            f"{clean(name)}: {by_what} {'as a cylinder ' if len(sides) == 2 else ''}holds about "
            f"{figure(round(litres(*sides) / one_of(v.unit, 'litre')), v.unit)}, {said(v)} was stated. Measure "
            "again, or ask for "
            "the drawing."
        )
        yield from verdict(rule, [v, *sides], holds, message, level="check")


def _nearer_vessel(index: Facts, v: Quantity, name: str) -> bool:
    """Whether another vessel was told of between the sizes of this one and a volume."""
    first = max((moment(q) for q in index.quantities if q.subject == name and moment(q) < moment(v)), default=0.0)
    between = [q for q in index.quantities if first < moment(q) < moment(v)]
    return any(head(q.subject) in _VESSEL and q.subject != name for q in between)


def _all_sides(by: dict[str, Quantity]) -> tuple[Quantity, ...]:
    """Diameter and height of a round one, three sides of a box; empty where one is missing."""
    tall = next((by[p] for p in _TALL if p in by), None)
    if "diameter" in by:
        tall = tall or by.get("length")  # lying on its side
        return (by["diameter"], tall) if tall is not None else ()
    deep = by.get("depth") or by.get("height")
    return (by["length"], by["width"], deep) if "length" in by and "width" in by and deep is not None else ()


RULES = (
    vessel_and_sizes,
    cycle_makes_output,
    store_lasts,
    sections_make_the_length,
    wetter_than_before,
    pieces_across,
)
