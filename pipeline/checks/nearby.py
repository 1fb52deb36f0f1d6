"""Which figures are of one machine: by subject, else by standing in the same breath. Where unclear, nothing is."""

from __future__ import annotations

from collections.abc import Iterable

from pipeline.checks.facts import Facts, bounds, has_dimension, size
from pipeline.checks.subjects import alike, mentions, words
from pipeline.checks.wording import Basis, moment
from pipeline.walk import Quantity

BREATH = 7.0
"""Seconds between two figures said in one breath: about fifteen words; common practice, no source."""
SENTENCE = 20.0
"""Seconds within which a word still belongs to what was being described; common practice, no source."""

ANY_THING = frozenset(
    "machine unit plate tag nameplate label motor load full current voltage power supply rating rated input output it "
    "electric electrical drive service phase speed pressure flow capacity temperature system equipment main em them "
    "one ones other same thing maximum minimum torque armature ammeter voltmeter card".split()
)
"""Words that name no thing of their own: a figure whose subject holds only these may belong to its neighbour."""


def seconds_between(a: Basis, b: Basis) -> float:
    """Seconds between the nearest mentions of two facts; infinite where either has no evidence."""
    gaps = [max(0.0, max(x.start, y.start) - min(x.end, y.end)) for x in a.evidence for y in b.evidence]
    return min(gaps, default=float("inf"))


def vague(subject: str) -> bool:
    """Whether a subject names no thing of its own."""
    return set(words(subject)) <= ANY_THING


def core(subject: str) -> frozenset[str]:
    """The words that name the thing, without "motor", "plate" and their like: "wash pump" of "wash pump motor"."""
    return frozenset(words(subject)) - ANY_THING


def same(a: str, b: str) -> bool:
    """Whether two subjects are one machine by name: the pump and the pump motor are, two vague ones are not."""
    return bool(core(a)) and core(a) == core(b)


def related(a: str, b: str) -> bool:
    """Whether two subjects may be one machine: the words of one are among those of the other, or one is vague."""
    x, y = core(a), core(b)
    return x <= y or y <= x


def with_unit(pool: Iterable[Quantity], unit: str) -> list[Quantity]:
    """The figures that measure the same kind of thing as the unit."""
    return [q for q in pool if has_dimension(q.unit, unit)]


def single(pool: Iterable[Quantity], unit: str, tolerance: float = 0.02) -> Quantity | None:
    """The first figure, where all of them give one magnitude; None where there is none or they differ."""
    found = with_unit(pool, unit)
    sizes = [s for s in (size(q, unit) for q in found) if s is not None]
    if not sizes or max(sizes) - min(sizes) > tolerance * max(abs(s) for s in sizes):
        return None
    return found[0]


def partner(index: Facts, anchor: Quantity, properties: tuple[str, ...], unit: str) -> Quantity | None:
    """The one figure of these properties that is of the same machine as the anchor.

    First those of its name. Else those said in the same breath, of a subject that may be the same, and nearer to the
    anchor than to any other figure of the anchor's kind. Else those whose subject is near in words. Where several
    differ, the one that is clearly nearest in time; None where none is: a rule that guesses raises false alarms.
    """
    pool = [q for q in with_unit(index.of(*properties), unit) if q is not anchor]
    reach = _reach(anchor.subject)
    named = [q for q in pool if same(q.subject, anchor.subject) and seconds_between(q, anchor) <= reach]
    if named:
        return single(named, unit) or _nearest(named, anchor)
    rivals = [q for q in with_unit(index.of(anchor.property), anchor.unit) if q is not anchor]
    breath = [
        q
        for q in pool
        if (gap := _distance(q, anchor)) <= BREATH
        and related(q.subject, anchor.subject)
        and all(_distance(q, r) > gap or same(r.subject, anchor.subject) for r in rivals)
    ]
    if breath:
        return single(breath, unit) or _nearest(breath, anchor)
    # a vague subject ("motor") is near in words to every motor of the plant: only its neighbours may claim it
    if vague(anchor.subject):
        return None
    return single((q for q in pool if alike(q.subject, anchor.subject) == "near" and not vague(q.subject)), unit)


def _distance(q: Quantity, anchor: Quantity) -> float:
    """Seconds between two figures; a power, then volts, then amperes: what follows a figure counts half as near."""
    gap = seconds_between(q, anchor)
    order = "length width height depth diameter volume area power flow pressure voltage phases current".split()
    known = q.property in order and anchor.property in order
    turned = known and (order.index(q.property) < order.index(anchor.property)) != (moment(q) <= moment(anchor))
    return gap * 2 if turned else gap


