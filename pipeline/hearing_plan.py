"""Where speech is, which windows are heard, and how the words of overlapping windows are joined. Pure.

A window is what the recogniser gets in one piece. The shorter its sound, the less its encoder costs (the sound is not
padded to half a minute); the longer, the more context its decoder has. Windows end in pauses where there is one.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from difflib import SequenceMatcher

import numpy as np
from numpy.typing import NDArray

from extractors.words import Word

FRAME = 512 / 16_000
"""Seconds of one voice-activity frame."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanOptions:
    """How windows are cut; times in seconds."""

    longest: float = 28.6
    """No window's own span is longer: with what is heard around it, it fills what the recogniser takes at once."""
    shortest: float = 22.0
    """A cut is looked for after this much of a window first: context counts more than a long pause does."""
    least: float = 14.0
    """Where there is no pause after that, one after this much is better than a cut within speech."""
    pad: float = 0.4
    """Heard before and after the own span, where a pause surrounds it."""
    overlap: float = 1.6
    """Heard beyond a cut that falls within speech, on both sides."""
    voice: float = 0.35
    """Voice activity from which a frame counts as speech; below the filter's usual 0.5, because a lost word is worse
    here than a second heard in vain."""
    quiet: float = 0.25
    """Voice activity below which a frame may begin a pause."""
    pause: float = 0.25
    """Seconds of quiet that make a cut safe without overlap."""
    bridge: float = 6.0
    """Pauses shorter than this stay inside a window."""


@dataclass(frozen=True, slots=True)
class HeardWord(Word):
    """A word with what only the listening stage needs."""

    floor: float = 1.0
    """The probability of its least sure token."""
    agreed: int = 0
    """1 where a second hearing gave the same figure, -1 where another, 0 where there was none."""


def floor_of(word: Word) -> float:
    """The probability of a word's least sure token; its own where nothing better is known."""
    return word.floor if isinstance(word, HeardWord) else word.probability


@dataclass(frozen=True, slots=True)
class Span:
    """Seconds from start to end."""

    start: float
    end: float

    @property
    def length(self) -> float:
        return self.end - self.start


@dataclass(frozen=True, slots=True)
class Window:
    """What is heard in one piece: the span whose words it owns, and the wider span that is heard."""

    own: Span
    heard: Span


def speech_spans(activity: NDArray[np.float32], options: PlanOptions, *, duration: float) -> tuple[Span, ...]:
    """Spans with speech, padded, joined over short pauses, in order and apart."""
    spans: list[Span] = []
    begun: int | None = None
    last = 0
    for i, p in enumerate(activity.tolist()):
        if p >= options.voice:
            begun = i if begun is None else begun
            last = i
        elif begun is not None and (p < options.quiet) and (i - last) * FRAME > options.bridge:
            spans.append(Span(begun * FRAME, (last + 1) * FRAME))
            begun = None
    if begun is not None:
        spans.append(Span(begun * FRAME, (last + 1) * FRAME))
    padded: list[Span] = []
    for span in spans:
        start, end = max(0.0, span.start - options.pad), min(duration, span.end + options.pad)
        if padded and start <= padded[-1].end:
            padded[-1] = Span(padded[-1].start, end)
        elif end > start:
            padded.append(Span(start, end))
    return tuple(padded)


def plan(activity: NDArray[np.float32], options: PlanOptions, *, duration: float) -> tuple[Window, ...]:
    """Windows that cover all speech."""
    windows: list[Window] = []
    for span in speech_spans(activity, options, duration=duration):
        start, safe_before = span.start, True
        # an overlap is taken off the window's own span, so that nothing is longer than what the recogniser hears
        while span.end - start > (most := options.longest - (0.0 if safe_before else options.overlap - options.pad)):
            cut, safe = _cut(activity, start + options.shortest, start + most, options)
            if not safe:
                early, safe = _cut(activity, start + options.least, start + options.shortest, options)
                cut = early if safe else cut
            windows.append(_window(start, cut, safe_before, safe, span, options))
            start, safe_before = cut, safe
        if windows and span.end - start < 1.0 and windows[-1].own.end == start:
            before = windows.pop()
            windows.append(Window(Span(before.own.start, span.end), Span(before.heard.start, span.end)))
        else:
            windows.append(_window(start, span.end, safe_before, True, span, options))
    return tuple(windows)


def _window(start: float, end: float, safe_before: bool, safe_after: bool, span: Span, options: PlanOptions) -> Window:
    before = options.pad if safe_before else options.overlap
    after = options.pad if safe_after else options.overlap
    return Window(Span(start, end), Span(max(span.start, start - before), min(span.end, end + after)))


