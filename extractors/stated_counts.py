"""How many stations a line is said to have: "a twelve-stage washer", "fourteen tanks", "seven machines in all"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from extractors.noun_phrase import Numbers
from extractors.numbered_rows import counted_off, counted_plural, places_of, said_numbered
from extractors.phrases import Atom, Finder, is_plural, singular
from vocab import Vocabulary

PARTIAL = frozenset(
    ("first last other these those next another of more following previous same stage tank zone station").split()
)
"""Words before a number that make it a part of the whole: "the first three stages"."""
IN_ROW = frozenset("row line string set series bank total run battery sequence train chain".split())
"""Words before "of" and a number that counts all of them: "one row of fifteen tanks"."""
BETWEEN = frozenset(
    (
        "process processing numbered total separate different individual work working treatment heating heated "
        "main big large single dip wash operating"
    ).split()
)


PLACES = frozenset("station stage zone section position step".split())
"""Words that can only be places of a row, whatever stands before them: "ten control zones"."""

INNER = frozenset({"stage", "section", "chamber", "compartment", "cell", "unit", "pass line", "module"})
"""Words that also count what is inside one machine."""

STATES = frozenset(
    "new old good bad fine down out off on dead worn rusty running working broken leaking gone missing rated about "
    "around not ok okay at in under over spare similar identical bigger smaller".split()
)
"""Words behind "pump one is" that say how it is, and not what."""
NO_THINGS = frozenset(
    "number line shift phase page lot item week day photo picture note door speed gear schedule part chapter option "
    "test point plan job plant house room building floor hall site day night year size grade class type".split()
)
"""Words before a number that name no place of a line."""
LETTING = frozenset({"feeds", "serves", "goes", "supplies"})
SOON = 24
"""Atoms before "one to seven" within which the word for its places is said; chosen, no source."""
TOLD_APART = 3
"""Numbers behind a counted thing's name that make places of them ("cubicle one", "cubicle two"); chosen, no source."""


MOST_SUMMED = 60
"""A greater total is of things, not of places in a row; chosen, no source."""
IN_ALL = frozenset({("in", "all"), ("all", "told"), ("in", "total"), ("all", "up"), ("all", "in"), ("of", "them")})
MAKES = tuple(
    tuple(words.split())
    for words in (
        "makes", "that gives us", "gives you", "completes", "all of it", "the lot", "so that 's", "so it 's",
        "so we 're talking", "so", "all of them", "which is", "i 'm told", "i was told", "they say", "they call it",
    )
)  # fmt: skip
"""Words right before a total: "that makes eight"; whether it counts the row, its greatest number says."""


@dataclass(frozen=True, slots=True)
class Count:
    """A stated count: atoms first to last (excluded)."""

    first: int
    last: int
    value: float
    word: str
    place: bool
    """Whether the word can only be a place of a line (stage, zone), not a thing (tank, machine)."""
    total: bool = False
    """Whether it was said to be all of them ("nine stations all told")."""


