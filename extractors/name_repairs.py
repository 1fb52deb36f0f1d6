"""Things, roles and clauses taken back: "a rinse, no, wait, the phosphate"; "Not a desmut, it's the etch"."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import SequenceMatcher

from extractors.cues import Cue, Cues
from extractors.cuts import best_cut
from extractors.figures_said import words_at
from extractors.mentions import Span
from extractors.opposites import OPPOSITES
from extractors.takebacks import TakeBack, figure_at, figures_before, pause_before, sentence_start, sentence_stop
from extractors.word_classes import Piece, word_set

AT_ALL = word_set("at all really actually either anyway though like here even")
SOFTLY = word_set("just only really actually simply more merely rather")
NOUNLIKE = frozenset({"content", "describes", "name", "number", "unit", "acts"})
LONG = 16
"""Words back to which a thing may be taken back by a later "not"; common practice, no source."""
OPENERS = word_set("it's that's they're this's he's there's it that this")
LAST = frozenset(
    {
        "i should say", "i should have said", "i should've said", "i ought to have said", "i meant to say", "rather",
        "excuse me", "sorry", "i mean",
    }
)  # fmt: skip
SAID_AFTER_LIKE = frozenset({"excuse me", "sorry", "i mean"})
"""Of these the last words must come again: "Epoxy lined, rubber lined, excuse me"."""
FEELINGS = frozenset({"fine", "okay", "ok", "good", "alright", "nothing", "just", "not", "all"})
"""Behind "no, it's" these calm somebody: "No, it's fine"."""
WHOLE = frozenset(
    {"scratch that", "strike that", "scrap that", "forget that", "cancel that", "ignore that", "disregard that"}
)
SAYS = word_set("says said reads shows has gives tells lists")
TELLERS = word_set("they i i'm we he she that that's those you the them it")
VERBS = frozenset({"restate", "correct", "redo", "rephrase", "fix"})
"""Last words of cues that may have an object: "let me restate the piston pump" takes nothing back."""
WITH_OBJECT = frozenset({"i misread", "i miscounted", "i misremembered", "forget that", "ignore that"})
"""Cues that may go on to what was misread or is to be forgotten."""
POSSESSED = word_set("my our his her the this that")
TAKING = frozenset(
    {
        "sorry", "i'm sorry", "no", "nope", "no sorry", "correction", "pardon", "excuse me", "pardon me", "my mistake",
        "beg your pardon", "i beg your pardon", "begging your pardon", "beg pardon", "my bad", "i tell a lie",
        "tell a lie", "apologies", "wrong", "or rather", "i mean", "i should say", "what am i saying", "i'm wrong",
    }
)  # fmt: skip
"""Cues behind which a phrase may stand for the one that closed the sentence before."""
ADDRESSED = word_set(
    "ma'am sir y'all mate mates pal buddy bud boss love hon honey lads lad fellas folks guys man dear madam miss son "
    "everyone everybody friend friends chief kid ladies gentlemen"
)
"""What somebody is called who is told "no" or "sorry"."""
SOUNDING, SOUNDS_LIKE = 6, 0.7
"""Letters of a word that may be mistaken for another, and what share of both must be the same; chosen, no source."""
JOINING = frozenset({"over", "and"})
ENOUGH_SURE, ENOUGH_PAUSED, ENOUGH_LIKELY = 0.8, 0.4, 2.2
"""Marks (cuts.py) a repair needs; chosen on our own narrations and one half of the public set."""


def name_repair(pieces: Sequence[Piece], cue: Cue) -> TakeBack | None:
    """The take-back of words other than figures that this cue makes; None where it makes none."""
    if cue.first == 0 or (cue.phrases == ("well",) and pieces[cue.first - 1].ends):
        return None  # "Well, that's the whole story" begins another matter
    if cue.startled and not _in_one_breath(pieces, cue):
        return None  # "That's the boiler. Lord, it's hot."
    if cue.repair < len(pieces) and pieces[cue.repair].lower in {"he's", "she's", "he", "she"}:
        return None  # "He's gone. Actually no, he's coming back."
    apart = pieces[cue.first - 1].ends and pieces[cue.last - 1].ends and not cue.sure
    if apart and cue.last < len(pieces) and pieces[cue.last].lower in {"there's", "there", "we", "you've"}:
        return None  # "The chute's stainless. Hang on. There's a van." begins another matter
    if cue.phrases[-1].startswith(("never mind", "nevermind")) and pieces[cue.last - 1].ends:
        return None  # "it's got its own tag, never mind that. Air compressor"
    alone = cue.phrases == ("actually",) and pieces[cue.first - 1].ends
    if alone and cue.last < len(pieces) and pieces[cue.last].lower in {"this", "there's", "there", "these", "we"}:
        return None  # "Actually this is a tidy place" begins another matter
    if cue.phrases[-1] in WITH_OBJECT and not pause_before(pieces, cue.last):
        return None  # "I misread my own writing"
    if cue.last < len(pieces) and (answers(pieces, cue) or _goes_on(pieces, cue)):
        return None
    if sum(p.ends for p in pieces[cue.first : cue.last]) > 1:
        return None  # "Yeah? No. No, the forklift": to somebody else
    if cue.last >= len(pieces):
        return name_behind(pieces, cue)
    start = sentence_start(pieces, cue.first - 1, 24)
    if pieces[cue.first - 1].ends and (again := _opened_again(pieces, start, cue)) is not None:
        return again
    if (behind := name_behind(pieces, cue)) is not None:
        return behind
    if (again := _numbered_again(pieces, start, cue) or _said_anew(pieces, start, cue)) is not None:
        return again
    best: tuple[float, int, int] | None = None
    for repair in dict.fromkeys((cue.repair, cue.last)):
        if repair >= len(pieces):
            continue
        stop = sentence_stop(pieces, repair, 16)
        stop = next((k + 1 for k in range(repair, stop) if pieces[k].comma), stop)
        cut, marks = best_cut(pieces, start=start, cue=cue.first, repair=repair, stop=stop)
        enough = ENOUGH_SURE if cue.sure else ENOUGH_PAUSED if _closed(pieces, cut, cue, repair) else ENOUGH_LIKELY
        if marks > enough and _sound(pieces, cut, cue, repair, stop):
            bonus = 0.5 if repair == cue.repair else 0.0
            if best is None or marks + bonus > best[0]:
                best = (marks + bonus, cut, repair)
    if best is None:
        return (
            _noun_for_noun(pieces, start, cue)
            or _phrase_for_phrase(pieces, start, cue)
            or _whole_clause(pieces, start, cue)
        )
    _, cut, repair = best
    stop = sentence_stop(pieces, repair, 12)
    end = phrase_end(pieces, repair, stop)
    heard, read = _differing(pieces, (cut, cue.first), repair, stop)
    if any(all(p.kind not in NOUNLIKE | {"leads"} for p in pieces[slice(*side)]) for side in (heard, read)):
        return None  # an article or a pronoun alone is not taken back
    person = pieces[read[0]].kind == "name" and pieces[read[0]].lower.isalpha()  # "R134a" is none
    if read[1] - read[0] == 1 and person and pieces[heard[0]].kind != "name":
        return None  # "on the skid, what is it, Ron?"
    return TakeBack(((cut, repair),), (cut, cue.first), (repair, max(end, read[1])), heard=heard, read=read)


def _in_one_breath(pieces: Sequence[Piece], cue: Cue) -> bool:
    """Whether a cry stands between two words of the kind that name things, with pauses on both sides."""
    if cue.last >= len(pieces) or not (pieces[cue.first - 1].comma and pieces[cue.last - 1].comma):
        return False
    return pieces[cue.first - 1].kind in {"content", "name"} and pieces[cue.last].kind in {
        "content",
        "points",
        "describes",
    }


def _differing(pieces: Sequence[Piece], taken: Span, repair: int, stop: int) -> tuple[Span, Span]:
    """The words of both sides that differ, each with its article; both whole where they share no beginning."""
    stands_stop = min(stop, repair + taken[1] - taken[0] + 3)
    for k in range(repair, stands_stop):
        if pieces[k].comma or pieces[k].ends:
            stands_stop = k + 1
            break
    if pieces[repair].kind == "points":
        stands_stop = min(stands_stop, phrase_end(pieces, repair, stop))
    old = [p.stem for p in pieces[slice(*taken)]]
    new = [p.stem for p in pieces[repair:stands_stop]]
    if old[:1] != new[:1]:
        return taken, (repair, phrase_end(pieces, repair, stop))
    edits = [e for e in SequenceMatcher(None, old, new, autojunk=False).get_opcodes() if e[0] != "equal"]
    edits = [e for e in edits if e[0] == "replace"] or edits
    if not edits:
        return taken, (repair, phrase_end(pieces, repair, stop))
    _, a, b, c, d = edits[0]
    while b - a > 1 and pieces[taken[0] + a].kind in {"helps", "stands_in"}:
        a += 1  # "is a rinse": a rinse
    if a and pieces[taken[0] + a - 1].kind == "points":
        a, c = a - 1, c - 1
    if repair + c >= len(pieces):
        return taken, (repair, phrase_end(pieces, repair, stop))  # "and no 90's": nothing stands where it differs
    heard = (taken[0] + a, taken[0] + max(b, a + 1))
    return heard, (repair + c, max(phrase_end(pieces, repair + c, repair + max(d, c + 1)), repair + c + 1))


def _opened_again(pieces: Sequence[Piece], start: int, cue: Cue) -> TakeBack | None:
    """ "It's gas fired. No, it's electric": two short sentences that open alike, and the second begins with the cue."""
    if cue.first - start > 6:
        return None
    if pieces[cue.last].lower in {"it's", "that's"}:
        # "The dryer's electric. No, it's gas."
        copula = next((k for k in range(start, cue.first) if _says_is(pieces[k])), None)
        if copula is None or cue.first - copula > 4:
            return None
        start = copula
    elif pieces[start].lower != pieces[cue.last].lower or pieces[start].lower not in OPENERS:
        return None
    repair = cue.last + 1
    if repair >= len(pieces) or pieces[repair].kind not in NOUNLIKE | {"points"}:
        return None
    end = phrase_end(pieces, repair, sentence_stop(pieces, repair, 9))
    if pieces[repair].lower in FEELINGS or start + 1 >= cue.first:
        return None
    return TakeBack(((start + 1, repair),), (start + 1, cue.first), (repair, end))


def struck(pieces: Sequence[Piece], cue: Cue) -> TakeBack | None:
    """ "Station two, washer. Strike that. Station two, furnace.": a short sentence struck, and one that opens alike."""
    if cue.first == 0 or not pieces[cue.first - 1].ends:
        return None
    start = sentence_start(pieces, cue.first - 1, 24)
    if not WHOLE & set(cue.phrases) or cue.first - start > 8 or not pieces[cue.last - 1].ends:
        return None
    same = 0
    while (
        start + same < cue.first - 1
        and cue.last + same < len(pieces)
        and pieces[start + same].lower == pieces[cue.last + same].lower
    ):
        same += 1
    if same < 2:
        return None
    end = phrase_end(pieces, cue.last + same, sentence_stop(pieces, cue.last + same, 9))
    kept, heard = (cue.last + same, end), (start + same, cue.first)
    return TakeBack(((start, cue.last),), heard, kept, heard=heard, read=kept)


def answers(pieces: Sequence[Piece], cue: Cue) -> bool:
    """ "No, no asbestos in the walls": somebody is answered."""
    if pieces[cue.last - 1].lower != "no" or cue.last - cue.first < 2 or not pieces[cue.first - 1].ends:
        return False
    after = pieces[cue.last]
    return not pieces[cue.last - 1].comma and not pieces[cue.last - 1].ends and after.kind in {"content", "describes"}


def _goes_on(pieces: Sequence[Piece], cue: Cue) -> bool:
    """ "Stays with the building. Well, forget that, my sheet says": a clause of its own begins."""
    if not WHOLE & set(cue.phrases) or not pieces[cue.first - 1].ends or pieces[cue.last].lower not in POSSESSED:
        return False
    end = phrase_end(pieces, cue.last, sentence_stop(pieces, cue.last, 9))
    return end < len(pieces) and not pause_before(pieces, end) and pieces[end].lower in SAYS


def _numbered_again(pieces: Sequence[Piece], start: int, cue: Cue) -> TakeBack | None:
    """ "Lot forty two, the infeed belt, no wait, forty two's the filling table": the number again with its name."""
    end = figure_at(pieces, cue.last, len(pieces))
    if end == cue.last:
        return None
    said = [p.lower.removesuffix("'s") for p in pieces[cue.last : end]]
    copula = pieces[end - 1].lower.endswith("'s") or (end < len(pieces) and pieces[end].lower == "is")
    first = end if pieces[end - 1].lower.endswith("'s") else end + 1
    for k in range(cue.first - len(said) - 1, start - 1, -1):
        old = k + len(said)
        if not copula or [p.lower.removesuffix("'s") for p in pieces[k:old]] != said or first >= len(pieces):
            continue
        # "two's the robot, no, two is the loader"
        told = pieces[old - 1].lower.endswith("'s") or pieces[old].lower == "is"
        old += pieces[old].lower == "is"
        if pieces[old - 1].comma or (told and not pieces[cue.last - 1].ends):
            kept = phrase_end(pieces, first, sentence_stop(pieces, first, 9))
            return TakeBack(((old, first),), (old, cue.first), (first, kept)) if old < cue.first else None
    return None


def _said_anew(pieces: Sequence[Piece], start: int, cue: Cue) -> TakeBack | None:
    """ "Belt driven. Correction, it is direct coupled"; "it is a gas oven, no, what I say, it is electric": a phrase,
    then "it is" and another that describes the same and ends there."""
    at = cue.last
    if at + 2 >= len(pieces) or not (cue.sure or "no" in cue.phrases):
        return None
    is_it = pieces[at].lower in {"it's", "that's"}
    if not is_it and not (pieces[at].lower in {"it", "that"} and pieces[at + 1].lower == "is"):
        return None
    new = at + 1 if is_it else at + 2
    if new >= len(pieces) or pieces[new].kind not in NOUNLIKE - {"number"} or pieces[new].lower in FEELINGS:
        return None
    kept = phrase_end(pieces, new, sentence_stop(pieces, new, 9))
    if kept - new > 3 or not (pieces[kept - 1].comma or pieces[kept - 1].ends):
        return None
    old = cue.first - 1
    while old > start and not pieces[old - 1].comma and not _says_is(pieces[old - 1]) and cue.first - old < 4:
        old -= 1
    opened = old == start or pieces[old - 1].comma or _says_is(pieces[old - 1])
    named = all(p.kind in NOUNLIKE - {"number"} or p.kind == "points" for p in pieces[old : cue.first])
    if not opened or not named or {p.stem for p in pieces[old : cue.first]} >= {p.stem for p in pieces[new:kept]}:
        return None
    return TakeBack(((old, new),), (old, cue.first), (new, kept))


def _says_is(piece: Piece) -> bool:
    return piece.lower in {"is", "are", "was"} or piece.lower.endswith("'s")


def name_behind(pieces: Sequence[Piece], cue: Cue) -> TakeBack | None:
    """ "Right hand side, left hand side I should say": the cue comes last, and a pause parts the two phrases."""
    if not LAST & set(cue.phrases) or not (pieces[cue.last - 1].comma or pieces[cue.last - 1].ends):
        return None
    pause = next((k for k in range(cue.first - 1, max(0, cue.first - 6), -1) if pieces[k - 1].pauses), None)
    if pause is None or pieces[pause].kind == "number":
        return None
    start = sentence_start(pieces, pause - 1, 12)
    if pieces[pause - 1].ends and pieces[pause - 1].stem != pieces[cue.first - 1].stem:
        return _like_word(pieces, pause, cue)
    cut, marks = best_cut(pieces, start=start, cue=pause, repair=pause, stop=cue.first)
    alike = pieces[cut].kind == pieces[pause].kind or {pieces[cut].kind, pieces[pause].kind} <= {
        "content",
        "describes",
        "name",
    }
    if SAID_AFTER_LIKE & set(cue.phrases) and pieces[pause - 1].stem != pieces[cue.first - 1].stem:
        return None
    if marks < 0.6 or not alike or abs((pause - cut) - (cue.first - pause)) > 1:
        return None
    return TakeBack(((cut, pause), (cue.first, cue.last)), (cut, pause), (pause, cue.first))


def _like_word(pieces: Sequence[Piece], at: int, cue: Cue) -> TakeBack | None:
    """ "There's the postformer, then the die. Preformer I should say": one word alone, which sounds like one of the
    sentence before or is its opposite."""
    if cue.first - at != 1 or at == 0:
        return None
    new = pieces[at].lower
    for k in range(at - 1, sentence_start(pieces, at - 1, 24) - 1, -1):
        old = pieces[k].lower
        if pieces[k].kind in NOUNLIKE and old != new and (frozenset({old, new}) in OPPOSITES or _alike(old, new)):
            return TakeBack(((k, k + 1), (cue.first, cue.last)), (k, k + 1), (at, at + 1), late=True)
    return None


def _alike(one: str, other: str) -> bool:
    """Whether two long words differ in their first syllable or their last alone."""
    long = min(len(one), len(other)) >= SOUNDING
    return long and SequenceMatcher(None, one, other, autojunk=False).ratio() >= SOUNDS_LIKE


def phrase_end(pieces: Sequence[Piece], i: int, stop: int) -> int:
    """Where the noun phrase, or else the words up to a pause, that begin at i end."""
    at = i
    if at < stop and pieces[at].kind in {"points", "leads"}:
        at += 1
    while at < stop and pieces[at].kind in NOUNLIKE:
        if at > i and pieces[at - 1].kind in {"content", "name"}:
            finite = pieces[at].kind == "acts" and not pieces[at].lower.endswith(("ing", "ed"))
            if finite or pieces[at].kind == "number":
                break  # "the cold saw takes", "the sleever two is"
        at += 1
        if pieces[at - 1].comma or pieces[at - 1].ends:
            return at
    return max(at, i + 1)


def _sound(pieces: Sequence[Piece], cut: int, cue: Cue, repair: int, stop: int) -> bool:
    """Whether what follows the cue can be a repair of what was cut, and is not a new remark."""
    begins, first = pieces[repair], pieces[cut]
    if _parallel(pieces, cut, cue, repair, stop):
        return True
    again = begins.lower == first.lower or (begins.kind in NOUNLIKE and begins.stem == first.stem)
    if begins.kind == "number":
        return again
    if begins.kind in {"stands_in", "helps", "joins"} and not again:
        return False
    if cue.sure and pieces[cue.first - 1].ends and pieces[cue.last - 1].ends and begins.kind == "points" and not again:
        end = phrase_end(pieces, repair, stop)
        return not (end < stop and pieces[end].kind in {"helps", "acts"})  # "Put that down instead. The controls are"
    if cue.sure:
        return not (pieces[cue.last - 1].lower in VERBS and not pieces[cue.last - 1].comma and begins.kind == "points")
    if pieces[cue.last - 1].ends or pieces[cue.first - 1].ends:
        return repair > cue.last and begins.kind == "points" and first.kind == "points"
    if begins.kind == "stands_in":
        pair = pieces[repair + 1 : repair + 2], pieces[cut + 1 : cut + 2]
        return again and bool(pair[0]) and pair[0][0].stem == pair[1][0].stem and cut + 1 < cue.first
    if begins.kind == "points":
        end = phrase_end(pieces, repair, stop)
        clause = end < stop and pieces[end].kind in {"helps", "acts"} and not pieces[end - 1].comma
        nominal = first.kind == "points" or again
        whole = cut == 0 or pieces[cut - 1].ends or pieces[cut - 1].comma
        return nominal and end > repair + 1 and (not clause or whole) and cue.first - cut <= 6
    if again:
        return len(begins.lower) > 2 and cue.first - cut <= 8 and cue.phrases != ("actually",)
    if begins.kind not in NOUNLIKE or first.kind not in NOUNLIKE:
        return False
    return _closed(pieces, cut, cue, repair)


def _parallel(pieces: Sequence[Piece], cut: int, cue: Cue, repair: int, stop: int) -> bool:
    """Whether both sides are as long and end alike, with one word exchanged: "with the tooling. Sorry, without the
    tooling"."""
    n = cue.first - cut
    stands = pieces[repair : repair + n]
    if not 2 <= n <= 6 or len(stands) < n or not (stands[-1].ends or stands[-1].comma):
        return False
    same = sum(a.stem == b.stem for a, b in zip(pieces[cut : cue.first], stands, strict=True))
    return stands[-1].stem == pieces[cue.first - 1].stem and same * 2 >= n and same < n


