"""The page in a real browser: keyboard, small and dark screens, reloads, kills, strangers, a thousand facts.

Accessibility is judged by axe-core (Deque, MPL-2.0; an npm package, for development only) with the rules of WCAG 2.1 A
and AA. What the recogniser hears is tested in test_browser_real.py.
"""

from __future__ import annotations

import contextlib
import http.server
import itertools
import json
import math
import os
import re
import shutil
import struct
import threading
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import av
import numpy as np
import pytest

from extractors.words import Evidence, Transcript, Word
from pipeline import run
from pipeline.decisions import read_decisions
from pipeline.settings import Settings
from pipeline.walk import Quantity
from pipeline.web import guard_for
from pipeline.web.app import create_app, id_of
from pipeline.web.recordings import Recordings, wav_header
from tests.machine import slowness
from tests.pipeline.web.samples import ROOT, WALK, browsing, needs_browser, put, serving
from tests.pipeline.web.standin import Script

pytestmark = [pytest.mark.browser, needs_browser, pytest.mark.filterwarnings("ignore::ResourceWarning")]
ID = id_of("washer line")
PHONE = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    put(tmp_path, "washer line")
    return tmp_path


@contextlib.contextmanager
def with_script(folder: Path, *phrases: str) -> Iterator[str]:
    """The page in a thread, with a listener that says these phrases whatever it hears."""
    import uvicorn

    app = create_app(
        folder, settings=Settings(), guard=guard_for("127.0.0.1", 0, tls=False), listener=lambda: Script(*phrases)
    )
    server = uvicorn.Server(uvicorn.Config(app, port=0, log_level="error", lifespan="off"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    try:
        yield f"http://127.0.0.1:{server.servers[0].sockets[0].getsockname()[1]}"
    finally:
        server.should_exit = True
        thread.join(10)


def until(tab: Any, condition: str, timeout: float = 60000) -> None:
    """Wait until a condition holds; the page's policy forbids the browser's own way, which evaluates text.

    A time-out says that something hangs, not how fast it is: a shared machine may stand still for long.
    """
    end = time.monotonic() + timeout / 1000
    while not tab.evaluate(f"() => Boolean({condition})"):
        told = "[...document.querySelectorAll('#alarm, #fault, #behind, #settled')].map((e) => e.textContent)"
        assert time.monotonic() < end, (condition, tab.evaluate(told))
        tab.wait_for_timeout(50)


def axe() -> str:
    """axe-core's one file, where npm has put it."""
    places = [Path(os.environ.get("TALLYWALK_AXE", "/nowhere")), ROOT / "node_modules" / "axe-core" / "axe.min.js"]
    for path in places:
        if path.is_file():
            return path.read_text(encoding="utf-8")
    pytest.skip("NO AXE: axe-core is not installed (npm install --no-save axe-core): accessibility is not judged")


def test_no_serious_finding_of_axe(folder: Path) -> None:
    source = axe()
    with serving(folder) as page:
        for scheme, size in (("light", PHONE), ("dark", {"viewport": {"width": 1280, "height": 900}})):
            with browsing(color_scheme=scheme, bypass_csp=True, **size) as tab:
                for path in ("/", "/record", f"/walks/{ID}", f"/walks/{ID}/documents", "/walks/nothing"):
                    tab.goto(page.url + path)
                    if "/walks/" in path:
                        tab.keyboard.press("n")
                    tab.evaluate(source)
                    found = tab.evaluate("axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa']})")
                    grave = [
                        (v["id"], [n["html"][:120] for n in v["nodes"]][:3])
                        for v in found["violations"]
                        if v["impact"] in ("serious", "critical")
                    ]
                    assert not grave, (path, scheme, grave)


def test_a_narrow_screen_and_gloves(folder: Path) -> None:
    with serving(folder) as page, browsing(**PHONE) as tab:
        for path in ("/", "/record", f"/walks/{ID}", f"/walks/{ID}/documents"):
            tab.goto(page.url + path)
            if path.endswith(ID):
                tab.keyboard.press("n")
            assert tab.evaluate("document.documentElement.scrollWidth") <= 360, path
            small = tab.evaluate(
                """[...document.querySelectorAll(
                "main button, main a.button, main input:not([type=file]):not([type=checkbox]), summary")]
                .filter((e) => e.checkVisibility() && e.getBoundingClientRect().height < 43)
                .map((e) => e.outerHTML.slice(0, 80))"""
            )
            assert small == [], (path, "at least 44 px high (WCAG 2.5.5)")


def test_settling_three_facts_by_keyboard(folder: Path) -> None:
    errors: list[str] = []
    with serving(folder) as page, browsing() as tab:
        tab.on("pageerror", lambda e: errors.append(str(e)))
        tab.on("console", lambda m: errors.append(m.text) if m.type == "error" else None)
        tab.goto(f"{page.url}/walks/{ID}")
        left = int(tab.text_content("#left"))
        tab.keyboard.press("n")
        assert "voltage" in tab.text_content("#chosen-name")
        until(tab, "document.getElementById('media').currentTime > 9.6")
        until(tab, "document.getElementById('media').paused", timeout=8000)
        assert 11 < tab.evaluate("document.getElementById('media').currentTime") < 13, "its two seconds, no more"
        tab.keyboard.press("e")
        tab.keyboard.type("480")
        tab.keyboard.press("Enter")
        until(tab, f"document.getElementById('left').textContent == '{left - 1}'")
        tab.keyboard.press("n")
        assert "stage 3" in tab.text_content("#chosen-name")
        tab.keyboard.press("c")
        until(tab, f"document.getElementById('left').textContent == '{left - 2}'")
        tab.keyboard.press("n")
        tab.keyboard.press("w")
        until(tab, f"document.getElementById('left').textContent == '{left - 3}'")
        tab.keyboard.press("u")
        until(tab, f"document.getElementById('left').textContent == '{left - 2}'")
        tab.keyboard.press("f")
        tab.keyboard.press("s")
        assert re.match(r"(Does not add up|To verify|Still to ask): \S", tab.text_content("#settle-what"))
        tab.keyboard.type("nobody knows")
        tab.keyboard.press("Enter")
        until(tab, "document.getElementById('decided-n').textContent == '3'")
        tab.keyboard.press("a")
        tab.select_option("#add-kind", "identity")
        tab.select_option("#a-field", "maker")
        tab.fill("#a-value", "Invented Works")
        tab.keyboard.press("Enter")
        tab.wait_for_selector("#r-identity-maker")
        assert [d.act for d in read_decisions(folder / "washer line")] == [
            "change",
            "confirm",
            "withdraw",
            "undo",
            "settle",
            "add",
        ]
    assert errors == []


def film(path: Path, seconds: int) -> None:
    """A film of our own: grey pictures that grow lighter, and a tone."""
    rate, sound_rate = 12, 16000
    with av.open(str(path), "w", options={"movflags": "+faststart"}) as out:
        pictures = out.add_stream("libx264", rate=rate)
        pictures.width, pictures.height, pictures.pix_fmt = 320, 180, "yuv420p"
        sound = out.add_stream("aac", rate=sound_rate, layout="mono")
        for second in range(seconds):
            for n in range(second * rate, (second + 1) * rate):
                grey = np.full((180, 320, 3), 255 * n // (seconds * rate), np.uint8)
                out.mux(pictures.encode(av.VideoFrame.from_ndarray(grey, format="rgb24")))
            at = np.arange(second * sound_rate, (second + 1) * sound_rate)
            tone = np.sin(2 * np.pi * 440 * at / sound_rate, dtype=np.float32)[None]
            frame = av.AudioFrame.from_ndarray(tone, format="fltp", layout="mono")
            frame.sample_rate, frame.pts = sound_rate, second * sound_rate
            out.mux(sound.encode(frame))
        out.mux(pictures.encode(None))
        out.mux(sound.encode(None))


def test_two_seconds_of_a_film(tmp_path: Path) -> None:
    recording = tmp_path / "recordings" / "walk.mp4"
    recording.parent.mkdir()
    film(recording, 30)
    source = replace(WALK.source, file="walk.mp4", kind="video", sha256=run.sha256_of(recording), duration_s=30.0)
    put(tmp_path, "washer line", replace(WALK, source=source), sound=False)
    with serving(tmp_path) as page, browsing() as tab:
        tab.goto(f"{page.url}/walks/{ID}")
        assert tab.locator("video#media").count() == 1
        assert tab.locator("#wave").count() == 0
        tab.keyboard.press("n")
        until(tab, "document.getElementById('media').currentTime > 9.6")
        until(tab, "document.getElementById('media').videoWidth == 320")
        until(tab, "document.getElementById('media').paused", timeout=20000)
        assert 11 < tab.evaluate("document.getElementById('media').currentTime") < 13, "its two seconds, no more"
        frames = tab.evaluate("document.getElementById('media').getVideoPlaybackQuality().totalVideoFrames")
        assert frames > 5, "pictures were shown, not sound alone"


def test_the_screen_stays_on_and_signals_only_if_asked(folder: Path) -> None:
    phrases = (
        "This is a four stage parts washer.", "Stage one is wash.", "Stage two is rinse.", "Stage three is dip.",
        "That is the end.", *[""] * 9,
    )  # fmt: skip
    record = """
      window.asked = [];
      Object.defineProperty(navigator, 'wakeLock', {value: {request: async (kind) => {
        window.asked.push('lock ' + kind); return {release: async () => window.asked.push('release')}; }}});
      navigator.vibrate = (ms) => { window.asked.push('vibrate ' + ms); return true; };
      const start = OscillatorNode.prototype.start;
      OscillatorNode.prototype.start = function (...a) { window.asked.push('tone'); return start.apply(this, a); };
    """
    for wanted in (False, True):
        with with_script(folder, *phrases) as url, browsing(**PHONE) as tab:
            tab.add_init_script(record)
            tab.goto(f"{url}/record")
            assert "Stand clear first" in tab.text_content(".signal")
            if wanted:
                tab.click(".signal summary")
                tab.check("#buzz")
                tab.check("#tone")
            tab.click("#main-button")
            tab.wait_for_selector("#conflicts li:has-text('4 stages')", timeout=30000)
            tab.wait_for_timeout(1500)
            # coming back to the page takes the lock again, for browsers give it back when a page is hidden
            tab.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
            until(tab, "window.asked.filter((x) => x == 'lock screen').length == 2")
            signals = [x for x in tab.evaluate("window.asked") if not x.startswith("lock")]
            assert signals == (["vibrate 200", "tone"] if wanted else []), "silent unless switched on, and once"


def test_recording_over_tls_from_another_address(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    """As with a phone: a certificate made on the spot, a token in the link, sound and web socket over TLS."""
    import subprocess
    import sys

    sound = tmp_path_factory.mktemp("sound") / "ladder.wav"
    ladder(sound, 12)
    code = (
        "import sys; from pathlib import Path; from pipeline.settings import Settings; from pipeline.web import serve\n"
        "serve(Path(sys.argv[1]), settings=Settings(), host='0.0.0.0', port=0, tls=True, open_browser=False)"
    )
    environment = {**os.environ, "XDG_DATA_HOME": str(tmp_path_factory.mktemp("data"))}
    process = subprocess.Popen(
        [sys.executable, "-c", code, str(folder)], cwd=ROOT, env=environment, stdout=subprocess.PIPE, text=True
    )
    try:
        assert process.stdout is not None
        told = iter(process.stdout.readline, "")
        link = next(line.split()[-1] for line in told if line.startswith("The page is at"))
        with browsing(sound=sound, ignore_https_errors=True) as tab:
            assert tab.goto(link.split("?")[0]).status == 401
            tab.goto(link)
            tab.wait_for_selector("h1:has-text('Walks')")
            assert "token" not in tab.url
            tab.click("text=Record a walk")
            tab.click("#main-button")
            until(tab, "/^0:(0[3-9]|[1-5])/.test(document.getElementById('kept').textContent)")
            assert tab.evaluate("document.cookie") == "", "no script can read the token"
            assert recorded(folder)[1] >= 3 * 32000
    finally:
        process.kill()
        process.wait()
        process.stdout.close()


def test_speech_while_paused_is_told(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    sound = tmp_path_factory.mktemp("sound") / "ladder.wav"
    ladder(sound, 25)
    with serving(folder) as page, browsing(sound=sound) as tab:
        tab.goto(f"{page.url}/record")
        tab.click("#main-button")
        until(tab, "document.getElementById('time').textContent >= '0:02'")
        tab.click("#pause")
        until(tab, "document.getElementById('alarm').textContent.includes('not kept')")
        size = recorded(folder)[1]
        tab.wait_for_timeout(1200)
        assert recorded(folder)[1] <= size + 32000, "nothing is recorded while paused"
        tab.click("#main-button")
        until(tab, "document.getElementById('alarm').hidden")
        until(tab, "document.getElementById('time').textContent >= '0:04'")
        assert [e["kind"] for e in Recordings(folder).events(recorded(folder)[0])] == ["pause", "resume"]


def test_where_nothing_can_be_heard_the_page_says_why(folder: Path) -> None:
    put(folder, "written", replace(WALK, source=replace(WALK.source, kind="transcript")), sound=False)
    with serving(folder) as page, browsing() as tab:
        tab.goto(f"{page.url}/walks/{id_of('written')}")
        tab.click("#r-q3 .pick")
        assert "read from the transcript" in tab.text_content("#say")
        assert "not in this folder" not in tab.text_content("#say")


def test_two_tabs_see_each_other(folder: Path) -> None:
    with serving(folder) as page, browsing() as one:
        two = one.context.new_page()
        # what it shows comes of the refusal, not of asking now and then
        two.add_init_script("window.setInterval = () => 0")
        for tab in (one, two):
            tab.goto(f"{page.url}/walks/{ID}")
        one.click("#r-q3 .pick")
        one.keyboard.press("c")
        one.wait_for_selector("#r-q3 .mark.good")
        two.click("#r-q3 .pick")
        two.keyboard.press("w")
        two.wait_for_selector("#alarm:not([hidden])")
        assert "no longer" in two.text_content("#alarm")
        two.wait_for_selector("#r-q3 .mark.good")
        assert [d.act for d in read_decisions(folder / "washer line")] == ["confirm"]


def recorded(folder: Path) -> tuple[str, int]:
    kept = Recordings(folder)
    about, _ = kept.unfinished()[0]
    return about.number, kept.size(about.number)


def ladder(path: Path, seconds: int) -> None:
    """Sound in which every second has its own pitch, so that a lost or doubled one shows."""
    data = bytearray()
    for i in range(seconds * 48000):
        pitch = 300 + 100 * (i // 48000)
        data += struct.pack("<h", int(9000 * math.sin(2 * math.pi * pitch * i / 48000)))
    header = bytearray(wav_header(len(data)))
    header[24:32] = struct.pack("<II", 48000, 96000)
    path.write_bytes(bytes(header) + bytes(data))


def pitches(data: bytes) -> list[int]:
    """The pitch of each tenth of a second, to the nearest 100 Hz, by its zero crossings; repeats left out."""
    whole = struct.unpack(f"<{len(data) // 2}h", data)
    found: list[int] = []
    for at in range(0, len(whole) - 1600, 1600):
        part = whole[at : at + 1600]
        crossings = sum(a < 0 <= b for a, b in itertools.pairwise(part))
        pitch = round(crossings / 10) * 100
        found.append(pitch)
    steady = [a for a, b in itertools.pairwise(found) if a == b]
    return [p for p, _ in itertools.groupby(steady)]


def test_reload_and_kill_while_recording(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    sound = tmp_path_factory.mktemp("sound") / "ladder.wav"
    ladder(sound, 25)
    with serving(folder) as page, browsing(sound=sound) as tab:
        tab.goto(f"{page.url}/record")
        tab.click("#main-button")
        until(tab, "document.getElementById('time').textContent >= '0:03'")
        spoken = tab.evaluate("document.getElementById('time').textContent")
        number, size = recorded(folder)
        assert size / 32000 > 3 - 2, "on the disk within two seconds"
        page.kill()
        tab.wait_for_selector("#alarm:not([hidden])")
        assert "does not answer" in tab.text_content("#alarm")
        assert recorded(folder)[1] / 32000 >= 1.0, spoken
        tab.wait_for_timeout(1500)
        page.start()
        until(tab, "document.getElementById('alarm').hidden")
        until(tab, "document.getElementById('time').textContent >= '0:09'")
        tab.click("#mark")
        tab.reload()
        until(tab, "document.getElementById('main-button').getAttribute('aria-pressed') == 'true'")
        before = recorded(folder)[1]
        tab.wait_for_timeout(2500)
        assert recorded(folder)[0] == number, "the same recording goes on"
        assert recorded(folder)[1] > before + 32000
        kept = Recordings(folder)
        assert [e["kind"] for e in kept.events(number)] == ["mark", "gap"]
        steps = [p for p in pitches(kept.sound(number, 0, 8 * 32000)) if p >= 300]
        assert steps == list(range(steps[0], steps[0] + 100 * len(steps), 100)), "no second lost or doubled"
        assert len(steps) >= 7


def test_the_folder_is_deleted_while_recording(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    sound = tmp_path_factory.mktemp("sound") / "ladder.wav"
    ladder(sound, 25)
    with serving(folder) as page, browsing(sound=sound) as tab:
        tab.goto(f"{page.url}/record")
        tab.click("#main-button")
        until(tab, "document.getElementById('time').textContent >= '0:02'")
        number = recorded(folder)[0]
        shutil.rmtree(folder / "recordings")
        until(tab, "document.getElementById('alarm').textContent.includes('was deleted')")
        until(tab, "/0:0[3-9] kept/.test(document.getElementById('kept').textContent)")
        again, size = recorded(folder)
        assert again != number
        assert size >= 3 * 32000, "what is said from now on is kept"
        assert "was deleted" in tab.text_content("#alarm"), "and it stays told"
        steps = [p for p in pitches(Recordings(folder).sound(again, 0, 3 * 32000)) if p >= 300]
        assert steps == list(range(steps[0], steps[0] + 100 * len(steps), 100)), "no second lost or doubled"


def test_in_the_moment_with_a_script(folder: Path) -> None:
    phrases = (
        "This is a four stage parts washer.", "Stage one is wash.", "Stage two is rinse.", "Stage three is dip.",
        "That is the end.", *[""] * 7, "I missed one.", "Stage four is drying.",
        "<img src=x onerror=alert(1)>", "Done.",
    )  # fmt: skip
    with with_script(folder, *phrases) as url, browsing(**PHONE) as tab:
        alerts: list[str] = []
        tab.on("dialog", lambda d: alerts.append(d.message))
        tab.goto(f"{url}/record")
        tab.click("#main-button")
        tab.wait_for_selector("#pending:not(:empty)")
        tab.wait_for_selector("#conflicts li:has-text('4 stages')", timeout=30000)
        asked = int(tab.text_content("#n-ask"))
        assert asked > 3
        until(tab, "!document.getElementById('conflicts').textContent.includes('4 stages')", timeout=30000)
        tab.wait_for_selector("#settled:has-text('onerror')", timeout=30000)
        assert alerts == []
        assert tab.locator("#words img").count() == 0


def test_no_microphone_over_plain_http_elsewhere(folder: Path) -> None:
    with serving(folder) as page, browsing() as tab:
        tab.add_init_script("Object.defineProperty(window, 'isSecureContext', {value: false})")
        tab.goto(f"{page.url}/record")
        assert "--tls" in tab.text_content("#whynot")
        assert tab.is_visible("label[for=sound-file]")


def test_a_file_field_that_breaks_off(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    path = tmp_path_factory.mktemp("file") / "stamped.txt"
    text = "[0:00] This is a two stage washer.\n[0:05] Stage one is wash. Stage two is rinse.\n"
    path.write_text(text + "[0:09] The rinse tank is new.\n" * 250_000)
    kept = Recordings(folder)
    with serving(folder) as page, browsing() as tab:
        tab.goto(page.url)
        asked: list[str] = []

        def on_the_way(route: Any) -> None:
            """The first piece arrives, then the program is killed."""
            asked.append(route.request.url)
            if "at=0" in route.request.url:
                route.continue_()
            else:
                page.kill()
                route.abort()

        tab.route("**/files/*", on_the_way, times=2)
        tab.set_input_files("#file", str(path))
        # "4.0 of" stands there only until the next piece fails; what stays is told, and the second piece was asked for
        until(tab, "document.getElementById('sending').textContent.includes('trying again')")
        assert [url.partition("at=")[2] for url in asked] == ["0", str(4 << 20)]
        page.start()
        until(tab, "document.getElementById('sending').textContent.includes('Reading')", timeout=30000)
        assert [p.name for p in kept.finished() if p.suffix == ".txt"] == ["stamped.txt"]
        assert run.sha256_of(folder / "recordings" / "stamped.txt") == run.sha256_of(path)


def test_another_origin_cannot_post(folder: Path) -> None:
    class Stranger(http.server.BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            self.send_header("content-type", "text/html")
            self.end_headers()
            self.wfile.write(b"<!doctype html><form method=post></form>")

        def log_message(self, *_: object) -> None: ...

    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Stranger)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    with serving(folder) as page, browsing() as tab:
        tab.goto(f"http://127.0.0.1:{server.server_port}/")
        target = f"{page.url}/walks/{ID}/decide"
        tab.evaluate(
            """(url) => fetch(url, {method: 'POST', mode: 'no-cors', credentials: 'include',
            body: '{"act":"confirm","ref":"q2"}'}).catch(() => null)""",
            target,
        )
        assert tab.evaluate("(url) => fetch(url).then((r) => r.text()).catch(() => 'unread')", page.url) == "unread"
        tab.evaluate("(url) => { const f = document.forms[0]; f.action = url; f.submit(); }", target)
        tab.wait_for_load_state()
        assert "turned away" in tab.text_content("body")
        closed = tab.evaluate(
            """(url) => new Promise((go) => { const s = new WebSocket(url);
            s.onopen = () => go('open'); s.onerror = () => go('refused'); })""",
            page.url.replace("http", "ws") + "/recordings/x/live",
        )
        assert closed == "refused"
    server.shutdown()
    server.server_close()
    assert read_decisions(folder / "washer line") == ()


def big(folder: Path) -> None:
    """A thousand facts and two hours of words."""
    facts = tuple(
        Quantity(
            f"q{i}", f"tank {i}", "volume", 100.0 + i, "gallon", doubt="heard badly" if i % 3 == 0 else None,
            evidence=(Evidence(7.0 * i, 7.0 * i + 1.5, f"{100 + i} gallons in tank {i}"),),
        )
        for i in range(1000)
    )  # fmt: skip
    words = tuple(Word(f"word{i % 700}", 0.4 * i, 0.4 * i + 0.35) for i in range(18_000))
    walk = replace(WALK, quantities=facts, source=replace(WALK.source, file="long.wav", duration_s=7200.0))
    put(folder, "long", walk, transcript=Transcript(words, tuple(range(0, 18_000, 12)), duration=7200.0))


def ninth(times: list[float]) -> float:
    """What nine of ten sorted times keep within."""
    return times[len(times) * 9 // 10]


def decision_ms(tab: Any, i: int) -> float:
    """Confirm fact i; milliseconds until the page shows it."""
    tab.click(f"#r-q{i} .pick")
    # some before the checks of the last one begin, some while they run, some after
    tab.wait_for_timeout((50, 350, 800)[i // 3 % 3])
    took = tab.evaluate(
        """(ref) => new Promise((go) => {
        const began = performance.now();
        const seen = new MutationObserver(() => {
          if (!document.querySelector(`#r-${ref} .mark.good`)) return;
          seen.disconnect();
          requestAnimationFrame(() => go(performance.now() - began));
        });
        seen.observe(document.getElementById("rows"), {childList: true});
        document.getElementById("confirm").click(); })""",
        f"q{i}",
    )
    return float(took)


def test_a_thousand_facts_and_two_hours_of_words(tmp_path: Path) -> None:
    big(tmp_path)
    with serving(tmp_path) as page, browsing() as tab:
        views: list[float] = []
        shown: list[list[float]] = []
        for _ in range(3):
            began = time.monotonic()
            tab.goto(f"{page.url}/walks/{id_of('long')}", wait_until="load")
            views.append(time.monotonic() - began)
        # a host that is shared may stand still for seconds: what the page costs is the least of three rounds
        for n in range(3):
            shown.append(sorted(decision_ms(tab, i) for i in range(90 * n, 90 * n + 90, 3)))
            if ninth(shown[-1]) <= 100.0 * slowness():
                break
        print(json.dumps({"first view s": views, "decision shown ms": shown}))
        assert min(views) <= 1.0 * slowness(), views
        assert min(map(ninth, shown)) <= 100.0 * slowness(), shown
        assert len(read_decisions(tmp_path / "long")) == 30 * len(shown)
