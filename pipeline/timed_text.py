"""A timed transcript to a Transcript: stamped plain text, SubRip, WebVTT, or the recogniser's JSON."""

from __future__ import annotations

import re
from pathlib import Path

from extractors.words import Transcript, Word
from pipeline.errors import BadTranscript

STAMP = re.compile(r"^\[(?:(\d+):)?(\d+):(\d\d(?:\.\d+)?)\]\s*(.*)$")


def read_stamped(text: str, name: str) -> Transcript:
    """Plain text with [m:ss] stamps; word times are spread over each line by length of the words."""
    lines: list[tuple[float, str]] = []
    for number, line in enumerate(text.splitlines(), 1):
        found = STAMP.match(line.strip())
        if found:
            start = int(found[1] or 0) * 3600 + int(found[2]) * 60 + float(found[3])
            if lines and start < lines[-1][0]:
                raise BadTranscript(f"{name}, line {number}: the time {line.split(']')[0]}] is before the line above")
            lines.append((start, found[4]))
        elif line.strip() and lines:
            lines[-1] = (lines[-1][0], f"{lines[-1][1]} {line.strip()}")
    words: list[Word] = []
    breaks: list[int] = []
    for (start, said), following in zip(lines, [*lines[1:], None], strict=False):
        parts = said.split()
        if not parts:
            continue
        usual = sum(len(p) + 1 for p in parts) * 0.065
        end = min(following[0], start + usual) if following else start + usual
        step = (end - start) / sum(len(p) + 1 for p in parts)
        breaks.append(len(words))
        at = start
        for part in parts:
            words.append(Word(part, round(at, 2), round(at + step * (len(part) + 1), 2)))
            at += step * (len(part) + 1)
    return Transcript(tuple(words), tuple(breaks), duration=words[-1].end if words else 0.0)


def read_timed_text(path: Path) -> Transcript:
    """The transcript in a file."""
    return read_stamped(path.read_text(encoding="utf-8"), path.name)
