"""Many walks on the page: the list and its search, what is alike, what is twice, and the cuts between machines."""

from __future__ import annotations

import asyncio
import itertools
import sqlite3
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import Any

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse, Response

from pipeline import lots, run
from pipeline.errors import NotFound, TallywalkError, UsageError
from pipeline.stock import Entry
from pipeline.web.asked import Page, clock, json_of, second_of, who_of
from pipeline.web.desk import PLAYED, Desk, id_of, job_value
from pipeline.web.recordings import free
from pipeline.web.rows import short, title_of
from pipeline.web.session import Stale

SHOWN = 60
"""Walks on one page of the list."""


def start_routes(app: FastAPI, desk: Desk, page: Page) -> None:
    """The list of walks: all, found, or like one of them."""

    @app.get("/")
    def start(q: str = "", like: str = "", begin: int = 0) -> Response:
        query = q[:300]
        walks, twice, fault = _listed(desk, query, like[:40])
        read = {w["source"] for w in walks}
        waiting = [p.name for p in desk.recordings.finished() if p.name not in read] if not (query or like) else []
        begin = max(0, min(begin, len(walks) - 1))
        return page(
            "start.html",
            walks=walks[begin : begin + SHOWN],
            begin=begin,
            count=len(walks),
            step=SHOWN,
            query=query,
            like=next((w["title"] for w in walks if w["id"] == like), "") if like else "",
            liked=bool(like),
            twice=twice,
            fault=fault,
            folder=short(str(desk.folder.resolve())),
            unfinished=[(a, s) for a, s in desk.recordings.unfinished()],
            waiting=waiting,
            free_gb=f"{free(desk.folder) / (1 << 30):.1f}",
        )

    @app.get("/jobs")
    def jobs() -> Response:
        return JSONResponse([job_value(j) for j in desk.jobs.recent()])


def _listed(desk: Desk, query: str, like: str) -> tuple[list[dict[str, Any]], list[dict[str, Any]], str]:
    """Walks of the folder, those that a search finds, or those like one of them (which stands first); what is there
    twice; and what went wrong."""
    from pipeline import stock
    from pipeline.stock_query import parse_query

    try:
        with stock.opened(desk.folder) as connection:
            stock.refresh(connection, desk.folder)
            everything = stock.everything(connection)
            if like:
                me = next((e for e in everything if id_of(e.folder) == like), None)
                if me is None:
                    raise NotFound("this walk is no longer there", remedy="Go back to the list of walks.")
                entries = [me, *(e for _, e in stock.similar(connection, me.folder, limit=30))]
            elif query.strip():
                entries = stock.search(connection, parse_query(query, desk.vocabulary), limit=500)
            else:
                entries = everything
            files = {row["id"]: row["source"] for row in connection.execute("SELECT id, source FROM walk")}
            twice = [] if query.strip() or like else stock.duplicates(connection)
    except (TallywalkError, sqlite3.Error) as error:
        return [], [], short(str(error))
    names = {e.folder: short(e.title or e.folder) for e in everything}
    pairs = [
        {"why": short(why), "walks": [(id_of(f), names[f], short(f)) for f in folders if f in names]}
        for why, folders in twice[:20]
    ]
    return [_walk_value(e, files.get(e.id)) for e in entries], pairs, ""


def _walk_value(e: Entry, source: str | None) -> dict[str, Any]:
    return {
        "id": id_of(e.folder),
        "title": short(e.title or e.folder),
        "folder": short(e.folder),
        "source": source,
        "maker": short(" ".join(p for p in (e.maker, e.model) if p)),
        "recorded": short((e.recorded or "")[:16].replace("T", " ")),
        "made": datetime.fromtimestamp(e.made).strftime("%Y-%m-%d %H:%M") if e.made else "",
        "length": clock(e.duration),
        "facts": e.facts,
        "doubtful": e.doubtful,
        "conflicts": e.conflicts,
        "open": e.open,
        "fault": short(e.fault or ""),
        "why": [short(w) for w in e.why],
    }


def cut_routes(app: FastAPI, desk: Desk, page: Page) -> None:
    """Where one recording holds several machines."""

    @app.get("/walks/{number}/cuts")
    def cuts(number: str) -> Response:
        walk = desk.walk(number)
        root = lots.whole_of(walk.folder)
        sound = desk.sound_of(walk)
        return page(
            "cuts.html",
            number=number,
            title=title_of(walk.walk),
            file=short(walk.walk.source.file),
            machines=machines_of(desk, root),
            sound=sound is not None,
            video=sound is not None and PLAYED[sound.suffix.lower()].startswith("video/"),
            transcript=walk.walk.source.kind == "transcript",
        )

    @app.get("/walks/{number}/cuts/words")
    def words(number: str) -> Response:
        """The words of the whole recording, where its lines begin, and the cuts as word numbers."""
        root = lots.whole_of(desk.walk(number).folder)
        transcript = desk.transcript_of(root)
        kept = lots.kept(root)
        return JSONResponse(
            {
                "words": [[short(w.text, 80), round(w.start, 2)] for w in transcript.words],
                "lines": run.line_begins(transcript),
                "cuts": [{"at": c.at, "back": c.back, "why": short(c.why)} for c in kept],
            }
        )

    @app.post("/walks/{number}/cuts")
    async def move(number: str, request: Request) -> Response:
        asked = await json_of(request)
        wanted, seen = cuts_in(asked.get("cuts")), cuts_in(asked.get("seen"))

        def work() -> dict[str, Any]:
            root = lots.whole_of(desk.walk(number).folder)
            if _plain(lots.kept(root)) != _plain(seen):
                raise Stale("the cuts are no longer as the page showed them")
            lots.keep(root, wanted, who=who_of(request), why=short(str(asked.get("why", ""))))
            return desk.cut(root)

        return JSONResponse({"job": await asyncio.to_thread(work)})


def cuts_in(value: Any) -> tuple[lots.Cut, ...]:
    """Cuts as a page sends them. Raises UsageError."""
    if not isinstance(value, list) or not all(isinstance(c, dict) for c in value):
        raise UsageError("cuts were expected")
    found = []
    for c in value:
        back = c.get("back")
        if back is not None and (isinstance(back, bool) or not isinstance(back, int)):
            raise UsageError("the number of an earlier part was expected")
        found.append(lots.Cut(second_of(c.get("at")), back))
    return tuple(found)


def _plain(cuts: Iterable[lots.Cut]) -> list[tuple[float, int | None]]:
    return [(round(c.at, 2), c.back) for c in cuts]


def machines_of(desk: Desk, root: Path) -> list[dict[str, Any]]:
    """The machines of one recording as links, with the times that each is spoken of."""
    folders = {p: n for n, p in desk.folders().items() if p == root or p.parent == root}
    kept = lots.kept(root)
    if not kept:
        return [{"id": folders[root], "n": 1, "name": root.name, "spans": ""}] if root in folders else []
    numbers: dict[int, list[str]] = {}
    for begin, end in itertools.pairwise((0.0, *(c.at for c in kept), -1.0)):
        span = f"{clock(begin)} to {clock(end)}" if end >= 0 else f"from {clock(begin)}"
        numbers.setdefault(lots.machine_at(kept, begin), []).append(span)
    found = []
    for n, spans in sorted(numbers.items()):
        place = root / f"{n:02d}"
        if place in folders:
            found.append({"id": folders[place], "n": n, "name": f"Machine {n}", "spans": ", ".join(spans)})
    return found
