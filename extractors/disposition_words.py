"""The cues of dispositions: what they say where they stand, and the words by which their clauses are read."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import takewhile

from extractors.disposition_cues import Cue, CueFinder
from extractors.noun_phrase import PREPOSITIONS
from extractors.phrases import Atom, clause_end, clause_start, sentence_bounds
from extractors.word_classes import NUMBER_WORDS, Classes
from vocab import Vocabulary

MOVES = frozenset(
    (
        "go goes going stay stays staying included include includes excluded sell sells sold come comes coming "
        "sale deal leave leaves take takes keep keeps part"
    ).split()
)
BARE = frozenset(
    ("go goes going stay stays come comes coming along included excluded gone keep keeping kept mine ours").split()
)
"""Last words of cues that are verbs of motion or rest: such cues count only where nothing else follows ("the linen goes
in there")."""
FOLLOWS = frozenset(
    (
        "and but so too obviously of as because since for either though also if anyway probably i here "
        "put when they it that we or then unless naturally clearly "
        "except minus apart bar without whatever definitely certainly already"
    ).split()
)
TIMES = frozenset({"before", "until", "till", "when", "whenever", "after", "once", "while"})
"""Words that make of what follows a time: what is said there of going is no statement."""
MAYBE = frozenset(
    (
        "maybe perhaps possibly whether if might may could probably thinking considering wondering tempted hoping "
        "inclined debating"
    ).split()
)
DENIED = frozenset(
    ("not never isn't aren't won't doesn't don't ain't wasn't no neither none can't cannot nothing").split()
)
SINGULAR = frozenset({"it", "that", "this", "he", "she", "one"})
PLURAL = frozenset({"they", "those", "these", "them", "'em", "em", "both", "neither", "all", "ones"})
CUTS = frozenset({"but", "so", "because", "while", "since", "though", "although", "whereas", "or"})
OPENERS = frozenset({"and", "but", "so", "then", "well", "okay", "oh", "now", "whether", "if"})
NEGATIVE_ENDS = frozenset(
    ("isn't", "aren't", "is not", "are not", "'s not", "doesn't", "don't", "does not", "do not", "won't", "will not")
)
BARE_ENDS = NEGATIVE_ENDS | {"do", "does", "are", "is", "will"}
"""All that stands behind a thing of which the other way round is said: "the sprayer goes, the meter doesn't"."""
LEADS_IN = OPENERS | {"nor", "neither", "plus", "or", "is", "are", "'s", "got", "have", "has", "see"}
"""Words behind which a thing is named in a sentence that says what happens to it."""
ARTICLES = frozenset({"the", "a", "an", "this", "that", "these", "those", "our", "their", "his", "her", "my"})
MINDS = frozenset(
    (
        "decided decide sure mind minds said agreed certain know ask check talk think thinking promise tell say "
        "undecided"
    ).split()
)
"""Words of a cue that tell what people think: who thinks is not what is thought about."""
TAKES = frozenset(
    {
        "throw",
        "throwing",
        "keep",
        "keeping",
        "keeps",
        "sell",
        "need",
        "lease",
        "rent",
        "count",
        "get",
        "leave",
        "have",
        "want",
    }
)
ADVERBS = frozenset(
    (
        "also already all both each just currently definitely now obviously naturally certainly actually too only "
        "clearly sadly unfortunately luckily still probably certainly absolutely simply again anyway"
    ).split()
)
"""Words that may stand beside a cue without changing what it is said of."""
BEING = frozenset({"is", "are", "'s", "'re", "be"})
CLOSING = frozenset("for as with out in back too over one together along free also right".split())
"""Words behind a cue of taking that are no object of it."""
BEHIND_OBJECTS = frozenset(
    (
        "at here there up to away ourselves myself themselves himself all both instead on now not again after once "
        "till until"
    ).split()
)
"""Words that may follow "we keep it"."""
DEMONSTRATIVES = frozenset({"it", "that", "this", "they", "those", "these", "them", "he", "she", "one", "ones"})
ALL_WORDS = (
    "everything", "everything else", "everything here", "everything you see", "everything you see here", "the rest",
    "rest", "all the rest", "rest of it", "the rest of it", "rest of them", "the rest of them", "the rest of this",
    "all of it", "all of this", "all of that", "it all", "the lot", "the whole lot", "lot",
    "whole lot", "the whole thing", "the other stuff", "all the other stuff", "the remainder", "anything else",
)  # fmt: skip
"""Subjects that mean all there is, or all of which nothing else was said."""
SPEAKERS = frozenset(
    (
        "i i'd i'll i'm i've we you they he she 'd 'll 'm 're would will must should can could have need want do not"
    ).split()
)
"""Who speaks or knows, and what helps the verb: words between the beginning of a clause and a cue of doubt."""
OBJECTS = frozenset({"it", "that", "this", "those", "these", "them", "'em", "em"})
"""A cue with a verb of taking and one of these says in itself what it is said of."""
WHO = frozenset({"content", "name", "describes", "acts", "unit"})
"""Classes of words that may name a person or a firm."""
GOODS = frozenset(
    "own personal private property stuff things thing gear equipment kit belongings problem one ones".split()
)
"""Words that may stand behind an owner: "Dale's personal stuff"."""
NOBODY = frozenset("it that this there here what he she who where one let how when everything".split())
VERBS = BEING | frozenset(
    "has have got was were gives runs works does makes needs holds takes turns looks sounds leaks comes goes".split()
)
SAYING = frozenset({"says", "said", "told", "tells", "thinks", "reckons", "claims", "wants"})
"""Verbs of what somebody says or wants."""
WALKS = frozenset("go goes going come comes coming stay stays staying".split())
"""Verbs by which a speaker says what he does himself."""
HEARING = SAYING | frozenset("think believe guess know hear heard hope suppose understand asked".split())
"""Verbs behind which a sentence has a subject of its own."""
GUESSES = frozenset({"maybe", "perhaps", "possibly", "no idea", "unknown", "uncertain"})
HEDGING = frozenset("swear sure certain know clue idea guess think dunno say tell".split())
"""Words of a cue of doubt that may doubt a number as well."""
FETCHING = frozenset("fetch get take pick collect see look do have check go grab haul load buy".split())


def weigh(atoms: Sequence[Atom], i: int, end: int, cue: Cue) -> str | None:
    """The disposition that the cue says here, or None where its words say something else."""
    first, last = sentence_bounds(atoms, i)
    near = {a.lower for a in atoms[first:last]}
    tail = [a.lower for a in atoms[end : end + 2]] if not atoms[end - 1].after else []
    ahead_of_noun = {"a", "another", "each"} if atoms[i].lower == "go" else NUMBER_WORDS - {"one"}
    if atoms[i].lower in ("go", "stays") and i and atoms[i - 1].lower in ahead_of_noun:
        return None  # "three hundred kilos at a go", "nine stays on the silo"
    if cue.words in ("stays", "stay") and tail[:1] in (["on"], ["in"], ["at"], ["under"]):
        return "excluded" if tail[1:] in (["the"], ["that"], ["this"], ["its"]) else None
    if (cue.where == "tail" or (cue.where == "before" and cue.words.split()[-1] in BARE)) and not (
        atoms[end - 1].after or end >= last or atoms[end].lower in FOLLOWS
    ):
        return None
    if atoms[end - 1].after == "" and [a.lower for a in atoms[end : end + 1]] == ["apart"]:
        apart = [a.lower for a in atoms[end + 1 : end + 2]]
        if apart != ["from"]:
            return None  # "they come apart for the truck"
    if (
        cue.words in ("goes with the", "go with the")
        and end < len(atoms)
        and atoms[end].lower in ("flow", "grain", "wind")
    ):
        return None
    if (
        i
        and atoms[i - 1].lower in ("we", "i", "you", "he", "she")
        and not atoms[i - 1].after
        and atoms[i].lower in ("go", "goes", "come", "comes", "stay", "stays")
    ):
        return None  # "we go with the water" is about people
    start = clause_start(atoms, i)
    if (
        cue.where in ("before", "tail", "whole")
        and i > start
        and atoms[i - 1].lower in ("to", "'ll", "can", "could", "will", "let", "'d", "gonna", "me", "us", "let's")
        and {"i", "we", "you", "let's", "let", "i'll", "i'd", "i'm"} & {a.lower for a in atoms[start:i]}
        and atoms[i].lower in ("go", "come", "stay", "leave")
    ):
        return None  # "I want to go back to that tank"
    if cue.where == "weak" and " ".join(tail[1:]) in NEGATIVE_ENDS and tail[0] in SINGULAR | PLURAL | {"she"}:
        return None  # "she's worn, I won't say she isn't"
    if i > start and atoms[i - 1].lower in ("him", "her", "me", "us") and cue.where in ("before", "tail", "whole"):
        return None  # "there comes a forklift, I let him go"
    if cue.where == "weak" and {"could", "can", "would"} & {a.lower for a in atoms[max(start, i - 2) : i]}:
        return None  # "Priya, could you ask him"
    if _asked(atoms, i):
        return None  # "do they go?"
    if atoms[end - 1].lower in ("goes", "go") and [a.lower for a in atoms[end : end + 2]] == ["without", "saying"]:
        return None
    if atoms[end - 1].lower in ("shared", "divided") and tail[:1] in (["in"], ["into"], ["among"]):
        return None  # "the plates are shared in three zones"
    if _of_a_noun(atoms, start, i, end):
        return None  # "the shape it's in", "the box they're in"
    if _one_fails(atoms, start, i, end):
        return None  # "one element is out"
    ahead_of = [a.lower for a in atoms[start:i] if a.lower not in OPENERS]
    by_us = ahead_of[:1] in (["i"], ["i'm"], ["i'll"], ["we"]) and cue.where in ("before", "tail", "whole")
    by_us = by_us and not HEARING & set(ahead_of)  # "we were told the booth stays" is about the booth
    if by_us and (set(cue.words.split()) & WALKS or cue.words in ("for free", "free of charge")):
        return None  # "I'm starting at the kettle end and going back", "I'll go with the sand"
    if i == start and cue.words.startswith(("go back", "come back")):
        return None  # "go back to the fan"
    if [a.lower for a in atoms[first : first + 3]] in (["if", "i", "was"], ["if", "i", "were"], ["if", "i", "had"]):
        return None  # "if I was younger I'd keep it"
    if i > start and TIMES & {a.lower for a in atoms[start:i]}:
        return None  # "I'll tell you about it before it's sold", "when it goes you need a crane"
    if end - i == 1 and i == start and cue.words in ("go", "come", "stay", "take", "leave") and i > first:
        return None  # "Olly, van, go": an order
    if (
        cue.disposition == "uncertain"
        and cue.words.startswith("ask")
        and {"don't", "never"} & {a.lower for a in atoms[max(start, i - 2) : i]}
    ):
        return None  # "please don't ask me about it"
    ahead = [a.lower for a in atoms[end : end + 2]]
    if cue.words in ("come", "comes", "go", "goes") and ahead[:1] == ["and"] and set(ahead[1:]) & FETCHING:
        return None  # "they'll come and fetch it"
    if (
        cue.words == "ask"
        and end < last
        and not atoms[i].after
        and atoms[end].capital
        and end == clause_end(atoms, i) - 1
    ):
        return cue.disposition if i == start and i > first else None  # "the drum pump, ask Lennart"
    if cue.where == "whole" and not _whole_clause(atoms, i, end):
        return None
    if cue.where == "whole" and cue.words in GUESSES and not near & MOVES and _numbers(atoms, first, i):
        return None  # "it's not ten years old, or maybe, no idea" is about the number
    if cue.where == "answer" and not _answer(atoms, i, end):
        return None
    if cue.where == "order" and any(a.lower not in OPENERS | ADVERBS for a in atoms[clause_start(atoms, i) : i]):
        return None
    if cue.where == "weak":
        if {"don't", "never"} & {a.lower for a in atoms[max(start, i - 2) : i]}:
            return None  # "please don't ask me about it"
        if atoms[i].lower in ("i", "we", "they", "he", "she") and i > start and atoms[i - 1].lower not in OPENERS:
            return None  # "for numbers I don't know"
        lead = start
        while lead < i and (
            atoms[lead].lower in OPENERS | ADVERBS | SPEAKERS
            or atoms[lead].lower in ("about", "that", "first", "there")
        ):
            lead += 1
        short = start == first and last - first <= 7 and first > 0
        if short and lead == i:
            # "do they go? Beats me. Ask the lady at the office."
            earlier, _ = sentence_bounds(atoms, first - 1)
            if {a.lower for a in atoms[earlier:first]} & (MOVES | {"ask"}):
                return cue.disposition
        topic = lead == i and start > first and start - clause_start(atoms, start - 1) <= 5
        # "the bagging scale, my nephew's got his eye on it, so I don't know yet"
        topic = topic or (lead == i and clause_end(atoms, first) <= start and _names_only(atoms, first))
        hedges = bool(HEDGING & {a.lower for a in atoms[i:end]})
        if topic and hedges and (_counts(atoms, start) or _numbered(atoms, end)):
            return None  # "twelve nozzles, I think, I wouldn't swear to it" is about the number
        # "the cooling tower you must ask the boss"
        topic = topic or (
            (atoms[start].lower in ARTICLES or start == first) and 2 < i - start <= 8 and atoms[i - 1].lower in SPEAKERS
        )
        if not (near & MOVES) and not topic:
            return None
        if topic and not (near & MOVES) and clause_end(atoms, i) - i > 8:
            return None
    cut = next((k + 1 for k in range(i - 1, start, -1) if atoms[k].lower in CUTS - {"or"}), start)
    before = [a.lower for a in atoms[cut:i]]  # "I could have the board, but I'm told ..." is no "could"
    if cue.disposition == "included" and cue.where in ("before", "tail"):
        if set(before) & MAYBE:
            return "uncertain"
        doubted = {"don't", "doesn't", "didn't"} & set(before) and {"think", "believe", "reckon"} & set(before)
        if doubted or "neither" in before or set(before[-3:]) & DENIED or any(w.endswith("n't") for w in before[-3:]):
            return "excluded"
    if cue.where in ("whole", "answer") and cue.disposition == "included":
        if set(before[-3:]) & DENIED or any(w.endswith("n't") for w in before[-3:]):
            return "excluded"
        if set(before) & MAYBE:
            return "uncertain"
    if cue.where == "either" and set(before[-4:]) & MAYBE:
        return "uncertain"
    owned = cue.words.split()[-1] in ("ours", "mine", "theirs", "his", "hers")
    plain = (
        cue.disposition == "excluded"
        and not owned
        and not any(w in DENIED or w.endswith("n't") for w in cue.words.split())
    )
    if plain and cue.where != "either" and (set(before[-2:]) & DENIED or any(w.endswith("n't") for w in before[-2:])):
        return (
            "included" if cue.words.split()[0] in ("stay", "stays", "staying") else None
        )  # "nothing is set in concrete"
    if cue.disposition == "excluded" and set(before) & MAYBE and cue.reason is None and "not" not in cue.words:
        return "uncertain"
    return cue.disposition


def _of_a_noun(atoms: Sequence[Atom], start: int, i: int, end: int) -> bool:
    """Whether "it's in" ends a clause that says more of a noun right before it: "the shape it's in"."""
    at = i
    while at > start and atoms[at].lower in BEING | {"in"}:
        at -= 1
    if atoms[end - 1].lower != "in" or at <= start or atoms[at].lower not in ("it", "they", "we", "you"):
        return False
    before = atoms[at - 1].lower
    return not atoms[at - 1].after and before not in OPENERS | CUTS | SPEAKERS | ADVERBS | SAYING | HEARING | BEING


def _one_fails(atoms: Sequence[Atom], start: int, i: int, end: int) -> bool:
    """Whether "out" says that some of several do not work: "one element is out", "two lamps are out"."""
    words = [a.lower for a in atoms[start:i] if a.lower not in OPENERS | BEING]
    return atoms[end - 1].lower == "out" and len(words) > 1 and words[0] in NUMBER_WORDS and end - i <= 2


def _names_only(atoms: Sequence[Atom], first: int) -> bool:
    """Whether a sentence begins with the name of a thing and nothing else: "the truck scale, well, ..."."""
    words = [a.lower for a in atoms[first : clause_end(atoms, first)]]
    while words and words[0] in OPENERS:
        words = words[1:]
    name = list(takewhile(lambda w: w not in PREPOSITIONS, words))
    numbers = any(w in NUMBER_WORDS or w[:1].isdigit() for w in words)
    return 2 <= len(name) <= 4 and len(words) <= 8 and name[0] in ARTICLES and not numbers and not VERBS & set(words)


def _counts(atoms: Sequence[Atom], start: int) -> bool:
    """Whether the clauses of a sentence before an atom begin with a number: "twelve nozzles, I think, ..."."""
    first, _ = sentence_bounds(atoms, start)
    leads = OPENERS | BEING | {"about", "maybe", "some", "there", "got"}
    while first < start and atoms[first].lower in leads:
        first += 1
    return first < start and (atoms[first].lower in NUMBER_WORDS or atoms[first].lower[:1].isdigit())


def _numbers(atoms: Sequence[Atom], first: int, last: int) -> bool:
    """Whether a number stands between two atoms."""
    return any(a.lower in NUMBER_WORDS or a.lower[:1].isdigit() for a in atoms[first:last])


def _numbered(atoms: Sequence[Atom], end: int) -> bool:
    """Whether a number follows, "about" and the like between: "it gives, dunno, about ten a minute"."""
    while end < len(atoms) and atoms[end].lower in ("about", "around", "maybe", "some", "say", "roughly"):
        end += 1
    return end < len(atoms) and (atoms[end].lower in NUMBER_WORDS or atoms[end].lower[:1].isdigit())


def _asked(atoms: Sequence[Atom], i: int) -> bool:
    """Whether the sentence of atom i asks: a question mark behind it, and a helping verb first."""
    first, last = sentence_bounds(atoms, i)
    while first < i and atoms[first].lower in OPENERS:
        first += 1
    return atoms[last - 1].after == "?" and atoms[first].lower in (
        BEING | {"do", "does", "can", "will", "would", "did"}
    )


def _whole_clause(atoms: Sequence[Atom], i: int, end: int) -> bool:
    """Whether a cue is all that its clause says: "leased", "both leased", "it's in", "the platform is in"."""
    _, last = sentence_bounds(atoms, i)
    if end < last and not atoms[end - 1].after and atoms[end].lower not in ("and", "but", "so", "because", "too"):
        return False
    start = clause_start(atoms, i)
    k = i
    while k > start and (atoms[k - 1].lower in ADVERBS | DENIED or atoms[k - 1].lower.endswith("n't")):
        k -= 1
    said = k > start and atoms[k - 1].lower in BEING
    while k > start and atoms[k - 1].lower in BEING | ADVERBS | DEMONSTRATIVES | OPENERS:
        k -= 1
    return k == start or said


def _answer(atoms: Sequence[Atom], i: int, end: int) -> bool:
    """Whether a yes or no ends a short sentence that named a thing: "a drum pump, sure"."""
    first, last = sentence_bounds(atoms, i)
    if end < last or clause_start(atoms, i) != i or i == first or i - first > 9 or atoms[first].lower in DENIED:
        return False  # "no cracks in the sumps, no" is no answer
    said = BEING | {"has", "have", "got"}
    return not any(a.lower in said for a in atoms[first:i]) and atoms[first].lower != "there"


def owned_at(atoms: Sequence[Atom], i: int, classes: Classes) -> tuple[int, Cue, str] | None:
    """ "Is the chemical supplier's property", "that's the yard's": another's, by the possessive that ends a clause."""
    if atoms[i].lower not in BEING or atoms[i].after or i + 2 >= len(atoms):
        return None
    k = i + 1
    while k < len(atoms) and atoms[k].lower in ADVERBS | {"all", "not"}:
        if atoms[k].lower == "not":
            return None
        k += 1
    first = k
    while k < len(atoms) and k - first < 5 and atoms[k].lower != "'s" and not atoms[k].said.endswith(("s'", "s’")):
        lower = atoms[k].lower
        if atoms[k].after or (not (lower in ARTICLES if k == first else False) and classes.of(lower) not in WHO):
            return None
        k += 1
    if k >= len(atoms) or k - first > 4 or (k == first and atoms[k].lower == "'s"):
        return None
    if atoms[k].lower == "'s" and (atoms[k - 1].lower in NOBODY or atoms[k - 1].lower in ARTICLES):
        return None
    owner = atoms[k - 1].lower if atoms[k].lower == "'s" else atoms[k].lower
    while k + 1 < len(atoms) and not atoms[k].after and atoms[k + 1].lower in GOODS:
        k += 1
    end = k + 1
    if end < len(atoms) and not atoms[k].after and atoms[end].lower not in FOLLOWS:
        return None
    said = "included" if owner in ("buyer", "buyers'", "machine", "line") else "excluded"
    return end, Cue(said, "before", "another's property" if said == "excluded" else None, "is another's"), said


def closed(atoms: Sequence[Atom], end: int) -> bool:
    """Whether nothing that could be an object follows a cue of taking, but for a pronoun."""
    held = end < len(atoms) and not atoms[end - 1].after and atoms[end].lower in OBJECTS | PLURAL
    k = end + held  # "we keep it short" is no keeping, "we keep it for the other line" is
    if k >= len(atoms) or atoms[k - 1].after or atoms[k].lower in FOLLOWS | CLOSING:
        return True
    return held and atoms[k].lower in BEHIND_OBJECTS


def of_all(atoms: Sequence[Atom], i: int) -> bool:
    """Whether the subject before the cue at i is everything: "all of this", "everything on the skid"."""
    words = [a.lower for a in atoms[clause_start(atoms, i) : i]]
    while words and words[0] in OPENERS:
        words = words[1:]
    while words and words[-1] in BEING | ADVERBS | {"will", "'ll", "would", "can", "that"}:
        words = words[:-1]
    return (
        " ".join(words) in ALL_WORDS
        or words[:1] == ["everything"]
        or (words[:2] == ["all", "of"] and words[2:3] in (["this"], ["it"], ["that"]))
    )


def cue_at(atoms: Sequence[Atom], i: int, finder: CueFinder, classes: Classes) -> tuple[int, Cue, str] | None:
    """End, form and disposition of the longest cue at i that says something here."""
    for end, cue in finder.all_at(atoms, i):
        if cue.disposition != "reason" and (said := weigh(atoms, i, end, cue)) is not None:
            return end, cue, said
    return owned_at(atoms, i, classes)


@lru_cache(maxsize=16)
def classes_of(vocabulary: Vocabulary) -> Classes:
    return Classes(vocabulary)
