"""One recording while it is made: the listening engine fed as sound arrives, and what its words add up to so far.

The engine is handed in (pipeline.live.LiveListener, or another of that shape). Whatever happens to it, the sound is on
the disk already; its fault is shown and recording goes on.
"""

from __future__ import annotations

import contextlib
import logging
import threading
import time
from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass, replace
from datetime import date
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from extractors.words import Stretch, Transcript, Word
from pipeline import run
from pipeline.coverage import doubting
from pipeline.errors import NotFound, TallywalkError
from pipeline.hearing_plan import Span
from pipeline.walk import Source, Walk
from pipeline.web.asked import clock
from pipeline.web.recordings import RATE, Recordings
from pipeline.web.rows import findings_of, rows_of, short, title_of
from vocab import Vocabulary

LOG = logging.getLogger(__name__)
PAUSE = 5.0
"""Seconds without a word after which a line that is described only in part is told as a conflict; until then the rest
is still to come. People pause that long when they walk on. Chosen, no source."""
SURE = 1.0
"""Seconds of lag up to which the listener has just looked and found no speech."""
APART = 3.0
"""Seconds between two stretches of speech without words that are told as two. Chosen, no source."""
LEFT = 30.0
"""Seconds after the last station was named that have the same effect, where the speaker goes on about other things."""


class Heard(Protocol):
    """What one piece of sound brought."""

    @property
    def settled(self) -> tuple[Word, ...]:
        """Words that settled now; they follow all before."""
        ...

    @property
    def pending(self) -> str:
        """What has been said since, as it looks now."""
        ...

    @property
    def lag(self) -> float:
        """Seconds between the last settled word, or the last moment known to be quiet, and the end of the sound."""
        ...


class Listener(Protocol):
    """Pieces of 16 kHz mono sound in, in order; words out, with seconds from the first piece."""

    def feed(self, samples: NDArray[np.float32]) -> Heard: ...

    def unheard(self) -> tuple[Stretch, ...]:
        """Speech so far that got no words."""
        ...


@dataclass(frozen=True)
class State:
    """What the page is told; sent whole, because it is small and a page may come and go."""

    version: int = 0
    words: tuple[Word, ...] = ()
    pending: str = ""
    facts: tuple[dict[str, Any], ...] = ()
    findings: tuple[dict[str, Any], ...] = ()
    title: str = ""
    behind: float = 0.0
    """Seconds of sound that are not listened to yet."""
    fault: str = ""
    remedy: str = ""


