"""A filled punch list, read through the command: what it says becomes facts once, however often it is read."""

from datetime import date
from pathlib import Path

import openpyxl

from pipeline import run
from pipeline.cli import main
from pipeline.decisions import read_decisions
from pipeline.settings import Settings
from pipeline.walk import Walk

SAID = """[0:00] This is a parts washer, it's twelve feet long and six foot wide, built in 2011.
[0:06] It has three stages. Stage one is the wash, stage two is the rinse.
[0:12] There's two pumps, five horse each, and the hoist stays.
"""


def filled(folder: Path, length: float) -> tuple[Walk, tuple[str, ...]]:
    path = folder / "punch-list.xlsx"
    book = openpyxl.load_workbook(path)
    row = next(r for r in book["Figures"].iter_rows(min_row=2) if r[3].value == "length")
    row[6].value = length
    for cell, value in zip(("A2", "B2", "C2", "D2"), ("pump", "pressure", 30, "psi"), strict=True):
        book["New figures"][cell] = value
    ask = next(r for r in book["Punch list"].iter_rows(min_row=2) if "serial" in r[2].value)
    ask[1].value, ask[4].value = "x", "PW-118"
    book.save(path)
    outcome, told = run.fill(path, who="a tester", settings=Settings(), today=date(2026, 1, 2))
    return outcome.walk, told


def test_the_same_list_twice_adds_nothing_twice(tmp_path: Path) -> None:
    (tmp_path / "washer.txt").write_text(SAID)
    assert main(["--quiet", "report", str(tmp_path / "washer.txt"), "-o", str(tmp_path / "w")]) == 0
    folder = tmp_path / "w" / "washer"
    once, _ = filled(folder, 13)
    lines = read_decisions(folder)
    assert [d.act for d in lines] == ["add", "settle", "change", "add"]
    assert once.identity.serial is not None
    assert once.identity.serial.value == "PW-118"
    twice, told = filled(folder, 13)
    assert read_decisions(folder) == lines
    assert told == ("Nothing in this list is new: its answers were taken before.",)
    assert [(q.subject, q.value) for q in twice.quantities] == [(q.subject, q.value) for q in once.quantities]
    thrice, _ = filled(folder, 14)
    assert len(read_decisions(folder)) == len(lines) + 1
    assert [q.value for q in thrice.active if q.property == "length"] == [14]
