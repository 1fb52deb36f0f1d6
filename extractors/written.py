"""Figures as recognisers and people write them down, brought to the writing that the number grammar reads. Pure.

A recogniser hears "four sixty volts" and writes "4-60 volts"; "twelve hundred gallons" becomes "$1,200 gallons",
"nineteen ninety-six" "nineteen 96". Nothing here is a guess about sound: the same words are meant, written otherwise.
The forms were seen in transcripts of recordings made for this; no outside source.
"""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

from extractors.mentions import Token, Tokens
from extractors.word_classes import CARDINALS

Numbers = dict[str, tuple[str, float]]

DOTTED_UNIT = re.compile(r"(\d[\d,]*(?:\.\d+)?)?((?:[A-Za-z]\.){1,4}[A-Za-z])\.?")
SLASHED = re.compile(r"([A-Za-z]+)\.?/([A-Za-z]+)\.?")
DASHED_SIZE = re.compile(r"\d+-[a-z]+-\d+(?:-[a-z]+)*", re.IGNORECASE)
OVERLONG = re.compile(r"(\d+)['′](\d{2,3})")
PER = {
    "hr": "hour", "hrs": "hour", "h": "hour", "hour": "hour", "min": "minute", "minute": "minute", "sec": "second",
    "s": "second", "second": "second", "day": "day", "shift": "shift", "week": "week", "load": "load", "hook": "hook",
    "part": "part", "piece": "piece", "rack": "rack", "ton": "ton", "gal": "gallon",
}  # fmt: skip
BETWEEN = frozenset({"a", "an", "per", "each", "square", "cubic"})
SHORT = {
    "gal": "gallons",
    "lb": "pounds",
    "lbs": "pounds",
    "pcs": "pieces",
    "pc": "pieces",
    "ft": "feet",
    "in": "inches",
}
PLAIN = frozenset({"plc", "hmi", "vfd", "cip", "mcc", "dc", "ac", "cnc"})
"""Initials that are no unit and are said letter by letter."""

VOLTS = frozenset({380, 400, 415, 440, 460, 480, 575, 600, 690})
"""Supply voltages (IEC 60038, ANSI C84.1) that are nothing else when written in two parts."""
LOW_VOLTS = frozenset({110, 115, 120, 208, 220, 230, 240})
"""The like, but "2-30" may be a range: only beside words of supply."""
SUPPLY = frozenset({"volt", "volts", "v", "vac", "phase", "phases", "three-phase", "3-phase", "cycle", "hertz"})
YEAR_CUES = frozenset("in built made year from of since was is new manufactured dated installed rebuilt".split())
PARTS = frozenset({"half", "quarter", "third", "eighth", "sixteenth"})
ONES = CARDINALS[:13]
TENS = {10 * k: w for k, w in enumerate("ten twenty thirty forty fifty sixty seventy eighty ninety".split(), 1)}
SERVICE = re.compile(r"(\d{3})(?:V|-volts?)?/([13])(?:-?[Pp][Hh](?:ase)?)?(?:/([56]0)(?:-?[Hh]z|-?hertz|-?cycle)?)?")
""" "480/3/60", "480V/3-phase/60Hz": volts, phases, hertz of one service."""
MARKED = re.compile(r"(DN|NPS|PN)-?(\d{1,4}(?:\.\d)?)")
NEARLY = re.compile(r"(\d[\d,]*)-(?:odd|some|ish|plus)")
IN_INCHES = re.compile(r"(\d+(?:\.\d+)?|\d+/\d+|\d+-\d+/\d+)-in")
MIXED_FEET = re.compile(r"(\d+)-(\d+/\d+)['′]")
FEET = frozenset({"foot", "feet", "ft"})
RUN_TOGETHER = re.compile(
    "(" + "|".join((*ONES[1:], *TENS.values(), "fifteen", "sixteen", "eighteen", "hundred")) + r")([a-z]{3,})"
)


