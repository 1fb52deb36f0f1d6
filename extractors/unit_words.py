"""Unit phrases among tokens: the longest spoken form at a place, and compounds put together from two."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from extractors.mentions import Tokens
from vocab import Vocabulary

LINKS = frozenset("a an per each every / the".split())
"""Words that put one unit under another: "gallons a pound", "amps per square foot"."""
LETTERS = frozenset("v a w s h l g c f m in ma ps ha pa ms min".split())
"""Short units that are words of their own in speech: only behind a figure in digits."""
PER_TIME = frozenset({"mass", "volume", "length"})
"""Kinds of unit of which so much is done "in the hour"."""
UNDER = frozenset({"mass", "volume", "length", "area"})
"""Kinds of unit that are told so much "to the" other."""
ARTICLE_LIKE = frozenset("a in s".split())


@dataclass(frozen=True, slots=True)
class Unit:
    """One row of the table, as found."""

    pint: str
    dimension: str
    property: str | None
    said: str


@dataclass(frozen=True, slots=True)
class UnitTable:
    """Spoken forms by their first word, the longest first."""

    forms: dict[str, list[tuple[tuple[str, ...], Unit]]]

    def at(self, tokens: Tokens, i: int, *, digits: bool) -> tuple[int, Unit] | None:
        """End (excluded) and unit of the longest form at token i; digits says that a figure in digits stands before."""
        found = self._form(tokens, i, digits)
        if found is None:
            return None
        end, unit = found
        under = end + 1
        if unit.dimension in PER_TIME and (time := self._in_the(tokens, end)):
            return time[0], compound(unit, time[1])
        if under < len(tokens) and tokens[end].lower in LINKS and _linked(tokens, end) and _linked(tokens, under):
            lower = self._form(tokens, under, False)
            plain = lower is not None and lower[1].pint.removesuffix("**3").removesuffix("**2").isidentifier()
            if lower and plain and unit.pint and "/" not in unit.pint:  # noqa: SIM102 - the comment belongs to the inner question
                # "the" alone puts nothing under a unit ("two feet the hour" is not said)
                if tokens[end].lower != "the" and unit.dimension not in ("temperature", "ratio"):
                    return lower[0], compound(unit, lower[1])
        if lower := self._to_the(tokens, end, unit):
            return lower[0], compound(unit, lower[1])
        return end, unit

    def _to_the(self, tokens: Tokens, i: int, unit: Unit) -> tuple[int, Unit] | None:
        """ "33 ounces to the gallon", "nine pounds to the foot": what so much of another is in."""
        ahead = [t.lower for t in tokens[i : i + 2]]
        if ahead != ["to", "the"] or not all(_linked(tokens, k) for k in (i, i + 1, i + 2) if k < len(tokens)):
            return None
        lower = self._form(tokens, i + 2, False) if i + 2 < len(tokens) else None
        plain = lower is not None and lower[1].dimension in UNDER and unit.dimension in UNDER and "/" not in unit.pint
        return lower if plain and lower is not None and lower[1].pint != unit.pint else None

    def _in_the(self, tokens: Tokens, i: int) -> tuple[int, Unit] | None:
        """ "110 kilos in the hour", "1,500 metres in minute": the time in which so much is done."""
        if i + 1 >= len(tokens) or tokens[i].lower != "in":
            return None
        at = i + 2 if tokens[i + 1].lower in ("the", "a", "an", "one") else i + 1
        if at == i + 1 and tokens[at].lower not in ("second", "minute", "hour", "day"):
            return None  # "in minutes"
        linked = at < len(tokens) and all(_linked(tokens, k) for k in range(i, at + 1))
        time = self._form(tokens, at, False) if linked else None
        return time if time and time[1].pint in ("second", "minute", "hour", "day") else None

    def _form(self, tokens: Tokens, i: int, digits: bool) -> tuple[int, Unit] | None:
        if i >= len(tokens):
            return None
        for words, unit in self.forms.get(tokens[i].lower, ()):
            end = i + len(words)
            if end > len(tokens) or any(tokens[i + k].lower != w for k, w in enumerate(words[1:], 1)):
                continue
            if any(not _linked(tokens, k) for k in range(i + 1, end)):
                continue
            if len(words) == 1 and words[0] in LETTERS and not _letter(tokens, i, digits):
                continue
            return end, unit
        return None


def _letter(tokens: Tokens, i: int, digits: bool) -> bool:
    """Whether a one-letter spelling is meant as a unit: glued to its figure, or a capital behind digits."""
    t = tokens[i]
    if not digits:
        return t.lower == "min" and i > 0
    if t.lower == "f" and not _degrees(tokens, i):
        return False  # "Boeing 777F", "form 13F", "23456 F Block"
    if i and tokens[i - 1].word == t.word:
        return True
    if t.lower == "in":
        following = tokens[i + 1].lower if i + 1 < len(tokens) else ""
        return bool(t.after) or following in ("long", "wide", "high", "deep", "thick", "by", "diameter", "dia", "x")
    if t.lower in ARTICLE_LIKE:
        return (t.text.isupper() and t.text != "A") or (t.text == "A" and (bool(t.after) or i + 1 == len(tokens)))
    return t.text.isupper() or t.lower in ("min", "m", "l", "g", "h", "ms", "ma", "w", "v")


def _degrees(tokens: Tokens, i: int) -> bool:
    """Whether an F behind digits is Fahrenheit: under 3,000, and said of heat or behind "at" or "to"."""
    figure = tokens[i - 1].text.replace(",", "").lstrip("-−")
    near = {t.lower for t in tokens[max(0, i - 7) : i + 4] if t.sentence == tokens[i].sentence}
    plausible = figure.replace(".", "", 1).isdigit() and float(figure) <= FURNACE
    before = tokens[i - 2].lower if i > 1 and tokens[i - 2].sentence == tokens[i].sentence else ""
    return plausible and (bool(near & HEATED) or before in ("at", "to", "of", "about", "around", "between", "and"))


FURNACE = 3500.0
"""Degrees Fahrenheit that no furnace of industry exceeds by much: graphite tube furnaces apart; from memory."""
HEATED = frozenset(
    "hot heat heated heats heating temperature temp degrees burner oven furnace water wash rinse steam boiler cold "
    "cools cool cooled cooling runs running held holds cure bake dryer air oil bath".split()
)


def _linked(tokens: Tokens, i: int) -> bool:
    before = tokens[i - 1]
    return before.after in ("", "-") and before.sentence == tokens[i].sentence


def compound(upper: Unit, lower: Unit) -> Unit:
    names = {
        ("volume", "time"): ("flow", "flow"),
        ("length", "time"): ("speed", "speed"),
        ("mass", "time"): ("mass flow", "rate"),
        ("energy", "time"): ("power", "power"),
        ("area", "time"): ("other", "rate"),
        ("mass", "volume"): ("other", "concentration"),
    }
    dimension, prop = names.get((upper.dimension, lower.dimension), ("other", "other"))
    return Unit(f"{upper.pint}/{lower.pint}", dimension, prop, f"{upper.said} a {lower.said}")


@lru_cache(maxsize=8)
def unit_table(vocabulary: Vocabulary) -> UnitTable:
    """The table of a vocabulary."""
    forms: dict[str, list[tuple[tuple[str, ...], Unit]]] = {}
    for row in vocabulary["units"]:
        unit = Unit(row["pint"], row["dimension"], row["property"], row["spoken"][0])
        for form in row["spoken"]:
            words = tuple(form.replace("/", " / ").split()) if "/" in form and " " in form else tuple(form.split())
            forms.setdefault(words[0], []).append((words, unit))
    for rows in forms.values():
        rows.sort(key=lambda r: -len(r[0]))
    return UnitTable(forms)


@lru_cache(maxsize=8)
def figure_words(vocabulary: Vocabulary, kind: str) -> frozenset[tuple[str, ...]]:
    """Phrases of one kind from the table of words beside figures."""
    return frozenset(tuple(w.split()) for row in vocabulary["figures"] if row["kind"] == kind for w in row["words"])
