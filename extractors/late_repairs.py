"""Corrections of what was said sentences before: "I said six pumps, it's five", "it's twenty, not fifteen"."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from extractors.cues import Cues
from extractors.figures_said import with_unit, words_at
from extractors.mentions import Span
from extractors.takebacks import TakeBack, figure_at, figures_before, sentence_start, sentence_stop
from extractors.word_classes import Piece, word_set

NEGATED = word_set("isn't aren't wasn't weren't doesn't don't didn't hasn't haven't ain't")
SAYING = word_set(
    "said say told called gave mentioned put quoted wrote counted guessed thought had stated reported recorded noted "
    "saying telling calling claimed declared entered announced listed"
)
SPEAKERS = frozenset({"i", "we", "i've", "i'd", "i'll"})
CLIPPED = frozenset({"said", "told", "counted", "called", "gave"})
"""Verbs that open a sentence where "I" is left out."""
BETWEEN_SAYING = word_set(
    "you it them that before earlier there was were had have has about we the think just first a an is are "
    "already wrongly of this at up front to down"
)
STRIKING = frozenset({"forget", "ignore", "scratch", "disregard", "drop", "delete", "strike"})
SUPPOSING = frozenset({"should", "would", "must", "could", "can"})
"""Behind "I" these make a cue ("I should say") or a guess of it, no report of what was said."""
SOFTENING = word_set(
    "really actually only just more about closer nearer probably maybe written stamped printed marked given shown rated"
)
SHORTLY = 40
"""Words back to a figure denied without its unit; chosen, no source."""
MINUTES = 1200
"""Words of some eight minutes, in which what is taken back was said."""
PASSING = word_set(
    "at start beginning top first "
    "before earlier that there you and but so no okay sorry now already just then of course well i the"
)
"""Words that may stand between a name that was called wrong and the word that turns to what stands."""
STANDS = frozenset(
    {
        "it's",
        "it is",
        "that's",
        "that is",
        "this is",
        "they're",
        "should be",
        "it should be",
        "that should be",
        "those are",
        "they are",
        "i mean",
        "i meant",
        "actually",
        "make that",
    }
)
"""Words between a name that was called wrong and the one that stands."""
EXCUSING = word_set("wrong mistake thinking missed miscounted fourth third fifth sixth another")
LOOKED_UP = word_set("checked measured taped recounted looked chart drawing plate label tag gauge sheet tape")
"""Words of a sentence between, in which somebody finds out: "I said seventy. He checked the chart. It's eighty." """
TURNING = word_set("it's is are be was actually measures says reads shows looking count counting counted found there's")
SAYS_SO = word_set("is it's that's was says reads shows be actually said are")
NOTED = word_set("down written noted pencilled sheet notes notebook list paper brochure book file")
"""Words for where a figure was noted that the speaker then takes back."""
MORE = word_set("more extra others further additional")
OWN_SUBJECT = word_set("it that there they this really actual figure these those here count")
SOON_BEFORE = word_set("you before earlier that there already just to them first wrongly")
TIMES = word_set("second minute hour day week")
SOURCES = word_set(
    "plates nameplates tags labels plate nameplate tag label sticker paper papers card drawing sheet manual book "
    "binder stamp"
)
TELLING = word_set("say says said read reads show shows is stands gives has calls written stamped printed")
WEIGHTS = word_set("tonne tonnes ton tons kilo kilos kilogram kilograms kg")
NOUNLIKE = frozenset({"content", "describes", "name", "unit", "acts"})


def late_repair(pieces: Sequence[Piece], cues: Cues, i: int) -> TakeBack | None:
    """The later correction whose words begin at piece i; None where none does."""
    # "Hang on. Said three panels. It's four.": the speaker leaves out that it was he
    clipped = pieces[i].lower in CLIPPED and (i == 0 or pieces[i - 1].ends) and not _of_another(pieces, i)
    if pieces[i].lower in SPEAKERS or pieces[i].lower == "did" or clipped:
        told_behind = i > 0 and pieces[i - 1].kind == "number" and not (pieces[i - 1].comma or pieces[i - 1].ends)
        take = _so_many_i_said(pieces, cues, i) if told_behind else None  # "two I told you, call it three"
        take = take or _i_said(pieces, cues, i)
        if take is None and i:
            take = _i_gave(pieces, i) or _so_many_i_said(pieces, cues, i)
        if take is not None:
            return take
    calling = pieces[i].lower == "i'm" and i + 1 < len(pieces) and pieces[i + 1].lower in {"calling", "saying"}
    if calling and i and (take := _named(pieces, cues, i, i + 1, sentence_stop(pieces, i, 16))) is not None:
        return take  # "a macerator, well, I'm calling it a macerator, it's a stone trap"
    if pieces[i].lower in STRIKING and i and (take := _struck_figure(pieces, i)) is not None:
        return take
    if pieces[i].lower == "not" and i:
        return _not_as_said(pieces, i) or _does_not(pieces, i) or _not_at_all(pieces, i)
    if pieces[i].lower in NEGATED and i:
        return _does_not(pieces, i) or _not_but(pieces, i, figure_at(pieces, i + 1, len(pieces)))
    if pieces[i].lower in {"i've", "i", "we", "i'd"} and i + 3 < len(pieces) and (wrong := _wrong_about(pieces, i)):
        return _about(pieces, wrong)
    if pieces[i].lower in {"i", "scratch", "forget", "ignore", "what", "misspoke", "correction"}:
        for k in range(i, min(i + 4, len(pieces))):
            if pieces[k].lower in {"misspoke", "said", "wrong", "correction"}:
                return _about(pieces, k)
    return None


def _i_gave(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """ "And the ten tonne I gave you, cross that out, the badge says fifteen tonne": the figure stands before "I"; the
    next of its unit stands. i is at "I"."""
    verb = next((k for k in range(i + 1, min(i + 3, len(pieces))) if pieces[k].lower in SAYING), None)
    olds = figures_before(pieces, max(0, i - 7), i)
    if verb is None or not olds or i - olds[-1][1] > 3 or i == olds[-1][1]:
        return None
    old = olds[-1]
    unit = pieces[old[1]]
    lead = pieces[old[0] - 1].lower if old[0] else ""
    if unit.kind != "unit" or lead not in {"the", "that", "those"} or any(p.ends for p in pieces[old[0] : i]):
        return None
    first = _said_before(pieces, words_at(pieces, old), unit.stem, old[0] - 1)
    if first is None:
        return None
    for a, b in sorted(figures_before(pieces, verb + 1, min(len(pieces), verb + 30))):
        if b < len(pieces) and pieces[b].stem == unit.stem and not pieces[b - 1].comma:
            if words_at(pieces, (a, b)) == words_at(pieces, old):
                return None
            read = (a, b + 1)
            said = (first, first + old[1] - old[0] + 1)
            return TakeBack(((old[0] - 1, a),), said, read, heard=(old[0], old[1] + 1), late=True)
    return None


def _so_many_i_said(pieces: Sequence[Piece], cues: Cues, i: int) -> TakeBack | None:
    """ "Four shafts I told you, it's six"; "Three saws in the edger, I said. It's four.": a sentence that opens with
    the figure said before, then "I said", then what it is. i is at "I"."""
    verb = i + 1
    if verb >= len(pieces) or pieces[verb].lower not in CLIPPED or pieces[i].lower not in SPEAKERS:
        return None
    start = sentence_start(pieces, i - 1, 9)
    if figure_at(pieces, start, i) == start:  # "gauges on the rig, two I told you, call it three"
        start = next((k for k in range(i - 1, max(start, i - 4), -1) if pieces[k - 1].comma), start)
    end = figure_at(pieces, start, i)
    if (
        end == start
        or (start and not (pieces[start - 1].ends or pieces[start - 1].comma))
        or words_at(pieces, (start, end)) == ["one"]
    ):
        return None
    close = sentence_stop(pieces, verb, 10)
    stop = sentence_stop(pieces, close, 10) if close < len(pieces) else close
    noun = next((p for p in pieces[end:i] if p.kind in {"unit", "content"}), None)
    new = _turned(pieces, cues, (start, verb), stop)
    words = words_at(pieces, (start, end))
    if new is None or words_at(pieces, new) == words:
        return None
    if noun is not None and _figure_said(pieces, words, start) is None:
        return None
    tail = (end, _tail(pieces, end, i))
    borrowed = tail if tail[0] < tail[1] else None
    return TakeBack(((start, new[0]),), (start, tail[1]), new, heard=(start, tail[1]), borrowed=borrowed, late=True)


def _figure_said(pieces: Sequence[Piece], words: list[str], stop: int) -> int | None:
    """The last place before where the same figure was said, of whatever."""
    n = len(words)
    return next((k for k in range(stop - n, -1, -1) if [p.lower for p in pieces[k : k + n]] == words), None)


def _struck_figure(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """ "It's wired for four forty, so forget the two twenty": a figure said before is struck, and the one right before
    stands. i is at the verb."""
    if i + 2 >= len(pieces) or pieces[i + 1].lower not in {"the", "that", "my"}:
        return None
    end = figure_at(pieces, i + 2, len(pieces))
    start = sentence_start(pieces, i, 16)
    news = figures_before(pieces, start, i)
    if end == i + 2 or not news or i - news[-1][1] > 5:
        return None
    new, struck = news[-1], [p.lower for p in pieces[i + 2 : end]]
    if words_at(pieces, new) == struck:
        return None
    earlier = _figure_said(pieces, struck, start)
    if earlier is None or figure_at(pieces, earlier, len(pieces)) != earlier + len(struck):
        return None
    first = i - 1 if pieces[i - 1].lower in {"so", "and"} else i
    stop = end
    while stop < len(pieces) and not pieces[stop - 1].ends and not pieces[stop - 1].comma and stop - end < 4:
        stop += 1
    return TakeBack(((first, stop),), (i + 2, end), new, heard=(i + 2, end), read=new, late=True)


def _of_another(pieces: Sequence[Piece], i: int) -> bool:
    """ "Told me it was eighty gallons": somebody else said it."""
    return i + 1 < len(pieces) and pieces[i + 1].lower in {"me", "us", "him", "her", "it", "to", "on", "by"}


def _not_as_said(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """ "It's twenty horse, not fifteen": another figure denied, that was said of the same before. i is at "not"."""
    end = figure_at(pieces, i + 1, len(pieces))
    new = next(((a, b) for a, b in reversed(figures_before(pieces, max(0, i - 8), i)) if i - b <= 6), None)
    if end == i + 1:
        return None
    if new is None or any(p.ends for p in pieces[new[0] : i]):
        return _not_but(pieces, i, end)
    counted = [p.stem for p in pieces[new[1] : i] if p.kind in {"unit", "content"}]
    after = pieces[end] if end < len(pieces) and not pieces[end - 1].ends else None
    if after is not None and after.kind in NOUNLIKE and after.stem not in counted and not pieces[end - 1].comma:
        return None
    words = [p.lower for p in pieces[i + 1 : end]]
    if words == words_at(pieces, new):
        return None
    if not counted:
        return _bare_not_bare(pieces, i, new, end)
    if all(_said_before(pieces, words, c, new[0]) is None for c in counted) and (
        _said_of(pieces, words, counted, new[0]) is None
    ):
        return None
    stop = end + 1 if after is not None and after.stem in counted else end
    for k in range(stop, min(stop + 5, len(pieces))):
        if not pieces[stop - 1].ends and pieces[stop].lower in {"like", "as"} and pieces[k].lower in SAYING:
            stop = k + 1
            if stop < len(pieces) and pieces[stop].lower in {"you", "before", "earlier"}:
                stop += 1
            break
    return TakeBack(((i, stop),), (i + 1, end), (new[0], i), heard=(i + 1, end), read=new, late=True)


def _bare_not_bare(pieces: Sequence[Piece], i: int, new: Span, end: int) -> TakeBack | None:
    """ "Verified from the plate, it is 105, not 150": both without a unit, the denied one said with one before."""
    words = words_at(pieces, (i + 1, end))
    closed = end >= len(pieces) or pieces[end - 1].comma or pieces[end - 1].ends
    lead = pieces[new[0] - 1].lower if new[0] else ""
    if not closed or i - new[1] > 1 or words == ["one"] or lead not in SAYS_SO:
        return None
    first = _figure_said(pieces, words, new[0])
    if first is None or figure_at(pieces, first, new[0]) != first + len(words) or new[0] - first > MINUTES:
        return None
    said = (first, first + len(words))
    tail = (said[1], with_unit(pieces, said, new[0]))
    if tail[0] == tail[1] or pieces[tail[0]].kind != "unit":
        return None
    heard = (i + 1, end)
    return TakeBack(((i, end),), said, new, heard=heard, read=new, borrowed=tail, late=True)


def _does_not(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """ "It does not lift three tonnes, here is written 1.5 tonnes"; "not nine kilowatts, eleven kilowatts": a figure
    denied that was said before, and another of its unit in the same sentence. i is at the negation."""
    stop = sentence_stop(pieces, i, 22)
    olds = figures_before(pieces, i + 1, min(stop, i + 7))
    if not olds or olds[0][0] - i > 3 or olds[0][1] >= stop or pieces[olds[0][1]].kind not in {"unit", "content"}:
        return None
    old = olds[0]
    words, noun = words_at(pieces, old), pieces[old[1]]
    if not (noun.comma or noun.ends) or _said_before(pieces, words, noun.stem, i) is None:
        return None
    if noun.ends:
        stop = sentence_stop(pieces, old[1] + 1, 10)
    news = [s for s in figures_before(pieces, old[1] + 1, stop) if s[1] < stop and pieces[s[1]].stem == noun.stem]
    if not news or words_at(pieces, news[0]) == words:
        return None
    new = news[0]
    heard, read = (old[0], old[1] + 1), (new[0], new[1] + 1)
    return TakeBack(((old[0], new[0]),), heard, read, heard=heard, read=read, late=True)


def _not_at_all(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """ "Not 500 at all, the bowl is 450": a bare figure of shortly before, with its unit, denied at the head of a
    sentence, and another bare one said of something. i is at "not"."""
    end = figure_at(pieces, i + 1, len(pieces))
    close = end + 2 if [p.lower for p in pieces[end : end + 2]] == ["at", "all"] else end
    opens = pieces[i - 1].ends or pieces[i - 1].comma
    if end == i + 1 or not opens or not (pieces[close - 1].comma or pieces[close - 1].ends):
        return None
    words = [p.lower for p in pieces[i + 1 : end]]
    k = _figure_said(pieces, words, i)
    news = figures_before(pieces, close, min(len(pieces), close + 8))
    if k is None or i - k > SHORTLY or not news or words_at(pieces, news[0]) == words:
        return None
    new, unit = news[0], pieces[k + len(words)]
    lead = pieces[new[0] - 1].lower
    copula = lead in {"is", "are"} or lead.endswith(("'s", "'re"))
    bare = new[1] >= len(pieces) or pieces[new[1] - 1].comma or pieces[new[1] - 1].ends
    same = not bare and pieces[new[1]].stem == unit.stem
    if unit.kind != "unit" or not copula or not (bare or same) or any(p.ends for p in pieces[close : new[0]]):
        return None
    tail = (k + len(words), k + len(words) + 1)
    read = (new[0], new[1] + same)
    return TakeBack(((i, close),), (k, tail[1]), read, borrowed=tail if bare else None, late=True)


def _not_but(pieces: Sequence[Piece], i: int, end: int) -> TakeBack | None:
    """ "The oven's not ten foot, it's twelve": where ten foot was said before. i is at "not", end behind the figure."""
    if end == i + 1 or end >= len(pieces) or pieces[end].kind not in {"unit", "content"}:
        return None
    words, noun = [p.lower for p in pieces[i + 1 : end]], pieces[end].stem
    stop = sentence_stop(pieces, i, 14)
    turn = next((k for k in range(end + 1, stop) if pieces[k].lower in {"it's", "but", "that's", "it"}), None)
    if turn is None or turn - end > 4 or _said_before(pieces, words, noun, i) is None:
        return None
    new = next(iter(figures_before(pieces, turn, min(stop, turn + 5))), None)
    if new is None or words_at(pieces, new) == words:
        return None
    bare = new[1] >= len(pieces) or pieces[new[1] - 1].comma or pieces[new[1] - 1].ends
    return TakeBack(((i, new[0]),), (i + 1, end + 1), new, borrowed=(end, turn) if bare else None, late=True)


def _said_before(pieces: Sequence[Piece], words: list[str], noun: str, stop: int) -> int | None:
    """The last place before where the same figure was said of the same unit or noun."""
    n = len(words)
    for k in range(stop - n - 1, -1, -1):
        if pieces[k].lower == words[0] and pieces[k + n].stem == noun and [p.lower for p in pieces[k : k + n]] == words:
            return k
    return None


def _said_of(pieces: Sequence[Piece], words: list[str], nouns: list[str], stop: int) -> int | None:
    """As _said_before, with one or two words between the figure and the last of its nouns: "two CIP tanks"."""
    n = len(words)
    for k in range(stop - n - 1, -1, -1):
        if [p.lower for p in pieces[k : k + n]] == words and nouns[-1] in {p.stem for p in pieces[k + n : k + n + 3]}:
            return k
    return None


def _wrong_about(pieces: Sequence[Piece], i: int) -> int | None:
    """ "I've told you wrong on the belt", "I was wrong about the belt", "I gave you a wrong figure for the belt": where
    the word before "on" stands."""
    for k in range(i + 1, min(i + 8, len(pieces) - 1)):
        if pieces[k].ends or pieces[k].comma or pieces[k].kind == "number":
            return None
        if pieces[k + 1].lower in {"on", "about", "for", "with"}:
            return k if {p.lower for p in pieces[i : k + 1]} & {"wrong", "mistaken", "mistake", "astray"} else None
    return None


def _about(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """ "I misspoke on the blower, it's twenty horse": a thing and a figure anew; the old one is that of the same unit
    said of the thing before."""
    first = i
    while first > 0 and pieces[first - 1].lower in {
        "i",
        "i've",
        "i'd",
        "we",
        "scratch",
        "forget",
        "what",
        "ignore",
        "and",
        "oh",
        "a",
        "told",
        "you",
        "was",
        "were",
        "gave",
        "had",
        "the",
        "wrong",
        "made",
    }:
        first -= 1
    if pieces[i].lower == "said" and pieces[i - 2].lower != "what":
        return None
    at = i + 1
    if at >= len(pieces) or pieces[at].lower not in {"on", "about", "with", "for", "regarding"}:
        return None
    named = _phrase(pieces, at + 1, min(len(pieces), at + 6))
    if named is None:
        return None
    stop = sentence_stop(pieces, named - 1, 16)
    new = next(((a, b) for a, b in figures_before(pieces, named, stop) if b < len(pieces)), None)
    if new is None or pieces[new[1]].kind != "unit" or any(p.kind == "number" for p in pieces[first:named]):
        return None
    unit, head = pieces[new[1]].stem, pieces[named - 1].stem
    old = _last_of(pieces, head, unit, first)
    if old is None or words_at(pieces, old) == words_at(pieces, new):
        return None
    return TakeBack(
        ((first, at + 1),), old, (new[0], new[1] + 1), heard=(old[0], old[1] + 1), read=(new[0], new[1] + 1), late=True
    )


def _last_of(pieces: Sequence[Piece], head: str, unit: str, stop: int) -> Span | None:
    """The last figure of a unit that was said shortly behind or before the name of a thing."""
    for k in range(stop - 1, -1, -1):
        if pieces[k].stem != head:
            continue
        near = figures_before(pieces, max(0, k - 6), min(stop, k + 12))
        for a, b in near:
            if b < stop and pieces[b].stem == unit:
                return a, b
    return None


def _i_said(pieces: Sequence[Piece], cues: Cues, i: int) -> TakeBack | None:
    """ "I said two recirculation pumps, it's three": what was said, and what it is."""
    verb = next(
        (
            k
            for k in range(i + (pieces[i].lower not in CLIPPED), min(i + 5, len(pieces)))
            if pieces[k].lower in SAYING or _read(pieces, k)
        ),
        _had_down(pieces, i) if pieces[i].lower in SPEAKERS else None,
    )
    if (
        verb is None
        or any(pieces[k].ends or pieces[k].lower in SUPPOSING for k in range(i, verb))
        or (i > 0 and pieces[i - 1].lower in {"like", "as", "what"})
        or (pieces[i].lower in {"i'd", "i'll"} and pieces[verb].lower in {"say", "tell", "put"})  # "I'd put it at ten"
    ):
        return None
    stop, looked = sentence_stop(pieces, i, 30), False
    if stop < len(pieces) and stop - verb <= 14:
        excused = stop
        stop = sentence_stop(pieces, stop, 16)  # "I said six. It's five."
        between = {p.lower for p in pieces[excused:stop]}
        looked = bool(between & LOOKED_UP) and not between & EXCUSING
        if between & (EXCUSING | LOOKED_UP) and stop < len(pieces):
            stop = sentence_stop(pieces, stop, 12)  # "That's wrong, I was thinking of the old one. It's five."
    old = _figure_after(pieces, verb + 1, min(stop, verb + 12))
    if old is None:
        return None if _read(pieces, verb) else _named(pieces, cues, i, verb, stop)
    new = (None if _read(pieces, verb) else _turned(pieces, cues, old, stop)) or _read_off(pieces, old)
    new = new or _counted_anew(pieces, old, stop)
    if new is None or words_at(pieces, new) == words_at(pieces, old):
        return None
    if any(a.lower == "that's" and b.lower == "right" for a, b in pairwise(pieces[old[1] : new[0]])):
        return None  # "I said eight valves, and that's right, I've counted again. There are nine drains."
    if (pieces[i].lower in CLIPPED or looked) and _in_other_units(pieces, old, new):
        return None
    if looked and any(p.ends for p in pieces[verb : old[0]]):
        return None  # "I just counted. And the heaters, both nine kilowatts, I checked."
    if pieces[verb].lower == "had" and not _counted_alike(pieces, old, new):
        return None  # "I had it up and down a dozen times. The tag says eighteen amps."
    tail_stop = _tail(pieces, old[1], new[0])
    tail = (old[1], tail_stop)
    after = (
        pieces[new[1]]
        if new[1] < len(pieces) and not pieces[new[1] - 1].ends and not pieces[new[1] - 1].comma
        else None
    )
    own = after is not None and after.kind in {"unit", "content", "describes", "name"}
    borrowed = None if own or tail[0] == tail[1] else tail
    read_end = new[1]
    while (
        own
        and read_end < len(pieces)
        and pieces[read_end].kind in {"unit", "content", "describes", "name"}
        and read_end - new[1] < 3
    ):
        read_end += 1
        if pieces[read_end - 1].comma or pieces[read_end - 1].ends:
            break
    # "I said the die was seventy two inches, it's eighty four": what it is said of is kept
    about = verb + 1
    while about < old[0] and pieces[about].lower in SOON_BEFORE:
        about += 1
    named = any(p.kind in {"content", "name"} for p in pieces[about : old[0]])
    first = i
    if i > 1 and pieces[i - 1].lower == "one" and pieces[i - 2].kind == "points" and not pieces[i - 1].ends:
        first = i - 2  # "the belt, the one I called thirty inch": of no number one
    return TakeBack(
        dropped=((first, about), (old[0], new[0])) if named else ((first, new[0]),),
        withdrawn=(old[0], tail_stop),
        kept=(new[0], read_end),
        heard=(old[0], tail_stop),
        borrowed=borrowed,
        late=True,
    )


def _had_down(pieces: Sequence[Piece], i: int) -> int | None:
    """ "I'd five hundred written down", "I had twelve on my sheet": where the verb stands, before a figure that was
    noted; i is at "I"."""
    at = i if pieces[i].lower in {"i'd", "i've", "we'd", "we've"} else i + 1
    if at > i and (at >= len(pieces) or pieces[at].lower not in {"had", "have"}):
        return None
    at += at + 1 < len(pieces) and pieces[at + 1].lower in {"got", "had", "put"}
    end = figure_at(pieces, at + 1, len(pieces))
    if end == at + 1:
        return None
    stop = next((k for k in range(end, min(len(pieces), end + 8)) if pieces[k - 1].comma or pieces[k - 1].ends), end)
    return at if {p.lower for p in pieces[end:stop]} & NOTED else None


def _figure_after(pieces: Sequence[Piece], i: int, stop: int) -> Span | None:
    for k in range(i, stop):
        end = figure_at(pieces, k, stop)
        if end > k:
            return k, end
        if pieces[k].ends or pieces[k].lower in {"it's", "that's"}:
            return None
    return None


def _counted_alike(pieces: Sequence[Piece], old: Span, new: Span) -> bool:
    """Whether what stands is counted in what was said before, or in nothing."""
    behind = (
        pieces[new[1]] if new[1] < len(pieces) and not (pieces[new[1] - 1].comma or pieces[new[1] - 1].ends) else None
    )
    if behind is None or behind.kind not in NOUNLIKE:
        return True
    return behind.stem in {p.stem for p in pieces[old[1] : old[1] + 4]}


def _in_other_units(pieces: Sequence[Piece], old: Span, new: Span) -> bool:
    units = [pieces[s[1]].stem for s in (old, new) if s[1] < len(pieces) and pieces[s[1]].kind == "unit"]
    return len(units) == 2 and units[0] != units[1]


def _tail(pieces: Sequence[Piece], i: int, stop: int) -> int:
    """End of the unit and noun behind a figure: up to a pause or a little word, three words at most."""
    at = i
    while (
        at < min(stop, i + 3) and pieces[at].kind in NOUNLIKE and not pieces[at - 1].comma and not pieces[at - 1].ends
    ):
        at += 1
    while at > i and pieces[at - 1].kind in {"describes", "acts"}:
        at -= 1
    in_a_time = at > i and at + 1 < stop and not pieces[at - 1].comma and not pieces[at - 1].ends
    if in_a_time and pieces[at].lower in {"a", "an", "per"} and pieces[at + 1].lower in TIMES:
        at += 2  # "I gave 300 cubic feet a minute"
    return at


def _read(pieces: Sequence[Piece], k: int) -> bool:
    """ "I read the fan as fifteen horse": said of a figure only where a plate then says otherwise."""
    return pieces[k].lower == "read" and pieces[k - 1].lower in SPEAKERS


def _counted_anew(pieces: Sequence[Piece], old: Span, stop: int) -> Span | None:
    """ "I recorded three agitators. There's a fourth behind the chute. Four agitators.": the count said again."""
    if old[1] >= len(pieces) or pieces[old[1]].kind not in {"content", "unit"}:
        return None
    for a, b in sorted(figures_before(pieces, old[1], stop)):
        if a and pieces[a - 1].ends and b < len(pieces) and pieces[b].stem == pieces[old[1]].stem:
            return a, b
    return None


def _read_off(pieces: Sequence[Piece], old: Span) -> Span | None:
    """ "I said two tonnes, I've just seen the label, fifteen hundred kilos": what a plate or paper says instead of a
    figure that was said before, where the new one is of the same kind of unit."""
    if old[1] >= len(pieces) or pieces[old[1]].kind != "unit":
        return None
    unit = pieces[old[1]].stem
    if _said_before(pieces, words_at(pieces, old), unit, old[0]) is None:
        return None
    stop = min(len(pieces), old[1] + 22)
    source = next((k for k in range(old[1], stop) if pieces[k].lower in SOURCES), None)
    if source is None:
        return None
    for a, b in sorted(figures_before(pieces, source + 1, stop)):
        told = pieces[a - 1].lower in TELLING
        if b < len(pieces) and (pieces[a - 1].comma or pieces[a - 1].ends or told):
            alike = pieces[b].stem == unit or {pieces[b].stem, unit} <= WEIGHTS
            return (a, b) if alike and pieces[b].kind == "unit" else None
    return None


def _turned(pieces: Sequence[Piece], cues: Cues, old: Span, stop: int) -> Span | None:
    """The figure that stands: behind "it's", "should be", "make that" and their kin, within the same breath."""
    at = old[1]
    while at < stop:
        hit = cues.at(pieces, at, opening=True) or cues.at(pieces, at, opening=False)
        if hit is not None or pieces[at].lower in TURNING:
            k = hit[0] if hit is not None else at + 1
            if (
                pieces[k - 1].lower in {"is", "was", "are"}
                and hit is None
                and pieces[k - 2].lower not in OWN_SUBJECT | SOURCES
            ):
                at += 1
                continue
            for skip in range(4):
                if k + skip >= stop:
                    break
                end = figure_at(pieces, k + skip, stop)
                if end > k + skip and pieces[min(end, len(pieces) - 1)].lower in MORE:
                    break  # "I said fourteen, there's two more under the bench, so it's sixteen"
                if end > k + skip:
                    return k + skip, end
                if pieces[k + skip].ends or (
                    pieces[k + skip].kind in {"content", "name", "acts"} and pieces[k + skip].lower not in SOFTENING
                ):
                    break
        at += 1
        if at - old[1] > 20:
            return None
    return None


def _named(pieces: Sequence[Piece], cues: Cues, i: int, verb: int, stop: int) -> TakeBack | None:
    """ "I called that a heater, it's a chiller"; "I told you the jacket was steam, it's hot oil": a name for a name."""
    at = verb + 1
    while at < stop and pieces[at].lower in BETWEEN_SAYING and pieces[at].lower not in {"a", "an", "the"}:
        at += 1
    end = _phrase(pieces, at, stop)
    if end is None:
        return None
    about = i
    nouns = {p.stem for p in pieces[at:end] if p.kind in {"content", "name"}}
    if pieces[verb].lower != "called" and not nouns & {p.stem for p in pieces[max(0, i - MINUTES) : i]}:
        return None  # what was not said before is not taken back
    if end + 1 < stop and pieces[end].lower in {"was", "were", "had", "is", "are", "has"}:
        said = _phrase(pieces, end + 1, stop, described=True)
        if said is None:
            return None
        about, at, end = at, end + 1, said
    passed = end
    for k in range(end, min(stop, end + 8)):
        if k == end and not pieces[k - 1].comma and not pieces[k - 1].ends and pieces[k].kind in NOUNLIKE:
            return None
        hit = cues.at(pieces, k, opening=True) or cues.at(pieces, k, opening=False)
        if hit is None and k >= passed and pieces[k].lower not in PASSING:
            return None
        if hit is None or hit[2] not in STANDS:
            passed = max(passed, hit[0] if hit is not None else k)  # "God forgive me, it's steam"
            continue
        first = hit[0]
        while first < stop and (more := cues.at(pieces, first, opening=True)) is not None and more[2] in STANDS:
            first = more[0]
        new_end = _phrase(pieces, first, stop, described=True)
        if new_end is None:
            return None
        articles = (pieces[at].kind == "points") == (pieces[first].kind == "points")
        closed = pieces[new_end - 1].comma or pieces[new_end - 1].ends
        if not articles and not (closed and new_end - first <= 3):
            return None
        dropped = ((i, about), (at, first)) if about > i else ((i, first),)
        return TakeBack(dropped, (at, end), (first, new_end), late=True)
    return None


def _phrase(pieces: Sequence[Piece], i: int, stop: int, *, described: bool = False) -> int | None:
    """End of a noun phrase with at least one noun, or if asked a word that describes; None where none begins at i."""
    kinds = {"content", "name", "describes"} if described else {"content", "name"}
    at = i
    if at < stop and pieces[at].kind == "points":
        at += 1
    first = at
    while at < stop and pieces[at].kind in NOUNLIKE and at - first < 4:
        at += 1
        if pieces[at - 1].comma or pieces[at - 1].ends:
            break
    return at if at > first and any(p.kind in kinds for p in pieces[first:at]) else None
