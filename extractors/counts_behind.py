"""Counts said behind the name: "conveyors, five of 'em", "valves are two", "anodes, lead, I want to say forty"."""

from __future__ import annotations

from collections.abc import Sequence

from extractors.counts_told_apart import both_behind, placed_ones, total_behind
from extractors.noun_phrase import PREPOSITIONS, Phrase
from extractors.phrases import Atom, clause_end, clause_start, sentence_bounds
from extractors.scene import Scene

LINKS = frozenset({"are", "'re", "is", "'s"})
OPENINGS = tuple(tuple(words.split()) for words in (
    "there are", "there is", "there 's", "there were", "we have", "we 've got", "we got", "you have", "you 've got",
    "you got", "i have", "i 've got", "they are", "they 're", "i count", "i counted", "i see", "i make it", "it 's",
    "that 's", "got", "it is", "in number", "they got", "they 've got", "they have", "i have counted", "i can see",
    "i can find", "i can count", "let 's see", "we found", "i found", "they found", "we count", "we counted",
    "they counted", "you 'll find", "you get", "we make it", "they make it", "she makes it", "he makes it", "i get",
    "i got", "a set of", "a row of", "a bank of", "a total of",
    "i make that", "i reckon", "qty", "quantity", "quantity is", "total", "total of", "in total", "altogether",
))  # fmt: skip
"""Words between the pause behind a name and its count."""
LONGEST_FIRST = tuple(sorted(OPENINGS, key=len, reverse=True))
SAYING = frozenset(
    "i i've i'd we we've you you've they they've 've 'd got get have has see saw count counted make made it put at "
    "call there 's is are there's had they're 're comes come with".split()
)
"""Words of somebody who counts, one after another: "I've", "you get", "I'd put it at", "call it"."""
HEDGES = frozenset(
    (
        "all about roughly around approximately maybe perhaps say some nearly almost i want to think guess believe "
        "would like"
    ).split()
)
THEM = frozenset({"them", "'em", "em", "those", "these"})
PIECES = frozenset({"pieces", "piece", "pcs", "off", "units", "nos", "number", "numbers"})
ADDED = frozenset("also too here there fitted installed though still then spare new used pair pairs".split())
"""Words behind a count that end it."""
LYING = frozenset("hanging lying standing sitting stacked leaning mounted".split())
TURNING = frozenset("now okay so then and next the well right also these those".split())
"""Words before the name in a heading."""
STATES = (["duty"], ["standby"], ["running"], ["spare"], ["working"], ["assist"])
"""What some of several do."""
TAILS = (["next"], ["now"], ["first"], ["then"], ["too"], ["also"])
"""What else a heading may say, as in "Shakers first."."""
CLAUSE = 6
"""Words of a clause between a name and its count that only tells more of it, at most."""
SUMMING = frozenset("so therefore thus hence making makes totalling totaling total altogether".split())
"""Words before a count that is of all."""
IN_ALL = (
    ("in", "all"), ("in", "total"), ("all", "told"), ("all", "in", "all"), ("altogether",), ("total",), ("overall",),
    ("all", "together"), ("counted",), ("fitted", "in", "total"), ("in", "the", "end"),
)  # fmt: skip
"""Words behind a count that is of all."""
NO_VERBS = (
    PREPOSITIONS | LYING | ADDED | frozenset(["", "all", "each", "and", "so", "but", "or", *(w[0] for w in IN_ALL)])
)
"""Words that may stand behind "four of them" where these are all there are."""
RECKONING = frozenset("counting count reckoning thinking see".split())
"""Words of a clause that only says that somebody counts: "she's counting", "let me see"."""
BEGINNING = LYING | frozenset(
    "here there upstairs downstairs overhead outside underneath though too also now that which are".split()
)
"""Words besides prepositions that begin what may stand between a name and its count: "the lifters that hang on it"."""
THERE = frozenset("there there's 's is are and then we we've 've got have you you've also".split())
"""Words before what is told to be there."""
FEW = 5
"""Words of somebody who counts before a number, at most."""
PLACE = 6
"""Words between a name and its count, at most."""
HEADING = 3
ONLY_ONE = frozenset(
    tuple(words.split())
    for words in ("one only", "only one", "only the one", "just one", "just the one", "one of them", "one piece")
)
"""Clauses that say that there is one."""
KINDS = frozenset({"ones", "type", "sort", "kind", "style"})
"""Words that stand for the name once more: "four of the little ones"."""
MOST = 5000


