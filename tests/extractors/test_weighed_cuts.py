"""Clauses weighed for cuts: the marks, and what the weights reach on recordings that they were not fitted on."""

from __future__ import annotations

import tomllib
from pathlib import Path

import numpy as np
import pytest

from extractors.clause_marks import clause_marks, told
from extractors.clause_names import name_in
from extractors.clause_plates import Plates, plate_marks, tags_alike
from extractors.clause_talk import series_of, talk_marks, talk_of
from extractors.lot_numbers import find_cues
from extractors.machines import find_machines
from extractors.normalise import tokenise
from extractors.openings import clauses, find_openings
from extractors.row_marks import row_marks
from extractors.ruled_cuts import begins_as_one, ruled_cuts
from extractors.spans import PACE_MARKS, PACES, SPAN_MARKS, WIDEST, Counted, Floats, pace_marks, span_marks
from extractors.ways import NEVER, Weighed, all_ways, weigh
from extractors.weighed_cuts import PACE_NAMES, identities, of_cuts, weighed, weights
from pipeline.timed_text import read_stamped
from tools.fit_cuts import all_recordings, by_folds, judged_figures
from vocab import builtin


def clauses_in(text: str) -> list[int]:
    return list(clauses(tokenise(read_stamped(f"[0:00] {text}", "case"), builtin())[0], builtin()))


def marks_of(text: str, n: int) -> dict[str, float]:
    """Marks of the n-th clause."""
    tokens = tokenise(read_stamped(f"[0:00] {text}", "case"), builtin())[0]
    places = list(clauses(tokens, builtin()))
    t, talk = told(tokens, find_cues(tokens, builtin()), builtin()), talk_of(tokens, places, (), builtin())
    marks = clause_marks(tokens, places, n, t, builtin())
    plates = Plates(identities(tokens), tags_alike(tokens, places, builtin()))
    marks |= talk_marks(tokens, places, n, t, talk, builtin())
    return marks | plate_marks(tokens, places, n, t, plates, builtin())


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
        ("own", "It runs. A dumbwaiter, ten foot.", "It runs. A nice colour, mostly grey."),
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
        ("agent", "It runs. Blue crimper, ten inch.", "It runs. Blue water, ten inch."),
        ("agent, new", "It runs. Blue crimper, ten inch.", "The crimper runs. Blue crimper, ten inch."),
        ("name stops", "It runs. Blue crimper, ten inch.", "It runs. Blue crimper has ten inch."),
        ("with the last", "A saw. The fence goes with it.", "A saw. The fence is bent."),
        ("gone", "A saw. The crane is the landlord's.", "A saw. The crane is green."),
        ("price before", "Two thousand bucks. A lathe.", "Two thousand rpm. A lathe."),
        ("title", "It runs. Folder. Four plates.", "It runs. Okay. Four plates."),
        ("identity in 12", "It runs. A band saw, a Corden, serial 4 4 0 7.", "It runs. A band saw, ten inch."),
        ("identity just told", "Serial 4 4 0 7 1. A lathe.", "A pale green one. A lathe."),
        ("plate first", "A band saw. Serial is 4 4 0 7.", "A band saw. Cereals are milled in it."),
        ("plate first", "A baler. Corden, K L 5, 2013.", "A baler. Belt, cracked and dry."),
        ("plate next", "It runs. Kneader. Made in Ostrup, 1988.", "It runs. Kneader. Its bowl is bent."),
        (
            "tags alike",
            "Tag 2204, a fan. 2201's the pump. And 2210, chiller.",
            "A fan, 2204. 18 blades. It's 3.",
        ),
        ("tags alike", "Q 1 4, a fan. Q 1 9, pump. Q 0 2 is a chiller.", "Quite big. Q 1 9, pump. Loud."),
        (
            "tags alike",
            "Six oh one, a fan. Six oh four, pump. Six oh two's gone.",
            "Six fans. Six oh four, pump. Tubs.",
        ),
        ("gone", "A saw. The crane is withdrawn.", "A saw. The crane is drawn up."),
        ("person before", "I'd pay nine for it. A lathe.", "Pays nine a day. A lathe."),
        ("short before", "It runs. A lathe.", "It runs in the cold as well. A lathe."),
        ("it before", "It's green. A lathe.", "Green paint. A lathe."),
        ("only figures before", "Nine hundred. A lathe.", "Nine hundred pieces an hour. A lathe."),
        ("a place in it", "It runs. The kneader's over by the window.", "It runs. The kneader's rusted through."),
        (
            "added to what is old",
            f"A kneader. {'It is loud. ' * 25}Going back, the kneader leaks.",
            "A kneader. Going back, it leaks.",
        ),
        ("again", "A kneader. The kneader again.", "A kneader. The fence again."),
        ("back to a name", "A kneader. Back to the kneader.", "A kneader. The kneader."),
        ("bare name of several words", "It runs. Dough kneader, ten quart.", "It runs. The dough kneader, ten quart."),
        ("told late of a known one", "A saw. Oh, the saw is bent.", "A saw. Oh, the fence is bent."),
    ],
)
def test_each_mark_catches_and_leaves(mark: str, catches: str, leaves: str) -> None:
    """Common practice of speech, no source."""
    late = len(clauses_in(catches)) - 1 if mark == "added to what is old" else 1
    assert marks_of(catches, late).get(mark, 0) > 0
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
        ("prices", "A lathe, two thousand bucks.", "A lathe, two thousand rpm."),
        ("pace", "Six hundred an hour.", "Six hundred of them."),
        ("told said first", "I go piece by piece.", "I go on."),
        ("one said", "We don't split it.", "We sell it."),
        ("goes with", "The vise goes with the saw.", "The vise is bent."),
    ],
)
def test_each_mark_of_the_whole(mark: str, catches: str, leaves: str) -> None:
    assert whole_of(catches)[mark] > 0
    assert not whole_of(leaves)[mark]


