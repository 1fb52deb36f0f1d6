"""Words that take something back, as runs: "or, no wait, make that" is one cue."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from extractors.word_classes import Piece, word_set
from vocab import Vocabulary

BREATH = word_set("uh um er erm uhm umm ack ah oh eh well yeah yes like instead")
WHOLE_THING = frozenset({"scratch that", "strike that", "cut that", "rub that out", "scrub that"})
CORRECTED = word_set("factor colour color error edge web tension voltage course track ph")
"""What machines correct."""
DATED = frozenset({"year", "years", "hours", "date"})
NOT_WRONG = word_set("the a nothing something something's anything what's go goes gone going went")
PAUSED = frozenset(
    {
        "hang about", "hold up", "come on", "bear with me", "steady on", "easy now", "wait up", "take two", "wake up",
        "start over", "start again", "one more time", "get it right", "not that", "not that one", "negative",
        "my tongue", "that can't be",
    }
)  # fmt: skip
"""Cues that are said of other things within a sentence."""
HOLDERS = word_set("they we you i to can will it that which who not bolts clamps both and")
REACTING = word_set(
    "shakes shaking laughs laughing coughs coughing frowns frowning tuts tutting winces grins grinning whistles waves "
    "waving objects protests corrects shouts shouting pulls pokes nudges"
)
REACTED = 8
"""Words of a clause in which somebody reacts; chosen, no source."""
WONDERING = word_set("what which")
ECHO, CLAUSE = 3, 6
"""Words of an echo, and back from a cue in which its words were said; chosen, no source."""
LEAST_AFTER_NO = word_set("asks points leads stands_in number helps joins name")


@dataclass(frozen=True, slots=True)
class Cue:
    """A run of cue words: indices first to last (excluded), and repair, where the words that stand begin."""

    first: int
    last: int
    repair: int
    sure: bool
    phrases: tuple[str, ...]
    startled: bool = False
    """Whether it is nothing but a cry, as people also give of other things."""


class Cues:
    """The cue phrases of one vocabulary, looked up by their first two words: hundreds begin with "i"."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self._by_head: dict[tuple[str, ...], list[tuple[tuple[str, ...], str]]] = {}
        for row in vocabulary["takebacks"]:
            for form in row["spoken"]:
                words = tuple(form.split())
                self._by_head.setdefault(words[:2], []).append((words, row["strength"]))
        for forms in self._by_head.values():
            forms.sort(key=lambda f: -len(f[0]))

    def at(self, pieces: Sequence[Piece], i: int, *, opening: bool) -> tuple[int, str, str] | None:
        """The longest phrase that starts at i: where it ends, its strength, itself."""
        head = tuple(p.lower for p in pieces[i : i + 2])
        longer = self._by_head.get(head, ()) if len(head) == 2 else ()
        for words, strength in (*longer, *self._by_head.get(head[:1], ())):
            if (strength == "opening") != opening:
                continue
            end = i + len(words)
            if end <= len(pieces) and all(pieces[i + k].lower == w for k, w in enumerate(words)):
                return end, strength, " ".join(words)
        return None

    def find(self, pieces: Sequence[Piece]) -> list[Cue]:
        """All runs, in order, whether or not something is taken back by them."""
        found = []
        i = 0
        while i < len(pieces):
            cue = self._run(pieces, i)
            if cue is None:
                i += 1
            else:
                found.append(cue)
                i = max(cue.last, i + 1)
        return found

    def _run(self, pieces: Sequence[Piece], i: int) -> Cue | None:
        first = at = i
        if pieces[at].lower == "or":
            at += 1
        while at < len(pieces) and pieces[at].lower in BREATH and self.at(pieces, at, opening=False) is None:
            at += 1
        sure = at > first and pieces[first].lower == "or"
        phrases = []
        startled = True
        while at < len(pieces):
            hit = self.at(pieces, at, opening=False)
            if (
                hit is not None
                and hit[2] == "well"
                and (pieces[hit[0] - 1].ends or (at and pieces[at - 1].lower == "as"))
            ):
                break  # "when they were going well. No rush jobs"; "corn as well, oh, what am I saying"
            if hit is not None:
                at, strength, phrase = hit
                sure = sure or strength == "sure"
                startled = startled and strength == "startled"
                phrases.append(phrase)
            elif phrases and pieces[at].lower in BREATH:
                at += 1
            elif at == first and (end := _reaction(pieces, at)) > at:
                at = end
                phrases.append("somebody reacts")
            else:
                break
        if not phrases or (
            len(phrases) == 1 and not self._means_it(pieces, at - len(phrases[0].split()), at, phrases[0])
        ):
            return None
        if phrases[-1] == "i misspoke" and at < len(pieces) and pieces[at].lower in {"on", "about"}:
            return None  # late_repairs.py
        if phrases[-1].endswith("wait") and at < len(pieces) and pieces[at].lower in {"for", "until", "till"}:
            return None
        sure = (sure or len(phrases) > 1) and not startled
        at = _past_echo(pieces, first, at)
        repair = at
        while repair < len(pieces):
            hit = self.at(pieces, repair, opening=True)
            if hit is None:
                break
            repair = hit[0]
        return Cue(first, at, repair, sure, tuple(phrases), startled)

    @staticmethod
    def _means_it(pieces: Sequence[Piece], first: int, last: int, phrase: str) -> bool:
        """Whether a cue of many uses is used as a cue here, by its neighbours."""
        before = pieces[first - 1] if first else None
        after = pieces[last] if last < len(pieces) else None
        if phrase in WHOLE_THING and after is not None and after.lower in {"off", "from", "out"}:
            return False  # "it can't move, so scratch that off"
        if phrase == "correction" and before is not None and before.lower in CORRECTED and not before.comma:
            return False  # "the power factor correction, 150 kilovar"
        if phrase == "wrong" and before is not None and before.lower in NOT_WRONG:
            return False  # "I'm looking at the wrong gauge"
        if phrase == "wrong" and after is not None and after.lower in {"with", "in", "about"}:
            return False  # "something's wrong with the fan"
        if phrase in PAUSED and before is not None and not (before.ends or before.comma):
            return False  # "the birds hang about four minutes"
        if (
            phrase in {"hang on", "hold on"}
            and before is not None
            and not (before.ends or before.comma or pieces[last - 1].ends or pieces[last - 1].comma)
            and before.kind in {"content", "name"}
            and after is not None
            and after.kind == "points"
        ):
            return False  # "the numbers hang on the wall"
        if (
            phrase.startswith(("hold", "hang"))
            and before is not None
            and before.lower in HOLDERS
            and not (before.ends or before.comma)
        ):
            return False  # "and they hold it at 95 degrees"
        if phrase == "no":
            if before is not None and before.lower in {"and", "so"} and pieces[last - 1].comma:
                return False  # "a weighbridge, and no, that's the yard's"
            if after is None or after.lower in {"longer", "more", "matter", "doubt"}:
                return False
            counted = after.kind == "unit" and (after.lower in DATED or not (after.ends or after.comma))
            paused_behind = pieces[last - 1].comma or pieces[last - 1].ends
            opens = before is not None and before.ends and not paused_behind
            if opens and (counted or after.kind in {"content", "describes"}):
                return False  # "Thirty kilowatt. No brake pads left."
            paused = before is not None and before.comma and not pieces[last - 1].comma
            if paused and after.kind in {"content", "describes"} and not (before and before.ends):
                return False  # "no crystals"
            if after.lower == "other" and before is not None and before.lower in {"that", "which", "where", "and"}:
                return False
            if after.lower == "one" and last + 1 < len(pieces) and pieces[last + 1].kind in {"helps", "acts"}:
                return False
            # "has no leaks", "with no heater": no belongs to the noun behind it
            leans = (
                before is None
                or before.kind in {"helps", "leads", "acts", "asks"}
                or before.lower in {"there's", "there"}
            )
            return not (
                leans
                and after.kind not in LEAST_AFTER_NO
                and not (after.kind == "acts" and not after.lower.endswith("ing"))
                and not (before and before.comma)
            )
        if (
            phrase == "well"
            and before is not None
            and (before.kind == "acts" or before.lower in {"as", "very", "pretty", "works", "is", "the"})
        ):
            return False
        if phrase == "rather" and pieces[last - 1].ends:
            return before is not None and before.kind in {"content", "name", "unit", "describes"}
        if phrase == "rather" and (
            after is None
            or after.lower == "than"
            or "rather" in {p.lower for p in pieces[max(0, first - 3) : first]}
            or (after.kind == "describes" and (before is None or before.lower != "or"))
            or (
                before
                and before.lower in {"would", "i'd", "a", "we'd", "you'd", "is", "are", "the"}
                and not before.comma
                and after.kind in {"describes", "content", "acts"}
            )
        ):
            return False
        if (
            phrase in {"wait", "actually"}
            and before is not None
            and before.lower
            in {"to", "can", "can't", "must", "the", "a", "you", "did", "does", "do", "is", "was", "are"}
        ):
            return after is not None and after.kind in {"asks"}
        if phrase == "wait" and after is not None and after.lower in {"for", "until", "till", "time", "times"}:
            return False
        if phrase == "make it" or phrase == "call it":
            return (
                before is not None
                and (after is not None and after.kind == "number")
                and before.lower not in {"to", "you", "they", "we", "i"}
            )
        if phrase == "make that":
            return before is None or before.lower not in {
                "to",
                "you",
                "they",
                "we",
                "i",
                "can",
                "could",
                "did",
                "does",
                "do",
            }
        if phrase == "actually":
            return before is not None and before.kind not in {"asks"}
        return before is not None


