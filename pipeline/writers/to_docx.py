"""A report as a docx to edit and sign: styles and not hard formatting, headings that navigate, tables that repeat."""

from __future__ import annotations

import io
from collections.abc import Sequence as Many
from datetime import datetime
from pathlib import Path
from typing import Any

from pipeline.drawing import Plan, alt, png
from pipeline.report_shapes import Picture, Report, Table

INK = "1F2933"
RULE = "8A949E"
SHADE = "E9ECEF"
FONT = "Arial"
"""On Windows and macOS; where it is not, Liberation Sans, which has its widths, takes its place."""
PAPER = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Millimetres. ISO 216; ANSI/ASME Y14.1."""
MARGIN = 19.0


def to_docx(report: Report, *, plan: Many[Plan] = ()) -> bytes:
    """The document's bytes. Raises ValueError where the letterhead is refused."""
    import docx
    from docx.shared import Mm

    from pipeline.writers.profile import letterhead

    own = report.profile
    document = docx.Document(letterhead(Path(own.template)) if own.template else None)
    page = document.sections[0]
    _without_leftovers(document, own.template != "")
    if own.template:
        _empty(document)
    else:
        width, height = PAPER[own.paper]
        page.page_width, page.page_height = Mm(width), Mm(height)
        page.left_margin = page.right_margin = Mm(MARGIN)
        page.top_margin = page.bottom_margin = Mm(MARGIN)
        _styles(document)
        _footer(document, report)
    room = (page.page_width - page.left_margin - page.right_margin) / 36000
    about = document.core_properties
    about.title, about.author, about.last_modified_by = report.title, own.issuer[:200], own.issuer[:200]
    about.comments, about.subject = "", report.subtitle
    about.created = about.modified = datetime.fromisoformat(dict(report.particulars)["Date of issue"])
    if own.logo and Path(own.logo).is_file():
        document.add_picture(own.logo, height=Mm(18))
    document.add_paragraph(report.title, style="Title")
    document.add_paragraph(
        report.subtitle + (", edition to hand out" if report.edition == "hand-out" else ", working edition"),
        style="Subtitle",
    )
    block = Table(("", ""), (30, 70), (), timed=False)
    _table(document, block, room, rows=[list(p) for p in report.particulars], bold_first=True)
    if report.cover is not None:
        _gap(document)
        _picture(document.add_paragraph(), report.cover, room)
    for section in report.sections:
        if section.new_page:
            _sheet(document, report, room)
        heading = document.add_heading(section.title, level=1)
        # a few lines need no page of their own
        heading.paragraph_format.page_break_before = section.new_page and _long(section.tables)
        for text in section.paragraphs:
            paragraph = document.add_paragraph(text)
            paragraph.paragraph_format.keep_with_next = bool(section.tables)
        if section.key.startswith("stations-"):
            _plan(document, plan[int(section.key.rpartition("-")[2])], room)
        for table in section.tables:
            if table.rows:
                rows = [
                    [*r.cells, *([", ".join(m.label for m in r.moments)] if table.timed else [])] for r in table.rows
                ]
                _table(document, table, room, rows=rows)
                _gap(document)
    if not any(s.new_page for s in report.sections):
        _sheet(document, report, room)
    stream = io.BytesIO()
    document.save(stream)
    return stream.getvalue()


def _long(tables: tuple[Table, ...]) -> bool:
    return sum(len(c) for t in tables for r in t.rows for c in r.cells) > 1500


def _gap(document: Any) -> None:
    """Word joins two tables that no paragraph parts; this one is as low as a rule."""
    from docx.enum.text import WD_LINE_SPACING
    from docx.shared import Pt

    form = document.add_paragraph().paragraph_format
    form.line_spacing_rule, form.line_spacing = WD_LINE_SPACING.EXACTLY, Pt(4)
    form.space_before = form.space_after = Pt(0)


