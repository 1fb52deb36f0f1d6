"""Clauses weighed for cuts: the marks, and what the weights reach on recordings that they were not fitted on."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from extractors.lot_numbers import find_cues
from extractors.machines import begins_as_one, find_machines
from extractors.normalise import tokenise
from extractors.openings import clauses, find_openings
from extractors.weighed_cuts import clause_marks, row_marks, told, weights
from pipeline.timed_text import read_stamped
from tools.fit_cuts import all_recordings, judged_figures
from vocab import builtin


def marks_of(text: str, n: int) -> dict[str, float]:
    """Marks of the n-th clause."""
    tokens = tokenise(read_stamped(f"[0:00] {text}", "case"), builtin())[0]
    places = list(clauses(tokens, builtin()))
    return clause_marks(tokens, places, n, told(tokens, find_cues(tokens, builtin()), builtin()), builtin())


def whole_of(text: str) -> dict[str, float]:
    tokens = tokenise(read_stamped(f"[0:00] {text}", "case"), builtin())[0]
    return row_marks(
        tokens,
        find_openings(tokens, builtin()),
        find_cues(tokens, builtin()),
        series=begins_as_one(tokens, builtin()),
        vocabulary=builtin(),
    )


@pytest.mark.parametrize(
    ("mark", "catches", "leaves"),
    [
        ("own", "It runs. A band saw, ten inch.", "It runs. A nice colour, mostly grey."),
        ("serves", "It runs. The hopper is full.", "It runs. A band saw, ten inch."),
        ("news", "It runs. A band saw, ten inch.", "It runs. The band saw, ten inch."),
        ("known", "It runs. The band saw, ten inch.", "It runs. A band saw, ten inch."),
        (
            "own, new",
            "It runs. A band saw, ten inch.",
            "Here in the old shop on the left is the first of them, a band saw, which works, and then some. The saw.",
        ),
        ("comma behind", "It runs. Band saw, ten inch.", "It runs. Band saw is ten inch."),
        ("it first", "A band saw. It is ten inch.", "A band saw. Ten inch wheels."),
        ("place first", "A band saw. Behind the door, a lathe.", "A band saw. The door sticks."),
        ("next first", "A band saw. Next machine, a lathe.", "A band saw. The belt is new."),
        ("no verb", "It runs. Ten inch wheels.", "It runs. The wheels are ten inch."),
        ("plate", "It runs. Made in Ostrup, serial 1140.", "It runs. The paint is green."),
        ("plate before", "Serial 1140. A lathe.", "Runs well. A lathe."),
        ("closed before", "Price is two thousand. A lathe.", "Belt is blue. A lathe."),
        ("apart", "It runs. This is separate.", "It runs. This is green."),
        ("not shown", "It runs. The lathe is not for sale.", "It runs. The lathe is for sale."),
        ("lead", "It runs. Right. The lathe is green.", "It runs. The lathe is green."),
        ("question", "It runs. Does it stop?", "It runs. It stops."),
        ("of it", "It runs. The paint on it is green.", "It runs. The paint is green."),
    ],
)
def test_each_mark_catches_and_leaves(mark: str, catches: str, leaves: str) -> None:
    """Common practice of speech, no source."""
    assert marks_of(catches, 1).get(mark, 0) > 0
    assert not marks_of(leaves, 1).get(mark, 0)


@pytest.mark.parametrize(
    ("mark", "catches", "leaves"),
    [
        ("series", "This is the bottling line.", "This is a lathe."),
        ("together", "A lathe and a saw, sold as one.", "A lathe and a saw, sold."),
        ("several", "We have three machines here.", "We have a lathe here."),
        ("line", "The hopper feeds the belt.", "The hopper is full."),
        ("then the", "A press, then the oven.", "A press, and an oven."),
        ("two lots", "Lot one is a lathe. Lot two is a saw.", "Lot one is a lathe. It saws."),
        ("news", "A lathe, green. A saw, red.", "The paint is green."),
    ],
)
def test_each_mark_of_the_whole(mark: str, catches: str, leaves: str) -> None:
    assert whole_of(catches)[mark] > 0
    assert not whole_of(leaves)[mark]


def test_every_weight_is_of_a_mark() -> None:
    """A mark that was renamed in the reading would be weighed no more."""
    found: dict[str, set[str]] = {"row": set(), "cut": set()}
    for r in all_recordings():
        found["row"] |= set(r.row)
        found["cut"] |= {name for marks in r.marks for name in marks}
    assert {of: set(weights(builtin(), of)) - {"always"} for of in found} == found


def test_recordings_that_the_weights_were_not_fitted_on() -> None:
    """In folds over recordings written together, the weights alone: F1 0.79, two of 186 lines cut, row or line right in
    256 of 273 when this was written."""
    figures = judged_figures(all_recordings())
    assert figures["f1"] >= 0.75
    assert figures["lines cut"] <= 0.05 * figures["lines"]
    assert figures["row or line right"] >= 0.9 * figures["recordings"]


def test_weights_add_to_the_rules(monkeypatch: pytest.MonkeyPatch) -> None:
    """ "Blind hemmer, I nearly forgot." brings in a machine with none of the words that the rules know."""
    file = Path(__file__).parents[1] / "cases" / "machines.toml"
    cases = tomllib.loads(file.read_text(encoding="utf-8"))["case"]
    text = next(c["text"] for c in cases if c["name"] == "tailor's workshop, woman stopping")
    tokens = tokenise(read_stamped(text, "case"), builtin())[0]
    assert len(find_machines(tokens, builtin())) == 5
    monkeypatch.setattr("extractors.machines.WEIGHED_BAR", 99.0)
    assert len(find_machines(tokens, builtin())) == 4
