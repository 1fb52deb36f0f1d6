"""References to stations that are led up to: "which leaves six, the fryer", "at two they buff it", "past the wraps
comes the rinse", "curing is done at three", "the one before that".

Each needs a number that is due, or a place of the row that is being told; what is done at a place is its role.
"""

from __future__ import annotations

from dataclasses import replace

from extractors.noun_phrase import PREPOSITIONS
from extractors.phrases import clause_end, is_plural, sentence_bounds, singular, text_of
from extractors.purposes import FAULTY, SIZED
from extractors.references import LEADING, TAKING, Label, Reference, References
from extractors.roles import COPULAS, PASSIVE, PAUSING, PERSONS, STOPS, TELLING, Role
from extractors.word_classes import ORDINALS

BROUGHT: tuple[tuple[str, ...], ...] = tuple(
    tuple(words.split())
    for words in (
        "which leaves", "that leaves", "leaving", "leaves us with", "leaves me with", "leaves you with", "leaves",
        "brings us to", "brings us up to", "brings us down to", "brings me to", "brings you to", "takes us to",
        "takes you to", "takes me to", "gets us to", "gets you to", "carries us to", "we come to", "you come to",
        "i come to", "you get to", "we get to", "i get to", "we reach", "you reach", "we 're at", "we 're up to",
        "i 'm at", "on to", "onto", "up to", "down to", "over to", "along to", "so to", "here 's", "here is",
        "we 're on", "now for", "there 's", "to", "only leaves", "just leaves", "that just leaves", "that only leaves",
        "skip to", "jump to", "we 're down to", "i 'm down to", "we 're left with",
    )
)  # fmt: skip
"""Words that lead up to the next place of a row; the longest stand first where one begins another."""
BESIDE = ("past", "beyond", "after", "behind", "following", "before")
POINTS = frozenset({"that", "it", "this", "them", "those", "there"})
COMES = frozenset("comes is 's sits stands goes gets are are's".split())
ALONE_AT = frozenset({"at", "in", "on", "inside"})
DONE = frozenset("done carried performed handled made".split())
HAPPENS = frozenset("happens occurs comes goes sits is 's starts takes".split())
NO_WORK = frozenset(
    (
        "had have get got think thought say said see saw know knew need needs want wanted change changed replace "
        "replaced find found told tell lost lose leave left put took take believe guess reckon mean call called note "
        "noted look looks like do did does don be was were can could will would should must may might never always "
        "still also just only even really both all quoted quote figure hope lack lacks were ran broke bought sold "
        "welded fixed patched stopped gave could n't not 'd 'll"
    ).split()
)
"""Words behind "at four they" that do not say what work is done there."""
KEPT = frozenset("keep kept use call have has run use reckon set leave".split())
"""Verbs of "five they keep for varnish"."""
WOULD_BE = (["would", "be"], ["will", "be"], ["'ll", "be"], ["must", "be"], ["should", "be"], ["'d", "be"])
MANY_DO = frozenset("do make handle run take serve cover".split())
"""What several places do, as their role: "three and four make the reduction"."""
ALIKE = (
    ("of", "the", "same"), ("of", "those"), ("of", "them"), ("of", "that"), ("like", "it"), ("like", "that"),
    ("the", "same"), ("just", "like", "it"), ("exactly", "the", "same"), ("of", "the", "same", "thing"),
    ("exactly", "like", "it"), ("of", "these"),
)  # fmt: skip
SAME = (("same", "thing"), ("the", "same"), ("same",), ("same", "again"), ("ditto",), ("the", "same", "again"))
ON_OUT = (
    ("on", "out"), ("on", "up"), ("on", "down"), ("and", "up"), ("and", "on"), ("to", "the", "end"), ("onwards",),
    ("onward",), ("upwards",), ("on",),
)  # fmt: skip
"""Words behind a number that take in all places up to the last one: "from eight on out"."""
TOLD_AS = frozenset({"it", "that", "they", "those", "these"})
AT_THE_END = (("at", "the", "end"), ("at", "the", "far", "end"), ("at", "the", "very", "end"), ("on", "the", "end"))
THE_LAST = (("the", "last", "one"), ("the", "last"), ("the", "final", "one"), ("last",), ("the", "end", "one"))


