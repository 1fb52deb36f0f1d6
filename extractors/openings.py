"""Clauses that bring in a machine: "then there's his planer", "number two, a dumper", "the dishwasher's by the hatch".

Where a speaker goes through several machines, each is brought in so; so are the machines of a line and the parts of one
machine. Which it is, machines.py decides: here stand the places, and what speaks for each of them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from extractors.mentions import Token, Tokens
from extractors.phrases import is_plural, singular
from vocab import Vocabulary

LEAD = 16
"""Tokens of a clause within which the machine must be named."""
DESCRIBED = 60
"""Tokens after an opening in which a machine of its own is told with its plate."""
STRENGTH = {"label": 3.0, "order": 3.0, "turn": 2.0, "chain": 2.0, "here": 1.5, "one": 2.0, "bare": 1.0, "noun": 1.5}
WHOLE = {"machine", "item", "asset", "equipment", "lot"}
"""Words for a machine as such: "next machine" moves on more surely than "next one"."""
FRESH = {"a", "an", "another", "his", "her", "their"}
FAMILIAR = {"the", "that", "your", "our"}
PHRASE = 4
"""Tokens of a machine's name with its article, at most, where it opens a clause with nothing before it."""
INTRODUCED = {"a", "an", "the", "my", "our", "his", "her", "their", "another"}
"""After "this one's": another machine; "this one's quite old" goes on with the last."""
AFTER_NAME = frozenset(
    (
        "is was has had with for of in on at that which and or but to from by here there over it too also again made "
        "built behind beside under next above below up down outside inside i we you they he she are were as"
    ).split()
)
"""Words that do not go on with a machine's name."""
FOLLOWS = frozenset(
    (
        "is was here over there next in on by at outside behind takes holds does swings cuts it he she i stands sits "
        "had goes has works carries weighs makes runs comes lives which"
    ).split()
)
"""After "the saw", as the subject of its clause."""
DONE = frozenset("been new rebuilt redone replaced changed renewed rewound fixed put taken ground cut swapped".split())
"""After "the compressor was": what was done to a part of the machine that is spoken of."""
BREAKS = {"it", "it's", "its", "which", "who", "they", "he", "she", "with", "where"}
"""Words after which a clause no longer names what it brings in."""
PARTLIKE = frozenset("compressor chiller boiler pump burner heater condenser dryer blower fan transformer".split())
"""Machines that as often serve another: "the compressor" in a row is a part of what was told last."""
AREAS = frozenset("side end room corner area section department bench wall".split())
POINTING = frozenset({"this", "it", "that", "it's", "that's", "he", "she"})
ALIKE = frozenset("twins twin identical pair alike group".split())
PLACED = 12
"""Words of a place before what stands there is named."""
NO_KIND = frozenset(
    (
        "the this that a an one next other last first second third whole same each every any old new big small good "
        "nice great little main another beautiful lovely fine good fantastic excellent proper solid decent honest "
        "heavy clean tidy cracking super brilliant wonderful cheap expensive strong weak simple basic modern"
    ).split()
)
"""Words before "machine" that do not say which sort."""
VERBS = {"is", "was", "it", "has", "had", "with", "on", "of", "for", "to", "from", "are", "and", "or", "one"}
LED = ("label", "order", "turn", "chain", "one", "here")
LOOSE = ("here", "bare", "noun")
"""Kinds that may as well go on with the machine that was brought in last."""
ENDS = (".", "?", "!", ";", ":")


@dataclass(frozen=True, slots=True)
class Opening:
    """One clause that names a machine; at is its first token."""

    at: int
    kind: str
    """label ("number two"), order ("the second one is"), turn ("over here there's"), chain ("then the"),
    here ("here's"), one ("the red one's"), bare ("The mixer, now"), noun ("Grain drill, fifteen foot")."""
    words: str
    noun: str
    """The machine's name in the singular; empty where none is known."""
    main: bool | None
    """Whether such a machine is sold by itself (True) or usually serves another (False); None where unknown."""
    fresh: bool | None
    """Whether it is brought in as news ("a lathe"); False for "the lathe"; None without an article."""
    plate: bool

    @property
    def weight(self) -> float:
        """How much speaks for another machine here, whatever the rest of the recording says."""
        if not self.noun and self.kind in ("turn", "chain"):
            noun = -1.0
        else:
            noun = 0.0 if self.main is None else 1.0 if self.main else -1.5
        news = 0.0 if self.fresh is None else 0.5 if self.fresh else -0.5
        whole = 1.5 if self.kind == "order" and set(self.words.lower().split()) & WHOLE else 0.0
        return STRENGTH[self.kind] + noun + news + whole + (1.0 if self.plate else 0.0)


