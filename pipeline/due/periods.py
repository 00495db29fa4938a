"""The calendar periods of which a monitoring plan asks one sample each.

Periods are those of the calendar, not so many days from the last sample: quarters are calendar quarters, and the three
and nine years are the compliance period and the compliance cycle of 40 CFR 141.2, counted from January 1, 1993 [from
memory]. Days are days of the plant's own zone. Weeks run from Monday to Sunday (ISO 8601), for which there is no rule:
common practice, no source.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

FIRST_CYCLE: Final = 1993
"""The year in which the first nine-year compliance cycle began (40 CFR 141.2) [from memory]."""

_MONTHS: Final = {"monthly": 1, "quarterly": 3, "twice a year": 6, "yearly": 12}
_YEARS: Final = {"every 3 years": 3, "every 9 years": 9}
_A_DAY: Final = timedelta(days=1)


@dataclass(frozen=True, slots=True, order=True)
class Period:
    """Days of which one sample is asked; both are included."""

    first: date
    last: date

    def __contains__(self, day: date) -> bool:
        return self.first <= day <= self.last


def period_of(frequency: str, day: date) -> Period:
    """The period of a frequency in which a day lies.

    Parameters
    ----------
    frequency
        One of :data:`pipeline.plant.fixed_lists.FREQUENCIES`.

    Raises
    ------
    ValueError
        For a frequency that is not known.

    Examples
    --------
    >>> period_of("quarterly", date(2026, 11, 25))
    Period(first=datetime.date(2026, 10, 1), last=datetime.date(2026, 12, 31))
    >>> period_of("every 3 years", date(2026, 1, 1)).last  # the third period of the cycle of 2020
    datetime.date(2028, 12, 31)
    >>> period_of("every 9 years", date(2001, 12, 31)).first  # the last day of the first cycle
    datetime.date(1993, 1, 1)
    """
    if frequency == "daily":
        return Period(day, day)
    if frequency == "weekly":
        monday = day - timedelta(days=day.weekday())
        return Period(monday, monday + timedelta(days=6))
    if frequency in _MONTHS:
        months = _MONTHS[frequency]
        month = (day.month - 1) // months * months + 1
        return Period(date(day.year, month, 1), _day_before(day.year, month + months))
    if frequency in _YEARS:
        years = _YEARS[frequency]
        year = day.year - (day.year - FIRST_CYCLE) % years
        return Period(date(year, 1, 1), date(year + years - 1, 12, 31))
    raise ValueError(f"the frequency {frequency!r} is not known")


def period_after(frequency: str, period: Period) -> Period:
    """The period of the same frequency that follows."""
    return period_of(frequency, period.last + _A_DAY)


def periods_ending(frequency: str, first: date, last: date) -> Iterator[Period]:
    """Periods whose last day lies between two days, both included, in order."""
    if first > last:
        return
    period = period_of(frequency, first)
    while period.last <= last:
        yield period
        period = period_after(frequency, period)


def _day_before(year: int, month: int) -> date:
    return (date(year, month, 1) if month <= 12 else date(year + 1, 1, 1)) - _A_DAY