def stated_counts(atoms: Sequence[Atom], numbers: Numbers, vocabulary: Vocabulary) -> tuple[Count, ...]:
    """Every count of stations, in order; counts of a machine's inner stages are left out."""
    words, inner, roles = _words(vocabulary)
    out = []
    own = numbered_things(atoms, numbers)
    for i, (end, value, top, form) in sorted(numbers.items()):
        if top is not None or form not in ("cardinal", "digits") or value != int(value) or not 2 <= value <= 200:
            continue
        if atoms[i].aside:
            continue
        if (whole := _out_of(atoms, numbers, i, words)) is not None:
            out.append(Count(i, end, value, whole, place=False))
            continue
        if end >= len(atoms):
            continue
        if atoms[end - 1].after:
            topic = words.at(atoms, i - 1) if i and atoms[i - 1].after == "," and value >= 3 else None
            several = topic is not None and topic[0] == i and is_plural(atoms[i - 1].lower)
            if several and topic is not None and numbered_so(atoms, numbers, topic[1][0]):
                out.append(Count(i - 1, end, value, topic[1][0], topic[1][1] == "place"))  # "Unwind stands, five."
            continue
        in_row = i > 1 and atoms[i - 1].lower == "of" and atoms[i - 2].lower in IN_ROW
        if i and not atoms[i - 1].after and atoms[i - 1].lower in PARTIAL and not in_row:
            continue
        k = end + (atoms[end].lower in BETWEEN and not atoms[end].after)
        found = words.at(atoms, k) if k < len(atoms) else None
        noun = next((n for n in (end, end + 1) if n in own and found is None), None)
        if noun is not None:
            out.append(Count(i, noun + 1, value, own[noun], place=False))
            continue
        if found is None and k + 1 < len(atoms) and not atoms[k].after and value >= 3:
            # "eight picking bays", "six print units": not "three rinse tanks", which are some of them
            further = words.at(atoms, k + 1)
            kind = atoms[k].lower.isalpha() and not is_plural(atoms[k].lower)
            kind = kind and (roles.at(atoms, k) is None or (further is not None and further[1][1] == "machine"))
            counted = {c.word for c in out}
            told = further is not None and (
                further[1][1] in ("place", "machine")
                or (
                    further[1][1] == "vessel"
                    and further[1][0] not in counted
                    and _each(atoms, numbers, further[1][0], value)
                )
            )
            many = told and further is not None and is_plural(atoms[further[0] - 1].lower)
            so = many and kind and further is not None and numbered_so(atoms, numbers, further[1][0])
            sure = further is not None and further[1][1] == "place" and further[1][0] in PLACES
            so = so or (many and kind and sure and further is not None and _row_soon(atoms, numbers, further[0]))
            found = further if so else None
        if found is None:
            if value >= 3 and (meant := _of_them(atoms, i, end, words)) is not None:
                out.append(Count(i, end + 2, value, meant, place=False))
            continue
        last, (word, use) = found
        if word == "step" and i and atoms[i - 1].lower == "in":
            continue  # "150 kilovar in six steps"
        plural = is_plural(atoms[last - 1].lower)
        wholes = ("line", "row", "system", "washer", "plant", "unit", "machine", "installation")
        if use != "place" and not plural and not (last < len(atoms) and atoms[last].lower in wholes):
            continue
        ahead = [a.lower for a in atoms[last : last + 3]] if not atoms[last - 1].after else []
        # "a two-stage compressor" counts no stations, "a ten-station transfer press" does
        if not plural and word in INNER and inner & {singular(a) for a in ahead}:
            continue
        behind = {a.lower for a in atoms[last : last + 2]} if not atoms[last - 1].after else set()
        out.append(Count(i, last, value, word, use == "place", bool(behind & {"told", "all", "altogether", "total"})))
    rows = [c for c in _rows(atoms, numbers, words) if not any(c.value == o.value for o in out)]
    return tuple(sorted([*out, *rows], key=lambda c: c.first))


def summed_up(atoms: Sequence[Atom], numbers: Numbers) -> tuple[Count, ...]:
    """Totals of no word of their own, told behind a row: "so that makes eight", "seven in all", "that's all of it,
    seven", "so it's six of them". Whether they count a row, its greatest number says."""
    out = []
    for i, (end, value, top, form) in sorted(numbers.items()):
        if (
            top is not None
            or form not in ("cardinal", "digits")
            or value != int(value)
            or not 3 <= value <= MOST_SUMMED
        ):
            continue
        before = [a.lower for a in atoms[max(0, i - 4) : i]]
        behind = tuple(a.lower for a in atoms[end : end + 2])
        closed = end >= len(atoms) or bool(atoms[end - 1].after) or behind[:1] in (("on",), ("like",), ("and",))
        whole = not atoms[end - 1].after and (behind in IN_ALL or behind[:1] in (("altogether",), ("total",)))
        makes = closed and any(before[-len(w) :] == list(w) for w in MAKES)
        if whole or makes:
            out.append(Count(i, end, value, "", place=False))
    return tuple(out)


