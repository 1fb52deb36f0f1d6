"""The recipe of a run: every stage once, in order. Shells (cli, web, batch) call these and present the result."""

from __future__ import annotations

import hashlib
import json
import os
import re
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from extractors.words import Transcript
from pipeline.errors import NoSpeech, NotFound, OtherLanguage, OutputError, VocabularyError, WalkError
from pipeline.settings import Settings
from pipeline.walk import Source, Speech, Walk, from_dict, to_dict
from vocab import TableError, Vocabulary, builtin, extended

Progress = Callable[[str, float, float], None]
"""Called with a stage's name, what is done of it and the whole, both in seconds of the recording (or 0, 0)."""

TIMED_TEXT = {".srt", ".vtt", ".txt", ".json"}
LANGUAGE_SURE = 0.6
"""Below this the recogniser's guess of another language is not acted on. Common practice, no source."""


def quiet(stage: str, done: float, whole: float) -> None:
    """A progress callback that shows nothing."""


@dataclass(frozen=True, slots=True)
class Heard:
    """The words of one recording, and where they came from."""

    path: Path
    source: Source
    transcript: Transcript


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a run made of one recording."""

    folder: Path
    walk: Walk
    written: tuple[Path, ...]
    kept: tuple[str, ...] = ()
    """What a person had changed and was therefore left alone, with the name of the new file beside it."""
    partial: tuple[str, ...] = ()
    """What could not be done; empty for a whole success."""


def report(path: Path, *, settings: Settings, today: date, progress: Progress = quiet) -> Outcome:
    """One recording or timed transcript to a folder of documents."""
    vocabulary = load_vocabulary(settings)
    heard = hear(path, settings=settings, progress=progress)
    folder = folder_for(settings.out, heard)
    written = write_words(folder, heard)
    refuse_unreadable(heard, folder)
    progress("reading", 0, 0)
    walk = read_words(heard.transcript, vocabulary, heard.source, today, folder=folder)
    progress("writing", 0, 0)
    return write_documents(folder, walk, heard, written)


def transcribe(path: Path, *, settings: Settings, progress: Progress = quiet) -> tuple[Path, Heard]:
    """Stop after the words: the transcript in its three forms, and nothing concluded from it."""
    heard = hear(path, settings=settings, progress=progress)
    folder = folder_for(settings.out, heard)
    write_words(folder, heard)
    if not heard.transcript.words:
        raise NoSpeech(f"{path.name}: no words were heard in {heard.source.duration_s:.0f} s")
    return folder, heard


def hear(path: Path, *, settings: Settings, progress: Progress = quiet) -> Heard:
    """The words of a recording or of a timed transcript."""
    if not path.exists():
        raise NotFound(f"{path}: there is no such file")
    if path.is_dir():
        raise NotFound(f"{path}: this is a folder, not a recording")
    if path.suffix.lower() in TIMED_TEXT:
        from pipeline.timed_text import read_timed_text

        transcript = read_timed_text(path)
        return Heard(path, Source(path.name, sha256_of(path), "transcript", transcript.duration), transcript)
    from pipeline import media, speech

    info = media.probe(path)
    transcript = speech.listen(path, settings=settings, progress=progress)
    source = Source(path.name, sha256_of(path), info.kind, transcript.duration or info.duration)
    return Heard(path, source, transcript)


def refuse_unreadable(heard: Heard, folder: Path) -> None:
    """Raise where nothing may be concluded from the words: there are none, or they are in another language."""
    transcript = heard.transcript
    if not transcript.words:
        raise NoSpeech(f"{heard.path.name}: no words were heard in {heard.source.duration_s:.0f} s")
    if transcript.language != "en" and transcript.language_probability >= LANGUAGE_SURE:
        raise OtherLanguage(
            f"{heard.path.name}: the speech sounds like {transcript.language!r}, not English; no facts were read. "
            f"The transcript is in {folder}"
        )


def read_words(
    transcript: Transcript, vocabulary: Vocabulary, source: Source, today: date, *, folder: Path | None = None
) -> Walk:
    """Words to a checked walk; with a folder, what people decided there is carried over."""
    from extractors.extract import extract
    from pipeline.assemble import assemble

    walk = assemble(transcript, extract(transcript, vocabulary), source, speech_of(transcript))
    walk = replace(walk, vocabulary=vocabulary.digest)
    return settle(walk, vocabulary, today, folder)


def settle(walk: Walk, vocabulary: Vocabulary, today: date, folder: Path | None) -> Walk:
    """The walk with decisions applied and checked anew."""
    from pipeline.checks import check

    if folder is not None:
        from pipeline.decisions import read_decisions
        from pipeline.review import apply

        decisions = read_decisions(folder)
        return apply(check(apply(walk, decisions), vocabulary, today), decisions)
    return check(walk, vocabulary, today)


def speech_of(transcript: Transcript) -> Speech | None:
    """How the words were heard; None for words that came with their times."""
    if transcript.model is None:
        return None
    n = len(transcript.words)
    mean = sum(w.probability for w in transcript.words) / n if n else 0.0
    return Speech(transcript.model, transcript.language, n, round(mean, 4), transcript.unheard)


def check_file(path: Path, *, settings: Settings, today: date) -> Walk:
    """A walk.json checked again, with decisions beside it, without the recogniser; nothing is written."""
    walk = read_walk(path)
    return settle(walk, load_vocabulary(settings), today, path.parent)


def read_walk(path: Path) -> Walk:
    """The walk in a file. Raises NotFound, WalkError."""
    if not path.is_file():
        raise NotFound(f"{path}: there is no such file")
    try:
        return from_dict(json.loads(path.read_text(encoding="utf-8")))
    except (UnicodeDecodeError, json.JSONDecodeError, RecursionError) as error:
        raise WalkError(f"{path}: this is no JSON ({error})") from error
    except WalkError as error:
        raise WalkError(f"{path}: {error}") from error


def load_vocabulary(settings: Settings) -> Vocabulary:
    """The built-in tables with the user's own: the per-user file first, then the one that was named."""
    vocabulary = builtin()
    for path in (user_vocabulary(), settings.vocab):
        if path is None or (path == user_vocabulary() and not path.is_file()):
            continue
        if not path.is_file():
            raise NotFound(f"{path}: there is no such vocabulary file")
        try:
            vocabulary = extended(vocabulary, path.read_text(encoding="utf-8"), str(path))
        except (TableError, UnicodeDecodeError) as error:
            raise VocabularyError(str(error)) from error
    return vocabulary


