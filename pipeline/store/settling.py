"""What becomes of cells when they are stored: an outcome each, new versions of results, and which versions count."""

from dataclasses import dataclass
from importlib import resources

import duckdb
import pyarrow as pa


@dataclass(frozen=True, slots=True)
class Arrival:
    """One file's cells and findings, ready to be committed: tables ``arriving_cell`` and ``arriving_finding``."""

    cells: pa.Table
    findings: pa.Table


def begin(connection: duckdb.DuckDBPyConnection) -> None:
    """Forget what an earlier work of the same connection has left in its temporary tables."""
    run(connection, "begin_settling")


def settle(connection: duckdb.DuckDBPyConnection, arrival: Arrival, load_id: int, event_id: int) -> None:
    """Give every arriving cell of a load its outcome, and store what is new; then :func:`let_newest_count`."""
    with_arrival(connection, arrival)
    run(connection, "settling_cell", load_id=load_id)
    run(connection, "as_result")
    run(connection, "asserted_version", load_id=load_id, event_id=event_id)
    run(connection, "known_version")
    for name in ("decide_outcomes", "drop_unchanged", "touch_keys"):
        run(connection, name, load_id=load_id)
    run(connection, "add_keys")
    for name in ("add_results", "add_outcomes", "add_held_texts", "add_findings", "add_order_findings"):
        run(connection, name, load_id=load_id, event_id=event_id)
    ((decided_before,),) = run(connection, "any_decision").fetchall()
    if decided_before:
        run(connection, "newest_version")
        run(connection, "add_decision_findings", load_id=load_id, event_id=event_id)


def let_newest_count(connection: duckdb.DuckDBPyConnection, event_id: int) -> None:
    """Let the newest version of every touched result count from this event on, and no other."""
    run(connection, "newest_version")
    run(connection, "close_superseded", event_id=event_id)
    run(connection, "open_newest", event_id=event_id)


def with_arrival(connection: duckdb.DuckDBPyConnection, arrival: Arrival) -> None:
    """Make the arriving cells and findings known to the queries."""
    connection.register("arriving_cell", arrival.cells)
    connection.register("arriving_finding", arrival.findings)


def run(connection: duckdb.DuckDBPyConnection, name: str, **values: object) -> duckdb.DuckDBPyConnection:
    """Run one of the store's queries, by its name."""
    return connection.execute(query_text(name), values or None)


def query_text(name: str) -> str:
    """The text of one of the store's queries, by the question it answers."""
    return resources.files("pipeline.store").joinpath("queries", f"{name}.sql").read_text("utf-8")
