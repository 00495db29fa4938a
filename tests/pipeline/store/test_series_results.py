"""One query reads a series: what is in force, in its order, and which of it a chart of limited size shows."""

from collections.abc import Callable
from datetime import date, timedelta

import duckdb
import pytest

from pipeline.store.migrations import migrate
from pipeline.store.series_results import series_results

LAST = date(2026, 1, 1)


@pytest.fixture
def filled() -> duckdb.DuckDBPyConnection:
    """A store in memory with a long series: 400 days at FIN, rising and falling, an extreme on the day 123."""
    connection = duckdb.connect()
    migrate(connection)
    names = [row[0] for row in connection.sql("DESCRIBE result").fetchall()]
    types = {row[0]: row[1] for row in connection.sql("DESCRIBE result").fetchall()}
    for number in range(400):
        day = date(2024, 1, 1) + timedelta(days=number)
        given = {
            "result_id": number, "key_id": number, "load_id": 1, "cell_id": number, "line": number + 2,
            "column_name": "value", "event_id": 1, "sample_point": "FIN", "analyte": "pH", "value_kind": "number",
            "value_text": "x", "value": 14 if number == 123 else number % 7, "collected_on": day,
            "limit_looked_up": False, "estimated": False,
            "purpose": "quality control" if number % 10 == 0 else "process",
        }  # fmt: skip
        row = [given.get(name, "" if types[name] == "VARCHAR" else None) for name in names]
        connection.execute(f"INSERT INTO result VALUES ({', '.join('?' * len(row))})", row)
        connection.execute("INSERT INTO in_force VALUES (?, ?, 1, NULL)", [number, number])
    connection.execute("INSERT INTO load VALUES (1, 1, 'a.csv', '', '', '', 1, 0, 1, 0, 400)")
    return connection


@pytest.fixture
def read(filled: duckdb.DuckDBPyConnection) -> Callable[..., list]:
    return lambda **asked: series_results(filled, "pH", ["FIN"], **{"last": LAST, **asked})


def test_everything_is_read_in_order_whatever_is_drawn(read) -> None:
    rows = read(most_drawn=50)
    assert [row.result_id for row in rows] == list(range(400))
    assert (rows[0].file, rows[0].line, rows[0].column) == ("a.csv", 2, "value")


def test_a_short_series_is_drawn_whole_and_quality_control_never(read) -> None:
    rows = read()
    assert [row.drawn for row in rows] == [row.purpose != "quality control" for row in rows]


@pytest.mark.parametrize("most", [10, 50, 200])
def test_a_long_series_keeps_its_extremes_and_its_size(read, most) -> None:
    drawn = [row for row in read(most_drawn=most) if row.drawn]
    assert most // 2 <= len(drawn) <= most
    assert 123 in [row.result_id for row in drawn]
    assert min(row.value for row in drawn) == 0


def test_days_are_inclusive_at_both_ends(read) -> None:
    rows = read(first=date(2024, 1, 2), last=date(2024, 1, 4))
    assert [row.collected_on.day for row in rows] == [2, 3, 4]


def test_another_point_or_analyte_is_not_read(filled: duckdb.DuckDBPyConnection) -> None:
    assert series_results(filled, "pH", ["INF"], last=LAST) == []
    assert series_results(filled, "Bromate", ["FIN"], last=LAST) == []
