"""A file to samples, decoded as a stream in a child process with limits (decoder.py): recordings are untrusted.

The samples lie in a temporary file, two bytes each, and are read a window at a time: an hour takes 115 MB of disk and
no memory.
"""

from __future__ import annotations

import contextlib
import json
import os
import struct
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import IO, Any, Literal

import numpy as np
from numpy.typing import NDArray

from pipeline import errors

RATE = 16_000
LONGEST = 6 * 3600.0
"""Seconds of the longest recording that is heard."""
STALLED = 60.0
"""Seconds without a byte from the decoder after which it is stopped."""
PIECE = 4 << 20
"""The longest frame that is accepted from the child, in bytes."""

Samples = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class MediaInfo:
    """What a file says about itself."""

    kind: Literal["audio", "video"]
    duration: float
    """Seconds that it claims; 0 where it does not say."""
    codec: str = ""
    rate: int = 0
    channels: int = 0
    recorded: str | None = None
    """When it was recorded, ISO 8601, where the file says so; some phones note the end and not the beginning."""


class Sound:
    """The decoded samples of a recording on disk. Close it, or use it in a with statement."""

    def __init__(self) -> None:
        self._file: IO[bytes] = tempfile.TemporaryFile(prefix="tallywalk-sound-")  # noqa: SIM115 (closed by close)
        self._lock = threading.Lock()
        self.samples = 0
        self.offset = 0.0
        """Seconds by which the sound track begins after the recording (a video's pictures may come first)."""
        self.notes: tuple[str, ...] = ()
        """What was odd about the sound, one line each, for the listening log."""
        self.broken_at: float | None = None
        """Seconds where the file broke off before its claimed end."""
        self.claimed = 0.0

    @property
    def seconds(self) -> float:
        return self.samples / RATE

    def append(self, pcm: bytes) -> None:
        """Add signed 16-bit samples. Raises OutputError where the disk is full."""
        try:
            with self._lock:
                self._file.seek(0, os.SEEK_END)
                self._file.write(pcm)
        except OSError as error:
            raise errors.OutputError(
                f"the temporary folder {tempfile.gettempdir()} cannot hold the decoded sound ({error.strerror})"
            ) from error
        self.samples += len(pcm) // 2

    def read(self, start: float, end: float) -> Samples:
        """The samples from start to end in seconds, as floats in -1..1; times outside the sound are cut off."""
        first = max(0, min(self.samples, round(start * RATE)))
        last = max(first, min(self.samples, round(end * RATE)))
        with self._lock:
            self._file.flush()
            self._file.seek(2 * first)
            raw = self._file.read(2 * (last - first))
        return np.frombuffer(raw, dtype="<i2").astype(np.float32) / np.float32(32768.0)

    def close(self) -> None:
        self._file.close()

    def __enter__(self) -> Sound:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def probe(path: Path) -> MediaInfo:
    """What the file is. Raises NotMedia, NoAudio, InputError (too long), EngineError, NotFound."""
    for kind, payload in _frames(path, "probe"):
        if kind == b"J":
            return _info(path, json.loads(payload))
    raise errors.NotMedia(f"{path.name}: the decoder said nothing about it")


def decode(path: Path, *, heard: Callable[[Samples], None] | None = None) -> Sound:
    """All samples of the first sound track, 16 kHz mono. heard is called with each piece in order.

    Raises NotMedia, NoAudio, InputError (too long), EngineError (the decoder crashed or stalled), OutputError.
    """
    sound = Sound()
    try:
        for kind, payload in _frames(path, "decode"):
            if kind == b"P":
                sound.append(payload)
                if heard is not None:
                    heard(np.frombuffer(payload, dtype="<i2").astype(np.float32) / np.float32(32768.0))
                continue
            told = json.loads(payload)
            if not told.get("end"):
                sound.claimed = max(_info(path, told).duration, claimed_by_wave(path))
                continue
            _note(sound, told)
            if not is_closed(path):
                sound.notes += ("the file has no end: it was not closed or not copied whole",)
    except BaseException:
        sound.close()
        raise
    return sound


def _note(sound: Sound, told: dict[str, Any]) -> None:
    """What the decoder saw on its way, as lines for people."""
    notes = []
    sound.offset = float(told["offset"])
    if told["broken"]:
        notes.append(f"the file is damaged ({told['broken']})")
    if sound.claimed - sound.offset - sound.seconds > 2.0 and (told["broken"] or sound.claimed > 1.05 * sound.seconds):
        sound.broken_at = sound.seconds
    if told["dead"] > 1.0:
        notes.append(f"one channel is silent for {told['dead']:.0f} s: the other was used")
    if told["clipped"] > 1e-4 * max(1, sound.samples):
        notes.append(f"the sound is overdriven in {100 * told['clipped'] / sound.samples:.2f} % of its samples")
    sound.notes = tuple(notes)


