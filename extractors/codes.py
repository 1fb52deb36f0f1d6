"""Codes read aloud: letters one by one, model and serial numbers, years said in two or four figures."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from extractors.noun_phrase import Numbers
from extractors.phrases import Atom

DIGITS = {w: str(n) for n, w in enumerate("zero one two three four five six seven eight nine".split())} | {
    "oh": "0",
    "o": "0",
}
TEENS = {
    w: str(n + 10)
    for n, w in enumerate("ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split())
}
TENS = {w: str(n * 10) for n, w in enumerate("twenty thirty forty fifty sixty seventy eighty ninety".split(), 2)}
SIGNS = {"dash": "-", "hyphen": "-", "minus": "-", "slash": "/", "stroke": "/", "dot": ".", "point": "."}
TIMES = {"double": 2, "triple": 3, "treble": 3}
FILLING = frozenset("and then a uh um er again letter".split())
"""Words between the parts of a code that is read in pieces."""
SPELLING = {
    w: w[0].upper()
    for w in (
        "alpha alfa bravo charlie delta echo foxtrot golf hotel india juliet juliett kilo lima mike november oscar "
        "papa quebec romeo sierra tango uniform victor whiskey whisky xray yankee zulu able baker dog easy fox george "
        "item jig king love nan peter queen roger sugar tare uncle william zebra"
    ).split()
}
"""The radiotelephone spelling alphabet (ICAO Annex 10), and the older one."""
SOUNDS_LIKE = {letter: group for group in ("BCDEGPTVZ", "MN", "FSX", "AJKH", "IY", "QU") for letter in group}
"""Letters that are taken for one another over a bad line; from memory of spelling alphabets' reason to be."""
PIECES = ("letter", "digit", "oh", "sign", "number")
"""Sorts of parts that are said one by one."""
TRIPLE = re.compile(r"(.)\1{2,}")
SHORT_YEAR = re.compile(r"'?[oO0]-?(\d)")
"""Oh-six as recognisers write it: O6, O-6, 06."""


@dataclass(frozen=True, slots=True)
class Spelled:
    text: str
    last: int
    doubt: str | None


