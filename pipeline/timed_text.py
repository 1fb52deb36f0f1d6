"""Timed transcripts in and out: stamped plain text, SubRip, WebVTT, and the recogniser's JSON.

A caption gives times for a line, not for its words: words are spread over the line by their length, as fast as
people speak (about 15 characters a second; common practice, no source), never past the next line.
"""

from __future__ import annotations

import html
import itertools
import json
import math
import re
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path
from typing import Any

from extractors.words import Stretch, Transcript, Word
from pipeline.errors import BadTranscript, InputError
from pipeline.walk import Source

STAMP = re.compile(r"^\[(?:(\d{1,3}):)?(\d{1,4}):([0-5]\d(?:\.\d{1,3})?)\]\s*(.*)$")
SECONDS_A_CHARACTER = 0.065
LARGEST = 64 * 2**20
"""Bytes; a day of talk is about 1 MB of text."""
LINE_PAUSE = 1.0
LINE_WORDS = 14

Line = tuple[float, float | None, str]


def read_timed_text(path: Path) -> Transcript:
    """The transcript in a file; the ending tells the form. Raises InputError, BadTranscript."""
    if path.stat().st_size > LARGEST:
        raise InputError(f"{path.name}: over {LARGEST >> 20} MB is no transcript of one walk-around")
    raw = path.read_bytes()
    # editors on Windows save "Unicode" as UTF-16 with its mark
    encoding = "utf-16" if raw.startswith((b"\xff\xfe", b"\xfe\xff")) else "utf-8-sig"
    try:
        text = raw.decode(encoding).replace("\r\n", "\n").replace("\r", "\n")
    except UnicodeDecodeError as error:
        raise InputError(
            f"{path.name}: this is no text in UTF-8 (byte {error.start})",
            remedy="Open it in an editor and save it as text in UTF-8.",
        ) from error
    if not text.strip():
        raise InputError(f"{path.name}: the file is empty")
    if path.suffix.lower() == ".json":
        return read_json(text, path.name)
    if path.suffix.lower() in (".srt", ".vtt"):
        return read_captions(text, path.name, path.suffix.lower()[1:])
    return read_stamped(text, path.name)


def read_stamped(text: str, name: str) -> Transcript:
    """Plain text with [m:ss] or [h:mm:ss] stamps at the beginning of lines."""
    lines: list[Line] = []
    for number, line in enumerate(text.splitlines(), 1):
        found = STAMP.match(line.strip())
        if found:
            start = int(found[1] or 0) * 3600 + int(found[2]) * 60 + float(found[3])
            if lines and start < lines[-1][0]:
                raise BadTranscript(f"{name}, line {number}: the time [{_clock(start)}] is before the line above")
            lines.append((start, None, found[4]))
        elif line.strip():
            if not lines:
                raise BadTranscript(
                    f"{name}, line {number}: no time before the first words",
                    remedy="Begin each line with its time, such as [0:12], or give SubRip or WebVTT.",
                )
            lines[-1] = (lines[-1][0], None, f"{lines[-1][2]} {line.strip()}")
    return _spread(lines)


def read_captions(text: str, name: str, form: str) -> Transcript:
    """SubRip ("srt") or WebVTT ("vtt"), through pysubs2."""
    import pysubs2

    try:
        captions = pysubs2.SSAFile.from_string(text, format_=form)
    except Exception as error:  # the library raises whatever its parser met
        raise BadTranscript(f"{name}: no captions could be read ({error})") from error
    lines: list[Line] = []
    for number, event in enumerate(captions, 1):
        start, end = event.start / 1000, event.end / 1000
        if end < start or (lines and start < lines[-1][0]):
            raise BadTranscript(f"{name}, caption {number}: its time {_clock(start)} runs backwards")
        lines.append((start, end, html.unescape(re.sub(r"<[^<>]{0,80}>", "", event.plaintext)).replace("\n", " ")))
    if not lines:
        raise BadTranscript(f"{name}: no captions in it", remedy="Check that the file is SubRip or WebVTT.")
    return _spread(lines)


def _spread(lines: list[Line]) -> Transcript:
    """Words of lines with times of their own."""
    words: list[Word] = []
    breaks: list[int] = []
    for i, (start, end, said) in enumerate(lines):
        parts = said.split()
        if not parts:
            continue
        size = sum(len(p) + 1 for p in parts)
        until = end if end is not None else start + size * SECONDS_A_CHARACTER
        if i + 1 < len(lines):
            until = min(until, max(lines[i + 1][0], start))
        step = (until - start) / size
        breaks.append(len(words))
        at = start
        for part in parts:
            words.append(Word(part, round(at, 3), round(at + step * (len(part) + 1), 3)))
            at += step * (len(part) + 1)
    return Transcript(tuple(words), tuple(breaks), duration=words[-1].end if words else 0.0)


NO_WORDS = "Give the recording, or a transcript with the times of its words."


