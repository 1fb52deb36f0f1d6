"""Sound and files as they arrive: on the disk before anybody is told so, whatever is killed when.

A recording in the making is a folder in recordings/ with `sound.pcm` (16 kHz, one channel, two bytes a sample),
`events.jsonl` (marks, pauses, pictures) and `about.json`. Finishing it makes one .wav beside the folder. A file being
sent is `.part` with its `about.json`; it gets its name when it is whole. Names that a browser sends name nothing here:
every folder has a number of our own, and a file name is what is left of letters, digits, dots, dashes and spaces.
"""

from __future__ import annotations

import contextlib
import json
import os
import re
import secrets
import shutil
import struct
import threading
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from extractors.words import Word
from pipeline.errors import NotFound, NotMedia, OutputError, UsageError

RATE = 16_000
SPARE = 200 << 20
"""Bytes of disk that are left free: enough to finish and to write the documents."""
LARGEST = 16 << 30
"""Bytes of the largest file that is taken: six hours of 1080p from a phone."""
LONGEST_PIECE = 8 << 20
MOST_PARTS = 20
PICTURES = {b"\xff\xd8\xff": ".jpg", b"\x89PNG\r\n\x1a\n": ".png"}
LARGEST_PICTURE = 40 << 20
NUMBER = re.compile(r"[0-9a-f]{16}")
TEXTS = (".srt", ".vtt", ".txt", ".json")


@dataclass(frozen=True, slots=True)
class About:
    """What is known of a recording or file in the making."""

    number: str
    name: str
    began: str
    size: int = 0
    """Bytes that a file will have; 0 for a recording."""
    key: str = ""
    """By which a browser finds a file again that it was sending."""


def free(folder: Path) -> int:
    """Bytes that may still be written: what the disk has, less a spare. A folder that is gone will be made anew."""
    while not folder.exists() and folder != folder.parent:
        folder = folder.parent
    try:
        return max(0, shutil.disk_usage(folder).free - SPARE)
    except OSError:
        return 0


def clean_name(name: str, fallback: str = "recording") -> str:
    """A file name made of what a browser sent: never a path, never hidden, at most 80 characters."""
    last = re.split(r"[/\\]", name)[-1]
    kept = "".join(c if c.isalnum() or c in " ._-()" else "_" for c in last)
    kept = " ".join(kept.split()).strip(". ")
    stem, dot, ending = kept.rpartition(".")
    if not dot:
        stem, ending = kept, ""
    stem = stem[:70].strip(". ") or fallback
    return f"{stem}.{ending[:8]}" if dot and ending else stem