def _closed(pieces: Sequence[Piece], cut: int, cue: Cue, repair: int) -> bool:
    """Whether one word or two stand for as many, with pauses on both sides of the cue, or "it's" behind it, and a
    pause after them: "aluminium, no, stainless,"."""
    end = phrase_end(pieces, repair, sentence_stop(pieces, repair, 5))
    paused = pieces[cue.first - 1].comma and pieces[cue.last - 1].comma
    closed = end >= len(pieces) or pieces[end - 1].comma or pieces[end - 1].ends
    if pieces[cue.first - 1].comma and {"i mean", "sorry", "rather"} & set(cue.phrases):
        paused = paused or pieces[cut].kind == pieces[repair].kind == "content"  # "fibreglass, I mean polypropylene"
    return (paused or repair > cue.last) and closed and end - repair <= 3 and cue.first - cut <= 3


def _noun_for_noun(pieces: Sequence[Piece], start: int, cue: Cue) -> TakeBack | None:
    """ "There's a heat exchanger. Scratch that, oil separator, I see the pipe": a name that ends its clause, and one
    between pauses behind a cue that strikes."""
    if not WHOLE & set(cue.phrases) or cue.repair >= len(pieces) or pieces[cue.last - 1].ends:
        return None
    stop = sentence_stop(pieces, cue.repair, 7)
    end = phrase_end(pieces, cue.repair, stop)
    closed = pieces[end - 1].comma or pieces[end - 1].ends
    first = cue.first
    while (
        first > start and pieces[first - 1].kind in {"content", "describes", "acts", "name"} and cue.first - first < 4
    ):
        if first < cue.first and pause_before(pieces, first):
            break
        first -= 1
    if not closed or first == cue.first or pieces[cue.repair].kind not in NOUNLIKE | {"points"}:
        return None
    if any(p.kind == "number" for p in pieces[cue.repair : end]) or pieces[end - 1].kind == "unit":
        return None  # "fluid" is a unit too
    if first > start and pieces[first - 1].kind == "points":
        first -= 1
    if {p.stem for p in pieces[first : cue.first]} >= {p.stem for p in pieces[cue.repair : end]}:
        return None
    return TakeBack(((first, cue.repair),), (first, cue.first), (cue.repair, end))


