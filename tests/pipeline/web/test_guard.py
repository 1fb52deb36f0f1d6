"""Who may talk to the page. OWASP Cross-Site Request Forgery Prevention and HTML5 Security cheat sheets; RFC 6265bis
(HttpOnly, SameSite); DNS rebinding is kept off by the Host check (RFC 9110, 7.2 and 15.5.20: 421)."""

from __future__ import annotations

import datetime
import os
import stat
from pathlib import Path
from typing import Any

import pytest

from pipeline.settings import Settings
from pipeline.web import guard as guard_module
from pipeline.web import guard_for, link_of
from pipeline.web.app import create_app, id_of
from pipeline.web.certificate import certificate
from pipeline.web.guard import COOKIE, Guard, is_loopback, split_host
from tests.pipeline.web.samples import put
from tests.pipeline.web.standin import Script

HERE = "http://127.0.0.1:8765"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    put(tmp_path, "washer line")
    return tmp_path


def client(folder: Path, guard: Guard | None = None, base: str = HERE) -> Any:
    from starlette.testclient import TestClient

    guard = guard or guard_for("127.0.0.1", 8765, tls=False)
    app = create_app(folder, settings=Settings(), guard=guard, listener=Script)
    return TestClient(app, base_url=base, follow_redirects=False)


POSTS = (
    "/recordings",
    "/files",
    "/read",
    "/walks/x/decide",
    "/walks/x/undo",
    "/walks/x/documents",
    "/recordings/x/finish",
)


STRANGERS = (
    None,
    "null",
    "http://evil.example",
    "http://127.0.0.1:9",
    "https://127.0.0.1:8765",
    "http://localhost:8765",
)


def test_posts_of_other_pages_are_turned_away(folder: Path) -> None:
    http = client(folder)
    for path in POSTS:
        for origin in STRANGERS:
            headers = {"origin": origin} if origin else {}
            assert http.post(path, json={}, headers=headers).status_code == 403, (path, origin)


def test_a_post_of_this_page_is_taken(folder: Path) -> None:
    assert client(folder).post("/recordings", json={}, headers={"origin": HERE}).status_code == 200


def test_other_names_for_this_computer_are_turned_away(folder: Path) -> None:
    http = client(folder)
    for host in ("evil.example", "evil.example:8765", "127.0.0.1:1", "127.0.0.1.evil.example:8765", ""):
        assert http.get("/", headers={"host": host}).status_code == 421, host


def test_web_sockets_are_checked_too(folder: Path) -> None:
    from starlette.testclient import WebSocketDenialResponse
    from starlette.websockets import WebSocketDisconnect

    http = client(folder)
    number = http.post("/recordings", json={}, headers={"origin": HERE}).json()["number"]
    here = {"host": "127.0.0.1:8765"}
    for headers in (here, {**here, "origin": "http://evil.example"}, {"origin": HERE, "host": "evil.example"}):
        with (
            pytest.raises((WebSocketDisconnect, WebSocketDenialResponse)),
            http.websocket_connect(f"/recordings/{number}/live", headers=headers),
        ):
            pass
    with http.websocket_connect(f"/recordings/{number}/live", headers={"origin": HERE, "host": "127.0.0.1:8765"}) as ws:
        assert ws.receive_json()["words"] == []


def test_other_addresses_need_the_token_of_the_link(folder: Path) -> None:
    guard = guard_for("192.0.2.7", 8765, tls=True)
    base = "https://192.0.2.7:8765"
    assert guard.token is not None
    assert len(guard.token) >= 43, "256 bits"
    assert link_of("192.0.2.7", guard) == f"{base}/?token={guard.token}"
    http = client(folder, guard, base)
    assert http.get("/").status_code == 401
    assert http.get("/?token=wrong").status_code == 401
    assert http.get("/static/page.css").status_code == 401
    assert http.post("/recordings", json={}, headers={"origin": base}).status_code == 401
    welcome = http.get(f"/?token={guard.token}")
    assert welcome.status_code == 200
    cookie = welcome.headers["set-cookie"]
    assert all(part in cookie for part in ("HttpOnly", "SameSite=Strict", "Secure", f"{COOKIE}="))
    assert welcome.headers["referrer-policy"] == "no-referrer"
    assert guard.token not in welcome.text
    assert http.get("/", headers={"cookie": f"{COOKIE}={guard.token}"}).status_code == 200
    assert http.get("/", headers={"cookie": f"{COOKIE}=wrong"}).status_code == 401


