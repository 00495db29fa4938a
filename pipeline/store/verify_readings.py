"""The store proves its readings: days are reckoned again in another way, accounts compared, withdrawals replayed."""

from datetime import UTC, date, datetime, time, timedelta
from typing import Final
from zoneinfo import ZoneInfo

import duckdb

from pipeline.store.writing import query_text

_MOST_MONTHS: Final = 36
_MOST_NAMED: Final = 5


def verify_readings(connection: duckdb.DuckDBPyConnection) -> tuple[list[str], list[str]]:
    """Prove that the readings that count are those that the loads make, and that the days are what they make.

    Of more than 36 months the days of 36 are reckoned again, evenly spread; their readings are counted in all.

    Returns
    -------
    tuple of two lists of str
        What was proved, and what was found wrong.
    """
    months = [month for month, _ in connection.execute(query_text("readings_months")).fetchall()]
    if not months:
        return [], []
    faults = _named(connection, "verify_number", "other readings count than the days say (readings, by days)")
    faults += _named(connection, "verify_accounts", "the account of a load is not what its readings make (load)")
    faults += _named(connection, "verify_replay", "not the reading counts that the loads make (tag, time)")
    chosen = _chosen(months)
    for month in chosen:
        faults += _days_of(connection, month)
    which = "every month" if len(chosen) == len(months) else f"{len(chosen)} of {len(months)} months"
    return [
        f"the readings that count are those that the loads make, and the days of {which} are what they make"
    ], faults


def _chosen(months: list[date]) -> list[date]:
    if len(months) <= _MOST_MONTHS:
        return months
    return [months[number * (len(months) - 1) // (_MOST_MONTHS - 1)] for number in range(_MOST_MONTHS)]


def _days_of(connection: duckdb.DuckDBPyConnection, month: date) -> list[str]:
    faults = []
    following = (month + timedelta(days=32)).replace(day=1)
    for (zone_name,) in connection.execute(query_text("readings_zones")).fetchall():
        zone = ZoneInfo(zone_name)
        start, end = (datetime.combine(day, time(), zone).astimezone(UTC) for day in (month, following))
        # By DuckDB's own clock changes, where the load has gone by those of Python.
        connection.execute("SET TimeZone = $zone", {"zone": zone_name})
        try:
            values = {"time_zone": zone_name, "start": start, "end": end}
            faults += _named(connection, "verify_days", "a day is not what its readings make (tag, day)", **values)
        finally:
            connection.execute("SET TimeZone = 'UTC'")
    return faults


def _named(connection: duckdb.DuckDBPyConnection, name: str, said: str, **values: object) -> list[str]:
    rows = connection.execute(query_text(f"readings_{name}"), values or None).fetchall()
    named = [f"{said}: {', '.join(map(str, row))}." for row in rows[:_MOST_NAMED]]
    return [*named, f"{said}: {len(rows) - _MOST_NAMED:,} more."] if len(rows) > _MOST_NAMED else named
