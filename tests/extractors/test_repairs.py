"""Take-backs: what is dropped, what is left to read, what is put on record."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extractors.mentions import RepairMention, Tokens
from extractors.normalise import tokenise
from extractors.repairs import find_repairs, repaired_text, reported, without
from extractors.words import Transcript, Word
from tests.machine import least_seconds, slowness
from vocab import builtin

CASES = tomllib.loads((Path(__file__).parents[1] / "cases" / "takebacks.toml").read_text(encoding="utf-8"))["case"]


def spoken(text: str) -> Transcript:
    words = tuple(Word(w, i * 0.4, i * 0.4 + 0.3) for i, w in enumerate(text.split()))
    return Transcript(words, duration=len(words) * 0.4)


def bare(text: str) -> str:
    """Without capitals and punctuation, as some recognisers write."""
    return re.sub(r"[.,;:?!]", "", text).lower()


def taken(text: str) -> tuple[Tokens, tuple[RepairMention, ...]]:
    tokens, _ = tokenise(spoken(text), builtin())
    repairs = find_repairs(tokens, builtin())
    return without(tokens, repairs), reported(repairs)


def left(tokens: Tokens) -> str:
    return " ".join(t.lower for t in tokens)


def unhyphened(text: str) -> str:
    """Numbers may be read as one word or as two."""
    return text.lower().replace("-", " ")


def plain(text: str) -> str:
    return left(tuple(tokenise(spoken(text), builtin())[0]))


@pytest.mark.parametrize("case", CASES, ids=lambda c: c["said"][:40])
def test_case(case: dict[str, str]) -> None:
    tokens, repairs = taken(case["said"])
    assert left(tokens) == plain(case["reads"])
    assert [(unhyphened(r.heard), unhyphened(r.read)) for r in repairs] == (
        [(unhyphened(case["heard"]), unhyphened(case["read"]))] if case["heard"] else []
    )


@pytest.mark.parametrize("case", [c for c in CASES if not c.get("paused")], ids=lambda c: c["said"][:40])
def test_case_without_punctuation(case: dict[str, str]) -> None:
    tokens, repairs = taken(bare(case["said"]))
    assert left(tokens) == plain(case["reads"])
    assert len(repairs) == (1 if case["heard"] else 0)


FILLED = [c["said"] for c in CASES if "er," not in c["said"]]


@settings(max_examples=60, deadline=None, derandomize=True)
@given(
    said=st.sampled_from(FILLED),
    places=st.lists(st.tuples(st.integers(0, 60), st.sampled_from(["uh", "um"])), max_size=6),
)
def test_fillers_change_nothing(said: str, places: list[tuple[int, str]]) -> None:
    words = said.split()
    for at, filler in places:
        words.insert(at % (len(words) + 1), filler)
    plain_tokens, plain_repairs = taken(said)
    tokens, repairs = taken(" ".join(words))
    assert left(tokens) == left(plain_tokens)
    assert [(r.heard, r.read) for r in repairs] == [(r.heard, r.read) for r in plain_repairs]


@settings(max_examples=100, deadline=None, derandomize=True)
@given(said=st.sampled_from([c["said"] for c in CASES]), end=st.integers(0, 200), start=st.integers(0, 40))
def test_cut_anywhere_invents_nothing(said: str, end: int, start: int) -> None:
    part = said[start:end]
    tokens, repairs = taken(part)
    words = {t.lower for t in tokenise(spoken(part), builtin())[0]}
    assert {t.lower for t in tokens} <= words
    for r in repairs:
        for word in (*r.heard.split(), *r.read.split()):
            assert word.lower() in words


@given(st.text(max_size=200))
@settings(max_examples=60, deadline=None, derandomize=True)
def test_any_text_is_read_without_a_crash(text: str) -> None:
    taken(text)
    repaired_text(text)


def test_what_a_filler_pauses_is_a_pause() -> None:
    tokens, _ = taken("It takes twelve, uh, quarts")
    assert [t.after for t in tokens] == ["", "", ",", ""]


def test_words_meant_of_both_figures_are_read_of_the_one_that_stands() -> None:
    tokens, (repair,) = taken("The dryer moves three hundred cfm, no, five hundred.")
    assert left(tokens) == "the dryer moves five hundred cfm"
    assert repair.heard == "three hundred cfm"
    assert tokens[-1].word == tokens[-2].word, "the borrowed unit points at the words that stand"


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("How wide was no how deep was the channel?", "how deep was the channel?"),
        ("Which pump feeds the north sorry the south tank?", "Which pump feeds the south tank?"),
        ("Who built the first rather the second kiln?", "Who built the second kiln?"),
        ("Where does the river no wait the canal end?", "Where does the canal end?"),
        ("Who painted the mill that no other town had?", "Who painted the mill that no other town had?"),
        ("What rather large vessel lay there?", "What rather large vessel lay there?"),
    ],
)
def test_sentences_as_text(said: str, meant: str) -> None:
    assert repaired_text(said) == meant


def test_reading_time_grows_with_the_words_only() -> None:
    """Ten minutes of speech, 1500 words, in well under a third of a second on two cores; an hour in proportion."""
    said = " ".join(c["said"] for c in CASES)
    transcript = spoken(" ".join([said] * 20))
    tokens, _ = tokenise(transcript, builtin())
    find_repairs(tokens[:500], builtin())
    bar = 0.3 * slowness() * max(1, len(tokens) / 1500)
    assert least_seconds(lambda: find_repairs(tokens, builtin()), bar) < bar


@pytest.mark.parametrize(
    "said", ["one ", "no no ", "not five ", "I said five it's ", "or two, no, ", "sorry ", "uh er ", "the the "]
)
def test_hours_of_one_phrase_are_read_in_seconds(said: str) -> None:
    tokens, _ = tokenise(spoken(said * 2000), builtin())
    bar = 5 * slowness()
    assert least_seconds(lambda: find_repairs(tokens, builtin()), bar) < bar
