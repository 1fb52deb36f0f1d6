"""A paper as a second visit: a specification sheet or an old listing (docx, xlsx, csv, text) to lines of words.

A paper has no seconds: its lines stand for them, so that "0:07" in its evidence is line 7. Unpacking is bounded, as an
office file is an archive from someone else.
"""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Iterator
from pathlib import Path

from extractors.words import Transcript, Word
from pipeline.errors import InputError

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


def read_paper(path: Path) -> Transcript:
    """The lines of a paper, each a paragraph; cells of a row are joined. Raises InputError."""
    ending = path.suffix.lower()
    try:
        if ending in (".docx", ".xlsx"):
            _bounded(path)
            lines = list(_docx(path) if ending == ".docx" else _xlsx(path))
        else:
            text = path.read_text(encoding="utf-8-sig")
            if ending == ".csv":
                lines = [_row(cells) for cells in csv.reader(io.StringIO(text))]
            else:
                lines = text.splitlines()
    except InputError:
        raise
    except UnicodeDecodeError as error:
        raise InputError(f"{path.name}: this is no text in UTF-8 (byte {error.start})") from error
    except zipfile.BadZipFile as error:
        raise InputError(
            f"{path.name}: this is no {ending[1:]} file, or it is damaged or locked with a password",
            remedy="Open it in the program that made it and save it again, or save it as text.",
        ) from error
    except Exception as error:  # office libraries raise whatever their parsers met
        raise InputError(f"{path.name}: cannot be read as {ending[1:]} ({type(error).__name__})") from error
    if len(lines) > LINES:
        raise InputError(f"{path.name}: over {LINES:,} lines is no paper about one machine")
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


def _row(cells: list[str]) -> str:
    """A row as one line: the first cell names what the rest say."""
    full = [c.strip() for c in cells if c and c.strip()]
    return f"{full[0].rstrip(':')}: {' '.join(full[1:])}" if len(full) > 1 else "".join(full)


def _docx(path: Path) -> Iterator[str]:
    import docx
    from docx.table import Table
    from docx.text.paragraph import Paragraph

    for block in docx.Document(str(path)).iter_inner_content():
        if isinstance(block, Paragraph):
            yield block.text
        elif isinstance(block, Table):
            for row in block.rows:
                yield _row([cell.text for cell in row.cells])


def _xlsx(path: Path) -> Iterator[str]:
    import openpyxl

    book = openpyxl.load_workbook(path, read_only=True, data_only=True)
    try:
        for sheet in book.worksheets:
            for row in sheet.iter_rows(values_only=True):
                yield _row(["" if v is None else str(v) for v in row])
    finally:
        book.close()
