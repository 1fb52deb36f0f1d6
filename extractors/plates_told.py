"""Plates told about rather than read out: "it reads Harlow", "name on the base is Tessin", "Manufacturer. Tessin."."""

from __future__ import annotations

from extractors.phrases import clause_start
from extractors.plate_names import FIRMS
from extractors.plate_years import LOOKING, MADE, Plate
from extractors.plates import PUNCHED, Plates

READS = frozenset("says reads shows".split())
STRUCK = PUNCHED | frozenset("badged lettered marked branded".split())
UNREAD = frozenset(
    "unknown none nothing illegible gone blank missing unreadable rust rusted worn scratched painted nobody nowhere "
    "can't cannot couldn't sorry no not same see".split()
)
"""Words behind a heading that say that it could not be read."""
FIRM_WORDS = frozenset(
    (
        "machines machinery works engineering systems industries manufacturing company brothers sons foundry tools "
        "equipment technologies maschinenbau gmbh ltd limited inc corporation corp filtration ironworks bros werke "
        "maschinen process fabrication"
    ).split()
)
"""Last words of the names of firms."""
NAMED_ON = 6
"""Atoms of the place that a name stands on, at most; common practice, no source."""
SHOWN_SOON = 2
"""Sentences behind a plate in which it is read."""


class PlatesTold(Plates):
    """Reads the plates of one transcript, those told about as well."""

    def told(self, i: int) -> Plate | None:
        return (
            super().told(i)
            or self.called_firm(i)
            or self.name_on(i)
            or self.it_reads(i)
            or self.plate_is(i)
            or self.struck(i)
            or self.heading(i)
            or self.firm(i)
        )

    def dated(self, plate: Plate) -> Plate | None:
        """The year right behind a maker, or behind a number and a pause: "serial 2291, nineteen seventy-four"."""
        k = plate.last
        if plate.field not in ("serial", "model") or k >= len(self.atoms) or self.atoms[k - 1].after != ",":
            return super().dated(plate)
        if plate.field == "model" and (built := self.built_then(plate)) is not None:
            return built
        k += self.atoms[k].lower == "from"  # "type PT 24, from 2011."
        found = self.codes.year_at(k) if k < len(self.atoms) else None
        closed = found is not None and (found[1] >= len(self.atoms) or self.atoms[found[1] - 1].after)
        if found is None or not found[2] or not closed or self.otherwise(plate.first, k):
            return None
        return Plate(k, found[1], "year", found[0])

    def called_firm(self, i: int) -> Plate | None:
        """ "Built by a plating house called Corrin Systems": the name of a firm that is told to have made it."""
        atoms = self.atoms
        if atoms[i].lower not in ("called", "named") or i < 2 or atoms[i - 1].lower not in FIRMS or atoms[i].after:
            return None
        made = {a.lower for a in atoms[clause_start(atoms, i) : i]} & (MADE | {"by"})
        return self.name(i, i + 1, cued=True) if made and self.capital(i + 1) else None

    def name_on(self, i: int) -> Plate | None:
        """ "Name on the door is Prunell", "the name on the base casting, Vermeul"."""
        atoms = self.atoms
        if atoms[i].lower not in ("name", "badge", "brand") or [a.lower for a in atoms[i + 1 : i + 2]] != ["on"]:
            return None
        for k in range(i + 2, min(i + 2 + NAMED_ON, len(atoms) - 1)):
            leads = atoms[k].lower in {"is", "'s", "was"} | READS and not atoms[k].after
            if atoms[k].sentence != atoms[i].sentence or (atoms[k].after and atoms[k].after != ","):
                return None
            if (leads or atoms[k].after == ",") and self.capital(k + 1):
                return self.name(i, k + 1, cued=True)
        return None

    def it_reads(self, i: int) -> Plate | None:
        """ "The plate's on the drive side. It reads Hallrad, model 8": the sentence behind the one of the plate."""
        atoms = self.atoms
        if atoms[i].lower not in ("it", "that", "this") or i + 2 >= len(atoms) or atoms[i + 1].lower not in READS:
            return None
        if i == 0 or atoms[i - 1].sentence == atoms[i].sentence or atoms[i + 1].after or not self.capital(i + 2):
            return None
        plates = [
            k
            for k in range(i - 1, -1, -1)
            if 0 < atoms[i].sentence - atoms[k].sentence <= SHOWN_SOON and self.cues["plate"].at(atoms, k) is not None
        ]
        return self.name(i, i + 2, cued=True) if plates else None

    def plate_is(self, i: int) -> Plate | None:
        """ "Nameplate is Kettler, model 250", "plate says, let me wipe it, Okkenfeld"."""
        atoms = self.atoms
        found = self.cues["plate"].at(atoms, i)
        if found is None or found[0] + 1 >= len(atoms) or atoms[found[0] - 1].after not in ("", ","):
            return None
        k = found[0]
        if atoms[k - 1].after:
            return self._behind_pause(i, k)
        if atoms[k].lower in ("is", "'s") and not atoms[k].after and self.capital(k + 1):
            return self.name(i, k + 1, cued=True)
        looks = atoms[k].lower in READS and atoms[k].after == "," and atoms[k + 1].lower in LOOKING
        end = next((n + 1 for n in range(k + 1, min(k + 8, len(atoms))) if atoms[n].after), None) if looks else None
        return self.name(i, end, cued=True) if end is not None and self.capital(end) else None

    def _behind_pause(self, i: int, k: int) -> Plate | None:
        """ "Nameplate, Halver Laundry Systems, model 14": a name, and the model or the number right behind it."""
        atoms, end = self.atoms, k
        while end < len(atoms) and end - k < 4 and (self.capital(end) or (end > k and self.joined(end))):
            end += 1
            if atoms[end - 1].after:
                break
        if end == k or end >= len(atoms) or atoms[end - 1].after != ",":
            return None
        cue = self.cues["model"].at(atoms, end) or self.cues["serial"].at(atoms, end)
        return Plate(i, end, "maker", " ".join(a.said for a in atoms[k:end])) if cue is not None else None

    def struck(self, i: int) -> Plate | None:
        """ "On the frame it's stamped Arvin Frost", "the lids are cast Pyle": a name struck into the machine."""
        atoms = self.atoms
        if atoms[i].lower not in STRUCK or atoms[i].after or i == 0 or not self.capital(i + 1):
            return None
        if atoms[i - 1].lower not in ("is", "'s", "are") or self.things.at(atoms, i + 1) is not None:
            return None
        return self.name(i, i + 1, cued=True)

    def heading(self, i: int) -> Plate | None:
        """ "Manufacturer. Vanderey.": a cue that is its own sentence, and a name that is the next."""
        atoms = self.atoms
        found = self.cues["maker"].at(atoms, i)
        if found is None or found[0] >= len(atoms) or atoms[found[0] - 1].after not in (".", ":"):
            return None
        first = i - (i > 0 and atoms[i - 1].lower == "the")
        if first and atoms[first - 1].sentence == atoms[i].sentence:
            return None
        k = end = found[0]
        while end < len(atoms) and end - k < 3 and self.capital(end) and atoms[end].lower not in UNREAD:
            end += 1
            if atoms[end - 1].after:
                break
        closed = end > k and bool(atoms[end - 1].after) and self.things.at(atoms, k) is None
        return self.name(i, k, cued=True) if closed else None

    def firm(self, i: int) -> Plate | None:
        """ "It's Penhale Bakery Machines": a name that ends as the names of firms do."""
        atoms = self.atoms
        if atoms[i].lower not in ("it", "she", "they", "that") or i + 3 >= len(atoms):
            return None
        if atoms[i + 1].lower not in ("'s", "is", "'re", "are") or atoms[i + 1].after:
            return None
        k = end = i + 2
        while end < len(atoms) and end - k < 5 and (atoms[end].capital or atoms[end].lower in ("and", "&")):
            end += 1
            if atoms[end - 1].after:
                break
        named = end - k > 1 and atoms[end - 1].lower in FIRM_WORDS and self.capital(k)
        text = " ".join(a.said for a in atoms[k:end])
        return Plate(i, end, "maker", text) if named else None
