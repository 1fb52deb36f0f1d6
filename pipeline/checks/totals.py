"""Parts of one kind against what all of them were told to make, numbers from one to another, and so many on each side.

The rules of sums and several ask for a certain build of sentence; these find the parts by their kind and by standing
one after another, and the total by its word. Any of the parts that make the total keep them quiet.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from datetime import date
from itertools import combinations

from extractors.phrases import plural, singular
from pipeline.checks.facts import Facts, facts, size, slack
from pipeline.checks.nearby import one_sentence, parted
from pipeline.checks.offers import verdict
from pipeline.checks.relations import magnitude
from pipeline.checks.subjects import words
from pipeline.checks.told import Counted, called, counted, pool, sentence, settled
from pipeline.checks.wording import clean, figure, moment, number, said, told_count
from pipeline.walk import Checked, Finding, Loose, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_KINDS = (
    ("metre", ("length", "height", "depth", "other")),
    ("kilogram", ("weight",)),
    ("kilowatt", ("power",)),
    ("litre", ("volume",)),
    ("litre/minute", ("flow", "rate")),
    ("kilogram/hour", ("rate", "flow")),
    ("second", ("duration", "dwell", "cycle")),
    ("metre**2", ("area",)),
    ("ampere", ("current",)),
)
"""What adds up, and how it is filed."""
_TOTAL = re.compile(
    r"\b(?:total\w*|altogether|all told|in all|overall|together|combined|sums?|whole|end to end|from the floor to|"
    r"start to finish|door to door|complete|assembled|between them|adds? up|comes? to|makes? it|payload|the lot|all up|"
    r"from (?:the|one|its) [a-z]+(?: [a-z]+)? to the|pulley to [a-z]+ pulley)\b"
)
_PART = re.compile(
    r"\b(?:steps?|sections?|zones?|pieces?|modules?|stands?|hal(?:f|ves)|parts?|another|others?|each|every|first|second|third|"
    r"last|top|bottom|upper|lower|left|right|base|frame|chambers?|stages?|tiers?|decks?|plus|and then|middle|"
    r"centre|center|tail|bits?|lengths?)\b"
)
_MOST = re.compile(r"\b(?:payload|truck|lorry|trailer|carries|no more than|at most|limit|rated|capacity)\b")
_BEFORE = 45.0
"""Seconds before a total in which its parts are told; common practice, no source."""
_RUN = 14.0
"""Seconds between two parts of one list; common practice, no source."""
_LONG_RUN = 30.0
"""As _RUN, where each has a word of a part; common practice, no source."""
_FEW = 6
"""Parts that a list has at most."""


def parts_of_one_kind(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The frame is eight tonnes, the carriage seven and the unit another six; one truck with a payload of thirteen".

    Arithmetic: the parts, each × its count, make the total; what carries them takes at least as much. Tolerance 4 %
    plus wording. Only parts told one after another before a figure with a word of a total, of which each has a word of
    a part or as many were told as there are; where some of them make the total nothing is asked. Always a question.
    Source: plain arithmetic.
    """
    index = facts(walk)
    for unit, properties in _KINDS:
        told = sorted(pool(index, unit, None, None, properties), key=moment)
        for total in told:
            if _TOTAL.search(called(index, total)) or _TOTAL.search(parted(total)[1][:60]):
                yield from _against(index, walk, unit, total, _run(index, told, total))


def _run(index: Facts, told: Sequence[Quantity], total: Quantity) -> list[Quantity]:
    """The figures of its kind told one after another before a total, back to the last one that is no part."""
    found: list[Quantity] = []
    last = moment(total)
    for q in reversed([q for q in told if moment(q) < moment(total) and _of_one_kind(q, total)]):
        gap = last - moment(q)
        part = found and all(_PART.search(f"{called(index, x)} {x.subject}") for x in (q, found[-1]))
        if (
            gap > (_BEFORE if not found else _LONG_RUN if part else _RUN)
            or _TOTAL.search(called(index, q))
            or len(found) == _FEW
        ):
            break
        found.append(q)
        last = moment(q)
    return found[::-1]


_TIMES = frozenset(("duration", "dwell", "cycle"))
"""A step of a program is filed under any of these, by its verb."""


def _of_one_kind(q: Quantity, total: Quantity) -> bool:
    return total.property in (q.property, "other") or {q.property, total.property} <= _TIMES


