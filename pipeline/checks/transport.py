"""Weight against size, and what a carrier will compare a piece with. Nothing here says that a load may travel."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from datetime import date

from pipeline.checks.facts import Facts, facts, limit, one_of, size, slack
from pipeline.checks.nearby import (
    BREATH,
    attributive,
    heard,
    most,
    parted,
    partner,
    seconds_between,
    single,
    told_in,
    vague,
    with_unit,
)
from pipeline.checks.offers import offers
from pipeline.checks.subjects import alike, mentions, singular, words
from pipeline.checks.told import beside
from pipeline.checks.wording import compared, figure, finding, moment, name_of, number, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Row, Vocabulary

Results = Iterator[Finding | Checked]

NOT_SHIPPED = (
    "line opening part product load building room floor bay hall pit space place runway rail track conveyor duct "
    "ductwork pipe piping cable fence walkway aisle mezzanine door gate roof stack well foundation clearance ceiling "
    "wall envelope area capacity hook hoist crane basket bag bottle carton pallet sheet coil bed table travel stroke "
    "belt web plate daylight footprint header cake platen swing bore throat gap shaft chain carrier roll spacing "
    "pitch passage ground"
).split()
CARRIED = "capacity load hook hoist crane rated basket batch charge linen bag sack drum forklift".split()
FULL = ("full", "filled", "operating", "wet", "loaded", "working", "flooded", "running")
DENSE = "billet anvil block counterweight plate slab weight bar roll ballast surface".split()
COMPACT = (
    "press brake shear saw mill lathe mixer granulator grinder crusher compressor chiller pump blower gearbox motor "
    "machine planer edger drill borer punch hammer extruder boiler generator genset transformer winder shredder "
    "baler turret machining moulder molder"
).split()
ROOMY = (
    "oven booth washer dryer tunnel conveyor hopper silo tank duct hood enclosure line cell room tower collector "
    "baghouse cyclone freezer cooler elevator robot crane gantry loader filler packer wrapper palletizer palletiser "
    "container packing packaging washing ice"
).split()
"""Machines that are mostly metal, and such as are mostly room."""
EMPTY = ("empty", "dry", "drained", "shipping", "net", "tare", "bare")


def weight_for_size(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """The weight of a thing against the box it fills, and against solid metal.

    Source: solid carbon steel 490, stainless 500, cast iron 450, aluminium 169 lb/ft3 (vocab/materials.toml).
    Tolerance: 0.8 to 150 lb/ft3 for machines, common practice, no source; heavier than the named solid material cannot
    be (conflict). Only where length, width and height (or diameter and height) are of the same subject as the weight.
    """
    index = facts(walk)
    wide, compact = limit(vocabulary, "bulk density"), limit(vocabulary, "bulk density of compact machines")
    for weight in _weights(index):
        box = _box(index, weight)
        pounds = size(weight, "pound")
        # with two weights of one name, one is of something in or on it
        same = [w for w in _weights(index) if alike(w.subject, weight.subject) == "same"]
        alone = single((w for w in same if seconds_between(w, weight) <= BREATH * 2), "pound", 0.1)
        if box is None or not pounds or alone is None:
            continue
        if _of_a_neighbour(index, weight):
            continue
        volume, sizes = box
        row = compact if mentions(weight.subject, *COMPACT) and not mentions(weight.subject, *ROOMY) else wide
        used = (weight, *sizes)
        density = pounds / volume
        solid, material = _solid(index, weight, vocabulary)
        spare = 3 * slack(*used)
        if density > solid * 1.06 * (1 + spare):
            level, against = "conflict", f"solid {material} is {number(solid)} lb a cubic foot"
        elif material == "steel" and density > row["high"] * (1 + spare) and not mentions(weight.subject, *DENSE):
            level, against = "check", "machines are 5 to 60 lb a cubic foot"
        elif density < row["low"] * (1 - spare):
            level, against = "check", "machines are 5 to 60 lb a cubic foot, ovens and booths less"
        else:
            yield compared("weight_for_size", used, "agreed", f"{number(round(density, 1))} lb a cubic foot")
            continue

        def holds(weight: Quantity, *sizes: Quantity, solid: float = solid, row: Row = row) -> bool:
            share = most(weight, "pound") / _volume(sizes)
            return bool(row["low"] <= share <= min(row["high"], solid))

        yield compared("weight_for_size", used, "failed", f"{number(round(density, 1))} lb a cubic foot")
        yield finding(
            "weight_for_size",
            "conflict" if level == "conflict" else "check",
            f"{said(weight)} in {' by '.join(said(q) for q in sizes)} is {number(round(density, 2))} lb a cubic foot "
            f"({name_of(weight)}); {against}. Re-read weight (pounds, kilograms, tons?) and sizes; only a plate or a "
            f"document settles it.",
            used,
            offers=offers(used, holds),
        )


def _of_a_neighbour(index: Facts, weight: Quantity) -> bool:
    """ "Auger's a ten inch, sixty-two foot. Truck takes nine hundred bushels, which is right at fifty thousand pounds",
    filed under the auger: whether the sentence of a weight tells a figure of another thing and never names its own."""
    text = weight.around or ""
    if not text or mentions(text, *words(weight.subject)) or vague(weight.subject):
        return False
    others = (
        q for q in index.quantities if q is not weight and seconds_between(q, weight) <= BREATH and told_in(q, text)
    )
    return any(q.property in ("volume", "rate", "flow") and not alike(q.subject, weight.subject) for q in others)


_NOT_OWN = re.compile(
    r"\b(?:force|tonnage|clamp\w*|press(?:es|ing)? (?:at|with)|takes?|holds?|capacity|good for|rated|lifts?|"
    r"carr(?:y|ies)|"
    r"charge of|loads? of|up to|pushes)\b(?:\W+\w+){0,3}\W*$"
)
"""Words before a weight that is a force, or what a thing holds or lifts, and not how heavy it is."""


def _weights(index: Facts) -> list[Quantity]:
    """Figures of property weight that say how heavy a thing is, and not what it holds or carries."""
    return [
        q
        for q in with_unit(index.of("weight"), "pound")
        if q.value > 0
        and q.of is None
        and not attributive(q)
        and not mentions(f"{q.subject} {q.qualifier or ''}", *CARRIED)
        and not _NOT_OWN.search(beside(index, q)[0])
        and not _amount_of(q)
    ]


def _amount_of(q: Quantity) -> bool:
    """ "From one vat comes 1200 kilos of cheese": so much of a thing is no weight of one."""
    then = re.match(r"\W*of (?:the )?(\w+)", parted(q)[1])
    return then is not None and singular(then.group(1)) in words(q.subject)


def _box(index: Facts, weight: Quantity) -> tuple[float, tuple[Quantity, ...]] | None:
    """Cubic feet of the box that a thing fills and its sizes; None unless all sizes are of the weight's own subject."""

    def own(*properties: str) -> Quantity | None:
        pool = [q for q in with_unit(index.of(*properties), "foot") if alike(q.subject, weight.subject) == "same"]
        beside = [q for q in pool if seconds_between(q, weight) <= BREATH * 1.5]
        # "the biggest ones are ten inch round, forty eight long": of two sizes, the one said with the weight
        return single(pool, "foot", 0.01) or single(beside, "foot", 0.01)

    length, width, height, across = own("length"), own("width"), own("height", "depth"), own("diameter")
    if length is not None and width is not None and height is not None:
        sizes: tuple[Quantity, ...] = (length, width, height)
    elif across is not None and (tall := height or length) is not None:
        sizes = (across, tall)
    else:
        return None
    volume = _volume(sizes)
    return (volume, sizes) if volume > 0 else None