class Codes:
    """Reads the codes of one transcript."""

    def __init__(self, atoms: Sequence[Atom], numbers: Numbers) -> None:
        self.atoms, self.numbers = atoms, numbers

    def letters(self, k: int) -> Spelled | None:
        """At least three letters one after another, joined to a word."""
        start, out = k, ""
        atoms = self.atoms
        while k < len(atoms) and (atoms[k].sentence == atoms[max(start, k - 1)].sentence or (out and self.goes_on(k))):
            a = atoms[k]
            if a.lower == "double" and k + 1 < len(atoms) and len(atoms[k + 1].said) == 1:
                out += atoms[k + 1].said.upper() * 2
                k += 2
            elif len(a.said) == 1 and a.said.isalpha():
                if len(out) >= 3 and a.said == "a" and atoms[k - 1].after and not a.after and a.glue != "-":
                    break  # "M-O-R-V-A-Y-N-E, a model 30"
                out += a.said.upper()
                k += 1
            elif out and a.lower in ("as", "like", "for") and k + 1 < len(atoms):
                k += 3 if atoms[k + 1].lower == "in" else 2
            else:
                break
        # no name has one letter three times in a row: a recogniser hears the letter, then its echo
        fewer = TRIPLE.sub(r"\1\1", out)
        doubt = None if fewer == out else "spelled aloud: one letter was heard three times, two were taken"
        return Spelled(fewer, k, doubt) if len(out) >= 3 else None

    def goes_on(self, k: int) -> bool:
        """Whether a spelling goes on in a new sentence ("T-O-R-V. A-N-N-E"): two joined letters stand at its start."""
        atoms = self.atoms
        return k + 1 < len(atoms) and len(atoms[k].said) == len(atoms[k + 1].said) == 1 and atoms[k].glue == "-"

    def part(self, k: int) -> tuple[str, int, str] | None:
        """One part of a code: text, end, and sort (letter, code, digit, number, sign)."""
        if k >= len(self.atoms):
            return None
        a = self.atoms[k]
        lower = a.lower
        if a.said[:1].isdigit() or (any(c.isdigit() for c in a.said) and re.sub(r"[./-]", "", a.said).isalnum()):
            return a.said.upper().replace(",", ""), k + 1, "figures"
        if lower in DIGITS and (lower != "o" or a.said == "O"):
            return DIGITS[lower], k + 1, "oh" if lower in ("oh", "o") else "digit"
        if lower in TEENS:
            return TEENS[lower], k + 1, "number"
        if lower in TENS:
            unit = self.atoms[k + 1].lower if k + 1 < len(self.atoms) and not a.after else ""
            if unit in DIGITS and unit not in ("oh", "o", "zero"):
                return TENS[lower][0] + DIGITS[unit], k + 2, "number"
            return TENS[lower], k + 1, "number"
        if lower in ("hundred", "thousand"):
            return "00" if lower == "hundred" else "000", k + 1, "number"
        if lower in SIGNS:
            return SIGNS[lower], k + 1, "sign"
        if (
            lower in TIMES
            and k + 1 < len(self.atoms)
            and (following := self.part(k + 1)) is not None
            and len(following[0]) == 1
        ):
            return following[0] * TIMES[lower], following[1], following[2]
        if len(a.said) == 1 and a.said.isalpha() and (a.said.isupper() or a.glue == "-"):
            return a.said.upper(), k + 1, "letter"
        if a.said.isupper() and a.said.isalpha() and len(a.said) <= 5:
            return a.said, k + 1, "code"
        if lower in SPELLING and (self.coded(k - 1) or (not a.after and self.coded(k + 1))):
            return SPELLING[lower], k + 1, "letter"
        return None

    def coded(self, k: int) -> bool:
        """Whether the atom at k may belong to a code: a figure, a sign, a word of a spelling alphabet."""
        if not 0 <= k < len(self.atoms):
            return False
        a = self.atoms[k]
        return (
            a.lower in SPELLING
            or a.lower in DIGITS
            or a.lower in SIGNS
            or a.lower in TEENS
            or a.lower in TENS
            or a.said[:1].isdigit()
        )

    def code(self, k: int, *, spaced: bool, stop: int | None = None) -> Spelled | None:
        """A model or serial number from atom k."""
        atoms = self.atoms
        out, sort_before, doubt, start, digits = "", "", None, k, False
        while k < (stop or len(atoms)) and len(out) < 40 and atoms[k].sentence == atoms[start].sentence:
            echo = self.echoed(k, out) if out else None
            if echo is not None:
                doubt, k = None, echo
                if atoms[k - 1].after not in ("", ","):
                    break
                continue
            if out and atoms[k].lower == "as" and k + 2 < len(atoms) and atoms[k + 1].lower == "in":
                doubt = None
                k += 3
                if atoms[k - 1].after not in ("", ",") or (
                    k < len(atoms) and atoms[k - 1].after and self.part(k) is None
                ):
                    break
                continue
            piece = k
            while out and not spaced and piece - k < 3 and piece + 1 < len(atoms) and atoms[piece].lower in FILLING:
                piece += 1
            nxt = self.part(piece) if piece > k else None
            pieces = atoms[k - 1].after == "," or atoms[k].lower in ("then", "letter")
            if pieces and nxt is not None and (nxt[2] in PIECES or (atoms[k].lower == "then" and nxt[2] == "figures")):
                k = piece  # "forty one, eighteen, and then a stroke, C"
            if out[-1:].isdigit() and atoms[k].lower in ("by", "x"):
                following = self.part(k + 1)
                if following is not None and following[2] in ("figures", "number", "digit"):
                    out, sort_before, k = out + " by ", "", k + 1  # "model's 18 by 60"
                    continue
            found = self.part(k)
            if (
                found is None
                and k == start
                and spaced
                and len(atoms[k].said) <= 3
                and atoms[k].said.isalpha()
                and (nxt := self.part(k + 1)) is not None
                and nxt[2] != "sign"
            ):
                found = (atoms[k].said.upper(), k + 1, "code")  # "model fp thirteen", where no capitals were written
            named = found is None and k == start and spaced and atoms[k].capital and atoms[k].said.isalpha()
            if named and not atoms[k].after and (nxt := self.part(k + 1)) is not None and nxt[2] == "figures":
                found = (atoms[k].said, k + 1, "code")  # "type Pelican 3.2"
            if found is None or (found[2] == "sign" and not out):
                break
            text, end, sort = found
            loose = sort_before in ("figures", "code") or sort in ("figures", "code")
            if sort_before == "letter" and k and atoms[k - 1].glue == "-":
                loose = False  # "C-B12": letters said one by one before the rest
            single = (
                len(text) == 1
                and sort == "figures"
                and sort_before == "figures"
                and (len(out) == 1 or (out[-2] != " " and len(out.split()[-1]) >= 1 and digits))
            )
            digits = sort == "figures" and len(text) == 1
            if (
                out
                and loose
                and out[-1] not in "-/. "
                and sort != "sign"
                and (spaced or sort_before == sort == "figures")
                and not single
            ) or (
                out
                and spaced
                and out[-1].isalpha()
                and text[0].isdigit()
                and sort_before == "letter"
                and sort == "number"
            ):
                out += " "
            out += text
            if sort == "letter" and text in SOUNDS_LIKE and spaced is False:
                others = " or ".join(c for c in SOUNDS_LIKE[text] if c != text)
                doubt = f"spelled aloud: {text} sounds like {others}"
            if sort == "oh":
                doubt = doubt or "spelled aloud: oh may be the letter O or a zero"
            k = end
            if atoms[k - 1].after and not (atoms[k - 1].after == "," and self.on(k, out, sort, spaced=spaced)):
                break
            sort_before = sort
        out = out.strip(" -/.")
        return Spelled(out, k, doubt) if out else None

    def on(self, k: int, out: str, sort: str, *, spaced: bool) -> bool:
        """Whether a code whose last part was of a sort goes on at atom k, behind a pause."""
        ahead = k
        while not spaced and ahead - k < 3 and ahead + 1 < len(self.atoms) and self.atoms[ahead].lower in FILLING:
            ahead += 1
        if self.echoed(k, out) is not None:
            return True
        following = self.part(ahead)
        if following is None or self.atoms[ahead].sentence != self.atoms[k - 1].sentence:
            return False
        if sort == "sign" and following[2] in ("figures", "code"):
            return True  # "D, dash, 88"
        if following[2] == "sign" and sort != "sign" and self.part(following[1]) is not None:
            return True  # "type CK, hyphen, nine", "six, slash, 2 2 0"
        if sort in ("letter", "digit", "oh", "sign") and (following[2] != "figures" or spaced):
            return following[2] in PIECES
        if spaced:
            return False
        if sort == "code":
            return following[2] in ("digit", "oh", "sign") or (following[2] == "figures" and len(following[0]) == 1)
        # "thirty, thirty one, slash, oh eight": numbers said in pieces, and no count of things behind them
        closed = following[1] >= len(self.atoms) or bool(self.atoms[following[1] - 1].after)
        goes_on = closed or self.part(following[1]) is not None
        short = len(following[0]) <= 2 or following[2] == "sign"
        return (
            sort in ("number", "figures", "letter", "digit", "oh")
            and following[2] in (*PIECES, "figures")
            and short
            and goes_on
        )

    def echoed(self, k: int, out: str) -> int | None:
        """End of words that only say a letter before them again: "S for sugar", "CN, Charlie November"."""
        atoms = self.atoms
        if k + 1 < len(atoms) and atoms[k].lower == "for" and atoms[k + 1].lower[:1].upper() == out[-1:]:
            return k + 2 if atoms[k + 1].lower.isalpha() else None
        if k + 2 < len(atoms) and atoms[k].said == out[-1:] and atoms[k].said.isalpha() and atoms[k - 1].after == ",":
            if atoms[k + 1].lower in ("for", "as"):
                return k + 1 if atoms[k + 1].lower == "as" else k + 3
            return None
        end = k
        while end < len(atoms) and atoms[end].lower in SPELLING and end - k < 5:
            end += 1
        said = "".join(SPELLING[a.lower] for a in atoms[k:end])
        tail = re.sub(r"[^A-Z]", "", out)[-len(said) :] if said else ""
        return end if said and said == tail and out[-1:].isalpha() and atoms[k - 1].after == "," else None

    def year_at(self, k: int) -> tuple[int, int, bool] | None:
        """A year at atom k: its value, the end, and whether all four figures were said."""
        if k >= len(self.atoms):
            return None
        atoms = self.atoms
        if k in self.numbers:
            end, value, top, form = self.numbers[k]
            if top is None and value == int(value):
                if 1880 <= value <= 2035 and "," not in atoms[k].said:
                    return int(value), end, form != "year" or end - k > 1 or atoms[k].said.isdigit()
                if (
                    0 < value < 100
                    and form in ("cardinal", "digits", "year")
                    and (value >= 40 or atoms[k].lower in ("oh", "o"))
                ):
                    return (1900 if value >= 40 else 2000) + int(value), end, False
        if short := SHORT_YEAR.fullmatch(atoms[k].said):
            return 2000 + int(short[1]), k + 1, False
        if (one_by_one := self._figures_of_year(k)) is not None:
            return one_by_one
        lower = atoms[k].lower.lstrip("'")
        nxt = atoms[k + 1].lower if k + 1 < len(atoms) else ""
        if lower in ("oh", "o", "aught", "ought") and nxt in DIGITS and nxt not in ("oh", "o"):
            return 2000 + int(DIGITS[nxt]), k + 2, False
        first = self.part(k)
        if (
            first is not None
            and first[2] == "number"
            and first[0] in ("19", "20")
            and (second := self.part(first[1])) is not None
            and not atoms[k].after
        ):
            if second[2] == "number" and len(second[0]) == 2:
                return int(first[0] + second[0]), second[1], True
            if second[2] == "oh" and (third := self.part(second[1])) is not None and third[2] == "digit":
                return int(first[0] + "0" + third[0]), third[1], True
        if atoms[k].said.startswith("'") and lower.isdigit() and len(lower) == 2:
            return (1900 if int(lower) >= 40 else 2000) + int(lower), k + 1, False
        return None

    def _figures_of_year(self, k: int) -> tuple[int, int, bool] | None:
        """ "One nine nine one.": a year whose four figures are said one by one, and that ends its words."""
        words = [a.lower for a in self.atoms[k : k + 4]]
        if len(words) < 4 or any(w not in DIGITS for w in words) or any(a.after for a in self.atoms[k : k + 3]):
            return None
        value = int("".join(DIGITS[w] for w in words))
        return (value, k + 4, True) if self.atoms[k + 3].after and 1880 <= value <= 2035 else None
