"""What words mean: tables of data, loaded into frozen rows. No logic of reading lives here.

A table is a TOML file with a [columns] section, that says of each column its type and its meaning, and [[row]]
entries. Types: text, texts, number, numbers, whole, flag; a question mark behind the type makes the column optional.
The column named in `unique` may hold no spoken form twice. A user's own file has [[TABLE]] entries of the same
columns ("[[units]]"), and adds to or (same first spoken form) replaces rows.
"""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from types import MappingProxyType
from typing import Any

Row = Mapping[str, Any]


class TableError(ValueError):
    """A table that breaks its own rules; the message names table, row and remedy."""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of one table in the file's order; rows are read-only mappings with every column present."""

    name: str
    columns: Mapping[str, tuple[str, str]]
    """Column name -> (type, meaning)."""
    unique: str | None
    rows: tuple[Row, ...]

    def __iter__(self) -> Any:
        return iter(self.rows)


@dataclass(frozen=True, eq=False, slots=True)
class Vocabulary:
    """All tables; the digest tells two vocabularies apart. Hashable by identity, so that readers may cache by it."""

    tables: Mapping[str, Table]
    digest: str

    def __getitem__(self, name: str) -> Table:
        return self.tables[name]


TYPES = {
    "text": lambda v: isinstance(v, str),
    "texts": lambda v: isinstance(v, list) and all(isinstance(x, str) for x in v),
    "number": lambda v: isinstance(v, int | float) and not isinstance(v, bool),
    "numbers": lambda v: isinstance(v, list) and all(isinstance(x, int | float) for x in v),
    "whole": lambda v: isinstance(v, int) and not isinstance(v, bool),
    "flag": lambda v: isinstance(v, bool),
}


def read_table(name: str, text: str) -> Table:
    """A table from the text of its TOML file; raises TableError."""
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise TableError(f"{name}: {error}") from error
    columns = {k: (v[0], v[1]) for k, v in data.get("columns", {}).items()}
    for column, (kind, _) in columns.items():
        if kind.rstrip("?") not in TYPES:
            raise TableError(f"{name}: column {column!r} has the unknown type {kind!r}")
    rows = tuple(_row(name, columns, i, r) for i, r in enumerate(data.get("row", []), 1))
    table = Table(name, MappingProxyType(columns), data.get("unique"), rows)
    _no_doubles(table)
    return table


def _row(name: str, columns: Mapping[str, tuple[str, str]], i: int, row: Mapping[str, Any]) -> Row:
    label = f"{name}, row {i} ({_first(row)!r})"
    for key in row:
        if key not in columns:
            raise TableError(f"{label}: no column {key!r}; there are {', '.join(columns)}")
    out: dict[str, Any] = {}
    for column, (kind, _) in columns.items():
        value = row.get(column)
        if value is None:
            if not kind.endswith("?"):
                raise TableError(f"{label}: {column!r} is missing")
        elif not TYPES[kind.rstrip("?")](value):
            raise TableError(f"{label}: {column!r} must be {kind.rstrip('?')}, found {value!r}")
        out[column] = tuple(value) if isinstance(value, list) else value
    return MappingProxyType(out)


def _first(row: Mapping[str, Any]) -> Any:
    value = next(iter(row.values()), None)
    return value[0] if isinstance(value, list | tuple) and value else value


def _no_doubles(table: Table) -> None:
    if table.unique is None:
        return
    seen: dict[str, int] = {}
    for i, row in enumerate(table.rows, 1):
        value = row[table.unique]
        for form in (value,) if isinstance(value, str) else value or ():
            if form in seen and seen[form] != i:
                raise TableError(f"{table.name}: {form!r} is claimed by row {seen[form]} and row {i}; remove one")
            seen[form] = i


@cache
def builtin() -> Vocabulary:
    """The tables that tallywalk ships with."""
    texts = {
        f.name.removesuffix(".toml"): f.read_text(encoding="utf-8")
        for f in sorted(resources.files("vocab").iterdir(), key=lambda f: f.name)
        if f.name.endswith(".toml")
    }
    tables = {name: read_table(name, text) for name, text in texts.items()}
    return Vocabulary(MappingProxyType(tables), _digest(texts.items()))


def extended(base: Vocabulary, text: str, label: str = "your vocabulary") -> Vocabulary:
    """The vocabulary with a user's own rows; raises TableError that names line or row, and the remedy."""
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise TableError(f"{label}: {error}") from error
    tables = dict(base.tables)
    for name, rows in data.items():
        if name not in tables:
            raise TableError(f"{label}: there is no table {name!r}; there are {', '.join(tables)}")
        if not isinstance(rows, list):
            raise TableError(f"{label}: write [[{name}]], with two brackets, above each row")
        old = tables[name]
        new = tuple(_row(f"{label}: {name}", old.columns, i, r) for i, r in enumerate(rows, 1))
        first = {_first(r) for r in new}
        table = Table(name, old.columns, old.unique, tuple(r for r in old.rows if _first(r) not in first) + new)
        _no_doubles(table)
        tables[name] = table
    return Vocabulary(MappingProxyType(tables), _digest([("base", base.digest), (label, text)]))


def _digest(parts: Iterable[tuple[str, str]]) -> str:
    total = hashlib.sha256()
    for name, text in parts:
        total.update(f"{name}\0{text}\0".encode())
    return total.hexdigest()
