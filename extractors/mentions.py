"""What may be found in words, as shapes. Spans are word indices of the transcript, last excluded.

Order of reading (extract.py): tokens -> repairs -> asides -> a cleared token stream -> numbers -> measures -> things ->
sequences -> identity -> remarks -> filing. Extractors work on Tokens; what they yield points back at words.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Span = tuple[int, int]
"""Word indices of the transcript: first, last (excluded)."""


def meet(a: Span | None, b: Span | None) -> bool:
    """Whether two spans share a word."""
    return a is not None and b is not None and a[0] < b[1] and b[0] < a[1]


@dataclass(frozen=True, slots=True)
class Token:
    """One reading unit: a word, or a part of one ("480-volt" is two), without its punctuation."""

    text: str
    """As heard, without punctuation around it."""
    lower: str
    """Lower case, spelling normalised (metres, meters -> metre is NOT done here: units do that)."""
    word: int
    """Index of the word in the transcript that it came from."""
    start: float
    end: float
    probability: float = 1.0
    sentence: int = 0
    """Number of the sentence; grows through the transcript."""
    after: str = ""
    """Punctuation that followed, "" or one of , . ; : ? ! - ."""
    aside: str | None = None
    """Why this word states no fact: phone, clock, idiom, question, negation, hypothetical, other machine, restart."""
    heard: str | None = None
    """What the recogniser wrote, where a mishearing was read as something else."""
    doubt: str | None = None
    """Why the word is not sure (from the listening stage, or a mishearing repair)."""
    alternatives: tuple[str, ...] = ()
    perhaps: str | None = None
    """A name of the trade that was perhaps said, where too little speaks for it to be read so."""


Tokens = tuple[Token, ...]


@dataclass(frozen=True, slots=True)
class Number:
    """A figure in words, digits or both; first and last are TOKEN indices, last excluded."""

    first: int
    last: int
    value: float
    value_max: float | None = None
    form: Literal["cardinal", "ordinal", "fraction", "decimal", "year", "digits"] = "cardinal"
    approximate: bool = False
    readings: tuple[float, ...] = ()
    """Other values that the same words may mean ("two twenty-five": 2.25, 225), likeliest first."""


@dataclass(frozen=True, slots=True)
class Measure:
    """A number with its unit; first and last are TOKEN indices, last excluded."""

    first: int
    last: int
    value: float
    unit: str
    dimension: str
    value_max: float | None = None
    property: str | None = None
    """The property where unit or neighbouring words settle it, else None."""
    of: str | None = None
    approximate: bool = False
    hedged: bool = False
    doubt: str | None = None
    place: int = 0
    """In "ten by four by six": 1, 2, 3; 0 where the figure stands alone."""
    places: int = 0
    """How many figures stand in that row."""
    per: str | None = None
    """The thing that each one of has this ("75 pounds a hook")."""
    row: tuple[float, ...] = ()
    """The values of all figures of its row, in order."""


@dataclass(frozen=True, slots=True)
class QuantityMention:
    """A measure filed under a property of a subject."""

    span: Span
    subject: str
    property: str
    value: float
    unit: str
    value_max: float | None = None
    of: str | None = None
    approximate: bool = False
    status: str = "stated"
    doubt: str | None = None
    basis: str | None = None
    by: str | None = None
    each: bool = False
    qualifier: str | None = None
    thing: int | None = None
    """Index into Mentions.things of the component that it belongs to."""


@dataclass(frozen=True, slots=True)
class ThingMention:
    """One mention of a component."""

    span: Span
    name: str
    count: int | None = None
    approximate: bool = False
    disposition: str | None = None
    reason: str | None = None
    condition: str | None = None
    material: str | None = None
    defects: tuple[str, ...] = ()
    running: str | None = None
    maker: str | None = None
    model: str | None = None
    serial: str | None = None
    year: int | None = None
    basis: str | None = None
    by: str | None = None
    status: str = "stated"
    doubt: str | None = None
    same_as: int | None = None
    """Index of the earlier mention that this one refers back to; its attributes are added to that one."""
    part_of: int | None = None
    passing: bool = False
    """Whether it is only named in passing: figures may be of it, but no buyer would list it."""
    single: bool = False
    """Whether its article alone says that there is one ("a filter press")."""


@dataclass(frozen=True, slots=True)
class StationMention:
    span: Span
    number: int | str
    role: str
    status: str = "stated"
    doubt: str | None = None
    also: str | None = None
    """Another role that its number was told with later ("tank three is the acid ... tank three is the flux")."""
    also_span: Span | None = None
    """Where that was said, if it was said to be so by now ("tank three is the flux now")."""
    gone_span: Span | None = None
    """Where it is said later that the station is there no more."""


@dataclass(frozen=True, slots=True)
class SequenceMention:
    name: str
    station_word: str
    stated_count: int | None
    stations: tuple[StationMention, ...]
    span: Span | None = None
    """Where the count was stated."""
    closed: bool = False
    """Whether the speaker said that the row ends with what was described ("eight is the last one")."""


@dataclass(frozen=True, slots=True)
class IdentityMention:
    span: Span
    field: str
    value: str | int
    status: str = "stated"
    doubt: str | None = None


@dataclass(frozen=True, slots=True)
class RepairMention:
    """Words taken back, and the words that stand in their place."""

    kind: Literal["self-correction", "mishearing"]
    heard: str
    """The few words taken back (or heard), at most eight."""
    read: str
    """The few words that stand, at most eight."""
    dropped: tuple[Span, ...] = ()
    """All words to leave out of the reading: what was taken back, and the cue."""
    withdrawn: Span | None = None
    """Within dropped: the words that were taken back, read once more to keep them for the record."""
    kept: Span | None = None
    borrowed: Span | None = None
    """Dropped words said of what stands as well, read again behind it ("three hundred cfm, no, five hundred")."""
    late: bool = False
    """Whether it corrects something said sentences or minutes before ("I said six pumps, it's five")."""


@dataclass(frozen=True, slots=True)
class RemarkMention:
    span: Span
    kind: str
    """condition, defect, running, left, direction, reason, unsafe, or misheard (subject: what was perhaps said)."""
    subject: str
    text: str


@dataclass(frozen=True, slots=True)
class BreakdownMention:
    """A count taken apart in the same breath: "five saddles, two fixed and two sliding"."""

    span: Span
    noun: str
    total: int
    parts: tuple[int, ...]
    whole: bool = True
    """Whether the parts were told as all there are."""
    of: str = ""
    """What the total holds one each of ("bars" of positions), counted by its only part; else empty."""
    factors: tuple[int, ...] = ()
    """How many there are and how many in each, where the only part is their product; else empty."""


@dataclass(frozen=True, slots=True)
class SumMention:
    """An amount told as the sum of others: "the receiver 1.6 tonnes and the drum 2.4, so four altogether"."""

    total: Span
    parts: tuple[Span, ...]
    times: tuple[int, ...]
    """How many there are of each part ("two and three hold twenty thousand apiece" is 2)."""
    closed: bool
    """Whether the words say that the parts are all of it ("together", "that makes")."""


@dataclass(frozen=True, slots=True)
class LooseMention:
    """A number that no figure took, with the words of its sentence before and behind it, lower case."""

    span: Span
    value: float
    before: str
    behind: str


@dataclass(frozen=True, slots=True)
class AtOnceMention:
    """How many of something stand in a machine at one time."""

    span: Span
    noun: str
    count: int


@dataclass(frozen=True, slots=True)
class StopMention:
    """A year in which the running of the machine was said to have ended ("hasn't run since 2015")."""

    span: Span
    year: int


@dataclass(frozen=True, slots=True)
class Mentions:
    """All that was found in one transcript."""

    tokens: Tokens = ()
    quantities: tuple[QuantityMention, ...] = ()
    things: tuple[ThingMention, ...] = ()
    sequences: tuple[SequenceMention, ...] = ()
    identity: tuple[IdentityMention, ...] = ()
    repairs: tuple[RepairMention, ...] = ()
    remarks: tuple[RemarkMention, ...] = ()
    breakdowns: tuple[BreakdownMention, ...] = ()
    sums: tuple[SumMention, ...] = ()
    stopped: tuple[StopMention, ...] = ()
    at_once: tuple[AtOnceMention, ...] = ()
    loose: tuple[LooseMention, ...] = ()
    answers: tuple[str, ...] = ()
    """Names of the gaps (vocab/gaps.toml) of which a phrase was said."""