def find_openings(tokens: Tokens, vocabulary: Vocabulary) -> tuple[Opening, ...]:
    """Every clause of the recording that may bring in another machine, in order."""
    found = [o for i in clauses(tokens, vocabulary) if (o := _opening(tokens, i, vocabulary)) is not None]
    out = []
    for n, o in enumerate(found):
        until = min([o.at + DESCRIBED, len(tokens), *(p.at for p in found[n + 1 :] if p.kind not in LOOSE)])
        plate = has_plate(tokens[o.at : until], vocabulary)
        out.append(Opening(o.at, o.kind, o.words, o.noun, o.main, o.fresh, plate))
    return tuple(out)


@lru_cache(maxsize=64)
def said(vocabulary: Vocabulary, kind: str) -> frozenset[str]:
    """All phrases of one kind in vocab/moves.toml."""
    return frozenset(words for row in vocabulary["moves"] if row["kind"] == kind for words in row["said"])


@lru_cache(maxsize=64)
def _names(vocabulary: Vocabulary, kind: str, *, widely: bool) -> frozenset[str]:
    return said(vocabulary, kind) | (said(vocabulary, "named") if widely and kind == "main" else frozenset())


@lru_cache(maxsize=64)
def _by_first(vocabulary: Vocabulary, kind: str) -> dict[str, list[tuple[str, ...]]]:
    out: dict[str, list[tuple[str, ...]]] = {}
    for words in said(vocabulary, kind):
        parts = tuple(words.split())
        out.setdefault(parts[0], []).append(parts)
    return {first: sorted(all_of, key=len, reverse=True) for first, all_of in out.items()}


def phrase_at(tokens: Tokens, i: int, vocabulary: Vocabulary, kind: str) -> int:
    """How many tokens a phrase of that kind takes at i, the longest; 0 where there is none. A # is a number or code."""
    if i >= len(tokens):
        return 0
    first = _by_first(vocabulary, kind)
    numbered = first.get("#", ()) if "#" in first and is_code(tokens[i], vocabulary) else ()
    for parts in (*first.get(tokens[i].lower, ()), *numbered, *first.get("*", ())):
        if i + len(parts) <= len(tokens) and all(
            _same(tokens, i, k, p, vocabulary, len(parts)) for k, p in enumerate(parts)
        ):
            return len(parts)
    return 0


def _same(tokens: Tokens, i: int, k: int, part: str, vocabulary: Vocabulary, length: int) -> bool:
    t = tokens[i + k]
    if k < length - 1 and t.after in ENDS:
        return False
    if part == "*":
        return t.text.isalpha()
    return is_code(t, vocabulary) if part == "#" else t.lower == part


def is_code(t: Token, vocabulary: Vocabulary) -> bool:
    """Whether a token may be a number, a letter or a code of a lot."""
    return (
        t.lower in said(vocabulary, "count")
        or any(c.isdigit() for c in t.text)
        or (len(t.text) == 1 and t.text.isupper() and t.text != "I")
    )


def clauses(tokens: Tokens, vocabulary: Vocabulary) -> Iterator[int]:
    """First tokens of sentences, and of clauses that begin with a word of moving on."""
    openers = said(vocabulary, "opener")
    for i, t in enumerate(tokens):
        if t.aside is not None and t.aside != "negation":
            continue
        if i == 0 or tokens[i - 1].sentence != t.sentence or tokens[i - 1].after in ENDS:
            yield i
        elif tokens[i - 1].after == "," and (t.lower in ("and", "then", "so") or not openers & {t.lower}):
            k = i
            while k < len(tokens) and tokens[k].lower in openers and k - i < 4:
                k += 1
            if phrase_at(tokens, k, vocabulary, "turn") and tokens[i].lower in ("and", "then", "so", "okay", "now"):
                yield i


