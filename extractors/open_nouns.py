"""Nouns that no table has, where people name things: "here's the …", "there's three …", "The cuber's at the end"."""

from __future__ import annotations

from extractors.noun_edges import ROWS, TALLYING
from extractors.noun_phrase import FRAMES, PLAIN, PREPOSITIONS, Phrase
from extractors.noun_tables import Passage
from extractors.phrases import clause_end, is_plural, sentence_bounds, singular, text_of

TURNING = frozenset("the our your this and now then okay so next well right".split())
"""Words before a name at the beginning of a sentence."""
NO_AGENTS = frozenset(
    "however never whatever whenever wherever moreover whoever altogether together rather either neither other another "
    "later sooner earlier better further whether remember consider forever easter winter summer monster number order "
    "matter weather paper letter corner quarter center copper timber rubber silver powder color odor labor honor major "
    "minor prior exterior interior error bigger smaller longer shorter wider taller newer older louder quieter faster "
    "slower heavier lighter hotter colder higher lower deeper thicker thinner tighter looser cheaper nearer closer "
    "under over ever per after yonder fiber solder mortar plaster leather vapor tar sugar butter water wafer".split()
)
"""Words with the ending of a machine that name none, or name what one is made of."""
PLACES = PREPOSITIONS | {"there", "here", "outside", "upstairs", "downstairs", "opposite"}
SPANNING = frozenset("between for in after within by over every past than at until to around number no".split())
"""Words before a number that make it a time, a distance or a share: "in two halves", "between three regenerations"."""
HOLDING = frozenset("box case carton crate can jar jug tub".split())
"""Names of goods that are things where what they hold is named: "ten die boxes"."""
POCKETS = frozenset({"sleeves", "rims", "pockets", "dogs"})
"""What clothes and places have and machines too: where there are more than two they are the machine's."""
NO_THINGS = ("ings", "tions", "sions", "ments", "ities", "ances", "ences", "nesses", "ships", "isms")
"""Endings of plurals that name what is done or how it is."""
COUNTING = tuple(tuple(words.split()) for words in (
    "there are", "there 's", "there is", "we have", "we 've got", "we got", "we 've", "you have", "you 've got",
    "you got", "i have", "i count", "i counted", "i make it", "they 've got", "they have",
))  # fmt: skip
"""Words between a topic and its count."""
FEWEST, MOST = 2, 2000
ARTICLES = frozenset("the these those our your my his her their".split())
BETWEEN = 6
"""Words between a topic and the pause before its count, at most."""
LONGEST = 4
"""Words of a counted name, at most."""


def unknown(passage: Passage, i: int) -> Phrase | None:
    """A noun that no table has, where people name things: "here's the …", "there's three …", "this is your …"."""
    atoms = passage.atoms
    if (found := _turned_to(passage, i) or _counted(passage, i) or _topic(passage, i)) is not None:
        return found
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
            or atoms[stop - 1].after
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
    agent = len(stem) > 5 and is_agent(stem) and stem not in NO_AGENTS
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
    if k == start or k + 1 >= last or not is_agent(singular(atoms[k - 1].lower)) or atoms[k - 1].lower in NO_AGENTS:
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


