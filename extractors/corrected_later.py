"""Figures put right minutes later: "drains, seven is wrong. Five drains."; "it's ninety, I read eighty before"; "and
the ladles, I counted again, it's three"; "I'd a good look, there's only the one winch".

Either the figure of before is said again with words that disown it, and another stands by it; or a thing counted before
is counted anew, with words that say so. Both look for what was said before: without it nothing is taken back.
"""

from __future__ import annotations

from bisect import bisect
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from extractors.mentions import Span
from extractors.said_values import Said, comparable
from extractors.take_marks import NAMING, Talk
from extractors.takebacks import TakeBack, pause_before, untouched
from extractors.word_classes import Piece, word_set

LEAD, APART, FAR, CLOSE, TITLE, COUNTS, FURTHEST = 7, 16, 34, 3, 7, 1000, 400
"""Words from a verb of saying to its figure, between both figures (further where words tell a sum), before a figure
that "it's" leads to, of a sentence that only names a thing; figures from which nobody counts by hand, and values back
in which one was said. Chosen, no source."""
SPEAKERS = word_set("i i've i'd i'm we we've we'd")
SAYING = word_set(
    "said read had gave told put called wrote guessing guessed thought figured reckoned counted have quoted noted took"
)
BEHIND = tuple(
    tuple(words.split())
    for words in (
        "is wrong", "was wrong", "isn't right", "is not right", "wasn't right", "was the old", "is the old", "was it",
        "was a guess", "can't be right", "was off the old", "is what it was", "was before",
    )
)  # fmt: skip
"""Words right behind a figure that say it does not hold."""
COMING = word_set("it's becomes comes makes totals that's be they're")
"""Words behind which a figure stands for one that was disowned some sentences before."""
IS = word_set("it's is are that's there's they're reads be one's shows says ours makes becomes total totals comes make")
SOON = word_set("a an it about only actually just really now at more like the")
GIVING = word_set("said told gave give had mentioned called")
STRIKING = word_set("scratch strike forget wrong redo correct correction change ignore scrap fix amend")
"""Words with which a thing is taken up again that was told before, and of what was told wrong."""
REDOING = word_set("redo scratch strike forget ignore fix correct change amend rectify revise")
MENDERS = word_set("me to must should can i'll")
WRONG = word_set("wrong mistaken backwards astray mistake false")
TALK = word_set(
    "said told give gave gives wrong fix correct change redo amend figure number count thing let mistake word bit one "
    "sorry scratch strike forget ignore correction call called say saying tell telling way backwards look looked read"
)
"""Words of such a clause that name nothing."""
LOOKING = word_set("recounted recount re-counted counted walked look looked told checked went")
COUNTING = word_set("count counting")
"""Words of having counted or looked, which one of AGAIN makes a second time; and those that only "again" does."""
AGAIN = word_set("again i i've i'd we we've just been twice")
GONE = word_set("sold gone scrapped scrap missing robbed empty pinched fewer removed spare dead")
THEM = word_set("them 'em em those these")
ORDINALS = word_set("third fourth fifth sixth seventh eighth ninth tenth other others last")
OPENERS = word_set("oh and now so but actually right okay also correction hm well one more thing")


def corrected_later(talk: Talk, found: Sequence[TakeBack]) -> list[TakeBack]:
    """The take-backs of figures said sentences before that nothing else has found."""
    return untouched((*_disowned_figures(talk), *_counted_anew(talk), *_one_more(talk), *_taken_up(talk)), found)


# ------------------------------------------------------------------------------------------- a figure said again


def _disowned_figures(talk: Talk) -> Iterator[TakeBack]:
    """A figure of before, said again and disowned, and the one that stands beside it."""
    for n, value in enumerate(talk.values):
        if value.kind != "figure" or (gone := _disowned(talk.pieces, value)) is None:
            continue
        old = _said_before(talk, n)
        new = _stands(talk, n, gone, old) if old is not None else None
        if old is None or new is None:
            continue
        yield replace(put_right(old, new), dropped=(gone,), heard=(value.first, value.end))


def _disowned(pieces: Sequence[Piece], value: Said) -> Span | None:
    """The words that disown a figure, with it: "I read eighty", "seven is wrong"."""
    words = [p.lower for p in pieces[value.end : value.end + 4]]
    for form in BEHIND:
        if tuple(words[: len(form)]) == form and (form == ("was", "it") or not pause_before(pieces, value.end)):
            stop = value.end + len(form)
            closed = stop >= len(pieces) or pause_before(pieces, stop)
            return (value.first, stop) if closed or form[-1] == "old" else None
    if value.first and pieces[value.first - 1].lower == "not":
        return None
    for k in range(value.first - 1, max(0, value.first - LEAD), -1):
        if pieces[k].ends or pieces[k].kind == "number":
            return None
        speaker = next((j for j in range(k - 1, max(-1, k - 4), -1) if pieces[j].lower in SPEAKERS), None)
        if pieces[k].lower in SAYING and speaker is not None:
            return speaker, value.end
    return None


