"""Counts with what they are counts of: weights, places, pitches and parts, told anywhere in a walk (see making.py)."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from datetime import date

from extractors.phrases import plural, singular
from pipeline.checks.facts import Facts, apart, bounds, facts, one_of, per_hour, size, slack
from pipeline.checks.offers import verdict
from pipeline.checks.relations import kinds_and_count
from pipeline.checks.subjects import alike, head, words
from pipeline.checks.told import Counted, beside, called, counted, pool, sentence, settled
from pipeline.checks.wording import clean, figure, moment, number, said, told_count
from pipeline.walk import Checked, Finding, Loose, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]


_LIFTS = re.compile(
    r"\b(?:hoist|crane|lift\w*|rated|limit|capacity|good for|takes?|up to|max\w*|shot|hook|carr(?:y|ies)|cart|"
    r"trolley|handles?|"
    r"load cell|allow\w*|safe)\b"
)
_FULL = re.compile(
    r"\b(?:full|loaded|gross|total|packed|filled|complete|net|pack|together|all in|bundle|stack|pallet)\b"
)
_TARE = re.compile(r"\b(?:empty|tare|by itself|on its own|alone|bare|without|basket (?:is|weighs))\b")
_PIECE_WEIGHT = re.compile(r"\b(?:each|apiece|a piece|per piece|every one|one|single|of|the|an?)\b")
_MACHINE_WEIGHT = re.compile(r"\b(?:machine|whole line|press itself|shipping|rigger|truck|frame|foundation|bed)\b")


def pieces_and_their_load(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Four hundred fittings to a basket, six ounces each, basket's eighteen pounds; the hoist is rated 120".

    Arithmetic: count × weight of one (+ what holds them, where it was told empty) ≤ what lifts or takes them; and
    within 0.7 to 1.1 of what they were said to weigh together. Tolerance 5 % plus wording. Only a count of a thing
    whose weight of one was told, within 40 s, and one greater weight told of lifting, of a full load or pack within
    60 s. Always a question. Source: plain arithmetic.
    """
    rule = "pieces_and_their_load"
    index = facts(walk)
    weights = pool(index, "kilogram", None, _MACHINE_WEIGHT, ("weight", "other"))
    for c in counted(index):
        if not 2 <= c.value <= 20_000:
            continue
        named = [w for w in weights if _of_piece(index, w, c.noun)]
        ones = [w for w in named if abs(moment(w) - c.at) <= 40] or named
        if len({round(size(w, "kilogram") or 0.0, 4) for w in ones}) != 1:
            continue
        one = ones[0]
        tares = [w for w in weights if w is not one and _TARE.search(called(index, w)) and abs(moment(w) - c.at) <= 60]
        tare = tares[0] if len({w.value for w in tares}) == 1 else None
        load = c.value * (size(one, "kilogram") or 0.0)
        whole = load + (size(tare, "kilogram") or 0.0 if tare is not None else 0.0)
        for total in weights:
            if total in (one, tare) or total.doubt or abs(moment(total) - c.at) > 60 or c.noun in words(total.subject):
                continue
            told = called(index, total)
            lifts = bool(_LIFTS.search(told))
            if not (lifts or _FULL.search(told)) or settled(walk, one, total):
                continue
            if lifts and abs(moment(one) - c.at) > 40:
                continue
            ratio = (size(total, "kilogram") or 0.0) / (whole or 1.0)
            if not (0.2 <= ratio <= 5 if not lifts else ratio >= 0.2):
                continue

            def holds(
                one: Quantity, total: Quantity, n: int = c.value, tare: Quantity | None = tare, lifts: bool = lifts
            ) -> bool:
                made = n * (size(one, "kilogram") or 0.0)
                spare = size(tare, "kilogram") or 0.0 if tare is not None else 0.0
                told, loose = size(total, "kilogram") or 0.0, slack(one, total)
                if lifts:
                    return made + spare <= told * (1.05 + loose)
                return any(0.9 - loose <= m / (told or 1.0) <= 1.05 + loose for m in (made, made + spare)) or (
                    tare is None and made <= told * 1.05 <= made * 1.6
                )

            held = f" and {said(tare)} of what holds them" if tare is not None else ""
            message = (
                f"{number(c.value)} {plural(c.noun)} of {said(one)}{held} are "
                f"{figure(round(whole / one_of(total.unit, 'kilogram'), 2), total.unit)}, {said(total)} was stated "
                f"({clean(total.subject)}): count again, or weigh one."
            )
            yield from verdict(rule, [one, total], holds, message, level="check")


