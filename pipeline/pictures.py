"""Pictures for the report: the sharpest, best-exposed key frame near the words, and the user's own photos.

Films and photos are untrusted and decoded in a child process with limits (frames.py); what comes back is a JPEG encoded
anew. Photos are placed in the recording by their time where both are known, else by name.
"""

from __future__ import annotations

import json
import os
import struct
import subprocess
import sys
import threading
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

from pipeline.printed import clean, clock
from pipeline.report_shapes import Picture
from pipeline.walk import Walk

MOST = 40
"""Pictures of one walk."""
FILMS = {".mp4", ".mov", ".m4v", ".mkv", ".webm", ".3gp"}
PHOTOS = {".jpg", ".jpeg", ".png", ".webp"}
CPU = 120
"""Seconds that a child may compute."""
PIECE = 8 << 20
"""The longest JPEG accepted from it, in bytes."""
AROUND = 60.0
"""Seconds before and after a recording within which a photo is of this walk. Chosen, no source."""


def pictures(
    walk: Walk, recording: Path | None, photos: Path, *, camera_ahead: float = 0.0
) -> tuple[tuple[Picture, ...], tuple[str, ...]]:
    """Pictures in order of the recording, then photos without a place in it by name; and what failed, with why.

    camera_ahead is by how many seconds the photo camera's clock is ahead of the recorder's.
    """
    wanted = subjects(walk)
    found: list[Picture] = []
    faults: list[str] = []
    if wanted and recording is not None and recording.suffix.lower() in FILMS and recording.is_file():
        film = {"film": str(recording.resolve()), "wanted": [w[:2] for w in wanted]}
        for told, jpeg in _asked(film):
            if jpeg:
                time = float(told["time"])
                caption = f"{wanted[int(told['index'])][2]} ({clock(time)})"
                found.append(Picture(caption, jpeg, time, worth=float(told["worth"])))
            elif "fault" in told:  # a broken film costs its pictures, not the report
                faults.append(f"pictures of {recording.name}: {told['fault']}"[:200])
    paths = [p for p in sorted(photos.iterdir()) if p.suffix.lower() in PHOTOS] if photos.is_dir() else []
    own, more = _photos(paths[: max(0, MOST - len(found))], walk, wanted, camera_ahead)
    placed = sorted([*found, *(p for p in own if p.start is not None)], key=lambda p: p.start or 0.0)
    return (*placed, *(p for p in own if p.start is None)), (*faults, *more)


def subjects(walk: Walk) -> list[tuple[float, float, str]]:
    """Start, end and caption of what deserves a picture: stations and components, in order of time."""
    out = [
        (x.evidence[0].start, x.evidence[0].end, f"{clean(s.station_word, 30)} {clean(x.number, 20)}: "
         f"{clean(x.role, 60)}")
        for s in walk.sequences for x in s.stations
        if x.status != "withdrawn" and x.evidence and x.evidence[0].recording is None
    ]  # fmt: skip
    out += [(c.evidence[0].start, c.evidence[0].end, clean(c.name, 80)) for c in walk.present
            if c.evidence and c.evidence[0].recording is None]  # fmt: skip
    return sorted(out)[:MOST]


def _photos(
    paths: list[Path], walk: Walk, wanted: list[tuple[float, float, str]], ahead: float
) -> tuple[list[Picture], list[str]]:
    out: list[Picture] = []
    faults: list[str] = []
    while paths:
        done = 0
        for told, jpeg in _asked({"photos": [str(p.resolve()) for p in paths]}):
            if "index" not in told:
                if "end" in told:
                    done = len(paths)
                break
            done = int(told["index"]) + 1
            path = paths[done - 1]
            if not jpeg:
                faults.append(f"picture {path.name}: {told.get('fault')}"[:200])
                continue
            name, at = clean(path.stem.replace("_", " "), 80), _second(str(told["taken"]), walk, ahead)
            near = [c for s, _, c in wanted if at is not None and s <= at + 2.0][-1:]
            caption = name if at is None else " – ".join([name, *near]) + f" ({clock(at)})"
            out.append(Picture(caption, jpeg, at))
        if done < len(paths):  # the child died of the photo after the last one it told about
            faults.append(f"picture {paths[done].name}: the decoder gave up on it")
            done += 1
        paths = paths[done:]
    return out, faults


def _second(taken: str, walk: Walk, ahead: float) -> float | None:
    """Second of the recording at which a photo was taken; None where that cannot be said or is outside of it."""
    if not taken or not walk.source.recorded:
        return None
    try:
        shot, began = datetime.fromisoformat(taken), datetime.fromisoformat(walk.source.recorded)
        # a time without its zone is read in that of this computer, as cameras show it
        at = (shot.astimezone() - began.astimezone()).total_seconds() - ahead
    except (ValueError, OverflowError, OSError):
        return None
    return max(0.0, at) if -AROUND <= at <= walk.source.duration_s + AROUND else None


def _asked(task: dict[str, Any]) -> Iterator[tuple[dict[str, Any], bytes]]:
    """What the child tells, each with its JPEG or b""; a child that dies or sends rubbish is told as a fault."""
    quiet = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "PYTHONDONTWRITEBYTECODE": "1"}
    child = subprocess.Popen(
        [sys.executable, "-P", str(Path(__file__).with_name("frames.py")), str(CPU)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, env={**os.environ, **quiet},
    )  # fmt: skip
    assert child.stdin is not None
    assert child.stdout is not None
    clock_out = threading.Timer(3.0 * CPU, child.kill)
    clock_out.start()
    try:
        child.stdin.write(json.dumps(task).encode())
        child.stdin.close()
        while True:
            kind, payload = _frame(child.stdout)
            if kind != b"J":
                yield {"fault": "the decoder gave up on it"}, b""
                return
            told = json.loads(payload)
            if "fault" in told or "end" in told:
                yield told, b""
                if "end" in told:
                    return
                continue
            kind, jpeg = _frame(child.stdout)
            yield told, jpeg if kind == b"P" else b""
    except (OSError, ValueError) as error:
        yield {"fault": f"the decoder gave up on it ({error})"[:200]}, b""
    finally:
        clock_out.cancel()
        child.kill()
        child.wait()
        child.stdout.close()


def _frame(stream: Any) -> tuple[bytes, bytes]:
    """Kind and payload; b"" for both where the child said no more, or too much."""
    header = stream.read(5)
    if len(header) < 5:
        return b"", b""
    size = struct.unpack("<I", header[1:])[0]
    if size > PIECE:
        return b"", b""
    payload = stream.read(size)
    return (header[:1], payload) if len(payload) == size else (b"", b"")
