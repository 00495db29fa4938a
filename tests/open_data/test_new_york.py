"""A crosstab of distribution samples against the csv module.

Source: City of New York, Drinking Water Quality Distribution Monitoring Data, 2015 and 2016, 23,382 samples.
"""

from collections import Counter
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from pipeline.ingest.cells import FileCells
from tests.open_data.conftest import NEW_YORK
from tests.open_data.delivery import FIRST, Delivery, FileRow, cells_of, rows_of

VALUES = (
    "Residual Free Chlorine (mg/L)",
    "Turbidity (NTU)",
    "Fluoride (mg/L)",
    "Coliform (Quanti-Tray) (MPN /100mL)",
    "E.coli(Quanti-Tray) (MPN/100mL)",
)
ANALYTES = ("Residual Free Chlorine", "Turbidity", "Fluoride", "Total coliform", "E. coli")
UNITS = ("mg/L", "NTU", "mg/L", "MPN /100mL", "MPN/100mL")


@pytest.fixture(scope="module")
def rows(open_data: Path) -> list[FileRow]:
    return rows_of(open_data / NEW_YORK)


@pytest.fixture(scope="module")
def cells(open_data: Path) -> FileCells:
    return cells_of("new_york", open_data / NEW_YORK)


def test_every_cell_of_the_file_is_there_once_in_its_place(rows: list[FileRow], cells: FileCells) -> None:
    assert len(rows) == 23_382
    expected = [(row.line, value, row[value]) for row in rows for value in VALUES]
    found = zip(*(cells.table.column(name).to_pylist() for name in ("line", "column_name", "value_text")), strict=True)
    assert list(found) == expected


@pytest.mark.parametrize(
    ("ours", "header"),
    [("laboratory_sample_text", "Sample Number"), ("point_text", "Sample Site"), ("comment_text", "Location")],
)
def test_every_cell_says_what_its_row_says(rows: list[FileRow], cells: FileCells, ours: str, header: str) -> None:
    assert cells.table.column(ours).to_pylist() == [row[header] for row in rows for _ in VALUES]


@pytest.mark.parametrize(("ours", "texts"), [("analyte_text", ANALYTES), ("unit_text", UNITS)])
def test_every_cell_says_what_its_heading_says(cells: FileCells, ours: str, texts: tuple[str, ...]) -> None:
    found = cells.table.column(ours).to_pylist()
    assert {tuple(found[start : start + len(VALUES)]) for start in range(0, len(found), len(VALUES))} == {texts}


def test_quoted_line_breaks_are_lines_of_the_file(open_data: Path, rows: list[FileRow], cells: FileCells) -> None:
    assert cells.lines.header == 1
    assert cells.lines.total == len((open_data / NEW_YORK).read_bytes().splitlines())
    assert cells.lines.data > len(rows)


def test_every_cell_of_a_load_has_its_outcome(new_york: Delivery) -> None:
    expected = {
        (row.line, value): "empty" if row[value].strip() in ("", "-") else "new"
        for row in new_york.rows
        for value in VALUES
    }
    assert new_york.outcome_of == expected
    assert sum(row[VALUES[3]].startswith(">") for row in new_york.rows) == 18
    assert sum(row[VALUES[3]].strip() == "-" for row in new_york.rows) == 1


def test_counts_are_numbers_or_lie_beyond_one(new_york: Delivery) -> None:
    row_at = {row.line: row for row in new_york.rows}
    kinds = Counter()
    for result in new_york.results.filter(unit="MPN/100 mL").iter_rows(named=True):
        written = row_at[result["line"]][result["column_name"]].strip()
        kind = {"<": "below", ">": "above"}.get(written[0], "number")
        assert (result["value_kind"], result["value"]) == (kind, Decimal(written.lstrip("<>")))
        kinds[kind] += 1
    assert kinds["above"] == 18
    assert kinds["below"] > 200


def test_times_are_local_to_new_york(new_york: Delivery) -> None:
    row_at = {row.line: row for row in new_york.rows}
    here = ZoneInfo("America/New_York")
    for line, collected_at in new_york.results.select("line", "collected_at").rows():
        row = row_at[line]
        written = datetime.strptime(f"{row['Sample Date']} {row['Sample Time']}", "%m/%d/%Y %H:%M")  # noqa: DTZ007
        assert collected_at.astimezone(UTC) == written.replace(tzinfo=here).astimezone(UTC)


def test_samples_without_a_number_are_told_apart_by_place_and_time(new_york: Delivery) -> None:
    unnumbered = [row for row in new_york.rows if not row["Sample Number"]]
    assert len(unnumbered) > 20
    assert {new_york.outcome_of[row.line, VALUES[0]] for row in unnumbered} == {"new"}


def test_padded_codes_are_the_same_place(new_york: Delivery) -> None:
    row_at = {row.line: row for row in new_york.rows}
    assert any(row["Sample Site"].startswith(" ") for row in new_york.rows)
    for line, point in new_york.results.select("line", "sample_point").rows():
        assert point == row_at[line]["Sample Site"].strip()


def test_the_same_file_again_is_duplicates_only(new_york: Delivery) -> None:
    first, again = new_york.account(FIRST), new_york.account(FIRST + 1)
    assert again == {"empty": first["empty"], "duplicate": first["new"]}
