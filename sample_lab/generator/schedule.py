"""When which bottles are filled: the sampler's rounds through the plant."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from sample_lab.generator.noise import Noise
from sample_lab.generator.points import ROUND, Point
from sample_lab.generator.tables import ScheduleRow, schedule

FIRST_DAY = date(2023, 11, 1)
LAST_DAY = date(2026, 10, 31)
# From this day on the field crew keeps sheets of its own.
FIELD_SHEETS_FROM = date(2025, 11, 1)

_ROUNDS = {"Tuesday": 1, "Friday": 4}
_ROUND_STARTS = time(8, 0)
_MINUTES_BETWEEN_POINTS = 14


@dataclass(frozen=True, slots=True)
class Visit:
    """One stop at one sample point: the bottles filled there at one time make one sample."""

    sample: str
    point: Point
    collected: datetime
    analytes: tuple[str, ...]


def visits(noise: Noise) -> Iterator[Visit]:
    """Every routine visit of the record, in time order."""
    day = FIRST_DAY
    while day <= LAST_DAY:
        for weekday, number in _ROUNDS.items():
            if day.weekday() == number:
                yield from _round(day, weekday, noise)
        day += timedelta(days=1)


def _round(day: date, weekday: str, noise: Noise) -> Iterator[Visit]:
    for point in ROUND:
        analytes = tuple(row.analyte for row in schedule() if row.point == point and _is_due(row, day, weekday))
        if analytes:
            yield Visit(sample_name(point, day), point, collected_at(noise, day, point), analytes)


def collected_at(noise: Noise, day: date, point: Point) -> datetime:
    """When the sampler fills the bottles of a point."""
    minutes = ROUND.index(point) * _MINUTES_BETWEEN_POINTS + noise.minutes(0, 0.15, "visit", day, point)
    return datetime.combine(day, _ROUND_STARTS) + timedelta(minutes=minutes)


def sample_name(point: Point, day: date, suffix: str = "") -> str:
    """The plant's own name of a sample, as on the bottle label."""
    return f"Q{day:%y%m%d}-{point}{suffix}"


def _is_due(row: ScheduleRow, day: date, weekday: str) -> bool:
    if row.weekday != weekday or (row.starts is not None and day < row.starts):
        return False
    if row.frequency == "weekly":
        return True
    second_of_its_kind = 8 <= day.day <= 14
    if row.frequency == "monthly":
        return second_of_its_kind
    return second_of_its_kind and (day.month - row.first_month) % 3 == 0
