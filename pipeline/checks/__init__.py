"""Rules by subject, each a pure function over a walk; this list is the order they run in."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date

from pipeline.walk import Checked, Finding, Walk
from vocab import Vocabulary

Rule = Callable[[Walk, Vocabulary, date], Iterator[Finding | Checked]]
"""A rule's name is its id."""

RULES: tuple[Rule, ...] = ()


def check(walk: Walk, vocabulary: Vocabulary, today: date) -> Walk:
    """The walk with its findings and with what was compared; a rule that throws is reported and stops no other."""
    findings: list[Finding] = []
    checked: list[Checked] = []
    for rule in RULES:
        try:
            for result in rule(walk, vocabulary, today):
                (findings if isinstance(result, Finding) else checked).append(result)  # type: ignore[arg-type]
        except Exception as error:  # a fault in one rule must not hide what the others find
            checked.append(Checked(rule.__name__, (), f"failed: {type(error).__name__}: {error}"))
    return replace(walk, findings=tuple(findings), checked=tuple(checked))
