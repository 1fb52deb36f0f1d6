"""What the sentence of a figure calls it: the words between the figure before and the one behind.

Talk names a thing once and then tells its figures by a word each ("daylight's forty-eight, stroke thirty"), and a
figure that was filed under a neighbour still has that word beside it. So a rule may look for its operands by their kind
and these words, whatever they were filed under, and stays quiet where any of them bears the others out.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import product

from extractors.phrases import singular
from extractors.words import Evidence
from pipeline.checks.facts import Facts, has_dimension
from pipeline.checks.subjects import words
from pipeline.checks.wording import WITHIN, began, moment
from pipeline.walk import Loose, Quantity, Walk

_NEAR = 20.0
"""Seconds within which two figures may stand in one sentence; common practice, no source."""
_MOST = 400
"""Combinations that are looked through at most: a walk with more of them tells of several machines."""


@dataclass(frozen=True, eq=False, slots=True)
class _Kept:
    """What was worked out for one walk, by the figure."""

    beside: dict[int, tuple[str, str]] = field(default_factory=dict)
    called: dict[int, str] = field(default_factory=dict)
    plain: dict[tuple[str, tuple[str, ...]], list[Quantity]] = field(default_factory=dict)


@lru_cache(maxsize=1)
def _kept(index: Facts) -> _Kept:
    """The store of a walk; the last one is kept, because every rule asks for the same."""
    return _Kept()


def beside(index: Facts, q: Quantity) -> tuple[str, str]:
    """The words of a figure's sentence before it, back to the figure before, and behind it to the next, lower case."""
    kept = _kept(index).beside
    if id(q) not in kept:
        kept[id(q)] = _beside(index, q)
    return kept[id(q)]


def _beside(index: Facts, q: Quantity) -> tuple[str, str]:
    text, own = (q.around or "").lower(), q.evidence[0].words.lower() if q.evidence else ""
    at = text.find(own) if own else -1
    if at < 0:
        return text, ""
    end, start, stop = at + len(own), 0, len(text)
    now = moment(q)
    for other in index.quantities:
        if other is q or not other.evidence or abs(moment(other) - now) > _NEAR:
            continue
        words = other.evidence[0].words.lower()
        if moment(other) < now and (found := text.rfind(words, 0, at)) >= 0:
            start = max(start, found + len(words))
        elif moment(other) > now and (found := text.find(words, end)) >= 0:
            stop = min(stop, found)
    return text[start:at], text[end:stop]


def called(index: Facts, q: Quantity) -> str:
    """Everything that names a figure: subject, what it is of, qualifier, and the words beside it up to a comma behind.

    What stands behind a comma begins the next thing ("the bore is fourteen inches, the stroke")."""
    kept = _kept(index).called
    found = kept.get(id(q))
    if found is None:
        found = kept[id(q)] = _called(index, q)
    return found


def _called(index: Facts, q: Quantity) -> str:
    before, behind = beside(index, q)
    own = q.evidence[0].words.lower() if q.evidence else ""
    tail = "" if own.endswith((",", ";", ".")) else re.split(r"[,;.]\s", behind, maxsplit=1)[0]
    return f"{q.subject} {q.of or ''} {q.qualifier or ''} {before} {own} {tail}".lower()


def sentence(q: Quantity) -> str:
    """The words around a figure with its names, lower case."""
    return f"{q.subject} {q.of or ''} {q.qualifier or ''} {q.around or ''}".lower()


def pool(
    index: Facts,
    unit: str,
    cue: re.Pattern[str] | None = None,
    bar: re.Pattern[str] | None = None,
    properties: tuple[str, ...] = (),
) -> list[Quantity]:
    """The plain figures of a kind whose words hold the cue and not the bar."""
    plain = _kept(index).plain
    key = (unit, properties)
    if key not in plain:
        told = index.of(*properties) if properties else index.quantities
        plain[key] = [q for q in told if q.value_max is None and q.value and has_dimension(q.unit, unit)]
    if cue is None and bar is None:
        return [*plain[key]]
    found = []
    for q in plain[key]:
        text = called(index, q)
        if (cue is None or cue.search(text)) and (bar is None or not bar.search(text)):
            found.append(q)
    return found


def spread(figures: Iterable[Quantity]) -> float:
    """Seconds from the first to the last of some figures."""
    at = [moment(q) for q in figures]
    return max(at) - min(at) if at else 0.0


