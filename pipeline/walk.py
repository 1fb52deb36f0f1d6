"""The model of one walk: what was said of one machine or line, each fact with its evidence.

Frozen values; a correction yields a new Walk. The JSON form is the contract "tallywalk.walk/1": keys may be added,
never renamed or dropped. Times are seconds from the start of the recording.
"""

from __future__ import annotations

import dataclasses
import math
import types
import typing
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from typing import Any, Literal

from extractors.words import Evidence, Stretch
from pipeline.errors import WalkError

FORMAT = "tallywalk.walk/1"

Status = Literal["stated", "hedged", "corrected", "withdrawn"]
Level = Literal["conflict", "check", "missing", "caution"]
Disposition = Literal["included", "excluded", "uncertain"]
PROPERTIES = (
    "length width height depth diameter thickness area volume weight temperature pressure flow speed voltage current "
    "power frequency phases rate dwell cycle transfer duration concentration ph count year hours price other"
).split()
IDENTITY_FIELDS = ("name", "kind", "maker", "model", "serial", "year", "controls", "location")


@dataclass(frozen=True, slots=True)
class Source:
    """The recording or transcript that the walk was made from."""

    file: str
    sha256: str
    kind: Literal["audio", "video", "transcript"]
    duration_s: float
    recorded: str | None = None
    """When the recording was made, ISO 8601, where the file says so."""


@dataclass(frozen=True, slots=True)
class Speech:
    """How the words were heard."""

    model: str
    language: str
    words: int
    mean_probability: float
    unheard: tuple[Stretch, ...] = ()


@dataclass(frozen=True, slots=True)
class Stated:
    """One field of the identity."""

    value: str | int
    status: Status = "stated"
    doubt: str | None = None
    evidence: tuple[Evidence, ...] = ()
    decided: tuple[str, ...] = ()
    """Ids of the decisions (Walk.decided) that made it what it is; empty where it stands as it was read."""


@dataclass(frozen=True, slots=True)
class Identity:
    """What the thing as a whole is."""

    name: Stated | None = None
    kind: Stated | None = None
    maker: Stated | None = None
    model: Stated | None = None
    serial: Stated | None = None
    year: Stated | None = None
    controls: Stated | None = None
    location: Stated | None = None


@dataclass(frozen=True, slots=True)
class Quantity:
    """One figure: value in unit (a spelling that pint parses), filed under a property of a subject."""

    id: str
    subject: str
    property: str
    value: float
    unit: str
    value_max: float | None = None
    of: str | None = None
    approximate: bool = False
    status: Status = "stated"
    doubt: str | None = None
    basis: str | None = None
    """plate, measured, counted, gauge, document, told or estimated, where it was said."""
    by: str | None = None
    each: bool = False
    """Whether the figure holds for each one of several subjects ("four a side", "1500 litres each")."""
    qualifier: str | None = None
    """Words that narrow what the figure is ("working", "nominal", "full load", "inside", "dry")."""
    replaces: str | None = None
    """Id of the withdrawn quantity that this one corrects."""
    around: str | None = None
    """The words of its sentence nearest to it, lower case: what checks look for cues in ("the biggest it takes")."""
    evidence: tuple[Evidence, ...] = ()
    decided: tuple[str, ...] = ()
    """Ids of the decisions (Walk.decided) that made it what it is; empty where it stands as it was read."""


@dataclass(frozen=True, slots=True)
class Station:
    number: int | str
    role: str
    status: Status = "stated"
    doubt: str | None = None
    evidence: tuple[Evidence, ...] = ()
    decided: tuple[str, ...] = ()
    """Ids of the decisions (Walk.decided) that made it what it is; empty where it stands as it was read."""
    also: str | None = None
    """Another role that its number was told with later: one of them is of a neighbour, or it was changed since."""
    also_at: tuple[Evidence, ...] = ()
    """Where that other role was said to be so by now; empty where the two only disagree."""
    gone_at: tuple[Evidence, ...] = ()
    """Where it was said later that the station is there no more; a later visit that says so withdraws it."""


@dataclass(frozen=True, slots=True)
class Sequence:
    """Stations in order of travel."""

    name: str
    station_word: str
    stated_count: int | None = None
    stations: tuple[Station, ...] = ()
    evidence: tuple[Evidence, ...] = ()
    """Where the count was stated."""
    decided: tuple[str, ...] = ()
    """As for a quantity: about its name, its count or its stations' word."""
    closed: bool = False
    """Whether the speaker said that the row ends with what was described ("eight is the last one")."""


