"""What was never said: a punch list for the kind of equipment, with where to find each thing from where one stands."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from functools import cache

from pipeline.checks.facts import facts, has_dimension, is_whole, size
from pipeline.checks.subjects import alike, head, words
from pipeline.checks.wording import finding
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Row, Vocabulary

Results = Iterator[Finding | Checked]

GENERAL = "general"
"""The kind of what is of no other: it has a list of its own."""
MOST = 24
"""Gaps listed for one walk: more are not read; common practice, no source."""


def never_said(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Rows of vocab/gaps.toml, for all kinds and for the kinds this walk is of, that no fact of the walk answers.

    Arithmetic: none; a row is answered by the identity, property, component, remark or phrase that it names. Source:
    the row's own basis (regulation, standard's marking rule, or common practice). One finding a gap.
    """
    kinds = kinds_of(walk, vocabulary)
    rows = [r for r in vocabulary["gaps"] if not r["kinds"] or set(r["kinds"]) & kinds]
    heard = _all_words(walk)
    listed = 0
    for row in sorted(rows, key=lambda r: r["order"]):
        if not answered(row, walk, heard) and listed < MOST:
            listed += 1
            yield finding("never_said", "missing", row["ask"], where=row["where"], key=row["name"])


@cache
def _kinds(vocabulary: Vocabulary) -> tuple[tuple[str, frozenset[tuple[str, ...]]], ...]:
    return tuple((row["name"], frozenset(words(w) for w in row["words"])) for row in vocabulary["kinds"])


def kinds_of(walk: Walk, vocabulary: Vocabulary) -> frozenset[str]:
    """The kinds of equipment of a walk: by what it is called; where that tells nothing, by its components; "general"
    where these tell nothing either."""
    named = [str(s.value) for s in (walk.identity.kind, walk.identity.name) if s is not None]
    found = {kind for kind, forms in _kinds(vocabulary) for text in named if _names(text, forms)}
    if not found:
        tally = {kind: sum(1 for c in walk.present if _names(c.name, forms)) for kind, forms in _kinds(vocabulary)}
        most = max(tally.values(), default=0)
        found = {kind for kind, n in tally.items() if n and n == most}
    return frozenset(found or {GENERAL})


def _names(text: str, forms: frozenset[tuple[str, ...]]) -> bool:
    own = words(text)
    return any(own[i : i + len(form)] == form for form in forms for i in range(len(own) - len(form) + 1))


def answered(row: Row, walk: Walk, heard: str) -> bool:
    """Whether any fact of the walk, or a phrase that was said, answers a row of the gaps table."""
    if row["name"] in walk.answers:
        return True
    if row["identity"] and (stated := getattr(walk.identity, row["identity"], None)) is not None:
        return bool(stated.status != "withdrawn")
    if row["identity"] and _perhaps_said(walk, row["identity"]):
        return True
    for q in facts(walk).of(*(row["properties"] or ())):
        if row["whole"] and not _of_the_whole(walk, q):
            continue
        if not row["subjects"] or set(row["subjects"]) & {*words(f"{q.subject} {q.of or ''}"), head(q.subject)}:
            return True
    for c in walk.present:
        own = f" {' '.join(words(c.name))} "
        # "manual hoists" are no manual: one word must be what the thing is, several must stand in its name
        if any(head(c.name) == n if " " not in n else f" {n} " in own for n in row["components"] or ()):
            return True
        if row["name"] == "what is included" and c.disposition is not None:
            return True
        if row["name"] == "seen running" and c.running is not None:
            return True
    if any(r.kind in (row["remarks"] or ()) for r in walk.remarks):
        return True
    return any(re.search(rf"\b{re.escape(p)}", heard) for p in row["phrases"] or ())


