"""Several machines in one recording: where a person set the cuts, and what was decided goes along when a cut moves.

A cut set by hand is a line in decisions.jsonl of the recording's folder (act "cut", {"cuts": [seconds], "back": [...]}:
behind which cut the speaker goes back to which earlier part), the last that stands counts. Machines have folders 01, 02
… in it; a recording of one machine has all in its own folder. Moving a cut deals what people decided to the machines
whose words it is about, and puts aside what belongs to no machine any more.
"""

from __future__ import annotations

import json
import math
import os
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import takewhile
from pathlib import Path
from typing import Any

from pipeline.decisions import FILE, append, new, read_decisions
from pipeline.errors import DecisionError, OutputError, UsageError
from pipeline.review import Decision, standing
from pipeline.whole import private_folder

LOTS = "lots.json"
NUMBERED = re.compile(r"\d{2,3}")
EARLIER = "earlier"
"""Folder in which documents lie that belong to cuts that were moved since."""
STAYS = ("transcript.json", "transcript.vtt", "transcript.txt", LOTS, FILE, "made.json", "photos", "visits", EARLIER)
"""What belongs to the recording and not to a machine in it."""
MOST = 200
"""Cuts of one recording; a slip of the hand makes no thousand folders."""


@dataclass(frozen=True, slots=True)
class Cut:
    """Where the speaker moves on."""

    at: float
    """Second of the recording."""
    back: int | None = None
    """Number of the earlier part (0 is the first) that goes on here; None for another machine."""
    why: str = ""
    """The words that opened it, or "set by hand"."""


@dataclass(frozen=True, slots=True)
class Place:
    """One machine's folder and the seconds of the recording that are about it."""

    folder: Path
    spans: tuple[tuple[float, float], ...]

    def holds(self, second: float) -> bool:
        """Whether what is said at a second is about this machine."""
        return any(a <= second < b for a, b in self.spans)


def whole_of(folder: Path) -> Path:
    """The folder of the recording that a machine's folder belongs to; the folder itself where it holds one machine."""
    return folder.parent if NUMBERED.fullmatch(folder.name) and (folder.parent / LOTS).is_file() else folder


def by_hand(folder: Path) -> tuple[Cut, ...] | None:
    """Cuts that a person set; None where none did. () is one machine. Raises DecisionError."""
    set_ = [c for d in standing(read_decisions(folder)) if d.act == "cut" and (c := _cuts(d.set)) is not None]
    if set_:
        return set_[-1]
    data = _lots(folder)  # as it was kept before cuts were lines of the decisions file
    return _cuts(data) if data.get("by") == "hand" else None


def kept(folder: Path) -> tuple[Cut, ...]:
    """Cuts as the last run made them, by hand or by the words."""
    return _cuts(_lots(folder)) or ()


def keep(folder: Path, cuts: Iterable[Cut], *, who: str, why: str = "") -> None:
    """Add the line that sets the cuts; the same cuts again add nothing. Raises OutputError, DecisionError."""
    wanted = {round(float(c.at), 2): c.back for c in cuts}
    at = sorted(wanted)
    asked: dict[str, list[Any]] = {"cuts": at, "back": [wanted[c] for c in at]}
    if _cuts(asked) is None:
        raise DecisionError(f"these are no cuts of a recording: at most {MOST}, each going back to an earlier part")
    before = by_hand(folder)
    if before is not None and [(c.at, c.back) for c in before] == [(c, wanted[c]) for c in at]:
        return
    try:
        private_folder(folder)
    except OSError as error:
        raise OutputError(f"{folder}: cannot be made ({error.strerror})") from error
    append(folder, new("cut", who=who, why=why, changes=asked))


def note(cuts: tuple[Cut, ...], *, hand: bool) -> str:
    """What lots.json says."""
    by = "hand" if hand else "words"
    data = {"cuts": [c.at for c in cuts], "back": [c.back for c in cuts], "by": by, "why": [c.why for c in cuts]}
    return json.dumps(data, ensure_ascii=False) + "\n"


def numbers_of(cuts: Iterable[Cut]) -> list[int]:
    """Number, from 1, of the machine of each part: of the first, then of the one behind each cut."""
    numbers = [1]
    for cut in cuts:
        numbers.append(numbers[cut.back] if cut.back is not None else max(numbers) + 1)
    return numbers


def machine_at(cuts: tuple[Cut, ...], second: float) -> int:
    """Number, from 1, of the machine that is spoken of at a second."""
    return numbers_of(takewhile(lambda c: c.at <= second + 0.01, cuts))[-1]


