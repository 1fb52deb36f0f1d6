"""Words to reading units: punctuation off, joined words apart, mishearings mended and recorded; times are kept."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache

from extractors.mentions import RepairMention, Token, Tokens
from extractors.mishearings import mend
from extractors.spoken_numbers import DIGITS, FRACTION, SIGNS, proper, table
from extractors.words import Transcript
from extractors.written import apart, in_full, together
from vocab import Vocabulary

LEAD = re.compile(r"^[^\w$£€#.½¼¾⅓⅔⅛⅜⅝⅞°−-]+")
TAIL = re.compile(r"[^\w%\"'°″′²³µ½¼¾⅓⅔⅛⅜⅝⅞]+$")
GLUED = re.compile(
    r"([-−]?\d[\d,]*(?:\.\d+)?|\d+/\d+|\d+-\d+/\d+)-?([a-zA-Z°%µμ][a-zA-Z°%²³/µμ.]*(?:[23](?:/[a-zA-Z]+)?)?)"
)
SIZES = re.compile(
    r"(\d+(?:\.\d+)?)(['\"′″]?)[x×](\d+(?:\.\d+)?)(['\"′″]?)(?:[x×](\d+(?:\.\d+)?)(['\"′″]?))?", re.IGNORECASE
)
FEET_INCHES = re.compile(r"(\d+)(?:'|′|’)-?(?:(\d+(?:\.\d+)?|\d+/\d+)(?:\"|″|''|”)?)?")
INCHES = re.compile(r"(\d+(?:\.\d+)?|\d+/\d+|\d+-\d+/\d+)(?:\"|″|''|”)")
SPAN = re.compile(r"(\d[\d,]*(?:\.\d+)?)[-–—](\d[\d,]*(?:\.\d+)?)")
EITHER = re.compile(r"(\d{2,4}(?:-\d{2,4})?(?:/\d{2,4}(?:-\d{2,4})?)+)-?([a-zA-Z]*)")
LETTER = re.compile(r"[A-Za-z]\.")
DOTTED = re.compile(r"(?:[A-Z]\.){3,}[A-Z]")
APART = 12
"""Sentences that are counted between words that have nothing to do with each other: "it" points back eight at most."""
MARKS = {"'": "foot", "′": "foot", '"': "inch", "″": "inch"}


def tokenise(transcript: Transcript, vocabulary: Vocabulary) -> tuple[Tokens, tuple[RepairMention, ...]]:
    """Tokens of the transcript, and the mishearings that were mended on the way."""
    tokens: list[Token] = []
    sentence = 0
    ended = True
    breaks, apart_at = frozenset(transcript.breaks), frozenset(transcript.apart)
    numbers = table(vocabulary)
    units = _joinable(vocabulary)
    for i, w in enumerate(transcript.words):
        if i in breaks and not ended:
            sentence += 1  # a break behind a full stop is the same end
        sentence += APART if i in apart_at else 0
        text = in_full(w.text.strip())
        after = text[-1] if text and text[-1] in ",.;:?!-–—" else ""
        after = "-" if after in ("–", "—") else after
        core = "x" if text == "×" else TAIL.sub("", LEAD.sub("", text))
        parts = _parts(core, numbers, units) if core else []
        for n, part in enumerate(parts):
            tokens.append(
                Token(
                    part,
                    part.lower().replace("’", "'"),
                    i,
                    w.start,
                    w.end,
                    w.probability,
                    sentence,
                    after if n == len(parts) - 1 else "",
                    doubt=w.doubt,
                    alternatives=w.alternatives if n == 0 else (),
                )
            )
        ended = bool(after) and after in ".?!" and not _abbreviated(text, transcript, i)
        if ended:
            sentence += 1
        elif tokens and after == ".":
            tokens[-1] = replace(tokens[-1], after="")
    return mend(together(tuple(tokens), units, numbers), transcript, vocabulary)


def _abbreviated(text: str, transcript: Transcript, i: int) -> bool:
    """Whether the full stop belongs to an abbreviation ("ft. long", "No. 4", "Mr. Pell") and ends no sentence."""
    if i + 1 >= len(transcript.words):
        return False
    if LETTER.fullmatch(text) and LETTER.fullmatch(transcript.words[i + 1].text.strip()):
        return True  # "V. E. L. T. O. R.": one name, spelled
    if text.lower() in TITLES:
        return transcript.words[i + 1].text[:1].isupper()  # "the foreman, Mr. Pell, says"
    if text.lower() not in ABBREVIATIONS:
        return False
    following = transcript.words[i + 1].text[:1]
    return following.islower() or (text.lower() == "no." and following.isdigit())


ABBREVIATIONS = frozenset(
    "ft. in. lb. lbs. gal. hr. hrs. min. sec. approx. no. dia. qty. sq. cu. max. vs. etc. e.g. i.e. ext. dept. temp. "
    "pcs. ea. incl. excl. est. orig. mfg. mfr. elec. hyd.".split()
)
TITLES = frozenset("mr. mrs. ms. mx. dr. prof. messrs.".split())
"""Before a name these end no sentence."""


@lru_cache(maxsize=8)
def _joinable(vocabulary: Vocabulary) -> frozenset[str]:
    """Unit spellings of one word, as they may be glued to a figure."""
    return frozenset(form for row in vocabulary["units"] for form in row["spoken"] if " " not in form)


def _parts(core: str, numbers: dict[str, tuple[str, float]], units: frozenset[str]) -> list[str]:
    """What was written as one word but is several: "480-volt", "20gpm", "6'2\\"", "4x8", "twenty-two", "15-20"."""
    core = core.replace("’", "'").replace("”", '"')
    if core[0] in "$£€" and len(core) > 1 and core[1].isdigit():
        return [core]
    if DOTTED.fullmatch(core):
        return [core.replace(".", "-")]  # "T.O.R.V.": spelled letter by letter
    if core[0] == "#" and core[1:].isdigit():
        return ["number", core[1:]]
    if (pieces := apart(core, units)) is not None:
        return pieces
    if core[0] in "-−." and not DIGITS.fullmatch(core):
        core = core.lstrip("-−.")
        if not core:
            return []
    if not any(c.isdigit() or c in SIGNS for c in core):
        return _hyphened(core, numbers, units)
    if core[0].isdigit() or core[0] in "-−.½¼¾":
        if (found := EITHER.fullmatch(core)) and not ((whole := FRACTION.fullmatch(found[1])) and proper(whole)):
            return _either(found[1], found[2].lower(), units) or [core]
        if found := SIZES.fullmatch(core):
            out: list[str] = []
            for k in (1, 3, 5):
                if found[k]:
                    out += ["by"] * bool(out) + [found[k]] + ([MARKS[found[k + 1]]] if found[k + 1] else [])
            return out
        if found := FEET_INCHES.fullmatch(core):
            return [found[1], "foot", *([found[2], "inch"] if found[2] else [])]
        if found := INCHES.fullmatch(core):
            return [*found[1].replace("-", " ").split(), "inch"]
        if found := SPAN.fullmatch(core):
            low, high = (float(found[k].replace(",", "")) for k in (1, 2))
            leading = found[1][0] == "0" and found[1][1:2].isdigit()
            if (
                leading
                or found[2][0] == "0"
                or (len(found[1]) <= 2 and len(found[2]) >= 4 and found[2][-1] not in "05")
            ):
                return [core]  # "16-0093", "88-3316", "06-118": the number of a plate
            if low < high and len(found[1]) <= 5 and not (low > 100 and high > 1000 and "," not in core):
                return [found[1], "to", found[2]]
            return [core]
        if found := GLUED.fullmatch(core):
            tail = found[2].lower().strip(".")
            if tail in units or tail in ("x", "k") or tail.split("-")[0] in numbers:
                if tail == "k":
                    return [found[1], "thousand"]
                return [*found[1].replace("-", " ").split(), tail if tail != "x" else "by"]
            if "-" in core and not tail[0].isdigit() and core[: -len(found[2])].endswith("-"):
                return [found[1], found[2]]
        if "-" in core[1:]:
            pieces = core.split("-")
            if DIGITS.fullmatch(pieces[0]) and all(p.isalpha() for p in pieces[1:]):
                return pieces
            if len(pieces) == 2 and pieces[0].isdigit() and FRACTION.fullmatch(pieces[1]):
                return pieces
        if core[-1] in "\"'":
            core = core.rstrip("\"'")
    return [core.rstrip("\"'") or core] if core else []


