"""Whose figure it is, of the names in the words around it.

In order: a noun right behind ("fifteen horse gear motor"), what each one has ("75 pounds a hook"), what it is made up
of ("110 pounds of dry linen"), the subject of its clause, of its sentence, the heading sentence before.
"""

from __future__ import annotations

from functools import cached_property, lru_cache

from extractors.candidates import FIRST_WORDS, LOOKED, NEW, NUMBERED, SUPPLY, WHOLE, Candidate, Name, subject_words
from extractors.figure_stream import DEFAULTS, SHAPES
from extractors.mentions import Measure, SequenceMention, ThingMention, Tokens
from extractors.phrases import singular
from extractors.subject_marks import Figure, Surroundings
from extractors.topics import PRONOUNS
from extractors.weighed_subjects import weighed
from extractors.wholes_said import OF_A_BODY, WholesSaid
from extractors.word_classes import stem
from vocab import Vocabulary

CHAIN = frozenset(
    "and or about around roughly at by a an the so which is that's some between from plus to near nearly".split()
)
"""Words between two figures of one thing: "twelve amps at 480 volts", "forty bar, which is 580 psi"."""
REACH = 4
"""So many sentences back a figure is looked for a thing that can have it; chosen, no source."""
METER = 1000
"""Hours from which on a figure stands on a meter; chosen, no source."""
STANDING = frozenset("on in at behind outside under over above below".split())
"""Prepositions of where a thing stands."""
NOBODY = frozenset("one unit piece head them side".split())
"""Behind "each" these name no thing: "150 kilowatt each one"."""
PRONOUNS_WITH_VERBS = frozenset({"it's", "they're", "it'll", "they'll"})
MOVING = frozenset(
    "fall drop go ride run hang travel come land slide feed discharge dump tip flow pass roll leave move spill deliver "
    "pump push blow convey carry empty drain lead".split()
)
"""Verbs of what is worked on, on its way through the machines."""
MOVING_STEMS = frozenset(stem(w.removesuffix("e") + "ing") for w in MOVING) | MOVING
SECOND_VERBS = frozenset("is has runs weighs holds stands sits makes does are have takes gives was".split())
BEFORE_FIGURES = frozenset("about a an at roughly around some just up to nearly almost only over under".split())
ALONE = (("by", "itself"), ("by", "themselves"), ("on", "its", "own"), ("alone",), ("only",), ("itself",))
WANTING = frozenset("wants needs takes gets uses requires burns draws sees has want need take use require".split())
NEW_HERE = NEW - {"some"} | {"each", "every"}
"""Words that lead what a figure right behind is of: "a suction fan of 22 kilowatts"."""
PASSAGES = frozenset("door doorway gate opening hatch hatchway shutter corridor ramp aisle passage entrance".split())
METERED = frozenset(
    "compressor generator genset engine forklift loader truck excavator chiller laser welder tractor crane".split()
)
"""Machines that have an hour meter of their own, whatever line they stand in."""


