"""Sound on the disk before anybody is told so. The WAV header is checked with Python's own reader."""

from __future__ import annotations

import errno
import os
import stat
import wave
from pathlib import Path

import pytest

from pipeline.errors import NotFound, NotMedia, OutputError, UsageError
from pipeline.web import recordings as module
from pipeline.web.recordings import Recordings, clean_name, looks_like_recording


def test_pieces_become_a_wave_file(tmp_path: Path) -> None:
    kept = Recordings(tmp_path)
    about = kept.begin()
    sound = os.urandom(64000)
    assert kept.add_sound(about.number, 0, sound[:30000]) == 30000
    assert kept.add_sound(about.number, 20000, sound[20000:50000]) == 50000, "sent again after a lost answer"
    assert kept.add_sound(about.number, 10, sound[10:20]) == 50000
    with pytest.raises(UsageError, match="50000"):
        kept.add_sound(about.number, 60000, b"xx")
    kept.add_sound(about.number, 50000, sound[50000:])
    kept.add_event(about.number, "mark", 1.5)
    kept.add_picture(about.number, 1.0, b"\xff\xd8\xff" + b"x" * 10)
    path = kept.finish(about.number)
    with wave.open(str(path)) as w:
        assert (w.getframerate(), w.getnchannels(), w.getsampwidth()) == (16000, 1, 2)
        assert w.readframes(10**6) == sound
    assert [e["kind"] for e in module.events_in(path.with_suffix(".with"))] == ["mark", "picture"]
    assert len(list((path.with_suffix(".with") / "pictures").iterdir())) == 1
    assert kept.unfinished() == []
    if os.name == "posix":
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
        assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700


def test_a_full_disk_leaves_whole_samples_and_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    kept = Recordings(tmp_path)
    number = kept.begin().number
    kept.add_sound(number, 0, b"ab" * 100)
    real = os.write

    def full(handle: int, data: bytes) -> int:
        if len(data) > 50:
            return real(handle, bytes(data)[:33])
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "write", lambda h, d: full(h, d) if len(d) == 100 else full(h, b"x"))
    with pytest.raises(OutputError, match="No space"):
        kept.add_sound(number, 200, b"cd" * 50)
    monkeypatch.undo()
    assert kept.size(number) == 200
    assert kept.add_sound(number, 200, b"cd" * 50) == 300


def test_a_folder_deleted_underneath(tmp_path: Path) -> None:
    import shutil

    kept = Recordings(tmp_path)
    number = kept.begin().number
    shutil.rmtree(tmp_path / "recordings")
    for call in (
        lambda: kept.add_sound(number, 0, b"ab"),
        lambda: kept.finish(number),
        lambda: kept.about(number),
        lambda: kept.add_event(number, "mark", 1.0),
    ):
        with pytest.raises(NotFound):
            call()
    assert not (tmp_path / "recordings").exists()


