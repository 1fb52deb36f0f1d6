"""Phrases around the names of things, in the order of their words."""

from __future__ import annotations

from extractors.noun_edges import around
from extractors.noun_phrase import PREPOSITIONS, Phrase
from extractors.noun_tables import Passage
from extractors.noun_verbs import acting, lasting, modal, verbal
from extractors.open_nouns import FEWEST, NO_AGENTS, is_agent, unknown
from extractors.phrases import is_plural, key, singular

PARTICLES = frozenset("up on off in out over down through".split())
Found = tuple[int, tuple[str, str]]
"""End (excluded) of a name, and the table's name with its grade."""


def noun_phrases(passage: Passage) -> list[Phrase]:
    """Every phrase of a transcript in order of its words."""
    atoms, out, i = passage.atoms, list[Phrase](), 0
    while i < len(atoms):
        found = None
        if not atoms[i].aside and i not in passage.measured and not verbal(passage, i):
            found = passage.names.at(atoms, i)
        if found is not None and atoms[i].lower == "a" and atoms[i].glue == " ":
            found = None  # "on a frame" is no A-frame
        if found is not None and _half(passage, found[0]):
            found = None  # "a stand-up pouch packing line" has no stand
        if found is None:
            opened = unknown(passage, i)
            if opened is not None and not (out and out[-1].last > opened.name):
                out.append(opened)
                i = opened.last
            else:
                i += 1
            continue
        phrase = _phrase(passage, i, found)
        k = phrase.first - 1
        linked = (bool(out) and out[-1].negated and out[-1].last == k) or (k > 0 and atoms[k - 1].aside)
        if linked and k > 0 and atoms[k].lower == "or" and not atoms[k - 1].after and phrase.article in ("", "a", "an"):
            phrase.negated = True  # "needs two forklifts or a crane", "no hoist or crane"
        spare = bool(out) and (out[-1].known == "spare" or (out[-1].known == "spare set" and bool(phrase.holders)))
        if spare and out[-1].first == phrase.first and phrase.grade != "never":
            out.pop()  # "the spare" of "the spare rolls"
        out.append(phrase)
        i = phrase.last
    return out


def _half(passage: Passage, end: int) -> bool:
    """Whether a name that ends there is the first half of a joined word: as in "stand-up", "roll-on"."""
    atoms = passage.atoms
    joined = end < len(atoms) and atoms[end - 1].glue == "-" and atoms[end].lower in PARTICLES
    return joined and end + 1 < len(atoms) and not atoms[end].after and atoms[end].glue == " "


def _phrase(passage: Passage, i: int, found: Found) -> Phrase:
    """The phrase around the name found at atom i, and around the names that go on from it: "pump motor"."""
    atoms = passage.atoms
    start, end, (name, grade) = _whole_name(passage, i, found)
    before = i - 1 in passage.number_at or (i and atoms[i - 1].lower == "single")
    if start > i and passage.places.at(atoms, i) and before:
        return around(passage, i + 1, start, end, name, grade)  # "a five stage washer"
    phrase = around(passage, i, start, end, name, grade)
    beyond = _counted_beyond(passage, phrase) or _agent_beyond(passage, phrase)
    if beyond is None:
        return phrase
    return around(passage, i, beyond - 1, beyond, singular(atoms[beyond - 1].lower), "open")


def _whole_name(passage: Passage, i: int, found: Found) -> tuple[int, int, tuple[str, str]]:
    """First atom of the noun, end (excluded) and name of the thing whose words begin at atom i."""
    atoms, start, (end, named) = passage.atoms, i, found
    while (
        end < len(atoms)
        and not atoms[end - 1].after
        and atoms[end].sentence == atoms[i].sentence
        and not atoms[end].aside
    ):
        further = passage.names.at(atoms, end) if end not in passage.measured else None
        if further is None:
            further = _beyond(passage, end)
        if atoms[end].lower in PREPOSITIONS or (atoms[end].lower in ("number", "no") and end + 1 in passage.numbers):
            break  # "separator next door"
        verb = modal(passage, end) or acting(passage, end) or lasting(passage, end)
        plural = is_plural(atoms[end - 1].lower) and not atoms[end - 1].lower.endswith("works")
        if further is None or verb or plural:
            break
        words = len(key(further[1][0]))
        start = further[0] - words if further[0] - end > words else end
        end, named = further
    for s in range(i, start):  # "immersion burner tube" is a burner tube
        whole = passage.names.at(atoms, s)
        if whole is not None and whole[0] == end:
            return s, end, whole[1]
    return start, end, named


def _beyond(passage: Passage, k: int) -> Found | None:
    """A name behind one or two words that no table has: "rack zinc plating line" is one phrase."""
    atoms = passage.atoms
    for j in (k + 1, k + 2):
        if j >= len(atoms) or atoms[j - 1].after or j - 1 in passage.number_at or j - 1 in passage.measured:
            return None
        lower = atoms[j - 1].lower
        noun = passage.classes.of(lower) in ("content", "name") or lower.endswith("ing")
        if not noun or lower.endswith("ly"):
            return None
        found = passage.names.at(atoms, j)
        if found is not None:
            return found
    return None


def _counted_beyond(passage: Passage, phrase: Phrase) -> int | None:
    """End of a plural right behind a singular name that a number counts: "four belt scrapers" are scrapers."""
    atoms = passage.atoms
    if phrase.plural or phrase.grade == "never" or not 0 <= phrase.last - 1 < len(atoms):
        return None
    before = phrase.name - 1
    number = passage.numbers.get(passage.number_at.get(before, -1))
    every = {a.lower for a in atoms[max(0, phrase.first - 1) : phrase.name]} & {"all", "both"}
    if phrase.holders or every:  # "a set of mixer tiles", "all the roller decks"
        number = (0, FEWEST, None, "cardinal")
    if number is None or atoms[before].after or number[2] is not None or number[3] not in ("cardinal", "digits"):
        return None
    k = phrase.last
    if k >= len(atoms) or atoms[k - 1].after or atoms[k].sentence != atoms[k - 1].sentence:
        return None
    lower = atoms[k].lower
    plain = passage.classes.of(lower) == "content" and lower.isalpha() and k not in passage.measured
    if not plain or not is_plural(lower) or atoms[k].aside or number[1] < 2 or number[1] != int(number[1]):
        return None
    return k + 1


def _agent_beyond(passage: Passage, phrase: Phrase) -> int | None:
    """End of a noun with the ending of a machine right behind a name: "keg turner", "pipe hangers", "bowl lifter"."""
    atoms, k = passage.atoms, phrase.last
    if phrase.plural or phrase.holders or phrase.negated or k >= len(atoms) or atoms[k - 1].after:
        return None
    lower = atoms[k].lower
    plain = atoms[k].sentence == atoms[k - 1].sentence and k not in passage.measured and not atoms[k].aside
    content = {passage.classes.of(lower), passage.classes.of(singular(lower))} == {"content"}
    named = plain and content and passage.names.at(atoms, k) is None
    if not named or not is_agent(singular(lower)) or lower in NO_AGENTS or atoms[k].lower in passage.given:
        return None
    ahead = atoms[k + 1].lower if k + 1 < len(atoms) and not atoms[k].after else ""
    return None if ahead == "than" or (ahead and passage.classes.of(ahead) == "content") else k + 1
