"""A listener that understands nothing: the words of a script, a second's worth of sound each. For tests of the page
around it only; what the real engine hears is tested in test_browser_real.py."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from extractors.words import Stretch, Word


@dataclass(frozen=True)
class Some:
    settled: tuple[Word, ...]
    pending: str
    lag: float = 0.0


class Script:
    """One phrase for each second that came in; an empty one is silence."""

    def __init__(self, *phrases: str) -> None:
        self.phrases = phrases
        self.samples = 0
        self.told = 0

    def feed(self, samples: NDArray[np.float32]) -> Some:
        self.samples += len(samples)
        due = min(len(self.phrases), int(self.samples / 16000))
        words: list[Word] = []
        for n in range(self.told, due):
            parts = self.phrases[n].split()
            step = 1.0 / max(1, len(parts))
            words += [Word(t, n + i * step, n + (i + 0.9) * step) for i, t in enumerate(parts)]
        self.told = due
        return Some(tuple(words), self.phrases[due] if due < len(self.phrases) else "")

    def unheard(self) -> tuple[Stretch, ...]:
        return ()
