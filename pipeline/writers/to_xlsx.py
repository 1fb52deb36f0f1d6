"""Workbooks and tables: every figure in a number cell, its unit beside it, and no text that a sheet would compute."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from typing import Any

from pipeline.printed import clean, clock
from pipeline.report_shapes import Report
from pipeline.unit_signs import sign
from pipeline.walk import IDENTITY_FIELDS, PROPERTIES, Walk, plain

Cell = str | int | float | None
SHEETS = {"specification": "Specification", "stations": "Stations", "equipment": "Equipment", "findings": "Findings"}
SPARE = 20
SPARE_ROWS: list[list[Cell]] = [[None] * 4 for _ in range(SPARE)]
"""Empty rows for figures that nobody spoke of."""


def tables(walk: Walk, *, printed: bool = False) -> dict[str, list[list[Cell]]]:
    """Rows of each table, headers first; facts that were taken back stand there, marked. Units as programs spell them
    and times in seconds, or, printed, as people read them.
    """
    at = "At" if printed else "At (s)"

    def unit(spelling: str) -> str:
        return sign(spelling) if printed else spelling

    def said(evidence: Any) -> list[Cell]:
        if not evidence:
            return [None, None]
        start = evidence[0].start
        return [clock(start) if printed else round(start, 2), evidence[0].words]

    spec: list[list[Cell]] = [
        ["Id", "Of", "What", "Value", "To", "Unit", "Of thing", "About", "Each", "Qualifier", "Basis", "By", "Status",
         "Doubt", at, "Words"]
    ]  # fmt: skip
    for q in walk.quantities:
        spec.append([q.id, q.subject, q.property, q.value, q.value_max, unit(q.unit), q.of,
                     "yes" if q.approximate else None, "yes" if q.each else None, q.qualifier, q.basis, q.by,
                     q.status, q.doubt, *said(q.evidence)])  # fmt: skip
    stations: list[list[Cell]] = [["Line", "Word", "Number", "Role", "Status", "Doubt", at, "Words"]]
    for s in walk.sequences:
        for x in s.stations:
            stations.append([s.name, s.station_word, x.number, x.role, x.status, x.doubt, *said(x.evidence)])
    things: list[list[Cell]] = [
        ["Id", "What", "Count", "About", "Included", "Reason", "Condition", "Material", "Defects", "Running", "Maker",
         "Model", "Serial", "Year", "Status", "Doubt", at, "Words"]
    ]  # fmt: skip
    for c in walk.components:
        things.append([c.id, c.name, c.count, "yes" if c.approximate else None, c.disposition, c.reason, c.condition,
                       c.material, "; ".join(c.defects) or None, c.running, c.maker, c.model, c.serial, c.year,
                       c.status, c.doubt, *said(c.evidence)])  # fmt: skip
    findings: list[list[Cell]] = [["Id", "Level", "Rule", "Message", "Where to look", at, "Words"]]
    for f in walk.findings:
        findings.append([f.id, f.level, f.rule, f.message, f.where, *said(f.evidence)])
    return {"specification": spec, "stations": stations, "equipment": things, "findings": findings}


def to_csv(walk: Walk, part: str) -> str:
    """One table as CSV; a text that begins like a formula gets an apostrophe, as spreadsheets expect."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    for row in tables(walk)[part]:
        writer.writerow([_guarded(c) for c in row])
    return stream.getvalue()


def _guarded(cell: Cell) -> Cell:
    if not isinstance(cell, str):
        return cell
    text = clean(cell, 30_000)
    return "'" + text if text[:1] in ("=", "+", "-", "@") else text


def workbook(walk: Walk, report: Report) -> bytes:
    """The data workbook: a cover and one sheet for each table, filters on, headers frozen; columns in which nothing
    stands, and the ids, are hidden."""
    book = _book()
    _notes(book.active, "Cover", [("Report", report.title), *report.particulars])
    for key, rows in tables(walk, printed=True).items():
        if len(rows) > 1:
            _sheet(book, SHEETS[key], rows, hide_empty=True)
    return _bytes(book)


def _notes(sheet: Any, title: str, lines: Iterable[tuple[str, str]]) -> None:
    """A sheet of labels and texts, to read and not to fill."""
    sheet.title = title
    for n, (label, text) in enumerate(lines, 1):
        _put(sheet, n, 1, label).font = _font(bold=True)
        _put(sheet, n, 2, text)
        for column in (1, 2):
            sheet.cell(n, column).alignment = _wrapped()
        sheet.row_dimensions[n].height = LINE * _lines_of(text, 70)
    sheet.column_dimensions["A"].width, sheet.column_dimensions["B"].width = 24, 70
    _paper(sheet, "portrait")


