"""The stock list: an index of all finished walks in one SQLite file, rebuilt from their folders at any time.

The folders are the truth; the index holds nothing that is not in them. Several processes may use it at once (WAL, one
writer at a time, waits ten seconds). A damaged index is set aside under another name and built anew.
"""

from __future__ import annotations

import contextlib
import itertools
import json
import math
import os
import sqlite3
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from extractors.units import UnknownUnit, convert, dimensionality
from pipeline.errors import NotFound, OutputError, WalkError
from pipeline.printed import figure
from pipeline.walk import Walk, from_dict

FILE = "stock.sqlite"
VERSION = 6
SCHEMA = """
CREATE TABLE walk(
  id INTEGER PRIMARY KEY, folder TEXT UNIQUE NOT NULL, stamp TEXT NOT NULL, title TEXT, kind TEXT, maker TEXT,
  model TEXT,
  serial TEXT, year INTEGER, source TEXT, source_sha TEXT, duration REAL, facts INTEGER, doubtful INTEGER,
  conflicts INTEGER, open INTEGER, made REAL, recorded TEXT, fault TEXT);
CREATE TABLE fact(walk INTEGER NOT NULL, subject TEXT, property TEXT, low REAL, high REAL, dimension TEXT, said TEXT,
  status TEXT, doubt INTEGER, at REAL);
CREATE INDEX fact_by ON fact(property, dimension, low, high, walk);
CREATE INDEX fact_dim ON fact(dimension, low, high, walk);
CREATE INDEX fact_walk ON fact(walk);
CREATE TABLE station(walk INTEGER NOT NULL, sequence TEXT, number TEXT, role TEXT);
CREATE INDEX station_walk ON station(walk);
CREATE INDEX station_role ON station(role);
CREATE TABLE component(walk INTEGER NOT NULL, name TEXT, count INTEGER, disposition TEXT, condition TEXT);
CREATE INDEX component_walk ON component(walk);
CREATE INDEX component_disposition ON component(disposition, walk);
CREATE INDEX walk_serial ON walk(serial);
CREATE INDEX walk_source ON walk(source_sha);
CREATE VIRTUAL TABLE words USING fts5(text, tokenize='porter unicode61');
"""


@dataclass(frozen=True, slots=True)
class Entry:
    """One walk as the stock list shows it."""

    id: int
    folder: str
    title: str | None
    maker: str | None
    model: str | None
    serial: str | None
    year: int | None
    facts: int
    doubtful: int
    conflicts: int
    open: int
    duration: float
    made: float
    fault: str | None = None
    why: tuple[str, ...] = ()
    """Which facts or words matched."""
    recorded: str | None = None
    """When the recording was made, as its file says."""


@dataclass(frozen=True, slots=True)
class Refreshed:
    """What a refresh did."""

    added: int
    changed: int
    removed: int
    faults: tuple[str, ...]
    seconds: float


@dataclass(frozen=True, slots=True)
class Compare:
    """A bound on a figure: property (or None for any of the dimension), operator, value in base units."""

    property: str | None
    operator: str
    value: float
    dimension: str
    subject: tuple[str, ...] = ()
    said: str = ""


@dataclass(frozen=True, slots=True)
class Query:
    """What to look for; all parts must hold."""

    text: tuple[str, ...] = ()
    compares: tuple[Compare, ...] = ()
    roles: tuple[str, ...] = ()
    dispositions: tuple[tuple[str, str], ...] = ()
    """(disposition, word of the component's name or "")."""
    year: tuple[tuple[str, int], ...] = ()
    open_findings: bool | None = None


class DamagedIndex(OutputError):
    """The index turned out to be damaged while it was read; the walks are not touched."""


