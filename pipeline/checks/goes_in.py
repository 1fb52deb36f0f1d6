"""Goes in: sizes of what is put in a machine against the room that was told for it, by the words around both.

The rules of fit, passing and sizes each ask for a certain pair of things. Here the part that a size plays is read off
its words: room is what opens, is clear or lies between two things, and the inside of what holds or passes goods; a most
is what a thing takes by its plate; the rest is of goods, by their noun. So the things may be of any trade.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Literal

from pipeline.checks.facts import Facts, facts, is_whole, noun_class, size, slack
from pipeline.checks.nearby import most, parted
from pipeline.checks.offers import verdict
from pipeline.checks.passing import STOCK
from pipeline.checks.subjects import head, singular, words
from pipeline.checks.told import called, pool, settled
from pipeline.checks.wording import clean, heard, moment, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]
Part = Literal["room", "most", "goods"]

_SIDES = ("length", "width", "height", "depth", "diameter", "thickness", "other")
_WITHIN = 45.0
"""Seconds between room and goods that no word joins; common practice, no source."""
_FAR = 240.0
"""Seconds between room and goods of one noun, or joined by a word; common practice, no source."""
_GREATEST = 3.0
"""Times by which goods may exceed the room and still be of one matter; common practice, no source."""

_ROOM_BEFORE = re.compile(
    r"\b(?:opens?(?: up)?(?: to)?|openin[g']?|aperture|doorway|gap|throat|clear(?:ance|s)?|free|headroom|daylight|"
    r"between (?:the |one |each |its |two |centers?\b|centres?\b)?|room (?:for|between|under|above)|mouth|"
    r"centers? distance|swing|width inside|inside (?:width|height|length|diameter|depth)|inner)\b"
)
"""Words in front of a size that is of room: "the clamp opens to", "between the uprights", "a clear height of"."""
_ROOM_BEHIND = re.compile(
    r"^\W*(?:\w+ ){0,2}?(?:clear\b|free\b|inside\b|between\b|"
    r"of (?:clear|free|head) ?(?:room|ance|height|width)?|opening\b)"
)
"""The same behind it: "ninety millimetres free", "forty inches between centers"."""
_NOT_ROOM = re.compile(r"\b(?:pitch|spac\w+|apart|stroke|travel\w*|thick\w*|from the (?:floor|wall)|off the floor)\b")
_MOST = re.compile(
    r"\b(?:max\w*|up to|as (?:wide|big|long|tall|high|thick) as|at most|no(?:thing)? (?:more|wider|longer|taller|"
    r"bigger|higher|larger|thicker) than|(?:biggest|largest|widest|longest|tallest|thickest|fattest)(?: \w+){0,2} "
    r"(?:it|she|that|this|you|we)\b|takes?|accepts?|swallows?|handles?|rated)\b"
)
_GOING = re.compile(
    r"\b(?:in there|in it|through (?:it|that|there|the)|in between|between the|goes? (?:in|under|through|on|into)|"
    r"fits?|sit\w*|lies?|lay|laid|hang\w*|load\w*|put|push\w*|feed|fed|stand\w*|pass\w*|dip\w*|hold\w*|tak\w+|on it)\b"
)
"""Words of putting a thing in another."""
_ACTUAL = re.compile(
    r"\b(?:ran|run|running|runs|cut|cutting|made|makes?|turned|turning|ground|grinding|packed|packing|printed|"
    r"they (?:use|used|load|loaded|put)|we (?:use|used|load|put)|now|regular|usual\w*|mostly|sitting|biggest|today|"
    r"yard|crate|stack|pile|rack|yours|customers?|the (?:job|order))\b"
)
_RUNS_TO = re.compile(r"\b(?:runs?|ran|go|goes|went|comes?|came|are|were|is|was) (?:\w+ )?up to\W*$")
"""The logs "run up to" so much: what there is, and no most that is taken."""
_DIPPED = frozenset("rack basket jig barrel frame hanger flight bar bus load work part cathode anode".split())
_LAID = frozenset("bed table platen deck cradle roller v-block vee".split())
_BORES = frozenset("bore hole collet".split())
"""Holes that are told by their size alone."""
_HOLDS = frozenset(
    "tank tunnel chamber booth oven furnace kiln autoclave retort washer cabinet pit magazine spiral tier shelf slot "
    "enclosure blaster freezer cooler tumbler dryer".split()
)
"""Things whose own size is room for what is put in them."""
_GOODS = STOCK | frozenset(
    "loaf cheese cylinder shaft bolster stillage cart trolley body car carcass log jar keg roll spool coil joint pipe "
    "profile strip reel hanger basket rack jig mould mold die bale bundle crate carton tote tray pallet".split()
)
_PARTS = frozenset(
    "plate roll tube pipe wheel die mould mold drum cylinder shaft barrel body frame bar coil cart belt film foil "
    "table reel spool profile glass board web material".split()
)
"""Goods that are as often parts of the machine itself."""
_WAYS = {"width": "wide", "height": "high", "length": "long", "depth": "deep", "diameter": "across"}
_TOLD_WAY = (
    ("length", re.compile(r"\b(?:long|length)\b")),
    ("width", re.compile(r"\b(?:wide|width|left to right|side to side)\b")),
    ("height", re.compile(r"\b(?:high|height|tall|headroom)\b")),
    ("depth", re.compile(r"\b(?:deep|depth)\b")),
    ("diameter", re.compile(r"\b(?:diameter|across|bore|od)\b")),
    ("thickness", re.compile(r"\b(?:thick\w*|gauge)\b")),
)
_KIN = (
    frozenset(("height", "depth")),
    frozenset(("width", "diameter")),
    frozenset(("height", "diameter")),
    frozenset(("width", "across")),
)


@dataclass(frozen=True, eq=False, slots=True)
class _Size:
    """A size with the part that it plays."""

    q: Quantity
    part: Part
    way: str
    """Its direction, empty where no word tells one."""
    nouns: frozenset[str]
    """The nouns of goods in its own clause."""
    text: str


def does_not_fit(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The clamp opens to six and a half inches"; "the line makes pipe up to eight inches": goods against room.

    Arithmetic: size of the goods ≤ the room, or the most that is taken, in the same direction; where a size has no
    direction in its words any will do. Tolerance 1 % plus wording. Only where both are of one noun, stand in one
    sentence, or words of putting the one in the other are said; where other room of the same thing holds the goods
    nothing is asked. Always a question: it may be laid down, tilted or slit. Source: plain geometry.
    """
    rule = "does_not_fit"
    index = facts(walk)
    goods_nouns = _GOODS | noun_class(vocabulary, "product")
    sizes = [s for q in pool(index, "metre", None, None, _SIDES) if (s := _read(walk, index, q, goods_nouns))]
    for goods in sizes:
        if goods.part == "room" or not goods.nouns:
            continue
        against = [r for r in sizes if r is not goods and _joined(r, goods)]
        against = [r for r in against if not settled(walk, goods.q, r.q)]
        if not against or any(_holds(goods.q, r.q) for r in against):
            continue
        room = min(against, key=lambda r: abs(moment(r.q) - moment(goods.q)))
        if (size(goods.q, "metre") or 0.0) > _GREATEST * (size(room.q, "metre") or 1.0):
            continue
        way = _WAYS.get(goods.way or room.way, "across")
        message = (
            f"{said(goods.q)} {way} ({clean(goods.q.subject) or 'what goes in'}) is more than the {said(room.q)} "
            f"({clean(room.q.subject) or 'opening'}): measure both, and ask how it goes in."
        )
        yield from verdict(rule, [goods.q, room.q], _holds, message, level="check")


