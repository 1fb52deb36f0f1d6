"""Statements of what happens to a thing, put together from who does it, whether it is denied, and what is done.

"The college collects those", "nobody is pulling that out", "you may take it along", "these my partner has already
disposed of": what the forms of vocab/dispositions.toml do not hold. Who gets it decides: what the buyer gets and the
seller gives is included; what anybody else gets, keeps or needs, and what is scrapped, is excluded. Where nothing says
what it is done to (a pronoun, a thing right behind, or a thing named before in the clause) nothing is said.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from extractors.disposition_clauses import denies
from extractors.disposition_words import ARTICLES, BEHIND_OBJECTS, CLOSING, FOLLOWS, MAYBE, OBJECTS, OPPOSITE, TIMES
from extractors.phrases import Atom, Finder, clause_start, sentence_bounds
from vocab import Vocabulary

BUYER = frozenset("you you'd you'll you're buyer purchaser whoever".split())
SELLER = frozenset("i i'd i'll i'm i've we".split())
THIRD = frozenset("he she they".split())
NOBODY = frozenset({"nobody", "no-one", "noone"})
AUXILIARY = frozenset(
    (
        "will 'll would 'd can could may might must should shall is are 're am 'm 's be been being was were has have "
        "'ve had do does did gonna going got gets get "
        "to happy glad willing agreeable ready prepared free like love likes able about allowed welcome pleased due "
        "already also just still definitely certainly then now all both only even really probably legally simply "
        "always ever gladly never not cannot rather expected supposed wants want wanting planning plans intends "
        "intending hoping decided meant entitled isn't aren't don't doesn't didn't won't wouldn't can't couldn't "
        "shouldn't ain't wasn't weren't mustn't"
    ).split()
)
"""Words between who does it and what is done."""
COULD = frozenset("will 'll would 'd can could may shall should must going gonna to free welcome".split())
"""Words without one of which "you have" is no offer."""
BE = frozenset("is are 're 's be been being was were am 'm get gets getting".split())
COMING = frozenset("will 'll would 'd going gonna to is are 're 's am 'm being be".split())
WITH_THEM = frozenset("me us him them".split())
WITH_IT = frozenset("you it this that".split())
LONG = 9
"""Atoms from who does it to the verb, at most."""
WIDE = 4
"""Words of an object that stands within its verb ("toss the two spares in"), at most."""
ASKING = frozenset("what where how why when who if it's depends whatever like as than".split())
"""Words that make a clause tell something else than what happens."""
PERSONS = frozenset("me you us him her myself yourself himself herself".split())
"""Objects that are no things; "them" may be either."""
REFUSING = frozenset({"not", "never", "cannot"})
LOOSE = frozenset("give gives giving have having get gets getting use uses using want wants need needs".split())
"""Verbs that mostly mean something else where their object is no pronoun."""
ORDERED = frozenset({"throw", "chuck", "toss", "pop", "bung", "fling", "sling", "take", "have"})
"""Verbs that give something by way of an order: "chuck them in with it", "take it"."""


@dataclass(frozen=True, slots=True)
class Cue:
    """One spoken form of vocab/dispositions.toml."""

    disposition: str
    where: str
    reason: str | None
    words: str


@dataclass(frozen=True, slots=True)
class Frames:
    """The words of vocab/disposition_verbs.toml by their kinds."""

    verbs: Mapping[str, tuple[tuple[str, ...], ...]]
    """Verbs in their words, "..." where the object may stand, the longest first."""
    phrases: Mapping[str, Finder[None]]
    """Words that stand together."""
    first: frozenset[str]
    """First words of all that may be done."""
    away: frozenset[str]
    """Words of where it goes that is not the buyer's."""

    def at(self, kind: str, atoms: Sequence[Atom], k: int) -> int | None:
        """Where the longest phrase of a kind that stands at k ends."""
        found = self.phrases[kind].at(atoms, k)
        return None if found is None else found[0]

    def verb(self, kind: str, atoms: Sequence[Atom], k: int, last: int) -> tuple[int, int, bool] | None:
        """End of a verb at k, the end of its first words, and whether its object stood within it."""
        for words in self.verbs[kind]:
            gap = words.index("...")
            head, tail = words[:gap], words[gap + 1 :]
            j = k + len(head)
            if j > last or tuple(a.lower for a in atoms[k:j]) != head or any(a.after for a in atoms[k : j - 1]):
                continue
            if not tail:
                return j, j, False
            for m in range(j, min(j + WIDE + 1, last)):
                if tuple(a.lower for a in atoms[m : m + len(tail)]) == tail:
                    return m + len(tail), j, m > j
                if atoms[m].after:
                    break
        return None


