"""What figures make together against what was told: one engine over the rows of vocab/relations.toml.

A new relation is a row. Its figures are found by dimension and by the words around them, whatever they were filed
under; any combination that holds keeps it quiet, and so does one that a stricter rule has compared.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import lru_cache
from itertools import combinations, product

from extractors.units import convert
from pipeline.checks.facts import Facts, facts, has_dimension, per_hour, size, slack, system
from pipeline.checks.formulas import Operand, Relation, relations
from pipeline.checks.nearby import one_sentence, related, seconds_between
from pipeline.checks.offers import verdict
from pipeline.checks.relations import explained
from pipeline.checks.told import as_figure, beside, called, counted, found_wrong, sentence, settled, spread
from pipeline.checks.wording import WITHIN, clean, figure, heard, moment, number, said, told_count
from pipeline.walk import Checked, Finding, Loose, Quantity, Walk
from vocab import Row, Vocabulary

Results = Iterator[Finding | Checked]

_RULE = "figures_go_together"
_BREATH = 8.0
"""Seconds within which figures of two names may be of one thing; common practice, no source."""
_TOGETHER = 12.0
"""Seconds within which figures are of one thing whatever they were filed under; common practice, no source."""
_WITHIN = 30.0
"""Seconds within which figures of one relation are told, where its row says nothing; common practice, no source."""
_AROUND = 20.0
"""Seconds around them in which the words of a row's `near` and `never` are looked for."""
_FAR = 8.0
"""How many times what was told may be off and still be of the same thing; common practice, no source."""
_NO_UNIT = "the unit was not said"
_POUNDS = "pounds taken as a pressure"
_MOST = 300
"""Combinations that are looked through at most: more of them tell of several machines."""
_EARLIER = 90.0
"""Seconds before the others in which one of the parts may have been told: the size of a machine opens many a walk."""
_MANY = frozenset(("1", "count", "year", "ph", "angle", "difference"))
"""Kinds of figures of which there are too many for one to stand alone."""
_ROUND = re.compile(r"\b(?:round|turn\w*|rev\w*|times|rotat\w*|spins?)\b")
_DENIED = re.compile(r"\b(?:no|not|without|never|nothing|nor|doesn't|don't|isn't|hasn't)\b[^,.;]*")
"""What is said not to be there calls nothing off."""
_CUBIC_FOOT = 0.45359237 / 0.3048**3
"""Kilograms a cubic metre of one pound a cubic foot."""


