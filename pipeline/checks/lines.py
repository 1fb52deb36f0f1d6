"""What runs on a line and lies on a carrier, told minutes apart: pieces at a speed, stacks on a table, stock on a bed
(relations.py)."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from extractors.phrases import plural, singular
from pipeline.checks.facts import Facts, facts, limit, noun_class, one_per_hour, per_hour, size, slack
from pipeline.checks.offers import verdict
from pipeline.checks.passing import STOCK
from pipeline.checks.relations import distinct, product
from pipeline.checks.subjects import head
from pipeline.checks.told import called, counted, pool, sentence, settled
from pipeline.checks.wording import clean, figure, moment, number, said, told_count
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_LINE_SPEED = re.compile(
    r"\b(?:line|belt|web|feed|conveyor|machine|chain|production|running|runs?|through ?put|setting)\b"
)
_NOT_LINE = re.compile(
    r"\b(?:hoist|crane|lift\w*|travers\w*|rapid\w*|air|rim|tip|surface|dryer|oven|tunnel|return|bridge|ram|cut\w*|"
    r"spindle|grind\w*|"
    r"ratio|through at|goes through)\b"
)
_LANES = re.compile(r"\b(?:abreast|side by side|lanes?|up|across|at a time|decks?|rows?)\b")


def pieces_at_line_speed(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Each board is 2.4 metres long; the knife cuts twenty a minute"; and minutes later "line speed is thirty
    metres".

    Arithmetic: pieces a minute ≤ speed / length of one. Tolerance: limits.toml, pieces at line speed, plus wording;
    fewer are gaps. Only one speed told of the line, belt or web, one length of the noun that the rate counts (or told
    as the spacing of it), and its rate, wherever they stand; lanes or decks told with any of them keep it quiet.
    Always a question. Source: plain kinematics.
    """
    rule = "pieces_at_line_speed"
    index = facts(walk)
    speeds = [q for q in pool(index, "metre/minute", _LINE_SPEED, _NOT_LINE, ("speed",)) if q.unit != "rpm"]
    if distinct(speeds, "metre/minute") != 1:
        return
    speed = speeds[-1]
    for r in index.of("rate"):
        noun = singular(head(r.of or ""))
        if not noun or not per_hour(r) or r.value_max is not None or r.unit not in ("1/minute", "1/hour", "1/second"):
            continue
        lengths = [q for q in pool(index, "metre", None, None, ("length",)) if singular(head(q.subject)) == noun]
        lengths += [q for q in pool(index, "metre", None, None, ("length", "cycle", "other")) if _every(index, q, noun)]
        if distinct(lengths, "metre") != 1 or any(_LANES.search(sentence(q)) for q in (speed, r)):
            continue

        def say(v: Quantity, long: Quantity, r: Quantity) -> str:
            made = (size(v, "metre/hour") or 0.0) / (size(long, "metre") or 1.0) / one_per_hour(r.unit)
            return (
                f"{said(v)} with one every {said(long)} give {figure(round(made, 1), r.unit)} at most, {said(r)} was "
                f"stated: "
                "count a minute, or ask at which speed."
            )

        row = limit(vocabulary, "pieces at line speed")
        yield from product(
            walk, rule, row, [[speed], lengths[:1]], [r],
            lambda v, long: (size(v, "metre/hour") or 0.0) / (size(long, "metre") or 1.0), "1/hour", say,
            within=float("inf"),
        )  # fmt: skip


def _every(index: Facts, q: Quantity, noun: str) -> bool:
    return bool(re.search(rf"\b(?:an?|one) {re.escape(noun)} (?:hangs? |comes? |sits? )?every\b", called(index, q)))


_TAKES = re.compile(r"\b(?:rated|capacity|good for|takes?|carries|lifts?|up to|max\w*|swl|safe working|holds? up)\b")
_CARRIES = re.compile(
    r"\b(?:lift table|scissor\w*|table|pallet (?:truck|jack)|forks?|forklift|trolley|cart|hoist|crane|elevator|lift|"
    r"stacker|turntable|"
    r"rack|shelf|dolly|buggy|conveyor|tipper|hook)\b"
)
_IN_A_STACK = re.compile(
    r"\b(?:stack|pile|pallet|bundle|load|pack|lift|tray|basket|rack|crate|bin|layer|skid)s?\b(?: (?:is|are|has|have|"
    r"holds?|takes?|makes?))?"
)


