"""Where the whole stands, as told in the first sentences: a room, a street, a town."""

from __future__ import annotations

from functools import lru_cache

from extractors.mentions import IdentityMention
from extractors.phrases import Finder, clause_start, said_text, span_of, text_of
from extractors.scene import Scene
from vocab import Vocabulary

Where = tuple[int, int, int]
"""Atoms: where its words begin with what leads them, where its name begins, where it ends."""
SAID = frozenset("is 's are was were have has got it this that here there i we you they go goes the".split())
"""Words of a clause that says something: a place named alone has none of them."""
STREETS = frozenset("street road lane avenue drive way close estate park crescent highway boulevard row".split())
UNITS = frozenset("unit shed building block plot number bay dock".split())
"""Words before the number of a place in a street."""
EARLY = 8
"""Sentences in which the place is told; chosen, no source."""


def location(view: Scene, vocabulary: Vocabulary) -> IdentityMention | None:
    """Where it stands: the first place told, with the street or town that goes on from it."""
    street = _street(view)
    found = [w for w in (_placed(view, vocabulary), street, _town(view)) if w is not None]
    if not found:
        return None
    lead, first, last = min(found)
    for _, other, end in sorted(found):
        near = other - last <= 2 and view.atoms[other].sentence == view.atoms[first].sentence
        if first < other and near and end > last:
            last = end  # "the old retread shop on Kiepersol Street", "Unit 6, Harbour Lane"
    last = _further(view, last)
    named = any(a.capital and len(a.said) > 1 for a in view.atoms[first + 1 : last])
    named = named or street == (first, first, last)
    text = (said_text if named else text_of)(view.atoms, first, last)
    return IdentityMention(span_of(view.atoms, view.tokens, lead, last), "location", text)


def _further(view: Scene, last: int) -> int:
    """The end with a numbered part of the place behind it: "the depot Eschenwalde, hall 2"."""
    atoms = view.atoms
    while last < len(atoms) and atoms[last].capital and not atoms[last - 1].after and atoms[last].said.isalpha():
        last += 1
    if (
        last + 1 < len(atoms)
        and atoms[last - 1].after == ","
        and atoms[last].lower in UNITS | {"hall", "room", "floor"}
    ):
        return view.numbers[last + 1][0] if last + 1 in view.numbers and not atoms[last].after else last
    return last


def _street(view: Scene) -> Where | None:
    """ "Unit 6, Harbour Lane", "on Kiepersol Street"."""
    atoms = view.atoms
    for i in range(1, len(atoms)):
        if atoms[i].sentence > atoms[0].sentence + EARLY:
            return None
        if atoms[i].lower not in STREETS or not atoms[i].capital or atoms[i].aside:
            continue
        k = i
        while k and atoms[k - 1].capital and not atoms[k - 1].after and atoms[k - 1].sentence == atoms[i].sentence:
            k -= 1
        if k == i:
            continue
        for n in range(max(0, k - 3), k):
            if atoms[n].lower in UNITS and n + 1 in view.numbers and view.numbers[n + 1][0] == k:
                return n, n, i + 1
        return k, k, i + 1
    return None


def _town(view: Scene) -> Where | None:
    """ "We're in Bellhook, New Brunswick": a name behind the words that say where the speaker is."""
    atoms = view.atoms
    for i in range(2, len(atoms)):
        if atoms[i].sentence > atoms[0].sentence + EARLY:
            return None
        if atoms[i - 1].lower != "in" or not atoms[i].capital or atoms[i].aside or atoms[i].said.isupper():
            continue
        if atoms[i - 2].lower not in ("are", "'re", "'m", "am", "here", "is") or atoms[i - 2].after:
            continue
        whom = {a.lower for a in atoms[max(0, i - 4) : i - 2]} | {atoms[i - 2].lower}
        if not whom & {"we", "i", "here", "location", "it"}:
            continue
        end = i + 1
        while end < len(atoms) and atoms[end].capital and atoms[end].sentence == atoms[i].sentence:
            if atoms[end - 1].after not in ("", ","):
                break
            end += 1
        return i - 1, i, end
    return None