class Recordings:
    """All recordings of one folder of walks."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder / "recordings"
        self._locks: dict[str, threading.Lock] = {}
        self._guard = threading.Lock()

    # ----------------------------------------------------------------------------------------------- in the making

    def begin(self, name: str = "") -> About:
        """A new recording; its folder is for its owner alone. Raises OutputError."""
        now = datetime.now().astimezone()
        about = About(
            secrets.token_hex(8), clean_name(name) if name.strip() else f"walk {now:%Y-%m-%d %H-%M-%S}", now.isoformat()
        )
        if free(self.folder.parent) < 4 << 20:
            raise OutputError("the disk is full: no recording can begin", remedy="Free some space, then try again.")
        with _kept(self.folder):
            place = self.folder / about.number
            place.mkdir(mode=0o700, parents=True)
            os.chmod(self.folder, 0o700)
            _write(place / "about.json", json.dumps(asdict(about)).encode())
            (place / "sound.pcm").touch(mode=0o600)
        return about

    def unfinished(self) -> list[tuple[About, float]]:
        """Recordings that were never finished, with their seconds so far; newest first."""
        found = []
        for place in self._places():
            try:
                found.append((self._about(place), self.size(place.name) / 2 / RATE))
            except (NotFound, OSError):
                continue
        return sorted(found, key=lambda x: x[0].began, reverse=True)

    def about(self, number: str) -> About:
        """Raises NotFound."""
        return self._about(self._place(number))

    def size(self, number: str) -> int:
        """Bytes of sound on the disk; whole samples only."""
        try:
            return (self._place(number) / "sound.pcm").stat().st_size // 2 * 2
        except OSError as error:
            raise _gone() from error

    def add_sound(self, number: str, at: int, data: bytes) -> int:
        """Sound that begins at a byte; what is there already is passed over. The size on the disk, flushed.

        Raises UsageError where bytes in between are missing; the answer tells the browser where to go on.
        """
        with self._lock(number):
            size = self.size(number)
            if at > size or at % 2 or at < 0:
                raise UsageError(f"sound up to byte {size} is there, this begins at {at}")
            fresh = data[size - at :]
            fresh = fresh[: len(fresh) // 2 * 2]
            if not fresh:
                return size
            place = self._place(number) / "sound.pcm"
            with _kept(place):
                handle = os.open(place, os.O_WRONLY)
                try:
                    os.lseek(handle, size, os.SEEK_SET)
                    _append(handle, size, fresh)
                finally:
                    os.close(handle)
            return size + len(fresh)

    def sound(self, number: str, first: int, last: int) -> bytes:
        """Bytes of sound from first to last (excluded)."""
        try:
            with (self._place(number) / "sound.pcm").open("rb") as file:
                file.seek(first)
                return file.read(last - first)
        except OSError as error:
            raise _gone() from error

    def add_event(self, number: str, kind: str, at: float, **more: Any) -> None:
        """A mark, a pause, a gap or a picture at a second of the recording."""
        place = self._place(number) / "events.jsonl"
        with self._lock(number), _kept(place):
            _add(place, json.dumps({"kind": kind, "at": round(at, 2), **more}) + "\n")

    def events(self, number: str) -> list[dict[str, Any]]:
        """All events in order; a torn line is passed over."""
        return list(events_in(self._place(number)))

    def add_words(self, number: str, words: tuple[Word, ...]) -> None:
        """Words that were heard while recording; a draft, so that it is not flushed to the disk each time."""
        place = self._place(number) / "words.jsonl"
        with self._lock(number), _kept(place):
            lines = (json.dumps([w.text, w.start, w.end, w.probability, w.doubt]) + "\n" for w in words)
            _add(place, "".join(lines), flush=False)

    def words(self, number: str) -> tuple[Word, ...]:
        """Words that were kept so far."""
        found = []
        for value in _json_lines(self._place(number) / "words.jsonl"):
            with contextlib.suppress(TypeError, ValueError):
                text, start, end, probability, doubt = value
                found.append(Word(str(text), float(start), float(end), float(probability), (), doubt))
        return tuple(found)

    def add_picture(self, number: str, at: float, data: bytes) -> str:
        """A photo at a second of the recording: JPEG or PNG by its first bytes, whatever it is called."""
        ending = next((e for magic, e in PICTURES.items() if data.startswith(magic)), None)
        if ending is None:
            raise NotMedia("this is neither a JPEG nor a PNG picture", remedy="Take it with the camera of the phone.")
        folder = self._place(number) / "pictures"
        name = f"{max(0.0, at):09.2f}-{secrets.token_hex(2)}{ending}"
        with _kept(folder):
            folder.mkdir(mode=0o700, exist_ok=True)
            _write(folder / name, data)
        self.add_event(number, "picture", at, file=name)
        return name

    def finish(self, number: str) -> Path:
        """Make the .wav of a recording; calling it again gives the same file. Events and pictures stay beside it."""
        with self._lock(number):
            place = self._place(number)
            about = self._about(place)
            size = self.size(number)
            if size == 0:
                raise NotMedia("nothing was recorded", remedy="Look whether another program holds the microphone.")
            target = self._free_name(about.name.removesuffix(".wav") + ".wav")
            part = place / "whole.part"
            with _kept(target):
                with (place / "sound.pcm").open("rb") as source, _private(part) as out:
                    out.write(wav_header(size))
                    left = size
                    while left:
                        piece = source.read(min(1 << 20, left))
                        if not piece:
                            raise OSError("sound.pcm is shorter than it was")
                        out.write(piece)
                        left -= len(piece)
                    out.flush()
                    os.fsync(out.fileno())
                os.replace(part, target)
                with_it = target.with_suffix(".with")
                kept = [p for p in (place / "events.jsonl", place / "pictures") if p.exists()]
                if kept:
                    with_it.mkdir(mode=0o700, exist_ok=True)
                    for p in kept:
                        os.replace(p, with_it / p.name)
                (place / "sound.pcm").unlink()
                (place / "about.json").unlink()
                shutil.rmtree(place, ignore_errors=True)
            return target

    def discard(self, number: str) -> None:
        """Throw a recording away; only ever on a person's word."""
        shutil.rmtree(self._place(number), ignore_errors=True)

    # ------------------------------------------------------------------------------------------------------- files

    def receive(self, name: str, size: int, key: str) -> tuple[About, int]:
        """Begin, or go on, taking a file; with the bytes that are there already. Raises UsageError, OutputError."""
        if not 0 < size <= LARGEST:
            raise UsageError(f"a file of {size} bytes is not taken: 1 byte to {LARGEST >> 30} GB", remedy="Cut it.")
        parts = self._parts()
        for about in parts:
            if (about.name, about.size, about.key) == (clean_name(name), size, key[:200]):
                return about, self.received(about.number)
        if len(parts) >= MOST_PARTS:
            raise UsageError(f"{MOST_PARTS} files are half sent already", remedy="Finish those, or discard them.")
        if size > free(self.folder.parent):
            raise OutputError(
                f"{size >> 20} MB do not fit: {free(self.folder.parent) >> 20} MB are free",
                remedy="Free some space, then choose the file again.",
            )
        about = About(secrets.token_hex(8), clean_name(name), datetime.now().astimezone().isoformat(), size, key[:200])
        with _kept(self.folder):
            (self.folder / "parts").mkdir(mode=0o700, parents=True, exist_ok=True)
            os.chmod(self.folder, 0o700)
            _write(self.folder / "parts" / f"{about.number}.json", json.dumps(asdict(about)).encode())
            _write(self.folder / "parts" / f"{about.number}.part", b"")
        return about, 0

    def received(self, number: str) -> int:
        """Bytes of a file that are on the disk."""
        try:
            return self._part(number).stat().st_size
        except OSError as error:
            raise _gone() from error

    def add_bytes(self, number: str, at: int, data: bytes) -> tuple[int, Path | None]:
        """A piece of a file; the bytes that are there now, and the path once it is whole.

        The first bytes must look like a recording or a transcript, so that nothing else is ever stored whole.
        """
        with self._lock(number):
            part = self._part(number)
            about = self._part_about(part)
            size = self.received(number)
            if not 0 <= at <= size:
                raise UsageError(f"bytes up to {size} are there, this begins at {at}")
            fresh = data[size - at :]
            if size + len(fresh) > about.size:
                raise UsageError("more came than was announced", remedy="Choose the file again.")
            if size == 0 and fresh and not looks_like_recording(fresh[:4096], about.name):
                self.drop(number)
                raise NotMedia(f"{about.name}: this is no recording and no transcript")
            with _kept(part):
                handle = os.open(part, os.O_WRONLY | os.O_APPEND)
                try:
                    _append(handle, size, fresh)
                finally:
                    os.close(handle)
                size += len(fresh)
                if size < about.size:
                    return size, None
                target = self._free_name(about.name)
                os.replace(part, target)
                part.with_suffix(".json").unlink(missing_ok=True)
            return size, target

    def drop(self, number: str) -> None:
        """Forget a file that was half sent."""
        part = self._part(number)
        part.unlink(missing_ok=True)
        part.with_suffix(".json").unlink(missing_ok=True)

    def finished(self) -> list[Path]:
        """Whole recordings and transcripts, by name."""
        try:
            return sorted(p for p in self.folder.iterdir() if p.is_file() and not p.name.startswith("."))
        except OSError:
            return []

    # ------------------------------------------------------------------------------------------------------ inside

    def _places(self) -> list[Path]:
        try:
            return [p for p in self.folder.iterdir() if p.is_dir() and NUMBER.fullmatch(p.name)]
        except OSError:
            return []

    def _place(self, number: str) -> Path:
        place = self.folder / number
        if not NUMBER.fullmatch(number) or not place.is_dir():
            raise _gone()
        return place

    def _part(self, number: str) -> Path:
        part = self.folder / "parts" / f"{number}.part"
        if not NUMBER.fullmatch(number) or not part.is_file():
            raise _gone()
        return part

    def _parts(self) -> list[About]:
        found = []
        for path in sorted((self.folder / "parts").glob("*.part")) if self.folder.is_dir() else []:
            try:
                found.append(self._part_about(path))
            except NotFound:
                continue
        return found

    def _part_about(self, part: Path) -> About:
        return _read_about(part.with_suffix(".json"), part.stem)

    def _about(self, place: Path) -> About:
        return _read_about(place / "about.json", place.name)

    def _lock(self, number: str) -> threading.Lock:
        with self._guard:
            return self._locks.setdefault(number, threading.Lock())

    def _free_name(self, name: str) -> Path:
        target = self.folder / name
        stem, ending = target.stem, target.suffix
        for n in range(2, 10_000):
            if not target.exists():
                return target
            target = self.folder / f"{stem} ({n}){ending}"
        raise OutputError(f"{name}: ten thousand recordings of that name", remedy="Give it another name.")


