"""What changed between two walks, and second visits read behind the first."""

from __future__ import annotations

import csv
import zipfile
from dataclasses import replace
from pathlib import Path

import docx
import openpyxl
import pytest

from extractors.words import Evidence, Transcript, Word
from pipeline.addenda import cut_out, join, mark_papers, prefer_sure, relocate
from pipeline.compare import compare
from pipeline.errors import InputError
from pipeline.paper import is_paper, read_paper
from pipeline.timed_text import read_stamped
from pipeline.walk import Component, Identity, Quantity, Sequence, Source, Stated, Station, Walk
from vocab import builtin

SOURCE = Source("a.ogg", "0" * 64, "audio", 60.0)


def at(second: float) -> tuple[Evidence, ...]:
    return (Evidence(second, second + 1, "words"),)


BASE = Walk(
    SOURCE,
    identity=Identity(kind=Stated("oven"), year=Stated(1999)),
    quantities=(
        Quantity("q1", "oven", "length", 40, "foot", evidence=at(1)),
        Quantity("q2", "fan", "power", 10, "horsepower", status="hedged", evidence=at(2)),
    ),
    components=(Component("c1", "fan", 2, disposition="included"), Component("c2", "cart", 1)),
    sequences=(Sequence("zones", "zone", 2, (Station(1, "heat"), Station(2, "cool"))),),
)


def lines(after: Walk) -> list[str]:
    return [d.line for d in compare(BASE, after)]


def test_nothing_differs_from_itself_or_from_itself_in_other_units() -> None:
    metric = replace(BASE, quantities=(replace(BASE.quantities[0], value=12.192, unit="meter"), BASE.quantities[1]))
    assert lines(BASE) == []
    assert lines(metric) == []  # 40 ft is 12.192 m exactly: NIST SP 811, 1 ft = 0.3048 m


def test_each_kind_of_difference_is_told() -> None:
    after = Walk(
        SOURCE,
        identity=Identity(kind=Stated("oven"), year=Stated(1999), serial=Stated("A 12")),
        quantities=(replace(BASE.quantities[0], value=42.0), BASE.quantities[1]),
        components=(Component("c1", "fan", 3, disposition="excluded"),),
        sequences=(Sequence("zones", "zone", 3, (Station(1, "heat"), Station(2, "cool"), Station(3, "cool"))),),
    )
    told = lines(after)
    assert told == [
        "serial: now A 12",
        "oven, length: 40 ft → 42 ft",
        "fan, count: 2 → 3",
        "fan, disposition: included → excluded",
        "cart: 1, not said again",
        "zones, stated zones: 2 → 3",
        "zone 3: now cool",
    ]


FIRST = read_stamped("[0:00] The oven is forty feet long.\n[0:05] Fan is ten horse I think.", "a")
SECOND = read_stamped("[0:00] Serial is four four one.", "b")


def test_joined_words_keep_their_own_times() -> None:
    joined, visits = join([("a", FIRST, False), ("b", SECOND, True)])
    assert len(joined.words) == len(FIRST.words) + len(SECOND.words)
    first_of_second = len(FIRST.words)
    assert first_of_second in joined.breaks
    assert joined.words[first_of_second].start >= FIRST.duration
    quote = joined.quote(first_of_second, first_of_second + 2)
    own = relocate((quote,), visits)[0]
    assert (own.start, own.recording, own.words) == (0.0, "b", "Serial is")
    assert relocate(joined.quote(0, 2), visits).recording is None


def test_a_later_sure_figure_replaces_only_a_doubtful_one() -> None:
    _, visits = join([("a", FIRST, False), ("b", SECOND, False)])
    late = visits[1].offset + 1
    walk = replace(
        BASE,
        quantities=(
            *BASE.quantities,
            Quantity("q3", "oven", "length", 42, "foot", evidence=at(late)),
            Quantity("q4", "fan", "power", 15, "horsepower", evidence=at(late)),
        ),
    )
    after = prefer_sure(walk, visits)
    assert [q.status for q in after.quantities] == ["stated", "withdrawn", "stated", "stated"]
    assert after.quantities[3].replaces == "q2"


def test_figures_of_a_paper_say_so() -> None:
    _, visits = join([("a", FIRST, False), ("b", SECOND, True)])
    walk = replace(
        BASE, quantities=(*BASE.quantities, Quantity("q3", "x", "length", 1, "foot", evidence=at(visits[1].offset)))
    )
    assert [q.basis for q in mark_papers(walk, visits).quantities] == [None, None, "document"]


def test_cut_out_keeps_times_and_marks_the_seam() -> None:
    part = cut_out(FIRST, [(0, 2), (7, 9)])
    assert [w.text for w in part.words] == [FIRST.words[i].text for i in (0, 1, 7, 8)]
    assert 2 in part.breaks
    assert part.words[2].start == FIRST.words[7].start


ROWS = [["Length", "42 ft"], ["Motor", "15 hp", "480 V"]]


def test_papers_of_every_kind_give_the_same_words(tmp_path: Path) -> None:
    document = docx.Document()
    table = document.add_table(0, 3)
    for row in ROWS:
        for cell, text in zip(table.add_row().cells, row, strict=False):
            cell.text = text
    document.save(str(tmp_path / "a.docx"))
    book = openpyxl.Workbook()
    for row in ROWS:
        book.active.append(row)  # type: ignore[union-attr]
    book.save(tmp_path / "a.xlsx")
    with (tmp_path / "a.csv").open("w", newline="") as file:
        csv.writer(file).writerows(ROWS)
    (tmp_path / "a.txt").write_text("Length: 42 ft\nMotor: 15 hp 480 V\n")
    want = ["Length", "42", "ft.", "Motor", "15", "hp", "480", "V."]
    for ending in ("docx", "xlsx", "csv", "txt"):
        path = tmp_path / f"a.{ending}"
        assert is_paper(path)
        assert [w.text for w in read_paper(path, builtin()).words] == want, ending


def test_a_stamped_text_is_no_paper(tmp_path: Path) -> None:
    (tmp_path / "t.txt").write_text("[0:00] words\n")
    assert not is_paper(tmp_path / "t.txt")


def test_papers_that_cannot_be_used_are_named(tmp_path: Path) -> None:
    (tmp_path / "a.docx").write_bytes(b"no archive")
    (tmp_path / "b.csv").write_bytes(b"\xff\xfe\xff\x00\x01")
    (tmp_path / "c.txt").write_text("\n \n")
    with zipfile.ZipFile(tmp_path / "d.xlsx", "w", zipfile.ZIP_DEFLATED) as bomb:
        bomb.writestr("x", b"\0" * (70 << 20))
    for name in ("a.docx", "b.csv", "c.txt", "d.xlsx"):
        with pytest.raises(InputError, match=name):
            read_paper(tmp_path / name, builtin())


def test_words_across_a_seam_are_far_apart() -> None:
    joined, _ = join([("a", Transcript((Word("six", 0, 1),), duration=1), False), ("b", SECOND, False)])
    assert joined.words[1].start - joined.words[0].end >= 10
