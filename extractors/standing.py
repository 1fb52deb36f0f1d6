"""The standing of a fact: its basis and by whom, doubt, running state, condition, defects, reasons, unsafe advice.

Phrases are rows of vocab/standing.toml. A phrase belongs to the clause it is said in; what is said of a figure goes to
the figures of that clause, what is said of a thing to the thing named in it, or to the last one named before. What is
said of nothing named is a remark on the whole.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from extractors.mentions import QuantityMention, RemarkMention, Span, ThingMention, Tokens
from extractors.phrase_table import PhraseTable
from extractors.takebacks import pieces_of, tools
from extractors.unsafe import find_unsafe
from extractors.word_classes import Piece, denial, word_set
from vocab import Vocabulary

NEAR = 14
"""Words between a figure and a phrase about it, at most; common practice, no source."""
LONGEST = 16
"""Words of a remark."""
SAYERS = word_set("told says said claims tells reckons shown swears")
FORWARD = word_set(
    "says reads shows calls claims me us told tells say said measured counted count gauge across timed clocked "
    "sheet binder drawing meter"
)
NEW_CLAUSE = frozenset({"and", "but", "so", "because", "then"})
DENYING = word_set(
    "no not never without nor neither hardly cannot free didn't don't doesn't isn't aren't wasn't weren't can't "
    "couldn't hasn't haven't"
)
LEAD_INS = word_set("and so but then well you should would want to have")
DENIED = 6
"""Words between "couldn't find" and the defect that was not found, at most; common practice, no source."""
SUPPOSING = word_set("if check look watch inspect beware unless whether")
WHERE_IT_RUNS = word_set(
    "at on off along across through down up from to between under over around into round behind in the a an alongside "
    "past back left right about roughly anywhere near close with without by beside above below out toward towards it"
)
"""Behind "runs" these say how fast, on what or where a thing goes, and not that anyone saw it go."""
COPULAS = word_set(
    "is are was were be been being looks look looked seems seem feels feel felt comes came gets got getting gone goes "
    "went stays stayed sits sat sitting kept runs it's they're he's she's that's one's has have"
)
DEGREES = word_set(
    "a bit little pretty very all quite so too badly slightly really still completely nice and fairly rather kind of "
    "half well just only mostly partly also now both awfully terribly clean dead bone not"
)
DANGLING = word_set(
    "a an the of that which who where when with to for in on at by from and or but as than so i you we they it he she "
    "is are was were be this these those its their his her my our your into about"
)


@dataclass(frozen=True, slots=True)
class Found:
    """One phrase: piece indices, the clause around it, and what it stands for."""

    first: int
    last: int
    clause: Span
    kind: str
    value: str


def find_remarks(
    tokens: Tokens, things: tuple[ThingMention, ...], quantities: tuple[QuantityMention, ...], vocabulary: Vocabulary
) -> tuple[tuple[ThingMention, ...], tuple[QuantityMention, ...], tuple[RemarkMention, ...]]:
    """Things and quantities with basis, condition and running state added, and the remarks on the whole."""
    classes, _ = tools(vocabulary)
    pieces, where = pieces_of(tokens, classes)
    if not pieces:
        return things, quantities, ()
    words = [tokens[w].word for w in where]
    quantity_list, thing_list = list(quantities), list(things)
    remarks: list[RemarkMention] = []
    for found in _find(pieces, tokens, where, vocabulary):
        if found.kind == "hedge":
            _hedge(quantity_list, pieces, words, found)
        elif found.kind == "basis":
            _basis(quantity_list, thing_list, pieces, words, found, tokens, where)
        else:
            _of_things(thing_list, remarks, pieces, words, found, tokens, where)
    return tuple(thing_list), tuple(quantity_list), tuple(remarks)


@lru_cache(maxsize=4)
def _table(vocabulary: Vocabulary) -> PhraseTable[tuple[str, str]]:
    return PhraseTable((form, (row["kind"], row["value"])) for row in vocabulary["standing"] for form in row["spoken"])


def find_phrases(tokens: Tokens, vocabulary: Vocabulary) -> list[Found]:
    """The phrases of the table in a token stream, whatever they turn out to belong to."""
    pieces, where = pieces_of(tokens, tools(vocabulary)[0])
    return _find(pieces, tokens, where, vocabulary)


def _find(pieces: Sequence[Piece], tokens: Tokens, where: Sequence[int], vocabulary: Vocabulary) -> list[Found]:
    found = []
    for i, end, (kind, value) in _table(vocabulary).all(pieces):
        aside = tokens[where[end - 1]].aside
        clause = _clause(pieces, i, end)
        if aside in {"question", "hypothetical", "other machine"} and kind != "unsafe":
            continue
        if kind == "running" and pieces[end - 1].lower == "runs" and _goes_somewhere(pieces, end):
            continue
        if value == PREDICATE and not _said_of_a_thing(pieces, i, end, clause):
            continue
        if kind == "defect":
            if aside == "negation" or _denied(pieces, i):
                kind = "condition"  # "no leaks", "I couldn't find any leaks"
            elif _supposed(pieces, clause[0], i):
                continue
        found.append(Found(i, end, clause, kind, value))
    held = [f.clause for f in found if f.kind == "unsafe"]
    for i, end in find_unsafe(pieces, vocabulary):
        clause = _clause(pieces, i, end)
        if not any(a < clause[1] and clause[0] < b for a, b in held):
            held.append(clause)
            found.append(Found(i, end, clause, "unsafe", ""))
    # What else such a clause says ("you can leave it powered up") would carry the advice into the documents.
    return [f for f in found if f.kind == "unsafe" or not any(f.first < b and a < f.last for a, b in held)]


PREDICATE = "predicate"
"""Value of a row whose words are a remark only where they are said of a thing ("the oil's clean", "Impellers clean"),
not where they belong to its name ("a clean bench", "the second alkaline clean", "a dead plate")."""


def _goes_somewhere(pieces: Sequence[Piece], end: int) -> bool:
    """Whether "runs" goes on with a figure or a place: "runs at 82", "runs two hundred", "runs the length"."""
    if pieces[end - 1].ends or pieces[end - 1].comma or end >= len(pieces):
        return False
    return pieces[end].kind == "number" or pieces[end].lower in WHERE_IT_RUNS


def _said_of_a_thing(pieces: Sequence[Piece], first: int, last: int, clause: Span) -> bool:
    closes = last >= len(pieces) or pieces[last - 1].ends or pieces[last - 1].comma
    if not closes and pieces[last].kind in {"content", "describes", "name", "number"}:
        return False
    at = first
    while at > clause[0] and pieces[at - 1].lower in DEGREES:
        at -= 1
    if at == clause[0]:
        return True  # "noisy", "dirty but dry"
    before = pieces[at - 1]
    if before.lower in COPULAS or before.lower.endswith(("'s", "’s", "'re", "’re")):
        return True
    # "Impellers clean.": a noun that opens the clause and has nothing before it
    plain = all(p.kind in {"content", "name", "describes"} for p in pieces[clause[0] : at])
    return plain and at - clause[0] <= 3 and (closes or pieces[last].kind not in {"content", "describes"})


def _denied(pieces: Sequence[Piece], first: int) -> bool:
    """Whether what is named was not found: "no sign of rust", "I don't see any leaks"."""
    k = denial(pieces, first, DENYING, DENIED, NEW_CLAUSE)
    return k is not None and not (k + 1 < first and pieces[k + 1].lower in {"only", "just"})


def _supposed(pieces: Sequence[Piece], start: int, first: int) -> bool:
    """Whether it is only looked for: "check it for leaks", "any leaks would show here", "if there's rust"."""
    while start < first and pieces[start].lower in LEAD_INS:
        start += 1
    return start < first and (pieces[first - 1].lower == "any" or pieces[start].lower in SUPPOSING)


def _clause(pieces: Sequence[Piece], first: int, last: int) -> Span:
    """From the pause before to the pause behind, or to a word that begins a new clause."""
    a, b = first, last
    while a > 0 and not (pieces[a - 1].comma or pieces[a - 1].ends) and first - a < 20:
        a -= 1
    while b < len(pieces) and not (pieces[b - 1].comma or pieces[b - 1].ends) and b - last < 20:
        if pieces[b].lower in NEW_CLAUSE:
            break
        b += 1
    return a, b


def _sentence(pieces: Sequence[Piece], i: int, furthest: int = 40) -> Span:
    a, b = i, i + 1
    while a > 0 and not pieces[a - 1].ends and i - a < furthest:
        a -= 1
    while b < len(pieces) and not pieces[b - 1].ends and b - i < furthest:
        b += 1
    return a, b


def _text(tokens: Tokens, where: Sequence[int], span: Span) -> str:
    """The words of a span, cut where it grows too long, and not behind a word that leads on ("the size of")."""
    last = min(span[1], span[0] + LONGEST)
    while last < span[1] and last > span[0] + 1 and tokens[where[last - 1]].lower in DANGLING:
        last -= 1
    return " ".join(tokens[where[i]].text for i in range(span[0], last))


def _word_span(words: Sequence[int], span: Span) -> Span:
    return words[span[0]], words[span[1] - 1] + 1


# --------------------------------------------------------------------------------------------------------- figures


def _near_figures(quantities: Sequence[QuantityMention], words: Sequence[int], span: Span) -> list[int]:
    """Indices of the standing figures whose first word lies in a span of pieces, in order."""
    a, b = _word_span(words, span) if span[0] < span[1] else (0, 0)
    inside = [k for k, q in enumerate(quantities) if a <= q.span[0] < b and q.status != "withdrawn"]
    return sorted(inside, key=lambda k: quantities[k].span)


def _hedge(quantities: list[QuantityMention], pieces: Sequence[Piece], words: Sequence[int], found: Found) -> None:
    """Doubt goes to the figures of its clause, those behind it first; "don't quote me" goes back to the last figure."""
    a, b = found.clause
    ahead = _near_figures(quantities, words, (found.last, b))
    behind = _near_figures(quantities, words, (a, found.first))
    hit: list[int] = []
    follows_but = found.last < len(pieces) and pieces[found.last].lower == "but"
    if found.value == "back":
        hit = behind[-1:]
        if not hit and not follows_but:
            sentence = _sentence(pieces, found.first)[0]
            start = sentence if sentence < found.first else _sentence(pieces, max(0, found.first - 1))[0]
            hit = _near_figures(quantities, words, (max(start, found.first - NEAR), found.first))[-1:]
    elif ahead:
        hit = ahead[:1]
    elif behind and (found.last >= b or pieces[found.last - 1].comma or pieces[found.last - 1].ends):
        hit = behind[-1:]
    elif found.first == a and found.last >= b and a > 0 and not pieces[a - 1].ends:
        hit = _near_figures(quantities, words, (max(0, found.first - 8), found.first))[-1:]  # "seventy tons, I think,"
    for k in hit:
        same = [j for j, q in enumerate(quantities) if q.span == quantities[k].span]
        for j in same:
            if quantities[j].status == "stated":
                quantities[j] = replace(quantities[j], status="hedged")


def _basis(
    quantities: list[QuantityMention],
    things: list[ThingMention],
    pieces: Sequence[Piece],
    words: Sequence[int],
    found: Found,
    tokens: Tokens,
    where: Sequence[int],
) -> None:
    """What a figure rests on: figures behind "the plate says" up to the end of the sentence's run of figures, figures
    before "on the tag" in the same clause."""
    sentence = _sentence(pieces, found.first)
    by = _by(pieces, tokens, where, found) if found.value == "told" else None
    forward = pieces[found.last - 1].lower in FORWARD
    hit: list[int] = []
    if forward:
        stop = min(sentence[1], found.last + NEAR)
        for k in range(found.last + 1, stop - 1):
            if pieces[k].lower in NEW_CLAUSE and pieces[k + 1].kind in {"points", "stands_in"}:
                stop = k  # "the tag says twelve amps, and the tank holds ..."
                break
        hit = _near_figures(quantities, words, (found.last, stop))
    elif not _near_figures(quantities, words, (found.clause[0], found.first)):
        hit = _near_figures(quantities, words, (found.last, found.clause[1]))  # "on the board they've written ten"
    if not hit:
        hit = _near_figures(quantities, words, (max(sentence[0], found.first - NEAR), found.first))[-2:]
    if not hit and not forward:
        hit = _near_figures(quantities, words, (found.last, found.clause[1]))
    for k in hit:
        if quantities[k].basis is None:
            quantities[k] = replace(quantities[k], basis=found.value, by=by)
    if not hit and found.value in {"counted", "told", "plate"}:
        a, b = _word_span(words, found.clause)
        for k, t in enumerate(things):
            if a <= t.span[0] < b and t.count is not None and t.basis is None:
                things[k] = replace(t, basis=found.value, by=by)


def _by(pieces: Sequence[Piece], tokens: Tokens, where: Sequence[int], found: Found) -> str | None:
    """Who said it: the words before "told me" or "says", where they name someone."""
    verb = next((i for i in range(found.first, found.last) if pieces[i].lower in SAYERS), None)
    if verb is None or verb == 0 or (verb and pieces[verb - 1].lower in {"was", "were", "i'm", "is"}):
        return None
    first = verb
    while (
        first > 0
        and verb - first < 3
        and pieces[first - 1].kind in {"content", "name", "points", "stands_in", "describes"}
    ):
        first -= 1
        if pieces[first].kind in {"points", "stands_in"} or pieces[first - 1].comma or pieces[first - 1].ends:
            break
    return _text(tokens, where, (first, verb)) or None


# ---------------------------------------------------------------------------------------------------------- things


def _of_things(
    things: list[ThingMention],
    remarks: list[RemarkMention],
    pieces: Sequence[Piece],
    words: Sequence[int],
    found: Found,
    tokens: Tokens,
    where: Sequence[int],
) -> None:
    text = _text(tokens, where, found.clause)
    if found.kind in {"condition", "defect", "running", "reason"}:
        k = _subject(things, pieces, words, found)
        if k is not None and (found.kind != "reason" or _decided(things, k)):
            things[k] = _added(things[k], found, text)
            return
    if found.kind == "reason":
        return  # why something goes or stays says nothing without the thing
    subject = ""
    if found.kind in {"unsafe", "left"} and (k := _subject(things, pieces, words, found)) is not None:
        subject = things[k].name
    remarks.append(RemarkMention(_word_span(words, found.clause), found.kind, subject, text))


def _decided(things: Sequence[ThingMention], k: int) -> bool:
    """Whether anything was said of where a thing goes, in this mention or in another of the same thing."""
    root = things[k].same_as if things[k].same_as is not None else k
    return any(t.disposition is not None for i, t in enumerate(things) if i in {k, root} or t.same_as == root)


def _added(thing: ThingMention, found: Found, text: str) -> ThingMention:
    if found.kind == "defect":
        return replace(thing, defects=tuple(dict.fromkeys((*thing.defects, text))))
    if found.kind == "condition":
        return replace(thing, condition="; ".join(dict.fromkeys(filter(None, (thing.condition, text)))))
    if found.kind == "running":
        return replace(thing, running=thing.running or found.value)
    return replace(thing, reason=thing.reason or text)


def _subject(things: Sequence[ThingMention], pieces: Sequence[Piece], words: Sequence[int], found: Found) -> int | None:
    """The thing that a phrase is about: named before it in its clause, else the nearest named before in the sentence,
    else, where the sentence names none before and begins with "it" or nothing, the last of the sentence before."""
    sentence = _sentence(pieces, found.first)
    starts = [t.span[0] for t in things]
    standing = [k for k in sorted(range(len(things)), key=lambda k: starts[k]) if things[k].status != "withdrawn"]
    ordered = [starts[k] for k in standing]

    def last_between(a: int, b: int) -> int | None:
        if a >= b:
            return None
        low, high = bisect_left(ordered, words[a]), bisect_left(ordered, words[b - 1] + 1)
        return standing[high - 1] if high > low else None

    inside = last_between(found.clause[0], found.first)
    if inside is not None:
        return inside
    behind = last_between(found.first, found.clause[1])
    if behind is not None:
        return behind
    before = last_between(sentence[0], found.first)
    if before is not None:
        return before
    if sentence[0] == 0:
        return None
    earlier = _sentence(pieces, sentence[0] - 1)
    return last_between(earlier[0], earlier[1])
