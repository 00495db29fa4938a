"""The arithmetic of a verdict in words and numbers, as a person would write it down beside the table."""

from collections.abc import Sequence
from fractions import Fraction

from pipeline.plant.tables import Limit
from pipeline.screening.averaging import PeriodMean, PeriodMeans
from pipeline.screening.bounds import Bounds, total
from pipeline.screening.calendar_quarters import QUARTERS_OF_A_YEAR, quarter_name
from pipeline.screening.figures import figure, figure_at_step, percent
from pipeline.screening.model import Step, UsedResult, Verdict
from pipeline.screening.rounding import Compared
from pipeline.screening.samples import SampleValue
from pipeline.screening.terms import LimitTerms
from pipeline.vocabulary import Comparison

MOST_NAMED = 6
ALL_DIGITS = 30


def range_text(value: Bounds, unit: str = "") -> str:
    """Write bounds: one number when they are equal, else both; an open end in words."""
    unit = f" {unit}" if unit and unit != "unitless" else ""
    if value.low is None and value.high is None:
        return "not known"
    if value.high is None:
        return f"{figure(value.low or Fraction(0))}{unit} or more"
    if value.low is None:
        return f"{figure(value.high)}{unit} or less"
    if value.low == value.high:
        return f"{figure(value.low)}{unit}"
    return f"{figure(value.low)} to {figure(value.high)}{unit}"


def limit_text(limit: Limit) -> str:
    """Write a limit's number with unit and basis."""
    number = "" if limit.value is None else format(limit.value, "f")
    if limit.value_high is not None:
        number += f" to {format(limit.value_high, 'f')}"
    unit = "" if limit.unit == "unitless" else limit.unit
    return " ".join(part for part in (number, unit, limit.basis) if part)


def compared_text(compared: Compared, limit: Limit) -> str:
    """Write a comparison as the end of a sentence: what was compared, and on which side of the limit it lies."""
    text = range_text(compared.bounds, limit.unit)
    if limit.step is not None and compared.low.exact is not None and compared.high.exact is not None:
        rounded = _rounded_text(compared, limit)
        text += f", rounded {rounded}," if rounded != figure(compared.low.exact) else ""
    return f"{text} {side_text(compared, limit)} {limit_text(limit)}"


def side_text(compared: Compared, limit: Limit) -> str:
    """Say on which side of the limit a statistic lies."""
    if compared.comparison is Comparison.UNDECIDED:
        return "may lie on either side of"
    beyond = compared.comparison is Comparison.ABOVE
    if limit.direction == "within":
        return "is outside" if beyond else "is inside"
    below = limit.direction == "not below"
    if limit.comparison == "inclusive":
        reached = "is at or below" if below else "is at or above"
        return reached if beyond else ("is above" if below else "is below")
    word = "below" if below else "above"
    return f"is {word}" if beyond else f"is not {word}"


def comparison_steps(compared: Compared, limit: Limit, share: Bounds, near_limit_share: Fraction) -> list[Step]:
    """Write the last lines of every verdict: rounding, comparison, share of the limit."""
    steps = []
    if limit.step is None:
        steps.append(Step("Not rounded", "the rule compares the exact value"))
    elif compared.low.rounded is not None:
        how = f"Rounded once, half up, step {format(limit.step, 'f')}"
        unit = "" if limit.unit == "unitless" else limit.unit
        steps.append(Step(how, f"{_rounded_text(compared, limit)} {unit}".rstrip()))
    steps.append(Step("Compared", f"{_rounded_text(compared, limit)} {side_text(compared, limit)} {limit_text(limit)}"))
    if share.low is not None or share.high is not None:
        steps.append(Step(f"Near limit from {percent(near_limit_share)}", f"{share_text(share)} of the limit used"))
    return steps


def share_text(share: Bounds) -> str:
    """Write the share of the limit: ``88 %``, ``0 to 160 %``, ``40 % or more``."""
    if share.low is None or share.high is None:
        return f"{percent(share.low)} or more" if share.low is not None else "not known"
    if share.low == share.high:
        return percent(share.low)
    return f"{percent(share.low).removesuffix(' %')} to {percent(share.high)}"


def substitution_steps(used: Sequence[UsedResult]) -> list[Step]:
    """Write one line for each kind of substitution, with how many results it touched."""
    counts: dict[str, int] = {}
    for one in used:
        if one.substitution:
            text = f"{one.result.analyte}: {one.substitution}"
            counts[text] = counts.get(text, 0) + 1
    steps = [
        Step("Substituted", f"{text} ({n} of {len(used)} results)") for text, n in list(counts.items())[:MOST_NAMED]
    ]
    if len(counts) > MOST_NAMED:
        steps.append(Step("Substituted", f"and {len(counts) - MOST_NAMED} more kinds: see the results used"))
    return steps


def group_steps(samples: Sequence[SampleValue], terms: LimitTerms, unit: str) -> list[Step]:
    """Write the sum of each of the latest samples of a group."""
    if not terms.combine:
        return []
    steps = []
    for sample in samples[-QUARTERS_OF_A_YEAR:]:
        parts = [range_text(Bounds(one.counted_low, one.counted_high)) for one in sample.used]
        added = " + ".join(f"({part})" if " " in part or part.startswith("-") else part for part in parts)
        missing = f"; missing: {', '.join(sample.missing)}" if sample.missing else ""
        what = f"{terms.combine.capitalize()}, sample of {sample.collected_on.isoformat()}"
        steps.append(Step(what, f"{added} = {range_text(sample.value, unit)}{missing}"))
    return steps


