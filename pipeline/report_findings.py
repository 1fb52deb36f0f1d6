"""Defects, conflicts, doubts, take-backs, what was compared, the punch list, cautions: sections of findings. Pure."""

from __future__ import annotations

from pipeline.printed import clean, clock, count_of, figure, number, property_of
from pipeline.report_facts import moments, note_of
from pipeline.report_shapes import BLANK, BOX, Moment, Profile, Row, Section, Table
from pipeline.unit_signs import sign
from pipeline.walk import Finding, Walk


def defects(walk: Walk) -> Section:
    rows = [Row((clean(c.name, 120), clean(d, 240), BLANK[:10], BLANK[:8]), moments(c.evidence), c.id)
            for c in walk.present for d in c.defects]  # fmt: skip
    rows += [Row((clean(r.subject, 120) or "whole", clean(r.text, 240), BLANK[:10], BLANK[:8]), moments(r.evidence))
             for r in walk.remarks if r.kind == "defect"]  # fmt: skip
    return Section("defects", "Defects", (), (Table(("Of", "Defect, as said", "Remedy", "Cost"), (22, 44, 20, 14),
                                                    tuple(rows)),))  # fmt: skip


def _finding_row(f: Finding, own: Profile) -> Row:
    said = "\n".join(dict.fromkeys(f"“{clean(e.words, 160)}” ({clock(e.start)})" for e in f.evidence[:4]))
    offers = "\n".join(
        f"{' '.join((number(o.value, own.numbers), clean(sign(o.unit), 40))).strip()}: {clean(o.why, 300)}"
        for o in f.offers
    )
    return Row((clean(f.message, 600), said, offers), moments(f.evidence), f.id)


def conflicts(walk: Walk, own: Profile) -> Section:
    headers, shares = ("What does not agree", "What was said", "A reading that would settle it (not applied)"), (
        36, 28, 36)  # fmt: skip
    both = [f for f in walk.findings if f.level in ("conflict", "check")]
    tables = tuple(
        Table((f"{title}: {headers[0].lower()}", *headers[1:]), shares,
              tuple(_finding_row(f, own) for f in both if f.level == level))
        for level, title in (("conflict", "Conflict"), ("check", "To check")) if any(f.level == level for f in both)
    )  # fmt: skip
    return Section("conflicts", "Conflicts and figures to check", (), tables)


def doubtful(walk: Walk, out: bool, own: Profile) -> Section:
    rows = [
        Row((clean(q.subject, 120) or "whole", f"{property_of(q)}: {figure(q, own.numbers)}", note_of(q)),
            moments(q.evidence), q.id)
        for q in walk.active if (q.doubt or q.status == "hedged") and not (out and q.property == "price")
    ]  # fmt: skip
    rows += [Row((clean(c.name, 120), count_of(c), note_of(c)), moments(c.evidence), c.id)
             for c in walk.present if c.doubt or c.status == "hedged"]  # fmt: skip
    rows += [Row(("recording", f"{clock(s.start)}–{clock(s.end)} not understood", clean(s.why, 200)),
                 (Moment(s.start),)) for s in (walk.speech.unheard if walk.speech else ())]  # fmt: skip
    return Section("doubtful", "Doubtful and unheard", (), (Table(("Of", "What", "Why"), (24, 36, 40), tuple(rows)),))


def take_backs(walk: Walk) -> Section:
    kinds = {"self-correction": "taken back by the speaker", "mishearing": "taken to be a mishearing"}
    rows = tuple(Row((f"“{clean(r.heard, 200)}”", f"“{clean(r.read, 200)}”", kinds[r.kind]), moments(r.evidence))
                 for r in walk.repairs)  # fmt: skip
    return Section("take-backs", "Taken back", (), (Table(("Heard", "Read as", "Why"), (36, 36, 28), rows),))


def settled_by_hand(walk: Walk) -> Section:
    rows = tuple(Row((clean(d.when, 30), clean(d.who, 80), clean(d.text, 300), clean(d.why, 200)), (), d.id)
                 for d in walk.decided)  # fmt: skip
    return Section("decided", "Settled by hand", (), (Table(("When", "Who", "What", "Why"), (20, 16, 40, 24), rows,
                                                            timed=False),))  # fmt: skip


def compared(walk: Walk) -> Section:
    found: dict[tuple[str, str], dict[str, int]] = {}
    for c in walk.checked:
        verdict, _, detail = clean(c.outcome, 160).partition(": ")
        details = found.setdefault((clean(c.rule, 80).replace("_", " "), verdict), {})
        details[detail] = details.get(detail, 0) + 1
    rows = tuple(
        Row((rule, verdict, "; ".join(d if n == 1 or not d else f"{d} ({n} times)" for d, n in details.items()),
             str(sum(details.values()))))
        for (rule, verdict), details in found.items()
    )  # fmt: skip
    table = Table(("Compared", "Outcome", "What", "Times"), (24, 20, 46, 10), rows, timed=False)
    return Section("checked", "What was compared", (), (table,))


def punch_list(walk: Walk) -> Section:
    rows = tuple(
        Row((BOX, clean(f.message, 500), clean(f.where or "", 200), BLANK[:14]), moments(f.evidence), f.id)
        for f in walk.findings if f.level in ("conflict", "check", "missing")
    )  # fmt: skip
    return Section(
        "punch-list", "Punch list: to take back to the machine",
        ("Open, reach into, climb, enter, lift or run nothing to fill a blank.",) if rows else (),
        (Table(("Done", "To find out", "Where to look", "Answer"), (8, 40, 30, 22), rows),),
    )  # fmt: skip


def cautions(walk: Walk) -> Section:
    rows = tuple(Row((clean(f.message, 600),), moments(f.evidence), f.id)
                 for f in walk.findings if f.level == "caution")  # fmt: skip
    note = "General cautions; local codes and a licensed practitioner’s judgement come first."
    return Section("cautions", "Cautions", (note,) if rows else (), (Table(("Caution",), (100,), rows),))
