"""Voices without their upper band: told apart by the sound alone, and believed less in what was written of them."""

from __future__ import annotations

import wave
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from extractors.words import Word
from pipeline import live, speech
from pipeline.coverage import GUESSED, GUESSED_MUFFLED, WHY_GUESSED, Hearing, doubting, guessed, not_understood
from pipeline.hearing_plan import FRAME, HeardWord, PlanOptions, Span
from pipeline.media import RATE
from pipeline.muffled import SAMPLES, Tone, band_power, muffled, unintelligible
from pipeline.settings import Settings
from tests.pipeline.test_live import Forgetful

BETWEEN = (GUESSED + GUESSED_MUFFLED) / 2
"""A mean probability that is believed of a clear voice and not of a muffled one."""


def voice(seconds: float, *, cut: float = 8000.0, tilt: float = -6.0, seed: int = 1) -> NDArray[np.float32]:
    """Noise shaped like the long-term spectrum of speech: falling from 500 Hz by tilt dB an octave, nothing above cut.

    Byrne and others 1994, long-term average speech spectrum: level to about 500 Hz, then falling by 6 dB an octave or
    a little more (from memory).
    """
    n = int(seconds * RATE)
    spectrum = np.fft.rfft(np.random.default_rng(seed).standard_normal(n))
    hz = np.fft.rfftfreq(n, 1 / RATE)
    spectrum *= np.maximum(hz / 500, 1.0) ** (tilt / 6.02) * (hz > 100) * (hz <= cut)
    sound = np.fft.irfft(spectrum, n)
    return (0.1 * sound / sound.std()).astype(np.float32)


