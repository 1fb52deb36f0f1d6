"""Whose figure it is, of the names in the words around it.

In order: a noun right behind ("fifteen horse gear motor"), what each one has ("75 pounds a hook"), what it is made up
of ("110 pounds of dry linen"), the subject of its clause, of its sentence, the heading sentence before.
"""

from __future__ import annotations

from bisect import bisect_left
from functools import lru_cache
from itertools import pairwise

from extractors.candidates import (
    CONDITIONS,
    LEADS,
    NEW,
    NUMBERED,
    SUPPLY,
    WHOLE,
    Candidate,
    Name,
    Names,
    subject_words,
)
from extractors.figure_stream import DEFAULTS, SHAPES
from extractors.mentions import Measure, SequenceMention, ThingMention, Token, Tokens
from extractors.phrases import singular
from vocab import Vocabulary

PRONOUNS = frozenset(
    "it they that this those these one she he them it's they're that's these're this's she's he's".split()
)
CHAIN = frozenset(
    "and or about around roughly at by a an the so which is that's some between from plus to near nearly".split()
)
"""Words between two figures of one thing: "twelve amps at 480 volts", "forty bar, which is 580 psi"."""
MANY = frozenset("those these both".split())
BACK = 8
"""So many sentences back "those" may point; chosen, no source."""
REACH = 4
"""So many sentences back a figure is looked for a thing that can have it; chosen, no source."""
METER = 1000
"""Hours from which on a figure stands on a meter; chosen, no source."""
WHOLE_HEADINGS = frozenset("weight weights footprint overall dimensions size sizes measurements envelope".split())
"""Words of a heading whose figures are of the whole."""
SPACES = frozenset({("floor", "space"), ("floor", "area"), ("ground", "space")})
STANDING = frozenset("on in at behind outside under over above below".split())
"""Prepositions of where a thing stands."""
SUPPLIES = frozenset("power electrics electrical electricity voltage juice mains".split())
"""First words of a sentence that tells what the whole is fed with."""
NOBODY = frozenset("one unit piece head them side".split())
"""Behind "each" these name no thing: "150 kilowatt each one"."""
IT, THEY = frozenset("it it's it'll it'd".split()), frozenset("they they're they'll they'd".split())
ONE_IN_S = frozenset("gas bus lens series chassis apparatus works bellows canvas axis dross".split())
"""Nouns in the singular that end like a plural."""
MOVING = frozenset(
    "fall drop go ride run hang travel come land slide feed discharge dump tip flow pass roll leave move spill deliver "
    "pump push blow convey carry empty drain lead".split()
)
"""Verbs of what is worked on, on its way through the machines."""
PLACES_IN_ORDER = frozenset("first second third fourth fifth sixth next last final".split())
SECOND_VERBS = frozenset("is has runs weighs holds stands sits makes does are have takes gives was".split())
BEFORE_FIGURES = frozenset("about a an at roughly around some just up to nearly almost only over under".split())
ALONE = (("by", "itself"), ("by", "themselves"), ("on", "its", "own"), ("alone",), ("only",), ("itself",))
SHOWING = frozenset(
    "screen panel display touchscreen controller pendant plc hmi console readout door wall cabinet box".split()
)
WANTING = frozenset("wants needs takes gets uses requires burns draws sees has want need take use require".split())
OF_A_BODY = frozenset("width height depth length diameter thickness".split())
MODALS = frozenset("can could may might must should would has".split())
"""Behind "one" these make it a person: "the board which one can run"."""
NEW_HERE = NEW - {"some"} | {"each", "every"}
"""Words that lead what a figure right behind is of: "a suction fan of 22 kilowatts"."""
PASSAGES = frozenset("door doorway gate opening hatch hatchway shutter corridor ramp aisle passage entrance".split())
METERED = frozenset(
    "compressor generator genset engine forklift loader truck excavator chiller laser welder tractor crane".split()
)
"""Machines that have an hour meter of their own, whatever line they stand in."""


