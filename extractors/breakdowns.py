"""A count and the counts it is made of, read from the words: "five saddles, two fixed and two sliding".

The parts need no name of their own ("two on the centre lance and three around the outside", "the first twelve make the
web and the last eight the lips", "eight in zone one and six each in the other three"), so they are no components: what
is found here serves one comparison only, total against parts.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from extractors.counts_in_counts import counts_in_counts
from extractors.equated_counts import equated_counts
from extractors.mentions import BreakdownMention, Number, QuantityMention, SumMention, ThingMention, Tokens
from extractors.plain_counts import IN_ALL, Counts, noun_end, phrase_end
from extractors.spoken_numbers import find_numbers
from vocab import Vocabulary

FAR = 48
"""Tokens behind a total within which its parts are told."""
SENTENCES = 2
GAP = 14
"""Tokens from one part to the next."""
LEAST = 3
"""Totals below this are pairs, told apart in other ways."""

_SETS = {
    # words before a number that make it a name, a size or a rank, and no count
    "named": "number numbers no zone stage station tank section bay cell unit line model type class grade phase room "
    "building hall floor level lot item asset size schedule series mark version of than in by at from to minus plus "
    "point past until till every per position bin press pump machine step figure drawing page plus about over under "
    "another twenty thirty forty fifty sixty seventy eighty ninety hundred thousand",
    # "one" behind these stands for a noun
    "pronoun one": "the this that which each another every any no a new old big small other same last first next "
    "bigger smaller little good bad only",
    # words behind a number that count something else
    "other things": "times time percent years year months month weeks week days day hours hour minutes minute seconds "
    "second shifts shift guys men people fellas lads degrees degree inch inches foot feet metre metres meter meters "
    "millimetres millimeters mil mils pounds kilos tons tonnes gallons litres liters bar psi volt volts amp amps horse "
    "horsepower kw phase hp rpm hertz more dollars bucks euros o'clock thirty fifteen point hundred thousand million "
    "and a half way ways sides stages speeds poles pole wire high wide deep long by",
    "each": "each apiece",
    "rows": "rows banks columns lines groups bundles stacks layers racks tiers strings",
    "kinds": "sections section sizes kinds sorts types groups lengths lots sets makes styles colours colors halves",
    "some": "ones others spares standbys originals needs wants leaks works runs goes looks has does was rows banks "
    "columns lines layers racks tiers strings always",
    "places": "on in over across along between at for",
    "rest": "other others remaining rest last",
    "closing": "and then plus",
    "them": "them em 'em those these which",
    "stop": "originally used used-to could should would might if when between either or except but",
}
_WORDS = {name: frozenset(text.split()) for name, text in _SETS.items()}
_SIZED = re.compile(r"(?:foot|inch|ton|tonn|yard|gallon|metre|meter|litre|liter|pound|mil)ers")
_HERE = frozenset(("but", "though", "only"))


_SUMMED = frozenset(("weight", "volume", "power", "length", "current", "flow", "rate", "area", "other", "hours"))
_CLOSED = frozenset(("together", "altogether", "combined", "sum", "adds", "add", "added", "adding"))
"""Words that make an amount the sum of those before it."""
_CLOSED_PHRASES = (
    ("in", "all"),
    ("all", "told"),
    ("all", "in"),
    ("between", "them"),
    ("that", "makes"),
    ("which", "makes"),
)
_TOTAL = frozenset(("total", "whole", "totals", "overall"))
_OF_THIS = (("of", "this"), ("of", "that"), ("of", "which"), ("of", "it"), ("made", "up"), ("consisting", "of"))
_TURNS = (
    ("after", "the", "other"), ("after", "another"), ("by", "one"), ("by", "two"), ("at", "a", "time"), ("at", "once"),
    ("at", "the", "same"), ("behind", "the", "other"), ("beside", "the", "other"), ("above", "the", "other"),
)  # fmt: skip
"""Words behind a number that is no count: how things take turns, or stand."""
_ONE_BREATH = 30
"""Tokens between amounts that are summed."""


@dataclass(frozen=True, slots=True)
class _Part:
    first: int
    last: int
    value: int
    closes: bool
    """Said to be all that is left: "and the other two"."""


def find_breakdowns(
    tokens: Tokens,
    numbers: Sequence[Number],
    things: tuple[ThingMention, ...],
    quantities: tuple[QuantityMention, ...],
    vocabulary: Vocabulary,
) -> tuple[BreakdownMention, ...]:
    """Every count of three or more that is taken apart within two sentences; whole where nothing is left out."""
    at: dict[int, int] = {}
    for k, t in enumerate(tokens):
        at.setdefault(t.word, k)
    measured = {w for q in quantities if q.property != "count" for w in range(*q.span)}
    in_each = {w for q in quantities if q.property == "count" for w in range(*q.span)}
    plain = {
        n.first: (n.last, int(n.value))
        for n in numbers
        if n.value_max is None
        and n.form in ("cardinal", "digits")
        and n.value == int(n.value) >= 1
        and tokens[n.first].word not in measured
        and tokens[n.first].lower != "couple"
        and not any(tokens[k].aside for k in range(n.first, n.last))
        and not _in_turn(tokens, n.first, n.last)
    }
    plain |= _of_a_size(tokens, vocabulary)
    counts = {k: n for k, n in plain.items() if n[1] <= 500 and tokens[k].word not in in_each}
    starts = {at[m.span[0]]: m for m in things if m.span[0] in at}
    out: list[BreakdownMention] = []
    for m in things:
        if m.count is None or m.count < LEAST or m.approximate or m.status == "withdrawn" or m.span[0] not in at:
            continue
        end = at.get(m.span[1], next((at[w] for w in range(m.span[1], m.span[1] + 3) if w in at), len(tokens)))
        if any(b.noun.split()[-1] == m.name.lower().split()[-1] and _covers(b, m) for b in out):
            continue  # "120 plates in all, seventy plates here and fifty plates there": one of the parts
        end, in_all = _told_in_all(tokens, _count_behind(tokens, end, m, counts))
        parts = _parts(tokens, end, m, counts, starts)
        if found := _sum(tokens, end, m.count, parts, in_all=in_all):
            used, whole = found
            last = tokens[used[-1].last - 1].word + 1
            out.append(BreakdownMention((m.span[0], last), m.name, m.count, tuple(p.value for p in used), whole))
    taken = [b.span for b in out]
    listed = {w for m in things for w in range(*m.span)}
    for k, (end, value) in counts.items():
        noun = _plural(tokens, end)
        free = tokens[k].word not in listed and not any(a <= tokens[k].word < b for a, b in taken)
        if value < LEAST or not noun or not free or not _counts_some(tokens, k, end):
            continue
        bare = ThingMention((tokens[k].word, tokens[noun - 1].word + 1), tokens[noun - 1].lower, value)
        stop, in_all = _told_in_all(tokens, noun)
        if found := _sum(tokens, stop, value, _parts(tokens, stop, bare, counts, starts), in_all=in_all):
            used, whole = found
            name = " ".join(t.lower for t in tokens[end:noun])
            last = tokens[used[-1].last - 1].word + 1
            out.append(BreakdownMention((tokens[k].word, last), name, value, tuple(p.value for p in used), whole))
    taken = [b.span for b in out]
    out += [b for b in equated_counts(tokens, counts) if not any(x < b.span[1] and b.span[0] < y for x, y in taken)]
    out += counts_in_counts(tokens, plain)
    return tuple(out)


def _in_turn(tokens: Tokens, first: int, last: int) -> bool:
    """Whether a number tells how things take turns: "one after the other", "two at a time", "never two together"."""
    behind = tuple(t.lower for t in tokens[last : last + 3])
    turns = any(behind[: len(t)] == t for t in _TURNS)
    return turns or (first > 0 and tokens[first - 1].lower in ("never", "not") and behind[:1] == ("together",))


def _of_a_size(tokens: Tokens, vocabulary: Vocabulary) -> dict[int, tuple[int, int]]:
    """ "Four sixty footers and three forty footers": the first word counts them, the second is their size."""
    out = {}
    for k in range(len(tokens) - 2):
        if _SIZED.fullmatch(tokens[k + 2].lower) and tokens[k].sentence == tokens[k + 2].sentence:
            one, size = find_numbers(tokens[k : k + 1], vocabulary), find_numbers(tokens[k + 1 : k + 2], vocabulary)
            if one and size and 2 <= one[0].value <= 30 and one[0].value == int(one[0].value):
                out[k] = (k + 1, int(one[0].value))
    return out


def _covers(b: BreakdownMention, m: ThingMention) -> bool:
    return b.span[0] < m.span[0] < b.span[1]


def _count_behind(tokens: Tokens, end: int, total: ThingMention, counts: Counts) -> int:
    """Where a total ends that is counted behind its name: "the valves are brass, there's twenty of 'em in all"."""
    for k in range(end, min(len(tokens), end + GAP)):
        if tokens[k].sentence - tokens[end - 1].sentence > 1:
            break
        if k in counts and counts[k][1] == total.count:
            stop = counts[k][0]
            them = [t.lower for t in tokens[stop : stop + 2]]
            return stop + 2 if them[:1] == ["of"] and them[1:] and them[1] in _WORDS["them"] else stop
    return end


def _told_in_all(tokens: Tokens, end: int) -> tuple[int, bool]:
    """Whether "in all", "altogether" or the like stands behind a count, and where the words of it end."""
    stop = phrase_end(tokens, end, IN_ALL)
    return stop, stop > end


def _plural(tokens: Tokens, k: int) -> int | None:
    """Where the name of what is counted ends: "membrane modules"."""
    return noun_end(tokens, k, lambda j: tokens[j].lower in _WORDS["other things"] or tokens[j].lower in _WORDS["rows"])


def _parts(
    tokens: Tokens, end: int, total: ThingMention, counts: Counts, starts: dict[int, ThingMention]
) -> list[_Part]:
    """Numbers behind a total that count some of it, as far as they follow one another."""
    out: list[_Part] = []
    sentence = tokens[end - 1].sentence if end else 0
    reached, k = end, end
    noun = total.name.lower().split()[-1].rstrip("s")
    while k < min(len(tokens), end + FAR) and k - reached <= GAP and tokens[k].sentence - sentence <= SENTENCES:
        if tokens[k].lower in _WORDS["stop"] and not out:
            break
        if tokens[k].lower.rstrip("s") == noun and k + 1 in counts:
            return []  # "seven zones. Zone one and two are heating": their names
        thing = starts.get(k)
        own = thing is None or thing.part_of is not None or _one_kind(thing.name, total.name)
        if k in counts and counts[k][0] < len(tokens) and tokens[counts[k][0]].lower in _WORDS["kinds"]:
            k = counts[k][0]
            continue  # "120 plates, three sections, so seventy ...": how it is divided
        if k in counts and tokens[k - 1].lower in _WORDS["places"] and _names_others(tokens, counts[k][0], noun):
            k = counts[k][0]
            continue  # "eighteen stands on two beds, twelve on the one": where they are
        if not own and thing is not None and (thing.count or 0) > 1 and not out:
            break  # another thing is being counted
        if k not in counts:
            k += 1
            continue
        last, value = counts[k]
        if (rows := _rows_of(tokens, k, last, counts)) is not None:
            value, last = rows
            out.append(_Part(k, last, value, True))
            reached = k = last
            continue
        if _names_others(tokens, last, noun):
            k = last
            continue
        if own and value < (total.count or 0) and _counts_some(tokens, k, last):
            value, last = _each_of(tokens, value, last, counts)
            closes = any(tokens[j].lower in _WORDS["rest"] for j in range(max(end, k - 2), k))
            out.append(_Part(k, last, value, closes))
            reached = last
        elif not own and thing is not None and (thing.count or 0) > 1:
            break
        k = max(last, k + 1)
    return out


def _names_others(tokens: Tokens, last: int, noun: str) -> bool:
    """Whether a number has a plural of its own behind it that is neither the total's nor a word for some of them."""
    if last >= len(tokens) or (last and tokens[last - 1].after):
        return False
    lower = tokens[last].lower
    plural = len(lower) > 3 and lower.isalpha() and lower.endswith("s") and not lower.endswith(("ss", "us", "is"))
    return plural and lower.rstrip("s") != noun and lower not in _WORDS["some"] and not _SIZED.fullmatch(lower)


