"""Words a recogniser wrote for like-sounding ones: mended where trade context and sound both speak for it.

"480-bolt" is 480 volt, "free stage" three stage. A mending is recorded as heard and read, and the words keep a doubt.
Nothing is mended by likeness alone: the table says beside which words a reading is meant.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from extractors.mentions import RepairMention, Token, Tokens
from extractors.misheard_names import mend_names
from extractors.misheard_roles import mend_numbers, mend_roles
from extractors.misheard_units import mend_units
from extractors.misheard_words import mend_words
from extractors.spoken_numbers import table
from extractors.words import Transcript
from vocab import Row, Vocabulary


@lru_cache(maxsize=8)
def _rows(vocabulary: Vocabulary) -> dict[str, list[tuple[tuple[str, ...], Row]]]:
    out: dict[str, list[tuple[tuple[str, ...], Row]]] = {}
    for row in vocabulary["mishearings"]:
        for form in row["heard"]:
            words = tuple(form.split())
            out.setdefault(words[0], []).append((words, row))
    for rows in out.values():
        rows.sort(key=lambda r: -len(r[0]))
    return out


def mend(tokens: Tokens, transcript: Transcript, vocabulary: Vocabulary) -> tuple[Tokens, tuple[RepairMention, ...]]:
    """The tokens with mishearings mended, and a mention for each."""
    if transcript.model is None:
        return tokens, ()  # a person wrote these words
    rows = _rows(vocabulary)
    numbers = table(vocabulary)
    units = unit_words(vocabulary)
    repairs: list[RepairMention] = []
    out = _compounds_apart(_phases_apart(tokens, repairs), vocabulary)
    i = 0
    while i < len(out):
        for words, row in rows.get(out[i].lower, ()):
            end = i + len(words)
            if tuple(t.lower for t in out[i:end]) != words or not _fits(out, i, end, row, numbers, units):
                continue
            heard = " ".join(t.text for t in out[i:end])
            first, last = out[i], out[end - 1]
            made = [
                replace(
                    first,
                    text=w,
                    lower=w,
                    end=last.end,
                    probability=min(t.probability for t in out[i:end]),
                    after=last.after if k == len(row["meant"].split()) - 1 else "",
                    heard=heard,
                    doubt=f"heard as {heard!r}",
                )
                for k, w in enumerate(row["meant"].split())
            ]
            span = (first.word, last.word + 1)
            repairs.append(RepairMention("mishearing", heard, row["meant"], kept=span))
            out[i:end] = made
            break
        i += 1
    out = mend_words(mend_units(out, units, repairs), vocabulary, repairs)
    out = mend_names(out, vocabulary, repairs)
    out = mend_roles(mend_numbers(out, vocabulary, repairs), vocabulary, repairs)
    return tuple(out), tuple(repairs)


def _phases_apart(tokens: Tokens, repairs: list[RepairMention]) -> list[Token]:
    """ "483-phase" is how recognisers write four eighty, three phase: the last figure belongs to the phases."""
    out: list[Token] = []
    for k, t in enumerate(tokens):
        follows = k + 1 < len(tokens) and not t.after and tokens[k + 1].lower in ("phase", "phases")
        if follows and len(t.text) == 3 and t.text.isdigit() and f"{t.text[:2]}0" in SUPPLIES and t.text[2] in PHASES:
            volts, phases = f"{t.text[:2]}0", PHASES[t.text[2]]
            doubt = f"heard as {t.text!r}"
            for word in (volts, phases):
                out.append(replace(t, text=word, lower=word, heard=t.text, doubt=doubt))
            repairs.append(RepairMention("mishearing", t.text, f"{volts} {phases}", kept=(t.word, t.word + 1)))
        else:
            out.append(t)
    return out


@lru_cache(maxsize=8)
def _compounds(vocabulary: Vocabulary) -> dict[str, tuple[str, str]]:
    """Names of two words as one ("workbar"), where the table does not know the one word as well."""
    names = {n for row in vocabulary["components"] for n in row["names"]}
    single = {w for n in names for w in n.split()} | {n for row in vocabulary["wholes"] for n in row["names"]}
    pairs = [n.split() for n in names if n.count(" ") == 1 and n.replace(" ", "").isalpha()]
    return {a + b: (a, b) for a, b in pairs if a + b not in single and min(len(a), len(b)) >= SHORTEST}


SHORTEST = 3
"""Shortest half of a compound that is parted; chosen, no source."""


def _compounds_apart(tokens: list[Token], vocabulary: Vocabulary) -> list[Token]:
    """ "workbars" is "work bars": the writing of the table, nothing was misheard."""
    known = _compounds(vocabulary)
    out: list[Token] = []
    for t in tokens:
        pair = known.get(t.lower) or known.get(t.lower.removesuffix("s"))
        if pair is None:
            out.append(t)
            continue
        cut = len(pair[0])
        out.append(replace(t, text=t.text[:cut], lower=t.lower[:cut], after=""))
        out.append(replace(t, text=t.text[cut:], lower=t.lower[cut:]))
    return out


SUPPLIES = frozenset("110 120 220 230 240 380 400 440 460 480 600 690".split())
"""Supply voltages that end in a nought (IEC 60038, ANSI C84.1)."""
PHASES = {"1": "one", "3": "three"}


@lru_cache(maxsize=8)
def unit_words(vocabulary: Vocabulary) -> frozenset[str]:
    """Last words of all spoken units."""
    return frozenset(form.split()[-1] for row in vocabulary["units"] for form in row["spoken"])


def _fits(
    out: list[Token], i: int, end: int, row: Row, numbers: dict[str, tuple[str, float]], units: frozenset[str]
) -> bool:
    """Whether the words around speak for the reading."""
    sentence = out[i].sentence
    before = out[i - 1] if i and out[i - 1].sentence == sentence and not out[i - 1].after else None
    after = out[end] if end < len(out) and out[end].sentence == sentence and not out[end - 1].after else None
    figure = before is not None and (before.lower in numbers or before.text[:1].isdigit())
    if (row["after_number"] or row["at_least"]) and not (before and figure):
        return False
    if row["at_least"] and before and _value(before, numbers) < row["at_least"]:
        return False
    if row["after_unit"] and not (before and before.lower in units):
        return False
    if row["below"] and min(t.probability for t in out[i:end]) >= row["below"]:
        return False
    if row["before_number"] and not (after and (after.lower in numbers or after.text[:1].isdigit())):
        return False
    if (row["closing"] or row["alone"]) and after is not None:
        return False
    if row["alone"] and i > 1 and not out[i - 2].after and out[i - 2].sentence == sentence:
        return False
    if row["before"] and not (after and after.lower.rstrip("s") in {w.rstrip("s") for w in row["before"]}):
        return False
    behind = {w.rstrip("s") for w in row["behind"] or ()}
    return not behind or bool(before and before.lower.rstrip("s") in behind)


def _value(token: Token, numbers: dict[str, tuple[str, float]]) -> float:
    """What a word of a figure counts; 0 for none."""
    if token.lower in numbers:
        return numbers[token.lower][1]
    digits = token.text.replace(",", "")
    return float(digits) if digits.replace(".", "", 1).isdigit() else 0.0


def sounds_like(value: float, vocabulary: Vocabulary) -> tuple[float, ...]:
    """Figures that a listener may take for this one: fifteen and fifty, one off by a like-sounding word."""
    return tuple(
        float(other)
        for row in vocabulary["sound_alikes"]
        for other in row["numbers"] or ()
        if value in (row["numbers"] or ()) and other != value
    )