def _picture(paragraph: Any, picture: Picture, widest: float) -> None:
    """The picture in its paragraph, no wider than that and no higher than 80 mm, with its caption as alt text."""
    from docx.shared import Mm

    shape = paragraph.add_run().add_picture(io.BytesIO(picture.jpeg), width=Mm(widest))
    if shape.height > Mm(80):
        shape.width, shape.height = int(shape.width * Mm(80) / shape.height), Mm(80)
    shape._inline.docPr.set("descr", picture.caption)
    paragraph.paragraph_format.keep_with_next = True


def _sheet(document: Any, report: Report, room: float) -> None:
    """All pictures, two in a row, each above its caption."""
    if not report.pictures:
        return
    from docx.oxml import OxmlElement

    document.add_heading("Pictures", level=1)
    grid = document.add_table(rows=-(-len(report.pictures) // 2), cols=2)
    cells = [c for row in grid.rows for c in row.cells]
    for row in grid.rows:
        row._tr.get_or_add_trPr().append(OxmlElement("w:cantSplit"))
    for cell, picture in zip(cells, report.pictures, strict=False):
        _picture(cell.paragraphs[0], picture, room / 2 - 6)
        cell.add_paragraph(picture.caption)


def _plan(document: Any, plan: Plan, room: float) -> None:
    from docx.shared import Mm

    drawn = png(plan)
    if drawn is None:
        return
    # a picture of exactly the room's width is pushed over the margin
    document.add_picture(io.BytesIO(drawn), width=Mm(room - 4))
    document.inline_shapes[-1]._inline.docPr.set("descr", alt(plan))


def _without_leftovers(document: Any, of_a_person: bool) -> None:
    """Parts that word processors take for damage or that show another document: a copy of the styles that no longer
    agrees with them, and of the library's own template also its preview picture and an empty bibliography.
    """
    for holder in (document.part, document.part.package):
        for key, relation in list(holder.rels.items()):
            kind = relation.reltype.rpartition("/")[2]
            if kind == "stylesWithEffects" or (not of_a_person and kind in ("thumbnail", "customXml")):
                del holder.rels[key]


def _empty(document: Any) -> None:
    """A letterhead's own body goes; its last section (paper, header, footer) stays."""
    body = document.element.body
    for child in list(body):
        if not child.tag.endswith("}sectPr"):
            body.remove(child)


def _styles(document: Any) -> None:
    from docx.oxml.ns import qn
    from docx.shared import Pt, RGBColor

    for name, size, bold, before, after in (
        ("Normal", 9.5, None, 0, 3), ("Title", 22, True, 0, 2), ("Subtitle", 11, False, 0, 8),
        ("Heading 1", 13, True, 14, 4),
    ):  # fmt: skip
        style = document.styles[name]
        style.font.name = FONT
        fonts = style.element.get_or_add_rPr().get_or_add_rFonts()
        for kind in ("ascii", "hAnsi", "cs", "eastAsia"):
            fonts.set(qn(f"w:{kind}"), FONT)
        for kind in ("asciiTheme", "hAnsiTheme", "cstheme", "eastAsiaTheme"):
            fonts.attrib.pop(qn(f"w:{kind}"), None)
        style.font.size, style.font.italic = Pt(size), False
        style.font.color.rgb = RGBColor.from_string(INK)
        # the library's own template spaces a subtitle's letters apart and rules a title off in blue
        for kind in ("w:spacing", "w:kern"):
            for element in style.element.get_or_add_rPr().findall(qn(kind)):
                element.getparent().remove(element)
        for element in style.element.get_or_add_pPr().findall(qn("w:pBdr")):
            element.getparent().remove(element)
        if bold is not None:
            style.font.bold = bold
        style.paragraph_format.space_before, style.paragraph_format.space_after = Pt(before), Pt(after)


def _footer(document: Any, report: Report) -> None:
    from docx.oxml import OxmlElement
    from docx.oxml.ns import qn

    paragraph = document.sections[0].footer.paragraphs[0]
    number = dict(report.particulars)["Report number"]
    paragraph.add_run(f"{number} · {report.title[:70]} · page ")
    for kind in ("PAGE", "NUMPAGES"):
        if kind == "NUMPAGES":
            paragraph.add_run(" of ")
        field = OxmlElement("w:fldSimple")
        field.set(qn("w:instr"), kind)
        run = OxmlElement("w:r")
        text = OxmlElement("w:t")
        text.text = "1"
        run.append(text)
        field.append(run)
        paragraph._p.append(field)


def _table(document: Any, table: Table, room: float, *, rows: list[list[str]], bold_first: bool = False) -> None:
    """A table with its header; widths in shares of the room (mm)."""
    from docx.enum.table import WD_TABLE_ALIGNMENT
    from docx.oxml import OxmlElement
    from docx.oxml.ns import qn
    from docx.shared import Mm, Pt

    headers = [*table.headers, *(["At"] if table.timed else [])]
    headed = any(table.headers)
    # room for as many times side by side as the fullest row has
    most = max((r[-1].count(",") + 1 for r in rows), default=1) if table.timed else 0
    shares = [*table.shares, *([(9, 14, 18)[min(most, 3) - 1]] if table.timed else [])]
    widths = [room * s / sum(shares) for s in shares]
    grid = document.add_table(rows=len(rows) + headed, cols=len(headers))
    grid.style = "Table Grid" if "Table Grid" in [s.name for s in document.styles] else None
    grid.autofit = False
    grid.alignment = WD_TABLE_ALIGNMENT.CENTER
    _borders(grid)
    for column, width in zip(grid.columns, widths, strict=True):
        column.width = Mm(width)
    texts = [headers, *rows] if headed else rows
    last = len(texts) - 1
    # a short table stays together; of a long one neither the first rows nor the last stand alone
    short = sum(max(_lines(t, w) for t, w in zip(r, widths, strict=True)) for r in texts) <= 16
    for n, (row, cells) in enumerate(zip(grid.rows, texts, strict=True)):
        properties = row._tr.get_or_add_trPr()
        properties.append(OxmlElement("w:cantSplit"))
        if headed and n == 0:
            properties.append(OxmlElement("w:tblHeader"))
        for place, (cell, text, width) in enumerate(zip(row.cells, cells, widths, strict=True)):
            cell.width = Mm(width)
            paragraph = cell.paragraphs[0]
            paragraph.paragraph_format.space_before = paragraph.paragraph_format.space_after = Pt(2)
            if n < last and (short or n < 2 or n > last - 2):
                paragraph.paragraph_format.keep_with_next = True
            run = paragraph.add_run(text)
            run.font.size = Pt(8.5)
            if (headed and n == 0) or (place == 0 and (bold_first or not headed)):
                run.font.bold = True
            if headed and n == 0:
                shade = OxmlElement("w:shd")
                shade.set(qn("w:val"), "clear")
                shade.set(qn("w:color"), "auto")
                shade.set(qn("w:fill"), SHADE)
                cell._tc.get_or_add_tcPr().append(shade)


def _lines(text: str, wide: float) -> int:
    """About how many lines a text takes in a cell so many millimetres wide, at 8.5 points."""
    return sum(-(-len(line) // max(1, int(wide / 1.6))) or 1 for line in text.split("\n"))


def _borders(grid: Any) -> None:
    """Thin rules between rows and none between columns: reads well in black and white."""
    from docx.oxml import OxmlElement
    from docx.oxml.ns import qn

    borders = OxmlElement("w:tblBorders")
    for side in ("top", "left", "bottom", "right", "insideH", "insideV"):
        line = OxmlElement(f"w:{side}")
        line.set(qn("w:val"), "nil" if side in ("left", "right", "insideV") else "single")
        if side not in ("left", "right", "insideV"):
            line.set(qn("w:sz"), "4")
            line.set(qn("w:space"), "0")
            line.set(qn("w:color"), RULE)
        borders.append(line)
    properties = grid._tbl.tblPr
    layout = properties.find(qn("w:tblLayout"))
    look = properties.find(qn("w:tblLook"))
    (layout if layout is not None else look).addprevious(borders)
