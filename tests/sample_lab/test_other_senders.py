"""The plant's other senders have the habits that they are said to have, and their defects stand where the list says."""

import csv
import io
from collections.abc import Callable
from datetime import datetime
from functools import cache
from statistics import mean

import openpyxl
import pytest

from sample_lab import PlantedDefect, planted_defects
from sample_lab.generator.deliveries import deliveries
from sample_lab.generator.points import Point
from sample_lab.generator.senders import custody, fernholm, harrowfen, tarn_basin
from sample_lab.generator.senders.bench import tests as listed_tests
from sample_lab.generator.trace import traces

CONTENT = {file.name: file.content for file in deliveries()}
ELSEWHERE = [d for d in planted_defects() if d.line is not None and not d.file.startswith("tarnwick")]


def _rows(name: str) -> list[list[str]]:
    """The rows of a delimited file, by physical line; none of these files breaks a line inside a cell."""
    encoding, delimiter = ("cp1252", ";") if name.startswith("fernholm") else ("utf-8", ",")
    return list(csv.reader(io.StringIO(CONTENT[name].decode(encoding), newline=""), delimiter=delimiter))


@cache
def _sheets(name: str) -> dict[str, list[list[str]]]:
    """The rows of each sheet of a workbook, as texts."""
    book = openpyxl.load_workbook(io.BytesIO(CONTENT[name]), read_only=True)
    return {
        sheet.title: [["" if cell is None else str(cell) for cell in row] for row in sheet.iter_rows(values_only=True)]
        for sheet in book.worksheets
    }


def _cell(defect: PlantedDefect) -> tuple[str, str]:
    """What stands in the value's cell of a defect and in the column at fault, as texts."""
    assert defect.line is not None
    rows = _sheets(defect.file)[defect.sheet] if defect.sheet else _rows(defect.file)
    heading = next(row for row in reversed(rows[: defect.line]) if defect.cell in row)
    row = rows[defect.line - 1]
    assert defect.result_id in row
    at_fault = row[heading.index(defect.column)] if defect.column in heading else ""
    return row[heading.index(defect.cell)], at_fault