def _volume(sizes: tuple[Quantity, ...]) -> float:
    """Cubic feet of three edges, or of the square box around a diameter and its height."""
    feet = [most(q, "foot") for q in sizes]
    return math.prod(feet) if len(feet) == 3 else feet[0] ** 2 * feet[1]


def _solid(index: Facts, weight: Quantity, vocabulary: Vocabulary) -> tuple[float, str]:
    """Density and name of the solid material that the thing was said to be of; steel where nothing was said."""
    named = [c.material for c in index.components if c.material and alike(c.name, weight.subject) == "same"]
    for row in vocabulary["materials"].rows:
        if row["kind"] == "solid" and any(form == m.lower() for m in named for form in row["said"]):
            return float(row["density"]), row["said"][0]
    return 500.0, "steel"


def weight_when_full(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A full or operating weight against the weight of the water in it, and against the empty one.

    Source: water 8.34 lb a US gallon at 60 degF, 8.07 at 190 (IAPWS density, by CoolProp). Tolerance: 3 %.
    Less than its water, or less than empty, cannot be (conflict), where the volume is of the same subject.
    """
    index = facts(walk)
    row = limit(vocabulary, "full weight")
    heavy = with_unit(index.of("weight"), "pound")
    for full in heavy:
        if not (mentions(full.qualifier or full.subject, *FULL) or heard(full, *FULL)):
            continue
        pounds = size(full, "pound") or 0.0
        for empty in heavy:
            dry = mentions(empty.qualifier or empty.subject, *EMPTY) or heard(empty, *EMPTY)
            if empty is full or not dry or not _same_thing(full, empty):
                continue
            if pounds * (1 + slack(full, empty)) < (size(empty, "pound") or 0.0):
                yield finding(
                    "weight_when_full",
                    "conflict",
                    f"{said(full)} full is less than {said(empty)} empty ({name_of(full)}). Were the two exchanged? "
                    f"Only a plate or a document settles it.",
                    (full, empty),
                )
            else:
                yield compared("weight_when_full", (full, empty), "agreed", "full is more than empty")
        volume = single((v for v in with_unit(index.of("volume"), "gallon") if _same_thing(full, v)), "gallon", 0.05)
        gallons = size(volume, "gallon")
        if volume is None or not gallons or mentions(full.subject, "receiver", "hopper", "silo"):
            continue
        water = gallons * 8.34
        own = single((e for e in heavy if e is not full and _same_thing(full, e) and _dry(e)), "pound", 0.05)
        inside = pounds - (size(own, "pound") or 0.0)
        told = _in_unit_of(full, water)
        spare = 1 + slack(full, volume)
        if inside > water * row["high"] * spare and own is not None:
            yield finding(
                "weight_when_full",
                "check",
                f"{said(full)} full less {said(own)} empty leave {_in_unit_of(full, inside)} for {said(volume)}, "
                f"and water would be {told} ({name_of(full)}). Read the three again; only a "
                f"plate or a document settles it.",
                (full, own, volume),
            )
            continue
        if pounds * spare >= water * row["low"] * 0.75:
            yield compared("weight_when_full", (full, volume), "agreed", f"water alone {told}")
            continue
        yield finding(
            "weight_when_full",
            "check",
            f"{said(full)} full is less than the {told} of water that {said(volume)} hold "
            f"({name_of(full)}). Empty or full weight? Only a plate or a document settles it.",
            (full, volume),
        )


def _in_unit_of(q: Quantity, pounds: float) -> str:
    """A weight in pounds, told in the unit of another."""
    value = pounds / one_of(q.unit, "pound")
    return figure(round(value, 1) if value < 100 else round(value), q.unit)


def _dry(q: Quantity) -> bool:
    return mentions(q.qualifier or q.subject, *EMPTY) or heard(q, *EMPTY)


def _same_thing(a: Quantity, b: Quantity) -> bool:
    link = alike(a.subject, b.subject)
    return link == "same" or (link == "near" and seconds_between(a, b) < BREATH)


def carrier_limits(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """What a carrier will ask of the pieces: each size and weight that exceeds a usual figure, to compare with it.

    Source: 102 in (23 CFR 658.15), 80,000 lb for the rig (23 U.S.C. 127), 48 ft (23 CFR 658.13), heights by state law;
    2.55 m, 4.00 m and 40 t (Directive 96/53/EC); see vocab/carriers.toml. Never a ruling: a note of level caution, only
    where a figure is exceeded. Not for lines, openings, buildings, what is said to stay, or what is no single piece.
    """
    index = facts(walk)
    over: dict[tuple[str, ...], list[tuple[Quantity, Row]]] = {}
    for prop in ("width", "height", "length", "weight"):
        pieces = _pieces(index, prop)
        exceeded = [(q, row) for q in pieces if (row := _exceeded(q, prop, vocabulary)) is not None]
        for q, row in exceeded:
            over.setdefault(tuple(sorted(words(q.subject))), []).append((q, row))
        if pieces and not exceeded:
            yield compared("carrier_limits", pieces[:4], "agreed", f"{prop} below what was compared; ask the carrier")
    for notes in over.values():
        asked = [f"{row['property']} {said(q)}, compare with {row['wording']} ({row['source']})" for q, row in notes]
        steps = dict.fromkeys(row["next"] for _, row in notes)
        yield finding(
            "carrier_limits",
            "caution",
            f"Transport of the {name_of(notes[0][0])}: {'; '.join(asked)}. To do: {'; '.join(steps)}. Weights and "
            f"sizes are to be confirmed by the rigger.",
            [q for q, _ in notes],
        )


def _pieces(index: Facts, prop: str) -> list[Quantity]:
    """Figures of one property that are of a piece that travels: it has a weight, or at least two sizes, and is no "
    "line."""
    unit = "pound" if prop == "weight" else "inch"
    pool = _weights(index) if prop == "weight" else with_unit(index.of(prop), unit)
    stays = [c.name for c in index.components if c.disposition == "excluded"]
    out = []
    for q in pool:
        if mentions(f"{q.subject} {q.qualifier or ''}", *NOT_SHIPPED) or not words(q.subject):
            continue
        if any(alike(name, q.subject) for name in stays):
            continue
        others = {
            o.property
            for o in index.of("length", "width", "height", "depth", "diameter", "weight")
            if o is not q and alike(o.subject, q.subject) == "same"
        }
        if prop == "weight" or "weight" in others or len(others - {prop}) >= 2:
            out.append(q)
    return sorted(out, key=moment)


def _exceeded(q: Quantity, prop: str, vocabulary: Vocabulary) -> Row | None:
    """The greatest limit of the speaker's part of the world that the figure exceeds."""
    metric = any(u in q.unit for u in ("metre", "kilogram", "tonne", "metric_ton"))
    region = "eu" if metric else "us"
    rows = [r for r in vocabulary["carriers"].rows if r["property"] == prop and r["region"] == region]
    over = [r for r in rows if most(q, r["unit"]) > r["limit"] * 1.0001]
    return max(over, key=lambda r: r["limit"], default=None)


def container_fit(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Whether a piece is narrower and lower than a container's door: a note under what was compared, never a finding.

    Source: ISO 1496-1 least door openings, 2,286 mm wide, 2,566 mm high in a high cube (as carriers publish them).
    """
    index = facts(walk)
    doors = {r["property"]: r for r in vocabulary["carriers"].rows if r["region"] == "container"}
    if not {"width", "height"} <= set(doors):
        return
    for width in _pieces(index, "width"):
        height = partner(index, width, ("height",), "metre")
        if height is None or alike(height.subject, width.subject) != "same":
            continue
        fits = most(width, "metre") < doors["width"]["limit"] and most(height, "metre") < doors["height"]["limit"]
        note = f"{'below' if fits else 'not below'} {doors['width']['wording']} and {doors['height']['wording']}"
        yield compared("container_fit", (width, height), "agreed" if fits else "failed", note)


RULES = (
    weight_for_size,
    weight_when_full,
    carrier_limits,
    container_fit,
)
