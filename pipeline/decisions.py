"""The append-only file of what people decided about a walk: one JSON line each, in decisions.jsonl beside walk.json.

Lines are only ever added, flushed to the disk before anybody is told that they are kept. A line torn by a kill or a
full disk is closed off by the next one, which says so ("after_torn"); it never hides the lines around it. Several
processes may append at once (an exclusive lock on the file itself). Deleting the folder loses the file, never a clear
message: nothing is created anew in its place.
"""

from __future__ import annotations

import json
import math
import os
import uuid
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import asdict, fields
from datetime import datetime
from pathlib import Path
from typing import Any

from pipeline.errors import DecisionError, OutputError
from pipeline.review import NEEDED, Decision, problem

FILE = "decisions.jsonl"
LONGEST_LINE = 1 << 20
"""Bytes; a longer line is no decision of ours."""
LONGEST_FILE = 1 << 28


def new(
    act: str,
    *,
    who: str,
    kind: str = "",
    fact: Mapping[str, Any] | None = None,
    changes: Mapping[str, Any] | None = None,
    why: str = "",
    of: str = "",
    at: float | None = None,
) -> Decision:
    """A decision made now. Raises DecisionError where it sets what cannot be set."""
    if act not in ("undo", "mark", "cut"):
        fault = problem(kind, changes or {})
        lacking = [n for n in NEEDED.get(kind, ()) if n not in (changes or {})] if act == "add" else []
        if fault is None and lacking:
            fault = f"to add a {kind}, its {' and '.join(lacking)} must be given"
        if fault is not None:
            raise DecisionError(fault, remedy="Correct it and try again; nothing was changed.")
    return Decision(
        id=uuid.uuid4().hex[:12],
        who=_line(who, 80) or "somebody",
        when=datetime.now().astimezone().isoformat(timespec="seconds"),
        act=act,
        kind=kind,
        fact=dict(fact or {}),
        set=dict(changes or {}),
        why=_line(why, 1000),
        of=of,
        at=at,
    )


def _line(text: str, longest: int) -> str:
    """Text on one line without control characters, cut where absurdly long."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())[:longest]


def repeats(known: Iterable[Decision], new: Decision) -> bool:
    """Whether a filled list says what was taken from it before, so that reading it twice adds nothing twice.

    known are the decisions that stand. Only lines made for the same reason count: what was decided on the page since
    is left alone by an old list, and an answer that differs from the last one of that list is a new one.
    """
    same = [d for d in known if _about(d) == _about(new) and d.why == new.why]
    if new.act in ("add", "settle"):
        return any(dict(d.set) == dict(new.set) for d in same)
    return bool(same) and dict(same[-1].set) == dict(new.set)


def _about(d: Decision) -> tuple[Any, ...]:
    """What a decision sets of which fact; a finding by its id, which stays for the same rule and facts."""
    return d.act, d.kind, d.fact.get("field") or d.fact.get("id"), tuple(sorted(d.set))


def read_decisions(folder: Path) -> tuple[Decision, ...]:
    """All lines in the order they were written, undone ones and undos included; empty where there is no file.

    A torn line is passed over. Raises DecisionError, naming the line, for anything else that is no decision.
    """
    path = folder / FILE
    try:
        if path.stat().st_size > LONGEST_FILE:
            raise DecisionError(f"{path}: larger than any decisions file ({LONGEST_FILE >> 20} MB)")
        data = path.read_bytes()
    except FileNotFoundError:
        return ()
    except OSError as error:
        raise DecisionError(f"{path}: cannot be read ({error.strerror})") from error
    lines = data.split(b"\n")
    tail = lines.pop()  # what follows the last newline: nothing, or a line torn by a kill
    parsed = [_parsed(line) for line in lines]
    out: dict[str, Decision] = {}
    for i, (line, value) in enumerate(zip(lines, parsed, strict=True), 1):
        if not line.strip():
            continue
        if value is None:
            after = next((v for v in parsed[i:] if v is not None), None)
            if isinstance(after, dict) and after.get("after_torn") is True:
                continue
            raise DecisionError(f"{path}, line {i}: this is no JSON")
        decision = _decision(value, f"{path}, line {i}")
        # a line written twice (an answer got lost and the page sent it again) counts once
        out.setdefault(decision.id, decision)
    whole = _parsed(tail)
    if isinstance(whole, dict):
        decision = _decision(whole, f"{path}, last line")
        out.setdefault(decision.id, decision)
    return tuple(out.values())


def _parsed(line: bytes) -> Any:
    if len(line) > LONGEST_LINE:
        return None
    try:
        return json.loads(line.decode("utf-8"))
    except (ValueError, RecursionError):
        return None


def _decision(value: Any, where: str) -> Decision:
    if not isinstance(value, dict):
        raise DecisionError(f"{where}: a decision is an object with keys")
    for name in ("id", "who", "when", "act"):
        if not isinstance(value.get(name), str):
            raise DecisionError(f"{where}: {name!r} is missing or no text")
    for name, kind in (("kind", str), ("why", str), ("of", str), ("fact", dict), ("set", dict)):
        if name in value and not isinstance(value[name], kind):
            raise DecisionError(f"{where}: {name!r} must be {'a text' if kind is str else 'an object'}")
    at = value.get("at")
    if at is not None and (isinstance(at, bool) or not isinstance(at, int | float) or not math.isfinite(at)):
        raise DecisionError(f"{where}: 'at' must be a number of seconds")
    return Decision(**{f.name: value[f.name] for f in fields(Decision) if f.name in value})


def append(folder: Path, *decisions: Decision) -> None:
    """Add lines and return when they are on the disk; all of them or none. Raises OutputError; nothing is lost."""
    path = folder / FILE
    try:
        with _locked(path) as handle:
            size = os.fstat(handle).st_size
            torn = size > 0 and os.pread(handle, 1, size - 1) != b"\n"
            text = b"\n" if torn else b""
            for i, d in enumerate(decisions):
                line = {k: v for k, v in asdict(d).items() if v not in ("", None, {})}
                if torn and i == 0:
                    line["after_torn"] = True
                text += json.dumps(line, ensure_ascii=False, allow_nan=False).encode() + b"\n"
            try:
                _write(handle, text)
                os.fsync(handle)
            except OSError:
                # a full disk: take the half line away again, so that the file is as it was
                os.ftruncate(handle, size)
                raise
            if size == 0:
                _sync_folder(folder)
    except OSError as error:
        if not folder.is_dir():
            message, remedy = f"{folder}: the folder of this walk is gone", "Put the folder back, then decide again."
        else:
            message = f"{path}: the decision could not be kept ({error.strerror})"
            remedy = "Free some space or allow writing, then decide again; what was kept before is still there."
        raise OutputError(message, remedy=remedy) from error


def _write(handle: int, text: bytes) -> None:
    while text:
        text = text[os.write(handle, text) :]


@contextmanager
def _locked(path: Path) -> Iterator[int]:
    """The file open for appending, for its owner alone, with every other writer waiting."""
    handle = os.open(path, os.O_RDWR | os.O_APPEND | os.O_CREAT | getattr(os, "O_CLOEXEC", 0), 0o600)
    try:
        _lock(handle)
        yield handle
    finally:
        os.close(handle)  # gives the lock back as well


def _lock(handle: int) -> None:
    try:
        import fcntl
    except ImportError:  # not POSIX
        return  # appends of one line each are whole there too; two pages at once are not promised
    fcntl.flock(handle, fcntl.LOCK_EX)


def _sync_folder(folder: Path) -> None:
    """Have the new name itself on the disk, where the system can do that."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        pass
    finally:
        os.close(handle)
