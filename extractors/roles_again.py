"""What stands at a number, told anew: "the second one is X. Nope, I'm reading the wrong tag, number two is Y".

A place has one role, so its number said once more with another role takes the first back, where a denial or a word of
stopping comes between, however long the speaker then excuses himself; "it's Y" will do right behind the first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from extractors.mentions import Span
from extractors.name_repairs import phrase_end
from extractors.takebacks import TakeBack, pause_before, sentence_stop
from extractors.word_classes import CARDINALS, NUMBER_WORDS, ORDINALS, Piece, word_set

AHEAD, BACK = 26, 70
"""Words in which the number is said anew behind the denial, and back to where it was said first; common practice."""
LONGEST_ROLE = 5
TWICE = 8
"""Words between a role and the number said anew without a denial; chosen, no source."""
STARTLED = word_set(
    "shoot shucks dang darn heck lord gosh golly crikey blimey havers och ach nay dear hmm hm hang hold sorry pardon "
    "excuse beg wait says said reads"
)
"""Words of surprise, or of who says otherwise, between what stands at a number and what is then said to stand there."""
STARTLED_FOR = 18
"""Words that may then stand between; chosen, no source."""
LED_BY = word_set("so and no then")
ONES = {w: n for n, w in enumerate(CARDINALS)}
PLACES = {w: n for n, w in enumerate(ORDINALS, 1)}
ANOTHER = word_set("one same other and where which with")
"""Words that make a number said twice no other thing at it."""
IS = word_set("is are was")
STOPS = word_set("no nope nah not oh ah hm hmm wait wrong ach oops whoops")
EXCUSERS = word_set("i i'm i've that's we we've that")
EXCUSES = word_set(
    "wrong quick fast ahead jumped jump skipped skip backwards crooked mixed muddled confused misread misread lost "
    "nonsense mistake blind sideways upside counted miscounted early late"
)
"""Words of a clause in which somebody says why he was wrong; common practice, no source."""
IS_NOT = word_set("isn't ain't aren't wasn't")
SUPERLATIVES = word_set(
    "oldest biggest deepest longest newest hottest coldest smallest widest best worst tallest cleanest shortest same "
    "largest heaviest quietest loudest only main"
)
UP = word_set("up off down out in through over")
"""Words with which the name of a place may end: "the run in"."""
THAT = word_set("that it this those they these")
IT_IS = word_set("it's that's they're those're")
ELSEWHERE = word_set("line machine cell bank row side")
"""Behind "other" or "second": a number there is another place."""
NOT_A_ROLE = word_set(
    "fine okay ok good alright right wrong done about there here it not just also still running working leaking gone "
    "all in on at of off out up down too"
)


@dataclass(frozen=True, slots=True)
class Placed:
    """A number and what stands there: where the words begin, where the role begins and ends."""

    number: int
    first: int
    role: int
    last: int
    denied: bool = False


def role_again(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """The take-back of a role by another one at the same number; i is at the denial or the word of stopping."""
    new = _next_placed(pieces, i)
    close = _placed_right_before(pieces, i)
    kept = None if close is None else _it_is(pieces, i, close.number)
    if close is not None and kept is not None and (new is None or kept[0] < new.first):
        again = Placed(close.number, kept[0], *kept)
        return None if _same(pieces, close, again) else _in_its_place(close, again)
    if new is None:
        return None
    old = _placed_before(pieces, i, new.number)
    if old is None or _same(pieces, old, new):
        return None
    if old.last == i:
        return _in_its_place(old, new)
    dropped = ((old.first, old.last), (i, new.first))
    return TakeBack(dropped, (old.first, old.last), (new.role, new.last), heard=(old.role, old.last))


def _in_its_place(old: Placed, new: Placed) -> TakeBack:
    """What stands right behind the words that named its number first."""
    return TakeBack(((old.role, new.role),), (old.role, old.last), (new.role, new.last))


def no_such(pieces: Sequence[Piece], i: int) -> bool:
    """ "No it ain't", "there's no etch on this line", "it's not the strip", "hm": a sentence at i that denies."""
    words = [p.lower for p in pieces[i : i + 3]]
    if words[0] in EXCUSERS:
        return excuses(pieces, i)
    if words[:2] == ["there's", "no"] and pieces[i + 2 : i + 3] and pieces[i + 2].kind == "number":
        return False  # "there's no four" tells that a number is passed over
    if words[0] in STOPS or words[:2] in (["there's", "no"], ["there", "isn't"], ["there", "ain't"], ["that's", "not"]):
        return True
    if words[:2] == ["it's", "not"] or (words[0] in {"it", "that", "this"} and words[1:2] and words[1] in IS_NOT):
        return True
    return words == ["there", "is", "no"]


def excuses(pieces: Sequence[Piece], i: int) -> bool:
    """Whether a clause in which the speaker says that he was wrong begins at i: "I walk too quick, three is the mould
    filler"."""
    if not pause_before(pieces, i) or pieces[i].lower not in EXCUSERS:
        return False
    clause = pieces[i : next((k + 1 for k in range(i, min(len(pieces), i + 9)) if pause_before(pieces, k + 1)), i)]
    return bool({p.lower for p in clause} & EXCUSES)


