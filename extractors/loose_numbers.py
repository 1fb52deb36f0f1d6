"""Numbers that no figure took: counts of what is made ("24 pockets across") and figures without a unit ("back at 54").

They are facts of nothing by themselves; a check that has the other operands may read them for what they are.
"""

from __future__ import annotations

from collections.abc import Sequence

from extractors.mentions import LooseMention, Number, QuantityMention, Tokens
from extractors.word_classes import CARDINALS, word_set

BEFORE, BEHIND = 12, 8
"""Words of its sentence that are kept with a number; chosen, no source."""
MOST = 1e9
NUMBERED = word_set(
    "tank station unit zone section head pump stage position bath bay tower number line press bin kiln oven machine "
    "cell"
)
"""What is called by a number, so that "one" behind it is no article."""

NAMES = {w: i for i, w in enumerate(CARDINALS[:13]) if i}
"""Numbers that things are called by."""


def find_loose(
    tokens: Tokens, numbers: Sequence[Number], quantities: Sequence[QuantityMention]
) -> tuple[LooseMention, ...]:
    """Each plain number outside figures and asides, with the words of its sentence beside it, lower case; one only as
    a name.

    "Nine barrels" is kept though it is read as a volume, since barrels are counted as well.
    """
    taken = {k for q in quantities if q.unit != "oil_barrel" for k in range(*q.span)}
    out = []
    for n in numbers:
        first, last = tokens[n.first], tokens[n.last - 1]
        if n.value_max is not None or n.form in ("ordinal", "fraction") or not 1 <= n.value <= MOST:
            continue
        if n.value == 1 and (n.first == 0 or tokens[n.first - 1].lower not in NUMBERED):
            continue
        if _set_aside(tokens, n) or taken & {*range(first.word, last.word + 1)}:
            continue
        before = _said(tokens, n.first - BEFORE, n.first, first.sentence)
        behind = "" if _ends(last.after) else _said(tokens, n.last, n.last + BEHIND, last.sentence)
        told = (last.after or "") + (" " if last.after and behind else "") + behind
        out.append(LooseMention((first.word, last.word + 1), n.value, before, told))
    for k, t in enumerate(tokens):
        # "four's got nothing on it": a number as a name
        if t.lower.endswith("'s") and t.lower[:-2] in NAMES and not t.aside:
            before = _said(tokens, k - BEFORE, k, t.sentence)
            behind = _said(tokens, k + 1, k + BEHIND, t.sentence)
            out.append(LooseMention((t.word, t.word + 1), float(NAMES[t.lower[:-2]]), before, f"'s {behind}"))
        # "a pair each time": two of what was named before
        if t.lower == "pair" and k and tokens[k - 1].lower in ("a", "in", "per") and not t.aside:
            before = _said(tokens, k - BEFORE, k, t.sentence)
            behind = _said(tokens, k, k + BEHIND, t.sentence)
            out.append(LooseMention((t.word, t.word + 1), 2.0, before, behind))
    return tuple(sorted(out, key=lambda n: n.span))


_SPANS = ("year", "years", "month", "months")


def _set_aside(tokens: Tokens, n: Number) -> bool:
    """Whether a number is of an aside; "two years ago" is one for figures, and yet tells since when hours count."""
    reasons = {t.aside for t in tokens[n.first : n.last] if t.aside}
    return bool(reasons) and not (reasons == {"clock"} and n.last < len(tokens) and tokens[n.last].lower in _SPANS)


def _said(tokens: Tokens, first: int, last: int, sentence: int) -> str:
    """The words from first to last (excluded) that stand in a sentence, lower case with their punctuation."""
    return " ".join(t.lower + (t.after or "") for t in tokens[max(0, first) : last] if t.sentence == sentence)


def _ends(after: str) -> bool:
    return after in (".", "?", "!")