def _phrase_for_phrase(pieces: Sequence[Piece], start: int, cue: Cue) -> TakeBack | None:
    """ "Next is the decanter. Sorry, the separator."; "the frame is cast iron. No, fabricated steel."; "the lift's hand
    pumped, sorry, air over oil": a phrase that closes what was said, and one of its sort between pauses."""
    at = cue.repair
    if at >= len(pieces) or not pieces[cue.last - 1].pauses or not pieces[cue.first - 1].pauses:
        return None
    if not TAKING & set(cue.phrases):
        return None
    new_end = phrase_end(pieces, at, sentence_stop(pieces, at, 7))
    if new_end + 1 < len(pieces) and not pieces[new_end - 1].pauses and pieces[new_end].lower in JOINING:
        new_end = phrase_end(pieces, new_end + 1, sentence_stop(pieces, at, 7))  # "air over oil", "shell and tube"
    old = cue.first
    while old > start and cue.first - old < 4 and pieces[old - 1].kind in NOUNLIKE - {"number", "unit"}:
        if old < cue.first and pieces[old - 1].pauses:
            break
        old -= 1
        if _says_is(pieces[old]):
            old += 1
            break
    if old == cue.first or not pieces[new_end - 1].pauses or not _sort_of(pieces, (at, new_end)):
        return None
    article = old > start and pieces[old - 1].kind == "points"
    if article != (pieces[at].kind == "points") or (article and pieces[old - 1].lower != pieces[at].lower):
        return None
    led = old > start and (_says_is(pieces[old - 1 - article]) or pieces[old - 1].pauses)
    if not article and not led:
        return None
    old -= article
    stems = [{p.stem for p in pieces[a:b] if p.kind in NOUNLIKE} for a, b in ((old, cue.first), (at, new_end))]
    if not stems[0] or stems[0] >= stems[1]:
        return None
    return TakeBack(((old, at),), (old, cue.first), (at, new_end))


