"""Words that are units and names of things as well: barrels of a plating line and of beer, bars of a cell and of
air."""

from __future__ import annotations

from extractors.mentions import Tokens

FEW = 12
"""So many are counted at most; chosen, no source."""
HELD_IN_BARRELS = frozenset(
    "beer ale brewery brewhouse brew brewing mash wort kettle fermenter fermenters copper brite bright conditioning "
    "keg kegs hops crude oil distillate petroleum condensate cider wine whisky whiskey bourbon cask casks".split()
)
"""Words of a trade that measures in barrels."""
MOVES = frozenset({"goes", "go", "comes", "come"})


def measures_in_barrels(tokens: Tokens) -> bool:
    """Whether the talk is of a trade that does."""
    return any(t.lower in HELD_IN_BARRELS for t in tokens)


def counts_things(tokens: Tokens, said: str, value: float, end: int, *, in_barrels: bool) -> bool:
    """Whether a unit that ends before `end` counts things: barrels where nothing is held in any, bars that move."""
    if said not in ("bar", "barrel") or value != int(value) or not 0 < value <= FEW:
        return False
    if said == "barrel":
        return not in_barrels
    behind = [t.lower for t in tokens[end : end + 3]]
    return not tokens[end - 1].after and (behind == ["at", "a", "time"] or bool(MOVES & {*behind[:1]}))
