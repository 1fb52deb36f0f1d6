"""The server as the command starts it: a process of its own, its files for their owner alone."""

from __future__ import annotations

import json
import os
import socket
import stat
import urllib.request
from pathlib import Path

import pytest

from pipeline.decisions import read_decisions
from pipeline.errors import NotFound, UsageError
from pipeline.settings import Settings
from pipeline.web import guard_for, link_of, own_addresses, serve
from pipeline.web.desk import _bring_along
from pipeline.web.recordings import Recordings
from tests.pipeline.web.samples import put, serving


def test_everything_it_writes_is_for_its_owner_alone(tmp_path: Path) -> None:
    put(tmp_path, "washer line")
    with serving(tmp_path) as page:
        post = urllib.request.Request(
            f"{page.url}/recordings",
            data=b"{}",
            headers={"content-type": "application/json", "origin": page.url},
            method="POST",
        )
        with urllib.request.urlopen(post) as answer:
            number = json.load(answer)["number"]
        sound = urllib.request.Request(
            f"{page.url}/recordings/{number}/sound?at=0", data=b"ab" * 8000, headers={"origin": page.url}, method="POST"
        )
        with urllib.request.urlopen(sound) as answer:
            assert json.load(answer)["size"] == 16000
    place = tmp_path / "recordings" / number
    assert (place / "sound.pcm").read_bytes() == b"ab" * 8000
    if os.name == "posix":
        for path in (place, place.parent):
            assert stat.S_IMODE(path.stat().st_mode) == 0o700
        for path in (*place.iterdir(), tmp_path / "stock.sqlite"):
            if path.exists():
                assert stat.S_IMODE(path.stat().st_mode) == 0o600, path


def test_what_cannot_be_served(tmp_path: Path) -> None:
    file = tmp_path / "file"
    file.touch()
    with pytest.raises(NotFound):
        serve(file, settings=Settings(), open_browser=False)
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        with pytest.raises(UsageError, match="cannot listen"):
            serve(tmp_path, settings=Settings(), port=taken.getsockname()[1], open_browser=False)
    with pytest.raises(UsageError):
        serve(tmp_path, settings=Settings(), host="256.1.1.1", open_browser=False)


def test_on_all_addresses_the_link_names_one_that_others_reach() -> None:
    guard = guard_for("0.0.0.0", 8765, tls=True)
    others = [a for a in own_addresses() if a not in ("127.0.0.1", "::1")]
    link = link_of("0.0.0.0", guard)
    assert link.startswith("https://")
    assert guard.token in link
    assert "0.0.0.0" not in link
    assert all(a in guard.hosts for a in others)


def test_marks_and_photos_go_to_the_walk_once(tmp_path: Path) -> None:
    kept = Recordings(tmp_path)
    number = kept.begin("a walk").number
    kept.add_sound(number, 0, b"ab" * 16000)
    kept.add_event(number, "mark", 0.5)
    kept.add_picture(number, 0.7, b"\x89PNG\r\n\x1a\n" + b"x" * 20)
    path = kept.finish(number)
    place = put(tmp_path, "a walk", sound=False)
    for _ in range(2):
        _bring_along(path, place)
    assert [(d.act, d.at) for d in read_decisions(place)] == [("mark", 0.5)]
    assert [p.suffix for p in (place / "photos").iterdir()] == [".png"]
