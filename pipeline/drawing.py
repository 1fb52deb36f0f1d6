"""A plan of a line: stations in order of travel, numbered; doubtful ones dashed; a way back where one was told. Pure.

Where the length of every station was said, their lengths are drawn to scale in one row. Else boxes are alike, in rows
that turn back, and the plan says that it is not to scale. Sizes of the whole are written along its edges either way.
"""

from __future__ import annotations

import itertools
import re
from dataclasses import dataclass
from xml.sax.saxutils import escape

from extractors.units import UnknownUnit, convert
from pipeline.printed import clean, figure
from pipeline.walk import Quantity, Sequence, Station, Walk

ACROSS = 6
"""Boxes in one row of a plan that is not to scale."""
WIDE, HIGH, GAP, TURN = 150, 74, 18, 30
"""Of a box, and between boxes and rows, in drawing units."""
FULL = ACROSS * (WIDE + GAP) - GAP
"""A full row."""
EDGE, TOP, FOOT = 24, 30, 30
"""Room for the way back, for sizes above, for the note and the way back below."""
NARROWEST = 26.0
"""A station that would be narrower in scale has no room for its number: the plan is then not to scale."""
BACK = re.compile(
    r"\b(returns?|loops?|carousel|oval|endless|(?:comes?|goes?) back|back to the (?:start|front))\b", re.IGNORECASE
)


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


@dataclass(frozen=True, slots=True)
class Plan:
    """What is drawn; fewer than two boxes are no plan."""

    boxes: tuple[Place, ...]
    length: str
    """Overall sizes as stated; "" where they were not said."""
    width: str
    note: str
    returns: bool

    @property
    def size(self) -> tuple[int, int]:
        """Width and height of the drawing."""
        right, low = max(b.x + b.wide for b in self.boxes), max(b.y + b.high for b in self.boxes)
        return round(right) + EDGE, round(low) + FOOT + (16 if self.returns else 0)


def plans(walk: Walk) -> tuple[Plan, ...]:
    """The plan of each of the walk's sequences, in order."""
    returns = any(r.kind == "direction" and BACK.search(r.text) for r in walk.remarks)
    return tuple(_plan(s, walk, returns) for s in walk.sequences)


def _plan(sequence: Sequence, walk: Walk, returns: bool) -> Plan:
    stations = [s for s in sequence.stations if s.status != "withdrawn"]
    whole = _overall(sequence, walk)
    length, width = (_stated(whole.get(name)) for name in ("length", "width"))
    lengths = [_own_length(s, sequence, walk) for s in stations]
    known = [x for x in lengths if x is not None]
    if len(stations) > 1 and len(known) == len(stations):
        boxes, note = _to_scale(stations, known, _metres(whole.get("length")), _metres(whole.get("width")))
        if boxes:
            return Plan(boxes, length, width, note, returns)
    return Plan(_alike(stations), length, width, "Not to scale. Order of travel by the arrows.", returns)


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
    names = {clean(sequence.name, 100).lower(), "", "overall", "whole", "line"}
    names |= {str(s.value).lower() for s in (i.name, i.kind) if s}
    found: dict[str, Quantity] = {}
    for q in sorted(walk.active, key=lambda q: q.doubt is not None or q.status == "hedged"):
        if q.property in ("length", "width") and not q.each and _metres(q) and q.subject.lower() in names:
            found.setdefault(q.property, q)
    return found


def _own_length(station: Station, sequence: Sequence, walk: Walk) -> float | None:
    """Metres along the line of one station: said of it, or of each of them."""
    word = sequence.station_word.lower().rstrip("s")
    mine = {f"{word} {station.number}".lower(), station.role.lower()}
    each = None
    for q in walk.active:
        if q.property != "length" or q.doubt or q.status == "hedged":
            continue
        subject = q.subject.lower()
        if subject in mine:
            return _metres(q)
        if q.each and subject.rstrip("s") == word:
            each = _metres(q)
    return each


