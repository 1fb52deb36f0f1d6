"""A plan of a line: stations in order of travel, numbered; doubtful ones dashed; ways back, branches and stations side
by side where they were told (travel.py). Pure.

Where the length of every station was said, their lengths are drawn to scale in one row; their widths, where those and
not the lengths fit into the whole (stations set crossways). Else boxes are alike, in rows that turn back, and the plan
says that it is not to scale. Sizes of the whole are written along its edges either way.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace
from xml.sax.saxutils import escape

from extractors.units import UnknownUnit, convert
from pipeline.printed import clean, figure
from pipeline.travel import Travel, travel
from pipeline.walk import Quantity, Sequence, Station, Walk

ACROSS = 6
"""Boxes in one row of a plan that is not to scale."""
WIDE, HIGH, GAP, TURN = 150, 74, 18, 30
"""Of a box, and between boxes and rows, in drawing units."""
FULL = ACROSS * (WIDE + GAP) - GAP
"""A full row."""
EDGE, TOP, FOOT = 24, 42, 30
"""Room for the way back, for sizes above, for the note and the way back below."""
NARROWEST = 26.0
"""A station that would be narrower in scale has no room for its number: the plan is then not to scale."""


@dataclass(frozen=True, slots=True)
class Place:
    """One box of the plan."""

    x: float
    y: float
    wide: float
    high: float
    number: str
    lines: tuple[str, ...]
    doubtful: bool
    slot: int = 0
    """Which place of the line it is at; stations side by side share one."""


@dataclass(frozen=True, slots=True)
class Plan:
    """What is drawn; fewer than two boxes are no plan."""

    boxes: tuple[Place, ...]
    length: str
    """Overall sizes as stated; "" where they were not said."""
    width: str
    note: str
    travel: Travel

    @property
    def size(self) -> tuple[int, int]:
        """Width and height of the drawing."""
        right, low = max(b.x + b.wide for b in self.boxes), max(b.y + b.high for b in self.boxes)
        return round(right) + EDGE, round(low) + FOOT + (20 if self.travel.backs or self.travel.sides else 0)


def plans(walk: Walk) -> tuple[Plan, ...]:
    """The plan of each of the walk's sequences, in order."""
    return tuple(_plan(s, walk) for s in walk.sequences)


def _plan(sequence: Sequence, walk: Walk) -> Plan:
    stations = [s for s in sequence.stations if s.status != "withdrawn"]
    told = travel(stations, walk.remarks, alone=len(walk.sequences) == 1)
    slots = told.slots(len(stations))
    whole = _overall(sequence, walk)
    length, width = (_stated(whole.get(name)) for name in ("length", "width"))
    if len(stations) > 1:
        for along in ("length", "width"):
            known = [x for s in stations if (x := _own_size(s, sequence, walk, along)) is not None]
            if len(known) < len(stations):
                break
            if along == "width" and "length" not in whole:
                break  # nothing says that they stand crossways
            boxes, note = _to_scale(stations, slots, known, _metres(whole.get("length")), _metres(whole.get("width")))
            if boxes:
                crossways = " Stations drawn crossways: so their sizes fit the length." if along == "width" else ""
                return Plan(boxes, length, width, note + crossways, told)
    return Plan(_alike(stations, slots), length, width, "Not to scale. Order of travel by the arrows.", told)


def _stated(q: Quantity | None) -> str:
    return "" if q is None else figure(q) + (" (to verify)" if q.doubt or q.status == "hedged" else "")


def _metres(q: Quantity | None) -> float | None:
    if q is None or q.value <= 0 or q.value_max is not None:
        return None
    try:
        return convert(q.value, q.unit, "meter")
    except (UnknownUnit, OverflowError):
        return None


def _overall(sequence: Sequence, walk: Walk) -> dict[str, Quantity]:
    """Length and width of the line, the sure ones first; another machine's are not taken."""
    i = walk.identity
    names = {"", "overall", "whole", "line", "row", "whole row", "whole line"}
    if (name := clean(sequence.name, 100).lower()).rstrip("s") != sequence.station_word.lower().rstrip("s"):
        names.add(name)  # "tanks" are the stations, not the line
    names |= {str(s.value).lower() for s in (i.name, i.kind) if s}
    found: dict[str, Quantity] = {}
    for q in sorted(walk.active, key=lambda q: q.doubt is not None or q.status == "hedged"):
        if q.property in ("length", "width") and not q.each and _metres(q) and q.subject.lower() in names:
            found.setdefault(q.property, q)
    return found