def numbered(cuts: Iterable[tuple[float, int | None]]) -> tuple[Cut, ...]:
    """Cuts from seconds, each with the number of the machine that goes on there (None: another machine).

    Raises UsageError where a machine is named that was not told of before.
    """
    numbers, made = [1], []
    for at, number in sorted(cuts, key=lambda c: c[0]):
        if number is not None and number not in numbers:
            raise UsageError(f"--cuts: machine {number} was not told of before {at:g} s")
        made.append(Cut(at, None if number is None else numbers.index(number)))
        numbers.append(max(numbers) + 1 if number is None else number)
    return tuple(made)


def deal(folder: Path, places: tuple[Place, ...]) -> None:
    """Give each machine the decisions about what is said of it, before it is read.

    A line is never taken out of a file: it is undone where it was and added where it belongs. What was said at no
    second (written by hand) stays where it was, or goes to the first machine where that folder is no more.
    """
    for old in _machines(folder):
        stays = next((p for p in places if p.folder == old), None)
        for d in standing(read_decisions(old)):
            if d.act == "cut":
                continue
            at = moment(d)
            home = next((p for p in places if at is not None and p.holds(at)), stays or places[0])
            if home.folder == old:
                continue
            private_folder(home.folder)
            there = standing(read_decisions(home.folder))
            if not any(_same(d, x) for x in there):
                append(home.folder, replace(d, id=new("mark", who=d.who).id))
            append(old, new("undo", who=d.who, of=d.id, why=f"moved to {home.folder.name} with a cut"))
        if stays is None and places:
            _visits_along(old / "visits", places[0].folder / "visits")


def _visits_along(old: Path, home: Path) -> None:
    """Later visits go to the first machine: nobody said which one they are about."""
    for path in sorted(old.glob("*.json")):
        private_folder(home)
        number = len(list(home.glob("*.json"))) + 1
        os.replace(path, home / f"{number:03d}-{path.stem.partition('-')[2] or 'visit'}.json")


def put_aside(folder: Path, places: tuple[Place, ...]) -> Path | None:
    """Move what no machine has any more into `earlier`; nothing is deleted. Raises OutputError."""
    gone = [f for f in _machines(folder) if f not in {p.folder for p in places}]
    if not gone:
        return None
    aside = folder / EARLIER / f"{datetime.now():%Y-%m-%d %H-%M-%S}"
    try:
        private_folder(aside)
        for old in gone:
            if old == folder:
                for path in sorted(old.iterdir()):
                    if path.name not in STAYS and not path.name.startswith(".") and not NUMBERED.fullmatch(path.name):
                        os.replace(path, aside / _unlisted(path.name))
            else:
                os.replace(old, aside / old.name)
                if (aside / old.name / "walk.json").is_file():
                    os.replace(aside / old.name / "walk.json", aside / old.name / _unlisted("walk.json"))
    except OSError as error:
        raise OutputError(
            f"{aside}: what belongs to the cuts before cannot be moved there ({error.strerror})",
            remedy="Free some space or allow writing, then read the recording again.",
        ) from error
    return aside


def _unlisted(name: str) -> str:
    """A name under which no list of walks finds it."""
    return "walk-as-it-was.json" if name == "walk.json" else name


def _machines(folder: Path) -> list[Path]:
    """Folders that hold a machine of this recording now."""
    found = [folder, *sorted(p for p in folder.glob("[0-9]*") if NUMBERED.fullmatch(p.name))]
    return [p for p in found if (p / "walk.json").is_file() and not p.is_symlink()]


def moment(d: Decision) -> float | None:
    """Second of the recording that a decision is about; None where it is about none, or one of another recording."""
    starts = [
        float(e["start"])
        for e in d.fact.get("evidence") or ()
        if isinstance(e, Mapping) and e.get("recording") is None and isinstance(e.get("start"), int | float)
    ]
    return min(starts, default=d.at)


def _same(a: Decision, b: Decision) -> bool:
    return (a.act, a.kind, a.fact, a.set, a.why, a.at, a.when) == (b.act, b.kind, b.fact, b.set, b.why, b.at, b.when)


def _lots(folder: Path) -> dict[str, Any]:
    try:
        data = json.loads((folder / LOTS).read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return {}
    return data if isinstance(data, dict) else {}


def _cuts(value: Mapping[str, Any]) -> tuple[Cut, ...] | None:
    """Cuts as plain values give them; None where they are none."""
    at, back, why = value.get("cuts"), value.get("back"), value.get("why")
    if not isinstance(at, list) or len(at) > MOST:
        return None
    if any(isinstance(c, bool) or not isinstance(c, int | float) or not math.isfinite(c) or c < 0 for c in at):
        return None
    backs = back if isinstance(back, list) and len(back) == len(at) else [None] * len(at)
    for i, b in enumerate(backs):
        if b is not None and (isinstance(b, bool) or not isinstance(b, int) or not 0 <= b <= i):
            return None
    whys = why if isinstance(why, list) and len(why) == len(at) else [""] * len(at)
    return tuple(Cut(float(c), b, str(w)[:200]) for c, b, w in zip(at, backs, whys, strict=True))
