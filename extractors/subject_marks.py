"""What speaks for and against a name being what a figure is of: where it stands, how it is said, what stands between.

Each mark is weak by itself (in the sentence before, behind "on", the rule's own choice); weighed_subjects.py adds them
up. All are seen from the words around the figure and the names found in them. The words that marks are made of are few
and frequent ones: what is rare is left out when the weights are fitted.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import log

from extractors.candidates import LEADS, WHOLE, Candidate, Name
from extractors.figure_stream import DEFAULTS
from extractors.mentions import Measure, Tokens
from extractors.phrases import singular
from extractors.word_classes import word_set

Marks = dict[str, float]
BACK = 4
"""So many sentences back a name is looked for; chosen on the narrations, no source."""
POINTING = word_set(
    "it its it's that that's this these those them they they're each one which that'll it'll he she she's"
)
OPENING = 60
CLOSING = 100
"""Words from the beginning and to the end within which a recording is opened and closed; chosen, no source."""
SPANS = (("near", 3), ("a few words off", 7), ("words off", 13), ("far", 25), ("very far", 49))
MOST = 4
PAUSES = 3
SHORT = 8
"""Words of a sentence that may be a heading; chosen, no source."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure whose subject is weighed, and what the rules made of it."""

    measure: Measure
    ruled: Name
    way: str
    """How the rules came to it: weighed_subjects.WAYS."""
    previous: Name | None
    """What the figure before it is of."""
    before: Measure | None
    """The figure before it."""


class Surroundings:
    """The words and the names of one token stream, as the marks need them."""

    def __init__(
        self,
        tokens: Tokens,
        measures: Sequence[Measure],
        rows: Mapping[int, Sequence[Candidate]],
        whole: Name,
        able: Callable[[str, Measure], bool],
        listed: frozenset[str],
    ) -> None:
        self.tokens, self.measures, self.rows, self.whole = tokens, measures, rows, whole
        self.able = able
        """Whether what is called so can have a figure."""
        self.listed = listed
        """Last words of the names that the tables have."""

    def name(self, c: Candidate) -> Name:
        """What a name stands for: "the machine" is the whole."""
        return self.whole if c.name.text == WHOLE else c.name

    @cached_property
    def often(self) -> Counter[str]:
        """How often each name is said."""
        return Counter(self.name(c).text.lower() for row in self.rows.values() for c in row)

    @cached_property
    def bounds(self) -> dict[int, tuple[int, int]]:
        """First and last token (excluded) of each sentence."""
        out: dict[int, tuple[int, int]] = {}
        for i, t in enumerate(self.tokens):
            out[t.sentence] = (out.get(t.sentence, (i, i))[0], i + 1)
        return out

    def word(self, i: int) -> str:
        return self.tokens[i].lower if 0 <= i < len(self.tokens) else ""

    def behind(self, last: int) -> str:
        """The pause behind a span, or the word."""
        return self.tokens[last - 1].after or self.word(last)

    def pauses(self, last: int, first: int) -> int:
        """How many pauses stand between a span that ends before token last and token first."""
        return sum(t.after in (",", ";", ":") for t in self.tokens[last - 1 : first])

    def near(self, m: Measure) -> list[Candidate]:
        """The names of the sentences before, of the figure's own and of the next one."""
        s = self.tokens[m.first].sentence
        rows = (self.rows.get(k, ()) for k in range(s - BACK, s + 2))
        return [c for row in rows for c in row if self.able(self.name(c).text, m)]


