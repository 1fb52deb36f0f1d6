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
    with pytest.raises(EngineError, match="no scheduler with workers answers"):
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
        lines = (LINE.format(m=i // 6, s=i % 6 * 10, n=i % 40 + n + 1) for i in range(120))
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