def _sort_of(pieces: Sequence[Piece], span: Span) -> bool:
    """Whether words name or describe something, and are no name that somebody is called by."""
    words = pieces[slice(*span)]
    if not 1 <= len(words) <= 5 or any(p.kind in {"number", "unit", "stands_in", "helps"} for p in words):
        return False
    if words[0].lower in {"any", "some", "every"}:
        return False  # "Any leaks? No. Any knocking?"
    called = len(words) == 1 and words[0].kind == "name" and words[0].lower.isalpha()
    if words[-1].lower in ADDRESSED or words[-1].lower == "one":
        return False  # "No, ma'am", "Sorry, the blue one"
    return not called and words[0].lower not in FEELINGS and any(p.kind in NOUNLIKE for p in words)


def _whole_clause(pieces: Sequence[Piece], start: int, cue: Cue) -> TakeBack | None:
    """ "Scratch that" with nothing of the same pattern behind it takes the whole clause before it back."""
    if not WHOLE & set(cue.phrases):
        return None
    at = cue.first - 1
    while at > start and not pieces[at - 1].comma:
        at -= 1
    return TakeBack(((at, cue.last),), (at, cue.first), None)


def denied(pieces: Sequence[Piece], cues: Cues, i: int) -> TakeBack | None:
    """ "A desmut. Not a desmut, excuse me, it's the etch": the thing named, denied, and named anew. i is at "not"."""
    if pieces[i].lower not in {"not", "isn't", "ain't"}:
        return None
    stop = sentence_stop(pieces, i, 16)
    if (figure := _figure_denied(pieces, cues, i, stop)) is not None:
        return figure
    end = min(phrase_end(pieces, i + 1, stop), len(pieces))  # "and that one does not." ends on it
    said = [k for k in range(i + 1, end) if pieces[k].kind in NOUNLIKE and pieces[k].kind != "number"]
    if not said:
        return None
    old = _named_before(pieces, i, [pieces[k].stem for k in said])
    if old is None:
        return None
    at = end
    while at < stop and pieces[at].lower in AT_ALL:
        at += 1  # "that's not a heater at all"
    tag = [p.lower for p in pieces[at : at + 2]]
    if tag in (["is", "it"], ["are", "they"], ["is", "that"]) and pieces[at + 1].comma:
        at += 2  # "it's not a sander, is it, it's the brush cleaner"
    if at < len(pieces) and (hit := cues.at(pieces, at, opening=False)) is not None:
        at = hit[0]
    if at < len(pieces) and pieces[at].lower == "but":
        at += 1
    opened = cues.at(pieces, at, opening=True) if at < len(pieces) else None
    restated = _restated(pieces, at, old[0])
    if opened is None and restated is not None:
        opened = (restated, "", "")  # "six is another rinse. Not a rinse, six is the strip tank"
    if opened is None and (excused := _behind_excuse(pieces, end)) is not None:
        opened = (excused, "", "")
    articles = at < len(pieces) and pieces[i + 1].kind == "points" and pieces[at].lower in {"a", "an", "the"}
    bare = pieces[i - 1].ends and _closed_name(pieces, at) and pieces[i + 1].kind != "points"
    if opened is None and not (
        pieces[end - 1].comma and (articles or bare or at > end) and pieces[at - 1].lower not in AT_ALL
    ):
        return None
    new = opened[0] if opened else at
    while opened and new < len(pieces) and pieces[new].lower in SOFTLY:
        new += 1  # "that's just a static mixer"
    if new >= len(pieces):
        return None
    kept = phrase_end(pieces, new, sentence_stop(pieces, new, 9))
    if [p.stem for p in pieces[new:kept] if p.kind in NOUNLIKE] == [pieces[k].stem for k in said]:
        return None
    return TakeBack(((old[0], new),), old, (new, kept))