def _placed(view: Scene, vocabulary: Vocabulary) -> Where | None:
    """Where it stands by a noun for places: "in the back of the pump house"."""
    places = _places(vocabulary)
    atoms = view.atoms
    for i in range(1, len(atoms)):
        if atoms[i].sentence > atoms[0].sentence + EARLY:
            return None
        hit = places.at(atoms, i)
        if hit is None or atoms[i].aside:
            continue
        k = i
        while (
            k > 0
            and i - k < 8
            and not atoms[k - 1].after
            and atoms[k - 1].sentence == atoms[i].sentence
            and atoms[k - 1].lower not in ("in", "at", "on", "inside", "outside", "from", "behind", "through")
        ):
            k -= 1
        start = clause_start(atoms, i)
        ends = view.numbers[hit[0]][0] if hit[0] in view.numbers and not atoms[hit[0] - 1].after else hit[0]
        alone = i - start <= 3 and bool(atoms[ends - 1].after)
        opening = start == 0 or atoms[start - 1].sentence != atoms[start].sentence
        alone = alone and atoms[i].sentence <= atoms[0].sentence + (4 if opening else 1)
        if (
            alone
            and atoms[i].lower != "plant"
            and not any(a.lower in SAID for a in atoms[start : hit[0]])
            and not _named_whole(view, start, hit[0])
        ):
            return start, start, ends  # "Survey record, finishing department, bay two."
        if atoms[start].lower == "the":
            start += 1
        if atoms[start].lower == "location" and atoms[start + 1].lower in ("is", "'s") and start + 2 <= i:
            k = start + 2 + (atoms[start + 2].lower in ("the", "a", "our"))
            return k, k, hit[0]
        if (
            k == 0
            or (
                atoms[k - 1].lower not in ("in", "at", "on", "inside", "outside", "behind") and not _heard_from(view, k)
            )
            or atoms[k - 1].after
            or i - k > 7
        ):
            continue
        first = k + (atoms[k].lower in ("the", "a", "an", "my", "your", "our", "their"))
        last = hit[0]
        further = places.at(atoms, last) if last < len(atoms) and not atoms[last - 1].after else None
        last = further[0] if further is not None else last  # "at the hospital laundry"
        if (
            last + 1 < len(atoms)
            and not atoms[last - 1].after
            and atoms[last].lower in ("number", "no")
            and last + 1 in view.numbers
        ):
            last = view.numbers[last + 1][0]  # "in hall number two"
        elif (
            last < len(atoms)
            and not atoms[last - 1].after
            and (last in view.numbers or (len(atoms[last].said) == 1 and atoms[last].said.isupper()))
        ):
            last = view.numbers[last][0] if last in view.numbers else last + 1
        elif (
            last < len(atoms)
            and atoms[last].lower in ("line", "manager", "floor", "door", "supervisor")
            and not atoms[last - 1].after
        ):
            continue
        return k - 1, first, last
    return None


def _heard_from(view: Scene, k: int) -> bool:
    """ "This is recording from block C": the speaker tells where he is."""
    words = [a.lower for a in view.atoms[max(0, k - 4) : k]]
    return words[-1:] == ["from"] and bool(
        {"recording", "speaking", "talking", "live", "calling", "reporting", "speak", "record", "talk"} & {*words}
    )


def _named_whole(view: Scene, first: int, last: int) -> bool:
    """Whether the words name a thing rather than a place: "bag filling plant"."""
    return any(
        first <= p.first < last and p.grade in ("machine", "open", "whole", "generic") and p.last >= last
        for p in view.phrases
    )


@lru_cache(maxsize=8)
def _places(vocabulary: Vocabulary) -> Finder[str]:
    return Finder([(s, s) for r in vocabulary["identity"] if r["field"] == "place" for s in r["spoken"]], nouns=True)
