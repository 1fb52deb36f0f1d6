"""Words that state no fact about this machine: phone numbers, times of day, idioms, questions, negations.

Phrases are rows of vocab/asides.toml; what needs more than a phrase (a number to ring, a time of day, a question) is
read here. A word keeps the first reason found for it. Nothing is taken out: readers leave marked words alone.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from extractors.mentions import Span, Token, Tokens
from extractors.phrase_table import PhraseTable
from extractors.takebacks import pieces_of, tools
from extractors.word_classes import Piece
from vocab import Vocabulary

DIGITS = frozenset(
    {"zero", "oh", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "double", "triple"}
)
RINGING = frozenset(
    {
        "call",
        "ring",
        "reach",
        "phone",
        "text",
        "number",
        "number's",
        "numbers",
        "cell",
        "mobile",
        "me",
        "tel",
        "telephone",
        "him",
        "her",
        "them",
        "dial",
        "on",
        "at",
        "extension",
    }
)
NO_PHONE = frozenset({"serial", "model", "part", "tag", "plate", "stamped", "type", "order", "asset"})
ASKING = frozenset(
    {
        "is",
        "are",
        "was",
        "does",
        "do",
        "did",
        "can",
        "could",
        "will",
        "would",
        "have",
        "has",
        "how",
        "what",
        "what's",
        "when",
        "where",
        "who",
        "which",
        "why",
        "should",
        "shall",
        "isn't",
        "doesn't",
    }
)
WEEKDAYS = frozenset({"monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"})
MONTHS = frozenset(
    {
        "january",
        "february",
        "march",
        "april",
        "may",
        "june",
        "july",
        "august",
        "september",
        "october",
        "november",
        "december",
    }
)
HOURS = {w: n for n, w in enumerate("one two three four five six seven eight nine ten eleven twelve".split(), 1)}  # noqa: SIM905
TEENS = {
    "thirteen": 13,
    "fourteen": 14,
    "fifteen": 15,
    "sixteen": 16,
    "seventeen": 17,
    "eighteen": 18,
    "nineteen": 19,
    "twenty": 20,
}
MINUTES = frozenset({"five", "ten", "twenty", "twenty-five", "quarter", "5", "10", "20", "25"})
TENS = frozenset(
    {
        "ten",
        "eleven",
        "twelve",
        "fifteen",
        "twenty",
        "thirty",
        "forty",
        "fifty",
        "thirteen",
        "fourteen",
        "sixteen",
        "seventeen",
        "eighteen",
        "nineteen",
        "twenty-five",
        "forty-five",
    }
)
OPENING_WORDS = 90
"""The time of the talk is told within so many words of its beginning; common practice, no source."""
NOUNLIKE = frozenset({"content", "describes", "name", "unit", "acts", "number"})
LIMITS = frozenset(
    {"more", "less", "fewer", "longer", "over", "under", "higher", "lower", "later", "matter", "one", "problem", "idea"}
)


UNDECIDED = frozenset({"say", "know", "tell", "sure", "see", "ask", "wonder", "clear", "decided", "certain", "idea"})


def mark_asides(tokens: Tokens, vocabulary: Vocabulary) -> Tokens:
    """The same tokens, those of asides marked with the reason."""
    if not tokens:
        return tokens
    classes, _ = tools(vocabulary)
    pieces, where = pieces_of(tokens, classes)
    reasons: dict[int, str] = {}
    for span, reason in (
        *_phones(pieces),
        *_clocks(pieces),
        *_phrases(pieces, vocabulary),
        *_negations(pieces),
        *_questions(pieces, tokens, where),
    ):
        for i in range(*span):
            reasons.setdefault(where[i], reason)
    return tuple(replace(t, aside=reasons[i]) if i in reasons and t.aside is None else t for i, t in enumerate(tokens))


Mark = tuple[Span, str]


# ---------------------------------------------------------------------------------------------------------- phrases


@lru_cache(maxsize=4)
def _table(vocabulary: Vocabulary) -> PhraseTable[tuple[str, str]]:
    return PhraseTable(
        (form, (row["reason"], row["reaches"])) for row in vocabulary["asides"] for form in row["spoken"]
    )


def _phrases(pieces: Sequence[Piece], vocabulary: Vocabulary) -> list[Mark]:
    found: list[Mark] = []
    for i, end, (reason, reaches) in _table(vocabulary).all(pieces):
        if reason == "hypothetical" and i and pieces[i - 1].lower in UNDECIDED:
            continue  # "hard to say if they go": that is what happens to them
        first = _sentence_first(pieces, i) if reaches == "sentence" else i
        found.append(((first, _reach(pieces, end, reaches)), reason))
    return found


def _reach(pieces: Sequence[Piece], end: int, reaches: str) -> int:
    """How far the mark of a phrase that ends at `end` goes."""
    at = end
    if reaches == "phrase" or (at and at <= len(pieces) and pieces[at - 1].ends):
        return at
    if reaches == "noun":
        return _noun_end(pieces, at)
    while at < len(pieces) and at - end < 30:
        if reaches == "clause" and (pieces[at - 1].comma or pieces[at].lower in {"but", "so", "and", "because"}):
            return at
        at += 1
        if pieces[at - 1].ends:
            return at
    return at


def _noun_end(pieces: Sequence[Piece], i: int) -> int:
    at = i
    while (
        at < len(pieces)
        and at - i < 5
        and pieces[at].kind in NOUNLIKE
        and not (at > i and (pieces[at - 1].comma or pieces[at - 1].ends))
    ):
        at += 1
    return at


def _sentence_first(pieces: Sequence[Piece], i: int) -> int:
    while i > 0 and not pieces[i - 1].ends:
        i -= 1
    return i


# -------------------------------------------------------------------------------------------------- numbers to ring


def _phones(pieces: Sequence[Piece]) -> list[Mark]:
    """Written numbers of seven digits or more with a gap, and seven or more digits said one by one; not of a plate."""
    found: list[Mark] = []
    i = 0
    while i < len(pieces):
        end = _phone_at(pieces, i)
        before = {p.lower.removesuffix("'s") for p in pieces[max(0, i - 7) : i]}
        if end > i and not before & NO_PHONE:
            found.append(((i, end), "phone"))
        i = max(end, i + 1)
    return found


def _phone_at(pieces: Sequence[Piece], i: int) -> int:
    """Where the number to ring that starts at i ends; i where none does."""
    if re.fullmatch(r"(?:\+?\d{1,3}[-.])?(?:\d{3}[-.])?\d{3}[-.]\d{4}", pieces[i].lower):
        return i + 1
    at = i
    digits = 0
    while at < len(pieces) and (pieces[at].lower in DIGITS or re.fullmatch(r"\d{1,4}|\d{3}-\d{4}", pieces[at].lower)):
        digits += 1 if pieces[at].lower in DIGITS else len(pieces[at].lower.replace("-", ""))
        at += 1
        if pieces[at - 1].ends:
            break
    ringing = {p.lower for p in pieces[max(0, i - 6) : i]} & RINGING
    return at if at - i >= 2 and 7 <= digits <= 13 and (ringing or digits >= 10 or at - i >= 7) else i


# ------------------------------------------------------------------------------------------------------ times of day


def _hour(word: str) -> int | None:
    if word.isdigit() and len(word) <= 2:
        return int(word) if int(word) <= 24 else None
    return HOURS.get(word, TEENS.get(word))


def _clocks(pieces: Sequence[Piece]) -> list[Mark]:
    """Times of day that need their surroundings to be told from figures, and dates of the talk."""
    found: list[Mark] = []
    for i, piece in enumerate(pieces):
        rest = [p.lower for p in pieces[i : i + 5]]
        if re.fullmatch(r"(?:[01]?\d|2[0-4]):[0-5]\d", piece.lower):
            found.append(((i, i + 1), "clock"))
        elif (
            len(rest) > 2
            and rest[1] in {"to", "past", "till", "before"}
            and rest[0] in MINUTES
            and _ends_a_time(pieces, i + 2)
        ):
            found.append(((i, i + 3), "clock"))
        elif _told_as_time(pieces, i):
            found.append(((i, i + 2), "clock"))
        elif piece.lower in MONTHS and piece.kind == "name" or piece.lower in MONTHS - {"may", "march"}:
            for k in (i - 1, i + 1):
                if 0 <= k < len(pieces) and re.fullmatch(r"\d{1,2}(?:st|nd|rd|th)?", pieces[k].lower):
                    found.append(((k, k + 1), "clock"))
    return found


def _ends_a_time(pieces: Sequence[Piece], k: int) -> bool:
    """Whether the hour at k closes a time: "twenty to twelve", where the figures fall; "five to seven in the morning"."""
    hour, minute = _hour(pieces[k].lower), _hour(pieces[k - 2].lower) or 15
    if hour is None or hour > 12:
        return False
    after = pieces[k + 1].lower if k + 1 < len(pieces) else ""
    closed = k + 1 >= len(pieces) or pieces[k].comma or pieces[k].ends or after in {"in", "on", "and", "so", "when"}
    if pieces[k - 1].lower in {"past", "before"}:
        return closed
    return closed and (minute > hour or [p.lower for p in pieces[k + 1 : k + 4]] == ["in", "the", "morning"])


def _told_as_time(pieces: Sequence[Piece], i: int) -> bool:
    """ "It is ten twenty on a Tuesday": an hour and tens of minutes, in the opening words or before a part of the day."""
    if i + 1 >= len(pieces) or i < 2 or pieces[i].comma or pieces[i].ends:
        return False
    hour, minute = _hour(pieces[i].lower), pieces[i + 1].lower
    if hour is None or (minute not in TENS and not (minute.isdigit() and len(minute) == 2)):
        return False
    lead = {p.lower for p in pieces[i - 2 : i]}
    if not lead & {"is", "it's", "at", "time", "about", "around", "until", "till"}:
        return False
    after = [p.lower for p in pieces[i + 2 : i + 5]]
    if (
        len(after) > 2
        and after[0] in {"on", "in"}
        and (after[2] in WEEKDAYS or after[1] in WEEKDAYS or after[2] in {"morning", "afternoon", "evening"})
    ):
        return True
    closed = i + 2 >= len(pieces) or pieces[i + 1].comma or pieces[i + 1].ends
    return closed and i < OPENING_WORDS and bool(lead & {"is", "it's", "time"})


# ------------------------------------------------------------------------------------------- negations and questions


def _negations(pieces: Sequence[Piece]) -> list[Mark]:
    """ "No" with the noun that it denies: "no crystals", "no belts"; not "no more than", not the cue "no, sorry"."""
    found: list[Mark] = []
    for i, piece in enumerate(pieces[:-1]):
        if piece.lower != "no" or piece.comma or piece.ends or pieces[i + 1].lower in LIMITS:
            continue
        if pieces[i + 1].kind in NOUNLIKE - {"number"}:
            found.append(((i, _noun_end(pieces, i + 1)), "negation"))
    for i, piece in enumerate(pieces[:-2]):
        if (
            piece.lower in {"not", "isn't", "ain't"}
            and pieces[i + 1].lower in {"a", "an"}
            and pieces[i + 2].kind in NOUNLIKE
        ):
            found.append(((i, _noun_end(pieces, i + 2)), "negation"))
    return found


def _questions(pieces: Sequence[Piece], tokens: Tokens, where: Sequence[int]) -> list[Mark]:
    """Sentences that ask: a question mark behind them and an asking word at their head, or "could you" there."""
    found: list[Mark] = []
    first = 0
    for i, piece in enumerate(pieces):
        if not piece.ends and i + 1 < len(pieces):
            continue
        head = [p.lower for p in pieces[first : first + 3]]
        while head and head[0] in {"so", "and", "hey", "okay", "well", "now", "but", "or"}:
            head = head[1:]
        last: Token = tokens[where[i]]
        begs = len(head) > 1 and head[0] in {"could", "can", "would", "will"} and head[1] == "you"
        if (last.after == "?" and head and head[0] in ASKING) or begs:
            found.append(((first, i + 1), "question"))
        first = i + 1
    return found
