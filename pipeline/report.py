"""A walk to the content of its report: sections, paragraphs and rows. Wording and order live here, looks in writers.

Guided by what ISO/IEC 17020:2012, 7.4.2, asks of an inspection report; no conformity is claimed. What is not known
stays a blank for a person to fill. Pure: the date, the number and the user's profile are handed in.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

from extractors.words import Evidence, Transcript, Word
from pipeline.printed import NAMES, Numbers, clean, clock, count_of, figure, number, pair, phrase
from pipeline.private import names_said, people, withhold
from pipeline.unit_signs import sign
from pipeline.walk import Component, Finding, Quantity, Stated, Walk

Edition = Literal["working", "hand-out"]
BLANK = "____________________"
BOX = "☐"
LEFT_OUT = "[left out: advice that could hurt somebody]"
NO_VALUE = "Not an appraisal of value."
VALUE = "Appraisal of value, made by the person who signs below; tallywalk states no value."
AS_SPOKEN = "as spoken, not checked against the plate"


@dataclass(frozen=True, slots=True)
class Moment:
    """The second of a recording at which something was said."""

    start: float
    recording: str | None = None

    @property
    def label(self) -> str:
        return clock(self.start)


@dataclass(frozen=True, slots=True)
class Row:
    """One row; as many cells as the table has headers, lines of a cell parted by a newline. moments stand in the last
    column of the table."""

    cells: tuple[str, ...]
    moments: tuple[Moment, ...] = ()
    fact: str = ""
    """Id of the fact or finding that the row states."""
    doubtful: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    headers: tuple[str, ...]
    """Without the column of times, which writers add where timed."""
    shares: tuple[int, ...]
    """Relative widths."""
    rows: tuple[Row, ...]
    timed: bool = True


@dataclass(frozen=True, slots=True)
class Section:
    """A headed part of the report; without paragraphs and tables it is left out."""

    key: str
    title: str
    paragraphs: tuple[str, ...] = ()
    tables: tuple[Table, ...] = ()
    new_page: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """The user's own particulars; empty ones become blanks."""

    issuer: str = ""
    address: str = ""
    signatory: str = ""
    logo: str = ""
    """Path of a picture."""
    template: str = ""
    """Path of a docx whose styles, margins, header and footer are used."""
    paper: Literal["A4", "Letter"] = "A4"
    pdf: bool = False
    """Whether a pdf is made as well, where LibreOffice is present: it takes seconds."""
    pictures: bool = True
    """False leaves all pictures out."""
    appraisal: bool = False
    """Whether the user makes it an appraisal of value: blanks for what one must state then stand in the report."""
    units: Literal["", "metric", "customary"] = ""
    """Which figure stands first; "" leaves the stated one first."""
    numbers: Numbers = "1,234.5"
    """How figures are written, by example."""
    camera_ahead_s: float = 0.0
    """Seconds by which the camera's clock is ahead of the recorder's, to place photos by their time."""
    show_location: bool = False
    show_serial: bool = False
    show_price: bool = False


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture of what was spoken of, without any data about its place."""

    caption: str
    jpeg: bytes
    start: float | None = None
    """Second of the recording; None for a photo."""


@dataclass(frozen=True, slots=True)
class Report:
    title: str
    subtitle: str
    edition: Edition
    profile: Profile
    particulars: tuple[tuple[str, str], ...]
    """The title block: label and value or blank."""
    sections: tuple[Section, ...]
    source: str
    """File name of the recording, for the moments."""
    pictures: tuple[Picture, ...] = ()
    """The first one stands on the cover, all of them on a sheet."""


def build(
    walk: Walk,
    transcript: Transcript,
    *,
    made: str,
    profile: Profile = Profile(),
    edition: Edition = "working",
    pictures: tuple[Picture, ...] = (),
) -> Report:
    """The report of a walk; made is the day of issue (ISO 8601)."""
    out = edition == "hand-out"
    who = names_said(walk) if out else ()
    called = people(" ".join(w.text for w in transcript.words), walk) if out else ()
    sections = [
        _summary(walk, out, profile),
        _specification(walk, out, profile),
        *_stations(walk),
        _equipment(walk, out, profile),
        _utilities(walk, profile),
        *((_transport(walk, profile),) if _says_something(walk) else ()),
        _defects(walk),
        _conflicts(walk, profile),
        _doubtful(walk, out, profile),
        *(() if out else (_take_backs(walk), _decided(walk))),
        _checked(walk),
        *(() if out else (_punch_list(walk),)),
        _cautions(walk),
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


def moments(evidence: Iterable[Evidence]) -> tuple[Moment, ...]:
    """At most three, in order."""
    return tuple(dict.fromkeys(Moment(e.start, e.recording) for e in evidence))[:3]


def _particulars(walk: Walk, made: str, profile: Profile) -> tuple[tuple[str, str], ...]:
    i = walk.identity
    ident = [
        ("Item inspected", _stated(i.name) or _stated(i.kind) or BLANK),
        ("Maker", _stated(i.maker) or BLANK),
        ("Model", _stated(i.model) or BLANK),
        ("Serial number", f"{_stated(i.serial)} ({AS_SPOKEN})" if i.serial and not i.serial.decided
         else _stated(i.serial) or BLANK),
        ("Year of build", _stated(i.year) or BLANK),
        ("Controls", _stated(i.controls)),
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


def _stated(s: Stated | None) -> str:
    if s is None or s.status == "withdrawn":
        return ""
    mark = "" if s.doubt is None else f" [to verify: {clean(s.doubt, 120)}]"
    return clean(s.value, 160) + (" (said with doubt)" if s.status == "hedged" else "") + mark


def _note(fact: Quantity | Component) -> str:
    """Everything a reader must know before trusting the fact."""
    said = {"hedged": "said with doubt", "corrected": "corrected by the speaker", "withdrawn": "taken back"}
    parts = [
        said.get(fact.status, ""),
        f"to verify: {clean(fact.doubt, 160)}" if fact.doubt else "",
        "settled by hand" if fact.decided else "",
    ]
    return "; ".join(p for p in parts if p)


def _basis(fact: Quantity | Component) -> str:
    by = f" ({clean(fact.by, 60)})" if fact.by else ""
    return f"{fact.basis or ''}{by}".strip()


def _property(q: Quantity) -> str:
    name = NAMES.get(q.property, q.property)
    of = f" of {clean(q.of, 60)}" if q.of else ""
    qualifier = f", {clean(q.qualifier, 60)}" if q.qualifier else ""
    return f"{name}{of}{qualifier}{', each' if q.each else ''}"


def _quantity_row(q: Quantity, own: Profile) -> Row:
    return Row(
        (clean(q.subject, 160) or "whole", _property(q), *pair(q, own.units, own.numbers), _basis(q), _note(q)),
        moments(q.evidence), q.id, q.doubt is not None or q.status == "hedged",
    )  # fmt: skip


QUANTITY_SHARES = (20, 17, 16, 16, 12, 19)


def _columns(own: Profile) -> tuple[str, str]:
    metric = ("Metric", "Customary")
    return ("As stated", "Converted ≈") if not own.units else metric if own.units == "metric" else metric[::-1]


def _specification(walk: Walk, out: bool, own: Profile) -> Section:
    rows = tuple(_quantity_row(q, own) for q in walk.active if not (out and q.property == "price"))
    return Section(
        "specification", "Specification",
        ("Figures marked ≈ are calculated and rounded to three figures; the stated figure counts.",) if rows else (),
        (Table(("Of", "What", *_columns(own), "Basis", "Note"), QUANTITY_SHARES, rows),),
    )  # fmt: skip


def _says_something(walk: Walk) -> bool:
    return bool(walk.quantities or walk.components or walk.sequences or walk.remarks)


def _summary(walk: Walk, out: bool, own: Profile) -> Section:
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
            lines.append(Row((label, "; ".join(_phrase(q, walk, own) for q in found)), _said_at(found)))
    for s in walk.sequences:
        n = sum(x.status != "withdrawn" for x in s.stations)
        stated = "" if s.stated_count is None else f"{s.stated_count} stated, "
        lines.append(Row(("Stations", f"{clean(s.name, 60)}: {stated}{n} described"), moments(s.evidence)))
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
        () if _says_something(walk) else ("Nothing that could be reported was heard in this recording.",),
        (Table(("", ""), (20, 80), tuple(lines)),) if _says_something(walk) else (),
    )  # fmt: skip


def _without_empty_columns(table: Table) -> Table:
    """Columns in which no row says anything give their room to the others."""
    used = [i for i in range(len(table.headers)) if i == 0 or any(r.cells[i] for r in table.rows)]
    if len(used) == len(table.headers):
        return table

    def pick(cells: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(cells[i] for i in used)

    rows = tuple(replace(r, cells=pick(r.cells)) for r in table.rows)
    return Table(pick(table.headers), tuple(table.shares[i] for i in used), rows, table.timed)


def _phrase(q: Quantity, walk: Walk, own: Profile) -> str:
    """A figure of the summary with what it is of, where that is not the whole, and with what speaks against it."""
    text = phrase(q, own.units, own.numbers)
    if not whole(q, walk):
        text = f"{clean(q.subject, 50)} {text}"
    notes = [_note(q)] if _note(q) else []
    if any(q.id in f.facts for f in walk.findings if f.level == "conflict"):
        notes.append("does not agree with another statement")
    return text + (f" [{'; '.join(notes)}]" if notes else "")


def _said_at(facts: Iterable[Quantity]) -> tuple[Moment, ...]:
    return tuple(dict.fromkeys(m for q in facts for m in moments(q.evidence)[:1]))


def _of_whole(walk: Walk, props: tuple[str, ...]) -> list[Quantity]:
    """Figures of the whole under these properties, in their order, the sure ones first."""
    found = [q for q in walk.active if q.property in props and not q.each and whole(q, walk)]
    return sorted(found, key=lambda q: (props.index(q.property), q.doubt is not None or q.status == "hedged"))


def _what(walk: Walk) -> Row:
    i = walk.identity
    name = _stated(i.name) or _stated(i.kind)
    made = " ".join(t for t in (_stated(i.maker), _stated(i.model)) if t)
    text = "; ".join(t for t in (name, made, _stated(i.controls) and f"controls: {_stated(i.controls)}") if t)
    said = tuple(e for s in (i.name, i.kind, i.maker, i.model) if s for e in s.evidence[:1])
    return Row(("What", text or f"Not said: {BLANK}"), moments(said))


def _size(walk: Walk, own: Profile) -> Row:
    """Length, width and height of the whole, in that order; a blank where none was said."""
    found = _of_whole(walk, ("length", "width", "height"))
    if not found:
        return Row(("How big", f"Length, width and height of the whole not said: {BLANK}"))
    left = [p for p in ("length", "width", "height") if all(q.property != p for q in found)]
    text = "; ".join(_phrase(q, walk, own) for q in found[:6])
    return Row(("How big", text + (f"; {' and '.join(left)} of the whole not said: {BLANK[:8]}" if left else "")),
               _said_at(found[:3]))  # fmt: skip


def _whole_of(walk: Walk, own: Profile, label: str, props: tuple[str, ...]) -> list[Row]:
    found = _of_whole(walk, props)[:3]
    return [Row((label, "; ".join(_phrase(q, walk, own) for q in found)), _said_at(found))] if found else []


def _age(walk: Walk, own: Profile) -> list[Row]:
    built = _stated(walk.identity.year)
    hours = [q for q in walk.active if q.property == "hours"][:3]
    parts = [*([f"built {built}"] if built else []), *(_phrase(q, walk, own) for q in hours)]
    said = moments(walk.identity.year.evidence[:1]) if walk.identity.year else ()
    return [Row(("How old", "; ".join(parts)), (*said, *_said_at(hours))[:3])] if parts else []


def _many(n: int, word: str) -> str:
    """ "1 gap", "no gaps", "3 figures to check"."""
    some = word if n == 1 else word.replace("figure to", "figures to") if " to " in word else f"{word}s"
    return f"{n or 'no'} {some}"


def whole(q: Quantity, walk: Walk) -> bool:
    """Whether a figure is of the thing as a whole: said so, or its subject has no word that the name lacks."""
    i = walk.identity
    named = {w for s in (i.name, i.kind) if s for w in str(s.value).lower().split()}
    words = set(q.subject.lower().split())
    return words <= named or "overall" in (q.qualifier or "") or bool(words & {"whole", "overall"})


def _stations(walk: Walk) -> Iterator[Section]:
    for n, s in enumerate(walk.sequences):
        rows = tuple(
            Row(
                (clean(x.number, 20), clean(x.role, 160), "; ".join(
                    p for p in ("said with doubt" if x.status == "hedged" else "",
                                "corrected by the speaker" if x.status == "corrected" else "",
                                f"to verify: {clean(x.doubt, 160)}" if x.doubt else "") if p)),
                moments(x.evidence), f"station:{n}:{i}", x.doubt is not None,
            )
            for i, x in enumerate(s.stations) if x.status != "withdrawn"
        )  # fmt: skip
        stated = f"Stated: {s.stated_count}; described: {len(rows)}." if s.stated_count is not None else ""
        yield Section(
            f"stations-{n}", f"Stations: {clean(s.name, 80)}", (stated,) if stated else (),
            (Table((clean(s.station_word, 30).capitalize() or "Station", "What it does", "Note"), (18, 48, 34), rows),),
        )  # fmt: skip


def _equipment(walk: Walk, out: bool, own: Profile) -> Section:
    word = {"included": "included", "excluded": "not included", "uncertain": "unsettled", None: ""}
    rows = []
    for c in walk.present:
        sizes = [q for q in walk.active if q.subject.lower() == c.name.lower()][:6]
        what = ", ".join(p for p in (clean(c.maker or "", 60), clean(c.model or "", 60), str(c.year or ""),
                                     clean(c.material or "", 60),
                                     f"serial {clean(c.serial, 120)} ({AS_SPOKEN})" if c.serial else "",
                                     "; ".join(phrase(q, own.units, own.numbers) for q in sizes
                                               if q.property != "price")) if p)  # fmt: skip
        condition = "; ".join(p for p in (clean(c.condition or "", 160), c.running or "") if p)
        why = f"said of it: “{clean(c.reason, 100)}”" if c.reason and not out else ""
        amount = "" if c.count is None else ("about " if c.approximate else "") + str(c.count)
        rows.append(Row((clean(c.name, 160), amount, what, condition, word[c.disposition],
                         "; ".join(t for t in (_note(c), why) if t)),
                        moments(c.evidence), c.id, c.doubt is not None))  # fmt: skip
    return Section(
        "equipment", "Equipment", (),
        (Table(("What", "Count", "Particulars", "Condition, running", "Included?", "Note"),
               (20, 9, 25, 16, 13, 17), tuple(rows)),),
    )  # fmt: skip


SERVICES = (
    ("Power", ("voltage", "current", "frequency", "phases"), ()),
    ("Air", ("pressure", "flow"), ("air", "compressor")),
    ("Water", ("pressure", "flow", "temperature"), ("water", "rinse", "cooling", "chiller", "tower")),
    ("Gas", ("pressure", "flow", "power"), ("gas", "burner", "propane")),
    ("Steam", ("pressure", "flow", "temperature", "rate"), ("steam", "boiler")),
    ("Drain", ("diameter", "flow"), ("drain", "sewer", "effluent")),
)
"""Service, properties of figures that describe it, words of the subject ("" for any). Common practice, no source."""


def _utilities(walk: Walk, own: Profile) -> Section:
    """One row for each service and thing that needs it, with all figures of it."""
    found: dict[tuple[str, str], list[Quantity]] = {}
    for name, props, words in SERVICES:
        for q in walk.active:
            subject = set(re.findall(r"[a-z]+", f"{q.subject} {q.qualifier or ''}".lower()))
            if q.property in props and (not words or subject & set(words)):
                found.setdefault((name, q.subject), []).append(q)
    for (name, of), figures in found.items():
        if name == "Power":
            # what it draws stands beside what it draws it from
            figures += [q for q in walk.active if q.subject == of and q.property == "power"]
    rows = tuple(
        Row((name, clean(of, 120) or "whole", "; ".join(dict.fromkeys(phrase(q, own.units, own.numbers)
                                                                     for q in figures)),
             "; ".join(dict.fromkeys(_note(q) for q in figures if _note(q)))),
            _said_at(figures)[:3], figures[0].id, any(q.doubt is not None for q in figures))
        for (name, of), figures in found.items()
    )  # fmt: skip
    return Section(
        "utilities", "Utilities",
        ("Gathered from what was said; services that are not listed were not described.",) if rows else (),
        (Table(("Service", "At", "Figures", "Note"), (12, 26, 42, 20), rows),),
    )  # fmt: skip


def _transport(walk: Walk, own: Profile) -> Section:
    wanted = ("length", "width", "height", "weight", "depth")
    rows = [
        Row((clean(q.subject, 120) or "whole", _property(q), *pair(q, own.units, own.numbers), _basis(q),
             "" if q.property != "weight" else clean(q.qualifier or "", 40) or "☐ empty  ☐ full"),
            moments(q.evidence), q.id, q.doubt is not None)
        for q in walk.active if q.property in wanted and (whole(q, walk) or q.property == "weight")
    ]  # fmt: skip
    to_fill = tuple(
        Row((label, BLANK))
        for label in ("Pieces it travels in", "Load height on the deck chosen", "Disconnected by", "Drained by",
                      "Cleaned by", "Loaded by", "Doors and floor on the way out", "Dates for removal")
    )  # fmt: skip
    return Section(
        "transport", "Removal and transport",
        ("Compare widths, heights and weights with the limits of each state or country on the route; permits and "
         "axle loads are the carrier’s to settle. Lifting, draining and disconnecting are for qualified people.",),
        (*((Table(("Of", "What", *_columns(own), "Basis", "Empty or full"), (22, 16, 17, 17, 12, 16),
                  tuple(rows)),) if rows else ()),
         Table(("To settle", "Entry"), (40, 60), to_fill, timed=False)),
    )  # fmt: skip


def _defects(walk: Walk) -> Section:
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


def _conflicts(walk: Walk, own: Profile) -> Section:
    headers, shares = ("What does not agree", "What was said", "A reading that would settle it (not applied)"), (
        36, 28, 36)  # fmt: skip
    both = [f for f in walk.findings if f.level in ("conflict", "check")]
    tables = tuple(
        Table((f"{title}: {headers[0].lower()}", *headers[1:]), shares,
              tuple(_finding_row(f, own) for f in both if f.level == level))
        for level, title in (("conflict", "Conflict"), ("check", "To check")) if any(f.level == level for f in both)
    )  # fmt: skip
    return Section("conflicts", "Conflicts and figures to check", (), tables)


def _doubtful(walk: Walk, out: bool, own: Profile) -> Section:
    rows = [
        Row((clean(q.subject, 120) or "whole", f"{_property(q)}: {figure(q, own.numbers)}", _note(q)),
            moments(q.evidence), q.id)
        for q in walk.active if (q.doubt or q.status == "hedged") and not (out and q.property == "price")
    ]  # fmt: skip
    rows += [Row((clean(c.name, 120), count_of(c), _note(c)), moments(c.evidence), c.id)
             for c in walk.present if c.doubt or c.status == "hedged"]  # fmt: skip
    rows += [Row(("recording", f"{clock(s.start)}–{clock(s.end)} not understood", clean(s.why, 200)),
                 (Moment(s.start),)) for s in (walk.speech.unheard if walk.speech else ())]  # fmt: skip
    return Section("doubtful", "Doubtful and unheard", (), (Table(("Of", "What", "Why"), (24, 36, 40), tuple(rows)),))


def _take_backs(walk: Walk) -> Section:
    kinds = {"self-correction": "taken back by the speaker", "mishearing": "taken to be a mishearing"}
    rows = tuple(Row((f"“{clean(r.heard, 200)}”", f"“{clean(r.read, 200)}”", kinds[r.kind]), moments(r.evidence))
                 for r in walk.repairs)  # fmt: skip
    return Section("take-backs", "Taken back", (), (Table(("Heard", "Read as", "Why"), (36, 36, 28), rows),))


def _decided(walk: Walk) -> Section:
    rows = tuple(Row((clean(d.when, 30), clean(d.who, 80), clean(d.text, 300), clean(d.why, 200)), (), d.id)
                 for d in walk.decided)  # fmt: skip
    return Section("decided", "Settled by hand", (), (Table(("When", "Who", "What", "Why"), (20, 16, 40, 24), rows,
                                                            timed=False),))  # fmt: skip


def _checked(walk: Walk) -> Section:
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


def _punch_list(walk: Walk) -> Section:
    rows = tuple(
        Row((BOX, clean(f.message, 500), clean(f.where or "", 200), BLANK[:14]), moments(f.evidence), f.id)
        for f in walk.findings if f.level in ("conflict", "check", "missing")
    )  # fmt: skip
    return Section(
        "punch-list", "Punch list: to take back to the machine",
        ("Open, reach into, climb, enter, lift or run nothing to fill a blank.",) if rows else (),
        (Table(("Done", "To find out", "Where to look", "Answer"), (8, 40, 30, 22), rows),),
    )  # fmt: skip


def _cautions(walk: Walk) -> Section:
    rows = tuple(Row((clean(f.message, 600),), moments(f.evidence), f.id)
                 for f in walk.findings if f.level == "caution")  # fmt: skip
    note = "General cautions; local codes and a licensed practitioner’s judgement come first."
    return Section("cautions", "Cautions", (note,) if rows else (), (Table(("Caution",), (100,), rows),))


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
