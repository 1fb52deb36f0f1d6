"""What a station is for: the few words behind or before a reference to it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from extractors.noun_phrase import PREPOSITIONS
from extractors.phrases import Atom, Finder, clause_end, sentence_bounds, singular, text_of
from extractors.stated_counts import Count
from extractors.word_classes import classes_of
from vocab import Vocabulary

VESSELS = frozenset({"tank", "tanks", "vessel", "vessels", "bin", "bins", "basin", "trough", "pot", "vat", "pit"})
COPULAS = frozenset({"is", "'s", "are", "'re", "was", "were", "be"})
WOULD = frozenset({"would", "'d", "will", "'ll", "must", "should"})
"""Words before "be" by which a place is told with some doubt."""
LINKING = COPULAS | {
    "we",
    "you",
    "have",
    "'ve",
    "got",
    "comes",
    "there",
    "called",
    "does",
    "makes",
    "makes up",
    *WOULD,
    "being",
    "means",
    "becomes",
    "here",
    "goes",
    "houses",
    "for",
    "i",
}
"""Words that may stand between a reference and its role."""
SERVING = frozenset(
    "does serves handles lays applies prints keeps keep puts holds carries houses contains hosts".split()
)
"""Verbs between a numbered place and what it is for: "unit four lays down the black", "cell one serves the kilns"."""
SKIPPED = frozenset(
    (
        "the a an your our their my his her its this that it now really also again just basically actually then "
        "still only another one so going where which what uh um like kind sort of back all both used known as "
        "those these they probably maybe perhaps think believe guess say therefore thus hence obviously clearly "
        "apparently presumably naturally simply evidently supposedly likewise similarly equally"
    ).split()
)
STOPS = frozenset(
    (
        "with that which where who and at on in from by held so but then to run running set after before because "
        "while if or it you there here up down over under again too also as about next they we i right "
        "now nowadays instead anymore these"
    ).split()
)
NO_ROLES = frozenset(
    (
        "round behind "
        "here there good broken off leaking closed gone missing same similar bad fine ok okay bigger smaller "
        "larger longer shorter heated naked insulated not never no nothing unheated covered full clean dirty new "
        "old next side rusty stainless steel plastic polypropylene leaky ready down out done long wide deep high "
        "tall hot cold made about around roughly empty-ish worn rebuilt relined replaced repaired running idle-ish "
        "right left correct wrong on in at of used painted welded located mounted connected identical twice once "
        "making giving showing needing alike twins unlike ours mine theirs yours figure fault turn trouble"
    ).split()
)


PERSONS = frozenset({"i", "we", "you", "they"})
HAVING = frozenset("have 've got find 'm 're do call see".split())
PASSIVE = frozenset("is are 's 're get gets being gets".split())
WHERE = frozenset("way right just over up down back out here there".split())
DONE_SO = frozenset("open shut closed apart together off up down flat tight".split())
"""Words that end what a place does: "blows the pouch open with air"."""
LONGEST = 5
"""Words of what a place does, at most."""
TELLING = frozenset(
    "has holds takes is needs wants runs goes stays leaks makes looks sits stands comes gets uses draws measures reads "
    "shows works starts stops leaves costs feels sounds weighs gives says was does's misses lacks loses".split()
)
"""Verbs that tell how a place is, and not what it is for."""
ALIKE = frozenset("twins identical alike same pair twin similar".split())
EACH = frozenset("both each all of them one the a an two being for are is pair".split())
MOST_INSERTS = 3
"""How many of them stand between a reference and its verb, at most: "tank nine, then, which is the last, is"."""
ONCE_MORE = frozenset({"again", "too", "also"})
LAST = (["the", "last"], ["the", "final"])
PLACES_IN_ROW = frozenset({"last", "final", "first", "end", "middle", "between"})


WAYFARING = frozenset("going coming running leading heading feeding hanging standing sitting".split())
HOMELY = frozenset("fella fellow beast brute baby boy girl lady lad monster star daddy granny un heart".split())
"""Words for a machine that one is fond of."""
PARTICLES = frozenset("in out up down off".split())
"""Words that end the name of a place: "goods in", "cool down", "lay up"."""
TITLES = frozenset("okay ok right so and then next now well on to at".split())
"""Words before the place in a sentence that only says it."""
NAMED_SO = frozenset({"it", "that", "this", "them", "those", "these", "'em"})
PAUSING = frozenset("well uh um er erm hm now oh".split())
"""Words of a speaker who stops to think."""
SIZES = frozenset({"little", "small", "big", "large", "tiny", "short", "long", "tall"})


@dataclass(frozen=True, slots=True)
class Role:
    """A role as said and cleaned: atoms first to end (excluded)."""

    first: int
    end: int
    text: str
    vocabulary: bool
    """Whether the table of stations knows it."""
    last_word: str


class Roles:
    """Reads roles of one transcript."""

    def __init__(self, atoms: Sequence[Atom], measured: set[int], numbers: set[int], vocabulary: Vocabulary) -> None:
        self.atoms, self.measured, self.numbers = atoms, measured, numbers
        self.table, self.places, self.heads = _tables(vocabulary)
        self.classes = classes_of(vocabulary)

    def copula(self, i: int) -> bool:
        """Whether the words at i join a reference to its role: "is", "'s", "we have"."""
        if i >= len(self.atoms):
            return False
        lower = self.atoms[i].lower
        if lower in COPULAS:
            return True
        after = self.atoms[i + 1].lower if i + 1 < len(self.atoms) else ""
        if lower in WOULD and after == "be" and not self.atoms[i].after:
            return True  # "fourth would be the top", "four'd be the reamer"
        return (
            (lower in ("we", "you", "i") and after in ("have", "'ve", "got", "find"))
            or lower in ("comes", "called")
            or (lower == "there" and after in COPULAS)
        )

    def known(self, i: int) -> bool:
        """Whether a role of the table stands right at i."""
        return i < len(self.atoms) and self.table.at(self.atoms, i) is not None

    def phrase(self, i: int, *, limit: int = 4) -> Role | None:
        """The role that begins right at i: a name of the table first, else the noun phrase."""
        atoms = self.atoms
        if i >= len(atoms) or i in self.measured:
            return None
        k, vocabulary = i, False
        while k < len(atoms) and k - i < limit:
            found = self.table.at(atoms, k)
            if found is not None:
                k, vocabulary = found[0], True
            elif k > i and (end := self._own_number(k)) is not None:
                k = end  # "module two is the etch chamber one"
                break
            else:
                a = atoms[k]
                if k > i and self._joined(k) and a.sentence == atoms[i].sentence:
                    k += 1  # "take-up", "roll-over"
                    if atoms[k - 1].after:
                        break
                    continue
                if k > i and a.lower in PARTICLES and self._closes(k):
                    k += 1  # "goods in", "the warm up"
                    break
                if k > i and a.lower in PARTICLES and self._within_name(k):
                    k += 2  # "the part off blade"
                    break
                if k > i and a.lower.endswith("ing") and self._on_its_way(k):
                    break  # "the vapour line going up to it"
                if (
                    (
                        a.lower in STOPS
                        and not (a.lower == "running" and k == i and self.known(k + 1))
                        and not (a.lower == "set" and k == i and self._set_place(k))
                    )
                    or k in self.measured
                    or k in self.numbers
                    or a.aside
                    or a.sentence != atoms[i].sentence
                ):
                    break
                kind = "content" if a.lower == "can" and self._container(k) else self.classes.of(a.lower)
                if (
                    kind in ("helps", "stands_in", "asks", "joins", "leads", "answers", "points")
                    or (k > i and not atoms[k].after and self.places.at(atoms, k) is not None and k + 1 in self.numbers)
                    or (kind == "acts" and not self._noun_like(k, i))
                ) and not self._joined(k + 1):
                    break
                if a.lower in SKIPPED and k == i:
                    break
                vocabulary = vocabulary and self.places.at(atoms, k) is not None
                k += 1
            if self._joined(k):
                continue
            if atoms[k - 1].after or atoms[k - 1].sentence != atoms[min(k, len(atoms) - 1)].sentence:
                break
        if k == i or (
            k - i == 1
            and (atoms[i].lower in NO_ROLES | PLACES_IN_ROW or self.classes.of(atoms[i].lower) in ("fills", "points"))
        ):
            return None
        if not vocabulary and atoms[i].lower in NO_ROLES and self.heads.at(atoms, k - 1) is None:
            named = (
                k - i > 1
                and i > 0
                and atoms[i - 1].lower == "the"
                and atoms[k - 1].lower not in {*NO_ROLES, "one", "ones"}
            )
            if not named or self.classes.of(atoms[k - 1].lower) != "content":
                return None  # but "station six is the hot air oven", "they call it the high fire"
        if k - i > 1 and atoms[k - 1].lower in ("one", "ones"):
            k -= 1  # "the conical ones"
        end = k
        if k - i > 1 and atoms[k - 1].lower in ("itself", "proper", "too"):
            k -= 1
        text = text_of(atoms, i, k)
        last = atoms[k - 1].said
        if singular(last.lower()) != last.lower() and not last.isupper():
            text = text[: -len(last)] + singular(last.lower())
        return Role(i, end, text, vocabulary, atoms[k - 1].lower)

    def _set_place(self, k: int) -> bool:
        """Whether "set" at k names a place: "the set zone"."""
        led = k > 0 and self.atoms[k - 1].lower in ("the", "a", "your") and not self.atoms[k].after
        return led and k + 1 < len(self.atoms) and self.places.at(self.atoms, k + 1) is not None

    def _closes(self, k: int) -> bool:
        """Whether a clause ends with the word at k, or goes on with "and" and another place."""
        atoms = self.atoms
        if atoms[k - 1].after or atoms[k].aside or atoms[k - 1].lower in NO_ROLES:
            return False
        joined = k + 2 < len(atoms) and atoms[k + 1].lower == "and" and k + 2 in self.numbers
        return bool(atoms[k].after) or k + 1 >= len(atoms) or joined

    def _within_name(self, k: int) -> bool:
        """Whether the little word at k stands within a name whose last word ends its clause: "part off blade"."""
        atoms = self.atoms
        if k + 1 >= len(atoms) or atoms[k].after or atoms[k - 1].after or atoms[k].lower == "in":
            return False
        last = atoms[k + 1]
        thing = self.heads.at(atoms, k + 1) is not None or self.places.at(atoms, k + 1) is not None
        return thing and (bool(last.after) or k + 2 >= len(atoms)) and k + 1 not in self.numbers

    def _on_its_way(self, k: int) -> bool:
        """Whether "going up", "coming back from" stands at k."""
        behind = self.atoms[k + 1].lower if k + 1 < len(self.atoms) and not self.atoms[k].after else ""
        return self.atoms[k].lower in WAYFARING and (behind in PREPOSITIONS | WHERE | {"back"})

    def _joined(self, k: int) -> bool:
        """Whether an atom is written together with the one before it."""
        if not 0 < k < len(self.atoms):
            return False
        return self.atoms[k - 1].glue == "-"

    def _container(self, k: int) -> bool:
        """Whether "can" is the thing and no verb: "that's the can washer"."""
        before = self.atoms[k - 1].lower if k else ""
        named = k + 1 < len(self.atoms) and not self.atoms[k].after and self.heads.at(self.atoms, k + 1) is not None
        return named and before in ("the", "a", "your", "our", "and", "is", "'s")

    def _own_number(self, k: int) -> int | None:
        """Where the number of a place that is part of a role ends, both at k; None where a reference begins there."""
        atoms = self.atoms
        if atoms[k].after or self.places.at(atoms, k) is None or k + 1 not in self.numbers:
            return None
        end = k + 2
        goes_on = (
            end < len(atoms) and not atoms[end - 1].after and (self.copula(end) or atoms[end].lower in ("to", "a"))
        )
        return None if goes_on else end

    def _noun_like(self, k: int, start: int) -> bool:
        """Whether a word that may be a verb stands as a part of a name: "cooling", "bake", not "holds"."""
        lower = self.atoms[k].lower
        if self.heads.at(self.atoms, k) is not None:
            return True
        if k > start:
            # "the shot blasting, the painting comes later"
            return lower.endswith("ing") and (bool(self.atoms[k].after) or k + 1 >= len(self.atoms))
        following = self.atoms[k + 1].lower if k + 1 < len(self.atoms) and not self.atoms[k].after else ""
        led = k > 0 and self.atoms[k - 1].lower in ("the", "a", "an", "your") and bool(following)
        return lower.endswith(("ing", "ed")) or (led and self.classes.of(following) == "content")

    def behind(self, i: int, *, due: bool = False) -> Role | None:
        """The role behind a reference that ends at i; due says whether its number is the next of its row, so that a
        name alone in its clause will do ("Second, straightener")."""
        atoms = self.atoms
        if i < len(atoms) and atoms[i].sentence != atoms[i - 1].sentence:
            return self._titled(i)
        if i >= len(atoms) or atoms[i - 1].after in (".", "?", "!", ";"):
            return None
        comma = atoms[i - 1].after in (",", ":")
        if comma and (end := self._last_said(i)) is not None:
            i, comma = end, False  # "number eight, the last, is the wrapper"
        if comma and (behind := self._behind_aside(i)) is not None:
            i = behind
        direct = self.table.at(atoms, i)
        if direct is not None and atoms[i].lower == "hold" and atoms[direct[0] - 1].lower == "hold" and not comma:
            direct = None if direct[0] < len(atoms) and atoms[direct[0]].lower in ("the", "a", "all") else direct
        if atoms[i].lower in SERVING and i + 1 < len(atoms) and atoms[i + 1].lower in ("the", "a", "an", "our"):
            direct = None  # "station four holds the pump body fixture"
        if direct is not None and (comma or not self._goes_on(direct[0])):
            return self.phrase(i)
        if due and not comma and (done := self.does(i)) is not None:
            return done
        k, linked, article = i, False, False
        while k < len(atoms) and k - i < 7:
            lower = atoms[k].lower
            if comma and lower == "there" and not self._there_is_your(k):
                return None  # "number seven, there is a small window in it"
            if lower in SERVING and not linked and not comma and k == i:
                linked = True
                k += 1 + (k + 1 < len(atoms) and atoms[k + 1].lower in ("down", "on"))
                continue
            if lower == "where" and linked and (done := self.done_there(k + 1)) is not None:
                return done
            if (named := self.naming(k)) is not None:
                linked, k = True, named
                continue
            if (again := self._begun_again(k)) is not None and (linked or due):
                return again
            if lower in LINKING:
                linked = linked or self.copula(k) or lower in ("have", "got", "'ve", "for", "houses", "does")
            elif lower in ("the", "a", "an", "your", "our", "another"):
                article = True
            elif lower in SIZES and [a.lower for a in atoms[k + 1 : k + 2]] in (["one"], ["ones"]):
                return self._instead(k + 1)  # "number four is the little one, that's for seed"
            elif lower in ("not", "n't"):
                return self._instead(k + 1)
            elif k in self.numbers and article and k + 1 < len(atoms) and not atoms[k].after:
                pass  # "the two nickel tanks"
            elif comma and k > i and atoms[k - 1].lower == "all" and k in self.numbers:
                pass  # "three, four and five, all three of them acid"
            elif (
                comma and lower == "them" and self.copula(k + 1)  # "second and third, them's carbon"
            ) or (
                comma
                and lower in ("of", "them")
                and atoms[k - 1].lower in ("all", "both", "of", "each", "three", "four")
            ):
                pass
            elif lower not in SKIPPED:
                break
            if lower == "no" or (atoms[k].after and not comma):
                return None
            if atoms[k].after:
                k += 1
                if not linked:
                    break
                continue
            k += 1
        # "C, also rinse", "seven and eight both flange"
        soft = {a.lower for a in atoms[i:k]} & {"also", "again", "both", "another", "plain", "those", "these"}
        if k >= len(atoms) or not (
            linked or ((article or soft) and (comma or self.known(k))) or (due and (comma or article))
        ):
            return None
        # "stage one has a pump" tells what it has, not what it is
        holds = due and atoms[i].lower == "holds" and atoms[i + 1].lower == "the"
        if (
            not holds
            and any(a.lower in ("has", "holds", "had") for a in atoms[i:k])
            and not (k < len(atoms) and self.known(k))
        ):
            return None
        if atoms[k].lower in ALIKE and linked and atoms[k].after == ",":
            return self.alone(self._behind_all(k + 1))  # "nine and eight are twins, both of them the dip"
        sided = atoms[k].lower in ("right", "left") and article  # "second is the right hand side"
        role = self.sided(k) if sided else self.phrase(k)
        machine = role is not None and self.heads.at(atoms, role.end - 1) is not None
        if role is None or (
            comma
            and not role.vocabulary
            and not (article and (linked or machine))
            and not ((linked or due) and self._alone(role))
        ):
            return None
        if self._running(role):
            return None  # "number one is firing right now" tells how it is, not what it is for
        plain = linked or comma or self.known(k)
        if not plain and not self._alone(role):
            return None  # "four the printer, three the slitter", of a number that is due
        described = self.classes.of(atoms[k].lower) in ("describes", "fills")
        thing = self._alone(role) and role.last_word.endswith(("er", "or"))  # "pass two is abrasive whitener"
        several = due and role.end - k > 1 and (comma or thing)
        if not role.vocabulary and not article and described and not several:
            return None
        return self._plainer(role) if not self._place_only(role) else None

    def naming(self, k: int) -> int | None:
        """Where a name begins behind words for calling, at k: "what they call the spring", "they call that the bake",
        "we'd call it the soak"; None where no such words stand."""
        words = [a.lower for a in self.atoms[k : k + 6]] + [""] * 6
        what = words[0] == "what"
        at = int(what)
        if words[at].split("'")[0] not in PERSONS:
            return None
        at += 1
        at += words[at] in ("'d", "would", "'ll", "all", "always", "just")
        if words[at] not in ("call", "called", "name", "named") or self.atoms[k + at].after:
            return None
        end = k + at + 1 + (words[at + 1] in NAMED_SO)
        told = what or words[at + 1] in NAMED_SO
        return end if told and end < len(self.atoms) and not self.atoms[end - 1].after else None

    def _begun_again(self, k: int) -> Role | None:
        """The name behind an article after which the speaker stops and begins anew: "seven is a, well, it's a
        transition"."""
        atoms = self.atoms
        if atoms[k].lower not in ("a", "an", "the") or atoms[k].after != ",":
            return None
        at = k + 1
        while at < len(atoms) and at - k < 5 and (atoms[at].lower in PAUSING or atoms[at].aside):
            at += 1
        if at + 1 >= len(atoms) or atoms[at].sentence != atoms[k].sentence:
            return None
        if atoms[at].lower in ("it", "that") and atoms[at + 1].lower in COPULAS:
            return self.after_article(at + 2)
        return self.phrase(at + 1) if atoms[at].lower in ("a", "an", "the") else None

    def _there_is_your(self, k: int) -> bool:
        """ "Five, there's your sealer" and not "seven, there is a small window in it"."""
        words = [a.lower for a in self.atoms[k + 1 : k + 3]]
        return len(words) > 1 and words[0] in COPULAS and words[1] in ("your", "our", "the")

    def _behind_all(self, k: int) -> int:
        """The end of words for all of the places just told: "both of them", "each one a", "the pair"."""
        while k < len(self.atoms) - 1 and self.atoms[k].lower in EACH and not self.atoms[k].after:
            k += 1
        return k

    def _behind_aside(self, i: int) -> int | None:
        """Where the words behind a clause about the speaker begin: "four, I walked past it, that's the pierce"."""
        atoms = self.atoms
        told = atoms[i].lower in PERSONS and i + 1 < len(atoms) and atoms[i + 1].lower not in HAVING
        end = clause_end(atoms, i)
        goes_on = told and end + 1 < len(atoms) and atoms[end - 1].after == ","
        return end if goes_on and atoms[end].lower in ("that", "it", "this") and self.copula(end + 1) else None

    def behind_place(self, i: int) -> Role | None:
        """The name behind a clause that only says where: "and one, way up at the load end, caustic wash"."""
        atoms, end = self.atoms, clause_end(self.atoms, i)
        where = atoms[i].lower in PREPOSITIONS | WHERE
        told = any(atoms[k].lower in COPULAS or k in self.measured | self.numbers for k in range(i, end))
        goes_on = end < len(atoms) and atoms[end - 1].after == "," and end - i <= 7
        return self.alone(end) if where and goes_on and not told else None

    def does(self, i: int) -> Role | None:
        """What a place does, at i: "the second one prints the date", "third opens the flaps"; never how it is."""
        atoms, end = self.atoms, clause_end(self.atoms, i)
        word = atoms[i].lower
        if (
            not word.endswith("s")
            or word in TELLING | SERVING
            or self.classes.of(word) in ("helps", "points", "leads", "joins")
        ):
            return None
        if not (i + 2 < end and atoms[i + 1].lower in ("the", "a", "an", "each", "every")):
            return None
        last = next((k for k in range(i + 2, end) if atoms[k].lower in STOPS | PREPOSITIONS | DONE_SO), end)
        plain = last - i <= LONGEST and not any(k in self.measured | self.numbers for k in range(i, end))
        content = all(self.classes.of(atoms[k].lower) in ("content", "describes") for k in range(i + 2, last))
        if not plain or not content or last <= i + 2:
            return None
        return Role(i, last, text_of(atoms, i, last), False, atoms[last - 1].lower)

    def done_there(self, i: int) -> Role | None:
        """What is done at a place: "that's where the holes are pierced", "is where they load", i behind "where"."""
        atoms, end = self.atoms, clause_end(self.atoms, i)
        told = atoms[i].lower in PERSONS and i + 1 < end
        verb = i + 1 if told else next((k + 1 for k in range(i + 1, end - 1) if atoms[k].lower in PASSIVE), None)
        if verb is None or verb >= end or (not told and not atoms[verb].lower.endswith(("ed", "en", "t", "wn", "ut"))):
            return None
        word = atoms[verb].lower
        if self.classes.of(word) in ("helps", "points", "leads", "joins") or verb in self.measured | self.numbers:
            return None
        text = f"{word[:-3]}ying" if word.endswith("ied") else f"{word[:-2]}ing" if word.endswith("ed") else word
        joined = told and verb + 3 == end and atoms[verb + 1].lower == "and" and atoms[verb + 2].lower.isalpha()
        if joined:  # "where you jog and load"
            return Role(verb, end, text_of(atoms, verb, end), False, atoms[verb + 2].lower)
        return Role(verb, verb + 1, text, self.known(verb), word)

    def _running(self, role: Role) -> bool:
        """Whether the role is a verb of the moment: "is firing right now"."""
        behind = [a.lower for a in self.atoms[role.end : role.end + 3]]
        now = behind[:1] in (["now"], ["currently"], ["today"]) or behind[:2] == ["right", "now"]
        now = now or behind in (["at", "the", "moment"], ["as", "we", "speak"], ["as", "i", "speak"])
        return now and role.last_word.endswith("ing") and not self.atoms[role.end - 1].after

    def sided(self, k: int) -> Role:
        """ "The left", "the right hand side": a role that is a place of one machine."""
        end = k + 1
        while (
            end < len(self.atoms) and not self.atoms[end - 1].after and self.atoms[end].lower in ("hand", "side", "one")
        ):
            end += 1
        return Role(k, end, text_of(self.atoms, k, end), True, self.atoms[end - 1].lower)

    def _plainer(self, role: Role) -> Role:
        """The name behind a homely word for it: "section four's the big fella, the evaporator"."""
        atoms, end = self.atoms, role.end
        if (named := self._told_in_full(role)) is not None:
            return named
        if role.vocabulary or self.heads.at(atoms, end - 1) is not None or end + 1 >= len(atoms):
            return role
        if atoms[end - 1].after != "," or atoms[end].lower != "the" or atoms[end].sentence != atoms[end - 1].sentence:
            return role
        named = self.phrase(end + 1)
        known = named is not None and (named.vocabulary or self.heads.at(atoms, named.end - 1) is not None)
        return named if named is not None and known and self._alone(named) else role

    def _told_in_full(self, role: Role) -> Role | None:
        """The role behind words that only say what kind of place it is: "those are all one long tank, that's the bright
        nickel"; None elsewhere."""
        atoms, end = self.atoms, role.end
        if role.last_word in HOMELY:
            return self._in_earnest(end)
        if role.vocabulary or self.places.at(atoms, end - 1) is None or end + 2 >= len(atoms):
            return None
        told = atoms[end].lower in ("it", "that", "they", "those") and atoms[end + 1].lower in COPULAS
        same = atoms[end].sentence == atoms[end - 1].sentence
        return self.after_article(end + 2) if told and same and atoms[end - 1].after == "," else None

    def _in_earnest(self, k: int) -> Role | None:
        """The machine that the clause at k names, behind a homely word for it: "the big fella. It's a direct press"."""
        atoms = self.atoms
        if (
            k + 2 >= len(atoms)
            or atoms[k].lower not in ("it", "that", "she", "he")
            or atoms[k + 1].lower not in COPULAS
        ):
            return None
        end = clause_end(atoms, k)
        named = (r for s in range(max(k + 2, end - 3), end) if (r := self.phrase(s)) is not None and r.end == end)
        return next((r for r in named if r.vocabulary or self.heads.at(atoms, end - 1) is not None), None)

    def _titled(self, i: int) -> Role | None:
        """The role that begins the sentence at i, where the one before it only said the place: "Station one. Landing
        deck. Four strands ...", "Number two. That's the unscrambler."."""
        atoms = self.atoms
        first, _ = sentence_bounds(atoms, i - 1)
        while first < i and atoms[first].lower in TITLES:
            first += 1
        place = self.places.at(atoms, first) if first < i else None
        number = place[0] if place is not None else first + (atoms[first].lower == "number" if first < i else 0)
        if number not in self.numbers or number == first or any(k not in self.numbers for k in range(number, i)):
            return None
        k = i
        while k < len(atoms) and k - i < 4 and not atoms[k].after and atoms[k].lower in SKIPPED | COPULAS:
            k += 1
        role = self.alone(k)
        named = role is not None and (role.vocabulary or self.heads.at(atoms, role.end - 1) is not None)
        told = k == i or any(a.lower in COPULAS for a in atoms[i:k])
        return role if named or told else None

    def _last_said(self, i: int) -> int | None:
        """Where the words between pauses end that stand between a reference and its verb ("eight, the last, is",
        "number four, in between, is", "seven, which comes ahead of the dip, is"); None where none do."""
        atoms = self.atoms
        last = atoms[i].lower in ("last", "final") or [a.lower for a in atoms[i : i + 2]] in LAST
        end = i + 1 + (atoms[i].lower == "the")
        end += [a.lower for a in atoms[end : end + 1]] == ["one"]
        named = last and end + 1 < len(atoms) and atoms[end - 1].after == ","
        if named and atoms[end].lower in ("the", "a", "an"):
            return end  # "and ninth, last one, the packer"
        if last and end < len(atoms) and self.copula(end):
            return end
        return self.behind_inserts(i)

    def behind_inserts(self, i: int) -> int | None:
        """Where the verb of a reference stands behind what was put in between: an adverb, a clause of where or which,
        a word or two about the place."""
        atoms, at = self.atoms, i
        for _ in range(MOST_INSERTS):
            which = atoms[at].lower == "which" and self._verb_at(at + 1)
            where = which or atoms[at].lower in PREPOSITIONS | WHERE
            end = next((k + 1 for k in range(at, min(at + (12 if where else 4), len(atoms))) if atoms[k].after), None)
            if end is None or end >= len(atoms) or atoms[end - 1].after != ",":
                return None
            if not which and any(atoms[k].lower in COPULAS or k in self.measured for k in range(at, end)):
                return None
            if atoms[at].lower == "and" or any(k in self.numbers for k in range(at, end)):
                return None
            pointed = where and atoms[end].lower in ("that", "it")
            # "and seven, before the cooling, that's the tunnel"
            if self.copula(end) or (pointed and self.copula(end + 1)):
                return end
            if not where and any(atoms[k].lower not in SKIPPED for k in range(at, end)):
                return None
            at = end
        return None

    def _verb_at(self, i: int) -> bool:
        """Whether a clause of which goes on with its verb: "which stands", "which is"."""
        if i >= len(self.atoms):
            return False
        lower = self.atoms[i].lower
        return self.copula(i) or lower in TELLING or self.classes.of(lower) == "acts"

    def _instead(self, i: int) -> Role | None:
        """The role behind a pause where the words before it name none: "nine's not wet at all, it's the drying pit"."""
        atoms = self.atoms
        end = next((k + 1 for k in range(i, min(len(atoms), i + 6)) if atoms[k].after), None)
        if end is None or end >= len(atoms) or atoms[end - 1].after != "," or atoms[end].lower not in ("it", "that"):
            return None
        role = self.after_article(end + 1)
        return None if role is None or self._place_only(role) else role

    def after_article(self, i: int) -> Role | None:
        """A role right at i, or behind an article, or "it's the", "you have a"."""
        k = i
        while k < len(self.atoms) and k - i < 4 and (self.atoms[k].lower in SKIPPED or self.atoms[k].lower in LINKING):
            if self.atoms[k].after or self.table.at(self.atoms, k) is not None:
                break
            k += 1
        return self.phrase(k)

    def alone(self, i: int) -> Role | None:
        """The role at i, where it fills the rest of its clause."""
        role = self.phrase(i)
        return role if role is not None and self._alone(role) and not self._place_only(role) else None

    def before(self, i: int, *, led: bool, linked: bool = False) -> Role | None:
        """The role before a reference at i: "the labeller is number six", "rinse in two", "the dye, that's eleven"."""
        atoms = self.atoms
        k = i - 1
        linked, pointed = linked or (led and atoms[k].lower in ("in", "at") and k > 0), False
        if led and not linked:
            return None
        if led:
            k -= 1
        while (
            k >= 0
            and atoms[k].sentence == atoms[i].sentence
            and (
                atoms[k].lower in COPULAS
                or atoms[k].lower in ("that", "this", "it", "they", "here", "sits", "those", "these")
                or (linked_word(atoms, k) and not atoms[k].after)
            )
        ):
            linked = True
            pointed = pointed or atoms[k].lower in ("that", "this")
            k -= 1
        if not linked or k < 0 or atoms[k].sentence != atoms[i].sentence:
            return None
        end = k + 1
        while k >= 0 and end - k <= 4 and atoms[k].sentence == atoms[i].sentence:
            if (k < end - 1 and atoms[k].after) or k in self.measured or k in self.numbers:
                break
            kind = self.classes.of(atoms[k].lower)
            if kind in ("points", "leads", "helps", "stands_in", "asks", "joins", "fills", "answers"):
                break
            k -= 1
        first = k + 1
        if first >= end:
            return None
        role = next((r for s in range(first, end) if (r := self.phrase(s)) is not None and r.end >= end), None)
        if role is None or (not role.vocabulary and led):
            return None
        named = pointed and role.first > 0 and atoms[role.first - 1].lower in ("the", "a", "an")
        if not role.vocabulary and self.heads.at(atoms, role.end - 1) is None and not named:
            return None  # "it starts with the sizer, that's station one"
        return None if self._place_only(role) else role

    def lists(self, counts: tuple[Count, ...]) -> dict[int, list[Role]]:
        """Roles listed behind a stated count: "a five-stage washer: wash, rinse, rinse, phosphate, seal"."""
        out = {}
        for n, count in enumerate(counts):
            until = counts[n + 1].first if n + 1 < len(counts) else len(self.atoms)
            i = count.last
            sentence = self.atoms[count.last - 1].sentence
            while i < until and self.atoms[i].sentence <= sentence + 1:
                roles: list[Role] = []
                k = i
                while k < until and self.atoms[k].sentence <= sentence + 1:
                    if self.atoms[k].lower in ("and", "then", "a", "the", "another", "an", "finally"):
                        k += 1
                        continue
                    role = self.phrase(k) if self.known(k) or (roles and self.known(k + 1)) else None
                    if role is None:
                        break
                    roles.append(role)
                    k = role.end
                if len(roles) == count.value:
                    out[count.first] = roles
                    break
                if i == count.last and (named := self._named_in_row(count)):
                    out[count.first] = named
                    break
                i = max(i + 1, k if len(roles) > 1 else i + 1)
        return out

    def _named_in_row(self, count: Count) -> list[Role]:
        """ "It's six sections: feed, print, dry, coat, dry again and delivery": as many names as were counted."""
        atoms, k = self.atoms, count.last
        if atoms[k - 1].after != ":":
            return []
        roles: list[Role] = []
        while k < len(atoms) and atoms[k].sentence == atoms[count.last].sentence:
            if atoms[k].lower in ("and", "then", "a", "the", "an", "finally", "another"):
                k += 1
                continue
            role = self.phrase(k)
            if role is None:
                return []
            roles.append(role)
            k = role.end
            if k < len(atoms) and atoms[k].lower == "again":
                k += 1
            joined = k >= len(atoms) or atoms[k - 1].after or atoms[k].lower in ("and", "then")
            if not joined:
                return []
        return roles if len(roles) == count.value else []

    def _alone(self, role: Role) -> bool:
        """Whether a role fills its clause: "column one to three, this is cation"."""
        end = role.end
        goes_on = False
        if end + 1 < len(self.atoms) and self.atoms[end].lower == "and":
            place = self.places.at(self.atoms, end + 1)
            goes_on = end + 1 in self.numbers or (place is not None and place[0] in self.numbers)
        if end < len(self.atoms) and not self.atoms[end - 1].after and self.atoms[end].lower in ONCE_MORE:
            return bool(self.atoms[end].after)  # "tank five, water again"
        return end >= len(self.atoms) or bool(self.atoms[end - 1].after) or goes_on

    def _goes_on(self, i: int) -> bool:
        """Whether the words behind a role right after a number belong to a longer name ("stage one tank pump")."""
        return i < len(self.atoms) and not self.atoms[i - 1].after and self.heads.at(self.atoms, i) is not None

    def _place_only(self, role: Role) -> bool:
        machine = self.heads.at(self.atoms, role.first) is not None and role.last_word not in VESSELS
        return (
            not machine
            and role.end - role.first == 1
            and self.places.at(self.atoms, role.first) is not None
            and not role.vocabulary
        )


def linked_word(atoms: Sequence[Atom], k: int) -> bool:
    """Whether a small word stands behind a copula at k: "the press is then step four"."""
    return atoms[k].lower in ("then", "thus", "therefore", "now") and k > 0 and atoms[k - 1].lower in COPULAS


@lru_cache(maxsize=16)
def _tables(vocabulary: Vocabulary) -> tuple[Finder[str], Finder[str], Finder[str]]:
    rows = list(vocabulary["stations"])
    roles = [(n, n) for r in rows if r["use"] == "role" for n in r["names"]]
    places = [(n, n) for r in rows if r["use"] in ("place", "vessel", "machine") for n in r["names"]]
    heads = [
        (n, n) for r in vocabulary["components"] if r["grade"] in ("machine", "part", "generic") for n in r["names"]
    ]
    return Finder(roles), Finder(places), Finder(heads)