STANDS_THERE: dict[str, Callable[[str, str], bool]] = {
    "month first among days first": lambda _, at_fault: at_fault.startswith("4.29."),
    "remark in place of a number": lambda value, _: value == "see letter",
    "decimal point among decimal commas": lambda value, _: value == "0.31",
    "late extraction of a block": lambda _, at_fault: at_fault == "12.05.2025 10:30",
    "zero in a crosstab": lambda value, _: value == "0",
    "unknown point in a crosstab": lambda _, at_fault: at_fault == "QW-09 ?",
    "broken vial": lambda value, _: value == "not analyzed",
    "non-detect with its limit in a line of its own": lambda value, _: value == "ND",
    "negative number in a crosstab": lambda value, _: value == "-0,4",
    "unknown heading of a crosstab": lambda value, _: value != "",
    "unit of the wrong kind below a heading": lambda value, _: value != "",
    "the same row twice": lambda value, _: value != "",
    "equal rows but for one value": lambda value, _: value != "",
    "preliminary block": lambda _, at_fault: at_fault == "preliminary",
    "partial reissue with a revision number": lambda value, _: value in ("<2,0", "2,0", "2,1") or value < "6,4",
    "reissue, unchanged": lambda _, at_fault: at_fault == "1",
    "full reissue, two samples exchanged": lambda _, at_fault: "permeate" in at_fault,
    "full reissue, corrected time": lambda _, at_fault: at_fault.startswith("14.07.2026 09:"),
    "error of a formula": lambda value, _: value == "#DIV/0!",
    "thousands separated by a comma": lambda value, _: value == "6,400",
    "too many to count": lambda value, _: value == "TNTC",
    "unknown site on a sheet": lambda _, at_fault: at_fault == "UF rack 4",
    "late plates": lambda _, at_fault: at_fault > "2025-08-12 20",
    "date typed as text": lambda _, at_fault: at_fault == "10/2/26 8.51",
    "late elution": lambda _, at_fault: at_fault.startswith("2026-04-19"),
    "sheet copied in a workbook": lambda _, at_fault: at_fault.startswith("HM2503"),
    "workbook sent again with a corrected month": lambda value, _: value != "310",
    "workbook sent again, unchanged": lambda _, at_fault: at_fault == "2",
    "phosphate without a basis in WQX": lambda _, at_fault: at_fault == "",
    "a number beside a condition that denies it": lambda value, _: value == "31.2",
    "detection condition outside the standard": lambda _, at_fault: at_fault == "Below background",
    "no unit in WQX": lambda _, at_fault: at_fault == "",
    "late incubation in WQX": lambda _, at_fault: at_fault == "2025-04-11",
    "rejected in WQX": lambda _, at_fault: at_fault == "Rejected",
    "preliminary in WQX": lambda _, at_fault: at_fault == "Provisional",
    "results sent again with the next year's": lambda _, __: True,
    "told by telephone": lambda value, at_fault: value.isdigit() and at_fault == "preliminary",
    "lost decimal point on a field sheet": lambda value, _: value == "71.2",
    "decimal comma on a field sheet": lambda value, _: value == "20,4",
    "doubt on a field sheet": lambda value, _: value.endswith("?"),
    "probe broken on the round": lambda value, _: value == "not analyzed",
    "unknown point on a custody sheet": lambda _, at_fault: at_fault == "BAC filter 7",
    "unknown purpose": lambda _, at_fault: at_fault == "Recheck",
    "no time of collection on a custody sheet": lambda _, at_fault: at_fault == "",
    "date of collection in another form": lambda _, at_fault: at_fault.startswith("5/13"),
    "received before collected": lambda _, at_fault: at_fault == "2025-09-09 08:01",
    "the same custody line twice": lambda _, __: True,
    "one sample, two times": lambda _, at_fault: at_fault.startswith("2026-02-10"),
    "custody sheet corrected": lambda _, at_fault: at_fault[11:] > "09:00",
    "custody sheet sent again": lambda _, at_fault: at_fault == "2",
    "another time than in the sample log": lambda _, at_fault: at_fault.endswith("08:05"),
}


def test_every_kind_of_the_list_has_its_proof() -> None:
    assert {defect.kind for defect in ELSEWHERE} == STANDS_THERE.keys()


@pytest.mark.parametrize("kind", STANDS_THERE)
def test_defect_stands_in_its_cell(kind: str) -> None:
    for defect in [defect for defect in ELSEWHERE if defect.kind == kind][:20]:
        assert STANDS_THERE[kind](*_cell(defect)), defect


def test_a_hundred_and_twenty_seven_analytes_of_four_laboratories() -> None:
    others = {test.analyte for table in ("fernholm", "harrowfen", "tarn_basin") for test in listed_tests(table)}
    assert others == {trace.analyte for trace in traces()}
    assert len(others) + 60 == 127


def test_crosstabs_have_decimal_commas_and_three_blocks() -> None:
    rows = _rows("fernholm_2026-01.csv")
    blocks = [row for row in rows if row[: len(fernholm.HEADS)] == list(fernholm.HEADS)]
    assert [len(row) - len(fernholm.HEADS) for row in blocks] == [11, 17, 14]
    assert b"\xb5g/l" in CONTENT["fernholm_2026-01.csv"]
    values = [cell for row in rows if row and row[0].startswith("FH") for cell in row[len(fernholm.HEADS) :]]
    assert not any("." in value and "," in value and value.index(",") < value.index(".") for value in values)
    assert sum("," in value for value in values) > 100


