"""One load carrier to a position: "twenty four positions, one bar to each, eighteen flight bars in all".

Read only where the words say that a position holds one carrier, and that the carriers counted are all there are.
Spares, positions said to be left free, and carriers on hire or elsewhere leave the comparison open: nothing is read.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from extractors.mentions import BreakdownMention, Number, Tokens
from extractors.plain_counts import Counts
from extractors.word_classes import stem, word_set

POSITIONS = word_set("position station tank slot spot place pocket nest bay cell berth stand stop")
CARRIERS = word_set(
    "bar flightbar rack tray carrier basket pallet fixture trolley barrel hanger carriage bogie puck boat cassette "
    "crate mandrel jig platen wagon saddle sling skip cart car"
)
EACH = word_set("each every")
TO = word_set("to in per for at on into")
ALL = (
    ("in", "all"), ("all", "told"), ("in", "total"), ("altogether",), ("total",), ("that's", "all"), ("the", "lot"),
    ("that's", "every"), ("every", "one"), ("full", "set"), ("no", "more"), ("no", "spares"), ("all", "there"),
)  # fmt: skip
OPEN = word_set(
    "spare spares extra extras except apart besides load loading unload unloading empty free idle hire hired rented "
    "away repair repairs stripping shop missing scrapped about roughly some around maybe least only half"
)
"""Words that leave open how many there are or should be."""
WIDE = 40
"""Tokens on either side of "one to each" within which both counts are told."""
MOST = 500


def find_one_each(tokens: Tokens, numbers: Sequence[Number]) -> tuple[BreakdownMention, ...]:
    """A count of positions (total) and the one of carriers (its only part), where each position was said to hold one;
    `of` names the carriers. At most one for each time that "one to each" was said."""
    counts = {
        n.first: (n.last, int(n.value))
        for n in numbers
        if n.value_max is None and n.form in ("cardinal", "digits") and 3 <= n.value <= MOST and n.value == int(n.value)
        and not any(tokens[k].aside for k in range(n.first, n.last))
    }  # fmt: skip
    out = []
    for at in _cues(tokens):
        a, b = _around(tokens, at)
        positions = _counted(tokens, counts, POSITIONS, a, b)
        carriers = _counted(tokens, counts, CARRIERS, a, b)
        if len(positions) != 1 or len(carriers) != 1 or not _all_told(tokens, carriers[0], a, b):
            continue
        if any(t.lower in OPEN for t in tokens[a:b] if ("no", t.lower) not in ALL):
            continue
        (first, stop), (begin, end) = positions[0], carriers[0]
        span = (tokens[min(first, begin)].word, tokens[max(stop, end) - 1].word + 1)
        total, part = counts[first][1], counts[begin][1]
        out.append(BreakdownMention(span, tokens[stop - 1].lower, total, (part,), False, tokens[end - 1].lower))
    return tuple(dict.fromkeys(out))


def _cues(tokens: Tokens) -> Iterator[int]:
    """Where "one bar to each position", "each position takes one rack", "a tray for every slot" begins."""
    for i, t in enumerate(tokens):
        tail = [w.lower for w in tokens[i + 1 : i + 7] if w.sentence == t.sentence]
        if t.aside or not tail:
            continue
        if t.lower in {"one", "a", "single"}:
            j = next((j for j, w in enumerate(tail[:4]) if w in TO or w in {"a", "per"}), None)
            held = [stem(w) for w in tail[:j]] if j is not None else []
            if tail[1:2] == ["each"] and stem(tail[0]) in CARRIERS and t.lower == "one":
                yield i  # "one carrier each"
                continue
            if j is None or len(held) > 3 or (held and held[-1] not in CARRIERS) or (t.lower == "a" and not held):
                continue
            rest = tail[j + 1 :] if tail[j] in TO else tail[j:]
            each = (bool(rest) and rest[0] in EACH | {"a"}) or tail[j] in {"per", "a"}
            goes_to = [stem(w) for w in rest[:3]]
            if each and (bool(POSITIONS & set(goes_to)) or (bool(held or t.lower == "one") and rest[:1] == ["each"])):
                yield i
        elif t.lower in EACH and any(stem(w) in POSITIONS for w in tail[:2]):
            rest = tail[1:]
            k = next((k for k, w in enumerate(rest) if w in {"holds", "takes", "has", "carries", "gets", "hold"}), None)
            if k is not None and rest[k + 1 : k + 2] and rest[k + 1] in {"one", "a", "its", "just", "single"}:
                named = [stem(w) for w in rest[k + 2 : k + 5]]
                if rest[k + 1] == "one" or CARRIERS & set(named):
                    yield i


def _around(tokens: Tokens, at: int) -> tuple[int, int]:
    """From the sentence before the cue to the one behind it."""
    a, b = at, at
    while a > 0 and at - a < WIDE and tokens[at].sentence - tokens[a - 1].sentence <= 1:
        a -= 1
    while b < len(tokens) and b - at < WIDE and tokens[b].sentence - tokens[at].sentence <= 1:
        b += 1
    return a, b


def _counted(tokens: Tokens, counts: Counts, nouns: frozenset[str], a: int, b: int) -> list[tuple[int, int]]:
    """Counts of one of these nouns, told up to two words before a plural: where each begins and ends."""
    out = []
    for k, (last, _) in counts.items():
        if not a <= k < b:
            continue
        for j in range(last, min(last + 3, b)):
            lower = tokens[j].lower
            if lower in EACH or (j > last and tokens[j - 1].after):
                break
            if lower.endswith("s") and stem(lower) in nouns:
                out.append((k, j + 1))
                break
    return out


def _all_told(tokens: Tokens, carriers: tuple[int, int], a: int, b: int) -> bool:
    begin, end = carriers
    words = [t.lower for t in tokens[max(a, begin - 4) : min(b, end + 6)]]
    return any(tuple(words[i : i + len(p)]) == p for p in ALL for i in range(len(words)))
