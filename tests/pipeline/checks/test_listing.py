"""The list of rules: every rule that runs is in it, with a sentence and a source."""

from __future__ import annotations

from pipeline.checks import LATER, RULES, WIDE
from pipeline.checks.listing import as_text, describe_rules
from vocab import builtin


def test_every_rule_has_a_summary_and_a_source() -> None:
    notes = describe_rules((*RULES, *WIDE, *LATER), builtin())
    assert [n.rule for n in notes] == [r.__name__ for r in (*RULES, *WIDE, *LATER)]
    for note in notes:
        assert note.summary.endswith("."), note.rule
        assert note.source, note.rule


def test_names_are_unique() -> None:
    names = [r.__name__ for r in (*RULES, *WIDE, *LATER)]
    assert len(names) == len(set(names))


def test_every_limit_is_of_a_rule() -> None:
    names = {r.__name__ for r in (*RULES, *WIDE, *LATER)}
    assert {row["rule"] for row in builtin()["limits"].rows} <= names


def test_text_shows_rules_by_family_with_their_limits() -> None:
    text = as_text(describe_rules(RULES, builtin()))
    assert "\nelectrical\n----------\n" in text
    assert "motor_current: A motor's full-load amperes" in text
    assert "limit: motor current: 0.65 to 1.25 share" in text
    assert "source: NFPA 70-2008 Table 430.250" in text


def test_a_rule_without_docstring_shows_as_such() -> None:
    def bare() -> None:
        pass

    note = describe_rules([bare])[0]
    assert (note.rule, note.summary, note.source) == ("bare", "", "")


def test_without_arguments_all_rules_are_listed() -> None:
    notes = describe_rules()
    assert len(notes) == len(RULES) + len(WIDE) + len(LATER)
    note = next(n for n in notes if n.rule == "rectifier_power")
    assert "source: P = V x I" in note.text
    assert "limit: rectifier power: 0.95 to 1.6 share" in note.text