class Room:
    """Feeds one recording to one listener in a thread of its own."""

    def __init__(
        self,
        recordings: Recordings,
        number: str,
        listener: Callable[[], Listener],
        vocabulary: Vocabulary,
        today: Callable[[], date] = date.today,
    ) -> None:
        self._recordings = recordings
        self._number = number
        self._make = listener
        self._vocabulary = vocabulary
        self._today = today
        self._changed = threading.Condition()
        self._more = threading.Event()
        self._over = False
        self.state = State()
        self._walk: Walk | None = None
        self._told: set[str] = set()
        self._quiet_at = 0.0
        self._unheard: tuple[tuple[float, float], ...] = ()
        self._thread = threading.Thread(target=self._run, name="tallywalk-live", daemon=True)
        self._thread.start()

    def sound_came(self) -> None:
        """There is more sound on the disk."""
        self._more.set()

    def close(self) -> None:
        """Stop listening; the recording itself is not touched."""
        self._over = True
        self._more.set()

    def after(self, version: int, timeout: float) -> State:
        """The state as soon as it is newer than version, or as it is after a while."""
        with self._changed:
            self._changed.wait_for(lambda: self.state.version > version or self._over, timeout)
            return self.state

    def _tell(self, **changes: Any) -> None:
        with self._changed:
            fields = {f: getattr(self.state, f) for f in State.__dataclass_fields__} | changes
            self.state = State(**{**fields, "version": self.state.version + 1})
            self._changed.notify_all()

    def _run(self) -> None:
        try:
            listener = self._make()
        except TallywalkError as error:
            self._tell(fault=f"Words cannot be shown while you speak: {error}", remedy=error.remedy)
            return
        except Exception as error:
            self._tell(fault=f"Words cannot be shown while you speak: {type(error).__name__}", remedy="")
            return
        # after a restart of the program: go on where the words that were kept end
        words = self._recordings.words(self._number)
        began = words[-1].end if words else 0.0
        at, read, next_read, next_look = round(began * RATE) * 2, 0, 0.0, 0.0
        if words:
            self._tell(words=words)
        while not self._over:
            self._more.wait(1.0)
            self._more.clear()
            try:
                size = self._recordings.size(self._number)
                # at most five seconds a step, so that the page hears of words while a backlog is worked off
                data = self._recordings.sound(self._number, at, min(size, at + 5 * RATE * 2))
            except NotFound:
                return
            now = time.monotonic()
            if data:
                at += len(data)
                samples = np.frombuffer(data, dtype="<i2").astype(np.float32) / np.float32(32768.0)
                try:
                    heard = listener.feed(samples)
                except Exception as error:
                    LOG.exception("the listening engine failed")
                    self._tell(fault=f"Listening stopped ({type(error).__name__}); recording goes on.", remedy="")
                    return
                if now >= next_look:
                    next_look = now + 3.0
                    self._unheard = tuple((s.start + began, s.end + began) for s in listener.unheard())
                fresh = tuple(replace(w, start=w.start + began, end=w.end + began) for w in heard.settled)
                words += fresh
                self._keep(fresh)
                if heard.lag <= SURE and not heard.pending:
                    self._quiet_at = at / 2 / RATE
                behind = max(0.0, (size - at) / 2 / RATE)
                if fresh or heard.pending != self.state.pending or abs(behind - self.state.behind) > 1:
                    self._tell(words=words, pending=short(heard.pending), behind=behind)
                if size > at:
                    self._more.set()
            self._judge(words, at / 2 / RATE)
            now = time.monotonic()
            if len(words) != read and now >= next_read:
                read = len(words)
                self._read(words, at / 2 / RATE)
                # a long walk takes longer to read; never more than a third of the time goes into it
                next_read = time.monotonic() + max(1.0, 2 * (time.monotonic() - now))
            elif len(words) != read:
                self._more.set()
                time.sleep(min(0.2, next_read - now))

    def _keep(self, fresh: tuple[Word, ...]) -> None:
        """Settled words on the disk, for a restart; without them only the lists on the page begin anew."""
        with contextlib.suppress(TallywalkError):
            self._recordings.add_words(self._number, fresh)

    def _read(self, words: tuple[Word, ...], duration: float) -> None:
        source = Source("recording", "0" * 64, "audio", duration)
        try:
            heard = Transcript(doubting(words, told=[Span(*s) for s in self._unheard]), duration=duration, model="live")
            walk = run.read_words(heard, self._vocabulary, source, self._today())
        except Exception as error:
            LOG.exception("the words so far could not be read")
            self._tell(fault=f"The words so far could not be read ({type(error).__name__}); recording goes on.")
            return
        self._walk = walk
        facts = tuple(facts_of(walk))
        self._tell(facts=facts, findings=self._findings(words, duration), title=title_of(walk), fault="")

    def _judge(self, words: tuple[Word, ...], now: float) -> None:
        """Tell again where time alone has turned something still to come into a conflict."""
        findings = self._findings(words, now)
        if findings != self.state.findings:
            self._tell(findings=findings)

    def _findings(self, words: tuple[Word, ...], now: float) -> tuple[dict[str, Any], ...]:
        unheard = lost(self._unheard)
        if self._walk is None:
            return tuple(unheard)
        quiet = bool(words) and self._quiet_at - words[-1].end >= PAUSE
        named = [e.end for s in self._walk.sequences for x in s.stations for e in x.evidence]
        over = quiet or now - max(named, default=now) >= LEFT
        lines = {f.id for f in self._walk.findings if any(n.startswith("sequence:") for n in f.facts)}
        out = []
        for f in findings_of(self._walk):
            grave = f["level"] == "conflict" or (f["level"] == "check" and f["id"] in lines)
            if grave and f["id"] in lines and not over and f["id"] not in self._told:
                f = {**f, "level": "missing"}
            elif grave:
                self._told.add(f["id"])  # once told it stays until its facts change
            # what is worth a tone: it can be looked at again while one still stands there
            out.append({**f, "signal": grave and f["level"] != "missing"})
        return (*out, *unheard)


def lost(stretches: Iterable[tuple[float, float]]) -> list[dict[str, Any]]:
    """Speech without words, as findings: one for what lies close together, in words that stay while it grows."""
    joined: list[tuple[float, float]] = []
    for start, end in sorted(stretches):
        if joined and start - joined[-1][1] < APART:
            joined[-1] = joined[-1][0], max(end, joined[-1][1])
        else:
            joined.append((start, end))
    return [
        {
            "id": f"unheard {start:.1f}",
            "level": "check",
            "title": "Not understood",
            "message": f"What was said at {clock(start)} was not understood. Say it again, nearer to the microphone.",
            "where": "",
            "at": start,
            "end": end,
            "offers": [],
            "signal": True,
        }
        for start, end in joined
    ]


def facts_of(walk: Walk) -> list[dict[str, Any]]:
    """Facts for the list that grows while one speaks, the last one first."""
    rows = [r for r in rows_of(walk) if r.status != "withdrawn"]
    keep = ("ref", "kind", "name", "value", "doubt", "at")
    return [{k: v for k, v in asdict(r).items() if k in keep} for r in reversed(rows)]


def message_of(state: State, words_sent: int) -> dict[str, Any]:
    """What goes to a page that has so many words already."""
    fresh = state.words[words_sent:] if words_sent <= len(state.words) else state.words
    return {
        "version": state.version,
        "from": words_sent if words_sent <= len(state.words) else 0,
        "words": [[short(w.text), round(w.start, 2), round(w.end, 2), bool(w.doubt)] for w in fresh],
        "pending": state.pending,
        "facts": list(state.facts[:400]),
        "findings": list(state.findings),
        "title": state.title,
        "behind": round(state.behind, 1),
        "fault": state.fault,
        "remedy": state.remedy,
    }