def _either(figures: str, tail: str, units: frozenset[str]) -> list[str]:
    """Voltages of one plate, "208-230/460V": each figure, "/" and "to" between; [] for what else is written so."""
    out: list[str] = []
    for part in figures.split("/"):
        low, _, high = part.partition("-")
        out += ["/"] * bool(out) + ([low, "to", high] if high and int(low) < int(high) else [part])
    dated = len(figures) in (4, 5) and not tail  # "24/7", "12/24" of nothing told
    return [] if dated or (tail and tail not in units) else [*out, *([tail] if tail else [])]


def _hyphened(core: str, numbers: dict[str, tuple[str, float]], units: frozenset[str]) -> list[str]:
    """Hyphened words apart where one is a number word or all but the first are units; names stay whole."""
    core = core.rstrip('"') if core.endswith('"') else core
    core = core.strip("'") or core
    if "-" not in core.strip("-"):
        return [core]
    pieces = [p for p in core.split("-") if p]
    if all(len(p) == 1 for p in pieces) and len(pieces) > 2:
        return [core]  # spelled letter by letter
    lower = [p.lower() for p in pieces]
    if len(pieces) == 2 and lower[0] in units and lower[1] in ("each", "apiece", "per", "a", "an"):
        return pieces  # "7.5 horse-each"
    if (lower[0] in numbers and numbers[lower[0]][0] not in ("ordinal", "nil")) or lower[0] in (
        "oh",
        "half",
        "quarter",
    ):
        return pieces
    if (
        any(p in numbers and numbers[p][0] in ("unit", "teen", "ten", "scale") for p in lower[1:])
        and lower[0] in numbers
    ):
        return pieces
    return [core]
