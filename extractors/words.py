"""What a recogniser or a caption file gives: words with times, and what may be quoted from them."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Word:
    """One word as it was written down, punctuation attached ("feet," is one word)."""

    text: str
    """The word as written, without spaces around it."""
    start: float
    """Seconds from the start of the recording."""
    end: float
    """Seconds; never before start."""
    probability: float = 1.0
    """The recogniser's own probability, 0 to 1; 1 where a person wrote the words."""
    alternatives: tuple[str, ...] = ()
    """What other hearings of the same seconds gave instead, best first; empty where they agreed or there were none."""
    doubt: str | None = None
    """In a few words why the listening stage does not trust this word; None where it does."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """Where a fact was said: seconds, and the words verbatim."""

    start: float
    end: float
    words: str
    recording: str | None = None
    """File name of a later visit's recording or paper; None for the walk's own."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Seconds of a recording that were not understood, and why."""

    start: float
    end: float
    why: str


@dataclass(frozen=True, slots=True)
class Transcript:
    """All words of one recording in order of time."""

    words: tuple[Word, ...]
    breaks: tuple[int, ...] = ()
    """Indices of words that begin a new paragraph (a caption line, a pause of over a second)."""
    apart: tuple[int, ...] = ()
    """Indices of words before which no earlier word is meant any more: another visit, a row of a sheet."""
    duration: float = 0.0
    """Seconds of the whole recording."""
    language: str = "en"
    language_probability: float = 1.0
    model: str | None = None
    """Name of the recogniser's model; None where the words came with their times."""
    unheard: tuple[Stretch, ...] = ()
    """Speech without words: nothing may be concluded from these seconds."""
    listening: tuple[str, ...] = field(default=())
    """One line for each second hearing: which seconds, what both hearings gave, which was taken and why."""

    def quote(self, first: int, last: int) -> Evidence:
        """Evidence for words first to last (last excluded)."""
        part = self.words[first:last]
        if not part:
            raise ValueError(f"no words between {first} and {last}")
        return Evidence(part[0].start, part[-1].end, " ".join(w.text for w in part))
