"""Whose figure it is: the names of things, stations and plain nouns around a figure, and which of them it belongs to.

In order: a noun right behind ("fifteen horse gear motor"), what each one has ("75 pounds a hook"), what it is made up
of ("110 pounds of dry linen"), the subject of its clause, of its sentence, the heading sentence before.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from extractors.mentions import Measure, SequenceMention, ThingMention, Tokens
from extractors.unit_words import figure_words
from extractors.word_classes import Classes
from vocab import Vocabulary

NUMBERED = frozenset(
    "number no tank station stage compartment zone position machine pump step chamber cell bay".split()
)
"""Nouns that a number behind them tells apart: "tank nine"."""
SHAPES = {
    "long": "length", "length": "length", "wide": "width", "width": "width", "high": "height", "tall": "height",
    "height": "height", "deep": "depth", "depth": "depth", "thick": "thickness", "thickness": "thickness",
    "bore": "diameter", "stroke": "length", "span": "length",
    "across": "diameter", "diameter": "diameter", "dia": "diameter", "round": "diameter", "square": "width",
}  # fmt: skip
"""Words behind a length that say which one it is."""
PROPERTY_NOUNS = frozenset(
    "length width height depth diameter thickness weight temperature pressure flow speed voltage current "
    "power frequency rate "
    "capacity size dimensions dimension volume time hours performance rating output input throughput area "
    "price cost year age "
    "weight-wise wise bit lot kind sort side end way piece thing place spot back front top bottom left right "
    "one ones number "
    "day morning week month minute inch foot stuff part rest whole half couple order level point set mark "
    "hour hours apiece "
    "together figure figures machines units ones models second seconds minutes times load-up altogether each".split()
)
"""Nouns that name a property or a place, not a thing; alone they are no subject."""
WHOLES = frozenset("whole entire thing overall unit machine line footprint".split())
LEADS = frozenset(
    "of on in at for with from by under over behind beside into onto off to above below along across around "
    "between through "
    "inside outside near beneath against per via without within like than as".split()
)
VERBS = frozenset(
    "is are was were 's 're has have had holds hold takes take runs run makes make gives give needs need "
    "measures measure "
    "weighs weigh draws draw reads read shows show stands stand comes come goes go gets get uses use puts put "
    "pulls pull does "
    "rated says say delivers deliver moves move travels travel turns turn heats heat works work sits sit "
    "pumps pump feeds feed "
    "operates operate drops drop lifts lift carries carry handles handle burns burn processes process "
    "produces produce swings spans reaches clears covers occupies stores tips strokes supplies discharges".split()
)
FIRST_WORDS = frozenset(
    "the a an this that these those its our their your my his her each every all both any some".split()
)
PRONOUNS = frozenset(
    "it they that this those these one she he them it's they're that's these're this's she's he's".split()
)

ACTORS = frozenset(
    "it they she he we you i which who to that'll it'll can will would should must don't doesn't".split()
)
"""Words behind which a word is a verb: "it squeezes", "which gives"."""
CHAIN = frozenset(
    "and or about around roughly at by a an the so which is that's some between from plus to near nearly".split()
)
"""Words between two figures of one thing: "twelve amps at 480 volts", "forty bar, which is 580 psi"."""
THINGS_IN_ING = frozenset(
    "opening housing casing bearing coupling lining piping fitting building landing ceiling".split()
)
SAID_WHOLE = frozenset("machine unit line plant system installation".split())
"""Behind "the", "this" or "whole", and before no other noun, these mean the machine of the walk."""
WHOLE_BEFORE = frozenset("itself overall in all on as complete needs wants".split())
SUPPLY = {
    "electric": "electrical supply", "electrical": "electrical supply", "electrics": "electrical supply",
    "electricity": "electrical supply", "power": "electrical supply", "mains": "electrical supply",
    "supply": "electrical supply", "voltage": "electrical supply", "service": "electrical service",
}  # fmt: skip
"""Words that open a sentence about the supply: "Electric is 400 volts", "Service is six hundred amps"."""
ELECTRIC = ("voltage", "current", "frequency", "ratio")
NO_SUBJECTS = frozenset({"full load", "no load", "half load", "part load", "wait", "weight", "hang", "hold"})
"""Nouns of a state or a pause that figures stand beside ("Full load, 124 amps"), never their subject."""
CONDITIONS = frozenset("clean dirty noisy quiet dry wet rusty bent tight loose good fair fine original worn".split())
"""Words behind "oil's" or, as recognisers write it, "oils"."""
MANY = frozenset("those these both".split())
BACK = 8
"""So many sentences back "those" may point; chosen, no source."""
METER = 1000
"""Hours from which on a figure stands on a meter; chosen, no source."""


@dataclass(frozen=True, slots=True)
class Name:
    """A subject: its words, the component it is (index of the mention), and whether it was named or only meant."""

    text: str
    thing: int | None = None
    said: bool = True


@dataclass(frozen=True, slots=True)
class Candidate:
    """A name in the words: tokens first to last (excluded)."""

    first: int
    last: int
    name: Name
    kind: str
    """thing, station or phrase."""
    led: bool
    """Whether a preposition leads it: it then says where, or of what."""
    head: int
    """First token of its phrase, articles and adjectives included."""


@lru_cache(maxsize=8)
def _classes(vocabulary: Vocabulary) -> Classes:
    return Classes(vocabulary)


class Subjects:
    """Answers whose figure a measure is, over one token stream."""

    def __init__(
        self,
        tokens: Tokens,
        measures: tuple[Measure, ...],
        things: tuple[ThingMention, ...],
        sequences: tuple[SequenceMention, ...],
        vocabulary: Vocabulary,
    ) -> None:
        self.tokens, self.vocabulary = tokens, vocabulary
        self.classes = _classes(vocabulary)
        self.sources = {w[0] for w in figure_words(vocabulary, "source") if len(w) == 1}
        self.figures = {k for m in measures for k in range(m.first, m.last)}
        self.starts = {t.word: i for i, t in reversed(list(enumerate(tokens)))}
        self.whole = next((Name(t.name, i, said=False) for i, t in enumerate(things)), Name("machine", said=False))
        self.by_sentence: dict[int, list[Candidate]] = {}
        self.previous: tuple[Measure, Name] | None = None
        taken: set[int] = set()
        for candidate in [*self.things(things), *self.stations(sequences), *self.wholes()]:
            span = set(range(candidate.first, candidate.last))
            if not span & taken:
                taken |= span
                self.add(candidate)
        for candidate in self.phrases(taken):
            self.add(candidate)
        for row in self.by_sentence.values():
            row.sort(key=lambda c: c.first)

    def add(self, candidate: Candidate) -> None:
        self.by_sentence.setdefault(self.tokens[candidate.first].sentence, []).append(candidate)

    # ---------------------------------------------------------------------------------------------- candidates

    def span(self, words: tuple[int, int]) -> tuple[int, int] | None:
        """Tokens of a span of words; None where a repair dropped them."""
        inside = [self.starts[w] for w in range(*words) if w in self.starts]
        if not inside:
            return None
        last = inside[-1] + 1
        while last < len(self.tokens) and self.tokens[last].word == self.tokens[last - 1].word:
            last += 1
        return inside[0], last

    def things(self, things: tuple[ThingMention, ...]) -> list[Candidate]:
        out = []
        for i, thing in enumerate(things):
            where = self.span(thing.span)
            if where:
                # the name's own words: a span may hold the count, the article or a size before it
                first = where[0]
                sized = [k for k in range(where[0], where[1] - 1) if k in self.figures]
                first = sized[-1] + 1 if sized else first
                while first < where[1] - 1 and self.tokens[first].lower in FIRST_WORDS:
                    first += 1
                out.append(self.candidate(first, where[1], Name(thing.name, i), "thing"))
        return out

    def stations(self, sequences: tuple[SequenceMention, ...]) -> list[Candidate]:
        """ "stage one tank", "tank thirteen": and roles where they are said again without their number."""
        out = []
        i = 0
        while i < len(self.tokens) - 1:
            t = self.tokens[i]
            if (
                t.lower.rstrip("s") in NUMBERED
                and t.lower not in ("number", "no", "pump", "machine")
                and not t.after
                and self.numeral(i + 1)
            ):
                end = i + 2
                while end < len(self.tokens) and not self.tokens[end - 1].after and self.noun(end) and end - i < 5:
                    end += 1
                text = " ".join(x.lower for x in self.tokens[i:end])
                out.append(self.candidate(i, end, Name(text), "station"))
                i = end
                continue
            i += 1
        roles: dict[str, str] = {s.role.lower(): s.role for q in sequences for s in q.stations if s.role}
        for i, _ in enumerate(self.tokens):
            for n in (3, 2, 1):
                text = " ".join(x.lower for x in self.tokens[i : i + n])
                if text in roles and i + n <= len(self.tokens):
                    out.append(self.candidate(i, i + n, Name(roles[text]), "station"))
                    break
        return out

    def wholes(self) -> list[Candidate]:
        """ "the machine", "this whole line": the machine of the walk, whatever was named last; and the supply."""
        out = []
        for i, t in enumerate(self.tokens):
            before = self.tokens[i - 1] if i else None
            opens = before is None or before.sentence != t.sentence
            following = self.tokens[i + 1] if i + 1 < len(self.tokens) else None
            if t.aside or following is None or following.sentence != t.sentence or i in self.figures:
                continue
            if opens and t.lower in SUPPLY and not t.after and self.supplied(i + 1):
                out.append(self.candidate(i, i + 1, Name(SUPPLY[t.lower]), "thing"))
            elif t.lower.removesuffix("'s") in SAID_WHOLE and before is not None and not opens and not before.after:
                pointed = before.lower in ("the", "this", "whole", "entire", "complete", "overall")
                alone = t.after or t.lower.endswith("'s") or self.verb(i + 1) or following.lower in WHOLE_BEFORE
                if pointed and alone and not self.numeral(i + 1):
                    out.append(self.candidate(i, i + 1, Name(t.lower.removesuffix("'s")), "thing"))
        return out

    def supplied(self, i: int) -> bool:
        """Whether a word behind "Electric", opening its sentence, leads on to its figure."""
        return self.verb(i) or i in self.figures or self.tokens[i].lower in ("on", "to", "in", "for", "coming", "here")

    def numeral(self, i: int) -> bool:
        return self.classes.of(self.tokens[i].lower) == "number" and i not in self.figures

    def noun(self, i: int) -> bool:
        t = self.tokens[i]
        return (
            t.lower.removesuffix("'s").isalpha()
            and (self.classes.of(t.lower) in ("content", "name") or self.articled(i))
            and t.lower not in VERBS
            and i not in self.figures
            and not (i and self.tokens[i - 1].lower in ACTORS and not self.tokens[i - 1].after)
        )

    def articled(self, i: int) -> bool:
        """Whether an article right before makes a noun of a word that is as often a verb: "the saw", "a feed"."""
        before = self.tokens[i - 1] if i else None
        lower = self.tokens[i].lower
        acts = self.classes.of(lower) == "acts" and (lower in THINGS_IN_ING or not lower.endswith(("ing", "ed")))
        # "the barrel runs at 230 degrees": a word that is also a unit
        unit = self.classes.of(lower) == "unit" and i + 1 < len(self.tokens) and self.verb(i + 1)
        if unit and lower not in SAID_WHOLE:
            return before is not None and before.lower == "the" and not before.after and not self.tokens[i].after
        return acts and before is not None and before.lower in ("the", "a", "an") and not before.after

    def phrases(self, taken: set[int]) -> list[Candidate]:
        """Runs of nouns, with adjectives before them, that are no thing of the list."""
        out = []
        i = 0
        while i < len(self.tokens):
            if i in taken or i in self.figures or self.tokens[i].aside or not self.noun(i):
                i += 1
                continue
            end = i
            while (
                end < len(self.tokens)
                and end not in taken
                and self.noun(end)
                and self.tokens[end].sentence == self.tokens[i].sentence
            ):
                end += 1
                if self.tokens[end - 1].after or self.tokens[end - 1].lower.endswith("'s"):
                    break
            start = i
            while (
                start > 0 and start - 1 not in taken and not self.tokens[start - 1].after and self.adjective(start - 1)
            ):
                start -= 1
            words = [t.lower.removesuffix("'s") for t in self.tokens[start:end]]
            if len(words) > 1 and words[-1] in CONDITIONS and words[-2].endswith("s"):
                end, words = end - 1, [*words[:-2], words[-2].removesuffix("s")]  # "Oils clean" is "oil's clean"
            if " ".join(words) in NO_SUBJECTS:
                i = end
                continue
            # "the controller was changed in 2012": what something was done to is no source of a figure
            done = end < len(self.tokens) and self.tokens[end].lower in ("was", "were", "got")
            if (words[-1] not in PROPERTY_NOUNS and (words[-1] not in self.sources or done)) or (
                len(words) > 1
                and words[-1]
                in (
                    "hours",
                    "pressure",
                    "temperature",
                    "power",
                    "capacity",
                    "speed",
                    "rate",
                    "output",
                    "level",
                    "thing",
                    "flow",
                    "row",
                    "consumption",
                )
            ):
                out.append(self.candidate(start, end, Name(" ".join(words)), "phrase"))
            i = end
        return out

    def adjective(self, i: int) -> bool:
        t = self.tokens[i]
        return (
            self.classes.of(t.lower) == "describes"
            and i not in self.figures
            and t.lower not in ("long", "wide", "deep", "high", "tall", "thick")
        )

    def candidate(self, first: int, last: int, name: Name, kind: str) -> Candidate:
        head = first
        sentence = self.tokens[first].sentence
        while head > 0 and self.tokens[head - 1].sentence == sentence and not self.tokens[head - 1].after:
            lower = self.tokens[head - 1].lower
            if (
                lower in FIRST_WORDS
                or self.classes.of(lower) in ("describes", "number", "points")
                or head - 1 in self.figures
            ):
                head -= 1
            else:
                break
        led = (
            head > 0
            and self.tokens[head - 1].sentence == sentence
            and not self.tokens[head - 1].after
            and self.tokens[head - 1].lower in LEADS
        )
        return Candidate(first, last, name, kind, led, head)

    # ------------------------------------------------------------------------------------------------- answers

    def of(self, m: Measure) -> Name:
        """The subject of a figure; figures are asked for in their order."""
        name = self.chained(m) or self.owner(m)
        self.previous = (m, name)
        return name

    def chained(self, m: Measure) -> Name | None:
        """The subject of the figure before, where only a pause or a small word stands between the two."""
        if self.previous is None or m.per:
            return None
        last, name = self.previous
        gap = self.tokens[last.last : m.first]
        row = self.by_sentence.get(self.tokens[m.first].sentence, [])
        if self.right_behind(m, row) or last.per or last.dimension == m.dimension == "time":
            return None
        if self.tokens[last.first].sentence == self.tokens[m.first].sentence:
            near = 0 <= m.first - last.last <= 4 and all(t.lower in CHAIN or t.lower in SHAPES for t in gap)
            return name if near else None
        alone = (
            not any(c.first < m.first for c in row)
            and self.tokens[m.first].sentence - self.tokens[last.first].sentence == 1
        )
        return name if alone and last.dimension == m.dimension and m.dimension in ("mass", "time") else None

    def owner(self, m: Measure) -> Name:
        row = self.by_sentence.get(self.tokens[m.first].sentence, [])
        behind = self.right_behind(m, row)
        if behind:
            return behind
        if m.per:
            found = next((c for c in row if self.tokens[c.last - 1].lower.rstrip("s") == m.per.rstrip("s")), None)
            return found.name if found else Name(m.per)
        of = self.made_of(m, row)
        if of:
            return of
        if m.unit == "hour" and m.value >= METER:
            clause = self.clause_of(m.first)
            near = [c for c in row if clause <= c.first < m.first and c.kind == "thing"]
            return near[-1].name if near else self.whole
        before = self.before(m, row)
        if before:
            return before
        if any(t.lower in ("she", "she's", "her", "she'll") for t in self.tokens[max(0, m.first - 6) : m.first]):
            return self.whole
        if self.property_heading(m):
            return self.whole
        if self.bare_supply(m, row):
            return self.whole
        if m.property == "rate" and m.of and self.done_by_people(m):
            return Name(m.of)
        topic = self.topic(m, row)
        if topic:
            return topic
        after = next((c for c in row if c.first >= m.last), None)
        return after.name if after else self.whole

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
            and sentence - self.tokens[self.previous[0].first].sentence <= 1
        )
        return m.dimension == "voltage" and not row and not recent

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
                    return c.name
                break
        return None

    def between(self, i: int) -> bool:
        """Whether a word may stand between a figure and the noun it describes: adjectives, not articles or verbs."""
        return self.classes.of(self.tokens[i].lower) in ("describes", "number") or i in self.figures

    def made_of(self, m: Measure, row: list[Candidate]) -> Name | None:
        if m.last >= len(self.tokens) or self.tokens[m.last].lower != "of" or self.tokens[m.last - 1].after:
            return None
        if m.dimension not in ("mass", "volume", "length"):
            return None
        if m.last + 1 < len(self.tokens) and self.tokens[m.last + 1].lower in PRONOUNS:
            return None
        return next((c.name for c in row if m.last < c.first <= m.last + 4 and c.led), None)

    def before(self, m: Measure, row: list[Candidate]) -> Name | None:
        """The subject of the figure's clause or sentence."""
        earlier = [c for c in row if c.last <= m.first]
        if not earlier:
            return None
        # a plain noun is a subject only where a verb or nothing stands between it and the figure
        able = [c for c in earlier if c.kind != "phrase" or self.governs(c, m)]
        if not able and self.heads_sentence(earlier[0]) and not earlier[0].led:
            return earlier[0].name  # "Water, they told us point six gallons a pound"
        if not able:
            return None
        clause = self.clause_of(m.first)
        for pool in ([c for c in able if c.first >= clause], able):
            plain = [c for c in pool if not c.led]
            if plain:
                pronoun = self.pronoun_after(plain[-1], m)
                if not (pronoun and plain[-1].kind == "phrase"):
                    return plain[-1].name
            if pool and not self.has_pronoun(clause, m.first):
                return pool[-1].name
        return able[0].name if able and not self.has_pronoun(clause, m.first) else None

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

    def verb(self, i: int) -> bool:
        lower = self.tokens[i].lower
        return lower in VERBS or lower.endswith(("'s", "'re", "'ve")) or self.classes.of(lower) in ("helps", "acts")

    def governs(self, c: Candidate, m: Measure) -> bool:
        """Whether a plain noun is the subject of the figure's verb, or stands right before the figure."""
        gap = range(c.last, m.first)
        if self.tokens[c.last - 1].after and self.tokens[c.last - 1].after != "-":
            return False
        if not gap or all(
            self.tokens[k].lower in ("about", "a", "an", "the", "at", "around", "of", "roughly") for k in gap
        ):
            return not c.led or len(gap) == 0
        if self.tokens[c.last - 1].lower.endswith("'s"):
            return True
        if c.led and self.tokens[c.last].lower in ("being", "having") and not self.tokens[c.last - 1].after:
            return True  # "with the tunnel being 36 feet long"
        crossing = any(self.tokens[k].after in (",", ";", ":") for k in range(c.last - 1, m.first - 1))
        return not crossing and not c.led and self.verb_between(c.last, m.first)

    def pronoun_after(self, c: Candidate, m: Measure) -> bool:
        return self.has_pronoun(c.last, m.first)

    def has_pronoun(self, a: int, b: int) -> bool:
        return any(t.lower in PRONOUNS for t in self.tokens[a:b])

    def property_heading(self, m: Measure) -> bool:
        """ "Weight I can give you. Forty four hundred pounds": a property said as a heading, of the whole."""
        sentence = self.tokens[m.first].sentence
        for s in (sentence, sentence - 1):
            inside = [t for t in self.tokens[max(0, m.first - 25) : m.first] if t.sentence == s]
            if any(t.lower in ("weight", "footprint", "overall", "dimensions") for t in inside[:3]):
                return not any(c.kind != "phrase" for c in self.by_sentence.get(s, []) if c.first < m.first)
        return False

    def topic(self, m: Measure, row: list[Candidate]) -> Name | None:
        """What the sentences before are about: the nearest that names a thing, its first one that nothing leads."""
        sentence = self.tokens[m.first].sentence
        earlier = [c for c in row if c.last <= m.first and c.kind != "phrase"]
        if earlier:
            return Name(earlier[0].name.text, earlier[0].name.thing, said=False)
        several = self.several(m)
        if several:
            return Name(several.name.text, several.name.thing, said=False)
        for s in range(sentence - 1, max(-1, sentence - 6), -1):
            named = [c for c in self.by_sentence.get(s, []) if c.kind != "phrase"]
            plain = [c for c in named if not c.led]
            if plain or named:
                chosen = self.foremost(plain) if plain else named[-1]  # "out of the washer, into the oven"
                return Name(chosen.name.text, chosen.name.thing, said=False)
            headings = [c for c in self.by_sentence.get(s, []) if c.kind == "phrase" and self.heads_sentence(c)]
            if headings:
                return Name(headings[0].name.text, None, said=False)
        return None

    def several(self, m: Measure) -> Candidate | None:
        """ "Those are bigger, twelve foot by four": the last things named in the plural; None otherwise."""
        sentence = self.tokens[m.first].sentence
        inside = [t.lower for t in self.tokens[max(0, m.first - 12) : m.first] if t.sentence == sentence]
        if not (MANY & {*inside[:2]} or inside[:3] in (["all", "of", "them"], ["each", "of", "them"])):
            return None
        for s in range(sentence - 1, max(-1, sentence - BACK - 1), -1):
            named = [c for c in self.by_sentence.get(s, []) if c.kind != "phrase"]
            many = [c for c in named if self.tokens[c.last - 1].lower.endswith("s") and not c.name.text.endswith("ss")]
            if many:
                return next((c for c in many if not c.led), many[-1])
        return None

    def foremost(self, plain: list[Candidate]) -> Candidate:
        return plain[0]

    def heads_sentence(self, c: Candidate) -> bool:
        """Whether a noun opens its sentence and a pause or a verb follows ("Hour meter, let me see.")."""
        opens = c.head == 0 or self.tokens[c.head - 1].sentence != self.tokens[c.first].sentence
        return opens and (
            bool(self.tokens[c.last - 1].after)
            or self.tokens[c.last - 1].lower.endswith("'s")
            or (c.last < len(self.tokens) and (self.verb(c.last) or self.tokens[c.last].lower in CONDITIONS))
        )
