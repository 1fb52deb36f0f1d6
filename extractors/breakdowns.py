"""A count and the counts it is made of, read from the words: "five saddles, two fixed and two sliding".

The parts need no name of their own ("two on the centre lance and three around the outside", "the first twelve make the
web and the last eight the lips", "eight in zone one and six each in the other three"), so they are no components: what
is found here serves one comparison only, total against parts.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from extractors.mentions import BreakdownMention, Number, QuantityMention, SumMention, ThingMention, Tokens
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
    "to each": "to in on for per at inside",
    "rows": "rows banks columns lines groups bundles stacks layers racks tiers strings",
    "rest": "other others remaining rest last",
    "closing": "and then plus",
    "them": "them em 'em those these which",
    "stop": "originally used used-to could should would might if when between either or except but",
}
_WORDS = {name: frozenset(text.split()) for name, text in _SETS.items()}
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
    tokens: Tokens, things: tuple[ThingMention, ...], quantities: tuple[QuantityMention, ...], vocabulary: Vocabulary
) -> tuple[BreakdownMention, ...]:
    """Every count of three or more that is taken apart within two sentences; whole where nothing is left out."""
    at: dict[int, int] = {}
    for k, t in enumerate(tokens):
        at.setdefault(t.word, k)
    measured = {w for q in quantities for w in range(*q.span)}
    counts = {
        n.first: (n.last, int(n.value))
        for n in find_numbers(tokens, vocabulary)
        if n.value_max is None
        and n.form in ("cardinal", "digits")
        and 1 <= n.value <= 500
        and n.value == int(n.value)
        and tokens[n.first].word not in measured
        and not any(tokens[k].aside for k in range(n.first, n.last))
    }
    starts = {at[m.span[0]]: m for m in things if m.span[0] in at}
    out = []
    for m in things:
        if m.count is None or m.count < LEAST or m.approximate or m.status == "withdrawn" or m.span[0] not in at:
            continue
        end = at.get(m.span[1], next((at[w] for w in range(m.span[1], m.span[1] + 3) if w in at), len(tokens)))
        parts = _parts(tokens, end, m, counts, starts)
        if found := _sum(tokens, end, m.count, parts):
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
        if found := _sum(tokens, noun, value, _parts(tokens, noun, bare, counts, starts)):
            used, whole = found
            name = " ".join(t.lower for t in tokens[end:noun])
            last = tokens[used[-1].last - 1].word + 1
            out.append(BreakdownMention((tokens[k].word, last), name, value, tuple(p.value for p in used), whole))
    out += _so_many_to_each(tokens, counts)
    return tuple(out)


def _so_many_to_each(tokens: Tokens, counts: dict[int, tuple[int, int]]) -> list[BreakdownMention]:
    """ "Two fans to each of the eight chambers. Fourteen fans fitted": so many in each, and how many there are."""
    out = []
    for k, (end, value) in counts.items():
        noun = _plural(tokens, end)
        if not noun or noun - end > 2 or not 2 <= value <= 50 or any(j in counts for j in range(end, noun)):
            continue
        tail = [t.lower for t in tokens[noun : noun + 6]]
        if len(tail) < 3 or tail[0] not in _WORDS["to each"] or tail[1] not in ("each", "every"):
            continue
        many = next((j for j in range(noun + 3, min(noun + 6, len(tokens))) if j in counts and tail[2] == "of"), None)
        if many is None:  # "ten pressure vessels, six membranes in every one"
            many = next((j for j in range(k - 1, max(-1, k - 6), -1) if j in counts and counts[j][1] > 1), None)
        if many is None:
            continue
        for j, (stop, total) in counts.items():
            same = tokens[stop].lower == tokens[noun - 1].lower if stop < len(tokens) else False
            made = value * counts[many][1]
            again = stop + 2 < len(tokens) and tokens[stop + 2].lower in ("each", "every")
            near = value < total and 0.6 <= total / made <= 1.7
            if same and near and not again and j not in (k, many) and abs(j - k) <= 40:
                first, last = min(j, k), max(stop, counts[many][0]) - 1
                span = (tokens[first].word, tokens[last].word + 1)
                out.append(BreakdownMention(span, tokens[noun - 1].lower, total, (made,), False))
                break
    return out


def _plural(tokens: Tokens, k: int) -> int | None:
    """Where the name of what is counted ends: "membrane modules", three words at most, the last of them a plural."""
    for j in range(k, min(k + 3, len(tokens))):
        lower = tokens[j].lower
        if lower in _WORDS["other things"] or lower in _WORDS["rows"] or not lower.isalpha():
            return None
        if len(lower) > 3 and lower.endswith("s") and not lower.endswith("ss"):
            return j + 1
        if tokens[j].after:
            return None
    return None


def _parts(
    tokens: Tokens, end: int, total: ThingMention, counts: dict[int, tuple[int, int]], starts: dict[int, ThingMention]
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
        own = thing is None or _one_kind(thing.name, total.name)
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
        if own and value < (total.count or 0) and _counts_some(tokens, k, last):
            value, last = _each_of(tokens, value, last, counts)
            closes = any(tokens[j].lower in _WORDS["rest"] for j in range(max(end, k - 2), k))
            out.append(_Part(k, last, value, closes))
            reached = last
        elif not own and thing is not None and (thing.count or 0) > 1:
            break
        k = max(last, k + 1)
    return out


def _rows_of(tokens: Tokens, k: int, last: int, counts: dict[int, tuple[int, int]]) -> tuple[int, int] | None:
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
    return bool(a and b) and a[-1].rstrip("s") == b[-1].rstrip("s")


def _counts_some(tokens: Tokens, first: int, last: int) -> bool:
    before = tokens[first - 1].lower if first and not tokens[first - 1].after else ""
    behind = tokens[last].lower if last < len(tokens) and not tokens[last - 1].after else ""
    if before in _WORDS["named"] or behind in _WORDS["other things"]:
        return False
    return not (tokens[first].lower == "one" and before in _WORDS["pronoun one"])


def _each_of(tokens: Tokens, value: int, last: int, counts: dict[int, tuple[int, int]]) -> tuple[int, int]:
    """ "Six each in the other three zones" is eighteen: what is said of each, times how many there are."""
    if last >= len(tokens) or tokens[last].lower not in _WORDS["each"]:
        return value, last
    for k in range(last + 1, min(len(tokens), last + 6)):
        if tokens[k].sentence != tokens[last].sentence or tokens[k - 1].after in (".", ";"):
            break
        if k in counts and counts[k][1] > 1:
            return value * counts[k][1], counts[k][0]
    return value, last


def _sum(tokens: Tokens, end: int, total: int, parts: list[_Part]) -> tuple[list[_Part], bool] | None:
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
        if used[-1].closes or _plain_list(tokens, end, used):
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


def _verb_before(tokens: Tokens, end: int, first: int) -> bool:
    """ "Six pumps, of which I would change two and ...": a clause of its own is no list."""
    words = [t.lower for t in tokens[end:first]]
    return any(w in ("need", "needs", "want", "wants", "i", "we", "leak", "leaks", "broken", "new") for w in words)


def find_sums(
    tokens: Tokens, quantities: tuple[QuantityMention, ...], vocabulary: Vocabulary
) -> tuple[SumMention, ...]:
    """Amounts told as sums: "of this the drum holds 2.4 tonnes and the receiver 1.6", "so together 60,000 bushels"."""
    at: dict[int, int] = {}
    for k, t in enumerate(tokens):
        at.setdefault(t.word, k)
    stated = [q for q in quantities if q.status != "withdrawn" and q.span[0] in at and q.value_max is None]
    stated = sorted((q for q in stated if q.property in _SUMMED), key=lambda q: q.span)
    named = {n.first: n for n in find_numbers(tokens, vocabulary)}
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
        if len(parts) >= 2:
            times = tuple(_times(tokens, at[p.span[0]], named) if p.each else 1 for p in parts)
            out.append(SumMention(total.span, tuple(p.span for p in parts), times, i in closed))
    return tuple(out)


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
