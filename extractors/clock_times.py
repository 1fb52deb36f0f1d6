"""Figures that are numbers to ring, times of day or dates of the talk, by their shape and surroundings."""

from __future__ import annotations

import re
from collections.abc import Sequence

from extractors.mentions import Span
from extractors.word_classes import CARDINALS, Piece, word_set

Mark = tuple[Span, str]
"""Piece indices, and the reason why these state no fact."""

DIGITS = word_set("zero oh one two three four five six seven eight nine double triple")
RINGING = word_set(
    "call ring reach phone text number number's numbers cell mobile me tel telephone him her them dial on at extension"
)
NO_PHONE = word_set("serial model part tag plate stamped type order asset")
FAREWELL = frozenset("bye goodbye ciao cheers cheerio".split())
LONGEST_CALL, MOST_IN_A_CALL = 12, 60
"""Sentences and words that somebody talks on the telephone while he walks, at most; chosen, no source."""
BACK_ON_THE_WALK = (
    ("sorry",), ("excuse", "me"), ("so", "excuse"), ("where", "was", "i"), ("so", "where", "was"),
    ("where", "had", "i", "got"),
)  # fmt: skip
"""What opens the sentence with which a speaker comes back from the telephone."""
WEEKDAYS = word_set("monday tuesday wednesday thursday friday saturday sunday")
MONTHS = word_set("january february march april may june july august september october november december")
HOURS = {w: n for n, w in enumerate(CARDINALS[:13]) if n}
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
MINUTES = word_set("five ten twenty twenty-five quarter 5 10 20 25")
TENS = word_set(
    "ten eleven twelve fifteen twenty thirty forty fifty thirteen fourteen sixteen seventeen eighteen nineteen "
    "twenty-five forty-five"
)
OPENING_WORDS = 90
"""The time of the talk is told within so many words of its beginning; common practice, no source."""


# -------------------------------------------------------------------------------------------------- numbers to ring


def phones(pieces: Sequence[Piece]) -> list[Mark]:
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


def calls(pieces: Sequence[Piece]) -> list[Mark]:
    """What is said to somebody on the telephone in the middle of a walk: from "Hang on, phone." or "Hello?" to "Bye."
    or "Sorry about that.", both within a few sentences; nothing where no end is heard."""
    starts = [0, *(i + 1 for i, p in enumerate(pieces[:-1]) if p.ends)]
    sentences = [[p.lower for p in pieces[a:b]] for a, b in zip(starts, [*starts[1:], len(pieces)], strict=True)]
    found: list[Mark] = []
    k = 0
    while k < len(sentences):
        end = _hung_up(sentences, k) if _rings(sentences[k]) else None
        if end is not None:
            stop = starts[end] if end < len(starts) else len(pieces)
            found.append(((starts[k], stop), "people"))
        k = end if end is not None and end > k else k + 1
    return found


def _rings(words: list[str]) -> bool:
    """Whether a short sentence says that a telephone rings or takes it up."""
    if len(words) <= 2 and words[:1] in (["hello"], ["yeah"], ["yes"], ["hey"], ["yo"]):
        return True
    return 0 < len(words) <= 6 and words[-1] in ("phone", "telephone", "mobile", "cell")


def _hung_up(sentences: list[list[str]], k: int) -> int | None:
    """The sentence with which the walk goes on, behind a call that begins at sentence k; None where none is heard."""
    answered = sentences[k][0] in ("yeah", "yes", "hey", "yo")
    words = 0
    for n in range(k + 1, min(k + LONGEST_CALL, len(sentences))):
        row = sentences[n]
        words += len(row)
        if words > MOST_IN_A_CALL:
            return None
        if len(row) <= 3 and FAREWELL & {*row}:
            return n + 1
        if not answered and any(tuple(row[: len(said)]) == said for said in BACK_ON_THE_WALK):
            return n
    return None


# ------------------------------------------------------------------------------------------------------ times of day


def _hour(word: str) -> int | None:
    if word.isdigit() and len(word) <= 2:
        return int(word) if int(word) <= 24 else None
    return HOURS.get(word, TEENS.get(word))


def clocks(pieces: Sequence[Piece]) -> list[Mark]:
    """Times of day that need their surroundings to be told from figures, and dates of the talk."""
    found: list[Mark] = []
    for i, piece in enumerate(pieces):
        rest = [p.lower for p in pieces[i : i + 5]]
        if re.fullmatch(r"(?:[01]?\d|2[0-4]):[0-5]\d", piece.lower):
            found.append(((i, i + 1), "clock"))
        elif _military(pieces, i) or (
            len(rest) > 2
            and rest[1] in {"to", "past", "till", "before"}
            and rest[0] in MINUTES
            and _ends_a_time(pieces, i + 2)
            and not _geared(pieces, i)
        ):
            found.append(((i, i + 3), "clock"))
        elif _told_as_time(pieces, i):
            found.append(((i, i + 2), "clock"))
        elif (piece.lower in MONTHS and piece.kind == "name") or piece.lower in MONTHS - {"may", "march"}:
            for k in (i - 1, i + 1):
                if 0 <= k < len(pieces) and re.fullmatch(r"\d{1,2}(?:st|nd|rd|th)?", pieces[k].lower):
                    found.append(((k, k + 1), "clock"))
    return found


def _ends_a_time(pieces: Sequence[Piece], k: int) -> bool:
    """Whether the hour at k closes a time: "twenty to twelve", where figures fall; "five to seven in the morning"."""
    hour, minute = _hour(pieces[k].lower), _hour(pieces[k - 2].lower) or 15
    if hour is None or hour > 12:
        return False
    after = pieces[k + 1].lower if k + 1 < len(pieces) else ""
    closed = k + 1 >= len(pieces) or pieces[k].comma or pieces[k].ends or after in {"in", "on", "and", "so", "when"}
    if pieces[k - 1].lower in {"past", "before"}:
        return closed
    return closed and (minute > hour or [p.lower for p in pieces[k + 1 : k + 4]] == ["in", "the", "morning"])


def _geared(pieces: Sequence[Piece], i: int) -> bool:
    """ "Gearbox is helical, ratio twenty to one": no time of day."""
    lead = {p.lower.removesuffix("'s") for p in pieces[max(0, i - 6) : i]}
    return bool(
        lead & {"ratio", "reduction", "reducer", "gear", "gearbox", "gears", "geared", "gearing", "gearmotor", "worm"}
    )


def _military(pieces: Sequence[Piece], i: int) -> bool:
    """ "Until eighteen hundred hours", "the time is oh nine hundred hours"."""
    rest = [p.lower for p in pieces[i : i + 3]]
    if rest[1:] != ["hundred", "hours"] or _hour(rest[0]) is None or i == 0:
        return False
    lead = {p.lower for p in pieces[max(0, i - 3) : i]}
    return bool(lead & {"until", "till", "at", "by", "before", "after", "time", "from", "since", "oh", "zero"})


def _told_as_time(pieces: Sequence[Piece], i: int) -> bool:
    """ "It is ten twenty on a Tuesday": an hour and tens of minutes, in the opening words or before a day."""
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
