"""The page in Firefox: recorded into, told in the moment, settled by keyboard, judged by axe-core. Chromium has the
rest (test_browser.py); here is what could differ between the two: sound, web sockets, styles, files."""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from pipeline.decisions import read_decisions
from pipeline.web.recordings import Recordings
from tests.pipeline.web.bidi import firefox, needs_firefox, needs_sound, playing, room
from tests.pipeline.web.samples import put, serving
from tests.pipeline.web.test_browser import ID, axe, ladder, pitches, recorded, with_script

pytestmark = [pytest.mark.browser, needs_firefox, pytest.mark.filterwarnings("ignore::ResourceWarning")]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    put(tmp_path / "walks", "washer line")
    return tmp_path / "walks"


@pytest.fixture
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    # the path of a socket may be 107 bytes long at most
    with room(tmp_path_factory.mktemp("s")) as address:
        yield address


@needs_sound
def test_recording_outlasts_a_reload(folder: Path, tmp_path: Path, server: str) -> None:
    sound = tmp_path / "ladder.wav"
    ladder(sound, 25)
    with serving(folder) as page, firefox(tmp_path / "profile", server=server) as tab:
        tab.goto(f"{page.url}/record")
        with playing(sound, server):
            tab.click("#main-button")
            tab.until("document.getElementById('time').textContent >= '0:03'")
            number, size = recorded(folder)
            assert size / 32000 > 3 - 2, "on the disk within two seconds"
            tab.click("#mark")
            tab.until("document.getElementById('time').textContent >= '0:06'")
            tab.reload()
            tab.until("document.getElementById('main-button').getAttribute('aria-pressed') == 'true'")
            before = recorded(folder)[1]
            time.sleep(2.5)
            assert recorded(folder)[0] == number, "the same recording goes on"
            assert recorded(folder)[1] > before + 32000
            tab.click("#pause")
            tab.until("document.getElementById('main-text').textContent == 'Paused'")
        kept = Recordings(folder)
        mark, gap = kept.events(number)[:2]
        assert (mark["kind"], gap["kind"]) == ("mark", "gap")
        # what is said while the page loads anew is lost and told; before that nothing may be
        steps = [p for p in pitches(kept.sound(number, 0, int(gap["at"]) * 32000)) if p >= 300]
        assert steps == list(range(steps[0], steps[0] + 100 * len(steps), 100)), "no second lost or doubled"
        assert len(steps) >= 4
        assert tab.console == []


@needs_sound
def test_told_in_the_moment(folder: Path, tmp_path: Path, server: str) -> None:
    phrases = ("This is a three stage parts washer.", "Stage one is wash.", "Stage two is rinse.", "The end.")
    with with_script(folder, *phrases, *[""] * 8) as url, firefox(tmp_path / "profile", server=server) as tab:
        tab.size(360, 740)
        tab.goto(f"{url}/record")
        tab.click("#main-button")
        tab.until("[...document.querySelectorAll('#conflicts li')].some((x) => /3 stages/.test(x.textContent))")
        assert tab.evaluate("document.documentElement.scrollWidth") <= 360
        assert tab.console == []


def test_without_a_loudspeaker_it_says_why(folder: Path, tmp_path: Path) -> None:
    # Firefox does not start the clock of its sound where there is no output: it must not seem to record
    preferences = {"media__navigator__streams__fake": True}
    with serving(folder) as page, firefox(tmp_path / "profile", **preferences) as tab:
        tab.goto(f"{page.url}/record")
        tab.click("#main-button")
        tab.until("!document.getElementById('alarm').hidden")
        assert "Nothing is recorded" in tab.evaluate("document.getElementById('alarm').textContent")
        assert tab.evaluate("document.getElementById('main-button').getAttribute('aria-pressed')") == "false"


def test_settling_by_keyboard(folder: Path, tmp_path: Path) -> None:
    with serving(folder) as page, firefox(tmp_path / "profile") as tab:
        tab.goto(f"{page.url}/walks/{ID}")
        left = int(tab.evaluate("document.getElementById('left').textContent"))
        tab.press("n")
        tab.until("document.getElementById('chosen-name').textContent.includes('voltage')")
        tab.press("e", "480", "Enter")
        tab.until(f"document.getElementById('left').textContent == '{left - 1}'")
        tab.press("n", "c")
        tab.until(f"document.getElementById('left').textContent == '{left - 2}'")
        tab.press("f", "s")
        tab.until("document.getElementById('settle-box').open")
        tab.press("nobody knows", "Enter")
        tab.until("document.getElementById('decided-n').textContent == '3'")
        tab.press("u")
        tab.until("document.getElementById('decided-n').textContent == '2'")
        assert [d.act for d in read_decisions(folder / "washer line")] == ["change", "confirm", "settle", "undo"]
        assert tab.console == []


def test_a_file_is_taken_and_read(folder: Path, tmp_path: Path) -> None:
    path = tmp_path / "stamped.txt"
    path.write_text("[0:00] This is a two stage washer.\n[0:05] Stage one is wash. Stage two is rinse.\n")
    with serving(folder) as page, firefox(tmp_path / "profile") as tab:
        tab.goto(page.url)
        tab.choose_file("#file", path)
        tab.until("document.querySelector('#sending a.button') !== null")
        assert (folder / "stamped" / "walk.json").is_file()


def test_no_serious_finding_of_axe(folder: Path, tmp_path: Path) -> None:
    source = axe()
    with serving(folder) as page, firefox(tmp_path / "profile") as tab:
        tab.size(360, 740)
        for path in ("/", "/record", f"/walks/{ID}", f"/walks/{ID}/documents"):
            tab.goto(page.url + path)
            assert tab.evaluate("document.documentElement.scrollWidth") <= 360, path
            tab.evaluate(f"(() => {{ {source}\n; window.axe = axe || window.axe; }})()")
            found = tab.evaluate("axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa']})")
            grave = [v["id"] for v in found["violations"] if v["impact"] in ("serious", "critical")]
            assert grave == [], (path, grave)
