"""Figures by property and subject, in units that agree.

A rule asks `facts(walk)` for an index, compares magnitudes in a unit that it names (never as spoken), and yields
`finding(...)` or `compared(...)` of wording.py. Two subjects count as one thing only where their words agree (`alike`,
in subjects.py), because the drive of the washer is not the drive of the conveyor.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from functools import cache, lru_cache

from extractors.units import UnknownUnit, convert, dimensionality
from pipeline.checks.subjects import PART_OF_A_NAME, alike, head, words
from pipeline.walk import Component, Quantity, Walk
from vocab import Row, Vocabulary


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


def one_of(unit: str, like: str) -> float:
    """One of a unit, in another; 1 where it measures something else."""
    return convert(1.0, unit, like) if has_dimension(unit, like) else 1.0


def one_per_hour(unit: str) -> float:
    """One of a unit of rates or cycles, an hour; 1 where it is none."""
    return per_hour(Quantity("", "", "rate", 1.0, unit)) or 1.0


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
    several: dict[tuple[str, ...], tuple[Quantity, ...]] = field(default_factory=dict)
    """What was asked for by more than one property, kept: every rule asks again for each fact."""

    def of(self, *properties: str) -> tuple[Quantity, ...]:
        """Figures filed under any of these properties, in the order they were said."""
        if len(properties) == 1:
            return self.by_property.get(properties[0], ())
        found = self.several.get(properties)
        if found is None:
            found = self.several[properties] = tuple(q for q in self.quantities if q.property in properties)
        return found

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
        others = [n for n in names if len(n) > 1 and not is_whole(self.walk, " ".join(sorted(n)))]
        whole = is_whole(self.walk, subject)  # "washer" where the parts washer is also called the spray washer
        return len(others) > 1 or (not whole and len([n for n in names if len(n) > 1]) > 1)

    def count_of(self, name: str) -> Component | None:
        """The one component of that name with a count; None where there is none, or more than one would do."""
        same = [c for c in self.components if c.count is not None and alike(c.name, name) == "same"]
        near = [c for c in self.components if c.count is not None and alike(c.name, name) == "near"]
        pool = same or near
        return pool[0] if len(pool) == 1 else None


_ELSEWHERE = re.compile(
    r"\b(?:next door|sister (?:unit|line|machine|plant)|across the (?:aisle|road|yard|way)|"
    r"(?:our|the|their) other (?:site|plant|shop|works|mill|factory|line|unit|building)|"
    r"the old (?:mill|plant|works|shop|place)|(?:a )?different (?:plant|site|shop|outfit|works)|"
    r"(?:the|that) (?:machine|one|line|unit|press) (?:in|over in|at) (?:bay|line|hall|building|unit|shop|plant) \w+)\b"
)
"""Words of a sentence that is of a machine elsewhere: its figures are compared with none of this one."""


def elsewhere(around: str) -> bool:
    """Whether the words around a figure put it on another machine: "the line next door does fourteen feet a minute"."""
    return _ELSEWHERE.search(around) is not None


_last: tuple[Walk, Facts] | None = None


def facts(walk: Walk) -> Facts:
    """The index of a walk; the last one is kept, because every rule asks for the same."""
    global _last
    last = _last
    if last is not None and last[0] is walk:
        return last[1]
    standing = tuple(_named(walk, q) for q in walk.active if not elsewhere(q.around or ""))
    groups: dict[str, list[Quantity]] = {}
    for q in standing:
        groups.setdefault(q.property, []).append(q)
    index = Facts(walk, standing, walk.present, {k: tuple(v) for k, v in groups.items()})
    _last = (walk, index)
    return index


_PRONOUNS = frozenset(("em", "them", "one", "ones", "each", "it", "they", "those", "these", "both"))


def _named(walk: Walk, q: Quantity) -> Quantity:
    """ "Four pumps, each of 'em a hundred and fifty horse": what a pronoun stands for is the thing named last."""
    own = q.subject.lower().replace("'", "").split()
    if not own or not _PRONOUNS.issuperset(own) or not q.evidence:
        return q
    at = q.evidence[0]
    before = [
        c
        for c in walk.present
        if c.evidence and c.evidence[0].recording == at.recording and 0 <= at.start - c.evidence[0].start <= 6
    ]
    last = max(before, key=lambda c: c.evidence[0].start, default=None)
    return replace(q, subject=last.name) if last is not None else q


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


CONNECTED = ("connected", "installed", "total")
_CONNECTED = frozenset(frozenset((a, b)) for a in CONNECTED for b in ("load", "power"))
"""Words for what a whole line draws."""


def is_whole(walk: Walk, subject: str) -> bool:
    """Whether a subject names the line or machine as a whole: "line", "unit", or a wording of its kind."""
    own = frozenset(words(subject))
    if not own:
        return False
    if own <= frozenset(
        ("line", "machine", "unit", "thing", "plant", "system", "package", "installation", "equipment")
    ):
        return True
    if own in _CONNECTED:
        return True  # "connected load 65 kilowatts": what all of it draws
    maker = words(str(walk.identity.maker.value)) if walk.identity.maker is not None else ()
    if maker and own <= frozenset(maker):
        return True  # "your 450 ton Brantessa"
    for stated in (walk.identity.kind, walk.identity.name):
        kind = str(stated.value) if stated is not None else ""
        if own <= frozenset(words(kind)) and (head(subject) == head(kind) or not own & PART_OF_A_NAME):
            return True
    return False