def _closed_name(pieces: Sequence[Piece], at: int) -> bool:
    """ "Two agitators. Not agitators, recirculating pumps.": a name alone between pauses."""
    if at >= len(pieces) or pieces[at].kind not in NOUNLIKE - {"number"}:
        return False
    end = phrase_end(pieces, at, sentence_stop(pieces, at, 6))
    return pieces[end - 1].pauses and end - at <= 3 and pieces[end - 1].kind in {"content", "name"}


def _behind_excuse(pieces: Sequence[Piece], end: int) -> int | None:
    """ "Not a separator, they pulled that, it's a filter": behind one clause that tells why, where "it's" ends."""
    if not (pieces[end - 1].comma or pieces[end - 1].ends) or pieces[min(end, len(pieces) - 1)].lower not in TELLERS:
        return None
    for k in range(end + 1, min(len(pieces) - 1, end + 9)):
        if pieces[k].kind == "number" and pieces[k].lower != "one":
            return None
        if pause_before(pieces, k) and pieces[k].lower in {"it's", "that's", "they're"}:
            return k + 1
        if pause_before(pieces, k):
            is_it = [p.lower for p in pieces[k : k + 2]] in (["this", "is"], ["it", "is"], ["that", "is"])
            return k + 2 if is_it else None
    return None