def test_every_weight_is_of_a_mark() -> None:
    """A mark that was renamed in the reading would be weighed no more."""
    paces = {*PACE_MARKS, *PACE_NAMES}
    found: dict[str, set[str]] = {"row": set(), "cut": set(), "span": set(SPAN_MARKS), "pace": paces}
    for r in all_recordings():
        found["row"] |= set(r.words) | set(of_cuts(r.clauses, weighed(r.clauses, builtin())))
        found["cut"] |= {name for marks in r.clauses.marks for name in marks}
    assert {of: set(weights(builtin(), of)) - {"always"} for of in found} == found


@pytest.mark.slow
def test_recordings_that_the_weights_were_not_fitted_on() -> None:
    """In folds over recordings written together, each read without the words that came in with it: F1 0.826, five of
    316 lines cut, row or line right in 471 of 488 when this was written. Before sets 22 and 23 were among them, 36
    harder rows, it was 0.861 and the floor 0.84."""
    known = all_recordings()
    figures = judged_figures(known, by_folds(known))
    assert figures["f1"] >= 0.82
    assert figures["lines cut"] <= 0.02 * figures["lines"]
    assert figures["row or line right"] >= 0.9 * figures["recordings"]


def test_weights_add_to_the_rules() -> None:
    """ "Blind hemmer, I nearly forgot." brings in a machine with none of the words that the rules know."""
    file = Path(__file__).parents[1] / "cases" / "machines.toml"
    cases = tomllib.loads(file.read_text(encoding="utf-8"))["case"]
    text = next(c["text"] for c in cases if c["name"] == "tailor's workshop, woman stopping")
    tokens = tokenise(read_stamped(text, "case"), builtin())[0]
    assert len(find_machines(tokens, builtin())) == 5
    openings, cues = find_openings(tokens, builtin()), find_cues(tokens, builtin())
    assert len(ruled_cuts(tokens, openings, cues, builtin())) == 3


def weighed_by(gain: float, spans: Floats) -> Weighed:
    return weigh(np.array([0.0, gain, gain]), spans[None], np.zeros(1))


def test_chances_are_of_all_ways_of_cutting() -> None:
    """Three clauses can be cut in four ways, all alike where nothing speaks for or against one."""
    alike = weighed_by(0.0, np.zeros((3, 3)))
    assert alike.chances.tolist() == pytest.approx([0, 0.5, 0.5])
    assert alike.against_none == pytest.approx(np.log(4))
    short = np.zeros((3, 3))
    short[:, 0] = -9.0  # a machine takes two clauses
    assert weighed_by(3.0, short).chances.tolist() == pytest.approx([0, 0, 0.05], abs=0.05)


