"""References to stations whose role is told round about: in the next sentence, behind what it was taken for, on each
side of another, at the end of "with the rinse at six".

Each needs a number that is due: what is said round about of any other number is no place of the row.
"""

from __future__ import annotations

from extractors.phrases import clause_end, sentence_bounds
from extractors.places_told import PlacesTold, clause_start_and
from extractors.references import Label, Reference
from extractors.roles import COPULAS, PERSONS, Role

TAKEN_FOR = frozenset("called call thought think took take said say guessed guess had put expected reckoned".split())
"""What a speaker did who names a place by what he took it for: "seven I'd have called a rinse, but it's the sealer"."""
TOLD_RIGHT = frozenset("it that they those these".split())
SIDES = (
    ("on", "each", "side"), ("on", "either", "side"), ("each", "side"), ("either", "side"), ("on", "both", "sides"),
    ("both", "sides"), ("before", "and", "after"), ("in", "front", "and", "behind"), ("ahead", "and", "behind"),
    ("to", "each", "side"), ("to", "either", "side"), ("at", "either", "side"), ("at", "each", "side"),
)  # fmt: skip
"""Words for the two places beside one."""
HAS = frozenset("holds has carries does gets takes runs is 's are houses uses".split())
"""Verbs before "the same": what stands at a place is what stood at the one before."""
SAME_ENDS = frozenset("thing again stuff deal story too and as kind sort".split())
STANDING = frozenset(
    "stood standing stand am i'm we're start starting begin beginning started began sat parked".split()
)
"""Words of a speaker who says at which place he begins."""
BESIDE_IT = frozenset("at in by beside with on near opposite facing from alongside".split())
BECAUSE = frozenset("and since because as so which".split())
NOTHING = frozenset({"nothing", "nowt", "naething", "nought"})
NOT_A_THING = (("ain't", "got", "a", "thing"), ("hasn't", "got", "a", "thing"))
"""Words behind a number that say the same by "not": "six ain't got a thing on it"."""
FOLLOWS = frozenset("follows comes stands sits goes runs counts".split())
"""Verbs between a name and "as number five"."""
HERE = frozenset({"here", "there"})
FAR = 40
"""Atoms behind a place within which its two sides are told; chosen, no source."""

MOST_UNSTATED = 60
"""The last place of a row that nothing counted; chosen, no source."""


