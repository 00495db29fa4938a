"""The schedule a second time, day by day and without periods, to compare with.

It asks of every single day whether it is the last one of a period of the frequency in force, by the look of the day
that follows; it shares nothing with the schedule of the product.
"""

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from pipeline.plant.tables import MonitoringPlanRow

FIRST_MONTHS = {"monthly": range(1, 13), "quarterly": (1, 4, 7, 10), "twice a year": (1, 7)}
YEARS = {"yearly": 1, "every 3 years": 3, "every 9 years": 9}
A_DAY = timedelta(days=1)


def begins(frequency: str, day: date) -> bool:
    """Whether a period begins on the day."""
    if frequency == "daily":
        return True
    if frequency == "weekly":
        return day.isoweekday() == 1
    if frequency in FIRST_MONTHS:
        return day.day == 1 and day.month in FIRST_MONTHS[frequency]
    return (day.month, day.day) == (1, 1) and (day.year - 1993) % YEARS[frequency] == 0


def ends_asked_for(rows: Iterable[MonitoringPlanRow], first: date, last: date) -> Iterator[tuple[date, date]]:
    """First and last day of every period that asks for a sample and ends between two days."""
    rows = list(rows)
    day = first
    while day <= last:
        for row in rows:
            in_force = (row.effective_from is None or row.effective_from <= day) and (
                row.effective_to is None or day <= row.effective_to
            )
            if in_force and begins(row.frequency, day + A_DAY):
                start = day
                while not begins(row.frequency, start):
                    start -= A_DAY
                yield start, day
        day += A_DAY
