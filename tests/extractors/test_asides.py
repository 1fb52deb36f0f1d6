"""What is said but is no fact of this machine, and facts that sound like it. Sentences are our own; no source."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extractors.asides import mark_asides
from extractors.normalise import tokenise
from extractors.words import Transcript, Word
from vocab import builtin


def marked(text: str) -> dict[str, list[str]]:
    words = tuple(Word(w, i * 0.4, i * 0.4 + 0.3) for i, w in enumerate(text.split()))
    tokens, _ = tokenise(Transcript(words, duration=len(words) * 0.4), builtin())
    out: dict[str, list[str]] = {}
    for t in mark_asides(tokens, builtin()):
        if t.aside is not None:
            out.setdefault(t.aside, []).append(t.lower)
    return out


@pytest.mark.parametrize(
    ("text", "reason", "words"),
    [
        ("Ring me on 555-0107 any time.", "phone", {"555-0107"}),
        ("You can call five five five oh one four four about it", "phone", {"four"}),
        ("It is half past nine here.", "clock", {"past", "nine"}),
        ("It's ten to six in the morning and cold.", "clock", {"six"}),
        ("It is sixteen twenty, I am in the mill.", "clock", {"sixteen", "twenty"}),
        ("They shut the gate at five o'clock.", "clock", {"five"}),
        ("The 14:30 shift runs it.", "clock", {"14:30"}),
        ("We were here two weeks ago.", "clock", {"two", "weeks"}),
        ("She starts nine times out of ten.", "idiom", {"nine", "ten"}),
        ("Give me five seconds here.", "idiom", {"five"}),
        ("I'm a hundred percent sure.", "idiom", {"hundred", "percent"}),
        ("How many horse is that motor?", "question", {"horse", "motor"}),
        ("Could you hold the light, two feet higher.", "question", {"two", "feet"}),
        ("There is no chiller on this one.", "negation", {"chiller"}),
        ("It came without a hood.", "negation", {"hood"}),
        ("It's got no guard.", "negation", {"guard"}),
        ("You could run sixty a minute on a good day.", "hypothetical", {"sixty"}),
        ("If you put twenty psi on it the seal goes.", "hypothetical", {"twenty"}),
        ("The old one had forty spindles.", "other machine", {"forty"}),
        ("My cousin's got a longer one, thirty metres.", "other machine", {"thirty"}),
        ("The neighbour's saw takes forty inches.", "other machine", {"forty"}),
        ("My brother has a bigger one, ninety tonnes.", "other machine", {"ninety"}),
        ("In our Hillford works the oven has twelve zones, sixty metres.", "other machine", {"twelve", "sixty"}),
        ("Their other shop runs at 400 degrees, but that is them.", "other machine", {"400"}),
        ("The lad in the next quarry has a forty inch cone.", "other machine", {"forty"}),
        ("The one they had before it was 250 tonnes.", "other machine", {"250"}),
        ("He runs the one next door, that's an eight hundred ton.", "other machine", {"eight", "ton"}),
        ("The one at my old mill was two hundred feet.", "other machine", {"two", "feet"}),
        ("We sold one last month with a four metre bed.", "other machine", {"four"}),
        ("A fella over the hill has a five hundred kilowatt one.", "other machine", {"five", "kilowatt"}),
        ("I've got about sixty pictures of it.", "people", {"sixty"}),
    ],
)
def test_no_fact(text: str, reason: str, words: set[str]) -> None:
    assert words <= set(marked(text).get(reason, []))


@pytest.mark.parametrize(
    "text",
    [
        "The motor is ten horse and the pump is five.",
        "It runs from five to seven bar.",
        "The motor was rebuilt at the Hillford works, 15 kilowatts.",
        "It came from the other mill, 40 metres long.",
        "The compressor is in the other shop, 55 kilowatts.",
        "The pump in the other bay is five horse.",
        "My father bought it, forty metres long.",
        "My nephew runs it at forty a minute.",
        "The bigger one is 40 kilowatts.",
        "Serial number is 5 5 5 0 1 4 4.",
        "Serial number five five five oh one four four.",
        "The belt is twenty to thirty feet a minute.",
        "It draws no more than fifty amps.",
        "Take it down to ten percent.",
        "Ten twenty-two millimetre sockets hang on the board.",
        "It was rebuilt in March 2015.",
        "One pump here and one pump there.",
        "It cycles every ninety seconds.",
        "We sold one of the two pumps, the other is 15 kilowatts.",
        "The one in the corner is 15 kilowatts.",
    ],
)
def test_a_fact_all_the_same(text: str) -> None:
    assert marked(text) == {}


def test_a_thing_undecided_is_no_hypothesis() -> None:
    assert "hypothetical" not in marked("Hard to say if they go with it.")


@given(st.text(max_size=120))
@settings(max_examples=60, deadline=None, derandomize=True)
def test_marks_only(text: str) -> None:
    """Whatever comes in, the same words come out."""
    words = tuple(Word(w, i * 0.4, i * 0.4 + 0.3) for i, w in enumerate(text.split()))
    tokens, _ = tokenise(Transcript(words), builtin())
    assert [t.text for t in mark_asides(tokens, builtin())] == [t.text for t in tokens]
