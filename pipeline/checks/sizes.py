"""Sizes, counts and loads told minutes apart: what goes through, what a total leaves for its parts (relations.py)."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from extractors.phrases import plural, singular
from extractors.words import Evidence
from pipeline.checks.facts import Facts, facts, has_dimension, noun_class, size, slack
from pipeline.checks.offers import verdict
from pipeline.checks.passing import STOCK
from pipeline.checks.relations import distinct, explained, kinds_and_count
from pipeline.checks.subjects import head
from pipeline.checks.told import Counted, beside, called, counted, pool, sentence, settled
from pipeline.checks.wording import clean, moment, number, said, told_count
from pipeline.walk import Checked, Finding, Loose, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_WORKING = re.compile(
    r"\b(?:working|usable|pass|clear|max\w*|nominal|up to|for up to|effective|throat) ?(?:width|opening|height)?\b"
)
_WORKS = re.compile(
    r"\b(?:working|usable|effective|pass|clear)(?: \w+)? (?:width|height)\b"
    r"|\b(?:width|height)\b[^.]*\b(?:working|usable)\b"
)
_NOT_RUN = re.compile(
    r"\b(?:could|can't|cannot|won't|too|never|not|cut (?:down )?to|trim\w* to|slit|folded|half|lengthwise|ripped|"
    r"other (?:line|machine)|stor\w+|rack|trolley|truck|table)\b"
)


def wider_than_it_works(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Maximum sheet is 2,540 millimetres wide", and minutes later "the washer's working width is 2,400 millimetres".

    Arithmetic: width of what is run ≤ working width of each machine that it passes. Tolerance: the wording's. Only a
    width told as the working or clear width, once in the walk, and a width of a product noun; three times as much is of
    something else, and a narrower other side of the product keeps it quiet, as it may be turned. Always a question.
    Source: plain geometry.
    """
    rule = "wider_than_it_works"
    index = facts(walk)
    stock = noun_class(vocabulary, "product") | STOCK
    widths = list(pool(index, "metre", None, None, ("width",)))
    tops = [
        q
        for q in widths
        if (q.qualifier == "working" or _WORKS.search(called(index, q))) and head(q.subject) not in stock
    ]
    if distinct(tops, "metre") != 1:
        return
    top = tops[0]
    for run in widths:
        if run in tops or head(run.subject) not in stock or _NOT_RUN.search(sentence(run)) or settled(walk, run, top):
            continue
        own = [q for q in index.of("length", "width") if q.subject == run.subject and abs(moment(q) - moment(run)) <= 6]
        turned = [q for q in own if q is not run and (size(q, "metre") or 0.0) <= (size(top, "metre") or 0.0)]
        if turned or not 1 / 3 <= (size(run, "metre") or 0.0) / (size(top, "metre") or 1.0) <= 3:
            continue

        def holds(run: Quantity, top: Quantity) -> bool:
            return (size(run, "metre") or 0.0) <= (size(top, "metre") or 0.0) * (1.005 + slack(run, top))

        message = (
            f"{said(run)} wide ({clean(run.subject)}) does not pass a working width of {said(top)} "
            f"({clean(top.subject) or 'machine'}): measure both, and ask what was really run on it."
        )
        yield from verdict(rule, [run, top], holds, message, level="check")


_HOLE = re.compile(
    r"\b(door(?:way|s)?|opening|mouth|gate|hatch|corridor|pit|cabinet|cubicle|niche|bay|ceiling|roof|beams?|headroom|"
    r"lintel|"
    r"shaft|aisle|passage|tie ?bars?|uprights?|columns?)\b"
)
_CLEARANCE = re.compile(
    r"\b(?:clear|opening|doors?|doorway|gate|hatch|mouth|underside|headroom|ceiling|roof|pit|wall to wall)\b"
)
_THROUGH = re.compile(
    r"\b(?:(?:goes?|went|came|comes?|wheel\w*|roll\w*|push\w*|brought|taken?|bring|driv\w+|carr\w+|pass\w*) "
    r"(?:\w+ ){0,4}(?:through|in(?:to)?|by|out)|hangs? (?:\w+ )?(?:down|under|below)|below floor|in the pit|"
    r"stands? in|sits in|"
    r"under (?:the|that) (?:roof|beams?|ceiling))\b"
)
_APART = re.compile(
    r"\b(?:dismantl\w*|in pieces|taken? apart|came apart|knock\w* out|roof off|crane[d]? in|removable|"
    r"taken? off|lean\w*|tilted)\b"
)
_KIN = {
    "width": ("width", "length", "diameter"),
    "height": ("height", "length", "depth"),
    "depth": ("depth", "height", "length"),
}


