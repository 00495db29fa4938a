"""A file without a header, one row a day and 38 columns of two kinds of values, against the csv module.

Source: UCI Machine Learning Repository, Water Treatment Plant (Poch, Bejar, Cortes, 1993), 527 days of 1990 and 1991.
"""

import csv
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from tests.open_data.conftest import DAILY_VALUES
from tests.open_data.delivery import FIRST, PLANTS, Delivery, cells_of, layouts_of, names_set_aside

# How often a value is missing, counted by the donors (attribute 8 of their description), for some of the columns.
MISSING = 591


def rows_of_days(path: Path) -> list[tuple[int, list[str]]]:
    """Each day with the line on which it stands."""
    with path.open(encoding="utf-8", newline="") as file:
        return [(line, cells) for line, cells in enumerate(csv.reader(file), start=1) if cells]


@pytest.fixture(scope="module")
def names() -> list[str]:
    """The names that the layout gives to the columns."""
    (layout,) = [layout for layout in layouts_of(PLANTS / "daily_values") if layout.headerless]
    assert layout.headerless
    return list(layout.headerless.names)


def day(written: str) -> date:
    """The day in an identifier such as D-1/3/90, which is the first of March."""
    number, month, year = (int(part) for part in written.removeprefix("D-").split("/"))
    return date(1900 + year, month, number)


def test_every_cell_of_the_file_is_there_once_in_its_place(open_data: Path, names: list[str]) -> None:
    rows, cells = rows_of_days(open_data / DAILY_VALUES), cells_of("daily_values", open_data / DAILY_VALUES)
    assert len(rows) == 527
    expected = [(line, name, text) for line, fields in rows for name, text in zip(names[1:], fields[1:], strict=True)]
    found = zip(*(cells.table.column(name).to_pylist() for name in ("line", "column_name", "value_text")), strict=True)
    assert list(found) == expected
    assert sum(text == "?" for _, _, text in expected) == MISSING


def test_blank_lines_between_the_months_are_counted(open_data: Path) -> None:
    lines = cells_of("daily_values", open_data / DAILY_VALUES).lines
    assert (lines.title, lines.header, lines.blank, lines.data) == (0, 0, 69, 527)


def test_every_cell_of_a_load_has_its_outcome(daily_values: Delivery, names: list[str]) -> None:
    aside = names_set_aside("daily_values")
    expected = {}
    for line, fields in rows_of_days(daily_values.path):
        for name, text in zip(names[1:], fields[1:], strict=True):
            expected[line, name] = "set aside" if name in aside else "empty" if text == "?" else "new"
    assert daily_values.outcome_of == expected
    assert set(expected.values()) == {"set aside", "empty", "new"}


def test_the_day_and_the_place_are_the_files(daily_values: Delivery, names: list[str]) -> None:
    fields_at = dict(rows_of_days(daily_values.path))
    column_of = {name: position for position, name in enumerate(names)}
    for result in daily_values.results.iter_rows(named=True):
        fields = fields_at[result["line"]]
        assert result["collected_on"] == day(fields[0])
        assert result["sample_point"] == result["column_name"].split("-")[-1]
        assert result["value"] == Decimal(fields[column_of[result["column_name"]]])


def test_the_same_file_again_is_duplicates_only(daily_values: Delivery) -> None:
    first, again = daily_values.account(FIRST), daily_values.account(FIRST + 1)
    assert again == {"set_aside": first["set_aside"], "empty": first["empty"], "duplicate": first["new"]}
