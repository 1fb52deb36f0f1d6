"""All documents of a walk into its folder; a file that a person changed is never overwritten."""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import re
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from extractors.words import Transcript
from pipeline.drawing import plans
from pipeline.private import people, withhold
from pipeline.report import build
from pipeline.report_shapes import Picture, Profile
from pipeline.walk import Walk
from pipeline.whole import write_whole as _whole

FILMS = {".mp4", ".mov", ".m4v", ".mkv", ".webm", ".3gp"}
REMEMBERED = "documents.json"
"""Names and sha256 of what was written here, by which a change made by a person is seen."""


@dataclass(frozen=True, slots=True)
class Written:
    """What became of each document."""

    written: tuple[Path, ...]
    kept: tuple[str, ...] = ()
    """Files that a person changed, each with the name of the new one beside it."""
    failed: tuple[str, ...] = ()
    """Documents that could not be written, and why."""


def write_all(
    folder: Path,
    walk: Walk,
    transcript: Transcript,
    *,
    recording: Path | None = None,
    profile: Profile | None = None,
    made: date | None = None,
) -> Written:
    """Write report (two editions), listing, workbook, tables and plan; each whole or not at all.

    recording lets the html play each figure. profile defaults to the user's own (profile.toml). A writer that fails
    is named in the result and the rest still written.
    """
    from pipeline.writers.profile import load_profile

    failed: list[str] = []
    if profile is None:
        try:
            profile = load_profile()
        except (OSError, ValueError) as error:
            profile = Profile()
            failed.append(f"profile.toml: {error}")
    own = profile
    day = (made or date.today()).isoformat()
    called = (*own.withhold, *people(" ".join(w.text for w in transcript.words), walk))
    shots: tuple[Picture, ...] = ()
    film = recording is not None and recording.suffix.lower() in FILMS
    if own.pictures and (film or (folder / "photos").is_dir()):
        from pipeline.pictures import pictures

        shots, faults = pictures(walk, recording, folder / "photos", camera_ahead=own.camera_ahead_s)
        failed += faults
        shots = _with_files(shots, _left_out(folder), called)
    drawn = plans(walk)
    working = build(walk, transcript, made=day, profile=own, pictures=shots)
    out = build(walk, transcript, made=day, profile=own, edition="hand-out", pictures=shots)
    jobs: list[tuple[str, Callable[[], bytes]]] = []

    def add(name: str, make: Callable[[], bytes]) -> None:
        jobs.append((name, make))

    def docx(handed_out: bool) -> bytes:
        from pipeline.writers.to_docx import to_docx

        return to_docx(out if handed_out else working, plan=drawn)

    def page(handed_out: bool) -> bytes:
        from pipeline.writers.to_html import to_html

        if handed_out:
            return to_html(out, plan=drawn).encode()
        sound = os.path.relpath(recording, folder) if recording is not None and _plays(recording) else None
        return to_html(working, plan=drawn, sound=sound).encode()

    def book(part: str) -> bytes:
        from pipeline.writers import to_xlsx

        return to_xlsx.workbook(walk, working) if part == "data" else to_xlsx.punch_list(walk)

    def table(part: str) -> bytes:
        from pipeline.writers.to_xlsx import to_csv

        return to_csv(walk, part).encode()

    def listing(form: str) -> bytes:
        from pipeline.writers import listing as module

        return module.write(walk, form, own, called=called, pictures=out.pictures).encode()

    add("report.docx", lambda: docx(False))
    add("report.html", lambda: page(False))
    add("report-hand-out.docx", lambda: docx(True))
    add("report-hand-out.html", lambda: page(True))
    add("walk.xlsx", lambda: book("data"))
    add("punch-list.xlsx", lambda: book("punch"))
    for shot in shots:
        add(shot.file, lambda shot=shot: shot.jpeg)  # type: ignore[misc]
    for part in ("specification", "stations", "equipment", "findings"):
        add(f"{part}.csv", lambda part=part: table(part))  # type: ignore[misc]
    for form in ("txt", "short.txt", "md", "html", "jsonld", "csv"):
        add(f"listing.{form}", lambda form=form: listing(form))  # type: ignore[misc]
    if own.pdf:
        add("report.pdf", lambda: _pdf(docx(False)))
        add("report-hand-out.pdf", lambda: _pdf(docx(True)))
    return _carry_out(folder, jobs, failed)


LEFT_OUT = "leave-out.txt"
"""In the walk's folder: one picture a line that is to be left out, by its time or by words of its caption."""


def _left_out(folder: Path) -> tuple[str, ...]:
    try:
        lines = (folder / LEFT_OUT).read_text(encoding="utf-8", errors="replace").splitlines()
    except OSError:
        return ()
    return tuple(line.strip().lower() for line in lines if line.strip())


