"""Faults that a first user met: each was met by hand before it was a test."""

from __future__ import annotations

import json
import os
import signal
import struct
import subprocess
import sys
import time
import wave
from pathlib import Path

import pytest

from pipeline import errors, media, writers
from pipeline.cli import main
from pipeline.timed_text import read_timed_text

ROOT = Path(__file__).parents[2]
TWO = "[0:00] This is a parts washer, 12 feet long.\n[0:20] This is a boiler, 40 horsepower.\n"


@pytest.fixture
def said(tmp_path: Path) -> Path:
    path = tmp_path / "two.txt"
    path.write_text(TWO)
    return path


def test_cuts_given_by_hand_are_made(said: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["report", str(said), "-o", str(tmp_path / "w"), "--cuts", "0:20"]) == 0
    assert json.loads((tmp_path / "w/two/lots.json").read_text())["cuts"] == [20.0]
    assert (tmp_path / "w/two/02/report.docx").is_file()
    assert main(["report", str(said), "-o", str(tmp_path / "one"), "--cuts", "none"]) == 0
    assert (tmp_path / "one/two/report.docx").is_file()
    capsys.readouterr()
    assert main(["report", str(said), "-o", str(tmp_path / "x"), "--cuts", "soon"]) == 2
    assert "'soon' is no time" in capsys.readouterr().err


def test_an_unknown_processor_is_refused_before_any_work(
    said: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["report", str(said), "-o", str(tmp_path / "w"), "--device", "gpu9"]) == 2
    assert "auto, cpu or cuda" in capsys.readouterr().err
    assert not (tmp_path / "w").exists()


@pytest.mark.skipif(os.name == "nt", reason="signals as on Unix")
def test_who_stops_it_is_told_what_is_kept(tmp_path: Path) -> None:
    slow = tmp_path / "slow.json"
    words = [{"text": f"tank {i}", "start": i, "end": i + 0.5} for i in range(60_000)]
    slow.write_text(json.dumps({"words": words}))
    child = subprocess.Popen(
        [sys.executable, "-m", "pipeline", "report", str(slow), "-o", str(tmp_path / "w")],
        stderr=subprocess.PIPE, cwd=ROOT, text=True,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    )  # fmt: skip
    assert child.stderr is not None
    assert "reading" in child.stderr.readline()
    time.sleep(0.2)
    child.send_signal(signal.SIGINT)
    _, told = child.communicate(timeout=60)
    assert child.returncode == errors.EXIT_INTERRUPTED
    assert "stopped. Finished recordings are whole" in told
    assert "Traceback" not in told


def test_a_file_that_may_not_be_read_stops_no_other(
    said: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    locked = tmp_path / "locked.txt"
    locked.write_text(TWO)
    real = Path.open

    def refusing(self: Path, *rest: object, **more: object) -> object:
        if self.name == "locked.txt":
            raise PermissionError(13, "Permission denied")
        return real(self, *rest, **more)  # type: ignore[call-overload]

    monkeypatch.setattr(Path, "open", refusing)  # root may read all, whatever the file's mode says
    assert main(["report", str(locked), str(said), "-o", str(tmp_path / "w")]) == errors.EXIT_PARTIAL
    out, err = capsys.readouterr()
    assert "two.txt:" in out
    assert "locked.txt: cannot be read (Permission denied)" in err


def test_a_name_that_begins_with_a_dash_is_explained(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "-walk.txt").write_text(TWO)
    monkeypatch.chdir(tmp_path)
    assert main(["report", "-walk.txt"]) == 2
    assert "write it as ./-walk.txt" in capsys.readouterr().err
    assert main(["report", "./-walk.txt"]) == 0


def test_a_transcript_saved_as_utf_16_is_read(tmp_path: Path) -> None:
    path = tmp_path / "notepad.txt"
    path.write_text(TWO, encoding="utf-16")
    assert read_timed_text(path).words[3].text == "parts"
    path.write_bytes("[0:00] caf\xe9 line".encode("latin-1"))
    with pytest.raises(errors.InputError) as told:
        read_timed_text(path)
    assert "UTF-8" in told.value.remedy


def tone(path: Path, seconds: int) -> bytes:
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(16_000)
        file.writeframes(bytes(range(200)) * 160 * seconds)
    return path.read_bytes()


def test_a_wave_that_breaks_off_is_said_to(tmp_path: Path) -> None:
    path = tmp_path / "walk.wav"
    whole = tone(path, 10)
    with media.decode(path) as sound:
        assert sound.broken_at is None
    path.write_bytes(whole[: len(whole) // 2])
    with media.decode(path) as sound:
        assert sound.broken_at == pytest.approx(5.0, abs=0.1)
        assert sound.claimed == pytest.approx(10.0)
    # a recorder that streams leaves the size open: nothing is missing
    path.write_bytes(whole[:40] + struct.pack("<I", 0xFFFFFFFF) + whole[44:])
    with media.decode(path) as sound:
        assert sound.broken_at is None


def test_an_ogg_without_its_last_page_is_noted(tmp_path: Path) -> None:
    whole = (ROOT / "demo_audio/tunnel_washer.ogg").read_bytes()
    path = tmp_path / "walk.ogg"
    assert media.is_closed(ROOT / "demo_audio/tunnel_washer.ogg")
    path.write_bytes(whole[: len(whole) // 20])
    with media.decode(path) as sound:
        assert any("has no end" in n for n in sound.notes)


def test_a_video_whose_index_was_never_written_says_so(tmp_path: Path) -> None:
    path = tmp_path / "walk.mp4"
    # boxes of ISO/IEC 14496-12: length, type, content
    path.write_bytes(
        struct.pack(">I4s8s", 16, b"ftyp", b"isom\0\0\2\0") + struct.pack(">I4s", 9999, b"mdat") + bytes(500)
    )
    with pytest.raises(errors.NotMedia) as told:
        media.probe(path)
    assert "its index is missing" in str(told.value)
    path.write_bytes(b"no recording at all " * 50)
    with pytest.raises(errors.NotMedia) as told:
        media.probe(path)
    assert "index" not in str(told.value)


def test_a_disk_that_was_full_makes_no_document_look_changed_by_a_person(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    room = 1
    real = writers._whole

    def small(path: Path, data: bytes) -> None:
        if len([p for p in tmp_path.iterdir() if p != path]) >= room:
            raise OSError(28, "No space left on device")
        real(path, data)

    monkeypatch.setattr(writers, "_whole", small)
    jobs = [("a.txt", lambda: b"one"), ("b.txt", lambda: b"two")]
    told = writers._carry_out(tmp_path, jobs, [])
    assert told.failed == ("a.txt: No space left on device", "b.txt: No space left on device")
    room = 2
    assert writers._carry_out(tmp_path, jobs, []).failed == ("b.txt: No space left on device",)
    room = 9
    told = writers._carry_out(tmp_path, jobs, [])
    assert not told.kept
    assert not told.failed
    assert (tmp_path / "a.txt").read_bytes() == b"one"


def test_duplicates_need_no_query(said: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["report", str(said), "-o", str(tmp_path / "w"), "--cuts", "none"]) == 0
    assert main(["find", "--duplicates", "--in", str(tmp_path / "w")]) == 0
    assert main(["find", "--in", str(tmp_path / "w")]) == 2
    assert "nothing to look for" in capsys.readouterr().err
