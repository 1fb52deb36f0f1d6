"""So many in each of so many, told minutes apart and in any build of sentence, against what all were said to be.

The reader takes counts in counts apart where one stretch of talk holds all three (extractors/counts_in_counts.py).
Here each is looked for by itself: how many of a thing each holder has ("fourteen shelves in every rack", "the case is
twelve bottles"), how many holders there are, how many of the thing were said to be in all. Any way of multiplying them
that holds keeps it quiet.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from extractors.phrases import plural, singular
from pipeline.checks.facts import Facts, facts
from pipeline.checks.offers import verdict
from pipeline.checks.told import Counted, counted
from pipeline.checks.wording import moment, number, told_count
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_TO_EACH = re.compile(
    r"^(?:(?:up|high|deep|across)\s)?(?:(?:to|in|on|for|at|from|inside|along|down)\s)?"
    r"(?:an?|each|per|every|one|either)\s(?:one\sof\sthe\s|of\sthe\s)?(?:\w+\s)??([a-z]+)$"
)
"""Words behind the thing, up to the holder: "shelves in every rack", "cases to a layer", "nozzles a side"."""
_EACH_HAS = re.compile(
    r"(?:^\s*|\b(?:each|every|one|an?|the|per)\s)(?:full\s|single\s)?([a-z]+?)(?:'s)?(?:\s(?:of them|there))?"
    r"\s(?:is|has|have|holds?|takes?|carries|carry|gets?|got|gives?|has got|we have|there are|there is|are(?: then)?|"
    r"you have|fits?|packs?|comes? to)\s?$"
)
"""Words before the number, from the holder on: "every rack has fourteen", "in one crate we have 900"."""
_ROWS_OF = re.compile(r"\b([a-z]+s) (?:of|with|by)\s?$")
"""Words before the number where the holders were counted: "three rows of four"."""
_NO_HOLDER = frozenset(
    "time minute hour second day week month year shift pound kilo kilogram gram ton tonne gallon litre liter foot inch "
    "metre meter way piece go one it them em that this they you we there which what list sheet card tag board plate "
    "page total man machine line plant room shop batch order side".split()
)
"""What stands behind "a" in a rate, a price or a size, or of which there is but one."""
_TOTAL = re.compile(
    r"\b(?:total\w*|altogether|all told|in all|overall|whole|complete|calls?|lists?|listed|sheet|card|chart|label|tag|"
    r"board|drawing|book|says|said|reads?|written|wrote|prints?|stands? on|poster|claim\w*|down for|that makes|"
    r"so that's)\b"
)
_SOME = re.compile(
    r"\b(?:spares?|new|changed|replaced|missing|left over|broken|bad|dead|blocked|plugged|empty|others?|extra|short|"
    r"under|over|nearly|almost|about|maybe|roughly|half|most|another|back|ordered|order|first|last)\b"
)
"""Words beside a count that is of some of them, or a guess."""
_TOLD = 250.0
"""Seconds between how many each has and how many there are in all; common practice, no source."""
_NEAR = 60.0
"""Seconds between how many each has and how many have so many; common practice, no source."""
_FAR = 1.7
"""Times over which a total is of another thing: about twice as many have spares or two sides with them."""
_LONGEST = 3
"""Holders in holders at most: bottles in cases in layers on a pallet."""


@dataclass(frozen=True, slots=True)
class Each:
    """So many of a thing in each holder; holder empty where the count is of all there are."""

    value: int
    held: str
    holder: str
    count: Counted


def multiplied(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Nine racks. Every rack has fourteen shelves", and on the card "a hundred and fifty six shelves".

    Arithmetic: in each × how many there are, up to three holders deep = in all. Tolerance none. Only plain counts whose
    words tie them together: a holder by "to a", "in each" or "every rack has", as many holders counted within a minute,
    a total of the same noun within four minutes that is told of all of them or of a greater holder; what is spare, new
    or a guess is none. Any product that holds, or a count of some more of them that makes up the difference, keeps it
    quiet. Always a question. Source: plain counting.
    """
    index = facts(walk)
    found = [each_of(c) for c in counted(index)]
    for each in [e for e in found if e.holder]:
        paths = list(_paths(index, found, [each]))
        for total in found:
            if any(b.total == total.value and singular(b.noun.split()[-1]) == total.held for b in walk.breakdowns):
                continue  # `parts_in_the_words` compares what the reader took apart
            if total.held == each.held and total.count.at != each.count.at and _is_total(index, total, each):
                yield from _compare(found, total, [p for p in paths if total not in p and _leads_to(p, total)])


