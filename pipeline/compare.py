"""What differs between two walks: of one machine at two times, or of two machines. Pure."""

from __future__ import annotations

from dataclasses import dataclass

from extractors.phrases import plural
from pipeline.checks.facts import apart, has_dimension, size
from pipeline.checks.subjects import alike
from pipeline.checks.wording import amount, fact_id
from pipeline.walk import IDENTITY_FIELDS, Component, Quantity, Sequence, Walk

SAME = 0.001
"""Relative: figures nearer than this are one figure in two units."""


@dataclass(frozen=True, slots=True)
class Difference:
    """One fact on both sides; None where one side does not have it."""

    kind: str
    """identity, figure, count, disposition, condition, station or component."""
    what: str
    before: str | None
    after: str | None
    fact_before: str | None = None
    fact_after: str | None = None

    @property
    def line(self) -> str:
        """For a list: "pump, count: 2 → 3"."""
        if self.before is None:
            return f"{self.what}: now {self.after}"
        if self.after is None:
            return f"{self.what}: {self.before}, not said again"
        return f"{self.what}: {self.before} → {self.after}"


def compare(before: Walk, after: Walk) -> tuple[Difference, ...]:
    """Differences in identity, figures, counts, dispositions, conditions and stations, in that order."""
    return (
        *_identity(before, after),
        *_figures(before, after),
        *_components(before, after),
        *_stations(before, after),
    )


def _identity(before: Walk, after: Walk) -> list[Difference]:
    out = []
    for field in IDENTITY_FIELDS:
        a, b = getattr(before.identity, field), getattr(after.identity, field)
        x, y = (str(v.value) if v else None for v in (a, b))
        if x != y and (x is None or y is None or x.casefold() != y.casefold()):
            out.append(Difference("identity", field, x, y))
    return out


def said(q: Quantity) -> str:
    """The figure as said, a doubtful one marked."""
    text = amount(q.property, q.value, q.unit, q.value_max)
    return f"{text}{' (doubtful)' if q.doubt or q.status == 'hedged' else ''}"


def same_figure(a: Quantity, b: Quantity) -> bool:
    """Whether two figures are one amount, whatever their units."""
    if not has_dimension(a.unit, b.unit):
        return False
    x, y = size(a, b.unit), size(b, b.unit)
    return x is not None and y is not None and apart(x, y) <= SAME


def _figures(before: Walk, after: Walk) -> list[Difference]:
    out = []
    left = list(after.active)
    unmatched: list[Quantity] = []
    for q in before.active:
        same = next((p for p in left if _same_matter(p, q) and same_figure(p, q)), None)
        if same:
            left.remove(same)
        else:
            unmatched.append(q)
    for q in unmatched:
        other = next((p for p in left if _same_matter(p, q) and has_dimension(p.unit, q.unit)), None)
        if other:
            left.remove(other)
        after_said = said(other) if other else None
        out.append(
            Difference("figure", f"{q.subject}, {q.property}", said(q), after_said, q.id, other.id if other else None)
        )
    out += [Difference("figure", f"{p.subject}, {p.property}", None, said(p), None, p.id) for p in left]
    return out


def _same_matter(a: Quantity, b: Quantity) -> bool:
    return a.property == b.property and narrowed(a) == narrowed(b) and bool(alike(a.subject, b.subject))


def narrowed(q: Quantity) -> str:
    """What narrows a figure; "overall length" is the length that is told without a word."""
    return "" if q.qualifier in (None, "overall", "nominal") else q.qualifier


def _components(before: Walk, after: Walk) -> list[Difference]:
    out: list[Difference] = []
    left = list(after.present)
    for c in before.present:
        other = next((p for p in left if alike(p.name, c.name) == "same"), None) or next(
            (p for p in left if alike(p.name, c.name) == "near"), None
        )
        if other is None:
            out.append(Difference("component", c.name, _whole(c), None, c.id))
            continue
        left.remove(other)
        for kind in ("count", "disposition", "condition"):
            x, y = getattr(c, kind), getattr(other, kind)
            if x != y and (x is not None or y is not None):
                out.append(Difference(kind, f"{c.name}, {kind}", _text(x), _text(y), c.id, other.id))
        if c.defects != other.defects:
            x, y = "; ".join(c.defects) or None, "; ".join(other.defects) or None
            out.append(Difference("condition", f"{c.name}, defects", x, y, c.id, other.id))
    return [*out, *(Difference("component", p.name, None, _whole(p), None, p.id) for p in left)]


def _whole(c: Component) -> str:
    return " ".join(filter(None, (str(c.count) if c.count is not None else "present", c.disposition)))


def _text(value: object) -> str | None:
    return None if value is None else str(value)


def _stations(before: Walk, after: Walk) -> list[Difference]:
    out = []
    left = list(after.sequences)
    for s in before.sequences:
        other = next(
            (t for t in left if alike(t.name, s.name)), left[0] if len(before.sequences) == len(left) == 1 else None
        )
        if other:
            left.remove(other)
        out += _sequence(s, other)
    for t in left:
        out += _sequence(None, t)
    return out


def _sequence(a: Sequence | None, b: Sequence | None) -> list[Difference]:
    named = b or a
    if named is None:
        return []
    word = named.station_word
    out = []
    if a and b and a.stated_count != b.stated_count:
        counts = _text(a.stated_count), _text(b.stated_count)
        out.append(Difference("station", f"{named.name}, stated {plural(word)}", *counts, fact_id(a), fact_id(b)))
    x = {str(s.number): s.role for s in a.stations if s.status != "withdrawn"} if a else {}
    y = {str(s.number): s.role for s in b.stations if s.status != "withdrawn"} if b else {}
    gone = {str(s.number) for s in b.stations if s.gone_at} if b else set()
    for number in (*x, *(n for n in y if n not in x)):
        if number in gone and number not in y:
            out.append(Difference("station", f"{word} {number}", x[number], "gone"))
        elif x.get(number, "").casefold() != y.get(number, "").casefold():
            out.append(Difference("station", f"{word} {number}", x.get(number), y.get(number)))
    return out
