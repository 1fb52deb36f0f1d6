"""Phrases of a table found in a row of pieces, by their first word: one look-up a word, the longest phrase first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Generic, TypeVar

from extractors.takebacks import figure_at
from extractors.word_classes import Piece

T = TypeVar("T")


class PhraseTable(Generic[T]):
    """Spoken forms with what each stands for; # in a form stands for any figure."""

    def __init__(self, forms: Iterable[tuple[str, T]]) -> None:
        self._by_first: dict[str, list[tuple[tuple[str, ...], T]]] = {}
        for form, meaning in forms:
            words = tuple(form.split())
            self._by_first.setdefault(words[0], []).append((words, meaning))
        for entries in self._by_first.values():
            entries.sort(key=lambda e: -len(e[0]))

    def at(self, pieces: Sequence[Piece], i: int) -> tuple[int, T] | None:
        """The longest phrase that starts at i: where it ends, and what it stands for."""
        entries = self._by_first.get(pieces[i].lower, [])
        if pieces[i].kind == "number":
            entries = [*entries, *self._by_first.get("#", [])]
        for words, meaning in entries:
            end = _match(pieces, i, words)
            if end is not None:
                return end, meaning
        return None

    def all(self, pieces: Sequence[Piece]) -> Iterator[tuple[int, int, T]]:
        """Every phrase, first to last: where it begins and ends, and what it stands for. None overlap."""
        i = 0
        while i < len(pieces):
            hit = self.at(pieces, i)
            if hit is None:
                i += 1
                continue
            yield i, hit[0], hit[1]
            i = max(hit[0], i + 1)


def _match(pieces: Sequence[Piece], i: int, words: tuple[str, ...]) -> int | None:
    at = i
    for word in words:
        if at >= len(pieces) or (at > i and pieces[at - 1].ends):
            return None
        if word == "#":
            end = figure_at(pieces, at, len(pieces))
            if end == at and pieces[at].lower not in {"a", "an"}:
                return None
            at = max(end, at + 1)
        elif pieces[at].lower == word:
            at += 1
        else:
            return None
    return at
