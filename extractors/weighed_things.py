"""Whether what the rules would list is on a buyer's list after all, weighed: all marks of how it is said add up.

The rules of listed_things.py take a known machine for listed wherever it is named; people also name machines to say
what a part is for, what stands next door or what kind another one is. No single word tells, so the marks of
thing_marks.py and thing_talk.py are weighed (vocab/thing_weights.toml, fitted by tools/fit_things.py). What is
outweighed stays a thing of which figures are told, and is only not listed. What is counted, decided on or has a plate
of its own, or is what the recording is of, is never outweighed.
"""

from __future__ import annotations

from extractors.odds import sum_of, weights_in
from extractors.thing_marks import Marks
from vocab import Vocabulary

BAR = -0.5
"""Logarithm of the odds below which a thing that the rules would list is named in passing. A list is best with all that
is right more often than half as often as its F1: at 0.75 that is -0.5."""

LEAST_WORDS = 60
"""Words of a recording from which on its things are weighed: of a note of two sentences all is meant."""
MEANT = ("fate", "fate told again", "count behind", "count told again", "very first", "whole of the talk",
         "whole's noun")  # fmt: skip
"""Marks of what a speaker means to be listed, as it is counted or its fate told; and of what the recording is of, which
some list and some do not."""


def outweighed(marks: Marks, vocabulary: Vocabulary) -> bool:
    """Whether a thing that the rules would list is only named in passing."""
    return not meant(marks) and odds(marks, vocabulary) < BAR


def meant(marks: Marks) -> bool:
    """Whether it is counted, or decided on; "a diesel, three cylinder" counts no thing of the list."""
    counted = bool(marks.get("count")) and not marks.get("many of a singular")
    return counted or any(marks.get(name) for name in MEANT)


def odds(marks: Marks, vocabulary: Vocabulary) -> float:
    """The logarithm of the odds that a buyer would list what has these marks."""
    return sum_of(marks, weights_in(vocabulary, "thing_weights"))
