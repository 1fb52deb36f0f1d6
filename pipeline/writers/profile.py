"""The user's own particulars in profile.toml, and the letterhead, a docx that is refused where it could do anything."""

from __future__ import annotations

import io
import tomllib
import zipfile
from dataclasses import fields
from pathlib import Path
from typing import Literal, get_args, get_origin, get_type_hints

from pipeline.report_shapes import Profile

LARGEST = 20 << 20
"""Bytes of a letterhead, unpacked."""


def load_profile(path: Path | None = None) -> Profile:
    """The profile in the file; without a file the empty one. Raises ValueError naming the key."""
    if path is None:
        import platformdirs

        path = Path(platformdirs.user_config_dir("tallywalk")) / "profile.toml"
    if not path.is_file():
        return Profile()
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    default = Profile()
    for key, value in tuple(data.items()):
        if key not in {f.name for f in fields(Profile)}:
            raise ValueError(f"there is no setting {key!r}")
        if isinstance(value, list) and all(isinstance(v, str) for v in value):
            value = tuple(value)
            data = {**data, key: value}
        if type(value) is int and type(getattr(default, key)) is float:
            data = {**data, key: float(value)}
        elif type(value) is not type(getattr(default, key)):
            raise ValueError(f"{key}: expected {type(getattr(default, key)).__name__}")
    hints = get_type_hints(Profile)
    for key, value in data.items():
        choices = get_args(hints[key]) if get_origin(hints[key]) is Literal else ()
        if choices and value not in choices:
            raise ValueError(f"{key}: one of {', '.join(repr(c) for c in choices)}")
    return Profile(**data)


def letterhead(path: Path) -> io.BytesIO:
    """The template's bytes. Raises ValueError where it holds macros, outside links, or unpacks to too much."""
    data = path.read_bytes()
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            if sum(i.file_size for i in archive.infolist()) > LARGEST:
                raise ValueError(f"{path.name}: unpacks to more than {LARGEST >> 20} MB")
            for info in archive.infolist():
                if "vba" in info.filename.lower() or "activex" in info.filename.lower():
                    raise ValueError(f"{path.name}: holds macros; save it without them")
                if info.filename.endswith(".rels"):
                    from defusedxml.ElementTree import fromstring

                    for relation in fromstring(archive.read(info)):
                        if relation.get("TargetMode", "").lower() == "external":
                            raise ValueError(f"{path.name}: refers to something outside itself; remove the link")
    except zipfile.BadZipFile as error:
        raise ValueError(f"{path.name}: this is no docx") from error
    return io.BytesIO(data)
