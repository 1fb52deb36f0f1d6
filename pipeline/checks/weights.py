"""Weights: a part against the whole, and contents against the room they lie in."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from pipeline.checks.facts import facts, is_whole, limit, noun_class, size, slack
from pipeline.checks.mechanical import LIFTED, LIFTING
from pipeline.checks.nearby import attributive, lead, most, outside
from pipeline.checks.offers import verdict
from pipeline.checks.subjects import head, mentions, words
from pipeline.checks.wording import clean, figure, heard, moment, number, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_WHOLE = re.compile(r"\b(?:whole|complete|entire|everything|all together|altogether|overall)\b")
_ALONE = re.compile(r"\b(?:alone|by itself|by herself|on its own|itself|just the)\b")
_NOT_OWN = re.compile(
    r"\b(?:rated|capacity|good for|takes?|holds?|carr(?:y|ies)|load\w*|lifts?|fill\w*|full|charge|press\w* force)\b"
)
"""Words of a weight that is not a thing's own."""
_TOOLING = frozenset("die tooling jig fixture chuck platen insert form pattern weight ballast foundation slab".split())
"""Things that come apart from a machine and are not weighed with it."""
_STORES = frozenset("hopper bin silo tank bunker drum tote box vessel tub skip bag chute".split())


def part_heavier_than_whole(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The roll former by itself is 26,000 pounds, and the whole line, all six machines, is 22,000".

    Arithmetic: weight of a part (× the stations of its name) ≤ weight of the whole. Tolerance 2 % plus wording. Only
    weights of a thing of a name of its own and of the machine as a whole; not what a thing takes, lifts or holds, nor
    the force of a press. Always a question, since one may be with its load. Source: plain arithmetic.
    """
    rule = "part_heavier_than_whole"
    index = facts(walk)
    own = [q for q in index.of("weight") if size(q, "kilogram") and q.value_max is None and not attributive(q)]
    wholes = [q for q in own if is_whole(walk, q.subject) or _WHOLE.search(q.around or "")]
    wholes = [q for q in wholes if "another" not in lead(q)[-3:]]  # one more of several pieces
    if len({(q.value, q.unit) for q in wholes}) != 1:
        return
    whole = wholes[0]
    never = noun_class(vocabulary, "product") | {*LIFTED} | _TOOLING
    for part in own:
        alone = bool(_ALONE.search(part.around or ""))  # "the drum alone is eighteen tons" is no drum of oil
        if part in wholes or not words(part.subject) or mentions(part.subject, *LIFTING):
            continue
        if head(part.subject) in never and not alone:
            continue
        if _NOT_OWN.search(f"{heard(part)} {part.around or ''}".replace("loading", "")) or part.qualifier == "rated":
            continue
        n = _stations(walk, part.subject)
        if most(part, "kilogram") * n > 5 * most(whole, "kilogram"):
            continue  # a building, a lorry
        times = f"{n} × " if n > 1 else ""
        message = (
            f"{times}{said(part)} ({clean(part.subject)}) are more than the {said(whole)} of the whole "
            f"({clean(whole.subject) or 'machine'}): read both again; only a plate or a document settles it."
        )

        def holds(part: Quantity, whole: Quantity, n: int = n) -> bool:
            return n * most(part, "kilogram") <= most(whole, "kilogram") * (1.02 + slack(part, whole))

        yield from verdict(rule, [part, whole], holds, message, level="check")


def _stations(walk: Walk, subject: str) -> int:
    """How many stations of a row bear a name ("etch chamber one", "etch chamber two"); one where none does."""
    own = {w for w in words(subject) if not w.isdigit()}
    counts = [
        sum(1 for s in row.stations if s.status != "withdrawn" and own and own <= {*words(s.role)})
        for row in walk.sequences
    ]
    return max([1, *counts])


def contents_and_room(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "The filling of steel shot is three tonnes; all of it lies in the hopper, and that has 0.3 cubic metres".

    Arithmetic: weight / volume against vocab/limits.toml, contents: nothing that is stored is heavier than solid steel
    is, and no grain, sand or powder heavier than solid rock. Tolerance: the wording's. Only a volume of a hopper, bin
    or tank and the weight of what is in it, told within 12 s. Always a question.
    Source: density of carbon steel 7.85 t/m3 (490 lb/ft3, vocab/materials.toml); bulk densities from memory.
    """
    rule = "contents_and_room"
    index = facts(walk)
    row, light = limit(vocabulary, "contents"), limit(vocabulary, "contents without metal")
    for room in index.of("volume"):
        if head(room.subject) not in _STORES or room.value_max is not None:
            continue
        for load in index.of("weight"):
            text = f"{heard(load)} {load.around or ''}"
            if abs(moment(load) - moment(room)) > 12 or not _CONTENTS.search(text) or attributive(load):
                continue
            heavy = bool(_METAL.search(f"{text} {room.around or ''}"))
            density = (size(load, "tonne") or 0.0) / (size(room, "metre**3") or 1.0)
            if not 0.005 <= density <= 200:
                continue
            high = float((row if heavy else light)["high"])
            message = (
                f"{said(load)} in {said(room)} ({clean(room.subject)}) would be {number(round(density, 1))} tonnes a "
                f"cubic metre, {figure(high, 'tonne')} is the most: measure it, or weigh again."
            )

            def holds(load: Quantity, room: Quantity, high: float = high) -> bool:
                made = (size(load, "tonne") or 0.0) / (size(room, "metre**3") or 1.0)
                return not outside(made, 0.0, high, slack(load, room))

            yield from verdict(rule, [load, room], holds, message, level="check")


_CONTENTS = re.compile(
    r"\b(?:fill(?:s|ed|ing)?|contents?|holds?|full of|charge|inside|in it|takes?|shot|grit|sand|grain|powder|salt)\b"
)
_METAL = re.compile(
    r"\b(?:steel|iron|shot|grit|metal|brass|bronze|copper|zinc|lead|solder|chips|turnings|scrap|nails|coins?)\b"
)

RULES = (part_heavier_than_whole, contents_and_room)