def _said_before(talk: Talk, n: int) -> Said | None:
    """The value said before that the same figure now repeats: of the same unit or thing, or beside the same words."""
    again, s = talk.values[n], talk.sentences
    here = s.number[again.first]
    if here < 2:
        return None
    named = talk.stems(s.first[max(0, here - 1)], s.first[here + 1])
    for old in reversed(talk.values[max(0, n - FURTHEST) : n]):
        if old.kind != "figure" or old.value != again.value or s.number[old.first] >= here - 1:
            continue
        if (again.unit and old.unit != again.unit) or (again.noun and _thing(talk.pieces, old) != again.noun):
            continue
        k = s.number[old.first]
        if again.noun or named & talk.stems(s.first[k], s.first[k + 1]):
            return old
    return None


def _stands(talk: Talk, n: int, gone: Span, old: Said) -> Said | None:
    """The figure that stands beside one disowned: behind it where a clause begins or "it's" leads to it, or right
    before it."""
    pieces, s = talk.pieces, talk.sentences
    here = s.number[gone[0]]
    for new in talk.values[n + 1 : n + 4]:
        if new.first - gone[1] > FAR or s.number[new.first] > here + 3:
            break
        near = new.first - gone[1] <= APART and s.number[new.first] <= here + 1
        if not near and not _comes_to(pieces, new.first):
            continue
        if new.value != old.value and comparable(old, new) and _led_to(pieces, new.first):
            between = [p.lower for p in pieces[gone[1] : new.first]]
            holds = any(b == "right" and a not in {"the", "a"} for a, b in pairwise(["", *between]))
            return None if holds else new  # "I said eight valves, and that's right"
    for new in reversed(talk.values[max(0, n - 2) : n]):
        opens = gone[0] == s.first[here] and s.number[new.first] == here - 1  # "it's ninety. I read eighty before."
        if (opens or s.number[new.first] == here) and new.value != old.value and comparable(old, new):
            before = {p.lower for p in pieces[max(0, new.first - 2) : new.first]}
            led = before & IS or any(w.endswith("'s") for w in before)
            return new if led and gone[0] - new.end <= APART else None
    return None


def _comes_to(pieces: Sequence[Piece], i: int) -> bool:
    """ "That was only the wash side. With the rinse it becomes 160": whether words before say the sum."""
    lead = [p.lower for p in pieces[max(0, i - 3) : i] if p.lower not in {"a", "an", "to", "up"}]
    return bool(lead) and lead[-1] in COMING


def _led_to(pieces: Sequence[Piece], i: int) -> bool:
    """Whether a clause begins at i, or words right before it say that this is so."""
    for k in range(i, max(0, i - CLOSE), -1):
        if pause_before(pieces, k) or pieces[k - 1].lower in IS or pieces[k - 1].lower.endswith("'s"):
            return True
        if pieces[k - 1].lower not in SOON:
            return False
    return False


# ----------------------------------------------------------------------------------------- a thing counted anew


def _counted_anew(talk: Talk) -> Iterator[TakeBack]:
    """A thing counted before, and counted anew where the speaker says that he counted or looked again."""
    for n, new in sorted([*enumerate(talk.values), *_only_ones(talk)], key=lambda v: v[1].first):
        number = talk.sentences.number[new.first]
        if not number or not _is_count(new) or not (signs := _signs(talk, number, new)):
            continue
        old = _counted_before(talk, n, new)
        if old is None or not ("anew" in signs or ("gone" in signs and new.value == old.value - 1)):
            continue
        yield put_right(old, new)


def put_right(old: Said, new: Said) -> TakeBack:
    """A figure in the place of one said long before, whose unit or noun it has where it tells none."""
    bare = new.last == new.end and old.last < old.end
    borrowed = (old.last, old.end) if bare else None
    return TakeBack((), (old.first, old.end), (new.first, new.end), borrowed=borrowed, late=True)


def _is_count(value: Said) -> bool:
    return value.kind == "figure" and not value.unit and value.value == int(value.value) and value.value < COUNTS


