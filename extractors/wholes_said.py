"""Figures of the whole: what it is fed with, what its meters show, what she weighs, what is said of all of it."""

from __future__ import annotations

from extractors.candidates import OF_MANY, OF_ONE, Candidate, Name
from extractors.mentions import Measure
from extractors.topics import Topics

SUPPLIES = frozenset("power electrics electrical electricity voltage juice mains".split())
"""First words of a sentence that tells what the whole is fed with."""
SHOWING = frozenset(
    "screen panel display touchscreen controller pendant plc hmi console readout door wall cabinet box".split()
)
OF_A_BODY = frozenset("width height depth length diameter thickness".split())
TELLERS = frozenset("we you they i he we're you're they're we've i've".split())
PLATED = frozenset("model serial type made built year number".split())
SHORT = 6
"""Words before the name in a heading, at most; chosen, no source."""
LOADING = frozenset("connected installed total".split())
WEIGHT_IS = frozenset(
    "weight is was are the total gross net dry empty wet operating shipping transport about around roughly at of plate "
    "on a it its says".split()
)
"""Words of a sentence that tells a weight and names nothing."""
HEAVY = {"ton": 0.5, "tonne": 0.5, "kilogram": 500.0, "pound": 1000.0}
"""Weights from which on a machine is weighed and no part of it; chosen, no source."""
BODY = OF_A_BODY | {"size"}
FAR = 12
"""So many sentences back the machine is looked for that is weighed; chosen, no source."""
LINES = frozenset("line lines plant range cell works house shop room spread hall department station facility".split())
"""Words for a whole of several machines."""


class WholesSaid(Topics):
    """Which figures are of the whole, over one token stream."""

    overall: frozenset[tuple[str, ...]]
    through: frozenset[tuple[str, ...]]

    def a_place(self, whole: str) -> bool:
        """Whether the kind is where the speaker stands: "I'm at the box plant"."""
        words = whole.lower().split()
        for i in range(len(self.tokens) - len(words)):
            if [t.lower for t in self.tokens[i : i + len(words)]] == words:
                looked = i > 2 and self.tokens[i - 3].lower in ("looking", "look", "looked")  # "looking at the line"
                at = i > 1 and self.tokens[i - 1].lower == "the" and self.tokens[i - 2].lower in ("at", "in", "from")
                return at and not looked
        return False

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

    def hours_on(self, c: Candidate) -> bool:
        """ "Hours on the sealer, eleven thousand two hundred." """
        if c.name.text.split()[-1] in self.sources or c.name.text.split()[-1] in SHOWING:
            return False  # "Hour meter on the screen"
        near = {t.lower for t in self.tokens[max(0, c.head - 3) : c.head]}
        return bool(near & {"hours", "hour", "clock", "meter", "counter"})

    def hours_shown(self, row: list[Candidate], m: Measure) -> Name | None:
        """ "Hour meter on the screen, 14,200": what is read there, as it was called."""
        led = (c.head for c in reversed(row) if c.led and c.last <= m.first and c.name.text.split()[-1] in SHOWING)
        head = next(led, None)
        if head is None:
            a = self.sentence_first(m.first)
            pairs = (k for k in range(m.first - 1, a, -1) if self.tokens[k].lower in SHOWING)
            head = next((k - 1 for k in pairs if self.tokens[k - 1].lower == "the" and k - 2 > a), None)
            if head is None or self.tokens[head - 1].lower not in ("on", "at", "in"):
                return None
        at = head - 1  # the preposition
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
        said = said or self.weight_told(opening) or (not opening and behind in (["it", "weighs"], ["she", "weighs"]))
        sentence = self.tokens[m.first].sentence
        named = behind[:1] in (["for"], ["on"]) and any(c.led and c.strong and c.head <= m.last + 1 for c in row)
        if named or (
            not said and (opening or behind[:1] in (["of"], ["each"], ["apiece"]) or self.one_named(sentence - 1))
        ):
            return None
        if self.previous is not None:
            last = self.previous[0]
            if last.property in BODY and sentence - self.tokens[last.first].sentence <= 1:
                return None  # its size was told right before
        if not set(self.whole.text.lower().split()) & LINES:
            return self.whole
        for s in range(sentence - 1, max(-1, sentence - FAR), -1):
            heads = (c for c in self.by_sentence.get(s, []) if c.strong and not c.led and not c.owned)
            found = next((c for c in heads if self.machine_named(c)), None)
            if found is not None:
                return found.name
        return None

    def machine_named(self, c: Candidate) -> bool:
        """Whether a name is a station's, stands alone as a heading, or is a machine's with its model behind it."""
        if c.kind == "station" or (self.opens(c.head) and self.closed(c)):
            return True
        a = self.sentence_first(c.first)
        said = any(self.acting(k) or self.tokens[k].lower in OF_ONE | OF_MANY for k in range(a, c.head))
        if self.closed(c) and c.head - a <= SHORT and not said:
            return True  # "And ninth, last one, the autoclave."
        return self.tokens[c.last - 1].after == "," and self.tokens[min(c.last, len(self.tokens) - 1)].lower in PLATED

    def connected(self, m: Measure) -> Name | None:
        """ "Total load I make eleven and a half kilowatts", "connected load 19 kW": what all of it draws."""
        if m.dimension != "power":
            return None
        clause = self.clause_of(m.first)
        words = [t.lower for t in self.tokens[clause : m.first]]
        pairs = zip(words, [w.removesuffix("'s") for w in words[1:]], strict=False)
        said = next((f"{a} {b}" for a, b in pairs if a in LOADING and b in ("load", "power")), "")
        return Name(said, said=False) if said else None

    def weight_told(self, opening: list[str]) -> bool:
        """ "Weight is 18 tonnes", "Shipping weight, twenty-two thousand pounds"."""
        words = [w.removesuffix("'s") for w in opening]
        return "weight" in words[:3] and all(w in WEIGHT_IS for w in words)

    def one_named(self, s: int) -> bool:
        """ "The hoist. Two tonne.": whether a sentence is the name of one thing and no more."""
        row = [c for c in self.by_sentence.get(s, []) if c.strong]
        if len(row) != 1 or not self.opens(row[0].head):
            return False
        # "Truck scale out front."
        end = row[0].last
        while end < len(self.tokens) and self.tokens[end].sentence == s and not self.verb(end):
            end += 1
        return end >= len(self.tokens) or self.tokens[end].sentence != s

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


def held(words: list[str], phrases: frozenset[tuple[str, ...]]) -> bool:
    """Whether one of the phrases stands among the words."""
    return any(tuple(words[k : k + n]) in phrases for n in (1, 2, 3, 4) for k in range(len(words) - n + 1))
