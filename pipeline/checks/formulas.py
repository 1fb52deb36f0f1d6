"""Formulas and operands of vocab/relations.toml, read once: an expression over letters, and what each letter may be.

An operand is told in one line, parts set off by semicolons, the first its letter and unit:
"P: kilowatt; of motor, drive*; not heater; as power". `of` are words of which one must stand beside the figure (in all
of its sentence where the figure is the only one of its dimension there), `in` words of its whole sentence, `at` words
of that or of what was named right before it, `not` the words that bar it beside it (up to the next figure), `off`
those that bar it in all of its sentence; `as` are properties; `top`, `bottom` and `ends` take that end of a range, or
either; `just` asks for metric or customary units, or for one; `over` and `under` bound the figure; `bare` are words by
which a number without a unit is one too ("the ammeter's at twenty five hundred"). A word may end in * and hold spaces.
"""

from __future__ import annotations

import ast
import math
import operator
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from pipeline.checks.steam import saturation
from vocab import Row, TableError, Vocabulary

_OPERATORS: dict[type, Callable[..., float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
    ast.USub: operator.neg,
}


def _boils(bar: float) -> float:
    """Degrees Celsius at which water boils at so many bar over the atmosphere."""
    mega = bar / 10 + 0.101325
    return saturation(mega) if 0.001 < mega < 15 else math.nan


_FUNCTIONS: dict[str, Callable[..., float]] = {
    "abs": abs,
    "min": min,
    "max": max,
    "sqrt": lambda x: math.sqrt(x) if x >= 0 else math.nan,
    "boils": _boils,
    "exp": math.exp,
    "sin": lambda degrees: math.sin(math.radians(degrees)),
}


_KEYS = ("of", "in", "at", "not", "off", "as", "top", "bottom", "ends", "just", "over", "under", "bare")


@dataclass(frozen=True, slots=True)
class Operand:
    """What a letter of a formula may be."""

    letter: str
    unit: str
    """What it is reckoned in; "count" so many of a thing, "1" a ratio, "year" a year, "angle" degrees that turn,
    "difference" degrees Celsius between two temperatures."""
    of: re.Pattern[str] | None = None
    within: re.Pattern[str] | None = None
    at: re.Pattern[str] | None = None
    bar: re.Pattern[str] | None = None
    off: re.Pattern[str] | None = None
    properties: tuple[str, ...] = ()
    end: str = ""
    just: str = ""
    over: float = -math.inf
    under: float = math.inf
    bare: re.Pattern[str] | None = None


@dataclass(frozen=True, slots=True)
class Relation:
    """One row of the table, ready to be evaluated."""

    row: Row
    parts: tuple[Operand, ...]
    told: Operand
    makes: tuple[Callable[[Mapping[str, float]], float], ...]
    """Ways of reckoning it; the first is the one that is shown."""
    near: re.Pattern[str] | None
    never: re.Pattern[str] | None
    nowhere: re.Pattern[str] | None

    @property
    def needs_material(self) -> bool:
        return any("rho" in m for m in self.row["makes"])


@lru_cache(maxsize=8)
def relations(vocabulary: Vocabulary) -> tuple[Relation, ...]:
    """All rows of vocab/relations.toml; TableError names the row that cannot be read."""
    return tuple(_relation(row) for row in vocabulary["relations"].rows)


def _relation(row: Row) -> Relation:
    try:
        parts = tuple(operand(p) for p in row["parts"])
        letters = {p.letter for p in parts} | {"rho", "now"}
        makes = tuple(formula(m, letters) for m in row["makes"])
        return Relation(
            row, parts, operand(row["told"]), makes, *(words(row[k] or ()) for k in ("near", "never", "nowhere"))
        )
    except (ValueError, SyntaxError) as error:
        raise TableError(f"relations, row {row['name']!r}: {error}") from error


def operand(text: str) -> Operand:
    """An operand from its line; ValueError where it cannot be read."""
    head, *rest = (p.strip() for p in text.split(";"))
    letter, colon, unit = (p.strip() for p in head.partition(":"))
    if not colon or not letter.isidentifier():
        raise ValueError(f"{head!r} is no operand: write LETTER: UNIT")
    found: dict[str, str] = {}
    for part in rest:
        key, _, value = part.partition(" ")
        if key not in _KEYS:
            raise ValueError(f"{part!r} begins with none of {', '.join(_KEYS)}")
        found[key] = value.strip()
    of, within, at, bar, off, bare = (
        words(tuple(found.get(k, "").split(","))) for k in ("of", "in", "at", "not", "off", "bare")
    )
    return Operand(
        letter,
        unit,
        of,
        within,
        at,
        bar,
        off,
        tuple(found.get("as", "").split()),
        next((k for k in ("top", "bottom", "ends") if k in found), ""),
        found.get("just", ""),
        float(found.get("over", "-inf")),
        float(found.get("under", "inf")),
        bare,
    )


def words(forms: tuple[str, ...]) -> re.Pattern[str] | None:
    """A pattern of words of which one must stand there; None where there are none."""
    told = [f.strip() for f in forms if f.strip()]
    if not told:
        return None
    alternatives = "|".join(re.escape(f).replace(r"\*", r"\w*").replace(r"\ ", r"\W+") + "s?" for f in told)
    return re.compile(rf"(?<!\w)(?:{alternatives})(?!\w)")


def formula(text: str, letters: set[str]) -> Callable[[Mapping[str, float]], float]:
    """What reckons an expression of numbers, letters, pi, + - * / ** and a few functions; not a number where it cannot.

    ValueError for anything else that is in it, and for a letter that no operand has.
    """
    tree = ast.parse(text, mode="eval").body
    _allowed(tree, letters)

    def reckon(values: Mapping[str, float]) -> float:
        try:
            return _reckon(tree, values)
        except (ArithmeticError, ValueError):
            return math.nan

    return reckon


def _allowed(node: ast.AST, letters: set[str]) -> None:
    for part in ast.walk(node):
        if isinstance(part, ast.Name):
            if part.id not in letters and part.id != "pi" and part.id not in _FUNCTIONS:
                raise ValueError(f"no operand has the letter {part.id!r}")
        elif isinstance(part, ast.Constant):
            if not isinstance(part.value, int | float):
                raise ValueError(f"{part.value!r} is no number")
        elif not isinstance(part, (ast.BinOp, ast.UnaryOp, ast.Call, ast.operator, ast.unaryop, ast.expr_context)):
            raise ValueError(f"{ast.unparse(part)!r} is not allowed in a formula")


def _reckon(node: ast.AST, values: Mapping[str, float]) -> float:
    match node:
        case ast.Constant(value=int() | float() as value):
            return float(value)
        case ast.Name(id=name):
            return math.pi if name == "pi" else values[name]
        case ast.UnaryOp(op=op, operand=inner):
            return _OPERATORS[type(op)](_reckon(inner, values))
        case ast.BinOp(left=left, op=op, right=right):
            return _OPERATORS[type(op)](_reckon(left, values), _reckon(right, values))
        case ast.Call(func=ast.Name(id=name), args=args):
            return _FUNCTIONS[name](*(_reckon(a, values) for a in args))
    raise ValueError(ast.unparse(node))
