"""Nouns that no table has, where people name things: "here's the …", "there's three …", "The cuber's at the end"."""

from __future__ import annotations

from extractors.noun_phrase import FRAMES, PLAIN, PREPOSITIONS, Phrase
from extractors.noun_tables import Passage
from extractors.phrases import is_plural, sentence_bounds, singular, text_of

TURNING = frozenset("the our your this and now then okay so next well right".split())
"""Words before a name at the beginning of a sentence."""
NO_AGENTS = frozenset(
    "however never whatever whenever wherever moreover whoever altogether together rather either neither other another "
    "later sooner earlier better further whether remember consider forever easter winter summer monster number order "
    "matter weather paper letter corner quarter center copper timber rubber silver powder color odor labor honor major "
    "minor prior exterior interior error".split()
)
"""Words with the ending of a machine that name none, or name what one is made of."""
PLACES = PREPOSITIONS | {"there", "here", "outside", "upstairs", "downstairs", "opposite"}


def unknown(passage: Passage, i: int) -> Phrase | None:
    """A noun that no table has, where people name things: "here's the …", "there's three …", "this is your …"."""
    atoms = passage.atoms
    if (turned_to := _turned_to(passage, i)) is not None:
        return turned_to
    form = next((f for f in FRAMES if tuple(a.lower for a in atoms[i : i + len(f)]) == f), None)
    if form is None or atoms[i].aside or any(a.after for a in atoms[i : i + len(form)]):
        return None
    k = i + len(form)
    while k < len(atoms) and atoms[k].lower in (
        "also",
        "just",
        "now",
        "here",
        "uh",
        "um",
        "basically",
        "actually",
        "then",
        "like",
    ):
        k += 1
    if k >= len(atoms) or atoms[k].sentence != atoms[i].sentence:
        return None
    count, start, article, approximate = None, k, "", False
    if k in passage.numbers and k not in passage.measured:
        stop, value, top, form_ = passage.numbers[k]
        if (
            form_ in ("ordinal", "fraction", "year", "decimal")
            or value != int(value)
            or not 1 <= value <= 2000
            or top is not None
        ):
            return None
        count, approximate, k = int(value), k in passage.approximate, stop
    elif atoms[k].lower in ("the", "your", "our", "a", "an", "another", "this"):
        article = atoms[k].lower
        k += 1
    else:
        return None
    first = k
    while k < len(atoms) and k - first < 4 and atoms[k].sentence == atoms[i].sentence:
        lower = atoms[k].lower
        if passage.names.at(atoms, k) or k in passage.measured or k in passage.numbers or atoms[k].aside:
            return None
        kind = passage.classes.of(lower)
        if (
            kind in ("leads", "helps", "stands_in", "joins", "asks", "fills", "answers", "points")
            or lower.startswith("'")
            or (kind == "acts" and k > first and not lower.endswith("ing"))
        ):
            break
        k += 1
        if atoms[k - 1].after:
            break
    kept = [n for n in range(first, k) if atoms[n].lower not in PLAIN]
    if not kept or kept[-1] != k - 1:
        return None
    head = atoms[k - 1].lower
    stem = singular(head)
    agent = len(stem) > 5 and _agent(stem)
    if (
        passage.classes.of(head) in ("describes", "acts")
        or head in ("yours", "mine", "ours", "theirs", "hers", "his")
        or head.endswith(
            ("ly", "ness", "ity", "ment", "tion", "ance", "ed", "ing", "day", "ous", "ful", "able", "ible", "ish")
        )
        or len(stem) < 3
    ):
        return None
    strong = form[0] not in ("with", "has", "have", "got") and form not in (
        ("that", "'s"),
        ("then",),
        ("and", "then"),
        ("i", "see"),
        ("it", "has"),
        ("plus",),
    )
    if form[0] in ("with", "has", "have", "got") and (count is None or count < 2):
        return None
    shown = (
        article in ("the", "your", "our", "this")
        and strong
        and form[0] in ("here", "this", "these", "over", "next", "you", "we")
    )
    counted = count is not None and count >= 2 and is_plural(head)
    if not (agent or shown or counted):
        return None
    text = text_of(atoms, kept[0], k)
    return Phrase(
        start,
        kept[0],
        k - 1,
        k,
        "open",
        stem,
        text,
        count,
        approximate,
        article,
        tuple(atoms[n].lower for n in kept[:-1]),
        None,
        False,
        False,
        False,
        is_plural(head),
        False,
        "",
    )


def _turned_to(passage: Passage, i: int) -> Phrase | None:
    """A machine that no table has, by its ending, where a sentence turns to it: "The cuber's at the end"."""
    atoms = passage.atoms
    first, last = sentence_bounds(atoms, i)
    k = first
    while k < last and atoms[k].lower in TURNING and not atoms[k].after:
        k += 1
    start = k
    if i != start or atoms[i].aside:
        return None
    while k < last and k - start < 3 and not atoms[k].aside and k not in passage.numbers and k not in passage.measured:
        if passage.names.at(atoms, k) or passage.classes.of(atoms[k].lower) not in ("content", "name"):
            break
        k += 1
        if atoms[k - 1].after:
            break
    if k == start or k + 1 >= last or not _agent(singular(atoms[k - 1].lower)) or atoms[k - 1].lower in NO_AGENTS:
        return None
    if atoms[k - 1].lower in passage.given:
        return None  # "Peter's over there"
    sized = atoms[k - 1].after == "," and (k in passage.measured or k in passage.number_at)
    there = not atoms[k - 1].after and atoms[k].lower in ("'s", "is") and atoms[k + 1].lower in PLACES
    if not (sized or there):
        return None
    head, text = atoms[k - 1].lower, text_of(atoms, start, k)
    modifiers = tuple(a.lower for a in atoms[start : k - 1])
    return Phrase(first, start, k - 1, k, "open", singular(head), text, modifiers=modifiers, plural=is_plural(head))


def _agent(stem: str) -> bool:
    """Whether a noun has an ending that machines have: "cuber", "agitator", "conveyor"."""
    return len(stem) > 4 and stem.endswith(("er", "or", "veyor")) and not stem.endswith(("eer", "ower"))
