"""Pictures as files beside the documents: named, listed, left out by one line, gone when nothing refers to them."""

import io
import json
from datetime import date
from pathlib import Path

import pytest
from PIL import Image

from pipeline.report_shapes import Picture, Profile
from pipeline.walk import Walk
from pipeline.writers import write_all
from pipeline.writers.profile import load_profile
from tests.pipeline import samples


def jpeg(grey: int) -> bytes:
    stream = io.BytesIO()
    Image.new("L", (30, 20), grey).save(stream, "JPEG")
    return stream.getvalue()


SHOTS = (Picture("tank 3: etch (0:42)", jpeg(9), 42.0), Picture("pump – Oduya at work (1:20)", jpeg(90), 80.0),
         Picture("name plate", jpeg(200)))  # fmt: skip


@pytest.fixture
def shown(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> list[Picture]:
    shots = list(SHOTS)
    monkeypatch.setattr("pipeline.pictures.pictures", lambda *_, **__: (tuple(shots), ()))
    (tmp_path / "photos").mkdir()
    return shots


def write(folder: Path, walk: Walk | None = None, **own: object):
    return write_all(folder, walk or samples.line(3), samples.transcript(), profile=Profile(**own),  # type: ignore[arg-type]
                     made=date(2026, 1, 2))  # fmt: skip


def test_pictures_are_files_that_the_listing_names(tmp_path: Path, shown: list[Picture]) -> None:
    assert not write(tmp_path, withhold=("Oduya",)).failed
    names = ["01-tank-3-etch.jpg", "02-pump-at-work.jpg", "03-name-plate.jpg"]
    assert sorted(p.name for p in (tmp_path / "pictures").iterdir()) == names
    listed = (tmp_path / "listing.txt").read_text()
    assert "- tank 3: etch: pictures/01-tank-3-etch.jpg" in listed
    assert "pump – [name withheld] at work: " in listed
    assert json.loads((tmp_path / "listing.jsonld").read_text())["image"][2] == "pictures/03-name-plate.jpg"
    assert "Oduya" not in (tmp_path / "report-hand-out.html").read_text()


@pytest.mark.parametrize("line", ["0:42", "ETCH"])
def test_one_line_leaves_a_picture_out(tmp_path: Path, shown: list[Picture], line: str) -> None:
    write(tmp_path)
    (tmp_path / "leave-out.txt").write_text(f"\n{line}\n")
    write(tmp_path)
    assert "etch (0:42)" not in (tmp_path / "report.html").read_text()
    assert not list((tmp_path / "pictures").glob("*etch*"))  # the earlier run's file went too
    assert (tmp_path / "pictures" / "01-pump-oduya-at-work.jpg").is_file()


def test_a_picture_that_a_person_changed_stays(tmp_path: Path, shown: list[Picture]) -> None:
    write(tmp_path)
    own = tmp_path / "pictures" / "03-name-plate.jpg"
    own.write_bytes(b"cropped by hand")
    del shown[2]
    write(tmp_path)
    assert own.read_bytes() == b"cropped by hand"


def test_the_profile_takes_words_to_withhold(tmp_path: Path) -> None:
    path = tmp_path / "profile.toml"
    path.write_text('withhold = ["Oduya", "Dock Street"]')
    assert load_profile(path).withhold == ("Oduya", "Dock Street")
    path.write_text("withhold = 3")
    with pytest.raises(ValueError, match="withhold"):
        load_profile(path)


def test_every_table_of_the_workbook_is_a_csv_too(tmp_path: Path) -> None:
    write(tmp_path)
    for name in ("specification", "stations", "equipment", "findings"):
        assert len((tmp_path / f"{name}.csv").read_text().splitlines()) > 1


def test_the_cover_has_the_sharpest_frame_or_the_photo_that_is_named_so() -> None:
    from pipeline.report import build

    def cover(*shots: Picture) -> str:
        found = build(samples.line(3), samples.transcript(), made="2026-01-02", pictures=shots).cover
        return found.caption if found else ""

    dull, sharp = (Picture(f"frame {w} (0:0{w})", jpeg(9), 1.0, worth=float(w)) for w in (1, 7))
    assert cover() == ""
    assert cover(dull, sharp, SHOTS[2]) == sharp.caption
    assert cover(*SHOTS) == SHOTS[0].caption
    assert cover(dull, sharp, Picture("cover of the hall", jpeg(3))) == "cover of the hall"
