"""The command as a person uses it: answers on standard output, the rest on standard error, exit codes as documented."""

from __future__ import annotations

import inspect
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from types import ModuleType

import pytest

import tallywalk_start
from pipeline import errors
from pipeline.cli import main, worst

ROOT = Path(__file__).parents[2]
SAID = """[0:00] This is a parts washer, it's twelve feet long and six foot wide, built in 2011.
[0:06] It has three stages. Stage one is the wash, stage two is the rinse, that's the last one.
[0:12] There's two pumps, five horse each, and the hoist stays.
"""


@pytest.fixture
def said(tmp_path: Path) -> Path:
    path = tmp_path / "washer.txt"
    path.write_text(SAID)
    return path


def test_report_writes_what_it_promises(said: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["report", str(said), "-o", str(tmp_path / "walks")]) == 0
    out, err = capsys.readouterr()
    folder = tmp_path / "walks" / "washer"
    for name in ("walk.json", "report.docx", "transcript.vtt", "transcript.txt", "transcript.json"):
        assert (folder / name).stat().st_size > 0, name
    assert str(folder / "report.docx") in out
    assert "3 stated, 2 described" in out
    assert "reading" in err
    walk = json.loads((folder / "walk.json").read_text())
    assert walk["format"] == "tallywalk.walk/1"
    assert any(q["value"] == 12 and q["property"] == "length" for q in walk["quantities"])


