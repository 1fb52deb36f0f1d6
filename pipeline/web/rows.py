"""What the page shows of a walk: one row for each fact and finding, as plain values. Pure."""

from __future__ import annotations

import zlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from extractors.words import Evidence, Transcript
from pipeline.checks.wording import amount
from pipeline.review import BY_HAND
from pipeline.walk import IDENTITY_FIELDS, Component, Finding, Quantity, Sequence, Stated, Station, Walk
from vocab import Vocabulary

KIND_NAMES = {
    "quantity": "Figure",
    "component": "Equipment",
    "station": "Station",
    "sequence": "Line",
    "identity": "Identity",
}
LEVEL_NAMES = {
    "conflict": "Does not add up",
    "check": "To verify",
    "missing": "Still to ask",
    "caution": "Caution",
}
LONGEST = 300
"""Characters of one field that are shown; the whole is in walk.json."""


@dataclass(frozen=True, slots=True)
class Row:
    """One fact."""

    ref: str
    """What a decision names it by (review.locate)."""
    kind: str
    name: str
    """What it is about: "rinse tank, volume"."""
    value: str
    """What is said of it: "400 gallons"."""
    status: str
    doubt: str
    at: float | None
    """Second at which it was first said; None for what was written by hand."""
    end: float | None
    words: str
    by_hand: bool
    seen: str
    """Tells whether the page showed the fact as it stands."""
    fields: Mapping[str, Any] = field(default_factory=dict)
    """What can be set, with its present value."""

    @property
    def doubtful(self) -> bool:
        """Whether a person should listen to it."""
        return self.status != "withdrawn" and (bool(self.doubt) or self.status == "hedged")


Made = dict[str, tuple[Quantity | Component | Station | Sequence | Stated, Row]]
"""Reference -> the fact a row was made of, and the row."""


def rows_of(walk: Walk, made: Made | None = None) -> tuple[Row, ...]:
    """All facts in the order they were said, those written by hand last.

    With what was made for the walk before, rows of facts that are still the same are taken from there: a decision
    changes one of a thousand. It is brought up to this walk.
    """
    out: list[Row] = []
    before = dict(made) if made is not None else {}
    if made is not None:
        made.clear()

    def add(ref: str, kind: str, name: str, value: str, fact: Any, fields: Mapping[str, Any]) -> None:
        row = _row(ref, kind, name, value, fact, fields)
        if made is not None:
            made[ref] = fact, row
        out.append(row)

    def kept(ref: str, fact: Any) -> bool:
        old = before.get(ref)
        if made is None or old is None or old[0] is not fact:
            return False
        made[ref] = old
        out.append(old[1])
        return True

    for name in IDENTITY_FIELDS:
        stated: Stated | None = getattr(walk.identity, name)
        if stated is not None and not kept(f"identity:{name}", stated):
            fields: dict[str, Any] = {"value": stated.value}
            add(f"identity:{name}", "identity", name, str(stated.value), stated, fields)
    for q in walk.quantities:
        if kept(q.id, q):
            continue
        fields = {k: getattr(q, k) for k in ("subject", "property", "value", "value_max", "unit", "of", "approximate")}
        add(q.id, "quantity", f"{q.subject or 'machine'}, {q.property}", _figure(q), q, fields)
    for c in walk.components:
        if kept(c.id, c):
            continue
        fields = {k: getattr(c, k) for k in ("name", "count", "disposition", "condition", "reason")}
        add(c.id, "component", c.name, _component(c), c, fields)
    for i, sequence in enumerate(walk.sequences):
        fields = {"name": sequence.name, "station_word": sequence.station_word, "stated_count": sequence.stated_count}
        count = f"{sequence.stated_count} stated, {_described(sequence)} described"
        if not kept(f"sequence:{i}", sequence):
            add(f"sequence:{i}", "sequence", sequence.name or "line", count, sequence, fields)
        for n, station in enumerate(sequence.stations):
            fields = {"number": station.number, "role": station.role}
            name = f"{sequence.station_word} {station.number}"
            # what a station is called stands in its line
            if sequence is not (before.get(f"sequence:{i}") or (None,))[0] or not kept(f"station:{i}:{n}", station):
                add(f"station:{i}:{n}", "station", name, station.role, station, fields)
    return tuple(sorted(out, key=lambda r: (r.at is None, r.at or 0.0)))


