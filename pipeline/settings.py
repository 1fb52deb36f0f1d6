"""What a run was asked to do: one frozen value, built by a shell and handed down unchanged."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """Options of a run; every one has a default that suits a laptop."""

    out: Path = Path("walks")
    """Folder that receives one folder for each recording."""
    model: str = "base"
    """Name of a recogniser's model, or the path of a folder that holds one."""
    device: str = "auto"
    """auto, cpu or cuda."""
    allow_download: bool = False
    """Whether weights may be fetched from the hub."""
    fresh: bool = False
    """Listen again even where a transcript of the same sound and settings is in the cache."""
    vocab: Path | None = None
    """The user's own vocabulary file (TOML)."""
    threads: int = 0
    """CPU threads for the recogniser; 0 chooses by the machine."""
    second_hearing: bool = True
    """Listen again to the seconds whose figures were heard badly."""
    cuts: tuple[tuple[float, int | None], ...] | None = None
    """Seconds at which another machine begins, set by hand, and the number of the machine where the speaker goes back
    to one; () for one machine; None to hear it from the words."""
    cache: Path | None = None
    """Folder of the transcript cache; None for the user's own."""
