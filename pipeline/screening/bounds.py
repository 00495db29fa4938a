"""A number known only between two bounds, and the little arithmetic that compliance statistics need of it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Bounds:
    """Lowest and highest value that the reported results allow; ``None`` is an end that nothing bounds.

    Examples
    --------
    >>> Bounds(Fraction(0), Fraction(1, 2)).times(Fraction(-2))
    Bounds(low=Fraction(-1, 1), high=Fraction(0, 1))
    """

    low: Fraction | None
    high: Fraction | None

    @classmethod
    def exactly(cls, value: Fraction) -> "Bounds":
        """Bounds of a number that is known."""
        return cls(value, value)

    @property
    def known(self) -> bool:
        """Whether both ends are one and the same number."""
        return self.low is not None and self.low == self.high

    def times(self, factor: Fraction) -> "Bounds":
        """Return the bounds times a factor; a negative one exchanges the ends."""
        if factor == 1:
            return self
        if self.low is self.high:
            value = None if self.low is None else self.low * factor
            return Bounds(value, value)
        low = None if self.low is None else self.low * factor
        high = None if self.high is None else self.high * factor
        return Bounds(low, high) if factor >= 0 else Bounds(high, low)

    def not_below_zero(self) -> "Bounds":
        """Return the bounds with a negative or open lower end raised to zero: an amount is never negative."""
        low = Fraction(0) if self.low is None or self.low < 0 else self.low
        high = Fraction(0) if self.high is not None and self.high < 0 else self.high
        return Bounds(low, high)


def total(parts: Iterable[Bounds]) -> Bounds:
    """Sum of the parts; an end is open as soon as one part leaves it open."""
    added = list(parts)
    low = _sum([part.low for part in added])
    # Nearly every part is one known number, whose ends are the same object: then one sum serves both.
    if all(part.high is part.low for part in added):
        return Bounds(low, low)
    return Bounds(low, _sum([part.high for part in added]))


def _sum(ends: Sequence[Fraction | None]) -> Fraction | None:
    known = [end for end in ends if end]
    if None in ends:
        return None
    return sum(known[1:], known[0]) if known else Fraction(0)


def mean(parts: Sequence[Bounds]) -> Bounds:
    """Mean of at least one part, exact."""
    return parts[0] if len(parts) == 1 else total(parts).times(Fraction(1, len(parts)))


def hull(parts: Sequence[Bounds]) -> Bounds:
    """Return the smallest bounds that hold every part, for results of which one counts but nobody has said which."""
    lows = [part.low for part in parts]
    highs = [part.high for part in parts]
    low = None if None in lows else min(low for low in lows if low is not None)
    high = None if None in highs else max(high for high in highs if high is not None)
    return Bounds(low, high)
