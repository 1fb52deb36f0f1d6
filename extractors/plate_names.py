"""Names on plates that no cue leads: a maker's name with its letters behind it, a model by its letters and figure."""

from __future__ import annotations

import re
from difflib import SequenceMatcher

from extractors.plate_years import Plate, Years

FIRMS = frozenset("house outfit outfits firm company crowd people shop maker builder bunch".split())
"""Words before "called X", where X made it."""
MAKERS = frozenset({"maker", "manufacturer", "builder", "make", "brand", "makers", "builders"})
JOINED = re.compile(r"(?<![\w-])\d(?:(?:-\d){2,}|(?: \d)+)(?![\w-])")
"""Figures of a code that were said or written one by one: "0-9-2-6", "RS 1 3 2"."""
SPELLING = frozenset("i spell spelled that 's is say the letters letter by built made it this them".split())
"""Words between a name and its letters."""
IS_A = frozenset({"a", "an", "the"})
BELOW = frozenset({"under", "below", "beneath", "underneath"})
CALLS = frozenset({"calls", "call", "called"})


class Names(Years):
    """Reads names without a cue; a base of the reader of plates, which fills the fields."""

    not_maker: frozenset[str]

    def name(self, i: int, k: int, *, cued: bool) -> Plate | None:
        raise NotImplementedError

    def called_by_model(self, i: int) -> Plate | None:
        """ "She's a CB 30.", "the laser's an LT 44,", "they're the TV 90", "under that RC 12", "calls it an SX 60":
        letters and a figure that end their clause."""
        atoms = self.atoms
        if i == 0 or i + 2 >= len(atoms):
            return None
        word, before = atoms[i].lower, atoms[i - 1].lower
        if word in IS_A:
            # "it's the DX 4 that leaks" tells one of several: "the" only of them all
            told = before in ("'s", "is") if word != "the" else before in ("'re", "are")
            told = told or (before in ("it", "them", "this") and i > 1 and atoms[i - 2].lower in CALLS)
        else:
            told = word in ("that", "it", "this", "which") and before in BELOW
        if not told or atoms[i].after or not self.lettered(i + 1):
            return None
        code = self.codes.code(i + 1, spaced=True)
        closed = code is not None and bool(atoms[code.last - 1].after)
        return Plate(i, code.last, "model", joined(code.text), code.doubt) if code is not None and closed else None

    def lettered(self, k: int) -> bool:
        """Whether a code of letters and then figures begins at atom k: "CB 30"."""
        if k >= len(self.atoms):
            return False
        letters = self.atoms[k].said
        if not (letters.isupper() and letters.isalpha() and len(letters) <= 4) or letters.lower() in self.not_maker:
            return False
        code = self.codes.code(k, spaced=True)
        return code is not None and any(c.isdigit() for c in code.text)

    def named_figure(self, k: int) -> bool:
        """Whether a name and its figure stand at atom k: "Ridgeway 40"."""
        a = self.atoms[k]
        figure = self.codes.part(k + 1) if a.capital and len(a.said) > 1 and a.said.isalpha() and not a.after else None
        return figure is not None and figure[2] == "figures"

    def spelled_name(self, i: int) -> Plate | None:
        """A name with its letters behind it, and no cue at all."""
        atoms = self.atoms
        if i + 1 >= len(atoms) or len(atoms[i].said) < 3:
            return None
        alone = atoms[i].sentence != atoms[i + 1].sentence and (i == 0 or atoms[i - 1].sentence != atoms[i].sentence)
        if alone and atoms[i].capital and (own := self.codes.letters(i + 1)) is not None:
            same = own.text.lower() == atoms[i].lower  # "Ostrevane. O-S-T-R-E-V-A-N-E."
            return Plate(i, own.last, "maker", atoms[i].said, own.doubt, sure="spelled") if same else None
        if not self.capital(i) or atoms[i].sentence != atoms[i + 1].sentence:
            return None
        k = i + 1
        while k < len(self.atoms) and not self.spelling_from(k) and self.atoms[k].lower in SPELLING:
            k += 1
        spelled = self.codes.letters(k)
        if spelled is None or not alike(spelled.text, self.atoms[i].said):
            return self.longer_name(i)
        before = i
        while before > 0 and self.capital(before - 1) and not self.atoms[before - 1].after and i - before < 2:
            before -= 1
        first = " ".join(a.said for a in self.atoms[before:i])  # "Torrance Bell, B-E-L-L"
        text = f"{first} {spelled.text.capitalize()}" if first else spelled.text.capitalize()
        return Plate(before, spelled.last, "maker", text, spelled.doubt, sure="spelled")

    def longer_name(self, i: int) -> Plate | None:
        """A name of several words of which one is spelled: "Marlow Stead, M-A-R-L-O-W, new word, ..."."""
        if i and not self.atoms[i - 1].after and self.capital(i - 1):
            return None
        plate = self.name(i, i, cued=False)
        return plate if plate is not None and plate.sure == "spelled" else None

    def spelling_from(self, k: int) -> bool:
        """Whether two single letters stand at k: an I there is the name's own, not the one of "I spell"."""
        return k + 1 < len(self.atoms) and len(self.atoms[k].said) == len(self.atoms[k + 1].said) == 1

    def shown(self, i: int) -> Plate | None:
        """ "Hartnoll, it says on the headstock", "Hartnoll on the nameplate", "Hartnoll is the maker"."""
        atoms = self.atoms
        named = i > 1 and atoms[i - 1].lower in ("called", "named") and atoms[i - 2].lower in FIRMS
        if (i and not atoms[i - 1].after and not named) or not self.capital(i) or self.things.at(atoms, i):
            return None
        end = i + 1
        while end < len(atoms) and not atoms[end - 1].after and (self.capital(end) or self.joined(end)):
            end += 1
        words = [a.lower for a in atoms[end : end + 3]]
        on_plate = (
            words[:2] == ["on", "the"] and end + 2 < len(atoms) and self.cues["plate"].at(atoms, end + 2) is not None
        )
        # "Hartnoll is the maker", "Hartnoll made this"
        told = words[:2] in (["is", "the"], ["was", "the"], ["are", "the"]) and (
            end + 2 < len(atoms) and atoms[end + 2].lower in MAKERS
        )
        # "Hartnoll Reeve, that's the maker"
        told = told or (words == ["that", "'s", "the"] and end + 3 < len(atoms) and atoms[end + 3].lower in MAKERS)
        makes = words[:1] in (["made"], ["built"], ["makes"]) and words[1:2] in (
            ["it"], ["this"], ["these"], ["them"], ["her"], ["him"], ["that"], ["those"],
        )  # fmt: skip
        make = words[:1] in (["make"], ["brand"]) and (end + 1 >= len(atoms) or bool(atoms[end].after))
        said = words[:2] == ["it", "says"] or words == ["is", "what", "it"]
        if not (said or on_plate or told or makes or make):
            return None
        return Plate(i, end, "maker", " ".join(a.said for a in atoms[i:end]))

    def joined(self, k: int) -> bool:
        """Whether an "and" at k joins two names of one firm: "Marlow and Stead"."""
        a = self.atoms[k]
        return a.lower in ("and", "&") and not a.after and self.capital(k + 1) and self.capital(k - 1)


def alike(spelled: str, said: str) -> bool:
    """Whether letters spell the name that was heard, by the letters they share in order."""
    return SequenceMatcher(None, spelled.lower(), said.lower().replace(" ", "")).ratio() >= 0.5


def joined(code: str) -> str:
    """A code with the figures that were said one by one put together: "RS 1 3 2" is RS 132."""
    return JOINED.sub(lambda m: re.sub("[- ]", "", m[0]), code)
