"""Stacked, wound and stored: a pile of sheets, a reel, what a silo takes, and water that is ice."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from datetime import date

from pipeline.checks.facts import facts, limit, one_of, size, slack
from pipeline.checks.geometry import SIDES
from pipeline.checks.nearby import SENTENCE, attributive, lead, parted
from pipeline.checks.offers import verdict
from pipeline.checks.subjects import alike, head, mentions, words
from pipeline.checks.told_counts import told_counts
from pipeline.checks.wording import clean, figure, heard, moment, number, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Row, Vocabulary

Results = Iterator[Finding | Checked]

_PILES = frozenset("pile stack bundle lift pallet ream skid load unit pack block bank".split())
_LAYERS = frozenset(
    "sheet board panel plate blank leaf veneer tile slab layer tray shelf ply pane door lid carton card plank mat "
    "pallet book ring disc disk washer".split()
)
_ROLLS = frozenset("reel roll coil jumbo bobbin spool parent".split())
_NOT_WOUND = frozenset(
    "glue nip press pinch drive corrugating anilox doctor impression rubber chill calender embossing crown work backup "
    "guide idler feed dancer tension levelling leveling forming".split()
)
"""Rolls of a machine, which are not stuff wound up."""
_STORES = frozenset("silo bin hopper bunker".split())
_CONE = 1.25
"""A cone or hopper under straight sides adds up to a third of a short silo; common practice, no source."""
_EACH_TIME = re.compile(r"\b(?:an hour|a day|a week|batch\w*|per|each (?:time|load|batch)|deliver\w*|lorry|truck\w*)\b")


def sheets_make_the_pile(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The pile is 1.8 metres high, the board is four millimetres thick, and one pile has 900 sheets".

    Arithmetic: count × thickness = height. Tolerance: up to 8 % more (sheets give), down to 0.6 of it (air between
    them) plus wording. Only a height of a pile, stack or bundle, one thickness within 20 s, and a count of sheets in
    the sentence of one of them. Always a question. Source: plain arithmetic; the band is common practice, no source.
    """
    rule = "sheets_make_the_pile"
    index = facts(walk)
    for tall in index.of("height", "depth", "thickness"):
        if head(tall.subject) not in _PILES or tall.value_max is not None or not size(tall, "metre"):
            continue
        near = [q for q in index.of("thickness") if q is not tall and abs(moment(q) - moment(tall)) <= SENTENCE]
        if len({(q.value, q.unit) for q in near}) != 1 or near[0].value_max is not None:
            continue
        thick = near[0]
        layers = _LAYERS | {head(thick.subject)}
        texts = {q.around or "" for q in (tall, thick)} | {
            q.around or "" for q in index.quantities if abs(moment(q) - moment(tall)) <= SENTENCE / 2
        }
        counts = {told.value for text in texts for told in told_counts(text, vocabulary) if told.noun in layers}
        if len(counts) != 1:
            continue
        n = counts.pop()
        made = n * (size(thick, tall.unit) or 0.0)
        if n < 3 or not 0.05 <= made / tall.value <= 20:
            continue
        message = (
            f"{number(n)} of {said(thick)} thick make {figure(made, tall.unit)}, {said(tall)} was stated for the "
            f"{clean(tall.subject)}: measure it, or count again."
        )

        def holds(thick: Quantity, tall: Quantity, n: int = n) -> bool:
            share = n * (size(thick, "metre") or 0.0) / (size(tall, "metre") or 1.0)
            loose = slack(thick, tall)
            return 0.6 - loose <= share <= 1.08 + loose

        yield from verdict(rule, [thick, tall], holds, message, level="check")


