"""Any grid of texts, written to a file of any kind by another library, is read back cell for cell."""

import csv
import io

import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.ingest.cells import FileCells, read_cells
from pipeline.ingest.layout import Layout
from pipeline.ingest.layout_files import read_layout
from pipeline.ingest.source import decode_source

# Line breaks inside cells are as they are written; a workbook keeps no lone carriage return, and no other control code.
characters = st.characters(exclude_categories=["Cs", "Cc", "Cn"], exclude_characters="\ufeff\ufffe\uffff")
texts = st.text(characters | st.sampled_from('",;\t\n'), max_size=6)
grids = st.lists(st.tuples(st.sampled_from(["S1", "S 2"]), texts, texts), min_size=1, max_size=6)

HEADER = ["Sample", "Iron", "Lead"]
LAYOUT = """
name = "grid"
shape = "crosstab"
signature = ["Sample", "Iron"]
{keys}
[columns]
sample = "Sample"
[constants]
point = "FW"
collected = "2026-05-04"
unit = "mg/L"
[crosstab]
values = ["Iron", "Lead"]
"""


def layout(keys: str = "") -> Layout:
    return read_layout("grid.toml", LAYOUT.format(keys=keys))


def written(grid: list[tuple[str, ...]], delimiter: str = ",", end: str = "\r\n") -> str:
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=delimiter, lineterminator=end).writerows([HEADER, *grid])
    return text.getvalue()


def read_back(cells: FileCells) -> list[tuple[str, str, str]]:
    rows = cells.table.select(["sample_text", "value_text"]).to_pylist()
    return [
        (iron["sample_text"], iron["value_text"], lead["value_text"])
        for iron, lead in zip(rows[::2], rows[1::2], strict=True)
    ]


@given(grids, st.sampled_from([",", ";", "\t", "|", "^", "~"]), st.sampled_from(["\n", "\r\n"]))
def test_a_grid_survives_every_separator_and_line_end(grid: list[tuple[str, ...]], delimiter: str, end: str) -> None:
    escaped = delimiter.replace("\t", "\\t")
    source = decode_source("grid.csv", written(grid, delimiter, end).encode())
    cells = read_cells(source, layout(f'delimiter = "{escaped}"'))
    assert read_back(cells) == grid
    assert cells.lines.total == len(list(io.StringIO(source.text, newline="")))


@given(grids, st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"]))
def test_a_grid_survives_every_unicode_encoding(grid: list[tuple[str, ...]], encoding: str) -> None:
    # Without a mark, Latin text has to prevail for UTF-16 to be seen: a long title sees to it.
    content = ("Report of the laboratory\r\n" * 10 + written(grid)).encode(encoding)
    assert read_back(read_cells(decode_source("grid.csv", content), layout())) == grid


@given(grids)
def test_a_grid_survives_a_stated_encoding(grid: list[tuple[str, ...]]) -> None:
    cells = read_cells(decode_source("grid.csv", written(grid).encode("utf-16-be")), layout('encoding = "utf-16-be"'))
    assert read_back(cells) == grid


@settings(max_examples=40)
@given(grids, st.lists(texts, max_size=3))
def test_a_grid_survives_a_workbook(grid: list[tuple[str, ...]], titles: list[str]) -> None:
    content = io.BytesIO()
    with xlsxwriter.Workbook(content) as book:
        sheet = book.add_worksheet("May")
        for line, row in enumerate([*([title] for title in titles), HEADER, *grid]):
            for column, text in enumerate(row):
                sheet.write_string(line, column, text)
    cells = read_cells(decode_source("grid.xlsx", content.getvalue()), layout())
    assert read_back(cells) == grid
    assert cells.table.column("line").to_pylist()[0] == len(titles) + 2
