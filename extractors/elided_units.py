"""Figures without a unit that stand as the figure before them stood: "number one has 18,000 hours, number two 21,000".

What is left out of the second of two clauses built alike is what the first has: its verb or preposition, and its unit.
"""

from __future__ import annotations

from dataclasses import replace

from extractors.figure_stream import Raw, Stream
from extractors.units_in_context import within
from extractors.word_classes import word_set

MEASURED = word_set(
    "time temperature length mass power pressure volume flow speed voltage current area frequency force"
)
LEADS = word_set("has is are at was holds takes runs does to are with makes gives reads shows weighs on")
"""Words right before both figures: "stage one is at 140 Fahrenheit, stage three at 120"."""
STANDING_FOR = word_set("did does do")
"""Verbs that stand for whatever verb was said before: "boiler one put in 9,000 hours, and boiler two did 3,000"."""
APART = word_set(
    "other second third fourth fifth last left right next long short big small bigger smaller larger longer shorter "
    "top bottom upper lower front back rear old new near far inner outer north south east west main spare first one "
    "two three four five six seven eight nine ten eleven twelve a b c d middle centre center end throat nozzle inlet "
    "outlet entry exit start head tail feed discharge"
)
"""Words that set one of several things off from another."""
NUMBERED = word_set(
    "number no stage station tank zone unit pump press line cell chamber bay section compressor motor lane"
)
OPENS = word_set("about around roughly nearly maybe some just only a an")
PASSING = word_set("comes come leaves leave goes go enters enter drops exits returns arrives")
ALONG = word_set("at with to by")
"""Prepositions that lead a figure of the verb before them."""
BOUNDS = word_set("over above under below past beyond exceeding exceeds exceed than")
NEVER = word_set("never not nothing ever no more less anything")
MOST_OF_THEM = 200
"""Things that share a total, at most; chosen, no source."""
PLACES = word_set("on for in at")
AFTER_SIZES = word_set("high deep tall wide long with between inside clear usable or so")
"""Words that may follow the last size of a row."""
FAR = 9
"""Words between two such figures at most; chosen, no source."""
ALIKE = 6.0
"""Times that one of the two may be the other; chosen, no source."""
CHAIN = 20
"""Words between the sizes of two things at most; chosen, no source."""


def elided(stream: Stream, raw: Raw, before: list[Raw], behind: list[Raw]) -> Raw | None:
    """The figure with the unit of the one before it, where its clause is built as that one's was; else None.

    Within a sentence that is what was said; of a row of sizes in the sentence behind, the unit is marked as supplied.
    """
    earlier = next((r for r in reversed(before) if r.unit is not None), None)
    if earlier is None or earlier.unit is None or earlier.property == "year":
        return None
    if raw.number.form in ("ordinal", "year"):
        return None
    if _in_and_out(stream, raw, earlier):
        return replace(raw, unit=earlier.unit, property=earlier.property)
    if earlier.unit.dimension not in MEASURED:
        return None
    total = _total(stream, raw, earlier)
    if not total and not within(raw.value, earlier.value, ALIKE):
        return None
    if _continues(stream, raw, earlier):
        return replace(
            raw, unit=earlier.unit, doubt=raw.doubt or earlier.doubt, row=earlier.row,
            place=earlier.place + 1, places=earlier.places,
        )  # fmt: skip
    if total or _limit(stream, raw, earlier) or _passed_on(stream, raw, earlier):
        return replace(raw, unit=earlier.unit, property=earlier.property)
    doubt = f"{earlier.unit.said} supplied: the unit was not said"
    row = sizes(stream, raw, behind)
    if earlier.unit.dimension == "length" and raw.first - earlier.last <= CHAIN and len(row) in (2, 3):
        if any(_in_chain(stream, r) for r in before[-3:]):
            return replace(raw, unit=earlier.unit, doubt=raw.doubt or doubt, row=row, place=1, places=len(row))
        return None
    if stream.same_sentence(earlier.first, raw.first):
        alike = _second_clause(stream, raw, earlier) or _second_place(stream, raw, earlier)
        if raw.first - earlier.last <= FAR and alike:
            return replace(raw, unit=earlier.unit, property=earlier.property)
        if raw.first - earlier.last <= FAR and _led_alike(stream, raw, earlier):
            return replace(raw, unit=earlier.unit, property=earlier.property, doubt=raw.doubt or doubt)
    return None


def _limit(stream: Stream, raw: Raw, earlier: Raw) -> bool:
    """ "Kept at 120 Fahrenheit, never over 135": a bound of what was told right before."""
    if raw.first - earlier.last > FAR or not stream.same_sentence(earlier.first, raw.first) or raw.first < 2:
        return False
    lead = raw.first - 1
    while lead > earlier.last and stream.lower(lead) in OPENS:
        lead -= 1
    bound = stream.lower(lead) in BOUNDS and stream.lower(lead - 1) in NEVER
    return bound and stream.linked(raw.first) and _closes(stream, raw)


def _passed_on(stream: Stream, raw: Raw, earlier: Raw) -> bool:
    """ "They held it at twenty-eight degrees, and a bird comes out at thirty-eight"."""
    if earlier.unit is None or earlier.unit.dimension != "temperature" or raw.first - earlier.last > 2 * FAR:
        return False
    verbs = {stream.lower(k) for k in range(max(earlier.last, raw.first - 4), raw.first)}
    at = stream.lower(raw.first - 1) in PASSING | {"at"} and stream.linked(raw.first)
    return at and bool(verbs & PASSING) and stream.same_sentence(earlier.first, raw.first) and _closes(stream, raw)


