"""A series as the charts of trends need it: points and limit lines of each sample point, in one unit."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from typing import Final

from app import figures, trend_rows
from app.dashboard.series import LimitLine, Point
from app.words import short_statistic
from pipeline.trends.limit_steps import LimitStep
from pipeline.trends.model import Placed, Series

LEAP_YEAR: Final = 2000
"""The year on whose days several years are laid over one another; it has a 29 February."""


@dataclass(frozen=True, slots=True)
class Panel:
    """What is drawn of one sample point."""

    sample_point: str
    points: tuple[Point, ...]
    limits: tuple[LimitLine, ...]


@dataclass(frozen=True, slots=True)
class Scale:
    """The axis of values that all panels share.

    ``floor`` is zero, or where a logarithmic axis begins: a power of ten below everything that is drawn.
    """

    logarithmic: bool
    floor: float
    top: float


def panels(series: Series, steps: Sequence[LimitStep]) -> list[Panel]:
    """One panel a sample point that has something to draw, in the order of the series."""
    found = []
    for code in series.sample_points:
        here = [step for step in steps if code in step.sample_points]
        drawn = [one for one in series.placed if one.result.sample_point == code and one.result.drawn]
        points = tuple(point_of(one, series, here) for one in drawn)
        if points:
            found.append(Panel(code, points, limit_lines(here, series)))
    return found


def point_of(placed: Placed, series: Series, steps: Sequence[LimitStep]) -> Point:
    """A result as a point; beyond, when it lies on the wrong side of a limit in force on its day."""
    result = placed.result
    beyond = not result.non_detect and any(step.on(result.collected_on) and _beyond(placed.low, step) for step in steps)
    unit = trend_rows.measure_text(series.measure)
    text = f"{trend_rows.shown_text(placed, series.measure)} {unit}"
    if result.measure != series.measure:
        text += f" (reported {trend_rows.reported_text(result)} {trend_rows.measure_text(result.measure)})"
    place = f"{result.file}, line {result.line}, column {result.column}"
    return Point(result.collected_on, placed.low, placed.high, beyond, text, place, result.counts)


def limit_lines(steps: Sequence[LimitStep], series: Series) -> tuple[LimitLine, ...]:
    """Limits as lines over their days; a range gives one line for either end."""
    lines = []
    for step in steps:
        for value in (step.value, step.value_high):
            if value is None:
                continue
            amount = f"{figures.calculated(value)} {trend_rows.measure_text(series.measure)}"
            kind = f"proposed {step.limit.kind}" if step.proposed else step.limit.kind
            text = f"limit {amount} ({kind}, {short_statistic(step.limit.statistic)})"
            lines.append(LimitLine(value, text, step.applies_from, step.applies_to, step.proposed))
    return tuple(lines)


def without_limits_above(shown: Sequence[Panel]) -> list[Panel]:
    """Panels without the limits that lie above every value, so that the values fill the chart."""
    highest = max((point.top for panel in shown for point in panel.points), default=Fraction(0))
    return [replace(one, limits=tuple(line for line in one.limits if line.value <= highest)) for one in shown]


def shared_scale(shown: Sequence[Panel], *, logarithmic: bool) -> Scale:
    """One axis for all panels, with room above the highest value and limit."""
    tops = [point.top for panel in shown for point in panel.points]
    tops += [line.value for panel in shown for line in panel.limits]
    highest = max(tops, default=Fraction(1)) or Fraction(1)
    if not logarithmic:
        return Scale(False, 0.0, float(highest) * 1.12)
    lows = [point.low if point.measured else point.top for panel in shown for point in panel.points]
    lows += [line.value for panel in shown for line in panel.limits]
    lowest = min((low for low in lows if low > 0), default=highest)
    return Scale(True, _power_of_ten_below(lowest), float(highest) * 1.5)


def on_one_year(points: Sequence[Point]) -> dict[int, list[Point]]:
    """Points by year, each on the same day and month of one year."""
    by_year: dict[int, list[Point]] = {}
    for point in points:
        moved = replace(point, on=point.on.replace(year=LEAP_YEAR), collected_on=point.on)
        by_year.setdefault(point.on.year, []).append(moved)
    return by_year


def spans(series: Series, shown: Sequence[Panel], last: date) -> tuple[date, date]:
    """First and last day of the axis that all panels share."""
    days = [point.on for panel in shown for point in panel.points]
    first = series.first or min(days, default=last)
    return first, max([last, *days])


def _beyond(value: Fraction, step: LimitStep) -> bool:
    """Whether a value lies on the wrong side of a limit's number, before any rounding."""
    if step.value is None:
        return False
    direction = step.limit.direction
    too_high = step.value_high if direction == "within" else step.value if direction == "not above" else None
    too_low = step.value if direction in ("within", "not below") else None
    return (too_high is not None and value > too_high) or (too_low is not None and value < too_low)


def _power_of_ten_below(value: Fraction) -> float:
    """The largest power of ten that is at most half of a value, so that a stroke down to it can be seen."""
    power = Fraction(1)
    while power > value / 2:
        power /= 10
    while power * 10 <= value / 2:
        power *= 10
    return float(power)
