"""Questions to the store about readings, each one a query of its name."""

from collections.abc import Sequence
from datetime import date, datetime

import duckdb
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
