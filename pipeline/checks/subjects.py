"""Subjects: short noun phrases in many wordings, and when two of them name one thing."""

from __future__ import annotations

from functools import lru_cache
from typing import Literal

_LISTS = {
    "filler": "a an the this that these those each every all whole entire its it is our their of for on in at to from "
    "and with single overall total complete actual said about per own other",
    "numbers": "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen "
    "seventeen eighteen nineteen twenty",
    "ordinals": "first second third fourth fifth sixth seventh eighth ninth tenth",
    "numbered": "stage tank station zone compartment position pump bay cell section number no line",
    "part of a name": "screw roller roll belt drum chain band plate tank tray rack blade disc powder spray bottle "
    "paint tube pan batch box case can pump bag bar wire sheet coil strip table arm head spindle bed frame gear "
    "shell wheel air steam gas oil water hot cold juice zinc acid glass metal wood paper hydraulic single double twin "
    "continuous",
}
_FILLER = frozenset(_LISTS["filler"].split())
NUMBERS = {w: str(i) for i, w in enumerate(_LISTS["numbers"].split())}
NUMBERS |= {w: str(i) for i, w in enumerate(_LISTS["ordinals"].split(), 1)}
_VESSELS = frozenset(("oven", "tank", "station", "bath", "machine", "unit", "chamber", "furnace", "cell", "zone"))
"""Nouns that a speaker drops behind the name of a process."""
PART_OF_A_NAME = frozenset(_LISTS["part of a name"].split())
"""Words of a kind that name a part or a product of it: the screw of a screw compressor is not the machine."""
_NUMBERED = frozenset(_LISTS["numbered"].split())
_SAME_WORD = {
    "labeler": "labeller",
    "palletizer": "palletiser",
    "depalletizer": "depalletiser",
    "anodise": "anodize",
    "anodizing": "anodize",
    "anodising": "anodize",
    "liter": "litre",
    "meter": "metre",
    "tyre": "tire",
    "colour": "color",
    "aluminium": "aluminum",
    "recirc": "recirculation",
    "circulation": "recirculation",
    "fridge": "refrigerator",
    "drier": "dryer",
    "furnace": "oven",
    "kiln": "oven",
    "gearmotor": "gear motor",
    "hmi": "panel",
    "aperture": "opening",
    "dryoff": "dry-off",
    "bath": "tank",
    "vat": "tank",
    "reservoir": "tank",
}


@lru_cache(maxsize=8192)
def words(subject: str) -> tuple[str, ...]:
    """The words of a subject that tell it from others: lower case, singular, spelt one way, numbers as digits."""
    out: list[str] = []
    raw = subject.lower().replace("-", " ").replace("/", " ").replace("'s", "").split()
    for i, w in enumerate(raw):
        w = w.strip(".,;:!?'\"()")
        if w in NUMBERS:
            # "stage one tank" names a tank, "two anodize tanks" counts them
            if not ((i and raw[i - 1] in _NUMBERED) or raw[i + 1 : i + 2] == ["stage"]):
                continue
            w = NUMBERS[w]
        if not w or w in _FILLER:
            continue
        w = singular(w)
        out.extend(_SAME_WORD.get(w, w).split())
    return tuple(out)


@lru_cache(maxsize=4096)
def singular(word: str) -> str:
    """One of a thing: "tanks" is "tank", "boxes" is "box", "batteries" is "battery", "press" stays."""
    if len(word) > 4 and word.endswith("ies"):
        return word[:-3] + "y"
    if len(word) > 4 and word.endswith(("xes", "ches", "shes", "sses", "zes")):
        return word[:-2]
    if len(word) > 3 and word.endswith("s") and not word.endswith(("ss", "us", "is", "as")):
        return word[:-1]
    return {"gas": "gas", "feet": "foot", "dies": "die", "knives": "knife", "shelves": "shelf"}.get(word, word)


@lru_cache(maxsize=4096)
def head(subject: str) -> str:
    """The word that says what kind of thing it is: "anodize tank" is a tank; "tank of the washer" too."""
    first = subject.split(" of ")[0].split(" on ")[0].split(" for ")[0]
    w = [x for x in words(first) if not x.isdigit()] or list(words(subject))
    return w[-1] if w else ""


@lru_cache(maxsize=4096)
def _bag(subject: str) -> frozenset[str]:
    return frozenset(words(subject))


@lru_cache(maxsize=16384)
def alike(a: str, b: str) -> Literal["same", "near", ""]:
    """same: the same words. near: one names the other more closely ("tank", "anodize tank"). Else empty."""
    x, y = _bag(a), _bag(b)
    if x == y:
        return "same"
    if x.isdisjoint(y):
        return ""
    if x and y and x ^ y <= _VESSELS and (x < y or y < x) and not min(x, y, key=len) <= _VESSELS:
        return "same"  # "the cure" is the cure oven, "stage one" its tank
    if x and y and head(a) == head(b) and (x < y or y < x):
        return "near"
    return ""


def part_of(part: str, whole: str) -> bool:
    """Whether a subject names a part of another: "washer opening" of "washer", "rectifier output" of "rectifier"."""
    x, y = frozenset(words(part)), frozenset(words(whole))
    return bool(y) and y < x and head(part) != head(whole)


def mentions(subject: str, *any_of: str) -> bool:
    """Whether the subject holds one of these words."""
    return not frozenset(words(subject)).isdisjoint(any_of)
