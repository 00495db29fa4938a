"""How often a limit's analyte is sampled: from the monitoring plan, else from the samples themselves."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from pipeline.screening.calendar_quarters import QUARTERS_OF_A_YEAR, first_day, quarter_of
from pipeline.screening.samples import SampleValue

YEARLY_OR_LESS = frozenset({"yearly", "every 3 years", "every 9 years"})
TIMES_A_YEAR = {"daily": 365, "weekly": 52, "monthly": 12, "quarterly": 4, "twice a year": 2, "yearly": 1}


@dataclass(frozen=True, slots=True)
class Frequency:
    """Samples planned in a year, at least 1, and where that is known from."""

    times_a_year: int
    said_by: str

    @property
    def yearly_or_less(self) -> bool:
        """Whether a single sample is judged by itself rather than in a running average."""
        return self.times_a_year <= 1

    @property
    def quarterly_or_less(self) -> bool:
        """Whether one sample completes a quarter."""
        return self.times_a_year <= QUARTERS_OF_A_YEAR

    def planned_periods(self, *, monthly: bool) -> int:
        """Periods with samples that a year has by this frequency; what the early test divides by.

        A limit that is averaged however rarely it is sampled has four quarters.
        """
        times_a_year = QUARTERS_OF_A_YEAR if self.yearly_or_less else self.times_a_year
        return min(times_a_year, 12 if monthly else QUARTERS_OF_A_YEAR)


def frequency_of(planned: str | None, samples: Sequence[SampleValue], on: date, *, of_rule: int) -> Frequency:
    """Frequency in force on a day.

    Parameters
    ----------
    planned
        As the monitoring plan has it; ``None`` when the plan does not say.
    samples
        Sample values in time order; a confirmation is no sample of its own.
    of_rule
        Samples a year that the statistic itself supposes, for a limit that is always averaged.
    """
    if planned in YEARLY_OR_LESS:
        return Frequency(1, f"monitoring plan: {planned}")
    if planned in TIMES_A_YEAR:
        return Frequency(TIMES_A_YEAR[planned], f"monitoring plan: {planned}")
    begin = first_day(quarter_of(on) - QUARTERS_OF_A_YEAR + 1)
    count = sum(begin <= sample.collected_on <= on for sample in samples)
    noun = "sample" if count == 1 else "samples"
    said_by = f"not in the monitoring plan; {count} compliance {noun} since {begin.isoformat()}"
    if of_rule > 1:
        return Frequency(max(of_rule, count), f"{said_by}; the rule averages over the year")
    # Two samples may be the first two of a year of quarters, so they are never read as "twice a year".
    return Frequency(1 if count <= 1 else max(count, QUARTERS_OF_A_YEAR), said_by)
