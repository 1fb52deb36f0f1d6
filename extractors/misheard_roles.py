"""Stations heard as other words: their number, which runs on ("sex is the pickle"), and what they are for.

"Station six is the fierce" is the pierce, "three is a desk mat" the desmut:
the slot behind "station six is the" is the trade context; the word in it must sound like one role and like no other,
and be no word of the trade itself. Recorded as heard and read.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from extractors.likeness import kin, likeness
from extractors.mentions import RepairMention, Token
from extractors.word_classes import stem
from vocab import Vocabulary

LIKE = 0.7
"""Likeness from which a role is read where the recogniser was unsure of the word; chosen on our own recordings."""
NEARER = 0.78
"""Below this likeness ("dropped", drip) the recogniser must have been very unsure."""
SAME = 0.9
"""Likeness of homophones ("degrees", "degrease"), which are read however sure the recogniser was."""
APART = 0.06
REACH = 60
"""Words within which the number of the next station comes."""
UNSURE = 0.75
VERY_UNSURE = 0.5
SURE = 0.97
SHORTEST = 4

COPULAS = frozenset({"is", "are", "was", "'s"})
ARTICLES = frozenset({"the", "a", "an", "our", "your", "my"})
PLACED = frozenset({"last", "next"})
ORDINALS = frozenset({"first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"})
LEADS = frozenset({"and", "then", "so", "now", "but", "last", "next", "the"})
"""Words that may stand before a bare number at the head of a clause."""
ENDS = frozenset({"and", "with", "that", "which", "then", "where", "in", "on", "for"})


@lru_cache(maxsize=8)
class Slots:
    """Roles, station words and numbers of one vocabulary."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        stations = vocabulary["stations"]
        self.roles = tuple(
            sorted({n.lower() for r in stations if r["use"] == "role" for n in r["names"] if n.isalpha()})
        )
        self.known = {stem(w) for r in stations for n in r["names"] for w in n.lower().split()}
        self.trade = {stem(w) for r in vocabulary["components"] for n in r["names"] for w in n.lower().split()}
        self.things = {n.lower() for r in vocabulary["components"] for n in r["names"]}
        self.places = {n for r in stations if r["use"] in ("place", "vessel", "neutral") for n in r["names"]}
        counted = [r for r in vocabulary["numbers"] if r["kind"] in ("unit", "teen")]
        self.values = {f: int(r["value"]) for r in counted for f in r["spoken"]}
        self.words = {int(r["value"]): r["spoken"][0] for r in counted}
        self.alike: dict[str, frozenset[str]] = {}
        for r in vocabulary["sound_alikes"]:
            for w in r["words"]:
                self.alike[w] = self.alike.get(w, frozenset()) | (frozenset(r["words"]) - set(self.values) - {w})
        self.numbers = {f for r in vocabulary["numbers"] for f in r["spoken"]}
        self.plain = {w for r in vocabulary["classes"] for w in r["words"] if r["class"] not in ("acts", "describes")}


def mend_roles(tokens: list[Token], vocabulary: Vocabulary, repairs: list[RepairMention]) -> list[Token]:
    """The tokens with roles mended; repairs grows by what was changed."""
    slots = Slots(vocabulary)
    out = list(tokens)
    mended: dict[str, str] = {}
    i = 1
    while i < len(out):
        at = _slot(out, i, slots)
        for n in (2, 1):
            if at and (role := _role(out[at : at + n], slots, n)) and _ends(out, at + n - 1):
                first, last = out[at], out[at + n - 1]
                heard = " ".join(t.text for t in out[at : at + n])
                repairs.append(RepairMention("mishearing", heard, role, kept=(first.word, last.word + 1)))
                least = min(first.probability, last.probability)
                out[at : at + n] = [
                    replace(
                        first, text=role, lower=role, end=last.end, after=last.after, word=last.word,
                        probability=least, heard=heard, doubt=f"heard as {heard!r}",
                    )
                ]  # fmt: skip
                if n == 1:
                    mended[heard.lower()] = role
                break
        i += 1
    return [_again(t, mended, slots, repairs) for t in out]


def _again(token: Token, mended: dict[str, str], slots: Slots, repairs: list[RepairMention]) -> Token:
    """A word of no table that stood for a role elsewhere stands for it here: "not a deshmut, it's the etch"."""
    role = mended.get(token.lower)
    if role is None or token.heard or stem(token.lower) in slots.trade:
        return token
    repairs.append(RepairMention("mishearing", token.text, role, kept=(token.word, token.word + 1)))
    return replace(token, text=role, lower=role, heard=token.text, doubt=f"heard as {token.text!r}")


