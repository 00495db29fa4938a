"""The troubles planted in the readings, end to end: what the real loader makes of each one that the demo loads."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import duckdb
import pytest

from pipeline.store.connection import Store
from sample_lab.generator.readings.tags import tags
from sample_lab.generator.readings.troubles import Trouble, troubles

YEAR = "historian_2025-11_to_2026-10.csv"
FAST_MARCH = "historian_fast_2026-03.csv"
MINUTES_EACH = {YEAR: 15, FAST_MARCH: 1}


@pytest.fixture(scope="module")
def connection(demo_store: Path) -> Iterator[duckdb.DuckDBPyConnection]:
    with Store(demo_store).read() as reading:
        yield reading


def _cells(connection: duckdb.DuckDBPyConnection, file: str, tag: str, outcome: str) -> int:
    query = """
        SELECT coalesce(sum(cells), 0)::BIGINT
        FROM reading_outcome
        JOIN load USING (load_id)
        WHERE file_name = ? AND tag = ? AND outcome = ?
    """
    ((cells,),) = connection.execute(query, [file, tag, outcome]).fetchall()
    return int(cells)


def _of(kind: str) -> Trouble:
    return next(one for one in troubles() if one.kind == kind and one.start.date() >= date(2025, 11, 1))


def _readings(trouble: Trouble, file: str) -> int:
    first, end = trouble.minutes
    return (end - first) // MINUTES_EACH[file]


def test_a_gap_is_empty_cells(connection: duckdb.DuckDBPyConnection) -> None:
    gap = _of("gap")
    assert _cells(connection, YEAR, gap.tag, "empty") == _readings(gap, YEAR) == 25


def test_a_word_in_place_of_a_number_is_held(connection: duckdb.DuckDBPyConnection) -> None:
    text = _of("text")
    assert _cells(connection, YEAR, text.tag, "held") == _readings(text, YEAR) == 5


def test_nothing_else_of_the_year_is_held(connection: duckdb.DuckDBPyConnection) -> None:
    held = [tag.tag for tag in tags() if _cells(connection, YEAR, tag.tag, "held")]
    assert held == [_of("text").tag]


def test_calibrations_are_set_aside(connection: duckdb.DuckDBPyConnection) -> None:
    # Ninety minutes a month are six quarters of an hour.
    calibrated = {tag.tag: _cells(connection, YEAR, tag.tag, "set aside") for tag in tags()}
    assert {calibrated[tag.tag] for tag in tags() if not tag.has_status} == {0}
    assert {calibrated[tag.tag] for tag in tags() if tag.has_status} == {72}


def test_readings_written_twice_are_duplicates(connection: duckdb.DuckDBPyConnection) -> None:
    twice = _of("twice")
    known_from_the_year = 14 * 96 - 4 - 6  # two weeks; an hour that did not happen, a calibration
    expected = _readings(twice, FAST_MARCH) + known_from_the_year
    assert _cells(connection, FAST_MARCH, twice.tag, "duplicate") == expected


def test_one_time_with_two_values_is_held(connection: duckdb.DuckDBPyConnection) -> None:
    other = _of("twice with another value")
    held = _cells(connection, FAST_MARCH, other.tag, "held")
    assert 2 * _readings(other, FAST_MARCH) - 10 < held <= 2 * _readings(other, FAST_MARCH)


def test_the_hour_that_comes_twice_is_told_by_the_order_of_lines(connection: duckdb.DuckDBPyConnection) -> None:
    query = """
        SELECT count(*), min(cells), max(cells)
        FROM reading_finding
        JOIN load USING (load_id)
        WHERE file_name = ? AND rule_id = 'reading_told_by_order'
    """
    assert connection.execute(query, [YEAR]).fetchall() == [(len(tags()), 8, 8)]


def test_a_reading_outside_the_range_is_counted_on_its_day(connection: duckdb.DuckDBPyConnection) -> None:
    outside = _of("out of range")
    query = """
        SELECT outside FROM reading_day JOIN analyzer_tag USING (tag_id) WHERE tag = ? AND day = ?
    """
    assert connection.execute(query, [outside.tag, outside.start.date()]).fetchall() == [(_readings(outside, YEAR),)]


def test_a_leaking_rack_has_its_days_above_the_level_for_an_integrity_test(
    connection: duckdb.DuckDBPyConnection,
) -> None:
    # 40 CFR 141.719(b)(4)(iii): 0.15 NTU.
    query = """
        SELECT min(day), max(day)
        FROM reading_day
        JOIN analyzer_tag USING (tag_id)
        WHERE tag = 'AIT-4201' AND total / usable > 0.12 AND day > DATE '2026-01-01'
    """
    ((first, last),) = connection.execute(query).fetchall()
    assert date(2026, 3, 3) <= first <= date(2026, 3, 5)
    assert date(2026, 3, 9) <= last <= date(2026, 3, 10)
