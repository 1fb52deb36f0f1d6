"""Throughput: amounts in each batch, width and pieces in a pack against what comes out, and counters against hours."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from extractors.phrases import many_of, plural
from pipeline.checks.facts import (
    Facts,
    apart,
    facts,
    has_dimension,
    is_whole,
    one_of,
    one_per_hour,
    per_hour,
    size,
    slack,
)
from pipeline.checks.nearby import SENTENCE, lead, parted
from pipeline.checks.offers import verdict
from pipeline.checks.output import BATCHES
from pipeline.checks.subjects import alike, head, mentions, singular, words
from pipeline.checks.told_counts import told_counts
from pipeline.checks.wording import clean, figure, heard, moment, said
from pipeline.checks.work import PAPERS, SUPPLIES, several_such, working_rates
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_NOT_PRODUCT = frozenset("air water steam gas fuel oil coolant exhaust consumption compressor make-up makeup".split())
"""Words of a flow that is not what is made."""
_WEBS = frozenset(
    "web belt film board paper fabric cloth sheet strip material line machine carpet felt foil liner glass mat veneer "
    "laminate width".split()
)
"""Subjects of a width in which stuff runs through, and of the speed it runs at."""
_GETS = frozenset(
    "get gets hold holds has have take takes contain contains carry carries of with is pack packs".split()
)
_IN_A = frozenset("a an per each every to in the".split())


def batches_make_volume(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "It gives one cubic metre a batch, thirty batches an hour, and they sold her as forty-five cubic metre an hour".

    Arithmetic: batches an hour × volume of each = volume an hour. Tolerance 5 % plus wording. Only a volume told as
    that of a batch ("a batch", "each load") within 20 s of how often, and one flow of the product within 20 s, none of
    a pump, of air or water. Always a question: not every batch is full. Source: plain arithmetic.
    """
    rule = "batches_make_volume"
    index = facts(walk)
    often = [q for q in index.of("rate", "cycle") if per_hour(q) and q.value_max is None and "day" not in q.unit]
    for total in index.of("flow", "rate"):
        if not has_dimension(total.unit, "litre/hour") or total.value_max is not None or not _product(total):
            continue
        seen: set[tuple[float, float]] = set()
        for r in (q for q in often if abs(moment(q) - moment(total)) <= SENTENCE):
            name = singular(head(r.of or "") or head(r.subject))
            if name not in BATCHES and not r.of:
                continue
            each = [v for v in index.of("volume") if _of_each(v, name) and abs(moment(v) - moment(r)) <= SENTENCE]
            key = (round(per_hour(r) or 0.0, 2), total.value)
            if not each or key in seen:
                continue
            seen.add(key)
            v = min(each, key=lambda v: (not _make(r, v, total), abs(moment(v) - moment(r))))
            made = (per_hour(r) or 0.0) * (size(v, "litre") or 0.0) / one_of(total.unit, "litre/hour")
            if not 0.1 <= made / total.value <= 10:
                continue
            message = (
                f"{figure(round(per_hour(r) or 0.0, 1), '1/hour')} of {said(v)} make {figure(made, total.unit)}, "
                f"{said(total)} was stated: ask what one {clean(name)} gives, and how many an hour it really makes."
            )
            yield from verdict(rule, [r, v, total], _make, message, level="check")


def _make(r: Quantity, v: Quantity, total: Quantity) -> bool:
    made = (per_hour(r) or 0.0) * (size(v, "litre") or 0.0)
    return apart(made, size(total, "litre/hour") or 0.0) <= 0.05 + slack(r, v, total)


def _product(q: Quantity) -> bool:
    own = {*words(q.subject)}
    return not own & (SUPPLIES | _NOT_PRODUCT) and not mentions(f"{q.of or ''} {q.qualifier or ''}", *_NOT_PRODUCT)


def _of_each(v: Quantity, name: str) -> bool:
    """Whether an amount is that of one batch: by its name, or "a batch", "per load" behind it in the sentence."""
    if v.value_max is not None or not name:
        return False
    if head(v.subject) == name or head(v.of or "") == name:
        return True
    of_one = rf"\W*(?:of )?(?:\w+ ){{0,3}}(?:a|an|per|each|every|to the|to a) {re.escape(name)}\b"
    return bool(re.match(of_one, parted(v)[1]))


