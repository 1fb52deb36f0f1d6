"""A figure on its way to a measure, and the questions that every pass over figures asks of the words around it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from extractors.mentions import Number, Tokens
from extractors.phrases import sentence_bounds
from extractors.unit_words import Unit, UnitTable, figure_words, unit_table
from extractors.word_classes import Classes, classes_of
from vocab import Vocabulary

DEFAULTS = {
    "length": "length", "area": "area", "volume": "volume", "time": "duration", "mass": "weight",
    "temperature": "temperature", "pressure": "pressure", "flow": "flow", "speed": "speed", "power": "power",
    "voltage": "voltage", "current": "current", "frequency": "frequency", "mass flow": "rate",
}  # fmt: skip
"""Kind of unit -> property, where nothing else speaks."""
SHAPES = {
    "long": "length", "length": "length", "wide": "width", "width": "width", "high": "height", "tall": "height",
    "height": "height", "deep": "depth", "depth": "depth", "thick": "thickness", "thickness": "thickness",
    "across": "diameter", "diameter": "diameter", "dia": "diameter", "round": "diameter", "od": "diameter",
    "id": "diameter", "bore": "diameter", "square": "width",
}  # fmt: skip
"""Words behind a length that say which one it is."""
FACES = frozenset("face faces width belt bed table web board panel front back wall line machine".split())
"""Behind "across the" these are as wide as they are told to be."""


@dataclass(frozen=True, slots=True)
class Raw:
    """A figure on its way: number, unit where one was said, and what stands around it."""

    first: int
    last: int
    value: float
    number: Number
    unit: Unit | None = None
    value_max: float | None = None
    shape: str | None = None
    place: int = 0
    places: int = 0
    doubt: str | None = None
    per: str | None = None
    of: str | None = None
    property: str | None = None
    approximate: bool = False
    row: tuple[float, ...] = ()


class Stream:
    """The words of a recording, and what is asked of them in every pass."""

    def __init__(self, tokens: Tokens, vocabulary: Vocabulary) -> None:
        self.tokens, self.vocabulary = tokens, vocabulary
        self.units: UnitTable = unit_table(vocabulary)
        self.classes: Classes = classes_of(vocabulary)

    def lower(self, i: int) -> str:
        return self.tokens[i].lower if 0 <= i < len(self.tokens) else ""

    def linked(self, i: int) -> bool:
        """Whether token i follows the one before it without a pause."""
        if not 0 < i < len(self.tokens):
            return False
        before = self.tokens[i - 1]
        return before.after in ("", "-") and before.sentence == self.tokens[i].sentence

    def tolerance_before(self, i: int) -> bool:
        """Whether the "minus" at token i closes "plus or minus", "plus minus"."""
        return self.lower(i - 1) == "plus" or (self.lower(i - 1) in ("or", "and") and self.lower(i - 2) == "plus")

    def same_sentence(self, i: int, j: int) -> bool:
        return (
            0 <= i < len(self.tokens)
            and 0 <= j < len(self.tokens)
            and self.tokens[i].sentence == self.tokens[j].sentence
        )

    def sentence(self, i: int) -> tuple[int, int]:
        """First and last (excluded) token of the sentence of token i."""
        return sentence_bounds(self.tokens, i)

    def holds(self, kind: str, first: int, last: int) -> bool:
        """Whether a phrase of a kind stands among tokens first to last."""
        phrases = figure_words(self.vocabulary, kind)
        words = [t.lower.removesuffix("'s") for t in self.tokens[max(first, 0) : last]]
        return any((w,) in phrases for w in words) or any(
            tuple(words[k : k + n]) in phrases for n in (2, 3, 4, 5) for k in range(len(words) - n + 1)
        )

    def holds_word(self, words: tuple[str, ...], first: int, last: int) -> bool:
        return any(t.lower in words for t in self.tokens[first:last])

    def row(self, spoken: str) -> Unit:
        return (
            self.units.forms[spoken][0][1]
            if (len(self.units.forms[spoken][0][0]) == 1)
            else next(u for words, u in self.units.forms[spoken] if words == (spoken,))
        )

    def row_of(self, form: str) -> Unit:
        words = tuple(form.split())
        return next(u for w, u in self.units.forms[words[0]] if w == words)

    def shaped(self, raw: Raw) -> Raw:
        """The word behind a length that says which: "long", "in diameter", "inside diameter"."""
        if raw.unit is None or raw.unit.dimension != "length":
            return raw
        at = raw.last
        for skip in ("in", "inside", "outside", "of", "nominal"):
            if self.lower(at) == skip and self.linked(at) and self.lower(at + 1) in SHAPES:
                at += 1
        if self.lower(at) in SHAPES and self.linked(at) and self.lower(at + 1) != "of":
            if self.lower(at) == "across" and self.lower(at + 2) in FACES and self.linked(at + 1):
                return replace(raw, last=at + 1, shape="width")
            return replace(raw, last=at + 1, shape=SHAPES[self.lower(at)])
        return raw


def one_of(name: str) -> str:
    """The last word in the singular: "cartons" is carton."""
    words = name.split()
    if not words:
        return ""
    last = words[-1].lower()
    if last.endswith("ies") and len(last) > 4:
        last = last[:-3] + "y"
    elif last.endswith(("sses", "shes", "ches", "xes")):
        last = last[:-2]
    elif last.endswith("s") and not last.endswith("ss") and len(last) > 3:
        last = last[:-1]
    return " ".join([*words[:-1], last])
