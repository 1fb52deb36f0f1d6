"""The workbook: specification, stations, equipment, findings and a punch list to fill on a tablet; and the same as CSV.

Figures are number cells with their units in a column of their own. Text never becomes a formula: every text cell is
written as text, and a CSV cell that a spreadsheet would take for a formula gets an apostrophe before it.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from extractors.words import Evidence
from pipeline.paper_words import clean, clock
from pipeline.walk import Walk

PUNCH = "Punch list"
LONGEST = 1000
"""Characters of a cell; a spreadsheet holds 32,767, nobody reads more than this in one."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet: title, headers with widths in characters, rows of cells (text, number or None)."""

    title: str
    headers: tuple[tuple[str, int], ...]
    rows: tuple[tuple[Any, ...], ...]


def sheets(walk: Walk) -> tuple[Sheet, ...]:
    """The tables of a walk; empty ones are left out, but the punch list is always there."""
    made = (
        Sheet(
            "Specification",
            (("Of", 28), ("What", 16), ("Value", 12), ("To", 10), ("Unit", 18), ("About", 8), ("Status", 12), ("Basis", 12), ("Doubt", 30), ("At", 8), ("Words", 46), ("Id", 8)),
            tuple(
                (q.subject, q.property, q.value, q.value_max, q.unit, "yes" if q.approximate else None, q.status, q.basis, q.doubt, _at(q.evidence), _words(q.evidence), q.id)
                for q in walk.quantities
            ),
        ),
        Sheet(
            "Stations",
            (("Line", 22), ("Number", 9), ("Role", 34), ("Status", 12), ("Doubt", 28), ("At", 8)),
            tuple((s.name, x.number, x.role, x.status, x.doubt, _at(x.evidence)) for s in walk.sequences for x in s.stations),
        ),
        Sheet(
            "Equipment",
            (("Name", 30), ("Count", 8), ("Included", 12), ("Reason", 24), ("Condition", 24), ("Material", 16), ("Defects", 30), ("Maker", 16), ("Model", 16), ("Serial", 16), ("Status", 12), ("Doubt", 24), ("At", 8), ("Id", 8)),
            tuple(
                (c.name, c.count, c.disposition, c.reason, c.condition, c.material, "; ".join(c.defects) or None, c.maker, c.model, c.serial, c.status, c.doubt, _at(c.evidence), c.id)
                for c in walk.components
            ),
        ),
        Sheet(
            "Findings",
            (("Kind", 12), ("What", 70), ("Rule", 28), ("Offers", 50), ("At", 8), ("Id", 14)),
            tuple((f.level, f.message, f.rule, "; ".join(o.why for o in f.offers) or None, _at(f.evidence), f.id) for f in walk.findings),
        ),
        Sheet(
            PUNCH,
            (("Done", 8), ("To find out", 60), ("Where to look", 40), ("Answer", 24), ("Unit", 14), ("Remark", 30), ("Id", 14)),
            tuple((None, f.message, f.where, None, None, None, f.id) for f in walk.findings if f.level in ("conflict", "check", "missing")),
        ),
    )  # fmt: skip
    return tuple(s for s in made if s.rows or s.title == PUNCH)


def _at(evidence: tuple[Evidence, ...]) -> str | None:
    return clock(evidence[0].start) if evidence else None


def _words(evidence: tuple[Evidence, ...]) -> str | None:
    return evidence[0].words if evidence else None


def to_xlsx(walk: Walk) -> bytes:
    """The workbook as bytes."""
    import openpyxl
    from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
    from openpyxl.utils import get_column_letter

    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    line = Side(style="thin", color="999999")
    for sheet in sheets(walk):
        page = book.create_sheet(sheet.title)
        page.append([h for h, _ in sheet.headers])
        for row in sheet.rows:
            page.append([None] * len(row))
            for n, value in enumerate(row, 1):
                cell = page.cell(page.max_row, n)
                if isinstance(value, str):
                    cell.value = clean(value, LONGEST)
                    cell.data_type = "s"  # never a formula, whatever the words begin with
                else:
                    cell.value = value
        for n, (_, width) in enumerate(sheet.headers, 1):
            page.column_dimensions[get_column_letter(n)].width = width
        for cells in page.iter_rows():
            for cell in cells:
                cell.alignment = Alignment(wrap_text=True, vertical="top")
                cell.border = Border(bottom=line)
        for cell in page[1]:
            cell.font = Font(bold=True)
            cell.fill = PatternFill("solid", fgColor="E6E6E6")
        page.freeze_panes = "A2"
        page.auto_filter.ref = page.dimensions
        page.page_setup.orientation = "landscape"
        page.page_setup.fitToWidth, page.page_setup.fitToHeight = 1, 0
        page.sheet_properties.pageSetUpPr.fitToPage = True
        page.print_title_rows = "1:1"
        if sheet.title == PUNCH:
            for r in range(2, page.max_row + 1):
                page.row_dimensions[r].height = 45
            page.column_dimensions[get_column_letter(len(sheet.headers))].hidden = True
    book.properties.creator = "tallywalk"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def to_csv(sheet: Sheet) -> bytes:
    """One sheet as CSV in UTF-8 with a byte order mark, as spreadsheets want it."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow([h for h, _ in sheet.headers])
    for row in sheet.rows:
        writer.writerow([_cell(v) for v in row])
    return out.getvalue().encode("utf-8-sig")


def _cell(value: Any) -> Any:
    if not isinstance(value, str):
        return value
    text = clean(value, LONGEST)
    return f"'{text}" if re.match(r"[=+\-@\t\r]", text) else text


def filled(data: bytes) -> Iterator[tuple[str, bool, str, str, str]]:
    """What a person wrote in the punch list: (finding's id, done, answer, unit, remark), rows with nothing left out.

    Unpacking is bounded; raises ValueError for a file that is no such workbook.
    """
    import zipfile

    import openpyxl

    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        if sum(i.file_size for i in archive.infolist()) > 64 * 2**20:
            raise ValueError("it unpacks to over 64 MB")
    book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True)
    try:
        if PUNCH not in book.sheetnames:
            raise ValueError(f"it has no sheet {PUNCH!r}")
        rows = book[PUNCH].iter_rows(values_only=True, max_row=20_000)
        head = [str(h) for h in next(rows, ())]
        want = ("Done", "Answer", "Unit", "Remark", "Id")
        if any(w not in head for w in want):
            raise ValueError(f"the columns of {PUNCH!r} were changed")
        at = {w: head.index(w) for w in want}
        for row in rows:
            done, answer, unit, remark, name = ("" if row[at[w]] is None else str(row[at[w]]).strip() for w in want)
            if name and (done or answer or remark):
                yield name, bool(done), answer[:LONGEST], unit[:80], remark[:LONGEST]
    finally:
        book.close()