def frames(vocabulary: Vocabulary) -> Frames:
    """The frames of a vocabulary."""
    verbs: dict[str, tuple[tuple[str, ...], ...]] = {}
    phrases: dict[str, Finder[None]] = {}
    first: set[str] = set()
    away: frozenset[str] = frozenset()
    for row in vocabulary["disposition_verbs"]:
        kind, words = row["kind"], [tuple(w.split()) for w in row["words"]]
        if any("..." in w for w in words):
            verbs[kind] = tuple(sorted(words, key=len, reverse=True))
        else:
            phrases[kind] = Finder(((w, None) for w in row["words"]), nouns=False)
        if kind == "away":
            away = frozenset(w for w, *_ in words)
        elif kind not in ("party", "owner"):
            first |= {w for w, *_ in words}
    return Frames(verbs, phrases, frozenset(first), away)


@dataclass(frozen=True, slots=True)
class _Said:
    """Who does it ("you", "seller", "other", "nobody", or "" for nobody named), from atom `start` to the verb."""

    who: str
    start: int
    verb: int
    between: tuple[str, ...]
    plain: bool
    """Whether a noun says who."""


def _agents(atoms: Sequence[Atom], i: int, last: int, known: Frames) -> Iterator[tuple[str, int]]:
    """Who stands at i, and where the words for it end."""
    word = atoms[i].lower
    if word == "whoever":
        k = i + 1
        if k < last and atoms[k].lower in ("buys", "takes", "gets"):
            k += 1
            while k < min(last, i + 5) and atoms[k].lower in ARTICLES | OBJECTS:
                k += 1
        yield "you", k
    elif word in BUYER:
        yield "you", i + 1
    elif word in SELLER:
        yield "seller", i + 1
    elif word in THIRD:
        yield "other", i + 1
    elif word in NOBODY or (word == "no" and i + 1 < last and atoms[i + 1].lower == "one"):
        yield "nobody", i + 1 + (word == "no")
    else:
        k = i + (word in ARTICLES)
        if k < last and atoms[k].lower in ("buyer", "purchaser"):
            yield "you", k + 1
            return
        for skip in range(3):
            end = known.at("party", atoms, k + skip) if k + skip < last else None
            if end is not None and (k > i or skip == 0):
                yield "other", end
                return
            if k + skip >= last or atoms[k + skip].after or k == i:
                break
        if k == i and atoms[i].capital and word in ("mr", "mrs", "ms", "miss") and i + 2 < last:
            yield "other", i + 2


def framed_at(atoms: Sequence[Atom], i: int, known: Frames) -> tuple[int, Cue, str] | None:
    """End, form and disposition of what the words from i on say that somebody does, or that is done."""
    _, last = sentence_bounds(atoms, i)
    if atoms[last - 1].after == "?":
        return None
    for who, end in _agents(atoms, i, last, known):
        if atoms[end - 1].after:
            return None
        for k in range(end, last):
            # "they get those": what may help a verb may be one
            said = _Said(who, i, k, _between(atoms, end, k), atoms[i].lower not in THIRD)
            done = _done(atoms, said, last, known)
            helps = k < i + LONG and atoms[k].lower in AUXILIARY and not atoms[k].after
            if done is not None or not helps:
                return done
        return None
    start = clause_start(atoms, i)
    lower = atoms[i].lower
    if lower in AUXILIARY and (i == start or atoms[i - 1].lower not in AUXILIARY):
        k = i
        while k < min(last, i + LONG) and atoms[k].lower in AUXILIARY and not atoms[k].after:
            k += 1
        if k < last:
            return _undergone(atoms, i, k, last, known)
    if (his := _owned(atoms, i, last, known)) is not None:
        return his
    if lower in known.first:
        moved = _moved(atoms, i, i, (), last, known)
        if moved is not None:
            return moved
    if i == start and lower in known.first:
        return _alone(atoms, i, last, known) or _ordered(atoms, i, last, known)
    return None


