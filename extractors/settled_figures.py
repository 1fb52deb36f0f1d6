"""Figures settled by the speaker after two of a kind: "it says five tonnes on the beam, three on the hook. So write
three."; "I timed it again, nineteen. Put down nineteen."; "twenty? Eighteen. Eighteen plates, then.".

Whoever hears two figures for one thing is told by such words which of them stands. Without words of writing down the
figure that stands must have been said before, after the other one, and something must tell that there was a doubt.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from extractors.corrected_later import put_right
from extractors.said_values import Said, comparable, like_a_year
from extractors.take_marks import Talk
from extractors.takebacks import TakeBack, met_by, pause_before
from extractors.word_classes import Piece, word_set

WRITING = tuple(
    tuple(form.split())
    for form in (
        "put down", "put", "write", "write down", "write in", "use", "go with", "go by", "take", "i'll go", "we'll go",
        "i'll say", "i'd go with", "i'll go with", "we'll go with", "i'd write", "i'd put", "let's go with", "note",
        "note down", "mark", "mark down", "enter", "record", "i'll take", "trust", "we'll say", "let's put",
    )
)  # fmt: skip
"""Words with which somebody is told which figure to write."""
SO = word_set("so then right okay yes yeah aye well ha")
LEADS = word_set("it's that's they're there's is a an the it down at as on with of in for them only just")
BEHIND = (("it", "is"), ("then",), ("so",), ("it", "was"), ("is", "right"), ("is", "it"), ("is", "correct"))
"""Words behind a figure that settle it."""
DOUBTS = frozenset({"deny", "stop", "sorry", "look", "shown", "tell", "wrong", "turn"})
SUPPOSED = word_set("if would could might can should may unless they people you")
OTHERS = word_set("other each both another apiece every second rest next")
CLOSE = 2
"""How many times as much as a figure said bare the one in a unit may be that it takes back; chosen, no source."""
CHANGED = word_set(
    "originally original burnt replaced rebuilt upgraded converted derated formerly previously rewound wound nowadays"
)
"""Words that tell of a figure of another time, which was right then."""
FAR, SENTENCES, LEAD, BACK = 48, 3, 5, 8
"""Words and sentences back to the figure that does not stand; words before the one that does; values back. Chosen, no
source."""


def settled_figures(talk: Talk, found: Sequence[TakeBack]) -> Iterator[TakeBack]:
    """The take-backs of figures by words that settle which one stands; none of what was put right already."""
    right = met_by(found)
    done = {(v.value, v.unit) for v in talk.values if v.first in right}
    for n, new in enumerate(talk.values):
        if new.kind != "figure" or not n:
            continue
        told = _told_to_write(talk, new)
        if not (told or _settled(talk, new)):
            continue
        old = _instead_of(talk, n, told=told)
        again = {(new.value, new.unit), (new.value, "")} & done
        if old is not None and not again:
            yield put_right(old, new)


def asked_back(talk: Talk) -> Iterator[TakeBack]:
    """ "Pressure's six bar. Six? Eight bar.": the figure said again as a question, and at once another."""
    s = talk.sentences
    for n in range(2, len(talk.values)):
        old, again, new = talk.values[n - 2 : n + 1]
        here = s.number[again.first]
        alone = s.first[here] == again.first and s.first[here + 1] == again.end
        if not (alone and s.asks[here] and again.kind == new.kind == old.kind == "figure"):
            continue
        if again.value != old.value or new.value == old.value or not comparable(old, new) or new.noun:
            continue
        if new.first == again.end and s.number[old.first] >= here - 1 and (not again.unit or again.unit == old.unit):
            yield put_right(old, new)


def _told_to_write(talk: Talk, new: Said) -> bool:
    """Whether words of writing down lead to a figure, from the beginning of a clause: "so please write three"."""
    first = talk.sentences.clause[new.first]
    words = [p.lower for p in talk.pieces[first : new.first]]
    while words and words[0] in SO | {"please", "and", "just", "so", "you", "better", "can"}:
        words = words[1:]
    for form in WRITING:
        if tuple(words[: len(form)]) == form:
            rest = words[len(form) :]
            return len(rest) <= LEAD and all(w in LEADS for w in rest)
    return False


def _settled(talk: Talk, new: Said) -> bool:
    """ "So eight holders it is", "ninety-six then", "so it's eight": whether its clause settles a figure."""
    pieces = talk.pieces
    first = talk.sentences.first[talk.sentences.number[new.first]]
    words = [p.lower for p in pieces[max(first, talk.sentences.clause[new.first]) : new.first]]
    if words[:1] == ["so"] and all(w in LEADS | SO for w in words):
        return True
    for form in BEHIND:
        behind = [p.lower for p in pieces[new.end : new.end + len(form)]]
        stop = new.end + len(form)
        if tuple(behind) == form and pause_before(pieces, stop) and all(w in LEADS | SO for w in words):
            return True
    return False


def _instead_of(talk: Talk, n: int, *, told: bool) -> Said | None:
    """The figure of the same kind said shortly before that a settled one takes back."""
    new, s = talk.values[n], talk.sentences
    seen = None
    between: list[Said] = []
    for old in reversed(talk.values[max(0, n - BACK) : n]):
        if new.first - old.end > FAR or s.number[new.first] - s.number[old.first] > SENTENCES:
            return None
        if old.kind != "figure":
            continue
        if old.value == new.value and (not old.unit or not new.unit or old.unit == new.unit):
            seen = old
        elif _may_be(old, new, seen):
            return old if _doubtful(talk, old, new, between, seen, told=told) else None
        else:
            between.append(old)
    return None


def _may_be(old: Said, new: Said, seen: Said | None) -> bool:
    """Whether one figure may stand in the place of another: both of one unit or one noun, or one of them bare."""
    whole = new if new.end > new.last or seen is None else seen
    if not comparable(old, whole):
        return False
    years = [like_a_year(v) for v in (old, new)]
    if any(years):
        return all(years)
    told = bool(whole.unit or whole.noun)
    return told == bool(old.unit or old.noun) or (not told and new.value / CLOSE <= old.value <= new.value * CLOSE)


def _doubtful(talk: Talk, old: Said, new: Said, between: Sequence[Said], seen: Said | None, *, told: bool) -> bool:
    """Whether something between two figures tells of a doubt which holds, and none is worked out of the other."""
    if seen is None and not told:
        return False
    words = range(old.end, new.first)
    around = range(talk.sentences.first[talk.sentences.number[old.first]], new.first)
    if OTHERS & {talk.pieces[k].lower for k in words} or CHANGED & {talk.pieces[k].lower for k in around}:
        return False
    if _worked_out(old, new, between):
        return False
    if SUPPOSED & {p.lower for p in talk.pieces[talk.sentences.clause[new.first] : new.first]}:
        return False
    kinds = {kind for k in words for kind in talk.kinds(k)}
    return bool(kinds & DOUBTS) or (seen is not None and _at_once(talk.pieces, old, seen))


def _at_once(pieces: Sequence[Piece], old: Said, seen: Said) -> bool:
    """Whether the second figure was said bare right behind the first: "twenty plates. Eighteen.\""""
    return 0 <= seen.first - old.end <= 1 and pause_before(pieces, seen.first) and pause_before(pieces, seen.end)


def _worked_out(old: Said, new: Said, between: Sequence[Said]) -> bool:
    """ "Two motors, five kilowatts each. So ten": whether the figure comes of those before it."""
    values = [v.value for v in (old, *between)]
    if any(abs(v * 2 - new.value) < 1e-6 or abs(new.value * 2 - v) < 1e-6 for v in values):
        return True
    return any(new.value in {a + b, a * b, abs(a - b)} for a, b in combinations(values, 2))
