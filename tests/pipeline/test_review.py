"""Decisions stick to what was said: to moment and content, never to an id. No outside source speaks of this."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extractors.words import Evidence
from pipeline.errors import DecisionError
from pipeline.review import Decision, apply, extend, locate, problem, standing, unapply
from pipeline.walk import (
    Component,
    Finding,
    Identity,
    Quantity,
    Sequence,
    Source,
    Stated,
    Station,
    Walk,
    from_dict,
    to_dict,
)


def said(start: float, words: str) -> tuple[Evidence, ...]:
    return (Evidence(start, start + 1.5, words),)


WALK = Walk(
    Source("line.wav", "0" * 64, "audio", 90.0),
    identity=Identity(
        kind=Stated("parts washer", evidence=said(1, "parts washer")),
        serial=Stated("K 4410", "hedged", "heard badly", said(70, "K forty-four ten")),
    ),
    quantities=(
        Quantity("q1", "line", "length", 52, "foot", evidence=said(10, "fifty two feet")),
        Quantity("q2", "supply", "voltage", 48, "volt", doubt="heard badly", evidence=said(20, "48 volts")),
        Quantity("q3", "supply", "frequency", 60, "hertz", evidence=said(22, "sixty hertz")),
        Quantity("q4", "rinse tank", "volume", 400, "gallon", evidence=said(30, "four hundred gallons")),
        Quantity("q5", "wash tank", "volume", 300, "gallon", evidence=said(32, "three hundred gallons")),
    ),
    components=(
        Component("c1", "pump", 9, evidence=said(40, "nine pumps")),
        Component("c2", "blower", None, doubt="heard badly", evidence=said(45, "a blower")),
    ),
    sequences=(
        Sequence(
            "washer", "stage", 3, (Station(1, "wash", evidence=said(50, "wash")), Station(2, "rinse", "stated", "x"))
        ),
    ),
    findings=(
        Finding("f1", "parts_sum", "conflict", "9 pumps counted, 8 described: count again.", ("c1",), (), said(40, "")),
        Finding("f2", "parts_sum", "conflict", "4 fans counted, 3 described: count again.", (), (), said(60, "")),
    ),
)


def decision(ref: str, act: str, n: int = 1, walk: Walk = WALK, **changes: Any) -> Decision:
    kind, fact = locate(walk, ref)
    return Decision(
        id=f"d{n}", who="Sam", when="2026-11-25T10:00:00+00:00", act=act, kind=kind, fact=fact, set=changes, why="seen"
    )


def test_change_confirm_withdraw_reach_their_fact_and_no_other() -> None:
    walk = apply(
        WALK,
        [
            decision("q2", "change", 1, value=480.0),
            decision("c2", "confirm", 2),
            decision("q5", "withdraw", 3),
            decision("c1", "change", 4, disposition="excluded"),
            decision("station:0:1", "change", 5, role="hot rinse"),
            decision("identity:serial", "change", 6, value="K 4418"),
            decision("sequence:0", "change", 7, stated_count=2),
        ],
    )
    q = {x.id: x for x in walk.quantities}
    assert (q["q2"].value, q["q2"].doubt, q["q2"].status) == (480.0, None, "corrected")
    assert q["q2"].evidence == WALK.quantities[1].evidence
    assert q["q5"].status == "withdrawn"
    assert (q["q1"], q["q3"], q["q4"]) == (WALK.quantities[0], WALK.quantities[2], WALK.quantities[3])
    assert walk.components[0].disposition == "excluded"
    assert walk.components[1].doubt is None
    assert walk.sequences[0].stations[1].role == "hot rinse"
    assert walk.sequences[0].stated_count == 2
    assert walk.identity.serial is not None
    assert walk.identity.serial.value == "K 4418"
    assert [d.applied for d in walk.decided] == [True] * 7
    assert walk.decided[0].text == "supply voltage: 48 volt changed to 480 volt"


def test_changing_a_subject_does_not_settle_the_doubt_in_the_figure() -> None:
    walk = apply(WALK, [decision("q2", "change", subject="control cabinet")])
    assert (walk.quantities[1].subject, walk.quantities[1].doubt) == ("control cabinet", "heard badly")


def reread(walk: Walk, **changes: Any) -> Walk:
    """As another reading might give it: other ids, other order, words a little earlier or later."""
    moved = tuple(
        replace(q, id=f"n{i}", evidence=tuple(Evidence(e.start - 0.4, e.end + 0.3, e.words) for e in q.evidence))
        for i, q in enumerate(reversed(walk.quantities))
    )
    return replace(walk, quantities=moved, **changes)


def test_a_better_reading_keeps_what_was_decided() -> None:
    decisions = [decision("q2", "change", 1, value=480.0), decision("q4", "confirm", 2)]
    better = reread(WALK)
    heard = tuple(
        replace(q, value=4000.0, doubt="new")
        if q.subject == "rinse tank"
        else replace(q, value=460.0)
        if q.unit == "volt"
        else q
        for q in better.quantities
    )
    walk = apply(replace(better, quantities=heard), decisions)
    by = {(q.subject, q.property): q for q in walk.quantities}
    assert by["supply", "voltage"].value == 480.0
    # confirmed by a person who listened: the second hearing does not overrule it
    assert (by["rinse tank", "volume"].value, by["rinse tank", "volume"].doubt) == (400, None)
    assert by["wash tank", "volume"].value == 300
    assert len(walk.quantities) == len(WALK.quantities)


def test_a_fact_no_longer_heard_stays_because_a_person_settled_it() -> None:
    lost = replace(WALK, quantities=WALK.quantities[2:], components=())
    walk = apply(
        lost, [decision("q2", "confirm", 1), decision("c1", "change", 2, count=8), decision("q1", "withdraw", 3)]
    )
    assert [(q.subject, q.property, q.value) for q in walk.quantities if q.decided] == [("supply", "voltage", 48)]
    assert [(c.name, c.count) for c in walk.components] == [("pump", 8)]


def test_the_neighbour_of_a_lost_fact_is_left_alone() -> None:
    lost = replace(WALK, quantities=tuple(q for q in WALK.quantities if q.id != "q4"))
    walk = apply(lost, [decision("q4", "withdraw")])
    assert [q.status for q in walk.quantities] == ["stated"] * 4


def test_added_facts_say_whose_hand_wrote_them_and_when() -> None:
    d = Decision(
        id="d9", who="Sam", when="2026-11-25T10:00:00+00:00", act="add", kind="quantity",
        set={"subject": "motor", "property": "power", "value": 15.0, "unit": "horsepower"},
    )  # fmt: skip
    filled = Decision(
        id="d8", who="Sam", when="2026-11-25T10:00:00+00:00", act="add", kind="identity",
        set={"field": "maker", "value": "Invented Works"},
    )  # fmt: skip
    walk = apply(WALK, [d, filled])
    assert walk.quantities[-1].evidence == (Evidence(0.0, 0.0, "written by hand, 2026-11-25"),)
    assert walk.identity.maker is not None
    assert walk.identity.maker.evidence[0].words == "written by hand, 2026-11-25"
    again = apply(replace(WALK, quantities=(*WALK.quantities, replace(walk.quantities[-1], id="q9", decided=()))), [d])
    assert len(again.quantities) == len(WALK.quantities) + 1, "said by now: one fact, not two"


def test_a_settled_finding_stays_away_until_its_figures_change() -> None:
    d = decision("f1", "settle")
    walk = apply(WALK, [d])
    assert [f.id for f in walk.findings] == ["f2"]
    assert walk.decided[0].finding == WALK.findings[0]
    reworded = replace(WALK.findings[0], id="other", message="You counted 9 pumps and described 8.")
    assert apply(replace(WALK, findings=(reworded,)), [d]).findings == ()
    changed = replace(WALK.findings[0], id="other", message="9 pumps counted, 7 described: count again.")
    assert apply(replace(WALK, findings=(changed,)), [d]).findings == (changed,)


def test_undo_and_its_undo() -> None:
    first = decision("q2", "change", value=480.0)
    undo = Decision(id="u1", who="Sam", when="2026-11-25T10:00:00+00:00", act="undo", of="d1")
    redo = replace(undo, id="u2", of="u1")
    assert standing([first]) == (first,)
    assert apply(WALK, [first, undo]) == WALK
    assert standing([first, undo, redo]) == (first,)


@pytest.mark.parametrize(
    ("kind", "changes", "part"),
    [
        ("quantity", {"value": float("nan")}, "number"),
        ("quantity", {"value": True}, "number"),
        ("quantity", {"unit": "9**9**9"}, "unit"),
        ("quantity", {"unit": "__import__"}, "unit"),
        ("quantity", {"property": "charm"}, "one of"),
        ("quantity", {"evidence": []}, "cannot be set"),
        ("component", {"disposition": "perhaps"}, "included"),
        ("component", {"count": -1}, "whole"),
        ("component", {"name": " "}, "empty"),
        ("component", {"name": "x" * 5000}, "characters"),
        ("machine", {}, "no kind"),
    ],
)
def test_what_cannot_be_set_is_named(kind: str, changes: dict[str, Any], part: str) -> None:
    assert part in (problem(kind, changes) or "")


def test_unknown_reference() -> None:
    for ref in ("q99", "station:0:9", "station:0", "identity:colour", "station:١:1", ""):
        with pytest.raises(DecisionError):
            locate(WALK, ref)


REFS = ("q1", "q2", "q3", "q4", "q5", "c1", "c2", "station:0:0", "station:0:1", "identity:serial", "f1", "f2")
VALUES: dict[str, dict[str, Any]] = {
    "quantity": {"value": 7.0, "unit": "metre", "subject": "frame", "property": "height"},
    "component": {"name": "motor", "count": 3, "disposition": "included"},
    "station": {"role": "blow-off", "number": 3},
    "identity": {"value": "other"},
    "finding": {},
}


@st.composite
def many(draw: st.DrawFn) -> list[Decision]:
    out: list[Decision] = []
    for n in range(draw(st.integers(1, 5))):
        ref = draw(st.sampled_from(REFS))
        kind, _ = locate(WALK, ref)
        act = "settle" if kind == "finding" else draw(st.sampled_from(("change", "confirm", "withdraw", "accept")))
        names = draw(st.lists(st.sampled_from(sorted(VALUES[kind])), max_size=2)) if VALUES[kind] else []
        changes = {k: VALUES[kind][k] for k in names} if act in ("change", "accept") else {}
        if act in ("change", "accept") and not changes:
            continue
        out.append(decision(ref, act, n, **changes))
    return out


@settings(max_examples=150, deadline=None)
@given(many())
def test_twice_is_once_and_nothing_is_lost(decisions: list[Decision]) -> None:
    once = apply(WALK, decisions)
    assert apply(once, decisions) == once
    assert from_dict(to_dict(once)) == once
    assert len(once.quantities) == len(WALK.quantities)
    assert len(once.components) == len(WALK.components)
    step = WALK
    for i, d in enumerate(decisions):
        step = extend(step, decisions[:i], d)
    assert step == once, "one at a time is all at once"
    assert replace(unapply(once, decisions), findings=WALK.findings) == WALK
    undone = [Decision(id=f"u{d.id}", who="x", when="2026", act="undo", of=d.id) for d in decisions]
    assert apply(WALK, [*decisions, *undone]) == WALK