def _holds(goods: Quantity, room: Quantity) -> bool:
    return most(goods, "metre") <= most(room, "metre") * (1.01 + slack(goods, room))


def _read(walk: Walk, index: Facts, q: Quantity, goods: frozenset[str]) -> _Size | None:
    """The part that a size plays; None where its words tell none."""
    before, behind = parted(q)
    clause = " ".join(before.split()[-9:])
    own = f"{clause} {heard(q)} {' '.join(behind.split()[:4])}".lower()
    way = _way(q, own)
    told = f"{head(q.subject)} {re.split(r'[,;] ', clause)[-1]}".lower()
    nouns = frozenset(n for w in told.split() if (n := singular(w.strip(".,;'"))) in goods)
    nouns |= frozenset(n for w in behind.split()[:2] if (n := singular(w.strip(".,;'"))) in goods)
    named = head(q.subject)
    if _NOT_ROOM.search(called(index, q)):
        return None
    if _ROOM_BEFORE.search(clause) or _ROOM_BEHIND.match(behind) or _ROOM_BEFORE.search(q.subject.lower()):
        return _Size(q, "room", way, nouns, q.around or own)
    if named in _BORES:
        return _Size(q, "room", way, frozenset(), q.around or own)
    if _MOST.search(re.split(r"[,;] ", clause)[-1]) and not (named in goods and _RUNS_TO.search(clause)):
        return _Size(q, "most", way, nouns, q.around or own)
    if named in goods:
        return _Size(q, "goods", way, nouns | {named}, q.around or own)
    if (named in _HOLDS and way != "length") or (named in _LAID and way == "length"):
        return _Size(q, "room", way, frozenset(), q.around or own)
    if nouns and _ACTUAL.search(q.around or "") and not is_whole(walk, q.subject):
        return _Size(q, "goods", way, nouns, q.around or own)
    return None


