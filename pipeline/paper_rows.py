"""Rows of a sheet as sentences: what a table, a nameplate or a list says by its place is said in words. Pure.

A sheet has its own grammar: the head of a column names what stands under it and holds its unit, a plate writes the unit
before its figure, a list has its counts in a column. Readers of talk know none of this, so each row becomes what a
person would say who reads it out: "tank 1 is Degrease, length 2400mm", "4 Filter pump, power 1.5kW", "55 KW, 75 HP".
Words of sheets are in vocab/papers.toml. Common practice of sheets, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from vocab import Vocabulary

Row = Sequence[str]
"""The cells of one row, in order; a line of text is a row of one cell."""

NUMBER = r"[-+]?\d[\d,.]*"
FIGURE = re.compile(rf"{NUMBER}(?:\s*(?:to|[-–])\s*{NUMBER})?")
UNIT_IN_HEAD = re.compile(r"^(.*?)\s*(?:[\[(]\s*([^\])]{1,12})\s*[\])]|,\s*(?:in\s+)?([^\s,]{1,8}))$")
THOUSANDS = re.compile(r"(?<=\d)[\u00a0\u2009\u202f](?=\d{3}\b)")
DOT_THOUSANDS = re.compile(r"(?<=\d)\.(?=\d{3}(?![\d.,]))")
"""Only where figures of the same sheet have decimal commas."""
DECIMAL_COMMA = re.compile(r"(?<![\d,.])(\d{1,3}),(\d{1,2})(?![\d,])")
SPAN = re.compile(rf"({NUMBER})\s*(?:\s-\s|–|—|\.\.\.?|…)\s*(?={NUMBER})")
TIMES = re.compile(r"(?<=[\d\"'′″a-z])\s*[x×X*]\s*(?=\d)")
PHASES = re.compile(r"\b([13])\s*(?:ph\b\.?|~|phases\b)", re.IGNORECASE)
EACH_HOUR = re.compile(rf"({NUMBER})\s*([a-z]{{3,}})\s*/\s*(hour|hr|h|minute|min|day|shift)\b", re.IGNORECASE)
HOURS = {"h": "hour", "hr": "hour", "min": "minute"}
SIGNS = {"<": "under", "≤": "up to", ">": "over", "≥": "at least", "~": "about", "≈": "about"}
SIGN = re.compile(rf"(?:^|(?<=\s))([{''.join(SIGNS)}])\s*(?=\d)")
BESIDE = re.compile(r"\s+/\s+")
BRACKETED = re.compile(r"\(([^()]*)\)")
SHORT_UNIT = re.compile(
    rf"({NUMBER})\s+([A-Za-z]{{1,2}})(?=$|[\s]*[,.;)]|\s+(?:by|to|at|and|each|per|max|\d|wide|long|high|deep)\b)"
)
ABOUT = re.compile(rf"\babout ([a-z]+) ({NUMBER})", re.IGNORECASE)
MONTH_YEAR = re.compile(r"\b(?:\d{1,2}[./-])?\d{1,2}[./-]((?:19|20)\d\d)\b|\b((?:19|20)\d\d)-\d\d(?:-\d\d)?\b")
KEYED = re.compile(r"^\s*([A-Za-z#ø][^:=]{0,48}?)\s*[:=]\s*(\S.*)$")
COLUMNS = re.compile(r"\t+|\s{2,}|\s*\|\s*")
PLATE_PAIR = re.compile(rf"^([A-Za-z°%]+(?:/[A-Za-z]+)?)\.?\s+({NUMBER}(?:[/-]\d[\d,.]*)*)$")
CODE = re.compile(r"(?=.*\d)[\w./-]*\d[\w./-]{2,}")
IDENTITY = ("serial number", "year of build", "model", "manufacturer")
MOST_OF_KEY, MOST_OF_HEADING = 6, 3
"""Words of a key before its colon, and of a heading that names a part."""
MARGIN = 45
"""Characters from which a line may be one of prose that goes on in the next."""
MOST_SIDES = 4
"""Cells of a text's line that are told as one; more are a table without a head."""


@dataclass(frozen=True, slots=True)
class Head:
    """A column's head: its words without the unit, the unit, and what kind of column it is."""

    words: str
    unit: str
    kind: str


