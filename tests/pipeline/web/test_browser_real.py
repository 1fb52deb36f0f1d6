"""The whole way on the page with the real recogniser: a spoken recording in the microphone, a conflict shown while it
is spoken, corrected aloud, gone; stopped, read, settled by keyboard, and the fetched docx holds the decisions.

The sound is spoken by hibari-tts through tools/synth.py. A stand-in in the recogniser's place must fail this test: what
is asserted are words that only listening to this sound gives.
"""

from __future__ import annotations

import io
import re
import wave
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from pipeline.decisions import read_decisions
from pipeline.web.recordings import Recordings
from tests.pipeline.web.samples import browsing, needs_browser, serving
from tests.pipeline.web.test_browser import until

pytestmark = [
    pytest.mark.browser,
    pytest.mark.slow,
    needs_browser,
    pytest.mark.filterwarnings("ignore::ResourceWarning"),
]

SAID = [
    "This is a four stage parts washer. It is fifty two feet long.",
    "Stage one is the wash. The wash tank holds six hundred gallons.",
    "Stage two is the rinse. The rinse tank holds four hundred gallons.",
    "Stage three is the blow off. That is all of the washer.",
]
CORRECTED = ["I missed one. Stage four is the dryer.", "The supply is four hundred eighty volts."]
QUIET = 15.0
"""Seconds of silence before the correction: time for the conflict to be shown."""


@pytest.fixture(scope="module")
def spoken(tmp_path_factory: pytest.TempPathFactory) -> Path:
    synth = pytest.importorskip("tools.synth", reason="NO VOICE: tools/synth.py is not there")
    pytest.importorskip("hibari", reason="NO VOICE: hibari-tts is not installed")
    first, _ = synth.narrate(SAID, seed=3)
    second, _ = synth.narrate(CORRECTED, seed=3)
    quiet = np.zeros(int(QUIET * synth.RATE), np.float32)
    sound = np.concatenate([np.zeros(synth.RATE, np.float32), first, quiet, second, quiet])
    path = tmp_path_factory.mktemp("spoken") / "walk.wav"
    with wave.open(str(path), "wb") as file:
        file.setparams((1, 2, synth.RATE, len(sound), "NONE", ""))
        file.writeframes((np.clip(sound, -1, 1) * 32767).astype("<i2").tobytes())
    return path


def conflict(tab: Any) -> Any:
    return tab.evaluate(
        """() => { const all = [...document.querySelectorAll('#conflicts li')];
        const li = all.find((x) => /4 stages/.test(x.textContent));
        return li && [li.textContent, Number(li.dataset.shown)]; }"""
    )


def test_record_be_told_correct_settle_hand_over(tmp_path: Path, spoken: Path) -> None:
    from docx import Document

    with serving(tmp_path) as page, browsing(sound=spoken, accept_downloads=True) as tab:
        tab.goto(f"{page.url}/record")
        tab.click("#main-button")
        until(tab, "[...document.querySelectorAll('#conflicts li')].some((x) => /4 stages/.test(x.textContent))", 60000)
        message, shown = conflict(tab)
        assert "3" in message, "it says how many were described"
        number = Recordings(tmp_path).unfinished()[0][0].number
        cause = Recordings(tmp_path).words(number)[-1]
        assert "washer" in cause.text, "said last: that is all of the washer"
        print(f"conflict shown {shown - cause.end:.1f} s after the words that cause it")
        assert shown - cause.end <= 10.0
        heard = tab.text_content("#settled").lower()
        assert "washer" in heard
        assert re.search(r"tank holds (400|four hundred)", heard)
        asked = int(tab.text_content("#n-ask"))
        until(
            tab, "![...document.querySelectorAll('#conflicts li')].some((x) => /4 stages/.test(x.textContent))", 60000
        )
        until(tab, "/480|four hundred/.test(document.getElementById('settled').textContent.slice(-60))", 30000)
        until(tab, f"Number(document.getElementById('n-ask').textContent) < {asked}", 20000)
        tab.click("#stop")
        until(tab, "!document.getElementById('after-link').hidden", 180000)
        tab.click("#after-link")
        tab.wait_for_selector("#rows .row")
        facts = tab.text_content("#rows")
        assert "600 gallons" in facts
        assert "52 ft" in facts
        tab.fill("#filter", "600 gallons")
        tab.locator("#rows .row:not(.hide) .pick").first.click()
        tab.keyboard.press("e")
        tab.keyboard.type("650")
        tab.keyboard.press("Enter")
        until(tab, "document.getElementById('decided-n').textContent == '1'")
        tab.fill("#filter", "400 gallons")
        tab.locator("#rows .row:not(.hide) .pick").first.click()
        tab.keyboard.press("c")
        until(tab, "document.getElementById('decided-n').textContent == '2'")
        tab.keyboard.press("a")
        tab.select_option("#add-kind", "identity")
        tab.select_option("#a-field", "serial")
        tab.fill("#a-value", "PW-4471-X")
        tab.keyboard.press("Enter")
        until(tab, "document.getElementById('decided-n').textContent == '3'")
        tab.click("text=Hand over")
        tab.wait_for_selector("text=before the last decision")
        with tab.expect_navigation(timeout=60000):
            tab.click("#make")
        tab.wait_for_selector("a[download]:has-text('report.docx')")
        with tab.expect_download() as fetched:
            tab.click("a[download]:has-text('report.docx')")
        data = Path(fetched.value.path()).read_bytes()
    place = next(p.parent for p in tmp_path.glob("*/walk.json"))
    assert [d.act for d in read_decisions(place)] == ["change", "confirm", "add"]
    document = Document(io.BytesIO(data))
    cells = [c.text for t in document.tables for row in t.rows for c in row.cells]
    text = "\n".join([*(p.text for p in document.paragraphs), *cells])
    assert re.search(r"\b650\b", text)
    assert "PW-4471-X" in text