def claimed_by_wave(path: Path) -> float:
    """Seconds that a WAV file's header promises (the decoder counts what is there); 0 for anything else."""
    with path.open("rb") as file:
        head = file.read(4096)
    at = head.find(b"data", 36)
    if head[:4] != b"RIFF" or head[8:16] != b"WAVEfmt " or not 36 <= at <= len(head) - 8:
        return 0.0
    rate, size = struct.unpack_from("<I", head, 28)[0], struct.unpack_from("<I", head, at + 4)[0]
    # a recorder that cannot go back to the header leaves the size at nothing or at the largest
    return size / rate if rate and 0 < size < 0xFFFFFF00 else 0.0


def has_no_index(path: Path) -> bool:
    """Whether an MP4, MOV or 3GP file lacks its index ("moov"), which recorders write at the end (ISO 14496-12)."""
    size = path.stat().st_size
    with path.open("rb") as file:
        if file.read(8)[4:] not in (b"ftyp", b"wide", b"mdat", b"skip", b"free"):
            return False
        at = 0
        for _ in range(1000):
            file.seek(at)
            head = file.read(16)
            if len(head) < 8 or head[4:8] == b"moov":
                return len(head) < 8
            length = int.from_bytes(head[:4], "big")
            if length == 1:
                length = int.from_bytes(head[8:16], "big")
            if length < 8 or at + length > size:
                return True
            at += length
    return False


def is_closed(path: Path) -> bool:
    """False for an Ogg file whose last page is not marked as the last (RFC 3533, header type flag 4)."""
    with path.open("rb") as file:
        if file.read(4) != b"OggS":
            return True
        file.seek(max(0, path.stat().st_size - 2 * 65536))
        tail = file.read()
    last = tail.rfind(b"OggS\0")
    return last < 0 or last + 6 > len(tail) or bool(tail[last + 5] & 4)


def _info(path: Path, told: dict[str, Any]) -> MediaInfo:
    if "error" in told:
        kind = getattr(errors, str(told["error"]), errors.EngineError)
        if kind is errors.NotMedia and has_no_index(path):
            raise kind(
                f"{path.name}: its index is missing, as when a phone stopped while recording or the copy broke off",
                remedy="Copy it from the phone again; if it does not play there either, it cannot be read.",
            )
        raise kind(f"{path.name}: {told['message']}")
    return MediaInfo(
        "video" if told["kind"] == "video" else "audio",
        float(told["duration"]), str(told["codec"]), int(told["rate"]), int(told["channels"]),
        _instant(str(told.get("recorded", ""))),
    )  # fmt: skip


def _instant(text: str) -> str | None:
    """A time of this century as ISO 8601; a clock that was never set says 1904 or 1970."""
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        return None
    return at.isoformat(timespec="seconds") if at.year > 1999 else None


def _frames(path: Path, task: str) -> Iterator[tuple[bytes, bytes]]:
    """The child's frames; errors it tells are raised by whoever reads them, a crash here."""
    if not path.exists():
        raise errors.NotFound(f"{path}: there is no such file")
    if not path.is_file():
        raise errors.NotFound(f"{path}: this is a folder or a device, not a recording")
    if path.stat().st_size == 0:
        raise errors.NotMedia(f"{path.name}: the file is empty")
    script = Path(__file__).with_name("decoder.py")
    quiet = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "PYTHONDONTWRITEBYTECODE": "1"}
    cpu = 30 if task == "probe" else 3600
    child = subprocess.Popen(
        [sys.executable, "-P", str(script), str(path.resolve()), task, str(LONGEST), str(cpu)],
        stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, env={**os.environ, **quiet},
    )  # fmt: skip
    assert child.stdout is not None
    watch = _Watch(child)
    finished = False
    try:
        while header := child.stdout.read(5):
            watch.alive()
            kind, size = header[:1], struct.unpack("<I", header[1:])[0] if len(header) == 5 else PIECE + 1
            if kind not in b"JP" or size > PIECE:
                raise errors.EngineError(f"{path.name}: the decoder sent something that is no sound")
            payload = child.stdout.read(size)
            if kind == b"J":
                told = json.loads(payload)
                finished = finished or "end" in told or "error" in told or task == "probe"
                if "error" in told:
                    _info(path, told)
            yield kind, payload
        child.wait(timeout=STALLED)
        if watch.stalled:
            raise errors.EngineError(f"{path.name}: the decoder made no progress for {STALLED:.0f} s and was stopped")
        if not finished:
            raise errors.NotMedia(f"{path.name}: the decoder gave up on it (exit {child.returncode})")
    finally:
        watch.stop()
        child.kill()
        child.stdout.close()
        with contextlib.suppress(subprocess.TimeoutExpired):
            child.wait(timeout=5)


class _Watch:
    """Stops a child that says nothing for too long."""

    def __init__(self, child: subprocess.Popen[bytes]) -> None:
        self.child = child
        self.stalled = False
        self._said = threading.Event()
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._run, name="decoder-watch", daemon=True)
        self._thread.start()

    def alive(self) -> None:
        self._said.set()

    def stop(self) -> None:
        self._over.set()
        self._said.set()
        self._thread.join(timeout=1)

    def _run(self) -> None:
        while not self._over.is_set():
            if not self._said.wait(STALLED) and self.child.poll() is None:
                self.stalled = True
                self.child.kill()
                return
            self._said.clear()
            self._over.wait(0.2)
