"""The names in the words that a figure may be of: things, stations, the whole machine, and nouns of no table.

A noun of no table is *named* where people name things ("it's got a silencer on it", "Now the kettle, ..."), and then
counts like a thing; elsewhere it is a mere *phrase*.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from extractors.figure_stream import SHAPES
from extractors.mentions import Measure, SequenceMention, ThingMention, Tokens
from extractors.phrases import is_plural, singular
from extractors.unit_words import figure_words, unit_table
from extractors.word_classes import classes_of, stem
from extractors.written import TIN
from vocab import Vocabulary

NUMBERED = frozenset(
    "number no tank station stage compartment zone position machine pump step chamber cell bay".split()
)
"""Nouns that a number behind them tells apart: "tank nine"."""
LEADS = frozenset(
    "of on in at for with from by under over behind beside into onto off to above below along across around "
    "between through inside outside near beneath against per via without within like than as underneath next".split()
)
FIRST_WORDS = frozenset(
    "the a an this that these those its our their your my his her own each every all both any some another".split()
)
ACTORS = frozenset(
    "it they she he we you i which who to that'll it'll can will would should must don't doesn't".split()
)
"""Words behind which a word is a verb: "it squeezes", "which gives"."""
ACTORS_OF_MANY = frozenset({"that", "what", "and"})
"""Words behind which a word with an s is a verb: "a fan that shifts 18,000"; a noun would have "those"."""
THINGS_IN_ING = frozenset(
    "opening housing casing bearing coupling lining piping fitting building landing ceiling cladding guarding wiring "
    "decking flooring grating roofing fencing railing pudding packing tubing ducting bushing fairing tubing".split()
)
SAID_WHOLE = frozenset("machine unit line plant system installation".split())
"""Behind "the", "this" or "whole", and before no other noun, these mean the machine of the walk."""
TELLING_APART = frozenset("other first second third last left right top bottom front back near far next".split())
"""Words before "one" that tell it from the others."""
WHOLE = "whole thing"
WHOLE_BEFORE = frozenset("itself overall in all on as complete needs wants".split())
SUPPLY = {
    "electric": "electrical supply", "electrical": "electrical supply", "electrics": "electrical supply",
    "electricity": "electrical supply", "power": "electrical supply", "mains": "electrical supply",
    "supply": "electrical supply", "voltage": "electrical supply", "service": "electrical service",
    "incoming": "electrical supply",
}  # fmt: skip
"""Words that open a sentence about the supply: "Electric is 400 volts", "Service is six hundred amps"."""
LED_ONE = frozenset({"a", "an", "the", "each", "every", "one", "this", "that"})
NO_SUBJECTS = frozenset({"full load", "no load", "half load", "part load", "wait", "weight", "hang", "hold"})
"""Nouns of a state or a pause that figures stand beside ("Full load, 124 amps"), never their subject."""
CONDITIONS = frozenset("clean dirty noisy quiet dry wet rusty bent tight loose good fair fine original worn".split())
"""Words behind "oil's" or, as recognisers write it, "oils"."""
MEASURED_BY = frozenset(
    "hours pressure temperature power capacity speed rate output level thing flow row consumption".split()
)
"""Nouns of a property that make a subject together with the noun before them: "operating hours"."""


NEW = frozenset("a an another one two three four five six seven eight nine ten some".split())
SHARING = frozenset("each all both either any some one most none every two three four".split())
OWNING = frozenset("has have had got with gets carries includes including".split())
"""Words behind which a part of something is named."""


PARTICIPLES = frozenset(
    "fired driven cooled heated lined jacketed operated powered mounted fed cut built based actuated assisted sealed "
    "insulated tipped faced plated coated free proof rated".split()
)
"""Words that make an adjective of the noun before them."""
SIZES = frozenset(
    "length width height depth thickness diameter weight size dimensions dimension footprint capacity".split()
)
ADJOINED = frozenset("overhead standby tandem vertical horizontal overall variable fixed direct continuous".split())
"""Adjectives that no table of classes has, between an article and its noun."""
NOUNS_IN_LY = frozenset("assembly supply subassembly sub-assembly multiply monopoly butterfly anomaly family".split())
ANYTHING = frozenset("outfit box thing things job beast affair fella monster contraption number one looker".split())
SORTS = frozenset("type sort kind outfit make affair version".split())
"""Words for the sort of what was named."""
HEAPS = frozenset("load batch charge run stack pallet rack tray basket bag bale bundle".split())
"""Words before "of" that make one thing of many: "a load of towels takes 25 minutes"."""
STRETCHES = frozenset("part section half end".split())
"""Stretches of a machine, which are told by a word before them: "the cooling part"."""
WORKED = frozenset(
    "board boards plate plates sheet sheets card cards tape tapes label labels paper papers panel".split()
)
"""Words of a source of figures that are as often what a machine works on."""
POINTED_AT = frozenset("them him her us me it they we you".split())
"""Pronouns, which with a verb joined to them ("them's") are no nouns either."""
HOW_MANY = frozenset("single twin double dual triple treble quad".split())
ROUND_WHAT = frozenset("back the here there behind about outside".split())
"""Words that make a preposition of "round"."""
PAIRS = frozenset(
    {
        ("wet", "well"), ("dry", "well"), ("bore", "well"), ("rising", "main"), ("gas", "main"), ("steam", "main"),
        ("water", "main"), ("air", "main"), ("ring", "main"), ("cable", "main"),
    }
)  # fmt: skip
"""Names whose last word is as a rule no noun."""
CALENDAR = frozenset(
    "week month year spring summer autumn fall winter night time january february march april may june july august "
    "september october november december monday tuesday wednesday thursday friday saturday sunday".split()
)
TOLD_IN = frozenset("ph pressure temperature speed weight length width height depth diameter thickness flow".split())
"""Nouns of a property before "of the X", whose figure is of X though "of" leads it."""
SIDES = frozenset(
    "door doors lid floor roof wall walls panel panels jacket shell inlet outlet suction discharge mouth throat "
    "housing casing lining frame base bed hood".split()
)
"""Sides and openings of a thing that are measured apart from it."""
SAYING = frozenset(
    "says reads shows gives give show read say claims states tells puts calls said showed gave lists has telling "
    "saying showing giving reading claiming stating".split()
)
"""Verbs of a source of figures: "the tag says 480"; "the sheet can be 2500 millimetres" is of a sheet."""

OF_MANY = frozenset("are were ain't aren't have had come go".split())
OF_ONE = frozenset("is was isn't has comes".split())
"""Verbs behind a noun in the plural and in the singular."""
LOOKED = frozenset("see seeing seen find found finding reading got read checking showing open opened".split())
TURNS = frozenset("first next now then".split())
"""Words behind the name of what the speaker turns to."""
SPEAKING = frozenset("says said tells told thinks thought reckons reckoned knows swears nods shaking nodding".split())
"""Verbs of people; "the tag says" has an article."""


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
    """thing, station, named, phrase, or spec: a property with a name of its own ("stroke"), in its own clause only."""
    led: bool
    """Whether a preposition leads it: it then says where, or of what."""
    head: int
    """First token of its phrase, articles and adjectives included."""
    brought: bool = False
    """Whether it is new here, behind "there's", "this is", "has" or "with": what follows is about it."""
    owned: bool = False
    """Whether it is new as a part of another: behind "has", "got", "with"."""

    @property
    def bare(self) -> bool:
        """Whether it stands without article, number or adjective."""
        return self.head == self.first

    @property
    def strong(self) -> bool:
        """Whether it is known to be a thing, and no mere noun or property."""
        return self.kind not in ("phrase", "spec")


@lru_cache(maxsize=8)
def subject_words(vocabulary: Vocabulary, kind: str) -> frozenset[str]:
    """The words of one kind of vocab/subject_words.toml."""
    return frozenset(w for row in vocabulary["subject_words"] if row["kind"] == kind for w in row["words"])


@lru_cache(maxsize=8)
def verb_stems(vocabulary: Vocabulary) -> frozenset[str]:
    """Verbs without their endings, as stem() leaves them."""
    return frozenset(stem(w + "s") for w in subject_words(vocabulary, "verb")) | subject_words(vocabulary, "verb")


@lru_cache(maxsize=8)
def listed_words(vocabulary: Vocabulary) -> frozenset[str]:
    """The last words of all names of things and places, in the singular."""
    names = [n for row in vocabulary["components"] for n in row["names"]]
    names += [n for row in (*vocabulary["wholes"], *vocabulary["stations"]) for n in row["names"]]
    return frozenset(singular(n.lower().split()[-1]) for n in names)


class Names:
    """The candidates of one token stream, sentence by sentence."""

    def __init__(
        self,
        tokens: Tokens,
        measures: tuple[Measure, ...],
        things: tuple[ThingMention, ...],
        sequences: tuple[SequenceMention, ...],
        vocabulary: Vocabulary,
    ) -> None:
        self.tokens, self.vocabulary = tokens, vocabulary
        self.classes, self.units = classes_of(vocabulary), unit_table(vocabulary)
        kinds = ("property", "kept", "never", "people", "opener", "brings")
        self.words = {k: subject_words(vocabulary, k) for k in kinds}
        self.verbs = verb_stems(vocabulary)
        self.sources = {w[0] for w in figure_words(vocabulary, "source") if len(w) == 1}
        self.figures = {k for m in measures for k in range(m.first, m.last)}
        self.starts = {t.word: i for i, t in reversed(list(enumerate(tokens)))}
        self.people = self.persons()
        self.listed = listed_words(vocabulary)
        self.by_sentence: dict[int, list[Candidate]] = {}
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
        for candidate in [*self.ones(), *self.ones_told_apart()]:
            row = self.by_sentence.setdefault(self.tokens[candidate.first].sentence, [])
            row.append(candidate)
            row.sort(key=lambda c: c.first)
        for row in self.by_sentence.values():
            row[:] = [c for c, after in zip(row, [*row[1:], None], strict=True) if not self.told_as(c, after)]

    def told_as(self, c: Candidate, after: Candidate | None) -> bool:
        """ "Station three, quench tank, below the floor": a number whose thing is named right behind it."""
        if c.kind != "station" or after is None or self.tokens[c.last - 1].after not in (",", ":"):
            return False
        numbered = self.tokens[c.first].lower.rstrip("s") in NUMBERED
        return numbered and after.head == c.last and not after.led

    def add(self, candidate: Candidate) -> None:
        self.by_sentence.setdefault(self.tokens[candidate.first].sentence, []).append(candidate)

    # ---------------------------------------------------------------------------------------- things of the readers

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
                last, text = where[1], thing.name
                while last < len(self.tokens) and self.part_of_it(last):
                    text, last = f"{text} {self.tokens[last].lower.removesuffix(chr(39) + 's')}", last + 1
                out.append(self.candidate(first, last, Name(text, i), "thing"))
        return out

    def part_of_it(self, i: int) -> bool:
        """Whether a word right behind the name of a thing names an opening, a wall or a door of it: "booth opening"."""
        before, t = self.tokens[i - 1], self.tokens[i]
        if before.after not in ("", "-") or before.sentence != t.sentence or before.lower.endswith("'s"):
            return False
        lower = t.lower.removesuffix("'s")
        return lower in ("opening", "clearance", "stroke", "daylight") or lower in SIDES

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
                text = " ".join(x.lower for x in self.tokens[i:end]).removesuffix("'s")
                out.append(self.candidate(i, end, Name(text), "station"))
                i = end
                continue
            i += 1
        roles: dict[str, str] = {s.role.lower(): s.role for q in sequences for s in q.stations if s.role}
        longest = max((len(r.split()) for r in roles), default=0)
        for i in range(len(self.tokens) if roles else 0):
            for n in range(min(3, longest), 0, -1):
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
            heading = opens and following is not None and following.sentence != t.sentence and t.lower in SUPPLY
            if heading and t.aside is None:
                out.append(self.candidate(i, i + 1, Name(SUPPLY[t.lower]), "thing"))  # "Electric. 400 volts"
            if t.aside or following is None or following.sentence != t.sentence or i in self.figures:
                continue
            headed = t.after in (",", ":") and self.supplied(i + 1)
            mains = SUPPLY.get(t.lower.removesuffix("'s"))
            if opens and mains and (headed or (not t.after and self.supplied(i + 1))):
                out.append(self.candidate(i, i + 1, Name(mains), "thing"))
            elif (
                opens
                and t.lower.removesuffix("'s") in SAID_WHOLE
                and not t.after
                and (t.lower.endswith("'s") or self.verb(i + 1))
            ):
                out.append(self.candidate(i, i + 1, Name(t.lower.removesuffix("'s")), "thing"))  # "Machine weighs"
            elif t.lower == "thing" and before is not None and before.lower in ("whole", "entire", "complete"):
                out.append(self.candidate(i - 1, i + 1, Name(WHOLE), "thing"))  # "Whole thing, 98 tonnes"
            elif t.lower.removesuffix("'s") in SAID_WHOLE and before is not None and not opens and not before.after:
                pointed = before.lower in ("the", "this", "whole", "entire", "complete", "overall")
                alone = t.after or t.lower.endswith("'s") or self.verb(i + 1) or following.lower in WHOLE_BEFORE
                if pointed and alone and not self.numeral(i + 1):
                    out.append(self.candidate(i, i + 1, Name(t.lower.removesuffix("'s")), "thing"))
        return out

    def supplied(self, i: int) -> bool:
        """Whether a word behind "Electric", opening its sentence, leads on to its figure."""
        return self.verb(i) or i in self.figures or self.tokens[i].lower in ("on", "to", "in", "for", "coming", "here")

    def ones(self) -> list[Candidate]:
        """ "Plating tanks. The long one's got ...", "the other one is": one of what was named last in the plural."""
        out = []
        for i, t in enumerate(self.tokens):
            if t.lower not in ("one", "one's") or i in self.figures or i < 2 or t.aside:
                continue
            k = i - 1
            while k > 0 and not self.tokens[k].after and self.tokens[k].lower not in ("the", "this", "that"):
                k -= 1
            words = [x.lower for x in self.tokens[k + 1 : i]]
            if i - k not in (2, 3) or any(x.after for x in self.tokens[k:i]) or not self.heads_clause(k + 1):
                continue
            if not (self.classes.of(words[-1]) in ("describes", "content", "number") or words[-1] in TELLING_APART):
                continue
            tells = t.lower == "one's" or (not t.after and self.verb(i + 1))
            if not (tells or (t.after == "," and self.opens(k))):  # "main motor, the blue one, 125 horse" is the motor
                continue
            found = self.many_before(i)
            if found is not None:
                apart = [w for w in words if w not in ("other", "own")]
                text = " ".join([*apart, *found.text.split()[:-1], singular(found.text.split()[-1])])
                out.append(self.candidate(i, i + 1, Name(text, found.thing), "named"))
        return out

    def ones_told_apart(self) -> list[Candidate]:
        """ "Five rectifiers on the line. Nickel ones are twelve volt": those of what was named in the plural that a
        noun or an adjective tells apart."""
        out = []
        for i, t in enumerate(self.tokens):
            if t.lower not in ("ones", "ones'") or i < 1 or t.aside or t.after or not self.verb(i + 1):
                continue
            k = i - 1
            while k > 0 and not self.tokens[k - 1].after and not self.opens(k) and self.told_apart_by(k - 1):
                k -= 1
            words = [x.lower for x in self.tokens[k:i]]
            article = k - (self.before_in_sentence(k) in ("the", "our", "your"))
            heads = self.heads_clause(k) or self.before_in_sentence(article) in ("and", "but", "so")
            if not (self.told_apart_by(k) and heads) or i - k > 2:
                continue
            found = self.many_before(i)
            if found is not None:
                out.append(self.candidate(i, i + 1, Name(" ".join([*words, found.text]), found.thing), "named"))
        return out

    def told_apart_by(self, i: int) -> bool:
        """Whether a word tells some of several from the others: "nickel", "big", "front"."""
        lower = self.tokens[i].lower
        return self.classes.of(lower) in ("describes", "content") or lower in TELLING_APART

    def many_before(self, i: int) -> Name | None:
        """What was named last in the plural, in the sentence of token i or the two before."""
        sentence = self.tokens[i].sentence
        for s in range(sentence, max(-1, sentence - 3), -1):
            named = [c for c in self.by_sentence.get(s, []) if c.strong and not c.owned and c.last <= i]
            many = [c for c in named if is_plural(self.tokens[c.last - 1].lower.removesuffix("'s"))]
            if many:
                return next((c for c in many if not c.led), many[-1]).name
        return None

    # ------------------------------------------------------------------------------------------ nouns of no table

    def phrases(self, taken: set[int]) -> list[Candidate]:
        """Runs of nouns, with adjectives before them, that are no thing of the list."""
        out = []
        i = 0
        while i < len(self.tokens):
            if i in taken or i in self.figures or self.tokens[i].aside not in (None, "question") or not self.noun(i):
                i += 1
                continue
            end = i
            while (
                end < len(self.tokens)
                and end not in taken
                and (self.noun(end) or (end > i and (self.agent(end) or self.modifying(end))))
                and self.tokens[end].sentence == self.tokens[i].sentence
            ):
                end += 1
                if self.tokens[end - 1].after or self.tokens[end - 1].lower.endswith("'s"):
                    break
            start = i
            while (
                start > 0
                and start - 1 not in taken
                and not self.tokens[start - 1].after
                and (
                    self.paired(start)
                    or self.adjective(start - 1)
                    or self.attributive(start - 1)
                    or (self.modifying(start - 1) and (self.determined(start - 1) or self.opens(start - 1)))
                )
            ):
                start -= 1
            words = [t.lower.removesuffix("'s") for t in self.tokens[start:end]]
            if len(words) > 1 and words[-1] in CONDITIONS and words[-2].endswith("s"):
                end, words = end - 1, [*words[:-2], words[-2].removesuffix("s")]  # "Oils clean" is "oil's clean"
            if words and words[-1] in self.words["people"]:
                i = max(end, i + 1)
                continue  # "the plant manager told me", "the service guy"
            while words and words[-1] in self.words["never"] and end - 1 > i:
                end, words = end - 1, words[:-1]
            following = self.tokens[end].lower if end < len(self.tokens) and not self.tokens[end - 1].after else ""
            size = following
            stop = end
            if self.told_by_verb(words, start, end):
                words, end = words[:-1], end - 1
            if len(words) > 1 and words[-1] in SIZES and words[-2] not in self.words["never"]:
                words, size = words[:-1], words[-1]  # "mould height twelve inches" is the height of the mould
            if self.says_which(words, size) or self.of_people(start, end):
                i = max(stop, i + 1)
                continue
            if following in PARTICIPLES and start == i and not self.determined(start):
                i = end
                continue  # "gas fired, ninety kilowatts each"
            if self.says_how_many(start, end) or self.says_what_sort(words, start, end):
                i = max(stop, i + 1)
                continue
            of_work = size in SIZES and len(words) > 0 and words[-1] in WORKED and end - start > len(words)
            if words and " ".join(words) not in NO_SUBJECTS and (of_work or self.nameable(words, end)):
                if words[-1] == TIN and self.tokens[end - 1].text.lower().startswith("can"):
                    words = [*words[:-1], "can"]
                made = self.candidate(start, end, Name(" ".join(words)), "phrase")
                spec = words[-1] in self.words["kept"]
                told = replace(made, kind="named") if stop > end else self.named(made)
                out.append(replace(made, kind="spec") if spec else told)
            i = max(stop, i + 1)
        return out

    def told_by_verb(self, words: list[str], start: int, end: int) -> bool:
        """ "A pouch spends twenty seconds", "each loaf stays nine minutes": a verb of no table between a noun in the
        singular that a word leads and the figure."""
        if len(words) < 2 or end not in self.figures or self.tokens[end - 1].after:
            return False
        verb, noun = words[-1], words[-2]
        led = (start > 0 and self.tokens[start].lower in LED_ONE) or self.before_in_sentence(start) in LED_ONE
        plain = is_plural(verb) and not is_plural(noun) and self.classes.of(noun) == "content"
        return led and plain and not self.tokens[end - 2].after and singular(verb) not in self.listed

    def attributive(self, i: int) -> bool:
        """ "Onto the return belt": a word that is as often a verb, between an article and a noun."""
        lower = self.tokens[i].lower
        base = self.classes.of(lower) == "acts" and not lower.endswith(("s", "ed", "ing"))
        return base and i > 0 and self.tokens[i - 1].lower in ("the", "a", "an") and not self.tokens[i - 1].after

    def says_how_many(self, first: int, end: int) -> bool:
        """ "Next lot, homogeniser. Three plunger, big blue": a number and a noun in the singular say which kind."""
        if self.tokens[first].lower in HOW_MANY and end - first == 2 and bool(self.tokens[end - 1].after):
            return self.heads_clause(first) and not is_plural(
                self.tokens[end - 1].lower
            )  # "five horse, twin cylinder,"
        joined = first > 0 and not self.tokens[first - 1].after  # "Back half. Mixing section, twenty feet"
        counted = joined and self.numeral(first - 1) and self.tokens[first - 1].lower not in ("one", "1")
        alone = counted and bool(self.tokens[end - 1].after) and not is_plural(self.tokens[end - 1].lower)
        # "it's a four pole, sixty hertz"
        return alone and (self.opens(first - 1) or self.before_in_sentence(first - 1) in ("a", "an"))

    def says_what_sort(self, words: list[str], start: int, end: int) -> bool:
        """ "Seven, final prover. Big box, nine metres long": a word for anything, alone, is what was named."""
        alone = bool(self.tokens[end - 1].after) and self.opens(start - (self.tokens[start - 1].lower in FIRST_WORDS))
        described = start > 0 and self.classes.of(self.tokens[start - 1].lower) == "describes"
        sized = len(words) > 1 and self.classes.of(words[0]) == "describes"
        if words[-1] in SORTS and self.before_in_sentence(start) in ("a", "an") and bool(self.tokens[end - 1].after):
            return True  # "It's a chest type, two rolls"
        return words[-1] in ANYTHING and (alone or self.opens(start - 1)) and (described or sized)

    def says_which(self, words: list[str], following: str) -> bool:
        """Whether words only say which property follows: "working width", "stated weight"."""
        measured = following in SIZES or following in MEASURED_BY
        return measured and bool(words) and all(w.endswith(("ing", "ed")) and w not in THINGS_IN_ING for w in words)

    def of_people(self, first: int, last: int) -> bool:
        """Whether a name is a person's here: "Marta's shaking her head"."""
        return last - first == 1 and self.tokens[first].lower.removesuffix("'s") in self.people

    def persons(self) -> frozenset[str]:
        """Words with a capital, never small, not behind an article, that say something or are "here"."""
        small = {t.lower.removesuffix("'s") for t in self.tokens if t.text[:1].islower()}
        out = set()
        for i, t in enumerate(self.tokens[:-1]):
            word, before = t.lower.removesuffix("'s"), self.tokens[i - 1] if i else None
            if word in small or not t.text[:1].isupper() or t.text.isupper() or not word.isalpha():
                continue
            if before is not None and before.lower in FIRST_WORDS and not before.after:
                continue
            following = self.tokens[i + 1].lower
            speaks = not t.after and following in SPEAKING and t.sentence == self.tokens[i + 1].sentence
            here = not t.after and (following == "here" or [following, *self.lower_at(i + 2)] == ["is", "here"])
            if speaks or here:
                out.add(word)
        return frozenset(out)

    def next_word(self, i: int) -> str:
        """The word behind token i, be it of another sentence; "" at the end."""
        return self.tokens[i + 1].lower if i + 1 < len(self.tokens) else ""

    def lower_at(self, i: int) -> list[str]:
        return [self.tokens[i].lower] if i < len(self.tokens) else []

    def nameable(self, words: list[str], end: int) -> bool:
        """Whether a run of nouns may be a subject: its last word names no property, no source of figures, no person."""
        if words[-1] in self.words["never"]:
            return False
        if len(words) > 1 and tuple(words) in {form for form, _ in self.units.forms.get(words[0], ())}:
            return False  # "Cubic metres, of course"
        if words[-1] in self.words["kept"] and (self.told(end) or self.headed(end, words)):
            return True  # "Throat's eight, stroke is eight"
        if len(words) > 1 and (words[-1] in MEASURED_BY or words[-1] in self.words["kept"] or words[-1] in STRETCHES):
            return words[-2] not in self.words["never"]
        # "the controller was changed in 2012": what something was done to is no source of a figure
        after = self.tokens[end].lower if end < len(self.tokens) else ""
        heads = self.opens(end - len(words) - 1) or self.opens(end - len(words))
        saying = end < len(self.tokens) and self.next_word(end) in SAYING  # "the painted sign is showing 900"
        may = heads and after in ("can", "is", "are", "may", "must", "should") and not saying
        done = after in ("was", "were", "got") or may
        return words[-1] not in self.words["property"] and (
            words[-1] not in self.sources or done or self.worked_on(end, words)
        )

    def worked_on(self, end: int, words: list[str]) -> bool:
        """ "The biggest board which one can run is 720 wide", "with the standard board, 610": a word of a source
        where nothing is read off it."""
        if words[-1] not in WORKED:
            return False
        head = end - len(words)
        while head > 0 and self.tokens[head - 1].lower in FIRST_WORDS and not self.tokens[head - 1].after:
            head -= 1
        near = {t.lower for t in self.tokens[end : end + 6] if t.sentence == self.tokens[end - 1].sentence}
        lead = self.before_in_sentence(head)
        if lead in LOOKED and len(words) == 1:
            return False  # "I can see the plate from this side"
        tape = words[-1] in ("tape", "tapes") and lead == "with"  # "measured it with a tape"
        if (
            tape
            or near & SAYING
            or lead in ("on", "from", "per", "by", "to", "off")
            or (self.tokens[end - 1].lower.endswith("'s") and not self.measured_next(end))
        ):
            return False
        before = self.tokens[end - len(words) - 1].lower
        described = (
            len(words) > 1
            or before in ("a", "each", "every", "per", "whole", "entire")
            or self.classes.of(before) in ("describes", "number")
            or before in self.words["never"]
        )
        return described or (
            end < len(self.tokens) and self.tokens[end].lower in ("which", "that", "is", "from", "itself")
        )

    def headed(self, end: int, words: list[str]) -> bool:
        """ "Work space, thirty inches wide": a heading with its figure behind a pause."""
        paused = self.tokens[end - 1].after in (",", ":") and end in self.figures
        return paused and len(words) > 1 and self.opens(end - len(words))

    def told(self, end: int) -> bool:
        """Whether "is" or a figure follows a noun that ends before token end."""
        if self.tokens[end - 1].lower.endswith("'s"):
            return True
        return (
            end < len(self.tokens)
            and not self.tokens[end - 1].after
            and (self.tokens[end].lower in ("is", "are", "was") or end in self.figures)
        )

    def named(self, c: Candidate) -> Candidate:
        """The candidate as a thing where its words name one: "it's got a silencer on it", "Now the kettle, ..."."""
        if len(c.name.text) < 3 or self.tokens[c.first].aside not in (None, "question"):
            return c
        after = self.tokens[c.last - 1].after
        listed = c.head and self.tokens[c.head - 1].after in (",", ":") and self.tokens[c.head].lower in NEW
        if listed and after == "," and self.tokens[c.head].sentence == self.tokens[c.head - 1].sentence:
            return replace(c, kind="named", owned=True)  # ", a four-way die, ten foot long"
        if c.head < c.first and c.brought:
            row = self.by_sentence.get(self.tokens[c.first].sentence, [])
            predicate = self.before_in_sentence(c.head) in ("is", "are", "was")
            subject = predicate and any(not e.led and e.last < c.head for e in row)
            return c if subject else replace(c, kind="named")  # "the robot is a three axis one": still the robot
        ends = bool(self.tokens[c.last - 1].after) or c.last >= len(self.tokens)
        owner = self.tokens[c.last - 1].lower.endswith("'s") and not ends and self.tokens[c.last].lower in self.sources
        leads_on = (ends or self.tokens[c.last - 1].lower.endswith("'s") or self.verb(c.last)) and not owner
        leads_on = leads_on or self.tokens[c.last].lower in LEADS  # "The motors on those are"
        leads_on = leads_on or self.tokens[c.last].lower in ("itself", "themselves", "proper")
        # "Compressed air six bar, maybe forty litres"; not "Design pressure ten bar"
        headed = c.name.text.split()[-1] not in MEASURED_BY | self.words["property"]
        leads_on = leads_on or (c.last in self.figures and headed)
        # "Chamber first."
        turn = not ends and self.tokens[c.last].lower in TURNS and self.tokens[c.last].after in (".", ",", ":")
        return replace(c, kind="named") if (leads_on or turn) and self.opens(c.head) else c

    def heads_clause(self, i: int) -> bool:
        """Whether nothing but an article stands before a word in its sentence or behind its pause."""
        k = i - (i > 0 and self.tokens[i - 1].lower in FIRST_WORDS and not self.tokens[i - 1].after)
        return self.opens(k) or bool(self.tokens[k - 1].after)

    def before_in_sentence(self, i: int) -> str | None:
        """The word before token i; None where it opens its sentence or stands behind a pause."""
        before = self.tokens[i - 1] if i else None
        if before is None or before.sentence != self.tokens[i].sentence or before.after not in ("", "-"):
            return None
        return before.lower

    def opens(self, i: int) -> bool:
        """Whether nothing but small words ("Now", "Okay, so") stands before token i in its sentence."""
        k = i - 1
        while k >= 0 and self.tokens[k].sentence == self.tokens[i].sentence:
            if self.tokens[k].lower not in self.words["opener"]:
                return False
            k -= 1
        return True

    # ---------------------------------------------------------------------------------------------- kinds of words

    def numeral(self, i: int) -> bool:
        return self.classes.of(self.tokens[i].lower) == "number" and i not in self.figures

    def noun(self, i: int) -> bool:
        t = self.tokens[i]
        if not t.lower.removesuffix("'s").replace("-", "").isalpha() or i in self.figures:
            return False
        if i and self.paired(i) and not self.tokens[i - 1].after:
            return True
        if t.lower in self.words["never"] and not self.articled(i):
            return False
        if t.lower.removesuffix("'s") in POINTED_AT:
            return False  # "One of them's the original"
        if t.lower == "round" and not t.after and self.next_word(i) in ROUND_WHAT:
            return False  # "off a chiller round back"
        if t.lower.removesuffix("'s") in LEADS or (self.done(t.lower) and not self.articled(i)):
            return False  # "Behind's the folder", "twenty horse, rebuilt 2021"
        if t.lower.endswith("ly") and len(t.lower) > 5 and t.lower not in NOUNS_IN_LY:
            return False  # "the speed is normally two metres"
        if self.calendar(i):
            return False
        if self.doing(i):
            return False
        before = self.tokens[i - 1] if i and not self.tokens[i - 1].after else None
        if before is not None and (before.lower in ACTORS or (before.lower == "better" and self.had_better(i - 1))):
            return False
        if before is not None and before.lower in ACTORS_OF_MANY and self.acting(i):
            return False
        placed = before is not None and before.lower in ("here", "there", "now", "also", "often", "sometimes")
        if self.acting(i) and not placed and not self.determined(i) and i + 1 < len(self.tokens) and not t.after:
            # "pushes two eighty", "needs about ninety": a verb before its figure
            following = self.tokens[i + 1].lower
            if i + 1 in self.figures or self.numeral(i + 1) or following in ("about", "a", "an", "up", "around", "at"):
                return False
        if self.heads_as_noun(i) or self.size_told(i):
            return True
        kind = self.classes.of(t.lower)
        named = (
            kind in ("content", "name")
            or (kind == "unit" and not self.measures(t.lower) and t.lower[-3:] != "ing")
            or self.articled(i)
            or self.titled(i)
            or self.heading(i)
        )
        return named and not self.plain_verb(i)

    def size_told(self, i: int) -> bool:
        """ "Platens are 810 square, stroke 450": a size that is as often a verb, at the head of its clause."""
        t = self.tokens[i]
        return t.lower in self.words["kept"] and not t.after and i + 1 in self.figures and self.heads_clause(i)

    def had_better(self, i: int) -> bool:
        """ "I'd better put something right": behind this "better" a verb stands."""
        return i > 0 and self.tokens[i - 1].lower.endswith(("'d", "had"))

    def doing(self, i: int) -> bool:
        """ "A fan doing 1,500 cubic metres": a word in -ing before its figure, no thing."""
        t = self.tokens[i]
        plain = t.lower.endswith("ing") and len(t.lower) > 4 and t.lower not in THINGS_IN_ING and not t.after
        return plain and i + 1 in self.figures and not self.articled(i) and not self.opens(i)

    def heads_as_noun(self, i: int) -> bool:
        """ "Bales come out eleven hundred wide", "grain leaves at 90": a word that is as often a verb or a unit, where
        it opens its clause and a verb of its number follows."""
        t = self.tokens[i]
        verb_like = self.acting(i) or t.lower in self.verbs
        unit = self.classes.of(t.lower) == "unit"
        if not (verb_like or unit) or t.after or i + 2 >= len(self.tokens) or t.lower in self.words["never"]:
            return False
        behind = bool(i) and (self.tokens[i - 1].after not in ("", "-") or self.tokens[i - 1].lower in ("and", "the"))
        following = self.tokens[i + 1].lower
        # "the calender rolls are sixty inches wide"
        joined = bool(i) and following in ("are", "were") and self.classes.of(self.tokens[i - 1].lower) == "content"
        if not (self.opens(i) or behind or joined) or self.tokens[i + 1].sentence != t.sentence:
            return False
        if is_plural(t.lower):
            plain = following in self.verbs and not following.endswith("s") and self.classes.of(following) != "content"
            return (following in OF_MANY or plain) and following not in ("up", "down")
        return not verb_like and (following in OF_ONE or (self.acting(i + 1) and self.classes.of(following) != "unit"))

    def done(self, lower: str) -> bool:
        """Whether a word says that something was done to a part: "rebuilt", "relined"."""
        return lower.endswith(("ed", "built", "wound")) and (lower,) in figure_words(self.vocabulary, "changed")

    def paired(self, i: int) -> bool:
        """ "Wet well", "gas main": whether a word makes a name with the one before it."""
        return (self.tokens[i - 1].lower, self.tokens[i].lower.removesuffix("'s")) in PAIRS

    def calendar(self, i: int) -> bool:
        """ "Measured it with a tape last week"."""
        return (
            self.tokens[i].lower in ("last", "next")
            and i + 1 < len(self.tokens)
            and self.tokens[i + 1].lower in CALENDAR
        )

    def heading(self, i: int) -> bool:
        """ "Caustic at eighty degrees", "Hydraulic is 200 bar": an adjective for its thing, before a figure."""
        t = self.tokens[i]
        doing = t.lower.endswith("ing") and len(t.lower) > 5  # "Washing is taking forty minutes"
        describes = self.classes.of(t.lower) == "describes" or doing
        if not describes or t.after or not self.opens(i) or t.lower in self.words["never"]:
            return False
        k = i + 1
        if k >= len(self.tokens) or self.tokens[k].lower not in ("at", "is", "runs", "are", "takes"):
            return False
        return self.measured_next(k) or self.measured_next(k + 1) or (doing and self.measured_next(k + 2))

    def titled(self, i: int) -> bool:
        """ "Feed motor, here, is five horse", "Feed on the screen says": a word that is as often a verb, where it opens
        a sentence and no order to anybody."""
        t = self.tokens[i]
        inflected = t.lower.endswith(("s", "ed", "ing")) and not t.lower.endswith("eed")
        if self.classes.of(t.lower) != "acts" or t.after or inflected or not self.opens(i):
            return False
        if i + 1 >= len(self.tokens) or self.tokens[i + 1].sentence != t.sentence:
            return False
        after = self.tokens[i + 1]
        compound = self.classes.of(after.lower.removesuffix("'s")) in ("content", "name") and i + 1 not in self.figures
        ended = bool(after.after) or after.lower.endswith("'s") or i + 2 in self.figures
        ended = ended or (i + 2 < len(self.tokens) and self.verb(i + 2))
        reads = after.lower in ("reads", "says", "shows") and self.measured_next(i + 2)  # "Feed reads 40 gallons"
        return self.shown_at(i + 1) or reads or (compound and ended)

    def measures(self, lower: str) -> bool:
        """Whether a word is a unit by itself; "parts" is one only before "per million"."""
        return any(len(words) == 1 for words, _ in self.units.forms.get(lower, ()))

    def agent(self, i: int) -> bool:
        """A noun that is as often a verb, behind another noun: "plate pack", "belt press"."""
        t = self.tokens[i]
        if i in self.figures or (i and self.tokens[i - 1].lower.endswith("s")) or self.calendar(i):
            return False  # "the gas cocks turn"
        things = t.lower in THINGS_IN_ING and not (i + 1 < len(self.tokens) and not t.after and self.numeral(i + 1))
        return things or (t.lower in self.verbs and not t.lower.endswith(("s", "ed", "ing")))

    def acting(self, i: int) -> bool:
        """Whether a word has the form of a verb of the table with an s: "pushes", "shifts"."""
        lower = self.tokens[i].lower
        stems = {stem(lower), lower.removesuffix("s"), lower.removesuffix("es")}
        return lower.endswith("s") and not lower.endswith("'s") and bool(stems & self.verbs)  # "Feed's at 25 degrees"

    def plain_verb(self, i: int) -> bool:
        """A verb that is never a thing here: is, holds, weighs; not behind an article or another noun."""
        lower = self.tokens[i].lower
        if lower not in self.verbs and not self.acting(i):
            return False
        if self.titled(i) or (i and self.tokens[i - 1].lower in ("here", "there") and lower.endswith("s")):
            return False
        opening = self.opens(i) and not self.acting(i) and not self.tokens[i].after
        opening = opening and (self.verb(i + 1) or self.shown_at(i + 1))
        return not opening and not self.determined(i)  # "Rinse takes eight minutes"

    def shown_at(self, i: int) -> bool:
        """ "Feed on the screen says": where a figure is shown, behind the noun that it is of."""
        words = [t.lower for t in self.tokens[i : i + 5] if t.sentence == self.tokens[i - 1].sentence]
        return words[:2] in (["on", "the"], ["at", "the"], ["in", "the"]) and bool(set(words[2:]) & SAYING)

    def modifying(self, i: int) -> bool:
        """A participle before a noun: "five heating zones", "the nameplate working zone"."""
        t = self.tokens[i]
        if (
            not t.lower.endswith(("ing", "ed"))
            or len(t.lower) < 6
            or t.after
            or i + 1 >= len(self.tokens)
            or i in self.figures
        ):
            return False
        done = t.lower.endswith("ed") and not self.articled_or_described(i)
        return not done and t.lower not in ("being", "having", "running", "during", "using") and self.noun(i + 1)

    def heap(self, i: int) -> bool:
        """Whether "a load", "each batch" is the word at i."""
        return i > 0 and self.tokens[i].lower in HEAPS and self.tokens[i - 1].lower in ("a", "one", "each", "every")

    def articled_or_described(self, i: int) -> bool:
        """Whether a participle can only be an adjective: "an enclosed track", "an overhead enclosed track"."""
        before = self.tokens[i - 1].lower if i and not self.tokens[i - 1].after else ""
        described = before in FIRST_WORDS or before in self.words["never"] or self.classes.of(before) == "describes"
        return described or self.opens(i)

    def determined(self, i: int) -> bool:
        """Whether an article, a number, an adjective or another noun stands right before a word."""
        if not i or self.tokens[i - 1].after or self.tokens[i - 1].sentence != self.tokens[i].sentence:
            return False
        before = self.tokens[i - 1].lower
        kind = self.classes.of(before)
        singular_that = before == "that" and self.tokens[i].lower.endswith("s")
        if before in FIRST_WORDS or kind in ("describes", "number") or i - 1 in self.figures:
            return not singular_that
        return (
            kind == "content"
            and not before.endswith("'s")
            and before not in self.verbs
            and before.isalpha()
            and (not self.tokens[i].lower.endswith("s"))
        )

    def articled(self, i: int) -> bool:
        """Whether an article right before makes a noun of a word that is as often a verb: "the saw", "a feed"."""
        before = self.tokens[i - 1] if i else None
        lower = self.tokens[i].lower
        acts = self.classes.of(lower) == "acts" and (lower in THINGS_IN_ING or not lower.endswith(("ing", "ed")))
        if lower.endswith("ing") and self.one_made(i):
            return True
        # "the barrel runs at 230 degrees": a word that is also a unit
        unit = self.classes.of(lower) == "unit" and i + 1 < len(self.tokens) and self.verb(i + 1)
        if unit and lower not in SAID_WHOLE:
            return before is not None and before.lower == "the" and not before.after and not self.tokens[i].after
        return acts and before is not None and before.lower in ("the", "a", "an") and not before.after

    def one_made(self, i: int) -> bool:
        """ "Each casting is 220 kilograms", "a forging weighs nine": a word in -ing that is what was made."""
        t = self.tokens[i]
        lead = self.before_in_sentence(i)
        return lead in ("each", "every", "one", "a", "an") and not t.after and self.verb(i + 1)

    def adjective(self, i: int) -> bool:
        t = self.tokens[i]
        return self.classes.of(t.lower) == "describes" and i not in self.figures and t.lower not in SHAPES

    def verb(self, i: int) -> bool:
        if i >= len(self.tokens):
            return False
        lower = self.tokens[i].lower
        if lower.endswith(("'s", "'re", "'ve", "'ll")) or self.classes.of(lower) in ("helps", "acts"):
            return True
        return lower in self.verbs or self.acting(i) or lower in ("'s", "'re") or lower in OF_MANY | OF_ONE

    def measured_next(self, i: int) -> bool:
        """Whether a figure follows, with nothing but small words before it."""
        k = i
        while (
            k < len(self.tokens) and k - i < 3 and self.tokens[k].lower in ("up", "to", "of", "about", "at", "around")
        ):
            k += 1
        return k in self.figures and not self.tokens[i - 1].after

    def candidate(self, first: int, last: int, name: Name, kind: str) -> Candidate:
        head = first
        sentence = self.tokens[first].sentence
        while head > 0 and self.tokens[head - 1].sentence == sentence and not self.tokens[head - 1].after:
            lower = self.tokens[head - 1].lower
            if (
                lower in FIRST_WORDS
                or self.classes.of(lower) in ("describes", "number", "points")
                or lower in ADJOINED
                or head - 1 in self.figures
            ):
                head -= 1
            else:
                break
        before = self.before_in_sentence(head)
        if before in ("also", "just", "only", "still", "again") and head > 1 and not self.opens(head - 1):
            before = self.before_in_sentence(head - 1)  # "there is also a vacuum brake"
        led = before is not None and before in LEADS
        if before == "with" and self.measured_next(last):
            led = False  # "with parts up to forty two inches wide"
        if before == "of" and head > 1 and self.tokens[head - 2].lower in SHARING:
            led = False  # "each of the tracks is half a metre wide"
        if before == "of" and head > 1 and self.tokens[head - 2].lower in TOLD_IN and self.heads_clause(head - 2):
            led = False  # "the pH of the boiler water is eleven"
        if before == "of" and self.heap(head - 2) and self.verb(last):
            led = False  # "a load of towels takes twenty five minutes"
        if before == "and" and head > 3 and any(t.lower == "between" for t in self.tokens[max(0, head - 5) : head - 1]):
            led = True  # "between here and the silos"
        brought = before is not None and (
            before in self.words["brings"] or (before.endswith("'s") and before[:-2] in LEADS)
        )  # "Behind's the folder"
        own = self.tokens[head].lower in ("its", "their") and self.tokens[head + 1].lower == "own"
        new = self.tokens[head].lower in NEW or self.numeral(head) or own
        owned = before is not None and before in OWNING and (new or head in self.figures)
        return Candidate(first, last, name, kind, led, head, brought, owned)