def role_told_twice(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """ "Five is the unload rack, uh, five is the gauge"; "three is the face as well, is it heck, three is the back":
    the number said anew with another thing in the same breath, a few words without a figure between at most."""
    if not (pause_before(pieces, i) or pieces[i - 1].lower in LED_BY):
        return None
    new = placed_at(pieces, i)
    if new is None or new.denied:
        return None
    old = _placed_before(pieces, i, new.number)
    if old is None or _same(pieces, old, new):
        return None
    between = pieces[old.last : i]
    asked = any(a.lower == "is" and b.lower in THAT for a, b in pairwise(between))  # "the caustic... is it, Jo?"
    startled = asked or {p.lower for p in between} & (STARTLED | STOPS | EXCUSES)
    excused = {p.lower for p in between} & EXCUSES  # "I have jumped ahead": then a word of doing will do as a role
    if not excused and not (_a_thing(pieces, old) and _a_thing(pieces, new)):
        return None
    if i - old.last > (STARTLED_FOR if startled else TWICE) or sum(p.ends for p in pieces[old.role : i]) > 3 * bool(
        startled
    ):
        return None
    if any(p.kind == "number" and _number_at(pieces, k)[0] != new.number for k, p in enumerate(between, old.last)):
        return None
    if ELSEWHERE & {p.lower for p in between}:
        return None
    if ANOTHER & {p.lower for p in (*between, *pieces[new.role : new.last])}:
        return None
    return _in_its_place(old, new)


def role_moved(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """ "Five is the rinse, hm, no, this tag's been moved, the rinse is four"; "three is sealing, oh, filling is three":
    behind a word of surprise what stands at a number is told the other way round, with another number or role."""
    if not pause_before(pieces, i):
        return None
    new = _turned_at(pieces, i)
    if new is None:
        return None
    for k in range(i - 1, max(-1, i - STARTLED_FOR - LONGEST_ROLE), -1):
        if not (pause_before(pieces, k) or pieces[k - 1].lower in {"and", "then", "so"}):
            continue
        old = placed_at(pieces, k)
        if old is None or old.denied or old.last > i:
            continue
        between = {p.lower for p in pieces[old.last : i]}
        named = {p.stem for p in pieces[new.first : new.role] if p.kind != "points"}
        same = _role_stems(pieces, old) == named
        if same == (old.number == new.number) or not between & (STARTLED | STOPS | EXCUSES):
            return None  # the same once more, or another place
        spans = (old.first, old.last), (i, new.last)
        return TakeBack(((old.first, i),), spans[0], spans[1], heard=spans[0] if same else (old.role, old.last))
    return None


def _turned_at(pieces: Sequence[Piece], i: int) -> Placed | None:
    """ "The rinse is four", "filling is three": a role up to its verb, and the number, closed by a pause."""
    end = _role_end(pieces, i)
    if end is None or end >= len(pieces) or pieces[end - 1].pauses or pieces[end].lower not in IS:
        return None
    number, last = _number_at(pieces, end + 1) if end + 1 < len(pieces) else (0, 0)
    if not number or last <= end + 1 or not pause_before(pieces, last):
        return None
    return Placed(number, i, end, last)


def _a_thing(pieces: Sequence[Piece], placed: Placed) -> bool:
    """Whether what stands at a number is told with an article, or is several things: "are the filters", "is paint"."""
    return pieces[placed.role].kind in {"points", "content"}


def role_denied(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """ "Tank three isn't the etch, it's the strip": what was said of the number before; i is where it is said again."""
    new = placed_at(pieces, i)
    if new is None or not new.denied or new.last >= len(pieces) or pieces[new.last].lower not in IT_IS:
        return None
    old = _placed_before(pieces, i, new.number)
    if old is None or not _role_stems(pieces, old) & _role_stems(pieces, new):
        return None
    role = new.last + 1
    end = _role_end(pieces, role)
    if end is None or {p.stem for p in pieces[role:end]} <= {p.stem for p in pieces[old.role : old.last]}:
        return None
    return TakeBack(((old.first, old.last), (new.role - 1, role - 1)), (old.first, old.last), (role, end),
                    heard=(old.role, old.last))  # fmt: skip


def placed_at(pieces: Sequence[Piece], i: int) -> Placed | None:
    """What is said to stand at the number that begins at piece i; None where nothing is."""
    number, at = _number_at(pieces, i)
    if at == i:
        return None
    copula = pieces[at - 1].lower.endswith("'s")
    denied = False
    if not copula and at < len(pieces) and not (pieces[at - 1].comma or pieces[at - 1].ends):
        denied = pieces[at].lower in IS_NOT
        copula = pieces[at].lower in IS or denied
        at += copula
        if copula and at < len(pieces) and pieces[at].lower == "not":
            denied, at = True, at + 1
    elif not copula and at < len(pieces) and pieces[at - 1].comma:
        copula = at - i > 1  # "pump two, standby": with its noun
        behind = _that_is(pieces, at)
        copula, at = copula or behind > at, behind  # "and three, that is the flange press"
    if not copula and (there := _you_have(pieces, at)) > at:
        copula, at = True, there
    end = _role_end(pieces, at) if copula else None
    return Placed(number, i, at, end, denied) if end is not None else None


def _you_have(pieces: Sequence[Piece], at: int) -> int:
    """Behind "you have", "you've got", "we have got" at a place ("at four you have the lidder"), else the place."""
    words = [p.lower for p in pieces[at : at + 3]]
    if words[:1] in (["you've"], ["we've"], ["you'll"], ["there's"]):
        return at + 1 + (words[1:2] in (["got"], ["find"], ["have"]))
    if words[:1] in (["you"], ["we"]) and words[1:2] in (["have"], ["got"], ["find"], ["see"]):
        return at + 2 + (words[2:3] == ["got"])
    return at


def _that_is(pieces: Sequence[Piece], at: int) -> int:
    """Behind "that's" or "that is" at a place, else the place itself."""
    if pieces[at].lower in IT_IS:
        return at + 1
    two = [p.lower for p in pieces[at : at + 2]]
    return at + 2 if len(two) == 2 and two[0] in THAT and two[1] in IS and not pause_before(pieces, at + 1) else at


def _number_at(pieces: Sequence[Piece], i: int) -> tuple[int, int]:
    """The number of a place named at piece i and where the name ends; i where none is named."""
    at = i
    word = pieces[at].lower
    if word in {"the", "number"} or (
        pieces[at].kind in {"content", "unit", "acts", "name"} and at + 1 < len(pieces) and not pieces[at].comma
    ):
        at += 1
    if at >= len(pieces) or (pieces[at - 1].ends and at > i):
        return 0, i
    bare = pieces[at].lower.removesuffix("'s")
    if bare in PLACES and (word == "the" or at == i):
        end = at + 1
        if end < len(pieces) and pieces[end].lower.removesuffix("'s") == "one":
            end += 1
        elif [p.lower for p in pieces[end : end + 2]] in (["in", "line"], ["in", "row"]):
            end += 2  # "the third in line is"
        elif end + 1 < len(pieces) and pieces[end + 1].lower in IS and pieces[end].kind in {"content", "unit"}:
            end += 1  # "the fourth box is"
        return PLACES[bare], end
    value = ONES.get(bare) or (int(bare) if bare.isdigit() and 0 < int(bare) < 100 else 0)
    if not value or word == "the":
        return 0, i
    if at + 1 < len(pieces) and value == 20 and pieces[at + 1].lower.removesuffix("'s") in ONES:
        return value + ONES[pieces[at + 1].lower.removesuffix("'s")], at + 2
    if at + 1 < len(pieces) and pieces[at + 1].kind == "number" and not pieces[at].comma:
        return 0, i
    if at == i and at and not pause_before(pieces, i) and pieces[at - 1].kind in {"number", "describes"}:
        return 0, i
    return value, at + 1


def _role_end(pieces: Sequence[Piece], at: int) -> int | None:
    """Where a role that begins at `at` ends, with a pause or a little word behind it; None where none begins there."""
    if at >= len(pieces) or pieces[at].lower in NOT_A_ROLE:
        return None
    nominal = (
        pieces[at].kind == "points"
        or pieces[at].lower == "for"
        or pieces[at].kind in {"content", "describes", "name", "unit", "acts"}
    )
    if not nominal or pieces[at].lower.removesuffix("'s") in NUMBER_WORDS:
        return None
    end = phrase_end(pieces, at, min(len(pieces), sentence_stop(pieces, at, LONGEST_ROLE + 3)))
    if (
        end < len(pieces)
        and not pause_before(pieces, end)
        and pieces[end].lower in UP
        and pause_before(pieces, end + 1)
    ):
        end += 1  # "the warm up"
    if end - at == 2 and pieces[end - 1].lower in SUPERLATIVES:
        return None  # "three is the oldest one here"
    named = any(p.kind in {"content", "name", "acts", "describes", "unit"} for p in pieces[at:end])
    figures = any(p.kind == "number" for p in pieces[at:end])
    return end if named and not figures and end - at <= LONGEST_ROLE else None


def _next_placed(pieces: Sequence[Piece], i: int) -> Placed | None:
    """The first number with a role behind i, in its sentence or the next two, where a clause begins with it."""
    ends = 0
    for k in range(i, min(len(pieces), i + AHEAD)):
        begins = k > i and (pause_before(pieces, k) or pieces[k - 1].lower in {"and", "so", "no"})
        if begins and (placed := placed_at(pieces, k)) is not None and not placed.denied:
            return placed
        if pieces[k].lower in ELSEWHERE and pieces[k - 1].lower in {"other", "second", "next"}:
            return None
        ends += pieces[k].ends
        if ends > 2:
            return None
    return None


def _placed_before(pieces: Sequence[Piece], i: int, number: int) -> Placed | None:
    """The last place before i where a role was said of the same number."""
    for k in range(i - 1, max(-1, i - BACK), -1):
        begins = pause_before(pieces, k) or pieces[k - 1].lower in {"and", "then", "so", "number"}
        if begins and (placed := placed_at(pieces, k)) is not None and placed.last <= i and placed.number == number:
            return None if placed.denied else placed
    return None


def _placed_right_before(pieces: Sequence[Piece], i: int) -> Placed | None:
    """The number with a role whose clause ends right before i."""
    for k in range(i - 2, max(-1, i - 12), -1):
        placed = placed_at(pieces, k)
        if placed is not None and placed.last <= i:
            tail = [p.lower for p in pieces[placed.last : i]]
            return placed if tail in ([], ["as", "well"], ["too"], ["again"], ["also"]) and not placed.denied else None
    return None


def _it_is(pieces: Sequence[Piece], i: int, number: int) -> Span | None:
    """The role of "it's the Y" behind a denial and an excuse, in the sentence of i or the next."""
    ends = 0
    for k in range(i + 1, min(len(pieces), i + AHEAD)):
        if pause_before(pieces, k) and pieces[k].lower in IT_IS and k + 1 < len(pieces):
            end = _role_end(pieces, k + 1)
            closed = end is not None and (end >= len(pieces) or pieces[end - 1].comma or pieces[end - 1].ends)
            if end is not None and closed:
                return k + 1, end
        ends += pieces[k - 1].ends
        if ends > 1 or (pieces[k].kind == "number" and _number_at(pieces, k)[0] != number):
            return None  # "nah, eight ain't been warm since Easter, it's a storage kiln" is of the same number
    return None


def _role_stems(pieces: Sequence[Piece], placed: Placed) -> set[str]:
    return {p.stem for p in pieces[placed.role : placed.last] if p.kind != "points"}


def _same(pieces: Sequence[Piece], old: Placed, new: Placed) -> bool:
    a, b = _role_stems(pieces, old), _role_stems(pieces, new)
    return a <= b or b <= a