def _owned(atoms: Sequence[Atom], i: int, last: int, known: Frames) -> tuple[int, Cue, str] | None:
    """Whose it is, in a clause of its own without a verb: "the gas company's, that", "the vendor's tank"."""
    start = clause_start(atoms, i)
    if i != start:
        return None
    k = i + (atoms[i].lower in ARTICLES)
    end = known.at("owner", atoms, k) if k < last else None
    if end is None:
        return None
    his = end < last and atoms[end].lower == "'s"
    end += his
    stop = next((j + 1 for j in range(end - 1, last) if atoms[j].after), last)
    rest = [a.lower for a in atoms[end:stop]]
    if not rest:
        return _made(end, "is another's", "before", "excluded", False, "another's property") if his else None
    said_before = {a.lower for a in atoms[max(0, i - 30) : i]}
    if (
        not his
        and end - k == 1
        and atoms[k].lower in ("house", "site", "company", "building", "farm", "estate", "state")
    ):
        return None  # "house air"
    owned = rest[-1] in ("property", "equipment", "kit", "gear", "owned") or (
        len(rest) <= 2 and rest[-1] in said_before
    )
    if len(rest) <= 2 and owned and not atoms[end - 1].after:
        return _made(stop, "is another's", "before", "excluded", False, "another's property")
    return None


def _alone(atoms: Sequence[Atom], i: int, last: int, known: Frames) -> tuple[int, Cue, str] | None:
    """What is done with a thing, by a participle that opens its clause: "retained by the vendor: the guillotine"."""
    for kind, verdict in (("kept", "excluded"), ("ended", "excluded"), ("given", "included")):
        end = known.at(kind, atoms, i)
        if end is None:
            continue
        if end < last and not atoms[end - 1].after and atoms[end].lower == "by":
            end = next((k + 1 for k in range(end, min(end + 5, last)) if atoms[k].after), end)
        if end == last or atoms[end - 1].after:
            return _made(end, "is done", "before", verdict, False)
    return None


def _between(atoms: Sequence[Atom], first: int, last: int) -> tuple[str, ...]:
    return tuple(a.lower for a in atoms[first:last])


def _made(
    end: int, words: str, where: str, said: str, doubted: bool, reason: str | None = None
) -> tuple[int, Cue, str]:
    said = "uncertain" if doubted else said
    return end, Cue(said, where, reason if said == "excluded" else None, words), said


def _themed(atoms: Sequence[Atom], end: int, within: bool, last: int) -> tuple[int, str] | None:
    """Where the statement ends and where what it is said of stands, or None where nothing is."""
    if within:
        return end, "before"
    if atoms[end - 1].after or end >= last:
        return end, "before"
    word = atoms[end].lower
    if word in OBJECTS or (word in ("both", "all") and (atoms[end].after or end + 1 >= last)):
        k = end + 1
        if k >= last or atoms[end].after or atoms[k].lower in FOLLOWS | CLOSING | BEHIND_OBJECTS:
            return k, "before"
        return None
    if word in FOLLOWS | CLOSING | BEHIND_OBJECTS | {"already", "last", "this", "until", "because", "by"}:
        return end, "before"
    return end, "either"


def _fronted(atoms: Sequence[Atom], i: int) -> bool:
    """Whether the clause has words before i that may be what is spoken of: "the stabiliser we need"."""
    start = clause_start(atoms, i)
    first, _ = sentence_bounds(atoms, i)
    if start == i and first < i and atoms[i - 1].after == ",":
        return True  # "the pipes along the wall, you can have"
    words = [a.lower for a in atoms[start:i] if a.lower not in FOLLOWS]
    return bool(words) and not set(words) & ASKING


