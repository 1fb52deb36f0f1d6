"""The routes: what the page asks for, and the answers. What they do is in the modules beside."""

from __future__ import annotations

import asyncio
import hashlib
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any
from urllib.parse import quote

from fastapi import FastAPI, Request, WebSocket, WebSocketDisconnect
from fastapi.responses import FileResponse, HTMLResponse, JSONResponse, Response
from fastapi.staticfiles import StaticFiles
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from pipeline import lots, run
from pipeline.errors import (
    DecisionError,
    NotFound,
    OutputError,
    TallywalkError,
    UsageError,
    WalkError,
)
from pipeline.settings import Settings
from pipeline.walk import IDENTITY_FIELDS, PROPERTIES
from pipeline.web.asked import Page, body_of, clock, json_of, second_of, who_of, whole_number
from pipeline.web.desk import PLAYED, Desk, id_of
from pipeline.web.guard import Guard, Guarded
from pipeline.web.many import cut_routes, machines_of, start_routes
from pipeline.web.recordings import LARGEST_PICTURE, LONGEST_PIECE, free
from pipeline.web.room import Listener, message_of
from pipeline.web.rows import KIND_NAMES, Row, figures_of, findings_of, paragraphs_of, short, title_of
from pipeline.web.session import OpenWalk, Stale

HERE = Path(__file__).parent
FETCHED = {
    ".docx": "application/vnd.openxmlformats-officedocument.wordprocessingml.document",
    ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    ".pdf": "application/pdf",
}
"""Documents with a type of their own; everything else is sent as a download that no browser runs."""
STATUS: tuple[tuple[type[TallywalkError], int], ...] = (
    (Stale, 409), (NotFound, 404), (UsageError, 400), (DecisionError, 422), (OutputError, 507), (WalkError, 500),
)  # fmt: skip


def create_app(
    folder: Path, *, settings: Settings, guard: Guard, listener: Callable[[], Listener] | None = None
) -> Guarded:
    """The application behind its guard; listener makes the engine that hears live (tests hand in another)."""
    desk = Desk(folder, settings, listener)
    app = FastAPI(title="tallywalk", docs_url=None, redoc_url=None, openapi_url=None)
    pages = Environment(loader=FileSystemLoader(HERE / "templates"), autoescape=True, undefined=StrictUndefined)
    pages.trim_blocks = pages.lstrip_blocks = True
    pages.policies["json.dumps_kwargs"] = {"sort_keys": False}
    pages.filters["clock"] = clock
    pages.globals["stamp"] = _stamp()
    app.mount("/static", StaticFiles(directory=HERE / "static"), name="static")

    def page(name: str, **values: Any) -> HTMLResponse:
        return HTMLResponse(pages.get_template(name).render(**values))

    @app.exception_handler(TallywalkError)
    async def told(request: Request, error: TallywalkError) -> Response:
        status = next((code for cls, code in STATUS if isinstance(error, cls)), 415)
        if request.method == "GET" and "text/html" in request.headers.get("accept", ""):
            answer = page("error.html", message=short(str(error)), remedy=error.remedy)
            answer.status_code = status
            return answer
        return JSONResponse({"error": short(str(error)), "remedy": error.remedy}, status_code=status)

    start_routes(app, desk, page)
    cut_routes(app, desk, page)
    _record_routes(app, desk, page)
    _file_routes(app, desk)
    _settle_routes(app, desk, page, pages)
    _hand_over_routes(app, desk, page)
    return Guarded(app, guard)


def _stamp() -> str:
    """Tells one version of the page's own files from another, for their addresses."""
    total = hashlib.sha256()
    for path in sorted((HERE / "static").iterdir()):
        total.update(path.read_bytes())
    return total.hexdigest()[:8]