def test_reporting_limits_fell_with_new_instruments() -> None:
    limits = [
        next(row for row in _rows(name) if row and row[0] == "RL")[len(fernholm.HEADS)]
        for name in ("fernholm_2024.csv", "fernholm_2026-01.csv")
    ]
    assert limits == ["4,0", "2,0"]
    first = [cell for row in _rows("fernholm_2024.csv") for cell in row if cell.startswith("<")]
    assert "<4,0" in first
    assert "<2,0" not in {cell for row in _rows("fernholm_2024.csv")[5:40] for cell in row}


def test_a_workbook_has_a_sheet_a_quarter_and_true_dates() -> None:
    book = openpyxl.load_workbook(io.BytesIO(CONTENT["harrowfen_2024.xlsx"]))
    assert len(book.worksheets) == 5
    sheet = book["Nov 2023 to Jan 2024"]
    assert len(sheet.merged_cells.ranges) == 4
    taken = sheet.cell(6, 4)
    assert isinstance(taken.value, datetime)
    assert taken.number_format == "dd-mmm-yy hh:mm"


def test_a_workbook_holds_numbers_and_numbers_as_text() -> None:
    book = openpyxl.load_workbook(io.BytesIO(CONTENT["harrowfen_2024.xlsx"]))
    values = [
        cell
        for sheet in book.worksheets[1:]
        for row in sheet.iter_rows(min_row=6, min_col=len(harrowfen.HEADS) + 1, values_only=True)
        for cell in row
    ]
    assert any(isinstance(value, int | float) for value in values)
    assert any(isinstance(value, str) and value.isdigit() for value in values)


def test_the_agency_sends_the_columns_of_the_open_standard() -> None:
    rows = _rows("tarn_basin_2024.csv")
    assert rows[0] == list(tarn_basin.header())
    assert {row[rows[0].index("Activity_Media")] for row in rows[1:]} == {"Water", "Sediment"}


def test_the_concentrate_holds_what_the_membranes_keep_back() -> None:
    # Balance of masses: at a recovery of 0.85 what hardly passes is 1 / (1 - 0.85) times as much behind the membranes.
    rows = _rows("tarn_basin_2025.csv")
    name, point, value = (
        rows[0].index(column) for column in ("Result_Characteristic", "Location_Identifier", "Result_Measure")
    )
    levels = [
        mean(
            float(row[value]) for row in rows if (row[name], row[point]) == ("Strontium", tarn_basin.WRITTEN_POINTS[at])
        )
        for at in (Point.MEMBRANE_FILTRATE, Point.CONCENTRATE)
    ]
    assert 6.3 < levels[1] / levels[0] < 7.0


def test_custody_sheets_name_roles_and_cover_every_sample() -> None:
    names = [name for name in CONTENT if name.startswith("custody")]
    lines = [dict(zip(custody.COLUMNS, row, strict=True)) for name in names for row in _rows(name)[1:]]
    assert {line["Sampled by"] for line in lines} == {"sampler, early shift", "sampler, late shift", "duty operator"}
    logged = {line["Sample ID"] for line in lines}
    rows = [row for name in CONTENT if name.startswith("fernholm") for row in _rows(name)]
    sampled = {row[2] for row in rows if len(row) > 12 and row[1] == fernholm.CLIENT}
    assert sampled <= logged


def test_the_record_ends_with_samples_at_the_laboratory() -> None:
    rows = [dict(zip(custody.COLUMNS, row, strict=True)) for row in _rows("custody_2025-11_to_2026-10.csv")[1:]]
    october = {
        row["Sample ID"] for row in rows if row["Sent to"] == harrowfen.LABORATORY and row["Collected"] > "2026-10"
    }
    assert len(october) == 7
    book = openpyxl.load_workbook(io.BytesIO(CONTENT["harrowfen_2026.xlsx"]))
    assert book.worksheets[-1].title == "Aug 2026 to Sep 2026"


def test_files_stay_small() -> None:
    assert sum(len(content) for content in CONTENT.values()) < 9_000_000
    assert len(CONTENT) <= 45
