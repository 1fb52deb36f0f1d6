"""Rules by which a recording is cut into machines; machines.py weighs what they find with the rest.

A line made of several machines is one walk: its parts are numbered, feed each other, are sold as one. So two things are
added up. What the whole recording is: a row of machines ("three machines", several sorts that are sold by themselves,
several plates) or one line or machine ("this is the block plant", "it feeds the mixer", "all one price"). And each
clause that may bring in another machine (openings.py). Numbers of several lots always cut, those of
assets in a row.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from extractors.lot_numbers import FEW, Cue, brought_in, elsewhere, further
from extractors.mentions import Tokens
from extractors.openings import (
    ENDS,
    LOOSE,
    Opening,
    has_plate,
    is_code,
    names_further,
    phrase_at,
    said,
)
from extractors.phrases import singular
from extractors.returns import find_returns
from vocab import Vocabulary

BAR = 5.5
"""Weight of an opening and of the whole recording from which it is a cut; fitted on narrations of our own."""
ROW, TOLD, LINE = 3.0, 4.0, -8.0
"""What the whole recording can say for a cut (TOLD where the speaker says that there are several) and against it."""
NEAR = 25
"""Words around an opening in which a word of a line speaks against a cut."""
UNNUMBERED = 3.5
"""Weight of an opening without a number among numbered ones from which it is a cut; fitted on narrations of our own."""
BEGINNING = 70
"""Words in which the speaker tells what it is that he walks along."""
FIRST = 15
"""Words at the beginning in which "the first press" tells of others to come."""
OVERVIEW = 20
"""Words in which a speaker may name all that is to come."""
OPENED = 20
"""Words after a cut in which its machine is named."""
LITTLE = {"the", "and", "again", "that", "for", "with", "was", "has", "there", "here", "just"}
RECENT = 60
"""Words within which the same name goes on with the same machine."""
UNPLATED = 30
"""So many words are a machine's description even where no plate is told in them."""
PARTS = {
    ("load", "cell"),
    ("fuel", "cell"),
    ("power", "train"),
    ("drive", "train"),
    ("bottom", "line"),
    ("gas", "line"),
    ("air", "line"),
    ("water", "line"),
    ("loading", "bay"),
}
"""Pairs in which a word for a line names a piece or a place."""
ROOMS = frozenset({"bay", "cell"})
COUNTED = 1.5
"""By so much less must speak for a cut where the speaker counted his machines and too few are found."""
ALONE = 3
"""So many sorts of machine, each told with a figure, are no line, where two fewer things that serve one are named."""
TOLD_WORDS = 10
"""Words with a figure that tell of a machine of its own; "the guillotine is being kept" tells what becomes of it."""
SPREAD = 12
"""Words a machine of a row gets on average; the machines of a line are told in fewer."""
SOON = 20
"""Words within which a machine's first figure comes."""
FLOWS = 1
"""A word of a line that may stand in the talk of a row of machines ("roller table on the outfeed")."""
NUMBER_ONE = frozenset(
    f"{what} {one}" for what in ("machine", "item", "lot", "number", "unit", "asset", "piece") for one in ("one", "1")
)
"""What opens with the first machine and not with another."""
OWN_FLOWS = 2
"""Words of a line that one machine's own parts explain, where several are told of; chosen on our own narrations."""
SHORTEST = 5
"""Words between two cuts at least."""


Cut = tuple[int, str, int | None]
"""Token at which another machine begins, the words that say so, and which earlier one it is."""


def numbers_of(tokens: Tokens, cues: Sequence[Cue]) -> list[Cue]:
    """Numbers of lots or assets; none where only one is said, for that may be this machine's own tag."""
    numbers = [c for c in cues if c.kind == "new" and not elsewhere(tokens, c.at)]
    return numbers if len({c.words.lower() for c in numbers}) >= 2 else []


def returns_of(tokens: Tokens, cues: Sequence[Cue], vocabulary: Vocabulary) -> list[tuple[int, str, int]]:
    """Where the speaker goes back: the token, the words, and where the name begins of what he goes back to."""
    returns = [(c.at, c.words, c.at + c.length) for c in cues if c.kind == "back"]
    return returns + [(r.at, r.words, r.name) for r in find_returns(tokens, vocabulary)]


