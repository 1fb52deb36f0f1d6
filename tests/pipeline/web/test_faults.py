"""What goes wrong around the page: a disk that is really full, a clock that runs backwards, a server killed in the
middle of a decision. Nothing that was told to be kept is lost, and the message says what to do."""

from __future__ import annotations

import contextlib
import datetime
import json
import os
import subprocess
import sys
import threading
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from pipeline import decisions
from pipeline.decisions import FILE, append, new, read_decisions
from pipeline.errors import OutputError
from pipeline.review import standing
from pipeline.web import recordings as module
from pipeline.web.app import id_of
from pipeline.web.recordings import Recordings
from pipeline.web.session import OpenWalk
from tests.pipeline.web.samples import put, serving
from vocab import builtin

ID = id_of("washer line")


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A file system of eight megabytes."""
    place = tmp_path / "small"
    place.mkdir()
    command = ["mount", "-t", "tmpfs", "-o", "size=8m", "tallywalk-test", str(place)]
    if os.name != "posix" or os.geteuid() != 0 or subprocess.run(command, capture_output=True).returncode:
        pytest.skip("NO SMALL DISK: only root may mount one; the full disk is tested in imitation alone")
    try:
        yield place
    finally:
        subprocess.run(["umount", "-l", str(place)], check=True)


def fill(place: Path) -> Path:
    """Take all room that is left."""
    path = place / "all the room"
    with path.open("wb", buffering=0) as file, contextlib.suppress(OSError):
        while True:
            file.write(b"\0" * 4096)
    return path


def test_a_disk_that_is_really_full(small_disk: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "SPARE", 0)
    kept = Recordings(small_disk)
    number = kept.begin().number
    kept.add_sound(number, 0, b"ab" * 16000)
    place = put(small_disk, "washer line", sound=False)
    walk = OpenWalk(place, builtin())
    walk.decide({"act": "confirm", "ref": "q2"}, "Sam")
    assert walk.settled()
    hog = fill(small_disk)

    def speak_on() -> None:
        for n in range(1, 40):  # what is left of the last page of the file may still take some
            kept.add_sound(number, n * 32000, b"cd" * 16000)

    def decide_on() -> None:
        for _ in range(200):
            walk.decide({"act": "confirm", "ref": "q3"}, "Sam")

    with pytest.raises(OutputError, match="No space"):
        speak_on()
    size = kept.size(number)
    assert size % 2 == 0
    with pytest.raises(OutputError, match="could not be kept"):
        decide_on()
    lines = read_decisions(place)
    assert lines[0].act == "confirm"
    assert all(json.loads(line) for line in (place / FILE).read_bytes().splitlines()), "no half line is left"
    hog.unlink()
    kept.add_sound(number, size, b"ef" * 16000)
    assert kept.sound(number, 0, 4) == b"abab"
    walk.decide({"act": "withdraw", "ref": "q4"}, "Sam")
    assert read_decisions(place)[-1].act == "withdraw"
    assert len(read_decisions(place)) == len(lines) + 1


def test_a_clock_that_runs_backwards(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    place = put(tmp_path, "washer line", sound=False)
    hours = iter(range(12, 0, -1))

    class Clock(datetime.datetime):
        @classmethod
        def now(cls, tz: Any = None) -> datetime.datetime:
            return datetime.datetime(2026, 11, 25, next(hours), tzinfo=datetime.UTC)

    monkeypatch.setattr(decisions, "datetime", Clock)
    walk = OpenWalk(place, builtin())
    for value in (460.0, 480.0, 240.0):
        walk.decide({"act": "change", "ref": "q2", "set": {"value": value}}, "Sam")
    assert walk.undo("Sam").startswith("supply voltage")
    lines = read_decisions(place)
    assert [d.when for d in lines] == sorted((d.when for d in lines), reverse=True), "the clock did run backwards"
    assert [d.set["value"] for d in standing(lines)] == [460.0, 480.0], "the order of lines counts"
    again = OpenWalk(place, builtin())
    assert next(q.value for q in again.walk.quantities if q.subject == "supply") == 480.0


def test_a_server_killed_between_decisions_keeps_each_that_was_answered(tmp_path: Path) -> None:
    put(tmp_path, "washer line")
    answered: list[float] = []
    with serving(tmp_path) as page:

        def decide() -> None:
            for n in range(1, 2000):
                asked = json.dumps({"act": "change", "ref": "q1", "set": {"value": float(n)}}).encode()
                headers = {"content-type": "application/json", "origin": page.url}
                target = f"{page.url}/walks/{ID}/decide"
                try:
                    with urllib.request.urlopen(urllib.request.Request(target, asked, headers), timeout=5):
                        answered.append(float(n))
                except (OSError, urllib.error.URLError):
                    return

        thread = threading.Thread(target=decide)
        thread.start()
        while len(answered) < 15:
            thread.join(0.02)
        page.kill()
        thread.join(20)
        kept = [d.set["value"] for d in read_decisions(tmp_path / "washer line")]
        assert kept[: len(answered)] == answered
        assert len(kept) <= len(answered) + 1, "one may have been kept whose answer was cut off"
        page.start()
        with urllib.request.urlopen(f"{page.url}/walks/{ID}/state?version=0") as answer:
            rows = json.load(answer)["changed"]
    assert f"{kept[-1]:g} ft" in next(r["html"] for r in rows if r["ref"] == "q1")


TWO = """
import sys
from pathlib import Path
from pipeline.web.session import OpenWalk
from vocab import builtin
walk = OpenWalk(Path(sys.argv[1]), builtin())
for n in range(40):
    ref = "q1" if sys.argv[2] == "Ann" else "q4"
    walk.decide({"act": "change", "ref": ref, "set": {"value": float(n)}}, sys.argv[2])
walk.settled()
"""


def test_two_people_in_two_processes(tmp_path: Path) -> None:
    place = put(tmp_path, "washer line", sound=False)
    people = [subprocess.Popen([sys.executable, "-c", TWO, str(place), who], cwd=Path.cwd()) for who in ("Ann", "Sam")]
    assert [p.wait(120) for p in people] == [0, 0]
    lines = read_decisions(place)
    for who in ("Ann", "Sam"):
        assert [d.set["value"] for d in lines if d.who == who] == [float(n) for n in range(40)]
    walk = OpenWalk(place, builtin())
    assert walk.settled()
    assert {q.value for q in walk.walk.quantities if q.property in ("length", "volume")} >= {39.0}


def test_a_second_writer_waits(tmp_path: Path) -> None:
    fcntl = pytest.importorskip("fcntl")
    place = put(tmp_path, "washer line", sound=False)
    append(place, new("mark", who="Ann", at=1.0))
    done = threading.Event()
    with (place / FILE).open("rb") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        thread = threading.Thread(target=lambda: (append(place, new("mark", who="Sam", at=2.0)), done.set()))
        thread.start()
        assert not done.wait(0.5), "somebody else is in the middle of a line"
        fcntl.flock(file, fcntl.LOCK_UN)
    assert done.wait(10)
    thread.join()
    assert [d.who for d in read_decisions(place)] == ["Ann", "Sam"]


def test_a_decision_undone_by_somebody_else_meanwhile(tmp_path: Path) -> None:
    place = put(tmp_path, "washer line", sound=False)
    walk = OpenWalk(place, builtin())
    walk.decide({"act": "withdraw", "ref": "q4"}, "Sam")
    append(place, new("undo", who="Ann", of=read_decisions(place)[0].id))
    assert next(q.status for q in walk.walk.quantities if q.id == "q4") == "stated"
