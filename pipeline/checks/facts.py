"""What every rule needs: figures by property and subject, in units that agree, and the wording of a finding.

A rule asks `facts(walk)` for an index, compares magnitudes in a unit that it names (never as spoken), and yields
`finding(...)` or `compared(...)`. Subjects are short noun phrases in many wordings; two count as one thing only where
their words agree (`alike`), because the drive of the washer is not the drive of the conveyor.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Literal

from extractors.units import UnknownUnit, convert, dimensionality
from extractors.words import Evidence
from pipeline.walk import Checked, Component, Finding, Level, Offer, Quantity, Sequence, Walk
from vocab import Row, Vocabulary

Basis = Quantity | Component | Sequence
"""What a finding may rest on."""

_FITNESS = frozenset(
    (
        "hoist",
        "crane",
        "hook",
        "sling",
        "runway",
        "fuse",
        "breaker",
        "relay",
        "guard",
        "interlock",
        "relief",
        "receiver",
    )
)

Outcome = Literal["agreed", "failed", "could not be compared"]

_LISTS = {
    "filler": "a an the this that these those each every all whole entire its it is our their of for on in at to from "
    "and with single overall total complete actual said about per own other",
    "numbers": "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen "
    "seventeen eighteen nineteen twenty",
    "ordinals": "first second third fourth fifth sixth seventh eighth ninth tenth",
    "numbered": "stage tank station zone compartment position pump bay cell section number no line",
    "part of a name": "screw roller roll belt drum chain band plate tank tray rack blade disc powder spray bottle paint "
    "tube pan batch box case can pump bag bar wire sheet coil strip table arm head spindle bed frame gear shell wheel air "
    "steam gas oil water hot cold juice zinc acid glass metal wood paper hydraulic single double twin continuous automatic",
    "unchanged": "psi bar hertz rpm horsepower kelvin pascal kPa MPa mm cm kg kW kVA dB percent mbar degF degC",
}
_FILLER = frozenset(_LISTS["filler"].split())
_NUMBERS = {w: str(i) for i, w in enumerate(_LISTS["numbers"].split())}
_NUMBERS |= {w: str(i) for i, w in enumerate(_LISTS["ordinals"].split(), 1)}
_VESSELS = frozenset(("oven", "tank", "station", "bath", "machine", "unit", "chamber", "furnace", "cell", "zone"))
"""Nouns that a speaker drops behind the name of a process."""
_PART_OF_A_NAME = frozenset(_LISTS["part of a name"].split())
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
        if w in _NUMBERS:
            # "stage one tank" names a tank, "two anodize tanks" counts them
            if not ((i and raw[i - 1] in _NUMBERED) or raw[i + 1 : i + 2] == ["stage"]):
                continue
            w = _NUMBERS[w]
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


def head(subject: str) -> str:
    """The word that says what kind of thing it is: "anodize tank" is a tank; "tank of the washer" too."""
    first = subject.split(" of ")[0].split(" on ")[0].split(" for ")[0]
    w = [x for x in words(first) if not x.isdigit()] or list(words(subject))
    return w[-1] if w else ""


def alike(a: str, b: str) -> Literal["same", "near", ""]:
    """same: the same words. near: one names the other more closely ("tank", "anodize tank"). Else empty."""
    x, y = frozenset(words(a)), frozenset(words(b))
    if x == y:
        return "same"
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


@lru_cache(maxsize=2048)
def has_dimension(unit: str, like: str) -> bool:
    """Whether two unit spellings measure the same kind of thing; False for a spelling that is not known."""
    try:
        return dimensionality(unit) == dimensionality(like)
    except UnknownUnit:
        return False


def size(q: Quantity | None, unit: str) -> float | None:
    """The figure in a unit; the middle of a range; None where there is none or it measures something else."""
    if q is None or not has_dimension(q.unit, unit):
        return None
    low = convert(q.value, q.unit, unit)
    return low if q.value_max is None else (low + convert(q.value_max, q.unit, unit)) / 2


def bounds(q: Quantity, unit: str) -> tuple[float, float] | None:
    """Least and greatest of what was said, in a unit; equal for a plain figure; None as for size."""
    if not has_dimension(q.unit, unit):
        return None
    low = convert(q.value, q.unit, unit)
    high = low if q.value_max is None else convert(q.value_max, q.unit, unit)
    return min(low, high), max(low, high)


def system(unit: str) -> str:
    """Whose unit it is: one amount said in two systems is said for two readers, seldom a slip of the tongue."""
    metric = ("metre", "litre", "gram", "tonne", "bar", "watt", "degC", "pascal")
    return "metric" if any(m in unit for m in metric) else "customary"


def per_hour(q: Quantity) -> float | None:
    """How often an hour, of a rate ("30 an hour") or a cycle ("one every 2.5 minutes")."""
    rate = size(q, "1/hour")
    if rate is not None and q.unit not in ("rpm", "hertz"):
        return rate
    seconds = size(q, "second")
    return 3600.0 / seconds if seconds else None


def slack(*quantities: Quantity) -> float:
    """How far, as a share, the wording alone lets figures stray together: "about" 10 %, with doubt 15 %, else 0."""
    total = 0.0
    for q in quantities:
        total += 0.15 if q.status == "hedged" or q.basis == "estimated" else 0.10 if q.approximate else 0.0
    return min(total, 0.30)


def apart(a: float, b: float) -> float:
    """How far two magnitudes lie apart, as a share of the greater."""
    top = max(abs(a), abs(b))
    return abs(a - b) / top if top else 0.0


@dataclass(frozen=True, eq=False, slots=True)
class Facts:
    """The standing figures and things of one walk, to be asked by property and subject."""

    walk: Walk
    quantities: tuple[Quantity, ...]
    components: tuple[Component, ...]
    by_property: dict[str, tuple[Quantity, ...]]

    def of(self, *properties: str) -> tuple[Quantity, ...]:
        """Figures filed under any of these properties, in the order they were said."""
        if len(properties) == 1:
            return self.by_property.get(properties[0], ())
        return tuple(q for q in self.quantities if q.property in properties)

    def about(self, subject: str, *properties: str) -> tuple[Quantity, ...]:
        """Figures of one subject: those of exactly its words; else those of one closer or wider name."""
        pool = self.of(*properties) if properties else self.quantities
        same = tuple(q for q in pool if alike(q.subject, subject) == "same")
        if same:
            return same
        near = tuple(q for q in pool if alike(q.subject, subject) == "near")
        return near if len({frozenset(words(q.subject)) for q in near}) == 1 else ()

    def subjects(self, *properties: str) -> tuple[str, ...]:
        """The different subjects of these properties, first wording of each."""
        seen: dict[frozenset[str], str] = {}
        for q in self.of(*properties) if properties else self.quantities:
            seen.setdefault(frozenset(words(q.subject)), q.subject)
        return tuple(seen.values())

    def ambiguous(self, subject: str) -> bool:
        """Whether a bare word ("oven") may mean any of several things of that kind."""
        own = frozenset(words(subject))
        if len(own) != 1:
            return False
        names = {frozenset(words(c.name)) for c in self.components if head(c.name) in own and c.status != "withdrawn"}
        return len([n for n in names if len(n) > 1]) > 1

    def count_of(self, name: str) -> Component | None:
        """The one component of that name with a count; None where there is none, or more than one would do."""
        same = [c for c in self.components if c.count is not None and alike(c.name, name) == "same"]
        near = [c for c in self.components if c.count is not None and alike(c.name, name) == "near"]
        pool = same or near
        return pool[0] if len(pool) == 1 else None


_last: tuple[Walk, Facts] | None = None


def facts(walk: Walk) -> Facts:
    """The index of a walk; the last one is kept, because every rule asks for the same."""
    global _last
    last = _last
    if last is not None and last[0] is walk:
        return last[1]
    standing = walk.active
    groups: dict[str, list[Quantity]] = {}
    for q in standing:
        groups.setdefault(q.property, []).append(q)
    index = Facts(walk, standing, walk.present, {k: tuple(v) for k, v in groups.items()})
    _last = (walk, index)
    return index


def limit(vocabulary: Vocabulary, name: str) -> Row:
    """The row of vocab/limits.toml with that name (low, high, unit, source); KeyError where removed."""
    for row in vocabulary["limits"]:
        if row["name"] == name:
            found: Row = row
            return found
    raise KeyError(f"limits has no row {name!r}")


@cache
def noun_class(vocabulary: Vocabulary, name: str) -> frozenset[str]:
    """The nouns of one class of vocab/check_words.toml."""
    for row in vocabulary["check_words"]:
        if row["name"] == name:
            return frozenset(row["words"])
    raise KeyError(f"check_words has no row {name!r}")


def is_whole(walk: Walk, subject: str) -> bool:
    """Whether a subject names the line or machine as a whole: "line", "unit", or a wording of its kind."""
    own = frozenset(words(subject))
    if not own:
        return False
    if own <= frozenset(
        ("line", "machine", "unit", "thing", "plant", "system", "package", "installation", "equipment")
    ):
        return True
    for stated in (walk.identity.kind, walk.identity.name):
        kind = str(stated.value) if stated is not None else ""
        if own <= frozenset(words(kind)) and (head(subject) == head(kind) or not own & _PART_OF_A_NAME):
            return True
    return False


# Wording ---------------------------------------------------------------------------------------------------------

_UNIT_WORDS = {
    "": "",
    "percent": "%",
    "degF": "°F",
    "degC": "°C",
    "foot": "ft",
    "inch": "in",
    "1/hour": "an hour",
    "1/minute": "a minute",
    "1/second": "a second",
    "1/day": "a day",
    "gallon/minute": "gallons a minute",
    "foot**3/minute": "cubic feet a minute",
    "metre**3/hour": "cubic metres an hour",
    "foot/minute": "feet a minute",
    "foot/second": "feet a second",
    "inch_Hg": "inches of mercury",
    "inch_Hg_60F": "inches of mercury",
    "inch_H2O_60F": "inches of water",
    "foot_H2O": "feet of water",
    "kilovolt*ampere": "kVA",
    "foot**3/hour": "cubic feet an hour",
    "kBtu/hour": "thousand Btu an hour",
    "megaBtu/hour": "million Btu an hour",
    "foot*pound_force": "foot pounds",
    "newton*metre": "newton metres",
    "ton_of_refrigeration": "tons of refrigeration",
    "Btu/hour": "Btu an hour",
    "foot**3": "cubic feet",
    "metre**3": "cubic metres",
    "inch**3": "cubic inches",
    "foot**2": "square feet",
    "metre**2": "square metres",
}
_UNCHANGED = frozenset(_LISTS["unchanged"].split())


def number(value: float) -> str:
    """A figure in digits for people: 2,154; 7.5; 0.55. Four significant figures at least, never an exponent."""
    if value == int(value) and abs(value) < 1e15:
        return f"{int(value):,}"
    if abs(value) >= 100:
        return f"{round(value):,}"
    text = f"{value:.2f}" if abs(value) >= 0.1 else f"{value:.4f}"
    return text.rstrip("0").rstrip(".")


def figure(value: float, unit: str, value_max: float | None = None) -> str:
    """A figure with its unit as people write it: "2,154 gallons", "68 to 72 °F", "12 ft", "250 gallons a minute"."""
    text = number(value) if value_max is None else f"{number(value)} to {number(value_max)}"
    if unit in _UNIT_WORDS:
        name = _UNIT_WORDS[unit]
    else:
        base = unit.replace("**3", " cubed").replace("**2", " squared").replace("*", " ").replace("_", " ")
        top, _, below = base.partition("/")
        plural = value_max is not None or value != 1
        if plural and top and top not in _UNCHANGED and not top.endswith(("s", "z")):
            top += "s"
        article = "an" if below[:1] in "aeiou" or below.startswith("hour") else "a"
        name = f"{top} {article} {below}".strip() if below else top
    return f"{text}{'' if name == '%' or not name else ' '}{name}"


def said(q: Quantity) -> str:
    """A figure as it was said, with its wording and basis: "about 400 gallons", "plate 12 amperes"."""
    text = figure(q.value, q.unit, q.value_max) if q.property != "year" else f"{q.value:.0f}"
    if q.approximate:
        text = f"about {text}"
    elif q.status == "hedged":
        text = f"perhaps {text}"
    return f"{q.basis} {text}" if q.basis else text


def name_of(q: Quantity) -> str:
    """What a figure is of, for a sentence: "tank", "machine" where the subject is empty; long ones are cut."""
    return clean(q.subject) or "machine"


def heard(q: Quantity) -> str:
    """The words a figure stands on, with subject and qualifier, lower case: to look for a cue word in."""
    return " ".join([*(e.words.lower() for e in q.evidence), q.subject.lower(), (q.qualifier or "").lower()])


def clean(text: str, longest: int = 60) -> str:
    """Words of the speaker fit for a message: one line, no control characters, cut where absurdly long."""
    flat = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return flat if len(flat) <= longest else flat[: longest - 1].rstrip() + "…"


def fact_id(fact: Basis) -> str:
    """The id of a figure or component; a sequence goes by its name."""
    return f"sequence:{clean(fact.name)}" if isinstance(fact, Sequence) else fact.id


def _content(fact: Basis) -> str:
    if isinstance(fact, Quantity):
        subject = " ".join(words(fact.subject))
        return f"q|{subject}|{fact.property}|{fact.value:.6g}|{fact.value_max}|{fact.unit}|{fact.of}"
    if isinstance(fact, Component):
        return f"c|{' '.join(words(fact.name))}|{fact.count}"
    return f"s|{' '.join(words(fact.name))}|{fact.stated_count}|{','.join(str(s.number) for s in fact.stations)}"


def stable_id(rule: str, basis: Iterable[Basis], key: str = "") -> str:
    """Twelve hex digits from the rule and what the facts say, whatever their order or place in a list."""
    parts = sorted({_content(f) for f in basis})
    return hashlib.sha256("\0".join((rule, key, *parts)).encode()).hexdigest()[:12]


def finding(
    rule: str,
    level: Level,
    message: str,
    basis: Iterable[Basis] = (),
    *,
    offers: Iterable[Offer] = (),
    where: str | None = None,
    key: str = "",
) -> Finding:
    """A finding with a stable id and the evidence of its facts; key tells apart findings that rest on no facts."""
    used = tuple(basis)
    evidence: list[Evidence] = []
    for f in used:
        for e in f.evidence[:2]:
            if e not in evidence:
                evidence.append(e)
    ids = tuple(dict.fromkeys(fact_id(f) for f in used))
    return Finding(stable_id(rule, used, key), rule, level, message, ids, tuple(offers), tuple(evidence), where)


def compared(rule: str, basis: Iterable[Basis], outcome: Outcome, note: str = "") -> Checked:
    """What a rule looked at; the note says how near, or for want of which fact it could not compare."""
    used = tuple(basis)
    ids = tuple(dict.fromkeys(fact_id(f) for f in used))
    text = f"{outcome}: {note}" if note else outcome
    if outcome == "agreed" and any(_bears_on_fitness(f) for f in used):
        text += "; figures agree, fitness not examined"
    return Checked(rule, ids, text)


def _bears_on_fitness(fact: Basis) -> bool:
    """Whether a fact is of pressure, lifting, electrical protection or guarding, where agreeing figures prove nothing."""
    if isinstance(fact, Sequence):
        return False
    if isinstance(fact, Quantity) and fact.property == "pressure":
        return True
    own = words(fact.subject if isinstance(fact, Quantity) else fact.name)
    return not frozenset(own).isdisjoint(_FITNESS)


def count_as_quantity(component: Component) -> Quantity | None:
    """A component's count as a figure, so that it can be re-read like any other; None where it has no count."""
    if component.count is None:
        return None
    return Quantity(
        component.id,
        component.name,
        "count",
        float(component.count),
        "",
        approximate=component.approximate,
        status=component.status,
        doubt=component.doubt,
        basis=component.basis,
        evidence=component.evidence,
    )


def moment(fact: Basis) -> float:
    """Second at which a fact was first said; 0 where it has no evidence."""
    return fact.evidence[0].start if fact.evidence else 0.0


def pairs(items: tuple[Quantity, ...]) -> Iterator[tuple[Quantity, Quantity]]:
    """Every two of them, once."""
    for i, a in enumerate(items):
        for b in items[i + 1 :]:
            yield a, b
