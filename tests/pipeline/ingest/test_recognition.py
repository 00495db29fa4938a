"""Which layout knows a file: titles above the header, separators, encodings, sheets, files without a header."""

import io
from pathlib import Path

import pytest
import xlsxwriter

from pipeline.errors import FileError, LayoutError
from pipeline.ingest.layout import Layout
from pipeline.ingest.layout_files import read_layout
from pipeline.ingest.recognition import HEAD_RECORDS, Heads, choose_layout, recognise
from pipeline.ingest.source import HEAD_BYTES, SourceFile, decode_source

COLUMNS = """
[columns]
point = "Site"
analyte = "Test"
value = "Found"
unit = "Unit"
collected = "Day"
"""
HEADER = ["Site", "Test", "Found", "Unit", "Day"]


def layout(name: str = "ours", head: str = "", signature: str = 'signature = ["Site", "Test"]') -> Layout:
    return read_layout("ours.toml", f'name = "{name}"\n{signature}\n{head}\n{COLUMNS}')


def file(text: str, encoding: str = "utf-8") -> SourceFile:
    return decode_source("june.csv", text.encode(encoding))


def workbook(**sheets: list[list[str]]) -> SourceFile:
    content = io.BytesIO()
    with xlsxwriter.Workbook(content) as book:
        for name, rows in sheets.items():
            sheet = book.add_worksheet(name)
            for line, row in enumerate(rows):
                sheet.write_row(line, 0, row)
    return decode_source("june.xlsx", content.getvalue())


def test_titles_above_the_header_do_not_hide_it() -> None:
    assert choose_layout(file('Report of June\n"Our, laboratory"\n\nSite,Test\n'), [layout()]).name == "ours"


@pytest.mark.parametrize(("above", "known"), [(HEAD_RECORDS - 1, True), (HEAD_RECORDS, False)])
def test_the_header_is_looked_for_at_the_top(above: int, known: bool) -> None:
    source = file("title\n" * above + "Site,Test\n")
    assert (Heads(source).header(layout()) is not None) is known


@pytest.mark.parametrize("delimiter", [";", "\t", "|", "^", "~", ":", "!"])
def test_any_single_character_may_separate(delimiter: str) -> None:
    written = delimiter.replace("\t", "\\t")
    assert choose_layout(file(delimiter.join(HEADER)), [layout(head=f'delimiter = "{written}"')])


def test_runs_of_blanks_may_separate() -> None:
    source = file('Site   Test\t Found Unit Day\n"Mill pond"  Iron    0.3  mg/L 2026-05-04\n')
    assert choose_layout(source, [layout(head='delimiter = "blanks"')])


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_a_header_is_known_in_every_encoding(encoding: str) -> None:
    source = file("Prüfbericht µg/L\nSite,Test\n", encoding)
    assert "Prüfbericht µg/L" in source.text
    assert choose_layout(source, [layout()])


def test_an_encoding_that_cannot_be_found_is_stated() -> None:
    names = layout(head='encoding = "cp437"', signature='signature = ["Prüfung", "Test"]')
    source = file("Prüfung,Test\n", "cp437")  # its bytes are no text in UTF-8, nor in Windows-1252
    assert choose_layout(source, [names]) is names
    with pytest.raises(FileError, match="the bytes are not text in CP1252"):
        choose_layout(source, [layout()])


def test_a_file_without_a_header_is_known_by_its_width_and_first_cell() -> None:
    headerless = 'headerless = { names = ["Site", "Test", "Found", "Unit", "Day"], first_cell = "P-[0-9]+" }'
    daily = layout(head=headerless, signature="")
    assert choose_layout(file("P-1,Iron,0.3,mg/L,2026-05-04\n"), [daily]) is daily
    for other in ("P-1,Iron,0.3,mg/L\n", "Q-1,Iron,0.3,mg/L,2026-05-04\n", "Site\nP-1,Iron,0.3,mg/L,2026-05-04\n"):
        with pytest.raises(LayoutError, match="no layout"):
            choose_layout(file(other), [daily])


def test_a_workbook_is_known_by_any_of_its_sheets() -> None:
    assert choose_layout(workbook(Cover=[["Report"]], Data=[["June"], HEADER]), [layout()])


def test_a_workbook_is_known_only_by_sheets_that_are_read() -> None:
    weeks = layout(head='sheets = ["week *"]')
    assert choose_layout(workbook(**{"Week 1": [HEADER]}), [weeks])
    with pytest.raises(LayoutError, match="no layout knows"):
        choose_layout(workbook(Draft=[HEADER]), [weeks])


def test_no_more_than_the_beginning_of_a_large_file_is_read(tmp_path: Path) -> None:
    path = tmp_path / "large.csv"
    row = "FW,Iron,0.3,µg/L,2026-05-04\n".encode()
    # Bytes that are no text stand behind the head: whoever reads on stumbles over them.
    path.write_bytes(b"Site,Test,Found,Unit,Day\n" + row * (HEAD_BYTES // len(row)) + b"\x00\x81" * 1000)
    assert recognise(path, [layout()]).name == "ours"


def test_a_broken_line_further_down_does_not_hide_the_header() -> None:
    assert choose_layout(file('Site,Test\n"a"b,2\n'), [layout()])


def test_the_likeliest_header_is_the_widest_line() -> None:
    delimiter, header = Heads(file("Report; June\nSite;Test;Found\nFW;Iron;0,3\n")).likely_header()
    assert (delimiter, header) == (";", ["Site", "Test", "Found"])
