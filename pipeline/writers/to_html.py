"""A report as one html file that asks nothing of any network; each reference plays the recording from its second."""

from __future__ import annotations

import base64
from collections.abc import Sequence as Many
from html import escape
from urllib.parse import quote

from pipeline.drawing import Plan, svg
from pipeline.report_shapes import Moment, Picture, Report, Table

STYLE = """
:root{color-scheme:light}*{box-sizing:border-box}
body{font:16px/1.5 "Liberation Sans",Arial,Helvetica,sans-serif;color:#1f2933;background:#fff;max-width:62rem;
margin:0 auto;padding:1rem}
h1{font-size:1.8rem;line-height:1.2;margin:.5rem 0}h2{font-size:1.2rem;margin:2rem 0 .5rem;
border-bottom:2px solid #1f2933}table{border-collapse:collapse;width:100%;margin:.5rem 0 1.2rem;font-size:.92rem}
th,td{text-align:left;vertical-align:top;padding:.3rem .5rem .3rem 0;border-bottom:1px solid #8a949e;
overflow-wrap:anywhere}td{white-space:pre-line}
thead th{background:#e9ecef;padding-left:.25rem}td{padding-left:.25rem}svg{max-width:100%;height:auto}
th[scope=row]{width:11rem}.plan{overflow-x:auto}.plan svg{min-width:40rem}
.at{color:#1f2933;white-space:nowrap;margin-right:.4rem}audio{width:100%}.player{position:sticky;top:0;
background:#fff;padding:.3rem 0}nav a{display:inline-block;margin-right:.8rem;color:#12467b}
button.at{border:1px solid #8a949e;background:#fff;border-radius:3px;font:inherit;cursor:pointer;padding:0 .3rem}
@media(max-width:40rem){thead{position:absolute;left:-9999px}table,tbody,tr,td,th{display:block}
th[scope=row]{width:auto}
tr{border-bottom:2px solid #8a949e;padding:.4rem 0}td,tbody th{border:0;padding:.1rem 0}
td{display:inline-block;margin-right:.9rem}
td[data-of]::before{content:attr(data-of) ": ";color:#52606d}td:empty{display:none}
.cards td:first-child{display:block;font-weight:bold}.cards td:first-child::before{content:none}
.cards td.n:first-child::before{content:attr(data-of) " ";color:inherit}}
.sheet{display:grid;grid-template-columns:repeat(auto-fill,minmax(16rem,1fr));gap:1rem}figure{margin:0}
img{max-width:100%;height:auto}
@media print{.player,nav{display:none}tr{break-inside:avoid}thead{display:table-header-group}h2{break-after:avoid}}
"""
SCRIPT = """
document.addEventListener("click",function(e){var b=e.target.closest("button.at");if(!b)return;
var a=document.getElementById("sound");a.currentTime=Math.max(0,parseFloat(b.dataset.at)-0.5);a.play()});
"""


def to_html(report: Report, *, plan: Many[Plan] = (), sound: str | None = None) -> str:
    """The page; sound is the recording's path from the page's folder, None for no player."""
    parts = [
        '<!DOCTYPE html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{_e(report.title)}</title><style>{STYLE}</style></head><body><header>"
        f"<h1>{_e(report.title)}</h1><p>{_e(report.subtitle)}, "
        f"{'edition to hand out' if report.edition == 'hand-out' else 'working edition'}</p></header>"
    ]
    if sound is not None:
        parts.append(
            f'<div class="player"><audio id="sound" controls preload="metadata" src="{_e(quote(sound))}"></audio></div>'
        )
    parts.append(_table(Table(("", ""), (1, 1), (), timed=False), [list(p) for p in report.particulars], [], False))
    if report.cover is not None:
        parts.append(_figure(report.cover))
    links = "".join(f'<a href="#{_e(s.key)}">{_e(s.title)}</a>' for s in report.sections)
    parts.append(f'<nav aria-label="Contents">{links}</nav><main>')
    for section in report.sections:
        parts.append(f'<section id="{_e(section.key)}"><h2>{_e(section.title)}</h2>')
        parts += [f"<p>{_e(p)}</p>" for p in section.paragraphs]
        if section.key.startswith("stations-"):
            parts.append(f'<div class="plan">{svg(plan[int(section.key.rpartition("-")[2])])}</div>')
        for table in section.tables:
            if table.rows:
                cells = [list(r.cells) for r in table.rows]
                parts.append(_table(table, cells, [r.moments for r in table.rows], sound is not None))
        parts.append("</section>")
    if report.pictures:
        parts.append('<section id="pictures"><h2>Pictures</h2><div class="sheet">')
        parts += [_figure(p) for p in report.pictures]
        parts.append("</div></section>")
    parts.append("</main>")
    if sound is not None:
        parts.append(f"<script>{SCRIPT}</script>")
    return "".join([*parts, "</body></html>\n"])


def _table(table: Table, rows: list[list[str]], moments: list[tuple[Moment, ...]], plays: bool) -> str:
    headed = any(table.headers)
    # on a narrow screen a row of several columns is a card, headed by its first cell
    out = ['<table class="cards">' if len(table.headers) > 2 and headed else "<table>"]
    if headed:
        names = [*table.headers, *(["At"] if table.timed else [])]
        out.append("<thead><tr>" + "".join(f'<th scope="col">{_e(h)}</th>' for h in names) + "</tr></thead>")
    out.append("<tbody>")
    for n, cells in enumerate(rows):
        out.append("<tr>")
        for i, text in enumerate(cells):
            if i == 0 and not headed:
                out.append(f'<th scope="row">{_e(text)}</th>')
            else:
                of = f' data-of="{_e(table.headers[i])}"' if headed and table.headers[i] and text else ""
                numbered = ' class="n"' if i == 0 and text.isdigit() else ""
                out.append(f"<td{numbered}{of}>{_e(text)}</td>")
        if table.timed:
            out.append("<td>" + "".join(_moment(m, plays) for m in moments[n]) + "</td>")
        out.append("</tr>")
    return "".join([*out, "</tbody></table>"])


def _figure(picture: Picture) -> str:
    data = base64.b64encode(picture.jpeg).decode()
    caption = _e(picture.caption)
    return (f'<figure><img src="data:image/jpeg;base64,{data}" alt="{caption}">'
            f"<figcaption>{caption}</figcaption></figure>")  # fmt: skip


def _moment(m: Moment, plays: bool) -> str:
    # only the walk's own recording is in the player
    if plays and m.recording is None:
        return (f'<button type="button" class="at" data-at="{m.start:.2f}" '
                f'aria-label="Play from {m.label}">{m.label}</button>')  # fmt: skip
    return f'<span class="at">{m.label}</span>'


def _e(text: object) -> str:
    return escape(str(text), quote=True).replace("≈ ", "≈\u00a0")