def _led_alike(stream: Stream, raw: Raw, earlier: Raw) -> bool:
    """ "Air goes in with 185 degrees and comes out with 88", "up at thirty foot a minute and travels at a hundred"."""
    lead = _lead(stream, raw.first)
    between = {stream.lower(k) for k in range(earlier.last, raw.first)}
    turned = "and" in between or "but" in between or bool(stream.tokens[earlier.last - 1].after)
    return lead in ALONG and lead == _lead(stream, earlier.first) and turned and _closes(stream, raw)


def _in_and_out(stream: Stream, raw: Raw, earlier: Raw) -> bool:
    """ "450 microsiemens per centimetre in, 12 out"."""
    ways = stream.lower(earlier.last), stream.lower(raw.last)
    near = stream.same_sentence(earlier.first, raw.first) and raw.first - earlier.last <= 3
    return near and set(ways) == {"in", "out"} and stream.linked(raw.last) and stream.linked(earlier.last)


def _total(stream: Stream, raw: Raw, earlier: Raw) -> bool:
    """ "Thirty thousand litres each, that's sixty thousand altogether": the sum of what each one has."""
    assert earlier.unit is not None
    if raw.first - earlier.last > FAR or not stream.same_sentence(earlier.first, raw.first):
        return False
    behind = [stream.lower(k) for k in range(raw.last, raw.last + 3)]
    pair = behind in (
        ["between", "the", "pair"],
        ["between", "the", "two"],
        ["for", "the", "pair"],
        ["for", "the", "two"],
    )
    if pair and raw.value == 2 * earlier.value:
        return True
    summed = behind[:1] in (["altogether"], ["together"], ["total"], ["combined"], ["overall"])
    summed = summed or behind[:2] in (["in", "all"], ["in", "total"], ["all", "told"], ["all", "together"])
    apiece = {"each", "apiece", "per", "a"} & {stream.lower(k) for k in range(earlier.last, earlier.last + 3)}
    leads = stream.lower(raw.first - 1) in ("that's", "so", "is", "makes", "making", "which's", "for")
    times = raw.value / earlier.value if earlier.value else 0.0
    return summed and bool(apiece) and leads and 1 < times <= MOST_OF_THEM and abs(times - round(times)) < 0.01 * times


def _lead(stream: Stream, i: int) -> str:
    """The word before a figure that says how it stands there."""
    while i > 0 and stream.linked(i) and stream.lower(i - 1) in OPENS:
        i -= 1
    return stream.lower(i - 1) if stream.linked(i) else ""


def _closes(stream: Stream, raw: Raw) -> bool:
    """Whether nothing that the figure could count stands behind it."""
    return not stream.linked(raw.last) or stream.lower(raw.last) in ("and", "but", "so", "inside", "outside", "overall")


def _second_clause(stream: Stream, raw: Raw, earlier: Raw) -> bool:
    lead = _lead(stream, raw.first)
    between = [stream.lower(k) for k in range(earlier.last, raw.first)]
    apart = any(
        w.removesuffix("'s") in APART
        and (k == 0 or w not in ("one", "two", "three", "a") or between[k - 1] in NUMBERED | {"the"})
        for k, w in enumerate(between)
    )
    same = lead == _lead(stream, earlier.first) and lead in LEADS
    bare = not lead and bool(between) and between[-1] in APART  # "the left one 18,000 hours, the right one 21,000"
    return apart and _closes(stream, raw) and (same or bare or lead in STANDING_FOR)


def _second_place(stream: Stream, raw: Raw, earlier: Raw) -> bool:
    """ "Ten horse apiece on the long ones and seven and a half on the short ones"."""

    def placed(at: int) -> bool:
        words = [stream.lower(k) for k in range(at, min(at + 5, len(stream.tokens))) if stream.linked(k)]
        for k, w in enumerate(words[:-2]):
            if w in PLACES and words[k + 1] == "the":
                return bool(APART & set(words[k + 2 :]))
        return False

    return stream.linked(raw.last) and stream.lower(raw.last) in PLACES and placed(raw.last) and placed(earlier.last)


def _continues(stream: Stream, raw: Raw, earlier: Raw) -> bool:
    """Whether a figure is the next of a row of sizes that was given its unit: the second 44 of "44 by 44"."""
    joined = earlier.last == raw.first - 1 and stream.lower(raw.first - 1) == "by" and stream.linked(raw.first)
    return joined and (earlier.doubt or "").endswith("the unit was not said")


def sizes(stream: Stream, raw: Raw, behind: list[Raw], *, of: bool = False) -> tuple[float, ...]:
    """The bare sizes that begin here, where they are all that their clause says: "platens are 44 by 44", no "2 by 4
    framing"; with `of` "sheets of 3,050 by 1,525", too."""
    lead = _lead(stream, raw.first)
    if lead not in LEADS and not lead.endswith(("'s", "'re")) and not (of and lead == "of"):
        return ()
    last, row = raw, [raw.value]
    for r in behind:
        if r.unit is not None or r.first != last.last + 1 or stream.lower(last.last) not in ("by", "times", "x"):
            break
        last = r
        row.append(r.value)
    following = stream.lower(last.last)
    closes = _closes(stream, last) or following in AFTER_SIZES or (lead == "of" and following.endswith("ing"))
    return tuple(row) if closes else ()


def _in_chain(stream: Stream, raw: Raw) -> bool:
    """Whether "by" stands right before or behind a figure."""
    before = stream.lower(raw.first - 1) == "by" and stream.linked(raw.first)
    return before or (stream.lower(raw.last) == "by" and stream.linked(raw.last))
