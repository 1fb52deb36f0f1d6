"""A second visit through the real reader: parts withheld and said later, things changed since, papers compared."""

from __future__ import annotations

import random
import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import docx
import openpyxl
import pytest

from pipeline import run
from pipeline.compare import compare
from pipeline.errors import NotFound, UsageError
from pipeline.settings import Settings
from pipeline.walk import Walk

TODAY = date(2026, 11, 25)
NARRATIONS = sorted((Path(__file__).parents[1] / "cases" / "narrations").glob("*.txt"))
ORACLE = 0.9
"""Share of the whole's figures and components that a merged walk must have: what the words before a withheld line named
is lost to it, as it would be to a listener."""

FIRST = """[0:00] This is a conveyor oven, forty feet long, natural gas, made by Tarvenholt.
[0:08] There are two fans, ten horse each I think. The belt is thirty six inches wide.
[0:16] Six carts go with it. The chiller stays included. The pump is five horse. The control panel is in good shape.
[0:25] Top temperature is 450 degrees Fahrenheit, supply is 480 volts.
"""
SINCE = """[0:00] So I'm back at the oven. The serial is 4 4 1 2.
[0:05] The chiller is gone since last time. The pump was swapped for a seven and a half horse.
[0:12] The control panel has been damaged since. I said six carts, it's five.
[0:20] The fans are fifteen horse each.
"""
SHEET = [
    ["Conveyor oven specification"],
    ["Length", "42 ft"],
    ["Belt width", "36 in"],
    ["Maximum temperature", "500 degF"],
    ["Weight", "12000 lb"],
    ["Serial number", "4412"],
    ["Year of build", "1999"],
]


def visited(tmp_path: Path, first: str, *later: Path) -> tuple[Walk, Walk, Path]:
    """Before, after, and the folder."""
    (tmp_path / "first.txt").write_text(first, encoding="utf-8")
    settings = Settings(out=tmp_path / "walks")
    before = run.report(tmp_path / "first.txt", settings=settings, today=TODAY)[0]
    after, _ = run.add(before.folder / "walk.json", list(later), settings=settings, today=TODAY)
    return before.walk, after.walk, before.folder


def amounts(walk: Walk) -> list[tuple[str, float, str]]:
    return [(q.property, q.value, q.unit) for q in walk.active]


def share(part: list[object], whole: list[object]) -> float:
    """How much of the whole is in the part; 1 where the whole has nothing of the kind."""
    left = list(part)
    held = 0
    for x in whole:
        if x in left:
            left.remove(x)
            held += 1
    return held / len(whole) if whole else 1.0


