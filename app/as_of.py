"""A time at which something was known, as a person writes it."""

from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from pipeline.errors import BarrierbookError

LAST_INSTANT = time(23, 59, 59, 999_999)


def instant(written: str, zone: ZoneInfo) -> datetime:
    """The instant that a person means: a day is its end, a time without an offset is the plant's.

    Raises
    ------
    BarrierbookError
        When it is neither.

    Examples
    --------
    >>> instant("2031-11-20", ZoneInfo("America/Denver")).isoformat()
    '2031-11-20T23:59:59.999999-07:00'
    >>> instant("2031-11-20 08:30", ZoneInfo("America/Denver")).isoformat()
    '2031-11-20T08:30:00-07:00'
    """
    text = written.strip()
    try:
        if len(text) == len("2031-11-20"):
            return datetime.combine(date.fromisoformat(text), LAST_INSTANT, zone)
        moment = datetime.fromisoformat(text)
    except ValueError as error:
        raise BarrierbookError(
            f'"{written}" is not a day or a time.', "Write it like 2031-11-20 or 2031-11-20 08:30."
        ) from error
    return moment if moment.tzinfo else moment.replace(tzinfo=zone)
