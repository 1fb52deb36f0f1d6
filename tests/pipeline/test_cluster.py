"""More than one computer: addresses that are refused, and two real workers, one of them killed in the middle."""

from __future__ import annotations

import ipaddress
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from pipeline import cluster
from pipeline.batch import Result, run_batch
from pipeline.cluster import checked_address, run_on_cluster
from pipeline.errors import EngineError, UsageError, WeightsError
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
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    return subprocess.Popen(
        [sys.executable, "-m", "dask", *arguments], env=env, start_new_session=True,
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip


def stop(process: subprocess.Popen[bytes]) -> None:
    if process.poll() is None:
        os.killpg(process.pid, signal.SIGKILL)
    process.wait()


def address_in(file: Path) -> str:
    """Where a scheduler that has just been started listens."""
    for _ in range(200):
        if file.exists() and file.read_text().strip().endswith("}"):
            break
        time.sleep(0.1)
    return str(json.loads(file.read_text())["address"])


@pytest.fixture
def scheduler(tmp_path: Path) -> Iterator[str]:
    file = tmp_path / "scheduler.json"
    process = start("scheduler", "--host", "127.0.0.1", "--port", "0", "--no-dashboard", "--scheduler-file", str(file))
    try:
        yield address_in(file)
    finally:
        stop(process)


def test_no_scheduler_is_told() -> None:
    pytest.importorskip("distributed")
    with pytest.raises(EngineError, match="no scheduler answers"):
        run_on_cluster(["x.srt"], "127.0.0.1:9", settings=Settings(), today=TODAY, patience="2s")


def certificate(folder: Path) -> tuple[Path, Path]:
    """A key and a certificate signed by itself, so that it is its own authority."""
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes, serialization
    from cryptography.hazmat.primitives.asymmetric import ec

    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(x509.oid.NameOID.COMMON_NAME, "localhost")])
    now = datetime.now(UTC)
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(hours=1))
        .not_valid_after(now + timedelta(hours=1))
        .add_extension(x509.SubjectAlternativeName([x509.IPAddress(ipaddress.ip_address("127.0.0.1"))]), critical=False)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .sign(key, hashes.SHA256())
    )
    cert, secret = folder / "cert.pem", folder / "key.pem"
    cert.write_bytes(made.public_bytes(serialization.Encoding.PEM))
    secret.write_bytes(
        key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    )
    return cert, secret


@pytest.mark.slow
def test_over_tls_from_an_address_of_shared_storage(tmp_path: Path) -> None:
    """Certificates made on the spot; without them the same scheduler gives no answer."""
    cert, secret = certificate(tmp_path)
    tls = ("--tls-ca-file", str(cert), "--tls-cert", str(cert), "--tls-key", str(secret))
    file = tmp_path / "scheduler.json"
    here = ("--host", "tls://127.0.0.1", "--port", "0", "--scheduler-file", str(file))
    processes = [start("scheduler", "--no-dashboard", *here, *tls)]
    recording = tmp_path / "w.txt"
    recording.write_text(LINE.format(m=0, s=0, n=4))
    try:
        address = address_in(file)
        assert address.startswith("tls://")
        processes.append(start("worker", address, "--nthreads", "1", "--no-dashboard", "--no-nanny", *tls))
        gone = f"file://{tmp_path}/gone.txt"
        results = run_on_cluster(
            [f"file://{recording}", gone], address, settings=Settings(out=tmp_path / "out"), today=TODAY,
            ca=cert, cert=cert, key=secret,
        )  # fmt: skip
        assert [(r.state, r.exit_code) for r in results] == [("done", 0), ("failed", 11)]
        with pytest.raises(EngineError):
            run_on_cluster(
                [str(recording)], address.replace("tls", "tcp"), settings=Settings(), today=TODAY, patience="3s"
            )
    finally:
        for process in processes:
            stop(process)


