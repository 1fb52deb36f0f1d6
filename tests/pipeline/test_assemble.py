"""Mentions to a walk: one fact for each thing said, evidence verbatim, the withdrawn kept apart."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from extractors.mentions import (
    IdentityMention,
    Mentions,
    QuantityMention,
    RemarkMention,
    RepairMention,
    SequenceMention,
    StationMention,
    ThingMention,
)
from extractors.words import Transcript, Word
from pipeline.assemble import assemble
from pipeline.walk import Source, Walk, from_dict, to_dict

SAID = "the boiler is ten feet long no twelve feet long and it has two pumps and the boiler is twelve feet three pumps"
TRANSCRIPT = Transcript(tuple(Word(w, i * 0.5, i * 0.5 + 0.4) for i, w in enumerate(SAID.split())))
SOURCE = Source("a.txt", "0" * 64, "transcript", 20.0)
TEN = QuantityMention((3, 5), "boiler", "length", 10.0, "foot", status="withdrawn")
TWELVE = QuantityMention((7, 9), "boiler", "length", 12.0, "foot", status="corrected")
AGAIN = QuantityMention((19, 21), "the boiler", "length", 12.0, "foot")
REPAIR = RepairMention("self-correction", "ten feet", "twelve feet", ((3, 7),), withdrawn=(3, 6), kept=(7, 9))


def walk_of(**mentions: object) -> Walk:
    return assemble(TRANSCRIPT, Mentions(**mentions), SOURCE)  # type: ignore[arg-type]


def test_the_same_figure_said_again_is_one_with_more_evidence() -> None:
    (q,) = walk_of(quantities=(TWELVE, AGAIN)).quantities
    assert [e.words for e in q.evidence] == ["twelve feet", "twelve feet"]
    assert q.status == "corrected"


def test_the_same_amount_in_other_units_is_another_figure() -> None:
    inches = replace(AGAIN, value=144.0, unit="inch")
    assert len(walk_of(quantities=(TWELVE, inches)).quantities) == 2


def test_another_subject_is_another_figure() -> None:
    assert len(walk_of(quantities=(TWELVE, replace(AGAIN, subject="duct"))).quantities) == 2


def test_the_withdrawn_is_kept_apart_and_linked() -> None:
    walk = walk_of(quantities=(TEN, TWELVE, AGAIN), repairs=(REPAIR,))
    gone, stands = walk.quantities
    assert (gone.status, stands.status) == ("withdrawn", "corrected")
    assert stands.replaces == gone.id
    assert walk.active == (stands,)
    assert walk.repairs[0].evidence[0].words == "ten feet long no twelve feet"


def test_a_figure_said_surely_once_is_sure() -> None:
    doubtful = replace(AGAIN, doubt="heard badly")
    assert walk_of(quantities=(TWELVE, doubtful)).quantities[0].doubt is None
    assert walk_of(quantities=(doubtful,)).quantities[0].doubt == "heard badly"


def test_mentions_of_one_thing_are_one_component() -> None:
    things = (
        ThingMention((13, 15), "pumps", count=2),
        ThingMention((21, 23), "pumps", count=3, same_as=0, status="corrected", disposition="included"),
    )
    (c,) = walk_of(things=things).components
    assert (c.count, c.disposition, c.status, c.doubt) == (3, "included", "corrected", None)
    assert [e.words for e in c.evidence] == ["two pumps", "three pumps"]


def test_counts_that_differ_without_a_correction_are_doubted() -> None:
    things = (ThingMention((13, 15), "pumps", count=2), ThingMention((21, 23), "pumps", count=3, same_as=0))
    (c,) = walk_of(things=things).components
    assert c.count == 2
    assert c.doubt == "counted as 2 and as 3"


def test_a_thing_that_its_article_counts_is_one_where_no_count_was_said() -> None:
    pump = ThingMention((3, 5), "pump", single=True)
    assert walk_of(things=(pump,)).components[0].count == 1
    told = replace(pump, span=(14, 16), name="two pumps", count=2, single=False, same_as=0)
    assert walk_of(things=(pump, told)).components[0].count == 2


def test_what_was_said_last_of_where_it_goes_stands() -> None:
    things = (
        ThingMention((0, 2), "boiler", disposition="included"),
        ThingMention((15, 17), "boiler", disposition="excluded", same_as=0),
    )
    assert walk_of(things=things).components[0].disposition == "excluded"


def test_parts_point_at_the_whole() -> None:
    things = (ThingMention((13, 15), "pumps", count=2), ThingMention((0, 2), "boiler pumps", count=1, part_of=0))
    walk = walk_of(things=things)
    by_name = {c.name: c for c in walk.components}
    assert by_name["boiler pumps"].part_of == by_name["pumps"].id
    assert by_name["pumps"].part_of is None


def test_a_circle_of_references_ends() -> None:
    things = (ThingMention((0, 2), "boiler", same_as=1), ThingMention((15, 17), "boiler", same_as=0))
    assert len(walk_of(things=things).components) == 1


def test_a_station_said_twice_is_one_station() -> None:
    stations = (
        StationMention((0, 2), 1, "wash", status="withdrawn"),
        StationMention((3, 5), 1, "rinse", status="corrected"),
        StationMention((7, 9), 1, "rinse"),
        StationMention((12, 14), 2, "dry"),
    )
    (s,) = walk_of(sequences=(SequenceMention("line", "station", 2, stations, (10, 12)),)).sequences
    standing = [(x.number, x.role, x.status) for x in s.stations if x.status != "withdrawn"]
    assert standing == [(1, "rinse", "corrected"), (2, "dry", "stated")]
    assert [e.words for e in s.evidence] == ["and it"]


def test_identity_keeps_one_of_each_and_nothing_withdrawn() -> None:
    said = (
        IdentityMention((0, 1), "year", 1999, status="withdrawn"),
        IdentityMention((1, 2), "year", 2011, status="corrected"),
        IdentityMention((2, 3), "maker", "Orrvale"),
    )
    identity = walk_of(identity=said).identity
    assert identity.year is not None
    assert identity.year.value == 2011
    assert identity.maker is not None
    assert identity.maker.evidence[0].words == "is"
    assert identity.serial is None
    assert walk_of(identity=said[:1]).identity.year is None


def test_remarks_carry_their_words() -> None:
    walk = walk_of(remarks=(RemarkMention((0, 4), "direction", "", "left to right"),))
    assert walk.remarks[0].evidence[0].words == "the boiler is ten"


SPANS = st.tuples(st.integers(-3, 30), st.integers(-3, 30))
FIGURES = st.builds(
    QuantityMention,
    span=SPANS,
    subject=st.sampled_from(["", "boiler", "the boiler", "pump"]),
    property=st.sampled_from(["length", "power", "nonsense"]),
    value=st.sampled_from([1.0, 2.0]),
    unit=st.sampled_from(["foot", ""]),
    status=st.sampled_from(["stated", "hedged", "corrected", "withdrawn"]),
)
THINGS = st.builds(
    ThingMention,
    span=SPANS,
    name=st.sampled_from(["pump", "fan"]),
    count=st.sampled_from([None, 1, 2]),
    same_as=st.sampled_from([None, 0, 1, 2, 9]),
    part_of=st.sampled_from([None, 0, 1, 9]),
    status=st.sampled_from(["stated", "corrected", "withdrawn"]),
)


@settings(max_examples=80, deadline=None, derandomize=True)
@given(figures=st.lists(FIGURES, max_size=6), things=st.lists(THINGS, max_size=5))
def test_any_mentions_make_a_walk_that_survives_json(
    figures: list[QuantityMention], things: list[ThingMention]
) -> None:
    walk = walk_of(quantities=tuple(figures), things=tuple(things), repairs=(REPAIR,))
    assert from_dict(to_dict(walk)) == walk
    said = f" {SAID} "
    for fact in (*walk.quantities, *walk.components):
        assert all(f" {e.words} " in said for e in fact.evidence)
    ids = [x.id for x in (*walk.quantities, *walk.components)]
    assert len(ids) == len(set(ids))
    assert {c.part_of for c in walk.components} <= {None, *ids}


def test_a_figure_withdrawn_and_said_anew_are_two() -> None:
    walk = walk_of(quantities=(TEN, replace(TEN, span=(19, 21), status="stated")))
    assert [q.status for q in walk.quantities] == ["withdrawn", "stated"]
