"""Walks and a running page for the tests of the page; all of it invented."""

from __future__ import annotations

import contextlib
import json
import math
import os
import shutil
import socket
import struct
import subprocess
import sys
import time
import urllib.request
import warnings
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import pytest

from extractors.words import Evidence, Transcript, Word
from pipeline import run
from pipeline.walk import (
    Component,
    Finding,
    Identity,
    Offer,
    Quantity,
    Sequence,
    Source,
    Stated,
    Station,
    Walk,
    to_dict,
)
from pipeline.web.recordings import wav_header

ROOT = Path(__file__).parents[3]
CHROMIUM = next((p for p in (shutil.which("chromium"), shutil.which("chromium-browser")) if p), None)
needs_browser = pytest.mark.skipif(
    CHROMIUM is None, reason="NO BROWSER: chromium is not installed, the page is not tested"
)


def said(start: float, words: str) -> tuple[Evidence, ...]:
    return (Evidence(start, start + 1.2, words),)


WALK = Walk(
    Source("washer line.wav", "0" * 64, "audio", 60.0),
    identity=Identity(
        name=Stated("three stage parts washer", evidence=said(1, "three stage parts washer")),
        serial=Stated("K 4410", "hedged", "heard badly", said(50, "serial K forty four ten")),
    ),
    quantities=(
        Quantity("q1", "line", "length", 52, "foot", evidence=said(5, "fifty two feet long")),
        Quantity("q2", "supply", "voltage", 48, "volt", doubt="heard badly", evidence=said(10, "480-bolt supply")),
        Quantity("q3", "rinse tank", "volume", 400, "gallon", doubt="unit supplied", evidence=said(20, "four hundred")),
        Quantity("q4", "wash tank", "volume", 600, "gallon", evidence=said(24, "six hundred gallons")),
        Quantity("q5", "wash pump", "flow", 250, "gallon/minute", evidence=said(28, "250 gallons a minute")),
    ),
    components=(
        Component("c1", "pump", 9, evidence=said(32, "nine pumps")),
        Component("c2", "spare nozzles", None, True, "uncertain", doubt="unclear", evidence=said(40, "spare nozzles")),
    ),
    sequences=(
        Sequence(
            "washer",
            "stage",
            3,
            (
                Station(1, "wash", evidence=said(14, "stage one is wash")),
                Station(2, "rinse", evidence=said(16, "two is rinse")),
                Station(3, "rust inhibitor", doubt="heard badly", evidence=said(18, "three rust in hibiter")),
            ),
            said(13, "three stages"),
        ),
    ),
    findings=(
        Finding("f0000000001", "voltage_is_common", "check", "Supply 48 V: no common voltage. Read the plate.", ("q2",),
                (Offer("q2", 480.0, "volt", "the candidates hold 480"),), said(10, "480-bolt")),
        Finding("f0000000002", "say_model", "missing", "The model was never said. Ask, or read the plate."),
    ),
)  # fmt: skip


def wav(path: Path, seconds: float) -> None:
    """A quiet hum with a knock each second."""
    n = int(seconds * 16000)
    data = bytearray()
    for i in range(n):
        loud = 9000 if i % 16000 < 1600 else 700
        data += struct.pack("<h", int(loud * math.sin(i * 0.2)))
    path.write_bytes(wav_header(len(data)) + bytes(data))


def words_for(walk: Walk, filler: int = 3) -> Transcript:
    """Words around the evidence of a walk."""
    evidence = [e for q in (*walk.quantities, *walk.components) for e in q.evidence]
    words: list[Word] = []
    breaks = []
    for e in sorted(evidence, key=lambda e: e.start):
        breaks.append(len(words))
        parts = [*e.words.split(), *["then"] * filler]
        for i, text in enumerate(parts):
            words.append(Word(text, e.start + 0.2 * i, e.start + 0.2 * i + 0.18))
    return Transcript(tuple(words), tuple(breaks), duration=walk.source.duration_s)


def put(
    folder: Path, name: str, walk: Walk = WALK, *, sound: bool = True, transcript: Transcript | None = None
) -> Path:
    """A walk with its words and its recording, as a run leaves them."""
    place = folder / name
    place.mkdir(parents=True)
    if sound:
        recording = folder / "recordings" / walk.source.file
        recording.parent.mkdir(exist_ok=True)
        wav(recording, min(walk.source.duration_s, 60.0))
        walk = replace(walk, source=replace(walk.source, sha256=run.sha256_of(recording)))
    run.write_words(place, run.Heard(place, walk.source, transcript or words_for(walk)))
    (place / "walk.json").write_text(json.dumps(to_dict(walk)))
    return place


SERVER = """
import sys
from pathlib import Path
from pipeline.settings import Settings
from pipeline.web import serve
serve(Path(sys.argv[1]), settings=Settings(), port=int(sys.argv[2]), tls=False, open_browser=False)
"""


@dataclass
class Page:
    """A server in a process of its own, to be killed and started again."""

    folder: Path
    port: int
    process: subprocess.Popen[bytes] | None = None

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        command = [sys.executable, "-c", SERVER, str(self.folder), str(self.port)]
        environment = {**os.environ, "OMP_NUM_THREADS": "2"}
        self.process = subprocess.Popen(command, cwd=ROOT, env=environment, stdout=subprocess.DEVNULL)
        for _ in range(200):
            with contextlib.suppress(OSError), urllib.request.urlopen(f"{self.url}/record", timeout=2):
                return
            time.sleep(0.1)
        raise AssertionError("the page did not start")

    def kill(self) -> None:
        if self.process is not None:
            self.process.kill()
            self.process.wait()
            self.process = None


@contextlib.contextmanager
def serving(folder: Path) -> Iterator[Page]:
    """The page for a folder, on a free port."""
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        port = s.getsockname()[1]
    page = Page(folder, port)
    page.start()
    try:
        yield page
    finally:
        page.kill()


@contextlib.contextmanager
def browsing(*, sound: Path | None = None, **context: object) -> Iterator[object]:
    """A Chromium page; with sound, its microphone hears that file once."""
    from playwright.sync_api import sync_playwright

    arguments = ["--no-sandbox", "--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream"]
    if sound is not None:
        arguments.append(f"--use-file-for-fake-audio-capture={sound}%noloop")
    with warnings.catch_warnings(), sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, args=arguments)
        made = browser.new_context(**{"permissions": ["microphone"], **context})  # type: ignore[arg-type]
        yield made.new_page()
        browser.close()
