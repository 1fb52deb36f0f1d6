"""Whether a word that may name a thing is a verb where it stands: "they drive", "to press", "the pump makes 20"."""

from __future__ import annotations

from extractors.noun_phrase import DOING, VERBAL
from extractors.noun_tables import Passage
from extractors.phrases import is_plural, singular

ONLY = frozenset("only just still barely hardly easily really always never".split())
PLURALS = frozenset("goods parts works sales tools controls bottles cans bags".split())
"""Plurals that stand before a noun: "goods lift"."""
PEOPLE = frozenset(
    "boss owner operator foreman manager landlord customer buyer seller guy man lady wife son cousin brother he she "
    "who engineer electrician fitter mechanic driver supervisor nobody somebody anybody everybody everyone".split()
)
LIMBS = frozenset("finger fingers thumbs head heads hand hands arm arms foot feet leg legs neck".split())
FILED = frozenset("folder binder file sleeve".split())
PAPERS = frozenset(
    "drawing drawings paper papers sheet sheets certificate certificates manual manuals page pages it's figure figures "
    "paperwork documents invoice record records test report plan plans".split()
)


def verbal(passage: Passage, i: int) -> bool:
    """Whether the word at i is a verb here: "they drive", "to press", "I saw"."""
    before = passage.atoms[i - 1] if i else None
    if modal(passage, i):
        return True
    helped = i - 1
    while helped > 0 and passage.atoms[helped].lower in ONLY and not passage.atoms[helped].after:
        helped -= 1
    if helped >= 0 and not passage.atoms[helped].after and modal(passage, helped):
        return True
    if passage.atoms[i].lower == "still" and (
        before is None or bool(before.after) or passage.classes.of(before.lower) not in ("points", "content")
    ):
        return True  # "still works"
    if before is not None and before.lower in ("my", "your", "his", "her") and passage.atoms[i].lower in LIMBS:
        return True  # "keep your fingers out of there"
    if passage.atoms[i].lower in FILED and i > 1 and passage.atoms[i - 2].lower == "in" and before is not None:
        papers = {a.lower for a in passage.atoms[max(0, i - 8) : i - 2]} & PAPERS
        if before.lower in ("the", "a", "that", "this") and papers:
            return True  # "the drawing in the folder"
    if lasting(passage, i):
        return True
    if before is not None and before.lower in PEOPLE and not before.after and is_plural(passage.atoms[i].lower):
        behind = passage.atoms[i + 1].lower if i + 1 < len(passage.atoms) and not passage.atoms[i].after else ""
        if passage.classes.of(behind) in ("points", "stands_in"):
            return True  # "the boss sets the price"
    one = before is not None and before.lower == "one" and not before.after and i > 1
    if one and is_plural(passage.atoms[i].lower) and passage.atoms[i - 2].lower in ("that", "this", "which"):
        return True  # "and that one drives"
    if before is None or before.after or before.sentence != passage.atoms[i].sentence:
        return False
    plural = is_plural(before.lower) and passage.classes.of(before.lower) == "content" and before.lower not in PLURALS
    if plural and passage.atoms[i].lower in DOING and i + 1 < len(passage.atoms) and not passage.atoms[i].after:
        # "the hoists lift five ton", "the fans drive air"
        return passage.classes.of(passage.atoms[i + 1].lower) in ("number", "points", "stands_in")
    if before.lower == "to":
        return not (i + 1 < len(passage.atoms) and is_plural(passage.atoms[i].lower)) and len(passage.names_at(i)) < 2
    return before.lower in VERBAL


def lasting(passage: Passage, i: int) -> bool:
    """Whether "still" behind a name is no still: "the spare pump still in its crate", "the conveyor still runs"."""
    if i == 0 or i + 1 >= len(passage.atoms) or passage.atoms[i].lower != "still" or passage.atoms[i].after:
        return False
    named = passage.classes.of(passage.atoms[i - 1].lower) == "content" and not passage.atoms[i - 1].after
    return named and passage.classes.of(passage.atoms[i + 1].lower) in ("leads", "acts", "helps", "describes")


def _several(passage: Passage, k: int) -> bool:
    """Whether a number above one stands before the words that end at k: "a dozen filter bags" bags nothing."""
    for j in range(k - 2, max(-1, k - 6), -1):
        if j in passage.number_at:
            return passage.atoms[j].lower not in ("one", "a", "1")
        if passage.atoms[j].after or passage.classes.of(passage.atoms[j].lower) not in ("content", "describes"):
            return False
    return False


def acting(passage: Passage, k: int) -> bool:
    """Whether a plural behind a singular name is its verb: "the pump makes 20", "the cooler stands below"."""
    lower = passage.atoms[k].lower
    if lower in ("stand", "work", "run", "sit", "drain", "vent", "lift", "feed", "drive") and k + 1 < len(
        passage.atoms
    ):
        return not passage.atoms[k].after and passage.classes.of(passage.atoms[k + 1].lower) == "leads"
    if not is_plural(lower) or k + 1 >= len(passage.atoms) or passage.atoms[k].after or _several(passage, k):
        return False
    if passage.classes.of(lower) != "acts" and singular(lower) not in DOING | {"make", "stand", "work", "mark"}:
        return False
    return passage.classes.of(passage.atoms[k + 1].lower) in (
        "number",
        "points",
        "leads",
        "content",
        "describes",
        "stands_in",
    )


def modal(passage: Passage, k: int) -> bool:
    """Whether "can" helps a verb: "the press can go", "the washer can be had"."""
    if passage.atoms[k].lower not in ("can", "will") or k + 1 >= len(passage.atoms) or passage.atoms[k].after:
        return False
    at = k + 1
    while at + 1 < len(passage.atoms) and passage.atoms[at].lower in ONLY and not passage.atoms[at].after:
        at += 1  # "a man can only lift so many"
    behind = passage.atoms[at].lower
    ahead = passage.atoms[at + 1].lower if at + 1 < len(passage.atoms) and not passage.atoms[at].after else ""
    if at > k + 1 or passage.classes.of(ahead) in ("number", "points") or ahead in ("up", "so", "a", "an"):
        return True  # "the hoist can lift five tons"
    return behind in ("be", "also", "all", "have", "not") or passage.classes.of(behind) == "acts"
