"""What is kept back from those outside, as cases."""

import tomllib
from pathlib import Path

import pytest

from extractors.words import Transcript, Word
from pipeline.private import given_names, people, withhold
from pipeline.report import build
from pipeline.walk import Component, Identity, Source, Stated, Walk
from pipeline.writers import listing
from tests.pipeline import samples

CASES = tomllib.loads((Path(__file__).parents[1] / "cases" / "private.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("case", CASES["case"], ids=lambda c: c["said"][:30])
def test_what_is_handed_out(case: dict[str, str]) -> None:
    assert withhold(case["said"]) == case["kept"]


def test_names_that_a_fact_gives_go_wherever_they_stand() -> None:
    assert withhold("wendell's pump, Wendellton", ("Wendell",)) == "[name withheld]'s pump, Wendellton"


@pytest.mark.parametrize("case", CASES["people"], ids=lambda c: c["said"][:30])
def test_people_spoken_to_or_of_are_nobodys_business(case: dict[str, str]) -> None:
    walk = Walk(samples.SOURCE, identity=Identity(maker=Stated("Marwick")))
    called = people(f"{case['said']}. {case['also']}.", walk)
    assert withhold(case["also"], called=called) == case["kept"]


def test_a_maker_with_a_given_name_stays() -> None:
    walk = Walk(samples.SOURCE, identity=Identity(maker=Stated("Warren")))
    assert "Warren" in given_names()
    assert people("a Warren mixer, thank you, Warren.", walk) == ()


def test_no_document_that_leaves_the_house_has_the_name() -> None:
    words = "Oduya could you hold the light the packing weeps as Denise told me".replace("Oduya", "Oduya,").split()
    transcript = Transcript(tuple(Word(w, i * 0.5, i * 0.5 + 0.4) for i, w in enumerate(words)), (), 60.0)
    told = "Oduya replaced the packing, Denise saw it leak"
    walk = Walk(
        Source("a.ogg", "ab" * 32, "audio", 60.0),
        components=(Component("c1", "pump", condition=told, defects=(told,), evidence=samples.at(1)),),
    )
    report = build(walk, transcript, made="2026-01-02", edition="hand-out")
    cells = " ".join(c for s in report.sections for t in s.tables for r in t.rows for c in r.cells)
    called = people(" ".join(words), walk)
    public = cells + listing.write(walk, "txt", report.profile, called=called)
    assert "replaced the packing" in public
    assert "Oduya" not in public
    assert "Denise" not in public
