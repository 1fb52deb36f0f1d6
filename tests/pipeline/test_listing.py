"""The listing's sentences, from hand-made walks."""

import re
from dataclasses import replace

import pytest

from pipeline.printed import named, property_of
from pipeline.report import build
from pipeline.report_shapes import Profile
from pipeline.walk import Component, Identity, Quantity, Remark, Sequence, Stated, Station, Walk
from pipeline.writers import listing
from tests.pipeline import samples

OWN = Profile()


def figure(id_: str, subject: str, name: str, value: float, unit: str, at: float = 3, **more: object) -> Quantity:
    return Quantity(id_, subject, name, value, unit, evidence=samples.at(at), **more)  # type: ignore[arg-type]


WALK = Walk(
    samples.SOURCE,
    identity=Identity(name=Stated("heat treating furnace"), maker=Stated("Orlanth"), year=Stated(2013)),
    quantities=(
        figure("q1", "fan", "power", 40, "horsepower", 10), figure("q2", "fan", "voltage", 230, "volt", 11),
        figure("q3", "fan", "phases", 3, "", 12),
        figure("q4", "fan", "current", 104, "ampere", 13, qualifier="full load"),
        figure("q5", "furnace", "length", 18, "foot", 40), figure("q6", "furnace", "width", 12, "foot", 41),
        figure("q7", "furnace", "height", 11, "foot", 42), figure("q8", "furnace", "weight", 22000, "pound", 50),
        figure("q9", "line", "rate", 5, "1/day", 60, of="load"), figure("q10", "furnace", "hours", 38400, "hour", 61),
    ),
    components=(Component("c1", "water pump", 2, disposition="included", evidence=samples.at(5)),
                Component("c2", "set of elements", 3, disposition="included", evidence=samples.at(6)),
                Component("c3", "loader", 1, disposition="included", evidence=samples.at(7)),
                Component("c4", "door", condition="and it shuts tight; shuts tight", defects=("and the seal is torn",),
                          evidence=samples.at(8))),
    remarks=(Remark("running", "", "I ran it", samples.at(70)), Remark("running", "", "I ran it and it's smooth")),
)  # fmt: skip


def text(walk: Walk) -> str:
    return listing.write(walk, "txt", OWN)


def test_it_begins_with_sentences_about_the_whole() -> None:
    assert text(WALK).split("\n\n")[1].splitlines() == [
        "Used heat treating furnace, made by Orlanth, built in 2013.",
        "Overall 18 ft (≈ 5.49 m) long, 12 ft (≈ 3.66 m) wide and 11 ft (≈ 3.35 m) high.",
        "Weight 22,000 lb (≈ 9,980 kg).",
        "Run hours 38,400 h.",
    ]


def test_figures_of_one_thing_stand_in_one_line() -> None:
    assert "- Fan: 40 hp (≈ 29.8 kW); 230 V; 3-phase; 104 A, full load\n" in text(WALK)


def test_another_thing_of_the_same_name_has_a_line_of_its_own() -> None:
    two = (figure("a", "motor", "power", 10, "horsepower", 5), figure("b", "motor", "power", 5, "horsepower", 9),
           figure("c", "motor", "phases", 3, "", 10), figure("d", "motor", "speed", 1750, "rpm", 200),
           figure("e", "wet leg", "height", 70, "foot", 20),
           figure("f", "wet leg", "power", 10, "horsepower", 200))  # fmt: skip
    lines = text(replace(WALK, quantities=two)).splitlines()
    assert [x for x in lines if "otor" in x or "leg" in x] == [
        "- Motor: 10 hp (≈ 7.46 kW)", "- Motor: 5 hp (≈ 3.73 kW); 3-phase", "- Motor: 1,750 rpm",
        "- Wet leg: 70 ft (≈ 21.3 m) high; 10 hp (≈ 7.46 kW)",
    ]  # fmt: skip


def test_counts_read_as_people_write_them() -> None:
    said = text(WALK)
    for line in ("- 2 water pumps\n", "- 3 sets of elements\n", "- 1 loader\n"):
        assert line in said