def spoken(rows: Sequence[Row], vocabulary: Vocabulary) -> list[str]:
    """One line of words for each row, "" for one that says nothing by itself (a head, a sum)."""
    out: list[str] = []
    heads: list[Head] | None = None
    of = ""
    text = " ".join(c for row in rows for c in row)
    comma = DECIMAL_COMMA.search(text) is not None and not re.search(r"\d,\d{3}\b", text)
    for n, row in enumerate(rows):
        cells = [_tidy(DOT_THOUSANDS.sub(",", c) if comma else c) for c in row]
        full = [c for c in cells if c]
        line = ""
        if not full:
            heads, of = None, ""
        elif len(full) > 2 and (found := _heads(cells, rows[n + 1 : n + 4], vocabulary)) is not None:
            heads, of = found, ""
        elif heads is not None and len(cells) == len(heads):
            line = _of_table(cells, heads, vocabulary)
        elif (two := _key_and_value(full)) is not None:
            line = _pair(*two, vocabulary, of=of)
        elif len(full) == 1:
            line = _of_text(full[0], vocabulary)
            of = full[0].rstrip(":") if _names_part(full[0], vocabulary) else ""
        else:
            line = _of_cells(full, vocabulary)
        out.append(line)
    return out


def _key_and_value(cells: Row) -> tuple[str, str] | None:
    """A row of two cells, or "key: value" in one."""
    if len(cells) == 2:
        return cells[0], cells[1]
    found = KEYED.match(cells[0]) if len(cells) == 1 else None
    if found is None or found[2].startswith("//") or len(found[1].split()) > MOST_OF_KEY:
        return None
    return found[1], found[2]


def _names_part(text: str, vocabulary: Vocabulary) -> bool:
    """Whether a line by itself is the heading of the part that the lines under it are about: "Wash pump"."""
    words = text.rstrip(":").lower().split()
    plain = text[-1] not in ".,;!?" and not any(c.isdigit() for c in text)
    return plain and 0 < len(words) <= MOST_OF_HEADING and not _general(vocabulary) & {*words, " ".join(words)}


def columns(line: str) -> list[str]:
    """A line of text as cells: set apart by tabs, bars or two blanks and more."""
    return [c for c in COLUMNS.split(line.strip()) if c.strip()]


def unwrapped(lines: Sequence[str]) -> list[list[str]]:
    """Lines of a text as rows: prose that was broken at a margin is one again, in the row of its first line."""
    rows: list[list[str]] = []
    prose: list[str] | None = None
    for line in lines:
        cells = columns(line)
        text = cells[0] if len(cells) == 1 and not KEYED.match(line) else ""
        if prose is not None and text:
            prose[0] += f" {text}"
            rows.append([])
        else:
            rows.append(cells)
            prose = rows[-1] if text else None
        prose = prose if len(line.strip()) >= MARGIN else None
    return rows


def _heads(cells: Row, below: Sequence[Row], vocabulary: Vocabulary) -> list[Head] | None:
    """The heads of a table where a row is one: no cell of it is a figure, and figures stand under it."""
    if any(FIGURE.fullmatch(c) for c in cells if c):
        return None
    rows = [r for r in below if sum(bool(_tidy(c)) for c in r) > 1]
    if not rows or not any(FIGURE.match(_tidy(c)) for r in rows for c in r):
        return None
    heads = [_head(c, vocabulary) for c in cells]
    known = sum(h.kind != "" or h.unit != "" for h in heads)
    return heads if known and len(rows[0]) == len(cells) else None


def _head(cell: str, vocabulary: Vocabulary) -> Head:
    found = UNIT_IN_HEAD.match(cell)
    words, unit = (found[1], (found[2] or found[3] or "").strip()) if found else (cell, "")
    words = words.rstrip(" :.")
    kinds = _kinds(vocabulary)
    kind = next((kinds[w] for w in (cell.lower(), words.lower(), words.lower() + ".") if w in kinds), "")
    rest, _, last = cell.rpartition(" ")
    if kind == "" and len(last) == 3 and last.isupper() and rest.lower() in kinds:
        return Head(rest.lower(), last, kinds[rest.lower()])  # "Unit price EUR"
    return Head(words, unit, kind)


