"""Parts of a total: "six dryers, four of them are gas and three are steam", "nine pumps, six here and three there"."""

from __future__ import annotations

from collections.abc import Container, Sequence
from dataclasses import replace

from extractors.noun_phrase import PREPOSITIONS, Phrase
from extractors.phrases import Atom, clause_start, is_plural, singular
from extractors.scene import Scene

LINKS = frozenset({"is", "are", "'s", "'re", "was", "were"})
OF_THEM = frozenset({"them", "'em", "those", "these", "which"})
HERE = frozenset({"here", "there", "upstairs", "downstairs", "outside", "inside", "below", "above"})
NO_KINDS = frozenset(
    (
        "good bad broken running included excluded gone missing new here there not in on at out off up down for "
        "the a an mine yours sold fine ok okay leaking noisy dead working worn rusty empty full stuck still bigger "
        "smaller all both really pretty very nearly almost about torn bent split shot worn burnt stiff loose tight hot "
        "cold wet dry red green blue"
    ).split()
)
ARTICLES = frozenset("the this that these those our your my their".split())
CALLED_AGAIN = frozenset(
    "is are 's goes go stays stay comes come and with isn't aren't ain't doesn't don't won't".split()
)
"""Words behind a noun that is a subject: "car's going", "feed and reel all go"."""
ONES = 5
"""Sentences back in which what "the tanning ones" are was named."""
FAR = 2
"""Sentences back in which the total may stand."""


def partitives(view: Scene) -> list[Phrase]:
    """Phrases for the parts of totals; what has a noun of its own ("seven automatic guns") is a phrase already."""
    atoms, numbers = view.atoms, view.numbers
    out: list[Phrase] = []
    for i, (end, value, top, form) in sorted(numbers.items()):
        if (
            top is not None
            or form not in ("cardinal", "digits")
            or value != int(value)
            or not 1 <= value <= 500
            or atoms[i].aside
        ):
            continue
        total = next(
            (
                p
                for p in reversed(view.phrases)
                if p.last <= i
                and (p.count or 0) > value
                and p.grade in ("machine", "part", "open")
                and atoms[i].sentence - atoms[p.name].sentence <= FAR
            ),
            None,
        )
        if total is None or end >= len(atoms) or any(p.first <= i < p.last for p in view.phrases):
            continue
        k = end
        of = k + 1 < len(atoms) and atoms[k].lower == "of" and atoms[k + 1].lower in OF_THEM
        k += 2 if of else 0
        if not of and atoms[i].sentence != atoms[total.name].sentence and not any(q.known == total.known for q in out):
            continue
        if k < len(atoms) and atoms[k].lower in HERE and not atoms[k - 1].after:
            out.append(part_of(total, i, k + 1, int(value), atoms[k].lower, behind=True))
            continue
        # "and then the three on the far end are steam"
        stop = min(k + 6, len(atoms))
        while (
            k < stop
            and atoms[k].lower not in LINKS
            and not atoms[k - 1].after
            and atoms[k].sentence == atoms[i].sentence
        ):
            k += 1
        if k >= stop or atoms[k].lower not in LINKS or atoms[k].sentence != atoms[i].sentence or atoms[k - 1].after:
            continue
        if any(p.first > i and p.first < k and p.grade == "machine" for p in view.phrases):
            continue
        kind, last = [], k + 1
        while last < len(atoms) and last - k <= 2 and atoms[last].sentence == atoms[i].sentence:
            lower = atoms[last].lower
            if (
                lower in NO_KINDS
                or lower in PREPOSITIONS
                or lower.endswith(("ly", "ed"))
                or last in numbers
                or last in view.measured
                or lower in ("and", "but", "so", "that", "with")
            ):
                break
            kind.append(lower)
            last += 1
            if atoms[last - 1].after:
                break
        object_behind = last < len(atoms) and atoms[last].lower in ARTICLES | {"a", "an"} and not atoms[last - 1].after
        if not kind or (kind[-1].endswith("ing") and object_behind):
            continue  # "two were holding the door open"
        if singular(kind[-1]) == "one":
            kind = kind[:-1]
        if not kind:
            continue
        out.append(part_of(total, i, last, int(value), " ".join(kind), behind=False))
    # a single one besides ("and one is spare") is a part only beside another part of the same total
    return [p for p in out if (p.count or 0) > 1 or sum(q.known == p.known for q in out) > 1]


def counted_kinds(view: Scene) -> tuple[Phrase, ...]:
    """The phrases, those of a kind of what was counted before with their number.

    "There are three compressors. Two are screw compressors and one is a reciprocating compressor."
    """
    out: list[Phrase] = []
    starts = {
        end: (i, value) for i, (end, value, top, form) in view.numbers.items() if top is None and form != "ordinal"
    }
    for n, p in enumerate(view.phrases):
        k = p.first - 1
        link = p.count is None and not p.negated and k > 0 and view.atoms[k].lower in LINKS and not view.atoms[k].after
        of = k - 2 if link and view.atoms[k - 1].lower in OF_THEM and view.atoms[k - 2].lower == "of" else k
        told = starts.get(of) if link else None
        if told is not None and told[0] not in view.measured and told[1] == int(told[1]):
            head = p.heads[-1]
            total = any(
                q.heads[-1] == head
                and q.plural
                and (q.count or 0) > told[1]
                and view.atoms[p.name].sentence - view.atoms[q.name].sentence <= FAR
                for q in view.phrases[:n]
            )
            if total and (p.modifiers or len(p.heads) > 1):
                p = replace(p, count=int(told[1]))
        out.append(p)
    return tuple(out)


