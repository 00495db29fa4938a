"""Each distinct spelling is read once in Python, where it can be explained and tested, and joined back in SQL."""

from collections.abc import Callable, Iterable, Sequence
from importlib import resources

import duckdb
import pyarrow as pa

from pipeline.ingest.value_text import STORED_DECIMALS

DECIMAL = pa.decimal128(38, STORED_DECIMALS)
INSTANT = pa.timestamp("us", tz="UTC")


def spell(
    connection: duckdb.DuckDBPyConnection,
    table: str,
    keys: Sequence[str],
    read: Callable[..., Iterable[object]],
    columns: dict[str, pa.DataType],
    *,
    source: str,
) -> None:
    """Read each distinct spelling of ``source`` once, and keep what it was read as in ``table``, beside its keys."""
    distinct = connection.sql(f"SELECT DISTINCT {', '.join(keys)} FROM {source}").to_arrow_table()
    spelled = zip(*(distinct.column(key).to_pylist() for key in keys), strict=True)
    readings = table_of([tuple(read(*spelling)) for spelling in spelled], columns)
    for position, key in enumerate(keys):
        readings = readings.add_column(position, key, distinct.column(key))
    keep(connection, table, readings)


def table_of(rows: Sequence[Sequence[object]], columns: dict[str, pa.DataType]) -> pa.Table:
    """Rows as a table of typed columns; no rows make an empty one."""
    cells = list(zip(*rows, strict=True)) if rows else [()] * len(columns)
    return pa.table({name: pa.array(column, kind) for (name, kind), column in zip(columns.items(), cells, strict=True)})


def keep(connection: duckdb.DuckDBPyConnection, name: str, table: pa.Table) -> None:
    """Make a table of that name in the scratch database."""
    connection.register("arriving", table)
    connection.execute(f"CREATE OR REPLACE TABLE {name} AS FROM arriving")
    connection.unregister("arriving")


def append(connection: duckdb.DuckDBPyConnection, name: str, table: pa.Table) -> None:
    """Add rows to a table of the scratch database, by the names of its columns."""
    connection.register("arriving", table)
    connection.execute(f"INSERT INTO {name} BY NAME FROM arriving")
    connection.unregister("arriving")


def run(connection: duckdb.DuckDBPyConnection, name: str, **values: object) -> None:
    """Run one of the statements of the scratch database, its ``$values`` bound."""
    connection.execute(
        resources.files("pipeline.ingest").joinpath("sql", f"{name}.sql").read_text("utf-8"), values or None
    )
