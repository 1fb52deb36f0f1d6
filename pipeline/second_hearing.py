"""Which seconds are heard a second time, what is taken from the second hearing, and what is doubted after it. Pure.

A figure that the recogniser was not sure of is cut out anew in a short window and heard in another view of the sound.
Agreement of two hearings that saw different windows says more than the recogniser's own probability does.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from extractors.words import Stretch, Word
from pipeline.hearing_plan import FRAME, HeardWord, Span, Window, floor_of, is_rest, key

SURE = 0.72
"""A figure whose every token has at least this probability is not heard again."""
BETTER = 0.3
"""By how much the second hearing must be surer before its words are taken. On 40 noisy recordings it was not tuned on,
0.15 gained nothing and 0.3 three figures of 860; what it fills and whether it agrees is worth more (DEVELOPERS.md)."""
AROUND = 2.3
"""Seconds before and after a doubtful word that are heard with it."""
LONGEST = 11.0
"""Seconds of a second window around figures."""
LONGEST_BLANK = 10.0
"""Seconds of speech without words that are heard again in one piece."""
TRUSTED = 0.86
"""Below this probability of being right a figure is marked doubtful."""
WEIGHTS = (-0.196, -0.44, 0.774, 0.933, 0.537)
"""Constant; log odds of the word's probability, of its least sure token, of the mean of the words around it; agreement
of the second hearing (1, -1, 0 where there was none). Logistic regression over 1822 figures of invented speech, six
voices of hibari-tts and three of another synthesiser; clean, and in five noises at 20 to 6 dB."""

NUMBER_WORDS = frozenset(
    """oh zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen
    seventeen eighteen nineteen twenty thirty forty fifty sixty seventy eighty ninety hundred thousand million first
    second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth half quarter quarters eighths
    dozen""".split()
)
_UP = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen"
).split()
_TENS = "ten twenty thirty forty fifty sixty seventy eighty ninety hundred".split()
_ORDINALS = "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth".split()
NUMERALS = {
    **{word: str(i) for i, word in enumerate(_UP)},
    **{word: str(10 * i) for i, word in enumerate(_TENS, 1)},
    **{word: f"{i}{'st nd rd'.split()[i - 1] if i < 4 else 'th'}" for i, word in enumerate(_ORDINALS, 1)},
    "thousand": "1000", "percent": "%",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Choice:
    """The words after a second hearing, and a line on every place where the hearings differed."""

    words: tuple[Word, ...]
    log: tuple[str, ...] = ()


def is_figure(text: str) -> bool:
    """Whether a word is a figure or part of one."""
    plain = key(text)
    parts = text.lower().strip(".,;:?!").split("-")
    return any(c.isdigit() for c in plain) or any(part in NUMBER_WORDS for part in parts)


def doubtful(words: Sequence[Word], units: frozenset[str] = frozenset(), *, sure: float = SURE) -> tuple[int, ...]:
    """Indices of figures, and of units beside a figure, that were not heard surely; and of units without a figure."""
    found = []
    for i, w in enumerate(words):
        unit = key(w.text) in units
        beside = unit and any(is_figure(v.text) for v in words[max(0, i - 2) : i])
        bare = unit and i > 0 and len(key(w.text)) > 2 and _opens_bare(words[i - 1], units)
        if ((is_figure(w.text) or beside) and floor_of(w) < sure) or bare:
            found.append(i)
    return tuple(found)


def _opens_bare(before: Word, units: frozenset[str]) -> bool:
    """Whether a unit behind this word has lost its figure: "480 volts, amps full load", "400 volts phases"."""
    name = key(before.text)
    ends = before.text[-1:] in (",", ".", ";", ":")
    return (len(name) > 2 and name in units) or (ends and not is_figure(before.text))


def spots(
    words: Sequence[Word],
    indices: Sequence[int],
    unworded: Sequence[Stretch],
    activity: NDArray[np.float32],
    *,
    duration: float,
) -> tuple[Window, ...]:
    """Short windows around doubtful words and around speech without words; neighbours share one."""
    doubted = sorted((Span(words[i].start, words[i].end) for i in indices), key=lambda s: s.start)
    blank = [p for s in unworded for p in _pieces(Span(s.start, s.end), LONGEST_BLANK)]
    around = [(g, AROUND) for g in _grouped(doubted, LONGEST - 2 * AROUND, 2 * AROUND)]
    # speech that got no words is heard from its own beginning: behind the words before it the decoder would stop again
    around += [(g, 0.4) for g in _grouped(blank, LONGEST_BLANK, 0.9)]
    return tuple(
        Window(
            Span(max(0.0, g.start - 0.3), min(duration, g.end + 0.3)),
            Span(_quiet(activity, g.start - reach, -1, duration), _quiet(activity, g.end + reach, 1, duration)),
        )
        for g, reach in around
    )


def _pieces(span: Span, longest: float) -> list[Span]:
    """A long span in equal pieces."""
    n = max(1, math.ceil(span.length / longest))
    return [Span(span.start + k * span.length / n, span.start + (k + 1) * span.length / n) for k in range(n)]


def _grouped(spans: Sequence[Span], longest: float, apart: float) -> list[Span]:
    """Neighbours joined where they are near and the whole stays short."""
    groups: list[Span] = []
    for span in spans:
        if groups and span.end - groups[-1].start <= longest and span.start - groups[-1].end < apart:
            groups[-1] = Span(groups[-1].start, max(groups[-1].end, span.end))
        else:
            groups.append(span)
    return groups


def _quiet(activity: NDArray[np.float32], at: float, way: int, duration: float) -> float:
    """The quietest moment within 1.2 s of a time, away from the word where it can be."""
    near = sorted((at - way * 0.4, at + way * 0.8))
    first, last = max(0, int(near[0] / FRAME)), min(len(activity), int(near[1] / FRAME))
    if last - first < 3:
        return min(duration, max(0.0, at))
    smooth = np.convolve(activity[first:last], np.ones(3) / 3, mode="same")
    return float(min(duration, max(0.0, (first + int(smooth.argmin()) + 0.5) * FRAME)))


def choose(words: Sequence[Word], windows: Sequence[Window], again: Sequence[Sequence[Word]]) -> Choice:
    """The first hearing with what the second knew better; every figure heard twice is marked agreed or not."""
    result = list(words)
    log: list[str] = []
    for window, second in sorted(zip(windows, again, strict=True), key=lambda p: -p[0].own.start):
        if not any(_within(w, window.own) for w in result):
            at = sum((w.start + w.end) / 2 < window.own.start for w in result)
            low = result[at - 1].end - 0.25 if at else 0.0
            high = result[at].start + 0.25 if at < len(result) else math.inf
            fresh = [w for w in second if _within(w, window.own, slack=0.5) and w.start >= low and w.end <= high]
            while fresh and at and _said_again(fresh[0], result[at - 1]):
                fresh = fresh[1:]
            if fresh:
                result[at:at] = fresh
                log.append(_line(window.own, "", fresh, "taken: speech without words before"))
            continue
        first = [i for i, w in enumerate(result) if _within(w, window.heard)]
        low, high = first[0], first[-1] + 1
        part = result[low:high]
        changed, lines = _settle(part, list(second), window)
        result[low:high] = changed
        log.extend(lines)
    return Choice(tuple(result), tuple(reversed(log)))


def _said_again(word: Word, before: Word) -> bool:
    """Whether a word is only the end of the long figure before it, whose written length the alignment cut short."""
    return is_rest(replace(word, start=before.start, end=before.end), before) and word.start - before.end < 3.0


def spelt(text: str) -> str:
    """A word as hearings are compared: "three" and "3" are the same."""
    plain = key(text)
    return NUMERALS.get(plain, plain)


def alike(first: Sequence[Word], second: Sequence[Word]) -> list[tuple[int, int, int, int, bool]]:
    """Two hearings side by side: runs of words (from, to in the one; from, to in the other), and whether they agree.

    Writing is no difference: "480-volt" is "480 volts" but for the plural, "7th" is "seventh".
    """
    one, starts_one = _spoken(first)
    two, starts_two = _spoken(second)
    points = [(0, 0)]
    for block in SequenceMatcher(None, one, two, autojunk=False).get_matching_blocks():
        for k in range(block.size + 1):
            at = (starts_one.get(block.a + k), starts_two.get(block.b + k))
            if at[0] is not None and at[1] is not None:
                points.append((at[0], at[1]))
    points.append((len(first), len(second)))
    runs: list[tuple[int, int, int, int, bool]] = []
    for (a, c), (b, d) in pairwise(sorted(set(points))):
        same = _spoken(first[a:b])[0] == _spoken(second[c:d])[0]
        runs.append((a, b, c, d, same))
    return runs


def _spoken(words: Sequence[Word]) -> tuple[list[str], dict[int, int]]:
    """The parts of words as they are spoken, and at which part each word begins (and the end of all)."""
    parts: list[str] = []
    starts: dict[int, int] = {}
    for i, w in enumerate(words):
        starts[len(parts)] = i
        parts += [p for p in map(spelt, re.split(r"[-\u2010-\u2015]", w.text)) if p] or [""]
    starts[len(parts)] = len(words)
    return parts, starts


def _within(word: Word, span: Span, *, slack: float = 0.0) -> bool:
    return span.start - slack <= (word.start + word.end) / 2 <= span.end + slack


def _settle(first: list[Word], second: list[Word], window: Window) -> tuple[list[Word], list[str]]:
    """Align two hearings of one window word by word and take the surer where a figure differs."""
    out: list[Word] = []
    log: list[str] = []
    for a, b, c, d, same in alike(first, second):
        one, two = first[a:b], second[c:d]
        if same:
            out.extend(_agreed(w, 1) if is_figure(w.text) else w for w in one)
            continue
        if two and not one and _fits(two, out[-1] if out else None, first[b] if b < len(first) else None, window):
            out.extend(_agreed(w, 0) for w in two)
            log.append(_line(window.own, "", two, "taken: speech without words before"))
            continue
        inner = any(_within(w, window.own, slack=0.5) for w in one + two)
        figure = any(is_figure(w.text) for w in one + two)
        edge = not (one and two) and (a == 0 or b == len(first))
        if not figure or not inner or edge or len(one) > 4 or len(two) > 4:
            out.extend(_agreed(w, -1) if is_figure(w.text) and inner and two else w for w in one)
            continue
        sure_one = min((w.probability for w in one), default=0.3)
        sure_two = min((w.probability for w in two), default=0.0)
        text_one, text_two = " ".join(w.text for w in one), " ".join(w.text for w in two)
        if two and sure_two > sure_one + BETTER and sure_one < 0.9:
            out.extend(replace(_agreed(w, -1), alternatives=(text_one,) if text_one else ()) for w in two)
            log.append(_line(window.own, text_one, two, f"taken: surer by {sure_two - sure_one:.2f}"))
        else:
            out.extend(replace(_agreed(w, -1), alternatives=(text_two,) if text_two else ()) for w in one)
            if one:
                seconds = Span(one[0].start, one[-1].end)
                log.append(_line(seconds, text_one, two, "kept: the second hearing is no surer"))
    return out, log


def _fits(fresh: Sequence[Word], before: Word | None, after: Word | None, window: Window) -> bool:
    """Whether words fill a stretch of the window that had none: two or more, or one of some length."""
    inside = [w for w in fresh if _within(w, window.own, slack=0.5)]
    room_before = before is None or fresh[0].start >= before.end - 0.25
    room_after = after is None or fresh[-1].end <= after.start + 0.25
    gap = (after.start if after else window.heard.end) - (before.end if before else window.heard.start)
    return len(inside) * 2 > len(fresh) and len(fresh) >= 2 and gap >= 0.9 and room_before and room_after


def _agreed(word: Word, how: int) -> Word:
    return replace(word, agreed=how) if isinstance(word, HeardWord) else word


def _line(span: Span, first: str, second: Sequence[Word], why: str) -> str:
    return f"{span.start:.1f}–{span.end:.1f} s: first {first!r}, then {' '.join(w.text for w in second)!r}; {why}"


def rightness(words: Sequence[Word], i: int) -> float:
    """The calibrated probability that a figure was really said."""
    word = words[i]
    around = words[max(0, i - 6) : i + 7]
    mean = sum(w.probability for w in around) / len(around)
    agreed = word.agreed if isinstance(word, HeardWord) else 0
    features = (1.0, _odds(word.probability), _odds(floor_of(word)), _odds(mean), float(agreed))
    return 1 / (1 + math.exp(-sum(w * f for w, f in zip(WEIGHTS, features, strict=True))))


def _odds(p: float) -> float:
    p = min(0.999, max(0.001, p))
    return math.log(p / (1 - p))


def judged(words: Sequence[Word], units: frozenset[str] = frozenset()) -> tuple[Word, ...]:
    """Plain words, figures marked with why they are doubted."""
    out = []
    for i, w in enumerate(words):
        doubt = w.doubt
        if doubt is None and is_figure(w.text) and rightness(words, i) < TRUSTED:
            other = f", or {w.alternatives[0]!r}" if w.alternatives else ""
            doubt = f"heard badly{other}"
        elif doubt is None and w.alternatives and key(w.text) in units:
            doubt = f"heard badly, or {w.alternatives[0]!r}"
        out.append(Word(w.text, w.start, w.end, w.probability, w.alternatives, doubt))
    return tuple(out)