class ToldRound(PlacesTold):
    """Reads the references of one transcript, those that are told round about as well."""

    def reference(self, i: int) -> Reference | None:
        """The reference that begins at atom i, or None."""
        return (
            self.stood_at(i)
            or self.each_side(i)
            or self.taken_for(i)
            or self.nothing_there(i)
            or self.it_is(i)
            or super().reference(i)
            or self.by_itself(i)
            or self.down_there(i)
            or self.with_at(i)
            or self.same_there(i)
            or self.follows_as(i)
        )

    # -- beside the place told last -------------------------------------------------------------------------------

    def each_side(self, i: int) -> Reference | None:
        """ "There's a rinse on each side of it, so two and four", "either side of it's a rinse"."""
        line = self.lines[-1] if self.lines else None
        words = next((w for w in SIDES if self._said(i, w)), None)
        if words is None or line is None or not line.order or i - line.last > FAR:
            return None
        at, end = line.order[-1], i + len(words)
        if not isinstance(at, int):
            return None
        end += 2 if self._said(end, ("of", "it")) or self._said(end, ("of", "that")) else 0
        stated = self.stated_for(line)
        most = self.most(stated) if stated is not None else MOST_UNSTATED
        sides = tuple(n for n in (at - 1, at + 1) if 0 < n <= most and n not in line.stations)
        role = self._beside_before(i)
        if role is None and end < len(self.atoms) and self.roles.copula(end) and not self.atoms[end - 1].after:
            role = self.roles.after_article(end + 1)
        if not sides or role is None or not self.roles.known(role.first):
            return None
        first = self._through_so(max(end, role.end))
        named, stop = self.labels(first, letters=False)
        if named and set(named) <= {at - 1, at + 1}:
            return Reference(i, stop, named, "", "run", role.text)
        return Reference(i, max(end, role.end), sides, "", "run", role.text)

    def _beside_before(self, i: int) -> Role | None:
        """The name that ends right before i: "there's a rinse | on each side"."""
        first = clause_start_and(self, i - 1) if i else i
        for k in range(max(first, i - 4), i):
            role = self.roles.phrase(k)
            if role is not None and role.end == i and role.vocabulary:
                return role
        return None

    def _through_so(self, k: int) -> int:
        """Past "so", "that's", "which is" behind a pause."""
        while k < len(self.atoms) and self.atoms[k].lower in ("so", "that", "which", "is", "'s", "being", "and"):
            k += 1
        return k

    # -- where the speaker stands ---------------------------------------------------------------------------------

    def stood_at(self, i: int) -> Reference | None:
        """ "I'm standing at twenty, that's the unload", "I'll begin at bay seven, since that's the test rig"."""
        atoms = self.atoms
        if atoms[i].lower not in BESIDE_IT or not STANDING & {a.lower for a in atoms[max(0, i - 4) : i]}:
            return None
        number, last, word = self._place(i + 1)
        if number is None or last + 1 >= len(atoms) or not self._of_counted(i, number, word):
            return None
        last += atoms[last].lower in HERE and not atoms[last - 1].after and bool(atoms[last].after)
        if atoms[last - 1].after != "," and atoms[last].lower not in BECAUSE:
            return None
        k = last + (atoms[last].lower in BECAUSE and atoms[last].lower != "which")
        if atoms[k].lower in TOLD_RIGHT | {"which", "this"} and self.roles.copula(k + 1):
            role = self.roles.after_article(k + 2)
        else:
            role = self._article_name(k)
            role = role if role is not None and role.end == clause_end(atoms, role.end - 1) else None
        return Reference(i, role.end, (number,), word, "named" if word else "bare", role.text) if role else None

    def _of_counted(self, i: int, number: Label, word: str) -> bool:
        """Whether a number lies within a row that was counted before, or is told with its word."""
        told = bool(self.lines) and number in self.lines[-1].stations
        within = any(isinstance(number, int) and number <= c.value for c in self.counts if c.first < i)
        return not told and (bool(word) or within)

    # -- told right behind ----------------------------------------------------------------------------------------

    def taken_for(self, i: int) -> Reference | None:
        """ "Seventeen I'd have called another rinse, but no, it's the neutralizer"; "five I took for the dye, it's the
        etch"."""
        if not self.opens(i):
            return None
        numbers, last = self.labels(i, letters=False)
        if not numbers or last + 1 >= len(self.atoms) or self.atoms[last].lower.split("'")[0] not in PERSONS:
            return None
        end = clause_end(self.atoms, last)
        said = {a.lower for a in self.atoms[last + 1 : end]}
        if not said & TAKEN_FOR or not self.due(numbers[0]):
            return None
        role = self.told_right(end, sentence_bounds(self.atoms, i)[1])
        return Reference(i, role.end, numbers, "", "bare", role.text) if role is not None else None

    def told_right(self, k: int, stop: int) -> Role | None:
        """What the first clause from k says it is: "it's the sealer", "they're the dryers"."""
        for at in range(k, min(stop, len(self.atoms)) - 2):
            if at in self.numbers:
                return None
            told = self.atoms[at].lower in TOLD_RIGHT and self.atoms[at + 1].lower in COPULAS
            if told and not self.atoms[at].after and self.atoms[at + 2].lower not in ("not", "n't"):
                return self.roles.after_article(at + 2)
        return None

    def same_there(self, i: int) -> Reference | None:
        """ "And five holds the same, pump body": a number that is due, as the place told last."""
        line = self.lines[-1] if self.lines else None
        if line is None or not line.order or not self.opens(i):
            return None
        numbers, last = self.labels(i, letters=False)
        if not numbers or not self.due(numbers[0]) or self.atoms[last - 1].after or not self.has_same(last):
            return None
        return Reference(i, last, numbers, "", "bare", line.stations[line.order[-1]].role)

    def has_same(self, k: int) -> bool:
        """Whether "holds the same", "has just the same again" stands at k."""
        if k >= len(self.atoms) or self.atoms[k].lower not in HAS or self.atoms[k].after:
            return False
        words = [a.lower for a in self.atoms[k + 1 : k + 4]]
        at = next((n for n, w in enumerate(words) if w == "same"), None)
        if at is None or any(w not in ("the", "just", "exactly", "much") for w in words[:at]):
            return False
        end = k + 2 + at
        return end >= len(self.atoms) or bool(self.atoms[end - 1].after) or self.atoms[end].lower in SAME_ENDS

    def by_itself(self, i: int) -> Reference | None:
        """ "Five, six. Those are the rinses", "then three. This is where they grind": numbers that are a sentence."""
        if not self.opens(i):
            return None
        numbers, last = self.labels(i, letters=False)
        if not numbers or last + 2 >= len(self.atoms) or self.atoms[last - 1].after not in (".", "?", "!"):
            return None
        first = sentence_bounds(self.atoms, i)[0]
        alone = all(a.lower in ("and", "then", "next", "so", "now", "okay", "right") for a in self.atoms[first:i])
        if not alone or not all(self.due(n) for n in numbers):
            return None
        role = self._told_next(last)
        return Reference(i, role.end, numbers, "", "bare", role.text) if role is not None else None

    def _told_next(self, k: int) -> Role | None:
        """The role that the sentence at k tells of a place named before: "those are the rinses", "here they load"."""
        atoms = self.atoms
        if atoms[k].lower in HERE and k + 2 < len(atoms):
            return self.work(k + 1)
        if atoms[k].lower not in TOLD_RIGHT | {"this"} or atoms[k + 1].lower not in COPULAS or k + 3 > len(atoms):
            return None
        if atoms[k + 2].lower == "where":
            return self.roles.done_there(k + 3)
        return self.roles.after_article(k + 2)

    def down_there(self, i: int) -> Reference | None:
        """ "One to four down this side are moulds": a place within which the numbers count stands before the verb."""
        if not self.opens(i):
            return None
        numbers, last = self.labels(i, letters=False)
        if not numbers or last + 2 >= len(self.atoms) or not self._expected(i, numbers[0], ""):
            return None
        verb = self.roles.past_place(last, due=len(numbers) > 1)
        role = self.roles.behind(verb, due=True) if verb is not None else None
        return Reference(i, role.end, numbers, "", "bare", role.text) if role is not None else None

    def nothing_there(self, i: int) -> Reference | None:
        """ "Ten's got nothing in it", "six has nowt on it", "seven isn't used": a place that is empty."""
        if not self.opens(i):
            return None
        numbers, last = self.labels(i, letters=False)
        if not numbers or not self._expected(i, numbers[0], "") or self.atoms[last - 1].after:
            return None
        words = [a.lower for a in self.atoms[last : last + 4]]
        empty = next((n + 1 for n, w in enumerate(words) if w in NOTHING), 0)
        if denied := next((len(w) for w in NOT_A_THING if self._said(last, w)), 0):
            return Reference(i, last + denied, numbers, "", "bare", "empty")
        if not empty or any(w not in HAS | {"got", "have", "had"} for w in words[: empty - 1]) or empty < 2:
            return None
        return Reference(i, last + empty, numbers, "", "bare", "empty")

    def follows_as(self, i: int) -> Reference | None:
        """ "And the exhaust box follows as number five": the name, a verb of standing and "as"."""
        atoms = self.atoms
        if i < 3 or atoms[i].lower != "as" or atoms[i - 1].lower not in FOLLOWS or atoms[i - 1].after:
            return None
        number, last, word = self._place(i + 1)
        if number is None or not self.due(number) or (last < len(atoms) and not atoms[last - 1].after):
            return None
        role = self._name_before(clause_start_and(self, i - 1), i - 1)
        return Reference(i, last, (number,), word, "named" if word else "bare", role.text) if role is not None else None

    def it_is(self, i: int) -> Reference | None:
        """ "That big box is the hardening tunnel, and in their order it's machine seven": the name told just before."""
        atoms = self.atoms
        if i < 4 or atoms[i - 1].lower not in COPULAS or atoms[i - 2].lower not in ("it", "that") or atoms[i - 1].after:
            return None
        number, last, word = self._place(i)
        if (
            number is None
            or not word
            or (last < len(atoms) and not atoms[last - 1].after and atoms[last].lower != "out")
        ):
            return None
        first, _ = sentence_bounds(atoms, i)
        for k in range(i - 3, first, -1):
            if atoms[k - 1].lower in COPULAS and atoms[k].lower == "the":
                role = self.roles.alone(k + 1)
                return Reference(i, last, (number,), word, "named", role.text) if role is not None else None
        return None

    def with_at(self, i: int) -> Reference | None:
        """ "With the anodize at six", "and the oven at five": a name and its number that is due."""
        atoms = self.atoms
        if i < 3 or atoms[i].lower != "at" or atoms[i - 1].after:
            return None
        number, last, word = self._place(i + 1)
        ends = last >= len(atoms) or atoms[last - 1].after or atoms[last].lower in ("and", "between")
        if number is None or not ends or not self.due(number):
            return None
        role = next((r for k in range(i - 3, i) if (r := self.roles.phrase(k)) is not None and r.end == i), None)
        if role is None or not (role.vocabulary or self.roles.heads.at(atoms, role.end - 1) is not None):
            return None
        before = [a.lower for a in atoms[max(0, role.first - 2) : role.first]]
        led = before[:1] in (["with"], ["and"], ["then"]) and before[-1] in ("the", "a", "an", "your", "our")
        return Reference(i, last, (number,), word, "named" if word else "bare", role.text) if led else None
