"""More than one computer: addresses that are refused, and two real workers, one of them killed in the middle."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from pipeline.batch import run_batch
from pipeline.cluster import checked_address, run_on_cluster
from pipeline.errors import EngineError, UsageError
from pipeline.settings import Settings

ROOT = Path(__file__).parents[2]
TODAY = date(2026, 11, 25)
LINE = "[{m}:{s:02d}] The tank number {n} is {n} feet long and the pump is five horse, no, six horse, and it stays.\n"


@pytest.mark.parametrize(
    "address", ["tcp://192.0.2.7:8786", "192.0.2.7:8786", "tls://192.0.2.7:8786", "http://x", "nonsense"]
)
def test_an_open_address_is_refused(address: str) -> None:
    with pytest.raises(UsageError):
        checked_address(address, tls=False)


def test_addresses_that_will_do() -> None:
    assert checked_address("127.0.0.1:8786", tls=False) == "tcp://127.0.0.1:8786"
    assert checked_address("tcp://localhost:1", tls=False) == "tcp://localhost:1"
    assert checked_address("tls://192.0.2.7:8786", tls=True) == "tls://192.0.2.7:8786"


def start(*arguments: str) -> subprocess.Popen[bytes]:
    env = {**os.environ, "PYTHONPATH": str(ROOT), "DASK_DISTRIBUTED__COMM__TIMEOUTS__TCP": "10s"}
    return subprocess.Popen(
        [sys.executable, "-m", "dask", *arguments], env=env, start_new_session=True,
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip


def stop(process: subprocess.Popen[bytes]) -> None:
    if process.poll() is None:
        os.killpg(process.pid, signal.SIGKILL)
    process.wait()


@pytest.fixture
def scheduler(tmp_path: Path) -> Iterator[str]:
    file = tmp_path / "scheduler.json"
    process = start("scheduler", "--host", "127.0.0.1", "--port", "0", "--no-dashboard", "--scheduler-file", str(file))
    try:
        for _ in range(200):
            if file.exists() and file.read_text().strip().endswith("}"):
                break
            time.sleep(0.1)
        yield json.loads(file.read_text())["address"]
    finally:
        stop(process)


def test_no_scheduler_is_told() -> None:
    pytest.importorskip("distributed")
    with pytest.raises(EngineError, match="no scheduler with workers answers"):
        run_on_cluster(["x.srt"], "127.0.0.1:9", settings=Settings(), today=TODAY, patience="2s")


@pytest.mark.slow
def test_two_workers_one_killed_gives_what_one_computer_gives(tmp_path: Path, scheduler: str) -> None:
    folder = tmp_path / "in"
    folder.mkdir()
    for n in range(8):
        lines = (LINE.format(m=i // 6, s=i % 6 * 10, n=i % 40 + n + 1) for i in range(400))
        (folder / f"w{n}.txt").write_text("".join(lines))
    recordings = sorted(folder.iterdir())
    workers = [start("worker", scheduler, "--nthreads", "1", "--no-dashboard", "--no-nanny") for _ in range(2)]
    try:
        finished: list[str] = []

        def told(result: object, done: int, whole: int) -> None:
            finished.append(f"{done}/{whole}")
            if done == 1:
                os.killpg(workers[0].pid, signal.SIGKILL)

        results = run_on_cluster(
            [str(p) for p in recordings], scheduler, settings=Settings(out=tmp_path / "there"), today=TODAY, told=told
        )
    finally:
        for worker in workers:
            stop(worker)
    assert workers[0].returncode == -signal.SIGKILL
    assert [r.state for r in results] == ["done"] * 8
    assert finished[-1] == "8/8"
    run_batch(recordings, settings=Settings(out=tmp_path / "here"), today=TODAY, workers=1)
    for path in recordings:
        here, there = (tmp_path / side / path.stem / "walk.json" for side in ("here", "there"))
        assert here.read_bytes() == there.read_bytes()
