"""Stations in order of travel: numbered, lettered or counted; forwards, backwards and from both ends.

A reference ("tank four", "three's", "the last one", "then two rinses") is read first, then the role that stands behind
it or before it. A reference without a role is a mention of a station that is described elsewhere.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from extractors.mentions import Measure, SequenceMention, StationMention, Tokens
from extractors.phrases import plural, span_of
from extractors.references import COPULAS, LEADING, Label, Line, Reference
from extractors.roles import Role
from extractors.stated_counts import Count
from extractors.told_round import ToldRound
from vocab import Vocabulary

CLOSING = 30
"""Atoms behind the last station in which its row may be said to end; common practice, no source."""

SUMMED = 60
"""Atoms before a row's first station from which a total without a word may be meant; chosen, no source."""
LOOSE = frozenset({"lane", "row", "level", "deck", "pocket", "stand", "head", "hearth"})
"""Words for places that often count something else: a count alone of them makes no row."""
AT_ONCE = 14
"""Atoms within which a station that is told once more is put right; chosen, no source."""
REST = 12
"""Atoms behind a reference in which its sentence may say since when."""
DENYING = frozenset("no nope lie liar wrong sorry wait mistake pardon rubbish nonsense hang scratch oops".split())
"""Words between two tellings of one place by which the first was wrong."""
BEEN = frozenset("has have been got 've since all now".split())
NO_MORE = tuple(
    tuple(words.split(" "))
    for words in (
        "gone", "removed", "taken out", "took out", "ripped out", "pulled out", "cut out", "scrapped", "dismantled",
        "torn out", "no longer there", "no longer here", "not there anymore", "not there any more", "n't there anymore",
        "n't there any more", "done away with", "stripped out", "disconnected and gone",
    )
)  # fmt: skip
"""Words that say a station is there no more; "out" alone is one that stands still."""
SINCE = frozenset({"now", "nowadays", "instead", "anymore", "these days", "no longer", "any more"})


