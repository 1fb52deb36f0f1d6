"""The recipe of a run: every stage once, in order. Shells (cli, web, batch) call these and present the result."""

from __future__ import annotations

import hashlib
import itertools
import json
import math
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from extractors.words import Transcript
from pipeline.errors import (
    DecisionError,
    InputError,
    NoSpeech,
    NotFound,
    OtherLanguage,
    OutputError,
    UsageError,
    VocabularyError,
    WalkError,
)
from pipeline.lots import Place
from pipeline.settings import Settings
from pipeline.walk import Source, Speech, Walk, from_dict, to_dict
from vocab import TableError, Vocabulary, builtin, extended

if TYPE_CHECKING:
    from pipeline.compare import Difference
    from pipeline.review import Decision

Progress = Callable[[str, float, float], None]
"""Called with a stage's name, what is done of it and the whole, both in seconds of the recording (or 0, 0)."""

TIMED_TEXT = {".srt", ".vtt", ".txt", ".json"}
MAKE_AGAIN = "Make the walk again with tallywalk report."
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


def report(path: Path, *, settings: Settings, today: date, progress: Progress = quiet) -> tuple[Outcome, ...]:
    """One recording or timed transcript to a folder of documents; several machines in it give a folder each."""
    vocabulary = load_vocabulary(settings)
    heard = hear(path, settings=settings, progress=progress)
    folder = folder_for(settings.out, heard)
    words = write_words(folder, heard)
    refuse_unreadable(heard, folder)
    outcomes = read_heard(heard, folder, vocabulary, settings, today=today, progress=progress, words=words)
    if not any(o.partial for o in outcomes):
        # the mark of a whole result: written last, so that a kill before it leaves work that is done again
        mark = {"sha256": heard.source.sha256, "key": key_of(settings), "vocabulary": vocabulary.digest}
        write_whole(folder / "made.json", json.dumps(mark) + "\n")
    return outcomes


def read_again(
    folder: Path, *, settings: Settings, today: date, recording: Path | None = None, progress: Progress = quiet
) -> tuple[Outcome, ...]:
    """The words that are kept in a folder read anew, without listening: cuts were moved. Raises NotFound."""
    from pipeline.timed_text import read_json

    words = folder / "transcript.json"
    try:
        text = words.read_text(encoding="utf-8")
        source = Source(**json.loads(text)["source"])
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise NotFound(f"{words}: the words of this recording are missing", remedy=MAKE_AGAIN) from error
    heard = Heard(recording or words, source, read_json(text, words.name))
    return read_heard(heard, folder, load_vocabulary(settings), settings, today=today, progress=progress)


def read_heard(
    heard: Heard,
    folder: Path,
    vocabulary: Vocabulary,
    settings: Settings,
    *,
    today: date,
    progress: Progress = quiet,
    words: tuple[Path, ...] = (),
) -> tuple[Outcome, ...]:
    """Words to documents: each machine's walk with what people decided about it, in its folder."""
    from pipeline import lots

    progress("reading", 0, 0)
    found = machines(heard, folder, vocabulary, settings)
    places = tuple(place for place, _ in found)
    lots.deal(folder, places)
    outcomes = []
    for place, part in found:
        written = words if place.folder == folder else write_words(place.folder, part)
        walk, joined = read_visits(part, place.folder, vocabulary, today)
        progress("writing", 0, 0)
        outcomes.append(write_documents(place.folder, walk, part, joined, written))
    lots.deal(folder, places)  # once more: somebody may have decided on the page meanwhile
    lots.put_aside(folder, places)
    return tuple(outcomes)