def width_and_area(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "150 metres a minute on the full width makes 24,000 square metres in one hour", and the width was 1.8 metres.

    Arithmetic: speed × width ≥ area an hour. Tolerance 5 % plus wording; less is normal, as webs are narrower and stop.
    Only speeds told within 20 s of the area, and widths of the machine, its web, or told as the working width. Always a
    question. Source: plain geometry.
    """
    rule = "width_and_area"
    index = facts(walk)
    for area in index.of("rate", "flow", "speed", "other", "area"):
        if not has_dimension(area.unit, "metre**2/hour") or area.value_max is not None:
            continue
        speeds = [
            s
            for s in index.of("speed")
            if has_dimension(s.unit, "metre/minute") and abs(moment(s) - moment(area)) <= SENTENCE
        ]
        worked = [w for w in index.of("width") if _working(w)]
        near = [w for w in index.of("width") if abs(moment(w) - moment(area)) <= SENTENCE and _through(walk, w)]
        widths = worked or near
        if not speeds or not widths:
            continue
        # the speed of the same sentence; else the greatest that was told
        beside = [s for s in speeds if s.evidence and s.evidence[0].words.lower() in (area.around or "")]
        s = max(beside or speeds, key=lambda s: size(s, "metre/hour") or 0.0)
        w = max(widths, key=lambda w: size(w, "metre") or 0.0)
        made = (size(s, "metre/hour") or 0.0) * (size(w, "metre") or 0.0) / one_of(area.unit, "metre**2/hour")
        if not 0.1 <= made / area.value <= 10:
            continue
        message = (
            f"{said(s)} at {said(w)} wide make {figure(made, area.unit)}, {said(area)} was stated: ask for the width "
            "and the speed of that figure."
        )

        def holds(s: Quantity, w: Quantity, area: Quantity) -> bool:
            made = (size(s, "metre/hour") or 0.0) * (size(w, "metre") or 0.0)
            return (size(area, "metre**2/hour") or 0.0) <= made * (1.05 + slack(s, w, area))

        yield from verdict(rule, [s, w, area], holds, message, level="check")


def _working(w: Quantity) -> bool:
    told = {*words(w.qualifier or ""), *words(w.subject), *lead(w)[-4:]}
    return w.value_max is None and bool(told & {"working", "web", "trim", "usable", "coating", "printing", "weaving"})


def _through(walk: Walk, w: Quantity) -> bool:
    return w.value_max is None and (is_whole(walk, w.subject) or head(w.subject) in _WEBS)


def pieces_in_packs(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Cases get eight birds, and at seventy birds a minute they were shipping seven hundred cases an hour".

    Arithmetic: packs an hour × pieces in a pack = pieces an hour. Tolerance 10 % plus wording. Only where the sentence
    of one of the two rates says how many go in a pack, and both were told within 20 s; `pieces_and_packs` compares what
    is filed as a count. Always a question: machines behind the slowest are built for more. Source: plain arithmetic.
    """
    rule = "pieces_in_packs"
    index = facts(walk)
    rates = working_rates(index)
    filed = {(int(q.value), head(q.of or "")) for q in index.of("count") if q.of}
    for packs in rates:
        pack = head(packs.of or "")
        for pieces in rates:
            piece = head(pieces.of or "")
            if piece == pack or abs(moment(packs) - moment(pieces)) > SENTENCE:
                continue
            if several_such(index, packs) != several_such(index, pieces):
                continue  # "every one of the three wrappers makes sixty packs": more than what is made in all
            if packs is not min((r for r in rates if head(r.of or "") == pack), key=lambda r: _gap(r, pieces)):
                continue  # what a machine of the line may do at most is another matter
            n = _in_a_pack(index, (packs, pieces), pack, piece, vocabulary)
            if n is None or (n, piece) in filed:
                continue
            made = (per_hour(pieces) or 0.0) / n / one_per_hour(packs.unit)
            if not 0.1 <= made / packs.value <= 10:
                continue
            message = (
                f"{said(pieces)}, {many_of(n, clean(piece))} to a {clean(pack)}, are "
                f"{figure(round(made, 1), packs.unit)}, {said(packs)} of {plural(clean(pack))} was stated: ask "
                "which of the three is right."
            )

            def holds(packs: Quantity, pieces: Quantity, n: int = n) -> bool:
                return apart((per_hour(packs) or 0.0) * n, per_hour(pieces) or 0.0) <= 0.10 + slack(packs, pieces)

            yield from verdict(rule, [packs, pieces], holds, message, level="check")


def _gap(a: Quantity, b: Quantity) -> float:
    return abs(moment(a) - moment(b))


def _in_a_pack(
    index: Facts, rates: tuple[Quantity, Quantity], pack: str, piece: str, vocabulary: Vocabulary
) -> int | None:
    """How many pieces a pack takes, told in a sentence within 20 s of both rates; None where none or two are told."""
    found = set()
    texts = {q.around for q in index.quantities if q.around and abs(moment(q) - moment(rates[0])) <= SENTENCE}
    for text in texts:
        for told in told_counts(text, vocabulary):
            if told.noun != piece or not 2 <= told.value <= 1000:
                continue
            before = [singular(w) for w in told.before[-4:]]
            inside = pack in before and {*told.before[-3:]} & _GETS
            behind = told.behind[:3]
            named = pack in [singular(w) for w in behind] and {*behind[:2]} & _IN_A
            if inside or named:
                found.add(told.value)
    return found.pop() if len(found) == 1 else None


_COUNTER = re.compile(
    r"\b(?:counter|dial|clock|meter|total\w*|reads?|says|shows?|since new|so far|all told|lifetime)\b"
)


def counter_and_hours(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "16,400 hours on the mixer, and the dial beside it says 900,000 cubic metres", at 45 cubic metres an hour.

    Arithmetic: hours run × greatest rate ≥ what the counter shows. Tolerance 10 % plus wording; less is normal. Only an
    amount whose sentence names a counter or a total, told within 20 s of the hours, and a rate that counts the same.
    Always a question: hours may have been reset. Source: plain arithmetic.
    """
    rule = "counter_and_hours"
    index = facts(walk)
    for hours in index.of("hours"):
        if not size(hours, "hour") or hours.value_max is not None or (size(hours, "hour") or 0.0) < 200:
            continue
        for total in index.of("volume", "weight", "count"):
            told = f"{total.around or ''} {heard(total)}".lower()
            if abs(moment(total) - moment(hours)) > SENTENCE or total.value < 1000 or not _COUNTER.search(told):
                continue
            rates = [r for r in index.of("rate", "flow") if r.value_max is None and _same_stuff(r, total)]
            if not rates:
                continue
            r = max(rates, key=lambda r: _hourly(r, total))
            made = _hourly(r, total) * (size(hours, "hour") or 0.0)
            if not 0.02 <= made / total.value <= 50:
                continue
            message = (
                f"{said(hours)} at {said(r)} make {figure(round(made), total.unit)} at most, {said(total)} was stated: "
                "read both again. Was one of them set back?"
            )

            def holds(hours: Quantity, r: Quantity, total: Quantity) -> bool:
                made = _hourly(r, total) * (size(hours, "hour") or 0.0)
                return total.value <= made * (1.10 + slack(hours, r, total))

            yield from verdict(rule, [hours, r, total], holds, message, level="check")


def _hourly(r: Quantity, total: Quantity) -> float:
    """A rate in the units of an amount, an hour."""
    if total.property == "count":
        return per_hour(r) or 0.0
    return size(r, f"{total.unit}/hour") or 0.0


def _same_stuff(r: Quantity, total: Quantity) -> bool:
    if total.property == "count":
        return bool(r.of and per_hour(r) and alike(r.of, total.of or total.subject))
    return has_dimension(r.unit, f"{total.unit}/hour") and _product(r) and not PAPERS & {*words(r.of or "")}


RULES = (batches_make_volume, width_and_area, pieces_in_packs, counter_and_hours)
