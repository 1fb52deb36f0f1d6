"""What must not be believed of a hearing, and which speech got no words. Pure."""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from extractors.words import Stretch, Word
from pipeline.hearing_plan import FRAME, PlanOptions, Span, key

PHANTOMS = (
    "thank you",
    "thanks for watching",
    "thank you for watching",
    "thank you very much",
    "thank you so much for watching",
    "please subscribe",
    "like and subscribe",
    "subtitles by",
    "i'll see you next time",
    "see you next time",
    "see you in the next video",
    "we'll be right back",
    "bye",
    "you",
    "the end",
    "okay",
    "i'm sorry",
    "music",
    "applause",
    "silence",
    "blank_audio",
    "transcribed by",
    "copyright",
)
"""Phrases that the recogniser is known to make of silence and noise: what its training captions had there.
Reported in the recogniser's public issue tracker; common knowledge, no single source."""
NO_SPEECH = 0.6
"""Above this probability of no speech, with a poor score, nothing of a window is believed: the recogniser's default."""
POOR = -1.0
"""Mean log probability of tokens below which a hearing is poor: the recogniser's default."""
REPETITIVE = 2.4
"""Text that compresses better than this says one thing over and over: the recogniser's default."""
FASTEST = 9.0
"""Words a second over a whole window that no mouth says; fast talkers reach about 5. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Hearing:
    """One hearing of one window: its words, in seconds of the recording, and how sure the recogniser was of it all."""

    words: tuple[Word, ...]
    score: float = 0.0
    """Mean log probability of its tokens."""
    no_speech: float = 0.0
    """The recogniser's probability that there is no speech in it."""


TIMELESS = 0.06
"""Seconds within which three words cannot begin. Where the decoder says a sentence again after its sound has ended,
the alignment finds no time for it: measured on invented speech, four of five words invented by short windows."""


def without_echoes(hearing: Hearing) -> Hearing:
    """The hearing without words that took no time."""
    words = hearing.words
    echo = [False] * len(words)
    for i in range(len(words) - 2):
        if words[i + 2].start - words[i].start <= TIMELESS:
            echo[i] = echo[i + 1] = echo[i + 2] = True
    if not any(echo):
        return hearing
    return replace(hearing, words=tuple(w for w, e in zip(words, echo, strict=True) if not e))


def disbelieved(hearing: Hearing, activity: NDArray[np.float32], span: Span) -> str | None:
    """Why nothing of a hearing is believed, or None."""
    if not hearing.words:
        return None
    text = " ".join(w.text for w in hearing.words)
    if hearing.no_speech > NO_SPEECH and hearing.score < POOR:
        return "the recogniser itself doubts that this is speech"
    data = text.encode()
    if len(data) > 60 and len(data) / len(zlib.compress(data)) > REPETITIVE:
        return "the same words over and over"
    if len(hearing.words) > 4 and len(hearing.words) / max(0.5, span.length) > FASTEST:
        return "more words than a mouth can say"
    if longest_run(hearing.words) >= 6:
        return "one word over and over"
    voiced = voiced_seconds(activity, span)
    plain = " ".join(filter(None, (key(w.text) for w in hearing.words)))
    wont = {" ".join(key(w) for w in p.split()) for p in PHANTOMS}
    if plain in wont and (voiced < 0.4 or hearing.no_speech > 0.3 or hearing.score < -0.7):
        return "a phrase that the recogniser makes of silence"
    if voiced < 0.06 * len(hearing.words):
        return "words where there is no voice"
    return None


def longest_run(words: Sequence[Word]) -> int:
    """How often a word, or a pair of words, stands in a row at most."""
    keys = [key(w.text) for w in words]
    best = 1 if keys else 0
    for step in (1, 2, 3):
        run = 1
        for i in range(step, len(keys)):
            run = run + 1 if keys[i] and keys[i] == keys[i - step] else 1
            best = max(best, 1 + (run - 1) // step)
    return best


def voiced_seconds(activity: NDArray[np.float32], span: Span, *, voice: float = 0.5) -> float:
    """Seconds of a span whose voice activity is at least voice."""
    part = activity[int(span.start / FRAME) : int(span.end / FRAME) + 1]
    return float(np.count_nonzero(part >= voice)) * FRAME


def unworded(
    activity: NDArray[np.float32], words: Sequence[Word], options: PlanOptions, *, shortest: float = 0.9
) -> tuple[Stretch, ...]:
    """Speech that got no words: spans of voice, at least shortest seconds long, that no word covers."""
    covered = np.zeros(len(activity) + 1, dtype=bool)
    reach = 0.45
    for w in words:
        covered[max(0, int((w.start - reach) / FRAME)) : int((w.end + reach) / FRAME) + 1] = True
    found: list[Stretch] = []
    begun: int | None = None
    gap = 0
    for i in range(len(activity) + 1):
        speech = i < len(activity) and activity[i] >= 0.5 and not covered[i]
        if speech:
            begun = i if begun is None else begun
            gap = 0
        elif begun is not None:
            gap += 1
            if gap * FRAME > 0.3 or i >= len(activity) or covered[i]:
                end = i - gap + 1
                if (end - begun) * FRAME >= shortest:
                    found.append(Stretch(round(begun * FRAME, 2), round(end * FRAME, 2), "speech not understood"))
                begun, gap = None, 0
    return tuple(found)
