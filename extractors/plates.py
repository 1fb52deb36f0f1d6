"""What plates say: maker, model, serial number and year, as people read or spell them aloud.

A name spelled letter by letter beats the name as heard. Nothing is guessed: a maker needs a cue and a name that is
written as one, a serial number a figure, a year a word that makes it the year of build and none that makes it another.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from extractors.codes import Codes
from extractors.noun_phrase import Numbers
from extractors.phrases import Atom, Finder, key
from extractors.plate_names import SPELLING, Names, alike, joined
from extractors.plate_years import HEDGES, Plate
from extractors.word_classes import classes_of
from vocab import Vocabulary

SKIP = frozenset(
    (
        "is 's are was the here it says reads say uh um number no on a an that this in to be of i spell letters "
        "from which its called as gives given states shows stands hang hold wait let me see there we have written "
        "also got they gave give quote"
    ).split()
)
SEASONS = frozenset(
    (
        "spring summer autumn fall winter january february march april may june july august september october november "
        "december early late mid"
    ).split()
)
NEAR_START = 9
"""Sentences in which a name before a model is the maker's of the whole."""
LEADING_ON = frozenset("and under that it is 's the a an on with which its".split())
"""Words between a maker's name and the model."""
PUNCHED = frozenset("punched stamped engraved painted written cast etched riveted handwritten".split())
ASIDE = frozenset("and i it let lemme hang hold wait looks".split())
LENGTHS = frozenset("digits digit figures characters long short handwritten".split())
"""Words of a clause that tells how a number is written."""
WORD = 5
"""So many letters right behind a maker's name spell it, however the name itself was heard; chosen, no source."""

CONTROLLING = frozenset("control controls controller panel plc drive drives screen display readout inverter".split())
GOES_ON = frozenset({"from", "and", "model", "type"})


