"""The stock list: what is found, what is told, what survives damage and rivals."""

from __future__ import annotations

import json
import multiprocessing
import os
import random
import sqlite3
import time
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pint
import pytest

from extractors.words import Evidence
from pipeline import stock
from pipeline.cli import main, print_csv
from pipeline.errors import NotFound, UsageError
from pipeline.stock_query import parse_query
from pipeline.walk import Component, Finding, Identity, Quantity, Sequence, Source, Stated, Station, Walk, to_dict
from vocab import builtin

KINDS = ("plating line", "bakery oven", "screw compressor", "bottling line", "press")
ROLES = ("rinse", "etch", "seal", "cleaner", "dye")


def made_up(seed: int) -> Walk:
    """A walk drawn at random: kinds, sizes, voltages, stations."""
    r = random.Random(seed)
    at = (Evidence(float(seed % 300), float(seed % 300) + 1, "as said"),)
    return Walk(
        Source(f"walk{seed}.ogg", f"{seed:064x}", "audio", 60.0),
        identity=Identity(kind=Stated(r.choice(KINDS)), serial=Stated(f"SN{seed}"), year=Stated(1980 + seed % 45)),
        quantities=(
            Quantity("q1", "rectifier", "power", r.choice([3, 8, 12, 30]), "kilowatt", evidence=at),
            Quantity("q2", "line", "length", r.randint(10, 120), "foot", evidence=at),
            Quantity("q3", "supply", "voltage", r.choice([208, 230, 400, 480]), "volt", evidence=at),
        ),
        sequences=(Sequence("line", "tank", None, tuple(Station(i, r.choice(ROLES)) for i in range(1, 6))),),
        components=(Component("c1", "pump", r.randint(1, 5), disposition=r.choice(["included", "excluded", None])),),
        findings=(Finding("f1", "x", "missing", "serial?"),) if seed % 2 else (),
    )


def store(folder: Path, walk: Walk, name: str) -> None:
    (folder / name).mkdir(parents=True)
    (folder / name / "walk.json").write_text(json.dumps(to_dict(walk)), encoding="utf-8")


@pytest.fixture
def stocked(tmp_path: Path) -> Path:
    for seed in range(40):
        store(tmp_path, made_up(seed), f"w{seed}")
    return tmp_path


def folders(found: list[stock.Entry]) -> set[str]:
    return {e.folder for e in found}


@pytest.mark.parametrize(
    ("query", "holds"),
    [
        ("rectifier over 10 kW", lambda q: q[0].value > 10),
        ("voltage>=400 V", lambda q: q[2].value >= 400),
        ("length<20 m", lambda q: pint.Quantity(q[1].value, "foot") < pint.Quantity(20, "meter")),
        ("rectifier at least 12 kilowatts", lambda q: q[0].value >= 12),
        ("power>10 hp", lambda q: pint.Quantity(q[0].value, "kilowatt") > pint.Quantity(10, "horsepower")),
    ],
)
def test_bounds_hold_in_any_unit(stocked: Path, query: str, holds) -> None:  # type: ignore[no-untyped-def]
    """Compared with pint (reference library) on the values as said."""
    with stock.opened(stocked) as connection:
        stock.refresh(connection, stocked)
        found = folders(stock.search(connection, parse_query(query, builtin())))
    want = {f"w{s}" for s in range(40) if holds(made_up(s).quantities)}
    assert found == want
    assert 0 < len(found) < 40


def test_station_disposition_year_and_open_filters(stocked: Path) -> None:
    with stock.opened(stocked) as connection:
        stock.refresh(connection, stocked)
        found = folders(stock.search(connection, parse_query("station:dye excluded:pump year>=2000 open", builtin())))
    want = {
        f"w{s}"
        for s in range(40)
        for w in [made_up(s)]
        if s % 2
        and 1980 + s % 45 >= 2000
        and w.components[0].disposition == "excluded"
        and any(x.role == "dye" for x in w.sequences[0].stations)
    }
    assert found == want
    assert want


def test_why_names_fact_and_second(stocked: Path) -> None:
    with stock.opened(stocked) as connection:
        stock.refresh(connection, stocked)
        entry = stock.search(connection, parse_query("rectifier over 10 kW", builtin()))[0]
    assert "rectifier: power" in entry.why[0]
    assert " kW at 0:" in entry.why[0]


@pytest.mark.parametrize("query", ["weightiness>3 kg", "length>3 smoots", "x" * 1001, "length>,, m"])
def test_a_bad_query_is_named(query: str) -> None:
    with pytest.raises(UsageError):
        parse_query(query, builtin())


@pytest.mark.parametrize("query", ["voltage>=banana", "voltage>=", "voltage > ", "<20m", "station:", "gone:boiler"])
def test_what_is_no_bound_and_no_filter_is_never_taken_for_words(query: str) -> None:
    with pytest.raises(UsageError) as told:
        parse_query(query, builtin())
    assert "such as" in told.value.remedy.lower() or "there are" in told.value.remedy.lower()