def _restated(pieces: Sequence[Piece], at: int, old: int) -> int | None:
    """Where what stands begins if the clause begins anew with words from before the thing denied, and "is"."""
    first = sentence_start(pieces, old - 1, 12) if old else old
    said = {p.stem for p in pieces[first:old]}
    for k in range(at, min(len(pieces), at + 5)):
        copula = pieces[k].lower in {"is", "are", "was"}
        short = pieces[k].lower.endswith("'s") and pieces[k].stem in said
        if (copula and k > at) or short:
            return k + 1
        if pieces[k].stem not in said or pieces[k].ends:
            return None
    return None


def _figure_denied(pieces: Sequence[Piece], cues: Cues, i: int, stop: int) -> TakeBack | None:
    """ "Ten tonnes an hour, not ten, fifteen tonnes": the same figure right before, denied, and another behind."""
    end = figure_at(pieces, i + 1, stop)
    olds = figures_before(pieces, max(0, i - 8), i)
    if end == i + 1 or not olds:
        return None
    old = olds[-1]
    denied_words = [p.lower for p in pieces[i + 1 : end]]
    if words_at(pieces, old)[: len(denied_words)] != denied_words:
        return None  # "sixteen thousand. Not sixteen, eighteen"
    at = end
    while at < stop and at - end < 4:
        hit = cues.at(pieces, at, opening=True)
        new = hit[0] if hit else at
        new_end = figure_at(pieces, new, len(pieces)) if new < len(pieces) else new
        if new_end > new:
            kept_end = new_end + 1 if new_end < len(pieces) and pieces[new_end].kind in {"unit", "content"} else new_end
            return TakeBack(((old[0], new),), (old[0], i), (new, kept_end), heard=(old[0], min(i, old[1] + 1)))
        if pieces[at].kind not in {"unit", "content", "joins"}:
            return None
        at += 1
    return None