def _row_soon(atoms: Sequence[Atom], numbers: Numbers, i: int) -> bool:
    """Whether a row begins by its bare numbers soon behind i: "ten control zones. One through three are ..."."""
    for k in range(i, min(i + SOON, len(atoms) - 1)):
        opens = bool(atoms[k - 1].after) or atoms[k - 1].lower in ("so", "and", "then", "the")
        first = k in numbers and opens and numbers[k][1] == 1
        if first and numbers[k][0] < len(atoms) and not atoms[numbers[k][0] - 1].after:
            behind = atoms[numbers[k][0]].lower
            return behind in ("is", "'s", "are", "and", "to", "through")
        if atoms[k].lower == "first" and opens and not atoms[k].after:
            return True
    return False


def _out_of(
    atoms: Sequence[Atom],
    numbers: Numbers,
    i: int,
    words: Finder[tuple[str, str]],
) -> str | None:
    """The word of a place that is told as one of so many: "machine seven out of nine", "number three of eight"."""
    k = i - 1
    if k < 2 or atoms[k].lower != "of" or atoms[k].after:
        return None
    k -= 1 + (atoms[k - 1].lower == "out")
    one = numbers.get(k)
    if one is None or atoms[k].after or one[1] > numbers[i][1] or numbers[i][1] < 3 or not k:
        return None
    found = words.at(atoms, k - 1)
    if found is not None and found[0] == k:
        return found[1][0]
    return "station" if atoms[k - 1].lower == "number" else None


def _rows(
    atoms: Sequence[Atom],
    numbers: Numbers,
    words: Finder[tuple[str, str]],
) -> list[Count]:
    """Counts of rows that were numbered from one to another: "bays, with numbers painted on, one to seven"."""
    out = []
    for first, last, value in counted_off(atoms, numbers):
        near = (words.at(atoms, k) for k in range(first - 1, max(-1, first - SOON), -1))
        word = next((found[1][0] for found in near if found is not None), "station")
        out.append(Count(first, last, value, word, place=False))
    return out


def numbered_so(atoms: Sequence[Atom], numbers: Numbers, word: str) -> bool:
    """Whether places are told by a word and number one: "bay one"."""
    return any(k and value == 1 and singular(atoms[k - 1].lower) == word for k, (_, value, _, _) in numbers.items())


def _each(atoms: Sequence[Atom], numbers: Numbers, word: str, most: float) -> bool:
    """Whether each of so many is told by its number: "kettle one ... kettle two ... kettle three"."""
    said = {value for k, (_, value, _, _) in numbers.items() if k and singular(atoms[k - 1].lower) == word}
    return all(float(n) in said for n in range(1, int(most) + 1))


def numbered_things(atoms: Sequence[Atom], numbers: Numbers) -> dict[int, str]:
    """ "Five pumps, numbered one to five", "five cubicles. Cubicle one's the incomer ...": where the plural stands ->
    its singular, which then is a station's word."""
    out = {}
    called: dict[str, set[float]] = {}
    named: dict[str, set[float]] = {}
    for i, (end, value, top, form) in numbers.items():
        if i and top is None and form in ("cardinal", "digits") and not atoms[i - 1].after:
            for name in {atoms[i - 1].lower, singular(atoms[i - 1].lower)}:  # "beakers one and two" as well
                called.setdefault(name, set()).update(_listed(atoms, numbers, i))
                if _so_told(atoms, numbers, end):
                    named.setdefault(name, set()).add(value)
    listed = {
        atoms[i - 1].lower
        for i in numbers
        if i and is_plural(atoms[i - 1].lower) and not atoms[i - 1].after and {1, 2} == _listed(atoms, numbers, i)
    }
    """Plurals told as "beakers one and two"."""
    for end, value, top, form in numbers.values():
        if top is not None or form not in ("cardinal", "digits") or value < 3 or end + 1 >= len(atoms):
            continue
        name = atoms[end].lower
        behind = [a.lower for a in atoms[end + 1 : end + 4]]
        counted = name in listed or (behind[:1] == ["number"] and end + 2 in numbers)
        one_by_one = {n for n in called.get(singular(name), ()) if n <= value}
        so_told = named.get(singular(name), set())
        apart = len(one_by_one) >= TOLD_APART or {1, 2} <= so_told or (1 in so_told and len(one_by_one) > 1)
        if (counted or apart) and name.isalpha() and is_plural(name):
            out[end] = singular(name)
    for i in numbers:
        noun = counted_plural(atoms, numbers, i)
        if noun is not None and said_numbered(atoms, numbers, noun):
            out[noun] = singular(atoms[noun].lower)
    return {**places_of(atoms, numbers), **out}


