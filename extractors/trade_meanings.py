"""Units that the trade means by a word: pounds of air are psi, tons of a chiller are cooling, a metric mil."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property

from extractors.figure_stream import Raw, Stream
from extractors.unit_words import Unit
from extractors.units import convert
from extractors.units_in_context import cues, metric_talk

NEAR_PRESSURE = 8
"""Words between a pressure and the same in pounds, at most; chosen, no source."""
SHEET = 100
"""A row of sides in mil, none below this, is in millimetres: no sheet is told in thousandths; chosen, no source."""
PRESSED = (
    "boiler", "boilers", "steam", "air", "compressor", "receiver", "relief", "regulator", "header", "gas", "nitrogen",
    "oxygen", "argon", "accumulator", "nozzle", "intensifier",
)  # fmt: skip
"""Things whose pounds, "at" which they are held, are of pressure."""


HYDRAULIC = ("hydraulic", "hydraulics", "relief", "cylinder", "accumulator", "blower", "blowers")
"""Things whose pounds are of pressure where no weight is spoken of."""


HEAPED = (
    "hopper",
    "hoppers",
    "bucket",
    "loader",
    "mixer",
    "dumpster",
    "skip",
    "bin",
    "bins",
    "concrete",
    "sand",
    "gravel",
)
"""Things whose yards are cubic."""


GAUGED = frozenset(
    "gauge gage on the that this is was says reads reading at of it its it's a about around good full only level "
    "still pulls pulled pulling draws drew makes gets got holds held down goes went to runs shows showing here".split()
)
"""What may stand between "vacuum" and its inches of mercury."""
EVACUATED = frozenset("chamber kettle retort furnace tank line header system pump pot vessel".split())
"""Things whose vacuum it may be; right behind "vacuum" they are what a size would be of."""
PULLS = frozenset("pulls pulled pulling draws drew makes gets got holds held".split())
DEEPEST = 45.0
"""Inches of mercury that a gauge would be misread to, at most; beyond, something is long. Chosen, no source."""


CHILLED = tuple(
    "refrigeration chiller chillers rechillers glycol evaporator refrigerant semi-hermetic hermetic".split()
)
STATIC = 80.0
"""No fan gives more inches of water; common practice, no source."""
SWITCHING = frozenset("on off in out drops drop starts start stops stop kicks cuts trips".split())
BRIEF = 18
"""Words of a sentence that tells no more than what "it" has; chosen, no source."""
LIFTED = tuple("weighs weigh weight crane hoist press presses jack lift lifts clamp ram truck trailer".split())
HEADS = tuple("head pressure pump pumps static suction npsh drop lift psi gauge discharge lose loses loss".split())
"""Words with which feet of water are a pressure."""
BASINS = tuple("tank pit bath sump basin pool trough chiller flume pond wide long deep".split())
"""Words with which feet of water say how deep it stands."""


BREWERY = frozenset("brewhouse brewery wort lauter".split())
"""Words any of which makes a recording one of a brewery, whose barrels are of 31 US gallons and not of 42 (NIST
Handbook 44, appendix C)."""
BREWED = frozenset("beer brew brews mash hop hops fermenter fermenters keg kegs ale kettle".split())
"""Words two of which do."""
FILLED = frozenset("bottle bottles jar jars can cans vial vials ampoule ampoules flask flasks jug jugs carafe".split())
"""Things whose size in mil is millilitres, and in ounces fluid ones."""


class Meaning(Stream):
    """The pass that reads them so."""

    def meant(self, raw: Raw, raws: list[Raw]) -> Raw:
        """Units that the trade means by a word: pounds of air are psi, tons of a chiller are cooling."""
        if raw.unit is None:
            return raw
        a, b = self.sentence(raw.first)
        near = max(a, raw.first - 8), min(b, raw.last + 6)
        said = raw.unit.said
        if said == "pound" and raw.unit.pint == "pound":
            of = self.lower(raw.last) == "of" and self.lower(raw.last + 1) in (
                "air",
                "steam",
                "pressure",
                "boost",
                "vacuum",
            )
            about = self.holds("pressure of", *near) and not self.holds("weight of", *near) and raw.per is None
            held = self.lower(raw.first - 1) in ("at", "to", "of") and self.holds_word(PRESSED, a, b)
            beside = any(
                r.unit and r.unit.dimension == "pressure" and self.same_sentence(r.first, raw.first) for r in raws
            )
            about = about or self.same_pressure(raw, raws)
            about = about or (held and beside and raw.per is None)  # "rated 150 psi, operating at a hundred pounds"
            about = about or (held and raw.per is None and not self.holds("weight of", a, b) and not of)
            hydraulic = self.holds_word(HYDRAULIC, a, raw.first) and not self.holds("weight of", a, b)
            flowing = self.lower(raw.first - 1) == "at" and any(
                r.unit and r.unit.dimension == "flow" and 0 < raw.first - r.last <= 2 for r in raws
            )
            about = about or flowing or (hydraulic and raw.per is None)
            if of or about:
                return replace(
                    raw, unit=replace(self.row("psi"), said="psi"), doubt=None if of else "pounds taken as psi"
                )
        elif (
            raw.unit.pint == "inch"
            and raw.shape is None
            and raw.value <= DEEPEST
            and (self.of_vacuum(a, raw) or self.switched(a, raw, raws))
        ):
            return replace(raw, unit=self.row_of("inches of mercury"), doubt="inches of vacuum taken as mercury")
        elif raw.unit.pint == "inch" and raw.shape is None and raw.value <= STATIC and self.at_a_flow(raw, raws):
            return replace(raw, unit=self.row_of("inches of water"), doubt="inches of static pressure taken as water")
        elif raw.unit.pint == "ton" and metric_talk(raws) and not self.holds("cooling", a, b):
            return replace(raw, unit=self.row("tonne"), doubt="ton taken as metric")
        elif raw.unit.pint == "ton" and said == "ton" and self.holds("cooling", *near):
            return replace(raw, unit=self.row_of("ton of cooling"))
        elif raw.unit.pint == "ton" and said == "ton" and self.cooled(raw, a, b):
            return replace(raw, unit=self.row_of("ton of cooling"), doubt="tons taken as cooling")
        elif raw.unit.pint == "horsepower" and self.boiler(raw):
            return replace(raw, unit=self.row_of("boiler horsepower"))
        elif (
            self.lower(raw.last - 1) in ("mil", "mils")
            and self.linked(raw.last)
            and self.lower(raw.last) in FILLED
            and metric_talk(raws)
        ):
            return replace(raw, unit=self.row("millilitre"), doubt="mil taken as millilitre")
        elif raw.unit.pint == "ounce" and self.linked(raw.last) and self.lower(raw.last) in FILLED - {"can", "cans"}:
            return replace(raw, unit=self.row_of("fluid ounce"), doubt="ounces taken as fluid ounces")
        elif raw.unit.pint == "thou" and self.milled(raw, raws) and (metric_talk(raws) or self.sheet(raw, raws)):
            return replace(raw, unit=self.row("millimetre"), doubt="mil taken as millimetre")
        elif raw.unit.pint.startswith("thou/") and self.said_as_mil(raw, raws) and metric_talk(raws):
            per = raw.unit.pint.removeprefix("thou/")
            metric = replace(raw.unit, pint=f"millimetre/{per}", said=f"millimetre a {per}")
            return replace(raw, unit=metric, doubt="mil taken as millimetre")  # "comes down at 100 mil a second"
        elif raw.property == "rate" and not raw.of and raw.unit.dimension == "frequency" and self.burns(a, raw.first):
            volume = next(
                (
                    r.unit
                    for r in raws
                    if r.unit and r.unit.dimension == "volume" and self.same_sentence(r.first, raw.first)
                ),
                None,
            )
            if volume is not None:
                flow = Unit(f"{volume.pint}/{raw.unit.said}", "flow", "flow", f"{volume.said} an {raw.unit.said}")
                return replace(raw, unit=flow, property=None, doubt=f"{volume.said} supplied: the unit was not said")
        elif raw.unit.pint in ("foot_H2O", "meter_H2O", "metre_H2O") and self.standing(raw, a, b):
            return replace(raw, unit=self.row("foot" if raw.unit.pint == "foot_H2O" else "metre"), shape="depth")
        elif raw.unit.pint == "yard" and raw.shape is None and self.holds_word(HEAPED, a, b):
            return replace(raw, unit=self.row_of("cubic yard"), doubt="yards taken as cubic")
        elif "oil_barrel" in raw.unit.pint and self.brewed:
            beer = replace(raw.unit, pint=raw.unit.pint.replace("oil_barrel", "beer_barrel"))
            return replace(raw, unit=beer, doubt=raw.doubt or "barrels taken as beer barrels of 31 gallons")
        elif raw.unit.said == "degree":
            return self.degrees(raw, raws)
        elif (
            raw.unit.pint == "Btu"
            and not self.lower(raw.last - 1).endswith("h")
            and self.holds_word(
                ("burner", "burners", "boiler", "heater", "furnace", "oven", "input", "output", "fired", "gas"), a, b
            )
        ):
            return replace(raw, unit=self.row_of("btu an hour"), doubt="an hour supplied: Btu alone was said")
        return raw

    @cached_property
    def brewed(self) -> bool:
        """Whether the recording is of a brewery."""
        words = {t.lower for t in self.tokens}
        return bool(words & BREWERY) or len(words & BREWED) > 1

    def same_pressure(self, raw: Raw, raws: list[Raw]) -> bool:
        """ "4,000 bar, so about sixty thousand pounds": the pressure told right before once more."""
        for r in raws:
            if r.unit is None or r.unit.dimension != "pressure" or not self.same_sentence(r.first, raw.first):
                continue
            psi = convert(r.value, r.unit.pint, "psi")
            if 0 < raw.first - r.last <= NEAR_PRESSURE and abs(raw.value - psi) <= 0.06 * psi:
                return True
        return False

    def standing(self, raw: Raw, a: int, b: int) -> bool:
        """ "Eight foot wide and five foot of water": how deep the water stands, where no pressure is spoken of."""
        if self.lower(raw.last - 1) != "water" or self.holds_word(HEADS, a, b):
            return False
        return self.lower(raw.last) == "in" or self.holds_word(BASINS, a, b)

    def cooled(self, raw: Raw, a: int, b: int) -> bool:
        """ "Two screw compressors, semi-hermetic. Forty tons total.": tons where refrigeration is spoken of."""
        if self.holds("weight of", a, b) or self.holds_word(LIFTED, a, b):
            return False
        if self.holds_word(("chiller", "chiller's", "chillers", "rechiller"), a, b):
            return True  # "chiller's outside the fence, four ton"
        first = a
        while first > 0 and self.tokens[raw.first].sentence - self.tokens[first - 1].sentence <= 2:
            first -= 1
        own = self.holds_word(("tag", "plate", "it", "it's", "that's", "nameplate"), a, b)
        if own and b - a <= BRIEF and self.holds_word(("chiller", "chiller's", "chillers"), first, a):
            return True  # "back on that chiller. I read the tag, twenty ton"
        return self.holds_word(CHILLED, first, b) and self.holds_word(("total", "capacity", "each", "apiece"), a, b)

    def of_vacuum(self, first: int, raw: Raw) -> bool:
        """Whether inches are what a gauge shows: "vacuum on the chamber is twenty nine inches", and nothing's size."""
        near = range(raw.first - 1, max(first, raw.first - 8) - 1, -1)
        at = next((k for k in near if self.lower(k) in ("vacuum", "vacuum's")), None)
        if at is None or self.lower(raw.last) in ("long", "wide", "high", "tall", "deep", "across", "by", "diameter"):
            return False
        between = [self.lower(k) for k in range(at + 1, raw.first)]
        told = bool(between) and (between[0] in GAUGED or bool(PULLS & {*between}))
        return (told or self.lower(at) == "vacuum's") and all(w in GAUGED | EVACUATED for w in between)

    def at_a_flow(self, raw: Raw, raws: list[Raw]) -> bool:
        """ "It moves 2,000 cfm at six inches": a fan's static pressure, right behind its flow of air."""
        before = next((r for r in reversed(raws) if r.last <= raw.first and r.unit is not None), None)
        if before is None or before.unit is None or before.unit.pint != "foot**3/minute":
            return False
        gap = [self.lower(k) for k in range(before.last, raw.first)]
        sized = self.lower(raw.last) in ("pipe", "duct", "line", "inlet", "outlet", "header", "hose", "by")
        return gap in (["at"], ["against"], ["at", "about"]) and not sized

    def switched(self, first: int, raw: Raw, raws: list[Raw]) -> bool:
        """ "Brings the pump on at 22 inches": what switches at inches, where a vacuum in mercury was just told."""
        lead = [self.lower(k) for k in range(max(first, raw.first - 7), raw.first)]
        here = self.tokens[raw.first].sentence
        told = any(r.unit and r.unit.pint == "inch_Hg" and 0 <= here - self.tokens[r.first].sentence <= 2 for r in raws)
        return told and lead[-1:] == ["at"] and bool(SWITCHING & {*lead})

    def burns(self, first: int, last: int) -> bool:
        """Whether something is used up among these words: "she'll burn forty three an hour"."""
        table = cues(self.vocabulary)
        return any((cue := table.get((t.lower,))) is not None and cue.kind == "burns" for t in self.tokens[first:last])

    def said_as_mil(self, raw: Raw, raws: list[Raw]) -> bool:
        """Whether "mil" is among the words of a figure, or of the one that its unit is from, and not "thou"."""
        here = [raw, *(r for r in raws if r.unit is raw.unit and self.same_sentence(r.first, raw.first))]
        return any(self.lower(k) in ("mil", "mils") for r in here for k in range(r.first, r.last))

    def milled(self, raw: Raw, raws: list[Raw]) -> bool:
        """Whether "mil" was said of a figure, or of another one of its row."""
        near = [r for r in raws if r.unit is raw.unit and self.same_sentence(r.first, raw.first)]
        mates = [raw] + [r for r in near if not raw.places or r.row == raw.row]
        return any(self.lower(k) in ("mil", "mils") for r in mates for k in (r.last - 1, r.last - 2))

    def sheet(self, raw: Raw, raws: list[Raw]) -> bool:
        """Whether a figure is one of several with "by" between, none small: "720 by 1020 mil"."""
        mates = [r for r in raws if r.row == raw.row and r.places]
        return bool(raw.places) and len(mates) > 1 and min(r.value for r in mates) >= SHEET

    def boiler(self, raw: Raw) -> bool:
        a, b = self.sentence(raw.first)
        words = {t.lower for t in self.tokens[a:b]}
        others = {"motor", "motors", "pump", "pumps", "fan", "fans", "blower", "blowers", "drive"}
        return bool({"boiler", "boilers"} & words) and not words & others and raw.value >= 9

    def degrees(self, raw: Raw, raws: list[Raw]) -> Raw:
        """The scale of "degrees": said in the sentence, else the recording's, else by its other units, then marked."""
        a, b = self.sentence(raw.first)
        if self.holds("angle", max(a, raw.first - 4), min(b, raw.last + 3)):
            return replace(raw, property="other")
        for scale, names in (("degF", ("fahrenheit", "f")), ("degC", ("celsius", "centigrade", "celcius", "c"))):
            if any(t.lower in names and (len(t.lower) > 1 or t.text.isupper()) for t in self.tokens[a:b]):
                return replace(raw, unit=Unit(scale, "temperature", None, scale))
        scales = {
            r.unit.pint
            for r in raws
            if r.unit and r.unit.dimension == "temperature" and r.unit.pint in ("degF", "degC")
        }
        scale = scales.pop() if len(scales) == 1 else "degC" if metric_talk(raws) else "degF"
        name = "Fahrenheit" if scale == "degF" else "Celsius"
        return replace(
            raw, unit=Unit(scale, "temperature", None, scale), doubt=f"{name} supplied: the scale was not said"
        )
