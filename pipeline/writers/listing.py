"""The listing: text, Markdown, html, JSON-LD and a CSV row from facts that stand; what was withheld is listed apart.

Facts in conflict, doubtful, hedged or withdrawn are kept out; praise stands only as the seller's words; names, phone
numbers, prices and serials are withheld unless the profile asks for them.
"""

from __future__ import annotations

import csv
import html
import io
import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pipeline.paper_words import clean, converted, count_of, figure
from pipeline.report import PHONE, Profile, title_of
from pipeline.walk import Quantity, Walk

TITLE = 80
"""Characters; what most sites take. Common practice, no source."""
CODES = {
    "foot": "FOT", "inch": "INH", "metre": "MTR", "millimetre": "MMT", "centimetre": "CMT", "pound": "LBR", "kilogram": "KGM",
    "ton": "STN", "tonne": "TNE", "gallon": "GLL", "litre": "LTR", "volt": "VLT", "ampere": "AMP", "kilowatt": "KWT",
    "horsepower": "BHP", "hertz": "HTZ", "psi": "PS", "bar": "BAR", "degF": "FAH", "degC": "CEL", "minute": "MIN",
    "second": "SEC", "hour": "HUR", "percent": "P1", "rpm": "RPM", "foot**3/minute": "2L", "gallon/minute": "G2",
    "metre**3/hour": "MQH", "metre**3": "MTQ", "foot**3": "FTQ", "foot**2": "FTK", "metre**2": "MTK", "foot/minute": "FR",
    "litre/minute": "L2", "Btu/hour": "2I", "1/hour": "H61",
}  # fmt: skip
"""pint spelling -> UN/ECE Recommendation 20 common code, from memory; a unit that is not here gets its name as text."""
KEY = (
    "length",
    "width",
    "height",
    "weight",
    "rate",
    "power",
    "voltage",
    "volume",
    "flow",
    "pressure",
    "temperature",
    "speed",
)
"""Properties in the order a buyer asks for them. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Listing:
    """What goes out, and what was held back with the reason."""

    title: str
    sentences: tuple[str, ...]
    specifications: tuple[tuple[str, str, Quantity], ...]
    included: tuple[str, ...]
    excluded: tuple[str, ...]
    condition: tuple[str, ...]
    withheld: tuple[str, ...]
    location: str | None
    identity: tuple[tuple[str, str], ...]


def listing(walk: Walk, profile: Profile = Profile()) -> Listing:
    """The facts that may go out."""
    disputed = {i for f in walk.findings if f.level == "conflict" for i in f.facts}
    withheld: list[str] = []
    good: list[Quantity] = []
    for q in walk.quantities:
        why = _why_not(q, disputed, profile)
        if why:
            withheld.append(f"{clean(q.subject, 60)}, {q.property} {figure(q)}: {why}")
        else:
            good.append(q)
    good.sort(key=lambda q: KEY.index(q.property) if q.property in KEY else len(KEY))
    ident = walk.identity
    shown: list[tuple[str, str]] = []
    for name in ("kind", "maker", "model", "year", "controls", "serial", "location"):
        s = getattr(ident, name)
        if s is None or s.status == "withdrawn":
            continue
        private = (name == "serial" and not profile.show_serial) or (name == "location" and not profile.show_location)
        if private or s.doubt:
            withheld.append(f"{name}: {'private' if private else s.doubt}")
        else:
            shown.append((name, clean(str(s.value), 120)))
    parts = [c for c in walk.present if c.id not in disputed and c.status != "hedged"]
    withheld += [
        f"{clean(c.name, 60)}: whether it goes is unsettled" for c in walk.present if c.disposition == "uncertain"
    ]
    condition = tuple(
        f"Seller states: “{_public(r.text)}”" for r in walk.remarks if r.kind in ("condition", "running", "left")
    ) + tuple(f"Seller states: {clean(c.name, 60)}, {_public(d)}" for c in walk.present for d in c.defects)
    return Listing(
        title=clean(title_of(walk), TITLE),
        sentences=tuple(_sentences(walk, good)),
        specifications=tuple((f"{clean(q.subject, 60)}: {q.property}", _both(q), q) for q in good),
        included=tuple(count_of(c) for c in parts if c.disposition == "included"),
        excluded=tuple(clean(c.name, 80) for c in walk.present if c.disposition == "excluded"),
        condition=condition,
        withheld=tuple(withheld),
        location=dict(shown).get("location"),
        identity=tuple(shown),
    )


def _public(text: str) -> str:
    return PHONE.sub(lambda m: "[withheld]" if sum(c.isdigit() for c in m[0]) >= 7 else m[0], clean(text, 240))


def _why_not(q: Quantity, disputed: set[str], profile: Profile) -> str | None:
    if q.status == "withdrawn":
        return "taken back"
    if q.id in disputed:
        return "in conflict with another statement"
    if q.doubt:
        return f"doubtful: {clean(q.doubt, 80)}"
    if q.status == "hedged":
        return "said with doubt"
    if q.property == "price" and not profile.show_price:
        return "price"
    return None


def _both(q: Quantity) -> str:
    other = converted(q)
    about = "about " if q.approximate else ""
    return f"{about}{figure(q)}{f' (≈ {other})' if other else ''}"


def _sentences(walk: Walk, good: list[Quantity]) -> Iterator[str]:
    what = walk.identity.kind or walk.identity.name
    if what:
        maker = walk.identity.maker
        year = walk.identity.year
        yield (
            f"Used {clean(str(what.value), 80)}"
            + (f" by {clean(str(maker.value), 60)}" if maker and not maker.doubt else "")
            + (f", built {year.value}" if year and not year.doubt else "")
            + "."
        )
    for s in walk.sequences:
        roles = [clean(x.role, 60) for x in s.stations if x.status != "withdrawn"]
        if roles and (s.stated_count in (None, len(roles))):
            yield f"{len(roles)} {clean(s.station_word, 30)}s: {', '.join(roles)}."
    for q in good[:4]:
        if q.property in KEY[:6]:
            yield f"{clean(q.subject, 60).capitalize()}: {q.property} {_both(q)}."


def to_text(item: Listing, *, short: bool = False) -> str:
    """Plain text; the short one has title, summary and five key figures."""
    lines = [item.title, "", " ".join(item.sentences), ""]
    specs = item.specifications[:5] if short else item.specifications
    lines += [f"{name}: {value}" for name, value, _ in specs]
    if not short:
        for title, rows in (
            ("Included", item.included),
            ("Not included", item.excluded),
            ("Condition", item.condition),
        ):
            if rows:
                lines += ["", f"{title}:", *(f"- {r}" for r in rows)]
    return "\n".join(lines).strip() + "\n"


def to_markdown(item: Listing) -> str:
    """Markdown; characters that would be markup are escaped."""

    def esc(text: str) -> str:
        return "".join(f"\\{c}" if c in "\\`*_{}[]<>#+-!|" else c for c in text)

    lines = [f"# {esc(item.title)}", "", esc(" ".join(item.sentences)), ""]
    if item.specifications:
        lines += ["| | |", "| --- | --- |", *(f"| {esc(n)} | {esc(v)} |" for n, v, _ in item.specifications), ""]
    for title, rows in (("Included", item.included), ("Not included", item.excluded), ("Condition", item.condition)):
        if rows:
            lines += [f"## {title}", "", *(f"- {esc(r)}" for r in rows), ""]
    if item.withheld:
        lines += ["<!-- Withheld, not for publication:", *(f"  {esc(w)}" for w in item.withheld), "-->"]
    return "\n".join(lines) + "\n"


def to_html(item: Listing) -> str:
    """A page of its own, nothing fetched from elsewhere, with the JSON-LD in it."""
    e = html.escape
    specs = "".join(f"<tr><th scope='row'>{e(n)}</th><td>{e(v)}</td></tr>" for n, v, _ in item.specifications)
    lists = "".join(
        f"<h2>{title}</h2><ul>{''.join(f'<li>{e(r)}</li>' for r in rows)}</ul>"
        for title, rows in (("Included", item.included), ("Not included", item.excluded), ("Condition", item.condition))
        if rows
    )
    data = json.dumps(json_ld(item), ensure_ascii=False).replace("<", "\\u003c")
    return (
        "<!doctype html><html lang='en'><head><meta charset='utf-8'>"
        "<meta name='viewport' content='width=device-width, initial-scale=1'>"
        f"<title>{e(item.title)}</title><style>body{{font:1.05rem/1.5 system-ui,sans-serif;max-width:44rem;margin:1.5rem auto;"
        "padding:0 1rem;color:#111;background:#fff}table{border-collapse:collapse;width:100%}th,td{text-align:left;padding:.35rem .6rem;"
        "border-bottom:1px solid #bbb;vertical-align:top;overflow-wrap:anywhere}th{font-weight:600;width:50%}</style>"
        f"<script type='application/ld+json'>{data}</script></head><body><main><h1>{e(item.title)}</h1>"
        f"<p>{e(' '.join(item.sentences))}</p>{f'<table>{specs}</table>' if specs else ''}{lists}</main></body></html>\n"
    )


def json_ld(item: Listing) -> dict[str, Any]:
    """schema.org Product with additionalProperty."""
    shown = dict(item.identity)
    data: dict[str, Any] = {
        "@context": {"@vocab": "https://schema.org/"},
        "@type": "Product",
        "name": item.title,
        "description": " ".join(item.sentences),
        "itemCondition": {"@id": "https://schema.org/UsedCondition"},
        "additionalProperty": [_property_value(name, q) for name, _, q in item.specifications],
    }
    if "maker" in shown:
        data["manufacturer"] = {"@type": "Organization", "name": shown["maker"]}
    for field, key in (("model", "model"), ("year", "productionDate"), ("serial", "serialNumber")):
        if field in shown:
            data[key] = shown[field]
    return data


def _property_value(name: str, q: Quantity) -> dict[str, Any]:
    out: dict[str, Any] = {"@type": "PropertyValue", "name": name}
    if q.value_max is None:
        out["value"] = q.value
    else:
        out["minValue"], out["maxValue"] = q.value, q.value_max
    if q.unit:
        code = CODES.get(q.unit)
        out["unitCode" if code else "unitText"] = code or q.unit
    return out


def to_row(item: Listing) -> str:
    """One CSV row with a header, for whichever site it is posted to."""
    from pipeline.writers.to_xlsx import _cell

    shown = dict(item.identity)
    fields = {
        "title": item.title,
        "summary": " ".join(item.sentences),
        **{k: shown.get(k, "") for k in ("kind", "maker", "model", "year")},
        "specifications": "; ".join(f"{n} {v}" for n, v, _ in item.specifications),
        "included": "; ".join(item.included),
        "excluded": "; ".join(item.excluded),
        "condition": "; ".join(item.condition),
    }
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(fields)
    writer.writerow([_cell(v) for v in fields.values()])
    return out.getvalue()