def does_not_go_through(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The bowl trolley is 1.4 metres wide"; it is wheeled "through a sliding door, clear opening one metre twenty".

    Arithmetic: width of what goes through ≤ clear width of the door, height ≤ height under a roof, what hangs down ≤
    depth of the pit. Tolerance: 1 % plus wording. Only one clear size of a door, opening, pit or roof told within a
    minute of a size of the same direction of another thing, and words of going through, hanging down or standing in,
    in either's sentence; nothing dismantled. More than four times the opening is of something else. Always a
    question. Source: plain geometry.
    """
    rule = "does_not_go_through"
    index = facts(walk)
    sizes = list(pool(index, "metre", None, None, ("width", "height", "length", "depth", "diameter")))
    for hole in sizes:
        text = called(index, hole)
        named = _HOLE.search(text)
        if named is None or not _CLEARANCE.search(text) or _APART.search(sentence(hole)):
            continue
        for thing in sizes:
            if thing is hole or abs(moment(thing) - moment(hole)) > 60 or settled(walk, thing, hole):
                continue
            way = thing.property
            if way not in _KIN or not (
                hole.property == way or (hole.property == "length" and way in ("width", "height"))
            ):
                continue
            if _is_hole(index, thing) or _APART.search(sentence(thing)) or thing.subject == hole.subject:
                continue
            told = f"{sentence(hole)} {sentence(thing)}"
            stands = named.group(1) in ("roof", "ceiling", "beams", "beam", "headroom") and way == "height"
            if not (_THROUGH.search(told) or stands) or head(hole.subject) == head(thing.subject):
                continue
            if not 0.2 <= (size(thing, "metre") or 0.0) / (size(hole, "metre") or 1.0) <= 4:
                continue

            def holds(thing: Quantity, hole: Quantity) -> bool:
                return (size(thing, "metre") or 0.0) <= (size(hole, "metre") or 0.0) * (1.01 + slack(thing, hole))

            message = (
                f"{said(thing)} {_WORD[way]} ({clean(thing.subject) or 'machine'}) does not go with {said(hole)} "
                f"({named.group(1)}): measure both, and ask how it came in."
            )
            yield from verdict(rule, [thing, hole], holds, message, level="check")


def _is_hole(index: Facts, q: Quantity) -> bool:
    """Whether a size is of a door, roof or pit itself: by its subject, or the words right before it."""
    return bool(_HOLE.search(f"{q.subject} {' '.join(beside(index, q)[0].split()[-4:])}")) and not re.search(
        r"\b(?:in|into|through|under) (?:the|its|that|a) \w+ (?:is|was|are)?$", beside(index, q)[0].strip()
    )


_WORD = {"width": "wide", "height": "high", "depth": "deep"}

_PARTED = re.compile(
    r"^(?:of (?:them|those|these|'em)|are|is|on|at|in the|up|down|facing|upper|lower|left|right|front|rear|back|top|"
    r"bottom|hot|cold|wet|dry|old|new|big|small|long|short|plain|tilt\w*|above|below|over|under(?:neath)?|running|"
    r"spare|"
    r"outside|inside|either|more|automatic|manual|fixed|loose|powered|idle|driven|single|double)\b"
)
_NO_TOTAL = re.compile(
    r"\b(?:each|every|per|only|just|at least|some|out of order|dead|missing|broken|leak\w*|bad|worn|new ones)\b"
)


def contrasted_counts(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Six dryers along the wall", and minutes later "the dryers, four of them tilt, and three are the plain kind".

    Arithmetic: the kinds or sides make the count. Tolerance none. Only one count of a noun in the walk told before, and
    in one sentence that names the noun two or three bare numbers with a word of kind or side behind each, none of them
    told as broken, missing or of each. Always a question. Source: plain counting.
    """
    rule = "contrasted_counts"
    index = facts(walk)
    numbered = {singular(s.station_word) for s in walk.sequences}
    for noun, total in _totals(walk, index).items():
        if noun in numbered:
            continue
        runs = _runs(walk, noun, total)
        for run in runs:
            made = sum(int(n.value) for n in run)
            if made == total.value or not 0.5 <= made / total.value <= 2 or max(n.value for n in run) >= total.value:
                continue
            yield from kinds_and_count(rule, noun, total, run)


def _totals(walk: Walk, index: Facts) -> dict[str, Quantity]:
    """The one count of each noun, of what is listed or of what was only counted."""
    found: dict[str, dict[int, Quantity]] = {}
    for c in index.components:
        if c.count and 3 <= c.count <= 1000 and not c.approximate:
            found.setdefault(singular(head(c.name)), {})[c.count] = told_count(head(c.name), c.count, c.evidence)
    for n in counted(index):
        if 3 <= n.value <= 60:
            found.setdefault(n.noun, {}).setdefault(n.value, told_count(n.noun, n.value, n.evidence))
    return {noun: next(iter(by.values())) for noun, by in found.items() if len(by) == 1}


def _runs(walk: Walk, noun: str, total: Quantity) -> list[list[Loose]]:
    """Bare numbers of one sentence that names the noun, told by kind or side."""
    bare = [n for n in walk.loose if n.evidence and 1 <= n.value < 60 and n.value == int(n.value)]
    out: list[list[Loose]] = []
    for i, n in enumerate(bare):
        lead = {singular(w.strip(".,;:")) for w in n.before.split()[-12:]}
        last = n.before.split()[-1].strip(".,;:") if n.before.split() else ""
        if singular(last) == noun or last in ("number", "no", "numbers"):
            continue  # "tanks one and two", "position seven"
        if noun not in lead or n.evidence[0].start <= moment(total) + 2 or any(n in run for run in out):
            continue
        run = [n]
        for m in bare[i + 1 : i + 3]:
            next_to = m.evidence[0].start - run[-1].evidence[0].start <= 6
            if next_to and " ".join(run[-1].behind.split()[:2]) in m.before:
                run.append(m)
        text = f"{n.before} {run[-1].before} {run[-1].behind}"
        if len(run) >= 2 and all(_PARTED.match(m.behind) for m in run) and not _NO_TOTAL.search(text):
            out.append(run)
    return out


_SECTION = re.compile(
    r"\b(?:first|second|third|fourth|middle|last|next|other|front|rear|left|right|top|bottom|upper|lower|inside|"
    r"outside|"
    r"side|end|section|zone|row|bank|bay|wall|room|floor|here|there|window|near|far|another|then)\b"
)
_LAST = re.compile(r"\b(?:last|other|final\w*|rest|another|remaining|that's (?:it|all|the lot|them all)|and then)\b")
_IN_ALL = re.compile(r"\b(?:in total|in all|all told|altogether|total|says?|said|list\w*|sheet|advert|card)\b")


_Part = tuple[float, int, str, tuple[Evidence, ...]]
"""When, how many, in which words."""


def _of_them(walk: Walk, total: Counted) -> list[_Part]:
    """ "The second stack of drying cans, 32 of them", told within two minutes on either side of the total."""
    return sorted(
        (n.evidence[0].start, int(n.value), n.before, n.evidence)
        for n in walk.loose
        if n.evidence and 0 < abs(n.evidence[0].start - total.at) <= 120 and n.value < total.value
        and re.match(r"of (?:them|those|'em)\b", n.behind) and n.value == int(n.value) and _ORDINAL.search(n.before)
        and plural(total.noun) in re.sub(r"[.,;:]", " ", n.before).split()
    )  # fmt: skip


_ORDINAL = re.compile(r"\b(?:first|second|third|last|other|front|rear|upper|lower|left|right|north|south|east|west)\b")


def places_make_the_count(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Twelve lamps in total. The first section has three lamps; the middle one, four lamps; and the last another
    four".

    Arithmetic: what stands in each place makes the count. Tolerance none. Only a count told as in total or by a
    paper, then within 45 s counts of the same noun, or bare numbers behind "another", each with a place, the last of
    them told as the last, the other or the rest. Always a question. Source: plain counting.
    """
    rule = "places_make_the_count"
    index = facts(walk)
    told = counted(index)
    for total in told:
        if not _IN_ALL.search(total.near) or not 3 <= total.value <= 200:
            continue
        named = [
            (c.at, c.value, f"{c.before} {c.behind}", c.evidence)
            for c in told
            if c.noun == total.noun and 0 < c.at - total.at <= 45 and c.value < total.value
        ]
        bare = [
            (n.evidence[0].start, int(n.value), n.before, n.evidence)
            for n in walk.loose
            if n.evidence and 0 < n.evidence[0].start - total.at <= 45 and re.search(r"\banother$", n.before.strip())
            and re.match(r"^\W*(?:$|of them|of those|there)", n.behind) and n.value < total.value
        ]  # fmt: skip
        parts = sorted([*named, *bare])
        if not named:
            parts = _of_them(walk, total)
        if len(parts) < 2 or len(parts) > 6 or not all(_SECTION.search(text) for _, _, text, _ in parts):
            continue
        if named and not _LAST.search(parts[-1][2]):
            continue
        made = sum(n for _, n, _, _ in parts)
        if made == total.value or not 0.5 <= made / total.value <= 2:
            continue
        figures = [told_count(total.noun, total.value, total.evidence)]
        figures += [told_count(f"{total.noun} {i}", n, at) for i, (_, n, _, at) in enumerate(parts, 1)]

        def holds(total: Quantity, *parts: Quantity) -> bool:
            return sum(p.value for p in parts) == total.value

        message = (
            f"{', '.join(number(n) for _, n, _, _ in parts)} are {made} {plural(total.noun)}, {total.value} was "
            "stated: count again, and say which stands."
        )
        yield from verdict(rule, figures, holds, message, level="check")


_IN_EACH = re.compile(r"^(?:\w+ )?(\w+) (?:in|on|to|per|for) (?:each|every|a|the|one)?(?: of the)? ?(?:\w+ )?(\w+)")


_BY_WORDS = ("nested_counts", "parts_in_the_words")
"""Stricter rules of the same matter."""


def in_each_makes_the_count(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Three pressure housings; four membranes in each housing, so nine membranes on the rack".

    Arithmetic: so many in each × how many of these there are = all. Tolerance none. Only a number told as in each of
    a noun of which there are counts in the walk, and a greater number of the same thing behind it within 40 s that
    none of these counts makes; fewer than the least of them is a part of it. Always a question. Source: plain
    counting.
    """
    rule = "in_each_makes_the_count"
    index = facts(walk)
    told = counted(index)
    for each in told:
        found = _IN_EACH.match(each.behind)
        if found is None or not re.search(r"\b(?:each|every|per)\b", each.behind[:40]) or each.value > 200:
            continue
        holder = singular(found.group(2))
        counts = {c.value: c for c in told if c.noun == holder and abs(c.at - each.at) <= 90}
        many = {n: told_count(holder, n, c.evidence) for n, c in counts.items()}
        many |= {
            c.count: told_count(holder, c.count, c.evidence)
            for c in index.components
            if c.count and singular(head(c.name)) == holder and abs(moment(c) - each.at) <= 90
        }
        totals = [c for c in told if c.noun == each.noun and 0 < c.at - each.at <= 40 and c.value > each.value]
        totals = [c for c in totals if not _IN_EACH.match(c.behind) or "each" not in c.behind[:40]]
        if len({c.value for c in totals}) != 1 or not many or any(c.rule in _BY_WORDS for c in walk.checked):
            continue
        total = totals[0]
        if (
            any(total.value % (n * each.value) == 0 for n in (*many, sum(many)))
            or total.value < min(many) * each.value * 0.5
        ):
            continue
        n = min(many.values(), key=lambda q: abs(moment(q) - each.at))
        if not 0.5 <= total.value / (n.value * each.value) <= 2:
            continue
        figures = [
            n,
            told_count(each.noun, each.value, each.evidence),
            told_count(f"{each.noun} in all", total.value, total.evidence),
        ]
        made = int(n.value * each.value)
        message = (
            f"{number(n.value)} {plural(holder)} of {each.value} {plural(each.noun)} are {made}, {total.value} "
            "was stated: count again, and say which stands."
        )
        yield from verdict(rule, figures, lambda n, e, t: n.value * e.value == t.value, message, level="check")


_TOGETHER = re.compile(
    r"\b(?:altogether|in all|all told|in total|total|between (?:them|the (?:two|three|four|five))|together|all in)\b"
)
_ONE_OF = re.compile(
    r"\b(?:first|second|third|fourth|last|other|middle|one|long|short|inclined|number \w+|alone|on its own|by itself)\b"
)


def part_of_altogether(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Three screws, twelve metres of conveyor altogether", and minutes later "the third screw is fourteen on its
    own".

    Arithmetic: one of several is less than all of them. Tolerance 2 % plus wording. Only a figure told as altogether
    in a sentence that counts a noun, and a greater one of the same kind told of one of that noun. Always a question.
    Source: plain arithmetic.
    """
    rule = "part_of_altogether"
    index = facts(walk)
    for total in index.of("length", "weight", "power", "volume", "flow", "area"):
        text = sentence(total)
        if total.value_max is not None or total.each or not _TOGETHER.search(called(index, total)):
            continue
        for part in index.of(total.property):
            noun = singular(head(part.subject))
            if part is total or part.value_max is not None or not has_dimension(part.unit, total.unit) or len(noun) < 3:
                continue
            several = re.search(
                rf"\b(?:two|three|four|five|six|seven|eight|[2-9]) (?:\w+ )?{re.escape(plural(noun))}\b", text
            )
            if several is None or not _ONE_OF.search(called(index, part)) or _TOGETHER.search(called(index, part)):
                continue
            if not 0.1 <= (size(part, total.unit) or 0.0) / total.value <= 4 or settled(walk, part, total):
                continue

            def holds(part: Quantity, total: Quantity) -> bool:
                return (size(part, total.unit) or 0.0) <= total.value * (1.02 + slack(part, total))

            message = (
                f"One {noun} of {said(part)} is more than the {said(total)} that all of them were said to have: "
                "measure both, or ask what was counted."
            )
            yield from verdict(rule, [part, total], holds, message, level="check")


_CELL = re.compile(r"\bload ?-?cells?\b|\bcells?\b")
_OF_EACH = re.compile(r"\b(?:each|apiece|every|rated|cells? (?:of|at)|(?:good|rated) for)\b")
_EMPTY = re.compile(r"\b(?:empty|tare|by itself|bare|dry)\b")


def more_than_its_cells(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The tank stands on four load cells of five hundred kilos"; "they fill it right up, three thousand litres".

    Arithmetic: what it weighs empty + litres × 1 kg ≤ cells × what each takes. Tolerance 2 % plus wording. Only a
    weight told of load cells with one count of them, and the greatest batch or contents within a minute. Always a
    question; only a plate or a document settles a rating. Source: a litre of water weighs 1 kg; nothing heavier is
    assumed.
    """
    rule = "more_than_its_cells"
    index = facts(walk)
    weights = pool(index, "kilogram", None, None, ("weight", "other"))
    for cell in weights:
        own = called(index, cell)
        if not _CELL.search(own) or "load" not in sentence(cell) or not (cell.each or _OF_EACH.search(own)):
            continue
        counts = {n for n in _cells(walk, index, cell) if 1 < n <= 12}
        contents = [q for q in pool(index, "litre", None, None, ("volume",)) if abs(moment(q) - moment(cell)) <= 40]
        if len(counts) != 1 or not contents:
            continue
        n = counts.pop()
        full = max(contents, key=lambda q: size(q, "litre") or 0.0)
        empty = [
            q
            for q in weights
            if q is not cell and _EMPTY.search(called(index, q)) and abs(moment(q) - moment(cell)) <= 60
        ]
        given = n * (size(cell, "kilogram") or 0.0)
        if not (size(full, "litre") or 0.0) <= 12 * given:
            continue

        def holds(cell: Quantity, full: Quantity, *empty: Quantity, n: int = n) -> bool:
            weight = (size(full, "litre") or 0.0) + sum(size(q, "kilogram") or 0.0 for q in empty)
            return weight <= n * (size(cell, "kilogram") or 0.0) * (1.02 + slack(cell, full))

        plus = "".join(f" and {said(q)} empty" for q in empty[:1])
        message = (
            f"{said(full)}{plus} weigh more than {n} load cells of {said(cell)} take: "
            "read one of them, only a plate or "
            "a document settles it."
        )
        yield from verdict(rule, [cell, full, *empty[:1]], holds, message, level="check")


def _cells(walk: Walk, index: Facts, cell: Quantity) -> set[int]:
    """Counts of load cells told within ten seconds."""
    found = {c.value for c in counted(index) if c.noun == "cell" and abs(c.at - moment(cell)) <= 10}
    return found or {
        c.count for c in index.components if c.count and "cell" in c.name and abs(moment(c) - moment(cell)) <= 10
    }


_RATED = re.compile(r"\b(?:good for|rated|rating|handles?|up to|takes?|max\w*|sized for|capacity|can do)\b")
_PASSED = frozenset(
    "filter softener separator dryer exchanger strainer meter screen cooler chiller clarifier uv lamp".split()
)


def more_than_goes_through(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The filter's good for fifty gallons a minute", and "the pump sends eighty gallons a minute through it".

    Arithmetic: flow through ≤ flow that the filter, softener or dryer is rated for. Tolerance 5 % plus wording. Only
    one rated flow of such a thing, and a greater flow of the same fluid whose sentence says that it goes through that
    thing, or that stands in the same story of half a minute with "through". Always a question. Source: meaning of a
    rated flow.
    """
    rule = "more_than_goes_through"
    index = facts(walk)
    flows = pool(index, "litre/minute", None, None, ("flow", "rate"))
    for rated in flows:
        noun = singular(head(rated.subject))
        if noun not in _PASSED or not _RATED.search(called(index, rated)):
            continue
        for flow in flows:
            if flow is rated or singular(head(flow.subject)) == noun or not _one_fluid(flow, rated):
                continue
            text = sentence(flow)
            named = re.search(
                rf"\bthrough (?:the |a |that |this |its )?(?:\w+ ){{0,2}}{noun}", f"{text} {sentence(rated)}"
            )
            all_of_it = re.search(r"\b(?:through|all of it|comes? back|full flow)\b", f"{text} {sentence(rated)}")
            close = abs(moment(flow) - moment(rated)) <= 45 and all_of_it is not None
            if not (named or close) or settled(walk, flow, rated):
                continue
            ratio = (size(flow, "litre/minute") or 0.0) / (size(rated, "litre/minute") or 1.0)
            if not 0.1 <= ratio <= 10 or (ratio > 1 and explained(index, ratio, [flow, rated], 0.05)):
                continue

            def holds(flow: Quantity, rated: Quantity) -> bool:
                return (size(flow, "litre/minute") or 0.0) <= (size(rated, "litre/minute") or 0.0) * (
                    1.05 + slack(flow, rated)
                )

            message = (
                f"{said(flow)} ({clean(flow.subject) or 'pump'}) go through a {noun} rated for {said(rated)}: read "
                "both plates, and ask for a bypass."
            )
            yield from verdict(rule, [flow, rated], holds, message, level="check")


def _one_fluid(a: Quantity, b: Quantity) -> bool:
    """Whether neither is of air where the other is not."""
    air = re.compile(r"\b(?:air|cfm|exhaust|fan)\b")
    return bool(air.search(sentence(a))) == bool(air.search(sentence(b)))


RULES = (
    wider_than_it_works,
    does_not_go_through,
    contrasted_counts,
    places_make_the_count,
    in_each_makes_the_count,
    part_of_altogether,
    more_than_its_cells,
    more_than_goes_through,
)
