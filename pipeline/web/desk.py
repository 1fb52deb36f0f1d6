"""What one server holds: the folder, its open walks, recordings, rooms and jobs."""

from __future__ import annotations

import hashlib
import shutil
import threading
from collections.abc import Callable
from dataclasses import asdict, replace
from datetime import date
from pathlib import Path
from typing import Any

from extractors.words import Transcript
from pipeline import lots, run
from pipeline.errors import NotFound, TallywalkError
from pipeline.settings import Settings
from pipeline.web.jobs import Jobs
from pipeline.web.recordings import Recordings
from pipeline.web.room import Listener, Room
from pipeline.web.rows import short
from pipeline.web.session import OpenWalk

PLAYED = {
    ".wav": "audio/wav", ".mp3": "audio/mpeg", ".m4a": "audio/mp4", ".aac": "audio/aac", ".ogg": "audio/ogg",
    ".opus": "audio/ogg", ".flac": "audio/flac", ".weba": "audio/webm", ".mp4": "video/mp4", ".m4v": "video/mp4",
    ".mov": "video/mp4", ".webm": "video/webm", ".mkv": "video/x-matroska", ".3gp": "video/3gpp", ".amr": "audio/amr",
}  # fmt: skip


class Desk:
    """What one server holds: the folder, its open walks, recordings, rooms and jobs."""

    def __init__(self, folder: Path, settings: Settings, listener: Callable[[], Listener] | None) -> None:
        self.folder = folder
        self.settings = replace(settings, out=folder)
        self.vocabulary = run.load_vocabulary(settings)
        self.recordings = Recordings(folder)
        self.jobs = Jobs()
        self.listener = listener or (lambda: _live_listener(self.settings))
        self._walks: dict[str, OpenWalk] = {}
        self._rooms: dict[str, Room] = {}
        self._outlines: dict[str, list[int]] = {}
        self._sounds: dict[tuple[str, str], Path | None] = {}
        self._lock = threading.Lock()

    def folders(self) -> dict[str, Path]:
        """Every folder that holds a walk, by an id of our own: no name from outside ever becomes a path."""
        from pipeline.stock import walk_files

        return {id_of(p.parent.relative_to(self.folder).as_posix()): p.parent for p in walk_files(self.folder)}

    def walk(self, number: str) -> OpenWalk:
        """An open walk. Raises NotFound."""
        with self._lock:
            found = self._walks.get(number)
            if found is None or not found.folder.is_dir():
                self._walks.pop(number, None)
                folder = self.folders().get(number)
                if folder is None:
                    raise NotFound("this walk is no longer there", remedy="Go back to the list of walks.")
                found = self._walks[number] = OpenWalk(folder, self.vocabulary)
            return found

    def room(self, number: str) -> Room:
        """The listening of a recording in the making."""
        self.recordings.about(number)
        with self._lock:
            if number not in self._rooms:
                self._rooms[number] = Room(self.recordings, number, self.listener, self.vocabulary)
            return self._rooms[number]

    def close_room(self, number: str) -> None:
        """Stop listening to a recording."""
        with self._lock:
            room = self._rooms.pop(number, None)
        if room is not None:
            room.close()

    def sound_of(self, walk: OpenWalk) -> Path | None:
        """The recording of a walk, where it lies in a place that the page may look at."""
        source = walk.walk.source
        name = Path(source.file).name
        key = (str(walk.folder), source.sha256)
        if self._sounds.get(key) is not None and self._sounds[key].is_file():  # type: ignore[union-attr]
            return self._sounds[key]
        places = (self.recordings.folder, walk.folder, walk.folder.parent, self.folder, self.folder.parent)
        for place in places:
            path = place / name
            if path.suffix.lower() in PLAYED and path.is_file() and run.sha256_of(path) == source.sha256:
                self._sounds[key] = path
                return path
        return None

    def read(self, path: Path) -> dict[str, Any]:
        """Queue the reading of a recording."""

        def work(progress: run.Progress) -> Any:
            outcomes = run.report(path, settings=self.settings, today=date.today(), progress=progress)
            for o in outcomes:
                _bring_along(path, o.folder)
            with self._lock:
                self._walks.clear()
            return [id_of(o.folder.relative_to(self.folder).as_posix()) for o in outcomes]

        return job_value(self.jobs.add(f"Reading {path.name}", f"read {path}", work))

    def transcript_of(self, root: Path) -> Transcript:
        """The words of a whole recording. Raises NotFound."""
        path = root / "transcript.json"
        if not path.is_file():
            raise NotFound("the words of this recording are not in its folder", remedy="Read the recording again.")
        return run.hear(path, settings=self.settings).transcript

    def cut(self, root: Path) -> dict[str, Any]:
        """Queue the reading of a recording whose cuts were moved."""
        name = root.name

        def work(progress: run.Progress) -> Any:
            recording = next((p for n in self.folders() if (p := self._sound_below(n, root)) is not None), None)
            outcomes = run.read_again(
                root, settings=self.settings, today=date.today(), recording=recording, progress=progress
            )
            with self._lock:
                self._walks.clear()
            return [id_of(o.folder.relative_to(self.folder).as_posix()) for o in outcomes]

        return job_value(self.jobs.add(f"Reading {name} with its new cuts", f"cut {root} {lots.by_hand(root)}", work))

    def _sound_below(self, number: str, root: Path) -> Path | None:
        folder = self.folders().get(number)
        if folder is None or root not in (folder, folder.parent):
            return None
        try:
            return self.sound_of(self.walk(number))
        except TallywalkError:
            return None

    def write(self, number: str) -> dict[str, Any]:
        """Queue the documents of a walk."""
        walk = self.walk(number)

        def work(progress: run.Progress) -> Any:
            progress("checking", 0, 0)
            walk.settled()
            progress("writing", 0, 0)
            transcript = walk.transcript()
            recording = self.sound_of(walk) or walk.folder / "transcript.json"
            heard = run.Heard(recording, walk.walk.source, transcript)
            outcome = run.write_documents(walk.folder, walk.walk, heard, transcript, ())
            return {"kept": list(outcome.kept), "partial": list(outcome.partial)}

        return job_value(self.jobs.add(f"Writing the documents of {walk.folder.name}", f"write {number}", work))