def punch_list(walk: Walk) -> bytes:
    """The workbook to fill at the machine: what to find out, identity, figures to confirm, figures to add."""
    book = _book()
    _notes(book.active, "How to fill", [
        ("What", "What to find out at the machine, and what was heard, to confirm or correct."),
        ("Fill", "The shaded cells alone. An x confirms a figure or marks a question as done."),
        ("Leave", "What you cannot see. Open, reach into, climb, enter, lift or run nothing to fill a blank."),
        ("Then", "tallywalk fill punch-list.xlsx reads it back; each entry is kept as written by hand, with its date."),
    ])  # fmt: skip
    asks: list[list[Cell]] = [["Id", "Done (x)", "To find out", "Where to look", "Answer"]]
    asks += [[f.id, None, f.message, f.where, None] for f in walk.findings if f.level != "caution"]
    identity: list[list[Cell]] = [["Id", "What", "As said", "Correct entry"]]
    for name in IDENTITY_FIELDS:
        said = getattr(walk.identity, name)
        identity.append([f"identity:{name}", name, None if said is None else plain(said)["value"], None])
    figures: list[list[Cell]] = [["Id", "Confirmed (x)", "Of", "What", "As said", "Unit", "Correct value"]]
    figures += [[q.id, None, q.subject, q.property, q.value, sign(q.unit), None] for q in walk.active]
    things: list[list[Cell]] = [["Id", "What", "Count as said", "Correct count", "Included as said", "Included?"]]
    things += [[c.id, c.name, c.count, None, c.disposition, None] for c in walk.present]
    new: list[list[Cell]] = [["Of", "What", "Value", "Unit"], *SPARE_ROWS]
    for title, rows, answers in (
        ("Punch list", asks, "BE"), ("Identity", identity, "D"), ("Figures", figures, "BG"),
        ("Equipment", things, "DF"),
        ("New figures", new, "ABCD"),
    ):  # fmt: skip
        sheet = _sheet(book, title, rows)
        _fillable(sheet, answers, len(rows))
        if rows[0][0] == "Id":
            sheet.column_dimensions["A"].hidden = True
    _choices(book["New figures"], "B", SPARE + 1, PROPERTIES)
    _choices(book["Equipment"], "F", max(2, len(things)), ("included", "excluded", "uncertain"))
    about = book.create_sheet("Source")
    _put(about, 1, 1, walk.source.sha256)
    about.sheet_state = "hidden"
    return _bytes(book)


def _choices(sheet: Any, column: str, last: int, values: Any) -> None:
    from openpyxl.worksheet.datavalidation import DataValidation

    text = ",".join(values)
    if len(text) > 250:  # the format's limit for a list of choices
        return
    rule = DataValidation(type="list", formula1=f'"{text}"', allow_blank=True)
    sheet.add_data_validation(rule)
    rule.add(f"{column}2:{column}{last}")


def _fillable(sheet: Any, columns: str, last: int) -> None:
    from openpyxl.styles import PatternFill

    shade = PatternFill("solid", fgColor="F3F3E6")
    for column in columns:
        if not str(sheet[f"{column}1"].value).endswith("(x)"):
            sheet.column_dimensions[column].width = max(24, sheet.column_dimensions[column].width)
        for n in range(2, last + 1):
            sheet[f"{column}{n}"].fill = shade


def _book() -> Any:
    from openpyxl import Workbook

    return Workbook()


def _put(sheet: Any, row: int, column: int, value: Cell) -> Any:
    cell = sheet.cell(row, column)
    if isinstance(value, str):
        cell.value = clean(value, 30_000)
        cell.data_type = "s"  # never a formula, whatever it begins with
    else:
        cell.value = value
    return cell


LINE = 15.0
"""Points of one line of a row. Rows without a height of their own are drawn over each other by some programs."""
WIDEST = 60
RULE, SHADE = "FF8A949E", "FFE9ECEF"


def _font(*, bold: bool = False) -> Any:
    from openpyxl.styles import Font

    return Font(name="Calibri", size=11, bold=bold)


def _wrapped(*, figures: bool = False) -> Any:
    from openpyxl.styles import Alignment

    # a figure stands at the right, a little apart from the unit beside it
    return Alignment(wrap_text=True, vertical="top", horizontal="right" if figures else None, indent=int(figures))


def _lines_of(text: str, wide: float) -> int:
    """About how many lines a text takes in a column so many characters wide; a sheet's row holds 27 at most."""
    return min(27, sum(-(-len(line) // max(1, int(wide) - 2)) or 1 for line in text.split("\n")))


def _sheet(book: Any, title: str, rows: list[list[Cell]], *, hide_empty: bool = False) -> Any:
    from openpyxl.styles import Border, PatternFill, Side
    from openpyxl.utils import get_column_letter

    sheet = book.create_sheet(title)
    wrap, right, plain_font, bold = _wrapped(), _wrapped(figures=True), _font(), _font(bold=True)
    rule = Border(bottom=Side(style="thin", color=RULE))
    shade = PatternFill("solid", fgColor=SHADE)
    widths = [max(9, *(min(len(str(row[i])) + 3, WIDEST) for row in rows if row[i] is not None))
              for i in range(len(rows[0]))]  # fmt: skip
    for n, row in enumerate(rows, 1):
        most = 1
        for i, value in enumerate(row):
            cell = sheet.cell(n, i + 1) if value is None else _put(sheet, n, i + 1, value)
            cell.border, cell.font = rule, bold if n == 1 else plain_font
            cell.alignment = right if isinstance(value, int | float) else wrap
            if n == 1:
                cell.fill = shade
            if isinstance(value, str):
                most = max(most, _lines_of(value, widths[i]))
        sheet.row_dimensions[n].height = LINE * most
    for i, width in enumerate(widths):
        column = sheet.column_dimensions[get_column_letter(i + 1)]
        column.width = width
        empty = all(row[i] is None or row[i] == "" for row in rows[1:])
        column.hidden = hide_empty and (empty or rows[0][i] == "Id")
    sheet.freeze_panes = "A2"
    sheet.auto_filter.ref = f"A1:{get_column_letter(len(rows[0]))}{len(rows)}"
    sheet.print_title_rows = "1:1"
    _paper(sheet, "landscape")
    return sheet


def _paper(sheet: Any, orientation: str) -> None:
    """As wide as a page, as long as it gets, numbered at the foot."""
    sheet.page_setup.orientation = orientation
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.oddFooter.center.text = "&A, page &P of &N"


def _bytes(book: Any) -> bytes:
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()
