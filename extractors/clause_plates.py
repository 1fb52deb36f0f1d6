"""Marks of a clause from what stands around it: where plates are told, whether it tells one itself, how the last
machine was left, and what is gone back to.

A machine's plate comes soon behind the words that open it, and so a clause that tells the plate opens none; before it
stands what the speaker thinks of the last one.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np

from extractors.clause_marks import Told
from extractors.clause_names import bare, class_words, name_in, words_of
from extractors.clause_talk import behind, phrases_in
from extractors.lot_numbers import FEW
from extractors.mentions import Token, Tokens
from extractors.openings import is_code, said
from vocab import Vocabulary

SOON = (12, 25, 50)
"""Words behind a clause's first in which a plate is told, near, further and far."""
JUST, LONG = 12, 60
"""Words since the last plate: it is of what is spoken of; more of them say no more."""
SHORT = 4
"""Words of a remark between two machines, at most."""
LISTED = 5
"""More commas than this tell no more of a list of what a machine has."""
HEAD = 5
"""Words of a clause in which its tag stands."""
NAMED = 16
"""Words of a clause in which it is named what is gone back to."""
TAGGED, LONGEST_TAG = 3, 6
"""Words of a clause in which its tag begins, and pieces of it."""
DIGITS = ("zero", *FEW[1:10])
MANY = frozenset({"hundred", "thousand", "and", "each", "a"})
TAGS, TAG = 3, 3
"""So many tags of one form are a list of tags; digits of a tag at least."""
OPENERS = frozenset("oh and then next also lastly finally okay here here's there's there".split())
GOES_ON = frozenset({"it", "it's", "its", "that's", "they"})
PERSONS = frozenset(
    "i i'd i'm i'll i've we we'd we've he he's he'd she she's they they'd they've you you'd you'll my wife".split()
)


@dataclass(frozen=True, slots=True)
class Plates:
    """What is looked up for every clause, found once."""

    told: Sequence[int]
    """Tokens at which plates stand, in order."""
    tagged: Collection[int]
    """Clauses that open with tags of one form."""


def plate_marks(
    tokens: Tokens, places: Sequence[int], n: int, t: Told, plates: Plates, vocabulary: Vocabulary
) -> dict[str, float]:
    """The marks of the n-th of the clauses that begin at `places`."""
    edges = [*places, len(tokens), len(tokens)]
    i, end, after = edges[n : n + 3]
    at = bisect_left(plates.told, i)
    until = plates.told[at] - i if at < len(plates.told) else LONG
    since = i - plates.told[at - 1] if at else LONG
    marks = {f"identity in {words}": float(until < words) for words in SOON}
    marks |= {
        "identity just told": float(since <= JUST),
        "since the last identity": min(since, LONG) / LONG,
        "until the next identity": float(np.log1p(min(until, LONG))),
        "plate first": float(_plate_first(tokens, i, end, vocabulary)),
        "plate next": float(_plate_first(tokens, end, after, vocabulary)),
        "tags alike": float(n in plates.tagged),
    }
    marks |= _of_the_talk(tokens, i, end, t, vocabulary)
    marks |= _of_the_last(tokens, places[n - 1] if n else 0, i, t, vocabulary)
    return marks | _gone_back_to(tokens, i, end, t, vocabulary)


def _of_the_talk(tokens: Tokens, i: int, end: int, t: Told, vocabulary: Vocabulary) -> dict[str, float]:
    """How the clause is put: as a list of what a machine has, as a remark, with a place where it stands."""
    place = words_of(vocabulary, "place")
    return {
        "commas": min(sum(x.after == "," for x in tokens[i:end]), LISTED),
        "words": float(np.log(max(end - i, 1))),
        "person": float(any(w in PERSONS for w in t.low[i:end])),
        "a place in it": float(any(w in place for w in t.low[i + 1 : end])),
    }


def _of_the_last(tokens: Tokens, before: int, i: int, t: Told, vocabulary: Vocabulary) -> dict[str, float]:
    """How the clause before, from `before` to i, left what it spoke of."""
    low = t.low[before:i]
    first = t.low[_behind(tokens, before, i, vocabulary)] if low else ""
    return {
        "person before": float(any(w in PERSONS for w in low)),
        "short before": float(0 < len(low) <= SHORT),
        "it before": float(first in GOES_ON),
        "only figures before": float(bool(low) and _only_figures(tokens[before:i], vocabulary)),
    }


