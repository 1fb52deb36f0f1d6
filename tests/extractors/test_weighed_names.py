"""Things and names that are weighed as taken back, and take-backs by rules that are doubted."""

from __future__ import annotations

import pytest

from extractors.extract import extract
from extractors.normalise import tokenise
from extractors.repairs import find_repairs, reported
from pipeline.assemble import assemble
from pipeline.timed_text import read_stamped
from pipeline.walk import Source, Walk
from vocab import builtin


def walk_of(text: str) -> Walk:
    transcript = read_stamped("[0:00] " + text, "case")
    return assemble(
        transcript,
        extract(transcript, builtin()),
        Source("case", "0" * 64, "transcript", transcript.duration),
    )


def takes(text: str) -> list[tuple[str, str]]:
    tokens, _ = tokenise(read_stamped("[0:00] " + text, "case"), builtin())
    return [(r.heard, r.read) for r in reported(find_repairs(tokens, builtin()))]


@pytest.mark.parametrize(
    ("text", "old", "new"),
    [
        (
            "This tall box is the gas chiller. Is it. Lid's off, it's black inside. So it isn't the chiller, it's the "
            "carbon filter, 1.2 metres across.",
            "the gas chiller",
            "the carbon filter",
        ),
        (
            "Trim press, next. It's a Brexley. Let me get around where the tag is. Okay, it is not a Brexley, it's a "
            "Drummet, they got the Brexley at the other plant.",
            "a Brexley",
            "a Drummet",
        ),
        (
            "This box behind is the vacuum pump. No. Wait, it has a burner on it, so it is not the pump, it's the "
            "steam generator.",
            "the vacuum pump",
            "the steam generator",
        ),
        (
            "And down here beside it, that's the quench tank. Hmm. There's a mixer on top. Strike that, it's the "
            "die lube tank, fifty five gallons.",
            "the quench tank",
            "the die lube tank",
        ),
    ],
)
def test_a_thing_that_turns_out_to_be_another_is_taken_back(text: str, old: str, new: str) -> None:
    assert takes(text) == [(old, new)]


def test_what_was_taken_back_is_no_thing_of_the_walk() -> None:
    walk = walk_of(
        "This tall box is the gas chiller. Is it. Lid's off, it's black inside. So it isn't the chiller, it's the "
        "carbon filter, 1.2 metres across."
    )
    assert [c.name for c in walk.present] == ["carbon filter"]
    assert [(q.subject, q.value) for q in walk.active] == [("carbon filter", 1.2)]


@pytest.mark.parametrize(
    "text",
    [
        "Station one is the washer. Then comes the rinse, and behind that is the dryer. No leaks. It's the big one.",
        "This is the loader. The next one is the conveyor, and that's the oven over there. I don't like the oven.",
        "That's the hopper, and behind it's the feeder. Then it's the elevator, bucket type.",
    ],
)
def test_things_named_one_after_another_take_nothing_back(text: str) -> None:
    assert takes(text) == []


@pytest.mark.parametrize(
    "text",
    [
        "Hydraulic tank's three hundred gallons. No, I'm not sticking my finger in it. Sorry, hang on, there's a guy "
        "with a pallet jack.",
        "The filleting machine weighs 2,900 kilos, so bring a proper forklift. Actually it is a good line, it smells.",
        "Excuse me. Yes? No, no, the blue truck. Sorry. So the raw stone silo, sixty cubic metres, is not in the sale.",
        "It weighs six hundred pounds. The ducts run to the back of the collector, sorry, excuse me ma'am, and up.",
        "It's eight feet wide and nine foot six to the top of the tanks. Call it seventy thousand pounds with the "
        "oil out.",
    ],
)
def test_what_only_stands_like_a_take_back_is_none(text: str) -> None:
    assert takes(text) == []


@pytest.mark.parametrize(
    ("text", "value", "status"),
    [
        ("The RO skid puts out sixty gallons a minute. You know what, strike the sixty, I can't back that up.", 60, 0),
        ("Genset, 350 kw, they said 2,000 hours. Don't put that down, the meter's been swapped.", 2000, 0),
        ("Gear oil, she takes about fifteen gallons. Don't hold on to that number, read the manual.", 15, 0),
        ("Box furnace, it goes to 2,200 degrees. Forget I said a temperature, the controller is dead.", 2200, 0),
        ("The pump does 40 litres. Don't go over that number.", 40, 1),
        ("The crane takes 5 tonnes. Don't put that in the rain.", 5, 1),
    ],
)
def test_a_figure_is_withdrawn_without_another(text: str, value: float, status: int) -> None:
    found = [q.status for q in walk_of(text).quantities if q.value == value]
    assert found == [("withdrawn", "stated")[status]]


def test_a_year_that_is_left_blank_is_not_that_of_the_machine() -> None:
    walk = walk_of("The engine lathe was built in 1988. Actually I got no idea, leave the year blank. 20 inch swing.")
    assert walk.identity.year is None
