"""Doubt: figures that others rest on but were heard badly, spelled serials, speech without words."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from pipeline.checks.facts import facts, limit
from pipeline.checks.wording import WITHIN, clean, compared, figure, finding, moment, name_of, said
from pipeline.walk import Checked, Finding, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_TEENS = {n: (n - 10) * 10 for n in range(13, 20)}


WEIGHED = "perhaps "
"""How doubts of extractors/weighed_doubts.py begin."""


def doubtful_figure(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A figure with a mark of doubt from the listening or reading stage, or said with doubt, that other checks used.

    Runs after the rules that compare, and reads what they compared (walk.checked). Arithmetic: none. At most as many as
    limits.toml allows, those used most first, and only figures that may be another one by ear (fifteen and fifty, or
    another number among what was heard): every doubtful figure bears its mark in the report anyway, and here it agreed
    with others. Source: common practice, no source.
    """
    rule = "doubtful_figure"
    used = Counter(
        i for c in walk.checked if len(c.facts) > 1 and c.outcome.startswith(("agreed", WITHIN)) for i in c.facts
    )
    failed = {i for f in walk.findings if f.level in ("conflict", "check") for i in f.facts}
    doubtful = [
        q
        for q in facts(walk).quantities
        # "daylight's forty eight, stroke thirty": the unit was supplied, and the number is not in doubt
        if q.doubt
        and "assumed" not in q.doubt
        and " supplied:" not in q.doubt
        and not q.doubt.startswith(WEIGHED)  # perhaps no figure at all; but here it agreed
        and q.id in used
        and q.id not in failed
        and _may_be_another(q)
    ]
    doubtful.sort(key=lambda q: (-used[q.id], moment(q)))
    most = int(limit(vocabulary, "doubts_listed")["high"])
    for q in doubtful[:most]:
        message = f"{name_of(q)} {q.property} {said(q)}: {clean(q.doubt or '', 80)}. Other figures rest on it{_kin(q)}."
        yield finding(rule, "check", message, [q])
        yield compared(rule, [q], "failed", "in doubt")


def _may_be_another(q: Quantity) -> bool:
    """Whether a twin sounds like the figure, or another number stands in what may have been said instead."""
    heard = [float(n.replace(",", "")) for n in re.findall(r"\d[\d,]*(?:\.\d+)?", (q.doubt or "").partition(" or ")[2])]
    return any(q.value in pair for pair in _TEENS.items()) or any(n not in (q.value, q.value_max) for n in heard)


def _kin(q: Quantity) -> str:
    """ "fifteen, or fifty?" for a figure with a twin that sounds like it."""
    for teen, ty in _TEENS.items():
        if q.value in (teen, ty):
            return f": listen whether it is {figure(teen, q.unit)} or {figure(ty, q.unit)}"
    return ": listen to it again, or read it again"


def spelled_serial(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """A serial or model that was heard with doubt, or mixes the letter O or I with digits.

    Arithmetic: none. Quiet where the letters stand apart from digits ("DW 41"), and where a person wrote the words
    down, as the field bears its mark anyway. Source: serial numbers are best made without O and I (common practice, no
    source).
    """
    rule = "spelled_serial"
    for name in ("serial", "model"):
        stated = getattr(walk.identity, name)
        if stated is None or stated.status == "withdrawn":
            continue
        text = str(stated.value)
        mixed = re.search(r"\d[OIQ]|[OIQ]\d", text.upper())
        heard_badly = stated.doubt if walk.source.kind != "transcript" else None
        told = " ".join(e.words for e in stated.evidence).upper()
        apart = mixed is not None and f"{mixed.group()[0]} {mixed.group()[1]}" in told  # "serial LQ 5583"
        if heard_badly or (name == "serial" and mixed and not apart):
            why = clean(heard_badly or "a letter and a digit that sound or look alike (O and 0, I and 1)", 80)
            message = f"{name} {clean(text, 30)}: {why}. Compare with a photo of the plate, letter by letter."
            yield finding(rule, "check", message, key=f"{name} {text}")


def speech_not_understood(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Seconds of speech that gave no words: nothing is known of what was said there.

    Arithmetic: the stretches' seconds together, over the limit in limits.toml. Source: common practice, no source.
    """
    rule = "speech_not_understood"
    if walk.speech is None or not walk.speech.unheard:
        return
    lost = sum(s.end - s.start for s in walk.speech.unheard)
    if lost <= limit(vocabulary, "unheard_speech")["high"]:
        return
    first = max(walk.speech.unheard, key=lambda s: s.end - s.start)
    at = _clock(first.start)
    message = f"{figure(round(lost), 'second')} of speech were not understood, most of it at {at}: listen there."
    yield finding(rule, "check", message, key=f"{first.start:.0f}")


def listen_again(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """Names and figures that were perhaps said, where the words were heard too badly to be read so.

    One finding for all of them. Arithmetic: none; as many places as limits.toml allows are told, the rest counted.
    Source: common practice, no source.
    """
    rule = "listen_again"
    places = [r for r in walk.remarks if r.kind == "misheard" and r.evidence]
    if not places:
        return
    most = int(limit(vocabulary, "places_listed")["high"])
    told = "; ".join(
        f"{_clock(r.evidence[0].start)} {clean(r.text, 30)!r}, perhaps {clean(r.subject, 40)}" for r in places[:most]
    )
    more = f"; and {len(places) - most} more" if len(places) > most else ""
    found = finding(rule, "check", f"heard badly: listen again at {told}{more}.", key=told)
    yield replace(found, evidence=tuple(r.evidence[0] for r in places[:most]))


def _clock(seconds: float) -> str:
    return f"{int(seconds) // 60}:{int(seconds) % 60:02d}"


RULES = (doubtful_figure, spelled_serial, speech_not_understood, listen_again)
