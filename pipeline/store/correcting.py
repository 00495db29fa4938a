"""Withdrawals and decisions: appended as events; which versions count is looked at in the same transaction."""

from dataclasses import asdict, dataclass
from datetime import date
from decimal import Decimal

import duckdb
import polars as pl

from pipeline.errors import StoreError
from pipeline.store.settling import begin, let_newest_count, query_text, run
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


def add_decision(connection: duckdb.DuckDBPyConnection, decision: DecisionRow, event_id: int) -> None:
    """Write a decision down; :func:`apply_decisions` lets it take effect."""
    run(connection, "add_decision", event_id=event_id, **asdict(decision))


def apply_decisions(connection: duckdb.DuckDBPyConnection, event_id: int) -> None:
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
