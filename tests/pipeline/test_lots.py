"""Cuts between machines moved by hand: what was decided goes along, nothing is lost, one walk each is listed."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from pipeline import lots, run
from pipeline.decisions import append, new, read_decisions
from pipeline.errors import DecisionError, UsageError
from pipeline.lots import Cut, machine_at, numbered
from pipeline.review import locate, standing
from pipeline.settings import Settings
from pipeline.stock import walk_files
from pipeline.walk import Walk

TODAY = date(2026, 11, 25)
SAID = (
    "[0:00] This is a parts washer. It is 12 feet long.\n[0:10] The wash tank holds 400 gallons.\n"
    "[0:20] This is a boiler. It is 40 horsepower.\n[0:30] The feed pump is 5 horsepower.\n"
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    said = tmp_path / "yard.txt"
    said.write_text(SAID)
    run.report(said, settings=Settings(out=tmp_path / "walks", cuts=()), today=TODAY)
    return tmp_path / "walks" / "yard"


def cut(folder: Path, *cuts: Cut) -> tuple[run.Outcome, ...]:
    lots.keep(folder, cuts, who="Sam")
    return run.read_again(folder, settings=Settings(), today=TODAY)


def values(walk: Walk) -> list[float]:
    return [q.value for q in walk.active]


def change(place: Path, was: float, value: float) -> None:
    walk = run.read_walk(place / "walk.json")
    ref = next(q.id for q in walk.quantities if q.value == was)
    kind, fact = locate(walk, ref)
    append(place, new("change", who="Sam", kind=kind, fact=fact, changes={"value": value}, why="tape"))


def test_a_cut_is_set_moved_and_taken_away_and_decisions_go_along(folder: Path) -> None:
    change(folder, 400, 450.0)
    change(folder, 5, 7.5)
    append(folder, new("add", who="Sam", kind="identity", changes={"field": "serial", "value": "K 4410"}))
    one, two = cut(folder, Cut(20.0))
    assert (one.folder.name, two.folder.name) == ("01", "02")
    assert values(one.walk) == [12.0, 450.0]
    assert values(two.walk) == [40.0, 7.5]
    assert one.walk.identity.serial is not None, "what was said at no second goes to the first"
    assert two.walk.identity.serial is None
    assert [d.why for d in standing(read_decisions(two.folder))] == ["tape"]
    listed = [p.parent.relative_to(folder).as_posix() for p in walk_files(folder)]
    assert listed == ["01", "02"], "the walk of both is put aside"
    aside = next((folder / lots.EARLIER).iterdir())
    assert {"report.docx", "walk-as-it-was.json"} <= {p.name for p in aside.iterdir()}
    one, two = cut(folder, Cut(30.0))
    assert (values(one.walk), values(two.walk)) == ([12.0, 450.0, 40.0], [7.5])
    (whole,) = cut(folder)
    assert values(whole.walk) == [12.0, 450.0, 40.0, 7.5]
    assert whole.folder == folder
    assert [p.parent for p in walk_files(folder)] == [folder]
    assert whole.walk.identity.serial is not None
    assert all(d.applied for d in whole.walk.decided)
    lines = [d.set["cuts"] for d in read_decisions(folder) if d.act == "cut"]
    assert lines == [[], [20.0], [30.0], []], "every cut is a line of the decisions file"


def test_a_part_that_goes_back_to_an_earlier_machine(folder: Path) -> None:
    one, two = cut(folder, Cut(20.0), Cut(30.0, back=0))
    assert (values(one.walk), values(two.walk)) == ([12.0, 400.0, 5.0], [40.0])
    change(one.folder, 5, 7.5)
    one, two, three = cut(folder, Cut(20.0), Cut(30.0))
    assert values(three.walk) == [7.5]
    assert (values(one.walk), values(two.walk)) == ([12.0, 400.0], [40.0])


def test_cuts_by_hand_outlast_a_new_run(folder: Path) -> None:
    cut(folder, Cut(20.0))
    said = folder.parents[1] / "yard.txt"
    outcomes = run.report(said, settings=Settings(out=folder.parent), today=TODAY)
    assert [o.folder.name for o in outcomes] == ["01", "02"]


def test_a_kill_between_the_line_and_the_reading_loses_nothing(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    change(folder, 5, 7.5)
    real = run.write_documents
    calls = []

    def killed(*args: object) -> run.Outcome:
        calls.append(args)
        if len(calls) == 2:
            raise KeyboardInterrupt
        return real(*args)  # type: ignore[arg-type]

    monkeypatch.setattr(run, "write_documents", killed)
    with pytest.raises(KeyboardInterrupt):
        cut(folder, Cut(20.0))
    monkeypatch.undo()
    assert (folder / "walk.json").is_file(), "what was there is put aside last"
    one, two = run.read_again(folder, settings=Settings(), today=TODAY)
    assert (values(one.walk), values(two.walk)) == ([12.0, 400.0], [40.0, 7.5])
    assert len(standing(read_decisions(two.folder))) == 1, "moved once"


def test_later_visits_go_to_the_first_machine(folder: Path, tmp_path: Path) -> None:
    more = tmp_path / "more.txt"
    more.write_text("[0:00] The washer is 6 feet wide.\n")
    run.add(folder / "walk.json", [more], settings=Settings(out=folder.parent), today=TODAY)
    one, two = cut(folder, Cut(20.0))
    assert values(one.walk) == [12.0, 400.0, 6.0]
    assert values(two.walk) == [40.0, 5.0]
    (whole,) = cut(folder)
    assert 6.0 in values(whole.walk)


@pytest.mark.parametrize(
    "cuts", [[Cut(float("nan"))], [Cut(-1.0)], [Cut(5.0, back=1)], [Cut(float(i)) for i in range(300)]]
)
def test_what_is_no_cut(folder: Path, cuts: list[Cut]) -> None:
    with pytest.raises(DecisionError):
        lots.keep(folder, cuts, who="Sam")
    assert lots.by_hand(folder) == ()


def test_a_spoilt_line_or_file_is_no_cut(folder: Path) -> None:
    (folder / lots.LOTS).write_text(json.dumps({"cuts": ["x"], "by": "hand"}))
    assert lots.kept(folder) == ()
    append(folder, new("cut", who="Sam", changes={"cuts": "soon"}))
    assert lots.by_hand(folder) == ()


def test_cuts_by_hand_may_go_back_to_a_machine() -> None:
    """Numbers are those of machines as they are shown; the recording's third part goes on with machine 1."""
    found = numbered([(66.0, None), (41.0, None), (84.0, 1), (90.0, 2)])
    assert [(c.at, c.back) for c in found] == [(41.0, None), (66.0, None), (84.0, 0), (90.0, 1)]
    assert [machine_at(found, s) for s in (0, 42, 67, 85, 91)] == [1, 2, 3, 1, 2]
    with pytest.raises(UsageError, match="machine 3 was not told of"):
        numbered([(41.0, 3)])
