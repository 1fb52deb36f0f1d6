"""Many walks on the page: the list, what is like what, what is there twice, and cuts between machines moved by hand."""

from __future__ import annotations

import json
import time
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from pipeline import run
from pipeline.decisions import read_decisions
from pipeline.settings import Settings
from pipeline.walk import Stated
from pipeline.web import guard_for
from pipeline.web.app import create_app, id_of
from pipeline.web.desk import _bring_along
from pipeline.web.recordings import Recordings
from tests.pipeline.web.samples import WALK, browsing, needs_browser, put, serving
from tests.pipeline.web.standin import Script
from tests.pipeline.web.test_browser import PHONE, until

HERE = "http://127.0.0.1:8765"
SAID = (
    "[0:00] This is a parts washer. It is 12 feet long.\n[0:10] The wash tank holds 400 gallons.\n"
    "[0:20] This is a boiler. It is 40 horsepower.\n[0:30] The feed pump is 5 horsepower.\n"
)
YARD = id_of("yard")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    walks = tmp_path / "walks"
    said = tmp_path / "yard.txt"
    said.write_text(SAID)
    run.report(said, settings=Settings(out=walks, cuts=()), today=date(2026, 11, 25))
    return walks


@pytest.fixture
def http(folder: Path) -> Any:
    from starlette.testclient import TestClient

    app = create_app(folder, settings=Settings(), guard=guard_for("127.0.0.1", 8765, tls=False), listener=Script)
    return TestClient(app, base_url=HERE, headers={"origin": HERE, "x-who": "Sam%20T"})


def done(http: Any, answer: Any) -> Any:
    assert answer.status_code == 200, answer.text
    for _ in range(600):
        job = next(j for j in http.get("/jobs").json() if j["number"] == answer.json()["job"]["number"])
        if job["state"] in ("done", "failed"):
            assert job["state"] == "done", job
            return job["result"]
        time.sleep(0.05)
    raise AssertionError("the job did not end")


def test_a_cut_by_hand_is_a_line_and_two_walks(folder: Path, http: Any) -> None:
    words = http.get(f"/walks/{YARD}/cuts/words").json()
    assert words["cuts"] == []
    assert len(words["lines"]) >= 4
    ids = done(http, http.post(f"/walks/{YARD}/cuts", json={"cuts": [{"at": 20.0}], "seen": [], "why": "two machines"}))
    assert ids == [id_of("yard/01"), id_of("yard/02")]
    line = read_decisions(folder / "yard")[-1]
    assert (line.act, line.set["cuts"], line.who, line.why) == ("cut", [20.0], "Sam T", "two machines")
    page = http.get(f"/walks/{ids[1]}").text
    assert "machine 2 of 2: from 0:20" in page
    assert "400" not in page.split('id="rows"')[1].split("</ul>")[0]
    assert http.get(f"/walks/{ids[1]}/cuts/words").json()["cuts"] == [{"at": 20.0, "back": None, "why": "set by hand"}]
    assert "Perhaps the same machine twice" not in http.get("/").text, "two machines of one recording"
    back = {"cuts": [], "seen": [{"at": 20.0, "back": None}]}
    assert done(http, http.post(f"/walks/{ids[0]}/cuts", json=back)) == [YARD]


def test_two_people_move_cuts(http: Any) -> None:
    done(http, http.post(f"/walks/{YARD}/cuts", json={"cuts": [{"at": 20.0}], "seen": []}))
    answer = http.post(f"/walks/{id_of('yard/01')}/cuts", json={"cuts": [{"at": 30.0}], "seen": []})
    assert answer.status_code == 409
    assert "no longer" in answer.json()["error"]


@pytest.mark.parametrize(
    "cuts",
    [None, "x", [1], [{"at": "x"}], [{"at": -1}], [{"at": 1e9}], [{"at": 5, "back": "a"}], [{"at": 5, "back": 3}]],
)
def test_what_is_no_cut(folder: Path, http: Any, cuts: Any) -> None:
    before = read_decisions(folder / "yard")
    assert http.post(f"/walks/{YARD}/cuts", json={"cuts": cuts, "seen": []}).status_code in (400, 422)
    assert read_decisions(folder / "yard") == before


