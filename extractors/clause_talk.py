"""More marks of a clause: the noun that it names first, told by its grade and its ending and not by a list of machines;
what goes with the last machine; what is told late; numbers that count on.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from extractors.clause_marks import VERBS, Told
from extractors.clause_names import Name, bare, class_words, name_in, words_of
from extractors.lot_numbers import FEW
from extractors.mentions import Token, Tokens
from extractors.openings import is_code, said
from vocab import Vocabulary

HEAD, SOON, RECENT, PRICED = 10, 22, 50, 14
"""Words of a clause that may be its head; in which a maker follows; back in which a name is still spoken of; before a
clause in which a price closes the last machine."""
YEAR_SOON = 35
CAPITAL, ENDING = 4, 4
"""Letters of a maker's name, and of a noun in -er or -or, at least."""
TITLE = 3
"""Words of a heading ("Stitching line.") at most."""
LEADS = frozenset("oh and then next also lastly finally okay".split())
BESIDE = frozenset("in on at by behind over with for next outside under from".split())
FLOWS = frozenset("into onto through feeds from".split())
FRAGMENT = (",", ".", ":", ";")
SERIES, LABELLED, STEP_OVER = 3, 5, 4
"""So many numbers that grow count on; words of a clause in which its number stands; openers before it."""
LONGEST_NUMBER = 7


@dataclass(frozen=True, slots=True)
class Talk:
    """What is looked up for every clause, found once."""

    first: dict[str, int]
    """Where each word is said first."""
    years: Collection[int]
    series: Collection[int]
    """Clauses that count on."""
    rules: Collection[int]
    """Tokens at which the rules of machines.py cut."""


def talk_of(tokens: Tokens, places: Sequence[int], rules: Collection[int], vocabulary: Vocabulary) -> Talk:
    """What the marks of every clause are read from."""
    first: dict[str, int] = {}
    for i, t in enumerate(tokens):
        first.setdefault(t.lower, i)
        first.setdefault(bare(t.lower), i)
    years = [i for i, t in enumerate(tokens) if is_year(t.text)]
    return Talk(first, years, series_of(tokens, places, vocabulary), frozenset(rules))


def is_year(text: str) -> bool:
    """Whether a figure is a year of building."""
    return re.fullmatch(r"(19|20)\d\d", text) is not None


def talk_marks(
    tokens: Tokens, places: Sequence[int], n: int, t: Told, talk: Talk, vocabulary: Vocabulary
) -> dict[str, float]:
    """The marks of the n-th of the clauses that begin at `places`."""
    i = places[n]
    end = places[n + 1] if n + 1 < len(places) else len(tokens)
    name = name_in(tokens, behind(tokens, i, end, said(vocabulary, "opener") | LEADS), end, vocabulary)
    marks = _of_agents(tokens, i, end, t, talk, vocabulary)
    marks |= _around(tokens, places, n, t, talk, vocabulary)
    marks |= {"no name": 1.0} if name is None else _of_name(tokens, name, i, end, t, talk, vocabulary)
    marks |= _titles(tokens, places, n, t, talk, vocabulary)
    added = phrases_in(t.low, i, end, vocabulary, "added") > 0
    marks["told late of a known one"] = float(added and name is not None and talk.first[name.noun.split()[-1]] < i)
    return marks


def phrases_in(low: Sequence[str], first: int, last: int, vocabulary: Vocabulary, kind: str) -> int:
    """How many phrases of a kind in cut_words.toml are said between two tokens; each phrase of them counts once."""
    text = f" {' '.join(low[first:last])} "
    return sum(f" {words} " in text for words in words_of(vocabulary, kind))


def series_of(tokens: Tokens, places: Sequence[int], vocabulary: Vocabulary) -> set[int]:
    """Clauses whose numbers count on behind the same word: "bay one … bay two", "30 417 … 30 418"."""
    labelled: dict[str, list[tuple[int, int]]] = {}
    for n, i in enumerate(places):
        end = places[n + 1] if n + 1 < len(places) else len(tokens)
        if (found := _label(tokens, i, end, vocabulary)) is not None:
            labelled.setdefault(found[0], []).append((n, found[1]))
    out: set[int] = set()
    for numbers in labelled.values():
        best: list[int] = []
        for s in range(len(numbers)):
            last, chain = numbers[s][1], [numbers[s][0]]
            for n, value in numbers[s + 1 :]:
                if value > last:
                    last = value
                    chain.append(n)
            best = max(best, chain, key=len)
        if len(best) >= SERIES:
            out |= set(best)
    return out


def _label(tokens: Tokens, i: int, end: int, vocabulary: Vocabulary) -> tuple[str, int] | None:
    """The word before a clause's first number, and the number, where it stands by itself."""
    k = behind(tokens, i, end, said(vocabulary, "opener"), STEP_OVER)
    for q in range(k, min(k + LABELLED, end)):
        text = tokens[q].lower.removesuffix("'s").removesuffix("’s")
        letter = len(text) == 1 and tokens[q].text[:1].isupper() and text != "i"
        if not text.isdigit() and text not in FEW[1:] and not letter:
            continue
        last = q
        while text.isdigit() and last + 1 < end and tokens[last + 1].lower.isdigit() and not tokens[last].after:
            if len(text) >= LONGEST_NUMBER:
                break
            last += 1
            text += tokens[last].lower
        following = tokens[last + 1].lower if last + 1 < len(tokens) else ""
        stands = tokens[last].after in (",", ":", ".") or tokens[last].lower.endswith(("'s", "’s"))
        if not stands and following not in ("is", "was", "would", "that's", "holds", "has", "and"):
            return None
        value = int(text) if text.isdigit() else ord(text) if letter else FEW.index(text)
        return "letter" if letter else tokens[q - 1].lower if q > k else "", value
    return None


