"""Files whole or not there, in folders for their owner alone."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from pipeline.cli import main
from pipeline.whole import write_whole


@pytest.mark.skipif(os.name != "posix", reason="rights are set this way on POSIX alone")
def test_a_walk_is_for_its_owner_alone_whatever_the_umask(tmp_path: Path) -> None:
    said = tmp_path / "two.txt"
    said.write_text("[0:00] This is a two stage parts washer.\n[0:05] Stage one is wash. Stage two is rinse.\n")
    shared = tmp_path / "shared"
    shared.mkdir()
    shared.chmod(0o755)
    before = os.umask(0o022)
    try:
        assert main(["--quiet", "report", str(said), "-o", str(shared / "walks")]) == 0
    finally:
        os.umask(before)
    assert stat.S_IMODE(shared.stat().st_mode) == 0o755, "a folder that was there stays as its owner made it"
    for path in (shared / "walks", *(shared / "walks").rglob("*")):
        mode = stat.S_IMODE(path.stat().st_mode)
        if path.is_dir():
            assert mode == 0o700, path
        else:
            assert mode == 0o600, path


def test_a_name_holds_the_old_bytes_or_the_new_ones(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "a" / "b.json"
    write_whole(path, b"old")

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space"):
        write_whole(path, b"new")
    assert path.read_bytes() == b"old"
    assert [p.name for p in path.parent.iterdir()] == ["b.json"], "no half file is left"