def test_the_sellers_words_stand_once_and_without_their_and() -> None:
    said = text(WALK)
    assert "- Seller states: “I ran it and it's smooth”\n" in said
    assert "- Seller states of the door: “it shuts tight”\n" in said
    assert "- Seller states a defect of the door: “the seal is torn”\n" in said


def test_the_summary_of_the_report_gives_the_size_of_the_whole_and_only_of_it() -> None:
    def rows(walk: Walk) -> dict[str, str]:
        report = build(walk, samples.transcript(), made="2026-01-02")
        return {r.cells[0]: r.cells[1] for r in report.sections[0].tables[0].rows}

    found = rows(WALK)
    assert found["How big"] == "18 ft (≈ 5.49 m) long; 12 ft (≈ 3.66 m) wide; 11 ft (≈ 3.35 m) high"
    assert found["How heavy"] == "weight 22,000 lb (≈ 9,980 kg)"
    assert found["How old"] == "built 2013; run hours 38,400 h"
    some = (figure("q1", "tank", "height", 9, "foot"), figure("q2", "furnace", "length", 8, "foot"))
    part = replace(WALK, quantities=some)
    assert rows(part)["How big"].startswith("8 ft (≈ 2.44 m) long; width and height of the whole not said: ___")
    none = rows(replace(WALK, quantities=()))["How big"]
    assert none.startswith("Length, width and height of the whole not said: ___")


def test_a_line_and_its_stations() -> None:
    stations = tuple(Station(n, "rinse", evidence=samples.at(n)) for n in (1, 2, 3))
    walk = replace(WALK, sequences=(Sequence("washer", "stage", 3, stations),))
    assert "Washer with 3 stages.\n" in text(walk)
    walk = replace(WALK, sequences=(Sequence("boxes", "box", 3, stations),))
    assert "3 boxes.\n" in text(walk)


def test_the_height_on_each_deck_is_worked_out_in_the_units_that_were_said() -> None:
    def decks(walk: Walk) -> list[tuple[str, ...]]:
        report = build(walk, samples.transcript(), made="2026-01-02")
        section = next(s for s in report.sections if s.key == "transport")
        return [r.cells for t in section.tables for r in t.rows if r.cells[0].startswith("on a ")]

    # 11 ft on 5 ft, 3 ft 6 in and 2 ft; 16 ft are 4.877 m
    assert [d[2].split(" (")[0] for d in decks(WALK)] == ["about 16 ft", "about 14 ft 6 in", "about 13 ft"]
    assert "4.88 m" in decks(WALK)[0][2]
    metric = replace(WALK, quantities=(figure("q1", "furnace", "height", 3.2, "metre"),))
    assert decks(metric)[0][1:] == ("about 1.5 m (≈ 4.92 ft)", "about 4.7 m (≈ 15.4 ft)")
    assert not decks(replace(WALK, quantities=()))


def test_only_what_has_to_be_lifted_stands_in_the_transport_sheet() -> None:
    loads = (figure("a", "resin", "weight", 300, "pound"), figure("b", "water pump", "weight", 60, "pound"),
             figure("c", "filler block", "weight", 9.5, "tonne"),
             figure("d", "payload", "weight", 10, "pound"))  # fmt: skip
    report = build(replace(WALK, quantities=loads), samples.transcript(), made="2026-01-02")
    section = next(s for s in report.sections if s.key == "transport")
    assert [r.cells[0] for r in section.tables[0].rows] == ["water pump", "filler block"]


def test_what_nobody_said_a_word_about_is_listed_as_to_be_asked_and_not_as_included() -> None:
    more = (*WALK.components, Component("c5", "furnace", evidence=samples.at(1)),
            Component("c6", "roots blower", evidence=samples.at(2)),
            Component("c7", "pump", 3, evidence=samples.at(2)))  # fmt: skip
    said = text(replace(WALK, components=more))
    assert "Also described; ask whether it is included\n- door, roots blower, 3 pumps\n" in said
    assert "roots blower" not in listing.write(replace(WALK, components=more), "short.txt", OWN)


