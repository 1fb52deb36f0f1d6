"""What speaks for and against a name being on a buyer's list: what it is, how it is said, and what stands beside it.

Each mark is weak by itself (behind "with", a figure right behind it, said again); weighed_things.py adds them up, with
those of thing_talk.py. All are seen from the words of the recording and the phrases found in it, none from what was
listed before.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import log

from extractors.counts_behind import count_behind
from extractors.listed_things import Talk
from extractors.noun_phrase import FRAMES, PREPOSITIONS, Phrase
from extractors.open_nouns import is_agent
from extractors.phrases import Atom, sentence_bounds, singular
from extractors.word_classes import Classes, classes_of, word_set
from vocab import Vocabulary

Marks = dict[str, float]
POINTING = word_set("this that these those")
OWN = word_set("its their his her our your my")
FORMS = tuple(sorted({f for f in FRAMES if len(f) > 1}, key=len, reverse=True))
"""Frames for naming of several words, the longest first."""
MANY = 20
WIDEST = 60
"""Words to either side of a name within which its sentence is looked at: recognisers may write one for minutes."""
LISTED = ("machine", "site", "part", "open")
"""Grades of names that are listed where something speaks for it."""
OPENS_WITH = ("machine", "whole", "open", "generic")
"""Grades of what a recording may be of."""
ARTICLES = (
    ("none", frozenset({""})),
    ("a", frozenset({"a", "an", "one", "single"})),
    ("another", frozenset({"another", "some"})),
    ("the", frozenset({"the"})),
    ("this", POINTING),
    ("own", OWN),
)


@dataclass(frozen=True, slots=True)
class Recording:
    """One recording with its phrases, as the marks need it."""

    talk: Talk
    phrases: Sequence[Phrase]
    decided: frozenset[int]
    """Phrases of which a fate is told, by index."""
    trades: Mapping[str, str]
    """Names of the table, with their trades."""
    classes: Classes
    words: Mapping[str, frozenset[str]]
    """Words of vocab/thing_words.toml by kind."""
    kin: Mapping[str, Sequence[int]]
    """Nouns in the singular, with the phrases that have them."""
    manner: Marks
    """How the whole recording is spoken."""
    opened: str
    """Noun of the first thing named, which as a rule is what the recording is of."""

    @property
    def atoms(self) -> tuple[Atom, ...]:
        """The words."""
        return self.talk.atoms

    def sentence(self, phrase: Phrase) -> tuple[int, int]:
        """First atom and end of its sentence, as far as it is looked at."""
        first, last = sentence_bounds(self.atoms, phrase.first)
        return max(first, phrase.first - WIDEST), min(last, phrase.last + WIDEST)


def recording(talk: Talk, phrases: Sequence[Phrase], decided: frozenset[int], vocabulary: Vocabulary) -> Recording:
    """What the marks of all phrases of a recording stand on."""
    kin: dict[str, list[int]] = {}
    for n, p in enumerate(phrases):
        kin.setdefault(noun(p), []).append(n)
    opened = next((noun(p) for p in phrases if p.grade in OPENS_WITH), "")
    trades, words = _trades(vocabulary), _words(vocabulary)
    return Recording(
        talk, phrases, decided, trades, classes_of(vocabulary), words, kin, _manner(talk.atoms, phrases), opened
    )


def noun(phrase: Phrase) -> str:
    """The noun of a phrase in the singular."""
    return singular(phrase.heads[-1])


def name_marks(r: Recording, p: Phrase) -> Marks:
    """What the name itself is."""
    words = len(p.heads) - 1 + len(p.modifiers)
    first, _ = sentence_bounds(r.atoms, p.first)
    return {
        f"trade {r.trades.get(p.known, 'none')}": 1,
        f"noun {noun(p)}": 1,
        f"grade {p.grade}": 1,
        "one word": words == 0,
        "two words": words == 1,
        "three words": words > 1,
        "words of the speaker's own": bool(p.modifiers),
        "one word, part": words == 0 and p.grade == "part",
        "ending of a machine": is_agent(noun(p)),
        "plural": p.plural,
        "holder": bool(p.holders),
        "spare": bool({"spare", "spares"} & {*p.modifiers, *p.heads}),
        "condition": p.condition is not None,
        "size in it": p.measured,
        "indexed": p.indexed,
        "head of another": any(singular(m) in r.talk.machines for m in (*p.modifiers, *p.heads[:-1])),
        "capital": r.atoms[p.last - 1].capital and p.last - 1 > first,
    }


def said_marks(r: Recording, p: Phrase) -> Marks:
    """Its article and its count."""
    kind = next((name for name, words in ARTICLES if p.article in words), "all")
    behind = count_behind(r.talk.view, p) if p.count is None else None
    count = p.count or behind or 0
    several = count > 1
    odd = (p.count or 0) > 1 and not p.plural and not p.holders
    return {
        f"article {kind}": 1,
        f"article {kind}, {'plural' if p.plural else 'singular'}": 1,
        f"{p.grade}, article {kind}": 1,
        f"{p.grade}, several": several,
        "count": p.count is not None,
        "count behind": behind is not None,
        "several": several,
        "one": count == 1,
        "scores": count >= MANY,
        "about": p.approximate,
        "plural, no count": p.plural and not count,
        "many of a singular": odd,  # "the engine's a diesel, three cylinder"
        "many of a singular, at an end": odd and bool(r.atoms[p.last - 1].after),
    }


def before_marks(r: Recording, p: Phrase) -> Marks:
    """What stands before it in its sentence."""
    atoms, k = r.atoms, p.first - 1
    first, _ = r.sentence(p)
    if k < first:
        return {"opens": 1, f"opens, {p.grade}": 1}
    framed = _framed(atoms, p.first, first)
    out: Marks = {
        "opens behind small words": all(a.lower in r.words["opening"] for a in atoms[first : p.first]),
        f"framed {framed}": bool(framed),
    }
    if atoms[k].after:
        return out | {"behind a comma": 1}
    return out | _led(r, p, atoms[k].lower) | _joined(r, p, k, first)


def _led(r: Recording, p: Phrase, lower: str) -> Marks:
    """By which preposition."""
    if lower in r.words["leading"]:
        of = lower if lower in ("with", "of") else "a preposition"
        return {f"behind {lower}": 1, f"{p.grade}, behind {of}": 1}
    if lower not in PREPOSITIONS:
        return {}
    placing = lower in r.words["placing"]
    return {"behind a place": placing, "behind another preposition": not placing}


def _joined(r: Recording, p: Phrase, k: int, first: int) -> Marks:
    """By which other word, atom k."""
    lower, kind = r.atoms[k].lower, r.classes.of(r.atoms[k].lower)
    having = lower in r.words["having"]
    owner = lower == "'s" and k > first and not p.article and r.classes.of(r.atoms[k - 1].lower) == "content"
    return {
        "joined with and": lower in ("and", "or", "plus"),
        "behind being": lower in r.words["being"],
        "behind having": having,
        "behind an act": kind == "acts" and not having,
        "behind a noun": kind == "content",
        "owner before": owner,
    }


def _framed(atoms: Sequence[Atom], at: int, first: int) -> str:
    """The frame for naming right before a phrase."""
    for form in FORMS:
        start = at - len(form)
        if start >= first and tuple(a.lower for a in atoms[start:at]) == form:
            return " ".join(form)
    return ""


def behind_marks(r: Recording, p: Phrase) -> Marks:
    """What stands behind it in its sentence."""
    atoms, k = r.atoms, p.last
    _, last = r.sentence(p)
    if k >= last:
        return {"ends its sentence": 1, f"ends its sentence, {p.grade}": 1}
    lower, kind = atoms[k].lower, r.classes.of(atoms[k].lower)
    figure = k in r.talk.view.measured or k in r.talk.view.numbers
    if atoms[k - 1].after:
        return {
            "comma behind": 1,
            "figure behind a comma": figure,
            "and behind a comma": lower in ("and", "or"),
            "described behind a comma": kind in ("describes", "acts"),
            "named behind a comma": kind in ("content", "name", "unit"),
        }
    being, having = lower in r.words["being"], lower in r.words["having"]
    return {
        "figure behind": figure,
        "being behind": being,
        "having behind": having,
        "act behind": kind == "acts" and not having and not being,
        "help behind": kind == "helps" and not having and not being,
        "and behind": lower in ("and", "or"),
        "content behind": kind in ("content", "name"),
        "described behind": kind == "describes",
        "of behind": lower == "of",
        "with behind": lower == "with",
        "for behind": lower == "for",
        "place behind": lower in PREPOSITIONS and lower not in ("of", "with", "for"),
        "speaker behind": lower in r.words["speaking"],
    }


def _manner(atoms: Sequence[Atom], phrases: Sequence[Phrase]) -> Marks:
    """How the recording is spoken: in short pieces, densely, with counts."""
    sentences = max(1, len({a.sentence for a in atoms}))
    named = [p for p in phrases if p.grade in LISTED]
    counted = sum(p.count is not None for p in named)
    return {
        "words in a sentence": min(30.0, len(atoms) / sentences) / 10,
        "names in ten words": 10 * len(named) / max(1, len(atoms)),
        "share of names counted": counted / max(1, len(named)),
        "long recording": log(max(100, len(atoms)) / 100),
    }


@lru_cache(maxsize=4)
def _trades(vocabulary: Vocabulary) -> Mapping[str, str]:
    """Names of the table, with their trades."""
    return {name: row["trade"] for row in vocabulary["components"] for name in row["names"]}


@lru_cache(maxsize=4)
def _words(vocabulary: Vocabulary) -> Mapping[str, frozenset[str]]:
    """The words of vocab/thing_words.toml by kind."""
    return {row["kind"]: frozenset(row["words"]) for row in vocabulary["thing_words"]}
