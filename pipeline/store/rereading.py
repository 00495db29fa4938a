"""Committing a second reading of loads: the same cells again, with what they are read as now."""

from collections.abc import Sequence
from typing import NamedTuple

import duckdb

from pipeline.errors import AccountError
from pipeline.store.settling import Arrival, query_text, run, settle, with_arrival
from pipeline.store.writing import Account, read_account


class Position(NamedTuple):
    """Where a cell stands in its file."""

    line: int
    column: str


def loads_of_the_file(connection: duckdb.DuckDBPyConnection, load_id: int) -> list[int]:
    """Loads of the same file by the same layout that were not withdrawn; the given one first."""
    return [int(row[0]) for row in run(connection, "loads_of_the_file", load_id=load_id).fetchall()]


def add_reading(
    connection: duckdb.DuckDBPyConnection,
    load_ids: Sequence[int],
    arrival: Arrival,
    event_id: int,
    *,
    held_only: bool,
    only: Position | None = None,
) -> Account:
    """Commit another reading of loads of one file.

    Cells that read as they did stay as they are. A result that reads otherwise gets another version; what its cell said
    before counts no longer, unless another load says it too. Nothing is deleted. Stands between
    :func:`pipeline.store.settling.begin` and :func:`pipeline.store.settling.let_newest_count`.

    Parameters
    ----------
    load_ids
        Loads of one file; they are read alike.
    arrival
        Every cell of the file, as read now.
    held_only
        Settle only the cells that are held; every other cell stays as it is.
    only
        Settle only this cell.

    Returns
    -------
    Account
        Of the first of the loads.
    """
    before = read_account(connection, load_ids[0])
    chosen = {
        load_id: _chosen(connection, load_id, arrival, event_id, held_only=held_only, only=only) for load_id in load_ids
    }
    for load_id, cells in chosen.items():
        run(connection, "add_reread", event_id=event_id, load_id=load_id)
        settle(connection, cells, load_id, event_id)
    account = read_account(connection, load_ids[0])
    if not account.closes or account.cells < before.cells or (held_only and account.cells != before.cells):
        raise AccountError(
            f"the account of load {load_ids[0]} does not close after it was read again: {account}.",
            "Nothing was stored. This is a fault of barrierbook: please report it.",
        )
    return account


def _chosen(
    connection: duckdb.DuckDBPyConnection,
    load_id: int,
    arrival: Arrival,
    event_id: int,
    *,
    held_only: bool,
    only: Position | None,
) -> Arrival:
    """The cells of a load that have to be settled again, by the numbers that they have in the store."""
    connection.register("all_arriving", arrival.cells)
    connection.register("all_findings", arrival.findings)
    run(connection, "renumber_cells", load_id=load_id)
    cells = connection.sql(query_text("renumbered_cells")).to_arrow_table()
    findings = connection.sql(query_text("renumbered_findings")).to_arrow_table()
    with_arrival(connection, Arrival(cells, findings))
    run(connection, "settling_cell", load_id=load_id)
    run(connection, "as_result")
    run(connection, "read_otherwise", load_id=load_id)
    line, column = (only.line, only.column) if only else (None, "")
    run(connection, "add_said_before", load_id=load_id, held_only=held_only, line=line, column_name=column)
    if only is None:
        run(connection, "touch_unread", load_id=load_id)
        run(connection, "set_aside_unread", load_id=load_id, event_id=event_id, held_only=held_only)
    chosen = connection.sql(query_text("chosen_cells"), params={"load_id": load_id}).to_arrow_table()
    return Arrival(chosen, findings)