def _record_routes(app: FastAPI, desk: Desk, page: Page) -> None:
    recordings = desk.recordings

    @app.get("/record")
    def record() -> Response:
        return page("record.html")

    @app.post("/recordings")
    async def begin(request: Request) -> Response:
        asked = await json_of(request)
        about = await asyncio.to_thread(recordings.begin, str(asked.get("name", ""))[:200])
        return JSONResponse({"number": about.number, "name": about.name, "free": free(desk.folder)})

    @app.get("/recordings/{number}")
    def so_far(number: str) -> Response:
        about = recordings.about(number)
        return JSONResponse({"number": number, "name": about.name, "size": recordings.size(number)})

    @app.post("/recordings/{number}/sound")
    async def sound(number: str, request: Request) -> Response:
        at = whole_number(request.query_params.get("at"))
        data = await body_of(request, LONGEST_PIECE)
        try:
            size = await asyncio.to_thread(recordings.add_sound, number, at, data)
        except UsageError:
            return JSONResponse({"size": recordings.size(number), "free": free(desk.folder)}, status_code=409)
        desk.room(number).sound_came()
        return JSONResponse({"size": size, "free": free(desk.folder)})

    @app.post("/recordings/{number}/event")
    async def event(number: str, request: Request) -> Response:
        asked = await json_of(request)
        kind = asked.get("kind")
        if kind not in ("mark", "pause", "resume", "gap"):
            raise UsageError("there is no such event")
        await asyncio.to_thread(recordings.add_event, number, kind, second_of(asked.get("at")))
        return JSONResponse({"kept": True})

    @app.post("/recordings/{number}/picture")
    async def picture(number: str, request: Request) -> Response:
        at = second_of(request.query_params.get("at"))
        data = await body_of(request, LARGEST_PICTURE)
        return JSONResponse({"name": await asyncio.to_thread(recordings.add_picture, number, at, data)})

    @app.post("/recordings/{number}/finish")
    async def finish(number: str) -> Response:
        desk.close_room(number)
        path = await asyncio.to_thread(recordings.finish, number)
        return JSONResponse({"file": path.name, "job": desk.read(path)})

    @app.post("/recordings/{number}/discard")
    async def discard(number: str) -> Response:
        desk.close_room(number)
        await asyncio.to_thread(recordings.discard, number)
        return JSONResponse({"gone": True})

    @app.websocket("/recordings/{number}/live")
    async def live(socket: WebSocket, number: str) -> None:
        try:
            room = desk.room(number)
        except TallywalkError as error:
            await socket.close(4404, str(error)[:100])
            return
        await socket.accept()
        version, sent = -1, 0
        listening = asyncio.create_task(socket.receive())
        try:
            while not listening.done():
                state = await asyncio.to_thread(room.after, version, 1.0)
                if state.version == version:
                    continue
                message = message_of(state, sent)
                version, sent = state.version, len(state.words)
                await socket.send_json(message)
        except (WebSocketDisconnect, RuntimeError):
            pass
        finally:
            listening.cancel()