class Plates(Names):
    """Reads the plates of one transcript."""

    def __init__(self, atoms: Sequence[Atom], numbers: Numbers, vocabulary: Vocabulary) -> None:
        self.atoms, self.codes = atoms, Codes(atoms, numbers)
        self.cues, self.not_year, self.not_maker, self.things, self.parts = _tables(vocabulary)
        self.classes = classes_of(vocabulary)

    def all(self) -> list[Plate]:
        """Every field said, in order; one for each place in the words."""
        out: list[Plate] = []
        i = 0
        while i < len(self.atoms):
            plate = None
            if not self.atoms[i].aside:
                plate = self.told(i)
            if plate is None:
                i += 1
                continue
            out.append(plate)
            if plate.field == "year" and plate.last < len(self.atoms):
                maker = self.by_name(plate.last)
                if maker is not None:
                    out.append(maker)
                    plate = maker
            modelled = self.modelled(plate)
            if modelled is not None:
                out.append(modelled)
                plate = modelled
            dated = self.dated(plate)
            if dated is not None:
                out.append(dated)
                plate = dated
            i = max(i + 1, plate.last)
        return out

    def modelled(self, plate: Plate) -> Plate | None:
        """ "Kelbray, K-E-L-B-R-A-Y, TL 65, serial 2290": letters and a figure that stand alone right behind a maker."""
        k = plate.last
        if plate.field != "maker" or k + 2 >= len(self.atoms) or self.atoms[k - 1].after != "," or not self.lettered(k):
            return None
        code = self.codes.code(k, spaced=True)
        closed = code is not None and bool(self.atoms[code.last - 1].after)
        return Plate(k, code.last, "model", joined(code.text), code.doubt) if code is not None and closed else None

    def told(self, i: int) -> Plate | None:
        """The field that is said from atom i on, or None."""
        return (
            self.cued(i)
            or self.headed(i)
            or self.called(i)
            or self.told_of(i)
            or self.called_by_model(i)
            or self.vintage(i)
            or self.spelled_name(i)
            or self.shown(i)
            or self.year_on_plate(i)
            or self.lone_year(i)
            or self.named_year(i)
        )

    # -- patterns ---------------------------------------------------------------------------------------------------

    def cued(self, i: int) -> Plate | None:
        if self.atoms[i].lower == "number" and (told := self.of_plate(i)) is not None:
            return told
        for field in ("serial", "model", "year", "maker", "plate"):
            found = self.cues[field].at(self.atoms, i)
            if found is None:
                continue
            plate = self.of(field, i, found[0])
            if plate is not None:
                return plate
        return None

    def headed(self, i: int) -> Plate | None:
        """ "Hartnoll Reeve, type 40": a name right before the model or the number; "Hartnoll, one word", "by Reeve",
        in the first sentences."""
        atoms, told = self.atoms, i > 0 and self.atoms[i - 1].lower in ("by", "from") and not self.atoms[i - 1].after
        begins = i == 0 or bool(atoms[i - 1].after) or atoms[i - 1].lower in ("reads", "says")
        if not (told or begins) or not self.capital(i) or self.things.at(atoms, i) is not None:
            return None
        if atoms[i].sentence - atoms[0].sentence > NEAR_START:
            return None
        end = i + 1
        while end < len(atoms) and not atoms[end - 1].after and end - i < 4 and (self.capital(end) or self.joined(end)):
            end += 1
        k = end
        if k < len(atoms) and not atoms[k - 1].after and (thing := self.things.at(atoms, k)) is not None:
            k = thing[0]  # "a Hartnoll machine, model 40"
        if k >= len(atoms) or not atoms[k - 1].after:
            return None
        name = Plate(i, end, "maker", " ".join(a.said for a in atoms[i:end]), sure="loose")
        words = [a.lower for a in atoms[k : k + 2]]
        if words == ["one", "word"] or (words[:1] == ["no"] and self.cues["model"].at(atoms, k + 1) is not None):
            return name
        by = i > 1 and atoms[i - 1].lower == "by" and (atoms[i - 2].lower in ("is", "'s") or bool(atoms[i - 2].after))
        if by and atoms[i].sentence - atoms[0].sentence <= 1:
            return name
        while k < len(atoms) and k - end < 6 and atoms[k].lower in LEADING_ON:
            k += 1
        for field in ("model", "serial"):
            cue = self.cues[field].at(atoms, k) if k < len(atoms) else None
            if cue is not None and self.of(field, k, cue[0]) is not None:
                return name
        return None

    def of_plate(self, i: int) -> Plate | None:
        """ "The plate says ..., number six dash twenty two": the number of a plate, in the sentence of the plate."""
        first = i
        while first > 0 and self.atoms[first - 1].sentence == self.atoms[i].sentence:
            first -= 1
        if not any(self.cues["plate"].at(self.atoms, k) for k in range(first, i)):
            return None
        code = self.codes.code(i + 1, spaced=False) if self.atoms[i].after in ("", ",") else None
        figures = sum(c.isdigit() for c in code.text) if code is not None else 0
        return Plate(i, code.last, "serial", code.text, code.doubt) if code is not None and figures >= 4 else None

    def by_name(self, i: int) -> Plate | None:
        """ "Built in '98 by Harrow Tring", "a 1972 Abernell mill": the maker right behind the year at i."""
        if not self.atoms[i - 1].after and self.capital(i) and self.things.at(self.atoms, i) is None:
            plate = self.name(i, i, cued=False)
            return plate if plate is not None and plate.last < len(self.atoms) else None
        if self.atoms[i].lower != "by" or i == 0 or self.atoms[i - 1].after:
            return None
        return self.name(i, i + 1, cued=True)

    def told_of(self, i: int) -> Plate | None:
        """ "The dryer is a Hollenwade", "it's a router, a Tavernier": a name behind a copula or a pause."""
        atoms = self.atoms
        if atoms[i].lower not in ("a", "an") or i == 0 or i + 2 >= len(atoms):
            return None
        aged = atoms[i + 1].lower in ("old", "genuine", "real", "big", "little") and not atoms[i + 1].after
        if not self.capital(i + 1 + aged):
            return None
        before = atoms[i - 1]
        if not (before.lower in ("is", "'s") and not before.after) and before.after != ",":
            return None
        if i > 1 and atoms[i - 2].lower in CONTROLLING:
            return None  # "the control's a Hartnoll panel"
        if self.things.at(atoms, i + 1 + aged) is not None:
            return None
        plate = self.name(i, i + 1 + aged, cued=True)
        if plate is None or plate.sure == "spelled":
            return plate
        plate = replace(plate, sure="loose")
        end = plate.last
        closed = end >= len(atoms) or bool(atoms[end - 1].after) or atoms[end].lower in GOES_ON
        closed = closed or self.described(end)
        return plate if closed or self.things.at(atoms, end) is not None else None

    def described(self, k: int) -> bool:
        """Whether one or two words for the sort of machine end the clause at k: "a Morland straight side,"."""
        for n in range(k, min(k + 2, len(self.atoms))):
            a = self.atoms[n]
            if a.capital or self.classes.of(a.lower) not in ("content", "describes"):
                return False
            if a.after:
                return True
        return False

    def year_on_plate(self, i: int) -> Plate | None:
        """ "It says 2013 on the tag", "2011 on the certificate", "gives 2012 for the year"."""
        found = self.codes.year_at(i)
        if found is None or not found[2] or found[1] + 2 >= len(self.atoms) or self.otherwise(i, i):
            return None
        words = [a.lower for a in self.atoms[found[1] : found[1] + 3]]
        if words in (["for", "the", "year"], ["as", "the", "year"], ["for", "its", "year"], ["as", "its", "year"]):
            return Plate(i, found[1], "year", found[0]) if not self.atoms[found[1] - 1].after else None
        on = words[0] == "on" and words[1] in ("the", "its", "that", "this") and not self.atoms[found[1] - 1].after
        cue = self.cues["plate"].at(self.atoms, found[1] + 2) if on else None
        certified = on and self.atoms[found[1] + 2].lower == "certificate"
        return Plate(i, found[1], "year", found[0]) if cue is not None or certified else None

    def of(self, field: str, i: int, end: int) -> Plate | None:
        atoms = self.atoms
        if field == "plate":
            k = next(
                (
                    k
                    for k in range(end, min(end + 12, len(atoms)))
                    if atoms[k].lower in ("says", "reads", "shows", "say", "read", "gives", "states")
                ),
                None,
            )
            if k is None or k + 1 >= len(atoms) or not self.told_by(i, k):
                return None
            if self.cues["model"].at(atoms, k + 1) or self.cues["serial"].at(atoms, k + 1):
                return None
            year = self.codes.year_at(k + 1)
            if year is not None and year[2] and not self.otherwise(i, k + 1):
                return Plate(i, year[1], "year", year[0])
            said = self.name(i, k + 1, cued=True)
            ended = atoms[k + 1].sentence != atoms[k].sentence  # "that's what the tag says. Inlet air is"
            return said if said is None or not ended or said.sure == "spelled" else None
        k = self.skip(end, field)
        if k is None and field == "year":
            k = self.behind_a_look(end)
        if k is None and field == "maker":
            return self.spelled_soon(i, end)
        if k is None or (i and atoms[i - 1].lower in ("no", "phone", "telephone") and not atoms[i - 1].after):
            return None
        if field == "maker":
            return self.name(i, k, cued=True)
        if field == "year":
            return self.year(i, end, k)
        if (
            field == "model"
            and atoms[i].lower == "type"
            and (k > end or atoms[end - 1].after)
            and not any(a.lower in ("is", "'s", "number") for a in atoms[i:k])
            and not (atoms[end - 1].after == "," and (i == 0 or atoms[i - 1].sentence != atoms[i].sentence))
            and not (k == end and i and atoms[i - 1].lower in ("a", "the") and self.lettered(k))
        ):
            return (
                None  # but "Type, HG 3006." reads a plate line by line, and "a type, HG 3006" tells what stands there
            )
        code = self.codes.code(k, spaced=field == "model")
        if code is not None and atoms[i].lower == "type" and not any(c.isalpha() for c in code.text):
            return None
        if code is None or (field == "serial" and not any(c.isdigit() for c in code.text)):
            return None
        if field == "model" and not any(c.isdigit() or c.isupper() for c in code.text):
            return None
        if field == "serial" and (stop := self.year_within(k, code.last)) is not None:
            code = self.codes.code(k, spaced=False, stop=stop) or code
        doubt = code.doubt
        if {"ends", "ending", "last"} & {a.lower for a in atoms[i:k]}:
            doubt = "only its end could be read"
        return Plate(i, code.last, field, joined(code.text), doubt)

    def year_within(self, k: int, end: int) -> int | None:
        """Where a whole year begins behind a pause and ends a code: "serial two two nine, nineteen seventy-four"."""
        for n in range(k + 1, end):
            found = self.codes.year_at(n) if self.atoms[n - 1].after == "," else None
            if found is not None and found[2] and found[1] == end and n - k > 1:
                return n
        return None

    def spelled_soon(self, i: int, end: int) -> Plate | None:
        """The letters within a few words of a cue, where the name itself was heard as other words.

        "Maker is tour van. T-O-R-V-A-N-N-E."
        """
        atoms = self.atoms
        for k in range(end, min(end + 6, len(atoms))):
            if atoms[k].sentence - atoms[i].sentence > 1:
                return None
            spelled = self.codes.letters(k)
            if spelled is not None and len(spelled.text) >= 4:
                return Plate(i, spelled.last, "maker", spelled.text.capitalize(), spelled.doubt, sure="spelled")
        return None

    def skip(self, k: int, field: str) -> int | None:
        """The first atom behind a cue that may be the value."""
        atoms = self.atoms
        start = k = self.behind_aside(k) if field in ("serial", "model") else k
        while k < len(atoms) and k - start < 7 and atoms[k].sentence == atoms[start - 1].sentence:
            a = atoms[k]
            value = (
                self.capital(k)
                if field == "maker"
                else self.codes.year_at(k) is not None
                if field == "year"
                else self.codes.part(k) is not None and a.said not in ("a", "I", "i", "no", "No")
            )
            value = value or (
                field == "model"
                and len(a.said) <= 3
                and a.said.isalpha()
                and a.lower not in SKIP
                and (nxt := self.codes.part(k + 1)) is not None
                and nxt[2] in ("number", "figures", "digit")
            )
            value = value or (field == "model" and self.named_figure(k))
            if value:
                return k
            if a.lower in PUNCHED and field == "serial" and a.after == ",":
                k += 1  # "the serial's handwritten, 0298"
                start = k
                continue
            if a.lower in PUNCHED and field == "serial" and [b.lower for b in atoms[k + 1 : k + 2]] in (["on"], ["in"]):
                k += 1  # "serial is stamped on the crown, 88162"
                continue
            if (
                a.lower in ("on", "in", "off", "from")
                and k + 2 < len(atoms)
                and atoms[k + 1].lower == "the"
                and (field in ("serial", "maker") or (field == "year" and self.year_behind(k)))
            ):
                end = next((n for n in range(k + 2, min(k + 8, len(atoms))) if atoms[n].after), k + 2)
                k = end + 1  # "a serial on the door, 20817", "in the casting by the flywheel, 70"
                start = k - 1
                continue
            if field == "year" and (a.lower in SEASONS or a.lower in ("the", "of")):
                k += 1
                continue
            if (
                a.lower not in SKIP
                and not (field in ("maker", "year") and self.things.at(atoms, k))
                and a.lower not in HEDGES
                and not (field == "year" and a.lower in ("tag", "plate"))
            ):
                return None
            k += 1
        return (
            k
            if k < len(atoms)
            and k > start
            and atoms[k].sentence == atoms[start - 1].sentence
            and self.codes.part(k) is not None
            and field != "maker"
            else None
        )

    def year_behind(self, k: int) -> bool:
        """Whether a year stands behind the pause after a place at k: "year's on the brass, 1991"."""
        end = next((n for n in range(k, min(k + 6, len(self.atoms))) if self.atoms[n].after), None)
        if end is None or self.atoms[end].after != ",":
            return False
        found = self.codes.year_at(end + 1)
        return found is not None and found[2]

    def behind_aside(self, k: int) -> int:
        """ "Serial, lemme get down here, is 4117", "serial for the left one is", "the model on the chiller tag is": at
        the word that leads to the value, where words without a figure stand before it; else k."""
        atoms = self.atoms
        here = [a.lower for a in atoms[k : k + 3]]
        if here in (["on", "this", "one"], ["on", "that", "one"], ["for", "this", "one"]):
            k += 3
        paused = k > 0 and atoms[k - 1].after == ","
        if paused and k < len(atoms) and atoms[k].lower in ASIDE:
            end = next((n for n in range(k, min(k + 8, len(atoms))) if atoms[n].after == ","), None)
            clear = end is not None and not any(c.isdigit() for a in atoms[k : end + 1] for c in a.said)
            if end is not None and clear and self.codes.part(end + 1) is not None:
                return end + 1  # "serial on this one, and I'll read it slow, G as in golf"
        if not paused and k < len(atoms) and atoms[k].lower in ("i", "we"):
            end = next((n for n in range(k, min(k + 5, len(atoms))) if atoms[n].after), None)
            if end is not None and atoms[end].after == ",":
                end += 2 * ([a.lower for a in atoms[end + 1 : end + 3]] in (["it", "'s"], ["it", "is"], ["that", "'s"]))
                if self.codes.part(end + 1) is not None:
                    return end + 1  # "model number I did find, BM 42", "serial I can read, it's 2 0 1"
        if paused and k < len(atoms):
            end = next((n for n in range(k, min(k + 6, len(atoms))) if atoms[n].after), None)
            described = {a.lower for a in atoms[k : end + 1]} & LENGTHS if end is not None else set()
            if end is not None and atoms[end].after == "," and described and self.codes.part(end + 1) is not None:
                return end + 1  # "the serial, four digits, 6012"
        placed = k < len(atoms) and atoms[k].lower in (*PUNCHED, "for", "on", "of", "off", "from", "at")
        if not (paused or placed):
            return k
        for end in range(k + 1, min(k + 8, len(atoms))):
            if atoms[end].sentence != atoms[k].sentence or any(c.isdigit() for c in atoms[end - 1].said):
                return k
            leads = atoms[end].lower in ("is", "'s") and (atoms[end - 1].after == "," if paused else True)
            if leads:
                return end
        return k

    def called(self, i: int) -> Plate | None:
        """ "It's a Velmorak", "they're all Velmorak", "all of 'em Velmorak"."""
        atoms = self.atoms
        words = [a.lower for a in atoms[i : i + 4]]
        if words[:2] in (
            ["it", "'s"],
            ["she", "'s"],
            ["he", "'s"],
            ["this", "is"],
            ["that", "'s"],
            ["these", "are"],
            ["it", "is"],
            ["they", "'re"],
            ["they", "are"],
        ):
            many = words[0] in ("they", "these")
            k = i + 2
            if k < len(atoms) and atoms[k].lower in (("all", "both") if many else ("a", "an")):
                k += 1
            elif not many:
                return None  # "it's Hannah" says who speaks
        elif words[:2] in (["of", "'em"], ["of", "them"], ["of", "these"], ["of", "those"], ["all", "from"]) or words[
            :1
        ] == ["make"]:
            k = i + 2
        else:
            return None
        if k >= len(atoms) or any(a.after for a in atoms[i:k]) or not self.capital(k):
            return None
        return self.name(i, k, cued=False)

    def told_by(self, i: int, k: int) -> bool:
        """Whether "says" at k is said of the plate at i: in its sentence, or as the first word of the next."""
        apart = self.atoms[k].sentence - self.atoms[i].sentence
        return apart == 0 or (apart <= 2 and self.atoms[k - 1].sentence != self.atoms[k].sentence)

    # -- values -----------------------------------------------------------------------------------------------------

    def capital(self, k: int) -> bool:
        """Whether the atom may be (the first word of) a name: a capital, and no word of the tables."""
        if k >= len(self.atoms):
            return False
        a = self.atoms[k]
        if not a.capital or len(a.said) < 2 or a.lower in self.not_maker or a.aside:
            return False
        return self.classes.of(a.lower) in ("content", "acts", "describes", "name") and not (
            a.said.isupper() and len(a.said) <= 3
        )

    def name(self, i: int, k: int, *, cued: bool) -> Plate | None:
        """A maker's name from atom k, with its letters where they follow."""
        atoms = self.atoms
        end = k
        while (
            end < len(atoms)
            and end - k < 4
            and (self.capital(end) or (end > k and self.joined(end)))
            and atoms[end].sentence == atoms[k].sentence
        ):
            if end > k and (self.cues["model"].at(atoms, end) or self.cues["serial"].at(atoms, end)):
                break
            end += 1
            if atoms[end - 1].after:
                break
        m = end
        while m < len(atoms) and not self.spelling_from(m) and atoms[m].lower in SPELLING | {"with", "spelt"}:
            m += 1
        spelled = self.codes.letters(m) if m < len(atoms) and atoms[m].sentence - atoms[k].sentence <= 1 else None
        if end == k:
            if spelled is None or not cued:
                return None
            return Plate(i, spelled.last, "maker", spelled.text.capitalize(), spelled.doubt, sure="spelled")
        said = " ".join(a.said for a in atoms[k:end])
        letters_behind = cued and spelled is not None and len(spelled.text) >= WORD  # whatever was heard before them
        if spelled is not None and end - k > 1 and not atoms[k].after:
            # "Orrin Kessler Company, K-E-S-S-L-E-R": one word of the name is spelled
            near = [n for n in range(k, end) if alike(spelled.text, atoms[n].said) and not alike(spelled.text, said)]
            ratio = [n for n in range(k, end) if atoms[n].said.lower() == spelled.text.lower()]
            if (ratio or near) and len(spelled.text) <= max(len(atoms[n].said) for n in range(k, end)) + 2:
                one = (ratio or near)[0]
                text = " ".join(spelled.text.capitalize() if n == one else atoms[n].said for n in range(k, end))
                return Plate(i, spelled.last, "maker", text, spelled.doubt, sure="spelled")
        if (
            spelled is not None
            and said.lower() != spelled.text.lower()
            and end - k == 1
            and _begins(said, spelled.text)
        ):
            return Plate(i, spelled.last, "maker", said, sure="spelled")  # only its first letters
        if spelled is not None and (letters_behind or alike(spelled.text, said)):
            return Plate(i, spelled.last, "maker", spelled.text.capitalize(), spelled.doubt, sure="spelled")
        if not cued:
            behind = atoms[end].lower if end < len(atoms) and not atoms[end - 1].after else ""
            if (behind and not self.things.at(atoms, end) and not self.cues["model"].at(atoms, end)) or self.things.at(
                atoms, k
            ):
                return None
        return Plate(i, end, "maker", said, sure="cued" if cued else "loose")


