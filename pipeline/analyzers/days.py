"""Days of the plant: the readings of each tag and day in one row, for overviews of years."""

from datetime import UTC, date, timedelta
from typing import Final
from zoneinfo import ZoneInfo

import duckdb
import pyarrow as pa

from pipeline.analyzers.clock_changes import clock_changes, day_start, microseconds
from pipeline.analyzers.sql import statement

_MICROSECOND: Final = timedelta(microseconds=1)
_DAY: Final = timedelta(days=1)


def make_day_table(connection: duckdb.DuckDBPyConnection) -> None:
    """Make ``reckoned_day``, empty."""
    connection.execute(statement("reckoned_day"))


def reckon_days(
    connection: duckdb.DuckDBPyConnection, source: str, zone: ZoneInfo, first_day: date, last_day: date
) -> None:
    """Add to ``reckoned_day`` the days of the readings in ``source``.

    Parameters
    ----------
    connection
        Holds ``tag_setting``, ``reckoned_day`` and the table ``source`` (tag_id, read_us, value, flag) in the order of
        tag and time, with all readings of the days in question.
    first_day, last_day
        Days of the plant's zone between which they lie, both inclusive.
    """
    connection.execute(statement("day_bounds"))
    days = [first_day + number * _DAY for number in range((last_day - first_day).days + 1)]
    starts = [microseconds(day_start(zone, day)) for day in (*days, last_day + _DAY)]
    bounds = pa.table({"day": pa.array(days, pa.date32()), "start_us": starts[:-1], "end_us": starts[1:]})
    connection.register("bounds_of_days", bounds)
    connection.execute("INSERT INTO day_bounds FROM bounds_of_days")
    connection.unregister("bounds_of_days")
    ahead, values = _ahead(zone, first_day, last_day)
    connection.execute(statement("reckon_days").format(ahead=ahead, source=source), values)


def _ahead(zone: ZoneInfo, first_day: date, last_day: date) -> tuple[str, dict[str, int]]:
    """How far the wall clock is ahead of UTC [microseconds] at ``read_us``, and the numbers that the text asks for."""
    start, end = day_start(zone, first_day), day_start(zone, last_day + _DAY)
    changes = clock_changes(zone, start - _DAY, end + _DAY)
    values: dict[str, int] = {}
    for number, change in enumerate(changes):
        values |= {f"at_{number}": microseconds(change.at), f"ahead_{number}": change.before // _MICROSECOND}
    cases = " ".join(f"WHEN read_us < $at_{number} THEN $ahead_{number}" for number in range(len(changes)))
    last = changes[-1].after if changes else (start.replace(tzinfo=UTC).astimezone(zone).utcoffset() or timedelta(0))
    values["ahead"] = last // _MICROSECOND
    return (f"CASE {cases} ELSE $ahead END" if cases else "$ahead"), values
