"""What speaks for a cut, weighed: whether the recording is a row of machines, and where the machines of a row open.

Sets of weights (vocab/cut_weights.toml, fitted by tools/fit_cuts.py) add up to the logarithm of odds: of marks of a
clause, of the stretch between two cuts and of the speaker's pace (ways.py weighs all ways of cutting at all paces), and
of marks of the whole.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from extractors.clause_marks import clause_marks, told
from extractors.clause_plates import Plates, plate_marks, tags_alike
from extractors.clause_talk import is_year, talk_marks, talk_of
from extractors.lot_numbers import Cue
from extractors.mentions import Tokens
from extractors.odds import sum_of
from extractors.openings import Opening, clauses, said
from extractors.row_marks import cut_marks, row_marks
from extractors.spans import PACE_MARKS, PACES, SPAN_MARKS, Counted, Floats, pace_marks, span_marks
from extractors.ways import Weighed, weigh
from vocab import Vocabulary

CHANCE = 0.5
"""Chance from which a clause, or two beside each other, are a cut."""
BESIDE = 10
"""Words within which two clauses speak for the same cut."""
SAME_NUMBER = 10
"""Words within which a plate is told once ("the serial's here, hold on, 4 0 7 7")."""
DIGITS, LONG_CODE, PIECES, LED = 3, 5, 3, 5
"""Digits of a serial number at least, of one told in one piece, its pieces; words before it that tell what it is."""
MACHINES = ("own", "name stops, machine", "a machine", "agent, no verb")
"""Marks of a clause by which a machine is named there."""
SERIALS = frozenset({"serial", "number", "number's", "plate"})
PLATES = frozenset({"serial", "serial's", "plate", "plate's"})
NONE = frozenset({"number", "name", "plate", "serial"})
PACE_NAMES = tuple(f"{words} words each" for words in PACES)
"""What speaks for each pace before anything is looked at."""


@dataclass(frozen=True, slots=True)
class Clauses:
    """A recording's clauses, with all that is weighed of them."""

    places: Sequence[int]
    """Their first tokens."""
    marks: Sequence[Mapping[str, float]]
    spans: Floats
    paces: Floats
    identities: int
    words: int


def clauses_of(tokens: Tokens, cues: Sequence[Cue], rules: Collection[int], vocabulary: Vocabulary) -> Clauses:
    """The clauses and their marks; `rules` are the tokens at which the rules cut."""
    places = list(clauses(tokens, vocabulary))
    t, talk = told(tokens, cues, vocabulary), talk_of(tokens, places, rules, vocabulary)
    plates = Plates(identities(tokens), tags_alike(tokens, places, vocabulary))
    marks = [
        clause_marks(tokens, places, n, t, vocabulary)
        | talk_marks(tokens, places, n, t, talk, vocabulary)
        | plate_marks(tokens, places, n, t, plates, vocabulary)
        for n in range(len(places))
    ]
    counted = Counted(
        edges=[*places, len(tokens)],
        identities=plates.told,
        years=[i for i, x in enumerate(tokens) if is_year(x.text)],
        figures=[i for i, x in enumerate(tokens) if _figure(x.text, x.lower, vocabulary)],
        machines=[p for p, m in zip(places, marks, strict=True) if any(m.get(name) for name in MACHINES)],
    )
    paces = pace_marks(counted.edges)
    return Clauses(places, marks, span_marks(counted), paces, len(counted.identities), len(tokens))


def weights(vocabulary: Vocabulary, what: str) -> Mapping[str, float]:
    """The weights of one of the sets ("row", "cut", "span" or "pace"), by mark."""
    return _weights(vocabulary)[what]


@lru_cache(maxsize=8)
def _weights(vocabulary: Vocabulary) -> dict[str, dict[str, float]]:
    out: dict[str, dict[str, float]] = {"row": {}, "cut": {}, "span": {}, "pace": {}}
    for row in vocabulary["cut_weights"]:
        out[row["of"]][row["mark"].removeprefix(f"{row['of']}: ")] = row["weight"]
    return out


