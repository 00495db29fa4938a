"""A written date or time, read: an instant where the time is known, a local date where only the date is."""

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo

_TIME = re.compile(
    r"(?P<date>\d{4}-\d{2}-\d{2})"
    r"(?:[T ](?P<time>\d{1,2}:\d{2}(?::\d{2}(?:\.\d{1,6})?)?)"
    r"(?:\s?(?P<zone>Z|[+-]\d{2}:?\d{2}|[A-Z]{2,5}))?)?"
    r"(?: (?P<zone_of_date>[A-Z]{2,5}))?"
)

# Placeholders for "no date" (0001-01-01, 9999-12-31) lie outside, and no sample does.
FIRST_YEAR, LAST_YEAR = 1900, 2199

# Zone codes of the open WQX domain list that laboratories use, as hours from UTC [memory].
ZONE_HOURS = {
    "UTC": 0, "GMT": 0, "AST": -4, "ADT": -3, "EST": -5, "EDT": -4, "CST": -6, "CDT": -5, "MST": -7, "MDT": -6,
    "PST": -8, "PDT": -7, "AKST": -9, "AKDT": -8, "HST": -10, "SST": -11, "AWST": 8, "GST": 10,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class TimeReading:
    """What a time cell says.

    ``instant`` is in UTC and ``None`` where only the date is known; ``local_date`` is the date in the plant's zone;
    both are ``None`` for an empty or unreadable text. ``problem`` says why the text cannot be read, ``doubt`` what had
    to be decided to read it.
    """

    instant: datetime | None = None
    local_date: date | None = None
    problem: str = ""
    doubt: str = ""


def read_time(text: str, zone: ZoneInfo) -> TimeReading:
    """Read a date or time in ISO 8601, with an offset, a zone code, or local to the plant.

    A local time inside a clock change is read with the offset before the change and said to be doubtful; a date
    without a time stays a date.

    Examples
    --------
    >>> here = ZoneInfo("America/Los_Angeles")
    >>> read_time("2026-05-04 08:15", here).instant
    datetime.datetime(2026, 5, 4, 15, 15, tzinfo=datetime.timezone.utc)
    >>> read_time("2026-11-01 01:30", here).doubt
    '"2026-11-01 01:30" happened twice: the clock was set back.'
    >>> read_time("2026-05-04", here)
    TimeReading(instant=None, local_date=datetime.date(2026, 5, 4), problem='', doubt='')
    """
    written = " ".join(text.split())
    if not written:
        return TimeReading()
    match = _TIME.fullmatch(written)
    if not match:
        return TimeReading(problem=f'"{written[:40]}" is not a date or time.')
    if not FIRST_YEAR <= int(match["date"][:4]) <= LAST_YEAR:
        return TimeReading(problem=f'"{written}" is not between {FIRST_YEAR} and {LAST_YEAR}.')
    try:
        if match["time"] is None:
            return TimeReading(local_date=date.fromisoformat(match["date"]))
        # A spreadsheet drops the leading zero of an hour.
        hour, colon, rest = match["time"].partition(":")
        local = datetime.fromisoformat(f"{match['date']}T{hour:0>2}{colon}{rest}")
    except ValueError:
        return TimeReading(problem=f'"{written}" is not in the calendar.')
    return _placed(local, match["zone"] or "", written, zone)


def _placed(local: datetime, zone_text: str, written: str, plant_zone: ZoneInfo) -> TimeReading:
    if zone_text:
        offset = _offset(zone_text)
        if offset is None:
            return TimeReading(problem=f'the time zone "{zone_text}" of "{written}" is not known.')
        instant = local.replace(tzinfo=offset).astimezone(UTC)
        return TimeReading(instant, instant.astimezone(plant_zone).date())
    instant = local.replace(tzinfo=plant_zone).astimezone(UTC)
    return TimeReading(instant, instant.astimezone(plant_zone).date(), doubt=_clock_change(local, written, plant_zone))


def _clock_change(local: datetime, written: str, zone: ZoneInfo) -> str:
    earlier, later = (local.replace(tzinfo=zone, fold=fold).utcoffset() for fold in (0, 1))
    if earlier == later:
        return ""
    if earlier is not None and later is not None and earlier > later:
        return f'"{written}" happened twice: the clock was set back.'
    return f'"{written}" did not happen: the clock was set forward.'


def _offset(zone_text: str) -> tzinfo | None:
    if zone_text == "Z":
        return UTC
    if zone_text[0] in "+-":
        hours, minutes = int(zone_text[1:3]), int(zone_text[-2:])
        sign = -1 if zone_text[0] == "-" else 1
        return timezone(sign * timedelta(hours=hours, minutes=minutes)) if hours < 24 and minutes < 60 else None
    return timezone(timedelta(hours=ZONE_HOURS[zone_text])) if zone_text in ZONE_HOURS else None
