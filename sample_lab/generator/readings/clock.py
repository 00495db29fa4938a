"""The minutes of the readings: whole minutes of UTC since 1970, and what the plant's wall clock shows then."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import polars as pl

ZONE = "America/Los_Angeles"
MINUTES_OF_A_DAY = 1440
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
# Standard time of the plant; the plant's rhythm of day and night does not mind the hour of summer time.
_BEHIND_UTC = 8 * 60


@dataclass(frozen=True, slots=True)
class Span:
    """The readings from the beginning of one day to the end of another, local to the plant, every so many minutes."""

    first_day: date
    last_day: date
    interval: int

    @property
    def minutes(self) -> pl.Series:
        """The minute of each reading."""
        end = minute_of(datetime.combine(self.last_day + timedelta(days=1), datetime.min.time()))
        start = minute_of(datetime.combine(self.first_day, datetime.min.time()))
        return pl.int_range(start, end, self.interval, eager=True).alias("minute")


def minute_of(local: datetime) -> int:
    """The minute of a time of the plant's wall clock."""
    return int((local.replace(tzinfo=ZoneInfo(ZONE)) - _EPOCH) / timedelta(minutes=1))


def in_utc(minutes: pl.Series) -> pl.Series:
    """The times, with their zone."""
    return (minutes * 60_000).cast(pl.Datetime("ms")).dt.replace_time_zone("UTC")


def on_the_wall(minutes: pl.Series) -> pl.Series:
    """What the plant's wall clock shows: an hour is missing in spring, and one comes twice in autumn."""
    return in_utc(minutes).dt.convert_time_zone(ZONE).dt.replace_time_zone(None)


def of_the_day(minutes: pl.Series) -> pl.Series:
    """How far the day has gone, from 0 at midnight to 1."""
    return ((minutes - _BEHIND_UTC) % MINUTES_OF_A_DAY).cast(pl.Float64) / MINUTES_OF_A_DAY


def swing(minutes: pl.Series, peak: float) -> pl.Series:
    """The rhythm of a day, from -1 to 1 and highest at the share ``peak`` of the day: two parabolas for a sine."""
    share = (of_the_day(minutes) - peak + 1.25) % 1.0
    half = share * 2.0 % 1.0
    height = 4.0 * half * (1.0 - half)
    return pl.select(pl.when(share < 0.5).then(height).otherwise(-height)).to_series()


def is_summer_time(local: datetime) -> bool:
    """Whether the plant's clock is an hour ahead at a time of its own."""
    return bool(local.replace(tzinfo=ZoneInfo(ZONE)).dst())
