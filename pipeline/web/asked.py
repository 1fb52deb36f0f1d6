"""What a request brings, bounded and checked before anything is done with it; and how times are written."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any
from urllib.parse import unquote

from fastapi import Request
from fastapi.responses import HTMLResponse

from pipeline.errors import UsageError
from pipeline.web.rows import short

LONGEST_JSON = 1 << 18
Page = Callable[..., HTMLResponse]
"""Name of a template and its values to an answer."""


def clock(seconds: float | None) -> str:
    """Seconds as m:ss or h:mm:ss; empty for None."""
    if seconds is None:
        return ""
    whole = int(seconds)
    hours, rest = divmod(whole, 3600)
    return f"{hours}:{rest // 60:02d}:{rest % 60:02d}" if hours else f"{rest // 60}:{rest % 60:02d}"


async def body_of(request: Request, longest: int) -> bytes:
    """The body, refused as soon as it is longer than it may be. Raises UsageError."""
    told = request.headers.get("content-length", "")
    if told.isascii() and told.isdigit() and int(told) > longest:
        raise UsageError(f"{int(told)} bytes at once are too many", remedy="Load the page again.")
    parts, size = [], 0
    async for part in request.stream():
        size += len(part)
        if size > longest:
            raise UsageError(f"more than {longest} bytes at once", remedy="Load the page again.")
        parts.append(part)
    return b"".join(parts)


async def json_of(request: Request) -> dict[str, Any]:
    """A small JSON object. Raises UsageError."""
    if request.headers.get("content-type", "").partition(";")[0].strip() != "application/json":
        raise UsageError("JSON was expected")
    try:
        value = json.loads(await body_of(request, LONGEST_JSON) or b"{}")
    except (ValueError, RecursionError) as error:
        raise UsageError("this is no JSON") from error
    if not isinstance(value, dict):
        raise UsageError("a JSON object was expected")
    return value


def whole_number(text: str | None) -> int:
    """A whole number from a query. Raises UsageError."""
    if text is None or not text.isascii() or not text.isdigit() or len(text) > 15:
        raise UsageError("a whole number was expected")
    return int(text)


def second_of(value: Any) -> float:
    """A second of a recording. Raises UsageError."""
    try:
        number = float(value)
    except (TypeError, ValueError) as error:
        raise UsageError("a number of seconds was expected") from error
    if not 0 <= number < 1e6:
        raise UsageError("a number of seconds was expected")
    return number


def who_of(request: Request) -> str:
    """Who decides: the name that the page was told, in a header as URI-encoded text."""
    return short(unquote(request.headers.get("x-who", "")))[:80]
