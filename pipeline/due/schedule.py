"""The schedule of a monitoring plan: which periods ask for a sample of an analyte at a point.

A period asks for a sample when a row of the plan with its frequency is in force on the period's last day. A row that
begins inside a period so asks for a sample by its end, and one that ends inside a period asks for none; where a
frequency changes, the new one decides about the period that it ends. A sample counts for the whole calendar period in
which it was taken, also where its row began later. (Common practice, no source: the rules give frequencies, and leave
the day of a change to the agency.)
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from pipeline.due.periods import Period, period_of, periods_ending
from pipeline.plant.tables import MonitoringPlanRow


@dataclass(frozen=True, slots=True)
class Expected:
    """A period that asks for a sample, and the row of the plan that does."""

    period: Period
    row: MonitoringPlanRow


def expected(rows: Iterable[MonitoringPlanRow], first: date, last: date) -> list[Expected]:
    """Periods that end between two days, both included, and ask for a sample; in order of their ends.

    Parameters
    ----------
    rows
        Rows of one analyte at one point; no two of them share a day.
    """
    return sorted(
        (
            Expected(period, row)
            for row in rows
            for period in periods_ending(
                row.frequency,
                max(first, row.effective_from or date.min),
                min(last, row.effective_to or date.max),
            )
        ),
        key=lambda one: one.period.last,
    )


def next_expected(rows: Iterable[MonitoringPlanRow], day: date) -> Expected | None:
    """The first period that asks for a sample and ends on a day or after it; ``None`` where the plan asks no more."""
    candidates = []
    for row in rows:
        period = period_of(row.frequency, max(day, row.effective_from or day))
        if row.effective_to is None or period.last <= row.effective_to:
            candidates.append(Expected(period, row))
    return min(candidates, key=lambda one: one.period.last, default=None)
