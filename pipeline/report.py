"""A walk to the content of its report: sections, paragraphs and rows. Wording and order live here, looks in writers.

Guided by what ISO/IEC 17020:2012, 7.4.2, asks of an inspection report (in force by a stored page of ISO that lists a
successor as a draft: look it up anew); no conformity is claimed. What is not known stays a blank for a person to fill.
Pure: the date, the number and the user's profile are handed in.
"""

from __future__ import annotations

import itertools
import re
from dataclasses import replace

from extractors.words import Transcript, Word
from pipeline.printed import clean, clock, count_of
from pipeline.private import names_said, people, withhold
from pipeline.report_facts import says_something, stated
from pipeline.report_findings import (
    cautions,
    compared,
    conflicts,
    defects,
    doubtful,
    punch_list,
    settled_by_hand,
    take_backs,
)
from pipeline.report_parts import equipment, specification, stations, transport, utilities
from pipeline.report_shapes import AS_SPOKEN, BLANK, BOX, Edition, Moment, Picture, Profile, Report, Row, Section, Table
from pipeline.report_summary import summary
from pipeline.walk import Walk

LEFT_OUT = "[left out: advice that could hurt somebody]"


NO_VALUE = "Not an appraisal of value."


VALUE = "Appraisal of value, made by the person who signs below; tallywalk states no value."


def build(
    walk: Walk,
    transcript: Transcript,
    *,
    made: str,
    profile: Profile | None = None,
    edition: Edition = "working",
    pictures: tuple[Picture, ...] = (),
) -> Report:
    """The report of a walk; made is the day of issue (ISO 8601)."""
    profile = profile or Profile()
    out = edition == "hand-out"
    who = names_said(walk) if out else ()
    called = (*profile.withhold, *people(" ".join(w.text for w in transcript.words), walk)) if out else ()
    sections = [
        summary(walk, out, profile),
        specification(walk, out, profile),
        *stations(walk),
        equipment(walk, out, profile),
        utilities(walk, profile),
        *((transport(walk, profile),) if says_something(walk) else ()),
        defects(walk),
        conflicts(walk, profile),
        doubtful(walk, out, profile),
        *(() if out else (take_backs(walk), settled_by_hand(walk))),
        compared(walk),
        *(() if out else (punch_list(walk),)),
        cautions(walk),
        _scope(walk, out),
        *((_tick_sheet(walk),) if any(c.disposition == "included" for c in walk.present) else ()),
        *((_appraisal(),) if profile.appraisal else ()),
        _approval(profile),
        *(() if out else (_transcript(walk, transcript),)),
    ]
    sections = [replace(s, tables=tuple(map(_without_empty_columns, s.tables))) for s in sections]
    kept = tuple(s for s in sections if s.paragraphs or any(t.rows for t in s.tables))
    if out:
        kept = tuple(_without_private(s, who, called) for s in kept)
        pictures = tuple(replace(p, caption=withhold(p.caption, who, called=called)) for p in pictures)
    return Report(
        title_of(walk), "Inspection report of a recorded walk-around", edition, profile,
        _particulars(walk, made, profile), kept, clean(walk.source.file, 120), pictures,
    )  # fmt: skip


def title_of(walk: Walk) -> str:
    """Year, maker, model and name, as far as they were said."""
    i = walk.identity
    parts = [str(s.value) for s in (i.year, i.maker, i.model) if s and s.status != "withdrawn"]
    what = i.name or i.kind
    return clean(" ".join([*parts, str(what.value) if what else ""]).strip() or "Equipment not named", 90)


def _particulars(walk: Walk, made: str, profile: Profile) -> tuple[tuple[str, str], ...]:
    i = walk.identity
    ident = [
        ("Item inspected", stated(i.name) or stated(i.kind) or BLANK),
        ("Maker", stated(i.maker) or BLANK),
        ("Model", stated(i.model) or BLANK),
        ("Serial number", f"{stated(i.serial)} ({AS_SPOKEN})" if i.serial and not i.serial.decided
         else stated(i.serial) or BLANK),
        ("Year of build", stated(i.year) or BLANK),
        ("Controls", stated(i.controls)),
    ]  # fmt: skip
    return (
        ("Report number", f"{made.replace('-', '')}-{walk.source.sha256[:8].upper()}"),
        ("Date of issue", made),
        ("Date of inspection", _day(walk) or BLANK),
        ("Issued by", clean(profile.issuer, 200) or BLANK),
        *((("Address", clean(profile.address, 300)),) if profile.address else ()),
        *((a, b) for a, b in ident if b),
        ("Statement", VALUE if profile.appraisal else NO_VALUE),
    )


