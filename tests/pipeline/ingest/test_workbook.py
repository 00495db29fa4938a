"""Workbooks written by another library are read cell for cell as a person sees them.

The date systems are those of ECMA-376 part 1, 18.17.4.1: days since 1899-12-30 (with March 1900 and later), or since
1904-01-01.
"""

import io
import zipfile
from collections.abc import Callable
from datetime import date, datetime, time
from typing import Any

import pytest
import xlsxwriter

from pipeline.errors import FileError
from pipeline.ingest import workbook_archive
from pipeline.ingest.cells import FileCells, read_cells
from pipeline.ingest.layout_files import read_layout
from pipeline.ingest.source import SourceFile, decode_source
from pipeline.ingest.tables import LineAccount
from pipeline.ingest.value_text import read_value
from pipeline.ingest.workbook import open_workbook
from pipeline.vocabulary import ValueKind

NARROW = """
name = "ours"
signature = ["Site", "Test"]
{keys}
[columns]
sample = "Sample"
point = "Site"
analyte = "Test"
value = "Found"
unit = "Unit"
collected = ["Day", "Hour"]
"""
HEADER = ["Site", "Test", "Found", "Unit", "Day", "Hour", "Sample"]
ROW = ["FW", "Iron", 0.3, "mg/L", "2026-05-04", "08:15", "S1"]


def workbook(write: Callable[[Any], None], **options: object) -> SourceFile:
    content = io.BytesIO()
    with xlsxwriter.Workbook(content, options) as book:
        write(book)
    return decode_source("june.xlsx", content.getvalue())


def texts(source: SourceFile) -> list[list[str]]:
    """The texts of the first sheet."""
    return [record.fields for record in open_workbook(source)[0].records()]


def text_of(value: object, number_format: str = "General", **options: object) -> str:
    """The text of one cell."""

    def write(book: Any) -> None:
        book.add_worksheet().write(0, 0, value, book.add_format({"num_format": number_format}))

    return texts(workbook(write, **options))[0][0]


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (12, "12"), (12.0, "12"), (0.1, "0.1"), (0.50, "0.5"), (0.1 + 0.2, "0.3"), (1 / 3, "0.333333333333333"),
        (123456789012345, "123456789012345"), (-2.5, "-2.5"), (1e-07, "1e-07"), ("0.50", "0.50"), (" <1 ", " <1 "),
        ("007", "007"), (True, "TRUE"), (False, "FALSE"), ("two\nlines", "two\nlines"),
    ],
)  # fmt: skip
def test_a_cell_keeps_what_was_written_into_it(value: object, expected: str) -> None:
    assert text_of(value) == expected


@pytest.mark.parametrize(
    ("value", "number_format", "expected", "kind"),
    [
        (0.5, '"<"0.00', "<0.5", ValueKind.BELOW),
        (200.5, "\\>0.0", ">200.5", ValueKind.ABOVE),
        (0.05, "0.0%", "5%", ValueKind.UNREADABLE),
        (0.5, '[<1]"<1";0', '0.5 [[<1]"<1";0]', ValueKind.UNREADABLE),
        (5.0, '0.00 "mg/L"', "5", ValueKind.NUMBER),
        (5.0, "[Red]0.00", "5", ValueKind.NUMBER),
    ],
)
def test_a_sign_that_only_the_format_writes_is_read(
    value: float, number_format: str, expected: str, kind: ValueKind
) -> None:
    text = text_of(value, number_format)
    assert (text, read_value(text).kind) == (expected, kind)


@pytest.mark.parametrize("from_1904", [False, True])
@pytest.mark.parametrize(
    ("value", "number_format", "expected"),
    [
        (date(2026, 5, 4), "yyyy-mm-dd", "2026-05-04"),
        (date(2026, 5, 4), "d/m/yy", "2026-05-04"),
        (datetime(2026, 5, 4, 8, 15), "yyyy-mm-dd hh:mm", "2026-05-04 08:15:00"),  # noqa: DTZ001
        (datetime(2026, 5, 4, 8, 15), "yyyy-mm-dd", "2026-05-04 08:15:00"),  # noqa: DTZ001
        (datetime(2026, 5, 4), "yyyy-mm-dd hh:mm", "2026-05-04 00:00:00"),  # noqa: DTZ001
        (time(8, 15), "hh:mm", "08:15:00"),
    ],
)
def test_a_date_is_a_date_in_both_systems(from_1904: bool, value: object, number_format: str, expected: str) -> None:
    assert text_of(value, number_format, date_1904=from_1904) == expected