def test_words_of_a_query_are_no_commands(stocked: Path) -> None:
    with stock.opened(stocked) as connection:
        stock.refresh(connection, stocked)
        for text in ('" OR 1 IS 1 --', "'; DROP TABLE walk; --", "NEAR(", "station:%"):
            stock.search(connection, parse_query(text, builtin()))
        assert len(stock.everything(connection)) == 40


def test_refresh_follows_the_folders_and_a_rebuild_gives_the_same(stocked: Path) -> None:
    def dump() -> list[tuple[object, ...]]:
        with stock.opened(stocked) as connection:
            stock.refresh(connection, stocked)
            return [
                tuple(r)
                for r in connection.execute(
                    "SELECT w.folder, w.title, w.facts, f.subject, f.low FROM walk w JOIN fact f ON f.walk = w.id "
                    "ORDER BY 1, 4, 5"
                )
            ]

    dump()
    store(stocked, made_up(99), "w99")
    (stocked / "w3" / "walk.json").unlink()
    (stocked / "w4" / "walk.json").write_text(json.dumps(to_dict(made_up(77))), encoding="utf-8")
    followed = dump()
    for file in stocked.glob("stock.sqlite*"):
        file.unlink()
    assert dump() == followed
    assert not any(row[0] == "w3" for row in followed)


def test_a_walk_that_cannot_be_read_is_listed_with_its_fault(stocked: Path) -> None:
    (stocked / "w5" / "walk.json").write_text('{"format": "other"}', encoding="utf-8")
    with stock.opened(stocked) as connection:
        told = stock.refresh(connection, stocked)
        bad = [e for e in stock.everything(connection) if e.fault]
    assert [e.folder for e in bad] == ["w5"]
    assert "w5" in told.faults[0]


def test_a_damaged_index_is_set_aside(stocked: Path) -> None:
    with stock.opened(stocked) as connection:
        stock.refresh(connection, stocked)
    (stocked / stock.FILE).write_bytes(b"this is no database at all" * 100)
    for ending in ("-wal", "-shm"):
        (stocked / (stock.FILE + ending)).unlink(missing_ok=True)
    with stock.opened(stocked) as connection:
        assert stock.refresh(connection, stocked).added == 40
    assert (stocked / f"{stock.FILE}.damaged").exists()


def test_a_damaged_index_is_told_and_none_is_written_over(stocked: Path) -> None:
    notes: list[str] = []
    for n in range(2):
        with stock.opened(stocked, told=notes.append) as connection:
            stock.refresh(connection, stocked)
        for ending in ("-wal", "-shm"):
            (stocked / (stock.FILE + ending)).unlink(missing_ok=True)
        (stocked / stock.FILE).write_bytes(b"no database %d" % n * 100)
    with stock.opened(stocked, told=notes.append) as connection:
        assert stock.refresh(connection, stocked).added == 40
    assert len(notes) == 2
    assert all("damaged" in note and "made anew" in note for note in notes)
    kept = [(stocked / f"{stock.FILE}.damaged{n}").read_bytes() for n in ("", "2")]
    assert [k[:13] for k in kept] == [b"no database 0", b"no database 1"]


