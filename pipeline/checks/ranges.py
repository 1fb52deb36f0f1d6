"""Ranges: figures that are impossible, or unusual enough to look at once more, by vocab/ranges.toml."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from pipeline.checks.facts import facts, limit, size
from pipeline.checks.nearby import parted
from pipeline.checks.offers import offers
from pipeline.checks.subjects import head, words
from pipeline.checks.wording import clean, compared, finding, moment, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Row, Vocabulary

Results = Iterator[Finding | Checked]


_GOODS = re.compile(r"\W*(?:of|on (?:a|each|one|every|the) (?:roll|reel|drum|spool|bobbin|beam|coil))\b")
"""Words behind a length that make it an amount of goods."""


def figure_out_of_range(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A figure outside the range of a row of vocab/ranges.toml that its property and subject fall under.

    Arithmetic: low ≤ figure ≤ high in the row's unit, both ends of a range. Tolerance 0.1 %. Level and source stand in
    the row: a conflict only where nature or a definition forbids it. Source: named with each row.
    """
    rule = "figure_out_of_range"
    kind = str(walk.identity.kind.value) if walk.identity.kind is not None else ""
    index = facts(walk)
    for said_of in index.quantities:
        q = _as_ph(said_of)
        near = (
            [c.name for c in index.components if 0 <= moment(q) - moment(c) <= 30] if q.property == "frequency" else []
        )
        for row in vocabulary["ranges"]:
            if row["property"] != q.property or not _falls_under(row, q, f"{kind} {' '.join(near)}"):
                continue
            if size(q, row["unit"]) is None:
                continue
            if q.value == 0 and q.value_max is not None:
                continue  # "a dial from zero to ten bar", "nought to eight feet a minute": a scale or a setting
            if "unit was not said" in (q.doubt or ""):
                continue  # the unit is ours, and bears a mark
            if q.property == "length" and _GOODS.match(parted(q)[1]):
                continue  # "three hundred and sixty metres of skirting": what runs through
            if _within(row, q):
                yield compared(rule, [q], "agreed", row["name"])
                continue
            message = f"{clean(q.subject) or 'machine'} {q.property} {said(q)} is unusual. {row['ask']}"

            def holds(q: Quantity, row: Row = row) -> bool:
                return _within(row, q)

            level = "conflict" if row["level"] == "conflict" and q.status != "hedged" else "check"
            made = offers([q], holds) if q.value_max is None else ()
            yield finding(
                rule, "conflict" if level == "conflict" else "check", message, [q], offers=made, key=row["name"]
            )
            yield compared(rule, [q], "failed", row["name"])


def _as_ph(q: Quantity) -> Quantity:
    """ "The pH of the pool is seventy two", read as degrees: a figure of a pH is one, whatever unit was supplied."""
    supplied = "supplied" in (q.doubt or "") or not q.unit
    return replace(q, property="ph", unit="") if "ph" in words(q.subject) and supplied else q


def _falls_under(row: Row, q: Quantity, kind: str) -> bool:
    own = words(f"{q.subject} {q.of or ''} {q.qualifier or ''}")
    flat = f" {' '.join(own)} "
    if any(f" {' '.join(words(w))} " in flat or w in words(kind) for w in row["unless"]):
        return False
    return not row["subjects"] or any(
        f" {' '.join(words(w))} " in flat or head(q.subject) == w for w in row["subjects"]
    )


def _within(row: Row, q: Quantity) -> bool:
    ends = [q.value] if q.value_max is None else [q.value, q.value_max]
    for end in ends:
        x = size(Quantity("", "", "", end, q.unit), row["unit"])
        if x is None:
            return False
        loose = 0.001 * max(abs(x), 1e-6)
        if (row["low"] is not None and x < row["low"] - loose) or (row["high"] is not None and x > row["high"] + loose):
            return False
    return True


def impossible_figure(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A size, weight, count, flow or time of nothing or less. Tolerance: none. Source: definition of a size.

    Limits.toml's least_figure is the bound; temperatures, gauge pressures, levels and drops may be zero or less.
    """
    rule = "impossible_figure"
    least = limit(vocabulary, "least_figure")["low"]
    firm = ("length", "width", "height", "depth", "diameter", "volume", "area", "weight", "voltage", "power", "phases")
    for q in facts(walk).of(*firm):
        if q.value <= least and q.unit and "minus" not in (q.around or ""):  # "minus 75 and sixty kilos of ice"
            message = f"{clean(q.subject) or 'machine'} {q.property} {said(q)} cannot be: say it again."
            yield finding(rule, "check", message, [q])
            yield compared(rule, [q], "failed")


RULES = (figure_out_of_range, impossible_figure)