def _rows_of(tokens: Tokens, k: int, last: int, counts: Counts) -> tuple[int, int] | None:
    """ "Twelve rows of twenty" is 240, and where it ends."""
    if last + 2 >= len(tokens) or tokens[last].lower not in _WORDS["rows"] or tokens[last + 1].lower != "of":
        return None
    if last + 2 not in counts or tokens[last].after:
        return None
    end, each = counts[last + 2]
    return counts[k][1] * each, end


def _one_kind(name: str, total: str) -> bool:
    """Whether a thing is called as the total is: "load thermocouples" of "thermocouples"."""
    a, b = name.lower().split(), total.lower().split()
    return bool(a and b) and (a[-1].rstrip("s") == b[-1].rstrip("s") or a[-1] in ("ones", "others"))


def _counts_some(tokens: Tokens, first: int, last: int) -> bool:
    before = tokens[first - 1].lower if first and not tokens[first - 1].after else ""
    behind = tokens[last].lower if last < len(tokens) and not tokens[last - 1].after else ""
    if before in _WORDS["named"] or behind in _WORDS["other things"] or "or" in (before, behind):
        return False  # "two or three of them hiss" is no part
    return not (tokens[first].lower == "one" and before in _WORDS["pronoun one"])


def _each_of(tokens: Tokens, value: int, last: int, counts: Counts) -> tuple[int, int]:
    """ "Six each in the other three zones" is eighteen: what is said of each, times how many there are."""
    if last >= len(tokens) or tokens[last].lower not in _WORDS["each"]:
        return value, last
    for k in range(last + 1, min(len(tokens), last + 6)):
        if tokens[k].sentence != tokens[last].sentence or tokens[k - 1].after in (".", ";"):
            break
        if k in counts and counts[k][1] > 1:
            return value * counts[k][1], counts[k][0]
    return value, last


