"""Parts of a total that are told behind it, one after another, by where they are or of what kind.

"Nine heater bands, five on the feed end and three on the die end"; "ten tanks, seven of them mild steel and three
polypropylene"; "three dosing pumps, one for ammonia and two for the salt". They count as parts where they make up the
total, or nearly: what is missing is a question for the reader of the report.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from extractors.counts_behind import count_behind
from extractors.noun_phrase import PREPOSITIONS, Phrase
from extractors.parts import LINKS, NO_KINDS, OF_THEM, of_one, part_of
from extractors.phrases import is_plural, singular
from extractors.scene import Scene

PLACING = frozenset("on at in for along down up under over inside outside round around by".split())
VERBS = frozenset(
    "works runs leaks goes stays do does did has have had can will is are was were needs wants sold ours".split()
)
FILLED = frozenset({"empty", "full"})
AIMING = frozenset({"for", "from"})
SIZES = frozenset("high wide deep long tall thick across apart each apiece times more hours days weeks years".split())
OUT = frozenset("up down over out back round around".split())
JOINTS = frozenset("and but then plus with so".split())
UPWARD = frozenset({"up", "on", "down", "at"})
ENDS = frozenset({"top", "bottom", "below", "underneath"})
"""Places without an article: "four up top"."""
NOT_PLACES = frozenset("it is are was has have that which who i we you they".split())
NAMED = frozenset("number no stage station zone tank of to".split())
LEAST = 2
"""Fewest of a total that has parts."""
MANY = 6
"""Totals from which on the parts may come to a little more or less."""
BETWEEN = 5
"""Words from one part to the next, at most."""


def placed_parts(view: Scene) -> list[Phrase]:
    """Parts told by where they are or of what kind: "nine bands, five on the feed end and three on the die end"."""
    out: list[Phrase] = []
    for n, total in enumerate(view.phrases):
        if not total.plural or total.grade == "never" or total.negated:
            continue
        if total.count is None:
            total = replace(total, count=count_behind(view, total))
        if (total.count or 0) < LEAST:
            continue
        told = _told_parts(view, total, view.phrases[n + 1 :], {p.first for p in out})
        made = sum(p.count or 0 for p in told)
        # of a few all are told; of many one may be forgotten, which the reader of the report should see
        slack = (total.count or 0) // 4 if (total.count or 0) >= MANY else 0
        if len(told) > 1 and abs(made - (total.count or 0)) <= slack:
            out += told
    return out


def _told_parts(view: Scene, total: Phrase, behind: Sequence[Phrase], taken: set[int]) -> list[Phrase]:
    """The parts of a total, as far as they are told one after another behind it."""
    atoms, told = view.atoms, list[Phrase]()
    own = {p.first: p for p in behind if 0 < (p.count or 0) < (total.count or 0) and p.heads[-1] == total.heads[-1]}
    stop = next((p.first for p in behind if p.grade in ("machine", "open") and p.first not in own), len(atoms))
    k = total.last
    while k < min(stop, len(atoms)) and atoms[k].sentence - atoms[total.name].sentence <= 1:
        part = None if k in taken else _placed(view, total, k, own.get(k)) or _described(view, total, k)
        if part is not None:
            told.append(part)
            k = part.last
            continue
        if (told and k - told[-1].last > BETWEEN) or (k in own and not told):
            break
        k += 1
    return told


def _number_at(view: Scene, total: Phrase, k: int) -> tuple[int, int] | None:
    """End (excluded) and value of a number at atom k that may count a part of the total."""
    atoms, number = view.atoms, view.numbers.get(k)
    if number is None or k in view.measured or atoms[k].aside:
        return None
    end, value, top, form = number
    if top is not None or form not in ("cardinal", "digits") or not 0 < value < (total.count or 0):
        return None
    if value != int(value) or (k and atoms[k - 1].lower in NAMED) or end >= len(atoms) or atoms[end - 1].after:
        return None
    return end, int(value)


def _placed(view: Scene, total: Phrase, k: int, own: Phrase | None) -> Phrase | None:
    """The part whose number begins at atom k and whose place ends its clause; `own`: a phrase that the part has."""
    atoms, number = view.atoms, _number_at(view, total, k)
    if number is None or (own is not None and atoms[own.last - 1].after):
        return None
    end = _linked(view, number[0] if own is None else own.last)
    if end >= len(atoms):
        return None
    if atoms[end].lower in UPWARD and end + 1 < len(atoms) and atoms[end + 1].lower in ENDS and not atoms[end].after:
        return _named(total, k, end + 2, number[1], [atoms[end + 1].lower])  # "four of them up top"
    end += atoms[end].lower in OUT and not atoms[end].after  # "ten over on the fill side"
    place = end + 1
    if end >= len(atoms) or place >= len(atoms) or atoms[end].after:
        return None
    # "ten in use and ten on the shelf" tells no places; "one for ammonia", "four from above" do
    article = atoms[place].lower in ("the", "this", "that", "your")
    if atoms[end].lower not in (PLACING if article else AIMING):
        return None
    place += article
    last = _clause_to(view, k, place, 4, JOINTS)
    if last is None:
        return None
    words = [a.lower for a in atoms[place:last]]
    if set(words) & NOT_PLACES or words[0] in ("each", "every", "it", "them", "all", "a"):
        return None
    return _named(total, k, last, number[1], [singular(w) for w in words])


def _named(total: Phrase, k: int, last: int, count: int, words: Sequence[str]) -> Phrase:
    """The part of a total at atoms k to last, by the words of its place: "feed end heater bands"."""
    part = part_of(total, k, last, count, " ".join(words), behind=False)
    return replace(part, text=f"{' '.join(words)} {of_one(total.text) if count == 1 else total.text}")


def _linked(view: Scene, k: int) -> int:
    """The first atom behind "of them" and "are" at k: "five of them for block", "three of those are on the nickel"."""
    atoms = view.atoms
    of = [a.lower for a in atoms[k : k + 2]]
    if len(of) == 2 and of[0] == "of" and of[1] in OF_THEM and not atoms[k + 1].after:
        k += 2
    return k + (k < len(atoms) and atoms[k].lower in LINKS and not atoms[k].after)


def _clause_to(view: Scene, k: int, first: int, most: int, stops: frozenset[str], *, read: int = 0) -> int | None:
    """End (excluded) of the words from atom first on, before one of stops or a number, where a clause ends there; k: an
    atom of their sentence; read: how many of them are known to belong there, besides the most."""
    atoms, last = view.atoms, first + read
    while last < len(atoms) and last - first < most + read and atoms[last].sentence == atoms[k].sentence:
        if atoms[last].lower in stops or last in view.numbers or last in view.measured:
            break
        last += 1
        if atoms[last - 1].after:
            break
    ended = last > first and (bool(atoms[last - 1].after) or last >= len(atoms) or atoms[last].lower in JOINTS)
    return last if ended else None


def _verbal(word: str) -> bool:
    return word in VERBS or word.endswith(("n't", "'s"))


def _described(view: Scene, total: Phrase, k: int) -> Phrase | None:
    """The part whose number begins at atom k and whose kind ends its clause: "seven of them mild steel"."""
    atoms, number = view.atoms, _number_at(view, total, k)
    if number is None:
        return None
    first = number[0]
    if [a.lower for a in atoms[first : first + 1]] == ["of"]:
        if first + 2 >= len(atoms) or atoms[first + 1].lower not in OF_THEM or atoms[first + 1].after:
            return None
        first += 2
    having = first < len(atoms) and atoms[first].lower == "with"  # "nine with tools in, three empty"
    stops = JOINTS | LINKS if having else JOINTS | LINKS | PREPOSITIONS
    last = _clause_to(view, k, first, 3, stops, read=having)
    if last is None:
        return None
    words = [a.lower for a in atoms[first:last]]
    if set(words) & (NO_KINDS - FILLED - {"in"} | NOT_PLACES | SIZES) or any(w.endswith("ly") for w in words):
        return None
    if not having and any(_verbal(w) for w in words):
        return None  # "one works and one doesn't"
    own = any(first <= p.head < last and p.grade != "never" for p in view.phrases)
    if not having and (own or (is_plural(words[-1]) and words[-1] != "ones")):
        return None  # "nine plates, three sections": a noun of its own
    words = words[:-1] if singular(words[-1]) == "one" else words
    return part_of(total, k, last, number[1], " ".join(words), behind=having) if words else None