def _thing(pieces: Sequence[Piece], value: Said) -> str:
    """What a figure counts: the noun behind it, or the one before it ("bars, eighteen"; "ladles, two of them")."""
    if value.noun or not value.first or value.unit:
        return value.noun
    behind = [p.lower for p in pieces[value.last : value.last + 2]]
    if behind[:1] == ["of"] and behind[1:] and behind[1] in THEM:
        before = pieces[max(0, value.first - CLOSE) : value.first]
        return next((p.stem for p in reversed(before) if p.kind == "content"), "")
    if (end := _verbal(pieces, value)) > value.last:
        return pieces[end - 1].stem
    last = pieces[value.first - 1]
    return last.stem if last.comma and last.kind == "content" else ""


def _verbal(pieces: Sequence[Piece], value: Said) -> int:
    """Where a thing behind a figure ends whose word is one of doing as well: "two drives", "six drive motors"."""
    end = value.last
    if value.last < value.end or end >= len(pieces) or pieces[end].kind != "acts" or pause_before(pieces, end):
        return end
    further = end + 1 < len(pieces) and pieces[end + 1].kind == "content" and not pause_before(pieces, end + 1)
    return end + 1 + further


def _one_more(talk: Talk) -> Iterator[TakeBack]:
    """ "Six drive motors on it, all greased. Seven, there's one under the stairs.": one that was missed."""
    pieces, s = talk.pieces, talk.sentences
    for n, new in enumerate(talk.values):
        number = s.number[new.first]
        behind = [p.lower for p in pieces[new.end : new.end + 2]]
        opens = new.first == s.first[number] and number > 0 and new.last == new.end and pause_before(pieces, new.end)
        if not opens or not _is_count(new) or behind[:1] != ["there's"] or behind[1:] not in (["one"], ["another"]):
            continue
        for old in reversed(talk.values[max(0, n - 4) : n]):
            end = max(old.end, _verbal(pieces, old))
            if s.number[old.first] == number - 1 and _is_count(old) and end > old.last and old.value == new.value - 1:
                yield TakeBack((), (old.first, end), (new.first, new.end), borrowed=(old.last, end), late=True)
                break


def _only_ones(talk: Talk) -> Iterator[tuple[int, Said]]:
    """ "Only the one winch", which is no figure anywhere else, with its place among the values."""
    starts = [v.first for v in talk.values]
    for i in range(2, len(talk.pieces) - 1):
        behind = talk.pieces[i + 1]
        if talk.pieces[i].lower != "one" or behind.kind not in NAMING or pause_before(talk.pieces, i + 1):
            continue
        if [p.lower for p in talk.pieces[i - 2 : i]] == ["only", "the"]:
            stop = min(len(talk.pieces), i + CLOSE + 1)
            end = next(
                (k for k in range(i + 2, stop) if pause_before(talk.pieces, k) or talk.pieces[k].kind != "content"),
                i + 2,
            )
            yield bisect(starts, i), Said(i, i + 1, end, "figure", "", 1.0, noun=talk.pieces[end - 1].stem)


def _counted_before(talk: Talk, n: int, new: Said) -> Said | None:
    """The one earlier count of what a figure counts, or of what its sentence names; of several the one said of what its
    sentence speaks of, else None."""
    pieces, s = talk.pieces, talk.sentences
    number = s.number[new.first]
    before = number - 1 if s.first[number] - s.first[number - 1] <= TITLE else number
    named = {new.noun} if new.noun else talk.stems(s.first[before], new.first)
    olds = [
        v
        for v in talk.values[max(0, n - FURTHEST) : n]
        if _is_count(v) and v.first < s.first[before] and _thing(pieces, v) in named and not _each_one(pieces, v)
    ]
    if len({v.value for v in olds}) > 1:
        led = talk.stems(s.first[number], new.first)
        olds = [v for v in olds if led & talk.stems(s.clause[max(0, v.first - 1)], v.first)]
    if len({v.value for v in olds}) != 1 or olds[-1].value == new.value:
        return None
    return olds[-1]


def _each_one(pieces: Sequence[Piece], value: Said) -> bool:
    """ "The allowed load on one pallet": one of them, and no count of them."""
    return value.value == 1 and value.first > 0 and pieces[value.first - 1].kind == "leads"


