"""The marks of each clause that may open another machine: how it begins, what it names, what stands around it.

The rules of machines.py hold on talk like that which taught them and miss much of any other. Here each clause has some
hundred marks that any talk has; weighed_cuts.py adds them up with the weights of vocab/cut_weights.toml.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from extractors.lot_numbers import Cue
from extractors.mentions import Tokens
from extractors.openings import article_at, has_plate, is_code, led, left_out, machine_named, phrase_at, said
from extractors.phrases import singular
from vocab import Vocabulary

NAMED_WITHIN = 16
"""Words of a clause within which it names a machine."""
LEADING = 4
"""Words of a sentence that may lead into the next one ("Okay, next." "The chiller, ...")."""
RECENT = 60
"""Words back in which the same name goes on with the same machine."""
OVERVIEW = 15
"""Words at the beginning in which what is to come may be named."""
NEAR = 40
"""Words before and after a clause that are compared, or in which a plate is looked for."""
TOLD_IN = 25
"""Words of a clause and behind it in which a machine's figures and its maker are told."""
CONTENT = 4
"""Letters of a word that says what is spoken of, at least."""
AFTER_LEAD = 12
"""Words behind a clause within which the speaker says that it is told late."""
JUST_SAID = 12
"""Words before a clause in which the last machine is closed off."""
IT = frozenset({"it", "it's", "its", "that", "that's", "they", "they're"})
PRONOUNS = IT | {"he", "she", "which", "these", "those", "i", "i'm", "i'd", "i'll", "i've"}
STRONG = frozenset({"okay", "ok", "right", "alright", "now", "so", "anyway", "well"})
GOES_ON = frozenset({"and", "but", "oh", "also"})
VERBS = frozenset(
    (
        "is was are were has had have does do did takes runs works goes comes sits stands weighs makes needs got will "
        "would can could"
    ).split()
)
NEXT = frozenset({"next", "another", "second", "third", "last", "then", "other"})
OF_IT = frozenset({"it", "that", "this", "them"})
KINDS = ("label", "order", "turn", "chain", "one", "here", "bare")


@dataclass(frozen=True, slots=True)
class Told:
    """Where in a recording words of a kind stand, found once."""

    low: Sequence[str]
    stems: Sequence[str]
    ends: Sequence[int]
    """For each token the end of its sentence, excluded."""
    plates: Sequence[int]
    lines: Sequence[int]
    backs: Sequence[int]
    late: Sequence[int]
    mains: frozenset[str]


def told(tokens: Tokens, cues: Sequence[Cue], vocabulary: Vocabulary) -> Told:
    """What the marks of every clause are read from."""
    n = len(tokens)
    ends = [n] * n
    for i in range(n - 2, -1, -1):
        ends[i] = ends[i + 1] if tokens[i].sentence == tokens[i + 1].sentence else i + 1
    plate = said(vocabulary, "plate")
    return Told(
        low=[t.lower for t in tokens],
        stems=[singular(t.lower) for t in tokens],
        ends=ends,
        plates=[i for i, t in enumerate(tokens) if t.lower in plate or _year(t.text)],
        lines=[c.at for c in cues if c.kind == "line"],
        backs=[c.at for c in cues if c.kind == "back"],
        late=[i for i in range(n) if phrase_at(tokens, i, vocabulary, "late")],
        mains=frozenset(name.split()[-1] for name in said(vocabulary, "main")),
    )


def clause_marks(tokens: Tokens, places: Sequence[int], n: int, t: Told, vocabulary: Vocabulary) -> dict[str, float]:
    """The marks of the n-th of the clauses that begin at `places`."""
    i = places[n]
    low, size = t.low, len(tokens)
    k, end = _behind_openers(tokens, i, vocabulary), _end(t, places, n)
    kind, length = led(tokens, k, vocabulary)
    marks = {f"by {kind}": 1.0} if kind in KINDS else {}
    marks["strong opener"] = float(low[i] in STRONG)
    marks["and"] = float(low[i] in GOES_ON)
    marks["beginning"] = float(i < OVERVIEW)
    noun, main, at = _name(tokens, k, end, kind, length, vocabulary)
    if end - i <= LEADING and end < size and not noun:  # a lead of its own: what follows is read with it
        marks["lead"] = 1.0
        if kind in ("turn", "chain"):
            marks[f"lead by {kind}"] = 1.0
        k = _behind_openers(tokens, end, vocabulary)
        end = min([t.ends[end], *(p for p in places[n + 1 : n + 3] if p > end)])
        kind, length = led(tokens, k, vocabulary)
        marks.update({f"by {kind}": 1.0} if kind in KINDS else {})
        noun, main, at = _name(tokens, k, end, kind, length, vocabulary)
    marks |= _of_the_name(tokens, noun, main, at, k, t, vocabulary)
    marks |= _of_the_words(tokens, i, k, end, t, vocabulary)
    head = t.stems[at] if noun else ""
    following = next((m for m in range(end, min(end + RECENT, size)) if t.stems[m] in t.mains - {head}), end + RECENT)
    marks["until the next sort"] = (following - end) / 30
    marks["sorts behind"] = min(len({s for s in t.stems[end : end + RECENT] if s in t.mains}), 4)
    return marks


