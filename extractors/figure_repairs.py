"""Figures and units taken back: "forty eight feet, inches I should say", "three hundred cfm, no, five hundred"."""

from __future__ import annotations

from collections.abc import Sequence

from extractors.compound_figures import compound_repair
from extractors.cues import Cue
from extractors.figures_said import (
    REACH,
    behind_century,
    borrowed_tail,
    noun_behind,
    said_again,
    units_differ,
    with_unit,
    words_at,
)
from extractors.mentions import Span
from extractors.name_repairs import answers
from extractors.takebacks import TakeBack, figure_at, figures_before, pause_before, sentence_start, sentence_stop
from extractors.unit_repairs import figure_behind, unit_behind, unit_only
from extractors.word_classes import Piece, word_set

LEAD_IN = word_set(
    "about around roughly the at a an more like yeah yes of to in only just nearer closer say and is was or okay right"
)
EXPLAINED = 18
"""Words between a cue and what stands, where a reason comes between; common practice, no source."""
TURNS = word_set(
    "it's that's they're it is are was says reads be make say count counted measures has have got holds takes weighs "
    "makes gives lifts runs does so one's"
)
OWN = word_set("it this that there really one he she they you we so")
"""Words before such a verb that speak of the thing itself."""
NAMING = frozenset({"call it", "make it", "make that", "let's call it", "let's say"})
CALLING = frozenset({"call it", "let's call it", "let's say", "well let's say"})
YES = word_set("yes yeah yep right okay ok fine true so then good go use take trust")
ASKING = word_set("is was are were did do does have has had should would isn't wasn't didn't")
"""Words with which somebody asks another behind "or": "or did you run 250? He says 250"."""
ASKED = 20
"""Pieces back to the beginning of a question; chosen, no source."""
TELLING = word_set("says said tells told reckons thinks corrects")
WAYS = word_set("long wide tall high deep thick across diameter a an per minute hour second day each apiece")
EXCUSES = frozenset(
    {
        "my mistake", "my bad", "my error", "my fault", "sorry", "i'm sorry", "excuse me", "pardon", "pardon me",
        "oops", "whoops", "apologies", "my apologies", "beg your pardon", "i beg your pardon", "forgive me", "silly me",
        "excuse my mistake", "i tell a lie", "tell a lie", "i misread", "i misread that", "i miscounted", "my eyes",
        "god forgive me", "lord forgive me",
    }
)  # fmt: skip
"""Cues with which people also close a correction that they have made."""
SUPPOSING = word_set("would wouldn't could might")
PLACED = word_set("on in at of for to from by behind under above between")
GIVING_AWAY = word_set("other old second another last wrong next neighbour neighbouring different previous head")
"""Words of a clause that gives a figure to something else: "that's some other job I got in my head"."""
EACH = word_set("each apiece every per one a an")
ALL = word_set("whole all total altogether together overall lot both")
ATTRIBUTING = word_set("says reads shows said gives read showed")
POINTING = word_set("this that the other first last second next")
TENS = word_set("twenty thirty forty fifty sixty seventy eighty ninety hundred thousand")
"""Numbers that the next may go on: "twenty, er, five horse" is one figure."""


def figure_repair(pieces: Sequence[Piece], cue: Cue) -> TakeBack | None:
    """The take-back of a figure or of its unit that this cue makes; None where it makes none."""
    start = sentence_start(pieces, max(cue.first - 1, 0), 30)
    if cue.first == 0 or (cue.last < len(pieces) and answers(pieces, cue)):
        return None
    if start > 0 and (cue.first - start <= 2 or pieces[start].lower == "or"):
        # "12 quarts. Gallons, I mean."; "fifty two feet long. Or is it fifty six? Hold on."
        start = sentence_start(pieces, start - 1, 30)
    return (
        compound_repair(pieces, start, cue)
        or unit_behind(pieces, start, cue)
        or figure_behind(pieces, start, cue)
        or unit_only(pieces, start, cue)
        or _one_and_a_part(pieces, start, cue)
        or _figure(pieces, start, cue)
    )


