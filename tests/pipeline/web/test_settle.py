"""Deciding over the page's own routes: kept before it is told, refused where stale, nothing lost whatever is killed."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from pipeline import decisions, run
from pipeline.decisions import FILE, append, new, read_decisions
from pipeline.errors import NotFound, OutputError
from pipeline.review import locate
from pipeline.settings import Settings
from pipeline.walk import Offer, Walk
from pipeline.web import guard_for
from pipeline.web.app import DOCUMENTS, create_app, id_of
from pipeline.web.rows import unit_spelling
from pipeline.web.session import OpenWalk
from tests.pipeline.web.samples import WALK, put
from tests.pipeline.web.standin import Script
from vocab import builtin

HERE = "http://127.0.0.1:8765"
ID = id_of("washer line")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    put(tmp_path, "washer line")
    return tmp_path


def client(folder: Path) -> Any:
    from starlette.testclient import TestClient

    app = create_app(folder, settings=Settings(), guard=guard_for("127.0.0.1", 8765, tls=False), listener=Script)
    return TestClient(app, base_url=HERE, headers={"origin": HERE, "x-who": "Sam%20T"})


def decide(http: Any, **asked: Any) -> Any:
    return http.post(f"/walks/{ID}/decide", json=asked)


def walk_in(folder: Path) -> Walk:
    return run.read_walk(folder / "washer line" / "walk.json")


def test_decisions_of_every_kind(folder: Path) -> None:
    http = client(folder)
    before = http.get(f"/walks/{ID}").text
    assert "heard badly" in before
    assert decide(http, act="confirm", ref="q3").status_code == 200
    answer = decide(
        http, act="change", ref="c1", set={"count": 8, "disposition": "excluded"}, why="counted again"
    ).json()
    assert [c["ref"] for c in answer["changed"]] == ["c1"]
    assert "excluded" in answer["changed"][0]["html"]
    assert decide(http, act="withdraw", ref="station:0:1").status_code == 200
    assert decide(http, act="change", ref="q1", set={"value": 17, "unit": "metres"}).status_code == 200
    added = decide(
        http, act="add", kind="quantity", set={"subject": "motor", "property": "power", "value": 5, "unit": ""}
    )
    assert added.status_code == 200
    assert added.json()["figures"]["facts"] == answer["figures"]["facts"]
    offered = decide(http, act="settle", ref="f0000000002", why="")
    assert offered.status_code == 422, "a reason is needed"
    lines = read_decisions(folder / "washer line")
    assert {d.who for d in lines} == {"Sam T"}
    assert [d.act for d in lines][:3] == ["confirm", "change", "withdraw"]
    assert (
        http.get(f"/walks/{ID}/state?version=0").json()["checked"] == http.get(f"/walks/{ID}/version").json()["version"]
    )
    walk = walk_in(folder)
    assert (walk.components[0].count, walk.components[0].disposition) == (8, "excluded")
    assert walk.sequences[0].stations[1].status == "withdrawn"
    length = walk.quantities[0]
    assert (length.value, length.unit) == (17, "metre")


def test_an_offer_and_a_settled_finding(folder: Path) -> None:
    http = client(folder)
    answer = decide(http, act="accept", ref="f0000000001", offer=0).json()
    assert "480 volts" in answer["changed"][0]["html"]
    answer = decide(http, act="settle", ref="f0000000002", why="no plate on it")
    assert answer.status_code == 200
    assert http.get(f"/walks/{ID}/state?version=0").json()["checked"]
    walk = walk_in(folder)
    assert walk.quantities[1].value == 480
    accepted, settled = walk.decided
    assert (accepted.act, accepted.facts) == ("accept", ("q2",))
    assert settled.finding is not None
    assert (settled.finding.id, settled.why, settled.applied) == ("f0000000002", "no plate on it", True)
    assert not {"f0000000001", "f0000000002"} & {f.id for f in walk.findings}


def test_undo_goes_back_step_by_step(folder: Path) -> None:
    http = client(folder)
    decide(http, act="change", ref="q2", set={"value": 480})
    decide(http, act="withdraw", ref="q4")
    answer = http.post(f"/walks/{ID}/undo", json={}).json()
    assert answer["undone"].startswith("wash tank volume")
    http.post(f"/walks/{ID}/undo", json={})
    assert http.post(f"/walks/{ID}/undo", json={}).status_code == 422
    http.get(f"/walks/{ID}/state?version=0")
    walk = walk_in(folder)
    assert walk.quantities == WALK.quantities
    assert walk.components == WALK.components
    assert len(read_decisions(folder / "washer line")) == 4, "nothing is ever taken out of the file"


def test_two_tabs_the_second_is_told(folder: Path) -> None:
    one, two = client(folder), client(folder)
    seen = {r.ref: r.seen for r in OpenWalk(folder / "washer line", builtin()).rows}
    assert decide(one, act="change", ref="q2", seen=seen["q2"], set={"value": 480}).status_code == 200
    answer = decide(two, act="change", ref="q2", seen=seen["q2"], set={"value": 460})
    assert answer.status_code == 409
    assert "no longer" in answer.json()["error"]
    assert decide(two, act="confirm", ref="q3", seen=seen["q3"]).status_code == 200, "other facts are free"
    assert [d.act for d in read_decisions(folder / "washer line")] == ["change", "confirm"]


def test_a_kill_between_the_decision_and_walk_json(folder: Path) -> None:
    place = folder / "washer line"
    kind, fact = locate(run.read_walk(place / "walk.json"), "q2")
    append(place, new("change", who="Sam", kind=kind, fact=fact, changes={"value": 480.0}))
    with (place / FILE).open("ab") as file:
        file.write(b'{"id": "torn", "wh')
    walk = OpenWalk(place, builtin())
    assert walk.walk.quantities[1].value == 480.0
    assert walk.settled()
    assert walk_in(folder).quantities[1].value == 480.0
    walk.decide({"act": "confirm", "ref": "q3"}, "Sam")
    assert len(read_decisions(place)) == 2


def test_a_workbook_filled_meanwhile_is_seen(folder: Path) -> None:
    http = client(folder)
    version = http.get(f"/walks/{ID}/version").json()["version"]
    append(
        folder / "washer line", new("add", who="workbook", kind="identity", changes={"field": "model", "value": "PW-3"})
    )
    assert http.get(f"/walks/{ID}/version").json()["version"] > version
    assert "PW-3" in http.get(f"/walks/{ID}").text


def test_the_disk_is_full(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    http = client(folder)
    http.get(f"/walks/{ID}")

    def full(handle: int, text: bytes) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(decisions, "_write", full)
    answer = decide(http, act="confirm", ref="q3")
    assert answer.status_code == 507
    assert "No space" in answer.json()["error"]
    monkeypatch.undo()
    assert walk_in(folder).quantities[2].doubt == "unit supplied"
    assert decide(http, act="confirm", ref="q3").status_code == 200


def test_the_folder_is_deleted_underneath(folder: Path) -> None:
    http = client(folder)
    assert http.get(f"/walks/{ID}").status_code == 200
    shutil.rmtree(folder / "washer line")
    answer = decide(http, act="confirm", ref="q3")
    assert answer.status_code == 404
    assert answer.json() == {"error": "this walk is no longer there", "remedy": "Go back to the list of walks."}
    for path in ("undo", "documents"):
        assert http.post(f"/walks/{ID}/{path}", json={}).status_code == 404
    page = http.get(f"/walks/{ID}", headers={"accept": "text/html"})
    assert page.status_code == 404
    assert "Go back to the list of walks." in page.text
    assert 'href="/"' in page.text
    assert "three stage parts washer" not in http.get("/").text
    assert not (folder / "washer line").exists()


def test_the_folder_is_deleted_while_a_walk_is_open_and_while_it_is_checked(folder: Path) -> None:
    place = folder / "washer line"
    walk = OpenWalk(place, builtin())
    walk.decide({"act": "confirm", "ref": "q3"}, "Sam")
    shutil.rmtree(place)  # the checks begin a quarter of a second after the decision
    assert walk.settled()
    assert walk.fault == "the folder of this walk is gone"
    assert not place.exists(), "nothing makes half a folder anew"
    with pytest.raises(NotFound, match="the folder of this walk is gone"):
        walk.current_version()
    with pytest.raises(NotFound):
        walk.decide({"act": "confirm", "ref": "q4"}, "Sam")


def test_a_full_disk_behind_a_decision_is_told(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The decision is in its file; walk.json, which is written after it, does not fit."""

    def full(path: Path, text: str) -> None:
        raise OutputError(f"{path}: No space left on device")

    http = client(folder)
    before = (folder / "washer line" / "walk.json").read_bytes()
    monkeypatch.setattr(run, "write_whole", full)
    assert decide(http, act="confirm", ref="q3").status_code == 200
    assert "No space left" in http.get(f"/walks/{ID}/state?version=0").json()["fault"]
    assert (folder / "washer line" / "walk.json").read_bytes() == before
    monkeypatch.undo()
    assert decide(http, act="confirm", ref="q4").status_code == 200
    assert http.get(f"/walks/{ID}/state?version=0").json()["fault"] == ""
    assert [d.act for d in walk_in(folder).decided] == ["confirm", "confirm"]


