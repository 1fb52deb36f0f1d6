"""Years of running and ages told in years against the year of build, or the year that it was put in."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from pipeline.checks.facts import facts, limit, slack
from pipeline.checks.offers import verdict
from pipeline.checks.told import as_figure
from pipeline.checks.wording import number
from pipeline.checks.worked import year_built
from pipeline.walk import Checked, Finding, Loose, Quantity, Walk
from vocab import Vocabulary

Results = Iterator[Finding | Checked]

_NEW_IN = re.compile(
    r"\b(?:bought (?:it |the \w+ |them )?(?:brand )?new(?: in)?|(?:brand )?new in|installed(?: new)?(?: in)?|"
    r"commissioned(?: in)?|"
    r"made(?: in)?|built(?: in)?|manufactured(?: in)?|stamped|dated|year of manufacture|vintage)\W*$"
)
_OLD = re.compile(r"^years? old\b|^years? of age\b|^year old\b")
_IN_USE = re.compile(
    r"\b(?:running|ran|run|been (?:here|going|in (?:use|service)|at it|working|turning)|in (?:use|service)|working "
    r"here|served|"
    r"going strong)\b[^.]*$"
)
_OTHER = re.compile(
    r"\b(?:crew|man|men|lads?|she|he|foreman|operator|works? here|worked here|employ\w*|i've|i have|my|we've|company|"
    r"family|"
    r"building|last|past|warranty|guarantee\w*|old(?:er)? (?:one|line|machine)|before|predecessor|bearings?|belt|"
    r"chain|roof|"
    r"liners?|refractory|paint|batter\w*)\b"
)


_SOMEBODY = re.compile(
    r"\b(?:operators?|foreman|man|men|he|she|they|lads?|crew|fellas?|guys?|family|company|i|we|owner|building|roof|"
    r"shop|factory|"
    r"hall|works|firm|business)(?:'s|'ve| has| have|) (?:\w+ )?(?:been|running|working|run|ran|worked|going|in)\b"
)


def years_and_build(walk: Walk, vocabulary: Vocabulary, today: date) -> Results:
    """ "Bought new in 2014", and "it's been running here for twenty years now"; "made 2009", "eight years old".

    Arithmetic: years of running ≤ this year - year of build; an age is that difference. Tolerance: limits.toml, years
    and build, in years, and wording. Only a number of years told as an age or of running, of nothing but the machine
    (no person, roof or bearing in its words), where the year of build stands or a year told as made, built or bought
    new. Always a question: it may be of another machine. Source: plain order of time.
    """
    rule = "years_and_build"
    facts(walk)
    made = _made(walk, today)
    row = limit(vocabulary, "years and build")
    if made is None:
        return
    for n in walk.loose:
        if n.value != int(n.value) or not 2 <= n.value <= 120 or not re.match(r"years?\b", n.behind):
            continue
        lead = " ".join(n.before.split()[-9:])
        age, use = bool(_OLD.match(n.behind)), bool(_IN_USE.search(lead))
        if use and not age and _SOMEBODY.search(lead):
            continue  # "the operator has been running this for thirty years"
        if (
            not (age or use)
            or _OTHER.search(" ".join(lead.split()[-5:]))
            or re.search(r"\b(?:more|less|till|until|under|over|warranty)\b", lead)
        ):
            continue
        told = as_figure(n, "duration", "year", "machine")
        low = float(row["low"]) if age else None

        def holds(told: Quantity, made: Quantity, low: float | None = low) -> bool:
            spare = float(row["high"]) + slack(told) * told.value + 0.1 * told.value * (told.value % 10 == 0)
            since = today.year - made.value
            return told.value <= since + spare and (low is None or told.value >= since - low - spare)

        what = "old" if age else "of running"
        message = (
            f"{number(told.value)} years {what}, and {made.value:.0f} as its year are "
            f"{number(today.year - made.value)} years "
            "till now: read the plate again, and ask which machine was meant."
        )
        yield from verdict(rule, [told, made], holds, message, level="check")


def _made(walk: Walk, today: date) -> Quantity | None:
    """The year of build, else the one year told as made, built or bought new."""
    built = year_built(walk)
    if built is not None:
        return built
    years: dict[float, Loose] = {
        n.value: n for n in walk.loose if 1900 <= n.value <= today.year and _NEW_IN.search(n.before)
    }
    if len(years) != 1:
        return None
    n = next(iter(years.values()))
    return Quantity("identity.year", "machine", "year", n.value, "", evidence=n.evidence)


RULES = (years_and_build,)
