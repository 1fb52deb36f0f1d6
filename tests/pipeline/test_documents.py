import csv
import io
import json
import re
import shutil
import subprocess
import zipfile
from datetime import date
from pathlib import Path

import html5lib
import openpyxl
import pint
import pytest
from docx import Document
from lxml import etree
from pyld import jsonld

from pipeline.drawing import plans, png, svg
from pipeline.errors import UsageError
from pipeline.printed import converted, figure
from pipeline.report import build
from pipeline.report_shapes import Profile, Report
from pipeline.unit_signs import sign
from pipeline.walk import Component, Quantity, Walk
from pipeline.writers import write_all
from pipeline.writers.fill import read_filled
from pipeline.writers.profile import letterhead, load_profile
from pipeline.writers.to_docx import to_docx
from tests.machine import least_seconds, slowness
from tests.pipeline import samples

DAY = date(2026, 1, 2)
WALKS = {"three": samples.line(3), "sixteen": samples.line(16), "one": samples.single(), "none": samples.nothing(),
         "many": samples.many(), "hostile": samples.hostile()}  # fmt: skip


def write(folder: Path, walk: Walk, **more: object):
    return write_all(folder, walk, samples.transcript(), profile=Profile(), made=DAY, **more)


@pytest.mark.parametrize("name", WALKS)
def test_every_document_opens(tmp_path: Path, name: str) -> None:
    told = write(tmp_path, WALKS[name])
    assert not told.failed
    assert not told.kept
    for path in tmp_path.glob("*.docx"):
        for table in Document(str(path)).tables:
            assert len(table.rows) > 0
        with zipfile.ZipFile(path) as archive:
            for part in archive.namelist():
                if part.endswith((".xml", ".rels")):
                    etree.fromstring(archive.read(part))
            assert b'TargetMode="External"' not in b"".join(map(archive.read, archive.namelist()))
    for path in tmp_path.glob("*.xlsx"):
        for sheet in openpyxl.load_workbook(path):
            assert not [c for row in sheet.iter_rows() for c in row if c.data_type == "f"]
    for path in tmp_path.glob("*.html"):
        text = path.read_text()
        html5lib.HTMLParser(strict=True).parse(text)  # raises at the first error of the HTML standard's parser
        tree = html5lib.parse(text, namespaceHTMLElements=False)
        assert not tree.findall(".//script")
        assert not tree.findall(".//img")
        assert not tree.findall(".//link")
    for path in tmp_path.glob("*.csv"):
        for row in csv.reader(io.StringIO(path.read_text())):
            assert not [c for c in row if c[:1] in ("=", "+", "@")]


def test_the_docx_gives_exactly_the_facts(tmp_path: Path) -> None:
    walk = samples.line(16)
    write(tmp_path, walk)
    tables = [[[c.text for c in r.cells] for r in t.rows] for t in Document(str(tmp_path / "report.docx")).tables]
    spec = next(t for t in tables if t[0][:3] == ["Of", "What", "As stated"])[1:]
    assert [(r[0], r[2]) for r in spec] == [(q.subject, figure(q)) for q in walk.active]
    stations = next(t for t in tables if t[0][0] == "Station")[1:]
    assert [(r[0], r[1]) for r in stations] == [(str(s.number), s.role) for s in walk.sequences[0].stations]
    t, *things = next(t for t in tables if t[0][:2] == ["What", "Count"])
    assert [(r[1], r[0], r[t.index("Included?")], r[t.index("Note")]) for r in things] == [
        ("5", "pump", "included", ""),
        ("1", "boiler", "not included", "said of it: “leased”"),
    ]


def test_the_workbook_keeps_numbers_as_numbers(tmp_path: Path) -> None:
    walk = samples.line(3)
    write(tmp_path, walk)
    rows = list(openpyxl.load_workbook(tmp_path / "walk.xlsx")["Specification"].iter_rows(min_row=2, values_only=True))
    assert [(r[0], r[3], r[5]) for r in rows] == [(q.id, q.value, sign(q.unit)) for q in walk.quantities]
    table = list(csv.reader(io.StringIO((tmp_path / "specification.csv").read_text())))[1:]
    assert [(r[0], float(r[3]), r[5]) for r in table] == [(q.id, q.value, q.unit) for q in walk.quantities]