def _read_about(path: Path, number: str) -> About:
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
        return About(
            number,
            clean_name(str(data["name"])),
            str(data["began"]),
            int(data.get("size", 0)),
            str(data.get("key", "")),
        )
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise _gone() from error


def _gone() -> NotFound:
    return NotFound("this recording is no longer there", remedy="Load the page again; look into the folder.")


class _kept:
    """Turns what the disk says into an error for people."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def __enter__(self) -> None:
        return None

    def __exit__(self, kind: Any, error: BaseException | None, trace: Any) -> None:
        if isinstance(error, FileNotFoundError):
            raise _gone() from error
        if isinstance(error, OSError):
            raise OutputError(
                f"{self.path.name}: cannot be written ({error.strerror or error})",
                remedy="Free some space. What was kept before is still there, and recording goes on in this page.",
            ) from error


def _private(path: Path) -> Any:
    return os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "wb")


def _write(path: Path, data: bytes) -> None:
    part = path.with_name(f".{path.name}.new")
    with _private(part) as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    os.replace(part, path)


def events_in(folder: Path) -> Iterator[dict[str, Any]]:
    """Marks, pauses, gaps and pictures that are kept in a folder."""
    return (v for v in _json_lines(folder / "events.jsonl") if isinstance(v, dict))


def _json_lines(path: Path) -> Iterator[Any]:
    try:
        text = path.read_text(encoding="utf-8", errors="replace")
    except OSError:
        return
    for line in text.splitlines():
        with contextlib.suppress(ValueError):
            yield json.loads(line)


def wav_header(size: int) -> bytes:
    """RIFF header of 16-bit mono at RATE, for so many bytes of sound (Microsoft and IBM, Multimedia Programming
    Interface 1.0, 1991)."""
    return (
        b"RIFF"
        + struct.pack("<I", 36 + size)
        + b"WAVEfmt "
        + struct.pack("<IHHIIHH", 16, 1, 1, RATE, RATE * 2, 2, 16)
        + b"data"
        + struct.pack("<I", size)
    )


def looks_like_recording(head: bytes, name: str) -> bool:
    """Whether first bytes are those of a recording that is read, or text where the name says transcript.

    Signatures: RIFF, ISO base media (ftyp), Matroska's EBML, Ogg, FLAC, ADTS and MPEG audio frames, ID3, AMR.
    """
    if name.lower().endswith(TEXTS):
        return b"\0" not in head
    if head[:4] in (b"RIFF", b"OggS", b"fLaC", b"\x1aE\xdf\xa3", b"RF64") or head[4:8] in (
        b"ftyp",
        b"moov",
        b"mdat",
        b"wide",
        b"free",
    ):
        return True
    if head[:3] == b"ID3" or head[:5] == b"#!AMR":
        return True
    return len(head) > 1 and head[0] == 0xFF and head[1] & 0xE0 == 0xE0


def _add(place: Path, lines: str, *, flush: bool = True) -> None:
    """Write lines behind those of a file, which is made where it is not there."""
    handle = os.open(place, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600)
    try:
        _append(handle, os.fstat(handle).st_size, lines.encode(), flush=flush)
    finally:
        os.close(handle)


def _append(handle: int, size: int, fresh: bytes, *, flush: bool = True) -> None:
    """Write bytes behind the first `size` of a file and flush them; on a full disk the file is as it was."""
    left = memoryview(fresh)
    try:
        while left:
            left = left[os.write(handle, left) :]
        if flush:
            os.fsync(handle)
    except OSError:
        os.ftruncate(handle, size)
        raise
