"""Figures and units put right without a cue: "sixty amps. There's glare, one second. Eighty amps."; "kilos, pounds".

People look again, or are told, and say the figure anew. What shows it is the look itself, a word for what they read it
off, or the same words behind both figures; without one of these a second figure is another fact.
"""

from __future__ import annotations

from collections.abc import Sequence

from extractors.figures_said import behind_century, last_two, noun_behind, with_unit, words_at
from extractors.mentions import Span
from extractors.takebacks import TakeBack, figure_at, figures_before, pause_before, sentence_start, sentence_stop
from extractors.word_classes import Piece, word_set

LONGEST_LOOK, BACK, CLOSE, FAR = 13, 26, 9, 80
"""Words between both figures, of the sentence before, those behind the old figure in its sentence, and back to a
count; common practice, no source."""
LOOKED = word_set(
    "look tag label plate nameplate sticker badge stamp stamped stencil stenciled stencilled painted printed written "
    "drawing printout card display dial gauge scale tape glare glasses specs readers light torch thumb grease "
    "paint dust dirt cleaned wiped rubbed scraped digit laughing shouting shouts pointing points nodding waving "
    "shaking engraved "
    "wrong misread transposed muddled smudge smudged dollop blob magnifier "
    "correcting corrects correct fingers thumbs says said reckons tells telling showing remeasured measured recounted "
    "spectacles lens calipers callipers ruler"
)
"""Words for a second look, for what one reads off, and for somebody else who tells."""
SEEN = word_set("read see make")
"""Words of a look, where it is done now: "seven and a half, I can read it now"."""
EXCUSED = word_set(
    "swapped misread misreading misheard miscounted misjudged misspoke transposed muddled jumbled flipped wrong digits "
    "lying lied lie fibbing fib oops whoops guessing mistaken mistake dreaming daft silly handwriting"
)
"""Words with which somebody says behind a figure why he said another."""
MORE = word_set("more another hiding hidden missed others extra")
TELLS = word_set("says said shows showing reads reckons")
STARTLED = word_set("ah oh hm hmm ha huh aha oops hello whoa")
LEADS = word_set("yes yeah no okay ok so right oh ah")
LAUGH = word_set("haha ha hehe heh oops oh ah sorry well")
WAYS = word_set("thick wide long deep high tall across")
"""Words that may stand between a unit and its pause: which way is measured."""
OF_COURSE = (("of", "course"), ("obviously",), ("naturally",), ("i", "mean"), ("that", "is"), ("rather",))
LOOKING = word_set("or oh ah let wait i i'm that's hang hold he she they says now")
RATES = frozenset({"per", "a", "an"})
HEADINGS = word_set("hour hours second minute day amp volt horse horsepower")
"""Units with which people also head what comes next ("Amps. Eighteen.")."""
OPEN_UNITS = word_set("degree deg square cubic standard metric imperial")
"""First words of units that say nothing of the unit, or of it alone behind another."""
TIMES = word_set("second seconds minute hour day week shift")
WHERE = word_set("on in at for of from to by behind with under above")