def test_a_date_that_is_a_bare_number_stays_a_number() -> None:
    assert text_of(46146) == "46146"


def test_a_formula_is_its_saved_value() -> None:
    source = workbook(lambda book: book.add_worksheet().write_formula(0, 0, "=B1*2", None, 7.25))
    assert texts(source) == [["7.25"]]


def without_values(source: SourceFile) -> SourceFile:
    """The workbook as a program saves it that does not work out its formulas."""
    content = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(source.content)) as old, zipfile.ZipFile(content, "w") as new:
        for name in old.namelist():
            new.writestr(name, old.read(name).replace(b"<v>0</v>", b""))
    return decode_source(source.name, content.getvalue())


def test_a_formula_without_a_value_cannot_be_read_and_says_so() -> None:
    source = without_values(workbook(lambda book: book.add_worksheet().write_formula(0, 0, "=B1*2")))
    assert texts(source) == [["=B1*2"]]
    assert "its value was not saved" in read_value("=B1*2").problem


@pytest.mark.parametrize("error", ["#N/A", "#DIV/0!", "#VALUE!"])
def test_an_error_cannot_be_read_as_a_value(error: str) -> None:
    (row,) = texts(workbook(lambda book: book.add_worksheet().write_formula(0, 0, "=1/0", None, error)))
    assert row == [error]
    assert read_value(error).kind is ValueKind.UNREADABLE


def read(write: Callable[[Any], None], keys: str = "") -> FileCells:
    return read_cells(workbook(write), read_layout("x.toml", NARROW.format(keys=keys)))


def found(cells: FileCells) -> list[tuple[int, str, str]]:
    columns = (cells.table.column(name).to_pylist() for name in ("line", "column_name", "value_text"))
    return list(zip(*columns, strict=True))


def sheet(book: Any, name: str, *rows: list[Any]) -> Any:
    """A sheet with these rows from the third line on, a title above them."""
    made = book.add_worksheet(name)
    made.write(0, 0, f"Report of {name}")
    for line, row in enumerate(rows, start=2):
        made.write_row(line, 0, row)
    return made


def test_every_sheet_is_read_and_named_beside_its_row() -> None:
    def write(book: Any) -> None:
        sheet(book, "Week 1", HEADER, ROW)
        sheet(book, "Week 2", HEADER, ROW, ROW)

    cells = read(write)
    assert found(cells) == [(4, "Week 1!Found", "0.3"), (4, "Week 2!Found", "0.3"), (5, "Week 2!Found", "0.3")]
    assert cells.lines == LineAccount(title=2, header=2, blank=2, data=3)
    assert cells.encoding == "workbook"


def test_sheets_that_are_left_out_or_hidden_are_said() -> None:
    def write(book: Any) -> None:
        sheet(book, "Week 1", HEADER, ROW)
        sheet(book, "Week 2", HEADER, ROW).hide()
        sheet(book, "Week 3", ["nothing"])
        sheet(book, "Draft", HEADER, ROW)

    cells = read(write, 'sheets = ["week *"]')
    assert [line for line, _, _ in found(cells)] == [4, 4]
    assert cells.remarks == (
        'The sheet "Week 2" is hidden; it was read.',
        'The sheet "Week 3" was not read: it has no table that the layout knows.',
        'The sheet "Draft" was not read: the layout leaves it out.',
    )


def test_cells_merged_over_rows_speak_for_each_of_them_outside_the_values() -> None:
    def write(book: Any) -> None:
        made = sheet(book, "Week 1", HEADER, ROW, ["", "Iron", "", *ROW[3:]], ROW)
        made.merge_range(3, 0, 4, 0, "RO")
        made.merge_range(3, 2, 4, 2, 7)

    cells = read(write)
    assert cells.table.column("point_text").to_pylist() == ["RO", "RO", "FW"]
    assert cells.table.column("value_text").to_pylist() == ["7", "", "0.3"]


