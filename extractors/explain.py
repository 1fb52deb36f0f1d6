"""How the words around a moment were read, and by which rule: for a user to trust, and for us to find faults.

The words are read anew, so that what is shown is what the reader does. Lines are plain text: the words as heard, what
was dropped or passed over and why, then each fact whose words lie there with the module that made it.
"""

from __future__ import annotations

from collections.abc import Iterator

from extractors.extract import extract
from extractors.mentions import Mentions, RepairMention, Span, Token, meet
from extractors.words import Transcript
from vocab import Vocabulary

AROUND = 8.0
"""Seconds shown on either side of the moment."""


def explain(
    transcript: Transcript, moment: float, vocabulary: Vocabulary, *, around: float = AROUND
) -> tuple[str, ...]:
    """Lines that say how the words within so many seconds of the moment were read."""
    inside = [i for i, w in enumerate(transcript.words) if w.end >= moment - around and w.start <= moment + around]
    if not inside:
        return (f"No words were heard within {around:g} seconds of {_clock(moment)}.",)
    span = (inside[0], inside[-1] + 1)
    mentions = extract(transcript, vocabulary)
    return (
        f"{_clock(transcript.words[span[0]].start)} to {_clock(transcript.words[span[1] - 1].end)}, as heard:",
        "  " + " ".join(w.text for w in transcript.words[slice(*span)]),
        *_section("Taken back or mended", _repairs(transcript, mentions, span)),
        *_section("Passed over as no fact", _asides(mentions, span)),
        *_section("Not trusted by the listening stage", _doubts(transcript, span)),
        *_section("Read as", _facts(transcript, mentions, span)),
    )


def _clock(seconds: float) -> str:
    whole = int(seconds)
    return f"{whole // 60}:{whole % 60:02d}"


def _section(title: str, lines: Iterator[str]) -> list[str]:
    found = [f"  {line}" for line in lines]
    return [f"{title}:", *(found or ["  nothing"])]


def _words(transcript: Transcript, span: Span | None) -> str:
    return "" if span is None else " ".join(w.text for w in transcript.words[slice(*span)])


def _repairs(transcript: Transcript, mentions: Mentions, span: Span) -> Iterator[str]:
    for r in mentions.repairs:
        if any(meet(s, span) for s in (*r.dropped, r.withdrawn, r.kept)):
            yield f'"{r.heard}" was read as "{r.read}": {_why(transcript, r)}'


def _why(transcript: Transcript, repair: RepairMention) -> str:
    if repair.kind == "mishearing":
        return "a mishearing, mended by likeness of sound and context (normalise)"
    dropped = " / ".join(_words(transcript, s) for s in repair.dropped)
    rule = "a correction of something said before (late_repairs)" if repair.late else "a take-back (repairs)"
    return f'{rule}; left out: "{dropped}"'


def _asides(mentions: Mentions, span: Span) -> Iterator[str]:
    run: list[Token] = []
    for token in (*mentions.tokens, None):
        if run and (token is None or token.aside != run[-1].aside):
            if run[-1].aside is not None:
                yield f'"{" ".join(t.text for t in run)}": {run[-1].aside} (asides)'
            run = []
        if token is not None and span[0] <= token.word < span[1]:
            run.append(token)


def _doubts(transcript: Transcript, span: Span) -> Iterator[str]:
    for w in transcript.words[slice(*span)]:
        if w.doubt is not None:
            other = f"; heard as well: {', '.join(w.alternatives)}" if w.alternatives else ""
            yield f'"{w.text}": {w.doubt} (probability {w.probability:.2f}{other})'


def _facts(transcript: Transcript, mentions: Mentions, span: Span) -> Iterator[str]:
    for q in mentions.quantities:
        if meet(q.span, span):
            top = "" if q.value_max is None else f" to {q.value_max:g}"
            figure = f"{q.value:g}{top} {q.unit}".strip()
            more = _more(q.status, q.doubt, q.basis, q.by)
            heard = _words(transcript, q.span)
            yield f'"{heard}": {q.property} of {q.subject or "the whole"}, {figure}{more} (quantities, filing)'
    for t in mentions.things:
        if meet(t.span, span):
            count = "" if t.count is None else f", {t.count} of them"
            what = f", {t.disposition}" if t.disposition else ""
            back = "" if t.same_as is None else f", the same as {mentions.things[t.same_as].name} before"
            more = _more(t.status, t.doubt, t.basis, t.by)
            passing = ", named in passing: not listed" if t.passing else ""
            yield f'"{_words(transcript, t.span)}": {t.name}{count}{what}{back}{passing}{more} (components)'
    for s in mentions.sequences:
        for station in s.stations:
            if meet(station.span, span):
                more = _more(station.status, station.doubt, None, None)
                heard = _words(transcript, station.span)
                yield f'"{heard}": {s.station_word} {station.number} is {station.role}{more} (sequences)'
        if meet(s.span, span) and s.stated_count is not None:
            yield f'"{_words(transcript, s.span)}": {s.stated_count} {s.station_word}s stated (sequences)'
    for m in mentions.identity:
        if meet(m.span, span):
            more = _more(m.status, m.doubt, None, None)
            yield f'"{_words(transcript, m.span)}": {m.field} {m.value}{more} (identity)'
    for r in mentions.remarks:
        if meet(r.span, span):
            yield f'"{_words(transcript, r.span)}": {r.kind} of {r.subject or "the whole"} (standing)'


def _more(status: str, doubt: str | None, basis: str | None, by: str | None) -> str:
    parts = [
        status if status != "stated" else "",
        f"not sure: {doubt}" if doubt else "",
        f"by {basis}" if basis else "",
        f"says {by}" if by else "",
    ]
    said = ", ".join(p for p in parts if p)
    return f" [{said}]" if said else ""
