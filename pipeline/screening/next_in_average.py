"""The largest value that the next sample may have for a running annual average to keep its limit.

The average of the quarter after the last judged one decides: three quarters stay in it, non-detects at their highest,
and so does what was already sampled of that quarter. What is still to come is the unknown.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from pipeline.screening.assessment import Question
from pipeline.screening.averaging import MONTHS_OF_A_QUARTER, PeriodMean, PeriodMeans
from pipeline.screening.bounds import total
from pipeline.screening.calendar_quarters import QUARTERS_OF_A_YEAR, month_name, month_of, quarter_name
from pipeline.screening.next_result import largest_that_complies, largest_when_periods_are_rounded

NON_DETECTS = "non-detects at their highest"


@dataclass(frozen=True, slots=True)
class NextValue:
    """What the next value may be at most [limit's unit], and what that takes for granted.

    ``may_be`` is ``None`` when not even zero keeps the limit; where nothing can be said there is no such answer at all.
    """

    may_be: Fraction | None
    assumes: str


@dataclass(frozen=True, slots=True)
class _ToCome:
    """The part of the quarter that is still to come.

    Parameters
    ----------
    settled
        Period means that stay as they are.
    periods
        Periods that the next value fills: the quarter itself, or months that all have it.
    taken_sum, taken
        Sum and number of the samples that the period already has [limit's unit].
    """

    settled: Sequence[PeriodMean]
    periods: int
    taken_sum: Fraction
    taken: int
    assumes: str


def next_in_average(
    question: Question, means: PeriodMeans, *, last: int, planned: int, early_test: bool
) -> NextValue | None:
    """Largest next value that keeps the average of the quarter after ``last`` within its limit.

    Parameters
    ----------
    last
        The last judged quarter.
    planned
        Periods that a full year of samples has.
    early_test
        Whether a year that is not full yet is divided by all its planned periods.

    Returns
    -------
    NextValue or None
        ``None`` for a limit that is not one to stay below, and while a value without an upper end is in the average.
    """
    if question.numbers.direction != "not above":
        return None
    to_come = _to_come(question, means, last + 1, planned)
    stay = [*means.window(last + 1)[: _before(means, last)], *(to_come.settled if to_come else ())]
    others = total(one.value for one in stay).high
    if to_come is None or others is None:
        return None
    count = len(stay) + to_come.periods
    divisor = count if means.is_full_year(last + 1) or not early_test else max(planned, count)
    figures = question.limit.statistic_parameters.get("pre_round", "none")
    if figures == "none":
        # others + periods * (taken_sum + x) / (taken + 1), over one denominator
        samples = to_come.taken + 1
        may_be = largest_that_complies(
            question.limit,
            question.numbers,
            others=others * samples + to_come.periods * to_come.taken_sum,
            weight=to_come.periods,
            divisor=divisor * samples,
        )
    else:
        may_be = largest_when_periods_are_rounded(
            question.limit,
            question.numbers,
            others=others,
            periods=to_come.periods,
            divisor=divisor,
            taken_sum=to_come.taken_sum,
            taken=to_come.taken,
            to_figures=int(figures),
        )
    return NextValue(may_be, f"{to_come.assumes}; {NON_DETECTS}")


def _before(means: PeriodMeans, last: int) -> int:
    """How many periods of the window that ends after ``last`` lie in judged quarters."""
    return sum(one.quarter <= last for one in means.window(last + 1))


def _to_come(question: Question, means: PeriodMeans, quarter: int, planned: int) -> _ToCome | None:
    """What the quarter still lacks; ``None`` when what it has is open upward."""
    begun = means.by_quarter.get(quarter, [])
    if means.monthly:
        months = _months_to_come(question, begun, quarter, planned)
        if months:
            return _ToCome(begun, months, Fraction(0), 0, _months_words(quarter, begun, months))
    current = begun[-1] if begun else None
    # Samples without all members of a group give way to the first complete one.
    complete = [sample for sample in current.samples if sample.complete] if current else []
    taken = total(sample.value for sample in complete).high
    if current is None or not complete:
        return _ToCome(begun[:-1], 1, Fraction(0), 0, f"one sample in {quarter_name(quarter)}")
    if taken is None:
        return None
    noun = "sample" if len(complete) == 1 else "samples"
    words = f"one more sample in {current.name}, which has {len(complete)} {noun}"
    return _ToCome(begun[:-1], 1, taken, len(complete), words)


def _months_to_come(question: Question, begun: Sequence[PeriodMean], quarter: int, planned: int) -> int:
    """Months of a quarter that will still have samples, as far as the plan and the day say."""
    first = quarter * MONTHS_OF_A_QUARTER
    sampled = {one.period for one in begun}
    today = month_of(question.on)
    free = [month for month in range(first, first + MONTHS_OF_A_QUARTER) if month not in sampled and month >= today]
    due = max(1, planned // QUARTERS_OF_A_YEAR) - len(sampled)
    return min(len(free), max(1, due)) if free else 0


def _months_words(quarter: int, begun: Sequence[PeriodMean], months: int) -> str:
    have = f", which has {', '.join(month_name(one.period) for one in begun)}" if begun else ""
    each = "one month" if months == 1 else f"each of {months} months"
    return f"mean of {each} to come in {quarter_name(quarter)}{have}"