def _one_and_a_part(pieces: Sequence[Piece], start: int, cue: Cue) -> TakeBack | None:
    """ "A one inch, excuse me, inch and a half line": what stands begins with its unit, which is one of it."""
    at = cue.repair
    while at < len(pieces) and pieces[at].lower in {"a", "an", "it's"}:
        at += 1
    part = at + 3
    if part >= len(pieces) or pieces[at].kind != "unit" or [p.lower for p in pieces[at + 1 : part]] != ["and", "a"]:
        return None
    olds = figures_before(pieces, max(start, cue.first - REACH), cue.first)
    if pieces[part].lower not in {"half", "quarter", "third", "eighth"} or not olds:
        return None
    old = olds[-1]
    counted = noun_behind(pieces, old[1], cue.first)
    if counted is None or counted.stem != pieces[at].stem or cue.first - old[1] > 2:
        return None
    new = (at, part + 1)
    return TakeBack(
        ((old[0], at),), (old[0], cue.first), new, heard=(old[0], with_unit(pieces, old, cue.first)), read=new
    )


def only_excused(pieces: Sequence[Piece], cue: Cue, before: TakeBack) -> bool:
    """Whether a cue that closes its sentence only excuses the take-back right before: "no, ten foot, my bad." """
    if before.kept is None or cue.last == 0 or not pieces[cue.last - 1].ends or not set(cue.phrases) <= EXCUSES:
        return False
    return 0 <= cue.first - before.kept[1] <= 4 and not any(p.ends for p in pieces[before.kept[1] : cue.first])


