"""Names of two words of which one was heard as another: "moist motor" for hoist motor, "griss case" for grist case.

The word that stands is the trade context, likeness of sound and the recogniser's own doubt do the rest. Enough of all
three is a repair, recorded as heard and read; less is a doubt, and the walk says where to listen again. Thresholds were
set on 37 transcripts of synthetic speech in noise (100 minutes; DEVELOPERS.md): about twenty repairs, all of them true.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache
from itertools import pairwise

from extractors.likeness import kin, likeness, sounds
from extractors.mentions import RepairMention, Token
from extractors.word_classes import stem
from vocab import Vocabulary

LIKE = 0.66
"""Likeness from which a name is read; see above."""
MAYBE = 0.55
"""Likeness from which it is only asked about."""
DOUBTED = 0.5
"""How much likeness each tenth of probability above a half asks for (0.05), since most words heard so are right."""
APART = 0.14
"""By how much the name must be likelier than the next one."""
UNSURE = 0.75
"""Probability below which a word that is no word of the trade may be another."""
VERY_UNSURE = 0.5
"""The same for a word of the trade."""
SHORTEST = 3
FEWEST_SOUNDS = 3

Options = dict[str, frozenset[str]]


@lru_cache(maxsize=8)
class Names:
    """Names of two words, by the one and by the other; words that are never changed."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        names = {n.lower() for t in ("components", "wholes", "stations") for row in vocabulary[t] for n in row["names"]}
        self.plain = {w for row in vocabulary["classes"] for w in row["words"]}
        self.plain |= {f for row in vocabulary["numbers"] for f in row["spoken"]}
        self.plain |= {w for row in vocabulary["units"] for f in row["spoken"] for w in f.split()}
        halves = (n.split(" ") for n in names if n.count(" ") == 1 and n.replace(" ", "").isalpha())
        pairs = [(a, b) for a, b in halves if not {a, b} & self.plain]
        self.known = {(stem(a), stem(b)) for n in names for a, b in pairwise(n.split())}
        self.trade = {stem(w) for n in names for w in n.split()}
        self.before = _grouped((stem(b), a) for a, b in pairs)
        self.behind = _grouped((stem(a), b) for a, b in pairs)


def _grouped(pairs: Iterable[tuple[str, str]]) -> Options:
    groups: dict[str, set[str]] = {}
    for key, word in pairs:
        groups.setdefault(key, set()).add(word)
    return {k: frozenset(v) for k, v in groups.items()}


def mend_names(tokens: list[Token], vocabulary: Vocabulary, repairs: list[RepairMention]) -> list[Token]:
    """The tokens with names mended or, below the margin, marked with what they may be; repairs grows."""
    names = Names(vocabulary)
    out = list(tokens)
    for i in range(len(out) - 1):
        first, second = out[i], out[i + 1]
        if first.after or first.sentence != second.sentence or (stem(first.lower), stem(second.lower)) in names.known:
            continue
        found = [
            *_judged(out, i, names.before.get(stem(second.lower)), names, head=False),
            *_judged(out, i + 1, names.behind.get(stem(first.lower)), names, head=True),
        ]
        if not found:
            continue
        sure, _, at, word = max(found)
        token = out[at]
        pair = (word, second.text) if at == i else (first.text, word)
        heard, read = f"{first.text} {second.text}", " ".join(pair)
        if not sure:
            out[at] = replace(token, doubt=token.doubt or f"heard badly, or {read!r}", perhaps=read)
            continue
        out[at] = replace(token, text=word, lower=word.lower(), heard=token.text, doubt=f"heard as {heard!r}")
        repairs.append(RepairMention("mishearing", heard, read, kept=(first.word, second.word + 1)))
    return out


def _judged(
    out: list[Token], at: int, options: frozenset[str] | None, names: Names, *, head: bool
) -> list[tuple[bool, float, int, str]]:
    """At most one reading of a word that stands where one of the options would: whether sure, likeness, place, word."""
    token = out[at]
    word = token.lower
    if not options or word in names.plain or not word.isalpha() or len(word) < SHORTEST or token.heard:
        return []
    if head and _verb(out, at):
        return []
    bound = VERY_UNSURE if stem(word) in names.trade else UNSURE
    if token.text[:1].isupper() and at and out[at - 1].sentence == token.sentence:
        bound = min(bound, VERY_UNSURE)  # a name of somebody or of a make
    if token.probability >= bound:
        return []
    ranked = sorted(((_like(word, o), o) for o in options), reverse=True)
    like, best = ranked[0]
    next_best = next((x for x, o in ranked[1:] if stem(o) != stem(best)), 0.0)
    if like < MAYBE or like - next_best < APART or any(kin(word, o) for o in options):
        return []
    like -= DOUBTED * max(0.0, token.probability - VERY_UNSURE)
    # of two sounds, as in "bake" and "batch", too little is left to be alike in
    short = len(sounds(best)) < FEWEST_SOUNDS and sounds(best) != sounds(word)
    if head and word.endswith("s") and not best.endswith("s") and not word.endswith("ss"):
        best += "s"
    return [(like >= LIKE and not short, like, at, best)]


def _verb(out: list[Token], at: int) -> bool:
    """Whether the word is what the thing does, "the motor states a full load current", and no part of its name."""
    following = out[at + 1] if at + 1 < len(out) and out[at + 1].sentence == out[at].sentence else None
    if following is None or out[at].after or not out[at].lower.endswith(("s", "ed")):
        return False
    return following.lower in OBJECTS or following.text[:1].isdigit()


OBJECTS = frozenset(
    "a an the it that this these those its his her their our your you we they me him them two no".split()
)


def _like(heard: str, meant: str) -> float:
    return max(likeness(heard, meant), likeness(stem(heard), meant))