def _of_piece(index: Facts, w: Quantity, noun: str) -> bool:
    if (size(w, "kilogram") or 0.0) > 3000 or w.qualifier in ("rated", "maximum"):
        return False
    text = called(index, w)
    named = noun in {singular(x.strip(".,;")) for x in text.split()}
    return named and bool(w.each or _PIECE_WEIGHT.search(text)) and not _LIFTS.search(text) and not _TARE.search(text)


_HOLDS = re.compile(
    r"\b(?:holds?|inside|in (?:it|there|the)|at (?:a|one|any) time|at once|capacity|room for|takes|full)\b"
)
_STAY = re.compile(
    r"\b(?:through|inside|in (?:it|the|there)|stays?|cool\w*|bak\w*|prov\w*|dwell\w*|minutes in|dry\w*|cur\w*|"
    r"soak\w*)\b"
)


def held_at_once(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Twenty-four hundred loaves an hour, ninety minutes in the cooler, and the cooler holds eighteen hundred".

    Arithmetic: pieces in it = rate × time in it (Little's law). Tolerance 15 % plus wording; more room than that is
    no finding. Only a count of the thing that the rate counts, told as held or inside, and a time of staying, within a
    minute. Always a question. Source: Operations Research 9(3):383-387, 1961.
    """
    rule = "held_at_once"
    index = facts(walk)
    rates = [q for q in index.of("rate") if q.of and per_hour(q) and q.value_max is None and "day" not in q.unit]
    times = [
        q
        for q in pool(index, "minute", None, None, ("dwell", "duration"))
        if q.property == "dwell" or _STAY.search(sentence(q))
    ]
    for c in counted(index):
        if c.value < 10 or not _HOLDS.search(c.text):
            continue
        mine = [r for r in rates if c.noun in {singular(plural(x)) for x in words(r.of or "")}]
        near = [t for t in times if abs(moment(t) - c.at) <= 45]
        if not mine or not near or len({t.value for t in near}) > 2:
            continue
        total = told_count(c.noun, c.value, c.evidence)

        def holds(total: Quantity, r: Quantity, t: Quantity) -> bool:
            made = (per_hour(r) or 0.0) * (size(t, "hour") or 0.0)
            return made <= total.value * (1.15 + slack(r, t))

        if any(holds(total, r, t) for r in mine for t in near):
            continue
        r = min(mine, key=lambda r: abs(moment(r) - c.at))
        t = min(near, key=lambda t: abs(moment(t) - c.at))
        made = (per_hour(r) or 0.0) * (size(t, "hour") or 0.0)
        if made > 12 * c.value or settled(walk, r, t):
            continue
        message = (
            f"{said(t)} at {said(r)} are {number(round(made))} {plural(c.noun)} in it at a time, {number(c.value)} was "
            "stated: count a row, or time one."
        )
        yield from verdict(rule, [total, r, t], holds, message, level="check")


_PARTS_OF = re.compile(
    r"^(?:'s )?(?:of (?:them|those|which|these|'em)|hung|sat|still|over|on|in|at|by|out|under|down|up|behind|along|for|"
    r"lying|with|to|from|above|below|upstairs|downstairs|spare|front|back|manual|automatic|\w+ ones?\b|"
    r"are|is|were|was|more|parked|stacked|gone|outside|inside|here|there|left|broken|scrapped|off|away|good|bad|new|"
    r"old|\w{3,}ing)\b"
)
_ONE = re.compile(
    r"(?:^|\band |\bthen |\bplus |, )one(?:'s)? (?:is |was |up |down |more )?"
    r"(?:on|in|for|at|over|under|of|by|spare|with)\b.{0,12}"
)
"""One of a kind, which is told as a word and no number."""
_LAST_ONE = re.compile(r"\b(?:and|then|plus) one\b")
_IN_ALL = re.compile(r"\b(?:altogether|in all|all told|total|all together|in total)\b")


_OPENS_A_PART = re.compile(r"(?:^|\b(?:and|then|i've|got|have|there's|there|with|plus|are|is|was|were|still|,) ?|, ?)$")
"""What stands before the number of a part; "zone two and five" are names and no counts."""


_FAULTY = re.compile(
    r"\b(?:leak\w*|missing|broken|dead|bad|worn|bent|cracked|seized|stuck|dented|rust\w*|wants?|needs?|want\w*|noisy|"
    r"out of|"
    r"not working|no good|short of|gone|lost|new|replaced|rebuilt|relined)\b"
)


def parts_of_a_count(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Nine barrels come with it. I've five hung over the tank, three still sat in the rinses, and then two on the
    stand".

    Arithmetic: the parts make the total. Tolerance none. Only numbers without a noun of their own, two or more in one
    sentence right behind the count of a plural thing (or in its own sentence), each followed by where they are. Always
    a question. Source: plain counting.
    """
    rule = "parts_of_a_count"
    index = facts(walk)
    bare = [
        n
        for n in walk.loose
        if n.value == int(n.value)
        and 1 < n.value < 1000
        and n.evidence
        and _PARTS_OF.match(n.behind.lstrip(", "))
        and _OPENS_A_PART.search(n.before)
    ]
    for c in counted(index):
        if not 3 <= c.value <= 500 or re.search(r"\b(?:another|more|other|about|some)$", c.before):
            continue
        parts = _kinds_of(index, c, [n for n in bare if 0 < n.evidence[0].start - c.at <= 14 and n.value < c.value])
        made = int(sum(n.value for n in parts))
        if not parts or not 0.6 <= made / c.value <= 1.5 or _told_already(walk, c.value, len(parts)):
            continue
        if any(k.noun == c.noun and k.value == made for k in counted(index)):
            continue  # put right: "eight die clamps. No, it's twelve, six on the slide and six on the bed"
        yield from kinds_and_count(rule, c.noun, told_count(c.noun, c.value, c.evidence), parts)


def _kinds_of(index: Facts, c: Counted, after: Sequence[Loose]) -> list[Loose]:
    """The numbers behind a count that are of its kinds, in one sentence; none where they may be of something else."""
    told = after[-1].before if after else ""
    group = [
        n for n in after if n is after[-1] or any(" ".join(n.behind.split()[i : i + 2]) in told for i in range(3))
    ]  # of one sentence
    singles = _singles(group)
    if not group or not 2 <= len(group) + len(singles) <= 5:
        return []
    starts = {n.evidence[0].start for n in group}
    behind = [k for k in counted(index) if c.at < k.at <= c.at + 14 and k.at < max(starts)]
    behind = [k for k in behind if k.evidence[0].start not in starts]
    if any(k.noun != c.noun for k in behind):
        return []
    if any(_FAULTY.search(" ".join(n.behind.split()[:6])) for n in group):
        return []  # "two of them are leaking and three are missing a lid": the others are sound
    # "ten narrow fingers, eight middle ones and eight wide ones"
    named = [Loose(float(k.value), k.before, k.behind, k.evidence) for k in behind if k.value < c.value]
    parts = [*named, *group, *singles]
    last = group[-1].before.rstrip(" ,")
    listed = re.search(r"\b(?:and|then|plus)$", last) or (singles and _LAST_ONE.search(group[-1].behind))
    return parts if listed or (_IN_ALL.search(c.text) and len(parts) >= 3) else []


def _singles(group: Sequence[Loose]) -> list[Loose]:
    """The kinds of which there is but one, in the sentence of the others."""
    found = [m.group() for n in group for m in _ONE.finditer(f"{n.before} {n.behind}")]
    text = {t.lstrip(", ").removeprefix("and ")[:16] for t in found}
    whole = {t for t in text if not any(t != o and o.startswith(t) for o in text)}
    return [Loose(1.0, "", t, group[-1].evidence) for t in sorted(whole)]


def _told_already(walk: Walk, total: int, parts: int) -> bool:
    """Whether the words of a breakdown were compared before, with as many parts."""
    read = [b for b in walk.breakdowns if b.total == total]
    for x in walk.checked:
        if x.rule == "parts_and_total" and x.outcome.startswith("failed"):
            return True
        if x.rule == "parts_in_the_words" and not (
            x.outcome == "agreed" and read and all(len(b.parts) < parts for b in read)
        ):
            return True
    return False


_PITCH = re.compile(r"\b(?:on (?:cent\w+|(?:\w+ ){1,3}cent\w+)|cent(?:re|er)s?|apart|pitch|spac\w+|o\.?c\.?)\b")
_SPANS = re.compile(
    r"\b(?:long|length|span\w*|overall|cover\w*|run(?:s|ning)?|wide|width|from first to last|end to end|trims?|"
    r"total|row|from (?:the )?first)\b"
)
_TWO_ABREAST = re.compile(
    r"\b(?:pairs?|pairwise|(?:two|three|four) (?:to|per|for|at|on|in) (?:a|an|each|every|the)|both sides|each side|"
    r"either side|a side|per side|opposite|abreast|rows?|staggered|double)\b"
)
"""Words of things of which several stand at one place: their count times the pitch is no length."""
_NOT_ROW = frozenset(
    ("hour minute day foot inch year pound bolt pole stroke part piece sheet board time phase speed amp volt").split()
)


def pitch_makes_the_length(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Thirty-two bins, four feet on center, and the sorter's a hundred and two feet long".

    Arithmetic: (count - 1) × pitch ≤ length, and count × pitch ≥ 0.8 of what they were said to span. Tolerance 3 % plus
    wording. Only a spacing told as on centers, apart or pitch, one count of a thing within 12 s of it, and one length
    told as long or as a span within 25 s. Always a question. Source: plain geometry.
    """
    rule = "pitch_makes_the_length"
    index = facts(walk)
    lengths = [q for q in index.quantities if q.property in ("length", "width", "other", "depth") and size(q, "metre")]
    for pitch in lengths:
        before, behind = beside(index, pitch)
        told = (
            _PITCH.search(called(index, pitch)) or _PITCH.match(behind) or re.search(r"\b(?:every|between) $", before)
        )
        if pitch.value_max is not None or not told:
            continue
        near = [
            c
            for c in counted(index)
            if abs(c.at - moment(pitch)) <= 12 and 3 <= c.value <= 5000 and c.noun not in _NOT_ROW
        ]
        near = [c for c in near if c.noun in sentence(pitch) or abs(c.at - moment(pitch)) <= 4]
        near = [c for c in near if pitch.evidence and not any(c.noun in e.words.lower() for e in pitch.evidence)]
        near = [c for c in near if abs(c.at - moment(pitch)) <= 4] or near
        if len({(c.value, c.noun) for c in near}) != 1:
            continue
        c = near[0]
        if _TWO_ABREAST.search(f"{c.before} {c.behind}"):
            continue
        spans = [
            q
            for q in lengths
            if q is not pitch
            and abs(moment(q) - moment(pitch)) <= 25
            and _upper(q) > 2 * (size(pitch, "metre") or 0.0)
            and _SPANS.search(called(index, q))
        ]
        if len({round(_upper(q), 2) for q in spans}) != 1:
            continue
        span = spans[0]
        share = c.value * (size(pitch, "metre") or 0.0) / (_upper(span) or 1.0)
        if settled(walk, pitch, span) or not 0.3 <= share <= 3:
            continue
        close = bool(re.search(r"\b(?:span|trim|cover|from first|row|so)\w*\b", called(index, span)))

        def holds(pitch: Quantity, span: Quantity, n: int = c.value, close: bool = close) -> bool:
            one, whole, loose = size(pitch, "metre") or 0.0, _upper(span) or 1.0, slack(pitch, span)
            fits = (n - 1) * one <= whole * (1.03 + loose)
            return fits and (not close or n * one >= whole * (0.92 - loose))

        made = c.value * (size(pitch, span.unit) or 0.0)
        message = (
            f"{number(c.value)} {plural(c.noun)} at {said(pitch)} take {figure(made, span.unit)} "
            f"({figure((c.value - 1) * (size(pitch, span.unit) or 0.0), span.unit)} from the first to the last), "
            f"{said(span)} was stated: count again, or measure."
        )
        yield from verdict(rule, [pitch, span], holds, message, level="check")


def _upper(q: Quantity) -> float:
    """Metres of a length, the greater end of a range."""
    found = bounds(q, "metre")
    return found[1] if found is not None else 0.0


_SINGULAR = frozenset(("length", "width", "height", "depth", "diameter", "volume", "weight"))
_OTHER_ONE = re.compile(
    r"\b(?:another|other|second|next|spare|each|working|usable|up to|down to|max\w*|min\w*|from|extended|retracted|"
    r"open|closed|shut|"
    r"raised|lowered|empty|full|gross|net|dry|wet|with|without|inside|outside|nominal|rated|holds?|takes?|carr\w+|"
    r"load\w*|lifts?|"
    r"or|about|old|new|original\w*|was|used to|per|stroke|travel|long run|every|of it|half|first|last|each one|"
    r"biggest|smallest|"
    r"largest|longest|sheet|part|piece|high side|low side|left|right|cut|door|opening|pipe|hose|cable|belt|chain)\b"
)


def told_again(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Vessel's 4.2 long inside", and a minute later "on account of the vessel being five metres long".

    Arithmetic: both in one unit. Tolerance 6 % plus wording. Only a size, volume or weight of one name told twice, 15 s
    or more apart, that is counted as one, where no words narrow or part the two; `same_figure_twice` compares things
    that a buyer would list. Always a question. Source: plain arithmetic.
    """
    rule = "told_again"
    index = facts(walk)
    unit = {"volume": "litre", "weight": "kilogram"}
    for prop in sorted(_SINGULAR):
        group = [q for q in index.of(prop) if q.value_max is None and q.subject and not q.each and q.status != "hedged"]
        for i, a in enumerate(group):
            same = [q for q in group if alike(q.subject, a.subject) == "same"]
            if len(same) != 2 or same[0] is not a or i >= len(group):
                continue
            b = same[1]
            x, y = size(a, unit.get(prop, "metre")), size(b, unit.get(prop, "metre"))
            if not x or not y or moment(b) - moment(a) < 15 or max(x, y) / min(x, y) > 2.5 or settled(walk, a, b):
                continue
            if a.subject.endswith("s") or (a.of or "") != (b.of or "") or {a.qualifier, b.qualifier} - {None, "inside"}:
                continue
            if head(a.subject) in _MANY or any(
                (c.count or 1) > 1 for c in index.components if head(c.name) == head(a.subject)
            ):
                continue
            if any(_OTHER_ONE.search(_right_beside(index, q)) for q in (a, b)):
                continue
            if head(a.subject) not in {singular(w.strip(".,;'")) for w in (b.around or "").replace("'s", "").split()}:
                continue  # filed there, and not said there

            def holds(a: Quantity, b: Quantity, u: str = unit.get(prop, "metre")) -> bool:
                return apart(size(a, u) or 0.0, size(b, u) or 0.0) <= 0.06 + slack(a, b)

            message = (
                f"{clean(a.subject)} {prop}: {said(a)} at first, {said(b)} later. Measure or read it again, and say "
                "which of "
                "the two stands."
            )
            yield from verdict(rule, [a, b], holds, message, level="check")


def _right_beside(index: Facts, q: Quantity) -> str:
    """Six words before a figure and three behind it, without what says that it is an inside size."""
    before, behind = beside(index, q)
    return " ".join((*before.split()[-6:], *behind.split()[:3])).replace("inside", "")


_MANY = frozenset(
    (
        "pump motor fan valve roll roller pipe duct door part piece sheet product can bottle box case bag board "
        "panel cart rack table conveyor line gauge cylinder blade wheel belt hose cable rail beam bin tray basket "
        "pallet truck drum tank zone section station machine unit thing it one gate screen filter nozzle head"
    ).split()
)

_A_SIDE = re.compile(r"\b(?:sides?|left|right|top|bottom|front|back|upper|lower|roof|floor|deck|near|far|end)\b")


def sides_make_the_count(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Eight wheels, so the advert goes. Three wheels this side, and over on the far side it's three again".

    Arithmetic: the sides make the count. Tolerance none. Only a greater count of the same noun told before, a count
    told of this side, top or end, and in the same sentence a bare number told of the other. Always a question.
    Source: plain counting.
    """
    rule = "sides_make_the_count"
    index = facts(walk)
    told = counted(index)
    for one in told:
        if not _A_SIDE.search(" ".join(one.behind.split()[1:6])):
            continue
        others = [
            n
            for n in walk.loose
            if n.evidence
            and 0 < n.evidence[0].start - one.at <= 8
            and one.noun in {singular(w.strip(".,;")) for w in n.before.split()}
            and (_A_SIDE.search(" ".join(n.before.split()[-7:])) or _A_SIDE.search(" ".join(n.behind.split()[:5])))
        ]
        totals = {c.value: c for c in told if c.noun == one.noun and c.at < one.at and c.value > one.value}
        if len(others) != 1 or len(totals) != 1:
            continue
        total, other = next(iter(totals.values())), others[0]
        made = one.value + int(other.value)
        if not 0.5 <= made / total.value <= 2:
            continue
        a = told_count(one.noun, total.value, total.evidence)
        parts = [told_count(f"{one.noun} on one side", one.value, one.evidence)]
        parts.append(told_count(f"{one.noun} on the other", int(other.value), other.evidence))

        def holds(a: Quantity, *parts: Quantity) -> bool:
            return sum(p.value for p in parts) == a.value

        message = (
            f"{one.value} and {number(other.value)} are {made} {plural(one.noun)}, {number(total.value)} was "
            "stated: count again, and say "
            "which stands."
        )
        yield from verdict(rule, [a, *parts], holds, message, level="check")


RULES = (
    sides_make_the_count,
    pieces_and_their_load,
    held_at_once,
    parts_of_a_count,
    pitch_makes_the_length,
    told_again,
)