def _own_size(station: Station, sequence: Sequence, walk: Walk, along: str) -> float | None:
    """Metres of one station's length or width: said of it, or of each of them."""
    word = sequence.station_word.lower().rstrip("s")
    mine = {f"{word} {station.number}".lower(), station.role.lower()}
    each = None
    for q in walk.active:
        if q.property != along or q.doubt or q.status == "hedged":
            continue
        subject = q.subject.lower()
        if subject in mine:
            return _metres(q)
        if q.each and subject.rstrip("s") == word:
            each = _metres(q)
    return each


def _to_scale(
    stations: list[Station], slots: list[list[int]], sizes: list[float], overall: float | None, width: float | None
) -> tuple[tuple[Place, ...], str]:
    """Boxes in one row with lengths in scale; none where one would be too narrow, or they are longer than the whole."""
    lengths = [max(sizes[i] for i in slot) for slot in slots]
    if len(lengths) < 2:
        return (), ""
    total = sum(lengths)
    if overall is not None and total > overall * 1.001:
        return (), ""
    between = ((overall or total) - total) / (len(lengths) - 1)
    unit = FULL / max(overall or total, total)
    if min(lengths) * unit < NARROWEST:
        return (), ""
    high = min(300.0, max(30.0, width * unit)) if width else float(HIGH)
    widths_too = width is not None and 30 <= width * unit <= 300
    boxes: list[Place] = []
    x = float(EDGE)
    for n, (slot, length) in enumerate(zip(slots, lengths, strict=True)):
        boxes += _stacked([stations[i] for i in slot], n, x, TOP, length * unit, high)
        x += (length + between) * unit
    note = f"Lengths{' and width' if widths_too else ''} to scale as stated{'' if widths_too else '; widths not'}."
    return tuple(boxes), note + (" Room between stations shared out evenly: it was not said." if between > 0.01 else "")


def _alike(stations: list[Station], slots: list[list[int]]) -> tuple[Place, ...]:
    """Equal boxes; every second row runs backwards, as the walker would turn."""
    out: list[Place] = []
    for n, slot in enumerate(slots):
        row, column = divmod(n, ACROSS)
        column = column if row % 2 == 0 else ACROSS - 1 - column
        out += _stacked([stations[i] for i in slot], n, EDGE + column * (WIDE + GAP), TOP + row * (HIGH + TURN),
                        WIDE, HIGH)  # fmt: skip
    return tuple(out)


def _stacked(stations: list[Station], slot: int, x: float, y: float, wide: float, high: float) -> list[Place]:
    """Stations side by side, one above the other in the room of one."""
    each = (high - 6 * (len(stations) - 1)) / len(stations)
    return [replace(_place(s, x, y + i * (each + 6), wide, each), slot=slot) for i, s in enumerate(stations)]


def _place(s: Station, x: float, y: float, wide: float, high: float) -> Place:
    doubtful = s.doubt is not None or s.status == "hedged"
    return Place(x, y, wide, high, clean(s.number, 500)[:6], _lines(s.role, wide, high), doubtful)


def _lines(role: str, wide: float, high: float) -> tuple[str, ...]:
    """As many lines of the role as the box has room for; the schedule has it in full."""
    if 28 <= high < 43:  # a low box: its role stands beside the number
        wide -= 20
    across, down = int((wide - 12) / 7), 1 if 28 <= high < 43 else min(3, int((high - 28) / 15))
    if across < 5 or down < 1:
        return ()
    lines = [""]
    for word in clean(role, 500)[:60].split():
        if lines[-1] and len(lines[-1]) + 1 + len(word) > across:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    short = [line if len(line) <= across else line[: across - 1] + "…" for line in lines]
    return tuple(short) if len(short) <= down else (*short[: down - 1], short[down - 1][: across - 1] + "…")


