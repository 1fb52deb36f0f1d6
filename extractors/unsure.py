"""Words heard too badly to be read: what they may be goes along with the thing they name, and is asked about."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

from extractors.mentions import RemarkMention, SequenceMention, Span, ThingMention, Token, Tokens
from vocab import Vocabulary

UNSURE = 0.55
"""Probability below which the word before a unit may have been a figure; chosen, no source."""
MEASURED = frozenset(
    "kilowatt kilowatts kw psi rpm cfm gpm gallons litres liters volts amps horsepower millimetres millimeters "
    "fahrenheit celsius hertz tonnes kilograms".split()
)
"""Units that nobody names without a figure, but for the words of PLAIN before them."""
GRAMMAR = frozenset({"asks", "points", "leads", "helps", "stands_in", "joins", "describes", "fills"})
LIKE_FIGURES = frozenset({"or", "for", "to", "too", "fore"})
"""Small words that sound like four and two."""
PLAIN = frozenset("many few more less high low total full rated half several extra per degrees full-load cubic".split())


def things_doubted(things: tuple[ThingMention, ...], tokens: Tokens) -> tuple[ThingMention, ...]:
    """Things whose name holds a word that was mended, or may be another, with that doubt."""
    doubts = _doubts(tokens)
    return tuple(t if t.doubt else replace(t, doubt=_in(t.span, doubts)) for t in things) if doubts else things


def stations_doubted(sequences: tuple[SequenceMention, ...], tokens: Tokens) -> tuple[SequenceMention, ...]:
    """The like for the roles of stations."""
    doubts = _doubts(tokens)
    if not doubts:
        return sequences
    return tuple(
        replace(q, stations=tuple(s if s.doubt else replace(s, doubt=_in(s.span, doubts)) for s in q.stations))
        for q in sequences
    )


def _doubts(tokens: Tokens) -> dict[int, str]:
    """Word index -> doubt, of words that a person would hear as a name."""
    named = (t for t in tokens if t.doubt and (t.perhaps or t.heard) and t.lower.isalpha())
    return {t.word: t.doubt or "" for t in named}


def _in(span: Span, doubts: dict[int, str]) -> str | None:
    return next((doubts[k] for k in range(*span) if k in doubts), None)


def listen_again(tokens: Tokens, vocabulary: Vocabulary) -> tuple[RemarkMention, ...]:
    """One remark for each place where a name or a figure was perhaps said and not understood."""
    return tuple(_remarks(tokens, vocabulary))


def _remarks(tokens: Tokens, vocabulary: Vocabulary) -> Iterator[RemarkMention]:
    seen: set[str] = set()
    for i, t in enumerate(tokens):
        if t.aside is not None:
            continue
        if t.perhaps and t.perhaps not in seen:
            seen.add(t.perhaps)
            yield RemarkMention((t.word, t.word + 1), "misheard", t.perhaps, t.text)
        elif i and _lost_figure(tokens[i - 1], t, vocabulary):
            yield RemarkMention(
                (tokens[i - 1].word, t.word + 1), "misheard", f"a figure of {t.text}", tokens[i - 1].text
            )


def _lost_figure(before: Token, unit: Token, vocabulary: Vocabulary) -> bool:
    """Whether a unit stands behind a badly heard word that is no figure and nothing else that goes before units."""
    if unit.lower not in MEASURED or before.after or before.sentence != unit.sentence or before.probability >= UNSURE:
        return False
    word = before.lower
    return not (any(c.isdigit() for c in word) or before.heard or word in PLAIN or word in _plain(vocabulary))


@lru_cache(maxsize=8)
def _plain(vocabulary: Vocabulary) -> frozenset[str]:
    """Words of numbers, of units and of grammar."""
    words = {f for row in vocabulary["numbers"] for f in row["spoken"]}
    words |= {w for row in vocabulary["units"] for f in row["spoken"] for w in f.split()}
    return frozenset(
        words | {w for row in vocabulary["classes"] for w in row["words"] if row["class"] in GRAMMAR} - LIKE_FIGURES
    )