def test_a_spoilt_walk_is_listed_with_its_fault(folder: Path) -> None:
    (folder / "washer line" / "walk.json").write_text("{")
    page = client(folder).get("/").text
    assert "cannot be read" in page
    answer = client(folder).get(f"/walks/{ID}", headers={"accept": "text/html"})
    assert answer.status_code == 500
    assert "no JSON" in answer.text


@pytest.mark.parametrize(
    "asked",
    [
        {},
        {"act": "confirm", "ref": "q99"},
        {"act": "settle", "ref": "q1", "why": "x"},
        {"act": "change", "ref": "q1", "set": {}},
        {"act": "change", "ref": "q1", "set": {"unit": "9**9**9"}},
        {"act": "change", "ref": "q1", "set": {"value": "52"}},
        {"act": "change", "ref": "q1", "set": {"evidence": []}},
        {"act": "add", "kind": "finding", "set": {}},
        {"act": "add", "kind": "quantity", "set": {}},
        {"act": "burn", "ref": "q1"},
        {"act": "accept", "ref": "f0000000001", "offer": 7},
        {"act": ["x"], "ref": {}},
    ],
)
def test_what_cannot_be_decided(folder: Path, asked: dict[str, Any]) -> None:
    http = client(folder)
    answer = decide(http, **asked)
    assert answer.status_code in (409, 422), answer.text
    assert answer.json()["error"]
    assert read_decisions(folder / "washer line") == ()


