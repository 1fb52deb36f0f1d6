"""Specification, stations, equipment, utilities, transport: sections of what was described. Pure."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from extractors.units import UnknownUnit, convert
from pipeline.printed import METRIC, carries, clean, pair, phrase, property_of, several
from pipeline.report_facts import basis_of, columns, moments, note_of, of_whole, row_name, said_at, whole
from pipeline.report_shapes import AS_SPOKEN, BLANK, Profile, Row, Section, Table
from pipeline.unit_signs import spelt
from pipeline.walk import Quantity, Walk


def _quantity_row(q: Quantity, own: Profile) -> Row:
    return Row(
        (clean(q.subject, 160) or "whole", property_of(q), *pair(q, own.units, own.numbers), basis_of(q), note_of(q)),
        moments(q.evidence), q.id, q.doubt is not None or q.status == "hedged",
    )  # fmt: skip


QUANTITY_SHARES = (20, 17, 16, 16, 12, 19)


def specification(walk: Walk, out: bool, own: Profile) -> Section:
    rows = tuple(_quantity_row(q, own) for q in walk.active if not (out and q.property == "price"))
    return Section(
        "specification", "Specification",
        ("Figures marked ≈ are calculated and rounded to three figures; the stated figure counts.",) if rows else (),
        (Table(("Of", "What", *columns(own), "Basis", "Note"), QUANTITY_SHARES, rows),),
    )  # fmt: skip


def stations(walk: Walk) -> Iterator[Section]:
    for n, s in enumerate(walk.sequences):
        rows = tuple(
            Row(
                (clean(x.number, 20), clean(x.role, 160), "; ".join(
                    p for p in ("said with doubt" if x.status == "hedged" else "",
                                "corrected by the speaker" if x.status == "corrected" else "",
                                f"to verify: {clean(x.doubt, 160)}" if x.doubt else "") if p)),
                moments(x.evidence), f"station:{n}:{i}", x.doubt is not None,
            )
            for i, x in enumerate(s.stations) if x.status != "withdrawn"
        )  # fmt: skip
        stated = f"Stated: {s.stated_count}; described: {len(rows)}." if s.stated_count is not None else ""
        name = row_name(s)
        yield Section(
            f"stations-{n}", f"Stations: {clean(name, 80)}" if name else "Stations", (stated,) if stated else (),
            (Table((clean(s.station_word, 30).capitalize() or "Station", "What it does", "Note"), (18, 48, 34), rows),),
        )  # fmt: skip


def equipment(walk: Walk, out: bool, own: Profile) -> Section:
    word = {"included": "included", "excluded": "not included", "uncertain": "unsettled", None: ""}
    rows = []
    for c in walk.present:
        # sizes of the whole stand in the summary and the specification
        sizes = [q for q in walk.active if q.subject.lower() == c.name.lower() and not whole(q, walk)][:6]
        what = ", ".join(p for p in (clean(c.maker or "", 60), clean(c.model or "", 60), str(c.year or ""),
                                     clean(c.material or "", 60),
                                     f"serial {clean(c.serial, 120)} ({AS_SPOKEN})" if c.serial else "",
                                     "; ".join(phrase(q, own.units, own.numbers) for q in sizes
                                               if q.property != "price")) if p)  # fmt: skip
        condition = "; ".join(p for p in (clean(c.condition or "", 160), c.running or "") if p)
        why = f"said of it: “{clean(c.reason, 100)}”" if c.reason and not out else ""
        amount = "" if c.count is None else ("about " if c.approximate else "") + str(c.count)
        rows.append(Row((clean(c.name, 160), amount, what, condition, word[c.disposition],
                         "; ".join(t for t in (note_of(c), why) if t)),
                        moments(c.evidence), c.id, c.doubt is not None))  # fmt: skip
    return Section(
        "equipment", "Equipment", (),
        (Table(("What", "Count", "Particulars", "Condition, running", "Included?", "Note"),
               (19, 11, 25, 16, 13, 16), tuple(rows)),),
    )  # fmt: skip


SERVICES = (
    ("Power", ("voltage", "current", "frequency", "phases"), ()),
    ("Air", ("pressure", "flow"), ("air", "compressor")),
    ("Water", ("pressure", "flow", "temperature"), ("water", "rinse", "cooling", "chiller", "tower")),
    ("Gas", ("pressure", "flow", "power"), ("gas", "burner", "propane")),
    ("Steam", ("pressure", "flow", "temperature", "rate"), ("steam", "boiler")),
    ("Drain", ("diameter", "flow"), ("drain", "sewer", "effluent")),
)
"""Service, properties of figures that describe it, words of the subject ("" for any). Common practice, no source."""


def utilities(walk: Walk, own: Profile) -> Section:
    """One row for each service and thing that needs it, with all figures of it."""
    found: dict[tuple[str, str], list[Quantity]] = {}
    for name, props, words in SERVICES:
        for q in walk.active:
            subject = set(re.findall(r"[a-z]+", f"{q.subject} {q.qualifier or ''}".lower()))
            if q.property in props and (not words or subject & set(words)):
                found.setdefault((name, q.subject), []).append(q)
    for (name, of), figures in found.items():
        if name == "Power":
            # what it draws stands beside what it draws it from
            figures += [q for q in walk.active if q.subject == of and q.property == "power"]
    rows = tuple(
        Row((name, clean(of, 120) or "whole", "; ".join(dict.fromkeys(phrase(q, own.units, own.numbers)
                                                                     for q in figures)),
             "; ".join(dict.fromkeys(note_of(q) for q in figures if note_of(q)))),
            said_at(figures)[:3], figures[0].id, any(q.doubt is not None for q in figures))
        for (name, of), figures in found.items()
    )  # fmt: skip
    return Section(
        "utilities", "Utilities",
        ("Gathered from what was said; services that are not listed were not described.",) if rows else (),
        (Table(("Service", "At", "Figures", "Note"), (12, 26, 42, 20), rows),),
    )  # fmt: skip


DECKS = (("flat deck", 60.0), ("step deck", 42.0), ("low or double-drop deck", 24.0))
"""Trailer decks and how high they commonly stand, inches. Common practice, no source; the carrier's figure counts."""


