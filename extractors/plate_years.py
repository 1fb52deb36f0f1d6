"""Years of build as people say them: "built in ninety-eight", "an oh-six model", "it's a 2005"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from extractors.codes import DIGITS, TEENS, TENS, Codes
from extractors.phrases import Atom, Finder, clause_start, is_plural, sentence_bounds
from extractors.word_classes import Classes

MADE = frozenset({"made", "built", "manufactured", "constructed", "produced", "fabricated"})
MADE_WHAT = frozenset("it this that her him them these those all by the".split())
"""Words behind "built" where it tells who built what is shown."""
HEDGES = frozenset(
    (
        "about around roughly maybe perhaps probably think guess reckons reckon believe supposedly early late mid circa"
    ).split()
)

DENYING = frozenset("don't won't can't cannot not wouldn't couldn't".split())
CLAIMING = frozenset("say swear think believe claim guess know".split())
LOOKING = frozenset("let lemme hang hold wait give just where bear i'll one if mind excuse sorry".split())
"""First words of a clause of looking between a cue and its year."""
VERBS_OF_BUILDING = frozenset("is are was were 's 're been came all both put bought".split())
"""Words between what is built and the word that says so."""


@dataclass(frozen=True, slots=True)
class Plate:
    """One field as said: atoms first to last (excluded)."""

    first: int
    last: int
    field: str
    value: str | int
    doubt: str | None = None
    hedged: bool = False
    sure: str = "cued"
    """Of a maker: spelled letter by letter, cued by a word ("built by"), or loose ("it's a ...")."""


class Years:
    """Reads years of build; a base of the reader of plates, which fills the fields."""

    atoms: Sequence[Atom]
    codes: Codes
    classes: Classes
    cues: dict[str, Finder[str]]
    not_year: frozenset[str]
    things: Finder[str]
    parts: Finder[str]

    def capital(self, k: int) -> bool:
        raise NotImplementedError

    def lone_year(self, i: int) -> Plate | None:
        """A year that is a whole sentence among the first ones ("Lathe first. Nineteen ninety-seven.")."""
        atoms = self.atoms
        found = self.codes.year_at(i) if atoms[i].sentence - atoms[0].sentence <= 6 else None
        if found is None or not found[2] or (i and atoms[i - 1].sentence == atoms[i].sentence):
            return None
        if found[1] < len(atoms) and atoms[found[1]].sentence == atoms[i].sentence:
            return None
        return Plate(i, found[1], "year", found[0], "said alone: taken for the year of build")

    def named_year(self, i: int) -> Plate | None:
        """A year alone between pauses right behind a machine's name: "Palletizer, 2015.", "a lathe, 1988, ..."."""
        atoms = self.atoms
        if not i or atoms[i - 1].after != "," or atoms[i - 1].sentence != atoms[i].sentence:
            return None
        found = self.codes.year_at(i)
        if found is None or not found[2] or self.otherwise(i, i):
            return None
        ends = found[1] >= len(atoms) or atoms[found[1] - 1].after in (",", ".", ";")
        named = [j for j in range(max(0, i - 3), i) if (hit := self.things.at(atoms, j)) is not None and hit[0] == i]
        # "new band, 2020": a part put in later
        name = bool(named) and not any(a.lower in ("new", "newer") for a in atoms[max(0, named[0] - 2) : i])
        doubt = "said beside the name: taken for the year of build"
        return Plate(i, found[1], "year", found[0], doubt) if ends and name else None

    def dated(self, plate: Plate) -> Plate | None:
        """ "Made by Castlewright, in 2008": the year right behind a maker, or behind its letters."""
        atoms, k = self.atoms, plate.last
        if k >= len(atoms) or atoms[k].sentence != atoms[k - 1].sentence:
            return None
        if plate.field != "maker":
            return None
        if (behind := self.built_then(plate)) is not None:
            return behind
        # "Marlow built her, nineteen eighty-seven"
        made = [a.lower for a in atoms[k : k + 2]]
        if made and made[0] in MADE and not atoms[k].after and k + 2 < len(atoms):
            k += 2
        by = {a.lower for a in atoms[plate.first : plate.first + 3]} & (MADE | {"put", "installed", "supplied"})
        pause = k == plate.last and atoms[k - 1].after == ","
        if not by and k == plate.last and not pause and atoms[k].lower not in ("from", "in", "back"):
            return None
        if not by and atoms[k].lower in ("in", "back") and atoms[k - 1].after:
            return None
        k += atoms[k].lower == "back"
        if not by and k == plate.last and atoms[k - 1].after == ",":
            # "a Hollis Marr, two thousand seventeen"
            alone = self.codes.year_at(k)
            ends = alone is not None and (alone[1] >= len(atoms) or bool(atoms[alone[1] - 1].after))
            return Plate(k, alone[1], "year", alone[0]) if alone is not None and ends and alone[2] else None
        # "built by Castlewright in 2008", "built by Castlewright, 2008"
        found = self.codes.year_at(k + 1 if atoms[k].lower in ("in", "from") else k)
        return Plate(k, found[1], "year", found[0]) if found is not None and found[2] else None

    def built_then(self, plate: Plate) -> Plate | None:
        """ "Castlewright built it, a model 40, in 2008", "an outfit called Reeve made it, R-E-E-V-E, back in '98"."""
        atoms, k = self.atoms, plate.last
        if not k or atoms[k - 1].after not in (",", "") or atoms[k].lower not in ("in", "back", "around", "about"):
            return None
        says = [a.lower for a in atoms[sentence_bounds(atoms, k)[0] : plate.last]]
        built = any(a in MADE and b in MADE_WHAT for a, b in pairwise(says))
        k += 1 + (atoms[k].lower == "back" and atoms[k + 1 : k + 2] != [] and atoms[k + 1].lower in ("in", "about"))
        found = self.codes.year_at(k)
        if not built or found is None or self.otherwise(plate.last, k):
            return None
        ends = found[1] >= len(atoms) or bool(atoms[found[1] - 1].after)
        doubt = None if found[2] else "two figures of the year said"
        return Plate(k, found[1], "year", found[0], doubt) if ends else None

    def vintage(self, i: int) -> Plate | None:
        """ "An oh-six model", "it's an oh-four", "a 1996 lathe", "..., oh-nine model year"."""
        atoms = self.atoms
        if i and atoms[i - 1].after and (bare := self.codes.year_at(i)) is not None and not self.otherwise(i, i):
            end = bare[1]
            if end < len(atoms) and not atoms[end - 1].after and self.cues["vintage"].at(atoms, end) is not None:
                return Plate(i, end, "year", bare[0], None if bare[2] else "two figures of the year said")
        if atoms[i].lower not in ("a", "an") or i + 1 >= len(atoms) or atoms[i].after:
            return None
        found = self.codes.year_at(i + 1)
        if found is None or self.otherwise(i, i + 1):
            return None
        year, end, full = found
        subject = [a.lower for a in atoms[max(0, i - 3) : i]]
        told = any(w in ("'s", "is", "she", "it", "are", "'re") for w in subject)
        behind = atoms[end].lower if end < len(atoms) and not atoms[end - 1].after else ""
        named = bool(behind) and (
            self.cues["vintage"].at(atoms, end) is not None or (full and self.things.at(atoms, end) is not None)
        )
        ends = end >= len(atoms) or bool(atoms[end - 1].after) or behind in ("i", "so", "and", "but", "by", "according")
        # "she's a nineteen seventy-two Abernell"
        told = told and (ends or (full and end < len(atoms) and self.capital(end)))
        if not (named or told):
            return None
        if not full and end - i == 2 and atoms[i + 1].lower in self.numbers_words() and not named and not told:
            return None
        hedged = any(a.lower in HEDGES for a in atoms[max(0, i - 6) : end])
        return Plate(i, end, "year", year, None if full else "two figures of the year said", hedged)

    @staticmethod
    def numbers_words() -> frozenset[str]:
        return frozenset(DIGITS) | frozenset(TEENS) | frozenset(TENS)

    def year(self, i: int, end: int, k: int) -> Plate | None:
        """The year behind a cue such as "built in"."""
        found = self.codes.year_at(k)
        cue = " ".join(a.lower for a in self.atoms[i:end])
        if found is None or self.otherwise(i, k) or self.of_parts(i) or self.unsaid(i):
            return None
        year, last, full = found
        if not full and last < len(self.atoms) and self.atoms[last].lower == "of":
            return None  # "date code oh nine of seventeen"
        short = self.atoms[k].lower not in ("oh", "o", "aught") and "'" not in self.atoms[k].said
        if not full and short and cue in ("from", "built", "year", "dated", "date is", "date", "commissioned"):
            return None
        if cue == "from" and not any(
            a.lower in ("it", "she", "'s", "is", "are", "machine", "date", "dates")
            for a in self.atoms[max(clause_start(self.atoms, i), i - 7) : i]
        ):
            return None
        # "a year and a half", "every year 200 …", "the year 2000 bug": the figure must end its words
        if (
            last < len(self.atoms)
            and not self.atoms[last - 1].after
            and self.classes.of(self.atoms[last].lower) == "unit"
        ):
            return None
        hedged = any(a.lower in HEDGES for a in self.atoms[max(0, i - 5) : k])
        return Plate(i, last, "year", year, None if full else "two figures of the year said", hedged)

    def behind_a_look(self, k: int) -> int | None:
        """ "Year, let me wipe that, 2012", "year built, hang on, 2012": at a whole year behind a clause of looking."""
        atoms = self.atoms
        if k >= len(atoms) or not atoms[k - 1].after or atoms[k].lower not in LOOKING:
            return None
        end = next((n + 1 for n in range(k, min(k + 7, len(atoms))) if atoms[n].after), len(atoms))
        found = self.codes.year_at(end) if end < len(atoms) else None
        return end if found is not None and found[2] else None

    def of_parts(self, i: int) -> bool:
        """Whether the subject right before the cue at i is a part or several things: "batteries were new in 2023"."""
        atoms, start = self.atoms, clause_start(self.atoms, i)
        end = i
        while end > start and atoms[end - 1].lower in VERBS_OF_BUILDING:
            end -= 1
        if end == i and atoms[i].lower not in VERBS_OF_BUILDING:
            return False
        if end > start and atoms[end - 1].lower in ("itself", "alone"):
            return True  # "the belt itself was new in 2018": told apart from what it belongs to
        for k in range(start, end):
            part = self.parts.at(atoms, k)
            if part is not None and part[0] == end:
                return True
            thing = self.things.at(atoms, k)
            if thing is not None and thing[0] == end:
                return is_plural(atoms[end - 1].lower)
        return False

    def unsaid(self, i: int) -> bool:
        """Whether the clause of the cue at i says that nobody says so: "I don't say it's built in '96"."""
        words = [a.lower for a in self.atoms[clause_start(self.atoms, i) : i]]
        return any(w in DENYING and v in CLAIMING for w, v in pairwise(words))

    def otherwise(self, i: int, k: int) -> bool:
        """Whether words of the clause make the year that of another event: relined, rebuilt, replaced."""
        start = clause_start(self.atoms, i)
        words = {a.lower for a in self.atoms[start:k]}
        if {"new", "in"} <= words or {"brand", "new"} <= words:
            words -= {"new", "installed", "in", "bought", "purchased"}  # "it was new in 1998": as good as built
        built = {"built", "manufactured", "constructed", "made", "construction", "manufacture", "build"} & words
        return any(w in words and not (w == "new" and built) for w in self.not_year) or (
            {"put", "in"} <= words and not built and "put" in words
        )
