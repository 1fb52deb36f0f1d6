"""A second visit: further recordings of the same machine are read behind the first, as if the speaker had gone on.

So a take-back ("I said six pumps, it's five"), a filled blank and a contradiction work as they do within one
recording. Only two things differ: evidence names its recording with that recording's own time, and a later figure
replaces an earlier one that was doubtful. Otherwise two figures of one matter both stand, and the check says so.
"""

from __future__ import annotations

from collections.abc import Sequence as Many
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any, TypeVar

from extractors.words import Evidence, Stretch, Transcript, Word
from pipeline.checks.facts import has_dimension
from pipeline.checks.subjects import alike
from pipeline.compare import same_figure
from pipeline.walk import Quantity, Station, Walk

GAP = 10.0
"""Seconds set between two recordings, so that nothing is read across the seam."""

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Visit:
    """One recording of several, and where its words lie in the joined transcript."""

    file: str
    offset: float
    until: float
    paper: bool = False
    """Whether it is a document: its figures have that basis."""


def join(parts: Many[tuple[str, Transcript, bool]]) -> tuple[Transcript, tuple[Visit, ...]]:
    """(file name, words, whether a paper) of each visit to one transcript, and where each lies in it."""
    words: list[Word] = []
    breaks: list[int] = []
    apart: list[int] = []
    unheard: list[Stretch] = []
    visits: list[Visit] = []
    at = 0.0
    for file, t, paper in parts:
        last = max([t.duration, *(w.end for w in t.words[-1:])])
        breaks += [len(words), *(b + len(words) for b in t.breaks if b)]
        apart += [len(words) + b for b in (0, *t.breaks) if len(words) + b and (paper or not b)]
        words += [replace(w, start=w.start + at, end=w.end + at) for w in t.words]
        unheard += [replace(s, start=s.start + at, end=s.end + at) for s in t.unheard]
        visits.append(Visit(file, at, at + last + GAP, paper))
        at += last + GAP
    first = parts[0][1]
    joined = replace(
        first,
        words=tuple(words),
        breaks=tuple(sorted(set(breaks))),
        apart=tuple(apart),
        duration=max(0.0, at - GAP),
        unheard=tuple(unheard),
    )
    return joined, tuple(visits)


def relocate(value: T, visits: Many[Visit]) -> T:
    """The value with every evidence told in the time of its own recording."""
    if isinstance(value, Evidence):
        for n, visit in enumerate(visits):
            if visit.offset <= value.start < visit.until:
                own = replace(value, start=round(value.start - visit.offset, 3), end=round(value.end - visit.offset, 3))
                return replace(own, recording=visit.file if n else None)
        return value
    if isinstance(value, tuple):
        return tuple(relocate(v, visits) for v in value)  # type: ignore[return-value]
    if is_dataclass(value) and not isinstance(value, type):
        changed: dict[str, Any] = {}
        for f in fields(value):
            old = getattr(value, f.name)
            new = relocate(old, visits) if isinstance(old, tuple) or is_dataclass(old) else old
            if new is not old:
                changed[f.name] = new
        return replace(value, **changed) if changed else value
    return value


def said_swapped(transcript: Transcript, cues: frozenset[str]) -> tuple[tuple[float, float], ...]:
    """Seconds of the sentences that say something took the place of what was there ("it was swapped for a…")."""
    spans = []
    first = 0
    for i, word in enumerate(transcript.words):
        if word.text[-1:] in ".?!" or i + 1 == len(transcript.words) or i + 1 in transcript.breaks:
            part = transcript.words[first : i + 1]
            text = f" {' '.join(w.text.strip('.,;:?!').lower() for w in part)} "
            if any(f" {cue} " in text for cue in cues):
                spans.append((part[0].start, part[-1].end))
            first = i + 1
    return tuple(spans)


def prefer_sure(walk: Walk, visits: Many[Visit], swapped: Many[tuple[float, float]] = ()) -> Walk:
    """Withdraw an earlier visit's figure where a later visit gives one of the same matter: without doubt where the
    earlier was doubtful, or in a sentence that says it was swapped since (seconds of such sentences).

    To be called before relocate, while times still tell the visits apart.
    """
    if len(visits) < 2:
        return walk

    def visit_of(q: Quantity) -> int:
        start = q.evidence[0].start if q.evidence else 0.0
        return max((n for n, v in enumerate(visits) if v.offset <= start), default=0)

    out = list(walk.quantities)
    for i, early in enumerate(out):
        if early.status == "withdrawn":
            continue
        doubtful = bool(early.doubt or early.status == "hedged" or early.approximate)
        for j, late in enumerate(out):
            if not doubtful and not any(a <= e.start <= b for e in late.evidence[:1] for a, b in swapped):
                continue
            sure = late.status != "withdrawn" and not late.doubt and late.status != "hedged" and not late.approximate
            if sure and visit_of(late) > visit_of(early) and _same_matter(early, late) and not same_figure(early, late):
                out[i] = replace(early, status="withdrawn")
                out[j] = replace(late, replaces=late.replaces or early.id)
                break
    return replace(walk, quantities=tuple(out))


def changed_roles(walk: Walk, visits: Many[Visit]) -> Walk:
    """Stations that a later visit says are something else by now ("station four is a rinse now") become that, and what
    it says is gone is withdrawn.

    A role that is told without such a word stays beside the first, and the check asks. To be called before relocate.
    """
    if len(visits) < 2:
        return walk

    def settled(s: Station) -> Station:
        if s.gone_at and s.gone_at[0].start >= visits[1].offset:
            return replace(s, status="withdrawn", evidence=(*s.evidence, *s.gone_at))
        if s.also is None or not s.also_at or s.also_at[0].start < visits[1].offset:
            return s
        return replace(s, role=s.also, status="corrected", evidence=s.also_at, also=None, also_at=())

    rows = tuple(replace(q, stations=tuple(settled(s) for s in q.stations)) for q in walk.sequences)
    return replace(walk, sequences=rows)


def mark_papers(walk: Walk, visits: Many[Visit]) -> Walk:
    """Figures that stand only in papers get "document" as their basis. To be called before relocate."""
    papers = [v for v in visits if v.paper]
    if not papers:
        return walk

    def on_paper(q: Quantity) -> bool:
        return bool(q.evidence) and all(any(v.offset <= e.start < v.until for v in papers) for e in q.evidence)

    return replace(walk, quantities=tuple(replace(q, basis="document") if on_paper(q) else q for q in walk.quantities))


def _same_matter(a: Quantity, b: Quantity) -> bool:
    return a.property == b.property and has_dimension(a.unit, b.unit) and bool(alike(a.subject, b.subject))


def cut_out(transcript: Transcript, spans: Many[tuple[int, int]]) -> Transcript:
    """The words of some spans as a transcript of their own, times unchanged; a seam is a new paragraph."""
    words: list[Word] = []
    breaks: list[int] = []
    for first, last in spans:
        breaks += [len(words), *(b - first + len(words) for b in transcript.breaks if first < b < last)]
        words += transcript.words[first:last]
    begin = min((w.start for w in words), default=0.0)
    end = max((w.end for w in words), default=0.0)
    unheard = tuple(s for s in transcript.unheard if begin <= s.start <= end)
    return replace(transcript, words=tuple(words), breaks=tuple(sorted(set(breaks))), unheard=unheard)
