"""Words a recogniser wrote for like-sounding ones: mended where trade context and sound both speak for it.

"480-bolt" is 480 volt, "free stage" three stage. A mending is recorded as heard and read, and the words keep a doubt.
Nothing is mended by likeness alone: the table says beside which words a reading is meant.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from extractors.mentions import RepairMention, Token, Tokens
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
    repairs: list[RepairMention] = []
    out = _phases_apart(tokens, repairs)
    i = 0
    while i < len(out):
        for words, row in rows.get(out[i].lower, ()):
            end = i + len(words)
            if tuple(t.lower for t in out[i:end]) != words or not _fits(out, i, end, row, numbers):
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


SUPPLIES = frozenset("110 120 220 230 240 380 400 440 460 480 600 690".split())
"""Supply voltages that end in a nought (IEC 60038, ANSI C84.1)."""
PHASES = {"1": "one", "3": "three"}


def _fits(out: list[Token], i: int, end: int, row: Row, numbers: dict[str, tuple[str, float]]) -> bool:
    """Whether the words around speak for the reading."""
    sentence = out[i].sentence
    before = out[i - 1] if i and out[i - 1].sentence == sentence and not out[i - 1].after else None
    after = out[end] if end < len(out) and out[end].sentence == sentence and not out[end - 1].after else None
    if row["after_number"] and not (before and (before.lower in numbers or before.text[:1].isdigit())):
        return False
    if row["before"] and not (after and after.lower.rstrip("s") in {w.rstrip("s") for w in row["before"]}):
        return False
    behind = {w.rstrip("s") for w in row["behind"] or ()}
    return not behind or bool(before and before.lower.rstrip("s") in behind)


def sounds_like(value: float, vocabulary: Vocabulary) -> tuple[float, ...]:
    """Figures that a listener may take for this one: fifteen and fifty, one off by a like-sounding word."""
    return tuple(
        float(other)
        for row in vocabulary["sound_alikes"]
        for other in row["numbers"] or ()
        if value in (row["numbers"] or ()) and other != value
    )