def weighed(c: Clauses, vocabulary: Vocabulary) -> Weighed:
    """How likely each clause opens another machine, were the recording a row."""
    by = weights(vocabulary, "cut")
    sums = np.array([sum_of(m, by) for m in c.marks])
    span = weights_of(vocabulary, "span", SPAN_MARKS)
    pace, at = weights_of(vocabulary, "pace", PACE_MARKS), weights_of(vocabulary, "pace", PACE_NAMES)
    return weigh(sums, c.spans @ span + c.paces @ pace, at)


def weights_of(vocabulary: Vocabulary, what: str, names: Sequence[str]) -> Floats:
    """The weights of some marks of a set."""
    by = weights(vocabulary, what)
    return np.array([by.get(name, 0.0) for name in names])


def cuts_at(places: Sequence[int], chances: Floats, *, sure: Collection[int] = ()) -> list[int]:
    """Which clauses are cuts, in order: those that are likely, or that are so with their neighbours; `sure` ones in any
    case."""
    left = chances.copy()
    left[list(sure)] = 1.0
    at = np.array(places)
    taken: list[int] = []
    while len(left):
        n = int(left.argmax())
        if left[n] < CHANCE:  # none by itself: two beside each other that speak for one cut
            together = np.array(
                [left[abs(at - p) <= BESIDE].sum() if x > 0 else 0 for p, x in zip(at, left, strict=True)]
            )
            if together.max() < CHANCE:
                break
            near = abs(at - at[int(together.argmax())]) <= BESIDE
            n = int(np.where(near, left, -1).argmax())
        taken.append(n)
        near = abs(at - at[n]) <= BESIDE
        left[near & ((left < CHANCE) | ((n in sure) & (left < 1)))] = 0
        left[n] = 0
    return sorted(taken)


def row_odds(
    tokens: Tokens,
    openings: Sequence[Opening],
    cues: Sequence[Cue],
    c: Clauses,
    w: Weighed,
    *,
    series: bool,
    vocabulary: Vocabulary,
) -> float:
    """The logarithm of the odds that the recording is a row of machines and not one machine or line."""
    marks = row_marks(tokens, openings, cues, series=series, vocabulary=vocabulary)
    return sum_of(marks | of_cuts(c, w), weights(vocabulary, "row"))


def of_cuts(c: Clauses, w: Weighed) -> dict[str, float]:
    """The marks of what a row would be cut into."""
    return cut_marks(
        c.marks,
        w.chances,
        cuts_at(c.places, w.chances),
        words=c.words,
        identities=c.identities,
        against_none=w.against_none,
    )


def identities(tokens: Tokens) -> list[int]:
    """Where a plate is told, or that there is none: words for it, and numbers like those of a plate."""
    found = set(_codes(tokens))
    for i, t in enumerate(tokens):
        none = i > 0 and t.lower in NONE and tokens[i - 1].lower in ("no", "there's")
        if t.lower in PLATES or none:
            found.add(i)
    out: list[int] = []
    last = -SAME_NUMBER - 1
    for i in sorted(found):
        if i - last > SAME_NUMBER:
            out.append(i)
        last = i
    return out


def _codes(tokens: Tokens) -> list[int]:
    """First tokens of runs of figures and capital letters that are no plain figure: "4 0 7 7 1 2", "K S 1 4 0"."""
    out, i = [], 0
    while i < len(tokens):
        end = i
        while end < len(tokens) and _piece(tokens[end].text) and (end == i or not tokens[end - 1].after):
            end += 1
        run = tokens[i:end]
        digits = sum(c.isdigit() for t in run for c in t.text)
        led = bool(SERIALS & {t.lower for t in tokens[max(0, i - LED) : i]})
        if digits >= DIGITS and (len(run) >= PIECES or digits >= LONG_CODE or led):
            year = len(run) == 1 and is_year(run[0].text)
            if not year and "," not in run[0].text:
                out.append(i)
        i = max(end, i + 1)
    return out


def _piece(text: str) -> bool:
    return any(c.isdigit() for c in text) or (len(text) == 1 and text.isupper() and text != "I")


def _figure(text: str, lower: str, vocabulary: Vocabulary) -> bool:
    return any(c.isdigit() for c in text) or (lower in said(vocabulary, "count") and lower != "one")
