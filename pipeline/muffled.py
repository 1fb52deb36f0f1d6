"""How much of a voice's upper half is there: what a wall, a pocket or a hand over the microphone takes away. Pure.

The bands above 1 kHz carry most of what makes speech understood (importance of bands in ANSI S3.5, the speech
intelligibility index: about two thirds of it; from memory). Where they are gone the recogniser writes fluent words that
nobody said, and its own probability says too little of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pipeline.hearing_plan import FRAME, Span

RATE = 16_000
SAMPLES = 512
"""Samples of a frame: that of the voice detector."""
LOW, UPPER = (150.0, 750.0), (850.0, 4000.0)
"""Hz of the two bands that are compared. The upper one begins where speech still is understood: without all above
1,000 Hz most words are heard right, and what is left of 850 to 1,000 Hz tells that from a cut at 800 or 600 Hz. With a
band from 1,200 Hz the cut at 1,000 looks the same, and 78 more rightly heard words of 340 are doubted."""
BELOW_OWN = 12.0
"""dB of the upper against the low band by which a stretch is duller than the recording's clear speech."""
ALL_DULL = -26.0
"""dB of the upper against the low band below which speech is muffled whatever the rest is like. Medians of invented
speech in six voices: clear -5 to -9, without all above 1,000 Hz -12 to -16, above 800 Hz -32 (in noise) to -59."""
BRIGHTEST = -20.0
"""dB from which speech is never muffled: noise between the words makes the rest of a recording look bright."""
HOPELESS = -36.0
"""dB below which nothing that is written of a voice is believed. Five voices, with and without noise, all above a limit
taken away: at 450 to 800 Hz (-38 to -86 dB) no sentence of 32 had more than 62 % of its words right, though the
recogniser's mean probability reached 0.97; at 1,000 Hz (-11 to -18 dB) and above some are heard whole."""
OWN = 75.0
"""Percentile of the blocks of voice that stands for the recording's clear speech. Chosen, no source."""
BLOCK = 1.0
"""Seconds of voice in such a block."""
LEAST = 0.4
"""Seconds of voice that say anything: a word alone may be all low vowels. Chosen, no source."""


def band_power(frames: NDArray[np.float32]) -> NDArray[np.float32]:
    """Power in the low and the upper band of each frame of 512 samples at 16 kHz: n by 512 in, n by 2 out."""
    window = np.hanning(SAMPLES + 1)[:-1].astype(np.float32)
    spectrum = np.fft.rfft(frames * window, axis=1)
    power = spectrum.real**2 + spectrum.imag**2
    hz = np.fft.rfftfreq(SAMPLES, 1 / RATE)
    bands = [power[:, (hz >= low) & (hz < high)].sum(axis=1) for low, high in (LOW, UPPER)]
    return np.stack(bands, axis=1).astype(np.float32)


@dataclass(frozen=True, slots=True)
class Tone:
    """What is measured of every frame of a sound, from its beginning."""

    activity: NDArray[np.float32]
    """Voice activity, 0..1."""
    power: NDArray[np.float32]
    """What band_power gives: n by 2."""


class Dullness(IntEnum):
    """How much of a voice is missing."""

    CLEAR = 0
    MUFFLED = 1
    """It lacks its upper band, measured by the recording's own clear speech."""
    UNINTELLIGIBLE = 2
    """So much that no hearing of it can be right, however sure."""


def dullness(tone: Tone, spans: Sequence[Span], *, voice: float = 0.5) -> tuple[Dullness, ...]:
    """How dull the voice of each span (seconds) is; one with less than LEAST seconds of voice is not judged: CLEAR.

    The whole sound is gone over once for all spans.
    """
    n = min(len(tone.power), len(tone.activity))
    voiced, power = tone.activity[:n] >= voice, tone.power[:n]
    bands = np.where(voiced[:, None], power, 0.0)
    sums = np.concatenate([np.zeros((1, 3)), np.cumsum(np.column_stack([bands, voiced]), axis=0, dtype=np.float64)])
    bound = _bound(power[voiced])
    found = []
    for span in spans:
        first, last = (min(n, max(0, int(at / FRAME))) for at in (span.start, span.end + FRAME))
        low, upper, frames = sums[max(first, last)] - sums[first]
        ratio = _ratio(upper, low) if frames * FRAME >= LEAST else np.inf
        found.append(Dullness(int(ratio < bound) + int(ratio < HOPELESS)))
    return tuple(found)


def muffled(tone: Tone, spans: Sequence[Span], *, voice: float = 0.5) -> tuple[bool, ...]:
    """Whether the voice of each span (seconds) lacks its upper band."""
    return tuple(d >= Dullness.MUFFLED for d in dullness(tone, spans, voice=voice))


def unintelligible(tone: Tone, spans: Sequence[Span], *, voice: float = 0.5) -> tuple[bool, ...]:
    """Whether the voice of each span (seconds) lacks so much that no hearing of it can be right, however sure."""
    return tuple(d is Dullness.UNINTELLIGIBLE for d in dullness(tone, spans, voice=voice))


def _bound(voiced: NDArray[np.float32]) -> float:
    """The ratio in dB below which a stretch is muffled: by the recording's clear speech, and by a floor."""
    size = round(BLOCK / FRAME)
    blocks = voiced[: len(voiced) // size * size].reshape(-1, size, 2).sum(axis=1, dtype=np.float64)
    if not len(blocks):
        return ALL_DULL
    own = float(np.percentile(_ratio(blocks[:, 1], blocks[:, 0]), OWN))
    return min(BRIGHTEST, max(ALL_DULL, own - BELOW_OWN))


def _ratio(upper: Any, low: Any) -> Any:
    """Upper against low band in dB."""
    return 10 * np.log10((upper + 1e-12) / (low + 1e-12))