CLIPPED = re.compile(r"([A-Za-z]{2,})in['’]")
"""A verb in -ing as some say it: "comin'", "gettin'"."""
CLIPPED_NOUN = re.compile(r"([Bb]ear|[Cc]ast|[Cc]oupl|[Bb]ush|[Ff]itt|[Hh]ous|[Oo]pen|[Rr]ail|[Ff]org)in['’]s")
"""The plural of a noun in -ing, said alike: "four bearin's"; "the bin's full" is none."""
SCOTS_NOT = re.compile(r"(is|was|are|were|has|have|had|does|did|would|could|should|must|need)nae", re.IGNORECASE)
"""A verb denied as Scots do: "isnae", "wouldnae"."""
SAID_SHORT = {
    "'em": "them", "’em": "them", "an'": "and", "'n'": "and", "'n": "and", "ol'": "old", "'bout": "about",
    "'cause": "because", "'round": "around", "lil'": "little", "o'": "of", "yer": "your", "ya": "you", "'til": "until",
    "'til'": "until", "t'other": "the other", "ye": "you", "yin": "one", "yins": "ones", "wi'": "with", "wi": "with",
    "frae": "from", "doon": "down", "oot": "out", "aboot": "about", "roon": "round", "hae": "have", "telt": "told",
    "gie": "give", "naebody": "nobody", "nothin": "nothing", "sellt": "sold", "disnae": "doesn't", "dinnae": "don't",
    "dinna": "don't", "cannae": "can't", "canna": "can't", "winnae": "won't", "willnae": "won't", "winna": "won't",
    "amnae": "ain't", "fae": "from", "gaun": "going", "gonnae": "gonna", "no'": "not", "aw": "all", "a'": "all",
    "hame": "home", "awa": "away", "awa'": "away", "onywhere": "anywhere", "onything": "anything", "ony": "any",
    "naething": "nothing", "naewhere": "nowhere", "twa": "two", "baith": "both", "ither": "other", "auld": "old",
    "ahint": "behind", "jist": "just", "noo": "now", "naw": "no", "haud": "hold", "tak": "take", "mak": "make",
    "hunner": "hundred", "hunder": "hundred",
}  # fmt: skip
"""Short forms as they are written for how somebody speaks, common speech."""


def in_full(text: str) -> str:
    """A word as it is in a dictionary, where it was written as it sounded: "comin'," is "coming,"."""
    core = text.rstrip(",.;:?!-–—")
    tail = text[len(core) :]
    if clipped := CLIPPED.fullmatch(core):
        return f"{clipped[1]}ing{tail}"
    if noun := CLIPPED_NOUN.fullmatch(core):
        return f"{noun[1]}ings{tail}"
    if denied := SCOTS_NOT.fullmatch(core):
        return f"{denied[1]}n't{tail}"
    short = SAID_SHORT.get(core.lower())
    if short is None:
        return text
    return (short.capitalize() if core.strip("'’")[:1].isupper() else short) + tail


def apart(core: str, units: frozenset[str]) -> list[str] | None:
    """Pieces of one written word ("P.S.I.", "parts/hr", "gallons-a-minute", "8-foot-6"); None for what is not known."""
    lower = core.lower()
    if found := DOTTED_UNIT.fullmatch(core):
        plain = found[2].replace(".", "").lower()
        if plain in units or plain in PLAIN:
            return [*([found[1]] if found[1] else []), plain if plain in units else plain.upper()]
        if plain in ("wc", "wg"):
            return ["water", "column"]
    if lower not in units and (found := SLASHED.fullmatch(core)) and (under := PER.get(found[2].lower())):
        over = found[1].lower()
        return [SHORT.get(over, found[1]), "per", under]
    if found := SERVICE.fullmatch(core):
        return [found[1], "volt", found[2], "phase", *([found[3], "hertz"] if found[3] else [])]
    if found := MARKED.fullmatch(core):
        return [found[1], found[2]]  # "DN100", as vocab/size_marks.toml has them
    if found := NEARLY.fullmatch(lower):
        return ["about", found[1]]
    if found := IN_INCHES.fullmatch(lower):
        return [*found[1].replace("-", " ").split(), "inch"]
    if found := MIXED_FEET.fullmatch(core):
        return [found[1], found[2], "foot"]
    if lower not in units and (found := RUN_TOGETHER.fullmatch(lower)) and found[2] in units:
        return [found[1], found[2]]  # "sixbar"
    pieces = core.split("-")
    if len(pieces) > 2 and pieces[0].lower() in units and not any(c.isdigit() for c in core):
        known = [p.lower() in units or p.lower() in BETWEEN or p.lower() in PER for p in pieces]
        if all(known) and any(p.lower() in BETWEEN for p in pieces[1:-1]):
            return pieces
    if DASHED_SIZE.fullmatch(core) and all(p.isdigit() or p.lower() in units for p in pieces):
        return pieces
    if (found := OVERLONG.fullmatch(core)) and int(found[2]) >= 12:
        return [found[1], found[2]]  # no height has 480 inches behind its feet: "five horse, four eighty"
    return None


