"""Two readings into one: what stands is corrected, what was taken back is withdrawn, also minutes later."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from extractors.extract import extract
from extractors.mentions import (
    IdentityMention,
    Mentions,
    QuantityMention,
    RepairMention,
    SequenceMention,
    StationMention,
    ThingMention,
)
from extractors.settle import Reading, settle
from pipeline.timed_text import read_stamped
from tests.extractors.test_breakdowns import read
from vocab import builtin

NEAR = RepairMention("self-correction", "ten feet", "twelve feet", ((10, 14),), withdrawn=(10, 12), kept=(14, 16))
LATE = RepairMention("self-correction", "six inch", "four", ((50, 54),), withdrawn=(51, 53), kept=(54, 55), late=True)


def figure(
    span: tuple[int, int], value: float, subject: str = "header", unit: str = "inch", **more: str
) -> QuantityMention:
    return QuantityMention(span, subject, more.get("property", "diameter"), value, unit)


def test_within_a_sentence() -> None:
    now = Reading(quantities=(figure((14, 16), 12, unit="foot"),))
    before = Reading(quantities=(figure((10, 12), 10, unit="foot"), figure((30, 31), 5)))
    settled = settle(now, before, (NEAR,)).quantities
    assert [(q.value, q.status) for q in settled] == [(12, "corrected"), (10, "withdrawn")]


def test_the_withdrawn_takes_the_property_that_stands() -> None:
    now = Reading(quantities=(figure((14, 16), 12, "duct", property="length"),))
    before = Reading(quantities=(figure((10, 12), 10, "", property="other"),))
    assert settle(now, before, (NEAR,)).quantities[1] == replace(
        before.quantities[0], status="withdrawn", property="length", subject="duct"
    )


def test_the_same_figure_on_both_sides_corrects_nothing() -> None:
    now = Reading(quantities=(figure((14, 16), 10),))
    before = Reading(quantities=(figure((10, 12), 10),))
    assert settle(now, before, (NEAR,)).quantities[0].status == "stated"


def test_a_late_correction_reaches_back() -> None:
    first = figure((5, 7), 6, "steam header")
    other = figure((20, 22), 6, "drain pipe")
    now = Reading(quantities=(first, other, figure((54, 55), 4, "steam", property="other")))
    before = Reading(quantities=(figure((51, 53), 6, "steam", property="other"),))
    settled = settle(now, before, (LATE,)).quantities
    by_span = {q.span: q for q in settled}
    assert by_span[(5, 7)].status == "withdrawn"
    assert by_span[(20, 22)].status == "stated", "another subject keeps its six inches"
    assert (by_span[(54, 55)].status, by_span[(54, 55)].subject, by_span[(54, 55)].property) == (
        "corrected",
        "steam header",
        "diameter",
    )
    assert by_span[(51, 53)].status == "withdrawn"


def test_later_mentions_of_the_withdrawn_figure_fall_with_it() -> None:
    now = Reading(
        quantities=(figure((5, 7), 6), figure((54, 55), 4), figure((80, 82), 6), figure((90, 92), 6, "drain"))
    )
    before = Reading(quantities=(figure((51, 53), 6),))
    status = {q.span: q.status for q in settle(now, before, (LATE,)).quantities}
    assert status[(80, 82)] == "withdrawn"
    assert status[(90, 92)] == "stated"


def test_a_late_count() -> None:
    now = Reading(
        things=(ThingMention((5, 7), "line filters", count=2), ThingMention((54, 55), "line filters", count=3))
    )
    before = Reading(things=(ThingMention((51, 53), "line filters", count=2),))
    first, stands, gone = settle(now, before, (LATE,)).things
    assert stands.same_as == 0
    assert stands.status == "corrected"
    assert gone.status == "withdrawn"
    assert gone.same_as is None
    assert first.status == "stated"


def test_another_thing_in_its_place() -> None:
    now = Reading(things=(ThingMention((14, 16), "lint screen"), ThingMention((40, 42), "heat exchanger")))
    before = Reading(things=(ThingMention((10, 12), "heat exchanger"),))
    things = settle(now, before, (NEAR,)).things
    assert [(t.name, t.status) for t in things] == [
        ("lint screen", "corrected"),
        ("heat exchanger", "stated"),
        ("heat exchanger", "withdrawn"),
    ]


def test_a_role_in_its_place() -> None:
    sequence = SequenceMention(
        "line", "tank", None, (StationMention((14, 16), 3, "etch"), StationMention((20, 22), 4, "rinse"))
    )
    before = SequenceMention("line", "tank", None, (StationMention((9, 12), 3, "desmut"),))
    (settled,) = settle(Reading(sequences=(sequence,)), Reading(sequences=(before,)), (NEAR,)).sequences
    assert [(s.number, s.role, s.status) for s in settled.stations] == [
        (3, "etch", "corrected"),
        (4, "rinse", "stated"),
        (3, "desmut", "withdrawn"),
    ]


def test_identity_that_stands_is_corrected() -> None:
    now = Reading(identity=(IdentityMention((14, 15), "year", 2011), IdentityMention((30, 31), "maker", "Orrvale")))
    assert [m.status for m in settle(now, Reading(), (NEAR,)).identity] == ["corrected", "stated"]


def test_repeats_settle_nothing() -> None:
    repeat = RepairMention("self-correction", "", "", ((10, 14),))
    now = Reading(quantities=(figure((14, 16), 12),))
    assert settle(now, Reading(), (repeat,)) == now


def test_what_was_said_again_with_the_repair_was_not_taken_back() -> None:
    """ "Two thirty volts three phase, I should say four sixty volts three phase"."""
    phases = QuantityMention((16, 18), "press", "phases", 3, "")
    now = Reading(quantities=(figure((14, 16), 460, "press", unit="volt"), phases))
    before = Reading(quantities=(figure((10, 12), 230, "press", unit="volt"), replace(phases, span=(11, 12))))
    settled = settle(now, before, (NEAR,)).quantities
    assert [(q.value, q.status) for q in settled] == [(460, "corrected"), (3, "stated"), (230, "withdrawn")]


@pytest.mark.parametrize(
    ("said", "name", "count"),
    [
        ("There are ten suction cups. The belt is new. Suction cups. I said ten, it's twenty.", "suction cups", 20),
        ("Gate valves, ten. The pump is new. Gate valves. I gave ten. It's eleven, I missed one.", "gate valves", 11),
        ("There are six hoists. The pump is new. I said six, it's eight.", "hoists", 8),
        ("There are six hoists and six fans. The belt is new. I said six, it's 8.", "hoists", 6),
    ],
)  # fmt: skip
def test_a_count_is_corrected_by_its_number_alone(said: str, name: str, count: int, tmp_path: Path) -> None:
    _, mentions = read(said, tmp_path)
    standing = [t.count for t in mentions.things if t.name == name and t.status != "withdrawn" and t.count]
    assert set(standing) == {count}


def said_of(text: str, folder: Path) -> list[tuple[float, str, str]]:
    return sorted((q.value, q.unit, q.status) for q in read(text, folder)[1].quantities)


def test_a_bare_number_taken_back_reaches_the_figure(tmp_path: Path) -> None:
    found = said_of(
        "The chiller runs at ninety psi. I gave you ninety on it, and the gauge says seventy. So seventy psi.", tmp_path
    )
    assert (90, "psi", "stated") not in found
    assert (70, "psi", "corrected") in found


def test_a_bare_number_of_another_unit_takes_nothing_back(tmp_path: Path) -> None:
    found = said_of("The header is at 90 psi. I said ninety about the other one, and the tank is 70 litres.", tmp_path)
    assert found == [(70, "litre", "stated"), (90, "psi", "stated")]


def test_degrees_alone_are_those_of_the_scale_named_before(tmp_path: Path) -> None:
    found = said_of(
        "The oven is at seventy degrees Celsius. I told you seventy degrees. He checked the chart, it is eighty.",
        tmp_path,
    )
    assert not [f for f in found if f[0] == 70 and f[2] == "stated"]
    assert (80, "degC", "corrected") in found


def said_in(text: str) -> Mentions:
    return extract(read_stamped("[0:00] " + text, "case"), builtin())


@pytest.mark.parametrize(
    ("text", "old", "new"),
    [
        (
            "The first is the soak cleaner at a hundred and sixty-five Fahrenheit. Something has to be put right, "
            "in that "
            "I gave the soak cleaner as a hundred and sixty-five, whereas the controller, now that my glasses have "
            "cleared, is set at a hundred and eighty.",
            165,
            180,
        ),
        (
            "Hydraulic power unit for the lift is fifteen horse. Forty gallon reservoir. Scratch the fifteen, I was "
            "looking at the wrong tag, the power unit is seven and a half.",
            15,
            7.5,
        ),
        (
            "Two curing chambers, each one is five feet in diameter and eight metres long. The seal is new. Oh "
            "wait, the chambers. I'm standing at chamber two, eight metres is wrong, it's six metres long.",
            8,
            6,
        ),
    ],
)
def test_what_was_said_minutes_before_falls_with_a_correction_by_number(text: str, old: float, new: float) -> None:
    found = [(q.value, q.status) for q in said_in(text).quantities if q.value in (old, new)]
    assert (new, "corrected") in found
    assert {status for value, status in found if value == old} == {"withdrawn"}


def test_a_figure_of_another_thing_stays_when_one_is_corrected_by_number() -> None:
    found = said_in(
        "The dryer is at 165 Fahrenheit. The soak cleaner is at 165 Fahrenheit. Something has to be put right, in "
        "that I "
        "gave the soak cleaner as 165, whereas the controller, now that my glasses have cleared, is set at 180."
    ).quantities
    assert ("dryer", 165, "stated") in [(q.subject, q.value, q.status) for q in found]


@pytest.mark.parametrize(
    ("text", "field", "old", "new"),
    [
        (
            "Robot cell. It's a 2014, or, hm, that's the sticker on the fence panel, the plate on the cell itself, "
            "let me wipe it, 2016. Yeah, call it a 2016.",
            "year",
            2014,
            2016,
        ),
        (
            "So folder gluer, model is 3200, says so on the hood. Hood's off of another one. The real plate down by "
            "the crank handle, 3600 then. Straight line and auto bottom.",
            "model",
            "3200",
            "3600",
        ),
    ],
)
def test_a_year_or_model_taken_back_is_not_that_of_the_machine(
    text: str, field: str, old: str | int, new: str | int
) -> None:
    said = [(m.value, m.status) for m in said_in(text).identity if m.field == field]
    assert said == [(old, "withdrawn"), (new, "corrected")]