def test_where_the_disk_is_full_nothing_begins(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    kept = Recordings(tmp_path)
    monkeypatch.setattr(module, "free", lambda _: (4 << 20) - 1)
    with pytest.raises(OutputError, match="disk is full"):
        kept.begin()
    with pytest.raises(OutputError, match="5 MB do not fit: 3 MB are free"):
        kept.receive("long.wav", 5 << 20, "k")
    assert not (tmp_path / "recordings").exists(), "and nothing is left of it"
    monkeypatch.setattr(module, "free", lambda _: 4 << 20)
    assert kept.begin().number
    assert kept.receive("short.wav", 4 << 20, "k")[1] == 0


def test_a_mark_on_a_full_disk_takes_no_later_one_along(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A line of which half was written would swallow the next one."""
    kept = Recordings(tmp_path)
    number = kept.begin().number
    kept.add_event(number, "mark", 1.0)
    real, room = os.write, [9]

    def full(handle: int, data: bytes) -> int:
        if not room:
            raise OSError(errno.ENOSPC, "No space left on device")
        return real(handle, bytes(data)[: room.pop()])

    monkeypatch.setattr(os, "write", full)
    with pytest.raises(OutputError, match="No space"):
        kept.add_event(number, "mark", 2.0)
    monkeypatch.undo()
    kept.add_event(number, "mark", 3.0)
    assert [e["at"] for e in kept.events(number)] == [1.0, 3.0]


def test_a_recording_begins_in_a_folder_that_was_deleted(tmp_path: Path) -> None:
    """And is not told that the disk is full."""
    kept = Recordings(tmp_path / "yard" / "walks")
    assert module.free(tmp_path / "yard" / "walks") > 0
    number = kept.begin().number
    assert kept.add_sound(number, 0, b"ab") == 2


def test_files_go_on_where_they_broke_off(tmp_path: Path) -> None:
    kept = Recordings(tmp_path)
    data = b"RIFF" + os.urandom(9996)
    about, there = kept.receive("walk.wav", len(data), "k")
    assert there == 0
    assert kept.add_bytes(about.number, 0, data[:4000]) == (4000, None)
    again, there = Recordings(tmp_path).receive("walk.wav", len(data), "k")
    assert (again.number, there) == (about.number, 4000)
    size, path = kept.add_bytes(about.number, 4000, data[4000:])
    assert size == len(data)
    assert path is not None
    assert path.read_bytes() == data
    with pytest.raises(NotFound):
        kept.received(about.number)


def test_what_is_no_recording_is_not_stored(tmp_path: Path) -> None:
    kept = Recordings(tmp_path)
    about, _ = kept.receive("walk.wav", 100, "k")
    with pytest.raises(NotMedia):
        kept.add_bytes(about.number, 0, b"<html><script>" + b"x" * 86)
    assert kept.finished() == []
    for size in (0, -1, 1 << 50):
        with pytest.raises(UsageError):
            kept.receive("a.wav", size, "k")
    about, _ = kept.receive("b.wav", 10, "k")
    with pytest.raises(UsageError, match="announced"):
        kept.add_bytes(about.number, 0, b"RIFF" + b"x" * 100)
    with pytest.raises(NotMedia):
        kept.add_picture(kept.begin().number, 0.0, b"<svg onload=alert(1)>")


def test_half_sent_files_are_bounded(tmp_path: Path) -> None:
    kept = Recordings(tmp_path)
    for i in range(module.MOST_PARTS):
        kept.receive(f"{i}.wav", 10, "k")
    with pytest.raises(UsageError, match="half sent"):
        kept.receive("one more.wav", 10, "k")


@pytest.mark.parametrize(
    ("given", "kept"),
    [
        ("../../etc/passwd", "passwd"),
        ("C:\\walks\\a b.wav", "a b.wav"),
        (".bashrc", "recording.bashrc"),
        ("a\0b\n.wav", "a_b.wav"),
        ("", "recording"),
        ("<script>.mp4", "_script_.mp4"),
        ("x" * 400 + ".m4a", "x" * 70 + ".m4a"),
    ],
)
def test_names(given: str, kept: str) -> None:
    name = clean_name(given)
    assert "/" not in name
    assert "\\" not in name
    assert not name.startswith(".")
    if given != ".bashrc":
        assert name in (kept, kept.replace("a_b", "a_b_"))


@pytest.mark.parametrize("number", ["", "..", "../x", "0" * 15, "0" * 17, "g" * 16, "0123456789ABCDEF"])
def test_numbers_are_ours_alone(tmp_path: Path, number: str) -> None:
    kept = Recordings(tmp_path)
    kept.begin()
    with pytest.raises(NotFound):
        kept.about(number)
    with pytest.raises(NotFound):
        kept.add_sound(number, 0, b"ab")


@pytest.mark.parametrize(
    ("head", "name", "yes"),
    [
        (b"\0\0\0\x18ftypM4A ", "a.m4a", True),
        (b"\x1aE\xdf\xa3", "a.webm", True),
        (b"OggS", "a.opus", True),
        (b"fLaC", "a.flac", True),
        (b"ID3\x04", "a.mp3", True),
        (b"\xff\xfb\x90", "a.mp3", True),
        (b"#!AMR\n", "a.amr", True),
        (b"[0:00] hello", "a.txt", True),
        (b"PK\x03\x04", "a.m4a", False),
        (b"MZ\x90\0", "a.wav", False),
        (b"\x7fELF\0", "a.txt", False),
        (b"", "a.wav", False),
    ],
)
def test_first_bytes(head: bytes, name: str, yes: bool) -> None:
    assert looks_like_recording(head, name) is yes
