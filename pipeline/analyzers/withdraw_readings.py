"""Taking a load of readings back: what no other load says counts no longer, and the days are reckoned anew."""

from datetime import UTC, date, datetime, timedelta
from typing import Final
from zoneinfo import ZoneInfo

import duckdb

from pipeline.analyzers.clock_changes import day_start
from pipeline.analyzers.days import make_day_table, reckon_days
from pipeline.analyzers.sql import statement
from pipeline.store.readings_writing import add_days
from pipeline.store.writing import query_text

_DAYS_AT_ONCE: Final = timedelta(days=366)


def withdraw_readings(connection: duckdb.DuckDBPyConnection, load_id: int, event_id: int) -> None:
    """Let the readings of a load count no longer, as if it had never come; part of the caller's transaction.

    What counts afterwards is what the other loads make: the version that came last of those that are still said. A
    load of something else is left alone.

    Parameters
    ----------
    event_id
        The event of the withdrawal, whose row in ``withdrawal`` is there already or not: it makes no difference.
    """
    delivered = _run(connection, "changes_of_load", load_id=load_id).fetchall()
    if not delivered:
        return
    ((change_id,),) = _run(connection, "next_change").fetchall()
    _run(connection, "said_beside", delivered_by=delivered[0][0])
    _run(connection, "counting_wrongly")
    for name in ("keep_wrong", "remove_wrong", "reinstate"):
        _run(connection, name, change_id=change_id)
    _run(connection, "add_change", change_id=change_id, event_id=event_id, load_id=load_id)
    _reckon_again(connection)


def _reckon_again(connection: duckdb.DuckDBPyConnection) -> None:
    _run(connection, "settings_of_tags")
    make_day_table(connection)
    for tag_id, first_at, last_at, zone_name in _run(connection, "changed_spans").fetchall():
        zone = ZoneInfo(zone_name)
        first, last = _day(first_at, zone), _day(last_at, zone)
        _run(connection, "remove_span_of_days", tag_id=tag_id, first=first, last=last)
        while first <= last:
            end = min(last, first + _DAYS_AT_ONCE)
            _reckon_span(connection, tag_id, zone, first, end)
            first = end + timedelta(days=1)
    days = connection.sql(statement("reckoned_days")).to_arrow_table()
    add_days(connection, days)


def _reckon_span(connection: duckdb.DuckDBPyConnection, tag_id: int, zone: ZoneInfo, first: date, last: date) -> None:
    start = day_start(zone, first).replace(tzinfo=UTC)
    end = day_start(zone, last + timedelta(days=1)).replace(tzinfo=UTC)
    _run(connection, "counting_between", tag_id=tag_id, start=start, end=end)
    reckon_days(connection, "counting_between", zone, first, last)


def _day(moment: datetime, zone: ZoneInfo) -> date:
    return moment.astimezone(zone).date()


def _run(connection: duckdb.DuckDBPyConnection, name: str, **values: object) -> duckdb.DuckDBPyConnection:
    """Run a statement with those of the values that it names."""
    text = query_text(f"readings_{name}")
    return connection.execute(text, {key: value for key, value in values.items() if f"${key}" in text} or None)
