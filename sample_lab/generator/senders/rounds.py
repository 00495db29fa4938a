"""Which bottles the other senders get: filled on the second Tuesday of a month, on the round that fills the first's."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sample_lab.generator.noise import Noise
from sample_lab.generator.points import Point
from sample_lab.generator.schedule import FIRST_DAY, LAST_DAY, collected_at, sample_name

_QUARTER_STARTS = (1, 4, 7, 10)


@dataclass(frozen=True, slots=True)
class Bottle:
    """One sample: the plant's name of it, where and when it was taken, and when the courier brought it."""

    sample: str
    point: Point
    collected: datetime
    received: datetime


def monthly_days() -> Iterator[date]:
    """The second Tuesday of every month of the record."""
    day = FIRST_DAY
    while day <= LAST_DAY:
        if day.weekday() == 1 and 8 <= day.day <= 14:
            yield day
        day += timedelta(days=1)


def quarterly_days() -> list[date]:
    """Those in the first month of a quarter."""
    return [day for day in monthly_days() if day.month in _QUARTER_STARTS]


def bottle(noise: Noise, day: date, point: Point) -> Bottle:
    """The sample of one point on one day."""
    hour = timedelta(hours=11, minutes=noise.minutes(0.2, 0.8, "second courier", day))
    received = datetime.combine(day, datetime.min.time()) + hour
    return Bottle(sample_name(point, day), point, collected_at(noise, day, point), received)