def ruled_cuts(tokens: Tokens, openings: tuple[Opening, ...], cues: Sequence[Cue], vocabulary: Vocabulary) -> list[Cut]:
    """The cuts, in order."""
    numbers = numbers_of(tokens, cues)
    if numbers:
        wanted = [
            (brought_in(tokens, c.at, openings, vocabulary), c.words)
            for c in [*numbers, *further(tokens, numbers, vocabulary)]
        ]
        wanted += [(o.at, o.words) for o in openings if _without_number(tokens, o, [a for a, _ in wanted], vocabulary)]
    else:
        wanted = _strong(tokens, openings, cues, vocabulary)
    cuts: list[Cut] = []
    starts = [0]
    returns = returns_of(tokens, cues, vocabulary)
    for at, words, name in sorted([*((a, w, 0) for a, w in wanted), *returns], key=lambda c: (c[0], -c[2])):
        if name:
            earlier = named(tokens, name, starts) if len(starts) > 1 and at > starts[-1] else None
            if earlier is not None and earlier != len(starts) - 1:
                cuts.append((at, words, earlier))
                starts.append(at)
        elif len(starts) == 1 and words.lower() in NUMBER_ONE:
            continue
        elif numbers and at <= numbers[0].at and not any(o.main and o.at < at - SHORTEST for o in openings):
            continue  # what is said before the first number is of no machine
        elif (numbers and at - starts[-1] >= SHORTEST and any(starts[-1] <= c.at < at for c in numbers)) or _described(
            tokens, starts[-1], at, first=len(starts) == 1, vocabulary=vocabulary
        ):
            cuts.append((at, words, None))
            starts.append(at)
    return cuts


def _strong(
    tokens: Tokens, openings: tuple[Opening, ...], cues: Sequence[Cue], vocabulary: Vocabulary
) -> list[tuple[int, str]]:
    """Clauses for which, with the whole, enough speaks."""
    whole = row_or_line(tokens, openings, cues, vocabulary)
    told = whole == TOLD and _told_of(tokens, openings, vocabulary)
    able = [
        o
        for o in openings
        if not (_in_a_line(o, cues) and not (told and o.main)) and not _said_before(tokens, o, vocabulary)
    ]
    able = [o for o in able if o.main is not False or o.kind not in LOOSE]  # "there's an air cabinet as well"
    strong = {o for o in able if o.weight + whole >= BAR}
    if (announced := _announced(tokens, vocabulary)) and whole > 0:
        best = sorted((o for o in able if o.at > OVERVIEW), key=lambda o: -o.weight)[: announced - 1]
        strong |= {o for o in best if o.weight + whole >= BAR - COUNTED}
    return [(o.at, o.words) for o in openings if o in strong]


def _without_number(tokens: Tokens, o: Opening, numbered: list[int], vocabulary: Vocabulary) -> bool:
    """Whether a machine among numbered ones is brought in without a number: moved on to, with a plate of its own."""
    if o.kind in ("here", "bare") or not o.main or o.weight < UNNUMBERED or _serves(tokens, o, vocabulary):
        return False
    return not any(-NEAR <= o.at - at <= NEAR for at in numbered)


def row_or_line(tokens: Tokens, openings: tuple[Opening, ...], cues: Sequence[Cue], vocabulary: Vocabulary) -> float:
    """What the recording as a whole says: above 0 several machines one after the other, below 0 one line or machine."""
    row, most = 0.0, ROW
    if _begun(tokens, openings, vocabulary) or any(_several(tokens, i, vocabulary) for i in range(len(tokens))):
        row, most = TOLD, TOLD
    sorts = {o.noun for o in openings if o.main and _shown(tokens, o)}
    sorts |= {o.noun for o in openings[:1] if o.main}
    labels = [o for o in openings if o.kind in ("label", "order") and o.main]
    row += 2 if len(sorts) > 1 else 0
    if len({o.noun for o in labels}) > 1:
        row, most = row + 3, TOLD
    row += min(2, sum(o.plate for o in openings if o.main is not False) - 1) if row else 0
    line = 6.0 if begins_as_one(tokens, vocabulary) else 0.0
    line += 6.0 if any(phrase_at(tokens, i, vocabulary, "together") for i in range(len(tokens))) else 0.0
    flows = sum(c.kind == "line" for c in cues)
    if not line and flows <= FLOWS and _told_of(tokens, openings, vocabulary):
        return TOLD
    # where several are told of, a word or two of a line is of one machine's own parts ("its outfeed conveyor")
    line += 1.5 * max(0, flows - (OWN_FLOWS if most == TOLD and not line else 0))
    # "then the ironer, then the folder" is known from its line; "then there's his planer" is news
    line += sum(
        t.lower in ("then", "next") and n.lower == "the" and t.sentence == n.sentence for t, n in pairwise(tokens)
    )
    return max(LINE, min(most, row) - line)