def _with_files(shots: tuple[Picture, ...], left_out: tuple[str, ...], called: tuple[str, ...]) -> tuple[Picture, ...]:
    """Pictures with the names of their files, in which nobody is named, without those that a person left out."""
    kept = [s for s in shots if not any(f"({t})" in s.caption or t in s.caption.lower() for t in left_out)]
    out = []
    for n, shot in enumerate(kept, 1):
        public = withhold(shot.caption, called=called).replace("[name withheld]", "").partition(" (")[0]
        what = "-".join(re.findall(r"[a-z0-9]+", public.lower()))[:40] or "picture"
        out.append(replace(shot, file=f"pictures/{n:02d}-{what}.jpg"))
    return tuple(out)


def _carry_out(folder: Path, jobs: list[tuple[str, Callable[[], bytes]]], failed: list[str]) -> Written:
    """Make all documents, note what they will be, then write them: a kill at any moment leaves none that is ours and
    looks like a person's.
    """
    memory = _memory(folder)
    made: list[tuple[str, str, bytes]] = []
    for name, make in jobs:
        try:
            data = make()
            target = _free_name(folder, name, memory)
        except Exception as error:  # one document's fault must not cost the others
            failed.append(f"{name}: {_told(error)}"[:300])
            continue
        made.append((name, target, data))
    ours = {target: hashlib.sha256(data).hexdigest() for _, target, data in made}
    try:
        ahead = {**memory, **{t: (new, *(h for h in memory.get(t, ()) if h != new)) for t, new in ours.items()}}
        _whole(folder / REMEMBERED, json.dumps(ahead, indent=1).encode())
    except OSError as error:
        return Written((), (), (*failed, f"{REMEMBERED}: {_told(error)}, so no document was written"))
    written: list[Path] = []
    kept: list[str] = []
    for name, target, data in made:
        try:
            _whole(folder / target, data)
        except OSError as error:
            failed.append(f"{target}: {_told(error)}")
            continue
        written.append(folder / target)
        memory[target] = (ours[target],)
        if target != name:
            kept.append(f"{name} was changed by a person and is left as it is; the new one is {target}")
    for name in [n for n in memory if n.startswith("pictures/") and n not in ours]:
        # a picture of an earlier run that nothing refers to now; one that a person changed stays
        path = folder / name
        if path.is_file() and hashlib.sha256(path.read_bytes()).hexdigest() in memory.pop(name):
            path.unlink(missing_ok=True)
        ahead.pop(name, None)
    # what was noted ahead says all that is needed, and some hashes too many
    with contextlib.suppress(OSError):
        _whole(folder / REMEMBERED, json.dumps({**ahead, **memory}, indent=1).encode())
    return Written(tuple(written), tuple(kept), tuple(failed))


def _told(error: Exception) -> str:
    return (error.strerror if isinstance(error, OSError) else None) or f"{type(error).__name__}: {error}"


def _memory(folder: Path) -> dict[str, tuple[str, ...]]:
    """Hashes of each document as it was, or may have been, written here."""
    try:
        found = json.loads((folder / REMEMBERED).read_text(encoding="utf-8"))
        listed = {k: [v] if isinstance(v, str) else v for k, v in found.items()}
        return {k: tuple(h for h in v if isinstance(h, str)) for k, v in listed.items() if isinstance(v, list)}
    except (OSError, ValueError, AttributeError):
        return {}


def _free_name(folder: Path, name: str, memory: dict[str, tuple[str, ...]]) -> str:
    """The name itself where nothing of a person's stands there, else the first free one beside it."""
    stem, dot, ending = name.partition(".")
    for n in range(1, 1000):
        candidate = name if n == 1 else f"{stem}-new{'' if n == 2 else n - 1}{dot}{ending}"
        path = folder / candidate
        if not path.exists() or hashlib.sha256(path.read_bytes()).hexdigest() in memory.get(candidate, ()):
            return candidate
    raise OSError("too many changed versions in this folder")


def _plays(recording: Path) -> bool:
    return recording.is_file() and recording.suffix.lower() not in {".txt", ".srt", ".vtt", ".json"}


def _pdf(docx: bytes) -> bytes:
    import shutil
    import subprocess

    program = shutil.which("soffice")
    if program is None:
        raise OSError("LibreOffice is not installed, so no pdf was made")
    with tempfile.TemporaryDirectory(prefix="tallywalk-pdf-") as place:
        source = Path(place) / "report.docx"
        source.write_bytes(docx)
        command = [program, f"-env:UserInstallation={Path(place, 'user').as_uri()}", "--headless",
                   "--convert-to", "pdf", "--outdir", place, str(source)]  # fmt: skip
        subprocess.run(command, check=True, timeout=180, capture_output=True)
        return source.with_suffix(".pdf").read_bytes()