@pytest.mark.slow
def test_two_workers_one_killed_gives_what_one_computer_gives(tmp_path: Path, scheduler: str) -> None:
    folder = tmp_path / "in"
    folder.mkdir()
    for n in range(6):
        lines = (LINE.format(m=i // 6, s=i % 6 * 10, n=i % 40 + n + 1) for i in range(20))
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
    # one that was whole when its worker died is found done by the next
    assert {r.state for r in results} <= {"done", "skipped"}
    assert finished[-1] == "6/6"
    run_batch(recordings, settings=Settings(out=tmp_path / "here"), today=TODAY, workers=1)
    for path in recordings:
        here, there = (tmp_path / side / path.stem / "walk.json" for side in ("here", "there"))
        assert here.read_bytes() == there.read_bytes()


@pytest.mark.slow
def test_a_scheduler_without_workers_is_told(scheduler: str) -> None:
    with pytest.raises(EngineError, match="has no worker") as told:
        run_on_cluster(["x.srt"], scheduler, settings=Settings(), today=TODAY, patience="2s")
    assert "dask worker" in told.value.remedy


@pytest.mark.slow
def test_when_the_last_worker_dies_the_batch_ends_and_is_resumed(
    tmp_path: Path, scheduler: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The one worker is killed in the middle: the batch tells it; a new worker does the rest, nothing twice."""
    monkeypatch.setattr(cluster, "POLL", 1.0)
    recordings = []
    for n in range(5):
        recordings.append(str(tmp_path / f"w{n}.txt"))
        Path(recordings[-1]).write_text("".join(LINE.format(m=i // 6, s=i % 6 * 10, n=i + 2) for i in range(15)))
    options = {"settings": Settings(out=tmp_path / "out"), "today": TODAY}
    worker = start("worker", scheduler, "--nthreads", "1", "--no-dashboard", "--no-nanny")
    finished: list[str] = []

    def told(result: Result, done: int, whole: int) -> None:
        finished.append(result.recording)
        if done == 2:
            os.killpg(worker.pid, signal.SIGKILL)

    try:
        with pytest.raises(EngineError, match="no worker is left"):
            run_on_cluster(recordings, scheduler, told=told, **options)  # type: ignore[arg-type]
    finally:
        stop(worker)
    assert 2 <= len(finished) < 5
    worker = start("worker", scheduler, "--nthreads", "1", "--no-dashboard", "--no-nanny")
    try:
        results = run_on_cluster(recordings, scheduler, **options)  # type: ignore[arg-type]
    finally:
        stop(worker)
    states = {r.recording: r.state for r in results}
    assert all(states[r] == "skipped" for r in finished)
    assert set(states.values()) <= {"done", "skipped"}


@pytest.mark.slow
def test_a_long_batch_is_handed_out_in_portions(
    tmp_path: Path, scheduler: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The coordinator never waits on more than a few recordings a thread, however long the batch."""
    from distributed import Client

    waiting: set[object] = set()
    most = 0
    submit = Client.submit

    def counted(self: Client, *arguments: object, **options: object) -> object:
        nonlocal most
        future = submit(self, *arguments, **options)
        waiting.add(future)
        most = max(most, len(waiting))
        return future

    monkeypatch.setattr(Client, "submit", counted)
    taken = cluster._result

    def result(future: object, recording: str) -> Result:
        waiting.discard(future)
        return taken(future, recording)

    monkeypatch.setattr(cluster, "_result", result)
    names = [str(tmp_path / f"missing{n}.txt") for n in range(60)]
    worker = start("worker", scheduler, "--nthreads", "1", "--no-dashboard", "--no-nanny")
    try:
        results = run_on_cluster(names, scheduler, settings=Settings(out=tmp_path), today=TODAY)
    finally:
        stop(worker)
    assert [r.exit_code for r in results] == [11] * 60
    assert [r.recording for r in results] == names
    assert most <= cluster.AHEAD


def test_folders_and_patterns_of_shared_storage(tmp_path: Path) -> None:
    pytest.importorskip("fsspec")
    (tmp_path / "yard").mkdir()
    for name in ("a.m4a", "b.wav", "notes.pdf"):
        (tmp_path / "yard" / name).write_bytes(b"x")
    here = f"file://{tmp_path}"
    both = [f"{here}/yard/a.m4a", f"{here}/yard/b.wav"]
    assert cluster.expand([f"{here}/yard"]) == (both, [])
    assert cluster.expand([f"{here}/yard/*.wav", f"{here}/yard/b.wav"]) == (both[1:], [])
    found, missing = cluster.expand([f"{here}/none.wav", "nosuch://x/y.wav", both[0]])
    assert found == both[:1]
    assert [m.partition(": ")[0] for m in missing] == [f"{here}/none.wav", "nosuch://x/y.wav"]
    assert cluster.expand([]) == ([], [])


@pytest.mark.slow
def test_recordings_with_sound_on_two_workers_one_killed(tmp_path: Path, scheduler: str) -> None:
    """Real sound through the real recogniser: the killed worker's recording is heard by the other, and every walk is
    what one computer makes of it, to the byte."""
    demo = next((ROOT / "demo_audio").glob("*.m4a"), None) or next((ROOT / "demo_audio").glob("*.*g*"), None)
    if demo is None:
        pytest.skip("no recording in demo_audio")
    recordings = []
    for n in range(4):
        path = tmp_path / f"sound{n}.wav"
        cut_sound(demo, path, first=n * 12.0, seconds=11.0)
        recordings.append(path)
    workers = [start("worker", scheduler, "--nthreads", "1", "--no-dashboard", "--no-nanny") for _ in range(2)]
    try:

        def told(result: Result, done: int, whole: int) -> None:
            if done == 1:
                os.killpg(workers[0].pid, signal.SIGKILL)

        results = run_on_cluster(
            [str(p) for p in recordings], scheduler, told=told, today=TODAY,
            settings=Settings(out=tmp_path / "there", cache=tmp_path / "heard"),
        )  # fmt: skip
    finally:
        for worker in workers:
            stop(worker)
    if all(r.exit_code == WeightsError.exit_code for r in results):
        pytest.skip(results[0].message)
    assert {r.state for r in results} <= {"done", "skipped"}, [r.message for r in results]
    run_batch(
        recordings, settings=Settings(out=tmp_path / "here", cache=tmp_path / "here-heard"), today=TODAY, workers=1
    )
    for path in recordings:
        here, there = (tmp_path / side / path.stem / "walk.json" for side in ("here", "there"))
        assert here.read_bytes() == there.read_bytes()
        assert json.loads(here.read_text())["speech"]["words"] > 5


def cut_sound(source: Path, target: Path, *, first: float, seconds: float) -> None:
    """Some seconds of a recording as 16 kHz wav."""
    import wave

    import numpy as np

    from pipeline import media

    with media.decode(source) as sound:
        samples = sound.read(first, first + seconds)
    with wave.open(str(target), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(16_000)
        file.writeframes((np.clip(samples, -1, 1) * 32767).astype("<i2").tobytes())