def _told_of(tokens: Tokens, openings: tuple[Opening, ...], vocabulary: Vocabulary) -> bool:
    """Whether clause after clause tells of another machine that is sold by itself, with a figure of its own, and of
    little that serves one: "Engine lathe, seventeen by sixty. ... The mill. Nine by forty nine table."."""
    heads = [o for o in openings if o.main is not None]
    ends = [o.at for o in heads[1:]] + [len(tokens)] * bool(heads)
    own: set[str] = set()
    serving: dict[str, float] = {}
    for o, end in zip(heads, ends, strict=True):
        span = tokens[o.at : min(end, o.at + SOON)]
        told = any(is_code(t, vocabulary) and t.lower not in ("a", "one") for t in span)
        if not o.main or _serves(tokens, o, vocabulary):
            serving[o.noun] = max(serving.get(o.noun, 0.0), 1.0 if told else 0.5)  # "the chain wants a link"
        elif told and end - o.at >= TOLD_WORDS:
            own.add(o.noun.split()[-1])
    if not heads or (len(tokens) - heads[0].at) / len(heads) < SPREAD:
        return False
    return len(own) >= ALONE and len(own) >= sum(serving.values()) + ALONE - 1


def _serves(tokens: Tokens, o: Opening, vocabulary: Vocabulary) -> bool:
    """Whether its sentence says that it serves another: "the platemaker's next door but it goes with it"."""
    here = tokens[o.at].sentence
    until = next((i for i in range(o.at, len(tokens)) if tokens[i].sentence != here), len(tokens))
    return any(phrase_at(tokens, i, vocabulary, "serves") for i in range(o.at, until))


def _several(tokens: Tokens, i: int, vocabulary: Vocabulary) -> bool:
    """Whether it is said here that there are several; "the web press, four units" tells how one is made."""
    length = phrase_at(tokens, i, vocabulary, "several")
    if not length or not i or tokens[i - 1].after != "," or tokens[i - 1].lower in said(vocabulary, "opener"):
        return length > 0
    return "units" not in {t.lower for t in tokens[i : i + length]}


def _announced(tokens: Tokens, vocabulary: Vocabulary) -> int:
    """How many machines the speaker says there are ("three machines are going"); 0 where none is told."""
    for i in range(min(len(tokens), BEGINNING)):
        if phrase_at(tokens, i, vocabulary, "several"):
            words = [t.lower for t in tokens[i : i + 3]]
            return next((FEW.index(w) for w in words if w in FEW), next((int(w) for w in words if w in "3456789"), 0))
    return 0


def _begun(tokens: Tokens, openings: tuple[Opening, ...], vocabulary: Vocabulary) -> bool:
    """Whether the recording begins with the first of several of one name ("the first press ... the other press")."""
    named = said(vocabulary, "main") | said(vocabulary, "series")
    if any(t.lower in named and _started_at(tokens, i) for i, t in enumerate(tokens[:BEGINNING])):
        return True
    for i, t in enumerate(tokens[1:BEGINNING], 1):
        one = tokens[i + 1].lower if i + 1 < len(tokens) else ""
        if t.lower == "first" and one in ("one", "machine", "item", "thing") and tokens[i - 1].after in ENDS:
            return True  # "First one on the left is a gap bed lathe."
    for i, t in enumerate(tokens[:FIRST]):
        if t.lower in ("first", "one") and i + 1 < len(tokens):
            noun = tokens[i + 1].lower
            if noun in said(vocabulary, "main") or noun in ("unit", "machine"):
                return any(o.kind in ("order", "label") and noun in o.words.lower().split() for o in openings)
    return False