def test_pages_damaged_in_the_middle_are_mended_by_the_command(
    stocked: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Zeros over the middle of the file, its head sound: a search says so and finds all the same."""
    with stock.opened(stocked) as connection:
        stock.refresh(connection, stocked)
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    index = stocked / stock.FILE
    data = bytearray(index.read_bytes())
    data[4096 : len(data) - 4096] = bytes(len(data) - 8192)
    index.write_bytes(data)
    assert main(["find", "rectifier over 10 kW", "--in", str(stocked)]) == 0
    out, err = capsys.readouterr()
    assert "damaged" in err
    assert not out.startswith("0 found")
    assert len(list(stocked.glob("*.damaged"))) == 1


def test_clocks_that_are_wrong_lose_no_walk(stocked: Path) -> None:
    """Times in the far past and future, and a walk replaced by one of the same size and time."""
    for n, year in ((1, 1971), (2, 2099)):
        stamp = datetime(year, 1, 1, tzinfo=UTC).timestamp()
        os.utime(stocked / f"w{n}" / "walk.json", (stamp, stamp))
    with stock.opened(stocked) as connection:
        assert stock.refresh(connection, stocked).added == 40
        path = stocked / "w3" / "walk.json"
        before = path.stat()
        other = path.with_name("other")
        other.write_bytes(path.read_bytes())
        os.replace(other, path)
        os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))
        assert stock.refresh(connection, stocked).changed == 1
        assert stock.refresh(connection, stocked).changed == 0
        assert {e.folder for e in stock.everything(connection)} == {f"w{n}" for n in range(40)}


@pytest.mark.skipif(not Path("/proc/self/fd").is_dir(), reason="no folder here that nobody may write")
def test_a_folder_that_nobody_may_write_is_told() -> None:
    notes: list[str] = []
    with stock.opened(Path("/proc/self/fd"), told=notes.append) as connection:
        assert stock.refresh(connection, Path("/proc/self/fd")).added == 0
    assert "cannot be written" in notes[0]


def test_an_index_that_cannot_be_written_is_made_in_memory(stocked: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What SQLite answers in a read-only folder, also where the tests run as root, who may write anywhere."""
    connect = sqlite3.connect

    def refused(path: object, **options: Any) -> sqlite3.Connection:
        if path != ":memory:":
            raise sqlite3.OperationalError("unable to open database file")
        return connect(":memory:", **options)

    monkeypatch.setattr(sqlite3, "connect", refused)
    with stock.opened(stocked) as connection:
        assert stock.refresh(connection, stocked).added == 40
        assert stock.search(connection, parse_query("rectifier over 10 kW", builtin()))
    assert not list(stocked.glob("stock.sqlite*"))


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere: run as another user")
def test_a_read_only_folder_is_searched_all_the_same(stocked: Path) -> None:
    stocked.chmod(0o500)
    try:
        with stock.opened(stocked) as connection:
            assert stock.refresh(connection, stocked).added == 40
    finally:
        stocked.chmod(0o700)


def test_no_such_folder(tmp_path: Path) -> None:
    with pytest.raises(NotFound), stock.opened(tmp_path / "none"):
        pass


def _refresh_in_a_process(folder: str) -> int:
    with stock.opened(Path(folder)) as connection:
        stock.refresh(connection, Path(folder))
        return len(stock.everything(connection))


def test_two_writers_at_once(stocked: Path) -> None:
    with multiprocessing.get_context("spawn").Pool(3) as pool:
        assert pool.map(_refresh_in_a_process, [str(stocked)] * 3) == [40, 40, 40]


def test_duplicates_are_pointed_out(stocked: Path) -> None:
    store(stocked, made_up(7), "again")
    with stock.opened(stocked) as connection:
        stock.refresh(connection, stocked)
        told = stock.duplicates(connection)
    assert ("the same recording", ("again", "w7")) in told
    assert ("the same serial SN7", ("again", "w7")) in told


def test_a_walk_is_named_as_a_shell_completes_it(stocked: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(stocked.parent)
    for named in (
        "w7",
        f"{stocked.name}/w7",
        f"{stocked.name}/w7/",
        str(stocked / "w7"),
        f"{stocked.name}/w7/walk.json",
    ):
        assert stock.folder_of(named, Path(stocked.name)) == "w7", named


def test_the_folder_of_several_machines_names_them(stocked: Path) -> None:
    for number in ("01", "02"):
        store(stocked, made_up(int(number)), f"yard/{number}")
    with stock.opened(stocked) as connection:
        stock.refresh(connection, stocked)
        with pytest.raises(NotFound) as told:
            stock.similar(connection, "yard")
    assert told.value.remedy == "Give one of its machines: yard/01, yard/02."
    assert stock.recordings(["yard/01", "yard/02", "w7"]) == ["w7", "yard"]


def test_a_walk_that_is_no_json_is_told_in_words(stocked: Path) -> None:
    (stocked / "w7" / "walk.json").write_text("{")
    with stock.opened(stocked) as connection:
        (fault,) = stock.refresh(connection, stocked).faults
    assert fault.startswith("w7: walk.json is no JSON: ")


def test_a_row_for_a_spreadsheet_has_no_mark_in_an_empty_cell(capsys: pytest.CaptureFixture[str]) -> None:
    print_csv([{"a": "", "b": "=1+1", "c": (), "d": "x"}])
    assert capsys.readouterr().out.splitlines()[1] == ",'=1+1,,x"


def test_similar_walks_come_with_reasons(stocked: Path) -> None:
    store(stocked, made_up(7), "twin")
    with stock.opened(stocked) as connection:
        stock.refresh(connection, stocked)
        ranked = stock.similar(connection, "w7")
    assert ranked[0][1].folder == "twin"
    assert ranked[0][0] == pytest.approx(1.0)
    assert any(" in common" in w for w in ranked[0][1].why)


@pytest.mark.slow
def test_ten_thousand_walks(tmp_path: Path) -> None:
    """Bars of the stock list: built in a minute, a search in 50 ms (cheapest of five: machines are noisy)."""
    for seed in range(10_000):
        store(tmp_path, made_up(seed), f"w{seed}")
    with stock.opened(tmp_path) as connection:
        assert stock.refresh(connection, tmp_path).seconds <= 60
        for text in ("rectifier over 10 kW", "voltage>=400 V length<20 m", "bakery rinse"):
            query = parse_query(text, builtin())
            took = []
            for _ in range(5):
                began = time.perf_counter()
                stock.search(connection, query)
                took.append(time.perf_counter() - began)
            assert min(took) <= 0.05, text