def test_json_is_the_only_answer_when_asked(said: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--quiet", "report", str(said), "-o", str(tmp_path / "w"), "--json"]) == 0
    out, err = capsys.readouterr()
    answer = json.loads(out)
    assert answer[0]["stations"][0]["stated"] == 3
    assert err == ""


def test_strict_fails_on_a_standing_conflict_and_check_agrees(said: Path, tmp_path: Path) -> None:
    assert main(["--quiet", "report", str(said), "-o", str(tmp_path / "w"), "--strict"]) == 4
    walk = tmp_path / "w" / "washer" / "walk.json"
    assert main(["check", str(walk), "--strict"]) == 4
    assert main(["check", str(walk)]) == 0


def test_a_second_file_of_that_name_gets_its_own_folder(said: Path, tmp_path: Path) -> None:
    out = str(tmp_path / "w")
    assert main(["--quiet", "report", str(said), "-o", out]) == 0
    other = tmp_path / "other"
    other.mkdir()
    (other / "washer.txt").write_text(SAID + "[0:20] Serial is four one one.\n")
    assert main(["--quiet", "report", str(other / "washer.txt"), "-o", out]) == 0
    names = sorted(p.name for p in (tmp_path / "w").iterdir() if p.is_dir())
    assert names[0] == "washer"
    assert names[1].startswith("washer-")
    assert len(names[1]) == len("washer-") + 8


@pytest.mark.parametrize(
    ("name", "content", "code"),
    [
        ("none.txt", None, 11),
        ("folder", "", 11),
        ("empty.txt", b"", 10),
        ("bytes.srt", b"\xff\xfe\x00", 10),
        ("backwards.txt", b"[0:09] a\n[0:01] b", 16),
        ("nothing.json", b'{"words": []}', 14),
        ("other.json", b'{"language": "de", "words": [{"word": "eins", "start": 0, "end": 1}]}', 15),
        ("noise.wav", b"RIFF\x00\x00\x00\x00WAVEjunk", 12),
        ("empty.mp4", b"", 12),
    ],
)
def test_bad_input_has_a_message_a_remedy_and_a_code(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str, content: bytes | str | None, code: int
) -> None:
    path = tmp_path / name
    if isinstance(content, bytes):
        path.write_bytes(content)
    elif content is not None:
        path.mkdir()
    assert main(["--quiet", "report", str(path), "-o", str(tmp_path / "w")]) == code
    _, err = capsys.readouterr()
    assert name in err
    assert len(err.strip().splitlines()) >= 2


def test_one_bad_recording_does_not_stop_the_next(said: Path, tmp_path: Path) -> None:
    assert main(["--quiet", "report", str(tmp_path / "no.txt"), str(said), "-o", str(tmp_path / "w")]) == 3
    assert (tmp_path / "w" / "washer" / "report.docx").exists()


def test_worst_code() -> None:
    assert worst([0, 0]) == 0
    assert worst([11]) == 11
    assert worst([0, 11]) == 3
    assert worst([0, 4]) == 4
    assert worst([11, 12]) == 11


def test_an_unwritable_place_is_told(said: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "file").write_text("x")
    assert main(["--quiet", "report", str(said), "-o", str(tmp_path / "file")]) == 20
    assert "cannot be written" in capsys.readouterr().err


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full on this system")
def test_words_with_control_characters_cannot_steer_the_terminal(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "odd\x1b[31m.txt"
    path.write_text("[0:00] The \x1b]0;owned\x07 pump is six foot long and made of [bold]steel[/bold].\n")
    main(["report", str(path), "-o", str(tmp_path / "w")])
    out, err = capsys.readouterr()
    assert "\x1b" not in out + err
    assert "\x07" not in out + err


def test_second_visit_prints_what_changed(said: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["--quiet", "report", str(said), "-o", str(tmp_path / "w")])
    walk = tmp_path / "w" / "washer" / "walk.json"
    later = tmp_path / "later.txt"
    later.write_text("[0:00] Serial number is 4471 B. Stage three is the dryer. I said two pumps, it's three.\n")
    assert main(["--quiet", "add", str(walk), str(later)]) == 0
    out, _ = capsys.readouterr()
    assert "stage 3: now dryer" in out
    assert "pump" in out
    assert "2 → 3" in out
    data = json.loads(walk.read_text())
    assert [s["file"] for s in data["additions"]] == ["later.txt"]
    assert data["identity"]["serial"]["evidence"][0]["recording"] == "later.txt"
    assert (walk.parent / "changes.md").exists()
    assert main(["--quiet", "add", str(walk), str(later)]) == 2


def test_every_error_has_its_own_code_and_a_remedy() -> None:
    classes = [c for _, c in inspect.getmembers(errors, inspect.isclass) if issubclass(c, errors.TallywalkError)]
    codes = [c.exit_code for c in classes]
    assert len(set(codes)) == len(codes)
    assert not set(codes) & {0, 3, 4, 5, 130}
    assert all(c.remedy.strip() for c in classes)


def test_help_needs_no_heavy_library() -> None:
    """Start-up must feel instant: what --help imports is looked at, as times are noisy."""
    heavy = "spacy pint docx faster_whisper ctranslate2 numpy av fastapi openpyxl PIL".split()
    code = (
        "import sys; from pipeline.cli import main; main(['--help']);"
        f"print(sorted(set({heavy}) & set(sys.modules)), file=sys.stderr)"
    )
    run = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert run.stderr.strip() == "[]"


def test_another_distributions_package_is_named(tmp_path: Path) -> None:
    (tmp_path / "vocab").mkdir()
    (tmp_path / "vocab" / "__init__.py").write_text("")
    env = {**os.environ, "PYTHONPATH": f"{tmp_path}{os.pathsep}{ROOT}"}
    run = subprocess.run(
        [sys.executable, "-c", "import sys, tallywalk_start; sys.exit(tallywalk_start.main())"],
        cwd=tmp_path, env=env, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert run.returncode == 5
    assert "'vocab' is taken from" in run.stderr


def test_ctrl_c_leaves_nothing_half_written(tmp_path: Path) -> None:
    path = tmp_path / "long.txt"
    line = "The pump number {n} is {n} feet long, five horse, and it stays, no, it goes with it."
    path.write_text("".join(f"[{n}:00] {line.format(n=n + 1)}\n" for n in range(600)))
    process = subprocess.Popen(
        [sys.executable, "-m", "pipeline", "report", str(path), "-o", str(tmp_path / "w")],
        cwd=ROOT, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    # while it starts, Python itself may be what is stopped: it is at work when its folder is there
    until = time.monotonic() + 60
    while not (tmp_path / "w").exists() and process.poll() is None and time.monotonic() < until:
        time.sleep(0.02)
    process.send_signal(signal.SIGINT)
    _, err = process.communicate(timeout=60)
    assert process.returncode in (130, 0), err  # 0: it was quicker than we are
    if process.returncode == 130:
        assert "stopped" in err
    assert not list((tmp_path).rglob("*.part"))


def test_ctrl_c_while_the_command_is_being_loaded_is_no_fault(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def interrupted(_: Path) -> list[tuple[str, str]]:
        monkeypatch.setitem(sys.modules, "pipeline.cli", Interrupting("pipeline.cli"))
        return []

    monkeypatch.setattr(tallywalk_start, "shadowed", interrupted)
    assert tallywalk_start.main() == 130
    assert "stopped" in capsys.readouterr().err


class Interrupting(ModuleType):
    """A module whose loading is broken off by the keyboard."""

    @property
    def main(self) -> None:
        raise KeyboardInterrupt


SALE = """[0:00] Lot one is a band saw, twenty inch, three horse.
[0:10] Lot two is a drill press, one horse, floor type.
[0:20] Back to the band saw, it has two spare blades.
"""


def test_cuts_are_shown_with_what_sets_them_again(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "sale.txt"
    path.write_text(SALE)
    report = ["--quiet", "report", str(path), "-o", str(tmp_path / "w")]
    assert main(report) == 0
    out = capsys.readouterr().out
    assert "2 machines in one recording" in out
    assert "--cuts 0:10,0:20=1 with other times" in out
    assert "sale.txt, 02: drill press" in out
    assert main([*report, "--cuts", "0:10,0:20=1"]) == 0
    assert sorted(p.name for p in (tmp_path / "w" / "sale").glob("0?")) == ["01", "02"]
    capsys.readouterr()
    for cuts, why in (
        ("9:00", "no word of sale.txt stands behind 540 s"),
        ("0:10=7", "machine 7 was not told of"),
        ("0:10=b", "goes back to no machine"),
    ):
        assert main([*report, "--cuts", cuts]) == 2
        assert why in capsys.readouterr().err
    assert main([*report, str(path), "--cuts", "0:10"]) == 2
    assert "--cuts are of one recording" in capsys.readouterr().err
