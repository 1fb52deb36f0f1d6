"""The listing: title, sentences, key figures, what is and is not included; doubtful facts are withheld and named so.

Names of people, phone numbers, prices, serials and the place are withheld unless the profile asks for them. Praise
stands only as "seller states", in the speaker's words.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterable
from dataclasses import dataclass
from html import escape
from typing import Any
from urllib.parse import quote

from pipeline.printed import clean, count_of, figure, named, phrase, several
from pipeline.private import names_said, withhold
from pipeline.report import title_of
from pipeline.report_facts import whole
from pipeline.report_shapes import AS_SPOKEN, Picture, Profile
from pipeline.unit_signs import CODES, spelt
from pipeline.walk import Quantity, Walk

LONGEST_TITLE = 80
PRAISE = ("condition", "running", "left")


@dataclass(frozen=True, slots=True)
class Listing:
    title: str
    summary: tuple[str, ...]
    figures: tuple[tuple[str, str, Quantity], ...]
    """Thing, figure as it reads beside others of the thing, the fact; those of the whole first."""
    included: tuple[str, ...]
    excluded: tuple[str, ...]
    open: tuple[str, ...]
    """Described, without a word on whether it goes along."""
    said: tuple[str, ...]
    """The speaker's own words on condition."""
    withheld: tuple[str, ...]
    """Why something that was said is not in the listing; for the seller, not for the site."""
    pictures: tuple[tuple[str, str], ...] = ()
    """File and caption."""


def build(walk: Walk, profile: Profile, *, called: tuple[str, ...] = (), pictures: tuple[Picture, ...] = ()) -> Listing:
    """The listing of a walk; called are names of people, as they were written down."""
    disputed = {n for f in walk.findings if f.level in ("conflict", "check") for n in f.facts}
    figures, withheld = [], []
    names = names_said(walk)

    def hidden(text: str) -> str:
        return _public(text, names, called, prices=not profile.show_price)

    def quoted(text: str) -> str:
        return f"“{hidden(text)}”"

    for q in sorted(walk.quantities, key=lambda q: not whole(q, walk)):
        why = _why_not(q.status, q.doubt, q.id in disputed)
        if not why and q.property == "price" and not profile.show_price:
            why = "a price"
        if why:
            shown = figure(q, profile.numbers) if why != "a price" else "…"
            withheld.append(f"{clean(_called(q), 120)}: {shown} ({why})")
        else:
            of = hidden(clean(q.subject, 60)) or "whole"
            figures.append((of, hidden(phrase(q, profile.units, profile.numbers)), q))
    by: dict[str | None, list[str]] = {}
    itself = {w for s in (walk.identity.name, walk.identity.kind) if s for w in str(s.value).lower().split()}
    for c in walk.present:
        why = _why_not(c.status, c.doubt, c.id in disputed)
        if why:
            withheld.append(f"{count_of(c)} ({why})")
        elif c.disposition is not None or not set(c.name.lower().split()) <= itself:
            by.setdefault(c.disposition, []).append(hidden(count_of(c)))
    withheld += [f"{n} (whether it is included is unsettled)" for n in by.get("uncertain", [])]
    i = walk.identity
    for label, stated, allowed in (("serial", i.serial, profile.show_serial), ("location", i.location,
                                                                              profile.show_location)):  # fmt: skip
        if stated is not None and not allowed:
            withheld.append(f"{label} (private unless the profile asks for it)")
    said = _seller_states("", [quoted(t) for t in _said(walk, PRAISE)], [quoted(t) for t in _said(walk, ("defect",))])
    for c in walk.present:
        name = hidden(clean(c.name, 60))
        praise = [quoted(t) for t in _once((c.condition or "").split("; "))]
        said += _seller_states(f" of the {name}", praise, [quoted(t) for t in _once(c.defects)])
    return Listing(
        _title(walk),
        tuple(_summary(walk, profile, figures)),
        tuple(figures),
        tuple(by.get("included", ())),
        tuple(by.get("excluded", ())),
        tuple(dict.fromkeys(by.get(None, ()))),
        tuple(said),
        tuple(withheld),
        tuple((p.file, hidden(re.sub(r" \(\d+:\d\d\)$", "", p.caption))) for p in pictures),
    )


def _said(walk: Walk, kinds: tuple[str, ...]) -> list[str]:
    return _once(r.text for r in walk.remarks if r.kind in kinds)


def _once(texts: Iterable[str]) -> list[str]:
    """Words as they were spoken, without what only joins them to the sentence before, and none that another has too."""
    bare = [re.sub(r"^(?:and|but|so|or|then|well|although|though|because)\s+", "", text.strip()) for text in texts]
    kept = [t for t in dict.fromkeys(bare) if t]
    return [t for t in kept if not any(t != other and t in other for other in kept)]