@dataclass(frozen=True)
class Setting:
    """What all names around one figure share."""

    around: Surroundings
    figure: Figure

    @cached_property
    def sentence(self) -> int:
        return self.around.tokens[self.figure.measure.first].sentence

    @cached_property
    def kind(self) -> str:
        return self.figure.measure.dimension or "number"

    @cached_property
    def property(self) -> str:
        return self.figure.measure.property or DEFAULTS.get(self.kind, "") or self.kind

    @cached_property
    def pointed(self) -> str:
        """The word of the figure's clause that means something named before."""
        a = k = self.figure.measure.first
        first = self.around.bounds[self.sentence][0]
        while a > first and not self.around.tokens[a - 1].after:
            a -= 1
        return next((w for w in map(self.around.word, range(a, k)) if w in POINTING), "none")

    @cached_property
    def pointed_before(self) -> str:
        """The same of the whole sentence before the figure."""
        words = map(self.around.word, range(self.around.bounds[self.sentence][0], self.figure.measure.first))
        return next((w for w in words if w in POINTING), "none")

    @cached_property
    def leading(self) -> str:
        """The word before the figure."""
        first = self.figure.measure.first
        return self.around.word(first - 1) if first > self.around.bounds[self.sentence][0] else "none"

    @cached_property
    def leading_second(self) -> str:
        """The word before that."""
        first = self.figure.measure.first
        return self.around.word(first - 2) if first > self.around.bounds[self.sentence][0] + 1 else "none"

    @cached_property
    def following(self) -> str:
        return self.around.behind(self.figure.measure.last)

    @cached_property
    def named(self) -> bool:
        """Whether anything is named before the figure in its sentence."""
        return any(c.last <= self.figure.measure.first for c in self.around.rows.get(self.sentence, ()))

    @cached_property
    def shared(self) -> bool:
        m = self.figure.measure
        return "each" in (self.around.word(m.last), self.around.word(m.last + 1))


def all_marks(around: Surroundings, figure: Figure) -> Iterator[tuple[Name, Marks]]:
    """Every name that the figure may be of with its marks; the whole machine comes last."""
    setting = Setting(around, figure)
    near = around.near(figure.measure)
    earlier = [c for c in near if c.first < figure.measure.first]
    rank = {id(c): n for n, c in enumerate(reversed(earlier))}
    solid = [c for c in earlier if c.strong and not c.led]
    solid_rank = {id(c): n for n, c in enumerate(reversed(solid))}
    for c in near:
        where = place(setting, c)
        marks = of_name(setting, c, where)
        if id(c) in rank:
            marks[f"back {min(rank[id(c)], 6)}"] = 1.0
            blocked = any(o.first >= c.last and o.last <= figure.measure.first for o in solid)
            marks[f"{where}, another between {blocked}, {c.kind}"] = 1.0
            marks[f"{where}, another between {blocked}, {figure.way}"] = 1.0
        if id(c) in solid_rank:
            n = solid_rank[id(c)]
            marks[f"thing back {min(n, 5)}"] = 1.0
            marks[f"thing back {min(n, 5)}, pointed at by {setting.pointed}"] = 1.0
            marks[f"thing back {min(n, 3)}, {figure.way}"] = 1.0
        yield around.name(c), marks
    yield around.whole, of_whole(setting)


def place(setting: Setting, c: Candidate) -> str:
    """Where a name stands: behind the figure, in its sentence before it, or so many sentences off."""
    off = setting.sentence - setting.around.tokens[c.first].sentence
    if off == 0:
        return "behind" if c.first >= setting.figure.measure.last else "here"
    return "next" if off < 0 else f"{off} back" if off < 3 else "farther back"


def distance(words: int) -> str:
    """So many words, roughly."""
    if words < MOST:
        return f"{words} words off"
    return next((name for name, end in SPANS if words < end), "beyond")


def of_whole(setting: Setting) -> Marks:
    """The marks of the whole machine, which need not be named near the figure."""
    around, figure = setting.around, setting.figure
    first, count = figure.measure.first, len(around.tokens)
    part = "opening" if first < OPENING else "closing" if first > count - CLOSING else "middle"
    marks = {
        "whole": 1.0,
        f"whole, {setting.property}": 1.0,
        f"whole, of {setting.kind}": 1.0,
        f"whole, named before {setting.named}": 1.0,
        f"whole, pointed at by {setting.pointed}": 1.0,
        f"whole behind {setting.leading}": 1.0,
        f"whole, sentence opens {around.word(around.bounds[setting.sentence][0])}": 1.0,
        f"whole, {part}": 1.0,
    }
    if around.whole.text.lower() == figure.ruled.text.lower():
        marks |= {"ruled whole": 1.0, f"ruled by {figure.way}": 1.0}
    return marks


