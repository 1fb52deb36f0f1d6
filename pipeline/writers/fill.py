"""A punch list that a person filled in, read back with bounds: what was answered, as plain values."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from pipeline.errors import UsageError

LARGEST = 50 << 20
"""Bytes of a workbook, unpacked."""
MOST_ROWS = 20_000
NO_PUNCH_LIST = "Give the punch-list.xlsx that tallywalk wrote, filled in."


@dataclass(frozen=True, slots=True)
class Entry:
    """One answer: act, what it is about (a reference, "" for a new figure), what it sets, and a note."""

    act: str
    kind: str
    ref: str
    set: dict[str, Any] = field(default_factory=dict)
    why: str = ""


def read_filled(path: Path) -> tuple[str, tuple[Entry, ...]]:
    """sha256 of the recording that the list is of, and its answers in order. Raises UsageError."""
    try:
        data = path.read_bytes()
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            # sizes are counted while unpacking: what the archive says of itself may be a lie
            left = LARGEST
            for info in archive.infolist():
                with archive.open(info) as file:
                    while piece := file.read(1 << 16):
                        left -= len(piece)
                        if left < 0:
                            raise UsageError(f"{path}: unpacks to more than {LARGEST >> 20} MB", remedy=NO_PUNCH_LIST)
        return _read(data)
    except OSError as error:
        raise UsageError(f"{path}: cannot be read ({error.strerror})", remedy=NO_PUNCH_LIST) from error
    except UsageError:
        raise
    except Exception as error:  # openpyxl raises whatever a broken part makes of it
        raise UsageError(f"{path}: this is no punch list ({error})"[:300], remedy=NO_PUNCH_LIST) from error


def _read(data: bytes) -> tuple[str, tuple[Entry, ...]]:
    from openpyxl import load_workbook

    book = load_workbook(io.BytesIO(data), read_only=True, data_only=True)
    names = ("Punch list", "Identity", "Figures", "Equipment", "New figures")
    source = next(iter(_rows(book, "Source", headed=False)))[0]
    readers = (_ask, _identity, _figure, _thing, _new)
    found = [e for name, read in zip(names, readers, strict=True) for row in _rows(book, name) for e in read(row)]
    return str(source), tuple(found)


def _rows(book: Any, name: str, *, headed: bool = True) -> Iterator[list[Any]]:
    for row in book[name].iter_rows(min_row=2 if headed else 1, max_row=MOST_ROWS, max_col=8, values_only=True):
        cells = [c.strip() if isinstance(c, str) else c for c in row]
        yield [None if c == "" else c for c in cells] + [None] * (8 - len(cells))


def _ask(row: list[Any]) -> Iterator[Entry]:
    if row[0] and (row[1] or row[4] is not None):
        yield Entry("settle", "finding", str(row[0]), why="" if row[4] is None else str(row[4]))


def _identity(row: list[Any]) -> Iterator[Entry]:
    if row[0] and row[3] is not None:
        value = row[3] if isinstance(row[3], int) and not isinstance(row[3], bool) else str(row[3])
        changes = {"value": value}
        if row[2] is None:
            yield Entry("add", "identity", str(row[0]), {"field": str(row[0]).removeprefix("identity:"), **changes})
        else:
            yield Entry("change", "identity", str(row[0]), changes)


def _figure(row: list[Any]) -> Iterator[Entry]:
    if row[0] and row[6] is not None:
        yield Entry("change", "quantity", str(row[0]), {"value": row[6], "value_max": None})
    elif row[0] and row[1]:
        yield Entry("confirm", "quantity", str(row[0]))


def _thing(row: list[Any]) -> Iterator[Entry]:
    changes = {name: v for name, v in (("count", row[3]), ("disposition", row[5])) if v is not None}
    if row[0] and changes:
        yield Entry("change", "component", str(row[0]), changes)


def _new(row: list[Any]) -> Iterator[Entry]:
    if row[2] is not None:
        yield Entry("add", "quantity", "", {"subject": str(row[0] or ""), "property": row[1] or "other",
                                            "value": row[2], "unit": str(row[3] or "")})  # fmt: skip
