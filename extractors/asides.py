"""Words that state no fact about this machine: phone numbers, times of day, idioms, questions, negations.

Phrases are rows of vocab/asides.toml; numbers to ring and times of day are in clock_times.py,
questions and negations here. A word keeps the first reason found for it. Nothing is taken out: readers leave marked
words alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from extractors.clock_times import Mark, calls, clocks, phones
from extractors.mentions import Token, Tokens
from extractors.other_machines import other_machines
from extractors.phrase_table import PhraseTable
from extractors.takebacks import figure_at, pieces_of, tools
from extractors.word_classes import Piece, word_set
from vocab import Vocabulary

ASKING = word_set(
    "is are was does do did can could will would have has how what what's when where who which why should "
    "shall isn't doesn't"
)
NOUNLIKE = frozenset({"content", "describes", "name", "unit", "acts", "number"})
LIMITS = word_set("more less fewer longer over under higher lower later matter one problem idea")


MOVING = word_set("go goes going stay stays staying included come comes coming leave leaves sold sell part belongs")
OPEN = word_set(
    "know clear sure ask asked say tell decided decide certain question open see depends unclear agreed settled"
)
WANTED = frozenset({"want", "need", "take"})
FED = frozenset({"air", "water", "steam", "gas", "power", "electric", "electricity", "supply", "coolant"})
"""What a machine is given."""
REPORTED = frozenset({"she'd", "it'd", "he'd", "they'd"})
TELLING = frozenset("told tells says said reckons reckoned swears swore claims claimed thinks thought figured".split())
UNDECIDED = word_set("say know tell sure see ask wonder clear decided certain idea")


def mark_asides(tokens: Tokens, vocabulary: Vocabulary) -> Tokens:
    """The same tokens, those of asides marked with the reason."""
    if not tokens:
        return tokens
    classes, _ = tools(vocabulary)
    pieces, where = pieces_of(tokens, classes)
    reasons: dict[int, str] = {}
    for span, reason in (
        *phones(pieces),
        *clocks(pieces),
        *_phrases(pieces, vocabulary),
        *calls(pieces),
        *other_machines(pieces),
        *_negations(pieces),
        *_questions(pieces, tokens, where),
    ):
        for i in range(*span):
            reasons.setdefault(where[i], reason)
    return tuple(replace(t, aside=reasons[i]) if i in reasons and t.aside is None else t for i, t in enumerate(tokens))


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
        if reason == "hypothetical" and pieces[i].lower in ("if", "unless") and _undecided(pieces, i):
            continue
        if reason == "hypothetical" and pieces[i].lower in REPORTED and _told(pieces, i):
            continue
        if reason == "hypothetical" and pieces[end - 1].lower in WANTED and pieces[max(0, i - 1)].lower in FED:
            continue  # "air they'd want a hundred psi": what it has to be given
        first = _sentence_first(pieces, i) if reaches == "sentence" else i
        found.append(((first, _reach(pieces, end, reaches)), reason))
    return found


def _told(pieces: Sequence[Piece], i: int) -> bool:
    """Whether "she'd do" reports what was said: "he told me she'd do nine hundred an hour"."""
    before = [p.lower for p in pieces[max(0, i - 3) : i] if not p.ends]
    return bool(TELLING & set(before))


def _undecided(pieces: Sequence[Piece], i: int) -> bool:
    """Whether a sentence with "if" asks where a thing goes: "if the labeller goes with it I do not know yet"."""
    end = i
    while end < len(pieces) and not pieces[end].ends:
        end += 1
    words = {p.lower for p in pieces[i : end + 1]}
    return bool(words & MOVING and words & OPEN)


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
        end = figure_at(pieces, i + 1, len(pieces)) if piece.lower == "not" else i + 1
        if end > i + 1 and pieces[i + 1].lower != "one":
            found.append(((i, _noun_end(pieces, end) if not pieces[end - 1].comma else end), "negation"))
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