def count_behind(view: Scene, phrase: Phrase) -> int | None:
    """How many there are of a thing, where its count stands behind it in the sentence; None where none does."""
    if phrase.article != "both" and (total := total_behind(view, phrase)) is not None:
        return total
    found = _twins(view, phrase)
    if found is None:
        found = _one_count_behind(view, phrase)
    if found is None:
        found = _told_later(view, phrase)
    if found is None:
        found = placed_ones(view, phrase)
    if found is None and not phrase.plural:
        found = _only_one(view, phrase)
    return both_behind(view, phrase) if found is None else found


def _twins(view: Scene, phrase: Phrase) -> int | None:
    """Two, where they are called so: "the fuel filters are twin", "softener pair, 24 inch"."""
    atoms, k = view.atoms, phrase.last
    if k >= len(atoms) or atoms[k].sentence != atoms[phrase.name].sentence or atoms[k - 1].after or phrase.led:
        return None
    closed = clause_end(atoms, k) == k + 1
    if not phrase.plural:
        return 2 if atoms[k].lower == "pair" and closed else None
    twin = k + 1 < len(atoms) and atoms[k + 1].lower in ("twin", "twins") and clause_end(atoms, k) == k + 2
    return 2 if twin and atoms[k].lower in LINKS else None


def _told_later(view: Scene, phrase: Phrase) -> int | None:
    """How many there are of the plural that a sentence is about, where a later clause says "four of them" and no more,
    or the next sentence begins with it, as in "burners are out the back. Three of them, gas."."""
    atoms = view.atoms
    first, last = sentence_bounds(atoms, phrase.name)
    there = {a.lower for a in atoms[first : phrase.first]} <= THERE
    if not phrase.plural or phrase.led or (phrase.first - first > HEADING and not there):
        return None
    k = clause_end(atoms, phrase.last - 1) if phrase.last < last else last
    while k <= last and k < len(atoms):
        start = k
        while start < len(atoms) and start - k < FEW and atoms[start].lower in SAYING | HEDGES | {"so", "must", "be"}:
            start += 1
        if _others(view, phrase, k) or any(n in view.numbers and n not in view.measured for n in range(phrase.last, k)):
            return None
        end = clause_end(atoms, start)
        if _of_them(view, start) and (k < last or view.numbers[start][0] + 2 >= end):
            return int(view.numbers[start][1]) if view.numbers[start][2] is None else None
        if k >= last:
            return None
        k = clause_end(atoms, k)
    return None


def _one_count_behind(view: Scene, phrase: Phrase) -> int | None:
    """The one number that stands behind a thing and counts it."""
    atoms, k = view.atoms, phrase.last
    if phrase.article == "both" and phrase.plural:
        return 2
    if k < len(atoms) and atoms[k].sentence != atoms[phrase.name].sentence:
        return _told_of_heading(view, phrase)
    if k >= len(atoms):
        return None
    told = not atoms[k - 1].after and _opening(view, k) > k  # "E-stops I counted five"
    linked = atoms[k].lower in LINKS and not atoms[k - 1].after
    if told and phrase.plural and (found := _count(view, phrase, k, linked=False)) is not None:
        return found
    # "the looms number twelve"
    linked = linked or (atoms[k].lower == "number" and phrase.plural and not atoms[k - 1].after)
    if linked and (found := _count(view, phrase, k + 1, linked=True)) is not None:
        return found
    k = clause_end(atoms, phrase.last - 1)
    if phrase.led and any(
        clause_start(atoms, phrase.first) <= p.first < phrase.first and p.plural and not p.led and p.grade != "never"
        for p in view.phrases
    ):
        return None  # "trolleys on rubber wheels, sixty of them"
    place = [a.lower for a in atoms[phrase.last : k]]
    # "the forklifts outside, there's six of them"
    # "the rollers are ceramic, quantity is 70"
    if (
        place
        and not (linked and len(place) <= 3)
        and not (len(place) <= PLACE and (place[0] in PREPOSITIONS or place[0] in BEGINNING))
    ):
        return _told_of_subject(view, phrase, k)
    for _ in range(2):
        if (
            k >= len(atoms)
            or atoms[k].sentence != atoms[phrase.name].sentence
            or atoms[k - 1].after not in (",", ":", ";")
        ):
            return _told_of_heading(view, phrase) if phrase.plural and (not place or place in TAILS) else None
        found = _count(view, phrase, k, linked=False)
        if found is not None:
            return found
        stop = clause_end(atoms, k)
        if _others(view, phrase, stop):
            return None
        ones = atoms[stop - 1].lower in ("ones", "one") and stop - k <= 4  # "pallets, the plywood ones, about forty"
        ones = ones or (atoms[stop - 1].lower in ("type", "style", "sort", "kind") and stop - k <= 4)
        ones = ones or (stop - k <= 4 and bool({a.lower for a in atoms[k:stop]} & RECKONING))
        ones = ones or (stop - k <= CLAUSE and _of_them(view, stop))  # "these cute little things, four of them"
        if (stop - k > 2 and not ones) or any(n in view.numbers or n in view.measured for n in range(k, stop)):
            return None
        k = stop  # "anodes, lead, I want to say forty of 'em"
    return None