def _opening(tokens: Tokens, i: int, vocabulary: Vocabulary) -> Opening | None:
    openers = said(vocabulary, "opener")
    k = i
    while k < len(tokens) and k - i < 5 and tokens[k].lower in openers and not _leads(tokens, k, vocabulary):
        k += 1
    kind, length = led(tokens, k, vocabulary)
    if not kind:
        return None
    end = next((n + 1 for n in range(k, min(k + LEAD, len(tokens))) if tokens[n].after in ENDS), k + LEAD)
    start = k if kind in ("bare", "one", "order") else k + length
    noun, main, at = machine_named(tokens, start, min(end, len(tokens)), vocabulary)
    words = " ".join(t.text for t in tokens[k : k + max(length, 1)])
    if not noun and kind in ("here", "bare"):
        return None
    counted = tokens[k].lower in said(vocabulary, "count") and not is_plural(tokens[at].lower)
    if kind == "bare" and counted and not tokens[k + 1].lower.endswith("ed"):
        return None  # "Two roller, three horse", "Thirty five millimetre screw"; no "four sided moulder"
    if words.lower() in ("i'll take", "i’ll take") and not noun:
        return None  # "I'll take any offer"
    if noun == "saw" and tokens[at - 1].lower in ("i", "we", "you", "they", "he", "she"):
        return None
    if kind == "label" and not noun and start < len(tokens) and tokens[start].lower == "the":
        return None  # "Number two, the solenoid sticks": of one of several alike
    if not noun and kind in ("turn", "chain"):
        noun, main, at = _it_is(tokens, start, min(end, len(tokens)), vocabulary) or (noun, main, at)
    if not noun and kind in ("turn", "chain") and _of_the_last(tokens, start, min(end, len(tokens))):
        return None  # "also the chip pan on it is rusted"
    if noun in PARTLIKE and kind in LOOSE and article_at(tokens, start, at) is False:
        main = False  # "the compressor's up on the roof"
    if noun == "pickup" and at + 1 < len(tokens) and tokens[at + 1].lower in ("has", "is", "must", "by", "before"):
        return None
    headed = (
        k == i and at - k < 2 and tokens[at].after == "."
    )  # "Fermenters. Six at thirty barrels and two at fifteen."
    pair = is_plural(_said(tokens[at].lower)) and not _one_lot(tokens, k) and not headed
    if kind == "bare" and (not _subject(tokens, k, at) or pair):
        return None  # "Two pellet presses, ring die" are no machine of their own
    if any(t.lower in ("it", "its", "that's", "which") for t in tokens[start:at]) and kind == "here":
        return None
    if kind == "bare" and main and tokens[at].after and " ".join(_bare(t.lower) for t in tokens[k : at + 1]) == noun:
        kind = "noun"
    if kind == "bare" and _went_on(tokens, at, vocabulary, article=article_at(tokens, start, at) is not None):
        return None
    if left_out(tokens, i, vocabulary):
        return None
    return Opening(i, kind, words, _full(tokens, noun, at), main, article_at(tokens, start, at), False)


def _it_is(tokens: Tokens, first: int, last: int, vocabulary: Vocabulary) -> tuple[str, bool | None, int] | None:
    """The machine behind "it's a" where the place has none: "over there's the dish room, and it's a dish machine"."""
    for i in range(first, last - 2):
        if tokens[i].lower in ("it's", "it’s") and tokens[i + 1].lower in ("a", "an", "the"):
            found = machine_named(tokens, i + 1, last, vocabulary)
            return found if found[0] else None
    return None


def _of_the_last(tokens: Tokens, first: int, last: int) -> bool:
    """Whether the clause speaks of a part of what was told last: "on it", "for it"."""
    return any(
        tokens[n].lower in ("on", "of", "for", "with", "in", "to") and tokens[n + 1].lower == "it"
        for n in range(first, last - 1)
    )


