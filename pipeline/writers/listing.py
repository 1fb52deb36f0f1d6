"""The listing: title, sentences, key figures, what is and is not included; doubtful facts are withheld and named so.

Names of people, phone numbers, prices, serials and the place are withheld unless the profile asks for them. Praise
stands only as "seller states", in the speaker's words.
"""

from __future__ import annotations

import csv
import io
import json
from dataclasses import dataclass
from html import escape
from typing import Any

from pipeline.printed import clean, count_of, figure, pair
from pipeline.private import names_said, withhold
from pipeline.report import Profile, title_of
from pipeline.walk import Quantity, Walk

LONGEST_TITLE = 80
CODES = {
    "foot": "FOT", "inch": "INH", "yard": "YRD", "meter": "MTR", "millimeter": "MMT", "centimeter": "CMT",
    "gallon": "GLL", "liter": "LTR", "pound": "LBR", "kilogram": "KGM", "ton": "STN", "metric_ton": "TNE",
    "tonne": "TNE", "degF": "FAH", "degC": "CEL", "psi": "PS", "bar": "BAR", "kilopascal": "KPA", "volt": "VLT",
    "ampere": "AMP", "kilowatt": "KWT", "watt": "WTT", "hertz": "HTZ", "horsepower": "BHP", "second": "SEC",
    "minute": "MIN", "hour": "HUR", "rpm": "RPM", "percent": "P1", "gallon/minute": "G2", "liter/minute": "L2",
    "foot**3/minute": "2L", "meter**3/hour": "MQH", "foot**2": "FTK", "meter**2": "MTK", "foot**3": "FTQ",
    "meter**3": "MTQ", "foot/minute": "FR", "kilovolt_ampere": "KVA", "": "C62",
}  # fmt: skip
"""Pint's spellings to common codes of UN/CEFACT Recommendation 20 (from memory); others are given as unitText."""
PRAISE = ("condition", "running", "left")


@dataclass(frozen=True, slots=True)
class Listing:
    title: str
    summary: tuple[str, ...]
    figures: tuple[tuple[str, str, Quantity], ...]
    """Name, value as printed, the fact."""
    included: tuple[str, ...]
    excluded: tuple[str, ...]
    said: tuple[str, ...]
    """The speaker's own words on condition."""
    withheld: tuple[str, ...]
    """Why something that was said is not in the listing; for the seller, not for the site."""


def build(walk: Walk, profile: Profile) -> Listing:
    """The listing of a walk."""
    disputed = {n for f in walk.findings if f.level in ("conflict", "check") for n in f.facts}
    figures, withheld = [], []
    names = names_said(walk)

    def hidden(text: str) -> str:
        return _public(text, names, prices=not profile.show_price)

    def quoted(text: str) -> str:
        return f"“{hidden(text)}”"

    for q in walk.quantities:
        name = f"{clean(q.subject, 60)} {q.property}".strip() + (f" of {clean(q.of, 40)}" if q.of else "")
        name += f", {clean(q.qualifier, 40)}" if q.qualifier else ""
        why = _why_not(q.status, q.doubt, q.id in disputed)
        if not why and q.property == "price" and not profile.show_price:
            why = "a price"
        if why:
            withheld.append(f"{name}: {figure(q, profile.numbers) if why != 'a price' else '…'} ({why})")
        else:
            first, second = pair(q, profile.units, profile.numbers)
            second = second if profile.units else f"≈ {second}" if second else ""
            figures.append((hidden(name), first + (f" ({second})" if second else ""), q))
    by: dict[str | None, list[str]] = {}
    for c in walk.present:
        why = _why_not(c.status, c.doubt, c.id in disputed)
        if why:
            withheld.append(f"{count_of(c)}: ({why})")
        else:
            by.setdefault(c.disposition, []).append(hidden(count_of(c)))
    withheld += [f"{n}: (whether it is included is unsettled)" for n in by.get("uncertain", [])]
    i = walk.identity
    for label, stated, allowed in (("serial", i.serial, profile.show_serial), ("location", i.location,
                                                                              profile.show_location)):  # fmt: skip
        if stated is not None and not allowed:
            withheld.append(f"{label}: (private unless the profile asks for it)")
    said = [f"Seller states: {quoted(r.text)}" for r in walk.remarks if r.kind in PRAISE]
    said += [f"Seller states a defect: {quoted(r.text)}" for r in walk.remarks if r.kind == "defect"]
    said += [f"Seller states of the {hidden(clean(c.name, 60))}: {quoted(c.condition)}" for c in walk.present
             if c.condition]
    said += [f"Seller states a defect of the {hidden(clean(c.name, 60))}: {quoted(d)}" for c in walk.present
             for d in c.defects]  # fmt: skip
    return Listing(
        _title(walk),
        tuple(_summary(walk, profile)),
        tuple(figures),
        tuple(by.get("included", ())),
        tuple(by.get("excluded", ())),
        tuple(said),
        tuple(withheld),
    )


def _why_not(status: str, doubt: str | None, disputed: bool) -> str:
    if status == "withdrawn":
        return "taken back by the speaker"
    if status == "hedged":
        return "said with doubt"
    return "does not agree with another statement" if disputed else "to verify" if doubt else ""


def _public(text: str, names: tuple[str, ...] = (), *, prices: bool = True) -> str:
    return withhold(clean(text, 240), names, prices=prices)


def _sure(walk: Walk, name: str) -> str:
    s = getattr(walk.identity, name)
    return "" if s is None or s.doubt or s.status in ("withdrawn", "hedged") else _public(str(s.value))