def test_marks_and_photos_go_to_the_machine_spoken_of(folder: Path, http: Any, tmp_path: Path) -> None:
    done(http, http.post(f"/walks/{YARD}/cuts", json={"cuts": [{"at": 20.0}], "seen": []}))
    kept = Recordings(tmp_path)
    number = kept.begin("yard").number
    kept.add_sound(number, 0, b"ab" * 16000)
    kept.add_event(number, "mark", 25.0)
    kept.add_picture(number, 5.0, b"\x89PNG\r\n\x1a\n" + b"x" * 20)
    path = kept.finish(number)
    for part in ("01", "02"):
        _bring_along(path, folder / "yard" / part)
    assert [d.at for d in read_decisions(folder / "yard" / "02") if d.act == "mark"] == [25.0]
    assert [d.at for d in read_decisions(folder / "yard" / "01") if d.act == "mark"] == []
    assert (folder / "yard" / "01" / "photos").is_dir()
    assert not (folder / "yard" / "02" / "photos").exists()


def test_similar_ones_are_ranked_with_why(folder: Path, http: Any) -> None:
    put(folder, "washer line", sound=False)
    other = replace(
        WALK, source=replace(WALK.source, sha256="1" * 64),
        identity=replace(WALK.identity, serial=Stated("K 4410")), components=WALK.components[:1],
    )  # fmt: skip
    put(folder, "washer again", other, sound=False)
    text = http.get(f"/?like={id_of('washer line')}").text
    assert text.index("washer line") < text.index("washer again")
    assert "3 stations in common" in text
    assert "1 component in common: pump" in text
    assert http.get("/?like=nothing").status_code == 200
    assert "no longer there" in http.get("/?like=nothing").text
    start = http.get("/").text
    assert "the same serial K 4410" in start.split("Perhaps the same machine twice")[1]


def test_the_list_shows_date_length_facts_and_open_findings(folder: Path, http: Any) -> None:
    put(folder, "washer line", replace(WALK, source=replace(WALK.source, recorded="2026-05-04T09:30:00Z")), sound=False)
    text = http.get("/?q=rinse").text
    assert "recorded 2026-05-04 09:30" in text
    assert "1:00 long" in text
    assert "5 figures" in text
    assert "2 open findings" in text


def test_a_long_list_comes_in_pages(tmp_path: Path) -> None:
    from starlette.testclient import TestClient

    from pipeline.walk import to_dict

    for i in range(130):
        place = tmp_path / f"walk {i:03d}"
        place.mkdir()
        walk = replace(
            WALK, source=replace(WALK.source, sha256=f"{i:064d}"), identity=replace(WALK.identity, serial=None)
        )
        (place / "walk.json").write_text(json.dumps(to_dict(walk)))
    app = create_app(tmp_path, settings=Settings(), guard=guard_for("127.0.0.1", 8765, tls=False), listener=Script)
    pages = [TestClient(app, base_url=HERE).get(f"/?begin={b}").text for b in (0, 60, 120)]
    counts = [p.count('<li class="card walk">') for p in pages]
    assert counts == [60, 60, 10]
    assert "The next 60" in pages[0]
    assert "The next 10" in pages[1]
    assert "Those before" in pages[2]


@pytest.mark.browser
@needs_browser
@pytest.mark.filterwarnings("ignore::ResourceWarning")
def test_cuts_by_keyboard_at_360_px(folder: Path) -> None:
    errors: list[str] = []
    with serving(folder) as page, browsing(**PHONE) as tab:
        tab.on("pageerror", lambda e: errors.append(str(e)))
        tab.goto(f"{page.url}/walks/{YARD}/cuts")
        tab.wait_for_selector("#lines button")
        assert tab.evaluate("document.documentElement.scrollWidth") <= 360
        tab.focus("button[aria-label*='at 0:20']")
        tab.keyboard.press("Enter")
        assert "Machine 2 from 0:20" in tab.text_content("#lines h3")
        assert tab.evaluate("document.activeElement.id") == "hear-0", "the focus goes to the new cut"
        tab.click("#down-0")
        moved = tab.text_content("#lines h3")
        tab.click("#up-0")
        assert tab.text_content("#lines h3") != moved
        tab.click("#right-0")
        tab.click("#left-0")
        tab.fill("#why", "two machines")
        tab.click("#keep")
        until(tab, "document.querySelectorAll('#after a.button').length == 2")
        tab.click("#after a.button >> nth=1")
        tab.wait_for_selector("#rows .row")
        assert "40 horsepower" in tab.text_content("#rows") or "40 hp" in tab.text_content("#rows")
        assert "400" not in tab.text_content("#rows")
    assert read_decisions(folder / "yard")[-1].set["cuts"] == [20.0]
    assert errors == []
