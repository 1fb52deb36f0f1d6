"""Many recordings: what is done is skipped, a kill is resumed, one bad file stops no other, and the table tells it."""

from __future__ import annotations

import gc
import json
import multiprocessing
import os
import time
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from dataclasses import asdict, dataclass, replace
from datetime import date
from pathlib import Path
from typing import TypeVar

from pipeline.errors import EXIT_DONE, EXIT_PARTIAL, EngineError, NotFound, OutputError, TallywalkError
from pipeline.settings import Settings

ENDINGS = {
    ".m4a",
    ".mp3",
    ".wav",
    ".ogg",
    ".oga",
    ".opus",
    ".flac",
    ".aac",
    ".mp4",
    ".mov",
    ".mkv",
    ".webm",
    ".3gp",
    ".amr",
    ".avi",
    ".srt",
    ".vtt",
}
"""What is taken from a folder; a file named by itself may have any ending."""
QUIET_SECONDS = 5.0
"""A watched file is whole when neither size nor time changed for so long (sync clients write in bursts)."""


@dataclass(frozen=True, slots=True)
class Result:
    """What became of one recording; picklable, so that it comes back from another process or computer."""

    recording: str
    state: str
    """done, skipped, partial or failed."""
    folder: str = ""
    exit_code: int = 0
    message: str = ""
    figures: int = 0
    conflicts: int = 0
    seconds: float = 0.0
    speech_seconds: float = 0.0


def collect(paths: Iterable[Path], *, missing: list[str] | None = None) -> list[Path]:
    """The recordings in files, folders and globs, each once, in order of name within a folder.

    What is neither is added to `missing`, so that one wrong name does not stop the rest; without such a list it
    raises NotFound.
    """
    out: dict[Path, None] = {}
    for path in paths:
        if path.is_dir():
            found = [p for p in sorted(path.rglob("*")) if p.suffix.lower() in ENDINGS and p.is_file()]
        elif path.exists():
            found = [path]
        else:
            pattern = any(c in str(path) for c in "*?[")
            found = _matching(path) if pattern else []
            if not found:
                why = "no file matches" if pattern else "there is no such file or folder"
                if missing is None:
                    raise NotFound(f"{path}: {why}")
                missing.append(f"{path}: {why}")
        for p in found:
            if not any(part.startswith(".") for part in p.parts[1:]):
                out.setdefault(p.resolve(), None)
    return list(out)


def _matching(path: Path) -> list[Path]:
    anchor = Path(path.anchor) if path.is_absolute() else Path()
    pattern = str(path.relative_to(anchor)) if path.is_absolute() else str(path)
    return [p for p in sorted(anchor.glob(pattern)) if p.is_file()]


def not_found(missing: Iterable[str]) -> list[Result]:
    """What was named and is not there, as results, so that table and exit code tell of it."""
    return [Result(m.rpartition(": ")[0], "failed", "", NotFound.exit_code, m) for m in missing]


def is_done(path: Path, settings: Settings) -> Path | None:
    """The folder that holds a whole, current result for this very content and these settings; None where none does."""
    from pipeline.run import key_of, sha256_of

    if settings.fresh:
        return None
    sha = sha256_of(path)
    for folder in (settings.out / path.stem, settings.out / f"{path.stem}-{sha[:8]}"):
        try:
            mark = json.loads((folder / "made.json").read_text(encoding="utf-8"))
        except (OSError, ValueError):
            continue
        if isinstance(mark, dict) and mark.get("sha256") == sha and mark.get("key") == key_of(settings):
            return folder
    return None


def one(path: str, settings: Settings, today: date, threads: int) -> Result:
    """One recording in this process; never raises for a fault of the recording."""
    try:
        return _one(path, settings, today, threads)
    finally:
        # documents are trees of cycles whose memory the collector does not see: 1 MB a recording would pile up
        gc.collect()


def _one(path: str, settings: Settings, today: date, threads: int) -> Result:
    from pipeline import run

    began = time.monotonic()
    settings = replace(settings, threads=threads or settings.threads)
    try:
        folder = is_done(Path(path), settings)
        if folder:
            return Result(path, "skipped", str(folder), EXIT_DONE, "already done")
        outcomes = run.report(Path(path), settings=settings, today=today)
    except TallywalkError as error:
        return Result(path, "failed", "", error.exit_code, str(error), seconds=time.monotonic() - began)
    except FileNotFoundError as error:  # taken away since the list was made
        told = f"{error.filename or path}: there is no such file any more"
        return Result(path, "failed", "", NotFound.exit_code, told, seconds=time.monotonic() - began)
    except OSError as error:
        told = f"{error.filename or path}: {error.strerror or error}"
        return Result(path, "failed", "", OutputError.exit_code, told, seconds=time.monotonic() - began)
    except Exception as error:  # one bad file never stops the rest
        return Result(path, "failed", "", 1, f"{type(error).__name__}: {error}", seconds=time.monotonic() - began)
    partial = tuple(line for o in outcomes for line in o.partial)
    return Result(
        path,
        "partial" if partial else "done",
        str(outcomes[0].folder if len(outcomes) == 1 else outcomes[0].folder.parent),
        EXIT_PARTIAL if partial else EXIT_DONE,
        "; ".join(partial),
        sum(len(o.walk.active) for o in outcomes),
        sum(f.level == "conflict" for o in outcomes for f in o.walk.findings),
        time.monotonic() - began,
        outcomes[0].walk.source.duration_s,
    )