def _done(atoms: Sequence[Atom], said: _Said, last: int, known: Frames) -> tuple[int, Cue, str] | None:
    """What somebody does to it."""
    k, between = said.verb, set(said.between)
    if atoms[k].lower not in known.first:
        return None
    if between & BE and not between & {"going", "about", "to"} and not atoms[k].lower.endswith("ing"):
        return None  # "they're bought in"
    start = clause_start(atoms, said.start)
    before = {a.lower for a in atoms[start : said.start]}
    wished = between & {"would", "'d"} or any(w.endswith("'d") for w in (*between, atoms[said.start].lower))
    if (before & TIMES and not before & OBJECTS) or (
        wished and "if" in {a.lower for a in atoms[sentence_bounds(atoms, said.start)[0] : said.start]}
    ):
        return None  # "if I was younger I'd keep it"
    maybe = {"might", "maybe", "hoping", "may", "could"} if said.who != "you" else {"might", "maybe", "hoping"}
    doubted = bool(before & MAYBE) or bool(between & maybe)
    denied = denies(between, REFUSING) or said.who == "nobody"
    for kind in ("remain", "spare", "remove", "keep", "give", "end", "get", "use"):
        found = known.verb(kind, atoms, k, last)
        if found is None:
            continue
        end, opened, within = found
        if within and atoms[opened].lower in PERSONS:
            continue  # "she'd throw me out"
        themed = _themed(atoms, end, within, last)
        if themed is None:
            continue
        stop, where = themed
        ahead = [a.lower for a in atoms[stop : min(stop + 2, last)]]
        if kind in ("use", "get") and not atoms[stop - 1].after and {"in", "out", "to"} & set(ahead):
            continue  # "he wants it out by spring"
        if where == "either" and (atoms[k].lower in LOOSE or atoms[end].lower not in ARTICLES or said.who == "you"):
            continue  # "they give three bar"
        if wished and said.who == "seller" and kind in ("get", "end", "keep"):
            continue  # "I'd take them": advice
        if (before & MAYBE and kind == "use") or (kind == "give" and where == "either" and not _coming(between)):
            continue
        of_it = within or stop > end
        bare = where == "before" and not of_it
        if bare and not _fronted(atoms, said.start):
            continue
        usual = {"will"} if kind == "get" and of_it and atoms[k].lower.endswith("s") else set[str]()
        verdict = _verdict(kind, said, between | usual, denied)  # "the college gets it"
        if verdict is None or (kind in ("use", "remove") and where == "either"):
            continue
        if kind == "give" and ahead == ["to", "you"]:
            return None  # the forms know that one
        if (
            of_it
            and where == "before"
            and (atoms[stop - 1].after or stop >= last or atoms[stop].lower in FOLLOWS | CLOSING)
        ):
            where = "either"  # what is taken is looked for, not who takes
        return _made(stop, "they take it" if of_it or bare else atoms[k].lower, where, verdict, doubted)
    return None


def _coming(between: set[str]) -> bool:
    """Whether it is still to be done."""
    return bool(between & COMING) or any(w.endswith(("'ll", "'d", "'m", "'re")) for w in between)


def _verdict(kind: str, said: _Said, between: set[str], denied: bool) -> str | None:
    """What follows from one doing this kind of thing to it."""
    buyer, seller = said.who == "you", said.who == "seller"
    coming = _coming(between)
    if kind == "get":
        if buyer:
            return "excluded" if denied else "included" if between & COULD or "you'd" in between or coming else None
        return None if denied or (seller and not coming) else "excluded" if coming or "has" in between else None
    if kind == "give":
        if buyer or (said.who == "other" and not between and said.plain) or "just" in between:
            return None  # "the board gives sixty a minute", "I just sell them"
        return "excluded" if denied else "included"
    if kind == "keep":
        return ("included" if buyer else "excluded") if not denied else None
    if kind == "spare":
        return "excluded" if denied and not buyer else None
    if kind == "remain":
        return "excluded" if not denied and buyer else None
    if kind == "use":
        return "excluded" if not denied and not buyer else None
    if kind == "remove":
        return "excluded" if denied else None
    settled = coming or between & {"has", "have", "'ve", "had"} or seller
    return "excluded" if not denied and kind == "end" and not buyer and settled else None


