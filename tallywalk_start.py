"""The command's front door: its name is ours alone, so it can tell when another distribution shadows our packages."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path

OURS = ("vocab", "extractors", "pipeline")


def shadowed(home: Path) -> list[tuple[str, str]]:
    """Packages that Python would take from somewhere else than home, with that place."""
    found = []
    for name in OURS:
        spec = importlib.util.find_spec(name)
        origin = spec.origin if spec else None
        if origin is None or Path(origin).resolve().parent.parent != home:
            found.append((name, origin or "nowhere"))
    return found


def main() -> int:
    """Run the command, or say which other distribution is in its way (exit code 5)."""
    others = shadowed(Path(__file__).resolve().parent)
    if others:
        for name, origin in others:
            print(f"tallywalk: the package {name!r} is taken from {origin}, not from tallywalk.", file=sys.stderr)
        print("tallywalk: install it in an environment of its own (python3 -m venv).", file=sys.stderr)
        return 5
    try:
        from pipeline.cli import main as run
    except KeyboardInterrupt:  # once it is loaded, the command says more
        print("tallywalk: stopped before anything was begun.", file=sys.stderr)
        return 130
    return run()


if __name__ == "__main__":
    sys.exit(main())