def _seller_states(of: str, praise: list[str], defects: list[str]) -> list[str]:
    """Praise and defects of one thing, in the seller's words."""
    kind = "a defect" if len(defects) == 1 else "defects"
    lines = ((f"Seller states{of}", praise), (f"Seller states {kind}{of}", defects))
    return [f"{said}: {'; '.join(quotes)}" for said, quotes in lines if quotes]


def _called(q: Quantity) -> str:
    """A figure's thing and what it is of it."""
    return " ".join(t for t in (q.subject, named(q)) if t)


def _why_not(status: str, doubt: str | None, disputed: bool) -> str:
    if status == "withdrawn":
        return "taken back by the speaker"
    if status == "hedged":
        return "said with doubt"
    return "does not agree with another statement" if disputed else "to verify" if doubt else ""


def _public(text: str, names: tuple[str, ...] = (), called: tuple[str, ...] = (), *, prices: bool = True) -> str:
    return withhold(clean(text, 240), names, called=called, prices=prices)


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


def _summary(walk: Walk, profile: Profile, figures: list[tuple[str, str, Quantity]]) -> list[str]:
    """Sentences from sure facts: what it is, its line, its size, weight and rate, where it stands."""
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
            text = f"{called}{len(standing)} {several(word) if len(standing) > 1 else word}."
            sentences.append(text[:1].upper() + text[1:])
    of_whole = {p: text for _, text, q in reversed(figures) if whole(q, walk) and not q.each for p in [q.property]}
    size = [of_whole[p] for p in ("length", "width", "height") if p in of_whole]
    if size:
        sentences.append(f"Overall {_listed([s.removesuffix(', overall') for s in size])}.")
    for name in ("weight", "rate" if "rate" in of_whole else "flow", "hours"):
        if name in of_whole:
            text = of_whole[name] if name in ("weight", "hours") else f"stated output {of_whole[name]}"
            sentences.append(f"{text[:1].upper()}{text[1:]}.")
    if _sure(walk, "serial") and profile.show_serial:
        sentences.append(f"Serial number {_sure(walk, 'serial')} ({AS_SPOKEN}).")
    if _sure(walk, "location") and profile.show_location:
        sentences.append(f"Located at {_sure(walk, 'location')}.")
    return sentences