def confirmation_steps(samples: Sequence[SampleValue], unit: str) -> list[Step]:
    """Write the mean of each sample and its confirmation."""
    return [
        Step(
            f"Mean with confirmation, sample of {sample.collected_on.isoformat()}",
            f"first {range_text(sample.first_value, unit)}; its mean with the confirmation of "
            f"{sample.decided_on.isoformat()} is {range_text(sample.value, unit)}",
        )
        for sample in samples
        if sample.confirmed
    ]


def window_step(window: Sequence[PeriodMean], last_quarter: int, planned: int, *, monthly: bool) -> Step:
    """Write which periods were counted, and how many are missing."""
    noun = "months" if monthly else "quarters"
    first, last = quarter_name(last_quarter - QUARTERS_OF_A_YEAR + 1), quarter_name(last_quarter)
    return Step(f"{noun.capitalize()} counted", f"{first} to {last}; {len(window)} of {planned} {noun}")


def period_mean_step(window: Sequence[PeriodMean], *, monthly: bool) -> Step:
    """Write the mean of each period in time order."""
    what = "Month means" if monthly else "Quarter means"
    return Step(what, " · ".join(f"{one.name}: {range_text(one.value)}" for one in window))


def average_step(window: Sequence[PeriodMean], divisor: int, means: PeriodMeans, unit: str) -> Step:
    """Write the sum of the period means, the divisor and the quotient."""
    added = total(one.value for one in window)
    quotient = added.times(Fraction(1, divisor))
    what = "Average of months" if means.monthly else "Average of quarters"
    return Step(what, f"{range_text(added)} ÷ {divisor} = {range_text(quotient, unit)}")


def next_text(verdict: Verdict) -> str:
    """Say the largest next value that keeps the limit, with every digit: rounded up it would be too much."""
    if verdict.next_may_be is None:
        return "no next value keeps the limit, not even zero"
    unit = "" if verdict.limit.unit == "unitless" else f" {verdict.limit.unit}"
    return f"the next value may be up to {figure(verdict.next_may_be, ALL_DIGITS)}{unit}"


def explain(verdict: Verdict) -> str:
    """Unfold a verdict into plain text: outcome, reason, every step, what was used and what was left out.

    Parameters
    ----------
    verdict
        The verdict to unfold.

    Returns
    -------
    str
        Lines without a trailing line break; each result with the file, line and column it came from.
    """
    limit = verdict.limit
    act_now = "ACT NOW: " if verdict.act_now else ""
    # An early test that fires inside a quarter dates from the end of that quarter.
    word = "since" if verdict.since and verdict.since <= verdict.on else "as of"
    since = f" {word} {verdict.since.isoformat()}" if verdict.since else ""
    lines = [
        f"{limit.analyte} at {verdict.sample_point}, evaluated on {verdict.on.isoformat()}",
        f"{act_now}{verdict.outcome.value}{since}",
        f"  {verdict.reason}",
        f"  limit: {limit_text(limit)} ({limit.kind}, {limit.jurisdiction}), {limit.limit_id}; {limit.source}",
    ]
    lines += [f"  {number}. {step.what}: {step.how}" for number, step in enumerate(verdict.steps, start=1)]
    if verdict.next_assumes:
        lines.append(f"  {next_text(verdict)} ({verdict.next_assumes})")
    if verdict.next_action:
        lines.append(f"  next, to check with the rule and the agency: {verdict.next_action}")
    lines += _result_lines(verdict)
    return "\n".join(lines)


def _result_lines(verdict: Verdict) -> list[str]:
    lines = ["  results used:" if verdict.used else "  no result used"]
    for used in verdict.used:
        result = used.result
        reported = f"{result.value_text} {result.unit} {result.basis}".strip()
        counted = range_text(Bounds(used.counted_low, used.counted_high), verdict.limit.unit)
        why = f" ({used.substitution})" if used.substitution else ""
        lines.append(
            f"    {result.collected_on.isoformat()} {result.analyte} {reported}, counted {counted}{why}"
            f" [{result.file}, line {result.line}, column {result.column}]"
        )
    for left in verdict.excluded:
        result = left.result
        lines.append(
            f"    left out: {result.collected_on.isoformat()} {result.analyte} {result.value_text} {result.unit}: "
            f"{left.because} [{result.file}, line {result.line}, column {result.column}]"
        )
    lines += [
        f"    held: {cell.analyte}: {cell.reason} [{cell.file}, line {cell.line}, column {cell.column}]"
        for cell in verdict.held
    ]
    return lines


def _rounded_text(compared: Compared, limit: Limit) -> str:
    low, high = compared.low.rounded, compared.high.rounded
    if low is None or high is None:
        return range_text(Bounds(low, high))
    if low == high:
        return figure_at_step(low, limit.step)
    return f"{figure_at_step(low, limit.step)} to {figure_at_step(high, limit.step)}"