def _of_the_name(
    tokens: Tokens, noun: str, main: bool | None, at: int, k: int, t: Told, vocabulary: Vocabulary
) -> dict[str, float]:
    """How a clause names a machine, and whether that was named before."""
    if not noun:
        return {}
    head, article = t.stems[at], article_at(tokens, k, at)
    before = t.stems[: max(k, 0)]
    return {
        "own": float(main is True),
        "serves": float(main is False),
        "news": float(article is True),
        "known": float(article is False),
        "own, early": float(main is True and at - k <= 3),
        "own, known": float(main is True and article is False),
        "own, new": float(main is True and head not in before[OVERVIEW:]),
        "named just before": float(head in before[-RECENT:]),
        "named long before": float(head in before[:-RECENT]),
        "comma behind": float(tokens[at].after == ","),
        "stop behind": float(tokens[at].after in (".", ":")),
    }


def _of_the_words(tokens: Tokens, i: int, k: int, end: int, t: Told, vocabulary: Vocabulary) -> dict[str, float]:
    """How a clause is put, and what stands around it."""
    low, span = t.low, range(i, end)
    bare = not any(w in VERBS or w.endswith("'s") for w in low[i:end])
    here = {s for s in t.stems[i : i + NEAR] if len(s) >= CONTENT and s.isalpha()}
    before = {s for s in t.stems[max(0, i - NEAR) : i] if len(s) >= CONTENT and s.isalpha()}
    figures = [is_code(x, vocabulary) and x.lower not in ("one", "a") for x in tokens[k : k + TOLD_IN]]

    def stands(kind: str) -> float:
        return float(any(phrase_at(tokens, x, vocabulary, kind) for x in span))

    return {
        "it first": float(low[k] in IT),
        "pronoun first": float(low[k] in PRONOUNS),
        "a first": float(low[k] in ("a", "an") or (k > i and low[k - 1] == "a")),
        "place first": float(low[k] in said(vocabulary, "where")),
        "going first": float(low[k] in said(vocabulary, "go")),
        "number first": float(is_code(tokens[k], vocabulary)),
        "next first": float(low[k] in NEXT),
        "the first": float("first" in low[i : i + 4]),
        "no verb": float(bare),
        "short, no verb": float(bare and end - i <= 8),
        "it follows": float(low[end : end + 1] != [] and low[end] in IT),
        "of it": float(any(low[x] in ("on", "of", "for", "with") and low[x + 1] in OF_IT for x in span[:-1])),
        "plate before": float(any(i - NEAR <= p < i for p in t.plates)),
        "plate": float(any(k <= p < k + 30 for p in t.plates)),
        "maker": float(has_plate(tokens[k : k + 20], vocabulary)),
        "figures": min(sum(figures), 6),
        "line": float(any(i <= p < end for p in t.lines)),
        "serves here": stands("serves"),
        "lot": stands("new"),
        "back": float(any(i <= p < end for p in t.backs)),
        "back, as a word": float("back" in low[i : i + 7]),
        "late": float(any(i <= p < end for p in t.late)),
        "late soon": float(any(i <= p < end + AFTER_LEAD for p in t.late)),
        "apart": stands("apart"),
        "not shown": float(left_out(tokens, i, vocabulary)),
        "closed before": float(
            any(phrase_at(tokens, x, vocabulary, "closing") for x in range(max(0, i - JUST_SAID), i))
        ),
        "same words": len(here & before) / (1 + min(len(here), len(before))) ** 0.5,
        "question": float(end > 0 and tokens[end - 1].after == "?"),
    }


def _name(
    tokens: Tokens, k: int, end: int, kind: str, length: int, vocabulary: Vocabulary
) -> tuple[str, bool | None, int]:
    start = k if kind in ("bare", "one", "order") else k + length
    return machine_named(tokens, start, min(end, k + NAMED_WITHIN), vocabulary, widely=True)


def _behind_openers(tokens: Tokens, i: int, vocabulary: Vocabulary) -> int:
    """The first token behind words that lead in ("okay so"), where more follows."""
    openers, k = said(vocabulary, "opener") - {"this", "there", "that's"}, i
    while (
        k < len(tokens) - 1
        and k - i < 5
        and tokens[k].lower in openers
        and not phrase_at(tokens, k, vocabulary, "turn")
    ):
        k += 1
    return k


def _end(t: Told, places: Sequence[int], n: int) -> int:
    """The end of a clause: of its sentence, or the beginning of the next clause."""
    return min([t.ends[places[n]], *places[n + 1 : n + 2]])


def _year(text: str) -> bool:
    return text.isdigit() and len(text) == 4 and 1900 <= int(text) <= 2099
