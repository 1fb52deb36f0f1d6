"""Sheets of different layouts as sentences. Written for this test; common practice of sheets, no source."""

from __future__ import annotations

from pathlib import Path

import pytest

from extractors.extract import extract
from pipeline.addenda import join
from pipeline.paper import read_paper
from pipeline.paper_rows import spoken, unwrapped
from vocab import builtin


def lines(*rows: list[str]) -> list[str]:
    return spoken(rows, builtin())


def test_a_table_is_told_by_its_heads() -> None:
    assert lines(
        ["Tank", "Function", "Length (mm)", "Temp. (°C)"],
        ["1", "Degrease", "2400", "65"],
        ["2", "Rinse", "1200", ""],
    ) == ["", "tank 1 is Degrease, length 2400mm, temperature 65°C", "tank 2 is Rinse, length 1200mm"]


def test_a_list_is_told_with_its_counts_and_without_its_sums() -> None:
    assert lines(
        ["Pos", "Description", "Qty", "Unit price EUR", "Total EUR"],
        ["1", "Linear robot, 3 axis", "1", "6,900.00", "6,900.00"],
        ["2", "Belt conveyor 2.5 m x 300 mm", "3", "620.00", "1,860.00"],
        ["", "Subtotal", "", "", "8,760.00"],
    ) == ["", "1 Linear robot, 3 axis, price 6,900.00 EUR", "3 Belt conveyor 2.5 m by 300 mm, price 620.00 EUR", ""]


def test_a_head_in_words_that_are_not_known_may_name_what_stands_under_it() -> None:
    rows = [["Bezeichnung", "Qty", "Power (kW)"], ["Mixer", "2", "7,5"], ["Screw feeder", "1", "1,1"]]
    assert lines(*rows)[1:] == ["2 Mixer, power 7.5kW", "1 Screw feeder, power 1.1kW"]


def test_a_plate_has_its_units_before_the_figures() -> None:
    plate = [
        "TYPE  SC-75W     NO. 4410-2291",
        "MFG. DATE 03/2015",
        "KW 55    HP 75    RPM 2950",
        "V 400    HZ 50    PH 3",
    ]
    assert spoken(unwrapped(plate), builtin()) == [
        "model SC-75W. serial number 4410-2291",
        "year of build 2015",
        "55KW. 75HP. 2950 RPM",
        "400V. 50HZ. 3 phase",
    ]


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (["Overall width", "1,850 mm"], "Overall width 1,850 mm"),
        (["Length (mm)", "2600"], "Length 2600mm"),
        (["S/N", "4410-22"], "serial number 4410-22"),
        (["No.", "4"], "No. 4"),
        (["Year", "03/2015"], "year of build 2015"),
        (["Connected load", "46 kW"], "power 46 kW"),
        (["Supply", "400 V / 3 ph / 50 Hz"], "voltage 400 V, 3 phase, 50 Hz"),
        (["Capacity", "450 trays/h"], "Capacity 450 trays per hour"),
        (["Belt speed", "1.5 - 4 m/min"], "Belt speed 1.5 to 4 m/min"),
        (["Bed", "60 x 30 in"], "Bed 60 by 30in"),
        (["Full load current", "65 A"], "Full load current 65A"),
        (["Stock", "2 in stock"], "Stock 2 in stock"),
        (["Approx. weight 7,800 lbs"], "weight about 7,800 lbs"),
        (["It runs at 230 V: see the plate"], "It runs at 230 V see the plate"),
    ],
    ids=lambda v: v if isinstance(v, str) else None,
)
def test_a_row_alone(row: list[str], said: str) -> None:
    assert lines(row) == [said]


def test_a_heading_names_the_part_of_the_rows_under_it() -> None:
    told = lines(["Rinse pump"], ["Power", "4 kW"], [], ["Dimensions"], ["Height", "2 m"])
    assert told == ["Rinse pump", "Rinse pump, Power 4 kW", "", "Dimensions", "Height 2 m"]


def test_points_part_thousands_only_beside_decimal_commas() -> None:
    assert lines(["Weight", "1.850 kg"], ["Width", "2,4 m"]) == ["Weight 1,850 kg", "Width 2.4 m"]
    assert lines(["Weight", "1.850 kg"]) == ["Weight 1.850 kg"]


def test_prose_broken_at_a_margin_is_read_as_one() -> None:
    rows = unwrapped(["The drum is forty feet long and turns, with a drive of 60", "hp at 460 V.", "", "Price: 12"])
    assert rows[0][0].endswith("of 60 hp at 460 V.")
    assert [bool(r) for r in rows] == [True, False, False, True]


def test_rows_of_a_sheet_are_read_each_by_itself(tmp_path: Path) -> None:
    """The weight is not the motor's, though it stands under it."""
    path = tmp_path / "sheet.txt"
    path.write_text("Machine: tray washer\nMotor: 10 hp\nCycle time: 45 s\nWeight: 2300 kg\n", encoding="utf-8")
    joined, _ = join([(path.name, read_paper(path, builtin()), True)])
    found = {q.property: q.subject for q in extract(joined, builtin()).quantities}
    assert found["power"] == "motor"
    assert found["weight"] == "tray washer"
    assert found["cycle"] == "tray washer"


@pytest.mark.parametrize(
    ("encoding", "text"), [("cp1252", "Width;2,4 m\nHeat;85 °C\n"), ("utf-16", "Width\t2.4 m\nHeat\t85 °C\n")]
)
def test_a_csv_as_spreadsheets_save_it(encoding: str, text: str, tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_bytes(text.encode(encoding))
    assert [w.text for w in read_paper(path, builtin()).words] == ["Width", "2.4", "m.", "Heat", "85", "°C."]