def _file_routes(app: FastAPI, desk: Desk) -> None:
    recordings = desk.recordings

    @app.post("/files")
    async def announce(request: Request) -> Response:
        asked = await json_of(request)
        size = asked.get("size")
        if not isinstance(size, int) or isinstance(size, bool):
            raise UsageError("the size of the file was expected")
        name, key = str(asked.get("name", ""))[:300], str(asked.get("key", ""))[:200]
        about, there = await asyncio.to_thread(recordings.receive, name, size, key)
        return JSONResponse({"number": about.number, "name": about.name, "there": there, "piece": LONGEST_PIECE // 2})

    @app.post("/files/{number}")
    async def piece(number: str, request: Request) -> Response:
        at = whole_number(request.query_params.get("at"))
        data = await body_of(request, LONGEST_PIECE)
        size, path = await asyncio.to_thread(recordings.add_bytes, number, at, data)
        return JSONResponse({"there": size, "job": desk.read(path) if path is not None else None})

    @app.post("/files/{number}/discard")
    async def drop(number: str) -> Response:
        await asyncio.to_thread(recordings.drop, number)
        return JSONResponse({"gone": True})

    @app.post("/read")
    async def read(request: Request) -> Response:
        asked = await json_of(request)
        path = next((p for p in recordings.finished() if p.name == asked.get("name")), None)
        if path is None:
            raise NotFound("this recording is no longer there", remedy="Load the page again.")
        return JSONResponse({"job": desk.read(path)})


def _settle_routes(app: FastAPI, desk: Desk, page: Page, pages: Environment) -> None:
    row_html = pages.get_template("row.html")

    def rendered(row: Row) -> str:
        return row_html.render(row=row, kinds=KIND_NAMES)

    def state_of(walk: OpenWalk, before: tuple[Row, ...] | None) -> dict[str, Any]:
        """What a page needs to be as the walk is: rows that differ from before, findings, figures."""
        now = walk.rows
        old = {r.ref: r.seen for r in before} if before is not None else {}
        there = {r.ref for r in now}
        gone = [ref for ref in old if ref not in there]
        changed = [
            {"ref": r.ref, "after": now[i - 1].ref if i else None, "html": rendered(r)}
            for i, r in enumerate(now)
            if old.get(r.ref) != r.seen
        ]
        return {
            "version": walk.version,
            "checked": walk.checked,
            "whole": before is None,
            "changed": changed,
            "gone": gone,
            "figures": figures_of(walk.walk, now),
            "findings": findings_of(walk.walk),
            "decided": [{"text": short(d.text), "who": short(d.who), "when": d.when} for d in walk.walk.decided[-20:]],
            "title": title_of(walk.walk),
            "fault": walk.fault,
        }

    @app.get("/walks/{number}")
    def settle(number: str) -> Response:
        walk = desk.walk(number)
        sound = desk.sound_of(walk)
        rows = walk.rows
        value = walk.walk
        return page(
            "settle.html",
            number=number,
            title=title_of(value),
            source=value.source,
            file=short(value.source.file),
            machines=machines_of(desk, lots.whole_of(walk.folder)),
            rows=rows,
            kinds=KIND_NAMES,
            figures=figures_of(value, rows),
            findings=findings_of(value),
            decided=[{"text": short(d.text), "who": short(d.who), "when": d.when} for d in value.decided[-20:]],
            paragraphs=paragraphs_of(walk.transcript()),
            unheard=value.speech.unheard if value.speech else (),
            marks=walk.marks(),
            sound=sound is not None,
            video=sound is not None and PLAYED[sound.suffix.lower()].startswith("video/"),
            properties=PROPERTIES,
            identity_fields=IDENTITY_FIELDS,
            version=walk.version,
            units=sorted({str(r["spoken"][0]) for r in desk.vocabulary["units"]}),
        )

    @app.post("/walks/{number}/decide")
    async def decide(number: str, request: Request) -> Response:
        asked = await json_of(request)

        def work() -> dict[str, Any]:
            walk = desk.walk(number)
            before = walk.rows
            if asked.get("act") == "mark":
                walk.mark(second_of(asked.get("at")), str(asked.get("why", "")), who_of(request))
            else:
                walk.decide(asked, who_of(request))
            return state_of(walk, before)

        return JSONResponse(await asyncio.to_thread(work))

    @app.post("/walks/{number}/undo")
    async def undo(number: str, request: Request) -> Response:
        await json_of(request)

        def work() -> dict[str, Any]:
            walk = desk.walk(number)
            before = walk.rows
            text = walk.undo(who_of(request))
            return {**state_of(walk, before), "undone": short(text)}

        return JSONResponse(await asyncio.to_thread(work))

    @app.get("/walks/{number}/state")
    def state(number: str, version: int = -1) -> Response:
        """Findings and figures once they belong to the facts, and the rows that differ from a version of them.

        All rows where that version is not known: another page, another person or a workbook may have gone far on.
        """
        walk = desk.walk(number)
        walk.settled(5.0)
        return JSONResponse(state_of(walk, walk.rows_at(version)))

    @app.get("/walks/{number}/version")
    def version(number: str) -> Response:
        """Asked every few seconds by every open page."""
        walk = desk.walk(number)
        return JSONResponse({"version": walk.current_version()})

    @app.get("/walks/{number}/sound")
    def sound(number: str) -> Response:
        path = desk.sound_of(desk.walk(number))
        if path is None:
            raise NotFound("the recording of this walk is not in this folder", remedy="Put it beside the walk.")
        return FileResponse(path, media_type=PLAYED[path.suffix.lower()])

    @app.get("/walks/{number}/outline")
    def outline(number: str) -> Response:
        walk = desk.walk(number)
        path = desk.sound_of(walk)
        if path is None:
            raise NotFound("the recording of this walk is not in this folder", remedy="Put it beside the walk.")
        return JSONResponse(_outline(desk, number, path))


def _outline(desk: Desk, number: str, path: Path) -> dict[str, Any]:
    """Loudness in columns for the picture of the sound; made in the background, once."""
    with desk._lock:
        have = desk._outlines.get(number)
    if have is not None:
        return {"ready": True, "columns": have}

    def work(progress: run.Progress) -> Any:
        columns = run.outline(path, columns=1200)
        with desk._lock:
            desk._outlines[number] = columns
        return len(columns)

    job = desk.jobs.add(f"Drawing the sound of {path.name}", f"outline {path}", work)
    return {"ready": False, "failed": job.state == "failed"}


DOCUMENTS = {
    "report.docx": "the report, to edit and sign",
    "report.html": "the report that plays the recording",
    "report.pdf": "the report, to print",
    "report-hand-out.docx": "the edition to give away, to edit",
    "report-hand-out.html": "the edition to give away",
    "report-hand-out.pdf": "the edition to give away, to print",
    "punch-list.xlsx": "what is still to ask, to fill in at the machine",
    "walk.xlsx": "all facts as a workbook",
    "listing.txt": "the listing",
    "listing.short.txt": "the listing, short",
    "listing.md": "the listing, for sites that take Markdown",
    "listing.html": "the listing, for sites that take HTML",
    "listing.jsonld": "the listing, for search engines",
    "listing.csv": "the listing, as one row of a table",
    "specification.csv": "the figures, as a table",
    "equipment.csv": "the equipment, as a table",
    "stations.csv": "the stations, as a table",
    "findings.csv": "the findings, as a table",
    "transcript.txt": "the words, with times",
    "transcript.vtt": "the words, as subtitles",
    "transcript.json": "the words, for programs",
}
"""What a person fetches, in the order of use; all else comes behind."""
HIDDEN = ("walk.json", "documents.json", "made.json", lots.LOTS)
"""Files of the program's own."""


def fetchable(folder: Path) -> list[Path]:
    """What can be fetched from a walk's folder: no hidden files, no links, nothing of another machine's."""
    from pipeline.decisions import FILE

    found = []
    for path in sorted(folder.rglob("*")):
        inside = path.relative_to(folder).parts
        apart = inside[0] in ("visits", "photos", lots.EARLIER) or lots.NUMBERED.fullmatch(inside[0])
        if path.name in (*HIDDEN, FILE) or apart or any(p.startswith(".") for p in inside):
            continue
        if path.is_file() and not path.is_symlink():
            found.append(path)
    return found


def size_of(size: int) -> str:
    """Bytes for people."""
    return f"{size / 1024:.0f} kB" if size < 1 << 20 else f"{size / (1 << 20):.1f} MB"


def _hand_over_routes(app: FastAPI, desk: Desk, page: Page) -> None:
    def documents(walk: OpenWalk) -> list[dict[str, Any]]:
        from pipeline.decisions import FILE

        out = []
        lines = walk.folder / FILE
        decided = lines.stat().st_mtime if lines.is_file() else 0.0
        for path in fetchable(walk.folder):
            name = path.relative_to(walk.folder).as_posix()
            try:
                status = path.stat()
            except OSError:
                continue  # gone meanwhile
            out.append(
                {
                    "id": id_of(name),
                    "name": short(name),
                    "what": DOCUMENTS.get(path.name, ""),
                    "size": size_of(status.st_size),
                    "made": datetime.fromtimestamp(status.st_mtime).strftime("%Y-%m-%d %H:%M"),
                    "old": path.suffix in FETCHED and status.st_mtime < decided,
                }
            )
        order = list(DOCUMENTS)
        return sorted(out, key=lambda d: (order.index(d["name"]) if d["name"] in order else len(order), d["name"]))

    @app.get("/walks/{number}/documents")
    def hand_over(number: str) -> Response:
        walk = desk.walk(number)
        return page(
            "documents.html",
            number=number,
            title=title_of(walk.walk),
            documents=documents(walk),
            figures=figures_of(walk.walk, walk.rows),
        )

    @app.post("/walks/{number}/documents")
    async def make(number: str, request: Request) -> Response:
        await json_of(request)
        return JSONResponse({"job": await asyncio.to_thread(desk.write, number)})

    @app.get("/walks/{number}/documents/{document}")
    def fetch(number: str, document: str) -> Response:
        walk = desk.walk(number)
        for path in fetchable(walk.folder):
            if id_of(path.relative_to(walk.folder).as_posix()) == document:
                kind = FETCHED.get(path.suffix.lower(), "application/octet-stream")
                disposition = f"attachment; filename*=UTF-8''{quote(path.name)}"
                return FileResponse(path, media_type=kind, headers={"content-disposition": disposition})
        raise NotFound("this document is no longer there", remedy="Make the documents again.")
