"""Prepares the load's scratch database for the checks: which cells are checked, and the words that the rules share."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from importlib.resources import files
from typing import Any

import duckdb
import pyarrow as pa

from pipeline.plant.plant import Plant

CHECKED_CELLS = "cell_to_check"
_WORDS = ("plain_number", "sentence", "is_cas_number", "has_qualifier", "hours_after", "elapsed")


def prepare(connection: duckdb.DuckDBPyConnection, plant: Plant, loaded_at: datetime | None) -> None:
    """Create what the rules look at beside the staged cells, and what they call by name."""
    for name in (*_WORDS, CHECKED_CELLS, "written_cas_number", "staged_moment"):
        run_statement(connection, name)
    if loaded_at is not None:
        loaded_on = loaded_at.astimezone(plant.zone).date()
        append_rows(connection, "staged_moment", [{"loaded_at": loaded_at, "loaded_on": loaded_on}])


def run_statement(connection: duckdb.DuckDBPyConnection, name: str, **values: object) -> None:
    """Run the statement of ``checks/sql`` with that name, its ``$values`` bound."""
    connection.execute(files("checks").joinpath("sql", f"{name}.sql").read_text(encoding="utf-8"), values or None)


def append_rows(connection: duckdb.DuckDBPyConnection, table: str, rows: Sequence[Mapping[str, Any]]) -> None:
    """Append rows to a table of the scratch database, by the names of its columns."""
    if not rows:
        return
    connection.register("arriving_rows", pa.Table.from_pylist(list(rows)))
    connection.execute(f"INSERT INTO {table} BY NAME FROM arriving_rows")
    connection.unregister("arriving_rows")
