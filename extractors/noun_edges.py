"""The phrase around the name of a thing: how many, which one, of what, and whether it is there at all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from extractors.noun_phrase import (
    DEFINITE,
    DENYING,
    DOING,
    HOLDERS,
    INDEFINITE,
    NOT,
    PARTLY,
    PLAIN,
    PREPOSITIONS,
    SEEING,
    TAKING,
    WANTED,
    WORN,
    Phrase,
)
from extractors.noun_tables import Passage
from extractors.phrases import Atom, is_plural, sentence_bounds, singular

FARTHEST = 14
"""Words before a name that may belong to its phrase."""
MOST_WORDS = 4
"""Words before the noun that say which one, at most."""
HESITATIONS = frozenset("uh um er erm like".split())
LYING = frozenset("on at under by above below behind inside outside beside between along underneath".split())
"""Words of place behind what is named first in a sentence; none that a verb of doing has ("pumps into")."""
OPENERS = frozenset("and so but okay then or with plus of on for now also".split())
"""Words behind which a clause begins without a pause."""
OUTSIDE = frozenset("leads helps stands_in joins asks fills answers points".split())
"""Classes of words that stand in no phrase of a thing, unless a name of the table has them."""


TALLYING = frozenset("x off number no nos".split())
"""Words of lists between a number and what it counts."""
ROWS = frozenset("row bank set group stack column tier string".split())
"""What several of one thing stand in, so many in each."""
MOST_ROWS = 40


@dataclass(slots=True)
class _Before:
    """What stands before a name, as far as it was read backwards from it."""

    k: int
    """Atom in question; at the end the one before the phrase."""
    name_first: int
    count: int | None = None
    approximate: bool = False
    article: str = ""
    condition: str | None = None
    negated: bool = False
    measured: bool = False
    holders: str = ""
    holder: int = -1
    """Atom of the holder: the set of "a spare set of rolls"."""
    extra: list[int] = field(default_factory=list)
    """Words before the name that say which one."""


def around(passage: Passage, first: int, head: int, end: int, name: str, grade: str) -> Phrase:
    """The phrase around a name whose words begin at first and whose head begins at head."""
    atoms = passage.atoms
    found = _read_back(passage, first, head)
    _deny(passage, found, first, head, end)
    k, count, approximate, extra = found.k, found.count, found.approximate, found.extra
    if not found.article and count is None and not found.measured and not _starts(passage, k):
        kept: list[int] = []
        for e in extra:
            if atoms[e].lower not in passage.modifiers:
                break
            kept.append(e)
        extra = kept
    which = [atoms[e].lower for e in sorted(extra) if e < found.holder]  # "one spare set of rolls"
    extra = [e for e in extra if e > found.holder]
    name_first = min([first if found.holders else found.name_first, *extra])
    if count is None and not found.article and _twins(passage, end, extra or list(range(first, head))):
        count = 2
    many = count is not None and count > 1
    if many and not is_plural(atoms[end - 1].lower) and name_first < head and not found.holders:
        count, approximate = None, False  # "a two saw trimmer": the number is of the saws
    said = [
        n
        for n in range(name_first, end)
        if n >= first
        or (
            atoms[n].lower not in PLAIN
            and atoms[n].lower not in WORN
            and n not in passage.measured
            and n not in passage.number_at
        )
    ]
    material = {n for n in said if passage.materials.at(atoms, n)}
    return Phrase(
        first=max(0, k + 1),
        name=name_first,
        head=head,
        last=end,
        grade=grade,
        known=name,
        text=" ".join([*which, found.holders]) + _joined(atoms, said),
        count=count,
        approximate=approximate,
        article=found.article,
        modifiers=(*which, *(atoms[n].lower for n in said if n < head and n not in material)),
        condition=found.condition,
        negated=found.negated,
        led=_led(passage, k, first),
        indexed=_indexed(passage, end),
        plural=is_plural(atoms[end - 1].lower),
        measured=found.measured,
        holders=found.holders,
    )


def _read_back(passage: Passage, first: int, head: int) -> _Before:
    """What stands before the name whose words begin at first, in its clause."""
    atoms, b = passage.atoms, _Before(first - 1, first)
    while b.k >= 0 and not atoms[b.k].after and atoms[b.k].sentence == atoms[first].sentence:
        k, lower = b.k, atoms[b.k].lower
        if first - k > FARTHEST:
            break
        if k in passage.measured:
            b.measured, b.k = True, passage.measured[k] - 1
        elif k in passage.number_at:
            if _number(passage, b):
                break
        elif lower == "of" and k > 0 and not b.holders:
            if _of(passage, b):
                break
        elif lower in NOT and not (lower == "no" and atoms[k].after):
            # "neither the compressor nor the receiver is included" speaks of things that are there
            b.negated = not _speaks_of(passage, k)
            break
        elif lower in DEFINITE or lower in INDEFINITE:
            _article(passage, b)
            _of_these(passage, b)
            break
        elif lower in TALLYING and k - 1 in passage.number_at and not atoms[k - 1].after and k + 1 < len(atoms):
            b.k = k - 1  # "4 x gate valves", "six off grinding wheels"
        elif lower == "odd" and k - 1 in passage.number_at:
            b.approximate, b.k = True, k - 1  # "twenty-odd spindles"
        elif lower == "so" and k > 1 and atoms[k - 1].lower == "or" and k - 2 in passage.number_at:
            b.approximate, b.k = True, k - 2  # "ten or so spare drums"
        elif lower in HESITATIONS or _counts_places(passage, k):
            # "a five stage washer", "single stage press"
            b.k = k - 1 if lower in HESITATIONS else passage.number_at.get(k - 1, k - 1) - 1
        elif lower in PLAIN or lower in WORN:
            b.condition = b.condition or WORN.get(lower)
            b.k -= 1
        elif not _belongs(passage, b, head - first):
            break
    return b


def _number(passage: Passage, b: _Before) -> bool:
    """Takes in the number before the name; whether the phrase begins with it."""
    atoms, start = passage.atoms, passage.number_at[b.k]
    _, value, top, form = passage.numbers[start]
    if form == "ordinal":
        b.k = start - 1
        return False
    if form == "fraction" or value != int(value) or value < 1:
        b.k, b.measured = start - 1, True
        return True
    if passage.places.at(atoms, start - 1) and start and not atoms[start - 1].after and value < 100:
        b.k = start - 2
        return True
    if start and atoms[start - 1].lower in ("number", "no") and not atoms[start - 1].after:
        b.k = start - 2  # "the number two molding line"
        return False
    dated = 1900 <= value <= 2099 and start > 0 and not atoms[start - 1].after
    if dated and atoms[start - 1].lower in ("a", "an", "this", "that"):
        b.k = start - 1  # "a 1996 vertical machining center"
        return False
    b.count = int(value) if top is None else None
    b.approximate = b.approximate or start in passage.approximate or top is not None
    b.name_first = min([b.name_first, *b.extra])
    b.k = start - 1
    if b.count is not None and (rows := _rows(passage, b.k)) is not None:
        b.count, b.k = b.count * rows[0], rows[1] - 1
    if b.k >= 0 and (atoms[b.k].lower in DEFINITE or atoms[b.k].lower in ("a", "an")) and not atoms[b.k].after:
        b.article = atoms[b.k].lower
        b.k -= 1
    return True


def _rows(passage: Passage, k: int) -> tuple[int, int] | None:
    """Number of the rows before "of" at atom k, and where it begins: "two rows of four looms" are eight."""
    atoms = passage.atoms
    if k < 2 or atoms[k].lower != "of" or atoms[k].after or not is_plural(atoms[k - 1].lower):
        return None
    start = passage.number_at.get(k - 2)
    if start is None or start in passage.measured or singular(atoms[k - 1].lower) not in ROWS or atoms[k - 2].after:
        return None
    _, value, top, form = passage.numbers[start]
    whole = top is None and form in ("cardinal", "digits") and value == int(value) and 1 < value <= MOST_ROWS
    return (int(value), start) if whole else None


def _of(passage: Passage, b: _Before) -> bool:
    """Takes in what "of" before the name belongs to: "two pairs of", "a set of"; whether the phrase begins there."""
    atoms, k = passage.atoms, b.k
    before = singular(atoms[k - 1].lower)
    if k - 1 in passage.number_at:
        b.k = k - 1
        return False
    if before in ("pair", "couple", "brace"):
        b.count = 2
        start = k - 2
        if start in passage.number_at:
            b.count = 2 * int(passage.numbers[passage.number_at[start]][1])
            start = passage.number_at[start] - 1
        elif start >= 0 and atoms[start].lower in ("a", "the", "another"):
            start -= 1
        b.k = start
        return True
    if before in HOLDERS and before not in PARTLY:
        b.holders, b.holder, b.k = f"{atoms[k - 1].lower} of ", k - 1, k - 2
        return False
    b.negated = b.negated or before in PARTLY
    return True


def _article(passage: Passage, b: _Before) -> None:
    """Takes in the article that begins the phrase, and the one before it: "the single", "all the"."""
    atoms, lower = passage.atoms, passage.atoms[b.k].lower
    b.article = lower
    if lower == "single":
        b.count = 1
    b.k -= 1
    led = b.k > 0 and atoms[b.k - 1].lower in PREPOSITIONS and not atoms[b.k - 1].after
    if lower == "one" and led and atoms[b.k].lower == "the" and not atoms[b.k].after:
        b.count, b.article, b.k = 1, "the", b.k - 1  # "two hoists on the one track"
        return
    again = lower in ("own", "single", "all", "both", "each") and b.k >= 0 and not atoms[b.k].after
    if again and atoms[b.k].lower in (*DEFINITE, "a"):
        b.article = atoms[b.k].lower
        b.k -= 1


def _of_these(passage: Passage, b: _Before) -> None:
    """Takes in the sum before "of these": "so four of these pumps"; "two of the pumps" are a part, and no number."""
    atoms, k = passage.atoms, b.k
    start = passage.number_at.get(k - 1, 0)
    if b.article in ("these", "those") and start > 0 and atoms[k].lower == "of" and atoms[start - 1].lower == "so":
        value = passage.numbers[start][1]
        if value == int(value) and passage.numbers[start][3] in ("cardinal", "digits"):
            b.count, b.article, b.k = int(value), "", start - 1


def _counts_places(passage: Passage, k: int) -> bool:
    """Whether atom k is a place of a line that a number counts: "five stage", "single stage"."""
    atoms = passage.atoms
    if passage.places.at(atoms, k) is None or k == 0 or is_plural(atoms[k].lower) or atoms[k - 1].after:
        return False
    return k - 1 in passage.number_at or atoms[k - 1].lower in ("single", "double", "multi", "two", "three")


def _belongs(passage: Passage, b: _Before, inner: int) -> bool:
    """Takes in a word that says which one; whether it was one. `inner`: words of the name before its noun."""
    atoms, lower = passage.atoms, passage.atoms[b.k].lower
    kind, known = passage.classes.of(lower), lower in passage.modifiers
    if not known and (kind in OUTSIDE or lower.startswith("'")):
        return False
    if not known and kind == "acts" and not lower.endswith(("ing", "ed")):
        return False
    if not known and lower.endswith("ly"):
        b.k -= 1
        return True
    if len(b.extra) + inner >= MOST_WORDS or (is_plural(lower) and passage.names.at(atoms, b.k) is not None):
        return False
    b.extra.append(b.k)
    b.k -= 1
    return True


def _led(passage: Passage, k: int, first: int) -> bool:
    """Whether the word at k, before the phrase, is a preposition."""
    atoms = passage.atoms
    return (
        k >= 0
        and not atoms[k].after
        and atoms[k].sentence == atoms[first].sentence
        and atoms[k].lower in PREPOSITIONS
        # "next the filleting machine" says what comes next
        and not (atoms[k].lower == "next" and (k == 0 or atoms[k - 1].sentence != atoms[k].sentence))
    )


def _deny(passage: Passage, b: _Before, first: int, head: int, end: int) -> None:
    """Notes where the words before the phrase say that there is none, that it is wanted, or that it is no thing."""
    atoms, k, article = passage.atoms, b.k, b.article
    linked = k >= 0 and not atoms[k].after
    if not b.negated and linked and atoms[k].sentence == atoms[first].sentence:
        denied = atoms[k].lower in NOT and not _speaks_of(passage, k)
        b.negated = denied or (atoms[k].lower in WANTED and article in ("a", "an", ""))
        if b.condition == "new" and atoms[k].lower in TAKING:
            b.condition = None  # "it takes a new rack every six minutes"
    if article in ("a", "an") and linked and (k in passage.measured or passage.classes.of(atoms[k].lower) == "unit"):
        b.negated = True  # "seventy five pounds a hook" is for each
    unseen = [a.lower for a in atoms[max(0, k - 2) : k + 1]]
    if article in ("a", "an", "any") and unseen[-1:] and unseen[-1] in SEEING and set(unseen[:-1]) & DENYING:
        b.negated = True  # "I did not see an oil cooler"
    if article == "a" and atoms[min([first, *b.extra])].lower in ("bit", "touch", "tad") and first < head:
        b.negated = True  # "reading a bit light"
    bare = not article and b.count is None and not b.extra and end - first == 1
    if bare and singular(atoms[first].lower) in DOING and end < len(atoms) and not atoms[end - 1].after:
        told = passage.classes.of(atoms[end].lower) in ("leads", "points", "stands_in")
        # "Fans on the roof, four" names, "drains to the floor" tells what a thing does
        at = end + (atoms[end].lower in ("up", "out", "over", "down", "back") and end + 1 < len(atoms))
        opens = first == sentence_bounds(atoms, first)[0] and atoms[at].lower in LYING
        b.negated = b.negated or (told and not opens)


def _twins(passage: Passage, end: int, before: Sequence[int]) -> bool:
    """Whether the name that ends before end is two of a kind: "twin agitators", and not "twin screw extruders"."""
    atoms = passage.atoms
    return is_plural(atoms[end - 1].lower) and end - 2 in before and atoms[end - 2].lower in ("twin", "dual", "paired")


def _indexed(passage: Passage, end: int) -> bool:
    """Whether a number or a letter behind the name, which ends before end, says which of several it is."""
    atoms, numbers = passage.atoms, passage.numbers
    if atoms[end - 1].after or end >= len(atoms):
        return False
    counted = end in numbers and numbers[end][3] != "ordinal" and end not in passage.measured and numbers[end][1] < 400
    letter = len(atoms[end].said) == 1 and atoms[end].said.isupper() and atoms[end].said != "I"
    named = end + 1 in numbers and atoms[end].lower in ("number", "no") and not is_plural(atoms[end - 1].lower)
    return counted or letter or named


def _speaks_of(passage: Passage, k: int) -> bool:
    """Whether the "neither", "nor" or "not" at k denies what happens to a thing, and not the thing."""
    first, _ = sentence_bounds(passage.atoms, k)
    if passage.atoms[k].lower == "not":
        return k > first and passage.atoms[k - 1].lower == "but"  # "it goes, but not the tank"
    return passage.atoms[k].lower in ("neither", "nor") and any(
        a.lower == "neither" for a in passage.atoms[first : first + 2]
    )


def _starts(passage: Passage, k: int) -> bool:
    """Whether the atom behind k begins a clause."""
    atoms = passage.atoms
    return k < 0 or bool(atoms[k].after) or atoms[k].sentence != atoms[k + 1].sentence or atoms[k].lower in OPENERS


def _joined(atoms: Sequence[Atom], said: Sequence[int]) -> str:
    """The atoms named by said as a name, in lower case but for initials."""
    out = []
    for n, m in enumerate(said):
        a = atoms[m]
        word = a.said if a.said.isupper() and len(a.said) > 1 else a.said.lower()
        following = said[n + 1] if n + 1 < len(said) else None
        out.append(word + ("" if following is None else a.glue if following == m + 1 else " "))
    return "".join(out)
