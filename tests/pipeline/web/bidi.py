"""Firefox driven over WebDriver BiDi (W3C Working Draft), which it speaks by itself: no driver program is needed.

Only what the tests of the page use; a tab has the same names as a tab of Chromium's driver where both have the thing.
"""

from __future__ import annotations

import base64
import contextlib
import itertools
import json
import os
import shutil
import socket
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

FIREFOX = next((p for p in (shutil.which("firefox-esr"), shutil.which("firefox")) if p), None)
needs_firefox = pytest.mark.skipif(FIREFOX is None, reason="NO FIREFOX: firefox-esr is not installed, not tested in it")
needs_sound = pytest.mark.skipif(
    shutil.which("pulseaudio") is None or shutil.which("paplay") is None,
    reason="NO SOUND SERVER: pulseaudio is not installed, recording in Firefox is not tested",
)
KEYS = {"Enter": "\ue007", "Escape": "\ue00c", "Tab": "\ue004"}
PREFERENCES = {
    # the microphone is given without a question
    "media.navigator.permission.disabled": True,
    "media.autoplay.default": 0,
    # no request to anywhere while the tests run
    "app.update.enabled": False,
    "browser.safebrowsing.downloads.remote.enabled": False,
    "browser.shell.checkDefaultBrowser": False,
    "datareporting.policy.dataSubmissionEnabled": False,
    "network.captive-portal-service.enabled": False,
    "network.connectivity-service.enabled": False,
    "remote.active-protocols": 1,
    "toolkit.telemetry.enabled": False,
    "browser.download.folderList": 2,
}


class Tab:
    """One tab."""

    def __init__(self, connection: Any) -> None:
        self._socket = connection
        self._numbers = itertools.count(1)
        self.console: list[str] = []
        self._send("session.new", capabilities={})
        self._send("session.subscribe", events=["log.entryAdded"])
        self.context = self._send("browsingContext.getTree", maxDepth=0)["contexts"][0]["context"]

    def _send(self, method: str, **params: Any) -> Any:
        number = next(self._numbers)
        self._socket.send(json.dumps({"id": number, "method": method, "params": params}))
        while True:
            answer = json.loads(self._socket.recv(timeout=60))
            if answer.get("method") == "log.entryAdded" and answer["params"]["level"] == "error":
                self.console.append(str(answer["params"]["text"]))
            if answer.get("id") == number:
                assert answer["type"] == "success", answer
                return answer["result"]

    def goto(self, url: str) -> None:
        self._send("browsingContext.navigate", context=self.context, url=url, wait="complete")

    def reload(self) -> None:
        self._send("browsingContext.reload", context=self.context, wait="complete")

    def size(self, width: int, height: int) -> None:
        self._send("browsingContext.setViewport", context=self.context, viewport={"width": width, "height": height})

    def evaluate(self, expression: str) -> Any:
        """The value of an expression, as JSON carries it; promises are waited for."""
        wrapped = f"Promise.resolve({expression}).then((v) => JSON.stringify(v === undefined ? null : v))"
        answer = self._send(
            "script.evaluate",
            expression=wrapped,
            target={"context": self.context},
            awaitPromise=True,
            userActivation=True,
        )
        assert answer["type"] == "success", answer
        return json.loads(answer["result"]["value"])

    def until(self, condition: str, seconds: float = 60.0) -> None:
        """Wait until a condition holds."""
        end = time.monotonic() + seconds
        while not self.evaluate(f"Boolean({condition})"):
            told = "[...document.querySelectorAll('#alarm, #fault, #behind, #whynot')].map((e) => e.textContent)"
            assert time.monotonic() < end, (condition, self.evaluate(told), self.console)
            time.sleep(0.05)

    def press(self, *keys: str) -> None:
        """Keys by their names, one after another; a text of several characters is typed."""
        actions = []
        for key in keys:
            for sign in [KEYS[key]] if key in KEYS else key:
                actions += [{"type": "keyDown", "value": sign}, {"type": "keyUp", "value": sign}]
        self._send(
            "input.performActions", context=self.context, actions=[{"type": "key", "id": "keys", "actions": actions}]
        )

    def click(self, selector: str) -> None:
        """The mouse on the middle of the first such element."""
        find = {"type": "css", "value": selector}
        nodes = self._send("browsingContext.locateNodes", context=self.context, locator=find, maxNodeCount=1)["nodes"]
        assert nodes, selector
        self.evaluate(f"document.querySelector({json.dumps(selector)}).scrollIntoView({{block: 'center'}})")
        origin = {"type": "element", "element": {"sharedId": nodes[0]["sharedId"]}}
        actions = [
            {"type": "pointerMove", "x": 0, "y": 0, "origin": origin},
            {"type": "pointerDown", "button": 0},
            {"type": "pointerUp", "button": 0},
        ]
        self._send(
            "input.performActions",
            context=self.context,
            actions=[{"type": "pointer", "id": "mouse", "actions": actions}],
        )

    def choose_file(self, selector: str, *paths: Path) -> None:
        find = {"type": "css", "value": selector}
        nodes = self._send("browsingContext.locateNodes", context=self.context, locator=find, maxNodeCount=1)["nodes"]
        element = {"sharedId": nodes[0]["sharedId"]}
        self._send("input.setFiles", context=self.context, element=element, files=[str(p) for p in paths])

    def picture(self, path: Path) -> None:
        """A screenshot, for people to look at."""
        data = self._send("browsingContext.captureScreenshot", context=self.context)["data"]
        path.write_bytes(base64.b64decode(data))

    def close(self) -> None:
        with contextlib.suppress(Exception):
            self._send("session.end")


