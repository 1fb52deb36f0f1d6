"""Files that are whole or not there: whatever is killed when, a name holds the old bytes or the new ones."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


def private_folder(path: Path) -> None:
    """Make a folder, and those above it that are missing, for its owner alone; one that is there stays as it is.

    Words, places and prices stand in them. Whoever shares them opens them once, by hand.
    """
    missing = []
    while not path.exists():
        missing.append(path)
        path = path.parent
    for folder in reversed(missing):
        folder.mkdir(mode=0o700, exist_ok=True)


def write_whole(path: Path, data: bytes) -> None:
    """Write the bytes beside the name, flush them to the disk, then take the name. Raises OSError."""
    private_folder(path.parent)
    handle, part = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.replace(part, path)
    except BaseException:
        os.unlink(part)
        raise
