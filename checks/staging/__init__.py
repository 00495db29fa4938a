"""Prepares the load's scratch database for the checks: which cells are checked, and the words the rules share."""

from datetime import datetime
from importlib.resources import files

import duckdb

from pipeline.plant.plant import Plant

CHECKED_CELLS = "cell_to_check"
_MACROS = ("plain_number", "sentence", "is_cas_number", "has_qualifier", "hours_after")


def stage_for_checks(connection: duckdb.DuckDBPyConnection, plant: Plant, loaded_at: datetime | None) -> None:
    """Create what the rules look at beside the staged cells, and what the rules call by name."""
    for name in (*_MACROS, CHECKED_CELLS, "staged_moment"):
        connection.execute(staging_sql(name))
    if loaded_at is not None:
        connection.execute(
            "INSERT INTO staged_moment VALUES (?, ?)", [loaded_at, loaded_at.astimezone(plant.zone).date()]
        )


def staging_sql(name: str) -> str:
    """One statement of this folder."""
    return files("checks").joinpath("staging", f"{name}.sql").read_text(encoding="utf-8")
