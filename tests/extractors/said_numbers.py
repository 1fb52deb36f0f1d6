"""Numbers to words, for tests: the plain way, as schools teach it, and the short way of talking shop."""

from __future__ import annotations

ONES = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen"
).split()
TENS = "_ _ twenty thirty forty fifty sixty seventy eighty ninety".split()
SCALES = ((1_000_000_000, "billion"), (1_000_000, "million"), (1000, "thousand"), (100, "hundred"))


def words(n: int, *, joined: str = "") -> str:
    """A whole number below a trillion in words; joined is put behind hundreds ("and")."""
    if n < 20:
        return ONES[n]
    if n < 100:
        return TENS[n // 10] + (f" {ONES[n % 10]}" if n % 10 else "")
    for size, name in SCALES:
        if n >= size:
            rest = n % size
            link = f" {joined}" if joined and size == 100 and rest else ""
            return f"{words(n // size, joined=joined)} {name}{link}" + (
                f" {words(rest, joined=joined)}" if rest else ""
            )
    raise AssertionError(n)


def pair(n: int) -> str | None:
    """A number of three or four digits as a pair ("four eighty", "seventeen eighty"); None where nobody says it so."""
    first, second = divmod(n, 100)
    if not (100 < n < 10_000) or second < 10 or (first % 10 == 0 and first > 9):
        return None
    return f"{words(first)} {words(second)}"