def worked(word: str) -> str:
    """The name of the work that is done: "drilled" -> "drilling"; as it stands where it is irregular."""
    if word.endswith("ied"):
        return f"{word[:-3]}ying"
    return f"{word[:-2]}ing" if word.endswith("ed") else word


class PlacesTold(References):
    """Reads the references of one transcript, those that are led up to as well."""

    def reference(self, i: int) -> Reference | None:
        """The reference that begins at atom i, or None."""
        found = self.told(i)
        if found is None or found.kind != "next" or found.last not in self.numbers:
            return found
        said = self.label(found.last, letters=False)  # "after that is the kettle, seven, and eight is the quench"
        closed = said is not None and (said[1] >= len(self.atoms) or self.atoms[said[1] - 1].after)
        if said is None or not closed or (said[0],) != found.numbers:
            return found
        return replace(found, last=said[1], kind="bare")

    def told(self, i: int) -> Reference | None:
        """The reference that begins at atom i by its own words, or None."""
        return (
            self.brought(i)
            or self.placed(i)
            or self.peopled(i)
            or self.from_on(i)
            or self.which_is(i)
            or self.more_alike(i)
            or self.several_told(i)
            or self.fronted(i)
            or super().reference(i)
            or self.beside(i)
            or self.work_at(i)
            or self.purposed(i)
            or self.so_is(i)
            or self.same_thing(i)
            or self.tailed(i)
            or self.ends_row(i)
            or self.end_left(i)
        )

    # -- led up to ------------------------------------------------------------------------------------------------

    def brought(self, i: int) -> Reference | None:
        """ "Which leaves six, the fryer", "that brings us to one, the soak cleaner", "here's four, the crowner"."""
        led = next((w for w in BROUGHT if self._said(i, w)), None)
        if led is None or not (len(led) > 2 or self.opens_loosely(i)):
            return None
        k = i + len(led)
        number, last = self._number(k)
        if number is None or not self.due(number) or last >= len(self.atoms):
            return None
        several, stop = self.labels(k, letters=False)
        if len(several) > 1 and all(self.due(n) for n in several) and stop + 1 < len(self.atoms):
            led_for = self.atoms[stop].lower in ("for", "as") and not self.atoms[stop - 1].after
            role = self.roles.after_article(stop + 1) if led_for else None  # "which leaves five and six for wax"
            return Reference(i, role.end, several, "", "bare", role.text) if role is not None else None
        if led in (("to",), ("there", "'s")) and self.atoms[last - 1].after != ",":
            return None
        if self.atoms[last - 1].after not in (",", ":", ".", ";"):
            role = self._article_name(last)
        else:
            role = self.roles.behind(last, due=True) or self._article_name(last)
        return Reference(i, role.end, (number,), "", "bare", role.text) if role is not None else None

    def placed(self, i: int) -> Reference | None:
        """ "At two they buff it", "in the third you get the coat", "in pocket one goes the letter"."""
        if self.atoms[i].lower not in ALONE_AT or not self.opens(i) or self.atoms[i].after:
            return None
        number, last, word = self._place(i + 1)
        if number is None or last >= len(self.atoms) or self.atoms[last - 1].after == ".":
            return None
        if not self._expected(i, number, word):
            return None
        while last + 1 < len(self.atoms) and self.atoms[last].lower in PAUSING:
            last += 1  # "at the second, uh, there's a camera"
        role = self.work(last)
        return Reference(i, role.end, (number,), word, "named" if word else "bare", role.text) if role else None

    def peopled(self, i: int) -> Reference | None:
        """ "Station one you load and unload", "position four they trim": what people do at a place."""
        if not self.opens(i):
            return None
        number, last, word = self._place(i)
        if number is None or not word or last + 1 >= len(self.atoms) or self.atoms[last - 1].after:
            return None
        if self.atoms[last].lower not in PERSONS or not (number == 1 or self.due(number)):
            return None
        role = self._two_done(last + 1) or self.doing(last + 1)
        return Reference(i, role.end, (number,), word, "named", role.text) if role is not None else None

    def _two_done(self, k: int) -> Role | None:
        """Two works in one, that fill the clause at k: "load and unload"."""
        atoms, end = self.atoms, clause_end(self.atoms, k)
        if end - k != 3 or atoms[k + 1].lower != "and" or not self.roles.known(k) or not self.roles.known(k + 2):
            return None
        return Role(k, end, text_of(atoms, k, end), True, atoms[end - 1].lower)

    def which_is(self, i: int) -> Reference | None:
        """ "And we finish up at one, which is the degrease": a number that is due behind a preposition."""
        if i == 0 or self.atoms[i - 1].lower not in LEADING or self.atoms[i - 1].after or i not in self.numbers:
            return None
        number, last, word = self._place(i)
        if number is None or not self.due(number) or last + 2 >= len(self.atoms) or self.atoms[last - 1].after != ",":
            return None
        if self.atoms[last].lower != "which" or self.atoms[last + 1].lower not in COPULAS:
            return None
        role = self._article_name(last + 2) or self.roles.alone(last + 2)
        return Reference(i, role.end, (number,), word, "bare", role.text) if role is not None else None

    def from_on(self, i: int) -> Reference | None:
        """ "From eight on out it's fast cool", "six onwards are the rinses": up to the last of a counted row."""
        line = self.lines[-1] if self.lines else None
        stated = self.stated_for(line) if line is not None else None
        led = self.atoms[i].lower == "from"
        if stated is None or not self.opens(i) or i + 3 >= len(self.atoms):
            return None
        number, last, word = self._place(i + led)
        if not isinstance(number, int) or not self.due(number) or self.atoms[last - 1].after:
            return None
        on = next((len(w) for w in ON_OUT if self._said(last, w)), 0)
        paused = bool(on) and self.atoms[last + on - 1].after == ","
        if not on or last + on + 1 >= len(self.atoms) or not (led or paused or self.roles.copula(last + on)):
            return None  # "five on the feed end"
        k = last + on
        k += self.atoms[k].lower in TOLD_AS and self.roles.copula(k + 1)
        role = self.roles.behind(k, due=True) if self.roles.copula(k) else self._article_name(k)
        if role is None or number >= stated.value:
            return None
        numbers = tuple(range(number, int(stated.value) + 1))
        return Reference(i, role.end, numbers, word, "run", role.text)

    def work(self, k: int) -> Role | None:
        """What is or is done at a place, at k: "it's the wash", "you've got the oven", "they trim it", "it gets cut",
        "goes the letter"."""
        atoms = self.atoms
        first = atoms[k].lower
        nxt = atoms[k + 1].lower if k + 1 < len(atoms) else ""
        if first in ("it", "that", "they", "you", "we") and nxt in PASSIVE and self._passive(k + 2):
            return Role(k, k + 3, worked(atoms[k + 2].lower), False, atoms[k + 2].lower)
        if first in ("it", "that") and nxt in COPULAS:
            return self.roles.after_article(k + 2)
        if first in PERSONS and nxt in ("get", "have") and k + 3 < len(atoms) and atoms[k + 2].lower in ("it", "them"):
            done = self._passive(k + 3)
            return Role(k, k + 4, worked(atoms[k + 3].lower), False, atoms[k + 3].lower) if done else None
        if first in ("you", "we") and nxt in ("have", "'ve", "get", "find", "see", "got"):
            past = k + 2 + (k + 2 < len(atoms) and atoms[k + 2].lower == "got")
            return self._article_name(past) or self.roles.alone(past)
        if first in PERSONS:
            return self.doing(k + 1)
        if first in ("it", "she") and (nxt == "says" or self._works_off(k + 1)) and not atoms[k].after:
            if nxt == "says":
                return self.roles.phrase(k + 2)  # "in the fourth it says cooking"
            end = clause_end(atoms, k)
            text = " ".join((singular(nxt), *(a.lower for a in atoms[k + 2 : end])))
            return Role(k, end, text, self.roles.known(k + 1), nxt)
        if first == "there" and nxt in COPULAS and not atoms[k + 1].after:
            return self._article_name(k + 2)  # "on seven there's a blow-off"
        if first in COMES and nxt in ("the", "a", "an"):
            return self.roles.after_article(k + 1)
        return None

    def _works_off(self, k: int) -> bool:
        """Whether the clause at k is only what a machine does: "degates", "cuts off"."""
        atoms, end = self.atoms, clause_end(self.atoms, k)
        if k >= len(atoms):
            return False
        word = atoms[k].lower
        plain = end == k + 1 or (end == k + 2 and atoms[k + 1].lower in ("off", "out", "up"))
        verb = word.endswith("s") and not word.endswith("ss") and len(word) > 3
        fit = self.roles.classes.of(word) in ("content", "acts") and word not in TELLING | FAULTY | COPULAS
        return plain and verb and fit

    def doing(self, k: int) -> Role | None:
        """What people do at a place: "feed the cover", "buff it", "chamfer"."""
        atoms = self.atoms
        if k >= len(atoms) or k in self.roles.numbers | self.roles.measured:
            return None
        verb = atoms[k].lower
        past = verb.endswith("ed") and verb not in ("feed", "bleed", "weed", "seed")
        if verb in NO_WORK | STOPS or past or not verb.isalpha() or len(verb) < 3:
            return None
        if self.roles.classes.of(verb) not in ("content", "acts", "describes"):
            return None
        end = clause_end(atoms, k)
        if atoms[k].after or k + 1 >= end:
            return Role(k, k + 1, verb, self.roles.known(k), verb)
        if atoms[k + 1].lower in ("it", "them", "'em"):
            return Role(k, k + 2, verb, self.roles.known(k), verb)
        start = k + 1 + (atoms[k + 1].lower in ("the", "a", "an", "on", "your", "each"))
        start += start < end and atoms[start].lower in ("the", "a", "an")
        thing = self.roles.phrase(start) if start < end else None
        if thing is None and start > k + 1 and start + 1 == end and atoms[start].lower.isalpha():
            thing = Role(start, end, atoms[start].said, False, atoms[start].lower)  # "feed the cover"
        if thing is None or thing.end - start > 3:
            return None
        return Role(k, thing.end, f"{verb} {text_of(atoms, start, thing.end)}", False, thing.last_word)

    # -- beside another place -------------------------------------------------------------------------------------

    def beside(self, i: int) -> Reference | None:
        """ "Past the wraps comes the rinse", "the one before the spare feeds the melter", "past it is the oven"."""
        if not self.lines or not self.opens(i):
            return None
        atoms, k = self.atoms, i
        one = [a.lower for a in atoms[k : k + 2]] == ["the", "one"]
        k += 2 if one else 0
        k += k < len(atoms) and atoms[k].lower in ("just", "right", "immediately", "directly")
        if k + 1 >= len(atoms):
            return None
        way = atoms[k].lower
        told = len(self.lines[-1].order) > 1 or self.stated_for(self.lines[-1]) is not None
        found = self._beside_what(k + 1) if way in BESIDE and told else None
        if found is None:
            return None
        at, last = found
        number = self._step(at, back=way == "before")
        if number is None or last >= len(atoms) or self.named_in(last, clause_end(atoms, last)):
            return None
        if not one and way == "before":
            return None
        verb = self.atoms[last].lower
        loose = verb in ("stands", "sits") or way == "behind"
        if loose and not one and self.atoms[min(last + 1, len(self.atoms) - 1)].lower != "the":
            return None  # "behind that stands a ladder"
        role = self._comes(last, one=one)
        return Reference(i, role.end, (number,), "", "next", role.text) if role is not None else None

    def _beside_what(self, k: int) -> tuple[Label | None, int] | None:
        """The number of the place pointed at from k, and where the words for it end; no number for "that"."""
        atoms = self.atoms
        if k >= len(atoms):
            return None
        if atoms[k].lower in POINTS:
            return None, k + 1
        number, last, _ = self._place(k)
        line = self.lines[-1]
        if number is not None:
            return (number, last) if number in line.stations else None
        if atoms[k].lower != "the":
            return None
        for end in range(min(k + 5, clause_end(atoms, k)), k + 1, -1):
            words = {a.lower for a in atoms[k + 1 : end]}
            heads = [n for n, s in line.stations.items() if self._called(s.role, words)]
            if heads:
                return heads[-1], end
        told = {a.lower for a in atoms[line.last : line.last + 16] if a.sentence == atoms[line.last].sentence}
        beside = (
            k + 2 < len(atoms) and atoms[k + 1].lower in told and atoms[k].sentence - atoms[line.last].sentence <= 2
        )
        return (line.order[-1], k + 2) if beside and self.roles.classes.of(atoms[k + 1].lower) == "content" else None

    def _called(self, role: str, words: set[str]) -> bool:
        """Whether words name a station by its role: all of them in it, the last of the role among them."""
        said = role.lower().split()
        alike = {w.removesuffix("s") for w in words}
        return bool(said) and said[-1].removesuffix("s") in alike and alike <= {w.removesuffix("s") for w in said}

    def _step(self, at: Label | None, *, back: bool) -> Label | None:
        """The number beside a place, in the direction of the walk; behind the last one told where none is named."""
        line = self.lines[-1]
        if not line.order:
            return None
        if at is None:
            running = line.following()
            down = isinstance(line.order[-1], int) and running and running[0] == line.order[-1] - 1
            before = line.order[-1] - 1 if isinstance(line.order[-1], int) else None
            number = (running[0] if down else before) if back else (running[0] if running and not down else None)
        else:
            number = at + (-1 if back else 1) if isinstance(at, int) else None
        told = number is None or number in line.stations or (isinstance(number, int) and number < 1)
        stated = self.stated_for(line)
        beyond = stated is not None and isinstance(number, int) and number > self.most(stated)
        return None if told or beyond else number

    def _comes(self, k: int, *, one: bool) -> Role | None:
        """What stands there, at k: "comes the rinse", "is the high heat", "you have the oven", "feeds the boiler"."""
        atoms = self.atoms
        if atoms[k - 1].after and not (one and atoms[k - 1].after == ","):
            return None
        word = atoms[k].lower
        nxt = atoms[k + 1].lower if k + 1 < len(atoms) else ""
        if word in COMES and nxt in ("the", "a", "an", "your", "another"):
            role = self.roles.after_article(k + 1)
        elif word in ("you", "we") and nxt in ("have", "'ve", "get", "got", "find"):
            role = self._article_name(k + 2 + (atoms[k + 2].lower == "got" if k + 2 < len(atoms) else 0))
        elif one and self.roles.copula(k):
            role = self.roles.behind(k, due=True)
        elif one:
            role = self.roles.purpose(k)
        else:
            role = None
        if role is None:
            return None
        named = role.vocabulary or self.roles.heads.at(atoms, role.end - 1) is not None
        return role if named or one else None

    # -- told before the place ------------------------------------------------------------------------------------

    def work_at(self, i: int) -> Reference | None:
        """ "Skiving is done at three", "the casing gets inspected at position one", "the scraper comes on six"."""
        if self.atoms[i].lower not in ALONE_AT or self.opens(i) or i < 2:
            return None
        number, last, word = self._place(i + 1)
        if number is None or (last < len(self.atoms) and not self.atoms[last - 1].after):
            return None
        if not self._expected(i, number, word):
            return None
        role = self.work_before(i - 1)
        return Reference(i, last, (number,), word, "named" if word else "bare", role.text) if role is not None else None

    def work_before(self, k: int) -> Role | None:
        """What is done, told up to k: "skiving is done", "the casing gets inspected", "they load", "the oven comes"."""
        atoms, first = self.atoms, clause_start_and(self, k)
        verb = atoms[k].lower
        if k - first < 1:
            return None
        helped = atoms[k - 1].lower in PASSIVE
        out = k - 1 if verb == "out" else k
        if atoms[out].lower in DONE and out > first and atoms[out - 1].lower in PASSIVE:
            return self._name_before(first, out - 1)
        if helped and self._passive(k):
            return Role(k, k + 1, worked(verb), self.roles.known(k), verb)
        if verb == "place" and atoms[k - 1].lower == "takes":
            return self._name_before(first, k - 1)
        if verb in HAPPENS and verb != "takes":
            role = self._name_before(first, k)
            named = role is not None and (role.vocabulary or self.roles.heads.at(atoms, role.end - 1) is not None)
            return role if named else None
        if atoms[first].lower in PERSONS and first + 1 <= k:
            role = self.doing(first + 1)
            return role if role is not None and role.end == k + 1 else None
        return None

    def _name_before(self, first: int, end: int) -> Role | None:
        """The name that fills the words from first to end."""
        k = first
        while k < end and self.atoms[k].lower in ("the", "a", "an", "your", "our", "all", "and", "then", "so", "that"):
            k += 1
        if k + 1 == end and self.atoms[k].lower in SIZED:
            return Role(k, end, self.atoms[k].said, False, self.atoms[k].lower)
        role = self.roles.phrase(k) if k < end else None
        return role if role is not None and role.end == end else None

    def _passive(self, k: int) -> bool:
        """Whether work that is done to a thing is told at k: "gets drilled", "is cut"; not "is painted green"."""
        if k >= len(self.atoms):
            return False
        word = self.atoms[k].lower
        shaped = word.endswith("ed") or word in ("cut", "ground", "bent", "built", "fed", "wound", "spun", "blown")
        behind = self.atoms[k + 1].lower if k + 1 < len(self.atoms) and not self.atoms[k].after else ""
        plain = not behind or behind in PREPOSITIONS | STOPS
        return shaped and plain and word not in NO_WORK

    # -- the number first -----------------------------------------------------------------------------------------

    def fronted(self, i: int) -> Reference | None:
        """ "And five they keep for varnish", "six and seven they call the high fire": numbers that are due."""
        if not self.opens(i):
            return None
        numbers, last = self.labels(i, letters=False)
        if not numbers and self.words.at(self.atoms, i) is not None:
            one, last, _ = self._place(i)  # "number five they kept for specials"
            numbers = () if one is None else (one,)
        if not numbers or last + 2 >= len(self.atoms) or self.atoms[last - 1].after or not self.due(numbers[0]):
            return None
        if self.atoms[last].lower not in PERSONS or self.atoms[last + 1].lower not in KEPT:
            return None
        k = last + 2
        k += self.atoms[k].lower == "it"
        led = self.atoms[k].lower in ("for", "as", "on")
        role = self.roles.after_article(k + led) if k + led < len(self.atoms) else None
        if role is None or not (led or role.vocabulary or self.atoms[last + 1].lower == "call"):
            return None
        return Reference(i, role.end, numbers, "", "bare", role.text)

    def purposed(self, i: int) -> Reference | None:
        """ "Three rinses", "six takes the smalls", "seven would be the acid dip", "three and four make the cut"."""
        if not self.opens(i):
            return None
        numbers, last = self.labels(i, letters=False)
        if not numbers or last + 1 >= len(self.atoms) or self.atoms[last - 1].after:
            return None
        if not (self.due(numbers[0]) or self.counted_at(i, numbers[0])):
            return None
        if len(numbers) > 1 and self.atoms[last].lower.endswith("s"):
            return None  # "medium is four and five, six takes the smalls"
        ahead = [a.lower for a in self.atoms[last : last + 2]]
        role = self.roles.purpose(last)
        if ahead in WOULD_BE:
            role = self.roles.after_article(last + 2)
        elif role is None and len(numbers) > 1 and self.atoms[last].lower in MANY_DO:
            role = self.roles.after_article(last + 1)
        return Reference(i, role.end, numbers, "", "bare", role.text) if role is not None else None

    def same_thing(self, i: int) -> Reference | None:
        """ "Eight, same thing.": a number that is due, as the station told last."""
        line = self.lines[-1] if self.lines else None
        if line is None or not line.order or not self.opens(i):
            return None
        numbers, last = self.labels(i, letters=False)
        if not numbers or not self.due(numbers[0]) or last >= len(self.atoms) or self.atoms[last - 1].after != ",":
            return None
        said = next((last + len(w) for w in SAME if self._said(last, w)), 0)
        if not said or (said < len(self.atoms) and not self.atoms[said - 1].after):
            return None
        return Reference(i, said, numbers, "", "bare", line.stations[line.order[-1]].role)

    def more_alike(self, i: int) -> Reference | None:
        """ "Then two more of the same", "another two like it, three and four": as the station told last."""
        line = self.lines[-1] if self.lines else None
        if line is None or not line.order or i not in self.numbers:
            return None
        end, value, top, form = self.numbers[i]
        before = self.atoms[i - 1].lower if i else ""
        k = end + (end < len(self.atoms) and self.atoms[end].lower == "more")
        alike = next((len(w) for w in ALIKE if self._said(k, w)), 0)
        if not alike or not (k > end or before == "another") or top is not None or form not in ("cardinal", "digits"):
            return None
        last = k + alike
        if last < len(self.atoms) and not self.atoms[last - 1].after:
            return None
        numbers = line.following(int(value)) if 1 <= value <= 12 else ()
        named, stop = self.labels(last, letters=False) if self.atoms[last - 1].after == "," else ((), last)
        if named and tuple(named) == numbers:
            last = stop
        role = line.stations[line.order[-1]].role
        return Reference(i, last, numbers, "", "run", role) if numbers and self.due(numbers[0]) else None

    def so_is(self, i: int) -> Reference | None:
        """ "Tank three's the acid, and so is tank four": as the station told last."""
        line = self.lines[-1] if self.lines else None
        if line is None or not line.order or not (self._said(i, ("so", "is")) or self._said(i, ("so", "are"))):
            return None
        number, last, word = self._place(i + 2)
        ends = last >= len(self.atoms) or self.atoms[last - 1].after
        if number is None or not ends or number not in line.following():
            return None
        return Reference(i, last, (number,), word, "named", line.stations[line.order[-1]].role)

    def tailed(self, i: int) -> Reference | None:
        """ "And the bottom section's cooling, four.": the next number alone behind a pause, its name before it."""
        line = self.lines[-1] if self.lines else None
        if line is None or i < 2 or self.atoms[i - 1].after != "," or i not in self.numbers:
            return None
        found = self.label(i, letters=False)
        closed = found is not None and (found[1] >= len(self.atoms) or self.atoms[found[1] - 1].after in (".", ";"))
        if found is not None and not closed and self.atoms[found[1] - 1].after == ",":
            closed = self.atoms[found[1]].lower in ("and", "then")  # "it goes to the shellers, three, and then ..."
        if found is None or not closed or found[0] not in line.following() or not self.due(found[0]):
            return None
        first = clause_start_and(self, i - 1)
        copula = next((k for k in range(i - 2, first - 1, -1) if self.atoms[k].lower in COPULAS | {"to"}), first - 1)
        role = self._name_before(copula + 1, i)
        known = role is not None and (role.vocabulary or self.roles.heads.at(self.atoms, role.end - 1) is not None)
        known = known or (role is not None and copula >= first and self.atoms[role.first - 1].lower == "the")
        return Reference(i, found[1], (found[0],), "", "bare", role.text) if role is not None and known else None

    def ends_row(self, i: int) -> Reference | None:
        """ "And the rack's the last one": what stands at the end of the row, where that was not told yet."""
        line = self.lines[-1] if self.lines else None
        last = next((i + len(w) for w in THE_LAST if self._said(i, w)), 0)
        if line is None or not last or i < 2 or self.atoms[i - 1].lower not in COPULAS or self.atoms[i - 1].after:
            return None
        if last < len(self.atoms) and not self.atoms[last - 1].after:
            return None
        stated, running = self.stated_for(line), line.following()
        number = int(stated.value) if stated is not None else running[0] if running else None
        role = self._name_before(clause_start_and(self, i - 1), i - 1)
        if role is None or number is None or number in line.stations or number not in line.following(2):
            return None
        return Reference(i, last, (number,), "", "last", role.text)

    def end_left(self, i: int) -> Reference | None:
        """ "The wrapper at the end": the last place of a counted row of which all others were told, or the last but one
        was told last; one before may have been passed over, to be told on a second visit."""
        line = self.lines[-1] if self.lines else None
        last = next((i + len(w) for w in AT_THE_END if self._said(i, w)), 0)
        stated = self.stated_for(line) if line is not None else None
        if line is None or stated is None or not last or i < 2 or self.atoms[i - 1].after:
            return None
        number = int(stated.value)
        left = [n for n in range(1, number) if n not in line.stations]
        passed_over = len(left) == 1 and number > 3 and line.order[-1] == number - 1
        if number in line.stations or number < 3 or (left and not passed_over):
            return None
        first = sentence_bounds(self.atoms, i)[0]
        role = self._name_before(first, i)
        known = role is not None and (role.vocabulary or self.roles.heads.at(self.atoms, role.end - 1) is not None)
        return Reference(i, last, (number,), "", "last", role.text) if role is not None and known else None

    def several_told(self, i: int) -> Reference | None:
        """ "Medium is four and five", "the chrome takes two positions, six and seven": numbers that close a clause."""
        if i < 2:
            return None
        numbers, last = self.labels(i, letters=False)
        if len(numbers) > 2 and last < len(self.atoms) and not self.atoms[last - 1].after:
            numbers, last = self._closed_before(i, last)  # "medium is four and five, six takes the smalls"
        ends = last >= len(self.atoms) or self.atoms[last - 1].after in (",", ".", ";", "?", "!")
        if len(numbers) < 2 or not ends or not all(self.due(n) for n in numbers):
            return None
        before = self.atoms[i - 1].lower
        if before in COPULAS and not self.atoms[i - 1].after:
            role = self._name_before(clause_start_and(self, i - 1), i - 1)
        elif before in TAKING or (before == "up" and self.atoms[i - 2].lower == "takes"):
            verb = i - 1 - (before == "up")  # "the zinc itself takes up five and four"
            role = self._name_before(clause_start_and(self, verb), verb)
        else:
            role = self._taking(i, len(numbers))
        if role is None or role.text.lower() in ("that", "those", "these"):
            return None
        return Reference(i, last, numbers, "", "run", role.text)

    def _closed_before(self, i: int, last: int) -> tuple[tuple[Label, ...], int]:
        """The numbers from i up to the last pause before last, behind which another clause begins with its own."""
        pause = next((k for k in range(last - 1, i, -1) if self.atoms[k].after == ","), None)
        if pause is None:
            return (), i
        said = [self.label(k, letters=False) for k in range(i, pause + 1) if k in self.numbers]
        return tuple(one[0] for one in said if one is not None), pause + 1

    def _taking(self, i: int, many: int) -> Role | None:
        """The name before "takes two positions," whose numbers begin at i."""
        atoms = self.atoms
        found = [k for k in range(max(0, i - 5), i) if atoms[k].lower in ("takes", "take", "fills", "occupies", "has")]
        if not found or atoms[i - 1].after not in (",", ":"):
            return None
        verb = found[-1]
        counted = next((k for k in range(verb + 1, i - 1) if k in self.numbers), None)
        if counted is None or self.numbers[counted][1] != many or self.words.at(atoms, i - 1) is None:
            return None
        return self._name_before(clause_start_and(self, verb), verb)

    # -- small things ---------------------------------------------------------------------------------------------

    def opens_loosely(self, i: int) -> bool:
        """Whether atom i begins a clause, or stands behind "which", "that", "so that"."""
        return self.opens(i) or self.atoms[i - 1].lower in ("which", "that", "it", "and", "just", "only", "now")

    def _said(self, i: int, words: tuple[str, ...]) -> bool:
        return tuple(a.lower for a in self.atoms[i : i + len(words)]) == words

    def _number(self, k: int) -> tuple[Label | None, int]:
        """One number of a place at k, with its word or without: "six", "number six", "the sixth"."""
        number, last, _ = self._place(k)
        return number, last

    def _place(self, k: int) -> tuple[Label | None, int, str]:
        """Number, end and word of one place at k: "two", "station two", "the second", "the second one"."""
        atoms = self.atoms
        if k >= len(atoms):
            return None, k, ""
        k += atoms[k].lower == "the" and k + 1 < len(atoms)
        found = self.words.at(atoms, k)
        if found is not None and not atoms[found[0] - 1].after and not is_plural(atoms[found[0] - 1].lower):
            one = self.label(found[0], letters=False)
            word = "" if found[1] == "number" else found[1]
            return (one[0], one[1], word) if one is not None else (None, k, "")
        if atoms[k].lower in ORDINALS:
            behind = self.words.at(atoms, k + 1) if k + 1 < len(atoms) and not atoms[k].after else None
            word = behind[1] if behind is not None and behind[1] != "number" else ""
            last = behind[0] if behind is not None else k + 1
            last += behind is None and last < len(atoms) and not atoms[k].after and atoms[last].lower == "one"
            return ORDINALS.index(atoms[k].lower) + 1, last, word
        one = self.label(k, letters=False)
        return (one[0], one[1], "") if one is not None else (None, k, "")

    def _expected(self, i: int, number: Label, word: str) -> bool:
        """Whether a place may be told here: its number is due, or begins a row that was counted or goes on."""
        named = bool(word) and self.numbered_on(i, word, number)
        return self.due(number) or self.counted_at(i, number) or named

    def _article_name(self, k: int) -> Role | None:
        """The name behind an article at k: "the oil quench"."""
        if k + 1 >= len(self.atoms) or self.atoms[k].lower not in ("the", "a", "an", "your", "our"):
            return None
        return self.roles.phrase(k + 1)


def clause_start_and(reader: References, k: int) -> int:
    """First atom of the clause of k, a word that joins it to another left out, and one that ends another before it."""
    atoms = reader.atoms
    first = k
    while first > 0 and not atoms[first - 1].after and atoms[first - 1].sentence == atoms[k].sentence:
        if atoms[first - 1].lower in ("and", "then", "so", "but", "next", "now") or first - 1 in reader.numbers:
            break
        first -= 1
    return first