class Subjects(WholesSaid):
    """Answers whose figure a measure is, over one token stream."""

    def __init__(
        self,
        tokens: Tokens,
        measures: tuple[Measure, ...],
        things: tuple[ThingMention, ...],
        sequences: tuple[SequenceMention, ...],
        vocabulary: Vocabulary,
        whole: str = "",
    ) -> None:
        super().__init__(tokens, measures, things, sequences, vocabulary)
        first = next((Name(t.name, i, said=False) for i, t in enumerate(things)), Name("machine", said=False))
        if whole and self.a_place(whole):
            whole = ""
        same = next((i for i, t in enumerate(things) if t.name.lower() == whole.lower()), None)
        self.whole = Name(whole, same, said=False) if whole else first
        self.previous: tuple[Measure, Name] | None = None
        self.all_measures = measures
        self.sought: Name | None = None
        self.deep = deep_rows(tokens, measures)
        self.overall, self.through = (phrases_of(vocabulary, kind) for kind in ("overall", "through"))

    def of(self, m: Measure) -> Name:
        """The subject of a figure; figures are asked for in their order."""
        name = weighed(self.around, self.ruled(m), self.vocabulary)
        self.previous = (m, name)
        return name

    @cached_property
    def around(self) -> Surroundings:
        """What subjects are weighed by."""
        return Surroundings(self.tokens, self.all_measures, self.by_sentence, self.whole, self.suits, self.listed)

    def ruled(self, m: Measure) -> Figure:
        """What the rules say that a figure is of, and which way they came to it."""
        self.sought = None
        name, way = self.chained(m), "chained"
        if name is None:
            name = self.owner(m)
            way = "topic" if name is self.sought else "whole" if name == self.whole else "told"
        if name.text == WHOLE:
            name, way = self.whole, "whole"
        if not self.suits(name.text, m) and (other := self.suited(m)) is not None:
            name, way = other, "suited"
        before, previous = self.previous or (None, None)
        return Figure(m, name, way, previous, before)

    def suits(self, name: str, m: Measure) -> bool:
        """Whether a thing so called can have a figure of this property, by vocab/unsuited.toml."""
        prop = m.property or DEFAULTS.get(m.dimension, "")
        words = name.lower().split()
        never = unsuited(self.vocabulary).get(prop, frozenset())
        if m.first in self.deep:
            never |= unsuited(self.vocabulary).get("depth", frozenset())
        return not words or not {singular(words[-1]), " ".join([*words[-2:-1], singular(words[-1])])} & never

    def suited(self, m: Measure) -> Name | None:
        """The nearest name before that can have the figure: of its sentence, what "those" means, the sentences before.

        None where the words say outright that the figure is of what cannot have it ("80 degree insulation").
        """
        sentence = self.tokens[m.first].sentence
        row = self.by_sentence.get(sentence, [])
        if self.right_behind(m, row) or self.made_of(m, row):
            return None
        if self.previous and self.tokens[self.previous[0].first].sentence == sentence:
            earlier = self.previous[1]
            if self.suits(earlier.text, m):
                return earlier  # what the sentence told of before its aside
        several = self.several(m)
        if several and self.suits(several.name.text, m):
            return several.name
        for s in range(sentence, max(-1, sentence - REACH), -1):
            row = self.by_sentence.get(s, [])
            known = [c for c in row if c.strong or singular(c.name.text.split()[-1].lower()) in self.listed]
            named = [c for c in known if c.last <= m.first and not self.compared(c)]
            able = [c for c in named if self.suits(c.name.text, m)]
            if able:
                plain = [c for c in able if not c.led]
                return plain[0].name if plain else able[-1].name
        return None

    def chained(self, m: Measure) -> Name | None:
        """The subject of the figure before, where only a pause or a small word stands between the two."""
        if self.previous is None or m.per:
            return None
        last, name = self.previous
        gap = self.tokens[last.last : m.first]
        row = self.by_sentence.get(self.tokens[m.first].sentence, [])
        if (
            self.right_behind(m, row)
            or last.per
            or last.dimension == m.dimension == "time"
            or self.on_the_drive(m, row)
        ):
            return None
        if self.tokens[last.first].sentence == self.tokens[m.first].sentence:
            near = 0 <= m.first - last.last <= 4 and all(t.lower in CHAIN or t.lower in SHAPES for t in gap)
            return name if near else None
        alone = (
            not any(c.first < m.first for c in row)
            and self.tokens[m.first].sentence - self.tokens[last.first].sentence == 1
        )
        opens = self.tokens[self.sentence_first(m.first)].lower
        if alone and opens in ("weighs", "weighing") and last.dimension == "length":
            return name  # "Size. 3.4 metres long. Weighs 4.1 tonnes."
        return name if alone and last.dimension == m.dimension and m.dimension in ("mass", "time") else None

    def owner(self, m: Measure) -> Name:
        row = self.by_sentence.get(self.tokens[m.first].sentence, [])
        behind = self.right_behind(m, row)
        if behind:
            return behind
        alone = self.by_itself(m, row)
        if alone:
            return alone
        if m.per and m.per not in NOBODY:
            found = next((c for c in row if self.tokens[c.last - 1].lower.rstrip("s") == m.per.rstrip("s")), None)
            return found.name if found else Name(m.per)
        of = self.made_of(m, row)
        if of:
            return of
        if m.unit == "hour" and m.value >= METER:
            clause = self.clause_of(m.first)
            near = [c for c in row if clause <= c.first < m.first and c.strong and not c.led]
            near = near or [c for c in row if c.led and c.last <= m.first and self.hours_on(c)]
            # "Compressor one, 72,000"
            near = near or [c for c in row if self.ends_at(c, m) and c.strong and not c.led and not c.brought]
            near = near or self.meters_on(m, row)
            if not near and not any(c.last <= m.first for c in row):
                told = self.topic(m, row) if self.is_fragment(m) else self.metered(m)
                if told and told.text.split()[-1].lower() in METERED:
                    return told  # "Compressor. Seventy five horse. 41,000 hours."
            if not near and self.meant_by_it(clause, m.first):
                return self.before(m, row) or self.topic(m, row) or self.whole
            if not near and (shown := self.hours_shown(row, m)) is not None:
                return shown
            return near[-1].name if near else next((c.name for c in row if c.name.text.endswith("hours")), self.whole)
        if m.unit == "boiler_horsepower":
            return self.boiler(m)
        if m.dimension in ("voltage", "frequency") or m.property == "phases":
            heading = self.by_sentence.get(self.tokens[m.first].sentence - 1, [])
            if len(heading) == 1 and heading[0].name.text == "electrical supply" and self.alone(heading[0]):
                return heading[0].name  # "Electrics. One panel with a PLC, 400 volts, three phase"
        told = self.connected(m) or self.told_by_people(m, row) or self.weighing(m, row)
        if told is not None:
            return told
        if self.supply_heading(m):
            return Name(SUPPLY["power"], said=False)
        if self.of_the_whole(m, row) or self.called_she(m, row):
            return self.topicalised(m, row) or self.whole
        relative = self.holder(m, row) or self.relative(m, row) or self.wanted_at(m, row) or self.told_first(m, row)
        if relative:
            return relative
        if m.dimension == "power" and m.unit in ("kilowatt", "horsepower"):
            if (drive := self.on_the_drive(m, row)) is not None:
                return drive
            row = [c for c in row if c.name.text not in ("electrical supply", "electrical service")]
        before = self.apposed(m, row) or self.behind_an_aside(m, row)
        before = before or (None if self.weighed_with(m, row) else self.before(m, row))
        if before:
            return before
        if self.property_heading(m) or self.bare_supply(m, row):
            # "Weight on the tag, thirteen thousand pounds for the grinder by itself"
            given = self.placed(m, row) if self.tokens[min(m.last, len(self.tokens) - 1)].lower == "for" else None
            return given or self.whole
        if m.property == "rate" and m.of and self.done_by_people(m):
            return Name(m.of)
        behind_it = (c.name for c in row if c.first >= m.last and not c.led and c.first - 1 not in self.figures)
        told = self.placed(m, row) or self.carried(m, row)
        if told is None:
            told = self.sought = self.topic(m, row)
        return told or next(behind_it, self.whole)

    def metered(self, m: Measure) -> Name | None:
        """ "Compressor closet. Rotary screw, ten horse. Meter shows 18,000 hours": a machine with a meter of its own
        that a sentence before opened with."""
        sentence = self.tokens[m.first].sentence
        for s in range(sentence - 1, max(-1, sentence - REACH - 1), -1):
            for c in self.by_sentence.get(s, []):
                if not c.led and self.opens(c.head) and c.name.text.split()[-1].lower() in METERED - {"crane"}:
                    return c.name
        return None

    def relative(self, m: Measure, row: list[Candidate]) -> Name | None:
        """ "Hot water, that comes in at seventy two", "a fan which shifts": the noun right before the relative word."""
        clause = self.clause_of(m.first)
        for k in range(m.first - 1, max(clause, m.first - 9) - 1, -1):
            if self.tokens[k].lower == "this" and k and self.tokens[k - 1].after == "," and self.verb(k + 1):
                # "With the standard board, this is 610 wide"
                named = next((c for c in row if c.last == k), None)
                if named is not None:
                    return named.name
            if self.tokens[k].lower in ("that", "which", "that's", "who") and k:
                # "with a fan on it that shifts 18,000"
                end = k - 2 if self.tokens[k - 2].lower == "on" and self.tokens[k - 1].lower in ("it", "top") else k
                closes = next((c for c in row if c.last == end), None)
                behind = self.tokens[k].lower == "which" or self.verb(k + 1)
                if self.tokens[k].lower == "that's" and closes is not None:
                    # "through one round duct that's fourteen inches across"
                    new = not self.tokens[k - 1].after and self.tokens[closes.head].lower in NEW_HERE
                    behind = not closes.led or new
                if closes is not None and behind and not any(c.strong and k < c.first < m.first for c in row):
                    return closes.name
        return None

    def told_first(self, m: Measure, row: list[Candidate]) -> Name | None:
        """ "It says right here on that motor it's a four pole, sixty hertz": the noun that is led to, right before its
        pronoun, where nothing else is named up to the figure."""
        c = next((c for c in reversed(row) if c.last < m.first), None)
        if c is None or self.tokens[c.last - 1].after or self.tokens[c.last].lower not in PRONOUNS_WITH_VERBS:
            return None
        return c.name if self.before_in_sentence(c.head) in ("on", "for", "with", "of") else None

    def holder(self, m: Measure, row: list[Candidate]) -> Name | None:
        """ "To a suction fan of 22 kilowatts", "a vacuum brake with 7.5 kilowatts": what has a figure behind it."""
        if not m.first or self.tokens[m.first - 1].lower not in ("of", "with") or self.tokens[m.first - 2].after:
            return None
        c = next((c for c in row if c.last == m.first - 1), None)
        return c.name if c is not None and c.kind != "spec" and self.tokens[c.head].lower in NEW_HERE else None

    def wanted_at(self, m: Measure, row: list[Candidate]) -> Name | None:
        """ "It wants compressed air at six bar", "takes a panel from half an inch up to two": what is at the figure."""
        sized = m.dimension in ("length", "mass", "area")
        if not m.first or not (sized or m.dimension in ("pressure", "temperature", "flow")):
            return None
        c = next((c for c in reversed(row) if c.last < m.first and not c.led), None)
        if c is None or not c.head or any(t.after for t in self.tokens[c.last - 1 : m.first]):
            return None
        gap = [t.lower for t in self.tokens[c.last : m.first]]
        led = bool(gap) and {*gap} <= {"from", "up", "to", "between", "of", "about"} if sized else gap == ["at"]
        if not led:
            return None
        k, name = c.head - 1, c.name
        if self.tokens[k].lower.endswith("ed") and k:
            k, name = k - 1, Name(f"{self.tokens[k].lower} {c.name.text}")
        return name if self.tokens[k].lower in WANTING and not self.tokens[c.head - 1].after else None

    def ends_at(self, c: Candidate, m: Measure) -> bool:
        """Whether a name, and a number that tells it apart, stand right before a figure: "compressor number two, "."""
        k = c.last
        while k < m.first and not self.tokens[k - 1].after and (self.tokens[k].lower in NUMBERED or self.numeral(k)):
            k += 1
        return k == m.first

    def by_itself(self, m: Measure, row: list[Candidate]) -> Name | None:
        """ "She weighs thirty thousand, the jaw by itself", "it's forty feet, just the conveyor"."""
        if m.last >= len(self.tokens) or self.tokens[m.last - 1].after != ",":
            return None
        just = self.tokens[m.last].lower in ("just", "only")
        c = next((c for c in row if c.head == m.last + just and c.head < c.first and not c.led), None)
        if c is None:
            return None
        end = c.last
        for words in () if just else ALONE:
            if tuple(t.lower for t in self.tokens[c.last : c.last + len(words)]) == words:
                end = c.last + len(words)
        closed = end >= len(self.tokens) or bool(self.tokens[end - 1].after)
        return c.name if closed and (just or end > c.last) else None

    def behind_an_aside(self, m: Measure, row: list[Candidate]) -> Name | None:
        """ "The line, with the oven and the freezer, is 62 metres long": the noun before what stands between."""
        k = m.first - 1
        while (
            k > 0 and self.tokens[k].lower in BEFORE_FIGURES and self.tokens[k].sentence == self.tokens[k - 1].sentence
        ):
            k -= 1
        verb = self.verb(k) and not self.tokens[k].lower.endswith(("'s", "'re", "ing", "ed"))
        if k < 2 or not verb or self.tokens[k - 1].after != "," or self.tokens[k].after:
            return None
        if self.tokens[k - 1].sentence != self.tokens[k].sentence:
            return None
        able = [c for c in row if c.last < k and not c.led and self.tokens[c.last - 1].after == ","]
        heads = [c for c in able if self.opens(c.head) or self.tokens[c.head - 1].lower in ("and", "but", "so")]
        return heads[-1].name if heads else None

    def apposed(self, m: Measure, row: list[Candidate]) -> Name | None:
        """ "Dust goes to the silo, twelve foot across": where something goes, its size right behind the pause."""
        if not m.first or self.tokens[m.first - 1].after != ",":
            return None
        c = next((c for c in row if c.last == m.first), None)
        if c is not None and not c.strong and not c.led and c.head < c.first and self.seen_at(c.head - 1):
            return c.name  # "I am seeing the incoming breaker, 160 amps"
        if c is not None and c.led and m.dimension == "power" and self.before_in_sentence(c.head) in STANDING:
            # "cooled by a cooling tower on the roof, 400 kilowatts"
            held = next((e for e in row if e.last == c.head - 1 and e.strong), None)
            c = held or c
        if c is None:
            return None
        if m.dimension != "length":
            # "air comes from a little compressor, four kilowatt"
            new = c.strong and c.led and self.tokens[c.head].lower in NEW_HERE
            source = self.before_in_sentence(c.head) in ("from", "by")
            return c.name if new and source and m.dimension in ("power", "flow", "voltage", "current") else None
        passage = c.name.text.split()[-1].rstrip("s") in PASSAGES
        if passage and self.before_in_sentence(c.head) in ("through", "via", "by"):
            return c.name  # "access through a roller door, 3.6 metres wide"
        small = m.unit in ("inch", "millimetre", "thou")
        if c.led and small and self.tokens[c.head].lower in NEW_HERE:
            return c.name  # "onto the drag on two guide pins, thirty millimetres"
        if not c.strong:
            named = not c.led and c.head < c.first and m.property in OF_A_BODY
            onto = self.before_in_sentence(c.head) in ("to", "into", "onto") and c.head < c.first
            fed = onto and any(stems(t.lower) & MOVING for t in self.tokens[self.clause_of(c.head) : c.head])
            return (
                c.name if passage or named or fed or self.coming_in(c, row) else None
            )  # "so the east door, 14 feet wide"
        if [t.lower for t in self.tokens[m.last : m.last + 2]] == ["of", "it"]:
            return c.name  # "hang on the monorail, a hundred and fifty foot of it"
        if not c.led:
            return None
        way = self.before_in_sentence(c.head)
        if way in ("to", "into", "onto"):
            return c.name
        # "Chips fall on a conveyor, four hundred wide": not where the first noun is a machine itself
        first = next((e for e in row if e.last < c.head and not e.led), None)
        moved = any(stems(t.lower) & MOVING for t in self.tokens[self.clause_of(c.head) : c.head])
        product = first is None or first.kind not in ("thing", "station")
        return c.name if way in ("on", "in", "through", "down", "along") and moved and product else None

    def coming_in(self, c: Candidate, row: list[Candidate]) -> bool:
        """ "Parts are coming in steel baskets, four hundred long": what is worked on, and what it comes in."""
        held = self.before_in_sentence(c.head) in ("in", "on") and self.tokens[c.head].lower not in FIRST_WORDS
        first = next((e for e in row if e.last < c.head and not e.led), None)
        product = first is not None and first.kind not in ("thing", "station")
        moved = any(stem(t.lower) in MOVING_STEMS for t in self.tokens[self.clause_of(c.head) : c.head])
        return held and product and moved

    def seen_at(self, i: int) -> bool:
        """Whether the word at i says that the speaker looks at what follows."""
        return i > 0 and self.tokens[i].lower in LOOKED and not self.tokens[i].after

    def placed(self, m: Measure, row: list[Candidate]) -> Name | None:
        """ "We'd keep it at seventy in the wash tank", "nine hundred amps at the breaker": where the figure is held."""
        if self.tokens[m.last - 1].after or m.last >= len(self.tokens):
            return None
        if self.meant_by_it(self.clause_of(m.first), m.first):
            return None
        apart = (
            m.dimension == "length" and self.tokens[m.last].lower == "between"
        )  # "ten foot six between the housings"
        if not apart and self.tokens[m.last].lower not in ("on", "in", "at", "for", "inside", "across", "through"):
            return None
        held = next((c for c in row if c.led and m.last < c.first and c.head <= m.last + 2), None)
        # "120 litres a second at eighteen metres head"
        return held.name if held and not any(k in self.figures for k in range(m.last, held.first)) else None

    def on_the_drive(self, m: Measure, row: list[Candidate]) -> Name | None:
        """ "One horse on the drive": a power is of what drives, whatever else was measured in the sentence."""
        drive = self.placed(m, row) if m.dimension == "power" else None
        return drive if drive is not None and drive.text.split()[-1] in ("drive", "motor") else None

    def done_to(self, m: Measure, at: int) -> Name | None:
        """ "We changed the kettle in 2014", "the burner was replaced": what the word at `at` was done to."""
        row = self.by_sentence.get(self.tokens[m.first].sentence, [])
        behind = next((c for c in row if at < c.first <= at + 4 and c.last <= m.first and not c.led), None)
        if behind is not None:
            return behind.name
        before = [c for c in row if c.last <= at and not c.led]
        return (
            before[-1].name
            if before and not any(self.tokens[k].after for k in range(before[-1].last - 1, at))
            else None
        )

    def done_behind(self, m: Measure) -> Name | None:
        """ "In 2019 were the heating elements changed", "in 2022 the control": what is named right behind the year."""
        if self.tokens[m.last - 1].after or m.last >= len(self.tokens):
            return None
        row = self.by_sentence.get(self.tokens[m.first].sentence, [])
        at = m.last + (self.tokens[m.last].lower in ("was", "were"))
        return next((c.name for c in row if c.head == at and c.head < c.first and not c.led), None)

    def within(self, m: Measure) -> Name | None:
        """ "45 minutes in the tunnel": what the time is spent in, where it is a thing or station."""
        row = self.by_sentence.get(self.tokens[m.first].sentence, [])
        return next((c.name for c in row if c.led and m.last + 1 < c.first + 1 and c.head <= m.last + 2), None)

    def right_behind(self, m: Measure, row: list[Candidate]) -> Name | None:
        """ "fifteen horse gear motor", "six inch header": the noun that the figure stands before like an adjective."""
        if self.tokens[m.last - 1].after not in ("", "-") or m.last >= len(self.tokens):
            return None
        if m.places and m.place < m.places:
            return None
        if (
            self.tokens[m.last - 1].lower in SHAPES
            or m.dimension in ("time", "temperature", "frequency", "speed")
            or m.property == "rate"
        ):
            return None
        for c in row:
            if (
                c.first >= m.last
                and (c.head <= m.last or all(self.between(k) for k in range(m.last, c.head)))
                and c.first - m.last <= 4
            ):
                if all(self.tokens[k].after in ("", "-") for k in range(m.last - 1, c.first)) and all(
                    self.between(k) for k in range(m.last, c.first)
                ):
                    state = c.kind == "phrase" and c.name.text.endswith("ed")  # "1,100 pounds loaded"
                    return None if state and " " not in c.name.text else c.name
                break
        return None

    def between(self, i: int) -> bool:
        """Whether a word may stand between a figure and the noun it describes: adjectives, not articles or verbs."""
        return self.classes.of(self.tokens[i].lower) in ("describes", "number") or i in self.figures

    def made_of(self, m: Measure, row: list[Candidate]) -> Name | None:
        if m.last >= len(self.tokens) or self.tokens[m.last].lower != "of" or self.tokens[m.last - 1].after:
            return None
        if m.dimension not in ("mass", "volume", "length", "power", "pressure", "mass flow", "speed"):
            return None
        if m.last + 1 < len(self.tokens) and self.tokens[m.last + 1].lower in PRONOUNS:
            return None
        return next((c.name for c in row if m.last < c.first <= m.last + 4 and c.led), None)

    def before(self, m: Measure, row: list[Candidate]) -> Name | None:
        """The subject of the figure's clause or sentence."""
        earlier = [c for c in row if c.last <= m.first and not self.compared(c)]
        if not earlier:
            return None
        if (first := self.of_both_verbs(m, earlier)) is not None:
            return first
        # a plain noun is a subject only where a verb or nothing stands between it and the figure
        able = [c for c in earlier if c.strong or (self.governs(c, m) and (c.kind != "spec" or not self.paused(c, m)))]
        if not able and self.heads_sentence(earlier[0]) and not earlier[0].led:
            return earlier[0].name  # "Water, they told us point six gallons a pound"
        if not able:
            return None
        clause = self.clause_of(m.first)
        if self.meant_by_it(clause, m.first) and not any(c.strong and clause <= c.first for c in earlier):
            return self.first_subject(self.agreeing([c for c in able if c.first < clause], clause, m.first))
        if m.dimension == "length" and not self.shared(m):
            # "The long one's got six stations, eighteen foot": so many are counted, not measured
            counted = [c for c in able if c.owned and self.many(c) and self.tokens[c.last - 1].after == ","]
            able = [c for c in able if c not in counted] or able
        for pool in ([c for c in able if c.first >= clause], able):
            plain = [c for c in pool if not c.led]
            if plain and self.shared(m) and not (self.many(plain[-1]) or plain[-1].owned):
                plain = [c for c in plain if self.many(c)] or plain  # "Two presses, ring die, 300 horse each"
            if plain:
                pronoun = self.has_pronoun(plain[-1].last, m.first)
                if not (pronoun and not plain[-1].strong):
                    return self.called(plain[-1], able).name
            if pool and not self.has_pronoun(clause, m.first):
                return pool[-1].name
        return able[0].name if able and not self.has_pronoun(clause, m.first) else None

    def of_both_verbs(self, m: Measure, earlier: list[Candidate]) -> Name | None:
        """ "The brine has 18 percent salt and is 13 degrees": the second verb has the subject of the first."""
        k = m.first - 1
        while k > 0 and self.tokens[k].lower in BEFORE_FIGURES and not self.tokens[k].after:
            k -= 1
        joined = k > 1 and self.tokens[k].lower in SECOND_VERBS and self.tokens[k - 1].lower in ("and", "but")
        first = earlier[0]
        if not joined or first.led or not self.heads_sentence(first) or first.last >= k - 1:
            return None
        verb = self.tokens[first.last].lower
        told = verb in SECOND_VERBS and not any(c.first > first.last and self.opens(c.head) for c in earlier)
        return first.name if told else None


