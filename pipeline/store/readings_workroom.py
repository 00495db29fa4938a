"""The room in which one program at a time works on readings: its own database, held for as long as it works."""

import shutil
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

import duckdb

from pipeline.errors import StoreBusyError
from pipeline.store.connection import PATIENCE_SECONDS, Store
from pipeline.store.readings_archive import sweep_arriving

MEMORY: Final = "1800MB"
_NAME: Final = "readings.work"


@contextmanager
def readings_workroom(store: Store, memory: str = MEMORY) -> Iterator[duckdb.DuckDBPyConnection]:
    """A scratch database that only one program has; what does not fit into memory goes to a folder beside it.

    DuckDB's lock on its file is what keeps a second program out, and a program that dies gives it back.

    Raises
    ------
    StoreBusyError
        When another program is working on readings.
    """
    path = store.folder / _NAME
    overflow = store.folder / f"{_NAME}.tmp"
    connection = _open(str(path))
    try:
        shutil.rmtree(overflow, ignore_errors=True)
        sweep_arriving(store.archive)
        connection.execute("SET temp_directory = $folder", {"folder": str(overflow)})
        connection.execute("SET memory_limit = $memory", {"memory": memory})
        connection.execute("SET TimeZone = 'UTC'")
        connection.execute("SET enable_progress_bar = false")
        yield connection
    finally:
        connection.close()
        shutil.rmtree(overflow, ignore_errors=True)


def _open(path: str) -> duckdb.DuckDBPyConnection:
    deadline = time.monotonic() + PATIENCE_SECONDS
    while True:
        try:
            return duckdb.connect(path)
        except duckdb.IOException as error:
            if time.monotonic() > deadline:
                raise StoreBusyError(
                    "another program is loading readings.", "Try again when it is done; nothing was changed."
                ) from error
            time.sleep(0.05)
