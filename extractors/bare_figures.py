"""Figures whose unit is left out or that have none: phases, pH, gauge, years of work, "at three fifty", "eight wide".

What is supplied from context carries a doubt that says so.
"""

from __future__ import annotations

from functools import cache

from extractors.mentions import Measure, Number, Tokens
from extractors.figure_units import joined
from vocab import Vocabulary

SHAPES = {
    "length": "long length",
    "width": "wide width across",
    "height": "high tall height",
    "depth": "deep depth",
    "diameter": "diameter bore dia round od id diam",
    "thickness": "thick thickness",
}
PHASE = frozenset({"phase", "phases", "ph"})
MAINS = frozenset({110.0, 115.0, 120.0, 200.0, 208.0, 220.0, 230.0, 240.0, 277.0, 347.0, 380.0, 400.0, 415.0, 440.0, 460.0, 480.0, 550.0, 575.0, 600.0, 660.0, 690.0, 2300.0, 4160.0})  # fmt: skip
"""Voltages of mains in IEC 60038 and ANSI C84.1, and the motor voltages of NEMA MG 1."""
COUNTED = {
    "pass": "pass passes", "cavity": "cavity cavities", "lane": "lane lanes", "pole": "pole poles", "ply": "ply plies",
    "tooth": "tooth teeth", "flute": "flute flutes", "strand": "strand strands",
}  # fmt: skip
WORKED_ON = frozenset(
    (
        "rebuilt relined retubed rewound replaced swapped overhauled refurbished reconditioned rewired repainted upgraded "
        "recertified resurfaced rechromed reground regasketed retrofitted renewed moved relocated installed added fitted "
        "serviced calibrated inspected tested redone rebuild overhaul upgrade changed converted re-lined re-tubed re-wound "
        "relining rebuilding new put"
    ).split()
)
BUILT = frozenset("built made manufactured model vintage build manufacture mfg manufactured".split())
HOURS = (("operating", "hours"), ("running", "hours"), ("run", "hours"), ("hour", "meter"), ("hour", "metre"),
         ("hours", "on"), ("service", "hours"), ("loaded", "hours"), ("spindle", "hours"), ("machine", "hours"))  # fmt: skip
SUPPLIED = {
    "temperature": ("degF", "degC", "temperature"), "temp": ("degF", "degC", "temperature"),
    "voltage": ("volt", "volt", "voltage"), "pressure": ("psi", "bar", "pressure"),
}  # fmt: skip


@cache
def shape_words() -> dict[str, str]:
    """Word of shape -> property: "deep" -> depth."""
    return {word: prop for prop, words in SHAPES.items() for word in words.split()}


@cache
def _counted() -> dict[str, str]:
    return {word: of for of, words in COUNTED.items() for word in words.split()}


def bare_figure(
    tokens: Tokens, n: Number, before: Measure | None, vocabulary: Vocabulary, *, metric: bool
) -> Measure | None:
    """The measure that a number without a unit stands for; None where it is a plain count, a name or nothing."""
    behind = tokens[n.last].lower if n.last < len(tokens) and joined(tokens, n.last) else ""
    if behind in PHASE and n.value in (1, 3):
        return Measure(n.first, n.last + 1, n.value, "", "ratio", property="phases")
    if n.value in MAINS and _phase_follows(tokens, n.last):
        return Measure(n.first, n.last, n.value, "volt", "voltage", property="voltage", doubt="volts not said")
    if behind == "gauge" and 4 <= n.value <= 40 and n.value == int(n.value):
        return Measure(n.first, n.last + 1, n.value, "", "ratio", property="thickness")
    if behind in _counted() and n.value == int(n.value) and n.form != "ordinal" and n.value < 1000:
        return Measure(n.first, n.last + 1, n.value, "", "count", property="count", of=_counted()[behind])
    if (year := _year(tokens, n)) is not None:
        return Measure(n.first, n.last, year, "", "ratio", property="year")
    sentence = _clause_before(tokens, n.first)
    if _ph(sentence) and 0 <= n.value <= 14:
        return Measure(n.first, n.last, n.value, "", "ratio", property="ph")
    ends = n.last >= len(tokens) or tokens[n.last - 1].after != "" or behind in ("on", "in", "and", "at", "or", "now")
    if n.value >= 100 and ends and n.form != "year" and any(p in zip(sentence, sentence[1:], strict=False) for p in HOURS):
        return Measure(n.first, n.last, n.value, "hour", "time", property="hours")
    if (prop := shape_words().get(behind)) and behind not in ("round", "across", "id") and n.form != "ordinal" and n.value > 0:
        near = before is not None and before.dimension == "length" and n.first - before.last <= 8
        unit = before.unit if before is not None and near else ("metre" if metric else "foot")
        return Measure(n.first, n.last, n.value, unit, "length", property=prop, doubt=None if near else f"unit not said; taken as {unit}")
    return _supplied(tokens, n, sentence, ends=ends, metric=metric)


def _phase_follows(tokens: Tokens, i: int) -> bool:
    """Whether "three phase" comes within two words behind."""
    words = [t.lower for t in tokens[i : i + 3] if t.sentence == tokens[i - 1].sentence]
    return len(words) > 1 and words[0] in ("three", "single", "3", "one", "1") and words[1] in PHASE


def _clause_before(tokens: Tokens, first: int) -> list[str]:
    """The words of the clause before a figure, at most eight."""
    out: list[str] = []
    for i in range(first - 1, max(-1, first - 9), -1):
        if tokens[i].sentence != tokens[first].sentence or tokens[i].after in (";", ":"):
            break
        out.append(tokens[i].lower.removesuffix("'s"))
    return out[::-1]


def _ph(words: list[str]) -> bool:
    joined_up = " ".join(words)
    return any(w == "ph" for w in words) or " p h " in f" {joined_up} "


def _year(tokens: Tokens, n: Number) -> float | None:
    """The year of a repair or change ("relined in 2015"); the year of build is identity and no quantity."""
    value = n.value
    text = tokens[n.first].text.lstrip("'")
    short = (n.form == "year" and value < 100) or (tokens[n.first].text.startswith("'") and text.isdigit() and len(text) == 2)
    if short:
        value += 2000 if value < 40 else 1900
    elif not (1900 <= value <= 2035 and value == int(value) and n.form in ("digits", "year", "cardinal")):
        return None
    lead = tokens[n.first - 1].lower if n.first else ""
    if lead not in ("in", "from", "since", "around", "about", "of", "late", "early", "for"):
        return None
    words = _clause_before(tokens, n.first)
    return value if set(words) & WORKED_ON and not set(words[-5:]) & BUILT else None


def _supplied(tokens: Tokens, n: Number, words: list[str], *, ends: bool, metric: bool) -> Measure | None:
    """ "temperature's three fifty", "voltage is 480": the unit is left out because the noun implies it."""
    if not ends or n.form in ("ordinal", "year", "fraction"):
        return None
    for k in range(len(words) - 1, max(-1, len(words) - 5), -1):
        if words[k] in SUPPLIED and not set(words[k + 1 :]) - {"is", "at", "of", "about", "the", "around", "to", "was", "set", "on", "runs", "reads", "says"}:
            customary, si, prop = SUPPLIED[words[k]]
            unit = si if metric else customary
            return Measure(n.first, n.last, n.value, unit, prop, property=prop, doubt=f"unit not said; taken as {unit}")
    return None
