"""What a person types to find a walk: "rectifier over 10 kW", voltage>=400 V, station:rinse, excluded:boiler, open."""

from __future__ import annotations

import re

from extractors.mentions import Measure, Tokens
from extractors.normalise import tokenise
from extractors.quantities import find_measures
from extractors.words import Transcript, Word
from pipeline.errors import UsageError
from pipeline.stock import Compare, Query, base
from pipeline.walk import PROPERTIES
from vocab import Vocabulary

FILTER = re.compile(r"(?<!\S)([a-z]+)\s*(>=|<=|=|>|<)\s*(-?[\d.,]+)\s*([^\s\"]*)", re.IGNORECASE)
KEYED = re.compile(r"(?<!\S)([a-z]+):(\"[^\"]*\"|\S*)", re.IGNORECASE)
ABOVE = {"over", "above", "beyond", "exceeding"}
BELOW = {"under", "below", "within"}
PAIRS = {
    ("more", "than"): ">",
    ("larger", "than"): ">",
    ("bigger", "than"): ">",
    ("longer", "than"): ">",
    ("greater", "than"): ">",
    ("at", "least"): ">=",
    ("less", "than"): "<",
    ("smaller", "than"): "<",
    ("shorter", "than"): "<",
    ("at", "most"): "<=",
    ("up", "to"): "<=",
}
EMPTY_WORDS = (
    "a an and any are for has have in is line lines machine machines of or that the there walk walks which with"
)
EMPTY = frozenset(EMPTY_WORDS.split())
KEYS = ("station", "included", "excluded", "uncertain")
BOUND = 'Write a bound as a property, a sign and a figure with its unit, such as "voltage>=400 V" or "year<2005".'


def parse_query(text: str, vocabulary: Vocabulary) -> Query:
    """A query of words, figures with units and filters. Raises UsageError that names the part it cannot use."""
    if len(text) > 1000:
        raise UsageError("the query is over 1,000 characters long")
    roles: list[str] = []
    dispositions: list[tuple[str, str]] = []
    compares: list[Compare] = []
    years: list[tuple[str, int]] = []

    def keyed(found: re.Match[str]) -> str:
        key, word = found[1].lower(), found[2].strip('"').lower()
        if key not in KEYS:
            raise UsageError(
                f"{found[0].strip()!r}: there is no such filter", remedy=f"There are: {':, '.join(KEYS)}:."
            )
        if not word:
            raise UsageError(
                f"{key}: what to look for is missing", remedy=f'Such as {key}:boiler or {key}:"hot rinse".'
            )
        if key == "station":
            roles.append(word)
        else:
            dispositions.append((key, word))
        return " "

    def filtered(found: re.Match[str]) -> str:
        name, operator, number, unit = found[1].lower(), found[2], found[3].replace(",", ""), found[4]
        try:
            value = float(number)
        except ValueError:
            raise UsageError(f"{found[0].strip()!r}: {number!r} is no number", remedy=BOUND) from None
        if name == "year":
            years.append((operator, int(value)))
            return " "
        if name not in PROPERTIES:
            raise UsageError(f"{name!r} is no property", remedy=f"There are: {', '.join(PROPERTIES)}.")
        compares.append(_bound(name, operator, value, unit, vocabulary, found[0].strip()))
        return " "

    rest = FILTER.sub(filtered, KEYED.sub(keyed, text))
    if left := re.search(r"\S*\s*[<>=]+\s*\S*", rest):
        raise UsageError(f"{left[0].strip()!r}: this bound cannot be read", remedy=BOUND)
    open_findings = None
    if found := re.search(r"(?<!\S)(open|settled)(?!\S)", rest, re.IGNORECASE):
        open_findings = found[1].lower() == "open"
        rest = rest[: found.start()] + " " + rest[found.end() :]
    words, spoken = _spoken(rest, vocabulary)
    return Query(tuple(words), (*compares, *spoken), tuple(roles), tuple(dispositions), tuple(years), open_findings)


def _bound(name: str, operator: str, value: float, unit: str, vocabulary: Vocabulary, said: str) -> Compare:
    if not unit:
        in_base = base(value, "")
    else:
        measures = find_measures(_tokens(f"{value:g} {unit}", vocabulary), vocabulary)
        in_base = base(measures[0].value, measures[0].unit) if len(measures) == 1 else base(value, unit)
    if in_base is None:
        raise UsageError(f"{said!r}: the unit {unit!r} is not known", remedy=BOUND)
    return Compare(name, operator, in_base[0], in_base[1], said=said)


def _tokens(text: str, vocabulary: Vocabulary) -> Tokens:
    words = tuple(Word(w, i * 0.4, i * 0.4 + 0.3) for i, w in enumerate(text.split()))
    return tokenise(Transcript(words, duration=len(words) * 0.4), vocabulary)[0]


def _spoken(text: str, vocabulary: Vocabulary) -> tuple[list[str], list[Compare]]:
    """Words left to look for, and bounds said in words; the words before a bound are its subject."""
    tokens = _tokens(text, vocabulary)
    measures: dict[int, Measure] = {m.first: m for m in find_measures(tokens, vocabulary)}
    words: list[str] = []
    compares: list[Compare] = []
    pending: list[str] = []
    operator = None
    i = 0
    while i < len(tokens):
        lower = tokens[i].lower
        pair = (lower, tokens[i + 1].lower) if i + 1 < len(tokens) else ("", "")
        if i in measures:
            m = measures[i]
            at = base(m.value, m.unit)
            if at is None:
                raise UsageError(f"the unit of {' '.join(t.text for t in tokens[m.first : m.last])!r} is not known")
            subject = tuple(pending)
            compares.append(Compare(m.property, operator or "=", at[0], at[1], subject, said=text.strip()))
            words, pending, operator, i = [w for w in words if w not in subject], [], None, m.last
            continue
        if pair in PAIRS:
            operator, i = PAIRS[pair], i + 2
            continue
        if lower in ABOVE or lower in BELOW:
            operator = ">" if lower in ABOVE else "<"
        elif lower not in EMPTY and re.search(r"\w", lower):
            words.append(lower)
            pending = [*pending, lower]
        i += 1
    return words, compares