def machines(heard: Heard, folder: Path, vocabulary: Vocabulary, settings: Settings) -> list[tuple[Place, Heard]]:
    """Each machine's folder and words; the cuts are kept in lots.json, those set by hand outlast a new run."""
    from extractors.machines import Part, find_machines
    from extractors.normalise import tokenise
    from pipeline import lots
    from pipeline.addenda import cut_out

    words = heard.transcript.words
    if settings.cuts is not None:
        if settings.cuts and words and (late := max(at for at, _ in settings.cuts)) >= words[-1].end:
            raise UsageError(
                f"--cuts: no word of {heard.path.name} stands behind {late:g} s",
                remedy=f"The last word ends at {words[-1].end:.0f} s.",
            )
        lots.keep(folder, lots.numbered(settings.cuts), who="--cuts")
    by_hand = lots.by_hand(folder)
    if by_hand is None:
        parts = find_machines(tokenise(heard.transcript, vocabulary)[0], vocabulary)
    else:
        # the word whose middle is at the cut or behind it; cuts are kept to the hundredth
        middle = [(w.start + w.end) / 2 + 0.01 for w in words]
        first = {next((i for i, m in enumerate(middle) if m >= c.at), len(words)): c.back for c in reversed(by_hand)}
        edges = [0, *sorted(i for i in first if 0 < i < len(words)), len(words)]
        parts = tuple(Part(a, b, "set by hand", first.get(a)) for a, b in itertools.pairwise(edges))
    if by_hand is not None or len(parts) > 1 or (folder / lots.LOTS).is_file():
        cuts = tuple(lots.Cut(round(words[p.first].start, 2), p.back_to, p.why) for p in parts[1:])
        write_whole(folder / lots.LOTS, lots.note(cuts, hand=by_hand is not None))
    if len(parts) <= 1:
        return [(Place(folder, ((-math.inf, math.inf),)), heard)]
    own: dict[int, list[int]] = {}
    for n, part in enumerate(parts):
        # back to a part that itself goes back to an earlier one is back to that one
        home = next((k for k, have in own.items() if part.back_to in have), n)
        own.setdefault(home, []).append(n)
    begin = [-math.inf, *(words[p.first].start for p in parts[1:]), math.inf]
    return [
        (
            Place(folder / f"{number:02d}", tuple((begin[n], begin[n + 1]) for n in numbers)),
            replace(heard, transcript=cut_out(heard.transcript, [(parts[n].first, parts[n].last) for n in numbers])),
        )
        for number, numbers in enumerate(own.values(), 1)
    ]


def read_visits(first: Heard, folder: Path, vocabulary: Vocabulary, today: date) -> tuple[Walk, Transcript]:
    """The walk of a recording and of all later visits kept in its folder, and the joined words."""
    later = kept_visits(folder)
    if not later:
        return read_words(first.transcript, vocabulary, first.source, today, folder=folder), first.transcript
    from extractors.extract import extract
    from pipeline.addenda import changed_roles, join, mark_papers, prefer_sure, relocate, said_swapped
    from pipeline.assemble import assemble

    joined, visits = join(
        [(first.source.file, first.transcript, False), *((h.source.file, h.transcript, paper) for h, paper in later)]
    )
    walk = assemble(joined, extract(joined, vocabulary), first.source, speech_of(first.transcript))
    cues = frozenset(said for row in vocabulary["moves"] if row["kind"] == "swapped" for said in row["said"])
    walk = prefer_sure(mark_papers(changed_roles(walk, visits), visits), visits, said_swapped(joined, cues))
    walk = relocate(walk, visits)
    walk = replace(walk, vocabulary=vocabulary.digest, additions=tuple(h.source for h, _ in later))
    return settle(walk, vocabulary, today, folder), joined