def hesitation_repair(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """ "Ten quarts, er, twelve quarts": an er between two figures counted in the same, nothing else between."""
    cue = Cue(i, i, i, False, ("er",))
    unit = pieces[i - 1]
    end = figure_at(pieces, i, len(pieces))
    if end == i or end >= len(pieces):
        return None
    bare = unit.kind == "number" and end == i + 1 and unit.lower not in TENS and pieces[end].kind in {"unit", "content"}
    if not bare and (unit.kind not in {"unit", "content"} or pieces[end].stem != unit.stem):
        return None
    return _figure(pieces, sentence_start(pieces, i - 1, 30), cue)


def either_then_yes(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """ "15 kilowatts, or is it 18.5, yes, 18.5"; "24 inch, Karl says 30, okay, 30": a second figure asked or told by
    another, affirmed and said again. i is at "or", or at the word of saying."""
    if i + 3 >= len(pieces) or not (pieces[i].lower == "or" or pieces[i].lower in TELLING):
        return None
    olds = figures_before(pieces, max(0, i - REACH), i)
    at = i + 1
    while at < min(len(pieces), i + 5) and pieces[at].kind != "number":
        at += 1
    end = figure_at(pieces, at, len(pieces)) if at < len(pieces) else at
    if not olds or end == at or i - olds[-1][1] > (3 if pieces[i].lower == "or" else 5):
        return None
    starts = [k + 1 for k in range(end, min(len(pieces), end + 4)) if pieces[k].lower in YES][:1]
    asked = pieces[i].lower == "or" and pieces[i + 1].lower in ASKING
    if asked and pieces[sentence_start(pieces, i, ASKED)].lower not in ASKING:
        starts.append(end)  # not "is it eight bar or is it ten": neither was told
    news = (next(iter(figures_before(pieces, k, min(len(pieces), k + 5 + end - at))), None) for k in starts)
    new = next((f for f in news if f is not None and words_at(pieces, f) == words_at(pieces, (at, end))), None)
    if new is None:
        return None
    old = olds[-1]
    if words_at(pieces, old) == words_at(pieces, new):
        return None
    return _replace(pieces, max(0, i - REACH), old, new, i, (old[0], new[0]))


# -------------------------------------------------------------------------------------------------------- figures


def _figure(pieces: Sequence[Piece], start: int, cue: Cue) -> TakeBack | None:
    new = _standing(pieces, cue)
    if new is None:
        return _explained(pieces, start, cue)
    if words_at(pieces, new) == ["one"] and pieces[new[0] - 1].lower in {"there's", "is", "was"}:
        return _explained(pieces, start, cue)  # "three, no wait, there's one on the far side, so four"
    if _part_of_them(pieces, new):
        return _explained(pieces, start, cue)  # "six wheels, hold on, two of those are for the other, so make it four"
    behind = with_unit(pieces, new, len(pieces))
    supposed = not pause_before(pieces, behind) and pieces[behind].lower in SUPPOSING if behind < len(pieces) else False
    closes = EXCUSES & set(cue.phrases) and pieces[cue.last - 1].ends
    if cue.startled and supposed:
        return None  # "eight kilos, Lord, eight grams would do nothing"
    if words_at(pieces, new) == ["one's"]:
        return None  # "two ten horse motors. Wait, one's a ten": one of them is no other figure
    told = pieces[cue.first - 1].lower in TELLING  # "thirty cube an hour, they said, the operator said no, twenty five"
    olds = figures_before(pieces, max(start, cue.first - REACH - (6 if told else 0)), cue.first)
    if not olds and start > 0 and cue.first - start <= 3:
        # "1500 rpm. Ruud says no, it's 3000 rpm": of the sentence before, where it is counted in the same
        start = sentence_start(pieces, start - 1, 30)
        olds = figures_before(pieces, max(start, cue.first - REACH), cue.first)[-1:]
        nouns = [noun_behind(pieces, s[1], s[1] + 2) for s in (*olds, new)]
        if len(nouns) < 2 or nouns[0] is None or nouns[1] is None or nouns[0].stem != nouns[1].stem:
            return None
    if not olds:
        return None
    if asked := _asked_back(pieces, olds):
        return _replace(pieces, start, (asked[0], olds[-2][1]), new, cue.first, (asked[0], new[0]))
    if len(olds) > 1 and (either := _either_or(pieces, olds, new, cue)) is not None:
        return either
    old = _whole(pieces, _counterpart(pieces, olds, new, cue))
    if CALLING & set(cue.phrases) and (
        units_differ(pieces, old, new, cue.first)
        or _reckoned(pieces, old, new, cue.first)
        or _summed(pieces, old, new, cue.first)
    ):
        return None  # "twenty metres a minute, call it sixty five feet": told again for others
    if closes and units_differ(pieces, old, new, cue.first):
        return None  # "millimetres, God forgive me. It goes at three metres a minute"
    if units_differ(pieces, old, new, cue.first) and "and" in words_at(pieces, (cue.repair, new[0])):
        return None  # "eight bar, I'm at the wrong gauge, and she uses 300 kilos"
    bare = [[w.removesuffix("'s") for w in words_at(pieces, span)] for span in (old, new)]
    same = bare[0] == bare[1] and new[0] == cue.last
    verb = pieces[min(new[1], len(pieces) - 1)].lower
    if same and (pieces[new[1] - 1].lower.endswith("'s") or verb == "is"):
        return None  # "lot forty two, the infeed belt, no, forty two's the filling table": a name is taken back
    ranged = any(p.lower == pieces[new[0]].lower for p in pieces[max(start, old[0] - 5) : old[0]])
    if not cue.sure and not ranged and not _alike(pieces, old, new, cue):
        return None
    ways = _way(pieces, old, cue.first), _way(pieces, new, len(pieces))
    if NAMING & set(cue.phrases) and all(ways) and ways[0] != ways[1]:
        return None  # "twenty two feet wide, and call it nine feet tall"
    if pieces[old[0]].lower == "one" and old[1] - old[0] == 1 and (pieces[old[0]].comma or pieces[old[0]].ends):
        return None  # "I don't see one, do you? Nope."
    a, b = noun_behind(pieces, old[1], cue.first), noun_behind(pieces, new[1], new[1] + 2)
    if words_at(pieces, old) == words_at(pieces, new) and old[1] == cue.first and cue.repair == new[0]:
        return TakeBack(((old[0], new[0]),), None, None, reported=False)  # "six and a half, call it six and a half"
    if words_at(pieces, old) == words_at(pieces, new) and (a is None or b is None or a.stem == b.stem):
        if (first := _other_unit(pieces, olds, new)) is not None:
            return _replace(pieces, start, first, new, cue.first, (first[0], new[0]))
        return None  # "three's another rinse, no, wait, three's the phosphate": no figure is taken back
    if cue.repair < new[0] and pieces[new[0] - 1].lower == "to" and pieces[new[0] - 2].kind == "number":
        return None
    return _replace(pieces, start, old, new, cue.first, _resumes(pieces, start, old, new, cue))


def _reckoned(pieces: Sequence[Piece], old: Span, new: Span, stop: int) -> bool:
    """Whether a size is followed by what it comes to: "by eighteen deep, call it sixty gallons"."""
    noun = noun_behind(pieces, new[1], new[1] + 2)
    way = _way(pieces, old, stop)
    return (
        noun is not None
        and noun.kind == "unit"
        and way not in {"", "a", "an", "per"}
        and not _way(pieces, new, len(pieces))
    )


def _less_some(pieces: Sequence[Piece], between: Span) -> bool:
    """Whether some of what was counted are told off before the count that stands."""
    return any(_part_of_them(pieces, f) for f in figures_before(pieces, *between))


def _part_of_them(pieces: Sequence[Piece], figure: Span) -> bool:
    """ "Two of those": some of what was counted before."""
    return [p.lower for p in pieces[figure[1] : figure[1] + 2]] in (["of", "those"], ["of", "them"], ["of", "these"])


def _summed(pieces: Sequence[Piece], old: Span, new: Span, stop: int) -> bool:
    """ "Two kilowatts on each burner, so call it eight for the whole row": of one, and what all come to."""
    behind = {p.lower for p in pieces[new[1] : sentence_stop(pieces, new[1], 8)]} if new[1] < len(pieces) else set()
    return bool({p.lower for p in pieces[old[1] : stop]} & EACH and behind & ALL)


def _whole(pieces: Sequence[Piece], figure: Span) -> Span:
    """ "Horse and a half": of the part that is read as a figure the whole, which begins with its unit."""
    a, b = figure
    parts = b - a == 1 and pieces[a].lower in {"half", "quarter", "third"}
    if not parts or a < 3 or [p.lower for p in pieces[a - 2 : a]] != ["and", "a"] or pieces[a - 3].kind != "unit":
        return figure
    return (a - 3, b) if a < 4 or pieces[a - 4].kind != "number" or pieces[a - 4].comma else figure


def _other_unit(pieces: Sequence[Piece], olds: list[Span], new: Span) -> Span | None:
    """ "Forty psi, forty bar, sorry, forty bar": the first of two, where the same figure had another unit."""
    if len(olds) < 2 or words_at(pieces, olds[-2]) != words_at(pieces, new) or not pieces[olds[-1][0] - 1].comma:
        return None
    return olds[-2] if units_differ(pieces, olds[-2], new, olds[-1][0]) else None


def _asked_back(pieces: Sequence[Piece], olds: list[Span]) -> Span | None:
    """ "Sixteen moulds. Sixteen? No. Fourteen": the figure said again alone, as a question; where it was said first."""
    if len(olds) < 2:
        return None
    first, again = olds[-2:]
    alone = pieces[again[0] - 1].ends and pieces[again[1] - 1].ends
    return first if alone and words_at(pieces, first) == words_at(pieces, again) else None


def _counterpart(pieces: Sequence[Piece], olds: list[Span], new: Span, cue: Cue) -> Span:
    """Of the figures before the cue the last that is counted in what the new one is counted in, else the last: "two
    thirty volts three phase, I should say four sixty volts"."""
    again = said_again(pieces, new)
    noun = noun_behind(pieces, (again or new)[1], (again or new)[1] + 2)
    if words_at(pieces, olds[-1]) == words_at(pieces, new) and units_differ(pieces, olds[-1], new, cue.first):
        return olds[-1]  # "24 inches by 28 feet deep, I'm sorry, 28 inches"
    if olds[-1][1] == cue.first:
        return olds[-1]  # "goes in at eighty degrees and out at a hundred and ten, no, a hundred and five degrees"
    if noun is not None:
        for old in reversed(olds):
            other = noun_behind(pieces, old[1], min(cue.first, old[1] + 2))
            if other is not None and other.stem == noun.stem:
                return old
    return olds[-1]


def _standing(pieces: Sequence[Piece], cue: Cue) -> Span | None:
    """The figure that stands: right behind the cue, or where the cue is sure, a few words on ("the tag says")."""
    stop = sentence_stop(pieces, cue.last, 14) if cue.last < len(pieces) else cue.last
    at = cue.repair
    if at < stop and pieces[at].lower == "not":  # "no, not ten, fifteen"
        end = figure_at(pieces, at + 1, stop)
        if end > at + 1:
            at = end
            while at < stop and pieces[at].kind == "unit":
                at += 1
    if at + 3 < stop and pieces[at].kind == "points" and pieces[at + 2].lower in ATTRIBUTING:
        at += 3  # "the plate says"
    elif at + 2 < stop and pieces[at].kind == "content" and pieces[at + 1].lower in ATTRIBUTING:
        at += 2  # "tape says"
    furthest = at + (6 if cue.sure else 3)
    subject = _subject(pieces, cue.first)
    while at < min(stop, furthest):
        end = figure_at(pieces, at, stop)
        if end > at:
            return at, end
        if pieces[at].kind == "asks" or pieces[at].ends:
            return None
        again = _stem(pieces[at]) in subject  # "the lid is two, sorry, the lid's two and a half"
        if not cue.sure and not again and pieces[at].lower not in LEAD_IN | {pieces[cue.first - 1].lower}:
            return None
        at += 1
    return None


def _stem(piece: Piece) -> str:
    return piece.stem.removesuffix("'s")


def _subject(pieces: Sequence[Piece], stop: int) -> set[str]:
    """The nouns before the last figure of a sentence that goes up to stop."""
    start = sentence_start(pieces, max(stop - 1, 0), 30)
    figures = figures_before(pieces, start, stop)
    return {_stem(p) for p in pieces[start : figures[-1][0]] if p.kind in {"content", "name"}} if figures else set()


def _explained(pieces: Sequence[Piece], start: int, cue: Cue) -> TakeBack | None:
    """ "Sixty foot tall, no, I'm thinking of the one that blew down, it's seventy foot": a reason without a figure
    comes between the cue and what stands; both figures are of one unit and of one property."""
    olds = figures_before(pieces, max(start, cue.first - REACH), cue.first)
    if not olds or cue.first - olds[-1][1] > 4:
        return None
    old = olds[-1]
    ends = 0
    at = cue.last
    given_away = False
    while True:
        if at >= min(len(pieces), cue.last + EXPLAINED) or ends > 2:
            return None
        if pieces[at].lower in {"one", "one's"} and pieces[at - 1].lower in POINTING:
            at += 1  # "no, that's the one over there, this one's six foot"
            continue
        end = figure_at(pieces, at, len(pieces))
        again = words_at(pieces, (at, end)) == words_at(pieces, old) or pieces[at].lower == "one"
        given_away = given_away or pieces[at].lower in GIVING_AWAY
        again = again or (end > at and _part_of_them(pieces, (at, end)))
        if end > at and not again:
            new = (at, end)
            old = _last_counted_alike(pieces, olds, new, cue.first)
            break
        ends += any(p.ends for p in pieces[at : max(end, at + 1)])
        at = max(end, at + 1)
    lead = at
    while lead > cue.last and pieces[lead - 1].lower in LEAD_IN - {"is", "was", "and", "okay", "right"}:
        lead -= 1
    ways = _way(pieces, old, cue.first), _way(pieces, new, len(pieces))
    if ways[0] and ways[0] == ways[1] and at == lead and pieces[at - 1].comma and not ends:
        # "300 wide, no, I'll put the tape on it, 400 wide"
        return _replace(pieces, start, old, new, cue.first, (_dimensions(pieces, old, new), new[0]))
    if (
        at == lead
        and not ends
        and cue.phrases != ("well",)
        and _said_alike(pieces, old, (at, figure_at(pieces, at, len(pieces))))
    ):
        return _replace(pieces, start, old, new, cue.first, (_dimensions(pieces, old, new), new[0]))
    if given_away and at == lead and pieces[at - 1].ends and _cut_off_or_alike(pieces, old, new, cue):
        return _replace(pieces, start, old, new, cue.first, (_dimensions(pieces, old, new), new[0]))
    subject = _subject(pieces, cue.first)
    its = pieces[lead - 1].lower.endswith("'s") and _stem(pieces[lead - 1]) in {
        _stem(p) for p in pieces[max(start, old[0] - REACH) : cue.first] if p.kind in {"content", "name", "acts"}
    }  # "a nine horse drive, no, that's the lift, drive's eleven"
    if (
        lead == cue.last
        or (pieces[lead - 1].lower not in TURNS and not its)
        or (lead - 2 >= cue.last and _other_thing(pieces, lead - 1, subject))
    ):
        return None
    if not (_year(pieces, old) and _year(pieces, new)):
        a, b = noun_behind(pieces, old[1], cue.first), noun_behind(pieces, new[1], new[1] + 3)
        bare = a is None and (old[1] == cue.first or _less_some(pieces, (cue.last, new[0])))
        same = bool(_nouns(pieces, old[1], cue.first) & _nouns(pieces, new[1], len(pieces)))
        if (
            (a is None and not bare)
            or (a and b and a.stem != b.stem and not same)
            or (all(ways) and ways[0] != ways[1])
        ):
            return None
    if words_at(pieces, old) == words_at(pieces, new):
        return None
    return _replace(pieces, start, old, new, cue.first, (_dimensions(pieces, old, new), new[0]))


def _cut_off_or_alike(pieces: Sequence[Piece], old: Span, new: Span, cue: Cue) -> bool:
    """ "Good for six fifty... nope. That's some other job. Nine hundred gallons a minute": the first was broken off
    before its unit, or both have one unit."""
    unit = pieces[new[1]] if new[1] < len(pieces) and not pause_before(pieces, new[1]) else None
    if unit is None or unit.kind not in {"unit", "content"}:
        return False
    behind = with_unit(pieces, new, len(pieces))
    if behind < len(pieces) and not pause_before(pieces, behind) and pieces[behind].lower in PLACED:
        return False  # "five horse, wait, the other fan is off. Two horse on the pump"
    return old[1] == cue.first or (not pause_before(pieces, old[1]) and pieces[old[1]].stem == unit.stem)


def _said_alike(pieces: Sequence[Piece], old: Span, new: Span) -> bool:
    """ "28 kilohertz, hang on, that's the old one, 40 kilohertz": behind a pause, with the same unit; "built in 2004,
    no, that's the serial, built in 2007": the two words before both are the same."""
    words = [[p.lower for p in pieces[max(0, s[0] - 2) : s[0]]] for s in (old, new)]
    if words[0] == words[1] and len(words[0]) == 2 and new[0] > 2 and pieces[new[0] - 3].comma:
        return True
    units = [pieces[s[1]] if s[1] < len(pieces) else None for s in (old, new)]
    a, b = units
    return (
        pieces[new[0] - 1].comma and a is not None and b is not None and a.kind == b.kind == "unit" and a.stem == b.stem
    )


def _last_counted_alike(pieces: Sequence[Piece], olds: list[Span], new: Span, stop: int) -> Span:
    """ "Eight die clamps, four up and four down. No wait, they added some. It's twelve clamps.": the last figure
    that counts what the new one counts, where the very last counts nothing; else the last."""
    last = olds[-1]
    if _nouns(pieces, last[1], stop):
        return last
    nouns = _nouns(pieces, new[1], len(pieces))
    return next((o for o in reversed(olds) if nouns & _nouns(pieces, o[1], stop)), last)


def _other_thing(pieces: Sequence[Piece], turn: int, subject: set[str]) -> bool:
    """Whether the word that leads to a figure is of a thing named right before it: "the other one is twelve"; subject
    is what the figure taken back was said of."""
    before = pieces[turn - 1].lower
    if before == "one":
        before = pieces[turn - 2].lower
    if pieces[turn].lower == "one's":
        return before not in {"this", "that"}
    if pieces[turn].lower in {"is", "was", "has", "takes", "holds", "makes", "weighs"} and subject & {
        _stem(pieces[turn - 1])
    }:
        return False  # "the feed pump is four kilowatts, no, that's the booster, the feed pump is three"
    if pieces[turn].lower in {"says", "reads", "make", "say", "be", "so"} or pieces[turn].lower.endswith(("'s", "'re")):
        return False
    return pieces[turn].lower != "it" and before not in OWN - {"one"}


def _way(pieces: Sequence[Piece], span: Span, stop: int) -> str:
    """The word of direction or of time behind a figure's unit ("tall", "minute"), else nothing."""
    for k in range(span[1], min(stop, span[1] + 4, len(pieces))):
        if pieces[k].lower in WAYS:
            return pieces[k].lower
        if pieces[k].ends or pieces[k].comma:
            break
    return ""


def _alike(pieces: Sequence[Piece], old: Span, new: Span, cue: Cue) -> bool:
    """Whether a figure behind a cue of many uses stands in the place of the one before: counted in the same things, or
    the one of them in nothing, or both in units; and the figure taken back was the last thing said."""
    a = noun_behind(pieces, old[1], cue.first)
    b = noun_behind(pieces, new[1], min(len(pieces), new[1] + 3))
    if pieces[cue.last - 1].ends and cue.last < len(pieces):
        # "Hold on. Two pumps here": another sentence, another matter, unless it is counted in the same things
        return bool(a and b and a.stem == b.stem)
    if pieces[new[0]].lower == "one" and new[1] - new[0] == 1 and (b is None or b.kind != "unit"):
        return bool(a and b and a.stem == b.stem)
    if a is None or b is None:
        told = pieces[cue.first - 1].lower in TELLING
        near = 12 if told or (_year(pieces, old) and _year(pieces, new)) else 4
        return cue.first - old[1] <= near
    return (
        a.stem == b.stem
        or a.kind == b.kind == "unit"
        or pieces[old[0]].lower == pieces[new[0]].lower
        or bool(_nouns(pieces, old[1], cue.first) & _nouns(pieces, new[1], len(pieces)))
    )


def _year(pieces: Sequence[Piece], span: Span) -> bool:
    """Whether a figure is written as a year of our time."""
    words = [part for p in pieces[slice(*span)] for part in p.lower.split("-")]
    if len(words) == 1:
        return words[0].isdigit() and 1900 <= int(words[0]) <= 2099
    return (words[:1] == ["nineteen"] and len(words) <= 3) or words[:2] == ["two", "thousand"] or words[0] == "twenty"


def _nouns(pieces: Sequence[Piece], i: int, stop: int) -> set[str]:
    """The nouns of the phrase behind a figure; of "two, two temperature controllers" those two."""
    found: set[str] = set()
    for k in range(i, min(stop, i + 5)):
        if pieces[k].kind in {"content", "unit"}:
            found.add(pieces[k].stem)
        elif pieces[k].kind not in {"describes", "number"}:
            break
        if pieces[k].ends or (pieces[k].comma and pieces[k].kind != "number"):
            break
    return found


def _either_or(pieces: Sequence[Piece], olds: list[Span], new: Span, cue: Cue) -> TakeBack | None:
    """ "Fifty two feet, or is it fifty six, hold on, fifty six"; "five pumps, or six, no five"."""
    first, second = olds[-2], olds[-1]
    between = [p.lower for p in pieces[first[1] : second[0]]]
    if "or" not in between:
        return None
    words = [words_at(pieces, s) for s in (first, second, new)]
    either = first[1] + between.index("or")
    if words[2] == words[1]:
        return TakeBack(
            dropped=((first[0], new[0]),),
            withdrawn=(first[0], either),
            kept=new,
            heard=(first[0], with_unit(pieces, first, either)),
            borrowed=borrowed_tail(pieces, first, new, either),
        )
    if words[2] == words[0]:
        return TakeBack(dropped=((either, with_unit(pieces, new, new[1] + 2)),), withdrawn=second, kept=first, read=new)
    return None


def _resumes(pieces: Sequence[Piece], start: int, old: Span, new: Span, cue: Cue) -> tuple[int, int]:
    """Where the taken-back words begin and where reading goes on. Words repeated from before the figure go with it
    ("four through seven, no, four through eight"), words that lead to the new figure stay ("the tag says")."""
    begin, resume = _dimensions(pieces, old, new), cue.repair
    head = pieces[cue.repair].lower
    for i in range(old[0] - 1, max(start, old[0] - 6) - 1, -1):
        if pieces[i].lower == head and pieces[i].kind != "joins":
            return i, cue.repair
    if pieces[cue.repair].lower == "not":
        resume = new[0]
    elif cue.repair < new[0] and all(p.lower in LEAD_IN for p in pieces[cue.repair : new[0]]):
        resume = new[0] if pieces[old[0] - 1].kind == pieces[new[0] - 1].kind else cue.repair
    return begin, resume


def _dimensions(pieces: Sequence[Piece], old: Span, new: Span) -> int:
    """Where a row of figures with "by" that ends in the old one begins, as many as the new one leads: "four by eight,
    sorry, five by ten"."""
    links, at = 0, new[1]
    while at + 1 < len(pieces) and pieces[at].lower == "by" and pieces[at + 1].kind == "number":
        at = figure_at(pieces, at + 1, len(pieces))
        links += 1
    begin = old[0]
    while links and begin >= 2 and pieces[begin - 1].lower == "by" and pieces[begin - 2].kind == "number":
        begin -= 2
        while begin > 0 and pieces[begin - 1].kind == "number" and not pieces[begin - 1].comma:
            begin -= 1
        links -= 1
    return begin


def _last_dimension(pieces: Sequence[Piece], at: int) -> int:
    """Where a row of figures with "by" ends, of which the first ends at `at`."""
    while at + 1 < len(pieces) and pieces[at].lower == "by" and pieces[at + 1].kind == "number":
        at = figure_at(pieces, at + 1, len(pieces))
    return at


def _replace(
    pieces: Sequence[Piece], start: int, old: Span, new: Span, cue_first: int, ends: tuple[int, int]
) -> TakeBack:
    begin, resume = ends
    whole = _dimensions(pieces, old, new)
    if begin == old[0]:
        begin = behind_century(pieces, old, new)
    dropped = [(begin, resume)]
    stands = new
    if begin < old[0] and pieces[begin].kind == "number":
        # a range said anew: "four through seven, no, four through eight"
        wide = new[1]
        for k in range(new[1], min(len(pieces), new[1] + 3)):
            end = figure_at(pieces, k, len(pieces))
            if end > k:
                wide = end
                break
        stands = (new[0], wide)
        old = (begin, old[1])
    if whole < old[0]:
        old, stands = (whole, old[1]), (stands[0], _last_dimension(pieces, stands[1]))
    again = said_again(pieces, stands)
    if again is not None:
        dropped.append((stands[0], again[0]))
        stands = again
    read_end = with_unit(pieces, stands, len(pieces))
    tail = borrowed_tail(pieces, old, stands, cue_first)
    return TakeBack(
        dropped=tuple(dropped),
        withdrawn=(old[0], cue_first),
        kept=(stands[0], read_end),
        heard=(old[0], with_unit(pieces, old, cue_first)),
        read=(stands[0], read_end),
        borrowed=tail,
    )
