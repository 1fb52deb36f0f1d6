"""One take-back, as token indices, before it is put down as a mention; and the words of a transcript as pieces."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from extractors.cues import Cues
from extractors.mentions import RepairMention, Span, Tokens
from extractors.word_classes import Classes, Piece, classes_of, word_set
from vocab import Vocabulary

FILLERS = word_set("uh um er erm uhm umm hmm mm eh ah ack äh ähm öh euh")
LONGEST_FIGURE = 14
"""Words of one figure, at most: rows of digits without an end are no figure."""
LONGEST = 8
"""Words of either side that a record of a repair shows, by the contract."""


@dataclass(frozen=True, slots=True)
class TakeBack:
    """Indices of pieces, last excluded. Everything from first to resumes is dropped, less what is kept within."""

    dropped: tuple[Span, ...]
    withdrawn: Span | None
    kept: Span | None
    heard: Span | None = None
    """What the record shows; the withdrawn words where None."""
    read: Span | None = None
    borrowed: Span | None = None
    late: bool = False
    reported: bool = True
    """False for repeats and restarts, which are dropped without a record."""
    rule: str = ""
    """Which reader of repairs found it: late, figure, name or look; "" for those that hardly err."""


@lru_cache(maxsize=4)
def tools(vocabulary: Vocabulary) -> tuple[Classes, Cues]:
    """The word classes and cue phrases of one vocabulary, built once."""
    return classes_of(vocabulary), Cues(vocabulary)


def is_filler(lower: str) -> bool:
    """Whether a word only fills a pause."""
    return lower in FILLERS


def pieces_of(tokens: Tokens, classes: Classes) -> tuple[list[Piece], list[int]]:
    """The tokens as pieces, fillers left out, and the index of each piece's token. A pause behind a filler counts as
    one behind the word before it."""
    pieces: list[Piece] = []
    where: list[int] = []
    for i, token in enumerate(tokens):
        last = i + 1 == len(tokens) or tokens[i + 1].sentence != token.sentence
        if is_filler(token.lower):
            if pieces:
                p = pieces[-1]
                pieces[-1] = Piece(
                    p.lower,
                    p.kind,
                    p.ends or last,
                    p.comma or token.after in {",", ";", "-"},
                    token.lower in {"er", "erm", "äh", "ähm", "öh", "euh"},
                )
            continue
        pieces.append(Piece(token.lower, _kind(tokens, i, classes), last, token.after in {",", ";", ":", "-"}))
        where.append(i)
    return pieces, where


def _kind(tokens: Tokens, i: int, classes: Classes) -> str:
    token = tokens[i]
    kind = classes.of(token.lower)
    before = tokens[i - 1] if i else None
    after = tokens[i + 1] if i + 1 < len(tokens) else None
    first = before is None or before.sentence != token.sentence
    if kind in {"content", "describes", "acts"} and not first and token.text[:1].isupper() and token.text[1:].islower():
        return "name"
    if (
        token.lower == "one"
        and before is not None
        and classes.of(before.lower) in {"points", "describes"}
        and before.lower != "a"
    ):
        return "content"  # "this one", "the last one"
    if (
        token.lower in {"that", "this", "these", "those"}
        and after is not None
        and classes.of(after.lower) in {"helps", "acts"}
    ):
        return "stands_in"  # "that stays"
    return kind


def figure_at(pieces: Sequence[Piece], i: int, stop: int) -> int:
    """Where the figure that starts at i ends; i itself where none starts there. "two and a half" is one figure, and
    in "five hundred, five hundred" the second is another."""
    at, stop = i, min(stop, i + LONGEST_FIGURE)
    if at + 1 < stop and pieces[at].lower == "point" and pieces[at + 1].kind == "number":
        at += 1
    while at < stop and pieces[at].kind == "number":
        at += 1
        run = [p.lower for p in pieces[i:at]]
        if pieces[at - 1].comma or pieces[at - 1].ends:
            return at
        if at + len(run) <= stop and [p.lower for p in pieces[at : at + len(run)]] == run and len(run) > 1:
            return at
        for link in (("and", "a"), ("and",), ("point",), ("oh",)):
            end = at + len(link)
            if tuple(p.lower for p in pieces[at:end]) == link and end < stop and pieces[end].kind == "number":
                if (
                    link == ("and",)
                    and run[-1] not in {"hundred", "thousand", "million"}
                    and pieces[end].lower not in {"half", "quarter", "three", "five", "seven"}
                ):
                    continue
                at = end
                break
    return at


def figures_before(pieces: Sequence[Piece], start: int, stop: int) -> list[Span]:
    """All figures between two indices, in order."""
    found = []
    i = start
    while i < stop:
        end = figure_at(pieces, i, stop)
        if end > i:
            found.append((i, end))
        i = max(end, i + 1)
    return found


def pause_before(pieces: Sequence[Piece], i: int) -> bool:
    """Whether a pause is made before piece i, or nothing stands there."""
    return i == 0 or pieces[i - 1].pauses


def sentence_start(pieces: Sequence[Piece], i: int, furthest: int) -> int:
    """First piece of the sentence that holds piece i, at most so many pieces back."""
    at = i
    while at > 0 and i - at < furthest and not pieces[at - 1].ends:
        at -= 1
    return at


def sentence_stop(pieces: Sequence[Piece], i: int, furthest: int) -> int:
    """Behind the last piece of the sentence that holds piece i, at most so many pieces on."""
    at = i
    while at < len(pieces) and at - i < furthest:
        at += 1
        if pieces[at - 1].ends:
            break
    return at


def as_mention(take: TakeBack, tokens: Tokens, where: list[int]) -> RepairMention:
    """The take-back with its spans as word indices. Heard and read are equal where nothing is to be reported."""

    def words(span: Span | None) -> Span | None:
        if span is None or span[0] >= span[1]:
            return None
        return tokens[where[span[0]]].word, tokens[where[span[1] - 1]].word + 1

    def text(span: Span | None) -> str:
        if span is None:
            return ""
        return " ".join(tokens[where[k]].text for k in range(span[0], min(span[1], span[0] + LONGEST)))

    heard = text(take.heard or take.withdrawn)
    read = text(take.read or take.kept)
    return RepairMention(
        kind="self-correction",
        heard=heard,
        read=read if take.reported else heard,
        dropped=tuple(w for w in map(words, take.dropped) if w is not None),
        withdrawn=words(take.withdrawn) if take.reported else None,
        kept=words(take.kept) if take.reported else None,
        borrowed=words(take.borrowed),
        late=take.late,
    )


def met_by(found: Sequence[TakeBack]) -> set[int]:
    """Pieces that take-backs are made of: what is withdrawn, what stands, what is left out."""
    return {k for t in found for s in (t.withdrawn, t.kept, *t.dropped) if s is not None for k in range(*s)}


def untouched(takes: Iterable[TakeBack], found: Sequence[TakeBack]) -> list[TakeBack]:
    """Those of the take-backs that meet none of what was found, nor one another."""
    touched = met_by(found)
    out = []
    for take in takes:
        met = met_by([take])
        if not met & touched:
            out.append(take)
            touched |= met
    return out