def stems(lower: str) -> set[str]:
    """What a verb may be without its ending."""
    return {lower, lower.removesuffix("s"), lower.removesuffix("es")}


def phrases_of(vocabulary: Vocabulary, kind: str) -> frozenset[tuple[str, ...]]:
    """Phrases of one kind of vocab/subject_words.toml, word by word."""
    return frozenset(tuple(w.split()) for w in subject_words(vocabulary, kind))


def deep_rows(tokens: Tokens, measures: tuple[Measure, ...]) -> frozenset[int]:
    """First tokens of lengths that stand in one row with a depth: "twelve foot long, eight wide, four deep"."""
    rows: list[list[Measure]] = []
    for m in measures:
        if m.dimension != "length":
            continue
        last = rows[-1][-1] if rows else None
        near = last is not None and tokens[last.first].sentence == tokens[m.first].sentence
        gap = tokens[last.last : m.first] if near and last is not None else ()
        if near and len(gap) <= 3 and all(t.lower in CHAIN or t.lower in SHAPES for t in gap):
            rows[-1].append(m)
        else:
            rows.append([m])
    return frozenset(m.first for row in rows if any(m.property == "depth" for m in row) for m in row)


@lru_cache(maxsize=8)
def unsuited(vocabulary: Vocabulary) -> dict[str, frozenset[str]]:
    """Property -> last words of names of things that do not have it."""
    out: dict[str, set[str]] = {}
    for row in vocabulary["unsuited"]:
        for prop in row["properties"]:
            out.setdefault(prop, set()).update(row["words"])
    return {k: frozenset(v) for k, v in out.items()}