Line = tuple[tuple[float, float], ...]


def _links(plan: Plan) -> list[Line]:
    """Ways from box to box, ways back and branches; an arrow head stands at the end of each."""
    out: list[Line] = []
    slots = [list(found) for _, found in itertools.groupby(plan.boxes, key=lambda b: b.slot)]
    for here, there in itertools.pairwise(slots):
        if there[0].y >= here[-1].y + here[-1].high:  # a row down: out of the lowest, into the highest
            here, there = here[-1:], there[:1]
        out += [_link(a, b) for a in here for b in there]
    low = max(b.y + b.high for b in plan.boxes) + 20
    for first, last in plan.travel.backs:
        out.append(_way_back(plan.boxes[first], plan.boxes[last], low))
    for n in plan.travel.sides:
        b = plan.boxes[n]
        out.append(((b.x + b.wide * 0.8, b.y + b.high), (b.x + b.wide * 0.8, b.y + b.high + 11)))
    return out


def _link(a: Place, b: Place) -> Line:
    if b.y >= a.y + a.high:
        return ((a.x + a.wide / 2, a.y + a.high), (b.x + b.wide / 2, b.y))
    low = min(a, b, key=lambda p: p.high)
    y = low.y + low.high / 2  # level, also between one box and two that stand side by side
    return ((a.x + a.wide, y), (b.x, y)) if b.x > a.x else ((a.x, y), (b.x + b.wide, y))


def _way_back(start: Place, end: Place, low: float) -> Line:
    """Below all boxes, and from there into the end: from the left, from below, or from above where rows lie between."""
    out, into = start.x + start.wide * 0.5, end.x + end.wide * 0.3
    head: Line = ((out, start.y + start.high), (out, low))
    if end.slot == 0:
        return (*head, (6, low), (6, end.y + end.high / 2), (end.x, end.y + end.high / 2))
    if low - (end.y + end.high) < TURN:
        return (*head, (into, low), (into, end.y + end.high))
    return (*head, (6, low), (6, end.y - 14), (into, end.y - 14), (into, end.y))


def _heads(line: Line) -> Line:
    (x1, y1), (x2, y2) = line[-2:]
    if abs(y1 - y2) < abs(x1 - x2) or y1 == y2:
        if abs(x2 - x1) < 4:  # boxes that touch: a small head over the border
            return ((x2 + 4, y2), (x2 - 4, y2 - 5), (x2 - 4, y2 + 5))
        back = -8 if x2 > x1 else 8
        return ((x2, y2), (x2 + back, y2 - 5), (x2 + back, y2 + 5))
    back = -8 if y2 > y1 else 8
    return ((x2, y2), (x2 - 5, y2 + back), (x2 + 5, y2 + back))


def _words(b: Place) -> list[tuple[float, float, str]]:
    """x, y (top of the letters) and text of each line of a role: below the number, or beside it in a low box."""
    if b.high < 43:
        return [(b.x + 26, b.y + 7, line) for line in b.lines[:1]]
    return [(b.x + 6, b.y + 25 + 15 * i, line) for i, line in enumerate(b.lines)]


def _labels(plan: Plan) -> list[tuple[float, float, str, int]]:
    """x, y (top of the letters), text, size."""
    sizes = ", ".join(p for p in (plan.length and f"length {plan.length}", plan.width and f"width {plan.width}") if p)
    note = plan.note
    if plan.travel.backs or plan.travel.sides or plan.travel.beside:
        note += " Ways back, branches and what stands side by side as told, not measured."
    out: list[tuple[float, float, str, int]] = [(EDGE, plan.size[1] - 18, note, 13)]
    return [*out, (EDGE, 2, f"Overall: {sizes}", 14)] if sizes else out


def alt(plan: Plan) -> str:
    """The plan in words."""
    return f"Plan of {len(plan.boxes)} stations in order of travel. {plan.note}"


