"""Limits that each result meets or not by itself, or by its mean with the confirmation.

The results since the start of the quarter of the latest one are judged (a year for trigger levels): one beyond the
number decides even when a later one is back within; otherwise the latest does. Section references stand with the
limit; the mean with a confirmation is 40 CFR 141.23(i)(2) and (i)(3).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from operator import attrgetter

from pipeline.plant.tables import Limit
from pipeline.screening.assessment import HISTORY_YEARS, Assessment, Question
from pipeline.screening.bounds import Bounds
from pipeline.screening.calendar_quarters import QUARTERS_OF_A_YEAR, first_day, quarter_of
from pipeline.screening.confirmations import clock_starts, confirmation_due
from pipeline.screening.explanation import compared_text, comparison_steps, confirmation_steps, group_steps, side_text
from pipeline.screening.model import StatisticPoint, Step
from pipeline.screening.next_result import largest_that_complies
from pipeline.screening.outcome import TRIGGER_KINDS, beyond_outcome, decided_outcome
from pipeline.screening.rounding import Compared, compare, share_of_limit
from pipeline.screening.samples import SampleValue
from pipeline.vocabulary import Comparison, Outcome

ALONE = "the next sample by itself"


@dataclass(frozen=True, slots=True)
class JudgedSample:
    """One sample beside the limit. ``waits_until`` is set while a confirmation may still come."""

    sample: SampleValue
    compared: Compared
    share: Bounds
    beyond_since: date | None = None
    waits_until: date | None = None

    @property
    def severity(self) -> tuple[Fraction, bool, Fraction, Fraction, date, str]:
        """Order of samples with one outcome, by the share of the limit they use; the largest is shown."""
        low, high = self.share.low or Fraction(0), self.share.high or Fraction(0)
        amount = self.compared.high.exact or Fraction(0)
        return low, self.share.high is None, high, amount, self.sample.collected_on, self.sample.sample

    @property
    def closeness(self) -> tuple[bool, Fraction, Fraction, Fraction, str]:
        """Order of samples within the limit, the nearest last: what a value may be at most comes first."""
        low, high = self.share.low or Fraction(0), self.share.high or Fraction(0)
        return self.share.high is None, high, low, self.compared.high.exact or Fraction(0), self.sample.sample


def assess_single(question: Question, statistic_name: str, *, confirmed: bool) -> Assessment:
    """Assess results one by one; with ``confirmed`` a result beyond the number waits for its confirmation."""
    limit = question.limit
    latest_on = question.samples[-1].collected_on
    window_from = _window_start(limit, latest_on, question.on)
    window = [sample for sample in question.samples if sample.collected_on >= window_from]
    judged = [judge_sample(sample, question, confirmed=confirmed) for sample in window]
    beyond = [one for one in judged if one.beyond_since is not None]
    waiting = [one for one in judged if one.waits_until is not None]
    since = None
    if beyond:
        shown = max(beyond, key=attrgetter("severity"))
        outcome = beyond_outcome(limit)
        since = min(one.beyond_since for one in beyond if one.beyond_since is not None)
    elif waiting:
        shown, outcome = max(waiting, key=attrgetter("severity")), Outcome.ABOVE_NOT_YET
    else:
        shown = _latest(judged)
        outcome = decided_outcome(shown.compared, limit, question.numbers, question.near_limit_share)
    return Assessment(
        outcome=outcome,
        reason=_reason(shown, judged, outcome, question),
        statistic_name=statistic_name,
        compared=shown.compared,
        since=since,
        window_from=window_from,
        window_to=question.on,
        steps=_steps(shown, question),
        samples=tuple(window),
        next_action=_confirm_prompt(limit) if outcome is Outcome.ABOVE_NOT_YET else "",
        next_may_be=largest_that_complies(limit, question.numbers, others=Fraction(0), weight=1, divisor=1),
        next_assumes="" if question.numbers.direction == "not below" else ALONE,
        history=single_history(question),
    )


def judge_sample(sample: SampleValue, question: Question, *, confirmed: bool) -> JudgedSample:
    """Compare one sample, and say whether it decides or waits for its confirmation."""
    compared = compare(sample.value, 1, question.numbers)
    share = share_of_limit(compared.bounds, question.numbers)
    if compared.comparison is not Comparison.ABOVE:
        return JudgedSample(sample, compared, share)
    if not confirmed or sample.confirmed:
        return JudgedSample(sample, compared, share, beyond_since=sample.decided_on)
    due = confirmation_due(clock_starts(sample.collected_on, sample.told_on, question.limit), question.limit)
    if due is not None and question.on <= due:
        return JudgedSample(sample, compared, share, waits_until=due)
    return JudgedSample(sample, compared, share, beyond_since=due or sample.decided_on)


def single_history(question: Question) -> tuple[StatisticPoint, ...]:
    """Value of each sample of the last years, for a chart; samples without an upper end are left out."""
    begin = first_day(quarter_of(question.on) - HISTORY_YEARS * QUARTERS_OF_A_YEAR)
    return tuple(
        StatisticPoint(sample.collected_on, sample.value.low, sample.value.high)
        for sample in question.samples
        if sample.collected_on >= begin and sample.value.low is not None and sample.value.high is not None
    )


def _window_start(limit: Limit, latest_on: date, on: date) -> date:
    if limit.kind in TRIGGER_KINDS:
        return min(first_day(quarter_of(on) - QUARTERS_OF_A_YEAR + 1), first_day(quarter_of(latest_on)))
    return first_day(quarter_of(latest_on))


def _latest(judged: Sequence[JudgedSample]) -> JudgedSample:
    """Sample that decides when none is beyond: the latest with all members, undecided before decided on one day."""
    candidates = [one for one in judged if one.sample.complete] or list(judged)
    day = max(one.sample.collected_on for one in candidates)
    same_day = [one for one in candidates if one.sample.collected_on == day]
    open_ones = [one for one in same_day if one.compared.comparison is Comparison.UNDECIDED]
    return max(open_ones or same_day, key=attrgetter("closeness"))


def _reason(shown: JudgedSample, judged: Sequence[JudgedSample], outcome: Outcome, question: Question) -> str:
    limit, sample = question.limit, shown.sample
    mean = "mean with its confirmation " if sample.confirmed else ""
    text = f"{sample.collected_on.isoformat()}: {mean}{compared_text(shown.compared, limit)}"
    if outcome is Outcome.ABOVE_NOT_YET and shown.waits_until is not None:
        return f"{text}; a confirmation until {shown.waits_until.isoformat()} decides"
    if outcome is beyond_outcome(limit):
        if shown.beyond_since and not sample.confirmed and shown.beyond_since > sample.decided_on:
            text += "; no confirmation in time, so the first result stands"
        latest = _latest(judged)
        if latest is not shown and latest.compared.comparison is Comparison.WITHIN:
            text += f"; the latest, of {latest.sample.collected_on.isoformat()}, {side_text(latest.compared, limit)} it"
    return text


def _steps(shown: JudgedSample, question: Question) -> tuple[Step, ...]:
    limit = question.limit
    return (
        Step("Judged", f"sample of {shown.sample.collected_on.isoformat()}, each result by itself"),
        *group_steps([shown.sample], question.terms, limit.unit),
        *confirmation_steps([shown.sample], limit.unit),
        *comparison_steps(shown.compared, limit, shown.share, question.near_limit_share),
    )


def _confirm_prompt(limit: Limit) -> str:
    hours = limit.confirmation_hours or 0
    return f"confirm within {hours} h" if hours < 7 * 24 else f"confirm within {hours // 24} days"
