"""Figures that were said and not heard: number words of a script missing from a transcript, both normalised.

    python tools/figures.py SCRIPT.txt TRANSCRIPT.txt [SCRIPT TRANSCRIPT ...]

Normalised by whisper-normalizer's English rules and what they leave in two writings ("700 and 80"), aligned with jiwer;
a figure counts as found where the word aligned with it is the same. Also prints word errors and words lost.
"""

from __future__ import annotations

import functools
import re
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any


@dataclass(frozen=True, slots=True)
class Score:
    """Counts over one transcript, or pooled over several."""

    words: int = 0
    errors: int = 0
    lost: int = 0
    """Words of the script that no word is aligned with."""
    figures: int = 0
    missed: tuple[str, ...] = ()

    def __add__(self, other: Score) -> Score:
        return Score(
            self.words + other.words, self.errors + other.errors, self.lost + other.lost,
            self.figures + other.figures, self.missed + other.missed,
        )  # fmt: skip

    def __str__(self) -> str:
        return (
            f"words {self.words}  errors {100 * self.errors / max(1, self.words):.2f} %  "
            f"lost {100 * self.lost / max(1, self.words):.2f} %  figures not found {len(self.missed)} of {self.figures}"
        )


@functools.lru_cache
def normaliser() -> Any:
    from whisper_normalizer.english import EnglishTextNormalizer

    return EnglishTextNormalizer()


_FRACTIONS = {"half": ".5", "quarter": ".25", "1 quarter": ".25", "3 quarter": ".75", "3 quarters": ".75"}
_SIGNS = {
    "½": "half",
    "¼": "a quarter",
    "¾": "three quarters",
    "1/2": "half",
    "1/4": "a quarter",
    "3/4": "three quarters",
}


_HOURS = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen twenty twenty-one twenty-two twenty-three"
).split()
_ONES = "one|two|three|four|five|six|seven|eight|nine"
_MINUTE = (
    rf"(?:(?:twenty|thirty|forty|fifty)(?:[ -](?:{_ONES}))?|oh[ -](?:{_ONES})|"
    "ten|eleven|twelve|thirteen|fourteen|fifteen|sixteen|seventeen|eighteen|nineteen)"
)
_DAY = (
    r"(?:\s+(?:in the (?:morning|afternoon|evening)|o'clock|on (?:a )?(?:mon|tues|wednes|thurs|fri|satur|sun)day)\b"
    r"|\s*[ap]\.?m\b)"
)
_TIME_OF_DAY = re.compile(
    rf"\b(?:it is|it's|the time is)\s+((?:{'|'.join(_HOURS[:9:-1])})[ -]{_MINUTE})(?=[,.;!?]|\s*$|\s+and\b|{_DAY})"
    rf"|\b((?:{'|'.join(_HOURS[::-1])})[ -]{_MINUTE})(?={_DAY})",
    re.IGNORECASE,
)
"""An hour and minutes: behind "it is" from ten on ("it is two fifty" may be pounds), else before a part of the day."""


def times_of_day(script: str) -> frozenset[str]:
    """The times of day that a script tells in words, in the normaliser's writing: "1020" for "it is ten twenty"."""
    return frozenset(normaliser()(m[1] or m[2]).strip() for m in _TIME_OF_DAY.finditer(script))


def plain(text: str, times: frozenset[str] = frozenset()) -> str:
    """A text in the normaliser's writing, and what that leaves in two ways in one.

    It reads "thirty and a half" as 30.5 and "seven hundred and eighty" as 780, but leaves "30 and a half", "30 1/2" and
    "700 and 80" as they are, makes 50500 of "five hundred, five hundred" and eight words
    with a figure of "T-O-R-V-A-N-N-E". Both sides go through this: what a person said and what was heard. Figures that
    differ in value ("2.50" for two fifty) stay apart; but "10.20" and "10:20" are ten twenty where that is
    among the times of day that were said.
    """
    text = re.sub(
        r"(?<![\d.,:])(\d{1,2})[.:](\d\d)(?![\d:]|[.,]\d)",
        lambda m: m[1] + m[2] if m[1] + m[2] in times else m[0],
        text,
    )
    text = re.sub(r"\b[A-Za-z](?:[-. ]+[A-Z]\b){2,}|\b[A-Za-z](?:-[A-Za-z]\b){2,}", _joined, text)
    text = re.sub(r"\b[Oo]-?(?=\d)", "0", text)
    text = re.sub(r"\ba (?=(?:hundred|thousand|million)\b)", "one ", text, flags=re.IGNORECASE)
    text = re.sub(r"(?<=\d)\s*([½¼¾])", r" and \1", text)
    text = re.sub(r"(\d)[\s-]+(1/2|1/4|3/4)(?![\d/])", r"\1 and \2", text)
    text = re.sub(r"[½¼¾]|(?<![\d/])(?:1/2|1/4|3/4)(?![\d/])", lambda m: _SIGNS[m[0]], text)
    text = " ".join(normaliser()(clause).strip() for clause in re.split(r"(?<=[,;:.?!])\s+", text))
    text = re.sub(
        r"(?<![.\d])(\d+) and (?:a |1 |one )?(half|quarter|1 quarter|3 quarters?)\b(?! of\b)",
        lambda m: m[1] + _FRACTIONS[m[2]],
        text,
    )
    # a hundred with tens or ones behind it is one number: nobody lists "700 and 80" of different things
    text = re.sub(r"(?<![.\d])(\d*[1-9]00) and ([1-9]\d?)(?!\.?\d)", lambda m: str(int(m[1]) + int(m[2])), text)
    return re.sub(r"(?<![\d.])0+(?=\d)", "", re.sub(r"(?<![\d.])\.(?=\d)", "0.", text))


def _joined(spelt: re.Match[str]) -> str:
    """The word of spelt letters."""
    return re.sub(r"[^A-Za-z]", "", spelt[0])


def script_of(text: str) -> str:
    """A script without stamps and comments."""
    return " ".join(re.sub(r"^\[[\d:.]+\]\s*", "", s) for s in text.splitlines() if not s.startswith("#"))


def is_figure(word: str) -> bool:
    return any(c.isdigit() for c in word)


def score(script: str, heard: str) -> Score:
    """One transcript against its script."""
    import jiwer

    times = times_of_day(script)
    said, got = plain(script, times), plain(heard, times)
    if not got.strip():
        words = said.split()
        return Score(len(words), len(words), len(words), sum(map(is_figure, words)), tuple(filter(is_figure, words)))
    out = jiwer.process_words(said, got)
    reference, found = out.references[0], out.hypotheses[0]
    missed: list[str] = []
    for part in out.alignments[0]:
        if part.type in ("substitute", "delete"):
            for k in range(part.ref_start_idx, part.ref_end_idx):
                other = found[part.hyp_start_idx + k - part.ref_start_idx] if part.type == "substitute" else ""
                if is_figure(reference[k]):
                    missed.append(f"{reference[k]}→{other or '·'}")
    return Score(
        len(reference), out.substitutions + out.deletions + out.insertions, out.deletions,
        sum(map(is_figure, reference)), tuple(missed),
    )  # fmt: skip


def main() -> None:
    names = sys.argv[1:]
    if not names or len(names) % 2:
        sys.exit(__doc__)
    total = Score()
    for script, heard in zip(names[::2], names[1::2], strict=True):
        one = score(script_of(Path(script).read_text("utf-8")), script_of(Path(heard).read_text("utf-8")))
        print(f"{Path(heard).name}: {one}\n  {' '.join(one.missed)}")
        total += one
    if len(names) > 2:
        print(f"all: {total}")


if __name__ == "__main__":
    main()
