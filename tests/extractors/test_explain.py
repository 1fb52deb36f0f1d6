"""What is shown of the words around a moment."""

from __future__ import annotations

from extractors.explain import explain
from extractors.words import Transcript, Word
from vocab import builtin


def transcript(text: str) -> Transcript:
    words = tuple(Word(w, i * 0.5, i * 0.5 + 0.4) for i, w in enumerate(text.split()))
    return Transcript(words, duration=len(words) * 0.5)


def test_take_backs_and_asides_are_shown_with_their_reason() -> None:
    lines = explain(
        transcript("The sieve has forty screens, no, sixty screens. Ring 555-0111 about it."), 3.0, builtin()
    )
    shown = "\n".join(lines)
    assert '"forty screens" was read as "sixty screens": a take-back (repairs)' in shown
    assert '"555-0111": phone (asides)' in shown


def test_only_what_is_near_is_shown() -> None:
    words = transcript("The sieve has forty screens, no, sixty screens. " + "It is quite a tidy room in here. " * 12)
    assert "forty" not in "\n".join(explain(words, 50.0, builtin(), around=2.0))


def test_a_word_that_was_heard_badly_is_shown() -> None:
    words = (Word("fifteen", 0.0, 0.4, 0.41, ("fifty",), "heard both ways"), Word("horse", 0.5, 0.9))
    shown = "\n".join(explain(Transcript(words, duration=1.0), 0.5, builtin()))
    assert '"fifteen": heard both ways (probability 0.41; heard as well: fifty)' in shown


def test_a_moment_without_words() -> None:
    assert explain(transcript("One pump."), 500.0, builtin()) == ("No words were heard within 8 seconds of 8:20.",)