def user_vocabulary() -> Path:
    """Where a user's own vocabulary lies."""
    import platformdirs

    return Path(platformdirs.user_config_dir("tallywalk")) / "vocabulary.toml"


def folder_for(out: Path, heard: Heard) -> Path:
    """The folder of a recording: its name without the ending; a second recording of that name gets a suffix."""
    name = re.sub(r"[\x00-\x1f/\\]", "_", heard.path.stem).strip(". ") or "recording"
    for candidate in (out / name, out / f"{name}-{heard.source.sha256[:8]}"):
        if not candidate.exists() or _source_of(candidate) in (None, heard.source.sha256):
            return candidate
    return out / f"{name}-{heard.source.sha256[:8]}"


def _source_of(folder: Path) -> str | None:
    try:
        found = json.loads((folder / "transcript.json").read_text(encoding="utf-8"))["source"]["sha256"]
    except (OSError, ValueError, KeyError, TypeError):
        return None
    return str(found)


def write_words(folder: Path, heard: Heard) -> tuple[Path, ...]:
    """transcript.json, .vtt and .txt in the folder."""
    from pipeline.timed_text import to_json, to_stamped, to_vtt

    texts = {
        "transcript.json": to_json(heard.transcript, heard.source),
        "transcript.vtt": to_vtt(heard.transcript),
        "transcript.txt": to_stamped(heard.transcript),
    }
    return tuple(write_whole(folder / name, text) for name, text in texts.items())


def write_documents(folder: Path, walk: Walk, heard: Heard, written: tuple[Path, ...]) -> Outcome:
    """walk.json and the documents; a writer that fails is named, the others go on."""
    from pipeline.writers import write_all

    path = write_whole(folder / "walk.json", json.dumps(to_dict(walk), indent=1, ensure_ascii=False) + "\n")
    result = write_all(folder, walk, heard.transcript, recording=heard.path)
    skipped = tuple(
        f"{s.start:.0f}–{s.end:.0f} s: {s.why}" for s in heard.transcript.unheard if s.why.startswith("skipped")
    )
    return Outcome(folder, walk, (*written, path, *result.written), result.kept, (*skipped, *result.failed))


def write_whole(path: Path, text: str) -> Path:
    """Write a file so that, whatever is killed when, its name holds either the old or the new text."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.parent)
        try:
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                file.write(text)
                file.flush()
                os.fsync(file.fileno())
            os.replace(name, path)
        except BaseException:
            os.unlink(name)
            raise
    except OSError as error:
        raise OutputError(f"{path}: cannot be written ({error.strerror})") from error
    return path


def sha256_of(path: Path) -> str:
    """The file's sha256 in hex, read in pieces."""
    total = hashlib.sha256()
    with path.open("rb") as file:
        while piece := file.read(1 << 20):
            total.update(piece)
    return total.hexdigest()


def summary(walk: Walk) -> dict[str, Any]:
    """What a person wants to know in ten seconds."""
    by_level: dict[str, list[str]] = {}
    for f in walk.findings:
        by_level.setdefault(f.level, []).append(f.message)
    name = walk.identity.name or walk.identity.kind
    return {
        "what": str(name.value) if name else None,
        "maker": str(walk.identity.maker.value) if walk.identity.maker else None,
        "stations": [
            {"name": s.name, "stated": s.stated_count, "described": sum(x.status != "withdrawn" for x in s.stations)}
            for s in walk.sequences
        ],
        "figures": len(walk.active),
        "doubtful": sum(bool(q.doubt) for q in walk.active),
        "components": len(walk.present),
        "take_backs": sum(r.kind == "self-correction" for r in walk.repairs),
        "conflicts": by_level.get("conflict", []),
        "to_verify": by_level.get("check", []),
        "to_ask": by_level.get("missing", []),
    }
