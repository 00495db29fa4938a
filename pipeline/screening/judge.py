"""The judge: one limit at one sample point on one day, from results to a verdict with its arithmetic."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction

from pipeline.plant.tables import Limit, LimitStatus
from pipeline.screening.assessment import HISTORY_YEARS, Assessment, Question
from pipeline.screening.calendar_quarters import QUARTERS_OF_A_YEAR, first_day, quarter_of
from pipeline.screening.conversion import Converter
from pipeline.screening.explanation import limit_text, substitution_steps
from pipeline.screening.frequency import Frequency
from pipeline.screening.model import ExcludedResult, HeldCell, ScreeningResult, Step, Verdict
from pipeline.screening.next_action import (
    beyond_prompt,
    complying_prompt,
    held_prompt,
    overdue_prompt,
    undecided,
)
from pipeline.screening.outcome import COMPLIES, beyond_outcome
from pipeline.screening.rounding import LimitNumbers, share_of_limit
from pipeline.screening.samples import SampleValue, sample_values
from pipeline.screening.statistic_choice import INFORMATION_ONLY, assess, averages_confirmations, is_supported
from pipeline.screening.terms import LimitTerms, terms_of
from pipeline.screening.trigger_values import PROMPTS, reached_trigger
from pipeline.screening.unusable import claimed, counted_with, with_claim
from pipeline.screening.which_count import Counting, pick_counting
from pipeline.vocabulary import Comparison, Outcome

NOT_JUDGED = {
    LimitStatus.PROPOSED: "proposed, not law: shown for information",
    LimitStatus.EXAMPLE: "example row: judged once the plant has confirmed it and changed its status",
}
NOT_YET_SUPPORTED = "rule not yet supported"
# A year more than the history shows, for the average of its first quarter.
KEPT_QUARTERS = (HISTORY_YEARS + 1) * QUARTERS_OF_A_YEAR


@dataclass(frozen=True, slots=True)
class _Case:
    """Everything that stays the same while one verdict is reached."""

    limit: Limit
    terms: LimitTerms
    sample_point: str
    on: date
    frequency: str | None
    near_limit_share: Fraction
    convert: Converter
    held: Sequence[HeldCell]
    overdue: date | None


@dataclass(frozen=True, slots=True)
class _Answer:
    """An assessment with what was left out on the way to it."""

    assessment: Assessment
    left_out: list[ExcludedResult]
    frequency: Frequency | None = None


def judge(
    limit: Limit,
    sample_point: str,
    results: Sequence[ScreeningResult],
    *,
    on: date,
    frequency: str | None,
    near_limit_share: Fraction,
    convert: Converter,
    held: Sequence[HeldCell] = (),
    overdue: date | None = None,
) -> Verdict:
    """Compare results with one limit at one sample point on one day.

    Parameters
    ----------
    limit
        The limit. One that is not yet, or no longer, in force is shown for information.
    sample_point
        Results of other points are not looked at.
    results
        Results in force of the limit's analyte, its group members, the analytes accepted in its place and stand-ins,
        in any order; others are passed over.
    on
        Day of the evaluation; later results are not looked at.
    frequency
        How often the monitoring plan samples here; ``None`` when it does not say, then the samples tell.
    near_limit_share
        Share of the limit from which a kept limit is called near [1 is the limit].
    convert
        Brings a value to the limit's unit and basis.
    held
        Cells that are held; those that may belong here forbid saying that the limit is kept.
    overdue
        Date since which a sample has been overdue here; it forbids the same.

    Returns
    -------
    Verdict
        Always one, whatever is missing: a screening aid, not a compliance determination.
    """
    terms = terms_of(limit)
    case = _Case(limit, terms, sample_point, on, frequency, near_limit_share, convert, held, overdue)
    not_judged = _reason_not_judged(limit)
    if not_judged:
        return _plain(case, Outcome.INFORMATION, not_judged)
    if not is_supported(limit):
        return _plain(case, Outcome.CANNOT_DETERMINE, f"{NOT_YET_SUPPORTED}: {limit.statistic}", "judge by hand")
    if limit.value is None:
        return _plain(case, Outcome.CANNOT_DETERMINE, "the limit has no number", "complete the limit table")
    names = frozenset(terms.analytes)
    here = [one for one in results if one.sample_point == sample_point and one.analyte in names]
    counting = pick_counting(here, limit, on)
    verdict = _verdict(case, counting)
    return _by_effective_date(verdict)


def _reason_not_judged(limit: Limit) -> str:
    if limit.statistic == INFORMATION_ONLY:
        return f"{limit.kind} {limit_text(limit)}: shown, never judged".replace("  ", " ")
    return NOT_JUDGED.get(limit.status, "")


def _plain(case: _Case, outcome: Outcome, reason: str, next_action: str = "") -> Verdict:
    return Verdict(
        limit=case.limit,
        sample_point=case.sample_point,
        on=case.on,
        outcome=outcome,
        comparison=Comparison.NONE,
        reason=reason,
        statistic_name=case.limit.statistic,
        next_action=next_action,
    )


def _verdict(case: _Case, counting: Counting) -> Verdict:
    answer = _answer(case, counting.counted)
    rests_on_unusable = False
    disputed = claimed(counting.unusable)
    for with_disputed in counted_with(counting.counted, disputed):
        if_usable = _answer(case, with_disputed)
        shown, rests_on_unusable = with_claim(answer.assessment, if_usable.assessment)
        if rests_on_unusable:
            answer = _Answer(shown, if_usable.left_out, answer.frequency)
            break
    excluded = [*counting.excluded, *answer.left_out]
    if rests_on_unusable:
        counted = {id(one) for one in disputed}
        excluded = [one for one in excluded if id(one.result) not in counted]
    return _with_trigger(case, _as_verdict(case, answer, excluded), answer)


def _answer(case: _Case, counted: Sequence[ScreeningResult]) -> _Answer:
    """Assess the counting results, whatever they are."""
    if not counted:
        return _Answer(Assessment(Outcome.NO_DATA, "no result that counts", case.limit.statistic), [])
    first_on = min(result.collected_on for result in counted)
    latest_on = max(result.collected_on for result in counted)
    begin = first_day(min(quarter_of(case.on) - KEPT_QUARTERS, quarter_of(latest_on) - 1))
    values = sample_values(
        case.limit,
        case.terms,
        [result for result in counted if result.collected_on >= begin],
        case.convert,
        average_confirmations=averages_confirmations(case.limit),
    )
    if not values.values:
        return _Answer(Assessment(Outcome.NO_DATA, "no result that counts", case.limit.statistic), values.excluded)
    question = Question(
        limit=case.limit,
        numbers=LimitNumbers.of(case.limit),
        terms=case.terms,
        sample_point=case.sample_point,
        on=case.on,
        planned=case.frequency,
        near_limit_share=case.near_limit_share,
        samples=values.values,
        first_on=first_on,
    )
    assessment, frequency = assess(question)
    incomplete = [
        ExcludedResult(used.result, f"{', '.join(sample.missing)} missing; another sample of the period is complete")
        for sample in assessment.left_out
        for used in sample.used
    ]
    return _Answer(assessment, [*values.excluded, *incomplete], frequency)


def _as_verdict(case: _Case, answer: _Answer, excluded: Sequence[ExcludedResult]) -> Verdict:
    found, limit = answer.assessment, case.limit
    used = tuple(one for sample in found.samples for one in sample.used)
    verdict = replace(
        _plain(case, found.outcome, found.reason, found.next_action),
        statistic_name=found.statistic_name,
        since=_not_before(found.since, limit.effective_from),
        window_from=found.window_from,
        window_to=found.window_to,
        steps=(*_status_steps(limit, found.window_from), *found.steps[:1], *substitution_steps(used), *found.steps[1:]),
        used=used,
        excluded=tuple(one for one in excluded if _in_window(one, found, case.on)),
        next_may_be=found.next_may_be,
        next_assumes=found.next_assumes,
        history=found.history,
    )
    if found.compared is not None:
        verdict = _with_numbers(verdict, case, found)
    return _with_doubts(case, verdict, found.samples)


def _with_numbers(verdict: Verdict, case: _Case, found: Assessment) -> Verdict:
    compared = found.compared
    if compared is None:
        return verdict
    share = share_of_limit(compared.bounds, LimitNumbers.of(case.limit))
    return replace(
        verdict,
        comparison=compared.comparison,
        act_now=case.limit.acute and compared.comparison is Comparison.ABOVE,
        statistic_low=compared.low.exact,
        statistic_high=compared.high.exact,
        compared_low=compared.low.rounded,
        compared_high=compared.high.rounded,
        share_low=share.low,
        share_high=share.high,
    )


def _with_doubts(case: _Case, verdict: Verdict, samples: Sequence[SampleValue]) -> Verdict:
    """Forbid "the limit is kept" while a cell is held or a sample overdue, and say what to do next."""
    held = tuple(cell for cell in case.held if _may_belong(cell, case, verdict.window_from))
    verdict = replace(verdict, held=held)
    if held and verdict.outcome in COMPLIES | {Outcome.NO_DATA}:
        reason = f"{len(held)} held {'cell' if len(held) == 1 else 'cells'} may belong here ({verdict.reason})"
        return replace(verdict, outcome=Outcome.CANNOT_DETERMINE, reason=reason, next_action=held_prompt(held))
    if case.overdue is not None and verdict.outcome in COMPLIES:
        reason = f"a sample has been overdue since {case.overdue.isoformat()} ({verdict.reason})"
        prompt = overdue_prompt(case.overdue)
        return replace(verdict, outcome=Outcome.CANNOT_DETERMINE, reason=reason, next_action=prompt)
    if verdict.outcome is Outcome.CANNOT_DETERMINE and verdict.comparison is Comparison.UNDECIDED:
        cause, prompt = undecided(case.limit, samples)
        return replace(verdict, reason=f"{verdict.reason}: {cause}", next_action=prompt)
    return replace(verdict, next_action=verdict.next_action or _prompt(case, verdict))


def _prompt(case: _Case, verdict: Verdict) -> str:
    outcome = verdict.outcome
    if outcome is beyond_outcome(case.limit):
        return beyond_prompt(case.limit)
    if outcome is Outcome.CANNOT_DETERMINE:
        return "ask the laboratory"
    if outcome is Outcome.NO_DATA:
        return overdue_prompt(case.overdue) if case.overdue else "no sample yet"
    return "resample" if _newer_unusable(verdict) else complying_prompt(outcome)


def _newer_unusable(verdict: Verdict) -> bool:
    """Whether the latest sample could not be used, so that an older one speaks for it."""
    latest = max((used.result.collected_on for used in verdict.used), default=None)
    unusable = (one.result for one in verdict.excluded if one.because and one.because == one.result.unusable_because)
    return latest is not None and any(result.collected_on > latest for result in unusable)


def _with_trigger(case: _Case, verdict: Verdict, answer: _Answer) -> Verdict:
    """Say that a level below the limit is reached, where the limit itself is kept."""
    if answer.frequency is None or verdict.outcome not in COMPLIES | {Outcome.NOT_ENOUGH_DATA}:
        return verdict
    found = reached_trigger(case.limit, answer.assessment.samples, answer.frequency)
    if found is None:
        return verdict
    trigger, sample = found
    reason = f"{trigger} reached by the sample of {sample.collected_on.isoformat()}; {verdict.reason}"
    return replace(
        verdict,
        outcome=Outcome.TRIGGER_REACHED,
        reason=reason,
        since=_not_before(sample.collected_on, case.limit.effective_from),
        next_action=PROMPTS.get(trigger.name, trigger.name),
    )


def _by_effective_date(verdict: Verdict) -> Verdict:
    """Turn the verdict of a limit that is not yet, or no longer, in force into information."""
    limit = verdict.limit
    if limit.effective_from is None and limit.status is LimitStatus.NOT_YET:
        when = "coming, date not known"
    elif limit.effective_from is not None and limit.effective_from > verdict.on:
        when = f"coming from {limit.effective_from.isoformat()}"
    elif limit.effective_to is not None and limit.effective_to < verdict.on:
        when = f"ended {limit.effective_to.isoformat()}"
    else:
        return verdict
    reason = f"{when}; by it today: {verdict.outcome.value} ({verdict.reason})"
    return replace(verdict, outcome=Outcome.INFORMATION, reason=reason, act_now=False, since=None, next_action=when)


def _status_steps(limit: Limit, window_from: date | None) -> tuple[Step, ...]:
    """Write what the reader should know of the limit itself before its arithmetic."""
    steps = []
    if limit.status is LimitStatus.RESCISSION_PROPOSED:
        steps.append(Step("Status", "in force by its dates; its withdrawal is proposed"))
    if limit.statistic_parameters.get("open_group") == "yes":
        steps.append(Step("Open group", "any other member found must be added to the limit's members"))
    if limit.effective_from is not None and window_from is not None and window_from < limit.effective_from:
        steps.append(Step("In force from", f"{limit.effective_from.isoformat()}; the window begins before it"))
    return tuple(steps)


def _not_before(day: date | None, effective_from: date | None) -> date | None:
    return day if day is None or effective_from is None else max(day, effective_from)


def _in_window(excluded: ExcludedResult, found: Assessment, on: date) -> bool:
    return found.window_from is None or found.window_from <= excluded.result.collected_on <= on


def _may_belong(cell: HeldCell, case: _Case, window_from: date | None) -> bool:
    if cell.analyte not in case.terms.own_analytes or cell.sample_point not in ("", case.sample_point):
        return False
    day = cell.collected_on
    # A limit without a result has no window of its own: a cell of the last year may be the result that is missing.
    since = window_from or case.on - timedelta(days=366)
    return day is None or since <= day <= case.on
