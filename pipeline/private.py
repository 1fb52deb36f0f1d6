"""What is kept back from those outside: phone numbers, mail addresses, prices, people's names. Pure.

Names are known by what is said beside them ("as Oswin told me", "Oswin, could you hold the light") or as common given
names (vocab/given_names.toml); once known, a name is kept back wherever it stands.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

from pipeline.printed import clean
from pipeline.walk import Component, Quantity, Walk
from vocab import builtin

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
    "the a an their his her our owner seller operator foreman manager maintenance man guy plate gauge document "
    "manual nameplate paperwork electrician mechanic engineer service broker landlord driver supervisor he she they "
    "i planner boss fella guys lads people tech technician supplier vendor buyer dealer auctioneer tenant inspector "
    "rigger welder plumber helper office company outfit customer day night shift lady girl boys old young other "
    "last plant shop line quality production agent rep salesman installer builder maker neighbor neighbour crew "
    "team".split()
)
"""Words that name an office or a paper and nobody."""


def names_said(walk: Walk) -> tuple[str, ...]:
    """People of whom a fact says that they told it, longest name first."""
    facts: tuple[Quantity | Component, ...] = (*walk.quantities, *walk.components)
    said = {clean(x.by, 60) for x in facts if x.by}
    return tuple(sorted((n for n in said if not OFFICES.issuperset(n.lower().split())), key=lambda n: (-len(n), n)))


_ASKED = (
    "could can would will do did have are please thanks thank hold shine move shut open close stop come go get grab "
    "give take mind watch look say tell bring put keep let hang wait stand step lift turn film point help"
).replace(" ", "|")
_TOLD = (
    "says?|said|told|tells|telling|reckons?|swears?|claims?|showed|shows|remembers|thinks?|knows|mentioned|explained|"
    r"(?:has|have)(?: just)? (?:shown|told|said|checked|measured)|(?:is|'s|was) (?:telling|saying|pointing|waving|"
    r"holding|filming|nodding|with|here)"
)
NAME = r"(?<!\w)(?:[OD]['’])?[A-ZÀ-ÖØ-ÞŁŚŻČŠŽ][a-zß-öø-ÿąćęłńśźżčšž]+(?!\w)"
"""One name as it is written, letters of European alphabets."""
_KIN = (
    "colleague cousin brother sister son daughter nephew niece wife husband father mother dad mum mom uncle aunt boss "
    "friend mate buddy pal partner helper apprentice neighbor neighbour grandson granddaughter foreman manager "
    "supervisor engineer electrician mechanic operator inspector owner guy fella lad man lady secretary"
).replace(" ", "|")
CALLED = tuple(
    re.compile(cue.replace("NAME", rf"(?P<name>{NAME})(?!['’](?:t|m|d|ve|ll|re)\b)"))
    for cue in (
        rf"\bNAME,\s+(?:{_ASKED})\b",
        rf"\bNAME(?:,? who|,)?\s+(?:{_TOLD})\b",
        r"\bNAME['’]s\s+(?:with me|here|holding|pointing|waving|filming|saying|telling)\b",
        r"(?i:\b(?:thank you|thanks|cheers|hey|hi|hello|sorry|please|yes|no|okay|right|well|oh)),?\s+NAME(?=[,.!?])",
        r"\b(?:with|have|has|got)\s+NAME\s+(?:from|with|holding|here)\b",
        rf"\b(?i:{_KIN}),?\s+NAME\b",
        r"(?i:\b(?:my name is|my name['’]s|i['’]m|i am|this is|it['’]s))\s+NAME"
        r"(?=[,.]|\s+(?:and|from|here|speaking|again|with|at|down at|up at|over at)\b)",
        r"(?i:\b(?:ask(?: for)?|call(?: me)?|ring|talk to|speak to|speak with|contact|tell|say (?:hi|hello)(?: to)?|"
        r"good that|see)),?\s+NAME\b",
        r"(?i:\bthe way),?\s+NAME\b",
        r"(?:^|[.!?,]\s+)NAME here(?=[,.]|\s+(?:and|from|at|again)\b)",
        r"\bNAME,?\s+(?:(?:on|at|under)\s+)?\d{3}[- ]\d{4}\b",
        r"\b\d{3}[- ]\d{4},?\s+NAME\b",
    )
)
"""What is said beside the name of somebody who is spoken to or of. Common practice, no source."""
NOBODY = NO_NAMES | frozenset(
    "Monday Tuesday Wednesday Thursday Friday Saturday Sunday January February March April May June July August "
    "September October November December Christmas Easter English German French American British European Chinese "
    "Okay Right So Yes No Well Now Then Here There And But Or Oh Hey Sorry Anyway Actually Alright Yeah Please Thanks "
    "Thank Good Hello Hi Also Wait Stop Look Listen Sure Fine Great Again Next First Second Third Last Great Nice Let "
    "If When Where Why How Who Which Same Some Any Most Both Each Every Another Other These Those One Two Three Four "
    "Five Six Seven Eight Nine Ten Celsius Fahrenheit Someone Somebody Anyone Anybody Everyone People Guys Folks Sir "
    "Madam Boss Mister Mate Number Tank Station Stage Line Machine Unit Serial Model Maker Mind Just Maybe "
    "Perhaps Call Ring Phone Text Ask State County City Council Company Plant Office Management Insurance Union "
    "Customer Dealer Factory".split()
)
"""Capitals beside such words that name no person."""


@cache
def given_names() -> frozenset[str]:
    return frozenset(n for row in builtin()["given_names"] for n in row["names"])


@cache
def _trade_words() -> frozenset[str]:
    """Words of the trade: a capital at the head of a sentence makes no name of them ("Tailstock's here")."""
    tables = (builtin()[name] for name in ("components", "stations", "materials", "kinds"))
    texts = (c for rows in tables for row in rows for c in row.values() if isinstance(c, str | tuple))
    return frozenset(w for c in texts for t in ((c,) if isinstance(c, str) else c) if isinstance(t, str)
                     for w in re.findall(r"\w+", t.lower()))  # fmt: skip


def people(text: str, walk: Walk) -> tuple[str, ...]:
    """Names of people spoken to or of in the words of a recording, in order; a maker or a thing is nobody."""
    i = walk.identity
    said = [str(s.value) for s in (i.name, i.kind, i.maker, i.model, i.location) if s]
    said += [t for c in walk.components for t in (c.name, c.maker or "", c.model or "")]
    said += [q.subject for q in walk.quantities]
    things = {w.lower() for t in said for w in re.findall(r"\w+", t)}
    small = set(re.findall(r"\b[a-z]+\b", text))
    found = {m["name"]: None for cue in CALLED for m in cue.finditer(text) if m["name"].lower() not in small}
    found = {n: None for n in found if n.lower() not in _trade_words()}
    found |= {w: None for w in re.findall(NAME, text) if w in given_names()}
    return tuple(n for n in found if n not in NOBODY and n.lower() not in things)


def withhold(text: str, names: tuple[str, ...] = (), *, called: Iterable[str] = (), prices: bool = True) -> str:
    """The text with phone numbers, mail addresses, names and, if asked, prices replaced by a mark.

    names are of people who told something, in any case; called are names as they are written, with their capital.
    """
    for name in names:
        text = re.sub(rf"(?<!\w){re.escape(name)}(?!\w)", "[name withheld]", text, flags=re.IGNORECASE)
    for name in called:
        text = re.sub(rf"(?<!\w){re.escape(name)}(?!\w)", "[name withheld]", text)

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