def _nearest(pool: Iterable[Quantity], anchor: Quantity) -> Quantity | None:
    """The figure that is clearly nearer in time than the next, and in the same breath."""
    ranked = sorted(pool, key=lambda q: _distance(q, anchor))
    first = _distance(ranked[0], anchor)
    clear = len(ranked) == 1 or first < 0.75 * _distance(ranked[1], anchor)
    return ranked[0] if clear and first <= BREATH else None


def attributive(q: Quantity) -> bool:
    """Whether tons tell what a thing is rated for: "a three hundred ton press" against "it weighs twelve tons"."""
    last = q.evidence[0].words.lower().rstrip(".,;:!?").split()[-1:] if q.evidence else []
    return q.unit in ("ton", "tonne", "metric_ton") and q.value > 1 and last in (["ton"], ["tonne"])


def _reach(subject: str) -> float:
    """Seconds within which the same words are the same thing: "pump" a minute later may be another pump."""
    if vague(subject):
        return BREATH * 2
    return float("inf") if len(words(subject)) > 1 else SENTENCE * 2


def about_here(index: Facts, anchor: Quantity, *any_of: str, within: float = SENTENCE) -> bool:
    """Whether one of the words stands in the anchor itself, or in a thing or figure named close by."""
    if mentions(f"{anchor.subject} {anchor.qualifier or ''}", *any_of) or heard(anchor, *any_of):
        return True
    near: list[tuple[str, Basis]] = [(q.subject + " " + (q.qualifier or ""), q) for q in index.quantities]
    near += [(c.name, c) for c in index.components]
    return any(mentions(text, *any_of) and seconds_between(fact, anchor) <= within for text, fact in near)


def called(index: Facts, q: Quantity, within: float = 6.0) -> str:
    """What a figure is of, in all the words there are: its subject and qualifier, and the thing named right before
    it."""
    before = [c for c in index.components if 0 <= moment(q) - moment(c) <= within]
    last = max(before, key=moment, default=None)
    return f"{q.subject} {q.qualifier or ''} {last.name if last is not None else ''}"


def lead(q: Quantity) -> tuple[str, ...]:
    """The words of a figure's sentence before it, lower case and without punctuation; none where they are not known."""
    text, own = (q.around or "").lower(), q.evidence[0].words.lower() if q.evidence else ""
    before = text.partition(own)[0] if own and own in text else ""
    return tuple(w.strip(".,;:!?") for w in before.split())


def parted(q: Quantity) -> tuple[str, str]:
    """The sentence of a figure before it and behind it, lower case; all of it before where the figure is not in it."""
    text, own = q.around or "", q.evidence[0].words.lower() if q.evidence else ""
    before, _, behind = text.partition(own) if own else (text, "", "")
    return before, behind


def words_around(q: Quantity) -> frozenset[str]:
    """The three words on either side of a figure in its sentence."""
    before, behind = parted(q)
    return frozenset(w.strip(".,;:") for w in (*before.split()[-3:], *behind.split()[:3]))


def heard(fact: Basis, *any_of: str) -> bool:
    """Whether one of the words stands in the words that the fact was taken from."""
    return any(mentions(e.words, *any_of) for e in fact.evidence)


def word_before(q: Quantity, *any_of: str) -> str | None:
    """The one of these words that stands nearest before the figure in its sentence; None where none does."""
    own = q.evidence[0].words.lower() if q.evidence else ""
    before = (q.around or "").rpartition(own)[0] if own else ""
    return next((w for w in reversed(words(before)) if w in any_of), None)


def told_beside(
    index: Facts, anchor: Quantity, properties: tuple[str, ...], unit: str, *things: str
) -> Quantity | None:
    """The one figure of these properties in the anchor's own sentence that is of one of these things, not of its name:
    "the fan pulls eight thousand cfm through a twenty inch duct". None where several are."""
    pool = with_unit(index.of(*properties), unit)
    near = (q for q in pool if q is not anchor and one_sentence(q, anchor) and seconds_between(q, anchor) <= BREATH)
    return single((q for q in near if mentions(q.subject, *things)), unit)


def told_in(q: Quantity, text: str) -> bool:
    """Whether the words of a figure stand in a sentence, lower case, whatever mention of it they are."""
    return any(e.words.lower() in text for e in q.evidence)


def one_sentence(a: Quantity, b: Quantity) -> bool:
    """Whether the words of one figure stand in the sentence of the other."""
    return any(e.words.lower() in (x.around or "") for x, y in ((a, b), (b, a)) for e in y.evidence[:1] if e.words)


def most(q: Quantity, unit: str) -> float:
    """The greatest magnitude that was said; the caller knows the dimension to fit."""
    found = bounds(q, unit)
    return found[1] if found else float("nan")


def outside(value: float, low: float, high: float, spare: float = 0.0) -> bool:
    """Whether a value lies outside limits widened by the share that the wording allows."""
    return value < low * (1 - spare) or value > high * (1 + spare)
