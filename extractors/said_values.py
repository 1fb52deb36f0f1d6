"""Values as the weighing of take-backs sees them: each figure with its unit or noun, and the clause it stands in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass
from functools import lru_cache

from extractors.figures_said import with_unit
from extractors.mentions import Tokens
from extractors.spoken_numbers import number_at
from extractors.spoken_numbers import table as numbers
from extractors.takebacks import LONGEST_FIGURE, pause_before
from extractors.word_classes import Piece
from vocab import Vocabulary

LONGEST_NAME = 4
"""Words of a unit's or a material's name, at most."""
FIRST_YEAR, LAST_YEAR, FAR_BELOW = 1900, 2100, 1000
"""Figures without a unit that are years rather than counts, and those that none of them stands for."""
STARTS = frozenset({"number", "a", "point", "couple"})
"""A class or words with which a figure begins."""
Told = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Said:
    """One value: what was said of something and may be taken back."""

    first: int
    last: int
    """The value's pieces alone, last excluded."""
    end: int
    """Behind its unit or noun."""
    kind: str
    """figure, unit (without a figure), or what words tell of which one thing has but one (material, side, drive)."""
    name: str
    """What is compared of two words; of figures nothing."""
    value: float = 0.0
    dimension: str = ""
    """Of its unit; "" where it has none."""
    unit: str = ""
    noun: str = ""
    """Stem of the noun behind it, where that is no unit."""


@dataclass(frozen=True, slots=True)
class Sentences:
    """Where sentences and clauses of the pieces begin and end."""

    number: Sequence[int]
    first: Sequence[int]
    """Of each sentence its first piece; one more behind the last."""
    clause: Sequence[int]
    """Of each piece the first of its clause."""
    asks: Sequence[bool]
    """Of each sentence whether a question mark ends it."""


def sentences_of(pieces: Sequence[Piece], tokens: Tokens, where: Sequence[int]) -> Sentences:
    """The sentences of the pieces."""
    number, first, clause, asks = [], [0], [], []
    begun = 0
    for i, p in enumerate(pieces):
        number.append(len(first) - 1)
        clause.append(begun)
        if p.ends or p.comma:
            begun = i + 1
        if p.ends:
            first.append(i + 1)
            asks.append(tokens[where[i]].after == "?")
    if first[-1] != len(pieces):
        first.append(len(pieces))
        asks.append(False)
    return Sentences(number, first, clause, asks)


@lru_cache(maxsize=4)
def units(vocabulary: Vocabulary) -> dict[tuple[str, ...], Told]:
    """Words of a unit -> its spelling and dimension."""
    return {tuple(f.split()): (r["pint"], r["dimension"]) for r in vocabulary["units"] for f in r["spoken"]}


def figures(pieces: Sequence[Piece], tokens: Tokens, where: Sequence[int], vocabulary: Vocabulary) -> list[Said]:
    """All figures, in order."""
    at = {t: k for k, t in enumerate(where)}
    table = units(vocabulary)
    out = []
    read = 0
    for t, k in at.items():
        if t < read or (pieces[k].kind not in STARTS and pieces[k].lower not in STARTS):
            continue
        n = number_at(tokens[t : t + LONGEST_FIGURE], 0, numbers(vocabulary))  # rows of digits without an end are cut
        if n is None or n.form == "ordinal":
            continue
        read = t + n.last
        inner = [at[x] for x in range(t, read) if x in at]
        first, last = inner[0], inner[-1] + 1
        if last - first == 1 and pieces[first].lower in {"one", "a"} and not _counts(pieces, last):
            continue
        out.append(_figure(pieces, first, last, n.value, table))
    return [f for n, f in enumerate(out) if not _spelt(out, n) and not _inches(pieces, out, n)]


def _spelt(found: Sequence[Said], n: int) -> bool:
    """Whether a figure is one of a row of single ones, as plates are read aloud: "8, 6, 5"."""
    row = [
        0 <= k < len(found) and found[k].value < 10 and found[k].end - found[k].first == 1 for k in range(n - 2, n + 3)
    ]
    joined = [0 < k < len(found) and found[k].first == found[k - 1].last for k in range(n - 1, n + 3)]
    return any(all(row[k : k + 3]) and all(joined[k : k + 2]) for k in range(3))


def _inches(pieces: Sequence[Piece], found: Sequence[Said], n: int) -> bool:
    """Whether a figure is the inches behind its feet: "nine foot six"."""
    feet = n > 0 and found[n - 1].unit == "foot" and found[n - 1].end == found[n].first
    return feet and found[n].value < 12 and not (pieces[found[n].first - 1].comma or pieces[found[n].first - 1].ends)


def _counts(pieces: Sequence[Piece], i: int) -> bool:
    return i < len(pieces) and pieces[i].kind in {"unit", "content"} and not (pieces[i - 1].comma or pieces[i - 1].ends)