def svg(plan: Plan) -> str:
    """The plan as SVG; "" where there are fewer than two stations."""
    if len(plan.boxes) < 2:
        return ""
    width, height = plan.size
    ink = "#1f2933"
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" role="img" '
        f'aria-label="{escape(alt(plan))}">'
    ]
    if plan.length:
        right = max(b.x + b.wide for b in plan.boxes)
        parts.append(f'<path d="M{EDGE} {TOP - 9}v6M{EDGE} {TOP - 6}H{right:.1f}m0 -3v6" stroke="{ink}" fill="none"/>')
    for b in plan.boxes:
        dash = ' stroke-dasharray="6 4"' if b.doubtful else ""
        parts.append(
            f'<rect x="{b.x:.1f}" y="{b.y:.1f}" width="{b.wide:.1f}" height="{b.high:.1f}" fill="#fff" '
            f'stroke="{ink}"{dash}/>'
            f'<text x="{b.x + 6:.1f}" y="{b.y + 19:.1f}" font-size="15" font-weight="bold">{escape(b.number)}</text>'
        )
        for x, y, line in _words(b):
            parts.append(f'<text x="{x:.1f}" y="{y + 11:.1f}" font-size="13">{escape(line)}</text>')
    for way in _links(plan):
        points = " ".join(f"{x:.1f},{y:.1f}" for x, y in way)
        head = " ".join(f"{x:.1f},{y:.1f}" for x, y in _heads(way))
        parts.append(f'<polyline points="{points}" stroke="{ink}" stroke-width="2" fill="none"/>'
                     f'<polygon points="{head}" fill="{ink}"/>')  # fmt: skip
    for x, y, text, size in _labels(plan):
        parts.append(f'<text x="{x}" y="{y + size}" font-size="{size}">{escape(text)}</text>')
    return "".join([*parts, "</svg>"])


def png(plan: Plan) -> bytes | None:
    """The same as a picture, twice as fine; None where there are fewer than two stations."""
    import io

    from PIL import Image, ImageDraw, ImageFont

    if len(plan.boxes) < 2:
        return None
    k = 2
    width, height = plan.size
    # as wide as a full row, so that a short line's boxes are no larger than a long one's
    picture = Image.new("L", (max(width, FULL + 2 * EDGE) * k, height * k), 255)
    pen = ImageDraw.Draw(picture)
    if plan.length:
        right = max(b.x + b.wide for b in plan.boxes)
        for line in (((EDGE, TOP - 6), (right, TOP - 6)), ((EDGE, TOP - 9), (EDGE, TOP - 3)),
                     ((right, TOP - 9), (right, TOP - 3))):  # fmt: skip
            pen.line([(x * k, y * k) for x, y in line], fill=32, width=2)
    for b in plan.boxes:
        _box(pen, b, k)
        pen.text(((b.x + 6) * k, (b.y + 4) * k), b.number, fill=0, font=ImageFont.load_default(16 * k))
        for x, y, text in _words(b):
            pen.text((x * k, y * k), text, fill=0, font=ImageFont.load_default(13 * k))
    for way in _links(plan):
        pen.line([(x * k, y * k) for x, y in way], fill=32, width=3)
        pen.polygon([(x * k, y * k) for x, y in _heads(way)], fill=32)
    for x, y, text, size in _labels(plan):
        pen.text((x * k, y * k), text, fill=0, font=ImageFont.load_default(size * k))
    stream = io.BytesIO()
    picture.save(stream, "PNG", optimize=False)
    return stream.getvalue()


def _box(pen: object, b: Place, k: int) -> None:
    from PIL import ImageDraw

    assert isinstance(pen, ImageDraw.ImageDraw)
    x1, y1, x2, y2 = (round(v * k) for v in (b.x, b.y, b.x + b.wide, b.y + b.high))
    if not b.doubtful:
        pen.rectangle((x1, y1, x2, y2), outline=32, width=3)
        return
    for x in range(x1, x2, 20):
        pen.line((x, y1, min(x + 11, x2), y1), fill=32, width=3)
        pen.line((x, y2, min(x + 11, x2), y2), fill=32, width=3)
    for y in range(y1, y2, 20):
        pen.line((x1, y, x1, min(y + 11, y2)), fill=32, width=3)
        pen.line((x2, y, x2, min(y + 11, y2)), fill=32, width=3)
