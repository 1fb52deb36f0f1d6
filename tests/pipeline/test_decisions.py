"""The decisions file: nothing that was acknowledged is ever lost."""

from __future__ import annotations

import errno
import os
import signal
import stat
import subprocess
import sys
import time
from pathlib import Path

import pytest

from pipeline import decisions
from pipeline.decisions import FILE, append, new, read_decisions
from pipeline.errors import DecisionError, OutputError


def one(n: int) -> decisions.Decision:
    return new("mark", who="Sam", at=float(n), why=f"note {n}")


def test_lines_come_back_in_order_and_for_the_owner_alone(tmp_path: Path) -> None:
    lines = [one(i) for i in range(5)]
    for line in lines:
        append(tmp_path, line)
    assert read_decisions(tmp_path) == tuple(lines)
    if os.name == "posix":
        assert stat.S_IMODE((tmp_path / FILE).stat().st_mode) == 0o600
    append(tmp_path, lines[0])
    assert len(read_decisions(tmp_path)) == 5, "an answer got lost, the page sent the line again"


def test_no_file_is_no_decision(tmp_path: Path) -> None:
    assert read_decisions(tmp_path) == ()


def test_hostile_words_stay_one_line(tmp_path: Path) -> None:
    d = new("mark", who="a\nb\x1b[31m", why='"}\n{"id": "x"\u2028', at=1.0)
    append(tmp_path, d)
    assert read_decisions(tmp_path) == (d,)
    assert (tmp_path / FILE).read_bytes().count(b"\n") == 1


@pytest.mark.parametrize("cut", [1, 5, 40])
def test_a_torn_last_line_hides_nothing(tmp_path: Path, cut: int) -> None:
    lines = [one(i) for i in range(3)]
    append(tmp_path, *lines)
    path = tmp_path / FILE
    path.write_bytes(path.read_bytes()[:-cut])
    kept = read_decisions(tmp_path)
    assert kept == tuple(lines if cut == 1 else lines[:2])
    later = one(9)
    append(tmp_path, later)
    append(tmp_path, one(10))
    assert read_decisions(tmp_path)[: len(kept) + 1] == (*kept, later)


def test_a_spoilt_line_in_the_middle_is_named(tmp_path: Path) -> None:
    append(tmp_path, one(1))
    with (tmp_path / FILE).open("a") as file:
        file.write("not json\n")
    append(tmp_path, one(2))
    with pytest.raises(DecisionError, match="line 2"):
        read_decisions(tmp_path)


@pytest.mark.parametrize("line", ['{"id": 1}', "[]", '{"id":"a","who":"b","when":"c","act":"mark","at":"x"}'])
def test_a_line_of_the_wrong_shape_is_named(tmp_path: Path, line: str) -> None:
    (tmp_path / FILE).write_text(line + "\n")
    with pytest.raises(DecisionError, match="line 1"):
        read_decisions(tmp_path)


def test_a_full_disk_leaves_the_file_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    append(tmp_path, one(1))
    before = (tmp_path / FILE).read_bytes()
    real = os.write

    def half(handle: int, data: bytes) -> int:
        if len(data) > 10:
            return real(handle, data[:10])
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(decisions.os, "write", lambda h, d: half(h, d) if len(d) > 60 else (_ for _ in ()).throw(
        OSError(errno.ENOSPC, "No space left on device")))  # fmt: skip
    with pytest.raises(OutputError, match="No space"):
        append(tmp_path, one(2))
    assert (tmp_path / FILE).read_bytes() == before


def test_a_deleted_folder_is_not_made_again(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="gone"):
        append(tmp_path / "away", one(1))
    assert not (tmp_path / "away").exists()


def test_a_clock_going_backwards_changes_no_order(tmp_path: Path) -> None:
    from dataclasses import replace

    append(
        tmp_path, replace(one(1), when="2030-01-01T00:00:00+00:00"), replace(one(2), when="1999-01-01T00:00:00+00:00")
    )
    assert [d.at for d in read_decisions(tmp_path)] == [1.0, 2.0]


WRITER = """
import sys
from pathlib import Path
from pipeline.decisions import append, new
for i in range(int(sys.argv[3])):
    d = new("mark", who=sys.argv[2], at=float(i), why="x" * 300)
    append(Path(sys.argv[1]), d)
    print(d.id, flush=True)
"""


def writer(folder: Path, who: str, n: int) -> subprocess.Popen[str]:
    command = [sys.executable, "-c", WRITER, str(folder), who, str(n)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=Path(__file__).parents[2])


def test_two_people_at_once(tmp_path: Path) -> None:
    runs = [writer(tmp_path, who, 100) for who in ("one", "two")]
    told = [set(run.communicate(timeout=60)[0].split()) for run in runs]
    kept = {d.id for d in read_decisions(tmp_path)}
    assert kept == told[0] | told[1]
    assert len(kept) == 200


def test_what_was_told_survives_kill_9(tmp_path: Path) -> None:
    for delay in (0.05, 0.2, 0.31):
        run = writer(tmp_path, "one", 100_000)
        assert run.stdout is not None
        first = run.stdout.readline().strip()
        time.sleep(delay)
        run.send_signal(signal.SIGKILL)
        told = {first, *run.stdout.read().split()}
        run.wait()
        run.stdout.close()
        append(tmp_path, one(1))
        assert told <= {d.id for d in read_decisions(tmp_path)}