def test_a_merged_line_above_speaks_for_each_of_its_columns() -> None:
    layout = read_layout(
        "x.toml",
        """
name = "ours"
shape = "crosstab"
signature = ["Sample", "Day"]
[columns]
sample = "Sample"
collected = "Day"
[constants]
point = "FW"
[crosstab]
lines = { unit = -1 }
""",
    )

    def write(book: Any) -> None:
        made = sheet(book, "Week 1", [], ["Sample", "Day", "Iron", "Lead", "Zinc"], ["S1", "2026-05-04", 1, 2, 3])
        made.merge_range(2, 2, 2, 3, "ug/L")
        made.write(2, 4, "mg/L")

    assert read_cells(workbook(write), layout).table.column("unit_text").to_pylist() == ["ug/L", "ug/L", "mg/L"]


def test_a_row_may_end_early_and_may_not_go_on_beyond_the_header() -> None:
    cells = read(lambda book: sheet(book, "Week 1", HEADER, ROW[:3], [*ROW, "see letter"]))
    assert cells.table.column("row_problem").to_pylist() == [
        "",
        "the row has text beyond the last column of the header.",
    ]


def test_a_sheet_may_claim_to_be_larger_or_smaller_than_it_is() -> None:
    source = workbook(lambda book: sheet(book, "Week 1", HEADER, ROW, ROW))
    content = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(source.content)) as old, zipfile.ZipFile(content, "w") as new:
        for name in old.namelist():
            new.writestr(name, old.read(name).replace(b'<dimension ref="A1:G5"/>', b'<dimension ref="A1:B3"/>'))
    cells = read_cells(decode_source("june.xlsx", content.getvalue()), read_layout("x.toml", NARROW.format(keys="")))
    assert len(found(cells)) == 2


def archive(**parts: bytes) -> bytes:
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w", zipfile.ZIP_DEFLATED) as made:
        for name, part in parts.items():
            made.writestr(name, part)
    return content.getvalue()


@pytest.mark.parametrize(
    ("content", "said", "remedy"),
    [
        (b"\xd0\xcf\x11\xe0 and more", "old format", "Save it as .xlsx"),
        (archive(**{"xl/workbook.bin": b""}), "binary workbook", "Save it as .xlsx"),
        (archive(**{"content.xml": b""}), r"open format \(.ods\)", "Save it as .xlsx"),
        (archive(**{"june.pdf": b"%PDF"}), "no workbook and no text files", "Unpack it"),
        (b"PK\x03\x04 cut short", "damaged", "save it again"),
    ],
)
def test_what_is_no_workbook_is_refused_with_what_to_do(content: bytes, said: str, remedy: str) -> None:
    with pytest.raises(FileError, match=said) as raised:
        decode_source("june.xlsx", content)
    assert remedy in raised.value.remedy


@pytest.mark.parametrize("part", ["xl/workbook.xml", "xl/worksheets/sheet1.xml"])
def test_a_damaged_part_refuses_the_workbook(part: str) -> None:
    source = workbook(lambda book: sheet(book, "Week 1", HEADER, ROW))
    with zipfile.ZipFile(io.BytesIO(source.content)) as old:
        parts = {name: old.read(name) for name in old.namelist()}
    damaged = archive(**(parts | {part: parts[part][:-40]}))
    with pytest.raises(FileError, match="damaged"):
        read_cells(decode_source("june.xlsx", damaged), read_layout("x.toml", NARROW.format(keys="")))


def test_a_workbook_that_would_fill_the_memory_is_refused_unread(monkeypatch: pytest.MonkeyPatch) -> None:
    assert workbook_archive.LARGEST_UNPACKED_BYTES == 400_000_000
    monkeypatch.setattr(workbook_archive, "LARGEST_UNPACKED_BYTES", 2_000_000)
    bomb = archive(**{"xl/workbook.xml": b" " * 2_000_001})
    assert len(bomb) < 20_000
    with pytest.raises(FileError, match="unpacks to 2 MB") as raised:
        decode_source("june.xlsx", bomb)
    assert "as CSV" in raised.value.remedy