def _sum(
    tokens: Tokens, end: int, total: int, parts: list[_Part], *, in_all: bool = False
) -> tuple[list[_Part], bool] | None:
    """The parts that make up the total, or that were told as all of it; None where it is not taken apart.

    A list that leaves something open ("four burners, two want new tiles") is no sum.
    """
    if parts and parts[0].value > 1 and _is_product(tokens, parts[0]):
        return parts[:1], True
    for k in range(2, len(parts) + 1):
        if sum(p.value for p in parts[:k]) == total:
            return parts[:k], True
    for k in range(len(parts), 1, -1):
        used = parts[:k]
        made = sum(p.value for p in used)
        if not total / 2 < made < total * 2 or abs(made - total) > max(3, total // 3):
            continue
        if used[-1].closes or _plain_list(tokens, end, used) or (in_all and _one_list(tokens, end, used)):
            return used, True
    return None


def _is_product(tokens: Tokens, part: _Part) -> bool:
    return any(t.lower in _WORDS["rows"] for t in tokens[part.first : part.last])


def _plain_list(tokens: Tokens, end: int, parts: list[_Part]) -> bool:
    """ "Five saddles, two fixed and two sliding": one sentence, right behind the total, the last part behind "and"."""
    first, last = parts[0], parts[-1]
    if tokens[first.first].sentence != tokens[last.first].sentence or first.first - end > 6:
        return False
    between = [t.lower for t in tokens[first.first : last.first]]
    partitive = bool(_WORDS["them"] & set(between))
    if len(between) > (9 + 4 * partitive) * (len(parts) - 1) or _HERE & set(between):
        return False
    close = [t.lower for t in tokens[max(0, last.first - 4) : last.first]]
    return bool(_WORDS["closing"] & set(close)) and not _verb_before(tokens, end, first.first)


def _one_list(tokens: Tokens, end: int, parts: list[_Part]) -> bool:
    """ "Fourteen holders in all. Nine with tools in, three empty": parts in one sentence, behind a count said to be of
    all; nothing else is counted in it and nothing said that some of them need."""
    first, last = parts[0], parts[-1]
    if tokens[first.first].sentence != tokens[last.first].sentence or first.first - end > GAP:
        return False
    between = {t.lower for t in tokens[first.first : last.first]}
    return not _HERE & between and not _verb_before(tokens, end, last.last + 2)


def _verb_before(tokens: Tokens, end: int, first: int) -> bool:
    """ "Six pumps, of which I would change two and ...": a clause of its own is no list."""
    words = [t.lower for t in tokens[end:first]]
    return any(w in ("need", "needs", "want", "wants", "i", "we", "leak", "leaks", "broken", "new") for w in words)


def find_sums(
    tokens: Tokens, numbers: Sequence[Number], quantities: tuple[QuantityMention, ...]
) -> tuple[SumMention, ...]:
    """Amounts told as sums: "of this the drum holds 2.4 tonnes and the receiver 1.6", "so together 60,000 bushels"."""
    at: dict[int, int] = {}
    for k, t in enumerate(tokens):
        at.setdefault(t.word, k)
    stated = [q for q in quantities if q.status != "withdrawn" and q.span[0] in at and q.value_max is None]
    stated = sorted((q for q in stated if q.property in _SUMMED), key=lambda q: q.span)
    named = {n.first: n for n in numbers}
    closed = _closed(tokens, at, stated)
    out = []
    for i, total in enumerate(stated):
        k = at[total.span[0]]
        if i in closed:
            parts = _chain(at, stated[:i][::-1], total)[::-1]
        elif _TOTAL & {t.lower for t in tokens[max(0, k - 10) : k] if t.sentence == tokens[k].sentence}:
            behind = [t.lower for t in tokens[k : k + 24]]
            if not any(p in set(pairwise(behind)) for p in _OF_THIS):
                continue
            parts = _chain(at, stated[i + 1 :], total)
        else:
            continue
        if len(parts) >= 2:  # one part alone: _in_pieces
            times = tuple(_times(tokens, at[p.span[0]], named) if p.each else 1 for p in parts)
            out.append(SumMention(total.span, tuple(p.span for p in parts), times, i in closed))
    return (*out, *_in_pieces(tokens, at, stated, named))


def _in_pieces(
    tokens: Tokens, at: dict[int, int], stated: list[QuantityMention], named: dict[int, Number]
) -> list[SumMention]:
    """ "Forty foot long, it comes apart in four sections, eight foot each": an amount and the equal pieces it is of."""
    out = []
    for i, total in enumerate(stated[:-1]):
        part = stated[i + 1]
        k, j = at[total.span[0]], at[part.span[0]]
        kind = (part.property, part.unit, part.subject) == (total.property, total.unit, total.subject)
        if not part.each or total.each or not kind or part.value >= total.value or j - k > 18:
            continue
        many = [n for f, n in named.items() if k < f < j and j - n.last <= 3 and n.value >= 2 and n.value_max is None]
        pieces = [n for n in many if n.last < j and tokens[n.last].lower in _PIECES]
        if len(pieces) == 1 and tokens[k].sentence == tokens[j].sentence:
            out.append(SumMention(total.span, (part.span,), (int(pieces[0].value),), True))
    return out


_PIECES = frozenset(
    "sections section pieces lengths parts halves modules bits spans lots bays segments panels drops sheets".split()
)
"""What one thing comes apart in."""


def _closed(tokens: Tokens, at: dict[int, int], stated: list[QuantityMention]) -> set[int]:
    """Which amounts are called the sum: the one right before "in all", else the one right behind "together"."""
    out: set[int] = set()
    for k, t in enumerate(tokens):
        pair = (t.lower, tokens[k + 1].lower if k + 1 < len(tokens) else "")
        if t.lower not in _CLOSED and pair not in _CLOSED_PHRASES:
            continue
        own = [i for i, q in enumerate(stated) if tokens[at[q.span[0]]].sentence == t.sentence]
        before = [i for i in own if 0 < k - at[stated[i].span[0]] <= 7]
        behind = [i for i in own if 0 < at[stated[i].span[0]] - k <= 9]
        if before and pair[0] not in ("that", "which"):
            out.add(before[-1])
        elif behind:
            out.add(behind[0])
    return out


def _chain(at: dict[int, int], pool: list[QuantityMention], total: QuantityMention) -> list[QuantityMention]:
    """The amounts next to a total, one after the other, each smaller than it and of its kind; five at most."""
    out: list[QuantityMention] = []
    here = at[total.span[0]]
    for q in pool:
        if abs(at[q.span[0]] - here) > _ONE_BREATH or len(out) == 5:
            break
        here = at[q.span[0]]
        if q.property == total.property and q.unit == total.unit:
            if q.value >= total.value or any(q.value == p.value and q.subject == p.subject for p in out):
                break
            out.append(q)
    return out


def _times(tokens: Tokens, k: int, named: dict[int, Number]) -> int:
    """ "Two and three hold twenty thousand apiece" is of two of them."""
    sentence = [j for j, t in enumerate(tokens) if t.sentence == tokens[k].sentence and j < k]
    for j in sentence:
        if j in named and j + 2 in named and tokens[j + 1].lower == "and":
            return 2
    return 1
