"""What a recording that is being made adds up to, with words put in the listener's place."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from extractors.words import Stretch
from pipeline.coverage import WHY_GUESSED
from pipeline.web.recordings import Recordings
from pipeline.web.room import Room, State
from tests.pipeline.web.standin import Script, Some
from vocab import builtin


class Unsure(Script):
    """Every word as unsure as a recogniser is of a sentence that it made up."""

    def feed(self, samples: NDArray[np.float32]) -> Some:
        heard = super().feed(samples)
        return replace(heard, settled=tuple(replace(w, probability=0.45) for w in heard.settled))


class Muffled(Script):
    """Fluent words, and the sound beneath them told as not understood."""

    def unheard(self) -> tuple[Stretch, ...]:
        return (Stretch(0.0, 2.0, WHY_GUESSED),)


def told(folder: Path, listener: type[Script]) -> State:
    """The state after three seconds of sound and two phrases."""
    folder.mkdir()
    kept = Recordings(folder)
    number = kept.begin().number
    kept.add_sound(number, 0, bytes(3 * 32000))
    room = Room(kept, number, lambda: listener("the wash tank holds four", "hundred gallons and is new"), builtin())
    try:
        state = room.after(0, 10)
        while not state.facts and not state.fault:
            before = state.version
            state = room.after(before, 10)
            assert state.version > before, "nothing was told in ten seconds"
        return state
    finally:
        room.close()


def test_figures_of_a_guessed_sentence_are_doubtful_while_one_speaks(tmp_path: Path) -> None:
    (sure,) = [f for f in told(tmp_path / "a", Script).facts if f["kind"] == "quantity"]
    assert (sure["value"], sure["doubt"]) == ("400 gallons", "")
    (guess,) = [f for f in told(tmp_path / "b", Unsure).facts if f["kind"] == "quantity"]
    assert guess["value"] == "400 gallons"
    assert "understood" in guess["doubt"]


def test_figures_over_muffled_sound_are_doubtful_while_one_speaks(tmp_path: Path) -> None:
    (fact,) = [f for f in told(tmp_path / "a", Muffled).facts if f["kind"] == "quantity"]
    assert fact["value"] == "400 gallons"
    assert "understood" in fact["doubt"]