def _undergone(atoms: Sequence[Atom], i: int, k: int, last: int, known: Frames) -> tuple[int, Cue, str] | None:
    """What is done to it, or where it goes: "will be handed over", "gets crushed", "is headed to the sister plant"."""
    between = _between(atoms, i, k)
    start = clause_start(atoms, i)
    before = {a.lower for a in atoms[start:i]}
    if before & ASKING:
        return None  # "he'd like to see what's offered"
    doubted = bool((before | set(between)) & (MAYBE - {"if"})) and not set(between) & {"can", "could"}
    denied = denies(between, REFUSING)
    timed = any(
        a.lower in TIMES and atoms[j + 1].lower not in OBJECTS | {"now"} for j, a in enumerate(atoms[start:i], start)
    )  # "the checkweigher after it is kept for line three" is in a place
    if set(between) & BE and not timed:
        for kind, verdict in (("ended", "excluded"), ("kept", "excluded"), ("given", "included")):
            end = known.at(kind, atoms, k)
            if end is None:
                continue
            goes_on = end < last and not atoms[end - 1].after
            if kind == "given" and set(between) & {"was", "were", "been", "had"}:
                return None
            if (
                goes_on
                and kind == "given"
                and (
                    atoms[end].lower not in (FOLLOWS | CLOSING | {"to", "on"}) - {"as"}
                    or (atoms[end].lower == "to" and atoms[end + 1 : end + 2] and atoms[end + 1].lower != "you")
                )
            ):
                return None  # "given to the college" is no gift for the buyer, "is given as 90 an hour" is none
            if (
                goes_on
                and atoms[k].lower == "kept"
                and end == k + 1
                and atoms[end].lower not in FOLLOWS | {"for", "by"}
            ):
                return None  # "is kept at two hundred"
            if denied and verdict == "excluded":
                return None
            return _made(end, "is done", "before", OPPOSITE[verdict] if denied else verdict, doubted)
    return _moved(atoms, i, k, between, last, known)


def _moved(
    atoms: Sequence[Atom], i: int, k: int, between: tuple[str, ...], last: int, known: Frames
) -> tuple[int, Cue, str] | None:
    """Where it goes: "comes with me", "headed to the sister plant", "goes out the door with it"."""
    end = known.at("move", atoms, k)
    if end is None or atoms[end - 1].after or end >= last or end - 1 > k:
        return None
    before = {a.lower for a in atoms[clause_start(atoms, i) : k]}
    if not before or before & (BUYER | SELLER | {"let", "let's", "me", "us"}):
        return None  # "I must go back to that pump", "coming to you live"
    denied = denies(between, REFUSING) or (i and denies([atoms[i - 1].lower], {"not", "never"}))
    doubted = bool(set(between) & {"might", "may", "could"})
    while end < last - 1 and atoms[end].lower in (
        "out",
        "off",
        "on",
        "straight",
        "right",
        "along",
        "over",
        "down",
        "home",
    ):
        end += 1
    word = atoms[end].lower
    ahead = [a.lower for a in atoms[end + 1 : end + 4]] + [""] * 2
    to_buyer = ahead[0] in ("the", "our") and ahead[1] in ("buyer", "purchaser")
    elsewhere = known.away & set(ahead[:2])
    said = None
    if word in ("to", "with") and to_buyer:
        said, end = "included", end + 3
    elif word == "with" and ahead[0] in WITH_THEM:
        said, end = "excluded", end + 2
    elif (word == "with" and ahead[0] in WITH_IT) or (word == "to" and ahead[0] in ("you", "whoever")):
        said, end = "included", end + 2
    elif (word in ("to", "for") and elsewhere) or (word == "back" and ahead[0] == "to"):
        said, end = "excluded", end + 2
    elif word == "the" and ahead[0] == "door" and not denied:
        said, end = "included", end + 2
    if said is None or (denied and said == "excluded"):
        return None
    return _made(min(end, last), "goes there", "before", OPPOSITE[said] if denied else said, doubted)


def _ordered(atoms: Sequence[Atom], i: int, last: int, known: Frames) -> tuple[int, Cue, str] | None:
    """What the buyer or the listener is told to do with it: "chuck them in with it", "keep the dies out of it"."""
    if atoms[i].lower not in ORDERED:
        return None
    for kind in ("give", "get"):
        found = known.verb(kind, atoms, i, last)
        if found is None:
            continue
        end, _, within = found
        if kind == "give" and within:
            return _made(end, "take it", "before", "included", False)
        if kind == "get" and end < last and atoms[end].lower in OBJECTS and (atoms[end].after or end + 1 >= last):
            return _made(end + 1, "take it", "before", "included", False)
    return None