def _of_table(cells: Row, heads: Sequence[Head], vocabulary: Vocabulary) -> str:
    """A row under its heads: the name with its count first, then each figure behind what it is."""
    kinds = _kinds(vocabulary)
    pairs = [(h, c) for h, c in zip(heads, cells, strict=True) if c and c not in ("-", "–", "n/a", "N/A")]
    if any(kinds.get(c.lower().rstrip(":")) == "skip" for _, c in pairs[:2]):
        return ""  # a sum at the foot
    count = next((c for h, c in pairs if h.kind == "count" and FIGURE.fullmatch(c)), "")
    names = [c for h, c in pairs if h.kind == "name" and not FIGURE.fullmatch(c)]
    if not names and not any(h.kind in ("role", "number") for h in heads):
        names = [c for h, c in pairs if h.kind == "" and not FIGURE.match(c)][:1]  # a head in words that are not known
    number = next(((h, c) for h, c in pairs if h.kind == "number"), None)
    role = next((c for h, c in pairs if h.kind == "role"), "")
    parts: list[str] = []
    if number is not None and number[1].isdigit():
        # "tank 1 is Degrease": what stands there; its figures are about it
        parts.append(f"{number[0].words.lower()} {number[1]} is {role or ' '.join(names)}".removesuffix(" is "))
    elif names or role or number is not None:
        first = next((c for h, c in pairs if h.kind == ""), "") if not names and not role else ""
        name = " ".join(names) or role or first or (number[1] if number else "")
        parts.append(f"{count} {name}" if count.isdigit() and count != "0" else name)
    elif count or all(h.kind == "skip" or FIGURE.fullmatch(c) for h, c in pairs):
        return ""
    told = {id(h) for h, _ in pairs if h.kind in ("count", "name", "number", "role", "skip")}
    for h, c in pairs:
        if id(h) in told or c in names or c in parts[:1]:
            continue
        if h.kind == "note":
            parts.append(c)
        elif h.kind == "price":
            parts.append(f"price {c} {h.unit}".strip())
        elif FIGURE.fullmatch(c):
            parts.append(f"{h.words.lower()} {c}{h.unit}")
        else:
            parts.append(f"{h.words.lower()} {c}" if h.kind == "" else c)
    return ", ".join(_plain(p, vocabulary) for p in parts)


def _of_text(text: str, vocabulary: Vocabulary) -> str:
    """A line of text: a pair of a plate, or a sentence as it stands."""
    plate = _plate(text, vocabulary)
    return _plain(text, vocabulary) if plate is None else plate


def _of_cells(cells: Row, vocabulary: Vocabulary) -> str:
    """Cells of a row without heads: each one that is a key with the one behind it."""
    out: list[str] = []
    n = 0
    while n < len(cells):
        key = cells[n].rstrip(":").lower()
        if key in _fields(vocabulary) and n + 1 < len(cells):
            out.append(_pair(cells[n], cells[n + 1], vocabulary))
            n += 2
        else:
            out.append(_of_text(cells[n], vocabulary))
            n += 1
    if len(cells) > MOST_SIDES or not any(
        _plate(c, vocabulary) or c.rstrip(":").lower() in _fields(vocabulary) for c in cells
    ):
        return f"{out[0]} {' '.join(out[1:])}"  # a row of a table without heads: the first names what the rest say
    return ". ".join(out)


def _pair(key: str, value: str, vocabulary: Vocabulary, *, of: str = "") -> str:
    """ "Overall width: 1,850 mm": a key with its value; `of` is the heading it stands under."""
    found = UNIT_IN_HEAD.match(key)
    unit = (found[2] or "") if found and FIGURE.fullmatch(value) else ""
    words = found[1] if found and unit else key
    words = words.strip().rstrip(":=").strip()
    field = _fields(vocabulary).get(words.lower())
    if _kinds(vocabulary).get(words.lower()) == "name" and not FIGURE.match(value):
        return _plain(value, vocabulary)  # "Machine: hydraulic baler"
    if field == "year of build":
        value = MONTH_YEAR.sub(lambda m: m[1] or m[2], value)
    if field == "serial number" and words.lower() in ("no.", "nr.") and not CODE.fullmatch(value.split()[0]):
        field = None
    if KEYED.match(value) and "," in value:
        return f"{_plain(words, vocabulary)}, {_plain(value, vocabulary)}"
    of = f"{of}, " if of and field not in IDENTITY else ""
    return f"{of}{_plain(field or words, vocabulary)} {_plain(value + unit, vocabulary)}"