@contextlib.contextmanager
def room(folder: Path) -> Iterator[str]:
    """A sound server without hardware: what is played into it is what its microphone hears. Its address."""
    place = folder / "native"
    modules = ("module-null-sink sink_name=room", f"module-native-protocol-unix auth-anonymous=1 socket={place}")
    command = ["pulseaudio", "-n", "--exit-idle-time=-1", "--daemonize=no", "--use-pid-file=no"]
    environment = {**os.environ, "XDG_RUNTIME_DIR": str(folder), "HOME": str(folder)}
    process = subprocess.Popen(
        [*command, *(part for m in modules for part in ("-L", m))],
        env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    try:
        for _ in range(100):
            if place.exists():
                break
            time.sleep(0.1)
        yield f"unix:{place}"
    finally:
        process.terminate()
        process.wait(15)


@contextlib.contextmanager
def playing(sound: Path, server: str) -> Iterator[None]:
    """A recording played into the room once, from now on."""
    process = subprocess.Popen(["paplay", str(sound)], env={**os.environ, "PULSE_SERVER": server})
    try:
        yield
    finally:
        process.kill()
        process.wait()


@contextlib.contextmanager
def firefox(profile: Path, *, server: str = "", **preferences: object) -> Iterator[Tab]:
    """A Firefox of its own with an empty profile in a folder; its settings may be changed (dots written as __).

    With the address of a sound server its microphone hears what is played there; without one it has no loudspeaker.
    """
    from websockets.sync.client import connect

    profile.mkdir(parents=True, exist_ok=True)
    named = {k.replace("__", "."): v for k, v in preferences.items()}
    values = {**PREFERENCES, "browser.download.dir": str(profile / "downloads"), **named}
    (profile / "user.js").write_text(
        "".join(f"user_pref({json.dumps(k)}, {json.dumps(v)});\n" for k, v in values.items())
    )
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        port = s.getsockname()[1]
    assert FIREFOX is not None
    command = [FIREFOX, "--headless", "--no-remote", "--profile", str(profile), "--remote-debugging-port", str(port)]
    environment = {**os.environ, "PULSE_SERVER": server or "unix:/nowhere", "MOZ_DISABLE_AUTO_SAFE_MODE": "1"}
    process = subprocess.Popen(
        [*command, "about:blank"], env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    try:
        for _ in range(300):
            with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port), timeout=1):
                break
            time.sleep(0.1)
        with connect(f"ws://127.0.0.1:{port}/session", max_size=None, proxy=None) as connection:
            tab = Tab(connection)
            yield tab
            tab.close()
    finally:
        process.terminate()
        try:
            process.wait(15)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