def behind(tokens: Tokens, i: int, end: int, words: Collection[str], most: int = 5) -> int:
    """Where a clause goes on behind words that only open it."""
    k = i
    while k < end - 1 and k - i < most and tokens[k].lower in words:
        k += 1
    return k


def _of_agents(tokens: Tokens, i: int, end: int, t: Told, talk: Talk, vocabulary: Vocabulary) -> dict[str, float]:
    """Nouns in -er and -or, as most machines are named, in the clause's first words up to its first pause."""
    head: list[Token] = []
    for x in tokens[i : min(end, i + HEAD)]:
        head.append(x)
        if x.after and x.after in ",.;:" and len(head) > 1:
            break
    agents = [x for x in head if _agent(x.lower, vocabulary)]
    verbless = not any(w in VERBS or w.endswith("'s") for w in t.low[i:end])
    return {
        "agent": float(bool(agents)),
        "agent, new": float(any(talk.first[x.lower] >= i for x in agents)),
        "agent, no verb": float(bool(agents) and verbless),
    }


def _agent(word: str, vocabulary: Vocabulary) -> bool:
    if word in words_of(vocabulary, "agent"):
        return True
    ending = word.isalpha() and len(word) > ENDING and word.endswith(("er", "or"))
    return ending and word not in words_of(vocabulary, "person")


def _around(
    tokens: Tokens, places: Sequence[int], n: int, t: Told, talk: Talk, vocabulary: Vocabulary
) -> dict[str, float]:
    """What is said in the clause, just before it and just behind."""
    i = places[n]
    end = places[n + 1] if n + 1 < len(places) else len(tokens)
    after = places[n + 2] if n + 2 < len(places) else len(tokens)
    price = words_of(vocabulary, "price")
    return {
        "rule": float(any(i <= at < end for at in talk.rules)),
        "counts on": float(n in talk.series),
        "price": float(any(w in price for w in t.low[i:end])),
        "price before": float(any(w in price for w in t.low[max(0, i - PRICED) : i])),
        "maker soon": float(any(_maker(tokens, q, vocabulary) for q in range(i + 1, min(i + SOON, len(tokens))))),
        "year soon": float(any(i <= y < i + YEAR_SOON for y in talk.years)),
        "flows": float(any(w in FLOWS for w in t.low[i:end])),
        "with the last": float(phrases_in(t.low, i, end, vocabulary, "with") > 0),
        "next with it": float(phrases_in(t.low, end, after, vocabulary, "with") > 0),
        "gone": float(phrases_in(t.low, i, end, vocabulary, "gone") > 0),
        "sentence": float(i == 0 or tokens[i - 1].sentence != tokens[i].sentence),
    }


def _maker(tokens: Tokens, i: int, vocabulary: Vocabulary) -> bool:
    """Whether a word inside a sentence is written as a name."""
    x = tokens[i]
    named = x.text[:1].isupper() and x.text[1:].islower() and len(x.text) > CAPITAL
    return named and tokens[i - 1].after not in (".", "?", "!") and x.lower not in said(vocabulary, "main")


def _of_name(
    tokens: Tokens, name: Name, i: int, end: int, t: Told, talk: Talk, vocabulary: Vocabulary
) -> dict[str, float]:
    """How the clause's first noun is put, what it is, and whether it was named before."""
    lead = behind(tokens, i, end, said(vocabulary, "opener") | LEADS)
    last, head = tokens[name.last - 1], name.noun.split()[-1]
    early = name.start - lead <= 1
    news = name.article in ("a", "an", "another")
    stops = early and last.after in FRAGMENT
    following = tokens[name.last].lower if name.last < len(tokens) else ""
    many = last.lower != bare(last.lower) and not last.lower.endswith("'s")
    fresh = head not in t.stems[:i]
    machine = name.grade == "machine"
    return {
        f"names {name.grade}": 1.0,
        "name stops": float(stops),
        "name stops, bare": float(stops and not name.article),
        "name stops, news": float(stops and news),
        "name stops, machine": float(stops and machine and not many),
        "name with a place": float(early and not last.after and following in BESIDE),
        "name is": float(early and (last.lower.endswith("'s") or following in ("is", "was", "that's"))),
        "name is news": float(news),
        "name is known": float(name.article == "the"),
        "name is bare": float(not name.article),
        "name of many": float(many),
        "new name": float(fresh),
        "recent name": float(head in t.stems[max(0, i - RECENT) : i]),
        "old name": float(not fresh and head not in t.stems[max(0, i - RECENT) : i]),
        "new machine": float(fresh and machine),
        "a machine": float(news and machine),
        "the machine": float(name.article == "the" and machine),
    }


def _titles(
    tokens: Tokens, places: Sequence[int], n: int, t: Told, talk: Talk, vocabulary: Vocabulary
) -> dict[str, float]:
    """Headings: a sentence of one noun, as a speaker says who reads out a list ("Folder. Four plates.")."""
    i = places[n]
    titled = _titled(tokens, i, t, vocabulary)
    word = t.low[t.ends[i] - 1]
    alone = titled and word == bare(word) and talk.first[word] >= i
    return {
        "title": float(titled),
        "title of one": float(alone),
        "title before": float(n > 0 and _titled(tokens, places[n - 1], t, vocabulary)),
    }


def _titled(tokens: Tokens, i: int, t: Told, vocabulary: Vocabulary) -> bool:
    end = t.ends[i]
    words = [w for w in t.low[i:end] if w.isalpha()]
    if not words or end - i > TITLE or tokens[end - 1].after != ".":
        return False
    classes = class_words(vocabulary)
    plain = all(classes.get(w) in (None, "describes", "points") for w in words)
    return plain and not any(is_code(x, vocabulary) for x in tokens[i:end])
