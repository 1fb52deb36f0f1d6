"""Words that say how a recording moves on: numbers of lots, "back to the", words of a line; vocab/moves.toml has them.

Numbers of lots are their own reading, because where two of them are said, they alone say what is a machine.
"""

from __future__ import annotations

from dataclasses import dataclass

from extractors.mentions import Token, Tokens
from extractors.openings import PHRASE, Opening, is_code, machine_named, phrase_at, said
from vocab import Vocabulary

CUES = ("new", "back", "line")
MANY = {"low", "high", "hot", "cold", "first", "second", "single", "twin", "double", "dual", "triple", "multi", "many"}
FEW = tuple(
    (
        "none one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen "
        "seventeen eighteen nineteen twenty"
    ).split()
)
LATE = 8
"""Words behind a number in which its machine would be named, were it not named before."""
NEXT_NUMBERS = 5
"""By so much the number of the next lot may be higher; not every lot is walked to."""
STEPS = {"stage", "stages", "station", "stations", "zone", "zones", "compartment", "compartments"}


@dataclass(frozen=True, slots=True)
class Cue:
    """A place at which words of vocab/moves.toml stand."""

    at: int
    length: int
    kind: str
    words: str


def find_cues(tokens: Tokens, vocabulary: Vocabulary) -> list[Cue]:
    """Every cue, the longest at each place."""
    openers = said(vocabulary, "opener")
    found: list[Cue] = []
    for i, t in enumerate(tokens):
        if t.aside is not None or (found and i < found[-1].at + found[-1].length):
            continue
        for kind in CUES:
            length = phrase_at(tokens, i, vocabulary, kind)
            # a number opens a clause: "the tag on machine number two" speaks about it, "machine number two is" moves
            if not length or (kind == "new" and not (i == 0 or tokens[i - 1].after or tokens[i - 1].lower in openers)):
                continue
            if kind == "line" and _attribute(tokens, i, vocabulary):
                continue
            end = i + length
            if kind == "new" and tokens[end - 1].text.isalpha() and end < len(tokens) and tokens[end].text.isdigit():
                end += 1  # "C 101" is one code
            found.append(Cue(i, length, kind, " ".join(x.text for x in tokens[i:end])))
            break
    return found


def _attribute(tokens: Tokens, i: int, vocabulary: Vocabulary) -> bool:
    """Whether "two stage", "thirty seven stations" tells how one machine is made."""
    if tokens[i].lower == "connected" and i + 1 < len(tokens):
        return tokens[i + 1].lower in ("load", "power", "to")  # of a supply
    if not i or tokens[i].lower not in STEPS or tokens[i - 1].after:
        return False
    return tokens[i - 1].lower in MANY or is_code(tokens[i - 1], vocabulary)


def elsewhere(tokens: Tokens, at: int) -> bool:
    """Whether a number is said of something that is not shown: "that's not in this lot, that's lot forty-two"."""
    sentence = tokens[at].sentence
    before = [t for t in tokens[max(0, at - 20) : at] if t.sentence == sentence]
    return any(t.lower in ("not", "isn't", "no") or t.lower.endswith("n't") for t in before)


def brought_in(tokens: Tokens, at: int, openings: tuple[Opening, ...], vocabulary: Vocabulary) -> int:
    """Where the machine of a lot's number is brought in: at the number, or before it in the same sentence
    ("coming round, a hopper, lot 202")."""
    earlier = [o.at for o in openings if o.at <= at and tokens[o.at].sentence == tokens[at].sentence]
    if earlier and earlier[0] < at:
        return earlier[0]
    # "A mobile grain dryer, twelve tonne. That is lot eighteen.": where its number comes a sentence late
    here = tokens[at].sentence
    late = [o for o in openings if o.main and tokens[o.at].sentence == here - 1]
    if not late or any(phrase_at(tokens, n, vocabulary, "new") for n in range(late[0].at, at)):
        return at
    end = next((n for n in range(at, min(at + LATE, len(tokens))) if tokens[n].sentence != here), at + LATE)
    return at if machine_named(tokens, at, min(end, len(tokens)), vocabulary)[0] else late[-1].at


def further(tokens: Tokens, numbers: list[Cue], vocabulary: Vocabulary) -> list[Cue]:
    """Bare numbers that go on with the lots: "lot 204 ... and 205 is an engine", "five, brake lathe"."""
    out = []
    last = None
    places = {c.at: c for c in numbers}
    for i, t in enumerate(tokens):
        if i in places:
            told = [n for x in tokens[i : i + places[i].length] if (n := _number(x)) is not None]
            last = told[-1] if told else None
        elif last is not None and t.aside is None:
            k = i + 1 if t.lower in ("number", "no") and i + 1 < len(tokens) else i
            number = _number(tokens[k])
            if number is None or not last < number <= last + NEXT_NUMBERS or k + 1 >= len(tokens):
                continue
            before = tokens[i - 1]
            opens = before.after in (".", "?", "!", ";") or before.lower in said(vocabulary, "opener")
            stands = (
                tokens[k].after == ","
                or tokens[k].lower.endswith(("'s", "’s"))
                or tokens[k + 1].lower in ("is", "was", "that's")
            )
            # a number said as a word may count as well ("Four, five inches of play"): its machine is named at once
            named = (
                not tokens[k].lower[0].isalpha()
                or machine_named(tokens, k + 1, min(k + 1 + PHRASE, len(tokens)), vocabulary)[0]
            )
            if opens and stands and named:
                out.append(Cue(i, k + 1 - i, "new", " ".join(x.text for x in tokens[i : k + 1])))
                last = number
    return out


def _number(t: Token) -> int | None:
    """The whole number that a token says; "seven's a press" says seven."""
    word = t.lower.removesuffix("'s").removesuffix("’s")
    return int(word) if word.isdigit() else FEW.index(word) if word in FEW else None
