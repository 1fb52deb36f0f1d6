"""Other views of a sound, for a second hearing. Pure."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

RATE = 16_000


def high_passed(sound: NDArray[np.float32], cutoff: float) -> NDArray[np.float32]:
    """The sound without what lies below cutoff (Hz): mains hum, rumble, wind. Second-order slope, no shift in time."""
    if len(sound) < 2:
        return sound
    spectrum = np.fft.rfft(sound)
    f = np.fft.rfftfreq(len(sound), 1 / RATE).astype(np.float32)
    ratio = (f / np.float32(cutoff)) ** 4
    return np.fft.irfft(spectrum * (ratio / (1 + ratio)), len(sound)).astype(np.float32)


def levelled(sound: NDArray[np.float32], *, target: float = 0.5, most: float = 100.0) -> NDArray[np.float32]:
    """A faint sound made louder, its peak at target, by most times at most; others are returned as they are."""
    peak = float(np.abs(sound).max()) if len(sound) else 0.0
    if peak <= 0.0 or peak >= target / 2:
        return sound
    return sound * np.float32(min(most, target / peak))
