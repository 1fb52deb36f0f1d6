"""The year since which a machine has stood: "they closed the doors in 2018", "it hasn't run since 2015".

Read only where the year stands behind a word of stopping, standing or running last, in one sentence. It bounds the
hours that a meter can show; nothing else is made of it.
"""

from __future__ import annotations

from collections.abc import Sequence

from extractors.mentions import Number, StopMention, Tokens
from extractors.word_classes import word_set

STOPS = word_set(
    "closed shut shuttered locked padlocked stopped mothballed retired decommissioned idled ceased quit ended "
    "unplugged parked folded bankrupt"
)
"""What ended in a year."""
STANDS = word_set(
    "idle sat sits sitting stood stands standing parked dead cold off down silent unused hasn't haven't not never "
    "nobody wasn't dark dry empty"
)
"""What has been so since a year."""
RUNS = word_set("ran run runs running used worked turned produced made touched operated powered fired lit started")
IN = word_set("in since back until till after during")
FAR = 9
"""Words between the cue and its year at most; chosen, no source."""
OTHERS = word_set("they're maker makers company model models production brand")
"""What else stops in a year: a model that is made no more."""


def find_stopped(tokens: Tokens, numbers: Sequence[Number]) -> tuple[StopMention, ...]:
    """Each year in which the running of the machine was said to have ended."""
    out = []
    for n in numbers:
        if not 1950 <= n.value <= 2100 or n.value != int(n.value) or n.value_max is not None or n.first == 0:
            continue
        if any(t.aside for t in tokens[n.first : n.last]) or tokens[n.first - 1].lower not in IN:
            continue
        start = n.first - 1
        while start > 0 and tokens[start - 1].sentence == tokens[n.first].sentence and n.first - start <= FAR:
            start -= 1
        before = [t.lower for t in tokens[start : n.first - 1]]
        since = tokens[n.first - 1].lower == "since"
        stopped = bool(STOPS & set(before)) and not OTHERS & set(before)
        stands = since and bool(STANDS & set(before))
        last = "last" in before and bool(RUNS & set(before))
        if stopped or stands or last:
            out.append(StopMention((tokens[start].word, tokens[n.last - 1].word + 1), int(n.value)))
    return tuple(out)