def stack_on_its_carrier(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Sixty boards to a stack; each board is 26 kilos dry"; and minutes later "the lift table's rated for 1,200
    kilos".

    Arithmetic: pieces in a stack × weight of one ≤ what the carrier takes. Tolerance 3 % plus wording. Only one count
    of a noun told of a stack, pallet, bundle or load, one weight of one of that noun, and one rating of a lift table,
    hoist, cart or truck whose sentence, or a sentence within ten seconds of the count, names the carrier. Always a
    question; only a plate or a document settles a rating. Source: meaning of a rated load.
    """
    rule = "stack_on_its_carrier"
    index = facts(walk)
    weights = pool(index, "kilogram", None, None, ("weight", "other"))
    ratings = [q for q in weights if _TAKES.search(called(index, q)) and _CARRIES.search(f"{q.subject} {sentence(q)}")]
    for noun, (n, least) in _stacked(index).items():
        ones = [q for q in weights if singular(head(q.subject)) == noun and q not in ratings]
        if distinct(ones, "kilogram") != 1:
            continue
        one = ones[0]
        for rated in ratings:
            told = [c for c in index.components if any(-8 <= e.start - moment(rated) <= 3 for e in c.evidence)]
            text = f"{rated.subject} {sentence(rated)} {' '.join(c.name for c in told)}"
            carriers = {m.group() for m in _CARRIES.finditer(text.lower())}
            near = [c for c in index.components if abs(moment(c) - moment(n)) <= 25 and c.name.lower() in carriers]
            if not (near or abs(moment(rated) - moment(n)) <= 40) or settled(walk, one, rated):
                continue
            load = n.value * (size(one, "kilogram") or 0.0)
            if least * (size(one, "kilogram") or 0.0) <= (size(rated, "kilogram") or 0.0) and least < n.value:
                continue
            if not 0.05 <= load / (size(rated, "kilogram") or 1.0) <= 8:
                continue

            def holds(n: Quantity, one: Quantity, rated: Quantity) -> bool:
                return n.value * (size(one, "kilogram") or 0.0) <= (size(rated, "kilogram") or 0.0) * (
                    1.03 + slack(one, rated)
                )

            made = figure(round(n.value * (size(one, rated.unit) or 0.0)), rated.unit)
            message = (
                f"{number(n.value)} {plural(noun)} of {said(one)} are {made}, the "
                f"{clean(rated.subject) or 'carrier'} is rated for "
                f"{said(rated)}: ask how they were lifted; only a plate or a document settles it."
            )
            yield from verdict(rule, [n, one, rated], holds, message, level="check", note="fitness not examined")


def _stacked(index: Facts) -> dict[str, tuple[Quantity, float]]:
    """The last count of each noun, and the least, that was told of a stack, pallet, bundle or load."""
    found: dict[str, dict[int, Quantity]] = {}
    for c in counted(index):
        if c.value >= 2 and _IN_A_STACK.search(" ".join((*c.before.split()[-8:], *c.behind.split()[:8]))):
            by = found.setdefault(c.noun, {})
            by.pop(c.value, None)
            by[c.value] = told_count(c.noun, c.value, c.evidence)
    return {noun: (list(by.values())[-1], float(min(by))) for noun, by in found.items()}


_BED = re.compile(r"\b(?:bed|magazine|table|rack|trough|loader|feeder|cradle|channel|bench)\b")
_CARRIES_IT = re.compile(
    r"\b(?:carr\w+|takes?|holds?|loads?|lies|lays?|flat|nothing hang\w*|no overhang|whole length|full length|"
    r"supported|longest|lying)\b"
)
_HANGS_OVER = re.compile(
    r"\b(?:hangs? (?:over|out)|overhang\w*|sticks? out|proud|extension|outboard|cut (?:in|down|to)|bent|coil)\b"
)


_NOTHING_OVER = re.compile(
    r"\b(?:nothing|no|not|never|without)\b[^,.]{0,20}\b(?:hang\w*|overhang\w*|sticking)(?: (?:over|out))?"
)


def stock_longer_than_the_bed(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The magazine's bed is twelve foot long", and minutes later "the longest stock it'll carry is fourteen foot".

    Arithmetic: longest stock ≤ length of the one bed, magazine or table that carries it. Tolerance 2 % plus wording.
    Only one length of a bed, rack or magazine, and a length of stock whose sentence names it and says that it is
    carried or lies flat, nothing hanging over allowed. More than three times the bed is of something else. Always a
    question. Source: plain geometry.
    """
    rule = "stock_longer_than_the_bed"
    index = facts(walk)
    stock = noun_class(vocabulary, "product") | STOCK
    lengths = [q for q in pool(index, "metre", None, None, ("length",)) if (size(q, "metre") or 0.0) >= 0.3]
    for bed in lengths:
        name = _BED.search(called(index, bed))
        if name is None or head(bed.subject) in stock:
            continue
        names = {name.group(), *(m.group() for m in _BED.finditer(sentence(bed)))}
        rivals = [q for q in lengths if q is not bed and names & {m.group() for m in _BED.finditer(f"{q.subject}")}]
        if rivals:
            continue
        for long in lengths:
            text = sentence(long)
            if long is bed or head(long.subject) not in stock or not names & {m.group() for m in _BED.finditer(text)}:
                continue
            flat = not _HANGS_OVER.search(_NOTHING_OVER.sub("", text))
            if not (_CARRIES_IT.search(text) and flat) or settled(walk, long, bed):
                continue
            if not 0.2 <= (size(long, "metre") or 0.0) / (size(bed, "metre") or 1.0) <= 3:
                continue

            def holds(long: Quantity, bed: Quantity) -> bool:
                return (size(long, "metre") or 0.0) <= (size(bed, "metre") or 0.0) * (1.02 + slack(long, bed))

            message = (
                f"{said(long)} long ({clean(long.subject)}) does not lie on {said(bed)} of "
                f"{clean(bed.subject) or 'bed'} without "
                "overhanging: measure both, and ask what was really run."
            )
            yield from verdict(rule, [long, bed], holds, message, level="check")


RULES = (pieces_at_line_speed, stack_on_its_carrier, stock_longer_than_the_bed)