def _listed(atoms: Sequence[Atom], numbers: Numbers, i: int) -> set[float]:
    """The numbers told at i, two joined by "and": "beakers one and two"."""
    end, value, _, _ = numbers[i]
    joined = end + 1 < len(atoms) and atoms[end].lower == "and" and end + 1 in numbers and not atoms[end - 1].after
    return {value, numbers[end + 1][1]} if joined and numbers[end + 1][1] == value + 1 else {value}


def _so_told(atoms: Sequence[Atom], numbers: Numbers, end: int) -> bool:
    """Whether it is said behind a number what stands there: "cubicle one's the incomer", "outlet two feeds it"."""
    if end + 1 >= len(atoms) or atoms[end].after:
        return False
    if atoms[end].lower in LETTING:
        return atoms[end + 1].lower in ("the", "to", "for")
    return atoms[end].lower in ("is", "'s") and end + 1 not in numbers and atoms[end + 1].lower not in STATES


def told_apart(atoms: Sequence[Atom], numbers: Numbers) -> frozenset[str]:
    """Names of things of which the first two are told by what they are or do: "drum one soaks. Drum two pickles"."""
    named: dict[str, set[float]] = {}
    for i, (end, value, top, form) in numbers.items():
        if (
            not i
            or top is not None
            or form not in ("cardinal", "digits")
            or atoms[i - 1].after
            or end + 1 >= len(atoms)
        ):
            continue
        word, verb = atoms[i - 1].lower, atoms[end].lower
        does = verb.endswith("s") and not verb.endswith("ss") and len(verb) > 3 and bool(atoms[end].after)
        told = does or _so_told(atoms, numbers, end)
        if word.isalpha() and len(word) > 2 and not is_plural(word) and not atoms[end - 1].after and told:
            named.setdefault(word, set()).add(value)
    return frozenset(w for w, told in named.items() if {1, 2} <= told and w not in NO_THINGS)


def _of_them(atoms: Sequence[Atom], i: int, end: int, words: Finder[tuple[str, str]]) -> str | None:
    """ "Now the auxiliaries, there's six of them": the plural of a station's word right before; None elsewhere."""
    if [a.lower for a in atoms[end : end + 2]] != ["of", "them"]:
        return None
    for k in range(i - 1, max(0, i - 6), -1):
        found = words.at(atoms, k)
        if found is not None and is_plural(atoms[found[0] - 1].lower):
            return found[1][0]
    return None


@lru_cache(maxsize=16)
def _words(vocabulary: Vocabulary) -> tuple[Finder[tuple[str, str]], frozenset[str], Finder[str]]:
    rows = list(vocabulary["stations"])
    names = [
        (n, (singular(n), r["use"])) for r in rows if r["use"] in ("place", "vessel", "machine") for n in r["names"]
    ]
    roles = Finder([(n, n) for r in rows if r["use"] == "role" for n in r["names"]])
    return Finder(names), frozenset(n for r in rows if r["use"] == "inner" for n in r["names"]), roles
