"""Units and figures that were heard as others, told from what stands around them: what no speaker of these words means.

"1.2 litres in diameter" is metres, "2.38 Fahrenheit" is "to 38", "or 60 volts" behind a motor is four sixty. Each
change is recorded as heard and read, and the figure keeps a doubt.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

from extractors.mentions import RepairMention, Token

Mended = tuple[int, list[str]]
"""Token index behind what is replaced, and the words in its place."""

METRIC = frozenset(
    "metre metres meter meters millimetre millimetres millimeter millimeters centimetre centimetres centimeter "
    "centimeters mm cm litre litres liter liters kilo kilos kg kilogram kilograms bar celsius tonne tonnes".split()
)
CUSTOMARY = frozenset(
    "foot feet inch inches gallon gallons pound pounds psi fahrenheit horse horsepower yard yards bushel "
    "bushels".split()
)
FEWEST = 4
"""Metric words that make a metric speaker, with three quarters of all; chosen, no source."""
SHARE = 0.75
CUSTOMARY_SHARE = 0.1
"""Up to here a speaker is customary: a tonne that the recogniser wrote is a ton."""
MIXED_SHARE = 0.3
"""From here on a speaker mixes: a ton may be either, and is marked."""
TONS = {"ton": "tonne", "tons": "tonnes"}
TONNES = frozenset(TONS.values())
OTHER_TONS = frozenset({"short", "long", "metric", "us", "american", "imperial"})
COOLING = frozenset("cooling refrigeration chilling chiller chillers".split())
LITRES = {"litre": "metre", "litres": "metres", "liter": "meter", "liters": "meters"}
METRES = {v: k for k, v in LITRES.items()}
SHAPES = frozenset("long wide high tall deep across thick diameter length width height depth".split())
HOLDING = frozenset("holds hold holding volume capacity contains contain".split())
LIQUIDS = frozenset("water oil glycol acid caustic milk beer fuel diesel ammonia refrigerant brine coolant".split())
VOLTS = frozenset({"volt", "volts", "v"})
HEAT = frozenset("degree degrees fahrenheit celsius f c".split())
MIXED = {"12": "1/2", "14": "1/4", "34": "3/4", "18": "1/8", "38": "3/8", "58": "5/8", "78": "7/8"}
INCHES = frozenset({"inch", "inches"})
PARTED = {"60": "460", "80": "480", "40": "440", "15": "415"}
"""Second halves of supply voltages that begin with four (IEC 60038, ANSI C84.1)."""
RATED = frozenset(
    "horse horsepower hp amp amps gallon gallons kilowatt kilowatts kw psi cfm gpm rpm pound pounds".split()
)
TENFOLD = 10
"""From here on a range would be too wide to be said of a rating; chosen, no source."""
SUPPLIES = frozenset({"415", "440", "460", "480", "575", "600", "690", "380", "400"})
WITH_UNIT = re.compile(r"(\d[\d,]*(?:\.\d+)?)[ -]?([a-z%°]+)")
LEADING = re.compile(r"\d[\d,]*(?:\.\d+)?")


def metric_share(tokens: list[Token]) -> float:
    """How much of what the speaker measures with is metric, 0 to 1; -1 where too little was said to tell."""
    metric = sum(t.lower in METRIC - TONNES for t in tokens)
    customary = sum(t.lower in CUSTOMARY for t in tokens)
    return metric / (metric + customary) if max(metric, customary) >= FEWEST else -1.0


def mend_units(tokens: list[Token], units: frozenset[str], repairs: list[RepairMention]) -> list[Token]:
    """The tokens with units and figures mended; repairs grows by what was changed."""
    share = metric_share(tokens)
    metric = share >= SHARE
    customary = 0 <= share <= CUSTOMARY_SHARE
    out = list(tokens)
    i = 0
    while i < len(out):
        for rule in RULES:
            found = rule(out, i, units, metric)
            if found is not None:
                end, words = found
                _put(out, i, end, words, repairs)
                break
        counted = _is_figure(_at(out, i - 1)) or _at(out, i - 1) in SMALL
        if customary and out[i].lower in TONNES and counted:
            _put(out, i, i + 1, ["tons" if out[i].lower == "tonnes" else "ton"], repairs)
        elif MIXED_SHARE <= share < SHARE and out[i].lower in TONS and _is_figure(_at(out, i - 1)) and not out[i].doubt:
            out[i] = replace(out[i], doubt="ton and tonne sound the same")
        i += 1
    return out


def _put(out: list[Token], i: int, end: int, words: list[str], repairs: list[RepairMention]) -> None:
    heard = " ".join(t.text for t in out[i:end]) if out[i].word != out[end - 1].word else _whole(out[i:end])
    first, last = out[i], out[end - 1]
    least = min(t.probability for t in out[i:end])
    doubt = f"heard as {heard!r}"
    made = [
        replace(first, text=w, lower=w.lower(), end=last.end, probability=least, after="", heard=heard, doubt=doubt)
        for w in words
    ]
    made[-1] = replace(made[-1], after=last.after, word=last.word)
    repairs.append(RepairMention("mishearing", heard, " ".join(words), kept=(first.word, last.word + 1)))
    out[i:end] = made


def _whole(tokens: list[Token]) -> str:
    """What one written word was before it was taken apart, as near as its pieces tell."""
    return "-".join(t.text for t in tokens if t.lower != "to") if len(tokens) > 1 else tokens[0].text


def _at(out: list[Token], i: int) -> str:
    return out[i].lower if 0 <= i < len(out) else ""


def _joined(out: list[Token], i: int) -> bool:
    """Whether token i goes on from the one before it."""
    return 0 < i < len(out) and not out[i - 1].after and out[i - 1].sentence == out[i].sentence


def _is_figure(text: str) -> bool:
    return text[:1].isdigit()


def _tonnes(out: list[Token], i: int, units: frozenset[str], metric: bool) -> Mended | None:
    """Ton and tonne sound the same: a metric speaker means the metric one, but not of cooling."""
    if not metric or out[i].lower not in TONS or not _joined(out, i) or _at(out, i - 1) in OTHER_TONS:
        return None
    behind = _at(out, i + 2) if _at(out, i + 1) == "of" else _at(out, i + 1)
    return None if behind in COOLING else (i + 1, [TONS[out[i].lower]])


def _litres(out: list[Token], i: int, units: frozenset[str], metric: bool) -> Mended | None:
    """Nothing is litres long; nothing holds metres, unless of something that is wound."""
    if not _joined(out, i) or not (_is_figure(_at(out, i - 1)) or out[i - 1].lower in SMALL):
        return None
    word = out[i].lower
    shaped = _joined(out, i + 1) and (
        _at(out, i + 1) in SHAPES or (_at(out, i + 1) == "in" and _at(out, i + 2) in SHAPES)
    )
    if word in LITRES and shaped:
        return i + 1, [LITRES[word]]
    if word not in METRES or shaped or out[i].probability >= 0.8:
        return None
    liquid = _at(out, i + 1) == "of" and _at(out, i + 2) in LIQUIDS
    wound = _joined(out, i + 1) and _at(out, i + 1) in ("of", "per", "a", "an", "by", "above", "below", "from", "cubed")
    holding = any(t.lower in HOLDING for t in out[max(0, i - 4) : i] if t.sentence == out[i].sentence)
    return (i + 1, [METRES[word]]) if liquid or (holding and not wound) else None


SMALL = frozenset("one two three four five six seven eight nine ten half hundred thousand".split())


def _to(out: list[Token], i: int, units: frozenset[str], metric: bool) -> Mended | None:
    """ "Dew point 2.38 Fahrenheit": nobody says a temperature to hundredths; down to 38, or for 38."""
    found = re.fullmatch(r"([24])\.(\d{2,3})", out[i].text)
    if found is None or _at(out, i + 1) not in HEAT or not _joined(out, i + 1) or found[2].startswith("0"):
        return None
    return i + 1, ["to" if found[1] == "2" else "for", found[2]]


def _supply(out: list[Token], i: int, units: frozenset[str], metric: bool) -> Mended | None:
    """ "Or 60 volts", "for 80 volts", "4.80 volts": four sixty, four eighty."""
    if re.fullmatch(r"\d\.\d0", out[i].text) and (whole := out[i].text.replace(".", "")) in SUPPLIES:
        return (i + 1, [whole]) if _joined(out, i + 1) and _at(out, i + 1) in VOLTS else None
    if (
        out[i].lower not in ("or", "for", "fore", "oar")
        or _at(out, i + 1) not in PARTED
        or _at(out, i + 2) not in VOLTS
    ):
        return None
    before = _at(out, i - 1) if _joined(out, i) else ""
    if _is_figure(before) and len(before) < 3:
        return None  # "50 or 60 volts" is a choice
    return (i + 2, [PARTED[_at(out, i + 1)]]) if out[i].lower != "or" or not before else None


def _mixed(out: list[Token], i: int, units: frozenset[str], metric: bool) -> Mended | None:
    """ "1-12 inches" of one written word: one and a half."""
    if i + 3 >= len(out) or out[i].word != out[i + 2].word or _at(out, i + 1) != "to" or _at(out, i + 3) not in INCHES:
        return None
    part = MIXED.get(_at(out, i + 2))
    return (i + 3, [out[i].text, part]) if part and len(out[i].text) == 1 and out[i].text.isdigit() else None


def _hundreds(out: list[Token], i: int, units: frozenset[str], metric: bool) -> Mended | None:
    """ "2-50 horse", which no range is: two fifty."""
    if i + 3 >= len(out) or out[i].word != out[i + 2].word or _at(out, i + 1) != "to" or _at(out, i + 3) not in RATED:
        return None
    low, high = out[i].text, out[i + 2].text
    whole = low.isdigit() and high.isdigit() and len(low) == 1 and len(high) == 2 and int(low) > 0
    return (i + 3, [low + high]) if whole and int(high) >= TENFOLD * int(low) else None


def _by_second(out: list[Token], i: int, units: frozenset[str], metric: bool) -> Mended | None:
    """A figure without a unit, "124N", where the second hearing gave the same figure with one, "124 amps"."""
    if not out[i].alternatives or not _is_figure(out[i].text) or (_joined(out, i + 1) and _at(out, i + 1) in units):
        return None
    value = LEADING.match(out[i].text)
    for other in out[i].alternatives:
        found = WITH_UNIT.fullmatch(other.lower().strip(" .,;:?!"))
        if found and value and found[2] in units and _number(found[1]) == _number(value[0]):
            return i + 1, [found[1], found[2]]
    return None


def _number(text: str) -> float:
    return float(text.replace(",", ""))


RULES: tuple[Callable[[list[Token], int, frozenset[str], bool], Mended | None], ...] = (
    _tonnes,
    _litres,
    _to,
    _supply,
    _mixed,
    _hundreds,
    _by_second,
)
