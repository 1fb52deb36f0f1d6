"""Rows of things that carry numbers: "six plinths down this wall, numbered", "eight loops with red tags", "they have
numbers sprayed on the floor, one to seven".

Any trade numbers what it walks past, so the noun need be in no table: it is a plural that was counted, and it is said
soon that the things of it bear numbers.
"""

from __future__ import annotations

from collections.abc import Sequence

from extractors.noun_phrase import Numbers
from extractors.phrases import Atom, is_plural, sentence_bounds, singular

NUMBERED = frozenset({"numbered", "lettered"})
NUMBERS = frozenset({"numbers", "number", "numerals", "letters", "letter", "tag", "tags"})
OTHER_NUMBERS = frozenset(
    "part serial model phone lot order stock job batch asset tool type no telephone plate year the same any".split()
)
"""Words before "number" that make it none of a row."""
ON_EACH = frozenset("each its own every painted stamped brass white black red yellow blue green big a".split())
"""Words before one "number" or "tag" that stands on each of the things."""
THEY = frozenset("they these those all which that them it".split())
SOON = 24
"""Atoms behind a counted plural within which it is said to be numbered; chosen, no source."""
NEAR = 12
"""Atoms behind the word for numbers within which the first and the last are said; chosen, no source."""
THROUGH = frozenset({"to", "through", "thru", "till", "until"})
LEFT_OUT = frozenset("no without skip skips skipped skipping".split())
MOST = 60
"""A longer row is a stock of things, not a row that is walked past."""
TELLS = frozenset("the a an your our for where".split())
"""Words behind "roll one is" that begin what it is; how it is ("running", "newer") makes no row."""
BEFORE = 60
"""Atoms before the first place of a row within which its plural was counted; chosen, no source."""


def counted_plural(atoms: Sequence[Atom], numbers: Numbers, i: int) -> int | None:
    """Where the plural stands that the whole number at i counts: "six plinths", "eight big chambers"."""
    end, value, top, form = numbers[i]
    if top is not None or form not in ("cardinal", "digits") or value != int(value) or not 3 <= value <= MOST:
        return None
    for k in range(end, min(end + 2, len(atoms))):
        if atoms[k - 1].after or k in numbers or atoms[k].aside or not atoms[k].lower.isalpha():
            return None
        if is_plural(atoms[k].lower) and not atoms[k].lower.endswith("ss"):
            return k
    return None


def said_numbered(atoms: Sequence[Atom], numbers: Numbers, noun: int) -> bool:
    """Whether the counted plural at noun is said soon to bear numbers."""
    stop = min(noun + SOON, len(atoms), sentence_bounds(atoms, noun)[1] + SOON)
    for k in range(noun + 1, stop):
        far = atoms[k].sentence - atoms[noun].sentence > 1
        if k in numbers and (far or counted_plural(atoms, numbers, k)):
            return False
        if atoms[k].lower in NUMBERED:
            return _of_these(atoms, k, noun)
        if _bears(atoms, k):
            return True
    return False


def _of_these(atoms: Sequence[Atom], k: int, noun: int) -> bool:
    """Whether "numbered" at k is said of the plural at noun, and of no other subject between."""
    first = max(noun + 1, sentence_bounds(atoms, k)[0])
    if atoms[k].sentence == atoms[noun].sentence and not any(a.lower in ("are", "'re") for a in atoms[first:k]):
        return True
    subject = [a.lower for a in atoms[first:k] if is_plural(a.lower) or a.lower in THEY]
    return not subject or bool(THEY & set(subject)) or singular(subject[-1]) == singular(atoms[noun].lower)


def _bears(atoms: Sequence[Atom], k: int) -> bool:
    """Whether numbers that stand on things are named at k: "with white numbers", "each has a number"."""
    word = atoms[k].lower
    if word not in NUMBERS or not k:
        return False
    before = {a.lower for a in atoms[max(0, k - 2) : k]}
    if before & OTHER_NUMBERS:
        return False
    return word not in ("number", "letter", "tag", "tags") or bool(before & ON_EACH)


