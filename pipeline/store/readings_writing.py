"""Committing readings: in parts that nobody sees until the load is complete, replaced and taken back by events."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date, datetime

import duckdb
import pyarrow as pa

from pipeline.errors import AccountError, StoreBusyError
from pipeline.store.writing import Account, LoadRow, add_event, query_text, read_account


@dataclass(frozen=True, slots=True)
class TagRow:
    """A tag as the store keeps it: by what its days were reckoned."""

    tag_id: int
    tag: str
    time_zone: str
    range_low: object
    range_high: object
    expected_interval_s: int


@dataclass(frozen=True, slots=True)
class ReadingsArrival:
    """What a completed load of readings leaves beside its readings.

    All days of ``changed_tags`` are in ``days``. ``revised`` are tags and times whose older reading no longer counts;
    ``days`` replace the days that they are of; ``outcomes`` and ``findings`` are rows of ``reading_outcome`` and
    ``reading_finding`` without the load.
    """

    tags: tuple[TagRow, ...]
    changed_tags: Sequence[int]
    revised: pa.Table
    days: pa.Table
    outcomes: pa.Table
    findings: pa.Table
    months: Mapping[date, int]
    cells: int


def sweep(connection: duckdb.DuckDBPyConnection) -> int:
    """Remove what changes left behind that were never completed; returns how many there were.

    Only for a program that alone may write readings: what it finds pending is nobody's work any more.
    """
    ((pending,),) = connection.execute("SELECT count(*) FROM reading_pending").fetchall()
    if pending:
        for name in ("readings_sweep", "readings_sweep_again", "readings_sweep_pending"):
            _run(connection, name)
    return int(pending)


def begin_change(connection: duckdb.DuckDBPyConnection, begun_at: datetime) -> int:
    """Begin a change of which readings count; returns its number."""
    ((change_id,),) = _run(connection, "readings_next_change").fetchall()
    _run(connection, "readings_add_pending", change_id=change_id, begun_at=begun_at)
    return int(change_id)


def add_part(connection: duckdb.DuckDBPyConnection, change_id: int, readings: pa.Table, again: pa.Table) -> None:
    """Append a part of a load: readings that will count once it is complete, and those that were known."""
    for name, table in (("readings_add", readings), ("readings_add_again", again)):
        if table.num_rows:
            connection.register("arriving_reading", table)
            _run(connection, name, change_id=change_id)
            connection.unregister("arriving_reading")


def finish_load(
    connection: duckdb.DuckDBPyConnection,
    change_id: int,
    load: LoadRow,
    arrival: ReadingsArrival,
    *,
    at: datetime,
    who: str,
    plant_sha256: str,
) -> tuple[int, Account]:
    """Complete a load: from here on its readings count, in one transaction.

    Raises
    ------
    StoreBusyError
        When readings were taken back since the load began: it was compared with what no longer counts.
    AccountError
        When the account does not close; the caller's transaction must then be rolled back.
    """
    if _run(connection, "readings_changed_since", change_id=change_id).fetchall():
        raise StoreBusyError(
            "readings were taken back while this load was going on.", "Nothing of it was stored: load the file again."
        )
    event_id = add_event(connection, kind="load", at=at, who=who, plant_sha256=plant_sha256, detail=load.file_name)
    load_id = _add_load_row(connection, load, event_id)
    _keep_tags(connection, arrival.tags)
    _supersede(connection, arrival.revised, change_id)
    _run(connection, "readings_forget_days", tags=list(arrival.changed_tags))
    replace_days(connection, arrival.days)
    for name, table in (("readings_add_outcomes", arrival.outcomes), ("readings_add_findings", arrival.findings)):
        connection.register("arriving_row", table)
        _run(connection, name, load_id=load_id)
        connection.unregister("arriving_row")
    add_months(connection, arrival.months)
    _run(connection, "readings_add_change", change_id=change_id, event_id=event_id, load_id=load_id)
    _run(connection, "readings_end_pending", change_id=change_id)
    account = read_account(connection, load_id)
    if not account.closes or account.cells != arrival.cells:
        raise AccountError(
            f"the account of {load.file_name} does not close: {account}, of {arrival.cells} cells.",
            "Nothing was stored. This is a fault of barrierbook: please report it with the file.",
        )
    return load_id, account


def replace_days(connection: duckdb.DuckDBPyConnection, days: pa.Table) -> None:
    """Put days in the place of those of the same tag."""
    if days.num_rows:
        connection.register("arriving_day", days)
        _run(connection, "readings_remove_days")
        connection.unregister("arriving_day")
    add_days(connection, days)


def add_days(connection: duckdb.DuckDBPyConnection, days: pa.Table) -> None:
    """Add days of which there are none."""
    if days.num_rows:
        connection.register("arriving_day", days)
        _run(connection, "readings_add_days")
        connection.unregister("arriving_day")


def add_months(connection: duckdb.DuckDBPyConnection, months: Mapping[date, int]) -> None:
    """Count the parts in which the readings of each month stand."""
    for month, parts in months.items():
        if not _run(connection, "readings_more_parts", month=month, parts=parts).fetchall()[0][0]:
            _run(connection, "readings_first_parts", month=month, parts=parts)


def _add_load_row(connection: duckdb.DuckDBPyConnection, load: LoadRow, event_id: int) -> int:
    known = _run(connection, "file_of", sha256=load.sha256).fetchall()
    ((file_id,),) = known or _run(connection, "add_file", sha256=load.sha256, other=load.size).fetchall()
    ((load_id,),) = _run(connection, "next_load").fetchall()
    row = {name: value for name, value in asdict(load).items() if name not in ("sha256", "size")}
    _run(connection, "add_load", load_id=load_id, file_id=file_id, event_id=event_id, **row)
    return int(load_id)


def _keep_tags(connection: duckdb.DuckDBPyConnection, tags: Iterable[TagRow]) -> None:
    for tag in tags:
        _run(connection, "readings_remove_tag", tag_id=tag.tag_id)
        _run(connection, "readings_add_tag", **asdict(tag))


def _supersede(connection: duckdb.DuckDBPyConnection, keys: pa.Table, change_id: int) -> None:
    """Move the readings that no longer count out of those that do."""
    if keys.num_rows:
        connection.register("ended_key", keys)
        ((first, last),) = connection.execute("SELECT min(read_at), max(read_at) FROM ended_key").fetchall()
        for name in ("readings_keep_ended", "readings_remove_ended"):
            _run(connection, name, change_id=change_id, first=first, last=last)
        connection.unregister("ended_key")


def _run(connection: duckdb.DuckDBPyConnection, name: str, **values: object) -> duckdb.DuckDBPyConnection:
    text = query_text(name)
    return connection.execute(text, {key: value for key, value in values.items() if f"${key}" in text} or None)
