"""What must not be believed of a hearing, and which speech got no words. Pure."""

from __future__ import annotations

import zlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from extractors.words import Stretch, Word
from pipeline.hearing_plan import FRAME, PlanOptions, Span, key
from pipeline.muffled import Dullness, Tone, dullness, unintelligible

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


GUESSED = 0.6
"""Mean probability of a run of words below which they are guesses. Where speech is muffled the recogniser writes a
sentence all the same, in words of a mean of 0.49 (above 450 Hz cut off) to 0.67 (1,200 Hz); clear speech has 0.92,
speech as loud as an engine 0.81. 288 spoken sentences in twelve sorts of sound, made for this: of the muffled ones that
were mostly wrong (450 to 800 Hz) 53 of 60 are told, of 119 that were heard in noise or none, none; of the ten dev
recordings, clean and in plant noise, no run is."""
GUESSED_MUFFLED = 0.7
"""The same for a run whose voice lacks its upper band (pipeline/muffled.py). Chosen on three voices and twelve
sentences. Of twelve others in three other voices without all above 600 or 800 Hz, a fifth or more of their words wrong,
59 of 66 are told (41 with 0.6), and 3 of 6 that were heard better; clear speech and a cut at 1,000 Hz are as before."""
NEVER = 2.0
"""The same where no hearing can be right: above every probability."""
_BAR_OF = {Dullness.CLEAR: GUESSED, Dullness.MUFFLED: GUESSED_MUFFLED, Dullness.UNINTELLIGIBLE: NEVER}
RUN = 8
"""Words of such a run. Four or five catch as many and four times as many that were heard."""
FEWEST = 3
"""Words between two pauses below which nothing is said of them: their own probability says it."""
BREATH = 0.6
"""Seconds without a word that end a run."""
OVER_AND_OVER = 4
"""Words of the longest phrase that is looked for said over and over."""
LEFT_OVER = 1.2
"""Seconds for which the different words of such a breath cannot account. Twenty repetitions, clear and in noise
at 6 dB, leave 0.6 at most; "oh, oh, oh." over a muffled sentence of four seconds leaves more than two."""
ONCE_SURE = 0.8
"""Mean probability at which a phrase was surely heard when it was said first. Only the first saying counts: a decoder
that repeats itself grows sure of it (measured: "moon" 0.05, at last 0.79; "a little bit more" 0.16, at last 0.79)."""
WHY_GUESSED = "hardly understood; the words written here may be invented"


def _breaths(words: Sequence[Word]) -> Iterator[tuple[int, int]]:
    """Words between two pauses: the first and the one behind the last."""
    first = 0
    for i in range(1, len(words) + 1):
        if i == len(words) or words[i].start - words[i - 1].end > BREATH:
            yield first, i
            first = i


def guessed(words: Sequence[Word], tone: Tone | None = None) -> tuple[tuple[int, int], ...]:
    """Runs of words, first and behind the last, that the recogniser made of speech it could not understand.

    Where the sound is known, less is believed of its muffled stretches.
    """
    breaths = list(_breaths(words))
    runs = [run for first, last in breaths for run in _runs(first, last)]
    bars = dict(zip(runs, _bars(tone, [Span(words[a].start, words[b - 1].end) for a, b in runs]), strict=True))
    found: list[tuple[int, int]] = []
    for first, i in breaths:
        sums = np.cumsum([0.0, *(w.probability for w in words[first:i])])
        for k, end in _runs(first, i):
            if (sums[end - first] - sums[k - first]) / (end - k) < bars[k, end]:
                if found and first <= found[-1][0] and k <= found[-1][1]:
                    found[-1] = found[-1][0], end
                else:
                    found.append((k, end))
        if repeats_a_guess(words[first:i]):
            found = [*(f for f in found if f[1] <= first), (first, i)]
    return tuple(found)


def _runs(first: int, last: int) -> Iterator[tuple[int, int]]:
    """The runs of words of a breath that are judged: none of one or two words."""
    size = min(RUN, last - first)
    if size >= FEWEST:
        yield from ((k, k + size) for k in range(first, last - size + 1))


def _bars(tone: Tone | None, runs: Sequence[Span]) -> tuple[float, ...]:
    """The mean probability that each run of words must have."""
    if tone is None:
        return (GUESSED,) * len(runs)
    # of a muffled voice the detector sees so little that a run alone is often not judged; what is around it tells
    judged = dullness(tone, [*runs, *(_around(r) for r in runs)])
    return tuple(
        NEVER if wide is Dullness.UNINTELLIGIBLE else _BAR_OF[own]
        for own, wide in zip(judged[: len(runs)], judged[len(runs) :], strict=True)
    )


def _around(span: Span) -> Span:
    return Span(span.start - AROUND, span.end + AROUND)


