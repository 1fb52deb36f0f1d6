"""Files that are not what a command needs: one plain line of what is wrong, one of what to do, the right code."""

from __future__ import annotations

from pathlib import Path

import pytest

from pipeline.cli import main

SAID = "[0:00] This is a parts washer, it's twelve feet long.\n[0:06] There's two pumps, five horse each.\n"
SHEET = "Parts washer\nLength: 12 ft\nSerial number: 4412\n"


@pytest.fixture
def walk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "washer.txt").write_text(SAID)
    assert main(["--quiet", "report", "washer.txt"]) == 0
    return "walks/washer/walk.json"


def told(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str]:
    """Exit code and what was said of it."""
    capsys.readouterr()
    code = main(["--quiet", *arguments])
    return code, capsys.readouterr().err


def test_the_same_paper_twice_and_one_that_cannot_be_opened(walk: str, capsys: pytest.CaptureFixture[str]) -> None:
    Path("sheet.csv").write_text(SHEET)
    assert told(capsys, "add", walk, "sheet.csv")[0] == 0
    code, said = told(capsys, "add", walk, "sheet.csv")
    assert (code, "this paper is in the walk already" in said) == (2, True)
    for name in ("bad.docx", "bad.xlsx"):
        Path(name).write_text("this is no office file")
        code, said = told(capsys, "add", walk, name)
        assert code == 10
        assert f"{name}: this is no {name[-4:]} file, or it is damaged or locked" in said
        assert "BadZipFile" not in said


def test_a_folder_where_a_walk_is_needed(walk: str, capsys: pytest.CaptureFixture[str]) -> None:
    folder = "walks"
    for command in (["check", folder], ["compare", folder, walk], ["add", folder, "washer.txt"]):
        code, said = told(capsys, *command)
        assert code == 11
        assert "this is a folder, a walk.json is needed" in said
        assert walk in said


def test_the_folder_of_a_walk_stands_for_its_walk(walk: str, capsys: pytest.CaptureFixture[str]) -> None:
    folder = str(Path(walk).parent)
    Path("sheet.csv").write_text(SHEET)
    for command in (
        ["check", folder],
        ["compare", folder, walk],
        ["explain", folder, "0:01"],
        ["add", folder, "sheet.csv"],
    ):
        assert told(capsys, *command)[0] == 0, command


def test_the_folder_of_several_machines_names_them(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    for number in ("01", "02"):
        (tmp_path / "yard" / number).mkdir(parents=True)
        (tmp_path / "yard" / number / "walk.json").write_text("{}")
    (tmp_path / "yard" / "lots.json").write_text("{}")
    code, said = told(capsys, "check", str(tmp_path / "yard"))
    assert code == 2
    assert "several machines" in said
    assert str(tmp_path / "yard" / "02") in said


def test_a_visit_that_was_kept_before_a_kill_is_taken(walk: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Its words lie in the folder, but the walk was never written with it."""
    Path("sheet.csv").write_text(SHEET)
    before = Path(walk).read_bytes()
    assert told(capsys, "add", walk, "sheet.csv")[0] == 0
    Path(walk).write_bytes(before)
    assert told(capsys, "add", walk, "sheet.csv")[0] == 0
    assert len(list((Path(walk).parent / "visits").iterdir())) == 1
    assert Path(walk).read_bytes() != before


def test_a_json_that_is_no_transcript(walk: str, capsys: pytest.CaptureFixture[str]) -> None:
    """No line and no time is named in what is said, so none is to be corrected."""
    Path("list.json").write_text("[]")
    for name in (walk, "list.json"):
        code, said = told(capsys, "report", name, "-o", "out")
        assert code == 16
        assert "segments" in said
        assert "Give the recording" in said
        assert "line named above" not in said


def test_what_is_no_punch_list(walk: str, capsys: pytest.CaptureFixture[str]) -> None:
    Path("in").mkdir()
    Path("in/a.wav").write_bytes(b"x")
    for name, code in (("in/a.wav", 2), ("washer.txt", 2), ("in/none.xlsx", 11)):
        found, said = told(capsys, "fill", name)
        assert found == code
        assert name in said.splitlines()[0]
        assert "punch-list.xlsx" in said


def test_help_shows_names_as_one_types_them(capsys: pytest.CaptureFixture[str]) -> None:
    for command in ("report", "transcribe", "add", "batch"):
        assert main([command, "--help"]) == 0
        assert "…" not in capsys.readouterr().out.split("\n\n")[0]
