"""What happens to things: a cue, and the thing that it is said of, through pronouns and lists.

A cue is said of the subject of its clause: the first name there that no preposition leads. Where the clause has a
pronoun or nothing at all, the subject is looked for clause by clause backwards. Doubt beats certainty within one
sentence ("whether the chiller goes is up in the air"); of two sentences the later one stands.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from extractors.disposition_targets import Targets
from extractors.disposition_words import BARE_ENDS, NEGATIVE_ENDS, Cue, closed, cues, of_all, weigh
from extractors.noun_phrase import Phrase
from extractors.phrases import Atom, Finder, clause_end, clause_start, said_text
from vocab import Vocabulary


@dataclass(frozen=True, slots=True)
class Decision:
    """A disposition of one phrase, with the atom of its cue."""

    phrase: int
    disposition: str
    reason: str | None
    at: int


def decide(
    atoms: Sequence[Atom], phrases: Sequence[Phrase], vocabulary: Vocabulary
) -> tuple[list[Decision], str | None]:
    """Decisions in order of their cues, and the disposition that was said of everything, if any."""
    finder = cues(vocabulary)
    things = [
        n
        for n, p in enumerate(phrases)
        if p.grade != "never" and not p.negated and (p.grade != "generic" or p.modifiers)
    ]
    targets = Targets(atoms, phrases, things)
    out: list[Decision] = []
    everything: str | None = None
    there: list[Decision] = []
    at_atom = {k: n for n in things for k in range(phrases[n].first, phrases[n].last)}
    i = 0
    while i < len(atoms):
        found = finder.at(atoms, i)
        if found is None:
            i += 1
            continue
        end, cue = found
        if cue.disposition == "reason":
            i += 1
            continue
        said = weigh(atoms, i, end, cue)
        if said is None:
            i += 1
            continue
        behind = targets.object(end) if cue.where == "either" else None
        if cue.where == "either" and behind is None and not closed(atoms, end):
            i += 1
            continue
        if cue.where == "all":
            everything = said
        elif behind is not None:
            out += [Decision(n, said, cue.reason, i) for n in targets.coordinated(behind)]
        elif said == "included" and cue.where == "before" and of_all(atoms, i):
            scope = targets.place(i)
            if scope is None:
                everything = said
            else:
                there += [Decision(n, said, "said of all that is there", i) for n in targets.there(scope)]
        elif cue.where == "after":
            target = next(
                (
                    at_atom[k]
                    for k in range(end - 1, min(end + 5, len(atoms)))
                    if k in at_atom and atoms[k].sentence == atoms[i].sentence
                ),
                None,
            )
            if target is not None:
                group = targets.coordinated(target)
                earlier = out[-1] if out else None
                if said == "same":
                    if earlier is None or atoms[i].sentence - atoms[earlier.at].sentence > 1:
                        i = end
                        continue
                    out += [Decision(n, earlier.disposition, earlier.reason, i) for n in group]
                else:
                    out += [Decision(n, said, cue.reason, i) for n in group]
        else:
            if said == "gone" and not targets.stands_before(i):
                i = end
                continue
            reason = cue.reason or _reason(atoms, i, end, finder)
            out += [
                Decision(n, said, reason, i)
                for n in targets.subject(i, end, weak=cue.where == "weak", taking=cue.where == "either")
            ]
        i = end
    told = {phrases[d.phrase].known for d in out}
    there = [d for d in there if phrases[d.phrase].known not in told]  # what was said of one thing itself stands
    return _settled(atoms, [*there, *out, *_flipped(atoms, phrases, things, out)]), everything


def _flipped(
    atoms: Sequence[Atom], phrases: Sequence[Phrase], things: list[int], out: list[Decision]
) -> list[Decision]:
    """ "The fans don't go, but the two air units do": the other way round for what stands before a bare verb."""
    more = []
    other = {"included": "excluded", "excluded": "included"}
    for n in things:
        k = phrases[n].last
        if k >= len(atoms) or atoms[phrases[n].name].sentence != atoms[k].sentence:
            continue
        earlier = [d for d in out if d.at < phrases[n].first and atoms[d.at].sentence == atoms[k].sentence]
        if not earlier:
            continue
        last = earlier[-1].disposition
        stop = clause_end(atoms, k)
        verb = " ".join(a.lower for a in atoms[k:stop])
        start = clause_start(atoms, phrases[n].first)
        before = [a.lower for a in atoms[start : phrases[n].first]]
        if atoms[k - 1].after or verb in ("too", "as well", "also", "likewise"):
            # "the cart comes with it, and the bolster as well", "the cabinet goes, but not the tank"
            if before in (["and"], ["and", "also"], ["also"], ["plus"]) and (verb in ("too", "as well", "also")):
                more.append(Decision(n, last, earlier[-1].reason, k))
            elif before == ["but", "not"] and last in other:
                more.append(Decision(n, other[last], None, k))
        elif verb in NEGATIVE_ENDS and last == "included":
            more.append(Decision(n, "excluded", None, k))
        elif verb in BARE_ENDS and last in other and "but" in before:
            more.append(Decision(n, other[last], None, k))
    return more


def _reason(atoms: Sequence[Atom], i: int, end: int, finder: Finder[Cue]) -> str | None:
    """The clause that says why, right behind the cue's own or right before it."""
    start = clause_end(atoms, end - 1)
    for k0 in (start, clause_end(atoms, start) if start < len(atoms) else start):
        if k0 >= len(atoms) or atoms[k0].sentence - atoms[i].sentence > 1:
            continue
        k1 = clause_end(atoms, k0)
        found = [f for k in range(k0, k1) if (f := finder.at(atoms, k)) is not None]
        if any(f[1].disposition == "reason" or f[1].reason for f in found) or atoms[k0].lower == "because":
            return said_text(atoms, k0, min(k1, k0 + 14))
    return None


def _settled(atoms: Sequence[Atom], decisions: list[Decision]) -> list[Decision]:
    """One decision for each phrase."""
    order = {"included": 0, "excluded": 1, "uncertain": 2, "gone": 3}
    best: dict[int, Decision] = {}
    for d in decisions:
        old = best.get(d.phrase)
        if old is None:
            best[d.phrase] = d
        elif atoms[old.at].sentence == atoms[d.at].sentence:
            if order[d.disposition] > order[old.disposition]:
                best[d.phrase] = d
        else:
            best[d.phrase] = d
    return list(best.values())
