"""Mentions to a Walk: ids, evidence, one fact for each thing said however often, and what was withdrawn kept apart."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import fields, replace
from typing import Any, cast

from extractors.mentions import (
    IdentityMention,
    Mentions,
    QuantityMention,
    RepairMention,
    SequenceMention,
    Span,
    StationMention,
    ThingMention,
    meet,
)
from extractors.words import Evidence, Transcript
from pipeline.walk import (
    IDENTITY_FIELDS,
    PROPERTIES,
    AtOnce,
    Breakdown,
    Component,
    Disposition,
    Identity,
    Loose,
    Quantity,
    Remark,
    Repair,
    Sequence,
    Source,
    Speech,
    Stated,
    Station,
    Status,
    Stopped,
    Sum,
    Walk,
)

STANDING = ("corrected", "stated", "hedged", "withdrawn")
"""Of several mentions of one fact the first of these that occurs is the status of the fact."""
NEAR = 14
"""Words within which the same figure said twice is one figure ("85 centimetres, yes, 85"). No source."""
AGAIN = 60
"""Words within which "motor" and "pump motor" of one amount are one figure; further off they are two. No source."""
BEFORE, BEHIND = 26, 12
"""Words of its sentence before and behind a figure that are kept with it. No source."""
EMPTY = frozenset("a an the this that these those its it of on in at to for and by with one".split())


def assemble(transcript: Transcript, mentions: Mentions, source: Source, speech: Speech | None = None) -> Walk:
    """The walk that the mentions add up to; findings are left to the checks."""
    return Walk(
        source=source,
        speech=speech,
        identity=_identity(transcript, mentions.identity),
        quantities=_quantities(transcript, mentions.quantities, mentions.repairs),
        sequences=tuple(_sequence(transcript, s) for s in mentions.sequences),
        components=_components(transcript, mentions.things),
        repairs=tuple(_repair(transcript, r) for r in sorted(mentions.repairs, key=_first)),
        remarks=tuple(Remark(r.kind, r.subject, r.text, _quote(transcript, [r.span])) for r in mentions.remarks),
        breakdowns=tuple(
            Breakdown(b.noun, b.total, b.parts, b.whole, _quote(transcript, [b.span]), b.of, b.factors)
            for b in mentions.breakdowns
        ),
        answers=mentions.answers,
        sums=tuple(
            Sum(transcript.quote(*s.total), tuple(transcript.quote(*p) for p in s.parts), s.times, s.closed)
            for s in mentions.sums
        ),
        at_once=tuple(AtOnce(a.noun, a.count, _quote(transcript, [a.span])) for a in mentions.at_once),
        loose=tuple(Loose(n.value, n.before, n.behind, _quote(transcript, [n.span])) for n in mentions.loose),
        stopped=tuple(Stopped(s.year, _quote(transcript, [s.span])) for s in mentions.stopped),
    )


# ---------------------------------------------------------------------------------------------------------- evidence


def _quote(transcript: Transcript, spans: Iterable[Span | None]) -> tuple[Evidence, ...]:
    """The words of each span, verbatim, in order of time and none twice."""
    whole = {(max(0, a), min(b, len(transcript.words))) for a, b in (s for s in spans if s is not None)}
    return tuple(transcript.quote(a, b) for a, b in sorted(whole) if a < b)


def _first(repair: RepairMention) -> int:
    spans = [s for s in (repair.withdrawn, repair.kept, *repair.dropped) if s is not None]
    return min((a for a, _ in spans), default=0)


def _repair(transcript: Transcript, repair: RepairMention) -> Repair:
    """A repair with the stretch that shows both sides: what was taken back, the cue, what stands."""
    spans = [s for s in (repair.withdrawn, *repair.dropped, repair.kept) if s is not None]
    if spans and max(b for _, b in spans) - min(a for a, _ in spans) <= 30:
        spans = [(min(a for a, _ in spans), max(b for _, b in spans))]
    return Repair(repair.kind, repair.heard, repair.read, _quote(transcript, spans))


# -------------------------------------------------------------------------------------------------------- quantities


def _quantities(
    transcript: Transcript, mentions: tuple[QuantityMention, ...], repairs: tuple[RepairMention, ...]
) -> tuple[Quantity, ...]:
    groups: list[list[QuantityMention]] = []
    for mention in sorted(mentions, key=lambda m: (m.span, m.property, m.unit)):
        for group in groups:
            if any(_same_figure(mention, other) for other in group):
                group.append(mention)
                break
        else:
            groups.append([mention])
    made = [_quantity(transcript, group, f"q{i}") for i, group in enumerate(groups, 1)]
    for i, group in enumerate(groups):
        if made[i].status == "corrected":
            made[i] = replace(made[i], replaces=_replaced(groups, made, group, repairs))
    return tuple(made)


def _same_figure(a: QuantityMention, b: QuantityMention) -> bool:
    """Whether two mentions give one figure of one subject. The same amount in another unit is another figure."""
    if (a.status == "withdrawn") != (b.status == "withdrawn"):
        return False
    if (a.property, a.unit, a.value, a.value_max) != (b.property, b.unit, b.value, b.value_max):
        return False
    # "every two feet", then "two foot hooks": one spacing, said with and without its word
    plain = ("", "spacing")
    one, other = ("", "") if a.property == "year" else (a.qualifier or "", b.qualifier or "")
    if a.span == b.span or (one != other and not (one in plain and other in plain)):
        return False
    x, y = _content(a.subject), _content(b.subject)
    if x == y:
        return True
    gap = max(a.span[0], b.span[0]) - min(a.span[1], b.span[1])
    corrected = "corrected" in (a.status, b.status)
    return (x <= y or y <= x) and (corrected or gap <= (AGAIN if min(len(x), len(y)) > 0 else NEAR))


def _content(text: str) -> frozenset[str]:
    """The words of a name that tell it from others, a plural read as its singular."""
    words = re.findall(r"[a-z0-9]+", text.lower())
    return frozenset(w.removesuffix("s") if len(w) > 3 else w for w in words if w not in EMPTY)


def _quantity(transcript: Transcript, group: list[QuantityMention], name: str) -> Quantity:
    lead = next((m for m in group if m.status == "corrected"), group[0])
    longest = max(group, key=lambda m: len(_content(m.subject)))
    return Quantity(
        id=name,
        subject=lead.subject if _content(lead.subject) else longest.subject,
        property=lead.property if lead.property in PROPERTIES else "other",
        value=lead.value,
        unit=lead.unit,
        value_max=lead.value_max,
        of=_known(m.of for m in group),
        approximate=all(m.approximate for m in group),
        status=_status(m.status for m in group),
        # a figure said twice is as sure as its surest mention
        doubt=None if any(m.doubt is None for m in group) else lead.doubt,
        basis=_known(m.basis for m in group),
        by=_known(m.by for m in group),
        each=any(m.each for m in group),
        qualifier=lead.qualifier,
        around=_around(transcript, lead.span),
        evidence=_quote(transcript, (m.span for m in group)),
    )


def _around(transcript: Transcript, span: Span) -> str:
    """The words of a sentence nearest to a stretch, its own among them: at most BEFORE and BEHIND of them."""
    begin = max(0, min(span[0], len(transcript.words)))
    until = max(begin, min(span[1], len(transcript.words)))
    words = [w.text for w in transcript.words[max(0, begin - BEFORE) : until + BEHIND]]
    first = min(begin, BEFORE)
    last = first + until - begin
    start = next((k + 1 for k in range(first - 1, -1, -1) if words[k].endswith((".", "?", "!"))), 0)
    stops = (k + 1 for k in range(max(first, last - 1), len(words)) if words[k].endswith((".", "?", "!")))
    end = next(stops, len(words))
    return " ".join(words[start:end]).lower()


def _replaced(
    groups: list[list[QuantityMention]],
    made: list[Quantity],
    group: list[QuantityMention],
    repairs: tuple[RepairMention, ...],
) -> str | None:
    """Id of the withdrawn figure that this one stands in the place of: by the repair that links their words."""
    for repair in repairs:
        if repair.withdrawn is None or repair.kept is None or not any(meet(m.span, repair.kept) for m in group):
            continue
        for other, quantity in zip(groups, made, strict=True):
            if quantity.status == "withdrawn" and any(meet(m.span, repair.withdrawn) for m in other):
                return quantity.id
    return None


def _status(statuses: Iterable[str]) -> Status:
    found = set(statuses)
    return cast(Status, next((s for s in STANDING if s in found), "stated"))


def _known(values: Iterable[Any]) -> Any:
    """The first value that was said; None where none was."""
    return next((v for v in values if v is not None), None)


# -------------------------------------------------------------------------------------------------------- components


def _components(transcript: Transcript, things: tuple[ThingMention, ...]) -> tuple[Component, ...]:
    roots = [_root(things, i) for i in range(len(things))]
    # what is put right later was meant to be listed
    named = {r for t, r in zip(things, roots, strict=True) if not things[r].passing or t.status == "corrected"}
    order = sorted(named, key=lambda r: (min(t.span for i, t in enumerate(things) if roots[i] == r), r))
    ids = {root: f"c{n}" for n, root in enumerate(order, 1)}
    out = []
    for root in order:
        group = [t for i, t in enumerate(things) if roots[i] == root]
        standing = [t for t in group if t.status != "withdrawn"] or group
        part_of = _known(t.part_of for t in standing)
        parent = roots[part_of] if part_of is not None and 0 <= part_of < len(things) else None
        component = _component(transcript, standing, ids[root])
        out.append(replace(component, part_of=ids.get(parent) if parent not in (None, root) else None))
    return tuple(out)


def _root(things: tuple[ThingMention, ...], i: int) -> int:
    """The mention that i goes back to; a circle of references ends at its lowest index."""
    seen: list[int] = []
    while i not in seen:
        seen.append(i)
        back = things[i].same_as
        if back is None or not 0 <= back < len(things):
            return i
        i = back
    return min(seen[seen.index(i) :])


def _component(transcript: Transcript, group: list[ThingMention], name: str) -> Component:
    lead = next((t for t in group if t.status == "corrected" and t.count is not None), None)
    counts = [t.count for t in group if t.count is not None]
    count = lead.count if lead else _known(counts)
    if count is None and any(t.single for t in group):
        count = 1
    named = lead if lead and lead.name else group[0]
    # what was said last of where a thing goes is what stands: people decide while they walk
    disposition = _known(t.disposition for t in reversed(group))
    doubt = None if any(t.doubt is None for t in group) else _known(t.doubt for t in group)
    if lead is None and len(set(counts)) > 1:
        doubt = f"counted as {' and as '.join(str(c) for c in dict.fromkeys(counts))}"
    return Component(
        id=name,
        name=named.name,
        count=count,
        approximate=any(t.approximate and t.count == count for t in group),
        disposition=cast(Disposition | None, disposition),
        reason=_known(t.reason for t in reversed(group)),
        condition="; ".join(dict.fromkeys(t.condition for t in group if t.condition)) or None,
        material=_known(t.material for t in group),
        defects=tuple(dict.fromkeys(d for t in group for d in t.defects)),
        running=_known(t.running for t in group),
        maker=_known(t.maker for t in group),
        model=_known(t.model for t in group),
        serial=_known(t.serial for t in group),
        year=_known(t.year for t in group),
        basis=_known(t.basis for t in group),
        by=_known(t.by for t in group),
        status=_status(t.status for t in group),
        doubt=doubt,
        evidence=_quote(transcript, (t.span for t in group)),
    )


# ---------------------------------------------------------------------------------------------- sequences, identity


def _sequence(transcript: Transcript, mention: SequenceMention) -> Sequence:
    groups: dict[tuple[int | str, bool], list[StationMention]] = {}
    for s in mention.stations:
        groups.setdefault((s.number, s.status == "withdrawn"), []).append(s)
    stations = tuple(_station(transcript, number, group) for (number, _), group in groups.items())
    return Sequence(
        mention.name, mention.station_word, mention.stated_count, stations, _quote(transcript, [mention.span]),
        closed=mention.closed,
    )  # fmt: skip


def _station(transcript: Transcript, number: int | str, group: list[StationMention]) -> Station:
    """One station; said again with other words, the corrected role stands, else the first that says anything."""
    lead = next((s for s in group if s.status == "corrected"), None) or next((s for s in group if s.role), group[0])
    doubt = None if any(s.doubt is None for s in group) else lead.doubt
    evidence = _quote(transcript, (s.span for s in group))
    other = next((s for s in group if s.also), None)
    also = other.also if other else None
    also_at = _quote(transcript, [other.also_span]) if other and other.also_span else ()
    gone_at = _quote(transcript, [s.gone_span for s in group if s.gone_span][:1])
    status = _status(s.status for s in group)
    return Station(number, lead.role, status, doubt, evidence, also=also, also_at=also_at, gone_at=gone_at)


def _identity(transcript: Transcript, mentions: tuple[IdentityMention, ...]) -> Identity:
    found: dict[str, Stated] = {}
    for name in (f.name for f in fields(Identity)):
        said = [m for m in mentions if m.field == name and name in IDENTITY_FIELDS and m.status != "withdrawn"]
        if not said:
            continue
        lead = next((m for m in said if m.status == "corrected"), said[0])
        same = [m for m in said if str(m.value).lower() == str(lead.value).lower()]
        doubt = None if any(m.doubt is None for m in same) else lead.doubt
        evidence = _quote(transcript, (m.span for m in same))
        found[name] = Stated(lead.value, _status(m.status for m in same), doubt, evidence)
    return Identity(**found)