def add(
    walk_file: Path, paths: list[Path], *, settings: Settings, today: date, progress: Progress = quiet
) -> tuple[Outcome, tuple[Difference, ...]]:
    """A second visit: further recordings or papers of the same machine, and what changed since."""
    from pipeline.compare import compare
    from pipeline.paper import is_paper, read_paper
    from pipeline.timed_text import read_timed_text, to_json

    walk_file = walk_file_of(walk_file)
    before = read_walk(walk_file)
    folder = walk_file.parent
    words = folder / "transcript.json"
    if not words.is_file():
        raise NotFound(f"{words}: the walk's own words are missing", remedy=MAKE_AGAIN)
    first = Heard(words, before.source, read_timed_text(words))
    vocabulary = load_vocabulary(settings)
    known = {before.source.sha256, *(s.sha256 for s in before.additions)}
    # a visit whose walk was never written (a kill in between) is kept already
    kept = {h.source.sha256 for h, _ in kept_visits(folder)}
    fresh: list[tuple[Heard, str]] = []
    for path in paths:
        paper = path.is_file() and is_paper(path)
        if paper:
            transcript = read_paper(path, vocabulary)
            heard = Heard(path, Source(path.name, sha256_of(path), "transcript", transcript.duration), transcript)
        else:
            heard = hear(path, settings=settings, progress=progress)
            refuse_unreadable(heard, folder)
        if heard.source.sha256 in known:
            what = "paper" if paper else "recording"
            raise UsageError(f"{path.name}: this {what} is in the walk already", remedy=f"Give the new {what}.")
        known.add(heard.source.sha256)
        if heard.source.sha256 not in kept:
            fresh.append((heard, "paper" if paper else "visit"))
    number = len(list((folder / "visits").glob("*.json")))
    for k, (heard, kind) in enumerate(fresh, number + 1):
        write_whole(folder / "visits" / f"{k:03d}-{kind}.json", to_json(heard.transcript, heard.source))
    walk, joined = read_visits(first, folder, vocabulary, today)
    changes = compare(before, walk)
    lines = "".join(f"- {d.line}\n" for d in changes) or "Nothing.\n"
    names = ", ".join(p.name for p in paths)
    noted = write_whole(folder / "changes.md", f"# What changed with {names} ({today.isoformat()})\n\n{lines}")
    return write_documents(folder, walk, first, joined, (noted,)), changes


def kept_visits(folder: Path) -> list[tuple[Heard, bool]]:
    """Later visits in the order they were added, and whether each is a paper."""
    from pipeline.timed_text import read_json

    out = []
    for path in sorted((folder / "visits").glob("*.json")):
        text = path.read_text(encoding="utf-8")
        source = json.loads(text)["source"]
        kept = Source(source["file"], source["sha256"], source["kind"], source["duration_s"])
        out.append((Heard(path, kept, read_json(text, path.name)), path.stem.endswith("-paper")))
    return out


def key_of(settings: Settings) -> str:
    """What of the settings changes a result, in one line."""
    own = [p for p in (user_vocabulary(), settings.vocab) if p is not None and p.is_file()]
    return " ".join(
        [settings.model, str(settings.second_hearing), builtin().digest[:16], *(sha256_of(p)[:16] for p in own)]
    )


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
    refuse_unopenable(path)
    if path.suffix.lower() in TIMED_TEXT:
        from pipeline.timed_text import read_timed_text

        transcript = read_timed_text(path)
        return Heard(path, Source(path.name, sha256_of(path), "transcript", transcript.duration), transcript)
    from pipeline import media, speech

    info = media.probe(path)
    transcript = speech.listen(path, settings=settings, progress=progress)
    source = Source(path.name, sha256_of(path), info.kind, transcript.duration or info.duration, info.recorded)
    return Heard(path, source, transcript)


def refuse_unopenable(path: Path) -> None:
    """Raise where there is no file to read: NotFound, or InputError where it may not be read."""
    try:
        if not path.exists():
            raise NotFound(f"{path}: there is no such file")
        if path.is_dir():
            raise NotFound(f"{path}: this is a folder, not a recording")
        if path.is_file():
            path.open("rb").close()
    except (OSError, ValueError) as error:  # ValueError: a name with a null character
        told = getattr(error, "strerror", None) or error
        raise InputError(
            f"{path}: cannot be read ({told})", remedy="Ask for the right to read it, or copy it to a folder of yours."
        ) from error


def outline(path: Path, *, columns: int) -> list[int]:
    """How loud a recording is, 0 to 100 in so many columns of equal length: a picture of the sound."""
    import numpy as np

    from pipeline import media

    with media.decode(path) as sound:
        step = max(sound.seconds / columns, 0.001)
        peaks = [sound.read(i * step, (i + 1) * step) for i in range(columns)]
        return [round(100 * float(np.abs(p).max())) if len(p) else 0 for p in peaks]


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
        from pipeline.review import apply, unapply

        decisions = read_decisions(folder)
        as_read = unapply(walk, decisions)
        return apply(check(apply(as_read, decisions), vocabulary, today), decisions)
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
    path = walk_file_of(path)
    return settle(read_walk(path), load_vocabulary(settings), today, path.parent)


