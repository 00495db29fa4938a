"""Files as delivered. The record and line counts are checked against Python's csv module and plain line counting."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.errors import FileError
from pipeline.ingest.source import decode_source, records


def _file(content: bytes | str) -> object:
    return decode_source("file.csv", content.encode() if isinstance(content, str) else content)


@pytest.mark.parametrize("content", [b"", b"  \r\n \n"])
def test_an_empty_file_is_refused(content: bytes) -> None:
    with pytest.raises(FileError, match="empty"):
        _file(content)


@pytest.mark.parametrize(
    ("content", "said"),
    [(b"PK\x03\x04rest", "workbook"), (b"%PDF-1.7", "PDF"), (b"PAR1xx", "Parquet"), (b"a,b\n\x00\x01", "zero bytes")],
)
def test_a_binary_file_is_named(content: bytes, said: str) -> None:
    with pytest.raises(FileError, match=said):
        list(records(_file(content), ","))


def test_a_file_cut_inside_quotes_names_the_line() -> None:
    with pytest.raises(FileError, match=r"line 3.*never closed"):
        list(records(_file('a,b\n1,2\n"x,3\n4,5\n'), ","))


def test_text_after_a_closing_quote_is_refused() -> None:
    with pytest.raises(FileError, match=r"line 2.*followed by text"):
        list(records(_file('a,b\n"x"y,3\n'), ","))


def test_one_endless_line_is_refused() -> None:
    with pytest.raises(FileError, match="one line has 100,000,000 characters"):
        list(records(_file(b"x" * 100_000_000), ","))


@pytest.mark.parametrize(
    ("content", "encoding"),
    [("µg/L".encode(), "utf-8"), ("µg/L".encode("utf-8-sig"), "utf-8-sig"), ("µg/L".encode("utf-16"), "utf-16"),
     ("µg/L".encode("cp1252"), "cp1252")],
)  # fmt: skip
def test_the_encoding_is_found(content: bytes, encoding: str) -> None:
    source = _file(content)
    assert (source.text, source.encoding) == ("µg/L", encoding)


@pytest.mark.parametrize("encoding", ["utf-16-le", "utf-16-be"])
def test_a_letter_with_a_zero_byte_does_not_hide_utf_16(encoding: str) -> None:
    text = "Report of the laboratory, page 1: Ā\n"  # U+0100, whose two bytes are 01 and 00
    source = decode_source("file.csv", text.encode(encoding))
    assert (source.text, source.encoding) == (text, encoding)


def test_lines_count_through_quoted_line_breaks_and_blank_lines() -> None:
    found = list(records(_file('a,b\r\n\r\n"x\r\ny",2\r\n3,4\r\n'), ","))
    assert [(record.line, record.last_line) for record in found] == [(1, 1), (2, 2), (3, 4), (5, 5)]


cell = st.text(
    st.characters(exclude_categories=("Cs",), exclude_characters="\x00\x85\u2028\u2029\x1c\x1d\x1e\x0b\x0c"), max_size=8
)


@given(st.lists(st.lists(cell, min_size=2, max_size=4), min_size=1, max_size=8))
def test_what_was_written_is_what_is_read(rows: list[list[str]]) -> None:
    buffer = io.StringIO(newline="")
    csv.writer(buffer, lineterminator="\r\n").writerows(rows)
    content = buffer.getvalue().encode()
    if content.strip():
        assert [record.fields for record in records(decode_source("f.csv", content), ",")] == rows