_NOT_THERE = r"(?:no|not|never|none|nothing|can't|cannot|couldn't|don't|isn't|gone|missing|where|behind|off|under)"
_CODE = r"(?!mm|cm|kg|kw|hp|rpm|psi|ph|dn|pn|pvc|ft|lb|kv|hz|plc|cnc|mr|st|dr|th|nd|rd|ml|ms)[b-df-hj-np-tv-z]{2,3}"
_SAID_AS = {
    "serial": re.compile(rf"(?<!no )(?<!no visible )(?<!without a )\bserials?\b(?:(?!\b{_NOT_THERE}\b)[^.;]){{0,60}}$"),
    "model": re.compile(
        rf"(?:\b(?:model|type)(?: name| number)?,? (?:is |was |it's )?(?:an? )?[a-z]+[ ,-]*(?:hyphen|dash|stroke)?|"
        rf"(?:^|\s){_CODE}[, -]*)$"
    ),
    "year": re.compile(
        r"\b(?:went in in|put in in|made in|built in|new in|dated?(?: on| of)?[^.;]{0,25}(?: is| from| says)|"
        r"year (?:is|was|of \w+))$"
    ),
}
"""What stands right before a number that is, or is part of, a serial, a model or the year of build."""
_SPELLED = re.compile(r"\b(?:[a-z][ ,-]{1,2}){4,}[a-z]\b")
_OPENING = 75.0
"""Seconds in which a walk tells what stands before one: a letter code is a model there; common practice, no source."""


def _perhaps_said(walk: Walk, field: str) -> bool:
    """Whether a serial, a model, a year or a spelled name was perhaps said though nothing was read as it: what may
    have been said is never told to be missing."""
    if field == "maker":
        told = [q.around or "" for q in walk.active] + [f"{n.before} {n.behind}" for n in walk.loose]
        return any(_SPELLED.search(text) for text in told)
    found = _SAID_AS.get(field)
    if found is None:
        return False
    stated = [getattr(walk.identity, f) for f in _SAID_AS]
    read = [e for s in stated if s is not None for e in s.evidence]
    for n in walk.loose:
        if not n.evidence or not found.search(n.before.strip(" ,")):
            continue
        if any(e.start <= n.evidence[0].start < e.end for e in read):
            continue  # "serial RP 44" is no model as well
        if field == "model" and n.evidence[0].start > _OPENING:
            continue
        if field != "year" or 1900 <= n.value <= 2100:
            return True
    years = (q for q in walk.active if q.property == "year" and q.around and q.evidence) if field == "year" else ()
    return any(found.search(q.around.partition(q.evidence[0].words.lower())[0].strip(" ,")) for q in years if q.around)


def _of_the_whole(walk: Walk, q: Quantity) -> bool:
    """Whether a figure is of the machine as a whole, or of the one large thing that the walk is about."""
    if not q.subject or is_whole(walk, q.subject):
        return True
    if q.qualifier in ("overall", "total"):
        return True
    index = facts(walk)
    lengths = [x for x in index.of("length") if has_dimension(x.unit, "metre") and not x.each]
    longest = max(lengths, key=lambda x: size(x, "metre") or 0.0, default=None)
    if longest is not None and alike(longest.subject, q.subject) == "same":
        sides = {x.property for x in index.of("length", "width", "height") if alike(x.subject, q.subject) == "same"}
        if len(sides) >= 2:
            return True
    kind = walk.identity.kind
    named = set(words(str(kind.value))) if kind is not None else set()
    return bool(named & set(words(q.subject))) or head(q.subject) in (
        "skid",
        "row",
        "footprint",
        "space",
        "place",
        "floor",
    )


def _all_words(walk: Walk) -> str:
    """Every word that stands as evidence or remark, lower case, to look for a phrase in."""
    parts = [r.text for r in walk.remarks]
    for c in walk.present:
        parts += [c.name, c.condition or "", c.reason or "", c.material or "", c.running or "", *c.defects]
        parts += [e.words for e in c.evidence]
    parts += [f"{q.subject} {' '.join(e.words for e in q.evidence)}" for q in walk.active]
    parts += [s.role for seq in walk.sequences for s in seq.stations]
    return " ".join(parts).lower()


RULES = (never_said,)
