"""Counting: what was stated against what was described, parts against their total, one thing counted twice."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from extractors.phrases import many_of, plural
from pipeline.checks.facts import facts
from pipeline.checks.offers import offers, verdict
from pipeline.checks.subjects import alike, head, singular, words
from pipeline.checks.wording import (
    Basis,
    clean,
    compared,
    count_as_quantity,
    fact_id,
    finding,
    moment,
    number,
    told_count,
)
from pipeline.walk import Breakdown, Checked, Component, Finding, Level, Quantity, Sequence, Station, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

TOGETHER = 60.0
"""Seconds within which a total and its parts are one breakdown; common practice, no source."""


def stations_stated_and_described(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """The count of stations that was stated against those described one by one, and numbers skipped between them.

    Arithmetic: distinct numbers described = stated count, without gaps from the least to the greatest. Tolerance: none;
    where fewer than half were described, nothing was enumerated and nothing is compared. A conflict where more were
    described than stated, or fewer and the last was said to be the last; else fewer are asked about, since one may have
    been passed over. Source: plain counting.
    """
    rule = "stations_stated_and_described"
    for seq in walk.sequences:
        # what is gone since was there when they were counted
        standing = [s for s in seq.stations if s.status != "withdrawn" or s.gone_at]
        numbers = sorted({s.number for s in standing if isinstance(s.number, int)})
        described = len({s.number for s in standing})
        stated = seq.stated_count
        word = singular(seq.station_word or "station")
        gaps = [n for n in range(1, max(numbers) + 1) if n not in numbers] if numbers else []
        if stated is not None and numbers and numbers[-1] == described and described < stated:
            gaps = list(range(described + 1, stated + 1))
        if described < 2 or (stated is not None and described * 2 < stated):
            yield compared(rule, [seq], "could not be compared", "too few were described one by one")
            continue
        name = f"{clean(seq.name)}: " if seq.name and word not in words(seq.name) else ""
        which = f"{plural(word) if len(gaps) > 1 else word} {_list(gaps)}" if 0 < len(gaps) <= 4 else ""
        never = f"{which} {'were' if len(gaps) > 1 else 'was'} never described"
        if stated is not None and described < stated and gaps and not seq.closed and _told_bare(walk, word, gaps):
            yield compared(rule, [seq], "could not be compared", f"{which} told, and not read as a station")
        elif stated is not None and described != stated:
            figures = [_stated(seq)]
            message = f"{name}{many_of(stated, word)} stated, {many_of(described, word)} described"
            if described < stated and which:
                message += f": {never}. Go back and look at {which}, or count again."
            elif described > stated:
                message += f": count the {plural(word)} again and correct one of the two."
            else:
                message += f": count the {plural(word)} again."
            # more described than stated cannot be, nor fewer where the last was said to be the last; else the speaker
            # may have passed one over
            ended = seq.closed and numbers == list(range(1, described + 1))
            sure = not _straggling(standing, stated) if described > stated else ended
            level: Level = "conflict" if sure else "check"
            yield finding(rule, level, message, [seq], offers=offers(figures, lambda q, n=described: q.value == n))
            yield compared(rule, [seq], "failed", f"{stated} against {described}")
        elif gaps and _told_bare(walk, word, gaps):
            yield compared(rule, [seq], "could not be compared", f"{which} told, and not read as a station")
        elif gaps and len(gaps) <= 4 and gaps != [0] and len(numbers) >= 4:
            there = f"are there {which}" if len(gaps) > 1 else f"is there a {which}"
            message = f"{name}{plural(word)} are numbered to {numbers[-1]}, but {never}: {there}, or told otherwise?"
            yield finding(rule, "check", message, [seq])
            yield compared(rule, [seq], "failed", f"{which} not described")
        else:
            yield compared(rule, [seq], "agreed", f"{described} described")


_TELLS = re.compile(
    r"^(?:lays|makes|runs|prints|keeps?|is|was|are|does|has|comes|'s|, [a-z]|the |\.$|and \w+ (?:is|are))"
)


def _told_bare(walk: Walk, word: str, gaps: list[int]) -> bool:
    """Whether every station that is missing was told by its number, though it was not read: "position seven is the
    spindle finisher, I'll come to that"."""
    told = set()
    for n in walk.loose:
        named = bool(n.before) and singular(n.before.split()[-1].strip(".,;")) == word
        if named or _TELLS.match(n.behind):
            told.add(int(n.value))
    return bool(gaps) and {*gaps} <= told