def together(tokens: Tokens, units: frozenset[str], numbers: Numbers) -> Tokens:
    """What was written as several words, or with a sign that nobody said, as the grammar reads it."""
    out = list(tokens)
    for k in range(len(out) - 1):
        number = out[k].text.isdigit() or out[k].lower in numbers
        if out[k].lower == "can" and k and _a_tin(out, k):
            out[k] = replace(out[k], lower=TIN)
        if (number or out[k].text[:1].isdigit()) and not out[k].after and out[k + 1].text in ("mm", "MM"):
            out[k + 1] = replace(out[k + 1], text="millimetres", lower="millimetres")  # and no hum: "600 mm wide"
        if (
            number
            and out[k].after == ","
            and out[k + 1].lower in ("is", "are")
            and out[k].sentence == out[k + 1].sentence
        ):
            out[k] = replace(out[k], after="")  # "station 2, is the web guide": a breath, and no clause
        if number and out[k + 1].lower in FEET and out[k + 1].after == "," and _inches(out, k + 2, numbers):
            out[k + 1] = replace(out[k + 1], after="")  # "6 foot, 2 inches"
        if number and out[k].after == "." and out[k + 1].lower in OPENS_NOTHING:
            sentence = out[k + 1].sentence
            out[k] = replace(out[k], after="")  # "it runs on 480. Volts, three phase"
            for j in range(k + 1, len(out)):
                if out[j].sentence != sentence:
                    break
                out[j] = replace(out[j], sentence=out[k].sentence)
    i = 0
    while i < len(out):
        for rule in (_again, _numbered, _volts, _money, _year, _hundreds, _half, _times, _letters, _run):
            change = rule(out, i, units, numbers)
            if change is not None:
                end, words = change
                out[i:end] = _retold(out[i:end], words)
                break
        i += 1
    return tuple(out)


TIN = "tin"
"""What the can that is filled is read as: as "can" it would be a verb everywhere."""
HELD = frozenset("the a an per filled full empty standard tin aluminium aluminum sealed".split())
TELLING = frozenset("is was has weighs holds takes comes goes size height diameter".split())


def _a_tin(out: list[Token], k: int) -> bool:
    """ "A filled can weighs 450 grams", "the 73 millimetre can, ...": the thing, and no "can" of a verb."""
    if out[k - 1].after or out[k - 1].sentence != out[k].sentence:
        return False
    following = out[k + 1].lower if k + 1 < len(out) and not out[k].after else ""
    told = not following or following in TELLING
    verb = following.endswith("s") and not following.endswith("ss")
    return (out[k - 1].lower in HELD and (told or verb or following in ("of", "in", "with", "and", "or"))) or (
        told and (out[k - 1].lower in LENGTHS or out[k - 1].lower in ("each", "every", "litre", "liter", "ounce"))
    )


OPENS_NOTHING = frozenset(
    "volt volts amp amps horsepower psi gpm cfm rpm gallon gallons inches feet pounds tons tonnes litres liters metres "
    "meters millimetres millimeters kilowatts kilowatt hertz degrees percent fahrenheit celsius".split()
)
"""Units that no sentence begins with."""


def _again(out: list[Token], i: int, units: frozenset[str], numbers: Numbers) -> Change:
    """ "It's a 50. 50 horse motor": said twice, with a full stop that nobody said."""
    figure = out[i].text[:1].isdigit() and out[i].after == "." and i + 2 < len(out)
    same = figure and out[i + 1].text == out[i].text and not out[i + 1].after
    return (i + 1, []) if same and out[i + 2].sentence == out[i + 1].sentence else None


def _inches(out: list[Token], i: int, numbers: Numbers) -> bool:
    """Whether less than a foot in inches stands at token i, as no other figure would."""
    if i + 1 >= len(out) or out[i + 1].lower not in ("inch", "inches") or out[i].after:
        return False
    value = int(out[i].lower) if out[i].lower.isdigit() else numbers.get(out[i].lower, ("", 99.0))[1]
    return 0 < value < 12


