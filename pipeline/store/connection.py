"""Opening the store: short readings that wait for a writer, and writings that happen whole or not at all."""

import random
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import duckdb

from pipeline.errors import StoreBusyError, StoreError
from pipeline.store.migrations import is_behind, migrate

PATIENCE_SECONDS = 5.0
WRITING_PATIENCE_SECONDS = 30.0


class Store:
    """A store folder: ``store.duckdb``, the ``archive`` of deliveries, and the ``plant`` folder that reads them.

    Parameters
    ----------
    folder
        The folder; it need not exist before :meth:`create`.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.database = folder / "store.duckdb"
        self.archive = folder / "archive"
        self.plant_folder = folder / "plant"

    def create(self) -> None:
        """Make an empty store; an existing one is left as it is."""
        self.archive.mkdir(parents=True, exist_ok=True)
        with self.write():
            pass

    @contextmanager
    def read(self) -> Iterator[duckdb.DuckDBPyConnection]:
        """A read-only connection for a moment; waits up to five seconds for a writer.

        A store of an older version is brought to the present tables first, which is a writing.

        Raises
        ------
        StoreError
            When there is no store.
        StoreBusyError
            When the writer does not finish in time.
        """
        self._require()
        connection = _open(self.database, read_only=True, patience=PATIENCE_SECONDS)
        if is_behind(connection):
            connection.close()
            with self.write():
                pass
            connection = _open(self.database, read_only=True, patience=PATIENCE_SECONDS)
        try:
            connection.execute("SET TimeZone = 'UTC'")
            connection.execute("SET enable_progress_bar = false")
            yield connection
        finally:
            connection.close()

    @contextmanager
    def write(self, *, discard: bool = False) -> Iterator[duckdb.DuckDBPyConnection]:
        """A connection inside one transaction: committed whole at the end, rolled back when anything is raised.

        With ``discard`` it is rolled back in any case: what would happen can be looked at, and nothing does.
        """
        connection = _open(self.database, read_only=False, patience=WRITING_PATIENCE_SECONDS)
        try:
            connection.execute("SET TimeZone = 'UTC'")
            connection.execute("SET enable_progress_bar = false")
            connection.begin()
            migrate(connection)
            yield connection
            if discard:
                connection.rollback()
            else:
                connection.commit()
        finally:
            connection.close()  # closing before the commit rolls everything back

    def _require(self) -> None:
        if not self.database.exists():
            raise StoreError(
                f'there is no store in "{self.folder}".',
                "Name it with --store, or make one: barrierbook init DIR, or barrierbook demo.",
            )


def _open(database: Path, *, read_only: bool, patience: float) -> duckdb.DuckDBPyConnection:
    deadline = time.monotonic() + patience
    while True:
        try:
            return duckdb.connect(str(database), read_only=read_only)
        except (duckdb.IOException, duckdb.ConnectionException, duckdb.BinderException) as error:
            if not _held_by_another(error):
                raise StoreError(f"the store cannot be opened: {error}", "Restore it from a backup.") from error
            if time.monotonic() > deadline:
                raise StoreBusyError(
                    "the store is being used by another program.", "Try again in a moment; nothing was changed."
                ) from error
            time.sleep(random.uniform(0.005, 0.035))


def _held_by_another(error: duckdb.Error) -> bool:
    said = str(error)
    return "lock" in said or "different configuration" in said or "already attached" in said
