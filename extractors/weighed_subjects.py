"""Which of the names around it a figure is of, weighed, where the rules had to look beyond its clause.

The rules of subjects.py are sure where a name stands in the figure's own clause: in narrations that they were not made
on they are right nineteen times in twenty. Where they must look elsewhere (what the talk is about, the figure before,
the machine as a whole, the nearest that can have it) they are right three times in four, and no single rule tells.
There the marks of subject_marks.py are weighed (vocab/subject_weights.toml, fitted by tools/fit_subjects.py), and
another name takes the place of theirs where it is clearly more likely.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import exp

from extractors.candidates import Name
from extractors.odds import added, weights_in
from extractors.subject_marks import Figure, Marks, Surroundings, all_marks
from vocab import Vocabulary

WAYS = ("topic", "chained", "whole", "suited")
"""Ways of the rules beyond the clause: what is talked of, with the figure before it, the whole machine, the nearest
that can have such a figure."""
CLEARLY = 2.0
"""So many times as likely as the rules' name another one must be. In folds 1 to 2 are alike on narrations that the
rules were not made on; the highest of them loses least where they were."""
LEAST_WORDS = 60
"""Words of a recording from which on subjects are weighed: of a note of two sentences the rules know enough."""


def weighed(around: Surroundings, figure: Figure, vocabulary: Vocabulary) -> Name:
    """What the figure is of: the rules' name, or one that is clearly likelier."""
    if figure.way not in WAYS or len(around.tokens) < LEAST_WORDS:
        return figure.ruled
    return chosen(likely(all_marks(around, figure), weights_in(vocabulary, "subject_weights")), figure.ruled, CLEARLY)


def chosen(shares: Mapping[str, tuple[float, Name]], ruled: Name, clearly: float) -> Name:
    """The likeliest name where it is so many times as likely as the rules' own, else theirs."""
    own = ruled.text.lower()
    best = max(shares, key=lambda text: shares[text][0])
    share, name = shares[best]
    return name if best != own and share > clearly * shares.get(own, (0.0, ruled))[0] else ruled


def likely(names: Iterable[tuple[Name, Marks]], weights: Mapping[str, float]) -> dict[str, tuple[float, Name]]:
    """Of each name how likely it is, all together 1; and the name, where it was said more than once the likeliest."""
    odds = [(added(marks, weights), name) for name, marks in names]
    most = max(o for o, _ in odds)
    total = sum(exp(o - most) for o, _ in odds)
    out: dict[str, tuple[float, Name]] = {}
    for o, name in sorted(odds, key=lambda pair: -pair[0]):
        text = name.text.lower()
        share, first = out.get(text, (0.0, name))
        out[text] = (share + exp(o - most) / total, first)
    return out
