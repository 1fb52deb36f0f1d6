"""How slow this machine is just now: bars in seconds are for a machine that is not, and hosts are shared."""

from __future__ import annotations

import time
from collections.abc import Callable

REFERENCE = 0.0163
"""Seconds of processor time that the loop below takes on the machine on which the bars were first kept. Reckoned, not
measured: 200 facts took 39 ms there, and 2.39 times the loop's time where both were measured."""


def slowness() -> float:
    """How many times as long as there a plain loop takes here, the least of five runs; never less than 1."""
    took = []
    for _ in range(5):
        began = time.process_time()
        sum(i * i % 7 for i in range(300_000))
        took.append(time.process_time() - began)
    return max(1.0, min(took) / REFERENCE)


def least_seconds(run: Callable[[], object], bar: float) -> float:
    """Seconds of processor time that a call takes, the least of up to three where the first is above the bar."""
    took: list[float] = []
    while len(took) < 3 and (not took or took[-1] > bar):
        began = time.process_time()
        run()
        took.append(time.process_time() - began)
    return min(took)