def run_batch(
    paths: list[Path],
    *,
    settings: Settings,
    today: date,
    workers: int = 0,
    told: Callable[[Result, int, int], None] = lambda result, done, whole: None,
) -> list[Result]:
    """All recordings, several at once in processes of their own; results in the order of the paths.

    A worker that dies takes only its own recording with it: the others are run again in a new pool, the one that
    was under way when its worker died a second time is given up and told.
    """
    count = workers or max(1, min(len(paths), (os.cpu_count() or 2) // 2))
    threads = max(1, (os.cpu_count() or 2) // count)
    results: dict[Path, Result] = {}
    for wave in apart(paths):
        for result, path in _wave(wave, settings, today, count, threads):
            results[path] = result
            told(result, len(results), len(paths))
    return [results[p] for p in paths]


R = TypeVar("R", Path, str)


def apart(recordings: list[R]) -> list[list[R]]:
    """Waves in which no two recordings have one name: those of one name would meet in one folder."""
    waves: list[list[R]] = []
    seen: dict[str, int] = {}
    for recording in recordings:
        stem = Path(recording).stem
        n = seen.get(stem, 0)
        seen[stem] = n + 1
        if n == len(waves):
            waves.append([])
        waves[n].append(recording)
    return waves


def _wave(
    paths: list[Path], settings: Settings, today: date, count: int, threads: int
) -> Iterator[tuple[Result, Path]]:
    """Results as they come. Recordings that were under way when a worker died are run again, each alone: so the one
    that kills its process is known, and the others are not blamed for it."""
    suspects: list[Path] = []
    queue = list(paths)
    while queue:
        finished, under_way = [], []
        for result, path in _pool(queue, settings, today, count, threads):
            if result is None:
                under_way.append(path)
            else:
                finished.append(path)
                yield result, path
        suspects += under_way
        queue = [p for p in queue if p not in finished and p not in under_way]
    for path in suspects:
        for result, _ in _pool([path], settings, today, 1, threads):
            yield result or Result(str(path), "failed", "", EngineError.exit_code, "its process died twice"), path


def _pool(
    paths: list[Path], settings: Settings, today: date, count: int, threads: int
) -> Iterator[tuple[Result | None, Path]]:
    """Results from one pool of processes; None for what was under way when a worker died, and then the end."""
    queue = list(paths)
    under_way: dict[Future[Result], Path] = {}
    broken = False
    # "spawn": a forked copy of a process with threads of a recogniser in it may hang
    pool = ProcessPoolExecutor(min(count, len(queue)), mp_context=multiprocessing.get_context("spawn"))
    try:
        while under_way or (queue and not broken):
            while queue and len(under_way) < count and not broken:
                try:
                    under_way[pool.submit(one, str(queue[0]), settings, today, threads)] = queue[0]
                    queue.pop(0)
                except BrokenProcessPool:
                    broken = True
            done, _ = wait(under_way, return_when=FIRST_COMPLETED)
            for future in done:
                path = under_way.pop(future)
                try:
                    yield future.result(), path
                except BrokenProcessPool:
                    broken = True
                    yield None, path
    finally:
        pool.shutdown(wait=not broken, cancel_futures=True)


def watch(
    folder: Path,
    *,
    settings: Settings,
    today: Callable[[], date],
    told: Callable[[Result], None],
    stop: Callable[[], bool],
) -> None:
    """Take recordings as they arrive in a synced folder, each once it is whole; until stop() is true."""
    from watchfiles import watch as changes

    seen: dict[Path, tuple[int, int]] = {}
    still_since: dict[Path, float] = {}
    handled: set[tuple[Path, int, int]] = set()
    for _ in changes(folder, rust_timeout=1000, yield_on_timeout=True, stop_event=None, raise_interrupt=True):
        if stop():
            return
        for path in collect([folder]):
            try:
                status = path.stat()
            except OSError:
                continue
            stamp = (status.st_size, status.st_mtime_ns)
            if (path, *stamp) in handled or not status.st_size:
                continue
            if seen.get(path) != stamp:
                seen[path], still_since[path] = stamp, time.monotonic()
            elif time.monotonic() - still_since[path] >= QUIET_SECONDS:
                handled.add((path, *stamp))
                told(one(str(path), settings, today(), 0))


def exit_code(results: list[Result]) -> int:
    """0 when all are done, the error's own code when all failed alike, else 3."""
    codes = {r.exit_code for r in results}
    if codes <= {EXIT_DONE}:
        return EXIT_DONE
    return codes.pop() if len(codes) == 1 else EXIT_PARTIAL


def as_rows(results: list[Result]) -> list[dict[str, object]]:
    """Results as plain values for a table or JSON."""
    return [asdict(r) for r in results]
