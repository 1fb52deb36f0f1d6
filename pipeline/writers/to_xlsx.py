"""Workbooks and tables: every figure in a number cell, its unit beside it, and no text that a sheet would compute."""

from __future__ import annotations

import csv
import io
from typing import Any

from pipeline.printed import clean
from pipeline.report import Report
from pipeline.walk import IDENTITY_FIELDS, PROPERTIES, Walk, plain

Cell = str | int | float | None
SHEETS = {"specification": "Specification", "stations": "Stations", "equipment": "Equipment", "findings": "Findings"}
SPARE = 20
SPARE_ROWS: list[list[Cell]] = [[None] * 4 for _ in range(SPARE)]
"""Empty rows for figures that nobody spoke of."""


def tables(walk: Walk) -> dict[str, list[list[Cell]]]:
    """Rows of each table, headers first; facts that were taken back stand there, marked."""
    spec: list[list[Cell]] = [
        ["Id", "Of", "What", "Value", "To", "Unit", "Of thing", "About", "Each", "Qualifier", "Basis", "By", "Status",
         "Doubt", "At (s)", "Words"]
    ]  # fmt: skip
    for q in walk.quantities:
        spec.append([q.id, q.subject, q.property, q.value, q.value_max, q.unit, q.of, "yes" if q.approximate else None,
                     "yes" if q.each else None, q.qualifier, q.basis, q.by, q.status, q.doubt,
                     *_first(q.evidence)])  # fmt: skip
    stations: list[list[Cell]] = [["Line", "Word", "Number", "Role", "Status", "Doubt", "At (s)", "Words"]]
    for s in walk.sequences:
        for x in s.stations:
            stations.append([s.name, s.station_word, x.number, x.role, x.status, x.doubt, *_first(x.evidence)])
    things: list[list[Cell]] = [
        ["Id", "What", "Count", "About", "Included", "Reason", "Condition", "Material", "Defects", "Running", "Maker",
         "Model", "Serial", "Year", "Status", "Doubt", "At (s)", "Words"]
    ]  # fmt: skip
    for c in walk.components:
        things.append([c.id, c.name, c.count, "yes" if c.approximate else None, c.disposition, c.reason, c.condition,
                       c.material, "; ".join(c.defects) or None, c.running, c.maker, c.model, c.serial, c.year,
                       c.status, c.doubt, *_first(c.evidence)])  # fmt: skip
    findings: list[list[Cell]] = [["Id", "Level", "Rule", "Message", "Where to look", "At (s)", "Words"]]
    for f in walk.findings:
        findings.append([f.id, f.level, f.rule, f.message, f.where, *_first(f.evidence)])
    return {"specification": spec, "stations": stations, "equipment": things, "findings": findings}


def _first(evidence: Any) -> list[Cell]:
    return [round(evidence[0].start, 2), evidence[0].words] if evidence else [None, None]


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
    """The data workbook: a cover and one sheet for each table, filters on, headers frozen."""
    book = _book()
    cover = book.active
    cover.title = "Cover"
    for n, (a, b) in enumerate((("Report", report.title), *report.particulars), 1):
        _put(cover, n, 1, a)
        _put(cover, n, 2, b)
    cover.column_dimensions["A"].width, cover.column_dimensions["B"].width = 24, 70
    for key, rows in tables(walk).items():
        if len(rows) > 1:
            _sheet(book, SHEETS[key], rows)
    return _bytes(book)


def punch_list(walk: Walk) -> bytes:
    """The workbook to fill at the machine: what to find out, identity, figures to confirm, figures to add."""
    book = _book()
    book.remove(book.active)
    asks: list[list[Cell]] = [["Id", "Done (x)", "To find out", "Where to look", "Answer"]]
    asks += [[f.id, None, f.message, f.where, None] for f in walk.findings if f.level != "caution"]
    identity: list[list[Cell]] = [["Id", "What", "As said", "Correct entry"]]
    for name in IDENTITY_FIELDS:
        said = getattr(walk.identity, name)
        identity.append([f"identity:{name}", name, None if said is None else plain(said)["value"], None])
    figures: list[list[Cell]] = [["Id", "Confirmed (x)", "Of", "What", "As said", "Unit", "Correct value"]]
    figures += [[q.id, None, q.subject, q.property, q.value, q.unit, None] for q in walk.active]
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


def _sheet(book: Any, title: str, rows: list[list[Cell]]) -> Any:
    from openpyxl.styles import Alignment, Font
    from openpyxl.utils import get_column_letter

    sheet = book.create_sheet(title)
    wrap, bold = Alignment(wrap_text=True, vertical="top"), Font(bold=True)
    widths = [0] * len(rows[0])
    for n, row in enumerate(rows, 1):
        for i, value in enumerate(row):
            if value is None:
                continue
            cell = _put(sheet, n, i + 1, value)
            cell.alignment = wrap
            if n == 1:
                cell.font = bold
            widths[i] = max(widths[i], min(len(str(value)) + 3, 60))
    for i, width in enumerate(widths):
        sheet.column_dimensions[get_column_letter(i + 1)].width = max(9, width)
    sheet.freeze_panes = "A2"
    sheet.auto_filter.ref = f"A1:{get_column_letter(len(rows[0]))}{len(rows)}"
    sheet.print_title_rows = "1:1"
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    return sheet


def _bytes(book: Any) -> bytes:
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()