@pytest.mark.parametrize("path", NARRATIONS[::2], ids=lambda p: p.stem)
def test_what_was_withheld_and_said_later_gives_the_whole(path: Path, tmp_path: Path) -> None:
    """Pairs of lines withheld at random from the later four fifths, a fifth in all, told in a second recording."""
    lines = path.read_text(encoding="utf-8").splitlines()
    r = random.Random(path.stem)
    held: set[int] = set()
    while len(held) < max(2, len(lines) // 5):
        i = r.randrange(len(lines) // 5, len(lines) - 1)
        held |= {i, i + 1}
    later = tmp_path / "later.txt"
    later.write_text("".join(f"{lines[i]}\n" for i in sorted(held)), encoding="utf-8")
    kept = "".join(f"{line}\n" for i, line in enumerate(lines) if i not in held)
    before, merged, _ = visited(tmp_path, kept, later)
    whole = run.report(path, settings=Settings(out=tmp_path / "whole"), today=TODAY)[0].walk
    assert share(amounts(merged), amounts(whole)) >= ORACLE  # type: ignore[arg-type]
    names = [[c.name for c in w.present] for w in (merged, whole)]
    assert share(*names) >= ORACLE - 0.1  # type: ignore[arg-type]
    stations = [[x.role for s in w.sequences for x in s.stations] for w in (merged, whole)]
    assert share(*stations) >= ORACLE  # type: ignore[arg-type]
    assert any(e.recording == "later.txt" for c in (*merged.quantities, *merged.components) for e in c.evidence)
    assert len(before.present) + len(before.active) < len(merged.present) + len(merged.active)


VISITS = tomllib.loads((Path(__file__).parents[1] / "cases" / "second_visits.toml").read_text(encoding="utf-8"))[
    "visit"
]


@pytest.mark.parametrize("case", VISITS, ids=lambda c: c["narration"])
def test_a_second_visit_with_a_correction_gives_the_whole(case: dict[str, Any], tmp_path: Path) -> None:
    """Facts and stations withheld, said in a second recording with one correction: the merged walk has what the whole
    has, but for the figure that was taken back."""
    path = next(p for p in NARRATIONS if p.stem == case["narration"])
    first = path.read_text(encoding="utf-8")
    for words, instead in case["leave"]:
        assert words in first
        first = first.replace(words, instead)
    later = tmp_path / "later.txt"
    later.write_text(case["later"].lstrip(), encoding="utf-8")
    before, merged, _ = visited(tmp_path, first, later)
    whole = run.report(path, settings=Settings(out=tmp_path / "whole"), today=TODAY)[0].walk

    def numbers(walk: Walk) -> set[tuple[float, str]]:
        counts = {(c.count, "") for c in walk.present if c.count is not None}
        return {(q.value, q.unit) for q in walk.active} | counts

    said = [x for x in amounts(whole) if x[1:] != (case["was"], case["unit"])]
    assert share(amounts(merged), said) == 1.0, set(said) - set(amounts(merged))  # type: ignore[arg-type]
    assert share(amounts(before), said) < 1.0 or len(before.present) < len(whole.present)  # type: ignore[arg-type]
    assert (case["now"], case["unit"]) in numbers(merged)
    assert (case["was"], case["unit"]) in numbers(whole)
    assert (case["was"], case["unit"]) not in numbers(merged)
    stations = [{(str(x.number), x.role) for q in w.sequences for x in q.stations} for w in (merged, whole)]
    assert stations[1] <= stations[0], stations[1] - stations[0]
    things = [{c.name for c in w.present} for w in (merged, whole)]
    assert len(things[1] - things[0]) <= 1, things[1] - things[0]
    conflicts = [sum(f.level == "conflict" for f in w.findings) for w in (merged, whole)]
    assert conflicts[0] == conflicts[1]


def test_filled_corrected_gone_swapped_and_damaged(tmp_path: Path) -> None:
    later = tmp_path / "since.txt"
    later.write_text(SINCE, encoding="utf-8")
    before, after, folder = visited(tmp_path, FIRST, later)
    told = [d.line for d in compare(before, after)]
    assert "serial: now 4412" in told
    assert "carts, count: 6 → 5" in told
    assert "chiller, disposition: included → excluded" in told
    assert any("pump, power" in t and "→ 7.5" in t for t in told)  # said to be swapped: no conflict
    assert any("fans, power" in t and "→ 15" in t for t in told)  # the earlier was "I think"
    assert any("control panel" in t and "damaged" in t for t in told)
    assert after.identity.serial
    assert after.identity.serial.evidence[0].recording == "since.txt"
    written = (folder / "changes.md").read_text(encoding="utf-8")
    assert all(line in written for line in told)


@pytest.mark.parametrize("ending", ["docx", "xlsx", "csv", "txt"])
def test_a_paper_is_compared_with_what_was_said(ending: str, tmp_path: Path) -> None:
    paper = tmp_path / f"spec.{ending}"
    if ending == "docx":
        document = docx.Document()
        for row in SHEET:
            document.add_paragraph(": ".join(row))
        document.save(str(paper))
    elif ending == "xlsx":
        book = openpyxl.Workbook()
        for row in SHEET:
            book.active.append(row)  # type: ignore[union-attr]
        book.save(paper)
    else:
        paper.write_text("".join((", " if ending == "csv" else ": ").join(row) + "\n" for row in SHEET))
    _, after, _ = visited(tmp_path, FIRST, paper)
    on_paper = {(q.value, q.unit) for q in after.quantities if q.basis == "document"}
    assert {(42, "foot"), (500, "degF"), (12000, "pound")} <= on_paper
    width = next(q for q in after.active if q.value == 36)
    assert width.basis is None  # said as well: the paper agrees
    conflicts = [f.message for f in after.findings if f.level == "conflict"]
    assert any("40" in m and "42" in m for m in conflicts), conflicts


def test_the_same_recording_twice_and_missing_words_are_told(tmp_path: Path) -> None:
    later = tmp_path / "since.txt"
    later.write_text(SINCE, encoding="utf-8")
    _, _, folder = visited(tmp_path, FIRST, later)
    with pytest.raises(UsageError, match="in the walk already"):
        run.add(folder / "walk.json", [later], settings=Settings(), today=TODAY)
    with pytest.raises(NotFound, match=r"gone\.txt"):
        run.add(folder / "walk.json", [tmp_path / "gone.txt"], settings=Settings(), today=TODAY)
    (folder / "transcript.json").unlink()
    with pytest.raises(NotFound, match="own words are missing"):
        run.add(folder / "walk.json", [tmp_path / "first.txt"], settings=Settings(), today=TODAY)


WASHER = """[0:00] This is a seven stage spray washer. Stage one is an alkaline clean, two is a rinse, three is a rinse.
[0:12] Four is the etch, five is a rinse, six is the conversion coat and seven is the DI rinse.
[0:24] There are six tanks for the sludge.
"""


@pytest.mark.parametrize(
    ("later", "told"),
    [
        ("Stage four is a rinse now, they changed it.", ["stage 4: etch → rinse"]),
        ("Six is the seal now.", ["stage 6: conversion coat → seal"]),
        ("Stage seven's a fresh water rinse these days.", ["stage 7: DI rinse → fresh water rinse"]),
        ("Stage three is gone, they took it out.", ["stage 3: rinse → gone"]),
        (
            "Stage two was removed last spring, and stage six's gone.",
            ["stage 2: rinse → gone", "stage 6: conversion coat → gone"],
        ),
        ("Stage four is a rinse.", []),  # two tellings, and nobody said that it was changed: the check asks
        ("Stage one is broken now. Stage three is out for cleaning. Stage five is missing a door.", []),
    ],
    ids=lambda v: v if isinstance(v, str) else None,
)
def test_stations_that_are_something_else_by_now(later: str, told: list[str], tmp_path: Path) -> None:
    second = tmp_path / "second.txt"
    second.write_text(f"[0:00] Back at the washer. {later}\n", encoding="utf-8")
    before, after, _ = visited(tmp_path, WASHER, second)
    assert [d.line for d in compare(before, after) if d.kind == "station"] == told
    assert [c.disposition for c in after.components if c.name == "tanks"] == [None]
    counted = [f.rule for f in after.findings if f.rule.startswith("station")]
    assert counted == (["station_described_twice"] if later == "Stage four is a rinse." else [])


@pytest.mark.parametrize(
    ("first", "later", "found"),
    [
        ("Main drive is 50 horse.", "The main drive is 60 horse, says the plate.", "main drive power: 50 horsepower"),
        ("Working pressure is eight bar.", "Working pressure is ten bar.", "working pressure: 8 bar at first"),
        ("Main drive is 50 horse.", "The main drive is 50 horse.", ""),
        ("Main drive is 50 horse.", "The main drive was swapped for a 60 horse one.", ""),
        ("Main drive is 50 horse, the main drive is 60 horse.", "It's loud.", ""),  # one walk may tell of two motors
    ],
)
def test_what_two_visits_tell_otherwise_is_asked(first: str, later: str, found: str, tmp_path: Path) -> None:
    second = tmp_path / "second.txt"
    second.write_text(f"[0:00] Back at the gluer. {later}\n", encoding="utf-8")
    _, after, _ = visited(tmp_path, f"[0:00] This is a folder gluer, built in 2006. {first}\n", second)
    told = [f.message for f in after.findings if f.rule == "same_figure_twice"]
    assert len(told) == bool(found)
    assert all(found in m for m in told)
