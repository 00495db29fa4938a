"""Questions to the store about readings, each one a query of its name."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal

import duckdb
import polars as pl
import pyarrow as pa

from pipeline.store.readings_writing import TagRow
from pipeline.store.writing import query_text


def stored_tags(connection: duckdb.DuckDBPyConnection) -> list[TagRow]:
    """Every tag that the store has readings of."""
    return [TagRow(*row) for row in connection.execute(query_text("readings_tags")).fetchall()]


def stored_by_day(
    connection: duckdb.DuckDBPyConnection, tags: Sequence[int], first: date, last: date
) -> list[tuple[date, int, int]]:
    """Day, tag and number of readings that count, between two days."""
    return connection.execute(
        query_text("readings_stored_by_day"), {"tags": list(tags), "first": first, "last": last}
    ).fetchall()


def known_readings(
    connection: duckdb.DuckDBPyConnection, tags: Sequence[int], start: datetime, end: datetime
) -> pa.Table:
    """What loads that were not taken back said of some tags from ``start`` up to but without ``end``."""
    values = {"tags": list(tags), "first_tag": min(tags), "last_tag": max(tags), "start": start, "end": end}
    return connection.sql(query_text("readings_known"), params=values).to_arrow_table()


@dataclass(frozen=True, slots=True)
class Marking:
    """By what the readings of a tag are marked when they are read: its ranges [its unit], and whether water ran.

    ``run_tag_id`` is the tag that reads 0 while it does not; ``None`` where there is none.
    """

    range_low: Decimal | None = None
    range_high: Decimal | None = None
    usual_low: Decimal | None = None
    usual_high: Decimal | None = None
    run_tag_id: int | None = None


def overview(connection: duckdb.DuckDBPyConnection) -> pl.DataFrame:
    """Every tag that has readings: span, counts, gaps and seconds out of range; from the days."""
    return _frame(connection, "overview")


def days(connection: duckdb.DuckDBPyConnection, tag_id: int, first: date, last: date) -> pl.DataFrame:
    """Days of a tag, both bounds included."""
    return _frame(connection, "days", tag_id=tag_id, first=first, last=last)


def readings_of(
    connection: duckdb.DuckDBPyConnection,
    tag_id: int,
    start: datetime,
    end: datetime,
    marking: Marking,
    as_of_event: int | None = None,
) -> pl.DataFrame:
    """Readings of a tag with their marks, and file and line of each, from ``start`` up to but without ``end``.

    The run status that holds at ``start`` is looked for in the day before it.
    """
    return _frame(
        connection, "of_tag", tag_id=tag_id, start=start, end=end, run_start=start - timedelta(days=1),
        as_of_event=as_of_event, **asdict(marking),
    )  # fmt: skip


def reduced(
    connection: duckdb.DuckDBPyConnection,
    tag_id: int,
    start: datetime,
    end: datetime,
    buckets: int,
    as_of_event: int | None = None,
) -> pl.DataFrame:
    """A tag in at most so many buckets of equal width, each with its lowest and highest usable reading."""
    width = max(1, -((start - end) // timedelta(microseconds=1) // buckets))
    return _frame(connection, "reduced", tag_id=tag_id, start=start, end=end, width_us=width, as_of_event=as_of_event)


def gaps_between(
    connection: duckdb.DuckDBPyConnection,
    tag_id: int,
    start: datetime,
    end: datetime,
    longest: timedelta,
    as_of_event: int | None = None,
) -> list[tuple[datetime, datetime]]:
    """Last reading before and first after each time without readings that is longer than ``longest``."""
    values = {"tag_id": tag_id, "start": start, "end": end, "longest_us": longest // timedelta(microseconds=1)}
    return connection.execute(query_text("readings_gaps"), {**values, "as_of_event": as_of_event}).fetchall()


def gaps_of_days(
    connection: duckdb.DuckDBPyConnection, tag_id: int, first: date, last: date, longest: timedelta
) -> list[tuple[datetime, datetime]]:
    """As :func:`gaps_between`, from one day to another only, and from the days alone."""
    values = {"tag_id": tag_id, "first": first, "last": last, "longest_us": longest // timedelta(microseconds=1)}
    return connection.execute(query_text("readings_gaps_of_days"), values).fetchall()


def held_readings(connection: duckdb.DuckDBPyConnection, load_id: int | None = None) -> pl.DataFrame:
    """Cells of readings that are held now, by column, tag and reason, with the line of each."""
    return _frame(connection, "held", load_id=load_id)


def _frame(connection: duckdb.DuckDBPyConnection, name: str, **values: object) -> pl.DataFrame:
    frame: pl.DataFrame = connection.sql(query_text(f"readings_{name}"), params=values).pl()
    return frame
