"""Documents against the published schemas of office files, as far as a library carries them (openxml-audit: the
schema tables of the Open XML SDK, which are those of ECMA-376 and ISO/IEC 29500, and what Word and Excel repair)."""

import io
from pathlib import Path

import docx
import pytest
from openxml_audit import OpenXmlValidator

from pipeline.drawing import plans
from pipeline.report import build
from pipeline.report_shapes import Picture, Profile
from pipeline.writers.to_docx import to_docx
from pipeline.writers.to_xlsx import punch_list, workbook
from tests.pipeline import samples

WALKS = {"three": samples.line(3), "sixteen": samples.line(16), "one": samples.single(), "none": samples.nothing(),
         "many": samples.many(60), "hostile": samples.hostile()}  # fmt: skip
# openpyxl writes the parts of a font in an order that is free in ECMA-376 (CT_Font is a choice, any number of times)
# and fixed in the tables of the SDK
FREE_ORDER = "/styleSheet[1]/fonts[1]/font["


def errors(path: Path) -> list[str]:
    found = OpenXmlValidator(max_errors=100).validate(str(path)).errors
    return [f"{e.part_uri} {e.path} {e.description}" for e in found
            if str(e.severity).lower().endswith("error") and not str(e.path).startswith(FREE_ORDER)]  # fmt: skip


def photo() -> bytes:
    from PIL import Image

    stream = io.BytesIO()
    Image.new("RGB", (40, 30), "grey").save(stream, "JPEG")
    return stream.getvalue()


@pytest.mark.parametrize("name", WALKS)
def test_word_has_nothing_to_repair(tmp_path: Path, name: str) -> None:
    walk = WALKS[name]
    pictures = (Picture("pump (0:04)", photo(), 4.0),) * 3 if name == "three" else ()
    for edition in ("working", "hand-out"):
        report = build(walk, samples.transcript(), made="2026-01-02", edition=edition, pictures=pictures,
                       profile=Profile(appraisal=name == "one", paper="Letter"))  # fmt: skip
        path = tmp_path / f"{edition}.docx"
        path.write_bytes(to_docx(report, plan=plans(walk)))
        assert errors(path) == []


def test_a_letterhead_stays_valid(tmp_path: Path) -> None:
    own = docx.Document()
    own.sections[0].header.paragraphs[0].text = "Invented Appraisals"
    own.save(str(tmp_path / "own.docx"))
    profile = Profile(template=str(tmp_path / "own.docx"))
    report = build(samples.line(3), samples.transcript(), made="2026-01-02", profile=profile)
    path = tmp_path / "report.docx"
    path.write_bytes(to_docx(report, plan=plans(samples.line(3))))
    assert errors(path) == []


@pytest.mark.parametrize("name", ["three", "none", "hostile"])
def test_excel_has_nothing_to_repair(tmp_path: Path, name: str) -> None:
    walk = WALKS[name]
    report = build(walk, samples.transcript(), made="2026-01-02")
    for part, data in (("walk", workbook(walk, report)), ("punch-list", punch_list(walk))):
        path = tmp_path / f"{part}.xlsx"
        path.write_bytes(data)
        assert errors(path) == []


def test_the_check_sees_a_document_that_breaks_the_schema(tmp_path: Path) -> None:
    from docx.oxml import OxmlElement

    document = docx.Document()
    table = document.add_table(rows=1, cols=1)
    table._tbl.append(OxmlElement("w:tblPr"))  # properties stand first, and once
    path = tmp_path / "bad.docx"
    document.save(str(path))
    assert errors(path)
