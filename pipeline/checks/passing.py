"""Passing: what a machine takes at most against what is run on it, told by the words around the figures."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from pipeline.checks.facts import facts, is_whole, noun_class, size, slack
from pipeline.checks.nearby import lead, most, parted
from pipeline.checks.offers import verdict
from pipeline.checks.subjects import alike, head, singular, words
from pipeline.checks.told import settled
from pipeline.checks.wording import clean, moment, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

TOGETHER = 25.0
"""Seconds within which what a machine takes and what is run on it belong together; common practice, no source."""
BESIDE = 12.0
"""The same for a thing of a name of its own; common practice, no source."""
TAKES = re.compile(
    r"\b(max\w*|biggest|largest|widest|tallest|longest|thickest|fattest|at most|no more than|up to"
    r"|(?:it'll|she'll|he'll|'ll|will|can|can't|could|won't) (?:only )?"
    r"(?:take|swallow|handle|run|accept|do|pass|swing)|takes|accepts|handles"
    r"|working (?:width|height|length)|clearance|passes|bore|throat|swing)\b"
)
"""Words of what a machine takes at most."""
RUN = re.compile(
    r"\b(running|they(?:'ve been| were|'d| would)? (?:run|ran|put|feed|fed|cut|do|did)"
    r"|we (?:run|ran|put|feed|fed|cut|do|did)|comes? in|came in|average|typical\w*|usual\w*|mostly|right now"
    r"|at the moment|today|last (?:week|job|order|run|batch)|loaded|going through|goes through|went through|on it now"
    r"|in it now|the job|the stock|finished on|been (?:running|doing))\b"
)
"""Words of what is or was run on it."""
STOCK = frozenset(
    "log board plank bar tube pipe web roll reel coil cloth fabric stock butt sheet blank panel film foil carpet glass "
    "material plate billet mould mold die pallet case box bag bale roll bundle bottle can tray pan rack part piece job "
    "slab stem strip paper cardboard veneer stone tile hide wheel tire tyre shaft drum casting workpiece".split()
)
_STANDS = re.compile(r"\b(behind|beside|next to|in front of|alongside|opposite|against) (it|them|the|that|this)\b")
"""Words of a thing that stands by the machine and does not run through it."""
_CLEAR = re.compile(
    r"^\W*(?:wide |high |clear )?(?:in )?between (?:the |its )?"
    r"(?:frames?|sides?|uprights?|columns?|posts?|rails?|walls?|tie ?(?:bars?|rods?)|housings?|standards?|guides?)\b"
)
"""Words right behind a size that is clear inside: nothing wider passes."""
_CLEAR_FIRST = re.compile(
    r"\bbetween (?:the |its )?(?:frames?|sides?|uprights?|columns?|posts?|walls?|tie ?(?:bars?|rods?)|housings?"
    r"|standards?|guides?),? (?:it's|its|it is|is|we have|you(?:'ve| have)? got|there's|that's|i get|measures)"
    r"(?: \w+)?\W*$"
)
"""The same in front of it: "between the housings it's ten foot six"."""
_WORKED = re.compile(
    r"\b(?:bent|bend|bends|folded|fold|folds|sheared|shear|cut|cuts|rolled|roll|rolls|planed|sawn|milled|turned|punched"
    r"|pressed|formed|ground|welded|run|ran|put|fed|done|do|does|did)\b"
)
"""Words of work that was done on it."""
_TABLES = frozenset("table bed platen belt apron conveyor mat".split())
_PLAIN = ("width", "height", "depth", "diameter", "thickness", "length")
WAYS = {
    "width": "wide", "height": "high", "depth": "deep", "diameter": "across", "thickness": "thick", "length": "long",
}  # fmt: skip
"""The word behind a size of a property: "seven feet wide"."""


def more_than_it_takes(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Maximum web width is thirteen inches", and "the roll on it right now is sixteen inches wide".

    Arithmetic: what is run ≤ what is taken at most, width with width, diameter with diameter. Tolerance: the wording's.
    The limit is told by the words around it (TAKES); what is run by its noun or by words of use (RUN), within 25 s;
    of a table, bed or belt the width, against the widest piece said to be taken, within 12 s. More than three times
    the limit is of something else. Always a question: stock may hang over, or have been run on another machine.
    Source: plain geometry.
    """
    rule = "more_than_it_takes"
    index = facts(walk)
    opening, product = noun_class(vocabulary, "opening"), noun_class(vocabulary, "product") | STOCK
    sizes = [q for q in index.of(*_PLAIN) if size(q, "metre")]
    for top in sizes:
        own = head(top.subject)
        limit = _takes(top)
        bed = (own in _TABLES and top.property == "width") or _clear(top)
        if not (limit or bed or own in opening):
            continue
        for run in sizes:
            if run is top or run.property != top.property or run.id == top.id or _STANDS.search(run.around or ""):
                continue
            if head(run.subject) in opening and not _of_stock(run, product):
                continue
            gap = abs(moment(run) - moment(top))
            stock = head(run.subject) in product or _of_stock(run, product)
            used = bool(RUN.search(run.around or ""))
            whole = is_whole(walk, run.subject) and not used and not _of_stock(run, product)
            # the working width of the conveyor holds for all of a line, wherever its biggest board is told
            if _of_the_line(top) and _biggest(run, product):
                gap, stock, whole = 0.0, True, False
            # "they've bent fourteen foot sheets on it between the housings"
            worked = _clear(top) and stock and gap <= BESIDE and bool(_WORKED.search(run.around or ""))
            if whole or gap > TOGETHER or not (stock or used):
                continue
            if own in opening and stock and not limit and head(run.subject) not in opening:
                continue  # part_and_opening's
            if used and not stock and (gap > BESIDE or moment(run) < moment(top)):
                continue
            takes = gap <= BESIDE and stock and bool(TAKES.search(run.around or ""))
            if bed and not limit and not takes and not worked:
                continue
            named = head(run.subject) in product or not stock
            if alike(run.subject, top.subject) == "same" and named and not (used and limit):
                continue  # same_figure_twice
            if run.around == top.around and not used and not bed:
                continue  # "up to sixty wide and forty long": two sizes of one sentence
            if (_metres(run) > 3 * _metres(top)) or (limit and _takes(run) and not bed):
                continue
            word = WAYS[run.property]
            message = (
                f"{said(run)} {word} ({clean(run.subject) or 'what is run'}) is more than the {said(top)} {word} "
                f"({clean(top.subject) or 'machine'}) that it takes: measure both, and ask what was really run on it."
            )
            yield from verdict(rule, [run, top], _no_more, message, level="check")


