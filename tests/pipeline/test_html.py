"""Pages against a validator that is kept (html-validate: elements, attributes and content as WHATWG's HTML says, and
what WCAG asks of headings, tables and alternative texts)."""

import io
import json
import shutil
import subprocess
from datetime import date
from pathlib import Path

import pytest
from PIL import Image

from extractors.words import Transcript
from pipeline.report_shapes import Picture, Profile
from pipeline.walk import Walk
from pipeline.writers import write_all
from tests.pipeline import samples

PROGRAM = Path(__file__).parents[2] / "node_modules" / "html-validate" / "bin" / "html-validate.mjs"
WALKS = {"three": samples.line(3), "none": samples.nothing(), "hostile": samples.hostile()}

pytestmark = pytest.mark.skipif(
    not (PROGRAM.is_file() and shutil.which("node")), reason="html-validate (npm) is not installed"
)


def complaints(folder: Path) -> list[str]:
    (folder / ".htmlvalidate.json").write_text(
        json.dumps({"root": True, "extends": ["html-validate:standard", "html-validate:a11y"]})
    )
    command = ["node", str(PROGRAM), "--formatter", "json", *map(str, sorted(folder.glob("*.html")))]
    told = subprocess.run(command, capture_output=True, text=True, timeout=120, cwd=folder)
    assert told.returncode in (0, 1), told.stderr
    return [f"{Path(f['filePath']).name}: {m['ruleId']}: {m['message']}" for f in json.loads(told.stdout)
            for m in f["messages"]]  # fmt: skip


def write(folder: Path, walk: Walk, words: Transcript) -> None:
    sound = folder / "walk.ogg"
    sound.write_bytes(b"x")
    own = Profile(appraisal=True)
    assert not write_all(folder, walk, words, recording=sound, profile=own, made=date(2026, 1, 2)).failed


@pytest.mark.parametrize("name", WALKS)
def test_every_page_is_valid(tmp_path: Path, name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    stream = io.BytesIO()
    Image.new("L", (30, 20)).save(stream, "JPEG")
    shots = (Picture('pump "1" & <2> (0:04)', stream.getvalue(), 4.0), Picture("plate", stream.getvalue()))
    monkeypatch.setattr("pipeline.pictures.pictures", lambda *_, **__: (shots, ()))
    (tmp_path / "photos").mkdir()
    write(tmp_path, WALKS[name], samples.transcript())
    assert complaints(tmp_path) == []


def test_the_validator_sees_a_broken_page(tmp_path: Path) -> None:
    (tmp_path / "bad.html").write_text('<!DOCTYPE html><html lang="en"><head><title>x</title></head><body><img src="x">'
                                       "<h1>a</h1><p><div>no</div></p></body></html>")  # fmt: skip
    assert complaints(tmp_path)
