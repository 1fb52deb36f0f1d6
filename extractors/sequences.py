"""Stations in order of travel: numbered, lettered or counted; forwards, backwards and from both ends.

A reference ("tank four", "three's", "the last one", "then two rinses") is read first, then the role that stands behind
it or before it. A reference without a role is a mention of a station that is described elsewhere.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import pairwise

from extractors.mentions import Measure, SequenceMention, StationMention, Tokens
from extractors.phrases import Atom, Finder, clause_end, is_plural, singular, span_of
from extractors.roles import Roles
from extractors.scene import numbered
from extractors.stated_counts import Count, stated_counts
from vocab import Vocabulary

LINKS = frozenset({"and", "&", "or", "plus"})
THROUGH = frozenset({"through", "thru", "to", "till", "til", "until"})
OPENERS = frozenset(
    "and then so but okay ok well right alright now also next or um uh er here there again plus".split()
)
LEADING = frozenset(
    (
        "in on at behind under over beside between above below near off by to from feeding of inside around past "
        "with for"
    ).split()
)
COPULAS = frozenset({"is", "'s", "are", "'re", "was", "were", "be"})
NEXTS = (
    ("the", "next", "one"),
    ("next", "one"),
    ("the", "next"),
    ("next",),
    ("after", "that"),
    ("then",),
    ("followed", "by"),
    ("and", "then"),
)
ORDINALS = (
    "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth fourteenth fifteenth "
    "sixteenth seventeenth eighteenth nineteenth twentieth"
).split()
MOST = 400
"""A station number above this is a part number, a room or a tag."""

Label = int | str


@dataclass(frozen=True, slots=True)
class Reference:
    """Words that point at stations: atoms first to last (excluded)."""

    first: int
    last: int
    numbers: tuple[Label, ...]
    word: str
    """The station word said; "" where a bare or neutral number was."""
    kind: str
    """named, bare, ordinal, last, next or run."""
    role: str | None = None


@dataclass(slots=True)
class Line:
    """One sequence while it grows."""

    word: str
    stations: dict[Label, StationMention] = field(default_factory=dict)
    order: list[Label] = field(default_factory=list)
    first: int = 0
    """Atom where its first station was said."""
    last: int = 0
    bare: dict[Label, tuple[int, int]] = field(default_factory=dict)
    """Numbers that were mentioned without a role, with the span of the first mention."""
    stated: Count | None = None

    def following(self, steps: int = 1) -> tuple[Label, ...]:
        """The next numbers in the direction of the walk."""
        if not self.order:
            return tuple(range(1, steps + 1))
        at = self.order[-1]
        if isinstance(at, str):
            return tuple(chr(ord(at) + n) for n in range(1, steps + 1)) if len(at) == 1 and at < "V" else ()
        back = len(self.order) > 1 and isinstance(self.order[-2], int) and self.order[-2] - at == 1
        return tuple(n for n in (at + (-k if back else k) for k in range(1, steps + 1)) if n > 0)


class Reader:
    """Reads one transcript's stations from left to right."""

    def __init__(self, tokens: Tokens, measures: tuple[Measure, ...], vocabulary: Vocabulary) -> None:
        # "tank 3A" is no current
        figures = tuple(m for m in measures if m.unit != "ampere" or tokens[m.first].word != tokens[m.last - 1].word)
        view = numbered(tokens, figures, vocabulary)
        self.tokens, self.atoms = tokens, view.atoms
        self.words = _station_words(vocabulary)
        self.numbers = {k: n for k, n in view.numbers.items() if n[3] != "fraction"}
        # "a second electroclean" is no duration
        measured = {k for k in view.measured if self.atoms[k].lower not in ORDINALS}
        self.roles = Roles(self.atoms, measured, {k for k, n in self.numbers.items() if n[3] != "ordinal"}, vocabulary)
        self.counts = stated_counts(self.atoms, self.numbers, vocabulary)
        self.lines: list[Line] = []

    def read(self) -> tuple[SequenceMention, ...]:
        i = 0
        while i < len(self.atoms):
            reference = None if self.atoms[i].aside else self.reference(i)
            if reference is None:
                i += 1
                continue
            i = max(i + 1, self.place(reference))
        return self.finish()

    # -- references -------------------------------------------------------------------------------------------------

    def reference(self, i: int) -> Reference | None:
        """The reference that begins at atom i, or None."""
        return self.named(i) or self.ordinal(i) or self.last_one(i) or self.run(i) or self.bare(i) or self.next_one(i)

    def named(self, i: int) -> Reference | None:
        """ "Tank four", "stages two and three", "number six", "zone B"."""
        found = self.words.at(self.atoms, i)
        if found is None or self.atoms[found[0] - 1].after:
            return None
        end, word = found
        if (
            word == "number"
            and i
            and not self.atoms[i - 1].after
            and self.atoms[i - 1].lower not in OPENERS | LEADING | COPULAS | {"the"}
        ):
            return None
        if end < len(self.atoms) and self.atoms[end].lower in ("number", "no", "nr"):
            end += 1
        numbers, last = self.labels(end, letters=word != "number", again=True)
        if len(numbers) == 1 and is_plural(self.atoms[i].lower):
            return None  # "the cooler stands one floor below"
        return Reference(i, last, numbers, word if word != "number" else "", "named") if numbers else None

    def label(self, i: int, *, letters: bool) -> tuple[Label, int] | None:
        """A single number or letter that may name a station."""
        if i >= len(self.atoms):
            return None
        if i in self.numbers:
            end, value, top, form = self.numbers[i]
            if (
                top is None
                and form in ("cardinal", "digits", "year", "decimal")
                and value == int(value)
                and 0 < value <= MOST
            ):
                if self.joined(i, end):
                    return f"{int(value)}{self.atoms[end].said.upper()}", end + 1
                return int(value), end
            return None
        said = self.atoms[i].said
        if said[:-1].isdigit() and said[-1:].isalpha() and int(said[:-1]) <= MOST:
            return said.upper(), i + 1
        if letters and len(said) == 1 and said.isalpha() and (said.isupper() or said not in "ai"):
            return said.upper(), i + 1
        return None

    def joined(self, i: int, end: int) -> bool:
        """Whether a letter written together with the number follows: "3A"."""
        if end >= len(self.atoms) or len(self.atoms[end].said) != 1 or not self.atoms[end].said.isalpha():
            return False
        return self.tokens[self.atoms[end].token].word == self.tokens[self.atoms[i].token].word

    def labels(self, i: int, *, letters: bool, again: bool = False) -> tuple[tuple[Label, ...], int]:
        """Numbers or letters from atom i: lists and ranges; the station word may be said again between them."""
        out: list[Label] = []
        end = i
        while i < len(self.atoms):
            if i in self.numbers and self.numbers[i][2] is not None:
                stop, low, high, _ = self.numbers[i]
                assert high is not None
                if low != int(low) or high != int(high) or not 0 < low < high <= MOST or high - low > 60:
                    break
                out += range(int(low), int(high) + 1)
                i = end = stop
            elif run := self.counted_out(i):
                out += run
                i = end = self.numbers[i][0]
            else:
                found = self.label(i, letters=letters)
                if found is None:
                    break
                label, stop = found
                through = (
                    stop < len(self.atoms) - 1 and self.atoms[stop].lower in THROUGH and not self.atoms[stop - 1].after
                )
                further = self.label(self._again(stop + 1), letters=letters) if through else None
                if further is not None and (span := _between(label, further[0])):
                    out += span
                    stop = further[1]
                else:
                    out.append(label)
                i = end = stop
            if i >= len(self.atoms) or self.atoms[i - 1].after not in ("", ","):
                break
            k = i + 1 if self.atoms[i].lower in LINKS else i
            if k == i and self.atoms[i - 1].after != ",":
                nxt = self.label(i, letters=False)  # "four five six and seven", where no commas were written
                if (
                    nxt is None
                    or not isinstance(nxt[0], int)
                    or not isinstance(out[-1], int)
                    or abs(nxt[0] - out[-1]) != 1
                ):
                    break
            k = self._again(k) if again else k
            following = self.label(k, letters=letters)
            # "four, and five is the rinse": a list goes on only where no role of its own follows the first one
            if following is None or (self.roles.copula(i) and not self.roles.copula(following[1])):
                break
            i = k
        return tuple(dict.fromkeys(out)), end

    def counted_out(self, i: int) -> tuple[int, ...]:
        """ "Four five six seven", read as one row of figures, as the numbers it counts through."""
        if i not in self.numbers or self.numbers[i][3] != "digits":
            return ()
        end, value, _, _ = self.numbers[i]
        figures = tuple(int(c) for c in str(int(value)))
        steps = {b - a for a, b in pairwise(figures)}
        return figures if len(figures) == end - i > 1 and len(steps) == 1 and steps <= {1, -1} else ()

    def _again(self, i: int) -> int:
        found = self.words.at(self.atoms, i) if i < len(self.atoms) else None
        return found[0] if found else i

    def opens(self, i: int) -> bool:
        """Whether atom i begins a clause."""
        if i == 0:
            return True
        before = self.atoms[i - 1]
        return bool(before.after) or before.sentence != self.atoms[i].sentence or before.lower in OPENERS

    def bare(self, i: int) -> Reference | None:
        """ "Thirteen is the seal", "nine and eight are the anodize tanks", "three's the phosphate"."""
        line = self.lines[-1] if self.lines else None
        if not self.opens(i):
            return None
        lettered = line is not None and any(isinstance(n, str) and len(n) == 1 for n in line.order)
        numbers, last = self.labels(i, letters=lettered)
        if not numbers or last >= len(self.atoms):
            return None
        near = [c for c in self.counts if c.first < i]
        if line is None and not near:
            return None
        top = (
            max([n for n in (line.order if line else ()) if isinstance(n, int)] + [int(c.value) for c in near] + [0])
            + 4
        )
        running = max([n for n in (line.order if line else ()) if isinstance(n, int)], default=0)
        if any(isinstance(n, int) and n > top for n in numbers) and running + 1 not in numbers:
            return None
        if numbers[0] == 1 and running > 2 and self.atoms[i].lower == "one":
            return None  # "one's nearly new" is one of them
        if lettered and isinstance(numbers[0], int):
            return None
        direct = self.atoms[last - 1].after in (",", ":", "") and self.roles.known(last)
        if self.atoms[last].lower in COPULAS and not self.atoms[last - 1].after:
            return Reference(i, last, numbers, "", "bare")
        return Reference(i, last, numbers, "", "bare") if direct and line is not None else None

    def ordinal(self, i: int) -> Reference | None:
        """ "First station is the …", "third we have the …", "the seventh is the packer"."""
        k = i + 1 if self.atoms[i].lower == "the" and i + 1 < len(self.atoms) else i
        if k in self.numbers and self.numbers[k][3] == "ordinal":
            last, value = self.numbers[k][0], int(self.numbers[k][1])
        elif self.atoms[k].lower in ORDINALS:
            last, value = k + 1, ORDINALS.index(self.atoms[k].lower) + 1
        else:
            return None
        if last >= len(self.atoms) or value > MOST:
            return None
        if self.atoms[last - 1].after:
            # "Third, we have the filler": recognisers write the pause; an opening "First, we have" may begin anything
            told = self.lines and self.atoms[last - 1].after == "," and self.atoms[last].lower in ("we", "you")
            if not (told and value > 1 and self.opens(i) and self.roles.copula(last)):
                return None
        word = ""
        found = self.words.at(self.atoms, last)
        if found and self.atoms[last].lower != "number":
            last, word = found[0], found[1]
        elif self.atoms[last].lower == "one":
            last += 1
        if last >= len(self.atoms) or not (self.roles.copula(last) or (word and self.atoms[last - 1].after == ",")):
            return None
        if not word and not self.opens(i):
            return None
        return Reference(i, last, (value,), word, "ordinal")

    def last_one(self, i: int) -> Reference | None:
        """ "The last one is the seal", "the final stage", "the last one, number eight, is the palletiser"."""
        k = i + 1 if self.atoms[i].lower == "the" else i
        if (
            not self.lines
            or k + 1 >= len(self.atoms)
            or self.atoms[k].lower not in ("last", "final")
            or self.atoms[k].after
        ):
            return None
        if i and self.atoms[i - 1].lower in ("except", "but", "for", "besides", *LEADING):
            return None
        found = self.words.at(self.atoms, k + 1)
        word = found[1] if found and found[1] != "number" else ""
        last = found[0] if found else k + 2 if self.atoms[k + 1].lower == "one" else k + 1
        named = self.named(last) if last < len(self.atoms) and self.atoms[last - 1].after == "," else None
        if named:
            return Reference(i, named.last, named.numbers, word, "named")
        told = (
            last < len(self.atoms) and self.atoms[last].lower in ("this", "that", "it") and self.roles.copula(last + 1)
        )
        if last >= len(self.atoms) or not (told or self.roles.copula(last) or self.roles.known(last)):
            return None
        line = self.line_of(word) or self.lines[-1]
        stated = self.stated_for(line)
        running = line.following()
        down = (
            len(line.order) > 1
            and isinstance(line.order[-2], int)
            and isinstance(line.order[-1], int)
            and line.order[-2] > line.order[-1]
        )
        number = (
            1
            if down
            else int(stated.value)
            if stated and not any(isinstance(n, str) for n in line.order)
            else running[0]
            if running
            else None
        )
        return Reference(i, last, (number,), word, "last") if number is not None else None

    def run(self, i: int) -> Reference | None:
        """ "Then a pair of neutralise compartments", "three rinses after that, nine, ten and eleven"."""
        if not self.lines or i not in self.numbers or (i and self.atoms[i - 1].lower in LEADING - {"with"}):
            return None
        end, value, top, form = self.numbers[i]
        k = end
        while k < len(self.atoms) and self.atoms[k].lower in ("of", "more", "other", "separate", "identical"):
            k += 1
        if top is not None or form not in ("cardinal", "digits") or value != int(value) or not 1 <= value <= 30:
            return None
        found = self.roles.phrase(k)
        if (
            found is None
            or not found.vocabulary
            or not (is_plural(found.last_word) or value > 1 or self.words.at(self.atoms, found.end - 1))
        ):
            return None
        last = clause_end(self.atoms, k)
        if last < len(self.atoms) and self.atoms[last - 1].after in (",", ":"):
            numbers, stop = self.labels(last, letters=False)
            if len(numbers) == int(value) and not (stop < len(self.atoms) and self.roles.copula(stop)):
                return Reference(i, stop, numbers, "", "run", found.text)
        near = [a.lower for a in self.atoms[max(0, i - 4) : i]] + [a.lower for a in self.atoms[k:last]]
        if not {"then", "after", "next", "followed", "another"} & set(near) or self.named_in(i, last):
            return None
        return Reference(i, found.end, self.lines[-1].following(int(value)), "", "run", found.text)

    def next_one(self, i: int) -> Reference | None:
        """ "Next one is a rinse", "then the seal"; a role of the table must follow, or "one is"."""
        if not self.lines or not (i == 0 or self.opens(i) or self.atoms[i].lower == "followed"):
            return None
        for form in NEXTS:
            last = i + len(form)
            if tuple(a.lower for a in self.atoms[i:last]) == form and last < len(self.atoms):
                break
        else:
            return None
        found = self.words.at(self.atoms, last) if "one" not in form and form[-1] == "next" else None
        last = found[0] if found else last
        if last >= len(self.atoms) or self.named_in(i, clause_end(self.atoms, last)):
            return None
        role = self.roles.behind(last) if self.roles.copula(last) or "one" in form else None
        role = role or self.roles.after_article(last)
        if role is None or not (role.vocabulary or "one" in form or found):
            return None
        numbers = self.lines[-1].following()
        if not numbers or self.atoms[i].sentence - self.atoms[self.lines[-1].last].sentence > 3:
            return None
        return Reference(i, role.end, numbers, "", "next", role.text)

    def named_in(self, first: int, last: int) -> bool:
        """Whether an explicit number stands in these words."""
        return any(self.named(k) for k in range(first, last))

    # -- placing ----------------------------------------------------------------------------------------------------

    def line_of(self, word: str) -> Line | None:
        return next((line for line in reversed(self.lines) if line.word == word), None) if word else None

    def place(self, reference: Reference) -> int:
        """Puts the stations of a reference where they belong; returns the atom to read on from."""
        atoms = self.atoms
        role, end = reference.role, reference.last
        if role is None:
            led = (
                reference.first > 0
                and atoms[reference.first - 1].lower in LEADING
                and not atoms[reference.first - 1].after
            )
            found = self.roles.behind(reference.last)
            told = (
                reference.first > 0
                and atoms[reference.first - 1].lower in COPULAS
                and not atoms[reference.first - 1].after
            )
            if told and not led and (before := self.roles.before(reference.first, led=False)) is not None:
                found = before if found is None or atoms[reference.last - 1].after else found
                end = reference.last
            if found is not None and led and not found.vocabulary:
                found = None
            if found is None and self.same_again(reference.last):
                near = self.lines[-1] if self.lines else None
                role = near.stations[near.order[-1]].role if near and near.order else None
            elif found is not None:
                role, end = found.text, max(end, found.end)
            else:
                before = self.roles.before(reference.first, led=led)
                role = before.text if before else None
        line = self.choose(reference, role)
        if line is None:
            return end
        hedged = any(
            a.lower in ("maybe", "perhaps", "probably", "think", "guess", "believe")
            for a in atoms[max(0, reference.first - 3) : end]
        )
        span = span_of(atoms, self.tokens, reference.first, end)
        for number in reference.numbers:
            if role is None:
                if reference.first and atoms[reference.first - 1].lower in LEADING:
                    continue  # "behind tank nine" tells where something else is
                line.first = line.first or reference.first
                line.bare.setdefault(number, span)
            elif number not in line.stations:
                line.stations[number] = StationMention(span, number, role, "hedged" if hedged else "stated")
                line.order.append(number)
                if len(line.stations) == 1:
                    line.first = reference.first
                line.last = reference.first
        return end

    def same_again(self, i: int) -> bool:
        """ "Stage two is the same again" takes the role of the station before."""
        words = [a.lower for a in self.atoms[i : i + 4]]
        return len(words) > 2 and words[0] in COPULAS and "same" in words[1:3]

    def choose(self, reference: Reference, role: str | None) -> Line | None:
        """The sequence that a reference belongs to; a new one where the words begin one."""
        current = self.lines[-1] if self.lines else None
        word, first_number = reference.word, reference.numbers[0]
        if not word:
            fresh = current is not None and role is not None and self.restarts(current, first_number, reference)
            if current is None or fresh:
                if reference.kind not in ("named", "ordinal", "bare") or (role is None and current is None):
                    return None
                near = [
                    c for c in self.counts if c.first < reference.first and (current is None or c.first > current.last)
                ]
                self.lines.append(Line(near[-1].word if near else ""))
                return self.lines[-1]
            return current
        same = self.line_of(word)
        if same is not None:
            if role is not None and self.restarts(same, first_number, reference):
                self.lines.append(Line(word))
                return self.lines[-1]
            return same
        if current is not None and current.word == "":
            if first_number not in current.stations:
                current.word = word
                return current
        elif (
            current is not None
            and current.stations
            and role is not None
            and not self.begins(word, first_number, current)
        ):
            return current
        self.lines.append(Line(word))
        return self.lines[-1]

    def begins(self, word: str, number: Label, current: Line) -> bool:
        """Whether another station word opens a sequence of its own."""
        return (
            number in current.stations
            or number in (1, "A")
            or any(c.word == word and c.first > current.last for c in self.counts)
        )

    def restarts(self, line: Line, number: Label, reference: Reference) -> bool:
        """Whether a number that is known already belongs to another sequence: a fresh count was stated since."""
        if number not in line.stations or number not in (1, "A"):
            return False
        return len(line.stations) > 1 and any(line.last < c.first < reference.first for c in self.counts)

    def stated_for(self, line: Line) -> Count | None:
        """The count that was stated of a sequence: of its own word before it, else of any word, else behind it."""
        if line.stated is not None:
            return line.stated
        earlier = max((other.last for other in self.lines if other is not line and other.last < line.first), default=-1)
        others = {other.word for other in self.lines if other is not line}
        first = line.first if line.stations else len(self.atoms)
        before = [c for c in self.counts if earlier < c.first <= first]
        own = [c for c in before if c.word == line.word]
        loose = [c for c in before if c.word not in others and c.value >= 3]
        later = [
            c
            for c in self.counts
            if c.first > first and c.word == line.word and c.value >= max(3, len(line.stations) - 2)
        ]
        whole = [c for c in self.counts if c.total and c.first > earlier and c.value >= len(line.stations) - 2]
        if whole and len(self.lines) == 1:
            own = [whole[-1]]
        line.stated = own[0] if own else loose[-1] if loose else later[0] if later else None
        return line.stated

    def finish(self) -> tuple[SequenceMention, ...]:
        """Sequences of at least two stations, or of one whose count was stated."""
        out: list[SequenceMention] = []
        taken: set[int] = set()
        listed = self.roles.lists(self.counts)
        for line in self.lines:
            if not line.stations and len(line.bare) >= 2 and line.word:
                for number, span in line.bare.items():
                    line.stations[number] = StationMention(span, number, f"{line.word} {number}")
            stated = self.stated_for(line)
            if len(line.stations) < 2 and not (line.stations and stated):
                continue
            stations = tuple(sorted(line.stations.values(), key=lambda s: _order(s.number)))
            word = line.word or (stated.word if stated else "station")
            if stated:
                taken.add(stated.first)
            span_ = span_of(self.atoms, self.tokens, stated.first, stated.last) if stated else None
            out.append(SequenceMention(_plural(word), word, int(stated.value) if stated else None, stations, span_))
        for count in self.counts:
            if count.first in taken:
                continue
            span_ = span_of(self.atoms, self.tokens, count.first, count.last)
            if count.first in listed:
                roles = listed[count.first]
                stations = tuple(
                    StationMention(span_of(self.atoms, self.tokens, r.first, r.end), n, r.text)
                    for n, r in enumerate(roles, 1)
                )
                out.append(SequenceMention(_plural(count.word), count.word, int(count.value), stations, span_))
                taken.add(count.first)
            elif count.place and count.value >= 3 and not any(s.station_word == count.word for s in out):
                out.append(SequenceMention(_plural(count.word), count.word, int(count.value), (), span_))
        return tuple(out)


