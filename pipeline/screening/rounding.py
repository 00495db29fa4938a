"""Dividing, rounding and comparing: done once, last, and in one place.

Regulators bring a finished statistic to the digits of the limit by dropping digits, 5 to 9 raising the last kept one
(EPA Water Supply Guidance 21, 1981; for radionuclides 40 CFR 141.25(d)). A value that equals the limit complies unless
the limit says otherwise. Both need exact arithmetic: a binary float or half-even rounding turns 72.5 into 72.
"""

from dataclasses import dataclass
from fractions import Fraction

from pipeline.plant.tables import Limit
from pipeline.screening.bounds import Bounds
from pipeline.vocabulary import Comparison

HALF = Fraction(1, 2)


@dataclass(frozen=True, slots=True)
class LimitNumbers:
    """The numbers of a limit as fractions [limit's unit]; ``step`` is ``None`` where the comparison is exact."""

    value: Fraction
    value_high: Fraction | None
    step: Fraction | None
    direction: str
    inclusive: bool

    @classmethod
    def of(cls, limit: Limit) -> "LimitNumbers":
        """Numbers of a limit that has a value; raises :class:`ValueError` for one without."""
        if limit.value is None:
            raise ValueError(f"{limit.limit_id} has no value to compare with.")
        return cls(
            value=Fraction(limit.value),
            value_high=None if limit.value_high is None else Fraction(limit.value_high),
            step=None if limit.step is None else Fraction(limit.step),
            direction=limit.direction,
            inclusive=limit.comparison == "inclusive",
        )


@dataclass(frozen=True, slots=True)
class ComparedEnd:
    """One end of a statistic: before rounding, rounded once, and on which side of the limit it lies.

    ``side`` is 1 beyond the upper number, -1 beyond the lower one, 0 inside.
    """

    exact: Fraction | None
    rounded: Fraction | None
    side: int


@dataclass(frozen=True, slots=True)
class Compared:
    """Both ends of a statistic beside the limit."""

    low: ComparedEnd
    high: ComparedEnd

    @property
    def comparison(self) -> Comparison:
        """Decided when both ends lie on one side; else the two bounds leave it open."""
        if self.low.side != self.high.side:
            return Comparison.UNDECIDED
        return Comparison.ABOVE if self.low.side else Comparison.WITHIN

    @property
    def bounds(self) -> Bounds:
        """The statistic before rounding [limit's unit]."""
        return Bounds(self.low.exact, self.high.exact)


def round_half_up(value: Fraction, step: Fraction | None) -> Fraction:
    """Bring a value to a multiple of the step, half up; unchanged when there is no step.

    Examples
    --------
    >>> round_half_up(Fraction("0.0105"), Fraction("0.001"))
    Fraction(11, 1000)
    >>> round_half_up(Fraction("72.5"), Fraction(1))
    Fraction(73, 1)
    """
    return value if step is None else (value / step + HALF).__floor__() * step


def round_to_figures(value: Fraction, figures: int) -> Fraction:
    """Bring a value to a number of significant figures, half up.

    Examples
    --------
    >>> [str(round_to_figures(Fraction(text), 2)) for text in ("104.6", "84.6", "0.0606")]
    ['100', '85', '61/1000']
    """
    if value == 0:
        return value
    place = len(str(abs(value.numerator))) - len(str(value.denominator))
    leading = place if abs(value) >= Fraction(10) ** place else place - 1
    return round_half_up(value, Fraction(10) ** (leading - figures + 1))


def side_of(value: Fraction, limit: LimitNumbers) -> int:
    """Side of the limit on which a rounded value lies: 1 above, -1 below, 0 inside.

    Equal to the number is inside when the comparison is strict, and already counts when it is inclusive.
    """
    if limit.direction != "not below":
        upper = limit.value if limit.value_high is None else limit.value_high
        if value > upper or (limit.inclusive and value == upper):
            return 1
    if limit.direction != "not above" and (value < limit.value or (limit.inclusive and value == limit.value)):
        return -1
    return 0


def divide_round_compare(total: Fraction, count: int, limit: LimitNumbers) -> ComparedEnd:
    """Divide once, round once, compare: every number of every verdict passes here.

    Parameters
    ----------
    total
        Sum of the counted values [limit's unit].
    count
        What the rule divides by; at least 1.
    limit
        Numbers of the limit.

    Examples
    --------
    Four quarters of 0.004, 0.006, 0.005 and 0.004 mg/L of trichloroethylene against 0.005 mg/L:

    >>> limit = LimitNumbers(Fraction("0.005"), None, Fraction("0.001"), "not above", inclusive=False)
    >>> divide_round_compare(Fraction("0.019"), 4, limit)
    ComparedEnd(exact=Fraction(19, 4000), rounded=Fraction(1, 200), side=0)
    """
    exact = total / count
    rounded = round_half_up(exact, limit.step)
    return ComparedEnd(exact, rounded, side_of(rounded, limit))


def compare(total: Bounds, count: int, limit: LimitNumbers) -> Compared:
    """Compare both ends of a sum of ``count`` values; an open end lies beyond a limit that has that side."""
    open_low = ComparedEnd(None, None, 0 if limit.direction == "not above" else -1)
    open_high = ComparedEnd(None, None, 0 if limit.direction == "not below" else 1)
    low = open_low if total.low is None else divide_round_compare(total.low, count, limit)
    if total.high is total.low or total.high == total.low:
        return Compared(low, low if total.low is not None else open_high)
    high = open_high if total.high is None else divide_round_compare(total.high, count, limit)
    return Compared(low, high)


def share_of_limit(bounds: Bounds, limit: LimitNumbers) -> Bounds:
    """How much of the limit is used, before rounding: 1 is the limit, more is worse, ``None`` is not known.

    For a limit that must not be fallen below it is the limit over the value; for a range, the distance from its middle
    over half its width.
    """
    if limit.direction == "within" and limit.value_high is not None:
        return _share_of_range(bounds, limit.value, limit.value_high)
    if limit.value == 0:
        return Bounds(None, None)
    if limit.direction == "not below":
        ends = (bounds.high, bounds.low)
        low, high = (limit.value / end if end is not None and end > 0 else None for end in ends)
        return Bounds(Fraction(0) if bounds.high is None else low, high)
    return bounds.times(1 / limit.value)


def _share_of_range(bounds: Bounds, lower: Fraction, upper: Fraction) -> Bounds:
    middle, half_width = (lower + upper) / 2, (upper - lower) / 2
    if bounds.low is None or bounds.high is None or half_width == 0:
        return Bounds(None, None)
    ends = sorted((abs(bounds.low - middle) / half_width, abs(bounds.high - middle) / half_width))
    return Bounds(Fraction(0) if bounds.low <= middle <= bounds.high else ends[0], ends[1])