def second_look(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """The take-back of the figure said last by the one that begins at i, after a look; None where there is none."""
    before = pieces[i - 1]
    if pieces[i - 1].lower in {"it's", "is", "that's"} and i > 2 and pieces[i - 2].comma:
        opened = _clause_of_looking(pieces, i - 1)
        return None if opened is None else _taken(pieces, opened, i)
    if not (before.ends or before.comma) or pieces[i].kind != "number" or _ranged(pieces[i].lower):
        return None
    opened = _opening(pieces, i)
    return None if opened is None else _taken(pieces, opened, i)


def _ranged(word: str) -> bool:
    """Whether a word in figures holds a dash: "12-14". "Ninety-eight" is one number."""
    return "-" in word[:-3] and any(c.isdigit() for c in word)


def _taken(pieces: Sequence[Piece], opened: int, i: int) -> TakeBack | None:
    """The take-back by the figure at i, where what comes between both figures begins at opened."""
    end = figure_at(pieces, i, len(pieces))
    new = (i, end)
    if end == i or words_at(pieces, new)[0] in {"one", "one's"}:
        return None
    again = _again(pieces, new)
    old = _said_last(pieces, opened, new, again)
    if old is None or words_at(pieces, old) == words_at(pieces, new):
        return None
    if len(pieces[old[0]].lower) == 1 and pieces[old[0]].lower.isalpha():
        return None
    counted = noun_behind(pieces, old[1], opened)
    paused = pieces[end - 1].comma or pieces[end - 1].ends
    anew = None if paused else noun_behind(pieces, end, end + 2)
    echoed = _echoed(pieces, old, new)
    year = _year(pieces, old) and (_year(pieces, new, told=_is_told(pieces, end)) or last_two(pieces, new))
    if counted is None and not echoed and not year:
        return None
    if anew is not None and (counted is None or anew.stem != counted.stem):
        return None
    if not (paused or anew is not None or echoed or _is_told(pieces, end)):
        return None
    stop = with_unit(pieces, new, len(pieces)) if anew is not None else end
    if not echoed and stop < len(pieces) and not pause_before(pieces, stop) and pieces[stop].lower in WHERE:
        return None  # "twelve amps. Nine amps on the other, says the plate"
    if not (echoed or again is not None or _looked(pieces, old, opened, new, stop)):
        return None
    if year and counted is None and not echoed:
        return TakeBack(
            ((behind_century(pieces, old, (i, end)), i),), old, (i, stop)
        )  # what made it a year stands before the first
    tail = (old[1], _unit_end(pieces, old, opened))
    said = _first_said(pieces, old, tail[1]) or (old[0], tail[1])
    borrowed = tail if anew is None and tail[0] < tail[1] else None
    return TakeBack(
        dropped=((opened, i),) if opened < i else (),
        withdrawn=said,
        kept=(i, stop),
        heard=(old[0], tail[1]),
        borrowed=borrowed,
        late=True,
    )


def _first_said(pieces: Sequence[Piece], old: Span, end: int) -> Span | None:
    """Of a figure asked about ("did I say 24 kilowatt?") the place where it was said, with its unit."""
    start = sentence_start(pieces, old[0], 6)
    words = words_at(pieces, (old[0], end))
    if pieces[start].lower != "did":
        return None
    for k in range(start - len(words), -1, -1):
        if words_at(pieces, (k, k + len(words))) == words:
            return k, k + len(words)
    return None


def _opening(pieces: Sequence[Piece], i: int) -> int | None:
    """Where what comes between both figures begins: sentences without a figure, two at most, before the new figure;
    None where its sentence has words of its own before it."""
    at = i
    while at > 0 and not pieces[at - 1].ends and pieces[at - 1].lower in LEADS and i - at < 3:
        at -= 1
    if not pieces[at - 1].ends:
        return _clause_of_looking(pieces, i) or (i if figures_before(pieces, max(0, i - 6), i) else None)
    for _ in range(2):
        first = sentence_start(pieces, at - 1, BACK)
        figures = [f for f in figures_before(pieces, first, at) if words_at(pieces, f) != ["one"]]
        if figures or i - first > LONGEST_LOOK:
            break
        at = first
    return at if at > 0 else None


def _clause_of_looking(pieces: Sequence[Piece], i: int) -> int | None:
    """Where a clause of looking again begins, up to the figure at i: "let me wipe the dial, eighty"."""
    for k in range(i - 2, max(0, i - LONGEST_LOOK), -1):
        if pieces[k].kind == "number" or pieces[k].ends:
            return None
        if pause_before(pieces, k) and pieces[k].lower in LOOKING:
            words = {p.lower for p in pieces[k:i]}
            return k if words & LOOKED and not words & {"gave", "told", "said"} else None
    return None


def _said_last(pieces: Sequence[Piece], opened: int, new: Span, again: Piece | None) -> Span | None:
    """The figure before, close to where its sentence ends, or of several there the one counted in the same."""
    start = sentence_start(pieces, opened - 1, BACK)
    olds = [f for f in figures_before(pieces, start, opened) if f[0] - start < BACK]
    paused = pieces[new[1] - 1].comma or pieces[new[1] - 1].ends
    unit = again or (None if paused else noun_behind(pieces, new[1], new[1] + 2))
    if again is not None:
        start = max(0, opened - FAR)
        olds = [f for f in figures_before(pieces, start, opened) if _counts(pieces, f, again)]
        return olds[-1] if olds else None
    if unit is not None and len(olds) > 1:
        olds = [f for f in olds if _counts(pieces, f, unit)] or olds
    elif len(olds) > 1:
        first = pieces[new[0]].lower  # "twenty horse, eighteen hundred rpm. [...] Twenty five"
        if alike := [f for f in olds if pieces[f[0]].lower == first]:
            return alike[-1]
    return olds[-1] if olds and opened - olds[-1][1] <= CLOSE else None


def _counts(pieces: Sequence[Piece], figure: Span, noun: Piece) -> bool:
    """Whether a figure is counted in this unit or thing."""
    if [p.lower for p in pieces[figure[1] : figure[1] + 2]] == ["of", "them"]:
        return noun.stem in {p.stem for p in pieces[max(0, figure[0] - 3) : figure[0]]}  # "barrels, eight of them"
    behind = noun_behind(pieces, figure[1], figure[1] + 2)
    if behind is None or behind.stem != noun.stem:
        return False
    return behind.kind == "unit" or behind.lower == noun.lower


def _unit_end(pieces: Sequence[Piece], old: Span, stop: int) -> int:
    """End of the unit behind the old figure, with the time it is counted in ("metres a minute")."""
    end = min(with_unit(pieces, old, stop), stop)
    if (
        end + 1 < stop
        and not pause_before(pieces, end)
        and pieces[end].lower in RATES
        and pieces[end + 1].kind == "unit"
    ):
        end += 2
    return end


def _echoed(pieces: Sequence[Piece], old: Span, new: Span) -> bool:
    """Whether two words or more behind both figures are the same: "eleven on the top. Fifteen on the top"."""
    same = 0
    while (
        new[1] + same < len(pieces)
        and old[1] + same < new[0]
        and pieces[old[1] + same].lower == pieces[new[1] + same].lower
        and not pieces[old[1] + same].ends
    ):
        same += 1
    closed = old[1] + same < new[0] and pieces[old[1] + same].ends
    if closed and new[1] + same < len(pieces) and pieces[new[1] + same].lower == pieces[old[1] + same].lower:
        same += 1
    where = old[1] + (pieces[old[1]].kind == "unit")  # "four mil in brass. Three mil in brass"
    return same >= 3 and pieces[old[1] + same - 1].ends and pieces[where].lower in WHERE


def _is_told(pieces: Sequence[Piece], i: int) -> bool:
    """ "2017 it is showing", "twenty one says the tag": behind the figure right away what shows it."""
    return any(p.lower in TELLS for p in pieces[i : i + 3])


def _looked(pieces: Sequence[Piece], old: Span, opened: int, new: Span, stop: int) -> bool:
    """Whether the speaker looked again or was told: between both figures, or right behind the new one."""
    between = [p.lower for p in pieces[opened : new[0]]]
    if len(between) == 1 and between[0] in STARTLED and pieces[opened].ends:
        return True
    close = sentence_stop(pieces, stop - 1, 14) if stop else stop
    same_breath = not pieces[new[0] - 1].ends
    tail = {p.lower.removesuffix("'s") for p in pieces[stop : min(close, stop + 9)]}
    lead = {w.removesuffix("'s") for w in between}
    before = {p.lower.removesuffix("'s") for p in pieces[old[1] : opened]}
    turn = next((k for k in range(old[1], opened) if pause_before(pieces, k) and pieces[k].lower in LOOKING), None)
    if turn is not None and {p.lower for p in pieces[turn:opened]} & LOOKED:
        return True  # "built 1978, or let me look what stands here. 1973."
    if before & LOOKED & tail:
        return False  # both are read off: a list of plates
    if opened == new[0] and pause_before(pieces, stop) and stop == new[1]:
        excuse = pieces[stop : sentence_stop(pieces, stop, 9)]
        if {p.lower for p in excuse} & EXCUSED and not figures_before(pieces, stop, stop + len(excuse)):
            return True  # "1,400 rpm, 1,040, I swapped the digits"
    if same_breath and opened == new[0]:
        return bool(tail & LOOKED) and (pause_before(pieces, stop) and stop == new[1])
    if pieces[stop - 1].ends and stop == new[1] and opened == new[0]:
        behind = [p.lower for p in pieces[stop : sentence_stop(pieces, stop, 7)]]
        return bool(set(behind[:4]) & MORE)  # "Six filters. Eight. Couple more hiding back there."
    return bool((lead & LOOKED) or (tail & LOOKED) or ({"now", "can"} & tail and tail & SEEN and {"i", "it"} & tail))


def _again(pieces: Sequence[Piece], new: Span) -> Piece | None:
    """What is counted where the new figure is said once more behind: "Six hundred! Six hundred metres a minute"."""
    said = words_at(pieces, new)
    if not (pieces[new[1] - 1].comma or pieces[new[1] - 1].ends):
        return None
    excused = {p.lower for p in pieces[new[1] : new[1] + 7]} & EXCUSED
    for figure in figures_before(pieces, new[1], min(len(pieces), new[1] + (10 if excused else 4) + len(said))):
        if words_at(pieces, figure) == said:
            return noun_behind(pieces, figure[1], figure[1] + 2)
    return None


def _year(pieces: Sequence[Piece], span: Span, *, told: bool = False) -> bool:
    """Whether a figure may be a year of our time; where a plate or a person tells it, the last two digits will do."""
    words = [part for word in words_at(pieces, span) for part in word.split("-")]
    if told and words[0] in {"nineteen", "twenty", "oh", "ninety", "eighty"}:
        return True
    if words[:1] == ["nineteen"] and 2 <= len(words) <= 3:
        return True  # "nineteen ninety six"
    return len(words) == 1 and words[0].isdigit() and 1900 <= int(words[0]) <= 2099


def unit_alone(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """ "800 pounds, kilos, kilos"; "8,200 kilos. Pounds, for heaven's sake"; "metres per second, haha, per minute of
    course": another unit alone between pauses, right behind a figure with its unit. i is behind the pause."""
    if not pause_before(pieces, i):
        return None
    last = i - 1
    while last > 0 and pieces[last].lower in LAUGH and pause_before(pieces, last):
        last -= 1
    if last > 0 and pieces[last].lower in WAYS and not pause_before(pieces, last):
        last -= 1  # "1.2 centimetres thick. Millimetres, you'd never bend it otherwise."
    unit, end = _unit_from(pieces, i)
    if end == i or not _stands_alone(pieces, end):
        return None
    for first in range(max(0, last - 4), last + 1):
        old, old_end = _unit_from(pieces, first)
        if old_end != last + 1 or pieces[first - 1].kind != "number":
            continue
        if unit == "":  # "per minute": of "metres per second" the time alone
            first, old = next(((k, "") for k in range(first, last) if pieces[k].lower in RATES), (first, old))
        stems = [p.stem for p in pieces[first:old_end]], [p.stem for p in pieces[i:end]]
        if stems[0] == stems[1] or {old, unit} & OPEN_UNITS or (old == "") != (unit == ""):
            return None
        if pieces[i - 1].ends and {old, unit} & HEADINGS:
            return None  # "Ninety psi. Hours."
        while pieces[end - 1].comma and [p.lower for p in pieces[end : 2 * end - i]] == [
            p.lower for p in pieces[i:end]
        ]:
            i, end = end, 2 * end - i  # "kilos, kilos"
        olds = figures_before(pieces, max(0, first - 8), first)
        return TakeBack(((first, i),), (olds[-1][0], old_end), (i, end), heard=(first, old_end)) if olds else None
    return None


def _unit_from(pieces: Sequence[Piece], i: int) -> tuple[str, int]:
    """The first word of the unit at i ("" of "per minute"), and where it ends; i itself where none begins there."""
    at, first = i, ""
    if at < len(pieces) and pieces[at].kind == "unit":
        first, at = pieces[at].stem, at + 1
    if (
        at + 1 < len(pieces)
        and (at == i or not pause_before(pieces, at))
        and pieces[at].lower in RATES
        and pieces[at + 1].lower in TIMES
    ):
        at += 2
    return first, at


def _stands_alone(pieces: Sequence[Piece], end: int) -> bool:
    """Whether a pause or "of course" follows."""
    if pause_before(pieces, end):
        return True
    return any(tuple(p.lower for p in pieces[end : end + len(w)]) == w for w in OF_COURSE)