@contextlib.contextmanager
def opened(folder: Path, *, told: Callable[[str], None] = lambda note: None) -> Iterator[sqlite3.Connection]:
    """The index of a folder of walks, made where there is none, set aside where it is damaged.

    In a folder that cannot be written the index is made in memory. `told` gets a line where either was done.
    Raises NotFound, OutputError, DamagedIndex.
    """
    if not folder.is_dir():
        raise NotFound(f"{folder}: there is no such folder of walks", remedy="Name the folder of walks with --in.")
    path = folder / FILE
    connection = _connect(path, told)
    try:
        yield connection
    except sqlite3.DatabaseError as error:
        if not _damaged(error):
            raise OutputError(f"{path}: {error}", remedy="Try again; another process may be writing it.") from error
        raise DamagedIndex(
            f"{path}: the index is damaged ({error}); the walks themselves are not touched",
            remedy="Run tallywalk find --rebuild.",
        ) from error
    finally:
        connection.close()


def _connect(path: Path, told: Callable[[str], None]) -> sqlite3.Connection:
    for attempt in range(3):
        try:
            return _prepared(path)
        except sqlite3.DatabaseError as error:
            if isinstance(error, sqlite3.OperationalError) and not _damaged(error):
                if "readonly" in str(error) or "unable to open" in str(error):
                    told(f"{path}: cannot be written; the index is made in memory for this search")
                    return _prepared(None)
                if attempt == 2:
                    raise OutputError(
                        f"{path}: {error}", remedy="Try again; another process may be writing it."
                    ) from error
                time.sleep(0.2)
                continue
            told(f"{path}: the index was damaged; it is kept as {_set_aside(path)} and made anew from the walks")
    return _prepared(path)


def _prepared(path: Path | None) -> sqlite3.Connection:
    connection = sqlite3.connect(path or ":memory:", timeout=10, isolation_level=None)
    try:
        connection.row_factory = sqlite3.Row
        connection.execute("PRAGMA busy_timeout=10000")
        found = connection.execute("PRAGMA user_version").fetchone()[0]
        if path is not None:
            connection.execute("PRAGMA journal_mode=WAL")
        connection.execute("PRAGMA synchronous=NORMAL")
        if found != VERSION:
            connection.execute("BEGIN IMMEDIATE")
            if connection.execute("PRAGMA user_version").fetchone()[0] != VERSION:
                for name in ("walk", "fact", "station", "component", "words"):
                    connection.execute(f"DROP TABLE IF EXISTS {name}")
                for statement in SCHEMA.split(";"):
                    connection.execute(statement)
                connection.execute(f"PRAGMA user_version={VERSION}")
            connection.execute("COMMIT")
        else:
            connection.execute("SELECT count(*) FROM walk").fetchone()
    except BaseException:
        connection.close()
        raise
    return connection


def _damaged(error: sqlite3.DatabaseError) -> bool:
    return getattr(error, "sqlite_errorcode", 0) & 0xFF in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)


def _set_aside(path: Path) -> str:
    """Keep the damaged file for whoever wants to look, out of the way; the name it got."""
    number = next(
        n for n in itertools.count(1) if not path.with_name(f"{path.name}.damaged{n if n > 1 else ''}").exists()
    )
    mark = f".damaged{number if number > 1 else ''}"
    for ending in ("", "-wal", "-shm"):
        source = path.with_name(path.name + ending)
        with contextlib.suppress(FileNotFoundError):  # another process may have set it aside
            os.replace(source, source.with_name(source.name + mark))
    return path.name + mark


def set_aside_damaged(folder: Path, *, told: Callable[[str], None] = lambda note: None) -> None:
    """Set the index aside where it cannot be opened or its pages contradict each other; a sound one is left."""
    try:
        with opened(folder, told=told) as connection:
            sound = connection.execute("PRAGMA quick_check(1)").fetchone()[0] == "ok"
    except DamagedIndex:
        sound = False
    if not sound:
        path = folder / FILE
        told(f"{path}: the index was damaged; it is kept as {_set_aside(path)} and made anew from the walks")


def walk_files(folder: Path) -> Iterator[Path]:
    """Every walk.json under a folder, in order of name; hidden folders and links are left out."""
    for root, folders, files in os.walk(folder):
        folders[:] = sorted(f for f in folders if not f.startswith("."))
        if "walk.json" in files:
            yield Path(root) / "walk.json"