def test_what_lifting_gear_is_rated_for_is_no_weight() -> None:
    """A buyer who reads two tons as what a hoist weighs hires the wrong truck, or lifts with the wrong hoist."""
    masses = (figure("a", "hoists", "weight", 2, "ton", 5, each=True),
              figure("b", "bridge crane", "weight", 9, "ton", 9, qualifier="own weight"),
              figure("c", "checkweigher", "weight", 6, "kilogram", 12, qualifier="maximum"),
              figure("d", "oven", "weight", 12000, "pound", 20, qualifier="dry"))  # fmt: skip
    walk = replace(WALK, quantities=masses)
    lines = text(walk).splitlines()
    assert "- Hoists: capacity 2 short ton (≈ 1.81 t) each" in lines
    assert "- Bridge crane: weight 9 short ton (≈ 8.16 t)" in lines
    assert "- Checkweigher: capacity 6 kg (≈ 13.2 lb), maximum" in lines
    assert "- Oven: weight 12,000 lb (≈ 5,440 kg), dry" in lines
    report = build(walk, samples.transcript(), made="2026-01-02")
    transport = next(s for s in report.sections if s.key == "transport")
    assert [r.cells[0] for r in transport.tables[0].rows] == ["bridge crane", "oven"]


@pytest.mark.parametrize(
    ("subject", "prop", "qualifier", "in_table", "in_listing"),
    [
        ("bridge crane", "weight", "own weight", "own weight", "own weight"),
        ("gearbox", "pressure", "working pressure", "working pressure", "working pressure"),
        ("platform scale", "weight", "capacity", "capacity", "capacity"),
        ("oven", "weight", "dry", "weight, dry", "weight, dry"),
        ("mast", "height", "lowered", "height, lowered", "height, lowered"),
        ("working height", "height", "working height", "working height", ""),
        ("oven", "weight", None, "weight", "weight"),
    ],
)
def test_a_property_and_what_narrows_it_are_said_once(
    subject: str, prop: str, qualifier: str | None, in_table: str, in_listing: str
) -> None:
    """Printed before: "weight, own weight"."""
    q = figure("a", subject, prop, 9, "ton", qualifier=qualifier)
    assert property_of(q) == in_table
    assert named(q) == in_listing
    assert property_of(replace(q, of="load", each=True)) == re.sub("^[^,]+", r"\g<0> of load", in_table) + ", each"


def test_no_document_doubles_a_property() -> None:
    crane = figure("b", "bridge crane", "weight", 9, "ton", 9, qualifier="own weight")
    report = build(replace(WALK, quantities=(crane,)), samples.transcript(), made="2026-01-02")
    cells = [c for s in report.sections for t in s.tables for r in t.rows for c in r.cells]
    assert any("own weight" in c for c in cells)
    assert not any("weight, own weight" in c for c in cells)


def test_a_row_without_a_name_and_a_cycle_of_its_own_thing_are_said_once() -> None:
    stations = tuple(Station(n, "rinse", evidence=samples.at(n)) for n in (1, 2, 3))
    said = figure("q1", "layer", "cycle", 80, "second", of="layer", each=True)
    walk = replace(WALK, quantities=(said,), sequences=(Sequence("stations", "station", 3, stations),))
    report = build(walk, samples.transcript(), made="2026-01-02")
    rows = {r.cells[0]: r.cells[1] for r in report.sections[0].tables[0].rows}
    assert rows["Stations"] == "3 stated, 3 described"
    assert rows["How fast"] == "one layer every 80 s"
    assert [s.title for s in report.sections if s.key == "stations-0"] == ["Stations"]
    named = replace(walk, sequences=(replace(walk.sequences[0], name="washer"),))
    report = build(named, samples.transcript(), made="2026-01-02")
    assert [s.title for s in report.sections if s.key == "stations-0"] == ["Stations: washer"]
    other = replace(walk, quantities=(figure("q1", "lift", "cycle", 90, "second", of="basket", each=True),))
    report = build(other, samples.transcript(), made="2026-01-02")
    rows = {r.cells[0]: r.cells[1] for r in report.sections[0].tables[0].rows}
    assert rows["How fast"] == "lift one basket every 90 s each"