def test_the_token_is_compared_in_constant_time(monkeypatch: pytest.MonkeyPatch) -> None:
    compared: list[tuple[bytes, bytes]] = []
    real = guard_module.hmac.compare_digest

    def watched(a: bytes, b: bytes) -> bool:
        compared.append((a, b))
        return real(a, b)

    monkeypatch.setattr(guard_module.hmac, "compare_digest", watched)
    guard = Guard(frozenset({"192.0.2.7"}), "https", 8765, "right")
    for given, right in (("right", True), ("wrong", False), ("rightly", False), ("", False), ("r\u0456ght", False)):
        assert guard.token_right(given) is right
    assert len(compared) == 5, "never with =="
    assert not guard.token_right(None)


def test_loopback_alone_needs_no_token() -> None:
    assert guard_for("127.0.0.1", 1, tls=False).token is None
    for host in ("0.0.0.0", "::", "192.0.2.7"):
        assert guard_for(host, 1, tls=False).token is not None
    assert is_loopback("::1")
    assert not is_loopback("127.0.0.1.example")
    assert split_host("[::1]:80") == ("::1", 80)
    assert split_host("A.example") == ("a.example", None)


def test_answers_carry_the_protective_headers(folder: Path) -> None:
    for path in ("/", "/record", "/static/page.css", "/jobs", "/nothing"):
        headers = client(folder).get(path).headers
        assert "default-src 'none'" in headers["content-security-policy"]
        assert "unsafe" not in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"


def test_names_are_never_paths(folder: Path) -> None:
    http = client(folder)
    for name in ("../washer line", "%2e%2e", "washer%20line", "....//", "a" * 5000, "x%00y"):
        for path in (f"/walks/{name}", f"/walks/{name}/sound", f"/walks/{name}/documents/x", f"/recordings/{name}"):
            assert http.get(path).status_code in (404, 307), path


def test_pages_ask_for_nothing_from_elsewhere(folder: Path) -> None:
    """No address of another computer in anything that a browser is given, scripts and styles included."""
    import re

    http = client(folder)
    number = id_of("washer line")
    texts = [http.get(p).text for p in ("/", "/record", f"/walks/{number}", f"/walks/{number}/cuts")]
    static = Path(guard_module.__file__).parent / "static"
    texts += [p.read_text() for p in static.iterdir()]
    elsewhere = re.compile(r"(?:https?:|wss?:)?//(?!www\.w3\.org/)[\w.-]+\.[a-z]{2,}", re.I)
    assert [m for t in texts for m in elsewhere.findall(t)] == []


def test_static_files_do_not_lead_out(folder: Path) -> None:
    assert client(folder).get("/static/..%2fapp.py").status_code == 404
    assert client(folder).get("/static/%2e%2e/app.py").status_code == 404


NOW = datetime.datetime(2026, 11, 25, tzinfo=datetime.UTC)


def test_the_certificate_is_for_its_owner_alone_and_kept(tmp_path: Path) -> None:
    hosts = frozenset({"localhost", "127.0.0.1", "192.0.2.7", "::1"})
    cert, key = certificate(tmp_path / "tls", hosts, NOW)
    if os.name == "posix":
        assert stat.S_IMODE(key.stat().st_mode) == 0o600
        assert stat.S_IMODE(key.parent.stat().st_mode) == 0o700
    first = cert.read_bytes()
    assert certificate(tmp_path / "tls", hosts, NOW)[0].read_bytes() == first
    assert certificate(tmp_path / "tls", hosts | {"192.0.2.8"}, NOW)[0].read_bytes() != first, "a new address"
    later = NOW + datetime.timedelta(days=85)
    second = cert.read_bytes()
    assert certificate(tmp_path / "tls", hosts, later)[0].read_bytes() != second, "ends within a week"
    import ssl

    ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(cert, key)
