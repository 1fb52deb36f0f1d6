"""Transcripts that were made before, keyed by content, model and settings; and the finished part of one that was not.

Everything here may be deleted at any time. Files that cannot be read are taken for absent.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import tempfile
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from extractors.words import Stretch, Transcript, Word
from pipeline.coverage import Hearing
from pipeline.hearing_plan import HeardWord, Window
from pipeline.whole import private_folder

VERSION = "6"
"""Raised with every change to what listening gives, so that older transcripts are not taken for newer ones."""
LIMIT = 200 << 20
"""Bytes that the cache may take; the longest unused goes first. An hour of speech takes about 1 MB."""


def key_of(content: str, *, model: str, settings: Iterable[str]) -> str:
    """The key of a transcript: the sound file's sha256, the model's, and what else decides the words."""
    return hashlib.sha256("\n".join((VERSION, content, model, *settings)).encode()).hexdigest()


class HeardCache:
    """A folder of transcripts, and of half-made ones."""

    def __init__(self, folder: Path, *, limit: int = LIMIT) -> None:
        self.folder = folder / "transcripts"
        self.limit = limit

    def get(self, key: str) -> Transcript | None:
        """The transcript kept under a key, or None."""
        path = self.folder / f"{key}.json"
        try:
            found = _transcript(json.loads(path.read_text(encoding="utf-8")))
            os.utime(path)
        except (OSError, ValueError, KeyError, TypeError, RecursionError):
            return None
        return found

    def put(self, key: str, transcript: Transcript) -> None:
        """Keep a transcript; a cache that cannot be written is no reason to fail."""
        with contextlib.suppress(OSError):
            private_folder(self.folder)
            handle, name = tempfile.mkstemp(prefix=".", dir=self.folder)
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                json.dump(_plain(transcript), file, ensure_ascii=False)
            os.replace(name, self.folder / f"{key}.json")
            self.forget_part(key)
            self._shrink()

    def part(self, key: str) -> dict[tuple[float, float], Hearing]:
        """Windows of an unfinished transcript that were heard already, by the start and end of their sound."""
        found: dict[tuple[float, float], Hearing] = {}
        try:
            lines = (self.folder / f"{key}.part").read_text(encoding="utf-8").splitlines()
        except (OSError, UnicodeDecodeError):
            return found
        for line in lines:
            try:
                at, to, score, no_speech, words = json.loads(line)
                found[float(at), float(to)] = Hearing(
                    tuple(HeardWord(str(t), float(a), float(b), float(p), floor=float(f)) for t, a, b, p, f in words),
                    float(score), float(no_speech),
                )  # fmt: skip
            except (ValueError, TypeError):
                continue  # the line that a kill cut short
        return found

    def add(self, key: str, window: Window, hearing: Hearing) -> None:
        """Keep one finished window at once."""
        words = [(w.text, w.start, w.end, w.probability, getattr(w, "floor", w.probability)) for w in hearing.words]
        row = (window.heard.start, window.heard.end, hearing.score, hearing.no_speech, words)
        with contextlib.suppress(OSError):
            private_folder(self.folder)
            with (self.folder / f"{key}.part").open("a", encoding="utf-8") as file:
                file.write(json.dumps(row) + "\n")

    def forget_part(self, key: str) -> None:
        for name in (f"{key}.part", f"{key}-2.part"):
            with contextlib.suppress(OSError):
                (self.folder / name).unlink()

    def _shrink(self) -> None:
        """Remove the longest unused files until the limit holds."""
        files = sorted(((s.st_mtime, s.st_size, p) for p in self.folder.iterdir() for s in [p.stat()]), reverse=True)
        total = 0
        for i, (_, size, path) in enumerate(files):
            total += size
            if total > self.limit and i > 0:
                path.unlink(missing_ok=True)


def _plain(t: Transcript) -> dict[str, Any]:
    return {
        "words": [(w.text, w.start, w.end, w.probability, list(w.alternatives), w.doubt) for w in t.words],
        "breaks": list(t.breaks), "duration": t.duration, "language": t.language,
        "language_probability": t.language_probability, "model": t.model,
        "unheard": [(s.start, s.end, s.why) for s in t.unheard], "listening": list(t.listening),
    }  # fmt: skip


def _transcript(d: dict[str, Any]) -> Transcript:
    return Transcript(
        tuple(Word(str(t), float(a), float(b), float(p), tuple(alt), doubt) for t, a, b, p, alt, doubt in d["words"]),
        tuple(int(b) for b in d["breaks"]), duration=float(d["duration"]), language=str(d["language"]),
        language_probability=float(d["language_probability"]), model=d["model"],
        unheard=tuple(Stretch(float(a), float(b), str(why)) for a, b, why in d["unheard"]),
        listening=tuple(map(str, d["listening"])),
    )  # fmt: skip