def _figure(
    pieces: Sequence[Piece], first: int, last: int, value: float, table: Mapping[tuple[str, ...], Told]
) -> Said:
    closed = pieces[last - 1].pauses
    if not closed:
        begin = _behind_article(pieces, last)
        for n in range(LONGEST_NAME, 0, -1):
            words = pieces[begin : begin + n]
            if len(words) == n and not any(p.comma or p.ends for p in words[:-1]):
                known = table.get(tuple(p.lower for p in words))
                if known is not None:
                    return Said(first, last, begin + n, "figure", "", value, known[1], known[0])
    end = with_unit(pieces, (first, last), len(pieces))
    noun = next((p.stem for p in reversed(pieces[last:end]) if p.kind in {"content", "name", "unit"}), "")
    return Said(first, last, end, "figure", "", value, "", "", noun)


def _behind_article(pieces: Sequence[Piece], i: int) -> int:
    """Where the unit of a part begins: "half a tonne", "three quarters of an inch"."""
    at = i + (i + 1 < len(pieces) and pieces[i].lower == "of")
    articled = at + 1 < len(pieces) and pieces[at].lower in {"a", "an"} and pieces[at + 1].kind == "unit"
    return at + 1 if articled and not pause_before(pieces, at + 1) else i


@lru_cache(maxsize=4)
def kinds_of_words(vocabulary: Vocabulary) -> dict[tuple[str, ...], Told]:
    """Words -> what they tell, and under which name: materials, and what stands in one_of_each.toml."""
    out = {tuple(f.split()): (row["tells"], f) for row in vocabulary["one_of_each"] for f in row["said"]}
    return out | {tuple(f.split()): ("material", row["is"]) for row in vocabulary["made_of"] for f in row["spoken"]}


def words_said(pieces: Sequence[Piece], taken: Set[int], vocabulary: Vocabulary) -> list[Said]:
    """Words of which one thing has but one, the longest first; and units without a figure."""
    table, known = kinds_of_words(vocabulary), units(vocabulary)
    firsts = _firsts(vocabulary)
    out = []
    i = 0
    while i < len(pieces):
        found = None
        if i not in taken and pieces[i].lower in firsts:
            found = _words_at(pieces, i, taken, table) or _unit_at(pieces, i, taken, known)
        if found is not None:
            out.append(found)
        i = found.last if found is not None else i + 1
    return out


@lru_cache(maxsize=4)
def _firsts(vocabulary: Vocabulary) -> frozenset[str]:
    return frozenset(words[0] for words in (*kinds_of_words(vocabulary), *units(vocabulary)))


def _words_at(pieces: Sequence[Piece], i: int, taken: Set[int], table: Mapping[tuple[str, ...], Told]) -> Said | None:
    for n in range(LONGEST_NAME, 0, -1):
        if (words := _run(pieces, i, n, taken)) and (told := table.get(words)) is not None:
            return Said(i, i + n, i + n, *told)
    return None


def _unit_at(pieces: Sequence[Piece], i: int, taken: Set[int], known: Mapping[tuple[str, ...], Told]) -> Said | None:
    for n in range(LONGEST_NAME, 0, -1):
        if (words := _run(pieces, i, n, taken)) and len(words[0]) > 2 and (told := known.get(words)) is not None:
            return Said(i, i + n, i + n, "unit", told[0], unit=told[0], dimension=told[1])
    return None


def _run(pieces: Sequence[Piece], i: int, n: int, taken: Set[int]) -> tuple[str, ...]:
    """The n words from i on, where no pause parts them and none is taken; else none."""
    words = pieces[i : i + n]
    if len(words) < n or any(p.comma or p.ends for p in words[:-1]) or any(k in taken for k in range(i, i + n)):
        return ()
    return tuple(p.lower for p in words)


def values_said(pieces: Sequence[Piece], tokens: Tokens, where: Sequence[int], vocabulary: Vocabulary) -> list[Said]:
    """All values, in order."""
    found = figures(pieces, tokens, where, vocabulary)
    taken = {k for f in found for k in range(f.first, f.end if f.dimension else f.last)}
    return sorted([*found, *words_said(pieces, taken, vocabulary)], key=lambda v: v.first)


def same(a: Said, b: Said) -> bool:
    """Whether the one is the other said again, of whatever."""
    return a.kind == b.kind and a.value == b.value and a.name == b.name


def like_a_year(value: Said) -> bool:
    """Whether a figure without a unit is one that years have."""
    return not value.unit and FIRST_YEAR <= value.value <= LAST_YEAR


def comparable(old: Said, new: Said) -> bool:
    """Whether the one may stand for the other: figures of one dimension or without a unit, counts of one noun, the same
    figure in another unit, two words that tell the same of a thing."""
    if old.kind == "figure" and new.kind == "unit":
        return old.dimension == new.dimension and old.unit != new.unit
    if old.kind != new.kind or old.kind == "unit":
        return False
    if old.kind != "figure":
        return old.name != new.name
    if old.value == new.value:
        return bool(old.unit and new.unit) and old.unit != new.unit
    if old.dimension and new.dimension:
        return old.dimension == new.dimension
    if like_a_year(new) and not new.noun and old.value < FAR_BELOW:
        return False  # "four blowers ... rebuilt in 2017" counts no blowers
    if (new.noun and old.dimension) or (old.noun and new.dimension):
        return False
    return not (new.noun and old.noun and new.noun != old.noun)
