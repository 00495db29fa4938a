"""Averages over calendar quarters: the mean of each period first, then the mean of the periods, never pooled results.

A quarter with three samples weighs as much as one with a single sample. Periods are quarters, or months for the limits
whose monthly means are averaged (40 CFR 141.133(b)(2), (c)(1)).
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from pipeline.screening.bounds import Bounds, mean
from pipeline.screening.calendar_quarters import (
    QUARTERS_OF_A_YEAR,
    first_day,
    last_day,
    month_name,
    month_of,
    quarter_name,
    quarter_of,
)
from pipeline.screening.rounding import round_to_figures
from pipeline.screening.samples import SampleValue

MONTHS_OF_A_QUARTER = 3


@dataclass(frozen=True, slots=True)
class PeriodMean:
    """Mean of one period [limit's unit] and the samples it was made from."""

    period: int
    quarter: int
    name: str
    value: Bounds
    samples: tuple[SampleValue, ...]


@dataclass(frozen=True, slots=True)
class PeriodMeans:
    """All period means of a limit at a sample point, by quarter, and where the series begins."""

    by_quarter: dict[int, list[PeriodMean]]
    first_quarter: int | None
    monthly: bool
    left_out: tuple[SampleValue, ...] = ()

    def window(self, last_quarter: int) -> list[PeriodMean]:
        """Period means of the four quarters that end with ``last_quarter``, in time order."""
        first = last_quarter - QUARTERS_OF_A_YEAR + 1
        return [one for quarter in range(first, last_quarter + 1) for one in self.by_quarter.get(quarter, ())]

    def is_full_year(self, last_quarter: int) -> bool:
        """Whether sampling had begun by the first of the four quarters, so that gaps are missing samples."""
        return self.first_quarter is not None and self.first_quarter <= last_quarter - QUARTERS_OF_A_YEAR + 1


def period_means(
    samples: Sequence[SampleValue],
    *,
    monthly: bool,
    first_on: date | None = None,
    rounded_to_figures: int | None = None,
) -> PeriodMeans:
    """Mean of each quarter, or of each month, that has samples.

    Parameters
    ----------
    samples
        Sample values in time order.
    monthly
        Whether the periods are months.
    first_on
        Date of the first sample ever counted, where ``samples`` no longer holds it.
    rounded_to_figures
        Significant figures to which each period is rounded before the average, where an agency asks for that; ``None``
        rounds nothing before the end.

    Notes
    -----
    A sample of a group that lacks a member is left out of a period that has a complete one.
    """
    by_period: dict[int, list[SampleValue]] = defaultdict(list)
    for sample in samples:
        by_period[month_of(sample.collected_on) if monthly else quarter_of(sample.collected_on)].append(sample)
    by_quarter: dict[int, list[PeriodMean]] = defaultdict(list)
    left_out: list[SampleValue] = []
    for period in sorted(by_period):
        complete = [sample for sample in by_period[period] if sample.complete]
        kept = complete or by_period[period]
        left_out += [sample for sample in by_period[period] if complete and not sample.complete]
        quarter = period // MONTHS_OF_A_QUARTER if monthly else period
        name = month_name(period) if monthly else quarter_name(period)
        value = _rounded(mean([sample.value for sample in kept]), rounded_to_figures)
        by_quarter[quarter].append(PeriodMean(period, quarter, name, value, tuple(kept)))
    starts = [quarter_of(first_on)] if first_on else []
    return PeriodMeans(by_quarter, min([*starts, *by_quarter], default=None), monthly, tuple(left_out))


def _rounded(value: Bounds, figures: int | None) -> Bounds:
    if figures is None:
        return value
    low, high = (None if end is None else round_to_figures(end, figures) for end in (value.low, value.high))
    return Bounds(low, high)


def last_complete_quarter(on: date) -> int:
    """Last quarter that has ended on a day; the day's own when it is the last of it."""
    quarter = quarter_of(on)
    return quarter if on == last_day(quarter) else quarter - 1


def window_days(last_quarter: int) -> tuple[date, date]:
    """First and last day of the four quarters that end with ``last_quarter``."""
    return first_day(last_quarter - QUARTERS_OF_A_YEAR + 1), last_day(last_quarter)