def _live_listener(settings: Settings) -> Listener:
    from pipeline.live import LiveListener

    made: Listener = LiveListener(settings=settings)
    return made


def _bring_along(path: Path, folder: Path) -> None:
    """What was marked and photographed while recording goes to the walk: marks as decisions, pictures as files.

    Of several machines each gets what was marked and photographed while it was spoken of.
    """
    from pipeline.decisions import append, new, read_decisions
    from pipeline.web.recordings import events_in

    with_it = path.with_suffix(".with")
    root = lots.whole_of(folder)
    cuts, number = lots.kept(root), int(folder.name) if folder != root else 1
    have = {d.at for d in read_decisions(folder) if d.act == "mark"}
    for event in events_in(with_it):
        try:
            at = float(event["at"])
        except (KeyError, TypeError, ValueError):
            continue
        if cuts and lots.machine_at(cuts, at) != number:
            continue
        if event.get("kind") == "mark" and at not in have:
            append(folder, new("mark", who="while recording", at=at, why="look at this again"))
        picture = with_it / "pictures" / Path(str(event.get("file", ""))).name
        if event.get("kind") == "picture" and picture.is_file():
            (folder / "photos").mkdir(mode=0o700, exist_ok=True)
            if not (folder / "photos" / picture.name).exists():
                shutil.copyfile(picture, folder / "photos" / picture.name)


def id_of(name: str) -> str:
    """The id of a folder by its name under the folder of walks."""
    return hashlib.sha256(name.encode()).hexdigest()[:12]


def job_value(job: Any) -> dict[str, Any]:
    """A job as plain values."""
    return {k: (short(v) if isinstance(v, str) else v) for k, v in asdict(job).items() if k != "key"}