@dataclass(frozen=True, slots=True)
class Component:
    """A thing that a buyer would list."""

    id: str
    name: str
    count: int | None = None
    approximate: bool = False
    disposition: Disposition | None = None
    reason: str | None = None
    condition: str | None = None
    material: str | None = None
    defects: tuple[str, ...] = ()
    running: str | None = None
    """under load, under power or not seen; None where nothing was said."""
    maker: str | None = None
    model: str | None = None
    serial: str | None = None
    year: int | None = None
    basis: str | None = None
    by: str | None = None
    part_of: str | None = None
    """Id of the component that has this as a part or a kind ("nine pumps, six here and three there")."""
    status: Status = "stated"
    doubt: str | None = None
    evidence: tuple[Evidence, ...] = ()
    decided: tuple[str, ...] = ()
    """Ids of the decisions (Walk.decided) that made it what it is; empty where it stands as it was read."""


@dataclass(frozen=True, slots=True)
class Repair:
    """Something taken back by the speaker, or a word taken to mean another."""

    kind: Literal["self-correction", "mishearing"]
    heard: str
    read: str
    evidence: tuple[Evidence, ...] = ()


@dataclass(frozen=True, slots=True)
class Remark:
    """Something said of the whole that is no figure: condition, running state, how it was left, unsafe advice."""

    kind: str
    """condition, defect, running, left, direction, reason, unsafe, or misheard (subject: what was perhaps said)."""
    subject: str
    text: str
    evidence: tuple[Evidence, ...] = ()


@dataclass(frozen=True, slots=True)
class Breakdown:
    """A count taken apart in the words: "five saddles, two fixed and two sliding"."""

    noun: str
    total: int
    parts: tuple[int, ...]
    whole: bool = True
    """Whether the parts were told as all there are."""
    evidence: tuple[Evidence, ...] = ()
    of: str = ""
    """What the total holds one each of ("bars" of positions), counted by its only part; else empty."""
    factors: tuple[int, ...] = ()
    """How many there are and how many in each, where the only part is their product; else empty."""


@dataclass(frozen=True, slots=True)
class Sum:
    """An amount told as the sum of others; the evidence of each leads to its figure."""

    total: Evidence
    parts: tuple[Evidence, ...]
    times: tuple[int, ...]
    """How many there are of each part."""
    closed: bool
    """Whether the parts were told as all of it."""


@dataclass(frozen=True, slots=True)
class Offer:
    """A re-reading of one heard figure that would settle a conflict; never applied by itself."""

    fact: str
    value: float
    unit: str
    why: str


@dataclass(frozen=True, slots=True)
class Finding:
    """What a check found; the id is stable for the same rule and facts, so that a decision on it sticks."""

    id: str
    rule: str
    level: Level
    message: str
    facts: tuple[str, ...] = ()
    offers: tuple[Offer, ...] = ()
    evidence: tuple[Evidence, ...] = ()
    where: str | None = None
    """For a gap: where to find it without opening, reaching, climbing, entering, running or lifting anything."""


@dataclass(frozen=True, slots=True)
class Checked:
    """What was compared: agreed, failed, or could not be compared for want of which fact."""

    rule: str
    facts: tuple[str, ...]
    outcome: str


@dataclass(frozen=True, slots=True)
class AtOnce:
    """How many of something were said to stand in a machine at one time."""

    noun: str
    count: int
    evidence: tuple[Evidence, ...] = ()


@dataclass(frozen=True, slots=True)
class Loose:
    """A number that no figure took: a count of what is made, or a figure whose unit was not said."""

    value: float
    before: str
    """The words of its sentence before it, lower case, with their punctuation; behind as well."""
    behind: str
    evidence: tuple[Evidence, ...] = ()


@dataclass(frozen=True, slots=True)
class Stopped:
    """A year in which the running of the machine was said to have ended."""

    year: int
    evidence: tuple[Evidence, ...] = ()


@dataclass(frozen=True, slots=True)
class Decided:
    """What a person decided about this walk, on the page or in a filled workbook."""

    id: str
    who: str
    when: str
    """ISO 8601."""
    act: str
    """change, confirm, withdraw, add, settle or accept."""
    text: str
    """What was decided, in a sentence."""
    why: str = ""
    facts: tuple[str, ...] = ()
    finding: Finding | None = None
    """The finding that was settled: it no longer stands among Walk.findings."""
    applied: bool = True
    """False where nothing in the words as they are read now matches what it was decided about."""