def refresh(connection: sqlite3.Connection, folder: Path, *, rebuild: bool = False) -> Refreshed:
    """Bring the index up to the folders: new and changed walks in, gone ones out."""
    began = time.monotonic()
    faults: list[str] = []
    added = changed = removed = 0
    connection.execute("BEGIN IMMEDIATE")
    try:
        if rebuild:
            for table in ("walk", "fact", "station", "component", "words"):
                connection.execute(f"DELETE FROM {table}")
        known = {
            row["folder"]: (row["id"], row["stamp"]) for row in connection.execute("SELECT id, folder, stamp FROM walk")
        }
        seen = set()
        for path in walk_files(folder):
            try:
                status = path.stat()
            except OSError:
                continue  # deleted underneath us: the next refresh will not see it
            name = path.parent.relative_to(folder).as_posix()
            # by inequality and with the inode: clocks of several computers differ, and a copy may keep its old time
            stamp = f"{status.st_mtime_ns}:{status.st_size}:{status.st_ino}"
            seen.add(name)
            old = known.get(name)
            if old and old[1] == stamp:
                continue
            if old:
                _remove(connection, old[0])
                changed += 1
            else:
                added += 1
            fault = _insert(connection, name, stamp, path, status.st_mtime)
            if fault:
                faults.append(f"{name}: {fault}")
        for name, (number, _) in known.items():
            if name not in seen:
                _remove(connection, number)
                removed += 1
        connection.execute("COMMIT")
    except BaseException:
        connection.execute("ROLLBACK")
        raise
    return Refreshed(added, changed, removed, tuple(faults), time.monotonic() - began)


def _remove(connection: sqlite3.Connection, number: int) -> None:
    connection.execute("DELETE FROM walk WHERE id=?", (number,))
    connection.execute("DELETE FROM words WHERE rowid=?", (number,))
    for table in ("fact", "station", "component"):
        connection.execute(f"DELETE FROM {table} WHERE walk=?", (number,))


def _insert(connection: sqlite3.Connection, name: str, stamp: str, path: Path, made: float) -> str | None:
    """Add one walk; a walk that cannot be read is listed with its fault."""
    try:
        walk = from_dict(json.loads(path.read_text(encoding="utf-8")))
    except (OSError, ValueError, RecursionError, WalkError) as error:
        what = "walk.json is no JSON: " if isinstance(error, ValueError) and not isinstance(error, WalkError) else ""
        fault = f"{what}{error or type(error).__name__}"[:300]
        connection.execute("INSERT INTO walk(folder, stamp, made, fault) VALUES(?,?,?,?)", (name, stamp, made, fault))
        return fault
    ident = walk.identity
    text = {f: str(v.value) if (v := getattr(ident, f)) else None for f in ("name", "kind", "maker", "model", "serial")}
    year = ident.year.value if ident.year and isinstance(ident.year.value, int) else None
    cursor = connection.execute(
        "INSERT INTO walk(folder, stamp, title, kind, maker, model, serial, year, source, source_sha, duration, facts, "
        "doubtful, conflicts, open, made, recorded) VALUES(?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)",
        (
            name,
            stamp,
            text["name"] or text["kind"],
            text["kind"],
            text["maker"],
            text["model"],
            text["serial"],
            year,
            walk.source.file,
            walk.source.sha256,
            walk.source.duration_s,
            len(walk.active),
            sum(bool(q.doubt) for q in walk.active),
            sum(f.level == "conflict" for f in walk.findings),
            sum(f.level in ("conflict", "check", "missing") for f in walk.findings),
            made,
            walk.source.recorded,
        ),
    )
    number = cursor.lastrowid
    connection.executemany("INSERT INTO fact VALUES(?,?,?,?,?,?,?,?,?,?)", (_facts(number, walk)))
    connection.executemany(
        "INSERT INTO station VALUES(?,?,?,?)",
        (
            (number, s.name, str(x.number), x.role.lower())
            for s in walk.sequences
            for x in s.stations
            if x.status != "withdrawn"
        ),
    )
    connection.executemany(
        "INSERT INTO component VALUES(?,?,?,?,?)",
        ((number, c.name.lower(), c.count, c.disposition, c.condition) for c in walk.present),
    )
    connection.execute("INSERT INTO words(rowid, text) VALUES(?,?)", (number, _text(walk, name)))
    return None