STRAY = 60.0
"""Seconds between two stations beyond which the second may be no station of the row; common practice, no source."""


def _straggling(stations: list[Station], stated: int) -> bool:
    """Whether what goes beyond the stated count was told long after the rest: it may be none of them."""
    told = sorted(s.evidence[0].start for s in stations if s.evidence)
    return len(told) > stated > 0 and told[stated] - told[stated - 1] > STRAY


def station_described_twice(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """One number given to two different stations. Tolerance: wordings of one role agree. Source: plain counting."""
    rule = "station_described_twice"
    for seq in walk.sequences:
        seen: dict[int | str, str] = {}
        told = [(s, role) for s in seq.stations if s.status != "withdrawn" for role in (s.role, s.also) if role]
        for s, role in told:
            first = seen.setdefault(s.number, role)
            if set(words(first)).isdisjoint(words(role)):
                word = singular(seq.station_word or "station")
                message = (
                    f"{word} {s.number} is said to be {clean(first)} and also {clean(role)}: "
                    f"look at the {word} and its neighbours again."
                )
                yield finding(rule, "check", message, [seq], key=str(s.number))
                yield compared(rule, [seq], "failed", f"{word} {s.number}")


ROW = 4.0
"""Seconds from one kind of a row to the next, at most; common practice, no source."""


def parts_and_total(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A total against its kinds ("twelve guns, seven automatic and four manual").

    Arithmetic: the counts of two or more kinds add up to the total. Tolerance: none; approximate counts may stray 10 %.
    Kinds are components marked as part of the total, or named by the total's words and one more, said within a minute.
    Source: plain counting.
    """
    rule = "parts_and_total"
    components = tuple(c for c in facts(walk).components if not _by_article(c))
    for total in components:
        if total.count is None or total.count < 2:
            continue
        kinds = [c for c in components if c.part_of == total.id and c.count is not None and _same_head(c, total)]
        marked = [c for c in components if c.part_of == total.id and c.count is not None]
        if len(kinds) < 2 and len(marked) >= 2 and abs(sum(c.count or 0 for c in marked) - total.count) <= total.count:
            kinds = [c for c in marked if head(c.name) not in _OTHER_PARTS] if _all_bare(marked, total) else kinds
        if len(kinds) < 2:
            kinds = [
                c
                for c in components
                if c is not total
                and c.count is not None
                and head(c.name) == head(total.name)
                and set(words(total.name)) < set(words(c.name))
                and abs(moment(c) - moment(total)) <= TOGETHER
            ]
        if len(kinds) < 2:
            kinds = _in_one_breath(components, total)
        kinds += _told_otherwise(components, total, kinds)
        if _one_of_more(components, total, kinds):
            continue
        # "six pumps here and three there" are two parts of one name; names alone must differ
        kinds = [
            c
            for i, c in enumerate(kinds)
            if c.part_of == total.id
            or c.name == kinds[0].name
            or not any(alike(c.name, d.name) == "same" for d in kinds[:i])
        ]
        if len(kinds) < 2 or any(c.count is not None and c.count > 3 * total.count for c in kinds):
            continue
        figures = [q for c in (total, *kinds) if (q := count_as_quantity(c)) is not None]
        # "six tanks, two acid tanks, two rinse tanks and one flux tank" is all; "three belts, one's six foot, one's
        # eight foot" goes on
        listed_at_once = len(kinds) >= 3 and max(moment(c) for c in kinds) - moment(total) <= 6
        if sum(c.count or 0 for c in kinds) < total.count and any(c.count == 1 for c in kinds) and not listed_at_once:
            continue
        sum_of = sum(c.count or 0 for c in kinds)
        if sum_of > 1.6 * total.count and not any(c.part_of == total.id for c in kinds):
            continue  # other things of the same noun
        loose = 0.1 if any(c.approximate for c in (total, *kinds)) else 0.0
        listed = " and ".join(f"{c.count} {clean(c.name, 30)}" for c in kinds[:5])
        message = (
            f"{many_of(total.count, clean(total.name))} stated, but {listed} make {sum_of}: "
            f"count the {clean(total.name)} and each kind again."
        )

        def holds(whole: Quantity, *parts: Quantity, loose: float = loose) -> bool:
            return abs(whole.value - sum(p.value for p in parts)) <= loose * whole.value + 1e-9

        yield from verdict(rule, figures, holds, message, basis=[total, *kinds])


def _told_otherwise(components: tuple[Component, ...], total: Component, kinds: list[Component]) -> list[Component]:
    """The last of a row of kinds, where it has the total's plain name: "ten horizontal spindles, six vertical spindles
    and four spindles at an angle"."""
    if len(kinds) < 2:
        return []
    first, last = moment(kinds[0]), moment(kinds[-1])
    plain = [
        c
        for c in components
        if c is not total
        and c not in kinds
        and c.count is not None
        and c.count < (total.count or 0)
        and words(c.name) == words(total.name)
        and moment(total) <= first <= moment(c) <= last + ROW
    ]
    return plain[:1]


def parts_in_the_words(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A count taken apart in the same breath by words without a noun ("five saddles, two fixed and two sliding").

    Arithmetic: the parts add up to the count. Tolerance: none; only where the parts were told as all there are, and not
    where `parts_and_total` compares things by name. Source: plain counting.
    """
    rule = "parts_in_the_words"
    for b in walk.breakdowns:
        if b.of or (b.factors and _in_packs(walk, b)):
            continue  # `positions_and_carriers` and `nested_counts` compare these
        total = next((c for c in walk.present if _is_of(c, b) and (not b.factors or c.count == b.total)), None)
        if total is not None and any(c.part_of == total.id and c.count for c in walk.present):
            continue
        q = count_as_quantity(total) if total is not None else None
        if q is None:
            q = told_count(b.noun, b.total, b.evidence)
        made = sum(b.parts)
        name = clean(b.noun, 40)
        parts = " × ".join(map(str, b.factors)) or " and ".join(map(str, b.parts[:5]))
        message = f"{many_of(q.value, name)} stated, but {parts} make {made}: count the {name} and each kind again."
        # told as a list it is a contradiction; so many in each of so many is asked about, as one may be empty
        level: Level = "conflict" if b.whole else "check"
        yield from verdict(rule, [q], lambda q, made=made: q.value == made, message, level=level, basis=[total or q])


_NAMED_BY = re.compile(
    r"^(?P<part>roll|roller|head|spindle|blade|knife|station|lane|stage|zone|deck|nozzle|burner|cylinder|plate|tube|bed|"
    r"colou?r|needle|valve|row|cavity|tray|wheel|high)s?[ -](?P<what>(?!(?:and|or|on|in|at|of|is|are|with|to)\b)[a-z]+)"
)
_SIDES_OF = (
    (
        r"(?:on (?:the )?top|up top|above|over|upper|top)",
        r"(?:underneath|under|below|beneath|on the bottom|bottom|lower)",
    ),
    (r"(?:on (?:the|this) left|left)", r"(?:on (?:the|that) right|right)"),
    (r"(?:in (?:the )?front|at the front|front)", r"(?:at the back|behind|in back|(?:at the )?rear)"),
)


def named_by_its_number(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "A nine-roll straightener", and later "the rolls, four on top and four underneath".

    Arithmetic: the parts of both sides add up to the number in the name. Tolerance: none. Only where one number names a
    machine by what it has, and two numbers told of two sides in one sentence that names the same. Always a question:
    one may be an idler or taken out. Source: plain counting.
    """
    rule = "named_by_its_number"
    named = [(n, m) for n in walk.loose if n.value >= 3 and (m := _NAMED_BY.match(n.behind.lower()))]
    for total, found in named:
        part = found.group("part")
        if len({n.value for n, m in named if m.group("part") == part}) != 1:
            continue
        for one, other in zip(walk.loose, walk.loose[1:], strict=False):
            text = f"{one.before} {one.behind}".lower()
            if not re.search(rf"\b{re.escape(part)}s?\b", text) or one is total or other is total:
                continue
            if not any(
                re.match(rf"(?:{part}s? )?{a}\W+(?:and )?\S+ (?:{part}s? )?{b}\b", one.behind.lower())
                and re.match(rf"(?:{part}s? )?{b}\b", other.behind.lower())
                for x, y in _SIDES_OF
                for a, b in ((x, y), (y, x))
            ):
                continue
            made = one.value + other.value
            q = told_count(many_of(2, part).split(" ", 1)[-1], int(total.value), total.evidence)
            message = (
                f"{number(total.value)}-{part} {found.group('what')} by name, but {number(one.value)} and "
                f"{number(other.value)} make {number(made)}: count them again on both sides."
            )
            yield from verdict(rule, [q], lambda q, made=made: q.value == made, message, level="check")
            break


def _in_packs(walk: Walk, b: Breakdown) -> bool:
    """Whether both factors are counts of things in packs ("twenty four bottles in a case, forty cases on a pallet")."""
    counts = [q for q in walk.active if q.property == "count" and q.of and q.value in b.factors]
    return len({q.value for q in counts} & {float(f) for f in b.factors}) == len({*b.factors})


def positions_and_carriers(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Positions that hold one load carrier each against the carriers there are ("one bar to each, eighteen in all").

    Arithmetic: carriers = positions. Tolerance: one position kept free, as loads could not move on without; more
    carriers than positions are waiting to be loaded and no finding. Only where the words say both that a position holds
    one and that the carriers are all. Always a question: the rest may be elsewhere. Source: plain counting.
    """
    rule = "positions_and_carriers"
    for b in walk.breakdowns:
        if not b.of or len(b.parts) != 1:
            continue
        places, carriers = clean(b.noun, 40), clean(b.of, 40)
        n, c = told_count(b.noun, b.total, b.evidence), told_count(b.of, b.parts[0], b.evidence)
        message = (
            f"{many_of(b.total, places)} hold one of the {carriers} each, {many_of(b.parts[0], carriers)} were stated "
            f"in all: count the {carriers} again, or ask where the other {b.total - b.parts[0]} are."
        )

        def holds(n: Quantity, c: Quantity) -> bool:
            return c.value >= n.value - 1

        yield from verdict(rule, [n, c], holds, message, level="check", basis=_counted_as(walk, n, c))


def _counted_as(walk: Walk, n: Quantity, c: Quantity) -> list[Basis]:
    """The facts of the walk that these counts are; else the counts themselves."""
    out: list[Basis] = []
    for q in (n, c):
        rows = (s for s in walk.sequences if s.stated_count == q.value and head(s.station_word) == head(q.subject))
        own = (x for x in walk.present if x.count == q.value and head(x.name) == head(q.subject))
        out.append(next(rows, None) or next(own, q))
    return out


def _by_article(c: Component) -> bool:
    """Whether "a" alone counts it: "a transfer pump" beside "two pumps" is not said to be one of those."""
    return c.count == 1 and bool(c.evidence) and c.evidence[0].words.lower().split()[0] in ("a", "an", "another")


def _is_of(c: Component, b: Breakdown) -> bool:
    """Whether a breakdown is of a component: of its name, and told where the component was."""
    if alike(c.name, b.noun) != "same" or not b.evidence:
        return False
    at = b.evidence[0]
    return any(e.recording == at.recording and at.start - 0.5 <= e.start <= at.end for e in c.evidence)


def _in_one_breath(components: tuple[Component, ...], total: Component) -> list[Component]:
    """ "Twelve conveyor motors, five big motors and six small motors": smaller counts of one noun right behind a total,
    that come near to it together."""
    behind = [c for c in components if 0 < moment(c) - moment(total) <= 8 and head(c.name) == head(total.name)]
    kinds = [c for c in behind if c.count is not None and c.part_of is None and c.count < (total.count or 0)]
    made = sum(c.count or 0 for c in kinds)
    return kinds if len(kinds) >= 2 and abs(made - (total.count or 0)) <= max(2, (total.count or 0) // 4) else []


def _one_of_more(components: tuple[Component, ...], total: Component, kinds: list[Component]) -> bool:
    """ "120 plates in all, seventy in the regeneration, 24 in the heating, thirty in the cooling": whether a count is
    itself told as part of a greater one of its name right before, which the others fill as well."""
    made = (total.count or 0) + sum(c.count or 0 for c in kinds)
    return any(
        c.count
        and c.count > (total.count or 0)
        and 0 < moment(total) - moment(c) <= TOGETHER / 2
        and alike(c.name, total.name) == "same"
        and abs(made - c.count) <= max(2, c.count // 4)
        for c in components
    )


_OTHER_PARTS = frozenset(("motor", "fan", "pump", "valve", "nozzle", "filter", "drive", "burner", "door", "sensor"))


def _same_head(c: Component, total: Component) -> bool:
    return head(c.name) == head(total.name) or set(words(total.name)) <= set(words(c.name))


def _all_bare(marked: list[Component], total: Component) -> bool:
    """Whether the parts are kinds of the total named by their kind alone ("six dryers: four gas, three steam")."""
    return all(len(words(c.name)) <= 2 and head(c.name) not in _OTHER_PARTS for c in marked)


def counted_twice(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """One thing given two counts, the later one not said as a correction. Tolerance: "about" agrees within 10 %.

    Only names of two words or more are compared, since "the pumps" here and "the pumps" there are often other pumps.
    Source: plain counting.
    """
    rule = "counted_twice"
    listed = facts(walk).components
    for c in listed:
        counts = [int(n) for n in re.findall(r"\d+", c.doubt or "")] if (c.doubt or "").startswith("counted as") else []
        counts = [n for n in counts if n < 1900]  # "three boilers, 2014" is a year
        if len(counts) >= 2:
            message = f"{clean(c.name)}: counted as {counts[0]} and as {counts[1]}: count again, and say which stands."
            yield finding(rule, "check", message, [c])
            yield compared(rule, [c], "failed")
    for i, a in enumerate(listed):
        for b in listed[i + 1 :]:
            if a.count is None or b.count is None or len(words(a.name)) < 2 or alike(a.name, b.name) != "same":
                continue
            if b.count > a.count >= 2 and abs(moment(a) - moment(b)) <= 10 and b.count >= 2 * a.count:
                continue  # so many in each, and so many in all
            if b.count == 1 < a.count:
                continue  # "and one load cell" among the spares: one of a kind, no count of them all
            if fact_id(a) in (b.part_of, a.part_of) or fact_id(b) == a.part_of or "spare" in words(a.name):
                continue
            if _explained(walk, a, b):
                continue
            p, q = count_as_quantity(a), count_as_quantity(b)
            assert p is not None
            assert q is not None
            loose = 0.1 if a.approximate or b.approximate else 0.0
            message = f"{a.count} {clean(a.name)} at first, {b.count} later: count again, and say which stands."
            yield from verdict(
                rule,
                [p, q],
                lambda p, q, loose=loose: abs(p.value - q.value) <= loose * max(p.value, q.value),
                message,
                level="check",
                basis=[a, b],
            )


def _explained(walk: Walk, a: Component, b: Component) -> bool:
    """ "Sixteen suction cups, no, sorry, 24; sixteen has the robot": whether one of two counts was said and taken back
    for the first thing, so that the speaker knows both."""
    gone = {c.count for c in walk.components if c.status == "withdrawn" and alike(c.name, a.name) == "same"}
    return b.count in gone or a.count in gone


def _stated(seq: Sequence) -> Quantity:
    """The stated count as a figure, so that it can be re-read."""
    return Quantity(
        fact_id(seq), plural(seq.station_word), "count", float(seq.stated_count or 0), "", evidence=seq.evidence
    )


def _list(numbers: list[int]) -> str:
    return " and ".join(map(str, numbers)) if len(numbers) < 3 else ", ".join(map(str, numbers))


RULES = (
    stations_stated_and_described,
    station_described_twice,
    parts_and_total,
    parts_in_the_words,
    named_by_its_number,
    positions_and_carriers,
    counted_twice,
)