def each_of(c: Counted) -> Each:
    """A count read as so many in each of a holder, by its words."""
    behind = [w.strip(".,;:!?'\"") for w in re.split(r"[.;,]\s|[.;,]$", c.behind, maxsplit=1)[0].lower().split()]
    at = next((k for k, w in enumerate(behind) if singular(w) == c.noun), None)
    tail = behind[at + 1 :] if at is not None else []
    for n in range(2, 6):
        m = _TO_EACH.match(" ".join(tail[:n])) if len(tail) >= n else None
        if m is not None and singular(m.group(1)) not in _NO_HOLDER:
            return Each(c.value, c.noun, singular(m.group(1)), c)
    before = re.split(r"[.;]\s", c.before.lower())[-1]
    m = _EACH_HAS.search(f" {before} ")
    m = m or _ROWS_OF.search(before)
    holder = singular(m.group(1)) if m is not None else ""
    return Each(c.value, c.noun, "" if holder in _NO_HOLDER or holder == c.noun else holder, c)


def _paths(index: Facts, found: Sequence[Each], path: list[Each]) -> Iterator[list[Each]]:
    """Chains of so many in each of so many, each of at least two links."""
    last = path[-1]
    for e in found:
        if e.held != last.holder or abs(e.count.at - path[0].count.at) > _NEAR or e in path or _guess(e):
            continue
        yield [*path, e]
        if e.holder and len(path) + 1 < _LONGEST:
            yield from _paths(index, found, [*path, e])


def _guess(e: Each) -> bool:
    lead = " ".join(e.count.before.split()[-2:])
    tail = " ".join(e.count.behind.split()[:3])
    return bool(_SOME.search(f"{lead} {tail}"))


def _is_total(index: Facts, total: Each, each: Each) -> bool:
    if not 0 < abs(total.count.at - each.count.at) <= _TOLD or total.value <= each.value or _guess(total):
        return False
    if total.holder:
        return total.holder != each.holder
    listed = any(
        c.count == total.value and singular(c.name.split()[-1]) == total.held and abs(moment(c) - total.count.at) < 3
        for c in index.components
    )
    return listed or bool(_TOTAL.search(total.count.text))


def _leads_to(path: Sequence[Each], total: Each) -> bool:
    """Whether a chain ends at what holds the total: a greater holder of its own name, or all there are."""
    return not total.holder or not path[-1].holder or path[-1].holder == total.holder


def _compare(found: Sequence[Each], total: Each, paths: Sequence[Sequence[Each]]) -> Results:
    products = {math.prod(e.value for e in p) for p in paths}
    used = {e.count.at for p in paths for e in p}
    same = {e.value for e in found if e.held == total.held and e.count.at not in used}
    if any(total.value == s or abs(total.value - s) in same for s in products):
        return
    paths = [p for p in paths if 1 / _FAR <= total.value / math.prod(e.value for e in p) <= _FAR]
    if not paths:
        return
    path = min(paths, key=lambda p: max(abs(e.count.at - p[0].count.at) for e in p))
    made = math.prod(e.value for e in path)
    figures = [told_count(f"{total.held} in all", total.value, total.count.evidence)]
    figures += [told_count(e.held, e.value, e.count.evidence) for e in path]

    def holds(total: Quantity, *each: Quantity) -> bool:
        return math.prod(e.value for e in each) == total.value

    listed = " of ".join(f"{number(e.value)} {plural(e.held)}" for e in reversed(path))
    message = (
        f"{listed} are {number(made)} {plural(total.held)}, {number(total.value)} was stated: count again, and say "
        "which stands."
    )
    yield from verdict("multiplied", figures, holds, message, level="check")


_ALL_TOLD = re.compile(
    r"\b(?:all told|altogether|in all|in total|total of|all of them|all over|the lot|complete set)\b"
)


def no_whole_number_of_them(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Twenty eight baskets in each cell", and "the inventory sheet says seventy four baskets all told".

    Arithmetic: all of them are a whole number of times as many as each holder has. Tolerance none. Only where no other
    count of them was told, the total is told as all there are, and nobody said how many holders there are in a way that
    `multiplied` could take. Always a question. Source: plain counting.
    """
    index = facts(walk)
    found = [each_of(c) for c in counted(index)]
    for each in found:
        own = [e for e in found if e.held == each.held and e.value != each.value]
        if not each.holder or each.value < 3 or len({e.value for e in own}) != 1 or _guess(each):
            continue
        total = own[0]
        tail = f"{total.count.before} {total.count.behind}"
        if not _ALL_TOLD.search(tail) or _guess(total) or not each.value < total.value <= 40 * each.value:
            continue
        if abs(total.count.at - each.count.at) > _NEAR or any(e.held == each.holder for e in found):
            continue
        all_of, one = (
            told_count(f"{e.held} {k}", e.value, e.count.evidence) for e, k in ((total, "in all"), (each, ""))
        )
        message = (
            f"{number(each.value)} {plural(each.held)} in each {each.holder} and {number(total.value)} in all are no "
            f"whole number of {plural(each.holder)}: count again, and say which stands."
        )
        yield from verdict(
            "no_whole_number_of_them", [all_of, one], lambda t, e: t.value % e.value == 0, message, level="check"
        )


RULES = (multiplied, no_whole_number_of_them)