def test_a_recording_of_hours_is_weighed_in_bounded_widths() -> None:
    n = 1500
    c = Counted(edges=range(0, 10 * n + 1, 10), identities=[], years=[], figures=[], machines=[])
    marks = span_marks(c)
    assert marks.shape == (n, WIDEST, len(SPAN_MARKS))
    paces = pace_marks(c.edges)
    assert paces.shape == (len(PACES), n, WIDEST, len(PACE_MARKS))
    stretches = marks.sum(2) - paces[..., 1:].sum(3)
    assert np.isfinite(weigh(np.full(n, -3.0), stretches, np.zeros(len(PACES))).chances).all()


def test_the_pace_of_the_whole_says_what_is_one_machine() -> None:
    """The same clause between stretches of twenty words is a cut where all others are told in twenty, and none where
    they take a hundred."""

    def told_in(others: int) -> Weighed:
        edges = [0, *np.cumsum([20, *[others] * 6, 20, *[others] * 5]).tolist()]
        opens = np.array([0.0, *[3.0] * 6, 0.0, *[3.0] * 5])
        return weigh(opens, -4.0 * pace_marks(edges)[..., 1:].sum(3), np.zeros(len(PACES)))

    quick, slow = told_in(20), told_in(105)
    assert (quick.paces.argmax(), slow.paces.argmax()) == (PACES.index(20), PACES.index(105))
    assert quick.chances[7] > 0.8
    assert slow.chances[7] < 0.1


def test_rows_of_several_lengths_are_fitted_as_they_are_read() -> None:
    """Filled up to one length and weighed together, two rows have the chances that each has by itself."""
    rng = np.random.default_rng(1)
    sizes, paces = (4, 7), rng.normal(size=3)
    opens, stretches = rng.normal(size=(2, 7)), rng.normal(size=(3, 2, 7, 7))
    for k, n in enumerate(sizes):
        stretches[:, k, ~(np.arange(7)[:, None] + np.arange(7) < n)] = NEVER
    ways = all_ways(opens, stretches, np.array(sizes))
    for k, n in enumerate(sizes):
        alone = weigh(opens[k, :n], stretches[:, k, :n, :n], paces)
        each = np.exp(paces + ways.totals[:, k])
        assert (each / each.sum()) @ ways.chances[:, k, :n] == pytest.approx(alone.chances)
        assert (each / each.sum()) == pytest.approx(alone.paces)


@pytest.mark.parametrize(
    ("said", "plates"),
    [
        ("Serial number 4 0 7 7 1 2, built 2006.", 1),
        ("The serial's on the back, hold on, K S 1 4 0.", 1),
        ("There's no plate on it.", 1),
        ("Serial 1140. It runs and it has been in the corner for years. Number's 20 L 3 7.", 2),
        ("Thirty horse, 460 volts, twelve hundred a minute.", 0),
        ("Built in 2006, and 1,500 litres.", 0),
    ],
)
def test_plates_that_are_told(said: str, plates: int) -> None:
    tokens = tokenise(read_stamped(f"[0:00] {said}", "case"), builtin())[0]
    assert len(identities(tokens)) == plates


@pytest.mark.parametrize(
    ("said", "counted"),
    [
        ("Bay one, a pump. It leaks. Bay two, a fan. Bay four is a saw.", 3),
        ("30 417 is a lathe. Runs. 30 418 is its twin. 30 422, a press.", 3),
        ("Bay one, a pump. Bay two, a fan.", 0),
        ("Bay four, a pump. Bay two, a fan. Bay one, a saw.", 0),
    ],
)
def test_numbers_that_count_on(said: str, counted: int) -> None:
    tokens = tokenise(read_stamped(f"[0:00] {said}", "case"), builtin())[0]
    assert len(series_of(tokens, list(clauses(tokens, builtin())), builtin())) == counted


@pytest.mark.parametrize(
    ("said", "noun", "grade"),
    [
        ("A rotary wheel frobber, blue.", "frobber", "open"),
        ("The air compressor is loud.", "compressor", "machine"),
        ("Thirty horse saws.", "saw", "part"),
        ("It is.", "", ""),
    ],
)
def test_what_a_clause_names(said: str, noun: str, grade: str) -> None:
    tokens = tokenise(read_stamped(f"[0:00] {said}", "case"), builtin())[0]
    name = name_in(tokens, 0, len(tokens), builtin())
    assert (name.noun.split()[-1], name.grade) == (noun, grade) if name else noun == ""
