"""A walk and what people decided about it to a new walk.

A decision carries a copy of the fact as it stood when it was decided. It finds that fact again by the second at which
it was said and by what it says, never by its id, so that a better recogniser or a new reading keeps it. Where the
words no longer give the fact at all, the decision gives it: what a person settled is not lost because a machine
mishears. Applying decisions twice changes nothing more.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields, replace
from functools import lru_cache
from typing import Any, TypeVar, cast

from extractors.units import UnknownUnit, convert, known
from extractors.words import Evidence
from pipeline.errors import DecisionError, WalkError
from pipeline.walk import (
    IDENTITY_FIELDS,
    PROPERTIES,
    Component,
    Decided,
    Finding,
    Identity,
    Quantity,
    Sequence,
    Stated,
    Station,
    Walk,
    build,
    plain,
)

ACTS = ("change", "confirm", "withdraw", "add", "settle", "accept", "undo", "mark")
"""undo takes back an earlier line; mark is a moment to look at again. Lines with other acts are kept, not applied."""
_NAMES = {
    "quantity": "subject property value value_max unit of approximate basis by each qualifier",
    "component": "name count approximate disposition reason condition material defects running maker model serial year "
    "basis by",
    "empty": "a an the this that these those its of it on in at to for and by with one",
}
KINDS: Mapping[str, tuple[str, ...]] = {
    "quantity": tuple(_NAMES["quantity"].split()),
    "component": tuple(_NAMES["component"].split()),
    "station": ("number", "role"),
    "sequence": ("name", "station_word", "stated_count"),
    "identity": ("value",),
    "finding": (),
}
"""Kinds of things that can be decided about, and what of them can be set."""
NEEDED: Mapping[str, tuple[str, ...]] = {
    "quantity": ("property", "value"),
    "component": ("name",),
    "station": ("number",),
    "identity": ("field", "value"),
    "sequence": ("name",),
}
"""Without these nothing can be added."""
BY_HAND = "written by hand"
NEAR = 2.0
"""Seconds by which two hearings of one word may lie apart: windows are cut differently. Chosen, no source."""
LONGEST = 2000
"""Characters of a text that a decision may set."""
EMPTY = frozenset(_NAMES["empty"].split())


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """One line of the decisions file."""

    id: str
    who: str
    when: str
    """ISO 8601, by the clock of the computer; the order of lines counts, not this."""
    act: str
    kind: str = ""
    """A key of KINDS; empty for undo and mark."""
    fact: Mapping[str, Any] = field(default_factory=dict)
    """The fact or finding as it stood; for a station also "sequence", for an identity field "field"."""
    set: Mapping[str, Any] = field(default_factory=dict)
    """Names and new values."""
    why: str = ""
    of: str = ""
    """For undo: the id of the line that is taken back."""
    at: float | None = None
    """Second of the recording, for mark and for an added fact that was pointed at."""


Fact = Quantity | Component | Station | Sequence
T = TypeVar("T", bound=Fact)
Copies = Mapping[str, Mapping[str, Any]]
"""Id of a decision -> the fact as it stood when that was decided."""
Spans = Mapping[str | None, list[tuple[float, float]]]
"""Recording (None for the walk's own) -> seconds of evidence."""
JUDGED = frozenset({"value", "value_max", "unit", "count", "number", "role", "name"})
"""Setting one of these settles the doubt in a fact; setting its subject or its disposition does not."""


# --------------------------------------------------------------------------------------------- what can be decided


def locate(walk: Walk, ref: str) -> tuple[str, dict[str, Any]]:
    """Kind and copy of what a reference names, for a new decision. Raises DecisionError where it names nothing.

    References: the id of a quantity, component or finding; "identity:serial"; "station:0:3" (fourth station of the
    first sequence); "sequence:0".
    """
    head, _, rest = ref.partition(":")
    if head == "identity" and rest in IDENTITY_FIELDS:
        stated = getattr(walk.identity, rest)
        return "identity", {"field": rest, **(plain(stated) if stated is not None else {})}
    places = rest.split(":")
    if head in ("station", "sequence") and all(p.isascii() and p.isdigit() and len(p) < 6 for p in places):
        numbers = [int(p) for p in places]
        if numbers[0] < len(walk.sequences):
            sequence = walk.sequences[numbers[0]]
            if head == "sequence" and len(numbers) == 1:
                return "sequence", {k: v for k, v in plain(sequence).items() if k != "stations"}
            if head == "station" and len(numbers) == 2 and numbers[1] < len(sequence.stations):
                return "station", {"sequence": sequence.name, **plain(sequence.stations[numbers[1]])}
    for kind, pool in (("quantity", walk.quantities), ("component", walk.components), ("finding", walk.findings)):
        for item in pool:
            if item.id == ref:
                return kind, plain(item)
    raise DecisionError(f"there is no fact or finding {ref[:60]!r} in this walk", remedy="Load the page again.")


def problem(kind: str, changes: Mapping[str, Any]) -> str | None:
    """Why these values cannot be set on a fact of this kind; None where they can."""
    if kind not in KINDS:
        return f"there is no kind {kind[:40]!r}"
    for name, value in changes.items():
        if name not in KINDS[kind] and not (name == "field" and kind == "identity"):
            return f"{name[:40]!r} of a {kind} cannot be set"
        fault = _fault(kind, name, value)
        if fault:
            return f"{name}: {fault}"
    return None


def _fault(kind: str, name: str, value: Any) -> str | None:
    if name == "property":
        return None if value in PROPERTIES else f"one of {', '.join(PROPERTIES)}"
    if name == "field":
        return None if value in IDENTITY_FIELDS else f"one of {', '.join(IDENTITY_FIELDS)}"
    if name == "disposition":
        return None if value in (None, "included", "excluded", "uncertain") else "included, excluded or uncertain"
    if name in ("value", "value_max") and kind == "quantity":
        if value is None and name == "value_max":
            return None
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            return "a number is needed"
        return None if abs(value) < 1e15 else "this number is too large"
    if name in ("count", "year", "stated_count"):
        whole = isinstance(value, int) and not isinstance(value, bool) and 0 <= value < 10**9
        return None if value is None or whole else "a whole number is needed"
    if name in ("approximate", "each"):
        return None if isinstance(value, bool) else "yes or no is needed"
    if name == "unit":
        return None if isinstance(value, str) and (not value or known(value)) else "this unit is not known"
    if name == "defects":
        good = isinstance(value, list | tuple) and all(isinstance(v, str) and len(v) <= LONGEST for v in value)
        return None if good else "a list of texts is needed"
    if name in ("number", "value") and isinstance(value, int) and not isinstance(value, bool):
        return None if 0 <= value < 10**9 else "this number is too large"
    if value is None and name not in ("subject", "name", "number", "role", "value", "station_word"):
        return None
    if not isinstance(value, str):
        return "a text is needed"
    if not value.strip() and name in ("name", "number", "value"):
        return "this must not be empty"
    return None if len(value) <= LONGEST else f"at most {LONGEST} characters"


def standing(decisions: Iterable[Decision]) -> tuple[Decision, ...]:
    """Decisions that no later line takes back, in their order; an undo can itself be undone."""
    lines = tuple(decisions)
    gone: set[str] = set()
    for d in reversed(lines):
        if d.act == "undo" and d.id not in gone:
            gone.add(d.of)
    return tuple(d for d in lines if d.act != "undo" and d.id not in gone)


# ------------------------------------------------------------------------------------------------------- applying


def apply(walk: Walk, decisions: Iterable[Decision]) -> Walk:
    """The walk as people settled it; decisions are applied in their order, findings that were settled are set aside."""
    lines = tuple(d for d in standing(decisions) if d.act in ACTS and d.act != "mark")
    return _applied(replace(walk, decided=()), lines, lines, {d.id: d for d in walk.decided})


def extend(walk: Walk, decisions: Iterable[Decision], new: Decision) -> Walk:
    """A walk to which the decisions were applied already, and one more to it; new must be no undo."""
    return _applied(walk, (*standing(decisions), new), (new,), {})


def _applied(walk: Walk, known: tuple[Decision, ...], lines: Iterable[Decision], before: dict[str, Decided]) -> Walk:
    copies: Copies = {d.id: d.fact for d in known}
    record = list(walk.decided)
    for decision in lines:
        if decision.act not in ACTS or decision.act in ("mark", "undo"):
            continue
        walk, done = _apply_one(walk, decision, copies, before.get(decision.id))
        record.append(done)
    # what a decision touched is named as it is called in the end, after all later decisions
    named: dict[str, list[str]] = {}
    stations = tuple(x for s in walk.sequences for x in s.stations)
    everything: tuple[Fact, ...] = (*walk.quantities, *walk.components, *walk.sequences, *stations)
    for fact in everything:
        for n in fact.decided:
            named.setdefault(n, []).append(_ref(fact))
    return replace(walk, decided=tuple(replace(r, facts=tuple(named.get(r.id, r.facts))) for r in record))


def unapply(walk: Walk, decisions: Iterable[Decision]) -> Walk:
    """The walk as it was read, before any of these decisions (all lines of the file); its findings need a new check.

    Each fact goes back to the copy that its first decision kept; facts that only a decision gave go.
    """
    lines = {d.id: d for d in decisions}
    identity = walk.identity
    for name in IDENTITY_FIELDS:
        first = next((d for d in lines.values() if _identity_field(d) == name and _stands(walk, d)), None)
        if first is not None:
            identity = replace(identity, **{name: _stated_copy(first)})
    sequences = tuple(
        s
        for s in (_unapplied(replace(s, stations=_all_unapplied(s.stations, lines)), lines) for s in walk.sequences)
        if s is not None and (s.stations or s.evidence)
    )
    return replace(
        walk,
        identity=identity,
        quantities=_all_unapplied(walk.quantities, lines),
        components=_all_unapplied(walk.components, lines),
        sequences=sequences,
        decided=(),
    )


def _identity_field(d: Decision) -> str:
    return str(d.set.get("field") or d.fact.get("field", "")) if d.kind == "identity" else ""


def _stands(walk: Walk, d: Decision) -> bool:
    return any(r.id == d.id for r in walk.decided)


def _stated_copy(d: Decision) -> Stated | None:
    if d.act == "add" or "value" not in d.fact:
        return None
    values = {k: v for k, v in d.fact.items() if k != "field"}
    return cast(Stated, build(Stated, {**values, "decided": []}, "decision"))


def _all_unapplied(pool: tuple[T, ...], lines: Mapping[str, Decision]) -> tuple[T, ...]:
    return tuple(f for f in (_unapplied(fact, lines) for fact in pool) if f is not None)


def _unapplied(fact: T, lines: Mapping[str, Decision]) -> T | None:
    first = next((lines[n] for n in fact.decided if n in lines), None)
    if first is None:
        return fact
    heard = tuple(e for e in fact.evidence if not e.words.startswith(BY_HAND))
    if first.act == "add":
        # the words had given it too, or else only the hand did
        return replace(fact, evidence=heard, decided=()) if heard else None
    values = {f.name: first.fact[f.name] for f in fields(fact) if f.name in first.fact}
    values |= {"decided": [], "evidence": plain(heard)}
    if isinstance(fact, Quantity | Component):
        values["id"] = fact.id
    if isinstance(fact, Sequence):
        values["stations"] = plain(fact.stations)
    return _typed(fact, values)


def _apply_one(walk: Walk, d: Decision, copies: Copies, earlier: Decided | None) -> tuple[Walk, Decided]:
    if problem(d.kind, d.set) is not None:
        return walk, Decided(d.id, d.who, d.when, d.act, "a line that this version cannot apply", d.why, applied=False)
    if d.kind == "finding":
        return _settle(walk, d, earlier)
    try:
        if d.kind == "identity":
            walk, ids = _identity(walk, d)
        elif d.kind in ("station", "sequence"):
            walk, ids = _sequences(walk, d, copies)
        else:
            walk, ids = _listed(walk, d, copies)
    except WalkError as error:
        return walk, Decided(d.id, d.who, d.when, d.act, f"{describe(d)} ({error})", d.why, applied=False)
    return walk, Decided(d.id, d.who, d.when, d.act, describe(d), d.why, ids, applied=bool(ids) or d.act == "withdraw")


def _settle(walk: Walk, d: Decision, earlier: Decided | None) -> tuple[Walk, Decided]:
    """Set a finding aside: the same rule with the same message, or the same figures said at the same moment."""
    same = tuple(f for f in walk.findings if _same_finding(f, d.fact))
    finding = same[0] if same else earlier.finding if earlier else None
    left = tuple(f for f in walk.findings if f not in same)
    done = Decided(
        d.id, d.who, d.when, d.act, describe(d), d.why, finding.facts if finding else (), finding, finding is not None
    )
    return replace(walk, findings=left), done


def _same_finding(finding: Finding, copy: Mapping[str, Any]) -> bool:
    if finding.rule != copy.get("rule"):
        return False
    message = str(copy.get("message", ""))
    if finding.id == copy.get("id") or finding.message == message:
        return True
    figures = re.findall(r"\d+(?:[.,]\d+)*", finding.message)
    # two findings without a figure in them are one only where their words agree
    return (
        bool(figures)
        and figures == re.findall(r"\d+(?:[.,]\d+)*", message)
        and _gap(finding.evidence, _spans(copy)) <= NEAR
    )


def _listed(walk: Walk, d: Decision, copies: Copies) -> tuple[Walk, tuple[str, ...]]:
    """Decide about a quantity or a component."""
    if d.kind == "quantity":
        quantities, name = _decide(walk.quantities, d, Quantity, "q", copies)
        return replace(walk, quantities=quantities), name
    components, name = _decide(walk.components, d, Component, "c", copies)
    return replace(walk, components=components), name


def _decide(
    pool: tuple[T, ...], d: Decision, cls: type[T], letter: str, copies: Copies
) -> tuple[tuple[T, ...], tuple[str, ...]]:
    at = find(pool, d, copies)
    if at is not None:
        changed = _decided(pool[at], d)
        return (*pool[:at], changed, *pool[at + 1 :]), (_ref(changed),)
    if d.act == "withdraw":
        return pool, ()
    made = _made(d, cls, letter)
    return (*pool, made), (_ref(made),)


def _ref(fact: Fact) -> str:
    """What names a fact in the record of decisions: its id where it has one."""
    if isinstance(fact, Station):
        return f"station {fact.number}"
    return f"sequence:{fact.name}" if isinstance(fact, Sequence) else fact.id


def _decided(fact: T, d: Decision) -> T:
    """The fact as the decision leaves it. A confirmation restores the values that were confirmed."""
    if d.act == "add":
        # the words say by now what was once added by hand: the fact gets the hand as a second witness
        values: dict[str, Any] = {"evidence": _with(fact.evidence, by_hand(d))}
    elif d.act == "withdraw":
        values = {} if isinstance(fact, Sequence) else {"status": "withdrawn"}
    else:
        copied = {k: d.fact[k] for k in KINDS[d.kind] if k in d.fact}
        values = {**copied, **d.set} if d.act != "change" else {**_heard(fact, d), **d.set}
        if not isinstance(fact, Sequence):
            moved = any(d.fact.get(k) != v for k, v in d.set.items())
            values["status"] = "corrected" if moved or fact.status == "corrected" else "stated"
    if not isinstance(fact, Sequence) and (d.act != "change" or not JUDGED.isdisjoint(d.set)):
        values["doubt"] = None
    values["decided"] = (*fact.decided, d.id) if d.id not in fact.decided else fact.decided
    return _typed(fact, values)


def _heard(fact: Fact, d: Decision) -> dict[str, Any]:
    """A change of one thing leaves the rest as heard now, save a figure: value and unit were judged together."""
    if isinstance(fact, Quantity) and not d.set.keys().isdisjoint(("value", "unit", "value_max")):
        return {k: d.fact[k] for k in ("value", "unit", "value_max") if k in d.fact}
    return {}


def _typed(fact: T, values: Mapping[str, Any]) -> T:
    made = build(type(fact), {**plain(fact), **plain(dict(values))}, "decision")
    return cast(T, made)


def _made(d: Decision, cls: type[T], letter: str) -> T:
    """A fact that the words do not give, from the decision alone."""
    names = {f.name for f in fields(cls)}
    values: dict[str, Any] = {k: v for k, v in d.fact.items() if k in names and k not in ("replaces", "part_of")}
    values |= d.set
    values.setdefault("subject" if cls is Quantity else "role" if cls is Station else "name", "")
    if cls is Quantity:
        values.setdefault("property", "other")
        values.setdefault("unit", "")
    if cls is Sequence:
        values.setdefault("station_word", "station")
    values |= {"doubt": None, "status": "corrected" if d.act in ("change", "accept") else "stated", "decided": (d.id,)}
    values["id"] = f"{letter}-{d.id}"
    if d.act == "add" or not values.get("evidence"):
        values["evidence"] = (by_hand(d),)
    return cast(T, build(cls, plain({k: v for k, v in values.items() if k in names}), "decision"))


def by_hand(d: Decision) -> Evidence:
    """What stands as evidence for a fact that nobody said: the hand that wrote it, and the day."""
    at = d.at if d.at is not None and math.isfinite(d.at) and d.at >= 0 else 0.0
    return Evidence(at, at, f"{BY_HAND}, {d.when[:10]}")


def _with(evidence: tuple[Evidence, ...], one: Evidence) -> tuple[Evidence, ...]:
    return evidence if one in evidence else (*evidence, one)


def _identity(walk: Walk, d: Decision) -> tuple[Walk, tuple[str, ...]]:
    name = str(d.set.get("field") or d.fact.get("field", ""))
    if name not in IDENTITY_FIELDS:
        raise WalkError(f"no field {name[:40]!r} of the identity")
    now: Stated | None = getattr(walk.identity, name)
    if d.act == "withdraw":
        return _with_identity(walk.identity, walk, name, None), (f"identity:{name}",)
    value = d.set.get("value", d.fact.get("value"))
    if not isinstance(value, str | int) or isinstance(value, bool):
        raise WalkError(f"identity.{name}: a text or a whole number is needed")
    evidence = now.evidence if now is not None else ()
    if d.act == "add" or not evidence:
        evidence = _with(evidence, by_hand(d))
    moved = d.act != "add" and d.fact.get("value") not in (None, value)
    status = "corrected" if moved or (now is not None and now.status == "corrected") else "stated"
    ids = now.decided if now is not None else ()
    stated = Stated(value, status, None, evidence, ids if d.id in ids else (*ids, d.id))  # type: ignore[arg-type]
    return _with_identity(walk.identity, walk, name, stated), (f"identity:{name}",)


def _with_identity(identity: Identity, walk: Walk, name: str, stated: Stated | None) -> Walk:
    return replace(walk, identity=replace(identity, **{name: stated}))


def _sequences(walk: Walk, d: Decision, copies: Copies) -> tuple[Walk, tuple[str, ...]]:
    if d.kind == "sequence":
        sequences, ids = _decide(walk.sequences, d, Sequence, "", copies)
        return replace(walk, sequences=sequences), ids
    wanted = str(d.fact.get("sequence", ""))
    at = max(
        range(len(walk.sequences)),
        key=lambda i: (
            find(walk.sequences[i].stations, d, copies) is not None,
            _overlap(walk.sequences[i].name, wanted),
        ),
        default=None,
    )
    sequence = walk.sequences[at] if at is not None else Sequence(wanted, "station")
    stations, ids = _decide(sequence.stations, d, Station, "", copies)
    if len(stations) > len(sequence.stations):
        stations = tuple(sorted(stations, key=lambda s: s.number if isinstance(s.number, int) else 10**9))
    sequence = replace(sequence, stations=stations)
    whole = list(walk.sequences)
    whole[at if at is not None else len(whole) :] = [sequence, *(whole[at + 1 :] if at is not None else [])]
    return replace(walk, sequences=tuple(whole)), ids


# --------------------------------------------------------------------------------------------- finding a fact again


def find(pool: tuple[Any, ...], d: Decision, copies: Copies) -> int | None:
    """Index of the fact that a decision was made about; None where the words no longer give it."""
    copy = {**d.fact, **d.set} if d.act == "add" else d.fact
    for i, fact in enumerate(pool):
        ids = fact.decided
        # a second decision may have been made on a page that did not yet show the first
        if d.id in ids or (d.fact and any(_same_copy(copies.get(n, {}), d.fact) for n in ids)):
            return i
    spans = _spans(copy)
    scored = [(_likeness(fact, copy, spans), -i) for i, fact in enumerate(pool)]
    best, at = max(scored, default=(0.0, 0))
    return -at if best > 0 else None


def _same_copy(a: Mapping[str, Any], b: Mapping[str, Any]) -> bool:
    loose = ("id", "decided", "doubt", "status")
    return {k: v for k, v in a.items() if k not in loose} == {k: v for k, v in b.items() if k not in loose}


def _likeness(fact: Fact, copy: Mapping[str, Any], spans: Spans) -> float:
    """How surely a fact is the one that was copied; 0 where it is another. Moment first, then what it says."""
    gap = _gap(fact.evidence, spans)
    moment = 2.0 - gap / NEAR if gap <= NEAR else 0.0
    if isinstance(fact, Sequence):
        return 1.0 + moment + _overlap(fact.name, str(copy.get("name", "")))
    if isinstance(fact, Station):
        number, role = fact.number == copy.get("number"), _overlap(fact.role, str(copy.get("role", "")))
        return moment + number + role if number or (moment >= 1.9 and role > 0) else 0.0
    if isinstance(fact, Quantity):
        name, figure = _overlap(fact.subject, str(copy.get("subject", ""))), _same_figure(fact, copy)
        filed = fact.property == copy.get("property")
        if moment >= 1.9:
            sure = filed or figure
        elif moment:
            sure = (figure and filed) or (filed and name == 1.0)
        else:
            sure = figure and filed and name > 0 and fact.unit == copy.get("unit")
        near_unit = 0.5 * (fact.unit == copy.get("unit"))
        return moment + name + 1.5 * figure + filed + near_unit if sure else 0.0
    if isinstance(fact, Component):
        name, count = _overlap(fact.name, str(copy.get("name", ""))), fact.count == copy.get("count")
        sure = name > 0 or count if moment >= 1.9 else name >= 0.5 if moment else name == 1.0
        return moment + 2 * name + 0.5 * count if sure else 0.0
    return 0.0


def _spans(copy: Mapping[str, Any]) -> Spans:
    """When a copied fact was heard, by recording."""
    spans: dict[str | None, list[tuple[float, float]]] = {}
    for e in copy.get("evidence") or ():
        if not isinstance(e, Mapping) or str(e.get("words", "")).startswith(BY_HAND):
            continue
        if isinstance(e.get("start"), int | float) and isinstance(e.get("end"), int | float):
            spans.setdefault(e.get("recording"), []).append((float(e["start"]), float(e["end"])))
    return spans


def _gap(evidence: tuple[Evidence, ...], spans: Spans) -> float:
    """Seconds between the nearest evidence of a fact and that of a copy; 0 where they overlap, infinite without."""
    return min(
        (
            max(0.0, e.start - b, a - e.end)
            for e in evidence
            if not e.words.startswith(BY_HAND)
            for a, b in spans.get(e.recording, ())
        ),
        default=math.inf,
    )


def _same_figure(fact: Quantity, copy: Mapping[str, Any]) -> bool:
    value, unit = copy.get("value"), copy.get("unit")
    if not isinstance(value, int | float) or not isinstance(unit, str) or fact.value_max != copy.get("value_max"):
        return False
    if unit == fact.unit:
        return math.isclose(value, fact.value, rel_tol=1e-9)
    try:
        return math.isclose(convert(value, unit, fact.unit), fact.value, rel_tol=1e-6)
    except UnknownUnit:
        return False


def _overlap(a: str, b: str) -> float:
    """Share of words that two names have in common, 0 to 1; 1 where both are empty."""
    x, y = _content(a), _content(b)
    return len(x & y) / len(x | y) if x | y else 1.0


@lru_cache(maxsize=8192)
def _content(text: str) -> frozenset[str]:
    words = re.findall(r"[a-z0-9]+", text.lower())
    return frozenset(w.removesuffix("s") if len(w) > 3 else w for w in words if w not in EMPTY)


# --------------------------------------------------------------------------------------------------------- wording


def describe(d: Decision) -> str:
    """A decision in a sentence for people: what it was, what it is now."""
    if d.kind == "finding":
        return f"settled: {str(d.fact.get('message', ''))[:300]}"
    name = _name(d.kind, {**d.fact, **d.set} if d.act == "add" else d.fact)
    was, now = _said(d.kind, d.fact), _said(d.kind, {**d.fact, **d.set})
    if d.act == "add":
        return f"{name}: {now} added"
    if d.act == "withdraw":
        return f"{name}: {was} withdrawn"
    if d.act == "confirm":
        return f"{name}: {was} confirmed"
    others = [k for k in d.set if k not in ("value", "value_max", "unit", "count", "number", "stated_count", "field")]
    parts = [f"{was} changed to {now}"] if was != now else []
    parts += [f"{k.replace('_', ' ')} set to {d.set[k]}" for k in others if str(d.set[k]) not in (now,)]
    return f"{name}: {', '.join(parts) or now}"


def _name(kind: str, copy: Mapping[str, Any]) -> str:
    if kind == "quantity":
        return " ".join(p for p in (str(copy.get("subject", "")), str(copy.get("property", ""))) if p)[:120]
    if kind == "identity":
        return str(copy.get("field", ""))[:120]
    if kind == "station":
        return f"station {copy.get('number', '')}"[:120]
    return str(copy.get("name", ""))[:120] or kind


def _said(kind: str, copy: Mapping[str, Any]) -> str:
    if kind == "quantity":
        value, top = copy.get("value"), copy.get("value_max")
        number = f"{value:.10g}" if isinstance(value, int | float) else "?"
        top_text = f" to {top:.10g}" if isinstance(top, int | float) else ""
        return f"{number}{top_text} {copy.get('unit') or ''}".strip()
    if kind == "component":
        count = copy.get("count")
        return f"{count} of them" if count is not None else "no count"
    if kind == "station":
        return f"{copy.get('number', '')} {copy.get('role') or ''}".strip()[:200]
    if kind == "sequence":
        return f"{copy.get('stated_count')} stated"
    return str(copy.get("value", "blank"))[:200]