def _way(q: Quantity, own: str) -> str:
    """The direction that the words of a size tell; empty where it was filed as a length for want of any."""
    tail = own.split(q.evidence[0].words.lower())[-1] if q.evidence else own
    for text in (q.evidence[0].words.lower() if q.evidence else "", tail, own):
        for way, cue in _TOLD_WAY:
            if cue.search(text):
                return way
    return "" if q.property in ("length", "other") else q.property


def _joined(room: _Size, goods: _Size) -> bool:
    """Whether goods go in a room, or are more than the most that is taken of them."""
    if room.part == "goods" or (room.q.subject == goods.q.subject and room.part != "most"):
        return False
    if room.part == "most" and goods.part == "most":
        return False
    gap = abs(moment(room.q) - moment(goods.q))
    if not _one_way(room, goods) or gap > _FAR:
        return False
    if room.nouns & goods.nouns:
        return True
    if _part_of_it(room, goods):
        return False
    if room.q.around and room.q.around == goods.q.around:
        return True
    named = head(room.q.subject)
    if named and named in words(goods.text):
        return True  # "the carts they push through that door"
    if named in _BORES:  # "spindle bore's 66", and "bars up to 70 go straight through the spindle"
        return bool(_THROUGH.search(goods.text) and set(words(_lead(room))) & set(words(goods.text)))
    if room.part != "room" or room.nouns or head(room.q.subject) in _GOODS or gap > _WITHIN:
        return False
    if goods.nouns <= _PARTS and goods.part != "most" and not _ACTUAL.search(goods.text):
        return False
    held = named in _HOLDS or named in _LAID
    return not held or bool(_GOING.search(f"{goods.text} {room.text}")) or bool(goods.nouns & _DIPPED)


_THROUGH = re.compile(r"\bthrough\b")


def _lead(room: _Size) -> str:
    """The words in front of a size in its sentence."""
    return parted(room.q)[0].lower()


def _part_of_it(room: _Size, goods: _Size) -> bool:
    """ "Chamber's 3.2 metres diameter, cylinder three and a half tall": no goods, but how what holds them is built."""
    holds = head(room.q.subject) in _HOLDS and not room.nouns and goods.part != "most"
    said_to_go_in = _ACTUAL.search(goods.text) or _GOING.search(f"{goods.text} {room.text}")
    return holds and goods.nouns <= _PARTS and not said_to_go_in


def _one_way(room: _Size, goods: _Size) -> bool:
    if not room.way or not goods.way:
        return True
    return room.way == goods.way or any({room.way, goods.way} <= k for k in _KIN)


RULES = (does_not_fit,)