def _one_lot(tokens: Tokens, k: int) -> bool:
    """Whether the sentence says that several alike are told together: "Drying ovens, two of the same", "two mixers,
    twins"."""
    here = [t.lower for t in tokens[k : k + LEAD] if t.sentence == tokens[k].sentence]
    return bool(ALIKE & {*here}) or any(here[n : n + 3] == ["of", "the", "same"] for n in range(len(here)))


def _went_on(tokens: Tokens, at: int, vocabulary: Vocabulary, *, article: bool) -> bool:
    """Whether what is named is a part that something was done to, or how it is: "the compressor was exchanged",
    "compressor is noisy"."""
    words = [t.lower for t in tokens[at + 1 : at + 4] if t.sentence == tokens[at].sentence]
    if tokens[at].after or not words:
        return False
    if words[0] == "is" and not article:  # "compressor is noisy"; what is brought in is "the mill is by the door"
        place = said(vocabulary, "where") | said(vocabulary, "count") | said(vocabulary, "ordinal") | INTRODUCED
        return len(words) > 1 and words[1] not in place and words[1].isalpha()
    if words[0] not in ("was", "has", "got", "had"):
        return False
    return any(w.endswith("ed") or w in DONE for w in words[1:])


def _leads(tokens: Tokens, k: int, vocabulary: Vocabulary) -> bool:
    return bool(_one(tokens, k) or _nth(tokens, k, vocabulary)) or any(
        phrase_at(tokens, k, vocabulary, kind) for kind in LED
    )


def led(tokens: Tokens, k: int, vocabulary: Vocabulary) -> tuple[str, int]:
    """Which kind of words opens the clause, and how many they are."""
    for kind in LED:
        if (length := phrase_at(tokens, k, vocabulary, kind)) and (kind != "label" or _stands(tokens, k + length)):
            # "then we come to the stitcher": what leads on says more than the "then" before it
            if kind == "chain" and k + 1 < len(tokens) and tokens[k + 1].lower == "to" and tokens[k].lower == "next":
                continue  # "next to the sink stands a cabinet"
            further = phrase_at(tokens, k + length, vocabulary, "turn") if kind == "chain" else 0
            return ("turn", length + further) if further else (kind, length)
    if (length := phrase_at(tokens, k, vocabulary, "new")) and _stands(tokens, k + length):
        return "label", length  # "lot three would be the press": one such number by itself counts no machines
    if length := _nth(tokens, k, vocabulary):
        return "order", length
    if length := _one(tokens, k):
        return "one", length
    if length := _place(tokens, k, vocabulary):
        return "turn", length
    return ("bare", 1) if k < len(tokens) else ("", 0)


def _stands(tokens: Tokens, k: int) -> bool:
    """Whether a number before k stands by itself ("number two, a dumper"): "number one press has" speaks of one of a
    kind that was named before."""
    after = tokens[k].lower if k < len(tokens) else ""
    return (
        tokens[k - 1].after != ""
        or tokens[k - 1].lower.endswith("'s")
        or after in ("is", "was", "here", "we", "that's", "would", "will")
    )


def _nth(tokens: Tokens, k: int, vocabulary: Vocabulary) -> int:
    """ "The second lathe is": how many words, 0 where it is not so said."""
    n = k + 1 if k < len(tokens) and tokens[k].lower == "the" else k
    if n + 1 >= len(tokens) or tokens[n].lower not in said(vocabulary, "ordinal"):
        return 0
    return n + 2 - k if _bare(tokens[n + 1].lower) in said(vocabulary, "main") else 0


def _one(tokens: Tokens, k: int) -> int:
    """ "This front one is", "the red one's": how many words, 0 where it is not so said."""
    if k >= len(tokens) or tokens[k].lower not in ("this", "that", "the", "what"):
        return 0
    for n in range(k + 1, min(k + 7, len(tokens))):
        word, after = tokens[n].lower, tokens[n + 1].lower if n + 1 < len(tokens) else ""
        if tokens[k].lower == "what" and n - k > 1 and word in ("is", "was") and after in INTRODUCED | {"this"}:
            return n + 1 - k  # "what he loved most was this bandsaw"
        if word in ("one's", "one’s"):
            return n + 1 - k if after in INTRODUCED else 0
        if word == "one" and after in ("is", "here's", "there's", "here", "there"):
            later = {t.lower for t in tokens[n + 2 : n + 4]}
            return n + 1 - k if later & INTRODUCED else 0
        if word == "is" and n - k > 1 and after in (INTRODUCED if tokens[k + 1].lower == "one" else FRESH):
            return n + 1 - k  # "the one i'll miss is the", "this bad boy right here is a"
        if word in ("here's", "there's") and after in FRESH:
            return n + 1 - k  # "that thing there's a"
        if tokens[n].after or not word.isalpha():
            return 0
    return 0