def test_bodies_are_bounded(folder: Path) -> None:
    http = client(folder)
    assert http.post(f"/walks/{ID}/decide", json={"act": "x" * 300_000}).status_code == 400
    assert (
        http.post(f"/walks/{ID}/decide", content="[]", headers={"content-type": "application/json"}).status_code == 400
    )
    assert http.post(f"/walks/{ID}/decide", content="{}", headers={"content-type": "text/plain"}).status_code == 400


def test_a_body_of_untold_length_is_cut_off_while_it_comes(folder: Path) -> None:
    def endless() -> Iterator[bytes]:
        for _ in range(100):
            yield b" " * 65536

    http = client(folder)
    answer = http.post(f"/walks/{ID}/decide", content=endless(), headers={"content-type": "application/json"})
    assert answer.status_code == 400
    assert "at once" in answer.json()["error"]


def test_hostile_words_are_only_words(tmp_path: Path) -> None:
    from extractors.words import Transcript, Word

    bad = "<script>alert(1)</script>\"'&{{7*7}}\u202e\x1b[31m"
    q = replace(
        WALK.quantities[0], subject=bad, doubt=bad, evidence=(replace(WALK.quantities[0].evidence[0], words=bad * 900),)
    )
    walk = replace(WALK, quantities=(q,), findings=(replace(WALK.findings[0], message=bad, facts=("q1",)),))
    put(tmp_path, "washer line", walk, transcript=Transcript((Word(bad, 1, 2),), (0,), duration=60))
    http = client(tmp_path)
    text = http.get(f"/walks/{ID}").text
    assert "<script>alert" not in text
    assert "{{7*7}}" in text
    assert "\u202e" not in text.split('id="words"')[0]
    answer = decide(http, act="change", ref="q1", set={"subject": bad})
    assert "<script>" not in answer.json()["changed"][0]["html"]
    assert len(text) < 60_000


def test_units_as_people_write_them() -> None:
    assert unit_spelling("ft", builtin()) == "foot"
    assert unit_spelling(" Foot ", builtin()) == "foot"
    assert unit_spelling("", builtin()) == ""
    assert unit_spelling("__import__('os')", builtin()) is None


