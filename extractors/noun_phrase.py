"""A phrase around the name of a thing, and the small words by which its edges are seen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from extractors.phrases import key

Numbers = Mapping[int, tuple[int, float, float | None, str]]
"""First atom of a number -> end, value, upper value, form."""

DEFINITE = frozenset(
    ("the this that these those its his her their our your my each every both all any which own").split()
)
INDEFINITE = frozenset({"a", "an", "another", "some", "one", "single"})
PLAIN = frozenset(
    (
        "little big nice old good bad huge large small whole same other existing original actual only real decent "
        "more additional separate new newer older used brand nearly tiny massive great lovely beautiful identical "
        "individual extra-large proper usual typical ugly simple basic entire complete total different certain "
        "particular now first second third fourth fifth sixth last next near far left right kind sort very really "
        "just such enormous heavy-duty following "
        "biggest largest smallest longest shortest widest tallest heaviest lightest oldest newest best worst"
    ).split()
)
"""Words in a phrase that do not say which one; they are left out of the name."""
WORN = {
    "new": "new",
    "newer": "newer",
    "used": "used",
    "old": "old",
    "older": "older",
    "rebuilt": "rebuilt",
    "refurbished": "refurbished",
    "reconditioned": "reconditioned",
    "second-hand": "second-hand",
    "worn": "worn",
    "broken": "broken",
}
"""Words in a phrase that say what state it is in."""
HOLDERS = frozenset(
    (
        "cabinet drawer cupboard set box row bank rack pallet crate group pack bunch stack pile case roll bundle load"
    ).split()
)
"""Words that hold things: "three sets of change parts" is three sets."""
PARTLY = frozenset(("bit lot kind sort piece amount layer touch plenty smell lack chunk trace use").split())
"""Words before "of" after which a name is stuff, or a place on the thing and not the thing."""
WANTED = frozenset({"need", "needs", "needed", "wants", "want", "lacks", "missing", "requires", "require", "like"})
TAKING = frozenset("take takes took taking feed feeds load loads every each get gets order quote quoted for".split())
"""Words before "a new one" that say how often, or what is wanted, and not that it is new."""
DOING = frozenset(
    (
        "lift drive press drill feed rack hook mill stack load fill pump vent drain scale screen track fan run saw "
        "cut shear brake step slide head coil bag hone shape fold wrap pack label cap print wash rinse dry cool "
        "heat dump tip turn roll"
    ).split()
)
"""Names that are as often verbs: bare, before a preposition or an article, they name nothing ("lifts with a fork")."""
SEEING = frozenset({"see", "find", "have", "spot", "got", "saw", "notice"})
DENYING = frozenset({"not", "don't", "didn't", "doesn't", "couldn't", "can't", "cannot", "never", "haven't", "hasn't"})
VERBAL = frozenset(
    (
        "i you we they he she it who to 'll 'd can could will would must shall should don't didn't doesn't won't "
        "let's gonna cannot can't please"
    ).split()
)
NOT = frozenset({"no", "not", "without", "isn't", "aren't", "wasn't", "ain't", "never", "neither", "nor"})
PREPOSITIONS = frozenset(
    (
        "in on at behind under over beside between above below near off by to from of inside around past for with "
        "into onto through along across against beneath underneath after before toward towards outside via per "
        "than as like next up down about"
    ).split()
)
FRAMES = tuple(tuple(words.split()) for words in (
    "with", "has", "have", "got", "here 's", "here is", "here are", "this is", "this one is", "these are",
    "over here is", "over here 's", "over there is", "there 's", "there is", "there are", "we have", "we 've got",
    "you have", "you 've got", "you got", "we got", "it has", "it 's got", "i see", "next is", "next to it is",
    "that 's", "and then", "then", "comes with", "it comes with", "along with", "plus", "followed by", "next comes",
    "here we have", "there we have",
))  # fmt: skip


@dataclass(slots=True)
class Phrase:
    """One name of a thing in its phrase: atoms first to last (excluded), the name itself from name to last."""

    first: int
    name: int
    head: int
    """First atom of the name as the table has it."""
    last: int
    grade: str
    known: str
    """The table's name; the noun itself where it is in no table."""
    text: str
    count: int | None = None
    approximate: bool = False
    article: str = ""
    modifiers: tuple[str, ...] = ()
    condition: str | None = None
    negated: bool = False
    led: bool = False
    """Whether a preposition leads the phrase: it then only says where something else is."""
    indexed: bool = False
    """Whether a number behind it names one of several ("tank nine", "pump 2")."""
    plural: bool = False
    measured: bool = False
    """Whether a size stands in the phrase."""
    holders: str = ""
    covered: tuple[int, ...] = field(default=())

    @property
    def heads(self) -> tuple[str, ...]:
        return key(self.known)