def _row(
    ref: str,
    kind: str,
    name: str,
    value: str,
    fact: Quantity | Component | Station | Sequence | Stated,
    fields: Mapping[str, Any],
) -> Row:
    heard: Evidence | None = next((e for e in fact.evidence if not e.words.startswith(BY_HAND)), None)
    shown = heard or (fact.evidence[0] if fact.evidence else None)
    own = heard is not None and heard.recording is None
    status = "stated" if isinstance(fact, Sequence) else fact.status
    doubt = "" if isinstance(fact, Sequence) else fact.doubt or ""
    return Row(
        ref,
        kind,
        short(name),
        short(value),
        status,
        short(doubt),
        heard.start if heard and own else None,
        heard.end if heard and own else None,
        short(shown.words if shown else ""),
        bool(fact.decided),
        f"{zlib.crc32(repr(fact).encode()):08x}",
        fields,
    )


def _figure(q: Quantity) -> str:
    about = "about " if q.approximate else ""
    of = f" ({q.of})" if q.of else ""
    return f"{about}{amount(q.property, q.value, q.unit, q.value_max)}{of}"


def _component(c: Component) -> str:
    count = f"{'about ' if c.approximate else ''}{c.count}" if c.count is not None else "count not said"
    return ", ".join(p for p in (count, c.disposition or "", c.condition or "") if p)


def _described(sequence: Sequence) -> int:
    return sum(s.status != "withdrawn" for s in sequence.stations)


def short(text: str, longest: int = LONGEST) -> str:
    """Text on one line without control or direction characters, cut where absurdly long."""
    hidden = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u200e\u200f"
    flat = " ".join("".join(c if c.isprintable() and c not in hidden else " " for c in text).split())
    return flat if len(flat) <= longest else flat[: longest - 1] + "…"


def finding_value(f: Finding, properties: Mapping[str, str]) -> dict[str, Any]:
    """A finding as the page shows it, with the property of each figure."""
    first = next((e for e in f.evidence if e.recording is None), None)
    return {
        "id": f.id,
        "level": f.level,
        "title": LEVEL_NAMES[f.level],
        "message": short(f.message, 2 * LONGEST),
        "where": short(f.where or ""),
        "at": first.start if first else None,
        "end": first.end if first else None,
        "offers": [
            {"n": n, "fact": o.fact, "text": amount(properties.get(o.fact, ""), o.value, o.unit), "why": short(o.why)}
            for n, o in enumerate(f.offers)
        ],
    }


ORDER = ("conflict", "check", "missing", "caution")


def findings_of(walk: Walk) -> list[dict[str, Any]]:
    """Findings, the gravest first."""
    properties = {q.id: q.property for q in walk.quantities}
    return [finding_value(f, properties) for f in sorted(walk.findings, key=lambda f: ORDER.index(f.level))]


def figures_of(walk: Walk, rows: Iterable[Row]) -> dict[str, int]:
    """How far settling has come."""
    rows = tuple(rows)
    return {
        "facts": sum(r.status != "withdrawn" for r in rows),
        "doubtful": sum(r.doubtful for r in rows),
        "findings": sum(f.level in ("conflict", "check", "missing") for f in walk.findings),
        "decided": len(walk.decided),
    }


def title_of(walk: Walk) -> str:
    """What a walk is called: the name, else the kind, else the recording."""
    stated = walk.identity.name or walk.identity.kind
    return short(str(stated.value)) if stated else short(walk.source.file)


def paragraphs_of(transcript: Transcript) -> list[dict[str, Any]]:
    """Words in paragraphs of at most forty, each with its second."""
    edges = {0, *transcript.breaks}
    out: list[dict[str, Any]] = []
    part: list[str] = []
    began = 0
    words = transcript.words
    for i, w in enumerate(words):
        if part and (i in edges or i - began >= 40):
            out.append({"at": words[began].start, "end": words[i - 1].end, "text": " ".join(part)})
            part, began = [], i
        part.append(w.text)
    if part:
        out.append({"at": words[began].start, "end": words[-1].end, "text": " ".join(part)})
    return out


def unit_spelling(text: str, vocabulary: Vocabulary) -> str | None:
    """The unit that a person wrote ("ft", "gallons a minute", "foot"), as pint spells it; None where not known."""
    plain = " ".join(text.strip().split())
    if not plain:
        return ""
    forms: dict[str, str] = {}
    for row in vocabulary["units"]:
        forms.setdefault(str(row["pint"]).lower(), str(row["pint"]))
        for spoken in row["spoken"]:
            forms.setdefault(str(spoken).lower(), str(row["pint"]))
    return forms.get(plain.lower())