def _against(index: Facts, walk: Walk, unit: str, total: Quantity, parts: list[Quantity]) -> Results:
    if len(parts) < 2 or (len({q.subject for q in parts}) < 2 and not one_sentence(parts[0], parts[-1])):
        return
    listed = all(_PART.search(f"{called(index, q)} {q.subject}") for q in parts)
    as_many = any(c.value == len(parts) and abs(c.at - moment(parts[0])) <= _RUN for c in counted(index))
    in_one = _in_one_sentence(parts) and total.property in ("rate", "flow")
    if not listed and not as_many and not in_one:
        return
    times = [_times(index, q) for q in parts]
    amounts = [n * magnitude(q, unit) for n, q in zip(times, parts, strict=True)]
    whole, most = magnitude(total, unit), bool(_MOST.search(called(index, total)))
    spare = 0.04 + slack(total, *parts)
    some = (s for n in range(1, len(amounts) + 1) for s in combinations(amounts, n))
    if not most and any(abs(sum(s) / whole - 1) <= spare for s in some):
        return
    if settled(walk, total, *parts) or not 0.5 <= sum(amounts) / whole <= 2.0 or max(amounts) > whole:
        return

    def holds(total: Quantity, *parts: Quantity) -> bool:
        made = sum(n * magnitude(q, unit) for n, q in zip(times, parts, strict=True))
        ratio = made / (magnitude(total, unit) or 1.0)
        return ratio <= 1 + spare and (most or ratio >= 1 - spare)

    shown = " and ".join(f"{n} × {said(q)}" if n > 1 else said(q) for n, q in zip(times, parts, strict=True))
    one = size(total, unit) or 1.0
    message = (
        f"{shown} are {figure(round(sum(amounts) * total.value / one, 2), total.unit)}, {said(total)} was stated "
        f"({clean(total.subject) or 'all of them'}): ask for the list, or measure again."
    )
    yield from verdict("parts_of_one_kind", [total, *parts], holds, message, level="check")


def _in_one_sentence(parts: Sequence[Quantity]) -> bool:
    """ "A gives sixty kilos an hour, B a hundred and twenty, and C sixty": three things or more, told in one breath."""
    return len({q.subject for q in parts}) == len(parts) > 2 and all(one_sentence(parts[0], q) for q in parts[1:])


def _times(index: Facts, q: Quantity) -> int:
    """How many there are of a part that was told of each."""
    if not q.each and not re.search(r"\b(?:each|every|apiece)\b", called(index, q)):
        return 1
    own = set(words(q.subject)) | {singular(w.strip(".,;")) for w in sentence(q).split()[:6]}
    counts = {c.value for c in counted(index) if c.noun in own and abs(c.at - moment(q)) <= _BEFORE}
    counts |= {c.count for c in index.components if c.count and singular(c.name.split()[-1]) in own}
    return counts.pop() if len(counts) == 1 else 1


_THROUGH = re.compile(r"^(?:through|to|thru|up to)\s*$")
_NUMBERED = re.compile(r"\b(?:tags?|numbers?|numbered|serials?|lockers?|asset|labell?ed|marked|from|stickers?)\b")
_UNBROKEN = re.compile(r"\b(?:every|all|no gaps?|none missing|in between|complete|doubles|each)\b")