def _day(walk: Walk) -> str:
    recorded = clean(walk.source.recorded or "", 30)
    return f"{recorded[:10]} (as the recording’s file says)" if recorded else ""


def _without_empty_columns(table: Table) -> Table:
    """Columns in which no row says anything, that of the times among them, give their room to the others."""
    used = [i for i in range(len(table.headers)) if i == 0 or any(r.cells[i] for r in table.rows)]
    timed = table.timed and any(r.moments for r in table.rows)

    def pick(cells: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(cells[i] for i in used)

    rows = tuple(replace(r, cells=pick(r.cells)) for r in table.rows)
    return Table(pick(table.headers), tuple(table.shares[i] for i in used), rows, timed)


def _scope(walk: Walk, out: bool) -> Section:
    minutes = clock(walk.source.duration_s)
    texts = [
        f"Method: a recorded walk-around of {minutes} (minutes:seconds); the facts are those that were spoken. Nothing "
        "was measured, opened, run or tested by the writer of this report unless a person adds it here.",
        f"Examined: what the recording describes. Not examined: {BLANK}",
    ]
    if walk.speech is not None and not out:
        texts.append(f"Words written down by a speech recogniser ({clean(walk.speech.model, 60)}), "
                     f"{walk.speech.words} words.")  # fmt: skip
    texts += [f"Further recording or paper: {clean(s.file, 120)}." for s in walk.additions]
    return Section("scope", "What was examined, and how", tuple(texts))


def _tick_sheet(walk: Walk) -> Section:
    rows = tuple(Row((BOX, count_of(c), BLANK[:14]), (), c.id) for c in walk.present if c.disposition == "included")
    return Section("tick-sheet", "Tick sheet for hand-over", (f"Handed over on {BLANK[:12]} by {BLANK} to {BLANK}",),
                   (Table(("Here", "Included", "Remark"), (10, 56, 34), rows, timed=False),))  # fmt: skip


def _appraisal() -> Section:
    rows = tuple(Row((label, BLANK)) for label in (
        "Client", "Intended use", "Other intended users", "Premise of value", "Effective date", "Value concluded",
        "Certification"))  # fmt: skip
    said = "To be completed by the appraiser; nothing here comes from the recording."
    table = Table(("To state", "Entry"), (45, 55), rows, timed=False)
    return Section("appraisal", "Appraisal", (said,), (table,))


def _approval(profile: Profile) -> Section:
    rows = tuple(Row(r) for r in (
        ("Statement, only if a person makes one", BLANK),
        ("Inspected by", BLANK), ("Approved by", clean(profile.signatory, 120) or BLANK), ("Signature", f"\n{BLANK}"),
        ("Date", BLANK)))  # fmt: skip
    said = VALUE if profile.appraisal else NO_VALUE
    return Section("approval", "Approval", (said,), (Table(("To sign", "Entry"), (45, 55), rows, timed=False),))


def _transcript(walk: Walk, transcript: Transcript) -> Section:
    edges = [0, *(b for b in transcript.breaks if 0 < b < len(transcript.words)), len(transcript.words)]
    # advice that could hurt somebody is not passed on, not even in the speaker's own words
    unsafe = [(e.start, e.end) for r in walk.remarks if r.kind == "unsafe" for e in r.evidence if e.recording is None]

    def shown(word: Word) -> str:
        return "[…]" if any(s <= word.start < e or s < word.end <= e for s, e in unsafe) else word.text

    rows = []
    for a, b in itertools.pairwise(edges):
        for i in range(a, b, 80):
            part = transcript.words[i : min(i + 80, b)]
            said = re.sub(r"(?:\[…\] ?)+", f"{LEFT_OUT} ", " ".join(map(shown, part)))
            rows.append(Row((clean(said, 4000),), (Moment(part[0].start),)))
    table = Table(("Words",), (100,), tuple(rows))
    return Section("transcript", "Appendix: words of the recording", (), (table,), new_page=True)


def _without_private(section: Section, names: tuple[str, ...], called: tuple[str, ...]) -> Section:
    """Phone numbers, mail addresses, prices and names of people taken out of every text."""

    def scrub(text: str) -> str:
        return withhold(text, names, called=called)

    tables = tuple(
        Table(t.headers, t.shares, tuple(Row(tuple(map(scrub, r.cells)), r.moments, r.fact, r.doubtful)
                                         for r in t.rows), t.timed)
        for t in section.tables
    )  # fmt: skip
    return Section(section.key, section.title, tuple(map(scrub, section.paragraphs)), tables, section.new_page)
