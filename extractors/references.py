"""References to stations: "tank four", "three's", "the last one", "then two rinses", "fifth and sixth", "that's three".

A reference is the words that point at stations, with their numbers or letters; the role is read by roles.py, and the
sequence it belongs to is chosen by sequences.py.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from itertools import pairwise

from extractors.mentions import Measure, StationMention, Tokens
from extractors.numbered_rows import THROUGH as TO_THE_LAST
from extractors.phrases import Finder, clause_end, clause_start, is_plural, singular
from extractors.purposes import THEM, Purposes
from extractors.roles import PERSONS, SERVING
from extractors.scene import numbered
from extractors.stated_counts import Count, numbered_things, stated_counts, summed_up, told_apart
from extractors.word_classes import ORDINALS
from vocab import Vocabulary

LINKS = frozenset({"and", "&", "or", "plus"})
THROUGH = TO_THE_LAST | {"til"}
OPENERS = frozenset(
    "and then so but okay ok well right alright now also next or um uh er here there again plus".split()
)
NEXT_SOON = 16
"""Atoms behind a numbered place within which the next one is named; chosen, no source."""
TURN = 40
"""Atoms within which the next two places follow a first one that nothing counted; chosen, no source."""
SOON = 60
"""Atoms behind a stated count within which its row begins; chosen, no source."""
LEADING = frozenset(
    (
        "in on at behind under over beside between above below near off by to from feeding of inside around past "
        "with for into"
    ).split()
)
BEHIND = LEADING | {"after", "before"}

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
    ("the", "one", "after", "that"),
    ("one", "after", "that"),
    ("the", "one", "after"),
    ("next", "comes"),
    ("then", "comes"),
    ("next", "up"),
    ("next", "along"),
    ("behind", "that"),
    ("following", "that"),
    ("then", "you", "have"),
    ("then", "you", "'ve", "got"),
    ("then", "there", "'s"),
    ("then", "we", "have"),
    ("then", "it", "'s"),
    ("past", "that"),
    ("beyond", "that"),
    ("next", "to", "that"),
    ("next", "to", "it"),
    ("right", "after", "that"),
    ("right", "behind", "that"),
    ("the", "one", "behind", "that"),
    ("the", "one", "past", "that"),
    ("the", "next", "one", "after", "that"),
    ("the", "next", "one", "along"),
    ("the", "next", "along"),
)
ENDS = (
    ("at", "the", "end"),
    ("at", "the", "very", "end"),
    ("at", "the", "far", "end"),
    ("finally",),
    ("lastly",),
    ("and", "finally"),
    ("last", "of", "all"),
    ("to", "finish"),
)
"""Words that name the last place of a line without a number."""
ARTICLES = frozenset({"the", "that", "this", "your", "our"})
"""Words before an ordinal that begins a clause: "that first one's the preheat"."""
IN_LINE = frozenset(
    {
        "of them", "of these", "of those", "in line", "in there", "after that", "up", "along", "you come to",
        "we come to", "you get to", "you reach", "you meet", "you see", "you hit", "they hit", "they come to",
        "they reach", "it comes to", "it reaches", "on it", "in the row", "in the line", "on the line", "of the lot",
    }
)  # fmt: skip
"""Words behind an ordinal that only say it is one of a row."""
ALONG = frozenset({"along", "down", "up", "over"})
SOFT = frozenset(
    {"also", "again", "still", "just", "another", "a", "an", "the", "your", "our", "being", "both", "more", "plain"}
)
PLACED = frozenset("makes comes goes stands sits follows".split())
"""Verbs between a name and its number: "the weigher makes five", "your packer comes fourth"."""
TAKING = frozenset({"takes", "fills", "occupies", "covers"})
"""Verbs between a name and the places that it takes up."""
POINTERS = frozenset({"that", "this", "it", "those", "these", "they", "them", "there", "here"})
HEADED = 14
"""Atoms before the first station of a row in which the row is named; chosen, no source."""
ROWS = frozenset("side row deck train bank level tier aisle string hand wall end half leg".split())
OTHER = frozenset("other second opposite next another two b facing".split())
WAYS = frozenset(
    "left right aisle wall window upper lower top bottom north south east west back front far near inner outer".split()
)
"""Words for rows of stations, and which of them."""
MOST = 400
"""A station number above this is a part number, a room or a tag."""

Label = int | str


MOST_LOOSE = 24
"""Up to so many places a count of another word may be meant, whatever was described; chosen, no source."""


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
    again: list[tuple[Label, str, tuple[int, int], bool]] = field(default_factory=list)
    """Numbers that were told with another role than before, by their station word and a verb; the role, where it was
    said, and whether it was said to be so since ("station four is a rinse now")."""
    fresh: bool = False
    """Whether it was begun by words for another row: a number goes on with it, and not with one before."""
    implied: set[Label] = field(default_factory=set)
    """Numbers that were not said: of the next one, of the last one."""
    gone: dict[Label, tuple[int, int]] = field(default_factory=dict)
    """Numbers that were told of before and are said to be there no more."""

    def following(self, steps: int = 1) -> tuple[Label, ...]:
        """The next numbers in the direction of the walk."""
        if not self.order:
            return tuple(range(1, steps + 1))
        at = self.order[-1]
        if isinstance(at, str):
            return tuple(chr(ord(at) + n) for n in range(1, steps + 1)) if len(at) == 1 and at < "V" else ()
        back = len(self.order) > 1 and isinstance(self.order[-2], int) and self.order[-2] - at == 1
        return tuple(n for n in (at + (-k if back else k) for k in range(1, steps + 1)) if n > 0)


class References:
    """Reads the references of one transcript, and knows the sequences found so far."""

    def __init__(self, tokens: Tokens, measures: tuple[Measure, ...], vocabulary: Vocabulary) -> None:
        # "tank 3A" is no current
        figures = tuple(m for m in measures if m.unit != "ampere" or tokens[m.first].word != tokens[m.last - 1].word)
        view = numbered(tokens, figures, vocabulary)
        self.tokens, self.atoms = tokens, view.atoms
        self.words = station_words(vocabulary)
        own = frozenset(numbered_things(view.atoms, view.numbers).values()) | told_apart(view.atoms, view.numbers)
        if own:
            self.words = _with_words(vocabulary, own)
        self.numbers = {k: n for k, n in view.numbers.items() if n[3] != "fraction"}
        # "a second electroclean" is no duration
        measured = {k for k in view.measured if self.atoms[k].lower not in ORDINALS}
        self.roles = Purposes(
            self.atoms, measured, {k for k, n in self.numbers.items() if n[3] != "ordinal"}, vocabulary
        )
        self.counts = stated_counts(self.atoms, self.numbers, vocabulary)
        self.totals = summed_up(self.atoms, self.numbers)
        self.lines: list[Line] = []
        self.spoken: Line | None = None
        """The row that was last spoken of by its word."""

    def reference(self, i: int) -> Reference | None:
        """The reference that begins at atom i, or None."""
        return (
            self.named(i)
            or self.cleft(i)
            or self.ordinal(i)
            or self.last_one(i)
            or self.at_end(i)
            or self.next_few(i)
            or self.run(i)
            or self.bare(i)
            or self.closing(i)
            or self.next_one(i)
            or self.apposed(i)
            or self.told_of(i)
        )

    def due(self, number: Label) -> bool:
        """Whether a number is the next of the row that is being told, one or two on, or any left of a counted one."""
        if not self.lines:
            return False
        line = self.lines[-1]
        if (number in line.stations and number not in line.implied) or not line.order:
            return False
        if not isinstance(number, int):
            return number in line.following()
        if len(line.order) == 1 and line.order[0] == number + 1:
            return True
        stated = self.stated_for(line)
        if stated is not None and number > self.most(stated):
            return False
        return number in line.following(3) or stated is not None

    def most(self, stated: Count) -> int:
        """The count of a row, or a greater one that was told of the same later ("it's ten, ten machines")."""
        return int(
            max([stated.value, *(c.value for c in self.counts if c.word == stated.word and c.value < 2 * stated.value)])
        )

    def counted_at(self, i: int, number: Label) -> bool:
        """Whether a row that was counted shortly before begins with a number: its first, or its last."""
        since = self.lines[-1].last if self.lines and self.lines[-1].order else -1
        near = [c for c in self.counts if since < c.first < i and c.value >= 3]
        return bool(near) and i - near[-1].last <= SOON and number in (1, int(near[-1].value))

    def apposed(self, i: int) -> Reference | None:
        """ "Five, the drying tunnel.", "Second, straightener", "five and six, both hot", "the second one the wash": a
        number that is due, a pause or an article, and what it is."""
        if not self.opens(i):
            return None
        k = i + (self.atoms[i].lower == "the" and i + 1 < len(self.atoms))
        numbers: tuple[Label, ...]
        if self.atoms[k].lower in ORDINALS:
            numbers, last = (ORDINALS.index(self.atoms[k].lower) + 1,), k + 1
            found = self.words.at(self.atoms, last) if last < len(self.atoms) and not self.atoms[k].after else None
            last = found[0] if found else last + (last < len(self.atoms) and self.atoms[last].lower == "one")
            if [a.lower for a in self.atoms[last : last + 2]] in (["and", "last"], ["and", "final"]):
                last += 2  # "and sixth and last, the packing table"
        else:
            lettered = bool(self.lines) and any(isinstance(n, str) for n in self.lines[-1].order)
            numbers, last = self.labels(i, letters=lettered) if k == i else ((), i)
        if not numbers or last >= len(self.atoms) or not (self.due(numbers[0]) or self.counted_at(i, numbers[0])):
            return None
        paused = self.atoms[last - 1].after in (",", ":")
        if self.atoms[last - 1].after == "." and k == i and i and self.atoms[i - 1].after == ",":
            role = self.roles.alone(last)  # "Where was I, two. Fiber laser, four kilowatts"
            return Reference(i, role.end, numbers, "", "ordinal", role.text) if role is not None else None
        if not paused and k > i and not self.atoms[last - 1].after and self.roles.known(last):
            role = self.roles.alone(last)  # "the eighth is a dwell and the ninth cooling"
            return Reference(i, role.end, numbers, "", "ordinal", role.text) if role is not None else None
        if not paused and (self.atoms[last - 1].after or self.atoms[last].lower not in ("the", "a", "an")):
            return None
        if len(numbers) > 1 and self.atoms[last].lower not in ("both", "all", "the", "those", "these", "also"):
            several = self.roles.alone(last)  # "ten and eleven, colors too"
            if several is None or not (is_plural(several.last_word) or several.vocabulary):
                return None
        role = self.roles.behind(last, due=True) if paused else self.roles.alone(last + 1)
        if role is None and paused:
            role = self.roles.behind_place(last)
        return Reference(i, role.end, numbers, "", "ordinal", role.text) if role is not None else None

    def told_of(self, i: int) -> Reference | None:
        """ "Rough trim is six and fine trim is seven", "the weigher makes five": a number that is due closes the clause
        of what it is."""
        verb = self.atoms[i - 1].lower if i >= 2 else ""
        if verb not in COPULAS | PLACED or self.atoms[i - 1].after:
            return None
        counted = None if verb in PLACED - {"makes"} else self.label(i, letters=False)
        found = counted or self.nth_along(i)
        begun = found is not None and self.counted_at(i, found[0])  # "five sections, the pre-spray comes first"
        if found is None or not (begun or (self.due(found[0]) and self.atoms[i].sentence - self._told_at() <= 2)):
            return None
        number, last = found
        ends = last >= len(self.atoms) or self.atoms[last - 1].after or self.atoms[last].lower in ("and", "then")
        if not ends:
            return None
        role = self.roles.before(i - (verb in PLACED), led=False, linked=verb in PLACED)
        if (
            role is not None
            and self.atoms[role.first - 1 - (self.atoms[role.first - 1].lower == "the")].lower in BEHIND
        ):
            role = self.roles.behind(last, due=True)  # "after the blender is four, the packer"
            return Reference(i, role.end, (number,), "", "bare", role.text) if role is not None else None
        return Reference(i, last, (number,), "", "bare", role.text) if role is not None else None

    def nth_along(self, i: int) -> tuple[int, int] | None:
        """ "Storage is the third one along": the number of an ordinal at i that closes its clause, and its end."""
        k = i + (self.atoms[i].lower == "the")
        if k + 1 >= len(self.atoms) or self.atoms[k].lower not in ORDINALS:
            return None
        number, last = ORDINALS.index(self.atoms[k].lower) + 1, k + 1
        if not self.atoms[k].after:
            last += self.atoms[last].lower in ("one", "place", "spot")
            last += last < len(self.atoms) and not self.atoms[last - 1].after and self.atoms[last].lower in ALONG
        return number, last

    def _told_at(self) -> int:
        """The sentence of the station described last."""
        return self.atoms[self.lines[-1].last].sentence

    def named(self, i: int) -> Reference | None:
        """ "Tank four", "stages two and three", "number six", "zone B"."""
        found = self.words.at(self.atoms, i)
        if found is None or self.atoms[found[0] - 1].after:
            return None
        end, word = found
        if i and not self.atoms[i - 1].after and self.atoms[i - 1].lower in PERSONS:
            return None  # "they stand four abreast"
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
        told = i > 0 and self.atoms[i - 1].lower in COPULAS and not self.atoms[i - 1].after
        if told and len(numbers) > 1 and self.roles.copula(last):
            one, stop = self.labels(end, letters=word != "number", again=False)
            if len(one) == 1 and self.atoms[stop - 1].after == ",":
                numbers, last = one, stop  # "preheat's zone one, zone two's the soak"
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
        if letters and len(said) == 1 and said.isalpha() and (said.isupper() or said not in "ai") and said != "I":
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
        ranged = i > 0 and self.atoms[i - 1].lower == "from" and self.opens(i - 1)  # "from three to six, these are"
        if not self.opens(i) and not ranged:
            return None
        lettered = line is not None and any(isinstance(n, str) and len(n) == 1 for n in (*line.order, *line.bare))
        begun = self.atoms[i].said == "A" and self.roles.copula(i + 1) and self.letter_soon(i)
        lettered = lettered or begun
        numbers, last = self.labels(i, letters=lettered)
        if not numbers or last >= len(self.atoms) or (ranged and len(numbers) < 2):
            return None
        near = [c for c in self.counts if c.first < i]
        begun_so = line is None and not near and not begun and self.told_in_turn(i, numbers, last)
        if line is None and not near and not begun and not begun_so:
            return None
        if begun_so:
            return Reference(i, last, numbers, "", "bare")
        top = (
            max([n for n in (line.order if line else ()) if isinstance(n, int)] + [int(c.value) for c in near] + [0])
            + 4
        )
        running = max([n for n in (line.order if line else ()) if isinstance(n, int)], default=0)
        if any(isinstance(n, int) and n > top for n in numbers) and running + 1 != numbers[0]:
            return None
        following = line.following() if line is not None else ()
        # "one is loading", of a row begun at its other end, or of another row
        left = self.roles.known(last + 1) and self.due(1)
        left = left or (line is not None and self.other_row(line, i)) or (self.due(1) and self.second_soon(i))
        if numbers == (1,) and running > 2 and self.atoms[i].lower == "one" and following != (1,) and not left:
            return None  # "one's nearly new" is one of them
        if lettered and isinstance(numbers[0], int) and not (numbers[0] == 1 and self.roles.copula(last)):
            return None
        if begun:
            return Reference(i, last, numbers, "", "bare")
        opening = numbers[0] == 1 and (line is None or not line.order)
        told = self.atoms[min(last + 1, len(self.atoms) - 1)].lower
        named = self.roles.known(last + 1)
        if opening and not named and self.roles.classes.of(told) in ("acts", "describes"):
            return None  # "Pneumatic drop. One's sticking."
        soft = last
        while (
            soft < len(self.atoms) - 1
            and soft - last < 3
            and self.atoms[soft].lower in SOFT
            and not self.roles.known(soft)
        ):
            soft += 1
        direct = self.atoms[last - 1].after in (",", ":", "") and self.roles.known(soft)
        if direct and not self.atoms[last - 1].after and len(numbers) == 1 and self.counts_several(soft):
            return None  # "ten packing benches along it"
        if direct and not self.atoms[last - 1].after and soft == last and line is not None and line.order:
            direct = numbers[0] in line.stations or self.due(numbers[0])  # "opening blades, eleven spare"
        # "eight the inspection table": the next number, an article and a name
        named = soft > last and not self.atoms[last - 1].after and numbers == tuple(following[: len(numbers)])
        if line is not None and len(line.order) == 1 and isinstance(line.order[0], int):
            named = named or (soft > last and not self.atoms[last - 1].after and numbers == (line.order[0] - 1,))
        direct = direct or (named and self.roles.phrase(soft) is not None)
        pointed = (
            self.atoms[last - 1].after == "," and self.atoms[last].lower in POINTERS and self.roles.copula(last + 1)
        )
        pointed = pointed or (line is not None and self.due(numbers[0]) and self.inserted(last))
        pointed = pointed or (line is not None and self.due(numbers[0]) and self.roles.naming(last) is not None)
        if pointed:
            # "H and J, those are the nickel tanks"; "seven, which stands ahead of the dip, is a rinse"
            return Reference(i, last, numbers, "", "bare")
        if self.atoms[last].lower in ("then", "now") and self.roles.copula(last + 1) and self.due(numbers[0]):
            return Reference(i, last + 1, numbers, "", "bare")  # "five then is the lidder"
        if self.atoms[last].lower in COPULAS and not self.atoms[last - 1].after:
            several = self.atoms[last].lower in ("are", "were", "'re")
            if (
                several
                and not self.roles.known(last + 1)
                and self.roles.classes.of(self.atoms[last + 1].lower) == "acts"
            ):
                return None  # "it's fourteen, two are hiding under the oven"
            return Reference(i, last, numbers, "", "bare")
        return Reference(i, last, numbers, "", "bare") if direct and line is not None else None

    def second_soon(self, i: int) -> bool:
        """Whether the second place follows by its number soon: "one is the manway, ..., two is the agitator"."""
        for k in range(i + 2, min(i + NEXT_SOON, len(self.atoms) - 1)):
            if k in self.numbers and self.numbers[k][1] == 2 and self.opens(k):
                return (
                    self.atoms[self.numbers[k][0]].lower in COPULAS if self.numbers[k][0] < len(self.atoms) else False
                )
        return False

    def inserted(self, last: int) -> bool:
        """Whether a clause of which stands between a reference that ends at last and its verb."""
        after = self.atoms[last - 1].after == "," and self.atoms[last].lower == "which"
        return after and self.roles.behind_inserts(last) is not None

    def letter_soon(self, i: int) -> bool:
        """Whether B follows the A at atom i: a few words behind ("A is the soak clean, B the rinse"), or at the head of
        a clause of its own further on."""
        near = any(a.said == "B" for a in self.atoms[i + 2 : i + 12])
        far = range(i + 12, min(i + TURN, len(self.atoms)))
        return near or any(self.atoms[k].said == "B" and self.opens(k) for k in far)

    def told_in_turn(self, i: int, numbers: tuple[Label, ...], last: int) -> bool:
        """Whether a row begins with a number that nothing counted: the next two follow it, each with what it is."""
        first = numbers[0]
        if not isinstance(first, int) or self.atoms[i].said == "I" or not self.roles.copula(last):
            return False
        if self.roles.behind(last) is None or not isinstance(numbers[-1], int):
            return False
        for step in (1, -1):
            due, told = numbers[-1] + step, 0
            for k in range(last + 1, min(last + TURN, len(self.atoms) - 1)):
                if k not in self.numbers or not (self.opens(k) or (self.opens(k - 1) and k - 1 > last)):
                    continue  # "two is the seal, sticker three's a notch"
                found, end = self.labels(k, letters=False)
                if not found or found[0] != due or end >= len(self.atoms):
                    continue
                behind = self.roles.behind(end, due=True)
                behind = behind or self.roles.alone(end + (self.atoms[end].lower == "the"))
                if behind is None or not isinstance(found[-1], int):
                    break
                due, told = found[-1] + step, told + 1
                if told == 2:
                    return True
        return False

    def numbered_on(self, i: int, word: str, number: Label) -> bool:
        """Whether the next of the same word follows the reference at i soon: "bay one, cardboard. Bay two, film."."""
        if not isinstance(number, int):
            return False
        if number < len(ORDINALS) and self.atoms[i].lower not in ("the", word) and self.nth_soon(i, word, number + 1):
            return True
        for k in range(i + 2, min(i + NEXT_SOON, len(self.atoms) - 1)):
            found = self.words.at(self.atoms, k)
            if found is not None and found[1] == word and found[0] in self.numbers:
                return self.numbers[found[0]][1] in (number + 1, number - 1)
        return False

    def nth_soon(self, i: int, word: str, number: int) -> bool:
        """Whether the next of a word follows by an ordinal soon: "first hit blanks it. Second hit is the draw."."""
        for k in range(i + 2, min(i + NEXT_SOON, len(self.atoms) - 1)):
            found = self.words.at(self.atoms, k + 1) if self.atoms[k].lower == ORDINALS[number - 1] else None
            if found is not None and found[1] == word:
                return True
        return False

    def other_row(self, line: Line, i: int) -> bool:
        """Whether another row was begun right before: "now the aisle side. One is ...", "second train: one is ..."."""
        atoms = self.atoms
        for k in range(max(line.last + 2, i - HEADED), i):
            far = atoms[i].sentence - atoms[k].sentence
            word = singular(atoms[k].lower)
            if far > 1 or word not in ROWS or k == 0 or atoms[k].after not in (".", ",", ":"):
                continue
            before = {a.lower for a in atoms[max(clause_start(atoms, k), k - 4) : k]}
            if before & OTHER or (before & WAYS and not before & {"from"}):
                return True
        return False

    def counts_several(self, i: int) -> bool:
        """Whether a role at i is a plural, so that the number before it counts."""
        role = self.roles.phrase(i)
        return role is not None and is_plural(role.last_word) and not role.last_word.endswith("ss")

    def closing(self, i: int) -> Reference | None:
        """ "Then comes the destoner, that's three": a number that ends its clause, behind a name and "that's"."""
        line = self.lines[-1] if self.lines else None
        makes = self.atoms[i - 1].lower == "makes"
        if i < 3 or not (makes or self.atoms[i - 1].lower in COPULAS) or self.atoms[i - 2].lower not in POINTERS:
            return None
        k = i + (self.atoms[i].lower == "the")
        if line is None:
            line = Line("") if self.counted_at(i, 1) else None
        if line is None:
            return None
        found = self.label(k, letters=any(isinstance(n, str) for n in line.order))
        if found is None or (found[1] < len(self.atoms) and not self.atoms[found[1] - 1].after):
            return None
        number, last = found
        if number in line.stations or (number not in line.following() and not isinstance(number, str)):
            return None
        role = self.roles.before(i - makes, led=False, linked=makes)
        return Reference(i, last, (number,), "", "bare", role.text) if role is not None else None

    def at_end(self, i: int) -> Reference | None:
        """ "At the end you've got the dryer", "and finally a DI rinse": the last place, without a number."""
        if not self.lines or not self.opens(i):
            return None
        last = next((i + len(f) for f in ENDS if tuple(a.lower for a in self.atoms[i : i + len(f)]) == f), 0)
        if not last or last >= len(self.atoms) or self.named_in(last, clause_end(self.atoms, last)):
            return None
        line = self.lines[-1]
        stated, running = self.stated_for(line), line.following()
        role = self.roles.behind(last) if self.roles.copula(last) else self.roles.after_article(last)
        if role is None or not running or self.atoms[i].sentence - self.atoms[line.last].sentence > 2:
            return None
        known = role.vocabulary or self.roles.heads.at(self.atoms, role.end - 1) is not None
        number = running[0]
        if stated is not None and isinstance(number, int) and number < int(stated.value):
            number = int(stated.value)
        if not known or number in line.stations or (stated is None and not role.vocabulary):
            return None
        return Reference(i, role.end, (number,), "", "last", role.text)

    def next_few(self, i: int) -> Reference | None:
        """ "The next two are cold rinses", "the two after that are rinses"."""
        if not self.lines or not self.opens(i):
            return None
        k = i + (self.atoms[i].lower == "the")
        if k >= len(self.atoms):
            return None
        ahead = self.atoms[k].lower == "next"
        k += ahead
        if self.atoms[k].lower in ("couple", "pair") if k < len(self.atoms) else False:
            count, end = 2, k + 1
        elif k in self.numbers and self.numbers[k][3] in ("cardinal", "digits") and self.numbers[k][2] is None:
            end, count = self.numbers[k][0], int(self.numbers[k][1])
        else:
            return None
        if end < len(self.atoms) and self.atoms[end - 1].after:
            return None  # "so half a dozen. After that there's the trimmer"
        behind = [a.lower for a in self.atoms[end : end + 2]]
        if not ahead:
            if behind not in (["after", "that"], ["after", "those"], ["behind", "that"], ["following", "that"]):
                return None
            end += 2
        if end >= len(self.atoms) or not 2 <= count <= 12:
            return None
        found = self.words.at(self.atoms, end)
        end = found[0] if found else end
        if end >= len(self.atoms) or not self.roles.copula(end):
            return None
        return Reference(i, end, self.lines[-1].following(count), "", "run")

    def ordinal(self, i: int) -> Reference | None:
        """ "First station is the …", "third we have the …", "the seventh is the packer"."""
        k = i + 1 if self.atoms[i].lower in ARTICLES and i + 1 < len(self.atoms) else i
        if k in self.numbers and self.numbers[k][3] == "ordinal":
            last, value = self.numbers[k][0], int(self.numbers[k][1])
        elif self.atoms[k].lower in ORDINALS:
            last, value = k + 1, ORDINALS.index(self.atoms[k].lower) + 1
        else:
            return None
        if last >= len(self.atoms) or value > MOST:
            return None
        values = [value]
        while last + 1 < len(self.atoms) and self.atoms[last].lower == "and" and not self.atoms[last - 1].after:
            k = last + 1 + (self.atoms[last + 1].lower == "the")
            if k < len(self.atoms) and self.atoms[k].lower in ORDINALS:
                values.append(ORDINALS.index(self.atoms[k].lower) + 1)
                last = k + 1
            else:
                break
        if last >= len(self.atoms):
            return None
        if self.atoms[last - 1].after:
            # "Third, we have the filler": recognisers write the pause; an opening "First, we have" may begin anything
            told = self.lines and self.atoms[last - 1].after == "," and self.atoms[last].lower in ("we", "you")
            many = len(values) > 1 and self.atoms[last - 1].after == "," and self.atoms[last].lower in POINTERS
            if many and self.opens(i) and self.roles.copula(last + 1):
                return Reference(i, last, tuple(values), "", "ordinal")  # "second and third, those are the scour"
            if not (told and value > 1 and self.opens(i) and self.roles.copula(last)):
                return None
        word = ""
        found = self.words.at(self.atoms, last)
        if found and self.atoms[last].lower != "number":
            last, word = found[0], found[1]
        elif self.atoms[last].lower in ("one", "ones"):
            last += 1
        last = self.in_line(last)
        joined = self.roles.copula(last) if last < len(self.atoms) else False
        joined = joined or (last < len(self.atoms) and bool(word) and self.atoms[last - 1].after == ",")
        if not joined and (last >= len(self.atoms) or not self.does_there(i, last, value)):
            return None
        placed = (
            i > 0 and self.atoms[i - 1].lower in ("in", "on") and self.opens(i - 1)
        )  # "in the second one is the oven"
        if not word and not self.opens(i) and not placed:
            return None
        return Reference(i, last, tuple(values), word, "ordinal")

    def in_line(self, k: int) -> int:
        """The end of words behind an ordinal that only say it is one of a row: "of them", "up", "you come to"."""
        if self.atoms[k - 1].after:
            return k
        longest = (n for n in (3, 2, 1) if " ".join(a.lower for a in self.atoms[k : k + n]) in IN_LINE)
        end = k + next(longest, 0)
        return end if end < len(self.atoms) else k

    def does_there(self, i: int, last: int, value: int) -> bool:
        """ "First one grabs the pouch, second one prints the date": what a place that is due does."""
        found = self.words.at(self.atoms, last - 1)
        due = self.due(value) or self.counted_at(i, value)
        due = due or (found is not None and self.numbered_on(i, found[1], value))
        ahead = [a.lower for a in self.atoms[last : last + 2]]
        serves = ahead[0] in SERVING and ahead[1:] in (["the"], ["a"], ["an"])
        return due and (serves or self.roles.purpose(last) is not None)

    def cleft(self, i: int) -> Reference | None:
        """ "It's five that's the rinse": a number that is due, brought out by the sentence."""
        before = [a.lower for a in self.atoms[max(0, i - 2) : i]]
        nth = self.atoms[i].lower == "the" and i + 1 < len(self.atoms) and self.atoms[i + 1].lower in ORDINALS
        if before not in (["it", "'s"], ["it", "is"], ["that", "'s"]) or not (nth or i in self.numbers):
            return None
        numbers, last = self.labels(i, letters=False)
        if nth:
            numbers, last = (ORDINALS.index(self.atoms[i + 1].lower) + 1,), i + 2
        behind = [a.lower for a in self.atoms[last : last + 2]]
        told = behind in (["that", "'s"], ["that", "is"]) and not self.atoms[last - 1].after
        if len(numbers) != 1 or not told or not self.due(numbers[0]):
            return None
        role = self.roles.behind(last, due=True)
        return Reference(i, role.end, numbers, "", "bare", role.text) if role is not None else None

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
        kind = "last" if self.of_all(last) == last else "ordinal"  # "the last of the seven" is that very one
        last = self.of_all(last)
        named = self.named(last) if last < len(self.atoms) and self.atoms[last - 1].after == "," else None
        if named:
            return Reference(i, named.last, named.numbers, word, "named")
        told = (
            last < len(self.atoms) and self.atoms[last].lower in ("this", "that", "it") and self.roles.copula(last + 1)
        )
        serves = last < len(self.atoms) and self.atoms[last].lower in SERVING
        if last >= len(self.atoms) or not (told or serves or self.roles.copula(last) or self.roles.known(last)):
            return None
        if not told and self.atoms[last].sentence != self.atoms[k].sentence:
            return None  # "that's the last one. There's two pumps"
        line = self.line_of(word) or self.lines[-1]
        stated = self.stated_for(line)
        if (
            kind == "ordinal"
            and last - 1 in self.numbers
            and (stated is None or stated.value != self.numbers[last - 1][1])
        ):
            return None  # "the last of the seven", behind four zones that were told since
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
        return Reference(i, last, (number,), word, kind) if number is not None else None

    def of_all(self, k: int) -> int:
        """The end of "of the seven", "of them", "of the lot" behind "the last"."""
        ahead = [a.lower for a in self.atoms[k : k + 3]]
        if self.atoms[k - 1].after or ahead[:1] != ["of"] or len(ahead) < 3:
            return k
        if ahead[1] in ("them", "these", "those"):
            return k + 2
        return k + 3 if ahead[1] == "the" and (k + 2 in self.numbers or ahead[2] in ("lot", "row", "line")) else k

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
        if k and self.atoms[k - 1].after:
            return None  # "so half a dozen. Trimmer ..."
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
            if not numbers and (named := self._that_is(last)) is not None:
                numbers, stop = named  # "five acid tanks, that is position three to six"
            elif len(numbers) != int(value):
                numbers = ()
            if numbers and not (stop < len(self.atoms) and self.roles.copula(stop)):
                return Reference(i, stop, numbers, "", "run", found.text)
        near = [a.lower for a in self.atoms[max(0, i - 4) : i]] + [a.lower for a in self.atoms[k:last]]
        if not {"then", "after", "next", "followed", "another"} & set(near) or self.named_in(i, last):
            return None
        if (int(value),) == self.lines[-1].following() and not is_plural(found.last_word):
            return None  # "five is the main fill, and then six blank again"
        stated, numbers = self.stated_for(self.lines[-1]), self.lines[-1].following(int(value))
        if stated is not None and any(isinstance(n, int) and n > int(stated.value) for n in numbers):
            return None  # all eight were told: two dryers behind them are no ninth and tenth
        return Reference(i, found.end, numbers, "", "run", found.text)

    def _that_is(self, k: int) -> tuple[tuple[Label, ...], int] | None:
        """The places told behind a pause at k: "that is position three to six"; None where no several are."""
        while k < len(self.atoms) and self.atoms[k].lower in ("that", "is", "'s", "those", "are", "namely", "being"):
            k += 1
        named = self.named(k) if k < len(self.atoms) else None
        return (named.numbers, named.last) if named is not None and len(named.numbers) > 1 else None

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
        acted = role.end < len(self.atoms) and self.atoms[role.end].lower in THEM
        if acted and self.atoms[role.first].lower in ORDINALS:
            return None  # "and then the fifth fills it"
        ahead = self.atoms[role.end].lower if role.end < len(self.atoms) and not self.atoms[role.end - 1].after else ""
        if ahead in TAKING:
            return None  # "then the chrome takes two positions, six and seven"
        numbers = self.lines[-1].following()
        if not numbers or self.atoms[i].sentence - self.atoms[self.lines[-1].last].sentence > 3:
            return None
        return Reference(i, role.end, numbers, "", "next", role.text)

    def named_in(self, first: int, last: int) -> bool:
        """Whether an explicit number stands in these words."""
        return any(self.named(k) for k in range(first, last))

    def line_of(self, word: str) -> Line | None:
        return next((line for line in reversed(self.lines) if line.word == word), None) if word else None

    def stated_for(self, line: Line) -> Count | None:
        """The count that was stated of a sequence: of its own word before it, else of any word, else behind it."""
        if line.stated is not None:
            return line.stated
        earlier = max((other.last for other in self.lines if other is not line and other.last < line.first), default=-1)
        others = {other.word for other in self.lines if other is not line}
        first = line.first if line.stations else len(self.atoms)
        before = [c for c in self.counts if earlier < c.first <= first]
        own = [c for c in before if c.word == line.word]
        top = max(MOST_LOOSE, 3 * len(line.stations))  # "a hundred pieces" counts no basins
        loose = [c for c in before if c.word not in others and 3 <= c.value <= top]
        later = [
            c
            for c in self.counts
            if c.first > first and c.word == line.word and c.value >= max(3, len(line.stations) - 2)
        ]
        told = [n for n in line.order if isinstance(n, int)]
        if not line.word and not before:  # "number one is the press ... so three stations on that frame"
            most = max(told, default=len(line.order))  # a row of letters by how many they are
            later += [c for c in self.counts if c.place and line.last < c.first and c.value == most > 2]
        whole = [c for c in self.counts if c.total and c.first > earlier and c.value >= len(line.stations) - 2]
        if whole and len(self.lines) == 1:
            own = [whole[-1]]
        line.stated = own[0] if own else loose[-1] if loose else later[0] if later else None
        return line.stated


def _between(low: Label, high: Label) -> tuple[Label, ...]:
    """All labels from one to another, either way round; empty where they are no range."""
    if isinstance(low, int) and isinstance(high, int) and low != high and abs(high - low) <= 60:
        step = 1 if high > low else -1
        return tuple(range(low, high + step, step))
    if isinstance(low, str) and isinstance(high, str) and len(low) == len(high) == 1 and low < high:
        return tuple(chr(c) for c in range(ord(low), ord(high) + 1))
    return ()


@lru_cache(maxsize=16)
def station_words(vocabulary: Vocabulary) -> Finder[str]:
    return Finder(_names(vocabulary))


@lru_cache(maxsize=16)
def _with_words(vocabulary: Vocabulary, own: frozenset[str]) -> Finder[str]:
    """The words for stations, and what a recording numbers itself ("five pumps, numbered one to five")."""
    names = _names(vocabulary)
    known = {name for name, _ in names}
    return Finder([*names, *((f, w) for w in sorted(own) for f in (w, w + "s") if f not in known)])


def _names(vocabulary: Vocabulary) -> list[tuple[str, str]]:
    return [
        (name, "number" if row["use"] == "neutral" else singular(name))
        for row in vocabulary["stations"]
        if row["use"] in ("place", "vessel", "machine", "neutral")
        for name in row["names"]
    ]
