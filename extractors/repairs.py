"""What a speaker took back: the words dropped, and the words that stand.

Each run of cue words (cues.py) is asked in turn whether it takes back a figure or unit (figure_repairs.py) or other
words (name_repairs.py); "not X, it's Y" and repeats need no cue; what is corrected sentences later is late_repairs.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from extractors.corrected_later import corrected_later
from extractors.cues import Cue
from extractors.cuts import best_cut
from extractors.denied_later import denied_later
from extractors.doubted_takes import undoubted_takes
from extractors.figure_repairs import either_then_yes, figure_repair, hesitation_repair, only_excused
from extractors.late_repairs import SPEAKERS, late_repair
from extractors.materials_again import Materials, material_again, materials
from extractors.mentions import RepairMention, Token, Tokens
from extractors.name_repairs import denied, name_repair, struck
from extractors.opposites import opposite
from extractors.own_remarks import remark_between
from extractors.restated import restated
from extractors.roles_again import excuses, no_such, role_again, role_denied, role_moved, role_told_twice
from extractors.said_over import said_over
from extractors.second_looks import second_look, unit_alone
from extractors.settled_figures import asked_back, settled_figures
from extractors.takebacks import TakeBack, as_mention, is_filler, pieces_of, tools, untouched
from extractors.unit_repairs import unit_echo
from extractors.weighed_names import weighed_names
from extractors.weighed_takes import common_words, talk_of, weighed_takes
from extractors.withdrawals import withdrawals
from extractors.word_classes import FIGURE, NUMBER_WORDS, Classes, Piece
from vocab import Vocabulary, builtin

LONGEST_REPEAT = 4
PRONOUNS = frozenset({"it", "he", "she", "they"})
REPORTING = frozenset({"said", "told", "gave", "mentioned", "called", "counted", "quoted", "read", "wrote"})
REPEATABLE = frozenset({"points", "leads", "helps", "stands_in", "joins", "asks"})


def find_repairs(tokens: Tokens, vocabulary: Vocabulary) -> tuple[RepairMention, ...]:
    """Self-corrections in order of time; those whose heard and read are equal are repeats without content."""
    pieces, where = pieces_of(tokens, tools(vocabulary)[0])
    talk = talk_of(pieces, tokens, where, vocabulary, common_words(vocabulary))
    found = undoubted_takes(takes_by_rule(pieces, vocabulary), talk, vocabulary)
    found += corrected_later(talk, found)
    found += untouched(denied_later(talk), found)
    found += untouched((*asked_back(talk), *settled_figures(talk, found)), found)
    found += weighed_takes(talk, found)
    found += weighed_names(talk, found)
    found += withdrawals(talk, found)
    return tuple(as_mention(t, tokens, where) for t in sorted(found, key=_place))


def takes_by_rule(pieces: Sequence[Piece], vocabulary: Vocabulary) -> list[TakeBack]:
    """What the rules find, in one walk over the words."""
    cues = tools(vocabulary)[1]
    runs = {cue.first: cue for cue in cues.find(pieces)}
    known = materials(vocabulary)
    found: list[TakeBack] = []
    done = 0
    for i in range(len(pieces)):
        if i < done:
            continue
        take = _by("late", late_repair(pieces, cues, i))
        excused = i in runs and bool(found) and only_excused(pieces, runs[i], found[-1])
        if take is None and i in runs and not excused and not _leads_on(pieces, runs[i]):
            take = _by_cue(pieces, i, runs[i], known)
            take = None if take is not None and _same_figure(pieces, take) else take
        if take is None and i and pieces[i - 1].ends and i not in runs:
            take = (role_again(pieces, i) if no_such(pieces, i) else None) or role_denied(pieces, i)
        if take is None and i and i not in runs:
            take = (
                (role_again(pieces, i) if excuses(pieces, i) else None)
                or role_told_twice(pieces, i)
                or role_moved(pieces, i)
            )
        if take is None and i and pieces[i - 1].hesitates:
            take = hesitation_repair(pieces, i)
        if take is None and i:
            take = unit_echo(pieces, i) or either_then_yes(pieces, i) or opposite(pieces, i)
            if take is None and (alone := unit_alone(pieces, i)) is not None and alone.dropped[-1][1] + 1 not in runs:
                take = alone  # else the cue says so: "Gallons, I mean."
        take = (
            take
            or denied(pieces, cues, i)
            or _repeat(pieces, i)
            or (said_over(pieces, i) or _by("look", second_look(pieces, i)) if i else None)
            or (remark_between(pieces, i) or restated(pieces, i) if i else None)
        )
        if take is None or (not take.dropped and _taken_already(found, take)) or _same_number(pieces, take):
            continue
        if found and take.dropped and found[-1].dropped and take.dropped[0][0] < found[-1].dropped[-1][1]:
            take = _shortened(take, found[-1])
            if take is None:
                continue
        found.append(take)
        done = max(done, take.dropped[-1][1] if take.dropped else i + 1)
    return found


def _place(take: TakeBack) -> int:
    """Where it is in time: its first dropped word, else what stands."""
    return take.dropped[0][0] if take.dropped else take.kept[0] if take.kept is not None else 0


def _by_cue(pieces: Sequence[Piece], i: int, cue: Cue, known: Materials) -> TakeBack | None:
    """What the cue at piece i takes back: what stands at a number, a figure, a material, or other words."""
    return (
        role_again(pieces, i)
        or struck(pieces, cue)
        or _by("figure", figure_repair(pieces, cue))
        or material_again(pieces, i, known)
        or _by("name", name_repair(pieces, cue))
    )


def _by(rule: str, take: TakeBack | None) -> TakeBack | None:
    """What a reader found, with its name: these are asked once more whether it can be so (doubted_takes.py)."""
    return replace(take, rule=rule) if take is not None else None


def _taken_already(found: Sequence[TakeBack], take: TakeBack) -> bool:
    """Whether what would go is gone: "1998, no, sorry, 1989, there's paint on it"."""
    gone = [span for t in found for span in (*t.dropped, t.withdrawn) if span is not None]
    return any(take.withdrawn is not None and a < take.withdrawn[1] and take.withdrawn[0] < b for a, b in gone)


def _same_figure(pieces: Sequence[Piece], take: TakeBack) -> bool:
    """Whether what stands is the figure that would go, said once more: "forty feet. Call it forty."."""
    if take.withdrawn is None or take.kept is None:
        return False
    old, new = (pieces[a:b] for a, b in (take.withdrawn, take.kept))
    figure, was = ([p.lower.removesuffix("'s") for p in side if p.kind == "number"] for side in (new, old))
    return bool(new) and len(figure) == len(new) and figure == was


def _same_number(pieces: Sequence[Piece], take: TakeBack) -> bool:
    """Whether a number with its verb would go for the same number: "five's the wax tank. Says here five is"."""
    old, new = take.withdrawn, take.kept
    if old is None or new is None or not pieces[old[0]].lower.endswith("'s"):
        return False
    return pieces[old[0]].kind == "number" and pieces[old[0]].lower[:-2] == pieces[new[0]].lower


def _leads_on(pieces: Sequence[Piece], cue: Cue) -> bool:
    """Whether a cue only leads to a later correction: "and a correction on the bars, I said 28, it's 26"."""
    for k in range(cue.last, min(cue.last + 5, len(pieces) - 1)):
        if pieces[k].lower in SPEAKERS and pieces[k + 1].lower in REPORTING:
            return True
        if pieces[k].ends or pieces[k].kind == "number":
            return False
    return False


def _shortened(take: TakeBack, before: TakeBack) -> TakeBack | None:
    """A take-back that starts within the one before: of what that one left standing, or not at all."""
    edge = before.dropped[-1][1]
    if take.withdrawn is None or take.withdrawn[1] <= edge:
        return None
    dropped = tuple((max(a, edge), b) for a, b in take.dropped if b > edge)
    withdrawn = (max(take.withdrawn[0], edge), take.withdrawn[1])
    return replace(take, dropped=dropped, withdrawn=withdrawn, heard=None) if dropped else None


def _repeat(pieces: Sequence[Piece], i: int) -> TakeBack | None:
    """The same few words said twice in a row, at least one of them a little word: "and it's, and it's a"."""
    for n in range(LONGEST_REPEAT, 0, -1):
        one, two = pieces[i : i + n], pieces[i + n : i + 2 * n]
        if len(two) < n or [p.lower for p in one] != [p.lower for p in two] or any(p.ends for p in one):
            continue
        if not any(p.kind in REPEATABLE for p in one) or (n == 1 and one[0].lower in {"that", "had", "there"}):
            continue
        if {"by", "x", "times"} & {p.lower for p in one} and any(p.kind == "number" or p.lower == "one" for p in one):
            continue  # "four foot by four foot by three" are three sides
        if one[-1].comma and i and pieces[i - 1].kind == "leads" and one[-1].kind in {"content", "name"}:
            continue  # "forget what I said about the flare, the flare stays put": the clause before is whole
        return TakeBack(((i, i + n),), None, None, reported=False)
    return None


def reported(repairs: tuple[RepairMention, ...]) -> tuple[RepairMention, ...]:
    """Repairs that belong in the record: without repeats and restarts that changed nothing."""
    return tuple(r for r in repairs if r.heard.lower() != r.read.lower() and (r.read or r.withdrawn))


def without(tokens: Tokens, repairs: tuple[RepairMention, ...]) -> Tokens:
    """The tokens less fillers and those that a repair dropped; words that are meant of what stands as well follow it
    once more, and point at the words that stand."""
    dropped = {i for r in repairs for a, b in r.dropped for i in range(a, b)}
    by_word: dict[int, list[Token]] = {}
    for t in tokens:
        by_word.setdefault(t.word, []).append(t)
    behind = {r.kept[1] - 1: r for r in repairs if r.borrowed is not None and r.kept is not None}
    tokens = _in_one_sentence(tokens, repairs)
    out: list[Token] = []
    for i, t in enumerate(tokens):
        if t.word in dropped:
            continue
        if is_filler(t.lower):
            _carry_pause(out, t)
            continue
        out.append(t)
        repair = behind.get(t.word)
        if repair is None or (i + 1 < len(tokens) and tokens[i + 1].word == t.word):
            continue
        assert repair.borrowed is not None
        again = [x for w in range(*repair.borrowed) for x in by_word.get(w, ()) if not is_filler(x.lower)]
        if again and len(by_word.get(repair.borrowed[0], ())) > 1 and again[0].text[:1].isdigit():
            again = again[1:]  # "I said 6-inch, it's 4": of the one word only the unit is meant of what stands
        out[-1] = replace(t, after="")
        out += [replace(x, word=t.word, start=t.start, end=t.end, sentence=t.sentence, after="") for x in again]
        out[-1] = replace(out[-1], after=t.after)
    return tuple(out)


def _in_one_sentence(tokens: Tokens, repairs: tuple[RepairMention, ...]) -> Tokens:
    """What stands goes on with the sentence of what it replaces: "Built in 1996. Ninety-eight, beg your pardon."."""
    sentence_of = {t.word: t.sentence for t in tokens}
    begun = {t.sentence: t.word for t in reversed(tokens)}
    joined: dict[int, int] = {}
    for r in repairs:
        if r.kept is None or r.withdrawn is None:
            continue
        if not any(a in range(*r.withdrawn) and b == r.kept[0] for a, b in r.dropped):
            continue
        old, new = sentence_of.get(r.withdrawn[0]), sentence_of.get(r.kept[0])
        if old is not None and new is not None and old < new and begun[old] < r.withdrawn[0]:
            joined.update({s: joined.get(old, old) for s in range(old + 1, new + 1)})
    return tuple(replace(t, sentence=joined[t.sentence]) if t.sentence in joined else t for t in tokens)


def _carry_pause(out: list[Token], filler: Token) -> None:
    """A pause behind a filler is one behind the word before it."""
    if is_filler(filler.lower) and filler.after and out and not out[-1].after and out[-1].sentence == filler.sentence:
        out[-1] = replace(out[-1], after=filler.after)


def before_repair(tokens: Tokens, repairs: tuple[RepairMention, ...]) -> Tokens:
    """The sentences of the repairs before the repair: what was withdrawn left in, the cue and what stands left out."""
    gone: set[int] = set()
    back: set[int] = set()
    for r in repairs:
        if r.withdrawn is None:
            continue
        back |= set(range(*r.withdrawn))
        if r.kept is not None:
            gone |= set(range(*r.kept))
        gone |= {i for a, b in r.dropped for i in range(a, b)}
    gone -= back
    ends = {r.withdrawn[1] - 1 for r in repairs if r.withdrawn is not None}
    sentences = {t.sentence for t in tokens if t.word in back}
    near = sentences | {s - 1 for s in sentences}
    lent = {r.withdrawn[1] - 1: _unit_of(tokens, r) for r in repairs if r.withdrawn is not None}
    out: list[Token] = []
    for i, t in enumerate(tokens):
        if t.sentence not in near or t.word in gone or is_filler(t.lower):
            continue
        # what was dropped behind the withdrawn words leaves a pause: "eight pumps [on the rack, it's ten], ten pumps"
        cut = t.word in ends and i + 1 < len(tokens) and tokens[i + 1].word in gone and not t.after
        out.append(replace(t, after=",") if cut else t)
        if (i + 1 < len(tokens) and tokens[i + 1].word == t.word) or not lent.get(t.word):
            continue
        out[-1] = replace(t, after="")
        for unit in lent.pop(t.word):
            out.append(replace(unit, word=t.word, start=t.start, end=t.end, sentence=t.sentence))
    return tuple(out)


def _unit_of(tokens: Tokens, repair: RepairMention) -> tuple[Token, ...]:
    """The words behind the figure that stands, lent to a withdrawn one said bare ("twenty horse, not fifteen")."""
    if repair.kept is None or repair.withdrawn is None or repair.borrowed is not None:
        return ()
    old = [t for t in tokens if repair.withdrawn[0] <= t.word < repair.withdrawn[1] and not is_filler(t.lower)]
    if not old or not all(_numeral(t.lower) for t in old):
        return ()
    new = [t for t in tokens if repair.kept[0] <= t.word < repair.kept[1] and not is_filler(t.lower)]
    figure = next((k for k, t in enumerate(new) if not _numeral(t.lower)), len(new))
    return tuple(new[figure:]) if figure else ()


def _numeral(lower: str) -> bool:
    return lower in {"and", "a", "point"} or bool(FIGURE.fullmatch(lower)) or set(lower.split("-")) <= NUMBER_WORDS


# ------------------------------------------------------------------------------------------- sentences as plain text


def repaired_text(text: str, vocabulary: Vocabulary | None = None) -> str:
    """One written sentence with what was taken back left out. Any cue is taken at its word here: a sentence alone
    gives no other ground to judge by."""
    classes, cues = tools(vocabulary or builtin())
    words = text.split()
    pieces = [_written(w, i, classes) for i, w in enumerate(words)]
    for _ in range(len(words)):
        for cue in cues.find(pieces):
            if cue.last == len(pieces) and len(pieces) < len(text.split()):
                cut, resume, marks = cue.first, cue.last, 0.0  # "2010, rather": said behind what stands
            else:
                cut, resume, marks = _cut_of(pieces, cue)
            if marks > (float("-inf") if cue.sure else -1.0):
                del words[cut:resume], pieces[cut:resume]
                break
        else:
            break
    return " ".join(words)


def _cut_of(pieces: list[Piece], cue: Cue) -> tuple[int, int, float]:
    cut, marks = best_cut(pieces, start=0, cue=cue.first, repair=cue.repair, stop=len(pieces))
    resume = cue.repair
    if (asked := _asked_again(pieces, cut, cue)) is not None:
        return *asked, marks
    if cue.repair != cue.last:
        other, more = best_cut(pieces, start=0, cue=cue.first, repair=cue.last, stop=len(pieces))
        if more > marks + 1:
            return other, cue.last, more
    return cut, resume, marks


def _asked_again(pieces: list[Piece], cut: int, cue: Cue) -> tuple[int, int] | None:
    """ "When did the town grow, no, when did it shrink": the question asked again with a pronoun; what the pronoun
    stands for is kept, and the verb alone is exchanged."""
    head = pieces[cut : cut + 2]
    again = pieces[cue.repair : cue.repair + 3]
    if len(again) < 3 or [p.lower for p in head] != [p.lower for p in again[:2]] or again[2].lower not in PRONOUNS:
        return None
    if head[0].kind != "asks" or head[1].kind != "helps":
        return None
    verbs = [i for i in range(cut + 3, cue.first) if pieces[i].kind == "acts"]
    verb = verbs[0] if verbs else cue.first - 1
    return (verb, cue.repair + 3) if verb > cut + 2 else None


def _written(word: str, i: int, classes: Classes) -> Piece:
    core = word.strip(",.;:?!\"'()")
    lower = core.lower()
    kind = classes.of(lower)
    if i > 0 and core[:1].isupper() and kind not in {"asks", "helps", "leads", "points", "number"}:
        kind = "name"
    return Piece(lower, kind, word[-1:] in ".?!", word[-1:] in ",;:-")