def _others(view: Scene, phrase: Phrase, stop: int) -> bool:
    """Whether other things are named between a phrase and an atom, which a count behind them would be of."""
    return any(
        phrase.last <= p.first < stop
        and p.plural
        and not p.led
        and p.grade != "never"
        and p.heads[-1] != phrase.heads[-1]
        for p in view.phrases
    )


def _of_them(view: Scene, k: int) -> bool:
    """Whether "four of them" is all that a clause says that begins at atom k."""
    atoms, number = view.atoms, view.numbers.get(k)
    if number is None or k in view.measured or not 1 < number[1] <= MOST:
        return False
    end = number[0]
    behind = [a.lower for a in atoms[end : end + 2]]
    if len(behind) < 2 or atoms[end - 1].after or behind[0] != "of" or behind[1] not in THEM:
        return False
    further = atoms[end + 2].lower if end + 2 < len(atoms) and not atoms[end + 1].after else ""
    return not further or further in PREPOSITIONS or further in LYING or further == "all"


def _only_one(view: Scene, phrase: Phrase) -> int | None:
    """One of a thing, where a clause of its sentence says no more: "the rectifier is behind a wall, one only"; and
    where it is told which kind of one it is: "the glue pot is a round one"."""
    atoms = view.atoms
    _, last = sentence_bounds(atoms, phrase.name)
    link = phrase.last < last and atoms[phrase.last].lower in ("is", "'s") and not atoms[phrase.last - 1].after
    stop = clause_end(atoms, phrase.last)
    kind = [a.lower for a in atoms[phrase.last + 1 : stop]]
    if link and 2 < len(kind) < 5 and kind[0] == "a" and kind[-1] == "one" and not phrase.led:
        return 1
    k = clause_end(atoms, phrase.last - 1)
    while k < last:
        stop = clause_end(atoms, k)
        if tuple(a.lower for a in atoms[k:stop]) in ONLY_ONE:
            between = any(phrase.last <= p.first < k and not p.led for p in view.phrases)
            return None if between or phrase.led else 1
        k = stop
    return None


def in_all(atoms: Sequence[Atom], phrase: Phrase) -> bool:
    """Whether the phrase is said to count them all: "so four rollers", "six fans in all", "in total we have four"."""
    first, _ = sentence_bounds(atoms, phrase.first)
    start = clause_start(atoms, phrase.first)
    before = [a.lower for a in atoms[max(first, start) : phrase.first]]
    if before and (before[0] in SUMMING or before[-1] in SUMMING or before[:2] in (["in", "total"], ["in", "all"])):
        return True
    return altogether(atoms, phrase)


def altogether(atoms: Sequence[Atom], phrase: Phrase) -> bool:
    """Whether the words behind a phrase say that it counts them all: "five rectifiers altogether"."""
    _, last = sentence_bounds(atoms, phrase.first)
    behind = tuple(a.lower for a in atoms[phrase.last : min(last, phrase.last + 3)])
    return any(behind[: len(words)] == words for words in IN_ALL)


