"""Every row of the cue tables catches the sentence it names, and leaves the other alone."""

from __future__ import annotations

import pytest

from extractors.asides import mark_asides
from extractors.mentions import Tokens
from extractors.normalise import tokenise
from extractors.repairs import find_repairs, reported
from extractors.standing import find_phrases
from extractors.takebacks import FILLERS
from extractors.words import Transcript, Word
from vocab import Row, builtin


def tokens_of(text: str) -> Tokens:
    words = tuple(Word(w, i * 0.4, i * 0.4 + 0.3) for i, w in enumerate(text.split()))
    return tokenise(Transcript(words, duration=len(words) * 0.4), builtin())[0]


def first(row: Row) -> str:
    return str(row["spoken"][0])


@pytest.mark.parametrize("row", builtin()["takebacks"].rows, ids=first)
def test_takebacks(row: Row) -> None:
    assert reported(find_repairs(tokens_of(row["catches"]), builtin())), row["catches"]
    assert not reported(find_repairs(tokens_of(row["leaves"]), builtin())), row["leaves"]


@pytest.mark.parametrize("row", builtin()["asides"].rows, ids=first)
def test_asides(row: Row) -> None:
    caught = {t.aside for t in mark_asides(tokens_of(row["catches"]), builtin())}
    left = {t.aside for t in mark_asides(tokens_of(row["leaves"]), builtin())}
    assert row["reason"] in caught
    assert row["reason"] not in left


@pytest.mark.parametrize("row", builtin()["standing"].rows, ids=first)
def test_standing(row: Row) -> None:
    def kinds(text: str) -> set[tuple[str, str]]:
        return {(f.kind, f.value) for f in find_phrases(tokens_of(text), builtin())}

    assert (row["kind"], row["value"]) in kinds(row["catches"])
    assert (row["kind"], row["value"]) not in kinds(row["leaves"])


@pytest.mark.parametrize("table", ["takebacks", "asides", "standing"])
def test_forms_are_plain_words(table: str) -> None:
    for row in builtin()[table].rows:
        for form in row["spoken"]:
            assert form == form.lower().strip()
            assert not set(form) & set(",;:?!"), form


def test_fillers_are_no_cues_of_their_own() -> None:
    assert not FILLERS & {f for row in builtin()["asides"].rows for f in row["spoken"]}
