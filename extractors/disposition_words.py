"""The words by which the clauses of cues of disposition are read."""

from __future__ import annotations

MOVES = frozenset(
    (
        "go goes going stay stays staying included include includes excluded sell sells sold come comes coming "
        "sale deal leave leaves take takes keep keeps part"
    ).split()
)
ALL_THERE = frozenset(
    "everything lot lots package whatever rest yours mine ours theirs price offer want wants buy buying buys have "
    "get gets getting hand handing".split()
)
"""Words that, beside those of moving, make of "except the crane" what does not go."""
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
TOLD = frozenset(
    "weight size sizes height length width depth diameter dimensions capacity volume hours year age serial model "
    "maker number numbers price voltage amps horsepower figure figures footprint".split()
)
"""What is told of a thing, and not handed over with it."""
MAYBE = frozenset(
    (
        "maybe perhaps possibly whether if might may could probably thinking considering wondering tempted hoping "
        "inclined debating"
    ).split()
)
DENIED = frozenset(
    ("not never isn't aren't won't doesn't don't ain't wasn't no neither none can't cannot nothing").split()
)
OPPOSITE = {"included": "excluded", "excluded": "included"}
OWNERS = frozenset("ours mine theirs his hers".split())
SINGULAR = frozenset({"it", "that", "this", "he", "she", "one"})
PLURAL = frozenset({"they", "those", "these", "them", "'em", "em", "both", "neither", "all", "ones"})
PRONOUNS = SINGULAR | PLURAL
CUTS = frozenset({"but", "so", "because", "while", "since", "though", "although", "whereas", "or"})
OPENERS = frozenset({"and", "but", "so", "then", "well", "okay", "oh", "now", "whether", "if"})
NEGATIVE_ENDS = frozenset(
    (
        "isn't",
        "aren't",
        "is not",
        "are not",
        "'s not",
        "doesn't",
        "don't",
        "does not",
        "do not",
        "won't",
        "will not",
        "ain't",
    )
)
BARE_ENDS = NEGATIVE_ENDS | {"do", "does", "are", "is", "will"}
"""All that stands behind a thing of which the other way round is said: "the sprayer goes, the meter doesn't"."""
LEADS_IN = OPENERS | {"nor", "neither", "plus", "or", "is", "are", "'s", "got", "have", "has", "see"}
"""Words behind which a thing is named in a sentence that says what happens to it."""
ARTICLES = frozenset({"the", "a", "an", "this", "that", "these", "those", "our", "their", "his", "her", "my"})
MINDS = frozenset(
    (
        "decided decide sure mind minds said agreed certain know ask check talk think thinking promise tell say "
        "undecided wavering"
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
STRIKERS = frozenset("forget scratch scrap strike cancel ignore disregard cross scrub delete belay rub".split())
"""Verbs that strike what was said."""
STRUCK = frozenset("said told tell wrote put saying".split())
"""Verbs of what is struck: "forget that I said it goes"."""
WALKS = frozenset("go goes going come comes coming stay stays staying".split())
"""Verbs by which a speaker says what he does himself."""
HEARING = SAYING | frozenset("think believe guess know hear heard hope suppose understand asked".split())
"""Verbs behind which a sentence has a subject of its own."""
GUESSES = frozenset({"maybe", "perhaps", "possibly", "no idea", "unknown", "uncertain"})
HEDGING = frozenset("swear sure certain know clue idea guess think dunno say tell".split())
"""Words of a cue of doubt that may doubt a number as well."""
FETCHING = frozenset("fetch get take pick collect see look do have check go grab haul load buy".split())
INSURING = frozenset(
    "policy policies insurance insurer insurers insured insure underwriting underwriter underwriters coverage".split()
)
"""Words of a walk in which "covered" is said of what a policy holds."""
COVERS = frozenset(
    f"{lead} {on}"
    for lead in ("stays", "stay", "can stay", "goes", "go", "can go")
    for on in ("on", "on there", "there")
) | frozenset(f"{lead} on there too" for lead in ("goes", "go", "can go"))
"""Forms that say what a policy holds, only where the talk is of one."""