def _told_of_heading(view: Scene, phrase: Phrase) -> int | None:
    """How many there are of what a sentence named, told in the next: "Now conveyors. There's six of 'em in all."."""
    atoms, k = view.atoms, phrase.last
    first, last = sentence_bounds(atoms, phrase.name)
    if phrase.led or phrase.first - first > HEADING:
        return None
    tail = [a.lower for a in atoms[phrase.last : last]]
    alone = (not tail or tail in TAILS) and all(a.lower in TURNING for a in atoms[first : phrase.first])
    k = _opening(view, last)
    if k >= len(atoms) or k not in view.numbers or k in view.measured:
        return None
    end, value, top, form = view.numbers[k]
    if value == 1 and alone and not phrase.plural and k == last and sentence_bounds(atoms, k)[1] == end:
        return 1  # "Boiler. One."
    if top is not None or form not in ("cardinal", "digits") or value != int(value) or not 1 < value <= MOST:
        return None
    behind = [a.lower for a in atoms[end : end + 2]] if not atoms[end - 1].after else []
    if behind[:1] == ["of"] and len(behind) > 1 and behind[1] in THEM:
        part = end + 2 < len(atoms) and atoms[end + 2].lower in LINKS and not atoms[end + 1].after
        return int(value) if (alone or (phrase.plural and k > last)) and not part else None
    # "Agitators. We've got six, all stainless." and "Boilers. Two, both gas." and "Panels. Three on the unit."
    placed = bool(behind) and ((behind[0] in PREPOSITIONS and k == last) or behind[0] in LYING)
    placed = placed or (behind[:1] == ["pieces"] and bool(atoms[end].after))  # "So, the retorts. There are four pieces"
    return int(value) if alone and phrase.plural and (not behind or placed) else None


def _told_of_subject(view: Scene, phrase: Phrase, k: int) -> int | None:
    """How many there are of what a sentence is about, told in a later clause from atom k on: "there's eight of 'em"."""
    atoms = view.atoms
    first, last = sentence_bounds(atoms, phrase.name)
    if not phrase.plural or phrase.led or phrase.first - first > HEADING:
        return None
    while k < last:
        if _others(view, phrase, k):
            return None  # "light curtains on both ends; gas detectors, three of them"
        start = _opening(view, k)
        # "the heaters you can have, three of those"
        if start in view.numbers and start not in view.measured:
            end = view.numbers[start][0]
            if [a.lower for a in atoms[end : end + 1]] == ["of"] and atoms[end + 1 : end + 2]:
                return _count(view, phrase, k, linked=False) if atoms[end + 1].lower in THEM else None
        k = clause_end(atoms, k)
    return _told_of_heading(view, phrase)


def _opening(view: Scene, k: int) -> int:
    """First atom behind the words at k that open a count ("there's", "we've got"); k where none do."""
    for words in LONGEST_FIRST:
        if tuple(a.lower for a in view.atoms[k : k + len(words)]) == words:
            return k + len(words)
    return k


