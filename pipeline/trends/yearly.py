"""A series counted by calendar year: how many results, how many non-detects, and what the middle one can be said to be.

A non-detect has no value, so it takes part in a median with both ends of what it allows: from zero to its limit. The
median of a year is then known exactly, or to lie between two bounds. Nothing is ever put in a non-detect's place.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from pipeline.screening.bounds import Bounds
from pipeline.trends.model import Placed, Series, SeriesResult
from pipeline.vocabulary import ValueKind


@dataclass(frozen=True, slots=True)
class YearSummary:
    """One year of a series at one sample point.

    Parameters
    ----------
    count
        Results that count: the laboratory stands for them, and they say something about the water.
    non_detects, above_range
        How many of them are known only to lie below, or above, a number.
    without_amount
        How many of them have none in the unit of the series: present or absent, or in a unit of another kind.
    lowest, highest
        The smallest and the largest measured value; ``None`` when nothing was measured.
    median
        Bounds of the median of all results with an amount [unit of the series], equal when it can be said; ``None``
        when there is none, or when ``without_amount`` leaves it open.
    """

    sample_point: str
    year: int
    count: int
    non_detects: int
    above_range: int
    without_amount: int
    lowest: Placed | None
    highest: Placed | None
    median: Bounds | None


def yearly_summaries(series: Series) -> list[YearSummary]:
    """Every year of every sample point that has results, in the order of the points, oldest year first."""
    placed: dict[tuple[str, int], list[Placed]] = defaultdict(list)
    others: dict[tuple[str, int], list[SeriesResult]] = defaultdict(list)
    for one in series.placed:
        if one.result.counts:
            placed[one.result.sample_point, one.result.collected_on.year].append(one)
    for other in series.others:
        if other.counts:
            others[other.sample_point, other.collected_on.year].append(other)
    order = {code: number for number, code in enumerate(series.sample_points)}
    years = sorted({*placed, *others}, key=lambda key: (order.get(key[0], len(order)), key[1]))
    return [_summary(point, year, placed[point, year], len(others[point, year])) for point, year in years]


def _summary(sample_point: str, year: int, placed: Sequence[Placed], without_amount: int) -> YearSummary:
    measured = [one for one in placed if one.detected]
    return YearSummary(
        sample_point=sample_point,
        year=year,
        count=len(placed) + without_amount,
        non_detects=sum(one.result.non_detect for one in placed),
        above_range=sum(one.result.kind is ValueKind.ABOVE for one in placed),
        without_amount=without_amount,
        lowest=min(measured, key=lambda one: one.low, default=None),
        highest=max(measured, key=lambda one: one.low, default=None),
        median=None if without_amount or not placed else median_bounds(placed),
    )


def median_bounds(placed: Iterable[Placed]) -> Bounds:
    """Lowest and highest median that at least one result allow, whatever the non-detects were.

    The median grows with every value, so the median of the lowest ends and that of the highest ends are its bounds. Of
    an even number it is the mean of the middle two.

    Examples
    --------
    Two of five below 0.5 leave the middle one measured; three of five do not:

    >>> half, one, two = Fraction(1, 2), Fraction(1), Fraction(2)
    >>> def ends(*pairs):
    ...     return [Placed(None, low, high) for low, high in pairs]
    >>> below = (Fraction(0), half)
    >>> median_bounds(ends(below, below, (one, one), (two, two), (two, two)))
    Bounds(low=Fraction(1, 1), high=Fraction(1, 1))
    >>> median_bounds(ends(below, below, below, (two, two), (two, two)))
    Bounds(low=Fraction(0, 1), high=Fraction(1, 2))
    """
    found = list(placed)
    low = _median([one.low for one in found])
    high = _median([one.high for one in found])
    return Bounds(low, high)


def _median(ends: Sequence[Fraction | None]) -> Fraction | None:
    """Median of the ends, an open one counted as larger than any number; ``None`` when it lies in the open."""
    known = sorted(end for end in ends if end is not None)
    middle = len(ends) // 2
    if middle >= len(known):
        return None
    return known[middle] if len(ends) % 2 else (known[middle - 1] + known[middle]) / 2