def reel_and_weight(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The paper reel can be 1.5 metres in diameter and 1.8 wide; the biggest reel has six tonnes".

    Arithmetic: weight ≤ π/4 · d² · width × density. Tolerance 5 % plus wording; less is normal. Only a reel, roll or
    coil of a material that vocab/bulk.toml lists as wound, its sizes and weight within 20 s; no rolls of the machine.
    Always a question. Source: densities in vocab/bulk.toml.
    """
    rule = "reel_and_weight"
    index = facts(walk)
    for load in index.of("weight"):
        if not _wound(load.subject) or load.value_max is not None or not size(load, "tonne"):
            continue
        near = [q for q in index.of(*SIDES) if _wound(q.subject) and abs(moment(q) - moment(load)) <= SENTENCE]
        across = _own_first([q for q in near if q.property == "diameter"], load)
        wide = _own_first([q for q in near if q.property in ("width", "length", "height")], load)
        named = " ".join(q.subject for q in (load, *near))
        if len(across) != 1 or len(wide) != 1:
            continue
        kind = str(walk.identity.kind.value) if walk.identity.kind is not None else ""
        row = _material(vocabulary, "wound", f"{named} {load.around or ''} {across[0].around or ''}")
        row = row or _material(vocabulary, "wound", kind)
        near_by = " ".join(q.around or "" for q in index.quantities if abs(moment(q) - moment(load)) <= 2 * SENTENCE)
        row = row or _material(vocabulary, "wound", near_by)
        if row is None:
            continue
        d, w, high = across[0], wide[0], float(row["high"])
        most = _cylinder(d, w) * high
        if not 0.05 <= (size(load, "tonne") or 0.0) / (most or 1.0) <= 20:
            continue
        shown = most / one_of(load.unit, "tonne")
        message = (
            f"A {clean(head(load.subject))} of {said(d)} by {said(w)} of {_called(row, named)} weighs "
            f"{figure(round(shown, 1), load.unit)} at most, {said(load)} was stated: weigh one, or measure it."
        )

        def holds(d: Quantity, w: Quantity, load: Quantity, high: float = high) -> bool:
            return (size(load, "tonne") or 0.0) <= _cylinder(d, w) * high * (1.05 + slack(d, w, load))

        yield from verdict(rule, [d, w, load], holds, message, level="check")


def _own_first(sizes: list[Quantity], load: Quantity) -> list[Quantity]:
    """ "Parent reel 2.2 metres; finished roll is 1.2 across, fourteen tonnes per roll": the sizes of the roll's own
    name, else of its kind, where several rolls were told."""
    own = [q for q in sizes if alike(q.subject, load.subject) == "same"]
    kind = [q for q in sizes if head(q.subject) == head(load.subject)]
    return own or kind or sizes


def _wound(subject: str) -> bool:
    return head(subject) in _ROLLS and not mentions(subject, *_NOT_WOUND)


def silo_and_load(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Sand silo, 28 cubic metres. Stencilled on the side, 80 tonnes of sand".

    Arithmetic: weight ≤ volume × greatest bulk density; of a silo told by diameter and height the cylinder and a
    quarter more, for the cone under it. Tolerance 5 % plus wording; less is normal. Only a weight of a material of
    vocab/bulk.toml within 20 s of a silo, bin or hopper, none a batch or a delivery. Always a question. Source:
    densities in vocab/bulk.toml.
    """
    rule = "silo_and_load"
    index = facts(walk)
    for load in index.of("weight"):
        behind = parted(load)[1]
        text = f"{load.subject} {load.of or ''} {behind}"
        if load.value_max is not None or attributive(load) or not size(load, "tonne"):
            continue
        if _EACH_TIME.search(behind):
            continue
        room = _room(walk, load)
        if room is None or (load.each and not room[0].each):
            continue
        counted = index.count_of(room[0].subject)
        several = counted is not None and (counted.count or 1) > 1 and not load.each
        if several and (room[0].each or _TOGETHER.search((load.around or "").lower())):
            continue  # "two bins of a hundred cubic metres, and together they hold": of all of them
        row = _material(vocabulary, "bulk", text) or _material(vocabulary, "bulk", room[0].subject)
        if row is None:
            continue
        high = float(row["high"])
        most = _cubic(*room) * high
        if not 0.3 <= (size(load, "tonne") or 0.0) / (most or 1.0) <= 20:
            continue  # a batch, or what is left in it
        shown = most / one_of(load.unit, "tonne")
        sizes = " by ".join(said(q) for q in room)
        message = (
            f"{sizes} ({clean(room[0].subject)}) take {figure(round(shown, 1), load.unit)} of {_called(row, text)} at "
            f"most, {said(load)} was stated: measure it, or ask for the drawing."
        )

        def holds(load: Quantity, *room: Quantity, high: float = high) -> bool:
            return (size(load, "tonne") or 0.0) <= _cubic(*room) * high * (1.05 + slack(load, *room))

        yield from verdict(rule, [load, *room], holds, message, level="check")


_TOGETHER = re.compile(r"\b(?:together|both|between (?:them|the)|in all|altogether|all told|the pair|the lot)\b")


def _room(walk: Walk, load: Quantity) -> tuple[Quantity, ...] | None:
    """The volume of the silo told beside a load, or its diameter and height, or three sides; None where not one."""
    index = facts(walk)
    stored = [q for q in index.of("volume", *SIDES) if head(q.subject) in _STORES and q.value_max is None]
    near = [q for q in stored if abs(moment(q) - moment(load)) <= SENTENCE]
    if not near or len({q.subject for q in near}) != 1:
        return None
    volumes = [q for q in near if q.property == "volume"]
    if len(volumes) == 1:
        return (volumes[0],)
    by = {q.property: q for q in near}
    if not volumes and len(near) == 3 == len(by) and {"length", "width"} < {*by} and "diameter" not in by:
        return tuple(near)
    across, tall = ([q for q in near if q.property in p] for p in (("diameter",), ("height", "length", "depth")))
    return (across[0], tall[0]) if not volumes and len(across) == 1 and len(tall) == 1 else None


def _cubic(*room: Quantity) -> float:
    """Cubic metres of a volume, of a box, or of a round one with the cone under it."""
    if len(room) == 1:
        return size(room[0], "metre**3") or 0.0
    if len(room) == 3:
        return math.prod(size(q, "metre") or 0.0 for q in room)
    return _cylinder(*room) * _CONE


def _cylinder(d: Quantity, tall: Quantity) -> float:
    return math.pi / 4 * (size(d, "metre") or 0.0) ** 2 * (size(tall, "metre") or 0.0)


def _material(vocabulary: Vocabulary, kind: str, text: str) -> Row | None:
    """The row of vocab/bulk.toml whose name stands in a text; of several the densest, so that a doubt is no finding."""
    told = f" {' '.join(words(text))} "
    rows = [r for r in vocabulary["bulk"] if r["kind"] == kind and any(f" {w} " in told for w in r["said"])]
    return max(rows, key=lambda r: float(r["high"]), default=None)


def _called(row: Row, text: str) -> str:
    """The name of a material that stands in a text, else its usual one."""
    told = f" {' '.join(words(text))} "
    return next((str(w) for w in row["said"] if f" {w} " in told), str(row["said"][0]))


_NOT_FREEZING = re.compile(
    r"\b(?<!no )(?:glycol|brine|salt\w*|ammonia|antifreeze|anti-freeze|alcohol|ethanol|methanol|calcium|slurry|"
    r"ice|iced|refrigerant|freon|saltwater|seawater|minus|frozen|mix)\b"
)


_PLAIN = re.compile(r"\b(?:plain|straight|city|tap|fresh|only|just|pure|mains) water\b")


def water_below_freezing(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Water in here they held at twenty-eight degrees, plain city water, no salt in it".

    Source: water freezes at 32 degF, 0 degC (ITS-90; IAPWS). Tolerance: limits.toml, freezing. Only a temperature of
    water by name and not of brine, glycol, ice or what was said to be mixed with it. Always a question.
    """
    rule = "water_below_freezing"
    row = limit(vocabulary, "freezing")
    for cold in facts(walk).of("temperature"):
        f = size(cold, "degF")
        if f is None or not (mentions(cold.subject, "water") or _PLAIN.search(" ".join(lead(cold)))) or f < -60:
            continue
        if _NOT_FREEZING.search(f"{heard(cold)} {cold.around or ''}".lower()):
            continue
        message = (
            f"{said(cold)} is below freezing for plain water, 32 °F or 0 °C ({clean(cold.subject)}): read the gauge "
            "again, and ask what is in it."
        )

        def holds(cold: Quantity) -> bool:
            return (size(cold, "degF") or 0.0) >= float(row["low"])

        yield from verdict(rule, [cold], holds, message, level="check")


RULES = (sheets_make_the_pile, reel_and_weight, silo_and_load, water_below_freezing)