def _retold(old: list[Token], words: list[str]) -> list[Token]:
    """New tokens in the place of old ones: the same seconds, the least sure probability."""
    if not words:
        return []
    least = min(t.probability for t in old)
    doubt = next((t.doubt for t in old if t.doubt), None)
    base = replace(old[0], word=old[-1].word, end=old[-1].end, probability=least, doubt=doubt)
    made = [
        replace(base, text=w.rstrip(","), lower=w.rstrip(",").lower(), after="," if w.endswith(",") else "")
        for w in words
    ]
    made[-1] = replace(made[-1], after=old[-1].after)
    return made


Change = tuple[int, list[str]] | None


def _linked(out: list[Token], i: int) -> bool:
    """Whether token i goes on from the one before it, without a pause or the end of a sentence."""
    return 0 < i < len(out) and not out[i - 1].after and out[i - 1].sentence == out[i].sentence


def _lower(out: list[Token], i: int) -> str:
    return out[i].lower if 0 <= i < len(out) else ""


def _near(out: list[Token], i: int, words: frozenset[str], reach: int = 4) -> bool:
    """Whether one of the words stands behind token i, in its sentence."""
    return any(
        out[k].lower in words and out[k].sentence == out[i].sentence for k in range(i + 1, min(len(out), i + 1 + reach))
    )


def _volts(out: list[Token], i: int, units: frozenset[str], numbers: Numbers) -> Change:
    """ "4-60 volts", read as a span from 4 to 60, is a supply voltage."""
    pair = _pair(out, i)
    if pair is None:
        return None
    following = _lower(out, i + 3)
    if following in units and following not in SUPPLY:
        return None
    beside = _pair(out, i + 3) or _pair(out, i - 3) or _near(out, i + 2, SUPPLY)
    return (i + 3, [str(pair)]) if pair in VOLTS or (pair in LOW_VOLTS and beside) else None


def _numbered(out: list[Token], i: int, units: frozenset[str], numbers: Numbers) -> Change:
    """ "Station no. 3", "No. 4 is the etch": number, and no take-back. "300 cfm. No. 500." stays one."""
    if out[i].lower != "no" or not _lower(out, i + 1).isdigit() or out[i].sentence != out[i + 1].sentence:
        return None
    if _linked(out, i) and out[i - 1].lower.rstrip("s") in NUMBERED:
        return i + 1, ["number"]
    told = not out[i + 1].after and _lower(out, i + 2) in COPULAS and int(out[i + 1].lower) < 100
    return (
        (i + 1, ["number"])
        if told and not out[i].after and (i == 0 or out[i - 1].sentence != out[i].sentence)
        else None
    )


NUMBERED = frozenset("station tank stage compartment zone bath pump compressor machine line lot unit cell bay".split())
COPULAS = frozenset({"is", "are", "was", "has", "does", "holds"})


def _pair(out: list[Token], i: int) -> int | None:
    if i < 0 or i + 2 >= len(out) or out[i].word != out[i + 2].word or out[i + 1].lower != "to":
        return None
    first, second = out[i].text, out[i + 2].text
    whole = int(first + second) if first.isdigit() and second.isdigit() and len(first) == 1 and len(second) == 2 else 0
    return whole if whole in VOLTS or whole in LOW_VOLTS else None


def _money(out: list[Token], i: int, units: frozenset[str], numbers: Numbers) -> Change:
    """ "$1,200 gallons": no price has a unit behind it; twelve hundred was said."""
    text = out[i].text
    if text[:1] not in "$£€" or len(text) < 2 or not text[1].isdigit() or not _linked(out, i + 1):
        return None
    following = _lower(out, i + 1)
    measured = following in units and following not in ("a", "an", "per", "each", "in", "at", "m", "k", "t")
    return (i + 1, [text[1:]]) if measured and numbers.get(following, ("", 0))[0] == "" else None


def _year(out: list[Token], i: int, units: frozenset[str], numbers: Numbers) -> Change:
    """ "nineteen 96", "19 94", "2,006" behind a word of years."""
    before, text = _lower(out, i - 1), out[i].lower
    if before not in YEAR_CUES or _lower(out, i + 1) in units:
        return None
    if re.fullmatch(r"[12],\d{3}", out[i].text) and 1900 <= int(out[i].text.replace(",", "")) <= 2040:
        return (
            None
            if _linked(out, i + 1) and _lower(out, i + 1) not in ("and", "so", "but")
            else (i + 1, [out[i].text.replace(",", "")])
        )
    rest = _lower(out, i + 1)
    if not _linked(out, i + 1) or not re.fullmatch(r"\d\d", rest) or _lower(out, i + 2) in units:
        return None
    if text in ("nineteen", "19") and int(rest) >= 30:
        return i + 2, [f"19{rest}"]
    return (i + 2, [f"20{rest}"]) if text in ("twenty", "20") and int(rest) <= 40 else None