def _begins(said: str, spelled: str) -> bool:
    """Whether letters spell the beginning of a name only: "Sollertech, S-O-L-L-E-R"."""
    return len(said) - len(spelled) >= 3 and said.lower().startswith(spelled.lower())


@lru_cache(maxsize=16)
def _tables(
    vocabulary: Vocabulary,
) -> tuple[dict[str, Finder[str]], frozenset[str], frozenset[str], Finder[str], Finder[str]]:
    """Cues by field, words that make a year another event's, words that are no maker; things, and the parts of them."""
    rows = list(vocabulary["identity"])
    cues = {
        f: Finder([(s, s) for r in rows if r["field"] == f for s in r["spoken"]], nouns=False)
        for f in {r["field"] for r in rows}
    }
    single = {
        f: frozenset(s for r in rows if r["field"] == f for s in r["spoken"] if len(key(s)) == 1)
        for f in ("not year", "not maker")
    }
    single["not maker"] |= {
        n for r in vocabulary["components"] if r["grade"] == "never" for n in r["names"] if " " not in n
    }
    things = [(n, n) for r in vocabulary["components"] if r["grade"] != "never" for n in r["names"]]
    things += [(n, n) for r in vocabulary["wholes"] for n in r["names"]]
    parts = [(n, n) for r in vocabulary["components"] if r["grade"] == "part" for n in r["names"]]
    return cues, single["not year"], single["not maker"], Finder(things), Finder(parts)
