"""A figure said over at once, without a word that takes anything back: "a throw of nine inches. Seven inches.";
"it holds eighty, what's this, eighty two gallons"; "40 feet, that was the old one, here it's 55 feet".

What shows it is that nothing but the figure is said again, or a glance between a figure without a unit and one with it,
or words that give the first to another machine. Two figures without one of these are two facts.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from extractors.figures_said import noun_behind, with_unit, words_at
from extractors.mentions import Span
from extractors.second_looks import LOOKED
from extractors.takebacks import TakeBack, figure_at, figures_before, pause_before, sentence_start
from extractors.word_classes import Piece, word_set

YEAR = re.compile(r"(?:19|20)\d\d")
GAP, SHORT, REMARK, BACK = 9, 4, 13, 24
"""Words of a glance between both figures, of the new figure's unit, of a remark on another machine, and back in the
sentence of the old figure; chosen, no source."""
GLANCING = word_set("what's what let look wait ah oh hm where's squinting")
"""Words with which a glance aside begins."""
HUMS = word_set("hm huh well no ah oh")
OWN = word_set("really actually rather properly strictly truly")
"""Words that close a figure put in the place of another: "four metres, four and a half really"."""
RATES = frozenset({"a", "an", "per"})
DISOWNS = frozenset({"that's", "that", "those", "they're", "it"})
ELSEWHERE = word_set("other old last next neighbour neighbouring laundry first previous for over elsewhere")
"""Words that give a figure to another machine, behind "that's" or "that was"."""
HERE = word_set("here ours this mine these")
IS = word_set("is it's that's one one's are")


def said_over(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """The take-back of the figure before by the one that begins at i; None where there is none."""
    if i < 2 or pieces[i].kind != "number":
        return None
    new = (i, figure_at(pieces, i, len(pieces)))
    if new[1] == i or words_at(pieces, new) == ["one"]:
        return None
    old = _last_figure(pieces, i)
    if old is None or words_at(pieces, old) == words_at(pieces, new) or words_at(pieces, old) == ["one"]:
        return None
    if not pause_before(pieces, i):
        return _ours(pieces, old, new)
    return (
        _alone(pieces, old, new)
        or _really(pieces, old, new)
        or _with_its_unit(pieces, old, new)
        or _with_its_name(pieces, old, new)
        or _ours(pieces, old, new)
    )


def _last_figure(pieces: Sequence[Piece], i: int) -> Span | None:
    found = figures_before(pieces, max(0, i - BACK), i)
    return found[-1] if found else None


def _unit_end(pieces: Sequence[Piece], figure: Span) -> int:
    """Where the unit of a figure ends, with what it is counted in ("tonnes a square metre"); its own end if it has
    none."""
    end = figure[1]
    if end >= len(pieces) or pieces[end - 1].ends or pieces[end - 1].comma or pieces[end].kind != "unit":
        return end
    end = with_unit(pieces, figure, len(pieces))
    if end + 1 < len(pieces) and not pause_before(pieces, end) and pieces[end].lower in RATES:
        rate = end + 1 + (pieces[end + 1].lower in {"square", "cubic"})
        if rate < len(pieces) and pieces[rate].kind == "unit":
            return rate + 1
    return end


def _unhummed(pieces: Sequence[Piece], i: int) -> int:
    """Where the hums before piece i begin."""
    while i > 0 and pieces[i - 1].lower in HUMS:
        i -= 1
    return i


def _alone(pieces: Sequence[Piece], old: Span, new: Span) -> TakeBack | None:
    """ "A throw of nine inches. Seven inches.": a sentence of nothing else, in the unit that closed the one before."""
    ends = _unit_end(pieces, old), _unit_end(pieces, new)
    start = sentence_start(pieces, old[0], BACK)
    if (
        ends[0] != _unhummed(pieces, new[0])
        or ends[1] == new[1]
        or not pieces[new[0] - 1].ends
        or not pieces[ends[1] - 1].ends
    ):
        return None
    units = [[p.stem for p in pieces[s[1] : end]] for s, end in zip((old, new), ends, strict=True)]
    after = figure_at(pieces, ends[1], len(pieces))
    further = after > ends[1] and after < len(pieces) and pieces[after].stem == pieces[new[1]].stem
    row = any([pieces[b].stem] == units[0][:1] for _, b in figures_before(pieces, start, old[0] - 2))
    if units[0] != units[1] or start == old[0] or further or row:
        return None  # "Gauges read forty psi. Fifty psi. Sixty psi."
    return TakeBack(((old[0], new[0]),), (old[0], new[0]), (new[0], ends[1]))


def _really(pieces: Sequence[Piece], old: Span, new: Span) -> TakeBack | None:
    """ "Four tonnes a metre, three tonnes a square metre really": a word that puts it right closes the second."""
    ends = _unit_end(pieces, old), _unit_end(pieces, new)
    at = ends[1]
    if (
        ends[0] != _unhummed(pieces, new[0])
        or ends[1] == new[1]
        or ends[0] == old[1]
        or at >= len(pieces)
        or pause_before(pieces, at)
    ):
        return None
    if pieces[at].lower not in OWN or not (pieces[at].comma or pieces[at].ends):
        return None
    if pieces[old[1]].stem != pieces[new[1]].stem:
        return None
    return TakeBack(((old[0], new[0]), (at, at + 1)), (old[0], new[0]), (new[0], at))


def _with_its_unit(pieces: Sequence[Piece], old: Span, new: Span) -> TakeBack | None:
    """ "It holds eighty, what's this, eighty two gallons": broken off before its unit, and said whole after a glance;
    "of thirty... thirty two millimetres", where the first word is said again."""
    gap = pieces[old[1] : new[0]]
    if gap and YEAR.fullmatch(pieces[old[0]].lower):
        return None  # "refitted in 2011. The tag says nine thousand pounds"
    if not pause_before(pieces, old[1]) or len(gap) > GAP or pieces[old[0] - 1].kind in {"content", "name", "unit"}:
        return None  # "boiler two. Four tonnes": a number is part of a name
    noun = noun_behind(pieces, new[1], new[1] + 2) if not pause_before(pieces, new[1]) else None
    seen = {p.lower.removesuffix("'s") for p in gap} & LOOKED
    if gap and (gap[0].kind == "joins" or not (seen or gap[0].lower in GLANCING)):
        return None
    words = words_at(pieces, old), words_at(pieces, new)
    begun = words[0] == words[1][: len(words[0])] or words[1] == words[0][: len(words[1])]
    if not gap and (not begun or noun is None):
        return None
    if not gap and noun is not None and noun.kind != "unit" and not pause_before(pieces, old[0]):
        return None  # "thirty, thirty one holders in the drawer" opens a sentence
    if noun is None and not (gap and seen and pieces[old[1] - 1].comma and pause_before(pieces, new[1])):
        return None
    if any(p.kind == "asks" for p in gap[1:]) or any(p.ends for p in gap[:-1]):
        return None
    return TakeBack(((old[0], new[0]),), old, (new[0], with_unit(pieces, new, len(pieces))))


def _with_its_name(pieces: Sequence[Piece], old: Span, new: Span) -> TakeBack | None:
    """ "The throw's 250. Hmm, two hundred throw.": the thing that the first was said of stands behind the second."""
    at = new[1]
    if (
        old[1] != _unhummed(pieces, new[0])
        or at >= len(pieces)
        or pause_before(pieces, at)
        or pieces[at].kind != "content"
    ):
        return None
    lead = pieces[old[0] - 1]
    named = lead if lead.lower.endswith("'s") else pieces[old[0] - 2] if lead.lower in {"is", "was"} else None
    if named is None or old[0] < 2 or named.stem.removesuffix("'s") != pieces[at].stem:
        return None
    if not (pieces[at].comma or pieces[at].ends) or not pieces[new[0] - 1].ends:
        return None
    return TakeBack(((old[0], new[0]), (at, at + 1)), old, new)


def _ours(pieces: Sequence[Piece], old: Span, new: Span) -> TakeBack | None:
    """ "40 feet, that was over at the other yard, here it's 55 feet": the first is given to another machine, and the
    second, in the same unit, to this one."""
    ends = _unit_end(pieces, old), _unit_end(pieces, new)
    if ends[0] == old[1] or ends[1] == new[1] or pieces[old[1]].stem != pieces[new[1]].stem:
        return None
    at = next((k for k in range(ends[0], min(new[0], ends[0] + SHORT)) if pause_before(pieces, k)), None)
    if at is None or new[0] - at > REMARK or pieces[at].lower not in DISOWNS:
        return None
    turn = next((k for k in range(new[0] - 1, at, -1) if pause_before(pieces, k) and pieces[k].lower in HERE), None)
    if turn is None or new[0] - turn > SHORT or not {p.lower for p in pieces[turn : new[0]]} & (IS | {"ours"}):
        return None
    remark = pieces[at:turn]
    if pieces[at].lower in {"that", "those", "it"} and remark[1:2] and remark[1].lower not in {"was", "is", "were"}:
        return None
    if not {p.lower for p in remark[1:]} & ELSEWHERE:
        return None
    return TakeBack(((old[0], new[0]),), (old[0], ends[0]), (new[0], ends[1]), heard=(old[0], ends[0]))
