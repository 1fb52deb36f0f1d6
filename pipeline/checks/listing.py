"""All rules with their sources, for people: made from the docstrings, so that the list cannot drift from the code."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from vocab import Vocabulary, builtin

LABELS = "(?:Source|Tolerance|Arithmetic)"
"""Words that begin a part of a rule's docstring, a colon behind them."""


@dataclass(frozen=True, slots=True)
class RuleNote:
    """One rule as the list shows it."""

    rule: str
    """Its id, as findings carry it."""
    family: str
    """The module that holds it: electrical, heat, fluid, ..."""
    summary: str
    """What it compares, in one sentence."""
    source: str
    """Where its arithmetic and limits come from; "common practice, no source" where there is none."""
    tolerance: str
    """How far figures may stray, and what the rule is not for."""
    limits: tuple[str, ...] = ()
    """Its rows of vocab/limits.toml as text; a user's own file may replace them."""

    @property
    def text(self) -> str:
        """All but the id, one line each."""
        lines = [self.summary]
        lines += [f"source: {self.source}"] if self.source else []
        lines += [f"tolerance: {self.tolerance}"] if self.tolerance else []
        return "\n  ".join((*lines, *(f"limit: {limit}" for limit in self.limits)))


def describe_rules(
    rules: Iterable[Callable[..., Any]] | None = None, vocabulary: Vocabulary | None = None
) -> tuple[RuleNote, ...]:
    """A note for each rule, in the order they run: all rules with the limits that ship, where none are given."""
    if rules is None:
        from pipeline.checks import LATER, RULES, WIDE  # the package lists the modules, this one among its users

        rules, vocabulary = (*RULES, *WIDE, *LATER), vocabulary or builtin()
    return tuple(_note(rule, vocabulary) for rule in rules)


def _note(rule: Callable[..., Any], vocabulary: Vocabulary | None) -> RuleNote:
    doc = inspect.getdoc(rule) or ""
    first = re.split(rf"\n\n|\s(?={LABELS}s?:)", doc, maxsplit=1)[0]
    family = rule.__module__.rsplit(".", 1)[-1]
    limits: tuple[str, ...] = ()
    if vocabulary is not None and "limits" in vocabulary.tables:
        limits = tuple(_limit(row) for row in vocabulary["limits"].rows if row["rule"] == rule.__name__)
    if rule.__name__ == "figures_go_together" and vocabulary is not None:
        limits = tuple(_relation(row) for row in vocabulary["relations"].rows)
    return RuleNote(rule.__name__, family, _flat(first), _after(doc, "Source"), _after(doc, "Tolerance"), limits)


def _relation(row: Any) -> str:
    """A row of vocab/relations.toml: what is reckoned, against what, and where from."""
    ends = [f"{row[k]:g}" if row[k] is not None else "" for k in ("low", "high")]
    band = f"{ends[0] or 'no less'} to {ends[1] or 'no more'} of it" if any(ends) else "as it is"
    letter = row["told"].partition(":")[0]
    return f"{row['name']}: {letter} told, {row['makes'][0]} made, {band} ({row['source']})"


def _after(text: str, label: str) -> str:
    """What stands behind "Source:" or "Tolerance:", to the next such label or the end of the paragraph."""
    found = re.search(rf"\b{label}s?:\s*(.*?)(?=\s*\b{LABELS}s?:|\n\n|\Z)", text, re.DOTALL | re.IGNORECASE)
    return _flat(found.group(1)) if found else ""


def _flat(text: str) -> str:
    return " ".join(text.split())


def _limit(row: Any) -> str:
    ends = [f"{row[k]:g}" if row[k] is not None else "" for k in ("low", "high")]
    span = " to ".join(ends) if all(ends) else f"at least {ends[0]}" if ends[0] else f"at most {ends[1]}"
    return f"{row['name']}: {span} {row['unit']} ({row['source']})".replace("  ", " ")


def as_text(notes: Iterable[RuleNote]) -> str:
    """The list as plain text, grouped by family; ends with a line feed."""
    lines: list[str] = []
    family = ""
    for note in notes:
        if note.family != family:
            family = note.family
            lines += ["", family, "-" * len(family)] if lines else [family, "-" * len(family)]
        lines.append(f"{note.rule}: {note.summary}")
        lines += [f"    source: {note.source}"] if note.source else []
        lines += [f"    tolerance: {note.tolerance}"] if note.tolerance else []
        lines += [f"    limit: {limit}" for limit in note.limits]
    return "\n".join(lines) + "\n"
