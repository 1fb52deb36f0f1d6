"""Sound as it arrives: what a hearing passed over is heard again, what never gets words is told."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pipeline import live
from pipeline.coverage import WHY_GUESSED, Hearing
from pipeline.hearing_plan import HeardWord
from pipeline.media import RATE
from tests.pipeline.test_hearing import Imitation


class Forgetful(Imitation):
    """Hears a word for each mark in the sound; a mark in the second phrase only from the n-th hearing of it on."""

    def __init__(self, late: int) -> None:
        super().__init__()
        self.late = late
        self.seen = 0

    def activity(self):  # type: ignore[no-untyped-def]
        from pipeline.hearing_plan import FRAME

        step = round(FRAME * RATE)
        rest = np.zeros(0, np.float32)

        def voice(samples: NDArray[np.float32]) -> NDArray[np.float32]:
            nonlocal rest
            both = np.concatenate([rest, samples])
            n = len(both) // step
            rest = both[n * step :]
            return (np.abs(both[: n * step]).reshape(n, step).max(axis=1) > 0.05).astype(np.float32) if n else rest[:0]

        return voice

    def one(self, sound: np.ndarray) -> Hearing:
        found = []
        for at in np.flatnonzero(sound > 0.45):
            name = f"n{round(float(sound[at + 1]) * 1000)}"
            if name in ("n3", "n4"):
                self.seen += name == "n3"
                if self.seen <= self.late:
                    continue
            found.append(HeardWord(name, at / RATE, at / RATE + 0.4, 0.9, floor=0.9))
        return Hearing(tuple(found), -0.2)


def sound(second: float = 3.2) -> NDArray[np.float32]:
    """Two phrases of two seconds, and a long quiet: words n1, n2, n3, n4 in them."""
    out = np.zeros(16 * RATE, np.float32)
    for phrase, names in ((1.0, (1, 2)), (second, (3, 4))):
        out[int(phrase * RATE) : int((phrase + 1.6) * RATE)] = 0.1
        for i, n in enumerate(names):
            at = int((phrase + 0.2 + 0.8 * i) * RATE)
            out[at], out[at + 1] = 0.5, n / 1000
    return out


def listened(late: int) -> tuple[list[str], live.LiveListener]:
    listener = live.LiveListener(ear=Forgetful(late))
    words: list[str] = []
    whole = sound()
    for at in range(0, len(whole), 3 * RATE):
        words += [w.text for w in listener.feed(whole[at : at + 3 * RATE]).settled]
    return words, listener


def test_a_phrase_that_a_hearing_passed_over_is_heard_again() -> None:
    assert listened(0)[0] == ["n1", "n2", "n3", "n4"]
    assert listened(1)[0] == ["n1", "n2", "n3", "n4"]


def test_speech_that_never_gets_words_is_told_and_does_not_stop_the_rest() -> None:
    words, listener = listened(99)
    assert words == ["n1", "n2"]
    (place,) = listener.unheard()
    assert 2.7 <= place.start <= 3.7
    assert 4.3 <= place.end <= 5.4


class OverAndOver(Forgetful):
    """Writes "oh, oh, oh." over whatever it is given, sure of it but for the first time it says so."""

    def __init__(self) -> None:
        super().__init__(0)

    def one(self, sound: np.ndarray) -> Hearing:
        loud = np.flatnonzero(np.abs(sound) > 0.05)
        first, last = float(loud[0]) / RATE, float(loud[-1]) / RATE
        third = (last - first) / 3
        return Hearing(
            tuple(
                HeardWord(text, first + i * third, first + (i + 1) * third - 0.05, p, floor=p)
                for i, (text, p) in enumerate((("Oh,", 0.25), ("oh,", 0.8), ("oh.", 0.9)))
            ),
            -0.4,
        )


def test_one_word_over_and_over_for_a_sentence_is_told_within_ten_seconds_of_its_end() -> None:
    """Seen in a browser: a muffled sentence of four seconds got "oh, oh, oh.", and nobody was told."""
    listener = live.LiveListener(ear=OverAndOver())
    whole = np.zeros(16 * RATE, np.float32)
    whole[RATE : 5 * RATE] = 0.1
    told = None
    for at in range(0, len(whole), RATE // 2):
        listener.feed(whole[at : at + RATE // 2])
        if told is None and (places := listener.unheard()):
            told = listener.seconds
            assert {p.why for p in places} == {WHY_GUESSED}
            assert 0.5 <= places[0].start <= 1.5
    assert told is not None
    assert told <= 15.0
    assert listener.unheard()[-1].end > 4.5, "it is still told when all is heard"


class Circling(Forgetful):
    """Goes round in circles wherever it hears the second phrase with the first one before it."""

    def one(self, sound: np.ndarray) -> Hearing:
        right = super().one(sound)
        names = {w.text for w in right.words}
        if not {"n2", "n3"} <= names:
            return right
        length = len(sound) / RATE
        again = [HeardWord(f"n{2 + k % 2}", k * length / 60, (k + 1) * length / 60, 0.9, floor=0.9) for k in range(60)]
        return Hearing(tuple(again), -0.2)


def test_a_window_that_goes_round_in_circles_is_heard_without_what_came_before() -> None:
    listener = live.LiveListener(ear=Circling(0))
    words: list[str] = []
    whole = sound(4.6)
    for at in range(0, len(whole), RATE):
        words += [w.text for w in listener.feed(whole[at : at + RATE]).settled]
    assert words == ["n1", "n2", "n3", "n4"]


class Echoing(Forgetful):
    """Says all it heard twenty times more, in no time, behind its last word: seen on a processor without AVX-512."""

    def one(self, sound: np.ndarray) -> Hearing:
        right = super().one(sound)
        if not right.words:
            return right
        end = right.words[-1].end
        again = [HeardWord(w.text, end, end, 0.9, floor=0.9) for w in right.words * 20]
        return Hearing((*right.words, *again), -0.2)


def test_a_sentence_said_again_in_no_time_does_not_cost_the_sentence() -> None:
    listener = live.LiveListener(ear=Echoing(0))
    words: list[str] = []
    whole = sound()
    for at in range(0, len(whole), RATE):
        words += [w.text for w in listener.feed(whole[at : at + RATE]).settled]
    assert words == ["n1", "n2", "n3", "n4"]
