"""One walk that is open on the page: its facts, what people decide, and the checks that follow.

A decision is on the disk before the page is told so; the facts it touches are shown at once, the checks and walk.json
follow in a thread. Two tabs, two people and other processes may work on one walk: the decisions file is the truth, and
a decision about a fact that no longer stands as it was shown is refused.
"""

from __future__ import annotations

import json
import secrets
import threading
import time
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

from extractors.words import Transcript
from pipeline import run
from pipeline.decisions import FILE, append, new, read_decisions
from pipeline.errors import DecisionError, NotFound, TallywalkError
from pipeline.review import Decision, apply, extend, locate, standing, unapply
from pipeline.settings import Settings
from pipeline.walk import Finding, Walk, to_dict
from pipeline.web.rows import Made, Row, rows_of, unit_spelling
from vocab import Vocabulary

CALM = 0.25
"""Seconds without a decision after which the checks run."""

SHOWN = 40
"""Versions of the facts that are remembered, so that a page is sent what differs and not all."""


class Stale(DecisionError):
    """The fact is no longer as the page showed it."""

    remedy = "Somebody else settled it meanwhile; look at what it says now."


class OpenWalk:
    """One walk; every method may be called from any thread."""

    def __init__(self, folder: Path, vocabulary: Vocabulary, today: Callable[[], date] = date.today) -> None:
        self.folder = folder
        self._vocabulary = vocabulary
        self._today = today
        self._lock = threading.RLock()
        self._wake = threading.Condition(self._lock)
        self._thread: threading.Thread | None = None
        self._stamp: tuple[Any, ...] = ()
        self._transcript: Transcript | None = None
        self._rows: tuple[Row, ...] = ()
        self._rows_of: Walk | None = None
        self._made: Made = {}
        self._shown: dict[int, tuple[Row, ...]] = {}
        # counted from a number of its own, so that a page which outlived a restart is never thought to be up to date
        self.version = secrets.randbelow(1 << 31) << 20
        self.checked = self.version
        """The version that the findings belong to."""
        self.fault = ""
        """Why walk.json could not be written; empty where it could."""
        self._load()

    # --------------------------------------------------------------------------------------------------- reading

    @property
    def walk(self) -> Walk:
        """As it stands, read again where another process changed it. Raises NotFound, WalkError, DecisionError."""
        with self._lock:
            if self._now() != self._stamp:
                self._load()
            return self._walk

    def current_version(self) -> int:
        """The version as it is now, changes by other processes included."""
        with self._lock:
            _ = self.walk
            return self.version

    @property
    def rows(self) -> tuple[Row, ...]:
        """All facts."""
        with self._lock:
            walk = self.walk
            if self._rows_of is not walk:
                self._rows, self._rows_of = rows_of(walk, self._made), walk
            # as they were first shown: marks that a check sets later differ from them
            self._shown.setdefault(self.version, self._rows)
            while len(self._shown) > SHOWN:
                del self._shown[min(self._shown)]
            return self._rows

    def rows_at(self, version: int) -> tuple[Row, ...] | None:
        """The facts as a page with this version has them; None where that is not known."""
        with self._lock:
            return self._shown.get(version)

    def transcript(self) -> Transcript:
        """The words; empty where they are missing."""
        with self._lock:
            if self._transcript is None:
                path = self.folder / "transcript.json"
                try:
                    self._transcript = run.hear(path, settings=Settings()).transcript
                except TallywalkError:
                    return Transcript(())
            return self._transcript

    def _now(self) -> tuple[Any, ...]:
        def stamp(path: Path) -> Any:
            try:
                status = path.stat()
            except OSError:
                return None
            return status.st_mtime_ns, status.st_size

        return stamp(self.folder / "walk.json"), stamp(self.folder / FILE)

    def _load(self) -> None:
        if not self.folder.is_dir():
            raise NotFound(f"{self.folder.name}: the folder of this walk is gone", remedy="Put it back, or go on.")
        self._stamp = self._now()
        walk = run.read_walk(self.folder / "walk.json")
        self._decisions = read_decisions(self.folder)
        self._rows_of = None
        self._transcript = None
        self.version += 1
        self.checked = self.version
        self._walk = walk
        if [d.id for d in walk.decided] != [d.id for d in _applied(self._decisions)]:
            # the server was killed between a decision and walk.json, or a workbook was filled in
            self._walk = apply(unapply(walk, self._decisions), self._decisions)
            self.version += 1  # its findings are yet to come
            self._check_soon()

    # -------------------------------------------------------------------------------------------------- deciding

    def decide(self, asked: Mapping[str, Any], who: str) -> Decision:
        """One decision, kept and applied. Raises DecisionError (what cannot be), Stale, OutputError."""
        with self._lock:
            walk = self.walk
            decision = self._decision(walk, asked, who)
            append(self.folder, decision)
            self._stamp = (self._stamp[0], self._now()[1])
            self._walk = extend(walk, self._decisions, decision)
            self._decisions = (*self._decisions, decision)
            self.version += 1
            self._check_soon()
            return decision

    def _decision(self, walk: Walk, asked: Mapping[str, Any], who: str) -> Decision:
        act, ref, why = asked.get("act"), asked.get("ref", ""), asked.get("why", "")
        changes = asked.get("set") or {}
        if not (isinstance(act, str) and isinstance(ref, str) and isinstance(why, str) and isinstance(changes, dict)):
            raise DecisionError("this is no decision")
        at = asked.get("at")
        at = float(at) if isinstance(at, int | float) and not isinstance(at, bool) else None
        changes = self._units(changes)
        if act == "add":
            kind = str(asked.get("kind", ""))
            if kind not in ("quantity", "component", "station", "identity"):
                raise DecisionError("a figure, a piece of equipment, a station or a field of the identity can be added")
            sequence = {"sequence": walk.sequences[0].name} if kind == "station" and walk.sequences else {}
            return new(act, who=who, kind=kind, fact=sequence, changes=changes, why=why, at=at)
        if act == "accept":
            return self._accepted(walk, ref, asked.get("offer"), who, why)
        if act not in ("change", "confirm", "withdraw", "settle"):
            raise DecisionError(f"there is no decision {act[:40]!r}")
        kind, fact = locate(walk, ref)
        if (kind == "finding") != (act == "settle"):
            raise DecisionError("findings are settled, facts are confirmed, changed or withdrawn")
        if act == "settle" and not why.strip():
            raise DecisionError("a finding is settled with a reason", remedy="Write the reason in a few words.")
        if act == "change" and not changes:
            raise DecisionError("nothing was changed")
        seen = asked.get("seen")
        now = next((r.seen for r in self.rows if r.ref == ref), None)
        if kind != "finding" and seen is not None and seen != now:
            raise Stale("this fact is no longer as the page showed it")
        return new(act, who=who, kind=kind, fact=fact, changes=changes, why=why)

    def _units(self, changes: Mapping[str, Any]) -> dict[str, Any]:
        out = dict(changes)
        if isinstance(out.get("unit"), str):
            spelling = unit_spelling(out["unit"], self._vocabulary)
            if spelling is None:
                raise DecisionError(f"the unit {out['unit'][:40]!r} is not known", remedy="Write it out: foot, gallon.")
            out["unit"] = spelling
        return out

    def _accepted(self, walk: Walk, ref: str, offer: Any, who: str, why: str) -> Decision:
        finding: Finding | None = next((f for f in walk.findings if f.id == ref), None)
        if finding is None or not isinstance(offer, int) or not 0 <= offer < len(finding.offers):
            raise Stale("this offer is no longer there")
        chosen = finding.offers[offer]
        kind, fact = locate(walk, chosen.fact)
        value: Any = chosen.value
        changes: dict[str, Any]
        if kind == "quantity":
            changes = {"value": float(value), "unit": chosen.unit}
        elif kind == "component":
            changes = {"count": int(value)}
        else:
            changes = {"stated_count": int(value)} if kind == "sequence" else {"number": int(value)}
        return new("accept", who=who, kind=kind, fact=fact, changes=changes, why=why or chosen.why)

    def undo(self, who: str) -> str:
        """Take back the last decision that stands, whoever made it; its sentence. Raises DecisionError."""
        from pipeline.review import describe

        with self._lock:
            walk = self.walk
            applied = _applied(self._decisions)
            if not applied:
                raise DecisionError("there is nothing to take back", remedy="")
            line = new("undo", who=who, of=applied[-1].id)
            append(self.folder, line)
            self._stamp = (self._stamp[0], self._now()[1])
            bare = unapply(walk, self._decisions)
            settled = tuple(d.finding for d in walk.decided if d.id == line.of and d.finding is not None)
            self._decisions = (*self._decisions, line)
            # until the checks have run again, a settled finding that was brought back stands as it was
            self._walk = apply(replace(bare, findings=(*walk.findings, *settled)), self._decisions)
            self.version += 1
            self._check_soon()
            return describe(applied[-1])

    def mark(self, at: float, why: str, who: str) -> None:
        """A moment to look at again."""
        with self._lock:
            line = new("mark", who=who, at=at, why=why)
            append(self.folder, line)
            self._stamp = (self._stamp[0], self._now()[1])
            self._decisions = (*self._decisions, line)

    def marks(self) -> tuple[Decision, ...]:
        """Moments to look at again, in the order of the recording."""
        with self._lock:
            found = (d for d in standing(self._decisions) if d.act == "mark" and d.at is not None)
            return tuple(sorted(found, key=lambda d: d.at or 0.0))

    # -------------------------------------------------------------------------------------------------- checking

    def _check_soon(self) -> None:
        if self._thread is None or not self._thread.is_alive():
            self._thread = threading.Thread(target=self._check_all, name="tallywalk-check", daemon=True)
            self._thread.start()

    def _check_all(self) -> None:
        while True:
            # the answer to the page goes first: a check of a thousand facts takes the processor for a second
            with self._lock:
                before = self.version
            time.sleep(CALM)
            with self._lock:
                walk, decisions, version = self._walk, self._decisions, self.version
                if version != before:
                    continue
            fault = ""
            try:
                checked = run.settle(walk, self._vocabulary, self._today(), None)
                done = apply(replace(checked, decided=walk.decided), decisions)
            except Exception as error:  # the decision is kept whatever a check does
                done, fault = walk, f"the checks failed: {type(error).__name__}"
            with self._wake:
                if version != self.version:
                    continue
                self._walk, self.checked = done, version
                self.fault = fault or self._save(done)
                self._wake.notify_all()
                self._thread = None
                return

    def _save(self, walk: Walk) -> str:
        try:
            if not self.folder.is_dir():
                return "the folder of this walk is gone"
            text = json.dumps(to_dict(walk), indent=1, ensure_ascii=False) + "\n"
            run.write_whole(self.folder / "walk.json", text)
            self._stamp = self._now()
        except TallywalkError as error:
            return str(error)
        return ""

    def settled(self, timeout: float = 30.0) -> bool:
        """Wait until the findings belong to the facts; False where that took longer."""
        with self._wake:
            return self._wake.wait_for(lambda: self.checked == self.version, timeout)


def _applied(decisions: tuple[Decision, ...]) -> list[Decision]:
    """Decisions of which Walk.decided tells."""
    return [d for d in standing(decisions) if d.act in ("change", "confirm", "withdraw", "add", "settle", "accept")]