def _signs(talk: Talk, number: int, new: Said) -> set[str]:
    """What the words around a count say of it: that it is made anew, or that one of the things is gone."""
    pieces, s = talk.pieces, talk.sentences
    first, stop = s.first[number], s.first[number + 1]
    words = [p.lower for p in pieces[first:stop]]
    lead = words[max(0, new.first - first - 3) : new.first - first]
    led = bool(set(lead) & IS) or any(w.endswith("'s") for w in lead) or new.first == first
    looked = set(words) & LOOKING or (set(words) & COUNTING and "again" in words)
    by = set(words) & AGAIN or any(a.endswith("'s") and b in LOOKING for a, b in pairwise(words))
    signs: set[str] = set()
    verb = new.last == new.end and new.end < stop and not pause_before(pieces, new.end)
    if verb and pieces[new.end].kind in {"helps", "acts"}:
        return signs  # "two are hiding under the belt" counts nothing
    if looked and by and (led or (new.noun and lead[-1:] != ["of"])) and (new.value != 1 or "only" in lead):
        signs.add("anew")
    if new.value == 1 and lead[-2:] == ["only", "the"]:
        signs.add("anew")
    if led and _told_before(talk, number, new):
        signs.add("anew")
    if lead[-1:] in (["leaving"], ["leaves"]) or (led and _headed(talk, number, new)):
        signs.add("anew")
    if new.noun and led and set(words) & GONE and set(words) & ORDINALS:
        signs.add("gone")
    return signs


def _told_before(talk: Talk, number: int, new: Said) -> bool:
    """ "Scratch what I said about the racks, there's eight", "them hammers I gave you, it's sixty four": the thing with
    words that it was told of before, without its figure."""
    pieces = talk.pieces
    words = [p.lower for p in pieces[talk.sentences.first[number] : new.first]]
    if any(p.kind == "number" for p in pieces[talk.sentences.first[number] : new.first]):
        return False
    told = any(a in SPEAKERS and b in GIVING for a, b in pairwise(words))
    return told and (any(w in STRIKING for w in words) or (words[:1] != ["i"] and "about" not in words))


def _taken_up(talk: Talk) -> Iterator[TakeBack]:
    """ "The weight I gave you on the hopper is wrong, it's seven tonnes"; "redo the length. It's sixteen metres": a
    thing taken up again as told wrong, and its figure anew; the one figure of that kind said of it before goes."""
    pieces, s = talk.pieces, talk.sentences
    for n, new in enumerate(talk.values):
        here = s.number[new.first]
        if new.kind != "figure" or not here or not _led_to(pieces, new.first):
            continue
        named = _told_wrong(talk, s.first[here], new.first)
        if not named and new.first - s.first[here] <= TITLE:
            named = _told_wrong(talk, s.first[here - 1], s.first[here])
            here -= 1
        if not named:
            continue
        olds = [
            v
            for v in talk.values[max(0, n - FURTHEST) : n]
            if v.first < s.first[here] and _of_those(talk, v, new, named)
        ]
        if olds and len({v.value for v in olds}) == 1 and olds[-1].value != new.value:
            yield put_right(olds[-1], new)


def _told_wrong(talk: Talk, first: int, stop: int) -> frozenset[str]:
    """What is named in words by which the speaker says that he told it wrong; nothing where he says no such thing."""
    pieces = talk.pieces[first:stop]
    words = [p.lower for p in pieces]
    if stop - first > FAR or any(p.kind == "number" for p in pieces):
        return frozenset()
    opens = next((k for k, w in enumerate(words) if w not in OPENERS), len(words))
    strikes = words[opens : opens + 1] != [] and words[opens] in REDOING and words[opens + 1 : opens + 2] != ["that"]
    wrong = any(a in WRONG and b != "with" for a, b in pairwise([*words, ""]))
    mends = any(a in MENDERS and b in REDOING for a, b in pairwise(words)) and bool(
        SPEAKERS & set(words) or "me" in words
    )
    if not (strikes or mends or (wrong and SPEAKERS & set(words))):
        return frozenset()
    return talk.stems(first, stop) - TALK


def _of_those(talk: Talk, old: Said, new: Said, named: frozenset[str]) -> bool:
    """Whether a figure of before may be the one that was told wrong: of the new one's kind, and of what is named."""
    if old.kind != "figure" or not (old.unit or old.noun) or not comparable(old, new):
        return False
    if old.noun:
        return old.noun in named or (old.noun == new.noun)
    k = talk.sentences.number[old.first]
    about = talk.stems(talk.sentences.first[max(0, k - 1)], old.first) | talk.stems(
        old.end, talk.sentences.first[k + 1]
    )
    return bool(new.unit) and bool(named & about)


def _headed(talk: Talk, number: int, new: Said) -> bool:
    """ "Oh, the bogies. It's ten.": a sentence that only names the thing stands before, and the count says no more."""
    pieces, s = talk.pieces, talk.sentences
    before = [p.lower for p in pieces[s.first[number - 1] : s.first[number]]]
    while before and before[0] in OPENERS:
        before = before[1:]
    alone = 2 <= len(before) <= 4 and before[0] in {"the", "those", "these", "my"}
    bare = new.last == new.end and pause_before(pieces, new.end) and new.first - s.first[number] <= 2
    return alone and bare and len(before) < s.first[number] - s.first[number - 1]