def _place(tokens: Tokens, k: int, vocabulary: Vocabulary) -> int:
    """ "At the window is", "behind me, the", "come round here and there's": how many words lead to what stands there,
    0 where they do not."""
    if k >= len(tokens):
        return 0
    goes = tokens[k].lower in said(vocabulary, "go")
    if tokens[k].lower in ("we're", "i'm", "we’re", "i’m") and k + 1 < len(tokens):
        within = _place(tokens, k + 1, vocabulary)
        return within + 1 if within > 1 else 0  # "we're outside now on the pad and this is a chiller"
    named = next((n for n in range(k, min(k + 3, len(tokens))) if tokens[n].after == ","), None)
    if (
        named is not None
        and tokens[named].lower in AREAS
        and (said_ := phrase_at(tokens, named + 1, vocabulary, "here"))
    ):
        return named + 1 + said_ - k  # "keg side, there's a washer"
    beside = tokens[k].lower == "next" and k + 1 < len(tokens) and tokens[k + 1].lower == "to"
    if not goes and not beside and tokens[k].lower not in said(vocabulary, "where"):
        return 0
    if k + 1 < len(tokens) and tokens[k + 1].lower in ("them", "those", "these") and tokens[k].lower == "between":
        return 0  # "between them there's three whips"
    if tokens[k].lower == "back" and tokens[min(k + 1, len(tokens) - 1)].lower in said(vocabulary, "piece"):
        return 0  # "back tyres are good"
    for n in range(k + 1, min(k + PLACED, len(tokens))):
        if tokens[n - 1].after in ENDS:
            return 0
        short = tokens[n].lower.endswith(("'s", "’s")) and tokens[n].lower[:-2] not in ("it", "that", "he", "she")
        if short and n + 1 < len(tokens) and tokens[n + 1].lower in INTRODUCED:
            return n + 1 - k  # "down yonder's the"
        if tokens[n - 1].after == "," and machine_named(tokens, n, min(n + PHRASE, len(tokens)), vocabulary)[1]:
            return n - k
        for kind in ("here", "stands"):
            if length := phrase_at(tokens, n, vocabulary, kind):
                return n + length - k
    return 1 if goes else 0


def machine_named(
    tokens: Tokens, first: int, last: int, vocabulary: Vocabulary, *, widely: bool = False
) -> tuple[str, bool | None, int]:
    """The first machine named between two tokens: its name, whether it is sold by itself, and where its name ends.

    Widely: by names as well that no recording brought in; the rules do without them.
    """
    for i in range(first, last):
        if tokens[i].lower in BREAKS:
            break
        for n in (3, 2, 1):
            if i + n > last or any(t.after for t in tokens[i : i + n - 1]):
                continue
            name = " ".join([*(t.lower for t in tokens[i : i + n - 1]), _bare(tokens[i + n - 1].lower)])
            if n == 2 and name.endswith(" machine") and tokens[i].lower not in NO_KIND:
                return name, True, i + 1
            for main, kind in ((True, "main"), (False, "aux")):  # the longest name, of either
                if name not in _names(vocabulary, kind, widely=widely) or _goes_on(
                    tokens, i + n - 1, last, vocabulary, main=main
                ):
                    continue
                return name, main, i + n - 1
    return "", None, min(first + 1, last - 1) if last > first else first


def _full(tokens: Tokens, noun: str, at: int) -> str:
    """The name with the word before it that tells which ("cutter grinder" is no "surface grinder")."""
    before = at - len(noun.split())
    if not noun or before < 0 or tokens[before].after or not tokens[before].text.isalpha():
        return noun
    word = tokens[before].lower
    plain = word in FRESH | FAMILIAR | AFTER_NAME | NO_KIND or word in INTRODUCED
    return noun if plain else f"{word} {noun}"