def _plate(text: str, vocabulary: Vocabulary) -> str | None:
    """ "KW 55", "HZ 50": a plate's unit before its figure; None where the text is none, or a key with its value."""
    found = PLATE_PAIR.match(text)
    if found and found[1].lower() in ("ph", "phase", "phases"):
        return f"{found[2]} phase"
    if found and found[1].lower() in _units(vocabulary):
        return f"{found[2]} {found[1]}" if len(found[1]) > 2 else f"{found[2]}{found[1]}"
    for field in _longest_first(vocabulary):
        rest = text[len(field) :]
        if text.lower().startswith(field) and rest[:1] == " " and CODE.fullmatch(rest.strip().split()[0]):
            return _pair(text[: len(field)], rest.strip(), vocabulary)
    return None


def _tidy(cell: str) -> str:
    return " ".join(THOUSANDS.sub(",", cell).split())


def _plain(text: str, vocabulary: Vocabulary) -> str:
    """Signs and short forms as words, and a unit that is a word as well joined to its figure ("48in", "65A")."""
    text = DECIMAL_COMMA.sub(r"\1.\2", text)
    text = SPAN.sub(r"\1 to ", text)
    text = TIMES.sub(" by ", text)
    text = PHASES.sub(r"\1 phase", text)
    text = EACH_HOUR.sub(lambda m: _each(m, vocabulary), text)
    text = BESIDE.sub(", ", text)
    text = SIGN.sub(lambda m: f"{SIGNS[m[1]]} ", text)
    text = BRACKETED.sub(r" \1 ", text)
    shorts = _shorts(vocabulary)
    words = (shorts.get(word.lower(), word) for word in text.split())
    return _joined(ABOUT.sub(r"\1 about \2", " ".join(words)), vocabulary)


def _each(found: re.Match[str], vocabulary: Vocabulary) -> str:
    """ "450 trays/h" is 450 trays per hour; "900 ltr/min" is a unit of its own."""
    word, per = found[2].lower(), found[3].lower()
    if word in _units(vocabulary) or f"{word}/{per}" in _units(vocabulary):
        return found[0]
    return f"{found[1]} {found[2]} per {HOURS.get(per, per)}"


def _joined(text: str, vocabulary: Vocabulary) -> str:
    """ "48 in" and "65 A" with their figure, where no word follows that makes them words ("2 in stock")."""

    def join(found: re.Match[str]) -> str:
        return found[1] + found[2] if found[2].lower() in _sizes(vocabulary) else found[0]

    return SHORT_UNIT.sub(join, text)


def _rows(vocabulary: Vocabulary, kind: str) -> Iterator[tuple[str, str]]:
    for row in vocabulary["papers"]:
        if row["kind"] == kind:
            for written in row["written"]:
                yield written, row["said"] or ""


@lru_cache(maxsize=8)
def _kinds(vocabulary: Vocabulary) -> dict[str, str]:
    heads = ("number", "role", "name", "count", "price", "note", "skip")
    return {w: k for k in heads for w, _ in _rows(vocabulary, k)}


@lru_cache(maxsize=8)
def _fields(vocabulary: Vocabulary) -> dict[str, str]:
    return dict(_rows(vocabulary, "field"))


@lru_cache(maxsize=8)
def _longest_first(vocabulary: Vocabulary) -> tuple[str, ...]:
    return tuple(sorted(_fields(vocabulary), key=len, reverse=True))


@lru_cache(maxsize=8)
def _general(vocabulary: Vocabulary) -> frozenset[str]:
    return frozenset(w for w, _ in _rows(vocabulary, "heading"))


@lru_cache(maxsize=8)
def _shorts(vocabulary: Vocabulary) -> dict[str, str]:
    return dict(_rows(vocabulary, "short"))


@lru_cache(maxsize=8)
def _sizes(vocabulary: Vocabulary) -> frozenset[str]:
    return frozenset(w for w, _ in _rows(vocabulary, "size"))


@lru_cache(maxsize=8)
def _units(vocabulary: Vocabulary) -> frozenset[str]:
    return frozenset(form for row in vocabulary["units"] for form in row["spoken"])
