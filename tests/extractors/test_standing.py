"""Basis, doubt, running state, condition and defects, given mentions as the other readers would hand them over."""

from __future__ import annotations

import pytest

from extractors.asides import mark_asides
from extractors.mentions import QuantityMention, RemarkMention, ThingMention
from extractors.normalise import tokenise
from extractors.standing import find_remarks
from extractors.words import Transcript, Word
from vocab import builtin


def stand(
    text: str, *, figures: str = "", things: str = "", disposition: str | None = None
) -> tuple[tuple[ThingMention, ...], tuple[QuantityMention, ...], tuple[RemarkMention, ...]]:
    """Read a text whose words in `figures` are figures and in `things` are things, each mention one word."""
    parts = text.split()
    words = tuple(Word(w, i * 0.4, i * 0.4 + 0.3) for i, w in enumerate(parts))
    tokens = mark_asides(tokenise(Transcript(words), builtin())[0], builtin())
    bare = [w.strip(".,;:?!").lower() for w in parts]
    found = tuple(
        QuantityMention((i, i + 1), "it", "other", 1.0, "") for i, w in enumerate(bare) if w in figures.split()
    )
    named = tuple(
        ThingMention((i, i + 1), w, disposition=disposition) for i, w in enumerate(bare) if w in things.split()
    )
    return find_remarks(tokens, named, found, builtin())


@pytest.mark.parametrize(
    ("text", "basis"),
    [
        ("The plate says forty kilowatts.", "plate"),
        ("It is forty kilowatts on the tag.", "plate"),
        ("The gauge reads forty psi.", "gauge"),
        ("That's forty psi on the dial.", "gauge"),
        ("The manual says forty strokes.", "document"),
        ("I measured forty inches.", "measured"),
        ("I paced it off at forty feet.", "estimated"),
        ("The operator told me forty a minute.", "told"),
        ("It is forty feet long.", None),
    ],
)
def test_basis(text: str, basis: str | None) -> None:
    _, (figure,), _ = stand(text, figures="forty")
    assert figure.basis == basis


def test_a_basis_ends_where_another_thing_begins() -> None:
    _, figures, _ = stand(
        "The tag says forty volts, twelve amps, and the tank holds nine.", figures="forty twelve nine"
    )
    assert [f.basis for f in figures] == ["plate", "plate", None]
    said = "It runs at forty, and on the whiteboard they wrote ten."
    _, figures, _ = stand(said, figures="forty ten")
    assert [f.basis for f in figures] == [None, "document"]


def test_by_whom() -> None:
    _, (figure,), _ = stand("The planner told me forty loads.", figures="forty")
    assert figure.by == "The planner"
    _, (figure,), _ = stand("I was told forty loads.", figures="forty")
    assert figure.by is None


@pytest.mark.parametrize(
    ("text", "hedged"),
    [
        ("It is forty tons, I think.", True),
        ("It is forty tons I think, four sixty volts.", True),
        ("I think it's forty tons.", True),
        ("Maybe forty tons.", True),
        ("It's forty tons. Don't quote me on that.", True),
        ("It is forty tons, I think the paint is original.", False),
        ("Don't quote me but it's low on oil. It is forty tons.", False),
        ("It is forty tons.", False),
    ],
)
def test_hedges(text: str, hedged: bool) -> None:
    _, figures, _ = stand(text, figures="forty")
    assert figures[0].status == ("hedged" if hedged else "stated")


def test_a_hedge_reaches_one_figure() -> None:
    _, figures, _ = stand("Seventy tons I think, four sixty volts.", figures="seventy sixty")
    assert [f.status for f in figures] == ["hedged", "stated"]


def test_what_is_said_of_a_thing_goes_to_it() -> None:
    things, _, remarks = stand("The pump is weeping at the gland. The fan is noisy, no leaks.", things="pump fan")
    assert things[0].defects == ("The pump is weeping at the gland",)
    assert things[1].defects == ("The fan is noisy",)
    assert things[1].condition == "no leaks"
    assert remarks == ()


def test_through_it() -> None:
    things, _, _ = stand("There's a blower here. It's noisy.", things="blower")
    assert things[0].defects == ("It's noisy",)


@pytest.mark.parametrize(
    ("text", "running"),
    [
        ("The mill was up to pressure just now.", "under load"),
        ("I ran the mill for a minute.", "under power"),
        ("The mill is disconnected.", "not seen"),
        ("The mill is over here.", None),
    ],
)
def test_running(text: str, running: str | None) -> None:
    things, _, _ = stand(text, things="mill")
    assert things[0].running == running


def test_reason() -> None:
    said = "The rail stays, it's part of the building."
    things, _, _ = stand(said, things="rail", disposition="excluded")
    assert things[0].reason == "it's part of the building"
    things, _, _ = stand(said, things="rail")
    assert things[0].reason is None, "a reason for nothing is none"


def test_unsafe_advice_is_a_remark() -> None:
    _, _, remarks = stand("The valve sticks, give it a whack and it opens.", things="valve")
    assert [(r.kind, r.subject) for r in remarks] == [("unsafe", "valve")]


def test_direction_of_the_whole() -> None:
    _, _, remarks = stand("Product runs left to right.")
    assert [r.kind for r in remarks] == ["direction"]


def test_a_question_states_no_condition() -> None:
    things, _, remarks = stand("Is the pump leaking?", things="pump")
    assert things[0].defects == ()
    assert remarks == ()


@pytest.mark.parametrize(
    "text",
    [
        "The bath runs at eighty degrees.",
        "The belt runs two hundred a minute.",
        "The chain runs the length of the room.",
        "The oven runs on gas.",
        "Two is the second alkaline clean, and three is a rinse.",
        "There is a clean bench and a dead plate.",
        "The scored roll makes the crease.",
        "Check the tank for rust.",
        "Any leaks you would see from here.",
        "If there's any rust on the frame it is at the back.",
    ],
)
def test_words_that_are_no_condition(text: str) -> None:
    things, _, remarks = stand(text, things="bath belt chain oven bench roll tank frame")
    assert [(t.condition, t.defects, t.running) for t in things] == [(None, (), None)] * len(things)
    assert remarks == ()


@pytest.mark.parametrize(
    "text",
    [
        "The pump's oil is nice and clean.",
        "The pump is spotless.",
        "The pump, no sign of any leaks.",
        "The pump, I couldn't find any rust.",
        "The pump, dirty but dry.",
    ],
)
def test_condition_said_of_a_thing(text: str) -> None:
    (thing,), _, _ = stand(text.replace("pump's", "pump"), things="pump")
    assert thing.condition
    assert not thing.defects


def test_defects_said_of_a_thing() -> None:
    for text in ("The pump is shot.", "The pump whines.", "The pump needs a new seal.", "The pump, loose at the foot."):
        (thing,), _, _ = stand(text, things="pump")
        assert thing.defects, text


def test_a_long_remark_does_not_end_in_a_word_that_leads_on() -> None:
    text = "The left hand one of the two big old grey painted pump casings has a crack the size of a hand."
    (thing,), _, _ = stand(text, things="pump")
    assert thing.defects[0].split()[-1] not in {"a", "of", "the"}
