"""The largest value that the next sample or quarter may have without breaking the limit."""

from collections.abc import Callable
from fractions import Fraction

from pipeline.plant.tables import Limit
from pipeline.screening.rounding import HALF, LimitNumbers, divide_round_compare, round_to_figures

FINER_THAN_THE_LIMIT = 100


def largest_that_complies(
    limit: Limit, numbers: LimitNumbers, *, others: Fraction, weight: int, divisor: int
) -> Fraction | None:
    """Largest value ``x`` for which ``(others + weight * x) / divisor``, rounded once, still keeps the limit.

    Parameters
    ----------
    others
        Sum of the values that stay in the average, at their highest [limit's unit].
    weight
        How many values of the average the next one makes.
    divisor
        What the average is divided by.

    Returns
    -------
    Fraction or None
        In hundredths of the limit's last digit, a digit no laboratory reports; ``None`` when no value keeps it, and for
        a limit that is not one to stay below.

    Examples
    --------
    Quarters of 6.93, 8.40 and 9.61 stay; the limit is 10 ug/L, compared in steps of 0.1:

    >>> bromate = LimitNumbers(Fraction(10), None, Fraction("0.1"), "not above", inclusive=False)
    >>> largest_that_complies(None, bromate, others=Fraction("24.94"), weight=1, divisor=4)
    Fraction(15259, 1000)
    """
    if numbers.direction == "not below":
        return None
    grid = _grid(limit, numbers)
    upper = numbers.value if numbers.value_high is None else numbers.value_high
    ceiling = ((upper + (numbers.step or 0) * HALF) * divisor - others) / weight
    largest = (ceiling / grid).__floor__() * grid
    # The ceiling itself is rounded up, or counts already when the comparison is inclusive: then one step below it.
    for candidate in (largest, largest - grid, _floor_of_inclusive(numbers, divisor, others, weight, grid)):
        if candidate >= 0 and divide_round_compare(others + weight * candidate, divisor, numbers).side == 0:
            return candidate
    return None


def largest_when_periods_are_rounded(
    limit: Limit,
    numbers: LimitNumbers,
    *,
    others: Fraction,
    periods: int,
    divisor: int,
    taken_sum: Fraction,
    taken: int,
    to_figures: int,
) -> Fraction | None:
    """Return the same where an agency rounds each period to significant figures before the average.

    Parameters
    ----------
    others
        Sum of the periods that stay, each rounded, at their highest [limit's unit].
    periods
        How many periods the next value fills.
    taken_sum, taken
        Sum and number of the samples that such a period already has.
    to_figures
        Significant figures of a period.

    Examples
    --------
    Quarters of 0.060, 0.085 and 0.071 mg/L stay. The next may count as 0.10, which is all below 0.105 mg/L; as 0.11 it
    would be too much for a limit of 0.080 mg/L in steps of 0.001:

    >>> tthm = LimitNumbers(Fraction("0.080"), None, Fraction("0.001"), "not above", inclusive=False)
    >>> may_be = largest_when_periods_are_rounded(
    ...     None, tthm, others=Fraction("0.216"), periods=1, divisor=4, taken_sum=Fraction(0), taken=0, to_figures=2
    ... )
    >>> float(may_be)
    0.10499
    """

    def complies(x: Fraction) -> bool:
        period = round_to_figures((taken_sum + x) / (taken + 1), to_figures)
        return divide_round_compare(others + periods * period, divisor, numbers).side <= 0

    # Rounding can only move a period within its own figures: twice the unrounded answer is surely too much.
    start = (numbers.value + (numbers.step or 0)) * divisor * (taken + 1)
    return _largest_on_grid(complies, _grid(limit, numbers), start * 2)


def _largest_on_grid(complies: Callable[[Fraction], bool], grid: Fraction, too_much: Fraction) -> Fraction | None:
    """Largest multiple of ``grid`` that complies, where what is larger than one that does not never does."""
    if not complies(Fraction(0)):
        return None
    low, high = 0, (too_much / grid).__ceil__() + 1
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if complies(middle * grid) else (low, middle)
    return low * grid


def _grid(limit: Limit, numbers: LimitNumbers) -> Fraction:
    return (numbers.step or _last_digit(limit)) / FINER_THAN_THE_LIMIT


def _floor_of_inclusive(numbers: LimitNumbers, divisor: int, others: Fraction, weight: int, grid: Fraction) -> Fraction:
    """Largest grid value below the number itself, where reaching it after rounding already counts."""
    ceiling = ((numbers.value - (numbers.step or 0) * HALF) * divisor - others) / weight
    largest = (ceiling / grid).__floor__() * grid
    return largest - grid if largest == ceiling else largest


def _last_digit(limit: Limit) -> Fraction:
    exponent = limit.value.as_tuple().exponent if limit.value is not None else 0
    return Fraction(10) ** exponent if isinstance(exponent, int) else Fraction(1)
