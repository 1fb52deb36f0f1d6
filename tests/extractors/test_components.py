"""Things a buyer would list. Expectations are the plain sense of the sentences, no outside source."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extractors.mentions import Token
from extractors.phrases import singular, spelling
from tests.extractors.readings import cases, gathered, identity, stations, things
from vocab import builtin, extended


@pytest.mark.parametrize("case", cases("components"), ids=lambda c: c["why"])
def test_components_as_said(case: dict[str, Any]) -> None:
    wanted = sorted(case["gives"])
    full = any(w.count(";") == 3 for w in wanted)
    found = []
    for thing in gathered(things(case["said"])):
        fields = [thing["name"], thing["count"], thing["disposition"], thing["material"] if full else None]
        found.append("; ".join("" if f is None else str(f) for f in fields).rstrip("; "))
    assert sorted(found) == wanted


@pytest.mark.parametrize("row", builtin()["dispositions"].rows, ids=lambda r: r["spoken"][0])
def test_each_disposition_cue_catches_and_leaves(row: dict[str, Any]) -> None:
    caught = things(row["catches"])
    if row["disposition"] == "gone":
        assert not caught
    elif row["disposition"] == "reason":
        assert any(t.reason for t in caught)
    else:
        assert any(t.disposition for t in caught)
    if row["leaves"]:
        assert things(row["leaves"])
        assert not any(t.disposition for t in things(row["leaves"]))


def test_a_clause_about_another_thing_is_no_reason() -> None:
    said = "There's a mixer, a pump and a hoist. Mixer's yours, pump's yours, hoist belongs to the neighbors."
    reasons = {t["name"]: t["reason"] for t in gathered(things(said))}
    assert reasons["mixer"] is reasons["pump"] is None
    assert reasons["hoist"]


def test_a_reason_is_quoted() -> None:
    (thing,) = gathered(things("The overhead rail, that stays, it's hung off the building steel."))
    assert (thing["disposition"], thing["reason"]) == ("excluded", "it's hung off the building steel")


def test_a_part_points_at_its_total() -> None:
    found = things("We have six dryers here, four of them are gas and two are steam.")
    wanted = [("dryers", 6, None), ("gas dryers", 4, 0), ("steam dryers", 2, 0)]
    assert [(t.name, t.count, t.part_of) for t in found] == wanted


def test_a_component_has_a_plate_of_its_own() -> None:
    text = "This is the steam boiler, built by Brentavio in 1999. The burner runs. The burner is made by Falsetti."
    found = {t["name"]: t["maker"] for t in gathered(things(text))}
    assert found["burner"] == "Falsetti"


def test_a_user_may_add_a_thing() -> None:
    own = extended(builtin(), '[[components]]\ntrade = "my shop"\ngrade = "machine"\nnames = ["zorbal"]\n')
    assert not things("They took the zorbal apart.")
    assert [t.name for t in things("They took the zorbal apart.", own)] == ["zorbal"]


@pytest.mark.parametrize(
    ("one", "many"),
    [
        ("press", "presses"),
        ("switch", "switches"),
        ("assembly", "assemblies"),
        ("knife", "knives"),
        ("hose", "hoses"),
        ("tooth", "teeth"),
    ],
)
def test_plurals(one: str, many: str) -> None:
    """English spelling rules for the plural, any school grammar."""
    assert singular(many) == singular(one) == one


def test_both_sides_of_the_atlantic() -> None:
    """British and American spellings, as general dictionaries give them."""
    pairs = (("labeller", "labeler"), ("palletiser", "palletizer"), ("colour", "color"), ("moulder", "molder"))
    for british, american in pairs:
        assert spelling(british).replace("ll", "l") == spelling(american).replace("ll", "l")


FILLERS = ["uh", "um", "er"]


@settings(max_examples=30, deadline=None)
@given(st.sampled_from(FILLERS), st.sampled_from(["a chiller", "two pumps", "the filter press"]))
def test_fillers_change_nothing(filler: str, thing: str) -> None:
    article, noun = thing.split(" ", 1)
    plain = gathered(things(f"There's {thing} here and that goes with it."))
    filled = gathered(things(f"There's {article} {filler} {noun} here and that {filler} goes with it."))
    fields = ("name", "count", "disposition")
    assert [[t[f] for f in fields] for t in plain] == [[t[f] for f in fields] for t in filled]


def test_words_marked_as_asides_name_nothing() -> None:
    from extractors.components import find_things

    words = ("is", "there", "a", "chiller")
    tokens = tuple(Token(w, w, n, n / 3, n / 3 + 0.3, aside="question") for n, w in enumerate(words))
    assert find_things(tokens, (), (), builtin()) == ()


ODD = (
    "90's|3A|#3|'s|-|--|...|three's|tank|4|pumps|one|two,|and|through|stage|zone|B|it|goes|stays.|no|not|a|the|of|with|"
    "pair|is|that's|serial|model|in|1998|oh|six|dash|built|by|X-Y-Z|Corvane,|<b>|=1+1|4471|last|next|then"
).split("|")


@settings(max_examples=150, deadline=4000)
@given(st.lists(st.sampled_from(ODD), max_size=40))
def test_any_row_of_words_is_read_to_its_end(words: list[str]) -> None:
    text = " ".join(words)
    for mention in (*things(text), *identity(text)):
        assert 0 <= mention.span[0] < mention.span[1] <= len(words)
    for sequence in stations(text):
        assert all(0 <= s.span[0] < s.span[1] <= len(words) for s in sequence.stations)
