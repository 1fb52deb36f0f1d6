"""Safety notes by what was said, and remarks that could hurt someone. Never a word on whether anything is safe."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

from pipeline.checks.facts import facts, size
from pipeline.checks.subjects import singular
from pipeline.checks.wording import Basis, clean, finding
from pipeline.walk import Checked, Component, Finding, Quantity, Walk
from vocab import Row, Vocabulary

Results = Iterator[Finding | Checked]

CLOSING = "Follow local codes and a licensed practitioner."
NAMED = 3
"""Things that a note names; the rest stand under its facts."""


@dataclass(frozen=True, slots=True)
class _Said:
    """Some words of the walk, and the fact they belong to."""

    text: str
    words: tuple[str, ...]
    fact: Basis | None


@lru_cache(maxsize=4096)
def _words(text: str) -> tuple[str, ...]:
    flat = "".join(c if c.isalnum() or c in "'." else " " for c in text.lower())
    return tuple(singular(w.strip(".'")) for w in flat.split() if w.strip(".'"))


def cautions(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """One note a topic, triggered by what was said, with the usual advice and its public source.

    Source: named with each topic in vocab/cautions.toml (CFR, NFPA, "from memory" where not read). Tolerance: a topic
    speaks up where one of its words or phrases was said or a figure reaches its bound, and the year of build allows it;
    the first note, lockout, always stands.
    """
    said = _all_said(walk)
    built = walk.identity.year.value if walk.identity.year else None
    year = built if isinstance(built, int) else None
    for row in vocabulary["cautions"].rows:
        newer = row["built_before"] is not None and year is not None and year >= row["built_before"]
        if newer and not _spelt_out(row, said):
            continue
        if row["also"] and not any(_holds(s, form) for form in row["also"] for s in said):
            continue
        # the asbestos in a boiler that stays is no matter of this sale; an acid that stays may still burn the visitor
        here = [s for s in said if not (row["built_before"] and _stays(s))]
        hits = [replace(s, text=form) if s.fact is None else s for s in here if (form := _triggered(row, s))]
        hits += [_Said(clean(q.subject), (), q) for q in _by_figure(row, walk)]
        if row["words"] and not hits:
            continue
        yield _note(row, hits)


def _all_said(walk: Walk) -> list[_Said]:
    """Names, roles, subjects, materials, remarks and the identity, in that order. Withdrawn things are left out."""
    out: list[_Said] = []

    def add(text: str | None, fact: Basis | None, shown: str | None = None) -> None:
        if text and (w := _words(text)):
            out.append(_Said(clean(shown or text, 40), w, fact))

    index = facts(walk)
    for c in index.components:
        for text in (c.name, c.material, c.condition, *c.defects):
            add(text, c, c.name)
    for sequence in walk.sequences:
        for station in sequence.stations:
            if station.status != "withdrawn":
                add(station.role, sequence)
        add(sequence.name, sequence)
    for q in index.quantities:
        add(q.subject, q)
        add(q.of, q)
    for remark in walk.remarks:
        if remark.kind != "unsafe":
            # "I saw it run", "press the button": in a whole sentence these are no things
            text = " ".join(w for w in remark.text.split() if w.lower().strip(".,;!?") not in _VERBS)
            add(f"{remark.subject} {text}", None)
    for stated in (walk.identity.name, walk.identity.kind):
        if stated is not None and stated.status != "withdrawn":
            add(str(stated.value), None)
    return out


_VERBS = frozenset("saw press presses shear shears lead leads etch pickle vault bin saws".split())


def _stays(s: _Said) -> bool:
    return isinstance(s.fact, Component) and s.fact.disposition == "excluded"


def _holds(s: _Said, form: str) -> bool:
    """Whether the words hold a phrase, word by word."""
    wanted = _words(form)
    n = len(wanted)
    return n > 0 and any(s.words[i : i + n] == wanted for i in range(len(s.words) - n + 1))


def _triggered(row: Row, s: _Said) -> str | None:
    """The word or phrase of the topic that was said; None where there is none, or one that calls it off."""
    if row["unless"] and _first_of(s.words, row["unless"]) is not None:
        return None
    return _first_of(s.words, row["words"])


@lru_cache(maxsize=16384)
def _first_of(own: tuple[str, ...], forms: tuple[str, ...]) -> str | None:
    """The first of the forms that the words hold; kept, because one subject has many figures."""
    s = _Said("", own, None)
    single = frozenset(own)
    return next((form for form in forms if _words(form)[:1] and _words(form)[0] in single and _holds(s, form)), None)


def _spelt_out(row: Row, said: list[_Said]) -> bool:
    """Whether the hazard itself was named ("asbestos", "PCB", "lead paint"): then the year calls nothing off."""
    named = [form for form in row["words"] if form in ("asbestos", "transite", "pcb", "lead paint", "red lead")]
    return any(_holds(s, form) for form in named for s in said)


def _by_figure(row: Row, walk: Walk) -> list[Quantity]:
    if row["property"] is None or row["low"] is None:
        return []
    figures = (q for q in walk.active if q.property == row["property"])
    return [q for q in figures if (s := size(q, row["unit"] or "")) is not None and s >= row["low"]][:NAMED]


def _note(row: Row, hits: list[_Said]) -> Finding:
    names: dict[str, None] = {}
    for s in hits:
        if not isinstance(s.fact, Quantity) or not names:
            names.setdefault(s.text)
    shown = ", ".join(list(dict.fromkeys(n.lower() for n in names if n))[:NAMED])
    basis: list[Quantity | Component] = []
    for s in hits:
        if len(basis) < 6 and isinstance(s.fact, Quantity | Component) and s.fact not in basis:
            basis.append(s.fact)
    what = f"{row['topic']} ({shown})" if shown else row["topic"]
    message = f"{what}: {row['advice']} {CLOSING} Source: {row['source']}."
    return finding("cautions", "caution", message, basis, key=row["topic"])


def unsafe_remark(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A remark of the speaker that tells how to force, bypass or risk something: held back, and flagged.

    Source: 29 CFR 1910.147 and the maker's own procedure; what counts as such a remark is decided by the reader.
    Tolerance: none. The note names the moment and not the words, so that no report passes the advice on.
    """
    for i, remark in enumerate(r for r in walk.remarks if r.kind == "unsafe"):
        start = remark.evidence[0].start if remark.evidence else 0.0
        about = f" about the {clean(remark.subject)}" if remark.subject else ""
        yield finding(
            "unsafe_remark",
            "caution",
            f"At {int(start // 60)}:{int(start % 60):02d} something was said{about} that could hurt someone who tries "
            f"it; it is held back from the reports. Use the maker's procedure with the energy locked out. {CLOSING}",
            key=f"{i}|{remark.subject}|{remark.text}",
        )


RULES = (
    cautions,
    unsafe_remark,
)
