"""A plan of a line: stations in order of travel, numbered, in rows that turn back; doubtful ones dashed. Pure.

Sizes of single stations are seldom said, so the plan is not to scale, and says so.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from xml.sax.saxutils import escape

from pipeline.printed import clean
from pipeline.walk import Sequence

ACROSS = 6
"""Boxes in one row of the plan."""
WIDE, HIGH, GAP, TURN = 150, 74, 18, 30
"""Of a box, and between boxes and rows, in drawing units."""


@dataclass(frozen=True, slots=True)
class Place:
    """One box of the plan."""

    x: int
    y: int
    number: str
    lines: tuple[str, ...]
    doubtful: bool


def places(sequence: Sequence) -> tuple[Place, ...]:
    """Boxes of the stations that stand; every second row runs backwards, as the walker would turn."""
    out = []
    for i, s in enumerate(s for s in sequence.stations if s.status != "withdrawn"):
        row, column = divmod(i, ACROSS)
        column = column if row % 2 == 0 else ACROSS - 1 - column
        doubtful = s.doubt is not None or s.status == "hedged"
        out.append(
            Place(
                4 + column * (WIDE + GAP), 4 + row * (HIGH + TURN), clean(s.number, 500)[:6], _lines(s.role), doubtful
            )
        )
    return tuple(out)


def _lines(role: str) -> tuple[str, ...]:
    """At most three lines of 20 characters."""
    lines = [""]
    for word in clean(role, 500)[:60].split():
        if lines[-1] and len(lines[-1]) + 1 + len(word) > 20:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    short = [line if len(line) <= 20 else line[:19] + "…" for line in lines]
    return tuple(short[:3]) if len(short) <= 3 else (*short[:2], short[2][:19] + "…")


def size(sequence: Sequence) -> tuple[int, int]:
    """Width and height of the drawing."""
    n = len(places(sequence))
    rows = -(-n // ACROSS)
    return 8 + min(n, ACROSS) * (WIDE + GAP) - GAP, 8 + rows * HIGH + (rows - 1) * TURN


def _links(boxes: tuple[Place, ...]) -> list[tuple[int, int, int, int]]:
    out = []
    for a, b in itertools.pairwise(boxes):
        if a.y == b.y:
            right = b.x > a.x
            out.append((a.x + (WIDE if right else 0), a.y + HIGH // 2, b.x + (0 if right else WIDE), b.y + HIGH // 2))
        else:
            out.append((a.x + WIDE // 2, a.y + HIGH, b.x + WIDE // 2, b.y))
    return out


def svg(sequence: Sequence) -> str:
    """The plan as SVG; "" where there are fewer than two stations."""
    boxes = places(sequence)
    if len(boxes) < 2:
        return ""
    width, height = size(sequence)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" role="img" '
        f'aria-label="Plan of {len(boxes)} stations in order of travel, not to scale">'
    ]
    for x1, y1, x2, y2 in _links(boxes):
        parts.append(f'<line x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}" stroke="#1f2933" stroke-width="2"/>')
        parts.append(f'<path d="{_head(x1, y1, x2, y2)}" fill="#1f2933"/>')
    for b in boxes:
        dash = ' stroke-dasharray="6 4"' if b.doubtful else ""
        parts.append(
            f'<rect x="{b.x}" y="{b.y}" width="{WIDE}" height="{HIGH}" fill="#fff" stroke="#1f2933"{dash}/>'
            f'<text x="{b.x + 8}" y="{b.y + 19}" font-size="15" font-weight="bold">{escape(b.number)}</text>'
        )
        for i, line in enumerate(b.lines):
            parts.append(f'<text x="{b.x + 8}" y="{b.y + 36 + 15 * i}" font-size="13">{escape(line)}</text>')
    return "".join([*parts, "</svg>"])


def _head(x1: int, y1: int, x2: int, y2: int) -> str:
    if y1 == y2:
        back = -8 if x2 > x1 else 8
        return f"M{x2} {y2}l{back} -5v10z"
    return f"M{x2} {y2}l-5 -8h10z"


def png(sequence: Sequence) -> bytes | None:
    """The same as a picture, twice as fine; None where there are fewer than two stations."""
    import io

    from PIL import Image, ImageDraw, ImageFont

    boxes = places(sequence)
    if len(boxes) < 2:
        return None
    k = 2
    width, height = size(sequence)
    # as wide as a full row, so that a short line's boxes are no larger than a long one's
    full = 8 + ACROSS * (WIDE + GAP) - GAP
    picture = Image.new("L", (max(width, full) * k, height * k), 255)
    pen = ImageDraw.Draw(picture)
    for x1, y1, x2, y2 in _links(boxes):
        pen.line((x1 * k, y1 * k, x2 * k, y2 * k), fill=32, width=3)
        if y1 == y2:
            back = -8 if x2 > x1 else 8
            corners = [(x2, y2), (x2 + back, y2 - 5), (x2 + back, y2 + 5)]
        else:
            corners = [(x2, y2), (x2 - 5, y2 - 8), (x2 + 5, y2 - 8)]
        pen.polygon([(x * k, y * k) for x, y in corners], fill=32)
    for b in boxes:
        _box(pen, b, k)
        pen.text(((b.x + 8) * k, (b.y + 5) * k), b.number, fill=0, font=ImageFont.load_default(16 * k))
        for i, line in enumerate(b.lines):
            pen.text(((b.x + 8) * k, (b.y + 25 + 15 * i) * k), line, fill=0, font=ImageFont.load_default(13 * k))
    stream = io.BytesIO()
    picture.save(stream, "PNG", optimize=False)
    return stream.getvalue()


def _box(pen: object, b: Place, k: int) -> None:
    from PIL import ImageDraw

    assert isinstance(pen, ImageDraw.ImageDraw)
    x1, y1, x2, y2 = b.x * k, b.y * k, (b.x + WIDE) * k, (b.y + HIGH) * k
    if not b.doubtful:
        pen.rectangle((x1, y1, x2, y2), outline=32, width=3)
        return
    for x in range(x1, x2, 20):
        pen.line((x, y1, min(x + 11, x2), y1), fill=32, width=3)
        pen.line((x, y2, min(x + 11, x2), y2), fill=32, width=3)
    for y in range(y1, y2, 20):
        pen.line((x1, y, x1, min(y + 11, y2)), fill=32, width=3)
        pen.line((x2, y, x2, min(y + 11, y2)), fill=32, width=3)