def elided(view: Scene) -> list[Phrase]:
    """Things named again without their noun: "liming drums and tanning drums; the tanning ones are spoken for"."""
    atoms, out = view.atoms, list[Phrase]()
    for k, atom in enumerate(atoms):
        if atom.lower not in ("one", "ones") or atom.aside:
            continue
        first = k - 1
        while first > 0 and k - first < 4 and not atoms[first].after and atoms[first].lower not in ARTICLES:
            first -= 1
        said = {singular(a.lower) for a in atoms[first + 1 : k]}
        if first < 0 or not said or atoms[first].lower not in ARTICLES or any(a.after for a in atoms[first:k]):
            continue
        meant = next(
            (
                p
                for p in reversed(view.phrases)
                if p.last <= first
                and p.grade in ("machine", "part", "open", "generic", "site")
                and not p.negated
                and said <= {singular(m) for m in (*p.modifiers, *p.heads[:-1])}
                and atom.sentence - atoms[p.name].sentence <= ONES
            ),
            None,
        )
        if meant is not None:
            led = first > 0 and atoms[first - 1].lower in PREPOSITIONS and not atoms[first - 1].after
            again = replace(meant, first=first, name=k, head=k, last=k + 1, article="the", count=None, led=led)
            out.append(replace(again, plural=atom.lower == "ones", condition=None, approximate=False, measured=False))
    return out


def bare_heads(view: Scene, listed: Container[int] = ()) -> list[Phrase]:
    """What was named in full, called again by its last word, in no table alone: "the coil car ... Car's going"; in a
    list under a heading (its atoms) by its first word too: "sold: unwind, gravure, slitter"."""
    atoms, out = view.atoms, list[Phrase]()
    first_words: dict[str, list[Phrase]] = {}
    taken = {k for p in view.phrases if p.grade != "never" for k in range(p.first, p.last)}
    full: dict[str, Phrase] = {}
    named = sorted(
        (p for p in view.phrases if p.grade in ("machine", "open", "generic") and _in_full(p) and not p.negated),
        key=lambda p: p.last,
    )
    opened: dict[str, Phrase] = {}
    single = [p for p in view.phrases if p.grade == "open" and not _in_full(p) and not p.negated]
    single.sort(key=lambda p: p.last)
    for k, atom in enumerate(atoms):
        while named and named[0].last <= k:
            whole = named.pop(0)
            full[singular(atoms[whole.last - 1].lower)] = whole
            first_words.setdefault(atoms[whole.name].lower, []).append(whole)
        while single and single[0].last <= k:
            known = single.pop(0)
            opened[singular(atoms[known.last - 1].lower)] = known
        meant = full.get(singular(atom.lower)) or opened.get(singular(atom.lower))
        if meant is not None and not _in_full(meant) and meant.plural != is_plural(atom.lower):
            continue  # "three boosters ... the booster" is each of them
        if meant is not None and not (_in_full(meant) or meant.plural or k in listed):
            continue
        if meant is None and k in listed:
            begun = first_words.get(atom.lower, [])
            meant = begun[0] if len({p.text for p in begun}) == 1 and atom.after else None
        if meant is None or k in taken or atom.aside:
            continue
        first = k
        while (
            first > 0
            and atoms[first - 1].lower in ("the", "all", "its", "their", "with")
            and not atoms[first - 1].after
        ):
            first -= 1
        beside = atoms[first].lower == "with"
        first += beside
        joined = atoms[first - 1].lower in ("and", "with", "mean") and not atoms[first - 1].after
        if (first != clause_start(atoms, k) and not joined) or (not atom.after and not _called_again(atoms, k)):
            continue
        several = is_plural(atom.lower) and not meant.plural
        article = "the" if _in_full(meant) or atoms[k - 1].lower == "the" else ""
        again = replace(meant, first=first, name=k, head=k, last=k + 1, article=article, count=None, led=beside)
        again = replace(again, condition=None, approximate=False, measured=False, indexed=False, negated=False)
        if several:  # "the pallet dispenser and the frame dispenser ... dispensers, in"
            word = singular(atom.lower)
            again = replace(again, known=word, text=atom.lower, modifiers=(), plural=True, holders="")
        out.append(again)
    return out


def _in_full(phrase: Phrase) -> bool:
    """Whether a phrase has more than one word for its thing."""
    return len(phrase.heads) > 1 or bool(phrase.modifiers)


def _called_again(atoms: Sequence[Atom], k: int) -> bool:
    """Whether what stands behind the word at k makes it a subject or a member of a list."""
    return k + 1 < len(atoms) and atoms[k + 1].lower in CALLED_AGAIN


def of_one(name: str) -> str:
    """A plural name in the singular: "oil pumps" to "oil pump"."""
    *words, noun = name.split()
    return " ".join((*words, singular(noun) if noun.islower() else noun))


def part_of(total: Phrase, first: int, last: int, count: int, kind: str, *, behind: bool) -> Phrase:
    """The phrase of a part of a total, from atom first to last (excluded); `behind`: its kind follows the noun."""
    noun = total.text.split()[-1] if count > 1 else of_one(total.text).split()[-1]
    own = singular(kind.split()[-1]) == singular(noun)
    name = f"{noun} {kind}" if behind else kind if own else f"{kind} {noun}"
    kind = kind.rsplit(" ", 1)[0] if own and " " in kind else kind
    return Phrase(
        first,
        first,
        first,
        last,
        "machine",
        total.known,
        name,
        count,
        False,
        "",
        (*total.modifiers, *kind.split()),
        None,
        False,
        False,
        False,
        True,
        False,
        "",
    )
