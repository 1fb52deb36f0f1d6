"""Fates of things taken back: the later one stands, and the record says so where the speaker shows it."""

from __future__ import annotations

import pytest

from extractors.extract import extract
from extractors.words import Transcript, Word
from vocab import builtin

TAKEN_BACK = (
    (
        "The chiller goes with the plant. Two pumps. Actually the chiller stays, it's on a lease.",
        "The chiller goes with the plant",
        "Actually the chiller stays",
    ),
    (
        "Two hoists, those are going with it. A mixer. She's nodding, what, they're keeping the hoists, cross out what "
        "I told you.",
        "those are going with it",
        "they're keeping the hoists",
    ),
    (
        "I've got the air dryer down as included. It's small. Take the air dryer off the list, it's the landlord's.",
        "got the air dryer down as included",
        "Take the air dryer off the list",
    ),
    (
        "The press brake stays. Boss has changed his mind, the press brake is going with it.",
        "The press brake stays",
        "the press brake is going with it",
    ),
    (
        "The stacker isn't included. The stacker is included after all.",
        "The stacker isn't included",
        "The stacker is included after all",
    ),
    (
        "The wrapper goes with it. No it doesn't, that's rented, so leave the wrapper out.",
        "The wrapper goes with it",
        "that's rented",
    ),
    (
        "The crane's part of the sale. I told you the crane was part of the sale, it isn't, it belongs to the hall.",
        "you the crane was part of the sale",
        "it belongs to the hall",
    ),
    (
        "The flare goes. The skid weighs 8 tonnes. So forget what I said about the flare, the flare stays put.",
        "The flare goes",
        "the flare stays put",
    ),
    (
        "The robot's going with the cell. He wants the robot after all. What I told you about it, forget it, the robot "
        "does not go.",
        "The robot's going with the cell",
        "the robot does not go",
    ),
    (
        "Squaring arm goes too. And the squaring arm, I told you that goes. It doesn't, the school's got dibs on it.",
        "I told you that goes",
        "It doesn't",
    ),
    (
        "Billet feeder is going along with the heater. The feeder, I said it is going along. They are keeping it.",
        "I said it is going along",
        "They are keeping it",
    ),
    (
        "The mist collector stays with the building. Ah, forget I said that, I asked him, the mist collector's "
        "ours, it goes.",
        "The mist collector stays with the building",
        "it goes",
    ),
    (
        "The five ton chiller is included. I take that back, the chiller is not included, it serves the other line.",
        "The five ton chiller is included",
        "the chiller is not included",
    ),
    (
        "The fixtures, I guess they'd come with it, well, scratch that, the fixtures are the customer's property.",
        "I guess they'd come with it",
        "the fixtures are the customer's property",
    ),
    (
        "Seventh is the labeller. They're sending that labeller with the line. Scratch that, boss says the labeller "
        "ain't part of the deal.",
        "They're sending that labeller with the line",
        "the labeller ain't part of the deal",
    ),
)
LEFT = (
    "The feed pump goes. The other feed pump stays.",
    "There are two mixers. The mixers go with it. The agent says the mixers stay.",
    "The press goes. The dryer stays. Oh, the tank leaks.",
    "You could take the chiller. No, the chiller stays.",
    "Conveyors included, yes. No conveyors at the back in the deal.",
    "Does the chiller go? No, the chiller stays.",
    "The stacker goes after all the racks are out. The stacker is new.",
)


def fates(text: str) -> list[tuple[str, str]]:
    words = tuple(Word(w, i * 0.4, i * 0.4 + 0.3) for i, w in enumerate(text.split()))
    found = extract(Transcript(words, duration=len(words) * 0.4), builtin()).repairs
    return [(r.heard, r.read) for r in found if r.kind == "self-correction"]


@pytest.mark.parametrize(("said", "heard", "read"), TAKEN_BACK, ids=[c[0][:40] for c in TAKEN_BACK])
def test_a_fate_taken_back(said: str, heard: str, read: str) -> None:
    assert fates(said) == [(heard, read)]


@pytest.mark.parametrize("said", LEFT)
def test_two_fates_without_a_sign(said: str) -> None:
    assert fates(said) == []