_ROLLS = frozenset("roll roller face barrel".split())
_WEB = frozenset(
    "strip coil web sheet foil film paper board cloth fabric carpet veneer plate glass stock material felt band".split()
)
_ROLL_ENDS = re.compile(r"\b(?:hold-?down|pinch|idler|guide|side|edge|print\w*|anilox|dia\w*|core|finished|parent)\b")


def wider_than_its_rolls(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "It'll swallow strip up to fifty-four inches wide", and minutes later "the rolls are 1250 millimetres across".

    Arithmetic: width of what a line is said to take or run ≤ face width of the rolls it passes. Tolerance 2 % plus
    wording. Only where the walk tells one width of rolls, and a width beside a noun of stock with words of taking or
    running; more than twice the rolls is of something else. Always a question: it may be slit before.
    Source: plain geometry.
    """
    rule = "wider_than_its_rolls"
    index = facts(walk)
    widths = [q for q in index.of("width") if size(q, "metre")]
    rolls = [q for q in widths if head(q.subject) in _ROLLS and not _ROLL_ENDS.search(f"{q.subject} {lead_of(q)}")]
    rolls = [q for q in rolls if not _takes(q)]
    if len({round(_metres(q), 3) for q in rolls}) != 1:
        return
    face = rolls[0]
    for run in widths:
        if run in rolls or head(run.subject) in _ROLLS or not _of_stock(run, _WEB):
            continue
        if not (_takes(run) or RUN.search(run.around or "")) or _metres(run) > 2 * _metres(face):
            continue
        if settled(walk, run, face):
            continue  # more_than_it_takes has compared them
        message = (
            f"{said(run)} wide ({clean(run.subject) or 'what is run'}) is more than the {clean(face.subject)} are "
            f"across, {said(face)}: measure the rolls, and ask what was really run."
        )

        def holds(run: Quantity, face: Quantity) -> bool:
            return most(run, "metre") <= most(face, "metre") * (1.02 + slack(run, face))

        yield from verdict(rule, [run, face], holds, message, level="check")


def lead_of(q: Quantity) -> str:
    """The six words right before a size."""
    return " ".join(lead(q)[-6:])


def _takes(q: Quantity) -> bool:
    """Whether a size is told as the most that is taken: by a word of it in its sentence before the next size."""
    filed = bool(TAKES.search(f"{q.subject} {q.qualifier or ''}".lower())) and not RUN.search(q.around or "")
    return bool(TAKES.search(parted(q)[0])) or filed  # "the sheet they ran", filed under the throat, is none


def _clear(q: Quantity) -> bool:
    """Whether a size is told as that between the frames of the machine."""
    before, behind = parted(q)
    return bool(_CLEAR.search(behind)) or bool(_CLEAR_FIRST.search(before))


def told_of_what_passes(a: Quantity, b: Quantity) -> bool:
    """Whether one of two sizes is the most that is taken, or clear inside, and the other is not: of two things,
    whatever they were filed under."""
    return a.property in _PLAIN and (_takes(a) != _takes(b) or _clear(a) != _clear(b))


def _of_stock(q: Quantity, product: frozenset[str]) -> bool:
    """Whether one of the five words before a size is a noun of what is run, whatever it was filed under."""
    return any(singular(w.strip(".,")) in product for w in parted(q)[0].split()[-5:])


_CARRYING = frozenset("conveyor belt chain line machine bed table".split())


def _of_the_line(q: Quantity) -> bool:
    return q.property == "width" and q.qualifier in ("working", "usable", "clear") and head(q.subject) in _CARRYING


def _biggest(q: Quantity, product: frozenset[str]) -> bool:
    """ "The biggest board one can run is 720 millimetres wide"."""
    told = lead(q)
    big = {"biggest", "widest", "largest", "maximum", "max", "greatest"} & {*told}
    return bool(big) and any(singular(w) in product for w in told)


def _metres(q: Quantity) -> float:
    return size(q, "metre") or 0.0


def _no_more(run: Quantity, limit: Quantity) -> bool:
    return most(run, "metre") <= most(limit, "metre") * (1.0 + slack(run, limit)) + 1e-9


def wider_than_it_runs_through(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The dryer's seven feet wide; the dryer belt is eight feet wide": what runs in a thing is narrower than it.

    Arithmetic: width of belt, chain or web ≤ width of what its words name ("the belt in the oven"), or of the station
    it is called after, within 25 s. Tolerance 2 % plus wording; always a question. Source: plain geometry.
    """
    rule = "wider_than_it_runs_through"
    index = facts(walk)
    passage, conveyance = noun_class(vocabulary, "passage"), noun_class(vocabulary, "conveyance")
    inside = (passage - conveyance) | {"cooler", "freezer", "tunnel"}
    for belt in index.of("width"):
        if head(belt.subject) not in conveyance | {"shelf", "tray", "cart", "screen"}:
            continue
        named = {*words(belt.subject), *words(belt.around or "")}
        for outer in index.of("width"):
            station = head(outer.subject)
            if outer is belt or station not in inside or station not in named:
                continue
            if abs(moment(belt) - moment(outer)) > TOGETHER or _metres(belt) > 3 * _metres(outer):
                continue
            message = (
                f"{clean(belt.subject)} {said(belt)} wide does not run in a {clean(outer.subject)} {said(outer)} wide: "
                "which of the two was measured? Measure both."
            )

            def holds(belt: Quantity, outer: Quantity) -> bool:
                return _metres(belt) <= _metres(outer) * (1.02 + slack(belt, outer))

            yield from verdict(rule, [belt, outer], holds, message, level="check")


RULES = (more_than_it_takes, wider_than_its_rolls, wider_than_it_runs_through)