def _count(view: Scene, phrase: Phrase, k: int, *, linked: bool) -> int | None:
    """The count that begins at atom k, words that open or hedge it left out, and that ends its clause there."""
    atoms, start = view.atoms, k
    if k >= len(atoms):
        return None  # the recording ends behind the name
    stop = clause_end(atoms, k)
    opened = False
    moved = True
    while moved and k < stop:
        moved = False
        for words in OPENINGS:
            if tuple(a.lower for a in atoms[k : k + len(words)]) == words and k + len(words) < stop:
                k, opened, moved = k + len(words), True, True
                break
        if not moved and atoms[k].lower in HEDGES and k - start < 6:
            k, moved = k + 1, True
        if not moved and not linked and atoms[k].lower in SAYING and k - start < 6 and k + 1 < stop:
            k, opened, moved = k + 1, True, True
    if k >= stop:
        return None
    if atoms[k].lower == "single" and k + 1 >= stop and not linked:
        return None if phrase.plural else 1  # "a sand screw, single"
    if atoms[k].lower == "a" and k + 1 < stop and atoms[k + 1].lower in ("pair", "couple"):
        value, end = 2, k + 2
    elif atoms[k].lower == "both" and (k + 1 >= stop or atoms[k + 1].lower == "of"):
        return 2 if phrase.plural else None
    elif k in view.numbers and k not in view.measured:
        end, number, top, form = view.numbers[k]
        if top is not None or form not in ("cardinal", "digits") or number != int(number) or not 1 <= number <= MOST:
            return None
        value = int(number)
    else:
        return None
    behind = [a.lower for a in atoms[end : end + 2]] if not atoms[end - 1].after else []
    pieces = behind[:1] == ["of"] and (len(behind) == 1 or behind[1] in THEM or bool(atoms[end].after))
    if pieces and len(behind) > 1 and behind[1] in THEM:
        further = atoms[end + 2].lower if end + 2 < stop and not atoms[end + 1].after else ""
        # "seven of them are automatic", "two of them leak": a part of them
        goes_on = further not in NO_VERBS and not further.endswith("ly")
        # "a skinning machine; there are two of those", "Slat conveyor, two of those"
        told = (opened and bool(phrase.modifiers)) or (k == start and not phrase.article)
        return value if (phrase.plural or told) and value > 1 and not goes_on else None
    if behind[:2] == ["of", "the"] and phrase.plural and not linked:
        kind = next((n for n in range(end + 2, min(end + 6, len(atoms))) if atoms[n].lower in KINDS), None)
        if kind is not None and not any(atoms[n].after for n in range(end, kind)):
            return value if value > 1 else None  # "silos, four of the little ones"
    each = len(behind) > 1 and behind[0] in ("in", "on", "for", "per", "to", "at") and behind[1] in ("each", "every")
    if each or behind[:1] in (["per"], ["a"], ["an"]):
        summed = _summed(view, end, sentence_bounds(atoms, phrase.name)[1])  # "three in each tank, so six"
        return summed if summed is not None else value if each and value > 1 else None
    pieces = pieces or bool(set(behind[:1]) & PIECES)
    added = behind[:1] and behind[0] in ADDED and (len(behind) == 1 or end + 1 >= stop)
    sized = behind[:1] == ["of"] and end + 1 in view.measured  # "two of 5000 litres"
    placed = bool(behind) and behind[0] in PREPOSITIONS - {"of", "to", "by", "per"} and end + 1 not in view.measured
    if (
        phrase.plural
        and not linked
        and ((placed and behind[0] not in ("for", "with")) or behind[:1] in STATES)
        and (more := _and_more(view, end, stop))
    ):
        return value + more
    added = added or ((sized or placed) and phrase.plural and not linked)
    ends = end >= stop or added or behind[:1] in (["in"], ["altogether"], ["total"], ["all"], ["or"], ["on"])
    ends = ends or (behind in (["are", "there"], ["are", "here"]) and phrase.plural)  # "rolls, three are there"
    if not (pieces or ends):
        return None
    if not opened and not linked and end < len(atoms) and end in view.numbers and view.numbers[end][1] == value + 1:
        return None  # "tanks, five, six and seven are rinses"
    if value == 1:
        alone = end >= stop and atoms[start].lower in ("it", "there")  # "a vessel in the corner, it is one"
        return 1 if not phrase.plural and not linked and (alone or not opened) else None
    return value if phrase.plural or pieces else None


def _and_more(view: Scene, k: int, stop: int) -> int:
    """How many more are told behind the first ones and their place, before atom stop: "two on duty and one standby"."""
    atoms = view.atoms
    for n in range(k, stop - 2):
        number = view.numbers.get(n + 1)
        if atoms[n].lower != "and" or atoms[n].after or number is None or n + 1 in view.measured:
            continue
        end, value, top, form = number
        counted = any(p.first <= n + 1 < p.last and p.grade != "never" for p in view.phrases)
        brief = end < stop <= end + FEW and not counted and not any(m in view.numbers for m in range(end, stop))
        placed = end < stop and (atoms[end].lower in PREPOSITIONS - {"of", "per"} or [atoms[end].lower] in STATES)
        if brief and placed and top is None and form in ("cardinal", "digits") and value == int(value):
            return int(value)
    return 0


def _summed(view: Scene, k: int, last: int) -> int | None:
    """The total behind a count for each, before atom last: "three in each tank, so six", "two per bay, ten in all"."""
    atoms = view.atoms
    for n in range(k, last):
        number = view.numbers.get(n)
        if number is None or n in view.measured or (not atoms[n - 1].after and atoms[n - 1].lower not in SUMMING):
            continue
        end, value, top, form = number
        closed = end >= last or bool(atoms[end - 1].after)
        behind = tuple(a.lower for a in atoms[end : end + 2])
        told = (closed and atoms[n - 1].lower in SUMMING) or any(behind[: len(w)] == w for w in IN_ALL)
        if told and top is None and form in ("cardinal", "digits") and value == int(value):
            return int(value)
    return None
