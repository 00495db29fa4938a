"""Closed months put in order: the readings of a tag stand together, and are found without reading the others."""

from datetime import UTC, date, datetime, time, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from pipeline.store.connection import Store
from pipeline.store.readings_writing import sweep
from pipeline.store.writing import query_text

PARTS_AT_REST: Final = 8
"""In how many parts a closed month may stand before a load puts it in order; a month of daily files has thirty."""


def compact_readings(store: Store, zone: ZoneInfo, most_parts: int = 1) -> list[date]:
    """Put every closed month that stands in more than ``most_parts`` parts into one; returns these months.

    A month is closed when there are readings of a later one. Each is moved in a transaction of its own: a program that
    is stopped leaves whole months behind. Only for a program that alone may write readings.
    """
    with store.read() as connection:
        months = connection.execute(query_text("readings_months")).fetchall()
        ((last_day,),) = connection.execute(query_text("readings_most_recent")).fetchall()
    closed = [month for month, parts in months if parts > most_parts and month < last_day.replace(day=1)]
    for month in closed:
        _put_in_order(store, zone, month)
    return closed


def _put_in_order(store: Store, zone: ZoneInfo, month: date) -> None:
    following = (month + timedelta(days=32)).replace(day=1)
    start, end = (datetime.combine(day, time(), zone).astimezone(UTC) for day in (month, following))
    with store.write() as connection:
        sweep(connection)
        span = {"start": start, "end": end}
        connection.execute(query_text("readings_take_month"), span)
        connection.execute(query_text("readings_remove_month"), span)
        connection.execute(query_text("readings_move_month"))
        connection.execute(query_text("readings_one_part"), {"month": month})
