"""Figures that were said and not heard: number words of a script missing from a transcript, both normalised.

    python tools/figures.py SCRIPT.txt TRANSCRIPT.txt [SCRIPT TRANSCRIPT ...]

Normalised by whisper-normalizer's English rules ("a hundred and ten pound" -> "110 pound"), aligned word by word with
jiwer; a figure counts as found where the word aligned with it is the same. Also prints word errors and words lost.
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


def script_of(text: str) -> str:
    """A script without stamps and comments."""
    return " ".join(re.sub(r"^\[[\d:.]+\]\s*", "", s) for s in text.splitlines() if not s.startswith("#"))


def is_figure(word: str) -> bool:
    return any(c.isdigit() for c in word)


def score(script: str, heard: str) -> Score:
    """One transcript against its script."""
    import jiwer

    said, got = normaliser()(script), normaliser()(heard)
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
