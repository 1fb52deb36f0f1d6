"""Who may talk to the page: one ASGI layer around everything, web sockets included.

Loopback needs no token, because Host and Origin are checked: a page of another site, or a name that was pointed at
127.0.0.1 (DNS rebinding), is turned away. Any other address needs the token of the link that was printed at the start;
the link sets a cookie and the token leaves the address bar at once. See OWASP's cheat sheets "Cross-Site Request
Forgery Prevention" and "HTML5 Security" (web sockets carry an Origin that the server must check).
"""

from __future__ import annotations

import hmac
import ipaddress
import secrets
from collections.abc import Awaitable, Callable, MutableMapping
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie
from typing import Any
from urllib.parse import parse_qs

Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Message, Receive, Send], Awaitable[None]]

COOKIE = "tallywalk"
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; media-src 'self' blob:; "
    "connect-src 'self'; font-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'"
)
HEADERS = (
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"permissions-policy", b"microphone=(self), camera=(self), screen-wake-lock=(self), geolocation=()"),
    (b"cache-control", b"no-store"),
)
SAFE = ("GET", "HEAD")


@dataclass(frozen=True, slots=True)
class Guard:
    """The rules of one server."""

    hosts: frozenset[str]
    """Names and addresses, without port, under which it may be asked for."""
    scheme: str = "http"
    port: int = 0
    """0 allows any, for a server whose port is not known yet."""
    token: str | None = field(default=None, repr=False)
    """None on loopback."""

    def host_allowed(self, host: str | None) -> bool:
        """Whether a Host header names this server."""
        name, port = split_host(host or "")
        default = 443 if self.scheme == "https" else 80
        return name in self.hosts and (self.port in (0, port if port is not None else default))

    def origin_allowed(self, origin: str | None, host: str | None) -> bool:
        """Whether an Origin header is this very page; the schemes of a web socket's page are http and https too."""
        return origin is not None and host is not None and origin == f"{self.scheme}://{host}"

    def token_right(self, given: str | None) -> bool:
        """Compare in constant time."""
        if self.token is None:
            return True
        return given is not None and hmac.compare_digest(given.encode(), self.token.encode())


def split_host(host: str) -> tuple[str, int | None]:
    """Name and port of a Host header, lower case; an IPv6 address without its brackets."""
    host = host.strip().lower()
    if host.startswith("["):
        name, _, rest = host[1:].partition("]")
        port = rest.removeprefix(":")
    else:
        name, _, port = host.partition(":")
    return name, int(port) if port.isascii() and port.isdigit() and len(port) <= 5 else None


def is_loopback(host: str) -> bool:
    """Whether an address to listen on can only be reached from this computer."""
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def new_token() -> str:
    """256 random bits for a link."""
    return secrets.token_urlsafe(32)


class Guarded:
    """The application behind the guard."""

    def __init__(self, app: App, guard: Guard) -> None:
        self.app = app
        self.guard = guard

    async def __call__(self, scope: Message, receive: Receive, send: Send) -> None:
        """Refuse, or pass on with every answer carrying the protective headers."""
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return
        headers = {k.lower(): v for k, v in scope["headers"]}
        host, origin = _text(headers.get(b"host")), _text(headers.get(b"origin"))
        socket = scope["type"] == "websocket"
        if not self.guard.host_allowed(host):
            await _refuse(scope, send, 421, "This address is not the one that this page was started for.")
            return
        method = scope.get("method", "")
        writes = socket or method not in SAFE
        if writes and not self.guard.origin_allowed(origin, host):
            await _refuse(scope, send, 403, "This came from another page than ours, and was turned away.")
            return
        if _text(headers.get(b"sec-fetch-site")) == "cross-site" and writes:
            await _refuse(scope, send, 403, "This came from another site, and was turned away.")
            return
        if self.guard.token is not None and not self.guard.token_right(_cookie(headers.get(b"cookie"))):
            given = parse_qs(_text(scope.get("query_string")) or "").get("token", [None])[0]
            if not socket and method == "GET" and self.guard.token_right(given):
                await _welcome(scope, send, self.guard)
                return
            await _refuse(scope, send, 401, "Open the link, or scan the code, that tallywalk printed when it started.")
            return

        async def sending(message: Message) -> None:
            if message["type"] == "http.response.start":
                have = {k.lower() for k, _ in message.get("headers", [])}
                message["headers"] = [*message.get("headers", []), *(h for h in HEADERS if h[0] not in have)]
            await send(message)

        await self.app(scope, receive, sending)


def _text(value: bytes | None) -> str | None:
    return value.decode("latin-1") if value is not None else None


def _cookie(value: bytes | None) -> str | None:
    try:
        jar = SimpleCookie((value or b"").decode("latin-1"))
    except CookieError:
        return None
    return jar[COOKIE].value if COOKIE in jar else None


async def _welcome(scope: Message, send: Send, guard: Guard) -> None:
    """Move the token from the link into the cookie, and the token out of sight."""
    secure = "; Secure" if guard.scheme == "https" else ""
    cookie = f"{COOKIE}={guard.token}; Path=/; HttpOnly; SameSite=Strict; Max-Age=86400{secure}"
    # SameSite=Strict cookies are not sent on a redirect that began elsewhere (a scanned code): a page that moves on
    # by itself begins here
    target = scope.get("path", "/") if str(scope.get("path", "/")).startswith("/") else "/"
    safe = "".join(c for c in target if c.isalnum() or c in "/-_.")
    safe = "/" + safe.lstrip("/")
    body = (
        f'<!doctype html><html lang="en"><meta charset="utf-8"><meta http-equiv="refresh" content="0;url={safe}">'
        f'<title>tallywalk</title><p><a href="{safe}">Go on</a>'
    )
    await _answer(send, 200, body, ((b"set-cookie", cookie.encode()),))


async def _refuse(scope: Message, send: Send, status: int, message: str) -> None:
    if scope["type"] == "websocket":
        await send({"type": "websocket.close", "code": 4403, "reason": message[:100]})
        return
    body = f'<!doctype html><html lang="en"><meta charset="utf-8"><title>tallywalk</title><p>{message}'
    await _answer(send, status, body)


async def _answer(send: Send, status: int, body: str, more: tuple[tuple[bytes, bytes], ...] = ()) -> None:
    data = body.encode()
    headers = [
        (b"content-type", b"text/html; charset=utf-8"),
        (b"content-length", str(len(data)).encode()),
        *HEADERS,
        *more,
    ]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": data})
