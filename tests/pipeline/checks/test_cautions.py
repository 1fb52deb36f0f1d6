"""Safety notes: each topic has words that call it up, others do not, and none says that anything is safe."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from extractors.words import Evidence
from pipeline.checks.cautions import CLOSING, cautions, unsafe_remark
from pipeline.walk import Component, Finding, Remark, Walk
from tests.pipeline.checks.said import walk
from vocab import builtin

TODAY = date(2026, 11, 25)
TOPICS = {row["topic"]: row for row in builtin()["cautions"].rows}


def notes(said: Walk) -> list[Finding]:
    return [f for f in cautions(said, builtin(), TODAY) if isinstance(f, Finding)]


def topics(said: Walk) -> set[str]:
    return {next(t for t in TOPICS if f.message.startswith(t)) for f in notes(said)}


def things(*names: str, year: int | None = 1960) -> Walk:
    return walk([], [f"{name}; 1; {i}" for i, name in enumerate(names)], year=year)


def test_one_note_always_stands() -> None:
    assert topics(things("spiral notebook")) == {"Every machine"}
    assert "29 CFR 1910.147" in notes(things())[0].message


@pytest.mark.parametrize("topic", [t for t in TOPICS if TOPICS[t]["words"]])
def test_every_topic_is_called_up_by_its_words(topic: str) -> None:
    row = TOPICS[topic]
    for words in row["words"]:
        said = things(words, *(row["also"] or ())[:1])
        assert topic in topics(said), words
    if row["also"]:
        assert topic not in topics(things(row["words"][0]))


@pytest.mark.parametrize(
    ("name", "not_this"),
    [
        ("tank top conveyor belt printer", "Cyanide"),
        ("trivalent chrome tank", "Hexavalent chromium"),
        ("filter press", "Guards and points of operation"),
        ("ammonium nitrate bag", "Ammonia refrigeration"),
        ("pitch adjustment", "Tanks, pits and other confined spaces"),
        ("steamer trunk", "Boilers and pressure vessels"),
        ("cranberry sorter", "Overhead cranes and lifting"),
        ("ovenproof dish", "Ovens and furnaces"),
    ],
)
def test_words_are_whole_words(name: str, not_this: str) -> None:
    assert not_this not in topics(things(name))


def test_age_decides_on_old_materials() -> None:
    # 40 CFR 761.2: July 2, 1979, or date unknown; asbestos: 1980 is a presumption (29 CFR 1910.1001(j))
    assert "Possible PCB" in topics(things("transformer", year=1974))
    assert "Possible PCB" in topics(things("transformer", year=None))
    assert "Possible PCB" not in topics(things("transformer", year=2004))
    assert "Possible asbestos" in topics(things("boiler", year=1968))
    assert "Possible asbestos" not in topics(things("boiler", year=1999))
    assert "Possible asbestos" in topics(things("asbestos lagging", year=1999))


def test_a_figure_may_call_a_topic_up() -> None:
    assert "Overhead cranes and lifting" in topics(walk(["mixer; weight; 9000 pound; 5"]))
    assert "Overhead cranes and lifting" not in topics(walk(["mixer; weight; 90 pound; 5"]))
    assert "Live electrical parts" in topics(walk(["feed; voltage; 4160 volt; 5"]))
    assert "Live electrical parts" not in topics(walk(["feed; voltage; 480 volt; 5"]))


def test_withdrawn_things_call_nothing_up() -> None:
    gone = replace(things(), components=(Component("c1", "cyanide tank", status="withdrawn"),))
    assert topics(gone) == {"Every machine"}


def test_wording_of_all_notes() -> None:
    said = things(*(w for row in TOPICS.values() for w in row["words"]))
    found = notes(said)
    assert len(found) == len(TOPICS)
    assert len({f.id for f in found}) == len(found)
    for f in found:
        text = f.message.lower()
        assert f.level == "caution"
        assert CLOSING in f.message
        assert "Source: " in f.message
        assert not any(w in text for w in ("complies", "sufficient", "is safe", "are safe", "be safe"))
        # a source that holds many figures would hide the matter: eight at most
        assert sum(any(c.isdigit() for c in w) for w in f.message.split()) <= 8


def test_a_note_names_what_called_it_up() -> None:
    said = things("etch tank", "nitric desmut tank", "caustic pump", "acid pump")
    note = next(f for f in notes(said) if f.message.startswith("Acids"))
    assert "etch tank, nitric desmut tank, caustic pump" in note.message
    assert len(note.facts) == 4
    assert note.evidence


def test_an_unsafe_remark_is_flagged_and_not_repeated() -> None:
    remark = Remark(
        "unsafe", "drain valve", "hit it with a bar and it opens", (Evidence(253.0, 256.0, "hit it with a bar"),)
    )
    said = replace(things(), remarks=(remark, Remark("condition", "paint", "worn", (Evidence(9.0, 10.0, "worn"),))))
    found = [f for f in unsafe_remark(said, builtin(), TODAY) if isinstance(f, Finding)]
    assert len(found) == 1
    assert "4:13" in found[0].message
    assert "drain valve" in found[0].message
    assert "bar" not in found[0].message
    assert "hit it" not in repr(found[0])


def test_markup_and_control_characters_do_not_get_through_unbounded() -> None:
    found = notes(things("acid \x07\n" + "x" * 4000))
    assert all(len(f.message) < 700 and "\x07" not in f.message and "\n" not in f.message for f in found)
