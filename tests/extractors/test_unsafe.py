"""Advice that could hurt someone is held back, whatever its words; cautions and plain descriptions are not."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.extractors.test_breakdowns import read

HELD = [
    "Just jump the interlock behind the panel and she runs fine.",
    "You can jumper out the door switch and it will cycle with the guard open.",
    "We just hold the reset in and keep firing.",
    "They wedged the relief valve shut so it does not leak any more.",
    "We tape the two hand button down so one man can run it.",
    "The high limit on the burner has been jumpered since last winter.",
    "The operator has the guard tied up out of his way.",
    "The two hand control has been wired shut.",
    "You don't need to lock it out, it only takes a second.",
    "Skip the lockout, nobody does it for a belt change.",
    "Put a bigger fuse in.",
    "You just lean over the rail and grab the bar.",
    "Fellas crawl into the tank to scrape it.",
    "Smell the drum and you can tell what was in it.",
    "You don't need gloves for that acid, it's weak.",
    "The operators run it with the door switch taped.",
    "To start it you short these two terminals with a screwdriver.",
    "Cap off the safety valve if it weeps.",
    "Stick your head in the drum and sniff.",
    "Somebody put a solid link in the fuse holder.",
    "Just vent the ammonia out the window.",
    "You can weld right on that tank, it has only had diesel in it.",
    "Mix the bleach in with the acid and it cleans lovely.",
    "You can stick a screwdriver in the interlock and it runs with the lid up.",
    "They took the low level probe out so it won't trip.",
    "He greases the chain while it's moving, saves stopping.",
    "Just put your hand over the photo eye and it keeps going.",
    "Nobody bothers with the lockout for a blade change.",
    "I'd just torch the tank in half to get it out the door.",
    "Blow the dust off with the air hose, it's only flour.",
    "You don't need a permit to go in that tank.",
]
PASSED_ON = [
    "Never jump the interlock on this machine.",
    "Nobody may climb on the conveyor.",
    "Make sure nobody jumps the safety circuit.",
    "There is a bypass line around the filter with two valves.",
    "The light curtain is held on two brackets.",
    "The emergency stop is tied into the line's main circuit.",
    "Safety relays are wired to the new controller.",
    "Blocked guard openings were measured at the last survey.",
    "Tie bars are behind the guard, ten inches apart.",
    "The relief valve was plugged with scale so they replaced it.",
    "The acid tank and the caustic tank stand in the pit.",
    "Neither one's going anywhere without a permit.",
    "Lock it out before you clear a jam.",
    "The smell in the tank room is vinegar.",
    "You need gloves and a face shield to open it.",
    "The tank has a walkway along the side.",
    "There's a photo eye on the gate.",
    "Hold the reset for three seconds and it starts.",
    "There is a block valve either side of the relief valve.",
    "The belt runs without stopping for a shift.",
    "The chain is greased every week, and it cleans itself while it's running.",
    "It's loud while it's running.",
    "The dust collector has an air hose on it.",
    "They took two breakers out of the panel.",
    "The tank came in two halves, and the level probe is new.",
]


@pytest.mark.parametrize("said", HELD)
def test_held_back(said: str, tmp_path: Path) -> None:
    _, mentions = read(said, tmp_path)
    assert [r.kind for r in mentions.remarks if r.kind == "unsafe"] == ["unsafe"]


@pytest.mark.parametrize("said", PASSED_ON)
def test_passed_on(said: str, tmp_path: Path) -> None:
    _, mentions = read(said, tmp_path)
    assert not [r.text for r in mentions.remarks if r.kind == "unsafe"]


def test_nothing_else_of_the_clause_is_passed_on(tmp_path: Path) -> None:
    _, mentions = read("You can leave it powered up while you change the belt.", tmp_path)
    assert [r.kind for r in mentions.remarks] == ["unsafe"]