def left_out(tokens: Tokens, i: int, vocabulary: Vocabulary) -> bool:
    """Whether its sentence says that it is none of what is shown: "there's a guillotine, but that's not included"."""
    n = i
    while n < len(tokens) and tokens[n].sentence == tokens[i].sentence:
        if phrase_at(tokens, n, vocabulary, "out"):
            return True
        n += 1
    # "there's a measuring machine. This was leased. It is not in my list."
    while n < len(tokens) and tokens[n].lower in POINTING and tokens[n].sentence <= tokens[i].sentence + 2:
        here = tokens[n].sentence
        while n < len(tokens) and tokens[n].sentence == here:
            if phrase_at(tokens, n, vocabulary, "out"):
                return True
            n += 1
    return False


def _said(word: str) -> str:
    return word[:-2] if word.endswith(("'s", "’s")) else word


def _bare(word: str) -> str:
    return singular(_said(word))


def _goes_on(tokens: Tokens, i: int, last: int, vocabulary: Vocabulary, *, main: bool) -> bool:
    """Whether the name goes on into a longer one of another thing: "oven door", "drill chuck", "saw blade"."""
    if tokens[i].after or i + 1 >= last or tokens[i].lower.endswith(("'s", "’s")):
        return False
    if not main and tokens[i + 1].text.isalpha() and tokens[i + 1].lower not in AFTER_NAME:
        return True  # "a feeder wagon" is no feeder
    for n in (2, 1):
        name = " ".join([*(t.lower for t in tokens[i + 1 : i + n]), _bare(tokens[min(i + n, last - 1)].lower)])
        if name in said(vocabulary, "main") or name in said(vocabulary, "aux") or name in said(vocabulary, "piece"):
            return True
    return False


def names_further(tokens: Tokens, i: int, vocabulary: Vocabulary) -> bool:
    """Whether a word begins the name of a machine or of a piece: "skid steer", "line borer", "plant room"."""
    if i + 1 >= len(tokens) or tokens[i].after:
        return False
    name = f"{tokens[i].lower} {_bare(tokens[i + 1].lower)}"
    return name in said(vocabulary, "main") or tokens[i + 1].lower in said(vocabulary, "piece")


def _subject(tokens: Tokens, first: int, at: int) -> bool:
    """Whether the name that ends at a token is what its clause is about: "the mixer,", "the dishwasher's", "Baler"."""
    t = tokens[at]
    if at - first >= PHRASE or any(x.after or not x.lower.isalpha() or x.lower in VERBS for x in tokens[first:at]):
        return False
    after = tokens[at + 1].lower if at + 1 < len(tokens) else ""
    return bool(t.after) or t.lower.endswith(("'s", "’s")) or after in FOLLOWS


def article_at(tokens: Tokens, first: int, at: int) -> bool | None:
    for t in reversed(tokens[max(first - 1, 0) : at + 1]):
        if t.lower in FRESH:
            return True
        if t.lower in FAMILIAR:
            return False
    return None


def has_plate(tokens: Tokens, vocabulary: Vocabulary) -> bool:
    """Whether a maker, model, serial or year is told, or that there is none; "made of steel" is no maker."""
    plate, none = said(vocabulary, "plate"), {"of", "the", "a", "an", "it", "sure", "up"}
    for n, t in enumerate(tokens):
        after = tokens[n + 1].lower if n + 1 < len(tokens) else ""
        if t.lower in plate and after not in none:
            return True
        if t.text.isdigit() and len(t.text) == 4 and 1900 <= int(t.text) <= 2099:
            return True
        if t.lower in ("a", "an") and n + 1 < len(tokens) and _a_maker(tokens[n + 1], vocabulary):
            return True
    return False


def _a_maker(t: Token, vocabulary: Vocabulary) -> bool:
    """ "A Kerrow": a capital word of several letters that is the name of no machine."""
    return (
        t.text[:1].isupper()
        and t.text[1:].islower()
        and len(t.text) > 3
        and _bare(t.lower) not in said(vocabulary, "main")
    )
