"""The plan: what is drawn where, from hand-made walks."""

import itertools
from dataclasses import replace

import pytest
from lxml import etree

from extractors.words import Evidence
from pipeline.drawing import _links, plans, png, svg
from pipeline.travel import travel
from pipeline.walk import Quantity, Remark, Sequence, Station, Walk
from tests.pipeline import samples

ROLES = ("soak cleaner", "rinse", "etch", "rinse", "desmut", "rinse", "anodize", "anodize", "rinse", "seal")


def line(*told: tuple[float, str], roles: tuple[str, ...] = ROLES, **sizes: float) -> Walk:
    stations = tuple(Station(n, r, evidence=samples.at(n * 10.0)) for n, r in enumerate(roles, 1))
    remarks = tuple(Remark("direction", "", text, (Evidence(at, at + 1, text),)) for at, text in told)
    figures = tuple(Quantity(k, *k.split("_"), v, "foot", each=k.startswith("tank"), evidence=samples.at(1))
                    for k, v in sizes.items())  # fmt: skip
    return Walk(samples.SOURCE, quantities=figures, remarks=remarks,
                sequences=(Sequence("line", "tank", len(stations), stations),))  # fmt: skip


@pytest.mark.parametrize(
    ("at", "told", "backs"),
    [
        (5, "front to back", ()),
        (5, "the carrier comes back to the start underneath", ((9, 0),)),
        (5, "it's one loop, all of it", ((9, 0),)),
        (5, "from ten it goes back to tank two", ((9, 1),)),
        (5, "the rinse water returns from 9 to 6", ((8, 5),)),
        (5, "the seal overflow goes back to the etch", ((9, 2),)),
        (5, "it runs in a U shape", ()),
    ],
)
def test_a_way_back_is_drawn_only_where_it_was_told(at: float, told: str, backs: tuple[tuple[int, int], ...]) -> None:
    walk = line((at, told))
    assert travel(walk.sequences[0].stations, walk.remarks).backs == backs
    assert len(_links(plans(walk)[0])) == 9 + len(backs)


def test_stations_side_by_side_share_a_place() -> None:
    plan = plans(line((75, "those two are side by side")))[0]
    assert [b.slot for b in plan.boxes] == [0, 1, 2, 3, 4, 5, 6, 6, 7, 8]
    seven, eight = plan.boxes[6:8]
    assert seven.x == eight.x
    assert seven.y + seven.high < eight.y
    # six stations, a row down into the upper one, out of both
    assert len(_links(plan)) == 5 + 1 + 2 + 1
    assert all(y1 == y2 or x1 == x2 for (x1, y1), (x2, y2) in _links(plan))


def test_a_branch_leaves_the_station_that_was_spoken_of() -> None:
    assert plans(line((31, "the bad ones go off to the side")))[0].travel.sides == (2,)
    assert plans(line((5, "at the desmut it splits")))[0].travel.sides == (4,)


def test_a_remark_without_a_station_is_of_no_line_where_there_are_two() -> None:
    walk = line((5, "it goes back to the start"))
    two = replace(walk, sequences=(walk.sequences[0], replace(walk.sequences[0], name="other")))
    assert [p.travel.backs for p in plans(two)] == [(), ()]


def test_stations_stand_crossways_where_only_so_they_fit() -> None:
    lengthways = plans(line(tank_length=4, tank_width=2, line_length=60, roles=ROLES[:5]))[0]
    assert "crossways" not in lengthways.note
    crossways = plans(line(tank_length=10, tank_width=4, line_length=30, roles=ROLES[:5]))[0]
    assert "crossways" in crossways.note
    one, two = crossways.boxes[:2]
    assert (two.x - one.x) / one.wide == pytest.approx((4 + 10 / 4) / 4)  # 5 tanks of 4 ft in 30 ft: 2.5 ft between
    neither = plans(line(tank_length=10, tank_width=9, line_length=30, roles=ROLES[:5]))[0]
    assert "Not to scale" in neither.note


@pytest.mark.parametrize("told", ["it goes back to the start", "from ten back to three", "those are side by side", ""])
def test_nothing_is_drawn_outside_the_plan(told: str) -> None:
    for roles in (ROLES, ROLES[:3], ROLES + ROLES):
        plan = plans(line((75, told), roles=roles))[0]
        wide, high = plan.size
        for way in _links(plan):
            assert all(0 <= x <= wide and 0 <= y <= high for x, y in way)
        for a, b in itertools.combinations(plan.boxes, 2):
            assert a.x + a.wide <= b.x or b.x + b.wide <= a.x or a.y + a.high <= b.y or b.y + b.high <= a.y
        etree.fromstring(svg(plan).encode())
        assert png(plan)