def _facts(number: int | None, walk: Walk) -> Iterator[tuple[Any, ...]]:
    for q in walk.active:
        low = base(q.value, q.unit)
        high = base(q.value_max, q.unit) if q.value_max is not None else low
        if low is None or high is None:
            continue
        said = figure(q)
        at = q.evidence[0].start if q.evidence else None
        yield (
            number,
            q.subject.lower(),
            q.property,
            min(low[0], high[0]),
            max(low[0], high[0]),
            low[1],
            said,
            q.status,
            bool(q.doubt),
            at,
        )


def base(value: float, unit: str) -> tuple[float, str] | None:
    """A magnitude in base units with its dimensionality; None where the unit is unknown or the value no number."""
    try:
        dimension = dimensionality(unit)
        return convert(float(value), unit, base_unit(dimension)), dimension
    except (UnknownUnit, ValueError, OverflowError):
        return None


_BASES: dict[str, str] = {}


def base_unit(dimension: str) -> str:
    """The SI base spelling of pint's dimensionality text ("[length] ** 2" -> "meter**2")."""
    if dimension not in _BASES:
        spelling = dimension.replace(" ", "")
        for name, unit in (
            ("[length]", "meter"),
            ("[time]", "second"),
            ("[mass]", "kilogram"),
            ("[temperature]", "kelvin"),
            ("[current]", "ampere"),
            ("[substance]", "mole"),
            ("[luminosity]", "candela"),
            ("dimensionless", ""),
        ):
            spelling = spelling.replace(name, unit)
        _BASES[dimension] = spelling
    return _BASES[dimension]


def _text(walk: Walk, name: str) -> str:
    """All words by which a walk may be found."""
    parts: list[str] = [name, walk.source.file]
    ident = walk.identity
    parts += [
        str(v.value)
        for v in (ident.name, ident.kind, ident.maker, ident.model, ident.serial, ident.controls, ident.location)
        if v
    ]
    parts += [x.role for s in walk.sequences for x in s.stations]
    parts += [" ".join(filter(None, (c.name, c.condition, c.material, c.maker, c.model))) for c in walk.present]
    parts += sorted({q.subject for q in walk.active})
    parts += [r.text for r in walk.remarks if r.kind != "unsafe"]
    return "\n".join(parts)


OPERATORS = {">": "high > ?", ">=": "high >= ?", "<": "low < ?", "<=": "low <= ?", "=": "low <= ? AND high >= ?"}
TOLERANCE = 1e-6
"""Relative: a bound of 400 V admits a figure of 400 V that went through another unit."""


def search(connection: sqlite3.Connection, query: Query, *, limit: int = 100) -> list[Entry]:
    """Walks for which every part of the query holds, best match of words first."""
    where: list[str] = ["w.fault IS NULL"]
    values: list[Any] = []
    order = "w.made DESC, w.folder"
    joins = ""
    if query.text:
        joins = " JOIN words ON words.rowid = w.id"
        where.append("words MATCH ?")
        values.append(" ".join('"' + t.replace('"', '""') + '"' for t in query.text))
        order = "bm25(words), w.folder"
    for compare in query.compares:
        part, more = _compare(compare)
        where.append(f"w.id IN (SELECT walk FROM fact WHERE {part})")
        values += more
    for role in query.roles:
        where.append("w.id IN (SELECT walk FROM station WHERE role LIKE ? ESCAPE '!')")
        values.append(_like(role))
    for disposition, word in query.dispositions:
        where.append("w.id IN (SELECT walk FROM component WHERE disposition = ? AND name LIKE ? ESCAPE '!')")
        values += [disposition, _like(word)]
    for operator, year in query.year:
        where.append(f"w.year {operator} ?")
        values.append(year)
    if query.open_findings is not None:
        where.append("w.open > 0" if query.open_findings else "w.open = 0")
    rows = connection.execute(
        f"SELECT w.* FROM walk w{joins} WHERE {' AND '.join(where)} ORDER BY {order} LIMIT ?", [*values, limit]
    ).fetchall()
    return [_entry(row, _why(connection, row["id"], query)) for row in rows]