def test_rows_of_a_workbook_are_as_high_as_their_words(tmp_path: Path) -> None:
    long = "word " * 60
    write(tmp_path, Walk(samples.SOURCE, components=(Component("c1", "pump", condition=long, evidence=samples.at(1)),)))
    sheet = openpyxl.load_workbook(tmp_path / "walk.xlsx")["Equipment"]
    assert sheet.row_dimensions[2].height >= 5 * 15
    heads = {c.value: sheet.column_dimensions[c.column_letter] for c in sheet[1]}
    assert heads["Serial"].hidden
    assert heads["Id"].hidden
    assert not heads["Condition"].hidden


@pytest.mark.parametrize(
    ("value", "unit", "expected"),
    [  # factors of NIST SP 811 (2008), appendix B.8: ft 0.3048 m, psi 6894.757 Pa, hp 745.6999 W, lb 0.45359237 kg
        (52, "foot", "15.8 m"), (10, "inch", "254 mm"), (100, "psi", "6.89 bar"), (25, "horsepower", "18.6 kW"),
        (4000, "pound", "1,810 kg"), (212, "degF", "100 °C"), (40, "gallon/minute", "151 L/min"),
    ],
)  # fmt: skip
def test_conversions(value: float, unit: str, expected: str) -> None:
    assert converted(Quantity("q", "x", "length", value, unit)) == expected


def test_conversions_agree_with_a_registry_of_pint_itself() -> None:
    from pipeline.unit_signs import OTHER

    ureg = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
    for unit, to in OTHER.items():
        got = float(re.sub(r"[^\d.]", "", converted(Quantity("q", "x", "other", 250, unit)).split(" ")[0]))
        assert got == pytest.approx(ureg.Quantity(250, unit).to(to).magnitude, rel=6e-3)


def test_feet_and_inches_and_years() -> None:
    assert figure(Quantity("q", "x", "height", 6 + 8 / 12, "foot")) == "6 ft 8 in"
    assert figure(Quantity("q", "x", "year", 2018, "")) == "2018"


def everything(report: Report) -> str:
    return " ".join(c for s in report.sections for c in [*s.paragraphs, *(x for t in s.tables for r in t.rows
                                                                         for x in r.cells)])  # fmt: skip


def test_the_hand_out_keeps_private_things_back() -> None:
    walk = samples.line(3)
    words = samples.transcript("call me")
    working = everything(build(walk, words, made="2026-01-02"))
    out = everything(build(walk, words, made="2026-01-02", edition="hand-out"))
    for private in ("45,000", "broke", "Vossberg", "call me", "leased"):
        assert private in working or private == "Vossberg"
        assert private not in out
    assert "555-0143" not in out


def test_unsafe_advice_is_not_passed_on() -> None:
    walk = samples.line(3)
    # the sample's transcript says one word each half second: seconds 80 to 81 are words 160 and 161
    text = " ".join(["word"] * 160 + ["jump", "interlock"] + ["word"] * 9)
    found = everything(build(walk, samples.transcript(text), made="2026-01-02"))
    assert "interlock" not in found
    assert "left out" in found


def test_an_edit_is_never_overwritten(tmp_path: Path) -> None:
    write(tmp_path, samples.line(3))
    assert not write(tmp_path, samples.line(3)).kept
    (tmp_path / "report.docx").write_bytes(b"signed")
    told = write(tmp_path, samples.line(3))
    assert (tmp_path / "report.docx").read_bytes() == b"signed"
    assert "report-new.docx" in told.kept[0]
    assert (tmp_path / "report-new.docx").is_file()
    (tmp_path / "report-new.docx").write_bytes(b"signed too")
    write(tmp_path, samples.line(3))
    assert (tmp_path / "report-new.docx").read_bytes() == b"signed too"


