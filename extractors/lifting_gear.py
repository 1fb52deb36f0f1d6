"""Things that lift, and things that weigh: a bare figure in tons or pounds of one is what it takes, not what it weighs.

Common practice, no source: of such gear the rated load is named, and its own weight only as such.
"""

from __future__ import annotations

LIFTING = frozenset(
    "crane hoist hook winch jack trolley jib davit monorail gantry lift lifter forklift truck tackle sling".split()
)
"""Nouns in the singular."""
WEIGHING = frozenset("scale weigher checkweigher loadcell".split())
"""What these weigh, they weigh of something else."""


def lifts(subject: str) -> bool:
    """Whether the last word of a subject names lifting gear, in the singular or the plural."""
    return _last_in(subject, LIFTING)


def is_rated(subject: str) -> bool:
    """Whether a mass said of the subject is what it lifts or weighs."""
    return _last_in(subject, LIFTING | WEIGHING)


def _last_in(subject: str, nouns: frozenset[str]) -> bool:
    last = subject.lower().split()[-1:]
    return bool(last) and bool({last[0], last[0].removesuffix("s"), last[0].removesuffix("es")} & nouns)
