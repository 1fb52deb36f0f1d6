"""Units among words: the longest spoken form of the table at a place, and compounds put together from two rows."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from extractors.mentions import Tokens
from vocab import Vocabulary

PER = frozenset({"a", "an", "per", "each", "every", "/", "the"})
LETTERS = frozenset("a c f g h l m s t v w in min k ma pa va ha ka ps ms".split())
"""Written units that are words or letters of their own as well: only right behind digits."""
GLUED = frozenset({"a", "s", "t", "in", "h", "g", "ma", "pa", "ha", "ps"})
"""Of those, the ones that count only when written in one word with the digits ("100t")."""
COMPOUND = {
    ("volume", "time"): ("flow", None),
    ("length", "time"): ("speed", None),
    ("mass", "time"): ("mass flow", "rate"),
    ("energy", "time"): ("power", None),
    ("mass", "area"): ("mass per area", "other"),
    ("mass", "volume"): ("density", "concentration"),
    ("area", "time"): ("area rate", "rate"),
}
METRIC = ("metre", "litre", "kilogram", "tonne", "degC", "bar", "gram", "kilopascal")
CUSTOMARY = ("foot", "inch", "gallon", "pound", "degF", "psi", "horsepower", "Btu", "yard", "quart")


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit at a place; last is a token index, excluded."""

    last: int
    pint: str
    dimension: str
    property: str | None = None
    said: str = ""


@lru_cache(maxsize=8)
def forms(vocabulary: Vocabulary) -> dict[str, list[tuple[tuple[str, ...], str, str, str | None]]]:
    """First word of a spoken form -> its words, spelling, dimension, property; longest first."""
    out: dict[str, list[tuple[tuple[str, ...], str, str, str | None]]] = {}
    for row in vocabulary["units"]:
        for form in row["spoken"]:
            words = tuple(w.rstrip(".") for w in form.split())
            out.setdefault(words[0], []).append((words, row["pint"], row["dimension"], row["property"]))
    for rows in out.values():
        rows.sort(key=lambda r: -len(r[0]))
    return out


def joined(tokens: Tokens, i: int) -> bool:
    """Whether token i follows the one before it without a pause, in one sentence."""
    if not 0 < i < len(tokens):
        return False
    before = tokens[i - 1]
    return before.after in ("", "-", ".") and before.sentence == tokens[i].sentence


def unit_at(tokens: Tokens, i: int, vocabulary: Vocabulary, *, compound: bool = True) -> Unit | None:
    """The unit whose words begin at token i, right behind a figure; None where none does."""
    found = _single(tokens, i, vocabulary)
    if found is None or not compound:
        return found
    return _compound(tokens, found, vocabulary) or found


def _single(tokens: Tokens, i: int, vocabulary: Vocabulary) -> Unit | None:
    if i >= len(tokens):
        return None
    first = tokens[i].lower.rstrip(".").removesuffix("'s")
    for words, pint, dimension, prop in forms(vocabulary).get(first, ()):
        end = i + len(words)
        if end > len(tokens) or any(tokens[i + k].lower.rstrip(".") != w for k, w in enumerate(words[1:], 1)):
            continue
        if any(not joined(tokens, k) for k in range(i + 1, end)):
            continue
        if len(words) == 1 and first in LETTERS and not _written(tokens, i, first):
            continue
        return Unit(end, pint, dimension, prop, " ".join(words))
    return None


def _written(tokens: Tokens, i: int, letter: str) -> bool:
    """Whether a letter stands as a written unit: behind digits, some only in one word with them."""
    if i == 0 or not tokens[i - 1].text[-1:].isdigit():
        return False
    if letter in GLUED:
        inch = letter == "in" and i >= 2 and tokens[i - 2].lower in ("ft", "feet", "foot")
        return tokens[i - 1].word == tokens[i].word or inch
    return True


def _compound(tokens: Tokens, unit: Unit, vocabulary: Vocabulary) -> Unit | None:
    """ "gallons of water a minute", "inches per second", "pounds of steam an hour", "kilos a square metre"."""
    i = unit.last
    if "/" in unit.pint or unit.dimension in ("temperature", "ratio"):
        return None
    if i < len(tokens) and tokens[i].lower == "of" and joined(tokens, i):
        for k in range(i + 2, min(i + 5, len(tokens))):
            if not joined(tokens, k):
                break
            if tokens[k].lower in PER:
                i = k
                break
    if i + 1 >= len(tokens) or not joined(tokens, i) or tokens[i].lower not in PER or not joined(tokens, i + 1):
        return None
    if tokens[i].lower == "the" or (tokens[i].lower in ("each", "every") and unit.dimension == "length"):
        return None
    below = _single(tokens, i + 1, vocabulary)
    if below is None or "/" in below.pint or below.dimension not in ("time", "area", "volume", "mass", "length"):
        return None
    if "*" in unit.pint.replace("**", "") or "*" in below.pint.replace("**", ""):
        return None
    dimension, prop = COMPOUND.get((unit.dimension, below.dimension), ("compound", "other"))
    return Unit(below.last, f"{unit.pint}/{below.pint}", dimension, prop, f"{unit.said} per {below.said}")


@lru_cache(maxsize=4)
def metric_speaker(tokens: Tokens, vocabulary: Vocabulary) -> bool:
    """Whether most of the units in a transcript are metric."""
    table = forms(vocabulary)
    count = 0
    for token in tokens:
        if len(token.lower) > 1 and token.lower not in LETTERS and (rows := table.get(token.lower)):
            spelling = rows[-1][1]
            count += any(m in spelling for m in METRIC) - any(c in spelling for c in CUSTOMARY)
    return count > 0
