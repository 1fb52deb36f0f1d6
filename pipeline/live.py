"""Sound as it arrives to words: settled ones, which no longer change, and a pending text that still may.

A word settles when two hearings in a row give it in the same place, or when a pause follows it. The window that is
heard again and again begins a few seconds before the last settled word, so that a cut never falls within a word.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from extractors.words import Stretch, Word
from pipeline.coverage import Hearing, disbelieved, not_understood, without_echoes
from pipeline.errors import TallywalkError
from pipeline.hearing_plan import FRAME, PlanOptions, Span, key
from pipeline.media import RATE, Samples
from pipeline.muffled import SAMPLES, Tone, band_power
from pipeline.settings import Settings
from pipeline.speech import Ear, ear_for

STEP = 1.4
"""Seconds of new sound after which the window is heard again."""
CONTEXT = 4.0
"""Seconds before the last settled word that are heard with it."""
OLDEST = 3.6
"""Seconds after which a word settles as it stands; with a step and the time of a hearing the lag stays under 6 s."""
PAUSE = 0.7
"""Seconds of quiet after which everything said before is settled."""
PASSED_OVER = 0.7
"""Seconds of speech after the last word that are a phrase without words, and no breath or echo. Chosen, no source."""
LEAD = 0.2
"""Seconds before the last settled word from which a window is heard once more, where it gave nothing to believe."""
APART = 0.5
"""Seconds that such a window must be shorter, so that it is worth hearing."""
TAIL = 0.8
"""A word that ends closer than this to the end of the sound may be half a word."""


@dataclass(frozen=True, slots=True)
class LiveWords:
    """What one piece of sound brought."""

    settled: tuple[Word, ...]
    """Words that settled now; they follow all that settled before."""
    pending: str
    """What has been said since, as it looks now."""
    lag: float
    """Seconds between the last settled word, or the last pause, and the end of the sound."""


class LiveListener:
    """Feed it pieces of 16 kHz mono floats in order; not thread-safe, hearing happens inside feed and finish."""

    def __init__(self, *, settings: Settings | None = None, ear: Ear | None = None) -> None:
        self._ear = ear if ear is not None else ear_for(settings or Settings())
        self._voice: Callable[[Samples], NDArray[np.float32]] = self._ear.activity()
        self._buffer = np.zeros(0, np.float32)
        self._begin = 0.0
        """Seconds of the recording at which the buffer begins."""
        self._activity = np.zeros(0, np.float32)
        self._first_frame = 0
        """Number of the frame that the activity begins with."""
        self._settled_to = 0.0
        self._last: Word | None = None
        self._before: tuple[Word, ...] = ()
        self._heard_to = 0.0
        self._cost = 0.0
        self._beam = 3
        self._blank = 0
        """Hearings in a row that gave no word."""
        self._voices: list[NDArray[np.float32]] = []
        self._bands: list[NDArray[np.float32]] = []
        self._rest = np.zeros(0, np.float32)
        """Sound behind the last whole frame of the bands."""
        self._words: list[Word] = []

    @property
    def seconds(self) -> float:
        """Seconds of sound that came so far."""
        return self._begin + len(self._buffer) / RATE

    def feed(self, samples: Samples) -> LiveWords:
        """The next piece of sound, of any length. Raises EngineError where the recogniser fails."""
        samples = np.nan_to_num(np.asarray(samples, dtype=np.float32).reshape(-1))
        self._buffer = np.concatenate([self._buffer, samples])
        voice = self._voice(samples)
        self._activity = np.concatenate([self._activity, voice])
        self._voices.append(voice)
        self._measure(samples)
        if self.seconds - self._heard_to < max(STEP, 1.5 * self._cost):
            return LiveWords((), self._pending(), self._lag())
        return self._again(final=False)

    def unheard(self, *, wait: float = 6.0) -> tuple[Stretch, ...]:
        """Speech that got no words, or guesses for words, in all that is older than wait seconds: to be said again."""
        frames = int(max(0.0, min(self._settled_to, self.seconds - wait)) / FRAME)
        voices = np.concatenate([np.zeros(0, np.float32), *self._voices])[:frames]
        bands = np.concatenate([np.zeros((0, 2), np.float32), *self._bands])[:frames]
        return not_understood(Tone(voices, bands), self._words, PlanOptions())

    def _measure(self, samples: Samples) -> None:
        """The power of two bands in the whole frames that have come."""
        self._rest = np.concatenate([self._rest, samples])
        n = len(self._rest) // SAMPLES
        frames, self._rest = self._rest[: n * SAMPLES], self._rest[n * SAMPLES :].copy()
        self._bands.append(band_power(frames.reshape(n, SAMPLES)))

    def finish(self) -> LiveWords:
        """No more sound: everything settles."""
        return self._again(final=True)

    def _again(self, *, final: bool) -> LiveWords:
        end = self.seconds
        self._heard_to = end
        if not self._speech_since(self._settled_to):
            self._before = ()
            self._settled_to = max(self._settled_to, end - TAIL)
            self._forget()
            return LiveWords((), "", self._lag())
        began = time.monotonic()
        words = self._hear()
        self._cost = time.monotonic() - began
        count = len(words) if final else self._how_many_settle(words, end)
        settled, rest = words[:count], words[count:]
        self._words += settled
        if settled:
            self._last = settled[-1]
            self._settled_to = settled[-1].end
        self._blank = 0 if words else self._blank + 1
        passed_over = self._speech_since(self._settled_to + 0.3, least=PASSED_OVER)
        if not rest and self._quiet_at_end() >= PAUSE and ((settled and not passed_over) or self._blank >= 3):
            # a last sound after the last word would else be heard again for as long as the pause lasts; a whole phrase
            # that a hearing passed over is heard again with what follows
            self._settled_to = max(self._settled_to, end - TAIL)
        if final:
            self._settled_to = end
        self._before = rest
        self._forget()
        return LiveWords(settled, " ".join(w.text for w in rest), self._lag())

    def _hear(self) -> tuple[Word, ...]:
        """The words after the last settled one, in seconds of the recording."""
        hearing, start = self._believed(self._begin), self._begin
        if hearing is None and (start := self._settled_to - LEAD) - self._begin >= APART:
            # with its context a window may send the recogniser round in circles; without it, it seldom does
            hearing = self._believed(start)
        if hearing is None:
            return ()
        words = [replace(w, start=round(w.start + start, 2), end=round(w.end + start, 2)) for w in hearing.words]
        fresh = [w for w in words if (w.start + w.end) / 2 > self._settled_to]
        if fresh and self._last is not None:
            same = key(fresh[0].text) == key(self._last.text)
            if same and fresh[0].start < self._settled_to + 0.25:
                fresh = fresh[1:]
        return tuple(fresh)

    def _believed(self, start: float) -> Hearing | None:
        """What is heard from a second of the recording on; None where it is no speech or goes round in circles."""
        samples = self._buffer[int((start - self._begin) * RATE) :]
        hearing = without_echoes(self._ear.hear([samples], beam=self._beam)[0])
        frames = self._activity[max(0, int(start / FRAME) - self._first_frame) :]
        return None if disbelieved(hearing, frames, Span(0.0, len(samples) / RATE)) else hearing

    def _how_many_settle(self, words: tuple[Word, ...], end: float) -> int:
        agreed = 0
        for now, then in zip(words, self._before, strict=False):
            if key(now.text) != key(then.text) or abs(now.start - then.start) > 0.6 or now.end > end - TAIL:
                break
            agreed += 1
        quiet = self._quiet_at_end()
        if quiet >= PAUSE:
            return max(agreed, sum(w.end <= end - quiet + 0.4 for w in words))
        return max(agreed, sum(w.end < end - OLDEST for w in words))

    def _quiet_at_end(self) -> float:
        loud = np.flatnonzero(self._activity >= 0.35)
        return (len(self._activity) - 1 - int(loud[-1])) * FRAME if len(loud) else len(self._activity) * FRAME

    def _speech_since(self, at: float, *, least: float = 0.15) -> bool:
        first = max(0, int(at / FRAME) - self._first_frame)
        return int(np.count_nonzero(self._activity[first:] >= 0.5)) * FRAME >= least

    def _forget(self) -> None:
        """Drop sound that no later window needs."""
        keep_from = max(self._begin, self._settled_to - CONTEXT)
        drop = int((keep_from - self._begin) * RATE)
        if drop > 0:
            self._buffer = self._buffer[drop:].copy()
            self._begin += drop / RATE
        frames = min(len(self._activity), int(self._begin / FRAME) - self._first_frame)
        if frames > 0:
            self._activity = self._activity[frames:].copy()
            self._first_frame += frames

    def _pending(self) -> str:
        return " ".join(w.text for w in self._before)

    def _lag(self) -> float:
        return round(max(0.0, self.seconds - self._settled_to), 2)


def available(settings: Settings | None = None) -> str | None:
    """None where live listening can begin, else why not (for a page that offers it)."""
    try:
        ear_for(settings or Settings())
    except TallywalkError as error:
        return f"{error}. {error.remedy}"
    return None
