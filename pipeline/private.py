"""What is kept back from those outside: phone numbers, mail addresses, prices, people's names. Pure."""

from __future__ import annotations

import re

from pipeline.printed import clean
from pipeline.walk import Component, Quantity, Walk

_NUMBER = r"\d[\d,.]*"
_ONES = "one two three four five six seven eight nine oh zero ten eleven twelve thirteen fourteen fifteen sixteen " \
        "seventeen eighteen nineteen twenty thirty forty fifty sixty seventy eighty ninety"  # fmt: skip
_SPOKEN = f"(?:{_ONES.replace(' ', '|')}|hundred|thousand|million|grand|and|a|half)"
_MONEY = r"(?:dollars?|bucks?|grand|euros?|pounds? sterling|quid|cents?|usd|eur|gbp|cad|aud)"
PRICE = re.compile(
    rf"(?:[$€£¥]\s?{_NUMBER}(?:\s?(?:k|m|million|thousand|grand)\b)?"
    rf"|\b{_NUMBER}\s?(?:k|thousand|million|hundred)?\s?{_MONEY}\b"
    rf"|\b(?:{_SPOKEN}[\s-]+)+{_MONEY}\b"
    r"|\b(?:asking|priced? (?:at|is)|paid|wants?|offered|worth|costs?|sells? for|sold for|take)\s+"
    rf"(?:about\s+|around\s+)?{_NUMBER}(?:\s?k\b|\s?thousand\b)?(?!\s?[\w%°\"']))",
    re.IGNORECASE,
)
"""Money in figures or words; a figure without its money only behind words of a deal and before no unit."""
PHONE = re.compile(r"\+?\(?\d[\d\s().-]{5,}\d|[\w.+-]+@[\w-]+\.[\w.]+")
"""Phone numbers and mail addresses as people write them; figures with units are shorter."""
_DIGIT = "|".join(_ONES.split()[:11])
SPOKEN_PHONE = re.compile(rf"\b(?:(?:{_DIGIT}|double|triple)[\s,-]+){{6,}}(?:{_DIGIT})\b", re.IGNORECASE)
"""Seven and more digits spoken one by one."""
CAPITAL = r"[A-Z][a-z'’]+(?:-[A-Z][a-z]+)?"
NAMED = re.compile(
    rf"\b(?P<lead>(?:[Mm]r|[Mm]rs|[Mm]s|[Mm]iss|[Dd]r)\.?\s+|(?:[Cc]all|[Aa]sk(?: for)?|[Ss]ee|[Cc]ontact|[Tt]alk to|"
    rf"[Ss]peak to|[Tt]old me by|[Nn]amed|[Oo]wner,?|[Oo]perator,?|[Ff]oreman,?|[Mm]aintenance man,?)\s+)"
    rf"(?P<name>{CAPITAL}(?:\s+{CAPITAL})?)|\b(?P<before>{CAPITAL})(?=\s+(?:says?|said|told|tells|reckons|swears|claims)\b)"
)
"""A title, a person's office or words of speech beside a capital. Common practice, no source."""
NO_NAMES = frozenset(
    "He She They It We I You Who That This The Everybody Somebody Nobody Owner Plate Seller Figure Page Section Manual "
    "Drawing Table Photo Not As Was Is Never Nothing All What Words Speaker".split()
)
OFFICES = frozenset(
    "the a an their his her our owner seller operator foreman manager maintenance man guy plate gauge document manual "
    "nameplate paperwork electrician mechanic engineer service broker landlord driver supervisor he she they i".split()
)
"""Words that name an office or a paper and nobody."""


def names_said(walk: Walk) -> tuple[str, ...]:
    """People of whom a fact says that they told it, longest name first."""
    facts: tuple[Quantity | Component, ...] = (*walk.quantities, *walk.components)
    said = {clean(x.by, 60) for x in facts if x.by}
    return tuple(sorted((n for n in said if not OFFICES.issuperset(n.lower().split())), key=lambda n: (-len(n), n)))


def withhold(text: str, names: tuple[str, ...] = (), *, prices: bool = True) -> str:
    """The text with phone numbers, mail addresses, names and, if asked, prices replaced by a mark."""
    for name in names:
        text = re.sub(rf"(?<!\w){re.escape(name)}(?!\w)", "[name withheld]", text, flags=re.IGNORECASE)

    def phone(m: re.Match[str]) -> str:
        if re.fullmatch(r"\d+\.\d+", m[0]):  # a decimal, or a paragraph of a regulation
            return m[0]
        return "[withheld]" if sum(c.isdigit() for c in m[0]) >= 7 or "@" in m[0] else m[0]

    def named(m: re.Match[str]) -> str:
        name = m["name"] or m["before"]
        return m[0] if name.split()[0] in NO_NAMES else f"{m['lead'] or ''}[name withheld]"

    if prices:
        text = PRICE.sub("[price withheld]", text)
    return NAMED.sub(named, SPOKEN_PHONE.sub("[withheld]", PHONE.sub(phone, text)))