def _listed(parts: list[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def write(
    walk: Walk, form: str, profile: Profile, *, called: tuple[str, ...] = (), pictures: tuple[Picture, ...] = ()
) -> str:
    """The listing as txt, short.txt, md, html, jsonld or csv; called are names of people to withhold."""
    listing = build(walk, profile, called=called, pictures=pictures)
    if form == "jsonld":
        return json.dumps(_jsonld(walk, listing, profile), indent=1, ensure_ascii=False) + "\n"
    if form == "csv":
        return _row(listing)
    blocks = _blocks(listing, short=form.startswith("short"))
    if form == "md":
        return f"# {_md(listing.title)}\n\n" + "\n".join(
            (f"## {h}\n\n" if h else "") + "\n".join(f"- {_md(x)}" if h else _md(x) for x in lines) + "\n"
            for h, lines in blocks
        )  # fmt: skip
    if form == "html":
        return _page(listing, blocks)
    text = f"{listing.title}\n\n" + "\n".join(
        (f"{h}\n" if h else "") + "\n".join(f"- {x}" if h else x for x in lines) + "\n" for h, lines in blocks
    )
    if listing.withheld and form == "txt":
        text += "\n-- for the seller, not for the site: withheld --\n" + "\n".join(f"- {w}" for w in listing.withheld)
    return text.rstrip() + "\n"


STYLE = (
    "body{font:16px/1.5 'Liberation Sans',Arial,Helvetica,sans-serif;color:#1f2933;background:#fff;max-width:46rem;"
    "margin:0 auto;padding:1rem}h1{font-size:1.6rem;line-height:1.2}h2{font-size:1.15rem;margin:1.5rem 0 .3rem;"
    "border-bottom:1px solid #8a949e}ul{padding-left:1.2rem;margin:.3rem 0}li,p{overflow-wrap:anywhere;margin:.2rem 0}"
    "figure{margin:1rem 0}img{max-width:100%;height:auto}"
)


def _page(listing: Listing, blocks: list[tuple[str, list[str]]]) -> str:
    """The listing as a page; its pictures are the files beside it."""
    body = "".join(
        (f"<h2>{h}</h2><ul>" + "".join(f"<li>{escape(x)}</li>" for x in lines) + "</ul>")
        if h else "".join(f"<p>{escape(x)}</p>" for x in lines)
        for h, lines in blocks if h != "Pictures"
    ).replace("≈ ", "≈\u00a0")  # fmt: skip
    shown = "".join(
        f'<figure><img src="{escape(quote(file))}" alt="{escape(caption)}">'
        f"<figcaption>{escape(caption)}</figcaption></figure>"
        for file, caption in listing.pictures
    )
    title = escape(listing.title)
    return ('<!DOCTYPE html><html lang="en"><head><meta charset="utf-8">'
            '<meta name="viewport" content="width=device-width, initial-scale=1">'
            f"<title>{title}</title><style>{STYLE}</style></head><body><h1>{title}</h1>{body}"
            f"{f'<h2>Pictures</h2>{shown}' if shown else ''}</body></html>\n")  # fmt: skip


def _blocks(listing: Listing, *, short: bool) -> list[tuple[str, list[str]]]:
    most = 8 if short else None
    blocks = [
        ("", list(listing.summary)),
        ("Key figures", [f"{of[:1].upper()}{of[1:]}: {'; '.join(texts)}" for of, texts in _grouped(listing)][:most]),
        ("Included", list(listing.included)[:most]), ("Not included", list(listing.excluded)[:most]),
        ("Also described; ask whether it is included", [] if short or not listing.open else [", ".join(listing.open)]),
        ("Condition", list(listing.said)[: 2 if short else None]),
        ("Pictures", [f"{caption}: {file}" for file, caption in listing.pictures][:most]),
    ]  # fmt: skip
    return [(h, lines) for h, lines in blocks if lines]


SOON = 45.0
"""Seconds within which a bare "motor" or "tank" is likely still the same one. Chosen, no source."""


def _grouped(listing: Listing) -> list[tuple[str, list[str]]]:
    """Figures of one thing together, in the order in which they were spoken of; another thing of the same name begins
    where a figure of the same kind has another value, or, of a name of one word, where time has passed."""
    groups: list[tuple[str, list[str]]] = []
    open_ones: dict[str, tuple[list[str], dict[tuple[str, ...], float], float]] = {}
    for of, text, q in listing.figures:
        at = q.evidence[0].start if q.evidence else 0.0
        kind = (q.property, q.unit, q.qualifier or "", q.of or "")
        texts, values, last = open_ones.get(of, ([], {}, at))
        late = " " not in of and abs(at - last) > SOON
        if of not in open_ones or late or values.get(kind, q.value) != q.value:
            texts, values = [], {}
            groups.append((of, texts))
        if text not in texts:
            texts.append(text)
        values[kind] = q.value
        open_ones[of] = (texts, values, at)
    # "motor: 3-phase" alone, where its power and voltage are withheld, tells nobody anything
    bare = {text for _, text, q in listing.figures if q.property in ("phases", "frequency")}
    return [(of, texts) for of, texts in groups if not bare.issuperset(texts)]


def _md(text: str) -> str:
    return "".join("\\" + c if c in "\\`*_{}[]<>#|!" else c for c in text)


def _jsonld(walk: Walk, listing: Listing, profile: Profile) -> dict[str, Any]:
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
    if walk.identity.serial and profile.show_serial and _sure(walk, "serial"):
        found["serialNumber"] = _sure(walk, "serial")
    if listing.pictures:
        found["image"] = [file for file, _ in listing.pictures]
    found["additionalProperty"] = [_value(q) for _, _, q in listing.figures]
    return found


def _value(q: Quantity) -> dict[str, Any]:
    out: dict[str, Any] = {"@type": "PropertyValue", "name": _public(_called(q))}
    out |= {"value": q.value} if q.value_max is None else {"minValue": q.value, "maxValue": q.value_max}
    unit = spelt(q.unit)
    return out | ({"unitCode": CODES[unit]} if unit in CODES else {"unitText": clean(q.unit, 60)})


def _row(listing: Listing) -> str:
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow(["title", "summary", "figures", "included", "not included", "condition", "pictures"])
    figures = "; ".join(f"{of}: {', '.join(texts)}" for of, texts in _grouped(listing))
    texts = [listing.title, " ".join(listing.summary), figures,
             "; ".join(listing.included), "; ".join(listing.excluded), " ".join(listing.said),
             "; ".join(file for file, _ in listing.pictures)]  # fmt: skip
    writer.writerow(["'" + t if t[:1] in ("=", "+", "-", "@") else t for t in texts])
    return stream.getvalue()