def _plural(word: str) -> str:
    return (
        word
        if word.endswith("s")
        else word[:-1] + "ies"
        if word.endswith("y") and word[-2:-1] not in "aeiou"
        else word + "s"
    )


def _order(number: Label) -> tuple[int, str]:
    if isinstance(number, int):
        return number, ""
    digits = "".join(c for c in number if c.isdigit())
    return (int(digits), number) if digits else (0, number)


def _between(low: Label, high: Label) -> tuple[Label, ...]:
    """All labels from one to another, either way round; empty where they are no range."""
    if isinstance(low, int) and isinstance(high, int) and low != high and abs(high - low) <= 60:
        step = 1 if high > low else -1
        return tuple(range(low, high + step, step))
    if isinstance(low, str) and isinstance(high, str) and len(low) == len(high) == 1 and low < high:
        return tuple(chr(c) for c in range(ord(low), ord(high) + 1))
    return ()


@lru_cache(maxsize=16)
def _station_words(vocabulary: Vocabulary) -> Finder[str]:
    names = [
        (name, "number" if row["use"] == "neutral" else singular(name))
        for row in vocabulary["stations"]
        if row["use"] in ("place", "vessel", "machine", "neutral")
        for name in row["names"]
    ]
    return Finder(names)


def find_sequences(
    tokens: Tokens, measures: tuple[Measure, ...], vocabulary: Vocabulary
) -> tuple[SequenceMention, ...]:
    """Sequences of numbered or counted stations, in order of first mention."""
    return Reader(tokens, measures, vocabulary).read() if tokens else ()


def station_atoms(atoms: Sequence[Atom], vocabulary: Vocabulary) -> Finder[str]:
    """The finder of station words, for readers that must not take "tank nine" for a tank."""
    return _station_words(vocabulary)