def _counted(passage: Passage, i: int) -> Phrase | None:
    """A plural that no table has behind a number: "fourteen risers", "two small containers", "ten die boxes"."""
    atoms, number = passage.atoms, passage.numbers.get(i)
    if number is None or i in passage.measured or atoms[i].aside:
        return None
    first, value, top, form = number
    if form not in ("cardinal", "digits") or top is not None or value != int(value) or not FEWEST <= value <= MOST:
        return None
    start = i
    if i and not atoms[i - 1].after:
        if atoms[i - 1].lower in SPANNING or passage.places.at(atoms, i - 1) is not None:
            return None
        if passage.names.at(atoms, i - 1) is not None and not is_plural(atoms[i - 1].lower):
            return None  # "pump three weeps": its number
        start -= atoms[i - 1].lower in ARTICLES
    first += first < len(atoms) and atoms[first].lower in TALLYING and not atoms[first - 1].after
    k = first
    while k < len(atoms) and k - first < LONGEST and not atoms[k - 1].after and atoms[k].sentence == atoms[i].sentence:
        if k in passage.measured or k in passage.numbers or atoms[k].aside:
            return None
        kind, known = passage.classes.of(atoms[k].lower), passage.names.at(atoms, k)
        held = (singular(atoms[k].lower) in HOLDING and k > first) or (atoms[k].lower in POCKETS and value > 2)
        if known is not None and is_plural(atoms[known[0] - 1].lower) and not held:
            return None
        if is_plural(atoms[k].lower) and (held or kind == "content"):
            break
        if kind not in ("content", "name", "describes") and not (kind == "acts" and atoms[k].lower.endswith("ing")):
            return None
        k += 1
    else:
        return None
    head = atoms[k].lower
    # of goods only those are things that hold things of the table: "ten die boxes", and not "ten big boxes"
    if singular(head) in ROWS and k + 1 < len(atoms) and atoms[k + 1].lower == "of" and not atoms[k].after:
        return None  # "two banks of three filters" are filters
    holds = singular(head) not in HOLDING or any(passage.names_at(n) for n in range(first, k))
    # "three lists it": a verb has something behind it that no noun has
    behind = atoms[k + 1].lower if k + 1 < len(atoms) and not atoms[k].after else ""
    verb = k == first and passage.classes.of(behind) in ("points", "stands_in", "number")
    if not holds or verb or not head.isalpha() or head.endswith(NO_THINGS) or len(singular(head)) < 3:
        return None
    kept = [n for n in range(first, k + 1) if atoms[n].lower not in PLAIN]
    return Phrase(
        start, kept[0], k, k + 1, "open", singular(head), text_of(atoms, kept[0], k + 1), int(value),
        approximate=i in passage.approximate, article=atoms[start].lower if start < i else "",
        modifiers=tuple(atoms[n].lower for n in kept[:-1]), plural=True,
    )  # fmt: skip


def _topic(passage: Passage, i: int) -> Phrase | None:
    """A plural that no table has, first in its sentence, and its count behind: "Envelopes. We've got forty eight."."""
    atoms = passage.atoms
    first, _ = sentence_bounds(atoms, i)
    if i != first or atoms[i].aside:
        return None
    k = i
    while k < len(atoms) and k - i < 3 and passage.classes.of(atoms[k].lower) in ("content", "name"):
        if passage.names.at(atoms, k) is not None or k in passage.numbers or k in passage.measured:
            return None
        k += 1
        if atoms[k - 1].after or is_plural(atoms[k - 1].lower):
            break
    head = atoms[k - 1].lower if k > i else ""
    if not is_plural(head) or head.endswith(NO_THINGS) or len(singular(head)) < 3 or not head.isalpha():
        return None
    behind = k
    while behind < len(atoms) and not atoms[behind - 1].after and atoms[behind].lower in ("now", "next", "then"):
        behind += 1
    placed = behind < len(atoms) and atoms[behind].lower in PREPOSITIONS and not atoms[behind - 1].after
    if placed:
        behind = clause_end(atoms, behind)  # "Hangers on three-foot centers, hundred and eighty of them"
    told_at_once = behind < len(atoms) and atoms[behind].lower in ("we", "i", "you", "they", "there")
    if behind >= len(atoms) or not (atoms[behind - 1].after in (",", ".", ":", ";") or told_at_once):
        return None
    opening = max((len(w) for w in COUNTING if tuple(a.lower for a in atoms[behind : behind + len(w)]) == w), default=0)
    number = passage.numbers.get(behind + opening)
    if number is None or behind + opening in passage.measured or number[2] is not None or number[1] < FEWEST:
        return None
    end = number[0]
    them = [a.lower for a in atoms[end : end + 2]] if end < len(atoms) and not atoms[end - 1].after else []
    told = them[:1] == ["of"] and them[-1] in ("them", "'em", "em", "those", "these")
    if placed and (not told or behind - k > BETWEEN):
        return None
    if number[3] not in ("cardinal", "digits") or number[1] != int(number[1]) or not (told or (opening and not them)):
        return None
    return Phrase(
        i, i, k - 1, k, "open", singular(head), text_of(atoms, i, k), int(number[1]),
        modifiers=tuple(a.lower for a in atoms[i : k - 1]), plural=True,
    )  # fmt: skip


def is_agent(stem: str) -> bool:
    """Whether a noun has an ending that machines have: "cuber", "agitator", "conveyor"."""
    return len(stem) > 4 and stem.endswith(("er", "or", "veyor")) and not stem.endswith(("eer", "ower"))