def _cut(activity: NDArray[np.float32], earliest: float, latest: float, options: PlanOptions) -> tuple[float, bool]:
    """The middle of the longest pause between two times, later ones preferred; else the quietest moment."""
    first, last = int(earliest / FRAME), min(len(activity), int(latest / FRAME))
    best, best_score = 0.0, 0.0
    begun: int | None = None
    for i in range(first, last + 1):
        low = i < last and activity[i] < options.quiet
        if low and begun is None:
            begun = i
        if not low and begun is not None:
            length = min(1.0, (i - begun) * FRAME)
            middle = (begun + i) / 2
            score = length * (0.5 + (middle - first) / max(1, last - first))
            if length >= options.pause and score > best_score:
                best, best_score = middle * FRAME, score
            begun = None
    if best_score:
        return best, True
    last = max(first + 1, last - int((options.overlap - options.pad) / FRAME))
    half = max(1, (last - first) // 2)
    window = np.convolve(activity[last - half : last], np.ones(5) / 5, mode="same")
    return (last - half + int(window.argmin())) * FRAME if len(window) else latest, False


def key(text: str) -> str:
    """A word as it is compared: lower case, letters, digits and points within figures."""
    return re.sub(r"[^\w.%$]|(?<!\d)\.|\.(?!\d)", "", text.lower())


def join_windows(windows: Sequence[Window], words: Sequence[Sequence[Word]]) -> tuple[Word, ...]:
    """The words of all windows in order of time, those in overlaps once."""
    joined: list[Word] = []
    previous: Window | None = None
    for window, found in zip(windows, words, strict=True):
        if previous is None or previous.heard.end <= window.heard.start:
            joined.extend(found)
        else:
            joined = _seam(joined, list(found), previous, window)
        previous = window
    return tuple(joined)


def in_order(words: Sequence[Word]) -> tuple[Word, ...]:
    """The words with beginnings that never go back: two hearings of one moment time it a little apart.

    A transcript is refused where a word stands before an earlier one; what was heard must be read again by ourselves.
    """
    ordered: list[Word] = []
    for w in words:
        start = max(w.start, ordered[-1].start) if ordered else w.start
        ordered.append(w if start == w.start else replace(w, start=start, end=max(w.end, start)))
    return tuple(ordered)


def _seam(left: list[Word], right: list[Word], before: Window, after: Window) -> list[Word]:
    """Join at a word that both windows heard, nearest the middle of what both heard; else at the middle itself."""
    low, high = after.heard.start, before.heard.end
    middle = min(max(after.own.start, low), high)
    slack = 0.35
    first = next((i for i, w in enumerate(left) if w.end > low - slack), len(left))
    last = next((i for i, w in enumerate(right) if w.start > high + slack), len(right))
    tail, head = left[first:], right[:last]
    matcher = SequenceMatcher(None, [key(w.text) for w in tail], [key(w.text) for w in head], autojunk=False)
    best: tuple[float, int, int] | None = None
    for block in matcher.get_matching_blocks():
        for k in range(block.size):
            a, b = tail[block.a + k], head[block.b + k]
            apart = abs((a.start + a.end) - (b.start + b.end)) / 2
            if apart > 0.8 or not key(a.text):
                continue
            distance = abs((a.start + a.end + b.start + b.end) / 4 - middle) - 0.2 * min(block.size, 4)
            if best is None or distance < best[0]:
                best = (distance, block.a + k, block.b + k)
    if best is not None:
        _, i, j = best
        kept, new = tail[: i + 1], head[j + 1 :]
    else:
        kept = [w for w in tail if (w.start + w.end) / 2 < middle]
        new = [w for w in head if (w.start + w.end) / 2 >= middle]
    # the one window wrote a long figure whole, the other began within it: "555-0162", "0162"
    while kept and new and is_rest(new[0], kept[-1]):
        new = new[1:]
    while kept and new and is_rest(kept[-1], new[0], end=False):
        kept = kept[:-1]
    return [*left[:first], *kept, *new, *right[last:]]


def is_rest(part: Word, whole: Word, *, end: bool = True) -> bool:
    """Whether a word is only the end (or the beginning) of another that was said in the same seconds."""
    a, b = key(part.text), key(whole.text)
    inside = whole.start - 0.25 <= (part.start + part.end) / 2 <= whole.end + 0.25
    return inside and 1 < len(a) < len(b) and (b.endswith(a) if end else b.startswith(a))