def explain(walk_file: Path, moment: float, *, settings: Settings) -> tuple[str, ...]:
    """How the words around a moment were read: lines of text. Raises NotFound, WalkError."""
    from extractors.explain import explain as lines_around
    from pipeline.timed_text import read_timed_text

    words = walk_file if walk_file.name == "transcript.json" else walk_file_of(walk_file).with_name("transcript.json")
    if not words.is_file():
        raise NotFound(f"{words}: the walk's own words are missing", remedy=MAKE_AGAIN)
    return lines_around(read_timed_text(words), moment, load_vocabulary(settings))


def fill(workbook: Path, *, who: str, settings: Settings, today: date) -> tuple[Outcome, tuple[str, ...]]:
    """A filled punch list read back as decisions, the walk checked anew, the documents made again; and what was read.

    An answer to an open question settles it, and where it is a field of the identity or one figure with its unit it
    becomes that fact as well. Rows that cannot be used are told, the others are taken. Raises NotFound, UsageError.
    """
    from pipeline import decisions
    from pipeline.review import describe, locate, standing
    from pipeline.timed_text import read_timed_text
    from pipeline.writers.fill import read_filled

    if not workbook.is_file():
        raise NotFound(f"{workbook}: there is no such workbook", remedy="Give the punch-list.xlsx of a walk's folder.")
    if workbook.suffix.lower() != ".xlsx" or not (workbook.parent / "walk.json").is_file():
        raise UsageError(
            f"{workbook}: this is no punch list beside its walk.json",
            remedy="Give the punch-list.xlsx that lies, filled in, in its walk's folder.",
        )
    folder = workbook.parent
    walk = read_walk(folder / "walk.json")
    sha, entries = read_filled(workbook)
    if sha != walk.source.sha256:
        raise UsageError(
            f"{workbook.name}: this list is of another recording", remedy="Put it into its own walk's folder."
        )
    vocabulary = load_vocabulary(settings)
    known = standing(decisions.read_decisions(folder))
    settled = {str(d.fact.get("id")) for d in known if d.act == "settle"}
    made: list[Decision] = []
    told: list[str] = []
    for entry in entries:
        why = entry.why or "filled in the punch list"
        if entry.act == "settle" and entry.ref in settled:
            continue
        try:
            kind, fact = locate(walk, entry.ref) if entry.ref else (entry.kind, {})
            if entry.kind == "identity":
                kind, fact = locate(walk, entry.ref if ":" in entry.ref else f"identity:{entry.ref}")
            if entry.act == "settle" and entry.why:
                made += answered(walk, str(fact["message"]), entry.why, who, vocabulary)
            made.append(decisions.new(entry.act, who=who, kind=kind, fact=fact, changes=entry.set, why=why))
        except DecisionError as error:
            told.append(f"Not taken: {entry.ref or entry.kind}: {error}")
    fresh = [d for d in made if not decisions.repeats(known, d)]
    if fresh:
        decisions.append(folder, *fresh)
    if entries and not told and not fresh:
        told.append("Nothing in this list is new: its answers were taken before.")
    told += [describe(d) for d in fresh]
    first = Heard(folder / walk.source.file, walk.source, read_timed_text(folder / "transcript.json"))
    walk, joined = read_visits(first, folder, vocabulary, today)
    return write_documents(folder, walk, first, joined, ()), tuple(told)