def tone_of(*parts: NDArray[np.float32]) -> Tone:
    """Every frame is voice where there is sound."""
    sound = np.concatenate(parts)
    frames = sound[: len(sound) // SAMPLES * SAMPLES].reshape(-1, SAMPLES)
    return Tone((np.abs(frames).max(axis=1) > 0.01).astype(np.float32), band_power(frames))


QUIET = np.zeros(RATE, np.float32)


@pytest.mark.parametrize(("hz", "band"), [(200, 0), (440, 0), (1000, 1), (2500, 1)])
def test_a_whistle_is_in_its_band_alone(hz: float, band: int) -> None:
    frame = np.sin(2 * np.pi * hz * np.arange(SAMPLES) / RATE).astype(np.float32)[None]
    power = band_power(frame)[0]
    assert power[band] > 1000 * power[1 - band]


def test_what_lies_outside_of_speech_is_in_neither_band() -> None:
    for hz in (50, 6000):
        frame = np.sin(2 * np.pi * hz * np.arange(SAMPLES) / RATE).astype(np.float32)[None]
        assert band_power(frame).max() < 0.001 * (frame**2).sum() * SAMPLES / 4


@pytest.mark.parametrize(("cut", "dull"), [(500, True), (600, True), (800, True), (1000, False), (1300, False)])
def test_a_cut_is_told_where_words_are_lost_and_not_where_they_are_heard(cut: float, dull: bool) -> None:
    tone = tone_of(voice(4), QUIET, voice(3, cut=cut, seed=2), QUIET, voice(4, seed=3))
    assert muffled(tone, [Span(0, 4), Span(5, 8), Span(9, 13)]) == (False, dull, False)


def test_a_recording_that_is_muffled_from_end_to_end_is_told_without_clear_speech() -> None:
    tone = tone_of(voice(4, cut=600))
    assert muffled(tone, [Span(0, 4)]) == (True,)


def test_noise_in_the_upper_band_does_not_hide_a_cut_and_makes_no_clear_voice_dull() -> None:
    hiss = 0.03 * voice(12, tilt=0.0, seed=9) / 0.1
    sound = np.concatenate([voice(4), QUIET, voice(3, cut=600, seed=2), voice(4, seed=3)])
    tone = tone_of(sound + 0.1 * hiss)
    assert muffled(tone, [Span(0, 4), Span(5, 8), Span(8, 12)]) == (False, True, False)


def test_a_dull_microphone_is_measured_by_itself() -> None:
    # the whole recording falls twice as fast; a bound for all recordings alone would doubt some of it
    tone = tone_of(voice(4, tilt=-14), voice(4, tilt=-14, seed=2))
    assert muffled(tone, [Span(0, 4), Span(4, 8)]) == (False, False)


def test_too_little_voice_is_not_judged() -> None:
    tone = tone_of(voice(4), QUIET, voice(0.3, cut=500), QUIET)
    assert muffled(tone, [Span(5, 5.3), Span(4.2, 4.8), Span(90, 91)]) == (False, False, False)
    assert muffled(Tone(np.zeros(0, np.float32), np.zeros((0, 2), np.float32)), [Span(0, 1)]) == (False,)


SAID = "the drain goes along the wall to the pit".split()


def said(p: float, *, at: float) -> list[Word]:
    return [Word(t, at + i / 3, at + i / 3 + 0.3, p) for i, t in enumerate(SAID)]


def test_fluent_words_over_muffled_sound_are_told_and_doubted_and_the_same_over_clear_sound_are_not() -> None:
    tone = tone_of(voice(4), QUIET, voice(3, cut=600, seed=2), QUIET, voice(4, seed=3))
    words = [*said(BETWEEN, at=0.2), *said(BETWEEN, at=5.0), *said(BETWEEN, at=9.2)]
    assert guessed(words, tone) == ((9, 18),)
    (place,) = not_understood(tone, words, PlanOptions())
    assert (place.start, place.end, place.why) == (words[9].start, words[17].end, WHY_GUESSED)
    assert [w.doubt is not None for w in doubting(words, tone)] == [False] * 9 + [True] * 9 + [False] * 9


def test_surely_heard_words_over_muffled_sound_are_believed() -> None:
    # a slope of 24 dB an octave more: the recogniser hears nearly all of it
    tone = tone_of(voice(4), QUIET, voice(3, tilt=-30, seed=2))
    assert muffled(tone, [Span(5, 8)]) == (True,)
    assert guessed(said(GUESSED_MUFFLED + 0.05, at=5.0), tone) == ()


def test_where_nothing_can_be_heard_no_word_is_believed_however_sure() -> None:
    tone = tone_of(voice(4), QUIET, voice(3, cut=600, seed=2), QUIET, voice(4, seed=3))
    assert unintelligible(tone, [Span(0, 4), Span(5, 8), Span(9, 13)]) == (False, True, False)
    words = [*said(0.99, at=0.2), *said(0.99, at=5.0), *said(0.99, at=9.2)]
    assert guessed(words, tone) == ((9, 18),)
    (place,) = not_understood(tone, words, PlanOptions())
    assert 4.9 < place.start < place.end < 8.1


def test_three_words_are_told_though_the_detector_hardly_saw_a_voice_under_them() -> None:
    # "oh, oh, oh." of a mean of 0.74 over a sentence of five seconds, of which the detector saw one
    sound = np.concatenate([voice(4), QUIET, QUIET, voice(4.5, cut=500, seed=2), QUIET])
    frames = sound[: len(sound) // SAMPLES * SAMPLES].reshape(-1, SAMPLES)
    activity = (np.abs(frames).max(axis=1) > 0.01).astype(np.float32)
    activity[int(6 / FRAME) : int(8.4 / FRAME)] = 0.1
    activity[int(9.2 / FRAME) :] = 0.1
    tone = Tone(activity, band_power(frames))
    sounds = [Word("oh,", 7.8, 8.1, 0.9), Word("oh,", 8.1, 8.3, 0.9), Word("oh.", 8.3, 8.5, 0.9)]
    assert muffled(tone, [Span(7.8, 8.5)]) == (False,)
    (place,) = not_understood(tone, [*said(0.99, at=0.5), *sounds], PlanOptions())
    assert (place.start, place.end, place.why) == (7.8, 8.5, WHY_GUESSED)


def test_a_sound_or_two_written_where_nothing_can_be_heard_do_not_stand_for_what_was_said() -> None:
    tone = tone_of(voice(4), QUIET, QUIET, voice(4.5, cut=500, seed=2), QUIET)
    clear = said(0.99, at=0.5)
    sounds = [Word("oh,", 7.4, 7.7, 0.9), Word("oh.", 8.6, 8.9, 0.9)]
    (place,) = not_understood(tone, [*clear, *sounds], PlanOptions())
    assert 5.5 < place.start < 6.5
    assert 10 < place.end < 11
    assert [w.doubt is not None for w in doubting([*clear, *sounds], tone, told=[place])][-2:] == [True, True]
    bright = tone_of(voice(4), QUIET, QUIET, voice(4.5, seed=2), QUIET)
    assert all(s.start > 8 or s.end < 8.6 for s in not_understood(bright, [*clear, *sounds], PlanOptions()))


class Fluent(Forgetful):
    """Writes three words a second wherever there is sound, none of them surely."""

    def __init__(self) -> None:
        super().__init__(0)

    def one(self, sound: np.ndarray) -> Hearing:
        found = []
        for i in range(int(3 * len(sound) / RATE)):
            part = sound[int(i * RATE / 3) : int((i + 0.9) * RATE / 3)]
            if np.abs(part).max(initial=0.0) > 0.02:
                found.append(HeardWord(SAID[i % len(SAID)], i / 3, i / 3 + 0.3, BETWEEN, floor=BETWEEN))
        return Hearing(tuple(found), -0.3)


WALK = [QUIET, voice(4), QUIET, QUIET, voice(4, cut=600, seed=2), QUIET, QUIET, voice(4, seed=3)]
"""Clear, muffled from 7 to 11 s, clear."""


def test_a_muffled_stretch_of_a_recording_is_told_and_doubted(tmp_path: Path) -> None:
    path = tmp_path / "a.wav"
    with wave.open(str(path), "wb") as file:
        file.setparams((1, 2, RATE, 0, "NONE", ""))
        file.writeframes((np.clip(np.concatenate(WALK), -1, 1) * 32767).astype("<i2").tobytes())
    heard = speech.listen(path, settings=Settings(cache=tmp_path / "cache"), ear=Fluent())
    (place,) = heard.unheard
    assert place.why == WHY_GUESSED
    assert 6.5 <= place.start <= 8
    assert 10 <= place.end <= 11.5
    doubted = [w for w in heard.words if w.doubt == "hardly understood"]
    assert len(doubted) >= 8
    assert all(6.5 <= w.start <= 11.5 for w in doubted)


@pytest.mark.parametrize("piece", [RATE // 2, 3001, 100], ids=str)
def test_a_muffled_stretch_is_told_while_one_speaks(piece: int) -> None:
    listener = live.LiveListener(ear=Fluent())
    whole = np.concatenate([*WALK, *[QUIET] * 8])
    for at in range(0, len(whole), piece):
        listener.feed(whole[at : at + piece])
    (place,) = listener.unheard()
    assert place.why == WHY_GUESSED
    assert 6.5 <= place.start <= 8
    assert 10 <= place.end <= 11.5


def test_what_is_kept_of_a_frame_is_two_numbers() -> None:
    frames = round(3600 / FRAME)
    power = band_power(np.zeros((100, SAMPLES), np.float32))
    assert power.nbytes / 100 * frames < 1e6, "less than a megabyte an hour"