def read_json(text: str, name: str) -> Transcript:
    """Our transcript.json, or a recogniser's: {"segments": [{"words": [{"word", "start", "end", "probability"}]}]}."""
    try:
        data = json.loads(text)
    except (json.JSONDecodeError, RecursionError) as error:
        told = "brackets nested too deep" if isinstance(error, RecursionError) else error
        raise BadTranscript(f"{name}: this is no JSON ({told})", remedy="Give the file as it was written.") from error
    if not isinstance(data, dict):
        raise BadTranscript(f"{name}: expected an object with words or segments", remedy=NO_WORDS)
    words: list[Word] = []
    breaks: list[int] = []
    groups = [data] if isinstance(data.get("words"), list) else data.get("segments")
    if not isinstance(groups, list):
        raise BadTranscript(f'{name}: neither "words" nor "segments" in it', remedy=NO_WORDS)
    for number, group in enumerate(groups, 1):
        breaks.append(len(words))
        words += _words_of(group, f"{name}, segment {number}")
    for earlier, later in itertools.pairwise(words):
        if later.start < earlier.start - 0.01:
            raise BadTranscript(f"{name}: the word {later.text!r} at {_clock(later.start)} stands after a later one")
    stored = data.get("breaks")
    if isinstance(stored, list) and all(isinstance(b, int) for b in stored):
        breaks = [b for b in stored if 0 <= b <= len(words)]
    return Transcript(
        tuple(words),
        tuple(breaks),
        duration=_seconds(data.get("duration", words[-1].end if words else 0.0), name),
        language=str(data.get("language") or "en")[:20],
        language_probability=_seconds(data.get("language_probability", 1.0), name),
        model=str(data["model"])[:200] if data.get("model") else None,
        unheard=tuple(
            Stretch(_seconds(s.get("start"), name), _seconds(s.get("end"), name), str(s.get("why", ""))[:200])
            for s in data.get("unheard", ())
            if isinstance(s, dict)
        ),
        listening=tuple(str(x)[:500] for x in data.get("listening", ()) or ()),
    )


def _words_of(group: Any, where: str) -> Iterator[Word]:
    if not isinstance(group, dict):
        raise BadTranscript(f"{where}: expected an object")
    timed = group.get("words")
    if not timed and (timed is None or group.get("text")):
        said = str(group.get("text", ""))
        line = (_seconds(group.get("start"), where), _seconds(group.get("end"), where), said)
        yield from _spread([line]).words
        return
    for w in timed or ():
        if not isinstance(w, dict):
            raise BadTranscript(f"{where}: each word must be an object")
        start, end = _seconds(w.get("start"), where), _seconds(w.get("end"), where)
        if end < start:
            raise BadTranscript(f"{where}: the word at {_clock(start)} ends before it begins")
        said = str(w.get("text", w.get("word", ""))).strip()
        if said:
            yield Word(
                said,
                start,
                end,
                _seconds(w.get("probability", 1.0), where),
                tuple(str(a) for a in w.get("alternatives", ()) or ()),
                str(w["doubt"]) if w.get("doubt") else None,
            )


def _seconds(value: Any, where: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value) or value < 0:
        raise BadTranscript(f"{where}: {value!r:.40} is no time or probability")
    return float(value)


def to_json(transcript: Transcript, source: Source) -> str:
    """Words with times and probabilities; read_json takes it back."""
    data = {"format": "tallywalk.transcript/1", "source": asdict(source), **asdict(transcript)}
    return json.dumps(data, ensure_ascii=False, separators=(",", ":")) + "\n"


def lines_of(transcript: Transcript) -> Iterator[tuple[float, float, str]]:
    """Lines a person can read: start, end, words; broken at pauses, sentence ends and after 14 words."""
    begin = 0
    words = transcript.words
    marks = set(transcript.breaks)
    for i in range(1, len(words) + 1):
        whole = i == len(words)
        if not whole:
            gap = words[i].start - words[i - 1].end
            ended = words[i - 1].text[-1:] in ".?!" and i - begin >= LINE_WORDS // 2
            if not (i in marks or gap > LINE_PAUSE or ended or i - begin >= 2 * LINE_WORDS):
                continue
        yield words[begin].start, words[i - 1].end, " ".join(w.text for w in words[begin:i])
        begin = i


def to_stamped(transcript: Transcript) -> str:
    """Lines of "[m:ss] words"."""
    return "".join(f"[{_clock(start)}] {_one_line(said)}\n" for start, _, said in lines_of(transcript))


def to_vtt(transcript: Transcript) -> str:
    """WebVTT, markup in the words escaped."""
    out = ["WEBVTT", ""]
    for start, end, said in lines_of(transcript):
        out += [f"{_vtt(start)} --> {_vtt(max(end, start + 0.001))}", html.escape(_one_line(said), quote=False), ""]
    return "\n".join(out)


def _one_line(text: str) -> str:
    return "".join(c if c.isprintable() else " " for c in text)


def _clock(seconds: float) -> str:
    whole = int(seconds)
    if whole >= 3600:
        return f"{whole // 3600}:{whole % 3600 // 60:02d}:{whole % 60:02d}"
    return f"{whole // 60}:{whole % 60:02d}"


def _vtt(seconds: float) -> str:
    ms = round(seconds * 1000)
    return f"{ms // 3600000:02d}:{ms // 60000 % 60:02d}:{ms // 1000 % 60:02d}.{ms % 1000:03d}"
