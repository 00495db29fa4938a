"""Withdrawals and decisions: appended as events; which versions count is looked at in the same transaction."""

from dataclasses import asdict, dataclass, replace
from datetime import date
from decimal import Decimal

import duckdb
import polars as pl

from pipeline.errors import StoreError
from pipeline.store.rereading import Position, add_reading, loads_of_the_file
from pipeline.store.settling import Arrival, begin, let_newest_count, query_text, run
from pipeline.vocabulary import DecisionAction, DecisionScope, ReportStatus

_WHERE = "See where they stand: barrierbook held --cells."


@dataclass(frozen=True, slots=True)
class Version:
    """One version of a result, and what orders it among the others."""

    result_id: int
    key_hash: str
    content_hash: str
    revision: Decimal
    status: str
    reported_on: date | None

    @property
    def order(self) -> tuple[Decimal, bool, date, bool]:
        """Revision, whether it is more than preliminary, report date, and whether its sender rejected it."""
        return (
            self.revision,
            self.status != ReportStatus.PRELIMINARY,
            self.reported_on or date.min,
            self.status == ReportStatus.REJECTED,
        )


@dataclass(frozen=True, slots=True)
class Decision:
    """What a person decided, and why.

    Attributes
    ----------
    agency_reference
        Under which the agency accepts that a result does not count; empty while there is none. Until there is one, a
        result above a limit stays an exceedance whose rejection is claimed.
    this_version_only
        Reject one version alone, so that an earlier one counts again; else all versions that are known.
    """

    action: DecisionAction
    reason: str
    agency_reference: str = ""
    this_version_only: bool = False


@dataclass(frozen=True, slots=True)
class DecisionRow:
    """A decision as it is stored; its target is a version of a result, a cell of a file, or both."""

    scope: DecisionScope
    action: DecisionAction
    reason: str
    key_hash: str = ""
    content_hash: str = ""
    file_sha256: str = ""
    line: int | None = None
    column_name: str = ""
    sample_point: str = ""
    sample: str = ""
    analyte: str = ""
    fraction: str = ""
    agency_reference: str = ""


@dataclass(frozen=True, slots=True)
class Target:
    """What a version of a result is about."""

    key_hash: str
    content_hash: str
    sample_point: str
    sample: str
    analyte: str
    fraction: str


@dataclass(frozen=True, slots=True)
class CellAt:
    """A cell of a loaded file and what became of it; ``result_id`` is null while it is held or set aside."""

    cell_id: int
    line: int
    column: str
    outcome: str
    result_id: int | None


def add_withdrawal(connection: duckdb.DuckDBPyConnection, load_id: int, reason: str, event_id: int) -> None:
    """Withdraw a load: what it alone says counts no longer."""
    begin(connection)
    run(connection, "touch_withdrawn", load_id=load_id)
    run(connection, "add_withdrawal", load_id=load_id, reason=reason, event_id=event_id)
    let_newest_count(connection, event_id)


def decide_version(connection: duckdb.DuckDBPyConnection, result_id: int, decision: Decision, event_id: int) -> None:
    """Decide on a version of a result, and let it take effect."""
    begin(connection)
    for row in _rows(connection, result_id, decision):
        _add(connection, row, event_id)
    _apply(connection, event_id)


def decide_cell(
    connection: duckdb.DuckDBPyConnection, load_id: int, row: DecisionRow, arrival: Arrival, event_id: int
) -> None:
    """Decide on a held cell of a load, and settle it by that in every load of its file.

    Parameters
    ----------
    arrival
        Every cell of the file, as read now.
    """
    begin(connection)
    _add(connection, row, event_id)
    only = Position(row.line or 0, row.column_name)
    add_reading(connection, loads_of_the_file(connection, load_id), arrival, event_id, held_only=True, only=only)
    settled = cell_at(connection, load_id, only.line, only.column)
    if row.action is DecisionAction.ACCEPT and settled.result_id is not None:
        decision = Decision(row.action, row.reason, row.agency_reference)
        for other in _rows(connection, settled.result_id, decision)[1:]:
            _add(connection, other, event_id)
    _apply(connection, event_id)


def _rows(connection: duckdb.DuckDBPyConnection, result_id: int, decision: Decision) -> list[DecisionRow]:
    """The decision on a version, and after it those on other versions of the result that follow from it."""
    target = target_of(connection, result_id)
    row = DecisionRow(
        scope=DecisionScope.SAMPLE if decision.action is DecisionAction.CHOOSE else DecisionScope.VERSION,
        action=decision.action,
        reason=decision.reason,
        agency_reference=decision.agency_reference,
        **asdict(target),
    )
    versions = versions_of(connection, result_id)
    others = [version for version in versions if version.content_hash != target.content_hash]
    if decision.action is DecisionAction.ACCEPT:
        own = next(version for version in versions if version.content_hash == target.content_hash)
        others = [version for version in others if version.order >= own.order]
    elif decision.action is DecisionAction.CHOOSE or decision.this_version_only:
        others = []
    rejected = replace(row, action=DecisionAction.REJECT)
    return [row, *(replace(rejected, content_hash=version.content_hash) for version in others)]


def _add(connection: duckdb.DuckDBPyConnection, row: DecisionRow, event_id: int) -> None:
    run(connection, "add_decision", event_id=event_id, **asdict(row))


def _apply(connection: duckdb.DuckDBPyConnection, event_id: int) -> None:
    """Look again at which versions count, of the results that an event decided on and of those settled with it."""
    run(connection, "touch_decided", event_id=event_id)
    let_newest_count(connection, event_id)


def versions_of(connection: duckdb.DuckDBPyConnection, result_id: int) -> list[Version]:
    """Versions of a result that a load still says, newest first; each content once."""
    return [Version(*row) for row in run(connection, "versions_of", result_id=result_id).fetchall()]


def target_of(connection: duckdb.DuckDBPyConnection, result_id: int) -> Target:
    """What a version of a result is about.

    Raises
    ------
    StoreError
        When there is no such result.
    """
    rows = run(connection, "decision_target", result_id=result_id).fetchall()
    if not rows:
        raise StoreError(f"there is no result {result_id}.", "See the numbers with: barrierbook export results.")
    return Target(*rows[0])


def cell_at(connection: duckdb.DuckDBPyConnection, load_id: int, line: int, column: str = "") -> CellAt:
    """The one cell that stands at a line, and in a column where it is named.

    Raises
    ------
    StoreError
        When there is none, or more than one.
    """
    found = [
        CellAt(*row) for row in run(connection, "cell_at", load_id=load_id, line=line, column_name=column).fetchall()
    ]
    if not found:
        raise StoreError(f"no value stands there in load {load_id}, line {line}.", _WHERE)
    if len(found) > 1:
        columns = ", ".join(f'"{cell.column}"' for cell in found[:6])
        raise StoreError(f"line {line} has {len(found)} values.", f"Name one with --column: {columns}.")
    return found[0]


def changed_results(connection: duckdb.DuckDBPyConnection, event_id: int) -> pl.DataFrame:
    """Results that began or stopped to count with an event, one row each."""
    frame: pl.DataFrame = connection.sql(query_text("changed_results"), params={"event_id": event_id}).pl()
    return frame
