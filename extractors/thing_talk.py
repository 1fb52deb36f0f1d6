"""More of what speaks for and against a name being on a buyer's list: its sentence, how often it is said, what is told
of it, whether it is waved aside, and whether it only tells what another thing is like. thing_marks.py has the rest."""

from __future__ import annotations

from math import log

from extractors.noun_phrase import DEFINITE, Phrase
from extractors.phrases import clause_end, clause_start, sentence_bounds, singular
from extractors.thing_marks import (
    WIDEST,
    Marks,
    Recording,
    before_marks,
    behind_marks,
    name_marks,
    noun,
    said_marks,
)

FEW, LONG = 3, 12
EARLY = 4
"""Sentences in which people say what the recording is about."""
NEXT = 8
"""Words of the sentence behind that may wave aside what was named last."""
FAR = 100
"""Phrases with the same noun that are looked at, at most."""
MACHINES = ("machine", "site", "open")


def thing_marks(r: Recording, n: int, *, ruled: str) -> Marks:
    """The marks of phrase n; `ruled` is what the rules make of it: listed, passing, left or never."""
    p = r.phrases[n]
    out: Marks = {f"ruled {ruled}": 1, f"ruled {ruled}, {p.grade}": 1} | r.manner
    for marks in (name_marks, said_marks, before_marks, behind_marks):
        out |= marks(r, p)
    for told in (_sentence, _repeated, _told, _aside, _described, _opening):
        out |= told(r, n)
    return {name: float(value) for name, value in out.items() if value}


def _sentence(r: Recording, n: int) -> Marks:
    """The sentence that it stands in."""
    p, atoms, measured = r.phrases[n], r.atoms, r.talk.view.measured
    first, last = r.sentence(p)
    start, end = _clause(r, p)
    words = {a.lower for a in atoms[first:last]}
    clause, before = {a.lower for a in atoms[start:end]}, {a.lower for a in atoms[start : p.first]}
    mates = _mates(r, n, first, last)
    ahead = [m for m in mates if m < n]
    figures = sum(measured.get(k) == k for k in range(p.last, end))
    verb = any(w in r.words["being"] | r.words["having"] or r.classes.of(w) in ("acts", "helps") for w in words)
    main = bool(ahead) and r.phrases[ahead[0]].grade in MACHINES
    return {
        "short sentence": last - first <= FEW,
        "long sentence": last - first > LONG,
        "no verb": not verb,
        "no verb, opens": not verb and p.first - first <= 1,
        "first of its sentence": not ahead,
        "others before": len(ahead) > 1,
        "others behind": len(mates) > len(ahead),
        "alone": not mates,
        "part behind its machine": main and p.grade in ("part", "never"),
        "machine behind a machine": main and p.grade in ("machine", "site"),
        "figures behind it": min(figures, FEW),
        "figures in its clause": any(k in measured for k in range(start, end)),
        "denied": bool(before & r.words["denying"]),
        "denied in its sentence": bool(words & r.words["denying"]),
        "speaker before": bool(before & r.words["speaking"]),
        "speaker in its sentence": bool(words & r.words["speaking"]),
        "elsewhere": bool(clause & r.words["elsewhere"]),
        "for what": bool(before & r.words["purpose"]),
        "question": atoms[last - 1].after == "?",
        "in a row": _beside(r, n - 1, n) or _beside(r, n, n + 1),
    }


def _clause(r: Recording, p: Phrase) -> tuple[int, int]:
    """First atom and end of its clause, as far as it is looked at."""
    start, end = clause_start(r.atoms, p.first), clause_end(r.atoms, p.last - 1)
    return max(start, p.first - WIDEST), min(end, p.last + WIDEST)


def _mates(r: Recording, n: int, first: int, last: int) -> list[int]:
    """The other names in atoms first to last."""
    a = b = n
    while a > 0 and r.phrases[a - 1].first >= first:
        a -= 1
    while b + 1 < len(r.phrases) and r.phrases[b + 1].first < last:
        b += 1
    return [m for m in range(a, b + 1) if m != n and r.phrases[m].grade != "never"]


def _beside(r: Recording, a: int, b: int) -> bool:
    """Whether nothing but a comma or "and" stands between two phrases."""
    if a < 0 or b >= len(r.phrases):
        return False
    one, two = r.phrases[a], r.phrases[b]
    if r.atoms[one.first].sentence != r.atoms[two.first].sentence:
        return False
    between = [x.lower for x in r.atoms[one.last : two.first]]
    return between in (["and"], ["or"], ["plus"]) or (not between and r.atoms[one.last - 1].after == ",")


def _repeated(r: Recording, n: int) -> Marks:
    """How often it is said, and how."""
    p, atoms = r.phrases[n], r.atoms
    kin = _near(r, n)
    words = _which(p)
    group = [m for m in kin if _which(r.phrases[m]) <= words or words <= _which(r.phrases[m])]
    earlier = [m for m in kin if m < n]
    just = bool(earlier) and atoms[p.first].sentence - atoms[r.phrases[earlier[-1]].first].sentence <= 1
    definite = p.article in DEFINITE
    return {
        "said again": log(len(group)),
        "said once": len(group) == 1,
        "said once, one word": len(group) == 1 and not words,
        "others of its noun": log(1 + len(kin) - len(group)),
        "its noun said before": bool(earlier),
        "its noun just said": just,
        "definite, first time": definite and not earlier,
        "definite, noun said before": definite and bool(earlier),
        "more words later": any(words < _which(r.phrases[m]) for m in group if m > n),
    }


