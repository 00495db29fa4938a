"""A scratch database in memory for cells that are looked at and dropped."""

from collections.abc import Iterator
from contextlib import contextmanager

import duckdb


@contextmanager
def scratch_database() -> Iterator[duckdb.DuckDBPyConnection]:
    """A database of its own, gone afterwards."""
    connection = duckdb.connect(":memory:")
    try:
        yield connection
    finally:
        connection.close()
