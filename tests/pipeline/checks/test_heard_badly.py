"""Rules of doubt on the whole path, from words with the recogniser's probabilities to what is asked.

A written narration has no probability of a word, so that no narration reaches them.
"""

from __future__ import annotations

from datetime import date

import pytest

from extractors.words import Stretch, Transcript, Word
from pipeline.run import read_words
from pipeline.walk import Source
from vocab import builtin

RULES = {"doubtful_figure", "spelled_serial", "speech_not_understood", "listen_again"}


def asked(text: str, unsure: str = "", unheard: float = 0.0, model: str | None = "base") -> set[str]:
    """The rules of doubt that ask; the words of `unsure` were heard at 0.4, all others at 0.97."""
    low = set(unsure.split())
    words = tuple(
        Word(w, 0.4 * i, 0.4 * i + 0.3, 0.4 if w.strip(".,") in low else 0.97) for i, w in enumerate(text.split())
    )
    end = words[-1].end
    lost = (Stretch(end, end + unheard, "no words"),) if unheard else ()
    transcript = Transcript(words, duration=end + unheard, model=model, unheard=lost)
    walk = read_words(transcript, builtin(), Source("a.m4a", "0" * 64, "recording", end), date(2026, 11, 25))
    return {f.rule for f in walk.findings} & RULES


@pytest.mark.parametrize(
    ("text", "unsure", "rules"),
    [
        ("The line makes fifteen loads an hour and the cycle is four minutes.", "fifteen", {"doubtful_figure"}),
        ("The line makes fifteen loads an hour and the cycle is four minutes.", "", set()),
        ("The line makes fifteen loads an hour.", "fifteen", set()),  # nothing rests on it
        ("The line makes twelve loads an hour and the cycle is five minutes.", "twelve", set()),  # sounds like no other
        ("Made by Orrin Vale, serial number 7O41I8, built in 1998.", "", {"spelled_serial"}),
        ("Made by Orrin Vale, serial number B seven oh four one, built in 1998.", "B", {"spelled_serial"}),
        ("Made by Orrin Vale, serial number 70418, built in 1998.", "", set()),
        ("It comes with a screw picker.", "screw", {"listen_again"}),
        ("The pumps half or kilowatt motors.", "or", {"listen_again"}),
        ("It comes with a screw picker.", "", set()),
    ],
)
def test_what_was_heard_badly_is_asked_about(text: str, unsure: str, rules: set[str]) -> None:
    assert asked(text, unsure) == rules


@pytest.mark.parametrize(("seconds", "rules"), [(8.0, {"speech_not_understood"}), (2.0, set())])
def test_speech_without_words(seconds: float, rules: set[str]) -> None:
    assert asked("The line makes fifteen loads an hour.", unheard=seconds) == rules
    assert not asked("The line makes fifteen loads an hour.", unheard=seconds, model=None)  # a person wrote it down
