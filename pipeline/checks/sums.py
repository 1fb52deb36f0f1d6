"""Products of counts (packs in packs, heads on a carousel, nozzles on a pump), and settings that must be in order."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from extractors.phrases import plural
from extractors.words import Evidence
from pipeline.checks.facts import Facts, apart, facts, has_dimension, one_per_hour, per_hour, size, slack
from pipeline.checks.offers import verdict
from pipeline.checks.subjects import alike, head, words
from pipeline.checks.told import counted
from pipeline.checks.wording import clean, compared, count_as_quantity, figure, heard, moment, number, said, told_count
from pipeline.checks.work import HEADS, SUPPLIES, counted_beside
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

TALK = 60.0
"""Seconds of speech within which figures without names belong to one machine; common practice, no source."""
_TURNING = frozenset(("carousel", "turret", "rotor", "filler", "capper", "wheel", "dial", "drum", "star", "rinser"))
_USERS = frozenset(("nozzle", "gun", "head", "sprayer", "injector", "riser", "jet", "lance", "tap", "outlet", "bar"))


def nested_counts(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Things in packs in packs: "five layers to a pallet, twelve cases to a layer, fifty cases to a pallet".

    Arithmetic: (A in B) × (B in C) = (A in C). Tolerance: the wording's. Source: plain counting.
    """
    rule = "nested_counts"
    counts = [q for q in facts(walk).of("count") if q.of and q.value > 0]
    for ab in counts:
        for bc in counts:
            if bc is ab or alike(ab.subject, bc.of or "") != "same":
                continue
            for ac in counts:
                if ac in (ab, bc) or alike(ac.of or "", ab.of or "") != "same" or not alike(ac.subject, bc.subject):
                    continue
                made = ab.value * bc.value
                message = (
                    f"{number(bc.value)} {clean(bc.of or '')} of {number(ab.value)} {clean(ab.of or '')} make "
                    f"{number(made)} to a {clean(bc.subject)}, {said(ac)} was stated: count one again."
                )

                def holds(ab: Quantity, bc: Quantity, ac: Quantity) -> bool:
                    return apart(ab.value * bc.value, ac.value) <= 0.001 + slack(ab, bc, ac)

                yield from verdict(rule, [ab, bc, ac], holds, message)


_LAYERS = frozenset("layer tier row course level".split())
_STACKED = frozenset("pallet skid stillage load cart trolley dolly stack unit".split())


_OTHERS = ("nested_counts", "parts_in_the_words", "counts_within_counts")
"""Rules that compare packs in packs where they are told together."""


