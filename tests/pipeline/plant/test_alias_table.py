"""Rows added to aliases.csv: what stood there stays, byte for byte, and the new rows say what they were made of."""

import csv
import io
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.errors import PlantRowError
from pipeline.plant.alias_table import COLUMNS, with_aliases
from pipeline.plant.faults import Faults
from pipeline.plant.table_reader import read_table
from pipeline.plant.tables import Alias, AliasMeaning

ROW = Alias(as_written="Nitrat", kind=AliasMeaning.ANALYTE, means="Nitrate", implied_basis="as N")
TEXT = st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=12).filter(str.strip)
ALIASES = st.builds(
    Alias,
    sender=st.just("") | TEXT,
    as_written=TEXT,
    kind=st.sampled_from(AliasMeaning),
    means=TEXT,
    implied_basis=st.sampled_from(["", "as N"]),
    effective_from=st.none() | st.dates(date(1950, 1, 1), date(2100, 1, 1)),
    note=st.just("") | TEXT,
)
LINE_ENDS = st.sampled_from(["\n", "\r\n"])


def read(content: bytes) -> list[Alias]:
    faults = Faults()
    rows = [placed.row for placed in read_table("aliases.csv", content, Alias, faults)]
    assert faults.found == []
    return rows


def table(rows: list[Alias], columns: list[str], line_end: str) -> str:
    buffer = io.StringIO(newline="")
    writer = csv.writer(buffer, lineterminator=line_end)
    writer.writerow(columns)
    for row in rows:
        cells = [getattr(row, column) for column in columns]
        writer.writerow(["" if cell is None else str(cell) for cell in cells])
    return buffer.getvalue()


@given(st.lists(ALIASES, max_size=4), st.lists(ALIASES, min_size=1, max_size=3), LINE_ENDS, st.permutations(COLUMNS))
def test_rows_come_back_as_they_went_in_behind_those_before(
    before: list[Alias], added: list[Alias], line_end: str, columns: list[str]
) -> None:
    content = table(before, columns, line_end).encode()
    after = with_aliases(content, added)
    assert after.startswith(content)
    assert read(after) == [*before, *added]
    assert after.count(b"\n") - after.count(b"\r\n") in (0, after.count(b"\n"))


def test_a_table_is_made_where_there_is_none() -> None:
    after = with_aliases(b"", [ROW])
    assert after.splitlines()[0].decode() == ",".join(COLUMNS)
    assert read(after) == [ROW]


def test_a_column_that_a_row_needs_is_added_and_no_other() -> None:
    before = 'kind,as_written,means\r\nunit,"a\r\nb",mg/L\r\n\r\npoint,x,FW'
    after = with_aliases(before.encode(), [ROW]).decode()
    assert after == (
        'kind,as_written,means,implied_basis\r\nunit,"a\r\nb",mg/L,\r\n\r\npoint,x,FW,\r\n'
        "analyte,Nitrat,Nitrate,as N\r\n"
    )


def test_a_byte_order_mark_stays_the_first_bytes() -> None:
    before = b"\xef\xbb\xbfkind,as_written,means\nunit,parts,mg/L\n"
    after = with_aliases(before, [Alias(as_written="x", kind=AliasMeaning.UNIT, means="ug/L")])
    assert after == before + b"unit,x,ug/L\n"


@pytest.mark.parametrize("content", [b'kind,as_written\n"unit,x', b"kind,as_written\nunit,\xff\n"])
def test_a_table_that_cannot_be_read_is_left_alone(content: bytes) -> None:
    with pytest.raises(PlantRowError, match="no row was added"):
        with_aliases(content, [ROW])
