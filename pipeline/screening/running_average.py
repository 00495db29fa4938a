"""Running annual averages: the last four quarters, and what is certain before they are over.

The average of four quarter means decides at the end of each quarter. It is certain earlier when the quarters so far,
with zero for those still to come, already lie beyond the limit (40 CFR 141.23(i)(1), 141.133(a)(3), 141.903(f)). A
quarter without samples inside a full year is no zero: what was collected is averaged, and the gap is told.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from pipeline.plant.tables import Limit
from pipeline.screening.assessment import HISTORY_YEARS, Assessment, Question
from pipeline.screening.averaging import (
    PeriodMean,
    PeriodMeans,
    last_complete_quarter,
    period_means,
    window_days,
)
from pipeline.screening.bounds import Bounds, total
from pipeline.screening.calendar_quarters import QUARTERS_OF_A_YEAR, last_day, quarter_name, quarter_of
from pipeline.screening.explanation import (
    average_step,
    compared_text,
    comparison_steps,
    confirmation_steps,
    group_steps,
    period_mean_step,
    range_text,
    window_step,
)
from pipeline.screening.frequency import Frequency
from pipeline.screening.model import StatisticPoint, Step
from pipeline.screening.next_in_average import next_in_average
from pipeline.screening.outcome import COMPLIES, beyond_outcome, decided_outcome
from pipeline.screening.rounding import Compared, compare, share_of_limit
from pipeline.screening.samples import SampleValue
from pipeline.vocabulary import Comparison, Outcome


@dataclass(frozen=True, slots=True)
class AverageAt:
    """The average of four quarters as it stood at one of them.

    ``divisor`` is what was divided by: the periods collected for a full year or a mean so far, the periods planned for
    the early test.
    """

    quarter: int
    window: list[PeriodMean]
    divisor: int
    compared: Compared
    early: bool


@dataclass(frozen=True, slots=True)
class RunningAverage:
    """A series of period means beside a limit, with the frequency that says how many a year should have."""

    question: Question
    means: PeriodMeans
    frequency: Frequency

    @property
    def planned(self) -> int:
        """Periods that a full year of samples has."""
        return self.frequency.planned_periods(monthly=self.means.monthly)

    @property
    def early_test(self) -> bool:
        """Whether the rule lets an exceedance be certain before four quarters are over."""
        return self.question.limit.statistic_parameters.get("early", "no") == "yes"

    def mean_at(self, quarter: int) -> AverageAt | None:
        """Mean of the periods collected in the four quarters that end here; ``None`` without any."""
        window = self.means.window(quarter)
        if not window:
            return None
        compared = compare(sum_of(window), len(window), self.question.numbers)
        return AverageAt(quarter, window, len(window), compared, early=False)

    def early_at(self, quarter: int) -> AverageAt | None:
        """Return the same with zero for what is still to come; ``None`` where the rule has no early test."""
        window = self.means.window(quarter)
        if not window or not self.early_test:
            return None
        divisor = max(self.planned, len(window))
        return AverageAt(quarter, window, divisor, compare(sum_of(window), divisor, self.question.numbers), early=True)

    def certain_at(self, quarter: int) -> AverageAt | None:
        """Average that makes an exceedance certain at the end of a quarter; ``None`` when there is none."""
        full = self.mean_at(quarter) if self.means.is_full_year(quarter) else None
        if full is not None and full.compared.comparison is Comparison.ABOVE:
            return full
        return self.certain_early(quarter)

    def certain_early(self, quarter: int) -> AverageAt | None:
        """Early test where it says that the limit is exceeded; ``None`` when it does not."""
        early = self.early_at(quarter)
        return early if early is not None and early.compared.comparison is Comparison.ABOVE else None


def sum_of(window: Sequence[PeriodMean]) -> Bounds:
    """Sum of the period means, each with the same weight whatever its number of samples."""
    return total(one.value for one in window)


def assess_running(
    question: Question, statistic_name: str, frequency: Frequency, *, monthly: bool = False
) -> Assessment:
    """Assess a running annual average on a day."""
    figures = question.limit.statistic_parameters.get("pre_round", "none")
    means = period_means(
        question.samples,
        monthly=monthly,
        first_on=question.first_on,
        rounded_to_figures=None if figures == "none" else int(figures),
    )
    running = RunningAverage(question, means, frequency)
    last = last_judged_quarter(running)
    newest = quarter_of(question.on) if means.by_quarter.get(quarter_of(question.on)) else last
    if not means.window(newest):
        return _nothing_lately(question, statistic_name, last)
    certain = _certain_now(running, last, newest)
    if certain is not None:
        outcome, shown = beyond_outcome(question.limit), certain
    elif means.is_full_year(last) and (full := running.mean_at(last)) is not None:
        outcome = decided_outcome(full.compared, question.limit, question.numbers, question.near_limit_share)
        shown = full
    else:
        shown = _so_far(running, newest)
        above = shown.compared.comparison is Comparison.ABOVE
        outcome = Outcome.ABOVE_NOT_YET if above else Outcome.NOT_ENOUGH_DATA
    return _assessment(running, statistic_name, shown, outcome, last)


def last_judged_quarter(running: RunningAverage) -> int:
    """Last quarter whose average stands: ended, or complete because its one planned sample is in."""
    today = quarter_of(running.question.on)
    sampled = today in running.means.by_quarter
    quarterly = running.frequency.quarterly_or_less and not running.means.monthly
    return today if sampled and quarterly else last_complete_quarter(running.question.on)


def running_history(running: RunningAverage, last: int) -> tuple[StatisticPoint, ...]:
    """Average at the end of each quarter of the last years that completes a year of sampling."""
    points = []
    for quarter in range(last - HISTORY_YEARS * QUARTERS_OF_A_YEAR + 1, last + 1):
        found = running.mean_at(quarter) if running.means.is_full_year(quarter) else None
        if found is not None and found.compared.low.exact is not None and found.compared.high.exact is not None:
            points.append(StatisticPoint(last_day(quarter), found.compared.low.exact, found.compared.high.exact))
    return tuple(points)


def _certain_now(running: RunningAverage, last: int, newest: int) -> AverageAt | None:
    """Exceedance by the last full year, else by the quarters so far."""
    return running.certain_at(last) or (running.certain_early(newest) if newest != last else None)


def _so_far(running: RunningAverage, newest: int) -> AverageAt:
    found = running.mean_at(newest)
    if found is None:
        raise LookupError(f"No samples in the year that ends with {quarter_name(newest)}.")
    return found


def _nothing_lately(question: Question, statistic_name: str, last: int) -> Assessment:
    begin, end = window_days(last)
    latest = question.samples[-1].collected_on.isoformat()
    reason = f"no sample that counts since {begin.isoformat()}; the latest is of {latest}"
    return Assessment(Outcome.NO_DATA, reason, statistic_name, window_from=begin, window_to=end)


def _assessment(
    running: RunningAverage, statistic_name: str, shown: AverageAt, outcome: Outcome, last: int
) -> Assessment:
    question = running.question
    begin, end = window_days(shown.quarter)
    samples = tuple(sample for period in shown.window for sample in period.samples)
    coming = next_in_average(question, running.means, last=last, planned=running.planned, early_test=running.early_test)
    return Assessment(
        outcome=outcome,
        reason=_reason(running, shown, outcome),
        statistic_name=statistic_name,
        compared=shown.compared,
        since=_since(running, shown.quarter) if outcome is beyond_outcome(question.limit) else None,
        window_from=begin,
        window_to=end,
        steps=_steps(running, shown, samples, outcome),
        samples=samples,
        left_out=tuple(sample for sample in running.means.left_out if begin <= sample.collected_on <= end),
        next_action=_prompt(running, shown, outcome),
        next_may_be=coming.may_be if coming else None,
        next_assumes=coming.assumes if coming else "",
        history=running_history(running, last),
    )


def _since(running: RunningAverage, quarter: int) -> date:
    """End of the quarter at which the exceedance that lasts until now became certain."""
    while running.certain_at(quarter - 1) is not None:
        quarter -= 1
    return last_day(quarter)


def _reason(running: RunningAverage, shown: AverageAt, outcome: Outcome) -> str:
    limit = running.question.limit
    noun = "months" if running.means.monthly else "quarters"
    text = compared_text(shown.compared, limit)
    missing = running.planned - len(shown.window)
    if shown.early:
        certain = f"certain at the end of {quarter_name(quarter_of(_since(running, shown.quarter)))}"
        return f"running annual average {text} even with zero for the {noun} to come; {certain}"
    if outcome in (Outcome.NOT_ENOUGH_DATA, Outcome.ABOVE_NOT_YET):
        return f"{len(shown.window)} of {running.planned} {noun}: mean so far {text}; a full year of {noun} decides"
    gap = f"; no sample in {missing} of {running.planned} {noun}: mean of those collected" if missing > 0 else ""
    return f"running annual average {text}{gap}"


def _steps(
    running: RunningAverage, shown: AverageAt, samples: Sequence[SampleValue], outcome: Outcome
) -> tuple[Step, ...]:
    question, monthly = running.question, running.means.monthly
    limit = question.limit
    share = share_of_limit(shown.compared.bounds, question.numbers)
    steps = [
        Step("Sampling", running.frequency.said_by),
        window_step(shown.window, shown.quarter, running.planned, monthly=monthly),
        *group_steps(samples, question.terms, limit.unit),
        *confirmation_steps(samples, limit.unit),
        period_mean_step(shown.window, monthly=monthly),
        average_step(shown.window, shown.divisor, running.means, limit.unit),
        *comparison_steps(shown.compared, limit, share, question.near_limit_share),
    ]
    if outcome in (Outcome.NOT_ENOUGH_DATA, Outcome.ABOVE_NOT_YET):
        steps += _early_step(running, shown.quarter, limit)
    return tuple(steps)


def _early_step(running: RunningAverage, quarter: int, limit: Limit) -> list[Step]:
    """Write the early test that did not fire: it is what says "not yet"."""
    early = running.early_at(quarter)
    if early is None:
        return []
    added = sum_of(early.window)
    how = f"{range_text(added)} ÷ {early.divisor}: {compared_text(early.compared, limit)}"
    return [Step("With zero for what is to come", how)]


def _prompt(running: RunningAverage, shown: AverageAt, outcome: Outcome) -> str:
    if outcome in (Outcome.NOT_ENOUGH_DATA, Outcome.ABOVE_NOT_YET):
        noun = "months" if running.means.monthly else "quarters"
        return f"{len(shown.window)} of {running.planned} {noun} sampled"
    missing = running.planned - len(shown.window)
    if missing > 0 and outcome in COMPLIES:
        noun = "month" if running.means.monthly else "quarter"
        return f"{missing} {noun}{'s' if missing > 1 else ''} without a sample"
    return "watch next quarter" if outcome is Outcome.NEAR_LIMIT else ""
