"""The page on the user's own computer: record, be told in the moment, listen and settle, hand over."""

from __future__ import annotations

import contextlib
import os
import socket
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pipeline.errors import NotFound, OutputError, UsageError
from pipeline.settings import Settings

if TYPE_CHECKING:
    from pipeline.web.guard import Guard

ANYWHERE = ("0.0.0.0", "::")


def serve(
    folder: Path,
    *,
    settings: Settings,
    host: str = "127.0.0.1",
    port: int = 8765,
    tls: bool = False,
    open_browser: bool = True,
) -> None:
    """Serve the page for a folder of walks until it is stopped. Raises NotFound, OutputError, UsageError.

    On an address that others can reach, a link with a token is printed, with its code to scan.
    """
    import uvicorn

    from pipeline.web.app import create_app

    if folder.exists() and not folder.is_dir():
        raise NotFound(f"{folder}: this is a file, not a folder of walks")
    sys.setswitchinterval(0.001)  # an answer to the page waits for a check or a reading that long, and not 5 ms a step
    os.umask(0o077)  # everything that is written from here on is for its owner alone
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(f"{folder}: cannot be made ({error.strerror})") from error
    listening = _listen(host, port)
    guard = guard_for(host, listening.getsockname()[1], tls=tls)
    app = create_app(folder, settings=settings, guard=guard)
    more: dict[str, Any] = {}
    if tls:
        cert, key = _certificate(guard)
        more = {"ssl_certfile": str(cert), "ssl_keyfile": str(key)}
    link = link_of(host, guard)
    announce(link, guard)
    config = uvicorn.Config(
        app, log_level="warning", access_log=False, server_header=False, ws_max_size=1 << 16,
        timeout_graceful_shutdown=3, lifespan="off", **more,
    )  # fmt: skip
    if open_browser:
        import threading
        import webbrowser

        threading.Timer(0.8, webbrowser.open, (link,)).start()
    try:
        uvicorn.Server(config).run(sockets=[listening])
    finally:
        listening.close()


def guard_for(host: str, port: int, *, tls: bool) -> Guard:
    """The rules for an address to listen on: loopback without, everything else with a token."""
    from pipeline.web.guard import Guard, is_loopback, new_token

    scheme = "https" if tls else "http"
    local = frozenset({"localhost", "127.0.0.1", "::1"})
    if is_loopback(host):
        return Guard(local | {host}, scheme, port)
    names = {host, *own_addresses()} if host in ANYWHERE else {host}
    return Guard(local | frozenset(names - set(ANYWHERE)), scheme, port, new_token())


def link_of(host: str, guard: Guard) -> str:
    """The address to open: on all addresses, the one by which this computer is reached."""
    if host in ANYWHERE:
        local = {"localhost", "127.0.0.1", "::1"}
        host = next((h for h in own_addresses() if h in guard.hosts - local), "127.0.0.1")
    name = f"[{host}]" if ":" in host else host
    return f"{guard.scheme}://{name}:{guard.port}/" + (f"?token={guard.token}" if guard.token else "")


def own_addresses() -> tuple[str, ...]:
    """Addresses of this computer in its local network, the likeliest first. Nothing is sent to find them."""
    found: list[str] = []
    for family, target in ((socket.AF_INET, "192.0.2.1"), (socket.AF_INET6, "2001:db8::1")):
        # connecting a datagram socket only picks a route; the targets are the addresses for documentation (RFC 5737)
        try:
            with socket.socket(family, socket.SOCK_DGRAM) as s:
                s.connect((target, 9))
                found.append(s.getsockname()[0])
        except OSError:
            continue
    with contextlib.suppress(OSError):
        found += [str(a[4][0]) for a in socket.getaddrinfo(socket.gethostname(), None)]
    return tuple(dict.fromkeys(a.partition("%")[0] for a in found))


def announce(link: str, guard: Guard) -> None:
    """Tell where the page is; for other devices with a code to scan."""
    print(f"The page is at {link}", flush=True)
    if guard.token is not None:
        import segno

        segno.make(link, micro=False).terminal(out=sys.stdout, compact=True)
        print("Whoever has this link can read and change the walks. It ends when this program ends.")
        if guard.scheme == "http":
            print("Without --tls a browser on another device gives no microphone, and the network can read along.")
    print("Stop with Ctrl-C.", flush=True)


def _certificate(guard: Guard) -> tuple[Path, Path]:
    import datetime

    import platformdirs

    from pipeline.web.certificate import certificate, fingerprint

    folder = Path(platformdirs.user_data_dir("tallywalk"))
    cert, key = certificate(folder, guard.hosts, datetime.datetime.now(datetime.UTC))
    print(
        "The certificate was made on this computer, so the browser will ask once. Compare before you accept, SHA-256:"
    )
    print(f"  {fingerprint(cert)}")
    return cert, key


def _listen(host: str, port: int) -> socket.socket:
    try:
        family = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0][0]
        listening = socket.socket(family, socket.SOCK_STREAM)
    except OSError as error:
        raise UsageError(f"{host}: no such address ({error.strerror})") from error
    try:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((host, port))
    except OSError as error:
        listening.close()
        raise UsageError(
            f"{host} port {port}: cannot listen there ({error.strerror})",
            remedy="Another program, or another tallywalk, may have it: give another --port.",
        ) from error
    return listening
