"""A written date or time, read: an instant where the time is known, a local date where only the date is."""

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo

from pipeline.ingest.date_text import FIRST_YEAR, LAST_YEAR, NOT_IN_CALENDAR, Written, written_date
from pipeline.ingest.file_layout import folded
from pipeline.ingest.styles import TimeStyle

ISO = TimeStyle()
_CLOCK = re.compile(
    r"(?:T| |, )?(?P<hour>\d{1,2}):(?P<minute>\d{2})(?::(?P<second>\d{2})(?:\.(?P<fraction>\d{1,6})\d*)?)?"
    r"(?:\s?(?P<half>[AaPp])\.?[Mm]\.?(?![A-Za-z]))?"
)
_CLOCK_IN_DIGITS = re.compile(r" (?P<hour>\d{2})(?P<minute>\d{2})(?P<second>)(?P<fraction>)(?P<half>)(?!\d)")
_OFFSET = re.compile(r"(?:UTC|GMT)?(?P<sign>[+-])(?P<hours>\d{1,2})(?::?(?P<minutes>\d{2}))?")

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


def read_time(text: str, zone: ZoneInfo, style: TimeStyle = ISO) -> TimeReading:
    """Read a date or time with an offset, a zone code, or local to the sender.

    A local time inside a clock change is read with the offset before the change and said to be doubtful; a date
    without a time stays a date.

    Parameters
    ----------
    zone
        The plant's.
    style
        How the sender writes times; by default ISO 8601 alone, local to the plant.

    Examples
    --------
    >>> here = ZoneInfo("America/Los_Angeles")
    >>> read_time("2026-05-04 08:15", here).instant
    datetime.datetime(2026, 5, 4, 15, 15, tzinfo=datetime.timezone.utc)
    >>> read_time("2026-11-01 01:30", here).doubt
    '"2026-11-01 01:30" happened twice: the clock was set back.'
    >>> read_time("2026-05-04", here)
    TimeReading(instant=None, local_date=datetime.date(2026, 5, 4), problem='', doubt='')
    >>> read_time("5/4/2026", here, TimeStyle(order="month first")).local_date
    datetime.date(2026, 5, 4)
    """
    written = " ".join(text.split())
    if not written:
        return TimeReading()
    day = written_date(written, style)
    if isinstance(day, str):
        return TimeReading(problem=day)
    if not FIRST_YEAR <= day.date.year <= LAST_YEAR:
        return TimeReading(problem=f'"{written}" is not between {FIRST_YEAR} and {LAST_YEAR}.')
    return _with_clock(day, written, zone, style)


def _with_clock(day: Written, written: str, zone: ZoneInfo, style: TimeStyle) -> TimeReading:
    clock = _clock(day.rest, style)
    if clock is None:
        # A zone beside a date without a time says nothing: the day is the one that was written.
        is_day = not day.rest or _zone(day.rest.strip(), style) is not None
        problem = "" if is_day else f'"{written[:40]}" is not a date or time.'
        return TimeReading(local_date=day.date if is_day else None, problem=problem)
    try:
        local = datetime.combine(day.date, _time_of_day(clock))
    except ValueError:
        return TimeReading(problem=NOT_IN_CALENDAR.format(written))
    zone_text = day.rest[clock.end() :].strip()
    return _placed(local, zone_text, written, zone, style)


def _clock(rest: str, style: TimeStyle) -> re.Match[str] | None:
    """The time of day behind a date. The midnight that a column of dates may carry gives way to a time behind it."""
    clock = _CLOCK.match(rest) or (_CLOCK_IN_DIGITS.match(rest) if style.order else None)
    if clock and _time_text(clock) == "00:00:00":
        return _CLOCK.match(rest, clock.end()) or clock
    return clock if clock is None or style.order or not clock["half"] else None


def _time_text(clock: re.Match[str]) -> str:
    try:
        return str(_time_of_day(clock))
    except ValueError:
        return ""


def _time_of_day(clock: re.Match[str]) -> time:
    hour = int(clock["hour"])
    if clock["half"]:
        if not 1 <= hour <= 12:
            raise ValueError("an hour of half a day")
        hour = hour % 12 + (12 if clock["half"] in "Pp" else 0)
    return time(hour, int(clock["minute"]), int(clock["second"] or 0), int(f"{clock['fraction'] or '':0<6}"))


def _placed(local: datetime, zone_text: str, written: str, plant_zone: ZoneInfo, style: TimeStyle) -> TimeReading:
    zone = _zone(zone_text, style) if zone_text else _local_zone(local, plant_zone, style)
    if zone is None:
        return TimeReading(problem=f'the time zone "{zone_text}" of "{written}" is not known.')
    instant = local.replace(tzinfo=zone).astimezone(UTC)
    return TimeReading(instant, instant.astimezone(plant_zone).date(), doubt=_clock_change(local, written, zone))


def _local_zone(local: datetime, plant_zone: ZoneInfo, style: TimeStyle) -> tzinfo:
    zone = ZoneInfo(style.zone) if style.zone else plant_zone
    if style.clock == "local":
        return zone
    there = local.replace(tzinfo=zone)
    return timezone((there.utcoffset() or timedelta()) - (there.dst() or timedelta()))


def _clock_change(local: datetime, written: str, zone: tzinfo) -> str:
    earlier, later = (local.replace(tzinfo=zone, fold=fold).utcoffset() for fold in (0, 1))
    if earlier == later:
        return ""
    if earlier is not None and later is not None and earlier > later:
        return f'"{written}" happened twice: the clock was set back.'
    return f'"{written}" did not happen: the clock was set forward.'


def _zone(zone_text: str, style: TimeStyle) -> tzinfo | None:
    """The zone that a text means: by the layout's words, an offset, or a code; ``None`` where it is not known."""
    told = style.zones.get(folded(zone_text), zone_text)
    if told == "Z":
        return UTC
    offset = _OFFSET.fullmatch(told)
    if offset:
        hours, minutes = int(offset["hours"]), int(offset["minutes"] or 0)
        sign = -1 if offset["sign"] == "-" else 1
        return timezone(sign * timedelta(hours=hours, minutes=minutes)) if hours < 24 and minutes < 60 else None
    if told in ZONE_HOURS:
        return timezone(timedelta(hours=ZONE_HOURS[told]))
    return ZoneInfo(told) if told != zone_text else None
