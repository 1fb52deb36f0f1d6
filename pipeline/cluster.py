"""The same batch on several computers, through Dask's distributed engine (the extra "cluster").

Its messages are pickle: whoever can reach a scheduler can run code on its workers. So plain tcp is accepted only on
this machine, everything else needs TLS, and nothing that came over it is unpickled from a file later: results are
plain values. Recordings lie on storage that all computers see (a path, or an fsspec address such as s3://…); a worker
fetches a recording to a temporary file, and each worker process loads the recogniser's model once.
"""

from __future__ import annotations

import ipaddress
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from pipeline.batch import ENDINGS, Result, apart, one
from pipeline.errors import EngineError, NotFound, UsageError
from pipeline.settings import Settings

NOT_INSTALLED = "the distributed engine is not installed"
INSTALL = "pip install 'tallywalk[cluster]'"
POLL = 10.0
"""Seconds after which a quiet batch looks whether any worker is left."""
AHEAD = 4
"""Recordings handed out for each thread of the workers: none waits for the coordinator, and the coordinator never
waits on more than these, however long the batch (it looks at all of them at each answer)."""


def checked_address(address: str, *, tls: bool) -> str:
    """The scheduler's address; plain tcp only to this machine. Raises UsageError."""
    parts = urlsplit(address if "://" in address else f"tcp://{address}")
    if parts.scheme not in ("tcp", "tls") or not parts.hostname or not parts.port:
        raise UsageError(f"{address}: a scheduler's address looks like tls://computer:8786")
    if parts.scheme == "tcp" and not _loopback(parts.hostname):
        raise UsageError(
            f"{address}: messages to another computer must be encrypted",
            remedy="Start the scheduler with TLS and give tls://…, --tls-ca, --tls-cert and --tls-key.",
        )
    if parts.scheme == "tls" and not tls:
        raise UsageError(f"{address}: TLS needs --tls-ca, --tls-cert and --tls-key")
    return f"{parts.scheme}://{parts.hostname}:{parts.port}"


def _loopback(host: str) -> bool:
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def run_on_cluster(
    recordings: list[str],
    address: str,
    *,
    settings: Settings,
    today: date,
    ca: Path | None = None,
    cert: Path | None = None,
    key: Path | None = None,
    told: Callable[[Result, int, int], None] = lambda result, done, whole: None,
    patience: str = "20s",
) -> list[Result]:
    """All recordings on the workers of a scheduler; results in the order given. Raises UsageError, EngineError."""
    tls = ca is not None and cert is not None and key is not None
    address = checked_address(address, tls=tls)
    try:
        from distributed import Client
        from distributed.security import Security
    except ImportError as error:
        raise UsageError(NOT_INSTALLED, remedy=INSTALL) from error
    security = (
        Security(tls_ca_file=str(ca), tls_client_cert=str(cert), tls_client_key=str(key), require_encryption=True)
        if tls
        else None
    )
    results: dict[str, Result] = {}
    try:
        with Client(address, security=security, timeout=patience) as client:
            _await_workers(client, address, patience)
            # one name at a time: recordings of one name would meet in one folder
            for wave in apart(recordings):
                for recording, result in _wave(client, wave, settings, today, address):
                    results[recording] = result
                    told(result, len(results), len(recordings))
    except (OSError, TimeoutError) as error:
        raise EngineError(
            f"{address}: no scheduler answers ({type(error).__name__})",
            remedy="Start one: dask scheduler --host 127.0.0.1; and workers: dask worker ADDRESS --nthreads 1.",
        ) from error
    return [results[r] for r in recordings]


def _await_workers(client: Any, address: str, patience: str) -> None:
    try:
        client.wait_for_workers(1, timeout=patience)
    except TimeoutError as error:
        raise EngineError(
            f"{address}: the scheduler has no worker", remedy=f"Start workers: dask worker {address} --nthreads 1."
        ) from error


def _wave(
    client: Any, recordings: list[str], settings: Settings, today: date, address: str
) -> Iterator[tuple[str, Result]]:
    """Results as they come, a few recordings handed out ahead of the workers. Raises EngineError."""
    from distributed import wait

    queue = list(reversed(recordings))
    futures: dict[Any, str] = {}
    idle = 0
    while queue or futures:
        workers = client.scheduler_info(n_workers=-1)["workers"]
        window = AHEAD * max(1, sum(w["nthreads"] for w in workers.values()))
        while queue and len(futures) < window:
            recording = queue.pop()
            futures[client.submit(fetch_and_run, recording, settings, today, pure=False)] = recording
        try:
            finished = wait(list(futures), timeout=POLL, return_when="FIRST_COMPLETED").done
        except TimeoutError:
            idle = 0 if client.scheduler_info(n_workers=-1)["workers"] else idle + 1
            if idle > 1:
                raise EngineError(
                    f"{address}: no worker is left",
                    remedy="Start workers and run the same command again; what is done is skipped.",
                ) from None
            continue
        for future in finished:
            recording = futures.pop(future)
            yield recording, _result(future, recording)


def expand(addresses: list[str]) -> tuple[list[str], list[str]]:
    """Addresses of shared storage with folders and patterns in them to one address a recording, and what is missing.

    Raises UsageError where the extra is not installed.
    """
    if not addresses:
        return [], []
    try:
        import fsspec
    except ImportError as error:
        raise UsageError(NOT_INSTALLED, remedy=INSTALL) from error
    found: dict[str, None] = {}
    missing: list[str] = []
    for address in addresses:
        try:
            storage, path = fsspec.core.url_to_fs(address)
            if any(c in path for c in "*?["):
                paths = sorted(storage.glob(path))
            elif storage.isdir(path):
                paths = [p for p in sorted(storage.find(path)) if Path(p).suffix.lower() in ENDINGS]
            else:
                paths = [path] if storage.exists(path) else []
        except Exception as error:  # each kind of storage has errors of its own
            missing.append(f"{address}: cannot be looked up ({type(error).__name__}: {error})")
            continue
        if not paths:
            missing.append(f"{address}: there is no such recording")
        for p in paths:
            found.setdefault(storage.unstrip_protocol(p), None)
    return list(found), missing


def _result(future: Any, recording: str) -> Result:
    if future.status == "finished":
        found = future.result()
        if isinstance(found, Result):
            return found
    from distributed import KilledWorker

    error = future.exception()
    # the engine runs a dead worker's recordings elsewhere (allowed-failures of the scheduler, 3 by itself)
    why = (
        "its workers died, one after another" if isinstance(error, KilledWorker) else f"{type(error).__name__}: {error}"
    )
    return Result(recording, "failed", "", EngineError.exit_code, why)


def fetch_and_run(recording: str, settings: Settings, today: date) -> Result:
    """On a worker: the recording from shared storage, then the same run as on one computer."""
    threads = max(1, (os.cpu_count() or 1))
    if "://" not in recording:
        return one(recording, settings, today, threads)
    import fsspec

    with tempfile.TemporaryDirectory(prefix="tallywalk-") as folder:
        local = Path(folder) / Path(urlsplit(recording).path).name
        try:
            with fsspec.open(recording, "rb") as source, local.open("wb") as target:
                shutil.copyfileobj(source, target, 1 << 20)
        except Exception as error:  # each kind of storage has errors of its own
            message = f"cannot be fetched ({type(error).__name__}: {error})"
            return Result(recording, "failed", "", NotFound.exit_code, message)
        return replace(one(str(local), settings, today, threads), recording=recording)
