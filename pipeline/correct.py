"""Taking a load back, and a person's decisions: each shows what it changes before it is done."""

from collections.abc import Iterable

import duckdb
import pyarrow.compute as pc

from pipeline.analyzers.withdraw_readings import withdraw_readings
from pipeline.effect import Correction, Effect, with_effect
from pipeline.errors import StoreError
from pipeline.ingest.file_layout import FileLayout
from pipeline.load import Checker
from pipeline.plant.plant import Plant
from pipeline.reread import read_again
from pipeline.store.connection import Store
from pipeline.store.correcting import (
    CellAt,
    Decision,
    DecisionRow,
    add_withdrawal,
    cell_at,
    decide_cell,
    decide_version,
    target_of,
    versions_of,
)
from pipeline.store.reading import LoadedFile, is_in_force, loaded_file
from pipeline.store.rereading import Position
from pipeline.store.sample_log_writing import withdraw_sample_log
from pipeline.store.settling import Arrival
from pipeline.vocabulary import CellOutcome, DecisionAction, DecisionScope


def withdraw_load(store: Store, plant: Plant, load_id: int, reason: str, correction: Correction) -> Effect:
    """Withdraw a load: it stays in the store, and what no other load says counts no longer.

    Raises
    ------
    StoreError
        When there is no such load, it was withdrawn before, or no reason is given.
    """
    _require(reason)
    with store.read() as connection:
        loaded = loaded_file(connection, load_id)
    if loaded.withdrawn:
        raise StoreError(f"load {load_id} was withdrawn before.", "Load the file again to bring it back.")

    def act(connection: duckdb.DuckDBPyConnection, event_id: int) -> None:
        add_withdrawal(connection, load_id, reason, event_id)
        withdraw_sample_log(connection, load_id, event_id)
        withdraw_readings(connection, load_id, event_id)

    return with_effect(store, plant, correction, "withdraw", f"load {load_id}, {loaded.file_name}: {reason}", act)


def decide_on_result(store: Store, plant: Plant, result_id: int, decision: Decision, correction: Correction) -> Effect:
    """Decide on a result that is in the store.

    ``accept``: this version counts; others that are not older are rejected with the same reason. ``reject``: it does
    not count. ``choose``: of several results of its sample it is the result of record. The decision is about the
    content as it stands: a revision that comes later is not reached by it.

    Raises
    ------
    StoreError
        When there is no such result, no load says it any more, or no reason is given.
    """
    _require(decision.reason)
    with store.read() as connection:
        target_of(connection, result_id)
        said = [version.result_id for version in versions_of(connection, result_id)]
        if not said:
            raise StoreError(f"no load says result {result_id} any more.", "Load its file again first.")
        if decision.action is DecisionAction.CHOOSE and not is_in_force(connection, result_id):
            raise StoreError(f"result {result_id} does not count.", "Choose among results that do.")

    def act(connection: duckdb.DuckDBPyConnection, event_id: int) -> None:
        decide_version(connection, result_id, decision, event_id)

    return with_effect(store, plant, correction, "decide", _detail(decision, f"result {result_id}"), act)


def decide_on_cell(
    store: Store,
    plant: Plant,
    load_id: int,
    position: Position,
    layouts: Iterable[FileLayout],
    check: Checker,
    decision: Decision,
    correction: Correction,
) -> Effect:
    """Decide on a cell by where it stands in its file; a held one is read again from the archive.

    ``accept`` lets a held version count that nothing orders among the others. ``reject`` keeps it out: it is stored as
    rejected where it can be read, and set aside where it cannot. A cell that became a result is decided on as
    :func:`decide_on_result` does.

    Raises
    ------
    StoreError
        When nothing stands there, the cell says nothing that could be decided on, or no reason is given.
    """
    _require(decision.reason)
    with store.read() as connection:
        loaded = loaded_file(connection, load_id)
        cell = cell_at(connection, load_id, position.line, position.column)
    if cell.result_id is not None:
        return decide_on_result(store, plant, cell.result_id, decision, correction)
    if cell.outcome != CellOutcome.HELD:
        raise StoreError(f"the cell is {cell.outcome}.", "Only a held cell or a result can be decided on.")
    if decision.action is DecisionAction.CHOOSE:
        raise StoreError("the cell is held.", "Accept or reject it first.")
    _, _, _, arrival = read_again(store, plant, load_id, layouts, check)
    row = _row_of_cell(arrival, loaded, cell, decision)

    def act(connection: duckdb.DuckDBPyConnection, event_id: int) -> None:
        decide_cell(connection, load_id, row, arrival, event_id)

    return with_effect(store, plant, correction, "decide", _detail(decision, f"load {load_id}, line {cell.line}"), act)


def _row_of_cell(arrival: Arrival, loaded: LoadedFile, cell: CellAt, decision: Decision) -> DecisionRow:
    found = arrival.cells.filter(
        pc.and_(pc.equal(arrival.cells["line"], cell.line), pc.equal(arrival.cells["column_name"], cell.column))
    ).to_pylist()
    read = found[0] if found else {}
    if decision.action is DecisionAction.ACCEPT and not read.get("key_hash"):
        raise StoreError(
            f"line {cell.line} cannot be read, so there is nothing to accept.",
            "See what clears it: barrierbook held --cells; then barrierbook retry.",
        )
    return DecisionRow(
        scope=DecisionScope.CELL,
        action=decision.action,
        reason=decision.reason,
        key_hash=read.get("key_hash") or "",
        content_hash=read.get("content_hash") or "",
        file_sha256=loaded.sha256,
        line=cell.line,
        column_name=cell.column,
        sample_point=read.get("sample_point") or "",
        sample=read.get("sample_text") or read.get("laboratory_sample_text") or "",
        analyte=read.get("analyte") or "",
        fraction=read.get("fraction") or "",
        agency_reference=decision.agency_reference,
    )


def _detail(decision: Decision, what: str) -> str:
    reference = f" (agency reference {decision.agency_reference})" if decision.agency_reference else ""
    return f"{decision.action} {what}: {decision.reason}{reference}"


def _require(reason: str) -> None:
    if not reason.strip():
        raise StoreError("no reason is given.", "Say why with --reason: whoever looks at it later has to know.")
