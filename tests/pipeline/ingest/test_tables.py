"""Where tables begin and end in a file, and the account of its lines, counted by hand."""

import pytest

from pipeline.errors import LayoutError
from pipeline.ingest.cells import FileCells, read_cells
from pipeline.ingest.layout_files import read_layout
from pipeline.ingest.source import decode_source
from pipeline.ingest.tables import LineAccount

LAYOUT = """
name = "ours"
signature = ["Site", "Test"]
{keys}
[columns]
point = "Site"
analyte = "Test"
value = "Found"
unit = "Unit"
collected = "Day"
"""
HEADER = "Site,Test,Found,Unit,Day"
ROW = "FW,Iron,{},mg/L,2026-05-04"


def read(*lines: str, keys: str = "", end: str = "\n") -> FileCells:
    return read_cells(
        decode_source("june.csv", end.join(lines).encode()), read_layout("x.toml", LAYOUT.format(keys=keys))
    )


def found(cells: FileCells) -> list[tuple[int, str]]:
    return list(zip(cells.table.column("line").to_pylist(), cells.table.column("value_text").to_pylist(), strict=True))


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_lines_above_the_header_are_title(end: str) -> None:
    cells = read("Report", '"of, June"', "", HEADER, ROW.format(1), ROW.format(2), end=end)
    assert cells.lines == LineAccount(title=2, header=1, blank=1, data=2)
    assert found(cells) == [(5, "1"), (6, "2")]


def test_separators_alone_are_a_blank_line() -> None:
    cells = read(HEADER, ROW.format(1), ",,,,", " , ,,,", ROW.format(2))
    assert (cells.lines.blank, found(cells)) == (2, [(2, "1"), (5, "2")])


def test_blank_lines_are_passed_over_unless_the_table_ends_there() -> None:
    lines = (HEADER, ROW.format(1), "", ROW.format(2))
    assert found(read(*lines)) == [(2, "1"), (4, "2")]
    ended = read(*lines, keys='end = "blank line"')
    assert (found(ended), ended.lines.title) == ([(2, "1")], 1)
    assert ended.remarks == ("1 lines stand below the end of a table and were not read as results.",)


def test_a_footer_ends_the_table_whatever_its_case() -> None:
    cells = read(HEADER, ROW.format(1), ",NOTES: two bottles,,,", "signed", keys='footer = ["notes:"]')
    assert (found(cells), cells.lines) == ([(2, "1")], LineAccount(title=2, header=1, blank=0, data=1))


def test_a_note_that_no_layout_announces_is_held_as_a_row() -> None:
    cells = read(HEADER, ROW.format(1), "Notes: two bottles")
    assert cells.table.column("row_problem").to_pylist() == ["", "the row has 1 cells where the header has 5."]


def test_a_header_that_comes_again_is_no_row() -> None:
    cells = read(HEADER, ROW.format(1), HEADER, ROW.format(2))
    assert (found(cells), cells.lines.header) == ([(2, "1"), (4, "2")], 2)


def test_a_second_table_may_have_its_columns_in_another_order() -> None:
    cells = read(HEADER, ROW.format(1), "Day,Unit,Found,Test,Site", "2026-05-04,mg/L,2,Iron,FW")
    assert found(cells) == [(2, "1"), (4, "2")]
    assert cells.table.column("point_text").to_pylist() == ["FW", "FW"]


def test_a_row_that_holds_a_name_of_the_header_stays_a_row() -> None:
    assert found(read(HEADER, "Site,Iron,1,mg/L,2026-05-04")) == [(2, "1")]


def test_a_file_without_the_header_says_which_name_is_missing() -> None:
    with pytest.raises(LayoutError, match='column "Test" is missing') as raised:
        read("Report of June", "Site,Tests,Found", ROW.format(1))
    assert str(raised.value.place) == "june.csv, line 2"


def test_without_a_header_every_line_is_a_row() -> None:
    names = 'headerless = { names = ["Site", "Test", "Found", "Unit", "Day"], first_cell = "FW" }'
    layout = read_layout("x.toml", LAYOUT.format(keys=names).replace('signature = ["Site", "Test"]', ""))
    text = "\n".join([ROW.format(1), "", ROW.format(2), "FW,Iron"])
    cells = read_cells(decode_source("june.csv", text.encode()), layout)
    assert (found(cells), cells.lines) == ([(1, "1"), (3, "2"), (4, "")], LineAccount(0, 0, 1, 3))
    assert cells.table.column("row_problem").to_pylist()[2] == "the row has 2 cells where the header has 5."


def test_runs_of_blanks_keep_quoted_texts_together() -> None:
    keys = 'delimiter = "blanks"'
    cells = read("Site  Test   Found Unit\tDay", 'FW  "Iron, ""total"""   0.3 mg/L 2026-05-04', keys=keys)
    assert cells.table.column("analyte_text").to_pylist() == ['Iron, "total"']