def answered(walk: Walk, message: str, answer: str, who: str, vocabulary: Vocabulary) -> list[Decision]:
    """What an answer written by hand says: an identity field, or a figure with its unit; else nothing."""
    from extractors.normalise import tokenise
    from extractors.quantities import find_measures
    from extractors.words import Word
    from pipeline import decisions
    from pipeline.review import locate

    gap = next((row for row in vocabulary["gaps"] if row["ask"] == message), None)
    why = "filled in the punch list"
    if gap is None:
        return []
    if gap["identity"]:
        _, stated = locate(walk, f"identity:{gap['identity']}")
        year = gap["identity"] == "year" and answer.isdigit()
        changes: dict[str, Any] = {"field": gap["identity"], "value": int(answer) if year else answer}
        return [decisions.new("add", who=who, kind="identity", fact=stated, changes=changes, why=why)]
    words = tuple(Word(w, float(i), i + 0.5) for i, w in enumerate(answer.split()))
    measures = find_measures(tokenise(Transcript(words), vocabulary)[0], vocabulary) if gap["properties"] else ()
    if len(measures) != 1:
        return []
    kind = walk.identity.kind or walk.identity.name
    changes = {
        "subject": str(kind.value) if kind else "machine",
        "property": gap["properties"][0],
        "value": measures[0].value,
        "unit": measures[0].unit,
    }
    return [decisions.new("add", who=who, kind="quantity", changes=changes, why=why)]


def walk_file_of(path: Path) -> Path:
    """The walk.json that is meant: the file itself, or the one in a folder that was named."""
    from pipeline import lots

    if not path.is_dir():
        return path
    if (inside := path / "walk.json").is_file():
        return inside
    machines = sorted(p.parent for p in path.glob("[0-9]*/walk.json")) if (path / lots.LOTS).is_file() else []
    if machines:
        raise UsageError(
            f"{path}: several machines are in this recording",
            remedy=f"Give the folder of one of them: {', '.join(str(m) for m in machines[:12])}.",
        )
    return path


def read_walk(path: Path) -> Walk:
    """The walk in a file, or in the folder of a walk. Raises NotFound, WalkError, UsageError."""
    path = walk_file_of(path)
    if path.is_dir():
        inside = next((p for p in sorted(path.rglob("walk.json"))), None)
        remedy = f"Give the file, such as {inside}." if inside else "Give a walk.json; tallywalk report makes one."
        raise NotFound(f"{path}: this is a folder, a walk.json is needed", remedy=remedy)
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
            told = str(error) if str(path) in str(error) else f"{path}: {error}"
            raise VocabularyError(told) from error
        refuse_unknown_units(vocabulary, path)
    return vocabulary


def refuse_unknown_units(vocabulary: Vocabulary, path: Path) -> None:
    """A user's unit must be one that can be computed with, before any figure is read in it. Raises VocabularyError."""
    from extractors.units import known

    ours = {row["pint"] for row in builtin()["units"]}
    for row in vocabulary["units"]:
        if row["pint"] not in ours and not known(row["pint"]):
            raise VocabularyError(
                f"{path}: units, row {row['spoken'][0]!r}: {row['pint'][:60]!r} is no unit that can be computed with",
                remedy="Spell it as a unit, a product or a quotient of units, such as gallon/minute.",
            )


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


def line_begins(transcript: Transcript) -> list[int]:
    """Numbers of the words with which the lines of a transcript begin, as a person reads them."""
    from pipeline.timed_text import lines_of

    first = {w.start: i for i, w in reversed(list(enumerate(transcript.words)))}
    return sorted({first[start] for start, _, _ in lines_of(transcript) if start in first})


def write_documents(
    folder: Path, walk: Walk, heard: Heard, transcript: Transcript, written: tuple[Path, ...]
) -> Outcome:
    """walk.json and the documents; a writer that fails is named, the others go on."""
    from pipeline.writers import write_all

    path = write_whole(folder / "walk.json", json.dumps(to_dict(walk), indent=1, ensure_ascii=False) + "\n")
    result = write_all(folder, walk, transcript, recording=heard.path)
    skipped = tuple(
        f"{s.start:.0f}–{s.end:.0f} s: {s.why}" for s in heard.transcript.unheard if s.why.startswith("skipped")
    )
    return Outcome(folder, walk, (*written, path, *result.written), result.kept, (*skipped, *result.failed))


def write_whole(path: Path, text: str) -> Path:
    """Write a text file whole or not at all. Raises OutputError."""
    from pipeline.whole import write_whole as write

    try:
        write(path, text.encode("utf-8"))
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
