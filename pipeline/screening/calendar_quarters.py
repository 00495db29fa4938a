"""Calendar quarters and months as counting numbers, so that "the last four" is a subtraction."""

from datetime import date, timedelta

QUARTERS_OF_A_YEAR = 4


def quarter_of(day: date) -> int:
    """Number of the calendar quarter that holds a day; consecutive quarters have consecutive numbers.

    Examples
    --------
    >>> quarter_name(quarter_of(date(2025, 3, 31))), quarter_name(quarter_of(date(2025, 3, 31)) + 1)
    ('Q1 2025', 'Q2 2025')
    """
    return day.year * QUARTERS_OF_A_YEAR + (day.month - 1) // 3


def first_day(quarter: int) -> date:
    """First day of a quarter."""
    return date(quarter // QUARTERS_OF_A_YEAR, quarter % QUARTERS_OF_A_YEAR * 3 + 1, 1)


def last_day(quarter: int) -> date:
    """Last day of a quarter.

    Examples
    --------
    >>> last_day(quarter_of(date(2024, 1, 1)))
    datetime.date(2024, 3, 31)
    """
    return first_day(quarter + 1) - timedelta(days=1)


def quarter_name(quarter: int) -> str:
    """Name of a quarter as people write it: ``Q3 2031``."""
    return f"Q{quarter % QUARTERS_OF_A_YEAR + 1} {quarter // QUARTERS_OF_A_YEAR}"


def month_of(day: date) -> int:
    """Number of the calendar month that holds a day; consecutive months have consecutive numbers."""
    return day.year * 12 + day.month - 1


def month_name(month: int) -> str:
    """Name of a month: ``2031-08``."""
    return f"{month // 12}-{month % 12 + 1:02d}"