TELLERS = frozenset("we you they i he we're you're they're we've i've".split())
HEAVY = {"ton": 0.5, "tonne": 0.5, "kilogram": 500.0, "pound": 1000.0}
"""Weights from which on a machine is weighed and no part of it; chosen, no source."""
BODY = OF_A_BODY | {"size"}
FAR = 12
"""So many sentences back the machine is looked for that is weighed; chosen, no source."""
LINES = frozenset("line lines plant range cell works house shop room spread hall department station facility".split())
"""Words for a whole of several machines."""


class Subjects(Names):
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
        self.deep = deep_rows(tokens, measures)
        self.overall, self.through = (phrases_of(vocabulary, kind) for kind in ("overall", "through"))

    def a_place(self, whole: str) -> bool:
        """Whether the kind is where the speaker stands: "I'm at the box plant"."""
        words = whole.lower().split()
        for i in range(len(self.tokens) - len(words)):
            if [t.lower for t in self.tokens[i : i + len(words)]] == words:
                looked = i > 2 and self.tokens[i - 3].lower in ("looking", "look", "looked")  # "looking at the line"
                at = i > 1 and self.tokens[i - 1].lower == "the" and self.tokens[i - 2].lower in ("at", "in", "from")
                return at and not looked
        return False

    # ------------------------------------------------------------------------------------------------- answers

    def of(self, m: Measure) -> Name:
        """The subject of a figure; figures are asked for in their order."""
        name = self.chained(m) or self.owner(m)
        name = self.whole if name.text == WHOLE else name
        if not self.suits(name.text, m):
            name = self.suited(m) or name
        self.previous = (m, name)
        return name

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
            named = [c for c in self.by_sentence.get(s, []) if c.strong and c.last <= m.first and not self.compared(c)]
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
            if not near and self.is_fragment(m) and not any(c.last <= m.first for c in row):
                told = self.topic(m, row)  # "Compressor. Seventy five horse. 41,000 hours."
                if told and told.text.split()[-1].lower() in METERED:
                    return told
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
        told = self.told_by_people(m, row) or self.weighing(m, row)
        if told is not None:
            return told
        if self.supply_heading(m):
            return Name(SUPPLY["power"], said=False)
        if self.of_the_whole(m, row) or self.called_she(m, row):
            return self.topicalised(m, row) or self.whole
        relative = self.holder(m, row) or self.relative(m, row) or self.wanted_at(m, row)
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
            return self.whole
        if m.property == "rate" and m.of and self.done_by_people(m):
            return Name(m.of)
        behind_it = (c.name for c in row if c.first >= m.last and not c.led and c.first - 1 not in self.figures)
        carried = self.carried(m, row)
        return self.placed(m, row) or carried or self.topic(m, row) or next(behind_it, self.whole)

    def carried(self, m: Measure, row: list[Candidate]) -> Name | None:
        """ "The feed comes to it at 48 percent, around 2,600 litres in the hour": the subject of the figure before in
        the sentence, where nothing was named between the two."""
        if self.previous is None:
            return None
        last, name = self.previous
        if self.tokens[last.first].sentence != self.tokens[m.first].sentence or last.per or last.first >= m.first:
            return None
        between = any(last.last <= c.first < m.first and not c.led for c in row)
        meant = self.meant_by_it(self.clause_of(m.first), m.first) or self.has_pronoun(last.last, m.first)
        return None if between or meant else name

    def supply_heading(self, m: Measure) -> bool:
        """ "Power's four eighty, three phase": a sentence that begins with the supply is of that."""
        if m.dimension not in ("voltage", "frequency") and m.property != "phases":
            return False
        first = self.tokens[self.sentence_first(m.first)]
        return first.lower.removesuffix("'s") in SUPPLIES and (first.lower.endswith("'s") or bool(first.after))

    def weighed_with(self, m: Measure, row: list[Candidate]) -> bool:
        """ "Weight with motor 1,150 kilos": a property as heading, of what was named before."""
        a = self.sentence_first(m.first)
        names = [c for c in row if c.last <= m.first]
        headed = self.tokens[a].lower in ("weight", "height", "length", "width") and not self.tokens[a].after
        return headed and bool(names) and all(self.before_in_sentence(c.head) == "with" for c in names)

    def hours_on(self, c: Candidate) -> bool:
        """ "Hours on the sealer, eleven thousand two hundred." """
        if c.name.text.split()[-1] in self.sources or c.name.text.split()[-1] in SHOWING:
            return False  # "Hour meter on the screen"
        near = {t.lower for t in self.tokens[max(0, c.head - 3) : c.head]}
        return bool(near & {"hours", "hour", "clock", "meter", "counter"})

    def hours_shown(self, row: list[Candidate], m: Measure) -> Name | None:
        """ "Hour meter on the screen, 14,200": what is read there, as it was called."""
        shown = next(
            (c for c in reversed(row) if c.led and c.last <= m.first and c.name.text.split()[-1] in SHOWING), None
        )
        if shown is None:
            return None
        at = shown.head - 1  # the preposition
        words = [t.lower for t in self.tokens[max(self.sentence_first(m.first), at - 3) : at]]
        while words and words[0] in ("the", "and", "so", "now", "an", "a"):
            words = words[1:]
        return Name(" ".join(words)) if {"hours", "hour"} & {*words} and len(words) > 1 else None

    def meters_on(self, m: Measure, row: list[Candidate]) -> list[Candidate]:
        """ "38,200 on the left compressor": the thing whose meter it is, named right behind."""
        if (
            m.last >= len(self.tokens)
            or self.tokens[m.last - 1].after
            or self.tokens[m.last].lower not in ("on", "for")
        ):
            return []
        return [c for c in row if c.led and c.strong and c.head == m.last + 1][:1]

    def boiler(self, m: Measure) -> Name:
        """Boiler horsepower is of the boiler named last."""
        s = self.tokens[m.first].sentence
        rows = [self.by_sentence.get(k, []) for k in range(s, max(-1, s - 12), -1)]
        named = (c for row in rows for c in reversed(row) if c.name.text.split()[-1].startswith("boiler"))
        return next((c.name for c in named), Name("boiler"))

    def topicalised(self, m: Measure, row: list[Candidate]) -> Name | None:
        """ "Air she needs ninety psi": the noun that opens the sentence before its subject."""
        first = next((c for c in row if c.last <= m.first and not c.led and self.opens(c.head)), None)
        if first is None or self.tokens[first.last - 1].after:
            return None
        return first.name if self.tokens[first.last].lower in ("she", "it", "they", "you", "we") else None

    def told_by_people(self, m: Measure, row: list[Candidate]) -> Name | None:
        """ "Plenum we run at 210", "flue gas I had at 218": the noun before who tells of it, where nothing else is
        named up to the figure."""
        clause = self.clause_of(m.first)
        before = [c for c in row if clause <= c.head and c.last <= m.first and not c.led]
        if len(before) != 1 or self.tokens[before[0].last - 1].after or not self.heads_clause(before[0].head):
            return None
        return before[0].name if self.tokens[before[0].last].lower in TELLERS else None

    def weighing(self, m: Measure, row: list[Candidate]) -> Name | None:
        """ "Weighs eleven thousand", "Eleven tons it weighs": said alone, of a whole machine and not of the part of it
        that was named last; on a line of machines, of the machine named last."""
        least = HEAVY.get(m.unit)
        if m.dimension != "mass" or least is None or m.value < least or any(c.last <= m.first for c in row if c.strong):
            return None
        opening = [t.lower for t in self.tokens[self.sentence_first(m.first) : m.first] if t.lower not in ("and", "so")]
        behind = [t.lower for t in self.tokens[m.last : m.last + 2]]
        said = opening[:1] == ["weighs"] or opening[:2] == ["it", "weighs"]
        if not said and not (not opening and behind in (["it", "weighs"], ["she", "weighs"])):
            return None
        sentence = self.tokens[m.first].sentence
        if self.previous is not None:
            last = self.previous[0]
            if last.property in BODY and sentence - self.tokens[last.first].sentence <= 1:
                return None  # its size was told right before
        if not set(self.whole.text.lower().split()) & LINES:
            return self.whole
        for s in range(sentence - 1, max(-1, sentence - FAR), -1):
            heads = (c for c in self.by_sentence.get(s, []) if c.strong and not c.led and not c.owned)
            found = next((c for c in heads if c.kind == "station" or (self.opens(c.head) and self.closed(c))), None)
            if found is not None:
                return found.name
        return None

    def called_she(self, m: Measure, row: list[Candidate]) -> bool:
        """ "She loads at a hundred and five psi": a machine is called so, its parts are not."""
        a = self.sentence_first(m.first)
        she = [k for k in range(a, m.first) if self.tokens[k].lower in ("she", "she's", "her", "she'll", "she'd")]
        return bool(she) and not any(c.strong and not c.led and she[-1] < c.first < m.first for c in row)

    def of_the_whole(self, m: Measure, row: list[Candidate]) -> bool:
        """ "Overall it is 18 feet long", "you'd get four tonne an hour through it": of no part."""
        a = self.sentence_first(m.first)
        if self.heading_before(m):
            return False
        turned = self.turns_to_all(a, m) if m.dimension in ("length", "mass", "area") else a
        if any(c.strong and not c.led and turned <= c.first and c.last <= m.first for c in row):
            return False
        if any(self.named_at(c, m) for c in row):
            return False
        b = min(len(self.tokens), m.last + 5)
        words = [t.lower for t in self.tokens[a:b] if t.sentence == self.tokens[m.first].sentence]
        if m.dimension in ("length", "mass", "area"):
            return held(words, self.overall)
        people = bool({"they", "we", "you", "i", "they'd", "we'd", "you'd", "they're", "we're"} & {*words})
        if m.dimension == "mass flow" or (m.property == "rate" and not m.of):
            return held(words, self.through) and (people or "through" in words or "throughput" in words)
        electric = m.dimension in ("voltage", "current", "frequency") or m.property == "phases"
        return electric and (held(words, self.overall) or words[:1] in (["needs"], ["wants"], ["requires"], ["takes"]))

    def named_at(self, c: Candidate, m: Measure) -> bool:
        """ "Ships in two pieces, the body at thirty eight thousand pounds": a name with its article right before."""
        gap = [t.lower for t in self.tokens[c.last : m.first]]
        plain = bool(gap) and {*gap} <= {"at", "about", "is", "of"} and gap[0] in ("at", "is")
        return plain and not c.led and c.head < c.first and self.tokens[c.head].lower in ("the", "its", "each")

    def turns_to_all(self, a: int, m: Measure) -> int:
        """Where the clause of a figure begins that has the whole as its subject: "eight positions, and the lot takes up
        fourteen metres"; the beginning of the sentence a where none does."""
        clause = self.clause_of(m.first)
        words = [t.lower for t in self.tokens[clause : m.first]]
        while words and words[0] in ("and", "so", "but", "the"):
            words = words[1:]
        return clause if any(tuple(words[:n]) in self.overall for n in (1, 2, 3, 4)) else a

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
                    behind = not closes.led
                if closes is not None and behind and not any(c.strong and k < c.first < m.first for c in row):
                    return closes.name
        return None

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
            return c.name if passage or named or fed else None  # "so the east door, 14 feet wide"
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

    def placed(self, m: Measure, row: list[Candidate]) -> Name | None:
        """ "We'd keep it at seventy in the wash tank", "nine hundred amps at the breaker": where the figure is held."""
        if self.tokens[m.last - 1].after or m.last >= len(self.tokens):
            return None
        if self.meant_by_it(self.clause_of(m.first), m.first):
            return None
        if self.tokens[m.last].lower not in ("on", "in", "at", "for", "inside", "across", "through"):
            return None
        held = next((c for c in row if c.led and m.last < c.first and c.head <= m.last + 2), None)
        # "120 litres a second at eighteen metres head"
        return held.name if held and not any(k in self.figures for k in range(m.last, held.first)) else None

    def on_the_drive(self, m: Measure, row: list[Candidate]) -> Name | None:
        """ "One horse on the drive": a power is of what drives, whatever else was measured in the sentence."""
        drive = self.placed(m, row) if m.dimension == "power" else None
        return drive if drive is not None and drive.text.split()[-1] in ("drive", "motor") else None

    def sentence_first(self, i: int) -> int:
        while i > 0 and self.tokens[i - 1].sentence == self.tokens[i].sentence:
            i -= 1
        return i

    def done_by_people(self, m: Measure) -> bool:
        """ "They do six programs a day": no machine is named, so the figure is of what is done."""
        clause = self.clause_of(m.first)
        return any(t.lower in ("they", "we", "you", "i") for t in self.tokens[clause : m.first])

    def bare_supply(self, m: Measure, row: list[Candidate]) -> bool:
        """ "The hangers go with it. Four eighty volt, three phase": a supply said alone is the whole's."""
        sentence = self.tokens[m.first].sentence
        recent = (
            self.previous is not None
            and self.previous[0].dimension in ("power", "current", "voltage", "frequency", "speed")
            and sentence - self.tokens[self.previous[0].first].sentence <= 2
        )
        if m.dimension != "voltage" or row or recent:
            return False
        if any(c.name.text.startswith("electrical") for c in self.by_sentence.get(sentence - 1, [])):
            return False
        # "Spindle chiller underneath. Plate reads 230 volts": what was named alone is told of
        fragment = [c for c in self.by_sentence.get(sentence - 1, []) if c.strong and self.opens(c.head)]
        told = any(
            t.lower in self.sources for t in self.sentence_tokens(sentence) if t.word < self.tokens[m.first].word
        )
        return not (told and fragment)

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
        if m.dimension not in ("mass", "volume", "length", "power", "pressure"):
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

    def compared(self, c: Candidate) -> bool:
        """ "Five thousand litres an hour, same as the skid, two hundred bar"."""
        alike = "same" in {t.lower for t in self.tokens[c.head : c.first + 1]}  # "those tanks are all the same pattern"
        return alike or (c.led and self.before_in_sentence(c.head) in ("as", "like", "than"))

    def called(self, c: Candidate, able: list[Candidate]) -> Candidate:
        """ "Rectifier's this blue cabinet, 300 volts", "the second is an open machine": what something is called so."""
        if c.head == c.first or not c.head:
            return c
        is_at = c.head - 1
        named = is_at + 1 if self.tokens[is_at].lower.endswith("'s") else is_at
        if named == is_at and self.tokens[is_at].lower not in ("is", "are", "was", "were"):
            return c
        one = self.tokens[c.head].lower in ("a", "an", "this", "that", "one")
        return next((e for e in able if e.last == named and not e.led and e.strong), c) if one else c

    def meant_by_it(self, a: int, b: int) -> bool:
        """Whether the clause from a speaks of something named before by "it" or "they"."""
        words = [t.lower for t in self.tokens[a:b] if t.lower not in ("and", "but", "so", "uh", "um")]
        if not words:
            return False
        opens = next((k for k in range(a, b) if self.tokens[k].lower == words[0]), a)
        # "the prover is a walk-in, six racks, runs at 38 degrees": the clause has no subject but the sentence's
        return words[0] in ("it", "it's", "they", "they're", "it'll") or (words[0] != "has" and self.acting(opens))

    def shared(self, m: Measure) -> bool:
        """Whether "each" or "apiece" stands right behind a figure."""
        return m.last < len(self.tokens) and self.tokens[m.last].lower in ("each", "apiece")

    def many(self, c: Candidate) -> bool:
        """Whether a name is a plural."""
        last = self.tokens[c.last - 1].lower
        return last.endswith("s") and not last.endswith(("ss", "'s", "us")) and last not in ONE_IN_S

    def agreeing(self, named: list[Candidate], a: int, b: int) -> list[Candidate]:
        """Those of the names that "it" or "they", the first of the words from a to b, can mean by their number."""
        word = next((t.lower for t in self.tokens[a:b] if t.lower in IT | THEY), "")
        if word in IT:
            return [c for c in named if not self.many(c)]
        return ([c for c in named if self.many(c)] or named) if word in THEY else named

    def first_subject(self, earlier: list[Candidate]) -> Name | None:
        """What "it" means in the same sentence: the first name that nothing leads; not a part that "it" has."""
        plain = [c for c in earlier if not c.led]
        if not plain:
            return None
        first = plain[0]
        return None if first.owned and self.starts_with_pronoun(self.tokens[first.first].sentence) else first.name

    def starts_with_pronoun(self, sentence: int) -> bool:
        row = self.by_sentence.get(sentence, [])
        if not row:
            return False
        k = self.sentence_first(row[0].first)
        while k < row[0].first and self.tokens[k].lower in self.words["opener"]:
            k += 1
        return self.tokens[k].lower in PRONOUNS or (k < row[0].first and self.acting(k))

    def paused(self, c: Candidate, m: Measure) -> bool:
        """Whether a pause stands between a name and a figure."""
        return any(self.tokens[k].after in (",", ";", ":") for k in range(c.last - 1, m.first - 1))

    def clause_of(self, i: int) -> int:
        a = i
        sentence = self.tokens[i].sentence
        while a > 0 and self.tokens[a - 1].sentence == sentence:
            if self.tokens[a - 1].after in (",", ";", ":") or (
                self.tokens[a - 1].lower in ("and", "but", "so", "which") and self.verb_between(a, i)
            ):
                break
            a -= 1
        return a

    def verb_between(self, a: int, b: int) -> bool:
        return any(self.verb(k) for k in range(a, b))

    def governs(self, c: Candidate, m: Measure) -> bool:
        """Whether a plain noun is the subject of the figure's verb, or stands right before the figure."""
        gap = range(c.last, m.first)
        if self.tokens[c.last - 1].after and self.tokens[c.last - 1].after != "-":
            return False
        if not gap or all(
            self.tokens[k].lower in ("about", "a", "an", "the", "at", "around", "of", "roughly", "up", "to", "from")
            for k in gap
        ):
            return not c.led or len(gap) == 0
        if self.tokens[c.last - 1].lower.endswith("'s"):
            return True
        if c.led and self.tokens[c.last].lower in ("being", "having") and not self.tokens[c.last - 1].after:
            return True  # "with the tunnel being 36 feet long"
        crossing = any(self.tokens[k].after in (",", ";", ":") for k in range(c.last - 1, m.first - 1))
        return not crossing and not c.led and self.verb_between(c.last, m.first)

    def has_pronoun(self, a: int, b: int) -> bool:
        """Whether a pronoun is a subject there; "the frame below it is" has none."""
        return any(
            self.tokens[k].lower in PRONOUNS
            and not (self.tokens[k].lower == "one" and self.tokens[min(k + 1, len(self.tokens) - 1)].lower in MODALS)
            and not (k and self.tokens[k - 1].lower in LEADS and not self.tokens[k - 1].after)
            for k in range(a, b)
        )

    def heading_before(self, m: Measure) -> bool:
        """ "Now the tunnel. Forty-eight feet, end to end": said of what the sentence before names and nothing else."""
        row = [c for c in self.by_sentence.get(self.tokens[m.first].sentence - 1, []) if c.strong and not c.led]
        alone = len(row) == 1 and self.opens(row[0].head) and self.closed(row[0])
        return alone and m.first == self.sentence_first(m.first)

    def property_heading(self, m: Measure) -> bool:
        """ "Weight I can give you. Forty four hundred pounds": a property said as a heading, of the whole."""
        sentence = self.tokens[m.first].sentence
        for s in (sentence, sentence - 1):
            inside = [t for t in self.tokens[max(0, m.first - 25) : m.first] if t.sentence == s]
            spaced = [t.lower for t in inside[:4]]
            if {*spaced[:3]} & WHOLE_HEADINGS or any(pair in SPACES for pair in pairwise(spaced)):
                return not any(c.strong for c in self.by_sentence.get(s, []) if c.first < m.first)
        return False

    def topic(self, m: Measure, row: list[Candidate]) -> Name | None:
        """What the sentences before are about: the nearest that names a thing, its first one that nothing leads."""
        sentence = self.tokens[m.first].sentence
        earlier = [c for c in row if c.last <= m.first and c.strong and not self.compared(c)]
        if self.weighed_with(m, row):
            earlier = []
        # "it's 23 foot long" is of one thing; "eight feet a minute, so ..." may be a figure told before, of another
        meant = self.meant_by_it(self.sentence_first(m.first), m.first)
        clause = self.clause_of(m.first)
        if earlier and self.meant_by_it(clause, m.first):
            earlier = self.agreeing(earlier, clause, m.first)
        if earlier:
            return Name(earlier[0].name.text, earlier[0].name.thing, said=False)
        several = self.several(m)
        if several:
            return Name(several.name.text, several.name.thing, said=False)
        closing = self.pointed_at(m)
        if closing:
            return Name(closing.name.text, closing.name.thing, said=True)
        fragment = self.is_fragment(m)
        opening = self.sentence_first(m.first)
        one = (self.acting(opening) and m.dimension != "time") or self.tokens[opening].lower in IT
        that = self.tokens[opening].lower in ("that", "this") and self.acting(opening + 1)
        for s in range(sentence - 1, max(-1, sentence - 6), -1):
            if s == sentence - 1 and self.spoken_of_as_she(s):
                return self.whole
            chosen = self.topic_of(s, near=s == sentence - 1, fragment=fragment)
            if chosen and that:  # "and the last one, that's the hot rinse. Stainless. That sits at 80 degrees"
                chosen = next((c for c in reversed(self.by_sentence[s]) if c.strong and not c.led), chosen)
            if chosen and one and self.many(chosen) and not self.alone(chosen):
                continue  # "Rolls are twelve hundred across. Heats up to 190": not the rolls
            if chosen:
                return Name(chosen.name.text, chosen.name.thing, said=meant)
        return None

    def pointed_at(self, m: Measure) -> Candidate | None:
        """ "It all goes onto the inclined conveyor. That's 650 wide": what the sentence before closes with."""
        a = self.sentence_first(m.first)
        if self.tokens[a].lower != "that's":
            return None
        row = self.by_sentence.get(self.tokens[m.first].sentence - 1, [])
        last = row[-1] if row else None
        if last is None or not last.strong or not self.closed(last) or not last.led:
            return None
        return last if self.before_in_sentence(last.head) in ("onto", "into", "to", "by", "on") else None

    def is_fragment(self, m: Measure) -> bool:
        """Whether no verb and no subject stand before a figure in its sentence: "Ten horse, three phase." """
        a = self.sentence_first(m.first)
        return not any(
            self.verb(k) or self.tokens[k].lower in PRONOUNS or self.tokens[k].lower in ("the", "we", "you", "i")
            for k in range(a, m.first)
        )

    def spoken_of_as_she(self, s: int) -> bool:
        """Whether a sentence names nothing and is of "her": "She weighs 23,000. It's eleven foot long." """
        if any(c.strong for c in self.by_sentence.get(s, [])):
            return False
        return any(t.sentence == s and t.lower in ("she", "she's") for t in self.sentence_tokens(s))

    def sentence_tokens(self, s: int) -> tuple[Token, ...]:
        """The tokens of a sentence, found by its place."""
        low = bisect_left(self.tokens, s, key=lambda t: t.sentence)
        return self.tokens[low : bisect_left(self.tokens, s + 1, key=lambda t: t.sentence)]

    def topic_of(self, s: int, *, near: bool, fragment: bool) -> Candidate | None:
        """What an earlier sentence is about; for a fragment right behind it, the part that it named last."""
        row = self.by_sentence.get(s, [])
        named = [
            c
            for c in row
            if c.strong and not self.compared(c) and (near or not c.bare or c.kind != "named" or self.alone(c))
        ]
        plain = [c for c in named if not c.led]
        about_it = self.starts_with_pronoun(s)
        if fragment and near:
            parts = [c for c in named if c.owned or self.closes(c)]
            if parts:
                return parts[-1]
        elif about_it or len(plain) > 1:
            whole = [c for c in plain if not c.owned and self.tokens[c.head].lower not in ("each", "every")]
            whole = [c for c in whole if not self.predicate(c, row)]
            plain = whole or ([] if about_it else plain)
        if len(plain) == 2 and self.tokens[plain[0].last - 1].after == "," and self.closed(plain[1]):
            placed = self.tokens[plain[0].first].lower in PLACES_IN_ORDER and self.opens(plain[0].first)
            return plain[1] if placed else plain[0]  # "Third pass, bake oven. Sixty feet"
        if plain:
            return plain[0]
        if named and not about_it and not self.of_them(s, named[0].first):
            return named[-1]  # "out of the washer, into the oven"
        return next((c for c in row if not c.strong and self.heads_sentence(c)), None)

    def predicate(self, c: Candidate, row: list[Candidate]) -> bool:
        """ "A charge is 250 brackets": what another noun of the sentence is."""
        said = self.before_in_sentence(c.head) in ("is", "are", "was", "were")
        return said and any(not e.led and e.last <= c.head for e in row)

    def of_them(self, s: int, stop: int) -> bool:
        """ "Two of them on the one rail": the sentence is of what was named before."""
        return any(
            t.lower in ("them", "those", "these", "em", "'em")
            for t in self.sentence_tokens(s)
            if t.word < self.tokens[stop].word
        )

    def alone(self, c: Candidate) -> bool:
        """ "Belt. Flat wire, stainless. Runs at six feet a minute": a name that is all of its sentence."""
        return self.sentence_first(c.first) == c.first and self.closed(c)

    def closed(self, c: Candidate) -> bool:
        return c.last >= len(self.tokens) or self.tokens[c.last].sentence != self.tokens[c.first].sentence

    def closes(self, c: Candidate) -> bool:
        """ "Cake goes out on a screw conveyor.": something new at the end of a sentence."""
        return self.closed(c) and self.tokens[c.head].lower in ("a", "an", "another")

    def several(self, m: Measure) -> Candidate | None:
        """ "Those are bigger, twelve foot by four": the last things named in the plural; None otherwise."""
        sentence = self.tokens[m.first].sentence
        inside = [t.lower for t in self.tokens[max(0, m.first - 12) : m.first] if t.sentence == sentence]
        they = inside[:1] in (["they're"], ["they"]) and inside[:2] != ["they", "run"]
        they = they and (inside[0] == "they're" or inside[1:2] in (["are"], ["were"], ["have"], ["hold"], ["weigh"]))
        they = they or (inside[:1] == ["each"] and inside[1:2] != ["of"])
        if not (they or MANY & {*inside[:2]} or inside[:3] in (["all", "of", "them"], ["each", "of", "them"])):
            return None
        for s in range(sentence - 1, max(-1, sentence - BACK - 1), -1):
            named = [c for c in self.by_sentence.get(s, []) if c.strong]
            many = [c for c in named if self.tokens[c.last - 1].lower.endswith("s") and not c.name.text.endswith("ss")]
            if many:
                return next((c for c in many if not c.led), many[-1])
        return None

    def heads_sentence(self, c: Candidate) -> bool:
        """Whether a noun opens its sentence and a pause or a verb follows ("Hour meter, let me see.")."""
        opens = c.head == 0 or self.tokens[c.head - 1].sentence != self.tokens[c.first].sentence
        return opens and (
            bool(self.tokens[c.last - 1].after)
            or self.tokens[c.last - 1].lower.endswith("'s")
            or (c.last < len(self.tokens) and (self.verb(c.last) or self.tokens[c.last].lower in CONDITIONS))
        )


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


def held(words: list[str], phrases: frozenset[tuple[str, ...]]) -> bool:
    """Whether one of the phrases stands among the words."""
    return any(tuple(words[k : k + n]) in phrases for n in (1, 2, 3, 4) for k in range(len(words) - n + 1))
