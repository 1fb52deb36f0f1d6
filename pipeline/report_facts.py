"""How one fact reads in a report: its basis, what narrows it, what speaks against it, where it was said. Pure."""

from __future__ import annotations

from collections.abc import Iterable

from extractors.words import Evidence
from pipeline.printed import carries, clean, phrase
from pipeline.report_shapes import Moment, Profile
from pipeline.walk import Component, Quantity, Sequence, Stated, Walk


def moments(evidence: Iterable[Evidence]) -> tuple[Moment, ...]:
    """At most three, in order."""
    return tuple(dict.fromkeys(Moment(e.start, e.recording) for e in evidence))[:3]


def stated(s: Stated | None) -> str:
    if s is None or s.status == "withdrawn":
        return ""
    mark = "" if s.doubt is None else f" [to verify: {clean(s.doubt, 120)}]"
    return clean(s.value, 160) + (" (said with doubt)" if s.status == "hedged" else "") + mark


def note_of(fact: Quantity | Component) -> str:
    """Everything a reader must know before trusting the fact."""
    said = {"hedged": "said with doubt", "corrected": "corrected by the speaker", "withdrawn": "taken back"}
    parts = [
        said.get(fact.status, ""),
        f"to verify: {clean(fact.doubt, 160)}" if fact.doubt else "",
        "settled by hand" if fact.decided else "",
    ]
    return "; ".join(p for p in parts if p)


def basis_of(fact: Quantity | Component) -> str:
    by = f" ({clean(fact.by, 60)})" if fact.by else ""
    return f"{fact.basis or ''}{by}".strip()


def columns(own: Profile) -> tuple[str, str]:
    metric = ("Metric", "Customary")
    return ("As stated", "Converted ≈") if not own.units else metric if own.units == "metric" else metric[::-1]


def says_something(walk: Walk) -> bool:
    return bool(walk.quantities or walk.components or walk.sequences or walk.remarks)


def in_summary(q: Quantity, walk: Walk, own: Profile) -> str:
    """A figure of the summary with what it is of, where that is not the whole, and with what speaks against it."""
    text = phrase(q, own.units, own.numbers)
    if whole(q, walk):
        text = text.removesuffix(", overall")
    elif not text.lower().startswith(f"one {q.subject.lower()} every "):  # "one layer every 80 s" says of what it is
        text = f"{clean(q.subject, 50)} {text}"
    notes = [note_of(q)] if note_of(q) else []
    if any(q.id in f.facts for f in walk.findings if f.level == "conflict"):
        notes.append("does not agree with another statement")
    return text + (f" [{'; '.join(notes)}]" if notes else "")


def row_name(row: Sequence) -> str:
    """What a row of stations is called; nothing where the speaker only called them stations."""
    return "" if row.name.lower() in ("station", "stations") else row.name


def said_at(facts: Iterable[Quantity]) -> tuple[Moment, ...]:
    return tuple(dict.fromkeys(m for q in facts for m in moments(q.evidence)[:1]))


def of_whole(walk: Walk, props: tuple[str, ...]) -> list[Quantity]:
    """Figures of the whole under these properties, in their order, the sure ones first."""
    found = [q for q in walk.active if q.property in props and not q.each and not carries(q) and whole(q, walk)]
    return sorted(found, key=lambda q: (props.index(q.property), q.doubt is not None or q.status == "hedged"))


def whole(q: Quantity, walk: Walk) -> bool:
    """Whether a figure is of the thing as a whole: said so, or its subject has no word that the name lacks."""
    i = walk.identity
    named = {w for s in (i.name, i.kind) if s for w in str(s.value).lower().split()}
    words = set(q.subject.lower().split())
    return words <= named or "overall" in (q.qualifier or "") or bool(words & {"whole", "overall"})