def of_name(setting: Setting, c: Candidate, where: str) -> Marks:
    """The marks of one name, which stands where place() says."""
    around, m = setting.around, setting.figure.measure
    text = around.name(c).text.lower()
    after = c.first >= m.last
    start, end = around.bounds[around.tokens[c.first].sentence]
    opens, noun = c.head <= start + 1, text.split()[-1] if text else ""
    before = around.word(c.head - 1)
    article = around.word(c.head) if c.head < c.first else "none"
    marks = {
        where: 1.0,
        f"{where}, {c.kind}": 1.0,
        f"{where}, led {c.led}": 1.0,
        f"{where}, {c.kind}, led {c.led}, brought {c.brought}, owned {c.owned}": 1.0,
        f"{where}, {distance(c.first - m.last if after else m.first - c.last)}": 1.0,
        f"{where} behind {before if before in LEADS else 'none'}": 1.0,
        f"{where}, article {article}": 1.0,
        f"{where}, pointed at by {setting.pointed}": 1.0,
        f"{where}, pointed before at by {setting.pointed_before}": 1.0,
        f"{where}, named before {setting.named}": 1.0,
        f"{where}, opens {opens}": 1.0,
        f"{where}, opens {opens}, led {c.led}, {c.kind}": 1.0,
        f"{where}, then {around.behind(c.last)}": 1.0,
        f"{where}, figure behind {setting.leading}": 1.0,
        f"{where}, figure two behind {setting.leading_second}": 1.0,
        f"{where}, of {setting.kind}": 1.0,
        f"noun {noun}": 1.0,
        f"noun {noun}, of {setting.kind}": 1.0,
        f"{c.kind}, {setting.property}": 1.0,
        f"{c.kind}, article {article}": 1.0,
        f"{c.kind}, on the list {singular(noun) in around.listed}, words {min(len(text.split()), 3)}": 1.0,
        "said again": log(around.often[text]) if around.often[text] else 0.0,
        f"many {noun.endswith('s')}, each {setting.shared}": 1.0,
        f"many {noun.endswith('s')}, pointed at by {setting.pointed}": 1.0,
    }
    if text == around.whole.text.lower():
        marks["the whole by name"] = 1.0
    if after:
        marks[f"behind, figure then {setting.following}"] = 1.0
        marks[f"behind, figure then {setting.following}, {c.kind}"] = 1.0
    else:
        marks[f"{where}, opens {opens}, led {c.led}, pointed at by {setting.pointed}, named {setting.named}"] = 1.0
        pauses = min(around.pauses(c.last, m.first), PAUSES)
        marks[f"{where}, {pauses} pauses between, led {c.led}"] = 1.0
        marks[f"{where}, {pauses} pauses between, {c.kind}, opens {opens}"] = 1.0
        between = sum(c.last <= o.first < m.first for o in around.measures)
        marks[f"{where}, {min(between, MOST)} figures between"] = 1.0
        if where != "here":
            marks[f"{where}, in {min(end - start, SHORT)} words, opens {opens}"] = 1.0
    return marks | of_choice(setting, text, where)


def of_choice(setting: Setting, text: str, where: str) -> Marks:
    """The marks of what the rules chose, and of what the figure before is of."""
    figure, marks = setting.figure, Marks()
    if text == figure.ruled.text.lower():
        marks |= {"ruled": 1.0, f"ruled by {figure.way}": 1.0, f"ruled {where}": 1.0}
        marks[f"ruled, said {figure.ruled.said}"] = 1.0
    if figure.previous is not None and figure.before is not None and text == figure.previous.text.lower():
        same = setting.around.tokens[figure.before.first].sentence == setting.sentence
        alike = figure.before.dimension == figure.measure.dimension
        marks |= {"of the figure before": 1.0, f"of the figure before, one sentence {same}": 1.0}
        marks[f"of the figure before, {where}, pointed at by {setting.pointed}"] = 1.0
        marks[f"of the figure before, alike {alike}, {setting.kind}"] = 1.0
    return marks
