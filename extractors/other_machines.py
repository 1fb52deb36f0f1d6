"""Sentences that tell of a machine which somebody else has, or which stands somewhere else.

"My cousin's got a bigger one, ten metres", "in our Hill Road works the oven has twelve zones": figures in them are of
no machine of the walk. What came from there ("bought from the other mill, 15 kilowatts") is.
"""

from __future__ import annotations

from collections.abc import Sequence

from extractors.clock_times import Mark
from extractors.word_classes import Piece, word_set

KIN = word_set(
    "brother brother-in-law sister sister-in-law cousin nephew niece uncle father dad son father-in-law son-in-law "
    "mate friend neighbour neighbor colleague grandfather competitor buddy pal"
)
SOMEBODY = word_set("fella fellow fellas guy guys bloke chap lad lads man outfit firm company people folks shop mill")
"""Whom or what a place must follow, to be somebody elsewhere: "a fella over the hill has one"."""
GONE = word_set("sold had saw scrapped moved dismantled auctioned seen inspected priced")
"""Verbs of what was once done with another such machine: "we sold one last month"."""
WHO = word_set("we i they he she")
THEIR = word_set("my his her their our the your")
OTHER = word_set("other next second sister neighbouring neighboring old new")
PLACES = word_set(
    "shop works plant mill factory unit site quarry yard farm place side branch depot foundry bakery brewery hall bay "
    "village town valley"
)
AT = word_set("at in over by down up out")
SORTS = word_set("bigger smaller larger newer older twin other big small")
HAD = word_set("had have has keep keeps kept bought run ran runs use uses used got sold built")
HERE = word_set("this here it it's she she's they're these that that's ours")
"""Words that open a sentence about what is at hand."""
CAME = word_set("from out built made bought rebuilt came come moved brought done relined repaired fitted")
STANDS = word_set("is are was were stands sits stand sit over")
"""Behind these a place tells where something at hand stands: "the compressor is in the other shop"."""
WITHIN = word_set("bay side hall place")
TURNS = word_set("but whereas while here ours this")
"""Words behind a pause that turn back to what is at hand."""


def other_machines(pieces: Sequence[Piece]) -> list[Mark]:
    """The stretches that are of another machine, with the reason of vocab/asides.toml."""
    found: list[Mark] = []
    first = 0
    for i, piece in enumerate(pieces):
        if not piece.ends and i + 1 < len(pieces):
            continue
        sentence = pieces[first : i + 1]
        at = _elsewhere([p.lower for p in sentence], sentence)
        if at is not None:
            end = at
            while end < len(sentence) and not (end > at and sentence[end - 1].comma and sentence[end].lower in TURNS):
                end += 1
            found.append(((first + at, first + end), "other machine"))
        first = i + 1
    return found


def _one_of_another(head: list[str]) -> int | None:
    """ "We sold one last month", "a fella over the hill has a five hundred kilowatt one"."""
    if len(head) > 3 and head[0] in WHO and head[1] in GONE and head[2] == "one":
        return None if head[3] in ("of", "in", "on", "here", "each") else 3
    start = 1 if head[:1] and head[0] in ("a", "some", "the", "another", "this", "one") else 0
    if len(head) < start + 5 or head[start] not in SOMEBODY or head[start + 1] not in AT | {"across", "up"}:
        return None
    has = next((k for k in range(start + 2, min(start + 7, len(head) - 1)) if head[k] in ("has", "had", "runs")), None)
    return has + 1 if has is not None and head[has + 1] in ("a", "an", "one", "two", "three", "his", "their") else None


def _elsewhere(words: list[str], sentence: Sequence[Piece]) -> int | None:
    """Where in a sentence the talk of another machine begins: behind who has it or where it stands; None if nowhere."""
    k = 0
    while k < len(words) and words[k] in ("and", "so", "now", "well", "oh", "but", "also"):
        k += 1
    head = words[k:]
    owner = head[1:] if head[:1] and head[0] in THEIR else head
    if len(owner) > 1:
        whose = owner[0].removesuffix("'s").removesuffix("s'")
        has = owner[1] in ("has", "had", "have") and owner[2:3] != ["it"]
        if whose in KIN and (owner[0] != whose or has or whose.startswith("neighb")):
            return len(words) - len(owner) + 1  # "my cousin's got one", "the neighbour's saw", "neighbor mill"
    if head[:2] == ["the", "one"] and len(head) > 3 and head[2] in ("they", "we", "he") and head[3] in HAD:
        return k + 3
    if (at := _one_of_another(head)) is not None:
        return k + at
    for i in range(k, len(words) - 3):
        if words[i : i + 2] == ["the", "one"] and (
            words[i + 2 : i + 4] == ["next", "door"] or (words[i + 2] in AT and words[i + 3] in THEIR - {"the", "your"})
        ):
            return i + 4  # "he runs the one next door, that's an eight hundred ton", "the one at my old mill was"
    if len(head) > 2 and head[0] in ("the", "their", "his") and head[1] in SORTS and head[2] in ("one", "ones"):
        return k + 3 if any(w in AT for w in head[3:6]) else None
    if not head or head[0] in HERE:
        return None
    for i in range(k, min(k + 9, len(words) - 2)):
        begins = i == k and words[i] in THEIR - {"the"} and words[i + 1] == "other"
        placed = words[i] in AT and words[i + 1] in THEIR
        if not (placed or begins) or CAME & {*words[max(0, i - 3) : i]} or (i and words[i - 1] in STANDS):
            continue
        at = i + 2 if placed else i + 1
        place = next((n for n in range(at, min(at + 3, len(words))) if words[n] in PLACES), None)
        if place is None or place == at or (words[at] == "other" and words[place] in WITHIN):
            continue
        apart = words[at] in OTHER - {"old", "new"} or all(p.kind == "name" for p in sentence[at:place])
        told = any(w in HAD or w in ("is", "was", "does", "takes", "bakes") or w.endswith("'s") for w in words[k:])
        if apart and (told or begins):
            return place + 1
    return None