def transport(walk: Walk, own: Profile) -> Section:
    wanted = ("length", "width", "height", "weight", "depth")
    rows = [
        Row((clean(q.subject, 120) or "whole", property_of(q), *pair(q, own.units, own.numbers), basis_of(q),
             "" if q.property != "weight" else clean(q.qualifier or "", 40) or "☐ empty  ☐ full"),
            moments(q.evidence), q.id, q.doubt is not None)
        for q in walk.active if q.property in wanted and (whole(q, walk) or _to_lift(q, walk))
    ]  # fmt: skip
    to_fill = tuple(
        Row((label, BLANK))
        for label in ("Pieces it travels in", "Deck chosen, and load height on it", "Disconnected by", "Drained by",
                      "Cleaned by", "Loaded by", "Doors and floor on the way out", "Dates for removal")
    )  # fmt: skip
    return Section(
        "transport", "Removal and transport",
        ("Compare widths, heights and weights with the limits of each state or country on the route; permits and "
         "axle loads are the carrier’s to settle. Commonly asked about: more than 102 in (2.59 m) wide in the United "
         "States (23 CFR 658.15) and, by state, 13 ft 6 in to 14 ft 6 in high; more than 2.55 m wide or 4.00 m high in "
         "the European Union (Directive 96/53/EC). Lifting, draining and disconnecting are for qualified people.",),
        (*((Table(("Of", "What", *columns(own), "Basis", "Empty or full"), (22, 16, 17, 17, 12, 16),
                  tuple(rows)),) if rows else ()),
         *_on_decks(walk, own),
         Table(("To settle", "Entry"), (40, 60), to_fill, timed=False)),
    )  # fmt: skip


HEAVY = 200.0
"""Kilograms from which a weight is of something that has to be lifted, whatever it is. Chosen, no source."""


def _to_lift(q: Quantity, walk: Walk) -> bool:
    """Whether a weight is of a piece to move, and not of what the machine handles ("parts to ten pounds")."""
    if q.property != "weight" or carries(q):
        return False
    pieces = {several(c.name.lower()) for c in walk.present}
    try:
        return several(q.subject.lower()) in pieces or convert(q.value, q.unit, "kilogram") >= HEAVY
    except UnknownUnit:
        return False


def _on_decks(walk: Walk, own: Profile) -> tuple[Table, ...]:
    """How high the whole would stand on each deck, where its height was said, in the units it was said in."""
    rows = []
    for q in of_whole(walk, ("height",))[:1]:
        unit, step = ("meter", 0.05) if METRIC.search(spelt(q.unit)) else ("foot", 0.25)
        top = convert(q.value_max or q.value, q.unit, unit)
        for name, deck in DECKS:
            bed = convert(deck, "inch", unit)
            both = (replace(q, value=round(v / step) * step, value_max=None, unit=unit, approximate=True)
                    for v in (bed, top + bed))  # fmt: skip
            texts = (" (≈ ".join(t for t in pair(x, "", own.numbers) if t) + ")" for x in both)
            rows.append(Row((f"on a {name}", *texts), moments(q.evidence), q.id))
    table = Table(("As it stands, in one piece", "Deck, commonly", "Top of the load, about"), (40, 30, 30), tuple(rows))
    return (table,) if rows else ()
