"""Parts of a total: "six dryers, four of them are gas and three are steam", "nine pumps, six here and three there"."""

from __future__ import annotations

from extractors.noun_phrase import PREPOSITIONS, Phrase
from extractors.phrases import singular
from extractors.scene import Scene

LINKS = frozenset({"is", "are", "'s", "'re", "was", "were"})
OF_THEM = frozenset({"them", "'em", "those", "these", "which"})
HERE = frozenset({"here", "there", "upstairs", "downstairs", "outside", "inside", "below", "above"})
NO_KINDS = frozenset(
    (
        "good bad broken running included excluded gone missing new here there not in on at out off up down for "
        "the a an mine yours sold fine ok okay leaking noisy dead working worn rusty empty full stuck still bigger "
        "smaller all both really pretty very nearly almost about torn bent split shot worn burnt stiff loose tight hot "
        "cold wet dry red green blue"
    ).split()
)
FAR = 2
"""Sentences back in which the total may stand."""


def partitives(view: Scene) -> list[Phrase]:
    """Phrases for the parts of totals; what has a noun of its own ("seven automatic guns") is a phrase already."""
    atoms, numbers = view.atoms, view.numbers
    out: list[Phrase] = []
    for i, (end, value, top, form) in sorted(numbers.items()):
        if (
            top is not None
            or form not in ("cardinal", "digits")
            or value != int(value)
            or not 1 <= value <= 500
            or atoms[i].aside
        ):
            continue
        total = next(
            (
                p
                for p in reversed(view.phrases)
                if p.last <= i
                and (p.count or 0) > value
                and p.grade in ("machine", "part", "open")
                and atoms[i].sentence - atoms[p.name].sentence <= FAR
            ),
            None,
        )
        if total is None or end >= len(atoms) or any(p.first <= i < p.last for p in view.phrases):
            continue
        k = end
        of = k + 1 < len(atoms) and atoms[k].lower == "of" and atoms[k + 1].lower in OF_THEM
        k += 2 if of else 0
        if not of and atoms[i].sentence != atoms[total.name].sentence and not any(q.known == total.known for q in out):
            continue
        if k < len(atoms) and atoms[k].lower in HERE and not atoms[k - 1].after:
            out.append(_part(total, i, k + 1, int(value), atoms[k].lower, behind=True))
            continue
        # "and then the three on the far end are steam"
        stop = min(k + 6, len(atoms))
        while (
            k < stop
            and atoms[k].lower not in LINKS
            and not atoms[k - 1].after
            and atoms[k].sentence == atoms[i].sentence
        ):
            k += 1
        if k >= stop or atoms[k].lower not in LINKS or atoms[k].sentence != atoms[i].sentence or atoms[k - 1].after:
            continue
        if any(p.first > i and p.first < k and p.grade == "machine" for p in view.phrases):
            continue
        kind, last = [], k + 1
        while last < len(atoms) and last - k <= 2 and atoms[last].sentence == atoms[i].sentence:
            lower = atoms[last].lower
            if (
                lower in NO_KINDS
                or lower in PREPOSITIONS
                or lower.endswith(("ly", "ed"))
                or last in numbers
                or last in view.measured
                or lower in ("and", "but", "so", "that", "with")
            ):
                break
            kind.append(lower)
            last += 1
            if atoms[last - 1].after:
                break
        if not kind:
            continue
        if singular(kind[-1]) == "one":
            kind = kind[:-1]
        if not kind:
            continue
        out.append(_part(total, i, last, int(value), " ".join(kind), behind=False))
    # a single one besides ("and one is spare") is a part only beside another part of the same total
    return [p for p in out if (p.count or 0) > 1 or sum(q.known == p.known for q in out) > 1]


def _part(total: Phrase, first: int, last: int, count: int, kind: str, *, behind: bool) -> Phrase:
    noun = total.text.split()[-1]
    own = singular(kind.split()[-1]) == singular(noun)
    name = f"{noun} {kind}" if behind else kind if own else f"{kind} {noun}"
    kind = kind.rsplit(" ", 1)[0] if own and " " in kind else kind
    return Phrase(
        first,
        first,
        first,
        last,
        "machine",
        total.known,
        name,
        count,
        False,
        "",
        (*total.modifiers, *kind.split()),
        None,
        False,
        False,
        False,
        True,
        False,
        "",
    )
