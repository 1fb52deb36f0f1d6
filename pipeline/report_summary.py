"""The first page's summary: what it is, how big, how heavy, how old, how it runs, what goes, what is in doubt. Pure."""

from __future__ import annotations

from extractors.phrases import many_of, plural
from pipeline.printed import clean, count_of
from pipeline.report_facts import in_summary, moments, of_whole, row_name, said_at, says_something, stated, whole
from pipeline.report_shapes import BLANK, Profile, Row, Section, Table
from pipeline.walk import Walk


def summary(walk: Walk, out: bool, own: Profile) -> Section:
    lines: list[Row] = []
    kinds = (("running", "Running"), ("left", "How it was left"), ("condition", "Condition"))
    for kind, label in kinds:
        said = [r for r in walk.remarks if r.kind == kind][:6]
        texts = [clean(r.text, 240) for r in said]
        kept = [t for t in dict.fromkeys(texts) if not any(t != other and t in other for other in texts)]
        if said:
            quotes = "; ".join(f"“{t}”" for t in kept)
            lines.append(Row((label, f"{quotes} (speaker’s words)"), moments(e for r in said for e in r.evidence)))
        elif kind != "condition":
            lines.append(Row((label, f"Not said: {BLANK}")))
    lines[:0] = [_what(walk), _size(walk, own), *_whole_of(walk, own, "How heavy", ("weight",)), *_age(walk, own)]
    for label, props in (("How fast", ("rate", "cycle", "speed")), ("Power", ("power", "voltage"))):
        # figures of the whole first; a doubtful one only where no other was said
        found = sorted(
            (q for q in walk.active if q.property in props),
            key=lambda q: (not whole(q, walk), q.doubt is not None, props.index(q.property)),
        )[:3]
        if found:
            lines.append(Row((label, "; ".join(in_summary(q, walk, own) for q in found)), said_at(found)))
    for s in walk.sequences:
        n = sum(x.status != "withdrawn" for x in s.stations)
        stated = "" if s.stated_count is None else f"{s.stated_count} stated, "
        name = row_name(s)
        called = f"{clean(name, 60)}: " if name else ""
        lines.append(Row(("Stations", f"{called}{stated}{n} described"), moments(s.evidence)))
    for label, disposition in (("Included", "included"), ("Not included", "excluded"), ("Unsettled", "uncertain")):
        names = [count_of(c) for c in walk.present if c.disposition == disposition]
        if names:
            more = f" and {len(names) - 12} more" if len(names) > 12 else ""
            lines.append(Row((label, ", ".join(names[:12]) + more)))
    parts = [
        _many(sum(f.level == level for f in walk.findings), word)
        for level, word in (("conflict", "conflict"), ("check", "figure to check"), ("missing", "gap"))
    ]
    doubt = sum(q.doubt is not None or q.status == "hedged" for q in walk.active)
    lines.append(Row(("In doubt", ", ".join([*parts, _many(doubt, "doubtful figure")]))))
    reasons = [] if out else [r for r in walk.remarks if r.kind == "reason"]
    lines += [Row(("Reason given", f"“{clean(r.text, 240)}”"), moments(r.evidence)) for r in reasons[:2]]
    return Section(
        "summary", "Summary",
        () if says_something(walk) else ("Nothing that could be reported was heard in this recording.",),
        (Table(("", ""), (20, 80), tuple(lines)),) if says_something(walk) else (),
    )  # fmt: skip


def _what(walk: Walk) -> Row:
    i = walk.identity
    name = stated(i.name) or stated(i.kind)
    made = " ".join(t for t in (stated(i.maker), stated(i.model)) if t)
    text = "; ".join(t for t in (name, made, stated(i.controls) and f"controls: {stated(i.controls)}") if t)
    said = tuple(e for s in (i.name, i.kind, i.maker, i.model) if s for e in s.evidence[:1])
    return Row(("What", text or f"Not said: {BLANK}"), moments(said))


def _size(walk: Walk, own: Profile) -> Row:
    """Length, width and height of the whole, in that order; a blank where none was said."""
    found = of_whole(walk, ("length", "width", "height"))
    if not found:
        return Row(("How big", f"Length, width and height of the whole not said: {BLANK}"))
    left = [p for p in ("length", "width", "height") if all(q.property != p for q in found)]
    text = "; ".join(in_summary(q, walk, own) for q in found[:6])
    return Row(("How big", text + (f"; {' and '.join(left)} of the whole not said: {BLANK[:8]}" if left else "")),
               said_at(found[:3]))  # fmt: skip


def _whole_of(walk: Walk, own: Profile, label: str, props: tuple[str, ...]) -> list[Row]:
    found = of_whole(walk, props)[:3]
    return [Row((label, "; ".join(in_summary(q, walk, own) for q in found)), said_at(found))] if found else []


def _age(walk: Walk, own: Profile) -> list[Row]:
    built = stated(walk.identity.year)
    hours = [q for q in walk.active if q.property == "hours"][:3]
    parts = [*([f"built {built}"] if built else []), *(in_summary(q, walk, own) for q in hours)]
    said = moments(walk.identity.year.evidence[:1]) if walk.identity.year else ()
    return [Row(("How old", "; ".join(parts)), (*said, *said_at(hours))[:3])] if parts else []


def _many(n: int, word: str) -> str:
    """ "1 gap", "no gaps", "3 figures to check"."""
    return many_of(n, word) if n else f"no {plural(word)}"
