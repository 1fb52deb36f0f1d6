"""A paper as a second visit: a specification sheet or an old listing (docx, xlsx, csv, text) to lines of words.

A paper has no seconds: its lines stand for them, so that "0:07" in its evidence is line 7. Unpacking is bounded, as an
office file is an archive from someone else.
"""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from extractors.words import Transcript, Word
from pipeline.errors import InputError
from pipeline.paper_rows import columns, spoken, unwrapped
from vocab import Vocabulary

ENDINGS = {".docx", ".xlsx", ".csv", ".md", ".text", ".txt"}
UNPACKED = 64 * 2**20
"""Bytes that an office file may hold unpacked; a specification sheet has a few hundred kB."""
LINES = 20_000


def is_paper(path: Path) -> bool:
    """Whether a file is a paper; a text file with [m:ss] stamps is a transcript and no paper."""
    if path.suffix.lower() not in ENDINGS:
        return False
    if path.suffix.lower() == ".txt":
        from pipeline.timed_text import STAMP

        with path.open(encoding="utf-8", errors="replace") as file:
            return not any(STAMP.match(file.readline().strip()) for _ in range(5))
    return True


def read_paper(path: Path, vocabulary: Vocabulary) -> Transcript:
    """The rows of a paper, each a paragraph, as a person would read them out (paper_rows.py). Raises InputError."""
    ending = path.suffix.lower()
    try:
        if ending in (".docx", ".xlsx"):
            _bounded(path)
            rows = list(_docx(path) if ending == ".docx" else _xlsx(path))
        else:
            text = _decoded(path)
            rows = list(_separated(text)) if ending == ".csv" else unwrapped(text.splitlines())
    except InputError:
        raise
    except zipfile.BadZipFile as error:
        raise InputError(
            f"{path.name}: this is no {ending[1:]} file, or it is damaged or locked with a password",
            remedy="Open it in the program that made it and save it again, or save it as text.",
        ) from error
    except Exception as error:  # office libraries raise whatever their parsers met
        raise InputError(f"{path.name}: cannot be read as {ending[1:]} ({type(error).__name__})") from error
    if len(rows) > LINES:
        raise InputError(f"{path.name}: over {LINES:,} lines is no paper about one machine")
    lines = spoken(rows, vocabulary)
    words: list[Word] = []
    breaks: list[int] = []
    for number, line in enumerate(lines, 1):
        parts = line.split()
        if parts:
            breaks.append(len(words))
            if parts[-1][-1:] not in ".?!":
                parts[-1] += "."  # a line of a paper is a sentence
            step = 0.9 / len(parts)
            words += [Word(p, number + i * step, number + (i + 1) * step) for i, p in enumerate(parts)]
    if not words:
        raise InputError(f"{path.name}: no words in it")
    return Transcript(tuple(words), tuple(breaks), duration=words[-1].end)


def _bounded(path: Path) -> None:
    with zipfile.ZipFile(path) as archive:
        if sum(item.file_size for item in archive.infolist()) > UNPACKED:
            raise InputError(f"{path.name}: unpacks to over {UNPACKED >> 20} MB")


def _decoded(path: Path) -> str:
    """The text of a file, in the encodings that spreadsheets and editors save. Raises InputError."""
    raw = path.read_bytes()
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff") and len(raw) % 2 == 0:
        return raw.decode("utf-16", errors="replace")
    if b"\0" in raw:
        raise InputError(f"{path.name}: this is no text", remedy="Save it as text in UTF-8.")
    for encoding in ("utf-8-sig", "cp1252"):
        try:
            return raw.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise InputError(f"{path.name}: this is no text in UTF-8", remedy="Save it as text in UTF-8.")


def _separated(text: str) -> Iterator[list[str]]:
    """Rows of a csv, by whichever sign parts the most of its first lines: comma, semicolon or tab."""
    first = text.splitlines()[:20]
    sign = max(",;\t", key=lambda c: (sum(c in line for line in first), sum(line.count(c) for line in first)))
    yield from csv.reader(io.StringIO(text), delimiter=sign)


def _docx(path: Path) -> Iterator[list[str]]:
    import docx
    from docx.table import Table
    from docx.text.paragraph import Paragraph

    for block in docx.Document(str(path)).iter_inner_content():
        if isinstance(block, Paragraph):
            yield from (columns(line) for line in block.text.splitlines() or [""])
        elif isinstance(block, Table):
            for row in block.rows:
                yield [c.text for n, c in enumerate(row.cells) if not n or c._tc is not row.cells[n - 1]._tc]
            yield []


def _xlsx(path: Path) -> Iterator[list[str]]:
    import openpyxl

    book = openpyxl.load_workbook(path, read_only=True, data_only=True)
    try:
        for sheet in book.worksheets:
            for row in sheet.iter_rows(values_only=True):
                yield ["" if v is None else _value(v) for v in row]
            yield []
    finally:
        book.close()


def _value(value: object) -> str:
    """A cell of a workbook as it is shown: 3.0 is "3", a date its day."""
    if isinstance(value, float):
        return f"{value:.10g}"
    return value.date().isoformat() if isinstance(value, datetime) else str(value)