def _near(r: Recording, n: int) -> list[int]:
    """The phrases with its noun, those farthest away left out where there are very many."""
    kin = r.kin[noun(r.phrases[n])]
    return sorted(sorted(kin, key=lambda m: abs(m - n))[:FAR]) if len(kin) > FAR else [*kin]


def _which(p: Phrase) -> frozenset[str]:
    """The words before its noun, in the singular."""
    return frozenset(singular(m) for m in (*p.heads[:-1], *p.modifiers))


def _told(r: Recording, n: int) -> Marks:
    """What is told of it, here or where it is said again."""
    p = r.phrases[n]
    words = _which(p)
    again = [m for m in _near(r, n) if words <= _which(r.phrases[m]) and m != n]
    return {
        "fate": n in r.decided,
        f"fate, {p.grade}": n in r.decided,
        "fate told again": any(m in r.decided for m in again),
        "count told again": any(r.phrases[m].count for m in again),
        "listed under a heading": p.first in r.talk.lists.items,
        "heading": p.first in r.talk.lists.headings,
    }


def _aside(r: Recording, n: int) -> Marks:
    """Words by which it is waved aside, in its sentence ("never mind that") or in the next ("that's another lot")."""
    p, atoms = r.phrases[n], r.atoms
    first, last = r.sentence(p)
    here = _text(r, first, last)
    then = _text(r, last, min(sentence_bounds(atoms, last)[1], last + NEXT)) if last < len(atoms) else ""
    final = not any(m > n and r.phrases[m].grade in MACHINES for m in _mates(r, n, first, last))
    dismissed, others = r.words["dismissed"], r.words["others"]
    waved = _any(dismissed, here)
    return {
        "waved aside": waved,
        "waved aside behind it": waved and final,
        "waved aside next": final and _any(dismissed, then),
        "of others": _any(others, here),
        "of others next": final and _any(others, then),
    }


def _text(r: Recording, first: int, last: int) -> str:
    return f" {' '.join(a.lower for a in r.atoms[first:last])} "


def _any(said: frozenset[str], text: str) -> bool:
    return any(f" {words} " in text for words in said)


def _described(r: Recording, n: int) -> Marks:
    """Whether it tells what another thing is like, or how much of something is held or made at a time."""
    p, atoms = r.phrases[n], r.atoms
    first, _ = r.sentence(p)
    start, _ = _clause(r, p)
    bare = not p.article and p.count is None and not p.plural
    apposed = n > 0 and r.phrases[n - 1].last == p.first and r.phrases[n - 1].grade != "never"
    apposed = apposed and atoms[p.first - 1].after == ","
    held = p.count is not None and bool({a.lower for a in atoms[start : p.first]} & r.words["holding"])
    told = p.article in ("a", "an", "one") and p.first - 2 >= first and atoms[p.first - 1].lower in r.words["being"]
    of = atoms[p.first - 2].lower if told else ""
    return {
        "apposed": apposed and bare,
        "apposed, at an end": apposed and bare and bool(atoms[p.last - 1].after),
        "apposed with a": apposed and p.article in ("a", "an"),
        "behind its heading": _headed(r, n),
        "behind its heading, bare": _headed(r, n) and bare,
        "held": held,
        "held, several": held and (p.count or 0) > 1,
        "kind of it": of in ("it", "this", "that", "they", "she", "he"),
        "kind of a thing": r.classes.of(of) == "content" if of else False,
    }


def _headed(r: Recording, n: int) -> bool:
    """Whether it opens its sentence, and the one before was nothing but a name: "Intercooler. Upright vessel, ..."."""
    if n == 0 or r.phrases[n].first != sentence_bounds(r.atoms, r.phrases[n].first)[0]:
        return False
    before = r.phrases[n - 1]
    next_to = r.atoms[before.first].sentence == r.atoms[r.phrases[n].first].sentence - 1
    return next_to and sentence_bounds(r.atoms, before.first) == (before.first, before.last)


def _opening(r: Recording, n: int) -> Marks:
    """Where in the recording it is said, and whether it is what the recording is of."""
    p, atoms = r.phrases[n], r.atoms
    begun = atoms[p.first].sentence - atoms[0].sentence
    total = max(1, atoms[-1].sentence - atoms[0].sentence)
    one = p.count is None and not p.plural
    named = any(x.grade in (*MACHINES, "whole", "generic") for x in r.phrases[: min(n, FAR)])
    return {
        "early": begun < EARLY,
        "very first": n == 0 or (begun <= 1 and noun(p) == r.opened),
        "its noun opens": noun(p) == r.opened,
        "whole's noun": noun(p) == r.opened and one,
        "whole of the talk": begun <= FEW - 1 and one and not named,
        "place in the talk": begun / total,
        "last words": begun >= total - 1,
    }