def counted_off(atoms: Sequence[Atom], numbers: Numbers) -> list[tuple[int, int, int]]:
    """Rows that are numbered from one to another: atoms first to last (excluded), and how many there are."""
    out = []
    for k in range(len(atoms)):
        if atoms[k].lower not in NUMBERED | {"marked", "tagged", "badged", "stencilled"} and not _bears(atoms, k):
            continue
        found = next((r for i in range(k + 1, min(k + NEAR, len(atoms))) if (r := _range(atoms, numbers, i))), None)
        further = atoms[found[0]].sentence - atoms[k].sentence if found is not None else 2
        if found is not None and further <= (atoms[found[0]].said == "A"):  # "a letter over each bath. A to F"
            out.append(found)
    return out


def _range(atoms: Sequence[Atom], numbers: Numbers, i: int) -> tuple[int, int, int] | None:
    """ "One to seven", "1 through 12", "A to F" at i."""
    if i in numbers:
        end, low, high, form = numbers[i]
        if form not in ("cardinal", "digits") or low != 1:
            return None
        if high is None and end + 1 < len(atoms) and atoms[end].lower in THROUGH and end + 1 in numbers:
            end, high = numbers[end + 1][0], numbers[end + 1][1]
        return (i, end, int(high)) if high is not None and 3 <= high <= MOST and high == int(high) else None
    lettered = atoms[i].said == "A" and i + 2 < len(atoms) and atoms[i + 1].lower in THROUGH
    top = atoms[i + 2].said if lettered else ""
    if not (len(top) == 1 and "C" <= top <= "Z"):
        return None
    return i, i + 3, ord(top) - ord("A") + 1 - _left_out(atoms, i + 3, top)


def _left_out(atoms: Sequence[Atom], i: int, top: str) -> int:
    """How many letters below the last one are said to be none of a row: "A through J, no letter I"."""
    if i >= len(atoms) or atoms[i].sentence != atoms[i - 1].sentence:
        return 0
    said = set()
    for k in range(i, sentence_bounds(atoms, i)[1]):
        near = atoms[max(i, k - 3) : k]
        leaves = any(a.lower in LEFT_OUT and not a.after for a in near)
        if leaves and len(atoms[k].said) == 1 and "A" < atoms[k].said < top:
            said.add(atoms[k].said)
    return len(said)


def places_of(atoms: Sequence[Atom], numbers: Numbers) -> dict[int, str]:
    """Counted plurals of which the first or the last is told by its place: "six rolls. Roll one is the feed roll",
    "five presses in a row. First press is a blanker", "six arms. Arm A is for"; where they stand -> the singular."""
    told = [k for k in range(len(atoms)) if _placed_one(atoms, numbers, k)]
    first = {singular(atoms[k].lower): k for k in reversed(told)}
    if not first:
        return {}
    found = ((counted_plural(atoms, numbers, i), numbers[i][1]) for i in numbers)
    return {
        k: singular(atoms[k].lower)
        for k, _ in found
        if k is not None and k < first.get(singular(atoms[k].lower), -1) <= k + BEFORE
    }


def _placed_one(atoms: Sequence[Atom], numbers: Numbers, k: int) -> bool:
    """Whether the noun at k is told as the first of its row, with what it is behind it."""
    if k + 2 >= len(atoms) or atoms[k].after or not atoms[k].lower.isalpha() or is_plural(atoms[k].lower):
        return False
    nth = k > 0 and atoms[k - 1].lower == "first" and not atoms[k - 1].after and _opens(atoms, k - 1)
    end = k + 1
    if not nth:
        end += atoms[end].lower in ("number", "no", "nr")
        one = numbers.get(end)
        lettered = atoms[k + 1].said == "A"
        if not lettered and (one is None or one[1] != 1 or one[2] is not None or one[3] not in ("cardinal", "digits")):
            return False
        end = k + 2 if lettered else one[0] if one is not None else end
    if end + 1 >= len(atoms) or atoms[end - 1].after:
        return False
    return atoms[end].lower in ("is", "'s") and end + 1 not in numbers and atoms[end + 1].lower in TELLS


def _opens(atoms: Sequence[Atom], k: int) -> bool:
    """Whether the atom k, or the article before it, begins a clause."""
    at = k - (k > 0 and atoms[k - 1].lower == "the")
    return at == 0 or bool(atoms[at - 1].after) or atoms[at - 1].sentence != atoms[at].sentence