def _title(walk: Walk) -> str:
    """Whole words within the limit, from sure facts only."""
    out = ""
    words = " ".join(_sure(walk, n) for n in ("year", "maker", "model")) + " "
    for word in (words + (_sure(walk, "name") or _sure(walk, "kind") or "used equipment")).split():
        if len(out) + len(word) + 1 > LONGEST_TITLE:
            break
        out = f"{out} {word}".strip()
    return out or title_of(walk)[:LONGEST_TITLE]


def _summary(walk: Walk, profile: Profile) -> list[str]:
    what = _sure(walk, "name") or _sure(walk, "kind") or "equipment"
    sentences = [f"Used {what}" + (f", made by {_sure(walk, 'maker')}" if _sure(walk, "maker") else "")
                 + (f", built in {_sure(walk, 'year')}" if _sure(walk, "year") else "") + "."]  # fmt: skip
    for s in walk.sequences:
        standing = [x for x in s.stations if x.status != "withdrawn"]
        if standing and (s.stated_count is None or s.stated_count == len(standing)):
            word = clean(s.station_word, 30)
            name = _public(clean(s.name, 60))
            # "compartments with 8 compartments" says one word twice
            called = "" if name.lower().rstrip("s") == word.lower().rstrip("s") else f"{name} with "
            sentences.append(f"{called}{len(standing)} {word}{'s' if len(standing) > 1 else ''}.".capitalize())
    if _sure(walk, "location") and profile.show_location:
        sentences.append(f"Located at {_sure(walk, 'location')}.")
    return sentences


def write(walk: Walk, form: str, profile: Profile) -> str:
    """The listing as txt, short.txt, md, html, jsonld or csv."""
    listing = build(walk, profile)
    if form == "jsonld":
        return json.dumps(_jsonld(walk, listing), indent=1, ensure_ascii=False) + "\n"
    if form == "csv":
        return _row(listing)
    blocks = _blocks(listing, short=form.startswith("short"))
    if form == "md":
        return f"# {_md(listing.title)}\n\n" + "\n".join(
            (f"## {h}\n\n" if h else "") + "\n".join(f"- {_md(x)}" if h else _md(x) for x in lines) + "\n"
            for h, lines in blocks
        )  # fmt: skip
    if form == "html":
        body = "".join(
            (f"<h2>{h}</h2><ul>" + "".join(f"<li>{escape(x)}</li>" for x in lines) + "</ul>")
            if h else "".join(f"<p>{escape(x)}</p>" for x in lines)
            for h, lines in blocks
        )  # fmt: skip
        title = escape(listing.title)
        return (f'<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" '
                f'content="width=device-width, initial-scale=1"><title>{title}</title></head>'
                f"<body><h1>{title}</h1>{body}</body></html>\n")  # fmt: skip
    text = f"{listing.title}\n\n" + "\n".join(
        (f"{h}\n" if h else "") + "\n".join(f"- {x}" if h else x for x in lines) + "\n" for h, lines in blocks
    )
    if listing.withheld and form == "txt":
        text += "\n-- for the seller, not for the site: withheld --\n" + "\n".join(f"- {w}" for w in listing.withheld)
    return text.rstrip() + "\n"


def _blocks(listing: Listing, *, short: bool) -> list[tuple[str, list[str]]]:
    most = 8 if short else None
    blocks = [
        ("", list(listing.summary)),
        ("Key figures", [f"{n}: {v}" for n, v, _ in listing.figures][:most]),
        ("Included", list(listing.included)[:most]), ("Not included", list(listing.excluded)[:most]),
        ("Condition", list(listing.said)[: 2 if short else None]),
    ]  # fmt: skip
    return [(h, lines) for h, lines in blocks if lines]


def _md(text: str) -> str:
    return "".join("\\" + c if c in "\\`*_{}[]<>#|!" else c for c in text)


def _jsonld(walk: Walk, listing: Listing) -> dict[str, Any]:
    found: dict[str, Any] = {
        "@context": {"@vocab": "https://schema.org/"},
        "@type": "Product", "name": listing.title, "description": " ".join([*listing.summary, *listing.said]),
        "itemCondition": {"@id": "https://schema.org/UsedCondition"},
    }  # fmt: skip
    if _sure(walk, "maker"):
        found["manufacturer"] = {"@type": "Organization", "name": _sure(walk, "maker")}
    if _sure(walk, "model"):
        found["model"] = _sure(walk, "model")
    if _sure(walk, "year"):
        found["productionDate"] = _sure(walk, "year")
    found["additionalProperty"] = [_value(n, q) for n, _, q in listing.figures]
    return found


def _value(name: str, q: Quantity) -> dict[str, Any]:
    out: dict[str, Any] = {"@type": "PropertyValue", "name": name}
    out |= {"value": q.value} if q.value_max is None else {"minValue": q.value, "maxValue": q.value_max}
    return out | ({"unitCode": CODES[q.unit]} if q.unit in CODES else {"unitText": clean(q.unit, 60)})


def _row(listing: Listing) -> str:
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow(["title", "summary", "figures", "included", "not included", "condition"])
    texts = [listing.title, " ".join(listing.summary), "; ".join(f"{n}: {v}" for n, v, _ in listing.figures),
             "; ".join(listing.included), "; ".join(listing.excluded), " ".join(listing.said)]  # fmt: skip
    writer.writerow(["'" + t if t[:1] in ("=", "+", "-", "@") else t for t in texts])
    return stream.getvalue()
