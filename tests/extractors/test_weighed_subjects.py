"""Subjects weighed: the marks, when the rules are left alone, and what is reached where nothing was fitted."""

from __future__ import annotations

from pathlib import Path

import pytest

from extractors import weighed_subjects
from extractors.candidates import Name
from extractors.odds import weights_in
from extractors.subject_marks import Figure, Marks, all_marks, distance
from extractors.subjects import Subjects
from extractors.weighed_subjects import LEAST_WORDS, WAYS, likely, weighed
from pipeline.timed_text import read_stamped
from tests.extractors.readings import CASES, clear
from tools.fit_subjects import known, narrations_in, weighed_right
from vocab import builtin

UNSEEN = CASES / "narrations_unseen"
TALK = " ".join(["Nothing much to add about the floor here, and mind the step."] * 6)


def subjects_of(text: str) -> tuple[Subjects, Figure]:
    """The subjects of a text without numbered stations or known things, and its last figure."""
    tokens, measures = clear(text)
    subjects = Subjects(tokens, measures, (), (), builtin(), "kiln")
    figures = []
    for m in measures:
        figures.append(subjects.ruled(m))
        subjects.previous = (m, figures[-1].ruled)
    return subjects, figures[-1]


def marks_of(text: str, name: str) -> Marks:
    """The marks of the last name so called, of the last figure of a text."""
    subjects, figure = subjects_of(text)
    return [marks for n, marks in all_marks(subjects.around, figure) if n.text == name][-1]


@pytest.mark.parametrize(
    ("name", "mark", "catches", "leaves"),
    [
        ("pump", "here", "The pump is 5 horse.", "The pump is green. It is 5 horse."),
        ("pump", "1 back", "The pump is green. It is 5 horse.", "The pump is 5 horse."),
        ("pump", "behind", "It is 5 horse on the pump.", "The pump is 5 horse."),
        ("pump", "next", "It is 5 horse. The pump is green.", "The pump is 5 horse."),
        ("pump", "here behind on", "There is on the pump 5 horse.", "There is the pump 5 horse."),
        ("pump", "here, article a", "It has a pump, 5 horse.", "It has the pump, 5 horse."),
        ("pump", "here, pointed at by that", "The pump, that is 5 horse.", "The pump is 5 horse."),
        ("pump", "here, figure behind is", "The pump is 5 horse.", "The pump, 5 horse."),
        ("pump", "noun pump, of power", "The pump is 5 horse.", "The pump is 5 feet."),
        ("pump", "here, opens True", "The pump is 5 horse.", "We have over there in the corner the pump, 5 horse."),
        ("pump", "here, 1 figures between", "The pump is 5 feet by the way and 5 horse.", "The pump is 5 horse."),
        ("pump", "of the figure before", "The pump is 5 feet. It is 5 horse.", "A fan, 5 feet. The pump, 5 horse."),
        ("pump", "1 back, in 2 words, opens True", "The pump. 5 horse.", "The pump stands over there. 5 horse."),
        ("kiln", "whole, opening", "It is 5 horse.", f"{TALK} It is 5 horse. {TALK} {TALK}"),
        ("kiln", "whole, closing", f"{TALK} {TALK} It is 5 horse.", "It is 5 horse."),
        ("kiln", "whole, pointed at by it", "It is 5 horse.", "We have 5 horse."),
        ("kiln", "whole, sentence opens total", "Total is 5 horse.", "It is 5 horse."),
    ],
)  # fmt: skip
def test_a_mark_is_set_where_it_is_so_and_not_else(name: str, mark: str, catches: str, leaves: str) -> None:
    assert marks_of(catches, name).get(mark)
    subjects, figure = subjects_of(leaves)
    assert not any(n.text == name and marks.get(mark) for n, marks in all_marks(subjects.around, figure))


@pytest.mark.parametrize(
    ("words", "name"),
    [(0, "0 words off"), (3, "3 words off"), (4, "a few words off"), (48, "very far"), (49, "beyond")],
)
def test_distances_have_names(words: int, name: str) -> None:
    assert distance(words) == name


def test_a_name_said_twice_is_as_likely_as_both() -> None:
    names = [(Name("pump"), {"a": 1.0}), (Name("fan"), {"a": 1.0}), (Name("Pump"), {"a": 1.0})]
    shares = likely(names, {"a": 0.5})
    assert {k: round(v, 3) for k, (v, _) in shares.items()} == {"pump": 0.667, "fan": 0.333}


def test_what_the_rules_found_in_the_clause_is_never_weighed(monkeypatch: pytest.MonkeyPatch) -> None:
    subjects, figure = subjects_of(f"{TALK} The fan is green. The pump is 5 horse.")
    monkeypatch.setattr(weighed_subjects, "weights_in", lambda *_: {"1 back": 50.0})
    assert figure.way not in WAYS
    assert weighed(subjects.around, figure, builtin()).text == figure.ruled.text == "pump"


@pytest.mark.parametrize(("odds", "name"), [(0.3, "kiln"), (3.0, "fan")])
def test_another_name_must_be_clearly_likelier(monkeypatch: pytest.MonkeyPatch, odds: float, name: str) -> None:
    subjects, figure = subjects_of(f"{TALK} The fan is green. Over there nobody has looked. 5 horse.")
    figure = Figure(figure.measure, subjects.whole, "whole", None, None)
    monkeypatch.setattr(weighed_subjects, "weights_in", lambda *_: {"noun fan": 9.0 + odds, "ruled whole": 9.0})
    assert weighed(subjects.around, figure, builtin()).text == name


def test_a_note_of_a_few_words_is_left_to_the_rules(monkeypatch: pytest.MonkeyPatch) -> None:
    subjects, figure = subjects_of("The fan is green. Over there it has 5 horse.")
    assert len(subjects.tokens) < LEAST_WORDS
    monkeypatch.setattr(weighed_subjects, "weights_in", lambda *_: {"whole": 50.0})
    assert weighed(subjects.around, figure, builtin()) is figure.ruled


def test_what_cannot_have_a_figure_is_not_weighed_for_it() -> None:
    subjects, figure = subjects_of("The pump stands there. The paint is green. It is 5 horse.")
    able = subjects.around.able
    assert not [n.text for n, _ in all_marks(subjects.around, figure) if not able(n.text, figure.measure)][:-1]


def test_weighing_is_right_more_often_than_the_rules_where_it_was_never_fitted() -> None:
    weights = dict(weights_in(builtin(), "subject_weights"))
    figures = [k for n in narrations_in(UNSEEN, "unseen", 1.0) for k in n.known]
    ruled = sum(k.ruled_right for k in figures) / len(figures)
    found = sum(weighed_right(k, weights, weighed_subjects.CLEARLY) for k in figures) / len(figures)
    assert found >= ruled + 0.015, (ruled, found)


def test_a_figure_without_a_gold_teaches_nothing(tmp_path: Path) -> None:
    talk = tmp_path / "talk.txt"
    talk.write_text("[0:00] The pump is 5 horse.\n[0:05] The fan is 3 horse.\n", encoding="utf-8")
    assert read_stamped(talk.read_text(encoding="utf-8"), "talk").words
    assert len(known(talk, [{"p": "power", "v": 3, "u": "horsepower", "s": ["fan"]}])) == 1
