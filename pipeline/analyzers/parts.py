"""How a load of readings is divided: into parts of whole days that fit into memory, whatever the order of the file.

All readings of one tag and time fall into one part. What becomes of a reading therefore does not depend on where a
block of the file ended, nor on the order of its lines.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby
from typing import Final

PART_READINGS: Final = 4_000_000
LAST_TAG: Final = 2**31 - 1
_DAY: Final = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class DayCount:
    """How many readings of a tag there are on a day, arrived and stored; readings may lie a day off."""

    day: date
    tag_id: int
    readings: int


@dataclass(frozen=True, slots=True)
class Part:
    """Days of the plant and tags that are settled together; all bounds are inclusive."""

    first_day: date
    last_day: date
    first_tag: int
    last_tag: int


def plan_parts(counts: Iterable[DayCount], most: int = PART_READINGS) -> Iterator[Part]:
    """Divide a load into parts of about ``most`` readings or fewer; a month stays whole where it fits.

    Parameters
    ----------
    counts
        In order of day and tag. Every reading lies on one of the days, or a day before or after it.

    Examples
    --------
    >>> days = [DayCount(date(2026, 1, number), 1, 10) for number in (1, 2, 3)]
    >>> [(part.first_day.day, part.last_day.day) for part in plan_parts(days, most=25)]
    [(31, 2), (3, 4)]
    """
    runs = list(_runs(_by_day(counts), most))
    for position, run in enumerate(runs):
        is_last = position + 1 == len(runs)
        first_day = run[0].day - _DAY if position == 0 else run[0].day
        last_day = run[-1].day + _DAY if is_last else runs[position + 1][0].day - _DAY
        for first_tag, last_tag in _tag_spans(run, most):
            yield Part(first_day, last_day, first_tag, last_tag)


@dataclass(frozen=True, slots=True)
class _Day:
    day: date
    by_tag: dict[int, int]

    @property
    def readings(self) -> int:
        return sum(self.by_tag.values())


def _by_day(counts: Iterable[DayCount]) -> Iterator[_Day]:
    for day, of_day in groupby(counts, key=lambda count: count.day):
        yield _Day(day, {count.tag_id: count.readings for count in of_day})


def _runs(days: Iterable[_Day], most: int) -> Iterator[list[_Day]]:
    """Days in order, gathered; whole months where they fit."""
    run: list[_Day] = []
    weight = 0
    for _, of_month in groupby(days, key=lambda day: (day.day.year, day.day.month)):
        month = list(of_month)
        pieces = [month] if sum(day.readings for day in month) <= most else [[day] for day in month]
        for number, piece in enumerate(pieces):
            more = sum(day.readings for day in piece)
            # A month that has to be cut begins a part of its own.
            if run and (weight + more > most or (len(pieces) > 1 and number == 0)):
                yield run
                run, weight = [], 0
            run = [*run, *piece]
            weight += more
    if run:
        yield run


def _tag_spans(run: list[_Day], most: int) -> Iterator[tuple[int, int]]:
    """Numbers of tags from and to; all in one, unless a single day is too large."""
    first, weight = 0, 0
    if len(run) == 1:
        for tag_id, readings in sorted(run[0].by_tag.items()):
            if weight and weight + readings > most:
                yield first, tag_id - 1
                first, weight = tag_id, 0
            weight += readings
    yield first, LAST_TAG
