"""How work travels through a line beyond station after station: ways back, branches, stations side by side. Pure.

Read from what was said of the direction of travel (remarks of that kind), and only where it names or stands beside the
stations it is about; nothing is guessed from the stations alone.
"""

from __future__ import annotations

import re
from collections.abc import Sequence as Many
from dataclasses import dataclass

from pipeline.walk import Remark, Station

BACK = re.compile(
    r"\b(returns?|returning|loops?|looped|carousel|oval|endless|recirculat\w+"
    r"|(?:comes?|goes?|runs?|travels?|brings? \w+|sent) (?:\w+ )?back(?: around)?|back to (?:the )?\w+)\b",
    re.IGNORECASE,
)
SIDE = re.compile(
    r"\b(branch(?:es)?|splits?|forks?|diverts?|diverted|spur|bypass(?:es)?|kicks? (?:out|off)|reject(?:s|ion)? (?:lane|"
    r"table|chute|conveyor)|(?:goes?|comes?|go) (?:out|off) (?:here )?to the (?:side|left|right)(?: side)?)\b",
    re.IGNORECASE,
)
BESIDE = re.compile(r"\b(side by side|in parallel|parallel|next to each other|two abreast|twin lanes?)\b", re.I)
NEAR = 6.0
"""Seconds between a remark and the stations that it is about. Chosen, no source."""
LEADS = (
    r"(?:tank|station|stage|zone|compartment|section|unit|bay|cell|position|module|pass|step|lot|number|from|to|at|"
    r"into|of|between|and|behind|after|before)"
)
"""What stands before the number of a station."""
WHILE = 20.0
"""Seconds before and after the telling of a line within which a remark is of it. Chosen, no source."""
_NUMBERS = ("zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen "
            "seventeen eighteen nineteen twenty").split()  # fmt: skip


@dataclass(frozen=True, slots=True)
class Travel:
    """By index of the stations: ways back (from, to), stations with a branch, groups side by side."""

    backs: tuple[tuple[int, int], ...] = ()
    sides: tuple[int, ...] = ()
    beside: tuple[tuple[int, ...], ...] = ()

    def slots(self, stations: int) -> list[list[int]]:
        """Which stations stand at each place of the line, in order of travel."""
        group = {i: g for g in self.beside for i in g}
        return [list(group.get(i, (i,))) for i in range(stations) if i == group.get(i, (i,))[0]]


def travel(stations: Many[Station], remarks: Many[Remark], *, alone: bool = True) -> Travel:
    """What was told of the travel; alone is whether the walk has no other line that a remark could be about."""
    backs: list[tuple[int, int]] = []
    sides: list[int] = []
    beside: list[tuple[int, ...]] = []
    if len(stations) < 2:
        return Travel()
    for r in remarks:
        if r.kind != "direction":
            continue
        named = _named(r.text, stations)
        if BACK.search(r.text):
            first, last = len(stations) - 1, 0
            if len(named) > 1:
                first, last = named[0], named[-1]
            elif named and named[0] < first:
                last = named[0]
            if first > last and (named or (alone and _while_told(r, stations))):
                backs.append((first, last))
        elif BESIDE.search(r.text):
            beside += _groups(stations, named or _near(r, stations))
        elif SIDE.search(r.text):
            at = named[:1] or _near(r, stations)[-1:]
            sides += at
    return Travel(tuple(dict.fromkeys(backs)), tuple(dict.fromkeys(sides)), tuple(_apart(beside)))


def _named(text: str, stations: Many[Station]) -> list[int]:
    """Stations whose number the text holds, else those whose role it holds and no other has, in its order."""
    low = text.lower()
    numbers: list[tuple[int, int]] = []
    roles: list[tuple[int, int]] = []
    for i, s in enumerate(stations):
        number = str(s.number).lower()
        spoken = _NUMBERS[int(number)] if number.isdigit() and int(number) < len(_NUMBERS) else number
        # "from nine to tank six"; in "those two" two is no station
        if m := re.search(rf"\b{LEADS}\s+(?:{re.escape(number)}|{re.escape(spoken)})\b", low):
            numbers.append((m.start(), i))
        alone = sum(other.role.lower() == s.role.lower() for other in stations) == 1
        if alone and len(s.role) > 3 and (m := re.search(rf"\b{re.escape(s.role.lower())}\b", low)):
            roles.append((m.start(), i))
    return [i for _, i in sorted(numbers or roles)]


def _near(remark: Remark, stations: Many[Station]) -> list[int]:
    """Stations spoken of at the time of the remark, in order of travel."""
    if not remark.evidence:
        return []
    start, end = remark.evidence[0].start - NEAR, remark.evidence[-1].end + NEAR
    return [i for i, s in enumerate(stations) if any(start <= e.start <= end for e in s.evidence)]


def _while_told(remark: Remark, stations: Many[Station]) -> bool:
    """Whether a remark that names no station was made while these were spoken of, and not of another machine."""
    times = [t for s in stations for e in s.evidence for t in (e.start, e.end)]
    return bool(times and remark.evidence) and (
        min(times) - WHILE <= remark.evidence[0].start and remark.evidence[-1].end <= max(times) + WHILE
    )


def _groups(stations: Many[Station], at: list[int]) -> list[tuple[int, ...]]:
    """Neighbours of one role among them, two or three at a time."""
    out: list[tuple[int, ...]] = []
    for i in at:
        same = bool(out) and out[-1][-1] == i - 1 and stations[i].role.lower() == stations[i - 1].role.lower()
        if same and len(out[-1]) < 3:
            out[-1] = (*out[-1], i)
        else:
            out.append((i,))
    return [g for g in out if len(g) > 1]


def _apart(groups: list[tuple[int, ...]]) -> list[tuple[int, ...]]:
    """Without those that share a station with an earlier one."""
    taken: set[int] = set()
    out = []
    for g in groups:
        if not taken & set(g):
            out.append(g)
            taken |= set(g)
    return out
