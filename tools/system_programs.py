"""Programs and npm packages that some tests use: installed as root on Debian, else named loudly."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
PROGRAMS = {
    "chromium": ("chromium",),
    "firefox-esr": ("firefox-esr",),
    "paplay": ("pulseaudio", "pulseaudio-utils"),
    "soffice": ("libreoffice-writer", "libreoffice-calc"),
    "pdftoppm": ("poppler-utils",),
}


def main() -> int:
    """Never fails: what is missing afterwards is told, and its tests skip."""
    missing = [p for p in PROGRAMS if shutil.which(p) is None]
    if missing and hasattr(os, "geteuid") and os.geteuid() == 0 and shutil.which("apt-get"):
        packages = [name for p in missing for name in PROGRAMS[p]]
        print(f"Installing {' '.join(packages)} for the tests ...", flush=True)
        env = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        for command in (["update"], ["install", "-y", "--no-install-recommends", *packages, "fonts-dejavu-core"]):
            subprocess.run(["apt-get", "-q", "-q", *command], env=env, check=False, stdout=subprocess.DEVNULL)
        missing = [p for p in PROGRAMS if shutil.which(p) is None]
    wanted = {"axe-core": "axe-core@4.11", "html-validate": "html-validate@10"}
    if shutil.which("npm") and not all((ROOT / "node_modules" / name).is_dir() for name in wanted):
        command = ["npm", "install", "--no-save", "--no-audit", "--no-fund", "--silent", *wanted.values()]
        subprocess.run(command, cwd=ROOT, check=False, stdout=subprocess.DEVNULL)
    for name, told in (("axe-core", "accessibility"), ("html-validate", "html")):
        if not (ROOT / "node_modules" / name).is_dir():
            print(f"!!! {name} (npm) is not installed: the {told} tests are SKIPPED", file=sys.stderr)
    for program in missing:
        print(
            f"!!! {program} is not installed: the tests that need it are SKIPPED "
            f"(install {' '.join(PROGRAMS[program])})",
            file=sys.stderr,
        )
    return 0


if __name__ == "__main__":
    sys.exit(main())