@pytest.mark.parametrize("before", [1, 7, 16])
def test_a_kill_between_two_documents_makes_none_look_changed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, before: int
) -> None:
    from pipeline import writers

    real, left = writers._whole, [before]

    def killed(path: Path, data: bytes) -> None:
        if left[0] == 0:
            raise KeyboardInterrupt
        left[0] -= 1
        real(path, data)

    monkeypatch.setattr(writers, "_whole", killed)
    for walk in (samples.line(3), samples.line(16)):  # a first run, and a later one with other words
        left[0] = before
        with pytest.raises(KeyboardInterrupt):
            write(tmp_path, walk)
    left[0] = 99
    told = write(tmp_path, samples.line(3))
    assert not told.kept
    assert not told.failed
    (tmp_path / "report.html").write_text("my own words")
    assert [k.split()[0] for k in write(tmp_path, samples.line(3)).kept] == ["report.html"]


def test_a_failed_writer_is_named_and_the_rest_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object, **__: object) -> bytes:
        raise RuntimeError("no fonts")

    monkeypatch.setattr("pipeline.writers.to_docx.to_docx", fail)
    told = write(tmp_path, samples.line(3))
    assert [f.split(":")[0] for f in told.failed] == ["report.docx", "report-hand-out.docx"]
    assert (tmp_path / "report.html").is_file()
    assert not (tmp_path / "report.docx").exists()


def test_the_listing(tmp_path: Path) -> None:
    write(tmp_path, samples.line(3))
    text = (tmp_path / "listing.txt").read_text()
    public, withheld = text.split("-- for the seller")
    for private in ("K-4471", "Dock", "45,000", "555-0143", "7.5 hp", "40 gal", "jump", "9 ft"):
        assert private not in public
    assert "Seller states: “runs good" in public
    assert "7.5 hp" in withheld
    assert "serial" in withheld
    assert not re.search(r"\b(safe|complies|guaranteed|sufficient)\b", text)
    short = (tmp_path / "listing.short.txt").read_text()
    assert len(short) < len(public)
    expanded = jsonld.expand(json.loads((tmp_path / "listing.jsonld").read_text()))[0]
    assert expanded["@type"] == ["https://schema.org/Product"]
    values = expanded["https://schema.org/additionalProperty"]
    assert [v["https://schema.org/unitCode"][0]["@value"] for v in values] == ["FOT", "FAH", "FOT"]


def test_html_plays_from_each_reference(tmp_path: Path) -> None:
    sound = tmp_path / "a #1.ogg"
    sound.write_bytes(b"x")
    folder = tmp_path / "out"
    write(folder, samples.line(3), recording=sound)
    tree = html5lib.parse((folder / "report.html").read_text(), namespaceHTMLElements=False)
    assert tree.find(".//audio").get("src") == "../a%20%231.ogg"
    assert "3.00" in [b.get("data-at") for b in tree.iter("button")]
    assert "<audio" not in (folder / "report-hand-out.html").read_text()


def test_speed(tmp_path: Path) -> None:
    write(tmp_path / "warm", samples.line(3))
    folders = iter("abc")

    def many() -> None:
        assert not write(tmp_path / next(folders), samples.many(120)).failed

    # the bar of the specification: all documents of a walk of five minutes without pictures
    bar = 1.5 * slowness()
    assert least_seconds(many, bar) < bar


def test_fill_reads_answers_back(tmp_path: Path) -> None:
    write(tmp_path, samples.line(3))
    path = tmp_path / "punch-list.xlsx"
    assert read_filled(path)[1] == ()
    book = openpyxl.load_workbook(path)
    book["Punch list"]["B2"], book["Punch list"]["E2"] = "x", "six, counted"
    book["Identity"]["D5"] = "M-12"
    book["Figures"]["G2"], book["Figures"]["B3"] = 53, "x"
    book["Equipment"]["D2"] = 6
    for cell, value in zip(("A2", "B2", "C2", "D2"), ("pump", "voltage", 480, "volt"), strict=True):
        book["New figures"][cell] = value
    book.save(path)
    source, entries = read_filled(path)
    assert source == samples.SOURCE.sha256
    assert [(e.act, e.ref, e.set) for e in entries] == [
        ("settle", "f1", {}), ("add", "identity:model", {"field": "model", "value": "M-12"}),
        ("change", "q1", {"value": 53, "value_max": None}), ("confirm", "q2", {}), ("change", "c1", {"count": 6}),
        ("add", "", {"subject": "pump", "property": "voltage", "value": 480, "unit": "volt"}),
    ]  # fmt: skip