class Reader(ToldRound):
    """Reads one transcript's stations from left to right."""

    def read(self) -> tuple[SequenceMention, ...]:
        i = 0
        while i < len(self.atoms):
            reference = None if self.atoms[i].aside else self.reference(i)
            if reference is None:
                i += 1
                continue
            i = max(i + 1, self.place(reference))
        return self.finish()

    def place(self, reference: Reference) -> int:
        """Puts the stations of a reference where they belong; returns the atom to read on from."""
        atoms = self.atoms
        role, end = reference.role, reference.last
        defined = since = False
        found: Role | None = None
        gone = self.gone(reference)
        if role is None and not gone:
            led = (
                reference.first > 0
                and atoms[reference.first - 1].lower in LEADING
                and not atoms[reference.first - 1].after
            )
            found = self.roles.behind(
                reference.last,
                due=self.due(reference.numbers[0])
                or self.counted_at(reference.first, reference.numbers[0])
                or self.counted_so(reference)
                or (bool(reference.word) and self.numbered_on(reference.first, reference.word, reference.numbers[0])),
            )
            told = (
                reference.first > 0
                and atoms[reference.first - 1].lower in COPULAS
                and not atoms[reference.first - 1].after
            )
            if told and not led and (before := self.roles.before(reference.first, led=False)) is not None:
                found = before if found is None or atoms[reference.last - 1].after else found
                end = reference.last
            if found is not None and led and not found.vocabulary and not self.due(reference.numbers[0]):
                found = None
            if found is None and self.same_again(reference.last):
                near = self.lines[-1] if self.lines else None
                role = near.stations[near.order[-1]].role if near and near.order else None
            elif found is not None:
                role, end = found.text, max(end, found.end)
                verb = atoms[reference.last].lower if reference.last < len(atoms) else ""
                defined = found.vocabulary and verb in COPULAS and not atoms[reference.last - 1].after
                since = defined and self.since(reference)
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
        if found is not None and not gone:
            more = tuple(n for n in self.along_with(end) if n not in line.stations)
            reference = replace(reference, numbers=(*reference.numbers, *more))
        anew = self.all_told_anew(line, reference, found)
        for number in reference.numbers:
            if role is None:
                if number in line.stations and gone:
                    line.gone[number] = span_of(atoms, self.tokens, reference.first, min(end + 3, len(atoms)))
                    continue
                if reference.first and atoms[reference.first - 1].lower in LEADING:
                    continue  # "behind tank nine" tells where something else is
                line.first = line.first or reference.first
                line.bare.setdefault(number, span)
            elif number not in line.stations or anew or self.told_better(line, number, reference, found):
                if number in line.stations:
                    line.order.remove(number)
                line.implied.discard(number)
                if reference.kind in ("next", "last"):
                    line.implied.add(number)
                line.stations[number] = StationMention(span, number, role, "hedged" if hedged else "stated")
                line.order.append(number)
                if len(line.stations) == 1:
                    line.first = reference.first
                line.last = reference.first
            elif since and role != line.stations[number].role:
                line.again.append((number, role, span, True))
            elif defined and reference.word and set(role.split()).isdisjoint(line.stations[number].role.split()):
                line.again.append((number, role, span, False))
        return end

    def told_better(self, line: Line, number: Label, reference: Reference, found: Role | None) -> bool:
        """Whether the number of a station is said where it was only reckoned, or told once more at once: "five is the
        rack, uh, five is the gauge"."""
        if reference.kind in ("next", "last"):
            return False
        if len(reference.numbers) > 1:
            return False
        if number in line.implied:
            return True
        near = line.order[-1] == number and reference.first - line.last <= AT_ONCE
        same = self.atoms[reference.first].sentence == self.atoms[line.last].sentence
        near = near and (same or not DENYING.isdisjoint(a.lower for a in self.atoms[line.last : reference.first]))
        verb = self.atoms[reference.last].lower if reference.last < len(self.atoms) else ""
        alike = found is not None and found.text in line.stations[number].role
        return (near or self.exchanged(line, number, reference)) and verb in COPULAS and found is not None and not alike

    def exchanged(self, line: Line, number: Label, reference: Reference) -> bool:
        """Whether the place told right before in the sentence was given the role that this one had: "I had them
        crossed, so six is the rinse and five is the etch"."""
        other = line.order[-1]
        same = self.atoms[reference.first].sentence == self.atoms[line.last].sentence
        near = same and reference.first - line.last <= AT_ONCE
        return near and other != number and line.stations[other].role == line.stations[number].role

    def counted_so(self, reference: Reference) -> bool:
        """Whether a place is told by the very word its row was counted by: "eight pockets ... pocket five"."""
        number = reference.numbers[0]
        told = any(number in line.stations for line in self.lines if line.word == reference.word)
        return (
            bool(reference.word)
            and isinstance(number, int)
            and not told
            and number <= self.stated_of(reference.word, reference)
        )

    def all_told_anew(self, line: Line, reference: Reference, found: Role | None) -> bool:
        """Whether the very numbers told last are told at once with another role: "the last pair, six and seven, are the
        filters. Havers, six and seven are the blowers"."""
        many = len(reference.numbers)
        if found is None or many < 2 or set(line.order[-many:]) != set(reference.numbers):
            return False
        verb = self.atoms[reference.last].lower if reference.last < len(self.atoms) else ""
        near = reference.first - line.last <= AT_ONCE and verb in COPULAS and not self.atoms[reference.last - 1].after
        return near and found.text not in line.stations[line.order[-1]].role

    def along_with(self, k: int) -> tuple[Label, ...]:
        """Further numbers of the same role at atom k: "two is the strip, along with three and four"."""
        words = [a.lower for a in self.atoms[k : k + 2]]
        if words not in (["along", "with"], ["together", "with"], ["as", "are"], ["so", "are"]):
            return ()
        out: list[Label] = []
        k += 2
        while k < len(self.atoms) and (k in self.numbers or self.atoms[k].lower == "and"):
            if k in self.numbers:
                end, value, top, form = self.numbers[k]
                if top is not None or form not in ("cardinal", "digits") or value != int(value):
                    return ()
                out.append(int(value))
                k = end
                if self.atoms[k - 1].after not in ("", ","):
                    break
            else:
                k += 1
        return tuple(out) if k >= len(self.atoms) or self.atoms[k - 1].after else ()

    def gone(self, reference: Reference) -> bool:
        """Whether it is said right behind that the station is there no more: "zone three is gone"."""
        atoms = self.atoms
        if atoms[reference.last - 1].after:
            return False
        sentence = atoms[reference.first].sentence
        behind = [a.lower for a in atoms[reference.last : reference.last + 6] if a.sentence == sentence]
        while behind and behind[0] in COPULAS | BEEN:
            behind.pop(0)
        return any(tuple(behind[: len(words)]) == words for words in NO_MORE)

    def since(self, reference: Reference) -> bool:
        """Whether its sentence says that it is so by now: "station four is a rinse now", "no longer the etch"."""
        sentence = self.atoms[reference.first].sentence
        behind = [a.lower for a in self.atoms[reference.last : reference.last + REST] if a.sentence == sentence]
        pairs = {" ".join(pair) for pair in pairwise(behind)}
        return not SINCE.isdisjoint(behind) or not SINCE.isdisjoint(pairs)

    def same_again(self, i: int) -> bool:
        """ "Stage two is the same again" takes the role of the station before."""
        words = [a.lower for a in self.atoms[i : i + 4]]
        if (
            i
            and self.atoms[i - 1].after == ","
            and (words[:1] in (["same"], ["ditto"]) or words[:2] == ["the", "same"])
        ):
            return True  # "dip two, same thing"
        if i > 1 and words[:2] == ["the", "same"] and i + 1 < len(self.atoms) and self.atoms[i + 1].after:
            return True  # "zone two the same, only weaker"
        return (len(words) > 2 and words[0] in COPULAS and "same" in words[1:3]) or self.has_same(i)

    def choose(self, reference: Reference, role: str | None) -> Line | None:
        """The sequence that a reference belongs to; a new one where the words begin one."""
        current = self.lines[-1] if self.lines else None
        word, first_number = reference.word, reference.numbers[0]
        if not word and (other := self.gone_back(first_number, reference)) is not None:
            return other
        if not word:
            fresh = current is not None and role is not None and self.restarts(current, first_number, reference)
            if current is None or fresh:
                if reference.kind not in ("named", "ordinal", "bare") or (role is None and current is None):
                    return None
                near = [
                    c
                    for c in self.counts
                    if c.first < reference.first
                    and (current is None or c.first > current.last)
                    and not (c.value == 2 and c.word in LOOSE)
                ]
                self.lines.append(Line(near[-1].word if near else "", fresh=self.begun(current, reference)))
                return self.lines[-1]
            return current
        same = self.line_of(word)
        self.spoken = same
        if same is not None:
            if role is not None and self.restarts(same, first_number, reference):
                self.lines.append(Line(word, fresh=self.begun(same, reference)))
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

    def begun(self, line: Line | None, reference: Reference) -> bool:
        """Whether a reference begins another row that was named as one."""
        return line is not None and bool(line.stations) and self.other_row(line, reference.first)

    def gone_back(self, number: Label, reference: Reference) -> Line | None:
        """The earlier row that a bare number is of: the row spoken of last by its word, where that has the number, or
        the one beside it. Else, where the row described last was counted and has fewer ("three zones ... number 4"),
        the last row that has it, or was counted and has room for it.
        """
        if len(self.lines) < 2 or not isinstance(number, int):
            return None
        current = self.lines[-1]
        if not current.stations or (current.fresh and number in current.following(3)):
            return None
        stated = self.stated_for(current)
        room = stated is not None and number <= stated.value
        if reference.kind in ("ordinal", "last") and number in current.following(1) and room:
            return None  # "first one lifts the cap, second one opens the flap": of the row just begun
        having = [line for line in self.lines[:-1] if number in line.stations]
        if self.spoken is not None and self.spoken is not current:
            last = self.spoken.order[-1] if self.spoken.order else None
            beside = isinstance(last, int) and abs(number - last) == 1 and number not in self.spoken.stations
            if self.spoken in having or beside:
                return self.spoken  # "section nine is the outfeed, eight is the cooling", its zones told between
        if number in current.stations or not (most := self.stated_of(current.word, reference)) or number <= most:
            return None
        able = [line for line in self.lines[:-1] if number <= self.stated_of(line.word, reference)]
        return having[-1] if having else able[-1] if able else None

    def stated_of(self, word: str, reference: Reference) -> float:
        """The greatest count of stations so called that was stated before a reference; 0 for none."""
        return max((c.value for c in self.counts if c.word == word and c.first < reference.first), default=0)

    def begins(self, word: str, number: Label, current: Line) -> bool:
        """Whether another station word opens a sequence of its own."""
        return (
            number in current.stations
            or number in (1, "A")
            or any(c.word == word and c.first > current.last for c in self.counts)
        )

    def restarts(self, line: Line, number: Label, reference: Reference) -> bool:
        """Whether a number that is known already belongs to another sequence: a fresh count was stated since."""
        lettered = bool(line.order) and all(isinstance(n, str) for n in line.order)
        if lettered and number == 1:
            return True  # a row of letters, and another of figures
        if number not in line.stations or number not in (1, "A"):
            return False
        if (
            len(line.stations) > 1
            and reference.kind in ("named", "bare", "ordinal")
            and self.other_row(line, reference.first)
        ):
            return True
        return len(line.stations) > 1 and any(line.last < c.first < reference.first for c in self.counts)

    def closed(self, line: Line) -> bool:
        """Whether it was said that the row ends there: "eight is the last one", "that's the lot"."""
        said = [a.lower for a in self.atoms[line.first : line.last + CLOSING]]
        for k, word in enumerate(said):
            before, behind = said[max(0, k - 2) : k], said[k + 1 : k + 3]
            if word in ("last", "final") and behind[:1] in (["one"], [line.word]) and "not" not in before:
                return True
            if before == ["that", "'s"] and word in ("the", "all") and behind[:1] in (["lot"], ["of"]):
                return True
        return False

    def told_later(self, line: Line, stated: Count | None) -> Count | None:
        """The count that was told of the same row later, where its stations go beyond the first one."""
        numbers = [n for n in line.order if isinstance(n, int)]
        if stated is None or not numbers or max(numbers) <= stated.value:
            return stated
        later = [c for c in self.counts if c.word == stated.word and c.first > stated.first and c.value == max(numbers)]
        return later[-1] if later else stated

    def summed(self, line: Line) -> Count | None:
        """The total without a word that tells the greatest number of a row: "that makes eight"."""
        numbers = [n for n in line.order if isinstance(n, int)]
        most = max(numbers, default=len(line.order))
        if len(line.stations) < 3:
            return None
        return next((t for t in self.totals if t.value == most and t.first > line.first - SUMMED), None)

    def finish(self) -> tuple[SequenceMention, ...]:
        """Sequences of at least two stations, or of one whose count was stated."""
        out: list[SequenceMention] = []
        taken: set[int] = set()
        listed = self.roles.lists(self.counts)
        for line in self.lines:
            if not line.stations and len(line.bare) >= 2 and line.word:
                for number, span in line.bare.items():
                    line.stations[number] = StationMention(span, number, f"{line.word} {number}")
            stated = self.told_later(line, self.stated_for(line)) or self.summed(line)
            if len(line.stations) < 2 and not (line.stations and stated):
                continue
            if stated and len(line.stations) == 1 and _order(line.order[0])[0] > stated.value:
                continue  # "two vessels, the third is only the brine tank"
            stations = tuple(sorted(line.stations.values(), key=lambda s: _order(s.number)))
            again = [a for a in line.again if not a[3]]
            if len(again) > 1 and any(a[0] in (1, "A") for a in again):
                again = []  # another row that begins at one as well
            told = [*again, *(a for a in line.again if a[3])]
            also = {number: (role, span if since else None) for number, role, span, since in told}
            stations = tuple(replace(s, gone_span=line.gone.get(s.number)) for s in stations)
            stations = tuple(
                replace(s, also=also[s.number][0], also_span=also[s.number][1]) if s.number in also else s
                for s in stations
            )
            word = line.word or (stated.word if stated else "station")
            if stated:
                taken.add(stated.first)
            span_ = span_of(self.atoms, self.tokens, stated.first, stated.last) if stated else None
            out.append(
                SequenceMention(
                    plural(word), word, int(stated.value) if stated else None, stations, span_, self.closed(line)
                )
            )
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
                out.append(SequenceMention(plural(count.word), count.word, int(count.value), stations, span_))
                taken.add(count.first)
            elif (
                count.place
                and count.word not in LOOSE
                and count.value >= 3
                and not any(s.station_word == count.word for s in out)
            ):
                out.append(SequenceMention(plural(count.word), count.word, int(count.value), (), span_))
        return tuple(out)


def _order(number: Label) -> tuple[int, str]:
    if isinstance(number, int):
        return number, ""
    digits = "".join(c for c in number if c.isdigit())
    return (int(digits), number) if digits else (0, number)


def find_sequences(
    tokens: Tokens, measures: tuple[Measure, ...], vocabulary: Vocabulary
) -> tuple[SequenceMention, ...]:
    """Sequences of numbered or counted stations, in order of first mention."""
    return Reader(tokens, measures, vocabulary).read() if tokens else ()