@dataclass(frozen=True, slots=True)
class Walk:
    """One recorded walk-around of one machine or line."""

    source: Source
    speech: Speech | None = None
    identity: Identity = field(default_factory=Identity)
    quantities: tuple[Quantity, ...] = ()
    sequences: tuple[Sequence, ...] = ()
    components: tuple[Component, ...] = ()
    repairs: tuple[Repair, ...] = ()
    remarks: tuple[Remark, ...] = ()
    breakdowns: tuple[Breakdown, ...] = ()
    sums: tuple[Sum, ...] = ()
    stopped: tuple[Stopped, ...] = ()
    at_once: tuple[AtOnce, ...] = ()
    loose: tuple[Loose, ...] = ()
    answers: tuple[str, ...] = ()
    """Names of the gaps (vocab/gaps.toml) of which a phrase was said."""
    findings: tuple[Finding, ...] = ()
    checked: tuple[Checked, ...] = ()
    decided: tuple[Decided, ...] = ()
    """Decisions that stand, in the order they were made."""
    vocabulary: str | None = None
    """sha256 of the tables it was read with."""
    additions: tuple[Source, ...] = ()
    """Recordings and papers of later visits, in order."""

    @property
    def active(self) -> tuple[Quantity, ...]:
        """Quantities that stand: all but the withdrawn."""
        return tuple(q for q in self.quantities if q.status != "withdrawn")

    @property
    def present(self) -> tuple[Component, ...]:
        """Components that stand: all but the withdrawn."""
        return tuple(c for c in self.components if c.status != "withdrawn")


def to_dict(walk: Walk) -> dict[str, Any]:
    """The walk as plain JSON values, the format first."""
    return {"format": FORMAT, **plain(walk)}


def plain(value: Any) -> Any:
    """Shapes as plain JSON values: dataclasses as dicts, tuples as lists."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {f.name: plain(getattr(value, f.name)) for f in fields(value)}
    if isinstance(value, tuple | list):
        return [plain(v) for v in value]
    if isinstance(value, dict):
        return {k: plain(v) for k, v in value.items()}
    return value


def from_dict(data: Mapping[str, Any]) -> Walk:
    """A walk from plain JSON values; unknown keys are ignored, wrong types raise WalkError naming the key."""
    if not isinstance(data, Mapping) or data.get("format") != FORMAT:
        raise WalkError(f'this is no walk: "format" must be "{FORMAT}"')
    walk: Walk = build(Walk, data, "walk")
    return walk


def build(cls: type, data: Any, where: str) -> Any:
    """A shape from plain JSON values; where names it in the WalkError that wrong types raise."""
    if not isinstance(data, Mapping):
        raise WalkError(f"{where}: expected an object with keys, found {type(data).__name__}")
    hints = _hints(cls)
    got = {}
    for f in fields(cls):
        if f.name in data:
            got[f.name] = _value(hints[f.name], data[f.name], f"{where}.{f.name}")
        elif f.default is dataclasses.MISSING and f.default_factory is dataclasses.MISSING:
            raise WalkError(f"{where}: the key {f.name!r} is missing")
    return cls(**got)


_HINTS: dict[type, dict[str, Any]] = {}


def _hints(cls: type) -> dict[str, Any]:
    if cls not in _HINTS:
        _HINTS[cls] = typing.get_type_hints(cls)
    return _HINTS[cls]


def _value(hint: Any, value: Any, where: str) -> Any:
    origin = typing.get_origin(hint)
    if origin in (typing.Union, types.UnionType):
        options = typing.get_args(hint)
        if value is None and type(None) in options:
            return None
        errors = []
        for option in options:
            if option is type(None):
                continue
            try:
                return _value(option, value, where)
            except WalkError as error:
                errors.append(error)
        raise errors[0]
    if origin is Literal:
        if value not in typing.get_args(hint):
            raise WalkError(f"{where}: {value!r} is none of {', '.join(map(str, typing.get_args(hint)))}")
        return value
    if origin is tuple:
        if not isinstance(value, list | tuple):
            raise WalkError(f"{where}: expected a list, found {type(value).__name__}")
        return tuple(_value(typing.get_args(hint)[0], v, f"{where}[{i}]") for i, v in enumerate(value))
    if dataclasses.is_dataclass(hint):
        return build(typing.cast(type, hint), value, where)
    if hint is float:
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            raise WalkError(f"{where}: expected a number, found {value!r:.80}")
        return value
    if not isinstance(value, hint) or (hint is int and isinstance(value, bool)):
        raise WalkError(f"{where}: expected {hint.__name__}, found {value!r:.80}")
    return value
