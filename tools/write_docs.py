"""make golden writes docs/checks.md anew: every check with source and tolerance, as `tallywalk rules` prints them."""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from pipeline.checks.listing import describe_rules  # noqa: E402


def checks_page() -> str:
    """The page as text."""
    lines = [
        "# Every check",
        "",
        "Written by `make golden` from the rules themselves; `tallywalk rules` prints the same. A conflict means that",
        "two statements cannot both hold; everything else is a question. Follow local codes and a licensed",
        "practitioner.",
        "",
    ]
    for rule in describe_rules():
        lines += [f"## {rule.rule}", "", rule.text.strip(), ""]
    return "\n".join(lines)


if __name__ == "__main__":
    (ROOT / "docs" / "checks.md").write_text(checks_page(), encoding="utf-8")
