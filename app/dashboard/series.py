"""What a chart of one analyte is drawn from: points, strokes, limit lines, steps and gaps, in one unit.

Everything here is exact until :mod:`app.dashboard.charts` turns it into places on a screen: whether a point lies beyond
the limit is decided on the fraction, not on the pixel.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from itertools import pairwise
from statistics import median
from typing import Final

from app import figures
from app.dashboard.pictures import Spark
from app.words import short_statistic
from pipeline.plant.tables import Limit, LimitStatus
from pipeline.screening.model import StatisticPoint

MOST_POINTS: Final = 2000
_GAP_IN_USUAL_INTERVALS: Final = Fraction(9, 4)
_SHORTEST_GAP: Final = timedelta(days=10)


@dataclass(frozen=True, slots=True)
class Point:
    """One result on a chart.

    ``low`` and ``high`` are equal for a measured value [chart's unit]; a non-detect runs from 0 to its limit; a value
    reported as above a number has ``high`` of ``None``. ``collected_on`` is the true day where ``on`` is only its place
    on an axis of another year.
    """

    on: date
    low: Fraction
    high: Fraction | None
    beyond: bool
    text: str
    place: str
    counts: bool = True
    collected_on: date | None = None

    @property
    def measured(self) -> bool:
        """Whether the laboratory gave a number and not a bound."""
        return self.high is not None and self.low == self.high

    @property
    def top(self) -> Fraction:
        """The largest number drawn for this result."""
        return self.low if self.high is None else self.high


@dataclass(frozen=True, slots=True)
class LimitLine:
    """A limit over the days on which it applies; open ends are ``None``."""

    value: Fraction
    words: str
    applies_from: date | None = None
    applies_to: date | None = None
    proposed: bool = False


@dataclass(frozen=True, slots=True)
class Series:
    """Everything one chart shows, up to the day it was evaluated on."""

    unit: str
    points: tuple[Point, ...]
    limits: tuple[LimitLine, ...]
    statistic: tuple[StatisticPoint, ...]
    statistic_name: str
    on: date
    last_text: str = ""

    @property
    def begins(self) -> date:
        """First day drawn."""
        return min([point.on for point in self.points] + [step.on for step in self.statistic] + [self.on])


def limit_lines(limits: Iterable[Limit], unit: str) -> tuple[LimitLine, ...]:
    """The lines of the limits that are written in ``unit``; a range gives one line for either end."""
    lines = []
    for limit in limits:
        if limit.unit != unit:
            continue
        proposed = limit.status not in (LimitStatus.IN_FORCE, LimitStatus.RESCISSION_PROPOSED)
        for value in (limit.value, limit.value_high):
            if value is None:
                continue
            amount = figures.with_unit(figures.decimal_text(value), unit)
            words = f"limit {amount} ({limit.kind}, {short_statistic(limit.statistic)})"
            lines.append(LimitLine(Fraction(value), words, limit.effective_from, limit.effective_to, proposed))
    return tuple(lines)


def runs(points: Sequence[Point]) -> list[int]:
    """The run each point belongs to: a line joins points of one run, and a non-detect or a gap begins another."""
    broken = {end for _, end in gaps([point.on for point in points])}
    numbers, run = [], 0
    for index, point in enumerate(points):
        after_a_bound = index > 0 and not points[index - 1].measured
        if after_a_bound or not point.measured or point.on in broken:
            run += 1
        numbers.append(run)
    return numbers


def repeats(statistic: Iterable[StatisticPoint], points: Iterable[Point]) -> bool:
    """Whether every step of a statistic is one of the results of its day: then a step line would say nothing new."""
    seen = {(point.on, point.low, point.high) for point in points}
    return all((step.on, step.low, step.high) in seen for step in statistic)


def gaps(days: Sequence[date]) -> list[tuple[date, date]]:
    """Stretches without samples: neighbors much further apart than is usual for this series."""
    distinct = sorted(set(days))
    between = [(before, after, after - before) for before, after in pairwise(distinct)]
    if len(between) < 3:
        return []
    usual = Fraction(median(apart.days for *_, apart in between))
    return [
        (before, after)
        for before, after, apart in between
        if apart.days > usual * _GAP_IN_USUAL_INTERVALS and apart > _SHORTEST_GAP
    ]


def at_most(points: Sequence[Point], most: int = MOST_POINTS) -> list[Point]:
    """At most about ``most`` points: the lowest and the highest of each bucket, so that no exceedance is lost."""
    if len(points) <= most:
        return list(points)
    size = -(-2 * len(points) // most)
    kept: set[int] = set()
    for start in range(0, len(points), size):
        bucket = range(start, min(start + size, len(points)))
        kept |= {min(bucket, key=lambda index: points[index].top), max(bucket, key=lambda index: points[index].top)}
    return [points[index] for index in sorted(kept)]


def sparks(points: Sequence[Point]) -> list[Spark]:
    """The same points for a sparkline."""
    return [Spark(point.low, point.high, point.beyond, point.text) for point in points]
