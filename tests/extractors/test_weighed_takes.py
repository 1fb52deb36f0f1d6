"""Take-backs that are weighed: what they do to the walk, what they leave alone, and how many are found in snippets."""

from __future__ import annotations

import json
import re
import time
from pathlib import Path

import pytest

from extractors.extract import extract
from extractors.normalise import tokenise
from extractors.odds import weights_in
from extractors.repairs import find_repairs, reported
from extractors.said_values import comparable, values_said
from extractors.take_marks import word_kinds
from extractors.takebacks import pieces_of, tools
from pipeline.assemble import assemble
from pipeline.timed_text import read_stamped
from pipeline.walk import Source, Walk
from tools.fit_takes import says
from vocab import builtin

SNIPPETS = Path(__file__).parents[1] / "cases/snippets"
FLOORS = {"a": (43, 3), "b": (23, 7)}
"""Take-backs found in each set of snippets at least, and false ones at most. Weights were fitted on a, not on b."""


def walk_of(text: str) -> Walk:
    transcript = read_stamped(text, "case")
    source = Source("case", "0" * 64, "transcript", transcript.duration)
    return assemble(transcript, extract(transcript, builtin()), source)


def takes(text: str) -> list[tuple[str, str]]:
    tokens, _ = tokenise(read_stamped(text, "case"), builtin())
    return [(r.heard, r.read) for r in reported(find_repairs(tokens, builtin()))]


@pytest.mark.parametrize("name", sorted(FLOORS))
def test_of_snippets_by_others_so_many_are_found_and_so_few_are_false(name: str) -> None:
    hits = false = 0
    for line in (SNIPPETS / f"{name}.jsonl").read_text(encoding="utf-8").splitlines():
        snippet = json.loads(line)
        golds = list(snippet["corrections"])
        for heard, read in takes(snippet["text"]):
            fits = [
                c for c in golds if says(heard, c["dropped"]) and (says(read, c["kept"]) or not (c["kept"] or read))
            ]
            hits += bool(fits)
            false += not fits
            if fits:
                golds.remove(fits[0])
    least, most = FLOORS[name]
    assert (min(hits, least), max(false, most)) == (least, most), (hits, false)


def test_what_is_weighed_as_taken_back_is_withdrawn_and_what_replaces_it_corrected() -> None:
    walk = walk_of(
        "[0:15] This here is a bridge crane, top running, thirty ton. What's that, Dale? Dale says twenty five, it got "
        "derated when they changed the hook. So twenty five ton, span is 58 feet."
    )
    found = [(q.value, q.status) for q in walk.quantities if q.unit == "ton"]
    assert found == [(30, "withdrawn"), (25, "corrected")]


def test_a_count_that_is_taken_back_gives_way() -> None:
    walk = walk_of(
        "[0:00] Ammonia system, we got two condensers on the roof, evaporative. "
        "He's hollering three! Alright Manny, three condensers."
    )
    assert [c.count for c in walk.present if c.name == "condensers"] == [3]


@pytest.mark.parametrize(
    ("text", "unit", "standing"),
    [
        ("[0:00] Blower name plate is showing 685 cfm at 9 psig. Flashlight, please. 8, 6, 5. 865 cfm.", "psi", 9),
        ("[0:11] The cabinet stands nine foot six, nine foot nine if I read the laser right this time.", "foot", 6),
    ],
)
def test_figures_read_out_one_by_one_and_inches_take_nothing_back(text: str, unit: str, standing: float) -> None:
    gone = [(q.value, q.unit) for q in walk_of(text).quantities if q.status == "withdrawn"]
    assert (standing, unit) not in gone


def test_a_bare_figure_takes_the_unit_of_the_one_before() -> None:
    walk = walk_of("[0:00] Punch press, sixty ton. Hold on, wipe that. The plate says eighty. Good clutch.")
    standing = [(q.value, q.unit) for q in walk.active]
    assert (80, "ton") in standing
    assert (60, "ton") not in standing


@pytest.mark.parametrize(
    "text",
    [
        "[0:00] Zone one holds 375 degrees and zone two holds 425 degrees, then zone three drops to 350 degrees.",
        "[0:00] There are four silos on this side and two over there, each is 3,000 cubic foot.",
        "[0:00] The hopper on the left weighs 900 pounds and the one on the right is 1,150 pounds.",
        "[0:00] The tank is twelve foot long. It is four foot wide, and the walls are three eighths of an inch.",
    ],
)
def test_figures_of_several_things_take_nothing_back(text: str) -> None:
    assert takes(text) == []


def test_values_are_compared_only_with_their_kind() -> None:
    tokens, _ = tokenise(
        read_stamped("[0:00] It is 40 volts, 30 feet, 20 inches, stainless, copper, gas.", "c"), builtin()
    )
    pieces, where = pieces_of(tokens, tools(builtin())[0])
    volts, feet, inches, stainless, copper, gas = values_said(pieces, tokens, where, builtin())
    assert comparable(feet, inches)
    assert comparable(stainless, copper)
    assert not any(comparable(*two) for two in ((volts, feet), (copper, gas), (inches, stainless)))


def test_every_kind_of_word_has_a_weight_somewhere() -> None:
    """The words of a kind that no weight asks for would do nothing."""
    known = {m.split(": ")[1] for m in weights_in(builtin(), "take_weights") if re.fullmatch(r"[a-z ]+: [a-z]+", m)}
    kinds = {k for ks in word_kinds(builtin()).values() for k in ks}
    assert kinds <= known


def test_time_goes_by_the_length() -> None:
    line = (
        "Tank {n} is twelve foot by six, 40 gallons a minute at 60 psi, the pump is 5 horse, no, 7 horse, stainless. "
    )

    def seconds(lines: int) -> float:
        tokens, _ = tokenise(read_stamped("[0:00] " + "".join(line.format(n=n) for n in range(lines)), "c"), builtin())
        began = time.process_time()
        find_repairs(tokens, builtin())
        return time.process_time() - began

    seconds(5)
    assert seconds(160) < 8 * seconds(40) + 0.2