def nearest(
    holds: Callable[..., bool], *pools: Iterable[Quantity], within: float = float("inf")
) -> tuple[tuple[Quantity, ...], bool] | None:
    """The figures, one of each pool, to compare, and whether they go together.

    Where any combination holds it is that one, so that a figure of a neighbour raises no alarm; else the one that was
    told most closely together. None where a pool is empty, nothing lies within so many seconds, or too much would do.
    """
    sets = [list(p) for p in pools]
    size = 1
    for s in sets:
        size *= len(s)
    if not 0 < size <= _MOST:
        return None
    near = [c for c in product(*sets) if len({id(q) for q in c}) == len(c) and spread(c) <= within]
    if not near:
        return None
    for c in near:
        if holds(*c):
            return c, True
    return min(near, key=spread), False


def settled(walk: Walk, *figures: Quantity) -> bool:
    """Whether a stricter rule has compared all of these figures with one another already: one matter, one finding."""
    ids = {q.id for q in figures}
    return any(ids <= {*c.facts} and not c.outcome.startswith(("could not", WITHIN)) for c in walk.checked)


def found_wrong(walk: Walk, q: Quantity) -> bool:
    """Whether a stricter rule has asked about a figure already: it is one matter."""
    return any(q.id in c.facts and c.outcome.startswith("failed") for c in walk.checked)


@dataclass(frozen=True, slots=True)
class Counted:
    """So many of a noun (singular), with the words of its sentence, lower case, and where it was said."""

    value: int
    noun: str
    before: str
    behind: str
    evidence: tuple[Evidence, ...]

    @property
    def at(self) -> float:
        """Second at which it was said, as of `moment`."""
        return began(self.evidence)

    @property
    def key(self) -> str:
        """The noun as heads of subjects are spelt: a kiln is an oven, a bath a tank."""
        return (words(self.noun) or (self.noun,))[-1]

    @property
    def text(self) -> str:
        return f"{self.before} {self.value} {self.behind}"

    @property
    def near(self) -> str:
        """Five words before it, and behind it."""
        return " ".join((*self.before.split()[-5:], *self.behind.split()[:7]))


_NO_NOUN = re.compile(
    r"^(?:the|and|or|but|of|in|on|to|for|with|at|by|is|are|was|an?|each|per|every|all|hours?|minutes?|days?|years?|weeks?|"
    r"months?|seasons?|percent|times|inches|metres|pounds|kilos|phases?|this|its|it's|that's|there's|he's|she's|has|as)$"
)


def counted(index: Facts) -> list[Counted]:
    """Counts of plural things told anywhere in a walk, whatever they are of."""
    out = []
    for n in index.walk.loose:
        if n.value != int(n.value) or n.value < 2:
            continue
        for k, word in enumerate(n.behind.split()[:3]):
            bare = word.strip(".,;:!?")
            if not bare.replace("-", "").isalpha() or _NO_NOUN.match(bare):
                break
            if singular(bare) != bare:
                out.append(Counted(int(n.value), singular(bare), n.before, n.behind, n.evidence))
                break
            if word != bare and k == 0 and not word.endswith("."):
                break
    for q in index.of("count"):  # "fifty tiles in a pack", read as a count of it
        if q.of and q.value == int(q.value) and q.value >= 2 and q.evidence:
            before, _, behind = (q.around or "").partition(q.evidence[0].words.lower())
            noun = q.of.split()[-1]
            out.append(Counted(int(q.value), singular(noun), before.strip(), f"{noun} {behind.strip()}", q.evidence))
    return out


def as_figure(n: Loose, prop: str, unit: str, subject: str = "") -> Quantity:
    """A number without a unit read as a figure of a kind; the finding that rests on it can only be a question."""
    at = n.evidence[0].start if n.evidence else 0.0
    text = f"{n.before} {n.evidence[0].words if n.evidence else ''} {n.behind}".lower()
    return Quantity(
        f"loose:{at:.1f}", subject, prop, n.value, unit, doubt="the unit was not said", around=text, evidence=n.evidence
    )


def loose(
    index: Facts, prop: str, unit: str, before: re.Pattern[str] | None, behind: re.Pattern[str] | None = None
) -> list[Quantity]:
    """Numbers without a unit whose words before (or behind, at once) say that they are of a kind."""
    found = []
    for n in index.walk.loose:
        lead = " ".join(n.before.split()[-7:])
        if (before is not None and before.search(lead)) or (behind is not None and behind.match(n.behind)):
            found.append(as_figure(n, prop, unit))
    return found
