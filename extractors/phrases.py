"""Words in their parts, names from tables found among them, and the phrase that stands around a name.

An atom is the smallest written part of a token: "dry-off" is two, "drive's" is two. Everything that reads names
(components, stations, identity) works on atoms, so that joined, hyphened and parted writing come to the same.
"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from operator import attrgetter
from typing import Generic, TypeVar

from extractors.mentions import Tokens

SPELLINGS = (
    ("colour", "color"), ("vapour", "vapor"), ("mould", "mold"), ("labell", "label"), ("centre", "center"),
    ("fibre", "fiber"), ("aluminium", "aluminum"), ("grey", "gray"), ("drier", "dryer"), ("sulph", "sulf"),
    ("neighbour", "neighbor"), ("gauging", "gaging"), ("metre", "meter"), ("litre", "liter"), ("oxidis", "oxidiz"),
)  # fmt: skip
"""British to American; applied to tables and to speech alike, so that what it bends is bent on both sides."""
IRREGULAR = {
    "teeth": "tooth", "feet": "foot", "knives": "knife", "shelves": "shelf", "men": "man", "women": "woman",
    "children": "child", "halves": "half", "leaves": "leaf", "mice": "mouse", "axes": "axis", "vertices": "vertex",
    "loaves": "loaf", "dies": "die", "gas": "gas", "lens": "lens", "chassis": "chassis", "works": "works",
    "setworks": "setworks", "headworks": "headworks", "movies": "movie", "pies": "pie", "buses": "bus",
    "busses": "bus", "people": "person", "series": "series",
}  # fmt: skip
ENDING = re.compile(r"(?<=[A-Za-z])('s|'re|'ll|'ve|'d|'m)$")
CONTENT_ENDS = ".?!;:"


@dataclass(frozen=True, slots=True)
class Atom:
    """One written part of a token."""

    lower: str
    """Lower case, spelling brought to one side of the Atlantic."""
    said: str
    """As it was written, for names."""
    token: int
    sentence: int
    after: str
    """Punctuation behind it; "" inside a token."""
    aside: bool
    capital: bool
    glue: str = " "
    """What stands between this part and the next one in writing: "-" or "" inside a token."""


NEVER_Z = re.compile(
    r"(?:w|prom|prem|prec|conc|exerc|surpr|compr|appra|superv|adv|dev|rev|telev|exc|merchand|franch|enterpr|improv|"
    r"comprom|disgu|expert|treat|paraph|parad|porpo|tortoi|poi|noi|rai|prai|brui|crui|chem|dem|desp|no|po|ra|bru|cru)is"
    r"(?:e|er|ers|es|ed|ing)$"
)
"""Words that are written with s on both sides: "likewise", "promised", "premises", "supervised"."""


@lru_cache(maxsize=50_000)
def spelling(word: str) -> str:
    """Lower case, one apostrophe, one side of the Atlantic."""
    word = word.lower().replace("’", "'").strip(".")
    for british, american in SPELLINGS:
        if british in word:
            word = word.replace(british, american)
    return word if NEVER_Z.search(word) else re.sub(r"(?<=[a-z]{3})is(e|er|ers|es|ed|ing|ation)$", r"iz\1", word)


@lru_cache(maxsize=50_000)
def singular(word: str) -> str:
    """The singular of an English noun; a word that is none comes back nearly as it was."""
    if word in IRREGULAR:
        return IRREGULAR[word]
    if len(word) < 4 or not word.endswith("s") or word.endswith(("ss", "us", "is")):
        return word
    if word.endswith("ies"):
        return word[:-3] + "y"
    if word.endswith(("sses", "shes", "ches", "xes", "zzes")):
        return word[:-2]
    return word[:-1]


def is_plural(word: str) -> bool:
    """Whether a noun is written in the plural."""
    return singular(word) != word


_PLURALS = {one: many for many, one in reversed(IRREGULAR.items())}
_GASES = {"gas": "gases", "lens": "lenses"}  # read alike in both numbers, written in two
_NEVER_MANY = frozenset("equipment machinery tooling furniture information water oil piping ductwork wiring".split())
_TAIL = re.compile(r"\s(?:of|to|for|with|in|on|per)\s")


def plural(name: str) -> str:
    """A name in the plural: "knives", "sets of dies", "axes"; one that is in the plural already stays as it is."""
    tail = _TAIL.search(name)
    if tail:
        return plural(name[: tail.start()]) + name[tail.start() :]
    before, space, last = name.rpartition(" ")
    return f"{before}{space}{_many(last)}"


def _many(word: str) -> str:
    low = word.lower()
    if low in _GASES:
        return _GASES[low]
    if low in IRREGULAR or low in _NEVER_MANY or not low[-1:].isalpha() or singular(low) != low:
        return word
    if low in _PLURALS:
        return word[0] + _PLURALS[low][1:]
    if word.isupper() and len(word) > 1:
        return f"{word}s"  # "PLCs", "CMMs"
    if low.endswith("sis"):
        return f"{word[:-2]}es"
    if low.endswith("y") and low[-2:-1] not in "aeiou":
        return f"{word[:-1]}ies"
    return word + ("es" if low.endswith(("s", "x", "z", "ch", "sh")) else "s")


def many_of(count: float, name: str) -> str:
    """So many of a thing: "1 pump", "3 pumps", "1 set of dies", "1.5 boxes"; count is not negative."""
    shown = f"{count:,g}" if count < 1e6 else f"{count:,.0f}"
    if count != 1:
        return f"{shown} {plural(name)}"
    tail = _TAIL.search(name)
    end = tail.start() if tail else len(name)
    before, space, last = name[:end].rpartition(" ")
    return f"{shown} {before}{space}{last if last.lower() in _GASES else singular(last)}{name[end:]}"


def atoms_of(tokens: Tokens) -> tuple[Atom, ...]:
    """The tokens in their written parts."""
    out: list[Atom] = []
    for i, token in enumerate(tokens):
        text = token.text.replace("’", "'")
        parts: list[str] = []
        for part in re.split(r"(?<=[A-Za-z])[-/](?=[A-Za-z])", text) if "-" in text or "/" in text else (text,):
            split = ENDING.search(part) if part[:2] not in ("I'", "i'") else None  # "I'd" is one atom
            parts += [part[: split.start()], split.group()] if split else [part]
        for n, part in enumerate(parts):
            last = n == len(parts) - 1
            after = token.after if last and token.after != "-" else ""
            glue = " " if last else "" if parts[n + 1].startswith("'") else "-" if "-" in text else "/"
            out.append(
                Atom(spelling(part), part, i, token.sentence, after, token.aside is not None, part[:1].isupper(), glue)
            )
    return tuple(out)


@lru_cache(maxsize=20_000)
def key(name: str) -> tuple[str, ...]:
    """A name of a table as atoms."""
    parts: list[str] = []
    for word in re.split(r"[\s/-]+", name.replace("’", "'")):
        split = ENDING.search(word) if word[:2] != "i'" else None  # "I'd" is one atom
        parts += [word[: split.start()], split.group()] if split else [word]
    return tuple(spelling(p) for p in parts if p)


T = TypeVar("T")


class Finder(Generic[T]):
    """Finds the longest name of a table at a place; the last word may be in the plural."""

    def __init__(self, names: Iterable[tuple[str, T]], *, nouns: bool = True) -> None:
        self._nouns = nouns
        self._forms: dict[tuple[str, ...], list[T]] = {}
        lengths: dict[str, set[int]] = {}
        for name, value in names:
            parts = key(name)
            forms = {self._bare(parts)}
            if nouns and len(parts) == 2:
                forms.add(self._bare(("".join(parts),)))
            for form in forms:
                self._forms.setdefault(form, []).append(value)
                lengths.setdefault(form[0], set()).add(len(form))
        # a table may have thousands of forms that begin alike: a place asks for its lengths and looks each up
        self._lengths = {first: tuple(sorted(found, reverse=True)) for first, found in lengths.items()}

    def _bare(self, parts: tuple[str, ...]) -> tuple[str, ...]:
        return (*parts[:-1], singular(parts[-1])) if self._nouns else parts

    def at(self, atoms: Sequence[Atom], i: int) -> tuple[int, T] | None:
        """End (excluded) and value of the longest name that begins at i; None where none does."""
        return next(self.all_at(atoms, i), None)

    def all_at(self, atoms: Sequence[Atom], i: int) -> Iterator[tuple[int, T]]:
        """End (excluded) and value of every name that begins at i, the longest first."""
        first = atoms[i].lower
        lengths = self._lengths.get(first, ())
        if self._nouns and 1 not in lengths:
            lengths = (*lengths, 1)
        words: list[str] = [first]
        for n in lengths:
            while len(words) < n and goes_on(atoms, i + len(words)):
                words.append(atoms[i + len(words)].lower)
            if len(words) < n:
                continue
            form = tuple(words[:n])
            for value in self._forms.get(form, ()):
                yield i + n, value
            if self._nouns and (bare := self._bare(form)) != form:
                for value in self._forms.get(bare, ()):
                    yield i + n, value


def goes_on(atoms: Sequence[Atom], i: int) -> bool:
    """Whether atom i follows the one before it without a pause."""
    return i < len(atoms) and not atoms[i - 1].after and atoms[i - 1].sentence == atoms[i].sentence


def clause_start(atoms: Sequence[Atom], i: int) -> int:
    """First atom of the clause that i stands in: behind the last comma or full stop before it."""
    while i > 0 and not atoms[i - 1].after and atoms[i - 1].sentence == atoms[i].sentence:
        i -= 1
    return i


def clause_end(atoms: Sequence[Atom], i: int) -> int:
    """End (excluded) of the clause that i stands in."""
    while i < len(atoms) - 1 and not atoms[i].after and atoms[i + 1].sentence == atoms[i].sentence:
        i += 1
    return i + 1


def sentence_bounds(words: Sequence[Atom] | Tokens, i: int) -> tuple[int, int]:
    """First word and end (excluded) of the sentence that i stands in.

    Sentences are numbered in order, so both are looked for in growing steps: a transcript without a full stop is one
    sentence of thousands of words, and this is asked at every one of them.
    """
    sentence, n = words[i].sentence, len(words)
    low = high = i
    step = 16
    while low > 0 and words[low].sentence == sentence:
        low, step = max(0, low - step), 2 * step
    step = 16
    while high < n and words[high].sentence == sentence:
        high, step = min(n, high + step), 2 * step
    of = attrgetter("sentence")
    return bisect_left(words, sentence, low, i, key=of), bisect_right(words, sentence, i, high, key=of)


def text_of(atoms: Sequence[Atom], first: int, last: int) -> str:
    """Atoms as they were written, lower case but for initials and names within a sentence."""
    out = []
    for n, a in enumerate(atoms[first:last], first):
        initials = len(a.said) > 1 and a.said.isupper()
        out.append((a.said if initials else a.said.lower()) + (a.glue if n < last - 1 else ""))
    return "".join(out)


def said_text(atoms: Sequence[Atom], first: int, last: int) -> str:
    """Atoms exactly as they were written, without punctuation."""
    return "".join(a.said + (a.glue if n < last - 1 else "") for n, a in enumerate(atoms[first:last], first))


def span_of(atoms: Sequence[Atom], tokens: Tokens, first: int, last: int) -> tuple[int, int]:
    """Atoms first to last (excluded) as word indices of the transcript."""
    return tokens[atoms[first].token].word, tokens[atoms[last - 1].token].word + 1
