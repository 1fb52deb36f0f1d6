"""Words that are a thing's name elsewhere and name none here: the screen that a figure stands on, what "lifts" says of
a hoist, the light of the phone, the mill where the speaker stands, the plate that is read."""

from __future__ import annotations

from extractors.noun_phrase import Phrase
from extractors.phrases import Atom, sentence_bounds, singular
from extractors.scene import Scene
from extractors.word_classes import word_set

CONTROLS = word_set("plc cnc nc controller controllers control controls computer hmi pc microprocessor panel program")
"""What an operator's screen belongs to."""
PROGRAMMED = word_set("plc cnc nc")
OF_A_SCREEN = word_set(
    "small little big large colour color touch touchscreen display operator inch led lcd flat new tidy"
)
"""Words before the screen of a control."""
SHOWN = word_set("says said reads read shows showed showing is 's gives has still works cracked")
"""Words behind a screen that is looked at."""
READ_FROM = word_set("on off from at by")
"""Prepositions before what a figure is read from."""
READ = word_set("data name rating maker's makers engine set motor serial type id nameplate")
"""Words before a plate that is read."""
LIT = word_set("on off going goes blinking flashing red green out fading")
"""Words behind a light that tells the time of day, or that a phone records."""
STANDING_IN = word_set("in at from around of to by with through near outside into")
FIGURES_BEHIND = word_set("at with to up about over only")


def in_passing(view: Scene, phrase: Phrase) -> bool:
    """Whether a phrase names nothing that could be sold."""
    if phrase.count is not None and phrase.count > 1:
        return False
    atoms, head = view.atoms, singular(phrase.heads[-1])
    if head == "fuse":
        return phrase.count is None  # "the main fuse is 80 amps": what the supply is
    if head == "screen":
        return _of_a_control(atoms, phrase)
    if head == "plate":
        words = {a.lower for a in atoms[phrase.first : phrase.last]}
        return bool(words & READ) and not phrase.plural
    if head == "light":
        return _lit(atoms, phrase)
    if head == "mill":
        return len(phrase.heads) == 1 and not phrase.modifiers and _where_one_stands(atoms, phrase)
    return _lifts(view, phrase)


def _of_a_control(atoms: tuple[Atom, ...], phrase: Phrase) -> bool:
    """ "A PLC with a colour screen", "that's what the screen says", "Hour meter on the screen is reading 14,200"."""
    words = [a.lower for a in atoms[phrase.first : phrase.last]]
    if len(phrase.heads) > 1 and "touch" not in phrase.heads:
        return False  # "lint screen"
    first, last = sentence_bounds(atoms, phrase.first)
    near = {a.lower.removesuffix("'s") for a in atoms[first : phrase.first]}
    touched = bool({"touch", "touchscreen"} & {*words})
    if near & (PROGRAMMED if touched else CONTROLS) and (
        set(words[:-1]) & OF_A_SCREEN or phrase.led or phrase.article in ("", "a", "an")
    ):
        return True
    before = atoms[phrase.first - 1].lower if phrase.first > first else ""
    if before in READ_FROM and phrase.article in ("the", "that", "this"):
        return True
    behind = atoms[phrase.last].lower if phrase.last < last else ""
    plain = not phrase.modifiers or set(phrase.modifiers) <= OF_A_SCREEN
    return plain and behind in SHOWN and behind not in ("is", "'s", "has") and phrase.article in ("", "the", "that")


def _lit(atoms: tuple[Atom, ...], phrase: Phrase) -> bool:
    """ "The little red light's on", "the light's going": no lamp of the machine's."""
    if len(phrase.heads) > 1 or phrase.plural:
        return False
    behind = [a.lower for a in atoms[phrase.last : phrase.last + 2]]
    return bool(behind) and behind[0] in ("'s", "is", "was") and behind[-1] in LIT


def _where_one_stands(atoms: tuple[Atom, ...], phrase: Phrase) -> bool:
    """ "Nobody in the mill yet", "it stays with the mill"."""
    before = atoms[phrase.first - 1].lower if phrase.first else ""
    return phrase.article in ("the", "this", "our") and before in STANDING_IN


def _lifts(view: Scene, phrase: Phrase) -> bool:
    """ "Hoist lifts at twenty feet a minute", "that lifts 600 kilos": what a thing does."""
    atoms = view.atoms
    if atoms[phrase.last - 1].lower != "lifts" or phrase.last >= len(atoms) or atoms[phrase.last - 1].after:
        return False
    behind = atoms[phrase.last].lower
    return phrase.last in view.numbers or phrase.last in view.measured or behind in FIGURES_BEHIND or behind == "a"