def _compare(compare: Compare) -> tuple[str, list[Any]]:
    slack = abs(compare.value) * TOLERANCE
    bound = compare.value + (-slack if compare.operator in (">=",) else slack if compare.operator in ("<=",) else 0)
    parts = ["dimension = ?", OPERATORS[compare.operator]]
    values: list[Any] = [compare.dimension]
    values += [compare.value + slack, compare.value - slack] if compare.operator == "=" else [bound]
    if compare.property:
        parts.insert(0, "property = ?")
        values.insert(0, compare.property)
    for word in compare.subject:
        parts.append("subject LIKE ? ESCAPE '!'")
        values.append(_like(word))
    return " AND ".join(parts), values


def _like(word: str) -> str:
    escaped = word.lower().replace("!", "!!").replace("%", "!%").replace("_", "!_")
    return f"%{escaped}%"


def _why(connection: sqlite3.Connection, number: int, query: Query) -> tuple[str, ...]:
    why = []
    for compare in query.compares:
        part, values = _compare(compare)
        # by walk: left to choose, SQLite scans every fact of the property for each walk shown
        row = connection.execute(
            f"SELECT * FROM fact INDEXED BY fact_walk WHERE walk = ? AND {part} LIMIT 1", [number, *values]
        ).fetchone()
        if row:
            doubt = ", doubtful" if row["doubt"] else ""
            at = f" at {int(row['at']) // 60}:{int(row['at']) % 60:02d}" if row["at"] is not None else ""
            why.append(f"{row['subject']}: {row['property']} {row['said']}{at}{doubt}")
    for role in query.roles:
        row = connection.execute(
            "SELECT number, role FROM station INDEXED BY station_walk "
            "WHERE walk = ? AND role LIKE ? ESCAPE '!' LIMIT 1",
            (number, _like(role)),
        ).fetchone()
        if row:
            why.append(f"station {row['number']}: {row['role']}")
    return tuple(why)


def _entry(row: sqlite3.Row, why: tuple[str, ...] = ()) -> Entry:
    return Entry(
        row["id"],
        row["folder"],
        row["title"],
        row["maker"],
        row["model"],
        row["serial"],
        row["year"],
        row["facts"] or 0,
        row["doubtful"] or 0,
        row["conflicts"] or 0,
        row["open"] or 0,
        row["duration"] or 0.0,
        row["made"] or 0.0,
        row["fault"],
        why,
        row["recorded"],
    )


def everything(connection: sqlite3.Connection) -> list[Entry]:
    """All walks, newest first, those with a fault included."""
    return [_entry(row) for row in connection.execute("SELECT * FROM walk ORDER BY made DESC, folder")]


SAME_RECORDING = "the same recording"


def duplicates(connection: sqlite3.Connection) -> list[tuple[str, tuple[str, ...]]]:
    """Folders that hold the same recording, or the same serial of the same maker: (why, folders)."""
    out = []
    for column, label in (("source_sha", SAME_RECORDING), ("serial", "the same serial")):
        maker = ", coalesce(lower(maker), '')" if column == "serial" else ""
        rows = connection.execute(
            f"SELECT {column} AS v, group_concat(folder, char(10)) AS folders FROM walk WHERE {column} IS NOT NULL "
            f"GROUP BY lower({column}){maker} HAVING count(*) > 1 ORDER BY {column}"
        )
        for row in rows:
            why = f"{label} {row['v']}" if column == "serial" else label
            folders = sorted(row["folders"].split("\n"))
            if column == "source_sha" and len({_whole(f) for f in folders}) == 1:
                continue  # several machines in one recording
            out.append((why, tuple(folders)))
    return out