def _to_scale(
    stations: list[Station], lengths: list[float], overall: float | None, width: float | None
) -> tuple[tuple[Place, ...], str]:
    """Boxes in one row with lengths in scale; none where one would be too narrow, or they are longer than the whole."""
    total = sum(lengths)
    if overall is not None and total > overall * 1.001:
        return (), ""
    between = ((overall or total) - total) / (len(lengths) - 1)
    unit = FULL / max(overall or total, total)
    if min(lengths) * unit < NARROWEST:
        return (), ""
    high = min(300.0, max(30.0, width * unit)) if width else float(HIGH)
    widths_too = width is not None and 30 <= width * unit <= 300
    boxes, x = [], float(EDGE)
    for s, length in zip(stations, lengths, strict=True):
        boxes.append(_place(s, x, TOP, length * unit, high))
        x += (length + between) * unit
    note = f"Lengths{' and width' if widths_too else ''} to scale as stated{'' if widths_too else '; widths not'}."
    return tuple(boxes), note + (" Room between stations shared out evenly: it was not said." if between > 0.01 else "")


def _alike(stations: list[Station]) -> tuple[Place, ...]:
    """Equal boxes; every second row runs backwards, as the walker would turn."""
    out = []
    for i, s in enumerate(stations):
        row, column = divmod(i, ACROSS)
        column = column if row % 2 == 0 else ACROSS - 1 - column
        out.append(_place(s, EDGE + column * (WIDE + GAP), TOP + row * (HIGH + TURN), WIDE, HIGH))
    return tuple(out)


def _place(s: Station, x: float, y: float, wide: float, high: float) -> Place:
    doubtful = s.doubt is not None or s.status == "hedged"
    return Place(x, y, wide, high, clean(s.number, 500)[:6], _lines(s.role, wide, high), doubtful)


def _lines(role: str, wide: float, high: float) -> tuple[str, ...]:
    """As many lines of the role as the box has room for; the schedule has it in full."""
    across, down = int((wide - 12) / 7), min(3, int((high - 28) / 15))
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
    """Ways from box to box, and the way back; an arrow head stands at the end of each."""
    out: list[Line] = []
    for a, b in itertools.pairwise(plan.boxes):
        if a.y != b.y:
            out.append(((a.x + a.wide / 2, a.y + a.high), (b.x + b.wide / 2, b.y)))
        elif b.x > a.x:
            out.append(((a.x + a.wide, a.y + a.high / 2), (b.x, b.y + b.high / 2)))
        else:
            out.append(((a.x, a.y + a.high / 2), (b.x + b.wide, b.y + b.high / 2)))
    if plan.returns:
        first, last = plan.boxes[0], plan.boxes[-1]
        low, middle = max(b.y + b.high for b in plan.boxes) + 14, last.x + last.wide / 2
        out.append(
            ((middle, last.y + last.high), (middle, low), (6, low), (6, first.y + first.high / 2),
             (first.x, first.y + first.high / 2))
        )  # fmt: skip
    return out


def _heads(line: Line) -> Line:
    (x1, y1), (x2, y2) = line[-2:]
    if y1 == y2:
        if abs(x2 - x1) < 4:  # boxes that touch: a small head over the border
            return ((x2 + 4, y2), (x2 - 4, y2 - 5), (x2 - 4, y2 + 5))
        back = -8 if x2 > x1 else 8
        return ((x2, y2), (x2 + back, y2 - 5), (x2 + back, y2 + 5))
    return ((x2, y2), (x2 - 5, y2 - 8), (x2 + 5, y2 - 8))


def _labels(plan: Plan) -> list[tuple[float, float, str, int]]:
    """x, y (top of the letters), text, size."""
    sizes = ", ".join(p for p in (plan.length and f"length {plan.length}", plan.width and f"width {plan.width}") if p)
    note = plan.note + (" The way back as told, not measured." if plan.returns else "")
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
        for i, line in enumerate(b.lines):
            parts.append(f'<text x="{b.x + 6:.1f}" y="{b.y + 36 + 15 * i:.1f}" font-size="13">{escape(line)}</text>')
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
        for i, text in enumerate(b.lines):
            pen.text(((b.x + 6) * k, (b.y + 25 + 15 * i) * k), text, fill=0, font=ImageFont.load_default(13 * k))
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
