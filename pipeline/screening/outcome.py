"""From a comparison to an outcome."""

from fractions import Fraction

from pipeline.plant.tables import Limit
from pipeline.screening.rounding import Compared, LimitNumbers, share_of_limit
from pipeline.vocabulary import Comparison, Outcome

TRIGGER_KINDS = frozenset({"trigger level"})
COMPLIES = frozenset({Outcome.MEETS, Outcome.NEAR_LIMIT})
"""Outcomes that say the limit is kept; forbidden while something that could change them is not known."""

WHOLE_LIMIT = Fraction(1)


def beyond_outcome(limit: Limit) -> Outcome:
    """Outcome of a statistic beyond the number: a trigger level starts something and is never exceeded."""
    return Outcome.TRIGGER_REACHED if limit.kind in TRIGGER_KINDS else Outcome.EXCEEDS


def decided_outcome(compared: Compared, limit: Limit, numbers: LimitNumbers, near_limit_share: Fraction) -> Outcome:
    """Outcome of the statistic that decides.

    A statistic above the number before rounding is near the limit at least; with two bounds the higher share counts,
    because nothing says that the value is not there.
    """
    if compared.comparison is Comparison.ABOVE:
        return beyond_outcome(limit)
    if compared.comparison is Comparison.UNDECIDED:
        return Outcome.CANNOT_DETERMINE
    share = share_of_limit(compared.bounds, numbers).high
    near = share is not None and (share >= near_limit_share or share > WHOLE_LIMIT)
    return Outcome.NEAR_LIMIT if near else Outcome.MEETS
