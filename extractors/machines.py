"""Where a speaker moves on to another machine, so that one recording of several gives a walk for each.

A line made of several machines is one walk. Whether the recording is a row of machines or one line, and which clauses
of a row open another one, is weighed (weighed_cuts.py). What the rules find (ruled_cuts.py) is one mark among others,
and in a row it stands. Several lots are always a row; where assets are numbered, less has to speak for one.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from itertools import pairwise

from extractors.earlier_machine import earlier_machine
from extractors.lot_numbers import find_cues
from extractors.mentions import Tokens
from extractors.openings import find_openings, said
from extractors.ruled_cuts import SHORTEST, Cut, begins_as_one, numbers_of, returns_of, ruled_cuts
from extractors.weighed_cuts import Clauses, clauses_of, cuts_at, row_odds, weighed
from vocab import Vocabulary

ROW_BAR = 0.3
"""Log odds from which a recording is a row; chosen in folds: four lines of 280 are cut and seven rows of 136 lost,
three and twelve at 0.4, nine and seven at 0."""
NUMBERED_BAR = -1.0
"""The same where numbers of several assets are said, as some firms tag each part of a line ("asset 4402 is the press");
of the rows that have such numbers none is below 2. Several lots are never one."""
SAID = 6
"""Words of a weighed cut that are told as its reason, at most."""


@dataclass(frozen=True, slots=True)
class Part:
    """One machine's words: word indices of the transcript, last excluded."""

    first: int
    last: int
    why: str
    """The words that opened it; empty for the first."""
    back_to: int | None = None
    """Index of the earlier part that this one goes on with."""


def find_machines(tokens: Tokens, vocabulary: Vocabulary) -> tuple[Part, ...]:
    """The recording's parts in order, together all of its words; one part where it is of one machine or line."""
    if not tokens:
        return ()
    cuts = _cuts(tokens, vocabulary)
    edges = [0, *(tokens[_clause(tokens, i, vocabulary)].word for i, _, _ in cuts), tokens[-1].word + 1]
    reasons: list[tuple[str, int | None]] = [("", None), *((words, back) for _, words, back in cuts)]
    return tuple(
        Part(first, last, why, back)
        for (first, last), (why, back) in zip(pairwise(edges), reasons, strict=True)
        if last > first
    )


def _cuts(tokens: Tokens, vocabulary: Vocabulary) -> list[Cut]:
    """The cuts that the weights say, and those of the rules."""
    cues, openings = find_cues(tokens, vocabulary), find_openings(tokens, vocabulary)
    ruled = ruled_cuts(tokens, openings, cues, vocabulary)
    c = clauses_of(tokens, cues, {at for at, _, _ in ruled}, vocabulary)
    w = weighed(c, vocabulary)
    numbers = {cue.words.lower() for cue in numbers_of(tokens, cues)}
    if sum("lot" in words.split() for words in numbers) < 2:
        series = begins_as_one(tokens, vocabulary)
        bar = NUMBERED_BAR if numbers else ROW_BAR
        if row_odds(tokens, openings, cues, c, w, series=series, vocabulary=vocabulary) < bar:
            return []
    said_at = {_clause_of(c, at): (at, words) for at, words, _ in reversed(ruled)}
    returns = [at for at, _, _ in returns_of(tokens, cues, vocabulary)]
    out: list[Cut] = []
    starts = [0]
    # where it is a row, hardly a cut of the rules is wrong
    for n in cuts_at(c.places, w.chances, sure={_clause_of(c, at) for at, _, _ in ruled} - {0}):
        at, words = said_at.get(n, (c.places[n], _reason(tokens, c.places[n])))
        earlier = earlier_machine(tokens, c.places, n, starts, returns, vocabulary)
        if at - starts[-1] < SHORTEST or (earlier is not None and earlier == len(starts) - 1):
            continue  # it goes on with the machine that is spoken of
        out.append((at, words, earlier))
        starts.append(at)
    return out


def _reason(tokens: Tokens, at: int) -> str:
    return " ".join(t.text for t in tokens[at : at + SAID] if t.sentence == tokens[at].sentence)


def _clause_of(c: Clauses, at: int) -> int:
    """The clause that a token stands in."""
    return max(0, bisect_right(c.places, at) - 1)


def _clause(tokens: Tokens, i: int, vocabulary: Vocabulary) -> int:
    """The first token of the clause that a cut stands in, so that a "so" or "okay" goes with it."""
    openers = said(vocabulary, "opener")
    while i > 0 and tokens[i - 1].sentence == tokens[i].sentence and tokens[i - 1].lower in openers:
        i -= 1
    return i