def _hundreds(out: list[Token], i: int, units: frozenset[str], numbers: Numbers) -> Change:
    """ "one hundred 50": the figure behind the hundred in words, as the grammar reads it."""
    scale = numbers.get(_lower(out, i - 1), ("", 0.0))
    text = out[i].text
    if scale[0] != "scale" or scale[1] != 100 or not _linked(out, i) or not text.isdigit() or not 10 <= int(text) < 100:
        return None
    counted = numbers.get(_lower(out, i - 2), ("", 0.0))[0] in ("unit", "teen") or _lower(out, i - 2) in ("a",)
    if not counted and not _lower(out, i - 2).isdigit():
        return None
    return i + 1, _in_words(int(text))


def _in_words(n: int) -> list[str]:
    if n < len(ONES):
        return [ONES[n]]
    if n < 20:
        return [["thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"][n - 13]]
    return [TENS[n - n % 10], *([ONES[n % 10]] if n % 10 else [])]


def _half(out: list[Token], i: int, units: frozenset[str], numbers: Numbers) -> Change:
    """ "2 and 1 half inches": the one is the article."""
    one = out[i].lower in ("1", "one") and _lower(out, i + 1) in PARTS and _linked(out, i + 1)
    return (i + 1, ["a"]) if one and _lower(out, i - 1) == "and" and _linked(out, i) else None


def _times(out: list[Token], i: int, units: frozenset[str], numbers: Numbers) -> Change:
    """ "2 x 50 kW heaters": a count and a figure, no size; "10 x 4 x 6 foot": by."""
    if out[i].lower not in ("x", "×") or out[i].after:
        return None
    if not _lower(out, i + 1)[:1].isdigit() and _lower(out, i + 1) not in numbers:
        return None
    before, unit = _lower(out, i - 1), _lower(out, i + 2)
    sized = unit in ("", "x", "×", "by") or unit in LENGTHS or unit not in units
    if not sized and before.isdigit() and int(before) <= 50:
        return i + 1, []
    return (i + 1, ["by"]) if before[:1].isdigit() or before in LENGTHS or before in numbers else None


LENGTHS = frozenset(
    "foot feet ft inch inches in metre metres meter meters m mm cm millimetre millimetres millimeter millimeters "
    "centimetre centimetres centimeter centimeters yard yards".split()
)


def _letters(out: list[Token], i: int, units: frozenset[str], numbers: Numbers) -> Change:
    """ "90 PS I", "120 P. S. I.", "450 C FM": a unit of initials in two or three words behind a figure."""
    if not _lower(out, i - 1)[-1:].isdigit() and numbers.get(_lower(out, i - 1), ("", 0))[0] == "":
        return None
    for n in (3, 2):
        piece = out[i : i + n]
        joined = "".join(t.lower for t in piece)
        upper = all(t.text.rstrip(".").isupper() or len(t.text) == 1 for t in piece)
        if len(piece) == n and joined in INITIALS and upper and piece[0].sentence == out[i - 1].sentence:
            return i + n, [joined]
    return None


INITIALS = frozenset("psi psig psia cfm scfm acfm gpm rpm btu kva kw hp fpm lpm bhp ppm".split())


def _run(out: list[Token], i: int, units: frozenset[str], numbers: Numbers) -> Change:
    """ "4.567 and 8 are": one figure after the other, as stations are told."""
    digits = out[i].text.replace(".", "").replace(",", "")
    if not (digits.isdigit() and 3 <= len(digits) <= 5):
        return None
    rising = all(int(b) - int(a) == 1 for a, b in pairwise(digits))
    next_one = str(int(digits[-1]) + 1)
    told = _lower(out, i + 1) == "and" and _lower(out, i + 2) in (
        next_one,
        ONES[int(next_one)] if int(next_one) < 13 else "",
    )
    if not rising or not told or _lower(out, i + 3) in units:
        return None
    return i + 1, [*(d + "," for d in digits[:-1]), digits[-1]]