def test_fill_refuses_what_is_no_punch_list(tmp_path: Path) -> None:
    bad = tmp_path / "x.xlsx"
    bad.write_bytes(b"no zip")
    with pytest.raises(UsageError):
        read_filled(bad)
    with zipfile.ZipFile(bad, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("bomb", b"0" * (60 << 20))
    with pytest.raises(UsageError, match="unpacks to more"):
        read_filled(bad)


def test_letterhead(tmp_path: Path) -> None:
    own = Document()
    own.add_paragraph("old text of a letter")
    own.sections[0].header.paragraphs[0].text = "Invented Appraisals"
    path = tmp_path / "own.docx"
    own.save(str(path))
    report = build(samples.line(3), samples.transcript(), made="2026-01-02", profile=Profile(template=str(path)))
    made = Document(io.BytesIO(to_docx(report, plan=plans(samples.line(3)))))
    assert made.sections[0].header.paragraphs[0].text == "Invented Appraisals"
    assert "old text of a letter" not in [p.text for p in made.paragraphs]
    own.part.relate_to("http://x.invalid/a", "http://x.invalid/t", is_external=True)
    own.save(str(path))
    with pytest.raises(ValueError, match="outside itself"):
        letterhead(path)
    with zipfile.ZipFile(path, "a") as archive:
        archive.writestr("word/vbaProject.bin", b"x")
    with pytest.raises(ValueError, match=r"macros|outside"):
        letterhead(path)


def test_profile_faults_are_named(tmp_path: Path) -> None:
    path = tmp_path / "profile.toml"
    path.write_text('issuer = "Invented"\npaper = "A3"')
    with pytest.raises(ValueError, match="paper"):
        load_profile(path)


def test_pictures_come_from_near_the_words_without_place_data(tmp_path: Path) -> None:
    import av
    import numpy as np
    from PIL import Image

    from pipeline.pictures import pictures

    film = tmp_path / "walk.mp4"
    dice = np.random.default_rng(1)
    scenes = [np.kron(dice.integers(0, 255, (12, 16, 3), dtype=np.uint8), np.ones((20, 20, 1), np.uint8))
              for _ in range(2)]  # fmt: skip
    with av.open(str(film), "w") as out:
        stream = out.add_stream("libx264", rate=10)
        stream.width, stream.height, stream.pix_fmt, stream.gop_size = 320, 240, "yuv420p", 10
        for n in range(200):
            # scene one for ten seconds, then scene two; the seconds at each end are black
            frame = scenes[n // 100] if 20 < n % 100 < 80 else np.zeros_like(scenes[0])
            out.mux(stream.encode(av.VideoFrame.from_ndarray(frame, format="rgb24")))
        out.mux(stream.encode(None))
    photos = tmp_path / "photos"
    photos.mkdir()
    exif = Image.Exif()
    exif[0x8825] = {1: "N", 2: (51.0, 30.0, 0.0)}  # GPS, as Exif 2.32 numbers its tags
    Image.new("RGB", (50, 40)).save(photos / "name_plate.jpg", exif=exif)
    (photos / "bad.jpg").write_bytes(b"no picture")
    walk = Walk(samples.SOURCE, components=(Component("c1", "pump", evidence=samples.at(4)),
                Component("c2", "the pump again", evidence=samples.at(5)),
                Component("c3", "tank", evidence=samples.at(14))))  # fmt: skip
    found, faults = pictures(walk, film, photos)
    assert [p.caption.split(" (")[0] for p in found] == ["pump", "tank", "name plate"]
    assert 2 <= (found[0].start or 0) <= 9
    assert 12 <= (found[1].start or 0) <= 19
    assert len(faults) == 1
    for p in found:
        assert not Image.open(io.BytesIO(p.jpeg)).getexif()
    report = build(walk, samples.transcript(), made="2026-01-02", pictures=found)
    assert len(Document(io.BytesIO(to_docx(report))).inline_shapes) == 4  # the cover's, and the sheet's three


def test_words_of_conditions_and_defects_are_filtered_where_others_read_them(tmp_path: Path) -> None:
    told = "Oswin says it leaks, $900 to mend, 555-0143 1122"
    walk = Walk(samples.SOURCE, components=(Component("c1", "pump", defects=(told,), condition=told,
                                                      evidence=samples.at(1)),))  # fmt: skip
    write(tmp_path, walk)
    for name in ("listing.txt", "listing.jsonld", "listing.csv", "report-hand-out.html"):
        text = (tmp_path / name).read_text()
        assert "it leaks" in text
        for private in ("Oswin", "900", "0143"):
            assert private not in text, name
    assert "Oswin" in (tmp_path / "report.html").read_text()


def test_the_profile_chooses_units_numbers_and_an_appraisal() -> None:
    walk = samples.line(3)
    own = Profile(units="metric", numbers="1.234,5", appraisal=True)
    report = build(walk, samples.transcript(), made="2026-01-02", profile=own)
    spec = next(s for s in report.sections if s.key == "specification").tables[0]
    assert spec.headers[2:4] == ("Metric", "Customary")
    assert [r.cells[2:4] for r in spec.rows if r.fact in ("q1", "q4")] == [("≈ 15,8 m", "52 ft"), ("45.000 USD", "")]
    text = everything(report)
    for asked in ("Client", "Intended use", "Premise of value", "Effective date", "Certification"):
        assert asked in text
    assert "Not an appraisal of value." not in text
    assert "Premise" not in everything(build(walk, samples.transcript(), made="2026-01-02"))


def test_the_plan_is_to_scale_only_where_every_length_was_said() -> None:
    from dataclasses import replace

    walk = samples.line(3)
    plan = plans(walk)[0]
    assert "Not to scale" in plan.note
    assert plan.length == "52 ft"
    own = tuple(Quantity(f"s{n}", f"station {n}", "length", feet, "foot", evidence=samples.at(n))
                for n, feet in ((1, 10), (2, 20), (3, 12)))  # fmt: skip
    wide = Quantity("w", "line", "width", 8, "foot", evidence=samples.at(4))
    scaled = plans(replace(walk, quantities=(*walk.quantities, *own, wide)))[0]
    assert "to scale as stated" in scaled.note
    one, two, three = scaled.boxes
    # 52 ft in all, 42 ft of stations: two gaps of 5 ft
    assert two.wide / one.wide == pytest.approx(2)
    assert (two.x - one.x - one.wide) / one.wide == pytest.approx(0.5)
    assert (three.x + three.wide - one.x) / one.high == pytest.approx(52 / 8)
    longer = replace(own[0], value=40)
    assert "Not to scale" in plans(replace(walk, quantities=(*walk.quantities, longer, *own[1:])))[0].note
    assert "not to scale" not in svg(scaled)
    assert png(scaled)


def test_photos_stand_where_they_were_taken_and_a_killed_child_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from dataclasses import replace

    from PIL import Image

    from pipeline import pictures as module

    for name, taken in (("a_nameplate", "2026:01:02 10:03:20"), ("b_other_day", "2026:01:03 10:03:20")):
        exif = Image.Exif()
        exif.get_ifd(0x8769).update({0x9003: taken, 0x9011: "+00:00"})  # tags of Exif 2.32
        Image.new("RGB", (50, 40)).save(tmp_path / f"{name}.jpg", exif=exif)
    walk = Walk(replace(samples.SOURCE, recorded="2026-01-02T10:00:00+00:00"),
                components=(Component("c1", "pump", evidence=samples.at(10)),
                            Component("c2", "tank", evidence=samples.at(200))))  # fmt: skip
    found, faults = module.pictures(walk, None, tmp_path, camera_ahead=120.0)
    # 3 min 20 s after the start by a clock that is 2 min ahead: second 80, when the pump was the last thing named
    assert [(p.caption, p.start) for p in found] == [("a nameplate – pump (1:20)", 80.0), ("b other day", None)]
    assert not faults
    monkeypatch.setattr(module, "CPU", 0)
    found, faults = module.pictures(walk, None, tmp_path)
    assert not found
    assert len(faults) == 2


def test_every_fact_of_walk_json_is_in_the_docx_once(tmp_path: Path) -> None:
    from pipeline.report_shapes import Moment
    from pipeline.walk import to_dict

    for walk in (samples.line(16), samples.many(60), samples.single()):
        folder = tmp_path / str(len(walk.quantities))
        write(folder, walk)
        facts = json.loads(json.dumps(to_dict(walk)))
        tables = [[[c.text for c in r.cells] for r in t.rows] for t in Document(str(folder / "report.docx")).tables]
        spec = next(t for t in tables if t[0][:3] == ["Of", "What", "As stated"])
        column = {name: n for n, name in enumerate(spec[0])}
        standing = [q for q in facts["quantities"] if q["status"] != "withdrawn"]
        assert len(spec) - 1 == len(standing)
        ureg = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
        signs = {"ft": "foot", "m": "meter", "lb": "pound", "kg": "kilogram", "°F": "degF", "°C": "degC", "hp": "hp",
                 "kW": "kilowatt", "gal/min": "gallon/minute", "L/min": "liter/minute", "USD": ""}  # fmt: skip
        for row, q in zip(spec[1:], standing, strict=True):
            assert row[0] == q["subject"]
            assert row[-1] == Moment(q["evidence"][0]["start"]).label
            said = row[column["As stated"]].removeprefix("about ")
            if feet := re.fullmatch(r"(\d+) ft (\d+) in", said):
                value, unit = int(feet[1]) + int(feet[2]) / 12, "foot"
            else:
                figure_, sign = said.split(" ", 1)
                value, unit = float(figure_.replace(",", "")), signs[sign]
            assert value == pytest.approx(q["value"])
            assert row[column["As stated"]].startswith("about ") is q["approximate"]
            other = row[column["Converted ≈"]]
            if other:  # read by pint itself, to the three figures that are promised
                number_, sign = other.split(" ", 1)
                back = ureg.Quantity(float(number_.replace(",", "")), signs[sign]).to(unit).magnitude
                assert back == pytest.approx(q["value"], rel=6e-3)
            assert bool(other) == (q["unit"] != "USD")


@pytest.mark.skipif(
    not (shutil.which("soffice") and shutil.which("pdftotext")), reason="LibreOffice or poppler is not installed"
)
def test_an_independent_reader_opens_every_docx_and_no_page_is_blank(tmp_path: Path) -> None:
    names = ("three", "one", "none", "many", "hostile")
    for name in names:
        drawn = plans(WALKS[name])
        report = build(WALKS[name], samples.transcript(), made="2026-01-02", profile=Profile(paper="Letter"))
        (tmp_path / f"{name}.docx").write_bytes(to_docx(report, plan=drawn))
    command = ["soffice", f"-env:UserInstallation={(tmp_path / 'user').as_uri()}", "--headless", "--convert-to", "pdf",
               "--outdir", str(tmp_path), *(str(tmp_path / f"{n}.docx") for n in names)]  # fmt: skip
    subprocess.run(command, check=True, timeout=240, capture_output=True)
    for name in names:
        text = subprocess.run(["pdftotext", "-layout", str(tmp_path / f"{name}.pdf"), "-"], check=True,
                              capture_output=True, text=True).stdout  # fmt: skip
        pages = text.split("\f")[:-1]
        for page in pages:
            # the foot alone is no page
            assert len([line for line in page.splitlines() if line.strip()]) > 2, name
        assert "Appendix" in pages[-1] or name == "hostile"
