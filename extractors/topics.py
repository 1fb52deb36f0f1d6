"""What the words before a figure are about: the subject of its clause and sentence, and what "it" points back to."""

from __future__ import annotations

from bisect import bisect_left
from itertools import pairwise

from extractors.candidates import CONDITIONS, LEADS, Candidate, Name, Names
from extractors.mentions import Measure, Token

PRONOUNS = frozenset(
    "it they that this those these one she he them it's they're that's these're this's she's he's".split()
)
MANY = frozenset("those these both".split())
BACK = 8
"""So many sentences back "those" may point; chosen, no source."""
WHOLE_HEADINGS = frozenset("weight weights footprint overall dimensions size sizes measurements envelope".split())
"""Words of a heading whose figures are of the whole."""
SPACES = frozenset({("floor", "space"), ("floor", "area"), ("ground", "space")})
IT, THEY = frozenset("it it's it'll it'd".split()), frozenset("they they're they'll they'd".split())
ONE_IN_S = frozenset("gas bus lens series chassis apparatus works bellows canvas axis dross".split())
"""Nouns in the singular that end like a plural."""
PLACES_IN_ORDER = frozenset("first second third fourth fifth sixth next last final".split())
BEFORE_A_FIGURE = frozenset("about a an the at around of roughly up to from plus minus nearly almost just".split())
"""Small words that may stand between a noun and its figure."""
MODALS = frozenset("can could may might must should would has".split())
"""Behind "one" these make it a person: "the board which one can run"."""


class Topics(Names):
    """What the sentences are about, over one token stream."""

    whole: Name
    previous: tuple[Measure, Name] | None

    def weighed_with(self, m: Measure, row: list[Candidate]) -> bool:
        """ "Weight with motor 1,150 kilos": a property as heading, of what was named before."""
        a = self.sentence_first(m.first)
        names = [c for c in row if c.last <= m.first]
        headed = self.tokens[a].lower in ("weight", "height", "length", "width") and not self.tokens[a].after
        return headed and bool(names) and all(self.before_in_sentence(c.head) == "with" for c in names)

    def sentence_first(self, i: int) -> int:
        while i > 0 and self.tokens[i - 1].sentence == self.tokens[i].sentence:
            i -= 1
        return i

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
        if not gap or all(self.tokens[k].lower in BEFORE_A_FIGURE for k in gap):
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
        if (going_on := self.going_on(m, opening)) is not None:
            return going_on
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

    def going_on(self, m: Measure, opening: int) -> Name | None:
        """ "That's the guard, the wheel's twelve inch. Goes ten to three hundred rpm": a sentence that opens with its
        verb has the subject of the figure that closed the one before."""
        if self.previous is None or not self.acting(opening) or m.dimension == "time":
            return None
        last, name = self.previous
        near = self.tokens[m.first].sentence - self.tokens[last.first].sentence == 1
        row = self.by_sentence.get(self.tokens[last.first].sentence, [])
        mine = (c for c in row if c.name.text == name.text and not c.led and not c.owned and not self.many(c))
        told = any(c.strong or self.heads_clause(c.head) for c in mine)
        return Name(name.text, name.thing, said=False) if near and told and len(row) > 1 else None

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