def _reaction(pieces: Sequence[Piece], i: int) -> int:
    """Where a clause ends in which somebody beside the speaker shows that he said wrong: "diameter of 83, Marek shakes
    the head, 73 millimetres"; i where none begins there."""
    if not i or not pieces[i - 1].pauses:
        return i
    end = next((k + 1 for k in range(i, min(len(pieces), i + REACTED)) if pieces[k].pauses), i)
    clause = [p.lower for p in pieces[i:end]]
    verb = next((k for k, w in enumerate(clause) if w in REACTING), 0)
    somebody = (
        pieces[i].kind == "name" or clause[:1] == ["the"] or clause[0] in {"he", "she", "he's", "she's"}
        if clause
        else False
    )
    figures = any(p.kind == "number" for p in pieces[i:end])
    return end if somebody and 1 <= verb <= 3 and not figures else i


def _past_echo(pieces: Sequence[Piece], first: int, at: int) -> int:
    """Where a cue ends that goes on with what was wrong, said once more in wonder: "shoot, quarts, 300 gallons"; "no,
    what stone, steel mesh"."""
    asked = at < len(pieces) and pieces[at].lower in WONDERING
    begin = at + asked
    end = next((k + 1 for k in range(begin, min(len(pieces), begin + ECHO)) if pieces[k].pauses), begin)
    echo = pieces[begin:end]
    if not echo or end >= len(pieces) or any(p.kind == "number" for p in echo):
        return at
    if not asked and (len(echo) > 1 or echo[0].kind != "unit" or pieces[end].kind != "number"):
        return at
    said = {p.stem for p in pieces[max(0, first - CLAUSE) : first]}
    return end if all(p.stem in said for p in echo) else at
