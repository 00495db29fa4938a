"""The largest value that the next sample or quarter may have without breaking the limit."""

from fractions import Fraction

from pipeline.plant.tables import Limit
from pipeline.screening.rounding import HALF, LimitNumbers, divide_round_compare

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
    value = numbers.value if numbers.value_high is None else numbers.value_high
    grid = (numbers.step or _last_digit(limit)) / FINER_THAN_THE_LIMIT
    ceiling = ((value + (numbers.step or 0) * HALF) * divisor - others) / weight
    largest = (ceiling / grid).__floor__() * grid
    # The ceiling itself is rounded up, or counts already when the comparison is inclusive: then one step below it.
    for candidate in (largest, largest - grid, _floor_of_inclusive(numbers, divisor, others, weight, grid)):
        if candidate >= 0 and divide_round_compare(others + weight * candidate, divisor, numbers).side == 0:
            return candidate
    return None


def _floor_of_inclusive(numbers: LimitNumbers, divisor: int, others: Fraction, weight: int, grid: Fraction) -> Fraction:
    """Largest grid value below the number itself, where reaching it after rounding already counts."""
    ceiling = ((numbers.value - (numbers.step or 0) * HALF) * divisor - others) / weight
    largest = (ceiling / grid).__floor__() * grid
    return largest - grid if largest == ceiling else largest


def _last_digit(limit: Limit) -> Fraction:
    exponent = limit.value.as_tuple().exponent if limit.value is not None else 0
    return Fraction(10) ** exponent if isinstance(exponent, int) else Fraction(1)