def repeats_a_guess(breath: Sequence[Word]) -> bool:
    """Whether the words between two pauses are one phrase over and over that the recogniser made of something else.

    Nothing else is said in them, the phrase was not surely heard the first time, and it fills more seconds than its
    words take. "Two by two by two" and "no, no, no" take no more than that; in "no, no, no, it's five" more is said.
    """
    keys = [key(w.text) for w in breath]
    steps = (n for n in range(1, min(OVER_AND_OVER, len(keys) // 2) + 1) if keys[n:] == keys[:-n])
    step = next(steps, None)
    if step is None:
        return False
    once = breath[:step]
    # the alignment stretches a first word over the silence before it
    first = min(breath[0].end - breath[0].start, longest_said(breath[0].text))
    filled = first + sum(w.end - w.start for w in breath[1:])
    left = filled - sum(longest_said(w.text) for w in once)
    return left >= LEFT_OVER and sum(w.probability for w in once) / step < ONCE_SURE


def doubting(words: Sequence[Word], tone: Tone | None = None, *, told: Sequence[Span] = ()) -> tuple[Word, ...]:
    """The words, those of such runs, and those within stretches told before, marked as doubtful."""
    out = list(words)
    within = [(i, i + 1) for i, w in enumerate(words) if any(s.start <= (w.start + w.end) / 2 <= s.end for s in told)]
    for a, b in (*guessed(words, tone), *within):
        out[a:b] = [w if w.doubt else replace(w, doubt="hardly understood") for w in out[a:b]]
    return tuple(out)


def not_understood(tone: Tone, words: Sequence[Word], options: PlanOptions) -> tuple[Stretch, ...]:
    """All that has to be listened to again: speech without words, and speech whose words are guesses."""
    runs = [Stretch(words[a].start, words[b - 1].end, WHY_GUESSED) for a, b in guessed(words, tone)]
    blank = unworded(tone.activity, _possibly_heard(tone, words), options)
    return tuple(sorted((*blank, *runs), key=lambda s: (s.start, s.end)))


def _possibly_heard(tone: Tone, words: Sequence[Word]) -> list[Word]:
    """The words without one or two between pauses where no hearing can be right: "oh", "hmm", "wonderful".

    Longer breaths stay, for they are told as guesses, with their words.
    """
    breaths = [(a, b) for a, b in _breaths(words)]
    lost = unintelligible(tone, [_around(Span(words[a].start, words[b - 1].end)) for a, b in breaths])
    return [
        w for (a, b), hopeless in zip(breaths, lost, strict=True) if b - a >= FEWEST or not hopeless for w in words[a:b]
    ]


AROUND = 1.0
"""Seconds around words that are judged with them where a few take too little voice to say anything. Clear speech that
near makes the stretch a clear one."""
LETTER = 0.12
"""Seconds that a letter takes, slowly said; a figure's digit takes three times that. Common practice, no source."""


def longest_said(text: str) -> float:
    """Seconds that a word can fill with voice: alignment stretches a word over speech that got none."""
    digits = sum(c.isdigit() for c in text)
    return 0.5 + LETTER * len(text) + 0.36 * digits


LONE = 0.4
"""Mean probability of one or two words between two pauses below which they stand for no speech: behind a mumbled
sentence the recogniser wrote "wonderful." (0.27). Of 3,272 such breaths in 131 recordings three are less sure, and none
of the three is as long as what is told."""


def _standing(words: Sequence[Word]) -> list[Word]:
    """Words that stand for what was said: without one or two alone between pauses that are guesses."""
    kept: list[Word] = []
    for first, last in _breaths(words):
        breath = words[first:last]
        if len(breath) >= FEWEST or sum(w.probability for w in breath) >= LONE * len(breath):
            kept += breath
    return kept


def _speech(activity: NDArray[np.float32], *, sure: float = 0.5, still: float = 0.35) -> NDArray[np.bool_]:
    """Frames with speech: voice that is sure somewhere, as far as it is likely around that.

    Two levels as the voice detector's own package uses them (Silero VAD, get_speech_timestamps: threshold and
    neg_threshold, which is 0.15 lower); here in both directions, for a muffled voice wavers about the upper one.
    """
    likely = activity >= still
    edges = np.flatnonzero(np.diff(np.concatenate([[False], likely, [False]]).astype(np.int8)))
    out = np.zeros(len(activity), dtype=np.bool_)
    for a, b in edges.reshape(-1, 2):
        out[a:b] = bool((activity[a:b] >= sure).any())
    return out


def unworded(
    activity: NDArray[np.float32], words: Sequence[Word], options: PlanOptions, *, shortest: float = 0.9
) -> tuple[Stretch, ...]:
    """Speech that got no words: spans of voice, at least shortest seconds long, that no word covers."""
    covered = np.zeros(len(activity) + 1, dtype=bool)
    reach = 0.45
    speech_at = _speech(activity)
    for w in _standing(words):
        end = min(w.end, w.start + longest_said(w.text))
        covered[max(0, int((w.start - reach) / FRAME)) : int((end + reach) / FRAME) + 1] = True
    found: list[Stretch] = []
    begun: int | None = None
    gap = 0
    for i in range(len(activity) + 1):
        speech = i < len(activity) and speech_at[i] and not covered[i]
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
