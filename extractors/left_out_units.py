"""Units that speech leaves out: "twelve wide" behind feet, "four eighty, three phase", hours on a meter."""

from __future__ import annotations

from dataclasses import replace

from extractors.figure_stream import SHAPES, Raw, Stream, one_of
from extractors.unit_words import Unit, figure_words

VOLTAGES = frozenset(
    {110, 115, 120, 200, 208, 220, 230, 240, 277, 347, 380, 400, 415, 440, 460, 480, 500, 525, 550, 575, 600, 660, 690}
)
"""Supply voltages that are said without their unit before "three phase" (IEC 60038, ANSI C84.1)."""
PACKED = frozenset(
    "can bottle jar vial tin pouch sachet cup tub keg bag sack carton case box tray crate tote pallet layer "
    "pack packet bundle basket rack cart trolley bin piece part roll sheet tier shelf pan loaf brick block tile tube "
    "ingot egg "
    "hanger hook carrier fixture stack row mould mold cavity shot batch load drum pail bucket bale".split()
)
"""Things that are packed in one another, as packaging and batch work count them."""
HOLDS = frozenset("has holds takes gets carries fits makes is".split())
HOUR_KINDS = frozenset(
    "operating run running loaded machine service total working power-on spindle engine meter".split()
)


class LeftOut(Stream):
    """The pass that supplies them."""

    def left_out(self, raws: list[Raw]) -> list[Raw]:
        """Units that speech left out: "twelve wide" behind feet, "four eighty, three phase", hours on a meter."""
        out: list[Raw] = []
        for k, raw in enumerate(raws):
            if raw.unit is None:
                if self.lower(raw.last) in SHAPES and self.linked(raw.last):
                    earlier = next((r for r in reversed(out) if r.unit and r.unit.dimension == "length"), None)
                    if earlier and self.same_sentence(earlier.first, raw.first):
                        shape = SHAPES[self.lower(raw.last)]
                        raw = replace(raw, unit=earlier.unit, shape=shape, last=raw.last + 1)
                elif (
                    raw.value in VOLTAGES
                    and k + 1 < len(raws)
                    and (behind := raws[k + 1].unit) is not None
                    and behind.property == "phases"
                ):
                    if raws[k + 1].first - raw.last <= 1 and self.same_sentence(raw.first, raws[k + 1].first):
                        raw = replace(raw, unit=self.row("volt"), doubt="volts supplied: the unit was not said")
                elif raw.value >= 100 and raw.number.form != "year" and self.hours_before(raw):
                    raw = replace(raw, unit=self.row("hour"), property="hours")
                elif (packed := self.packed(raw)) is not None:
                    raw = packed
                elif (
                    raw.value in (50, 60, 400)
                    and self.lower(raw.last) in ("cycle", "cycles")
                    and self.phased(raw, raws)
                ):
                    raw = replace(raw, unit=self.row("hertz"), last=raw.last + 1)
                elif self.ph_before(raw):
                    raw = replace(raw, unit=Unit("", "ratio", "ph", "pH"), property="ph")
                elif self.tokens[raw.first].text[:1] in "$£€":
                    pass
                elif (self.lower(raw.last),) in figure_words(self.vocabulary, "countable") and self.linked(raw.last):  # noqa: SIM102 - the comment belongs to the inner question
                    if self.lower(raw.last) in (
                        "pass",
                        "passes",
                        "lane",
                        "lanes",
                        "cavity",
                        "cavities",
                        "tier",
                        "tiers",
                        "ply",
                        "plies",
                        "shift",
                        "shifts",
                    ):
                        of = one_of(self.lower(raw.last))
                        raw = replace(
                            raw, unit=Unit("", "ratio", "count", of), of=of, property="count", last=raw.last + 1
                        )
            out.append(raw)
        return out

    def phased(self, raw: Raw, raws: list[Raw]) -> bool:
        """ "four eighty, three phase, sixty cycle": whether a supply is spoken of."""
        return self.linked(raw.last) and any(
            r.unit is not None and r.unit.property in ("phases", "voltage") and self.same_sentence(r.first, raw.first)
            for r in raws
        )

    def packed(self, raw: Raw) -> Raw | None:
        """ "24 cans in each tray", "twelve cases to a layer", "a pallet has five layers": how many in another."""
        at = raw.last
        of = one_of(self.lower(at))
        if raw.value != int(raw.value) or raw.value < 2 or not self.linked(at) or of not in PACKED:
            return None
        holder = ""
        if (
            self.lower(at + 1) in ("in", "on", "to", "per", "a", "an", "each")
            and self.linked(at + 1)
            and self.linked(at + 2)
        ):
            k = at + 2
            if self.lower(at + 1) in ("in", "on", "to"):
                k += self.lower(k) in ("a", "an", "each", "every", "one", "the")
            holder = self.lower(k) if self.linked(k) else ""
        elif self.lower(raw.first - 1) in HOLDS and self.linked(raw.first) and self.linked(raw.first - 1):
            one = self.lower(raw.first - 3) in ("a", "an", "each", "every", "one")
            holder = self.lower(raw.first - 2) if one and self.linked(raw.first - 2) else ""
        if not holder or holder != one_of(holder) or holder not in PACKED or holder == of:
            return None
        unit = Unit("", "ratio", "count", of)
        return replace(raw, unit=unit, of=of, property="count", per=holder, last=at + 1)

    def hours_before(self, raw: Raw) -> bool:
        a, _ = self.sentence(raw.first)
        words = [t.lower for t in self.tokens[max(a, raw.first - 12) : raw.first]]
        for k, w in enumerate(words):
            if w in ("hours", "hour") and k and words[k - 1] in HOUR_KINDS:
                return True
            if w == "hour" and k + 1 < len(words) and words[k + 1] in ("meter", "metre", "counter", "clock"):
                return True
        return False

    def ph_before(self, raw: Raw) -> bool:
        a, _ = self.sentence(raw.first)
        window = self.tokens[max(a, raw.first - 8) : raw.first]
        return 0 <= raw.value <= 14.5 and any(t.text == "pH" or t.lower in ("ph", "p-h") for t in window)