def mend_numbers(tokens: list[Token], vocabulary: Vocabulary, repairs: list[RepairMention]) -> list[Token]:
    """The tokens with words mended that stand for a station's number, sound like it and are next in its row."""
    slots = Slots(vocabulary)
    out = list(tokens)
    last, told = 0, -REACH
    for i in range(len(out) - 1):
        token = out[i]
        value = slots.values.get(token.lower, int(token.lower) if token.lower.isdigit() and len(token.lower) < 3 else 0)
        following = out[i + 1]
        if value and (following.lower in COPULAS or (i and out[i - 1].lower.rstrip("s") in slots.places)):
            last, told = value, i
        elif value == last + 1 and last and i - told < 4:
            last, told = value, i  # "four and five are"
        elif i - told < REACH and _sounds_next(out, i, slots.words.get(last + 1), slots):
            word = slots.words[last + 1]
            repairs.append(RepairMention("mishearing", token.text, word, kept=(token.word, token.word + 1)))
            out[i] = replace(token, text=word, lower=word, heard=token.text, doubt=f"heard as {token.text!r}")
            last, told = last + 1, i
    return out


def _sounds_next(out: list[Token], i: int, expected: str | None, slots: Slots) -> bool:
    """Whether a word at the head of a clause, before "is the", sounds like the number that comes next."""
    token, before = out[i], out[i - 1] if i else None
    begins = (
        before is None or bool(before.after) or before.sentence != token.sentence or before.lower in ("and", "then")
    )
    if expected is None or not begins or token.after or token.heard or out[i + 1].lower not in ("is", "are"):
        return False
    if token.lower in slots.alike.get(expected, frozenset()):
        return True
    known = token.lower in slots.plain or stem(token.lower) in slots.known | slots.trade
    return not known and token.probability < VERY_UNSURE and likeness(token.lower, expected) >= LIKE


def _slot(out: list[Token], i: int, slots: Slots) -> int:
    """Index of the word behind "station six is the", where token i is the copula; 0 for none."""
    if i + 1 >= len(out) or out[i - 1].sentence != out[i].sentence:
        return 0
    short = out[i].lower.endswith("'s")  # "number one's the soak"
    if not short and out[i].lower not in COPULAS:
        return 0
    named = i if short else i - 1
    number = out[named].lower.removesuffix("'s")
    if number in slots.places and named and out[named - 1].lower in PLACED | ORDINALS:
        number, named = "last", named - 1  # "the last station is the"
    if not (number in slots.numbers or number in PLACED or (number.isdigit() and len(number) <= 2)):
        return 0
    before = out[named - 1].lower.rstrip("s") if named else ""
    begins = before in LEADS or not named or bool(out[named - 1].after) or out[named - 1].sentence != out[i].sentence
    if not (before in slots.places or (begins and _line(out, i, slots))):
        return 0
    at = i + 1
    if out[at].lower in ARTICLES:
        at += 1
    return at if at < len(out) and out[at].sentence == out[i].sentence and not out[at - 1].after else 0


def _line(out: list[Token], i: int, slots: Slots, *, reach: int = 80) -> bool:
    """Whether a place of a line was named shortly before."""
    return any(t.lower.rstrip("s") in slots.places for t in out[max(0, i - reach) : i])


def _ends(out: list[Token], at: int) -> bool:
    """Whether the name of the role ends behind the word."""
    following = out[at + 1] if at + 1 < len(out) else None
    return bool(out[at].after) or following is None or following.sentence != out[at].sentence or following.lower in ENDS


def _role(words: list[Token], slots: Slots, n: int) -> str | None:
    """The role that one or two words sound like; None where they are words of the trade, or none is near enough."""
    if len(words) < n or any(t.heard or not t.lower.isalpha() for t in words) or (n == 2 and words[0].after):
        return None
    heard = " ".join(t.lower for t in words)
    if len(heard) < SHORTEST or (n == 1 and heard in slots.plain) or any(stem(t.lower) in slots.known for t in words):
        return None
    least = min(t.probability for t in words)
    ranked = sorted(((max(likeness(heard, r), likeness(stem(heard), r)), r) for r in slots.roles), reverse=True)
    like, best = ranked[0]
    apart = like - next((x for x, r in ranked[1:] if stem(r) != stem(best)), 0.0)
    if apart < APART or len(best) < SHORTEST or (n == 1 and kin(heard, best)):
        return None
    if n == 2 and any(t.lower in slots.plain for t in words):
        return None
    trade = any(stem(t.lower) in slots.trade for t in words)
    bound = VERY_UNSURE if trade or like < NEARER or len(best) <= SHORTEST else UNSURE
    if like >= SAME and n == 1 and heard not in slots.things and heard.removesuffix("s") not in slots.things:
        bound = SURE
    return best if like >= (LIKE if n == 1 else LIKE + 0.05) and least < bound else None
