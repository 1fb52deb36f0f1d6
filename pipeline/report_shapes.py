"""What a report is made of: moments, rows, tables, sections, the user's particulars, pictures. Frozen shapes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pipeline.printed import Numbers, clock

Edition = Literal["working", "hand-out"]


BLANK = "____________________"


BOX = "☐"


AS_SPOKEN = "as spoken, not checked against the plate"


@dataclass(frozen=True, slots=True)
class Moment:
    """The second of a recording at which something was said."""

    start: float
    recording: str | None = None

    @property
    def label(self) -> str:
        return clock(self.start)


@dataclass(frozen=True, slots=True)
class Row:
    """One row; as many cells as the table has headers, lines of a cell parted by a newline. moments stand in the last
    column of the table."""

    cells: tuple[str, ...]
    moments: tuple[Moment, ...] = ()
    fact: str = ""
    """Id of the fact or finding that the row states."""
    doubtful: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    headers: tuple[str, ...]
    """Without the column of times, which writers add where timed."""
    shares: tuple[int, ...]
    """Relative widths."""
    rows: tuple[Row, ...]
    timed: bool = True


@dataclass(frozen=True, slots=True)
class Section:
    """A headed part of the report; without paragraphs and tables it is left out."""

    key: str
    title: str
    paragraphs: tuple[str, ...] = ()
    tables: tuple[Table, ...] = ()
    new_page: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """The user's own particulars; empty ones become blanks."""

    issuer: str = ""
    address: str = ""
    signatory: str = ""
    logo: str = ""
    """Path of a picture."""
    template: str = ""
    """Path of a docx whose styles, margins, header and footer are used."""
    paper: Literal["A4", "Letter"] = "A4"
    pdf: bool = False
    """Whether a pdf is made as well, where LibreOffice is present: it takes seconds."""
    pictures: bool = True
    """False leaves all pictures out."""
    appraisal: bool = False
    """Whether the user makes it an appraisal of value: blanks for what one must state then stand in the report."""
    units: Literal["", "metric", "customary"] = ""
    """Which figure stands first; "" leaves the stated one first."""
    numbers: Numbers = "1,234.5"
    """How figures are written, by example."""
    camera_ahead_s: float = 0.0
    """Seconds by which the camera's clock is ahead of the recorder's, to place photos by their time."""
    withhold: tuple[str, ...] = ()
    """Names and words of the user's own that are kept out of what is handed out."""
    show_location: bool = False
    show_serial: bool = False
    show_price: bool = False


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture of what was spoken of, without any data about its place."""

    caption: str
    jpeg: bytes
    start: float | None = None
    """Second of the recording; None for a photo."""
    file: str = ""
    """Its name in the walk's folder."""
    worth: float = 0.0
    """How sharp and well exposed it is; 0 for a photo."""


@dataclass(frozen=True, slots=True)
class Report:
    title: str
    subtitle: str
    edition: Edition
    profile: Profile
    particulars: tuple[tuple[str, str], ...]
    """The title block: label and value or blank."""
    sections: tuple[Section, ...]
    source: str
    """File name of the recording, for the moments."""
    pictures: tuple[Picture, ...] = ()
    """All of them stand on a sheet, one of them on the cover."""

    @property
    def cover(self) -> Picture | None:
        """A photo named cover, else the sharpest frame, else the first photo."""
        named = [p for p in self.pictures if p.caption.lower().startswith("cover")]
        return named[0] if named else max(self.pictures, key=lambda p: p.worth, default=None)
