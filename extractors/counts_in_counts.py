"""So many in each of so many, and what was said of all: "eight cartons a layer, six layers, 56 cartons on a pallet".

Three counts are looked for: how many of one thing (cartons) each of another (layers) has, how many of the other there
are, and how many of the one there were said to be in all. They may stand in three sentences and in any order of the
first two. Only where the words tie them together: a time behind "a" makes a rate of it ("eight cartons a minute"), and
a count of what was changed, is spare or has gone is none of all.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from extractors.mentions import BreakdownMention, Tokens
from extractors.plain_counts import Counts, noun_end
from extractors.word_classes import stem, word_set

WIDE = 60
"""Tokens within which the three are told."""
BEFORE = 25
"""Tokens before the first of them within which the sum may be told."""
LINK = word_set("a an per each every")
TO = word_set("to in on for at inside from")
ONE = LINK | {"one"}
EACH = word_set("each every apiece")
HAS = word_set("has have holds hold takes take carries carry gets get got gives give makes make is with packs seats")
TOLD = word_set(
    "so that's which makes make gives give comes is are says said told tells claims claimed reckons shows holds fit "
    "total altogether together all there's"
)
"""Words of a sentence that tells a sum."""
SOME = word_set(
    "spare spares new changed replaced missing left working running broken bad dead rebuilt short blocked plugged "
    "empty more other others extra about around roughly nearly almost over only of"
)
"""Words beside a count that make it one of some, or no plain count."""
NO_HOLDER = word_set(
    "time minute hour second day week month year shift side end pound kilo kilogram gram ton tonne gallon litre liter "
    "foot inch metre meter way piece go"
)
"""What stands behind "a" in a rate, a price or a size, or has another number of them than was counted."""
SIDES = word_set("side end")
"""What there are two of, unless another number of them was said: "six nozzles a side"."""
PLACE = word_set(
    "top bottom roof ceiling floor front back rear middle center centre underneath under above infeed outfeed inlet "
    "outlet side end more"
)
"""Words behind a count of things that are none of those at the sides."""
NO_NAME = word_set("and or but the of in on to for with at by is are was has have it they that this then so from not")


@dataclass(frozen=True, slots=True)
class _Each:
    """So many (value, tokens `first` to `last`) of `held` in each of `holder`; many: where it was said how many."""

    first: int
    last: int
    value: int
    held: str
    holder: str
    many: int | None = None


def counts_in_counts(tokens: Tokens, counts: Counts) -> list[BreakdownMention]:
    """Each count of all that was told beside how many there are in each of how many; its factors are both, its only
    part their product. `counts` are plain numbers that measure nothing."""
    out: list[BreakdownMention] = []
    for each in _in_each(tokens, counts):
        many = each.many if each.many is not None else _holders(tokens, counts, each)
        holders = counts[many][1] if many is not None else 2 if each.holder in SIDES else 0
        if holders < 2 or each.value < 2:
            continue
        many = each.first if many is None else many
        made = holders * each.value
        told = [j for j in _totals(tokens, counts, each, many) if 0.5 <= counts[j][1] / made <= 2]
        # twice as many to the unit: of two sides, or of bars above and below
        if not told or any(counts[j][1] == 2 * made for j in told):
            continue
        # where one of them is the product, the others are of something else
        at = next((j for j in told if counts[j][1] == made), told[0])
        spans = [at, each.first, many]
        first, last = min(spans), max(counts[k][0] for k in spans) - 1
        span = (tokens[first].word, tokens[min(last + 1, len(tokens) - 1)].word + 1)
        factors = (holders, each.value)
        out.append(BreakdownMention(span, tokens[each.last - 1].lower, counts[at][1], (made,), False, "", factors))
    return list({(b.total, b.factors): b for b in out}.values())


def _in_each(tokens: Tokens, counts: Counts) -> Iterator[_Each]:
    for k, (end, value) in counts.items():
        noun = _noun_end(tokens, end, counts)
        if noun is None:
            continue
        held = stem(tokens[noun - 1].lower)
        tail = [t.lower for t in tokens[noun : noun + 6] if t.sentence == tokens[k].sentence]
        yield from _behind(tokens, counts, k, noun, value, held, tail)
        yield from _each_has(tokens, counts, k, noun, value, held)


def _behind(
    tokens: Tokens, counts: Counts, k: int, noun: int, value: int, held: str, tail: list[str]
) -> Iterator[_Each]:
    """ "Eight cartons a layer", "to each of the eight chambers", "in every one", "six layers of eight cartons"."""
    if tail[:1] and tail[0] in TO and tail[1:2] and tail[1] in ONE | {"either"}:
        j = noun + 2
    elif tail[:1] and tail[0] in LINK | {"apiece", "either"}:
        j = noun + 1
    elif k >= 2 and tokens[k - 1].lower in {"of", "with"} and not tokens[k - 1].after:
        holder = stem(tokens[k - 2].lower)
        many = next((c for c, (e, _) in counts.items() if e in (k - 2, k - 3)), None)
        if many is not None and holder not in NO_HOLDER and tokens[k - 2].lower.endswith("s"):
            yield _Each(k, noun, value, held, holder, many)
        return
    else:
        return
    word = stem(tokens[j].lower) if j < len(tokens) and tokens[j].sentence == tokens[k].sentence else ""
    if word in SIDES and tokens[j - 1].lower != "one":
        yield _Each(k, noun, value, held, word)
    if word in SIDES or tokens[j - 1].lower == "either":
        return
    closed = bool(tokens[j - 1].after) or not word or word in {"one", *NO_NAME}
    if word == "of":  # "each of the eight chambers"
        many = next((c for c in range(j + 1, min(j + 3, len(tokens))) if c in counts), None)
        if many is not None:
            yield _Each(k, noun, value, held, "", many)
        return
    if closed:  # "ten vessels, six membranes each"
        if tokens[j - 1].lower in EACH or word == "one":
            many = next((c for c in range(k - 1, max(-1, k - 8), -1) if c in counts), None)
            if many is not None:
                yield _Each(k, noun, value, held, "", many)
        return
    if word not in NO_HOLDER and word != held and not tokens[j].lower.isdigit():
        yield _Each(k, noun, value, held, word)


def _each_has(tokens: Tokens, counts: Counts, k: int, noun: int, value: int, held: str) -> Iterator[_Each]:
    """ "Each washer has twelve compartments", "every one of the six bays takes four heaters"."""
    start = k - 1
    while start >= 0 and tokens[start].sentence == tokens[k].sentence and k - start <= 9:
        if tokens[start].lower in {"each", "every"}:
            break
        start -= 1
    else:
        return
    if start < 0 or tokens[start].lower not in {"each", "every"} or any(c in counts for c in range(k - 2, k)):
        return
    verb = next((j for j in range(start + 1, k) if tokens[j].lower in HAS), None)
    if verb is None or k - verb > 3:
        return
    many = next((c for c in range(start, verb) if c in counts and tokens[c].lower != "one"), None)
    holder = stem(tokens[verb - 1].lower)
    if many is not None:
        yield _Each(k, noun, value, held, "", many)
    elif verb - start > 1 and holder not in NO_HOLDER | {"one", "them", "em"}:
        yield _Each(k, noun, value, held, holder)
    elif verb - start <= 3:  # "each has", "each one takes"
        many = next((c for c in range(start - 1, max(-1, start - 14), -1) if c in counts), None)
        if many is not None:
            yield _Each(k, noun, value, held, "", many)


def _holders(tokens: Tokens, counts: Counts, each: _Each) -> int | None:
    """Where it was said how many there are of what holds so many: the nearest count of its noun, before or behind."""
    found = []
    for c, (end, _) in counts.items():
        if c == each.first or abs(c - each.first) > WIDE:
            continue
        if each.holder in SIDES:
            if end < len(tokens) and tokens[end].lower == f"{each.holder}s":
                found.append(c)
            continue
        noun = _noun_end(tokens, end, counts)
        if noun is not None and stem(tokens[noun - 1].lower) == each.holder and not _of_some(tokens, c, noun):
            found.append(c)
    return min(found, key=lambda c: (c > each.first, abs(c - each.first)), default=None)


def _totals(tokens: Tokens, counts: Counts, each: _Each, many: int) -> list[int]:
    """Counts of the held thing that were told as all of it, nearest first."""
    first, last = min(each.first, many), max(each.first, many)
    out = []
    for j, (end, value) in counts.items():
        if j in (each.first, many) or not first - BEFORE <= j <= last + WIDE or value <= max(each.value, 1):
            continue
        noun = _noun_end(tokens, end, counts)
        if noun is None or stem(tokens[noun - 1].lower) != each.held or _of_some(tokens, j, noun):
            continue
        again = [t.lower for t in tokens[noun : noun + 2] if t.sentence == tokens[j].sentence]
        if again and (again[0] in EACH or (again[0] in TO and again[1:] and again[1] in {"each", "every"})):
            continue
        sentence = {t.lower for t in tokens[max(0, j - 14) : noun + 8] if t.sentence == tokens[j].sentence}
        near = abs(j - each.first) <= 12 and tokens[j].sentence == tokens[each.first].sentence
        if each.holder in SIDES:  # "six nozzles a side, ten on top": told first, or told as all there are
            near = near and j < each.first
            if not tokens[noun - 1].after and PLACE & {t.lower for t in _clause(tokens[noun : noun + 5])}:
                continue
        if near or TOLD & sentence:
            out.append(j)
    return sorted(out, key=lambda j: abs(j - last))


def _clause(tokens: Tokens) -> Tokens:
    """The first of these tokens up to the first mark behind one."""
    return tokens[: next((i + 1 for i, t in enumerate(tokens) if t.after), len(tokens))]


def _noun_end(tokens: Tokens, k: int, counts: Counts) -> int | None:
    def no_name(j: int) -> bool:
        lower = tokens[j].lower
        return lower in NO_NAME or lower in EACH or stem(lower) in NO_HOLDER or j in counts

    return noun_end(tokens, k, no_name)


def _of_some(tokens: Tokens, k: int, noun: int) -> bool:
    """Whether a count is of some of them, or a guess: "about forty", "five spare trays", "six pumps were changed"."""
    before = [t.lower for t in tokens[max(0, k - 2) : k] if t.sentence == tokens[k].sentence]
    behind = [t.lower for t in tokens[k : noun + 3] if t.sentence == tokens[k].sentence]
    return bool(SOME & {*before[-1:], *behind})
