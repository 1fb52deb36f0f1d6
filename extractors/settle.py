"""Two readings of one transcript, with and without what was taken back, made into one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from extractors.mentions import (
    IdentityMention,
    QuantityMention,
    RepairMention,
    SequenceMention,
    Span,
    StationMention,
    ThingMention,
    meet,
)
from extractors.settle_earlier import Sides, settle_earlier
from extractors.word_classes import stem

HEADED = 8
"""Words beside a correction by number alone within which its thing is named; chosen, no source."""
AGAIN, AGAIN_LATE = 8, 30
"""Words within which the figure that stands may be said once more; after a late correction people explain."""
STATED = frozenset({"stated", "hedged"})
YEARS = range(1900, 2100)


@dataclass(frozen=True, slots=True)
class Reading:
    """What one pass over a token stream found."""

    quantities: tuple[QuantityMention, ...] = ()
    things: tuple[ThingMention, ...] = ()
    sequences: tuple[SequenceMention, ...] = ()
    identity: tuple[IdentityMention, ...] = ()
    fates: tuple[RepairMention, ...] = ()
    """Fates of things that were taken back."""


def settle(
    now: Reading,
    before: Reading,
    repairs: tuple[RepairMention, ...],
    counts: Mapping[RepairMention, tuple[int, int]] | None = None,
    sides: Mapping[RepairMention, Sides] | None = None,
) -> Reading:
    """The reading of what stands, with the withdrawn facts of the other reading kept for the record; counts has the two
    bare numbers of late corrections that name nothing ("I said sixteen, it's twenty"), sides the numbers of all."""
    quantities, things, sequences = list(now.quantities), list(now.things), list(now.sequences)
    identity = list(now.identity)
    for repair in repairs:
        if repair.withdrawn is None:
            continue
        olds = [q for q in before.quantities if meet(q.span, repair.withdrawn)]
        numbers = sides.get(repair) if sides else None
        if repair.late and numbers is not None:
            olds = [
                q for q in olds if q.value_max is not None or _same_number(q, numbers.old)
            ]  # "one [I told] seventy"
        _settle_quantities(quantities, olds, repair)
        if repair.late and not olds and counts and repair in counts:
            _settle_bare_figure(quantities, repair, *counts[repair])
        if numbers is not None:
            settle_earlier(quantities, repair, numbers)
            _settle_between(quantities, repair, numbers)
        met = [t for t in before.things if meet(t.span, repair.withdrawn)]
        _settle_things(things, met, repair)
        bare = not any(meet(t.span, repair.kept) and t.status != "withdrawn" for t in things)
        if repair.late and not olds and bare and counts and repair in counts:
            _settle_count(things, repair, *counts[repair], told=met)
        old_stations = [s for q in before.sequences for s in q.stations if meet(s.span, repair.withdrawn)]
        _settle_stations(sequences, old_stations, repair)
        if repair.kept is not None:
            identity = [
                replace(m, status="corrected") if _within(repair.kept, m.span) and m.status == "stated" else m
                for m in identity
            ]
        identity = [x for m in identity for x in _of_the_whole(m, repair, numbers)]
    return Reading(tuple(quantities), tuple(things), tuple(sequences), tuple(identity), now.fates)


def _same_number(q: QuantityMention, number: float) -> bool:
    """Whether a figure is that number, or a year of which its last two digits are said."""
    return q.value == number or (q.property == "year" and q.value % 100 == number)


def _settle_between(all_: list[QuantityMention], repair: RepairMention, sides: Sides) -> None:
    """ "Fifteen thousandths, scratch the fifteen, it's twelve": what is said again on the way to what stands falls with
    what it says again."""
    if (
        repair.withdrawn is None
        or repair.kept is None
        or not any(q.status == "withdrawn" and meet(q.span, repair.withdrawn) for q in all_)
    ):
        return
    begin, end = repair.withdrawn[1], repair.kept[0]
    for i, q in enumerate(all_):
        between = begin <= q.span[0] and q.span[1] <= end and end - begin <= AGAIN
        if between and q.value == sides.old != sides.new and q.value_max is None and q.status in STATED:
            all_[i] = replace(q, status="withdrawn", thing=None)


def _of_the_whole(m: IdentityMention, repair: RepairMention, sides: Sides | None) -> tuple[IdentityMention, ...]:
    """A year, model or serial that was taken back without being cut out of the text ("it's a 2014, or, let me wipe it,
    2016"): it is withdrawn, and what was said instead stands."""
    if m.status == "withdrawn" or not meet(m.span, repair.withdrawn):
        return (m,)
    if repair.kept is None:
        return (replace(m, status="withdrawn"),) if repair.late else (m,)  # "leave the year blank"
    if repair.dropped:
        return (m,)
    value: str | int | None = None
    if m.field == "year" and sides is not None and m.value == sides.old:
        value = int(sides.new) if sides.new in YEARS else None
    elif m.field in ("model", "serial") and repair.heard and repair.heard.lower() in str(m.value).lower():
        begin = str(m.value).lower().index(repair.heard.lower())
        value = str(m.value)[:begin] + repair.read + str(m.value)[begin + len(repair.heard) :]
    if value is None:
        return (m,)
    return replace(m, status="withdrawn"), IdentityMention(repair.kept, m.field, value, "corrected", m.doubt)


def _begin(repair: RepairMention) -> int:
    """The first word of a correction; where nothing is dropped, what stands is all of it."""
    if not repair.dropped and repair.kept is not None:
        return repair.kept[0]
    return min(first for first, _ in repair.dropped)


def _within(a: Span, b: Span) -> bool:
    """Whether most of a lies in b."""
    return min(a[1], b[1]) - max(a[0], b[0]) > 0


def _content(text: str) -> frozenset[str]:
    return frozenset(stem(w) for w in text.lower().replace("-", " ").split() if len(w) > 2 or w.isdigit())


def _figure(q: QuantityMention) -> tuple[float, float | None, str]:
    return q.value, q.value_max, q.unit


# -------------------------------------------------------------------------------------------------------- quantities


def _settle_quantities(all_: list[QuantityMention], olds: list[QuantityMention], repair: RepairMention) -> None:
    news = [i for i, q in enumerate(all_) if meet(q.span, repair.kept) and q.status != "withdrawn"]
    if repair.late:
        olds = _antecedents(all_, olds, news, repair)
    elif repair.kept is not None:
        # "two thirty volts three phase, I should say four sixty volts three phase": the phases were not taken back
        behind = range(repair.kept[0], repair.kept[1] + AGAIN)
        still = {(_figure(q), q.property) for q in all_ if q.span[0] in behind and q.status != "withdrawn"}
        olds = [q for q in olds if (_figure(q), q.property) not in still]
    old_figures = {_figure(q) for q in olds}
    for i in news:
        if olds and _figure(all_[i]) not in old_figures:
            all_[i] = replace(all_[i], status="corrected")
    lead = next((all_[i] for i in news), None)
    if lead is not None and repair.kept is not None:
        all_[:] = [_restated(q, lead, repair.kept, AGAIN_LATE if repair.late else AGAIN) for q in all_]
    for old in olds:
        same = lead is not None and (old.property in {lead.property, "other"} or not _content(old.subject))
        kept = replace(old, status="withdrawn", thing=None)
        if same and lead is not None:
            kept = replace(kept, property=lead.property, subject=lead.subject or old.subject)
        all_[:] = [_treated(q, kept, repair) for q in all_]
        if not any(q.status == "withdrawn" and q.span == old.span and _figure(q) == _figure(old) for q in all_):
            all_.append(kept)  # else it stands there already, where it was said first


def _settle_bare_figure(all_: list[QuantityMention], repair: RepairMention, old: int, new: int) -> None:
    """ "I gave you ninety on the tunnel, and the gauge says seventy. So seventy psi": the figure of that number said
    before, where the one that stands is soon given with the same unit."""
    begin, end = _begin(repair), repair.kept[1] if repair.kept is not None else 0
    soon = range(begin, end + AGAIN_LATE + 1)
    news = [i for i, q in enumerate(all_) if (q.value, q.value_max) == (new, None) and q.unit and q.span[0] in soon]
    units = {all_[i].unit for i in news}
    olds = [
        q
        for q in all_
        if (q.value, q.value_max) == (old, None) and q.span[1] <= begin and q.unit in units and q.status in STATED
    ]
    if not olds:
        return
    about = _content(all_[news[-1]].subject)
    was = next((q for q in reversed(olds) if _content(q.subject) & about), olds[-1])
    for i, q in enumerate(all_):
        if q in olds and (q.property, q.subject, q.unit) == (was.property, was.subject, was.unit):
            all_[i] = replace(q, status="withdrawn", thing=None)
        elif i in news and q.unit == was.unit:
            all_[i] = replace(
                q, status="corrected", subject=was.subject, property=was.property, of=was.of, thing=was.thing
            )


def _restated(q: QuantityMention, lead: QuantityMention, kept: Span, reach: int) -> QuantityMention:
    """The figure that stands, said once more soon after ("So 45 metres."), is one figure of one subject."""
    soon = kept[1] <= q.span[0] <= kept[1] + reach
    if not soon or _figure(q) != _figure(lead) or q.status == "withdrawn":
        return q
    return replace(q, subject=lead.subject, property=lead.property, of=lead.of, thing=lead.thing)


def _treated(q: QuantityMention, withdrawn: QuantityMention, repair: RepairMention) -> QuantityMention:
    """A mention of a figure that was withdrawn of the same subject is withdrawn with it."""
    if q.status in {"withdrawn", "corrected"} or _figure(q) != _figure(withdrawn) or q.property != withdrawn.property:
        return q
    if meet(q.span, repair.kept) or _content(q.subject) != _content(withdrawn.subject) or not _content(q.subject):
        return q
    return replace(q, status="withdrawn")


def _alike(q: QuantityMention, old: QuantityMention) -> bool:
    """Whether one figure is the other said again; "degrees" alone are those of the scale named before."""
    degrees = {q.unit, old.unit} == {"degC", "degF"} and q.value_max == old.value_max
    return _figure(q) == _figure(old) or (degrees and q.value == old.value)


def _antecedents(
    all_: list[QuantityMention], olds: list[QuantityMention], news: list[int], repair: RepairMention
) -> list[QuantityMention]:
    """Of a late correction, the old figures under the subject that they were said of first; that earlier mention is
    withdrawn, and what stands takes its subject and property."""
    out = []
    begin = _begin(repair)
    for old in olds:
        earlier = [i for i, q in enumerate(all_) if q.span[1] <= begin and _alike(q, old) and i not in news]
        about = (
            _content(old.subject).union(*(_content(all_[i].subject) for i in news)) if news else _content(old.subject)
        )
        earlier.sort(key=lambda i: (not _content(all_[i].subject) & about, all_[i].property != old.property, -i))
        if not earlier:
            out.append(old)
            continue
        first = all_[earlier[0]]
        for i in earlier:
            if i == earlier[0] or (
                all_[i].property == first.property and _content(all_[i].subject) == _content(first.subject)
            ):
                all_[i] = replace(all_[i], status="withdrawn", thing=None)
        for i in news:
            if all_[i].unit == first.unit:
                all_[i] = replace(
                    all_[i], subject=first.subject, property=first.property, of=first.of, thing=first.thing
                )
        out.append(replace(old, subject=first.subject, property=first.property, of=first.of))
    return out


# ------------------------------------------------------------------------------------------------------------ things


def _settle_things(all_: list[ThingMention], olds: list[ThingMention], repair: RepairMention) -> None:
    news = [i for i, t in enumerate(all_) if meet(t.span, repair.kept) and t.status != "withdrawn"]
    begin = _begin(repair)
    for old in olds:
        new = next((i for i in news if _content(all_[i].name) & _content(old.name)), news[0] if news else None)
        if new is not None and all_[new].name == old.name and all_[new].count == old.count:
            continue
        if new is not None:
            all_[new] = replace(all_[new], status="corrected")
        if repair.late:
            earlier = _earlier_thing(all_, old, begin)
            if earlier is not None and new is not None and new != earlier:
                if not _content(all_[new].name) & _content(old.name):
                    all_[earlier] = replace(all_[earlier], status="withdrawn")
                all_[new] = replace(all_[new], same_as=earlier)
        all_.append(replace(old, status="withdrawn", same_as=None, part_of=None))


def _settle_count(
    all_: list[ThingMention], repair: RepairMention, old: int, new: int, *, told: list[ThingMention]
) -> None:
    """A count corrected by number alone: of the thing that is named with it or beside it, else of the only one so
    counted."""
    begin = _begin(repair)
    end = repair.kept[1] if repair.kept is not None else begin
    counted = [i for i, t in enumerate(all_) if t.span[1] <= begin and t.count == old and t.status != "withdrawn"]
    others = [t for i, t in enumerate(all_) if i not in counted and t.count in (None, old, new)]
    near = [*told, *(t for t in others if begin - HEADED <= t.span[0] and t.span[1] <= end + HEADED)]
    named = [i for i in counted if any(_content(t.name) & _content(all_[i].name) for t in near)]
    others_named = any(t.name.endswith("s") for t in near)  # "Gate valves. I said six": of no other thing
    chosen = named[-1] if named else counted[0] if len(counted) == 1 and not others_named else None
    if chosen is None:
        return
    was = all_[chosen]
    all_[chosen] = replace(was, count=new, status="corrected")
    all_.append(replace(was, status="withdrawn", same_as=None, part_of=None))


def _earlier_thing(all_: list[ThingMention], old: ThingMention, begin: int) -> int | None:
    """The mention that a late correction goes back to: the nearest of the same name, best with the same count."""
    found = [
        i
        for i, t in enumerate(all_)
        if t.span[1] <= begin and t.status != "withdrawn" and _content(t.name) & _content(old.name)
    ]
    found.sort(
        key=lambda i: (
            all_[i].count != old.count,
            all_[i].name != old.name,
            -len(_content(all_[i].name) & _content(old.name)),
            -i,
        )
    )
    return found[0] if found else None


# ---------------------------------------------------------------------------------------------------------- stations


def _settle_stations(all_: list[SequenceMention], olds: Iterable[StationMention], repair: RepairMention) -> None:
    for k, sequence in enumerate(all_):
        if not any(meet(s.span, repair.kept) for s in sequence.stations):
            continue
        standing = {(s.number, s.role) for s in sequence.stations}
        gone = [s for s in olds if (s.number, s.role) not in standing]
        if not gone:
            continue
        numbers = {s.number for s in gone}
        kept = tuple(
            replace(s, status="corrected")
            if meet(s.span, repair.kept) and (s.number in numbers or (s.status == "stated" and len(numbers) > 1))
            else s
            for s in sequence.stations
        )
        all_[k] = replace(sequence, stations=(*kept, *(replace(s, status="withdrawn") for s in gone)))