def figures_go_together(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """What some figures make together, by a row of vocab/relations.toml, against the figure that was told for it.

    Arithmetic: the row's formula. Tolerance: the row's band, plus wording; any combination of figures told nearby that
    holds keeps it quiet, and so does a count told with them that explains the difference. Always a question.
    Source: named with each row.
    """
    index = facts(walk)
    now = today.year + today.timetuple().tm_yday / 365.25
    for relation in relations(vocabulary):
        yield from _compare(index, relation, vocabulary, now)


@dataclass(frozen=True, eq=False, slots=True)
class _Kept:
    """What was worked out for one walk."""

    told: list[Quantity] = field(default_factory=list)
    counts: list[Quantity] = field(default_factory=list)
    bare: list[Quantity] = field(default_factory=list)
    own: dict[int, str] = field(default_factory=dict)
    texts: dict[int, tuple[str, str, str]] = field(default_factory=dict)
    pools: dict[tuple[object, ...], list[tuple[Quantity, Quantity]]] = field(default_factory=dict)
    units: dict[str, list[Quantity]] = field(default_factory=dict)
    kinds: dict[str, list[Quantity]] = field(default_factory=dict)
    heard: list[tuple[float, str]] = field(default_factory=list)


@lru_cache(maxsize=1)
def _kept(index: Facts, vocabulary: Vocabulary) -> _Kept:
    kept = _Kept()
    kept.told.extend(_by_turn(q) for q in index.quantities)
    kept.told.extend(q for n in index.walk.loose if (q := _with_its_unit(n, vocabulary)) is not None)
    kept.told.extend([a for q in kept.told if (a := _of_pressure(q)) is not None])
    kept.told.extend([a for n in index.walk.loose if (a := _told_again(kept.told, n)) is not None])
    kept.counts.extend(_counts(index))
    kept.bare.extend(as_figure(n, "other", "") for n in index.walk.loose if n.evidence)
    kept.heard.extend((moment(q), sentence(q)) for q in index.quantities)
    kept.heard.extend((n.evidence[0].start, f"{n.before} {n.behind}") for n in index.walk.loose if n.evidence)
    kept.heard.extend((moment(c), c.name.lower()) for c in index.components)
    kept.heard.extend((r.evidence[0].start, r.text.lower()) for r in index.walk.remarks if r.evidence)
    return kept


@lru_cache(maxsize=8)
def _spoken(vocabulary: Vocabulary) -> dict[str, tuple[str, str]]:
    """Unit and property of what is said of a unit in one word."""
    kinds = {"time": "duration"}
    return {
        form: (str(row["pint"]), str(row["property"] or kinds.get(row["dimension"], row["dimension"])))
        for row in vocabulary["units"].rows
        for form in row["spoken"]
        if " " not in form and len(form) > 2 and row["dimension"] in ("time", "length", "mass", "temperature", "power")
    }


def _with_its_unit(n: Loose, vocabulary: Vocabulary) -> Quantity | None:
    """A number that no figure took though the next word is a unit: "a body needs ninety five seconds to go round"."""
    first = n.behind.split()[:1]
    found = _spoken(vocabulary).get(first[0].strip(".,;:")) if first else None
    if found is None or not n.evidence:
        return None
    text = f"{n.before} {n.evidence[0].words} {n.behind}".lower()
    unit, prop = found
    return Quantity(
        f"loose:{n.evidence[0].start:.1f}", "", prop, n.value, unit, doubt="no figure took it", around=text,
        evidence=n.evidence,
    )  # fmt: skip


_PRESSED = re.compile(r"\b(?:safety valves?|safeties|relief\w*|pops?|lifts? at|gauge|pressure|set at|blows? off)\b")
_AGAIN = re.compile(r"\b(?:at|at the|the|that|those|with|on the)$")


def _of_pressure(q: Quantity) -> Quantity | None:
    """ "The safety valve's tag says 275 pounds": pounds of a pressure, as a figure of its own beside the weight."""
    if q.unit != "pound" or not _PRESSED.search(sentence(q)):
        return None
    return replace(q, unit="psi", property="pressure", doubt=_POUNDS)


def _told_again(told: Sequence[Quantity], n: Loose) -> Quantity | None:
    """ "Forty five minutes at the 400": a number without a unit that can only be the one figure of that value told
    before, told here once more."""
    if n.value < 20 or not n.evidence or not _AGAIN.search(n.before.rstrip(" ,")):
        return None
    if n.behind and not n.evidence[0].words.endswith((",", ".", ";")) and not _LEADS_ON.match(n.behind):
        return None  # a noun stands behind it: another thing
    mine = [q for q in told if q.value == n.value and q.value_max is None and moment(q) < n.evidence[0].start]
    if len({(q.unit, q.property) for q in mine}) != 1 or mine[-1].unit == "":
        return None
    text = f"{n.before} {n.evidence[0].words} {n.behind}".lower()
    return replace(mine[-1], around=text, evidence=n.evidence)


_LEADS_ON = re.compile(r"^\W*(?:and|or|but|so|with|in|on|of|from|to|as|it|they|we|he|she|that|which|is|was|all|most)\b")
"""What stands behind a number that no noun follows."""


def _by_turn(q: Quantity) -> Quantity:
    """So many millimetres a revolution as a length: a turn is one, and no angle of 6.28."""
    return replace(q, unit=q.unit.removesuffix("/revolution")) if q.unit.endswith("/revolution") else q


def _counts(index: Facts) -> Iterator[Quantity]:
    for c in counted(index):
        yield replace(told_count(c.noun, c.value, c.evidence), around=f"{c.before} {c.value} {c.behind}".lower())
    for thing in index.components:
        if thing.count and thing.count > 1 and thing.evidence:
            yield replace(told_count(thing.name, thing.count, thing.evidence), around=thing.name.lower())


def _years(index: Facts) -> Iterator[Quantity]:
    """Every year that was told, with its sentence."""
    yield from index.of("year")
    for n in index.walk.loose:
        if 1900 <= n.value <= 2100 and n.value == int(n.value) and n.evidence:
            yield as_figure(n, "year", "")


def own_words(index: Facts, q: Quantity, kept: _Kept) -> str:
    """The words that are of a figure: those beside it, and all of its sentence where it is alone of its kind there."""
    found = kept.own.get(id(q))
    if found is None:
        now = moment(q)
        others = (
            o
            for o in kept.told
            if o is not q and abs(moment(o) - now) <= _AROUND and has_dimension(o.unit, q.unit) and one_sentence(o, q)
        )
        alone = bool(q.around) and next(others, None) is None
        found = kept.own[id(q)] = sentence(q) if alone else called(index, q)
    return found


def _pool(index: Facts, kept: _Kept, part: Operand) -> list[Quantity]:
    """The figures that an operand may be."""
    if part.unit == "count":
        return [
            c
            for c in kept.counts
            if part.over < c.value < part.under and _fits(part, c.subject.lower(), c.subject.lower(), c.around or "")
        ]
    if part.unit == "year":
        return [y for y in _years(index) if _fits(part, *[sentence(y)] * 3)]
    found = []
    for q, plain in _plain_pool(kept, part):
        own, (close, named, whole) = own_words(index, q, kept), _texts(index, kept, q)
        named_itself = part.of is not None and part.of.search(close)
        if not _fits(part, own, close if named_itself else named, whole):
            continue
        if part.at is None or part.at.search(f"{own} {whole} {_named_before(index, q)}"):
            found.append(plain)
    return [*found, *_without_unit(index, kept, part)] if part.bare is not None else found


def _without_unit(index: Facts, kept: _Kept, part: Operand) -> Iterator[Quantity]:
    """The numbers without a unit that a word right before or behind them makes one of an operand's kind. A length is
    in the unit of the length told last; where there is none it serves for a share alone."""
    assert part.bare is not None
    for q in kept.bare:
        before, behind = beside(index, q)
        lead, tail = " ".join(before.split()[-7:]), " ".join(behind.split()[:3])
        if not part.bare.search(lead) and not part.bare.search(re.split(r"[,;.]", tail, maxsplit=1)[0]):
            continue
        if part.bar is not None and part.bar.search(f"{lead} {tail}"):
            continue
        unit = part.unit if part.unit != "metre" else _unit_before(kept, q)
        made = replace(q, unit=unit)
        if part.over < _value(made, part.unit) < part.under:
            yield made


def _unit_before(kept: _Kept, q: Quantity) -> str:
    now = moment(q)
    told = [o for o in kept.told if 0 <= now - moment(o) <= _AROUND and has_dimension(o.unit, "metre")]
    return max(told, key=moment).unit if told else "millimetre"


def _texts(index: Facts, kept: _Kept, q: Quantity) -> tuple[str, str, str]:
    """The words close to a figure, the same with what it was filed under, and all of its sentence.

    Close are those that are no other figure's: back to a comma behind the one before, and three behind it. What it was
    filed under counts where these do not name it themselves."""
    found = kept.texts.get(id(q))
    if found is None:
        before, behind = beside(index, q)
        if not (q.around or "").lower().startswith(before):
            before = re.split(r"[,;]\s", before, maxsplit=1)[-1]
        own = q.evidence[0].words.lower() if q.evidence else ""
        tail = (
            "" if own.endswith((",", ";", ".")) else " ".join(re.split(r"[,;.]\s", behind, maxsplit=1)[0].split()[:3])
        )
        close = f"{before} {own} {tail}"
        named = f"{q.subject} {q.qualifier or ''} {close}".lower()
        found = kept.texts[id(q)] = close, named, sentence(q)
    return found


def _any_of(kept: _Kept, part: Operand) -> bool:
    """Whether anything of an operand's kind was told at all: most rows end here."""
    if part.bare is not None and kept.bare:
        return True
    return part.unit == "year" or bool(kept.counts if part.unit == "count" else _plain_pool(kept, part))


def _plain_pool(kept: _Kept, part: Operand) -> list[tuple[Quantity, Quantity]]:
    """The figures of an operand's kind as they were told, each with the one to reckon with."""
    key = (part.unit, part.properties, part.end, part.just, part.over, part.under)
    if key not in kept.pools:
        kept.pools[key] = [
            (q, p)
            for q in _of_unit(kept, part.unit)
            for end in (("bottom", "top") if part.end == "ends" and q.value_max is not None else (part.end,))
            if (p := _plain(q, part, end)) is not None
        ]
    return kept.pools[key]


def _of_unit(kept: _Kept, unit: str) -> list[Quantity]:
    """All that measures what a unit does, ranges with it."""
    found = kept.kinds.get(unit)
    if found is None:
        if not kept.units:
            for q in (*kept.told, *kept.bare):
                kept.units.setdefault(q.unit, []).append(q)
        found = kept.kinds[unit] = [
            q for own, figures in kept.units.items() if _measures(own, unit) for q in figures if _counts_as(q, unit)
        ]
    return found


def _named_before(index: Facts, q: Quantity) -> str:
    """The two things that were named last before a figure, and what kind of machine it is all about."""
    now = moment(q)
    before = sorted((moment(c), c.name) for c in index.components if 0 <= now - moment(c) <= _AROUND)
    kind = index.walk.identity.kind
    return " ".join([*(name for _, name in before[-2:]), str(kind.value) if kind is not None else ""]).lower()


def _plain(q: Quantity, part: Operand, end: str) -> Quantity | None:
    """The figure, or the end of a range that the operand asks for; None where it is no such figure."""
    if part.properties and q.property not in part.properties:
        return None
    if part.just and part.just not in (q.unit, system(q.unit), f"/{q.unit.rpartition('/')[2]}"):
        return None
    if q.value_max is not None:
        if not end:
            return None
        q = replace(q, value=q.value_max if end == "top" else q.value, value_max=None)
    if part.unit == "angle":
        q = replace(q, unit="degree", property="other")
    if not part.over < _value(q, part.unit) < part.under:
        return None
    return q


@lru_cache(maxsize=4096)
def _measures(own: str, unit: str) -> bool:
    """Whether a figure in a unit of its own may be what an operand in another is."""
    match unit:
        case "1" | "ph":
            return own == ""
        case "angle":
            return own in ("degF", "degC", "degree")
        case "difference":
            return own in ("degF", "degC", "kelvin", "delta_degF", "delta_degC")
        case "pace":
            return own not in ("rpm", "hertz", "1/second", "") and has_dimension(own, "1/hour")
        case "1/hour":
            return own not in ("rpm", "hertz", "") and (has_dimension(own, "1/hour") or has_dimension(own, "second"))
        case "rpm":
            return own in ("rpm", "1/minute", "1/second")
        case "kilovolt*ampere":
            return "ampere" in own and has_dimension(own, unit)
    return own not in ("", "rpm") and has_dimension(own, unit)


def _counts_as(q: Quantity, unit: str) -> bool:
    """Whether a figure of the right unit is of what the operand asks for."""
    match unit:
        case "1":
            return q.property not in ("year", "phases", "ph")
        case "ph":
            return q.property == "ph"
        case "angle":
            return "fahrenheit" not in heard(q) and "celsius" not in heard(q)
        case "rpm":
            return q.unit == "rpm" or bool(_ROUND.search(sentence(q)))
    return True


def _fits(part: Operand, own: str, close: str, whole: str) -> bool:
    return not (
        (part.of is not None and not part.of.search(own))
        or (part.within is not None and not part.within.search(whole))
        or (part.bar is not None and part.bar.search(_DENIED.sub(" ", close)))
        or (part.off is not None and part.off.search(_DENIED.sub(" ", whole)))
    )


def _value(q: Quantity, unit: str) -> float:
    if unit in ("count", "1", "year", "ph", "angle"):
        return q.value
    if unit == "rpm":
        return q.value * (60.0 if q.unit == "1/second" else 1.0)
    if unit == "difference":
        return q.value * (5 / 9 if q.unit.endswith("degF") else 1.0)
    found = per_hour(q) if unit in ("1/hour", "pace") else size(q, unit)
    return math.nan if found is None else found


def _compare(index: Facts, relation: Relation, vocabulary: Vocabulary, now: float) -> Results:
    row, kept = relation.row, _kept(index, vocabulary)
    if not all(_any_of(kept, p) for p in (relation.told, *relation.parts)):
        return
    told = _pool(index, kept, relation.told)
    pools = []
    for part in relation.parts if told else ():
        pools.append(_pool(index, kept, part))
        if not pools[-1]:
            return
    if not told or len(told) * math.prod(len(p) for p in pools) > _MOST:
        return
    within = row["within"] or _WITHIN
    near = [
        c
        for c in product(*pools, told)
        if len({(q.id, q.value) for q in c}) == len(c)
        and (spread(c) <= within or _one_alone_before(relation, (*pools, told), c, within))
        and _of_one_thing(relation, c)
        and _scene(kept, relation, c)
    ]
    groups: dict[str, list[tuple[Quantity, ...]]] = {}
    for c in near:
        groups.setdefault(c[-1].id if row["every"] or _one_sided(row) or not pools else "", []).append(c)
    for group in groups.values():
        yield from _judge(index, kept, relation, group, vocabulary, now)


def _one_alone_before(
    relation: Relation, pools: Sequence[Sequence[Quantity]], figures: Sequence[Quantity], within: float
) -> bool:
    """Whether all stand together but for one told before, which is the only one of its kind around."""
    first = min(range(len(figures)), key=lambda k: moment(figures[k]))
    operand = (*relation.parts, relation.told)[first]
    if len(figures) < 3 or operand.unit in _MANY:
        return False
    if spread([q for k, q in enumerate(figures) if k != first]) > within:
        return False
    now = min(moment(q) for k, q in enumerate(figures) if k != first)
    if now - moment(figures[first]) > (_EARLIER if first < len(relation.parts) else relation.row["before"] or 0.0):
        return False
    since = min(now - 1.5 * _EARLIER, moment(figures[first]))
    return len({q.value for q in pools[first] if since <= moment(q) <= now + 1.5 * _EARLIER}) == 1


def _judge(
    index: Facts,
    kept: _Kept,
    relation: Relation,
    near: list[tuple[Quantity, ...]],
    vocabulary: Vocabulary,
    now: float,
) -> Results:
    """What comes of some combinations of one matter: quiet where one of them holds."""
    row = relation.row
    least = min(spread(c) for c in near)
    near = [c for c in near if spread(c) <= 2 * least + _BREATH]  # what was told much further apart bears nothing out
    given = {"now": now, "rho": _density(kept, near[0], vocabulary) if relation.needs_material else 1.0}
    if math.isnan(given["rho"]):
        return

    def holds(*figures: Quantity) -> bool:
        return _holds(relation, given, *figures)

    found = next((c for c in near if holds(*c)), None)
    if found is not None:
        if not any(q.doubt or q.id.startswith(("loose", "count")) for q in found):
            yield Checked(
                _RULE, tuple(q.id for q in found), f"{WITHIN if _one_sided(row) else 'agreed'}: {row['name']}"
            )
        if len(relation.parts) > 1 and not _one_sided(row):
            yield from _judge_the_rest(index, kept, relation, [c for c in near if holds(*c)], near, vocabulary, now)
        return
    chosen = min(near, key=lambda c: (round(spread(c) / 5), abs(math.log(_ratio(relation, given, *c) or 1e9))))
    ratio = _ratio(relation, given, *chosen)
    if settled(index.walk, *chosen) or (
        _bounded(row) and not 1 / (row["far"] or _FAR) <= ratio <= (row["far"] or _FAR)
    ):
        return
    if _one_sided(row) and found_wrong(index.walk, chosen[-1]):
        return  # a stricter rule found it beyond another limit: one matter
    if row["counts"] and explained(index, ratio, chosen, 0.08):
        return
    message = _message(relation, given, chosen)
    yield from verdict(_RULE, chosen, holds, message, level="check", note=row["name"])


def _judge_the_rest(
    index: Facts,
    kept: _Kept,
    relation: Relation,
    borne_out: Sequence[tuple[Quantity, ...]],
    near: Sequence[tuple[Quantity, ...]],
    vocabulary: Vocabulary,
    now: float,
) -> Results:
    """What comes of a second machine of the same kind: the combinations that share no figure with one that holds and
    whose figures stand as close together."""
    used: set[str] = set()
    for c in sorted(borne_out, key=spread):  # each machine's own figures; no chance meeting of two machines'
        used |= {q.id for q in c} if not any(q.id in used for q in c) else set()
    widest = max(spread(c) for c in borne_out) + _BREATH
    rest = [c for c in near if spread(c) <= widest and not any(q.id in used for q in c)]
    if rest:
        yield from _judge(index, kept, relation, rest, vocabulary, now)


def _one_sided(row: Row) -> bool:
    """Whether a row leaves one side open."""
    return None in (row["low"], row["high"]) and None in (row["least"], row["most"])


def _bounded(row: Row) -> bool:
    """Whether a row bounds a share and not a difference."""
    return row["least"] is None and row["most"] is None


def _of_one_thing(relation: Relation, figures: Sequence[Quantity]) -> bool:
    """Whether figures may be of one thing, where a row asks for that: their subjects agree, or they stand together."""
    if not relation.row["same"]:
        return True
    told = [q for q in figures if q.subject]
    return spread(figures) <= _TOGETHER or all(
        related(a.subject, b.subject) or seconds_between(a, b) <= _BREATH for a, b in combinations(told, 2)
    )


def _scene(kept: _Kept, relation: Relation, figures: Sequence[Quantity]) -> bool:
    """Whether the words that a row asks for were said around its figures, and none that call it off."""
    if relation.near is None and relation.never is None and relation.nowhere is None:
        return True
    at = [moment(q) for q in figures]
    text = " ".join(t for m, t in kept.heard if min(at) - _AROUND <= m <= max(at) + _AROUND)
    if relation.near is not None and not relation.near.search(text):
        return False
    if relation.nowhere is not None and relation.nowhere.search(text):
        return False
    if relation.never is None:
        return True
    own = " ".join({q.around or "" for q in figures}) or text
    return not relation.never.search(_DENIED.sub(" ", own.lower()))


def _made(relation: Relation, given: dict[str, float], *parts: Quantity) -> list[float]:
    values = {p.letter: _value(q, p.unit) for p, q in zip(relation.parts, parts, strict=True)}
    return [make({**values, **given}) for make in relation.makes]


def _ratio(relation: Relation, given: dict[str, float], *figures: Quantity) -> float:
    """Told over made, of the way of reckoning that comes nearest; 0 where it cannot be said."""
    *parts, told = figures
    value = _value(told, relation.told.unit)
    made = [m for m in _made(relation, given, *parts) if m > 0 and value > 0]
    return min((value / m for m in made), key=lambda r: abs(math.log(r)), default=0.0)


def _holds(relation: Relation, given: dict[str, float], *figures: Quantity) -> bool:
    *parts, told = figures
    row, loose = relation.row, slack(*figures)
    low, high, least, most = row["low"], row["high"], row["least"], row["most"]
    value = _value(told, relation.told.unit)
    for made in _made(relation, given, *parts):
        if math.isnan(made) or math.isnan(value):
            return True  # nothing to compare
        spare = abs(made) * loose
        if (
            (low is None or value >= made * low - spare)
            and (high is None or value <= made * high + spare)
            and (least is None or value - made >= least - spare)
            and (most is None or value - made <= most + spare)
        ):
            return True
    return False


def _density(kept: _Kept, figures: Sequence[Quantity], vocabulary: Vocabulary) -> float:
    """Kilograms a cubic metre of the solid that was named around some figures; not a number where none or two were."""
    at = [moment(q) for q in figures]
    text = " ".join(t for m, t in kept.heard if min(at) - 10 <= m <= max(at) + 10)
    found = {}
    for row in vocabulary["materials"].rows:
        if row["kind"] == "solid":
            for form in row["said"]:
                if f" {form} " in f" {text} ".replace(",", " ").replace(".", " "):
                    found[row["said"][0]] = row["density"] * _CUBIC_FOOT
    if "stainless steel" in found:
        found.pop("carbon steel", None)
    return next(iter(found.values())) if len(found) == 1 else math.nan


def _message(relation: Relation, given: dict[str, float], figures: Sequence[Quantity]) -> str:
    *parts, told = figures
    made = _made(relation, given, *parts)[0]
    shown = {p.letter: _said(q, p.unit) for p, q in zip(relation.parts, parts, strict=True)}
    shown |= {"made": _shown(made, relation.told.unit, told), relation.told.letter: _said(told, relation.told.unit)}
    text = relation.row["say"].format(**shown)
    what = clean(told.subject) if told.property != "count" else ""
    stated = f"{_said(told, relation.told.unit)} was stated{f' ({what})' if what else ''}"
    return f"{text}, {stated}: {relation.row['ask']}"


def _said(q: Quantity, unit: str) -> str:
    if unit == "count" or q.doubt == _NO_UNIT:
        return number(q.value)
    return f"{q.value:.0f}" if unit == "year" else said(q)


def _shown(made: float, unit: str, told: Quantity) -> str:
    """What was made, in the unit that was told."""
    if unit == "year":
        return f"{made:.0f}"
    if unit in ("count", "1", "ph"):
        return number(_rounded(made))
    if unit == "angle":
        return figure(_rounded(made), "degree")
    if unit == "difference":
        return figure(_rounded(made * (9 / 5 if told.unit.endswith("degF") else 1.0)), told.unit)
    if unit == "rpm":
        return figure(_rounded(made), "rpm")
    if unit in ("1/hour", "pace"):
        one = per_hour(replace(told, value=1.0)) or 1.0
        return figure(_rounded(made / one if has_dimension(told.unit, "1/hour") else 3600 / made), told.unit)
    return figure(_rounded(convert(made, unit, told.unit)), told.unit)


def _rounded(value: float) -> float:
    """Three figures, or all of a whole number."""
    if not value or math.isnan(value):
        return value
    return round(value, max(0, 2 - math.floor(math.log10(abs(value)))))


RULES = (figures_go_together,)