def layers_make_the_load(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Eight cases to a layer, and goes six layers high", and later "sixty cases on a pallet".

    Arithmetic: (cases in a layer) × layers = cases on a pallet. Tolerance: the wording's. Only one count of things to a
    layer, one number of layers within a minute of it, and one count of the same things to a pallet or load anywhere.
    Always a question: a last layer may be short. Source: plain counting.
    """
    rule = "layers_make_the_load"
    index = facts(walk)
    counts = [q for q in index.of("count") if q.of and q.value > 0 and q.value_max is None]
    each = [q for q in counts if head(q.subject) in _LAYERS]
    tall = [c for c in counted(index) if each and c.noun == head(each[0].subject) and c.value < 60]
    tall = [c for c in tall if abs(c.at - moment(each[0])) <= TALK]
    if len({(q.value, q.of) for q in each}) != 1 or len({c.value for c in tall}) != 1:
        return
    if any(c.rule in _OTHERS and "could not" not in c.outcome for c in walk.checked):
        return
    ab, layers = each[0], told_count(plural(tall[0].noun), tall[0].value, tall[0].evidence)
    for ac in counts:
        if head(ac.subject) not in _STACKED or alike(ac.of or "", ab.of or "") != "same":
            continue
        made = ab.value * layers.value
        message = (
            f"{number(layers.value)} {plural(tall[0].noun)} of {number(ab.value)} {plural(clean(ab.of or ''))} make "
            f"{number(made)}, {number(ac.value)} to a {clean(ac.subject)} was stated: count the layers again."
        )

        def holds(ab: Quantity, layers: Quantity, ac: Quantity) -> bool:
            return apart(ab.value * layers.value, ac.value) <= 0.001 + slack(ab, ac)

        yield from verdict(rule, [ab, layers, ac], holds, message, level="check", basis=[ab, ac])


def turns_and_heads(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Turns a minute of a carousel × its heads against pieces an hour.

    Arithmetic: rate = rpm × heads × 60. Tolerance 10 % plus wording (speeds are read as they run). Only one carousel
    and one count of heads beside it; a question. Source: plain kinematics.
    """
    rule = "turns_and_heads"
    index = facts(walk)
    for turn in index.of("speed"):
        if turn.unit != "rpm" or head(turn.subject) not in _TURNING or turn.value_max is not None:
            continue
        heads = [
            c for c in index.components if c.count and head(c.name) in HEADS and abs(moment(c) - moment(turn)) <= TALK
        ]
        rates = [q for q in index.of("rate") if q.of and per_hour(q) and q.value_max is None]
        if len(heads) != 1 or len({round(per_hour(r) or 0.0) for r in rates}) != 1:
            yield compared(rule, [turn], "could not be compared", "for want of one count of heads and one rate")
            continue
        n, r = count_as_quantity(heads[0]), rates[0]
        assert n is not None
        made = turn.value * n.value * 60 / one_per_hour(r.unit)
        message = (
            f"{said(turn)} with {number(n.value)} {clean(heads[0].name)} make {figure(made, r.unit)}, {said(r)} of "
            f"{clean(r.of or '')} was stated: ask at which speed it runs."
        )

        def holds(turn: Quantity, n: Quantity, r: Quantity) -> bool:
            return apart(turn.value * n.value * 60, per_hour(r) or 0.0) <= 0.10 + slack(turn, n, r)

        yield from verdict(rule, [turn, n, r], holds, message, level="check", basis=[turn, heads[0], r])


def users_and_supply(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Nozzles, guns or heads × flow of each against the pump or compressor that feeds them.

    Arithmetic: count × flow of each ≤ flow of the supply. Tolerance 5 % plus wording; a greater supply is normal. Only
    one supply, said within a minute; a question, as not all may be open. Source: plain arithmetic.
    """
    rule = "users_and_supply"
    index = facts(walk)
    flows = [q for q in index.of("flow") if has_dimension(q.unit, "litre/minute")]
    for each in flows:
        known = head(each.subject) in _USERS
        component = index.count_of(each.subject)
        if not known and (not each.each or component is None or head(each.subject) in SUPPLIES | {"fan"}):
            continue
        supplies = [q for q in flows if head(q.subject) in SUPPLIES and abs(moment(q) - moment(each)) <= TALK]
        supplies = [q for q in supplies if ("foot**3" in q.unit) == ("foot**3" in each.unit)]  # air or water
        if component is None or len(supplies) != 1:
            yield compared(rule, [each], "could not be compared", "for want of how many there are, or of one supply")
            continue
        n, supply = count_as_quantity(component), supplies[0]
        assert n is not None
        needed = n.value * (size(each, supply.unit) or 0.0)
        message = (
            f"{number(n.value)} {clean(component.name)} of {said(each)} need {figure(needed, supply.unit)}, the "
            f"{clean(supply.subject)} gives {said(supply)}: read the plate, and ask how many are open at once."
        )

        def holds(n: Quantity, each: Quantity, supply: Quantity) -> bool:
            need, given = n.value * (size(each, "litre/minute") or 0.0), size(supply, "litre/minute") or 0.0
            return need <= given * (1.05 + slack(n, each, supply))

        yield from verdict(rule, [n, each, supply], holds, message, level="check", basis=[component, each, supply])


def amounts_make_the_sum(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Amounts against what they were said to make together ("of this the drum holds 2.4 tonnes, the receiver 1.6").

    Arithmetic: sum of the parts = total where the words close the list ("together", "altogether"); else no more than
    the total. Tolerance 2 % plus wording. Where the last few of them make the total alone, they are the ones meant.
    Source: plain arithmetic.
    """
    rule = "amounts_make_the_sum"
    index = facts(walk)
    for s in walk.sums:
        total = _at(index, s.total)
        found = [_at(index, e, total.property) for e in s.parts] if total is not None else []
        if total is None or any(q is None for q in found):
            continue
        parts = [q for q in found if q is not None]
        times = s.times
        n = counted_beside(index, parts[-1])
        if n is not None and apart(n.value * (size(parts[-1], total.unit) or 0.0), total.value) <= 0.03:
            continue  # "six of eleven kilowatts, sixty six in all": each_makes_the_sum

        def holds(whole: Quantity, *parts: Quantity, times: tuple[int, ...] = times, closed: bool = s.closed) -> bool:
            sizes = [n * (size(q, whole.unit) or 0.0) for n, q in zip(times, parts, strict=True)]
            loose = 0.02 + slack(whole, *parts)
            if not closed:
                return sum(sizes) <= whole.value * (1 + loose)
            return any(abs(sum(sizes[k:]) - whole.value) <= loose * whole.value for k in range(max(1, len(sizes) - 1)))

        made = sum(n * (size(q, total.unit) or 0.0) for n, q in zip(times, parts, strict=True))
        if not 0.4 <= made / (total.value or 1.0) <= 2.5:
            continue
        listed = " and ".join(f"{f'{n} × ' if n > 1 else ''}{said(q)}" for n, q in zip(times, parts, strict=True))
        message = (
            f"{listed} make {figure(made, total.unit)}, {said(total)} was stated for {clean(total.subject) or 'all'}: "
            "ask for the list."
        )
        sure = (s.closed and len(set(times)) == 1) or (not s.closed and len(parts) <= 3)
        yield from verdict(
            rule, [total, *parts], holds, message, level="conflict" if sure and not s.closed else "check"
        )


def _at(index: Facts, e: Evidence, prop: str | None = None) -> Quantity | None:
    """The standing figure that was said at that place."""
    for q in index.quantities:
        if (prop is None or q.property == prop) and any(
            (x.start, x.end, x.recording) == (e.start, e.end, e.recording) for x in q.evidence
        ):
            return q
    return None


_LOWER = frozenset(("load", "loads", "loading", "cut-in", "cutin", "start", "starts", "reload"))
_UPPER = frozenset(("unload", "unloads", "unloading", "cut-out", "cutout", "stop", "stops", "relief", "pops"))
_TURNED = re.compile(r"\b(suction|vacuum|refrigera\w*|chiller|freon|low[- ]pressure (?:switch|cut\w*|control))\b")
"""Words of a switch that stops at the lower of its settings."""


def settings_in_order(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A compressor's or pump's lower setting against its upper: loads at, unloads at; cut-in, cut-out.

    Arithmetic: lower < upper. Tolerance: none. Only settings said within half a minute, and not of suction, vacuum or
    refrigeration, where a switch stops at the lower. Source: how a pressure switch works; common practice, no source.
    """
    rule = "settings_in_order"
    told = [(q, heard(q)) for q in facts(walk).of("pressure") if q.value_max is None]
    told = [(q, text) for q, text in told if not _TURNED.search(f"{text} {q.around or ''}")]
    upper = [q for q, text in told if _UPPER & {*text.split()} or "cut out" in text]
    lower = [q for q, text in told if (_LOWER & {*text.split()} or "cut in" in text) and q not in upper]
    for low in lower:
        for high in upper:
            if abs(moment(low) - moment(high)) > TALK / 2 or "full" in words(low.subject):
                continue
            message = f"It comes on at {said(low)} and goes off at {said(high)}: read both settings again."

            def holds(low: Quantity, high: Quantity) -> bool:
                return (size(low, "psi") or 0.0) < (size(high, "psi") or 0.0)

            yield from verdict(rule, [low, high], holds, message)


RULES = (
    nested_counts,
    layers_make_the_load,
    amounts_make_the_sum,
    turns_and_heads,
    users_and_supply,
    settings_in_order,
)