def _only_figures(clause: Tokens, vocabulary: Vocabulary) -> bool:
    """Whether a clause is a figure and no more ("Two thousand."), as a price is told."""
    return len(clause) <= HEAD and all(is_code(x, vocabulary) or x.lower in MANY for x in clause)


def _told_before(tokens: Tokens, i: int, end: int, t: Told, vocabulary: Vocabulary) -> bool:
    """Whether something is named that was told of before, but not lately."""
    classes, recent = class_words(vocabulary), set(t.stems[max(0, i - LONG) : i])
    before = set(t.stems[: max(0, i - LONG)])
    words = {bare(x.lower) for x in tokens[i : min(end, i + NAMED)]}
    return any(
        len(w) > SHORT - 1 and w.isalpha() and w in before and w not in recent and not classes.get(w) for w in words
    )


def _gone_back_to(tokens: Tokens, i: int, end: int, t: Told, vocabulary: Vocabulary) -> dict[str, float]:
    """What is named again that was not spoken of just before."""
    added = phrases_in(t.low, i, min(end, i + NAMED), vocabulary, "added") > 0
    old = added and _told_before(tokens, i, end, t, vocabulary)  # looked up only where it matters: it takes long
    name = name_in(tokens, _behind(tokens, i, end, vocabulary), end, vocabulary)
    if name is None:
        return {"added to what is old": float(old)}
    head = name.noun.split()[-1]
    told = head in t.stems[:i]
    recent = head in t.stems[max(0, i - LONG) : i]
    back = any(i <= p < end for p in t.backs)
    late = any(i <= p < end + JUST for p in t.late)
    long = name.last - name.first
    return {
        "added to what is old": float(old),
        "back to an old name": float(back and told and not recent),
        "back to a name": float(back and told),
        "late on an old name": float(late and told and not recent),
        "again": float(told and "again" in t.low[i:end]),
        "name of several words": float(long > 1),
        "bare name of several words": float(long > 1 and not name.article and name.start - i <= 1),
    }


def _plate_first(tokens: Tokens, first: int, end: int, vocabulary: Vocabulary) -> bool:
    """Whether a clause begins with what a plate tells: "Serial is ...", "Jarvane, J L 5", "Made in"."""
    if first >= end:
        return False
    k = _behind(tokens, first, end, vocabulary)
    word = bare(tokens[k].lower)
    if word in words_of(vocabulary, "plate"):
        return True
    following = tokens[k + 1 : min(k + 3, end)]
    return tokens[k].after == "," and len(following) > 1 and _letter(following[0])


def _letter(t: Token) -> bool:
    return len(t.text) == 1 and t.text.isupper() and not t.after


def _behind(tokens: Tokens, i: int, end: int, vocabulary: Vocabulary) -> int:
    return behind(tokens, i, end, said(vocabulary, "opener") | OPENERS)


def tags_alike(tokens: Tokens, places: Sequence[int], vocabulary: Vocabulary) -> set[int]:
    """Clauses that open with a tag of one form, in whatever order: "Tag 3018", "3022's", "P 0 2", "four oh six"."""
    by_form: dict[tuple[str, int], dict[int, str]] = {}
    edges = [*places, len(tokens)]
    for n, i in enumerate(places):
        k = _behind(tokens, i, edges[n + 1], vocabulary)
        tag = next((x for q in range(k, min(k + TAGGED, edges[n + 1])) if (x := _tag(tokens, q, edges[n + 1]))), "")
        if len(tag) >= TAG:
            by_form.setdefault((tag[0], len(tag)), {})[n] = tag
    out: set[int] = set()
    for tagged in by_form.values():
        if len(set(tagged.values())) >= TAGS:
            out |= set(tagged)
    return out


def _tag(tokens: Tokens, first: int, end: int) -> str:
    """The letters and figures of the tag that stands at a token."""
    text = ""
    for x in tokens[first : min(end, first + LONGEST_TAG)]:
        word = x.lower.removesuffix("'s").removesuffix("’s")
        if word in DIGITS:
            text += str(DIGITS.index(word))
        elif word in ("oh", "o") and text:
            text += "0"
        elif word.isdigit() or (len(word) == 1 and x.text[:1].isupper() and not text):
            text += word
        else:
            break
        if x.after or x.lower.endswith(("'s", "’s")):
            break
    return text if any(c.isdigit() for c in text) else ""
