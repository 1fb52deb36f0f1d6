"""Edits are sacred: a file that a person changed is never overwritten; the new one is written beside it.

What was written is remembered by its sha256 in a small file of the folder (.written.json). A file whose bytes are not
those that were remembered was changed by someone.
"""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
from dataclasses import dataclass, field
from pathlib import Path

from pipeline.errors import OutputError

MEMORY = ".written.json"


@dataclass
class Keeper:
    """Writes whole files into one folder, leaving alone what a person changed."""

    folder: Path
    written: list[Path] = field(default_factory=list)
    kept: list[str] = field(default_factory=list)
    """Names that a person had changed, with the name of the new file beside each."""

    def __post_init__(self) -> None:
        try:
            data = json.loads((self.folder / MEMORY).read_text(encoding="utf-8"))
            self.memory = {str(k): str(v) for k, v in data.items()}
        except (OSError, ValueError, AttributeError):
            self.memory = {}

    def write(self, name: str, data: bytes) -> Path:
        """Write a file whole under its name, or under a free one beside it. Raises OutputError."""
        digest = hashlib.sha256(data).hexdigest()
        target = self.folder / name
        if self._changed_by_a_person(target):
            beside = self._free(target)
            self.kept.append(f"{name}; the new one is {beside.name}")
            target = beside
        try:
            self.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            _whole(target, data)
            self.memory[target.name] = digest
            _whole(self.folder / MEMORY, json.dumps(self.memory, indent=0, sort_keys=True).encode())
        except OSError as error:
            raise OutputError(f"{target}: cannot be written ({error.strerror})") from error
        self.written.append(target)
        return target

    def _changed_by_a_person(self, path: Path) -> bool:
        try:
            now = hashlib.sha256(path.read_bytes()).hexdigest()
        except FileNotFoundError:
            return False
        except OSError as error:
            raise OutputError(f"{path}: cannot be read ({error.strerror})") from error
        return self.memory.get(path.name) != now

    def _free(self, path: Path) -> Path:
        """report-2.docx, report-3.docx …: the first that is free or that we wrote ourselves and nobody changed."""
        for n in range(2, 1000):
            candidate = path.with_name(f"{path.stem}-{n}{path.suffix}")
            if not candidate.exists() or not self._changed_by_a_person(candidate):
                return candidate
        raise OutputError(f"{path}: a thousand changed versions of it", remedy="Move the old versions elsewhere.")


def _whole(path: Path, data: bytes) -> None:
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.replace(name, path)
    except BaseException:
        os.unlink(name)
        raise
