"""Bringing an older store to the present tables, one numbered SQL file at a time."""

from importlib import resources

import duckdb

from pipeline.errors import StoreError


def migrate(connection: duckdb.DuckDBPyConnection) -> None:
    """Apply the migrations that the store does not have yet, inside the caller's transaction.

    Raises
    ------
    StoreError
        When the store was written by a newer version of the product.
    """
    connection.execute("CREATE TABLE IF NOT EXISTS migration (number BIGINT NOT NULL, name VARCHAR NOT NULL)")
    ((done,),) = connection.execute("SELECT coalesce(max(number), 0) FROM migration").fetchall()
    known = _migrations()
    if done > len(known):
        raise StoreError("the store was written by a newer barrierbook.", "Update this installation.")
    for number, (name, text) in enumerate(known, start=1):
        if number > done:
            connection.execute(text)
            connection.execute("INSERT INTO migration VALUES (?, ?)", [number, name])


def is_behind(connection: duckdb.DuckDBPyConnection) -> bool:
    """Whether a store was last written by an older version, so that its tables are not the present ones yet."""
    ((done,),) = connection.execute("SELECT coalesce(max(number), 0) FROM migration").fetchall()
    return int(done) < len(_migrations())


def _migrations() -> list[tuple[str, str]]:
    folder = resources.files("pipeline.store").joinpath("schema")
    files = sorted((entry for entry in folder.iterdir() if entry.name.endswith(".sql")), key=lambda entry: entry.name)
    return [(entry.name, entry.read_text("utf-8")) for entry in files]
