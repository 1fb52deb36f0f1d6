"""Units told behind their figures: "480 of daylight and 420 deep. All millimetres, that.", "five by twelve, feet
obviously", "twelve hundred across and three point three long, metres that second one"."""

from __future__ import annotations

from dataclasses import replace

from extractors.figure_stream import Raw, Stream
from extractors.unit_words import Unit

BEFORE = frozenset("all both in that's those are they're it's everything's everything being".split())
"""Words between a pause and a unit that is told for figures before it."""
BEHIND = frozenset(
    (
        "that those these this both all obviously naturally clearly of course mind you again the first second last two "
        "three one ones each way figures sizes numbers is are being on closed open side"
    ).split()
)
"""Words that may close its clause."""
SHORT = 3
"""Letters of what may be a mere sign, written in capitals: "kW", "BTU"."""
LONGEST = 6
"""Those of them at most; chosen, no source."""
FEW = {"two": 2, "three": 3}


def told_later(stream: Stream, raws: list[Raw]) -> list[Raw]:
    """The figures, those without a unit with the one that is told behind them for one, some or all."""
    out = list(raws)
    taken = {k for r in raws for k in range(r.first, r.last)}
    for i in range(1, len(stream.tokens)):
        if i in taken or (i - 1 in taken and not stream.tokens[i - 1].after):
            continue
        start = i
        while start > 0 and not _paused(stream, start) and stream.lower(start - 1) in BEFORE and i - start < 3:
            start -= 1
        found = stream.units.at(stream.tokens, i, digits=False) if _paused(stream, start) else None
        if found is None or len(stream.lower(i)) < 4 or stream.tokens[i].aside:
            continue
        end, unit = found
        if unit.dimension == "temperature" or any(r.first == end and r.unit is not None for r in raws):
            continue  # a scale is carried by its degrees; "eight, what is it, microsiemens, eight microsiemens"
        words = _closing(stream, end)
        if words is None or not (words or start < i or stream.lower(i).endswith("s")):
            continue
        _hand_back(stream, out, start, unit, [stream.lower(k) for k in range(start, i)], words)
    for raw in raws:
        if raw.unit is not None and raw.last - raw.first > 1 and stream.tokens[raw.last - 1].text[:1].isupper():
            _share_back(stream, out, raw)
    return out


def _share_back(stream: Stream, out: list[Raw], told: Raw) -> None:
    """ "X a hundred and twenty, Y eighty-four. Inches.": a unit that is a sentence is of all in the one before."""
    here = stream.tokens[told.first].sentence
    ends = told.last >= len(stream.tokens) or not stream.same_sentence(told.last - 1, told.last)
    named = told.unit is None or told.unit.dimension == "temperature"  # "Celsius" is written so anywhere
    alone = ends and not named and len(stream.lower(told.last - 1)) > SHORT
    for k, r in enumerate(out):
        same = stream.tokens[r.first].sentence == here and r.last <= told.first and r.unit is None
        if alone and same and r.number.form != "ordinal" and not _no_figure(stream, r):
            out[k] = stream.shaped(replace(r, unit=told.unit))


def _paused(stream: Stream, i: int) -> bool:
    """Whether a clause begins at token i."""
    return i > 0 and (stream.tokens[i - 1].after in (",", ";", ":", ".") or not stream.same_sentence(i - 1, i))


def _closing(stream: Stream, end: int) -> list[str] | None:
    """The words behind a unit to the end of its clause; None where they say something else."""
    words: list[str] = []
    k = end
    while k < len(stream.tokens) and not _paused(stream, k):
        words.append(stream.lower(k))
        k += 1
        if len(words) > LONGEST or words[-1] not in BEHIND:
            return None
    return words


def _hand_back(stream: Stream, out: list[Raw], start: int, unit: Unit, ahead: list[str], words: list[str]) -> None:
    """Gives the unit to the figures meant, in place."""
    here = stream.tokens[start].sentence
    own = stream.same_sentence(start - 1, start)
    bare = [k for k, r in enumerate(out) if r.unit is None and r.last <= start]
    near = [k for k in bare if stream.tokens[out[k].first].sentence == here]
    if not near and not own:
        near = [k for k in bare if stream.tokens[out[k].first].sentence == here - 1]
    near = [k for k in near if out[k].number.form != "ordinal" and not _no_figure(stream, out[k])]
    if not near:
        return
    if "first" in words:
        count = next((FEW[w] for w in words if w in FEW), 1)
        meant = near[:count]
    elif (not own and not words) or {"all", "both", "everything's", "everything"} & {*ahead, *words}:
        meant = near  # "Inches." is a sentence of its own
    else:
        meant = near[-1:]
    for k in meant:
        out[k] = stream.shaped(replace(out[k], unit=unit))


def _no_figure(stream: Stream, raw: Raw) -> bool:
    """Whether a number is a pronoun or an article: "that one"."""
    return raw.last - raw.first == 1 and stream.lower(raw.first) in ("one", "a", "an")