def _phrase_with(pieces: Sequence[Piece], end: int, stems: list[str]) -> int | None:
    """Where the noun phrase that ends at `end` begins, if it holds all of some words."""
    first = end
    while first > 0 and end - first < 4 and pieces[first - 1].kind in {"content", "describes", "acts", "unit"}:
        if first < end and pause_before(pieces, first):
            break
        first -= 1
    return first if set(stems) <= {p.stem for p in pieces[first:end]} else None


def _named_before(pieces: Sequence[Piece], i: int, stems: list[str]) -> Span | None:
    """The phrase that named the same thing right before, with its article; it must have ended the clause."""
    for end in range(i, max(0, i - LONG), -1):
        first = end - len(stems)
        if first < 0 or not (pieces[end - 1].ends or pieces[end - 1].comma or end == i) or i - end > 4:
            continue
        if [p.stem for p in pieces[first:end]] != stems:
            if end == i or (wider := _phrase_with(pieces, end, stems)) is None:
                continue
            first = wider  # "the cartridge filters. That's not the cartridges": a word of the name
        while (
            first > 0 and pieces[first - 1].kind in {"content", "describes", "acts"} and not pause_before(pieces, first)
        ):
            first -= 1  # "an electric heater. That's not a heater"
        if first > 0 and pieces[first - 1].kind == "points":
            first -= 1
        return first, end
    return None
