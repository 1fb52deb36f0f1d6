"""Lines whose numbered places are machines: "number one is the bin tipper, two the dump tank, three the elevator".

The places of a line of baths or of zones are no things of their own; those of a line of machines are listed.
Which one a line is shows in its roles together: a single dryer at the end of ten rinses makes no line of machines.
"""

from __future__ import annotations

from collections.abc import Sequence

from extractors.mentions import SequenceMention, StationMention
from extractors.noun_phrase import Phrase
from extractors.noun_tables import names_of
from extractors.open_nouns import NO_AGENTS, is_agent
from extractors.phrases import Atom, is_plural, key, singular, text_of
from extractors.scene import Scene
from vocab import Vocabulary

FEWEST = 4
"""Places below which their roles say too little."""
SHARE = 0.4
"""Share of roles that name a machine from which on all of them do."""
NO_MACHINES = frozenset(
    {"zone", "tank", "chamber", "compartment", "bath", "section", "cell", "lane", "pass", "takeoff", "hit"}
)
"""Words for places that are inside one machine."""
DIVISIONS = frozenset({"section", "cell"})
"""Such words that are said of machines that stand in a row as well: most of their roles must be machines."""
MOST = 0.6
VESSELS = frozenset("tank vat bath kettle pit tun bin cell basin sump".split())
"""Heads that a line of baths has."""
LISTED = frozenset({"machine", "part", "site", "generic"})


def machine_stations(
    view: Scene, phrases: Sequence[Phrase], sequences: tuple[SequenceMention, ...], vocabulary: Vocabulary
) -> tuple[list[Phrase], frozenset[tuple[int, int]]]:
    """Phrases for the places of lines of machines that none was found for, and the atoms of all of their roles."""
    new: list[Phrase] = []
    roles: set[tuple[int, int]] = set()
    for sequence in sequences:
        spans = [(s, _role_at(view, s)) for s in sequence.stations if s.role and s.status != "withdrawn"]
        word = sequence.station_word
        share = MOST if word in DIVISIONS else SHARE
        if len(spans) < FEWEST or word in NO_MACHINES - DIVISIONS or not _are_machines(view, spans, vocabulary, share):
            continue
        for station, span in spans:
            if span is None or not isinstance(station.number, int):
                continue
            roles.add(span)
            first, last = span
            if not any(p.first < last and first < p.last and p.grade not in ("never", "whole") for p in phrases):
                new.append(_phrase(view.atoms, first, last))
    return new, frozenset(roles)


def role_phrases(
    view: Scene, phrases: Sequence[Phrase], sequences: tuple[SequenceMention, ...], roles: frozenset[tuple[int, int]]
) -> dict[int, tuple[int, ...]]:
    """Index of each sequence -> the phrases that its places were told with; `roles`: the atoms of machines' places."""
    out: dict[int, tuple[int, ...]] = {}
    for s, sequence in enumerate(sequences):
        spans = [_role_at(view, t) for t in sequence.stations if t.role and t.status != "withdrawn"]
        told = [span for span in spans if span is not None and span in roles]
        out[s] = tuple(
            n
            for n, p in enumerate(phrases)
            if p.grade not in ("never", "whole") and any(p.first < b and a < p.last for a, b in told)
        )
    return out


def _role_at(view: Scene, station: StationMention) -> tuple[int, int] | None:
    """The atoms of a station's role within its span; None where the role was not said in one piece."""
    words, atoms = list(key(station.role)), view.atoms
    for k in range(len(atoms) - len(words) + 1):
        word = view.tokens[atoms[k].token].word
        if word >= station.span[1]:
            break
        said = [a.lower for a in atoms[k : k + len(words)]]
        if word >= station.span[0] and [*said[:-1], singular(said[-1])] == [*words[:-1], singular(words[-1])]:
            return k, k + len(words)
    return None


def _are_machines(
    view: Scene, spans: Sequence[tuple[StationMention, tuple[int, int] | None]], vocabulary: Vocabulary, share: float
) -> bool:
    """Whether enough roles end in the name of a machine."""
    names, found = names_of(vocabulary), 0
    for _, span in spans:
        if span is None or (last := singular(view.atoms[span[1] - 1].lower)) in VESSELS:
            continue
        ends = (names.at(view.atoms, k) for k in range(*span))
        named = share == MOST and span[1] - span[0] > 1
        agent = named and is_agent(last) and last not in NO_AGENTS  # "double facer"; "alkaline cleaner" is a bath
        found += agent or any(e is not None and e[0] == span[1] and e[1][1] in LISTED for e in ends)
    return found >= share * len(spans)


def _phrase(atoms: Sequence[Atom], first: int, last: int) -> Phrase:
    head = atoms[last - 1].lower
    modifiers = tuple(a.lower for a in atoms[first : last - 1])
    return Phrase(
        first, first, last - 1, last, "open", singular(head), text_of(atoms, first, last), article="the",
        modifiers=modifiers, plural=is_plural(head),
    )  # fmt: skip