def _shown(tokens: Tokens, o: Opening) -> bool:
    """Whether a machine is shown as one of several: moved on to, brought in as news with its plate, or shown where it
    stands with its plate ("the dishwasher's over by the hatch")."""
    if o.kind not in LOOSE:
        return True
    if o.plate and o.fresh and o.kind == "here":
        return True
    return o.plate and any(t.lower in ("over", "by", "here", "there", "corner") for t in tokens[o.at : o.at + 7])


def begins_as_one(tokens: Tokens, vocabulary: Vocabulary) -> bool:
    """Whether the speaker begins with what it all is ("this is the block plant"), and not with where he is."""
    words = said(vocabulary, "series")
    for i, t in enumerate(tokens[:BEGINNING]):
        before = tokens[i - 1].lower if i else ""
        if (t.lower not in words and f"{before} {t.lower}" not in words) or (before, t.lower) in PARTS:
            continue
        if names_further(tokens, i, vocabulary):
            continue  # "skid steer", "line borer", "plant room"
        if any(_started_at(tokens, n) for n in range(min(len(tokens), BEGINNING)) if tokens[n].lower == t.lower):
            continue  # "I'll start in the brewhouse"
        if t.lower in ROOMS and (
            (i + 1 < len(tokens) and tokens[i + 1].lower in ("at", "of", "in", "for")) or before == "this"
        ):
            continue  # "this is the turning bay at the works", "he ran this bay"
        if before == "this" or not {x.lower for x in tokens[max(0, i - 4) : i]} & {
            "in",
            "at",
            "inside",
            "round",
            "around",
        }:
            return True
    return False


def _started_at(tokens: Tokens, i: int) -> bool:
    """Whether the speaker starts with what stands at a token: others will follow."""
    return bool({x.lower for x in tokens[max(0, i - 4) : i]} & {"start", "starting", "begin", "beginning"})


def _said_before(tokens: Tokens, o: Opening, vocabulary: Vocabulary) -> bool:
    """Whether a clause goes on with the machine that was brought in last ("Tractor. ... Nice tractor."); "another" is
    none of those."""
    head = o.noun.split()[-1] if o.noun else ""
    if o.kind in LOOSE and tokens[o.at].lower != "another":
        for i in range(max(0, o.at - RECENT), o.at):
            if tokens[i].lower == head and not _other_sort(tokens, i, o.noun, vocabulary):
                return True
    return o.fresh is False and bool(o.noun) and _known(tokens, o)


def _other_sort(tokens: Tokens, i: int, noun: str, vocabulary: Vocabulary) -> bool:
    """Whether the name that ends at a token is of another sort than `noun`: a scissor lift is no boom lift."""
    if noun not in said(vocabulary, "main") or " " not in noun or not i or tokens[i - 1].after:
        return False
    name = f"{tokens[i - 1].lower} {singular(tokens[i].lower)}"
    return name in said(vocabulary, "main") and not noun.endswith(name)


def _known(tokens: Tokens, o: Opening) -> bool:
    """Whether "the ironer" was named before, other than in the overview at the beginning."""
    words = o.noun.split()
    names = [singular(t.lower) for t in tokens[OVERVIEW : o.at]]
    return any(names[i : i + len(words)] == words for i in range(len(names)))


def _in_a_line(o: Opening, cues: Sequence[Cue]) -> bool:
    return any(c.kind == "line" and abs(c.at - o.at) <= NEAR for c in cues)


def _described(tokens: Tokens, start: int, at: int, *, first: bool, vocabulary: Vocabulary) -> bool:
    """Whether the words before a cut tell of a machine; what is said before the first one is none."""
    if at - start < SHORTEST:
        return False
    return (
        not first or at - start >= UNPLATED or has_plate(tokens[start:at], vocabulary) or _figures(tokens[start:at]) > 1
    )


def _figures(tokens: Tokens) -> int:
    return sum(any(c.isdigit() for c in t.text) for t in tokens)


def named(tokens: Tokens, at: int, starts: list[int]) -> int | None:
    """Which earlier part the words after "back to the" name: the one in whose opening most of them stand."""
    wanted = {singular(t.lower) for t in tokens[at : at + 3] if len(t.lower) > 2} - LITTLE
    best, score = None, 0
    for n, start in enumerate(starts):
        window = OPENED if n else BEGINNING
        until = min([start + window, at, *starts[n + 1 : n + 2]])
        overlap = len(wanted & {singular(t.lower) for t in tokens[start:until]})
        if overlap > score:
            best, score = n, overlap
    return best
