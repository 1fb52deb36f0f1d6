"""Phrases around the names of things: how many, which ones, of what, and whether they are there at all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache

from extractors.noun_phrase import (
    DEFINITE,
    DENYING,
    DOING,
    FRAMES,
    HOLDERS,
    INDEFINITE,
    NOT,
    PARTLY,
    PLAIN,
    PREPOSITIONS,
    SEEING,
    TAKING,
    VERBAL,
    WANTED,
    WORN,
    Numbers,
    Phrase,
)
from extractors.phrases import Atom, Finder, clause_end, is_plural, key, sentence_bounds, singular, text_of
from extractors.word_classes import Classes
from vocab import Vocabulary

ONLY = frozenset("only just still barely hardly easily really always never".split())
LIMBS = frozenset({"finger", "fingers", "thumbs"})
FILED = frozenset("folder binder file sleeve".split())
PAPERS = frozenset(
    "drawing drawings paper papers sheet sheets certificate certificates manual manuals page pages it's figure figures "
    "paperwork documents invoice record records test report plan plans".split()
)


TURNING = frozenset("the our your this and now then okay so next well right".split())
"""Words before a name at the beginning of a sentence."""
NO_AGENTS = frozenset(
    "however never whatever whenever wherever moreover whoever altogether together rather either neither other another "
    "later sooner earlier better further whether remember consider forever easter winter summer monster number order "
    "matter weather paper letter corner quarter center copper timber rubber silver powder color odor labor honor major "
    "minor prior exterior interior error".split()
)
"""Words with the ending of a machine that name none, or name what one is made of."""
PLACES = PREPOSITIONS | {"there", "here", "outside", "upstairs", "downstairs", "opposite"}


class Nouns:
    """Finds the phrases of one transcript."""

    def __init__(
        self,
        atoms: Sequence[Atom],
        measured: Mapping[int, int],
        numbers: Numbers,
        approximate: set[int],
        vocabulary: Vocabulary,
    ) -> None:
        self.atoms, self.measured, self.numbers, self.approximate = atoms, measured, numbers, approximate
        self.names, self.modifiers, self.places, self.materials = _tables(vocabulary)
        self.classes = _classes(vocabulary)
        self.given = _given(vocabulary)
        self.number_at = {k: start for start, (end, *_) in numbers.items() for k in range(start, end)}

    def all(self) -> list[Phrase]:
        """Every phrase in order of its words."""
        out: list[Phrase] = []
        i = 0
        while i < len(self.atoms):
            found = (
                self.names.at(self.atoms, i)
                if not self.atoms[i].aside and i not in self.measured and not self.verbal(i)
                else None
            )
            if found is not None and self.atoms[i].lower == "a" and self.atoms[i].glue == " ":
                found = None  # "on a frame" is no A-frame
            if found is None:
                opened = self.unknown(i)
                if opened is not None and not (out and out[-1].last > opened.name):
                    out.append(opened)
                    i = opened.last
                else:
                    i += 1
                continue
            start, (end, (name, grade)) = i, found
            while (
                end < len(self.atoms)
                and not self.atoms[end - 1].after
                and self.atoms[end].sentence == self.atoms[i].sentence
                and not self.atoms[end].aside
            ):
                further = self.names.at(self.atoms, end) if end not in self.measured else None
                if further is None:
                    further = self.beyond(end)
                if self.atoms[end].lower in ("number", "no") and end + 1 in self.numbers:
                    break
                if (
                    further is None
                    or self.modal(end)
                    or self.acting(end)
                    or self.lasting(end)
                    or (is_plural(self.atoms[end - 1].lower) and not self.atoms[end - 1].lower.endswith("works"))
                ):
                    break
                start, (end, (name, grade)) = (
                    further[0] - len(key(further[1][0])) if further[0] - end > len(key(further[1][0])) else end,
                    further,
                )
            for s in range(i, start):  # "immersion burner tube" is a burner tube
                whole = self.names.at(self.atoms, s)
                if whole is not None and whole[0] == end:
                    start, (name, grade) = s, whole[1]
                    break
            if (
                start > i
                and self.places.at(self.atoms, i)
                and (i - 1 in self.number_at or (i and self.atoms[i - 1].lower == "single"))
            ):
                phrase = self.around(i + 1, start, end, name, grade)  # "a five stage washer"
            else:
                phrase = self.around(i, start, end, name, grade)
                plural_end = self.counted_beyond(phrase)
                if plural_end is not None:
                    end = plural_end
                    phrase = self.around(i, end - 1, end, singular(self.atoms[end - 1].lower), "open")
            if out and out[-1].first == phrase.first and out[-1].known == "spare" and phrase.grade != "never":
                out.pop()  # "the spare" of "the spare rolls"
            out.append(phrase)
            i = end
        return out

    def verbal(self, i: int) -> bool:
        """Whether the word at i is a verb here: "they drive", "to press", "I saw"."""
        before = self.atoms[i - 1] if i else None
        if self.modal(i):
            return True
        helped = i - 1
        while helped > 0 and self.atoms[helped].lower in ONLY and not self.atoms[helped].after:
            helped -= 1
        if helped >= 0 and not self.atoms[helped].after and self.modal(helped):
            return True
        if self.atoms[i].lower == "still" and (
            before is None or bool(before.after) or self.classes.of(before.lower) not in ("points", "content")
        ):
            return True  # "still works"
        if before is not None and before.lower in ("my", "your", "his", "her") and self.atoms[i].lower in LIMBS:
            return True  # "keep your fingers out of there"
        if self.atoms[i].lower in FILED and i > 1 and self.atoms[i - 2].lower == "in" and before is not None:
            papers = {a.lower for a in self.atoms[max(0, i - 8) : i - 2]} & PAPERS
            if before.lower in ("the", "a", "that", "this") and papers:
                return True  # "the drawing in the folder"
        if self.lasting(i):
            return True
        if before is None or before.after or before.sentence != self.atoms[i].sentence:
            return False
        if before.lower == "to":
            return not (i + 1 < len(self.atoms) and is_plural(self.atoms[i].lower)) and len(self.names_at(i)) < 2
        return before.lower in VERBAL

    def lasting(self, i: int) -> bool:
        """Whether "still" behind a name is no still: "the spare pump still in its crate", "the conveyor still runs"."""
        if i == 0 or i + 1 >= len(self.atoms) or self.atoms[i].lower != "still" or self.atoms[i].after:
            return False
        named = self.classes.of(self.atoms[i - 1].lower) == "content" and not self.atoms[i - 1].after
        return named and self.classes.of(self.atoms[i + 1].lower) in ("leads", "acts", "helps", "describes")

    def several(self, k: int) -> bool:
        """Whether a number above one stands before the words that end at k: "a dozen filter bags" bags nothing."""
        for j in range(k - 2, max(-1, k - 6), -1):
            if j in self.number_at:
                return self.atoms[j].lower not in ("one", "a", "1")
            if self.atoms[j].after or self.classes.of(self.atoms[j].lower) not in ("content", "describes"):
                return False
        return False

    def acting(self, k: int) -> bool:
        """Whether a plural behind a singular name is its verb: "the pump makes 20", "the cooler stands below"."""
        lower = self.atoms[k].lower
        if lower in ("stand", "work", "run", "sit", "drain", "vent", "lift", "feed", "drive") and k + 1 < len(
            self.atoms
        ):
            return not self.atoms[k].after and self.classes.of(self.atoms[k + 1].lower) == "leads"
        if not is_plural(lower) or k + 1 >= len(self.atoms) or self.atoms[k].after or self.several(k):
            return False
        if self.classes.of(lower) != "acts" and singular(lower) not in DOING | {"make", "stand", "work", "mark"}:
            return False
        return self.classes.of(self.atoms[k + 1].lower) in (
            "number",
            "points",
            "leads",
            "content",
            "describes",
            "stands_in",
        )

    def beyond(self, k: int) -> tuple[int, tuple[str, str]] | None:
        """A name behind one or two words that no table has: "rack zinc plating line" is one phrase."""
        for step in (1, 2):
            if (
                k + step >= len(self.atoms)
                or self.atoms[k + step - 1].after
                or k + step - 1 in self.number_at
                or k + step - 1 in self.measured
            ):
                return None
            if (
                self.classes.of(self.atoms[k + step - 1].lower) not in ("content", "name")
                and not self.atoms[k + step - 1].lower.endswith("ing")
            ) or self.atoms[k + step - 1].lower.endswith("ly"):
                return None
            found = self.names.at(self.atoms, k + step)
            if found is not None:
                return found
        return None

    def counted_beyond(self, phrase: Phrase) -> int | None:
        """End of a plural right behind a singular name that a number counts: "four belt scrapers" are scrapers."""
        if phrase.plural or phrase.grade == "never" or phrase.holders or not 0 <= phrase.last - 1 < len(self.atoms):
            return None
        before = phrase.name - 1
        number = self.numbers.get(self.number_at.get(before, -1))
        if number is None or self.atoms[before].after or number[2] is not None:
            return None
        if number[3] not in ("cardinal", "digits"):
            return None
        k = phrase.last
        if k >= len(self.atoms) or self.atoms[k - 1].after or self.atoms[k].sentence != self.atoms[k - 1].sentence:
            return None
        lower = self.atoms[k].lower
        plain = self.classes.of(lower) == "content" and lower.isalpha() and k not in self.measured
        if not plain or not is_plural(lower) or self.atoms[k].aside or number[1] < 2 or number[1] != int(number[1]):
            return None
        return k + 1

    def modal(self, k: int) -> bool:
        """Whether "can" helps a verb: "the press can go", "the washer can be had"."""
        if self.atoms[k].lower not in ("can", "will") or k + 1 >= len(self.atoms) or self.atoms[k].after:
            return False
        at = k + 1
        while at + 1 < len(self.atoms) and self.atoms[at].lower in ONLY and not self.atoms[at].after:
            at += 1  # "a man can only lift so many"
        behind = self.atoms[at].lower
        ahead = self.atoms[at + 1].lower if at + 1 < len(self.atoms) and not self.atoms[at].after else ""
        if at > k + 1 or self.classes.of(ahead) in ("number", "points") or ahead in ("up", "so", "a", "an"):
            return True  # "the hoist can lift five tons"
        return behind in ("be", "also", "all", "have", "not") or self.classes.of(behind) == "acts"

    def speaks_of(self, k: int) -> bool:
        """Whether the "neither", "nor" or "not" at k denies what happens to a thing, and not the thing."""
        first, _ = sentence_bounds(self.atoms, k)
        if self.atoms[k].lower == "not":
            return k > first and self.atoms[k - 1].lower == "but"  # "it goes, but not the tank"
        return self.atoms[k].lower in ("neither", "nor") and any(
            a.lower == "neither" for a in self.atoms[first : first + 2]
        )

    def names_at(self, i: int) -> tuple[str, ...]:
        found = self.names.at(self.atoms, i)
        return tuple(a.lower for a in self.atoms[i : found[0]]) if found else ()

    def around(self, first: int, head: int, end: int, name: str, grade: str) -> Phrase:
        """The phrase around a name whose words begin at first and whose head begins at head."""
        atoms = self.atoms
        k, name_first = first - 1, first
        count: int | None = None
        article, condition, negated, measured, approximate, holders = "", None, False, False, False, ""
        modifiers = list(range(first, head))
        extra: list[int] = []
        while k >= 0 and not atoms[k].after and atoms[k].sentence == atoms[first].sentence and first - k <= 14:
            lower = atoms[k].lower
            if k in self.measured:
                measured = True
                k = self.measured[k] - 1
                if k >= 0 and atoms[k].lower in ("a", "an", "the"):
                    continue
                continue
            if k in self.number_at:
                start = self.number_at[k]
                _, value, top, form = self.numbers[start]
                if form == "ordinal":
                    k = start - 1
                    continue
                if form == "fraction" or value != int(value) or value < 1:
                    k = start - 1
                    measured = True
                    break
                if self.places.at(atoms, start - 1) and start and not atoms[start - 1].after and value < 100:
                    k = start - 2
                    break
                if start and atoms[start - 1].lower in ("number", "no") and not atoms[start - 1].after:
                    k = start - 2  # "the number two molding line"
                    continue
                count = int(value) if top is None else None
                approximate = start in self.approximate or top is not None
                name_first = min([name_first, *extra]) if extra else name_first
                k = start - 1
                if k >= 0 and (atoms[k].lower in DEFINITE or atoms[k].lower in ("a", "an")) and not atoms[k].after:
                    article = atoms[k].lower
                    k -= 1
                break
            if lower == "of" and k > 0 and not holders:
                before = singular(atoms[k - 1].lower)
                if k - 1 in self.number_at:
                    k -= 1
                    continue
                if before in ("pair", "couple"):
                    count = 2
                    start = k - 2
                    if start in self.number_at:
                        count = 2 * int(self.numbers[self.number_at[start]][1])
                        start = self.number_at[start] - 1
                    elif start >= 0 and atoms[start].lower in ("a", "the", "another"):
                        start -= 1
                    k = start
                    break
                if before in PARTLY:
                    negated = True
                    break
                if before in HOLDERS:
                    holders = f"{atoms[k - 1].lower} of "
                    k -= 2
                    continue
                break
            if lower in NOT and not (lower == "no" and atoms[k].after):
                # "neither the compressor nor the receiver is included" speaks of things that are there
                negated = not self.speaks_of(k)
                break
            if lower in DEFINITE or lower in INDEFINITE:
                article = lower
                if lower == "single":
                    count = 1
                k -= 1
                if (
                    lower in ("own", "single", "all", "both", "each")
                    and k >= 0
                    and not atoms[k].after
                    and atoms[k].lower in (*DEFINITE, "a")
                ):
                    article = atoms[k].lower
                    k -= 1
                break
            if lower in ("uh", "um", "er", "erm", "like"):
                k -= 1
                continue
            place = self.places.at(atoms, k)
            if (
                place is not None
                and k > 0
                and not is_plural(lower)
                and not atoms[k - 1].after
                and (k - 1 in self.number_at or atoms[k - 1].lower in ("single", "double", "multi", "two", "three"))
            ):
                k = self.number_at.get(k - 1, k - 1) - 1  # "a five stage washer", "single stage press"
                continue
            if lower in PLAIN or lower in WORN:
                condition = condition or WORN.get(lower)
                k -= 1
                continue
            kind = self.classes.of(lower)
            known = lower in self.modifiers
            if not known and (
                kind in ("leads", "helps", "stands_in", "joins", "asks", "fills", "answers", "points")
                or lower.startswith("'")
            ):
                break
            if kind == "acts" and not known and not lower.endswith(("ing", "ed")):
                break
            if not known and lower.endswith("ly"):
                k -= 1
                continue
            if len(extra) + len(modifiers) >= 4:
                break
            if is_plural(lower) and self.names.at(atoms, k) is not None:
                break
            extra.append(k)
            k -= 1
        led = (
            k >= 0
            and not atoms[k].after
            and atoms[k].sentence == atoms[first].sentence
            and atoms[k].lower in PREPOSITIONS
            # "next the filleting machine" says what comes next
            and not (atoms[k].lower == "next" and (k == 0 or atoms[k - 1].sentence != atoms[k].sentence))
        )
        if not negated and k >= 0 and not atoms[k].after and atoms[k].sentence == atoms[first].sentence:
            denied = atoms[k].lower in NOT and not self.speaks_of(k)
            negated = denied or (atoms[k].lower in WANTED and article in ("a", "an", ""))
            if condition == "new" and atoms[k].lower in TAKING:
                condition = None  # "it takes a new rack every six minutes"
        if (
            article in ("a", "an")
            and k >= 0
            and not atoms[k].after
            and (k in self.measured or self.classes.of(atoms[k].lower) == "unit")
        ):
            negated = True  # "seventy five pounds a hook" is for each
        unseen = [a.lower for a in atoms[max(0, k - 2) : k + 1]]
        if article in ("a", "an", "any") and unseen[-1:] and unseen[-1] in SEEING and set(unseen[:-1]) & DENYING:
            negated = True  # "I did not see an oil cooler"
        if article == "a" and atoms[min([first, *extra])].lower in ("bit", "touch", "tad") and first < head:
            negated = True  # "reading a bit light"
        bare = not article and count is None and not extra and end - first == 1
        if bare and singular(atoms[first].lower) in DOING and end < len(atoms) and not atoms[end - 1].after:
            negated = negated or self.classes.of(atoms[end].lower) in ("leads", "points", "stands_in")
        if not article and count is None and not measured and not self._starts(k):
            kept: list[int] = []
            for e in extra:
                if atoms[e].lower not in self.modifiers:
                    break
                kept.append(e)
            extra = kept
        name_first = min([name_first, *extra])
        if (
            count is not None
            and count > 1
            and not is_plural(atoms[end - 1].lower)
            and name_first < head
            and not holders
        ):
            count, approximate = None, False  # "a two saw trimmer": the number is of the saws
        phrase_first = max(0, k + 1)
        said = [
            n
            for n in range(name_first, end)
            if (
                atoms[n].lower not in PLAIN
                and atoms[n].lower not in WORN
                and n not in self.measured
                and n not in self.number_at
            )
            or n >= first
        ]
        text = " ".join(
            "".join(
                atoms[n].said if atoms[n].said.isupper() and len(atoms[n].said) > 1 else atoms[n].said.lower()
                for n in (m,)
            )
            for m in said
        )
        text = _joined(atoms, said) if said else text
        material = {n for n in said if self.materials.at(atoms, n)}
        mods = tuple(atoms[n].lower for n in said if n < head and n not in material)
        indexed = (
            end in self.numbers
            and not atoms[end - 1].after
            and self.numbers[end][3] != "ordinal"
            and end not in self.measured
            and self.numbers[end][1] < 400
        )
        if end + 1 in self.numbers and atoms[end].lower in ("number", "no") and not atoms[end - 1].after:
            indexed = True
        if (
            end < len(atoms)
            and len(atoms[end].said) == 1
            and atoms[end].said.isupper()
            and atoms[end].said != "I"
            and not atoms[end - 1].after
        ):
            indexed = True
        return Phrase(
            first=phrase_first,
            name=name_first,
            head=head,
            last=end,
            grade=grade,
            known=name,
            text=holders + text,
            count=count,
            approximate=approximate,
            article=article,
            modifiers=mods,
            condition=condition,
            negated=negated,
            led=led,
            indexed=indexed,
            plural=is_plural(atoms[end - 1].lower),
            measured=measured,
            holders=holders,
        )

    def _starts(self, k: int) -> bool:
        """Whether the atom behind k begins a clause."""
        return (
            k < 0
            or bool(self.atoms[k].after)
            or self.atoms[k].sentence != self.atoms[k + 1].sentence
            or self.atoms[k].lower
            in ("and", "so", "but", "okay", "then", "or", "with", "plus", "of", "on", "for", "now", "also")
        )

    def unknown(self, i: int) -> Phrase | None:
        """A noun that no table has, where people name things: "here's the …", "there's three …", "this is your …"."""
        atoms = self.atoms
        if (turned_to := self.turned_to(i)) is not None:
            return turned_to
        form = next((f for f in FRAMES if tuple(a.lower for a in atoms[i : i + len(f)]) == f), None)
        if form is None or atoms[i].aside or any(a.after for a in atoms[i : i + len(form)]):
            return None
        k = i + len(form)
        while k < len(atoms) and atoms[k].lower in (
            "also",
            "just",
            "now",
            "here",
            "uh",
            "um",
            "basically",
            "actually",
            "then",
            "like",
        ):
            k += 1
        if k >= len(atoms) or atoms[k].sentence != atoms[i].sentence:
            return None
        count, start, article, approximate = None, k, "", False
        if k in self.numbers and k not in self.measured:
            stop, value, top, form_ = self.numbers[k]
            if (
                form_ in ("ordinal", "fraction", "year", "decimal")
                or value != int(value)
                or not 1 <= value <= 2000
                or top is not None
            ):
                return None
            count, approximate, k = int(value), k in self.approximate, stop
        elif atoms[k].lower in ("the", "your", "our", "a", "an", "another", "this"):
            article = atoms[k].lower
            k += 1
        else:
            return None
        first = k
        while k < len(atoms) and k - first < 4 and atoms[k].sentence == atoms[i].sentence:
            lower = atoms[k].lower
            if self.names.at(atoms, k) or k in self.measured or k in self.numbers or atoms[k].aside:
                return None
            kind = self.classes.of(lower)
            if (
                kind in ("leads", "helps", "stands_in", "joins", "asks", "fills", "answers", "points")
                or lower.startswith("'")
                or (kind == "acts" and k > first and not lower.endswith("ing"))
            ):
                break
            k += 1
            if atoms[k - 1].after:
                break
        kept = [n for n in range(first, k) if atoms[n].lower not in PLAIN]
        if not kept or kept[-1] != k - 1:
            return None
        head = atoms[k - 1].lower
        stem = singular(head)
        agent = len(stem) > 5 and _agent(stem)
        if (
            self.classes.of(head) in ("describes", "acts")
            or head in ("yours", "mine", "ours", "theirs", "hers", "his")
            or head.endswith(
                ("ly", "ness", "ity", "ment", "tion", "ance", "ed", "ing", "day", "ous", "ful", "able", "ible", "ish")
            )
            or len(stem) < 3
        ):
            return None
        strong = form[0] not in ("with", "has", "have", "got") and form not in (
            ("that", "'s"),
            ("then",),
            ("and", "then"),
            ("i", "see"),
            ("it", "has"),
            ("plus",),
        )
        if form[0] in ("with", "has", "have", "got") and (count is None or count < 2):
            return None
        shown = (
            article in ("the", "your", "our", "this")
            and strong
            and form[0] in ("here", "this", "these", "over", "next", "you", "we")
        )
        counted = count is not None and count >= 2 and is_plural(head)
        if not (agent or shown or counted):
            return None
        text = text_of(atoms, kept[0], k)
        return Phrase(
            start,
            kept[0],
            k - 1,
            k,
            "open",
            stem,
            text,
            count,
            approximate,
            article,
            tuple(atoms[n].lower for n in kept[:-1]),
            None,
            False,
            False,
            False,
            is_plural(head),
            False,
            "",
        )

    def turned_to(self, i: int) -> Phrase | None:
        """A machine that no table has, by its ending, where a sentence turns to it: "The cuber's at the end"."""
        atoms = self.atoms
        first, last = sentence_bounds(atoms, i)
        k = first
        while k < last and atoms[k].lower in TURNING and not atoms[k].after:
            k += 1
        start = k
        if i != start or atoms[i].aside:
            return None
        while k < last and k - start < 3 and not atoms[k].aside and k not in self.numbers and k not in self.measured:
            if self.names.at(atoms, k) or self.classes.of(atoms[k].lower) not in ("content", "name"):
                break
            k += 1
            if atoms[k - 1].after:
                break
        if k == start or k + 1 >= last or not _agent(singular(atoms[k - 1].lower)) or atoms[k - 1].lower in NO_AGENTS:
            return None
        if atoms[k - 1].lower in self.given:
            return None  # "Peter's over there"
        sized = atoms[k - 1].after == "," and (k in self.measured or k in self.number_at)
        there = not atoms[k - 1].after and atoms[k].lower in ("'s", "is") and atoms[k + 1].lower in PLACES
        if not (sized or there):
            return None
        head, text = atoms[k - 1].lower, text_of(atoms, start, k)
        modifiers = tuple(a.lower for a in atoms[start : k - 1])
        return Phrase(first, start, k - 1, k, "open", singular(head), text, modifiers=modifiers, plural=is_plural(head))

    def clause_end(self, i: int) -> int:
        return clause_end(self.atoms, i)


def _agent(stem: str) -> bool:
    """Whether a noun has an ending that machines have: "cuber", "agitator", "conveyor"."""
    return len(stem) > 4 and stem.endswith(("er", "or", "veyor")) and not stem.endswith(("eer", "ower"))


def _joined(atoms: Sequence[Atom], said: Sequence[int]) -> str:
    out = []
    for n, m in enumerate(said):
        a = atoms[m]
        word = a.said if a.said.isupper() and len(a.said) > 1 else a.said.lower()
        following = said[n + 1] if n + 1 < len(said) else None
        out.append(word + ("" if following is None else a.glue if following == m + 1 else " "))
    return "".join(out)


@lru_cache(maxsize=16)
def _tables(vocabulary: Vocabulary) -> tuple[Finder[tuple[str, str]], frozenset[str], Finder[str], Finder[str]]:
    names = [(name, (name, row["grade"])) for row in vocabulary["components"] for name in row["names"]]
    known = {name for name, _ in names}
    names += [(n, (n, "whole")) for row in vocabulary["wholes"] for n in row["names"] if n not in known]
    modifiers = {part for name, (_, grade) in names if grade in ("machine", "part", "site") for part in key(name)[:-1]}
    modifiers |= {part for row in vocabulary["made_of"] for form in row["spoken"] for part in key(form)}
    modifiers |= {
        "gas",
        "spare",
        "hydraulic",
        "pneumatic",
        "electric",
        "manual",
        "automatic",
        "main",
        "auxiliary",
        "overhead",
        "portable",
        "mobile",
        "vertical",
        "horizontal",
        "inclined",
        "rotary",
        "oil",
        "air",
        "water",
        "product",
        "twin",
        "double",
        "low",
        "high",
        "pressure",
    }
    places = [(n, n) for r in vocabulary["stations"] if r["use"] in ("place", "vessel", "machine") for n in r["names"]]
    materials = [(form, row["is"]) for row in vocabulary["made_of"] for form in row["spoken"]]
    modifiers -= {"one", "and", "of", "the", "in", "up", "off", "after", "on", "to"}
    return Finder(names), frozenset(modifiers), Finder(places), Finder(materials, nouns=False)


@lru_cache(maxsize=16)
def _classes(vocabulary: Vocabulary) -> Classes:
    return Classes(vocabulary)


@lru_cache(maxsize=16)
def _given(vocabulary: Vocabulary) -> frozenset[str]:
    return frozenset(name.lower() for row in vocabulary["given_names"] for name in row["names"])