def numbered_from_to(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The asset tags go 301 through 324, every number in between is there, so write down twenty three heads".

    Arithmetic: last − first + 1. Tolerance none. Only two bare numbers with "through" or "to" between, told as tags or
    numbers, and one count of things within 20 s, with a word that none is missing. Always a question. Source: plain
    counting.
    """
    index = facts(walk)
    for first, last in zip(walk.loose, walk.loose[1:], strict=False):
        if not _from_to(first, last):
            continue
        text = f"{last.before} {last.behind}"
        made = int(last.value - first.value) + 1
        at = first.evidence[0].start
        near = [c for c in counted(index) if abs(c.at - at) <= 20 and c.value not in (first.value, last.value)]
        near = [c for c in near if 0.5 <= c.value / made <= 2]
        if len({c.value for c in near}) != 1 or not _NUMBERED.search(first.before) or not _UNBROKEN.search(text):
            continue
        c = near[0]
        total, told = told_count(c.noun, c.value, c.evidence), told_count(f"{c.noun} by number", made, last.evidence)
        message = (
            f"{number(first.value)} to {number(last.value)} are {made} {plural(c.noun)}, {c.value} was stated: count "
            "again, or look for one that is missing."
        )
        yield from verdict("numbered_from_to", [total, told], lambda a, b: a.value == b.value, message, level="check")


def _from_to(first: Loose, last: Loose) -> bool:
    """Whether two bare numbers stand as "301 through 324"."""
    if not first.evidence or not last.evidence or not 2 <= last.value - first.value <= 500:
        return False
    words_between = first.behind.split()[:1]
    return (
        0 <= last.evidence[0].start - first.evidence[0].start <= 4
        and bool(words_between)
        and bool(_THROUGH.match(words_between[0]))
        and float(first.value).is_integer()
        and float(last.value).is_integer()
    )


_SIDES = re.compile(
    r"^(?:(?:on|down|along|at|in|to|for|up) (?:each|either|both|every) "
    r"(?:sides?|flanks?|ends?|walls?|hand|half|halves)|(?:a|per) (?:side|flank))\b"
)
_THE_SAME = re.compile(
    r"^(?:on|down|along|at|up) (?:this|that|one|the (?:near|left|right|far|first)) (?:side|end|flank|wall)\W+"
    r"(?:and|with|then) (?:the )?(?:same|as many)\b"
)
"""Words behind a count that tell of as many on the other side."""
_OF_THEM = re.compile(r"^(?:of (?:them|em|these|those)|in total|altogether|all told|in all|total)\b")


def so_many_on_each_side(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Fans down both flanks, four fans on each side, and the drawing lists seven of them".

    Arithmetic: twice as many as on each side. Tolerance none. Only a count told of each side, end or flank, and one
    count within 20 s that is told of them, in total or of the same noun. Always a question. Source: plain counting.
    """
    index = facts(walk)
    counts = counted(index)
    for one in counts:
        rest = " ".join(one.behind.split()[1:12])
        other = bool(_THE_SAME.search(rest))
        if not other and not _SIDES.search(" ".join(rest.split()[:5])):
            continue
        told = [n for n in walk.loose if n.evidence and n.evidence[0].start != one.at and _is_total(n, one)]
        # both sides were counted, one after the other, or all of it is named: the total is told later
        within = _BEFORE if other or any(_OF_ALL.search(n.behind) for n in told) else 20.0
        told = [n for n in told if abs(n.evidence[0].start - one.at) <= within and n.value == int(n.value)]
        if len({n.value for n in told}) != 1 or told[0].value == one.value:
            continue
        n, made = told[0], 2 * one.value
        if not 0.5 <= n.value / made <= 2:
            continue
        total = told_count(f"{one.noun} in all", int(n.value), n.evidence)
        each = told_count(f"{one.noun} on each side", one.value, one.evidence)
        message = (
            f"{one.value} {plural(one.noun)} on each of two sides are {made}, {number(n.value)} was stated: count both "
            "sides again."
        )
        yield from verdict(
            "so_many_on_each_side", [total, each], lambda t, e: t.value == 2 * e.value, message, level="check"
        )


_OF_ALL = re.compile(r"^\w+ (?:for|on|in) the (?:whole|entire|complete|lot)\b")
"""Words behind a count of all there are on a machine."""


def _is_total(n: Loose, one: Counted) -> bool:
    """Whether a bare number is told of all the things that were counted a side at a time."""
    if _OF_THEM.match(n.behind):
        return True
    first = n.behind.split()[:1]
    return (
        bool(first)
        and singular(first[0].strip(".,;:")) == one.noun
        and not _SIDES.search(" ".join(n.behind.split()[1:6]))
    )


_ONE_EACH = (
    re.compile(r"\bone (?:to|for|on|over|per|at|in|under|above|behind) (?:a|an|each|every|each of the)? ?([a-z]+)"),
    re.compile(r"\b(?:each|every|per) (?:single )?([a-z]+)(?: \w+){0,3} (?:one|a|its own) [a-z]+"),
)
"""Words of a count's sentence that tell there is one for each of another thing."""


def one_for_each(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Twelve cylinders. Sixteen spark plugs, one to a cylinder", "over every place hangs one lamp, so ten lamps".

    Arithmetic: as many as there are of what each has one. Tolerance none. Only a count of a thing in whose sentence one
    is told for each of another, of which one count was told within a minute. Always a question. Source: plain counting.
    """
    index = facts(walk)
    counts = counted(index)
    for one in counts:
        lead = " ".join(re.split(r"[.;]\s", one.before)[-1].split()[-9:])
        tail = " ".join(re.split(r"[.;]\s", one.behind, maxsplit=1)[0].split()[:9])
        found = next((m for text in (tail, lead) for p in _ONE_EACH if (m := p.search(text))), None)
        holder = singular(found.group(1)) if found is not None else ""
        if not holder or holder == one.noun:
            continue
        has = [c for c in counts if c.noun == holder and abs(c.at - one.at) <= 60]
        if len({c.value for c in has}) != 1 or not 0.6 <= one.value / has[0].value <= 1.7:
            continue
        total = told_count(one.noun, one.value, one.evidence)
        each = told_count(holder, has[0].value, has[0].evidence)
        message = (
            f"One for each of {has[0].value} {plural(holder)} are {has[0].value} {plural(one.noun)}, {one.value} were "
            "stated: count both again."
        )
        yield from verdict("one_for_each", [total, each], lambda t, e: t.value == e.value, message, level="check")


RULES = (parts_of_one_kind, numbered_from_to, so_many_on_each_side, one_for_each)
