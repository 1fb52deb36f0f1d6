"""Things weighed: the marks, what is never outweighed, and what the weights reach on scenes they were not fitted on."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import numpy as np
import pytest

from extractors import weighed_things
from extractors.components import Gatherer
from extractors.scene import scene
from extractors.sequences import find_sequences
from extractors.thing_marks import Marks, noun
from extractors.thing_talk import thing_marks
from extractors.weighed_things import BAR, meant, odds, outweighed
from pipeline.run import read_words
from pipeline.timed_text import read_stamped
from pipeline.walk import Source, Walk
from tests.extractors.readings import CASES, clear
from tools.fit_things import all_narrations, f1
from vocab import builtin

SHOP = (
    "Gearbox test stand, 12 feet long, over here. It is in the bottling hall, near the wall, and nobody has moved it "
    "for years. There's a filler with a capper, and a labeller behind the capper. The engine's a diesel, three "
    "cylinder. The pump is 5 horse. I walk around to the other side now, so mind the hose. The labeller has a drive."
)


def marks_of(text: str, name: str) -> Marks:
    """Marks of the first phrase with a noun."""
    tokens, measures = clear(text)
    gatherer = Gatherer(scene(tokens, measures, builtin()), find_sequences(tokens, measures, builtin()), builtin())
    n = next(n for n, p in enumerate(gatherer.phrases) if noun(p) == name)
    return thing_marks(gatherer.recording, n, ruled="listed")


def walk_of(text: str) -> Walk:
    transcript = read_stamped(f"[0:00] {text}", "case")
    source = Source("case.txt", "", "transcript", transcript.duration)
    return read_words(transcript, builtin(), source, date(2026, 11, 27))


@pytest.mark.parametrize(
    ("mark", "catches", "leaves"),
    [
        ("behind by", "We stand by the pump.", "We see the pump."),
        ("behind with", "A tank with a pump.", "A tank and a pump."),
        ("article a", "There is a pump.", "There is the pump."),
        ("article another", "There is another pump.", "There is a pump."),
        ("article own", "It has its pump.", "It has the pump."),
        ("one word", "There is a pump.", "There is a sump pump."),
        ("ending of a machine", "There is a mixer.", "There is a pump."),
        ("spare", "There is a spare pump.", "There is a pump."),
        ("many of a singular", "A diesel, three pump.", "A diesel, three pumps."),
        ("opens", "Pump, ten horse.", "There's a pump."),
        ("opens behind small words", "And then the pump.", "Behind it the pump."),
        ("framed here 's", "Here's the pump.", "Mind the pump."),
        ("behind a comma", "A tank, a pump.", "A tank and a pump."),
        ("joined with and", "A tank and pump.", "A tank, pump."),
        ("being behind", "The pump is blue.", "The pump, blue."),
        ("figure behind a comma", "Pump, ten horse.", "Pump, blue."),
        ("ends its sentence", "There's a pump.", "There's a pump on it."),
        ("short sentence", "A pump.", "There is over there a pump."),
        ("no verb", "A pump, new.", "A pump is new."),
        ("alone", "There's a pump.", "There's a pump and a tank."),
        ("in a row", "A tank, pump.", "A tank has pump."),
        ("part behind its machine", "A dryer has a nozzle.", "It has a nozzle."),
        ("figures behind it", "The pump is ten horse.", "Ten horse has the pump."),
        ("denied", "That is not the pump.", "That is the pump."),
        ("speaker before", "I see the pump.", "See the pump."),
        ("elsewhere", "In the next room a pump.", "In the middle a pump."),
        ("question", "A blue pump?", "A blue pump."),
        ("said once", "A pump. A tank.", "A pump. The pump."),
        ("fate", "The pump stays here.", "The pump runs here."),
        ("fate told again", "There's a pump. The pump stays here.", "There's a pump. The tank stays here."),
        ("count told again", "There's pumps. Three pumps.", "There's pumps. The pumps."),
        ("waved aside behind it", "There's a pump, never mind that.", "There's a pump, mind that."),
        ("waved aside next", "There's a pump. That's another lot.", "There's a pump. That's another story."),
        ("of others", "There's a pump, on hire.", "There's a pump, on wheels."),
        ("apposed", "The tank, pump.", "The tank has pump."),
        ("behind its heading", "Tank. Pump, blue.", "Tank, blue. Pump, blue."),
        ("held", "It takes two pumps.", "There are two pumps."),
        ("kind of it", "It is a pump.", "Here is a pump."),
        ("very first", "The pump, blue. Blue tank.", "Blue tank. A hoist. The pump."),
    ],
)  # fmt: skip
def test_a_mark_catches_and_leaves(mark: str, catches: str, leaves: str) -> None:
    name = next((w for w in ("nozzle", "mixer") if w in catches), "pump")
    other = "nozzle" if "nozzle" in leaves else "pump"
    assert mark in marks_of(catches, name)
    assert mark not in marks_of(leaves, other)


def test_weights_add_up() -> None:
    always = odds({}, builtin())
    assert odds({"indexed": 2.0, "no such mark": 9.0}, builtin()) == pytest.approx(
        always + 2 * (odds({"indexed": 1.0}, builtin()) - always)
    )


def test_what_is_counted_or_decided_is_never_outweighed() -> None:
    against: Marks = {"many of a singular": 9.0}
    assert odds(against, builtin()) < BAR
    assert outweighed(against, builtin())
    for mark in ("fate", "fate told again", "count behind", "count told again"):
        assert meant({mark: 1.0})
        assert not outweighed(against | {mark: 1.0}, builtin())
    assert meant({"count": 1.0})
    assert not meant({"count": 1.0, "many of a singular": 1.0})


def test_what_is_named_in_passing_is_not_listed() -> None:
    names = {c.name for c in walk_of(SHOP).components}
    assert {"filler", "capper", "labeller", "pump"} <= names
    assert "cylinder" not in names


def test_figures_are_of_what_is_not_listed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(weighed_things, "BAR", 99.0)
    walk = walk_of(SHOP)
    assert "pump" not in {c.name for c in walk.components}
    assert ("pump", 5) in [(q.subject, q.value) for q in walk.quantities]


def test_all_of_a_short_note_is_listed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(weighed_things, "BAR", 99.0)
    assert "pump" in {
        c.name for c in walk_of("The hall is cold. Then there's a filler. The pump is 5 horse.").components
    }


def test_weighing_gains_where_it_was_not_fitted() -> None:
    scenes = all_narrations([Path(CASES) / "scenes/dispositions"])
    judged = [np.array([odds(row.marks, builtin()) for row in n.rows]) for n in scenes]
    assert f1(scenes, judged, BAR) > f1(scenes, judged, -1e9)