def test_the_start_page_finds(folder: Path) -> None:
    http = client(folder)
    assert "three stage parts washer" in http.get("/?q=rinse").text
    assert "Nothing was found" in http.get("/?q=locomotive").text
    assert http.get("/", params={"q": '"<img src=x>'}).status_code == 200


def test_marks_are_kept(folder: Path) -> None:
    http = client(folder)
    assert decide(http, act="mark", at=12.5, why="look at this again").status_code == 200
    assert decide(http, act="mark", at=-1).status_code == 400
    assert "marked: look at this again" in http.get(f"/walks/{ID}").text


def test_the_sound_is_given_in_parts(folder: Path) -> None:
    http = client(folder)
    answer = http.get(f"/walks/{ID}/sound", headers={"range": "bytes=44-99"})
    assert (answer.status_code, len(answer.content)) == (206, 56)
    assert answer.headers["content-type"] == "audio/wav"


def test_json_of_a_walk_is_whole_after_decisions(folder: Path) -> None:
    http = client(folder)
    decide(http, act="confirm", ref="q2")
    http.get(f"/walks/{ID}/state?version=0")
    data = json.loads((folder / "washer line" / "walk.json").read_text())
    assert data["decided"][0]["act"] == "confirm"
    assert data["quantities"][1]["decided"]


def test_documents_are_what_a_person_fetches_and_nothing_else(folder: Path) -> None:
    place = folder / "washer line"
    for name in (
        "report.docx",
        "walk.xlsx",
        "notes.txt",
        ".hidden",
        "documents.json",
        "02/report.docx",
        "earlier/a/x.docx",
    ):
        (place / name).parent.mkdir(parents=True, exist_ok=True)
        (place / name).write_text("x")
    (place / "link.txt").symlink_to("/etc/hostname")
    http = client(folder)
    text = http.get(f"/walks/{ID}/documents").text
    shown = text.split('documents">')[1]
    assert shown.index("report.docx") < shown.index("walk.xlsx") < shown.index("notes.txt"), "in the order of use"
    for name in (".hidden", "documents.json", "02/report.docx", "x.docx", "link.txt", "decisions.jsonl"):
        assert name not in text, name
        assert http.get(f"/walks/{ID}/documents/{id_of(name)}").status_code == 404, name
    fetched = http.get(f"/walks/{ID}/documents/{id_of('report.docx')}")
    assert fetched.status_code == 200
    assert fetched.headers["content-disposition"].startswith("attachment")


def test_a_walk_of_a_transcript_has_no_sound_and_says_so(folder: Path) -> None:
    shutil.rmtree(folder / "recordings")
    assert "Put it beside the walk" in client(folder).get(f"/walks/{ID}").text
    read = replace(WALK, source=replace(WALK.source, file="washer.txt", kind="transcript"))
    put(folder, "written", read, sound=False)
    http = client(folder)
    for path in (f"/walks/{id_of('written')}", f"/walks/{id_of('written')}/cuts"):
        text = http.get(path).text
        assert "there is no sound to hear" in text
        assert "Put it beside" not in text


def test_a_search_is_found_above_and_not_below_what_begins_a_walk(folder: Path) -> None:
    http = client(folder)
    assert 'class="pair"' in http.get("/").text
    assert 'class="pair less"' in http.get("/?q=tank").text
    assert "400 gal at 0:20" in http.get("/", params={"q": "tank over 300 gallons"}).text, "as documents print it"


def test_each_document_says_what_it_is(folder: Path) -> None:
    for name in DOCUMENTS:
        (folder / "washer line" / name).write_text("x")
    text = client(folder).get(f"/walks/{ID}/documents").text
    for what in DOCUMENTS.values():
        assert what in text


def test_a_year_is_shown_without_thousands(folder: Path) -> None:
    """As a row and on the button that reads it anew; printed before: "Read it as 1,999"."""
    year = replace(WALK.quantities[0], subject="boiler", property="year", value=1996, value_max=None, unit="")
    finding = replace(WALK.findings[0], facts=("q1",), offers=(Offer("q1", 1999, "", "one digit"),))
    put(folder, "boiler", replace(WALK, quantities=(year, *WALK.quantities[1:]), findings=(finding,)), sound=False)
    text = client(folder).get(f"/walks/{id_of('boiler')}").text
    assert ">Read it as 1999<" in text
    assert "1996" in text
    assert "1,99" not in text