SHOWN = "Give its folder as tallywalk find shows it."


def recordings(folders: Iterable[str]) -> list[str]:
    """The folders of recordings that hold these walks: several machines of one recording are one."""
    return sorted({_whole(f) for f in folders})


def _whole(folder: str) -> str:
    """The folder of the recording: of "yard/02" that is "yard", where 02 is one of several machines."""
    parent, _, last = folder.rpartition("/")
    return parent if parent and last.isdigit() and len(last) == 2 else folder


def folder_of(named: str, folder: Path) -> str:
    """A walk's folder as the stock list has it, from that, from its path or from the path of its walk.json."""
    path = Path(named)
    path = path.parent if path.name == "walk.json" else path
    try:
        return path.resolve().relative_to(folder.resolve()).as_posix()
    except ValueError:
        return path.as_posix()


def similar(connection: sqlite3.Connection, folder: str, *, limit: int = 10) -> list[tuple[float, Entry]]:
    """Walks most like the one in a folder, with the reasons: kind, shared stations, shared components, sizes.

    Score 0 to 1: a quarter each for the same kind, the share of station roles in common (Jaccard), the share of
    component names in common, and how near the largest lengths are (1 minus the log2 ratio): our own scale, no source.
    """
    row = connection.execute("SELECT * FROM walk WHERE folder = ?", (folder,)).fetchone()
    if row is None:
        inside = [
            r["folder"]
            for r in connection.execute("SELECT folder FROM walk ORDER BY folder")
            if _whole(r["folder"]) == folder
        ]
        remedy = f"Give one of its machines: {', '.join(inside[:12])}." if inside else SHOWN
        raise NotFound(f"{folder}: no such walk in the stock list", remedy=remedy)
    roles, names, sizes = _features(connection)
    me = row["id"]
    out = []
    for other in connection.execute("SELECT * FROM walk WHERE id != ? AND fault IS NULL", (me,)):
        score, why = 0.0, []
        if row["kind"] and other["kind"] and row["kind"].lower() == other["kind"].lower():
            score += 0.25
            why.append(f"both are a {row['kind']}")
        for label, sets in (("stations", roles), ("components", names)):
            mine, theirs = sets.get(me, set()), sets.get(other["id"], set())
            if both := mine & theirs:
                score += 0.25 * len(both) / len(mine | theirs)
                why.append(
                    f"{len(both)} {label if len(both) > 1 else label[:-1]} in common: {', '.join(sorted(both)[:4])}"
                )
        if me in sizes and other["id"] in sizes and sizes[me] > 0 and sizes[other["id"]] > 0:
            near = max(0.0, 1 - abs(math.log2(sizes[me] / sizes[other["id"]])))
            if near:
                score += 0.25 * near
                why.append(f"{sizes[other['id']]:.1f} m long against {sizes[me]:.1f} m")
        if score:
            out.append((round(score, 3), _entry(other, tuple(why))))
    out.sort(key=lambda pair: (-pair[0], pair[1].folder))
    return out[:limit]


def _features(connection: sqlite3.Connection) -> tuple[dict[int, set[str]], dict[int, set[str]], dict[int, float]]:
    def sets(rows: Iterable[sqlite3.Row]) -> dict[int, set[str]]:
        out: dict[int, set[str]] = {}
        for r in rows:
            out.setdefault(r[0], set()).add(r[1])
        return out

    roles = sets(connection.execute("SELECT walk, role FROM station"))
    names = sets(connection.execute("SELECT walk, name FROM component"))
    sizes = dict(
        connection.execute("SELECT walk, max(high) FROM fact WHERE property = 'length' GROUP BY walk").fetchall()
    )
    return roles, names, sizes
