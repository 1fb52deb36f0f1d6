"""Documentation that drifts fails: every command, option, exit code, written file and rule must be told."""

from __future__ import annotations

import inspect
import re
import sys
from pathlib import Path

import typer

from pipeline import errors
from pipeline.cli import app

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_every_command_and_option_is_told() -> None:
    told = README + DEVELOPERS
    group = typer.main.get_command(app)
    for name, command in group.commands.items():  # type: ignore[attr-defined]
        assert f"tallywalk {name}" in README, name
        for parameter in command.params:
            for option in getattr(parameter, "opts", ()):
                if option.startswith("--") and option not in ("--help",):
                    assert option in told, f"{name} {option}"


def test_every_exit_code_is_told() -> None:
    table = {int(c) for c in re.findall(r"^\| (\d+) \|", README, re.MULTILINE)}
    owned = {
        c.exit_code for _, c in inspect.getmembers(errors, inspect.isclass) if issubclass(c, errors.TallywalkError)
    }
    assert owned | {0, 3, 4, 5, 130} == table


def test_the_page_of_checks_is_what_the_rules_say() -> None:
    sys.path.insert(0, str(ROOT / "tools"))
    try:
        from write_docs import checks_page
    finally:
        sys.path.pop(0)
    assert (ROOT / "docs" / "checks.md").read_text(encoding="utf-8") == checks_page(), "run make golden"


def test_nothing_is_left_open_in_the_readme() -> None:
    assert "@@" not in README + DEVELOPERS
    for picture in re.findall(r"!\[[^]]*\]\(([^)]+)\)", README):
        assert (ROOT / picture).is_file(), picture
    for target in re.findall(r"\]\(((?!http)[^)#]+)\)", README + DEVELOPERS):
        assert (ROOT / target).exists(), target


def test_readme_has_two_commands_for_a_fresh_machine() -> None:
    makes = set(re.findall(r"^    make (\w+)", README, re.MULTILINE))
    assert makes == {"demo", "test"}


def test_every_table_explains_its_columns() -> None:
    for path in (ROOT / "vocab").glob("*.toml"):
        text = path.read_text(encoding="utf-8")
        assert text.startswith("#"), path.name
        assert "[columns]" in text, path.name
